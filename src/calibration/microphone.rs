//! Microphones: what ties a sound input to sound pressure.

use super::NotValid;
use super::check::{self, made_and_expires, number, one_line, whole};
use super::file::{FieldError, FileError, digest, read_toml};
use super::third_octave::BANDS;
use crate::quantity::{Db, DbFs, DbSpl};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// The level of a sound calibrator where nothing else is said, at 1 kHz (IEC 60942, from memory).
pub const CALIBRATOR: DbSpl = DbSpl(94.0);

/// Which kind of file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum MicrophoneKind {
    /// A microphone.
    Microphone,
}

/// What a microphone's file holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MicrophoneRecord {
    /// The version of the format, [`FORMAT`](super::FORMAT).
    pub format: u32,
    /// `microphone`.
    pub kind: MicrophoneKind,
    /// What people call it; one line.
    pub title: String,
    /// How its sensitivity is known; one line.
    pub method: String,
    /// Who found out.
    pub made_by: String,
    /// When.
    #[schemars(with = "String", extend("format" = "date"))]
    pub made_on: Date,
    /// The last day on which it is valid.
    #[schemars(with = "String", extend("format" = "date"))]
    pub expires_on: Date,
    /// The input as the system names it; any when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<String>,
    /// Its sample rate in Hz.
    pub rate_hz: u32,
    /// The sound pressure level of a sine that just reaches digital full scale.
    pub full_scale_db_spl: DbSpl,
    /// The standard uncertainty of its levels.
    pub u_db: Db,
    /// Its own noise in the bands from 31.5 Hz to 8 kHz, dB SPL: what it reads where it is
    /// quieter than it is itself. Left out, it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor_db_spl: Option<Vec<DbSpl>>,
}

/// A microphone: a record that was checked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(into = "MicrophoneRecord", try_from = "MicrophoneRecord")]
pub struct Microphone(MicrophoneRecord);

impl TryFrom<MicrophoneRecord> for Microphone {
    type Error = FieldError;
    fn try_from(record: MicrophoneRecord) -> Result<Microphone, FieldError> {
        check::format(record.format)?;
        one_line("title", &record.title)?;
        one_line("method", &record.method)?;
        one_line("made_by", &record.made_by)?;
        made_and_expires(record.made_on, record.expires_on)?;
        if let Some(device) = &record.device {
            one_line("device", device)?;
        }
        whole("rate_hz", record.rate_hz, check::RATE_HZ)?;
        number(
            "full_scale_db_spl",
            record.full_scale_db_spl.0,
            60.0..=180.0,
        )?;
        number("u_db", record.u_db.0, 0.1..=20.0)?;
        if let Some(floor) = &record.floor_db_spl {
            if floor.len() != BANDS {
                let problem = format!("{} levels found, expected {BANDS}", floor.len());
                return Err(FieldError::new("floor_db_spl", problem));
            }
            for (index, level) in floor.iter().enumerate() {
                number(&format!("floor_db_spl[{index}]"), level.0, -60.0..=120.0)?;
            }
        }
        Ok(Microphone(record))
    }
}

impl From<Microphone> for MicrophoneRecord {
    fn from(microphone: Microphone) -> MicrophoneRecord {
        microphone.0
    }
}

impl Microphone {
    /// What it holds.
    #[must_use]
    pub fn record(&self) -> &MicrophoneRecord {
        &self.0
    }

    /// The sound pressure level of what it records at a level re full scale.
    #[must_use]
    pub fn db_spl(&self, level: DbFs) -> DbSpl {
        self.0.full_scale_db_spl + Db(level.0)
    }

    /// The same microphone with its own noise known.
    ///
    /// # Errors
    /// If it is not one plausible level a band.
    pub fn with_floor(&self, floor: Vec<DbSpl>) -> Result<Microphone, FieldError> {
        Microphone::try_from(MicrophoneRecord {
            floor_db_spl: Some(floor),
            ..self.0.clone()
        })
    }

    /// Whether it holds on `day`.
    ///
    /// # Errors
    /// It expired before, or was made after.
    pub fn valid_on(&self, day: Date) -> Result<(), NotValid> {
        check::valid_on(
            &self.0.title,
            Some(self.0.made_on),
            Some(self.0.expires_on),
            day,
        )
    }

    /// Reads a microphone's file.
    ///
    /// # Errors
    /// One line that names the file, the field and what was expected.
    pub fn from_toml(text: &str, file: &str) -> Result<Microphone, FileError> {
        let record: MicrophoneRecord = read_toml(text, file)?;
        Microphone::try_from(record).map_err(|error| error.in_file(file))
    }

    /// Its file, always written the same way.
    ///
    /// # Panics
    /// Never: strings, numbers and dates are all that a record holds, and TOML holds them.
    #[must_use]
    pub fn to_toml(&self) -> String {
        toml::to_string(&self.0).expect("a record holds only strings, numbers and dates")
    }

    /// SHA-256 of [`Microphone::to_toml`], in hexadecimal.
    #[must_use]
    pub fn digest(&self) -> String {
        digest(&self.to_toml())
    }
}

/// The sound pressure level at full scale, from a calibrator of `calibrator` that was recorded at
/// `read`.
#[must_use]
pub fn full_scale_by(calibrator: DbSpl, read: DbFs) -> DbSpl {
    calibrator - Db(read.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r#"
format = 1
kind = "microphone"
title = "Measuring microphone (invented)"
method = "sound calibrator, 94 dB at 1 kHz"
made_by = "an example"
made_on = "2026-02-02"
expires_on = "2027-02-01"
rate_hz = 48000
full_scale_db_spl = 124.0
u_db = 0.6
"#;

    #[test]
    fn a_file_is_read_and_written_alike() {
        let read = Microphone::from_toml(TEXT, "mic.toml").unwrap();
        assert_eq!(read.db_spl(DbFs(-30.0)), DbSpl(94.0));
        let again = Microphone::from_toml(&read.to_toml(), "mic.toml").unwrap();
        assert_eq!((again.digest(), &again), (read.digest(), &read));
        let known = read.with_floor(vec![DbSpl(10.0); BANDS]).unwrap();
        assert_ne!(known.digest(), read.digest());
        let error = read.with_floor(vec![DbSpl(10.0)]).unwrap_err().to_string();
        assert_eq!(error, "floor_db_spl: 1 levels found, expected 25");
        let wrong = TEXT.replace("124.0", "12.0");
        let error = Microphone::from_toml(&wrong, "mic.toml")
            .unwrap_err()
            .to_string();
        assert_eq!(
            error,
            "mic.toml: full_scale_db_spl: 12 found, expected 60 to 180"
        );
    }

    /// A calibrator of 94 dB that is recorded at −30 dB re full scale: a sine at full scale is
    /// 124 dB SPL (the level's definition).
    #[test]
    fn a_calibrator_ties_it_to_sound_pressure() {
        assert_eq!(full_scale_by(CALIBRATOR, DbFs(-30.0)), DbSpl(124.0));
    }
}
