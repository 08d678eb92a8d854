//! Files put into folders: whole files only, and none over another unasked.

use super::ErrandError;
use crate::report::Attachment;
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// What was put into a folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Exported {
    /// Where.
    pub folder: PathBuf,
    /// The files, each with its size in bytes.
    pub files: BTreeMap<String, usize>,
}

impl Exported {
    pub(super) fn bytes(&self) -> usize {
        self.files.values().sum()
    }
}

/// Puts files into a folder. Where `force` is not told none replaces another, and then nothing is
/// written; the journal `own`, which may be open, is never written over.
///
/// # Errors
/// If a file stands there already, or the folder cannot be written.
pub fn put_all(
    folder: &Path,
    files: &[Attachment],
    force: bool,
    own: Option<&Path>,
) -> Result<Exported, ErrandError> {
    let same = |path: &Path| {
        let of = |path: &Path| std::fs::canonicalize(path).ok();
        own.is_some_and(|own| of(path).is_some() && of(path) == of(own))
    };
    let places = files.iter().map(|file| (folder.join(&file.name), file));
    let places: Vec<_> = places.filter(|(path, _)| !same(path)).collect();
    // Looked at before anything is written: half an export is none.
    for (path, _) in &places {
        nothing_here(path, force)?;
    }
    std::fs::create_dir_all(folder).map_err(|error| ErrandError::failed(folder, error))?;
    let mut written = BTreeMap::new();
    for (path, file) in places {
        put(&path, &file.bytes)?;
        written.insert(file.name.clone(), file.bytes.len());
    }
    Ok(Exported {
        folder: folder.to_owned(),
        files: written,
    })
}

/// That nothing would be replaced unasked.
pub(super) fn nothing_here(path: &Path, force: bool) -> Result<(), ErrandError> {
    if path.exists() && !force {
        return Err(ErrandError::StandsAlready(path.to_owned()));
    }
    Ok(())
}

/// Where a file is written before it is put into its place.
pub(super) fn beside(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    path.with_file_name(name)
}

/// Puts a file into its place, whatever stands there.
pub(super) fn put(path: &Path, bytes: &[u8]) -> Result<(), ErrandError> {
    let part = beside(path);
    std::fs::write(&part, bytes)
        .and_then(|()| std::fs::rename(&part, path))
        .map_err(|error| ErrandError::failed(path, error))
}
