//! The daily check: one known listener's thresholds on a set-up, against what the same listener
//! heard on it before. A few decibels of changed volume cannot be heard, but they can be measured.
//!
//! The log is a file of one JSON object a line beside the profile; nothing in it is ever changed.

use super::file::FileError;
use crate::quantity::{Ear, Hz};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A threshold that moved so far, dB, means: calibrate anew before anybody is measured
/// (29 CFR 1910.95(h)(5) acts at 10 dB of a known listener; from memory).
pub const LIMIT_DB: f64 = 10.0;
/// The standard deviation of the difference between two sittings of one threshold of a young
/// normal ear, dB (Henry et al. 2001: 91.5 % within 5 dB; worked out in the project's reference).
pub const RETEST_SD_DB: f64 = 3.1;
/// So many first sittings make what later ones are held against (our choice).
const BASELINE: usize = 3;
/// The log's format.
const FORMAT: u32 = 1;

/// One threshold of a sitting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DailyThreshold {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The threshold, dB on the profile's scale.
    pub db: f64,
}

/// One sitting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sitting {
    /// The version of the log's format.
    pub format: u32,
    /// SHA-256 of the earphone's profile.
    pub profile: String,
    /// The listener's code.
    pub listener: String,
    /// The day.
    pub on: Date,
    /// SHA-256 of the visit's journal.
    pub journal: String,
    /// What was heard.
    pub thresholds: Vec<DailyThreshold>,
}

impl Sitting {
    /// A sitting of today's format.
    #[must_use]
    pub fn new(
        profile: String,
        listener: String,
        on: Date,
        journal: String,
        thresholds: Vec<DailyThreshold>,
    ) -> Sitting {
        Sitting {
            format: FORMAT,
            profile,
            listener,
            on,
            journal,
            thresholds,
        }
    }
}

/// One threshold against before.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Moved {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// Now less before, dB; positive: the listener needs more.
    pub by_db: f64,
}

/// A sitting against the first ones of the same listener on the same profile.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// The sittings that it is held against.
    pub against: usize,
    /// Every threshold that both have.
    pub moved: Vec<Moved>,
    /// The mean of all, dB.
    pub shift_db: f64,
    /// What the mean scatters by from sitting to sitting, dB.
    pub u_shift_db: f64,
}

impl Comparison {
    /// The threshold that moved farthest.
    #[must_use]
    pub fn farthest(&self) -> Option<&Moved> {
        let by = |one: &&Moved, other: &&Moved| one.by_db.abs().total_cmp(&other.by_db.abs());
        self.moved.iter().max_by(by)
    }

    /// Whether no threshold moved by [`LIMIT_DB`] or more.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.moved.iter().all(|one| one.by_db.abs() < LIMIT_DB)
    }

    /// Whether all together moved by more than chance does in 19 sittings of 20: as a changed
    /// volume would move them.
    #[must_use]
    pub fn shifted(&self) -> bool {
        self.shift_db.abs() > 2.0 * self.u_shift_db
    }
}

/// How a profile stands today.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "state", rename_all = "snake_case")]
pub enum Standing {
    /// No known listener has sat on this profile yet.
    NoListener,
    /// Due: the last sitting was on an earlier day.
    Due {
        /// When.
        last: Date,
        /// Whose.
        listener: String,
    },
    /// Checked today, and nothing moved beyond the limit.
    Held {
        /// Whose sitting it was.
        listener: String,
        /// How it stands to the sittings before; none of the first.
        comparison: Option<Comparison>,
    },
    /// The last sitting lies beyond the limit: the profile is not to be used.
    Exceeded {
        /// When.
        on: Date,
        /// Whose sitting it was.
        listener: String,
        /// How it stands to the sittings before.
        comparison: Comparison,
    },
}

/// All sittings, in the order in which they were written down.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DailyLog {
    sittings: Vec<Sitting>,
}

impl DailyLog {
    /// Reads the lines of a log.
    ///
    /// # Errors
    /// Names the file, the line and what was expected.
    pub fn read(text: &str, file: &str) -> Result<DailyLog, FileError> {
        let mut sittings = Vec::new();
        for (at, line) in text.lines().enumerate() {
            let refuse = |problem: String| FileError {
                file: file.to_owned(),
                field: format!("line {}", at + 1),
                problem,
            };
            // A name is quoted as it stands in the file, line breaks and all.
            let plain = |error: serde_json::Error| error.to_string().replace(char::is_control, " ");
            let sitting: Sitting =
                serde_json::from_str(line).map_err(|error| refuse(plain(error)))?;
            if sitting.format != FORMAT {
                let found = sitting.format;
                return Err(refuse(format!("format: expected {FORMAT}, found {found}")));
            }
            if !sitting.thresholds.iter().all(|one| one.db.is_finite()) {
                return Err(refuse("expected finite levels".into()));
            }
            sittings.push(sitting);
        }
        Ok(DailyLog { sittings })
    }

    /// A sitting as a line of the log.
    ///
    /// # Panics
    /// Never: it holds strings and finite numbers.
    #[must_use]
    pub fn line(sitting: &Sitting) -> String {
        let mut line = serde_json::to_string(sitting).expect("strings and numbers");
        line.push('\n');
        line
    }

    /// Adds a sitting.
    pub fn add(&mut self, sitting: Sitting) {
        self.sittings.push(sitting);
    }

    /// All sittings.
    #[must_use]
    pub fn sittings(&self) -> &[Sitting] {
        &self.sittings
    }

    /// The sitting at a place against the first ones before it of the same listener on the same
    /// profile; `None` if there is none, or nothing that both have.
    #[must_use]
    pub fn comparison(&self, at: usize) -> Option<Comparison> {
        let now = self.sittings.get(at)?;
        let before: Vec<&Sitting> = self.sittings[..at]
            .iter()
            .filter(|one| one.listener == now.listener && one.profile == now.profile)
            .take(BASELINE)
            .collect();
        let moved: Vec<Moved> = now
            .thresholds
            .iter()
            .filter_map(|one| {
                let own = before
                    .iter()
                    .filter_map(|sitting| sitting.at(one.ear, one.hz));
                let own: Vec<f64> = own.collect();
                let mean = own.iter().sum::<f64>() / own.len() as f64;
                (!own.is_empty()).then_some(Moved {
                    ear: one.ear,
                    hz: one.hz,
                    by_db: one.db - mean,
                })
            })
            .collect();
        if moved.is_empty() {
            return None;
        }
        let count = moved.len() as f64;
        // A difference of two sittings scatters by the retest figure; of the mean of several
        // before, by less.
        let of_one = RETEST_SD_DB * libm::sqrt(0.5 * (1.0 + 1.0 / before.len() as f64));
        Some(Comparison {
            against: before.len(),
            shift_db: moved.iter().map(|one| one.by_db).sum::<f64>() / count,
            u_shift_db: of_one / libm::sqrt(count),
            moved,
        })
    }

    /// How the profile of this digest stands on `today`.
    #[must_use]
    pub fn standing(&self, profile: &str, today: Date) -> Standing {
        let last = self.sittings.iter().rposition(|one| one.profile == profile);
        let Some(at) = last else {
            return Standing::NoListener;
        };
        let sitting = &self.sittings[at];
        let listener = sitting.listener.clone();
        let comparison = self.comparison(at);
        match comparison {
            Some(comparison) if !comparison.holds() => Standing::Exceeded {
                on: sitting.on,
                listener,
                comparison,
            },
            comparison if sitting.on >= today => Standing::Held {
                listener,
                comparison,
            },
            _ => Standing::Due {
                last: sitting.on,
                listener,
            },
        }
    }
}

impl Sitting {
    fn at(&self, ear: Ear, hz: Hz) -> Option<f64> {
        let found = self
            .thresholds
            .iter()
            .find(|one| one.ear == ear && one.hz == hz);
        found.map(|one| one.db)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn sitting(day: i8, levels: [f64; 8]) -> Sitting {
        let hz = [500.0, 1000.0, 2000.0, 4000.0];
        let thresholds = levels.iter().enumerate().map(|(at, db)| DailyThreshold {
            ear: Ear::BOTH[at / 4],
            hz: Hz(hz[at % 4]),
            db: *db,
        });
        Sitting::new(
            "a".repeat(64),
            "keeper-01".into(),
            date(2026, 2, day),
            "b".repeat(64),
            thresholds.collect(),
        )
    }

    fn log(all: &[Sitting]) -> DailyLog {
        let text: String = all.iter().map(DailyLog::line).collect();
        DailyLog::read(&text, "daily.jsonl").unwrap()
    }

    #[test]
    fn nothing_is_known_then_held_then_due() {
        let profile = "a".repeat(64);
        let empty = DailyLog::default();
        assert_eq!(
            empty.standing(&profile, date(2026, 2, 2)),
            Standing::NoListener
        );
        let log = log(&[sitting(2, [5.0; 8])]);
        let held = log.standing(&profile, date(2026, 2, 2));
        assert!(
            matches!(
                held,
                Standing::Held {
                    comparison: None,
                    ..
                }
            ),
            "{held:?}"
        );
        let due = log.standing(&profile, date(2026, 2, 3));
        assert!(matches!(due, Standing::Due { last, .. } if last == date(2026, 2, 2)));
        assert_eq!(
            log.standing("another", date(2026, 2, 2)),
            Standing::NoListener
        );
    }

    /// 29 CFR 1910.95(h)(5): 10 dB of a known listener ask for an acoustic calibration.
    #[test]
    fn ten_decibels_are_too_much_and_five_are_not() {
        let profile = "a".repeat(64);
        let mut moved = [5.0; 8];
        moved[3] = 10.0;
        let five = log(&[sitting(2, [5.0; 8]), sitting(3, moved)]);
        assert!(matches!(
            five.standing(&profile, date(2026, 2, 3)),
            Standing::Held { .. }
        ));
        moved[3] = 15.0;
        let ten = log(&[sitting(2, [5.0; 8]), sitting(3, moved)]);
        let Standing::Exceeded { comparison, .. } = ten.standing(&profile, date(2026, 2, 9)) else {
            panic!("it stays exceeded until it is measured again");
        };
        let farthest = comparison.farthest().unwrap();
        assert_eq!((farthest.hz, farthest.by_db), (Hz(4000.0), 10.0));
        let again = log(&[
            sitting(2, [5.0; 8]),
            sitting(3, moved),
            sitting(3, [5.0; 8]),
        ]);
        assert!(matches!(
            again.standing(&profile, date(2026, 2, 3)),
            Standing::Held { .. }
        ));
    }

    /// Eight thresholds that all moved by 5 dB are a volume that moved: their mean scatters by
    /// 3.1/√8 = 1.1 dB. Half of them up and half of them down by 5 dB are none.
    #[test]
    fn a_changed_volume_shows_in_the_mean() {
        let log = log(&[
            sitting(2, [5.0; 8]),
            sitting(3, [10.0; 8]),
            sitting(4, [10.0, 0.0, 10.0, 0.0, 10.0, 0.0, 10.0, 5.0]),
        ]);
        let moved = log.comparison(1).unwrap();
        assert!(moved.holds() && moved.shifted());
        assert!((moved.u_shift_db - 3.1 / 8_f64.sqrt()).abs() < 1e-9);
        let scattered = log.comparison(2).unwrap();
        assert_eq!(scattered.against, 2);
        assert!(!scattered.shifted(), "{scattered:?}");
        assert!(log.comparison(0).is_none());
    }

    #[test]
    fn a_damaged_line_is_named() {
        let text = DailyLog::line(&sitting(2, [5.0; 8])) + "{\"format\":1\n";
        let error = DailyLog::read(&text, "daily.jsonl")
            .unwrap_err()
            .to_string();
        assert!(error.starts_with("daily.jsonl: line 2: "), "{error}");
    }
}
