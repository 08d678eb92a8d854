//! What a letter-by-letter chart reads from a person whose choice function is known.

use super::ChoiceFunction;

/// Letters in a row; each counts 0.02 logMAR (Rosser 2001, BJO, Table 1).
const ROW_LETTERS: f64 = 5.0;
const LETTER_LOG_MAR: f64 = 0.02;
/// Rows are tenths of a logMAR; the smallest printed row is −0.3.
const SMALLEST_ROW: i32 = -3;
/// The ten letters that a chart draws from.
pub(super) const CHART_CHOICES: u32 = 10;
/// Where reading begins: three rows above the midpoint. Common practice, no source.
const ROWS_ABOVE: f64 = 3.0;

/// The mean reading, in logMAR, of a chart of 5 letters a row in steps of 0.1 logMAR down to −0.3,
/// scored 0.02 a letter, begun about three rows above the midpoint with all larger rows credited,
/// and ended after the first row with four or more wrong.
///
/// Above 1.0, where a printed chart at its own distance ends, rows are taken to go on, as when the
/// chart is brought nearer.
pub(super) fn expected_reading(person: &ChoiceFunction) -> f64 {
    let first = (libm::round(person.midpoint * 10.0 + ROWS_ABOVE) as i32).max(SMALLEST_ROW);
    let mut reached = 1.0;
    let mut letters = 0.0;
    for row in (SMALLEST_ROW..=first).rev() {
        let right = person.p(f64::from(row) / 10.0);
        letters += reached * ROW_LETTERS * right;
        reached *= 1.0 - at_most_one_of_five(right);
    }
    f64::from(first) / 10.0 + LETTER_LOG_MAR * (ROW_LETTERS - letters)
}

/// How likely at most one of five letters is right: four or more are wrong.
fn at_most_one_of_five(right: f64) -> f64 {
    let wrong = 1.0 - right;
    let four_wrong = wrong * wrong * wrong * wrong;
    four_wrong * (wrong + 5.0 * right)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belief::binomial::lower_tail;
    use crate::quantity::{Draws, Stream};

    #[test]
    fn a_row_ends_the_reading_by_the_binomial_rule() {
        for p in [0.0, 0.1, 0.5, 0.98, 1.0] {
            assert!(
                (at_most_one_of_five(p) - lower_tail(1, 5, p)).abs() < 1e-12,
                "{p}"
            );
        }
    }

    #[test]
    fn a_person_who_sees_all_or_nothing_reads_the_row_where_they_stop() {
        // Scoring arithmetic of a by-letter chart (from memory): all letters of the rows down to
        // 0.2 and none below read 0.2.
        let keen = ChoiceFunction {
            midpoint: 0.15,
            scale: 1e-4,
            choices: 1_000_000,
            lapse: 0.0,
        };
        assert!((expected_reading(&keen) - 0.2).abs() < 1e-4);
        // Everything down to the smallest row.
        let sharp = ChoiceFunction {
            midpoint: -0.8,
            ..keen
        };
        assert!((expected_reading(&sharp) + 0.3).abs() < 1e-6);
    }

    #[test]
    fn the_mean_is_that_of_charts_read_letter_by_letter() {
        let person = ChoiceFunction {
            midpoint: 0.13,
            scale: 0.08,
            choices: 10,
            lapse: 0.02,
        };
        let mut draws = Draws::new(5, Stream::Person, 0);
        let charts = 40_000;
        let mut sum = 0.0;
        for _ in 0..charts {
            let (mut row, mut reading) = (0.4, 0.5);
            while row > -0.35 {
                let right = (0..5).filter(|_| draws.chance(person.p(row))).count();
                reading -= 0.02 * right as f64;
                row -= 0.1;
                if right <= 1 {
                    break;
                }
            }
            sum += reading;
        }
        let mean = sum / f64::from(charts);
        // Standard error 0.05 / 200.
        assert!((expected_reading(&person) - mean).abs() < 1e-3, "{mean}");
    }

    #[test]
    fn the_offset_from_the_midpoint_is_the_known_one() {
        // Simulated charts of the project's reference data, begun about three rows above, lapse
        // 0.02: 0.044 above the midpoint on average for scale 0.05, 0.048 for 0.08. They hold away
        // from the smallest row; the mean runs over all places of the midpoint between two rows.
        for (scale, expected) in [(0.05, 0.044), (0.08, 0.048)] {
            let offsets = (0..100).map(|i| {
                let midpoint = 0.3 + f64::from(i) / 1000.0;
                let person = ChoiceFunction {
                    midpoint,
                    scale,
                    choices: 10,
                    lapse: 0.02,
                };
                expected_reading(&person) - midpoint
            });
            let offset = offsets.sum::<f64>() / 100.0;
            assert!((offset - expected).abs() < 0.001, "{scale}: {offset}");
        }
    }
}
