//! Averages of thresholds and the grade that the World Health Organization makes of them.

use super::hearing::HearingFindings;
use crate::calibration::ProfileKind;
use crate::quantity::{DbHl, Ear, Hz, Level};
use crate::standard::{aao_hns_1979, who_2021};
use serde::{Deserialize, Serialize};

const FOUR: [f64; 4] = [500.0, 1000.0, 2000.0, 4000.0];
const THREE: [f64; 3] = [500.0, 1000.0, 2000.0];

/// Averages of one ear; absent where a member is missing or there is no dB HL.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct EarAverages {
    /// Mean of 500, 1000, 2000 and 4000 Hz, dB HL.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pta4_db_hl: Option<f64>,
    /// Mean of 500, 1000 and 2000 Hz, dB HL.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pta3_db_hl: Option<f64>,
    /// The 1979 formula's handicap of this ear, percent; only with a measured earphone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handicap_1979_percent: Option<f64>,
}

/// What the four-frequency mean of an ear is at least, where a member has no threshold but a bound:
/// no response at the maximum, or poorer than what either ear answered. dB HL.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct AtLeast {
    /// The right ear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right_db_hl: Option<f64>,
    /// The left ear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left_db_hl: Option<f64>,
}

/// Averages of both ears.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Averages {
    /// The right ear.
    pub right: EarAverages,
    /// The left ear.
    pub left: EarAverages,
    /// Where a four-frequency mean has only a bound.
    #[serde(default, skip_serializing_if = "is_nothing")]
    pub pta4_at_least: AtLeast,
    /// Grade of the person by the better ear (WHO, World report on hearing, 2021, table 1.3).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who_2021: Option<String>,
    /// The 1979 formula's handicap of the person, percent; only with a measured earphone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handicap_1979_percent: Option<f64>,
}

impl Averages {
    /// Averages the thresholds, on the clinical scale; `kind` is that of the earphone's profile.
    #[must_use]
    pub fn of(hearing: &HearingFindings, kind: Option<ProfileKind>) -> Averages {
        let measured = kind == Some(ProfileKind::Measured);
        let ear = |ear| {
            let handicap_db = mean(hearing, ear, &aao_hns_1979::AVERAGED_HZ.map(|hz| hz.0));
            EarAverages {
                pta4_db_hl: mean(hearing, ear, &FOUR),
                pta3_db_hl: mean(hearing, ear, &THREE),
                handicap_1979_percent: handicap_db
                    .filter(|_| measured)
                    .map(|db| aao_hns_1979::ear_percent(DbHl(db))),
            }
        };
        let (right, left) = (ear(Ear::Right), ear(Ear::Left));
        let least = |ear: Ear, known: EarAverages| {
            at_least(hearing, ear, &FOUR).filter(|_| known.pta4_db_hl.is_none())
        };
        let pta4_at_least = AtLeast {
            right_db_hl: least(Ear::Right, right),
            left_db_hl: least(Ear::Left, left),
        };
        let percents = right.handicap_1979_percent.zip(left.handicap_1979_percent);
        let range = |ear: Ear, least: Option<f64>, known: Option<f64>| {
            let most = at_most(hearing, ear, &FOUR);
            known.map_or([least.unwrap_or(-FAR_DB), most.unwrap_or(FAR_DB)], |db| {
                [db, db]
            })
        };
        let ranges = [
            range(Ear::Right, pta4_at_least.right_db_hl, right.pta4_db_hl),
            range(Ear::Left, pta4_at_least.left_db_hl, left.pta4_db_hl),
        ];
        Averages {
            right,
            left,
            pta4_at_least,
            who_2021: grade(ranges).map(|grade| grade.title().to_owned()),
            handicap_1979_percent: percents
                .map(|(right, left)| aao_hns_1979::binaural_percent(right, left)),
        }
    }
}

/// Beyond any hearing level, dB HL.
const FAR_DB: f64 = 300.0;

/// The grade of the person, of each ear of which the mean is between two levels: where all corners have
/// one grade, whatever is between them has it too.
fn grade([right, left]: [[f64; 2]; 2]) -> Option<who_2021::Grade> {
    let grade = |right, left| who_2021::Grade::of(DbHl(right), DbHl(left));
    let corners = right.map(|right| left.map(|left| grade(right, left)));
    let first = corners[0][0];
    let alike = corners.as_flattened().iter().all(|one| *one == first);
    alike.then_some(first)
}

fn is_nothing(least: &AtLeast) -> bool {
    *least == AtLeast::default()
}

/// There is no average where a member is only bounded: above the highest level presented, or at or
/// below a lowest one that the room or the output has set.
fn mean(hearing: &HearingFindings, ear: Ear, all_hz: &[f64]) -> Option<f64> {
    mean_of(all_hz, |hz| hearing.at(ear, hz)?.known())
}

/// The mean of thresholds and of the levels that thresholds lie at or below.
fn at_most(hearing: &HearingFindings, ear: Ear, all_hz: &[f64]) -> Option<f64> {
    mean_of(all_hz, |hz| hearing.at(ear, hz)?.at_most())
}

/// The mean of thresholds and of the levels that thresholds lie above.
fn at_least(hearing: &HearingFindings, ear: Ear, all_hz: &[f64]) -> Option<f64> {
    mean_of(all_hz, |hz| hearing.at(ear, hz)?.at_least())
}

fn mean_of(all_hz: &[f64], level: impl Fn(Hz) -> Option<Level>) -> Option<f64> {
    let mut sum_db = 0.0;
    for hz in all_hz {
        match level(Hz(*hz))? {
            Level::Hl(level) => sum_db += level.0,
            Level::ReExaminer(_) | Level::Fs(_) => return None,
        }
    }
    Some(sum_db / all_hz.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Who answers at the lowest level that a room allows is not as poor as that level; at the lowest of an audiometer,
    /// -10 dB HL, it counts as that level (common practice, no source).
    #[test]
    fn what_the_room_hides_is_no_threshold() {
        let ears = |levels: [f64; 4]| {
            let ear: Vec<serde_json::Value> = FOUR
                .iter()
                .zip(levels)
                .map(|(hz, db)| {
                    serde_json::json!({
                        "hz": hz, "status": "answered_at_minimum", "threshold_db_hl": db, "sd_db": null, "u_db": null,
                        "interval_90_db": null, "masking": null, "presentations": 6, "from_neighbours": false,
                        "spread_db": 0.0
                    })
                })
                .collect();
            let hearing = serde_json::json!({ "right": &ear, "left": &ear });
            let hearing = serde_json::from_value(hearing).unwrap();
            Averages::of(&hearing, Some(ProfileKind::Measured))
        };
        let noisy = ears([35.0, 30.0, 20.0, 10.0]);
        assert_eq!((noisy.right.pta4_db_hl, noisy.who_2021), (None, None));
        assert_eq!(noisy.handicap_1979_percent, None);
        let less_noisy = ears([20.0, 15.0, 10.0, 10.0]);
        assert_eq!(less_noisy.right.pta4_db_hl, None);
        assert_eq!(
            less_noisy.who_2021.as_deref(),
            Some(who_2021::Grade::Normal.title())
        );
        assert_eq!(ears([-10.0; 4]).right.pta4_db_hl, Some(-10.0));
    }

    /// World report on hearing (WHO 2021), table 1.3: better ear under 20, worse from 35 dB:
    /// unilateral; else the better ear decides. A bound of the worse ear decides where it must.
    #[test]
    fn a_bound_of_the_worse_ear_grades_where_it_is_enough() {
        let graded = |known, least| grade([[known, known], [least, FAR_DB]]);
        assert_eq!(graded(10.0, 70.0), Some(who_2021::Grade::Unilateral));
        assert_eq!(graded(40.0, 80.0), Some(who_2021::Grade::Moderate));
        // At least 30: it may be 34 or 90, and the grade hangs on it.
        assert_eq!(graded(10.0, 30.0), None);
        // The bounded ear may be the better one.
        assert_eq!(graded(80.0, 40.0), None);
        // Both at most so much: normal is normal however much better they are, mild is not.
        let at_most = |most| grade([[-FAR_DB, most]; 2]);
        assert_eq!(at_most(15.0), Some(who_2021::Grade::Normal));
        assert_eq!(at_most(25.0), None);
    }
}
