//! Reads a journal again: does it hold, and what does it say?

use super::ErrandError;
use crate::finding::MATHEMATICS;
use crate::journal::{self, JournalError, Opening, Record};
use crate::report::Findings;
use serde::Serialize;
use std::path::Path;

/// Findings folded again from a journal.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Recount {
    /// The findings, now.
    #[serde(flatten)]
    pub findings: Findings,
    /// The version of the mathematics when the visit was made.
    pub mathematics_then: u32,
    /// Whether a last line that was cut off was left out.
    pub cut_line_left_out: bool,
    /// Whether the visit was closed; lines taken away from the end of a visit that was not closed
    /// cannot be told from lines never written.
    pub closed: bool,
}

/// Whether a journal holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Checked {
    /// Whether all lines fit.
    pub holds: bool,
    /// Whether the visit was closed.
    pub closed: bool,
    /// Lines that fit.
    pub lines: u64,
    /// Hash of the last line that fits.
    pub head: String,
    /// The first line that does not fit, from 1.
    pub first_bad_line: Option<u64>,
    /// What was expected of it.
    pub expected: Option<String>,
}

/// Reads a journal; also tells whether a last line that was cut off was left out.
fn record_in(path: &Path) -> Result<(Record, bool), ErrandError> {
    let bytes = crate::journal::whole_file::bytes(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    let (events, cut_off) = match journal::check(&bytes) {
        Ok((events, _)) => (events, false),
        Err(damage) if damage.error.cut_off => (damage.events, true),
        Err(damage) => return Err(ErrandError::in_file(path, damage.error)),
    };
    let (record, _) = Record::of(&events).map_err(|error| ErrandError::in_file(path, error))?;
    Ok((record, cut_off))
}

/// How the visit of a journal began.
///
/// # Errors
/// If the file cannot be read or does not hold.
pub fn opening_in(path: &Path) -> Result<Opening, ErrandError> {
    Ok(record_in(path)?.0.opening)
}

/// The record of a journal; a last line that was cut off is left out.
pub(super) fn whole_record_in(path: &Path) -> Result<Record, ErrandError> {
    Ok(record_in(path)?.0)
}

/// How the visit of a journal began, and when.
pub(super) fn began_in(path: &Path) -> Result<(Opening, jiff::Timestamp), ErrandError> {
    let bytes = crate::journal::whole_file::bytes(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    let events = match journal::check(&bytes) {
        Ok((events, _)) => events,
        Err(damage) => damage.events,
    };
    let (record, _) = Record::of(&events).map_err(|error| ErrandError::in_file(path, error))?;
    let began = events
        .first()
        .map_or(jiff::Timestamp::UNIX_EPOCH, |one| one.time);
    Ok((record.opening, began))
}

/// Folds a journal's events again.
///
/// # Errors
/// If the file cannot be read or does not hold. A last line that was cut off while it was written
/// takes nothing away and is left out.
pub fn recount(path: &Path) -> Result<Recount, ErrandError> {
    let (record, cut_line_left_out) = record_in(path)?;
    let mathematics_then = record.opening.mathematics;
    if mathematics_then > MATHEMATICS {
        let what = format!("mathematics: expected {MATHEMATICS} or less, found {mathematics_then}");
        return Err(ErrandError::in_file(path, what));
    }
    Ok(Recount {
        findings: Findings::of(&record),
        mathematics_then,
        cut_line_left_out,
        closed: record.closed(),
    })
}

/// Checks a journal line by line.
///
/// # Errors
/// If the file cannot be read.
pub fn check(path: &Path) -> Result<Checked, ErrandError> {
    let bytes = crate::journal::whole_file::bytes(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    let (events, head, bad) = match journal::check(&bytes) {
        Ok((events, head)) => (events, head, None),
        Err(damage) => (
            damage.events,
            damage.head,
            Some((damage.error.line, damage.error.expected)),
        ),
    };
    // Lines may be sealed rightly and still tell of things that cannot follow one another.
    let folded = Record::of(&events);
    let closed = folded.as_ref().is_ok_and(|(record, _)| record.closed());
    let bad = bad.or_else(|| match folded {
        Err(JournalError::OutOfPlace { line, source }) => Some((line, source.to_string())),
        Err(JournalError::Empty) => Some((1, "expected the opening of a visit".into())),
        Err(error) => Some((1, error.to_string())),
        Ok(_) => None,
    });
    let (first_bad_line, expected) = bad.unzip();
    Ok(Checked {
        holds: first_bad_line.is_none(),
        closed,
        lines: head.lines,
        head: head.hash,
        first_bad_line,
        expected,
    })
}
