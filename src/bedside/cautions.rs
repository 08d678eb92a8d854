//! What has to be known before, during and after the steps done by hand, each with its source.

use crate::stimulus::SeriesKind;
use serde::{Deserialize, Serialize};

/// Something that must not be concluded, or has to be known when reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Caution {
    /// What.
    pub what: String,
    /// Where it stands.
    pub source: String,
}

impl Caution {
    fn of([what, source]: [&str; 2]) -> Caution {
        Caution {
            what: what.into(),
            source: source.into(),
        }
    }
}

/// Before every series.
pub const BEFORE: [&str; 4] = [
    "Turn this screen away from the person; eyes closed, or the other eye covered.",
    "Clean hands, and whatever touches skin or ear, before and after each person.",
    "Move alike in every prompt, also where nothing is presented; say nothing, nod at nothing.",
    "Gag and corneal reflexes are never tested this way. Stop when anything is unpleasant.",
];

/// Signs that mean: refer now, whatever is found here. Eyes: a referral pathway of an
/// eye casualty, published, from memory; the rest: common practice, no source.
pub const REFER_NOW: [&str; 8] = [
    "sudden loss of sight or of hearing, also where it came back",
    "a new loss of field, above all in both eyes",
    "new double vision, a drooping lid, or unequal pupils, above all with headache or pain",
    "a face, arm or speech that became weak within hours or days",
    "swollen discs, or headache with vomiting or clouded mind",
    "new trouble with swallowing, speaking or breathing",
    "numb face with a weak eye closure or a red eye: the cornea is in danger",
    "new unsteadiness with vertigo, or a head injury",
];

/// What must not be concluded from any series.
const ALWAYS: [[&str; 2]; 4] = [
    [
        "The examiner sees the prompt, is not blind to it, and can give signs without wanting to; \
         strengths by hand are not calibrated.",
        "common practice, no source",
    ],
    [
        "Fewer right answers than guessing gives means just that. It does not say why; \
         misunderstanding, swapped sides, tiredness and illness can do it.",
        "Graef 1999 and Bruce and Newman 2010, PMC2907364, of sight; for the rest our own wording",
    ],
    [
        "Agreement is no proof of health, and disagreement no proof of its absence: of 133 people \
         whose findings did not fit together 71 (53 %) had something abnormal as well.",
        "Scott and Egan 2003",
    ],
    [
        "Voiding prompts by what they were, or by what was answered, shifts every count: void only \
         what was not done as shown, before the answer.",
        "our own derivation",
    ],
];

const FIELDS: [[&str; 2]; 4] = [
    [
        "Somebody who is blind in a half, or in an eye, rightly answers 'nothing' there: such \
         misses are what is expected, and are not counted against the answers.",
        "our own derivation",
    ],
    [
        "Normal to confrontation is not a full field. Of 512 fields confrontation found 50 % of \
         the defects, at a specificity of 93.4 %; single and double finger counting found 31 %, \
         at 99 %.",
        "Johnson and Baloh 1991; 175 eyes, PubMed 14663305",
    ],
    [
        "The best single step, a small red target, finds 73 % (95 % interval 63 to 82); moved in \
         from the side 74.4 %, at a specificity of 93.0 %.",
        "Pandit 2001 (n = 138); Kerr 2010 (301 eyes), PubMed 20385890",
    ],
    [
        "One side left out only where both are shown may be extinction, inattention or a shallow \
         defect; a cancellation task screens better for neglect.",
        "EAN 2022, PMC9544365; PMC8653531",
    ],
];

const EXTENT: [[&str; 2]; 1] = [[
    "A field that is an angle is twice as wide in cm at two metres. One that is not may be so for \
     several reasons: distance held badly, attention, understanding, illness.",
    "American Academy of Ophthalmology, tangent screen",
]];

const TOUCH: [[&str; 2]; 2] = [
    [
        "Numbness that ends at the midline, and vibration felt less on one side of the forehead, \
         separate nothing: 20 % against 7.5 % and 95 % against 86 %, neither significant, \
         n = 100. They can be noted and are never scored.",
        "J Nerv Ment Dis, November 1988; Daum 2014 (from memory)",
    ],
    [
        "There are no norms for same or different on the face.",
        "searched for, none found",
    ],
];

const SMELL: [[&str; 2]; 1] = [[
    "Telling scents apart separates weakly: 90 % sensitivity at 55.7 % specificity among 70 people \
     acting. Self-reported smell agrees poorly with tests. Never a verdict.",
    "a study in Tehran, 2012; PMC9468236",
]];

const RUB: [[&str; 2]; 1] = [[
    "At arm's length a strong rub that is not heard had a specificity of 100 %, a faint rub that \
     is heard a negative predictive value of 99 % for hearing within 25 dB (442 ears, people of a \
     neurology clinic; the article has a correction). Elsewhere 91 % sensitivity (n = 125).",
    "Torres-Russotto 2009, PubMed 19414727; Strawbridge and Wallhagen 2017",
]];

const WHISPER: [[&str; 2]; 1] = [[
    "The whispered voice found 90 to 100 % of losses at 70 to 87 % specificity, in hands that \
     differ: arm's length, from behind, the other ear masked, after breathing out. So few parts are \
     right by guessing that fewer than that cannot be told.",
    "Pirozzo 2003, BMJ 327:967",
]];

const FORK: [[&str; 2]; 1] = [[
    "A fork that is struck can be felt as well as heard: hold it in the air beside the ear. It is \
     no threshold.",
    "common practice, no source",
]];

/// What must not be concluded where these kinds were done.
#[must_use]
pub fn not_concluded(kinds: &[SeriesKind]) -> Vec<Caution> {
    let did = |some: &[SeriesKind]| kinds.iter().any(|kind| some.contains(kind));
    let fields = [
        SeriesKind::FieldSides,
        SeriesKind::FieldQuadrants,
        SeriesKind::FieldRed,
        SeriesKind::FieldFingers,
        SeriesKind::FieldExtent,
    ];
    let mut all: Vec<[&str; 2]> = Vec::new();
    let chapters: [(&[SeriesKind], &[[&str; 2]]); 8] = [
        (kinds, &ALWAYS),
        (&fields, &FIELDS),
        (&[SeriesKind::FieldExtent], &EXTENT),
        (&[SeriesKind::Touch, SeriesKind::TouchCompare], &TOUCH),
        (&[SeriesKind::Smell], &SMELL),
        (&[SeriesKind::Rub], &RUB),
        (&[SeriesKind::Whisper], &WHISPER),
        (&[SeriesKind::Fork], &FORK),
    ];
    for (some, chapter) in chapters {
        if did(some) {
            all.extend_from_slice(chapter);
        }
    }
    all.into_iter().map(Caution::of).collect()
}

/// How a series is done, in a few words for the examiner.
#[must_use]
pub fn how(kind: SeriesKind) -> &'static str {
    match kind {
        SeriesKind::Smell => {
            "Eyes closed, the other nostril held shut. Scent or blank under the nostril for two breaths. \
             'Do you smell anything?' Ask about asthma and allergy first."
        }
        SeriesKind::FieldSides => {
            "Knee to knee, the other eye covered, looking at your eye. Wiggle a finger on the side \
             shown, halfway out; hold both hands up also for 'nothing'. 'Where does it move?'"
        }
        SeriesKind::FieldQuadrants => {
            "Knee to knee, the other eye covered, looking at your eye. A finger moves in the quadrant \
             shown, as the person sees it. 'Where?'"
        }
        SeriesKind::FieldRed => {
            "Knee to knee, the other eye covered, looking at your eye. A small red target appears \
             about 15 degrees out in the quadrant shown. 'Where is it red?'"
        }
        SeriesKind::FieldFingers => {
            "Knee to knee, the other eye covered, looking at your eye. Hold the fingers still for a \
             second in the quadrant shown. 'How many?'"
        }
        SeriesKind::FieldExtent => {
            "The other eye covered, looking at a mark on the wall, from the distance shown, \
             measured. Bring the target in from where it says; enter where it is first seen, in \
             tens of cm from the mark."
        }
        SeriesKind::Touch => {
            "Eyes closed. A wisp of cotton at the site shown, near the midline (the angle of the \
             jaw belongs to the neck); for 'nothing' the same movement without touching. 'Now?'"
        }
        SeriesKind::TouchCompare => {
            "Eyes closed. Touch right, then left, at the height shown, with what it says. 'The same \
             or different?'"
        }
        SeriesKind::Rub => {
            "Eyes closed, from in front, arms stretched out to both sides of the head (70 cm). Rub \
             thumb and fingers on the side shown; faint is as soft as you can still hear. 'Which side?'"
        }
        SeriesKind::Whisper => {
            "From behind at arm's length, the other ear masked by rubbing the tragus. Breathe out, \
             then whisper the triple. Enter how many parts are repeated in their places."
        }
        SeriesKind::Fork => {
            "512 Hz, beside the ear, out of sight, eyes closed. Struck, or only held there. 'Do you \
             hear it?'"
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published figures, each as its caution cites it, stand beside the kinds to which
    /// they belong.
    #[test]
    fn published_figures_stand_beside_their_kinds() {
        for (kind, figures) in [
            (
                SeriesKind::FieldRed,
                &["73 %", "63 to 82", "74.4 %", "93.0 %", "31 %"][..],
            ),
            (SeriesKind::Rub, &["100 %", "99 %", "442 ears"]),
            (SeriesKind::Smell, &["90 %", "55.7 %"]),
            (
                SeriesKind::Touch,
                &["20 % against 7.5 %", "95 % against 86 %"],
            ),
            (SeriesKind::Whisper, &["90 to 100 %", "70 to 87 %"]),
        ] {
            let all = not_concluded(&[kind]);
            for figure in figures {
                let found = all.iter().any(|one| one.what.contains(figure));
                assert!(found, "{figure} for {kind}");
            }
            assert!(all.iter().all(|one| !one.source.is_empty()));
        }
        assert!(not_concluded(&[]).is_empty());
    }
}
