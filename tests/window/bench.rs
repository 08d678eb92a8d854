//! The bench of the desk, and what a visit needs of the surroundings.

use super::{
    Desk, Form, folder, in_project, no_sound, play, played, window, window_of, with_sound,
};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::f64::consts::TAU;
use std::time::Duration;
use veridical::calibration::microphone::MicrophoneKind;
use veridical::calibration::room::RoomWish;
use veridical::calibration::{FORMAT, Microphone, MicrophoneRecord, Room};
use veridical::desk::bench::Place;
use veridical::desk::prepare::Device;
use veridical::quantity::{Db, DbSpl, Draws, Hz, Stream};
use veridical::standard::{Coupler, EarphoneClass, EarphoneFit};
use veridical::station::recorder::{Given, Recorder};
use veridical::station::route::{Matter, Weight, Word};

fn made(amplitude: f64, hiss: f64, rate_hz: u32) -> Box<dyn Recorder> {
    let mut draws = Draws::new(3, Stream::Noise, 0);
    let at = |n: u32| {
        let tone = amplitude * (TAU * 1000.0 * f64::from(n) / f64::from(rate_hz)).sin();
        (tone + hiss * draws.normal()) as f32
    };
    Box::new(Given::new(
        (0..40 * rate_hz).map(at).collect(),
        rate_hz,
        48_000,
    ))
}

#[expect(clippy::unnecessary_wraps, reason = "an input may be missing")]
fn calibrator(_: Option<&str>, rate_hz: u32) -> Result<Box<dyn Recorder>, String> {
    Ok(made(0.1, 1e-6, rate_hz))
}

#[expect(clippy::unnecessary_wraps, reason = "an input may be missing")]
fn quiet(_: Option<&str>, rate_hz: u32) -> Result<Box<dyn Recorder>, String> {
    Ok(made(0.0, 1e-6, rate_hz))
}

/// Until nothing is under way.
fn wait(harness: &mut Harness<'static, Desk>) {
    for _ in 0..600 {
        harness.step();
        if harness.state_mut().bench_mut().under_way().is_none() {
            harness.step();
            return;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    panic!("it does not end");
}

/// A microphone is calibrated, its own noise recorded, a room measured, and the room's file taken by
/// the form: all from samples that were made.
#[test]
fn a_room_is_measured_at_the_bench() {
    let folder = folder("window-bench-room");
    std::fs::create_dir_all(&folder).unwrap();
    let form = Form::new(&folder, 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound).with_input(calibrator);
    let path = |name: &str| folder.join(name).display().to_string();
    let bench = desk.bench_mut();
    bench.by = "an example".into();
    bench.microphone = path("microphone.toml");
    bench.room[1] = path("room.toml");
    bench.fit = EarphoneFit::Circumaural;
    let mut harness = window(desk);
    harness.step();
    harness.get_by_label("Bench").click();
    harness.step();
    harness.get_by_label("Record the calibrator").click();
    harness.step();
    wait(&mut harness);
    let said = harness.state_mut().bench_mut().said.clone().unwrap();
    assert!(said.0.contains("114.0 dB SPL at full scale"), "{said:?}");
    // 94 dB at an amplitude of 0.1 (−20 dB re full scale): 114 (the level's definition).
    let desk = std::mem::replace(
        harness.state_mut(),
        Desk::new(
            Form::new(&folder, 3, Vec::new(), Vec::new()),
            false,
            no_sound,
        ),
    );
    *harness.state_mut() = desk.with_input(quiet);
    harness.step();
    harness.get_by_label("Record its own noise").click();
    harness.step();
    wait(&mut harness);
    harness.get_by_label("Listen to the room").click();
    harness.step();
    wait(&mut harness);
    let room = harness.state_mut().bench_mut().measured.clone().unwrap();
    assert!(room.can_tell(Hz(250.0)));
    // Hiss of −115 dB in all: far under what is permissible; what bounds is the microphone's noise.
    assert!(
        room.claims()
            .iter()
            .all(|one| one.lowest_db_hl.unwrap().0 < 0.0)
    );
    assert!(
        harness
            .query_by_label_contains("quiet enough for a statement")
            .is_some()
    );
    let form = harness.state_mut().form_mut();
    form.around.room.path = path("room.toml");
    harness.step();
    harness.step();
    assert!(harness.state_mut().form_mut().around.room.value().is_some());
}

/// The tones of a coupler's sheet go through the output; readings are typed; an ordinary headphone
/// is refused.
#[test]
fn a_coupler_is_read_at_the_bench() {
    let folder = folder("window-bench-coupler");
    std::fs::create_dir_all(&folder).unwrap();
    let mut desk = with_sound("window-bench-coupler-visit");
    let path = |name: &str| folder.join(name).display().to_string();
    let bench = desk.bench_mut();
    bench.place = Place::Coupler;
    bench.by = "an example".into();
    bench.sheet_file = [
        path("sheet.toml"),
        "pair 2".into(),
        "invented".into(),
        path("out.toml"),
    ];
    bench.class = None;
    bench.coupler = Coupler::EarSimulatorFlatPlate;
    let mut harness = window(desk);
    harness.step();
    harness.get_by_label("Bench").click();
    harness.step();
    harness.get_by_label("Lay the sheet, or open it").click();
    harness.step();
    harness.step();
    let said = harness.state_mut().bench_mut().said.clone().unwrap();
    assert!(
        said.1 && said.0.contains("an ordinary headphone"),
        "{said:?}"
    );
    harness.state_mut().bench_mut().class = Some(EarphoneClass::Circumaural);
    harness.step();
    harness.get_by_label("Lay the sheet, or open it").click();
    harness.step();
    harness.step();
    harness.get_by_label("Play it").click();
    harness.step();
    for _ in 0..10 {
        play(48_000);
        harness.step();
    }
    let loudest = played().iter().fold(0.0_f32, |most, x| most.max(x.abs()));
    // −35 dB re full scale is an amplitude of 0.01778, and a step of dither more at 16 bits.
    assert!((loudest - 0.017_783).abs() < 1.5e-4, "{loudest}");
    assert!(!harness.state_mut().bench_mut().playing);
    harness.state_mut().bench_mut().reading[0] = "77,4".into();
    harness.step();
    harness.get_by_label("Enter").click();
    harness.step();
    let sheet = harness.state_mut().bench_mut().sheet.clone().unwrap();
    assert_eq!(sheet.readings.len(), 1);
    assert!((sheet.readings[0].db_spl.0 - 77.4).abs() < 1e-9);
    let write = harness.get_by_label("Write the profile");
    assert!(write.accesskit_node().is_disabled());
}

/// Annex A's own example on the page (ISO 8253-1:2010): u 4.9 dB, U 10 dB; the profile's own levels
/// are surer than the standard's, 1.0 dB for 1.7, so u is 4.7.
#[test]
fn the_budget_is_shown_component_by_component() {
    let form = Form::new(&folder("window-bench-profile"), 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound);
    desk.form_mut().earphone.path = in_project("calibration/example-circumaural.toml");
    desk.bench_mut().place = Place::Profile;
    let mut harness = window(desk);
    harness.step();
    harness.get_by_label("Bench").click();
    harness.step();
    harness.step();
    assert!(
        harness
            .query_by_label_contains("u 4.7 dB, U 9.3 dB")
            .is_some()
    );
}

/// Of a living person's visit, what the system refuses is missing, and what it does not tell is
/// ticked.
#[test]
fn the_way_of_the_sound_is_looked_after() {
    let device = Device {
        id: "alsa:hw:0".into(),
        name: "Headset (bluetooth hands-free)".into(),
        rates_hz: vec![48_000],
    };
    let mut form = Form::new(&folder("window-way"), 3, Vec::new(), vec![device]);
    form.device = Some(0);
    form.code = "H1".into();
    form.plan.path = "daily".into();
    // Tall enough that the whole form is seen.
    let mut harness = window_of(Desk::new(form, false, no_sound), 1500.0);
    harness.step();
    harness.step();
    let missing = |harness: &Harness<'static, Desk>| harness.state().missing().join("; ");
    assert!(
        missing(&harness).contains("hands-free link"),
        "{}",
        missing(&harness)
    );
    assert!(missing(&harness).contains("look after"));
    harness.get_by_label("I have looked after this").click();
    harness.step();
    harness.step();
    assert!(!missing(&harness).contains("look after"));
    let words = &mut harness.state_mut().form_mut().around.words;
    words.retain(|word: &Word| word.weight != Weight::Refuse || word.matter != Matter::Wireless);
    assert!(!missing(&harness).contains("hands-free"));
}

/// A second of hiss, again and again: a visit's clock must not wait for it to be made.
fn hissing(sd: f64, rate_hz: u32) -> Box<dyn Recorder> {
    let mut draws = Draws::new(3, Stream::Noise, 1);
    let second: Vec<f32> = (0..rate_hz).map(|_| (sd * draws.normal()) as f32).collect();
    let samples = second.iter().copied().cycle().take(40 * rate_hz as usize);
    Box::new(Given::new(samples.collect(), rate_hz, 1024))
}

#[expect(clippy::unnecessary_wraps, reason = "an input may be missing")]
fn din(_: Option<&str>, rate_hz: u32) -> Result<Box<dyn Recorder>, String> {
    Ok(hissing(0.1, rate_hz))
}

#[expect(clippy::unnecessary_wraps, reason = "an input may be missing")]
fn hush(_: Option<&str>, rate_hz: u32) -> Result<Box<dyn Recorder>, String> {
    Ok(hissing(1e-6, rate_hz))
}

/// A desk whose visit is listened to by this input, until its first presentation is settled: the
/// reasons of what became void.
fn listened(name: &str, input: veridical::desk::OpenInput) -> (usize, Vec<String>) {
    let folder = folder(&format!("{name}-files"));
    std::fs::create_dir_all(&folder).unwrap();
    let today = jiff::ZonedDateTime::now().date();
    let microphone = Microphone::try_from(MicrophoneRecord {
        format: FORMAT,
        kind: MicrophoneKind::Microphone,
        title: "invented".into(),
        method: "invented".into(),
        made_by: "an example".into(),
        made_on: today,
        expires_on: today,
        device: None,
        rate_hz: 48_000,
        full_scale_db_spl: DbSpl(140.0),
        u_db: Db(0.5),
        floor_db_spl: Some(vec![DbSpl(-20.0); 25]),
    })
    .unwrap();
    let mut hiss = Vec::new();
    let mut recorder = hush(None, 48_000).unwrap();
    while hiss.len() < 96_000 {
        recorder.take(&mut hiss).unwrap();
    }
    let wish = RoomWish {
        place: "invented".into(),
        fit: EarphoneFit::Circumaural,
        made_by: "an example".into(),
        made_on: today,
        expires_on: today,
    };
    let room = Room::measured(wish, &microphone, &hiss).unwrap();
    let path = |name: &str| folder.join(name).display().to_string();
    std::fs::write(path("mic.toml"), microphone.to_toml()).unwrap();
    std::fs::write(path("room.toml"), room.to_toml()).unwrap();
    let mut desk = with_sound(name).with_input(input);
    let around = &mut desk.form_mut().around;
    around.room.path = path("room.toml");
    around.microphone.path = path("mic.toml");
    around.watch = true;
    desk.advance(std::time::Instant::now());
    desk.begin();
    desk.advance(std::time::Instant::now());
    desk.act(
        veridical::desk::keys::Action::Confirm,
        std::time::Instant::now(),
    );
    for _ in 0..1000 {
        let start = std::time::Instant::now();
        desk.advance(start);
        std::thread::sleep(Duration::from_secs_f64(1024.0 / 48_000.0));
        // On a busy machine it was longer, and the device must not fall behind.
        play((start.elapsed().as_secs_f64() * 48_000.0) as usize);
        let record = desk.session().unwrap().record();
        if record.trials().len() + record.voids().len() > 0 {
            break;
        }
    }
    let record = desk.session().unwrap().record();
    assert!(record.opening.set_up.watch.is_some());
    let voids = record.voids().iter().map(|void| void.reason.clone());
    (record.trials().len(), voids.collect())
}

/// Noise of 140 − 20 + 3 dB SPL over all bands, 103 in that of 1 kHz, makes a tone of 40 dB HL void;
/// a room in which nothing is to be heard does not.
#[test]
fn noise_makes_a_presentation_void() {
    let (trials, voids) = listened("window-din", din);
    assert_eq!(trials, 0);
    assert!(voids[0].starts_with("noise in the room: "), "{voids:?}");
    let (_, voids) = listened("window-hush", hush);
    assert!(!voids.iter().any(|why| why.contains("noise")), "{voids:?}");
}
