//! Every file the program reads, changed at random from a fixed corpus: no panic, no hang, and one line that
//! says what was expected. `VERIDICAL_INPUTS` says how many inputs each kind of file gets.

use crate::at_hand::{here, short_visit};
use crate::disk::MemoryDisk;
use crate::store::{CHEAP, PASSPHRASE, somebody};
use std::time::{Duration, Instant};
use veridical::calibration::coupler::CouplerSheet;
use veridical::calibration::daily::DailyLog;
use veridical::calibration::{EarphoneProfile, Microphone, Room, ScreenProfile};
use veridical::errand::{earlier_in, exercise_front, opened_exercise, sealed_text};
use veridical::journal::{OutsideResults, Plan, Record, Worksheet, check};
use veridical::person::Case;
use veridical::practice::{Exercise, Observed, Set};
use veridical::quantity::{Draws, Stream};
use veridical::report::{Findings, tidy_json};
use veridical::stimulus::recording::Recording;
use veridical::store::{
    Archive, Code, Disk, Folder, Opener, SignedHead, VisitsOf, line_hashes, read_copy,
};

/// No file grows beyond this by changes, bytes.
const LONGEST: usize = 200_000;
/// One input that takes longer hangs the program, s: far above any, on a machine that does other things too.
const HANGS_S: u64 = 20;

/// All tests of a process together never have so much memory, MiB: far above any.
const MOST_MIB: u64 = 2048;

fn inputs() -> u64 {
    let said = std::env::var("VERIDICAL_INPUTS").ok();
    said.map_or(300, |said| said.parse().expect("VERIDICAL_INPUTS: a count"))
}

fn corpus(folders: &[&str], ending: &str) -> Vec<Vec<u8>> {
    let mut all = Vec::new();
    for folder in folders {
        let mut paths: Vec<_> = std::fs::read_dir(here(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|found| found == ending))
            .collect();
        paths.sort();
        all.extend(paths.iter().map(|path| std::fs::read(path).unwrap()));
    }
    assert!(!all.is_empty());
    all
}

/// What a field is likely to be tried with.
const TOKENS: [&str; 22] = [
    "-1",
    "0",
    "1e308",
    "-1e308",
    "nan",
    "inf",
    "99999999999999999999",
    "\"\"",
    "[]",
    "{}",
    "null",
    "true",
    "[[",
    "]]",
    "\n",
    "\r\n",
    "=",
    "\u{0}",
    "\u{202e}",
    "1e-320",
    "format = 2",
    "'''",
];

/// A file of the corpus after one to six changes.
fn changed(corpus: &[Vec<u8>], draws: &mut Draws) -> Vec<u8> {
    let mut bytes = corpus[draws.below(corpus.len())].clone();
    for _ in 0..=draws.below(6) {
        let at = draws.below(bytes.len() + 1);
        let to = (at + draws.below(40)).min(bytes.len());
        match draws.below(8) {
            0 if at < bytes.len() => bytes[at] ^= 1 << draws.below(8),
            1 => drop(bytes.drain(at..to)),
            2 => bytes.truncate(at),
            3 => {
                let again = bytes[at..to].to_vec();
                bytes.splice(at..at, again);
            }
            4 => {
                let other = &corpus[draws.below(corpus.len())];
                let from = draws.below(other.len());
                let part = other[from..(from + 80).min(other.len())].to_vec();
                bytes.splice(at..to, part);
            }
            5 => {
                // A value in place of a value.
                let token = TOKENS[draws.below(TOKENS.len())];
                let place = bytes[at..]
                    .iter()
                    .position(|byte| matches!(byte, b'=' | b':'));
                let place = place.map_or(at, |after| at + after + 1);
                let end = bytes[place..]
                    .iter()
                    .position(|byte| matches!(byte, b'\n' | b',' | b'}'));
                let end = end.map_or(bytes.len(), |after| place + after);
                bytes.splice(place..end, token.bytes());
            }
            6 => {
                let token = TOKENS[draws.below(TOKENS.len())];
                bytes.splice(at..at, token.bytes());
            }
            _ => {
                let byte = draws.below(256) as u8;
                let many = draws.below(200);
                bytes.splice(at..at, std::iter::repeat_n(byte, many));
            }
        }
    }
    bytes.truncate(LONGEST);
    bytes
}

/// Gives `read` as many inputs as are asked for; an error has to be one line.
fn try_all(
    what: &str,
    stream: u64,
    corpus: &[Vec<u8>],
    times: u64,
    mut read: impl FnMut(&[u8]) -> Result<(), String>,
) {
    let (mut taken, mut slowest) = (0_u64, Duration::ZERO);
    let count = (inputs() / times).max(20);
    for number in 0..count {
        let mut draws = Draws::new(stream, Stream::Visit, number);
        let bytes = changed(corpus, &mut draws);
        let began = Instant::now();
        match read(&bytes) {
            Ok(()) => taken += 1,
            Err(told) => assert!(
                !told.is_empty() && !told.trim_end().contains('\n'),
                "{what} {number}: {told:?}"
            ),
        }
        slowest = slowest.max(began.elapsed());
        assert!(
            slowest.as_secs() < HANGS_S,
            "{what} {number} took {slowest:?}"
        );
    }
    let most_mib = most_memory_mib();
    assert!(most_mib < MOST_MIB, "{what}: {most_mib} MiB");
    println!(
        "{what}: {count} inputs, {taken} taken, slowest {slowest:?}, memory at most {most_mib} MiB"
    );
}

/// The most memory that this process ever had, MiB, where the system tells it (Linux, proc(5): `VmHWM`).
fn most_memory_mib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kib = line.and_then(|line| line.split_whitespace().next()?.parse::<u64>().ok());
    kib.unwrap_or(0) / 1024
}

fn text<T, E: ToString>(
    bytes: &[u8],
    read: impl FnOnce(&str) -> Result<T, E>,
) -> Result<(), String> {
    let text = std::str::from_utf8(bytes).map_err(|error| error.to_string())?;
    read(text).map(|_| ()).map_err(|error| error.to_string())
}

#[test]
fn profiles() {
    let all = corpus(&["calibration"], "toml");
    try_all("earphone profiles", 1, &all, 1, |bytes| {
        text(bytes, |text| EarphoneProfile::from_toml(text, "a file"))
    });
    try_all("screen profiles", 2, &all, 1, |bytes| {
        text(bytes, |text| ScreenProfile::from_toml(text, "a file"))
    });
}

#[test]
fn cases_plans_and_worksheets() {
    try_all("cases", 3, &corpus(&["demo/cases"], "toml"), 1, |bytes| {
        text(bytes, |text| Case::from_toml(text, "a file"))
    });
    try_all(
        "plans",
        4,
        &corpus(&["src/procedure/plans"], "toml"),
        1,
        |bytes| text(bytes, |text| Plan::from_toml(text, "a file")),
    );
    try_all(
        "worksheets",
        5,
        &corpus(&["src/bedside"], "toml"),
        1,
        |bytes| text(bytes, |text| Worksheet::from_toml(text, "a file")),
    );
}

#[test]
fn rooms_microphones_sheets_and_daily_logs() {
    let all = corpus(&["calibration"], "toml");
    try_all("microphones", 61, &all, 1, |bytes| {
        text(bytes, |text| Microphone::from_toml(text, "a file"))
    });
    try_all("rooms", 62, &all, 1, |bytes| {
        text(bytes, |text| Room::from_toml(text, "a file"))
    });
    try_all("coupler sheets", 63, &all, 1, |bytes| {
        text(bytes, |text| CouplerSheet::from_toml(text, "a file"))
    });
    let sitting = format!(
        "{{\"format\":1,\"profile\":\"{0}\",\"listener\":\"otter\",\"on\":\"2026-05-04\",\"journal\":\"{0}\",\
         \"thresholds\":[{{\"ear\":\"right\",\"hz\":1000.0,\"db\":5.0}}]}}\n",
        "0".repeat(64)
    );
    assert!(DailyLog::read(&sitting, "a file").is_ok());
    let broken = DailyLog::read(r#"{"liste\ner": ""}"#, "a file").unwrap_err();
    assert!(!broken.to_string().contains('\n'), "{broken}");
    try_all("daily logs", 64, &[sitting.repeat(3).into()], 1, |bytes| {
        text(bytes, |text| DailyLog::read(text, "a file"))
    });
}

#[test]
fn exercises_sets_and_what_raters_ticked() {
    let all: Vec<Vec<u8>> = ["diver", "night_porter", "toll_woman"]
        .iter()
        .map(|name| std::fs::read(here(&format!("src/practice/cases/{name}.toml"))).unwrap())
        .collect();
    try_all("exercises", 65, &all, 1, |bytes| {
        text(bytes, |text| Exercise::from_toml(text, "a file"))
    });
    let set = "format = 1\nname = 'winter'\nseed = 7\nexercises = ['diver', 'drawn-3-7']\n";
    assert!(Set::from_toml(set, "a file").is_ok());
    try_all("sets of exercises", 66, &[set.into()], 1, |bytes| {
        text(bytes, |text| Set::from_toml(text, "a file"))
    });
    let ticked =
        "format = 1\nrater = 'otter'\njournal_head = '0f'\n[scores]\nhands = 2\nseat = 1\n";
    try_all("what raters ticked", 67, &[ticked.into()], 1, |bytes| {
        text(bytes, |text| Observed::from_toml(text, "a file"))
    });
}

/// What is shut to a trainee opens as it was shut, or not at all.
#[test]
fn sealed_exercises() {
    let text = std::fs::read_to_string(here("src/practice/cases/diver.toml")).unwrap();
    let shut = sealed_text(&text, "diver", PASSPHRASE, CHEAP).unwrap();
    let changed = crate::at_hand::folder("fuzz-sealed").join("changed.toml");
    let name = changed.display().to_string();
    try_all("sealed exercises", 71, &[shut.into()], 1, |bytes| {
        std::fs::write(&changed, bytes).unwrap();
        exercise_front(&name, None).map_err(|error| error.to_string())?;
        let opened = opened_exercise(&name, None, Some(PASSPHRASE));
        let (opened, _) = opened.map_err(|error| error.to_string())?;
        assert_eq!(opened, text);
        Ok(())
    });
}

/// A second of a tone of 500 Hz, 16 bits at 8 kHz: the RIFF header byte by byte.
fn recording() -> Vec<u8> {
    let frames = 8000_u32;
    let mut bytes = b"RIFF".to_vec();
    bytes.extend((36 + 2 * frames).to_le_bytes());
    bytes.extend(b"WAVEfmt \x10\0\0\0\x01\0\x01\0");
    bytes.extend(frames.to_le_bytes());
    bytes.extend((2 * frames).to_le_bytes());
    bytes.extend(b"\x02\0\x10\0data");
    bytes.extend((2 * frames).to_le_bytes());
    let tone = (0..frames).map(|n| (std::f64::consts::TAU * f64::from(n) / 16.0).sin());
    bytes.extend(tone.flat_map(|sample| ((3000.0 * sample) as i16).to_le_bytes()));
    bytes
}

/// Half of the changes fall into the header, of which there is little.
#[test]
fn recordings() {
    let whole = recording();
    assert!(Recording::decode(&whole, 48_000).is_ok());
    let (header, sound) = whole.split_at(44);
    let (header, sound) = (header.to_vec(), sound.to_vec());
    try_all("recordings", 68, std::slice::from_ref(&whole), 1, |bytes| {
        let decoded = Recording::decode(bytes, 48_000);
        decoded.map(|_| ()).map_err(|error| error.to_string())
    });
    try_all("headers of recordings", 69, &[header], 1, |changed| {
        let bytes = [changed, &sound].concat();
        let decoded = Recording::decode(&bytes, 48_000);
        decoded.map(|_| ()).map_err(|error| error.to_string())
    });
}

/// What an earlier visit found, from its findings or its journal.
#[test]
fn earlier_visits() {
    let at = crate::at_hand::folder("fuzz-earlier");
    let visit = short_visit(14);
    let findings = tidy_json(&Findings::of(visit.record())).unwrap();
    let all = [findings.into_bytes(), visit.journal().store().bytes.clone()];
    let file = at.join("earlier");
    try_all("earlier visits", 70, &all, 1, |bytes| {
        std::fs::write(&file, bytes).unwrap();
        earlier_in(&file)
            .map(|_| ())
            .map_err(|error| error.to_string())
    });
}

#[test]
fn results_of_somewhere_else() {
    let example = b"source = 'a letter'\non = '2025-02-01'\nright = [{ hz = 1000.0, threshold_db_hl = 25.0 }]\n\
                    sight = [{ eye = 'left', log_mar = 0.3, correction = 'own' }]\nremark = 'x'\n";
    try_all(
        "results of somewhere else",
        6,
        &[example.to_vec()],
        1,
        |bytes| {
            text(bytes, |text| {
                let results: OutsideResults = toml::from_str(text).map_err(|error| {
                    error
                        .to_string()
                        .split_whitespace()
                        .collect::<Vec<_>>()
                        .join(" ")
                })?;
                results.check().map_err(|error| error.to_string())
            })
        },
    );
}

/// Journals as bytes; and, sealed anew after a change, as what no hash protects.
#[test]
fn journals() {
    let bytes = short_visit(11).journal().store().bytes.clone();
    try_all(
        "journals",
        7,
        std::slice::from_ref(&bytes),
        1,
        |bytes| match check(bytes) {
            Ok((events, _)) => Record::of(&events)
                .map(|_| ())
                .map_err(|error| error.to_string()),
            Err(damage) => Err(damage.error.to_string()),
        },
    );
    let contents = crate::journal::contents(&bytes);
    let lines: Vec<Vec<u8>> = contents
        .iter()
        .map(|line| line.clone().into_bytes())
        .collect();
    let mut draws = Draws::new(8, Stream::Visit, 0);
    try_all("journals sealed anew", 8, &lines, 1, |line| {
        let mut all = contents.clone();
        let which = draws.below(all.len());
        let Ok(line) = String::from_utf8(line.to_vec()) else {
            return Err("expected UTF-8".into());
        };
        if !line.contains(',') || line.contains('\n') {
            return Err("no line".into());
        }
        all[which] = line;
        let bytes = crate::journal::seal_again(&all);
        match check(&bytes) {
            Ok((events, _)) => Record::of(&events)
                .map(|_| ())
                .map_err(|error| error.to_string()),
            Err(damage) => Err(damage.error.to_string()),
        }
    });
}

#[test]
fn signed_heads_and_codes() {
    let bytes = short_visit(12).journal().store().bytes.clone();
    let disk = MemoryDisk::default();
    let archive = Archive::found(disk.boxed(), None, CHEAP, "test")
        .unwrap()
        .archive;
    let signed = archive.sign(&bytes).unwrap();
    let example = serde_json::to_vec_pretty(&signed).unwrap();
    let hashes = line_hashes(&bytes);
    try_all(
        "signed heads",
        9,
        std::slice::from_ref(&example),
        1,
        |changed| {
            let head = SignedHead::read(changed)?;
            // Whatever still holds says what was signed.
            assert!(!head.verdict(&hashes, Some(&signed.key)).holds() || head == signed);
            Ok(())
        },
    );
    let broken = br#"{"sig\nature": ""}"#;
    assert!(!SignedHead::read(broken).unwrap_err().contains('\n'));
    try_all("codes", 10, &[b"K7P2-MX4Q-T".to_vec()], 1, |bytes| {
        text(bytes, |text| {
            text.trim()
                .parse::<Code>()
                .map_err(|what| what.replace('\n', " "))
        })
    });
}

/// A whole store with one of its files changed, plain and encrypted: it opens and says what it says, or
/// refuses, or is mended. Kept findings that were changed are found anew, as they were.
#[test]
fn stores() {
    for sealed in [false, true] {
        let disk = MemoryDisk::default();
        let passphrase = sealed.then_some(PASSPHRASE);
        let opener = sealed.then(|| Opener::Passphrase(PASSPHRASE.into()));
        let mut archive = Archive::found(disk.boxed(), passphrase, CHEAP, "test")
            .unwrap()
            .archive;
        let person = archive.add_person(&somebody("Ada Brink")).unwrap();
        let journal = short_visit(13).journal().store().bytes.clone();
        let visit = archive.bring_in(&journal, Some(&person)).unwrap().visit;
        let found = archive.findings(&visit).unwrap();
        archive.close();
        let names = disk.files();
        assert!(names.iter().any(|name| name.ends_with("findings.kept")));
        for (name, stream) in names.iter().zip(20_u64..) {
            let whole = disk.read(name, 0).unwrap();
            let what = if sealed { "encrypted store" } else { "store" };
            try_all(
                &format!("{what}, {}", name.split('/').next().unwrap()),
                stream,
                &[whole],
                100,
                |bytes| {
                    let other = disk.copy();
                    other
                        .replace(name, bytes)
                        .map_err(|error| error.to_string())?;
                    let opened = Archive::open(other.boxed(), opener.as_ref());
                    if let Ok(mut archive) = opened {
                        let _ = archive
                            .people("ada", 5)
                            .map_err(|error| error.to_string())?;
                        let _ = archive
                            .check(&mut |_, _| true)
                            .map_err(|error| error.to_string())?;
                        if name.ends_with("findings.kept") {
                            assert!(archive.findings(&visit).unwrap() == found);
                        }
                        return Ok(());
                    }
                    let mended = Archive::mend(other.boxed(), opener.as_ref());
                    mended.map(|_| ()).map_err(|error| error.to_string())
                },
            );
        }
    }
}

/// The index of a plain store, changed: what it then says is what it said before, or the check finds it.
#[test]
fn indexes() {
    let at = crate::at_hand::folder("fuzz-index");
    let place = at.join("store");
    let open = || Archive::open(Box::new(Folder::new(&place)), None);
    let mut archive = Archive::found(Box::new(Folder::new(&place)), None, CHEAP, "test")
        .unwrap()
        .archive;
    let person = archive.add_person(&somebody("Ada Brink")).unwrap();
    let journal = short_visit(15).journal().store().bytes.clone();
    archive.bring_in(&journal, Some(&person)).unwrap();
    let all = VisitsOf {
        most: 10,
        ..VisitsOf::default()
    };
    let said = |archive: &mut Archive| {
        let visits = archive.visits(&all).map_err(|error| error.to_string())?;
        let heads: Vec<_> = visits
            .into_iter()
            .map(|visit| (visit.code, visit.person, visit.state, visit.signed))
            .collect();
        let people = archive.people("", 10).map_err(|error| error.to_string())?;
        Ok::<_, String>((heads, people))
    };
    let expected = said(&mut archive).unwrap();
    archive.close();
    let index = place.join("index.sqlite");
    let whole = std::fs::read(&index).unwrap();
    try_all("indexes", 72, &[whole], 100, |bytes| {
        for left in ["index.sqlite-wal", "index.sqlite-shm"] {
            let _ = std::fs::remove_file(place.join(left));
        }
        std::fs::write(&index, bytes).unwrap();
        let mut archive = open().map_err(|error| error.to_string())?;
        if said(&mut archive)? != expected {
            assert!(!archive.check(&mut |_, _| true).unwrap().holds);
        }
        drop(archive);
        let mended = Archive::mend(Box::new(Folder::new(&place)), None);
        let (mut archive, _) = mended.map_err(|error| error.to_string())?;
        assert_eq!(said(&mut archive)?, expected);
        assert!(archive.check(&mut |_, _| true).unwrap().holds);
        Ok(())
    });
}

#[test]
fn backups() {
    let at = crate::at_hand::folder("fuzz-backup");
    let disk = MemoryDisk::default();
    let mut archive = Archive::found(disk.boxed(), None, CHEAP, "test")
        .unwrap()
        .archive;
    archive.add_person(&somebody("Ada Brink")).unwrap();
    let to = at.join("copy.tar");
    archive.back_up(&to, &mut |_, _| true).unwrap();
    let whole = std::fs::read(&to).unwrap();
    let changed = at.join("changed.tar");
    // A file name with a line break, which the library of the format quotes.
    let mut broken = whole.clone();
    broken[3] = b'\n';
    let read = |bytes: &[u8]| {
        std::fs::write(&changed, bytes).unwrap();
        read_copy(&changed)
            .map(|_| ())
            .map_err(|error| error.to_string())
    };
    let told = read(&broken).unwrap_err();
    assert!(!told.contains('\n'), "{told:?}");
    try_all("backups", 60, &[whole], 1, read);
}
