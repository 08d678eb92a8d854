//! Category of vision impairment and functional acuity score, each labelled with its scheme.

use super::sight::{SightFinding, SightFindings, SightStatus};
use crate::quantity::{Correction, LogMar};
use crate::standard::ama_functional_acuity::{self as ama, functional_acuity_score};
use crate::standard::who_icd_11_vision::{self as icd_11, VisionCategory, straddled};
use serde::{Deserialize, Serialize};

/// So many standard uncertainties make an interval of 90 %.
const U_OF_90_PERCENT: f64 = 1.645;

/// Category and score; what the values do not allow is left out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SightGrades {
    /// The category of vision impairment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub category: Option<GradedCategory>,
    /// The functional acuity score; only where all three were measured with the best correction.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub functional_acuity: Option<FunctionalAcuity>,
}

/// A category of vision impairment by the better eye.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct GradedCategory {
    /// Which.
    pub category: VisionCategory,
    /// In words.
    pub title: String,
    /// Whose scheme that is.
    pub scheme: String,
    /// What it rests on.
    pub by: String,
    /// The limits that the acuity's 90 % interval straddles: it may belong to the next category.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits_within_uncertainty: Vec<String>,
}

/// A functional acuity score.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct FunctionalAcuity {
    /// 100 for logMAR 0 throughout, 50 for 1.0.
    pub score: f64,
    /// Its standard uncertainty, from those of the three acuities.
    pub u_score: f64,
    /// 100 less the score: of the acuity alone, without the field.
    pub impairment_percent: f64,
    /// Whose scheme that is.
    pub scheme: String,
}

impl SightGrades {
    /// Of the findings of the eyes; none if they allow neither.
    #[must_use]
    pub fn of(sight: &SightFindings) -> Option<SightGrades> {
        let (category, functional_acuity) = (category(sight), functional_acuity(sight));
        let any = category.is_some() || functional_acuity.is_some();
        any.then_some(SightGrades {
            category,
            functional_acuity,
        })
    }
}

/// The scheme goes by what a person sees with in daily life; without a correction that they have, near,
/// or where a value's uncertainty is not known, no category is told.
fn category(sight: &SightFindings) -> Option<GradedCategory> {
    let eyes = [&sight.right, &sight.left];
    let correction = sight.right.correction;
    let usable = |eye: &&SightFinding| {
        eye.tells_of_far() && eye.correction == correction && eye.correction != Correction::Without
    };
    if !eyes.iter().all(usable) {
        return None;
    }
    let better = eyes
        .into_iter()
        .map(|eye| Some((better_is_smaller(eye)?, eye)))
        .collect::<Option<Vec<_>>>()?
        .into_iter()
        .min_by(|(a, _), (b, _)| a.total_cmp(b))?
        .1;
    let (category, within) = match better.status {
        SightStatus::Measured => {
            let log_mar = better.log_mar?;
            // Without an uncertainty nobody knows which limits are near.
            let off = U_OF_90_PERCENT * better.u_log_mar?;
            let within = straddled(LogMar(log_mar - off), LogMar(log_mar + off));
            let within = within.map(str::to_owned).collect();
            (VisionCategory::of(LogMar(log_mar)), within)
        }
        // Of a bound only what is on its safe side of every limit is known.
        SightStatus::BetterThanSmallestShown => {
            let found = VisionCategory::of(LogMar(better.bound_log_mar?));
            if found != VisionCategory::NoImpairment {
                return None;
            }
            (found, Vec::new())
        }
        SightStatus::WorseThanLargestShown => {
            let found = VisionCategory::of(LogMar(better.bound_log_mar? + 1e-3));
            if found != VisionCategory::Blindness {
                return None;
            }
            (found, Vec::new())
        }
        // Fingers counted from 1 m are 1/60.
        _ => (VisionCategory::Blindness, Vec::new()),
    };
    let presenting = match correction {
        Correction::Best => {
            "best-corrected acuity of the better eye; the scheme itself goes by \
                             presenting acuity"
        }
        Correction::Own => "presenting acuity of the better eye, with own correction",
        _ => {
            "acuity of the better eye as worn, not noted; presenting acuity if that is the person's \
              usual correction"
        }
    };
    Some(GradedCategory {
        category,
        title: category.title().into(),
        scheme: icd_11::SOURCE.document.into(),
        by: presenting.into(),
        limits_within_uncertainty: within,
    })
}

/// A number by which eyes can be put in order, never shown: categories lie beyond every size.
fn better_is_smaller(eye: &SightFinding) -> Option<f64> {
    match eye.status {
        SightStatus::CountingFingers => Some(10.0),
        SightStatus::HandMotion => Some(11.0),
        SightStatus::LightPerception => Some(12.0),
        SightStatus::NoLightPerception => Some(13.0),
        SightStatus::WorseThanLargestShown | SightStatus::BetterThanSmallestShown => {
            eye.bound_log_mar
        }
        _ => eye.log_mar,
    }
}

fn functional_acuity(sight: &SightFindings) -> Option<FunctionalAcuity> {
    let best = |eye: &SightFinding| {
        let measured = eye.status == SightStatus::Measured;
        let usable = measured && eye.correction == Correction::Best && eye.tells_of_far();
        usable.then_some((LogMar(eye.log_mar?), eye.u_log_mar?))
    };
    let [(both, u_both), (right, u_right), (left, u_left)] =
        [best(&sight.both)?, best(&sight.right)?, best(&sight.left)?];
    let score = functional_acuity_score(both, right, left);
    let u = libm::sqrt(9.0 * u_both * u_both + u_right * u_right + u_left * u_left);
    Some(FunctionalAcuity {
        score,
        // 50 points a logMAR, a fifth of the weights each.
        u_score: 10.0 * u,
        impairment_percent: 100.0 - score,
        scheme: ama::SOURCE.document.into(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measured(log_mar: f64, u_log_mar: Option<f64>, correction: Correction) -> SightFinding {
        SightFinding {
            log_mar: Some(log_mar),
            u_log_mar,
            correction,
            ..SightFinding::blank(SightStatus::Measured)
        }
    }

    fn grades(right: SightFinding, left: SightFinding, both: SightFinding) -> SightGrades {
        let none = SightGrades {
            category: None,
            functional_acuity: None,
        };
        let sight = SightFindings {
            right,
            left,
            both,
            further: Vec::new(),
            distances: Vec::new(),
            grades: None,
            cautions: Vec::new(),
            history: Vec::new(),
        };
        SightGrades::of(&sight).unwrap_or(none)
    }

    /// Limits at 6/12 and 6/18, .301 and .477 (ICD-11; WHO 2019): whoever knows no uncertainty does not
    /// know on which side of one an acuity lies.
    #[test]
    fn a_category_wants_the_uncertainty_of_the_better_eye() {
        let of = |better: Option<f64>, poorer: Option<f64>| {
            let right = measured(0.35, better, Correction::Own);
            let left = measured(0.8, poorer, Correction::Own);
            let both = SightFinding::blank(SightStatus::NotTested);
            grades(right, left, both).category
        };
        let told = of(Some(0.05), Some(0.05)).unwrap();
        assert_eq!(told.category, VisionCategory::Mild);
        assert_eq!(told.limits_within_uncertainty, ["6/12"]);
        assert_eq!(of(None, Some(0.05)), None);
        assert_eq!(of(None, None), None);
        // Of the poorer eye it is not asked for.
        assert_eq!(of(Some(0.05), None), Some(told));
    }

    /// The worked values of the AMA's formula: 0.3, 0.3 and 1.0 give 78; u by the weights 3, 1 and 1
    /// over 5 at 50 points a logMAR.
    #[test]
    fn a_score_wants_all_three_uncertainties_and_the_best_correction() {
        let of = |u: [Option<f64>; 3], correction: Correction| {
            let [right, left, both] = u;
            grades(
                measured(0.3, right, correction),
                measured(1.0, left, correction),
                measured(0.3, both, correction),
            )
            .functional_acuity
        };
        let known = Some(0.05);
        let told = of([known; 3], Correction::Best).unwrap();
        assert!((told.score - 78.0).abs() < 1e-9);
        assert!((told.u_score - 10.0 * 0.05 * 11.0_f64.sqrt()).abs() < 1e-9);
        for at in 0..3 {
            let mut u = [known; 3];
            u[at] = None;
            assert_eq!(of(u, Correction::Best), None, "{at}");
        }
        assert_eq!(of([known; 3], Correction::Own), None);
    }
}
