//! What is known of an earlier visit: figures only, kept in the plan, so that the change against
//! them can be folded from the journal alone.

use crate::calibration::{FieldError, within};
use crate::quantity::{Ear, Hz};
use serde::{Deserialize, Serialize};

/// An earlier visit's hearing, on the clinical scale.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlierVisit {
    /// Where the figures come from, in words: a file's name, or 'paper, the clinic's own'.
    pub source: String,
    /// The day of that visit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub on: Option<jiff::civil::Date>,
    /// SHA-256 of the earphone's profile, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earphone_digest: Option<String>,
    /// Thresholds of the right ear.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub right: Vec<EarlierThreshold>,
    /// Thresholds of the left ear.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left: Vec<EarlierThreshold>,
}

/// One threshold of an earlier visit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlierThreshold {
    /// The frequency.
    pub hz: Hz,
    /// The threshold.
    pub threshold_db_hl: f64,
    /// Its standard uncertainty from the answers alone, dB; left out, the figure of ISO 8253-1 for
    /// repeated determinations stands in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sd_db: Option<f64>,
}

impl EarlierVisit {
    /// The thresholds of an ear.
    #[must_use]
    pub fn ear(&self, ear: Ear) -> &[EarlierThreshold] {
        match ear {
            Ear::Right => &self.right,
            Ear::Left => &self.left,
        }
    }

    /// The threshold of an ear at a frequency.
    #[must_use]
    pub fn at(&self, ear: Ear, hz: Hz) -> Option<EarlierThreshold> {
        self.ear(ear).iter().find(|one| one.hz == hz).copied()
    }

    pub(super) fn check(&self) -> Result<(), FieldError> {
        if self.source.trim().is_empty() {
            return Err(FieldError::new(
                "earlier.source",
                "expected some words, found none",
            ));
        }
        for ear in Ear::BOTH {
            for one in self.ear(ear) {
                let field = |name: &str| format!("earlier.{ear}.{name}");
                within(&field("hz"), one.hz.0, 20.0, 20_000.0)?;
                within(&field("threshold_db_hl"), one.threshold_db_hl, -30.0, 130.0)?;
                within(&field("sd_db"), one.sd_db.unwrap_or(2.5), 0.0, 40.0)?;
            }
        }
        Ok(())
    }
}
