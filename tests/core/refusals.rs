//! Bad input gives one clear line that names the file, the field and what was expected.

use crate::at_hand::{SHORT_PLAN, case_file, file, folder, veridical, word};

const CASE: &str = "format = 1\ntitle = \"Invented\"\n";

#[test]
fn a_case_that_cannot_be_used() {
    let at = folder("bad-case");
    for (name, case, words) in [
        (
            "key.toml",
            format!("{CASE}shoe_size = 42\n"),
            vec!["shoe_size"],
        ),
        (
            "manner.toml",
            format!("{CASE}[manner]\nmood = 1\n"),
            vec!["mood"],
        ),
        (
            "kind.toml",
            format!("{CASE}[manner]\nkind = \"kind\"\n"),
            vec!["kind", "genuine"],
        ),
        (
            "range.toml",
            format!("{CASE}[manner]\nscale_db = -3.0\n"),
            vec!["scale_db", "expected", "-3"],
        ),
        (
            "count.toml",
            format!("{CASE}[hearing]\nhz = [1000]\n"),
            vec!["hearing.right", "expected 1"],
        ),
        (
            "order.toml",
            format!("{CASE}[hearing]\nhz = [2000, 1000]\nright = [1, 2]\nleft = [1, 2]\n"),
            vec!["hearing.hz", "rising"],
        ),
        (
            "format.toml",
            "format = 2\ntitle = \"Invented\"\n".into(),
            vec!["format", "found 2"],
        ),
        ("title.toml", "format = 1\n".into(), vec!["title"]),
        ("toml.toml", "format = = 1\n".into(), vec!["line 1"]),
        (
            "nan.toml",
            format!("{CASE}[sight]\nright = nan\n"),
            vec!["sight.right", "expected"],
        ),
    ] {
        let path = file(&at, name, case);
        let out = word(&at.join("visit"));
        let told = veridical(&[
            "visit", "--case", &path, "--seed", "1", "--out", &out, "--json",
        ]);
        told.refused(&[&[name][..], &words].concat());
        assert!(!at.join("visit").exists(), "{name}");
    }
}

#[test]
fn a_visit_that_cannot_begin() {
    let at = folder("bad-visit");
    let (case, out) = (case_file("average"), word(&at.join("visit")));
    let plan = file(&at, "plan.toml", SHORT_PLAN);
    let wrong =
        |name: &str, from: &str, to: &str| file(&at, name, SHORT_PLAN.replacen(from, to, 1));
    let rule = wrong("rule.toml", "\"ascending\"", "\"descending\"");
    let hz = wrong("hz.toml", "4000", "40000");
    let key = wrong("key.toml", "practice_items", "practise_items");
    let begin = |more: &[&str]| {
        let visit = ["visit", "--case", &case, "--seed", "1", "--out", &out];
        veridical(&[&visit[..], more].concat())
    };
    begin(&["--plan", "fastest"]).refused(&[
        "fastest",
        "quick",
        "full",
        "reliability",
        "monitoring",
    ]);
    begin(&["--plan", &rule]).refused(&[
        "rule.toml",
        "hearing.procedure",
        "ascending",
        "descending",
    ]);
    begin(&["--plan", &hz]).refused(&["hz.toml", "hearing.hz", "40000"]);
    begin(&["--plan", &key]).refused(&["key.toml", "practise_items", "practice_items"]);
    begin(&["--procedure", "guessing"]).refused(&["--procedure", "ascending", "guessing"]);
    begin(&["--distance-mm", "12"]).refused(&["--distance-mm", "12"]);
    begin(&["--earphone", "no/profile.toml"]).refused(&["no/profile.toml"]);
    begin(&["--screen", &case]).refused(&["average.toml"]);
    begin(&["--case", "no/case.toml"]).refused(&["--case"]);
    begin(&["--resume"]).refused(&["journal.jsonl"]);
    assert!(!at.join("visit").exists());
    veridical(&[
        "visit",
        "--case",
        "no/case.toml",
        "--seed",
        "1",
        "--out",
        &out,
    ])
    .refused(&["no/case.toml"]);
    veridical(&["visit", "--case", &case, "--out", &out]).refused(&["--seed"]);
    veridical(&["visit", "--case", &case, "--seed", "one", "--out", &out])
        .refused(&["--seed", "one"]);
    veridical(&["visit", "--seed", "1", "--out", &out]).refused(&["--case"]);
    veridical(&["visit", "--person", "me", "--seed", "1", "--out", &out]).refused(&["--person"]);
    veridical(&["vists"]).refused(&["vists"]);
    veridical(&["visits"]).refused(&["subcommand", "list"]);

    assert_eq!(begin(&["--plan", &plan]).code, Some(0));
    let journal = std::fs::read(at.join("visit/journal.jsonl")).unwrap();
    begin(&["--plan", &plan]).refused(&["journal.jsonl", "--resume"]);
    begin(&["--plan", "quick", "--resume"]).refused(&["journal.jsonl", "--plan"]);
    let other = [
        "visit", "--case", &case, "--out", &out, "--plan", &plan, "--resume", "--seed", "2",
    ];
    veridical(&other).refused(&["journal.jsonl", "--seed"]);
    assert_eq!(
        std::fs::read(at.join("visit/journal.jsonl")).unwrap(),
        journal
    );
}

/// Without a profile the caps are the lower of 100 dB SPL and 80 dB HL: at 1 kHz 80 dB
/// HL are 85.5 dB SPL; at 125 Hz 100 dB SPL less 30.5 dB (ISO 389-8:2004) are 69.5 dB HL.
#[test]
fn a_tone_that_may_not_be_played() {
    let out = word(&folder("bad-tone").join("tone.wav"));
    let tone = |more: &[&str]| {
        let told = veridical(
            &[
                &["tone", "--ear", "right", "--out", &out, "--json"][..],
                more,
            ]
            .concat(),
        );
        let written = std::path::Path::new(&out).exists();
        if written {
            std::fs::remove_file(&out).unwrap();
        }
        assert_eq!(written, told.code == Some(0));
        told
    };
    assert_eq!(tone(&["--hz", "1000", "--level", "80"]).code, Some(0));
    tone(&["--hz", "1000", "--level", "80.5"]).refused(&["80"]);
    assert_eq!(tone(&["--hz", "125", "--level", "69.5"]).code, Some(0));
    tone(&["--hz", "125", "--level", "70"]).refused(&["69.5"]);
    tone(&["--hz", "1000", "--level", "nan"]).refused(&["level"]);
    tone(&["--hz", "1000", "--level", "40", "--other-ear-level", "95"]).refused(&["95", "80"]);
    tone(&["--hz", "1000", "--level", "40", "--mask-level", "120"]).refused(&["120"]);
    tone(&["--hz", "11", "--level", "40"]).refused(&["11"]);
    tone(&["--hz", "1000", "--level", "40", "--seconds", "0.01"]).refused(&["s"]);
    tone(&["--hz", "1000", "--level", "40", "--seconds", "1e9"]).refused(&["s"]);
    tone(&["--hz", "1000", "--level", "40", "--rate", "0"]).refused(&["0"]);
    tone(&["--hz", "8000", "--level", "40", "--rate", "8000"]).refused(&["8000"]);
    tone(&["--hz", "1000", "--level", "40", "--kind", "square"]).refused(&["square", "pulsed"]);
    tone(&["--hz", "1000", "--level", "40", "--earphone", "no.toml"]).refused(&["no.toml"]);
}

#[test]
fn an_optotype_that_cannot_be_drawn() {
    let out = word(&folder("bad-optotype").join("ring.png"));
    let ring = |log_mar: &str, distance_mm: &str, pixel_mm: &str| {
        veridical(&[
            "optotype",
            "--facing",
            "up",
            "--log-mar",
            log_mar,
            "--distance-mm",
            distance_mm,
            "--pixel-mm",
            pixel_mm,
            "--out",
            &out,
        ])
    };
    ring("9", "4000", "0.1").refused(&["--log-mar", "9"]);
    ring("0", "0", "0.1").refused(&["--distance-mm", "0"]);
    ring("0", "4000", "-1").refused(&["--pixel-mm"]);
    ring("0", "nan", "0.1").refused(&["--distance-mm"]);
    assert!(!std::path::Path::new(&out).exists());
}

#[test]
fn a_study_that_cannot_be_made() {
    let at = folder("bad-study");
    let empty = word(&at);
    let study =
        |more: &[&str]| veridical(&[&["study", "--seed", "1", "--json"][..], more].concat());
    study(&["--repeats", "1"]).refused(&["--cases"]);
    study(&["--repeats", "1", "--cases", &empty]).refused(&["bad-study", "*.toml"]);
    study(&["--repeats", "1", "--cases", "no/cases"]).refused(&["no/cases"]);
    let nobody = ["--repeats", "1", "--population", "nobody"];
    study(&nobody).refused(&["--population", "careful", "average", "poor", "nobody"]);
    let average = ["--repeats", "1", "--population", "average"];
    study(&[&average[..], &["--hz", "10"]].concat()).refused(&["hearing.hz", "10"]);
    study(&[&average[..], &["--silent-share", "2"]].concat()).refused(&["silent_share", "2"]);
    study(&[&average[..], &["--sight-trials", "0"]].concat()).refused(&["fewest_trials", "0"]);
    study(&[&average[..], &["--scale-log-mar", "0"]].concat()).refused(&["--scale-log-mar", "0"]);
    study(&[&average[..], &["--lapse", "0.7"]].concat()).refused(&["--lapse", "0.7"]);
    let plans = folder("bad-study-plans");
    for (name, sight, why) in [
        (
            "rings.toml",
            "procedure = \"rows\"\n",
            ["sight.optotype", "sloan"],
        ),
        (
            "idle.toml",
            "rows.ends = \"all_wrong\"\n",
            ["sight.rows", "procedure"],
        ),
        (
            "between.toml",
            "procedure = \"rows\"\noptotype = \"sloan\"\nrows.first_log_mar = 0.25\n",
            ["sight.rows.first_log_mar", "tenths"],
        ),
        (
            "easy.toml",
            "optotype = \"hotv\"\nletter_difficulty = \"corrected\"\n",
            ["sight.letter_difficulty", "sloan"],
        ),
    ] {
        let plan = file(
            &plans,
            name,
            format!("format = 1\nname = \"any\"\n[sight]\n{sight}"),
        );
        study(&[&average[..], &["--plan", &plan]].concat()).refused(&why);
    }
    study(&[&average[..], &["--procedure", "guessing"]].concat())
        .refused(&["--procedure", "guessing"]);
    file(&at, "wrong.toml", "format = 1\ntitle = 3\n");
    study(&["--repeats", "1", "--cases", &empty]).refused(&["wrong.toml", "title"]);
}
