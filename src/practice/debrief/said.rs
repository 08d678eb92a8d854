//! What is to be said and done around the tones, read off what the trainee said.

use super::hearing::BSA;
use super::step::{Asked, Done, Step};
use crate::journal::{Phrase, Planned, Record, Trial};

/// After so many presentations a break is offered (our choice).
const BREAK_AFTER: usize = 150;

/// What comes before anything is presented, in the order of a visit.
pub(super) fn before_all(record: &Record) -> Vec<Step> {
    vec![
        said_before(
            record,
            Phrase::ListensToEarphones,
            "listening_check",
            "listened to the earphones and the room, and saw that the calibration is in date",
            true,
        ),
        said_before(
            record,
            Phrase::Introduces,
            "introduced",
            "made sure who it is, explained, asked for consent",
            true,
        ),
        said_before(
            record,
            Phrase::AsksHistory,
            "asked_history",
            "asked what has happened before",
            false,
        ),
        said_before(
            record,
            Phrase::LooksIntoEars,
            "looked_into_ears",
            "looked into both ears before an earphone went on",
            true,
        ),
        said_before(
            record,
            Phrase::Instructs,
            "instructed",
            "said what is to be done before the first tone",
            true,
        ),
    ]
}

fn said_before(
    record: &Record,
    phrase: Phrase,
    name: &'static str,
    what: &'static str,
    must: bool,
) -> Step {
    // Ears and earphones are nobody's concern while eyes are tested first.
    let of_ears = matches!(phrase, Phrase::ListensToEarphones | Phrase::LooksIntoEars);
    let expected = if of_ears {
        "before the first sound"
    } else {
        "before the first presentation"
    };
    let asked = Asked {
        name,
        what,
        must,
        expected,
        source: BSA,
    };
    let trials = record.trials().iter().map(|trial| &trial.planned);
    let voids = record.voids().iter().map(|void| &void.planned);
    let concerns = |planned: &&Planned| !of_ears || planned.presentation.eye().is_none();
    let all = trials.chain(voids).filter(concerns);
    let first_n = all.map(|planned| planned.n).min().unwrap_or(u32::MAX);
    let said = record
        .practice()
        .said()
        .iter()
        .find(|said| said.phrase == phrase);
    match said {
        Some(said) if said.before_n <= first_n => asked.is(true, expected),
        Some(said) => asked.was(
            Done::Partly,
            format!("only before presentation {}", said.before_n),
        ),
        None => asked.is(false, "not at all"),
    }
}

pub(super) fn neutral(record: &Record) -> Step {
    let asked = Asked {
        name: "neutral_words",
        what: "said nothing that tells which answers are right or when something comes",
        must: false,
        expected: "neither praise nor 'was that one there?'",
        source: BSA,
    };
    let telling = record
        .practice()
        .said()
        .iter()
        .filter(|said| matches!(said.phrase, Phrase::Praises | Phrase::AsksWhetherPerceived));
    let count = telling.count();
    asked.is(count == 0, format!("{count} times"))
}

pub(super) fn rested(record: &Record) -> Step {
    let asked = Asked {
        name: "break_offered",
        what: "offered a break in a long visit",
        must: false,
        expected: "never more than 150 presentations in a row without one",
        source: "ISO 8253-1:2010: fatigue after 20 minutes (from memory); the count is our choice",
    };
    let made = record.trials().len();
    if made <= BREAK_AFTER {
        return asked.was(Done::NoOccasion, format!("{made} presentations"));
    }
    let said = record.practice().said().iter();
    let breaks = said.filter(|said| said.phrase == Phrase::OffersBreak);
    let (mut from_n, mut longest) = (0, 0);
    for until_n in breaks.map(|said| said.before_n).chain([u32::MAX]) {
        let between = |trial: &&Trial| (from_n..until_n).contains(&trial.planned.n);
        longest = longest.max(record.trials().iter().filter(between).count());
        from_n = until_n;
    }
    asked.is(
        longest <= BREAK_AFTER,
        format!("{made} presentations, {longest} in a row at the most"),
    )
}
