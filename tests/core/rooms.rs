//! The rooms of the house stand one on another: each uses only those above it in the list.

use crate::at_hand::here;
use std::path::{Path, PathBuf};

/// From the ground up.
const ORDER: [&str; 19] = [
    "quantity",
    "standard",
    "calibration",
    "stimulus",
    "journal",
    "belief",
    "finding",
    "evidence",
    "bedside",
    "procedure",
    "station",
    "person",
    "visit",
    "practice",
    "report",
    "store",
    "errand",
    "desk",
    "verbs",
];

/// Beside the rooms: the two roots, and the tables of the tests.
const NO_ROOMS: [&str; 3] = ["lib", "main", "outside"];

#[test]
fn a_room_uses_only_rooms_above_it() {
    for file in sources(&here("src")) {
        let text = std::fs::read_to_string(&file).unwrap();
        let room = room_of(&file);
        for used in rooms_used(&text) {
            let allowed = match room.as_str() {
                "main" => used == "verbs",
                "outside" => false,
                _ if used == "outside" => true,
                _ => place(&used) <= place(&room),
            };
            assert!(allowed, "{}: {room} may not use {used}", file.display());
        }
        if file.ends_with("mod.rs") && file.parent() == Some(&here("src").join(&room)) {
            for other in ORDER {
                let around = format!("super::{other}::");
                assert!(!text.contains(&around), "{}: {around}", file.display());
            }
        }
        assert!(!text.contains("super::super::super"), "{}", file.display());
    }
}

#[test]
fn the_library_lists_its_rooms_in_their_order() {
    let library = std::fs::read_to_string(here("src/lib.rs")).unwrap();
    let listed: Vec<&str> = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    assert!(listed.len() > 10, "{listed:?}");
    assert!(listed.is_sorted_by_key(|room| place(room)), "{listed:?}");
    for entry in std::fs::read_dir(here("src")).unwrap() {
        let room = room_of(&entry.unwrap().path());
        let known = listed.contains(&room.as_str()) || NO_ROOMS.contains(&room.as_str());
        assert!(known, "src/{room} is no room of the house");
    }
}

#[test]
fn the_guide_for_developers_names_every_room() {
    let guide = std::fs::read_to_string(here("DEVELOPERS.md")).unwrap_or_default();
    let library = std::fs::read_to_string(here("src/lib.rs")).unwrap();
    for room in ORDER {
        let built = library.contains(&format!("pub mod {room};"));
        let named = guide.contains(&format!("`{room}`")) || guide.contains(&format!("`{room}/`"));
        assert!(named || !built, "DEVELOPERS.md does not name `{room}`");
    }
}

#[test]
fn uses_are_found_wherever_they_stand() {
    let text = "
        use crate::quantity::{Ear, Eye};
        use crate::{
            journal::{self, Record},
            visit,
        };
        // use crate::desk::Nothing;
        fn f() { let _ = crate::errand::begin; veridical::verbs::main() }
        pub(crate) fn g() {}";
    assert_eq!(
        rooms_used(text),
        ["quantity", "journal", "visit", "errand", "verbs"]
    );
}

fn place(room: &str) -> usize {
    let found = ORDER.iter().position(|known| *known == room);
    found.unwrap_or_else(|| panic!("{room} is no room of the house"))
}

/// The first step below `src`, without its ending.
fn room_of(file: &Path) -> String {
    let below = file.strip_prefix(here("src")).unwrap();
    let first = Path::new(below.components().next().unwrap().as_os_str());
    first.file_stem().unwrap().to_str().unwrap().to_owned()
}

pub fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The rooms in paths from the root of the crate, comments left out.
fn rooms_used(text: &str) -> Vec<String> {
    let code: Vec<&str> = text
        .lines()
        .map(|line| line.split("//").next().unwrap_or(""))
        .collect();
    let code = code.join("\n");
    let mut found = Vec::new();
    for (at, root) in code
        .match_indices("crate::")
        .chain(code.match_indices("veridical::"))
    {
        // `$crate` in a macro is the root as well.
        if code[..at].ends_with(|before: char| before.is_alphanumeric() || before == '_') {
            continue;
        }
        let path = &code[at + root.len()..];
        match path.strip_prefix('{') {
            Some(group) => found.extend(firsts(group)),
            None => found.push(first_name(path)),
        }
    }
    found
}

/// The first names of the paths of a group, up to its closing brace.
fn firsts(group: &str) -> Vec<String> {
    let (mut depth, mut path_begins, mut found) = (0, true, Vec::new());
    for (at, sign) in group.char_indices() {
        match sign {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => path_begins = true,
            _ if path_begins && !sign.is_whitespace() => {
                found.push(first_name(&group[at..]));
                path_begins = false;
            }
            _ => {}
        }
    }
    found
}

fn first_name(path: &str) -> String {
    let name = |sign: &char| sign.is_alphanumeric() || *sign == '_';
    path.chars().take_while(name).collect()
}
