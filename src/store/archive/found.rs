//! Makes a store, and opens one.

use super::who::{PEOPLE, USERS, identity_of, user_of};
use super::{ABOUT, Archive, INDEX, INDEX_SEALED, LAYOUT, SIGNING_KEY, StoreError};
use crate::store::code::Code;
use crate::store::disk::{Disk, Hold};
use crate::store::hex::{exactly, to_hex};
use crate::store::index::{Index, IndexError};
use crate::store::random::random;
use crate::store::register::{Deed, Entry, Place, Read, Register, RegisterError, file_name};
use crate::store::sealed::Sealing;
use crate::store::secret::{Cost, Locked, Opener, Ring, SHORTEST_PASSPHRASE, open_blob};
use crate::store::signature::Signing;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use std::io;

/// What lies in the clear at the top of a store is never longer, bytes.
const SMALL: u64 = 1 << 16;

/// What a store says of itself, in the clear.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct About {
    /// Version of the folder's layout.
    pub layout: u32,
    /// The store's own code.
    pub store: Code,
    /// Name and version of the program that made it.
    pub program: String,
    /// The public half of the key that signs.
    pub key: String,
    /// The ring of keys, locked; none where nothing is encrypted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub locked: Option<Locked>,
}

/// A store that was just made.
pub struct Founded {
    /// The store, open.
    pub archive: Archive,
    /// The code of the recovery sheet, which is kept nowhere; none where nothing is encrypted.
    pub recovery: Option<String>,
}

impl Archive {
    /// Makes a store; with a passphrase everything in it is encrypted at rest.
    ///
    /// # Errors
    /// If there is one already, the passphrase is too short, or the disk says no.
    pub fn found(
        disk: Box<dyn Disk>,
        passphrase: Option<&str>,
        cost: Cost,
        program: &str,
    ) -> Result<Founded, StoreError> {
        let place = disk.told();
        let failed = |file: &str, error: io::Error| StoreError::Disk {
            file: format!("{place}/{file}"),
            error,
        };
        let there = disk.length(ABOUT).map_err(|error| failed(ABOUT, error))?;
        if there.is_some() {
            return Err(StoreError::Already(place));
        }
        must_be_empty(&*disk).map_err(|error| failed(ABOUT, error))?;
        check_passphrase(passphrase)?;
        let draw = || -> io::Result<(Code, [u8; 32])> { Ok((Code::draw()?, random()?)) };
        let (store, secret) = draw().map_err(|error| failed(ABOUT, error))?;
        let mut about = About {
            layout: LAYOUT,
            key: Signing::from_secret(&secret).public(),
            store,
            program: program.to_owned(),
            locked: None,
        };
        let mut recovery = None;
        if let Some(passphrase) = passphrase {
            let name = about.store.plain().to_owned();
            let locked = Ring::draw(secret)
                .and_then(|ring| Locked::around(&ring, &name, passphrase, cost))
                .map_err(|error| failed(ABOUT, error))?;
            about.locked = Some(locked.0);
            recovery = Some(locked.1);
        } else {
            let text = to_hex(&secret) + "\n";
            let kept = disk.replace(SIGNING_KEY, text.as_bytes());
            kept.map_err(|error| failed(SIGNING_KEY, error))?;
        }
        let text = serde_json::to_string_pretty(&about).unwrap_or_default() + "\n";
        disk.replace(ABOUT, text.as_bytes())
            .map_err(|error| failed(ABOUT, error))?;
        let opener = passphrase.map(|passphrase| Opener::Passphrase(passphrase.to_owned()));
        let archive = Archive::open(disk, opener.as_ref())?;
        Ok(Founded { archive, recovery })
    }

    /// Opens a store.
    ///
    /// # Errors
    /// If there is none, it is newer than the program, encrypted and not opened by what was given,
    /// open elsewhere, or its register does not hold.
    pub fn open(disk: Box<dyn Disk>, opener: Option<&Opener>) -> Result<Archive, StoreError> {
        let about = about(&*disk)?;
        let hold = disk.hold().map_err(|error| StoreError::InUse {
            place: disk.told(),
            error,
        })?;
        let (ring, signing) = keys(&*disk, &about, opener)?;
        let mut notices = Vec::new();
        let writing = matches!(hold, Hold::Writing(_));
        let index = open_index(&*disk, ring.as_ref(), writing, &mut notices)?;
        let (register, read, index, otherwise) =
            open_register(&*disk, ring.as_ref(), index, writing)?;
        notices.extend(otherwise.clone());
        let mut archive = Archive {
            disk,
            hold,
            about,
            ring,
            signing,
            register,
            index,
            user: None,
            role: None,
            supervisor: None,
            notices,
            clock: Timestamp::now,
            deeds: 0,
        };
        if !archive.read_only() {
            let placed = archive.finish_placing(&read.entries);
            placed.map_err(|error| archive.failed("people", error))?;
        }
        archive.take_in(&read.entries)?;
        if archive.read_only() {
            archive
                .notices
                .push(StoreError::ReadOnly(archive.disk.told()).to_string());
            return Ok(archive);
        }
        if archive.about.layout < LAYOUT {
            archive.about.layout = LAYOUT;
            archive.keep_about(archive.about.clone())?;
        }
        if archive.register.place().lines == 0 {
            archive.does(Deed::Founded {
                format: LAYOUT,
                store: archive.about.store.clone(),
                program: archive.about.program.clone(),
            })?;
        }
        if read.torn > 0 {
            let what = format!(
                "register: {} bytes of a line that was cut off while it was written",
                read.torn
            );
            archive.notices.push(what.clone());
            archive.does(Deed::Mended { what })?;
        }
        if let Some(what) = otherwise {
            archive.does(Deed::FoundOtherwise { what })?;
        }
        archive.finish_erasing()?;
        archive.recover_open()?;
        Ok(archive)
    }

    /// Whether there is a store, and whether it is encrypted. None: there is none, or it does not hold.
    #[must_use]
    pub fn is_encrypted(disk: &dyn Disk) -> Option<bool> {
        about(disk).ok().map(|about| about.locked.is_some())
    }

    /// Whether this opens the store, which stays as it is.
    #[must_use]
    pub fn opens(disk: &dyn Disk, opener: &Opener) -> bool {
        about(disk).is_ok_and(|about| keys(disk, &about, Some(opener)).is_ok())
    }

    /// Changes the passphrase; the recovery sheet changes with it, and the old one opens nothing more. `keep` keeps the code
    /// of the new one, before anything is changed.
    ///
    /// # Errors
    /// If the store is not encrypted, the passphrase is too short, the code cannot be kept (then nothing has changed), or
    /// the disk says no.
    pub fn change_passphrase(
        &mut self,
        passphrase: &str,
        cost: Cost,
        keep: &mut dyn FnMut(&str) -> Result<(), String>,
    ) -> Result<(), StoreError> {
        self.must_be_writable()?;
        check_passphrase(Some(passphrase))?;
        let Some(ring) = &self.ring else {
            let what = "this store is not encrypted; `veridical restore --passphrase-file` makes an \
                        encrypted one of its backup";
            return Err(StoreError::Refused(what.into()));
        };
        let name = self.about.store.plain();
        let (locked, recovery) = Locked::around(ring, name, passphrase, cost)
            .map_err(|error| self.failed(ABOUT, error))?;
        keep(&recovery).map_err(StoreError::Refused)?;
        let mut about = self.about.clone();
        about.locked = Some(locked);
        self.keep_about(about)?;
        self.does(Deed::PassphraseChanged {})
    }

    fn keep_about(&mut self, about: About) -> Result<(), StoreError> {
        let text = serde_json::to_string_pretty(&about).unwrap_or_default() + "\n";
        self.disk
            .replace(ABOUT, text.as_bytes())
            .map_err(|error| self.failed(ABOUT, error))?;
        self.about = about;
        Ok(())
    }

    /// Every line of the register.
    pub(super) fn read_register(&self) -> Result<Vec<Entry>, StoreError> {
        let sealing = register_sealing(self.ring.as_ref());
        let read = Register::open(&*self.disk, sealing, &Place::default(), false);
        let (_, read) =
            read.map_err(|error| register_damaged(&*self.disk, self.ring.is_some(), &error))?;
        Ok(read.entries)
    }

    /// An index in memory of these lines.
    pub(super) fn index_of(&self, entries: &[Entry]) -> Result<Index, StoreError> {
        let mut index = Index::in_memory()?;
        let (disk, ring) = (&*self.disk, self.ring.as_ref());
        index.take_in(
            entries,
            self.register.place(),
            &|code| identity_of(disk, ring, code),
            &|code| user_of(disk, ring, code),
        )?;
        Ok(index)
    }

    /// An index in memory, made from the register alone.
    pub(super) fn index_in_memory(&mut self) -> Result<(), StoreError> {
        self.index = self.index_of(&self.read_register()?)?;
        Ok(())
    }

    /// Puts an index that does not hold aside, and makes it again.
    pub(super) fn make_index_again(&mut self, why: &str) -> Result<(), StoreError> {
        self.notices.push(format!(
            "the index did not hold ({why}) and was made again from the register"
        ));
        self.index = Index::in_memory()?;
        let writing = !self.read_only();
        if writing {
            remove_index(&*self.disk);
            self.index = open_index(&*self.disk, None, writing, &mut self.notices)?;
        }
        let entries = self.read_register()?;
        self.take_in(&entries)
    }
}

/// Whether a passphrase can be used.
pub(super) fn check_passphrase(passphrase: Option<&str>) -> Result<(), StoreError> {
    let short = |text: &str| text.chars().count() < SHORTEST_PASSPHRASE;
    if passphrase.is_some_and(short) {
        let what = format!("passphrase: expected at least {SHORTEST_PASSPHRASE} characters");
        return Err(StoreError::Refused(what));
    }
    Ok(())
}

/// What the store says of itself.
pub(super) fn about(disk: &dyn Disk) -> Result<About, StoreError> {
    #[derive(Deserialize)]
    struct Layout {
        layout: u32,
    }
    let file = format!("{}/{ABOUT}", disk.told());
    let damaged = |what: String| StoreError::Damaged {
        file: file.clone(),
        what,
    };
    let bytes = match disk.read_at_most(ABOUT, SMALL) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(StoreError::None(disk.told()));
        }
        Err(error) => return Err(StoreError::Disk { file, error }),
    };
    // Its layout first: what else a newer one says, only a newer program knows.
    let layout: Layout =
        serde_json::from_slice(&bytes).map_err(|error| damaged(error.to_string()))?;
    if layout.layout > LAYOUT {
        return Err(StoreError::Newer {
            place: disk.told(),
            found: layout.layout,
        });
    }
    serde_json::from_slice(&bytes).map_err(|error| damaged(error.to_string()))
}

pub(super) fn register_sealing(ring: Option<&Ring>) -> Option<Sealing> {
    ring.map(|ring| Sealing {
        key: ring.register,
        name: file_name(true).into(),
    })
}

/// The ring of an encrypted store.
pub(super) fn ring(
    disk: &dyn Disk,
    about: &About,
    opener: Option<&Opener>,
) -> Result<Option<Ring>, StoreError> {
    Ok(keys(disk, about, opener)?.0)
}

fn keys(
    disk: &dyn Disk,
    about: &About,
    opener: Option<&Opener>,
) -> Result<(Option<Ring>, Signing), StoreError> {
    let damaged = |file: &str, what: &str| StoreError::Damaged {
        file: format!("{}/{file}", disk.told()),
        what: what.to_owned(),
    };
    let (ring, signing) = if let Some(locked) = &about.locked {
        let opener = opener.ok_or_else(|| StoreError::NeedsPassphrase(disk.told()))?;
        let ring = locked
            .open(about.store.plain(), opener)
            .map_err(|what| damaged(ABOUT, &what))?
            .ok_or_else(|| StoreError::WrongPassphrase(disk.told()))?;
        let signing = Signing::from_secret(&ring.signing);
        (Some(ring), signing)
    } else {
        let text = disk
            .read_at_most(SIGNING_KEY, SMALL)
            .map_err(|error| StoreError::Disk {
                file: format!("{}/{SIGNING_KEY}", disk.told()),
                error,
            })?;
        let secret = String::from_utf8(text).ok();
        let secret = secret.and_then(|text| exactly(text.trim()));
        let secret =
            secret.ok_or_else(|| damaged(SIGNING_KEY, "expected 64 hexadecimal digits"))?;
        (None, Signing::from_secret(&secret))
    };
    if signing.public() != about.key {
        return Err(damaged(
            ABOUT,
            "key: expected the public half of the key that signs here",
        ));
    }
    Ok((ring, signing))
}

/// Where the rest of a store lies that has lost what it says of itself, no other is made: its key would be gone.
pub(super) fn must_be_empty(disk: &dyn Disk) -> io::Result<()> {
    let mut there = Vec::new();
    for name in [file_name(false), file_name(true)] {
        there.extend(
            disk.length(name)?
                .filter(|length| *length > 0)
                .map(|_| name),
        );
    }
    for folder in [PEOPLE, USERS, "visits"] {
        there.extend((!disk.names(folder)?.is_empty()).then_some(folder));
    }
    if there.is_empty() {
        return Ok(());
    }
    let what = format!(
        "expected an empty folder, or `{ABOUT}` of the store of which {} lie here: take it from a backup",
        there.join(", ")
    );
    Err(io::Error::new(io::ErrorKind::AlreadyExists, what))
}

/// The files of the index, which is made again of the rest.
const INDEX_FILES: [&str; 4] = [INDEX, "index.sqlite-wal", "index.sqlite-shm", INDEX_SEALED];

fn remove_index(disk: &dyn Disk) {
    for file in INDEX_FILES {
        // Where it cannot even be removed, an index in memory takes its place. Kept aside it would keep names.
        let _ = disk.remove(file);
    }
}

/// Opens the index; one that is damaged, or lies where it cannot be opened, gives way to a new one.
fn open_index(
    disk: &dyn Disk,
    ring: Option<&Ring>,
    writing: bool,
    notices: &mut Vec<String>,
) -> Result<Index, StoreError> {
    if let Some(ring) = ring {
        let kept = disk.read(INDEX_SEALED, 0).ok();
        let bytes = kept.and_then(|kept| open_blob(&ring.register, INDEX_SEALED, kept));
        return match bytes.map(|bytes| Index::from_bytes(&bytes)) {
            Some(Ok(index)) => Ok(index),
            Some(Err(error @ IndexError::Newer(_))) => Err(error.into()),
            _ => Ok(Index::in_memory()?),
        };
    }
    let Some(path) = disk.database(INDEX).filter(|_| writing) else {
        return Ok(Index::in_memory()?);
    };
    match Index::open(&path) {
        Ok(index) => Ok(index),
        Err(error @ IndexError::Newer(_)) => Err(error.into()),
        Err(error) if error.is_damage() => {
            notices.push(format!(
                "the index did not hold ({error}) and was made again from the register"
            ));
            remove_index(disk);
            Ok(Index::open(&path).or_else(|_| Index::in_memory())?)
        }
        Err(error) => {
            notices.push(format!(
                "the index could not be opened ({error}); it is made again in memory"
            ));
            Ok(Index::in_memory()?)
        }
    }
}

fn open_register(
    disk: &dyn Disk,
    ring: Option<&Ring>,
    index: Index,
    writing: bool,
) -> Result<(Register, Read, Index, Option<String>), StoreError> {
    let sealing = || register_sealing(ring);
    let name = file_name(ring.is_some());
    let failed = |error: io::Error| StoreError::Disk {
        file: format!("{}/{name}", disk.told()),
        error,
    };
    if disk.length(name).map_err(failed)?.is_none() {
        let empty = disk.names("visits").map_err(failed)?.is_empty();
        if !empty || !writing {
            let what = "expected the register, found none: `veridical mend` makes it again from the journals";
            return Err(StoreError::Damaged {
                file: format!("{}/{name}", disk.told()),
                what: what.into(),
            });
        }
        // The power failed before the store had its first line.
        let register = Register::create(disk, sealing()).map_err(failed)?;
        return Ok((register, Read::default(), index, None));
    }
    let known = index.place().unwrap_or_default();
    match Register::open(disk, sealing(), &known, writing) {
        Ok((register, read)) => return Ok((register, read, index, None)),
        Err(RegisterError::Disk(error)) if !matches!(error.kind(), io::ErrorKind::InvalidData) => {
            return Err(failed(error));
        }
        Err(_) => {}
    }
    let whole = Register::open(disk, sealing(), &Place::default(), writing);
    let (register, read) = whole.map_err(|error| register_damaged(disk, ring.is_some(), &error))?;
    let lines = register.place().lines;
    let otherwise = if lines < known.lines {
        format!(
            "the register has {lines} lines, and had {} when this store was closed: {} are missing at its end",
            known.lines,
            known.lines - lines
        )
    } else {
        "the register is not as this store was left: it was changed by another hand, and holds"
            .into()
    };
    drop(index);
    if writing {
        remove_index(disk);
    }
    let index = open_index(disk, ring, writing, &mut Vec::new())?;
    Ok((register, read, index, Some(otherwise)))
}

pub(super) fn register_damaged(disk: &dyn Disk, sealed: bool, error: &RegisterError) -> StoreError {
    let file = format!("{}/{}", disk.told(), file_name(sealed));
    StoreError::Damaged {
        file,
        what: format!("{error}: `veridical mend` keeps what holds and puts the rest aside"),
    }
}
