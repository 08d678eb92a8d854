//! The store at the desk: people, their visits, and the lock. How it is drawn stands in `page.rs`.

mod elsewhere;
mod page;
mod shown;
mod who;
mod work;

pub(super) use page::{Wanted, draw, draw_locked};

pub use shown::ShownVisit;

use super::broken_off::BrokenOff;
use crate::errand;
use crate::journal::Acting;
use crate::store::{
    Archive, Code, Cost, Course, Folder, FoundPerson, FoundUser, FoundVisit, Opener, Role,
    SHORTEST_PASSPHRASE, State, VisitsOf, shown_head,
};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use zeroize::Zeroize;

/// After so long without a key or a pointer the desk locks (our choice; no rule sets a number).
const IDLE: Duration = Duration::from_mins(5);
/// So many rows are shown; whoever looks for more writes another letter.
const ROWS: u32 = 60;

/// Where the store stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// There is none at this place.
    None,
    /// There is one, and it has to be opened.
    Closed,
    /// Something is done with the whole of it.
    Working,
    /// It is open.
    Open,
}

/// What is typed to enter a person.
#[derive(Debug, Clone, Default)]
pub struct NewPerson {
    /// The name.
    pub name: String,
    /// The day of birth, as typed.
    pub born: String,
    /// A number elsewhere.
    pub number: String,
}

/// The store at the desk.
#[expect(clippy::struct_excessive_bools, reason = "each is a state of its own")]
pub struct Records {
    place: PathBuf,
    archive: Option<Archive>,
    there: bool,
    encrypted: bool,
    /// The passphrase as it is typed, and again when it is new.
    pub(super) passphrase: [String; 2],
    /// Whether an unencrypted store was asked for, after what that means was read.
    pub(super) plainly: bool,
    /// The recovery code, shown once.
    recovery: Option<String>,
    /// The words that people are looked for by.
    pub(super) words: String,
    looked_for: Option<String>,
    people: Vec<FoundPerson>,
    chosen: Option<FoundPerson>,
    visits: Vec<FoundVisit>,
    course: Option<Course>,
    users: Vec<FoundUser>,
    /// A person about to be entered.
    pub(super) new: NewPerson,
    /// Somebody who works here, about to be entered.
    pub(super) new_user: (String, Role),
    /// The visit that is shown with its notes.
    shown: Option<ShownVisit>,
    /// Why the chosen person's name is taken away, as typed.
    pub(super) forget_why: String,
    /// Where a backup lies that a store is made of, as typed.
    pub(super) copy_at: String,
    /// Who the chosen person is, corrected, and why.
    corrected: NewPerson,
    correct_why: String,
    /// What is brought in from elsewhere, as typed.
    elsewhere: elsewhere::Typed,
    /// A trainee who wants to act, and still has to say who answers for it.
    trainee: Option<Code>,
    /// What is done with the whole store; whoever does it has the archive.
    work: Option<work::Work>,
    /// Whether the store is checked as soon as it is open, because it was just restored.
    check_next: bool,
    /// The visit of the store that is under way.
    under_way: Option<Code>,
    /// The person for whom the next visit is.
    for_person: Option<Code>,
    message: Option<String>,
    locked: bool,
    touched: Instant,
    /// So long without a touch, and it locks.
    idle: Duration,
}

impl Records {
    /// The store at a place, not opened yet; one that is not encrypted opens by itself.
    #[must_use]
    pub fn at(place: PathBuf, now: Instant) -> Records {
        let mut records = Records {
            there: false,
            encrypted: false,
            archive: None,
            passphrase: Default::default(),
            plainly: false,
            recovery: None,
            words: String::new(),
            looked_for: None,
            people: Vec::new(),
            chosen: None,
            visits: Vec::new(),
            course: None,
            users: Vec::new(),
            new: NewPerson::default(),
            new_user: (String::new(), Role::Examiner),
            shown: None,
            forget_why: String::new(),
            copy_at: String::new(),
            corrected: NewPerson::default(),
            correct_why: String::new(),
            elsewhere: elsewhere::Typed::default(),
            trainee: None,
            work: None,
            check_next: false,
            under_way: None,
            for_person: None,
            message: None,
            locked: false,
            touched: now,
            idle: IDLE,
            place,
        };
        records.look();
        records
    }

    /// Looks whether there is a store, and opens one that asks for nothing.
    fn look(&mut self) {
        let known = Archive::is_encrypted(&Folder::new(&self.place));
        self.there = known.is_some();
        self.encrypted = known == Some(true);
        if known == Some(false) && self.archive.is_none() {
            self.open(None);
        }
    }

    /// Where the store stands.
    #[must_use]
    pub fn standing(&self) -> Standing {
        if self.work.is_some() {
            return Standing::Working;
        }
        match (&self.archive, self.there) {
            (Some(_), _) => Standing::Open,
            (None, true) => Standing::Closed,
            (None, false) => Standing::None,
        }
    }

    /// Where it lies.
    #[must_use]
    pub fn place(&self) -> &Path {
        &self.place
    }

    /// Whether it is encrypted at rest.
    #[must_use]
    pub fn encrypted(&self) -> bool {
        self.encrypted
    }

    /// Whether the desk is locked.
    #[must_use]
    pub fn locked(&self) -> bool {
        self.locked
    }

    /// One line that the examiner has to know.
    #[must_use]
    pub fn message(&self) -> Option<&str> {
        self.message.as_deref()
    }

    /// The recovery code of a store that was just made; shown until it was seen to.
    #[must_use]
    pub fn recovery(&self) -> Option<&str> {
        self.recovery.as_deref()
    }

    /// People found.
    #[must_use]
    pub fn people(&self) -> &[FoundPerson] {
        &self.people
    }

    /// The person whose visits are shown.
    #[must_use]
    pub fn chosen(&self) -> Option<&FoundPerson> {
        self.chosen.as_ref()
    }

    /// Their visits, or the latest of all.
    #[must_use]
    pub fn visits(&self) -> &[FoundVisit] {
        &self.visits
    }

    /// Their course, once it was asked for.
    #[must_use]
    pub fn course(&self) -> Option<&Course> {
        self.course.as_ref()
    }

    /// Everybody who works here.
    #[must_use]
    pub fn users(&self) -> &[FoundUser] {
        &self.users
    }

    /// Who acts.
    #[must_use]
    pub fn acting(&self) -> Option<&Code> {
        self.archive.as_ref()?.acting()
    }

    /// What is wrong with the passphrase as it is typed twice, if anything is.
    #[must_use]
    pub fn passphrase_problem(&self) -> Option<String> {
        let [one, two] = &self.passphrase;
        if one.chars().count() < SHORTEST_PASSPHRASE {
            return Some(format!(
                "At least {SHORTEST_PASSPHRASE} characters; a few words that only you would put together do well."
            ));
        }
        (one != two).then(|| "The two are not the same.".into())
    }

    /// Makes a store: encrypted under what was typed, or plainly.
    pub fn found(&mut self, cost: Cost) {
        let passphrase = (!self.plainly).then(|| self.passphrase[0].clone());
        let disk = Box::new(Folder::new(&self.place));
        let founded = Archive::found(disk, passphrase.as_deref(), cost, errand::PROGRAM);
        self.forget_passphrase();
        match founded {
            Ok(founded) => {
                (self.there, self.encrypted) = (true, founded.archive.encrypted());
                self.recovery = founded.recovery;
                self.take(founded.archive);
            }
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    /// Writes the recovery sheet beside the store's folder, to be printed and then deleted.
    pub fn write_sheet(&mut self) {
        let (Some(recovery), Some(archive)) = (&self.recovery, &self.archive) else {
            return;
        };
        let sheet = self.place.with_file_name("recovery-sheet.pdf");
        let written = errand::write_sheet(archive.code(), recovery, &sheet);
        self.message = Some(match written {
            Ok(()) => format!(
                "Written: {}. Print it, lock it away, and delete the file.",
                sheet.display()
            ),
            Err(error) => error.to_string(),
        });
    }

    /// The recovery sheet was seen to.
    pub fn sheet_done(&mut self) {
        if let Some(mut recovery) = self.recovery.take() {
            recovery.zeroize();
        }
        self.message = None;
    }

    /// Opens the store with what was typed, or unlocks the desk by it.
    pub fn open_typed(&mut self) {
        let opener = Opener::Passphrase(self.passphrase[0].clone());
        self.forget_passphrase();
        if !self.locked {
            return self.open(Some(&opener));
        }
        let opens = !self.encrypted || Archive::opens(&Folder::new(&self.place), &opener);
        if opens {
            (self.locked, self.message) = (false, None);
        } else {
            self.message = Some("This passphrase does not open it.".into());
        }
    }

    fn open(&mut self, opener: Option<&Opener>) {
        match Archive::open(Box::new(Folder::new(&self.place)), opener) {
            Ok(archive) => self.take(archive),
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    fn take(&mut self, mut archive: Archive) {
        let notices = archive.notices();
        self.message = (!notices.is_empty()).then(|| notices.join("; "));
        self.users = archive.users().unwrap_or_default();
        self.archive = Some(archive);
        self.refresh();
        if self.check_next {
            self.check_all();
        }
    }

    fn forget_passphrase(&mut self) {
        self.passphrase.iter_mut().for_each(Zeroize::zeroize);
    }

    /// Somebody did something at the desk.
    pub fn touch(&mut self, now: Instant) {
        self.touched = now;
    }

    /// After how long an idle desk is locked.
    pub fn lock_after(&mut self, idle: Duration) {
        self.idle = idle;
    }

    /// Locks after it was idle long enough, if it may be locked now.
    pub fn lock_if_idle(&mut self, now: Instant, may: bool) {
        if !may {
            // A test that lasts longer than that is no idleness.
            self.touched = now;
        } else if now.saturating_duration_since(self.touched) >= self.idle {
            self.lock();
        }
    }

    /// Locks the desk; without an open store there is nothing to lock.
    pub fn lock(&mut self) {
        self.locked = self.archive.is_some() || self.work.is_some();
        self.message = None;
        self.forget_passphrase();
    }

    /// When the desk has to look at the lock again.
    #[must_use]
    pub fn next_look(&self, now: Instant) -> Option<Duration> {
        let since = now.saturating_duration_since(self.touched);
        (self.archive.is_some() && !self.locked).then(|| self.idle.saturating_sub(since))
    }

    /// Finds again if the words have changed.
    pub fn find(&mut self) {
        if self.looked_for.as_deref() != Some(self.words.as_str()) {
            self.refresh();
        }
    }

    fn refresh(&mut self) {
        self.looked_for = Some(self.words.clone());
        let words = self.words.clone();
        self.people = self
            .ask(|archive| archive.people(&words, ROWS))
            .unwrap_or_default();
        let person = self.chosen.as_ref().map(|one| one.code.clone());
        self.visits = self
            .ask(|archive| {
                archive.visits(&VisitsOf {
                    person: person.clone(),
                    most: ROWS,
                    after: 0,
                })
            })
            .unwrap_or_default();
    }

    fn ask<T>(
        &mut self,
        of: impl FnOnce(&mut Archive) -> Result<T, crate::store::StoreError>,
    ) -> Option<T> {
        let archive = self.archive.as_mut()?;
        match of(archive) {
            Ok(found) => Some(found),
            Err(error) => {
                self.message = Some(error.to_string());
                None
            }
        }
    }

    /// Shows a person's visits, or everybody's.
    pub fn choose(&mut self, person: Option<FoundPerson>) {
        self.chosen = person;
        (self.course, self.shown) = (None, None);
        self.forget_why.clear();
        self.correct_why.clear();
        self.corrected = self.chosen.as_ref().map(NewPerson::of).unwrap_or_default();
        self.refresh();
    }

    /// Shows the chosen person as the store knows them now.
    fn choose_again(&mut self) {
        let person = self.chosen.as_ref().map(|one| one.code.clone());
        let found = person.and_then(|person| self.ask(|archive| archive.known(&person)));
        self.choose(found);
    }

    /// Lays the visits of the chosen person beside one another.
    pub fn compare(&mut self) {
        let Some(person) = self.chosen.as_ref().map(|one| one.code.clone()) else {
            return;
        };
        let Some(archive) = &mut self.archive else {
            return;
        };
        match errand::course_of(archive, &person) {
            Ok(course) => {
                let left_out = course.left_out.join("; ");
                self.message = (!left_out.is_empty()).then(|| format!("Left out: {left_out}"));
                self.course = Some(course);
            }
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    /// Enters the person that was typed.
    pub fn add(&mut self) {
        let who = match self.new.identity() {
            Ok(who) => who,
            Err(what) => {
                self.message = Some(what);
                return;
            }
        };
        if let Some(person) = self.ask(|archive| archive.add_person(&who)) {
            self.new = NewPerson::default();
            self.message = None;
            let found = self.ask(|archive| archive.known(&person));
            self.choose(found);
        }
    }

    /// Takes away who the chosen person is; what was measured stays, under a code that leads to nobody.
    pub fn erase_person(&mut self) {
        let Some(person) = self.chosen.as_ref().map(|one| one.code.clone()) else {
            return;
        };
        let why = self.forget_why.clone();
        if self
            .ask(|archive| archive.erase_person(&person, &why))
            .is_some()
        {
            self.message = Some(format!(
                "The name of {person} was taken away; who did it, when and why stays in the register."
            ));
            self.choose(None);
        }
    }

    /// Enters somebody who works here, as typed.
    pub fn add_user(&mut self) {
        let (name, role) = (self.new_user.0.trim().to_owned(), self.new_user.1);
        if self.ask(|archive| archive.add_user(&name, role)).is_some() {
            self.new_user = (String::new(), Role::Examiner);
            self.message = None;
            self.users = self.ask(Archive::users).unwrap_or_default();
        }
    }

    /// Somebody works here no more; what they did stays theirs.
    pub fn user_leaves(&mut self, user: &Code) {
        if self.ask(|archive| archive.user_leaves(user)).is_some() {
            self.message = None;
            self.users = self.ask(Archive::users).unwrap_or_default();
        }
    }

    /// From here on this user acts.
    pub fn acts(&mut self, user: Option<Code>, supervisor: Option<Code>) {
        let done = self.ask(|archive| archive.acts(user, supervisor));
        if done.is_some() {
            self.message = None;
        }
    }

    /// Who acts, as a journal names them.
    #[must_use]
    pub fn acting_now(&self) -> Option<Acting> {
        self.archive.as_ref()?.acting_user()
    }

    /// The next visit is for this person, in the store.
    pub fn visit_for(&mut self, person: Option<Code>) {
        self.for_person = person;
    }

    /// For whom the next visit is, in the store.
    #[must_use]
    pub fn for_person(&self) -> Option<&Code> {
        self.for_person.as_ref()
    }

    /// The store, for a visit that begins or goes on in it.
    pub(super) fn archive_mut(&mut self) -> Option<&mut Archive> {
        self.archive.as_mut()
    }

    /// A visit of the store is under way.
    pub(super) fn began(&mut self, visit: Code) {
        self.under_way = Some(visit);
    }

    /// The visit of the store that is under way.
    #[must_use]
    pub fn under_way(&self) -> Option<&Code> {
        self.under_way.as_ref()
    }

    /// The visit that was under way is over: signs it. Gives one line for the examiner.
    pub(super) fn settle(&mut self) -> Option<String> {
        let visit = self.under_way.take()?;
        self.for_person = None;
        let signed = self.ask(|archive| archive.settle(&visit))?;
        self.refresh();
        Some(format!(
            "Kept in the store as {visit}, signed. Its head begins {}: write that down elsewhere to pin it.",
            shown_head(&signed.head)
        ))
    }

    /// What it takes to go on with a visit that was left.
    #[must_use]
    pub fn left_open(&self, visit: &FoundVisit) -> Option<BrokenOff> {
        let open = matches!(visit.state, State::Open | State::BrokenOff);
        let archive = self.archive.as_ref().filter(|_| open)?;
        let record = archive.record(&visit.code).ok()?;
        Some(BrokenOff {
            trials: record.trials().len(),
            opening: record.opening,
        })
    }
}
