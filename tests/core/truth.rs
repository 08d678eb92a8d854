//! What a case file says reaches neither presenter nor journal nor finding.

use crate::at_hand::{SHORT_PLAN, file, folder, veridical, word};
use std::path::Path;
use veridical::errand::study::only_tested;
use veridical::errand::{Begin, headless};
use veridical::journal::{PersonKind, Plan};
use veridical::person::{Case, Person, PersonError, Response, Simulated};
use veridical::stimulus::{Facing, Presentation, Task};

/// Has a truth, and answers by a script all the same.
struct Scripted {
    truth: Simulated,
}

impl Person for Scripted {
    fn answer(&mut self, n: u32, presentation: &Presentation) -> Result<Response, PersonError> {
        self.truth.answer(n, presentation)?;
        let luck = n * 7 % 10;
        Ok(match presentation.task {
            Task::Detect => {
                let level_db = presentation.sounds().next().map(|sound| sound.level.db());
                let heard = level_db.is_some_and(|db| db > 30.0 + f64::from(luck));
                Response::Presses(if heard { vec![3.1] } else { vec![] })
            }
            _ => Response::Facing {
                facing: Facing::EIGHT[luck as usize % 8],
                after_s: 0.7,
            },
        })
    }

    fn recall(&mut self, n: u32, presentation: &Presentation) -> Result<(), PersonError> {
        self.truth.recall(n, presentation)
    }
}

/// Everything in a folder, by name.
fn all_in(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, std::fs::read(path).unwrap())
        })
        .collect();
    all.sort();
    all
}

#[test]
fn the_same_answers_give_the_same_visit_whoever_gives_them() {
    let at = folder("truth-script");
    let title = "title = \"Invented: the same for both\"\nformat = 1\n";
    let best = "[hearing]\nhz = [1000]\nright = [-5]\nleft = [0]\n[sight]\nright = -0.3\n";
    let worst = "age_years = 81\nsex = \"male\"\n[hearing]\nhz = [500, 4000]\nright = [75, 90]\n\
        left = [60, 95]\n[sight]\nright = 1.2\nleft = 1.0\n[manner]\nkind = \"raised_bar\"\n";
    let mut left_behind = [best, worst]
        .into_iter()
        .zip(["best", "worst"])
        .map(|(truth, name)| {
            let case = Case::from_toml(&format!("{title}{truth}"), name).unwrap();
            let wish = Begin {
                folder: at.join(name),
                person: PersonKind::Simulated {
                    title: case.title.clone(),
                },
                ..crate::at_hand::wish(
                    3,
                    only_tested(Plan::from_toml(SHORT_PLAN, "a plan").unwrap(), &case),
                )
            };
            let truth = Simulated::new(case, 4);
            headless(&wish, &mut Scripted { truth }, false).unwrap();
            all_in(&wish.folder)
        });
    let (best, worst) = (left_behind.next().unwrap(), left_behind.next().unwrap());
    let names: Vec<&str> = best.iter().map(|(name, _)| name.as_str()).collect();
    let written = [
        "fhir-bundle.json",
        "findings.json",
        "journal.jsonl",
        "report.pdf",
        "trials.csv",
    ];
    assert_eq!(names, written);
    assert_eq!(best, worst);
}

/// Two people who answer every tone (`false_alarm = 1`) and see every optotype that the screen can
/// draw, with nothing else in common: through the program as anybody would use it.
#[test]
fn a_truth_that_no_answer_shows_is_nowhere() {
    let at = folder("truth-program");
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let one = "format = 1\ntitle = \"Invented: answers everything\"\n\
        [hearing]\nhz = [1000]\nright = [13.3731]\nleft = [61.7319]\n\
        [sight]\nright = -1.2377\nleft = -1.0\n\
        [manner]\nfalse_alarm = 1.0\nlapse = 0.0\nscale_log_mar = 0.001\n";
    let other = "format = 1\ntitle = \"Invented: answers everything\"\nage_years = 77\nsex = \"male\"\n\
        [hearing]\nhz = [1000]\nright = [93.71]\nleft = [-8.91]\ninteraural_attenuation_db = 43.21\n\
        [sight]\nright = -1.777\nleft = -1.9\npinhole_gain = 0.123\nnear_shift = 0.321\n\
        [manner]\nfalse_alarm = 1.0\nlapse = 0.0\nscale_log_mar = 0.001\nwander_db = 7.654\n\
        drift_db = 3.456\ncriterion_db = 12.3217\nscale_db = 8.765\nbar_db_hl = 87.65\n\
        forced_choice = \"honest\"\near = \"right\"\n";
    let results = [("one", one), ("other", other)].map(|(name, text)| {
        let case = file(&at, &format!("{name}.toml"), text);
        let out = at.join(name);
        let arguments = ["visit", "--case", &case, "--seed", "6", "--plan", &plan];
        let told = veridical(&[&arguments[..], &["--out", &word(&out), "--json"]].concat());
        assert_eq!(told.code, Some(0), "{}", told.err);
        (told.out, all_in(&out))
    });
    assert_eq!(results[0], results[1]);
    for (name, bytes) in &results[0].1 {
        let text = String::from_utf8_lossy(bytes);
        for hidden in ["13.3731", "61.7319", "-1.2377", "12.3217"] {
            assert!(!text.contains(hidden), "{hidden} is in {name}");
        }
    }
}
