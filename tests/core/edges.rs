//! Windows at their edges, stations that fall silent, set-ups without a calibration, one ear alone.

use crate::at_hand::{
    average_person, case_file, file, folder, here, short_plan, veridical, visit_of, wish, word,
};
use veridical::calibration::{EarphoneProfile, SetUp};
use veridical::errand::{Begin, spin};
use veridical::finding::{HearingFindings, Masking};
use veridical::journal::{
    FileStore, Journal, MemoryStore, Outcome, PressKind, Purpose, Unkept, WhoPressed,
};
use veridical::person::Simulated;
use veridical::quantity::{Ear, Hz, Level, Moment};
use veridical::stimulus::ToneSlot;
use veridical::visit::{Input, Output, Visit, VisitError};

/// A visit whose first slot has been delivered and begun, at the moment zero.
fn first_slot() -> (Visit<MemoryStore>, u32, ToneSlot) {
    let begin = wish(5, short_plan());
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    let outputs = visit.step(Input::Tick, Moment::START).unwrap();
    let [Output::Deliver(planned)] = &outputs[..] else {
        panic!("{outputs:?}")
    };
    let (n, slot) = (planned.n, planned.slot.unwrap());
    visit
        .step(
            Input::Began {
                n,
                at: Moment::START,
            },
            Moment::START,
        )
        .unwrap();
    visit
        .step(Input::Whole { n }, Moment::from_seconds(slot.end_s))
        .unwrap();
    (visit, n, slot)
}

fn press(visit: &mut Visit<MemoryStore>, at_s: f64, told_s: f64, who: WhoPressed) {
    let at = Moment::from_seconds(at_s);
    visit
        .step(Input::Press { at, who }, Moment::from_seconds(told_s))
        .unwrap();
}

/// Late is an answer after its window. What counts is when it was pressed, not when the
/// program came to hear of it.
#[test]
fn the_window_closes_by_the_time_of_the_press() {
    let (mut visit, _, slot) = first_slot();
    press(
        &mut visit,
        slot.window_s - 0.005,
        slot.window_s + 0.05,
        WhoPressed::Person,
    );
    let outcome = &visit.record().trials()[0].outcome;
    assert!(matches!(outcome, Outcome::Yes { .. }), "{outcome:?}");

    let (mut visit, n, slot) = first_slot();
    press(
        &mut visit,
        slot.window_s + 0.005,
        slot.window_s - 0.001,
        WhoPressed::Person,
    );
    visit
        .step(Input::Tick, Moment::from_seconds(slot.window_s + 0.01))
        .unwrap();
    assert_eq!(visit.record().trials()[0].outcome, Outcome::No);
    assert_eq!(visit.record().presses()[0].kind, PressKind::Late(n));
}

/// Issue: no latency evidence from marked answers, so a mark before the onset is no early answer.
#[test]
fn a_mark_is_never_early() {
    let (mut visit, n, slot) = first_slot();
    press(&mut visit, 0.1, 0.1, WhoPressed::Examiner);
    visit
        .step(Input::Tick, Moment::from_seconds(slot.window_s))
        .unwrap();
    assert_eq!(visit.record().trials()[0].outcome, Outcome::No);
    assert_eq!(visit.record().presses()[0].kind, PressKind::Gap);

    let (mut visit, _, slot) = first_slot();
    press(&mut visit, 0.1, 0.1, WhoPressed::Person);
    visit
        .step(Input::Tick, Moment::from_seconds(slot.window_s))
        .unwrap();
    assert_eq!(visit.record().trials()[0].outcome, Outcome::Early);
    assert_eq!(visit.record().presses()[0].kind, PressKind::Early(n));
}

#[test]
fn a_station_that_says_nothing_is_not_fed_for_ever() {
    let begin = wish(5, short_plan());
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    for second in 0..600 {
        visit
            .step(Input::Tick, Moment::from_seconds(f64::from(second)))
            .unwrap();
    }
    assert!(visit.record().paused());
    assert_eq!(visit.record().voids().len(), 3);
    assert!(visit.record().trials().is_empty());
}

#[test]
fn after_the_end_a_hand_means_nothing_and_a_request_is_refused() {
    let (mut visit, n, _) = first_slot();
    visit.step(Input::Close, Moment::from_seconds(1.0)).unwrap();
    let lines = visit.journal().head().lines;
    let later = Moment::from_seconds(2.0);
    for input in [
        Input::Tick,
        Input::Whole { n },
        Input::Press {
            at: later,
            who: WhoPressed::Person,
        },
    ] {
        assert_eq!(visit.step(input, later).unwrap(), []);
    }
    let refused = visit.step(
        Input::Pause {
            reason: "late".into(),
        },
        later,
    );
    assert!(
        matches!(refused, Err(VisitError::Refused(_))),
        "{refused:?}"
    );
    assert_eq!(visit.journal().head().lines, lines);
}

/// Never a level over the caps; and where nothing is calibrated, not near them at once.
#[test]
fn an_uncalibrated_set_up_begins_far_under_its_cap() {
    let earphone = EarphoneProfile::uncalibrated();
    let cap_db = earphone.max_level(Ear::Right, Hz(1000.0)).unwrap().db();
    let set_up = SetUp {
        earphone: Some(earphone),
        ..SetUp::simulated()
    };
    let begin = Begin {
        set_up,
        ..wish(9, short_plan())
    };
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    let outputs = visit.step(Input::Tick, Moment::START).unwrap();
    let [Output::Deliver(planned)] = &outputs[..] else {
        panic!("{outputs:?}")
    };
    let level = planned.presentation.sounds().next().unwrap().level;
    assert!(matches!(level, Level::Fs(_)), "{level:?}");
    assert!(level.db() <= cap_db - 40.0, "{level:?} under {cap_db}");
}

/// An ear that was tested alone may have been answered for by the other, of which nothing is known
/// (40 dB: least interaural attenuation of circumaural earphones, hearing reference 8).
#[test]
fn one_ear_alone_is_not_said_to_need_no_masking() {
    let mut plan = short_plan();
    plan.hearing.as_mut().unwrap().ears = vec![Ear::Left];
    let case =
        veridical::person::Case::read(std::path::Path::new(&case_file("one_sided"))).unwrap();
    let visit = visit_of(Unkept, 4, plan, &mut Simulated::new(case, 8));
    let findings = HearingFindings::of(visit.record());
    for finding in &findings.left {
        assert_eq!(finding.masking, Some(Masking::NeededNotDone), "{finding:?}");
    }
    assert!(
        findings
            .right
            .iter()
            .all(|finding| finding.masking.is_none())
    );
}

/// The precision that is stated must be that of the figures: over many thresholds the mean square
/// of `sd_db` is that of the errors, within a third. A midpoint lies in its own interval.
#[test]
fn the_precision_stated_is_the_precision_found() {
    let truth = veridical::person::Case::read(std::path::Path::new(&case_file("average"))).unwrap();
    let truth = truth.hearing.unwrap();
    let (mut stated, mut found, mut n) = (0.0, 0.0, 0.0);
    for seed in 0..60 {
        let mut plan = veridical::procedure::named_plan("full").unwrap().unwrap();
        plan.sight = None;
        let visit = visit_of(Unkept, seed, plan, &mut average_person(1000 + seed));
        for (ear, finding) in HearingFindings::of(visit.record()).all() {
            let (Some(midpoint), Some(sd_db)) = (finding.midpoint, finding.sd_db) else {
                continue;
            };
            let [low_db, high_db] = finding.interval_90_db.unwrap();
            assert!((low_db..=high_db).contains(&midpoint.db()), "{finding:?}");
            let error_db = midpoint.db() - truth.midpoint_db(ear, finding.hz);
            stated += sd_db * sd_db;
            found += error_db * error_db;
            n += 1.0;
        }
    }
    assert!(n > 900.0);
    let ratio = (stated / found).sqrt();
    assert!(
        (0.67..=1.5).contains(&ratio),
        "{ratio}: {} of {}",
        (stated / n).sqrt(),
        (found / n).sqrt()
    );
}

#[test]
fn two_programs_do_not_write_one_journal() {
    let at = folder("edges-two-writers").join("journal.jsonl");
    let begin = wish(5, short_plan());
    let store = FileStore::create(&at).unwrap();
    let _visit = Visit::over(Journal::begin(store, begin.opening(), begin.epoch).unwrap());
    let second = FileStore::open(&at).err().map(|error| error.to_string());
    assert_eq!(
        second.as_deref(),
        Some("it is being written by another program")
    );
}

#[test]
fn a_refused_resume_changes_no_byte() {
    let at = folder("edges-refused");
    let out = word(&at.join("visit"));
    let case = case_file("careful");
    veridical(&[
        "visit", "--case", &case, "--seed", "3", "--out", &out, "--plan", "quick",
    ]);
    let journal = at.join("visit/journal.jsonl");
    let whole = std::fs::read(&journal).unwrap();
    let cut = &whole[..whole.len() - 40];
    std::fs::write(&journal, cut).unwrap();
    veridical(&[
        "visit", "--case", &case, "--seed", "4", "--out", &out, "--plan", "quick", "--resume",
    ])
    .refused(&["--seed"]);
    assert_eq!(std::fs::read(&journal).unwrap(), cut);
}

#[test]
fn a_paused_visit_goes_on_when_it_is_resumed() {
    let begin = wish(5, short_plan());
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    visit
        .step(
            Input::Pause {
                reason: "a break".into(),
            },
            Moment::START,
        )
        .unwrap();
    // By itself a paused visit does not go on; that is said, not waited for.
    assert!(spin(&mut visit, &mut average_person(1)).is_err());
    visit.step(Input::Continue, Moment::START).unwrap();
    spin(&mut visit, &mut average_person(1)).unwrap();
    assert!(visit.record().closed());
}

/// A person to whom nothing shown is plain has answered nothing wrongly that they could see.
#[test]
fn very_poor_sight_does_not_lower_the_grade_and_gives_its_cue() {
    let at = folder("edges-poor-sight");
    let case = file(
        &at,
        "case.toml",
        "format = 1\ntitle = \"Invented: hardly sees\"\n[sight]\nright = 3.0\nleft = 3.0\n",
    );
    let out = word(&at.join("visit"));
    let told = veridical(&[
        "visit", "--case", &case, "--seed", "3", "--out", &out, "--json",
    ]);
    let findings = told.json();
    // Nothing of the screen was read, and nothing shown by hand was seen.
    assert_eq!(findings["sight"]["right"]["status"], "no_light_perception");
    assert_eq!(findings["consistency"]["sight"]["grade"], "consistent");
    let cues = findings["cues"].to_string();
    assert!(cues.contains("below 6/12"), "{cues}");
}

/// The measuring tones of a series that familiarising began are not counted twice.
#[test]
fn familiarising_tones_do_not_measure() {
    let visit = crate::at_hand::short_visit(3);
    let first = visit.record().trials().first().unwrap();
    assert_eq!(first.purpose(), Purpose::Familiarise);
    let findings = HearingFindings::of(visit.record());
    let measuring = |trial: &&veridical::journal::Trial| {
        trial.purpose() == Purpose::Measure && trial.tone().is_some()
    };
    let counted = visit.record().counted().filter(measuring).count() as u32;
    let stated: u32 = findings
        .all()
        .map(|(_, finding)| finding.presentations)
        .sum();
    assert_eq!(stated, counted);
}

/// Sees everything and says left for right, as in a mirror.
struct Mirrored;

impl veridical::person::Person for Mirrored {
    fn answer(
        &mut self,
        _: u32,
        presentation: &veridical::stimulus::Presentation,
    ) -> Result<veridical::person::Response, veridical::person::PersonError> {
        let shown = presentation.optotypes().next();
        Ok(match shown {
            Some(shown) => veridical::person::Response::Facing {
                facing: shown.symbol.facing().unwrap().mirrored(),
                after_s: 0.8,
            },
            None => veridical::person::Response::Presses(Vec::new()),
        })
    }

    fn recall(
        &mut self,
        _: u32,
        _: &veridical::stimulus::Presentation,
    ) -> Result<(), veridical::person::PersonError> {
        Ok(())
    }
}

/// Left for right throughout is told as a matter of set-up or understanding, and no acuity is made
/// of it; the answers are not said to disagree (the issue's own words).
#[test]
fn a_reversal_is_a_matter_of_set_up_and_never_of_consistency() {
    for seed in 0..20 {
        let mut plan = short_plan();
        plan.hearing = None;
        let visit = visit_of(Unkept, seed, plan, &mut Mirrored);
        let findings = veridical::report::Findings::of(visit.record());
        let right = &findings.sight.right;
        assert_eq!(
            right.status,
            veridical::finding::SightStatus::Stopped,
            "{right:?}"
        );
        assert_eq!(right.log_mar, None);
        assert!(
            findings.consistency.sight.is_none(),
            "{:?}",
            findings.consistency.sight
        );
        let told = findings
            .cues
            .iter()
            .filter(|cue| cue.what.contains("other way round"))
            .count();
        assert_eq!(told, 1, "{:?}", findings.cues);
    }
}

/// dB HL is never printed without a valid profile; one past its day is none.
#[test]
fn a_profile_past_its_day_is_refused() {
    let at = folder("edges-expired");
    let example = std::fs::read_to_string(here("calibration/example-circumaural.toml")).unwrap();
    let expired = example
        .replace("made_on = \"2026-02-02\"", "made_on = \"2020-02-02\"")
        .replace("expires_on = \"2027-02-01\"", "expires_on = \"2021-02-01\"");
    assert!(
        expired.contains("2021-02-01"),
        "the example has other dates now"
    );
    let profile = file(&at, "expired.toml", expired);
    let wav = word(&at.join("tone.wav"));
    veridical(&[
        "tone",
        "--ear",
        "right",
        "--hz",
        "1000",
        "--level",
        "40",
        "--out",
        &wav,
        "--earphone",
        &profile,
    ])
    .refused(&["expired.toml", "2021-02-01"]);
    assert!(!at.join("tone.wav").exists());
    let out = word(&at.join("visit"));
    let case = case_file("average");
    veridical(&[
        "visit",
        "--case",
        &case,
        "--seed",
        "1",
        "--out",
        &out,
        "--earphone",
        &profile,
    ])
    .refused(&["expired.toml", "2021-02-01"]);
}
