//! The store by the command line: from an empty folder to a backup that was restored.

use crate::at_hand::{Told, case_file, file, folder, veridical, word};
use crate::store::PASSPHRASE;
use std::path::{Path, PathBuf};

struct Clinic {
    at: PathBuf,
    passphrase: Option<String>,
}

impl Clinic {
    fn run(&self, args: &[&str]) -> Told {
        let store = word(&self.at.join("store"));
        let mut all = args.to_vec();
        all.extend(["--store", &store]);
        if let Some(passphrase) = &self.passphrase {
            all.extend(["--passphrase-file", passphrase]);
        }
        veridical(&all)
    }

    fn done(&self, args: &[&str]) -> String {
        let told = self.run(args);
        assert_eq!(told.code, Some(0), "{args:?}: {}{}", told.err, told.out);
        told.out.trim().to_owned()
    }
}

fn clinic(name: &str, sealed: bool) -> Clinic {
    let at = folder(name);
    let passphrase = sealed.then(|| file(&at, "passphrase", format!("{PASSPHRASE}\n")));
    let clinic = Clinic { at, passphrase };
    let sheet = word(&clinic.at.join("sheet.pdf"));
    if sealed {
        clinic.done(&["found", "--sheet", &sheet]);
        assert!(std::fs::read(&sheet).unwrap().starts_with(b"%PDF-"));
    } else {
        clinic.done(&["found", "--unencrypted"]);
    }
    clinic
}

/// Hands a visit out, checks it against its signed head, and brings it in once more, to the byte.
fn out_and_in_again(clinic: &Clinic, visit: &str, person: &str) -> String {
    let out = clinic.at.join("out");
    clinic.done(&["visits", "export", visit, "--out", &word(&out)]);
    let journal = word(&out.join("journal.jsonl"));
    let signed = word(&out.join("journal.signed.json"));
    let key: serde_json::Value = serde_json::from_slice(&std::fs::read(&signed).unwrap()).unwrap();
    let key = key["key"].as_str().unwrap().to_owned();
    let checked = veridical(&["check", &journal, "--signed", &signed, "--key", &key]);
    assert_eq!(checked.code, Some(0), "{}", checked.out);
    assert!(checked.out.contains("cannot find") || checked.out.contains("can find"));
    let wrong = "0".repeat(64);
    let checked = veridical(&[
        "check", &journal, "--signed", &signed, "--key", &wrong, "--json",
    ]);
    assert_eq!(
        (checked.code, &checked.json()["verdict"]),
        (Some(1), &"another_key".into())
    );
    let again = clinic.done(&["visits", "import", &journal, "--person", person]);
    let once_more = clinic.at.join("once-more");
    clinic.done(&["visits", "export", &again, "--out", &word(&once_more)]);
    let read = |folder: &Path| std::fs::read(folder.join("journal.jsonl")).unwrap();
    assert_eq!(read(&out), read(&once_more));
    again
}

#[test]
fn a_day_by_the_command_line() {
    for sealed in [false, true] {
        let clinic = clinic(&format!("verbs-day-{sealed}"), sealed);
        let user = clinic.done(&["users", "add", "--name", "Runa Holm", "--role", "examiner"]);
        let person = clinic.done(&[
            "people",
            "add",
            "--name",
            "Ada Brink",
            "--born",
            "1951-03-09",
            "--by",
            &user,
        ]);
        let found = clinic
            .run(&["people", "find", "ada", "1951", "--json"])
            .json();
        assert_eq!(found[0]["code"], person.as_str());
        let case = case_file("average");
        let kept = clinic.done(&["visit", "--case", &case, "--seed", "3", "--plan", "quick"]);
        assert!(kept.contains("its head begins"), "{kept}");
        let visits = clinic.run(&["visits", "list", "--json"]).json();
        let visit = visits[0]["code"].as_str().unwrap().to_owned();
        assert_eq!(visits[0]["state"], "closed");
        clinic.done(&[
            "visits",
            "move",
            &visit,
            "--person",
            &person,
            "--reason",
            "it was Ada Brink",
        ]);
        let note = [
            "visits",
            "note",
            &visit,
            "--text",
            "called later",
            "--reason",
            "by telephone",
        ];
        clinic.done(&[&note[..], &["--by", &user]].concat());
        let shown = clinic.done(&["visits", "show", &visit]);
        assert!(
            shown.contains(&format!("late, examiner {user}: called later")),
            "{shown}"
        );
        let course = clinic.run(&["people", "course", &person, "--json"]).json();
        assert_eq!(course["points"][0]["late_entries"], 1);
        let again = out_and_in_again(&clinic, &visit, &person);
        // Results of somewhere else.
        let results = "source = 'letter of the lighthouse clinic (invented)'\non = '2025-02-01'\n\
                       right = [{ hz = 1000.0, threshold_db_hl = 25.0 }]\n";
        let results = file(&clinic.at, "outside.toml", results);
        clinic.done(&["visits", "outside", &results, "--person", &person]);
        let course = clinic.done(&["people", "course", &person]);
        assert!(course.contains("from outside, entered by hand"), "{course}");
        // Backup and restore.
        let backup = word(&clinic.at.join("copy.tar"));
        clinic.done(&["backup", "--out", &backup]);
        let other = Clinic {
            at: folder(&format!("verbs-restored-{sealed}")),
            passphrase: clinic.passphrase.clone(),
        };
        let restored = other.done(&["restore", &backup]);
        assert!(restored.contains("everything holds"), "{restored}");
        assert_eq!(
            other
                .run(&["visits", "list", "--json"])
                .json()
                .as_array()
                .unwrap()
                .len(),
            3
        );
        clinic.done(&[
            "visits",
            "erase",
            &again,
            "--reason",
            "twice in here",
            "--by",
            &user,
        ]);
        let list = clinic.done(&["visits", "list"]);
        assert!(list.contains(&format!("taken away by {user}")), "{list}");
        assert!(clinic.done(&["check"]).contains("everything holds"));
        assert!(clinic.done(&["mend"]).contains("0 visits and 0 people"));
    }
}

#[test]
fn what_cannot_be_done_with_a_store_is_one_line() {
    let clinic = clinic("verbs-refused", false);
    let person = clinic.done(&["people", "add", "--name", "Ada Brink"]);
    let slip = |code: &str| {
        let last = if code.ends_with('2') { "3" } else { "2" };
        format!("{}{last}", &code[..code.len() - 1])
    };
    clinic
        .run(&["people", "erase", &slip(&person), "--reason", "x"])
        .refused(&["person", "check character"]);
    clinic
        .run(&["people", "erase", &person, "--reason", " "])
        .refused(&["reason"]);
    clinic
        .run(&["people", "add", "--name", "two\nlines"])
        .refused(&["name"]);
    clinic
        .run(&["visits", "show", "K7P2"])
        .refused(&["visit", "K7P2-MX4Q-T"]);
    clinic
        .run(&["found", "--unencrypted"])
        .refused(&["already"]);
    let empty = word(&clinic.at.join("nothing"));
    veridical(&["people", "find", "--store", &empty]).refused(&["nothing", "veridical found"]);
    veridical(&["found", "--store", &empty]).refused(&["--passphrase-file", "--unencrypted"]);
    let journal = file(&clinic.at, "journal.jsonl", "Dear Sir or Madam\n");
    clinic
        .run(&["visits", "import", &journal])
        .refused(&["journal.jsonl", "line 1"]);
    let bad = "source = 'somewhere'\nright = [{ hz = 1000.0, threshold_db_hl = 2500.0 }]\n";
    let bad = file(&clinic.at, "bad.toml", bad);
    clinic
        .run(&["visits", "outside", &bad, "--person", &person])
        .refused(&["bad.toml", "right.threshold_db_hl", "2500"]);
    let backup = file(&clinic.at, "copy.tar", "no archive");
    clinic.run(&["restore", &backup]).refused(&["copy.tar"]);
    let sealed = Clinic {
        at: folder("verbs-wrong"),
        passphrase: Some(file(&clinic.at, "long", PASSPHRASE)),
    };
    let sheet = word(&sealed.at.join("sheet.txt"));
    sealed.done(&["found", "--sheet", &sheet]);
    let text = std::fs::read_to_string(&sheet).unwrap();
    let code = text.lines().nth(5).unwrap().to_owned();
    let wrong = Clinic {
        at: sealed.at.clone(),
        passphrase: Some(file(&sealed.at, "wrong", "not this one at all")),
    };
    wrong.run(&["check"]).refused(&["does not open"]);
    let recovery = file(&sealed.at, "recovery", code);
    let store = word(&sealed.at.join("store"));
    let opened = veridical(&["check", "--store", &store, "--recovery-file", &recovery]);
    assert_eq!(opened.code, Some(0), "{}", opened.err);
}
