//! Two turns, of which one has the tone: which of them it is now, and the choice between them.

use super::Session;
use crate::journal::{Answer, Trial};
use crate::procedure;
use crate::quantity::Moment;
use crate::stimulus::Task;
use std::time::Instant;

/// Where a choice between two turns stands. It tells nothing of the tone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Before the first, between the two, or after the second as long as it may still sound.
    Listen,
    /// The first.
    First,
    /// The second.
    Second,
    /// Both are over: which had it?
    Choose,
}

impl Session {
    /// Where the choice stands that is presented, or will be next; none where none is.
    #[must_use]
    pub fn turn(&self, now: Instant) -> Option<Turn> {
        self.turn_at(self.clock.moment(now))
    }

    /// Whether the person was told that of two turns one has the tone, and not yet that single tones
    /// come again.
    pub(super) fn takes_turns(&self) -> bool {
        self.explained == Some(Task::Interval)
    }

    pub(super) fn turn_at(&self, now: Moment) -> Option<Turn> {
        let Some(open) = self.record().open() else {
            // Between two choices the window stays as it is.
            let last = self.record().counted().next_back();
            let chosen = |trial: &Trial| trial.planned.presentation.task == Task::Interval;
            return last
                .filter(|last| self.takes_turns() && chosen(last))
                .map(|_| Turn::Listen);
        };
        let [first, second] = procedure::intervals(&open.planned.presentation)?;
        let Some(began) = self.visit.began_at() else {
            return Some(Turn::Listen);
        };
        let after_s = now.seconds_since(began);
        Some(if first.contains(&after_s) {
            Turn::First
        } else if second.contains(&after_s) {
            Turn::Second
        } else if after_s > *second.end() && self.delivering.whole() {
            Turn::Choose
        } else {
            Turn::Listen
        })
    }

    /// Takes a choice that was made by hand: never before both turns are over, whichever had the tone.
    pub(super) fn choose_turn(&mut self, interval: u8, chosen: Option<Instant>, at: Moment) {
        if self.turn_at(at) == Some(Turn::Choose) {
            let chosen = self.own_moment(chosen);
            self.choose(Answer::Interval(interval), chosen, at);
        }
    }
}
