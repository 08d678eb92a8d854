//! No word of intent, in the program or in anything it says: the figures tell how the answers
//! agree, never why.

use crate::at_hand::{case_file, folder, here, veridical, word};
use crate::rooms::sources;
use std::path::Path;
use veridical::bedside::cautions;
use veridical::stimulus::SeriesKind;

/// Beginnings of words of intent (reference: wording of consistency).
const STEMS: [&str; 13] = [
    "malinger",
    "feign",
    "fake",
    "faking",
    "exaggerat",
    "effort",
    "deceiv",
    "decept",
    "deceit",
    "cheat",
    "liar",
    "insincer",
    "dishonest",
];
/// The same, where longer words are innocent.
const WHOLE: [&str; 4] = ["lying", "lied", "fak", "sincere"];

/// The words of intent in a text, also inside names in any case style.
fn found_in(text: &str) -> Vec<String> {
    let mut spaced = String::new();
    for sign in text.chars() {
        if sign.is_uppercase() {
            spaced.push(' ');
        }
        spaced.push(sign.to_ascii_lowercase());
    }
    let words = |text: &str| -> Vec<String> {
        let found = text.split(|sign: char| !sign.is_alphabetic());
        found
            .filter(|word| STEMS.iter().any(|stem| word.starts_with(stem)) || WHOLE.contains(word))
            .map(str::to_owned)
            .collect()
    };
    [words(&spaced), words(&text.to_lowercase())].concat()
}

#[test]
fn words_of_intent_are_found() {
    for text in [
        "He was LYING.",
        "FakeTone",
        "no_effort",
        "\"Cheating\"",
        "exaggerated",
    ] {
        assert!(!found_in(text).is_empty(), "{text}");
    }
    for text in ["underlying", "applied", "relying on it", "lies at 3 kHz"] {
        assert_eq!(found_in(text), [""; 0], "{text}");
    }
}

#[test]
fn the_source_has_no_word_of_intent() {
    for file in sources(&here("src")) {
        let text = std::fs::read_to_string(&file).unwrap();
        assert_eq!(found_in(&text), [""; 0], "{}", file.display());
        // The contract's key of a case file has its place in the room that reads it.
        let person = file.starts_with(here("src/person"));
        let honest = text.to_lowercase().contains("honest");
        assert!(person || !honest, "{}", file.display());
    }
}

#[test]
fn nothing_that_the_program_says_has_a_word_of_intent() {
    let at = folder("words");
    let mut said = Vec::new();
    for name in ["average", "raised_bar", "random", "profound"] {
        let out = word(&at.join(name));
        let case = case_file(name);
        let visit = veridical(&[
            "visit", "--plan", "quick", "--case", &case, "--seed", "3", "--out", &out,
        ]);
        assert_eq!(visit.code, Some(0), "{}", visit.err);
        said.push(visit.out);
        for result in ["journal.jsonl", "findings.json", "trials.csv"] {
            said.push(std::fs::read_to_string(at.join(name).join(result)).unwrap());
        }
        let journal = word(&at.join(name).join("journal.jsonl"));
        said.push(veridical(&["recount", &journal]).out);
        said.push(veridical(&["check", &journal]).out);
    }
    for name in ["raised_bar", "random"] {
        let out = word(&at.join(format!("{name}-by-hand")));
        let case = case_file(name);
        let visit = veridical(&[
            "visit", "--plan", "bedside", "--case", &case, "--seed", "3", "--out", &out,
        ]);
        assert_eq!(visit.code, Some(0), "{}", visit.err);
        said.push(visit.out);
        said.push(std::fs::read_to_string(Path::new(&out).join("findings.json")).unwrap());
    }
    for kind in SeriesKind::ALL {
        said.push(cautions::how(kind).to_owned());
    }
    for verb in [
        "visit", "recount", "check", "tone", "optotype", "study", "sheet", "answers", "power",
    ] {
        said.push(veridical(&[verb, "--help"]).out);
    }
    said.push(veridical(&["--help"]).out);
    for text in said {
        assert!(text.len() > 20, "{text}");
        assert_eq!(found_in(&text), [""; 0]);
        assert!(!text.to_lowercase().contains("honest"), "{text}");
    }
}
