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
/// So many standard uncertainties make an interval of 95 %.
const U_OF_95_PERCENT: f64 = 1.96;

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
    /// Combined standard uncertainty of the difference; none where one of the acuities has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub u_log_mar: Option<f64>,
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
    /// All pairs of one eye that were asked in the same way, with the same optotypes and correction.
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
            && far.procedure == near.procedure
            && far.correction == near.correction
            && far.pinhole == near.pinhole;
        let (far_mm, near_mm) = (distance(far)?, distance(near)?);
        if !alike || far_mm / near_mm < LEAST_RATIO {
            return None;
        }
        let difference = near.log_mar? - far.log_mar?;
        let u = near.u_log_mar.zip(far.u_log_mar);
        let u = u.map(|(near, far)| libm::hypot(near, far));
        let of_one_size = libm::log10(far_mm / near_mm);
        let expanded = u.map_or(f64::INFINITY, |u| U_OF_95_PERCENT * u);
        let differs = difference.abs() > RETEST_LOG_MAR.max(expanded);
        let agrees = !differs && difference.abs() + expanded < of_one_size;
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
            () if u.is_none() => Some("the uncertainty of the acuities is not known".to_owned()),
            () if !differs && !agrees => Some(format!(
                "a difference of {difference:+.2} ± {expanded:.2} logMAR (95 %) cannot be told from none, \
                 nor from that of one size in millimetres"
            )),
            () => None,
        };
        let from = format!("from {:.2} and {:.2} m", far_mm / 1000.0, near_mm / 1000.0);
        let statement = match &why_not {
            Some(why) => format!("{from}: not interpretable, {why}"),
            None if agrees => format!(
                "{from}: the acuities agree as angles ({difference:+.2} ± {expanded:.2} logMAR, 95 %)"
            ),
            None => format!(
                "{from}: the acuities differ by {difference:+.2} ± {expanded:.2} logMAR (95 %), more \
                 than repeated measurements usually do ({RETEST_LOG_MAR}); one size in millimetres \
                 from both would be {of_one_size:+.2}. A distance that was measured wrongly, light, \
                 attention and tiredness can do it too"
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
