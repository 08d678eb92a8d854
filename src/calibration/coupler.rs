//! An earphone on a coupler: which tones are read, what is wrong with the readings, and the
//! profile that they make. The sheet is a file that grows with each reading, so that nothing is
//! lost when the work is broken off.

use super::check::{self, number, one_line};
use super::earphone::{Distortion, EarphoneProfile, EarphoneRecord, FullScale, ProfileKind};
use super::file::{FieldError, FileError, read_toml};
use super::{FORMAT, OutputRequirement};
use crate::quantity::{Db, DbFs, DbSpl, Ear, Hz};
use crate::standard::iso_8253_1_2010::{combined, level_tolerance, rectangular};
use crate::standard::{AUDIOMETRIC_HZ, Coupler, EarphoneClass, safety};
use jiff::ToSpan;
use jiff::civil::Date;
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
/// By how much that may differ from what it should be, dB: the step of an audiometer's levels
/// (IEC 60645-1, from memory). An automatic gain or an equaliser that works by level shows here.
const STEP_WRONG_DB: f64 = 1.0;
/// Percent of a tone that its harmonics may have (IEC 60645-1 and ANSI S3.6-1996, air conduction;
/// from memory, stated there for louder tones).
pub const MOST_DISTORTION_PERCENT: f64 = 2.5;
/// How far the earphones of a pair may differ, dB, up to 4 kHz and above (our choice: what differs
/// more has a defect or sits badly). Each side is measured, so a smaller difference costs nothing.
const SIDES_DIFFER_DB: [f64; 2] = [6.0, 10.0];
/// What a class 1 sound level meter with its calibrator is uncertain by, dB (our assumption, from
/// the tolerances of IEC 61672-1, from memory).
pub const METER_U: Db = Db(0.7);
/// The tables are rounded to half a decibel.
const TABLE_ROUNDED: Db = Db(0.25);
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
    /// The output.
    pub output: OutputRequirement,
    /// What was read so far.
    #[serde(default, skip_serializing_if = "Vec::is_empty", rename = "reading")]
    pub readings: Vec<Reading>,
}

/// Something in the readings that makes no profile.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unfit {
    /// Tones that were not read.
    #[error("{of} of {all} tones are read; the next is {} Hz at the {} earphone", next.hz.0, next.ear)]
    NotRead {
        /// So many are.
        of: usize,
        /// So many there are.
        all: usize,
        /// The first that is not.
        next: Step,
    },
    /// The earphone reads otherwise when it is placed anew.
    #[error(
        "the {ear} earphone at {hz}: placements differ by {apart_db:.1} dB, at most \
        {most_db} dB are expected; place it with care and read again"
    )]
    Placements {
        /// Which.
        ear: Ear,
        /// Where.
        hz: Hz,
        /// How far.
        apart_db: f64,
        /// How far they may.
        most_db: f64,
    },
    /// The earphones of the pair differ.
    #[error(
        "{hz}: the earphones differ by {apart_db:.1} dB, at most {most_db} dB are expected of \
        a pair; look for a defect or a cord"
    )]
    Sides {
        /// Where.
        hz: Hz,
        /// How far.
        apart_db: f64,
        /// How far they may.
        most_db: f64,
    },
    /// Harmonics.
    #[error(
        "the {ear} earphone at {hz}: {percent:.1} % distortion, at most \
        {MOST_DISTORTION_PERCENT} % are expected"
    )]
    Distorted {
        /// Which.
        ear: Ear,
        /// Where.
        hz: Hz,
        /// How much.
        percent: f64,
    },
    /// A softer tone does not read as much softer.
    #[error("the {ear} earphone at {hz}: a tone {} dB softer reads {found_db:.1} dB less; something \
        works on the level (an automatic gain, an equaliser, noise beside the tone)", SOFTER.0)]
    Steps {
        /// Which.
        ear: Ear,
        /// Where.
        hz: Hz,
        /// How much less.
        found_db: f64,
    },
    /// What follows is no profile.
    #[error("{0}")]
    Field(#[from] FieldError),
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

    /// Every tone in order: one ear's whole placement after the other's, so that each is placed
    /// anew; 1 kHz first and, softer, once more.
    #[must_use]
    pub fn steps(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let first = Hz(1000.0);
        let others = AUDIOMETRIC_HZ.into_iter().filter(|hz| *hz != first);
        let hz: Vec<Hz> = std::iter::once(first)
            .chain(others)
            .filter(|hz| self.class.retspl(*hz).is_some())
            .collect();
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
                steps.extend(hz[1..].iter().map(|hz| step(*hz, self.level_db_fs)));
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

    /// Everything that keeps the readings from making a profile, in the order in which it was
    /// looked for; whatever can already be seen while tones are missing.
    #[must_use]
    pub fn unfit(&self) -> Vec<Unfit> {
        let mut found = Vec::new();
        let steps = self.steps();
        if let Some(next) = self.next() {
            found.push(Unfit::NotRead {
                of: steps.len()
                    - steps
                        .iter()
                        .filter(|one| self.reading(one).is_none())
                        .count(),
                all: steps.len(),
                next,
            });
        }
        for reading in &self.readings {
            let Reading { ear, hz, .. } = *reading;
            if let Some(percent) = reading.distortion_percent
                && percent > MOST_DISTORTION_PERCENT
            {
                found.push(Unfit::Distorted { ear, hz, percent });
            }
        }
        for ear in Ear::BOTH {
            found.extend(self.step_of(ear));
            for hz in AUDIOMETRIC_HZ {
                let own = self.full_scales(ear, hz);
                let [low, high] = ends(&own);
                let most_db = level_tolerance(hz).0;
                if high - low > most_db {
                    let apart_db = high - low;
                    found.push(Unfit::Placements {
                        ear,
                        hz,
                        apart_db,
                        most_db,
                    });
                }
            }
        }
        for hz in AUDIOMETRIC_HZ {
            let [right, left] = Ear::BOTH.map(|ear| mean(&self.full_scales(ear, hz)));
            let most_db = SIDES_DIFFER_DB[usize::from(hz.0 > 4000.0)];
            if let (Some(right), Some(left)) = (right, left)
                && (right - left).abs() > most_db
            {
                let apart_db = (right - left).abs();
                found.push(Unfit::Sides {
                    hz,
                    apart_db,
                    most_db,
                });
            }
        }
        found
    }

    fn step_of(&self, ear: Ear) -> Option<Unfit> {
        let step = |level_db_fs| Step {
            placement: 1,
            ear,
            hz: Hz(1000.0),
            level_db_fs,
        };
        let loud = self.reading(&step(self.level_db_fs))?;
        let soft = self.reading(&step(self.level_db_fs - SOFTER))?;
        let found_db = (loud.db_spl - soft.db_spl).0;
        ((found_db - SOFTER.0).abs() > STEP_WRONG_DB).then_some(Unfit::Steps {
            ear,
            hz: loud.hz,
            found_db,
        })
    }

    /// The standard uncertainty of the profile's levels: the meter, how the placements scatter
    /// (pooled, of their mean), the rounding of the reference table.
    #[must_use]
    pub fn u_db(&self) -> Db {
        let (mut squares, mut free) = (0.0, 0.0);
        for ear in Ear::BOTH {
            for hz in AUDIOMETRIC_HZ {
                let own = self.full_scales(ear, hz);
                let Some(mean) = mean(&own) else { continue };
                squares += own
                    .iter()
                    .map(|one| (one - mean) * (one - mean))
                    .sum::<f64>();
                free += own.len() as f64 - 1.0;
            }
        }
        let scatter = if free > 0.0 {
            Db(libm::sqrt(squares / free / f64::from(self.placements)))
        } else {
            // Placed once, nobody knows: half of what may not be exceeded.
            rectangular(Db(0.5 * level_tolerance(Hz(1000.0)).0))
        };
        let u = combined(&[self.u_meter_db, scatter, rectangular(TABLE_ROUNDED)]);
        Db((u.0 * 100.0).ceil() / 100.0)
    }

    /// The profile that the readings make, valid for a year (the longest interval between
    /// acoustic checks, ISO 8253-1 stage B, from memory).
    ///
    /// # Errors
    /// The first thing that is wrong with them.
    pub fn profile(&self, made_on: Date) -> Result<EarphoneProfile, Unfit> {
        if let Some(first) = self.unfit().into_iter().next() {
            return Err(first);
        }
        let rounded = |db: f64| DbSpl((db * 100.0).round() / 100.0);
        let full_scale: Vec<FullScale> = AUDIOMETRIC_HZ
            .into_iter()
            .filter_map(|hz| {
                Some(FullScale {
                    hz,
                    right_db_spl: rounded(mean(&self.full_scales(Ear::Right, hz))?),
                    left_db_spl: rounded(mean(&self.full_scales(Ear::Left, hz))?),
                })
            })
            .collect();
        let expires_on = made_on
            .checked_add(1.year())
            .map_err(|_| FieldError::new("made_on", "expected a day before the year 9999"))?;
        let times = if self.placements == 1 { "once" } else { "anew" };
        let record = EarphoneRecord {
            format: FORMAT,
            kind: ProfileKind::Measured,
            title: self.title.clone(),
            class: Some(self.class),
            method: format!(
                "{}, tones at {} dB re full scale, placed {times} ({}); read by {}",
                self.coupler.title(),
                self.level_db_fs.0,
                self.placements,
                self.meter
            )
            .chars()
            .take(180)
            .collect(),
            made_by: Some(self.made_by.clone()),
            made_on: Some(made_on),
            expires_on: Some(expires_on),
            u_db: Some(self.u_db()),
            output: Some(self.output.clone()),
            full_scale,
            coupler: Some(self.coupler),
            distortion: self.distortion(),
            reference: Vec::new(),
            zero: Vec::new(),
            jury: None,
            words: Vec::new(),
        };
        Ok(EarphoneProfile::try_from(record)?)
    }

    /// The largest distortion of each frequency that was measured at both earphones.
    fn distortion(&self) -> Vec<Distortion> {
        let largest = |ear: Ear, hz: Hz| {
            let here = self
                .readings
                .iter()
                .filter(|one| one.ear == ear && one.hz == hz);
            here.filter_map(|one| one.distortion_percent)
                .max_by(f64::total_cmp)
        };
        AUDIOMETRIC_HZ
            .into_iter()
            .filter_map(|hz| {
                Some(Distortion {
                    hz,
                    right_percent: largest(Ear::Right, hz)?,
                    left_percent: largest(Ear::Left, hz)?,
                })
            })
            .collect()
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

/// Whether the tones are soft enough to last as long as a meter needs, whatever earphone it is.
const _: () = assert!(READ_AT.0 <= safety::LOUD.0 - safety::ASSUMED_FULL_SCALE.0);

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

fn ends(values: &[f64]) -> [f64; 2] {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    [low, high]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{DbHl, Level};
    use jiff::civil::date;

    fn wish() -> SheetWish {
        SheetWish {
            title: "Harbour practice, pair 2 (invented)".into(),
            class: Some(EarphoneClass::Circumaural),
            coupler: Coupler::EarSimulatorFlatPlate,
            made_by: "an example".into(),
            meter: "class 1 meter (invented)".into(),
            u_meter_db: METER_U,
            output: OutputRequirement {
                device: None,
                rate_hz: 48_000,
                bits: Some(24),
                volume_percent: None,
            },
            level_db_fs: READ_AT,
            placements: PLACEMENTS,
        }
    }

    /// An earphone that gives 112 dB SPL at full scale, 1 dB more at the left, and 0.4 dB to and
    /// fro between placements.
    fn read(step: &Step) -> DbSpl {
        let left = if step.ear == Ear::Left { 1.0 } else { 0.0 };
        let placed = if step.placement == 1 { 0.2 } else { -0.2 };
        DbSpl(112.0 + left + placed + step.level_db_fs.0)
    }

    fn whole() -> CouplerSheet {
        let mut sheet = CouplerSheet::begin(wish()).unwrap();
        while let Some(step) = sheet.next() {
            sheet.enter(&step, read(&step), Some(0.4)).unwrap();
        }
        sheet
    }

    #[test]
    fn an_ordinary_headphone_is_refused_in_one_sentence() {
        let refused = CouplerSheet::begin(SheetWish {
            class: None,
            ..wish()
        });
        assert_eq!(
            refused.unwrap_err().to_string(),
            format!("class: {ORDINARY}")
        );
        assert!(!ORDINARY.contains('\n') && !ORDINARY.contains(". "));
    }

    /// ISO 389-1:1998 keeps the acoustic coupler for its named types: a circumaural earphone does
    /// not go on it.
    #[test]
    fn a_type_goes_on_the_coupler_of_its_table_only() {
        for class in EarphoneClass::ALL {
            for coupler in Coupler::ALL {
                let begun = CouplerSheet::begin(SheetWish {
                    class: Some(class),
                    coupler,
                    ..wish()
                });
                assert_eq!(
                    begun.is_ok(),
                    class.coupler() == coupler,
                    "{class:?} {coupler:?}"
                );
            }
        }
        let wrong = SheetWish {
            coupler: Coupler::AcousticCoupler,
            ..wish()
        };
        let error = CouplerSheet::begin(wrong).unwrap_err().to_string();
        assert!(
            error.starts_with("coupler: acoustic coupler, IEC 60318-3 found"),
            "{error}"
        );
    }

    /// Two placements of two ears at the eleven frequencies of the table (ISO 389-8), and 1 kHz
    /// once softer at each ear: 46 readings.
    #[test]
    fn each_tone_is_read_once_a_placement() {
        let sheet = CouplerSheet::begin(wish()).unwrap();
        let steps = sheet.steps();
        assert_eq!(steps.len(), 46);
        for (at, step) in steps.iter().enumerate() {
            assert!(!steps[..at].contains(step));
            assert!(step.level_db_fs <= READ_AT);
        }
    }

    /// The level sent is level + reference − level at full scale (calibration/README.md): with
    /// 112 dB SPL at full scale and 5.5 dB SPL at 1 kHz (ISO 389-8), 40 dB HL is −66.5 dB re full
    /// scale at the right, one decibel less at the left.
    #[test]
    fn the_readings_make_a_measured_profile() {
        let sheet = whole();
        assert!(sheet.unfit().is_empty() && sheet.next().is_none());
        let profile = sheet.profile(date(2026, 11, 25)).unwrap();
        let level = |ear| {
            let level = Level::Hl(DbHl(40.0));
            profile.level_db_fs(ear, Hz(1000.0), level).unwrap().0
        };
        assert!((level(Ear::Right) + 66.5).abs() < 1e-9);
        assert!((level(Ear::Left) + 67.5).abs() < 1e-9);
        let record = profile.record();
        assert_eq!(record.expires_on, Some(date(2027, 11, 25)));
        assert_eq!((record.full_scale.len(), record.distortion.len()), (11, 11));
        let again = EarphoneProfile::from_toml(&profile.to_toml(), "p.toml").unwrap();
        assert_eq!(again.digest(), profile.digest());
        // 0.7; a scatter of √(2·0.2²)/√2 = 0.2; 0.25/√3 = 0.144: together 0.742 (by hand).
        assert_eq!(record.u_db, Some(Db(0.75)));
        let sheet_again = CouplerSheet::from_toml(&sheet.to_toml(), "s.toml").unwrap();
        assert_eq!(sheet_again, sheet);
    }

    #[test]
    fn work_is_broken_off_and_gone_on_with() {
        let mut sheet = whole();
        let last = sheet.take_back().unwrap();
        assert!(last.is_of(&sheet.next().unwrap()));
        let error = sheet.profile(date(2026, 11, 25)).unwrap_err().to_string();
        assert!(
            error.starts_with("45 of 46 tones are read; the next is 8000 Hz"),
            "{error}"
        );
        let step = sheet.next().unwrap();
        sheet.enter(&step, DbSpl(77.0), None).unwrap();
        sheet.enter(&step, DbSpl(77.4), None).unwrap();
        assert_eq!(sheet.readings.len(), 46);
        assert!(
            sheet.enter(&step, DbSpl(7.7), None).is_err(),
            "a slipped digit"
        );
        assert!(sheet.enter(&step, DbSpl(f64::NAN), None).is_err());
        assert_eq!(sheet.reading(&step).unwrap().db_spl, DbSpl(77.4));
    }

    /// Every limit, each broken by itself.
    #[test]
    fn what_makes_no_profile_is_said() {
        let change = |at: usize, more: f64, percent: Option<f64>| {
            let mut sheet = whole();
            let step = sheet.steps()[at];
            let level = sheet.reading(&step).unwrap().db_spl + Db(more);
            sheet.enter(&step, level, percent).unwrap();
            let unfit = sheet.unfit();
            assert!(sheet.profile(date(2026, 11, 25)).is_err());
            unfit.first().unwrap().to_string()
        };
        let of = |text: String, expected: &str| assert!(text.contains(expected), "{text}");
        of(
            change(3, 3.5, None),
            "placements differ by 3.9 dB, at most 3 dB",
        );
        of(change(1, -2.0, None), "20 dB softer reads 22.0 dB less");
        of(change(5, 0.0, Some(2.6)), "2.6 % distortion, at most 2.5 %");
        let mut sheet = CouplerSheet::begin(wish()).unwrap();
        while let Some(step) = sheet.next() {
            let left = if step.ear == Ear::Left { 6.0 } else { 0.0 };
            sheet.enter(&step, read(&step) + Db(left), None).unwrap();
        }
        let sides = sheet.unfit();
        assert_eq!(sides.len(), 9, "up to 4 kHz, above it 10 dB may differ");
        of(
            sides[0].to_string(),
            "125 Hz: the earphones differ by 7.0 dB, at most 6 dB",
        );
    }
}
