//! Visits of a store: begun, gone on with, settled, brought in, handed out, added to late, erased.

use super::people::because;
use super::who::person_file;
use super::{Archive, StoreError, line_hashes};
use crate::finding::MATHEMATICS;
use crate::journal::whole_file::LONGEST;
use crate::journal::{
    Acting, Body, Event, Head, Journal, JournalError, Opening, PersonKind, Record, check,
};
use crate::quantity::Moment;
use crate::report::Findings;
use crate::store::code::Code;
use crate::store::disk::Kept;
use crate::store::index::{FoundVisit, Index, State, VisitsOf};
use crate::store::people::Role;
use crate::store::register::{Deed, Entry, Filed, found_otherwise};
use crate::store::sealed::SealedStore;
use crate::store::signature::SignedHead;
use jiff::Timestamp;
use std::collections::BTreeMap;
use std::io;

/// A visit that was brought in from a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brought {
    /// Its code here.
    pub visit: Code,
    /// Whether a last line that was cut off was left out.
    pub cut_line_left_out: bool,
}

pub(super) fn folder_of(visit: &Code) -> String {
    format!("visits/{}", visit.plain())
}

impl Archive {
    /// The file of a visit's journal.
    pub(super) fn journal_file(&self, visit: &Code) -> String {
        let name = if self.encrypted() {
            "journal.sealed"
        } else {
            "journal.jsonl"
        };
        format!("{}/{name}", folder_of(visit))
    }

    /// Begins a visit. The register has it before its journal exists, so that it cannot be
    /// forgotten; whoever acts is named in the journal's second line.
    ///
    /// # Errors
    /// If the person is not known, or the disk says no.
    pub fn begin_visit(
        &mut self,
        opening: Opening,
        epoch: Timestamp,
    ) -> Result<(Code, Journal<Kept>), StoreError> {
        self.must_be_writable()?;
        let visit = Code::draw().map_err(|error| self.failed("visits", error))?;
        let filed = self.filed(&visit, &opening, epoch)?;
        self.does(Deed::VisitBegun(filed))?;
        let kept = self.create(&visit)?;
        let journal = Journal::begin(kept, opening, epoch);
        let mut journal = journal.map_err(|error| of_visit(&visit, error))?;
        if let Some(acting) = self.acting_user() {
            let named = journal.append(Body::Acts(acting), Moment::START);
            named
                .and_then(|()| journal.sync())
                .map_err(|error| of_visit(&visit, error))?;
        }
        Ok((visit, journal))
    }

    /// Opens the journal of a visit that is not over, to go on with it.
    ///
    /// # Errors
    /// If there is no such visit, it is over, or its journal does not hold.
    pub fn go_on_with(&mut self, visit: &Code) -> Result<Journal<Kept>, StoreError> {
        self.must_be_writable()?;
        match self.visit(visit)?.state {
            State::Open => {}
            State::BrokenOff => {
                self.must_stand(visit)?;
                let reason = "it goes on".into();
                let visit = visit.clone();
                self.does(Deed::VisitOpened { visit, reason })?;
            }
            State::Closed | State::Erased => {
                return Err(StoreError::Refused(format!(
                    "{visit}: expected a visit that is not over"
                )));
            }
        }
        self.open_journal(visit)
    }

    /// What is signed anew must be what was signed before, and more. What was, the register says.
    fn must_stand(&self, visit: &Code) -> Result<(), StoreError> {
        let entries = self.read_register()?;
        let (state, signed) = standing(&entries, visit);
        let checked = self.check_visit(visit, signed, state);
        checked.problem.map_or(Ok(()), |problem| {
            let what = format!("{visit}: {problem}; nothing was added to it");
            Err(StoreError::Refused(what))
        })
    }

    /// Signs where a visit stands now, and finds what a list says of it.
    ///
    /// # Errors
    /// If its journal does not hold, or the disk says no.
    pub fn settle(&mut self, visit: &Code) -> Result<SignedHead, StoreError> {
        let (record, head) = self.record_and_head(visit)?;
        let signed = self.sign(&self.journal(visit)?);
        let none = || of_visit(visit, JournalError::Empty);
        let signed = signed.ok_or_else(none)?;
        self.does(Deed::VisitSettled {
            visit: visit.clone(),
            closed: record.closed(),
            signed: signed.clone(),
        })?;
        // Figures of a newer mathematics are not ours to make.
        if record.opening.mathematics <= MATHEMATICS {
            self.find(visit, &record, &head);
        }
        Ok(signed)
    }

    /// Brings a journal in from elsewhere, to the byte. A last line that was cut off stays out.
    ///
    /// # Errors
    /// If it does not hold, the person is not known, or the disk says no.
    pub fn bring_in(&mut self, bytes: &[u8], person: Option<&Code>) -> Result<Brought, StoreError> {
        self.must_be_writable()?;
        let refused = |what: String| Err(StoreError::Refused(what));
        if bytes.len() as u64 > LONGEST {
            return refused(format!("expected a journal of at most {LONGEST} bytes"));
        }
        let (events, length) = match check(bytes) {
            Ok((events, _)) => (events, bytes.len()),
            Err(damage) if damage.error.cut_off && !damage.events.is_empty() => {
                (damage.events, damage.error.offset)
            }
            Err(damage) => return refused(damage.error.to_string()),
        };
        let (record, epoch) = match Record::of(&events) {
            Ok(found) => found,
            Err(error) => return refused(error.to_string()),
        };
        let visit = Code::draw().map_err(|error| self.failed("visits", error))?;
        let mut filed = filed_as(&visit, &record.opening, epoch);
        if let Some(person) = person {
            self.known(person)?;
            filed.person = Some(person.clone());
        }
        let file = self.journal_file(&visit);
        self.whole(&visit, &bytes[..length])
            .map_err(|error| self.failed(&file, error))?;
        self.does(Deed::VisitImported(filed))?;
        self.settle(&visit)?;
        Ok(Brought {
            visit,
            cut_line_left_out: length < bytes.len(),
        })
    }

    /// The bytes of a visit's journal, as they were written: plain, whatever lies on the disk.
    ///
    /// # Errors
    /// If there is none, or it was not encrypted by this store.
    pub fn journal(&self, visit: &Code) -> Result<Vec<u8>, StoreError> {
        let file = self.journal_file(visit);
        self.read_journal(&file, visit)
            .map_err(|error| self.failed(&file, error))
    }

    /// Hands a visit's journal out; the register keeps that it was.
    ///
    /// # Errors
    /// If there is none, or the disk says no.
    pub fn hand_out(&mut self, visit: &Code) -> Result<(Vec<u8>, Option<SignedHead>), StoreError> {
        let bytes = self.journal(visit)?;
        let signed = self.visit(visit)?.signed;
        if !self.read_only() {
            self.does(Deed::VisitExported {
                visit: visit.clone(),
            })?;
        }
        Ok((bytes, signed))
    }

    /// Adds notes or corrections to a visit that is over. They are marked late, and the head is
    /// signed anew.
    ///
    /// # Errors
    /// If an event cannot follow what is there (then nothing has changed), or the disk says no.
    pub fn add_late(
        &mut self,
        visit: &Code,
        what: Vec<Body>,
        reason: &str,
    ) -> Result<SignedHead, StoreError> {
        let reason = because(reason)?;
        self.must_be_writable()?;
        let (record, _) = self.record_and_head(visit)?;
        if !record.closed() {
            return Err(StoreError::Refused(format!(
                "{visit}: expected a visit that is over"
            )));
        }
        self.must_stand(visit)?;
        // Tried on a copy first: what is refused must change nothing, not even the register.
        let events = self.events(visit)?;
        try_events(visit, &events, &what)?;
        self.does(Deed::VisitOpened {
            visit: visit.clone(),
            reason,
        })?;
        let mut journal = self.open_journal(visit)?;
        let since = (self.clock)().duration_since(journal.epoch());
        let now = Moment::from_micros(i64::try_from(since.as_micros()).unwrap_or(0));
        let now = now.max(journal.record().last_moment());
        let acts = self.acting_user().map(Body::Acts);
        for body in acts.into_iter().chain(what) {
            journal
                .append(body, now)
                .map_err(|error| of_visit(visit, error))?;
        }
        journal.sync().map_err(|error| of_visit(visit, error))?;
        drop(journal);
        self.settle(visit)
    }

    /// Gives a visit to another person, or to none.
    ///
    /// # Errors
    /// If there is no such visit or person, no reason is given, or the disk says no.
    pub fn move_visit(
        &mut self,
        visit: &Code,
        person: Option<&Code>,
        reason: &str,
    ) -> Result<(), StoreError> {
        let reason = because(reason)?;
        self.visit(visit)?;
        if let Some(person) = person {
            self.known(person)?;
        }
        self.does(Deed::VisitMoved {
            visit: visit.clone(),
            person: person.cloned(),
            reason,
        })
    }

    /// Takes a visit away. A line of the register stays that says who did it, when and why, and what
    /// the head of its journal was.
    ///
    /// # Errors
    /// If there is no such visit, no reason is given, or the disk says no.
    pub fn erase_visit(&mut self, visit: &Code, reason: &str) -> Result<(), StoreError> {
        let reason = because(reason)?;
        let found = self.visit(visit)?;
        if found.state == State::Erased {
            return Err(StoreError::Refused(format!(
                "{visit}: was taken away before"
            )));
        }
        // Whoever writes it holds it; what goes on being written must not lose its name.
        let file = self.journal_file(visit);
        if matches!(self.disk.length(&file), Ok(Some(_))) {
            let held = self.disk.open(&file);
            held.map_err(|error| self.failed(&file, error))?;
        }
        let head = match self.journal(visit).ok().map(|bytes| check(&bytes)) {
            Some(Ok((_, head))) => head.hash,
            Some(Err(damage)) => damage.head.hash,
            None => String::new(),
        };
        let deed = Deed::VisitErased {
            visit: visit.clone(),
            reason,
            head,
        };
        self.does(deed)
    }

    /// Visits, the latest first.
    ///
    /// # Errors
    /// If the index cannot be asked.
    pub fn visits(&mut self, of: &VisitsOf) -> Result<Vec<FoundVisit>, StoreError> {
        self.ask(|index| index.visits(of))
    }

    /// How many visits there are.
    ///
    /// # Errors
    /// If the index cannot be asked.
    pub fn count_visits(&mut self) -> Result<u64, StoreError> {
        self.ask(Index::count_visits)
    }

    /// A visit by its code.
    ///
    /// # Errors
    /// If there is no such visit, or the index cannot be asked.
    pub fn visit(&mut self, visit: &Code) -> Result<FoundVisit, StoreError> {
        let found = self.ask(|index| index.visit(visit))?;
        found.ok_or_else(|| StoreError::Refused(format!("{visit}: expected a visit of this store")))
    }

    /// The record of a visit.
    ///
    /// # Errors
    /// If there is none, or its journal does not hold.
    pub fn record(&self, visit: &Code) -> Result<Record, StoreError> {
        Ok(self.record_and_head(visit)?.0)
    }

    /// What was found in a visit.
    ///
    /// # Errors
    /// If there is none, its journal does not hold, or its mathematics is newer than this program's.
    pub fn findings(&mut self, visit: &Code) -> Result<Findings, StoreError> {
        let (events, head) = self.events_and_head(visit)?;
        if let Some(kept) = self.kept_findings(visit, &head) {
            return Ok(kept);
        }
        let (record, _) = Record::of(&events).map_err(|error| of_visit(visit, error))?;
        let then = record.opening.mathematics;
        if then > MATHEMATICS {
            let what =
                format!("{visit}: mathematics: expected {MATHEMATICS} or less, found {then}");
            return Err(StoreError::Refused(what));
        }
        Ok(self.find(visit, &record, &head))
    }

    /// The events of a visit; a last line that was cut off is left out.
    ///
    /// # Errors
    /// If there is none, or its journal does not hold.
    pub fn events(&self, visit: &Code) -> Result<Vec<Event>, StoreError> {
        Ok(self.events_and_head(visit)?.0)
    }

    fn events_and_head(&self, visit: &Code) -> Result<(Vec<Event>, Head), StoreError> {
        match check(&self.journal(visit)?) {
            Ok(found) => Ok(found),
            Err(damage) if damage.error.cut_off => Ok((damage.events, damage.head)),
            Err(damage) => Err(of_visit(visit, damage.error.into())),
        }
    }

    pub(super) fn record_and_head(&self, visit: &Code) -> Result<(Record, Head), StoreError> {
        let (events, head) = self.events_and_head(visit)?;
        let (record, _) = Record::of(&events).map_err(|error| of_visit(visit, error))?;
        Ok((record, head))
    }

    /// Who acts, as a journal names them.
    #[must_use]
    pub fn acting_user(&self) -> Option<Acting> {
        let code = self.user.as_ref()?;
        let role = self.role?;
        Some(Acting {
            user: code.to_string(),
            role: role.name().into(),
            supervisor: self
                .supervisor
                .as_ref()
                .filter(|_| role == Role::Trainee)
                .map(Code::to_string),
        })
    }

    /// How a visit is filed, if the person it names is known here.
    fn filed(
        &mut self,
        visit: &Code,
        opening: &Opening,
        epoch: Timestamp,
    ) -> Result<Filed, StoreError> {
        let filed = filed_as(visit, opening, epoch);
        match (&opening.person, &filed.person) {
            (PersonKind::Living { .. }, Some(person)) => {
                self.known(person)?;
            }
            (PersonKind::Living { code }, None) => {
                let what =
                    format!("person: expected the code of a person of this store, found {code:?}");
                return Err(StoreError::Refused(what));
            }
            _ => {}
        }
        Ok(filed)
    }

    /// A visit that lay here and that the register does not know.
    pub(super) fn file_found(&mut self, visit: &Code) -> Result<(), StoreError> {
        let events = self.events(visit)?;
        let (record, epoch) = Record::of(&events).map_err(|error| of_visit(visit, error))?;
        let filed = filed_as(visit, &record.opening, epoch);
        self.does(Deed::VisitFound(filed))?;
        self.settle(visit).map(|_| ())
    }

    fn create(&self, visit: &Code) -> Result<Kept, StoreError> {
        let file = self.journal_file(visit);
        let made = || -> io::Result<Kept> {
            let kept = self.disk.create(&file)?;
            Ok(match self.sealing(&folder_of(visit)) {
                Some(sealing) => Box::new(SealedStore::create(kept, sealing)?),
                None => kept,
            })
        };
        made().map_err(|error| self.failed(&file, error))
    }

    fn open_journal(&self, visit: &Code) -> Result<Journal<Kept>, StoreError> {
        let file = self.journal_file(visit);
        let opened = || -> io::Result<Kept> {
            let kept = self.disk.open(&file)?;
            Ok(match self.sealing(&folder_of(visit)) {
                Some(sealing) => Box::new(SealedStore::open(kept, sealing)?),
                None => kept,
            })
        };
        let kept = opened().map_err(|error| self.failed(&file, error))?;
        Journal::open(kept).map_err(|error| of_visit(visit, error))
    }

    fn read_journal(&self, file: &str, visit: &Code) -> io::Result<Vec<u8>> {
        let bytes = self.disk.read_at_most(file, LONGEST)?;
        let Some(sealing) = self.sealing(&folder_of(visit)) else {
            return Ok(bytes);
        };
        let mut store = SealedStore::open(crate::journal::MemoryStore { bytes }, sealing)?;
        crate::journal::Store::read(&mut store)
    }

    /// Writes a journal that is known whole.
    fn whole(&self, visit: &Code, bytes: &[u8]) -> io::Result<()> {
        let file = self.journal_file(visit);
        match self.sealing(&folder_of(visit)) {
            None => self.disk.replace(&file, bytes),
            Some(sealing) => self.disk.replace(&file, &sealing.whole(bytes)?),
        }
    }

    fn remove_files(&self, visit: &Code) -> Result<(), StoreError> {
        let folder = folder_of(visit);
        let names = self.disk.names(&folder).unwrap_or_default();
        for name in names {
            let file = format!("{folder}/{name}");
            self.disk
                .remove(&file)
                .map_err(|error| self.failed(&file, error))?;
        }
        Ok(())
    }

    /// Removes the files of what this line says was taken away.
    pub(super) fn remove_what_is_erased(&self, entry: &Entry) -> Result<(), StoreError> {
        match &entry.deed {
            Deed::VisitErased { visit, .. } => self.remove_files(visit),
            Deed::PersonErased { person, .. } => self.remove_identity(person),
            _ => Ok(()),
        }
    }

    fn remove_identity(&self, person: &Code) -> Result<(), StoreError> {
        let file = person_file(person);
        let removed = self.disk.remove(&file);
        removed.map_err(|error| self.failed(&file, error))
    }

    /// Removes what was taken away, and the power failed before its files were gone. Rare, so the register is
    /// asked: nothing is removed because an index says so.
    pub(super) fn finish_erasing(&mut self) -> Result<(), StoreError> {
        let (mut people, mut visits) = self.ask(Index::erased)?;
        people.retain(|person| !matches!(self.disk.length(&person_file(person)), Ok(None)));
        visits.retain(
            |visit| !matches!(self.disk.names(&folder_of(visit)), Ok(names) if names.is_empty()),
        );
        if people.is_empty() && visits.is_empty() {
            return Ok(());
        }
        let entries = self.read_register()?;
        let mut erased = entries.iter().filter(|entry| match &entry.deed {
            Deed::VisitErased { visit, .. } => visits.contains(visit),
            Deed::PersonErased { person, .. } => people.contains(person),
            _ => false,
        });
        erased.try_for_each(|entry| self.remove_what_is_erased(entry))
    }

    /// Visits that the program left open: over but not signed, or of which nothing was written.
    ///
    /// The index of a plain store can be written by whoever can write the journals, so which they are, and
    /// what was signed of them before, is asked of the register.
    pub(super) fn recover_open(&mut self) -> Result<(), StoreError> {
        let by_index = self.ask(Index::open_visits)?;
        if by_index.is_empty() {
            return Ok(());
        }
        let entries = self.read_register()?;
        if let Some(what) = found_otherwise(&entries) {
            self.notices.push(format!(
                "{what}: nothing is signed by itself until `veridical mend` acknowledges it"
            ));
            return Ok(());
        }
        let mut open = BTreeMap::new();
        for entry in &entries {
            match &entry.deed {
                Deed::VisitBegun(filed) | Deed::VisitImported(filed) | Deed::VisitFound(filed) => {
                    open.insert(&filed.visit, None);
                }
                Deed::VisitOpened { visit, .. } => drop(open.insert(visit, None)),
                Deed::VisitSettled { visit, .. } | Deed::VisitErased { visit, .. } => {
                    open.remove(visit);
                }
                _ => {}
            }
        }
        for (visit, signed) in &mut open {
            *signed = standing(&entries, visit).1;
        }
        if !open.keys().copied().eq(by_index.iter()) {
            self.make_index_again("it did not say what the register says")?;
        }
        for (visit, signed) in open {
            self.recover(visit, signed)?;
        }
        Ok(())
    }

    fn recover(&mut self, visit: &Code, signed: Option<&SignedHead>) -> Result<(), StoreError> {
        let file = self.journal_file(visit);
        let there = self.disk.length(&file);
        let bytes = match there.map_err(|error| self.failed(&file, error))? {
            None => Vec::new(),
            Some(_) => match self.journal(visit) {
                Ok(bytes) => bytes,
                Err(error) => {
                    self.notices.push(error.to_string());
                    return Ok(());
                }
            },
        };
        let verdict =
            signed.map(|signed| signed.verdict(&line_hashes(&bytes), Some(self.public_key())));
        if let Some(verdict) = verdict.filter(|verdict| !verdict.holds()) {
            let told = verdict.told();
            self.notices
                .push(format!("visit {visit}: {told}; it was not signed anew"));
            return Ok(());
        }
        // Not even the first line was whole: nothing had been presented.
        if !bytes.contains(&b'\n') {
            return self.does(Deed::VisitErased {
                visit: visit.clone(),
                reason: "it ended before its first line was written".into(),
                head: String::new(),
            });
        }
        match self.record_and_head(visit) {
            Ok((record, _)) if record.closed() => {
                // A late entry that was cut off is taken out and told of, as in any visit.
                if !bytes.ends_with(b"\n") {
                    drop(self.open_journal(visit)?);
                }
                self.settle(visit)?;
            }
            Ok(_) => {}
            Err(error) => self.notices.push(error.to_string()),
        }
        Ok(())
    }
}

/// Where a visit stands by these lines of the register, and its head as it was signed last.
fn standing<'a>(entries: &'a [Entry], of: &Code) -> (State, Option<&'a SignedHead>) {
    let (mut state, mut head) = (State::Open, None);
    for entry in entries {
        match &entry.deed {
            Deed::VisitOpened { visit, .. } if visit == of => state = State::Open,
            Deed::VisitErased { visit, .. } if visit == of => state = State::Erased,
            Deed::VisitSettled {
                visit,
                closed,
                signed,
            } if visit == of => {
                state = if *closed {
                    State::Closed
                } else {
                    State::BrokenOff
                };
                head = Some(signed);
            }
            _ => {}
        }
    }
    (state, head)
}

fn of_visit(visit: &Code, error: JournalError) -> StoreError {
    StoreError::Journal {
        visit: visit.to_string(),
        error,
    }
}

fn try_events(visit: &Code, events: &[Event], what: &[Body]) -> Result<(), StoreError> {
    let mut all = events.to_vec();
    let last = events.last().cloned();
    for (body, number) in what.iter().zip(events.len() as u64 + 1..) {
        let Some(last) = &last else { break };
        all.push(Event {
            number,
            body: body.clone(),
            ..last.clone()
        });
    }
    let refused = |error: JournalError| StoreError::Refused(format!("{visit}: {error}"));
    Record::of(&all).map(|_| ()).map_err(refused)
}

fn filed_as(visit: &Code, opening: &Opening, epoch: Timestamp) -> Filed {
    let (person, simulated) = match &opening.person {
        PersonKind::Living { code } => (code.parse().ok(), None),
        other => (None, Some(other.name().to_owned())),
    };
    Filed {
        visit: visit.clone(),
        person,
        began: epoch,
        plan: opening.plan.name.clone(),
        simulated,
    }
}
