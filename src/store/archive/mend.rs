//! A way on when something does not hold: what holds is kept, the rest is put aside, nothing is
//! thrown away.

use super::found::{about, register_sealing};
use super::who::{PEOPLE, USERS, person_file, user_file};
use super::{Archive, StoreError};
use crate::store::code::Code;
use crate::store::disk::Disk;
use crate::store::register::{Deed, Place, Register, RegisterError, file_name, found_otherwise};
use crate::store::sealed::Sealing;
use crate::store::secret::Opener;
use serde::Serialize;

/// What was put right.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Mended {
    /// What was done, one line each; nothing if everything held.
    pub done: Vec<String>,
    /// Visits that the register had lost and has again.
    pub visits_found: u64,
    /// People whose entry it had lost and has again.
    pub people_found: u64,
    /// Journals that do not hold; they stay as they are.
    pub left: Vec<String>,
    /// Visits that it has again and that belong to nobody who is known here: whose they are stood in the
    /// register alone. They are given to their people by `move`.
    pub nobodys: Vec<Code>,
}

impl Archive {
    /// Opens a store whose register may not hold: the lines up to the first that does not fit are
    /// kept, the register as it was is put aside, and visits and people that are on the disk are
    /// entered again. Also makes the index again.
    ///
    /// # Errors
    /// If the store cannot be opened for another reason, or the disk says no.
    pub fn mend(
        disk: Box<dyn Disk>,
        opener: Option<&Opener>,
    ) -> Result<(Archive, Mended), StoreError> {
        let mut mended = Mended::default();
        let known = about(&*disk)?;
        let sealed = known.locked.is_some();
        let name = file_name(sealed);
        let failed = |error: std::io::Error| StoreError::Disk {
            file: name.to_owned(),
            error,
        };
        let there = disk.length(name).map_err(failed)?.is_some();
        let ring = super::found::ring(&*disk, &known, opener)?;
        let sealing = || register_sealing(ring.as_ref());
        let read = there.then(|| Register::open(&*disk, sealing(), &Place::default(), false));
        match read {
            Some(Ok(_)) => {}
            Some(Err(RegisterError::Disk(error)))
                if error.kind() != std::io::ErrorKind::InvalidData =>
            {
                return Err(failed(error));
            }
            damaged => {
                let _hold = disk.hold().map_err(|error| StoreError::InUse {
                    place: disk.told(),
                    error,
                })?;
                let (kept, why) = match damaged {
                    Some(Err(RegisterError::Bad {
                        line,
                        expected,
                        entries,
                    })) => (entries, format!("line {line}: {expected}")),
                    Some(Err(error)) => (Vec::new(), error.to_string()),
                    _ => (Vec::new(), "it was missing".into()),
                };
                if there {
                    let aside = aside_name(&*disk, name);
                    disk.rename(name, &aside).map_err(failed)?;
                    mended.done.push(format!(
                        "the register did not hold ({why}); it is kept as {aside}"
                    ));
                } else {
                    mended
                        .done
                        .push("the register was missing and is made again".into());
                }
                write_again(&*disk, sealing(), &kept).map_err(failed)?;
                mended
                    .done
                    .push(format!("{} of its lines hold and were kept", kept.len()));
            }
        }
        let mut archive = Archive::open(disk, opener)?;
        archive.must_be_writable()?;
        // First: what the index does not know is entered, and it may have been changed by another hand.
        let why = "asked for by mend";
        archive.make_index_again(why)?;
        archive.notices.retain(|notice| !notice.contains(why));
        archive.enter_what_is_there(&mut mended)?;
        if let Some(what) = found_otherwise(&archive.read_register()?) {
            mended.done.push(format!("acknowledged: {what}"));
            archive.does(Deed::Acknowledged {})?;
            archive.recover_open()?;
        }
        mended.done.push("the index was made again".into());
        if mended.visits_found + mended.people_found > 0 || mended.done.len() > 1 {
            let what = mended.done.join("; ");
            archive.does(Deed::Mended { what })?;
        }
        Ok((archive, mended))
    }

    /// Enters visits and people that are on the disk and not in the register.
    fn enter_what_is_there(&mut self, mended: &mut Mended) -> Result<(), StoreError> {
        let people = self.disk.names(PEOPLE);
        for name in people.map_err(|error| self.failed(PEOPLE, error))? {
            let Ok(person) = name.parse::<Code>() else {
                continue;
            };
            if self.ask(|index| index.person(&person))?.is_none()
                && self.identity(&person).is_some()
            {
                let digest = self.digest_of(&person_file(&person));
                self.does(Deed::PersonAdded { person, digest })?;
                mended.people_found += 1;
            }
        }
        let users = self.disk.names(USERS);
        for name in users.map_err(|error| self.failed(USERS, error))? {
            let Ok(user) = name.parse::<Code>() else {
                continue;
            };
            let known = self.users()?.iter().any(|one| one.code == user);
            if let Some(who) = self.user(&user).filter(|_| !known) {
                let digest = self.digest_of(&user_file(&user));
                self.does(Deed::UserAdded {
                    user,
                    role: who.role,
                    digest,
                })?;
            }
        }
        for name in self.visits_on_disk()? {
            let Ok(visit) = name.parse::<Code>() else {
                mended
                    .left
                    .push(format!("visits/{name}: expected the code of a visit"));
                continue;
            };
            if self.ask(|index| index.visit(&visit))?.is_some() {
                continue;
            }
            match self.file_found(&visit) {
                Ok(()) => {
                    mended.visits_found += 1;
                    let found = self.visit(&visit)?;
                    if found.name.is_none() && found.simulated.is_none() {
                        mended.nobodys.push(visit);
                    }
                }
                Err(error @ (StoreError::Journal { .. } | StoreError::Disk { .. })) => {
                    mended.left.push(error.to_string());
                }
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }
}

/// A name that nothing has yet.
fn aside_name(disk: &dyn Disk, name: &str) -> String {
    let free = |at: &u32| !matches!(disk.length(&format!("aside/{name}.{at}")), Ok(Some(_)));
    let at = (1..10_000).find(free).unwrap_or(10_000);
    format!("aside/{name}.{at}")
}

fn write_again(
    disk: &dyn Disk,
    sealing: Option<Sealing>,
    entries: &[crate::store::register::Entry],
) -> std::io::Result<()> {
    let mut register = Register::create(disk, sealing)?;
    for entry in entries {
        register.append(entry.time, entry.by.as_ref(), entry.deed.clone())?;
    }
    Ok(())
}
