//! Why each presentation of a visit was made, from its journal.

use super::ErrandError;
use crate::journal::{self, Body, Event, Planned, Record};
use crate::procedure::{Reason, Telling, reason, tell_most};
use serde::Serialize;
use std::path::Path;

/// One presentation of hearing and why it was made.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Why {
    /// Its number in the visit.
    pub n: u32,
    /// What was presented.
    pub what: String,
    /// Why.
    pub reason: Reason,
    /// The same in words.
    pub sentence: String,
}

/// Why the presentations of hearing were made, each by what was known before it; `only` picks one
/// by its number. Worked out afresh by this program's mathematics.
///
/// # Errors
/// If the journal cannot be read or does not hold, or has no such presentation.
pub fn why(path: &Path, only: Option<u32>) -> Result<Vec<Why>, ErrandError> {
    let events = events(path)?;
    let planned = events.iter().enumerate().filter_map(|(at, event)| {
        let Body::Planned(planned) = &event.body else {
            return None;
        };
        only.is_none_or(|n| n == planned.n).then_some((at, planned))
    });
    let mut all = Vec::new();
    for (at, planned) in planned {
        all.extend(at_event(path, &events[..=at], planned)?);
    }
    if let Some(n) = only.filter(|_| all.is_empty()) {
        let what = format!("--n: expected a presentation of hearing, found {n}");
        return Err(ErrandError::in_file(path, what));
    }
    Ok(all)
}

/// What would tell most about how the answers to sounds agree, after all that a journal holds; see
/// [`tell_most`].
///
/// # Errors
/// If the journal cannot be read or does not hold.
pub fn what_next(path: &Path) -> Result<Vec<Telling>, ErrandError> {
    let (record, _) =
        Record::of(&events(path)?).map_err(|error| ErrandError::in_file(path, error))?;
    Ok(tell_most(&record))
}

/// The events of a journal, of one that was cut off those before the cut.
fn events(path: &Path) -> Result<Vec<Event>, ErrandError> {
    let bytes = crate::journal::whole_file::bytes(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    match journal::check(&bytes) {
        Ok((events, _)) => Ok(events),
        Err(damage) if damage.error.cut_off => Ok(damage.events),
        Err(damage) => Err(ErrandError::in_file(path, damage.error)),
    }
}

fn at_event(path: &Path, events: &[Event], planned: &Planned) -> Result<Option<Why>, ErrandError> {
    let (record, _) = Record::of(events).map_err(|error| ErrandError::in_file(path, error))?;
    Ok(reason(&record, planned).map(|reason| Why {
        n: planned.n,
        what: what(planned),
        sentence: reason.sentence(),
        reason,
    }))
}

fn what(planned: &Planned) -> String {
    let sounds = planned.presentation.sounds().map(|sound| {
        let (level, ear) = (sound.level, sound.ear);
        let unit = level.scale().unit();
        let signal = if sound.signal.is_tone() { "" } else { "noise " };
        format!(
            "{signal}{} Hz, {ear} ear, {:.0} {unit}",
            sound.hz.0,
            level.db()
        )
    });
    let all: Vec<String> = sounds.collect();
    if all.is_empty() {
        "silence".into()
    } else {
        all.join("; ")
    }
}
