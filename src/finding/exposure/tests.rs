//! Against the allowances that the published limits give by hand.

use super::*;
use crate::quantity::{DbHl, Level};

fn tones(count: usize, db_a: f64) -> EarExposure {
    let one = || Sounded {
        ear: Ear::Right,
        db_a,
        seconds: 1.5,
    };
    let all: Vec<Sounded> = (0..count).map(|_| one()).collect();
    assert_eq!(at_ear(&all, Ear::Left, 60.0), EarExposure::default());
    at_ear(&all, Ear::Right, 60.0)
}

/// So many tones of 1.5 s use a whole day's dose: 8 h at 85 dBA, half the time for each 3 dB more
/// (NIOSH 98-126): 28 800 s / 2^((L - 85) / 3) / 1.5 s.
#[test]
fn a_whole_day_by_niosh() {
    for (count, db_a) in [(6048, 90.0), (600, 100.0), (189, 105.0), (60, 110.0)] {
        let share = tones(count, db_a).niosh_day;
        // To half a tone.
        let half = 0.51 / count as f64;
        assert!((share - 1.0).abs() < half, "{count} at {db_a}: {share}");
    }
    // Twenty tones use 3 % of it at 100 dB and 33 % at 110 dB.
    assert!((tones(20, 100.0).niosh_day - 0.033).abs() < 0.001);
    assert!((tones(20, 110.0).niosh_day - 0.33).abs() < 0.01);
}

/// The week's allowance: 40 h at 80 dBA, ten times less for each 10 dB more (WHO-ITU H.870).
#[test]
fn a_whole_week_by_who_and_itu() {
    for (count, db_a) in [(9600, 90.0), (960, 100.0), (304, 105.0), (96, 110.0)] {
        let share = tones(count, db_a).h870_week;
        assert!((share - 1.0).abs() < 0.005, "{count} at {db_a}: {share}");
    }
}

/// One minute at 80 dBA is 80 dBA over that minute, and 80 - 10 lg 480 = 53.2 dBA over eight hours.
#[test]
fn a_steady_level_of_the_same_energy() {
    let one = tones(40, 80.0);
    assert!((one.sound_s - 60.0).abs() < 1e-9);
    assert!((one.equivalent_db_a.unwrap() - 80.0).abs() < 1e-9);
    assert!((one.over_8_h_db_a.unwrap() - 53.188).abs() < 0.001);
}

fn part(signal: Signal, hz: f64, db_hl: f64) -> SoundPart {
    SoundPart {
        ear: Ear::Right,
        signal,
        hz: Hz(hz),
        level: Level::Hl(DbHl(db_hl)),
        start_s: 0.5,
        end_s: 2.0,
        interval: None,
    }
}

/// ISO 389-8: 0 dB HL are 5.5 dB SPL at 1000 Hz and 30.5 at 125 Hz, where the A-weighting takes off
/// 16.1 dB; noise of 0 dB effective masking level has 6 dB more at 1000 Hz (ISO 389-4).
#[test]
fn levels_are_those_of_the_profile() {
    let text = include_str!("../../../calibration/example-circumaural.toml");
    let earphone = EarphoneProfile::from_toml(text, "example").unwrap();
    for (signal, hz, expected) in [
        (Signal::Steady, 1000.0, 75.5),
        (Signal::Steady, 125.0, 100.5 - 16.2),
        (Signal::NarrowBandNoise, 1000.0, 81.5),
        (Signal::WhiteNoise, 1000.0, 75.5 + 1.3),
    ] {
        let sounded = of_part(&earphone, &part(signal, hz, 70.0)).unwrap();
        assert!(
            (sounded.db_a - expected).abs() < 0.05,
            "{hz}: {}",
            sounded.db_a
        );
        // Two ramps of 50 ms count for three eighths of their length.
        assert!((sounded.seconds - (1.5 - 0.0625)).abs() < 1e-9);
    }
    assert!(earphone.record().full_scale.len() > 8);
}
