//! Presentations that show how the answers agree, once thresholds are measured. Each is chosen by what
//! was admitted, never by what is believed of the person.

mod telling;

pub use telling::{Telling, tell_most};

use super::Proposal;
use super::slot::tone_part;
use crate::belief::{ThresholdPosterior, ToneTrial};
use crate::finding::estimated::shift_db;
use crate::finding::{bounds, series_reading_db, silent_answers};
use crate::journal::{HearingPlan, Purpose, Record, Section, Trial};
use crate::quantity::{Draws, Ear, Hz, Level, Scale, Stream};
use crate::stimulus::{Part, Presentation, Task, ToneSlot};
use std::ops::RangeInclusive;

/// Steps of a sweep, dB.
const STEP_DB: f64 = 5.0;
/// A rising sweep begins so far below the admitted threshold, dB.
const SWEEP_BELOW_DB: f64 = 40.0;
/// It ends at the latest so far above; a falling one so far below, dB.
const SWEEP_ABOVE_DB: f64 = 20.0;
const FALL_BELOW_DB: f64 = 30.0;
/// A sweep ends after so many answers, or none, in a row.
const ENDS_BY: usize = 2;
/// No sweep is louder than this, dB HL (published sweeps begin there, Schlauch 2015). Louder than
/// a sound may be unannounced, the examiner confirms it as any other.
const LOUDEST_DB: f64 = 90.0;
/// One tone in both ears: for ears measured so far apart, and so far above and below what was
/// admitted, dB (published levels of the tone in both ears, from memory).
pub const APART_DB: f64 = 20.0;
const BOTH_EARS_DB: f64 = 10.0;
/// An ear is the poorer one from this on: two measurements of one ear rarely lie so far apart, dB.
const POORER_DB: f64 = 10.0;
/// Just below the admitted threshold: two intervals are still told apart more often than not there
/// (two-interval thresholds lie 2 to 4 dB under clinical ones, from memory).
const NEAR_DB: f64 = 2.0;
/// Below the admitted threshold by less than this, a choice is not a choice below it, dB.
const LEAST_BELOW_DB: f64 = 10.0;
/// A tone near the threshold comes after so many of company.
const COMPANY: usize = 3;

/// What is wanted: sounds, and what for.
pub(super) struct Test {
    pub ear: Ear,
    pub hz: Hz,
    pub level_db: f64,
    pub purpose: Purpose,
    pub kind: TestKind,
}

/// How it is presented.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum TestKind {
    /// In a slot, like any tone.
    Tone,
    /// In a slot, with the same tone at the other ear, dB.
    BothEars { other_db: f64 },
    /// In one of two intervals.
    Choice,
}

/// What the plan wants next; none if all is done.
pub(super) fn wanted(record: &Record, plan: &HearingPlan) -> Option<Test> {
    let tests = Tests { record, plan };
    if made(record) >= plan.agreement.most {
        return None;
    }
    tests
        .sweep()
        .or_else(|| tests.both_ears())
        .or_else(|| tests.choice())
        .or_else(|| tests.company())
}

/// How many presentations there were beyond those that measure.
pub(super) fn made(record: &Record) -> u32 {
    let beyond = |trial: &&Trial| {
        matches!(
            trial.purpose(),
            Purpose::Silent
                | Purpose::Repeat
                | Purpose::Sweep
                | Purpose::BothEars
                | Purpose::ForcedChoice
                | Purpose::Company
        )
    };
    record.counted().filter(beyond).count() as u32
}

struct Tests<'a> {
    record: &'a Record,
    plan: &'a HearingPlan,
}

impl Tests<'_> {
    fn going(&self) -> impl Iterator<Item = Ear> {
        let ended = |ear: &Ear| self.record.ended(Section::Ear(*ear)).is_none();
        self.plan.ears.iter().copied().filter(ended)
    }

    fn of(&self, purpose: Purpose) -> impl Iterator<Item = &Trial> {
        let counted = self.record.counted();
        counted.filter(move |trial| trial.purpose() == purpose)
    }

    fn admitted_db(&self, ear: Ear, hz: Hz) -> Option<f64> {
        series_reading_db(self.record, ear, hz)
    }

    /// At each ear levels rise until two in a row are answered, then fall until two are not. Never
    /// bracketed: working near the threshold would bring the bar of whoever has one back.
    fn sweep(&self) -> Option<Test> {
        let hz = self.plan.agreement.sweeps_hz.iter().copied();
        let places = hz.flat_map(|hz| self.going().map(move |ear| (ear, hz)));
        places
            .filter_map(|(ear, hz)| Some((ear, hz, self.sweep_db(ear, hz)?)))
            .map(|(ear, hz, level_db)| Test {
                ear,
                hz,
                level_db,
                purpose: Purpose::Sweep,
                kind: TestKind::Tone,
            })
            .next()
    }

    fn sweep_db(&self, ear: Ear, hz: Hz) -> Option<f64> {
        let admitted_db = self.admitted_db(ear, hz)?;
        let within = bounds(self.record, ear, hz)?;
        let steps: Vec<(f64, bool)> = self
            .of(Purpose::Sweep)
            .filter_map(|trial| trial.tone().zip(trial.heard()))
            .filter(|(tone, _)| tone.ear == ear && tone.hz == hz)
            .map(|(tone, heard)| (tone.level.db(), heard))
            .collect();
        let from_db = [
            (admitted_db - SWEEP_BELOW_DB).max(within.min_db),
            (admitted_db + self.plan.agreement.sweep_from_db)
                .min(LOUDEST_DB)
                .min(within.max_db),
        ];
        let mut rest = &steps[..];
        for (up, from_db) in [true, false].into_iter().zip(from_db) {
            let step_db = if up { STEP_DB } else { -STEP_DB };
            let (mut level_db, mut in_a_row) = (from_db, 0);
            let (low_db, high_db) = if up {
                (
                    within.min_db,
                    within.max_db.min(admitted_db + SWEEP_ABOVE_DB),
                )
            } else {
                (
                    within.min_db.max(admitted_db - FALL_BELOW_DB),
                    within.max_db,
                )
            };
            while in_a_row < ENDS_BY && (low_db..=high_db).contains(&level_db) {
                let Some(((_, heard), later)) = rest.split_first() else {
                    return Some(level_db);
                };
                in_a_row = if *heard == up { in_a_row + 1 } else { 0 };
                rest = later;
                level_db += step_db;
            }
        }
        None
    }

    /// Where both ears were measured far enough apart: at the first frequency of the sweeps, else
    /// of the plan, at which they were.
    fn both_ears(&self) -> Option<Test> {
        let done = self.of(Purpose::BothEars).count();
        let open = done < self.plan.agreement.both_ears as usize;
        open.then(|| self.in_both_ears()).flatten()
    }

    fn in_both_ears(&self) -> Option<Test> {
        if self.going().count() < 2 {
            return None;
        }
        let hz = self.plan.agreement.sweeps_hz.iter().chain(&self.plan.hz);
        hz.copied().find_map(|hz| {
            let [right, left] = Ear::BOTH.map(|ear| self.admitted_db(ear, hz));
            let (right_db, left_db) = right.zip(left)?;
            let (better, better_db, poorer_db) = if right_db < left_db {
                (Ear::Right, right_db, left_db)
            } else {
                (Ear::Left, left_db, right_db)
            };
            let (level_db, other_db) = (better_db + BOTH_EARS_DB, poorer_db - BOTH_EARS_DB);
            let fits = |ear, db: f64| {
                let within = bounds(self.record, ear, hz);
                within.is_some_and(|within| (within.min_db..=within.max_db).contains(&db))
            };
            let fits = fits(better, level_db) && fits(better.other(), other_db);
            (poorer_db - better_db >= APART_DB && fits).then_some(Test {
                ear: better,
                hz,
                level_db,
                purpose: Purpose::BothEars,
                kind: TestKind::BothEars { other_db },
            })
        })
    }

    /// The ears at which tones near and below the threshold are presented: the poorer one alone,
    /// where they were measured far apart.
    fn tested_ears(&self, hz: Hz) -> Vec<(Ear, f64)> {
        let mut ears: Vec<(Ear, f64)> = self
            .going()
            .filter_map(|ear| Some((ear, self.admitted_db(ear, hz)?)))
            .collect();
        if let [(_, one_db), (_, other_db)] = ears[..]
            && (one_db - other_db).abs() >= POORER_DB
        {
            ears.retain(|(_, db)| *db >= one_db.max(other_db));
        }
        ears
    }

    fn first_hz(&self) -> Option<Hz> {
        let agreement = &self.plan.agreement;
        let hz = agreement.sweeps_hz.first().copied();
        hz.or(self.plan.repeat_hz)
            .or_else(|| self.plan.hz.first().copied())
    }

    /// Choices below the admitted threshold and just below it, mixed by chance; the size of the
    /// block does not depend on the answers.
    fn choice(&self) -> Option<Test> {
        let hz = self.first_hz()?;
        let agreement = &self.plan.agreement;
        let done = self.of(Purpose::ForcedChoice).count() as u32;
        let total = self.size_of_block(agreement.choices_below + agreement.choices_near);
        let ears = self.tested_ears(hz);
        if done >= total || ears.is_empty() {
            return None;
        }
        let (ear, admitted_db) = ears[done as usize % ears.len()];
        let within = bounds(self.record, ear, hz)?;
        let below_db = (admitted_db - agreement.below_db).max(within.min_db);
        let can_be_below = admitted_db - below_db >= LEAST_BELOW_DB;
        // Which of the block this is: the order of near and far is drawn once for the whole visit.
        let below = can_be_below && self.order(total)[done as usize] < agreement.choices_below;
        Some(Test {
            ear,
            hz,
            level_db: if below {
                below_db
            } else {
                self.near_db(ear, hz).clamp(within.min_db, within.max_db)
            },
            purpose: Purpose::ForcedChoice,
            kind: TestKind::Choice,
        })
    }

    /// What is left of the most that may be presented, when the block begins.
    fn size_of_block(&self, wanted: u32) -> u32 {
        let choices = self.of(Purpose::ForcedChoice).count() as u32;
        let before = made(self.record) - choices;
        wanted.min(self.plan.agreement.most.saturating_sub(before))
    }

    /// A little below the midpoint of all that was answered at an ear and frequency before the block,
    /// on whole dB.
    fn near_db(&self, ear: Ear, hz: Hz) -> f64 {
        let shift_db = shift_db(self.record);
        let mut trials = Vec::new();
        for trial in self.record.counted() {
            let detects = matches!(
                trial.purpose(),
                Purpose::Measure | Purpose::Repeat | Purpose::Sweep | Purpose::Familiarise
            );
            if let (true, Some(tone), Some(heard)) = (detects, trial.tone(), trial.heard())
                && tone.ear == ear
                && tone.hz == hz
            {
                let level_db = tone.level.db() + shift_db;
                trials.push(ToneTrial { level_db, heard });
            }
        }
        let mut posterior = ThresholdPosterior::from_trials(&trials);
        let (answered, of) = silent_answers(self.record);
        posterior.observe_silent(answered, of);
        (posterior.midpoint().mean() - NEAR_DB - shift_db).round()
    }

    /// The numbers 0, 1, … in an order by chance.
    fn order(&self, total: u32) -> Vec<u32> {
        let seed = self.record.opening.presenter_seed;
        let mut draws = Draws::new(seed, Stream::Tests, 0);
        let mut left: Vec<u32> = (0..total).collect();
        (0..total)
            .map(|_| left.swap_remove(draws.below(left.len())))
            .collect()
    }

    /// Three tones of company, loud or soft, and then one just at the admitted threshold.
    fn company(&self) -> Option<Test> {
        let hz = self.first_hz()?;
        let done = self.of(Purpose::Company).count();
        let (probe, at) = (done / (COMPANY + 1), done % (COMPANY + 1));
        let ears = self.tested_ears(hz);
        if probe >= self.plan.agreement.company as usize || ears.is_empty() {
            return None;
        }
        let (ear, admitted_db) = ears[(probe / 2) % ears.len()];
        let within = bounds(self.record, ear, hz)?;
        let seed = self.record.opening.presenter_seed;
        let n = u64::from(self.record.next_number());
        let off_db = 15.0 + 5.0 * Draws::new(seed, Stream::Tests, n).below(3) as f64;
        let level_db = match (at < COMPANY, probe % 2 == 0) {
            (true, true) => (admitted_db + off_db).min(LOUDEST_DB),
            (true, false) => admitted_db - off_db,
            (false, _) => admitted_db,
        };
        Some(Test {
            ear,
            hz,
            level_db: level_db.clamp(within.min_db, within.max_db),
            purpose: Purpose::Company,
            kind: TestKind::Tone,
        })
    }
}

/// The silence before the first of two intervals, seconds (ours).
const FIRST_S: f64 = 0.5;
/// The silence between them, seconds (ours).
const BETWEEN_S: f64 = 0.5;

/// When the two intervals of a choice begin and end, in seconds of its timeline, so that they can be
/// marked; none of anything else.
#[must_use]
pub fn intervals(presentation: &Presentation) -> Option<[RangeInclusive<f64>; 2]> {
    let part = presentation.sounds().next()?;
    if presentation.task != Task::Interval {
        return None;
    }
    let long_s = part.end_s - part.start_s;
    let begins_s = [FIRST_S, FIRST_S + long_s + BETWEEN_S];
    Some(begins_s.map(|at| at..=at + long_s))
}

/// A choice between two intervals as it is presented: the tone in one of them, by chance.
pub(super) fn choice(record: &Record, plan: &HearingPlan, test: &Test, scale: Scale) -> Proposal {
    let n = u64::from(record.next_number());
    let seed = record.opening.presenter_seed;
    let second = Draws::new(seed, Stream::Tests, n).chance(0.5);
    let start_s = if second {
        FIRST_S + plan.tone_s + BETWEEN_S
    } else {
        FIRST_S
    };
    let slot = ToneSlot {
        onset_s: start_s,
        end_s: start_s + plan.tone_s,
        window_s: FIRST_S + 2.0 * plan.tone_s + BETWEEN_S,
    };
    let mut part = tone_part(
        plan,
        test.ear,
        test.hz,
        Level::new(scale, test.level_db),
        slot,
    );
    part.interval = Some(1 + u8::from(second));
    Proposal {
        purpose: Purpose::ForcedChoice,
        presentation: Presentation {
            task: Task::Interval,
            window_s: Some(slot.window_s),
            parts: vec![Part::Sound(part)],
        },
        slot: None,
        asking: 0,
    }
}
