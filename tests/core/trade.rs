//! The trade's procedures through the whole program: masking, screening, plans, an earlier visit.

use crate::at_hand::{file, folder, veridical, visit_of, word};
use serde_json::Value;
use veridical::finding::masking::need;
use veridical::finding::{HearingFindings, HearingStatus, Masking, Screened, ScreeningFindings};
use veridical::journal::{About, Plan, Purpose, Record, Unkept};
use veridical::person::{Case, Simulated};
use veridical::quantity::{Ear, Hz, Level, Sex};

/// A listener without chance in it: whoever hears, answers.
fn case(right: f64, left: f64, attenuation_db: f64) -> Case {
    let text = format!(
        "format = 1\ntitle = \"invented: two ears\"\n[hearing]\nhz = [1000]\nright = [{right}]\n\
         left = [{left}]\ninteraural_attenuation_db = {attenuation_db}\n[manner]\nscale_db = 0.5\n\
         false_alarm = 0.0\nlapse = 0.0\nwander_db = 0.0\n"
    );
    Case::from_toml(&text, "a case").unwrap()
}

fn plan(hearing: &str) -> Plan {
    let hz = if hearing.contains("hz =") {
        ""
    } else {
        "hz = [1000]\n"
    };
    let text = format!("format = 1\nname = \"any\"\n[hearing]\n{hz}{hearing}");
    Plan::from_toml(&text, "a plan").unwrap()
}

fn record_of(plan: Plan, case: Case, seed: u64) -> Record {
    let visit = visit_of(Unkept, seed, plan, &mut Simulated::new(case, seed + 100));
    visit.record().clone()
}

fn masked(right: f64, left: f64, attenuation_db: f64) -> (Record, HearingFindings) {
    let plan = plan("procedure = \"ascending\"");
    let record = record_of(plan, case(right, left, attenuation_db), 3);
    let findings = HearingFindings::of(&record);
    (record, findings)
}

/// Handbook masking (Hood 1960, Studebaker 1964, from memory): what crosses the head is not this
/// ear's threshold; with the other ear masked the threshold is found within a step, or nothing is
/// heard up to the maximum.
#[test]
fn a_cross_heard_threshold_is_never_this_ears() {
    for attenuation_db in [40.0, 50.0, 60.0] {
        let (record, findings) = masked(10.0, 150.0, attenuation_db);
        let dead = &findings.left[0];
        assert_eq!(dead.status, HearingStatus::NoResponseAtMaximum, "{dead:?}");
        assert_eq!(dead.masking, Some(Masking::Done));
        assert_eq!(dead.threshold, None);
        let crossed_db = dead.unmasked.unwrap().db();
        assert!(
            (crossed_db - 10.0 - attenuation_db).abs() <= 5.0,
            "{crossed_db}"
        );
        assert!(
            record
                .counted()
                .any(|trial| trial.purpose() == Purpose::Masked)
        );
        let (_, findings) = masked(85.0, 10.0, attenuation_db);
        let poor = &findings.right[0];
        assert_eq!(
            (poor.status, poor.masking),
            (HearingStatus::Measured, Some(Masking::Done))
        );
        let midpoint_db = poor.midpoint.map(Level::db).unwrap();
        assert!((midpoint_db - 85.0).abs() < 5.0, "{poor:?}");
        assert_eq!(findings.left[0].masking, Some(Masking::NotNeeded));
    }
}

/// Whether a masked threshold leans on the prior and its neighbours is stated as of any other: by `estimate`, and only there.
#[test]
fn a_masked_threshold_says_what_it_leans_on() {
    let of = |procedure: &str, stop_db: f64| {
        let plan = plan(&format!(
            "procedure = \"{procedure}\"\nstop_sd_db = {stop_db}\nhz = [500, 1000, 2000, 4000]"
        ));
        let text = "format = 1\ntitle = \"invented: two ears\"\n[hearing]\nhz = [500, 1000, 2000, 4000]\n\
                    right = [85, 85, 85, 85]\nleft = [10, 10, 10, 10]\ninteraural_attenuation_db = 55\n[manner]\n\
                    scale_db = 2.0\nfalse_alarm = 0.01\nlapse = 0.01\nwander_db = 0.0\n";
        let record = record_of(plan, Case::from_toml(text, "a case").unwrap(), 3);
        HearingFindings::of(&record).right
    };
    let estimated = of("estimate", 4.0);
    let masked: Vec<_> = estimated
        .iter()
        .filter(|one| one.masking == Some(Masking::Done) && one.status == HearingStatus::Measured)
        .collect();
    assert!(masked.len() >= 3, "{estimated:?}");
    for one in masked {
        let share = one.prior_share.expect("stated");
        // What answers leave of the variance is less than what the prior and the neighbours left.
        assert!(share > 0.0 && share < 1.0, "{one:?}");
        assert_eq!(one.from_neighbours, share >= 0.5, "{one:?}");
    }
    let ascending = of("ascending", 4.0);
    let done = |one: &&veridical::finding::HearingFinding| one.masking == Some(Masking::Done);
    assert!(ascending.iter().any(|one| done(&one)));
    assert!(ascending.iter().all(|one| one.prior_share.is_none()));
}

/// Every masked slot has its noise from the first moment to the last, at the ear that is not
/// tested, with a tone or without.
#[test]
fn noise_tells_of_no_tone() {
    let (record, _) = masked(10.0, 150.0, 60.0);
    let (mut silent, mut tones) = (0, 0);
    for trial in record.counted() {
        let Some(noise) = trial.masker() else {
            continue;
        };
        assert_eq!(noise.ear, Ear::Right);
        assert!(noise.start_s == 0.0 && Some(noise.end_s) == trial.planned.presentation.window_s);
        match trial.purpose() {
            Purpose::Silent => silent += 1,
            Purpose::Masked => tones += 1,
            other => panic!("{other:?}"),
        }
        assert_eq!(trial.tone().is_none(), trial.purpose() == Purpose::Silent);
    }
    assert!(silent > 0 && tones > 5, "{silent} {tones}");
}

/// A plan that does not mask shows no threshold where the other ear may have answered, and says so.
#[test]
fn without_masking_nothing_is_shown_in_its_place() {
    let text = "procedure = \"ascending\"\nmasking = \"none\"";
    let record = record_of(plan(text), case(10.0, 150.0, 60.0), 3);
    let left = &HearingFindings::of(&record).left[0];
    assert_eq!(left.masking, Some(Masking::NeededNotDone));
    assert_eq!(
        (left.threshold, left.midpoint, left.limit),
        (None, None, None)
    );
    assert!((left.unmasked.unwrap().db() - 70.0).abs() <= 5.0);
    assert!(left.cross_hearing_caution);
    assert!(matches!(
        need(&record, Ear::Left, Hz(1000.0)),
        veridical::finding::masking::Need::Yes(_)
    ));
}

/// Adults at 25 dB HL, children at 20 (ASHA 1997; Texas Administrative Code 16/4/111.190): heard or
/// not heard, with counts, and no threshold beside it.
#[test]
fn screening_finds_heard_or_not_heard_and_no_threshold() {
    let screen = |level: &str| {
        let text = format!("procedure = \"screening\"\n{level}");
        let record = record_of(plan(&text), case(22.0, 60.0, 60.0), 5);
        let found = ScreeningFindings::of(&record).unwrap();
        let hearing = HearingFindings::of(&record);
        assert!(
            hearing
                .all()
                .all(|(_, one)| one.status == HearingStatus::NotTested)
        );
        assert!(record.counted().all(|trial| {
            trial.purpose() != Purpose::Screen || trial.tone().unwrap().level.db() <= 25.0
        }));
        (found.right[0].clone(), found.left[0].clone())
    };
    let (right, left) = screen("");
    assert_eq!(
        (right.found, left.found),
        (Screened::Heard, Screened::NotHeard)
    );
    assert_eq!((right.answered, right.of), (2, 2));
    assert_eq!((left.answered, left.of), (0, 2));
    let (right, _) = screen("screening_db = 20");
    assert_eq!(right.found, Screened::NotHeard);
}

/// What a screening did not hear is measured if the plan says so, and nothing else.
#[test]
fn what_was_not_heard_is_measured_after_a_screening() {
    let text = "procedure = \"screening\"\nthen = \"ascending\"\nscreening_db = 20";
    let record = record_of(plan(text), case(5.0, 50.0, 60.0), 5);
    let hearing = HearingFindings::of(&record);
    assert_eq!(hearing.right[0].status, HearingStatus::NotTested);
    assert_eq!(hearing.left[0].status, HearingStatus::Measured);
}

/// ASHA 2005 (from memory): the frequency between two octaves that differ by 20 dB or more.
#[test]
fn steep_octaves_have_the_frequency_between_measured() {
    let text = |more: &str| {
        format!(
            "format = 1\nname = \"any\"\n[hearing]\nprocedure = \"ascending\"\n\
             hz = [1000, 2000, 500]\n{more}"
        )
    };
    let steep = "format = 1\ntitle = \"invented: steep\"\n[hearing]\nhz = [500, 1000, 2000]\n\
        right = [10, 10, 50]\nleft = [10, 15, 20]\n[manner]\nscale_db = 0.5\nfalse_alarm = 0\n\
        lapse = 0\nwander_db = 0\n";
    let measured = |more: &str| {
        let plan = Plan::from_toml(&text(more), "a plan").unwrap();
        let record = record_of(plan, Case::from_toml(steep, "a case").unwrap(), 2);
        let found = HearingFindings::of(&record);
        let hz = |ear| -> Vec<f64> { found.ear(ear).iter().map(|one| one.hz.0).collect() };
        (hz(Ear::Right), hz(Ear::Left))
    };
    let plain = vec![500.0, 1000.0, 2000.0];
    assert_eq!(measured(""), (plain.clone(), plain.clone()));
    let with = vec![500.0, 1000.0, 1500.0, 2000.0];
    assert_eq!(measured("inter_octaves = true"), (with, plain));
}

#[test]
fn a_plan_says_in_one_line_what_is_wrong_with_it() {
    let refused = |hearing: &str, words: &[&str]| {
        let text = format!("format = 1\nname = \"any\"\n{hearing}");
        let error = Plan::from_toml(&text, "mine.toml").unwrap_err().to_string();
        for word in [&["mine.toml"], words].concat() {
            assert!(error.contains(word), "{word} is not in {error}");
        }
    };
    let hz = "hz = [1000]\n";
    refused(
        &format!("[hearing]\n{hz}procedure = \"guess\""),
        &["hearing.procedure", "bracketing", "screening", "guess"],
    );
    refused(
        &format!("[hearing]\n{hz}procedure = \"ascending\"\nthen = \"bracketing\""),
        &["hearing.then", "screening"],
    );
    refused(
        &format!("[hearing]\n{hz}procedure = \"ascending\"\nscreening_db = 20"),
        &["hearing.screening_db"],
    );
    refused(
        &format!("[hearing]\n{hz}procedure = \"ascending\"\n[hearing.plateau]\nwidth_db = 90"),
        &["hearing.plateau.width_db", "10 to 40"],
    );
    refused(
        "order = [\"sight\"]\n[hearing]\nprocedure = \"ascending\"\nhz = [1000]",
        &["order", "hearing"],
    );
    refused(
        "order = [\"sight\", \"sight\"]\n[sight]",
        &["order", "once"],
    );
    refused("[earlier]\nsource = \"\"", &["earlier.source"]);
}

/// A plan file of before these keys reads as before.
#[test]
fn an_old_plan_file_stays_readable() {
    let old =
        "format = 1\nname = \"old\"\n[hearing]\nprocedure = \"ascending\"\nhz = [1000]\n[sight]\n";
    let plan = Plan::from_toml(old, "old.toml").unwrap();
    let again: Plan = serde_json::from_str(&serde_json::to_string(&plan).unwrap()).unwrap();
    assert_eq!(plan, again);
}

/// The order of the senses is the plan's.
#[test]
fn sight_may_come_first() {
    let text = "format = 1\nname = \"any\"\norder = [\"sight\", \"hearing\"]\n[hearing]\n\
        procedure = \"ascending\"\nhz = [1000]\n[sight]\neyes = [\"right\"]\n";
    let record = record_of(
        Plan::from_toml(text, "a plan").unwrap(),
        {
            let mut both = case(10.0, 10.0, 60.0);
            both.sight = Some(veridical::person::case::SightTruth::default());
            both
        },
        4,
    );
    let first_tone = record
        .trials()
        .iter()
        .position(|trial| trial.tone().is_some())
        .unwrap();
    let last_optotype = record
        .trials()
        .iter()
        .rposition(|trial| trial.optotype().is_some())
        .unwrap();
    assert!(last_optotype < first_tone);
}

/// Against an earlier visit: the change is reported, and sized against what test and retest differ
/// by; the same person twice has not changed by much, 30 dB more has.
#[test]
fn change_against_an_earlier_visit_is_found() {
    let at = folder("trade-earlier");
    let person = |name: &str, right: i32| {
        let text = format!(
            "format = 1\ntitle = \"invented: {name}\"\n[hearing]\nhz = [500, 8000]\n\
             right = [{right}, {right}]\nleft = [10, 10]\n"
        );
        file(&at, &format!("{name}.toml"), text)
    };
    let (before, after) = (person("before", 10), person("after", 45));
    let first = word(&at.join("first"));
    let told = veridical(&[
        "visit",
        "--case",
        &before,
        "--seed",
        "1",
        "--out",
        &first,
        "--plan",
        "monitoring",
    ]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let journal = word(&at.join("first/journal.jsonl"));
    let findings = word(&at.join("first/findings.json"));
    let visit = |case: &str, earlier: &str, seed: &str| -> Value {
        let out = word(&at.join(seed));
        let told = veridical(&[
            "visit",
            "--case",
            case,
            "--seed",
            seed,
            "--out",
            &out,
            "--plan",
            "monitoring",
            "--earlier",
            earlier,
            "--json",
        ]);
        assert_eq!(told.code, Some(0), "{}", told.err);
        told.json()
    };
    for (seed, earlier) in [("2", &journal), ("3", &findings)] {
        let found = visit(&after, earlier, seed);
        for one in found["changes"]["right"].as_array().unwrap() {
            let number = |key: &str| one[key].as_f64().unwrap();
            let apart = number("now_db_hl") - number("then_db_hl") - number("change_db");
            assert!(apart.abs() < 1e-3);
            assert!(
                number("change_db") > 20.0 && number("beyond_retest") > 0.99,
                "{one}"
            );
        }
        let cues = found["cues"].to_string();
        assert!(cues.contains("urgent"), "{cues}");
        assert!(found["changes"]["left"].as_array().unwrap().len() >= 5);
    }
    // An ear that answers nothing any more has no threshold to compare, and has changed the most.
    let gone = visit(&person("gone", 150), &journal, "6");
    let right = gone["changes"]["right"].as_array().unwrap();
    assert!(right.len() >= 5);
    for one in right {
        assert_eq!(one["at_least"], true);
        assert!(one["change_db"].as_f64().unwrap() > 40.0, "{one}");
    }
    let cues = gone["cues"].to_string();
    assert!(cues.contains("right ear: poorer than before by at least 30 dB at three consecutive"));
    let same = visit(&before, &journal, "4");
    assert!(!same["cues"].to_string().contains("poorer than before"));
    // What is no earlier visit is refused, in one line.
    let out = word(&at.join("5"));
    veridical(&[
        "visit",
        "--case",
        &after,
        "--seed",
        "5",
        "--out",
        &out,
        "--earlier",
        &before,
    ])
    .refused(&["before.toml", "findings.json"]);
}

/// Levels rise and fall at each frequency by itself: who hears 1 kHz at 10 dB and 4 kHz at 60 dB answers both ways
/// alike, and no 50 dB lie between (our own derivation: one listener without chance in it).
#[test]
fn sweeps_at_two_frequencies_are_not_held_against_each_other() {
    let text = "format = 1\ntitle = \"invented: sloping\"\n[hearing]\nhz = [1000, 4000]\nright = [10, 60]\n\
                left = [10, 60]\n[manner]\nscale_db = 0.5\nfalse_alarm = 0.0\nlapse = 0.0\nwander_db = 0.0\n";
    let case = Case::from_toml(text, "a case").unwrap();
    let plan = plan(
        "procedure = \"ascending\"\nhz = [1000, 4000]\nagreement = { sweeps_hz = [1000, 4000] }",
    );
    let visit = visit_of(Unkept, 3, plan, &mut Simulated::new(case, 4));
    let findings = veridical::report::Findings::of(visit.record());
    let checks = findings.consistency.hearing.unwrap().checks;
    let swept = checks
        .iter()
        .find(|one| one.name.starts_with("falling levels"))
        .unwrap();
    assert_eq!((swept.k, swept.n), (0, 4), "{}", swept.seen);
}

/// ISO 7029:2017: at 60 the worst tenth of men begins at 43.6 dB at 4 kHz (worked value of the
/// published coefficients), and so on; nobody is compared without telling age and sex.
#[test]
fn age_is_compared_where_it_was_told() {
    let found = |about: Option<About>| {
        let text = "format = 1\ntitle = \"invented: sixty\"\n[hearing]\nhz = [500, 8000]\n\
             right = [55, 70]\nleft = [0, 0]\ninteraural_attenuation_db = 90\n[manner]\n\
             scale_db = 1\nfalse_alarm = 0\nlapse = 0\nwander_db = 0\n";
        let case = Case::from_toml(text, "a case").unwrap();
        let mut plan = veridical::procedure::named_plan("full").unwrap().unwrap();
        (plan.sight, plan.about) = (None, about);
        let record = record_of(plan, case, 6);
        let findings = veridical::report::Findings::of(&record);
        let beyond = |cue: &&veridical::finding::Cue| cue.source.contains("7029");
        findings
            .cues
            .iter()
            .filter(beyond)
            .map(|cue| cue.what.clone())
            .collect::<Vec<_>>()
    };
    let told = found(Some(About {
        age_years: Some(60.0),
        sex: Some(Sex::Male),
    }));
    assert!(
        told.len() == 1 && told[0].starts_with("right ear"),
        "{told:?}"
    );
    assert!(found(None).is_empty());
}

/// WHO 2021: unilateral needs under 20 dB in the better ear and 35 or more in the worse; an ear that
/// hears nothing is worse than any bound.
#[test]
fn one_dead_ear_is_graded_by_the_other() {
    let at = folder("trade-unilateral");
    let case = file(
        &at,
        "case.toml",
        "format = 1\ntitle = \"invented: one dead ear\"\n[hearing]\nhz = [1000]\nright = [0]\n\
         left = [150]\n[manner]\nscale_db = 1\nfalse_alarm = 0\nlapse = 0\nwander_db = 0\n",
    );
    let out = word(&at.join("visit"));
    let told = veridical(&[
        "visit", "--case", &case, "--seed", "2", "--out", &out, "--json",
    ]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let found = told.json();
    assert_eq!(found["averages"]["who_2021"], "unilateral hearing loss");
    assert!(found["averages"]["left"]["pta4_db_hl"].is_null());
    assert!(
        found["averages"]["pta4_at_least"]["left_db_hl"]
            .as_f64()
            .unwrap()
            >= 100.0
    );
    assert!(
        found["without_bone"]
            .as_str()
            .unwrap()
            .contains("conductive")
    );
    // Only a measured earphone speaks of handicap.
    assert!(found["averages"]["handicap_1979_percent"].is_null());
}
