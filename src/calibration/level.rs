//! Levels on a profile: what the device must get, and how loud it may be.

use super::earphone::{EarphoneProfile, ProfileKind};
use crate::quantity::{Db, DbFs, DbHl, DbSpl, Ear, Hz, Level, Scale};
use crate::standard::iso_389_4_1994::masking_correction;
use crate::standard::{AUDIOMETRIC_HZ, EarphoneClass, iec_60645_1_2017, safety};

/// The highest level of the simulated set-up, at every frequency.
const SIMULATED_MAX: DbHl = DbHl(110.0);

/// The softest level without any reference: under what people hear on common headphones.
const MIN_FS: DbFs = DbFs(-110.0);

/// Noise must stay this far under the ear's cap, because its peaks rise above those of a sine of
/// the same power; higher peaks come less than once an hour in one-third-octave noise.
const NOISE_HEADROOM: Db = Db(12.0);

/// Why a level cannot be presented.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The level is on another scale than the profile.
    #[error("a level in {} was asked for, but this earphone profile has {}",
        asked.unit(), has.unit())]
    WrongScale {
        /// The level's scale.
        asked: Scale,
        /// The profile's scale.
        has: Scale,
    },
    /// The profile or its tables hold nothing at this frequency.
    #[error("the earphone profile has no reference at {hz}")]
    NoReference {
        /// The frequency.
        hz: Hz,
    },
    /// The level is above the cap.
    #[error("{asked_db} {} is above the cap of {max_db:.1} {} at {hz}",
        scale.unit(), scale.unit())]
    AboveCap {
        /// The scale of both levels.
        scale: Scale,
        /// What was asked for.
        asked_db: f64,
        /// The most that may be presented.
        max_db: f64,
        /// The frequency.
        hz: Hz,
    },
    /// The level is not a number.
    #[error("the level is not a finite number")]
    NotANumber,
}

impl EarphoneProfile {
    /// What its levels refer to.
    #[must_use]
    pub fn scale(&self) -> Scale {
        match self.kind() {
            ProfileKind::Simulated
            | ProfileKind::SimulatedCapped
            | ProfileKind::Measured
            | ProfileKind::ListeningJury => Scale::DbHl,
            ProfileKind::ExaminersEars => Scale::DbReExaminer,
            ProfileKind::Uncalibrated => Scale::DbFs,
        }
    }

    /// The frequencies that it can present, ascending.
    #[must_use]
    pub fn hz(&self) -> Vec<Hz> {
        AUDIOMETRIC_HZ
            .into_iter()
            .filter(|hz| self.zero(Ear::Right, *hz).is_some())
            .collect()
    }

    /// The sound pressure level of a sine at full scale; `None` where it was not measured.
    #[must_use]
    pub fn full_scale_db_spl(&self, ear: Ear, hz: Hz) -> Option<DbSpl> {
        let row = self.record().full_scale.iter().find(|row| row.hz == hz)?;
        Some(row.at(ear))
    }

    /// The reference equivalent threshold sound pressure level of its class.
    #[must_use]
    pub fn retspl(&self, hz: Hz) -> Option<DbSpl> {
        Some(self.record().class?.retspl(hz)?.value)
    }

    /// The least interaural attenuation to reckon with: its class's, or the least of all classes
    /// where the class is not known.
    #[must_use]
    pub fn interaural_attenuation_min(&self) -> Db {
        let class = self.record().class.unwrap_or(EarphoneClass::SupraAural);
        class.interaural_attenuation_min().value
    }

    /// The level re full scale of a tone at `level`: a pure conversion, whatever the caps.
    ///
    /// # Errors
    /// Another scale, a frequency without a reference, a level that is no number.
    pub fn level_db_fs(&self, ear: Ear, hz: Hz, level: Level) -> Result<DbFs, Refusal> {
        let has = self.scale();
        if level.scale() != has {
            return Err(Refusal::WrongScale {
                asked: level.scale(),
                has,
            });
        }
        if !level.db().is_finite() {
            return Err(Refusal::NotANumber);
        }
        let zero = self.zero(ear, hz).ok_or(Refusal::NoReference { hz })?;
        Ok(zero + Db(level.db()))
    }

    /// The level re full scale of one-third-octave noise of effective masking level `level`: that
    /// of a sine of the same power. Re the examiner and re full scale, an effective level L masks
    /// a tone of level L of the same scale.
    ///
    /// # Errors
    /// As [`EarphoneProfile::level_db_fs`].
    pub fn masker_db_fs(&self, ear: Ear, hz: Hz, level: Level) -> Result<DbFs, Refusal> {
        let correction = correction(hz).ok_or(Refusal::NoReference { hz })?;
        Ok(self.level_db_fs(ear, hz, level)? + correction)
    }

    /// The level re full scale of a tone that is about to be presented.
    ///
    /// # Errors
    /// As [`EarphoneProfile::level_db_fs`], and above [`EarphoneProfile::max_level`].
    pub fn admit(&self, ear: Ear, hz: Hz, level: Level) -> Result<DbFs, Refusal> {
        let converted = self.level_db_fs(ear, hz, level)?;
        within(level, self.max_level(ear, hz), hz)?;
        Ok(converted)
    }

    /// The level re full scale of noise that is about to be presented.
    ///
    /// # Errors
    /// As [`EarphoneProfile::masker_db_fs`], and above [`EarphoneProfile::max_masker_level`].
    pub fn admit_masker(&self, ear: Ear, hz: Hz, level: Level) -> Result<DbFs, Refusal> {
        let converted = self.masker_db_fs(ear, hz, level)?;
        within(level, self.max_masker_level(ear, hz), hz)?;
        Ok(converted)
    }

    /// The highest level of a tone under the caps; `None` without a reference at `hz`.
    #[must_use]
    pub fn max_level(&self, ear: Ear, hz: Hz) -> Option<Level> {
        let zero = self.zero(ear, hz)?;
        let db = match self.kind() {
            ProfileKind::Simulated => SIMULATED_MAX.0,
            ProfileKind::SimulatedCapped => {
                let by_pressure = safety::HEADPHONE_CAP - self.retspl(hz)?;
                by_pressure.0.min(safety::HEADPHONE_CAP_HL.0)
            }
            ProfileKind::Measured => {
                let loudest = self.full_scale_db_spl(ear, hz)?.min(safety::MEASURED_CAP);
                (loudest - self.retspl(hz)?).0
            }
            ProfileKind::ExaminersEars | ProfileKind::ListeningJury => {
                let below_cap = safety::HEADPHONE_CAP_FS - zero;
                below_cap.0.min(safety::HEADPHONE_CAP_HL.0)
            }
            ProfileKind::Uncalibrated => safety::HEADPHONE_CAP_FS.0,
        };
        Some(Level::new(self.scale(), db))
    }

    /// The highest effective masking level: the noise is held to the tone's cap and leaves room
    /// for its peaks.
    #[must_use]
    pub fn max_masker_level(&self, ear: Ear, hz: Hz) -> Option<Level> {
        let zero = self.zero(ear, hz)?;
        let tone = zero + Db(self.max_level(ear, hz)?.db());
        let loudest = match self.kind() {
            ProfileKind::Simulated => tone, // nothing is played
            _ => tone.min(self.cap_db_fs(ear) - NOISE_HEADROOM),
        };
        Some(Level::new(
            self.scale(),
            (loudest - correction(hz)? - zero).0,
        ))
    }

    /// The lowest level that is presented.
    #[must_use]
    pub fn min_level(&self) -> Level {
        let db = match self.scale() {
            Scale::DbHl | Scale::DbReExaminer => iec_60645_1_2017::LOWEST_DB_HL.value,
            Scale::DbFs => MIN_FS.0,
        };
        Level::new(self.scale(), db)
    }

    /// The ceiling of every sample that goes to this ear, as the level of a sine with that peak:
    /// the highest cap over all frequencies. A simulated profile is held to the cap of an
    /// unmeasured headphone here, should its samples ever reach one.
    #[must_use]
    pub fn cap_db_fs(&self, ear: Ear) -> DbFs {
        if self.is_simulated() {
            return safety::HEADPHONE_CAP_FS;
        }
        let caps = self
            .hz()
            .into_iter()
            .filter_map(|hz| Some(self.zero(ear, hz)?.0 + self.max_level(ear, hz)?.db()));
        DbFs(caps.fold(f64::NEG_INFINITY, f64::max).min(0.0))
    }

    /// The level re full scale that is 0 dB on the profile's scale.
    fn zero(&self, ear: Ear, hz: Hz) -> Option<DbFs> {
        match self.scale() {
            Scale::DbHl if self.kind() == ProfileKind::ListeningJury => {
                let row = self.record().zero.iter().find(|row| row.hz == hz)?;
                Some(row.at(ear))
            }
            Scale::DbHl => {
                let below = self.retspl(hz)? - self.full_scale_db_spl(ear, hz)?;
                Some(DbFs(below.0))
            }
            Scale::DbReExaminer => {
                let row = self.record().reference.iter().find(|row| row.hz == hz)?;
                Some(row.at(ear))
            }
            Scale::DbFs => AUDIOMETRIC_HZ.contains(&hz).then_some(DbFs(0.0)),
        }
    }
}

fn correction(hz: Hz) -> Option<Db> {
    masking_correction(hz).map(|stated| stated.value)
}

fn within(level: Level, max: Option<Level>, hz: Hz) -> Result<(), Refusal> {
    let max_db = max.ok_or(Refusal::NoReference { hz })?.db();
    if level.db() <= max_db {
        return Ok(());
    }
    Err(Refusal::AboveCap {
        scale: level.scale(),
        asked_db: level.db(),
        max_db,
        hz,
    })
}
