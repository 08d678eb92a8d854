//! `findings.json` and the study's document have the fields that others rely on.

use crate::at_hand::{case_file, file, folder, veridical, word};
use serde_json::Value;

/// What a field must be.
#[derive(Debug, Clone, Copy)]
enum Is {
    Text,
    Number,
    Count,
    YesNo,
    Pair,
    Texts,
    Numbers,
    NumberOrNull,
    OneOf(&'static [&'static str]),
}

impl Is {
    fn fits(self, value: &Value) -> bool {
        let list = |is: Is, count: Option<usize>| {
            value.as_array().is_some_and(|list| {
                list.iter().all(|one| is.fits(one)) && count.is_none_or(|count| list.len() == count)
            })
        };
        match self {
            Is::Text => value.as_str().is_some_and(|text| !text.is_empty()),
            Is::Number => value.as_f64().is_some_and(f64::is_finite),
            Is::Count => value.is_u64(),
            Is::YesNo => value.is_boolean(),
            Is::Pair => list(Is::Number, Some(2)),
            Is::Texts => list(Is::Text, None),
            Is::Numbers => list(Is::Number, None),
            Is::NumberOrNull => value.is_null() || Is::Number.fits(value),
            Is::OneOf(words) => value.as_str().is_some_and(|word| words.contains(&word)),
        }
    }
}

fn has(document: &Value, fields: &[(&str, Is)]) {
    for (path, is) in fields {
        let value = document.pointer(path);
        assert!(
            value.is_some_and(|value| is.fits(value)),
            "{path}: {value:?} is not {is:?}"
        );
    }
}

const HEARING_STATUS: Is = Is::OneOf(&[
    "measured",
    "no_response_at_maximum",
    "answered_at_minimum",
    "not_tested",
    "declined",
    "stopped",
]);
const SIGHT_STATUS: Is = Is::OneOf(&[
    "measured",
    "better_than_smallest_shown",
    "worse_than_largest_shown",
    "counting_fingers",
    "hand_motion",
    "light_perception",
    "no_light_perception",
    "not_tested",
    "declined",
    "stopped",
]);
const MASKING: Is = Is::OneOf(&[
    "not_needed",
    "needed_not_done",
    "done",
    "could_not_be_masked",
]);
const GRADE: Is = Is::OneOf(&["consistent", "mixed", "inconsistent", "too_few_answers"]);

/// The document's fields, written down by hand.
const TOP: [(&str, Is); 14] = [
    ("/format", Is::Count),
    ("/program", Is::Text),
    ("/setup", Is::Text),
    ("/sight/right/status", SIGHT_STATUS),
    ("/sight/left/status", SIGHT_STATUS),
    ("/sight/both/status", SIGHT_STATUS),
    ("/counts/tones", Is::Count),
    ("/counts/silent", Is::Count),
    ("/counts/repeats", Is::Count),
    ("/counts/optotypes", Is::Count),
    ("/counts/void", Is::Count),
    ("/seconds", Is::Number),
    ("/consistency/hearing/grade", GRADE),
    ("/consistency/sight/grade", GRADE),
];
const TESTED_EAR: [(&str, Is); 5] = [
    ("/hz", Is::Number),
    ("/status", HEARING_STATUS),
    ("/masking", MASKING),
    ("/presentations", Is::Count),
    ("/from_neighbours", Is::YesNo),
];
const MEASURED_EAR: [(&str, Is); 5] = [
    ("/threshold_db_hl", Is::Number),
    ("/midpoint_db_hl", Is::Number),
    ("/sd_db", Is::Number),
    ("/u_db", Is::Number),
    ("/interval_90_db", Is::Pair),
];
const MEASURED_EYE: [(&str, Is); 15] = [
    ("/log_mar", Is::Number),
    ("/midpoint_log_mar", Is::Number),
    ("/chart_log_mar", Is::Number),
    ("/sd_log_mar", Is::Number),
    ("/u_log_mar", Is::Number),
    ("/snellen", Is::Text),
    ("/snellen_6m", Is::Text),
    ("/snellen_20ft", Is::Text),
    ("/nearest_line", Is::Text),
    ("/straddles", Is::Texts),
    ("/decimal", Is::Number),
    ("/distance_mm", Is::Number),
    ("/optotype", Is::Text),
    ("/crowded", Is::YesNo),
    ("/correction", Is::Text),
];
const CONSISTENCY: [(&str, Is); 2] = [
    ("/log10_ratio", Is::NumberOrNull),
    ("/log10_ratio_shown", Is::NumberOrNull),
];
const SILENT: [(&str, Is); 3] = [
    ("/consistency/hearing/silent/answered", Is::Count),
    ("/consistency/hearing/silent/of", Is::Count),
    ("/consistency/hearing/silent/interval_95", Is::Pair),
];
const CHECK: [(&str, Is); 6] = [
    ("/name", Is::Text),
    ("/k", Is::Count),
    ("/n", Is::Count),
    ("/p", Is::NumberOrNull),
    ("/seen", Is::Text),
    ("/expected", Is::Text),
];
const CUE: [(&str, Is); 4] = [
    ("/what", Is::Text),
    ("/why", Is::Text),
    ("/source", Is::Text),
    ("/urgency", Is::Text),
];

fn visit(name: &str, case: &str, plan: &str) -> Value {
    let out = word(&folder(&format!("findings-{name}")).join("visit"));
    let told = veridical(&[
        "visit", "--case", case, "--seed", "2", "--out", &out, "--plan", plan, "--json",
    ]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let written = std::fs::read_to_string(format!("{out}/findings.json")).unwrap();
    let findings = told.json();
    assert_eq!(serde_json::from_str::<Value>(&written).unwrap(), findings);
    let journal = format!("{out}/journal.jsonl");
    let again = veridical(&["recount", &journal, "--json"]).json();
    for (key, value) in findings.as_object().unwrap() {
        assert_eq!(&again[key], value, "{key}");
    }
    has(&findings, &TOP);
    has(&findings, &SILENT);
    for sense in ["hearing", "sight"] {
        let consistency = &findings["consistency"][sense];
        has(consistency, &CONSISTENCY);
        let checks = consistency["checks"].as_array().unwrap();
        assert!(!checks.is_empty());
        for check in checks {
            has(check, &CHECK);
        }
    }
    for ear in ["right", "left"] {
        for one in findings["hearing"][ear].as_array().unwrap() {
            has(one, &TESTED_EAR);
            if one["status"] == "measured" {
                has(one, &MEASURED_EAR);
            }
        }
    }
    for eye in ["right", "left", "both"] {
        if findings["sight"][eye]["status"] == "measured" {
            has(&findings["sight"][eye], &MEASURED_EYE);
        }
    }
    for cue in findings["cues"].as_array().unwrap() {
        has(cue, &CUE);
    }
    findings
}

#[test]
fn the_findings_of_a_full_visit_have_every_field() {
    let findings = visit("full", &case_file("average"), "full");
    assert_eq!(
        (&findings["format"], &findings["setup"]),
        (&1.into(), &"simulated".into())
    );
    let program = findings["program"].as_str().unwrap();
    assert_eq!(program, concat!("veridical ", env!("CARGO_PKG_VERSION")));
    for ear in ["right", "left"] {
        let hz: Vec<f64> = findings["hearing"][ear]
            .as_array()
            .unwrap()
            .iter()
            .map(|one| one["hz"].as_f64().unwrap())
            .collect();
        assert_eq!(
            hz,
            [250.0, 500.0, 1000.0, 2000.0, 3000.0, 4000.0, 6000.0, 8000.0]
        );
        let measured = findings["hearing"][ear].as_array().unwrap();
        assert!(measured.iter().all(|one| one["status"] == "measured"));
        let path = format!("/averages/{ear}/pta4_db_hl");
        has(&findings, &[(&path, Is::Number)]);
    }
    has(&findings, &[("/averages/who_2021", Is::Text)]);
    for eye in ["right", "left", "both"] {
        assert_eq!(findings["sight"][eye]["status"], "measured");
    }
    for sense in ["hearing", "sight"] {
        let path = format!("/consistency/{sense}/log10_ratio");
        has(&findings, &[(&path, Is::Number)]);
    }
}

/// An ear that hears nothing and one that hears everything; an eye that reads nothing.
#[test]
fn what_has_no_figure_has_its_status() {
    let at = folder("findings-extremes");
    let case = file(
        &at,
        "case.toml",
        "format = 1\ntitle = \"Invented: extremes\"\n[hearing]\nhz = [1000]\n\
        right = [150]\nleft = [-30]\ninteraural_attenuation_db = 200\n[sight]\nright = 3.5\nleft = -2\n\
        [manner]\nfalse_alarm = 0.0\nlapse = 0.0\n",
    );
    let findings = visit("extreme", &case, "full");
    for (ear, status, level) in [
        // No response is no threshold: the level has a name of its own.
        ("right", "no_response_at_maximum", "/no_response_at_db_hl"),
        ("left", "answered_at_minimum", "/threshold_db_hl"),
    ] {
        for one in findings["hearing"][ear].as_array().unwrap() {
            assert_eq!(one["status"], status);
            has(one, &[(level, Is::Number)]);
            assert_eq!(one.get("threshold_db_hl").is_some(), ear == "left");
        }
    }
    // Asked from nearer and by hand too, as the full plan wishes it.
    assert_eq!(findings["sight"]["right"]["status"], "no_light_perception");
    assert_eq!(
        findings["sight"]["left"]["status"],
        "better_than_smallest_shown"
    );
    assert!(
        findings["averages"]["right"]
            .as_object()
            .unwrap()
            .is_empty()
    );
}

/// The document's fields, written down by hand.
const STUDY: [(&str, Is); 4] = [
    ("/seed", Is::Count),
    ("/procedure", Is::Text),
    ("/plan", Is::Text),
    ("/all/hearing/midpoint/rmse_db", Is::Number),
];
const STUDIED: [(&str, Is); 27] = [
    ("/case", Is::Text),
    ("/repeats", Is::Count),
    ("/hearing/midpoint/rmse_db", Is::Number),
    ("/hearing/midpoint/bias_db", Is::Number),
    ("/hearing/midpoint/sd_db", Is::Number),
    ("/hearing/midpoint/within_5_db", Is::Number),
    ("/hearing/midpoint/coverage_90", Is::Number),
    ("/hearing/midpoint/worst_bias_db", Is::Number),
    ("/hearing/threshold/rmse_db", Is::Number),
    ("/hearing/threshold/bias_db", Is::Number),
    ("/hearing/threshold/sd_db", Is::Number),
    ("/hearing/status/measured", Is::Count),
    ("/hearing/tones_per_threshold", Is::Number),
    ("/hearing/presentations_mean", Is::Number),
    ("/hearing/presentations_p95", Is::Count),
    ("/sight/rmse_log_mar", Is::Number),
    ("/sight/bias_log_mar", Is::Number),
    ("/sight/coverage_90", Is::Number),
    ("/sight/presentations_mean", Is::Number),
    ("/consistency/hearing/grades/consistent", Is::Count),
    ("/consistency/hearing/grades/mixed", Is::Count),
    ("/consistency/hearing/grades/inconsistent", Is::Count),
    ("/consistency/hearing/grades/too_few_answers", Is::Count),
    ("/consistency/hearing/log10_ratio", Is::Numbers),
    ("/consistency/sight/grades/consistent", Is::Count),
    ("/consistency/sight/log10_ratio", Is::Numbers),
    ("/seconds_mean", Is::Number),
];

#[test]
fn a_study_has_every_field_and_is_the_same_on_any_number_of_threads() {
    let at = folder("study");
    for name in ["careful", "average"] {
        std::fs::copy(case_file(name), at.join(format!("{name}.toml"))).unwrap();
    }
    let cases = word(&at);
    let study = |threads: &str, seed: &str| {
        let told = veridical(&[
            "study",
            "--cases",
            &cases,
            "--repeats",
            "6",
            "--seed",
            seed,
            "--plan",
            "quick",
            "--threads",
            threads,
            "--json",
        ]);
        assert_eq!(told.code, Some(0), "{}", told.err);
        told
    };
    let one = study("1", "1");
    assert_eq!(one.out, study("2", "1").out);
    assert_ne!(one.out, study("2", "2").out);
    let report = one.json();
    has(&report, &STUDY);
    assert_eq!(
        (&report["seed"], &report["plan"]),
        (&1.into(), &"quick".into())
    );
    let studied = report["cases"].as_array().unwrap();
    let names: Vec<&Value> = studied.iter().map(|case| &case["case"]).collect();
    assert_eq!(names, ["average", "careful"]);
    for case in studied {
        has(case, &STUDIED);
        assert_eq!(case["repeats"], 6);
        let grades = case["consistency"]["hearing"]["grades"]
            .as_object()
            .unwrap();
        let all: u64 = grades.values().map(|n| n.as_u64().unwrap()).sum();
        assert_eq!((grades.len(), all), (4, 6));
    }
    has(&report["all"], &STUDIED[1..]);
}
