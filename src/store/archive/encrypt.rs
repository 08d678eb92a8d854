//! Makes an encrypted store of a plain one: a passphrase that is set later than the first day.

use super::visits::folder_of;
use super::who::{PEOPLE, USERS};
use super::{ABOUT, Archive, StoreError, write};
use crate::store::code::Code;
use crate::store::disk::Disk;
use crate::store::register::{Place, Register};
use crate::store::sealed::Sealing;
use crate::store::secret::{Cost, Locked, Ring};
use std::io;

impl Archive {
    /// Writes all of a plain store into an empty place, encrypted; gives the recovery code. The plain
    /// one stays as it is: whoever is content with the new one takes it away. The register keeps its
    /// lines and its chain, the journals their bytes, and the same key signs.
    ///
    /// # Errors
    /// If this one is encrypted already, there is a store at the other place, the passphrase is too
    /// short, it was stopped, or the disk says no.
    pub fn encrypt_into(
        &mut self,
        disk: &dyn Disk,
        passphrase: &str,
        cost: Cost,
        go_on: &mut dyn FnMut(u64, u64) -> bool,
    ) -> Result<String, StoreError> {
        if self.encrypted() {
            return Err(StoreError::Refused(
                "this store is encrypted already".into(),
            ));
        }
        super::found::check_passphrase(Some(passphrase))?;
        let failed = |error: io::Error| StoreError::Disk {
            file: disk.told(),
            error,
        };
        if disk.length(ABOUT).map_err(failed)?.is_some() {
            return Err(StoreError::Already(disk.told()));
        }
        super::found::must_be_empty(disk).map_err(failed)?;
        let ring = Ring::draw(self.signing.secret()).map_err(failed)?;
        self.copy_encrypted(disk, &ring, go_on)?;
        let mut about = self.about.clone();
        let (locked, recovery) =
            Locked::around(&ring, about.store.plain(), passphrase, cost).map_err(failed)?;
        about.locked = Some(locked);
        let text = serde_json::to_string_pretty(&about).unwrap_or_default() + "\n";
        // Last, so that what is half written is no store.
        disk.replace(ABOUT, text.as_bytes()).map_err(failed)?;
        Ok(recovery)
    }

    fn copy_encrypted(
        &self,
        disk: &dyn Disk,
        ring: &Ring,
        go_on: &mut dyn FnMut(u64, u64) -> bool,
    ) -> Result<(), StoreError> {
        let failed = |error: io::Error| StoreError::Disk {
            file: disk.told(),
            error,
        };
        let (_, read) = Register::open(&*self.disk, None, &Place::default(), false)
            .map_err(|error| super::found::register_damaged(&*self.disk, false, &error))?;
        let mut register =
            Register::create(disk, super::found::register_sealing(Some(ring))).map_err(failed)?;
        for entry in read.entries {
            let kept = register.append(entry.time, entry.by.as_ref(), entry.deed);
            kept.map_err(failed)?;
        }
        // To the byte: the register keeps their digests.
        for folder in [PEOPLE, USERS] {
            for name in self.disk.names(folder).map_err(failed)? {
                let file = format!("{folder}/{name}");
                let bytes = self.disk.read(&file, 0).map_err(failed)?;
                write(disk, Some(&ring.identity), (&file, &file), &bytes).map_err(failed)?;
            }
        }
        let visits = self.visits_on_disk()?;
        for (name, done) in visits.iter().zip(0..) {
            if !go_on(done, visits.len() as u64) {
                return Err(StoreError::Refused(format!("stopped after {done} visits")));
            }
            let Ok(visit) = name.parse::<Code>() else {
                continue;
            };
            let bytes = self.journal(&visit)?;
            let name = folder_of(&visit);
            let sealing = Sealing {
                key: ring.journals,
                name: name.clone(),
            };
            let sealed = sealing.whole(&bytes).map_err(failed)?;
            disk.replace(&format!("{name}/journal.sealed"), &sealed)
                .map_err(failed)?;
        }
        Ok(())
    }
}
