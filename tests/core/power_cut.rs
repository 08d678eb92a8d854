//! The power fails at every step of a store's day: whatever was said to be done is there when it comes
//! back, and the day goes on.

use crate::at_hand::{average_person, wish};
use crate::disk::{Left, MemoryDisk};
use crate::store::{CHEAP, PASSPHRASE, somebody};
use jiff::Timestamp;
use veridical::errand::spin;
use veridical::journal::{Body, Journal, PersonKind, Plan, check};
use veridical::store::{Archive, Code, Kept, Opener, Role, State, StoreError};
use veridical::visit::Visit;

/// A few optotypes: enough for every kind of event and few enough for every step to be cut.
const PLAN: &str = r#"
format = 1
name = "a few"
[sight]
eyes = ["right"]
practice_items = 0
stop_sd_log_mar = 0.0
fewest_trials = 3
most_trials = 3
"#;

/// What was said to be done before the power failed.
#[derive(Default)]
#[expect(clippy::struct_excessive_bools, reason = "each was said by itself")]
struct Said {
    founded: bool,
    user: Option<Code>,
    person: Option<Code>,
    begun: Option<Code>,
    over: bool,
    settled: bool,
    noted: bool,
    imported: Option<Code>,
    erased: bool,
    forgotten: bool,
}

fn opener(sealed: bool) -> Option<Opener> {
    sealed.then(|| Opener::Passphrase(PASSPHRASE.into()))
}

/// A day, up to where the power fails.
fn day(disk: &MemoryDisk, sealed: bool, brought: &[u8], said: &mut Said) -> Result<(), StoreError> {
    let passphrase = sealed.then_some(PASSPHRASE);
    let mut archive = Archive::found(disk.boxed(), passphrase, CHEAP, "test")?.archive;
    said.founded = true;
    let user = archive.add_user("Runa Holm", Role::Examiner)?;
    said.user = Some(user.clone());
    archive.acts(Some(user), None)?;
    let person = archive.add_person(&somebody("Ada Brink"))?;
    said.person = Some(person.clone());
    let mut begin = wish(7, Plan::from_toml(PLAN, "a plan").unwrap());
    begin.person = PersonKind::Living {
        code: person.to_string(),
    };
    let epoch: Timestamp = "2026-05-04T08:00:00Z".parse().unwrap();
    let (visit, journal): (Code, Journal<Kept>) = archive.begin_visit(begin.opening(), epoch)?;
    said.begun = Some(visit.clone());
    let mut under_way = Visit::over(journal);
    let spun = spin(&mut under_way, &mut average_person(8));
    spun.map_err(|error| StoreError::Refused(error.to_string()))?;
    said.over = true;
    drop(under_way);
    archive.settle(&visit)?;
    said.settled = true;
    let text = "told by telephone".into();
    archive.add_late(&visit, vec![Body::Noted { text }], "told late")?;
    said.noted = true;
    let imported = archive.bring_in(brought, Some(&person))?.visit;
    said.imported = Some(imported.clone());
    archive.erase_visit(&imported, "the wrong person sat there")?;
    said.erased = true;
    archive.erase_person(&person, "asked for it")?;
    said.forgotten = true;
    archive.close();
    Ok(())
}

/// The journal of a visit as far as it was durable, in whole lines.
fn durable_lines(disk: &MemoryDisk, visit: &Code, sealed: bool) -> usize {
    let folder = format!("visits/{}", visit.plain());
    if !sealed {
        let bytes = disk.durable(&format!("{folder}/journal.jsonl"));
        return bytes.split(|byte| *byte == b'\n').count() - 1;
    }
    // A frame is a line; its length stands in its first four bytes.
    let bytes = disk.durable(&format!("{folder}/journal.sealed"));
    let (mut at, mut frames) = (8, 0);
    while let Some(length) = bytes.get(at..at + 4) {
        let length = u32::from_le_bytes(length.try_into().unwrap()) as usize;
        if bytes.len() < at + 8 + length {
            break;
        }
        at += 8 + length;
        frames += 1;
    }
    frames
}

/// Opens what is left, and holds it to what was said.
fn hold_to(said: &Said, before: &MemoryDisk, after: &MemoryDisk, sealed: bool, about: &str) {
    let opened = Archive::open(after.boxed(), opener(sealed).as_ref());
    let mut archive = match opened {
        Ok(archive) => archive,
        Err(error) => {
            assert!(!said.founded, "{about}: {error}");
            assert!(matches!(error, StoreError::None(_)), "{about}: {error}");
            let passphrase = sealed.then_some(PASSPHRASE);
            Archive::found(after.boxed(), passphrase, CHEAP, "test").unwrap();
            return;
        }
    };
    if let Some(user) = &said.user {
        archive.acts(Some(user.clone()), None).unwrap();
    }
    if let Some(person) = &said.person {
        let found = archive.known(person).unwrap();
        // It may be gone if that was under way when the power failed, and must be if it was done.
        if said.forgotten {
            assert_eq!(
                (found.name, archive.identity(person)),
                (None, None),
                "{about}"
            );
        } else if !said.erased {
            assert_eq!(
                archive.identity(person),
                Some(somebody("Ada Brink")),
                "{about}"
            );
        }
    }
    if let Some(visit) = &said.begun {
        let found = archive.visit(visit).unwrap();
        let bytes = archive.journal(visit).unwrap();
        let lines =
            check(&bytes).map_or_else(|damage| damage.events.len(), |(events, _)| events.len());
        assert!(
            lines >= durable_lines(before, visit, sealed),
            "{about}: lines were lost"
        );
        if said.over {
            assert!(archive.record(visit).unwrap().closed(), "{about}");
            assert_eq!(found.state, State::Closed, "{about}");
            assert!(found.signed.is_some(), "{about}");
        }
        if said.noted {
            let record = archive.record(visit).unwrap();
            assert!(record.remarks().iter().any(|remark| remark.late), "{about}");
        }
        if found.state == State::Open {
            let journal = archive.go_on_with(visit).unwrap();
            let now = journal.record().last_moment();
            let mut under_way = Visit::over(journal);
            under_way.resume(now).unwrap();
            let mut person = average_person(8);
            veridical::errand::recall(under_way.record(), &mut person).unwrap();
            spin(&mut under_way, &mut person).unwrap();
            drop(under_way);
            archive.settle(visit).unwrap();
            assert_eq!(
                archive.visit(visit).unwrap().state,
                State::Closed,
                "{about}"
            );
        }
    }
    if let Some(imported) = &said.imported {
        let found = archive.visit(imported).unwrap();
        if said.erased {
            assert_eq!(found.state, State::Erased, "{about}");
            assert!(archive.journal(imported).is_err(), "{about}");
        }
    }
    // Whole files that came before their line in the register are entered by `mend`.
    if !archive.check(&mut |_, _| true).unwrap().holds {
        drop(archive);
        let (again, _) = Archive::mend(after.boxed(), opener(sealed).as_ref()).unwrap();
        archive = again;
    }
    let checked = archive.check(&mut |_, _| true).unwrap();
    assert!(checked.holds, "{about}: {checked:?}");
    archive.add_person(&somebody("Nils Aker")).unwrap();
}

#[test]
fn the_power_may_fail_at_every_step_of_a_day() {
    let brought = crate::at_hand::short_visit(5)
        .journal()
        .store()
        .bytes
        .clone();
    for sealed in [false, true] {
        let undisturbed = MemoryDisk::default();
        let mut said = Said::default();
        day(&undisturbed, sealed, &brought, &mut said).unwrap();
        assert!(said.forgotten);
        let steps = undisturbed.steps();
        assert!(steps > 60, "{steps}");
        for step in 0..steps {
            let disk = MemoryDisk::default();
            disk.fails_after(Some(step));
            let mut said = Said::default();
            let failed = day(&disk, sealed, &brought, &mut said);
            assert!(
                failed.is_err() || step + 1 == steps || sealed,
                "step {step}"
            );
            for left in Left::ALL {
                let about = format!("step {step} of {steps}, {left:?} left, sealed {sealed}");
                hold_to(&said, &disk, &disk.after_the_cut(left), sealed, &about);
            }
        }
        println!("{steps} steps of a day, each cut, 4 ways each; encrypted: {sealed}");
    }
}

/// A full disk refuses, and says so in one line; nothing that was said to be done is lost, and with
/// room again the same store goes on without being opened anew.
#[test]
fn a_full_disk_loses_nothing_and_has_a_way_on() {
    let brought = crate::at_hand::short_visit(5)
        .journal()
        .store()
        .bytes
        .clone();
    for sealed in [false, true] {
        let undisturbed = MemoryDisk::default();
        day(&undisturbed, sealed, &brought, &mut Said::default()).unwrap();
        let most = undisturbed.used() + brought.len();
        for part in 1..20 {
            let disk = MemoryDisk::default();
            disk.set_room(Some(most * part / 20));
            let mut said = Said::default();
            let done = day(&disk, sealed, &brought, &mut said);
            if let Err(error) = done {
                let told = error.to_string();
                assert_eq!(told.lines().count(), 1, "{told}");
            }
            disk.set_room(None);
            let about = format!("room for {part} of 20, sealed {sealed}");
            hold_to(&said, &disk, &disk.copy(), sealed, &about);
        }
    }
    let disk = MemoryDisk::default();
    let mut archive = Archive::found(disk.boxed(), None, CHEAP, "test")
        .unwrap()
        .archive;
    disk.set_room(Some(disk.used() + 40));
    for _ in 0..3 {
        let told = archive
            .add_user("Runa Holm", Role::Examiner)
            .unwrap_err()
            .to_string();
        assert!(
            told.contains("register") || told.contains("users"),
            "{told}"
        );
    }
    disk.set_room(None);
    archive.add_user("Runa Holm", Role::Examiner).unwrap();
    drop(archive);
    let mut archive = Archive::open(disk.boxed(), None).unwrap();
    assert!(
        archive
            .users()
            .unwrap()
            .iter()
            .filter(|one| one.works_here)
            .count()
            >= 1
    );
    assert!(archive.notices().is_empty());
}
