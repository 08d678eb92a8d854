//! Grades and cues of hearing.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    (
        "{}; leans on neighbouring frequencies at {}: measure there again",
        "{0}; stützt sich bei {1} auf Nachbarfrequenzen: dort noch einmal messen",
    ),
    ("normal hearing", "Normalhörigkeit"),
    ("unilateral hearing loss", "einseitiger Hörverlust"),
    ("mild hearing loss", "geringgradiger Hörverlust"),
    ("moderate hearing loss", "mittelgradiger Hörverlust"),
    (
        "moderately severe hearing loss",
        "mittel- bis hochgradiger Hörverlust",
    ),
    ("severe hearing loss", "hochgradiger Hörverlust"),
    ("profound hearing loss", "an Taubheit grenzender Hörverlust"),
    ("complete hearing loss", "vollständiger Hörverlust"),
    (
        "the other ear may have answered; masking was needed and did not settle it",
        "das andere Ohr kann geantwortet haben; Vertäubung war nötig und hat es nicht geklärt",
    ),
    (
        "cross-hearing is possible from {} dB HL",
        "ab {0} dB HL ist Überhören möglich",
    ),
    (
        "asymmetry: at least 15 dB between the ears at two adjacent frequencies",
        "Asymmetrie: mindestens 15 dB zwischen den Ohren bei zwei benachbarten Frequenzen",
    ),
    (
        "{} ear poorer by {} dB at {} Hz and {} dB at {} Hz",
        "{0} schlechter um {1} dB bei {2} Hz und {3} dB bei {4} Hz",
    ),
    (
        "{} ear: poorer than before by at least 30 dB at three consecutive frequencies; urgent if it came \
         within 72 hours",
        "{0}: schlechter als zuvor um mindestens 30 dB bei drei aufeinanderfolgenden Frequenzen; dringend, \
         wenn es binnen 72 Stunden kam",
    ),
    (
        "{} ear: at least 30 dB poorer than the other at three consecutive frequencies; ask since when, it \
         is urgent if it came within 72 hours",
        "{0}: mindestens 30 dB schlechter als das andere Ohr bei drei aufeinanderfolgenden Frequenzen; \
         fragen, seit wann: dringend, wenn es binnen 72 Stunden kam",
    ),
    (
        "{} ear: mean shift of at least 10 dB at 2, 3 and 4 kHz",
        "{0}: mittlere Verschiebung von mindestens 10 dB bei 2, 3 und 4 kHz",
    ),
    ("{} ear: a notch at {} Hz", "{0}: eine Senke bei {1} Hz"),
    (
        "{} dB HL, {} dB poorer than {} Hz and {} dB poorer than {} Hz",
        "{0} dB HL, {1} dB schlechter als {2} Hz und {3} dB schlechter als {4} Hz",
    ),
    (
        "{} ear: poorer than nine in ten otologically normal people of that age and sex, at three \
         frequencies or more",
        "{0}: schlechter als neun von zehn ohrgesunden Menschen dieses Alters und Geschlechts, bei drei \
         Frequenzen oder mehr",
    ),
    (
        "{} dB against {}; test and retest of an unchanged ear differ by {} dB (standard uncertainty)",
        "{0} dB gegen {1}; Prüfung und Wiederholung eines unveränderten Ohrs unterscheiden sich um {2} dB \
         (Standardunsicherheit)",
    ),
    (
        "hearing of the better ear in the moderate grade or beyond",
        "Hören des besseren Ohrs im mittleren Grad oder darüber",
    ),
    (
        "mean of 0.5, 1, 2 and 4 kHz at least {} dB HL",
        "Mittel aus 0,5, 1, 2 und 4 kHz mindestens {0} dB HL",
    ),
    (
        "screening: not heard at {}; screen again before anything follows",
        "Siebtest: nicht gehört bei {0}; noch einmal sieben, bevor etwas folgt",
    ),
    (
        "right {} Hz ({} of {} answered)",
        "rechts {0} Hz ({1} von {2} beantwortet)",
    ),
    (
        "left {} Hz ({} of {} answered)",
        "links {0} Hz ({1} von {2} beantwortet)",
    ),
    (
        "dB against the examiner",
        "dB gegen die untersuchende Person",
    ),
    ("dB re full scale", "dB re Vollaussteuerung"),
    (
        "{} dB against the examiner",
        "{0} dB gegen die untersuchende Person",
    ),
    ("{} dB re full scale", "{0} dB re Vollaussteuerung"),
];
