//! Where criteria and cautions stand. Titles of books and names stay as they are.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    ("common practice, no source", "übliche Praxis, ohne Quelle"),
    ("our own derivation", "unsere Herleitung"),
    ("searched for, none found", "gesucht, nichts gefunden"),
    (
        "Graef 1999 and Bruce and Newman 2010, PMC2907364, of sight; for the rest our own wording",
        "Graef 1999 und Bruce und Newman 2010, PMC2907364, zum Sehen; im Übrigen unsere Worte",
    ),
    ("Scott and Egan 2003", "Scott und Egan 2003"),
    (
        "Johnson and Baloh 1991; 175 eyes, PubMed 14663305",
        "Johnson und Baloh 1991; 175 Augen, PubMed 14663305",
    ),
    (
        "Pandit 2001 (n = 138); Kerr 2010 (301 eyes), PubMed 20385890",
        "Pandit 2001 (n = 138); Kerr 2010 (301 Augen), PubMed 20385890",
    ),
    (
        "EAN 2022, PMC9544365; PMC8653531",
        "EAN 2022, PMC9544365; PMC8653531",
    ),
    (
        "American Academy of Ophthalmology, tangent screen",
        "American Academy of Ophthalmology, Tangentenschirm",
    ),
    (
        "J Nerv Ment Dis, November 1988; Daum 2014 (from memory)",
        "J Nerv Ment Dis, November 1988; Daum 2014 (aus dem Gedächtnis)",
    ),
    (
        "a study in Tehran, 2012; PMC9468236",
        "eine Studie in Teheran, 2012; PMC9468236",
    ),
    (
        "Torres-Russotto 2009, PubMed 19414727; Strawbridge and Wallhagen 2017",
        "Torres-Russotto 2009, PubMed 19414727; Strawbridge und Wallhagen 2017",
    ),
    ("Pirozzo 2003, BMJ 327:967", "Pirozzo 2003, BMJ 327:967"),
    (
        "ISO 8253-1:2010; difference of the air thresholds at or near the least interaural attenuation of \
         the earphone type",
        "ISO 8253-1:2010; Unterschied der Luftleitungsschwellen bei oder nahe der kleinsten interauralen \
         Dämpfung der Hörerbauart",
    ),
    (
        "ISO 8253-1:2010, cross-hearing; without bone conduction masking rules 2 and 3 cannot be applied",
        "ISO 8253-1:2010, Überhören; ohne Knochenleitung sind die Vertäubungsregeln 2 und 3 nicht anwendbar",
    ),
    (
        "NICE NG98 (from memory); sensitivity of such criteria 50 to 100 %, specificity 23 to 83 %",
        "NICE NG98 (aus dem Gedächtnis); Sensitivität solcher Kriterien 50 bis 100 %, Spezifität 23 bis 83 %",
    ),
    (
        "sudden hearing loss, AAO-HNS guideline 2019: at least 30 dB at three consecutive frequencies \
         within 72 hours; the baseline is often the other ear",
        "plötzlicher Hörverlust, Leitlinie AAO-HNS 2019: mindestens 30 dB bei drei aufeinanderfolgenden \
         Frequenzen binnen 72 Stunden; Bezug ist oft das andere Ohr",
    ),
    (
        "29 CFR 1910.95, standard threshold shift (from memory)",
        "29 CFR 1910.95, Standard-Schwellenverschiebung (aus dem Gedächtnis)",
    ),
    (
        "Coles 2000 (from memory): 3, 4 or 6 kHz at least 10 dB poorer than 1 or 2 kHz and than 6 or 8 kHz",
        "Coles 2000 (aus dem Gedächtnis): 3, 4 oder 6 kHz mindestens 10 dB schlechter als 1 oder 2 kHz und \
         als 6 oder 8 kHz",
    ),
    (
        "ISO 7029:2017, worst tenth of a screened population; the count of three is ours",
        "ISO 7029:2017, schlechtestes Zehntel einer ohrgesunden Bevölkerung; die Zahl drei ist unsere",
    ),
    (
        "WHO, World report on hearing, 2021, table 1.3",
        "WHO, World report on hearing, 2021, Tabelle 1.3",
    ),
    (
        "one miss in either ear: ASHA 1997 (adults, 25 dB HL), Texas Administrative Code 16/4/111.190 \
         (children, 20 dB HL; again within 4 weeks)",
        "ein Ausfall an einem Ohr: ASHA 1997 (Erwachsene, 25 dB HL), Texas Administrative Code \
         16/4/111.190 (Kinder, 20 dB HL; noch einmal binnen 4 Wochen)",
    ),
    (
        "red flags of eye disease (accessmedicine 269151409, eyecasualty.co.uk, SEMPHN pathway); local \
         rules say how soon",
        "Warnzeichen von Augenkrankheiten (accessmedicine 269151409, eyecasualty.co.uk, SEMPHN pathway); \
         örtliche Regeln sagen, wie bald",
    ),
    (
        "red flags of eye disease, from memory; local rules say how soon",
        "Warnzeichen von Augenkrankheiten, aus dem Gedächtnis; örtliche Regeln sagen, wie bald",
    ),
    (
        "a matter of set-up (a mirror in the light's path) or of understanding; says nothing about how the \
         answers hang together",
        "eine Frage des Aufbaus (ein Spiegel im Lichtweg) oder des Verstehens; besagt nichts darüber, wie \
         die Antworten zusammenhängen",
    ),
    (
        "usual rule of child screening, from memory; healthy eyes differ by 0.04, SD 0.06 logMAR (Drover 2008)",
        "übliche Regel der Siebtests bei Kindern, aus dem Gedächtnis; gesunde Augen unterscheiden sich um \
         0,04, SD 0,06 logMAR (Drover 2008)",
    ),
    (
        "WHO/ICD-11 categories of vision impairment, presenting acuity",
        "WHO/ICD-11, Kategorien der Sehbeeinträchtigung, vorhandene Sehschärfe",
    ),
    (
        "sensitivity 76 %, specificity 98 % for more than two lines (Clin Exp Optom 2014;97, n = 488); in \
         children of 6 to 7 it did not help",
        "Sensitivität 76 %, Spezifität 98 % bei mehr als zwei Zeilen (Clin Exp Optom 2014;97, n = 488); \
         bei Kindern von 6 bis 7 Jahren half es nicht",
    ),
    (
        "our wording; a medical cause is possible",
        "unsere Worte; eine medizinische Ursache ist möglich",
    ),
    (
        "retest limit 0.15 logMAR (Siderov and Tiu 1999); two distances: Zinkernagel and Mojon 2009, n = \
         42, small",
        "Wiederholungsgrenze 0,15 logMAR (Siderov und Tiu 1999); zwei Entfernungen: Zinkernagel und Mojon \
         2009, n = 42, klein",
    ),
];
