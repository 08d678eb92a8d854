//! What is said of a grade, in words: how the answers agree, never why.

use super::{Check, Fit, Grade, LeftOut};
use crate::quantity::Sense;

/// Beside every grade.
pub const SCOPE: &str = "This describes agreement among the answers of this sitting only. It does not \
    say why they agreed or did not.";

/// What a grade of a sense cannot tell; it stands beside every grade.
#[must_use]
pub fn limits(sense: Sense) -> &'static str {
    match sense {
        Sense::Hearing => {
            "Limits: a steady bar of one's own at both ears, with guesses where guesses are expected, \
             is hardly seen here; only objective tests of hearing tell it from a real loss. Answers that \
             do not agree may stand beside a real loss."
        }
        Sense::Sight => {
            "Limits: a bar of one's own that stays at the same visual angle, with guesses under it, \
             cannot be told from an eye that sees less; nor can guesses at every size. Answers that do \
             not agree may stand beside a real loss."
        }
    }
}

/// What may be done next.
#[must_use]
pub fn next_steps(sense: Sense, grade: Grade) -> &'static str {
    match (grade, sense) {
        (Grade::Consistent, _) => "",
        (Grade::TooFewAnswers, _) => "Next: measure more, or again another day.",
        (Grade::Mixed | Grade::Inconsistent, Sense::Hearing) => {
            "Next: instruct again, let the person rest, repeat; if answers still do not agree, objective \
             tests of hearing (otoacoustic emissions, acoustic reflexes, evoked responses)."
        }
        (Grade::Mixed | Grade::Inconsistent, Sense::Sight) => {
            "Next: instruct again, let the person rest, repeat at another distance; if answers still do \
             not agree, refraction, visual fields and an examination of the eyes."
        }
    }
}

/// The statement of a grade.
pub(super) fn statement(grade: Grade, checks: &[Check], at_least: &[String]) -> String {
    let listed = |least: Fit| {
        let seen = checks.iter().filter(|check| check.fit >= least);
        let listed: Vec<String> = seen
            .map(|check| format!("{} ({})", check.name, check.seen))
            .collect();
        if listed.is_empty() {
            String::new()
        } else {
            format!(" Most apart: {}.", listed.join("; "))
        }
    };
    let said = match grade {
        Grade::Consistent => "The answers agree with each other.".to_owned(),
        Grade::Mixed => format!(
            "Taken together the answers agree less than those of 19 in 20 people who answer what they \
             perceive.{} A repeat is advised.",
            listed(Fit::Doubtful)
        ),
        Grade::Inconsistent => format!(
            "Taken together the answers agree less than those of 99 in 100 people who answer what they \
             perceive.{} The values are shown as obtained and should not be read as thresholds.",
            listed(Fit::Doubtful)
        ),
        Grade::TooFewAnswers => "There are too few answers to say how they agree.".to_owned(),
    };
    let better = if at_least.is_empty() {
        String::new()
    } else {
        format!("Function is at least this good: {}.", at_least.join("; "))
    };
    let parts = [said.as_str(), &better, SCOPE];
    let said: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    said.join(" ")
}

/// What leaving out a part of the presentations would change, in words.
#[must_use]
pub fn left_out(left_out: &[LeftOut], grade: Grade) -> String {
    let changes: Vec<String> = left_out
        .iter()
        .filter(|one| one.grade != grade)
        .map(|one| format!("without {} it would be {}", one.what, one.grade.word()))
        .collect();
    if changes.is_empty() {
        "No single sort of presentation decides the grade".into()
    } else {
        format!(
            "The grade leans on single sorts of presentations: {}",
            changes.join("; ")
        )
    }
}
