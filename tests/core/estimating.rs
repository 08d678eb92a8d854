//! The estimating procedure in whole visits.

use crate::at_hand::{
    Told, average_person, case_file, file, folder, veridical, visit_of, wish, word,
};
use veridical::calibration::EarphoneProfile;
use veridical::errand::spin;
use veridical::finding::{HearingFindings, HearingStatus};
use veridical::journal::{Body, Journal, MemoryStore, Plan, Purpose, Record, Trial, check};
use veridical::person::{Person, PersonError, Response, Simulated};
use veridical::procedure::{ForThis, Reason, reason};
use veridical::stimulus::Presentation;
use veridical::visit::{Input, Visit, VisitError};

fn plan(text: &str) -> Plan {
    let hearing = "format = 1\nname = \"any\"\n[hearing]\nhz = [500, 1000, 2000, 4000]\n";
    Plan::from_toml(&format!("{hearing}{text}"), "a plan").unwrap()
}

/// Answers as the average person does, but is gone after so many presentations.
struct Leaving {
    person: Simulated,
    stays: u32,
}

impl Person for Leaving {
    fn answer(&mut self, n: u32, presentation: &Presentation) -> Result<Response, PersonError> {
        if n > self.stays {
            return Err(PersonError("gone".into()));
        }
        self.person.answer(n, presentation)
    }

    fn recall(&mut self, n: u32, presentation: &Presentation) -> Result<(), PersonError> {
        self.person.recall(n, presentation)
    }
}

/// A visit that changes its procedure after 20 presentations.
fn changed(from: &str, to: &str) -> Record {
    let begin = wish(5, plan(&format!("procedure = {from:?}\n")));
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    let mut person = Leaving {
        person: average_person(6),
        stays: 20,
    };
    assert!(spin(&mut visit, &mut person).is_err(), "the person is gone");
    let now = visit.record().last_moment();
    let n = visit.record().open().unwrap().planned.n;
    let reason = "the person was gone".into();
    visit.step(Input::Failed { n, reason }, now).unwrap();
    for wrong in ["screening", "none such"] {
        let refused = visit.step(Input::MeasureBy(wrong.into()), now);
        assert!(matches!(refused, Err(VisitError::Refused(_))), "{wrong}");
    }
    visit.step(Input::MeasureBy(to.into()), now).unwrap();
    person.stays = u32::MAX;
    spin(&mut visit, &mut person).unwrap();
    let bytes = &visit.journal().store().bytes;
    let (events, _) = check(bytes).unwrap();
    let read = Record::of(&events).unwrap().0;
    assert_eq!(&read, visit.record(), "the journal tells of the change");
    read
}

#[test]
fn the_procedure_changes_in_the_middle_and_what_was_answered_counts() {
    for (from, to) in [("ascending", "estimate"), ("estimate", "ascending")] {
        let record = changed(from, to);
        let named = |plan: &Plan| plan.hearing.as_ref().unwrap().procedure.clone();
        assert_eq!(
            named(record.plan_at_first()),
            from,
            "what was opened stays to be seen"
        );
        assert_eq!(named(&record.opening.plan), to);
        assert_eq!(record.procedure_changes(), [(22, to.to_owned())]);
        let findings = HearingFindings::of(&record);
        for (ear, one) in findings.all() {
            assert_eq!(
                one.status,
                HearingStatus::Measured,
                "{from} {to} {ear}: {one:?}"
            );
            assert_eq!(one.prior_share.is_some(), to == "estimate");
        }
        // What the old procedure asked counts for the new one's figures.
        let measuring = |trial: &&Trial| trial.purpose() == Purpose::Measure;
        let tones = record.counted().filter(measuring);
        let (old, new): (Vec<_>, Vec<_>) = tones.partition(|trial| trial.planned.n <= 20);
        assert!(!old.is_empty() && !new.is_empty());
        let stated: u32 = findings.all().map(|(_, one)| one.presentations).sum();
        assert_eq!(stated as usize, old.len() + new.len());
    }
}

#[test]
fn every_frequency_that_is_stated_has_three_presentations_of_its_own() {
    // The wanted precision is reached from the neighbours alone.
    let coarse = plan("procedure = \"estimate\"\nstop_sd_db = 20.0\n");
    let visit = visit_of(MemoryStore::default(), 7, coarse, &mut average_person(8));
    let findings = HearingFindings::of(visit.record());
    assert_eq!(findings.all().count(), 8);
    for (_, one) in findings.all() {
        assert!(one.presentations >= 3, "{one:?}");
        let share = one.prior_share.unwrap();
        assert!((0.0..=1.0).contains(&share));
        assert_eq!(one.from_neighbours, share >= 0.5);
    }
    assert!(findings.all().any(|(_, one)| one.from_neighbours));
}

/// Also what lies beyond the loudest level, where neighbours say so beforehand.
#[test]
fn nothing_is_told_of_a_frequency_by_two_unheard_tones() {
    let deaf = veridical::person::Case::from_toml(
        "format = 1\ntitle = \"invented: hears none of it\"\n[hearing]\nhz = [500, 1000, 2000, 4000]\n\
         right = [120, 120, 120, 120]\nleft = [120, 120, 120, 120]\n",
        "a case",
    )
    .unwrap();
    let coarse = plan("procedure = \"estimate\"\nstop_sd_db = 20.0\n");
    let mut person = Simulated::new(deaf, 8);
    let visit = visit_of(MemoryStore::default(), 7, coarse, &mut person);
    let findings = HearingFindings::of(visit.record());
    assert!(
        findings
            .all()
            .any(|(_, one)| one.status == HearingStatus::NoResponseAtMaximum)
    );
    for (_, one) in findings.all() {
        assert!(one.presentations >= 3, "{one:?}");
    }
}

#[test]
fn with_a_flat_prior_nothing_leans_on_anything() {
    let flat = plan("procedure = \"estimate\"\nprior = \"flat\"\n");
    let visit = visit_of(MemoryStore::default(), 7, flat, &mut average_person(8));
    for (_, one) in HearingFindings::of(visit.record()).all() {
        assert!(
            !one.from_neighbours && one.prior_share.unwrap() < 0.05,
            "{one:?}"
        );
    }
}

#[test]
fn frequencies_between_octaves_are_estimated_where_neighbours_differ() {
    let asked = plan("procedure = \"estimate\"\ninter_octaves = true\n");
    let steep = veridical::person::Case::from_toml(
        "format = 1\ntitle = \"invented: a slope\"\n[hearing]\nhz = [500, 1000, 2000, 4000]\n\
         right = [10, 10, 10, 60]\nleft = [10, 10, 10, 60]\n",
        "a case",
    )
    .unwrap();
    let visit = visit_of(
        MemoryStore::default(),
        7,
        asked,
        &mut Simulated::new(steep, 3),
    );
    let findings = HearingFindings::of(visit.record());
    for ear in [&findings.right, &findings.left] {
        let hz: Vec<f64> = ear
            .iter()
            .filter(|one| one.presentations > 0)
            .map(|one| one.hz.0)
            .collect();
        assert!(hz.contains(&3000.0), "{hz:?}");
        assert!(!hz.contains(&1500.0), "{hz:?}");
    }
}

fn study(plan: &str, more: &[&str]) -> Told {
    let fixed = "study --population average --seed 9 --json --tones 24 --plan";
    let fixed: Vec<&str> = fixed.split(' ').chain([plan]).collect();
    veridical(&[&fixed, more].concat())
}

#[test]
fn a_study_is_the_same_on_any_threads_and_when_gone_on_with() {
    let folder = folder("estimating-study");
    let text =
        "format = 1\nname = \"few\"\n[hearing]\nprocedure = \"estimate\"\nhz = [1000, 4000]\n";
    let plan = file(&folder, "plan.toml", text);
    let kept = file(&folder, "kept.json", "");
    std::fs::remove_file(&kept).unwrap();
    let whole = study(&plan, &["--repeats", "6", "--threads", "1"]).json();
    assert!(
        whole["all"]["hearing"]["midpoint"]["rmse_db"]
            .as_f64()
            .unwrap()
            > 0.0
    );
    assert_eq!(
        study(&plan, &["--repeats", "6", "--threads", "2"]).json(),
        whole
    );
    study(&plan, &["--repeats", "2", "--keep", &kept]).json();
    assert_eq!(
        study(&plan, &["--repeats", "6", "--keep", &kept]).json(),
        whole
    );
    std::fs::write(&kept, "{\"study\":").unwrap();
    study(&plan, &["--repeats", "6", "--keep", &kept]).refused(&["kept.json", "expected"]);
}

/// Hears nothing.
struct Deaf;

impl Person for Deaf {
    fn answer(&mut self, _: u32, _: &Presentation) -> Result<Response, PersonError> {
        Ok(Response::Presses(Vec::new()))
    }

    fn recall(&mut self, _: u32, _: &Presentation) -> Result<(), PersonError> {
        Ok(())
    }
}

/// Full scale is assumed to give 120 dB SPL, so that 70 dB is 50 dB below it.
#[test]
fn loud_tones_come_by_steps_also_where_nobody_measured_the_earphone() {
    let mut begin = wish(5, plan("procedure = \"estimate\"\n"));
    begin.set_up.earphone = Some(EarphoneProfile::uncalibrated());
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    spin(&mut visit, &mut Deaf).unwrap();
    let mut loudest = [-60.0_f64; 2];
    let mut at_the_top = 0;
    for trial in visit.record().counted() {
        let Some(tone) = trial.tone() else { continue };
        let (db, loudest) = (tone.level.db(), &mut loudest[tone.ear as usize]);
        if trial.purpose() == Purpose::Measure {
            assert!(db <= *loudest + 10.0 + 1e-9, "{db} after {loudest}");
        }
        *loudest = loudest.max(db);
        at_the_top += u32::from(db >= -20.0);
    }
    assert!(at_the_top > 0, "the loudest level is reached");
}

#[test]
fn what_was_taken_back_counts_no_more_also_for_what_is_kept_in_mind() {
    let begin = wish(5, plan("procedure = \"estimate\"\n"));
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    let mut person = Leaving {
        person: average_person(6),
        stays: 40,
    };
    assert!(spin(&mut visit, &mut person).is_err(), "the person is gone");
    let now = visit.record().last_moment();
    let before = HearingFindings::of(visit.record());
    let reason = || "a slip".to_owned();
    visit
        .step(Input::UndoLast { reason: reason() }, now)
        .unwrap();
    let record = visit.record().clone();
    assert!(record.trials().iter().any(|trial| trial.undone));
    let in_mind = HearingFindings::of(&record);
    // Another thread keeps nothing in mind.
    let afresh = std::thread::spawn(move || HearingFindings::of(&record));
    assert_eq!(in_mind, afresh.join().unwrap());
    assert_ne!(in_mind, before);
}

/// What is said of a presentation is what the findings would say then: the interval, and which places
/// are known less.
#[test]
fn each_presentation_says_why_from_what_was_known_before_it() {
    let asked = plan("procedure = \"estimate\"\n");
    let visit = visit_of(MemoryStore::default(), 7, asked, &mut average_person(8));
    let (events, _) = check(&visit.journal().store().bytes).unwrap();
    let (mut estimating, mut widest, mut others) = (0, 0, 0);
    for (at, event) in events.iter().enumerate() {
        let Body::Planned(planned) = &event.body else {
            continue;
        };
        let (record, _) = Record::of(&events[..=at]).unwrap();
        let reason = reason(&record, planned).unwrap();
        let words = reason.sentence();
        assert!(words.ends_with(['.', '?']) && words.len() < 260, "{words}");
        let Reason::Estimate(why) = &reason else {
            assert_ne!(planned.purpose, Purpose::Measure);
            others += 1;
            continue;
        };
        estimating += 1;
        let tone = planned.presentation.tones().next().unwrap();
        let findings = HearingFindings::of(&record);
        let known = findings.at(tone.ear, tone.hz).unwrap();
        assert_eq!(why.own, known.presentations as usize);
        if let Some(interval_db) = known.interval_90_db {
            let apart = why.interval_90_db.iter().zip(&interval_db);
            assert!(apart.map(|(a, b)| (a - b).abs()).sum::<f64>() < 1e-9);
        }
        let [yes, no] = why.midpoint_after_db;
        assert!(yes < no, "an answer speaks for a better ear: {why:?}");
        assert!((0.0..=1.0).contains(&why.p_answered));
        if why.for_this == ForThis::Widest {
            widest += 1;
            assert!(words.contains("widest"), "{words}");
        }
    }
    assert!(
        estimating > 20 && widest > 5 && others > 3,
        "{estimating} {widest} {others}"
    );
}

#[test]
fn a_journal_tells_why_by_a_verb() {
    let folder = folder("estimating-why");
    let text = "format = 1\nname = \"few\"\n[hearing]\nprocedure = \"estimate\"\nhz = [1000]\n";
    let plan = file(&folder, "plan.toml", text);
    let out = folder.join("visit");
    let visit = [
        "visit",
        "--case",
        &case_file("average"),
        "--seed",
        "4",
        "--plan",
        &plan,
        "--out",
    ];
    assert_eq!(
        veridical(&[&visit[..], &[&word(&out)]].concat()).code,
        Some(0)
    );
    let journal = word(&out.join("journal.jsonl"));
    let all = veridical(&["why", &journal, "--json"]).json();
    let all = all.as_array().unwrap();
    assert!(all.len() > 5);
    assert!(all.iter().any(|one| one["reason"]["because"] == "estimate"));
    let first = veridical(&["why", &journal, "--n", "1"]);
    assert!(first.out.contains("what to listen for"), "{}", first.out);
    veridical(&["why", &journal, "--n", "9999"]).refused(&["--n", "9999"]);
}
