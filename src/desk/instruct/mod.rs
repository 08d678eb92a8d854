//! For instructors: exercises and sets for a class are written, tried and kept here, and the journals of a
//! class gathered.

mod class;
mod class_page;
mod entries;
mod form;
mod page;
mod work;

pub use class::Class;
pub use form::{Form, Kind};

use crate::errand::{self, PlanReport};
use crate::practice::{Exercise, Set, generate};
use crate::store::Cost;
use std::path::{Path, PathBuf};
use work::{Stands, Work};
use zeroize::Zeroize;

pub(super) use class_page::{exercise_line, next_line};
pub(super) use page::{Wanted, draw};

/// So many visits tell roughly what our own plan comes to, within half a minute.
pub const TRIES: u32 = 20;

/// What an instructor does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Side {
    /// Writes an exercise.
    #[default]
    Exercise,
    /// Writes a set for a class.
    Set,
    /// Gathers what a class did.
    Class,
}

/// Where an instructor stands.
pub struct Instructing {
    /// Whether the page is theirs.
    pub open: bool,
    /// What they do.
    pub side: Side,
    /// The exercise.
    pub exercise: Form,
    /// The set.
    pub set: Form,
    /// Which exercise is opened: a name of the library, `drawn-DIFFICULTY-SEED`, or a file.
    pub from: String,
    /// Where the exercise is kept, as it is typed.
    pub exercise_file: String,
    /// Where the set is kept.
    pub set_file: String,
    /// What opens a sealed exercise, and seals one that is kept; empty: it lies open.
    pub passphrase: String,
    /// How hard a drawn exercise is, 1 to 5.
    pub difficulty: u32,
    /// The seed by which one is drawn and tried, as it is typed.
    pub seed: String,
    /// One line that they have to know.
    pub message: Option<String>,
    /// What our own plan came to with the exercise.
    pub tried: Option<PlanReport>,
    /// What a class did.
    pub class: Class,
    trying: Option<Work<Vec<PlanReport>>>,
    /// The files that were opened or kept here, which may be written over.
    own_files: Vec<PathBuf>,
}

impl Default for Instructing {
    fn default() -> Instructing {
        Instructing {
            open: false,
            side: Side::default(),
            exercise: Form::of(entries::EXERCISE, entries::NEW_EXERCISE),
            set: Form::of(entries::SET, entries::NEW_SET),
            from: String::new(),
            exercise_file: String::new(),
            set_file: String::new(),
            passphrase: String::new(),
            difficulty: 1,
            seed: "1".into(),
            message: None,
            tried: None,
            class: Class::default(),
            trying: None,
            own_files: Vec::new(),
        }
    }
}

impl Instructing {
    /// Begins an exercise of nothing.
    pub fn new_exercise(&mut self) {
        self.take(entries::NEW_EXERCISE);
        self.exercise_file.clear();
    }

    /// Draws one.
    pub fn draw_exercise(&mut self) {
        match self.seed() {
            Ok(seed) => {
                self.take(&generate(self.difficulty, seed));
                self.exercise_file.clear();
            }
            Err(problem) => self.message = Some(problem),
        }
    }

    /// Opens the one that is named.
    pub fn open_exercise(&mut self) {
        let name = self.from.trim().to_owned();
        match errand::opened_exercise(&name, None, Some(&self.passphrase)) {
            Ok((text, _)) => {
                self.take(&text);
                let file = PathBuf::from(&name);
                self.exercise_file.clear();
                if file.is_file() {
                    self.exercise_file = name;
                    self.own_files.push(file);
                }
            }
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    fn take(&mut self, text: &str) {
        (self.tried, self.message) = (None, None);
        self.exercise = Form::of(entries::EXERCISE, text);
    }

    fn seed(&self) -> Result<u64, String> {
        let seed = self.seed.trim();
        seed.parse()
            .map_err(|_| format!("Seed: expected a whole number, found {seed:?}"))
    }

    /// The exercise's text, if nothing is wrong with it.
    fn exercise_text(&mut self) -> Option<String> {
        self.exercise.text(|text| {
            Exercise::from_toml(text, "exercise")
                .map(|_| ())
                .map_err(|error| (error.field, error.problem))
        })
    }

    /// Keeps the exercise in its file, sealed where a passphrase is given; the file, if it was kept.
    pub fn keep_exercise(&mut self) -> Option<PathBuf> {
        self.message = None;
        let mut text = self.exercise_text()?;
        let file = self.exercise_file.trim().to_owned();
        let sealed = !self.passphrase.is_empty();
        if sealed {
            match errand::sealed_text(&text, &file, &self.passphrase, Cost::USUAL) {
                Ok(shut) => text = shut,
                Err(error) => {
                    self.message = Some(error.to_string());
                    return None;
                }
            }
        }
        let kept = self.keep(&file, &text)?;
        self.passphrase.zeroize();
        let how = if sealed { "Kept, sealed" } else { "Kept" };
        self.message = Some(format!("{how}: {}", kept.display()));
        Some(kept)
    }

    /// Keeps the set in its file; the file, if it was kept.
    pub fn keep_set(&mut self) -> Option<PathBuf> {
        self.message = None;
        let file = self.set_file.trim().to_owned();
        let beside = Path::new(&file).parent().map(Path::to_owned);
        let text = self.set.text(|text| {
            let set = Set::from_toml(text, "set").map_err(|error| (error.field, error.problem))?;
            for name in &set.exercises {
                errand::exercise_front(name, beside.as_deref())
                    .map_err(|error| ("exercises".into(), error.to_string()))?;
            }
            Ok(())
        })?;
        let kept = self.keep(&file, &text)?;
        self.message = Some(format!("Kept: {}", kept.display()));
        Some(kept)
    }

    /// Writes a file; one that was not opened or kept here is not written over.
    fn keep(&mut self, file: &str, text: &str) -> Option<PathBuf> {
        let path = PathBuf::from(file);
        let problem = if file.is_empty() {
            Some("File: expected where it is to be kept, found nothing".to_owned())
        } else if path.exists() && !self.own_files.contains(&path) {
            Some(format!(
                "{file}: expected no such file yet, and it is not written over"
            ))
        } else {
            let folder = path.parent().filter(|one| !one.as_os_str().is_empty());
            let made = folder.map_or(Ok(()), std::fs::create_dir_all);
            let written = made.and_then(|()| std::fs::write(&path, text));
            written.err().map(|error| format!("{file}: {error}"))
        };
        if problem.is_some() {
            self.message = problem;
            return None;
        }
        self.own_files.push(path.clone());
        Some(path)
    }

    /// Lets our own plan examine the person some times.
    pub fn try_exercise(&mut self) {
        (self.message, self.tried) = (None, None);
        let seed = match self.seed() {
            Ok(seed) => seed,
            Err(problem) => {
                self.message = Some(problem);
                return;
            }
        };
        let Some(text) = self.exercise_text() else {
            return;
        };
        let Ok(exercise) = Exercise::from_toml(&text, "exercise") else {
            return;
        };
        let name = exercise.title.clone();
        self.trying = Some(Work::begin(move |progress| {
            errand::by_plan(&[(name, exercise)], (TRIES, seed), progress)
        }));
    }

    /// How many visits of a trial are made, while it is under way; takes what it came to when it is over.
    pub fn trying(&mut self) -> Option<usize> {
        match Work::stands(&mut self.trying)? {
            Stands::UnderWay(visits) => return Some(visits),
            Stands::Over(Ok(reports)) => self.tried = reports.into_iter().next(),
            Stands::Over(Err(error)) => self.message = Some(error.to_string()),
        }
        None
    }

    /// Stops the trial.
    pub fn stop_trying(&self) {
        if let Some(work) = &self.trying {
            work.stop();
        }
    }
}
