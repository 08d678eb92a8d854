//! Signals and frequencies that few need are there, and out of the way.

use crate::{Desk, Form, folder, in_project, no_sound, play, played, ready, window_of, with_sound};
use eframe::egui::Key;
use egui_kittest::kittest::Queryable;
use std::time::Instant;
use veridical::desk::bench::Place;
use veridical::desk::bench_sounds::OtherEar;
use veridical::desk::hear::Dial;
use veridical::desk::keys::Action;
use veridical::quantity::{Ear, Hz};
use veridical::stimulus::{Signal, Swing};

#[test]
fn pulsed_tones_and_nine_to_sixteen_kilohertz_are_chosen_before_a_visit() {
    let mut form = Form::new(&folder("signals"), 3, Vec::new(), Vec::new());
    form.simulated = true;
    form.case.path = in_project("demo/cases/average.toml");
    form.plan.path = "quick".into();
    let mut harness = window_of(Desk::new(form, false, no_sound), 1500.0);
    harness.run_steps(2);
    assert!(harness.query_by_label("pulsed").is_none(), "out of the way");
    harness.get_by_label("More").click();
    harness.run_steps(4);
    harness.get_by_label("pulsed").click();
    harness.get_by_label("also 9 to 16 kHz").click();
    harness.run_steps(2);
    let plan = harness.state_mut().form_mut().wanted().unwrap();
    let hearing = plan.hearing.unwrap();
    assert_eq!(hearing.signal, Signal::Pulsed);
    // The quick plan's three, and those of ISO 389-5 above 8 kHz.
    assert_eq!(hearing.hz.len(), 3 + 6);
    assert!(hearing.hz.ends_with(&[Hz(14_000.0), Hz(16_000.0)]));
}

/// The simulated set-up has references to 16 kHz (ISO 389-5).
#[test]
fn the_dial_goes_beyond_eight_kilohertz_only_when_asked() {
    let mut desk = ready("dial-beyond", 0);
    desk.begin();
    let now = Instant::now();
    desk.advance(now);
    desk.act(Action::Automatic, now);
    let record = desk.session().unwrap().record().clone();
    let mut dial = Dial::of(&record);
    let highest = |dial: &mut Dial| {
        for _ in 0..20 {
            dial.turn(Action::Higher, &record);
        }
        dial.hz
    };
    assert_eq!(highest(&mut dial), Hz(8000.0));
    dial.reach(true);
    assert_eq!(highest(&mut dial), Hz(16_000.0));
    dial.reach(false);
    assert_eq!(dial.hz, Hz(8000.0));
    let mut harness = window_of(desk, 1500.0);
    harness.key_press(Key::F3);
    harness.run_steps(2);
    assert!(
        harness.query_by_label("9 to 16 kHz").is_none(),
        "out of the way"
    );
    harness.get_by_label("More").click();
    harness.run_steps(4);
    assert!(harness.query_by_label("9 to 16 kHz").is_some());
}

/// What was played at an ear, from a frame on.
fn at(ear: Ear, from: usize) -> Vec<f64> {
    let channel = usize::from(ear == Ear::Right);
    let samples = played()[2 * from..].to_vec();
    let own = samples.iter().skip(channel).step_by(2);
    own.map(|x| f64::from(*x)).collect()
}

fn rms(samples: &[f64]) -> f64 {
    (samples.iter().map(|x| x * x).sum::<f64>() / samples.len() as f64).sqrt()
}

/// By the example a tone of 60 dB HL at 1 kHz is 65.5 dB SPL of 113.7 at full scale (right) and 113.9
/// (left), a sine's RMS 3.01 dB under its amplitude; noise "of the level of a tone of the same power" has
/// the same RMS. 16 bits of dither are far below.
#[test]
fn every_signal_is_listened_to_on_the_bench_and_none_is_loud() {
    let mut desk = with_sound("listen");
    desk.form_mut().simulated = false;
    desk.bench_mut().place = Place::Listen;
    let mut harness = window_of(desk, 1500.0);
    harness.key_press(Key::F9);
    harness.run_steps(3);
    let mut listen = |kind: Signal, other: OtherEar| {
        let sounds = &mut harness.state_mut().bench_mut().sounds;
        (sounds.kind, sounds.other) = (kind, other);
        (sounds.level_db, sounds.other_db) = (60.0, 40.0);
        harness.run_steps(2);
        let from = played().len() / 2;
        harness.get_by_label("Play it").click();
        harness.run_steps(2);
        play(5 * 48_000);
        harness.run_steps(3);
        assert_eq!(harness.state_mut().bench_mut().said, None);
        assert!(!harness.state_mut().bench_mut().playing);
        // The middle second.
        [Ear::Right, Ear::Left].map(|ear| {
            let all = at(ear, from);
            rms(&all[2 * 48_000..3 * 48_000])
        })
    };
    let db = |rms: f64| 20.0 * rms.log10() + 3.01;
    let of_right = |rms: [f64; 2]| db(rms[0]) - (60.0 + 5.5 - 113.7);
    for (kind, within) in [
        (Signal::Steady, 0.05),
        (Signal::Warble, 0.05),
        (Signal::WhiteNoise, 0.3),
        (Signal::SpeechNoise, 0.5),
    ] {
        let found = listen(kind, OtherEar::Silence);
        assert!(
            of_right(found).abs() < within,
            "{kind:?}: {}",
            of_right(found)
        );
        assert!(db(found[1]) < -85.0, "the other ear has dither alone");
    }
    let both = listen(Signal::Steady, OtherEar::Noise(Signal::SpeechNoise));
    let left = db(both[1]) - (40.0 + 5.5 - 113.9);
    assert!(of_right(both).abs() < 0.05 && left.abs() < 0.5, "{left}");
    // 85 dB HL is the most that the buttons give; the warble swings as it is typed, within limits.
    let sounds = &mut harness.state_mut().bench_mut().sounds;
    sounds.level_db = 100.0;
    harness.run_steps(2);
    let sounds = &mut harness.state_mut().bench_mut().sounds;
    assert!((sounds.level_db - 85.0).abs() < 1e-9, "{}", sounds.level_db);
    sounds.kind = Signal::Warble;
    sounds.swing[1] = "7.5".into();
    let swing = sounds.wish().unwrap().kind.swing();
    assert_eq!(
        swing,
        Some(Swing {
            rate_hz: 5.0,
            deviation_percent: 7.5
        })
    );
    sounds.swing[1] = "50".into();
    harness.run_steps(1);
    harness.get_by_label("Play it").click();
    harness.run_steps(2);
    let said = harness.state_mut().bench_mut().said.clone().unwrap();
    assert!(said.1 && said.0.contains("2.5 to 12.5 %"), "{said:?}");
}
