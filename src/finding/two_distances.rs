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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::SightProcedure;
    use crate::quantity::Correction;
    use crate::stimulus::OptotypeSet;

    fn from(metres: f64, log_mar: f64) -> SightFinding {
        SightFinding {
            log_mar: Some(log_mar),
            u_log_mar: Some(0.04),
            distance_mm: Some(Mm(1000.0 * metres)),
            optotype: Some(OptotypeSet::Sloan),
            correction: Correction::Own,
            ..SightFinding::blank(SightStatus::Measured)
        }
    }

    fn pair(one: &SightFinding, other: &SightFinding) -> Option<TwoDistances> {
        TwoDistances::of(Eye::Right, one, other)
    }

    /// Vergence is one over the distance in metres (6 m 0.17 D, 4 m 0.25, 3 m 0.33, 2 m 0.5, 1 m 1.0): from 6
    /// to 3 and from 4 to 2 m it changes by no more than a quarter dioptre, from nearer by more.
    #[test]
    fn a_pair_is_read_up_to_a_quarter_dioptre() {
        for (far, near, dioptres, read) in [
            (6.0, 3.0, 0.17, true),
            (4.0, 2.0, 0.25, true),
            (6.0, 2.4, 0.25, true),
            (4.0, 1.9, 0.28, false),
            (3.0, 1.5, 0.33, false),
            (2.0, 1.0, 0.5, false),
        ] {
            let found = pair(&from(near, 0.2), &from(far, 0.2)).unwrap();
            assert!((found.vergence_d - dioptres).abs() < 0.005, "{far} {near}");
            assert_eq!(found.interpretable, read, "{far} {near}");
            assert_eq!(found.agrees, read.then_some(true));
            assert_eq!(
                (found.far_mm.0, found.near_mm.0),
                (1000.0 * far, 1000.0 * near)
            );
            assert_eq!(found.statement.contains("not interpretable"), !read);
        }
        assert_eq!(pair(&from(4.0, 0.2), &from(3.0, 0.2)), None, "too close");
    }

    /// Uncorrected short sight truly sees better from nearer, and so it is with reading glasses from
    /// far; a pinhole takes blur away whatever is worn.
    #[test]
    fn a_pair_is_read_only_where_blur_is_known() {
        for correction in Correction::ALL {
            for pinhole in [false, true] {
                let worn = |finding| SightFinding {
                    correction,
                    pinhole,
                    ..finding
                };
                let found = pair(&worn(from(4.0, 0.2)), &worn(from(2.0, 0.2))).unwrap();
                let known = matches!(correction, Correction::Own | Correction::Best);
                assert_eq!(found.interpretable, known || pinhole, "{correction}");
                assert_eq!(found.agrees.is_some(), found.interpretable);
                let told = found.statement.contains("short sight");
                assert_eq!(told, !found.interpretable, "{}", found.statement);
            }
        }
    }

    #[test]
    fn what_was_not_asked_alike_is_no_pair() {
        let far = from(4.0, 0.2);
        let near = || from(2.0, 0.2);
        let unlike = [
            SightFinding {
                optotype: Some(OptotypeSet::Landolt8),
                ..near()
            },
            SightFinding {
                crowded: true,
                ..near()
            },
            SightFinding {
                correction: Correction::Best,
                ..near()
            },
            SightFinding {
                pinhole: true,
                ..near()
            },
            SightFinding {
                procedure: SightProcedure::Rows,
                ..near()
            },
        ];
        for other in unlike {
            assert_eq!(pair(&far, &other), None, "{other:?}");
        }
    }

    /// One size in millimetres from both distances is log10 2 = 0.30 apart; 1.96 standard uncertainties
    /// are 95 % of a normal distribution, here 0.111 of √2 · 0.04.
    #[test]
    fn a_difference_is_told_only_beyond_its_uncertainty() {
        let apart = |near: f64, u: Option<f64>| {
            let known = |finding| SightFinding {
                u_log_mar: u,
                ..finding
            };
            pair(&known(from(4.0, 0.2)), &known(from(2.0, near))).unwrap()
        };
        for (near, agrees) in [(0.2, true), (0.34, true), (0.501, false), (-0.1, false)] {
            let found = apart(near, Some(0.04));
            assert!(found.interpretable, "{near}: {}", found.statement);
            assert_eq!(found.agrees, Some(agrees), "{near}: {}", found.statement);
        }
        // 0.14 ± 0.22 is neither none nor that of one size.
        let vague = apart(0.34, Some(0.08));
        assert!(!vague.interpretable && vague.agrees.is_none());
        assert!(
            vague.statement.contains("cannot be told"),
            "{}",
            vague.statement
        );
        let unknown = apart(0.2, None);
        assert!(!unknown.interpretable && unknown.u_log_mar.is_none());
        let why = "the uncertainty of the acuities is not known";
        assert!(unknown.statement.contains(why), "{}", unknown.statement);
    }
}
