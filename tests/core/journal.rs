//! The journal's format, its chain, and what is made of one that ends early.

use crate::at_hand::{file, folder, short_visit, veridical, wish};
use serde_json::Value;
use sha2::{Digest, Sha256};
use veridical::journal::{Body, Journal, MemoryStore, Record, check};

/// The hash of a line, from the description of the format alone: SHA-256 (FIPS 180-4) over the
/// hash before in hex, a line feed, and the line's bytes before `,"hash":"`.
pub fn sealed_by(before: &str, content: &str) -> String {
    let digest = Sha256::digest(format!("{before}\n{content}").as_bytes());
    let hex: Vec<String> = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    hex.concat()
}

/// Seals contents anew, so that the chain holds whatever they say.
pub fn seal_again(contents: &[String]) -> Vec<u8> {
    let (mut before, mut bytes) = (String::new(), Vec::new());
    for (at, content) in contents.iter().enumerate() {
        let (_, rest) = content.split_once(',').unwrap();
        let content = format!("{{\"number\":{},{rest}", at + 1);
        before = sealed_by(&before, &content);
        bytes.extend_from_slice(format!("{content},\"hash\":\"{before}\"}}\n").as_bytes());
    }
    bytes
}

/// What stands in the lines, without their hashes.
pub fn contents(bytes: &[u8]) -> Vec<String> {
    let text = std::str::from_utf8(bytes).unwrap();
    let content = |line: &str| line.rsplit_once(",\"hash\":\"").unwrap().0.to_owned();
    text.lines().map(content).collect()
}

fn open(bytes: &[u8]) -> Journal<MemoryStore> {
    let bytes = bytes.to_vec();
    Journal::open(MemoryStore { bytes }).unwrap()
}

#[test]
fn every_line_is_sealed_as_described() {
    let visit = short_visit(1);
    let bytes = &visit.journal().store().bytes;
    let mut before = String::new();
    for (line, number) in std::str::from_utf8(bytes).unwrap().lines().zip(1..) {
        let (content, rest) = line.rsplit_once(",\"hash\":\"").unwrap();
        let expected = sealed_by(&before, content);
        assert_eq!(rest, format!("{expected}\"}}"), "line {number}");
        let event: Value = serde_json::from_str(line).unwrap();
        let keys: Vec<&String> = event.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["number", "time", "t_s", "kind", "body", "hash"]);
        assert_eq!(event["number"], number);
        before = expected;
    }
    assert_eq!(seal_again(&contents(bytes)), *bytes);
}

#[test]
fn the_first_line_names_format_program_seed_and_profiles() {
    let visit = short_visit(7);
    let text = contents(&visit.journal().store().bytes).swap_remove(0) + "}";
    let first: Value = serde_json::from_str(&text).unwrap();
    let body = &first["body"];
    assert_eq!(body["format"], 1);
    assert_eq!(body["program"], veridical::errand::PROGRAM);
    assert_eq!(body["presenter_seed"], 7);
    for digest in ["earphone_digest", "screen_digest"] {
        assert_eq!(body[digest].as_str().unwrap().len(), 64);
    }
}

#[test]
fn what_was_written_is_what_is_read() {
    let visit = short_visit(2);
    let bytes = &visit.journal().store().bytes;
    let (events, head) = check(bytes).unwrap();
    assert_eq!(&head, visit.journal().head());
    let (record, epoch) = Record::of(&events).unwrap();
    assert_eq!(&record, visit.record());
    assert_eq!(epoch, visit.journal().epoch());
    for (event, content) in events.iter().zip(contents(bytes)) {
        let again = serde_json::to_string(event).unwrap();
        assert_eq!(again.strip_suffix('}').unwrap(), content);
    }
    assert_eq!(&open(bytes).store().bytes, bytes);
}

/// Wherever in the last three lines the writing stopped, all lines before are kept, what is left
/// of the last one is kept in a `repaired` event, and the visit can go on.
#[test]
fn a_cut_last_line_is_repaired_wherever_it_was_cut() {
    let visit = short_visit(3);
    let all = &visit.journal().store().bytes;
    let ends: Vec<usize> = (1..=all.len())
        .filter(|end| all[end - 1] == b'\n')
        .collect();
    for cut in ends[9]..ends[12] {
        let whole = *ends.iter().rfind(|end| **end <= cut).unwrap();
        let journal = open(&all[..cut]);
        let repaired = &journal.store().bytes;
        assert_eq!(repaired[..whole], all[..whole], "cut at {cut}");
        let (events, _) = check(repaired).unwrap();
        let (before, _) = check(&all[..whole]).unwrap();
        if whole == cut {
            assert_eq!(events, before);
            continue;
        }
        let (last, kept) = events.split_last().unwrap();
        assert_eq!(kept, before, "cut at {cut}");
        let cut_off = String::from_utf8_lossy(&all[whole..cut]).into_owned();
        assert_eq!(last.body, Body::Repaired { cut: cut_off });
        let (record, _) = Record::of(&before).unwrap();
        assert_eq!(journal.record(), &record);
    }
}

#[test]
fn a_header_alone_is_an_empty_visit() {
    let begin = wish(4, crate::at_hand::short_plan());
    let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
    let at = file(&folder("header"), "journal.jsonl", &journal.store().bytes);
    let findings = veridical(&["recount", &at, "--json"]).json();
    for ear in ["right", "left"] {
        let all = findings["hearing"][ear].as_array().unwrap();
        assert_eq!(all.len(), 2);
        assert!(all.iter().all(|one| one["status"] == "not_tested"));
    }
    for eye in ["right", "left", "both"] {
        assert_eq!(findings["sight"][eye]["status"], "not_tested");
    }
    assert_eq!(findings["counts"]["tones"], 0);
    let checked = veridical(&["check", &at, "--json"]);
    assert_eq!(
        (checked.code, &checked.json()["lines"]),
        (Some(0), &1.into())
    );
}

#[test]
fn what_is_no_journal_gives_one_clear_line() {
    let at = folder("no-journal");
    let no_opening = seal_again(&contents(&short_visit(5).journal().store().bytes)[1..]);
    for (name, bytes) in [
        ("empty.jsonl", b"".as_slice()),
        ("text.jsonl", b"Dear Sir or Madam\n"),
        ("json.jsonl", b"{\"number\":1}\n"),
        ("bytes.jsonl", &[0xff, 0x00, b'\n', 0xc3]),
        ("unended.jsonl", b"no line feed"),
        ("no-opening.jsonl", &no_opening),
    ] {
        let path = file(&at, name, bytes);
        veridical(&["recount", &path]).refused(&[name, "line 1"]);
        let checked = veridical(&["check", &path, "--json"]);
        assert_eq!(checked.code, Some(1), "{name}");
        assert_eq!(checked.json()["holds"], false, "{name}");
        assert_eq!(checked.json()["first_bad_line"], 1, "{name}");
    }
    for verb in ["recount", "check"] {
        veridical(&[verb, "no/such/journal.jsonl"]).refused(&["no/such/journal.jsonl"]);
    }
}

/// Lines that are sealed rightly and tell of what cannot have happened.
#[test]
fn events_that_cannot_follow_one_another_are_found() {
    let visit = short_visit(6);
    let all = contents(&visit.journal().store().bytes);
    let at = folder("out-of-place");
    let arrived = all
        .iter()
        .position(|line| line.contains("\"arrived\""))
        .unwrap();
    // Without the arrival of the first presentation the second cannot be planned there.
    let next = all[arrived + 1..]
        .iter()
        .position(|line| line.contains("\"planned\""))
        .unwrap();
    let mut lost = all.clone();
    lost.remove(arrived);
    let path = file(&at, "lost.jsonl", seal_again(&lost));
    let checked = veridical(&["check", &path, "--json"]);
    assert_eq!(checked.code, Some(1));
    assert_eq!(checked.json()["first_bad_line"], arrived + next + 1);
    veridical(&["recount", &path]).refused(&["lost.jsonl", "presentation 1"]);
    let now = format!("\"mathematics\":{},", veridical::finding::MATHEMATICS);
    let newer = all[0].replace(&now, "\"mathematics\":1000,");
    assert_ne!(newer, all[0]);
    let newer = [vec![newer], all[1..].to_vec()].concat();
    let path = file(&at, "newer.jsonl", seal_again(&newer));
    veridical(&["recount", &path]).refused(&["newer.jsonl", "mathematics"]);
}
