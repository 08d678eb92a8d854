//! An earphone on a coupler: which tones are read, and the sheet that they are written on. It is a
//! file that grows with each reading, so that nothing is lost when the work is broken off. What is
//! wrong with the readings, and the profile that they make, stand in rooms of their own.

mod profile;
#[cfg(test)]
mod tests;
mod unfit;

pub use unfit::{MOST_DISTORTION_PERCENT, Unfit};

use super::check::{self, number, one_line};
use super::file::{FieldError, FileError, read_toml};
use super::{FORMAT, OutputRequirement};
use crate::quantity::{Db, DbFs, DbSpl, Ear, Hz};
use crate::standard::{AUDIOMETRIC_HZ, Coupler, EXTENDED_HZ, EarphoneClass, safety};
use serde::{Deserialize, Serialize};

/// What is said of an ordinary headphone on a coupler.
pub const ORDINARY: &str = "expected an earphone type whose reference table was made for a coupler: \
    a coupler makes no standard type of an ordinary headphone (types differ by up to 9 dB at \
    6 kHz), so let a listening jury make its zero, or measure against the examiner's ears";

/// At which level tones are read: under what is loud by the assumption that full scale gives
/// 120 dB SPL, so that they may last.
pub const READ_AT: DbFs = DbFs(-35.0);
/// The levels at which they can be read.
const READABLE_DB_FS: [f64; 2] = [-60.0, READ_AT.0];
/// How much softer 1 kHz is read once more at each ear.
pub const SOFTER: Db = Db(20.0);
/// What a class 1 sound level meter with its calibrator is uncertain by, dB (our assumption, from
/// the tolerances of IEC 61672-1, from memory).
pub const METER_U: Db = Db(0.7);
/// Fewer frames a second do not carry 16 kHz.
const LEAST_EXTENDED_HZ: u32 = 44_100;
/// The earphone is placed so often on the coupler, each time anew, unless said otherwise.
pub const PLACEMENTS: u32 = 2;

/// Which kind of file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SheetKind {
    /// Readings on a coupler.
    CouplerSheet,
}

/// A tone that is to be read.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// How often the earphone was placed before, and once more.
    pub placement: u32,
    /// Which earphone.
    pub ear: Ear,
    /// The tone.
    pub hz: Hz,
    /// Its level.
    pub level_db_fs: DbFs,
}

/// What was read of a tone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// How often the earphone was placed before, and once more.
    pub placement: u32,
    /// Which earphone.
    pub ear: Ear,
    /// The tone.
    pub hz: Hz,
    /// Its level.
    pub level_db_fs: DbFs,
    /// What the sound level meter read, or the calibrated microphone.
    pub db_spl: DbSpl,
    /// Its harmonics, percent of the tone, where they were measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distortion_percent: Option<f64>,
}

impl Reading {
    fn is_of(&self, step: &Step) -> bool {
        self.placement == step.placement
            && self.ear == step.ear
            && self.hz == step.hz
            && (self.level_db_fs - step.level_db_fs).0.abs() < 1e-9
    }

    fn full_scale(&self) -> DbSpl {
        self.db_spl - Db(self.level_db_fs.0)
    }
}

/// What is wanted, before anything is read.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetWish {
    /// What the earphone is called.
    pub title: String,
    /// The type of the earphone; `None` for an ordinary headphone, which is refused.
    pub class: Option<EarphoneClass>,
    /// On what it sits.
    pub coupler: Coupler,
    /// Who reads.
    pub made_by: String,
    /// What reads: one line.
    pub meter: String,
    /// Its standard uncertainty.
    pub u_meter_db: Db,
    /// The output.
    pub output: OutputRequirement,
    /// The level of the tones.
    pub level_db_fs: DbFs,
    /// How often the earphone is placed.
    pub placements: u32,
    /// Whether [`EXTENDED_HZ`] are read too.
    pub extended: bool,
}

/// The sheet of a measurement on a coupler.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CouplerSheet {
    /// The version of the format, [`FORMAT`].
    format: u32,
    /// `coupler_sheet`.
    kind: SheetKind,
    /// What the earphone is called.
    pub title: String,
    /// Its type.
    pub class: EarphoneClass,
    /// On what it sits.
    pub coupler: Coupler,
    /// Who reads.
    pub made_by: String,
    /// What reads.
    pub meter: String,
    /// Its standard uncertainty.
    pub u_meter_db: Db,
    /// The level of the tones.
    pub level_db_fs: DbFs,
    /// How often the earphone is placed.
    pub placements: u32,
    /// Whether [`EXTENDED_HZ`] are read too.
    #[serde(default, skip_serializing_if = "is_false")]
    pub extended: bool,
    /// The output.
    pub output: OutputRequirement,
    /// What was read so far.
    #[serde(default, skip_serializing_if = "Vec::is_empty", rename = "reading")]
    pub readings: Vec<Reading>,
}

impl CouplerSheet {
    /// A sheet on which nothing is read yet.
    ///
    /// # Errors
    /// An ordinary headphone, a coupler for which the type's table was not made, a value out of
    /// range.
    pub fn begin(wish: SheetWish) -> Result<CouplerSheet, FieldError> {
        let class = wish
            .class
            .ok_or_else(|| FieldError::new("class", ORDINARY))?;
        let sheet = CouplerSheet {
            format: FORMAT,
            kind: SheetKind::CouplerSheet,
            title: wish.title,
            class,
            coupler: wish.coupler,
            made_by: wish.made_by,
            meter: wish.meter,
            u_meter_db: wish.u_meter_db,
            level_db_fs: wish.level_db_fs,
            placements: wish.placements,
            extended: wish.extended,
            output: wish.output,
            readings: Vec::new(),
        };
        sheet.check()?;
        Ok(sheet)
    }

    fn check(&self) -> Result<(), FieldError> {
        check::format(self.format)?;
        for (field, text) in [
            ("title", &self.title),
            ("made_by", &self.made_by),
            ("meter", &self.meter),
        ] {
            one_line(field, text)?;
        }
        check::coupler_of(self.class, self.coupler)?;
        check::output_requirement(&self.output)?;
        number("u_meter_db", self.u_meter_db.0, 0.1..=5.0)?;
        let [softest, loudest] = READABLE_DB_FS;
        number("level_db_fs", self.level_db_fs.0, softest..=loudest)?;
        check::whole("placements", self.placements, 1..=5)?;
        if self.extended {
            self.check_extended()?;
        }
        for (index, reading) in self.readings.iter().enumerate() {
            let field = |name| format!("reading[{index}].{name}");
            if !self.steps().iter().any(|step| reading.is_of(step)) {
                let problem = "expected one of the tones of this sheet";
                return Err(FieldError::new(format!("reading[{index}]"), problem));
            }
            number(&field("db_spl"), reading.db_spl.0, 0.0..=140.0)?;
            if let Some(percent) = reading.distortion_percent {
                number(&field("distortion_percent"), percent, 0.0..=100.0)?;
            }
        }
        Ok(())
    }

    fn check_extended(&self) -> Result<(), FieldError> {
        if !EXTENDED_HZ
            .iter()
            .all(|hz| self.class.retspl(*hz).is_some())
        {
            let problem = "expected only of a type that has reference levels above 8 kHz";
            return Err(FieldError::new("extended", problem));
        }
        check::whole(
            "output.rate_hz",
            self.output.rate_hz,
            LEAST_EXTENDED_HZ..=u32::MAX,
        )
    }

    /// The frequencies that are read, ascending.
    fn hz(&self) -> impl Iterator<Item = Hz> {
        let extended = EXTENDED_HZ.into_iter().filter(|_| self.extended);
        let all = AUDIOMETRIC_HZ.into_iter().chain(extended);
        all.filter(|hz| self.class.retspl(*hz).is_some())
    }

    /// Every tone in order: one ear's whole placement after the other's, so that each is placed
    /// anew; 1 kHz first and, softer, once more.
    #[must_use]
    pub fn steps(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let first = Hz(1000.0);
        let others: Vec<Hz> = self.hz().filter(|hz| *hz != first).collect();
        for placement in 1..=self.placements {
            for ear in Ear::BOTH {
                let step = |hz, level_db_fs| Step {
                    placement,
                    ear,
                    hz,
                    level_db_fs,
                };
                steps.push(step(first, self.level_db_fs));
                if placement == 1 {
                    steps.push(step(first, self.level_db_fs - SOFTER));
                }
                steps.extend(others.iter().map(|hz| step(*hz, self.level_db_fs)));
            }
        }
        steps
    }

    /// What was read of a tone.
    #[must_use]
    pub fn reading(&self, step: &Step) -> Option<&Reading> {
        self.readings.iter().find(|one| one.is_of(step))
    }

    /// The first tone that is not read; `None` when all are.
    #[must_use]
    pub fn next(&self) -> Option<Step> {
        let steps = self.steps();
        steps.into_iter().find(|step| self.reading(step).is_none())
    }

    /// Writes a reading down; it replaces one of the same tone.
    ///
    /// # Errors
    /// A tone that is none of the sheet's, a reading that no earphone gives.
    pub fn enter(
        &mut self,
        step: &Step,
        db_spl: DbSpl,
        distortion_percent: Option<f64>,
    ) -> Result<(), FieldError> {
        let mut next = self.clone();
        next.readings.retain(|one| !one.is_of(step));
        next.readings.push(Reading {
            placement: step.placement,
            ear: step.ear,
            hz: step.hz,
            level_db_fs: step.level_db_fs,
            db_spl,
            distortion_percent,
        });
        next.check()?;
        // What the level implies at full scale shows a slipped digit at once.
        let implied = db_spl - Db(step.level_db_fs.0);
        number(
            "full scale, from this reading",
            implied.0,
            check::FULL_SCALE_DB_SPL,
        )?;
        *self = next;
        Ok(())
    }

    /// Takes the latest reading back.
    pub fn take_back(&mut self) -> Option<Reading> {
        self.readings.pop()
    }

    /// The readings of one earphone and frequency, as the level at full scale, one a placement.
    fn full_scales(&self, ear: Ear, hz: Hz) -> Vec<f64> {
        let here = |one: &&Reading| {
            one.ear == ear && one.hz == hz && (one.level_db_fs - self.level_db_fs).0.abs() < 1e-9
        };
        let own = self.readings.iter().filter(here);
        own.map(|one| one.full_scale().0).collect()
    }

    /// Reads a sheet.
    ///
    /// # Errors
    /// One line that names the file, the field and what was expected.
    pub fn from_toml(text: &str, file: &str) -> Result<CouplerSheet, FileError> {
        let sheet: CouplerSheet = read_toml(text, file)?;
        sheet.check().map_err(|error| error.in_file(file))?;
        Ok(sheet)
    }

    /// The sheet as a file.
    ///
    /// # Panics
    /// Never: strings and numbers are all that a sheet holds, and TOML holds them.
    #[must_use]
    pub fn to_toml(&self) -> String {
        toml::to_string(self).expect("a sheet holds only strings and numbers")
    }
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_false(flag: &bool) -> bool {
    !flag
}

/// Whether the tones are soft enough to last as long as a meter needs, whatever earphone it is.
const _: () = assert!(READ_AT.0 <= safety::LOUD.0 - safety::ASSUMED_FULL_SCALE.0);
