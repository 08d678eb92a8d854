//! One way of asking one eye: what the plan asks of each eye first, what it asks besides, and what the
//! examiner asked for during the visit. Trials belong to an asking, so that answers under different
//! conditions are never pooled.

use super::plan::SightPlan;
use super::sight_rules::{LetterDifficulty, RowsPlan, SightProcedure};
use crate::calibration::{FieldError, within};
use crate::quantity::{Correction, Eye, Mm};
use crate::stimulus::OptotypeSet;
use serde::{Deserialize, Serialize};

/// A further asking. What is left out is as in the plan's `[sight]`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Asking {
    /// The eye.
    pub eye: Eye,
    /// How it is asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub procedure: Option<SightProcedure>,
    /// The optotypes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub optotype: Option<OptotypeSet>,
    /// With a bar on each side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crowded: Option<bool>,
    /// White on black.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reverse: Option<bool>,
    /// What correction is worn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correction: Option<Correction>,
    /// Whether the eye looks through a pinhole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pinhole: Option<bool>,
    /// From the eye to the screen, where it is another distance than the set-up's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distance_mm: Option<Mm>,
    /// How long an optotype is shown, s; 0: until it is answered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shown_s: Option<f64>,
    /// The standard deviation at which single optotypes end, logMAR.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop_sd_log_mar: Option<f64>,
    /// How rows are read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rows: Option<RowsPlan>,
    /// What is made of letters that are not equally easy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub letter_difficulty: Option<LetterDifficulty>,
    /// The size of a screening.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screening_log_mar: Option<f64>,
    /// The seed of a near card.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub card: Option<u64>,
}

impl Asking {
    /// As the plan asks, of another eye.
    #[must_use]
    pub fn of(eye: Eye) -> Asking {
        Asking {
            eye,
            procedure: None,
            optotype: None,
            crowded: None,
            reverse: None,
            correction: None,
            pinhole: None,
            distance_mm: None,
            shown_s: None,
            stop_sd_log_mar: None,
            rows: None,
            letter_difficulty: None,
            screening_log_mar: None,
            card: None,
        }
    }

    /// The plan's `[sight]` as this asking changes it.
    #[must_use]
    pub fn over(&self, plan: &SightPlan) -> SightPlan {
        let mut plan = plan.clone();
        let procedure = self.procedure.unwrap_or(plan.procedure);
        if procedure != plan.procedure {
            plan.procedure = procedure;
            if procedure != SightProcedure::Rows && procedure != SightProcedure::NearCard {
                plan.rows = RowsPlan::USUAL;
            }
        }
        plan.rows = self.rows.unwrap_or(plan.rows);
        plan.optotype = self.optotype.unwrap_or(plan.optotype);
        plan.letter_difficulty = self.letter_difficulty.unwrap_or(match plan.optotype {
            OptotypeSet::Sloan => plan.letter_difficulty,
            // What the plan says of ten letters says nothing of other sets.
            _ => LetterDifficulty::Alike,
        });
        plan.crowded = self.crowded.unwrap_or(plan.crowded);
        plan.reverse = self.reverse.unwrap_or(plan.reverse);
        plan.stop_sd_log_mar = self.stop_sd_log_mar.unwrap_or(plan.stop_sd_log_mar);
        plan.correction = self.correction.unwrap_or(plan.correction);
        plan.pinhole = self.pinhole.unwrap_or(plan.pinhole);
        plan.distance_mm = self.distance_mm.or(plan.distance_mm);
        match self.shown_s {
            Some(0.0) => plan.shown_s = None,
            Some(shown_s) => plan.shown_s = Some(shown_s),
            None => {}
        }
        if let Some(log_mar) = self.screening_log_mar {
            plan.screening.log_mar = log_mar;
        }
        if let Some(seed) = self.card {
            plan.card.seed = seed;
        }
        // These belong to the plan, not to one asking.
        plan.also = Vec::new();
        plan
    }

    /// Checks that it can be asked beside this plan.
    ///
    /// # Errors
    /// Names the first field that is wrong and what was expected of it.
    pub fn check(&self, field: &str, plan: &SightPlan) -> Result<(), FieldError> {
        let shown_s = self.shown_s.filter(|shown_s| *shown_s != 0.0);
        within(
            &format!("{field}.shown_s"),
            shown_s.unwrap_or(0.5),
            0.5,
            60.0,
        )?;
        let stop_sd = self.stop_sd_log_mar.unwrap_or(0.0);
        within(&format!("{field}.stop_sd_log_mar"), stop_sd, 0.0, 1.0)?;
        self.over(plan).check_asking(field)
    }
}

/// What is asked of one eye, all told.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Its number: 0 is what the plan asks of the eye first, then those of the plan's list, then
    /// those of the visit.
    pub number: u32,
    /// The eye.
    pub eye: Eye,
    /// How it is asked.
    pub plan: SightPlan,
    /// From the eye to what is shown; none if nothing can be shown.
    pub distance: Option<Mm>,
}

impl Asked {
    pub(super) fn new(number: u32, eye: Eye, plan: SightPlan, set_up: Option<Mm>) -> Asked {
        let distance = match plan.procedure {
            SightProcedure::NearCard => Some(plan.card.distance_mm),
            _ => plan.distance_mm.or(set_up),
        };
        Asked {
            number,
            eye,
            plan,
            distance,
        }
    }
}
