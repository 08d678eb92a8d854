//! What the figures are and what they are not; earphones, and parts of an uncertainty.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    (
        "A screening and measuring aid, not certified and not a diagnosis",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose.",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis; local rules and licensed \
         practice come first.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose; örtliche Regeln und \
         zugelassene Fachleute gehen vor.",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis; local rules and licensed \
         practice come first. Levels are against the examiner's own ears on the same set-up: the \
         examiner's own loss shifts every one of them.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose; örtliche Regeln und \
         zugelassene Fachleute gehen vor. Pegel gelten gegen die eigenen Ohren der untersuchenden Person \
         am selben Aufbau: deren eigener Verlust verschiebt jeden davon.",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis; local rules and licensed \
         practice come first. Levels are re full scale: nothing is known of the air.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose; örtliche Regeln und \
         zugelassene Fachleute gehen vor. Pegel sind re Vollaussteuerung: über den Schall in der Luft ist \
         nichts bekannt.",
    ),
    (
        "Air conduction only: masking rules 2 and 3, which need bone conduction, cannot be applied, and a \
         conductive part of a loss cannot be seen.",
        "Nur Luftleitung: die Vertäubungsregeln 2 und 3, die Knochenleitung brauchen, sind nicht \
         anwendbar, und ein Schallleitungsanteil ist nicht zu erkennen.",
    ),
    (
        "Heard or not heard at one level, which is no threshold and no diagnosis; what was not heard is \
         usually screened again before anything follows.",
        "Gehört oder nicht gehört bei einem Pegel; das ist keine Schwelle und keine Diagnose. Was nicht \
         gehört wurde, wird gewöhnlich noch einmal gesiebt, bevor etwas folgt.",
    ),
    ("supra-aural", "ohraufliegend"),
    (
        "supra-aural, domed cushion",
        "ohraufliegend, gewölbtes Polster",
    ),
    (
        "supra-aural, flat cushion",
        "ohraufliegend, flaches Polster",
    ),
    ("circumaural", "ohrumschließend"),
    ("insert, {}", "Einsteckhörer, {0}"),
    (
        "2 cm³ coupler with rigid tube",
        "2-cm³-Kuppler mit starrem Schlauch",
    ),
    ("2 cm³ coupler HA-1", "2-cm³-Kuppler HA-1"),
    ("occluded-ear simulator", "Ohrsimulator"),
    ("levels of the output", "Pegel des Ausgangs"),
    ("type of the earphone", "Bauart des Hörers"),
    ("how the earphone sits", "Sitz des Hörers"),
    ("noise of the room", "Lärm im Raum"),
    ("the answers", "die Antworten"),
    ("steps of 5 dB", "Schritte von 5 dB"),
    ("masking", "Vertäubung"),
    ("so few listeners", "so wenige Hörende"),
    (
        "how well the listeners themselves hear",
        "wie gut die Hörenden selbst hören",
    ),
];
