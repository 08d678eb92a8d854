//! Practice at the desk: begun, said, presented by hand, concluded, debriefed; and nothing of who it
//! is on the screen before.

use crate::{folder, no_sound, window_of};
use eframe::egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::time::{Duration, Instant};
use veridical::desk::prepare::Form;
use veridical::desk::{Desk, Page};
use veridical::journal::{Phrase, Together};
use veridical::quantity::Eye;

fn texts(harness: &Harness<'_, Desk>) -> String {
    let nodes = harness.root().children_recursive();
    let told = nodes.filter_map(|node| {
        let node = node.accesskit_node();
        node.label().or_else(|| node.value())
    });
    told.collect::<Vec<_>>().join("\n")
}

#[test]
fn an_exercise_is_begun_worked_through_and_debriefed() {
    let visits = folder("practise").join("visit");
    let form = Form::new(&visits, 11, Vec::new(), Vec::new());
    let mut harness = window_of(Desk::new(form, false, no_sound), 1000.0);
    harness.key_press(Key::F10);
    harness.step();
    assert_eq!(harness.state().page(), Page::Practise);
    assert!(harness.query_by_label_contains("The diver").is_some());
    let practising = harness.state_mut().practising_mut();
    let diver = practising
        .offered
        .iter()
        .position(|one| one.name == "diver");
    practising.chosen = diver.unwrap();
    // Without a name nothing begins.
    harness.get_by_label("Begin").click();
    harness.step();
    assert!(harness.state().session().is_none());
    harness.state_mut().practising_mut().trainee = "T-7".into();
    harness.get_by_label("Begin").click();
    harness.step();
    assert!(harness.state().session().is_some());
    harness.step();
    let mut now = Instant::now();
    for phrase in [Phrase::Introduces, Phrase::AsksWhichIsBetter] {
        harness.get_by_label(phrase.words()).click();
        harness.step();
        harness.step();
    }
    // What the person tells when asked, and nothing of the truth; no grade of the program either.
    assert!(texts(&harness).contains("the left"));
    harness.get_by_label_contains("the helper says").click();
    harness.step();
    harness.step();
    assert!(texts(&harness).contains("ask what has happened before"));
    harness.key_press(Key::F6);
    harness.step();
    assert_eq!(harness.state().page(), Page::Practise);
    for _ in 0..4 {
        let desk = harness.state_mut();
        desk.key(Key::T, now);
        desk.advance(now);
        now += Duration::from_secs(9);
        desk.advance(now);
    }
    let record = harness.state().session().unwrap().record().clone();
    assert_eq!(record.trials().len(), 4);
    assert!(record.practice().has_said(Phrase::AsksWhichIsBetter));
    assert!(record.practice().coached_at(1));
    assert_eq!(harness.state().page(), Page::Hear);
    harness.key_press(Key::F4);
    harness.step();
    assert!(texts(&harness).contains("By hand"), "{}", texts(&harness));
    for key in [Key::T, Key::V, Key::T, Key::E, Key::T] {
        let desk = harness.state_mut();
        desk.key(key, now);
        desk.advance(now);
        now += Duration::from_secs(9);
        desk.advance(now);
    }
    let record = harness.state().session().unwrap().record().clone();
    let shown = record.counted().filter_map(|trial| trial.optotype());
    let shown: Vec<_> = shown.map(|part| (part.eye, part.log_mar.0)).collect();
    let expected = [(Eye::Right, 1.0), (Eye::Right, 0.9), (Eye::Left, 1.0)];
    assert_eq!(shown, expected);
    assert!(!texts(&harness).contains("Sanna"));
    harness.key_press(Key::F10);
    harness.step();
    harness.step();
    assert!(!texts(&harness).contains("Sanna"));
    harness.state_mut().practising_mut().draft.hearing = Some(Together::CannotBeTold);
    harness.state_mut().practising_mut().draft.sight = Some(Together::CannotBeTold);
    harness.step();
    harness.get_by_label("End, and see who it was").click();
    harness.step();
    harness.step();
    let told = texts(&harness);
    assert!(told.contains("It was Invented: Sanna Kreel"), "{told}");
    assert!(
        told.contains("looked into both ears") && told.contains("not tested"),
        "{told}"
    );
    // Two who stood by tick what they saw; how far they agree is told at once.
    let beside = harness.state().session().unwrap().folder().to_owned();
    let observing = &mut harness.state_mut().practising_mut().observing;
    observing.scores = [("hands".to_owned(), 2), ("seat".to_owned(), 0)].into();
    for rater in ["A", "B"] {
        observing.rater = rater.into();
        observing.keep(&beside);
    }
    harness.step();
    assert!(
        texts(&harness).contains("With A: 2 items ticked by both, 100 % alike, Cohen's kappa 1.00"),
        "{}",
        texts(&harness)
    );
    harness.get_by_label("Practise on").click();
    harness.step();
    assert!(harness.state().session().is_none());
    harness.step();
    assert!(texts(&harness).contains("The tide clerk"));
}
