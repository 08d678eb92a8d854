//! The program is killed at any moment of a visit: what was on disk stays there, and the visit
//! that goes on ends with the results of the undisturbed one, byte for byte.
//!
//! `VERIDICAL_KILLS` says how many kills each of the two tests makes.

use crate::at_hand::{SHORT_PLAN, case_file, file, folder, program, told, veridical, word};
use crate::pipe::{Talk, steady_answer};
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::{Duration, Instant};
use veridical::quantity::{Draws, Stream};

pub fn kills() -> u32 {
    let said = std::env::var("VERIDICAL_KILLS").ok();
    said.map_or(30, |said| said.parse().expect("VERIDICAL_KILLS: a count"))
}

/// A visit's folder, as it was found after each kill.
struct Visit {
    folder: PathBuf,
    on_disk: Vec<u8>,
}

impl Visit {
    fn in_folder(folder: PathBuf) -> Visit {
        let on_disk = Vec::new();
        Visit { folder, on_disk }
    }

    fn journal(&self) -> Option<Vec<u8>> {
        std::fs::read(self.folder.join("journal.jsonl")).ok()
    }

    /// All whole lines that were on disk at the last look must be there still, unchanged.
    fn look(&mut self) {
        let now = self.journal().unwrap_or_default();
        let whole = self
            .on_disk
            .iter()
            .rposition(|byte| *byte == b'\n')
            .map_or(0, |at| at + 1);
        assert!(now.starts_with(&self.on_disk[..whole]), "lines were lost");
        self.on_disk = now;
    }

    /// The results must be those of the undisturbed visit, and the journal must hold.
    fn compare(&mut self, undisturbed: &Path) {
        self.look();
        for result in ["findings.json", "trials.csv"] {
            let read = |folder: &Path| std::fs::read_to_string(folder.join(result)).unwrap();
            assert_eq!(read(&self.folder), read(undisturbed), "{result}");
        }
        let journal = word(&self.folder.join("journal.jsonl"));
        assert_eq!(veridical(&["check", &journal]).code, Some(0));
        std::fs::remove_dir_all(&self.folder).unwrap();
        *self = Visit::in_folder(self.folder.clone());
    }

    /// What begins it, or goes on with it.
    fn arguments(&self, person: &[&str], plan: &str) -> Vec<String> {
        let out = word(&self.folder);
        let mut all = vec!["visit", "--seed", "5", "--plan", plan, "--out", &out];
        all.extend(person);
        if self.journal().is_some() {
            all.push("--resume");
        }
        all.iter().map(|one| (*one).to_owned()).collect()
    }
}

/// Moments are drawn over the whole of the visit and a little more, so that the writing of the
/// results is hit as well.
#[test]
fn a_simulated_visit_survives_kills_at_any_moment() {
    let at = folder("kill-simulated");
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let case = case_file("average");
    let person = ["--case", &case];
    let undisturbed = Visit::in_folder(at.join("undisturbed"));
    let began = Instant::now();
    let run = |visit: &Visit| {
        program()
            .args(visit.arguments(&person, &plan))
            .output()
            .unwrap()
    };
    assert_eq!(told(&run(&undisturbed)).code, Some(0));
    let lasts_s = began.elapsed().as_secs_f64();
    let mut draws = Draws::new(8, Stream::Visit, 0);
    let mut visit = Visit::in_folder(at.join("disturbed"));
    let (mut landed, mut compared) = (0, 0);
    while landed < kills() {
        let mut child = program()
            .args(visit.arguments(&person, &plan))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_secs_f64(lasts_s * draws.between(0.0, 1.1)));
        child.kill().unwrap();
        // A visit that was over before the kill tells nothing new.
        landed += u32::from(child.wait().unwrap().code().is_none());
        visit.look();
        if draws.chance(0.5) {
            let end = told(&run(&visit));
            assert_eq!(end.code, Some(0), "{}", end.err);
            visit.compare(&undisturbed.folder);
            compared += 1;
        }
    }
    assert!(compared > 0);
    println!("{landed} kills of a simulated visit of {lasts_s:.2} s, {compared} compared");
}

/// A person over the pipe: the kill falls before an answer, right after it, or a moment later.
#[test]
fn a_visit_over_the_pipe_survives_kills_around_answers() {
    let at = folder("kill-pipe");
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let undisturbed = Visit::in_folder(at.join("undisturbed"));
    let spawn = |visit: &Visit| {
        let arguments = visit.arguments(&["--person", "-"], &plan);
        Talk::begin(&arguments.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let asked = spawn(&undisturbed).until_the_end(steady_answer);
    let mut draws = Draws::new(9, Stream::Visit, 0);
    let mut visit = Visit::in_folder(at.join("disturbed"));
    let (mut landed, mut compared) = (0, 0);
    while landed < kills() {
        let mut talk = spawn(&visit);
        // Over the rest of the visit and a little more, so that some reach the end.
        let mut left = draws.below(asked.len() * 2 / 3);
        let over = loop {
            let Some(question) = talk.question() else {
                break true;
            };
            if left == 0 {
                let when = draws.below(3);
                if when > 0 {
                    talk.answer(&steady_answer(&question));
                }
                if when > 1 {
                    std::thread::sleep(Duration::from_secs_f64(draws.between(0.0, 0.002)));
                }
                break false;
            }
            left -= 1;
            talk.answer(&steady_answer(&question));
        };
        if over {
            talk.until_the_end(steady_answer);
            visit.compare(&undisturbed.folder);
            compared += 1;
        } else {
            landed += u32::from(talk.kill());
            visit.look();
        }
    }
    assert!(compared > 0);
    println!("{landed} kills of a visit over the pipe, {compared} compared");
}
