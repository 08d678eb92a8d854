//! How quiet a room was, and the lowest hearing level that it lets one claim (ISO 8253-1:2010).

mod told;

pub use told::{BandTold, RoomTold};

use super::check::{self, made_and_expires, number, one_line};
use super::file::{FieldError, FileError, digest, read_toml};
use super::microphone::Microphone;
use super::third_octave::{self, BANDS, third_octaves};
use super::{FORMAT, NotValid};
use crate::quantity::{Db, DbHl, DbSpl, Hz};
use crate::standard::iec_61260_1_2014::BANDS_HZ;
use crate::standard::iso_8253_1_2010::permissible_noise::{
    MEASURING_FLOOR_BELOW, permissible, permissible_for,
};
use crate::standard::{AUDIOMETRIC_HZ, EarphoneFit};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Which kind of file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RoomKind {
    /// A room's noise.
    Room,
}

/// What was measured in one band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RoomBand {
    /// Nominal midband frequency, Hz, one of [`BANDS_HZ`].
    pub hz: f64,
    /// The loudest that slow time weighting read.
    pub level_db_spl: DbSpl,
    /// The microphone's own noise; left out where it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor_db_spl: Option<DbSpl>,
}

/// What a room's file holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RoomRecord {
    /// The version of the format, [`FORMAT`].
    pub format: u32,
    /// `room`.
    pub kind: RoomKind,
    /// Which room; one line.
    pub place: String,
    /// How the earphone sits that is worn in it.
    pub fit: EarphoneFit,
    /// Who measured.
    pub made_by: String,
    /// When.
    #[schemars(with = "String", extend("format" = "date"))]
    pub made_on: Date,
    /// The last day on which the measurement is held to be true.
    #[schemars(with = "String", extend("format" = "date"))]
    pub expires_on: Date,
    /// The microphone's title.
    pub microphone: String,
    /// SHA-256 of its file.
    pub microphone_digest: String,
    /// The standard uncertainty of its levels.
    pub u_db: Db,
    /// How long was listened, s.
    pub seconds: f64,
    /// All bands, ascending.
    pub band: Vec<RoomBand>,
}

/// A room's noise: a record that was checked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(into = "RoomRecord", try_from = "RoomRecord")]
pub struct Room(RoomRecord);

/// Who measures a room, where and for which earphone.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomWish {
    /// Which room.
    pub place: String,
    /// How the earphone sits.
    pub fit: EarphoneFit,
    /// Who measures.
    pub made_by: String,
    /// The day.
    pub made_on: Date,
    /// The last day on which the measurement is held to be true.
    pub expires_on: Date,
}

/// What stands in the way of a lower claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// The room's noise.
    Room,
    /// The microphone's own noise: nobody can tell from this recording whether the room is
    /// quieter.
    Microphone,
}

/// The lowest hearing level that may be claimed of a tone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Claim {
    /// The tone.
    pub hz: Hz,
    /// The level; `None` where the microphone's own noise is not known: then nothing can be told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lowest_db_hl: Option<DbHl>,
    /// What bounds it.
    pub limit: Limit,
    /// In which band, nominal Hz.
    pub band_hz: f64,
}

/// What a band says about hearing levels from 0 dB.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Quiet {
    /// At or under the permissible level.
    Permissible,
    /// Above it.
    TooLoud,
    /// The microphone's own noise is not 6 dB under it, or not known.
    CannotTell,
    /// The standard prints no level for this band.
    NotStated,
}

impl TryFrom<RoomRecord> for Room {
    type Error = FieldError;
    fn try_from(record: RoomRecord) -> Result<Room, FieldError> {
        check::format(record.format)?;
        one_line("place", &record.place)?;
        one_line("made_by", &record.made_by)?;
        one_line("microphone", &record.microphone)?;
        made_and_expires(record.made_on, record.expires_on)?;
        check::sha_256("microphone_digest", &record.microphone_digest)?;
        number("u_db", record.u_db.0, 0.1..=20.0)?;
        number(
            "seconds",
            record.seconds,
            third_octave::SHORTEST_S..=third_octave::LONGEST_S,
        )?;
        let same = |(band, hz): (&RoomBand, &f64)| (band.hz - hz).abs() < 1e-6;
        if record.band.len() != BANDS || !record.band.iter().zip(&BANDS_HZ).all(same) {
            let problem = "expected one table a band, from 31.5 to 8000 Hz, ascending";
            return Err(FieldError::new("band", problem));
        }
        for (index, band) in record.band.iter().enumerate() {
            let field = |name| format!("band[{index}].{name}");
            number(&field("level_db_spl"), band.level_db_spl.0, -60.0..=160.0)?;
            if let Some(floor) = band.floor_db_spl {
                number(&field("floor_db_spl"), floor.0, -60.0..=120.0)?;
            }
        }
        Ok(Room(record))
    }
}

impl From<Room> for RoomRecord {
    fn from(room: Room) -> RoomRecord {
        room.0
    }
}

impl Room {
    /// The room's noise in a recording of `microphone`, one channel at its rate.
    ///
    /// # Errors
    /// A recording that is too short, too long, or silent to the last bit: then something between
    /// the microphone and the program takes soft sound away.
    pub fn measured(
        wish: RoomWish,
        microphone: &Microphone,
        samples: &[f32],
    ) -> Result<Room, FieldError> {
        let levels = band_levels(microphone, samples)?;
        let own = microphone.record();
        let floor = |index: usize| own.floor_db_spl.as_ref()?.get(index).copied();
        let band = |(index, (hz, level)): (usize, (&f64, &DbSpl))| RoomBand {
            hz: *hz,
            level_db_spl: rounded(*level),
            floor_db_spl: floor(index),
        };
        Room::try_from(RoomRecord {
            format: FORMAT,
            kind: RoomKind::Room,
            place: wish.place,
            fit: wish.fit,
            made_by: wish.made_by,
            made_on: wish.made_on,
            expires_on: wish.expires_on,
            microphone: own.title.clone(),
            microphone_digest: microphone.digest(),
            u_db: own.u_db,
            seconds: samples.len() as f64 / f64::from(own.rate_hz),
            band: BANDS_HZ.iter().zip(&levels).enumerate().map(band).collect(),
        })
    }

    /// What it holds.
    #[must_use]
    pub fn record(&self) -> &RoomRecord {
        &self.0
    }

    /// The lowest levels that may be claimed, of every tone of which the standard says something.
    #[must_use]
    pub fn claims(&self) -> Vec<Claim> {
        AUDIOMETRIC_HZ
            .iter()
            .filter_map(|hz| self.claim(*hz))
            .collect()
    }

    /// The lowest hearing level that this room lets one claim of a tone of `hz`; `None` where it
    /// cannot be told.
    #[must_use]
    pub fn lowest(&self, hz: Hz) -> Option<DbHl> {
        self.claim(hz)?.lowest_db_hl
    }

    /// Each decibel that a band lies over what is permissible at 0 dB HL lifts the level by one
    /// (the standard's own rule for another lowest level); so does each that six decibels over the
    /// microphone's own noise lie over it.
    fn claim(&self, hz: Hz) -> Option<Claim> {
        let bands = self.0.band.iter().enumerate();
        let limits = bands.filter_map(|(index, band)| {
            let limit = permissible_for(index, hz, self.0.fit)?.value;
            let room = Some((band.level_db_spl - limit).0);
            let own = band
                .floor_db_spl
                .map(|floor| (floor + MEASURING_FLOOR_BELOW - limit).0);
            Some([
                (room, Limit::Room, band.hz),
                (own, Limit::Microphone, band.hz),
            ])
        });
        let all: Vec<(Option<f64>, Limit, f64)> = limits.flatten().collect();
        // What is not known bounds more than whatever is.
        let most = all.into_iter().max_by(|one, other| {
            let db = |found: Option<f64>| found.unwrap_or(f64::INFINITY);
            db(one.0).total_cmp(&db(other.0))
        });
        most.map(|(db, limit, band_hz)| Claim {
            hz,
            // A tenth of a decibel, upwards.
            lowest_db_hl: db.map(|db| DbHl((db * 10.0 - 1e-6).ceil() / 10.0)),
            limit,
            band_hz,
        })
    }

    /// What each band says about hearing levels from 0 dB where no frequency under `lowest_test`
    /// is tested, with the permissible level.
    #[must_use]
    pub fn bands(&self, lowest_test: Hz) -> Vec<(RoomBand, Option<DbSpl>, Quiet)> {
        let of = |(index, band): (usize, &RoomBand)| {
            let limit = permissible(index, lowest_test, self.0.fit).map(|one| one.value);
            (*band, limit, quiet(band, limit))
        };
        self.0.band.iter().enumerate().map(of).collect()
    }

    /// Whether the microphone's own noise allows a statement about hearing levels from 0 dB.
    #[must_use]
    pub fn can_tell(&self, lowest_test: Hz) -> bool {
        let all = self.bands(lowest_test);
        !all.iter().any(|(_, _, quiet)| *quiet == Quiet::CannotTell)
    }

    /// Whether it holds on `day`.
    ///
    /// # Errors
    /// It expired before, or was made after.
    pub fn valid_on(&self, day: Date) -> Result<(), NotValid> {
        check::valid_on(
            &self.0.place,
            Some(self.0.made_on),
            Some(self.0.expires_on),
            day,
        )
    }

    /// Reads a room's file.
    ///
    /// # Errors
    /// One line that names the file, the field and what was expected.
    pub fn from_toml(text: &str, file: &str) -> Result<Room, FileError> {
        let record: RoomRecord = read_toml(text, file)?;
        Room::try_from(record).map_err(|error| error.in_file(file))
    }

    /// Its file, always written the same way.
    ///
    /// # Panics
    /// Never: strings, numbers and dates are all that a record holds, and TOML holds them.
    #[must_use]
    pub fn to_toml(&self) -> String {
        toml::to_string(&self.0).expect("a record holds only strings, numbers and dates")
    }

    /// SHA-256 of [`Room::to_toml`], in hexadecimal.
    #[must_use]
    pub fn digest(&self) -> String {
        digest(&self.to_toml())
    }
}

fn rounded(level: DbSpl) -> DbSpl {
    DbSpl((level.0 * 10.0).round() / 10.0)
}

fn quiet(band: &RoomBand, limit: Option<DbSpl>) -> Quiet {
    let Some(limit) = limit else {
        return Quiet::NotStated;
    };
    let low_enough = |floor: DbSpl| floor <= limit - MEASURING_FLOOR_BELOW;
    if !band.floor_db_spl.is_some_and(low_enough) {
        return Quiet::CannotTell;
    }
    if band.level_db_spl <= limit {
        Quiet::Permissible
    } else {
        Quiet::TooLoud
    }
}

/// The loudest slow readings of the bands in a recording of `microphone`.
///
/// # Errors
/// As [`Room::measured`].
pub fn band_levels(microphone: &Microphone, samples: &[f32]) -> Result<Vec<DbSpl>, FieldError> {
    let rate_hz = microphone.record().rate_hz;
    let (least, most) = (third_octave::SHORTEST_S, third_octave::LONGEST_S);
    let levels = third_octaves(samples, rate_hz, third_octave::SLOW_S).ok_or_else(|| {
        let seconds = samples.len() as f64 / f64::from(rate_hz);
        let problem = format!("{seconds:.1} s found, expected {least} to {most} s of sound");
        FieldError::new("recording", problem)
    })?;
    // A converter's own noise never rests; what is silent to the last bit was made silent.
    let still = samples.iter().filter(|sample| **sample == 0.0).count();
    if 2 * still > samples.len() {
        let problem = "more than half of it is silent to the last bit: something takes soft sound \
                       away (noise suppression, a muted or wrong input)";
        return Err(FieldError::new("recording", problem));
    }
    Ok(levels
        .iter()
        .map(|band| microphone.db_spl(band.loudest))
        .collect())
}

/// Noise that makes a presentation void.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NoiseWatch {
    /// What listens.
    pub microphone: Microphone,
    /// How the earphone sits.
    pub fit: EarphoneFit,
    /// How far over what is permissible for the presented level noise may come, dB.
    pub over_db: Db,
}

/// By how much more than the permissible level noise raises a threshold by 5 dB, one step of the
/// ascending method, in place of 2 (ISO 8253-1:2010: the permissible levels rise by 8 dB).
pub const OVER_FOR_ONE_STEP: Db = Db(8.0);

/// What was too loud.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disturbance {
    /// The band, nominal Hz.
    pub band_hz: f64,
    /// Its loudest fast reading.
    pub level: DbSpl,
    /// What may be there for this tone.
    pub permissible: DbSpl,
}

impl NoiseWatch {
    /// What of a recording made during a presentation disturbed tones of `hz` at `level`; the
    /// worst band. `None` if nothing did, or the recording cannot be analysed.
    #[must_use]
    pub fn disturbed(&self, samples: &[f32], hz: Hz, level: DbHl) -> Option<Disturbance> {
        let rate_hz = self.microphone.record().rate_hz;
        let found = third_octaves(samples, rate_hz, third_octave::FAST_S)?;
        let over = |(index, band): (usize, &third_octave::BandLevel)| {
            let at_zero = permissible_for(index, hz, self.fit)?.value;
            let permissible = at_zero + Db(level.0) + self.over_db;
            let level = self.microphone.db_spl(band.loudest);
            (level > permissible).then_some(Disturbance {
                band_hz: BANDS_HZ[index],
                level,
                permissible,
            })
        };
        let all = found.iter().enumerate().filter_map(over);
        all.max_by(|one, other| {
            let by = |one: &Disturbance| (one.level - one.permissible).0;
            by(one).total_cmp(&by(other))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::microphone::MicrophoneRecord;
    use crate::quantity::{Draws, Stream};
    use jiff::civil::date;

    const RATE: u32 = 48_000;

    fn microphone(floor: Option<f64>) -> Microphone {
        let record = MicrophoneRecord {
            format: FORMAT,
            kind: crate::calibration::microphone::MicrophoneKind::Microphone,
            title: "invented".into(),
            method: "invented".into(),
            made_by: "an example".into(),
            made_on: date(2026, 2, 2),
            expires_on: date(2027, 2, 1),
            device: None,
            rate_hz: RATE,
            full_scale_db_spl: DbSpl(100.0),
            u_db: Db(0.6),
            floor_db_spl: floor.map(|db| vec![DbSpl(db); BANDS]),
        };
        Microphone::try_from(record).unwrap()
    }

    fn wish(fit: EarphoneFit) -> RoomWish {
        RoomWish {
            place: "the harbour practice, back room (invented)".into(),
            fit,
            made_by: "an example".into(),
            made_on: date(2026, 2, 2),
            expires_on: date(2026, 2, 2),
        }
    }

    /// A record whose bands all read the printed limit for tests from 125 Hz, and `more`.
    fn at_the_limit(fit: EarphoneFit, more: f64, floor: Option<f64>) -> Room {
        let limit = |index| permissible(index, Hz(125.0), fit).map_or(10.0, |one| one.value.0);
        let band = |index: usize| RoomBand {
            hz: BANDS_HZ[index],
            level_db_spl: DbSpl(limit(index) + more),
            floor_db_spl: floor.map(|below| DbSpl(limit(index) - below)),
        };
        let mut record = Room::measured(wish(fit), &microphone(None), &noise(1e-3, 2.0))
            .unwrap()
            .record()
            .clone();
        record.band = (0..BANDS).map(band).collect();
        Room::try_from(record).unwrap()
    }

    fn noise(sd: f64, seconds: f64) -> Vec<f32> {
        let mut draws = Draws::new(4, Stream::Noise, 0);
        (0..(seconds * f64::from(RATE)) as usize)
            .map(|_| (sd * draws.normal()) as f32)
            .collect()
    }

    /// ISO 8253-1:2010: at the permissible levels 0 dB HL may be claimed of every frequency; in a
    /// room 20 dB louder 20 dB HL (as much more is permissible as the lowest level is higher).
    #[test]
    fn at_the_permissible_levels_zero_may_be_claimed() {
        for fit in EarphoneFit::ALL {
            for (more, expected) in [(0.0, 0.0), (20.0, 20.0), (-7.5, -7.5)] {
                let room = at_the_limit(fit, more, Some(40.0));
                let claims = room.claims();
                assert_eq!(claims.len(), AUDIOMETRIC_HZ.len());
                for claim in claims {
                    let lowest = claim.lowest_db_hl.unwrap().0;
                    assert!((lowest - expected).abs() < 1e-6, "{fit:?} {claim:?}");
                    assert_eq!(claim.limit, Limit::Room);
                }
                let permitted = |(_, limit, quiet): &(RoomBand, Option<DbSpl>, Quiet)| {
                    *quiet
                        == if limit.is_none() {
                            Quiet::NotStated
                        } else if more <= 0.0 {
                            Quiet::Permissible
                        } else {
                            Quiet::TooLoud
                        }
                };
                assert!(
                    room.bands(Hz(125.0)).iter().all(permitted),
                    "{fit:?} {more}"
                );
            }
        }
    }

    /// ISO 8253-1:2010: equipment whose own noise is not 6 dB under the permissible level allows
    /// no statement there; 4 dB under it, 2 dB HL is the lowest that can be told.
    #[test]
    fn a_noisy_microphone_cannot_tell() {
        let fit = EarphoneFit::SupraAural;
        let enough = at_the_limit(fit, -10.0, Some(6.0));
        assert!(enough.can_tell(Hz(125.0)));
        let noisy = at_the_limit(fit, -10.0, Some(4.0));
        assert!(!noisy.can_tell(Hz(125.0)));
        let claim = noisy.claims()[4];
        assert_eq!(
            (claim.limit, claim.lowest_db_hl),
            (Limit::Microphone, Some(DbHl(2.0)))
        );
        let unknown = at_the_limit(fit, -10.0, None);
        assert!(!unknown.can_tell(Hz(125.0)));
        assert!(
            unknown
                .claims()
                .iter()
                .all(|one| one.lowest_db_hl.is_none())
        );
        assert_eq!(unknown.lowest(Hz(1000.0)), None);
        assert_eq!(enough.lowest(Hz(9000.0)), None, "nothing is printed there");
    }

    /// Hum at 125 Hz lifts the lowest level where low tones are tested, and hardly that of 4 kHz.
    #[test]
    fn hum_bounds_low_tones_more_than_high_ones() {
        let fit = EarphoneFit::Circumaural;
        let mut record = at_the_limit(fit, -20.0, Some(40.0)).record().clone();
        record.band[6].level_db_spl = DbSpl(75.0);
        let room = Room::try_from(record).unwrap();
        let lowest = |hz| room.lowest(Hz(hz)).unwrap().0;
        // Permissible under a circumaural earphone from 125 Hz: 28 + 15 − 3 = 40 dB.
        assert!((lowest(125.0) - 35.0).abs() < 1e-6);
        // From 500 Hz: 51 + 12 = 63 dB (printed so in the project's reference, 3.1).
        assert!((lowest(500.0) - 12.0).abs() < 1e-6);
        assert!(lowest(4000.0) < -9.0, "{}", lowest(4000.0));
    }

    /// White noise of −60 dB re full scale over the whole band and a microphone of 100 dB SPL at
    /// full scale: the band of 1 kHz has 10 lg(0.2316 · 1000 / 24000) = −20.2 dB of it (as in
    /// `third_octave.rs`), a sine of the same power being 3 dB more: 100 − 60 + 3 − 20.2 = 22.9.
    #[test]
    fn a_recording_becomes_sound_pressure() {
        let fit = EarphoneFit::SupraAural;
        let room = Room::measured(wish(fit), &microphone(Some(0.0)), &noise(1e-3, 20.0)).unwrap();
        let level = room.record().band[15].level_db_spl.0;
        // The loudest of the slow readings lies above the mean of 22.9 by chance.
        assert!((22.6..25.0).contains(&level), "{level}");
        assert_eq!(Room::from_toml(&room.to_toml(), "room.toml").unwrap(), room);
        assert!((room.record().seconds - 20.0).abs() < 1e-9);
    }

    #[test]
    fn a_recording_that_says_nothing_is_refused() {
        let of = |samples: &[f32]| {
            let refused = Room::measured(wish(EarphoneFit::Insert), &microphone(None), samples);
            refused.unwrap_err().to_string()
        };
        assert!(of(&noise(1e-3, 0.5)).starts_with("recording: 0.5 s found"));
        let mut gated = noise(1e-3, 4.0);
        gated[..100_000].fill(0.0);
        assert!(of(&gated).contains("silent to the last bit"));
    }

    /// A bang of 60 dB SPL beside a tone of 20 dB HL at 1 kHz disturbs; beside one of 60 dB HL it
    /// does not: 23 + 60 dB may be there under a supra-aural earphone, and 8 dB for one step more.
    #[test]
    fn what_disturbs_a_soft_tone_does_not_disturb_a_loud_one() {
        let watch = NoiseWatch {
            microphone: microphone(None),
            fit: EarphoneFit::SupraAural,
            over_db: OVER_FOR_ONE_STEP,
        };
        let mut samples = noise(1e-5, 3.0);
        let step = std::f64::consts::TAU * 1000.0 / f64::from(RATE);
        for (n, sample) in samples[60_000..84_000].iter_mut().enumerate() {
            *sample += (0.01 * (step * n as f64).sin()) as f32;
        }
        let found = watch.disturbed(&samples, Hz(1000.0), DbHl(20.0)).unwrap();
        assert!((found.band_hz - 1000.0).abs() < 0.1 && (found.level.0 - 60.0).abs() < 0.5);
        assert!((found.permissible.0 - 51.0).abs() < 1e-9, "23 + 20 + 8");
        assert!(watch.disturbed(&samples, Hz(1000.0), DbHl(60.0)).is_none());
        assert!(
            watch.disturbed(&samples, Hz(250.0), DbHl(20.0)).is_none(),
            "too far above"
        );
        assert!(
            watch
                .disturbed(&samples[..1000], Hz(1000.0), DbHl(20.0))
                .is_none()
        );
    }
}
