//! The store: people apart from what was measured, visits filed and found, everything encrypted where
//! a passphrase is set, and nothing lost.

use crate::at_hand::{average_person, folder, here, short_plan, short_visit, wish};
use ed25519_dalek::{Signer, SigningKey};
use jiff::Timestamp;
use sha2::{Digest, Sha256};
use std::path::Path;
use std::time::{Duration, Instant};
use veridical::errand::spin;
use veridical::journal::{
    Body, EarlierThreshold, Journal, OutsideResults, PersonKind, Record, Remarked, check,
};
use veridical::quantity::{Hz, Moment};
use veridical::store::{
    Archive, Code, Cost, Folder, Identity, Kept, Opener, Role, State, StoreError, VisitsOf,
};
use veridical::visit::Visit;

/// A key that costs next to nothing: what it costs is checked elsewhere.
pub const CHEAP: Cost = Cost {
    memory_kib: 64,
    passes: 1,
    lanes: 1,
};
pub const PASSPHRASE: &str = "seven gulls over the harbour";

/// A new store; encrypted if `sealed`.
pub fn found(at: &Path, sealed: bool) -> Archive {
    let passphrase = sealed.then_some(PASSPHRASE);
    let disk = Box::new(Folder::new(at));
    let founded = Archive::found(disk, passphrase, CHEAP, veridical::errand::PROGRAM).unwrap();
    assert_eq!(founded.recovery.is_some(), sealed);
    founded.archive
}

pub fn try_open(at: &Path, sealed: bool) -> Result<Archive, StoreError> {
    let opener = sealed.then(|| Opener::Passphrase(PASSPHRASE.into()));
    Archive::open(Box::new(Folder::new(at)), opener.as_ref())
}

/// Opens a store that nobody else has open. A program that another test starts holds a copy of every lock of this process
/// from its fork to its exec, so a lock that was given back can look held for a moment.
pub fn open(at: &Path, sealed: bool) -> Archive {
    let began = Instant::now();
    loop {
        match try_open(at, sealed) {
            Err(StoreError::InUse { .. }) if began.elapsed() < Duration::from_secs(10) => {
                std::thread::sleep(Duration::from_millis(20));
            }
            opened => return opened.unwrap(),
        }
    }
}

pub fn somebody(name: &str) -> Identity {
    Identity {
        name: name.into(),
        born: Some("1951-03-09".parse().unwrap()),
        number_elsewhere: Some("H-118".into()),
    }
}

/// Begins a visit of a living person, and runs it to its end.
pub fn visit_of(archive: &mut Archive, person: &Code, seed: u64) -> Code {
    let mut begin = wish(seed, short_plan());
    begin.person = PersonKind::Living {
        code: person.to_string(),
    };
    let epoch: Timestamp = "2026-05-04T08:00:00Z".parse().unwrap();
    let (visit, journal): (Code, Journal<Kept>) =
        archive.begin_visit(begin.opening(), epoch).unwrap();
    let mut under_way = Visit::over(journal);
    spin(&mut under_way, &mut average_person(seed + 1)).unwrap();
    drop(under_way);
    archive.settle(&visit).unwrap();
    visit
}

fn all() -> VisitsOf {
    VisitsOf {
        person: None,
        most: 100,
        after: 0,
    }
}

#[test]
fn people_and_visits_are_found_again_plain_and_encrypted() {
    for sealed in [false, true] {
        let at = folder(&format!("store-found-{sealed}"));
        let mut archive = found(&at, sealed);
        assert_eq!(archive.encrypted(), sealed);
        let person = archive.add_person(&somebody("Ada Brink")).unwrap();
        let other = archive.add_person(&somebody("Nils Aker")).unwrap();
        let visit = visit_of(&mut archive, &person, 3);
        let notices = archive.close();
        assert!(notices.is_empty(), "{notices:?}");
        let mut archive = open(&at, sealed);
        assert!(archive.notices().is_empty());
        for words in [
            "ada",
            "BRINK  ada",
            "1951-03 ad",
            "h-118 brink",
            &person.to_string()[..6],
        ] {
            let people = archive.people(words, 10).unwrap();
            assert_eq!(people.len(), 1, "{words}");
            assert_eq!((&people[0].code, people[0].visits), (&person, 1));
        }
        assert_eq!(archive.people("", 10).unwrap().len(), 2);
        assert_eq!(archive.people("ada aker", 10).unwrap().len(), 0);
        let visits = archive.visits(&all()).unwrap();
        assert_eq!(visits.len(), 1);
        assert_eq!(visits[0].code, visit);
        assert_eq!(visits[0].state, State::Closed);
        assert_eq!(visits[0].name.as_deref(), Some("Ada Brink"));
        let line = visits[0].summary.clone().unwrap();
        assert!(line.contains("right eye"), "{line}");
        archive.erase_person(&other, "asked for it").unwrap();
        assert_eq!(archive.people("aker", 10).unwrap(), []);
        let checked = archive.check(&mut |_, _| true).unwrap();
        assert!(checked.holds, "{checked:?}");
        assert_eq!(checked.visits, 1);
    }
}

/// No name, no birth date, no finding and no step of a visit can be read from an encrypted folder,
/// and a plain one keeps names out of file names and journals.
#[test]
fn nothing_shows_in_an_encrypted_folder() {
    for sealed in [false, true] {
        let at = folder(&format!("store-shows-{sealed}"));
        let mut archive = found(&at, sealed);
        let user = archive.add_user("Runa Holm", Role::Examiner).unwrap();
        archive.acts(Some(user), None).unwrap();
        let person = archive.add_person(&somebody("Ada Brink")).unwrap();
        let visit = visit_of(&mut archive, &person, 3);
        let code = visit.to_string();
        archive.close();
        for file in files(&at) {
            let bytes = std::fs::read(&file).unwrap();
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let name = file.strip_prefix(&at).unwrap().display().to_string();
            for word in ["Brink", "brink", "Runa"] {
                assert!(!name.contains(word), "{name}");
                let journal = name.contains("journal") || name.contains("register");
                assert!(
                    !((sealed || journal) && text.contains(word)),
                    "{word} in {name}"
                );
            }
            for word in [
                "1951-03-09",
                "presenter_seed",
                "visit_begun",
                "SQLite",
                &code,
            ] {
                assert!(!(sealed && text.contains(word)), "{word} in {name}");
            }
        }
    }
}

pub fn files(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            all.push(path);
        }
    }
    all.sort();
    all
}

#[test]
fn a_journal_goes_in_and_comes_out_to_the_byte() {
    let bytes = short_visit(5).journal().store().bytes.clone();
    for sealed in [false, true] {
        let at = folder(&format!("store-bytes-{sealed}"));
        let mut archive = found(&at, sealed);
        let brought = archive.bring_in(&bytes, None).unwrap();
        assert!(!brought.cut_line_left_out);
        drop(archive);
        let mut archive = open(&at, sealed);
        let (again, signed) = archive.hand_out(&brought.visit).unwrap();
        assert_eq!(again, bytes);
        let signed = signed.unwrap();
        let (_, head) = check(&bytes).unwrap();
        assert_eq!((signed.lines, &signed.head), (head.lines, &head.hash));
        assert!(signed.is_signed());
        // One whose last line was cut off comes in without it, and that is said.
        let cut = &bytes[..bytes.len() - 9];
        let brought = archive.bring_in(cut, None).unwrap();
        assert!(brought.cut_line_left_out);
        let kept = archive.journal(&brought.visit).unwrap();
        assert!(bytes.starts_with(&kept) && kept.ends_with(b"\n"));
        // What does not hold does not come in, and changes nothing.
        let before = archive.count_visits().unwrap();
        let mut changed = bytes.clone();
        changed[700] ^= 1;
        assert!(archive.bring_in(&changed, None).is_err());
        assert_eq!(archive.count_visits().unwrap(), before);
    }
}

#[test]
fn only_the_passphrase_or_the_recovery_sheet_opens_it() {
    let at = folder("store-passphrase");
    let disk = || Box::new(Folder::new(&at));
    let founded = Archive::found(disk(), Some(PASSPHRASE), CHEAP, "test").unwrap();
    let recovery = founded.recovery.unwrap();
    drop(founded.archive);
    let open = |opener: Option<Opener>| Archive::open(disk(), opener.as_ref());
    let told = |opened: Result<Archive, StoreError>| opened.err().unwrap().to_string();
    assert!(told(open(None)).contains("encrypted"));
    let wrong = Opener::Passphrase("eight gulls over the harbour".into());
    assert!(told(open(Some(wrong))).contains("does not open"));
    let mut archive = open(Some(Opener::Recovery(recovery.clone()))).unwrap();
    let new = "nine gulls over the harbour";
    let mut sheet = String::new();
    let mut keep = |recovery: &str| {
        recovery.clone_into(&mut sheet);
        Ok(())
    };
    archive.change_passphrase(new, CHEAP, &mut keep).unwrap();
    drop(archive);
    assert!(open(Some(Opener::Recovery(recovery))).is_err());
    assert!(open(Some(Opener::Passphrase(PASSPHRASE.into()))).is_err());
    assert!(open(Some(Opener::Passphrase(new.into()))).is_ok());
    assert!(open(Some(Opener::Recovery(sheet))).is_ok());
    let short = Archive::found(
        Box::new(Folder::new(&at.join("short"))),
        Some("gulls"),
        CHEAP,
        "test",
    );
    assert!(told(short.map(|founded| founded.archive)).contains("at least 10"));
}

#[test]
fn late_entries_are_marked_signed_anew_and_leave_what_was_there() {
    let at = folder("store-late");
    let mut archive = found(&at, false);
    let trainee = archive.add_user("Per Lund", Role::Trainee).unwrap();
    let examiner = archive.add_user("Runa Holm", Role::Examiner).unwrap();
    let alone = archive.acts(Some(trainee.clone()), None).unwrap_err();
    assert!(alone.to_string().contains("answers for the trainee"));
    archive
        .acts(Some(trainee.clone()), Some(examiner.clone()))
        .unwrap();
    let person = archive.add_person(&somebody("Ada Brink")).unwrap();
    let visit = visit_of(&mut archive, &person, 3);
    let before = archive.journal(&visit).unwrap();
    let events = archive.events(&visit).unwrap();
    let hands = veridical::journal::hands(&events);
    assert!(hands[0].is_none());
    assert!(hands[1..].iter().all(|who| {
        who.is_some_and(|who| {
            who.user == trainee.to_string()
                && who.role == "trainee"
                && who.supervisor == Some(examiner.to_string())
        })
    }));
    archive.acts(Some(examiner.clone()), None).unwrap();
    let note = Body::Noted {
        text: "the person called: tinnitus since the day before".into(),
    };
    let first = archive.visit(&visit).unwrap().signed.unwrap();
    let signed = archive
        .add_late(&visit, vec![note.clone()], "told by telephone")
        .unwrap();
    assert!(signed.lines > first.lines);
    let after = archive.journal(&visit).unwrap();
    assert!(after.starts_with(&before));
    let record = archive.record(&visit).unwrap();
    let late: Vec<_> = record
        .remarks()
        .iter()
        .filter(|remark| remark.late)
        .collect();
    assert_eq!(late.len(), 1);
    assert!(matches!(&late[0].what, Remarked::Note(text) if text.contains("tinnitus")));
    assert_eq!(late[0].by.as_ref().unwrap().user, examiner.to_string());
    // What cannot follow changes nothing.
    let lines = archive.check(&mut |_, _| true).unwrap().register_lines;
    assert!(
        archive
            .add_late(&visit, vec![Body::Closed {}], "again")
            .is_err()
    );
    assert!(archive.add_late(&visit, vec![note], " ").is_err());
    let checked = archive.check(&mut |_, _| true).unwrap();
    assert_eq!((checked.register_lines, checked.holds), (lines, true));
}

#[test]
fn what_was_taken_away_leaves_who_when_and_why() {
    for sealed in [false, true] {
        let at = folder(&format!("store-erased-{sealed}"));
        let mut archive = found(&at, sealed);
        let user = archive.add_user("Runa Holm", Role::Examiner).unwrap();
        archive.acts(Some(user.clone()), None).unwrap();
        let person = archive.add_person(&somebody("Ada Brink")).unwrap();
        let visit = visit_of(&mut archive, &person, 3);
        assert!(archive.erase_visit(&visit, "").is_err());
        archive
            .erase_visit(&visit, "the wrong person sat there")
            .unwrap();
        assert!(archive.journal(&visit).is_err());
        drop(archive);
        let mut archive = open(&at, sealed);
        let (by, _, why) = archive.visit(&visit).unwrap().erased.unwrap();
        assert_eq!(
            (by, why.as_str()),
            (Some(user), "the wrong person sat there")
        );
        assert!(archive.erase_visit(&visit, "again").is_err());
        assert_eq!(archive.count_visits().unwrap(), 0);
        assert!(archive.check(&mut |_, _| true).unwrap().holds);
    }
}

#[test]
fn results_from_outside_are_told_apart() {
    let at = folder("store-outside");
    let mut archive = found(&at, false);
    let person = archive.add_person(&somebody("Ada Brink")).unwrap();
    let threshold = EarlierThreshold {
        hz: Hz(1000.0),
        threshold_db_hl: 25.0,
        sd_db: None,
    };
    let results = OutsideResults {
        source: "letter of the lighthouse clinic (invented)".into(),
        on: Some("2025-02-01".parse().unwrap()),
        right: vec![threshold],
        left: Vec::new(),
        sight: Vec::new(),
        remark: String::new(),
    };
    let mut begin = wish(
        1,
        veridical::errand::plan_of_nothing("results from outside"),
    );
    begin.person = PersonKind::Living {
        code: person.to_string(),
    };
    let (visit, mut journal) = archive
        .begin_visit(begin.opening(), "2026-05-05T08:00:00Z".parse().unwrap())
        .unwrap();
    journal
        .append(Body::Outside(Box::new(results)), Moment::START)
        .unwrap();
    journal.append(Body::Closed {}, Moment::START).unwrap();
    journal.sync().unwrap();
    drop(journal);
    archive.settle(&visit).unwrap();
    let line = archive.visit(&visit).unwrap().summary.unwrap();
    assert!(line.contains("from outside, entered by hand"), "{line}");
    // No figure of ours is made of them.
    let findings = archive.findings(&visit).unwrap();
    assert_eq!(findings.counts.tones, 0);
    assert!(findings.hearing.right.is_empty());
    let record: Record = archive.record(&visit).unwrap();
    assert_eq!(record.outside().len(), 1);
}

/// The kept findings of a plain store with `seconds` set; signed as `src/store/README.md` says where `sign`.
fn change_kept(at: &Path, visit: &Code, seconds: f64, sign: bool) {
    let file = at.join(format!("visits/{}/findings.kept", visit.plain()));
    let text = std::fs::read(&file).unwrap();
    let mut kept: serde_json::Value = serde_json::from_slice(&text).unwrap();
    let mut findings: serde_json::Value =
        serde_json::from_str(kept["findings"].as_str().unwrap()).unwrap();
    findings["seconds"] = seconds.into();
    kept["findings"] = findings.to_string().into();
    if sign {
        let text = |key: &str| kept[key].as_str().unwrap().to_owned();
        let digest = |key: &str| hex(&Sha256::digest(text(key)));
        let message = format!(
            "veridical kept findings 1\nhead {}\nmathematics {}\nversion {}\nline {}\nfindings {}\n",
            text("head"),
            kept["mathematics"],
            text("version"),
            digest("line"),
            digest("findings")
        );
        let secret = std::fs::read_to_string(at.join("installation.key")).unwrap();
        let secret: Vec<u8> = (0..64)
            .step_by(2)
            .map(|at| u8::from_str_radix(&secret[at..at + 2], 16).unwrap())
            .collect();
        let key = SigningKey::from_bytes(&secret.try_into().unwrap());
        kept["signature"] = hex(&key.sign(message.as_bytes()).to_bytes()).into();
    }
    std::fs::write(&file, kept.to_string()).unwrap();
}

fn hex(bytes: &[u8]) -> String {
    let digits: Vec<String> = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    digits.concat()
}

#[test]
fn kept_findings_are_read_only_if_they_are_this_journals_and_signed_here() {
    let at = folder("store-kept");
    let mut archive = found(&at, false);
    let person = archive.add_person(&somebody("Ada Brink")).unwrap();
    let visit = visit_of(&mut archive, &person, 5);
    let anew = veridical::report::Findings::of(&archive.record(&visit).unwrap());
    assert_eq!(archive.findings(&visit).unwrap(), anew);
    // A figure that only the file holds shows that it is the file that is read.
    change_kept(&at, &visit, 77.0, true);
    let seconds = archive.findings(&visit).unwrap().seconds;
    assert!((seconds - 77.0).abs() < 1e-9, "{seconds}");
    change_kept(&at, &visit, 78.0, false);
    assert_eq!(archive.findings(&visit).unwrap(), anew);
    // A journal that went on is found anew.
    change_kept(&at, &visit, 79.0, true);
    let note = Body::Noted {
        text: "came late".into(),
    };
    archive
        .add_late(&visit, vec![note], "told by the desk")
        .unwrap();
    let later = archive.findings(&visit).unwrap();
    assert!(later.seconds > anew.seconds && later.hearing == anew.hearing);
    // So is one whose kept findings are another visit's, or no findings at all.
    let other = visit_of(&mut archive, &person, 6);
    let kept = |visit: &Code| at.join(format!("visits/{}/findings.kept", visit.plain()));
    std::fs::copy(kept(&visit), kept(&other)).unwrap();
    let anew = veridical::report::Findings::of(&archive.record(&other).unwrap());
    assert_eq!(archive.findings(&other).unwrap(), anew);
    std::fs::write(kept(&other), "{").unwrap();
    assert_eq!(archive.findings(&other).unwrap(), anew);
    archive.erase_visit(&other, "asked for").unwrap();
    assert!(!kept(&other).exists());
}

#[test]
fn an_index_that_was_made_again_hears_of_kept_findings() {
    for sealed in [false, true] {
        let at = folder(&format!("store-kept-index-{sealed}"));
        let mut archive = found(&at, sealed);
        let person = archive.add_person(&somebody("Ada Brink")).unwrap();
        let visit = visit_of(&mut archive, &person, 5);
        let told = archive.visit(&visit).unwrap().summary;
        assert!(told.is_some());
        drop(archive);
        for name in [
            "index.sqlite",
            "index.sqlite-wal",
            "index.sqlite-shm",
            "index.sealed",
        ] {
            let _ = std::fs::remove_file(at.join(name));
        }
        let mut archive = open(&at, sealed);
        assert_eq!(archive.visit(&visit).unwrap().summary, None);
        archive.findings(&visit).unwrap();
        assert_eq!(archive.visit(&visit).unwrap().summary, told);
    }
}

/// A store of every older version of the tables opens, is brought up to date, and says what it said.
#[test]
fn stores_of_older_versions_stay_readable() {
    let mut versions = 0;
    for entry in std::fs::read_dir(here("tests/core/old-stores")).unwrap() {
        let old = entry.unwrap().path();
        if !old.is_dir() {
            continue;
        }
        versions += 1;
        let name = old.file_name().unwrap().to_str().unwrap().to_owned();
        let at = folder(&format!("old-{name}"));
        for file in files(&old) {
            let to = at.join(file.strip_prefix(&old).unwrap());
            std::fs::create_dir_all(to.parent().unwrap()).unwrap();
            std::fs::copy(&file, to).unwrap();
        }
        let sealed = name.ends_with("sealed");
        let mut archive = open(&at, sealed);
        let notices = archive.notices();
        assert!(notices.is_empty(), "{name}: {notices:?}");
        let people = archive.people("brink h-118", 5).unwrap();
        assert_eq!((people.len(), people[0].visits), (1, 1), "{name}");
        assert_eq!(archive.people("aker", 5).unwrap().len(), 0, "{name}");
        let visits = archive.visits(&all()).unwrap();
        assert_eq!(visits[0].name.as_deref(), Some("Ada Brink"), "{name}");
        let record = archive.record(&visits[0].code).unwrap();
        assert_eq!(record.trials().len(), 6, "{name}");
        assert!(record.remarks().iter().any(|remark| remark.late), "{name}");
        archive.findings(&visits[0].code).unwrap();
        let checked = archive.check(&mut |_, _| true).unwrap();
        assert!(checked.holds, "{name}: {checked:?}");
        // A store of layout 1 kept no digest of who people are, and that is said.
        let last = checked.not_found_out.last().unwrap();
        assert!(last.contains("older version"), "{name}: {last}");
        let user = archive.users().unwrap().remove(0);
        archive.acts(Some(user.code), None).unwrap();
        archive.add_person(&somebody("Ida Voss")).unwrap();
        drop(archive);
        assert_eq!(
            open(&at, sealed).people("voss", 5).unwrap().len(),
            1,
            "{name}"
        );
    }
    assert!(versions >= 2);
}
