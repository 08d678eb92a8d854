//! Somebody who has never seen the desk: from nothing to a first measured ear, without earphones.

use crate::{folder, no_sound, window};
use eframe::egui::Key;
use egui_kittest::kittest::Queryable;
use std::time::{Duration, Instant};
use veridical::desk::prepare::Form;
use veridical::desk::session::Session;
use veridical::desk::{Desk, Page};
use veridical::finding::HearingStatus;
use veridical::quantity::Ear;

#[test]
fn whoever_tries_the_desk_out_has_a_measured_ear_within_three_minutes() {
    let form = Form::new(&folder("first-run"), 11, Vec::new(), Vec::new());
    let mut harness = window(Desk::new(form, false, no_sound));
    harness.run_steps(2);
    harness.get_by_label("Try it on a simulated person").click();
    harness.run_steps(3);
    assert!(harness.query_by_label("First time here?").is_none());
    assert_eq!(harness.state().missing(), ["Cautions: read"]);
    harness.get_by_label("I have read this").click();
    harness.run_steps(3);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    assert_eq!(harness.state().page(), Page::Hear);
    let measured = |desk: &Desk| {
        let session = desk.session().unwrap();
        let hearing = veridical::report::Findings::of(session.record()).hearing;
        let mut right = hearing
            .all()
            .filter(|(ear, _)| *ear == Ear::Right)
            .peekable();
        right.peek().is_some() && right.all(|(_, one)| one.status == HearingStatus::Measured)
    };
    let began = Instant::now();
    let mut seconds = 0;
    while !measured(harness.state()) {
        seconds += 1;
        assert!(seconds < 180, "no ear was measured in three minutes");
        let now = began + Duration::from_secs(seconds);
        let desk = harness.state_mut();
        desk.advance(now);
        if desk.session().and_then(Session::waiting).is_some() {
            desk.key(Key::Enter, now);
        }
    }
}

/// A line of what is missing leads to its row.
#[test]
fn what_is_missing_leads_to_where_it_is_mended() {
    let form = Form::new(&folder("first-towards"), 11, Vec::new(), Vec::new());
    let mut harness = crate::window_of(Desk::new(form, false, no_sound), 640.0);
    harness.run_steps(2);
    let distance = |harness: &egui_kittest::Harness<'_, Desk>| {
        harness
            .get_by_role_and_label(eframe::egui::accesskit::Role::TextInput, "Distance")
            .rect()
    };
    assert!(distance(&harness).top() > 640.0, "below the window");
    harness
        .get_by_label_contains("Distance: from eye to screen")
        .click_accesskit();
    harness.run_steps(8);
    assert!(
        distance(&harness).bottom() < 640.0,
        "{:?}",
        distance(&harness)
    );
}
