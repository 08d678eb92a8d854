//! The program is killed at any moment of a visit that is kept in a store, plain or encrypted: every line
//! that was on the disk stays, the store opens and holds, and the visit goes on to the same findings.
//!
//! `VERIDICAL_KILLS` says how many kills.

use crate::at_hand::{SHORT_PLAN, case_file, file, folder, program, told, word};
use crate::kill::kills;
use crate::store::{PASSPHRASE, found, open};
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::{Duration, Instant};
use veridical::quantity::{Draws, Stream};
use veridical::report::tidy_json;
use veridical::store::{Archive, Code, State, VisitsOf};

struct Kept {
    at: PathBuf,
    sealed: bool,
    passphrase: String,
    plan: String,
    /// The lines of each visit as they were seen last.
    seen: Vec<(Code, Vec<u8>)>,
}

impl Kept {
    fn new(at: PathBuf, sealed: bool, scratch: &Path) -> Kept {
        drop(found(&at, sealed));
        Kept {
            at,
            sealed,
            passphrase: file(scratch, "passphrase", PASSPHRASE),
            plan: file(scratch, "plan.toml", SHORT_PLAN),
            seen: Vec::new(),
        }
    }

    fn run(&self, going_on: bool) -> std::process::Command {
        let (case, store) = (case_file("average"), word(&self.at));
        let mut command = program();
        command.args([
            "visit", "--seed", "5", "--plan", &self.plan, "--case", &case,
        ]);
        command.args(["--store", &store]);
        if self.sealed {
            command.args(["--passphrase-file", &self.passphrase]);
        }
        if going_on {
            command.arg("--resume");
        }
        command
    }

    /// Opens the store as the kill left it and looks whether everything is there. Gives whether a
    /// visit is left open.
    fn look(&mut self) -> bool {
        let mut archive = open(&self.at, self.sealed);
        let notices = archive.notices();
        assert!(
            notices.iter().all(|line| line.contains("cut off")),
            "{notices:?}"
        );
        let visits = archive
            .visits(&VisitsOf {
                person: None,
                most: 10,
                after: 0,
            })
            .unwrap();
        for (visit, before) in &self.seen {
            let now = archive.journal(visit).unwrap();
            let whole = before
                .iter()
                .rposition(|byte| *byte == b'\n')
                .map_or(0, |at| at + 1);
            assert!(
                now.starts_with(&before[..whole]),
                "lines of {visit} were lost"
            );
        }
        self.seen.clear();
        let mut open = false;
        for found in visits.iter().filter(|found| found.state != State::Erased) {
            open |= found.state == State::Open;
            self.seen
                .push((found.code.clone(), archive.journal(&found.code).unwrap()));
        }
        let checked = archive.check(&mut |_, _| true).unwrap();
        assert!(checked.holds, "{checked:?}");
        open
    }

    fn findings(&self) -> String {
        let mut archive: Archive = open(&self.at, self.sealed);
        let (visit, _) = self.seen.last().unwrap();
        assert_eq!(archive.visit(visit).unwrap().state, State::Closed);
        tidy_json(&archive.findings(visit).unwrap()).unwrap()
    }
}

#[test]
fn a_visit_in_a_store_survives_kills_at_any_moment() {
    for sealed in [false, true] {
        let scratch = folder(&format!("kill-store-{sealed}"));
        let mut undisturbed = Kept::new(scratch.join("undisturbed"), sealed, &scratch);
        let began = Instant::now();
        let end = told(&undisturbed.run(false).output().unwrap());
        assert_eq!(end.code, Some(0), "{}", end.err);
        // Follows the machine: longer after each kill that landed, as long as the visit was if one came
        // too late.
        let mut lasts_s = began.elapsed().as_secs_f64();
        assert!(!undisturbed.look());
        let expected = undisturbed.findings();
        let mut draws = Draws::new(10, Stream::Visit, u64::from(sealed));
        let fresh = |at: u32| scratch.join(format!("disturbed-{at}"));
        let (mut landed, mut compared, mut store) = (0, 0, 0);
        let mut kept = Kept::new(fresh(store), sealed, &scratch);
        let mut going_on = false;
        while landed < kills() / 2 {
            let began = Instant::now();
            let mut child = kept
                .run(going_on)
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap();
            std::thread::sleep(Duration::from_secs_f64(lasts_s * draws.between(0.0, 1.1)));
            child.kill().unwrap();
            if child.wait().unwrap().code().is_none() {
                landed += 1;
                lasts_s *= 1.05;
            } else {
                lasts_s = lasts_s.min(began.elapsed().as_secs_f64());
            }
            going_on = kept.look();
            let over = !going_on && !kept.seen.is_empty();
            if over || draws.chance(0.3) {
                if !over {
                    let end = told(&kept.run(going_on).output().unwrap());
                    assert_eq!(end.code, Some(0), "{}", end.err);
                    kept.look();
                }
                assert_eq!(kept.findings(), expected);
                compared += 1;
                std::fs::remove_dir_all(&kept.at).unwrap();
                store += 1;
                kept = Kept::new(fresh(store), sealed, &scratch);
                going_on = false;
            }
        }
        assert!(compared > 0);
        println!(
            "{landed} kills of a visit of {lasts_s:.2} s in a store, encrypted: {sealed}; {compared} compared"
        );
    }
}
