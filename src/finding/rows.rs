//! Rows of five letters read from large to small: which comes next, and the score by letter.
//!
//! The procedure asks the reading what comes next and the finding asks it for the score, so they
//! cannot disagree.

use super::sight::{less, sizes_of};
use crate::calibration::Drawable;
use crate::journal::{
    Asked, LetterDifficulty, Purpose, Record, RowsEnd, RowsPlan, RowsShow, SightProcedure, Trial,
};
use crate::quantity::LogMar;
use crate::standard::iso_8596_2017::STROKES;
use crate::stimulus::{Letter, with_bars};
use serde::{Deserialize, Serialize};

/// Letters in a row.
pub const ROW_LETTERS: usize = 5;
/// What each letter counts (Rosser 2001, BJO, Table 1).
const LETTER_LOG_MAR: f64 = 0.02;
/// With more wrong than this the first row is not taken as read, and a larger one follows (our
/// rule; all larger rows are credited only then).
const MOST_WRONG_OF_FIRST: u32 = 1;

/// A score by letter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct RowsScore {
    /// Largest row + 0.1 − 0.02 for each letter named rightly, down to the row that ended it.
    pub log_mar: f64,
    /// Letters named rightly, down to that row.
    pub right: u32,
    /// Letters shown, down to that row.
    pub of: u32,
    /// What ended it.
    pub ends: RowsEnd,
    /// Whether it was ended by that rule; else the rows came to their end.
    pub ended: bool,
    /// Whether the acuity beside it takes letters for equally easy. The score always does.
    pub letters: LetterDifficulty,
}

/// How far one eye has read. Rows are counted in tenths of a logMAR.
#[derive(Debug, Clone, PartialEq)]
pub struct RowsReading {
    plan: RowsPlan,
    /// The smallest and the largest row that there is.
    smallest: i32,
    largest: i32,
    first: i32,
    /// (row, letters wrong, letters shown), from large to small; each begun row once.
    rows: Vec<(i32, u32, u32)>,
}

/// How many tenths of a logMAR that is.
fn tenths(log_mar: f64) -> i32 {
    libm::round(10.0 * log_mar) as i32
}

fn log_mar(row: i32) -> f64 {
    f64::from(row) / 10.0
}

impl RowsReading {
    /// Nothing read yet of the rows between two sizes, both included.
    #[must_use]
    pub fn new(plan: RowsPlan, smallest: LogMar, largest: LogMar) -> RowsReading {
        let largest = libm::floor(10.0 * largest.0 + 1e-6) as i32;
        let smallest = (libm::ceil(10.0 * smallest.0 - 1e-6) as i32)
            .max(tenths(plan.last_log_mar))
            .min(largest);
        RowsReading {
            plan,
            smallest,
            largest,
            first: tenths(plan.first_log_mar).clamp(smallest, largest),
            rows: Vec::new(),
        }
    }

    /// What was read of an asking so far; none if it has no rows or nothing to show them on.
    #[must_use]
    pub fn of(record: &Record, asked: &Asked) -> Option<RowsReading> {
        let plan = asked.plan.rows()?;
        let Drawable { smallest, largest } = sizes_of(record, asked)?;
        let largest = if asked.plan.procedure == SightProcedure::NearCard {
            largest
        } else {
            let (set_up, distance) = (&record.opening.set_up, asked.distance?);
            let row = set_up.largest_row(ROW_LETTERS as u32, distance)?;
            let strokes = STROKES * (2.0 * ROW_LETTERS as f64 - 1.0);
            let bars = if asked.plan.crowded {
                with_bars(strokes)
            } else {
                1.0
            };
            LogMar(largest.0.min(less(row, bars, distance).0))
        };
        let mut reading = RowsReading::new(*plan, smallest, largest);
        for (shown, right) in measured(record, asked).flat_map(Trial::namings) {
            reading.take(shown.log_mar, right);
        }
        Some(reading)
    }

    /// Takes in one letter.
    pub fn take(&mut self, size: LogMar, right: bool) {
        let row = tenths(size.0);
        let at = self.rows.partition_point(|(other, _, _)| *other > row);
        if self.rows.get(at).is_none_or(|(other, _, _)| *other != row) {
            self.rows.insert(at, (row, 0, 0));
        }
        self.rows[at].1 += u32::from(!right);
        self.rows[at].2 += 1;
    }

    /// The row that is shown next and how many of its letters were shown; none if all is read.
    #[must_use]
    pub fn next_row(&self) -> Option<(LogMar, usize)> {
        let row = self.next_tenth()?;
        let begun = self.rows.iter().find(|(other, _, _)| *other == row);
        let shown = begun.map_or(0, |(_, _, shown)| *shown as usize);
        Some((LogMar(log_mar(row)), shown))
    }

    fn next_tenth(&self) -> Option<i32> {
        let incomplete = |(_, _, shown): &&(i32, u32, u32)| (*shown as usize) < ROW_LETTERS;
        if let Some((row, _, _)) = self.rows.iter().find(incomplete) {
            return Some(*row);
        }
        let Some((top, wrong, _)) = self.rows.first() else {
            return Some(self.first);
        };
        if *wrong > MOST_WRONG_OF_FIRST && *top < self.largest {
            return Some(top + 1);
        }
        if self.ending().is_some() {
            return None;
        }
        let (bottom, _, _) = self.rows.last()?;
        (*bottom > self.smallest).then_some(bottom - 1)
    }

    /// Where in the rows the one stands that ends the reading.
    fn ending(&self) -> Option<usize> {
        let needed = self.plan.ends.wrong();
        self.rows.iter().position(|(_, wrong, _)| *wrong >= needed)
    }

    /// The rows that are shown together now, from large to small, where `room_strokes` strokes of
    /// logMAR 0 have room under each other.
    #[must_use]
    pub fn together(&self, room_strokes: f64) -> Vec<LogMar> {
        let Some((next, _)) = self.next_row() else {
            return Vec::new();
        };
        if self.plan.shows != RowsShow::All || !self.rows.is_empty() {
            return vec![next];
        }
        // Between two rows lies the height of the smaller (Bailey and Lovie 1976, from memory).
        let high = |top: i32| -> f64 {
            let rows = (self.smallest..=top).map(|row| 10.0 * LogMar(log_mar(row)).detail().0);
            rows.sum::<f64>() - 5.0 * LogMar(log_mar(top)).detail().0
        };
        let top = (self.smallest..=self.first)
            .rev()
            .find(|top| high(*top) <= room_strokes)
            .unwrap_or(self.smallest);
        let rows = (self.smallest..=top).rev();
        rows.map(|row| LogMar(log_mar(row))).collect()
    }

    /// Whether it is read to its end.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.next_tenth().is_none()
    }

    /// The largest row there is was ended by the rule: the acuity is worse than it.
    #[must_use]
    pub fn beyond_largest(&self) -> bool {
        let top = self.rows.first();
        self.ending() == Some(0) && top.is_some_and(|(row, _, _)| *row >= self.largest)
    }

    /// The smallest row there is was read with at most one letter wrong.
    #[must_use]
    pub fn beyond_smallest(&self) -> bool {
        self.is_done()
            && self.ending().is_none()
            && self
                .rows
                .last()
                .is_some_and(|(row, wrong, _)| *row <= self.smallest && *wrong <= 1)
    }

    /// The smallest and the largest row there is.
    #[must_use]
    pub fn bounds(&self) -> [LogMar; 2] {
        [self.smallest, self.largest].map(|row| LogMar(log_mar(row)))
    }

    /// The score, once all is read.
    #[must_use]
    pub fn score(&self, letters: LetterDifficulty) -> Option<RowsScore> {
        if !self.is_done() {
            return None;
        }
        let ending = self.ending();
        let counted = ending.map_or(self.rows.len(), |at| at + 1);
        let counted = &self.rows[..counted];
        let (top, _, _) = counted.first()?;
        let of: u32 = counted.iter().map(|(_, _, shown)| shown).sum();
        let wrong: u32 = counted.iter().map(|(_, wrong, _)| wrong).sum();
        Some(RowsScore {
            log_mar: log_mar(top + 1) - LETTER_LOG_MAR * f64::from(of - wrong),
            right: of - wrong,
            of,
            ends: self.plan.ends,
            ended: ending.is_some(),
            letters,
        })
    }
}

/// The letters of a row that were shown already.
#[must_use]
pub fn letters_shown(record: &Record, asked: &Asked, row: LogMar) -> Vec<Letter> {
    let shown = measured(record, asked).flat_map(|trial| trial.planned.presentation.optotypes());
    shown
        .filter(|part| tenths(part.log_mar.0) == tenths(row.0))
        .filter_map(|part| part.symbol.letter())
        .collect()
}

fn measured<'a>(record: &'a Record, asked: &Asked) -> impl Iterator<Item = &'a Trial> + use<'a> {
    record
        .of_asked(asked)
        .filter(|trial| trial.purpose() == Purpose::Measure)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belief::ChoiceFunction;
    use crate::outside::{numbers, rows};
    use crate::quantity::{Draws, Stream};

    fn read(reading: &mut RowsReading, row: i32, right: u32) {
        for letter in 0..5 {
            reading.take(LogMar(log_mar(row)), letter < right);
        }
    }

    fn next(reading: &RowsReading) -> Option<i32> {
        reading.next_row().map(|(size, _)| tenths(size.0))
    }

    fn rows_from(first_log_mar: f64, ends: RowsEnd) -> RowsReading {
        let plan = RowsPlan {
            ends,
            first_log_mar,
            ..RowsPlan::USUAL
        };
        RowsReading::new(plan, LogMar(-0.3), LogMar(1.0))
    }

    #[test]
    fn rows_go_down_until_the_rule_ends_them() {
        for (ends, at) in [
            (RowsEnd::ThreeWrong, 3),
            (RowsEnd::FourWrong, 2),
            (RowsEnd::AllWrong, 1),
        ] {
            let mut reading = rows_from(0.5, ends);
            for (row, right) in [(5, 5), (4, 4), (3, 2), (2, 1), (1, 0)] {
                assert_eq!(next(&reading), Some(row), "{ends:?}");
                read(&mut reading, row, right);
                if row == at {
                    break;
                }
            }
            assert_eq!(next(&reading), None, "{ends:?}");
            let score = reading.score(LetterDifficulty::Alike).unwrap();
            assert!(score.ended && score.ends == ends);
            // 0.02 a letter (Rosser 2001, BJO, Table 1): 11 and 12 letters from a first row of 0.5.
            let right = [(3, 11), (2, 12), (1, 12)]
                .iter()
                .find(|(row, _)| *row == at)
                .map(|(_, right)| *right);
            assert_eq!(Some(score.right), right);
            assert!((score.log_mar - (0.6 - 0.02 * f64::from(score.right))).abs() < 1e-12);
        }
    }

    #[test]
    fn a_first_row_that_is_not_read_asks_for_larger_ones() {
        let mut reading = rows_from(0.2, RowsEnd::FourWrong);
        read(&mut reading, 2, 3);
        assert_eq!(next(&reading), Some(3));
        read(&mut reading, 3, 4);
        assert_eq!(next(&reading), Some(1), "one wrong of five is read");
        read(&mut reading, 1, 0);
        assert!(reading.is_done());
        let score = reading.score(LetterDifficulty::Alike).unwrap();
        assert!((score.log_mar - (0.4 - 0.02 * 7.0)).abs() < 1e-12);
    }

    #[test]
    fn the_ends_of_the_rows_are_told_apart() {
        let mut reading = rows_from(1.0, RowsEnd::FourWrong);
        read(&mut reading, 10, 1);
        assert!(reading.is_done() && reading.beyond_largest() && !reading.beyond_smallest());
        let mut reading = rows_from(-0.2, RowsEnd::FourWrong);
        read(&mut reading, -2, 5);
        read(&mut reading, -3, 4);
        assert!(reading.is_done() && reading.beyond_smallest() && !reading.beyond_largest());
        assert!(!reading.score(LetterDifficulty::Alike).unwrap().ended);
    }

    #[test]
    fn a_row_can_be_read_letter_by_letter_and_a_chart_at_once() {
        let mut reading = rows_from(0.3, RowsEnd::FourWrong);
        for shown in 0..5 {
            assert_eq!(reading.next_row(), Some((LogMar(0.3), shown)));
            reading.take(LogMar(0.3), true);
        }
        assert_eq!(next(&reading), Some(2));
        let plan = RowsPlan {
            shows: RowsShow::All,
            ..RowsPlan::USUAL
        };
        let chart = RowsReading::new(plan, LogMar(-0.3), LogMar(1.3));
        assert_eq!(chart.together(1e4).len(), 14, "1.0 to −0.3");
        // Two rows of 0.0 and −0.1 and the space between: 5 + 10·0.794 strokes.
        let some = RowsReading::new(plan, LogMar(-0.1), LogMar(1.3));
        assert_eq!(some.together(13.0).len(), 2);
        assert_eq!(some.together(12.9).len(), 1);
    }

    /// (score − A, letters shown) of `people` whose midpoint and first row `of` gives.
    fn simulated(
        plan: RowsPlan,
        [smallest, largest]: [f64; 2],
        scale: f64,
        people: u64,
        of: impl Fn(&mut Draws) -> (f64, f64),
    ) -> Vec<(f64, f64)> {
        let one = |number| {
            let mut draws = Draws::new(2025, Stream::Person, number);
            let (midpoint, first_log_mar) = of(&mut draws);
            let person = ChoiceFunction {
                midpoint,
                scale,
                choices: 10,
                lapse: 0.02,
            };
            let plan = RowsPlan {
                first_log_mar,
                last_log_mar: smallest,
                ..plan
            };
            let mut reading = RowsReading::new(plan, LogMar(smallest), LogMar(largest));
            let mut letters = 0.0;
            while let Some((size, _)) = reading.next_row() {
                reading.take(size, draws.chance(person.p(size.0)));
                letters += 1.0;
            }
            let score = reading.score(LetterDifficulty::Alike).unwrap();
            (score.log_mar - midpoint, letters)
        };
        (0..people).map(one).collect()
    }

    fn mean(values: impl Iterator<Item = f64>) -> f64 {
        let (mut n, mut sum) = (0.0, 0.0);
        for value in values {
            n += 1.0;
            sum += value;
        }
        sum / n
    }

    const ENDS: [RowsEnd; 3] = [RowsEnd::ThreeWrong, RowsEnd::FourWrong, RowsEnd::AllWrong];

    #[test]
    fn scores_are_those_of_all_ways_to_read_the_rows() {
        for row in rows("rows_score.csv") {
            let [wrong, scale, midpoint, first, score, sd, off, letters] = numbers(&row);
            let first = first / 10.0;
            let ends = ENDS.iter().find(|ends| ends.wrong() == wrong as u32);
            let plan = RowsPlan {
                ends: *ends.unwrap(),
                ..RowsPlan::USUAL
            };
            let of = |_: &mut Draws| (midpoint, first);
            let read = simulated(plan, [-0.3, first + 0.2], scale, 2000, of);
            // Four standard errors; where nearly all read the same, one letter of one chart.
            let error = 4.0 * sd / libm::sqrt(2000.0) + 0.02 / 2000.0;
            let own = mean(read.iter().map(|(error, _)| error + midpoint));
            assert!((own - score).abs() < error, "{own} {row:?}");
            let own = mean(
                read.iter()
                    .map(|(error, _)| (error + midpoint - score).abs()),
            );
            assert!((own - off).abs() < error, "{own} {row:?}");
            let own = mean(read.iter().map(|(_, letters)| *letters));
            assert!((own / letters - 1.0).abs() < 0.03, "{own} {row:?}");
        }
    }

    /// Charts of an earlier simulation of ours, in another program: A~N(0.15, 0.25), 10 letters, lapse
    /// 0.02, rows from 1.0 to −0.3, begun at 1.0 or about three rows above A. Nothing says
    /// what it did with an A that no row of such a chart can measure; held within −0.2 and 1.0 all
    /// six lines come out, which is our reading of it.
    #[test]
    fn scores_are_those_of_the_reference_within_a_twentieth() {
        for (scale, ends, near, letters, sd, bias) in [
            (0.05, RowsEnd::FourWrong, false, 52.0, 0.045, 0.056),
            (0.05, RowsEnd::FourWrong, true, 25.0, 0.040, 0.044),
            (0.05, RowsEnd::AllWrong, true, 30.0, 0.043, 0.033),
            (0.08, RowsEnd::FourWrong, false, 54.0, 0.053, 0.061),
            (0.08, RowsEnd::FourWrong, true, 26.0, 0.052, 0.048),
            (0.08, RowsEnd::AllWrong, true, 31.0, 0.051, 0.033),
        ] {
            let of = |draws: &mut Draws| {
                let midpoint = (0.15 + 0.25 * draws.normal()).clamp(-0.2, 1.0);
                let above = (libm::round(10.0 * midpoint + 3.0) / 10.0).min(1.0);
                (midpoint, if near { above } else { 1.0 })
            };
            let plan = RowsPlan {
                ends,
                ..RowsPlan::USUAL
            };
            let read = simulated(plan, [-0.3, 1.0], scale, 12_000, of);
            let own_letters = mean(read.iter().map(|(_, letters)| *letters));
            let own_bias = mean(read.iter().map(|(error, _)| *error));
            let variance = mean(read.iter().map(|(error, _)| (error - own_bias).powi(2)));
            let own_sd = variance.sqrt();
            for (own, expected) in [(own_letters, letters), (own_sd, sd), (own_bias, bias)] {
                assert!(
                    (own / expected - 1.0).abs() < 0.05,
                    "{scale} {ends:?} {near}: {own} against {expected}"
                );
            }
        }
    }
}
