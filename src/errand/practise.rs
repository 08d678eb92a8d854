//! Practice: begin an exercise, reveal who it was, debrief, gather a class.

use super::begin::{Begin, begin, resume};
use super::seal_exercise::opened_exercise;
use super::study::Progress;
use super::{ErrandError, PROGRAM};
use crate::calibration::SetUp;
use crate::journal::{self, Event, PersonKind, Plan, Practised, Record};
use crate::person::Habitual;
use crate::practice::{
    Agreement, ClassRow, Debrief, Exercise, Gathered, NoDebrief, NotTheirs, Observed, Refused, Set,
    debrief, debrief_in_short, library, person_seed, same_person, text_of, unchanged_after_the_end,
};
use crate::quantity::Moment;
use crate::report::no_formula;
use crate::store::Kept;
use crate::visit::{Input, Visit};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::io::Write;
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

/// What an exercise is called in journals: of a file its own name, never where it lies, which may tell whose machine it is.
#[must_use]
pub fn exercise_name(name_or_file: &str) -> String {
    let own = Path::new(name_or_file).file_name();
    match own.and_then(|own| own.to_str()) {
        Some(own) if text_of(name_or_file).is_none() => {
            // A file may bear the name of another exercise, and is not that.
            let ending = if text_of(own).is_some() { ".toml" } else { "" };
            format!("{own}{ending}")
        }
        _ => name_or_file.to_owned(),
    }
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
            exercise: exercise_name(&wish.exercise),
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
    by: impl Fn(&[Event]) -> Result<Debrief, NoDebrief>,
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
    let remark = believed(&events).map_err(|why| ErrandError::in_file(path, why))?;
    let row = ClassRow {
        remark,
        ..ClassRow::of(&found, began, seconds, &head.hash, &file)
    };
    Ok((found, row))
}

/// Whether a revealed journal is of the person that it names and of that person's answers; what there is to remark. Another
/// version of the program may know other people, so that nothing can be held against its journals.
fn believed(events: &[Event]) -> Result<Option<String>, String> {
    let failed = |error: &dyn std::fmt::Display| error.to_string();
    unchanged_after_the_end(events).map_err(|why| failed(&why))?;
    let (record, _) = Record::of(events).map_err(|error| failed(&error))?;
    let (PersonKind::Practised(practised), Some(text)) =
        (&record.opening.person, record.practice().revealed())
    else {
        return Err(NoDebrief::NotRevealed.to_string());
    };
    let name = &practised.exercise;
    let exercise = Exercise::from_toml(text, name).map_err(|error| failed(&error))?;
    let doubt = if text_of(name).is_some_and(|own| own != text) {
        format!("expected the person of the exercise {name:?}, found another one")
    } else {
        match same_person(events, &exercise, text) {
            Ok(()) => return Ok(None),
            Err(why @ NotTheirs::ByHand { .. }) => return Err(why.to_string()),
            Err(why) => why.to_string(),
        }
    };
    let by = &record.opening.program;
    if by == PROGRAM {
        return Err(doubt);
    }
    Ok(Some(format!("not replayed, since made by {by}: {doubt}")))
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
    let (mut found, mut refused) = (Vec::<(Debrief, ClassRow)>::new(), Vec::new());
    for (file, result) in read {
        let result = result.and_then(|one| {
            let twice = found.iter().find(|(_, row)| row.head == one.1.head);
            twice.map_or(Ok(one.clone()), |(_, other)| {
                let why = format!(
                    "expected a journal of its own, found that of {}",
                    other.file
                );
                Err(ErrandError::in_file(&file, why))
            })
        });
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

/// The lines of a class as CSV (RFC 4180), the header first.
///
/// # Errors
/// If it cannot be written.
pub fn class_csv(gathered: &Gathered) -> Result<String, ErrandError> {
    let failed = |error: csv::Error| ErrandError::Failed(error.to_string());
    let mut table = csv::Writer::from_writer(Vec::new());
    let header = cells(&ClassRow::default())?;
    table.write_record(header.keys()).map_err(failed)?;
    for row in &gathered.rows {
        table.write_record(cells(row)?.values()).map_err(failed)?;
    }
    let bytes = table
        .into_inner()
        .map_err(|error| ErrandError::Failed(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| ErrandError::Failed(error.to_string()))
}

/// The cells of a line by the names of their columns. Names of trainees and files are words of people, which a spreadsheet
/// must not take for formulas.
fn cells(row: &ClassRow) -> Result<BTreeMap<String, String>, ErrandError> {
    let mut flat =
        serde_json::to_value(row).map_err(|error| ErrandError::Failed(error.to_string()))?;
    flat["to_mend"] = row.to_mend.join(" ").into();
    let cells = flat.as_object().into_iter().flatten();
    let cells = cells.map(|(name, value)| {
        let cell = match value {
            serde_json::Value::Null => String::new(),
            serde_json::Value::String(text) => no_formula(text),
            other => other.to_string(),
        };
        (name.clone(), cell)
    });
    Ok(cells.collect())
}

/// Writes the lines of a class to a file; one that is there is not written over.
///
/// # Errors
/// If it is there already or cannot be written.
pub fn write_class_csv(gathered: &Gathered, file: &Path) -> Result<(), ErrandError> {
    let text = class_csv(gathered)?;
    let made = std::fs::File::create_new(file);
    let written = made.and_then(|mut made| made.write_all(text.as_bytes()));
    written.map_err(|error| {
        let what = format!("expected a file that is not there yet: {error}");
        ErrandError::in_file(file, what)
    })
}

/// Ends the latest exercise of a trainee that was broken off in a folder of exercises, and reveals it; its journal, and none
/// where no exercise was. `text_of` finds the text of an exercise by its name.
///
/// # Errors
/// If a journal cannot be gone on with, or its exercise is not found as it was sealed.
pub fn end_broken_off(
    folder: &Path,
    trainee: &str,
    text_of: impl Fn(&str) -> Result<String, ErrandError>,
) -> Result<Option<PathBuf>, ErrandError> {
    let mut files = Vec::new();
    if folder.is_dir() {
        journals_in(folder, 1, &mut files)?;
    }
    let mut open: Vec<_> = files
        .into_iter()
        .filter_map(|file| {
            let events = match journal::check(&std::fs::read(&file).ok()?) {
                Ok((events, _)) => events,
                Err(damage) if damage.error.cut_off => damage.events,
                Err(_) => return None,
            };
            let (record, _) = Record::of(&events).ok()?;
            let PersonKind::Practised(practised) = record.opening.person.clone() else {
                return None;
            };
            let unrevealed = record.practice().revealed().is_none();
            let theirs = practised.trainee == trainee && unrevealed;
            theirs.then(|| (events[0].time, file, practised))
        })
        .collect();
    open.sort_by_key(|(began, ..)| *began);
    let Some((_, file, practised)) = open.pop() else {
        return Ok(None);
    };
    let text = text_of(&practised.exercise)?;
    if Practised::seal_of(&text) != practised.seal {
        let what = format!(
            "expected the exercise {:?} as it was sealed, found another text; choose it, and type what opens it",
            practised.exercise
        );
        return Err(ErrandError::in_file(&file, what));
    }
    let failed = |error: crate::visit::VisitError| ErrandError::failed(&file, error.to_string());
    let mut visit = resume(file.parent().unwrap_or(folder))?;
    let now = visit.record().last_moment();
    if !visit.record().closed() {
        visit.resume(now).map_err(failed)?;
        visit.step(Input::Close, now).map_err(failed)?;
    }
    visit.step(Input::Reveal(text), now).map_err(failed)?;
    Ok(Some(file))
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

/// What raters ticked, in the files of a folder, and in what was kept beside journals in the folders in it.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn observed_in(folder: &Path) -> Result<Vec<Observed>, ErrandError> {
    let mut all = Vec::new();
    ticked_in(folder, "", 4, &mut all)?;
    Ok(all)
}

/// The same of files whose names begin so, so many folders deep.
fn ticked_in(
    folder: &Path,
    begins: &str,
    deep: u32,
    all: &mut Vec<Observed>,
) -> Result<(), ErrandError> {
    let failed = |error: std::io::Error| ErrandError::in_file(folder, error);
    for entry in std::fs::read_dir(folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        let own = path.file_name().and_then(|own| own.to_str());
        let ends = path.extension().is_some_and(|ending| ending == "toml");
        if path.is_dir() && deep > 0 {
            ticked_in(&path, OBSERVED, deep - 1, all)?;
        } else if ends && own.is_some_and(|own| own.starts_with(begins)) {
            let text = crate::journal::whole_file::settings(&path)
                .map_err(|error| ErrandError::in_file(&path, error))?;
            let observed = Observed::from_toml(&text, &path.display().to_string());
            all.push(observed.map_err(|error| ErrandError::BadInput(error.to_string()))?);
        }
    }
    Ok(())
}

/// So begins the name of a file of what a rater ticked.
const OBSERVED: &str = "observed-";

/// How far each two raters agree of those who ticked in a folder and the folders in it, by name.
///
/// # Errors
/// As of what they ticked; also where no two ticked the same.
pub fn agreements_in(folder: &Path) -> Result<Vec<(String, String, Agreement)>, ErrandError> {
    let mut raters: BTreeMap<String, Vec<Observed>> = BTreeMap::new();
    for observed in observed_in(folder)? {
        let rater = observed.rater.trim().to_owned();
        raters.entry(rater).or_default().push(observed);
    }
    let mut found = Vec::new();
    for (one, first) in &raters {
        let after = raters.iter().filter(|(other, _)| *other > one);
        found.extend(after.filter_map(|(other, second)| {
            Some((one.clone(), other.clone(), Agreement::of(first, second)?))
        }));
    }
    if found.is_empty() {
        let what = "expected items that two raters ticked, of the same journals";
        return Err(ErrandError::in_file(folder, what));
    }
    Ok(found)
}

/// Keeps what a rater ticked beside the journal, over what the same rater ticked of it before; the file, and
/// what others ticked there.
///
/// # Errors
/// If it cannot be written, or another file there cannot be read.
pub fn keep_observed(
    folder: &Path,
    observed: &Observed,
) -> Result<(PathBuf, Vec<Observed>), ErrandError> {
    // No two raters share a file: whatever is neither letter nor digit stands as its number.
    let plain = |sign: char| match sign {
        _ if sign.is_alphanumeric() => sign.to_string(),
        _ => format!("_{:x}_", u32::from(sign)),
    };
    let rater: String = observed.rater.chars().map(plain).collect();
    let head = observed.journal_head.chars();
    let head: String = head.filter(char::is_ascii_alphanumeric).take(12).collect();
    let path = folder.join(format!("{OBSERVED}{rater}-{head}.toml"));
    let text = toml::to_string(observed).map_err(|error| ErrandError::Failed(error.to_string()))?;
    std::fs::write(&path, text).map_err(|error| ErrandError::in_file(&path, error))?;
    let mut others = observed_in(folder)?;
    others.retain(|one| one.rater != observed.rater);
    Ok((path, others))
}
