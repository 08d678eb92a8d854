//! Averages of thresholds and the grade that the World Health Organization makes of them.

use super::hearing::{HearingFindings, HearingStatus};
use crate::quantity::{DbHl, Ear, Hz, Level};
use crate::standard::who_2021;
use serde::{Deserialize, Serialize};

const FOUR: [f64; 4] = [500.0, 1000.0, 2000.0, 4000.0];
const THREE: [f64; 3] = [500.0, 1000.0, 2000.0];

/// Averages of one ear; absent where a member is missing or there is no dB HL.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct EarAverages {
    /// Mean of 500, 1000, 2000 and 4000 Hz, dB HL.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pta4_db_hl: Option<f64>,
    /// Mean of 500, 1000 and 2000 Hz, dB HL.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pta3_db_hl: Option<f64>,
}

/// Averages of both ears.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Averages {
    /// The right ear.
    pub right: EarAverages,
    /// The left ear.
    pub left: EarAverages,
    /// Grade of the person by the better ear (WHO, World report on hearing, 2021, table 1.3).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who_2021: Option<String>,
}

impl Averages {
    /// Averages the thresholds, on the clinical scale.
    #[must_use]
    pub fn of(hearing: &HearingFindings) -> Averages {
        let ear = |ear| EarAverages {
            pta4_db_hl: mean(hearing, ear, &FOUR),
            pta3_db_hl: mean(hearing, ear, &THREE),
        };
        let (right, left) = (ear(Ear::Right), ear(Ear::Left));
        let who_2021 = match (right.pta4_db_hl, left.pta4_db_hl) {
            (Some(right), Some(left)) => Some(
                who_2021::Grade::of(DbHl(right), DbHl(left))
                    .title()
                    .to_owned(),
            ),
            _ => None,
        };
        Averages {
            right,
            left,
            who_2021,
        }
    }
}

/// A threshold at or below the lowest level presented counts as that level; one above the highest
/// has no number, and then there is no average.
fn mean(hearing: &HearingFindings, ear: Ear, all_hz: &[f64]) -> Option<f64> {
    let mut sum_db = 0.0;
    for hz in all_hz {
        let finding = hearing.at(ear, Hz(*hz))?;
        let usable = matches!(
            finding.status,
            HearingStatus::Measured | HearingStatus::AnsweredAtMinimum
        );
        match finding.threshold.filter(|_| usable)? {
            Level::Hl(level) => sum_db += level.0,
            Level::ReExaminer(_) | Level::Fs(_) => return None,
        }
    }
    Some(sum_db / all_hz.len() as f64)
}
