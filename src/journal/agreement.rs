//! What is presented to see how the answers agree, as data of the plan.

use crate::calibration::{FieldError, within};
use crate::quantity::Hz;
use crate::standard::test_hz;
use serde::{Deserialize, Serialize};

/// How many presentations of each sort follow the thresholds, each sort in a block whose size is
/// fixed beforehand. Nothing is presented unless the plan asks for it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct AgreementPlan {
    /// At these frequencies levels rise, and then fall, steadily at each ear, Hz.
    pub sweeps_hz: Vec<Hz>,
    /// A falling sweep begins so far over the admitted threshold, dB; never above 90 dB HL.
    pub sweep_from_db: f64,
    /// So many tones in both ears at once, where the ears were measured 20 dB or more apart.
    pub both_ears: u32,
    /// So many choices between two intervals below the admitted threshold, for both ears together …
    pub choices_below: u32,
    /// … by so much, dB.
    pub below_db: f64,
    /// So many choices between two intervals just below the admitted threshold, where somebody who
    /// answers what they hear still chooses rightly more often than not.
    pub choices_near: u32,
    /// So many tones near the admitted threshold, half of them after loud, half after soft company.
    pub company: u32,
    /// At most so many presentations beyond the measuring ones; the choices between intervals are fewer
    /// where others were many.
    pub most: u32,
}

impl Default for AgreementPlan {
    fn default() -> Self {
        AgreementPlan {
            sweeps_hz: Vec::new(),
            sweep_from_db: 35.0,
            both_ears: 0,
            choices_below: 0,
            below_db: 15.0,
            choices_near: 0,
            company: 0,
            most: 126,
        }
    }
}

impl AgreementPlan {
    pub(super) fn check(&self) -> Result<(), FieldError> {
        let field = |key: &str| format!("hearing.agreement.{key}");
        within(
            &field("sweeps_hz (how many)"),
            self.sweeps_hz.len() as f64,
            0.0,
            8.0,
        )?;
        for hz in &self.sweeps_hz {
            if !test_hz().any(|known| known == *hz) {
                let problem = format!("expected test frequencies, found {}", hz.0);
                return Err(FieldError::new(field("sweeps_hz"), problem));
            }
        }
        within(&field("sweep_from_db"), self.sweep_from_db, 20.0, 60.0)?;
        within(&field("below_db"), self.below_db, 10.0, 20.0)?;
        for (key, count, most) in [
            ("both_ears", self.both_ears, 40),
            ("choices_below", self.choices_below, 200),
            ("choices_near", self.choices_near, 200),
            ("company", self.company, 100),
            ("most", self.most, 1000),
        ] {
            within(&field(key), f64::from(count), 0.0, f64::from(most))?;
        }
        Ok(())
    }
}

/// What is shown to see how the answers of the eyes agree, once acuities are measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SightAgreementPlan {
    /// So many choices among four directions below the admitted acuity, by turns to either eye …
    pub choices_below: u32,
    /// … by so much, logMAR.
    pub below_log_mar: f64,
}

impl Default for SightAgreementPlan {
    fn default() -> Self {
        SightAgreementPlan {
            choices_below: 0,
            below_log_mar: 0.2,
        }
    }
}

impl SightAgreementPlan {
    pub(super) fn check(&self) -> Result<(), FieldError> {
        let field = |key: &str| format!("sight.agreement.{key}");
        within(
            &field("choices_below"),
            f64::from(self.choices_below),
            0.0,
            200.0,
        )?;
        within(&field("below_log_mar"), self.below_log_mar, 0.1, 0.5)
    }
}
