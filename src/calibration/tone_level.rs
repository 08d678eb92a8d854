//! The level of a recorded tone and of its harmonics, for what a microphone hears of a coupler or
//! of a sound calibrator.
//!
//! The recording is weighted by a Blackman-Harris window (four terms, side lobes under −92 dB;
//! F. J. Harris, Proc. IEEE 66, 1978, Table 1), and its component at each frequency summed
//! directly: no bin has to lie there.

use crate::quantity::{DbFs, Hz};
use std::f64::consts::TAU;

/// Left out at either end of a recording, s: ramps, and what the device begins with.
const EDGE_S: f64 = 0.2;
/// The shortest stretch between the ends, s: at 125 Hz 62 periods.
const SHORTEST_S: f64 = 0.5;
/// The highest harmonic that is added up.
const LAST_HARMONIC: u32 = 5;
/// The terms of the window.
const WINDOW: [f64; 4] = [0.35875, 0.48829, 0.14128, 0.01168];

/// A recorded tone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToneLevel {
    /// Its level: 0 is a sine at full scale.
    pub level: DbFs,
    /// The second to the fifth harmonic below half the rate, percent of the tone (their powers
    /// added); `None` where not even the second lies there.
    pub distortion_percent: Option<f64>,
    /// How far the whole recording lies above tone and harmonics together, dB: hum and noise.
    pub rest_db: f64,
}

/// The level of the tone of `hz` in a recording. `None` if it is too short (under 0.9 s), holds
/// something that is no number, or the tone lies above 0.45 of the rate.
#[must_use]
pub fn tone_level(samples: &[f32], frames_per_second: u32, hz: Hz) -> Option<ToneLevel> {
    let rate = f64::from(frames_per_second);
    let edge = (EDGE_S * rate) as usize;
    let inner = samples.get(edge..samples.len().checked_sub(edge)?)?;
    let plain = hz.0 > 0.0 && hz.0 <= 0.45 * rate;
    if !plain || (inner.len() as f64) < SHORTEST_S * rate || !inner.iter().all(|x| x.is_finite()) {
        return None;
    }
    let count = inner.len() as f64;
    let mean = inner.iter().map(|x| f64::from(*x)).sum::<f64>() / count;
    let amplitude = |hz: f64| {
        let (mut re, mut im, mut weight) = (0.0, 0.0, 0.0);
        for (n, sample) in inner.iter().enumerate() {
            let at = (n as f64 + 0.5) / count;
            let w = window(at);
            let phase = TAU * (hz * n as f64 / rate).fract();
            let value = w * (f64::from(*sample) - mean);
            re += value * libm::cos(phase);
            im += value * libm::sin(phase);
            weight += w;
        }
        2.0 * libm::hypot(re, im) / weight
    };
    let tone = amplitude(hz.0);
    let harmonics: Vec<f64> = (2..=LAST_HARMONIC)
        .map(|order| f64::from(order) * hz.0)
        .filter(|hz| *hz < 0.5 * rate)
        .map(amplitude)
        .collect();
    let power: f64 = harmonics.iter().map(|one| one * one).sum();
    let square: f64 = inner
        .iter()
        .map(|x| (f64::from(*x) - mean) * (f64::from(*x) - mean))
        .sum::<f64>()
        / count;
    let explained = 0.5 * (tone * tone + power);
    Some(ToneLevel {
        level: DbFs::of_amplitude(tone.max(1e-15)),
        distortion_percent: (!harmonics.is_empty())
            .then(|| 100.0 * libm::sqrt(power) / tone.max(1e-15)),
        rest_db: 10.0 * libm::log10(square.max(1e-30) / explained.max(1e-30)),
    })
}

/// The window at a share of the stretch.
fn window(at: f64) -> f64 {
    WINDOW[0] - WINDOW[1] * libm::cos(TAU * at) + WINDOW[2] * libm::cos(2.0 * TAU * at)
        - WINDOW[3] * libm::cos(3.0 * TAU * at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Draws, Stream};

    const RATE: u32 = 48_000;

    fn sum_of(parts: &[(f64, f64)], seconds: f64) -> Vec<f32> {
        let at = |n: usize| {
            let t = n as f64 / f64::from(RATE);
            parts
                .iter()
                .map(|(hz, a)| a * (TAU * hz * t + 0.3).sin())
                .sum::<f64>() as f32
        };
        (0..(seconds * f64::from(RATE)) as usize).map(at).collect()
    }

    /// A sine of amplitude 0.1 is −20 dB re full scale by the level's definition, at every
    /// audiometric frequency, also where no whole number of periods fits.
    #[test]
    fn a_sine_reads_its_level() {
        for hz in crate::standard::AUDIOMETRIC_HZ {
            for off in [1.0, 1.000_37] {
                let tone = Hz(hz.0 * off);
                let found = tone_level(&sum_of(&[(tone.0, 0.1)], 1.3), RATE, tone).unwrap();
                assert!((found.level.0 + 20.0).abs() < 0.001, "{hz}: {found:?}");
                assert!(found.distortion_percent.unwrap() < 0.01, "{hz}: {found:?}");
                assert!(found.rest_db.abs() < 0.01, "{hz}: {found:?}");
            }
        }
    }

    /// Harmonics of 2 % and 1.5 % of the tone together are 2.5 % (Pythagoras); the next, of 1 %,
    /// lies beyond the fifth and does not count.
    #[test]
    fn harmonics_add_up_by_power() {
        let parts = [
            (500.0, 0.2),
            (1000.0, 0.004),
            (1500.0, 0.003),
            (3000.0, 0.002),
        ];
        let found = tone_level(&sum_of(&parts, 1.0), RATE, Hz(500.0)).unwrap();
        let distortion = found.distortion_percent.unwrap();
        assert!((distortion - 2.5).abs() < 0.01, "{distortion}");
    }

    /// Noise of the tone's own power lifts the whole by 3.01 dB over it and leaves its level: that
    /// scatters by the root of the window's noise width over the samples, 2/124 800, 0.035 dB; four
    /// times as much is allowed.
    #[test]
    fn noise_beside_the_tone_is_told_and_not_added() {
        let mut draws = Draws::new(3, Stream::Noise, 0);
        let sd = 0.1 / 2_f64.sqrt();
        let noisy: Vec<f32> = sum_of(&[(1000.0, 0.1)], 3.0)
            .into_iter()
            .map(|x| x + (sd * draws.normal()) as f32)
            .collect();
        let found = tone_level(&noisy, RATE, Hz(1000.0)).unwrap();
        assert!((found.level.0 + 20.0).abs() < 0.14, "{found:?}");
        assert!((found.rest_db - 3.01).abs() < 0.15, "{found:?}");
    }

    #[test]
    fn what_cannot_be_read_is_refused() {
        let good = sum_of(&[(1000.0, 0.1)], 1.0);
        assert!(tone_level(&good[..40_000], RATE, Hz(1000.0)).is_none());
        assert!(tone_level(&good, RATE, Hz(22_000.0)).is_none());
        assert!(tone_level(&[], RATE, Hz(1000.0)).is_none());
        let mut broken = good;
        broken[20_000] = f32::NAN;
        assert!(tone_level(&broken, RATE, Hz(1000.0)).is_none());
    }
}
