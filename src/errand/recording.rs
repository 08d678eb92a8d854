//! A clinic's own recordings, through the same engine and under the same caps as everything else.
//!
//! The level of a recording is that of its loudest eighth of a second, told as the level of a tone at
//! 1000 Hz of the same power. So it keeps the cap of wide noise, and is never loud; its single samples
//! keep the ear's own ceiling. As instructions that will do. A threshold for words needs more: how
//! loud this recording is on this earphone, as the profile's `[[words]]` says.

use super::begin::earphone_for_files;
use super::{ErrandError, Sounding};
use crate::calibration::EarphoneProfile;
use crate::journal::{Played, PlayedSound, PlayedWhat};
use crate::quantity::{Db, DbFs, Ear, Hz, Level, Scale};
use crate::station::{Arrival, SoundEvent, SoundStation, wav};
use crate::stimulus::recording::Recording;
use serde::Serialize;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// The tone that its level refers to.
const HZ: Hz = Hz(1000.0);

/// A recording that may be played: admitted, with its ceiling.
#[derive(Debug, Clone, PartialEq)]
pub struct Ready {
    /// What goes to the device.
    pub sounding: Sounding,
    /// What is kept of it, as if it were played to its end.
    pub played: Played,
}

/// The level at which instructions are played if nobody says otherwise: that of plain speech at
/// 1 m, about 60 dB SPL on average and some 5 dB more in its loudest moments (common practice, no
/// source). Without any reference there is none.
#[must_use]
pub fn usual_instructions_db(scale: Scale) -> Option<f64> {
    match scale {
        Scale::DbHl | Scale::DbReExaminer => Some(60.0),
        Scale::DbFs => None,
    }
}

/// Makes a recording ready for these ears at `level`.
///
/// # Errors
/// One line: above a cap, no reference, or, for words, no calibration of their level.
pub fn ready(
    recording: &Recording,
    title: &str,
    earphone: &EarphoneProfile,
    ears: &[Ear],
    level: Level,
    what: PlayedWhat,
) -> Result<Ready, String> {
    let mut gains = [None, None];
    let mut ceiling = [0.0_f32; 2];
    let mut sounds = Vec::new();
    let loudest = DbFs(
        recording
            .level(Ear::Left)
            .0
            .max(recording.level(Ear::Right).0),
    );
    for &ear in ears {
        let to = match what {
            PlayedWhat::Words => {
                let gain = words_gain(recording, earphone, ear, level)?;
                loudest + gain
            }
            PlayedWhat::Instructions | PlayedWhat::WhichEar => {
                let to = earphone.level_db_fs(ear, HZ, level);
                to.map_err(|error| error.to_string())?
            }
        };
        let as_tone = earphone
            .as_level(ear, HZ, to)
            .map_err(|error| error.to_string())?;
        earphone
            .admit_wide_noise(ear, HZ, as_tone)
            .map_err(|error| format!("a recording whose loudest moment is a tone of {error}"))?;
        let gain = Db(to.0 - loudest.0);
        let cap = earphone.cap_db_fs(ear);
        let over_db = recording.peak(ear).0 + gain.0 - cap.0;
        if over_db > 0.0 {
            return Err(format!(
                "the recording's single peaks would pass the ceiling of the {ear} ear: expected a level \
                 lower by {over_db:.1} dB"
            ));
        }
        gains[crate::stimulus::sound::channel(ear)] = Some(libm::exp10(gain.0 / 20.0));
        ceiling[crate::stimulus::sound::channel(ear)] =
            (cap.amplitude() * (1.0 + 1e-6)).min(1.0) as f32;
        sounds.push(PlayedSound {
            ear,
            hz: HZ,
            level: as_tone,
            seconds: recording.seconds(),
        });
    }
    let slot = recording.rendered(|ear| gains[crate::stimulus::sound::channel(ear)]);
    Ok(Ready {
        sounding: Sounding { slot, ceiling },
        played: Played {
            what,
            title: title.to_owned(),
            digest: Some(recording.digest.clone()),
            sounds,
            whole: true,
        },
    })
}

/// How much louder than the file is the words have to be for `level`, dB HL of speech.
fn words_gain(
    recording: &Recording,
    earphone: &EarphoneProfile,
    ear: Ear,
    level: Level,
) -> Result<Db, String> {
    let entry = earphone.words(&recording.digest).ok_or_else(|| {
        format!(
            "words: expected a [[words]] entry for this file (digest {}) in the earphone's profile, with the \
             level that its calibration passage has there; without one it is for instructions only",
            recording.digest
        )
    })?;
    match level {
        Level::Hl(level) => Ok(entry.zero_db_spl + Db(level.0) - entry.at(ear)),
        _ => Err("words: expected a level in dB HL".into()),
    }
}

/// A recording that is wanted.
#[derive(Debug, Clone)]
pub struct RecordingWish {
    /// Its file.
    pub path: PathBuf,
    /// The earphone's profile; the simulated one under the caps of an unmeasured headphone if left
    /// out.
    pub earphone: Option<PathBuf>,
    /// The ears.
    pub ears: Vec<Ear>,
    /// The level on the profile's scale; the usual one if left out.
    pub level_db: Option<f64>,
    /// Frames a second of the device.
    pub rate_hz: u32,
    /// As words for a threshold, not as instructions.
    pub words: bool,
}

/// What is known of a recording.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordingReport {
    /// The profile's title.
    pub setup: String,
    /// `instructions` or `words`.
    pub what: PlayedWhat,
    /// SHA-256 of the file.
    pub digest: String,
    /// Its length, s.
    pub seconds: f64,
    /// Its channels.
    pub channels: u16,
    /// Its rate, Hz.
    pub file_rate_hz: u32,
    /// The rate that it was brought to, Hz.
    pub rate_hz: u32,
    /// Of the file: the loudest eighth of a second, dB re full scale, (left, right).
    pub level_db_fs: [f64; 2],
    /// Of the file: the largest sample, dB re full scale, (left, right).
    pub peak_db_fs: [f64; 2],
    /// Where and how loud it is played.
    pub sounds: Vec<PlayedSound>,
}

/// Reads and checks a recording, and makes it ready.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn recording(wish: &RecordingWish) -> Result<(RecordingReport, Ready), ErrandError> {
    let earphone = earphone_for_files(wish.earphone.as_deref())?;
    let recording = recording_in(&wish.path, wish.rate_hz)?;
    let level_db = wish.level_db.or(usual_instructions_db(earphone.scale()));
    let level_db = level_db.ok_or_else(|| {
        ErrandError::BadInput(
            "--level: expected one, since nobody knows how loud this earphone is: listen first"
                .into(),
        )
    })?;
    let what = if wish.words {
        PlayedWhat::Words
    } else {
        PlayedWhat::Instructions
    };
    let level = Level::new(earphone.scale(), level_db);
    let title = title_of(&wish.path);
    let ready = ready(&recording, &title, &earphone, &wish.ears, level, what)
        .map_err(|error| ErrandError::in_file(&wish.path, error))?;
    let both = [Ear::Left, Ear::Right];
    let report = RecordingReport {
        setup: earphone.record().title.clone(),
        what,
        digest: recording.digest.clone(),
        seconds: recording.seconds(),
        channels: recording.channels,
        file_rate_hz: recording.file_rate_hz,
        rate_hz: wish.rate_hz,
        level_db_fs: both.map(|ear| recording.level(ear).0),
        peak_db_fs: both.map(|ear| recording.peak(ear).0),
        sounds: ready.played.sounds.clone(),
    };
    Ok((report, ready))
}

/// What a recording is called in the record.
#[must_use]
pub fn title_of(path: &Path) -> String {
    path.file_name()
        .unwrap_or(path.as_os_str())
        .to_string_lossy()
        .into_owned()
}

/// The recording in a file, at so many frames a second.
///
/// # Errors
/// Names the file and what was expected.
pub fn recording_in(path: &Path, rate_hz: u32) -> Result<Recording, ErrandError> {
    let bytes = crate::journal::whole_file::bytes(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    Recording::decode(&bytes, rate_hz).map_err(|error| ErrandError::in_file(path, error))
}

/// Writes what a device would get as a WAV file.
///
/// # Errors
/// The file cannot be written.
pub fn write_ready(ready: &Ready, out: &Path) -> Result<(), ErrandError> {
    wav::write(out, &ready.sounding.slot).map_err(|error| ErrandError::Failed(error.to_string()))
}

/// Plays to the end, or to where it is interrupted; `progress` hears of every tenth of a second.
///
/// # Errors
/// The device does not take it, or is lost.
pub fn play_through(
    station: &mut dyn SoundStation,
    sounding: Sounding,
    progress: &mut dyn FnMut(f64),
) -> Result<Arrival, ErrandError> {
    let failed = |what: String| ErrandError::Failed(what);
    sounding
        .play(station, 1)
        .map_err(|error| failed(error.to_string()))?;
    let began = Instant::now();
    loop {
        match station.poll() {
            Some(SoundEvent::Ended { arrival, .. }) => return Ok(arrival),
            Some(SoundEvent::Lost(loss)) => {
                return Err(failed(format!("sound: the output is lost ({loss:?})")));
            }
            Some(SoundEvent::Began { .. }) => {}
            None => {
                progress(began.elapsed().as_secs_f64());
                std::thread::sleep(Duration::from_millis(100));
            }
        }
    }
}

/// The loudest level of instructions on this earphone, before their own peaks are looked at.
#[must_use]
pub fn loudest_instructions(earphone: &EarphoneProfile, ears: &[Ear]) -> Option<Level> {
    let most = ears
        .iter()
        .filter_map(|ear| earphone.max_wide_noise_level(*ear, HZ));
    most.min_by(|one, other| one.db().total_cmp(&other.db()))
}

#[cfg(test)]
#[path = "recording/tests.rs"]
mod tests;
