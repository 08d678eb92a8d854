//! What may sound, and what is refused. A million random presentations are in
//! `tests/core/never_too_loud.rs`.

use super::*;
use crate::quantity::{DbHl, Hz, Level, Scale};
use crate::stimulus::{Part, Task};

/// A tone from 0.1 to 1.1 s.
fn part(ear: Ear, signal: Signal, level: Level) -> SoundPart {
    SoundPart {
        ear,
        signal,
        hz: Hz(1000.0),
        level,
        start_s: 0.1,
        end_s: 1.1,
        interval: None,
    }
}

fn hl(db: f64) -> Level {
    Level::Hl(DbHl(db))
}

fn measured() -> EarphoneProfile {
    let text = include_str!("../../../calibration/example-circumaural.toml");
    EarphoneProfile::from_toml(text, "example").unwrap()
}

fn sound(earphone: &EarphoneProfile, parts: &[SoundPart]) -> Result<Sounding, Refusal> {
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(5.0),
        parts: parts.iter().copied().map(Part::Sound).collect(),
    };
    sounding(&presentation, earphone, 48_000, 7).map_err(|error| match error {
        SoundError::Level(refusal) => refusal,
        other => panic!("{other}"),
    })
}

/// The ceiling of the device is that of the part, at the ear that has one; the other ear is shut.
/// 110 dB SPL of 113.7 at full scale are 3.7 dB under it.
#[test]
fn the_ceiling_is_the_parts_own_cap() {
    let tone = part(Ear::Right, Signal::Steady, hl(40.0));
    let [left, right] = sound(&measured(), &[tone]).unwrap().ceiling;
    assert!(left.abs() < f32::EPSILON);
    assert!(
        (f64::from(right) - 10_f64.powf(-3.7 / 20.0)).abs() < 1e-5,
        "{right}"
    );
    let unknown = EarphoneProfile::uncalibrated();
    let tone = part(Ear::Left, Signal::Steady, Level::new(Scale::DbFs, -60.0));
    assert!((sound(&unknown, &[tone]).unwrap().ceiling[0] - 0.1).abs() < 1e-6);
}

#[test]
fn sounds_that_keep_their_caps_must_keep_it_together() {
    let earphone = measured();
    let most = earphone.max_level(Ear::Right, Hz(1000.0)).unwrap().db();
    let tone = |ear, db| part(ear, Signal::Steady, hl(db));
    let both = [tone(Ear::Right, most), tone(Ear::Left, most - 1.0)];
    assert!(sound(&earphone, &both).is_ok());
    // Twice the amplitude is 6.02 dB.
    let twice = |under: f64| {
        [
            tone(Ear::Right, most - under),
            tone(Ear::Right, most - under),
        ]
    };
    assert!(sound(&earphone, &twice(6.03)).is_ok());
    let refusal = Refusal::LoudTogether { ear: Ear::Right };
    assert_eq!(sound(&earphone, &twice(6.0)), Err(refusal));
    // One after the other they are not together.
    let after = SoundPart {
        start_s: 1.2,
        end_s: 2.2,
        ..tone(Ear::Right, most)
    };
    assert!(sound(&earphone, &[tone(Ear::Right, most), after]).is_ok());
}

#[test]
fn what_is_loud_is_short() {
    let earphone = measured();
    let lasting = |db, end_s| SoundPart {
        end_s,
        ..part(Ear::Left, Signal::Steady, hl(db))
    };
    assert!(sound(&earphone, &[lasting(85.0, 4.0)]).is_ok());
    assert!(sound(&earphone, &[lasting(90.0, 2.1)]).is_ok());
    assert!(matches!(
        sound(&earphone, &[lasting(85.1, 2.2)]),
        Err(Refusal::LoudTooLong { .. })
    ));
    assert!(is_loud(&earphone, &lasting(85.1, 1.0)) && !is_loud(&earphone, &lasting(85.0, 1.0)));
    // A masker lasts longer, so it never is.
    let masker = earphone.max_masker_level(Ear::Left, Hz(1000.0)).unwrap();
    assert!(masker.db() <= 85.0, "{masker:?}");
    // Re full scale 85 dB SPL are reckoned at 120 dB SPL.
    let unknown = EarphoneProfile::uncalibrated();
    let tone = |db| part(Ear::Left, Signal::Steady, Level::new(Scale::DbFs, db));
    assert!(is_loud(&unknown, &tone(-34.9)) && !is_loud(&unknown, &tone(-35.1)));
}

#[test]
fn wide_noise_is_held_under_the_softest_cap() {
    let earphone = measured();
    for signal in [Signal::WhiteNoise, Signal::SpeechNoise] {
        let noise = |db| part(Ear::Right, signal, hl(db));
        let most = earphone
            .max_wide_noise_level(Ear::Right, Hz(1000.0))
            .unwrap()
            .db();
        assert!(sound(&earphone, &[noise(most)]).unwrap().slot.peak() < 1.0);
        assert!(matches!(
            sound(&earphone, &[noise(most + 0.1)]),
            Err(Refusal::AboveCap { .. })
        ));
    }
}
