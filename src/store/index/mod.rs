//! The index: what must be found fast, in `SQLite`. All of it can be made again from the register,
//! the journals and who people are; so it may be lost, and never is what anybody relies on.

mod ask;

pub use ask::{FoundPerson, FoundUser, FoundVisit, State, VisitsOf};

use super::code::Code;
use super::people::{Identity, User};
use super::register::{Deed, Entry, Filed, Place};
use rusqlite::{Connection, ErrorCode, OptionalExtension, Transaction, params};
use std::path::Path;

/// The version of the tables (`user_version`).
pub const TABLES: u32 = 2;
/// Tells the file from other databases (`application_id`): 'VRDS'.
const OURS: i32 = 0x5652_4453;

/// What each version added to the one before.
const MIGRATIONS: [&str; TABLES as usize] =
    [include_str!("version-1.sql"), include_str!("version-2.sql")];

/// Why the index cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum IndexError {
    /// It was made by a newer program.
    #[error(
        "expected tables of version {TABLES} or less, found {0}: a newer version of this program made it"
    )]
    Newer(u32),
    /// It is some other database.
    #[error("expected the index of a store, found another database")]
    Another,
    /// What `SQLite` says.
    #[error("{0}")]
    Sql(#[from] rusqlite::Error),
}

impl IndexError {
    /// Whether the file itself is damaged, so that it has to be made again.
    #[must_use]
    pub fn is_damage(&self) -> bool {
        let damaged = [ErrorCode::DatabaseCorrupt, ErrorCode::NotADatabase];
        match self {
            IndexError::Another => true,
            IndexError::Sql(error) => {
                // A value of another kind, or a table that is missing, is damage as well.
                let strange = matches!(
                    error,
                    rusqlite::Error::InvalidColumnType(..)
                        | rusqlite::Error::FromSqlConversionFailure(..)
                        | rusqlite::Error::IntegralValueOutOfRange(..)
                );
                let code = error.sqlite_error_code();
                strange || code.is_some_and(|code| damaged.contains(&code)) || is_missing(error)
            }
            IndexError::Newer(_) => false,
        }
    }
}

fn is_missing(error: &rusqlite::Error) -> bool {
    let text = error.to_string();
    text.contains("no such table") || text.contains("no such column") || text.contains("malformed")
}

/// The index, open.
pub(super) struct Index {
    connection: Connection,
}

impl Index {
    /// Opens the file, made anew if there is none; older tables are brought up to date.
    pub fn open(path: &Path) -> Result<Index, IndexError> {
        let connection = Connection::open(path)?;
        // Readers never wait for the writer, and what was committed outlasts a loss of power.
        connection.pragma_update(None, "journal_mode", "WAL")?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        connection.pragma_update(None, "secure_delete", true)?;
        Index::over(connection)
    }

    /// One in memory.
    pub fn in_memory() -> Result<Index, IndexError> {
        Index::over(Connection::open_in_memory()?)
    }

    /// One in memory, as [`Index::bytes`] gave it.
    pub fn from_bytes(bytes: &[u8]) -> Result<Index, IndexError> {
        let mut connection = Connection::open_in_memory()?;
        connection.deserialize_read_exact("main", bytes, bytes.len(), false)?;
        Index::over(connection)
    }

    fn over(mut connection: Connection) -> Result<Index, IndexError> {
        connection.pragma_update(None, "cell_size_check", true)?;
        connection.pragma_update(None, "trusted_schema", false)?;
        let number = |name: &str| connection.pragma_query_value(None, name, |row| row.get(0));
        let (version, ours): (u32, i32) =
            (number("user_version")? as u32, number("application_id")?);
        if version > TABLES {
            return Err(IndexError::Newer(version));
        }
        if ours != OURS && (version > 0 || ours != 0) {
            return Err(IndexError::Another);
        }
        let transaction = connection.transaction()?;
        for tables in &MIGRATIONS[version as usize..] {
            transaction.execute_batch(tables)?;
        }
        if version < TABLES {
            transaction.pragma_update(None, "user_version", TABLES)?;
            transaction.pragma_update(None, "application_id", OURS)?;
        }
        transaction.commit()?;
        Ok(Index { connection })
    }

    /// The whole database, as a file would hold it.
    pub fn bytes(&mut self) -> Result<Vec<u8>, IndexError> {
        Ok(self.connection.serialize("main")?.to_vec())
    }

    /// What `SQLite` finds wrong with the file; nothing if it is whole.
    pub fn integrity(&self) -> Result<Vec<String>, IndexError> {
        let mut check = self.connection.prepare("PRAGMA integrity_check")?;
        let told = check.query_map([], |row| row.get::<_, String>(0))?;
        let told: Vec<String> = told.collect::<Result<_, _>>()?;
        Ok(told.into_iter().filter(|line| line != "ok").collect())
    }

    /// Up to where the register was taken in.
    pub fn place(&self) -> Result<Place, IndexError> {
        let text = self.said("register")?;
        Ok(text
            .and_then(|text| serde_json::from_str(&text).ok())
            .unwrap_or_default())
    }

    /// Something the index was told to keep.
    fn said(&self, key: &str) -> Result<Option<String>, IndexError> {
        let mut ask = self
            .connection
            .prepare_cached("SELECT value FROM said WHERE key = ?1")?;
        Ok(ask.query_row([key], |row| row.get(0)).optional()?)
    }

    /// Takes in what was done, and remembers that the register stands at `place`. `identity` and
    /// `user` tell who somebody is.
    pub fn take_in<'a>(
        &mut self,
        entries: impl IntoIterator<Item = &'a Entry>,
        place: &Place,
        identity: &dyn Fn(&Code) -> Option<Identity>,
        user: &dyn Fn(&Code) -> Option<User>,
    ) -> Result<(), IndexError> {
        let transaction = self.connection.transaction()?;
        let mut erased = false;
        for entry in entries {
            take_in(&transaction, entry, identity, user)?;
            erased |= matches!(entry.deed, Deed::PersonErased { .. });
        }
        let place = serde_json::to_string(place).unwrap_or_default();
        transaction
            .prepare_cached("INSERT OR REPLACE INTO said VALUES ('register', ?1)")?
            .execute([place])?;
        transaction.commit()?;
        // A name that was taken away is to be nowhere, nor in what was written ahead.
        if erased {
            self.connection
                .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        }
        Ok(())
    }

    /// Keeps what a list says of a visit, and of which head and mathematics it was made.
    pub fn summarise(
        &mut self,
        visit: &Code,
        summary: &str,
        head: &str,
        mathematics: u32,
    ) -> Result<(), IndexError> {
        self.connection
            .prepare_cached(
                "UPDATE visit SET summary = ?2, summary_head = ?3, mathematics = ?4 WHERE code = ?1",
            )?
            .execute(params![visit.plain(), summary, head, mathematics])?;
        Ok(())
    }
}

fn take_in(
    to: &Transaction<'_>,
    entry: &Entry,
    identity: &dyn Fn(&Code) -> Option<Identity>,
    user: &dyn Fn(&Code) -> Option<User>,
) -> Result<(), IndexError> {
    let time = entry.time.as_microsecond();
    match &entry.deed {
        Deed::UserAdded {
            user: code, role, ..
        } => {
            let name = user(code).map_or_else(|| code.to_string(), |user| user.name);
            to.prepare_cached("INSERT OR REPLACE INTO user VALUES (?1, ?2, ?3, 1)")?
                .execute(params![code.plain(), name, role.name()])?;
        }
        Deed::UserLeft { user } => {
            to.prepare_cached("UPDATE user SET works_here = 0 WHERE code = ?1")?
                .execute([user.plain()])?;
        }
        Deed::PersonAdded { person, .. } | Deed::PersonChanged { person, .. } => {
            to.prepare_cached("INSERT OR IGNORE INTO person (code, added) VALUES (?1, ?2)")?
                .execute(params![person.plain(), time])?;
            if let Some(who) = identity(person) {
                to.prepare_cached("INSERT OR REPLACE INTO identity VALUES (?1, ?2, ?3, ?4, ?5)")?
                    .execute(params![
                        person.plain(),
                        who.name,
                        who.born.map(|day| day.to_string()),
                        who.number_elsewhere,
                        who.looked_through(person)
                    ])?;
            }
        }
        Deed::PersonErased { person, .. } => {
            to.prepare_cached("DELETE FROM identity WHERE code = ?1")?
                .execute([person.plain()])?;
            to.prepare_cached("UPDATE person SET erased = ?2 WHERE code = ?1")?
                .execute(params![person.plain(), time])?;
        }
        Deed::VisitBegun(filed) | Deed::VisitImported(filed) | Deed::VisitFound(filed) => {
            file(to, filed)?;
        }
        Deed::VisitMoved { visit, person, .. } => {
            to.prepare_cached("UPDATE visit SET person = ?2 WHERE code = ?1")?
                .execute(params![visit.plain(), person.as_ref().map(Code::plain)])?;
        }
        Deed::VisitOpened { visit, .. } => {
            to.prepare_cached("UPDATE visit SET state = 'open' WHERE code = ?1")?
                .execute([visit.plain()])?;
        }
        Deed::VisitSettled {
            visit,
            closed,
            signed,
        } => {
            let state = if *closed { "closed" } else { "broken_off" };
            let signed_text = serde_json::to_string(signed).unwrap_or_default();
            to.prepare_cached(
                "UPDATE visit SET state = ?2, lines = ?3, head = ?4, signed = ?5 WHERE code = ?1",
            )?
            .execute(params![
                visit.plain(),
                state,
                signed.lines.cast_signed(),
                signed.head,
                signed_text
            ])?;
        }
        Deed::VisitErased { visit, reason, .. } => {
            to.prepare_cached(
                "UPDATE visit SET state = 'erased', summary = NULL, erased_at = ?2,
                 erased_by = ?3, erased_why = ?4 WHERE code = ?1",
            )?
            .execute(params![
                visit.plain(),
                time,
                entry.by.as_ref().map(Code::plain),
                reason
            ])?;
        }
        Deed::Founded { .. }
        | Deed::VisitExported { .. }
        | Deed::ClockWentBack { .. }
        | Deed::Mended { .. }
        | Deed::FoundOtherwise { .. }
        | Deed::Acknowledged {}
        | Deed::JournalSigned { .. }
        | Deed::PassphraseChanged {}
        | Deed::BackedUp { .. } => {}
    }
    Ok(())
}

fn file(to: &Transaction<'_>, filed: &Filed) -> Result<(), IndexError> {
    to.prepare_cached(
        "INSERT OR IGNORE INTO visit (code, person, began, plan, simulated, state)
         VALUES (?1, ?2, ?3, ?4, ?5, 'open')",
    )?
    .execute(params![
        filed.visit.plain(),
        filed.person.as_ref().map(Code::plain),
        filed.began.as_microsecond(),
        filed.plan,
        filed.simulated
    ])?;
    Ok(())
}
