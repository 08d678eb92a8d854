//! Noise, drawn as a spectrum.

use crate::calibration::NOISE_HEADROOM;
use crate::quantity::{DbFs, Draws, Stream};
use crate::standard::iec_60645_1_2017::SPEECH_NOISE_HZ;
use rustfft::{FftPlanner, num_complex::Complex};

/// Half of the width between the -3 dB points, in octaves. The whole lies between one third and
/// half an octave (IEC 60645-1), near the third that the noise is named for.
pub(super) const HALF_WIDTH_OCTAVES: f64 = 0.18;

/// How steep the skirts are: as a Butterworth filter of this order in octaves from the centre.
const ORDER: i32 = 6;

/// Beyond this the skirt is 89 dB down and nothing is drawn, octaves from the centre.
const REACH_OCTAVES: f64 = 1.0;

/// Where white noise begins and ends, Hz: beyond the audiometric frequencies to either side (our
/// choice; from memory, IEC 60645-1 asks for 250 to 5000 Hz).
const WHITE_HZ: [f64; 2] = [80.0, 10_000.0];

/// Longest stretch of noise, frames; longer noise repeats it without a seam (22 s at 48 kHz).
const LONGEST: usize = 1 << 20;

/// Which noise.
#[derive(Debug, Clone, Copy)]
pub(super) enum Spectrum {
    /// About one third of an octave around a frequency.
    Band {
        /// The centre.
        hz: f64,
    },
    /// Flat.
    White,
    /// With the weight of speech (IEC 60645-1, from memory).
    Speech,
}

impl Spectrum {
    /// The amplitude at `hz` re that in the middle of the band.
    fn gain(self, hz: f64) -> f64 {
        match self {
            Spectrum::Band { hz: centre } => {
                let octaves = libm::log2(hz / centre);
                if octaves.abs() > REACH_OCTAVES {
                    return 0.0;
                }
                1.0 / (1.0 + (octaves / HALF_WIDTH_OCTAVES).powi(2 * ORDER)).sqrt()
            }
            Spectrum::White => {
                let [low, high] = WHITE_HZ;
                f64::from(u8::from((low..=high).contains(&hz)))
            }
            Spectrum::Speech => {
                let [low, knee, high] = SPEECH_NOISE_HZ.value;
                // 12 dB an octave are a square in amplitude.
                match hz {
                    _ if !(low..=high).contains(&hz) => 0.0,
                    _ if hz <= knee => 1.0,
                    _ => (knee / hz).powi(2),
                }
            }
        }
    }
}

/// Gaussian noise, at least `frames` long or to be repeated; its first `frames` have the RMS of a
/// sine of amplitude 1. It is drawn as a spectrum, so it joins its beginning. No sample exceeds
/// that sine's amplitude by more than [`NOISE_HEADROOM`]: the rare ones that would are cut there.
pub(super) fn drawn(spectrum: Spectrum, rate: f64, frames: usize, seed: u64) -> Vec<f64> {
    let length = frames.next_power_of_two().clamp(2, LONGEST);
    let mut draws = Draws::new(seed, Stream::Noise, 0);
    let mut bins = vec![Complex::new(0.0, 0.0); length];
    for (index, bin) in bins.iter_mut().enumerate().take(length / 2).skip(1) {
        let gain = spectrum.gain(index as f64 * rate / length as f64);
        if gain > 0.0 {
            *bin = Complex::new(gain * draws.normal(), gain * draws.normal());
        }
    }
    FftPlanner::new()
        .plan_fft_inverse(length)
        .process(&mut bins);
    let heard = frames.min(length);
    let power: f64 = bins.iter().take(heard).map(|bin| bin.re * bin.re).sum();
    // A stretch too short to hold a single line of the spectrum stays silent.
    let scale = if power > 0.0 {
        (0.5 * heard as f64 / power).sqrt()
    } else {
        0.0
    };
    let peak = DbFs(NOISE_HEADROOM.0).amplitude();
    bins.iter()
        .map(|bin| (scale * bin.re).clamp(-peak, peak))
        .collect()
}
