//! The worksheet by keys: one key a line.

use super::{ByHand, Mode, Words};
use crate::desk::session::Session;
use crate::journal::{Entry, Found};
use crate::visit::AtBedside;
use eframe::egui::Key;
use std::time::Instant;

/// The keys of what was found, under the left hand.
pub const FOUND: [(Key, Found); 6] = [
    (Key::F, Found::Normal),
    (Key::D, Found::Abnormal),
    (Key::S, Found::NotTested),
    (Key::A, Found::NotPossible),
    (Key::G, Found::Declined),
    (Key::W, Found::Noted),
];

impl ByHand {
    /// A key on the worksheet.
    pub(super) fn reel_key(&mut self, session: &mut Session, key: Key, now: Instant) -> bool {
        // The one key that stops a timer is any key: eyes and hands are with the person.
        if let Some(began) = self.timer.take() {
            let seconds = now.saturating_duration_since(began).as_secs_f64();
            self.number = format!("{seconds:.1}");
            self.message = Some(format!("Stopped at {seconds:.1} s. Now the finding."));
            return true;
        }
        if let Some((_, found)) = FOUND.iter().find(|(one, _)| *one == key) {
            self.find(session, *found, now);
            return true;
        }
        let count = self.worksheet(session).lines().count();
        match key {
            Key::J | Key::ArrowDown => self.go(self.line + 1, count),
            Key::K | Key::ArrowUp => self.go(self.line.saturating_sub(1), count),
            Key::L | Key::ArrowRight => self.go(self.next_nerve(session), count),
            Key::H | Key::ArrowLeft => self.go(self.nerve_before(session), count),
            Key::C => self.wanted = Some(Words::Comment),
            Key::N => self.wanted = Some(Words::Number),
            Key::I => self.wanted = Some(Words::Who),
            Key::O => self.wanted = Some(Words::Sheet),
            Key::R => self.mode = Mode::Choose,
            Key::Y => self.stand_ready(session, now),
            Key::T => self.start_timer(session, now),
            other => return self.take_grade(session, other),
        }
        true
    }

    fn go(&mut self, line: usize, count: usize) {
        self.line = line.min(count.saturating_sub(1));
        self.grade = None;
        self.comment.clear();
        self.number.clear();
    }

    fn next_nerve(&self, session: &Session) -> usize {
        let nerves: Vec<&str> = self.nerves(session);
        let here = nerves.get(self.line).copied();
        let after = |(at, nerve): (usize, &&str)| at > self.line && Some(*nerve) != here;
        nerves
            .iter()
            .enumerate()
            .position(after)
            .unwrap_or(nerves.len())
    }

    fn nerve_before(&self, session: &Session) -> usize {
        let nerves = self.nerves(session);
        let first_of = |mut at: usize| {
            while at > 0 && nerves[at - 1] == nerves[at] {
                at -= 1;
            }
            at
        };
        match self.line.min(nerves.len().saturating_sub(1)) {
            0 => 0,
            line if first_of(line) < line => first_of(line),
            line => first_of(line - 1),
        }
    }

    fn nerves<'a>(&'a self, session: &'a Session) -> Vec<&'a str> {
        let lines = self.worksheet(session).lines();
        lines.map(|(item, _)| item.nerve.as_str()).collect()
    }

    fn take_grade(&mut self, session: &Session, key: Key) -> bool {
        const FIGURES: [Key; 10] = [
            Key::Num1,
            Key::Num2,
            Key::Num3,
            Key::Num4,
            Key::Num5,
            Key::Num6,
            Key::Num7,
            Key::Num8,
            Key::Num9,
            Key::Num0,
        ];
        let Some(place) = FIGURES.iter().position(|one| *one == key) else {
            return false;
        };
        let grades = self.line(session).map_or(0, |(item, _)| item.grades.len());
        if place < grades {
            self.grade = Some(place);
        }
        true
    }

    fn find(&mut self, session: &mut Session, found: Found, now: Instant) {
        if self.who.trim().is_empty() {
            self.wanted = Some(Words::Who);
            self.message = Some("First: who looks? Enter goes on.".into());
            return;
        }
        if session.record().bedside().worksheet().is_none() {
            let sheet = Box::new(self.sheet.clone());
            if !self.enter(session, AtBedside::Lay(sheet), now) {
                return;
            }
        }
        let Some((item, side)) = self.line(session) else {
            return;
        };
        let done = matches!(found, Found::Normal | Found::Abnormal);
        let grade = self.grade.and_then(|place| item.grades.get(place)).cloned();
        let number = match self.number.trim().replace(',', ".") {
            typed if typed.is_empty() || !done => Ok(None),
            typed => typed.parse::<f64>().map(Some),
        };
        let Ok(number) = number else {
            self.message = Some(format!("Expected a number, found {:?}.", self.number));
            return;
        };
        let entry = Entry {
            item: item.id.clone(),
            side,
            found,
            grade: grade.filter(|_| done),
            number,
            comment: self.comment.trim().to_owned(),
            who: self.who.trim().to_owned(),
        };
        if self.enter(session, AtBedside::Enter(entry), now) {
            let count = self.worksheet(session).lines().count();
            self.go(self.line + 1, count);
        }
    }

    fn stand_ready(&mut self, session: &mut Session, now: Instant) {
        let Some((item, side)) = self.line(session) else {
            return;
        };
        if !item.hold_ready {
            self.message = Some("Nobody has to stand ready at this line.".into());
            return;
        }
        let item = item.id.clone();
        if session.record().bedside().worksheet().is_none() {
            let sheet = Box::new(self.sheet.clone());
            self.enter(session, AtBedside::Lay(sheet), now);
        }
        self.enter(session, AtBedside::Ready { item, side }, now);
    }

    /// Whether somebody has to stand ready at the line under the hand, and does not yet.
    #[must_use]
    pub fn locked(&self, session: &Session) -> bool {
        self.line(session).is_some_and(|(item, side)| {
            item.hold_ready && !session.record().bedside().ready(&item.id, side)
        })
    }

    fn start_timer(&mut self, session: &Session, now: Instant) {
        let timed = self
            .line(session)
            .is_some_and(|(item, _)| item.unit.as_deref() == Some("s"));
        if !timed {
            self.message = Some("Nothing is timed at this line.".into());
        } else if self.locked(session) {
            self.message =
                Some("Locked: Y first, when somebody stands ready to hold the person.".into());
        } else {
            self.timer = Some(now);
        }
    }
}
