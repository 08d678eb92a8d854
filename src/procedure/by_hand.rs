//! Presentations that the examiner decides on.

use super::Proposal;
use super::slot::{detection, tone_part, tone_slot};
use crate::finding::bounds;
use crate::journal::{Purpose, Record};
use crate::quantity::{Ear, Hz, Level};

/// What the examiner asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HandRequest {
    /// A tone at an ear.
    Tone {
        /// The ear.
        ear: Ear,
        /// The frequency.
        hz: Hz,
        /// The level, dB on the set-up's scale.
        level_db: f64,
    },
    /// A slot exactly like a tone's, without it.
    Silent,
}

/// The presentation that the examiner asks for. The silence before its onset is drawn as in any
/// other slot, so that the click of the examiner's key tells nothing.
///
/// # Errors
/// One line, if the set-up cannot present it or it exceeds the cap.
pub fn by_hand(record: &Record, request: HandRequest) -> Result<Proposal, String> {
    let Some(plan) = &record.opening.plan.hearing else {
        return Err("the plan of this visit has no hearing in it".into());
    };
    let slot = tone_slot(record, plan);
    match request {
        HandRequest::Silent => Ok(detection(Purpose::Silent, None, None, slot)),
        HandRequest::Tone { ear, hz, level_db } => {
            let level = allowed_level(record, ear, hz, level_db)?;
            Ok(detection(
                Purpose::Measure,
                Some(tone_part(plan, ear, hz, level, slot)),
                None,
                slot,
            ))
        }
    }
}

fn allowed_level(record: &Record, ear: Ear, hz: Hz, level_db: f64) -> Result<Level, String> {
    let earphone = record.opening.set_up.earphone.as_ref();
    let (Some(earphone), Some(bounds)) = (earphone, bounds(record, ear, hz)) else {
        return Err(format!(
            "this set-up has no level for {hz} at the {ear} ear"
        ));
    };
    if !(bounds.min_db..=bounds.max_db).contains(&level_db) {
        let unit = earphone.scale().unit();
        let (min_db, max_db) = (bounds.min_db, bounds.max_db);
        return Err(format!(
            "expected {min_db} to {max_db} {unit} at {hz}, found {level_db}"
        ));
    }
    Ok(Level::new(earphone.scale(), level_db))
}
