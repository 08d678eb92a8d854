//! Practice at the desk: which exercise, what is said, what is concluded, and the debrief.

use super::app::{Desk, Page};
use super::clock::VisitClock;
use super::instruct;
use super::observe::Observing;
use super::progress::{self, Progress};
use super::session::{Answers, Command, Parts, Session};
use crate::errand::{self, ExerciseWish};
use crate::journal::{Conclusion, Phrase, Together};
use crate::practice::{Advice, Cue, Debrief, Set, Told, advise, advise_sight, library};
use crate::quantity::Moment;
use crate::visit::Input;
use std::path::{Path, PathBuf};
use zeroize::Zeroize;

/// An exercise to choose: its name and what the trainee may know of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offered {
    /// Its name; of a file the file's own.
    pub name: String,
    /// By what it is found: its name, or its file.
    pub found_by: String,
    /// What it is called.
    pub title: String,
    /// Why the person comes.
    pub story: String,
    /// From 1, plain, to 5, wicked.
    pub difficulty: u32,
}

/// The exercise under way.
#[derive(Debug, Clone)]
pub struct UnderWay {
    /// What the trainee may know of it.
    pub offered: Offered,
    /// What the person tells when asked.
    told: Told,
    text: String,
}

/// Where practice stands.
#[derive(Debug, Clone)]
pub struct Practising {
    /// What can be chosen.
    pub offered: Vec<Offered>,
    /// The one under the hand.
    pub chosen: usize,
    /// Who practises.
    pub trainee: String,
    /// The file of a class set; empty: none.
    pub set_file: String,
    /// What opens an exercise that is sealed; gone as soon as one has begun.
    pub passphrase: String,
    /// Whether the helper speaks.
    pub coached: bool,
    /// What is concluded, as far as it is filled in.
    pub draft: Conclusion,
    /// The exercise under way.
    pub under_way: Option<UnderWay>,
    /// What came of it.
    pub debrief: Option<Debrief>,
    /// The folder of the journal that this is of.
    debriefed_in: PathBuf,
    /// What somebody saw who stood by.
    pub observing: Observing,
    /// One line that the trainee has to know.
    pub message: Option<String>,
    set: Option<Set>,
}

impl Default for Practising {
    fn default() -> Practising {
        Practising {
            offered: offered_of(library().iter().map(|(name, _)| (*name).to_owned()), None),
            chosen: 0,
            trainee: String::new(),
            set_file: String::new(),
            passphrase: String::new(),
            coached: false,
            draft: Conclusion::default(),
            under_way: None,
            debrief: None,
            debriefed_in: PathBuf::new(),
            observing: Observing::default(),
            message: None,
            set: None,
        }
    }
}

/// Beside the visits, in a folder of their own.
fn practice_folder(visit: &str) -> PathBuf {
    let visits = Path::new(visit.trim()).parent().map(Path::to_owned);
    visits.unwrap_or_default().join("practice")
}

fn offered_of(names: impl Iterator<Item = String>, beside: Option<&Path>) -> Vec<Offered> {
    let offered = names.filter_map(|found_by| {
        let front = errand::exercise_front(&found_by, beside).ok()?;
        Some(Offered {
            name: errand::exercise_name(&found_by),
            found_by,
            title: front.title,
            story: front.story,
            difficulty: front.difficulty,
        })
    });
    offered.collect()
}

impl Practising {
    /// Takes the class set that is named, or the library again where none is.
    pub fn read_set(&mut self) {
        self.message = None;
        let file = self.set_file.trim().to_owned();
        if file.is_empty() {
            *self = Practising {
                trainee: self.trainee.clone(),
                ..Practising::default()
            };
            return;
        }
        match errand::set_in(Path::new(&file)) {
            Ok(set) => {
                self.offered = offered_of(set.exercises.iter().cloned(), self.beside().as_deref());
                if self.offered.len() < set.exercises.len() {
                    self.message = Some(format!("{file}: some of its exercises cannot be read"));
                }
                self.chosen = 0;
                self.set = Some(set);
            }
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    /// Shows the debrief of a journal.
    ///
    /// # Errors
    /// One line, if it is none of an exercise that has ended, or was changed.
    pub fn show_debrief(&mut self, journal: &Path) -> Result<(), String> {
        let (found, row) = errand::debrief_in(journal).map_err(|error| error.to_string())?;
        self.debriefed_in = journal.parent().map(Path::to_owned).unwrap_or_default();
        self.observing = self.observing.next(row.head);
        self.debrief = Some(found);
        Ok(())
    }

    /// Offers the exercise of a file first, and chooses it.
    pub fn offer(&mut self, file: &Path) {
        // Whatever folder a set lies in, the file is looked for where it was kept.
        let file = std::path::absolute(file).unwrap_or_else(|_| file.to_owned());
        let found_by = file.display().to_string();
        self.offered.retain(|one| one.found_by != found_by);
        let first = offered_of(std::iter::once(found_by), self.beside().as_deref());
        self.offered.splice(0..0, first);
        self.chosen = 0;
    }

    /// Where the files of a set are looked for.
    fn beside(&self) -> Option<PathBuf> {
        let file = Path::new(self.set_file.trim());
        file.parent().map(Path::to_owned)
    }

    /// What the person says to something that is asked.
    #[must_use]
    pub fn replied(&self, phrase: Phrase) -> Option<&str> {
        let told = &self.under_way.as_ref()?.told;
        match phrase {
            Phrase::AsksWhichIsBetter => Some(&told.better),
            Phrase::AsksHistory => Some(&told.history),
            Phrase::AsksForGlasses => Some(&told.glasses),
            _ => None,
        }
    }

    /// What a guideline would do next, while the helper speaks: of sight where that is at hand, else of hearing
    /// first.
    #[must_use]
    pub fn advice(&self, session: &Session, sees: bool) -> Option<Advice> {
        let under_way = self.under_way.as_ref().filter(|_| self.coached)?;
        let (record, told) = (session.record(), &under_way.told);
        let of_sight = sees.then(|| advise_sight(record)).flatten();
        (!record.closed()).then(|| of_sight.unwrap_or_else(|| advise(record, told)))
    }

    /// Marks or unmarks a cue.
    pub fn toggle(&mut self, cue: Cue) {
        let name = cue.name().to_owned();
        match self.draft.cues.iter().position(|one| *one == name) {
            Some(at) => {
                self.draft.cues.remove(at);
            }
            None => self.draft.cues.push(name),
        }
    }

    /// Whether enough is said to come to an end.
    #[must_use]
    pub fn can_end(&self, session: &Session) -> bool {
        let plan = &session.record().opening.plan;
        let said = |planned: bool, said: Option<Together>| !planned || said.is_some();
        said(plan.hearing.is_some(), self.draft.hearing)
            && said(plan.sight.is_some(), self.draft.sight)
    }
}

impl Desk {
    /// Begins the exercise under the hand, in a folder of its own.
    pub(super) fn begin_exercise(&mut self) {
        self.practising.message = self.try_exercise().err();
    }

    fn try_exercise(&mut self) -> Result<(), String> {
        let practising = &self.practising;
        let trainee = practising.trainee.trim().to_owned();
        if trainee.is_empty() {
            return Err("Who practises? A name or a code is needed.".into());
        }
        let offered = practising
            .offered
            .get(practising.chosen)
            .cloned()
            .ok_or("Choose an exercise.")?;
        let stamp = jiff::Timestamp::now().strftime("%Y%m%d-%H%M%S").to_string();
        let own = offered.name.trim_end_matches(".toml");
        let folder = practice_folder(&self.form.folder).join(format!("{own}-{stamp}"));
        let wish = ExerciseWish {
            exercise: offered.found_by.clone(),
            trainee,
            set: practising.set.clone(),
            passphrase: Some(practising.passphrase.clone()),
            seed: jiff::Timestamp::now().as_nanosecond() as u64,
            folder: folder.clone(),
        };
        let begun = errand::begin_exercise(&wish, practising.beside().as_deref())
            .map_err(|error| error.to_string())?;
        let under_way = UnderWay {
            offered,
            told: begun.exercise.told.clone(),
            text: begun.text().to_owned(),
        };
        let now = (self.clock)();
        let mut visit = begun.visit;
        visit
            .step(Input::Automatic(false), Moment::START)
            .map_err(|error| error.to_string())?;
        let session = Session::new(Parts {
            visit,
            folder,
            clock: VisitClock::new(now, Moment::START, 1.0),
            sound: None,
            answers: Answers::Simulated(Box::new(begun.person)),
            writes_results: true,
        });
        self.practising.passphrase.zeroize();
        self.practising.under_way = Some(under_way);
        self.practising.draft = Conclusion::default();
        self.practising.debrief = None;
        self.practising.coached = false;
        self.sit_down(session, Vec::new(), now);
        self.page = Page::Practise;
        Ok(())
    }

    /// The trainee says something.
    pub(super) fn say(&mut self, phrase: Phrase) {
        self.command(Command::Say(phrase));
    }

    /// The helper speaks, or does not; either is in the journal.
    pub(super) fn let_help(&mut self, on: bool) {
        self.practising.coached = on;
        self.command(Command::Coach(on));
    }

    /// Keeps what somebody saw who stood by, beside the journal.
    pub(super) fn keep_observed(&mut self) {
        let practising = &mut self.practising;
        practising.observing.keep(&practising.debriefed_in);
    }

    /// Concludes, closes, reveals, and debriefs.
    pub(super) fn end_exercise(&mut self) {
        let Some(under_way) = self.practising.under_way.clone() else {
            return;
        };
        let conclusion = Box::new(self.practising.draft.clone());
        self.command(Command::Conclude(conclusion));
        self.command(Command::Close);
        self.command(Command::Reveal(under_way.text));
        let Some(session) = &self.session else {
            return;
        };
        let journal = session.folder().join(errand::JOURNAL_FILE);
        self.practising.message = self.practising.show_debrief(&journal).err();
    }

    /// Ends this trainee's latest exercise that was broken off, when the program ended in the midst of it; without a
    /// conclusion, since none was drawn.
    pub(super) fn end_broken_off(&mut self) {
        let practising = &self.practising;
        let trainee = practising.trainee.trim();
        if trainee.is_empty() {
            self.practising.message = Some("Whose exercise? A name or a code is needed.".into());
            return;
        }
        let beside = practising.beside();
        // Of a file only the name is in the journal: it is found where it is offered now.
        let text_of = |name: &str| {
            let mut offered = practising.offered.iter();
            let found_by = offered
                .find(|one| one.name == name)
                .map_or(name, |one| &one.found_by);
            let passphrase = Some(practising.passphrase.as_str());
            errand::opened_exercise(found_by, beside.as_deref(), passphrase).map(|(text, _)| text)
        };
        let folder = practice_folder(&self.form.folder);
        let done = errand::end_broken_off(&folder, trainee, text_of);
        self.practising.message = match done {
            Ok(Some(journal)) => self.practising.show_debrief(&journal).err(),
            Ok(None) => Some("No exercise under this name was broken off.".into()),
            Err(error) => Some(error.to_string()),
        };
    }

    /// Shows what this trainee's exercises add up to.
    pub(super) fn look_back(&mut self) {
        let trainee = self.practising.trainee.trim();
        if trainee.is_empty() {
            self.practising.message = Some("Whose exercises? A name or a code is needed.".into());
            return;
        }
        self.practising.message = None;
        self.progress = Progress::of(&practice_folder(&self.form.folder), trainee);
    }

    /// Does what the page of a trainee's progress wants beyond itself.
    pub(super) fn looked_back(&mut self, wanted: Option<progress::Wanted>) {
        match wanted {
            None => {}
            Some(progress::Wanted::Leave) => self.progress = Progress::default(),
            Some(progress::Wanted::Debrief(journal)) => {
                self.practising.message = self.practising.show_debrief(&journal).err();
            }
        }
    }

    /// Does what the instructor's page wants beyond itself.
    pub(super) fn instructed(&mut self, wanted: Option<instruct::Wanted>) {
        match wanted {
            None => {}
            Some(instruct::Wanted::Leave) => self.instructing.open = false,
            Some(instruct::Wanted::Practise(file)) => {
                self.instructing.open = false;
                self.practising.offer(&file);
            }
            Some(instruct::Wanted::Debrief(journal)) => {
                self.instructing.class.message = self.practising.show_debrief(&journal).err();
            }
        }
    }
}
