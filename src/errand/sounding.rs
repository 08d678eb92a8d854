//! How a presentation's sounds go to an output: the one way, for visits, checks and files.
//!
//! Three locks, one after the other: each part is held to the caps of its profile, all parts at an
//! ear together to the cap of one, and the samples themselves, in the device's callback, to the
//! ceiling that follows for this presentation.

use crate::calibration::{EarphoneProfile, Refusal};
use crate::quantity::{Db, DbFs, Ear};
use crate::standard::safety;
use crate::station::{PlayError, SoundStation};
use crate::stimulus::sound::{Rendered, SoundError, render};
use crate::stimulus::{Presentation, Signal, SoundPart};

/// For rounding: far below what can be heard.
const A_TRIFLE: f64 = 1e-9;

/// The samples of a presentation, admitted, and their ceiling.
#[derive(Debug, Clone, PartialEq)]
pub struct Sounding {
    /// The samples.
    pub slot: Rendered,
    /// The largest magnitude that may reach (left, right); 0 where nothing is to sound.
    pub ceiling: [f32; 2],
}

impl Sounding {
    /// Hands it to a station under its ceiling; the slot before must have ended.
    ///
    /// # Errors
    /// See [`PlayError`].
    pub fn play(self, station: &mut dyn SoundStation, id: u32) -> Result<(), PlayError> {
        station.set_ceiling(self.ceiling);
        station.play(id, self.slot)
    }
}

/// A presentation's sounds on `earphone`, at `frames_per_second`; `noise_seed` as for [`render`].
///
/// # Errors
/// If it cannot be rendered, a part or all parts together exceed the cap, or a loud part lasts
/// longer than [`safety::LONGEST_LOUD_S`].
pub fn sounding(
    presentation: &Presentation,
    earphone: &EarphoneProfile,
    frames_per_second: u32,
    noise_seed: u64,
) -> Result<Sounding, SoundError<Refusal>> {
    let mut ceiling = [0.0_f32; 2];
    for ear in Ear::BOTH {
        let parts: Vec<&SoundPart> = presentation
            .sounds()
            .filter(|part| part.ear == ear)
            .collect();
        for part in &parts {
            short_if_loud(earphone, part).map_err(SoundError::Level)?;
        }
        let peak = together(earphone, ear, &parts).map_err(SoundError::Level)?;
        ceiling[crate::stimulus::sound::channel(ear)] = peak;
    }
    let slot = render(presentation, frames_per_second, noise_seed, |part| {
        level_db_fs(earphone, part)
    })?;
    Ok(Sounding { slot, ceiling })
}

/// The level re full scale at which a part may be played.
///
/// # Errors
/// If the profile cannot give it, or it exceeds the cap.
pub fn level_db_fs(earphone: &EarphoneProfile, part: &SoundPart) -> Result<DbFs, Refusal> {
    let SoundPart { ear, hz, level, .. } = *part;
    match part.signal {
        Signal::NarrowBandNoise => earphone.admit_masker(ear, hz, level),
        Signal::WhiteNoise | Signal::SpeechNoise => earphone.admit_wide_noise(ear, hz, level),
        _ => earphone.admit(ear, hz, level),
    }
}

/// Whether a part is loud ([`safety::LOUD`]): then the examiner confirms it.
#[must_use]
pub fn is_loud(earphone: &EarphoneProfile, part: &SoundPart) -> bool {
    let loud_db = earphone.loud_db(part.ear, part.hz);
    loud_db.is_some_and(|loud_db| part.level.db() > loud_db)
}

fn short_if_loud(earphone: &EarphoneProfile, part: &SoundPart) -> Result<(), Refusal> {
    let seconds = part.end_s - part.start_s;
    if is_loud(earphone, part) && seconds > safety::LONGEST_LOUD_S + A_TRIFLE {
        return Err(Refusal::LoudTooLong {
            scale: part.level.scale(),
            asked_db: part.level.db(),
            seconds,
        });
    }
    Ok(())
}

/// The largest magnitude that the parts at one ear may reach. Wherever they overlap, their
/// amplitudes as shares of their caps must not exceed 1 together, as if all their peaks met.
fn together(earphone: &EarphoneProfile, ear: Ear, parts: &[&SoundPart]) -> Result<f32, Refusal> {
    let mut largest = 0.0_f64;
    let mut shares = Vec::new();
    for part in parts {
        let db_fs = level_db_fs(earphone, part)?;
        let cap = cap_db_fs(earphone, part)?;
        // What a noise's peaks need more than a tone's.
        let headroom = if part.signal.is_tone() {
            Db(0.0)
        } else {
            crate::calibration::NOISE_HEADROOM
        };
        largest = largest.max((cap + headroom).amplitude());
        shares.push((part, Db(db_fs.0 - cap.0)));
    }
    for (at, _) in &shares {
        let overlapping = shares
            .iter()
            .filter(|(part, _)| part.start_s <= at.start_s && at.start_s < part.end_s);
        let share: f64 = overlapping
            .map(|(_, below)| libm::exp10(below.0 / 20.0))
            .sum();
        if share > 1.0 + A_TRIFLE {
            return Err(Refusal::LoudTogether { ear });
        }
    }
    // A float is coarser than a double: a tone at its cap must pass.
    Ok((largest.min(1.0) * (1.0 + 1e-6)).min(1.0) as f32)
}

/// The cap of a part, as the level re full scale of a sine of its power.
fn cap_db_fs(earphone: &EarphoneProfile, part: &SoundPart) -> Result<DbFs, Refusal> {
    let SoundPart { ear, hz, .. } = *part;
    let no_reference = Refusal::NoReference { hz };
    match part.signal {
        Signal::NarrowBandNoise => {
            let level = earphone.max_masker_level(ear, hz).ok_or(no_reference)?;
            earphone.masker_db_fs(ear, hz, level)
        }
        Signal::WhiteNoise | Signal::SpeechNoise => {
            let level = earphone.max_wide_noise_level(ear, hz).ok_or(no_reference)?;
            earphone.level_db_fs(ear, hz, level)
        }
        _ => {
            let level = earphone.max_level(ear, hz).ok_or(no_reference)?;
            earphone.level_db_fs(ear, hz, level)
        }
    }
}

#[cfg(test)]
#[path = "sounding/tests.rs"]
mod tests;
