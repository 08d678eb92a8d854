//! The desk without a display: its pages drawn and driven in memory.
#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot be set up has failed"
)]

#[path = "window/access.rs"]
mod access;

#[path = "window/sight.rs"]
mod sight;

#[path = "window/hand_over.rs"]
mod hand_over;
#[path = "window/loud.rs"]
mod loud;
#[path = "window/settings.rs"]
mod settings;

#[path = "window/bench.rs"]
mod bench;

#[path = "window/by_hand.rs"]
mod by_hand;

#[path = "window/faults.rs"]
mod faults;

#[path = "window/first_run.rs"]
mod first_run;
#[path = "window/first_sound.rs"]
mod first_sound;
#[path = "window/practise.rs"]
mod practise;

#[path = "window/people.rs"]
mod people;
#[path = "window/signals.rs"]
mod signals;
#[path = "window/turns.rs"]
mod turns;

use eframe::egui::{self, Key};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::cell::RefCell;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::{Duration, Instant};
use veridical::desk::keys::Action;
use veridical::desk::prepare::{Device, Form};
use veridical::desk::session::{Sense, Session, Waiting};
use veridical::desk::{Desk, Page, set_up};
use veridical::errand;
use veridical::journal::Purpose;
use veridical::person::Case;
use veridical::quantity::{Ear, Hz};
use veridical::station::manual::ManualSound;
use veridical::station::{PlayError, SoundEvent, SoundStation, TooShallow};
use veridical::stimulus::sound::Rendered;

/// A folder of this test's own, empty.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

fn in_project(path: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join(path)
        .display()
        .to_string()
}

fn no_sound(_: &str, _: u32) -> Result<Box<dyn SoundStation>, String> {
    Err("no sound in this test".into())
}

/// A desk on which everything is ready for a simulated person without sound.
fn ready(name: &str, speed: usize) -> Desk {
    let mut form = Form::new(&folder(name), 11, Vec::new(), Vec::new());
    form.simulated = true;
    form.case.path = in_project("demo/cases/average.toml");
    form.plan.path = in_project("tests/window/plan.toml");
    form.speed = speed;
    form.cautions = true;
    let mut desk = Desk::new(form, false, no_sound);
    desk.advance(Instant::now());
    assert_eq!(desk.missing(), Vec::<String>::new());
    desk
}

fn window(desk: Desk) -> Harness<'static, Desk> {
    window_of(desk, 860.0)
}

/// A window of this height.
fn window_of(desk: Desk, height: f32) -> Harness<'static, Desk> {
    let draw = |ui: &mut egui::Ui, desk: &mut Desk| {
        desk.turn(ui.ctx());
        desk.draw(ui);
    };
    let builder = Harness::builder()
        .with_size([1180.0, height])
        .with_context_setup(set_up);
    builder.build_ui_state(draw, desk)
}

#[test]
fn prepare_says_what_is_missing_until_nothing_is() {
    let form = Form::new(&folder("missing"), 3, Vec::new(), Vec::new());
    let mut harness = window(Desk::new(form, false, no_sound));
    harness.step();
    let all = harness.state().missing();
    for start in [
        "Person", "Sound", "Earphone", "Ears", "Screen", "Distance", "Cautions",
    ] {
        assert!(
            all.iter().any(|what| what.starts_with(start)),
            "{start}: {all:?}"
        );
    }
    assert!(
        harness
            .get_by_label("Begin the visit")
            .accesskit_node()
            .is_disabled()
    );
    harness.get_by_label("a simulated person").click();
    harness.step();
    harness.step();
    let path = in_project("demo/cases/average.toml");
    harness.get_by_label("Case file").focus();
    harness.step();
    harness.get_by_label("Case file").type_text(&path);
    harness.step();
    harness.step();
    assert_eq!(harness.state().missing(), ["Cautions: read"]);
    harness.get_by_label("I have read this").click();
    harness.step();
    harness.step();
    assert!(harness.state().missing().is_empty());
    assert!(
        !harness
            .get_by_label("Begin the visit")
            .accesskit_node()
            .is_disabled()
    );
}

#[test]
fn a_distance_is_read_in_metres_centimetres_and_millimetres() {
    let mut form = Form::new(&folder("distance"), 3, Vec::new(), Vec::new());
    for (text, mm) in [
        ("4", Some(4000.0)),
        ("3.2 m", Some(3200.0)),
        ("3,2", Some(3200.0)),
        ("320 cm", Some(3200.0)),
        ("3200", Some(3200.0)),
        ("3200mm", Some(3200.0)),
        ("40 mm", None),
        ("far", None),
        ("", None),
        ("nan", None),
    ] {
        form.distance = text.into();
        assert_eq!(form.distance().map(|mm| mm.0), mm, "{text}");
    }
}

/// The figures are held against the case file, which neither presenter nor findings see.
#[test]
fn a_whole_visit_of_a_simulated_person_ends_in_weigh() {
    let mut harness = window(ready("whole", 2));
    harness.key_press(Key::Enter);
    harness.step();
    assert!(
        harness.state().session().is_some(),
        "Enter begins when nothing is missing"
    );
    let began = Instant::now();
    let mut pages = Vec::new();
    for turn in 0..600 {
        let now = began + Duration::from_millis(500 * turn);
        harness.state_mut().advance(now);
        let desk = harness.state_mut();
        if desk.session().and_then(Session::waiting).is_some() {
            pages.push((desk.page(), desk.session().and_then(Session::waiting)));
            harness.step();
            harness.state_mut().act(Action::Confirm, now);
        }
        if turn % 20 == 0 {
            harness.step();
        }
        if harness
            .state()
            .session()
            .is_some_and(|session| session.record().closed())
        {
            break;
        }
    }
    harness.step();
    let waited: Vec<_> = pages.iter().map(|(_, waiting)| waiting.unwrap()).collect();
    assert!(matches!(
        waited[..],
        [
            Waiting::ToHear,
            Waiting::ToSee(_),
            Waiting::ToSee(_),
            Waiting::ToClose
        ]
    ));
    assert_eq!(pages[0].0, Page::Hear);
    assert_eq!(pages[1].0, Page::See);
    assert_eq!(harness.state().page(), Page::Weigh);
    let session = harness.state().session().unwrap();
    let findings = session.written().expect("the findings were written");
    let case = Case::read(Path::new(&in_project("demo/cases/average.toml"))).unwrap();
    let truth = case.hearing.unwrap();
    for (ear, finding) in findings.hearing.all() {
        let threshold_db = finding.threshold_db().unwrap();
        let midpoint_db = truth.midpoint_db(ear, finding.hz);
        assert!(
            (threshold_db - midpoint_db).abs() <= 12.0,
            "{ear} {}",
            finding.hz
        );
    }
    assert_eq!(findings.hearing.all().count(), 8);
    assert_eq!(findings.counts.void, 0);
    let folder = session.folder();
    let checked = errand::check(&folder.join("journal.jsonl")).unwrap();
    assert!(checked.holds);
    let recounted = errand::recount(&folder.join("journal.jsonl")).unwrap();
    assert_eq!(&recounted.findings, findings);
    assert!(folder.join("findings.json").exists() && folder.join("trials.csv").exists());
}

#[test]
fn keys_do_what_they_say() {
    let mut desk = ready("keys", 0);
    desk.begin();
    let began = Instant::now();
    desk.advance(began);
    desk.act(Action::Confirm, began);
    desk.advance(began + Duration::from_secs(1));
    let session = |desk: &Desk| desk.session().unwrap().record().clone();
    assert!(desk.session().unwrap().presenting().is_some());
    assert_eq!(desk.session().unwrap().sense(), Sense::Hearing);
    let key = |desk: &mut Desk, key| desk.key(key, began + Duration::from_secs(1));
    // One presentation at a time, and by hand only once the hand has taken over.
    key(&mut desk, Key::T);
    assert!(desk.session().unwrap().message().is_some());
    key(&mut desk, Key::Escape);
    assert!(session(&desk).paused());
    assert_eq!(session(&desk).voids().len(), 1);
    key(&mut desk, Key::A);
    key(&mut desk, Key::P);
    assert!(!session(&desk).paused());
    assert!(!desk.session().unwrap().automatic());
    for one in [Key::E, Key::R, Key::R, Key::V, Key::G] {
        key(&mut desk, one);
    }
    key(&mut desk, Key::T);
    let record = session(&desk);
    let tone = record
        .open()
        .unwrap()
        .planned
        .presentation
        .sounds()
        .next()
        .copied()
        .unwrap();
    // From 1000 Hz, right, 40 dB HL: the other ear, 5 dB louder, the next audiometric frequency.
    assert_eq!(
        (tone.ear, tone.hz, tone.level.db()),
        (Ear::Left, Hz(1500.0), 45.0)
    );
    key(&mut desk, Key::F);
    desk.advance(began + Duration::from_secs(8));
    let record = session(&desk);
    assert_eq!(record.trials().len(), 1);
    assert_eq!(record.trials()[0].planned.n, 2);
    key(&mut desk, Key::Q);
    let record = session(&desk);
    assert_eq!(
        record.open().unwrap().planned.presentation.sounds().count(),
        0
    );
    desk.advance(began + Duration::from_secs(16));
    key(&mut desk, Key::Z);
    assert!(session(&desk).trials()[1].undone);
}

/// Noise at the other ear by the same hand: on, louder, softer, off; beside a tone and a silence.
#[test]
fn the_examiner_masks_by_the_same_hand() {
    let mut desk = ready("masking", 0);
    desk.begin();
    let began = Instant::now();
    desk.act(Action::Confirm, began);
    desk.advance(began + Duration::from_secs(1));
    desk.act(Action::Stop, began + Duration::from_secs(1));
    desk.act(Action::Automatic, began + Duration::from_secs(1));
    desk.act(Action::Pause, began + Duration::from_secs(1));
    let mut harness = window(desk);
    harness.run_steps(3);
    harness.get_by_label_contains("rules 2 and 3");
    harness.get_by_label("Noise X").click();
    harness.run_steps(3);
    // Nothing is known of the left ear: noise begins at 30 dB.
    harness.get_by_label_contains("Left ear: noise, 30 dB HL");
    harness.get_by_label_contains("Noise up").click();
    harness.run_steps(3);
    harness.get_by_label_contains("Noise up").click();
    harness.run_steps(3);
    harness.get_by_label_contains("Noise down").click();
    harness.run_steps(3);
    harness.get_by_label_contains("Left ear: noise, 35 dB HL");
    let desk = harness.state_mut();
    desk.act(Action::Tone, began + Duration::from_secs(2));
    let record = desk.session().unwrap().record().clone();
    let open = &record.open().unwrap().planned;
    assert_eq!(open.purpose, Purpose::Masked);
    let noise = open.presentation.maskers().next().unwrap();
    assert_eq!((noise.ear, noise.level.db()), (Ear::Left, 35.0));
    assert_eq!(open.presentation.tones().next().unwrap().ear, Ear::Right);
    desk.advance(began + Duration::from_secs(10));
    desk.act(Action::Silence, began + Duration::from_secs(10));
    let record = desk.session().unwrap().record().clone();
    let open = &record.open().unwrap().planned;
    assert_eq!(open.purpose, Purpose::Silent);
    assert_eq!(open.presentation.maskers().count(), 1);
    assert_eq!(open.presentation.tones().count(), 0);
}

/// What the person's window shows now.
fn shown(desk: &Desk, person: &mut Harness) -> String {
    let _ = desk.person().set(desk.view());
    person.step();
    format!("{:?}", person.output().shapes)
}

/// What the person's window shows at many moments of the slot that a key begins.
fn shown_during(desk: &mut Desk, person: &mut Harness, from: Instant, key: Key) -> Vec<String> {
    desk.key(key, from);
    assert!(desk.session().unwrap().presenting().is_some());
    let moments = (0..60).map(|tenth| from + Duration::from_millis(100 * tenth));
    moments
        .map(|now| {
            desk.advance(now);
            shown(desk, person)
        })
        .collect()
}

#[test]
fn nothing_in_the_persons_window_depends_on_a_tone() {
    let mut desk = ready("cues", 0);
    desk.begin();
    let began = Instant::now();
    desk.advance(began);
    desk.act(Action::Confirm, began);
    desk.advance(began);
    desk.key(Key::A, began);
    let window = desk.person().clone();
    let builder = Harness::builder()
        .with_size([900.0, 640.0])
        .with_context_setup(set_up);
    let mut person = builder.build_ui(move |ui| {
        window.ui(ui);
    });
    let mut from = began + Duration::from_secs(10);
    desk.advance(from);
    let before = shown(&desk, &mut person);
    let tone = shown_during(&mut desk, &mut person, from, Key::T);
    from += Duration::from_secs(20);
    let silent = shown_during(&mut desk, &mut person, from, Key::Q);
    let trials = desk.session().unwrap().record().trials();
    let parts: Vec<usize> = trials
        .iter()
        .map(|trial| trial.planned.presentation.parts.len())
        .collect();
    assert_eq!(
        parts[parts.len() - 2..],
        [1, 0],
        "a tone, then a silent slot"
    );
    let differing = tone
        .iter()
        .chain(&silent)
        .filter(|one| **one != before)
        .count();
    assert_eq!(differing, 0);
    // What does change is seen.
    desk.key(Key::P, from + Duration::from_secs(20));
    assert_ne!(shown(&desk, &mut person), before);
}

thread_local! {
    static DEVICE: Rc<RefCell<ManualSound>> = Rc::new(RefCell::new(ManualSound::new(48_000, 1024)));
}

/// The device of this thread, as a station.
struct Shared(Rc<RefCell<ManualSound>>);

impl SoundStation for Shared {
    fn frames_per_second(&self) -> u32 {
        self.0.borrow().frames_per_second()
    }
    fn play(&mut self, id: u32, slot: Rendered) -> Result<(), PlayError> {
        self.0.borrow_mut().play(id, slot)
    }
    fn stop(&mut self) {
        self.0.borrow_mut().stop();
    }
    fn set_ceiling(&mut self, ceiling: [f32; 2]) {
        self.0.borrow_mut().set_ceiling(ceiling);
    }
    fn set_depth(&mut self, bits: u32) -> Result<(), TooShallow> {
        self.0.borrow_mut().set_depth(bits)
    }
    fn poll(&mut self) -> Option<SoundEvent> {
        self.0.borrow_mut().poll()
    }
}

#[expect(clippy::unnecessary_wraps, reason = "the desk's own type")]
fn manual(_: &str, _: u32) -> Result<Box<dyn SoundStation>, String> {
    Ok(Box::new(Shared(DEVICE.with(Rc::clone))))
}

/// A desk whose simulated person hears by the manual device, through the example profile made
/// today.
fn with_sound(name: &str) -> Desk {
    with_sound_on(name, manual)
}

/// The same on another output.
fn with_sound_on(name: &str, open: veridical::desk::OpenSound) -> Desk {
    let folder = folder(name);
    std::fs::create_dir_all(&folder).unwrap();
    let text = std::fs::read_to_string(in_project("calibration/example-circumaural.toml")).unwrap();
    let today = jiff::ZonedDateTime::now().date();
    let next_year = today.checked_add(jiff::Span::new().months(11)).unwrap();
    let text = text
        .replace("2026-02-02", &today.to_string())
        .replace("2027-02-01", &next_year.to_string());
    let profile = folder.join("earphone.toml");
    std::fs::write(&profile, text).unwrap();
    let device = Device {
        id: "manual".into(),
        name: "Example sound output".into(),
        rates_hz: vec![48_000],
    };
    let mut form = Form::new(&folder.join("visit"), 5, Vec::new(), vec![device]);
    form.simulated = true;
    form.case.path = in_project("demo/cases/average.toml");
    form.plan.path = in_project("tests/window/plan.toml");
    form.device = Some(0);
    form.earphone.path = profile.display().to_string();
    form.cautions = true;
    let mut desk = Desk::new(form, false, open);
    desk.advance(Instant::now());
    assert_eq!(desk.missing(), Vec::<String>::new());
    desk
}

fn play(frames: usize) {
    DEVICE.with(|device| device.borrow_mut().advance(frames));
}

fn played() -> Vec<f32> {
    DEVICE.with(|device| device.borrow().captured().to_vec())
}

#[test]
fn the_stop_key_silences_a_tone_within_a_ramp() {
    let mut desk = with_sound("stop");
    desk.begin();
    desk.advance(Instant::now());
    desk.act(Action::Confirm, Instant::now());
    let mut sounding = false;
    for _ in 0..400 {
        desk.advance(Instant::now());
        play(1024);
        let last = played();
        sounding = last[last.len() - 2048..]
            .iter()
            .all(|sample| sample.is_finite())
            && last[last.len() - 2048..]
                .iter()
                .any(|sample| sample.abs() > 1e-4);
        if sounding {
            break;
        }
    }
    assert!(sounding, "the first tone is plain to hear");
    desk.key(Key::Escape, Instant::now());
    let at = played().len();
    play(48_000);
    desk.advance(Instant::now());
    let after = &played()[at..];
    // 50 ms at 48 000 frames a second, from the next buffer on.
    // Silence is dithered as all else is: by at most a step of 16 bits.
    let step = 1.0 / 32_768.0;
    assert!(after[2 * 2400..].iter().all(|sample| sample.abs() <= step));
    let session = desk.session().unwrap();
    assert!(session.record().paused());
    assert_eq!(session.record().trials().len(), 0);
    assert_eq!(session.record().voids().len(), 1);
    // It goes on where it stood.
    desk.key(Key::P, Instant::now());
    desk.advance(Instant::now());
    play(1024);
    desk.advance(Instant::now());
    assert_eq!(
        desk.session()
            .unwrap()
            .presenting()
            .map(|planned| planned.n),
        Some(2)
    );
}

#[test]
fn a_lost_device_pauses_with_one_line_and_what_to_do() {
    let mut desk = with_sound("lost");
    desk.begin();
    desk.advance(Instant::now());
    desk.act(Action::Confirm, Instant::now());
    desk.advance(Instant::now());
    play(1024);
    DEVICE.with(|device| device.borrow_mut().pull_out());
    desk.advance(Instant::now());
    let session = desk.session().unwrap();
    assert!(session.sound_lost() && session.record().paused());
    assert!(session.message().unwrap().contains("Open the sound again"));
    assert_eq!(session.record().trials().len(), 0);
    desk.key(Key::P, Instant::now());
    assert!(
        desk.session().unwrap().record().paused(),
        "nothing goes on without a device"
    );
}

/// Presses as the journal has them.
fn presses(desk: &Desk) -> usize {
    let journal = desk.session().unwrap().folder().join("journal.jsonl");
    let text = std::fs::read_to_string(journal).unwrap();
    text.matches("\"kind\":\"pressed\"").count()
}

#[test]
fn a_key_that_is_held_down_is_one_press_in_either_window() {
    let mut desk = ready("held", 0);
    desk.begin();
    desk.advance(Instant::now());
    desk.act(Action::Confirm, Instant::now());
    let mut harness = window(desk);
    harness.step();
    let before = presses(harness.state());
    // What a keyboard that repeats sends: presses without a release between them.
    for _ in 0..4 {
        harness.key_down(Key::J);
        harness.step();
    }
    harness.key_up(Key::J);
    harness.step();
    assert_eq!(presses(harness.state()), before + 1);
    let inner = harness.state().person().clone();
    let mut person = Harness::builder()
        .with_context_setup(set_up)
        .build_ui(move |ui| {
            inner.ui(ui);
        });
    for _ in 0..4 {
        person.key_down(Key::J);
        person.step();
    }
    harness.step();
    assert_eq!(presses(harness.state()), before + 2);
}

#[test]
fn a_control_with_the_focus_leaves_the_persons_key_alone() {
    let mut desk = ready("focus", 0);
    desk.begin();
    desk.advance(Instant::now());
    desk.act(Action::Confirm, Instant::now());
    let mut harness = window(desk);
    for _ in 0..3 {
        harness.step();
    }
    harness.get_by_label("Weigh").focus();
    harness.step();
    let before = presses(harness.state());
    harness.key_press(Key::J);
    harness.step();
    assert_eq!(presses(harness.state()), before + 1);
}

#[test]
fn letters_in_a_text_field_are_no_keys() {
    let form = Form::new(&folder("letters"), 3, Vec::new(), Vec::new());
    let mut harness = window(Desk::new(form, false, no_sound));
    harness.step();
    harness.get_by_label("Code").focus();
    harness.step();
    harness.step();
    harness.key_press(Key::F1);
    harness.step();
    assert!(harness.query_by_label("present silence").is_none());
}

/// 1280 by 720 is the smallest display that laptops still have (common practice, no source).
#[test]
fn the_keys_fit_on_a_small_display() {
    let form = Form::new(&folder("small"), 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound);
    desk.act(Action::Keys, Instant::now());
    let display = egui::Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(1280.0, 720.0));
    let draw = |ui: &mut egui::Ui, desk: &mut Desk| {
        desk.turn(ui.ctx());
        desk.draw(ui);
    };
    let mut harness = Harness::builder()
        .with_size(display.size())
        .with_context_setup(set_up)
        .build_ui_state(draw, desk);
    for _ in 0..4 {
        harness.step();
    }
    for words in [
        "Hands rest on the ridges of F and J.",
        "the person's window over the whole display",
        "Directions lie as they point:",
    ] {
        let rect = harness.get_by_label(words).rect();
        assert!(display.contains_rect(rect), "{words}: {rect:?}");
    }
    let pages = harness.get_by_label_contains("F7 Hand over").rect();
    assert!(display.contains_rect(pages), "{pages:?}");
    assert!(pages.width() < 400.0, "a long line: {pages:?}");
}

#[test]
fn the_outline_of_the_card_follows_the_arrow_keys() {
    let form = Form::new(&folder("card"), 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound);
    let [wide, high] = desk.form_mut().card_px;
    desk.form_mut().device = None;
    let mut harness = window(desk);
    harness.step();
    harness.key_press(Key::ArrowRight);
    harness.step();
    let px = |harness: &mut Harness<'static, Desk>| harness.state_mut().form_mut().card_px;
    assert_eq!(px(&mut harness), [wide, high], "not shown yet");
    harness.get_by_label("Measure with a card").click();
    harness.step();
    harness.step();
    for _ in 0..3 {
        harness.key_down(Key::ArrowRight);
        harness.step();
    }
    harness.key_press(Key::ArrowDown);
    harness.step();
    assert_eq!(px(&mut harness), [wide + 3, high - 1]);
}

/// A simulated profile may not reach a person's ears, not even by the check of the sides.
#[test]
fn a_simulated_profile_sounds_on_no_output() {
    let mut desk = with_sound("simulated-profile");
    let path = folder("simulated-profile-file");
    std::fs::create_dir_all(&path).unwrap();
    let path = path.join("earphone.toml");
    let simulated = veridical::calibration::EarphoneProfile::simulated();
    std::fs::write(&path, simulated.to_toml()).unwrap();
    let form = desk.form_mut();
    form.simulated = false;
    form.code = "A1".into();
    form.earphone.path = path.display().to_string();
    let mut harness = window(desk);
    harness.step();
    harness.get_by_label("Check the ears").click();
    for _ in 0..10 {
        harness.step();
        play(4096);
    }
    assert!(played().iter().all(|sample| *sample == 0.0));
    let missing = harness.state().missing();
    assert!(
        missing.iter().any(|one| one.contains("simulated")),
        "{missing:?}"
    );
}

#[test]
fn an_answer_before_the_tone_is_no_answer_to_the_check_of_the_sides() {
    let mut desk = with_sound("early-side");
    desk.form_mut().simulated = false;
    let mut harness = window(desk);
    harness.step();
    harness.get_by_label("Check the ears").click();
    harness.step();
    harness.step();
    let answered = |harness: &mut Harness<'static, Desk>| {
        let check = harness.state_mut().form_mut().ear_check.clone();
        check.unwrap().count().0
    };
    harness.key_press(Key::J);
    harness.step();
    // The first tone is at the device; a second answer comes before the second one.
    harness.key_press(Key::J);
    harness.step();
    assert_eq!(answered(&mut harness), 1);
    for _ in 0..100 {
        play(4096);
        harness.step();
    }
    harness.key_press(Key::L);
    harness.step();
    assert_eq!(answered(&mut harness), 2);
}

#[test]
fn a_visit_that_was_broken_off_goes_on_and_gives_way_to_the_next() {
    let name = "broken-off";
    let mut desk = ready(name, 2);
    desk.begin();
    let began = Instant::now();
    desk.advance(began);
    desk.act(Action::Confirm, began);
    for turn in 0..60 {
        desk.advance(began + Duration::from_millis(100 * turn));
    }
    let trials = desk.session().unwrap().record().trials().len();
    assert!(trials > 3);
    let kept = desk.session().unwrap().folder().to_owned();
    drop(desk);
    let mut form = Form::new(&kept, 11, Vec::new(), Vec::new());
    form.speed = 2;
    let mut harness = window(Desk::new(form, false, no_sound));
    harness.step();
    let missing = harness.state().missing();
    assert!(
        missing
            .iter()
            .any(|one| one.starts_with("Person: the case")),
        "{missing:?}"
    );
    let form = harness.state_mut().form_mut();
    form.simulated = true;
    form.case.path = in_project("demo/cases/average.toml");
    form.plan.path = in_project("tests/window/plan.toml");
    form.cautions = true;
    harness.step();
    harness.step();
    harness.get_by_label("Go on with the visit").click();
    harness.step();
    harness.step();
    let session = harness.state().session().unwrap();
    assert_eq!(session.record().trials().len(), trials);
    assert_eq!(session.waiting(), Some(Waiting::ToHear));
    let began = Instant::now();
    for turn in 0..600 {
        let now = began + Duration::from_millis(500 * turn);
        let desk = harness.state_mut();
        desk.advance(now);
        if desk.session().and_then(Session::waiting).is_some() {
            desk.act(Action::Confirm, now);
        }
    }
    harness.step();
    let desk = harness.state();
    assert!(desk.session().unwrap().record().closed());
    assert!(errand::check(&kept.join("journal.jsonl")).unwrap().holds);
    harness.get_by_label("New visit").click();
    harness.step();
    harness.step();
    assert_eq!(harness.state().page(), Page::Prepare);
    assert_eq!(harness.state().missing(), ["Cautions: read"]);
    assert_ne!(
        harness.state_mut().form_mut().folder,
        kept.display().to_string()
    );
}
