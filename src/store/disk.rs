//! Where a store's files lie: a folder, or in tests a disk whose power fails.

use crate::journal::{FileStore, Store};
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// A journal wherever it is kept, plain or encrypted.
pub type Kept = Box<dyn Store + Send>;

/// What a store needs of its disk. Names are relative, with `/` between folders.
pub trait Disk: Send {
    /// Makes a new file to append to, its name durable.
    ///
    /// # Errors
    /// If it exists, or what the disk says.
    fn create(&self, name: &str) -> io::Result<Kept>;
    /// Opens a file to append to.
    ///
    /// # Errors
    /// What the disk says.
    fn open(&self, name: &str) -> io::Result<Kept>;
    /// The bytes of a file from an offset on; none beyond its end.
    ///
    /// # Errors
    /// What the disk says.
    fn read(&self, name: &str, from: u64) -> io::Result<Vec<u8>>;
    /// The bytes of a file that is known to be small.
    ///
    /// # Errors
    /// If it is longer than so many bytes, or what the disk says.
    fn read_at_most(&self, name: &str, most: u64) -> io::Result<Vec<u8>> {
        if let Some(found) = self.length(name)?.filter(|found| *found > most) {
            let what = format!("expected at most {most} bytes, found {found}");
            return Err(io::Error::new(io::ErrorKind::InvalidData, what));
        }
        self.read(name, 0)
    }
    /// Puts whole contents in place of what a file held; durable when it returns, and never half.
    ///
    /// # Errors
    /// What the disk says.
    fn replace(&self, name: &str, bytes: &[u8]) -> io::Result<()>;
    /// Gives a file another name, durably.
    ///
    /// # Errors
    /// What the disk says.
    fn rename(&self, from: &str, to: &str) -> io::Result<()>;
    /// Takes a file away, durably. One that is not there is none to take away.
    ///
    /// # Errors
    /// What the disk says.
    fn remove(&self, name: &str) -> io::Result<()>;
    /// The names in a folder, in order; none if there is no such folder.
    ///
    /// # Errors
    /// What the disk says.
    fn names(&self, folder: &str) -> io::Result<Vec<String>>;
    /// How long a file is, or none if there is none.
    ///
    /// # Errors
    /// What the disk says.
    fn length(&self, name: &str) -> io::Result<Option<u64>>;
    /// Where the index can lie as a database file; none: only in memory.
    fn database(&self, name: &str) -> Option<PathBuf>;
    /// What to call this disk in messages.
    fn told(&self) -> String;
    /// Makes sure that this program alone writes.
    ///
    /// # Errors
    /// If another program has the store open.
    fn hold(&self) -> io::Result<Hold> {
        Ok(Hold::Writing(None))
    }
}

/// Whether a store may be written, and the lock that makes it so.
pub enum Hold {
    /// This program alone writes, as long as the file is held.
    Writing(Option<File>),
    /// The folder cannot be written.
    ReadOnly,
}

/// A folder of the file system.
#[derive(Debug, Clone)]
pub struct Folder {
    root: PathBuf,
}

const LOCK: &str = "in-use";

impl Folder {
    /// A store's folder; it need not exist yet.
    #[must_use]
    pub fn new(root: &Path) -> Folder {
        Folder {
            root: root.to_owned(),
        }
    }

    /// Where a file lies.
    #[must_use]
    pub fn path(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// The folder of a file, made if it is not there, durably.
    fn folder_of(&self, path: &Path) -> io::Result<PathBuf> {
        let folder = path.parent().unwrap_or(&self.root).to_owned();
        make_folder(&folder)?;
        Ok(folder)
    }
}

/// Makes a folder and those it lies in; the name of each is durable in the one above it.
fn make_folder(folder: &Path) -> io::Result<()> {
    if folder.as_os_str().is_empty() || folder.exists() {
        return Ok(());
    }
    let above = folder.parent();
    above.map_or(Ok(()), make_folder)?;
    match std::fs::create_dir(folder) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => return Err(error),
        _ => {}
    }
    sync_folder(above.filter(|above| !above.as_os_str().is_empty()))
}

/// A folder without the right to write, or a medium that takes nothing.
fn cannot_be_written(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem
    )
}

/// Names must survive a loss of power as well as contents do. Only some systems let a folder be
/// opened; where they do not, names are as durable as the system makes them.
pub(super) fn sync_folder(folder: Option<&Path>) -> io::Result<()> {
    match folder {
        Some(folder) if cfg!(unix) => File::open(folder)?.sync_all(),
        _ => Ok(()),
    }
}

impl Disk for Folder {
    fn create(&self, name: &str) -> io::Result<Kept> {
        let path = self.path(name);
        self.folder_of(&path)?;
        Ok(Box::new(FileStore::create(&path)?))
    }

    fn open(&self, name: &str) -> io::Result<Kept> {
        Ok(Box::new(FileStore::open(&self.path(name))?))
    }

    fn read(&self, name: &str, from: u64) -> io::Result<Vec<u8>> {
        let mut file = File::open(self.path(name))?;
        file.seek(SeekFrom::Start(from))?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn replace(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let path = self.path(name);
        let folder = self.folder_of(&path)?;
        let new = path.with_extension("new");
        let mut file = private(&new)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        std::fs::rename(&new, &path)?;
        sync_folder(Some(&folder))
    }

    fn rename(&self, from: &str, to: &str) -> io::Result<()> {
        let (from, to) = (self.path(from), self.path(to));
        self.folder_of(&to)?;
        std::fs::rename(&from, &to)?;
        sync_folder(to.parent())?;
        sync_folder(from.parent())
    }

    fn remove(&self, name: &str) -> io::Result<()> {
        let path = self.path(name);
        match std::fs::remove_file(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
            removed => removed?,
        }
        sync_folder(path.parent())
    }

    fn names(&self, folder: &str) -> io::Result<Vec<String>> {
        let entries = match std::fs::read_dir(self.path(folder)) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            entries => entries?,
        };
        let mut names = Vec::new();
        for entry in entries {
            names.push(entry?.file_name().to_string_lossy().into_owned());
        }
        // What was being written when the power failed is no file of the store.
        names.retain(|name| {
            Path::new(name)
                .extension()
                .is_none_or(|ending| ending != "new")
        });
        names.sort();
        Ok(names)
    }

    fn length(&self, name: &str) -> io::Result<Option<u64>> {
        match std::fs::metadata(self.path(name)) {
            Ok(found) => Ok(Some(found.len())),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    fn database(&self, name: &str) -> Option<PathBuf> {
        Some(self.path(name))
    }

    fn told(&self) -> String {
        self.root.display().to_string()
    }

    fn hold(&self) -> io::Result<Hold> {
        let path = self.path(LOCK);
        let opened = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(path);
        let file = match opened {
            Ok(file) => file,
            Err(error) if cannot_be_written(&error) => return Ok(Hold::ReadOnly),
            Err(error) => return Err(error),
        };
        match file.try_lock() {
            Ok(()) => Ok(Hold::Writing(Some(file))),
            Err(TryLockError::WouldBlock) => Err(io::Error::new(
                io::ErrorKind::ResourceBusy,
                "it is open in another window of this program; close it there first",
            )),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

/// A file that only its owner reads, where the system knows such a thing: keys lie in some.
fn private(path: &Path) -> io::Result<File> {
    private_by(
        path,
        OpenOptions::new().write(true).create(true).truncate(true),
    )
}

/// A new one.
///
/// # Errors
/// If there is one, or what the disk says.
pub fn new_private_file(path: &Path) -> io::Result<File> {
    private_by(path, OpenOptions::new().write(true).create_new(true))
}

fn private_by(path: &Path, options: &mut OpenOptions) -> io::Result<File> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    options.open(path)
}
