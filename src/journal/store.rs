//! Where the bytes of a journal go.

use crate::journal::whole_file;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Seek, SeekFrom, Write};
use std::path::Path;

/// What a journal needs of its storage.
pub trait Store {
    /// Adds bytes at the end.
    ///
    /// # Errors
    /// What the storage says, for instance that it is full.
    fn append(&mut self, bytes: &[u8]) -> io::Result<()>;
    /// Returns only when all that was appended would survive a loss of power.
    ///
    /// # Errors
    /// What the storage says.
    fn sync(&mut self) -> io::Result<()>;
    /// All bytes from the beginning.
    ///
    /// # Errors
    /// What the storage says.
    fn read(&mut self) -> io::Result<Vec<u8>>;
    /// Cuts everything from `length` bytes on; used only to take out a last line that was cut
    /// off while it was being written.
    ///
    /// # Errors
    /// What the storage says.
    fn truncate(&mut self, length: u64) -> io::Result<()>;
}

impl<S: Store + ?Sized> Store for Box<S> {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        (**self).append(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        (**self).sync()
    }

    fn read(&mut self) -> io::Result<Vec<u8>> {
        (**self).read()
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        (**self).truncate(length)
    }
}

/// A journal file.
pub struct FileStore {
    file: File,
}

impl FileStore {
    /// Makes a new file.
    ///
    /// # Errors
    /// If there is a file already, or it cannot be made.
    pub fn create(path: &Path) -> io::Result<FileStore> {
        let file = OpenOptions::new()
            .read(true)
            .append(true)
            .create_new(true)
            .open(path)?;
        hold(&file)?;
        // The name must survive a loss of power as well as the contents.
        if let Some(folder) = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty())
        {
            File::open(folder)?.sync_all()?;
        }
        Ok(FileStore { file })
    }

    /// Opens an existing file.
    ///
    /// # Errors
    /// If it cannot be opened.
    pub fn open(path: &Path) -> io::Result<FileStore> {
        let file = OpenOptions::new().read(true).append(true).open(path)?;
        hold(&file)?;
        Ok(FileStore { file })
    }
}

/// Two programs that write one journal would destroy it.
fn hold(file: &File) -> io::Result<()> {
    file.try_lock().map_err(|error| match error {
        TryLockError::WouldBlock => io::Error::new(
            io::ErrorKind::ResourceBusy,
            "it is being written by another program",
        ),
        TryLockError::Error(error) => error,
    })
}

impl Store for FileStore {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.file.sync_data()
    }

    fn read(&mut self) -> io::Result<Vec<u8>> {
        self.file.seek(SeekFrom::Start(0))?;
        whole_file::to_end(&mut self.file, whole_file::LONGEST)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.file.set_len(length)
    }
}

/// A journal in memory.
#[derive(Debug, Default, Clone)]
pub struct MemoryStore {
    /// What was appended.
    pub bytes: Vec<u8>,
}

impl Store for MemoryStore {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.bytes.extend_from_slice(bytes);
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }

    fn read(&mut self) -> io::Result<Vec<u8>> {
        Ok(self.bytes.clone())
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.bytes
            .truncate(usize::try_from(length).unwrap_or(usize::MAX));
        Ok(())
    }
}

/// Keeps nothing: for studies of thousands of visits, of which only the findings matter.
#[derive(Debug, Default, Clone, Copy)]
pub struct Unkept;

impl Store for Unkept {
    fn append(&mut self, _: &[u8]) -> io::Result<()> {
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }

    fn read(&mut self) -> io::Result<Vec<u8>> {
        Ok(Vec::new())
    }

    fn truncate(&mut self, _: u64) -> io::Result<()> {
        Ok(())
    }
}
