//! A person over a pipe: what goes out and what may come back.

use crate::at_hand::{SHORT_PLAN, Told, file, folder, program, told, word};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Stdio};

/// The program, with the test at the other end of its pipe.
pub struct Talk {
    child: Child,
    to: ChildStdin,
    from: BufReader<ChildStdout>,
}

impl Talk {
    pub fn begin(arguments: &[&str]) -> Talk {
        let mut child = program()
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let to = child.stdin.take().unwrap();
        let from = BufReader::new(child.stdout.take().unwrap());
        Talk { child, to, from }
    }

    /// The next question; none at the end of the visit.
    pub fn question(&mut self) -> Option<Value> {
        let mut line = String::new();
        if self.from.read_line(&mut line).unwrap() == 0 {
            return None;
        }
        let question: Value = serde_json::from_str(&line).unwrap();
        (question != json!({"done": true})).then_some(question)
    }

    pub fn answer(&mut self, answer: &Value) {
        self.say(&answer.to_string());
    }

    fn say(&mut self, line: &str) {
        // The program may be gone already; what it left behind is looked at afterwards.
        let _ = writeln!(self.to, "{line}").and_then(|()| self.to.flush());
    }

    /// Kills the program; tells whether it was still there to be killed.
    pub fn kill(mut self) -> bool {
        self.child.kill().unwrap();
        self.child.wait().unwrap().code().is_none()
    }

    /// What it said on its way out, after the questions that were read.
    pub fn end(self) -> Told {
        let Talk {
            child,
            to,
            mut from,
        } = self;
        drop(to);
        let mut rest = String::new();
        std::io::Read::read_to_string(&mut from, &mut rest).unwrap();
        let end = told(&child.wait_with_output().unwrap());
        Told { out: rest, ..end }
    }

    /// Answers to the end of the visit; the questions that were asked.
    pub fn until_the_end(mut self, answer: impl Fn(&Value) -> Value) -> Vec<Value> {
        let mut asked = Vec::new();
        while let Some(question) = self.question() {
            self.answer(&answer(&question));
            asked.push(question);
        }
        let end = self.end();
        assert_eq!((end.code, end.out.as_str()), (Some(0), ""), "{}", end.err);
        asked
    }
}

/// The answer of somebody whose every answer follows from the question alone.
pub fn steady_answer(question: &Value) -> Value {
    let n = question["n"].as_u64().unwrap();
    // A different number for every presentation, from 0 to 9.
    let luck = n * 7 % 10;
    match question["parts"].get(0) {
        None if luck == 0 => json!({"n": n, "yes_at_s": [0.6]}),
        None => json!({"n": n, "yes_at_s": []}),
        Some(part) if question["task"] == "facing" => {
            let seen = part["log_mar"].as_f64().unwrap() > 0.1 || luck == 1;
            let facing = if seen {
                part["facing"].as_str().unwrap()
            } else {
                "up"
            };
            json!({"n": n, "facing": facing, "after_s": 0.5 + 0.03 * luck as f64})
        }
        Some(part) => {
            let level_db = part["level_db_hl"].as_f64().unwrap();
            let heard = level_db > 12.0 + luck as f64;
            let at_s = part["start_s"].as_f64().unwrap() + 0.3 + 0.021 * luck as f64;
            json!({"n": n, "yes_at_s": if heard { vec![at_s] } else { vec![] }})
        }
    }
}

fn begin(name: &str) -> (Talk, PathBuf) {
    let at = folder(name);
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let out = at.join("visit");
    let arguments = [
        "visit",
        "--person",
        "-",
        "--seed",
        "5",
        "--plan",
        &plan,
        "--out",
        &word(&out),
    ];
    (Talk::begin(&arguments), out)
}

fn keys(value: &Value) -> BTreeSet<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

#[test]
fn a_question_tells_what_reaches_ear_and_eye_and_no_more() {
    let (talk, out) = begin("pipe-fields");
    let asked = talk.until_the_end(steady_answer);
    let (mut silent, mut tones, mut optotypes) = (0, 0, 0);
    for (question, n) in asked.iter().zip(1..) {
        assert_eq!(question["n"], n);
        let parts = question["parts"].as_array().unwrap();
        if question["task"] == "facing" {
            optotypes += 1;
            assert_eq!(keys(question), ["n", "parts", "task"].into());
            let expected = ["distance_mm", "eye", "facing", "log_mar", "optotype"];
            assert_eq!(keys(&parts[0]), expected.into());
            assert_eq!(parts[0]["eye"], "right");
            assert_eq!(parts[0]["optotype"], "landolt_8");
            assert_eq!(parts[0]["distance_mm"], 4000.0);
            assert!(parts[0]["log_mar"].is_f64());
            continue;
        }
        assert_eq!(question["task"], "detect");
        assert_eq!(keys(question), ["n", "parts", "task", "window_s"].into());
        let window_s = question["window_s"].as_f64().unwrap();
        silent += i32::from(parts.is_empty());
        for part in parts {
            tones += 1;
            let expected = ["ear", "end_s", "hz", "level_db_hl", "signal", "start_s"];
            assert_eq!(keys(part), expected.into());
            assert_eq!(part["signal"], "tone");
            let at = |key: &str| part[key].as_f64().unwrap();
            assert!((0.5..=2.5).contains(&at("start_s")), "{part}");
            assert!((at("end_s") - at("start_s") - 1.5).abs() < 1e-9, "{part}");
            assert!(window_s - at("end_s") > 1.0 - 1e-9, "{question}");
        }
    }
    assert!(
        silent > 3 && tones > 30 && optotypes == 12,
        "{silent} {tones} {optotypes}"
    );
    for result in ["journal.jsonl", "findings.json", "trials.csv"] {
        assert!(out.join(result).exists(), "{result}");
    }
}

/// Letters are asked, read and journalled as letters, also without a time; `-` is a letter that was
/// not named.
#[test]
fn letters_are_read_over_the_pipe() {
    for (set, of) in [("sloan", "CDHKNORSVZ"), ("hotv", "HOTV")] {
        let at = folder(&format!("pipe-{set}"));
        let text = format!(
            "format = 1\nname = \"letters\"\n[sight]\noptotype = \"{set}\"\neyes = [\"left\"]\n\
             practice_items = 4\nstop_sd_log_mar = 0.0\nfewest_trials = 8\nmost_trials = 8\n"
        );
        let plan = file(&at, "plan.toml", &text);
        let out = at.join("visit");
        let out_word = word(&out);
        let arguments = [
            "visit", "--person", "-", "--seed", "6", "--plan", &plan, "--out", &out_word,
        ];
        let asked = Talk::begin(&arguments).until_the_end(|question| {
            let n = question["n"].as_u64().unwrap();
            let letter = question["parts"][0]["letter"].as_str().unwrap();
            match n % 3 {
                0 => json!({"n": n, "letters": "-"}),
                1 => json!({"n": n, "letters": letter.to_lowercase(), "after_s": 0.9}),
                _ => json!({"n": n, "letters": letter}),
            }
        });
        assert_eq!(asked.len(), 12);
        let mut seen = BTreeSet::new();
        for question in &asked {
            assert_eq!(question["task"], "letters");
            let expected = ["distance_mm", "eye", "letter", "log_mar", "optotype"];
            assert_eq!(keys(&question["parts"][0]), expected.into());
            assert_eq!(question["parts"][0]["optotype"], set);
            seen.insert(question["parts"][0]["letter"].as_str().unwrap());
        }
        assert!(
            seen.len() > 2 && seen.iter().all(|letter| of.contains(letter)),
            "{seen:?}"
        );
        let findings = std::fs::read_to_string(out.join("findings.json")).unwrap();
        let findings: Value = serde_json::from_str(&findings).unwrap();
        let by_size = findings["sight"]["left"]["by_size"].as_array().unwrap();
        let sum = |key: &str| {
            by_size
                .iter()
                .map(|size| size[key].as_u64().unwrap())
                .sum::<u64>()
        };
        // Numbers 5 to 12 measure; 6, 9 and 12 were not named.
        assert_eq!((sum("right"), sum("of")), (5, 8));
        let table = std::fs::read_to_string(out.join("trials.csv")).unwrap();
        assert!(
            table.starts_with("n,status,") && table.contains(&format!("{set},,")),
            "{table}"
        );
    }
}

/// The column `answer` of the detection trials, by whether the slot was silent.
fn answers(out: &Path) -> Vec<(bool, String)> {
    let mut table = csv::Reader::from_path(out.join("trials.csv")).unwrap();
    let names = table.headers().unwrap().clone();
    let at = |name: &str| names.iter().position(|one| one == name).unwrap();
    let (purpose, answer, eye) = (at("purpose"), at("answer"), at("eye"));
    let rows = table.records().map(Result::unwrap);
    rows.filter(|row| row[eye].is_empty())
        .map(|row| (&row[purpose] == "silent", row[answer].to_owned()))
        .collect()
}

/// Answers whatever is heard only after its window has closed.
#[test]
fn a_late_answer_is_no_hit_and_no_false_alarm_of_the_next_slot() {
    let (talk, out) = begin("pipe-late");
    let late = |question: &Value| match question["window_s"].as_f64() {
        Some(window_s) if question["parts"].get(0).is_some() => {
            json!({"n": question["n"], "yes_at_s": [window_s + 0.2]})
        }
        _ => steady_answer(&json!({"n": 1, "task": question["task"], "parts": question["parts"]}))
            .as_object()
            .map(|answer| {
                let mut answer = answer.clone();
                answer["n"] = question["n"].clone();
                answer.into()
            })
            .unwrap(),
    };
    talk.until_the_end(late);
    let answers = answers(&out);
    assert!(answers.len() > 20);
    assert!(
        answers.iter().all(|(_, answer)| answer == "none"),
        "{answers:?}"
    );
    let journal = std::fs::read_to_string(out.join("journal.jsonl")).unwrap();
    let tones = answers.iter().filter(|(silent, _)| !silent).count();
    assert_eq!(journal.matches("\"pressed\"").count(), tones);
    let findings = std::fs::read_to_string(out.join("findings.json")).unwrap();
    let findings: Value = serde_json::from_str(&findings).unwrap();
    assert_eq!(findings["consistency"]["hearing"]["silent"]["answered"], 0);
}

/// Answers each tone before it could have been heard.
#[test]
fn an_early_answer_is_neither_hit_nor_miss() {
    let (talk, out) = begin("pipe-early");
    talk.until_the_end(|question| match question["parts"].get(0) {
        Some(part) if question["task"] == "detect" => {
            let at_s = part["start_s"].as_f64().unwrap() + 0.05;
            json!({"n": question["n"], "yes_at_s": [at_s]})
        }
        None => json!({"n": question["n"], "yes_at_s": []}),
        _ => steady_answer(question),
    });
    for (silent, answer) in answers(&out) {
        assert_eq!(answer, if silent { "none" } else { "early" });
    }
}

#[test]
fn what_cannot_be_an_answer_ends_the_visit_with_one_line() {
    for (name, answer, words) in [
        (
            "wrong-n",
            r#"{"n": 7, "yes_at_s": []}"#,
            ["n: expected 1, found 7", "standard input"],
        ),
        ("no-json", "yes", ["standard input", "answer to 1"]),
        ("empty", "", ["standard input", "answer to 1"]),
        ("no-field", r#"{"n": 1}"#, ["standard input", "yes_at_s"]),
        (
            "wrong-task",
            r#"{"n": 1, "facing": "up"}"#,
            ["standard input", "yes_at_s"],
        ),
        (
            "wrong-type",
            r#"{"n": 1, "yes_at_s": 0.4}"#,
            ["standard input", "answer to 1"],
        ),
        (
            "no-time",
            r#"{"n": 1, "yes_at_s": [-2.0]}"#,
            ["standard input", "yes_at_s"],
        ),
        (
            "no-facing",
            r#"{"n": 1, "facing": "north"}"#,
            ["standard input", "north"],
        ),
    ] {
        let (mut talk, out) = begin(&format!("pipe-{name}"));
        talk.question().unwrap();
        talk.say(answer);
        let end = talk.end();
        assert!(matches!(end.code, Some(1 | 2)), "{name}: {:?}", end.code);
        assert_eq!(end.out, "", "{name}");
        end.one_line(&words);
        assert!(!out.join("findings.json").exists(), "{name}");
    }
    let (mut talk, _) = begin("pipe-ended");
    talk.question().unwrap();
    let end = talk.end();
    assert!(matches!(end.code, Some(1 | 2)));
    end.one_line(&["standard input", "found the end"]);
}
