//! Under the same caps as everything else, and words only with a level of their own.

use super::*;
use crate::calibration::{EarphoneRecord, WordsLevel};
use crate::quantity::{DbHl, DbSpl};
use crate::station::manual::ManualSound;
use std::f64::consts::TAU;
use std::io::Cursor;

/// A second of a sine of 1 kHz, -20 dB re full scale, with a click of full scale in its middle if
/// `peaky`.
fn file(peaky: bool) -> Vec<u8> {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 48_000,
        bits_per_sample: 24,
        sample_format: hound::SampleFormat::Int,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut out = hound::WavWriter::new(&mut bytes, spec).unwrap();
    for n in 0..48_000 {
        let sample = 0.1 * (TAU * f64::from(n % 48) / 48.0).sin();
        let sample = if peaky && n == 24_000 { 0.9999 } else { sample };
        out.write_sample((sample * 8_388_608.0) as i32).unwrap();
    }
    out.finalize().unwrap();
    bytes.into_inner()
}

fn decoded(peaky: bool) -> Recording {
    Recording::decode(&file(peaky), 48_000).unwrap()
}

fn measured() -> EarphoneRecord {
    let text = include_str!("../../../calibration/example-circumaural.toml");
    EarphoneProfile::from_toml(text, "example").unwrap().into()
}

fn profile(record: EarphoneRecord) -> EarphoneProfile {
    EarphoneProfile::try_from(record).unwrap()
}

fn make(level: Level, what: PlayedWhat, earphone: &EarphoneProfile) -> Result<Ready, String> {
    ready(&decoded(false), "a sine", earphone, &Ear::BOTH, level, what)
}

/// The sine of the file is played at the level asked for: by the example 113.7 dB SPL at full scale,
/// right, and ISO 389-8's 5.5 dB SPL at 0 dB HL.
#[test]
fn instructions_have_the_level_of_a_tone_of_their_power() {
    let earphone = profile(measured());
    let hl = |db| Level::Hl(DbHl(db));
    let ready = make(hl(60.0), PlayedWhat::Instructions, &earphone).unwrap();
    let peak_db = 20.0 * f64::from(ready.sounding.slot.peak_at(Ear::Right)).log10();
    assert!((peak_db - (60.0 + 5.5 - 113.7)).abs() < 0.02, "{peak_db}");
    let level = ready.played.sounds[0].level.db();
    assert!((level - 60.0).abs() < 1e-9 && ready.played.digest.is_some());
    // Never loud: above 85 dB HL nothing.
    let refused = make(hl(86.0), PlayedWhat::Instructions, &earphone).unwrap_err();
    assert!(refused.contains("above the cap of 85.0 dB HL"), "{refused}");
    let re_full_scale = make(
        Level::new(Scale::DbFs, -40.0),
        PlayedWhat::Instructions,
        &earphone,
    );
    assert!(re_full_scale.unwrap_err().contains("dB HL"));
    // Without any reference: 12 dB under the cap of 20 dB under full scale, and never loud.
    let unknown = EarphoneProfile::uncalibrated();
    assert!(
        make(
            Level::new(Scale::DbFs, -36.0),
            PlayedWhat::Instructions,
            &unknown
        )
        .is_ok()
    );
    assert!(
        make(
            Level::new(Scale::DbFs, -34.0),
            PlayedWhat::Instructions,
            &unknown
        )
        .is_err()
    );
}

/// One sample that stands 20 dB over the rest would pass the ceiling at a level that the power alone
/// allows. Whatever is played stays under it, on the samples themselves.
#[test]
fn single_peaks_keep_the_ceiling() {
    let earphone = profile(measured());
    let level = |db| Level::Hl(DbHl(db));
    let try_at = |db| {
        ready(
            &decoded(true),
            "a click",
            &earphone,
            &Ear::BOTH,
            level(db),
            PlayedWhat::Instructions,
        )
    };
    let refused = (0..=85)
        .rev()
        .map(|db| try_at(f64::from(db)))
        .find_map(Result::err);
    assert!(refused.is_none_or(|why| why.contains("single peaks") || why.contains("cap")));
    let highest = (0..=85)
        .rev()
        .find_map(|db| try_at(f64::from(db)).ok())
        .unwrap();
    let mut device = ManualSound::new(48_000, 512);
    let ceiling = highest.sounding.ceiling;
    highest.sounding.play(&mut device, 1).unwrap();
    device.advance(60_000);
    assert_eq!(device.handle().cut_off(), 0);
    for (channel, ceiling) in ceiling.into_iter().enumerate() {
        let loudest = device
            .captured()
            .iter()
            .skip(channel)
            .step_by(2)
            .fold(0.0_f32, |most, x| most.max(x.abs()));
        assert!(loudest <= ceiling && loudest > 0.0);
    }
}

/// The coupler reads 80 dB SPL of the file as it is, and 20 dB SPL are 0 dB HL of speech: as it is
/// the file has 60 dB HL. At 50 dB HL it is played 10 dB softer.
#[test]
fn words_need_a_level_of_their_own() {
    let refused = make(
        Level::Hl(DbHl(50.0)),
        PlayedWhat::Words,
        &profile(measured()),
    )
    .unwrap_err();
    assert!(
        refused.contains("[[words]]") && refused.contains("instructions only"),
        "{refused}"
    );
    let entry = WordsLevel {
        title: "words of the harbour clinic (invented)".into(),
        digest: decoded(false).digest,
        zero_db_spl: DbSpl(20.0),
        right_db_spl: DbSpl(80.0),
        left_db_spl: DbSpl(82.0),
    };
    let record = EarphoneRecord {
        words: vec![entry.clone()],
        ..measured()
    };
    let earphone = profile(record.clone());
    assert_eq!(
        EarphoneProfile::from_toml(&earphone.to_toml(), "again").unwrap(),
        earphone
    );
    let ready = make(Level::Hl(DbHl(50.0)), PlayedWhat::Words, &earphone).unwrap();
    for (ear, expected) in [(Ear::Right, -30.0), (Ear::Left, -32.0)] {
        let peak_db = 20.0 * f64::from(ready.sounding.slot.peak_at(ear)).log10();
        assert!((peak_db - expected).abs() < 0.02, "{ear}: {peak_db}");
    }
    let spoilt = EarphoneRecord {
        words: vec![WordsLevel {
            digest: "not a digest".into(),
            ..entry
        }],
        ..record
    };
    let said = EarphoneProfile::try_from(spoilt).unwrap_err().to_string();
    assert!(
        said.starts_with("words[0].digest: expected the 64 hexadecimal digits"),
        "{said}"
    );
}

#[test]
fn a_file_that_is_none_is_named() {
    let wish = RecordingWish {
        path: "no/such.wav".into(),
        earphone: None,
        ears: Ear::BOTH.to_vec(),
        level_db: None,
        rate_hz: 48_000,
        words: false,
    };
    let said = recording(&wish).unwrap_err().to_string();
    assert!(said.starts_with("no/such.wav: "), "{said}");
}
