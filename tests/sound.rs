//! The engine does not allocate in the callback, and what a real output plays is right.
//!
//! A test binary of its own, because the allocator that forbids allocation is process-wide.

// The helpers of a test binary are tests too, which clippy cannot know.
#![allow(clippy::unwrap_used)]

#[path = "sound/analysis.rs"]
mod analysis;

use analysis::{fit, ppm_off};
use assert_no_alloc::{AllocDisabler, assert_no_alloc};
use std::convert::Infallible;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};
use veridical::quantity::{DbFs, Ear, Hz, Level};
use veridical::station::engine::engine;
use veridical::station::output::{Output, OutputError, outputs};
use veridical::station::{Arrival, SoundEvent, SoundStation};
use veridical::stimulus::sound::{Rendered, render};
use veridical::stimulus::{Part, Presentation, Signal, SoundPart, Task};

#[global_allocator]
static ALLOCATOR: AllocDisabler = AllocDisabler;

const RATE: u32 = 48_000;

fn tone(ear: Ear, hz: f64, db_fs: f64) -> SoundPart {
    let level = Level::Fs(DbFs(db_fs));
    SoundPart {
        ear,
        signal: Signal::Steady,
        hz: Hz(hz),
        level,
        start_s: 0.5,
        end_s: 1.5,
        interval: None,
    }
}

fn slot(parts: &[SoundPart]) -> Rendered {
    let parts = parts.iter().copied().map(Part::Sound).collect();
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(2.0),
        parts,
    };
    render::<Infallible>(&presentation, RATE, 1, |part| Ok(DbFs(part.level.db()))).unwrap()
}

#[test]
fn the_callback_never_allocates() {
    let (mut engine, mut handle) = engine(RATE, 16);
    let alarm = handle.alarm();
    let mut out = vec![0.0; 2048];
    let due = Instant::now();
    let mut seen = Vec::new();
    for id in 0..40 {
        handle.set_ceiling([if id % 4 == 3 { 0.01 } else { 1.0 }; 2]);
        handle
            .play(id, slot(&[tone(Ear::Right, 1000.0, -20.0)]))
            .unwrap();
        for buffer in 0..96 {
            if id % 4 == 1 && buffer == 30 {
                handle.stop();
            }
            assert_no_alloc(|| {
                if id % 4 == 2 && buffer == 30 {
                    alarm.ran_dry();
                }
                engine.render(&mut out, due);
            });
        }
        while let Some(event) = handle.poll() {
            if let SoundEvent::Ended { arrival, .. } = event {
                seen.push(arrival);
            }
        }
    }
    let each = [
        Arrival::Whole,
        Arrival::Stopped,
        Arrival::Underrun,
        Arrival::CutOff,
    ];
    assert_eq!(seen, each.repeat(10));
}

/// Runs one of the tests below in a process of its own with `conf` as ALSA's configuration: the
/// environment must stand before the sound system is first touched.
fn in_child(test: &str, conf: &str, capture: &Path) {
    let conf = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests")
        .join(conf);
    let status = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", test, "--ignored", "--nocapture"])
        .env("ALSA_CONFIG_PATH", conf)
        .env("CAPTURE_FILE", capture)
        .status()
        .unwrap();
    assert!(status.success(), "{test} in its own process");
}

fn capture_file(name: &str) -> std::path::PathBuf {
    std::env::temp_dir().join(format!("veridical-{name}-{}.raw", std::process::id()))
}

/// Two presentations through a real output: each as loud, as high and as early as planned, at
/// its own ear alone.
#[test]
#[cfg(target_os = "linux")]
fn a_real_output_plays_the_right_tone_at_the_right_ear() {
    let capture = capture_file("capture");
    in_child(
        "child_plays_into_the_capture_file",
        "asound-file.conf",
        &capture,
    );
    let bytes = std::fs::read(&capture).unwrap();
    std::fs::remove_file(&capture).unwrap();
    let onsets = std::fs::read_to_string(capture.with_extension("txt")).unwrap();
    std::fs::remove_file(capture.with_extension("txt")).unwrap();
    let samples: Vec<f64> = bytes
        .chunks_exact(4)
        .map(|b| f64::from(f32::from_le_bytes([b[0], b[1], b[2], b[3]])))
        .collect();
    let began: Vec<usize> = onsets.lines().map(|line| line.parse().unwrap()).collect();
    assert_eq!(began.len(), 2);
    check(&samples, began[0], 0, 1000.0, -20.0);
    check(&samples, began[1], 1, 4000.0, -80.0);
}

/// The slot that began at frame `began` holds one second of `hz` on `channel` and nothing else.
fn check(samples: &[f64], began: usize, channel: usize, hz: f64, db_fs: f64) {
    let slot = &samples[2 * began..2 * (began + 96_000)];
    let this: Vec<f64> = slot.iter().skip(channel).step_by(2).copied().collect();
    let other: Vec<f64> = slot.iter().skip(1 - channel).step_by(2).copied().collect();
    assert!(other.iter().all(|&x| x == 0.0), "the other ear");
    // The onset is at frame 24 000; a sine's own first sample is 0.
    assert!(
        this[..24_001].iter().all(|&x| x == 0.0) && this[24_001] != 0.0,
        "onset"
    );
    assert!(
        this[71_998] != 0.0 && this[72_000..].iter().all(|&x| x == 0.0),
        "end"
    );
    let steady = &this[26_400..69_600];
    let level = fit(steady, hz, f64::from(RATE)).db_fs;
    assert!((level - db_fs).abs() < 0.005, "{level} dB re full scale");
    let ppm = ppm_off(steady, hz, f64::from(RATE));
    assert!(ppm.abs() < 1.0, "{ppm} ppm");
}

#[test]
#[ignore = "run by the test above, in an environment of its own"]
fn child_plays_into_the_capture_file() {
    let capture = std::env::var_os("CAPTURE_FILE").expect("set by the test that starts this");
    let listed = outputs().unwrap();
    assert!(
        listed
            .iter()
            .any(|device| device.frames_per_second.contains(&RATE)),
        "{listed:?}"
    );
    let mut output = Output::open(None, RATE).unwrap();
    assert_eq!((output.bits(), output.frames_per_second()), (32, RATE));
    let mut began = Vec::new();
    for (id, part) in [
        (1, tone(Ear::Left, 1000.0, -20.0)),
        (2, tone(Ear::Right, 4000.0, -80.0)),
    ] {
        output.play(id, slot(&[part])).unwrap();
        began.push(wait_for_end(&mut output, id).to_string());
    }
    assert_eq!(output.faults(), 0);
    drop(output);
    std::fs::write(Path::new(&capture).with_extension("txt"), began.join("\n")).unwrap();
}

/// The frame at which slot `id` began, once it has ended whole.
fn wait_for_end(output: &mut Output, id: u32) -> u64 {
    let patience = Instant::now() + Duration::from_secs(30);
    let mut began = None;
    while Instant::now() < patience {
        match output.poll() {
            Some(SoundEvent::Began {
                id: this, frame, ..
            }) if this == id => began = Some(frame),
            Some(SoundEvent::Ended {
                id: this, arrival, ..
            }) if this == id => {
                assert_eq!(arrival, Arrival::Whole);
                return began.unwrap();
            }
            Some(event) => panic!("{event:?}"),
            None => std::thread::sleep(Duration::from_millis(1)),
        }
    }
    panic!("slot {id} did not end");
}

/// Without a device: one clear line, no panic.
#[test]
#[cfg(target_os = "linux")]
fn without_a_device_opening_says_so() {
    in_child(
        "child_has_no_device",
        "asound-none.conf",
        &capture_file("none"),
    );
}

#[test]
#[ignore = "run by the test above, in an environment of its own"]
fn child_has_no_device() {
    // Without the environment of its parent this would look at the machine's own devices.
    std::env::var_os("CAPTURE_FILE").expect("set by the test that starts this");
    for device in [None, Some("alsa:hw:99,0")] {
        let Err(error) = Output::open(device, RATE) else {
            panic!("opened")
        };
        assert!(matches!(error, OutputError::NoDevice { .. }), "{error:?}");
        assert!(!error.to_string().contains('\n'));
    }
    assert_eq!(outputs(), Ok(vec![]));
}

/// What the verb `arguments` says in JSON, with these lines typed, and all that it has played: right
/// and left.
#[cfg(target_os = "linux")]
fn heard(arguments: &[&str], typed: &str) -> (serde_json::Value, [Vec<f64>; 2]) {
    use std::io::Write;
    use std::process::Stdio;
    let capture = capture_file(&format!("heard-{}", arguments[0]));
    let conf = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/asound-file.conf");
    let mut child = Command::new(env!("CARGO_BIN_EXE_veridical"))
        .args(arguments)
        .args(["--sound", "alsa:capture", "--json"])
        .env("ALSA_CONFIG_PATH", conf)
        .env("CAPTURE_FILE", &capture)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut keys = child.stdin.take().unwrap();
    keys.write_all(typed.as_bytes()).unwrap();
    drop(keys);
    let told = child.wait_with_output().unwrap();
    let error = String::from_utf8_lossy(&told.stderr).into_owned();
    assert!(told.status.success(), "{error}");
    let bytes = std::fs::read(&capture).unwrap();
    std::fs::remove_file(&capture).unwrap();
    let samples = bytes.chunks_exact(4);
    let samples: Vec<f64> = samples
        .map(|b| f64::from(f32::from_le_bytes([b[0], b[1], b[2], b[3]])))
        .collect();
    let side = |channel| samples.iter().skip(channel).step_by(2).copied().collect();
    (
        serde_json::from_slice(&told.stdout).unwrap(),
        [side(1), side(0)],
    )
}

/// The amplitude of `hz` in each block of 50 ms.
#[cfg(target_os = "linux")]
fn blocks(samples: &[f64], hz: f64) -> Vec<f64> {
    let of = |block: &[f64]| 10_f64.powf(fit(block, hz, f64::from(RATE)).db_fs / 20.0);
    samples.chunks_exact(2400).map(of).collect()
}

/// The levels of the single tones in it, dB re full scale: whatever lies more than 0.6 s apart is
/// another tone. Pulses are on for four blocks or more, of which the outer ones hold ramps; a block or two
/// alone are dither.
#[cfg(target_os = "linux")]
fn tones(samples: &[f64], hz: f64, threshold: f64) -> Vec<f64> {
    let mut found: Vec<(usize, Vec<f64>)> = Vec::new();
    for (at, amplitude) in blocks(samples, hz).into_iter().enumerate() {
        if amplitude < threshold {
            continue;
        }
        match found.last_mut() {
            Some((last, tone)) if at - *last <= 12 => {
                *last = at;
                tone.push(amplitude);
            }
            _ => found.push((at, vec![amplitude])),
        }
    }
    let level = |mut tone: Vec<f64>| {
        tone.sort_by(f64::total_cmp);
        let upper = &tone[tone.len() / 2..];
        20.0 * (upper.iter().sum::<f64>() / upper.len() as f64).log10()
    };
    let whole = found.into_iter().filter(|(_, tone)| tone.len() > 2);
    whole.map(|(_, tone)| level(tone)).collect()
}

/// An earphone of which nobody knows how loud it is, on a real output: the tone begins 110 dB under full
/// scale and rises by 5 dB with every press, at the right ear and then at the left one, in the dither of
/// 16 bits. That has half a step RMS, so that over a block of 50 ms the amplitude is known to 4e-7
/// (0.5 / 32768 · √(2/2400)), an eighth of the first tone's.
#[test]
#[cfg(target_os = "linux")]
fn the_examiner_listens_from_silence_up_on_a_real_output() {
    let (told, [right, left]) = heard(&["listen"], "\n\n\n\n\n\n\nh\n\n\n\n\n\nh\n");
    for (samples, presses, ear) in [(right, 7, "right"), (left, 5, "left")] {
        let found = tones(&samples, 1000.0, 2e-6);
        assert_eq!(found.len(), presses, "{ear}: {found:?}");
        for (press, level) in found.iter().enumerate() {
            let expected = -110.0 + 5.0 * press as f64;
            let within = if press < 3 { 2.5 } else { 0.7 };
            assert!((level - expected).abs() < within, "{ear}: {found:?}");
        }
    }
    let rises = told["rises"].as_array().unwrap();
    let levels: Vec<f64> = rises
        .iter()
        .map(|one| one["level_db_fs"].as_f64().unwrap())
        .collect();
    assert_eq!(levels, [-80.0, -90.0]);
}

/// A clinic's recording, 44.1 kHz in one channel, on a real output of 48 kHz: by the example's profile
/// 60 dB HL at 1 kHz are 65.5 dB SPL (ISO 389-8) of 113.7 at full scale at the right earphone and 113.9
/// at the left one. On an earphone that nobody measured it waits until the examiner has heard the tone
/// at either ear, and comes 40 dB over the softer of both.
#[test]
#[cfg(target_os = "linux")]
fn a_recording_sounds_at_its_level_on_a_real_output() {
    let folder = std::env::temp_dir().join(format!("veridical-recording-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("willkommen.wav");
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 44_100,
        bits_per_sample: 24,
        sample_format: hound::SampleFormat::Int,
    };
    let mut wav = hound::WavWriter::create(&file, spec).unwrap();
    for n in 0..66_150 {
        let sine = (f64::from(n) * 500.0 * std::f64::consts::TAU / 44_100.0).sin();
        wav.write_sample((0.1 * 8_388_608.0 * sine) as i32).unwrap();
    }
    wav.finalize().unwrap();
    let today = jiff::ZonedDateTime::now().date();
    let measured = include_str!("../calibration/example-circumaural.toml")
        .replace("2026-02-02", &today.to_string())
        .replace("2027-02-01", &today.to_string())
        .replace("device = \"Example sound output\"\n", "");
    let unknown = veridical::calibration::EarphoneProfile::uncalibrated().to_toml();
    let play = |name: &str, profile: &str, typed: &str| {
        let path = folder.join(name);
        std::fs::write(&path, profile).unwrap();
        let (file, path) = (file.to_str().unwrap(), path.to_str().unwrap());
        heard(&["recording", file, "--earphone", path], typed)
    };
    let (told, sides) = play("measured.toml", &measured, "");
    assert_eq!(told["whole"], true);
    for (samples, full_scale) in sides.iter().zip([113.7, 113.9]) {
        let sounds: Vec<usize> = (0..samples.len())
            .filter(|n| samples[*n].abs() > 1e-4)
            .collect();
        let (first, last) = (sounds[0], sounds[sounds.len() - 1]);
        let seconds = (last - first) as f64 / f64::from(RATE);
        assert!((seconds - 1.5).abs() < 0.05, "{seconds}");
        let middle = &samples[first + 12_000..last - 12_000];
        let level = fit(middle, 500.0, f64::from(RATE)).db_fs;
        assert!((level - (65.5 - full_scale)).abs() < 0.02, "{level}");
        assert!(ppm_off(middle, 500.0, f64::from(RATE)).abs() < 1.0);
    }
    let (told, sides) = play("unknown.toml", &unknown, "\n\n\n\n\nh\n\n\n\n\n\nh\n");
    assert_eq!(told["listened"]["rises"].as_array().unwrap().len(), 2);
    for samples in &sides {
        let found = tones(samples, 500.0, 1e-4);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!((found[0] + 50.0).abs() < 0.1, "{found:?}");
    }
    std::fs::remove_dir_all(&folder).unwrap();
}

/// A warble, speech-weighted noise beside it, and nothing that is loud.
#[test]
#[cfg(target_os = "linux")]
fn every_signal_can_be_listened_to_on_a_real_output() {
    let folder = std::env::temp_dir().join(format!("veridical-signals-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let profile = folder.join("examiner.toml");
    let today = jiff::ZonedDateTime::now().date();
    let text = include_str!("../calibration/example-circumaural.toml")
        .replace("2026-02-02", &today.to_string())
        .replace("2027-02-01", &today.to_string())
        .replace("device = \"Example sound output\"\n", "");
    std::fs::write(&profile, text).unwrap();
    let profile = profile.to_str().unwrap();
    let words = [
        "tone",
        "--ear",
        "right",
        "--hz",
        "1000",
        "--level",
        "60",
        "--kind",
        "warble",
        "--seconds",
        "3",
        "--mask-level",
        "50",
        "--mask-kind",
        "speech",
        "--earphone",
        profile,
    ];
    let (told, sides) = heard(&words, "");
    assert_eq!(told["whole"], true);
    for (samples, expected) in sides.iter().zip([60.0 + 5.5 - 113.7, 50.0 + 5.5 - 113.9]) {
        let sounds: Vec<usize> = (0..samples.len())
            .filter(|n| samples[*n].abs() > 1e-5)
            .collect();
        let middle = &samples[sounds[0] + 12_000..sounds[sounds.len() - 1] - 12_000];
        let power = middle.iter().map(|x| x * x).sum::<f64>() / middle.len() as f64;
        // A sine's power is half its squared amplitude.
        let level = 10.0 * (2.0 * power).log10();
        assert!((level - expected).abs() < 0.3, "{level} for {expected}");
    }
    let loud = Command::new(env!("CARGO_BIN_EXE_veridical"))
        .args([
            "tone",
            "--ear",
            "left",
            "--hz",
            "1000",
            "--level",
            "90",
            "--sound",
            "alsa:capture",
        ])
        .args(["--earphone", profile])
        .env(
            "ALSA_CONFIG_PATH",
            Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/asound-file.conf"),
        )
        .env("CAPTURE_FILE", capture_file("heard-loud"))
        .output()
        .unwrap();
    let error = String::from_utf8_lossy(&loud.stderr).into_owned();
    assert_eq!(loud.status.code(), Some(2), "{error}");
    assert!(
        error.contains("--level: expected at most 85 dB HL"),
        "{error}"
    );
    let _ = std::fs::remove_file(capture_file("heard-loud"));
    std::fs::remove_dir_all(&folder).unwrap();
}
