//! Frequency.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A frequency in hertz.
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct Hz(pub f64);

impl Hz {
    /// How many octaves `self` lies above `other` (negative below).
    #[must_use]
    pub fn octaves_above(self, other: Hz) -> f64 {
        libm::log2(self.0 / other.0)
    }
}

impl fmt::Display for Hz {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} Hz", self.0)
    }
}
