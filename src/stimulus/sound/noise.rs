//! Narrow-band noise.

use crate::quantity::{Draws, Stream};
use rustfft::{FftPlanner, num_complex::Complex};

/// Half of the width between the -3 dB points, in octaves. The whole lies between one third and
/// half an octave (IEC 60645-1), near the third that the noise is named for.
pub(super) const HALF_WIDTH_OCTAVES: f64 = 0.18;

/// How steep the skirts are: as a Butterworth filter of this order in octaves from the centre.
const ORDER: i32 = 6;

/// Beyond this the skirt is 89 dB down and nothing is drawn, octaves from the centre.
const REACH_OCTAVES: f64 = 1.0;

/// Longest stretch of noise, frames; longer noise repeats it without a seam (22 s at 48 kHz).
const LONGEST: usize = 1 << 20;

/// Gaussian noise around `hz`, at least `frames` long or to be repeated; its first `frames`
/// have the RMS of a sine of amplitude 1. It is drawn as a spectrum, so it joins its beginning.
pub(super) fn band(hz: f64, rate: f64, frames: usize, seed: u64) -> Vec<f64> {
    let length = frames.next_power_of_two().min(LONGEST);
    let mut draws = Draws::new(seed, Stream::Noise, 0);
    let mut bins = vec![Complex::new(0.0, 0.0); length];
    for (index, bin) in bins.iter_mut().enumerate().take(length / 2).skip(1) {
        let octaves = libm::log2(index as f64 * rate / length as f64 / hz);
        if octaves.abs() <= REACH_OCTAVES {
            let gain = 1.0 / (1.0 + (octaves / HALF_WIDTH_OCTAVES).powi(2 * ORDER)).sqrt();
            *bin = Complex::new(gain * draws.normal(), gain * draws.normal());
        }
    }
    FftPlanner::new()
        .plan_fft_inverse(length)
        .process(&mut bins);
    let heard = frames.min(length);
    let power: f64 = bins.iter().take(heard).map(|bin| bin.re * bin.re).sum();
    let scale = (0.5 * heard as f64 / power).sqrt();
    bins.iter().map(|bin| scale * bin.re).collect()
}
