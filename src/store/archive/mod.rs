//! The store as a whole: the files, the register, the index and the keys brought together.
//!
//! What is done goes in one order: files first where they come whole (those of who people are beside their
//! place), then the register's line, which is durable before the index hears of it. So a loss of power at any moment leaves at most files
//! that the register does not know, which `mend` finds, or an index that is behind, which is
//! brought up to date when the store is opened.

mod check;
mod encrypt;
mod error;
mod found;
mod kept;
mod mend;
mod people;
mod visits;
mod who;

pub use check::{CheckedStore, CheckedVisit, NOT_FOUND_OUT, line_hashes};
pub use error::StoreError;
pub use found::Founded;
pub(super) use kept::KEPT;
pub use mend::Mended;
pub use visits::Brought;

use super::code::Code;
use super::disk::{Disk, Hold};
use super::index::{Index, IndexError};
use super::people::Role;
use super::register::{Deed, Entry, Register};
use super::sealed::Sealing;
use super::secret::{KEY, Ring, open_blob, seal_blob};
use super::signature::{SignedHead, Signing};
use crate::journal::{Record, check};
use jiff::Timestamp;
use zeroize::Zeroizing;

/// The version of the folder's layout.
pub const LAYOUT: u32 = 2;
/// What a store says of itself.
const ABOUT: &str = "store.json";
/// The secret half of the key that signs, where nothing is encrypted.
const SIGNING_KEY: &str = "installation.key";
const INDEX: &str = "index.sqlite";
const INDEX_SEALED: &str = "index.sealed";
/// After so many deeds the encrypted index is kept anew.
const DEEDS_BETWEEN: u32 = 500;

/// A store, open.
pub struct Archive {
    disk: Box<dyn Disk>,
    hold: Hold,
    about: found::About,
    ring: Option<Ring>,
    signing: Signing,
    register: Register,
    index: Index,
    user: Option<Code>,
    role: Option<Role>,
    supervisor: Option<Code>,
    notices: Vec<String>,
    clock: fn() -> Timestamp,
    deeds: u32,
}

impl Archive {
    /// The store's own code.
    #[must_use]
    pub fn code(&self) -> &Code {
        &self.about.store
    }

    /// Whether everything is encrypted at rest.
    #[must_use]
    pub fn encrypted(&self) -> bool {
        self.ring.is_some()
    }

    /// Whether it can be read only.
    #[must_use]
    pub fn read_only(&self) -> bool {
        matches!(self.hold, Hold::ReadOnly)
    }

    /// The public half of the key that signs here, 64 hexadecimal digits.
    #[must_use]
    pub fn public_key(&self) -> &str {
        &self.about.key
    }

    /// Signs a journal that lies outside; the register keeps that it did, and which.
    ///
    /// # Errors
    /// If it does not hold, a visit of this store begins as it does and stands elsewhere, or the disk says no.
    pub fn sign_outside(&mut self, journal: &[u8]) -> Result<SignedHead, StoreError> {
        let refused = |what: String| StoreError::Refused(what);
        let (events, _) = check(journal).map_err(|damage| refused(damage.error.to_string()))?;
        Record::of(&events).map_err(|error| refused(error.to_string()))?;
        let hashes = line_hashes(journal);
        for entry in self.read_register()? {
            if let Deed::VisitSettled { visit, signed, .. } = &entry.deed
                && hashes.first() == Some(&signed.begins)
                && !hashes.contains(&signed.head)
            {
                return Err(refused(format!(
                    "visit {visit} of this store begins so, and stands at another head: nothing was signed"
                )));
            }
        }
        let signed = self.sign(journal);
        let signed =
            signed.ok_or_else(|| refused("line 1: expected the opening of a visit".into()))?;
        self.does(Deed::JournalSigned {
            signed: signed.clone(),
        })?;
        Ok(signed)
    }

    /// Signs the head of a journal with the key of this installation. None: it has no whole line.
    #[must_use]
    pub fn sign(&self, journal: &[u8]) -> Option<SignedHead> {
        self.signing.sign(&line_hashes(journal), (self.clock)())
    }

    /// The disk that it lies on.
    pub(super) fn disk(&self) -> &dyn Disk {
        &*self.disk
    }

    /// Where it lies, in words.
    #[must_use]
    pub fn told(&self) -> String {
        self.disk.told()
    }

    /// What was noticed since the last time this was asked: one line each.
    pub fn notices(&mut self) -> Vec<String> {
        std::mem::take(&mut self.notices)
    }

    /// From here on this user acts; a trainee with the supervisor who answers for it. None: nobody
    /// says who they are.
    ///
    /// # Errors
    /// If nobody of these codes works here, or a trainee acts for themselves.
    pub fn acts(&mut self, user: Option<Code>, supervisor: Option<Code>) -> Result<(), StoreError> {
        let users = self.users()?;
        let role = |code: &Code| {
            let known = users.iter().find(|one| one.code == *code && one.works_here);
            let what = || StoreError::Refused(format!("{code}: expected somebody who works here"));
            known.map(|one| one.role.clone()).ok_or_else(what)
        };
        let acts_as = user.as_ref().map(role).transpose()?;
        let trainee = acts_as.as_deref() == Some(Role::Trainee.name());
        let answers = supervisor.as_ref().map(role).transpose()?;
        if trainee
            && answers
                .as_deref()
                .is_none_or(|role| role == Role::Trainee.name())
        {
            let what = "supervisor: expected a supervisor or examiner who answers for the trainee";
            return Err(StoreError::Refused(what.into()));
        }
        self.role = acts_as.as_deref().and_then(Role::named);
        (self.user, self.supervisor) = (user, supervisor.filter(|_| trainee));
        Ok(())
    }

    /// Who acts.
    #[must_use]
    pub fn acting(&self) -> Option<&Code> {
        self.user.as_ref()
    }

    /// Reads another clock; for tests.
    pub fn set_clock(&mut self, clock: fn() -> Timestamp) {
        self.clock = clock;
    }

    /// Writes into the register what was done, and into the index what follows from it.
    pub(super) fn does(&mut self, deed: Deed) -> Result<(), StoreError> {
        self.must_be_writable()?;
        let (now, last) = ((self.clock)(), self.register.last_time());
        let jumped = now < last;
        let user = self.user.clone();
        let mut entries = Vec::new();
        let deeds = jumped
            .then_some(Deed::ClockWentBack { last })
            .into_iter()
            .chain([deed]);
        for deed in deeds {
            let kept = self.register.append(now, user.as_ref(), deed);
            entries.push(kept.map_err(|error| self.failed("register", error))?);
        }
        if jumped {
            let what = format!("the clock of this machine went back: it was {last}, it is {now}");
            self.notices.push(what);
        }
        for entry in &entries {
            let placed = self.put_in_place(entry);
            placed.map_err(|error| self.failed("people", error))?;
        }
        self.take_in(&entries)?;
        self.deeds += 1;
        if self.deeds.is_multiple_of(DEEDS_BETWEEN) {
            self.keep_index();
        }
        // Last: what was not removed when the power failed is removed when the store is opened.
        entries
            .iter()
            .try_for_each(|entry| self.remove_what_is_erased(entry))
    }

    fn must_be_writable(&self) -> Result<(), StoreError> {
        if self.read_only() {
            return Err(StoreError::ReadOnly(self.disk.told()));
        }
        Ok(())
    }

    /// The index follows the register. If it cannot, it is made again in memory: what was done is
    /// done, and is in the register.
    fn take_in(&mut self, entries: &[Entry]) -> Result<(), StoreError> {
        let place = self.register.place().clone();
        let (disk, ring) = (&*self.disk, self.ring.as_ref());
        let identity = |code: &Code| who::identity_of(disk, ring, code);
        let user = |code: &Code| who::user_of(disk, ring, code);
        match self.index.take_in(entries, &place, &identity, &user) {
            Ok(()) => Ok(()),
            Err(error) => {
                self.notices.push(format!(
                    "the index could not be written ({error}); it is made again in memory"
                ));
                self.index_in_memory()
            }
        }
    }

    /// Asks the index; one that turns out damaged is made again, and asked once more.
    fn ask<T>(&mut self, of: impl Fn(&Index) -> Result<T, IndexError>) -> Result<T, StoreError> {
        match of(&self.index) {
            Err(error) if error.is_damage() => {
                self.make_index_again(&error.to_string())?;
                of(&self.index).map_err(StoreError::Index)
            }
            answer => answer.map_err(StoreError::Index),
        }
    }

    /// Keeps the index of an encrypted store; it is only a help, so a disk that refuses is no harm.
    fn keep_index(&mut self) {
        let Some(ring) = &self.ring else {
            return;
        };
        if self.read_only() {
            return;
        }
        let kept = self.index.bytes().map_err(|error| error.to_string());
        let kept = kept.and_then(|bytes| {
            let sealed = seal_blob(&ring.register, INDEX_SEALED, &bytes);
            let kept = sealed.and_then(|sealed| self.disk.replace(INDEX_SEALED, &sealed));
            kept.map_err(|error| error.to_string())
        });
        if let Err(error) = kept {
            self.notices
                .push(format!("the index could not be kept: {error}"));
        }
    }

    /// Closes the store, which keeps its index.
    pub fn close(mut self) -> Vec<String> {
        self.keep_index();
        self.deeds = 0;
        self.notices()
    }

    fn failed(&self, file: &str, error: std::io::Error) -> StoreError {
        StoreError::Disk {
            file: format!("{}/{file}", self.disk.told()),
            error,
        }
    }

    fn identity_key(&self) -> Option<&[u8; KEY]> {
        self.ring.as_ref().map(|ring| &ring.identity)
    }

    fn journal_key(&self) -> Option<&[u8; KEY]> {
        self.ring.as_ref().map(|ring| &ring.journals)
    }

    fn sealing(&self, name: &str) -> Option<Sealing> {
        self.ring.as_ref().map(|ring| Sealing {
            key: ring.journals,
            name: name.to_owned(),
        })
    }
}

impl Drop for Archive {
    fn drop(&mut self) {
        if self.deeds > 0 {
            self.keep_index();
        }
    }
}

/// Writes bytes that belong to `file` to where they are to lie, encrypted where everything is; the name they
/// belong to is authenticated with them.
fn write(
    disk: &dyn Disk,
    key: Option<&[u8; KEY]>,
    (file, at): (&str, &str),
    bytes: &[u8],
) -> std::io::Result<()> {
    match key {
        Some(key) => disk.replace(at, &seal_blob(key, file, bytes)?),
        None => disk.replace(at, bytes),
    }
}

/// Reads at most so many bytes that belong to `file` from where they lie; none if they are not there or do
/// not hold.
fn read(
    disk: &dyn Disk,
    key: Option<&[u8; KEY]>,
    (file, at): (&str, &str),
    most: u64,
) -> Option<Zeroizing<Vec<u8>>> {
    let bytes = disk.read_at_most(at, most).ok()?;
    match key {
        Some(key) => open_blob(key, file, bytes),
        None => Some(Zeroizing::new(bytes)),
    }
}
