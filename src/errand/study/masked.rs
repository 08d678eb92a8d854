//! Adds up what masking came to, beside the truth.

use super::VisitSummary;
use crate::finding::{HearingFinding, HearingStatus, Masking};
use crate::person::case::HearingTruth;
use crate::quantity::{Ear, Level};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A threshold that is shown for an ear counts as the other ear's answer if this ear's true
/// midpoint is poorer by more than this, dB, and the other ear could have answered there.
const NOT_THIS_EAR_DB: f64 = 10.0;

/// How masking came out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct MaskingReport {
    /// How many ears and frequencies had which outcome.
    pub outcomes: BTreeMap<Masking, u32>,
    /// Masked thresholds.
    pub thresholds: u32,
    /// Errors of their midpoints.
    pub rmse_db: f64,
    /// Mean error of their midpoints.
    pub bias_db: f64,
    /// Share of midpoints within 5 dB of the truth.
    pub within_5_db: f64,
    /// Masked, and no response at the maximum, and truly beyond it; and all of them.
    pub no_response: [u32; 2],
    /// Thresholds shown for an ear that were the other ear's answers; and all that were shown.
    pub cross_heard_shown: [u32; 2],
    /// Masked tones for each ear and frequency that was masked, silent ones left out.
    pub tones_per_masked: f64,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub(super) struct MaskingTally {
    report: MaskingReport,
    sum: f64,
    squares: f64,
    within_5: u32,
    tones: u32,
}

impl MaskingTally {
    pub(super) fn add(
        &mut self,
        (ear, finding): (Ear, &HearingFinding),
        truth: &HearingTruth,
        shift_db: f64,
        summary: &VisitSummary,
    ) {
        let Some(masking) = finding.masking else {
            return;
        };
        *self.report.outcomes.entry(masking).or_default() += 1;
        let own_db = truth.midpoint_db(ear, finding.hz) + shift_db;
        let crossing_db =
            truth.midpoint_db(ear.other(), finding.hz) + shift_db + truth.interaural_attenuation_db;
        let midpoint_db = finding.midpoint.map(Level::db);
        if let Some(midpoint_db) = midpoint_db {
            let not_this_ear = own_db - midpoint_db > NOT_THIS_EAR_DB
                && midpoint_db > crossing_db - NOT_THIS_EAR_DB;
            self.report.cross_heard_shown[0] += u32::from(not_this_ear);
            self.report.cross_heard_shown[1] += 1;
        }
        if masking != Masking::Done {
            return;
        }
        match (finding.status, midpoint_db) {
            (HearingStatus::Measured, Some(midpoint_db)) => {
                let error_db = midpoint_db - own_db;
                self.report.thresholds += 1;
                self.sum += error_db;
                self.squares += error_db * error_db;
                self.within_5 += u32::from(error_db.abs() <= 5.0);
            }
            (HearingStatus::NoResponseAtMaximum, _) => {
                // A midpoint within 5 dB of the maximum is missed there as often as not.
                let beyond = own_db > summary.max_db - 5.0;
                self.report.no_response[0] += u32::from(beyond);
                self.report.no_response[1] += 1;
            }
            _ => {}
        }
    }

    pub(super) fn add_tones(&mut self, summary: &VisitSummary) {
        self.tones += summary.masked_tones;
    }

    /// None where nothing was masked or needed to be.
    pub(super) fn report(self) -> Option<MaskingReport> {
        let mut report = self.report;
        let count = |masking| report.outcomes.get(&masking).copied().unwrap_or(0);
        let masked = count(Masking::Done) + count(Masking::CouldNotBeMasked);
        if masked + count(Masking::NeededNotDone) == 0 {
            return None;
        }
        let n = f64::from(report.thresholds).max(1.0);
        report.rmse_db = libm::sqrt(self.squares / n);
        report.bias_db = self.sum / n;
        report.within_5_db = f64::from(self.within_5) / n;
        report.tones_per_masked = f64::from(self.tones) / f64::from(masked).max(1.0);
        Some(report)
    }
}
