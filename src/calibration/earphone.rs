//! Profiles of earphones.

use super::file::{FieldError, FileError, digest, read_toml};
use super::jury::{JuryRecord, JuryZero};
use super::words::WordsLevel;
use super::{FORMAT, check};
use crate::quantity::{Db, DbFs, DbSpl, Ear, Hz};
use crate::standard::{Coupler, EarphoneClass, safety, test_hz};
use jiff::ToSpan;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What a profile rests on; this decides its scale and its caps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ProfileKind {
    /// Invented, for simulated people only; never for a device that plays to an ear.
    Simulated,
    /// The simulated one under the caps of an uncalibrated headphone.
    SimulatedCapped,
    /// Level at full scale measured on the class's coupler.
    Measured,
    /// The thresholds of a listening jury on the same output.
    ListeningJury,
    /// The examiner's own thresholds on the same output.
    ExaminersEars,
    /// Nothing is known; levels are re full scale.
    Uncalibrated,
}

/// The output on which a profile holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OutputRequirement {
    /// The sound device as the system names it; any device when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<String>,
    /// Its sample rate in Hz.
    pub rate_hz: u32,
    /// How many bits of a sample reach the converter: 16, 24 or 32. Left out, nobody has checked,
    /// and 16 are reckoned with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bits: Option<u32>,
    /// Where the system's volume stood, percent, where the system tells: it must stand there again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_percent: Option<u32>,
}

/// What the coupler reads for a sine at digital full scale.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FullScale {
    /// The frequency, one of [`crate::standard::test_hz`].
    pub hz: Hz,
    /// The right earphone's sound pressure level.
    pub right_db_spl: DbSpl,
    /// The left earphone's sound pressure level.
    pub left_db_spl: DbSpl,
}

impl FullScale {
    pub(super) fn at(&self, ear: Ear) -> DbSpl {
        match ear {
            Ear::Right => self.right_db_spl,
            Ear::Left => self.left_db_spl,
        }
    }
}

/// The level at which the examiner's own ear just hears.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExaminerReference {
    /// The frequency, one of [`crate::standard::test_hz`].
    pub hz: Hz,
    /// The examiner's threshold at the right ear.
    pub right_db_fs: DbFs,
    /// The examiner's threshold at the left ear.
    pub left_db_fs: DbFs,
}

impl ExaminerReference {
    pub(super) fn at(&self, ear: Ear) -> DbFs {
        match ear {
            Ear::Right => self.right_db_fs,
            Ear::Left => self.left_db_fs,
        }
    }
}

/// Harmonic distortion of a reference tone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Distortion {
    /// The frequency, one of [`AUDIOMETRIC_HZ`].
    pub hz: Hz,
    /// The right earphone's, percent of the tone.
    pub right_percent: f64,
    /// The left earphone's, percent of the tone.
    pub left_percent: f64,
}

/// What a profile's file holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarphoneRecord {
    /// The version of the format, [`FORMAT`].
    pub format: u32,
    /// What it rests on.
    pub kind: ProfileKind,
    /// What people call it; one line.
    pub title: String,
    /// The class of the earphone; needed where levels are dB HL.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<EarphoneClass>,
    /// How it was made; one line.
    pub method: String,
    /// Who made it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_by: Option<String>,
    /// When it was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub made_on: Option<Date>,
    /// The last day on which it is valid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub expires_on: Option<Date>,
    /// The standard uncertainty of its levels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub u_db: Option<Db>,
    /// The output on which it holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub output: Option<OutputRequirement>,
    /// Level at full scale, ascending by frequency.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub full_scale: Vec<FullScale>,
    /// The coupler on which it was measured; it must be that of the class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coupler: Option<Coupler>,
    /// Distortion where it was measured, ascending by frequency.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub distortion: Vec<Distortion>,
    /// The examiner's thresholds, ascending by frequency.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reference: Vec<ExaminerReference>,
    /// The jury's zero, ascending by frequency.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub zero: Vec<JuryZero>,
    /// How the jury came to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jury: Option<JuryRecord>,
    /// Recordings of words whose level was measured on it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub words: Vec<WordsLevel>,
}

/// A profile of an earphone on an output: a record that was checked. It cannot be made, nor read
/// from a file or a journal, without the check.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(into = "EarphoneRecord", try_from = "EarphoneRecord")]
pub struct EarphoneProfile(EarphoneRecord);

impl TryFrom<EarphoneRecord> for EarphoneProfile {
    type Error = FieldError;
    fn try_from(record: EarphoneRecord) -> Result<EarphoneProfile, FieldError> {
        check::earphone(&record)?;
        Ok(EarphoneProfile(record))
    }
}

impl From<EarphoneProfile> for EarphoneRecord {
    fn from(profile: EarphoneProfile) -> EarphoneRecord {
        profile.0
    }
}

/// Why a profile does not hold on a day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotValid {
    /// Its last day is past.
    #[error("'{title}' expired on {expires_on}")]
    Expired {
        /// The profile.
        title: String,
        /// Its last day.
        expires_on: Date,
    },
    /// It was made later than this day.
    #[error("'{title}' was made on {made_on}, which is yet to come: check the clock")]
    NotYetMade {
        /// The profile.
        title: String,
        /// The day when it was made.
        made_on: Date,
    },
}

impl EarphoneProfile {
    /// The built-in profile for simulated people: circumaural (ISO 389-8), 120 dB SPL at full
    /// scale at every frequency, at most 110 dB HL, no expiry.
    #[must_use]
    pub fn simulated() -> EarphoneProfile {
        let level = safety::ASSUMED_FULL_SCALE;
        let row = |hz| FullScale {
            hz,
            right_db_spl: level,
            left_db_spl: level,
        };
        EarphoneProfile(EarphoneRecord {
            class: Some(EarphoneClass::Circumaural),
            full_scale: test_hz().map(row).collect(),
            ..built_in(
                ProfileKind::Simulated,
                "simulated",
                "invented, for simulated people only",
            )
        })
    }

    /// The built-in profile of an earphone about which nothing is known: levels are re full
    /// scale, capped as if full scale gave 120 dB SPL, which is an assumption.
    #[must_use]
    pub fn uncalibrated() -> EarphoneProfile {
        let method = "not measured; the cap assumes 120 dB SPL at full scale";
        EarphoneProfile(built_in(ProfileKind::Uncalibrated, "uncalibrated", method))
    }

    /// A profile from the examiner's own thresholds on `output`, valid for a year (the longest
    /// interval between ISO 8253-1 stage B checks, from memory).
    ///
    /// # Errors
    /// Rows that are missing, out of order or out of range; an empty name.
    pub fn from_examiners_ears(
        rows: Vec<ExaminerReference>,
        made_by: &str,
        made_on: Date,
        output: OutputRequirement,
    ) -> Result<EarphoneProfile, FieldError> {
        let expires_on = made_on
            .checked_add(1.year())
            .map_err(|_| FieldError::new("made_on", "expected a day before the year 9999"))?;
        let method = "thresholds of the examiner's own ears on the same output";
        EarphoneProfile::try_from(EarphoneRecord {
            made_by: Some(made_by.to_owned()),
            made_on: Some(made_on),
            expires_on: Some(expires_on),
            output: Some(output),
            reference: rows,
            ..built_in(
                ProfileKind::ExaminersEars,
                "the examiner's own ears",
                method,
            )
        })
    }

    /// A profile whose zero is a listening jury's, valid for a year (as a measured one).
    ///
    /// # Errors
    /// Rows that are missing or out of range; an empty name.
    pub fn from_jury(
        title: &str,
        rows: Vec<JuryZero>,
        jury: JuryRecord,
        made_by: &str,
        made_on: Date,
        output: OutputRequirement,
    ) -> Result<EarphoneProfile, FieldError> {
        let expires_on = made_on
            .checked_add(1.year())
            .map_err(|_| FieldError::new("made_on", "expected a day before the year 9999"))?;
        let listeners = rows.iter().map(|row| row.listeners).max().unwrap_or(0);
        let method = format!(
            "thresholds of {listeners} people with normal hearing on the same output, in {} visits",
            jury.journals.len()
        );
        EarphoneProfile::try_from(EarphoneRecord {
            made_by: Some(made_by.to_owned()),
            made_on: Some(made_on),
            expires_on: Some(expires_on),
            output: Some(output),
            zero: rows,
            jury: Some(jury),
            ..built_in(ProfileKind::ListeningJury, title, &method)
        })
    }

    /// A simulated profile put under the caps of an uncalibrated headphone; any other unchanged.
    #[must_use]
    pub fn capped_to_headphone(mut self) -> EarphoneProfile {
        if self.0.kind == ProfileKind::Simulated {
            self.0.kind = ProfileKind::SimulatedCapped;
        }
        self
    }

    /// What it holds.
    #[must_use]
    pub fn record(&self) -> &EarphoneRecord {
        &self.0
    }

    /// The level of the words in the file with this digest; none if nobody measured it.
    #[must_use]
    pub fn words(&self, digest: &str) -> Option<&WordsLevel> {
        self.0.words.iter().find(|words| words.digest == digest)
    }

    /// What it rests on.
    #[must_use]
    pub fn kind(&self) -> ProfileKind {
        self.0.kind
    }

    /// Whether it may only be used for simulated people and files, never on a sound device.
    #[must_use]
    pub fn is_simulated(&self) -> bool {
        matches!(
            self.0.kind,
            ProfileKind::Simulated | ProfileKind::SimulatedCapped
        )
    }

    /// Whether it holds on `day`.
    ///
    /// # Errors
    /// It expired before, or was made after.
    pub fn valid_on(&self, day: Date) -> Result<(), NotValid> {
        check::valid_on(&self.0.title, self.0.made_on, self.0.expires_on, day)
    }

    /// Reads a profile's file.
    ///
    /// # Errors
    /// One line that names the file, the field and what was expected.
    pub fn from_toml(text: &str, file: &str) -> Result<EarphoneProfile, FileError> {
        let record: EarphoneRecord = read_toml(text, file)?;
        EarphoneProfile::try_from(record).map_err(|error| error.in_file(file))
    }

    /// Its file, always written the same way.
    ///
    /// # Panics
    /// Never: strings, numbers and dates are all that a record holds, and TOML holds them.
    #[must_use]
    pub fn to_toml(&self) -> String {
        toml::to_string(&self.0).expect("a record holds only strings, numbers and dates")
    }

    /// SHA-256 of [`EarphoneProfile::to_toml`], in hexadecimal.
    #[must_use]
    pub fn digest(&self) -> String {
        digest(&self.to_toml())
    }
}

fn built_in(kind: ProfileKind, title: &str, method: &str) -> EarphoneRecord {
    EarphoneRecord {
        format: FORMAT,
        kind,
        title: title.to_owned(),
        class: None,
        method: method.to_owned(),
        made_by: None,
        made_on: None,
        expires_on: None,
        u_db: None,
        output: None,
        full_scale: Vec::new(),
        coupler: None,
        distortion: Vec::new(),
        reference: Vec::new(),
        zero: Vec::new(),
        jury: None,
        words: Vec::new(),
    }
}
