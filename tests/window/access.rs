//! For everyone: every control on every page has a name that a screen reader can say, and is large enough to hit.

use crate::{folder, in_project, no_sound, ready, window};
use eframe::egui::Key;
use eframe::egui::accesskit::{Action, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::time::{Duration, Instant};
use veridical::desk::prepare::Form;
use veridical::desk::style::{TARGET, Theme};
use veridical::desk::{Desk, Page};

/// What is wrong with the controls that are there now, each a line.
fn faults(harness: &Harness<'_, Desk>, state: &str) -> Vec<String> {
    let acts = |action: Action| {
        move |node: &egui_kittest::kittest::AccessKitNode<'_>| {
            node.data().supports_action(action) && !node.is_disabled()
        }
    };
    let (clicks, focuses) = (acts(Action::Click), acts(Action::Focus));
    let controls: Vec<_> = harness
        .query_all_by(|node| clicks(node) || focuses(node))
        .collect();
    assert!(!controls.is_empty(), "{state}: no control at all");
    let mut found = Vec::new();
    for control in controls {
        let node = control.accesskit_node();
        let role = node.role();
        // Text that can be copied is no control, nor is what holds others.
        if matches!(
            role,
            Role::Unknown | Role::Label | Role::GenericContainer | Role::ScrollBar | Role::Window
        ) {
            continue;
        }
        let name = node.label().unwrap_or_default();
        let rect = control.rect();
        if name.trim().is_empty() {
            found.push(format!("{state}: {role:?} at {rect:?} has no name"));
        }
        // The library's own; F1 and the button that opened them close the keys as well.
        if name == "Close window" {
            continue;
        }
        let hit = matches!(
            role,
            Role::Button | Role::TextInput | Role::CheckBox | Role::RadioButton
        );
        if hit && rect.height() < TARGET - 0.5 {
            found.push(format!(
                "{state}: {role:?} {name:?} is {:.0} px high",
                rect.height()
            ));
        }
    }
    found
}

#[test]
fn every_control_on_every_page_has_a_name_and_is_large_enough() {
    let mut found = Vec::new();
    let mut look = |harness: &mut Harness<'_, Desk>, state: &str| {
        harness.run_steps(3);
        found.extend(faults(harness, state));
    };
    // Before a visit.
    let form = Form::new(&folder("access-before"), 3, Vec::new(), Vec::new());
    let mut harness = window(Desk::new(form, false, no_sound));
    look(&mut harness, "Prepare, nothing chosen");
    harness.state_mut().form_mut().simulated = true;
    look(&mut harness, "Prepare, a simulated person");
    for (key, state) in [
        (Key::F9, "Bench"),
        (Key::F10, "Practise"),
        (Key::F12, "People, no store"),
        (Key::Home, "Desk"),
    ] {
        harness.key_press(key);
        look(&mut harness, state);
    }
    harness.key_press(Key::F10);
    harness.run_steps(2);
    harness.get_by_label("For instructors").click();
    for side in ["An exercise", "A set", "A class"] {
        harness.run_steps(2);
        harness.get_by_label(side).click();
        look(&mut harness, side);
    }
    harness.key_press(Key::F1);
    look(&mut harness, "the keys");
    // A visit, and after it.
    let mut desk = ready("access-visit", 2);
    desk.begin();
    let began = Instant::now();
    desk.advance(began);
    let mut harness = window(desk);
    let pages = [
        (Key::F2, Page::Prepare),
        (Key::F3, Page::Hear),
        (Key::F4, Page::See),
        (Key::F5, Page::Bedside),
        (Key::F6, Page::Weigh),
        (Key::F7, Page::HandOver),
    ];
    for (key, page) in pages {
        harness.key_press(key);
        look(&mut harness, &format!("{page:?}, at the beginning"));
        assert_eq!(harness.state().page(), page);
    }
    for turn in 0..900 {
        let now = began + Duration::from_millis(500 * turn);
        let desk = harness.state_mut();
        desk.advance(now);
        if desk
            .session()
            .is_some_and(|session| session.record().closed())
        {
            break;
        }
        if desk
            .session()
            .is_some_and(|session| session.waiting().is_some())
        {
            desk.act(veridical::desk::keys::Action::Confirm, now);
        }
    }
    assert!(harness.state().session().unwrap().record().closed());
    for (key, page) in pages {
        harness.key_press(key);
        look(&mut harness, &format!("{page:?}, at the end"));
    }
    // By hand alone.
    let mut form = Form::new(&folder("access-bedside"), 11, Vec::new(), Vec::new());
    form.simulated = true;
    form.case.path = in_project("demo/cases/average.toml");
    form.plan.path = "bedside".into();
    form.cautions = true;
    let mut desk = Desk::new(form, false, no_sound);
    desk.advance(Instant::now());
    desk.begin();
    let mut harness = window(desk);
    look(&mut harness, "Bedside, the worksheet");
    harness.key_press(Key::R);
    look(&mut harness, "Bedside, the series");
    let mut harness = crate::people::staffed("access-people").1;
    look(&mut harness, "People");
    for open in ["Who works here", "Bring in from elsewhere"] {
        harness.get_by_label(open).click();
        look(&mut harness, &format!("People, {open}"));
    }
    let person = harness.state_mut().records_mut().people()[0].clone();
    harness.state_mut().records_mut().choose(Some(person));
    look(&mut harness, "People, one chosen");
    for open in ["Correct who this is", "Take this name away"] {
        harness.get_by_label(open).click();
        look(&mut harness, &format!("People, {open}"));
    }
    assert!(
        found.is_empty(),
        "{} faults:\n{}",
        found.len(),
        found.join("\n")
    );
}

/// What stands under the path is in view on a small laptop, 1280 by 720 with a title bar.
#[test]
fn the_path_fits_a_small_laptop() {
    let mut harness = crate::window_of(ready("access-small", 2), 690.0);
    harness.run_steps(2);
    for name in ["Prepare", "Practise", "Bench", "Desk", "Keys  F1"] {
        let rect = harness.get_by_label(name).rect();
        assert!(
            rect.bottom() <= 690.0 && rect.height() >= TARGET,
            "{name}: {rect:?}"
        );
    }
}

/// The examiner's colours change at once; what the examined eye is adapted to does not.
#[test]
fn the_desk_can_be_read_in_a_dark_room() {
    let mut harness = window(ready("access-dark", 2));
    harness.run_steps(2);
    let ground = |harness: &Harness<'_, Desk>| harness.ctx.global_style().visuals.panel_fill;
    assert_eq!(ground(&harness), Theme::PAPER.ground);
    harness.key_press(Key::Home);
    harness.run_steps(3);
    harness.get_by_label("Dark room").click();
    harness.run_steps(3);
    assert_eq!(ground(&harness), Theme::DARK_ROOM.ground);
    assert_eq!(harness.state().person_theme(), Theme::PAPER);
    harness.get_by_label("Daylight").click();
    harness.run_steps(3);
    assert_eq!(ground(&harness), Theme::PAPER.ground);
}
