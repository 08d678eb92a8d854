//! Hand over: the pages are shown before anything is saved, and nothing is written over unasked.

use super::{ready, window};
use eframe::egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use std::time::{Duration, Instant};
use veridical::desk::Desk;
use veridical::errand::{ExportWish, export};
use veridical::journal::{Journal, MemoryStore};
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
    let file = folder.join(page.name());
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
    assert!(page.name().ends_with("-report-de.pdf"), "{}", page.name());
    assert!(!folder.join(page.name()).exists());
}

/// Everything is listed before it is saved, and is what the verb writes of the same journal, but for the name that was
/// asked for here.
#[test]
fn everything_is_listed_and_saved_as_the_verb_writes_it() {
    let mut desk = ready("hand-over-all", 2);
    desk.begin();
    let own = desk.session().unwrap().folder().to_owned();
    let mut harness = window(desk);
    harness
        .state_mut()
        .advance(Instant::now() + Duration::from_secs(1));
    harness.key_press(Key::F7);
    harness.run_steps(2);
    let reported = harness.state_mut().hand_over_mut().pages();
    harness.get_by_label("Everything").click();
    harness.run_steps(3);
    let page = harness.state_mut().hand_over_mut();
    assert!(page.pages() > reported);
    page.folder = own.join("out").display().to_string();
    let saved = own.join("out").join(page.name());
    harness.run_steps(2);
    for name in [
        "report.pdf",
        "for-the-person.pdf",
        "journal.jsonl",
        "visits.csv",
        "dictionary.csv",
        "findings.schema.json",
        "fhir-bundle.json",
    ] {
        harness.get_by_label(name);
    }
    harness.get_by_label("Save everything").click();
    harness.run_steps(2);

    let by_verb = own.join("by-verb");
    export(&own.join("journal.jsonl"), &by_verb, &ExportWish::default()).unwrap();
    let names = |folder: &Path| {
        let names = std::fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = names.map(|one| one.unwrap().file_name()).collect();
        names.sort();
        names
    };
    assert_eq!(names(&saved), names(&by_verb));
    for name in names(&saved) {
        let [here, there] = [&saved, &by_verb].map(|folder| std::fs::read(folder.join(&name)));
        assert!(here.unwrap() == there.unwrap(), "{name:?}");
    }

    // A name is told where it was asked for, and only there.
    std::fs::write(saved.join("visits.csv"), "somebody's own").unwrap();
    harness.get_by_label("With a name").click();
    harness.run_steps(2);
    for (field, text) in [("Family name", "Holmgren"), ("Born on", "31.12.1970")] {
        harness.get_by_label(field).focus();
        harness.step();
        harness.get_by_label(field).type_text(text);
        harness.run_steps(2);
    }
    let page = harness.state_mut().hand_over_mut();
    page.save();
    let told = page.told.clone().unwrap();
    assert!(told.starts_with("Born on: expected a day"), "{told}");
    page.named.born_on = "1970-12-31".into();
    page.save();
    let told = page.told.clone().unwrap();
    assert!(told.contains("is there already"), "{told}");
    let kept = std::fs::read(saved.join("visits.csv")).unwrap();
    assert_eq!(kept, b"somebody's own");
    harness.run_steps(2);
    harness.get_by_label("Write over it").click_accesskit();
    harness.run_steps(2);
    for name in names(&saved) {
        let bytes = std::fs::read(saved.join(&name)).unwrap();
        let named = bytes.windows(8).any(|bytes| bytes == b"Holmgren");
        assert_eq!(named, name == "fhir-bundle.json", "{name:?}");
    }
    assert_ne!(std::fs::read(saved.join("visits.csv")).unwrap(), kept);
}

/// All visits of a folder, with a bar and a stop; there are whole files only, and none is written over.
#[test]
fn a_folder_of_journals_is_exported_and_can_be_stopped() {
    let mut desk = ready("hand-over-bulk", 2);
    desk.begin();
    let own = desk.session().unwrap().folder().to_owned();
    let (from, out) = (own.join("many"), own.join("out"));
    let many = 40;
    for (number, hour) in (0..many).zip(0..) {
        let folder = from.join(format!("{number:02}"));
        std::fs::create_dir_all(&folder).unwrap();
        // Each at a time of its own: copies of one journal are one visit.
        let opening = desk.session().unwrap().record().opening.clone();
        let epoch = jiff::Timestamp::from_second(3600 * hour).unwrap();
        let journal = Journal::begin(MemoryStore::default(), opening, epoch).unwrap();
        std::fs::write(folder.join("journal.jsonl"), &journal.store().bytes).unwrap();
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
