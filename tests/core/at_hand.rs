//! What the tests have at hand: the program, folders, cases, a short visit.

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use veridical::calibration::SetUp;
use veridical::errand::{Begin, epoch_of_simulations, spin};
use veridical::journal::{Journal, MemoryStore, PersonKind, Plan, Store};
use veridical::person::{Case, Person, Simulated};
use veridical::visit::Visit;

/// A plan of some fifty presentations with everything in it.
pub const SHORT_PLAN: &str = r#"
format = 1
name = "short"
[hearing]
procedure = "ascending"
hz = [1000, 4000]
[sight]
eyes = ["right"]
practice_items = 4
stop_sd_log_mar = 0.0
fewest_trials = 8
most_trials = 8
"#;

/// What a run of the program left behind.
pub struct Told {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

/// Runs the program to its end.
pub fn veridical(args: &[&str]) -> Told {
    told(&program().args(args).output().unwrap())
}

pub fn program() -> Command {
    Command::new(env!("CARGO_BIN_EXE_veridical"))
}

pub fn told(output: &Output) -> Told {
    let text = |bytes: &[u8]| std::str::from_utf8(bytes).unwrap().to_owned();
    Told {
        code: output.status.code(),
        out: text(&output.stdout),
        err: text(&output.stderr),
    }
}

impl Told {
    /// Standard output as the one JSON document that it must be.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("{error}: {:?} {:?}", self.out, self.err))
    }

    /// Asserts that it was refused as bad input: exit 2, nothing on standard output, and one line
    /// on standard error that has all these words in it.
    pub fn refused(&self, words: &[&str]) {
        assert_eq!(self.code, Some(2), "{words:?}: {}{}", self.err, self.out);
        assert_eq!(self.out, "", "{words:?}");
        self.one_line(words);
    }

    /// Asserts one line on standard error that has all these words in it.
    pub fn one_line(&self, words: &[&str]) {
        assert_eq!(self.err.lines().count(), 1, "{words:?}: {}", self.err);
        for word in words {
            assert!(self.err.contains(word), "{word} is not in {}", self.err);
        }
    }
}

/// An empty folder of this name.
pub fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// A file of this name and contents in an existing folder.
pub fn file(folder: &Path, name: &str, contents: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    std::fs::write(&path, contents).unwrap();
    word(&path)
}

pub fn word(path: &Path) -> String {
    path.to_str().unwrap().to_owned()
}

/// A file of the repository.
pub fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// A case that comes with the program.
pub fn case_file(name: &str) -> String {
    word(&here("demo/cases").join(format!("{name}.toml")))
}

pub fn short_plan() -> Plan {
    Plan::from_toml(SHORT_PLAN, "a plan").unwrap()
}

/// What a simulated visit begins with.
pub fn wish(seed: u64, plan: Plan) -> Begin {
    Begin {
        folder: PathBuf::new(),
        seed,
        person: PersonKind::Simulated {
            title: "somebody invented".into(),
        },
        set_up: SetUp::simulated(),
        plan,
        epoch: epoch_of_simulations(),
    }
}

/// A whole visit of this person; what is asked of the storage goes to `store`.
pub fn visit_of<S: Store>(store: S, seed: u64, plan: Plan, person: &mut dyn Person) -> Visit<S> {
    let begin = wish(seed, plan);
    let journal = Journal::begin(store, begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    spin(&mut visit, person).unwrap();
    visit
}

pub fn average_person(seed: u64) -> Simulated {
    let case = Case::read(Path::new(&case_file("average"))).unwrap();
    Simulated::new(case, seed)
}

/// The journal of a short visit.
pub fn short_visit(seed: u64) -> Visit<MemoryStore> {
    visit_of(
        MemoryStore::default(),
        seed,
        short_plan(),
        &mut average_person(seed + 1),
    )
}

/// A proptest configuration that draws the same cases every time and keeps no files.
pub fn fixed(cases: u32) -> proptest::test_runner::Config {
    // `tests/long/fuzz` asks for many times as many.
    let times = std::env::var("VERIDICAL_TIMES")
        .ok()
        .and_then(|times| times.parse().ok());
    proptest::test_runner::Config {
        cases: cases * times.unwrap_or(1),
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20),
        ..Default::default()
    }
}
