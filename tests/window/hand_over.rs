//! Hand over: the pages are shown before anything is saved, and nothing is written over unasked.

use super::{ready, window};
use eframe::egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::time::{Duration, Instant};
use veridical::desk::Desk;
use veridical::report::ReportWish;
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

/// All visits of a folder, with a bar and a stop; there are whole files only, and none is written over.
#[test]
fn a_folder_of_journals_is_exported_and_can_be_stopped() {
    let mut desk = ready("hand-over-bulk", 2);
    desk.begin();
    let own = desk.session().unwrap().folder().to_owned();
    let (from, out) = (own.join("many"), own.join("out"));
    let many = 40;
    for number in 0..many {
        let folder = from.join(format!("{number:02}"));
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::copy(own.join("journal.jsonl"), folder.join("journal.jsonl")).unwrap();
    }
    let mut harness = window(desk);
    harness.key_press(Key::F7);
    harness.step();
    harness.step();
    let page = harness.state_mut().hand_over_mut();
    page.folder = out.display().to_string();
    page.bulk.from = from.display().to_string();
    harness.step();
    harness.get_by_label("Export all of them").click();
    harness.step();
    harness.step();
    harness.get_by_label("Stop").click();
    harness.step();
    let told = ended(&mut harness);
    assert!(told.starts_with("Stopped. Exported: "), "{told}");
    let done = std::fs::read_dir(&out).unwrap().map(Result::unwrap);
    let done: Vec<_> = done.filter(|one| one.path().is_dir()).collect();
    assert!(done.len() < many);
    assert!(
        done.iter()
            .all(|one| one.path().join("report.pdf").exists())
    );

    let page = harness.state_mut().hand_over_mut();
    page.bulk.begin(&page.folder, ReportWish::default());
    let told = ended(&mut harness);
    assert!(told.contains("expected nothing here yet"), "{told}");
    let page = harness.state_mut().hand_over_mut();
    page.bulk.begin(
        &own.join("again").display().to_string(),
        ReportWish::default(),
    );
    let told = ended(&mut harness);
    assert!(told.starts_with("Exported: 40 of 40 visits"), "{told}");
}

/// What came of an export, once it has ended.
fn ended(harness: &mut Harness<'_, Desk>) -> String {
    let until = Instant::now() + Duration::from_mins(2);
    while harness.state_mut().hand_over_mut().bulk.under_way() {
        assert!(Instant::now() < until, "the export does not end");
        std::thread::sleep(Duration::from_millis(5));
    }
    harness
        .state_mut()
        .hand_over_mut()
        .bulk
        .told
        .clone()
        .unwrap()
}
