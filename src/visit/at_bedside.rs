//! The steps done by hand: what the examiner enters becomes durable, one event at a time.

use super::{Output, Visit, VisitError};
use crate::bedside;
use crate::journal::{
    Answer, Body, Drawn, Entry, HowEnded, JournalError, Section, SeriesPlan, Store, Worksheet,
};
use crate::quantity::{Moment, Side};
use crate::stimulus::Reply;

/// What the examiner does by hand.
#[derive(Debug, Clone, PartialEq)]
pub enum AtBedside {
    /// Lays out the worksheet.
    Lay(Box<Worksheet>),
    /// Stands ready to hold the person.
    Ready {
        /// For which item.
        item: String,
        /// On which side.
        side: Option<Side>,
    },
    /// Enters a line.
    Enter(Entry),
    /// Has a series drawn and sealed.
    Draw {
        /// Which.
        wish: SeriesPlan,
        /// Whether it is worked through on paper.
        on_paper: bool,
    },
    /// Has done a prompt as shown.
    Done {
        /// Which, by its number in the visit.
        n: u32,
        /// When.
        at: Moment,
    },
    /// Enters the answer to a prompt.
    Reply {
        /// To which.
        n: u32,
        /// What was answered.
        reply: Reply,
        /// How long after, s; none if it is entered afterwards.
        after_s: Option<f64>,
    },
    /// Has not done a prompt as shown.
    Void {
        /// Which.
        n: u32,
        /// Why.
        reason: String,
    },
    /// Takes an answer back: it stays on record and does not count.
    TakeBack {
        /// To which prompt.
        n: u32,
        /// Why.
        reason: String,
    },
    /// Corrects an answer.
    Amend {
        /// To which prompt.
        n: u32,
        /// What it was.
        reply: Reply,
        /// Why.
        reason: String,
    },
    /// Ends a series before it is done.
    End {
        /// Which.
        series: u32,
        /// How.
        how: HowEnded,
        /// Why.
        reason: String,
    },
}

impl<S: Store> Visit<S> {
    /// What does not fit is refused, and nothing has changed; only a failing storage is an error
    /// of the journal.
    pub(super) fn at_bedside(
        &mut self,
        done: AtBedside,
        now: Moment,
    ) -> Result<Vec<Output>, VisitError> {
        let body = self.event_of(done)?;
        match self.quietly(body, now) {
            Err(VisitError::Journal(JournalError::OutOfPlace { source, .. })) => {
                Err(VisitError::Refused(source.to_string()))
            }
            other => other,
        }
    }

    fn event_of(&self, done: AtBedside) -> Result<Body, VisitError> {
        Ok(match done {
            AtBedside::Lay(worksheet) => Body::Laid(worksheet),
            AtBedside::Ready { item, side } => Body::Readied { item, side },
            AtBedside::Enter(entry) => Body::Entered(entry),
            AtBedside::Draw { wish, on_paper } => {
                Body::Drawn(Box::new(self.draw(&wish, on_paper)?))
            }
            AtBedside::Done { n, at } => Body::Arrived { n, began_s: at },
            AtBedside::Reply { n, reply, after_s } => Body::Answered {
                n,
                answer: Answer::Reply(reply),
                after_s,
            },
            AtBedside::Void { n, reason } => Body::Void { n, reason },
            AtBedside::TakeBack { n, reason } => Body::Undone { n, reason },
            AtBedside::Amend { n, reply, reason } => Body::Amended {
                n,
                answer: Answer::Reply(reply),
                reason,
            },
            AtBedside::End {
                series,
                how,
                reason,
            } => Body::Ended {
                section: Section::Series(series),
                how,
                reason,
            },
        })
    }

    fn draw(&self, wish: &SeriesPlan, on_paper: bool) -> Result<Drawn, VisitError> {
        if self.record().open().is_some() {
            let what = "a presentation is under way; pause first (P)";
            return Err(VisitError::Refused(what.into()));
        }
        bedside::draw(self.record(), wish, on_paper).map_err(VisitError::Refused)
    }
}
