//! A journal that was changed behind the program's back is found out, at the right line, and
//! nothing that stands in it can make the program fall over.

use crate::at_hand::{fixed, short_visit};
use crate::journal::{contents, seal_again};
use proptest::prelude::*;
use serde_json::Value;
use std::sync::LazyLock;
use veridical::journal::{Journal, MemoryStore, check};
use veridical::report::{Dossier, Findings, tables};
use veridical::visit::{Input, Visit};

static BYTES: LazyLock<Vec<u8>> = LazyLock::new(|| short_visit(11).journal().store().bytes.clone());

fn lines() -> Vec<&'static [u8]> {
    BYTES.split_inclusive(|byte| *byte == b'\n').collect()
}

/// The line, from 1, in which a byte stands.
fn line_of(at: usize) -> u64 {
    BYTES[..at].split(|byte| *byte == b'\n').count() as u64
}

fn first_bad_line(bytes: &[u8]) -> Option<u64> {
    check(bytes).err().map(|damage| damage.error.line)
}

proptest! {
    #![proptest_config(fixed(400))]

    #[test]
    fn a_changed_byte_is_found(at in 0..BYTES.len(), change in 1..=255_u8) {
        let mut bytes = BYTES.clone();
        bytes[at] ^= change;
        let damage = check(&bytes).unwrap_err();
        prop_assert_eq!(damage.error.line, line_of(at));
        prop_assert_eq!(damage.events.len() as u64, line_of(at) - 1);
        prop_assert_eq!(damage.error.cut_off, at == BYTES.len() - 1);
    }
}

proptest! {
    #![proptest_config(fixed(60))]

    #[test]
    fn removed_swapped_and_doubled_lines_are_found(a in 0..lines().len(), b in 0..lines().len()) {
        let whole = lines();
        let first = a.min(b);
        let mut removed = whole.clone();
        removed.remove(a);
        // A journal does not know that a last line is missing; its count and its head do.
        let last = a + 1 == whole.len();
        let expected = (!last).then_some(a as u64 + 1);
        prop_assert_eq!(first_bad_line(&removed.concat()), expected);
        let mut doubled = whole.clone();
        doubled.insert(a, whole[a]);
        prop_assert_eq!(first_bad_line(&doubled.concat()), Some(a as u64 + 2));
        if a != b {
            let mut swapped = whole;
            swapped.swap(a, b);
            prop_assert_eq!(first_bad_line(&swapped.concat()), Some(first as u64 + 1));
        }
    }

    /// Any damage is found, or it only took away the end.
    #[test]
    fn no_damage_goes_unseen(cuts in prop::collection::vec((any::<prop::sample::Index>(),
        any::<prop::sample::Index>(), prop::collection::vec(any::<u8>(), 0..20)), 1..4)) {
        let mut bytes = BYTES.clone();
        for (from, to, put) in &cuts {
            let (from, to) = (from.index(bytes.len() + 1), to.index(bytes.len() + 1));
            bytes.splice(from.min(to)..from.max(to), put.iter().copied());
        }
        match check(&bytes) {
            Ok(_) => prop_assert!(BYTES.starts_with(&bytes)),
            Err(damage) => {
                let opened = Journal::open(MemoryStore { bytes: bytes.clone() });
                let only_cut = damage.error.cut_off && !damage.events.is_empty();
                prop_assert_eq!(opened.is_ok(), only_cut);
                let kept = damage.error.offset;
                prop_assert_eq!(&bytes[..kept], &BYTES[..kept]);
            }
        }
    }
}

proptest! {
    #![proptest_config(fixed(600))]

    /// Lines sealed anew after any event was left out, doubled or altered: refused, or counted.
    #[test]
    fn no_forgery_makes_the_program_fall_over(changes in prop::collection::vec(
        (any::<prop::sample::Index>(), any::<prop::sample::Index>(), 0..13_usize), 1..5)) {
        let mut all = contents(&BYTES);
        for (which, place, change) in changes {
            let which = which.index(all.len());
            match change {
                0 => drop(all.remove(which)),
                1 => all.insert(which, all[place.index(all.len())].clone()),
                2 => all.swap(which, place.index(which.max(1))),
                3..8 => all[which] = altered(&all[which], place, change),
                // The opening, on which everything else rests.
                _ => all[0] = altered(&all[0], place, change - 5),
            }
            if all.is_empty() {
                return Ok(());
            }
        }
        let bytes = seal_again(&all);
        if let Ok(journal) = Journal::open(MemoryStore { bytes }) {
            let record = journal.record();
            let _ = Findings::of(record);
            if let Ok(dossier) = Dossier::of(journal.store().bytes.clone()) {
                tables(&dossier).unwrap();
            }
            let now = record.last_moment();
            let mut visit = Visit::over(journal);
            let _ = visit.resume(now);
            let _ = visit.step(Input::Tick, now);
        }
    }
}

/// One number, word or list of an event, replaced by something else.
fn altered(content: &str, place: prop::sample::Index, change: usize) -> String {
    let mut event: Value = serde_json::from_str(&format!("{content}}}")).unwrap();
    let leaves = leaves(&event["body"], "/body");
    if let Some(leaf) = leaves.get(place.index(leaves.len().max(1)))
        && let Some(value) = event.pointer_mut(leaf)
    {
        *value = match change {
            3 => 0.into(),
            4 => (-1e9).into(),
            5 => 1e300.into(),
            6 => Value::Array(vec![]),
            _ => "left".into(),
        };
    }
    let text = event.to_string();
    text.strip_suffix('}').unwrap().to_owned()
}

/// Where the values stand, lists and their items included.
fn leaves(value: &Value, path: &str) -> Vec<String> {
    let mut found = match value {
        Value::Object(map) => map
            .iter()
            .flat_map(|(key, value)| leaves(value, &format!("{path}/{key}")))
            .collect(),
        Value::Array(list) => list
            .iter()
            .enumerate()
            .flat_map(|(at, value)| leaves(value, &format!("{path}/{at}")))
            .collect(),
        _ => Vec::new(),
    };
    found.push(path.to_owned());
    found
}
