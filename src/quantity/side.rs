//! Senses, ears, eyes and sides.

use serde::{Deserialize, Serialize};
use std::fmt;

/// What is examined.
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
pub enum Sense {
    /// Hearing.
    Hearing,
    /// Sight.
    Sight,
}

impl fmt::Display for Sense {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Sense::Hearing => "hearing",
            Sense::Sight => "sight",
        })
    }
}

/// An ear of the examined person.
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
pub enum Ear {
    /// The person's right ear.
    Right,
    /// The person's left ear.
    Left,
}

impl Ear {
    /// Right, then left.
    pub const BOTH: [Ear; 2] = [Ear::Right, Ear::Left];

    /// The other ear.
    #[must_use]
    pub fn other(self) -> Ear {
        match self {
            Ear::Right => Ear::Left,
            Ear::Left => Ear::Right,
        }
    }
}

impl fmt::Display for Ear {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Ear::Right => "right",
            Ear::Left => "left",
        })
    }
}

/// Which eye looks; the other one is covered.
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
pub enum Eye {
    /// The person's right eye.
    Right,
    /// The person's left eye.
    Left,
    /// Both eyes open.
    Both,
}

impl Eye {
    /// Right, left, both.
    pub const ALL: [Eye; 3] = [Eye::Right, Eye::Left, Eye::Both];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Eye::Right => "right eye",
            Eye::Left => "left eye",
            Eye::Both => "both eyes",
        }
    }
}

impl fmt::Display for Eye {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Eye::Right => "right",
            Eye::Left => "left",
            Eye::Both => "both",
        })
    }
}

/// A side of the examined person.
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
pub enum Side {
    /// The person's right.
    Right,
    /// The person's left.
    Left,
}

impl Side {
    /// Right, then left.
    pub const BOTH: [Side; 2] = [Side::Right, Side::Left];

    /// The other side.
    #[must_use]
    pub fn other(self) -> Side {
        match self {
            Side::Right => Side::Left,
            Side::Left => Side::Right,
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Side::Right => "right",
            Side::Left => "left",
        })
    }
}
