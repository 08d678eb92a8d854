//! Lengths.

use serde::{Deserialize, Serialize};

/// A length in millimetres.
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct Mm(pub f64);
