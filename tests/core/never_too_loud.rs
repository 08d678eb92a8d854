//! Random presentations and recordings on random and hostile profiles, through the engine of a device:
//! no sample over its cap, no step over the ramp's.
//!
//! The caps are reckoned here once more, from the figures of reference (IEC 62368-1, clause 10.6:
//! 100 dB; our own ceiling of a measured earphone: 110 dB SPL), not asked of the program.

use rayon::prelude::*;
use std::f64::consts::PI;
use std::io::Cursor;
use veridical::calibration::jury::{JuryRecord, JuryZero};
use veridical::calibration::{
    EarphoneProfile, EarphoneRecord, ExaminerReference, FullScale, OutputRequirement, ProfileKind,
};
use veridical::errand::{loudest_instructions, ready, sounding};
use veridical::journal::PlayedWhat;
use veridical::quantity::{Db, DbFs, DbHl, DbSpl, Draws, Ear, Hz, Level, Scale, Stream};
use veridical::standard::{EarphoneClass, test_hz};
use veridical::station::SoundStation;
use veridical::station::manual::ManualSound;
use veridical::stimulus::recording::Recording;
use veridical::stimulus::sound::channel;
use veridical::stimulus::{Part, Presentation, Signal, SoundPart, Swing, Task};

/// So many in every run; `tests/long/never-too-loud` asks for a million.
const PRESENTATIONS: u64 = 4_000;
/// A recording for so many presentations.
const PRESENTATIONS_A_RECORDING: u64 = 20;
const SEED: u64 = 20_261_125;

/// What became of one.
#[derive(Default, Clone, Copy)]
struct Tally {
    refused: u64,
    played: u64,
    loudest_re_cap_db: f64,
}

fn presentations() -> u64 {
    let count = std::env::var("VERIDICAL_PRESENTATIONS");
    count.map_or(PRESENTATIONS, |count| count.parse().unwrap())
}

#[test]
fn no_sample_over_the_cap_and_no_step_over_the_ramps() {
    let count = presentations();
    let tallies = (0..count).into_par_iter().map(one).collect::<Vec<_>>();
    let played: u64 = tallies.iter().map(|tally| tally.played).sum();
    let refused: u64 = tallies.iter().map(|tally| tally.refused).sum();
    let loudest = tallies
        .iter()
        .filter(|one| one.played > 0)
        .map(|one| one.loudest_re_cap_db);
    println!(
        "{count} presentations, seed {SEED}: {played} played, {refused} refused; the loudest \
         sample {:.4} dB re its cap",
        loudest.fold(f64::NEG_INFINITY, f64::max)
    );
    // Neither side of the check is idle.
    assert!(played > count / 5 && refused > count / 10);
}

/// A number, now and then a hostile one.
fn number(draws: &mut Draws, low: f64, high: f64) -> f64 {
    match draws.below(250) {
        0 => f64::NAN,
        1 => f64::INFINITY,
        2 => f64::NEG_INFINITY,
        3 => -1e300,
        4 => 1e300,
        5 => high * 10.0,
        6 => -high,
        _ => draws.between(low, high),
    }
}

fn profile(draws: &mut Draws) -> Option<EarphoneProfile> {
    let kinds = [
        ProfileKind::SimulatedCapped,
        ProfileKind::Measured,
        ProfileKind::Measured,
        ProfileKind::ListeningJury,
        ProfileKind::ExaminersEars,
        ProfileKind::Uncalibrated,
    ];
    let kind = kinds[draws.below(kinds.len())];
    let example = include_str!("../../calibration/example-circumaural.toml");
    let example: EarphoneRecord = EarphoneProfile::from_toml(example, "example")
        .unwrap()
        .into();
    // Most rows are sound, so that most profiles are taken; some hold anything.
    let hostile = draws.chance(0.2);
    let mut value = |low: f64, high: f64| {
        if hostile {
            number(draws, low, high)
        } else {
            draws.between(low, high)
        }
    };
    let rows: Vec<(Hz, f64, f64)> = test_hz()
        .map(|hz| {
            let right = value(82.0, 138.0);
            (hz, right, right + value(-2.0, 2.0))
        })
        .collect();
    let spl = |(hz, right, left): &(Hz, f64, f64)| FullScale {
        hz: *hz,
        right_db_spl: DbSpl(*right),
        left_db_spl: DbSpl(*left),
    };
    let heard = |(hz, right, left): &(Hz, f64, f64)| ExaminerReference {
        hz: *hz,
        right_db_fs: DbFs(*right - 230.0),
        left_db_fs: DbFs(*left - 230.0),
    };
    let zero = |(hz, right, left): &(Hz, f64, f64)| JuryZero {
        hz: *hz,
        right_db_fs: DbFs(*right - 230.0),
        left_db_fs: DbFs(*left - 230.0),
        u_db: Db(1.0),
        listeners: 12,
        lowest_db_hl: DbHl(0.0),
    };
    let jury = || JuryRecord {
        bias_db: Db(6.5),
        u_bias_db: Db(2.0),
        bias_entered: false,
        procedure: "ascending".into(),
        age_correction: "none".into(),
        journals: vec!["0".repeat(64)],
    };
    let measured = matches!(kind, ProfileKind::Measured | ProfileKind::SimulatedCapped);
    let bits = [None, Some(16), Some(24), Some(32)][draws.below(4)];
    let record = EarphoneRecord {
        kind,
        class: Some(EarphoneClass::ALL[draws.below(7)]).filter(|_| measured),
        u_db: Some(Db(1.0)),
        output: Some(OutputRequirement {
            device: None,
            rate_hz: 48_000,
            bits,
            volume_percent: None,
        }),
        full_scale: rows.iter().filter(|_| measured).map(spl).collect(),
        reference: rows
            .iter()
            .filter(|_| kind == ProfileKind::ExaminersEars)
            .map(heard)
            .collect(),
        zero: rows
            .iter()
            .filter(|_| kind == ProfileKind::ListeningJury)
            .map(zero)
            .collect(),
        jury: (kind == ProfileKind::ListeningJury).then(jury),
        // Of any class, not the example's alone.
        coupler: None,
        distortion: Vec::new(),
        ..example
    };
    EarphoneProfile::try_from(record).ok()
}

fn sound(draws: &mut Draws, earphone: &EarphoneProfile) -> SoundPart {
    let scale = earphone.scale();
    let signals = [
        Signal::Steady,
        Signal::Steady,
        Signal::Pulsed,
        Signal::Warble,
        Signal::WarbleBy(Swing {
            rate_hz: number(draws, 4.0, 20.0),
            deviation_percent: number(draws, 2.5, 12.5),
        }),
        Signal::NarrowBandNoise,
        Signal::WhiteNoise,
        Signal::SpeechNoise,
    ];
    let signal = signals[draws.below(signals.len())];
    let all: Vec<Hz> = test_hz().collect();
    let hz = if draws.chance(0.9) {
        all[draws.below(all.len())]
    } else {
        Hz(number(draws, 20.0, 20_000.0))
    };
    let scale = if draws.chance(0.97) {
        scale
    } else {
        Scale::DbHl
    };
    let (low, high) = if scale == Scale::DbFs {
        (-120.0, 0.0)
    } else {
        (-10.0, 100.0)
    };
    let start_s = draws.between(0.0, 0.03);
    let shortest = if signal == Signal::Pulsed { 0.28 } else { 0.09 };
    let ear = Ear::BOTH[draws.below(2)];
    // A quarter stand at their cap, or a hair beside it.
    let most = match signal {
        Signal::NarrowBandNoise => earphone.max_masker_level(ear, hz),
        Signal::WhiteNoise | Signal::SpeechNoise => earphone.max_wide_noise_level(ear, hz),
        _ => earphone.max_level(ear, hz),
    };
    let level_db = match most.filter(|_| draws.chance(0.25)) {
        Some(most) => most.db() + [0.0, -1e-6, 1e-6, -0.5][draws.below(4)],
        None => number(draws, low, high),
    };
    SoundPart {
        ear,
        signal,
        hz,
        level: Level::new(scale, level_db),
        start_s,
        end_s: start_s + number(draws, shortest, shortest + 0.08),
        interval: None,
    }
}

fn one(n: u64) -> Tally {
    let mut draws = Draws::new(SEED, Stream::Noise, n);
    let refused = Tally {
        refused: 1,
        ..Tally::default()
    };
    let Some(earphone) = profile(&mut draws) else {
        return refused;
    };
    // High rates cost most and differ least.
    let rates = [
        8_000, 8_000, 16_000, 22_050, 44_100, 48_000, 96_000, 192_000,
    ];
    let rate = rates[if draws.chance(0.7) {
        draws.below(4)
    } else {
        draws.below(8)
    }];
    let parts: Vec<SoundPart> = (0..draws.below(4))
        .map(|_| sound(&mut draws, &earphone))
        .collect();
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(0.42),
        parts: parts.iter().copied().map(Part::Sound).collect(),
    };
    let Ok(sounding) = sounding(&presentation, &earphone, rate, n) else {
        return refused;
    };
    let bits = [16, 24, 32][draws.below(3)];
    let mut device = ManualSound::with_bits(rate, 1 + draws.below(1500), bits);
    let frames = sounding.slot.frames();
    sounding.play(&mut device, 1).unwrap();
    let stop = draws.below(2 * frames);
    device.advance(stop.min(frames));
    if stop < frames {
        device.stop();
    }
    device.advance(frames + rate as usize / 10);
    Tally {
        played: 1,
        refused: 0,
        loudest_re_cap_db: check(&earphone, &parts, rate, bits, &device, n),
    }
}

/// The amplitude that the cap of a sine allows; where nobody measured, full scale counts as 120 dB SPL.
fn cap_at(earphone: &EarphoneProfile, ear: Ear, hz: Hz) -> f64 {
    let measured = earphone.full_scale_db_spl(ear, hz);
    let full_scale = measured.map_or(120.0, |level| level.0);
    let cap_spl = if earphone.kind() == ProfileKind::Measured {
        110.0
    } else {
        100.0
    };
    10_f64.powf((cap_spl - full_scale) / 20.0).min(1.0)
}

fn highest_cap(earphone: &EarphoneProfile, ear: Ear) -> f64 {
    let caps = earphone
        .hz()
        .into_iter()
        .map(|hz| cap_at(earphone, ear, hz));
    caps.fold(0.0, f64::max)
}

/// The smallest step of so many bits; a float has none.
fn step_of(bits: u32) -> f64 {
    if bits > 24 {
        0.0
    } else {
        2.0 / 2_f64.powf(f64::from(bits))
    }
}

/// The peak that a part may have, and the steepest step of its carrier re that peak.
fn bounds(earphone: &EarphoneProfile, part: &SoundPart, rate: f64) -> (f64, f64) {
    let SoundPart { ear, hz, .. } = *part;
    // A noise's power is under the tone's cap, and its peaks under the highest cap of the ear.
    let peak = if part.signal.is_tone() {
        cap_at(earphone, ear, hz)
    } else {
        highest_cap(earphone, ear)
    };
    let highest_hz = match part.signal {
        Signal::NarrowBandNoise => 2.0 * hz.0,
        Signal::WhiteNoise => 10_000.0,
        Signal::SpeechNoise => 6_000.0,
        Signal::Warble => 1.05 * hz.0,
        Signal::WarbleBy(swing) => hz.0 * (1.0 + swing.deviation_percent / 100.0),
        Signal::Steady | Signal::Pulsed => hz.0,
    };
    // Between the samples a noise may rise a little above its highest sample (1.5: our margin).
    let margin = if part.signal.is_tone() { 1.0 } else { 1.5 };
    (
        peak,
        margin * 2.0 * (PI * (highest_hz / rate).min(0.5)).sin(),
    )
}

/// Checks what a device played; tells how near the loudest sample came to its cap.
fn check(
    earphone: &EarphoneProfile,
    parts: &[SoundPart],
    rate: u32,
    bits: u32,
    device: &ManualSound,
    n: u64,
) -> f64 {
    let rate = f64::from(rate);
    let step_of_depth = step_of(bits);
    let mut nearest_db = f64::NEG_INFINITY;
    for ear in Ear::BOTH {
        let at_ear: Vec<&SoundPart> = parts.iter().filter(|part| part.ear == ear).collect();
        let limits = at_ear.iter().map(|part| bounds(earphone, part, rate));
        let (peak, steepest) = limits.fold((0.0, 0.0), |(p, s), (peak, steep)| {
            (f64::max(p, peak), f64::max(s, steep))
        });
        let played: Vec<f64> = device
            .captured()
            .iter()
            .skip(channel(ear))
            .step_by(2)
            .map(|x| f64::from(*x))
            .collect();
        let loudest = played.iter().fold(0.0, |most, x| f64::max(most, x.abs()));
        // An ear without a part has at most the dither's one step.
        let most = (peak * (1.0 + 2e-6)).max(step_of_depth);
        assert!(
            loudest <= most,
            "presentation {n}: {loudest} over {most}, {parts:?}"
        );
        if peak > 0.0 {
            nearest_db = nearest_db.max(20.0 * (loudest / peak).log10());
        }
        // The carrier's own step, a ramp of its amplitude, and another of the stop: each raised
        // cosine of 50 ms is steepest in its middle, by pi/2 over its frames. The loudest sample
        // bounds the amplitude only where the carrier has swung to it, so the bound is on the cap's
        // share of every part: the sum of what was admitted. Rounding with dither is off by less
        // than a step and a half at each of the two samples.
        let admitted: f64 = at_ear.iter().map(|part| amplitude(earphone, part)).sum();
        let ramps = 2.0 * (PI / 2.0) / (0.05 * rate - 1.0);
        let step = admitted * (steepest + ramps) * (1.0 + 1e-6) + 3.0 * step_of_depth + 1e-7;
        for pair in played.windows(2) {
            let found = (pair[1] - pair[0]).abs();
            assert!(
                found <= step,
                "presentation {n}: a step of {found} over {step}, {parts:?}"
            );
        }
    }
    nearest_db
}

/// The largest sample of a part: a sine's amplitude, or 12 dB more for a noise.
fn amplitude(earphone: &EarphoneProfile, part: &SoundPart) -> f64 {
    let level = veridical::errand::level_db_fs(earphone, part).unwrap().0;
    10_f64.powf((level + if part.signal.is_tone() { 0.0 } else { 12.0 }) / 20.0)
}

#[test]
fn no_sample_of_a_recording_is_over_the_cap() {
    let count = presentations().div_ceil(PRESENTATIONS_A_RECORDING);
    let played: Vec<Option<f64>> = (0..count).into_par_iter().map(recording).collect();
    let nearest: Vec<f64> = played.into_iter().flatten().collect();
    println!(
        "{count} recordings, seed {SEED}: {} played, the others refused; the loudest sample {:.4} dB \
         re its cap",
        nearest.len(),
        nearest.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    );
    let played = nearest.len() as u64;
    assert!(played > count / 5 && played < count);
}

/// A clinic's recording of anything, at any level: how near its loudest sample came to the cap, if it
/// was played.
fn recording(n: u64) -> Option<f64> {
    let mut draws = Draws::new(SEED + 1, Stream::Noise, n);
    let earphone = profile(&mut draws)?;
    let rates = [8_000, 16_000, 44_100, 48_000];
    let (from_hz, to_hz) = (rates[draws.below(4)], rates[draws.below(4)]);
    let file = wav_of_anything(&mut draws, from_hz);
    let recording = Recording::decode(&file, to_hz).ok()?;
    let ears = [&Ear::BOTH[..], &Ear::BOTH[..1], &Ear::BOTH[1..]][draws.below(3)];
    let most = loudest_instructions(&earphone, ears)?.db();
    let level_db = if draws.chance(0.3) {
        most + [0.0, -1e-6, 1e-6][draws.below(3)]
    } else {
        number(&mut draws, most - 60.0, most + 5.0)
    };
    let level = Level::new(earphone.scale(), level_db);
    let what = PlayedWhat::Instructions;
    let ready = ready(&recording, "anything", &earphone, ears, level, what).ok()?;
    let bits = [16, 24, 32][draws.below(3)];
    let mut device = ManualSound::with_bits(to_hz, 1 + draws.below(1500), bits);
    let frames = ready.sounding.slot.frames();
    ready.sounding.play(&mut device, 1).unwrap();
    device.advance(frames + 2_000);
    assert_eq!(
        device.handle().cut_off(),
        0,
        "recording {n} was cut at its ceiling"
    );
    let mut nearest_db = f64::NEG_INFINITY;
    for ear in Ear::BOTH {
        let own = device.captured().iter().skip(channel(ear)).step_by(2);
        let loudest = own.fold(0.0, |most, x| f64::max(most, f64::from(x.abs())));
        let peak = if ears.contains(&ear) {
            highest_cap(&earphone, ear)
        } else {
            0.0
        };
        assert!(
            loudest <= (peak * (1.0 + 2e-6)).max(step_of(bits)),
            "recording {n}, {ear} ear: {loudest} over {peak}"
        );
        if peak > 0.0 {
            nearest_db = nearest_db.max(20.0 * (loudest / peak).log10());
        }
    }
    Some(nearest_db)
}

/// Noise, a sine, clicks, or a square wave, as loud as a file can be, or softer.
fn wav_of_anything(draws: &mut Draws, rate_hz: u32) -> Vec<u8> {
    let spec = hound::WavSpec {
        channels: 1 + draws.below(2) as u16,
        sample_rate: rate_hz,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut file = hound::WavWriter::new(&mut bytes, spec).unwrap();
    let (kind, hz) = (draws.below(4), draws.between(30.0, 3_000.0));
    // Floats may lie beyond full scale.
    let loudness = 10_f64.powf(draws.between(-60.0, 10.0) / 20.0);
    for n in 0..(draws.between(0.13, 0.4) * f64::from(rate_hz)) as u32 {
        let sine = (2.0 * PI * hz * f64::from(n) / f64::from(rate_hz)).sin();
        for _ in 0..spec.channels {
            let sample = match kind {
                0 => draws.normal(),
                1 => sine,
                2 => f64::from(u8::from(draws.chance(0.001))),
                _ => sine.signum(),
            };
            file.write_sample((loudness * sample) as f32).unwrap();
        }
    }
    file.finalize().unwrap();
    bytes.into_inner()
}
