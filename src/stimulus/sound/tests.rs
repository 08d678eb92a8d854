//! The samples, measured from outside: sine fits, the Hilbert envelope, periodograms.

use super::*;
use crate::quantity::{Hz, Level};
use crate::stimulus::analysis::{fit, ppm_off};
use crate::stimulus::{Part, Swing, Task};
use proptest::prelude::*;
use rustfft::{FftPlanner, num_complex::Complex};
use std::convert::Infallible;

const RATES: [u32; 6] = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000];

fn part(ear: Ear, signal: Signal, hz: f64, db_fs: f64, start_s: f64, end_s: f64) -> SoundPart {
    let level = Level::Fs(DbFs(db_fs));
    SoundPart {
        ear,
        signal,
        hz: Hz(hz),
        level,
        start_s,
        end_s,
        interval: None,
    }
}

fn rendered(parts: &[SoundPart], rate: u32) -> Result<Rendered, SoundError<Infallible>> {
    let parts = parts.iter().copied().map(Part::Sound).collect();
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(2.5),
        parts,
    };
    render(&presentation, rate, 1, |part| Ok(DbFs(part.level.db())))
}

fn one(signal: Signal, hz: f64, rate: u32) -> Vec<f64> {
    let sound = rendered(&[part(Ear::Right, signal, hz, 0.0, 0.3, 2.3)], rate).unwrap();
    sound.channel(Ear::Right).map(f64::from).collect()
}

/// The magnitude of the analytic signal (Hilbert transform by FFT).
fn envelope(samples: &[f64]) -> Vec<f64> {
    let mut bins: Vec<_> = samples.iter().map(|&x| Complex::new(x, 0.0)).collect();
    let mut planner = FftPlanner::new();
    planner.plan_fft_forward(bins.len()).process(&mut bins);
    let half = bins.len() / 2;
    for bin in &mut bins[half..] {
        *bin = Complex::new(0.0, 0.0);
    }
    planner.plan_fft_inverse(bins.len()).process(&mut bins);
    bins.iter()
        .map(|bin| 2.0 * bin.norm() / samples.len() as f64)
        .collect()
}

/// Milliseconds from the first sample at `from_db` to the first at `to_db`.
fn rise_ms(envelope: &[f64], from_db: f64, to_db: f64, rate: u32) -> f64 {
    let first = |db: f64| {
        envelope
            .iter()
            .position(|&e| e >= 10_f64.powf(db / 20.0))
            .unwrap()
    };
    (first(to_db) - first(from_db)) as f64 * 1000.0 / f64::from(rate)
}

#[test]
fn level_frequency_and_the_other_ear() {
    for rate in RATES {
        for (hz, db_fs) in [
            (125.0, -20.0),
            (1000.0, -80.0),
            (1500.0, 0.0),
            (8000.0, -100.0),
        ] {
            let sound = rendered(
                &[part(Ear::Left, Signal::Steady, hz, db_fs, 0.3, 2.3)],
                rate,
            )
            .unwrap();
            let span = sound.spans[0];
            // 0.3 s and 2.3 s are whole frames at each of the rates.
            assert_eq!(span.onset_frame, rate as usize * 3 / 10);
            assert_eq!(span.end_frame, rate as usize * 23 / 10);
            let left: Vec<f64> = sound.channel(Ear::Left).map(f64::from).collect();
            let ramp = rate as usize / 20;
            let steady = &left[span.onset_frame + ramp..span.end_frame - ramp];
            let sine = fit(steady, hz, f64::from(rate));
            assert!(
                (sine.db_fs - db_fs).abs() < 0.005,
                "{hz} {rate} {}",
                sine.db_fs
            );
            assert!(
                ppm_off(steady, hz, f64::from(rate)).abs() < 1.0,
                "{hz} {rate}"
            );
            assert!(left[..span.onset_frame].iter().all(|&x| x == 0.0));
            assert!(left[span.end_frame..].iter().all(|&x| x == 0.0));
            assert!(left[span.onset_frame + 1] != 0.0 && left[span.end_frame - 2] != 0.0);
            assert!(sound.channel(Ear::Right).all(|x| x == 0.0));
        }
    }
}

/// The energy of what is rendered, summed sample by sample, is that of the full level over the time
/// that is reckoned.
#[test]
fn the_reckoned_time_has_the_energy_of_the_samples() {
    for (signal, seconds) in [
        (Signal::Steady, 1.5),
        (Signal::Steady, 0.2),
        (Signal::Pulsed, 2.0),
        (Signal::Pulsed, 0.3),
        (Signal::Warble, 1.0),
    ] {
        let sound = rendered(
            &[part(Ear::Right, signal, 1000.0, 0.0, 0.1, 0.1 + seconds)],
            48_000,
        );
        let sound = sound.unwrap();
        let energy: f64 = sound
            .channel(Ear::Right)
            .map(|x| f64::from(x).powi(2))
            .sum();
        let found_s = 2.0 * energy / 48_000.0;
        let reckoned_s = full_level_s(signal, seconds);
        assert!(
            (found_s / reckoned_s - 1.0).abs() < 0.002,
            "{signal:?}: {found_s} {reckoned_s}"
        );
    }
}

/// IEC 60645-1, keyed tone: 20 to 200 ms between 20 and 1 dB under the steady level, both ways;
/// no overshoot above 1 dB.
#[test]
fn edges_of_a_keyed_tone() {
    for rate in RATES {
        let mut envelope = envelope(&one(Signal::Steady, 4000.0, rate));
        assert!(envelope.iter().all(|&e| e < 10_f64.powf(1.0 / 20.0)));
        for edge in ["rise", "fall"] {
            let ms = rise_ms(&envelope, -20.0, -1.0, rate);
            assert!((20.0..=200.0).contains(&ms), "{edge} {ms} ms at {rate}");
            envelope.reverse();
        }
    }
}

/// IEC 60645-1, pulsed tone: 225 ms on and 225 ms off, each within 35 ms, between the points
/// 5 dB under the steady level; edges 20 to 50 ms between 20 and 1 dB under it. Our own aim is
/// 225 ms to a tenth of a millisecond.
#[test]
fn pulses() {
    for rate in RATES {
        let envelope = envelope(&one(Signal::Pulsed, 4000.0, rate));
        let ms = rise_ms(&envelope, -20.0, -1.0, rate);
        assert!((20.0..=50.0).contains(&ms), "rise {ms} ms");
        let on: Vec<bool> = envelope
            .iter()
            .map(|&e| e >= 10_f64.powf(-5.0 / 20.0))
            .collect();
        let turns: Vec<usize> = (1..on.len()).filter(|&n| on[n] != on[n - 1]).collect();
        // Pulses that begin at 0, 0.45, 0.9, 1.35 s end within 2 s; a fifth would not.
        assert_eq!(turns.len(), 8);
        for pair in turns.windows(2) {
            let ms = (pair[1] - pair[0]) as f64 * 1000.0 / f64::from(rate);
            assert!((ms - 225.0).abs() < 0.1, "{ms} ms at {rate}");
        }
    }
    let sound = rendered(
        &[part(Ear::Left, Signal::Pulsed, 1000.0, 0.0, 0.3, 2.3)],
        48_000,
    );
    // The fourth pulse begins at 0.3 + 3 * 0.45 s and lasts 278.98 ms.
    assert_eq!(sound.unwrap().spans[0].end_frame, 79_200 + 13_391);
}

/// IEC 60645-1, frequency modulation: 4 to 20 Hz, 2.5 to 12.5 % to each side; ours are said to
/// be 5 Hz and 5 %. The frequency is read from the times of the upward zero crossings.
#[test]
fn warble_swings_5_percent_5_times_a_second() {
    let rate = 48_000.0;
    let samples = &one(Signal::Warble, 1000.0, 48_000)[20_000..100_000];
    let crossings: Vec<f64> = (1..samples.len())
        .filter(|&n| samples[n - 1] < 0.0 && samples[n] >= 0.0)
        .map(|n| n as f64 - samples[n] / (samples[n] - samples[n - 1]))
        .collect();
    let hz: Vec<f64> = crossings
        .windows(2)
        .map(|pair| rate / (pair[1] - pair[0]))
        .collect();
    let highest = hz.iter().copied().fold(0.0, f64::max);
    let lowest = hz.iter().copied().fold(f64::MAX, f64::min);
    assert!((highest - 1050.0).abs() < 2.0, "{highest} Hz");
    assert!((lowest - 950.0).abs() < 2.0, "{lowest} Hz");
    let swings = (1..hz.len())
        .filter(|&n| hz[n - 1] < 1000.0 && hz[n] >= 1000.0)
        .count();
    // 80 000 frames are 1.67 s: 8 or 9 swings.
    assert!((8..=9).contains(&swings), "{swings}");
}

fn noise(hz: f64, seed: u64) -> Vec<f64> {
    let part = part(Ear::Left, Signal::NarrowBandNoise, hz, -20.0, 0.0, 8.0);
    let parts = vec![Part::Sound(part)];
    let presentation = Presentation {
        task: Task::Detect,
        window_s: None,
        parts,
    };
    let sound = render::<Infallible>(&presentation, 24_000, seed, |_| Ok(DbFs(-20.0))).unwrap();
    sound.channel(Ear::Left).map(f64::from).collect()
}

/// IEC 60645-1: the -3 dB points of narrow-band noise lie one third to half an octave apart,
/// each a sixth to a quarter from the centre. Averaged periodogram, Hann window (Welch 1967).
#[test]
fn noise_band_and_level() {
    for (hz, segment) in [(250.0, 1 << 14), (1000.0, 1 << 12), (4000.0, 1 << 10)] {
        let fft = FftPlanner::new().plan_fft_forward(segment);
        let mut power = vec![0.0; segment / 2];
        for seed in 0..3 {
            let samples = &noise(hz, seed)[1_200..190_800];
            let rms = (samples.iter().map(|x| x * x).sum::<f64>() / samples.len() as f64).sqrt();
            let db = 20.0 * (rms * 2_f64.sqrt()).log10();
            assert!((db + 20.0).abs() < 0.05, "{db} dB");
            for chunk in samples.chunks_exact(segment) {
                let hann = |n: usize| {
                    0.5 - 0.5 * (std::f64::consts::TAU * n as f64 / segment as f64).cos()
                };
                let windowed = chunk.iter().enumerate().map(|(n, x)| x * hann(n));
                let mut bins: Vec<_> = windowed.map(|x| Complex::new(x, 0.0)).collect();
                fft.process(&mut bins);
                power
                    .iter_mut()
                    .zip(&bins)
                    .for_each(|(sum, bin)| *sum += bin.norm_sqr());
            }
        }
        let octaves = |bin: usize| (bin as f64 * 24_000.0 / segment as f64 / hz).log2();
        let middle: Vec<f64> = (1..segment / 2)
            .filter(|&bin| octaves(bin).abs() < 0.1)
            .map(|bin| power[bin])
            .collect();
        let half = middle.iter().sum::<f64>() / middle.len() as f64 / 10_f64.powf(0.3);
        let first = power.iter().position(|&p| p >= half).unwrap();
        let last = power.iter().rposition(|&p| p >= half).unwrap();
        for edge in [-octaves(first), octaves(last)] {
            assert!(
                (1.0 / 6.0..=0.25).contains(&edge),
                "{edge} octaves at {hz} Hz"
            );
        }
    }
}

/// Highest and lowest frequency, by the times of upward zero crossings, as a share of 1000 Hz.
#[test]
fn a_warble_swings_as_far_and_as_often_as_it_is_told() {
    let rate = 48_000.0;
    for (rate_hz, deviation_percent) in [(4.0, 12.5), (10.0, 2.5), (20.0, 12.5)] {
        let swing = Swing {
            rate_hz,
            deviation_percent,
        };
        let samples = &one(Signal::WarbleBy(swing), 1000.0, 48_000)[20_000..100_000];
        let crossings: Vec<f64> = (1..samples.len())
            .filter(|&n| samples[n - 1] < 0.0 && samples[n] >= 0.0)
            .map(|n| n as f64 - samples[n] / (samples[n] - samples[n - 1]))
            .collect();
        let hz: Vec<f64> = crossings
            .windows(2)
            .map(|two| rate / (two[1] - two[0]))
            .collect();
        let far = 10.0 * deviation_percent;
        let highest = hz.iter().copied().fold(0.0, f64::max) - 1000.0;
        let lowest = 1000.0 - hz.iter().copied().fold(f64::MAX, f64::min);
        // IEC 60645-1, from memory: within 10 % of what is stated; ours are within 2 %.
        assert!(
            (highest - far).abs() < 0.02 * far && (lowest - far).abs() < 0.02 * far,
            "{swing:?}"
        );
        let swings = (1..hz.len())
            .filter(|&n| hz[n - 1] < 1000.0 && hz[n] >= 1000.0)
            .count();
        let seconds = 80_000.0 / rate;
        assert!(
            (swings as f64 - rate_hz * seconds).abs() <= 1.0,
            "{swing:?}: {swings}"
        );
    }
    assert_eq!(
        one(Signal::Warble, 1000.0, 48_000),
        one(Signal::WarbleBy(Swing::USUAL), 1000.0, 48_000)
    );
    for (rate_hz, deviation_percent) in [
        (3.9, 5.0),
        (20.1, 5.0),
        (5.0, 2.4),
        (5.0, 12.6),
        (f64::NAN, 5.0),
    ] {
        let swing = Swing {
            rate_hz,
            deviation_percent,
        };
        let bad = part(Ear::Left, Signal::WarbleBy(swing), 1000.0, -20.0, 0.3, 1.3);
        let error = rendered(&[bad], 48_000).unwrap_err();
        assert!(
            matches!(error, SoundError::Swing { part: 1, .. }),
            "{error}"
        );
    }
}

/// The power of a noise in the third of an octave about `hz`, dB, per hertz.
fn density_db(samples: &[f64], hz: f64) -> f64 {
    let mut bins: Vec<_> = samples.iter().map(|&x| Complex::new(x, 0.0)).collect();
    FftPlanner::new()
        .plan_fft_forward(bins.len())
        .process(&mut bins);
    let width = 48_000.0 / bins.len() as f64;
    let within = |bin: usize| (bin as f64 * width / hz).log2().abs() <= 1.0 / 6.0;
    let (count, power) = (1..bins.len() / 2)
        .filter(|bin| within(*bin))
        .fold((0, 0.0), |(count, power), bin| {
            (count + 1, power + bins[bin].norm_sqr())
        });
    10.0 * (power / f64::from(count)).log10()
}

/// IEC 60645-1, from memory: white noise is flat within 5 dB from 250 to 5000 Hz; speech-weighted
/// noise is flat from 125 to 1000 Hz and falls by 12 dB an octave up to 6000 Hz. Ours keep it to
/// 1 dB, at the power of a sine of the same level.
#[test]
fn wide_noise_has_its_spectrum_and_its_power() {
    let expected = |signal, hz: f64| match signal {
        Signal::SpeechNoise if hz > 1000.0 => -12.04 * (hz / 1000.0).log2(),
        _ => 0.0,
    };
    for signal in [Signal::WhiteNoise, Signal::SpeechNoise] {
        let noise = part(Ear::Right, signal, 1000.0, -20.0, 0.0, 2.5);
        let sound = rendered(&[noise], 48_000).unwrap();
        let samples: Vec<f64> = sound.channel(Ear::Right).map(f64::from).collect();
        let rms = (samples.iter().map(|x| x * x).sum::<f64>() / samples.len() as f64).sqrt();
        let db = 20.0 * (rms * 2_f64.sqrt()).log10();
        assert!((db + 20.0).abs() < 0.2, "{db} dB");
        let whole = &samples[4_800..115_200];
        let reference = density_db(whole, 700.0);
        for hz in [300.0, 500.0, 2000.0, 4000.0, 5000.0] {
            // The third's own slope weighs its lower half more: under 0.3 dB at 12 dB an octave.
            let found = density_db(whole, hz) - reference;
            assert!(
                (found - expected(signal, hz)).abs() < 1.0,
                "{signal:?} {hz} Hz: {found} dB"
            );
        }
        assert!(density_db(whole, 15_000.0) - reference < -60.0);
    }
}

/// What the checks of consistency will present: each as loud as planned, where it was planned.
#[test]
fn every_shape_of_presentation_can_be_rendered() {
    let db_fs = |sound: &Rendered, ear, from_s: f64, hz| {
        let from = (from_s * 48_000.0) as usize;
        let samples: Vec<f64> = sound
            .channel(ear)
            .map(f64::from)
            .skip(from)
            .take(9_600)
            .collect();
        fit(&samples, hz, 48_000.0).db_fs
    };
    let near =
        |found: f64, expected: f64| assert!((found - expected).abs() < 0.005, "{found} {expected}");
    // One frequency at two levels in both ears: phases locked, amplitudes 25 dB apart.
    let tone = |ear, db_fs, from, to| part(ear, Signal::Steady, 1000.0, db_fs, from, to);
    let both = [
        tone(Ear::Left, -30.0, 0.3, 1.3),
        tone(Ear::Right, -55.0, 0.3, 1.3),
    ];
    let sound = rendered(&both, 48_000).unwrap();
    near(
        db_fs(&sound, Ear::Left, 0.5, 1000.0) - db_fs(&sound, Ear::Right, 0.5, 1000.0),
        25.0,
    );
    let phase = |ear| {
        let samples: Vec<f64> = sound
            .channel(ear)
            .map(f64::from)
            .skip(24_000)
            .take(9_600)
            .collect();
        fit(&samples, 1000.0, 48_000.0).phase
    };
    assert!((phase(Ear::Left) - phase(Ear::Right)).abs() < 1e-5);
    // Two intervals, the tone in one of them, by the number in its part.
    let second = SoundPart {
        interval: Some(2),
        ..tone(Ear::Left, -40.0, 1.4, 2.3)
    };
    let presentation = Presentation {
        task: Task::Interval,
        window_s: None,
        parts: vec![Part::Sound(second)],
    };
    let slot =
        render::<Infallible>(&presentation, 48_000, 1, |part| Ok(DbFs(part.level.db()))).unwrap();
    assert!(slot.channel(Ear::Left).take(67_200).all(|x| x == 0.0));
    near(db_fs(&slot, Ear::Left, 1.6, 1000.0), -40.0);
    // A tone in noise at the same ear is the sum of both.
    let noise = part(Ear::Left, Signal::NarrowBandNoise, 1000.0, -50.0, 0.1, 2.4);
    let alone = [rendered(&[noise], 48_000), rendered(&both[..1], 48_000)].map(Result::unwrap);
    let sum = rendered(&[noise, both[0]], 48_000).unwrap();
    for n in (0..sum.frames()).step_by(997) {
        let at = |slot: &Rendered| f64::from(slot.samples[2 * n]);
        assert!((at(&sum) - at(&alone[0]) - at(&alone[1])).abs() < 1e-7);
    }
    // A row of pulses of mixed level, and a sweep of frequencies, as parts one after another.
    let row = [-30.0, -60.0, -45.0, -60.0, -30.0];
    let pulses: Vec<SoundPart> = (0..5)
        .map(|n| {
            tone(
                Ear::Right,
                row[n],
                0.1 + 0.45 * n as f64,
                0.38 + 0.45 * n as f64,
            )
        })
        .collect();
    let sound = rendered(&pulses, 48_000).unwrap();
    for (n, level) in row.iter().enumerate() {
        let from = ((0.16 + 0.45 * n as f64) * 48_000.0) as usize;
        let samples: Vec<f64> = sound
            .channel(Ear::Right)
            .map(f64::from)
            .skip(from)
            .take(7_200)
            .collect();
        near(fit(&samples, 1000.0, 48_000.0).db_fs, *level);
    }
    let sweep: Vec<SoundPart> = [500.0, 1000.0, 2000.0, 4000.0]
        .iter()
        .enumerate()
        .map(|(n, hz)| {
            part(
                Ear::Left,
                Signal::Steady,
                *hz,
                -40.0,
                0.5 * n as f64,
                0.5 * n as f64 + 0.4,
            )
        })
        .collect();
    let sound = rendered(&sweep, 48_000).unwrap();
    near(db_fs(&sound, Ear::Left, 1.1, 2000.0), -40.0);
}

#[test]
fn both_ears_get_the_same_signal_in_phase() {
    for signal in [
        Signal::Steady,
        Signal::Pulsed,
        Signal::Warble,
        Signal::NarrowBandNoise,
        Signal::WhiteNoise,
        Signal::SpeechNoise,
    ] {
        let parts = Ear::BOTH.map(|ear| part(ear, signal, 1000.0, -30.0, 0.5, 1.5));
        let sound = rendered(&parts, 48_000).unwrap();
        assert!(sound.channel(Ear::Left).eq(sound.channel(Ear::Right)));
        assert!(sound.peak() > 0.01);
    }
}

#[test]
fn noise_repeats_with_its_seed_only() {
    assert_eq!(noise(1000.0, 3), noise(1000.0, 3));
    assert_ne!(noise(1000.0, 3), noise(1000.0, 4));
}

#[test]
fn a_silent_slot_is_as_long_as_any_other() {
    let silent = rendered(&[], 44_100).unwrap();
    assert_eq!(silent.frames(), 110_250);
    assert!(silent.peak() == 0.0 && silent.spans.is_empty());
}

#[test]
fn what_cannot_be_rendered_is_refused() {
    let good = part(Ear::Left, Signal::Steady, 1000.0, -20.0, 0.5, 1.5);
    let refusal = |bad: SoundPart| rendered(&[good, bad], 48_000).unwrap_err();
    for hz in [f64::NAN, f64::INFINITY, 0.0, -1000.0, 21_601.0] {
        let error = refusal(SoundPart { hz: Hz(hz), ..good });
        assert!(
            matches!(error, SoundError::Frequency { part: 2, .. }),
            "{error}"
        );
    }
    let warble = SoundPart {
        signal: Signal::Warble,
        hz: Hz(21_000.0),
        ..good
    };
    assert!(matches!(refusal(warble), SoundError::Frequency { .. }));
    for (start_s, end_s) in [
        (1.0, 1.0),
        (1.5, 0.5),
        (-0.1, 1.0),
        (1.0, 2.6),
        (f64::NAN, 1.0),
    ] {
        let error = refusal(SoundPart {
            start_s,
            end_s,
            ..good
        });
        assert!(
            matches!(error, SoundError::Times { part: 2, .. }),
            "{error}"
        );
    }
    assert!(matches!(
        refusal(SoundPart {
            end_s: 0.59,
            ..good
        }),
        SoundError::Short { .. }
    ));
    let pulse = SoundPart {
        signal: Signal::Pulsed,
        end_s: 0.77,
        ..good
    };
    assert!(matches!(refusal(pulse), SoundError::Short { .. }));
    for db_fs in [0.1, f64::NAN, f64::INFINITY] {
        let error = refusal(SoundPart {
            level: Level::Fs(DbFs(db_fs)),
            ..good
        });
        assert!(matches!(error, SoundError::Loud { part: 2, .. }), "{error}");
    }
    let loud = SoundPart {
        level: Level::Fs(DbFs(-3.0)),
        ..good
    };
    let error = rendered(&[loud, loud], 48_000).unwrap_err();
    assert!(matches!(error, SoundError::Peak(_)), "{error}");
    assert!(matches!(
        rendered(&[good], 0).unwrap_err(),
        SoundError::Rate(0)
    ));
    for window_s in [None, Some(0.0), Some(f64::NAN), Some(1e9)] {
        let nothing = Presentation {
            task: Task::Detect,
            window_s,
            parts: vec![],
        };
        let error = render::<Infallible>(&nothing, 48_000, 1, |_| Ok(DbFs(0.0))).unwrap_err();
        assert!(matches!(error, SoundError::Slot(_)), "{error}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// No click: a sample never exceeds the amplitude, and two neighbours differ by no more
    /// than a full sine of the highest frequency does (2 A sin(pi f / rate)) plus the steepest
    /// part of a 50 ms raised cosine (A pi / 2 over the frames of the ramp).
    #[test]
    fn never_above_the_amplitude_and_never_a_jump(
        kind in 0_usize..3,
        hz in 20.0..19_000_f64,
        db_fs in -110.0..=0_f64,
        start_s in 0.0..1.2_f64,
        seconds in 0.3..1.2_f64,
        rate in prop::sample::select(&RATES[..]),
    ) {
        let signal = [Signal::Steady, Signal::Pulsed, Signal::Warble][kind];
        let hz = hz.min(0.42 * f64::from(rate));
        let sound = part(Ear::Right, signal, hz, db_fs, start_s, start_s + seconds);
        let samples: Vec<f64> =
            rendered(&[sound], rate).unwrap().channel(Ear::Right).map(f64::from).collect();
        let amplitude = 10_f64.powf(db_fs / 20.0) * (1.0 + 1e-6);
        let highest = if signal == Signal::Warble { 1.05 * hz } else { hz };
        let pi = std::f64::consts::PI;
        let step = 2.0 * (pi * highest / f64::from(rate)).sin()
            + pi / 2.0 / (0.05 * f64::from(rate) - 1.0);
        prop_assert!(samples.iter().all(|x| x.abs() <= amplitude));
        prop_assert!(samples.windows(2).all(|two| (two[1] - two[0]).abs() <= amplitude * step));
    }
}
