//! What an examiner says and sees to, and when, whoever presents: the helper advises it to a trainee,
//! and beside an automatic plan it is said to the simulated person of an exercise.

use super::coach::{Advice, TRADE, Wanted, advice};
use super::coach_sight::TEACHING;
use super::runs::{level_of, runs};
use crate::journal::{Phrase, Planned, Purpose, Record, Trial};
use crate::quantity::Eye;

const ISO: &str = "ISO 8253-1:2010, 6.2 (from memory)";
/// After so many presentations a break is offered: a few minutes of them (our choice).
const BREAK_EVERY: usize = 40;
/// After so many optotypes it is looked to that nobody has leant forward (our choice).
const SITS_BACK_EVERY: usize = 10;
/// So many answers to silence, and more than this share, are too many (our choice).
const FALSE_ALARMS: u32 = 3;
const FALSE_ALARM_SHARE: f64 = 0.2;

/// What is about to be presented, as far as words go by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Coming {
    /// A tone, or silence.
    Sound,
    /// An optotype, or something shown by hand.
    Sight {
        /// For this eye.
        eye: Eye,
        /// In this asking.
        asking: u32,
    },
}

/// What is to be said or seen to before this presentation; none if nothing is.
#[must_use]
pub fn words_before(record: &Record, planned: &Planned) -> Option<Phrase> {
    let coming = planned
        .presentation
        .eye()
        .map_or(Coming::Sound, |eye| Coming::Sight {
            eye,
            asking: planned.asking,
        });
    match before(record, coming)?.wanted {
        Wanted::Say(phrase) => Some(phrase),
        _ => None,
    }
}

/// The same, and why.
pub(super) fn before(record: &Record, coming: Coming) -> Option<Advice> {
    let (phrase, why, source) = at_the_beginning(record, coming)
        .or_else(|| a_break(record))
        .or_else(|| match coming {
            Coming::Sound => again(record),
            Coming::Sight { eye, asking } => before_an_eye_looks(record, eye, asking),
        })?;
    Some(advice(Wanted::Say(phrase), why, source))
}

type Words = (Phrase, &'static str, &'static str);

fn at_the_beginning(record: &Record, coming: Coming) -> Option<Words> {
    let hears = coming == Coming::Sound;
    let begun = record
        .counted()
        .any(|trial| eye_of(trial).is_some() != hears);
    if begun {
        return None;
    }
    let steps = [
        (
            Phrase::ListensToEarphones,
            "what you do not hear rightly yourself, nobody can be judged by",
        ),
        (
            Phrase::Introduces,
            "who it is, and consent, come before anything is played",
        ),
        (
            Phrase::AsksWhichIsBetter,
            "the better ear is measured first",
        ),
        (
            Phrase::AsksHistory,
            "what happened before decides what cannot wait",
        ),
        (
            Phrase::LooksIntoEars,
            "a blocked or running ear is not put under an earphone",
        ),
        (
            Phrase::Instructs,
            "who does not know what to do cannot be measured",
        ),
    ];
    steps
        .into_iter()
        .filter(|(phrase, _)| {
            hears || !matches!(phrase, Phrase::LooksIntoEars | Phrase::ListensToEarphones)
        })
        .find(|(phrase, _)| !record.practice().has_said(*phrase))
        .map(|(phrase, why)| (phrase, why, ISO))
}

/// The presentations since something was said; all, if it never was.
fn since(record: &Record, phrase: Phrase) -> impl Iterator<Item = &Trial> {
    let mut said = record.practice().said().iter().rev();
    let from_n = said
        .find(|said| said.phrase == phrase)
        .map_or(0, |said| said.before_n);
    record
        .counted()
        .filter(move |trial| trial.planned.n >= from_n)
}

fn a_break(record: &Record) -> Option<Words> {
    let made = since(record, Phrase::OffersBreak).count();
    let why = "some minutes have gone by: who is tired answers carelessly";
    (made >= BREAK_EVERY).then_some((Phrase::OffersBreak, why, TRADE))
}

/// Silence that was answered too often, counted afresh from each time that instructions were given again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct FalseAlarms {
    /// The silent presentation by which there were too many.
    pub by_n: u32,
    /// Whether instructions were given again after it.
    pub acted: bool,
}

/// All of them, in order.
pub(super) fn false_alarms(record: &Record) -> Vec<FalseAlarms> {
    let said = record.practice().said().iter();
    let again = said
        .filter(|said| said.phrase == Phrase::InstructsAgain)
        .map(|said| said.before_n);
    let (mut found, mut from_n) = (Vec::new(), 0);
    for until_n in again.chain([u32::MAX]) {
        let between = record
            .counted()
            .filter(|trial| (from_n..until_n).contains(&trial.planned.n));
        found.extend(too_many_answered(between).map(|by_n| FalseAlarms {
            by_n,
            acted: until_n < u32::MAX,
        }));
        from_n = until_n;
    }
    found
}

/// The number of the silent presentation by which too many were answered; none if there is none.
fn too_many_answered<'a>(trials: impl Iterator<Item = &'a Trial>) -> Option<u32> {
    let (mut answered, mut of) = (0, 0);
    let silent = trials.filter(|trial| trial.purpose() == Purpose::Silent);
    silent
        .filter_map(|trial| Some((trial.planned.n, trial.heard()?)))
        .find(|(_, heard)| {
            of += 1;
            answered += u32::from(*heard);
            answered >= FALSE_ALARMS && f64::from(answered) > FALSE_ALARM_SHARE * f64::from(of)
        })
        .map(|(n, _)| n)
}

/// Instructions are given again after the first threshold, and whenever silence is answered often.
fn again(record: &Record) -> Option<Words> {
    let phrase = Phrase::InstructsAgain;
    if false_alarms(record).last().is_some_and(|one| !one.acted) {
        let why = "silence is answered often: what is to be done was not understood, or forgotten";
        return Some((phrase, why, ISO));
    }
    let mut runs = runs(record).into_iter();
    let found = runs.any(|run| !run.masked && level_of(run.reading(record)).is_some());
    let why = "once more after the first threshold: the faintest counts, at either ear";
    (found && !record.practice().has_said(phrase)).then_some((phrase, why, TRADE))
}

/// The eye that looked, if one did.
fn eye_of(trial: &Trial) -> Option<Eye> {
    trial.planned.presentation.eye()
}

fn before_an_eye_looks(record: &Record, eye: Eye, asking: u32) -> Option<Words> {
    let said = |phrase| record.practice().has_said(phrase);
    if !said(Phrase::AsksForGlasses) {
        let why = "an acuity without its correction says nothing";
        return Some((Phrase::AsksForGlasses, why, TEACHING));
    }
    if !said(Phrase::AsksToGuess) {
        let why = "who answers only when certain is read too poorly";
        return Some((Phrase::AsksToGuess, why, TEACHING));
    }
    let last = record
        .counted()
        .rev()
        .find_map(|trial| Some((trial, eye_of(trial)?)));
    let goes_on =
        last.is_some_and(|(trial, looked)| looked == eye && trial.planned.asking == asking);
    let seen_since = |phrase| {
        let shown = since(record, phrase).filter(|trial| eye_of(trial).is_some());
        shown.count()
    };
    let stale = |phrase| !said(phrase) || seen_since(phrase) > 0;
    let leant = seen_since(Phrase::SitsBack) >= SITS_BACK_EVERY;
    if leant || (!goes_on && stale(Phrase::SitsBack)) {
        let why = "whoever leans forward sees everything larger";
        return Some((Phrase::SitsBack, why, TEACHING));
    }
    if eye != Eye::Both && !goes_on && stale(Phrase::ChecksCover) {
        let why = "the other eye must not look as well";
        return Some((Phrase::ChecksCover, why, TEACHING));
    }
    None
}
