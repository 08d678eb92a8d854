//! The report: what must stand in it, how it is put together, and what it never does.

use crate::at_hand::{case_file, file, folder, here, veridical, visit_of, word};
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use veridical::errand::plan_of;
use veridical::journal::MemoryStore;
use veridical::person::{Case, Simulated};
use veridical::procedure::NAMES;
use veridical::report::words::{Key, Lang};
use veridical::report::{
    Dossier, PaperSize, ReportWish, Signed, left_in_english, report_pages, report_pdf, report_text,
};

/// A visit of a case that comes with the program; its folder.
fn visit(case: &str, seed: &str, extra: &[&str]) -> PathBuf {
    // The tests of this room run side by side: a folder for each visit.
    static VISITS: AtomicUsize = AtomicUsize::new(0);
    let number = VISITS.fetch_add(1, Ordering::Relaxed);
    let folder = folder(&format!("report-{case}-{number}"));
    let out = folder.join("visit");
    let (case, out_word) = (case_file(case), word(&out));
    let mut args = vec!["visit", "--case", &case, "--seed", seed, "--out", &out_word];
    args.extend(extra);
    let told = veridical(&args);
    assert_eq!(told.code, Some(0), "{}", told.err);
    out
}

fn dossier(folder: &Path) -> Dossier {
    Dossier::of(std::fs::read(folder.join("journal.jsonl")).unwrap()).unwrap()
}

static PLAIN: LazyLock<PathBuf> = LazyLock::new(|| visit("average", "7", &[]));

fn every_wish() -> impl Iterator<Item = ReportWish> {
    let papers = [PaperSize::A4, PaperSize::Letter];
    papers.into_iter().flat_map(|paper| {
        Lang::ALL.map(|lang| ReportWish {
            paper,
            lang,
            ..ReportWish::default()
        })
    })
}

/// The issue: two pages at most for a plain visit, on both papers and in every language.
#[test]
fn a_plain_visit_takes_two_pages_and_a_person_one() {
    for wish in every_wish() {
        let dossier = dossier(&PLAIN);
        assert!(report_pages(&dossier, wish).len() <= 2, "{wish:?}");
        let for_person = ReportWish {
            for_person: true,
            ..wish
        };
        assert_eq!(report_pages(&dossier, for_person).len(), 1, "{wish:?}");
    }
}

/// What a report owes its reader (our choice, after common practice): what was measured, how exactly, how far the answers agree and how often that is
/// wrong, set-up, times, limits, signature and its meaning, head of the chain, program version.
#[test]
fn what_has_to_stand_in_a_report_stands_in_it() {
    let dossier = dossier(&PLAIN);
    let text = report_text(&dossier, ReportWish::default());
    let flat = text
        .replace('\n', " ")
        .replace("  ", " ")
        .replace('\u{a0}', "");
    for key in [
        Key::InShort,
        Key::HearingThresholds,
        Key::SightAcuity,
        Key::AnswersHead,
        Key::ConditionsHead,
        Key::SignatureHead,
        Key::DeviationsHead,
        Key::LimitsHead,
        Key::NotOnRecordHead,
    ] {
        assert!(flat.contains(Lang::English.text(key)), "{key:?}");
    }
    for (_, one) in dossier.findings.hearing.all() {
        let level = format!("{:.0}", one.stated_db().unwrap());
        assert!(text.lines().any(|line| line.trim() == level), "{level}");
    }
    for eye in [&dossier.findings.sight.right, &dossier.findings.sight.left] {
        let size = Lang::English.number(eye.log_mar.unwrap(), 2);
        assert!(flat.contains(&size), "{size}");
    }
    let unspaced: String = flat.split_whitespace().collect();
    assert!(
        unspaced.contains(&dossier.head.hash),
        "the head of the chain"
    );
    assert!(flat.contains("veridical 0.1.0") && flat.contains("SIMULATED"));
    // Rates never stand without where they come from, nor the ratio outside of the long form.
    assert!(flat.contains("from simulated people, not measured on people"));
    assert!(!flat.contains("ratio of evidence"));
    let long = ReportWish {
        long: true,
        ..ReportWish::default()
    };
    let long = report_text(&dossier, long);
    assert!(long.contains("evidence"));
    let rows = dossier.record.trials().len() + dossier.record.voids().len();
    let numbered = |n: usize| long.lines().any(|line| line.trim() == n.to_string());
    assert!((1..=rows).all(numbered));
}

/// Who has the paper finds with which key the journal was signed, and when.
#[test]
fn a_signed_journal_names_key_and_time_in_the_signature_block() {
    let mut dossier = dossier(&PLAIN);
    let key = "0123456789abcdef".repeat(4);
    let says = |dossier: &Dossier, lang| {
        let wish = ReportWish {
            lang,
            ..ReportWish::default()
        };
        let text = report_text(dossier, wish).replace('\u{a0}', "");
        let flat = text.split_whitespace().collect::<String>();
        (flat.contains(&key), flat.contains("08:31:07UTC"))
    };
    assert_eq!(says(&dossier, Lang::English), (false, false));
    dossier.signed = Some(Signed {
        at: "2026-05-04T08:31:07Z".parse().unwrap(),
        key: key.clone(),
        document: Vec::new(),
    });
    for lang in Lang::ALL {
        assert_eq!(says(&dossier, lang), (true, true), "{lang:?}");
        let wish = ReportWish {
            lang,
            ..ReportWish::default()
        };
        assert!(report_pages(&dossier, wish).len() <= 2, "{lang:?}");
    }
}

/// What findings say in English of agreement and of series by hand has its German.
#[test]
fn agreement_and_series_are_known_in_german() {
    let agreement = visit("raised_bar", "9", &["--plan", "reliability"]);
    let by_hand = visit("profound", "7", &["--plan", "bedside"]);
    let [agreement, by_hand] = [agreement, by_hand].map(|folder| dossier(&folder).findings);
    let mut all: Vec<String> = Vec::new();
    let senses = [agreement.consistency.hearing, agreement.consistency.sight];
    for one in senses.into_iter().flatten() {
        all.extend(
            one.checks
                .iter()
                .flat_map(|check| [check.seen.clone(), check.expected.clone()]),
        );
        all.extend(one.left_out.iter().map(|left_out| left_out.what.clone()));
        all.extend([
            one.limits,
            one.next_steps.trim_start_matches("Next: ").to_owned(),
        ]);
    }
    let by_hand = by_hand.bedside.unwrap();
    all.push(by_hand.correction);
    all.extend(by_hand.not_concluded.into_iter().map(|one| one.what));
    for series in by_hand.series {
        let rates = series.hits.into_iter().chain(series.false_alarms);
        all.extend(rates.chain(series.extinctions).map(|rate| rate.what));
    }
    assert!(all.len() > 30, "{}", all.len());
    let unknown = all.iter().filter(|text| Lang::German.said(text).is_none());
    assert_eq!(unknown.collect::<Vec<_>>(), Vec::<&String>::new());
}

/// Of every case, and of every plan that comes with the program, nothing that the program says by itself stays English in
/// the report, its long form and the page for the person. The title of a case is the scenario's own, and no part of this.
/// Cases and plans take turns; where `VERIDICAL_TIMES` is set every case has every plan.
#[test]
fn nothing_of_a_demo_visit_stays_english() {
    let cases = std::fs::read_dir(here("demo/cases")).unwrap();
    let mut cases: Vec<PathBuf> = cases.map(|one| one.unwrap().path()).collect();
    cases.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    cases.sort();
    assert!(cases.len() > 8, "{}", cases.len());
    let all = std::env::var_os("VERIDICAL_TIMES").is_some();
    let visits = cases.iter().enumerate().flat_map(|(at, path)| {
        let case = Case::read(path).unwrap();
        let (by_hand, measured): (Vec<&str>, Vec<&str>) =
            NAMES.into_iter().partition(|plan| *plan == "bedside");
        let turn = at % measured.len();
        let measured = measured.into_iter().enumerate();
        let measured = measured.filter(move |(place, _)| all || *place == turn);
        let by_hand = by_hand.into_iter().filter(|_| case.bedside.is_some());
        let plans: Vec<&str> = measured.map(|(_, plan)| plan).chain(by_hand).collect();
        plans.into_iter().map(move |plan| (case.clone(), plan))
    });
    let visits: Vec<(Case, &str)> = visits.collect();
    let done: BTreeSet<&str> = visits.iter().map(|(_, plan)| *plan).collect();
    assert_eq!(done, NAMES.into_iter().collect());
    let english = visits.into_par_iter().flat_map_iter(|(case, plan)| {
        let mut person = Simulated::new(case, 3);
        let plan = plan_of(plan, None).unwrap();
        let visit = visit_of(MemoryStore::default(), 3, plan, &mut person);
        let dossier = Dossier::of(visit.journal().store().bytes.clone()).unwrap();
        let wishes = [(true, false), (false, true)];
        wishes.into_iter().flat_map(move |(long, for_person)| {
            let wish = ReportWish {
                lang: Lang::German,
                long,
                for_person,
                ..ReportWish::default()
            };
            left_in_english(&dossier, wish)
        })
    });
    let english: BTreeSet<String> = english.collect();
    assert_eq!(english, BTreeSet::new());
}

/// An edit is told with what stood before, what stands now, when, by whom and why (21 CFR 11.10(e): earlier entries are
/// not obscured); and so is what was heard beside the presentations.
#[test]
fn edits_and_other_sounds_are_told() {
    let mut dossier = dossier(&PLAIN);
    let bodies = serde_json::json!([
        {"kind": "acts", "body": {"user": "U-2", "role": "examiner"}},
        {"kind": "answered", "body": {"n": 901, "answer": {"facing": "up"}, "after_s": 1.5}},
        {"kind": "amended", "body": {"n": 901, "answer": {"facing": "left"}, "reason": "misread"}},
        {"kind": "amended", "body": {"n": 901, "answer": {"facing": "right"}, "reason": "again"}},
        {"kind": "amended", "body": {"n": 902, "answer": {"heard": true}, "reason": "told aloud"}},
        {"kind": "undone", "body": {"n": 903, "reason": "a door banged"}},
        {"kind": "taken_up", "body": {"section": {"eye": "left"}, "reason": "explained anew"}},
        {"kind": "listened", "body": {"rises": [
            {"ear": "right", "hz": 1000.0, "from_db": -80.0, "level_db_fs": -62.0}]}},
        {"kind": "played", "body": {"what": "instructions", "title": "harbour.wav",
            "digest": "ab".repeat(32), "sounds": [], "whole": true}},
    ]);
    let last = dossier.events.last().unwrap().clone();
    for body in bodies.as_array().unwrap() {
        let mut event = last.clone();
        event.body = serde_json::from_value(body.clone()).unwrap();
        event.time = "2026-05-04T10:04:11Z".parse().unwrap();
        dossier.events.push(event);
    }
    let text = report_text(&dossier, ReportWish::default());
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "Answer of number 901 corrected from \u{201c}up\u{201d} to \u{201c}left\u{201d} (10:04:11, U-2): misread.",
        "corrected from \u{201c}left\u{201d} to \u{201c}right\u{201d} (10:04:11, U-2): again.",
        "Answer of number 902 corrected from \u{201c}not answered\u{201d} to \u{201c}answered\u{201d}",
        "Number 903 taken back (10:04:11, U-2): a door banged.",
        "Left eye taken up again: explained anew.",
        "heard at Right ear \u{2212}62",
        "recording \u{201c}harbour.wav\u{201d} (SHA-256 abab abab abab abab",
        "played to its end",
    ] {
        assert!(flat.contains(told), "{told:?} in {flat}");
    }
    assert!(!flat.contains(Lang::English.text(Key::MissingInstructions)));
}

/// Beneath a reason that was found by hand nothing says that there is none.
#[test]
fn no_criterion_is_met_is_said_of_what_was_measured_only() {
    let mut dossier = dossier(&PLAIN);
    dossier.findings.cues.clear();
    let says = |dossier: &Dossier, key| {
        let text = report_text(dossier, ReportWish::default()).replace('\n', " ");
        text.contains(Lang::English.text(key))
    };
    assert!(says(&dossier, Key::NoCues) && !says(&dossier, Key::NoCuesMeasured));
    let by_hand = serde_json::json!({"worksheet": [], "series": [], "sides": [], "correction": "",
        "refer_now": ["a new loss of field"], "not_concluded": []});
    dossier.findings.bedside = serde_json::from_value(by_hand).unwrap();
    assert!(says(&dossier, Key::NoCuesMeasured) && !says(&dossier, Key::NoCues));
}

/// A screening has no thresholds, no uncertainty and no masking, and the report speaks of none.
#[test]
fn a_screening_alone_is_told_as_one() {
    let scratch = folder("report-screened");
    let plan = "format = 1\nname = \"screened\"\n[hearing]\nprocedure = \"screening\"\nhz = [1000]\n\
                [sight]\nprocedure = \"screening\"\n";
    let plan = file(&scratch, "screened.toml", plan);
    let folder = visit("average", "7", &["--plan", &plan]);
    let text = report_text(&dossier(&folder), ReportWish::default()).replace('\n', " ");
    let says = |key| text.contains(Lang::English.text(key));
    assert!(says(Key::HearingScreened) && text.contains("reads 0.30 logMAR: 3 of"));
    for key in [
        Key::HearingThresholds,
        Key::RemarkNoUncertainty,
        Key::RemarkNoMasking,
        Key::SightNotTested,
    ] {
        assert!(!says(key), "{key:?}");
    }
}

/// Where a sense is inconsistent its values are 'as obtained', and there are no
/// averages and no grades.
#[test]
fn inconsistent_answers_have_no_averages_and_get_next_steps() {
    let folder = visit("raised_bar", "9", &["--plan", "reliability"]);
    let dossier = dossier(&folder);
    assert!(
        dossier.findings.as_obtained.hearing,
        "another seed is needed"
    );
    let text = report_text(&dossier, ReportWish::default()).replace('\n', " ");
    assert!(text.contains(Lang::English.text(Key::AsObtainedNoThresholds)));
    assert!(!text.contains("Grade of the person"));
    assert!(text.contains(Lang::English.text(Key::NextSteps)));
    assert!(!text.contains(Lang::English.text(Key::HearingThresholds)));
}

/// Not tested is said, never left blank; also of a sense, and of a mark that leans on the prior.
#[test]
fn what_was_not_tested_is_said() {
    let scratch = folder("report-plan");
    let plan = "format = 1\nname = \"ears\"\n[hearing]\nprocedure = \"ascending\"\nhz = [1000]\n";
    let plan = file(&scratch, "ears.toml", plan);
    let folder = visit("notched", "7", &["--plan", &plan]);
    let text = report_text(&dossier(&folder), ReportWish::default());
    assert!(text.contains(Lang::English.text(Key::SightNotTested)));
    assert!(text.contains(Lang::English.text(Key::NotTested)));
}

#[test]
fn the_same_journal_is_the_same_file_to_the_byte() {
    let dossier = dossier(&PLAIN);
    for wish in every_wish() {
        let make = || report_pdf(&dossier, wish, Vec::new()).unwrap().bytes;
        let pdf = make();
        assert!(pdf.starts_with(b"%PDF-1.7") && pdf == make());
        // Its dates are the journal's: those of a simulated visit begin in 1970.
        assert!(pdf.windows(7).any(|bytes| bytes == b"D:19700"));
    }
    let beside = std::fs::read(PLAIN.join("report.pdf")).unwrap();
    assert!(beside.starts_with(b"%PDF-1.7"));
}

/// ISO 14289-1 and ISO 19005-3 ask for a tree of structure; that it is whole is read from outside
/// in `tests/outside/read_report.py`.
#[test]
fn the_structure_tree_and_the_claims_are_there() {
    let pdf = report_pdf(&dossier(&PLAIN), ReportWish::default(), Vec::new()).unwrap();
    let has = |mark: &[u8]| pdf.bytes.windows(mark.len()).any(|bytes| bytes == mark);
    for mark in [
        &b"/StructTreeRoot"[..],
        b"/MarkInfo",
        b"/Lang",
        b"pdfaid:part",
        b"pdfuaid:part",
    ] {
        assert!(has(mark), "{}", String::from_utf8_lossy(mark));
    }
    assert!(!has(b"/Encrypt"));
}

/// Never a word about why answers do not agree, in any language: beginnings of words.
#[test]
fn no_word_of_intent_in_any_language() {
    const STEMS: [&str; 20] = [
        "malinger",
        "feign",
        "faking",
        "exaggerat",
        "effort",
        "deceiv",
        "decept",
        "cheat",
        "dishonest",
        "lying",
        "simulant",
        "vortäusch",
        "lüg",
        "betrug",
        "betrüg",
        "übertreib",
        "aggravat",
        "täusch",
        "unehrlich",
        "mutwill",
    ];
    let intent = |text: &str| {
        let text = text.to_lowercase();
        let words = text.split(|sign: char| !sign.is_alphabetic());
        words
            .filter(|word| STEMS.iter().any(|stem| word.starts_with(stem)))
            .count()
    };
    assert_eq!(intent("Er lügt und simuliert; a cheater"), 2);
    for lang in Lang::ALL {
        for key in Key::ALL {
            assert_eq!(intent(lang.text(*key)), 0, "{key:?}");
        }
    }
    let folder = visit("raised_bar", "7", &["--plan", "quick"]);
    for lang in Lang::ALL {
        let wish = ReportWish {
            lang,
            ..ReportWish::default()
        };
        let text = report_text(&dossier(&folder), wish);
        // Titles of cases are the scenario's own.
        let text = text.replace(dossier(&folder).whose(), "");
        assert_eq!(intent(&text), 0);
    }
}

#[test]
fn german_has_decimal_commas_and_hardly_a_word_of_english() {
    let wish = ReportWish {
        lang: Lang::German,
        ..ReportWish::default()
    };
    let text = report_text(&dossier(&PLAIN), wish);
    // Titles of cases are the scenario's own, whole or broken into lines.
    let title: Vec<String> = dossier(&PLAIN)
        .whose()
        .split(' ')
        .map(str::to_owned)
        .collect();
    let of_title = |line: &&str| {
        line.split_whitespace()
            .all(|word| title.iter().any(|one| one == word))
    };
    let text: Vec<&str> = text.lines().filter(|line| !of_title(line)).collect();
    let text = text.join(" ").replace(&title.join(" "), "");
    let sight = dossier(&PLAIN).findings.sight.left.log_mar.unwrap();
    assert!(text.contains(&format!("{sight:.2}").replace('.', ",")));
    for english in [" the ", " and ", " answers ", " presented ", " ear "] {
        assert!(!text.contains(english), "{english:?} in {text}");
    }
}

#[test]
fn files_that_are_there_stay_unless_told_otherwise() {
    let scratch = folder("report-over");
    let journal = word(&PLAIN.join("journal.jsonl"));
    let out = file(&scratch, "mine.pdf", "mine");
    let told = veridical(&["report", &journal, "--out", &out]);
    told.refused(&["mine.pdf", "--force"]);
    assert_eq!(std::fs::read(&out).unwrap(), b"mine");
    let told = veridical(&["report", &journal, "--out", &out, "--force", "--json"]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let bytes = std::fs::read(&out).unwrap();
    assert_eq!(told.json()["bytes"], bytes.len());

    let pictures = word(&scratch.join("pictures"));
    let args = ["pictures", &journal, "--out", &pictures];
    assert_eq!(veridical(&args).code, Some(0));
    veridical(&args).refused(&["audiogram.svg", "--force"]);
    let svg = std::fs::read_to_string(scratch.join("pictures/audiogram.svg")).unwrap();
    assert!(svg.contains("role=\"img\"") && svg.contains("<desc>Audiogram, thresholds"));
    let png = std::fs::read(scratch.join("pictures/acuity-right.png")).unwrap();
    assert!(png.starts_with(b"\x89PNG"));
}

#[test]
fn a_journal_that_does_not_hold_makes_no_report() {
    let scratch = folder("report-damaged");
    let journal = std::fs::read_to_string(PLAIN.join("journal.jsonl")).unwrap();
    let changed = journal.replacen("\"t_s\":", "\"t_s\": ", 3);
    let damaged = file(&scratch, "journal.jsonl", changed);
    let told = veridical(&["report", &damaged]);
    told.refused(&["journal.jsonl", "line"]);
    assert!(!scratch.join("report.pdf").exists());
}
