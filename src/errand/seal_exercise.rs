//! Exercises that the trainee cannot read: title, difficulty and story lie open, all the rest is
//! shut under the instructor's passphrase.

use super::{ErrandError, exercise_text};
use crate::calibration::read_toml;
use crate::practice::Exercise;
use crate::store::{Cost, Shut};
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A sealed exercise, as it lies in its file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SealedExercise {
    /// Version of the format: 1.
    format: u32,
    title: String,
    difficulty: u32,
    story: String,
    /// The whole text of the exercise.
    sealed: Shut,
}

/// What lies open of an exercise before its end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Front {
    /// What it is called.
    pub title: String,
    /// From 1, plain, to 5, wicked.
    pub difficulty: u32,
    /// Why the person comes.
    pub story: String,
}

/// What the seal is bound to: whoever changes what lies open can no longer open it.
fn about(front: &Front) -> String {
    let Front {
        title,
        difficulty,
        story,
    } = front;
    format!("veridical exercise 1\n{title}\n{difficulty}\n{story}")
}

/// The sealed exercise in a text; None: it lies open.
fn sealed_in(text: &str, file: &str) -> Result<Option<(Front, Shut)>, ErrandError> {
    let table: Result<toml::Table, _> = toml::from_str(text);
    if !table.is_ok_and(|table| table.contains_key("sealed")) {
        return Ok(None);
    }
    let read: SealedExercise =
        read_toml(text, file).map_err(|error| ErrandError::BadInput(error.to_string()))?;
    if read.format != 1 {
        let what = format!("{file}: format: expected 1, found {}", read.format);
        return Err(ErrandError::BadInput(what));
    }
    let front = Front {
        title: read.title,
        difficulty: read.difficulty,
        story: read.story,
    };
    Ok(Some((front, read.sealed)))
}

/// Reads an exercise whose text is open.
fn read(text: &str, file: &str) -> Result<Exercise, ErrandError> {
    Exercise::from_toml(text, file).map_err(|error| ErrandError::BadInput(error.to_string()))
}

fn front_of(exercise: &Exercise) -> Front {
    Front {
        title: exercise.title.clone(),
        difficulty: exercise.difficulty,
        story: exercise.story.clone(),
    }
}

/// What lies open of an exercise, sealed or not.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn exercise_front(name: &str, beside: Option<&Path>) -> Result<Front, ErrandError> {
    let text = exercise_text(name, beside)?;
    match sealed_in(&text, name)? {
        Some((front, _)) => Ok(front),
        None => Ok(front_of(&read(&text, name)?)),
    }
}

/// The text of an exercise and what it says, opened if it is sealed.
///
/// # Errors
/// Names the file, the field and what was expected; also if the passphrase does not open it.
pub fn opened_exercise(
    name: &str,
    beside: Option<&Path>,
    passphrase: Option<&str>,
) -> Result<(String, Exercise), ErrandError> {
    let mut text = exercise_text(name, beside)?;
    if let Some((front, shut)) = sealed_in(&text, name)? {
        let bad = |what: &str| ErrandError::BadInput(format!("{name}: sealed: {what}"));
        let passphrase = passphrase
            .filter(|one| !one.is_empty())
            .ok_or_else(|| bad("expected the instructor's passphrase"))?;
        let opened = shut.open(&about(&front), passphrase);
        text = opened
            .map_err(|what| bad(&what))?
            .ok_or_else(|| bad("not opened by this passphrase, or changed since it was sealed"))?;
    }
    let exercise = read(&text, name)?;
    Ok((text, exercise))
}

/// The text of a file that holds the exercise sealed.
///
/// # Errors
/// If the exercise cannot be read, is sealed already, or the passphrase is too short.
pub fn sealed_exercise(name: &str, passphrase: &str, cost: Cost) -> Result<String, ErrandError> {
    sealed_text(&exercise_text(name, None)?, name, passphrase, cost)
}

/// The same of a text; `name` is named in errors.
///
/// # Errors
/// As of an exercise that is named.
pub fn sealed_text(
    text: &str,
    name: &str,
    passphrase: &str,
    cost: Cost,
) -> Result<String, ErrandError> {
    if sealed_in(text, name)?.is_some() {
        let what = format!("{name}: sealed: expected an exercise that is not sealed yet");
        return Err(ErrandError::BadInput(what));
    }
    let front = front_of(&read(text, name)?);
    let sealed = Shut::around(text, &about(&front), passphrase, cost)
        .map_err(|error| ErrandError::BadInput(error.to_string()))?;
    let file = SealedExercise {
        format: 1,
        title: front.title,
        difficulty: front.difficulty,
        story: front.story,
        sealed,
    };
    toml::to_string(&file).map_err(|error| ErrandError::Failed(error.to_string()))
}
