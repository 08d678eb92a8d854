//! What a person looks through.

use serde::{Deserialize, Serialize};
use std::fmt;

/// What correction an eye wears while it is tested.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Correction {
    /// Whatever is worn; nobody noted which.
    #[default]
    AsWorn,
    /// Nothing is worn.
    Without,
    /// The person's own correction for far.
    Own,
    /// The person's own correction for reading.
    OwnNear,
    /// The best correction for this distance, as it was found by refraction.
    Best,
}

impl Correction {
    /// All of them, from unknown to best.
    pub const ALL: [Correction; 5] = [
        Correction::AsWorn,
        Correction::Without,
        Correction::Own,
        Correction::OwnNear,
        Correction::Best,
    ];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Correction::AsWorn => "correction as worn, not noted",
            Correction::Without => "without correction",
            Correction::Own => "with own correction for far",
            Correction::OwnNear => "with own correction for reading",
            Correction::Best => "with the best correction",
        }
    }

    /// Whether far is known to be corrected, so that blur is no likely reason for a difference.
    #[must_use]
    pub fn is_known_for_far(self) -> bool {
        matches!(self, Correction::Own | Correction::Best)
    }
}

impl fmt::Display for Correction {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.words())
    }
}
