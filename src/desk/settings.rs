//! How this desk looks, speaks and is worked, as data, and as a file among the user's settings. Nothing of it touches a
//! measurement, and nothing of it tells of anybody.

use super::keys::{KeyMap, Task};
use super::style::Theme;
use crate::report::words::Lang;
use eframe::egui::Key;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::time::Duration;

/// The format of the file.
const FORMAT: u32 = 1;
/// The sizes of text that can be chosen, percent.
pub const TEXT_PERCENT: [u32; 4] = [100, 115, 130, 150];
/// After how many idle minutes the desk can be locked.
pub const LOCK_MIN: [u32; 4] = [2, 5, 10, 20];

/// The settings.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Whether the room is dark.
    pub dark: bool,
    /// The size of text, percent of the usual one.
    pub text_percent: u32,
    /// The language of the examiner's window.
    pub lang: Lang,
    /// After how many idle minutes an open store is locked.
    pub lock_min: u32,
    /// Which key does what.
    pub keys: KeyMap,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            dark: false,
            text_percent: 100,
            lang: Lang::English,
            lock_min: 5,
            keys: KeyMap::default(),
        }
    }
}

/// As they lie in the file. Of the keys only those that are not as they came.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    format: u32,
    #[serde(default)]
    dark_room: bool,
    text_percent: u32,
    language: String,
    lock_after_min: u32,
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    keys: BTreeMap<String, String>,
}

impl Settings {
    /// The colours.
    #[must_use]
    pub fn theme(&self) -> Theme {
        if self.dark {
            Theme::DARK_ROOM
        } else {
            Theme::PAPER
        }
    }

    /// By how much all but optotypes is larger than usual.
    #[must_use]
    pub fn zoom(&self) -> f32 {
        self.text_percent as f32 / 100.0
    }

    /// After how long an idle desk is locked.
    #[must_use]
    pub fn idle(&self) -> Duration {
        Duration::from_mins(u64::from(self.lock_min))
    }

    /// As text of the file.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let as_they_came = KeyMap::default();
        let changed = Task::all().filter_map(|task| {
            let key = self.keys.key_of(task)?;
            let is_new = as_they_came.key_of(task) != Some(key);
            is_new.then(|| (task.name().to_owned(), key.name().to_owned()))
        });
        let kept = Kept {
            format: FORMAT,
            dark_room: self.dark,
            text_percent: self.text_percent,
            language: self.lang.tag().to_owned(),
            lock_after_min: self.lock_min,
            keys: changed.collect(),
        };
        // Plain numbers and words: there is nothing that could not be written.
        toml::to_string(&kept).unwrap_or_default()
    }

    /// From the text of the file `name`.
    ///
    /// # Errors
    /// One line that names the file, the field and what was expected.
    pub fn from_toml(text: &str, name: &str) -> Result<Settings, String> {
        let kept: Kept = toml::from_str(text).map_err(|error| {
            let why = error.message().lines().next().unwrap_or("").to_owned();
            format!("{name}: expected the desk's settings; {why}")
        })?;
        if kept.format != FORMAT {
            return Err(format!(
                "{name}: format: expected {FORMAT}, found {}",
                kept.format
            ));
        }
        let of = |field: &str, found: u32, all: [u32; 4]| {
            let known = all.contains(&found);
            known
                .then_some(found)
                .ok_or_else(|| format!("{name}: {field}: expected one of {all:?}, found {found}"))
        };
        Ok(Settings {
            dark: kept.dark_room,
            text_percent: of("text_percent", kept.text_percent, TEXT_PERCENT)?,
            lang: Lang::tagged(&kept.language).ok_or_else(|| {
                format!(
                    "{name}: language: expected en or de, found '{}'",
                    kept.language
                )
            })?,
            lock_min: of("lock_after_min", kept.lock_after_min, LOCK_MIN)?,
            keys: keys_of(&kept.keys, name)?,
        })
    }
}

/// The keys as they came, but for those that were kept.
fn keys_of(kept: &BTreeMap<String, String>, file: &str) -> Result<KeyMap, String> {
    let mut keys = KeyMap::default();
    let mut wanted = Vec::new();
    for (name, key) in kept {
        let task = Task::all()
            .find(|task| task.name() == name)
            .ok_or_else(|| format!("{file}: keys: expected the name of a task, found '{name}'"))?;
        let key = Key::from_name(key).ok_or_else(|| {
            format!(
                "{file}: keys.{name}: expected the name of a key such as T or F2, found '{key}'"
            )
        })?;
        wanted.push((task, key));
    }
    // Keys that change over go their way one after the other; at the end each task has its own, or two want the same.
    for (task, key) in wanted.iter().chain(&wanted) {
        let _ = keys.give(*task, *key);
    }
    match wanted
        .iter()
        .find(|(task, key)| keys.key_of(*task) != Some(*key))
    {
        None => Ok(keys),
        Some((task, key)) => Err(format!(
            "{file}: keys.{}: expected a key that means nothing else, found {}",
            task.name(),
            key.name()
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::keys::Action;

    #[test]
    fn settings_are_read_as_they_were_written() {
        let mut settings = Settings {
            dark: true,
            text_percent: 130,
            lang: Lang::German,
            lock_min: 10,
            ..Settings::default()
        };
        let tone = Task::Does(Action::Tone);
        settings.keys.give(tone, Key::Q).unwrap();
        settings.keys.give(Task::Unsure, Key::H).unwrap();
        let text = settings.to_toml();
        assert_eq!(Settings::from_toml(&text, "desk.toml"), Ok(settings));
        let plain = Settings::default();
        assert_eq!(
            Settings::from_toml(&plain.to_toml(), "desk.toml"),
            Ok(plain)
        );
    }

    #[test]
    fn a_damaged_file_is_told_in_one_line_that_names_field_and_expectation() {
        const LAST: &str = "lock_after_min = 5";
        let good = Settings::default().to_toml();
        for (from, to, told) in [
            (
                "text_percent = 100",
                "text_percent = 104",
                "text_percent: expected one of [100, 115, 130, 150], found 104",
            ),
            (
                "\"en\"",
                "\"la\"",
                "language: expected en or de, found 'la'",
            ),
            (
                LAST,
                "lock_after_min = 0",
                "lock_after_min: expected one of [2, 5, 10, 20], found 0",
            ),
            ("format = 1", "format = 2", "format: expected 1, found 2"),
            (
                LAST,
                "lock_after_min = 5\n[keys]\ntone = \"Q\"\nmark = \"Q\"",
                "expected a key that means nothing else, found Q",
            ),
            (
                LAST,
                "lock_after_min = 5\n[keys]\ntone = \"J\"",
                "keys.tone: expected a key that means nothing else, found J",
            ),
            (
                LAST,
                "lock_after_min = 5\n[keys]\ntone = \"left\"",
                "keys.tone: expected the name of a key such as T or F2, found 'left'",
            ),
            (
                LAST,
                "lock_after_min = 5\n[keys]\nsing = \"Q\"",
                "keys: expected the name of a task, found 'sing'",
            ),
            ("format", "fromat", "expected the desk's settings; "),
        ] {
            let damaged = good.replacen(from, to, 1);
            assert_ne!(damaged, good, "{from}");
            let error = Settings::from_toml(&damaged, "desk.toml").unwrap_err();
            assert!(
                error.starts_with("desk.toml: ") && error.contains(told),
                "{error}"
            );
            assert_eq!(error.lines().count(), 1, "{error}");
        }
    }
}
