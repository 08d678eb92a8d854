//! The answers of a record as they are weighed: each trial once.

use crate::finding::estimated::shift_db;
use crate::journal::{Outcome, Purpose, Record, Trial};
use crate::quantity::{Ear, Hz};
use crate::stimulus::{SoundPart, Task};
use serde::{Deserialize, Serialize};

/// The parts of the presentations whose weight is told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The tones that measured thresholds.
    Measuring,
    /// Silent presentations.
    Silent,
    /// Second measurements.
    Repeats,
    /// Sweeps up and down.
    Sweeps,
    /// One tone in both ears at two levels.
    BothEars,
    /// Choices between two intervals.
    ForcedChoice,
    /// Tones near the threshold after loud and after soft company.
    Company,
}

impl Part {
    /// All of them, in the order of their numbers.
    pub const ALL: [Part; 7] = [
        Part::Measuring,
        Part::Silent,
        Part::Repeats,
        Part::Sweeps,
        Part::BothEars,
        Part::ForcedChoice,
        Part::Company,
    ];

    /// What it is called where people read it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Part::Measuring => "the tones that measured thresholds",
            Part::Silent => "silent presentations",
            Part::Repeats => "second measurements",
            Part::Sweeps => "sweeps up and down",
            Part::BothEars => "one tone in both ears at two levels",
            Part::ForcedChoice => "choices between two intervals",
            Part::Company => "tones after loud and after soft company",
        }
    }
}

/// What was asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Asked {
    /// Whether a tone is heard where there is none.
    Silent,
    /// Whether a tone is heard.
    Tone,
    /// The same of one tone in both ears; `other_db` at the ear that was measured poorer.
    BothEars {
        /// dB on the grid's scale.
        other_db: f64,
    },
    /// In which of two intervals a tone was.
    Interval,
}

/// One trial as it is weighed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// What was asked.
    pub asked: Asked,
    /// To which part of the presentations it belongs.
    pub part: Part,
    /// The ear; of a tone in both, the one that was measured better. Of silence it means nothing.
    pub ear: Ear,
    /// The frequency; of silence it means nothing.
    pub hz: Hz,
    /// The level there, dB HL or what takes its place.
    pub level_db: f64,
    /// The running level of the tones before ([`COMPANY_RATE`]), dB.
    pub company_db: f64,
    /// How many presentations were before, in hundreds.
    pub hundreds: f64,
    /// Whether it was answered, or chosen rightly.
    pub yes: bool,
}

/// The running level of company: it begins here, and at each tone goes so far towards it (our
/// model of company).
pub const COMPANY_FIRST_DB: f64 = 40.0;
/// See [`COMPANY_FIRST_DB`].
pub const COMPANY_RATE: f64 = 0.2;

/// All answers to sounds that are weighed, in order. Left out: what the examiner took back, what can
/// be counted neither way, and tones beside noise.
#[must_use]
pub fn weighed(record: &Record) -> Vec<Weighed> {
    let shift_db = shift_db(record);
    let mut company_db = COMPANY_FIRST_DB;
    let mut all = Vec::new();
    for trial in record.trials() {
        if !trial.undone {
            all.extend(one(trial, shift_db, company_db));
        }
        company_db = past(trial, shift_db, company_db);
    }
    all
}

/// The running level of company after all that was presented, dB.
#[must_use]
pub fn company_db(record: &Record) -> f64 {
    let shift_db = shift_db(record);
    let trials = record.trials().iter();
    trials.fold(COMPANY_FIRST_DB, |company_db, trial| {
        past(trial, shift_db, company_db)
    })
}

/// The running level after one more tone, dB.
#[must_use]
pub fn company_after(company_db: f64, level_db: f64) -> f64 {
    company_db + COMPANY_RATE * (level_db - company_db)
}

fn past(trial: &Trial, shift_db: f64, company_db: f64) -> f64 {
    let tones = trial.planned.presentation.tones();
    tones.fold(company_db, |company_db, tone| {
        company_after(company_db, tone.level.db() + shift_db)
    })
}

fn one(trial: &Trial, shift_db: f64, company_db: f64) -> Option<Weighed> {
    let part = match trial.purpose() {
        Purpose::Familiarise | Purpose::Measure | Purpose::Screen => Part::Measuring,
        Purpose::Silent => Part::Silent,
        Purpose::Repeat => Part::Repeats,
        Purpose::Sweep => Part::Sweeps,
        Purpose::BothEars => Part::BothEars,
        Purpose::ForcedChoice => Part::ForcedChoice,
        Purpose::Company => Part::Company,
        Purpose::Masked | Purpose::Practise => return None,
    };
    let presentation = &trial.planned.presentation;
    if trial.masker().is_some() {
        return None;
    }
    let mut tones: Vec<&SoundPart> = presentation.tones().collect();
    let (asked, yes) = match (presentation.task, &trial.outcome) {
        (Task::Detect, _) if tones.is_empty() => (Asked::Silent, trial.heard()?),
        (Task::Detect, _) if tones.len() == 2 => {
            // The first part is the ear that was measured better.
            let other_db = tones.pop()?.level.db() + shift_db;
            (Asked::BothEars { other_db }, trial.heard()?)
        }
        (Task::Detect, _) => (Asked::Tone, trial.heard()?),
        (Task::Interval, Outcome::Interval { chosen, .. }) => {
            (Asked::Interval, tones.first()?.interval == Some(*chosen))
        }
        _ => return None,
    };
    let tone = tones.first();
    Some(Weighed {
        asked,
        part,
        ear: tone.map_or(Ear::Right, |tone| tone.ear),
        hz: tone.map_or(Hz(0.0), |tone| tone.hz),
        level_db: tone.map_or(0.0, |tone| tone.level.db() + shift_db),
        company_db,
        hundreds: f64::from(trial.planned.n - 1) / 100.0,
        yes,
    })
}
