//! Files made here, byte by byte or by hound, and measured by a sine fit.

use super::*;
use crate::quantity::Draws;
use crate::quantity::Stream;
use crate::stimulus::analysis::{fit, ppm_off};
use std::f64::consts::TAU;

/// A file of one sine in each channel, -20 dB re full scale.
fn wav(rate_hz: u32, bits: u16, hz: &[f64], seconds: f64) -> Vec<u8> {
    let spec = hound::WavSpec {
        channels: hz.len() as u16,
        sample_rate: rate_hz,
        bits_per_sample: bits,
        sample_format: hound::SampleFormat::Int,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut file = hound::WavWriter::new(&mut bytes, spec).unwrap();
    let top = f64::from(1_u32 << (bits - 1));
    for n in 0..(seconds * f64::from(rate_hz)) as u32 {
        for hz in hz {
            let sample = 0.1 * (TAU * hz * f64::from(n) / f64::from(rate_hz)).sin();
            file.write_sample((sample * top).round() as i32).unwrap();
        }
    }
    file.finalize().unwrap();
    bytes.into_inner()
}

/// Level and frequency survive the conversion at any pair of rates: 0.001 dB and 1 ppm, and each
/// channel stays at its ear. 24 bits leave the level exact to 1e-5 dB.
#[test]
fn a_sine_keeps_level_frequency_and_side_at_another_rate() {
    for (from_hz, to_hz) in [
        (44_100, 48_000),
        (48_000, 44_100),
        (22_050, 48_000),
        (48_000, 48_000),
        (16_000, 192_000),
    ] {
        let bytes = wav(from_hz, 24, &[1000.0, 4000.0], 2.0);
        let recording = Recording::decode(&bytes, to_hz).unwrap();
        assert_eq!((recording.file_rate_hz, recording.channels), (from_hz, 2));
        assert!((recording.seconds() - 2.0).abs() < 1e-4);
        for (ear, hz) in [(Ear::Left, 1000.0), (Ear::Right, 4000.0)] {
            let rate = f64::from(to_hz);
            let all: Vec<f64> = recording.channel(ear).collect();
            let middle = &all[(0.25 * rate) as usize..(1.75 * rate) as usize];
            let level = fit(middle, hz, rate).db_fs;
            assert!(
                (level + 20.0).abs() < 0.001,
                "{from_hz} to {to_hz}, {hz} Hz: {level}"
            );
            assert!(ppm_off(middle, hz, rate).abs() < 1.0);
            assert!(
                (recording.level(ear).0 + 20.0).abs() < 0.02,
                "{:?}",
                recording.level(ear)
            );
        }
    }
}

#[test]
fn one_channel_goes_to_both_ears() {
    let recording = Recording::decode(&wav(44_100, 16, &[500.0], 0.5), 44_100).unwrap();
    let both: [Vec<f64>; 2] = [Ear::Left, Ear::Right].map(|ear| recording.channel(ear).collect());
    assert_eq!(both[0], both[1]);
    assert!(both[0].iter().any(|sample| *sample > 0.09));
}

/// The level is that of the loudest eighth of a second, whatever is silent around it: here a tone
/// of 0.2 s in 2 s.
#[test]
fn silence_does_not_lower_the_level() {
    let loud = wav(48_000, 24, &[1000.0], 0.2);
    let mut reader = hound::WavReader::new(&loud[..]).unwrap();
    let tone: Vec<i32> = reader.samples().map(Result::unwrap).collect();
    let mut bytes = Cursor::new(Vec::new());
    let mut file = hound::WavWriter::new(&mut bytes, reader.spec()).unwrap();
    let silence = || std::iter::repeat_n(0, 43_200);
    for sample in silence().chain(tone).chain(silence()) {
        file.write_sample(sample).unwrap();
    }
    file.finalize().unwrap();
    let recording = Recording::decode(&bytes.into_inner(), 48_000).unwrap();
    assert!((recording.level(Ear::Left).0 + 20.0).abs() < 0.01);
    assert!((recording.peak(Ear::Left).0 + 20.0).abs() < 0.01);
}

#[test]
fn what_is_played_swells_and_fades_and_keeps_to_its_ears() {
    let recording = Recording::decode(&wav(48_000, 24, &[1000.0], 1.0), 48_000).unwrap();
    let played = recording.rendered(|ear| (ear == Ear::Right).then_some(0.5));
    assert!(played.channel(Ear::Left).all(|sample| sample == 0.0));
    let own: Vec<f32> = played.channel(Ear::Right).collect();
    assert_eq!(own.len(), 48_000 + 2 * 4800);
    assert!(
        own[..4801]
            .iter()
            .chain(&own[52_799..])
            .all(|sample| sample.abs() < 1e-6)
    );
    let loudest = |from: usize, to: usize| {
        own[from..to]
            .iter()
            .fold(0.0_f32, |most, x| most.max(x.abs()))
    };
    assert!((loudest(7200, 50_400) - 0.05).abs() < 1e-4);
    // A twentieth of a second ramps: after a fifth of it less than a tenth of the amplitude.
    assert!(loudest(4800, 4800 + 480) < 0.005 && loudest(52_800 - 480, 52_800) < 0.005);
    assert_eq!(played.spans.len(), 1);
}

#[test]
fn bad_files_are_told_in_one_line_that_says_what_was_expected() {
    let good = wav(44_100, 16, &[440.0], 1.0);
    let says = |bytes: &[u8]| Recording::decode(bytes, 48_000).unwrap_err().to_string();
    let cases = [
        (Vec::new(), "found neither"),
        (b"MZ and so on".to_vec(), "found neither"),
        (good[..30].to_vec(), "its head cannot be read"),
        (good[..good.len() / 2].to_vec(), "cut off or broken"),
        (b"fLaC".to_vec(), "expected a WAV or FLAC file"),
        (
            wav(44_100, 16, &[440.0; 3], 1.0),
            "one or two channels, found 3",
        ),
        (wav(4_000, 16, &[440.0], 1.0), "frames a second, found 4000"),
        (wav(44_100, 16, &[440.0], 0.05), "found 0.05 s"),
        (wav(8_000, 8, &[0.0], 301.0), "at most 300 s"),
        (wav(44_100, 16, &[0.0], 1.0), "nothing above -80 dB"),
    ];
    for (bytes, expected) in cases {
        let said = says(&bytes);
        assert!(
            said.contains(expected),
            "{said:?} does not say {expected:?}"
        );
        assert!(
            !said.contains('\n') && said.starts_with("expected"),
            "{said}"
        );
    }
}

/// 2000 files with bytes changed, cut off or doubled: each is decoded or refused, and what is
/// decoded holds numbers. Heads get most of the changes.
#[test]
fn no_file_brings_the_decoder_down() {
    let good = [
        wav(8_000, 16, &[440.0], 0.3),
        wav(8_000, 24, &[440.0, 600.0], 0.3),
        flac(),
    ];
    let mut taken = 0;
    for n in 0..2000 {
        let mut draws = Draws::new(20_261_125, Stream::Noise, n);
        let mut bytes = good[draws.below(3)].clone();
        for _ in 0..=draws.below(4) {
            let reach = if draws.chance(0.7) {
                64.min(bytes.len())
            } else {
                bytes.len()
            };
            let at = draws.below(reach.max(1));
            match draws.below(4) {
                0 => bytes.truncate(at.max(1)),
                1 => bytes.insert(at.min(bytes.len()), draws.below(256) as u8),
                _ => {
                    if let Some(byte) = bytes.get_mut(at) {
                        *byte = draws.below(256) as u8;
                    }
                }
            }
        }
        if let Ok(recording) = Recording::decode(&bytes, 16_000) {
            taken += 1;
            assert!(recording.samples.iter().all(|sample| sample.is_finite()));
        }
    }
    assert!((1..2000).contains(&taken), "{taken}");
}

#[test]
fn flac_is_decoded_as_its_standard_says() {
    let recording = Recording::decode(&flac(), 8_000).unwrap();
    let all: Vec<f64> = recording.channel(Ear::Left).collect();
    assert_eq!(all.len(), 2000);
    assert!((fit(&all, 440.0, 8_000.0).db_fs + 20.0).abs() < 0.01);
}

/// A quarter second of 440 Hz at 8 kHz, one channel of 16 bits, -20 dB re full scale, in four frames
/// of verbatim subframes (RFC 9639, sections 8.2, 9.1 and 9.2; its checksums by sections 9.1.8 and
/// 9.3).
fn flac() -> Vec<u8> {
    let crc = |bytes: &[u8], bits: u32, polynomial: u32| {
        let mut crc = 0_u32;
        for byte in bytes {
            crc ^= u32::from(*byte) << (bits - 8);
            for _ in 0..8 {
                let carry = crc >> (bits - 1) & 1 == 1;
                crc = (crc << 1) & ((1 << bits) - 1);
                crc ^= if carry { polynomial } else { 0 };
            }
        }
        crc
    };
    let mut bytes = b"fLaC\x80\0\0\x22".to_vec();
    let (block, frames) = (500_u16, 4_u8);
    bytes.extend([block.to_be_bytes(), block.to_be_bytes()].concat());
    bytes.extend([0; 6]);
    // 20 bits of rate, 3 of channels less one, 5 of bits less one, 36 of samples.
    let fields = (8_000_u64 << 44) | (15 << 36) | (u64::from(block) * u64::from(frames));
    bytes.extend(fields.to_be_bytes());
    bytes.extend([0; 16]);
    for frame in 0..frames {
        let mut one = vec![0xff, 0xf8, 0x70, 0x08, frame];
        one.extend((block - 1).to_be_bytes());
        one.push(crc(&one, 8, 0x07) as u8);
        one.push(0x02);
        for n in 0..block {
            let n = f64::from(u16::from(frame) * block + n);
            let sample = (3276.8 * (TAU * 440.0 * n / 8_000.0).sin()).round() as i16;
            one.extend(sample.to_be_bytes());
        }
        let sum = crc(&one, 16, 0x8005) as u16;
        one.extend(sum.to_be_bytes());
        bytes.extend(one);
    }
    bytes
}
