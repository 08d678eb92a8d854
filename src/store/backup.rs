//! A copy of a whole store in one file, and a store made of it again.
//!
//! The file is a tar archive (POSIX.1-2001), so that any system can open it: the store's files as they
//! lie, encrypted where they are, and at the end `manifest.json` with the length and SHA-256 of each.
//! The index and kept findings are left out: they are made again.

use super::archive::{Archive, KEPT, StoreError};
use super::code::Code;
use super::disk::{Disk, new_private_file, sync_folder};
use super::hex::to_hex;
use super::register::Deed;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::Path;

const MANIFEST: &str = "manifest.json";
/// What lies at the top of a store and belongs into a copy; the store's own file comes last, so
/// that nothing half restored is a store.
const TOP: [&str; 4] = [
    "installation.key",
    "register.jsonl",
    "register.sealed",
    "store.json",
];
/// Folders that belong into a copy.
const FOLDERS: [&str; 3] = ["people", "users", "aside"];
/// No file of a store is longer, bytes.
const LONGEST: u64 = 1 << 32;

/// What a copy holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Version of this format: 1.
    pub format: u32,
    /// The store's code.
    pub store: Code,
    /// When it was made.
    pub made: Timestamp,
    /// Every file: its length in bytes and its SHA-256.
    pub files: BTreeMap<String, (u64, String)>,
}

impl Archive {
    /// Copies the whole store into one new file, and reads it again to see that it holds.
    /// `go_on` is asked before each file with how many are done and how many there are.
    ///
    /// # Errors
    /// If the file exists, it was stopped, or the disk says no.
    pub fn back_up(
        &mut self,
        to: &Path,
        go_on: &mut dyn FnMut(u64, u64) -> bool,
    ) -> Result<Manifest, StoreError> {
        if to.exists() {
            return Err(StoreError::Already(to.display().to_string()));
        }
        let failed = |error: io::Error| StoreError::Disk {
            file: to.display().to_string(),
            error,
        };
        let names = self.files().map_err(failed)?;
        let part = to.with_extension("part");
        let file = new_private_file(&part).map_err(|error| StoreError::Disk {
            file: part.display().to_string(),
            error,
        })?;
        let written = self.write_copy(file, &names, go_on);
        let manifest = match written {
            Ok(manifest) => manifest,
            Err(error) => {
                let _ = std::fs::remove_file(&part);
                return Err(failed(error));
            }
        };
        let again = read_copy(&part)?;
        if again != manifest {
            return Err(failed(io::Error::other(
                "what was written is not what is read again",
            )));
        }
        std::fs::rename(&part, to).map_err(failed)?;
        let folder = to.parent().filter(|folder| !folder.as_os_str().is_empty());
        sync_folder(Some(folder.unwrap_or(Path::new(".")))).map_err(failed)?;
        self.does(Deed::BackedUp {
            files: names.len() as u64,
        })?;
        Ok(manifest)
    }

    fn write_copy(
        &self,
        to: File,
        names: &[String],
        go_on: &mut dyn FnMut(u64, u64) -> bool,
    ) -> io::Result<Manifest> {
        let mut tar = tar::Builder::new(BufWriter::new(to));
        let mut manifest = Manifest {
            format: 1,
            store: self.code().clone(),
            made: Timestamp::now(),
            files: BTreeMap::new(),
        };
        let seconds = u64::try_from(manifest.made.as_second()).unwrap_or(0);
        for (name, done) in names.iter().zip(0..) {
            if !go_on(done, names.len() as u64) {
                return Err(io::Error::new(io::ErrorKind::Interrupted, "stopped"));
            }
            let bytes = self.disk().read(name, 0)?;
            add(&mut tar, name, &bytes, seconds)?;
            let digest = to_hex(&Sha256::digest(&bytes));
            manifest
                .files
                .insert(name.clone(), (bytes.len() as u64, digest));
        }
        let text = serde_json::to_vec_pretty(&manifest).map_err(io::Error::other)?;
        add(&mut tar, MANIFEST, &text, seconds)?;
        let mut out = tar.into_inner()?;
        out.flush()?;
        out.get_ref().sync_all()?;
        Ok(manifest)
    }

    /// The files that belong into a copy.
    fn files(&self) -> io::Result<Vec<String>> {
        let disk = self.disk();
        let mut names = Vec::new();
        for folder in FOLDERS {
            let inside = disk.names(folder)?.into_iter();
            names.extend(inside.map(|name| format!("{folder}/{name}")));
        }
        for visit in disk.names("visits")? {
            let folder = format!("visits/{visit}");
            let inside = disk.names(&folder)?.into_iter();
            let inside = inside.filter(|name| name != KEPT);
            names.extend(inside.map(|name| format!("{folder}/{name}")));
        }
        for name in TOP {
            if disk.length(name)?.is_some() {
                names.push(name.to_owned());
            }
        }
        Ok(names)
    }
}

fn add(
    tar: &mut tar::Builder<BufWriter<File>>,
    name: &str,
    bytes: &[u8],
    seconds: u64,
) -> io::Result<()> {
    let mut header = tar::Header::new_gnu();
    header.set_size(bytes.len() as u64);
    header.set_mode(0o600);
    header.set_mtime(seconds);
    tar.append_data(&mut header, name, bytes)
}

/// Reads a copy whole: every file must be as the manifest says.
///
/// # Errors
/// Names the file that is not.
pub fn read_copy(from: &Path) -> Result<Manifest, StoreError> {
    let mut found = BTreeMap::new();
    let mut manifest = None;
    each(from, &mut |name, bytes| {
        if name == MANIFEST {
            manifest =
                Some(serde_json::from_slice::<Manifest>(bytes).map_err(|error| error.to_string())?);
        } else {
            let digest = to_hex(&Sha256::digest(bytes));
            found.insert(name.to_owned(), (bytes.len() as u64, digest));
        }
        Ok(())
    })?;
    let damaged = |what: String| StoreError::Damaged {
        file: from.display().to_string(),
        what,
    };
    let Some(manifest) = manifest else {
        let what = "expected a whole backup: its manifest is missing, so it was cut off";
        return Err(damaged(what.into()));
    };
    if manifest.format != 1 {
        return Err(damaged(format!(
            "format: expected 1, found {}",
            manifest.format
        )));
    }
    for (name, said) in &manifest.files {
        match found.get(name) {
            Some(there) if there == said => {}
            Some(_) => {
                return Err(damaged(format!(
                    "{name}: is not as it was when it was copied"
                )));
            }
            None => return Err(damaged(format!("{name}: is missing"))),
        }
    }
    if let Some(name) = found
        .keys()
        .find(|name| !manifest.files.contains_key(*name))
    {
        return Err(damaged(format!("{name}: the manifest does not know it")));
    }
    Ok(manifest)
}

/// Makes a store of a copy, after all of the copy was read and found to hold. `go_on` is asked before each file is written,
/// with how many are done and how many there are; what was written until it says no is taken away again.
///
/// # Errors
/// If the copy does not hold, there is a store already, it was stopped, or the disk says no.
pub fn restore(
    from: &Path,
    into: &dyn Disk,
    go_on: &mut dyn FnMut(u64, u64) -> bool,
) -> Result<Manifest, StoreError> {
    let manifest = read_copy(from)?;
    let there = || -> io::Result<bool> {
        let mut any = false;
        for name in TOP {
            any |= into.length(name)?.is_some();
        }
        for folder in FOLDERS {
            any |= !into.names(folder)?.is_empty();
        }
        // Empty folders are what is left of a restoring that was stopped.
        for visit in into.names("visits")? {
            any |= !into.names(&format!("visits/{visit}"))?.is_empty();
        }
        Ok(any)
    };
    let failed = |error: io::Error| StoreError::Disk {
        file: into.told(),
        error,
    };
    if there().map_err(failed)? {
        return Err(StoreError::Already(into.told()));
    }
    let total = manifest.files.len();
    let mut written: Vec<String> = Vec::new();
    let done = each(from, &mut |name, bytes| {
        if name == MANIFEST {
            return Ok(());
        }
        if !go_on(written.len() as u64, total as u64) {
            return Err(format!("stopped after {} of {total} files", written.len()));
        }
        written.push(name.to_owned());
        into.replace(name, bytes)
            .map_err(|error| format!("{name}: {error}"))
    });
    if let Err(error) = done {
        for name in &written {
            into.remove(name).map_err(failed)?;
        }
        return Err(error);
    }
    Ok(manifest)
}

/// What is done with each file of a copy.
type Take<'a> = dyn FnMut(&str, &[u8]) -> Result<(), String> + 'a;

/// Calls for each file of a copy, in order.
fn each(from: &Path, take: &mut Take<'_>) -> Result<(), StoreError> {
    let failed = |error: io::Error| StoreError::Disk {
        file: from.display().to_string(),
        error,
    };
    // The library quotes names as they stand in the file, line breaks and all.
    let plain = |sign: char| if sign.is_control() { ' ' } else { sign };
    let damaged = |what: String| StoreError::Damaged {
        file: from.display().to_string(),
        what: what.chars().map(plain).collect(),
    };
    let file = File::open(from).map_err(failed)?;
    let mut tar = tar::Archive::new(BufReader::new(file));
    let entries = tar.entries().map_err(|error| damaged(error.to_string()))?;
    for entry in entries {
        let mut entry = entry.map_err(|error| damaged(error.to_string()))?;
        let name = String::from_utf8_lossy(&entry.path_bytes()).into_owned();
        if !belongs(&name) || !entry.header().entry_type().is_file() {
            let name: String = name.chars().take(80).collect();
            return Err(damaged(format!("{name:?}: expected a file of a store")));
        }
        if entry.size() > LONGEST {
            return Err(damaged(format!("{name}: expected at most {LONGEST} bytes")));
        }
        let mut bytes = Vec::new();
        entry
            .read_to_end(&mut bytes)
            .map_err(|error| damaged(format!("{name}: {error}")))?;
        if (bytes.len() as u64) < entry.size() {
            return Err(damaged(format!("{name}: is cut off")));
        }
        take(&name, &bytes).map_err(damaged)?;
    }
    Ok(())
}

/// Whether a name can be that of a file of a store: nothing that leads out of its folder.
fn belongs(name: &str) -> bool {
    let plain = |part: &str| {
        let sign = |sign: char| sign.is_ascii_alphanumeric() || matches!(sign, '.' | '-' | '_');
        !part.is_empty() && !part.starts_with('.') && part.chars().all(sign)
    };
    let parts: Vec<&str> = name.split('/').collect();
    let place = match parts[..] {
        [top] => TOP.contains(&top) || top == MANIFEST,
        [folder, _] => FOLDERS.contains(&folder),
        ["visits", _, _] => true,
        _ => false,
    };
    place && parts.iter().all(|part| plain(part))
}
