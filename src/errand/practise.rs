//! Practice: begin an exercise, reveal who it was, debrief, gather a class.

use super::ErrandError;
use super::begin::{Begin, begin};
use super::seal_exercise::opened_exercise;
use super::study::Progress;
use crate::calibration::SetUp;
use crate::journal::{self, PersonKind, Plan, Practised};
use crate::person::Habitual;
use crate::practice::{
    ClassRow, Debrief, Exercise, Gathered, NoDebrief, Observed, Refused, Set, debrief,
    debrief_in_short, library, text_of,
};
use crate::quantity::{Draws, Moment, Stream};
use crate::store::Kept;
use crate::visit::{Input, Visit};
use rayon::prelude::*;
use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;

/// The plan of every exercise.
const PLAN: &str = include_str!("../practice/plan.toml");

/// An exercise under way.
pub struct Exercising {
    /// The visit.
    pub visit: Visit<Kept>,
    /// Who answers.
    pub person: Habitual,
    /// The exercise; nothing of it but title, difficulty, story and what is told when asked is
    /// shown before the end.
    pub exercise: Exercise,
    text: String,
}

/// What to practise on.
#[derive(Debug, Clone)]
pub struct ExerciseWish {
    /// A name of the library, `drawn-DIFFICULTY-SEED`, or a file.
    pub exercise: String,
    /// Who practises.
    pub trainee: String,
    /// The class set it is taken from.
    pub set: Option<Set>,
    /// What opens it, where it is sealed.
    pub passphrase: Option<String>,
    /// The seed, where no set gives it.
    pub seed: u64,
    /// Where the journal goes.
    pub folder: PathBuf,
}

/// The text of an exercise by its name or in its file.
///
/// # Errors
/// Names what was expected.
pub fn exercise_text(name_or_file: &str, beside: Option<&Path>) -> Result<String, ErrandError> {
    if let Some(text) = text_of(name_or_file) {
        return Ok(text);
    }
    let path = match beside {
        Some(folder) => folder.join(name_or_file),
        None => PathBuf::from(name_or_file),
    };
    crate::journal::whole_file::settings(&path).map_err(|error| {
        let names: Vec<&str> = library().iter().map(|(name, _)| *name).collect();
        let what = format!(
            "expected one of {}, drawn-DIFFICULTY-SEED, or a file: {error}",
            names.join(", ")
        );
        ErrandError::in_file(&path, what)
    })
}

/// A class set in a file.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn set_in(path: &Path) -> Result<Set, ErrandError> {
    let text = crate::journal::whole_file::settings(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    let set = Set::from_toml(&text, &path.display().to_string());
    set.map_err(|error| ErrandError::BadInput(error.to_string()))
}

/// The plan of an exercise: hearing and sight, as far as its person has them.
///
/// # Errors
/// Never, while the program's own plan can be read.
fn plan(exercise: &Exercise) -> Result<Plan, ErrandError> {
    let mut plan = Plan::from_toml(PLAN, "practice")
        .map_err(|error| ErrandError::BadInput(error.to_string()))?;
    if exercise.person.hearing.is_none() {
        plan.hearing = None;
    }
    if exercise.person.sight.is_none() {
        plan.sight = None;
    }
    Ok(plan)
}

/// Everybody who gets an exercise with this seed meets the same person.
fn person_seed(seed: u64, text: &str) -> u64 {
    let key = Practised::seal_of(text);
    let number = u64::from_str_radix(&key[..12], 16).unwrap_or_default();
    Draws::new(seed, Stream::Exercise, number).seed()
}

/// Begins an exercise.
///
/// # Errors
/// If it cannot be read or opened, or there is a journal already.
pub fn begin_exercise(
    wish: &ExerciseWish,
    beside: Option<&Path>,
) -> Result<Exercising, ErrandError> {
    let (text, exercise) = opened_exercise(&wish.exercise, beside, wish.passphrase.as_deref())?;
    let seed = wish.set.as_ref().map_or(wish.seed, |set| set.seed);
    let visit = begin(&Begin {
        folder: wish.folder.clone(),
        seed,
        person: PersonKind::Practised(Practised {
            exercise: wish.exercise.clone(),
            seal: Practised::seal_of(&text),
            trainee: wish.trainee.clone(),
            set: wish.set.as_ref().map(|set| set.name.clone()),
        }),
        set_up: SetUp::simulated(),
        plan: plan(&exercise)?,
        epoch: jiff::Timestamp::now(),
    })?;
    Ok(Exercising {
        person: Habitual::new(exercise.person.clone(), person_seed(seed, &text)),
        visit,
        exercise,
        text,
    })
}

impl Exercising {
    /// Ends the exercise and reveals who it was.
    ///
    /// # Errors
    /// If the journal fails.
    pub fn reveal(&mut self, now: Moment) -> Result<(), ErrandError> {
        let failed = |error: crate::visit::VisitError| ErrandError::Failed(error.to_string());
        if !self.visit.record().closed() {
            self.visit.step(Input::Close, now).map_err(failed)?;
        }
        if self.visit.record().practice().revealed().is_none() {
            let reveal = Input::Reveal(self.text.clone());
            self.visit.step(reveal, now).map_err(failed)?;
        }
        Ok(())
    }

    /// The exercise's text, to be revealed at the end.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// The debrief of a journal, and its line in a class.
///
/// # Errors
/// If the journal does not hold, is no exercise, or has not been revealed.
pub fn debrief_in(path: &Path) -> Result<(Debrief, ClassRow), ErrandError> {
    debriefed(path, debrief)
}

fn debriefed(
    path: &Path,
    by: impl Fn(&[journal::Event]) -> Result<Debrief, NoDebrief>,
) -> Result<(Debrief, ClassRow), ErrandError> {
    let bytes = crate::journal::whole_file::bytes(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    let (events, head) =
        journal::check(&bytes).map_err(|damage| ErrandError::in_file(path, damage.error))?;
    let found = by(&events).map_err(|error| ErrandError::in_file(path, error))?;
    let began = events
        .first()
        .map_or(String::new(), |event| event.time.to_string());
    let seconds = events.last().map_or(0.0, |event| event.t_s.seconds());
    let file = path.display().to_string();
    let row = ClassRow::of(&found, began, seconds, &head.hash, &file);
    Ok((found, row))
}

/// All exercises in a folder and the folders in it, each checked and debriefed without its replay; what does not hold is named.
///
/// # Errors
/// If the folder cannot be read, or it was stopped.
pub fn gather(folder: &Path, progress: &Progress) -> Result<(Gathered, Vec<Debrief>), ErrandError> {
    let mut files = Vec::new();
    journals_in(folder, 4, &mut files)?;
    files.sort();
    let one = |file: &PathBuf| {
        if progress.stop.load(Ordering::Relaxed) {
            return None;
        }
        let found = debriefed(file, debrief_in_short);
        progress.visits.fetch_add(1, Ordering::Relaxed);
        Some((file.clone(), found))
    };
    let read: Option<Vec<_>> = files.par_iter().map(one).collect();
    let read = read.ok_or_else(|| ErrandError::Failed("gathering was stopped".into()))?;
    let (mut found, mut refused) = (Vec::new(), Vec::new());
    for (file, result) in read {
        match result {
            Ok(one) => found.push(one),
            Err(error) => refused.push(Refused {
                file: file.display().to_string(),
                why: error.to_string(),
            }),
        }
    }
    // Oldest first, so that what improved can be told. RFC 3339 in one zone sorts by time.
    found.sort_by(|(_, one), (_, other)| one.began.cmp(&other.began));
    let (debriefs, rows) = found.into_iter().unzip();
    Ok((Gathered { rows, refused }, debriefs))
}

/// The lines of a class as CSV (RFC 4180).
///
/// # Errors
/// If it cannot be written.
pub fn class_csv(gathered: &Gathered) -> Result<String, ErrandError> {
    let failed = |error: csv::Error| ErrandError::Failed(error.to_string());
    let mut table = csv::Writer::from_writer(Vec::new());
    for row in &gathered.rows {
        let mut flat =
            serde_json::to_value(row).map_err(|error| ErrandError::Failed(error.to_string()))?;
        flat["to_mend"] = row.to_mend.join(" ").into();
        let cells = flat.as_object().into_iter().flatten();
        let (names, values): (Vec<String>, Vec<String>) = cells
            .map(|(name, value)| {
                let text = value
                    .as_str()
                    .map_or_else(|| value.to_string(), str::to_owned);
                (
                    name.clone(),
                    if value.is_null() { String::new() } else { text },
                )
            })
            .unzip();
        if row == &gathered.rows[0] {
            table.write_record(&names).map_err(failed)?;
        }
        table.write_record(&values).map_err(failed)?;
    }
    let bytes = table
        .into_inner()
        .map_err(|error| ErrandError::Failed(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| ErrandError::Failed(error.to_string()))
}

/// Journals in a folder, so many folders deep.
fn journals_in(folder: &Path, deep: u32, found: &mut Vec<PathBuf>) -> Result<(), ErrandError> {
    let entries = std::fs::read_dir(folder).map_err(|error| ErrandError::in_file(folder, error))?;
    for entry in entries {
        let path = entry
            .map_err(|error| ErrandError::in_file(folder, error))?
            .path();
        if path.is_dir() && deep > 0 {
            journals_in(&path, deep - 1, found)?;
        } else if path.extension().is_some_and(|ending| ending == "jsonl") {
            found.push(path);
        }
    }
    Ok(())
}

/// What raters ticked, in the files of a folder.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn observed_in(folder: &Path) -> Result<Vec<Observed>, ErrandError> {
    let failed = |error: std::io::Error| ErrandError::in_file(folder, error);
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            let text = crate::journal::whole_file::settings(&path)
                .map_err(|error| ErrandError::in_file(&path, error))?;
            let observed = Observed::from_toml(&text, &path.display().to_string());
            all.push(observed.map_err(|error| ErrandError::BadInput(error.to_string()))?);
        }
    }
    Ok(all)
}

/// Keeps what a rater ticked beside the journal, over what the same rater ticked before; the file, and
/// what others ticked there.
///
/// # Errors
/// If it cannot be written, or another file there cannot be read.
pub fn keep_observed(
    folder: &Path,
    observed: &Observed,
) -> Result<(PathBuf, Vec<Observed>), ErrandError> {
    let plain = |sign: char| if sign.is_alphanumeric() { sign } else { '-' };
    let rater: String = observed.rater.chars().map(plain).collect();
    let path = folder.join(format!("observed-{rater}.toml"));
    let text = toml::to_string(observed).map_err(|error| ErrandError::Failed(error.to_string()))?;
    std::fs::write(&path, text).map_err(|error| ErrandError::in_file(&path, error))?;
    let mut others = observed_in(folder)?;
    others.retain(|one| one.rater != observed.rater);
    Ok((path, others))
}
