//! Visits leave the house whole, or are named and left out; nothing is replaced unasked.

use crate::at_hand::{file, folder, short_visit, veridical, word};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;
use veridical::errand::{ExportProgress, ExportWish, export_all};
use veridical::report::{TABLES, dictionary};
use veridical::store::SignedHead;

/// A folder with so many journals, each in a folder of its own.
fn journals(name: &str, count: u64) -> PathBuf {
    let at = folder(name);
    for seed in 0..count {
        let own = at.join(format!("visit-{seed}"));
        std::fs::create_dir_all(&own).unwrap();
        let visit = short_visit(seed);
        file(&own, "journal.jsonl", &visit.journal().store().bytes);
    }
    at
}

fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_below(&path));
        } else {
            found.push(path);
        }
    }
    found.sort();
    found
}

#[test]
fn nothing_is_replaced_unless_that_is_wished() {
    let at = journals("export-one", 1);
    let journal = at.join("visit-0/journal.jsonl");
    let before = std::fs::read(&journal).unwrap();
    // Into the visit's own folder: the journal is there already, and is never written over.
    let out = word(&at.join("visit-0"));
    let export = |more: &[&str]| {
        let journal = word(&journal);
        let args = ["export", &journal, "--out", &out];
        veridical(&[&args[..], more].concat())
    };
    assert_eq!(export(&[]).code, Some(0));
    let trials = at.join("visit-0/trials.csv");
    std::fs::write(&trials, "somebody's own").unwrap();
    export(&[]).refused(&["expected nothing here yet", "--force"]);
    assert_eq!(std::fs::read(&trials).unwrap(), b"somebody's own");
    assert_eq!(export(&["--force"]).code, Some(0));
    assert!(std::fs::read(&trials).unwrap().starts_with(b"n,status,"));
    assert_eq!(std::fs::read(&journal).unwrap(), before);
    for name in [
        "findings.json",
        "report.pdf",
        "for-the-person.pdf",
        "thresholds.csv",
        "acuity.csv",
        "visits.csv",
        "dictionary.csv",
        "fhir-bundle.json",
        "journal.schema.json",
        "findings.schema.json",
        "audiogram.svg",
        "audiogram.png",
        "acuity-right.svg",
        "acuity-right.png",
    ] {
        assert!(at.join("visit-0").join(name).exists(), "{name}");
    }
}

#[test]
fn bad_journals_are_named_and_the_others_exported() {
    let at = journals("export-many", 4);
    let good = std::fs::read_to_string(at.join("visit-1/journal.jsonl")).unwrap();
    file(
        &at,
        "changed.jsonl",
        good.replacen("\"t_s\":", "\"t_s\": ", 1),
    );
    file(&at, "empty.jsonl", "");
    let out = folder("export-many-out");
    let told = veridical(&["export", &word(&at), "--out", &word(&out), "--json"]);
    assert_eq!(told.code, Some(1), "{}", told.err);
    let said = told.json();
    assert_eq!(
        (&said["journals"], &said["exported"]),
        (&6.into(), &4.into())
    );
    let left_out: Vec<&str> = said["left_out"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["why"].as_str().unwrap())
        .collect();
    assert_eq!(left_out.len(), 2, "{left_out:?}");
    assert!(
        left_out[0].contains("changed.jsonl: line 1"),
        "{left_out:?}"
    );
    assert!(left_out[1].contains("empty.jsonl: line 1"), "{left_out:?}");
    let wide = std::fs::read_to_string(out.join("visits.csv")).unwrap();
    assert_eq!(wide.lines().count(), 5, "a header and four visits");
    // On another number of threads, the same bytes.
    let again = folder("export-many-again");
    let args = [
        "export",
        &word(&at),
        "--out",
        &word(&again),
        "--threads",
        "1",
    ];
    assert_eq!(veridical(&args).code, Some(1));
    let (first, second) = (files_below(&out), files_below(&again));
    assert_eq!(first.len(), second.len());
    for (one, other) in first.iter().zip(&second) {
        let same = std::fs::read(one).unwrap() == std::fs::read(other).unwrap();
        assert!(same, "{}", one.display());
    }
}

#[test]
fn a_stopped_export_leaves_whole_files_only() {
    let at = journals("export-stopped", 80);
    let out = folder("export-stopped-out");
    let (progress, wish) = (ExportProgress::default(), ExportWish::default());
    let all = std::thread::scope(|scope| {
        let stopping = scope.spawn(|| {
            while progress.done.load(Ordering::Relaxed) < 3 {
                std::thread::yield_now();
            }
            progress.stop.store(true, Ordering::Relaxed);
        });
        let all = export_all(&at, &out, &wish, &progress).unwrap();
        stopping.join().unwrap();
        all
    });
    assert!(
        all.stopped && all.exported >= 3 && all.exported < 80,
        "{all:?}"
    );
    let files = files_below(&out);
    assert!(files.iter().all(|path| path.extension().unwrap() != "part"));
    let of = |name: &str| files.iter().filter(|path| path.ends_with(name)).count();
    assert_eq!(of("fhir-bundle.json"), all.exported);
    for path in files
        .iter()
        .filter(|path| path.ends_with("fhir-bundle.json"))
    {
        let bundle = std::fs::read_to_string(path).unwrap();
        assert!(serde_json::from_str::<serde_json::Value>(&bundle).is_ok());
    }
    let wide = std::fs::read_to_string(out.join("visits.csv")).unwrap();
    assert_eq!(wide.lines().count(), all.exported + 1);
}

/// Everything of a visit that is saved beside its journal holds the journal again: the visit is counted once, where it lies.
#[test]
fn a_visit_with_its_copies_is_exported_once() {
    let at = journals("export-copies", 2);
    let own = at.join("visit-0").join("journal.jsonl");
    let saved = at.join("visit-0").join("saved");
    std::fs::create_dir_all(&saved).unwrap();
    std::fs::copy(&own, saved.join("journal.jsonl")).unwrap();
    std::fs::copy(&own, at.join("visit-0").join("a-copy.jsonl")).unwrap();
    let out = folder("export-copies-out");
    let (progress, wish) = (ExportProgress::default(), ExportWish::default());
    let all = export_all(&at, &out, &wish, &progress).unwrap();
    let counted = (all.journals, all.exported, all.copies, all.left_out.len());
    assert_eq!(counted, (2, 2, 2, 0), "{all:?}");
    let wide = std::fs::read_to_string(out.join("visits.csv")).unwrap();
    assert_eq!(wide.lines().count(), 3);
    let places = files_below(&out);
    assert!(
        places
            .iter()
            .any(|path| path.starts_with(out.join("visit-0")))
    );
}

#[test]
fn names_are_for_one_visit_at_a_time() {
    let at = journals("export-named", 1);
    let out = word(&folder("export-named-out"));
    let args = ["export", &word(&at), "--out", &out, "--family", "Brenn"];
    veridical(&args).refused(&["--family", "one journal"]);
    let nothing = word(&folder("export-nothing"));
    veridical(&["export", &nothing, "--out", &out]).refused(&["expected journals"]);
}

#[test]
fn the_dictionary_has_every_column_once() {
    let dictionary = dictionary().unwrap();
    let columns: usize = TABLES.iter().map(|table| table.columns().len()).sum();
    let mut read = csv::Reader::from_reader(dictionary.as_bytes());
    let own = read.headers().unwrap().len();
    let mut names: Vec<(String, String)> = read
        .records()
        .map(Result::unwrap)
        .map(|row| (row[0].to_owned(), row[1].to_owned()))
        .collect();
    assert_eq!(names.len(), columns + own);
    names.sort();
    assert!(names.is_sorted_by(|one, other| one < other));
}

/// A head signed with a key of the test's own goes along; one that does not fit is refused.
#[test]
fn a_signed_head_goes_along_and_is_checked_before() {
    use ed25519_dalek::{Signer, SigningKey};
    let at = journals("export-signed", 1);
    let own = at.join("visit-0");
    let visit = short_visit(0);
    let head = visit.journal().head().clone();
    let text = String::from_utf8(visit.journal().store().bytes.clone()).unwrap();
    let first = text.lines().next().unwrap();
    let key = SigningKey::from_bytes(&[7; 32]);
    let hex = |bytes: &[u8]| {
        let two = |byte: &u8| format!("{byte:02x}");
        bytes.iter().map(two).collect::<Vec<_>>().concat()
    };
    let mut signed = SignedHead {
        format: 1,
        begins: first.rsplit('"').nth(1).unwrap().into(),
        lines: head.lines,
        head: head.hash,
        signed: "2026-05-04T08:31:07Z".parse().unwrap(),
        key: hex(key.verifying_key().as_bytes()),
        signature: String::new(),
    };
    signed.signature = hex(&key.sign(signed.message().as_bytes()).to_bytes());
    let document = serde_json::to_string(&signed).unwrap();
    file(&own, "journal.signed.json", &document);
    let journal = word(&own.join("journal.jsonl"));
    let out = folder("export-signed-out");
    let told = veridical(&["export", &journal, "--out", &word(&out)]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let copied = std::fs::read_to_string(out.join("journal.signed.json")).unwrap();
    assert_eq!(copied, document);
    let bundle = std::fs::read_to_string(out.join("fhir-bundle.json")).unwrap();
    let bundle: serde_json::Value = serde_json::from_str(&bundle).unwrap();
    let resources = bundle["entry"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| &one["resource"]);
    let mut provenance = resources.filter(|one| one["resourceType"] == "Provenance");
    let signature = &provenance.next().unwrap()["signature"][0];
    assert_eq!(signature["when"], "2026-05-04T08:31:07Z");
    let data = signature["data"].as_str().unwrap();
    let data = STANDARD.decode(data).unwrap();
    assert_eq!(
        data,
        document.as_bytes(),
        "the stored document, byte for byte"
    );

    signed.signed = "2026-05-04T08:31:08Z".parse().unwrap();
    file(
        &own,
        "journal.signed.json",
        serde_json::to_string(&signed).unwrap(),
    );
    let out = word(&folder("export-signed-wrongly"));
    let told = veridical(&["export", &journal, "--out", &out]);
    told.refused(&["journal.signed.json", "the signature does not fit"]);
}
