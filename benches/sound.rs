//! The sound engine as a device sees it.
//!
//! `cargo bench --no-default-features --features sound --bench sound` prints figures that depend
//! on the machine: the processor time of the callback, and samples rendered a second.
//!
//! With `-- play SCORE RATE_HZ BITS [EARPHONE]` it opens the default output at that rate, rounds to
//! that depth and plays the presentations of SCORE (JSON, one a line, as the journal has them) one
//! after the other, on the profile in the file EARPHONE or on one without any reference. For each it
//! prints a line: the frame at which it began, the frame after its last, how it arrived, and the
//! frames of its sounds. `tests/long/sound-figures` captures what was played and measures it.

use rustix::time::{ClockId, clock_gettime};
use serde_json::json;
use std::error::Error;
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};
use veridical::calibration::EarphoneProfile;
use veridical::errand::{Sounding, sounding};
use veridical::quantity::{DbFs, Ear, Hz, Level};
use veridical::station::engine::engine;
use veridical::station::output::Output;
use veridical::station::{Arrival, SoundEvent, SoundStation};
use veridical::stimulus::{Part, Presentation, Signal, SoundPart, Task};

type Done = Result<(), Box<dyn Error>>;

fn main() -> Done {
    // Cargo adds an argument of its own.
    let given = std::env::args().skip(1);
    let arguments: Vec<String> = given.filter(|one| !one.starts_with("--")).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["play", score, rate_hz, bits, ref earphone @ ..] => {
            play(score, rate_hz.parse()?, bits.parse()?, earphone.first())
        }
        _ => figures(),
    }
}

fn play(score: &str, rate_hz: u32, bits: u32, earphone: Option<&&str>) -> Done {
    let earphone = match earphone {
        Some(file) => EarphoneProfile::from_toml(&std::fs::read_to_string(file)?, file)?,
        None => EarphoneProfile::uncalibrated(),
    };
    let mut output = Output::open(None, rate_hz)?;
    output.set_depth(bits)?;
    for (line, id) in std::fs::read_to_string(Path::new(score))?.lines().zip(1..) {
        let presentation: Presentation = serde_json::from_str(line)?;
        let sounding = sounding(&presentation, &earphone, rate_hz, u64::from(id))?;
        let spans: Vec<_> = sounding
            .slot
            .spans
            .iter()
            .map(|span| [span.onset_frame, span.end_frame])
            .collect();
        let (began, ended, arrival) = one(&mut output, id, sounding)?;
        let arrival = format!("{arrival:?}");
        println!(
            "{}",
            json!({"began": began, "ended": ended, "arrival": arrival, "spans": spans})
        );
    }
    Ok(())
}

/// Plays one and waits for its end.
fn one(
    output: &mut Output,
    id: u32,
    sounding: Sounding,
) -> Result<(u64, u64, Arrival), Box<dyn Error>> {
    sounding.play(output, id)?;
    let patience = Instant::now() + Duration::from_mins(10);
    let mut began = 0;
    while Instant::now() < patience {
        match output.poll() {
            Some(SoundEvent::Began { frame, .. }) => began = frame,
            Some(SoundEvent::Ended { frame, arrival, .. }) => return Ok((began, frame, arrival)),
            Some(SoundEvent::Lost(loss)) => return Err(format!("lost: {loss:?}").into()),
            None => std::thread::sleep(Duration::from_micros(200)),
        }
    }
    Err("it did not end".into())
}

fn figures() -> Done {
    for rate_hz in [48_000, 192_000] {
        for bits in [16, 24, 32] {
            callback(rate_hz, bits)?;
        }
    }
    render()
}

/// What the callback costs with a tone at one ear and noise at the other.
fn callback(rate_hz: u32, bits: u32) -> Done {
    const FRAMES: usize = 512;
    let (mut engine, mut handle) = engine(rate_hz, bits);
    let mut out = vec![0.0; 2 * FRAMES];
    let mut shares = Vec::new();
    for id in 0..40 {
        masked(rate_hz)?.play(&mut handle, id)?;
        for _ in 0..(5 * rate_hz as usize).div_ceil(FRAMES) {
            let due = Instant::now();
            let start = processor();
            engine.render(&mut out, due);
            let spent = processor() - start;
            shares.push(100.0 * spent * f64::from(rate_hz) / FRAMES as f64);
        }
        while handle.poll().is_some() {}
    }
    shares.sort_by(f64::total_cmp);
    let at = |share: f64| shares[((shares.len() - 1) as f64 * share) as usize];
    println!(
        "callback of {FRAMES} frames, {rate_hz} Hz, {bits} bits: processor time over buffer time: median \
         {:.3} %, 99.9th percentile {:.3} %, most {:.3} % of {} buffers",
        at(0.5),
        at(0.999),
        at(1.0),
        shares.len()
    );
    Ok(())
}

/// This thread's own time on a processor, s: what other programs take is not the callback's.
fn processor() -> f64 {
    let spent = clock_gettime(ClockId::ThreadCPUTime);
    spent.tv_sec as f64 + spent.tv_nsec as f64 / 1e9
}

/// Five seconds.
fn masked(rate_hz: u32) -> Result<Sounding, Box<dyn Error>> {
    let part = |ear, signal, db_fs| {
        Part::Sound(SoundPart {
            ear,
            signal,
            hz: Hz(1000.0),
            level: Level::Fs(DbFs(db_fs)),
            start_s: 0.1,
            end_s: 4.9,
            interval: None,
        })
    };
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(5.0),
        parts: vec![
            part(Ear::Right, Signal::Steady, -40.0),
            part(Ear::Left, Signal::NarrowBandNoise, -50.0),
        ],
    };
    Ok(sounding(
        &presentation,
        &EarphoneProfile::uncalibrated(),
        rate_hz,
        1,
    )?)
}

/// Samples rendered a second: one tone of ten seconds at one ear, both channels counted, as
/// `tests/outside/measure_sound.py` counts numpy's.
fn render() -> Done {
    let tone = SoundPart {
        ear: Ear::Right,
        signal: Signal::Steady,
        hz: Hz(1000.0),
        level: Level::Fs(DbFs(-40.0)),
        start_s: 0.0,
        end_s: 10.0,
        interval: None,
    };
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(10.0),
        parts: vec![Part::Sound(tone)],
    };
    let mut best = f64::INFINITY;
    for _ in 0..20 {
        let start = processor();
        let made = veridical::stimulus::sound::render::<std::convert::Infallible>(
            &presentation,
            48_000,
            1,
            |part| Ok(DbFs(part.level.db())),
        )?;
        best = best.min(processor() - start);
        black_box(made);
    }
    println!("rendered: {:.0} samples a second", 960_000.0 / best);
    Ok(())
}
