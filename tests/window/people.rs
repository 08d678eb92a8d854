//! People and visits at the desk, and its lock.

use crate::{folder, no_sound, ready, window};
use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use std::time::{Duration, Instant};
use veridical::desk::people::Standing;
use veridical::desk::prepare::Form;
use veridical::desk::{Desk, Page};
use veridical::store::{Archive, Cost, Folder, Identity, Role, State, VisitsOf};

const PASSPHRASE: &str = "seven gulls over the harbour";

/// From nothing to a person with a visit about to begin, by what is on the page alone.
#[test]
fn a_store_is_made_a_person_entered_and_the_desk_locked() {
    let place = folder("people-store").join("store");
    let form = Form::new(&folder("people-visit"), 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound);
    desk.with_store(place);
    let mut harness = window(desk);
    harness.step();
    harness.get_by_label("People").click();
    harness.run_steps(3);
    harness.get_by_label_contains("A passphrase is recommended");
    for name in ["A new passphrase", "The same again"] {
        harness.get_by_label(name).focus();
        harness.step();
        harness.get_by_label(name).type_text(PASSPHRASE);
        harness.run_steps(2);
    }
    harness.get_by_label("Make an encrypted store").click();
    harness.run_steps(3);
    harness.get_by_label_contains("shown only now");
    harness.get_by_label("I have it on paper").click();
    harness.run_steps(3);
    harness.get_by_label("Name").focus();
    harness.step();
    harness.get_by_label("Name").type_text("Ada Brink");
    harness.run_steps(2);
    harness.get_by_label("Enter").click();
    harness.run_steps(3);
    let records = harness.state_mut().records_mut();
    assert_eq!(records.standing(), Standing::Open);
    let code = records.chosen().unwrap().code.clone();
    // The lock hides all of it, and only the passphrase takes it away.
    harness.key_press(Key::F8);
    harness.run_steps(2);
    assert!(harness.state_mut().records_mut().locked());
    assert!(harness.query_by_label_contains("Ada").is_none());
    for (typed, opens) in [("not this one at all", false), (PASSPHRASE, true)] {
        harness.get_by_label("Passphrase").focus();
        harness.step();
        harness.get_by_label("Passphrase").type_text(typed);
        harness.run_steps(2);
        harness.get_by_label("Unlock").click();
        harness.run_steps(3);
        assert_eq!(
            harness.state_mut().records_mut().locked(),
            !opens,
            "{typed}"
        );
    }
    harness.get_by_label("A visit for this person").click();
    harness.run_steps(3);
    assert_eq!(harness.state().page(), Page::Prepare);
    assert_eq!(harness.state_mut().form_mut().code, code.to_string());
    // No name reaches the person's window.
    let shown = format!("{:?}", harness.state().view());
    assert!(!shown.contains("Ada"), "{shown}");
}

/// A simulated visit goes into the store when it was begun for a person, is signed, and never locks the
/// desk while something is presented.
#[test]
fn a_visit_is_kept_in_the_store_and_the_lock_waits() {
    let place = folder("people-kept").join("store");
    let disk = || Box::new(Folder::new(&place));
    let cheap = Cost {
        memory_kib: 64,
        passes: 1,
        lanes: 1,
    };
    let mut archive = Archive::found(disk(), None, cheap, "test").unwrap().archive;
    let user = archive.add_user("Runa Holm", Role::Examiner).unwrap();
    let who = Identity {
        name: "Ada Brink".into(),
        ..Identity::default()
    };
    let person = archive.add_person(&who).unwrap();
    archive.close();
    let mut desk = ready("people-kept-visit", 2);
    desk.with_store(place.clone());
    desk.records_mut().acts(Some(user.clone()), None);
    desk.records_mut().visit_for(Some(person));
    desk.begin();
    let began = Instant::now();
    desk.advance(began);
    let record = desk.session().unwrap().record();
    assert_eq!(record.acting().unwrap().user, user.to_string());
    let later = Duration::from_mins(10);
    let mut presented = false;
    for turn in 0..600 {
        let now = began + Duration::from_millis(500 * turn);
        desk.advance(now);
        let Some(session) = desk.session() else { break };
        if session.record().closed() {
            break;
        }
        if session.presenting().is_some() {
            presented = true;
            let may = desk.may_lock();
            assert!(!may, "a lock would fall into a presentation");
            desk.records_mut().lock_if_idle(now + later, may);
            desk.key(Key::F8, now);
            assert!(!desk.records_mut().locked());
        } else if session.waiting().is_some() {
            desk.act(veridical::desk::keys::Action::Confirm, now);
        }
    }
    assert!(presented && desk.session().unwrap().record().closed());
    let may = desk.may_lock();
    desk.records_mut()
        .lock_if_idle(Instant::now() + 4 * later, may);
    assert!(may && desk.records_mut().locked());
    // While it is locked no key does anything else.
    desk.key(Key::F2, Instant::now());
    assert_eq!(desk.page(), Page::Weigh);
    drop(desk);
    let mut archive = Archive::open(disk(), None).unwrap();
    let visits = archive
        .visits(&VisitsOf {
            person: None,
            most: 5,
            after: 0,
        })
        .unwrap();
    assert_eq!(visits.len(), 1);
    assert_eq!(visits[0].state, State::Closed);
    assert!(visits[0].signed.is_some());
    assert!(archive.check(&mut |_, _| true).unwrap().holds);
    archive.close();
    what_is_kept_can_be_added_to_and_taken_away(&place);
}

fn write(harness: &mut Harness<'_, Desk>, field: &str, text: &str) {
    harness.get_by_label(field).focus();
    harness.step();
    harness.get_by_label(field).type_text(text);
    harness.run_steps(2);
}

fn click(harness: &mut Harness<'_, Desk>, button: &str) {
    harness.get_by_label(button).scroll_to_me();
    harness.run_steps(4);
    harness.get_by_label(button).click();
    harness.run_steps(4);
}

/// By what is on the page alone: a late note and a corrected answer beside the one that stood there, both
/// with who and why; then the visit taken away, and a line that says who did it and why.
fn what_is_kept_can_be_added_to_and_taken_away(place: &Path) {
    let form = Form::new(&folder("people-late"), 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound);
    desk.with_store(place.to_owned());
    let record = desk.records_mut().visits()[0].clone();
    let mut harness = window(desk);
    harness.step();
    click(&mut harness, "People");
    click(&mut harness, "Runa Holm (examiner)");
    click(&mut harness, "Notes and corrections");
    let at_first = harness
        .state_mut()
        .records_mut()
        .shown()
        .unwrap()
        .remarks
        .len();
    write(&mut harness, "Reason", "told by telephone");
    write(&mut harness, "Late note", "left hearing aid was in");
    click(&mut harness, "Add the note");
    harness.get_by_label_contains("late entry, ");
    harness.get_by_label_contains("Runa Holm (examiner): left hearing aid was in");
    // What does not fit the presentation changes nothing, and says so.
    write(&mut harness, "Reason", "misread");
    write(&mut harness, "Presentation", "1");
    write(&mut harness, "Answer", "aloud?");
    click(&mut harness, "Correct the answer");
    harness.get_by_label_contains("Answer: expected 'heard'");
    let before = harness
        .state_mut()
        .records_mut()
        .shown()
        .unwrap()
        .remarks
        .len();
    assert_eq!(before, at_first + 1);
    harness.get_by_label("Answer").focus();
    harness.step();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.step();
    write(&mut harness, "Answer", "not heard");
    click(&mut harness, "Correct the answer");
    harness.get_by_label_contains("corrected to not heard, because misread");
    harness.get_by_label_contains("left hearing aid was in");
    write(&mut harness, "Reason", "the wrong person sat there");
    click(&mut harness, "Take this visit away");
    click(&mut harness, "Take it away for good");
    harness.get_by_label_contains("taken away by Runa Holm");
    let records = harness.state_mut().records_mut();
    let now = records.visits()[0].clone();
    assert_eq!((now.code, now.state), (record.code, State::Erased));
    drop(harness);
    let mut archive = Archive::open(Box::new(Folder::new(place)), None).unwrap();
    assert!(archive.check(&mut |_, _| true).unwrap().holds);
}

/// From a backup to a store that is open, by what is on the first page.
#[test]
fn a_store_is_made_of_a_backup_by_one_button() {
    let at = folder("people-restored");
    let cheap = Cost {
        memory_kib: 64,
        passes: 1,
        lanes: 1,
    };
    let disk = Box::new(Folder::new(&at.join("first")));
    let mut archive = Archive::found(disk, None, cheap, "test").unwrap().archive;
    let who = Identity {
        name: "Ada Brink".into(),
        ..Identity::default()
    };
    archive.add_person(&who).unwrap();
    let copy = at.join("copy.tar");
    archive.back_up(&copy, &mut |_, _| true).unwrap();
    archive.close();
    let form = Form::new(&at.join("visit"), 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound);
    desk.with_store(at.join("second"));
    let mut harness = window(desk);
    harness.step();
    click(&mut harness, "People");
    write(
        &mut harness,
        "Backup",
        &at.join("none.tar").display().to_string(),
    );
    click(&mut harness, "Make the store of this backup");
    harness.get_by_label_contains("No such file");
    harness.get_by_label("Backup").focus();
    harness.step();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.step();
    write(&mut harness, "Backup", &copy.display().to_string());
    click(&mut harness, "Make the store of this backup");
    harness.get_by_label_contains("Restored:");
    harness.get_by_label_contains("Ada Brink");
    write(&mut harness, "Colleague", "Runa Holm");
    click(&mut harness, "Enter this colleague");
    harness.get_by_label("Runa Holm (examiner)");
}
