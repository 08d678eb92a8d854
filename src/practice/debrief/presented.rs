//! The steps that are about any presentation, to ears or eyes.

use super::step::{Asked, Done, Step, TRADE};
use crate::journal::{Planned, Proposer, Purpose, Record};

/// All of them; none where neither hearing nor sight was practised.
pub(super) fn steps(record: &Record) -> Vec<Step> {
    let plan = &record.opening.plan;
    if plan.hearing.is_none() && plan.sight.is_none() {
        return Vec::new();
    }
    vec![by_hand(record), voids(record)]
}

/// The window offers a trainee no procedure. A journal may hold presentations of one all the same, and what was not done by hand
/// must not pass for it.
fn by_hand(record: &Record) -> Step {
    let asked = Asked {
        name: "by_hand",
        what: "presented by hand, without the program's procedure",
        must: true,
        expected: "each presentation decided on by whoever practises",
        source: TRADE,
    };
    let of = record.trials().len();
    let others = record
        .trials()
        .iter()
        .filter(|trial| trial.planned.by != Proposer::Examiner);
    match (others.count(), of) {
        (_, 0) => asked.was(Done::NoOccasion, "nothing was presented"),
        (0, _) => asked.is(true, format!("all {of}")),
        (others, of) => {
            let done = if others < of {
                Done::Partly
            } else {
                Done::NotDone
            };
            asked.was(done, format!("{others} of {of} by the procedure"))
        }
    }
}

/// What was taken back or did not arrive stays on record and does not count; it has to be asked again. Why somebody took it back
/// cannot be read off the journal; whoever does so often chooses among the answers.
fn voids(record: &Record) -> Step {
    let asked = Asked {
        name: "voids",
        what: "made void or took back what was spoilt, and asked it again",
        must: false,
        expected: "each once more afterwards, at the same place; at most one in ten of all",
        source: "trainee assessment: voids what noise spoilt, does not delete it; the share is our choice",
    };
    let taken_back = record.trials().iter().filter(|trial| trial.undone);
    let taken_back: Vec<&Planned> = taken_back.map(|trial| &trial.planned).collect();
    let void: Vec<&Planned> = record.voids().iter().map(|void| &void.planned).collect();
    let lost: Vec<&Planned> = taken_back.iter().chain(&void).copied().collect();
    if lost.is_empty() {
        return asked.was(Done::NoOccasion, "none was void, none taken back");
    }
    let again = lost.iter().filter(|lost| asked_again(record, lost)).count();
    let did = format!(
        "{} void, {} taken back; {again} asked again",
        void.len(),
        taken_back.len()
    );
    let few = lost.len() * 10 <= record.trials().len() + void.len();
    let done = match (again == lost.len(), few) {
        (true, true) => Done::Right,
        (false, false) => Done::NotDone,
        _ => Done::Partly,
    };
    asked.was(done, did)
}

/// Whether the same place was asked again afterwards: a tone at that ear and frequency, silence, or that eye.
fn asked_again(record: &Record, lost: &Planned) -> bool {
    record
        .counted()
        .filter(|trial| trial.planned.n > lost.n)
        .any(|trial| {
            let again = &trial.planned;
            match (
                lost.presentation.tones().next(),
                lost.presentation.optotypes().next(),
            ) {
                (Some(tone), _) => again
                    .presentation
                    .tones()
                    .next()
                    .is_some_and(|other| (other.ear, other.hz) == (tone.ear, tone.hz)),
                (None, Some(shown)) => again
                    .presentation
                    .optotypes()
                    .next()
                    .is_some_and(|other| other.eye == shown.eye),
                (None, None) => again.purpose == Purpose::Silent,
            }
        })
}
