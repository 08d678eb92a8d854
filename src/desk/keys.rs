//! The keys, as data: hands rest on the ridges of F and J. Every key can be given another task.

use super::app::Page;
use crate::stimulus::Facing;
use eframe::egui::Key;

/// What the examiner can do by a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Action {
    /// Present the tone that the dial shows.
    Tone,
    /// Present a silent slot.
    Silence,
    /// Mark that the person has shown to have heard.
    Mark,
    /// The dial 5 dB louder.
    Louder,
    /// The dial 5 dB softer.
    Softer,
    /// The dial to the next lower frequency.
    Lower,
    /// The dial to the next higher frequency.
    Higher,
    /// The dial to the other ear.
    OtherEar,
    /// Noise at the ear that is not tested, or none.
    Noise,
    /// That noise 5 dB louder.
    NoiseLouder,
    /// That noise 5 dB softer.
    NoiseSofter,
    /// From series to the joint estimate, and back.
    Method,
    /// From the procedure to the examiner's hand, and back.
    Automatic,
    /// Take back the last trial.
    TakeBack,
    /// Pause, or go on.
    Pause,
    /// Silence at once, and pause.
    Stop,
    /// Go on with the step that waits.
    Confirm,
    /// Show or hide the keys.
    Keys,
    /// The person's window over the whole display, and back.
    FullScreen,
}

/// Which key does what.
#[derive(Debug, Clone, PartialEq)]
pub struct KeyMap {
    /// The examiner's.
    pub examiner: Vec<(Key, Action)>,
    /// The pages, in the order of a visit.
    pub pages: Vec<(Key, Page)>,
    /// The person's 'I hear it'.
    pub hear: Vec<Key>,
    /// The person's directions; while optotypes are shown they come before all others.
    pub facing: Vec<(Key, Facing)>,
    /// The person's 'not sure', which asks for a guess.
    pub unsure: Vec<Key>,
}

impl Default for KeyMap {
    fn default() -> KeyMap {
        KeyMap {
            examiner: vec![
                (Key::T, Action::Tone),
                (Key::Q, Action::Silence),
                (Key::F, Action::Mark),
                (Key::R, Action::Louder),
                (Key::V, Action::Softer),
                (Key::D, Action::Lower),
                (Key::G, Action::Higher),
                (Key::E, Action::OtherEar),
                (Key::X, Action::Noise),
                (Key::W, Action::NoiseLouder),
                (Key::S, Action::NoiseSofter),
                (Key::A, Action::Automatic),
                (Key::B, Action::Method),
                (Key::Z, Action::TakeBack),
                (Key::P, Action::Pause),
                (Key::Escape, Action::Stop),
                (Key::Enter, Action::Confirm),
                (Key::F1, Action::Keys),
                (Key::F11, Action::FullScreen),
            ],
            pages: [
                Key::F2,
                Key::F3,
                Key::F4,
                Key::F5,
                Key::F6,
                Key::F7,
                Key::F12,
                Key::F10,
            ]
            .into_iter()
            .zip(Page::ALL)
            .chain([(Key::F9, Page::Bench)])
            .collect(),
            hear: vec![Key::J],
            facing: vec![
                (Key::U, Facing::UpLeft),
                (Key::I, Facing::Up),
                (Key::O, Facing::UpRight),
                (Key::J, Facing::Left),
                (Key::L, Facing::Right),
                (Key::M, Facing::DownLeft),
                (Key::Comma, Facing::Down),
                (Key::Period, Facing::DownRight),
                // A remote with four arrows does for what has four directions.
                (Key::ArrowRight, Facing::Right),
                (Key::ArrowUp, Facing::Up),
                (Key::ArrowLeft, Facing::Left),
                (Key::ArrowDown, Facing::Down),
            ],
            unsure: vec![Key::K],
        }
    }
}

impl KeyMap {
    /// What the examiner means by `key`.
    #[must_use]
    pub fn action(&self, key: Key) -> Option<Action> {
        let found = self.examiner.iter().find(|(one, _)| *one == key);
        found.map(|(_, action)| *action)
    }

    /// The page that the examiner means by `key`.
    #[must_use]
    pub fn page(&self, key: Key) -> Option<Page> {
        let found = self.pages.iter().find(|(one, _)| *one == key);
        found.map(|(_, page)| *page)
    }

    /// The key by which the examiner means `action`.
    #[must_use]
    pub fn key(&self, action: Action) -> Option<Key> {
        let found = self.examiner.iter().find(|(_, one)| *one == action);
        found.map(|(key, _)| *key)
    }

    /// The direction that the person means by `key`.
    #[must_use]
    pub fn facing(&self, key: Key) -> Option<Facing> {
        let found = self.facing.iter().find(|(one, _)| *one == key);
        found.map(|(_, facing)| *facing)
    }

    /// Whether the person means 'I hear it' by `key`.
    #[must_use]
    pub fn hears(&self, key: Key) -> bool {
        self.hear.contains(&key)
    }

    /// Whether the person cannot tell.
    #[must_use]
    pub fn unsure(&self, key: Key) -> bool {
        self.unsure.contains(&key)
    }

    /// The key of 'not sure', as it is written on the keyboard.
    #[must_use]
    pub fn unsure_name(&self) -> &'static str {
        self.unsure.first().map_or("", |key| written(*key))
    }

    /// The key of an action, as it is written on the keyboard.
    #[must_use]
    pub fn name(&self, action: Action) -> &'static str {
        let found = self.examiner.iter().find(|(_, one)| *one == action);
        found.map_or("", |(key, _)| written(*key))
    }

    /// The key of a direction, as it is written on the keyboard.
    #[must_use]
    pub fn facing_name(&self, facing: Facing) -> &'static str {
        let found = self.facing.iter().find(|(_, one)| *one == facing);
        found.map_or("", |(key, _)| written(*key))
    }
}

/// A key as it is written on the keyboard.
#[must_use]
pub fn written(key: Key) -> &'static str {
    match key {
        Key::Comma => ",",
        Key::Period => ".",
        Key::Escape => "Esc",
        other => other.name(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn no_key_has_two_tasks_at_once() {
        let keys = KeyMap::default();
        let examiner: Vec<Key> = keys.examiner.iter().map(|(key, _)| *key).collect();
        let facing: Vec<Key> = keys.facing.iter().map(|(key, _)| *key).collect();
        let pages: Vec<Key> = keys.pages.iter().map(|(key, _)| *key).collect();
        let examiner = [examiner, pages].concat();
        let unlike = |all: Vec<Key>| all.iter().collect::<HashSet<_>>().len() == all.len();
        assert!(unlike([examiner.clone(), keys.hear.clone()].concat()));
        assert!(unlike([examiner, facing, keys.unsure.clone()].concat()));
    }

    /// On the keyboard the directions lie around K as they point.
    #[test]
    fn directions_lie_as_they_point() {
        let keys = KeyMap::default();
        let rows = [["U", "I", "O"], ["J", "", "L"], ["M", ",", "."]];
        for facing in Facing::EIGHT {
            let radians = facing.degrees().to_radians();
            let column = 1 + radians.cos().round() as i32;
            let row = 1 - radians.sin().round() as i32;
            assert_eq!(
                keys.facing_name(facing),
                rows[row as usize][column as usize]
            );
        }
    }
}
