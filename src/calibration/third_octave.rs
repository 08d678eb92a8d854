//! Levels of recorded sound in one-third-octave bands.
//!
//! The whole recording is transformed once; each band is weighted in the frequency domain and
//! transformed back as its envelope, which needs as few samples as the band is wide. The filters
//! keep the limits of IEC 61260-1:2014, class 1 (see the test); nothing else of that standard is
//! claimed.

use crate::quantity::DbFs;
use crate::standard::iec_61260_1_2014::{BANDS_HZ, half_width_octaves, midband_hz};
use rustfft::{FftPlanner, num_complex::Complex};
use std::f64::consts::PI;

/// As many as [`BANDS_HZ`].
pub const BANDS: usize = BANDS_HZ.len();

/// Time constant of the slow time weighting (IEC 61672-1), s.
pub const SLOW_S: f64 = 1.0;
/// Time constant of the fast time weighting (IEC 61672-1), s.
pub const FAST_S: f64 = 0.125;

/// The shortest recording that is analysed, s.
pub const SHORTEST_S: f64 = 1.0;
/// The longest: two minutes, s.
pub const LONGEST_S: f64 = 120.0;

/// The order of the filters, as of a Butterworth filter in octaves from the midband.
const ORDER: i32 = 4;
/// Beyond this a filter lets nothing through, octaves from the midband.
const REACH_OCTAVES: f64 = 1.5;
/// Faded in and out, and left out of the levels, at either end, s.
const EDGE_S: f64 = 0.25;

/// One band's level, re a sine at full scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandLevel {
    /// Averaged over the recording by energy.
    pub mean: DbFs,
    /// The loudest that the time weighting reads.
    pub loudest: DbFs,
}

/// The levels of a recording in the bands of [`BANDS_HZ`], by a time weighting of
/// `time_constant_s`. `None` if it is shorter than [`SHORTEST_S`], longer than [`LONGEST_S`],
/// holds something that is no number, or its rate carries no band of 8 kHz.
#[must_use]
pub fn third_octaves(
    samples: &[f32],
    frames_per_second: u32,
    time_constant_s: f64,
) -> Option<[BandLevel; BANDS]> {
    let rate = f64::from(frames_per_second);
    let seconds = samples.len() as f64 / rate;
    let whole = samples.iter().all(|sample| sample.is_finite());
    if !whole || !(SHORTEST_S..=LONGEST_S).contains(&seconds) || rate < 20_000.0 {
        return None;
    }
    let spectrum = spectrum(samples, rate);
    let mut planner = FftPlanner::new();
    Some(std::array::from_fn(|index| {
        let course = power(&spectrum, rate, midband_hz(index), &mut planner);
        // How far apart in time the values of the course are.
        let step_s = spectrum.len() as f64 / rate / course.len() as f64;
        let from = (EDGE_S / step_s).ceil() as usize;
        let to = ((seconds - EDGE_S) / step_s).floor() as usize;
        let heard = course.get(from..to).unwrap_or_default();
        level(heard, step_s, time_constant_s)
    }))
}

/// The spectrum of the recording, faded at both ends and filled up with silence.
fn spectrum(samples: &[f32], rate: f64) -> Vec<Complex<f64>> {
    let edge = (EDGE_S * rate) as usize;
    let last = samples.len() - 1;
    let gain = |n: usize| {
        let from_edge = n.min(last - n);
        if from_edge >= edge {
            return 1.0;
        }
        0.5 - 0.5 * libm::cos(PI * from_edge as f64 / edge as f64)
    };
    let faded = samples.iter().enumerate();
    let mut bins: Vec<Complex<f64>> = faded
        .map(|(n, sample)| Complex::new(f64::from(*sample) * gain(n), 0.0))
        .collect();
    bins.resize(samples.len().next_power_of_two(), Complex::new(0.0, 0.0));
    FftPlanner::new()
        .plan_fft_forward(bins.len())
        .process(&mut bins);
    bins
}

/// The power of one band over time: 1 is that of a sine at full scale.
fn power(
    spectrum: &[Complex<f64>],
    rate: f64,
    midband: f64,
    planner: &mut FftPlanner<f64>,
) -> Vec<f64> {
    let per_bin = rate / spectrum.len() as f64;
    let edge = |octaves: f64| midband * libm::exp2(octaves) / per_bin;
    let first = (edge(-REACH_OCTAVES).ceil() as usize).max(1);
    let end = (edge(REACH_OCTAVES).floor() as usize).min(spectrum.len() / 2);
    let weigh = |index: usize| {
        let octaves = libm::log2(index as f64 * per_bin / midband) / half_width_octaves();
        let gain = 1.0 / (1.0 + octaves.powi(2 * ORDER)).sqrt();
        spectrum[index] * gain
    };
    let mut band: Vec<Complex<f64>> = (first..end).map(weigh).collect();
    band.resize(band.len().next_power_of_two(), Complex::new(0.0, 0.0));
    planner.plan_fft_inverse(band.len()).process(&mut band);
    let scale = 2.0 / spectrum.len() as f64;
    band.iter()
        .map(|bin| bin.norm_sqr() * scale * scale)
        .collect()
}

fn level(course: &[f64], step_s: f64, time_constant_s: f64) -> BandLevel {
    let count = course.len().max(1) as f64;
    let mean = course.iter().sum::<f64>() / count;
    // The weighting begins at what its first time constant holds: it has been listening before.
    let start = ((time_constant_s / step_s) as usize).clamp(1, course.len().max(1));
    let first = course.iter().take(start).sum::<f64>() / start as f64;
    let share = 1.0 - libm::exp(-step_s / time_constant_s);
    let (_, loudest) = course.iter().fold((first, first), |(now, most), power| {
        let now = now + share * (power - now);
        (now, most.max(now))
    });
    let level = |power: f64| DbFs(10.0 * libm::log10(power.max(1e-30)));
    BandLevel {
        mean: level(mean),
        loudest: level(loudest),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Draws, Stream};
    use crate::standard::iec_61260_1_2014::class_1_limits_db;
    use std::f64::consts::TAU;

    const RATE: u32 = 48_000;

    fn sine(hz: f64, amplitude: f64, seconds: f64) -> Vec<f32> {
        let frames = (seconds * f64::from(RATE)) as usize;
        let at = |n: usize| (amplitude * (TAU * hz * n as f64 / f64::from(RATE)).sin()) as f32;
        (0..frames).map(at).collect()
    }

    /// IEC 61260-1:2014, Table 1, class 1: relative attenuation of steady sines, against every
    /// band, at seven frequencies an octave from 20 Hz to 20 kHz.
    #[test]
    fn filters_keep_the_limits_of_class_1() {
        let reference: Vec<f64> = (0..BANDS)
            .map(|index| {
                let found = third_octaves(&sine(midband_hz(index), 0.5, 1.3), RATE, SLOW_S);
                found.unwrap()[index].mean.0
            })
            .collect();
        for (index, level) in reference.iter().enumerate() {
            // Half of full scale is -6.02 dB (the level's definition).
            assert!(
                (level + 6.0206).abs() < 0.05,
                "{}: {level}",
                BANDS_HZ[index]
            );
        }
        let mut hz = 20.0;
        while hz < 20_000.0 {
            let found = third_octaves(&sine(hz, 0.5, 1.3), RATE, SLOW_S).unwrap();
            for (index, band) in found.iter().enumerate() {
                let attenuation = reference[index] - band.mean.0;
                let [least, most] = class_1_limits_db(hz / midband_hz(index));
                assert!(
                    (least..=most).contains(&attenuation),
                    "{hz} Hz in the band of {}: {attenuation}, {least} to {most}",
                    BANDS_HZ[index]
                );
            }
            hz *= 2_f64.powf(1.0 / 7.0);
        }
    }

    /// White noise: every band holds power in proportion to its width, 10 lg(0.2316 fm / 24000)
    /// under the whole (IEC 61260-1:2014, 5.10: the effective bandwidth deviates by 0.4 dB at
    /// most). Over 20 s the band of 1 kHz scatters by 0.06 dB.
    #[test]
    fn noise_goes_to_bands_by_their_width() {
        let mut draws = Draws::new(5, Stream::Noise, 1);
        let samples: Vec<f32> = (0..20 * RATE)
            .map(|_| 0.1 * draws.normal() as f32)
            .collect();
        let found = third_octaves(&samples, RATE, SLOW_S).unwrap();
        let whole_db = 10.0 * (2.0_f64 * 0.01).log10();
        for index in 9..BANDS {
            let share = 0.2316 * midband_hz(index) / 24_000.0;
            let expected = whole_db + 10.0 * share.log10();
            let level = found[index].mean.0;
            assert!(
                (level - expected).abs() < 0.6,
                "{}: {level}, {expected}",
                BANDS_HZ[index]
            );
            assert!(found[index].loudest >= found[index].mean, "{index}");
        }
    }

    /// Exponential averaging: of a tone burst of 0.2 s, slow reads 10 lg(1 - e^-0.2) = -7.4 dB
    /// and fast 10 lg(1 - e^-1.6) = -1.0 dB (IEC 61672-1:2013, Table 4: bursts of 200 ms).
    #[test]
    fn the_time_weighting_follows_a_burst() {
        let mut samples = vec![0.0; 5 * RATE as usize];
        let burst = sine(4000.0, 0.5, 0.2);
        samples[100_000..100_000 + burst.len()].copy_from_slice(&burst);
        for (constant, expected) in [(SLOW_S, -7.4), (FAST_S, -1.0)] {
            let band = third_octaves(&samples, RATE, constant).unwrap()[21];
            let found = band.loudest.0 + 6.0206;
            assert!((found - expected).abs() < 0.3, "{constant}: {found}");
        }
    }

    #[test]
    fn what_cannot_be_analysed_is_refused() {
        let second = sine(1000.0, 0.5, 1.5);
        assert!(third_octaves(&second, RATE, SLOW_S).is_some());
        assert!(third_octaves(&second[..40_000], RATE, SLOW_S).is_none());
        assert!(third_octaves(&second, 16_000, SLOW_S).is_none());
        let mut broken = second;
        broken[7] = f32::NAN;
        assert!(third_octaves(&broken, RATE, SLOW_S).is_none());
        assert!(third_octaves(&[], RATE, SLOW_S).is_none());
    }
}
