//! The exact samples of a presentation's sounds.
//!
//! A presentation becomes one buffer as long as its slot, leading silence and answer window
//! included: what the device gets is decided here, sample by sample, in f64, before anything is
//! played. Where no part sounds, and at the ear that has none, the samples are exactly zero.

mod noise;
mod shape;
#[cfg(test)]
mod tests;
mod voice;

use super::{Presentation, Signal, SoundPart};
use crate::quantity::{DbFs, Ear};
use shape::Shape;
use thiserror::Error;
use voice::Voice;

/// Longest slot, in seconds; what is longer is taken for a slip of the key.
pub const LONGEST_SLOT_S: f64 = 300.0;

/// Frames a second that are rendered, lowest and highest.
pub const FRAMES_PER_SECOND: (u32, u32) = (8_000, 192_000);

/// Lowest frequency rendered, in Hz (the lowest threshold of ISO 389-7:2019 is at 20 Hz).
pub const LOWEST_HZ: f64 = 20.0;

/// Highest frequency rendered, as a share of the frames a second; above, a device's own
/// reconstruction filter begins to weaken it.
pub const HIGHEST_SHARE: f64 = 0.45;

/// Why a presentation's sounds cannot be rendered. Parts are counted from 1 among the sounds;
/// `E` is the error of the level conversion.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SoundError<E> {
    /// The calibration cannot give this level.
    #[error(transparent)]
    Level(E),
    /// Frames a second out of [`FRAMES_PER_SECOND`].
    #[error("frames a second: {0}, expected {lowest} to {highest}",
        lowest = FRAMES_PER_SECOND.0, highest = FRAMES_PER_SECOND.1)]
    Rate(u32),
    /// The slot has no length, or more than [`LONGEST_SLOT_S`].
    #[error("slot: {0} s long, expected more than 0 and at most {LONGEST_SLOT_S}")]
    Slot(f64),
    /// The frequency is not a number or the rate cannot carry it, swing of a warble included.
    #[error("sound {part}, hz: {hz}, expected {LOWEST_HZ} to {highest_hz}")]
    Frequency {
        /// Which sound.
        part: usize,
        /// What was asked.
        hz: f64,
        /// The highest that this rate carries for this kind of signal.
        highest_hz: f64,
    },
    /// The swing of a warble is out of the limits of the trade.
    #[error(
        "sound {part}, warble: {rate_hz} a second by {deviation_percent} %, expected 4 to 20 a \
        second and 2.5 to 12.5 % (IEC 60645-1, from memory)"
    )]
    Swing {
        /// Which sound.
        part: usize,
        /// How often it swings.
        rate_hz: f64,
        /// How far.
        deviation_percent: f64,
    },
    /// Start and end are no interval within the slot.
    #[error("sound {part}: {start_s} s to {end_s} s, expected 0 <= start < end <= {slot_s} s")]
    Times {
        /// Which sound.
        part: usize,
        /// Its start.
        start_s: f64,
        /// Its end.
        end_s: f64,
        /// The length of the slot.
        slot_s: f64,
    },
    /// Too short for its onset and offset ramps, or for one pulse.
    #[error("sound {part}: {seconds} s long, expected at least {shortest_s} s for its ramps")]
    Short {
        /// Which sound.
        part: usize,
        /// What was asked.
        seconds: f64,
        /// The shortest possible.
        shortest_s: f64,
    },
    /// The level is not a number, or above full scale.
    #[error("sound {part}, level: {db_fs} dB re full scale, expected at most 0")]
    Loud {
        /// Which sound.
        part: usize,
        /// The level that the conversion gave.
        db_fs: f64,
    },
    /// The parts together exceed full scale.
    #[error("the sounds together peak at {0} times full scale, expected at most 1")]
    Peak(f32),
}

/// From where to where a part sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// The ear.
    pub ear: Ear,
    /// The frame at which the onset ramp begins.
    pub onset_frame: usize,
    /// The frame after the last of the offset ramp; of pulsed tones, of the last whole pulse.
    pub end_frame: usize,
}

/// A slot as the device gets it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rendered {
    /// Frames a second.
    pub frames_per_second: u32,
    /// Left and right in turn; 1 is full scale.
    pub samples: Box<[f32]>,
    /// Where each sound lies, in the order of the parts.
    pub spans: Vec<Span>,
}

impl Rendered {
    /// The length of the slot in frames.
    #[must_use]
    pub fn frames(&self) -> usize {
        self.samples.len() / 2
    }

    /// The largest magnitude of any sample, both ears; 1 is full scale.
    #[must_use]
    pub fn peak(&self) -> f32 {
        self.samples
            .iter()
            .fold(0.0, |peak, sample| sample.abs().max(peak))
    }

    /// The largest magnitude at one ear; 1 is full scale.
    #[must_use]
    pub fn peak_at(&self, ear: Ear) -> f32 {
        self.channel(ear)
            .fold(0.0, |peak, sample| sample.abs().max(peak))
    }

    /// The samples of one ear.
    pub fn channel(&self, ear: Ear) -> impl Iterator<Item = f32> + '_ {
        self.samples.iter().skip(channel(ear)).step_by(2).copied()
    }
}

/// Where an ear's sample stands in a frame: left first, as in a WAV file and at the device.
#[must_use]
pub fn channel(ear: Ear) -> usize {
    match ear {
        Ear::Left => 0,
        Ear::Right => 1,
    }
}

/// The sounds of `presentation` at `frames_per_second`. `noise_seed` seeds the noise signals;
/// all of one presentation draw alike, so that the same noise in both ears is one noise.
/// `level` tells a part's level re full scale (of a noise: that of the sine with its RMS).
///
/// # Errors
/// See [`SoundError`]; nothing that it refuses is rendered in part.
pub fn render<E>(
    presentation: &Presentation,
    frames_per_second: u32,
    noise_seed: u64,
    mut level: impl FnMut(&SoundPart) -> Result<DbFs, E>,
) -> Result<Rendered, SoundError<E>> {
    let (lowest, highest) = FRAMES_PER_SECOND;
    if !(lowest..=highest).contains(&frames_per_second) {
        return Err(SoundError::Rate(frames_per_second));
    }
    let rate = f64::from(frames_per_second);
    let slot_s = slot_seconds(presentation);
    if !(slot_s > 0.0 && slot_s <= LONGEST_SLOT_S) {
        return Err(SoundError::Slot(slot_s));
    }
    let mut voices = Vec::new();
    for (index, part) in presentation.sounds().enumerate() {
        let shape = check(part, index + 1, slot_s, rate)?;
        let db_fs = level(part).map_err(SoundError::Level)?;
        if db_fs.0.is_nan() || db_fs.0 > 0.0 {
            return Err(SoundError::Loud {
                part: index + 1,
                db_fs: db_fs.0,
            });
        }
        voices.push(Voice::new(part, shape, db_fs.amplitude(), rate, noise_seed));
    }
    let frames = (slot_s * rate).round() as usize;
    let samples = (0..frames).flat_map(|frame| sum(&voices, frame)).collect();
    let spans = voices.iter().map(Voice::span).collect();
    let rendered = Rendered {
        frames_per_second,
        samples,
        spans,
    };
    match rendered.peak() {
        peak if peak <= 1.0 => Ok(rendered),
        peak => Err(SoundError::Peak(peak)),
    }
}

/// The slot's length: what the presentation says, else up to the end of its last sound.
fn slot_seconds(presentation: &Presentation) -> f64 {
    let last_end = || {
        presentation
            .sounds()
            .map(|part| part.end_s)
            .fold(0.0, f64::max)
    };
    presentation.window_s.unwrap_or_else(last_end)
}

/// How long a sound of `seconds` would have to last without ramps and pauses to have the same
/// energy, s.
#[must_use]
pub fn full_level_s(signal: Signal, seconds: f64) -> f64 {
    shape::full_level_s(signal == Signal::Pulsed, seconds)
}

/// The share of full amplitude at each of so many frames, with a ramp at either end; what is too
/// short for both has shorter ones.
pub(super) fn ramps(frames: usize, rate: f64) -> impl Fn(usize) -> f64 {
    shape::ramps(frames, rate)
}

/// The part's course in frames, if it can be rendered.
fn check<E>(
    part: &SoundPart,
    number: usize,
    slot_s: f64,
    rate: f64,
) -> Result<Shape, SoundError<E>> {
    let &SoundPart {
        signal,
        hz,
        start_s,
        end_s,
        ..
    } = part;
    if let Some(swing) = signal.swing().filter(|swing| !swing.fits()) {
        return Err(SoundError::Swing {
            part: number,
            rate_hz: swing.rate_hz,
            deviation_percent: swing.deviation_percent,
        });
    }
    let highest_hz = HIGHEST_SHARE * rate / voice::upper_edge(signal);
    if !(hz.0 >= LOWEST_HZ && hz.0 <= highest_hz) {
        return Err(SoundError::Frequency {
            part: number,
            hz: hz.0,
            highest_hz,
        });
    }
    if !(start_s >= 0.0 && start_s < end_s && end_s <= slot_s) {
        return Err(SoundError::Times {
            part: number,
            start_s,
            end_s,
            slot_s,
        });
    }
    Shape::new(signal == Signal::Pulsed, start_s, end_s, rate).ok_or(SoundError::Short {
        part: number,
        seconds: end_s - start_s,
        shortest_s: shape::shortest_s(signal == Signal::Pulsed),
    })
}

/// Both ears' samples of one frame, added in the order of the parts.
fn sum(voices: &[Voice], frame: usize) -> [f32; 2] {
    let mut sums = [0.0, 0.0];
    for voice in voices {
        sums[channel(voice.span().ear)] += voice.sample(frame);
    }
    sums.map(|sum| sum as f32)
}
