//! Results that somebody else measured, entered by hand. They are told apart from what was measured
//! here wherever they are shown, and no figure of ours is made of them.

use super::earlier::EarlierThreshold;
use crate::calibration::{FieldError, within};
use crate::quantity::{Ear, Eye};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What was found elsewhere.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OutsideResults {
    /// Where they come from, in words: 'letter of the harbour clinic', 'paper, own earlier chart'.
    pub source: String,
    /// The day they were found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub on: Option<Date>,
    /// Thresholds of the right ear, dB HL as they are told.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub right: Vec<EarlierThreshold>,
    /// Thresholds of the left ear.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left: Vec<EarlierThreshold>,
    /// Acuities.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sight: Vec<OutsideAcuity>,
    /// Anything else, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub remark: String,
}

/// An acuity that was found elsewhere.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OutsideAcuity {
    /// Which eye.
    pub eye: Eye,
    /// logMAR as it is told.
    pub log_mar: f64,
    /// With which correction, in words; empty where that is not told.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub correction: String,
}

impl OutsideResults {
    /// The thresholds of an ear.
    #[must_use]
    pub fn ear(&self, ear: Ear) -> &[EarlierThreshold] {
        match ear {
            Ear::Right => &self.right,
            Ear::Left => &self.left,
        }
    }

    /// Whether these can be results.
    ///
    /// # Errors
    /// Names the field and what was expected.
    pub fn check(&self) -> Result<(), FieldError> {
        let wrong = |field: &str, what: &str| Err(FieldError::new(field, what));
        if self.source.trim().is_empty() || self.source.len() > 500 {
            return wrong(
                "source",
                "expected 1 to 500 characters that say where they come from",
            );
        }
        if self.remark.len() > 10_000 {
            return wrong("remark", "expected at most 10000 characters");
        }
        if self.right.is_empty()
            && self.left.is_empty()
            && self.sight.is_empty()
            && self.remark.is_empty()
        {
            return wrong(
                "right, left, sight, remark",
                "expected one of them, found none",
            );
        }
        for ear in Ear::BOTH {
            if self.ear(ear).len() > 100 {
                return wrong(&format!("{ear}"), "expected at most 100 thresholds");
            }
            for one in self.ear(ear) {
                within(&format!("{ear}.hz"), one.hz.0, 20.0, 20_000.0)?;
                within(
                    &format!("{ear}.threshold_db_hl"),
                    one.threshold_db_hl,
                    -30.0,
                    130.0,
                )?;
                within(&format!("{ear}.sd_db"), one.sd_db.unwrap_or(2.5), 0.0, 40.0)?;
            }
        }
        if self.sight.len() > 100 {
            return wrong("sight", "expected at most 100 acuities");
        }
        for one in &self.sight {
            within("sight.log_mar", one.log_mar, -1.0, 3.0)?;
        }
        Ok(())
    }
}
