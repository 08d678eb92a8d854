//! What is known of an eye's acuity where it is compared: a value, one side of a bound, or a category
//! beyond every size.

use super::sight::{SightFinding, SightStatus};
use crate::journal::SightProcedure;
use crate::quantity::Correction;

/// What fingers, a hand or light were shown to is worse than this, 3/60 (the note to ICD-10 H54 has
/// fingers counted at 1 m as 1/60).
const BY_HAND_LOG_MAR: f64 = 1.301;

/// The sizes, logMAR, that an acuity may be; both ends may be infinite.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct AcuityRange {
    pub(super) best: f64,
    pub(super) worst: f64,
}

impl AcuityRange {
    /// By how much this acuity is at least poorer than `other`; negative where it need not be.
    pub(super) fn poorer_by_at_least(self, other: AcuityRange) -> f64 {
        self.best - other.worst
    }

    /// By how much it is at most poorer.
    pub(super) fn poorer_by_at_most(self, other: AcuityRange) -> f64 {
        self.worst - other.best
    }
}

impl SightFinding {
    /// Whether it tells how well the bare eye sees far: neither through a pinhole nor near.
    pub(super) fn tells_of_far(&self) -> bool {
        !self.pinhole
            && self.procedure != SightProcedure::NearCard
            && self.correction != Correction::OwnNear
    }

    /// Whether a category of what was shown by hand stands for the acuity.
    pub(super) fn by_hand(&self) -> bool {
        matches!(
            self.status,
            SightStatus::CountingFingers
                | SightStatus::HandMotion
                | SightStatus::LightPerception
                | SightStatus::NoLightPerception
        )
    }

    /// Whether both were asked with the same optotypes, from the same distance, with the same
    /// correction.
    pub(super) fn shown_as(&self, other: &SightFinding) -> bool {
        self.optotype == other.optotype
            && self.crowded == other.crowded
            && self.distance_mm == other.distance_mm
            && self.correction == other.correction
    }

    /// The range of its acuity; none where nothing is known.
    pub(super) fn range(&self) -> Option<AcuityRange> {
        let range = |best, worst| AcuityRange { best, worst };
        Some(match self.status {
            SightStatus::Measured => range(self.log_mar?, self.log_mar?),
            SightStatus::BetterThanSmallestShown => range(f64::NEG_INFINITY, self.bound_log_mar?),
            SightStatus::WorseThanLargestShown => range(self.bound_log_mar?, f64::INFINITY),
            _ if self.by_hand() => range(BY_HAND_LOG_MAR, f64::INFINITY),
            _ => return None,
        })
    }

    /// Its acuity with the standard uncertainty, or what was found in its place.
    #[must_use]
    pub fn acuity_in_words(&self) -> String {
        let bound = self.bound_log_mar.unwrap_or_default();
        let from = self.distance_mm.map_or_else(String::new, |distance| {
            format!(" at {:.1} m", distance.0 / 1000.0)
        });
        let why = self.reason.as_ref();
        let why = why.map_or_else(String::new, |reason| format!(": {reason}"));
        match self.status {
            SightStatus::BetterThanSmallestShown => format!("better than {bound:.2} logMAR"),
            SightStatus::WorseThanLargestShown => format!("worse than {bound:.2} logMAR"),
            SightStatus::CountingFingers => format!("fingers counted{from}"),
            SightStatus::HandMotion => format!("hand motion seen{from}"),
            SightStatus::LightPerception => "light seen".into(),
            SightStatus::NoLightPerception => "no light seen".into(),
            SightStatus::NotTested => "not tested".into(),
            SightStatus::Declined => format!("declined{why}"),
            SightStatus::Stopped => format!("not decided{why}"),
            SightStatus::Screened => self.screened.map_or_else(String::new, |one| {
                let read = if one.passed == Some(true) {
                    "read"
                } else {
                    "not read"
                };
                let (size, right, of) = (one.log_mar.0, one.right, one.of);
                format!("{size:.2} logMAR {read}, {right} of {of} right")
            }),
            SightStatus::Measured => match (self.log_mar, self.u_log_mar) {
                (Some(log_mar), Some(u)) => format!("{log_mar:.2} ± {u:.2} logMAR"),
                (Some(log_mar), None) => {
                    format!("{log_mar:.2} logMAR, its uncertainty is not known")
                }
                (None, _) => "not known".into(),
            },
        }
    }

    /// How it was asked: the way, the distance, the correction.
    #[must_use]
    pub fn asked_in_words(&self) -> String {
        let from = self.distance_mm.map_or_else(String::new, |distance| {
            format!(", {:.2} m", distance.0 / 1000.0)
        });
        let hole = if self.pinhole { ", pinhole" } else { "" };
        let crowded = if self.crowded { ", crowded" } else { "" };
        let way = self.procedure.words();
        format!("{way}{from}, {}{hole}{crowded}", self.correction)
    }
}
