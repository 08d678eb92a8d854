//! ISO 7029:2017, statistical distribution of hearing thresholds related to age and sex, of people
//! who are otologically normal. Formula and coefficients were read in a general acoustics library
//! that copies the standard's tables (phonometry, `hearing/threshold.py`).

use super::{Source, Stated, Verified, at};
use crate::quantity::{Db, Hz, Sex};

/// Spread: `c0` to `c5` of the polynomial in `age - 18`, a row a frequency.
type Spread = [[f64; 6]; 11];

/// The age from which the standard reckons, years.
pub const FROM_AGE_YEARS: f64 = 18.0;

/// Up to this frequency the formula holds to [`TO_AGE_YEARS`]`[0]`, above to `[1]`.
const SPLIT: Hz = Hz(2000.0);
/// The highest ages for which it holds, years.
pub const TO_AGE_YEARS: [f64; 2] = [80.0, 70.0];

/// How far the threshold of an otologically normal person of this age lies above the median of
/// people of 18, dB. `deviate` says which share of them: the standard normal deviate, 0 for the
/// median, positive for the worse half (1.2816 for the worst tenth). `None` at a frequency or an
/// age that the standard does not hold for.
#[must_use]
pub fn age_shift(sex: Sex, age_years: f64, hz: Hz, deviate: f64) -> Option<Stated<Db>> {
    let oldest = TO_AGE_YEARS[usize::from(hz > SPLIT)];
    if !(FROM_AGE_YEARS..=oldest).contains(&age_years) || !deviate.is_finite() {
        return None;
    }
    let (median, worse, better) = match sex {
        Sex::Male => (&MEDIAN_MEN, &WORSE_MEN, &BETTER_MEN),
        Sex::Female => (&MEDIAN_WOMEN, &WORSE_WOMEN, &BETTER_WOMEN),
    };
    let years = age_years - FROM_AGE_YEARS;
    let [a, b] = at(median, hz)?;
    let spread = at(if deviate < 0.0 { better } else { worse }, hz)?;
    let spread_db = spread.iter().rev().fold(0.0, |sum, c| sum * years + c);
    Some(Stated {
        value: Db(a * libm::pow(years, b) + deviate * spread_db),
        within: None,
        source: SOURCE,
    })
}

const SOURCE: Source = Source {
    document: "ISO 7029:2017",
    place: "formulas and coefficients of median and spread, 125 Hz to 8000 Hz",
    verified: Verified::LookedUp,
};

const MEDIAN_MEN: [[f64; 2]; 11] = [
    [2.50e-6, 3.841],
    [1.39e-4, 2.832],
    [4.59e-4, 2.537],
    [5.70e-4, 2.512],
    [7.02e-4, 2.494],
    [1.09e-3, 2.446],
    [1.56e-3, 2.404],
    [2.54e-3, 2.350],
    [3.40e-3, 2.325],
    [4.53e-3, 2.315],
    [5.06e-3, 2.328],
];

const MEDIAN_WOMEN: [[f64; 2]; 11] = [
    [6.16e-4, 2.451],
    [3.98e-4, 2.568],
    [2.61e-4, 2.708],
    [2.25e-4, 2.775],
    [2.21e-4, 2.805],
    [2.53e-4, 2.813],
    [3.12e-4, 2.792],
    [4.88e-4, 2.728],
    [7.37e-4, 2.660],
    [1.47e-3, 2.539],
    [2.53e-3, 2.439],
];

const WORSE_MEN: Spread = [
    [4.63, 0.645, -8.85e-2, 3.69e-3, -5.98e-5, 3.39e-7],
    [5.27, 0.710, -9.13e-2, 3.64e-3, -5.74e-5, 3.22e-7],
    [4.98, 0.751, -9.20e-2, 3.68e-3, -5.84e-5, 3.28e-7],
    [4.65, 0.733, -8.81e-2, 3.59e-3, -5.76e-5, 3.24e-7],
    [4.42, 0.714, -8.54e-2, 3.57e-3, -5.82e-5, 3.29e-7],
    [4.14, 0.679, -8.04e-2, 3.52e-3, -5.89e-5, 3.35e-7],
    [4.10, 0.632, -7.53e-2, 3.46e-3, -5.94e-5, 3.40e-7],
    [4.29, 0.530, -6.28e-2, 3.09e-3, -5.37e-5, 2.95e-7],
    [4.68, 0.455, -5.52e-2, 2.95e-3, -5.30e-5, 2.92e-7],
    [5.61, 0.363, -4.72e-2, 2.92e-3, -5.58e-5, 3.12e-7],
    [6.62, 0.291, -4.16e-2, 2.92e-3, -5.85e-5, 3.33e-7],
];

const BETTER_MEN: Spread = [
    [3.34, 0.131, -2.02e-2, 1.12e-3, -2.28e-5, 1.57e-7],
    [3.32, 0.230, -2.54e-2, 1.20e-3, -2.27e-5, 1.46e-7],
    [3.43, 0.362, -4.11e-2, 1.87e-3, -3.44e-5, 2.21e-7],
    [3.60, 0.384, -4.43e-2, 1.98e-3, -3.55e-5, 2.22e-7],
    [3.77, 0.363, -4.19e-2, 1.82e-3, -3.14e-5, 1.89e-7],
    [3.93, 0.365, -4.22e-2, 1.79e-3, -2.96e-5, 1.70e-7],
    [4.01, 0.387, -4.47e-2, 1.87e-3, -3.02e-5, 1.69e-7],
    [4.11, 0.405, -4.56e-2, 1.86e-3, -2.83e-5, 1.46e-7],
    [4.09, 0.439, -4.78e-2, 1.92e-3, -2.84e-5, 1.40e-7],
    [4.01, 0.497, -4.97e-2, 1.93e-3, -2.67e-5, 1.18e-7],
    [3.90, 0.559, -5.62e-2, 2.40e-3, -3.92e-5, 2.29e-7],
];

const WORSE_WOMEN: Spread = [
    [5.05, 0.400, -4.60e-2, 1.73e-3, -2.75e-5, 1.71e-7],
    [5.01, 0.481, -4.88e-2, 1.80e-3, -2.81e-5, 1.67e-7],
    [4.68, 0.510, -5.16e-2, 1.95e-3, -3.07e-5, 1.77e-7],
    [4.45, 0.511, -5.25e-2, 2.03e-3, -3.18e-5, 1.81e-7],
    [4.34, 0.492, -5.15e-2, 2.03e-3, -3.18e-5, 1.78e-7],
    [4.23, 0.479, -5.12e-2, 2.07e-3, -3.26e-5, 1.80e-7],
    [4.26, 0.456, -4.91e-2, 2.01e-3, -3.16e-5, 1.70e-7],
    [4.36, 0.476, -5.15e-2, 2.19e-3, -3.51e-5, 1.91e-7],
    [4.61, 0.477, -5.07e-2, 2.19e-3, -3.51e-5, 1.88e-7],
    [5.22, 0.483, -4.83e-2, 2.13e-3, -3.39e-5, 1.74e-7],
    [5.84, 0.516, -4.89e-2, 2.18e-3, -3.49e-5, 1.77e-7],
];

const BETTER_WOMEN: Spread = [
    [3.64, 0.047, 2.28e-3, -6.68e-5, -8.72e-7, 2.30e-8],
    [3.11, 0.226, -7.71e-3, 9.83e-5, -7.11e-7, 9.02e-9],
    [2.98, 0.338, -1.74e-2, 3.53e-4, -2.78e-6, 1.01e-8],
    [3.03, 0.378, -2.24e-2, 5.20e-4, -4.60e-6, 1.50e-8],
    [3.15, 0.382, -2.39e-2, 5.62e-4, -4.60e-6, 9.87e-9],
    [3.32, 0.387, -2.64e-2, 6.71e-4, -5.76e-6, 1.07e-8],
    [3.47, 0.392, -2.84e-2, 7.79e-4, -7.35e-6, 1.71e-8],
    [3.69, 0.392, -2.96e-2, 8.44e-4, -7.55e-6, 8.16e-9],
    [3.84, 0.402, -3.17e-2, 9.99e-4, -1.08e-5, 2.99e-8],
    [4.04, 0.403, -3.15e-2, 1.06e-3, -1.21e-5, 3.44e-8],
    [4.15, 0.413, -3.01e-2, 1.00e-3, -9.97e-6, 8.74e-9],
];

#[cfg(test)]
mod tests {
    use super::*;

    const HZ: [f64; 7] = [500.0, 1000.0, 2000.0, 3000.0, 4000.0, 6000.0, 8000.0];

    /// Check values of the library named above: man of 60 at 4 kHz, median 20.21 dB; spread of
    /// the worse half at 1 kHz 10.15 dB.
    #[test]
    fn values_that_the_library_checks() {
        let man = |deviate, hz| {
            let shift = age_shift(Sex::Male, 60.0, Hz(hz), deviate);
            shift.unwrap().value.0
        };
        assert!((man(0.0, 4000.0) - 20.21).abs() < 0.005);
        assert!((man(1.0, 1000.0) - man(0.0, 1000.0) - 10.15).abs() < 0.005);
    }

    /// Medians and worst tenths, worked out from the same coefficients by other code (project
    /// reference on hearing, 5.3): this checks our arithmetic, not the copy of the tables.
    #[test]
    fn worked_values_of_three_ages_and_both_sexes() {
        use Sex::{Female, Male};
        let table = [
            (
                Male,
                40.0,
                [1.2, 1.6, 2.6, 3.6, 4.5, 5.8, 6.8],
                [6.5, 7.8, 10.6, 13.1, 15.4, 19.1, 22.1],
            ),
            (
                Male,
                60.0,
                [6.0, 7.8, 12.5, 16.6, 20.2, 25.9, 30.4],
                [16.3, 20.9, 30.1, 37.3, 43.6, 52.9, 60.3],
            ),
            (
                Male,
                70.0,
                [10.4, 13.4, 20.8, 27.4, 33.2, 42.5, 50.0],
                [23.7, 28.9, 39.8, 47.9, 55.5, 65.7, 74.0],
            ),
            (
                Female,
                40.0,
                [1.1, 1.3, 1.7, 2.2, 2.7, 3.8, 4.8],
                [8.1, 8.1, 8.7, 9.9, 11.2, 14.2, 16.9],
            ),
            (
                Female,
                60.0,
                [6.5, 7.9, 10.6, 13.1, 15.3, 19.4, 23.0],
                [15.7, 19.3, 22.9, 27.8, 31.7, 39.1, 45.2],
            ),
            (
                Female,
                70.0,
                [11.6, 14.4, 19.3, 23.4, 27.0, 33.4, 38.8],
                [22.7, 28.8, 33.9, 41.1, 46.4, 55.9, 63.2],
            ),
        ];
        for (sex, age, median, worst) in table {
            for (index, hz) in HZ.into_iter().enumerate() {
                for (deviate, expected) in [(0.0, median[index]), (1.2816, worst[index])] {
                    let found = age_shift(sex, age, Hz(hz), deviate).unwrap().value.0;
                    assert!(
                        (found - expected).abs() < 0.0501,
                        "{sex:?} {age} {hz}: {found}, {expected}"
                    );
                }
            }
        }
    }

    #[test]
    fn nothing_beyond_the_ages_and_frequencies_of_the_standard() {
        let there = |age, hz| age_shift(Sex::Female, age, Hz(hz), 0.0).is_some();
        assert!(there(18.0, 125.0) && there(80.0, 2000.0) && there(70.0, 8000.0));
        assert!(!there(17.9, 1000.0) && !there(80.1, 2000.0) && !there(70.1, 3000.0));
        assert!(!there(40.0, 9000.0) && !there(40.0, 1100.0) && !there(f64::NAN, 1000.0));
        assert!(age_shift(Sex::Male, 40.0, Hz(1000.0), f64::NAN).is_none());
    }

    /// At 18 the median is the reference zero, and the better side is better.
    #[test]
    fn at_eighteen_the_median_is_zero() {
        for hz in HZ {
            let at = |deviate| age_shift(Sex::Male, 18.0, Hz(hz), deviate).unwrap().value.0;
            assert!(
                at(0.0).abs() < 1e-12 && at(-1.0) < -2.0 && at(1.0) > 2.0,
                "{hz}"
            );
        }
    }
}
