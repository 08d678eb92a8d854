//! Acuity of one eye after the other: practice at a clearly visible size, then single optotypes
//! of the size that tells most; or rows of letters from large to small.

use super::{Next, Proposal};
use crate::belief::AcuityPosterior;
use crate::calibration::Drawable;
use crate::finding::rows::{ROW_LETTERS, RowsReading, letters_shown};
use crate::finding::{REVERSED, acuity_trials, reversed};
use crate::journal::{HowEnded, Purpose, Record, RowsShow, Section, SightPlan, Trial};
use crate::quantity::{Draws, Eye, LogMar, Mm, Stream};
use crate::stimulus::{OptotypePart, Part, Presentation, Symbol};

/// The size of the first practice items where the screen allows it: plain to see for anyone with
/// acuity better than about 6/30 (our choice).
const PRACTICE_LOG_MAR: f64 = 1.0;
/// How much larger they become when they are not read.
const LARGER_BY_LOG_MAR: f64 = 0.3;
/// Rounds of practice at the most.
const MOST_ROUNDS: usize = 3;
/// Step between the sizes to choose from.
const SIZE_STEP_LOG_MAR: f64 = 0.04;

/// What the plan asks for next about sight; none if that is done.
pub(super) fn next(record: &Record) -> Option<Next> {
    let plan = record.opening.plan.sight.as_ref()?;
    let Drawable { smallest, largest } = record.opening.set_up.drawable()?;
    let distance = record.opening.set_up.distance_mm?;
    let course = Course {
        record,
        plan,
        smallest,
        largest,
        distance,
    };
    plan.eyes.iter().find_map(|eye| course.next_at(*eye))
}

struct Course<'a> {
    record: &'a Record,
    plan: &'a SightPlan,
    smallest: LogMar,
    largest: LogMar,
    distance: Mm,
}

impl Course<'_> {
    fn next_at(&self, eye: Eye) -> Option<Next> {
        if self.record.ended(Section::Eye(eye)).is_some() {
            return None;
        }
        if reversed(self.record, eye) {
            return Some(Next::End {
                section: Section::Eye(eye),
                how: HowEnded::Stopped,
                reason: REVERSED.into(),
            });
        }
        if self.plan.rows().is_some() {
            return self.rows(eye).map(Next::Present);
        }
        if let Some(size) = self.practice_size(eye) {
            return Some(Next::Present(self.proposal(eye, Purpose::Practise, size)));
        }
        let size = self.measuring_size(eye)?;
        Some(Next::Present(self.proposal(eye, Purpose::Measure, size)))
    }

    /// The size of the next practice item; none if practice is done. A round is passed with one
    /// wrong answer at most; otherwise the next one is larger.
    fn practice_size(&self, eye: Eye) -> Option<LogMar> {
        let items = self.plan.practice_items as usize;
        let practised = self
            .record
            .of_eye(eye)
            .filter(|trial| trial.purpose() == Purpose::Practise);
        let right: Vec<bool> = practised.filter_map(Trial::right).collect();
        let rounds = right.chunks(items.max(1));
        let passed = |round: &[bool]| {
            round.len() == items && round.iter().filter(|right| !**right).count() <= 1
        };
        let done = rounds.clone().filter(|round| round.len() == items).count();
        if items == 0 || rounds.clone().any(passed) || done >= MOST_ROUNDS {
            return None;
        }
        let wanted = PRACTICE_LOG_MAR + LARGER_BY_LOG_MAR * done as f64;
        Some(LogMar(wanted.clamp(self.smallest.0, self.largest.0)))
    }

    /// The size that tells most about the acuity; none if it is known well enough.
    fn measuring_size(&self, eye: Eye) -> Option<LogMar> {
        let trials = acuity_trials(self.record, eye);
        let posterior = AcuityPosterior::from_trials(&trials);
        let count = trials.len() as u32;
        let settled = posterior.midpoint().sd() <= self.plan.stop_sd_log_mar
            && count >= self.plan.fewest_trials;
        if settled || count >= self.plan.most_trials {
            return None;
        }
        let steps = ((self.largest.0 - self.smallest.0) / SIZE_STEP_LOG_MAR).floor() as u32;
        let size = |step| self.smallest.0 + SIZE_STEP_LOG_MAR * f64::from(step);
        let sizes: Vec<f64> = (0..=steps).map(size).collect();
        posterior
            .best_size(&sizes, self.plan.optotype.choices())
            .map(LogMar)
    }

    /// The next letters of the rows; none if they are read to their end. A row is five different
    /// letters at random, however many of them are shown at a time.
    fn rows(&self, eye: Eye) -> Option<Proposal> {
        let plan = self.plan.rows()?;
        let reading = RowsReading::of(self.record, eye)?;
        let (next, shown) = reading.next_row()?;
        let n = u64::from(self.record.next_number());
        let mut draws = Draws::new(self.record.opening.presenter_seed, Stream::Optotype, n);
        let letters = match plan.shows {
            RowsShow::Letter => 1,
            RowsShow::Row | RowsShow::All => ROW_LETTERS - shown.min(ROW_LETTERS - 1),
        };
        let mut optotypes = Vec::new();
        for row in reading.together(self.strokes_of_height()) {
            let mut left = self.plan.optotype.symbols();
            if row == next {
                let used = letters_shown(self.record, eye, row);
                left.retain(|symbol| symbol.letter().is_none_or(|one| !used.contains(&one)));
            }
            for _ in 0..letters.min(left.len()) {
                let symbol = left.swap_remove(draws.below(left.len()));
                optotypes.push((symbol, row));
            }
        }
        Some(self.present(eye, Purpose::Measure, optotypes))
    }

    /// How many strokes of logMAR 0 have room under each other.
    fn strokes_of_height(&self) -> f64 {
        5.0 * self.largest.detail().0
    }

    fn proposal(&self, eye: Eye, purpose: Purpose, log_mar: LogMar) -> Proposal {
        let symbol = self.symbol(eye, purpose);
        self.present(eye, purpose, vec![(symbol, log_mar)])
    }

    fn present(&self, eye: Eye, purpose: Purpose, optotypes: Vec<(Symbol, LogMar)>) -> Proposal {
        let optotype = self.plan.optotype;
        let part = |(symbol, log_mar)| {
            Part::Optotype(OptotypePart {
                crowded: self.plan.crowded,
                reverse: self.plan.reverse,
                shown_s: self.plan.shown_s,
                ..OptotypePart::plain(eye, optotype, symbol, log_mar, self.distance)
            })
        };
        let presentation = Presentation {
            task: optotype.task(),
            window_s: None,
            parts: optotypes.into_iter().map(part).collect(),
        };
        Proposal {
            purpose,
            presentation,
            slot: None,
        }
    }

    /// Drawn afresh each time. Every second practice item points sideways, since only those show
    /// whether left and right are understood.
    fn symbol(&self, eye: Eye, purpose: Purpose) -> Symbol {
        let n = u64::from(self.record.next_number());
        let mut draws = Draws::new(self.record.opening.presenter_seed, Stream::Optotype, n);
        let all = self.plan.optotype.symbols();
        let practised = self
            .record
            .of_eye(eye)
            .filter(|trial| trial.purpose() == Purpose::Practise)
            .count();
        if purpose == Purpose::Practise && practised % 2 == 0 {
            let points_sideways = |symbol: &Symbol| {
                let facing = symbol.facing();
                facing.is_some_and(|facing| facing.mirrored() != facing)
            };
            let sideways: Vec<Symbol> = all.iter().copied().filter(points_sideways).collect();
            if !sideways.is_empty() {
                return sideways[draws.below(sideways.len())];
            }
        }
        all[draws.below(all.len())]
    }
}
