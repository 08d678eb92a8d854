//! One sound: a carrier under its shape.

use super::shape::Shape;
use super::{Span, noise};
use crate::quantity::Ear;
use crate::stimulus::{Signal, SoundPart};
use std::f64::consts::{PI, TAU};

/// How often a warble's frequency swings, per second (IEC 60645-1: 4 to 20 Hz).
const WARBLE_RATE_HZ: f64 = 5.0;

/// How far a warble swings to each side, as a share of its frequency (IEC 60645-1: 2.5 to
/// 12.5 %).
const WARBLE_DEVIATION: f64 = 0.05;

/// A signal's highest frequency re its nominal one.
pub(super) fn upper_edge(signal: Signal) -> f64 {
    match signal {
        Signal::Steady | Signal::Pulsed => 1.0,
        Signal::Warble => 1.0 + WARBLE_DEVIATION,
        Signal::NarrowBandNoise => libm::exp2(noise::HALF_WIDTH_OCTAVES),
    }
}

enum Carrier {
    Tone,
    Warble,
    /// A stretch of noise that joins its own beginning.
    Noise(Vec<f64>),
}

/// A sound ready to be sampled.
pub(super) struct Voice {
    ear: Ear,
    hz: f64,
    amplitude: f64,
    rate: f64,
    shape: Shape,
    carrier: Carrier,
}

impl Voice {
    /// `part` along `shape`, its carrier a sine of `amplitude` or a noise of the same RMS.
    pub(super) fn new(
        part: &SoundPart,
        shape: Shape,
        amplitude: f64,
        rate: f64,
        noise_seed: u64,
    ) -> Voice {
        let hz = part.hz.0;
        let carrier = match part.signal {
            Signal::Steady | Signal::Pulsed => Carrier::Tone,
            Signal::Warble => Carrier::Warble,
            Signal::NarrowBandNoise => {
                Carrier::Noise(noise::band(hz, rate, shape.end() - shape.onset, noise_seed))
            }
        };
        Voice {
            ear: part.ear,
            hz,
            amplitude,
            rate,
            shape,
            carrier,
        }
    }

    /// Where it sounds.
    pub(super) fn span(&self) -> Span {
        Span {
            ear: self.ear,
            onset_frame: self.shape.onset,
            end_frame: self.shape.end(),
        }
    }

    /// Its sample at `frame` of the slot.
    pub(super) fn sample(&self, frame: usize) -> f64 {
        let Some(n) = frame.checked_sub(self.shape.onset) else {
            return 0.0;
        };
        match self.shape.gain(n) {
            0.0 => 0.0,
            gain => self.amplitude * gain * self.carrier(n),
        }
    }

    /// The carrier `n` frames after the onset: sines start at phase zero.
    fn carrier(&self, n: usize) -> f64 {
        match &self.carrier {
            Carrier::Tone => libm::sin(TAU * self.cycles(n)),
            Carrier::Warble => {
                let swing = libm::sin(PI * WARBLE_RATE_HZ * n as f64 / self.rate);
                // The integral of the swinging frequency, with 1 - cos 2x = 2 sin^2 x.
                let ahead = self.hz * WARBLE_DEVIATION / (PI * WARBLE_RATE_HZ) * swing * swing;
                libm::sin(TAU * (self.cycles(n) + ahead))
            }
            Carrier::Noise(stretch) => stretch[n % stretch.len()],
        }
    }

    /// The part of a cycle that the nominal frequency has reached after `n` frames. The whole
    /// cycles are taken off before the division, exactly: the phase does not drift.
    fn cycles(&self, n: usize) -> f64 {
        (self.hz * n as f64) % self.rate / self.rate
    }
}
