//! The steps of series at the bedside that can be read off the journal; none where no series was
//! drawn and none was wanted.

use super::step::{Asked, Done, Step};
use crate::bedside::usual_prompts;
use crate::journal::{HowEnded, Record, Series, Stage};
use crate::practice::cue::Cue;
use crate::practice::exercise::Exercise;
use crate::stimulus::SeriesKind;

const DERIVED: &str = "our own derivation (src/bedside/README.md)";

/// All steps.
pub(super) fn steps(record: &Record, exercise: &Exercise) -> Vec<Step> {
    let all = record.bedside().series();
    let wants_field = exercise.expect.cues.contains(&Cue::FieldLoss);
    let mut steps = Vec::new();
    if wants_field {
        steps.push(two_distances(all));
    }
    if !all.is_empty() {
        steps.extend([finished(all), long_enough(all), both_sides(all), kept(all)]);
    }
    steps
}

/// A series in words.
fn named(series: &Series) -> String {
    let side = series.drawn.side;
    let side = side.map_or(String::new(), |side| format!(", {side}"));
    format!("{}{side}", series.drawn.what)
}

/// Right where none is open, not done where all are.
fn unless(asked: Asked, all: usize, open: &[String], good: &str) -> Step {
    match open.len() {
        0 => asked.is(true, good),
        some => {
            let done = if some == all {
                Done::NotDone
            } else {
                Done::Partly
            };
            asked.was(done, format!("not of {}", open.join("; ")))
        }
    }
}

/// The series of which something does not hold.
fn open_of(all: &[Series], holds: impl Fn(&Series) -> bool) -> Vec<String> {
    all.iter().filter(|one| !holds(one)).map(named).collect()
}

fn two_distances(all: &[Series]) -> Step {
    let asked = Asked {
        name: "field_at_two_distances",
        what: "tested a narrow field at one and at two metres",
        must: true,
        expected: "a series of how far out a target is seen, answered at both distances",
        source: "reference: tubular claim at two distances",
    };
    let extents: Vec<&Series> = all
        .iter()
        .filter(|one| one.drawn.what == SeriesKind::FieldExtent)
        .collect();
    if extents.is_empty() {
        return asked.is(false, "not at all");
    }
    let whole = extents.iter().any(|one| one.over() && one.ended.is_none());
    asked.was(
        if whole { Done::Right } else { Done::Partly },
        if whole {
            "yes"
        } else {
            "begun, not gone through"
        },
    )
}

fn finished(all: &[Series]) -> Step {
    let asked = Asked {
        name: "series_finished",
        what: "went through each series that was begun",
        must: false,
        expected: "each prompt done or void; a series is left only where the person declines it",
        source: DERIVED,
    };
    let whole = |one: &Series| {
        let declined = matches!(&one.ended, Some((HowEnded::Declined, _)));
        declined || (one.ended.is_none() && one.over())
    };
    unless(asked, all.len(), &open_of(all, whole), "each of them")
}

fn long_enough(all: &[Series]) -> Step {
    let asked = Asked {
        name: "series_long_enough",
        what: "gave each series as many prompts as can tell something",
        must: false,
        expected: "no fewer prompts than the kind usually has",
        source: "veridical power (simulated people)",
    };
    let long = |one: &Series| one.drawn.prompts.len() >= usual_prompts(one.drawn.what) as usize;
    unless(asked, all.len(), &open_of(all, long), "each of them")
}

fn both_sides(all: &[Series]) -> Step {
    let asked = Asked {
        name: "series_both_sides",
        what: "asked the other nostril, eye or ear the same",
        must: false,
        expected: "the same series at either side, so that they can be compared",
        source: "common practice, no source",
    };
    let sided: Vec<Series> = all
        .iter()
        .filter(|one| one.drawn.side.is_some())
        .cloned()
        .collect();
    if sided.is_empty() {
        return asked.was(Done::NoOccasion, "no series has a side");
    }
    let compared = |one: &Series| {
        sided
            .iter()
            .any(|other| other.drawn.what == one.drawn.what && other.drawn.side != one.drawn.side)
    };
    unless(
        asked,
        sided.len(),
        &open_of(&sided, compared),
        "each of them",
    )
}

fn kept(all: &[Series]) -> Step {
    let asked = Asked {
        name: "series_answers_kept",
        what: "let the answers of series stand as they were given",
        must: true,
        expected: "nothing taken back or corrected; void only what was not done as shown, before \
                   the answer",
        source: DERIVED,
    };
    let changed = |stage: &&Stage| {
        matches!(
            stage,
            Stage::Undone { .. } | Stage::Answered { amended: true, .. }
        )
    };
    let count = all
        .iter()
        .flat_map(|one| &one.stages)
        .filter(changed)
        .count();
    let did = match count {
        0 => "all of them".into(),
        some => format!("{some} taken back or corrected"),
    };
    asked.is(count == 0, did)
}
