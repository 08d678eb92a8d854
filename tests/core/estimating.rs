//! The estimating procedure in whole visits.

use crate::at_hand::{Told, average_person, file, folder, veridical, visit_of, wish};
use veridical::errand::spin;
use veridical::finding::{HearingFindings, HearingStatus};
use veridical::journal::{Journal, MemoryStore, Plan, Record, check};
use veridical::person::{Person, PersonError, Response, Simulated};
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
        let findings = HearingFindings::of(&record);
        for (ear, one) in findings.all() {
            assert_eq!(
                one.status,
                HearingStatus::Measured,
                "{from} {to} {ear}: {one:?}"
            );
            assert_eq!(one.prior_share.is_some(), to == "estimate");
        }
        // The first 20 presentations are the old procedure's; they are among those that count.
        let early = record.counted().filter(|trial| trial.planned.n <= 20);
        assert!(early.count() >= 19);
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
    // The average case falls by more than 20 dB between some octaves of the left ear.
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
