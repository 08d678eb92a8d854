//! The desk's own settings: language, size of text, keys; each at once, and nothing of them in a measurement.

use crate::{ready, window};
use eframe::egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::time::Instant;
use veridical::desk::keys::{Action, Task};
use veridical::desk::style::TARGET;
use veridical::desk::{Desk, set_up};
use veridical::report::words::Lang;

/// A desk on the page of its settings.
fn settings(name: &str) -> Harness<'static, Desk> {
    let mut harness = window(ready(name, 0));
    harness.key_press(Key::Home);
    harness.run_steps(3);
    harness
}

#[test]
fn the_desk_speaks_german_at_once_and_the_journal_does_not() {
    let mut harness = settings("settings-german");
    harness.get_by_label("Deutsch").click();
    harness.run_steps(3);
    for name in ["Vorbereiten", "Hören", "Abwägen", "Pult", "Schriftgröße"] {
        assert!(harness.query_all_by_label(name).next().is_some(), "{name}");
    }
    harness.key_press(Key::F2);
    harness.run_steps(3);
    harness.get_by_label("Den Termin beginnen");
    harness.state_mut().form_mut().cautions = false;
    harness.run_steps(3);
    harness.get_by_label("Hinweise: gelesen");
    harness.state_mut().form_mut().cautions = true;
    harness.run_steps(3);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    harness.key_press(Key::F3);
    harness.run_steps(3);
    harness.get_by_label_contains("Hörer auf, rot aufs rechte Ohr");
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    harness.get_by_label_contains("Angehalten.");
    // What is written down stays in one language.
    let folder = harness.state().session().unwrap().folder().to_owned();
    let journal = std::fs::read_to_string(folder.join("journal.jsonl")).unwrap();
    assert!(journal.contains("stopped by the examiner"));
    assert!(!journal.contains("untersuchend") && !journal.contains("Termin"));
    harness.key_press(Key::Home);
    harness.run_steps(3);
    harness.get_by_label("English").click();
    harness.run_steps(3);
    harness.get_by_label("Size of text");
}

/// What the person reads is in the person's language, whatever the examiner's is.
#[test]
fn the_persons_window_has_a_language_of_its_own() {
    let mut desk = ready("settings-person", 0);
    desk.form_mut().lang = Lang::German;
    desk.begin();
    let began = Instant::now();
    desk.advance(began);
    desk.act(Action::Confirm, began);
    desk.advance(began);
    let _ = desk.person().set(desk.view());
    let shown = desk.person().clone();
    let builder = Harness::builder()
        .with_size([900.0, 640.0])
        .with_context_setup(set_up);
    let mut person = builder.build_ui(move |ui| {
        shown.ui(ui);
    });
    person.run_steps(2);
    person.get_by_label("Ich höre es");
    person.get_by_label_contains("Drücken Sie immer, wenn Sie einen Ton hören");
    let mut harness = window(desk);
    harness.run_steps(2);
    harness.get_by_label_contains("Mark: heard");
}

#[test]
fn text_grows_and_what_is_pressed_grows_with_it() {
    let mut harness = settings("settings-size");
    harness.get_by_label("130 %").click();
    harness.run_steps(4);
    assert!((harness.ctx.zoom_factor() - 1.3).abs() < 1e-6);
    let high = harness.get_by_label("100 %").rect().height();
    assert!(high >= TARGET, "{high} points, each 1.3 as large");
}

/// A screen that was measured stays measured: its pixels do not grow with text.
#[test]
fn larger_text_leaves_the_scale_of_the_persons_display_alone() {
    let desk = ready("settings-field", 0);
    let window = desk.person().clone();
    let shown = window.clone();
    let builder = Harness::builder()
        .with_size([900.0, 640.0])
        .with_context_setup(set_up);
    let mut person = builder.build_ui(move |ui| {
        shown.ui(ui);
    });
    person.run_steps(2);
    let before = window.field().unwrap();
    person.ctx.set_zoom_factor(1.5);
    person.run_steps(3);
    let after = window.field().unwrap();
    assert!((person.ctx.pixels_per_point() / before.pixels_per_point - 1.5).abs() < 1e-6);
    assert!((after.pixels_per_point - before.pixels_per_point).abs() < 1e-6);
}

#[test]
fn a_key_is_given_another_task_and_a_conflict_is_told() {
    let mut harness = settings("settings-keys");
    harness
        .get_by_label("present the tone of the dial: T")
        .click();
    harness.run_steps(2);
    harness.get_by_label("present the tone of the dial: press a key");
    harness.key_press(Key::Num7);
    harness.run_steps(3);
    harness.get_by_label("present the tone of the dial: 7");
    let tone = Task::Does(Action::Tone);
    assert_eq!(
        harness.state().settings().keys.key_of(tone),
        Some(Key::Num7)
    );
    // The other hand's key is not taken.
    harness.get_by_label("present silence: Q").click();
    harness.run_steps(2);
    harness.key_press(Key::J);
    harness.run_steps(3);
    harness.get_by_label_contains("present silence stays as it is: J");
    harness.get_by_label("present silence: Q");
    // It lies below what fits the window.
    harness
        .get_by_label("All keys as they came")
        .click_accesskit();
    harness.run_steps(3);
    assert_eq!(harness.state().settings().keys.key_of(tone), Some(Key::T));
    let again = harness.get_by_label("All keys as they came");
    assert!(again.accesskit_node().is_disabled());
}
