//! Keys of answers, and any remote that sends keys: each of its keys stands for one of ours.

use crate::stimulus::{Reply, SeriesKind};
use eframe::egui::Key;

/// What a remote can be taught, in order: our key, and what it is for.
const TAUGHT: [(Key, &str); 6] = [
    (Key::D, "done as shown"),
    (Key::V, "void"),
    (Key::L, "yes, right, different"),
    (Key::J, "left, same"),
    (Key::I, "both"),
    (Key::K, "nothing"),
];

/// Keys that stand for others.
#[derive(Debug, Clone)]
pub struct Remote {
    known: Vec<(Key, Key)>,
    teaching: Option<usize>,
}

impl Default for Remote {
    /// What most remotes for slides send, and the arrows.
    fn default() -> Remote {
        Remote {
            known: vec![
                (Key::PageDown, Key::D),
                (Key::PageUp, Key::V),
                (Key::ArrowRight, Key::L),
                (Key::ArrowLeft, Key::J),
                (Key::ArrowUp, Key::I),
                (Key::ArrowDown, Key::K),
            ],
            teaching: None,
        }
    }
}

impl Remote {
    /// Our key for what was pressed.
    #[must_use]
    pub fn meant(&self, key: Key) -> Key {
        let found = self.known.iter().rfind(|(remote, _)| *remote == key);
        found.map_or(key, |(_, ours)| *ours)
    }

    /// Whether it is being taught.
    #[must_use]
    pub fn teaching(&self) -> bool {
        self.teaching.is_some()
    }

    /// Begins to teach it; tells what to press first.
    pub fn teach(&mut self) -> String {
        self.teaching = Some(0);
        ask(0)
    }

    /// Takes the key that was pressed for what is asked; tells what to press next.
    pub fn learn(&mut self, key: Key) -> String {
        let at = self.teaching.unwrap_or(0);
        if key != Key::Escape
            && let Some((ours, _)) = TAUGHT.get(at)
        {
            self.known.retain(|(remote, _)| *remote != key);
            self.known.push((key, *ours));
        }
        let next = at + 1;
        if next < TAUGHT.len() {
            self.teaching = Some(next);
            ask(next)
        } else {
            self.teaching = None;
            "The remote is taught.".into()
        }
    }
}

fn ask(at: usize) -> String {
    let (_, what) = TAUGHT[at];
    format!("Press the remote's key for: {what}. Esc passes over it.")
}

/// The key of an answer: sides and quadrants lie around K as they point, amounts are figures.
#[must_use]
pub fn reply_key(reply: Reply) -> Key {
    const FIGURES: [Key; 10] = [
        Key::Num0,
        Key::Num1,
        Key::Num2,
        Key::Num3,
        Key::Num4,
        Key::Num5,
        Key::Num6,
        Key::Num7,
        Key::Num8,
        Key::Num9,
    ];
    match reply {
        Reply::Yes | Reply::Right | Reply::Different => Key::L,
        Reply::Left | Reply::Same => Key::J,
        Reply::Both => Key::I,
        Reply::Nothing => Key::K,
        Reply::UpperLeft => Key::U,
        Reply::UpperRight => Key::O,
        Reply::LowerLeft => Key::M,
        Reply::LowerRight => Key::Period,
        Reply::One => Key::Num1,
        Reply::Two => Key::Num2,
        Reply::Five => Key::Num5,
        Reply::Parts(amount) | Reply::TensCm(amount) => FIGURES[usize::from(amount).min(9)],
    }
}

/// The answers of a kind with their keys.
#[must_use]
pub fn reply_keys(kind: SeriesKind) -> Vec<(Key, Reply)> {
    let replies = kind.replies().into_iter();
    replies.map(|reply| (reply_key(reply), reply)).collect()
}

/// A key as it is written on the keyboard.
#[must_use]
pub fn key_name(key: Key) -> &'static str {
    crate::desk::keys::written(key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_answer_of_a_kind_has_a_key_of_its_own() {
        for kind in SeriesKind::ALL {
            let mut keys: Vec<Key> = reply_keys(kind).into_iter().map(|(key, _)| key).collect();
            assert!(!keys.contains(&Key::D) && !keys.contains(&Key::V) && !keys.contains(&Key::Z));
            let all = keys.len();
            keys.sort();
            keys.dedup();
            assert_eq!(keys.len(), all, "{kind}");
        }
    }

    #[test]
    fn any_remote_can_be_taught() {
        let mut remote = Remote::default();
        assert_eq!(remote.meant(Key::PageDown), Key::D);
        let asked = remote.teach();
        assert!(asked.contains("done as shown"), "{asked}");
        for key in [
            Key::F5,
            Key::B,
            Key::PageDown,
            Key::PageUp,
            Key::Escape,
            Key::Tab,
        ] {
            assert!(remote.teaching());
            remote.learn(key);
        }
        assert!(!remote.teaching());
        let meant = [
            Key::F5,
            Key::B,
            Key::PageDown,
            Key::PageUp,
            Key::Tab,
            Key::X,
        ];
        let ours = [Key::D, Key::V, Key::L, Key::J, Key::K, Key::X];
        assert_eq!(meant.map(|key| remote.meant(key)), ours);
    }
}
