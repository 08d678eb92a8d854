//! Before the first sound of a visit: the examiner listens first where nobody knows how loud the
//! earphone is, instructions are played under the caps, and an output that is in use is no output.

use crate::{folder, in_project, manual, play, played, window};
use eframe::egui::Key;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use std::time::{Duration, Instant};
use veridical::calibration::EarphoneProfile;
use veridical::desk::Desk;
use veridical::desk::ear_check::EarCheck;
use veridical::desk::prepare::{Device, Form};
use veridical::errand::JOURNAL_FILE;
use veridical::quantity::DbFs;
use veridical::station::SoundStation;

/// A desk for a living person on an earphone that nobody measured.
fn unmeasured(name: &str, open: veridical::desk::OpenSound) -> Desk {
    let folder = folder(name);
    std::fs::create_dir_all(&folder).unwrap();
    let profile = folder.join("earphone.toml");
    std::fs::write(&profile, EarphoneProfile::uncalibrated().to_toml()).unwrap();
    let device = Device {
        id: "manual".into(),
        name: "in the test's hand".into(),
        rates_hz: vec![48_000],
    };
    let mut form = Form::new(&folder.join("visit"), 5, Vec::new(), vec![device]);
    form.code = "A1".into();
    form.plan.path = in_project("tests/window/plan.toml");
    form.sight = false;
    form.device = Some(0);
    form.earphone.path = profile.display().to_string();
    form.cautions = true;
    let mut desk = Desk::new(form, false, open);
    desk.advance(Instant::now());
    desk.form_mut().around.looked_after = true;
    desk
}

fn loudest(from: usize) -> f64 {
    let most = played()[from..]
        .iter()
        .fold(0.0_f32, |most, x| most.max(x.abs()));
    DbFs::of_amplitude(f64::from(most).max(1e-12)).0
}

/// Plays what waits, to its end.
fn sound_out(desk: &mut Desk) {
    for _ in 0..60 {
        desk.advance(Instant::now());
        play(1024);
    }
    desk.advance(Instant::now());
}

fn needs_listening(desk: &Desk) -> bool {
    desk.missing()
        .iter()
        .any(|what| what.starts_with("First sound"))
}

fn passed() -> EarCheck {
    let mut check = EarCheck::new(3);
    while let Some(side) = check.side() {
        check.answer(side);
    }
    check
}

fn journal(desk: &Desk) -> String {
    let folder = desk.session().unwrap().folder();
    std::fs::read_to_string(folder.join(JOURNAL_FILE)).unwrap()
}

#[test]
fn nobody_hears_anything_before_the_examiner_has_listened() {
    let mut harness = window(unmeasured("first-sound", manual));
    harness.step();
    assert!(needs_listening(harness.state()));
    harness.get_by_label("Check the ears").click();
    harness.step();
    sound_out(harness.state_mut());
    // The dither of 16 bits is all: one step, at -90 dB re full scale.
    assert!(loudest(0) < -89.0, "{}", loudest(0));
    assert!(harness.state_mut().form_mut().ear_check.is_none());
    // R is louder, F is heard: two ears, ten steps each, from -110 dB re full scale up.
    let desk = harness.state_mut();
    for ear in 0..2 {
        for step in 0..10 {
            let from = played().len();
            desk.key(Key::R, Instant::now());
            sound_out(desk);
            let expected = -110.0 + 5.0 * f64::from(step);
            // Dither and rounding are up to three steps of 16 bits, which is -81 dB.
            let off = loudest(from) - expected;
            assert!(off > -1.0, "{ear} {step}: {off}");
            assert!(off < 2.5 || loudest(from) < -74.0, "{ear} {step}: {off}");
        }
        assert!(needs_listening(desk));
        desk.key(Key::F, Instant::now());
    }
    assert!(!needs_listening(desk), "{:?}", desk.missing());
    desk.form_mut().ear_check = Some(passed());
    desk.begin();
    let journal = journal(desk);
    let listened = journal
        .lines()
        .find(|line| line.contains("\"kind\":\"listened\""))
        .unwrap();
    assert_eq!(
        listened.matches("\"from_db\":-110.0").count(),
        2,
        "{listened}"
    );
    assert_eq!(
        listened.matches("\"level_db_fs\":-65.0").count(),
        2,
        "{listened}"
    );
    assert!(journal.contains("\"what\":\"which_ear\""));
}

/// A second of a soft sine.
fn recording(path: &Path) {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 44_100,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut file = hound::WavWriter::create(path, spec).unwrap();
    for n in 0..44_100 {
        let sample = 3276.8 * (f64::from(n) * 500.0 * std::f64::consts::TAU / 44_100.0).sin();
        file.write_sample(sample as i16).unwrap();
    }
    file.finalize().unwrap();
}

#[test]
fn instructions_are_played_from_prepare_and_go_on_record() {
    let mut desk = crate::with_sound("instructions");
    let file = folder("instructions-file");
    std::fs::create_dir_all(&file).unwrap();
    let file = file.join("willkommen.wav");
    recording(&file);
    let form = desk.form_mut();
    form.simulated = false;
    form.code = "A2".into();
    form.sight = false;
    form.instructions = file.display().to_string();
    let mut harness = window(desk);
    // Tall enough for the whole form.
    harness.set_size(eframe::egui::vec2(1180.0, 1600.0));
    harness.step();
    harness.step();
    let from = played().len();
    harness.get_by_label("Play to both ears").click();
    let patience = Instant::now() + Duration::from_secs(20);
    while harness.state_mut().form_mut().played.is_empty() && Instant::now() < patience {
        harness.step();
        play(4096);
        std::thread::sleep(Duration::from_millis(5));
    }
    // 60 dB HL at 1000 Hz are 65.5 dB SPL; full scale is 113.7 dB SPL at the right earphone of the
    // example and 113.9 at the left one.
    assert!(
        (loudest(from) - (65.5 - 113.7)).abs() < 0.1,
        "{}",
        loudest(from)
    );
    let desk = harness.state_mut();
    assert!(desk.form_mut().played[0].whole);
    desk.form_mut().ear_check = Some(passed());
    desk.form_mut().around.looked_after = true;
    desk.begin();
    let journal = journal(desk);
    let line = journal
        .lines()
        .find(|line| line.contains("\"what\":\"instructions\""))
        .unwrap();
    assert!(
        line.contains("\"title\":\"willkommen.wav\"") && line.contains("\"whole\":true"),
        "{line}"
    );
}

fn in_use(_: &str, _: u32) -> Result<Box<dyn SoundStation>, String> {
    Err("sound: manual is in use by another program".into())
}

#[test]
fn an_output_that_is_in_use_is_told_in_one_line_and_nothing_begins() {
    let mut desk = unmeasured("in-use", in_use);
    desk.key(Key::R, Instant::now());
    assert!(needs_listening(&desk));
    let mut simulated = crate::with_sound_on("in-use-begin", in_use);
    simulated.begin();
    assert!(simulated.session().is_none());
    let mut harness = window(simulated);
    harness.step();
    harness.get_by_label_contains("in use by another program");
    let folder = harness.state_mut().form_mut().folder.clone();
    assert!(!Path::new(&folder).join(JOURNAL_FILE).exists());
}
