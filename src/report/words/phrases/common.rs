//! Sides, lists of frequencies, who acts: what stands in texts of every sort.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    ("right", "rechts"),
    ("left", "links"),
    ("both", "beide"),
    ("from right", "von rechts"),
    ("from left", "von links"),
    ("from above", "von oben"),
    ("from below", "von unten"),
    ("right ear", "rechtes Ohr"),
    ("left ear", "linkes Ohr"),
    ("right {} Hz", "rechts {0} Hz"),
    ("left {} Hz", "links {0} Hz"),
    ("{} dB at {}", "{0} dB bei {1}"),
    (
        "{} dB HL at {} (limit {})",
        "{0} dB HL bei {1} (Grenze {2})",
    ),
    ("none", "keine"),
    ("examiner", "untersuchend"),
    ("supervisor", "aufsichtführend"),
    ("trainee", "in Ausbildung"),
    ("as obtained", "wie erhoben"),
    ("under {}", "unter {0}"),
    ("over {}", "über {0}"),
];
