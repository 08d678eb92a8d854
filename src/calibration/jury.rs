//! A listening jury: the thresholds of people with normal hearing on one set-up make its zero.
//!
//! Statistics as pure numbers: who the listeners are and where their thresholds come from is told
//! elsewhere (`errand`). An earphone is worn by both ears of every listener, since the sides are
//! swapped between runs, and a listener counts once, however many ears and runs there were.

use crate::quantity::{Db, DbFs, DbHl, Ear, Hz, Sex};
use crate::standard::{AUDIOMETRIC_HZ, iso_7029_2017, iso_8253_1_2010};
use serde::{Deserialize, Serialize};

/// The fewest listeners of whom a zero is made. With ten, the budget of a threshold is no worse
/// than that of a device within ±3 dB (u = 4.9 dB, see the test); published reference levels rest
/// on 25 and more (from memory).
pub const MIN_LISTENERS: usize = 10;

/// How much worse than the audiometric zero people hear who were called in as normal, dB: the
/// range that is reckoned with where nobody measured them (from memory, medium confidence).
pub const RECRUITING_BIAS_DB: [f64; 2] = [3.0, 10.0];

/// Both ears of a listener, and the earphones twice: a run with the sides swapped and one without.
pub const MIN_RUNS: usize = 2;

/// One frequency of a jury's zero.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JuryZero {
    /// The frequency, one of [`AUDIOMETRIC_HZ`].
    pub hz: Hz,
    /// 0 dB HL of the right earphone.
    pub right_db_fs: DbFs,
    /// 0 dB HL of the left earphone.
    pub left_db_fs: DbFs,
    /// The standard error of the mean over the listeners.
    pub u_db: Db,
    /// People of whom it was made, at the earphone with fewer.
    pub listeners: u32,
    /// The lowest level that may be claimed: the noisiest room in which a listener sat allows no
    /// lower one.
    pub lowest_db_hl: DbHl,
}

impl JuryZero {
    pub(super) fn at(&self, ear: Ear) -> DbFs {
        match ear {
            Ear::Right => self.right_db_fs,
            Ear::Left => self.left_db_fs,
        }
    }
}

/// How a jury came to its zero.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JuryRecord {
    /// How much worse than the audiometric zero the listeners hear; deducted from their mean.
    pub bias_db: Db,
    /// The standard uncertainty of that.
    pub u_bias_db: Db,
    /// Whether the bias was entered, by somebody who measured the listeners; else it is the
    /// middle of [`RECRUITING_BIAS_DB`].
    pub bias_entered: bool,
    /// The hearing procedure by which all were tested.
    pub procedure: String,
    /// The standard by which their age was deducted.
    pub age_correction: String,
    /// SHA-256 of the journal of every visit.
    pub journals: Vec<String>,
}

/// How much worse than the audiometric zero the listeners hear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bias {
    /// What is deducted.
    pub db: Db,
    /// Its standard uncertainty.
    pub u_db: Db,
    /// Whether somebody measured it.
    pub entered: bool,
}

impl Bias {
    /// Not measured: anywhere in [`RECRUITING_BIAS_DB`], a rectangular distribution.
    #[must_use]
    pub fn not_known() -> Bias {
        let [low, high] = RECRUITING_BIAS_DB;
        Bias {
            db: Db(0.5 * (low + high)),
            u_db: iso_8253_1_2010::rectangular(Db(0.5 * (high - low))),
            entered: false,
        }
    }
}

/// One threshold of one listener at one earphone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The earphone's side, whichever ear it sat on.
    pub earphone: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The threshold. Answers at the lowest level are none, and are left out before.
    pub level: DbFs,
}

/// What a listener contributes.
#[derive(Debug, Clone, PartialEq)]
pub struct Listener {
    /// Sex.
    pub sex: Sex,
    /// Age, years.
    pub age_years: f64,
    /// Thresholds of all runs.
    pub readings: Vec<Reading>,
}

/// The mean of one earphone at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mean {
    /// Over the listeners, at the age of 18.
    pub level: DbFs,
    /// Its standard error.
    pub u_db: Db,
    /// People of whom it was made.
    pub listeners: usize,
}

/// Between people and within one: the standard error of the mean of `listeners`.
#[must_use]
pub fn standard_error(between: Db, within: Db, listeners: usize) -> Db {
    Db(libm::hypot(between.0, within.0) / libm::sqrt(listeners as f64))
}

/// The mean of one earphone at one frequency over the listeners, each brought to the age of 18 by
/// the median of ISO 7029:2017. `None` with fewer than two listeners.
///
/// The standard error rests on the scatter of these listeners, but on no less than the spread of
/// normal ears at 18 in that standard: a few people may agree by chance.
#[must_use]
pub fn mean(listeners: &[Listener], earphone: Ear, hz: Hz) -> Option<Mean> {
    let own: Vec<f64> = listeners
        .iter()
        .filter_map(|listener| listener.at_18(earphone, hz))
        .collect();
    let count = own.len() as f64;
    if own.len() < 2 {
        return None;
    }
    let level = own.iter().sum::<f64>() / count;
    let squares: f64 = own.iter().map(|one| (one - level) * (one - level)).sum();
    let scatter = libm::sqrt(squares / (count - 1.0)).max(normal_spread(hz)?.0);
    Some(Mean {
        level: DbFs(level),
        u_db: standard_error(Db(scatter), Db(0.0), own.len()),
        listeners: own.len(),
    })
}

/// The zero of the jury at every frequency that at least [`MIN_LISTENERS`] people have at both
/// earphones; `lowest` says how low the room lets one claim there, `None` where it does not tell,
/// and then there is no zero.
#[must_use]
pub fn zero(
    listeners: &[Listener],
    bias: Bias,
    lowest: impl Fn(Hz) -> Option<DbHl>,
) -> Vec<JuryZero> {
    let row = |hz: Hz| {
        let [right, left] = Ear::BOTH.map(|ear| mean(listeners, ear, hz));
        let (right, left) = (right?, left?);
        let people = right.listeners.min(left.listeners);
        (people >= MIN_LISTENERS).then_some(JuryZero {
            hz,
            right_db_fs: right.level - bias.db,
            left_db_fs: left.level - bias.db,
            u_db: Db(right.u_db.0.max(left.u_db.0)),
            listeners: people as u32,
            lowest_db_hl: lowest(hz)?,
        })
    };
    AUDIOMETRIC_HZ.into_iter().filter_map(row).collect()
}

impl Listener {
    /// The mean of this listener's thresholds at an earphone, less what age takes.
    fn at_18(&self, earphone: Ear, hz: Hz) -> Option<f64> {
        let here = |one: &&Reading| one.earphone == earphone && one.hz == hz;
        let own: Vec<f64> = self
            .readings
            .iter()
            .filter(here)
            .map(|one| one.level.0)
            .collect();
        if own.is_empty() {
            return None;
        }
        let age = iso_7029_2017::age_shift(self.sex, self.age_years, hz, 0.0)?;
        Some(own.iter().sum::<f64>() / own.len() as f64 - age.value.0)
    }
}

/// The spread of otologically normal ears at 18 (ISO 7029:2017): the mean of the worse and the
/// better half's, men, who spread less.
fn normal_spread(hz: Hz) -> Option<Db> {
    let at = |deviate| iso_7029_2017::age_shift(Sex::Male, 18.0, hz, deviate);
    Some(Db(0.5 * (at(1.0)?.value.0 - at(-1.0)?.value.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Draws, Stream};

    fn listener(age_years: f64, level: f64) -> Listener {
        let reading = |earphone| Reading {
            earphone,
            hz: Hz(1000.0),
            level: DbFs(level),
        };
        Listener {
            sex: Sex::Female,
            age_years,
            readings: Ear::BOTH.map(reading).to_vec(),
        }
    }

    /// The project's reference on hearing, 10: standard error of the mean of N listeners for
    /// spreads of 4.1, 5 and 6 dB between them and 2.5 dB within (worked out there).
    #[test]
    fn so_many_listeners_so_exact_a_mean() {
        for (count, [a, b, c]) in [
            (1, [4.8, 5.6, 6.5]),
            (3, [2.8, 3.2, 3.8]),
            (5, [2.2, 2.5, 2.9]),
            (10, [1.5, 1.8, 2.1]),
            (20, [1.1, 1.3, 1.5]),
            (25, [1.0, 1.1, 1.3]),
        ] {
            for (spread, expected) in [(4.1, a), (5.0, b), (6.0, c)] {
                let found = standard_error(Db(spread), Db(2.5), count).0;
                assert!(
                    (found - expected).abs() <= 0.06,
                    "{count} {spread}: {found}"
                );
            }
        }
    }

    /// The same reference: with a jury of ten in place of the device the budget of ISO 8253-1,
    /// Annex A, is u = 4.9 dB; with three it is 5.6. So ten are the fewest.
    #[test]
    fn ten_listeners_are_as_good_as_a_device_within_three_decibels() {
        use iso_8253_1_2010 as iso;
        let hz = Hz(1000.0);
        let budget = |count| {
            let jury = standard_error(Db(5.0), Db(2.5), count);
            let step = iso::step_size(Db(5.0));
            let answers = iso::repeated_determinations(hz);
            iso::combined(&[answers, jury, step, iso::transducer(hz), iso::ROOM]).0
        };
        assert!((budget(MIN_LISTENERS) - 4.9).abs() < 0.06);
        assert!((budget(3) - 5.6).abs() < 0.06);
    }

    /// Not known, the bias is 6.5 dB with the uncertainty of a range of 3 to 10 dB, 7/√12 = 2.02.
    #[test]
    fn a_bias_that_nobody_measured_is_a_range() {
        let bias = Bias::not_known();
        assert_eq!(bias.db, Db(6.5));
        assert!((bias.u_db.0 - 7.0 / 12_f64.sqrt()).abs() < 1e-12);
    }

    /// Two ears and three runs of one person are one person.
    #[test]
    fn people_are_counted_not_ears_nor_runs() {
        let mut one = listener(18.0, -80.0);
        one.readings.extend(one.readings.clone());
        let people = vec![one, listener(18.0, -70.0)];
        let mean = mean(&people, Ear::Left, Hz(1000.0)).unwrap();
        assert_eq!((mean.listeners, mean.level), (2, DbFs(-75.0)));
        let many: Vec<Listener> = (0..9).map(|_| listener(18.0, -80.0)).collect();
        assert!(zero(&many, Bias::not_known(), |_| Some(DbHl(0.0))).is_empty());
    }

    /// A woman of 60 hears 7.9 dB worse at 1 kHz than at 18 (ISO 7029:2017, worked value).
    #[test]
    fn age_is_deducted() {
        let people = [listener(60.0, -70.0), listener(60.0, -70.0)];
        let mean = mean(&people, Ear::Right, Hz(1000.0)).unwrap();
        assert!((mean.level.0 + 77.9).abs() < 0.05, "{:?}", mean.level);
    }

    /// Ten who agree to the decibel are still as uncertain as ten normal ears: 4.1/√10 at 1 kHz.
    #[test]
    fn agreement_by_chance_counts_for_nothing() {
        let people: Vec<Listener> = (0..10).map(|_| listener(18.0, -80.0)).collect();
        let rows = zero(&people, Bias::not_known(), |_| Some(DbHl(-5.0)));
        assert_eq!(rows.len(), 1);
        assert!((rows[0].u_db.0 - 4.1 / 10_f64.sqrt()).abs() < 0.01);
        assert_eq!(rows[0].right_db_fs, DbFs(-86.5));
        assert_eq!((rows[0].listeners, rows[0].lowest_db_hl), (10, DbHl(-5.0)));
        assert!(zero(&people, Bias::not_known(), |_| None).is_empty());
    }

    /// Over 400 juries of twelve whose true zero is known, with a spread of 5 dB, the zero is
    /// wrong by its stated standard error: root mean square 5/√12 = 1.44 dB within a tenth (the
    /// figure itself scatters by 3.5 %), and no bias beyond four of its own errors.
    #[test]
    fn the_stated_error_is_the_error() {
        let mut squares = 0.0;
        let mut sum = 0.0;
        let mut stated = 0.0;
        for number in 0..400 {
            let mut draws = Draws::new(9, Stream::Person, number);
            let people: Vec<Listener> = (0..12)
                .map(|_| listener(18.0, -80.0 + 5.0 * draws.normal()))
                .collect();
            let found = mean(&people, Ear::Left, Hz(1000.0)).unwrap();
            sum += found.level.0 + 80.0;
            squares += (found.level.0 + 80.0).powi(2);
            stated += found.u_db.0.powi(2);
        }
        let [rmse, stated] = [squares, stated].map(|sum| (sum / 400.0).sqrt());
        assert!((rmse / 1.443 - 1.0).abs() < 0.14, "{rmse}");
        assert!((stated / rmse - 1.0).abs() < 0.2, "{stated} against {rmse}");
        assert!((sum / 400.0).abs() < 4.0 * 1.443 / 20.0);
    }
}
