//! How quiet is the room, and how far can the microphone tell?

use super::ErrandError;
use super::bench::{read, today, write, write_new};
use crate::calibration::microphone::{MicrophoneKind, full_scale_by};
use crate::calibration::room::{RoomWish, band_levels};
use crate::calibration::tone_level::tone_level;
use crate::calibration::{FORMAT, Microphone, MicrophoneRecord, Room};
use crate::quantity::{Db, DbSpl, Hz};
use jiff::ToSpan;
use std::path::Path;

/// How a microphone's sensitivity is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sensitivity {
    /// Typed: the sound pressure level at digital full scale.
    Typed(DbSpl),
    /// A sound calibrator of this level and frequency was recorded.
    Calibrator(DbSpl, Hz),
}

/// A microphone that is to be calibrated.
#[derive(Debug, Clone, PartialEq)]
pub struct MicrophoneWish {
    /// What people call it.
    pub title: String,
    /// Who calibrates.
    pub made_by: String,
    /// The input.
    pub device: Option<String>,
    /// Its rate, Hz.
    pub rate_hz: u32,
    /// The standard uncertainty of its levels.
    pub u_db: Db,
    /// How its sensitivity is known.
    pub sensitivity: Sensitivity,
}

/// How far a calibrator's tone must stand over everything else in its recording, dB: a tenth of
/// its power.
const MOST_REST_DB: f64 = 0.46;

/// A microphone's file, valid for a year (our choice); `samples` is the recording of the calibrator.
///
/// # Errors
/// A recording without the calibrator's tone; a value out of range.
pub fn calibrate_microphone(
    wish: &MicrophoneWish,
    samples: &[f32],
) -> Result<Microphone, ErrandError> {
    let bad = |what: String| ErrandError::BadInput(what);
    let (full_scale, method) = match wish.sensitivity {
        Sensitivity::Typed(level) => (level, "level at full scale typed in".to_owned()),
        Sensitivity::Calibrator(level, hz) => {
            let tone = tone_level(samples, wish.rate_hz, hz)
                .ok_or_else(|| bad("recording: expected a second or more of the tone".into()))?;
            if tone.rest_db > MOST_REST_DB {
                let what = format!("recording: no clear tone of {hz} in it; is the calibrator on?");
                return Err(bad(what));
            }
            let read = full_scale_by(level, tone.level);
            let rounded = DbSpl((read.0 * 100.0).round() / 100.0);
            (rounded, format!("sound calibrator, {} dB at {hz}", level.0))
        }
    };
    let made_on = today();
    let expires_on = made_on
        .checked_add(1.year())
        .map_err(|error| bad(error.to_string()))?;
    let record = MicrophoneRecord {
        format: FORMAT,
        kind: MicrophoneKind::Microphone,
        title: wish.title.clone(),
        method,
        made_by: wish.made_by.clone(),
        made_on,
        expires_on,
        device: wish.device.clone(),
        rate_hz: wish.rate_hz,
        full_scale_db_spl: full_scale,
        u_db: wish.u_db,
        floor_db_spl: None,
    };
    Microphone::try_from(record).map_err(|error| bad(error.to_string()))
}

/// The same microphone with its own noise, from a recording of it in the quietest place there is
/// (closed up in a coupler, say): what is there of sound only makes it look noisier than it is.
///
/// # Errors
/// A recording that says nothing.
pub fn microphone_floor(
    microphone: &Microphone,
    samples: &[f32],
) -> Result<Microphone, ErrandError> {
    let rounded = |level: &DbSpl| DbSpl((level.0 * 10.0).ceil() / 10.0);
    let levels = band_levels(microphone, samples);
    let floor = levels.map(|all| all.iter().map(rounded).collect());
    floor
        .and_then(|floor| microphone.with_floor(floor))
        .map_err(|error| ErrandError::BadInput(error.to_string()))
}

/// Measures a room from a recording.
///
/// # Errors
/// A recording that says nothing; an empty name.
pub fn measure_room(
    wish: RoomWish,
    microphone: &Microphone,
    samples: &[f32],
) -> Result<Room, ErrandError> {
    Room::measured(wish, microphone, samples)
        .map_err(|error| ErrandError::BadInput(error.to_string()))
}

/// Writes a microphone's file; one that is there is written over only if `anew`.
///
/// # Errors
/// A file that is there already, or cannot be written.
pub fn write_microphone(
    microphone: &Microphone,
    path: &Path,
    anew: bool,
) -> Result<(), ErrandError> {
    let text = microphone.to_toml();
    if anew {
        write(path, &text)
    } else {
        write_new(path, &text)
    }
}

/// Writes a room's file, over the one of another day.
///
/// # Errors
/// If it cannot be written.
pub fn write_room(room: &Room, path: &Path) -> Result<(), ErrandError> {
    write(path, &room.to_toml())
}

/// The room in a file, if it holds today.
///
/// # Errors
/// Names the file, the field and what was expected; also if it has expired.
pub fn room_in(path: &Path) -> Result<Room, ErrandError> {
    let room = read(path, Room::from_toml)?;
    room.valid_on(today())
        .map_err(|error| ErrandError::in_file(path, error))?;
    Ok(room)
}
