//! What was read of the letters that are shown, as the examiner types or marks it.

use crate::journal::{MARKED_WRONG, Planned, UNSAID};
use crate::stimulus::Letter;
use eframe::egui::Key;

/// The letters of one presentation and what was said for each so far.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Spelling {
    n: u32,
    shown: Vec<char>,
    said: Vec<Option<char>>,
}

/// What a key did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spelled {
    /// Nothing: it means something else.
    Nothing,
    /// It was taken in.
    Kept,
    /// All letters are there: the answer.
    Done(String),
}

impl Spelling {
    /// Begins afresh when another presentation is shown; nothing if it has no letters.
    pub fn follow(&mut self, planned: Option<&Planned>) {
        let n = planned.map_or(0, |planned| planned.n);
        if n == self.n {
            return;
        }
        let parts = planned.map(|planned| planned.presentation.optotypes());
        let letters = parts
            .into_iter()
            .flatten()
            .filter_map(|part| part.symbol.letter());
        let shown: Vec<char> = letters.map(Letter::char).collect();
        *self = Spelling {
            n,
            said: vec![None; shown.len()],
            shown,
        };
    }

    /// Each letter and what was said for it.
    pub fn letters(&self) -> impl Iterator<Item = (char, Option<char>)> + '_ {
        self.shown.iter().copied().zip(self.said.iter().copied())
    }

    /// Takes a key: a letter, `-` where none was said, Backspace, or Enter when all are there. A
    /// single letter needs no Enter.
    pub fn key(&mut self, key: Key) -> Spelled {
        let name = key.name();
        let typed = match key {
            _ if self.shown.is_empty() => return Spelled::Nothing,
            Key::Minus => Some(UNSAID),
            Key::Backspace => {
                if let Some(last) = self.said.iter_mut().rev().find(|said| said.is_some()) {
                    *last = None;
                }
                return Spelled::Kept;
            }
            Key::Enter => return self.answer().map_or(Spelled::Nothing, Spelled::Done),
            _ => name
                .chars()
                .next()
                .filter(|one| name.len() == 1 && one.is_ascii_uppercase()),
        };
        let (Some(typed), Some(next)) = (typed, self.said.iter_mut().find(|said| said.is_none()))
        else {
            return if typed.is_some() {
                Spelled::Kept
            } else {
                Spelled::Nothing
            };
        };
        *next = Some(typed);
        match self.answer() {
            Some(answer) if self.shown.len() == 1 => Spelled::Done(answer),
            _ => Spelled::Kept,
        }
    }

    /// Marks a letter: right, then wrong, then not yet.
    pub fn mark(&mut self, place: usize) {
        if let (Some(shown), Some(said)) = (self.shown.get(place), self.said.get_mut(place)) {
            *said = match *said {
                None => Some(*shown),
                Some(letter) if letter == *shown => Some(MARKED_WRONG),
                Some(_) => None,
            };
        }
    }

    /// The answer, once there is something for every letter.
    #[must_use]
    pub fn answer(&self) -> Option<String> {
        let said: Option<String> = self.said.iter().copied().collect();
        said.filter(|said| !said.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{Proposer, Purpose};
    use crate::quantity::{Eye, LogMar, Mm};
    use crate::stimulus::{OptotypePart, OptotypeSet, Part, Presentation, Symbol, Task};

    fn planned(n: u32, letters: &[Letter]) -> Planned {
        let part = |letter: &Letter| {
            let symbol = Symbol::Letter(*letter);
            let (size, distance) = (LogMar(0.3), Mm(4000.0));
            let part = OptotypePart::plain(Eye::Left, OptotypeSet::Sloan, symbol, size, distance);
            Part::Optotype(part)
        };
        Planned {
            n,
            purpose: Purpose::Measure,
            by: Proposer::Procedure,
            presentation: Presentation {
                task: Task::Letters,
                window_s: None,
                parts: letters.iter().map(part).collect(),
            },
            slot: None,
            asking: 0,
        }
    }

    #[test]
    fn a_single_letter_is_one_key() {
        let mut spelling = Spelling::default();
        assert_eq!(spelling.key(Key::K), Spelled::Nothing);
        spelling.follow(Some(&planned(3, &[Letter::K])));
        assert_eq!(spelling.key(Key::F1), Spelled::Nothing);
        assert_eq!(spelling.key(Key::Enter), Spelled::Nothing);
        assert_eq!(spelling.key(Key::H), Spelled::Done("H".into()));
        spelling.follow(Some(&planned(4, &[Letter::K])));
        assert_eq!(spelling.key(Key::Minus), Spelled::Done("-".into()));
    }

    #[test]
    fn a_row_is_typed_or_marked_and_then_confirmed() {
        let mut spelling = Spelling::default();
        spelling.follow(Some(&planned(1, &[Letter::K, Letter::Z, Letter::R])));
        for key in [Key::K, Key::S, Key::Backspace, Key::Minus] {
            assert_eq!(spelling.key(key), Spelled::Kept);
        }
        assert_eq!(
            (spelling.key(Key::Enter), spelling.answer()),
            (Spelled::Nothing, None)
        );
        spelling.mark(2);
        assert_eq!(spelling.answer(), Some("K-R".into()));
        spelling.mark(2);
        assert_eq!(spelling.key(Key::Enter), Spelled::Done("K-*".into()));
        spelling.mark(2);
        assert_eq!(spelling.answer(), None);
        // More letters than are shown change nothing.
        spelling.key(Key::R);
        assert_eq!(spelling.key(Key::T), Spelled::Kept);
        assert_eq!(spelling.answer(), Some("K-R".into()));
        spelling.follow(None);
        assert_eq!(spelling.letters().count(), 0);
    }
}
