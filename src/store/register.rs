//! The register of a store: what was done with people and visits, by whom, one line each, chained
//! as a journal is. Nothing in it is ever changed, and no name stands in it.

use super::code::Code;
use super::disk::{Disk, Kept};
use super::people::Role;
use super::sealed::{MAGIC, Sealing, after_magic};
use super::signature::SignedHead;
use crate::journal::{Head, Numbered, check_on};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use std::io;

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "body", rename_all = "snake_case")]
pub enum Deed {
    /// The store was made.
    Founded {
        /// Version of the store's format.
        format: u32,
        /// The store's own code.
        store: Code,
        /// Name and version of the program.
        program: String,
    },
    /// Somebody works here from now on.
    UserAdded {
        /// Their code.
        user: Code,
        /// What they answer for.
        role: Role,
        /// SHA-256 of the file of who they are, with its salt; a store of layout 1 kept none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        digest: Option<String>,
    },
    /// Somebody works here no more.
    UserLeft {
        /// Their code.
        user: Code,
    },
    /// A person was entered.
    PersonAdded {
        /// Their code.
        person: Code,
        /// As of a user.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        digest: Option<String>,
    },
    /// Who a person is was corrected.
    PersonChanged {
        /// Their code.
        person: Code,
        /// Why.
        reason: String,
        /// As of a user.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        digest: Option<String>,
    },
    /// Who a person is was taken away; what was measured stays under the code.
    PersonErased {
        /// Their code.
        person: Code,
        /// Why.
        reason: String,
    },
    /// A visit began here.
    VisitBegun(Filed),
    /// A visit was brought from elsewhere, to the byte.
    VisitImported(Filed),
    /// A journal lay here that the register did not know.
    VisitFound(Filed),
    /// A visit was given to another person, or to none.
    VisitMoved {
        /// Its code.
        visit: Code,
        /// Whose it is now.
        person: Option<Code>,
        /// Why.
        reason: String,
    },
    /// A visit that was over is about to be added to.
    VisitOpened {
        /// Its code.
        visit: Code,
        /// Why.
        reason: String,
    },
    /// A visit stands where it is signed.
    VisitSettled {
        /// Its code.
        visit: Code,
        /// Whether it is over.
        closed: bool,
        /// Its head, signed.
        signed: SignedHead,
    },
    /// A visit was taken away. This line stays, and says who did it, when and why.
    VisitErased {
        /// Its code.
        visit: Code,
        /// Why.
        reason: String,
        /// The head of its journal.
        head: String,
    },
    /// A visit left this store as a file.
    VisitExported {
        /// Its code.
        visit: Code,
    },
    /// The machine's clock is before the last line's time.
    ClockWentBack {
        /// What it said at the last line.
        last: Timestamp,
    },
    /// Something of the store did not hold and was put right.
    Mended {
        /// What.
        what: String,
    },
    /// The register was not as this store was left: lines were missing, or another hand had written it. Nothing is
    /// signed by itself until somebody has looked at it.
    FoundOtherwise {
        /// How.
        what: String,
    },
    /// Somebody looked at what was found otherwise, and lets the store go on.
    Acknowledged {},
    /// A journal that lies outside was signed with this store's key.
    JournalSigned {
        /// What was signed.
        signed: SignedHead,
    },
    /// The passphrase was changed.
    PassphraseChanged {},
    /// A copy of all was made.
    BackedUp {
        /// How many files it holds.
        files: u64,
    },
}

/// A visit as it is filed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Filed {
    /// Its code.
    pub visit: Code,
    /// Whose it is; none of a simulated person.
    pub person: Option<Code>,
    /// When it began.
    pub began: Timestamp,
    /// The name of its plan.
    pub plan: String,
    /// The title of a simulated person, or what else answered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub simulated: Option<String>,
}

/// A line of the register, without its hash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// From 1, without gaps.
    pub number: u64,
    /// Wall-clock time, UTC.
    pub time: Timestamp,
    /// Who did it; none while nobody has said who they are.
    pub by: Option<Code>,
    /// What.
    #[serde(flatten)]
    pub deed: Deed,
}

/// What was found otherwise, and by nobody acknowledged since.
pub(super) fn found_otherwise(entries: &[Entry]) -> Option<&str> {
    let latest = entries.iter().rev().find(|entry| {
        matches!(
            entry.deed,
            Deed::FoundOtherwise { .. } | Deed::Acknowledged {}
        )
    })?;
    match &latest.deed {
        Deed::FoundOtherwise { what } => Some(what),
        _ => None,
    }
}

impl Numbered for Entry {
    fn number(&self) -> u64 {
        self.number
    }
}

/// Where the register stands: so that a later opening need not read it from the beginning.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(super) struct Place {
    /// Bytes of the file.
    pub bytes: u64,
    /// Where its last line begins.
    pub last: u64,
    /// Lines.
    pub lines: u64,
    /// Hash of the last line.
    pub hash: String,
}

/// The register, open.
pub(super) struct Register {
    kept: Option<Kept>,
    sealing: Option<Sealing>,
    place: Place,
    last_time: Timestamp,
    /// Whether something stands behind the whole lines.
    torn: bool,
}

/// Lines read from the register.
#[derive(Default)]
pub(super) struct Read {
    pub entries: Vec<Entry>,
    /// Bytes behind the last whole line, cut off while they were written.
    pub torn: u64,
}

/// Why it cannot be read.
#[derive(Debug, thiserror::Error)]
pub(super) enum RegisterError {
    #[error(transparent)]
    Disk(#[from] io::Error),
    /// It does not stand where it is remembered to stand.
    #[error("it is not as it was left: it was changed or cut off by another hand")]
    Elsewhere,
    /// A line does not fit.
    #[error("line {line}: {expected}")]
    Bad {
        line: u64,
        expected: String,
        /// The lines before it.
        entries: Vec<Entry>,
    },
}

pub(super) fn file_name(sealed: bool) -> &'static str {
    if sealed {
        "register.sealed"
    } else {
        "register.jsonl"
    }
}

impl Register {
    /// Makes a new one.
    pub fn create(disk: &dyn Disk, sealing: Option<Sealing>) -> io::Result<Register> {
        let mut kept = disk.create(file_name(sealing.is_some()))?;
        let mut place = Place::default();
        if sealing.is_some() {
            kept.append(MAGIC)?;
            place.bytes = MAGIC.len() as u64;
        }
        Ok(Register {
            kept: Some(kept),
            sealing,
            place,
            last_time: Timestamp::UNIX_EPOCH,
            torn: false,
        })
    }

    /// Opens it and reads what follows `from`, the last line at `from` included. `writing` opens it
    /// to append.
    pub fn open(
        disk: &dyn Disk,
        sealing: Option<Sealing>,
        from: &Place,
        writing: bool,
    ) -> Result<(Register, Read), RegisterError> {
        let name = file_name(sealing.is_some());
        let (read, place) = read_from(disk, name, sealing.as_ref(), from)?;
        let kept = writing.then(|| disk.open(name)).transpose()?;
        let last_time = read
            .entries
            .last()
            .map_or(Timestamp::UNIX_EPOCH, |entry| entry.time);
        // An encrypted one may have ended before it had even its first bytes.
        let torn = read.torn > 0 || (sealing.is_some() && place.bytes == 0);
        let register = Register {
            kept,
            sealing,
            place,
            last_time,
            torn,
        };
        Ok((register, read))
    }

    pub fn place(&self) -> &Place {
        &self.place
    }

    /// When its last line was written.
    pub fn last_time(&self) -> Timestamp {
        self.last_time
    }

    /// Adds a line and makes it durable. If the disk refuses, the register stands where it stood.
    pub fn append(&mut self, time: Timestamp, by: Option<&Code>, deed: Deed) -> io::Result<Entry> {
        let Some(kept) = &mut self.kept else {
            return Err(io::Error::new(
                io::ErrorKind::ReadOnlyFilesystem,
                "this folder cannot be written",
            ));
        };
        if self.torn {
            kept.truncate(self.place.bytes)?;
            if self.sealing.is_some() && self.place.bytes == 0 {
                kept.append(MAGIC)?;
                self.place.bytes = MAGIC.len() as u64;
            }
            self.torn = false;
        }
        let mut head = Head {
            lines: self.place.lines,
            hash: self.place.hash.clone(),
        };
        let entry = Entry {
            number: head.lines + 1,
            time,
            by: by.cloned(),
            deed,
        };
        let line = head.seal(&entry).into_bytes();
        let bytes = match &self.sealing {
            Some(sealing) => sealing.frame(entry.number, &line)?,
            None => line,
        };
        self.torn = true;
        kept.append(&bytes)?;
        kept.sync()?;
        self.torn = false;
        self.place = Place {
            last: self.place.bytes,
            bytes: self.place.bytes + bytes.len() as u64,
            lines: head.lines,
            hash: head.hash,
        };
        self.last_time = time;
        Ok(entry)
    }
}

fn read_from(
    disk: &dyn Disk,
    name: &str,
    sealing: Option<&Sealing>,
    from: &Place,
) -> Result<(Read, Place), RegisterError> {
    let bytes = disk.read(name, from.last)?;
    // From the beginning an encrypted one has its magic first.
    let whole = from.lines == 0;
    let (begins, bytes) = if sealing.is_some() && whole {
        let Some(rest) = after_magic(&bytes)? else {
            let read = Read {
                torn: bytes.len() as u64,
                ..Read::default()
            };
            return Ok((read, Place::default()));
        };
        (MAGIC.len() as u64, rest.to_vec())
    } else {
        (from.last, bytes)
    };
    let first = from.lines.max(1);
    let (lines, ends, torn) = match sealing {
        Some(sealing) => {
            let opened = sealing.open(&bytes, first, begins).map_err(|error| {
                if whole {
                    RegisterError::Bad {
                        line: 1,
                        expected: error.to_string(),
                        entries: Vec::new(),
                    }
                } else {
                    RegisterError::Elsewhere
                }
            })?;
            let begin: Vec<u64> = opened.frames.iter().map(|(at, _)| *at).collect();
            let lines: Vec<Vec<u8>> = opened.frames.into_iter().map(|(_, line)| line).collect();
            (lines, (begin, opened.length), opened.torn)
        }
        None => split(&bytes, begins),
    };
    let (begin, length) = ends;
    let mut rest = &lines[..];
    if !whole {
        // The line at which it was left must be there as it was.
        let (last, after) = lines.split_first().ok_or(RegisterError::Elsewhere)?;
        let ends = begin.get(1).copied().unwrap_or(length);
        let sealed = format!(",\"hash\":\"{}\"}}\n", from.hash);
        if ends != from.bytes || !last.ends_with(sealed.as_bytes()) {
            return Err(RegisterError::Elsewhere);
        }
        rest = after;
    }
    let head = Head {
        lines: from.lines,
        hash: from.hash.clone(),
    };
    let (entries, head) =
        check_on::<Entry>(head, &rest.concat()).map_err(|damage| RegisterError::Bad {
            line: damage.error.line,
            expected: damage.error.expected,
            entries: damage.events,
        })?;
    let place = Place {
        bytes: length,
        last: begin.last().copied().unwrap_or(from.last),
        lines: head.lines,
        hash: head.hash,
    };
    Ok((Read { entries, torn }, place))
}

type Lines = (Vec<Vec<u8>>, (Vec<u64>, u64), u64);

/// Whole lines, where each begins and where the last ends, and how many bytes follow them.
fn split(bytes: &[u8], from: u64) -> Lines {
    let (mut lines, mut begin, mut at) = (Vec::new(), Vec::new(), 0);
    for line in bytes.split_inclusive(|byte| *byte == b'\n') {
        if line.ends_with(b"\n") {
            begin.push(from + at as u64);
            lines.push(line.to_vec());
            at += line.len();
        }
    }
    let torn = (bytes.len() - at) as u64;
    (lines, (begin, from + at as u64), torn)
}
