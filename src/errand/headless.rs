//! A whole visit without a window: somebody who answers at once, on a clock that is made, not
//! waited for.

use super::begin::Begin;
use super::begin::{JOURNAL_FILE, forget_unbegun};
use super::by_hand::planned_series;
use super::{ErrandError, begin, opening_in, resume, write_results};
use crate::journal::{Opening, Outcome, Phrase, Planned, Record, Store, WhoPressed};
use crate::person::{Person, Response};
use crate::quantity::Moment;
use crate::report::Findings;
use crate::store::Kept;
use crate::visit::{Input, Output, Visit};

/// Between a choice and the next optotype, s (our choice).
const AFTER_CHOICE_S: f64 = 0.6;

/// A visit that ran to its end.
pub struct Headless {
    /// What was found.
    pub findings: Findings,
    /// The visit.
    pub visit: Visit<Kept>,
}

/// For saying one letter where nobody tells how long it took, s (our choice).
const LETTER_S: f64 = 1.0;

/// Runs a visit to its end and writes its results beside the journal.
///
/// # Errors
/// If the input cannot be used, the journal fails, or the person cannot answer any more.
pub fn headless(
    wish: &Begin,
    person: &mut dyn Person,
    going_on: bool,
) -> Result<Headless, ErrandError> {
    let mut visit = if going_on && !forget_unbegun(&wish.folder)? {
        go_on(wish, person)?
    } else {
        begin(wish)?
    };
    spin(&mut visit, person)?;
    let findings = write_results(&wish.folder, &mut visit)?;
    Ok(Headless { findings, visit })
}

fn go_on(wish: &Begin, person: &mut dyn Person) -> Result<Visit<Kept>, ErrandError> {
    // Compared before the journal is opened for writing: what is refused changes nothing.
    let path = wish.folder.join(JOURNAL_FILE);
    same_visit(
        &opening_in(&path)?,
        &wish.opening(),
        &path.display().to_string(),
    )?;
    go_on_over(resume(&wish.folder)?, person)
}

/// Whether a visit that was left is the one that is wanted.
///
/// # Errors
/// Names the first thing that differs.
pub(super) fn same_visit(
    found: &Opening,
    wanted: &Opening,
    place: &str,
) -> Result<(), ErrandError> {
    for (field, differs) in [
        ("--seed", found.presenter_seed != wanted.presenter_seed),
        ("--case or --person", found.person != wanted.person),
        ("--plan or --procedure", found.plan != wanted.plan),
        (
            "--earphone, --screen or --distance-mm",
            found.set_up != wanted.set_up,
        ),
    ] {
        if differs {
            let plan = &found.plan.name;
            let what = format!(
                "{place}: {field}: expected what the visit began with (its plan is '{plan}')"
            );
            return Err(ErrandError::BadInput(what));
        }
    }
    Ok(())
}

/// Goes on with a visit that was left, from where it stood.
pub(super) fn go_on_over(
    mut visit: Visit<Kept>,
    person: &mut dyn Person,
) -> Result<Visit<Kept>, ErrandError> {
    recall(visit.record(), person)?;
    if !visit.record().closed() {
        // Made time goes on where it stood.
        let now = visit.record().last_moment();
        visit
            .resume(now)
            .map_err(|error| ErrandError::Failed(error.to_string()))?;
        if visit.record().paused() {
            step(&mut visit, Input::Continue, now)?;
        }
    }
    Ok(visit)
}

/// Takes the person through all that was presented before.
///
/// # Errors
/// If the person cannot follow.
pub fn recall(record: &Record, person: &mut dyn Person) -> Result<(), ErrandError> {
    let settled = record.trials().iter().map(|trial| &trial.planned);
    let mut all: Vec<&Planned> = settled
        .chain(record.voids().iter().map(|void| &void.planned))
        .collect();
    all.sort_by_key(|planned| planned.n);
    for planned in all {
        let recalled = person.recall(planned.n, &planned.presentation);
        recalled.map_err(|error| ErrandError::Failed(error.to_string()))?;
    }
    Ok(())
}

/// Goes round the loop until the plan is carried out, then closes the visit.
///
/// # Errors
/// If the journal fails, or the person cannot answer any more.
pub fn spin<S: Store>(visit: &mut Visit<S>, person: &mut dyn Person) -> Result<(), ErrandError> {
    spin_with(visit, person, &|_, _| None)
}

/// The same with an examiner beside it, who says or sees to something before a presentation begins.
///
/// # Errors
/// If the journal fails, or the person cannot answer any more.
pub(super) fn spin_with<S: Store>(
    visit: &mut Visit<S>,
    person: &mut dyn Person,
    says: &dyn Fn(&Record, &Planned) -> Option<Phrase>,
) -> Result<(), ErrandError> {
    let mut clock = goes_on_at(visit.record());
    while !visit.record().closed() {
        let before = visit.journal().head().lines;
        let outputs = step(visit, Input::Tick, clock)?;
        if outputs.is_empty() && visit.journal().head().lines == before {
            return Err(ErrandError::Failed(
                "the visit does not go on by itself".into(),
            ));
        }
        for output in outputs {
            match output {
                Output::Deliver(planned) => {
                    while let Some(phrase) = says(visit.record(), &planned) {
                        step(visit, Input::Say(phrase), clock)?;
                        person.told(phrase);
                    }
                    clock = round(visit, person, &planned, clock)?;
                }
                Output::PlanDone => {
                    clock = planned_series(visit, person, clock)?;
                    step(visit, Input::Close, clock)?;
                }
                Output::Silence | Output::Settled(_) => {}
            }
        }
    }
    person
        .farewell()
        .map_err(|error| ErrandError::Failed(error.to_string()))
}

/// Where made time stands: the same in a visit that goes on after the program had ended as in one
/// that never stopped. What is given again begins when it first did.
fn goes_on_at(record: &Record) -> Moment {
    if let Some(open) = record.open() {
        return open.planned_at;
    }
    let last = record.last_moment();
    let just_chosen = record.trials().last().is_some_and(|trial| {
        let interval = matches!(trial.outcome, Outcome::Interval { .. });
        let chosen = interval || !trial.namings().is_empty();
        let after_s = trial.answered_after_s().unwrap_or_else(|| {
            if interval {
                heard_out_s(&trial.planned)
            } else {
                saying_s(&trial.planned)
            }
        });
        chosen && trial.began.plus_seconds(after_s) == last
    });
    if just_chosen {
        last.plus_seconds(AFTER_CHOICE_S)
    } else {
        last
    }
}

/// One presentation and its answer; tells when it is over.
fn round<S: Store>(
    visit: &mut Visit<S>,
    person: &mut dyn Person,
    planned: &Planned,
    began: Moment,
) -> Result<Moment, ErrandError> {
    let n = planned.n;
    step(visit, Input::Began { n, at: began }, began)?;
    step(visit, Input::Whole { n }, began)?;
    person.begins(began);
    let response = person.answer(n, &planned.presentation);
    let ends = visit.slot_ends();
    match (
        response.map_err(|error| ErrandError::Failed(error.to_string()))?,
        ends,
    ) {
        (Response::Presses(presses), Some(ends)) => {
            // All are journalled before the slot is settled, so that none can be lost between.
            let before_the_end = Moment::from_micros(ends.micros() - 1);
            let mut over = ends;
            for after_s in presses {
                let at = began.plus_seconds(after_s);
                let who = WhoPressed::Program;
                step(visit, Input::Press { at, who }, at.min(before_the_end))?;
                over = over.max(at);
            }
            step(visit, Input::Tick, over)?;
            Ok(over)
        }
        (Response::Facing { facing, after_s }, None) => {
            let at = began.plus_seconds(after_s);
            step(
                visit,
                Input::Choose {
                    facing,
                    at: Some(at),
                },
                at,
            )?;
            Ok(at.plus_seconds(AFTER_CHOICE_S))
        }
        (Response::Sees { sees, after_s }, None) => {
            let told = after_s.map(|after_s| began.plus_seconds(after_s));
            let over = told.unwrap_or_else(|| began.plus_seconds(LETTER_S));
            step(visit, Input::Sees { sees, at: told }, over)?;
            Ok(over.plus_seconds(AFTER_CHOICE_S))
        }
        (Response::Interval(interval), None) => {
            // Said once both intervals are over.
            let at = began.plus_seconds(heard_out_s(planned));
            step(visit, Input::ChooseInterval { interval, at: None }, at)?;
            Ok(at.plus_seconds(AFTER_CHOICE_S))
        }
        (Response::Letters { letters, after_s }, None) => {
            let told = after_s.map(|after_s| began.plus_seconds(after_s));
            let over = told.unwrap_or_else(|| began.plus_seconds(saying_s(planned)));
            step(visit, Input::Name { letters, at: told }, over)?;
            Ok(over.plus_seconds(AFTER_CHOICE_S))
        }
        (other, _) => {
            let what = format!("the answer to presentation {n} does not fit its task: {other:?}");
            Err(ErrandError::Failed(what))
        }
    }
}

/// How long a presentation sounds, and a second for the answer, s (our choice).
fn heard_out_s(planned: &Planned) -> f64 {
    let ends = planned.presentation.sounds().map(|sound| sound.end_s);
    ends.fold(0.0, f64::max) + 1.0
}

/// How long the answer takes of somebody who does not say.
fn saying_s(planned: &Planned) -> f64 {
    LETTER_S * planned.presentation.optotypes().count() as f64
}

fn step<S: Store>(
    visit: &mut Visit<S>,
    input: Input,
    now: Moment,
) -> Result<Vec<Output>, ErrandError> {
    visit
        .step(input, now)
        .map_err(|error| ErrandError::Failed(error.to_string()))
}
