//! The files of who people are and who works here: encrypted where everything is.
//!
//! The register keeps the SHA-256 of each, so that `check` finds one that was changed or exchanged. A salt of
//! its own in every file sees to it that this digest leads nobody to a name, and to none at all once the
//! file is taken away.
//!
//! A file comes in three steps: beside its place, its digest into the register, then into its place. A loss
//! of power between them leaves one beside its place that opening the store puts there, or takes away.

use super::{Archive, read, write};
use crate::store::code::Code;
use crate::store::disk::Disk;
use crate::store::hex::to_hex;
use crate::store::people::{Identity, User};
use crate::store::random::random;
use crate::store::register::{Deed, Entry};
use crate::store::secret::{KEY, Ring};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::io;
use zeroize::Zeroizing;

/// Who people are.
pub(super) const PEOPLE: &str = "people";
/// Who works here.
pub(super) const USERS: &str = "users";
/// The file that is not in its place yet; no code is so short.
const BESIDE: &str = "next";
/// Bytes of salt.
const SALT: usize = 16;
/// No such file is longer, bytes: names are bounded.
const LONGEST: u64 = 1 << 16;

/// The file of who a person is.
pub(super) fn person_file(code: &Code) -> String {
    format!("{PEOPLE}/{}", code.plain())
}

/// The file of who a user is.
pub(super) fn user_file(code: &Code) -> String {
    format!("{USERS}/{}", code.plain())
}

fn beside(file: &str) -> String {
    let folder = file.split('/').next().unwrap_or(PEOPLE);
    format!("{folder}/{BESIDE}")
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Salted<T> {
    who: T,
    salt: String,
}

/// As it lies there; a store of layout 1 had no salt.
#[derive(Deserialize)]
#[serde(untagged)]
enum Lies<T> {
    Salted(Salted<T>),
    Bare(T),
}

/// Writes who somebody is beside the place of `file`, and gives its digest, 64 hexadecimal digits.
pub(super) fn prepare(
    disk: &dyn Disk,
    key: Option<&[u8; KEY]>,
    file: &str,
    who: &impl Serialize,
) -> io::Result<String> {
    let salt = to_hex(&random::<SALT>()?);
    let mut bytes = serde_json::to_vec(&Salted { who, salt }).map_err(io::Error::other)?;
    bytes.push(b'\n');
    write(disk, key, (file, &beside(file)), &bytes)?;
    Ok(to_hex(&Sha256::digest(&bytes)))
}

fn parsed<T: DeserializeOwned>(bytes: &[u8]) -> Option<T> {
    match serde_json::from_slice(bytes).ok()? {
        Lies::Salted(Salted { who, .. }) | Lies::Bare(who) => Some(who),
    }
}

fn got<T: DeserializeOwned>(disk: &dyn Disk, ring: Option<&Ring>, file: &str) -> Option<T> {
    parsed(&read(
        disk,
        ring.map(|ring| &ring.identity),
        (file, file),
        LONGEST,
    )?)
}

pub(super) fn identity_of(disk: &dyn Disk, ring: Option<&Ring>, code: &Code) -> Option<Identity> {
    got(disk, ring, &person_file(code))
}

pub(super) fn user_of(disk: &dyn Disk, ring: Option<&Ring>, code: &Code) -> Option<User> {
    got(disk, ring, &user_file(code))
}

/// What a line of the register says of such a file: which, and its digest from there on.
enum Says {
    Digest(String, Option<String>),
    Gone(String),
}

fn says(deed: &Deed) -> Option<Says> {
    match deed {
        Deed::PersonAdded { person, digest } | Deed::PersonChanged { person, digest, .. } => {
            Some(Says::Digest(person_file(person), digest.clone()))
        }
        Deed::UserAdded { user, digest, .. } => Some(Says::Digest(user_file(user), digest.clone())),
        Deed::PersonErased { person, .. } => Some(Says::Gone(person_file(person))),
        _ => None,
    }
}

/// What a check of these files found.
#[derive(Default)]
pub(super) struct CheckedWho {
    /// What does not hold, one line each.
    pub problems: Vec<String>,
    /// How many the register keeps no digest of: a store of layout 1 kept none.
    pub without_digest: u64,
}

impl Archive {
    /// Puts the file that this line of the register tells of in its place, if it lies beside it.
    pub(super) fn put_in_place(&self, entry: &Entry) -> io::Result<()> {
        let Some(Says::Digest(file, Some(digest))) = says(&entry.deed) else {
            return Ok(());
        };
        let lies = beside(&file);
        let bytes = read(&*self.disk, self.identity_key(), (&file, &lies), LONGEST);
        if bytes.is_some_and(|bytes| to_hex(&Sha256::digest(&bytes)) == digest) {
            self.disk.rename(&lies, &file)?;
        }
        Ok(())
    }

    /// After a loss of power: what lies beside its place goes there if the register tells of it, else away.
    pub(super) fn finish_placing(&self, entries: &[Entry]) -> io::Result<()> {
        for folder in [PEOPLE, USERS] {
            let lies = format!("{folder}/{BESIDE}");
            if self.disk.length(&lies)?.is_none() {
                continue;
            }
            entries
                .iter()
                .try_for_each(|entry| self.put_in_place(entry))?;
            self.disk.remove(&lies)?;
        }
        Ok(())
    }

    /// The digest of such a file as it lies there, for the register; none if it does not hold.
    pub(super) fn digest_of(&self, file: &str) -> Option<String> {
        let bytes = read(&*self.disk, self.identity_key(), (file, file), LONGEST)?;
        Some(to_hex(&Sha256::digest(bytes)))
    }

    /// Holds every file of who somebody is to what the whole register says of it.
    pub(super) fn check_who(&self, entries: &[Entry]) -> io::Result<CheckedWho> {
        let mut expected = BTreeMap::new();
        for said in entries.iter().filter_map(|entry| says(&entry.deed)) {
            match said {
                Says::Digest(file, digest) => drop(expected.insert(file, digest)),
                Says::Gone(file) => drop(expected.remove(&file)),
            }
        }
        let mut left = BTreeSet::new();
        for folder in [PEOPLE, USERS] {
            let names = self.disk.names(folder)?.into_iter();
            left.extend(names.map(|name| format!("{folder}/{name}")));
        }
        let mut found = CheckedWho::default();
        for (file, digest) in expected {
            left.remove(&file);
            let bytes = read(&*self.disk, self.identity_key(), (&file, &file), LONGEST);
            let holds = |bytes: &Zeroizing<Vec<u8>>| {
                let person = file.starts_with(PEOPLE);
                person && parsed::<Identity>(bytes).is_some() || parsed::<User>(bytes).is_some()
            };
            let Some(bytes) = bytes.filter(holds) else {
                let problem = format!("{file}: expected who this is, found none that holds");
                found.problems.push(problem);
                continue;
            };
            match digest {
                None => found.without_digest += 1,
                Some(digest) if digest == to_hex(&Sha256::digest(&bytes)) => {}
                Some(_) => found.problems.push(format!(
                    "{file}: it is not as it was entered or corrected last"
                )),
            }
        }
        let unknown = left.into_iter();
        found.problems.extend(unknown.map(|file| {
            format!("{file}: the register does not know it; `veridical mend` enters it")
        }));
        Ok(found)
    }
}
