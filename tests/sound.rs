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

/// CPU of one buffer of 1024 frames: `cargo test --test sound -- --ignored --nocapture`.
#[test]
#[ignore = "a figure, not a check"]
fn time_of_a_buffer() {
    let (mut engine, mut handle) = engine(RATE, 16);
    let mut out = vec![0.0; 2048];
    let mut times = Vec::new();
    for id in 0..100 {
        handle
            .play(id, slot(&[tone(Ear::Right, 1000.0, -20.0)]))
            .unwrap();
        for _ in 0..96 {
            let start = Instant::now();
            engine.render(&mut out, start);
            times.push(start.elapsed());
        }
        while handle.poll().is_some() {}
    }
    times.sort();
    let at = |share: usize| times[(times.len() - 1) * share / 1000];
    println!(
        "1024 frames: median {:?}, 99.9 % {:?}, longest {:?}",
        at(500),
        at(999),
        at(1000)
    );
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
