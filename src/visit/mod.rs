//! The loop as a state machine: `step(input, now)` gives outputs. It never waits and owns no
//! clock: the desk polls it, a study spins it.
//!
//! The order that keeps every trial true: a presentation is durable in the journal before it is
//! delivered; it becomes a trial only after the station has said that it arrived whole; the next
//! one is planned only after what became of it is durable.

mod at_bedside;
mod exchange;

pub use at_bedside::AtBedside;
pub use exchange::{Input, Output, VisitError};

use crate::journal::{
    Answer, Asked, Asking, Body, Journal, Planned, Procedure, Proposer, Record, Section, Store,
    named,
};
use crate::procedure::{self, HandRequest, Next, Proposal};
use crate::quantity::Moment;
use crate::stimulus::Task;

/// How long after the end of a slot the station may still be silent about it before the
/// presentation is void, s (our choice: far longer than any buffer).
const STATION_PATIENCE_S: f64 = 3.0;
/// So many presentations in a row of which the station said nothing pause the visit (our choice).
const MOST_UNHEARD: u32 = 3;

/// Where the open presentation stands.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Delivery {
    /// Handed to the station at this moment.
    Sent(Moment),
    /// Begun at this moment; `whole` once the station has said so.
    Begun { at: Moment, whole: bool },
}

/// A visit under way.
pub struct Visit<S> {
    journal: Journal<S>,
    automatic: bool,
    delivery: Option<Delivery>,
    plan_done: bool,
    /// Presentations in a row of which the station said nothing.
    unheard: u32,
}

impl<S: Store> Visit<S> {
    /// A visit over a journal that has just begun, or been opened to go on with. A presentation
    /// that had been planned and not settled is given again, under its number.
    #[must_use]
    pub fn over(journal: Journal<S>) -> Self {
        Visit {
            journal,
            automatic: true,
            delivery: None,
            plan_done: false,
            unheard: 0,
        }
    }

    /// Says in the journal that the visit goes on after the program had ended.
    ///
    /// # Errors
    /// If the journal fails.
    pub fn resume(&mut self, now: Moment) -> Result<(), VisitError> {
        let gives_again = self.record().open().map(|open| open.planned.n);
        self.keep(Body::Resumed { gives_again }, now)
    }

    /// What the journal holds so far.
    #[must_use]
    pub fn record(&self) -> &Record {
        self.journal.record()
    }

    /// The journal.
    #[must_use]
    pub fn journal(&self) -> &Journal<S> {
        &self.journal
    }

    /// The journal as it is stored, byte for byte.
    ///
    /// # Errors
    /// What the storage says.
    pub fn stored(&mut self) -> std::io::Result<Vec<u8>> {
        self.journal.bytes()
    }

    /// Whether the procedure proposes.
    #[must_use]
    pub fn automatic(&self) -> bool {
        self.automatic
    }

    /// Whether the plan is carried out.
    #[must_use]
    pub fn plan_done(&self) -> bool {
        self.plan_done
    }

    /// When what is presented began; none before, and where nothing is.
    #[must_use]
    pub fn began_at(&self) -> Option<Moment> {
        match self.delivery {
            Some(Delivery::Begun { at, .. }) => Some(at),
            _ => None,
        }
    }

    /// When the open slot closes, if it has begun.
    #[must_use]
    pub fn slot_ends(&self) -> Option<Moment> {
        let slot = self.record().open()?.planned.slot?;
        Some(self.began_at()?.plus_seconds(slot.window_s))
    }

    /// Takes an input in and says what is to be done.
    ///
    /// # Errors
    /// If the journal fails or has failed (then nothing more may be presented, and whoever holds
    /// the devices silences them), or the input asks for something that cannot be presented.
    pub fn step(&mut self, input: Input, now: Moment) -> Result<Vec<Output>, VisitError> {
        self.journal.must_work()?;
        if self.record().closed() {
            return self.after_the_end(input, now);
        }
        // A press within the window counts, also when it is told of after the window has closed.
        let in_window = |at| self.slot_ends().is_some_and(|ends| at <= ends);
        let answer = matches!(input, Input::Press { at, .. } if in_window(at));
        let mut outputs = Vec::new();
        if answer {
            outputs.extend(self.take(input, now)?);
            outputs.extend(self.settle_slot(now)?);
            return Ok(outputs);
        }
        // Otherwise what the slot was is settled first; the input then meets an idle visit.
        outputs.extend(self.settle_slot(now)?);
        if outputs.is_empty() || input != Input::Tick {
            outputs.extend(self.take(input, now)?);
        }
        Ok(outputs)
    }

    /// After the end only notes are taken; what a hand or a station does late means nothing.
    fn after_the_end(&mut self, input: Input, now: Moment) -> Result<Vec<Output>, VisitError> {
        match input {
            Input::Note(text) => self.quietly(Body::Noted { text }, now),
            Input::Acts(who) => self.quietly(Body::Acts(who), now),
            Input::Bedside(done @ AtBedside::Amend { .. }) => self.at_bedside(done, now),
            Input::Reveal(exercise) => self.quietly(Body::Revealed { exercise }, now),
            Input::Tick
            | Input::Press { .. }
            | Input::Choose { .. }
            | Input::Name { .. }
            | Input::Sees { .. }
            | Input::ChooseInterval { .. }
            | Input::Began { .. }
            | Input::Whole { .. }
            | Input::Failed { .. } => Ok(Vec::new()),
            _ => Err(VisitError::Refused("the visit is closed".into())),
        }
    }

    fn take(&mut self, input: Input, now: Moment) -> Result<Vec<Output>, VisitError> {
        match input {
            Input::Tick => self.tick(now),
            Input::Began { n, at } => {
                self.began(n, at);
                Ok(Vec::new())
            }
            Input::Whole { n } => self.whole(n, now),
            Input::Failed { n, reason } => self.fail(n, reason, now),
            Input::Press { at, who } => self.quietly(Body::Pressed { at_s: at, who }, now),
            Input::Choose { facing, at } => self.choose(Answer::Facing(facing), at, now),
            Input::ChooseInterval { interval, at } => {
                self.choose(Answer::Interval(interval), at, now)
            }
            Input::Name { letters, at } => self.choose(Answer::Letters(letters), at, now),
            Input::Sees { sees, at } => self.choose(Answer::Sees(sees), at, now),
            Input::Ask(asking) => self.ask(asking, now),
            Input::TakeUp { section, reason } => self.take_up(section, reason, now),
            Input::Tell(told) => self.quietly(Body::Told(told), now),
            Input::Hand(request) => self.by_hand(request, now),
            Input::Automatic(automatic) => {
                self.automatic = automatic;
                Ok(Vec::new())
            }
            Input::Pause { reason } => self.pause(reason, now),
            Input::Continue => self.quietly(Body::Continued {}, now),
            Input::UndoLast { reason } => self.undo_last(reason, now),
            Input::End {
                section,
                how,
                reason,
            } => {
                let why = reason.clone();
                let ended = Body::Ended {
                    section,
                    how,
                    reason,
                };
                self.cut_short(&why, ended, now)
            }
            Input::Enough { eye, asking } => {
                let this = |one: &Asked| one.eye == eye && one.number == asking;
                if !self.record().asked().iter().any(this) {
                    return Err(VisitError::Refused("there is no such asking".into()));
                }
                self.cut_short("the examiner has enough", Body::Enough { eye, asking }, now)
            }
            Input::Note(text) => self.quietly(Body::Noted { text }, now),
            Input::Acts(who) => self.quietly(Body::Acts(who), now),
            Input::Sound(note) => self.quietly(note.into(), now),
            Input::MeasureBy(procedure) => self.measure_by(procedure, now),
            Input::Bedside(done) => self.at_bedside(done, now),
            Input::Say(phrase) => self.quietly(Body::Said { phrase }, now),
            Input::Coach(on) => self.quietly(Body::Coached { on }, now),
            Input::Conclude(conclusion) => self.quietly(Body::Concluded(conclusion), now),
            Input::Reveal(_) => Err(VisitError::Refused(
                "who it was is revealed after the end".into(),
            )),
            Input::Close => self.cut_short("the visit was closed", Body::Closed {}, now),
        }
    }

    /// Appends an event and makes it durable.
    fn keep(&mut self, body: Body, now: Moment) -> Result<(), VisitError> {
        self.journal.append(body, now)?;
        Ok(self.journal.sync()?)
    }

    fn measure_by(&mut self, procedure: String, now: Moment) -> Result<Vec<Output>, VisitError> {
        let measures = Procedure::measuring(&procedure).is_some();
        if !measures || self.record().opening.plan.hearing.is_none() {
            let problem = format!("{procedure:?} measures no threshold of this visit");
            return Err(VisitError::Refused(problem));
        }
        self.quietly(Body::MeasuredBy { procedure }, now)
    }

    /// One more way of asking an eye, after those that are open.
    fn ask(&mut self, asking: Box<Asking>, now: Moment) -> Result<Vec<Output>, VisitError> {
        let Some(plan) = &self.record().opening.plan.sight else {
            return Err(VisitError::Refused(
                "the plan of this visit has no sight".into(),
            ));
        };
        let checked = asking.check("asking", plan);
        checked.map_err(|error| VisitError::Refused(error.to_string()))?;
        self.plan_done = false;
        self.quietly(Body::Asked(asking), now)
    }

    fn take_up(
        &mut self,
        section: Section,
        reason: String,
        now: Moment,
    ) -> Result<Vec<Output>, VisitError> {
        if self.record().ended(section).is_none() {
            return Err(VisitError::Refused(
                "there is nothing to take up again".into(),
            ));
        }
        self.plan_done = false;
        self.quietly(Body::TakenUp { section, reason }, now)
    }

    fn quietly(&mut self, body: Body, now: Moment) -> Result<Vec<Output>, VisitError> {
        self.keep(body, now)?;
        Ok(Vec::new())
    }

    fn tick(&mut self, now: Moment) -> Result<Vec<Output>, VisitError> {
        let waits_since = match self.delivery {
            Some(Delivery::Sent(at)) => Some(at),
            Some(Delivery::Begun { at, whole: false }) if self.slot_ends().is_none() => {
                Some(at.plus_seconds(self.sounds_for_s()))
            }
            _ => None,
        };
        if waits_since.is_some_and(|at| now.seconds_since(at) > STATION_PATIENCE_S)
            && let Some(n) = self.open_number()
        {
            let outputs = self.fail(n, "the station did not say that it arrived".into(), now)?;
            self.count_unheard(now)?;
            return Ok(outputs);
        }
        if self.delivery.is_some() || self.record().paused() || self.record().closed() {
            return Ok(Vec::new());
        }
        if let Some(open) = self.record().open() {
            let planned = open.planned.clone();
            return Ok(self.deliver(planned, now));
        }
        if self.automatic {
            self.propose(now)
        } else {
            Ok(Vec::new())
        }
    }

    fn propose(&mut self, now: Moment) -> Result<Vec<Output>, VisitError> {
        match procedure::next(self.record()) {
            Next::Present(proposal) => self.plan(proposal, Proposer::Procedure, now),
            Next::End {
                section,
                how,
                reason,
            } => self.quietly(
                Body::Ended {
                    section,
                    how,
                    reason,
                },
                now,
            ),
            Next::Ask(asking) => self.quietly(Body::Asked(asking), now),
            Next::Finished if self.plan_done => Ok(Vec::new()),
            Next::Finished => {
                self.plan_done = true;
                Ok(vec![Output::PlanDone])
            }
        }
    }

    fn plan(
        &mut self,
        proposal: Proposal,
        by: Proposer,
        now: Moment,
    ) -> Result<Vec<Output>, VisitError> {
        let Proposal {
            purpose,
            presentation,
            slot,
            asking,
        } = proposal;
        let planned = Planned {
            n: self.record().next_number(),
            purpose,
            by,
            presentation,
            slot,
            asking,
        };
        self.keep(Body::Planned(planned.clone()), now)?;
        Ok(self.deliver(planned, now))
    }

    fn deliver(&mut self, planned: Planned, now: Moment) -> Vec<Output> {
        self.delivery = Some(Delivery::Sent(now));
        vec![Output::Deliver(planned)]
    }

    fn by_hand(&mut self, request: HandRequest, now: Moment) -> Result<Vec<Output>, VisitError> {
        if self.record().open().is_some() {
            return Err(VisitError::Refused("one presentation at a time".into()));
        }
        if self.record().paused() || self.record().closed() {
            return Err(VisitError::Refused("the visit is paused or closed".into()));
        }
        let proposal = procedure::by_hand(self.record(), request).map_err(VisitError::Refused)?;
        self.plan(proposal, Proposer::Examiner, now)
    }

    /// How long the open presentation sounds, s.
    fn sounds_for_s(&self) -> f64 {
        let open = self.record().open();
        let sounds = open
            .iter()
            .flat_map(|open| open.planned.presentation.sounds());
        sounds.map(|sound| sound.end_s).fold(0.0, f64::max)
    }

    fn open_number(&self) -> Option<u32> {
        self.record().open().map(|open| open.planned.n)
    }

    fn is_open(&self, n: u32) -> bool {
        self.delivery.is_some() && self.open_number() == Some(n)
    }

    fn began(&mut self, n: u32, at: Moment) {
        let sent = matches!(self.delivery, Some(Delivery::Sent(_)));
        if sent && self.is_open(n) {
            self.delivery = Some(Delivery::Begun { at, whole: false });
        }
    }

    /// A choice waits for its answer as long as it takes; a slot is settled when its window
    /// closes.
    fn whole(&mut self, n: u32, now: Moment) -> Result<Vec<Output>, VisitError> {
        let Some(Delivery::Begun { at, whole: false }) = self.delivery else {
            return Ok(Vec::new());
        };
        if !self.is_open(n) {
            return Ok(Vec::new());
        }
        self.delivery = Some(Delivery::Begun { at, whole: true });
        self.unheard = 0;
        let task = self
            .record()
            .open()
            .map(|open| open.planned.presentation.task);
        if task != Some(Task::Detect) {
            self.keep(Body::Arrived { n, began_s: at }, now)?;
        }
        Ok(Vec::new())
    }

    /// Settles a slot whose window has closed.
    fn settle_slot(&mut self, now: Moment) -> Result<Option<Output>, VisitError> {
        let (Some(Delivery::Begun { at, whole }), Some(ends)) = (self.delivery, self.slot_ends())
        else {
            return Ok(None);
        };
        let Some(n) = self.open_number().filter(|_| now >= ends) else {
            return Ok(None);
        };
        if whole {
            self.unheard = 0;
            self.keep(Body::Arrived { n, began_s: at }, now)?;
        } else if now.seconds_since(ends) > STATION_PATIENCE_S {
            let reason = "the station did not say that it arrived whole".into();
            self.keep(Body::Void { n, reason }, now)?;
            self.count_unheard(now)?;
        } else {
            return Ok(None);
        }
        self.delivery = None;
        Ok(Some(Output::Settled(n)))
    }

    /// A station that says nothing is not fed for ever.
    fn count_unheard(&mut self, now: Moment) -> Result<(), VisitError> {
        self.unheard += 1;
        if self.unheard < MOST_UNHEARD {
            return Ok(());
        }
        self.unheard = 0;
        let reason = format!("the station said nothing of {MOST_UNHEARD} presentations in a row");
        self.keep(Body::Paused { reason }, now)
    }

    fn fail(&mut self, n: u32, reason: String, now: Moment) -> Result<Vec<Output>, VisitError> {
        if !self.is_open(n) {
            return Ok(Vec::new());
        }
        self.delivery = None;
        self.keep(Body::Void { n, reason }, now)?;
        Ok(vec![Output::Silence, Output::Settled(n)])
    }

    fn choose(
        &mut self,
        answer: Answer,
        at: Option<Moment>,
        now: Moment,
    ) -> Result<Vec<Output>, VisitError> {
        let (
            Some(open),
            Some(Delivery::Begun {
                at: began,
                whole: true,
            }),
        ) = (self.record().open(), self.delivery)
        else {
            return Ok(Vec::new());
        };
        let n = open.planned.n;
        let presentation = &open.planned.presentation;
        // A direction answers nothing but a direction's question; in a slot it answers nothing.
        let answer = match (presentation.task, answer) {
            (Task::Facing, answer @ Answer::Facing(_))
            | (Task::Sees, answer @ Answer::Sees(_))
            | (Task::Interval, answer @ Answer::Interval(1 | 2)) => answer,
            (Task::Letters, Answer::Letters(letters)) => {
                let letters = named(&letters, presentation.optotypes().count());
                Answer::Letters(letters.map_err(VisitError::Refused)?)
            }
            _ => return Ok(Vec::new()),
        };
        let after_s = at.map(|at| at.seconds_since(began));
        self.delivery = None;
        self.keep(Body::Answered { n, answer, after_s }, now)?;
        Ok(vec![Output::Silence, Output::Settled(n)])
    }

    fn pause(&mut self, reason: String, now: Moment) -> Result<Vec<Output>, VisitError> {
        let mut outputs = vec![Output::Silence];
        outputs.extend(self.abandon(&reason, now)?);
        if !self.record().paused() {
            self.keep(Body::Paused { reason }, now)?;
        }
        Ok(outputs)
    }

    /// Keeps what ends something that is under way, whose open presentation becomes void.
    fn cut_short(&mut self, why: &str, ends: Body, now: Moment) -> Result<Vec<Output>, VisitError> {
        let mut outputs = self.abandon(why, now)?;
        self.keep(ends, now)?;
        outputs.push(Output::Silence);
        Ok(outputs)
    }

    /// Makes the open presentation void.
    fn abandon(&mut self, reason: &str, now: Moment) -> Result<Vec<Output>, VisitError> {
        self.delivery = None;
        let Some(n) = self.open_number() else {
            return Ok(Vec::new());
        };
        self.keep(
            Body::Void {
                n,
                reason: reason.into(),
            },
            now,
        )?;
        Ok(vec![Output::Settled(n)])
    }

    fn undo_last(&mut self, reason: String, now: Moment) -> Result<Vec<Output>, VisitError> {
        let last = self
            .record()
            .counted()
            .next_back()
            .map(|trial| trial.planned.n);
        let Some(n) = last else {
            return Err(VisitError::Refused("there is no trial to take back".into()));
        };
        self.plan_done = false;
        // What is under way rests on the trial that is taken back.
        let mut outputs = self.abandon("the trial before it was taken back", now)?;
        outputs.push(Output::Silence);
        self.keep(Body::Undone { n, reason }, now)?;
        Ok(outputs)
    }
}
