//! The debrief, from the journal alone: how far the result is from the truth, which steps of the
//! guidelines can be read off the journal, and what a good examiner would have done at each moment.

mod bedside;
mod gaps;
mod hearing;
mod outcome;
mod presented;
mod replay;
mod said;
mod sight;
mod step;

pub use outcome::{Caught, EarOutcome, EyeOutcome, Judged, Outcome};
pub use replay::{At, Replayed, would};
pub use step::{Done, Step};

use super::exercise::Exercise;
use crate::calibration::FileError;
use crate::journal::{Event, JournalError, PersonKind, Record};
use serde::Serialize;

/// Everything that there is to say after an exercise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Debrief {
    /// The exercise's name.
    pub exercise: String,
    /// Its title.
    pub title: String,
    /// Who practised.
    pub trainee: String,
    /// The class set, if any.
    pub set: Option<String>,
    /// How hard it is, 1 to 5.
    pub difficulty: u32,
    /// Who it was.
    pub person: String,
    /// What it was to teach.
    pub aims: Vec<String>,
    /// How far from the truth.
    pub outcome: Outcome,
    /// What there is to say of what a careful examiner would conclude; empty: nothing.
    pub because: String,
    /// Step by step.
    pub steps: Vec<Step>,
    /// Presentation by presentation; empty where it was not asked for.
    pub replay: Vec<Replayed>,
    /// Presentations that were made by hand.
    pub presentations: u32,
    /// Those of them that were made while the helper was on.
    pub coached: u32,
}

impl Debrief {
    /// The steps that must be right and are not.
    pub fn must_mend(&self) -> impl Iterator<Item = &Step> {
        self.steps
            .iter()
            .filter(|step| step.must && matches!(step.done, Done::NotDone | Done::Partly))
    }

    /// The steps that are not right.
    pub fn to_mend(&self) -> impl Iterator<Item = &Step> {
        let open = |step: &&Step| matches!(step.done, Done::NotDone | Done::Partly);
        self.steps.iter().filter(open)
    }
}

/// Why there is no debrief.
#[derive(Debug, thiserror::Error)]
pub enum NoDebrief {
    /// The events do not follow one another.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// It is no exercise.
    #[error("expected an exercise, found another visit")]
    NoExercise,
    /// It has not come to its end.
    #[error("expected an exercise that has ended and been revealed")]
    NotRevealed,
    /// What was revealed cannot be read.
    #[error(transparent)]
    Exercise(#[from] FileError),
}

/// The debrief of an exercise that has been revealed.
///
/// # Errors
/// If it is none, or has not been revealed.
pub fn debrief(events: &[Event]) -> Result<Debrief, NoDebrief> {
    let (mut found, exercise) = without_replay(events)?;
    found.replay = replay::replay(events, &exercise)?;
    Ok(found)
}

/// The same without the replay, which a class has no use for.
///
/// # Errors
/// As [`debrief`].
pub fn debrief_in_short(events: &[Event]) -> Result<Debrief, NoDebrief> {
    without_replay(events).map(|(found, _)| found)
}

fn without_replay(events: &[Event]) -> Result<(Debrief, Exercise), NoDebrief> {
    let (record, _) = Record::of(events)?;
    let PersonKind::Practised(practised) = &record.opening.person else {
        return Err(NoDebrief::NoExercise);
    };
    let Some(text) = record.practice().revealed() else {
        return Err(NoDebrief::NotRevealed);
    };
    let exercise = Exercise::from_toml(text, &practised.exercise)?;
    let by_hand = || replay::by_hand(events).map(|planned| planned.n);
    let coached = by_hand().filter(|n| record.practice().coached_at(*n));
    let mut steps = hearing::steps(&record, &exercise);
    steps.extend(sight::steps(&record, &exercise));
    steps.extend(presented::steps(&record));
    steps.extend(bedside::steps(&record, &exercise));
    steps.extend(step::of_the_conclusion(&record));
    let found = Debrief {
        exercise: practised.exercise.clone(),
        title: exercise.title.clone(),
        trainee: practised.trainee.clone(),
        set: practised.set.clone(),
        difficulty: exercise.difficulty,
        person: exercise.person.title.clone(),
        aims: exercise.aims.clone(),
        outcome: Outcome::of(&record, &exercise),
        because: exercise.expect.because.clone(),
        steps,
        replay: Vec::new(),
        presentations: by_hand().count() as u32,
        coached: coached.count() as u32,
    };
    Ok((found, exercise))
}
