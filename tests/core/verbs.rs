//! What each verb prints, and its exit code.

use crate::at_hand::{SHORT_PLAN, case_file, file, folder, here, veridical, word};
use serde_json::json;

#[test]
fn every_verb_tells_in_words_and_as_one_document() {
    let at = folder("verbs");
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let (case, out) = (case_file("careful"), word(&at.join("visit")));
    let journal = word(&at.join("visit/journal.jsonl"));
    let (wav, png) = (word(&at.join("tone.wav")), word(&at.join("ring.png")));
    let visit = [
        "visit", "--case", &case, "--seed", "1", "--out", &out, "--plan", &plan,
    ];
    let cases = word(&here("demo/cases"));
    let verbs: [&[&str]; 6] = [
        &visit,
        &["recount", &journal],
        &["check", &journal],
        &[
            "tone", "--ear", "left", "--hz", "500", "--level", "30", "--out", &wav,
        ],
        &[
            "optotype",
            "--facing",
            "up",
            "--log-mar",
            "0.3",
            "--distance-mm",
            "3000",
            "--pixel-mm",
            "0.2",
            "--out",
            &png,
        ],
        &[
            "study",
            "--cases",
            &cases,
            "--repeats",
            "1",
            "--seed",
            "1",
            "--plan",
            "quick",
            "--hz",
            "1000",
        ],
    ];
    for arguments in verbs {
        let told = veridical(arguments);
        assert_eq!(told.code, Some(0), "{arguments:?} {}", told.err);
        assert!(
            told.out.len() > 20 && !told.out.starts_with('{'),
            "{}",
            told.out
        );
        if arguments[0] == "visit" {
            std::fs::remove_dir_all(&out).unwrap();
        }
        let told = veridical(&[arguments, &["--json"]].concat());
        assert_eq!(told.code, Some(0), "{arguments:?}");
        assert!(told.json().is_object(), "{arguments:?}");
    }
    for help in [&["--help"][..], &["--version"], &["visit", "--help"]] {
        let told = veridical(help);
        assert_eq!((told.code, told.err.as_str()), (Some(0), ""));
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes() {
    let at = folder("same-seed");
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let case = case_file("average");
    let visit = |name: &str, seed: &str| {
        let out = at.join(name);
        let told = veridical(&[
            "visit",
            "--case",
            &case,
            "--seed",
            seed,
            "--plan",
            &plan,
            "--out",
            &word(&out),
        ]);
        assert_eq!(told.code, Some(0), "{}", told.err);
        ["journal.jsonl", "findings.json", "trials.csv"]
            .map(|result| std::fs::read_to_string(out.join(result)).unwrap())
    };
    let first = visit("first", "7");
    assert_eq!(first, visit("second", "7"));
    assert_ne!(first[0], visit("third", "8")[0]);
}

#[test]
fn a_changed_journal_does_not_hold() {
    let at = folder("changed");
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let (case, out) = (case_file("average"), word(&at.join("visit")));
    veridical(&[
        "visit", "--case", &case, "--seed", "1", "--plan", &plan, "--out", &out,
    ]);
    let text = std::fs::read_to_string(at.join("visit/journal.jsonl")).unwrap();
    let whole = text.lines().count();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines[6] = lines[6].replacen("\"t_s\":", "\"t_s\":1", 1);
    let changed = file(&at, "changed.jsonl", lines.join("\n") + "\n");
    let told = veridical(&["check", &changed, "--json"]);
    assert_eq!(told.code, Some(1));
    assert_eq!(told.json()["first_bad_line"], 7);
    assert_eq!(told.json()["lines"], 6);
    let told = veridical(&["check", &changed]);
    assert_eq!(told.code, Some(1));
    assert!(told.out.contains('7'), "{}", told.out);
    veridical(&["recount", &changed]).refused(&["changed.jsonl", "line 7"]);
    let holds = veridical(&["check", &word(&at.join("visit/journal.jsonl")), "--json"]).json();
    assert_eq!(
        (&holds["holds"], &holds["lines"]),
        (&json!(true), &json!(whole))
    );
}

#[test]
fn going_on_with_a_finished_visit_changes_nothing() {
    let at = folder("finished");
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let (case, out) = (case_file("average"), word(&at.join("visit")));
    let visit = [
        "visit", "--case", &case, "--seed", "1", "--plan", &plan, "--out", &out,
    ];
    assert_eq!(veridical(&visit).code, Some(0));
    let journal = std::fs::read(at.join("visit/journal.jsonl")).unwrap();
    assert_eq!(
        veridical(&[&visit[..], &["--resume"]].concat()).code,
        Some(0)
    );
    assert_eq!(
        std::fs::read(at.join("visit/journal.jsonl")).unwrap(),
        journal
    );
}
