//! Presentations that the examiner decides on.

use super::Proposal;
use super::slot::{detection, masker_part, tone_part, tone_slot};
use crate::finding::ascents::Bounds;
use crate::finding::{bounds, masker_bounds};
use crate::journal::{Purpose, Record};
use crate::quantity::{Ear, Eye, Hz, Level, LogMar, Mm};
use crate::stimulus::{ByHand, SoundPart, ToneSlot};

/// Noise that the examiner asks for, beside a tone or a silence at the other ear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandNoise {
    /// The ear that is masked.
    pub ear: Ear,
    /// The frequency whose tones it masks.
    pub hz: Hz,
    /// The effective masking level, dB on the set-up's scale.
    pub level_db: f64,
}

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
        /// Noise at the other ear, dB effective masking level.
        masker_db: Option<f64>,
    },
    /// A single optotype, as the eye is asked latest.
    Optotype {
        /// The eye.
        eye: Eye,
        /// Its size, logMAR.
        log_mar: f64,
    },
    /// Something shown by hand, where the eye is asked so.
    Shows {
        /// The eye.
        eye: Eye,
        /// What.
        shows: ByHand,
        /// From where.
        distance: Mm,
    },
    /// A slot exactly like a tone's, without it.
    Silent {
        /// The noise that the tones around it have.
        noise: Option<HandNoise>,
    },
}

impl HandRequest {
    /// The eye that is to look, if one is.
    #[must_use]
    pub fn eye(self) -> Option<Eye> {
        match self {
            HandRequest::Optotype { eye, .. } | HandRequest::Shows { eye, .. } => Some(eye),
            HandRequest::Tone { .. } | HandRequest::Silent { .. } => None,
        }
    }
}

/// The presentation that the examiner asks for. The silence before its onset is drawn as in any
/// other slot, so that the click of the examiner's key tells nothing.
///
/// # Errors
/// One line, if the set-up cannot present it or it exceeds the cap.
pub fn by_hand(record: &Record, request: HandRequest) -> Result<Proposal, String> {
    let hearing = || {
        let plan = record.opening.plan.hearing.as_ref();
        plan.ok_or("the plan of this visit has no hearing in it")
    };
    match request {
        HandRequest::Silent { noise } => {
            let slot = tone_slot(record, hearing()?);
            let masker = noise.map(|noise| masker(record, noise, slot)).transpose()?;
            Ok(detection(Purpose::Silent, None, masker, slot))
        }
        HandRequest::Optotype { eye, log_mar } => {
            super::sight::by_examiner(record, eye, LogMar(log_mar))
        }
        HandRequest::Shows {
            eye,
            shows,
            distance,
        } => super::sight::by_examiner_by_hand(record, eye, shows, distance),
        HandRequest::Tone {
            ear,
            hz,
            level_db,
            masker_db,
        } => {
            let plan = hearing()?;
            let slot = tone_slot(record, plan);
            let level = allowed_level(record, ear, hz, level_db)?;
            let noise = masker_db.map(|level_db| HandNoise {
                ear: ear.other(),
                hz,
                level_db,
            });
            let masker = noise.map(|noise| masker(record, noise, slot)).transpose()?;
            let purpose = if masker.is_some() {
                Purpose::Masked
            } else {
                Purpose::Measure
            };
            let tone = tone_part(plan, ear, hz, level, slot);
            Ok(detection(purpose, Some(tone), masker, slot))
        }
    }
}

/// The noise, held to what the set-up may present.
fn masker(record: &Record, noise: HandNoise, slot: ToneSlot) -> Result<SoundPart, String> {
    let HandNoise { ear, hz, level_db } = noise;
    let earphone = record.opening.set_up.earphone.as_ref();
    let Some((earphone, bounds)) = earphone.zip(masker_bounds(record, ear, hz)) else {
        return Err(format!(
            "this set-up has no noise for {hz} at the {ear} ear"
        ));
    };
    let Bounds { min_db, max_db } = bounds;
    if !(min_db..=max_db).contains(&level_db) {
        let unit = earphone.scale().unit();
        return Err(format!(
            "noise: expected {min_db} to {max_db} {unit} effective level at {hz}, found {level_db}"
        ));
    }
    let level = Level::new(earphone.scale(), level_db);
    Ok(masker_part(ear, hz, level, slot))
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
