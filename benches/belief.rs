//! One answer taken in, and the next presentation chosen, by the estimating procedure's belief: beside
//! the same mathematics in numpy, in one run.
//!
//! `cargo bench` needs a Python with numpy: `VERIDICAL_PYTHON`, or the one that `tests/run` makes.
//! Both go through the same answers of one simulated listener, and must end at the same figures.

use std::io::Write;
use std::process::{Command, ExitCode, Stdio};
use std::time::Instant;
use veridical::belief::{AudiogramPosterior, DetectionFunction, Place};
use veridical::journal::HearingPrior;
use veridical::quantity::{Draws, Ear, Hz, Stream};

const HZ: [f64; 6] = [250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];
const ANSWERS: usize = 96;
const VISITS: u64 = 40;
const SCRIPT: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/tests/outside/belief_in_numpy.py"
);
const PYTHON: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/tests/outside/.venv/bin/python"
);

/// One answer: the place's number, the level in dB, and whether the tone was heard.
type Answered = (usize, f64, bool);

struct Timed {
    answers: Vec<Answered>,
    /// Mean and standard deviation of each place at the end, dB.
    moments: Vec<(f64, f64)>,
    seconds: Vec<f64>,
}

fn main() -> ExitCode {
    let levels_db: Vec<f64> = (-2..=22).map(|step| 5.0 * f64::from(step)).collect();
    visit(0, &levels_db);
    let visits: Vec<Timed> = (1..=VISITS).map(|n| visit(n, &levels_db)).collect();
    let mut all: Vec<f64> = visits.iter().flat_map(|one| one.seconds.clone()).collect();
    all.sort_by(f64::total_cmp);
    let mean_ms = 1e3 * all.iter().sum::<f64>() / all.len() as f64;
    let worst_ms = 1e3 * all.last().copied().unwrap_or(0.0);
    println!("{VISITS} visits of {ANSWERS} answers at 12 places, one update and one choice each");
    println!("ours:  mean {mean_ms:.3} ms, worst {worst_ms:.3} ms");
    let Some(first) = visits.first() else {
        return ExitCode::FAILURE;
    };
    match in_numpy(first, &levels_db) {
        Ok((numpy_ms, apart_db)) => {
            println!(
                "numpy: mean {numpy_ms:.3} ms; ours takes {:.4} of it",
                mean_ms / numpy_ms
            );
            println!("the figures of both are at most {apart_db:.1e} dB apart");
            if apart_db < 1e-6 {
                ExitCode::SUCCESS
            } else {
                ExitCode::FAILURE
            }
        }
        Err(why) => {
            eprintln!("numpy: not compared: {why}");
            ExitCode::FAILURE
        }
    }
}

/// One visit: each tone at the place and level that narrow all places most.
fn visit(number: u64, levels_db: &[f64]) -> Timed {
    let places: Vec<Place> = Ear::BOTH
        .into_iter()
        .flat_map(|ear| HZ.map(|hz| Place { ear, hz: Hz(hz) }))
        .collect();
    let mut draws = Draws::new(7, Stream::Visit, number);
    let truth: Vec<f64> = places.iter().map(|_| draws.between(0.0, 60.0)).collect();
    let mut posterior = AudiogramPosterior::new(places, HearingPrior::Clinic, &[]);
    let (mut answers, mut seconds) = (Vec::new(), Vec::new());
    let mut next = choose(&posterior, levels_db);
    for _ in 0..ANSWERS {
        let (at, level_db) = next;
        let listener = DetectionFunction {
            midpoint_db: truth[at],
            scale_db: 3.0,
            false_alarm: 0.04,
            lapse: 0.02,
        };
        let heard = draws.chance(listener.p(level_db));
        answers.push((at, level_db, heard));
        let began = Instant::now();
        posterior.observe(at, level_db, heard);
        next = choose(&posterior, levels_db);
        seconds.push(began.elapsed().as_secs_f64());
    }
    let moments = (0..truth.len()).map(|at| posterior.moments(at)).collect();
    Timed {
        answers,
        moments,
        seconds,
    }
}

fn choose(posterior: &AudiogramPosterior, levels_db: &[f64]) -> (usize, f64) {
    let places = 0..posterior.places().len();
    let candidates: Vec<_> = places.map(|at| (at, levels_db.to_vec())).collect();
    let telling = posterior.most_telling(&candidates);
    telling.map_or((0, 0.0), |one| (one.at, one.level_db))
}

/// The same answers in numpy: its mean time in ms, and how far its figures are from ours, dB.
fn in_numpy(visit: &Timed, levels_db: &[f64]) -> Result<(f64, f64), String> {
    let python = std::env::var("VERIDICAL_PYTHON").unwrap_or_else(|_| PYTHON.into());
    let mut child = Command::new(&python)
        .arg(SCRIPT)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{python}: {error}"))?;
    let told = serde_json::json!({"hz": HZ, "levels_db": levels_db, "answers": visit.answers});
    let mut to = child.stdin.take().ok_or("no way in")?;
    to.write_all(told.to_string().as_bytes())
        .map_err(|error| error.to_string())?;
    drop(to);
    let output = child
        .wait_with_output()
        .map_err(|error| error.to_string())?;
    let said: serde_json::Value =
        serde_json::from_slice(&output.stdout).map_err(|error| error.to_string())?;
    let number = |value: &serde_json::Value| value.as_f64().unwrap_or(f64::NAN);
    let theirs = said["moments"].as_array().ok_or("expected moments")?;
    let apart = visit.moments.iter().zip(theirs).map(|(ours, theirs)| {
        (ours.0 - number(&theirs[0])).abs() + (ours.1 - number(&theirs[1])).abs()
    });
    // A figure that is missing is as far apart as can be.
    let finite = |one: f64| if one.is_finite() { one } else { f64::INFINITY };
    let apart_db = apart.map(finite).fold(0.0, f64::max);
    if theirs.len() != visit.moments.len() {
        return Err("expected as many places".into());
    }
    Ok((number(&said["mean_ms"]), apart_db))
}
