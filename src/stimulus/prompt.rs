//! What the examiner's hands present at the bedside, as plain data: one prompt, and what can be
//! answered to it.

use crate::quantity::Side;
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a series asks.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SeriesKind {
    /// One nostril: a scent, or a blank.
    Smell,
    /// One eye: something moves at the right, at the left, on both sides, or nowhere.
    FieldSides,
    /// One eye: a finger in one of four quadrants, or none.
    FieldQuadrants,
    /// One eye: a red target in one of four quadrants, or none.
    FieldRed,
    /// One eye: one, two or five fingers, held still in a quadrant.
    FieldFingers,
    /// One eye: how far out a target is seen, at one and at two metres.
    FieldExtent,
    /// Face, eyes closed: a light touch at one of six sites, or the same movement without it.
    Touch,
    /// Face, eyes closed: both sides are touched, with the same or with different things.
    TouchCompare,
    /// Ears, eyes closed: fingers are rubbed at the right, at the left, or nowhere.
    Rub,
    /// One ear: a whispered triple of letters and numbers.
    Whisper,
    /// One ear: a tuning fork that was struck, or was not.
    Fork,
}

/// An answer to a prompt.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "each is its own word")]
pub enum Reply {
    Yes,
    Nothing,
    Right,
    Left,
    Both,
    UpperRight,
    LowerRight,
    UpperLeft,
    LowerLeft,
    One,
    Two,
    Five,
    Same,
    Different,
    /// So many parts of a triple were repeated rightly, 0 to 3.
    Parts(u8),
    /// Seen from so many tens of centimetres off the middle, 0 to 9; 9 is 90 cm or more.
    TensCm(u8),
}

/// Where on the face, or where in the field.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "each is its own word")]
pub enum Place {
    RightBrow,
    RightCheek,
    RightJaw,
    LeftBrow,
    LeftCheek,
    LeftJaw,
    Brow,
    Cheek,
    Jaw,
    UpperRight,
    LowerRight,
    UpperLeft,
    LowerLeft,
    FromRight,
    FromLeft,
    FromAbove,
    FromBelow,
}

/// How strongly fingers are rubbed.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Strength {
    /// As softly as the examiner can just hear at the same distance.
    Faint,
    /// As strongly as can be.
    Strong,
}

/// What touches the skin where two sides are compared.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// A wisp of cotton.
    Cotton,
    /// The edge of a folded paper.
    Paper,
}

impl Material {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Material {
        match self {
            Material::Cotton => Material::Paper,
            Material::Paper => Material::Cotton,
        }
    }

    /// In a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Material::Cotton => "cotton",
            Material::Paper => "paper",
        }
    }
}

/// A letter-and-number triple to be whispered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(try_from = "String", into = "String")]
pub struct Triple(pub [char; 3]);

impl From<Triple> for String {
    fn from(triple: Triple) -> String {
        triple.0.iter().collect()
    }
}

impl TryFrom<String> for Triple {
    type Error = String;

    fn try_from(text: String) -> Result<Triple, String> {
        let signs: Vec<char> = text.chars().collect();
        let known = |sign: &char| LETTERS.contains(*sign) || DIGITS.contains(*sign);
        match signs.as_slice() {
            [a, b, c] if signs.iter().all(known) => Ok(Triple([*a, *b, *c])),
            _ => Err(format!(
                "expected three of {LETTERS}{DIGITS}, found {text:?}"
            )),
        }
    }
}

/// Letters that are whispered; those that rhyme with another or have several sounds are left out
/// (our choice).
pub const LETTERS: &str = "BFHJKLMQRSXY";
/// Numbers that are whispered, all of one syllable.
pub const DIGITS: &str = "12345689";

/// One prompt.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Prompt {
    /// The answer that tells what was presented; `nothing` where nothing is.
    pub target: Reply,
    /// Where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Place>,
    /// How strongly.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strength: Option<Strength>,
    /// What touches the right side, where the sides are compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right_with: Option<Material>,
    /// From how far, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distance_m: Option<u8>,
    /// What is whispered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<Triple>,
    /// How long the hands wait before it, s.
    pub gap_s: f64,
}

impl SeriesKind {
    /// All of them.
    pub const ALL: [SeriesKind; 11] = [
        SeriesKind::Smell,
        SeriesKind::FieldSides,
        SeriesKind::FieldQuadrants,
        SeriesKind::FieldRed,
        SeriesKind::FieldFingers,
        SeriesKind::FieldExtent,
        SeriesKind::Touch,
        SeriesKind::TouchCompare,
        SeriesKind::Rub,
        SeriesKind::Whisper,
        SeriesKind::Fork,
    ];

    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            SeriesKind::Smell => "smell",
            SeriesKind::FieldSides => "field_sides",
            SeriesKind::FieldQuadrants => "field_quadrants",
            SeriesKind::FieldRed => "field_red",
            SeriesKind::FieldFingers => "field_fingers",
            SeriesKind::FieldExtent => "field_extent",
            SeriesKind::Touch => "touch",
            SeriesKind::TouchCompare => "touch_compare",
            SeriesKind::Rub => "rub",
            SeriesKind::Whisper => "whisper",
            SeriesKind::Fork => "fork",
        }
    }

    /// The kind of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<SeriesKind> {
        SeriesKind::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// What is tested on one side at a time; none where each prompt has its own side.
    #[must_use]
    pub fn organ(self) -> Option<&'static str> {
        match self {
            SeriesKind::Smell => Some("nostril"),
            SeriesKind::FieldSides
            | SeriesKind::FieldQuadrants
            | SeriesKind::FieldRed
            | SeriesKind::FieldFingers
            | SeriesKind::FieldExtent => Some("eye"),
            SeriesKind::Whisper | SeriesKind::Fork => Some("ear"),
            SeriesKind::Touch | SeriesKind::TouchCompare | SeriesKind::Rub => None,
        }
    }

    /// What may be presented; empty where each prompt is its own.
    #[must_use]
    pub fn targets(self) -> &'static [Reply] {
        use Reply::{
            Both, Different, Five, Left, LowerLeft, LowerRight, Nothing, One, Right, Same, Two,
            UpperLeft, UpperRight, Yes,
        };
        match self {
            SeriesKind::Smell | SeriesKind::Touch | SeriesKind::Fork => &[Yes, Nothing],
            SeriesKind::FieldSides => &[Right, Left, Both, Nothing],
            SeriesKind::FieldQuadrants | SeriesKind::FieldRed => {
                &[UpperRight, LowerRight, UpperLeft, LowerLeft, Nothing]
            }
            SeriesKind::FieldFingers => &[One, Two, Five],
            SeriesKind::TouchCompare => &[Same, Different],
            SeriesKind::Rub => &[Right, Left, Nothing],
            SeriesKind::FieldExtent | SeriesKind::Whisper => &[],
        }
    }

    /// What may be answered.
    #[must_use]
    pub fn replies(self) -> Vec<Reply> {
        match self {
            SeriesKind::FieldExtent => (0..=9).map(Reply::TensCm).collect(),
            SeriesKind::Whisper => (0..=3).map(Reply::Parts).collect(),
            // Somebody who sees no finger need not guess.
            SeriesKind::FieldFingers => {
                let mut replies = self.targets().to_vec();
                replies.push(Reply::Nothing);
                replies
            }
            _ => self.targets().to_vec(),
        }
    }

    /// Whether something of this target can be presented in such a series.
    #[must_use]
    pub fn presents(self, target: Reply) -> bool {
        match self {
            SeriesKind::FieldExtent => target == Reply::TensCm(0),
            SeriesKind::Whisper => target == Reply::Parts(3),
            _ => self.targets().contains(&target),
        }
    }
}

impl fmt::Display for SeriesKind {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            SeriesKind::Smell => "smell",
            SeriesKind::FieldSides => "field, sides",
            SeriesKind::FieldQuadrants => "field, quadrants",
            SeriesKind::FieldRed => "field, red target",
            SeriesKind::FieldFingers => "field, fingers counted",
            SeriesKind::FieldExtent => "field, extent at 1 and 2 m",
            SeriesKind::Touch => "touch on the face",
            SeriesKind::TouchCompare => "touch compared between the sides",
            SeriesKind::Rub => "finger rub",
            SeriesKind::Whisper => "whispered triples",
            SeriesKind::Fork => "tuning fork",
        })
    }
}

impl Reply {
    /// In words.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Reply::Yes => "yes".into(),
            Reply::Nothing => "nothing".into(),
            Reply::Right => "right".into(),
            Reply::Left => "left".into(),
            Reply::Both => "both".into(),
            Reply::UpperRight => "upper right".into(),
            Reply::LowerRight => "lower right".into(),
            Reply::UpperLeft => "upper left".into(),
            Reply::LowerLeft => "lower left".into(),
            Reply::One => "one".into(),
            Reply::Two => "two".into(),
            Reply::Five => "five".into(),
            Reply::Same => "same".into(),
            Reply::Different => "different".into(),
            Reply::Parts(parts) => format!("{parts} of 3"),
            Reply::TensCm(9) => "90 cm or more".into(),
            Reply::TensCm(tens) => format!("{} cm", 10 * u32::from(tens)),
        }
    }

    /// The sides that are meant, right then left; none where the reply names no side.
    #[must_use]
    pub fn sides(self) -> Option<[bool; 2]> {
        match self {
            Reply::Right | Reply::UpperRight | Reply::LowerRight => Some([true, false]),
            Reply::Left | Reply::UpperLeft | Reply::LowerLeft => Some([false, true]),
            Reply::Both => Some([true, true]),
            Reply::Nothing => Some([false, false]),
            _ => None,
        }
    }
}

impl Place {
    /// The six sites of the face.
    pub const FACE: [Place; 6] = [
        Place::RightBrow,
        Place::RightCheek,
        Place::RightJaw,
        Place::LeftBrow,
        Place::LeftCheek,
        Place::LeftJaw,
    ];
    /// The three heights of the face, both sides at once.
    pub const HEIGHTS: [Place; 3] = [Place::Brow, Place::Cheek, Place::Jaw];
    /// The four quadrants of a field.
    pub const QUADRANTS: [Place; 4] = [
        Place::UpperRight,
        Place::LowerRight,
        Place::UpperLeft,
        Place::LowerLeft,
    ];
    /// From where a target comes in.
    pub const FROM: [Place; 4] = [
        Place::FromRight,
        Place::FromLeft,
        Place::FromAbove,
        Place::FromBelow,
    ];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Place::RightBrow => "right brow",
            Place::RightCheek => "right cheek",
            Place::RightJaw => "right jaw",
            Place::LeftBrow => "left brow",
            Place::LeftCheek => "left cheek",
            Place::LeftJaw => "left jaw",
            Place::Brow => "brow",
            Place::Cheek => "cheek",
            Place::Jaw => "jaw",
            Place::UpperRight => "upper right",
            Place::LowerRight => "lower right",
            Place::UpperLeft => "upper left",
            Place::LowerLeft => "lower left",
            Place::FromRight => "from right",
            Place::FromLeft => "from left",
            Place::FromAbove => "from above",
            Place::FromBelow => "from below",
        }
    }

    /// Its side, if it has one.
    #[must_use]
    pub fn side(self) -> Option<Side> {
        match self {
            Place::RightBrow
            | Place::RightCheek
            | Place::RightJaw
            | Place::UpperRight
            | Place::LowerRight
            | Place::FromRight => Some(Side::Right),
            Place::LeftBrow
            | Place::LeftCheek
            | Place::LeftJaw
            | Place::UpperLeft
            | Place::LowerLeft
            | Place::FromLeft => Some(Side::Left),
            _ => None,
        }
    }
}

/// One thing that truly reaches the person, as another program is told of it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
#[expect(missing_docs, reason = "described in the journal's FORMAT.md")]
pub struct PromptPart<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nostril: Option<Side>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub eye: Option<Side>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ear: Option<Side>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scent: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moves: Option<Side>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Place>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fingers: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub distance_m: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub with: Option<Material>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strength: Option<Strength>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says: Option<Triple>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fork_hz: Option<u32>,
}

/// A prompt with what its whole series has in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prompted<'a> {
    /// What is asked.
    pub kind: SeriesKind,
    /// Of which nostril, eye or ear.
    pub side: Option<Side>,
    /// What the person smells, in a series of smell.
    pub scent: Option<&'a str>,
    /// What the hands do.
    pub prompt: &'a Prompt,
}

impl<'a> Prompted<'a> {
    /// What truly reaches the person; nothing where there is a blank, a sham or still hands.
    #[must_use]
    pub fn parts(&self) -> Vec<PromptPart<'a>> {
        let none = PromptPart::default();
        let prompt = self.prompt;
        if prompt.target == Reply::Nothing {
            return Vec::new();
        }
        let eye = PromptPart {
            eye: self.side,
            ..none
        };
        match self.kind {
            SeriesKind::Smell => vec![PromptPart {
                nostril: self.side,
                scent: self.scent,
                ..none
            }],
            SeriesKind::FieldSides => {
                let [right, left] = prompt.target.sides().unwrap_or_default();
                let moves = [(right, Side::Right), (left, Side::Left)];
                moves
                    .into_iter()
                    .filter(|(moves, _)| *moves)
                    .map(|(_, side)| PromptPart {
                        moves: Some(side),
                        ..eye
                    })
                    .collect()
            }
            SeriesKind::FieldQuadrants | SeriesKind::FieldRed => {
                let red = self.kind == SeriesKind::FieldRed;
                vec![PromptPart {
                    at: prompt.at,
                    target: Some(if red { "red" } else { "finger" }),
                    ..eye
                }]
            }
            SeriesKind::FieldFingers => vec![PromptPart {
                at: prompt.at,
                fingers: Some(match prompt.target {
                    Reply::One => 1,
                    Reply::Two => 2,
                    _ => 5,
                }),
                ..eye
            }],
            SeriesKind::FieldExtent => vec![PromptPart {
                at: prompt.at,
                distance_m: prompt.distance_m,
                ..eye
            }],
            SeriesKind::Touch => vec![PromptPart {
                at: prompt.at,
                ..none
            }],
            SeriesKind::TouchCompare => {
                let right = prompt.right_with.unwrap_or(Material::Cotton);
                let left = if prompt.target == Reply::Same {
                    right
                } else {
                    right.other()
                };
                [(Side::Right, right), (Side::Left, left)]
                    .map(|(side, with)| PromptPart {
                        at: prompt.at,
                        side: Some(side),
                        with: Some(with),
                        ..none
                    })
                    .to_vec()
            }
            SeriesKind::Rub => {
                let [right, _] = prompt.target.sides().unwrap_or_default();
                vec![PromptPart {
                    ear: Some(if right { Side::Right } else { Side::Left }),
                    strength: prompt.strength,
                    ..none
                }]
            }
            SeriesKind::Whisper => vec![PromptPart {
                ear: self.side,
                says: prompt.says,
                ..none
            }],
            SeriesKind::Fork => vec![PromptPart {
                ear: self.side,
                fork_hz: Some(512),
                ..none
            }],
        }
    }
}
