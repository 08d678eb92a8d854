//! The steps done by hand, as users and other programs see them: sealed before the start, gone on
//! with after a cut, answered over a pipe and on paper, and refused where they could hurt.

use crate::at_hand::{case_file, file, folder, veridical, wish, word};
use crate::pipe::Talk;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::fmt::Write;
use std::path::Path;
use veridical::bedside::standard;
use veridical::errand::spin;
use veridical::journal::{Entry, Found, Journal, MemoryStore, Plan, SeriesPlan};
use veridical::person::{Case, Simulated};
use veridical::procedure::named_plan;
use veridical::quantity::{Moment, Side};
use veridical::report::Findings;
use veridical::stimulus::{Reply, SeriesKind};
use veridical::visit::{AtBedside, Input, Visit, VisitError};

const PLAN: &str = r#"
format = 1
name = "by hand"
[bedside]
series = [
    { kind = "rub", prompts = 9 },
    { kind = "smell", side = "left", scent = "coffee" },
    { kind = "whisper", side = "right", prompts = 4 },
    { kind = "field_extent", side = "right" },
]
"#;

fn text_of(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap()
}

fn run(name: &str) -> (std::path::PathBuf, String) {
    let at = folder(name);
    let plan = file(&at, "plan.toml", PLAN);
    let out = at.join("visit");
    let case = case_file("average");
    let told = veridical(&[
        "visit",
        "--case",
        &case,
        "--plan",
        &plan,
        "--seed",
        "5",
        "--out",
        &word(&out),
    ]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    (out, plan)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// The seal is the SHA-256 of the list as it stands in the line, and the line stands before the
/// first prompt.
#[test]
fn every_series_is_sealed_before_its_first_prompt() {
    let (out, _) = run("sealed");
    let journal = text_of(&out.join("journal.jsonl"));
    let (mut drawn, mut from) = (0, 1);
    for line in journal.lines() {
        let event: Value = serde_json::from_str(line).unwrap();
        let body = &event["body"];
        if event["kind"] == "drawn" {
            drawn += 1;
            assert_eq!(body["first_n"], from, "numbers go on without gaps");
            from += body["prompts"].as_array().unwrap().len();
            let (_, rest) = line.split_once("\"prompts\":").unwrap();
            let (list, _) = rest.split_once(",\"seal\"").unwrap();
            assert_eq!(body["seal"], hex(&Sha256::digest(list.as_bytes())));
        } else if event["kind"] == "arrived" {
            assert!(
                body["n"].as_u64().unwrap() < from as u64,
                "drawn before it is done"
            );
        }
    }
    assert_eq!(drawn, 4);
    let checked = veridical(&["check", &word(&out.join("journal.jsonl")), "--json"]).json();
    assert_eq!(checked["holds"], true);
    let recounted = veridical(&["recount", &word(&out.join("journal.jsonl")), "--json"]).json();
    let found: Value = serde_json::from_str(&text_of(&out.join("findings.json"))).unwrap();
    assert_eq!(recounted["bedside"], found["bedside"]);
    assert_eq!(found["bedside"]["series"].as_array().unwrap().len(), 4);
    // Lines of their own: no sense was tested, and none is graded.
    assert_eq!(found["consistency"], json!({}));
    let prompts = text_of(&out.join("prompts.csv"));
    assert_eq!(prompts.lines().count(), from);
}

/// Cut anywhere, the visit goes on with the same prompts and the same answers.
#[test]
fn a_cut_series_goes_on_as_the_undisturbed_one() {
    let (out, plan) = run("cut");
    let whole = text_of(&out.join("journal.jsonl"));
    let case = case_file("average");
    let lines: Vec<&str> = whole.split_inclusive('\n').collect();
    for kept in [2, 3, 4, 7, 20, 21, 22, 45, lines.len() - 3, lines.len() - 1] {
        let again = folder(&format!("cut-{kept}"));
        std::fs::write(again.join("journal.jsonl"), lines[..kept].concat()).unwrap();
        let told = veridical(&[
            "visit",
            "--case",
            &case,
            "--plan",
            &plan,
            "--seed",
            "5",
            "--out",
            &word(&again),
            "--resume",
        ]);
        assert_eq!(told.code, Some(0), "{kept}: {}", told.err);
        for result in ["findings.json", "prompts.csv"] {
            let (one, other) = (text_of(&out.join(result)), text_of(&again.join(result)));
            assert_eq!(one, other, "{result}, cut after line {kept}");
        }
    }
}

#[test]
fn another_program_answers_prompts() {
    let at = folder("prompted");
    let plan = file(&at, "plan.toml", PLAN);
    let out = word(&at.join("visit"));
    let mut talk = Talk::begin(&[
        "visit", "--person", "-", "--plan", &plan, "--seed", "5", "--out", &out,
    ]);
    let mut asked = 0;
    while let Some(question) = talk.question() {
        asked += 1;
        assert_eq!(question["n"], asked);
        let parts = question["parts"].as_array().unwrap();
        let reply = match question["task"].as_str().unwrap() {
            "rub" => parts
                .first()
                .map_or(json!("nothing"), |part| part["ear"].clone()),
            "smell" => {
                let smelled = parts.first().is_some_and(|part| part["scent"] == "coffee");
                json!(if smelled { "yes" } else { "nothing" })
            }
            "whisper" => {
                assert_eq!(parts[0]["says"].as_str().unwrap().len(), 3);
                json!({"parts": 3})
            }
            "field_extent" => {
                let metres = parts[0]["distance_m"].as_u64().unwrap();
                json!({"tens_cm": 4 * metres})
            }
            other => panic!("{other}"),
        };
        talk.answer(&json!({"n": asked, "reply": reply, "after_s": 0.8}));
    }
    assert_eq!(talk.end().code, Some(0));
    assert_eq!(asked, 9 + 12 + 4 + 8);
    let found: Value = serde_json::from_str(&text_of(&at.join("visit/findings.json"))).unwrap();
    for series in found["bedside"]["series"].as_array().unwrap() {
        assert_eq!(series["right"]["k"], series["right"]["n"], "{series}");
        for extent in series["extents"].as_array().into_iter().flatten() {
            // A field that is an angle is twice as wide at twice the distance.
            assert_eq!(extent["ratio"], 2.0);
        }
    }
}

#[test]
fn a_sheet_is_sealed_and_its_answers_are_entered() {
    let at = folder("sheet");
    let (visit, paper) = (word(&at.join("visit")), word(&at.join("rub.svg")));
    let sheet = [
        "sheet", &visit, "--kind", "rub", "--seed", "3", "--out", &paper,
    ];
    let told = veridical(&[&sheet[..], &["--json"]].concat()).json();
    let seal = told["seal"].as_str().unwrap();
    assert!(text_of(Path::new(&paper)).contains(seal));
    let journal = at.join("visit/journal.jsonl");
    assert!(text_of(&journal).contains(seal));
    let answers = |letters: &str, more: &[&str]| {
        let base = ["answers", &visit, "--series", "1", "--letters", letters];
        veridical(&[&base[..], more].concat())
    };
    let before = text_of(&journal);
    answers("rln", &[]).refused(&["expected 18", "found 3"]);
    answers("rlnrlnrlnrlnrlnrlx", &[]).refused(&["letter 18", "'x'"]);
    assert_eq!(text_of(&journal), before, "what is refused changes nothing");
    let found = answers("rln rln rln rln rln r v -", &["--close", "--json"]).json();
    let series = &found["bedside"]["series"][0];
    assert_eq!([&series["answered"], &series["void"]], [16, 1]);
    assert_eq!(series["ended"], "stopped");
    let remarks = series["remarks"].to_string();
    assert!(
        remarks.contains("ended before its last prompt"),
        "{remarks}"
    );
    assert_eq!(series["on_paper"], true);
    assert!(series["chance"]["than_guessing"].is_string());
    answers("rlnrlnrlnrlnrlnrlv", &[]).refused(&["--series", "waits for answers"]);
    assert_eq!(veridical(&["check", &word(&journal)]).code, Some(0));
}

#[test]
fn what_could_hurt_is_refused() {
    let at = folder("hurt");
    let visit = word(&at.join("visit"));
    let out = word(&at.join("x.svg"));
    let sheet = |more: &[&str]| veridical(&[&["sheet", &visit, "--out", &out][..], more].concat());
    sheet(&["--kind", "gag"]).refused(&["gag", "never tested by randomised trials"]);
    sheet(&["--kind", "corneal"]).refused(&["corneal", "never tested"]);
    sheet(&["--kind", "smell", "--side", "left", "--scent", "ammonia"])
        .refused(&["scent", "irritate"]);
    sheet(&["--kind", "smell", "--side", "left"]).refused(&["series.scent"]);
    sheet(&["--kind", "fork"]).refused(&["series.side", "ear"]);
    sheet(&["--kind", "rub", "--prompts", "400"]).refused(&["series.prompts", "4 to 40"]);
    assert!(
        !at.join("visit").exists(),
        "what is refused begins no visit"
    );
    let plan = |series: &str| {
        let text = format!("format = 1\nname = \"p\"\n[bedside]\nseries = [{series}]\n");
        Plan::from_toml(&text, "p.toml").unwrap_err().to_string()
    };
    assert!(plan("{kind = \"gag\"}").contains("never tested by randomised"));
    let mint = plan("{kind = \"smell\", side = \"left\", scent = \"menthol\"}");
    assert!(mint.contains("bedside.series[0].scent"), "{mint}");
    assert!(plan("{kind = \"rub\", together = 5}").contains("together"));
}

/// What a case file says of the bedside reaches no journal and no finding.
#[test]
fn the_truth_of_the_bedside_stays_in_its_file() {
    let at = folder("bedside-truth");
    let case = "format = 1\ntitle = \"Invented\"\n[bedside]\nrub_right = [0.123457, 0.765433]\n";
    let case = file(&at, "case.toml", case);
    let plan = file(&at, "plan.toml", PLAN);
    let out = at.join("visit");
    let told = veridical(&[
        "visit",
        "--case",
        &case,
        "--plan",
        &plan,
        "--seed",
        "2",
        "--out",
        &word(&out),
    ]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    for result in [
        "journal.jsonl",
        "findings.json",
        "prompts.csv",
        "worksheet.csv",
    ] {
        let text = text_of(&out.join(result));
        assert!(
            !text.contains("123457") && !text.contains("765433"),
            "{result}"
        );
    }
}

/// A visit in memory, with steps done by hand.
struct Hands {
    visit: Visit<MemoryStore>,
    now: f64,
}

impl Hands {
    fn new() -> Hands {
        let plan = Plan::from_toml("format = 1\nname = \"by hand\"\n", "plan").unwrap();
        let begin = wish(4, plan);
        let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
        Hands {
            visit: Visit::over(journal),
            now: 0.0,
        }
    }

    fn try_to(&mut self, done: AtBedside) -> Result<(), String> {
        self.now += 1.0;
        match self
            .visit
            .step(Input::Bedside(done), Moment::from_seconds(self.now))
        {
            Ok(_) => Ok(()),
            Err(VisitError::Refused(why)) => Err(why),
            Err(other) => panic!("{other}"),
        }
    }

    fn lay(&mut self) {
        self.try_to(AtBedside::Lay(Box::new(standard().unwrap())))
            .unwrap();
    }
}

fn entry(item: &str, side: Option<Side>, found: Found, number: Option<f64>) -> AtBedside {
    AtBedside::Enter(Entry {
        item: item.into(),
        side,
        found,
        grade: None,
        number,
        comment: String::new(),
        who: "H. L.".into(),
    })
}

#[test]
fn the_timer_stays_locked_until_somebody_stands_ready() {
    let mut hands = Hands::new();
    let walk = |number| entry("heel_to_toe", None, Found::Normal, number);
    assert!(
        hands.try_to(walk(None)).is_err(),
        "the worksheet comes first"
    );
    hands.lay();
    let locked = hands.try_to(walk(Some(9.5))).unwrap_err();
    assert!(locked.contains("ready to hold"), "{locked}");
    let ready = || AtBedside::Ready {
        item: "heel_to_toe".into(),
        side: None,
    };
    hands.try_to(ready()).unwrap();
    hands.try_to(walk(Some(9.5))).unwrap();
    assert!(hands.try_to(walk(Some(9.5))).is_err(), "each time anew");
    // Not possible needs nobody to stand ready.
    hands
        .try_to(entry("heel_to_toe", None, Found::NotPossible, None))
        .unwrap();
    let other = AtBedside::Ready {
        item: "smell".into(),
        side: None,
    };
    assert!(hands.try_to(other).is_err());
}

#[test]
fn blank_never_means_normal_and_what_is_observed_is_never_scored() {
    let mut hands = Hands::new();
    hands.lay();
    hands
        .try_to(entry("pupil_direct", Some(Side::Left), Found::Normal, None))
        .unwrap();
    hands
        .try_to(entry(
            "pupil_direct",
            Some(Side::Left),
            Found::Abnormal,
            None,
        ))
        .unwrap();
    hands
        .try_to(entry("smile", Some(Side::Right), Found::Abnormal, None))
        .unwrap();
    for found in [Found::Normal, Found::Abnormal] {
        assert!(hands.try_to(entry("midline", None, found, None)).is_err());
    }
    hands
        .try_to(entry("midline", None, Found::Noted, None))
        .unwrap();
    assert!(
        hands
            .try_to(entry("smell", None, Found::Normal, None))
            .is_err(),
        "a side is needed"
    );
    assert!(
        hands
            .try_to(entry("smile", Some(Side::Left), Found::Noted, None))
            .is_err()
    );
    let found = Findings::of(hands.visit.record());
    let by_hand = serde_json::to_value(found.bedside.unwrap()).unwrap();
    let lines = by_hand["worksheet"].as_array().unwrap();
    assert_eq!(lines.len(), standard().unwrap().lines().count());
    let count = |state: &str| lines.iter().filter(|line| line["finding"] == state).count();
    assert_eq!(count("normal"), 0, "the latest entry counts");
    assert_eq!([count("abnormal"), count("noted")], [2, 1]);
    assert_eq!(count("not_entered"), lines.len() - 3);
    let corrected = lines
        .iter()
        .find(|line| line["item"] == "pupil_direct" && line["side"] == "left");
    assert_eq!(
        corrected.unwrap()["entries"],
        2,
        "what stood there stays on record"
    );
    assert_eq!(by_hand["refer_now"].as_array().unwrap().len(), 1);
}

#[test]
fn prompts_have_their_order_and_corrections_are_new_events() {
    let mut hands = Hands::new();
    let wish = SeriesPlan {
        kind: SeriesKind::Rub,
        side: None,
        prompts: Some(6),
        scent: None,
        together: 1,
    };
    hands
        .try_to(AtBedside::Draw {
            wish,
            on_paper: false,
        })
        .unwrap();
    let done = |n: u32| AtBedside::Done {
        n,
        at: Moment::from_seconds(1.0),
    };
    let reply = |n: u32, reply: Reply| AtBedside::Reply {
        n,
        reply,
        after_s: None,
    };
    assert!(
        hands.try_to(reply(1, Reply::Left)).is_err(),
        "done comes before its answer"
    );
    hands.try_to(done(1)).unwrap();
    assert!(hands.try_to(done(1)).is_err(), "done once");
    assert!(
        hands.try_to(reply(1, Reply::Two)).is_err(),
        "no answer to this question"
    );
    hands.try_to(reply(1, Reply::Left)).unwrap();
    let amend = |n| AtBedside::Amend {
        n,
        reply: Reply::Right,
        reason: "misheard".into(),
    };
    hands.try_to(amend(1)).unwrap();
    assert!(hands.try_to(amend(2)).is_err(), "nothing to correct");
    hands
        .try_to(AtBedside::Void {
            n: 2,
            reason: "dropped".into(),
        })
        .unwrap();
    assert!(hands.try_to(reply(2, Reply::Left)).is_err());
    hands.try_to(done(3)).unwrap();
    hands.try_to(reply(3, Reply::Left)).unwrap();
    hands
        .try_to(AtBedside::TakeBack {
            n: 3,
            reason: "not heard well".into(),
        })
        .unwrap();
    let record = hands.visit.record();
    let series = &record.bedside().series()[0];
    let counted: Vec<_> = series.replies().into_iter().flatten().collect();
    assert_eq!(counted, [Reply::Right]);
    assert_eq!(record.next_number(), 7, "prompts take numbers of the visit");
    // All of it stands in the journal, also what no longer counts.
    let journal = String::from_utf8(hands.visit.journal().store().bytes.clone()).unwrap();
    for kind in ["drawn", "arrived", "answered", "amended", "void", "undone"] {
        assert!(journal.contains(&format!("\"kind\":\"{kind}\"")), "{kind}");
    }
    // After the end only corrections are taken.
    let end = Moment::from_seconds(hands.now + 1.0);
    hands.visit.step(Input::Close, end).unwrap();
    hands.now += 1.0;
    hands.try_to(amend(1)).unwrap();
    assert!(hands.try_to(done(4)).is_err());
}

/// Where the answers of a sense do not agree with one another the worksheet has no mean of it, and
/// says that its figures are as obtained.
#[test]
fn figures_that_are_no_thresholds_are_told_as_obtained() {
    let case = Case::read(Path::new(&case_file("random"))).unwrap();
    let told = |seed: u64| {
        let begin = wish(seed, named_plan("full").unwrap().unwrap());
        let store = MemoryStore::default();
        let journal = Journal::begin(store, begin.opening(), begin.epoch).unwrap();
        let mut visit = Visit::over(journal);
        let lay = AtBedside::Lay(Box::new(standard().unwrap()));
        let enter = entry("speech_alert", None, Found::Normal, None);
        for done in [lay, enter] {
            visit.step(Input::Bedside(done), Moment::START).unwrap();
        }
        spin(&mut visit, &mut Simulated::new(case.clone(), seed)).unwrap();
        let findings = Findings::of(visit.record());
        let lines = findings.bedside.unwrap().worksheet.into_iter();
        let measured: Vec<String> = lines.filter_map(|line| line.measured).collect();
        (findings.as_obtained, measured)
    };
    let (_, measured) = (1..40).map(told).find(|(held, _)| held.hearing).unwrap();
    let heard: Vec<&String> = measured
        .iter()
        .filter(|one| !one.contains("logMAR"))
        .collect();
    assert_eq!(heard.len(), 2, "{measured:?}");
    for one in heard {
        assert!(
            one.contains("as obtained") && !one.contains("mean"),
            "{one}"
        );
    }
}
