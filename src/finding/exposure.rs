//! How much sound each ear got, and what share of published criteria that is.
//!
//! The level of each sound is that of the earphone's profile: in a coupler, at the eardrum or near
//! it, where the criteria mean the field that a person stands in. At the eardrum the same sound is
//! up to 15 dB stronger, so the shares err on the high side. Where nobody measured the earphone they
//! rest on the assumption that full scale gives 120 dB SPL.

use crate::calibration::EarphoneProfile;
use crate::journal::{PlayedSound, Record};
use crate::quantity::{DbFs, DbSpl, Ear, Hz};
use crate::standard::exposure::{
    H870_LEVEL, H870_WEEK_S, NIOSH_EXCHANGE, NIOSH_LEVEL, WORKING_DAY_S, a_weighting,
};
use crate::stimulus::sound::full_level_s;
use crate::stimulus::{Signal, SoundPart};
use serde::{Deserialize, Serialize};

/// What the shares are shares of.
const BASIS: &str = "NIOSH 98-126: 85 dBA over 8 hours, 3 dB exchange rate; WHO-ITU H.870: 80 dBA \
    over 40 hours a week";

/// The strongest that the A-weighting makes of wide noise, dB: it is counted as if all its power lay
/// where the weighting is highest (1.3 dB at 2.5 kHz, IEC 61672-1).
const WIDE_NOISE_DB: f64 = 1.3;

/// What one ear got.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct EarExposure {
    /// How long it sounded there, s, the ramps counted by their energy.
    pub sound_s: f64,
    /// The steady level of the same energy over the whole visit so far, dBA; none without sound.
    pub equivalent_db_a: Option<f64>,
    /// The same over eight hours (`L_EX,8h`), dBA.
    pub over_8_h_db_a: Option<f64>,
    /// The share of the dose of a working day by NIOSH; 1 is the whole day's.
    pub niosh_day: f64,
    /// The share of a week's allowance by WHO and ITU.
    pub h870_week: f64,
}

/// What both ears got in a visit. What was void counts as if it had arrived whole.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Exposure {
    /// From the visit's beginning to its last event, s.
    pub over_s: f64,
    /// Whether the levels rest on the assumption about full scale, because nobody measured them.
    pub assumed: bool,
    /// The right ear.
    pub right: EarExposure,
    /// The left ear.
    pub left: EarExposure,
    /// What the shares are shares of.
    pub basis: String,
}

impl Exposure {
    /// At one ear.
    #[must_use]
    pub fn at(&self, ear: Ear) -> &EarExposure {
        match ear {
            Ear::Right => &self.right,
            Ear::Left => &self.left,
        }
    }

    /// The largest share of a day's dose of either ear.
    #[must_use]
    pub fn most_of_a_day(&self) -> f64 {
        self.right.niosh_day.max(self.left.niosh_day)
    }
}

/// A sound at an ear, A-weighted.
struct Sounded {
    ear: Ear,
    db_a: f64,
    seconds: f64,
}

/// What both ears got so far; none if nothing sounded: without an output nothing does, whatever a
/// simulated person answers.
#[must_use]
pub fn exposure(record: &Record) -> Option<Exposure> {
    let earphone = record.opening.set_up.earphone.as_ref()?;
    record.outputs().first()?;
    let trials = record.trials().iter().map(|trial| &trial.planned);
    let voids = record.voids().iter().map(|void| &void.planned);
    let parts = trials
        .chain(voids)
        .flat_map(|planned| planned.presentation.sounds())
        .filter_map(|part| of_part(earphone, part));
    let others = record.played().iter().flat_map(|played| &played.sounds);
    let others = others.filter_map(|sound| of_played(earphone, sound));
    let all: Vec<Sounded> = parts.chain(others).collect();
    let over_s = record.last_moment().seconds();
    if all.is_empty() || over_s <= 0.0 {
        return None;
    }
    Some(Exposure {
        over_s,
        assumed: earphone.record().full_scale.is_empty(),
        right: at_ear(&all, Ear::Right, over_s),
        left: at_ear(&all, Ear::Left, over_s),
        basis: BASIS.into(),
    })
}

fn of_part(earphone: &EarphoneProfile, part: &SoundPart) -> Option<Sounded> {
    let &SoundPart {
        ear,
        signal,
        hz,
        level,
        start_s,
        end_s,
        ..
    } = part;
    let db_fs = match signal {
        Signal::NarrowBandNoise => earphone.masker_db_fs(ear, hz, level),
        _ => earphone.level_db_fs(ear, hz, level),
    };
    let wide = matches!(signal, Signal::WhiteNoise | Signal::SpeechNoise);
    Some(Sounded {
        ear,
        db_a: db_a(earphone, ear, hz, db_fs.ok()?, wide),
        seconds: full_level_s(signal, end_s - start_s),
    })
}

/// A sound that is no presentation: its level is that of a tone of the same power, and wide.
fn of_played(earphone: &EarphoneProfile, sound: &PlayedSound) -> Option<Sounded> {
    let &PlayedSound {
        ear,
        hz,
        level,
        seconds,
    } = sound;
    let db_fs = earphone.level_db_fs(ear, hz, level).ok()?;
    Some(Sounded {
        ear,
        db_a: db_a(earphone, ear, hz, db_fs, true),
        seconds,
    })
}

fn db_a(earphone: &EarphoneProfile, ear: Ear, hz: Hz, level: DbFs, wide: bool) -> f64 {
    let DbSpl(pressure) = earphone.db_spl(ear, hz, level);
    pressure
        + if wide {
            WIDE_NOISE_DB
        } else {
            a_weighting(hz).0
        }
}

fn at_ear(all: &[Sounded], ear: Ear, over_s: f64) -> EarExposure {
    let here = || all.iter().filter(|sounded| sounded.ear == ear);
    let energy: f64 = here()
        .map(|sounded| sounded.seconds * libm::exp10(sounded.db_a / 10.0))
        .sum();
    let level = |over_s: f64| (energy > 0.0).then(|| 10.0 * libm::log10(energy / over_s));
    let day = |sounded: &Sounded| {
        let over = (sounded.db_a - NIOSH_LEVEL.value.0) / NIOSH_EXCHANGE.value.0;
        sounded.seconds * libm::exp2(over) / WORKING_DAY_S
    };
    EarExposure {
        sound_s: here().map(|sounded| sounded.seconds).sum(),
        equivalent_db_a: level(over_s),
        over_8_h_db_a: level(WORKING_DAY_S),
        niosh_day: here().map(day).sum(),
        h870_week: energy / (H870_WEEK_S * libm::exp10(H870_LEVEL.value.0 / 10.0)),
    }
}

#[cfg(test)]
#[path = "exposure/tests.rs"]
mod tests;
