//! A visit as it leaves the house.

use super::Findings;
use crate::finding::MATHEMATICS;
use crate::journal::{self, Acting, Body, Event, Head, JournalError, Record};
use jiff::Timestamp;

/// The stored bytes of a journal, and what is folded from them.
#[derive(Debug, Clone, PartialEq)]
pub struct Dossier {
    /// The journal, byte for byte; of one whose last line was cut off, the lines before it.
    pub journal: Vec<u8>,
    /// The head of its chain: how many lines, and the last hash.
    pub head: Head,
    /// When the visit began.
    pub began: Timestamp,
    /// When the last thing happened.
    pub ended: Timestamp,
    /// Every line of it.
    pub events: Vec<Event>,
    /// What happened.
    pub record: Record,
    /// What it says.
    pub findings: Findings,
    /// Its signed head, where there is one.
    pub signed: Option<Signed>,
    name: String,
}

/// A signature over the head of the journal, as a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signed {
    /// When it was signed.
    pub at: Timestamp,
    /// The public key, hexadecimal.
    pub key: String,
    /// The document, byte for byte.
    pub document: Vec<u8>,
}

/// Why a journal makes no dossier.
#[derive(Debug, thiserror::Error)]
pub enum DossierError {
    /// It does not hold.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// It was made with a later version of the mathematics.
    #[error("mathematics: expected {MATHEMATICS} or less, found {0}")]
    Mathematics(u32),
}

impl Dossier {
    /// Reads a journal and folds it.
    ///
    /// # Errors
    /// If it does not hold; a last line that was cut off while it was written is left out.
    pub fn of(mut journal: Vec<u8>) -> Result<Dossier, DossierError> {
        let (events, head) = match journal::check(&journal) {
            Ok(whole) => whole,
            Err(damage) if damage.error.cut_off => {
                journal.truncate(damage.error.offset);
                (damage.events, damage.head)
            }
            Err(damage) => return Err(JournalError::from(damage.error).into()),
        };
        let (record, began) = Record::of(&events)?;
        let made_with = record.opening.mathematics;
        if made_with > MATHEMATICS {
            return Err(DossierError::Mathematics(made_with));
        }
        Ok(Dossier {
            name: name_of(&journal),
            findings: Findings::of(&record),
            ended: events.last().map_or(began, |last| last.time),
            signed: None,
            events,
            journal,
            head,
            began,
            record,
        })
    }

    /// Who acted, each once, in the order of their first deed; none where nobody had signed in.
    #[must_use]
    pub fn acted(&self) -> Vec<&Acting> {
        let mut all = Vec::new();
        for event in &self.events {
            if let Body::Acts(who) = &event.body
                && !all.contains(&who)
            {
                all.push(who);
            }
        }
        all
    }

    /// Whose visit it is, as the record knows them.
    #[must_use]
    pub fn whose(&self) -> &str {
        self.record.opening.person.name()
    }

    /// What names the visit in tables: the first 16 digits of the hash of its first line. It stays
    /// the same while the visit goes on, which its head does not.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }
}

/// The first digits of the hash at the end of the first line.
fn name_of(journal: &[u8]) -> String {
    let first = journal.split(|byte| *byte == b'\n').next().unwrap_or(&[]);
    let line = String::from_utf8_lossy(first);
    let hash = line.rsplit('"').nth(1).unwrap_or_default();
    hash.chars().take(16).collect()
}
