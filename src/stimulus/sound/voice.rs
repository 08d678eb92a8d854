//! One sound: a carrier under its shape.

use super::shape::Shape;
use super::{Span, noise};
use crate::quantity::Ear;
use crate::stimulus::{Signal, SoundPart, Swing};
use noise::Spectrum;
use std::f64::consts::{PI, TAU};

/// A signal's highest frequency re its nominal one. Wide noise ends where the rate does.
pub(super) fn upper_edge(signal: Signal) -> f64 {
    match signal {
        Signal::NarrowBandNoise => libm::exp2(noise::HALF_WIDTH_OCTAVES),
        _ => {
            1.0 + signal
                .swing()
                .map_or(0.0, |swing| swing.deviation_percent / 100.0)
        }
    }
}

enum Carrier {
    Tone,
    Warble(Swing),
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
        let drawn = |spectrum| {
            let frames = shape.end() - shape.onset;
            Carrier::Noise(noise::drawn(spectrum, rate, frames, noise_seed))
        };
        let carrier = match part.signal {
            Signal::Steady | Signal::Pulsed => Carrier::Tone,
            Signal::Warble => Carrier::Warble(Swing::USUAL),
            Signal::WarbleBy(swing) => Carrier::Warble(swing),
            Signal::NarrowBandNoise => drawn(Spectrum::Band { hz }),
            Signal::WhiteNoise => drawn(Spectrum::White),
            Signal::SpeechNoise => drawn(Spectrum::Speech),
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
            Carrier::Warble(swing) => {
                let Swing {
                    rate_hz,
                    deviation_percent,
                } = swing;
                let half = libm::sin(PI * rate_hz * n as f64 / self.rate);
                // The integral of the swinging frequency, with 1 - cos 2x = 2 sin^2 x.
                let ahead = self.hz * deviation_percent / 100.0 / (PI * rate_hz) * half * half;
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
