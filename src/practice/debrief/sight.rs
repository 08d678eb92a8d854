//! The steps of sight that can be read off the journal (teaching guides of
//! distance acuity).

use super::replay::eye_words;
use super::said::neutral;
use super::step::{Asked as Expected, Done, Step};
use crate::finding::{SightFindings, SightStatus};
use crate::journal::{Asked, Phrase, Record, Trial};
use crate::practice::coach_sight::{through_pinhole, wants_pinhole};
use crate::practice::exercise::Exercise;
use crate::quantity::Eye;
use crate::stimulus::ByHand;

const TEACHING: &str = "teaching guides of distance acuity; ISO 8596 (from memory)";

/// All steps, in the order of a visit; none where sight was not practised.
pub(super) fn steps(record: &Record, exercise: &Exercise) -> Vec<Step> {
    if record.opening.plan.sight.is_none() || exercise.person.sight.is_none() {
        return Vec::new();
    }
    let mut steps = vec![
        glasses(record),
        cover(record),
        seat(record),
        guess(record),
        each_eye(record),
        from_large(record),
        to_failure(record),
        size_again(record),
        pinhole(record),
        below_the_largest(record),
        both_eyes(record),
    ];
    // Where ears were tested as well it stands there.
    if record.opening.plan.hearing.is_none() {
        steps.push(neutral(record));
    }
    steps
}

/// The presentations to one eye in a row, however it was asked: their first and last number.
struct Turn {
    eye: Eye,
    first_n: u32,
    last_n: u32,
}

/// The turns of the eyes, in order.
fn turns(record: &Record) -> Vec<Turn> {
    let mut turns: Vec<Turn> = Vec::new();
    for trial in record.counted() {
        let n = trial.planned.n;
        let Some(eye) = trial.planned.presentation.eye() else {
            continue;
        };
        match turns.last_mut() {
            Some(turn) if turn.eye == eye => turn.last_n = n,
            _ => turns.push(Turn {
                eye,
                first_n: n,
                last_n: n,
            }),
        }
    }
    turns
}

/// Before which presentation a phrase was said, each time.
fn said_before_n(record: &Record, phrase: Phrase) -> impl Iterator<Item = u32> {
    let all = record.practice().said().iter();
    all.filter(move |said| said.phrase == phrase)
        .map(|said| said.before_n)
}

/// Right where it was said in time, in part where it was said before the last presentation to an eye.
fn said_by(record: &Record, asked: Expected, phrase: Phrase, by: fn(&Turn) -> u32) -> Step {
    let turns = turns(record);
    let (Some(first), Some(last)) = (turns.first(), turns.last()) else {
        return asked.is(false, "nothing was shown");
    };
    match said_before_n(record, phrase).next() {
        None => asked.is(false, "not at all"),
        Some(n) if n <= by(first) => asked.is(true, "yes"),
        Some(n) if n <= last.last_n => {
            asked.was(Done::Partly, format!("only before presentation {n}"))
        }
        Some(_) => asked.is(false, "only after the last presentation"),
    }
}

/// Whether it was said as each of these eyes began: after the eye before it, and before its own first
/// presentation.
fn said_at_each(
    record: &Record,
    asked: Expected,
    phrase: Phrase,
    concerns: fn(Eye) -> bool,
) -> Step {
    let turns = turns(record);
    let begun_after = [0].into_iter().chain(turns.iter().map(|turn| turn.last_n));
    let of: Vec<(u32, &Turn)> = begun_after
        .zip(&turns)
        .filter(|(_, turn)| concerns(turn.eye))
        .collect();
    let in_time = |(before_n, turn): &(u32, &Turn)| {
        said_before_n(record, phrase).any(|n| n > *before_n && n <= turn.first_n)
    };
    let open: Vec<String> = of
        .iter()
        .filter(|one| !in_time(one))
        .map(|(_, turn)| format!("{} from {}", eye_words(turn.eye), turn.first_n))
        .collect();
    all_of(asked, of.len(), &open, "as each began", "not at:")
}

fn glasses(record: &Record) -> Step {
    let asked = Expected {
        name: "asked_for_glasses",
        what: "asked for glasses and noted what is worn",
        must: true,
        expected: "before the first presentation to an eye",
        source: TEACHING,
    };
    said_by(record, asked, Phrase::AsksForGlasses, |first| first.first_n)
}

fn guess(record: &Record) -> Step {
    let asked = Expected {
        name: "asked_to_guess",
        what: "asked for a guess at what is too small",
        must: false,
        expected: "before the last presentation to the first eye",
        source: TEACHING,
    };
    said_by(record, asked, Phrase::AsksToGuess, |first| first.last_n)
}

fn cover(record: &Record) -> Step {
    let asked = Expected {
        name: "checked_cover",
        what: "saw to it that the other eye is covered",
        must: true,
        expected: "as each eye begins that is tested alone",
        source: TEACHING,
    };
    said_at_each(record, asked, Phrase::ChecksCover, |eye| eye != Eye::Both)
}

fn seat(record: &Record) -> Step {
    let asked = Expected {
        name: "kept_distance",
        what: "saw to it that the person sits back at the distance",
        must: false,
        expected: "as each eye begins, and both together",
        source: TEACHING,
    };
    said_at_each(record, asked, Phrase::SitsBack, |_| true)
}

fn each_eye(record: &Record) -> Step {
    let asked = Expected {
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

/// A first optotype this large is plain to see for most, logMAR (common practice: the upper lines).
const LARGE_LOG_MAR: f64 = 0.7;

/// The askings in which something was shown on the screen, with what was.
fn shown(record: &Record) -> Vec<(Asked, Vec<&Trial>)> {
    let of = |asked: Asked| {
        let all: Vec<&Trial> = record
            .of_asked(&asked)
            .filter(|trial| trial.optotype().is_some())
            .collect();
        (!all.is_empty()).then_some((asked, all))
    };
    record.asked().into_iter().filter_map(of).collect()
}

fn from_large(record: &Record) -> Step {
    let asked = Expected {
        name: "from_large",
        what: "began with an optotype that is plain to see",
        must: false,
        expected: "0.7 logMAR or larger first, each time an eye begins",
        source: TEACHING,
    };
    let all = shown(record);
    let small: Vec<String> = all
        .iter()
        .filter_map(|(_, trials)| trials.first()?.optotype())
        .filter(|part| part.log_mar.0 < LARGE_LOG_MAR)
        .map(|part| format!("{:.2} logMAR", part.log_mar.0))
        .collect();
    all_of(asked, all.len(), &small, "each began large", "began at")
}

fn to_failure(record: &Record) -> Step {
    let asked = Expected {
        name: "to_failure",
        what: "went on to sizes that are no longer read",
        must: false,
        expected: "a wrong answer in each asking, or the smallest size that the screen can show",
        source: TEACHING,
    };
    let all = shown(record);
    let stopped_early = |(asked, trials): &&(Asked, Vec<&Trial>)| {
        let wrong = trials.iter().any(|trial| trial.right() == Some(false));
        let sizes = trials.iter().filter_map(|trial| trial.optotype());
        let least = sizes.map(|part| part.log_mar.0).fold(f64::MAX, f64::min);
        let smallest = crate::finding::sizes_of(record, asked).map_or(0.0, |one| one.smallest.0);
        !wrong && least > smallest + 0.1
    };
    let open: Vec<String> = all
        .iter()
        .filter(stopped_early)
        .map(|(asked, _)| eye_words(asked.eye).to_owned())
        .collect();
    all_of(
        asked,
        all.len(),
        &open,
        "each went on",
        "stopped before a wrong answer:",
    )
}

/// Sizes within this are the same, logMAR: far less than a line.
const SAME_SIZE_LOG_MAR: f64 = 0.02;

fn size_again(record: &Record) -> Step {
    let asked = Expected {
        name: "size_again",
        what: "showed a size again, as a check",
        must: false,
        expected: "in each asking one size shown twice or more",
        source: TEACHING,
    };
    let all = shown(record);
    let never = |(_, trials): &&(Asked, Vec<&Trial>)| {
        let mut sizes: Vec<f64> = trials
            .iter()
            .filter_map(|trial| Some(trial.optotype()?.log_mar.0))
            .collect();
        sizes.sort_by(f64::total_cmp);
        !sizes
            .windows(2)
            .any(|pair| pair[1] - pair[0] <= SAME_SIZE_LOG_MAR)
    };
    let open: Vec<String> = all
        .iter()
        .filter(never)
        .map(|(asked, _)| eye_words(asked.eye).to_owned())
        .collect();
    all_of(asked, all.len(), &open, "in each", "each size once only:")
}

/// Right where none of so many is left open, not done where all are.
fn all_of(asked: Expected, count: usize, open: &[String], good: &str, bad: &str) -> Step {
    match open.len() {
        _ if count == 0 => asked.was(Done::NoOccasion, "nothing was shown"),
        0 => asked.is(true, good),
        some if some == count => asked.is(false, format!("{bad} {}", open.join(", "))),
        _ => asked.was(Done::Partly, format!("{bad} {}", open.join(", "))),
    }
}

fn pinhole(record: &Record) -> Step {
    let asked = Expected {
        name: "pinhole",
        what: "had an eye that reads worse look through a pinhole",
        must: true,
        expected: "a pinhole for each eye that reads worse than 6/6 and a line for its spread",
        source: TEACHING,
    };
    let wants: Vec<Eye> = Eye::ALL
        .into_iter()
        .filter(|eye| wants_pinhole(record, *eye))
        .collect();
    let open: Vec<String> = wants
        .iter()
        .filter(|eye| !through_pinhole(record, **eye))
        .map(|eye| eye_words(*eye).to_owned())
        .collect();
    if wants.is_empty() {
        return asked.was(Done::NoOccasion, "no eye read worse");
    }
    all_of(
        asked,
        wants.len(),
        &open,
        "each that read worse",
        "without:",
    )
}

/// Eye by eye what was left out where the largest optotype was not read.
fn below_the_largest(record: &Record) -> Step {
    let asked = Expected {
        name: "below_the_largest",
        what: "went on below the largest optotype: from nearer, then fingers, a hand, a light",
        must: true,
        expected: "for each eye that does not read the largest: an asking from nearer, then by hand \
                   until something is seen",
        source: TEACHING,
    };
    let findings = SightFindings::of(record);
    let unread = |eye: Eye| {
        let mut own = findings.all().filter(move |(of, _)| *of == eye);
        own.any(|(_, found)| found.status == SightStatus::WorseThanLargestShown)
    };
    let eyes: Vec<Eye> = Eye::ALL.into_iter().filter(|eye| unread(*eye)).collect();
    if eyes.is_empty() {
        return asked.was(Done::NoOccasion, "the largest was read");
    }
    let begun = |eye: &Eye| from_nearer(record, *eye) || by_hand(record, *eye).next().is_some();
    let open: Vec<String> = eyes
        .iter()
        .filter_map(|eye| Some((*eye, missed_below(record, &findings, *eye)?)))
        .map(|(eye, missed)| format!("{} {missed}", eye_words(eye)))
        .collect();
    match open.len() {
        0 => asked.is(true, "as far as something was seen, or nothing"),
        _ if eyes.iter().any(begun) => asked.was(Done::Partly, open.join(", ")),
        _ => asked.is(false, open.join(", ")),
    }
}

/// Whether an eye was shown an optotype on the screen from nearer than the set-up's distance.
fn from_nearer(record: &Record, eye: Eye) -> bool {
    let here = record.opening.set_up.distance_mm;
    let mut shown = record.of_eye(eye).filter_map(Trial::optotype);
    shown.any(|part| part.card.is_none() && here.is_some_and(|here| part.distance_mm < here))
}

/// What an eye was shown by hand, and whether it saw it.
fn by_hand(record: &Record, eye: Eye) -> impl Iterator<Item = (ByHand, bool)> {
    let all = record.counted().filter_map(Trial::by_hand);
    all.filter(move |(hand, _)| hand.eye == eye)
        .map(|(hand, sees)| (hand.shows, sees))
}

/// What was not tried at an eye that did not read the largest optotype, first what comes first; none if
/// it was read from nearer, or everything was tried until something was seen.
fn missed_below(record: &Record, findings: &SightFindings, eye: Eye) -> Option<&'static str> {
    if !from_nearer(record, eye) {
        return Some("not from nearer");
    }
    if findings.eye(eye).midpoint_log_mar.is_some() {
        return None;
    }
    let shown: Vec<(ByHand, bool)> = by_hand(record, eye).collect();
    for (what, missed) in [
        (ByHand::Fingers, "no fingers"),
        (ByHand::Motion, "no hand that moves"),
        (ByHand::Light, "no light"),
    ] {
        if shown.iter().all(|(shows, _)| *shows != what) {
            return Some(missed);
        }
        if shown.contains(&(what, true)) {
            return None;
        }
    }
    None
}

fn both_eyes(record: &Record) -> Step {
    let asked = Expected {
        name: "both_eyes",
        what: "tested both eyes together as well",
        must: false,
        expected: "optotypes with both eyes open",
        source: TEACHING,
    };
    let did = record.of_eye(Eye::Both).next().is_some();
    asked.is(did, if did { "yes" } else { "not at all" })
}
