//! One step of a guideline: what was done, what was expected, and where that stands.

use crate::journal::Record;
use serde::Serialize;

/// How a step was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Done {
    /// As it should be.
    Right,
    /// In part.
    Partly,
    /// Not.
    NotDone,
    /// There was no occasion for it.
    NoOccasion,
}

/// A step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// Its name, the same in every debrief.
    pub name: &'static str,
    /// In words.
    pub what: &'static str,
    /// Whether it must be right.
    pub must: bool,
    /// How it was done.
    pub done: Done,
    /// What was done.
    pub did: String,
    /// What was expected.
    pub expected: &'static str,
    /// Where that stands.
    pub source: &'static str,
}

/// What a step is, whatever was done.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    pub name: &'static str,
    pub what: &'static str,
    pub must: bool,
    pub expected: &'static str,
    pub source: &'static str,
}

impl Asked {
    pub fn was(self, done: Done, did: impl Into<String>) -> Step {
        Step {
            name: self.name,
            what: self.what,
            must: self.must,
            done,
            did: did.into(),
            expected: self.expected,
            source: self.source,
        }
    }

    /// Right or not, with nothing between.
    pub fn is(self, right: bool, did: impl Into<String>) -> Step {
        self.was(if right { Done::Right } else { Done::NotDone }, did)
    }
}

pub(super) const TRADE: &str = "common practice, no source";

/// Beginnings of words about why somebody answers as they do, each in two halves, so that the
/// program itself holds none of them (reference: wording of consistency).
const WHY: [[&str; 2]; 23] = [
    ["malin", "ger"],
    ["fei", "gn"],
    ["fa", "ke"],
    ["fa", "king"],
    ["exag", "gerat"],
    ["eff", "ort"],
    ["decei", "v"],
    ["decep", "t"],
    ["decei", "t"],
    ["che", "at"],
    ["li", "ar"],
    ["insin", "cer"],
    ["disho", "nest"],
    ["ho", "nest"],
    ["pre", "ten"],
    ["delib", "erat"],
    ["inten", "tion"],
    ["inten", "d"],
    ["uninten", "tion"],
    ["purpo", "sel"],
    ["wil", "ful"],
    ["will", "ful"],
    ["fabri", "cat"],
];
/// The same, where longer words are innocent.
const WHY_WHOLE: [[&str; 2]; 3] = [["ly", "ing"], ["li", "ed"], ["inten", "t"]];
/// The same, unless the word that follows says that a figure is somewhere.
const WHY_UNLESS_PLACED: [[&str; 2]; 2] = [["li", "e"], ["li", "es"]];
const PLACES: [&str; 16] = [
    "above", "at", "db", "below", "beside", "between", "beyond", "far", "from", "in", "near", "on",
    "outside", "over", "under", "within",
];
/// The same, after 'on' alone.
const WHY_AFTER_ON: [&str; 2] = ["purpo", "se"];
/// The same, unless it is the program's own person.
const WHY_UNLESS_OURS: [&str; 2] = ["simu", "lat"];
const OURS: [&str; 5] = ["case", "patient", "people", "person", "persons"];

/// How many words of a text say why somebody answers so.
fn words_of_why(text: &str) -> usize {
    let text = text.to_lowercase();
    let words: Vec<&str> = text
        .split(|sign: char| !sign.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    let begins = |word: &str| WHY.iter().any(|halves| word.starts_with(&halves.concat()));
    let one_of = |all: &[[&str; 2]], word: &str| all.iter().any(|halves| word == halves.concat());
    let says_why = |at: &usize| {
        let (word, next) = (words[*at], words.get(*at + 1).copied().unwrap_or_default());
        begins(word)
            || one_of(&WHY_WHOLE, word)
            || (one_of(&WHY_UNLESS_PLACED, word) && !PLACES.contains(&next))
            || (word == WHY_AFTER_ON.concat() && *at > 0 && words[*at - 1] == "on")
            || (word.starts_with(&WHY_UNLESS_OURS.concat()) && !OURS.contains(&next))
    };
    (0..words.len()).filter(says_why).count()
}

/// The steps at the very end.
pub(super) fn of_the_conclusion(record: &Record) -> Vec<Step> {
    let concluded = record.practice().conclusion();
    let whole = Asked {
        name: "concluded",
        what: "said what the answers show and how far they hang together",
        must: false,
        expected: "a conclusion for each sense that was tested, before anything is revealed",
        source: TRADE,
    };
    let tests = |sense: &str| {
        record.counted().any(|trial| match sense {
            "hearing" => trial.tone().is_some(),
            _ => trial.optotype().is_some(),
        })
    };
    let judged = concluded.map_or((false, false), |one| {
        (
            one.hearing.is_some() || !tests("hearing"),
            one.sight.is_some() || !tests("sight"),
        )
    });
    let done = match judged {
        (true, true) => Done::Right,
        (false, false) => Done::NotDone,
        _ => Done::Partly,
    };
    let did = match concluded {
        None => "no conclusion",
        Some(_) if done == Done::Right => "said of each sense",
        Some(_) => "said of one sense only, or of none",
    };
    let worded = Asked {
        name: "worded_without_why",
        what: "wrote how the answers hang together, and not why",
        must: true,
        expected: "no word about what somebody meant by an answer",
        source: "reference: wording of consistency",
    };
    let words = concluded.map(|one| words_of_why(&one.words));
    let wording = match words {
        None => worded.was(Done::NoOccasion, "nothing written"),
        Some(0) => worded.is(true, "none"),
        Some(found) => worded.is(false, format!("{found} of them")),
    };
    vec![whole.was(done, did), wording]
}
