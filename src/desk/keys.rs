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
    /// Lock the desk.
    Lock,
    /// Before a visit: the cautions are read.
    CautionsRead,
}

/// Actions and their names in the file of settings.
const ACTIONS: [(Action, &str); 21] = [
    (Action::Tone, "tone"),
    (Action::Silence, "silence"),
    (Action::Mark, "mark"),
    (Action::Louder, "louder"),
    (Action::Softer, "softer"),
    (Action::Lower, "lower"),
    (Action::Higher, "higher"),
    (Action::OtherEar, "other_ear"),
    (Action::Noise, "noise"),
    (Action::NoiseLouder, "noise_louder"),
    (Action::NoiseSofter, "noise_softer"),
    (Action::Automatic, "automatic"),
    (Action::Method, "method"),
    (Action::TakeBack, "take_back"),
    (Action::Pause, "pause"),
    (Action::Stop, "stop"),
    (Action::Confirm, "confirm"),
    (Action::CautionsRead, "cautions_read"),
    (Action::Lock, "lock"),
    (Action::Keys, "keys"),
    (Action::FullScreen, "full_screen"),
];

/// Pages and their names in the file of settings.
const PAGES: [(Page, &str); 10] = [
    (Page::Prepare, "page_prepare"),
    (Page::Hear, "page_hear"),
    (Page::See, "page_see"),
    (Page::Bedside, "page_bedside"),
    (Page::Weigh, "page_weigh"),
    (Page::HandOver, "page_hand_over"),
    (Page::People, "page_people"),
    (Page::Practise, "page_practise"),
    (Page::Bench, "page_bench"),
    (Page::Settings, "page_desk"),
];

/// Directions and their names in the file of settings.
const POINTS: [(Facing, &str); 8] = [
    (Facing::UpLeft, "points_up_left"),
    (Facing::Up, "points_up"),
    (Facing::UpRight, "points_up_right"),
    (Facing::Left, "points_left"),
    (Facing::Right, "points_right"),
    (Facing::DownLeft, "points_down_left"),
    (Facing::Down, "points_down"),
    (Facing::DownRight, "points_down_right"),
];

/// What a key can stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Task {
    /// The examiner does something.
    Does(Action),
    /// The examiner turns to a page.
    TurnsTo(Page),
    /// The person hears it.
    Hears,
    /// The person cannot tell.
    Unsure,
    /// The person points.
    Points(Facing),
}

impl Task {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Task> {
        let does = ACTIONS.iter().map(|(action, _)| Task::Does(*action));
        let turns = PAGES.iter().map(|(page, _)| Task::TurnsTo(*page));
        let points = POINTS.iter().map(|(facing, _)| Task::Points(*facing));
        let person = [Task::Hears, Task::Unsure].into_iter().chain(points);
        does.chain(turns).chain(person)
    }

    /// Its name in the file of settings.
    #[must_use]
    pub fn name(self) -> &'static str {
        fn named<T: PartialEq>(all: &[(T, &'static str)], one: &T) -> &'static str {
            let found = all.iter().find(|(other, _)| other == one);
            found.map_or("", |(_, name)| name)
        }
        match self {
            Task::Does(action) => named(&ACTIONS, &action),
            Task::TurnsTo(page) => named(&PAGES, &page),
            Task::Points(facing) => named(&POINTS, &facing),
            Task::Hears => "hears",
            Task::Unsure => "unsure",
        }
    }

    /// Whether it is the examiner's.
    #[must_use]
    pub fn is_examiners(self) -> bool {
        matches!(self, Task::Does(_) | Task::TurnsTo(_))
    }

    /// Whether both could be meant by one key at the same time: 'I hear it' is asked for with tones, all else of the
    /// person's with optotypes.
    fn clashes(self, other: Task) -> bool {
        let apart =
            |one, other| one == Task::Hears && matches!(other, Task::Points(_) | Task::Unsure);
        self != other && !apart(self, other) && !apart(other, self)
    }
}

/// Why a task does not get a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refused {
    /// The key moves between controls, or presses them.
    Reserved,
    /// The other hand has it.
    Taken(Task),
}

/// What goes from control to control and presses them.
const RESERVED: [Key; 2] = [Key::Tab, Key::Space];

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
                (Key::Y, Action::CautionsRead),
                (Key::F8, Action::Lock),
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
            .chain([(Key::F9, Page::Bench), (Key::Home, Page::Settings)])
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

    /// The key of a task.
    #[must_use]
    pub fn key_of(&self, task: Task) -> Option<Key> {
        match task {
            Task::Does(action) => self.key(action),
            Task::TurnsTo(page) => {
                let found = self.pages.iter().find(|(_, one)| *one == page);
                found.map(|(key, _)| *key)
            }
            Task::Hears => self.hear.first().copied(),
            Task::Unsure => self.unsure.first().copied(),
            Task::Points(facing) => {
                let found = self.facing.iter().find(|(_, one)| *one == facing);
                found.map(|(key, _)| *key)
            }
        }
    }

    /// What else `key` could mean while `task` is.
    fn clash(&self, task: Task, key: Key) -> Option<Task> {
        let does = self
            .examiner
            .iter()
            .map(|(one, does)| (*one, Task::Does(*does)));
        let pages = self
            .pages
            .iter()
            .map(|(one, page)| (*one, Task::TurnsTo(*page)));
        let points = self
            .facing
            .iter()
            .map(|(one, to)| (*one, Task::Points(*to)));
        let hear = self.hear.iter().map(|one| (*one, Task::Hears));
        let unsure = self.unsure.iter().map(|one| (*one, Task::Unsure));
        let mut all = does.chain(pages).chain(points).chain(hear).chain(unsure);
        all.find(|(one, other)| *one == key && task.clashes(*other))
            .map(|(_, other)| other)
    }

    /// Gives a task a key. If another task of the same hand has it, the two change over, and that other is given back.
    ///
    /// # Errors
    /// If the key cannot be given; then nothing has changed.
    pub fn give(&mut self, task: Task, key: Key) -> Result<Option<Task>, Refused> {
        if RESERVED.contains(&key) {
            return Err(Refused::Reserved);
        }
        let Some(before) = self.key_of(task).filter(|before| *before != key) else {
            return Ok(None);
        };
        let other = self.clash(task, key);
        if let Some(other) = other.filter(|other| other.is_examiners() != task.is_examiners()) {
            return Err(Refused::Taken(other));
        }
        self.set(task, before, key);
        if let Some(other) = other {
            self.set(other, key, before);
        }
        Ok(other)
    }

    /// Puts one key in the place of another.
    fn set(&mut self, task: Task, before: Key, key: Key) {
        fn set<T: PartialEq>(all: &mut [(Key, T)], before: Key, of: &T, key: Key) {
            let mut all = all.iter_mut();
            if let Some(one) = all.find(|(one, other)| *one == before && other == of) {
                one.0 = key;
            }
        }
        let replace = |all: &mut Vec<Key>| {
            if let Some(one) = all.iter_mut().find(|one| **one == before) {
                *one = key;
            }
        };
        match task {
            Task::Does(action) => set(&mut self.examiner, before, &action, key),
            Task::TurnsTo(page) => set(&mut self.pages, before, &page, key),
            Task::Points(facing) => set(&mut self.facing, before, &facing, key),
            Task::Hears => replace(&mut self.hear),
            Task::Unsure => replace(&mut self.unsure),
        }
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

    #[test]
    fn a_key_is_changed_over_and_never_means_two_things() {
        let mut keys = KeyMap::default();
        let tone = Task::Does(Action::Tone);
        assert_eq!(keys.give(tone, Key::Num7), Ok(None));
        assert_eq!(keys.action(Key::Num7), Some(Action::Tone));
        assert_eq!(keys.action(Key::T), None);
        // What another task of the examiner's has changes over.
        let silence = Task::Does(Action::Silence);
        assert_eq!(keys.give(tone, Key::Q), Ok(Some(silence)));
        assert_eq!(keys.key_of(silence), Some(Key::Num7));
        // What the person has is not taken away.
        let untouched = keys.clone();
        assert_eq!(
            keys.give(tone, Key::J),
            Err(Refused::Taken(Task::Points(Facing::Left)))
        );
        assert_eq!(keys.give(tone, Key::Tab), Err(Refused::Reserved));
        assert_eq!(keys, untouched);
        // 'I hear it' and a direction are never asked for together.
        assert_eq!(keys.give(Task::Hears, Key::L), Ok(None));
        assert_eq!(keys.facing(Key::L), Some(Facing::Right));
        for task in Task::all() {
            let key = keys.key_of(task).unwrap();
            assert_eq!(keys.clash(task, key), None, "{}", task.name());
        }
    }

    #[test]
    fn every_task_has_a_name_of_its_own() {
        let names: Vec<&str> = Task::all().map(Task::name).collect();
        let unlike: HashSet<&&str> = names.iter().collect();
        assert_eq!(names.len(), 41);
        assert_eq!(
            (unlike.len(), names.iter().any(|name| name.is_empty())),
            (41, false)
        );
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
