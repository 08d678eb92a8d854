//! Levels on a profile: what the device must get, and how loud it may be.

use super::earphone::{EarphoneProfile, ProfileKind};
use crate::quantity::{Db, DbFs, DbHl, DbSpl, Ear, Hz, Level, Scale};
use crate::standard::iso_389_4_1994::masking_correction;
use crate::standard::{EarphoneClass, iec_60645_1_2017, safety, test_hz};

/// The highest level of the simulated set-up, at every frequency.
const SIMULATED_MAX: DbHl = DbHl(110.0);

/// The softest level without any reference: under what people hear on common headphones.
const MIN_FS: DbFs = DbFs(-110.0);

/// Noise must stay this far under the ear's cap, because its peaks rise above those of a sine of
/// the same power. Higher peaks would come less than once in half an hour; they are cut when the
/// noise is drawn.
pub const NOISE_HEADROOM: Db = Db(12.0);

/// The depth that is reckoned with where nobody has checked it, bits.
const UNCHECKED_BITS: u32 = 16;

/// How far the dither's noise must stay under a tone, dB of effective masking level: it then
/// shifts a threshold there by at most 2 dB, as ISO 8253-1:2010 accepts of a room's noise
/// (10 lg(1 + 10^-0.233) = 2.0).
const DITHER_CLEARANCE: Db = Db(2.33);

/// Where no correction is printed, above 8 kHz, that of 8 kHz is taken (our choice).
const EXTENDED_CORRECTION: Db = Db(5.0);

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
    /// The level is under what the depth of this output can carry.
    #[error("{asked_db} {} at {hz} is under {lowest_db:.1} {}, the least that an output of {bits} \
        bits can claim there", scale.unit(), scale.unit())]
    BelowDepth {
        /// The scale of both levels.
        scale: Scale,
        /// What was asked for.
        asked_db: f64,
        /// The least that may be claimed.
        lowest_db: f64,
        /// The depth.
        bits: u32,
        /// The frequency.
        hz: Hz,
    },
    /// A loud sound would last too long.
    #[error("{asked_db} {} for {seconds} s: so loud a sound lasts at most {longest} s",
        scale.unit(), longest = safety::LONGEST_LOUD_S)]
    LoudTooLong {
        /// The level's scale.
        scale: Scale,
        /// The level.
        asked_db: f64,
        /// How long.
        seconds: f64,
    },
    /// Each sound keeps its cap, but all of them at once would not.
    #[error("the sounds at the {ear} ear are together above the cap")]
    LoudTogether {
        /// The ear.
        ear: Ear,
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
        test_hz()
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

    /// The level on the profile's scale of a tone that is this loud re full scale.
    ///
    /// # Errors
    /// A frequency without a reference.
    pub fn as_level(&self, ear: Ear, hz: Hz, level: DbFs) -> Result<Level, Refusal> {
        let zero = self.zero(ear, hz).ok_or(Refusal::NoReference { hz })?;
        Ok(Level::new(self.scale(), (level - zero).0))
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
    /// As [`EarphoneProfile::level_db_fs`], above [`EarphoneProfile::max_level`], and where the
    /// output's depth allows no such claim ([`EarphoneProfile::lowest_level`]).
    pub fn admit(&self, ear: Ear, hz: Hz, level: Level) -> Result<DbFs, Refusal> {
        let converted = self.level_db_fs(ear, hz, level)?;
        within(level, self.max_level(ear, hz), hz)?;
        if let (Some(bits), Some(lowest)) = (self.depth_bits(), self.dither_floor(ear, hz))
            && level.db() < lowest.db() - 1e-9
        {
            return Err(Refusal::BelowDepth {
                scale: level.scale(),
                asked_db: level.db(),
                lowest_db: lowest.db(),
                bits,
                hz,
            });
        }
        Ok(converted)
    }

    /// The level re full scale of white or speech-weighted noise that is about to be presented.
    /// `level` is that of a tone at `hz` of the same power, no effective masking level.
    ///
    /// # Errors
    /// As [`EarphoneProfile::level_db_fs`], and above [`EarphoneProfile::max_wide_noise_level`].
    pub fn admit_wide_noise(&self, ear: Ear, hz: Hz, level: Level) -> Result<DbFs, Refusal> {
        let converted = self.level_db_fs(ear, hz, level)?;
        within(level, self.max_wide_noise_level(ear, hz), hz)?;
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
                (loudest - self.retspl(hz)?)
                    .0
                    .min(safety::MEASURED_CAP_HL.0)
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
    /// for its peaks; and it lasts longer than a loud sound may, so it is never loud.
    #[must_use]
    pub fn max_masker_level(&self, ear: Ear, hz: Hz) -> Option<Level> {
        let zero = self.zero(ear, hz)?;
        let tone = zero + Db(self.max_level(ear, hz)?.db());
        if self.kind() == ProfileKind::Simulated {
            // Nothing is played.
            let db = (tone - correction(hz)? - zero).0;
            return Some(Level::new(self.scale(), db));
        }
        let loudest = tone.min(self.cap_db_fs(ear) - NOISE_HEADROOM);
        let db = (loudest - correction(hz)? - zero).0;
        Some(Level::new(self.scale(), db.min(self.loud_db(ear, hz)?)))
    }

    /// The highest level of white or speech-weighted noise at `hz`, the frequency that its level
    /// refers to: as for a masker, under the lowest cap over all frequencies.
    #[must_use]
    pub fn max_wide_noise_level(&self, ear: Ear, hz: Hz) -> Option<Level> {
        let zero = self.zero(ear, hz)?;
        let caps = self.hz().into_iter().filter_map(|at| {
            // Where ears are dull, or the earphone is, power still arrives at the others.
            (at.0 <= 8000.0).then_some(self.zero(ear, at)?.0 + self.max_level(ear, at)?.db())
        });
        let softest = DbFs(caps.fold(0.0, f64::min));
        let loudest = softest.min(self.cap_db_fs(ear) - NOISE_HEADROOM);
        let db = (loudest - zero).0;
        Some(Level::new(self.scale(), db.min(self.loud_db(ear, hz)?)))
    }

    /// Above this a sound is loud ([`safety::LOUD`]), dB on the profile's scale. Re full scale it
    /// is reckoned as sound pressure level under the assumption that full scale gives 120 dB SPL.
    #[must_use]
    pub fn loud_db(&self, ear: Ear, hz: Hz) -> Option<f64> {
        self.zero(ear, hz)?;
        Some(match self.scale() {
            Scale::DbHl | Scale::DbReExaminer => safety::LOUD.0,
            Scale::DbFs => safety::LOUD.0 - safety::ASSUMED_FULL_SCALE.0,
        })
    }

    /// The sound pressure level of a sound at this level re full scale; where nobody measured it,
    /// under the assumption that full scale gives 120 dB SPL.
    #[must_use]
    pub fn db_spl(&self, ear: Ear, hz: Hz, level: DbFs) -> DbSpl {
        let full_scale = self.full_scale_db_spl(ear, hz);
        full_scale.unwrap_or(safety::ASSUMED_FULL_SCALE) + Db(level.0)
    }

    /// The depth to which everything that this profile plays is rounded, with dither; `None` for a
    /// simulated one, whose samples go to files only.
    #[must_use]
    pub fn depth_bits(&self) -> Option<u32> {
        let checked = || self.record().output.as_ref()?.bits;
        (!self.is_simulated()).then(|| checked().unwrap_or(UNCHECKED_BITS))
    }

    /// The lowest level that may be claimed at this ear and frequency: [`EarphoneProfile::min_level`],
    /// or where the dither of the output's depth would begin to mask a tone, or what the room of a
    /// listening jury allowed.
    #[must_use]
    pub fn lowest_level(&self, ear: Ear, hz: Hz) -> Option<Level> {
        self.zero(ear, hz)?;
        let floor = self
            .dither_floor(ear, hz)
            .map_or(f64::NEG_INFINITY, Level::db);
        let of_jury = self.record().zero.iter().find(|row| row.hz == hz);
        let room = of_jury.map_or(f64::NEG_INFINITY, |row| row.lowest_db_hl.0);
        let lowest = floor.max(room).max(self.min_level().db());
        Some(Level::new(self.scale(), lowest))
    }

    /// Where the dither's noise shifts a threshold by 2 dB.
    fn dither_floor(&self, ear: Ear, hz: Hz) -> Option<Level> {
        let bits = self.depth_bits()?;
        let rate_hz = self
            .record()
            .output
            .as_ref()
            .map_or(48_000, |output| output.rate_hz);
        // The error of a dithered quantiser has the power of a quarter of a squared step (see
        // `station/quantiser.rs`), spread evenly up to half the rate; what falls into the third of
        // an octave about the tone masks it.
        let whole_db = 10.0 * libm::log10(2.0) - 20.0 * f64::from(bits) * libm::log10(2.0);
        let band = hz.0 * (libm::exp2(1.0 / 6.0) - libm::exp2(-1.0 / 6.0));
        let noise = DbFs(whole_db + 10.0 * libm::log10(band / (0.5 * f64::from(rate_hz))));
        let correction = correction(hz).unwrap_or(EXTENDED_CORRECTION);
        let masked = noise - correction + DITHER_CLEARANCE;
        Some(Level::new(self.scale(), (masked - self.zero(ear, hz)?).0))
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
            Scale::DbFs => test_hz().any(|listed| listed == hz).then_some(DbFs(0.0)),
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
