//! People and visits at the desk, and its lock.

use crate::{folder, no_sound, ready, window};
use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use std::time::{Duration, Instant};
use veridical::desk::hand_over::{HandOver, KeptIn};
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
    // Its report is made of what the store keeps.
    let mut harness = window(desk);
    harness.key_press(Key::F7);
    harness.run_steps(3);
    assert!(harness.state_mut().hand_over_mut().pages() > 0);
    harness.key_press(Key::F6);
    harness.run_steps(3);
    let mut desk = harness.into_state();
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
    click(&mut harness, "Report");
    harness.get_by_label_contains("an earlier visit, as the store keeps it");
    let page = harness.state_mut().hand_over_mut();
    assert!(page.pages() > 0 && page.told.is_none(), "{:?}", page.told);
    let copy = folder("people-late-report");
    page.folder = copy.display().to_string();
    page.save();
    let report = std::fs::read(copy.join(page.name())).unwrap();
    assert!(report.starts_with(b"%PDF-1.7"));
    let register = || std::fs::read_to_string(place.join("register.jsonl")).unwrap();
    assert!(!register().contains("visit_exported"));
    harness.run_steps(2);
    assert!(register().contains("visit_exported"));
    // While the whole store is checked or copied nobody else has it; the report is there again afterwards.
    let kept_in = KeptIn::Store(record.code.clone());
    let lines = record.signed.as_ref().unwrap().lines;
    let page = harness.state_mut().hand_over_mut();
    *page = HandOver::default();
    page.refresh(kept_in, lines, None);
    assert_eq!(page.pages(), 0);
    assert_eq!(
        page.told.as_deref(),
        Some("Store: expected one that is open")
    );
    harness.run_steps(2);
    let page = harness.state_mut().hand_over_mut();
    assert!(page.pages() > 0 && page.told.is_none(), "{:?}", page.told);
    click(&mut harness, "People");
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
    settled(&mut harness);
    harness.get_by_label_contains("No such file");
    harness.get_by_label("Backup").focus();
    harness.step();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.step();
    write(&mut harness, "Backup", &copy.display().to_string());
    click(&mut harness, "Make the store of this backup");
    settled(&mut harness);
    // What was restored is checked by itself.
    harness.get_by_label_contains("Checked: 0 visits");
    harness.get_by_label_contains("Ada Brink");
    write(&mut harness, "Colleague", "Runa Holm");
    click(&mut harness, "Enter this colleague");
    harness.get_by_label("Runa Holm (examiner)");
    click(&mut harness, "Copy the whole store");
    settled(&mut harness);
    harness.get_by_label_contains("written and read again");
    let copies = std::fs::read_dir(&at).unwrap();
    let made = |entry: std::io::Result<std::fs::DirEntry>| {
        let name = entry.unwrap().file_name().into_string().unwrap();
        name.starts_with("backup-")
    };
    assert_eq!(copies.map(made).filter(|made| *made).count(), 1);
    // One figure changed behind its back, in the register.
    let register = at.join("second/register.jsonl");
    let text = std::fs::read_to_string(&register).unwrap();
    std::fs::write(&register, text.replacen("\"t", "\"T", 1)).unwrap();
    click(&mut harness, "Check the whole store");
    settled(&mut harness);
    harness.get_by_label_contains("register");
    harness.get_by_label_contains("line 1");
}

/// Waits until nothing is done with the whole store.
fn settled(harness: &mut Harness<'_, Desk>) {
    for _ in 0..600 {
        harness.run_steps(2);
        if harness.state_mut().records_mut().standing() != Standing::Working {
            return;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    panic!("it never ended");
}

/// A store with a person, two examiners and a trainee, at its page.
pub fn staffed(name: &str) -> (std::path::PathBuf, Harness<'static, Desk>) {
    let at = folder(name);
    let cheap = Cost {
        memory_kib: 64,
        passes: 1,
        lanes: 1,
    };
    let disk = Box::new(Folder::new(&at.join("store")));
    let mut archive = Archive::found(disk, None, cheap, "test").unwrap().archive;
    for name in ["Ada Brink", "Ida Voss"] {
        let who = Identity {
            name: name.into(),
            ..Identity::default()
        };
        archive.add_person(&who).unwrap();
    }
    for (name, role) in [
        ("Runa Holm", Role::Examiner),
        ("Tove Aker", Role::Supervisor),
        ("Nils Strand", Role::Trainee),
    ] {
        archive.add_user(name, role).unwrap();
    }
    archive.close();
    let form = Form::new(&at.join("visit"), 3, Vec::new(), Vec::new());
    let mut desk = Desk::new(form, false, no_sound);
    desk.with_store(at.join("store"));
    let mut harness = window(desk);
    harness.step();
    click(&mut harness, "People");
    (at, harness)
}

#[test]
fn a_trainee_acts_only_under_whom_they_choose() {
    let (_, mut harness) = staffed("people-trainee");
    let acting = |harness: &mut Harness<'_, Desk>| {
        let acting = harness.state_mut().records_mut().acting_now();
        acting.map(|who| (who.role, who.supervisor))
    };
    click(&mut harness, "Runa Holm (examiner)");
    assert_eq!(acting(&mut harness), Some(("examiner".into(), None)));
    click(&mut harness, "Nils Strand (trainee)");
    harness.get_by_label("Who answers for this trainee?");
    assert_eq!(
        acting(&mut harness),
        None,
        "nobody acts until somebody answers"
    );
    click(&mut harness, "Tove Aker answers");
    let users = harness.state_mut().records_mut().users().to_vec();
    let tove = users.iter().find(|one| one.name == "Tove Aker").unwrap();
    let expected = Some(("trainee".into(), Some(tove.code.to_string())));
    assert_eq!(acting(&mut harness), expected);
    click(&mut harness, "Nils Strand (trainee)");
    assert_eq!(acting(&mut harness), None);
}

#[test]
fn what_was_measured_elsewhere_comes_in_and_goes_to_whom_it_belongs() {
    let (at, mut harness) = staffed("people-elsewhere");
    let choose = |harness: &mut Harness<'_, Desk>, name: &str| {
        let people = harness.state_mut().records_mut().people().to_vec();
        let person = people
            .into_iter()
            .find(|one| one.name.as_deref() == Some(name))
            .unwrap();
        harness
            .state_mut()
            .records_mut()
            .choose(Some(person.clone()));
        harness.run_steps(3);
        person.code
    };
    let ada = choose(&mut harness, "Ada Brink");
    click(&mut harness, "Bring in from elsewhere");
    write(&mut harness, "Source", "letter of the harbour clinic");
    write(&mut harness, "Right ear, Hz:dB HL", "500:10 1000=15");
    click(&mut harness, "Enter these results");
    harness.get_by_label_contains("found '1000=15'");
    harness.get_by_label("Right ear, Hz:dB HL").focus();
    harness.step();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.step();
    write(&mut harness, "Right ear, Hz:dB HL", "500:10 1000:15");
    click(&mut harness, "Enter these results");
    harness.get_by_label_contains("marked as measured elsewhere");
    harness.get_by_label_contains("from outside, entered by hand: letter of the harbour clinic");
    // A journal from another machine, to the byte.
    let journal = at.join("brought.jsonl");
    let mut visit = crate::ready("people-elsewhere-visit", 4);
    visit.begin();
    let began = Instant::now();
    for turn in 0..6 {
        visit.advance(began + Duration::from_millis(500 * turn));
    }
    drop(visit);
    let made = Path::new(env!("CARGO_TARGET_TMPDIR")).join("people-elsewhere-visit/journal.jsonl");
    std::fs::copy(made, &journal).unwrap();
    write(&mut harness, "Journal file", &journal.display().to_string());
    click(&mut harness, "Bring this journal in");
    harness.get_by_label_contains("Brought in as");
    let visits = harness.state_mut().records_mut().visits().to_vec();
    assert_eq!(visits.len(), 2);
    assert!(visits.iter().all(|one| one.person.as_ref() == Some(&ada)));
    // It was Ida's.
    let ida = choose(&mut harness, "Ida Voss");
    choose(&mut harness, "Ada Brink");
    let moved = visits
        .iter()
        .find(|one| one.plan != "results from outside")
        .unwrap();
    harness.state_mut().records_mut().show(moved);
    harness.run_steps(3);
    write(&mut harness, "Reason", "filed under the wrong person");
    click(&mut harness, "It belongs to somebody else");
    write(&mut harness, "Whose it is", &ida.to_string());
    click(&mut harness, "Move it there");
    harness.get_by_label_contains(&format!("belongs to {ida} now"));
    choose(&mut harness, "Ida Voss");
    let hers = harness.state_mut().records_mut().visits().to_vec();
    assert_eq!((hers.len(), &hers[0].code), (1, &moved.code));
    drop(harness);
    let mut archive = Archive::open(Box::new(Folder::new(&at.join("store"))), None).unwrap();
    assert_eq!(
        archive.journal(&moved.code).unwrap(),
        std::fs::read(&journal).unwrap()
    );
    assert!(archive.check(&mut |_, _| true).unwrap().holds);
}

#[test]
fn a_name_is_corrected_with_a_reason() {
    let (_, mut harness) = staffed("people-corrected");
    click(&mut harness, "Runa Holm (examiner)");
    let people = harness.state_mut().records_mut().people().to_vec();
    let ada = people
        .into_iter()
        .find(|one| one.name.as_deref() == Some("Ada Brink"))
        .unwrap();
    harness.state_mut().records_mut().choose(Some(ada));
    harness.run_steps(3);
    click(&mut harness, "Correct who this is");
    write(&mut harness, "Corrected day of birth", "9 March");
    write(&mut harness, "Why it is corrected", "misheard");
    click(&mut harness, "Keep the correction");
    harness.get_by_label_contains("expected year-month-day");
    harness.get_by_label("Corrected day of birth").focus();
    harness.step();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.step();
    write(&mut harness, "Corrected day of birth", "1951-03-09");
    write(&mut harness, "Corrected name", "-Holm");
    click(&mut harness, "Keep the correction");
    harness.get_by_label_contains("Corrected; the register keeps who did it and why.");
    let chosen = harness.state_mut().records_mut().chosen().unwrap().clone();
    assert_eq!(chosen.born.as_deref(), Some("1951-03-09"));
    assert!(
        chosen.name.as_deref().unwrap().contains("-Holm"),
        "{:?}",
        chosen.name
    );
}
