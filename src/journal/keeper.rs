//! Keeps the journal and its fold together: what is appended is what is counted.

use super::chain::{ChainError, Head, check};
use super::event::{Body, Event, FORMAT, Opening};
use super::record::{OutOfPlace, Record};
use super::store::Store;
use crate::quantity::Moment;
use jiff::{SignedDuration, Timestamp};
use std::io;

/// What can go wrong with a journal.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// The storage failed; what was said to be durable before still is.
    #[error("the journal cannot be written: {0}")]
    Storage(#[from] io::Error),
    /// A line does not fit the lines before it.
    #[error(transparent)]
    Chain(#[from] ChainError),
    /// An event cannot follow the events before it.
    #[error("line {line}: {source}")]
    OutOfPlace {
        /// Which line, from 1.
        line: u64,
        /// Why it cannot stand there.
        source: OutOfPlace,
    },
    /// There is nothing in it.
    #[error("line 1: expected the opening of a visit, found nothing")]
    Empty,
}

/// A journal that is being written, with its fold.
///
/// After the storage has failed nobody knows how much of a line it kept, so nothing more can be
/// appended: what was said to be durable is found by opening the journal anew.
pub struct Journal<S> {
    store: S,
    head: Head,
    epoch: Timestamp,
    record: Record,
    failed: bool,
}

impl<S: Store> Journal<S> {
    /// Begins a journal; `epoch` is the wall-clock time at the visit's beginning.
    ///
    /// # Errors
    /// If the storage fails.
    pub fn begin(store: S, opening: Opening, epoch: Timestamp) -> Result<Self, JournalError> {
        let record = Record::new(opening.clone());
        let mut journal = Journal {
            store,
            head: Head::default(),
            epoch,
            record,
            failed: false,
        };
        journal.write(Body::Opened(Box::new(opening)), Moment::START)?;
        journal.sync()?;
        Ok(journal)
    }

    /// Opens a journal to go on with it. A last line whose writing was interrupted is taken out
    /// and kept in a `repaired` event.
    ///
    /// # Errors
    /// If a line other than an interrupted last one does not fit, or the storage fails.
    pub fn open(mut store: S) -> Result<Self, JournalError> {
        let bytes = store.read()?;
        let (events, head, cut) = match check(&bytes) {
            Ok((events, head)) => (events, head, None),
            Err(damage) if damage.error.cut_off => {
                (damage.events, damage.head, Some(damage.error.offset))
            }
            Err(damage) => return Err(damage.error.into()),
        };
        let (record, epoch) = Record::of(&events)?;
        if let Some(offset) = cut {
            store.truncate(offset as u64)?;
        }
        let last = record.last_moment();
        let mut journal = Journal {
            store,
            head,
            epoch,
            record,
            failed: false,
        };
        if let Some(offset) = cut {
            let cut = String::from_utf8_lossy(&bytes[offset..]).into_owned();
            journal.append(Body::Repaired { cut }, last)?;
            journal.sync()?;
        }
        Ok(journal)
    }

    /// Appends an event. It is durable only after [`Journal::sync`].
    ///
    /// # Errors
    /// If the event cannot follow those before it; then nothing has changed. If the storage fails
    /// or has failed before; then nothing more can be appended.
    pub fn append(&mut self, body: Body, at: Moment) -> Result<(), JournalError> {
        self.must_work()?;
        let line = self.head.lines + 1;
        self.record
            .fold(&body, at)
            .map_err(|source| JournalError::OutOfPlace { line, source })?;
        self.write(body, at)
    }

    /// Makes all that was appended durable.
    ///
    /// # Errors
    /// If the storage fails or has failed before.
    pub fn sync(&mut self) -> Result<(), JournalError> {
        self.must_work()?;
        let synced = self.store.sync();
        self.failed = synced.is_err();
        Ok(synced?)
    }

    /// Whether anything more can be written.
    ///
    /// # Errors
    /// If the storage has failed before.
    pub fn must_work(&self) -> Result<(), JournalError> {
        if self.failed {
            let why = "it failed before; open the visit again to go on with what it holds";
            return Err(io::Error::other(why).into());
        }
        Ok(())
    }

    /// What the journal holds so far.
    #[must_use]
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// The storage.
    #[must_use]
    pub fn store(&self) -> &S {
        &self.store
    }

    /// All that is stored, byte for byte.
    ///
    /// # Errors
    /// What the storage says.
    pub fn bytes(&mut self) -> io::Result<Vec<u8>> {
        self.store.read()
    }

    /// Wall-clock time at the visit's beginning.
    #[must_use]
    pub fn epoch(&self) -> Timestamp {
        self.epoch
    }

    /// Where the chain stands.
    #[must_use]
    pub fn head(&self) -> &Head {
        &self.head
    }

    fn write(&mut self, body: Body, at: Moment) -> Result<(), JournalError> {
        let since = SignedDuration::from_micros(at.micros());
        // Beyond the calendar there are only forged moments.
        let time = self.epoch.saturating_add(since).unwrap_or(self.epoch);
        let event = Event {
            number: self.head.lines + 1,
            time,
            t_s: at,
            body,
        };
        let line = self.head.seal(&event);
        let written = self.store.append(line.as_bytes());
        self.failed = written.is_err();
        Ok(written?)
    }
}

impl Record {
    /// Folds the events of a whole journal; also tells the wall-clock time of its beginning.
    ///
    /// # Errors
    /// If there is no opening, or an event cannot follow those before it.
    pub fn of(events: &[Event]) -> Result<(Record, Timestamp), JournalError> {
        Record::follow(events, |_, _| ())
    }

    /// The same, and shows each event after the first together with what was known before it.
    ///
    /// # Errors
    /// If there is no opening, or an event cannot follow those before it.
    pub fn follow(
        events: &[Event],
        mut shown: impl FnMut(&Record, &Event),
    ) -> Result<(Record, Timestamp), JournalError> {
        let Some((
            Event {
                body: Body::Opened(opening),
                time,
                ..
            },
            rest,
        )) = events.split_first()
        else {
            return Err(JournalError::Empty);
        };
        if opening.format != FORMAT {
            let source = OutOfPlace::format(opening.format);
            return Err(JournalError::OutOfPlace { line: 1, source });
        }
        let mut record = Record::new((**opening).clone());
        for event in rest {
            shown(&record, event);
            record
                .fold(&event.body, event.t_s)
                .map_err(|source| JournalError::OutOfPlace {
                    line: event.number,
                    source,
                })?;
        }
        Ok((record, *time))
    }
}
