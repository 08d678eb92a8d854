//! Hand over: the pages are shown before anything is saved, and nothing is written over unasked.

use super::{ready, window};
use eframe::egui::{Key, Role};
use egui_kittest::kittest::Queryable;
use std::time::{Duration, Instant};
use veridical::report::words::Lang;

#[test]
fn pages_are_shown_saved_and_never_written_over_unasked() {
    let mut desk = ready("hand-over", 2);
    desk.begin();
    let folder = desk.session().unwrap().folder().join("out");
    let mut harness = window(desk);
    harness
        .state_mut()
        .advance(Instant::now() + Duration::from_secs(1));
    harness.key_press(Key::F7);
    harness.step();
    harness.step();
    let pages = harness.state_mut().hand_over_mut().pages();
    assert!(pages > 0);
    let label = format!("Page 1 of {pages} of the report");
    harness.get_by_role_and_label(Role::Image, &label);
    harness.get_by_label("Save as PDF");
    harness.get_by_label("Letter").click();
    harness.step();
    harness.step();

    let page = harness.state_mut().hand_over_mut();
    page.folder = folder.display().to_string();
    page.save();
    let file = folder.join(page.file_name());
    let first = std::fs::read(&file).unwrap();
    assert!(first.starts_with(b"%PDF-1.7"));

    std::fs::write(&file, b"somebody's own").unwrap();
    page.save();
    assert_eq!(std::fs::read(&file).unwrap(), b"somebody's own");
    harness.step();
    harness.get_by_label("Write over it");
    let page = harness.state_mut().hand_over_mut();
    page.save();
    assert_eq!(std::fs::read(&file).unwrap(), first);

    // Another language is another file, and other pages.
    page.wish.lang = Lang::German;
    harness.step();
    harness.step();
    let page = harness.state_mut().hand_over_mut();
    assert!(
        page.file_name().ends_with("-report-de.pdf"),
        "{}",
        page.file_name()
    );
    assert!(!folder.join(page.file_name()).exists());
}
