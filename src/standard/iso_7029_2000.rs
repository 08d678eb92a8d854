//! ISO 7029:2000, the edition before that of 2017: its medians of older men are up to 10 dB higher.
//! Some rules still cite it. Its coefficients are from memory; a worked example of ISO 1999:2013
//! agrees with them (see the test).

use super::{Row, Source, Stated, Verified, at};
use crate::quantity::{Db, Hz, Sex};

/// The ages for which it holds, years.
pub const AGE_YEARS: [f64; 2] = [18.0, 70.0];

/// Of men and women: median in dB a squared year over 18.
const ALPHA: [Row; 2] = [
    [
        0.0030, 0.0030, 0.0035, 0.0040, 0.0040, 0.0055, 0.0070, 0.0115, 0.0160, 0.0180, 0.0220,
    ],
    [
        0.0030, 0.0030, 0.0035, 0.0040, 0.0040, 0.0050, 0.0060, 0.0075, 0.0090, 0.0120, 0.0150,
    ],
];
/// Of men and women: spread of the worse half at 18, dB.
const WORSE: [Row; 2] = [
    [
        7.23, 6.67, 6.12, 6.12, 6.12, 6.67, 7.23, 7.78, 8.34, 9.45, 10.56,
    ],
    [
        6.67, 6.12, 6.12, 6.12, 6.12, 6.67, 6.67, 7.23, 7.78, 8.90, 10.56,
    ],
];
/// Of men and women: spread of the better half at 18, dB.
const BETTER: [Row; 2] = [
    [
        5.78, 5.34, 4.89, 4.89, 4.89, 5.34, 5.78, 6.23, 6.67, 7.56, 8.45,
    ],
    [
        5.34, 4.89, 4.89, 4.89, 4.89, 5.34, 5.34, 5.78, 6.23, 7.12, 8.45,
    ],
];
/// How fast the spread grows with the median: worse half, better half.
const GROWTH: [f64; 2] = [0.445, 0.356];

/// As [`super::iso_7029_2017::age_shift`], by this edition.
#[must_use]
pub fn age_shift(sex: Sex, age_years: f64, hz: Hz, deviate: f64) -> Option<Stated<Db>> {
    let [youngest, oldest] = AGE_YEARS;
    if !(youngest..=oldest).contains(&age_years) || !deviate.is_finite() {
        return None;
    }
    let column = usize::from(sex == Sex::Female);
    let years = age_years - youngest;
    let median_db = at(&ALPHA[column], hz)? * years * years;
    let (spread, growth) = if deviate < 0.0 {
        (&BETTER, GROWTH[1])
    } else {
        (&WORSE, GROWTH[0])
    };
    let spread_db = at(&spread[column], hz)? + growth * median_db;
    Some(Stated {
        value: Db(median_db + deviate * spread_db),
        within: None,
        source: Source {
            document: "ISO 7029:2000",
            place: "formulas and coefficients of median and spread, 125 Hz to 8000 Hz",
            verified: Verified::FromMemory,
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn db(sex: Sex, age: f64, hz: f64, deviate: f64) -> f64 {
        age_shift(sex, age, Hz(hz), deviate).unwrap().value.0
    }

    /// ISO 1999:2013, Annex C, worked example: men of 50, the worst tenth, 14, 21 and 36 dB at 1,
    /// 2 and 4 kHz.
    #[test]
    fn the_worked_example_of_iso_1999() {
        for (hz, printed) in [(1000.0, 14.0), (2000.0, 21.0), (4000.0, 36.0)] {
            let found = db(Sex::Male, 50.0, hz, 1.2816);
            assert!((found - printed).abs() <= 0.5, "{hz}: {found}");
        }
    }

    /// Worked out from the same coefficients by other code (project reference on hearing, 5.3):
    /// man and woman of 60.
    #[test]
    fn worked_values() {
        let table = [
            (
                Sex::Male,
                [
                    (500.0, 6.2, 17.5),
                    (3000.0, 20.3, 41.8),
                    (4000.0, 28.2, 55.0),
                    (8000.0, 38.8, 74.5),
                ],
            ),
            (
                Sex::Female,
                [
                    (500.0, 6.2, 17.5),
                    (3000.0, 13.2, 30.0),
                    (4000.0, 15.9, 34.9),
                    (8000.0, 26.5, 55.1),
                ],
            ),
        ];
        for (sex, rows) in table {
            for (hz, median, worst) in rows {
                assert!(
                    (db(sex, 60.0, hz, 0.0) - median).abs() < 0.0501,
                    "{sex:?} {hz}"
                );
                assert!(
                    (db(sex, 60.0, hz, 1.2816) - worst).abs() < 0.0501,
                    "{sex:?} {hz}"
                );
            }
        }
    }

    /// The two editions differ by 8 dB for men of 60 at 4 kHz (28.2 against 20.2).
    #[test]
    fn the_editions_differ() {
        use crate::standard::iso_7029_2017;
        let new = iso_7029_2017::age_shift(Sex::Male, 60.0, Hz(4000.0), 0.0).unwrap();
        assert!((db(Sex::Male, 60.0, 4000.0, 0.0) - new.value.0 - 8.0).abs() < 0.1);
        assert!(age_shift(Sex::Male, 71.0, Hz(1000.0), 0.0).is_none());
    }
}
