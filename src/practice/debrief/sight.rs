//! The steps of sight that can be read off the journal (reference: trainee assessment 6.3).

use super::step::{Asked, Done, Step};
use crate::journal::{Phrase, Record};
use crate::practice::exercise::Exercise;
use crate::quantity::Eye;

const TEACHING: &str = "teaching guides of distance acuity; ISO 8596 (from memory)";

/// All steps, in the order of a visit; none where sight was not practised.
pub(super) fn steps(record: &Record, exercise: &Exercise) -> Vec<Step> {
    if record.opening.plan.sight.is_none() || exercise.person.sight.is_none() {
        return Vec::new();
    }
    vec![
        said(
            record,
            Phrase::AsksForGlasses,
            "asked_for_glasses",
            "asked for glasses and noted what is worn",
            true,
        ),
        distance(record),
        said(
            record,
            Phrase::ChecksCover,
            "checked_cover",
            "saw to it that the other eye is covered",
            true,
        ),
        said(
            record,
            Phrase::SitsBack,
            "kept_distance",
            "saw to it that the person sits back at the distance",
            false,
        ),
        said(
            record,
            Phrase::AsksToGuess,
            "asked_to_guess",
            "asked for a guess at what is too small",
            false,
        ),
        each_eye(record),
    ]
}

fn said(
    record: &Record,
    phrase: Phrase,
    name: &'static str,
    what: &'static str,
    must: bool,
) -> Step {
    let asked = Asked {
        name,
        what,
        must,
        expected: "said or done during sight",
        source: TEACHING,
    };
    let did = record.practice().has_said(phrase);
    asked.is(did, if did { "yes" } else { "not at all" })
}

fn distance(record: &Record) -> Step {
    let asked = Asked {
        name: "distance_measured",
        what: "measured the distance to the eye",
        must: true,
        expected: "a distance in the set-up",
        source: TEACHING,
    };
    match record.opening.set_up.distance_mm {
        Some(distance) => asked.is(true, format!("{:.0} mm", distance.0)),
        None => asked.is(false, "none"),
    }
}

fn each_eye(record: &Record) -> Step {
    let asked = Asked {
        name: "each_eye",
        what: "tested one eye at a time, both of them",
        must: false,
        expected: "right and left apart",
        source: TEACHING,
    };
    let tested = |eye: &Eye| record.of_eye(*eye).next().is_some();
    let missing: Vec<&str> = [(Eye::Right, "right"), (Eye::Left, "left")]
        .iter()
        .filter(|(eye, _)| !tested(eye))
        .map(|(_, name)| *name)
        .collect();
    match missing.len() {
        0 => asked.is(true, "both"),
        1 => asked.was(Done::Partly, format!("not the {}", missing.join(""))),
        _ => asked.is(false, "neither"),
    }
}
