//! Sight: categories, corrections, two distances, cues, and what is asked of the eyes.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    ("as_worn", "wie getragen"),
    ("as worn", "wie getragen"),
    (
        "left and right were answered the other way round",
        "links und rechts wurden vertauscht beantwortet",
    ),
    ("no vision impairment", "keine Sehbeeinträchtigung"),
    ("mild vision impairment", "leichte Sehbeeinträchtigung"),
    ("moderate vision impairment", "mittlere Sehbeeinträchtigung"),
    ("severe vision impairment", "schwere Sehbeeinträchtigung"),
    ("blindness", "Blindheit"),
    (
        "best-corrected acuity of the better eye; the scheme itself goes by presenting acuity",
        "bestkorrigierte Sehschärfe des besseren Auges; das Schema selbst geht nach der vorhandenen Sehschärfe",
    ),
    (
        "presenting acuity of the better eye, with own correction",
        "vorhandene Sehschärfe des besseren Auges, mit eigener Korrektur",
    ),
    (
        "acuity of the better eye as worn, not noted; presenting acuity if that is the person's usual correction",
        "Sehschärfe des besseren Auges wie getragen, nicht vermerkt; vorhandene Sehschärfe, falls das die \
         übliche Korrektur der Person ist",
    ),
    (
        "from {} and {} m: not interpretable, {}",
        "aus {0} und {1} m: nicht zu deuten, {2}",
    ),
    (
        "from {} and {} m: the acuities agree as angles ({} ± {} logMAR, 95 %)",
        "aus {0} und {1} m: die Sehschärfen stimmen als Winkel überein ({2} ± {3} logMAR, 95 %)",
    ),
    (
        "from {} and {} m: the acuities differ by {} ± {} logMAR (95 %), more than repeated measurements \
         usually do ({}); one size in millimetres from both would be {}. A distance that was measured \
         wrongly, light, attention and tiredness can do it too",
        "aus {0} und {1} m: die Sehschärfen unterscheiden sich um {2} ± {3} logMAR (95 %), mehr als \
         wiederholte Messungen gewöhnlich ({4}); eine Größe in Millimetern aus beiden wären {5}. Auch eine \
         falsch gemessene Entfernung, Licht, Aufmerksamkeit und Müdigkeit können das",
    ),
    (
        "the eye focuses {} D nearer, more than {} D",
        "das Auge stellt um {0} dpt näher ein, mehr als {1} dpt",
    ),
    (
        "the correction is not known and no pinhole was used: an eye with short sight truly sees better \
         from nearer",
        "die Korrektur ist nicht bekannt und keine Lochblende war dabei: ein kurzsichtiges Auge sieht aus \
         der Nähe wirklich besser",
    ),
    (
        "the uncertainty of the acuities is not known",
        "die Unsicherheit der Sehschärfen ist nicht bekannt",
    ),
    (
        "a difference of {} ± {} logMAR (95 %) cannot be told from none, nor from that of one size in millimetres",
        "ein Unterschied von {0} ± {1} logMAR (95 %) ist weder von keinem zu unterscheiden noch von dem \
         einer Größe in Millimetern",
    ),
    (
        "From {} m nothing smaller than {} logMAR ({}) can be shown: a difference between two eyes that \
         both read it may hide there.",
        "Aus {0} m ist nichts Kleineres als {1} logMAR ({2}) zu zeigen: ein Unterschied zwischen zwei \
         Augen, die das beide lesen, kann dort verborgen bleiben.",
    ),
    (
        "The eyes were asked with different optotypes: rings and letters differ by 0.05 to 0.1 logMAR, in \
         low vision by up to 0.3 (Plainis 2013, Petersen 1999).",
        "Die Augen wurden mit verschiedenen Sehzeichen gefragt: Ringe und Buchstaben unterscheiden sich um \
         0,05 bis 0,1 logMAR, bei geringem Sehvermögen um bis zu 0,3 (Plainis 2013, Petersen 1999).",
    ),
    (
        "Has your sight become worse within hours or days?",
        "Ist das Sehen innerhalb von Stunden oder Tagen schlechter geworden?",
    ),
    (
        "Was your sight gone for a while, and came back?",
        "War das Sehen eine Weile weg und kam wieder?",
    ),
    ("Do you see flashes of light?", "Lichtblitze?"),
    (
        "Do you see new specks that float, or many more than before?",
        "Neue schwebende Flecken, oder viel mehr als zuvor?",
    ),
    (
        "Is there a curtain or a shadow over a part of what you see?",
        "Ein Vorhang oder Schatten über einem Teil des Gesehenen?",
    ),
    (
        "Is a part of what you see missing, newly?",
        "Fehlt neuerdings ein Teil des Gesehenen?",
    ),
    (
        "Is an eye red and does it hurt?",
        "Ist ein Auge rot und schmerzt?",
    ),
    (
        "Does it hurt to move an eye?",
        "Schmerzt es, ein Auge zu bewegen?",
    ),
    (
        "Does your jaw or scalp hurt, or have you a new headache? (from 50 years on)",
        "Schmerzen Kiefer oder Kopfhaut, oder ein neuer Kopfschmerz? (ab 50 Jahren)",
    ),
    ("Do you see things double?", "Doppelbilder?"),
    (
        "Has a blow, a splinter or a chemical reached an eye?",
        "Traf ein Schlag, ein Splitter oder eine Chemikalie ein Auge?",
    ),
    (
        "Do straight lines look bent?",
        "Erscheinen gerade Linien verbogen?",
    ),
    (
        "Has anyone seen a white pupil, also in a photograph?",
        "Hat jemand eine weiße Pupille gesehen, auch auf einem Foto?",
    ),
    (
        "Do you see coloured rings around lights, and feel sick?",
        "Farbige Ringe um Lichter, und Übelkeit?",
    ),
    (
        "the eyes differ by two lines or more",
        "die Augen unterscheiden sich um zwei Zeilen oder mehr",
    ),
    (
        "correction as worn, not noted",
        "Korrektur wie getragen, nicht vermerkt",
    ),
    ("as worn, not noted", "wie getragen, nicht vermerkt"),
    ("without correction", "ohne Korrektur"),
    ("with own correction for far", "mit eigener Fernkorrektur"),
    (
        "with own correction for reading",
        "mit eigener Lesekorrektur",
    ),
    ("with the best correction", "mit der besten Korrektur"),
    (
        "below 6/12 in the better eye, with the correction worn",
        "unter 6/12 am besseren Auge, mit der getragenen Korrektur",
    ),
    (
        "better eye {}; the limit is 0.30 logMAR; the limit lies within the uncertainty",
        "besseres Auge {0}; die Grenze ist 0,30 logMAR; die Grenze liegt innerhalb der Unsicherheit",
    ),
    (
        "better eye {}; the limit is 0.30 logMAR",
        "besseres Auge {0}; die Grenze ist 0,30 logMAR",
    ),
    (
        "right eye {}; left eye {}",
        "rechtes Auge {0}; linkes Auge {1}",
    ),
    (
        "{}: {}; through a pinhole {}",
        "{0}: {1}; durch eine Lochblende {2}",
    ),
    ("right eye", "rechtes Auge"),
    ("left eye", "linkes Auge"),
    ("both eyes", "beide Augen"),
    ("better than {} logMAR", "besser als {0} logMAR"),
    ("worse than {} logMAR", "schlechter als {0} logMAR"),
    (
        "{} logMAR, its uncertainty is not known",
        "{0} logMAR, Unsicherheit nicht bekannt",
    ),
    ("fingers counted", "Finger gezählt"),
    ("fingers counted at {} m", "Finger aus {0} m gezählt"),
    ("hand motion seen", "Handbewegung gesehen"),
    ("hand motion seen at {} m", "Handbewegung aus {0} m gesehen"),
    ("light seen", "Licht gesehen"),
    ("no light seen", "kein Licht gesehen"),
    (
        "better by two lines or more through a pinhole: an error of refraction is likely",
        "durch eine Lochblende um zwei Zeilen oder mehr besser: ein Brechungsfehler ist wahrscheinlich",
    ),
    (
        "below 6/12 and no two lines better through a pinhole: not explained by refraction",
        "unter 6/12 und durch eine Lochblende keine zwei Zeilen besser: durch die Brechkraft nicht erklärt",
    ),
    ("told by the person: {}", "von der Person gesagt: {0}"),
    (
        "told by the person, {}: {}",
        "von der Person gesagt, {0}: {1}",
    ),
    ("told by the person, {}", "von der Person gesagt, {0}"),
    ("told by the person", "von der Person gesagt"),
    ("sudden loss of sight", "plötzlicher Sehverlust"),
    ("sight lost for a while", "Sehen war eine Zeitlang fort"),
    ("flashes of light", "Lichtblitze"),
    ("new floaters", "neue schwebende Punkte"),
    (
        "a curtain over the field",
        "ein Vorhang über dem Gesichtsfeld",
    ),
    ("new loss of field", "neuer Gesichtsfeldausfall"),
    ("a painful red eye", "ein schmerzhaftes rotes Auge"),
    ("pain on eye movement", "Schmerz beim Bewegen der Augen"),
    (
        "jaw or scalp pain or headache under 50",
        "Schmerz von Kiefer oder Kopfhaut oder Kopfschmerz unter 50",
    ),
    (
        "jaw or scalp pain or new headache from 50 years on",
        "Schmerz von Kiefer oder Kopfhaut oder neuer Kopfschmerz ab 50 Jahren",
    ),
    ("double vision", "Doppelbilder"),
    ("injury of an eye", "Verletzung eines Auges"),
    ("straight lines look bent", "gerade Linien wirken verbogen"),
    ("a white pupil", "eine weiße Pupille"),
    ("haloes with nausea", "Lichthöfe mit Übelkeit"),
    (
        "acuities from two distances differ, {}",
        "die Sehschärfen aus zwei Entfernungen unterscheiden sich, {0}",
    ),
    (
        "left and right were answered the other way round throughout",
        "links und rechts wurden durchweg vertauscht beantwortet",
    ),
    (
        "all answers to clearly visible optotypes that point sideways were as in a mirror",
        "alle Antworten auf klar sichtbare seitliche Sehzeichen waren wie im Spiegel",
    ),
];
