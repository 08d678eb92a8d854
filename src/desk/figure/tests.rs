//! The figures as data, and that they can be drawn at every size and read without being seen.

use super::stream::{Reply, SHOWN, What};
use super::{Acuity, Audiogram, Figure, Stream, show, show_table};
use crate::calibration::SetUp;
use crate::desk::style::{Theme, apply};
use crate::errand::{Begin, epoch_of_simulations, plan_of, spin};
use crate::finding::{
    HearingFindings, HearingStatus, Screened, ScreeningFinding, ScreeningFindings, SightFindings,
};
use crate::journal::{self, Body, Event, Journal, MemoryStore, PersonKind, Purpose, Record, Trial};
use crate::person::{Case, Simulated};
use crate::quantity::{Ear, Eye, Hz, Level, Scale};
use crate::report::figure::audiogram::Kind;
use crate::visit::Visit;
use eframe::egui::{Role, vec2};
use egui_kittest::{Harness, kittest::Queryable};

/// Invented; both ears are out of reach at 8 kHz.
const CASE: &str = r#"
format = 1
title = "Invented, for the figures"
[hearing]
hz    = [250, 1000, 4000, 8000]
right = [5, 10, 30, 140]
left  = [60, 80, 130, 140]
[sight]
right = 0.1
left  = 0.4
"#;

/// All events of a visit.
fn events() -> Vec<Event> {
    let case = Case::from_toml(CASE, "case").unwrap();
    let person = PersonKind::Simulated {
        title: case.title.clone(),
    };
    let begin = Begin {
        folder: std::path::PathBuf::new(),
        seed: 7,
        person,
        set_up: SetUp::simulated(),
        plan: plan_of("full", None).unwrap(),
        epoch: epoch_of_simulations(),
    };
    let store = MemoryStore::default();
    let journal = Journal::begin(store, begin.opening(), begin.epoch).unwrap();
    let mut visit = Visit::over(journal);
    spin(&mut visit, &mut Simulated::new(case, 3)).unwrap();
    journal::check(&visit.journal().store().bytes).unwrap().0
}

/// The record after a share of the events.
fn record(events: &[Event], share: f64) -> Record {
    let upto = ((events.len() as f64 * share) as usize).max(1);
    Record::of(&events[..upto]).unwrap().0
}

fn figures(record: &Record) -> Vec<Box<dyn Figure>> {
    let hearing = HearingFindings::of(record);
    let sight = SightFindings::of(record);
    let mut all: Vec<Box<dyn Figure>> = vec![
        Box::new(Audiogram::of(record, &hearing, false)),
        Box::new(Stream::of(record)),
    ];
    for eye in Eye::ALL {
        all.push(Box::new(Acuity::of(record, sight.eye(eye), eye)));
    }
    all
}

/// Masked thresholds have marks of their own (ASHA 1990); what either ear may have answered, and
/// what a screening heard, is no threshold and is joined with none.
#[test]
fn masked_unresolved_and_screened_marks_are_told_apart() {
    let events = events();
    let shown = |share: f64| {
        let record = record(&events, share);
        Audiogram::of(&record, &HearingFindings::of(&record), false)
    };
    let masked = shown(1.0);
    assert!(
        masked
            .marks
            .iter()
            .any(|mark| mark.masked && mark.ear == Ear::Left)
    );
    assert!(
        masked
            .marks
            .iter()
            .all(|mark| !mark.masked || mark.ear == Ear::Left)
    );
    let mut unresolved = 0;
    for share in [0.4, 0.5, 0.6, 0.7] {
        let audiogram = shown(share);
        let joined = Ear::BOTH.map(|ear| audiogram.runs(ear)).concat().concat();
        for mark in audiogram
            .marks
            .iter()
            .filter(|mark| mark.kind == Kind::EitherEar)
        {
            unresolved += 1;
            assert!(!mark.measures() && !joined.contains(mark));
            assert!(audiogram.description().contains("or poorer"));
        }
    }
    assert!(unresolved > 0);
    let screening = ScreeningFindings {
        right: vec![ScreeningFinding {
            hz: Hz(1000.0),
            level: Some(Level::Hl(crate::quantity::DbHl(25.0))),
            found: Screened::NotHeard,
            answered: 0,
            of: 2,
        }],
        ..ScreeningFindings::default()
    };
    let nothing = HearingFindings::default();
    let screened =
        Audiogram::new(&nothing, Scale::DbHl, vec![], false).with_screening(Some(&screening));
    assert_eq!(screened.marks.len(), 1);
    assert!(!screened.marks[0].measures() && screened.runs(Ear::Right).is_empty());
    assert!(screened.description().contains("not heard at 25"));
}

#[test]
fn the_audiogram_shows_the_findings_and_joins_no_missing_response() {
    let record = record(&events(), 1.0);
    let findings = HearingFindings::of(&record);
    let audiogram = Audiogram::of(&record, &findings, false);
    assert_eq!(audiogram.scale, Scale::DbHl);
    assert_eq!(audiogram.marks.len(), 16);
    for mark in &audiogram.marks {
        let finding = findings.at(mark.ear, mark.hz).unwrap();
        assert_eq!(Some(mark.db), finding.stated_db());
        let is_missing = finding.status == HearingStatus::NoResponseAtMaximum;
        assert_eq!(mark.kind == Kind::NoResponse, is_missing);
    }
    let missing = audiogram
        .marks
        .iter()
        .filter(|m| m.kind == Kind::NoResponse);
    assert!(missing.count() > 0);
    let joined = Ear::BOTH.map(|ear| audiogram.runs(ear)).concat().concat();
    assert!(joined.iter().all(|mark| mark.kind != Kind::NoResponse));
    // The simulated earphone's maximum is 110 dB HL at every frequency.
    assert!(
        audiogram
            .maximum
            .iter()
            .all(|(_, db)| (db - 110.0).abs() < 1e-9)
    );
    assert_eq!(audiogram.table().rows.len(), 16);
}

#[test]
fn without_a_profile_there_is_no_hearing_level() {
    for scale in [Scale::DbFs, Scale::DbReExaminer] {
        let audiogram = Audiogram::new(&HearingFindings::default(), scale, vec![], false);
        assert!(!audiogram.description().contains("HL"));
        assert!(
            audiogram
                .table()
                .head
                .iter()
                .all(|title| !title.contains("HL"))
        );
        assert!(audiogram.description().contains(scale.unit()));
    }
}

#[test]
fn the_stream_has_the_newest_in_order_with_what_became_of_them() {
    let events = events();
    let record = record(&events, 0.5);
    let stream = Stream::of(&record);
    assert_eq!(stream.items.len(), SHOWN);
    assert!(
        stream
            .items
            .windows(2)
            .all(|pair| pair[0].n + 1 == pair[1].n)
    );
    assert_eq!(stream.items[SHOWN - 1].n, record.next_number() - 1);
    for item in &stream.items {
        assert_eq!(item.what == What::Silent, item.purpose == Purpose::Silent);
        let trial = record.trials().iter().find(|one| one.planned.n == item.n);
        if let Some(heard) = trial.and_then(Trial::heard) {
            assert_eq!(item.reply == Reply::Answered, heard);
        }
    }
}

#[test]
fn void_and_taken_back_ones_are_struck_through() {
    let mut events = events();
    let planned = |event: &Event| matches!(event.body, Body::Planned(_));
    let at = events.iter().rposition(planned).unwrap();
    events.truncate(at + 1);
    let Body::Planned(last) = &events[at].body else {
        panic!("a planned one was looked for");
    };
    let n = last.n;
    let mut add = |body| {
        let mut event = events[at].clone();
        event.number = events.len() as u64 + 1;
        event.body = body;
        events.push(event);
    };
    add(Body::Void {
        n,
        reason: "the device was lost".into(),
    });
    add(Body::Undone {
        n: n - 1,
        reason: "somebody came in".into(),
    });
    let stream = Stream::of(&Record::of(&events).unwrap().0);
    let [.., before, last] = stream.items.as_slice() else {
        panic!("there are two at least");
    };
    assert_eq!(
        (last.n, last.reply, last.is_struck()),
        (n, Reply::Void, true)
    );
    assert!(before.undone && before.is_struck());
}

#[test]
fn the_belief_in_an_acuity_narrows() {
    let events = events();
    let width = |share: f64| {
        let record = record(&events, share);
        let finding = SightFindings::of(&record).right;
        let acuity = Acuity::of(&record, &finding, Eye::Right);
        let shown: u32 = acuity.rungs.iter().map(|rung| rung.of).sum();
        acuity
            .belief
            .map(|belief| (shown, belief.interval_90[1] - belief.interval_90[0]))
    };
    let widths: Vec<(u32, f64)> = (0..=20)
        .filter_map(|i| width(f64::from(i) / 20.0))
        .collect();
    let (first, last) = (widths[0], widths[widths.len() - 1]);
    assert!(first.0 < last.0 && last.1 < first.1, "{first:?} {last:?}");
    assert!(width(0.0).is_none());
}

#[test]
fn figures_can_be_drawn_at_every_size_and_say_what_they_show() {
    let events = events();
    for share in [0.0, 0.1, 0.6, 1.0] {
        let record = record(&events, share);
        for theme in [Theme::PAPER, Theme::DARK_ROOM] {
            for (width, height) in [(1.0, 1.0), (300.0, 200.0), (800.0, 500.0), (1600.0, 900.0)] {
                let all = figures(&record);
                let words: Vec<String> = all.iter().map(|one| one.description()).collect();
                let harness = Harness::builder()
                    .with_size(vec2(1700.0, 1000.0))
                    .with_context_setup(move |ctx| apply(ctx, &theme))
                    .build_ui(move |ui| {
                        for one in &all {
                            show(ui, &theme, one.as_ref(), vec2(width, height));
                        }
                    });
                for words in &words {
                    let found = harness.get_by_role_and_label(Role::Image, words);
                    assert!((found.rect().width() - width).abs() < 1.0);
                }
            }
        }
    }
}

#[test]
fn tables_are_whole_and_readable_in_the_window() {
    let record = record(&events(), 1.0);
    for one in figures(&record) {
        let table = one.table();
        assert!(table.rows.iter().all(|row| row.len() == table.head.len()));
        let first = table.head[0].clone();
        let harness = Harness::new_ui(move |ui| show_table(ui, &Theme::PAPER, &table, "table"));
        assert!(harness.query_by_label(&first).is_some(), "{first}");
    }
}
