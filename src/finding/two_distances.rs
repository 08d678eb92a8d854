//! Acuities of one eye from two distances. As angles they should agree, if the eye sees far as sharply
//! from both: with blur left, a short-sighted eye truly sees better from nearer.

use super::sight::{SightFinding, SightFindings, SightStatus};
use crate::quantity::{Eye, Mm};
use serde::{Deserialize, Serialize};

/// Nearer than this ratio two distances test nothing (our choice; 6 and 3 m or 4 and 2 m are 2).
const LEAST_RATIO: f64 = 1.5;
/// The largest change of vergence that leaves blur alone, dioptres: from 4 to 2 m.
const MOST_VERGENCE_D: f64 = 0.25;
/// Two measurements of one eye differ by more than this in one of twenty (Siderov and Tiu 1999), and
/// half of what doubling the distance would do to a size in millimetres.
const RETEST_LOG_MAR: f64 = 0.15;

/// Two acuities of one eye.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct TwoDistances {
    /// The eye.
    pub eye: Eye,
    /// The greater distance.
    pub far_mm: Mm,
    /// The smaller distance.
    pub near_mm: Mm,
    /// Acuity from near less acuity from far.
    pub difference_log_mar: f64,
    /// Combined standard uncertainty of the difference.
    pub u_log_mar: f64,
    /// How much nearer the eye focuses from near, dioptres.
    pub vergence_d: f64,
    /// Whether the difference may be read at all.
    pub interpretable: bool,
    /// Whether both agree as angles; null where that may not be read.
    pub agrees: Option<bool>,
    /// In words, with the reason where it may not be read.
    pub statement: String,
}

impl TwoDistances {
    /// All pairs of one eye that were asked with the same optotypes and correction.
    #[must_use]
    pub fn all(sight: &SightFindings) -> Vec<TwoDistances> {
        let measured: Vec<_> = sight
            .all()
            .filter(|(_, one)| one.status == SightStatus::Measured)
            .collect();
        let mut pairs = Vec::new();
        for (at, (eye, one)) in measured.iter().enumerate() {
            for (other_eye, other) in &measured[at + 1..] {
                if eye == other_eye {
                    pairs.extend(TwoDistances::of(*eye, one, other));
                }
            }
        }
        pairs
    }

    fn of(eye: Eye, one: &SightFinding, other: &SightFinding) -> Option<TwoDistances> {
        let distance = |finding: &SightFinding| finding.distance_mm.map(|mm| mm.0);
        let (far, near) = if distance(one)? >= distance(other)? {
            (one, other)
        } else {
            (other, one)
        };
        let alike = far.optotype == near.optotype
            && far.crowded == near.crowded
            && far.correction == near.correction
            && far.pinhole == near.pinhole;
        let (far_mm, near_mm) = (distance(far)?, distance(near)?);
        if !alike || far_mm / near_mm < LEAST_RATIO {
            return None;
        }
        let difference = near.log_mar? - far.log_mar?;
        let u = libm::hypot(near.u_log_mar.unwrap_or(0.0), far.u_log_mar.unwrap_or(0.0));
        let vergence_d = 1000.0 / near_mm - 1000.0 / far_mm;
        let known = far.pinhole || far.correction.is_known_for_far();
        let why_not = match () {
            () if vergence_d > MOST_VERGENCE_D + 1e-9 => Some(format!(
                "the eye focuses {vergence_d:.2} D nearer, more than {MOST_VERGENCE_D} D"
            )),
            () if !known => Some(
                "the correction is not known and no pinhole was used: an eye with short sight truly \
                 sees better from nearer"
                    .to_owned(),
            ),
            () => None,
        };
        let agrees = difference.abs() <= RETEST_LOG_MAR;
        let from = format!("from {:.2} and {:.2} m", far_mm / 1000.0, near_mm / 1000.0);
        let statement = match &why_not {
            Some(why) => format!("{from}: not interpretable, {why}"),
            None if agrees => format!(
                "{from}: the acuities agree as angles within {RETEST_LOG_MAR} logMAR ({difference:+.2})"
            ),
            None => format!(
                "{from}: the acuities differ by {difference:+.2} logMAR, more than repeated \
                 measurements usually do ({RETEST_LOG_MAR}); one size in millimetres from both would \
                 be {:+.2}. A distance that was measured wrongly, light, attention and tiredness can \
                 do it too",
                libm::log10(far_mm / near_mm)
            ),
        };
        Some(TwoDistances {
            eye,
            far_mm: Mm(far_mm),
            near_mm: Mm(near_mm),
            difference_log_mar: difference,
            u_log_mar: u,
            vergence_d,
            interpretable: why_not.is_none(),
            agrees: why_not.is_none().then_some(agrees),
            statement,
        })
    }
}
