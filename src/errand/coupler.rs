//! An earphone on a coupler: its sheet in a file, its tones through an output, its profile.

use super::bench::{read, today, write, write_new};
use super::{ErrandError, Sounding, sounding};
use crate::calibration::coupler::{CouplerSheet, SheetWish, Step, Unfit};
use crate::calibration::tone_level::{ToneLevel, tone_level};
use crate::calibration::{EarphoneProfile, EarphoneRecord, Microphone};
use crate::quantity::{DbSpl, Level, Scale};
use crate::stimulus::{Part, Presentation, Signal, SoundPart, Task};
use serde::Serialize;
use std::path::Path;

/// How long a tone lasts that is read, s: a meter's slow reading has come to rest after five of
/// its time constants of a second.
pub const TONE_S: f64 = 8.0;
/// Silence before and after it, s.
const MARGIN_S: f64 = 0.1;

/// Lays a new sheet.
///
/// # Errors
/// An ordinary headphone or a coupler that is not the type's, in one sentence; a file that is
/// there already.
pub fn begin_sheet(wish: SheetWish, path: &Path) -> Result<CouplerSheet, ErrandError> {
    let sheet =
        CouplerSheet::begin(wish).map_err(|error| ErrandError::BadInput(error.to_string()))?;
    write_new(path, &sheet.to_toml())?;
    Ok(sheet)
}

/// The sheet in a file.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn sheet_in(path: &Path) -> Result<CouplerSheet, ErrandError> {
    read(path, CouplerSheet::from_toml)
}

/// The tone of a step, as the output gets it. It is held to the cap of an earphone about which
/// nothing is known, since nobody can see that no ear is at it.
///
/// # Errors
/// If it cannot be rendered.
pub fn tone_of_step(sheet: &CouplerSheet, step: &Step) -> Result<Sounding, ErrandError> {
    let rate_hz = sheet.output.rate_hz;
    let part = SoundPart {
        ear: step.ear,
        signal: Signal::Steady,
        hz: step.hz,
        level: Level::new(Scale::DbFs, step.level_db_fs.0),
        start_s: MARGIN_S,
        end_s: MARGIN_S + TONE_S,
        interval: None,
    };
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(TONE_S + 2.0 * MARGIN_S),
        parts: vec![Part::Sound(part)],
    };
    let earphone = EarphoneProfile::try_from(EarphoneRecord {
        output: Some(sheet.output.clone()),
        ..EarphoneProfile::uncalibrated().record().clone()
    })
    .map_err(|error| ErrandError::BadInput(error.to_string()))?;
    sounding(&presentation, &earphone, rate_hz, 0)
        .map_err(|error| ErrandError::BadInput(format!("tone: {error}")))
}

/// What a calibrated microphone in the coupler heard of a step's tone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Heard {
    /// The tone's level.
    pub db_spl: DbSpl,
    /// Its harmonics, percent of it.
    pub distortion_percent: Option<f64>,
    /// How far hum and noise lift the whole over it, dB.
    pub rest_db: f64,
}

/// So far may hum and noise lift the whole recording over its tone, dB: a tenth of its power.
const MOST_REST_DB: f64 = 0.46;

/// So much less clear may the latest stretch be than the clearest, dB: where a hundredth of it is
/// no tone.
const AS_CLEAR_DB: f64 = 0.05;

/// The stretch of a recording in which a tone is read, s.
const WINDOW_S: f64 = 2.0;

/// Reads a step's tone from a recording of the microphone in the coupler.
///
/// # Errors
/// A recording in which the tone cannot be read, or is not the loudest there is.
pub fn hear_step(
    step: &Step,
    microphone: &Microphone,
    samples: &[f32],
) -> Result<Heard, ErrandError> {
    let rate_hz = microphone.record().rate_hz;
    let length = (WINDOW_S * f64::from(rate_hz)) as usize;
    let hop = length / 4;
    // A sound server holds a tone back for nobody knows how long, and the one before with it: the
    // latest stretch that is all this tone counts.
    let last = samples.len().saturating_sub(length) / hop.max(1);
    let stretches: Vec<ToneLevel> = (0..=last)
        .filter_map(|at| samples.get(at * hop..(at * hop + length).min(samples.len())))
        .filter(|stretch| stretch.len() >= rate_hz as usize)
        .filter_map(|stretch| tone_level(stretch, rate_hz, step.hz))
        .collect();
    let apart = |one: &ToneLevel| one.rest_db.abs();
    let least = stretches.iter().map(apart).fold(f64::INFINITY, f64::min);
    let clear = |one: &ToneLevel| apart(one) <= least + AS_CLEAR_DB;
    // It stands still over a second more than the stretch; a sound that dropped out does not.
    let stands = |pair: &&[ToneLevel]| {
        let moved = (pair[2].level - pair[0].level).0.abs();
        clear(&pair[0]) && clear(&pair[2]) && moved <= AS_CLEAR_DB
    };
    if stretches.len() > 2 && !stretches.windows(3).any(|pair| stands(&pair)) {
        let what = format!("recording: the tone of {} does not stand still", step.hz);
        return Err(ErrandError::Failed(what));
    }
    let latest = stretches.windows(3).rev().find(stands).map(|pair| pair[2]);
    let tone = latest.or_else(|| stretches.last().copied());
    let tone = tone.ok_or_else(|| {
        let what = "recording: expected a second or more of the tone";
        ErrandError::BadInput(what.into())
    })?;
    if tone.rest_db.abs() > MOST_REST_DB {
        let what = format!(
            "recording: {:.1} dB of hum and noise over the tone of {}; expected at most \
             {MOST_REST_DB}",
            tone.rest_db, step.hz
        );
        return Err(ErrandError::Failed(what));
    }
    let tenth = |db: f64| (db * 100.0).round() / 100.0;
    Ok(Heard {
        db_spl: DbSpl(tenth(microphone.db_spl(tone.level).0)),
        distortion_percent: tone.distortion_percent.map(tenth),
        rest_db: tone.rest_db,
    })
}

/// Writes a reading into a sheet and its file.
///
/// # Errors
/// A reading that no earphone gives; a file that cannot be written.
pub fn enter_reading(
    sheet: &mut CouplerSheet,
    path: &Path,
    step: &Step,
    db_spl: DbSpl,
    distortion_percent: Option<f64>,
) -> Result<(), ErrandError> {
    let mut next = sheet.clone();
    next.enter(step, db_spl, distortion_percent)
        .map_err(|error| ErrandError::BadInput(error.to_string()))?;
    write(path, &next.to_toml())?;
    *sheet = next;
    Ok(())
}

/// Takes the latest reading back, in the file too.
///
/// # Errors
/// If the file cannot be written.
pub fn take_reading_back(sheet: &mut CouplerSheet, path: &Path) -> Result<(), ErrandError> {
    let mut next = sheet.clone();
    next.take_back();
    write(path, &next.to_toml())?;
    *sheet = next;
    Ok(())
}

/// Writes the profile of a sheet that is whole and without fault.
///
/// # Errors
/// The first thing that is wrong with the readings; a file that is there already.
pub fn profile_of_sheet(sheet: &CouplerSheet, out: &Path) -> Result<EarphoneProfile, ErrandError> {
    let profile = sheet
        .profile(today())
        .map_err(|error: Unfit| ErrandError::Failed(error.to_string()))?;
    write_new(out, &profile.to_toml())?;
    Ok(profile)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::microphone::MicrophoneKind;
    use crate::calibration::{FORMAT, MicrophoneRecord};
    use crate::quantity::{Db, DbFs, Ear, Hz};
    use std::f64::consts::TAU;

    /// A tone 20 dB louder goes before, and silence comes after: read is the tone itself, of
    /// amplitude 0.01, 60 dB SPL where full scale is 100 (the level's definition).
    #[test]
    fn the_latest_stretch_that_is_all_tone_is_read() {
        let microphone = Microphone::try_from(MicrophoneRecord {
            format: FORMAT,
            kind: MicrophoneKind::Microphone,
            title: "invented".into(),
            method: "invented".into(),
            made_by: "an example".into(),
            made_on: jiff::civil::date(2026, 2, 2),
            expires_on: jiff::civil::date(2026, 2, 2),
            device: None,
            rate_hz: 48_000,
            full_scale_db_spl: DbSpl(100.0),
            u_db: Db(0.6),
            floor_db_spl: None,
        })
        .unwrap();
        let step = Step {
            placement: 1,
            ear: Ear::Right,
            hz: Hz(1000.0),
            level_db_fs: DbFs(-55.0),
        };
        let amplitude = |t: f64| match t {
            t if t < 1.3 => 0.1,
            t if t < 5.6 => 0.01,
            _ => 1e-6,
        };
        let at = |n: usize| {
            let t = n as f64 / 48_000.0;
            (amplitude(t) * libm::sin(TAU * 1000.0 * t)) as f32
        };
        let samples: Vec<f32> = (0..7 * 48_000).map(at).collect();
        let heard = hear_step(&step, &microphone, &samples).unwrap();
        assert!((heard.db_spl.0 - 60.0).abs() < 0.02, "{heard:?}");
        let silence = hear_step(&step, &microphone, &samples[6 * 48_000 + 100..]);
        assert!(silence.is_err());
        assert!(hear_step(&step, &microphone, &[]).is_err());
    }
}
