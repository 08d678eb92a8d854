//! Change against an earlier visit: how far each threshold moved, and whether two measurements of
//! an unchanged ear would lie as far apart.

use super::hearing::HearingFindings;
use crate::calibration::EarphoneProfile;
use crate::journal::{EarlierThreshold, Record};
use crate::quantity::{Ear, Hz, Level};
use crate::standard::iso_8253_1_2010::{audiometer, combined, fitting, repeated_determinations};
use serde::{Deserialize, Serialize};

/// The change at one frequency. Positive is poorer than before.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Change {
    /// The frequency.
    pub hz: Hz,
    /// The earlier threshold.
    pub then_db_hl: f64,
    /// The threshold of this visit.
    pub now_db_hl: f64,
    /// Now minus then.
    pub change_db: f64,
    /// Standard uncertainty of the difference between two visits of an unchanged ear, dB: both
    /// visits' answers and how the earphone sat, and both calibrations where the profile is
    /// another or not known (ISO 8253-1:2010, Annex A).
    pub retest_u_db: f64,
    /// The probability that test and retest of an unchanged ear lie closer together than this.
    pub beyond_retest: f64,
    /// Whether the threshold of this visit lies above what is stated, so that the change is at least
    /// this: no response there, or answered there perhaps by the other ear.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub at_least: bool,
}

/// Changes of both ears.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Changes {
    /// Where the earlier figures come from.
    pub source: String,
    /// The day of the earlier visit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub on: Option<jiff::civil::Date>,
    /// The right ear, in order of frequency.
    pub right: Vec<Change>,
    /// The left ear, in order of frequency.
    pub left: Vec<Change>,
}

impl Changes {
    /// Of a record whose plan knows an earlier visit, where both have thresholds in dB HL.
    #[must_use]
    pub fn of(record: &Record, hearing: &HearingFindings) -> Option<Changes> {
        let earlier = record.opening.plan.earlier.as_ref()?;
        let digest = record.opening.earphone_digest.as_ref();
        let same_earphone = digest.is_some() && digest == earlier.earphone_digest.as_ref();
        let earphone = record.opening.set_up.earphone.as_ref()?;
        let ear = |ear: Ear| {
            let all = hearing.ear(ear).iter().filter_map(|finding| {
                let then = earlier.at(ear, finding.hz)?;
                let known = finding.known();
                // A change against what leans on neighbours could be one of the neighbours'.
                let own = Some(finding).filter(|finding| !finding.from_neighbours)?;
                let Level::Hl(now) = own.at_least()? else {
                    return None;
                };
                let poorer = now.0 > then.threshold_db_hl;
                let at_least = known.is_none();
                let retest_u_db = retest_u_db(earphone, then, finding.sd_db, same_earphone);
                (poorer || !at_least).then(|| Change {
                    at_least,
                    ..Change::between(then, now.0, retest_u_db)
                })
            });
            all.collect()
        };
        Some(Changes {
            source: earlier.source.clone(),
            on: earlier.on,
            right: ear(Ear::Right),
            left: ear(Ear::Left),
        })
    }

    /// The changes of an ear.
    #[must_use]
    pub fn ear(&self, ear: Ear) -> &[Change] {
        match ear {
            Ear::Right => &self.right,
            Ear::Left => &self.left,
        }
    }
}

impl Change {
    fn between(then: EarlierThreshold, now_db_hl: f64, retest_u_db: f64) -> Change {
        let change_db = now_db_hl - then.threshold_db_hl;
        Change {
            hz: then.hz,
            then_db_hl: then.threshold_db_hl,
            now_db_hl,
            change_db,
            retest_u_db,
            beyond_retest: within(change_db, retest_u_db),
            at_least: false,
        }
    }
}

/// How likely a normal deviation of this standard deviation stays below `size` either way.
fn within(size: f64, sd: f64) -> f64 {
    libm::erf(size.abs() / (sd * std::f64::consts::SQRT_2))
}

fn retest_u_db(
    earphone: &EarphoneProfile,
    then: EarlierThreshold,
    now_sd_db: Option<f64>,
    same_earphone: bool,
) -> f64 {
    let hz = then.hz;
    let answers =
        |sd_db: Option<f64>| sd_db.map_or_else(|| repeated_determinations(hz), crate::quantity::Db);
    let mut parts = vec![
        answers(then.sd_db),
        answers(now_sd_db),
        fitting(hz),
        fitting(hz),
    ];
    if !same_earphone {
        let device = earphone.record().u_db.unwrap_or_else(|| audiometer(hz));
        parts.extend([device, audiometer(hz)]);
    }
    combined(&parts).0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the normal distribution of every handbook: 68.3 % within one standard deviation,
    /// 95.0 % within 1.96, 99 % within 2.576.
    #[test]
    fn the_probability_is_the_normal_distributions() {
        for (deviates, share) in [(1.0, 0.6827), (1.96, 0.95), (2.5758, 0.99), (0.0, 0.0)] {
            assert!((within(deviates * 4.0, 4.0) - share).abs() < 1e-4);
            assert!((within(-deviates * 4.0, 4.0) - share).abs() < 1e-4);
        }
    }

    /// With the standard's figure for repeated determinations, 2.5 dB, and its fitting, 2.5 dB (ISO
    /// 8253-1:2010, Annex A), two visits with one earphone differ by 5 dB as a standard deviation;
    /// the published standard deviation of a difference is 6.1 dB (Mahomed 2013, 29 reports).
    #[test]
    fn two_visits_differ_about_as_published() {
        let then = EarlierThreshold {
            hz: Hz(1000.0),
            threshold_db_hl: 20.0,
            sd_db: None,
        };
        let earphone = EarphoneProfile::simulated();
        let same = retest_u_db(&earphone, then, None, true);
        assert!((same - 5.0).abs() < 1e-9, "{same}");
        let other = retest_u_db(&earphone, then, None, false);
        assert!(same < other && other < 6.5, "{other}");
    }
}
