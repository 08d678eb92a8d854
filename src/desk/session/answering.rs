//! Who answers: a living person's hand or the examiner's, or a simulated person, later.

use super::Session;
use crate::journal::{Answer, Phrase, WhoPressed};
use crate::person::{Person, Response};
use crate::quantity::Moment;
use crate::stimulus::Prompted;
use crate::visit::Input;

/// Who answers.
pub enum Answers {
    /// A living person; the default hand that marks.
    Living(WhoPressed),
    /// A simulated one.
    Simulated(Box<dyn Person>),
}

/// Something that a simulated person or the offline station does later.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Later {
    Press,
    Choose(Answer),
    Whole(u32),
    Hide(u32),
}

impl Session {
    /// What a simulated person says to prompt `n`; a living one says it aloud.
    pub fn ask(&mut self, n: u32, prompted: &Prompted<'_>) -> Option<String> {
        let Answers::Simulated(person) = &mut self.answers else {
            return None;
        };
        match person.reply(n, prompted) {
            Ok(replied) => Some(replied.reply.words()),
            Err(error) => {
                self.message = Some(error.to_string());
                None
            }
        }
    }

    /// The examiner says something; a living person hears it without us.
    pub(super) fn say(&mut self, phrase: Phrase, at: Moment) {
        if let Answers::Simulated(person) = &mut self.answers {
            person.told(phrase);
        }
        self.step(Input::Say(phrase), at);
    }

    pub(super) fn let_answer(&mut self, n: u32, at: Moment) {
        let Answers::Simulated(person) = &mut self.answers else {
            return;
        };
        let Some(open) = self
            .visit
            .record()
            .open()
            .filter(|open| open.planned.n == n)
        else {
            return;
        };
        person.begins(at);
        match person.answer(n, &open.planned.presentation) {
            Ok(Response::Presses(presses)) => {
                for after_s in presses {
                    self.schedule(at.plus_seconds(after_s), Later::Press);
                }
            }
            Ok(Response::Facing { facing, after_s }) => {
                let answer = Answer::Facing(facing);
                self.schedule(at.plus_seconds(after_s), Later::Choose(answer));
            }
            Ok(Response::Letters { letters, after_s }) => {
                let answer = Answer::Letters(letters);
                let at = at.plus_seconds(after_s.unwrap_or_default());
                self.schedule(at, Later::Choose(answer));
            }
            Ok(Response::Sees { sees, after_s }) => {
                let at = at.plus_seconds(after_s.unwrap_or_default());
                self.schedule(at, Later::Choose(Answer::Sees(sees)));
            }
            Ok(Response::Interval(interval)) => {
                let sounds = open.planned.presentation.sounds();
                let ends_s = sounds.map(|sound| sound.end_s).fold(0.0, f64::max);
                let answer = Answer::Interval(interval);
                // Said once both intervals are over.
                self.schedule(at.plus_seconds(ends_s + 1.0), Later::Choose(answer));
            }
            Ok(Response::Count(_)) => {}
            Err(error) => self.message = Some(error.to_string()),
        }
    }
}
