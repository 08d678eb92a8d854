//! What can go wrong with a store, one line each.

use super::LAYOUT;
use crate::journal::JournalError;
use crate::store::index::IndexError;

/// What can go wrong with a store. Each is one line that says what is wrong, and where there is one,
/// the way on.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is none.
    #[error("{0}: expected a store; `veridical found` makes one")]
    None(String),
    /// There is one already.
    #[error("{0}: there is a store already")]
    Already(String),
    /// A newer program made it.
    #[error(
        "{place}: expected a store of layout {LAYOUT} or less, found {found}: open it with the newer version of this program that made it"
    )]
    Newer {
        /// Where it lies.
        place: String,
        /// Its layout.
        found: u32,
    },
    /// It is encrypted, and nothing was given to open it.
    #[error(
        "{0}: this store is encrypted: expected its passphrase, or the code of the recovery sheet"
    )]
    NeedsPassphrase(String),
    /// What was given does not open it.
    #[error("{0}: this passphrase or recovery code does not open it; nothing was changed")]
    WrongPassphrase(String),
    /// It is open elsewhere.
    #[error("{place}: {error}")]
    InUse {
        /// Where it lies.
        place: String,
        /// What the system says.
        error: std::io::Error,
    },
    /// It cannot be written.
    #[error("{0}: this folder cannot be written; the store is open for reading only")]
    ReadOnly(String),
    /// The disk said no.
    #[error("{file}: {error}")]
    Disk {
        /// Which file.
        file: String,
        /// What the system says.
        error: std::io::Error,
    },
    /// A file does not hold.
    #[error("{file}: {what}")]
    Damaged {
        /// Which file.
        file: String,
        /// What was expected, and the way on.
        what: String,
    },
    /// The index cannot be used.
    #[error("index: {0}")]
    Index(#[from] IndexError),
    /// A journal does not hold, or cannot be written.
    #[error("visit {visit}: {error}")]
    Journal {
        /// Which visit.
        visit: String,
        /// What is wrong with it.
        error: JournalError,
    },
    /// What was asked for cannot be done.
    #[error("{0}")]
    Refused(String),
}

impl StoreError {
    /// Whether it is what was given that cannot be used, and not something that failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        !matches!(
            self,
            StoreError::Disk { .. } | StoreError::Index(_) | StoreError::Journal { .. }
        )
    }
}
