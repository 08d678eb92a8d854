//! The fold of the events: what was presented and what was answered.

use super::asking::{Asked, Asking};
use super::bedside::Bedside;
use super::event::{Answer, Body, FORMAT, HowEnded, Opening, Planned, Section, WhoPressed, named};
use super::hands::{Acting, Remark, Remarked};
use super::history::Told;
use super::outside::OutsideResults;
use super::plan::Plan;
use super::practice::Practice;
use super::rules::Procedure;
use super::sound::{Listened, OutputOpened, Played};
use super::trial::{LATE_S, Open, Outcome, Press, PressKind, REACTION_S, Trial, Void};
use crate::quantity::{Eye, Moment};
use crate::stimulus::{Presentation, Task, ToneSlot};

/// An event that cannot follow the events before it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct OutOfPlace(String);

impl OutOfPlace {
    pub(super) fn new(why: impl Into<String>) -> OutOfPlace {
        OutOfPlace(why.into())
    }

    /// A journal of another format.
    pub(super) fn format(found: u32) -> OutOfPlace {
        OutOfPlace(format!("format: expected {FORMAT}, found {found}"))
    }
}

/// What the journal holds so far.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// The first event; its plan names the procedure that measures now ([`Record::plan_at_first`] is as
    /// it was opened).
    pub opening: Opening,
    trials: Vec<Trial>,
    open: Option<Open>,
    voids: Vec<Void>,
    presses: Vec<Press>,
    /// Section, how, why, and how many askings there were by then: later ones are open.
    ended: Vec<(Section, HowEnded, String, u32)>,
    /// From which presentation on a section was taken up again.
    taken_up: Vec<(Section, u32)>,
    /// What was asked for during the visit.
    asked: Vec<Asking>,
    /// The askings, by eye and number, of which the examiner has enough.
    enough: Vec<(Eye, u32)>,
    told: Vec<Told>,
    paused: bool,
    closed: bool,
    next_number: u32,
    last_moment: Moment,
    /// The latest tone, if it was not answered, and when its window closed.
    unanswered_tone: Option<(u32, Moment)>,
    bedside: Bedside,
    acting: Option<Acting>,
    remarks: Vec<Remark>,
    outside: Vec<OutsideResults>,
    practice: Practice,
    outputs: Vec<OutputOpened>,
    listened: Option<Listened>,
    played: Vec<Played>,
    /// The opening's plan, if the procedure was changed since.
    first_plan: Option<Box<Plan>>,
    changes: Vec<(u32, String)>,
}

impl Record {
    /// The record of a visit that has just begun.
    #[must_use]
    pub fn new(opening: Opening) -> Record {
        let sight = opening.plan.sight.as_ref();
        let told = sight.map_or(Vec::new(), |sight| sight.history.clone());
        Record {
            opening,
            taken_up: Vec::new(),
            asked: Vec::new(),
            enough: Vec::new(),
            told,
            trials: Vec::new(),
            open: None,
            voids: Vec::new(),
            presses: Vec::new(),
            ended: Vec::new(),
            paused: false,
            closed: false,
            next_number: 1,
            last_moment: Moment::START,
            unanswered_tone: None,
            bedside: Bedside::default(),
            acting: None,
            remarks: Vec::new(),
            outside: Vec::new(),
            practice: Practice::default(),
            outputs: Vec::new(),
            listened: None,
            played: Vec::new(),
            first_plan: None,
            changes: Vec::new(),
        }
    }

    /// The plan with which the visit was opened, whatever was changed since.
    #[must_use]
    pub fn plan_at_first(&self) -> &Plan {
        self.first_plan.as_deref().unwrap_or(&self.opening.plan)
    }

    /// The changes of the procedure that measures: from which presentation on, and its name.
    #[must_use]
    pub fn procedure_changes(&self) -> &[(u32, String)] {
        &self.changes
    }

    /// What was done by hand.
    #[must_use]
    pub fn bedside(&self) -> &Bedside {
        &self.bedside
    }

    /// Who acts now, if that is known.
    #[must_use]
    pub fn acting(&self) -> Option<&Acting> {
        self.acting.as_ref()
    }

    /// Notes and corrections in order; those entered after the visit was over are marked late.
    #[must_use]
    pub fn remarks(&self) -> &[Remark] {
        &self.remarks
    }

    /// Results of somewhere else that were entered by hand.
    #[must_use]
    pub fn outside(&self) -> &[OutsideResults] {
        &self.outside
    }

    /// What belongs to practice.
    #[must_use]
    pub fn practice(&self) -> &Practice {
        &self.practice
    }

    /// The sound outputs that were opened, in order.
    #[must_use]
    pub fn outputs(&self) -> &[OutputOpened] {
        &self.outputs
    }

    /// What the examiner heard before anybody else, if that was needed.
    #[must_use]
    pub fn listened(&self) -> Option<&Listened> {
        self.listened.as_ref()
    }

    /// What was played that is no presentation, in order.
    #[must_use]
    pub fn played(&self) -> &[Played] {
        &self.played
    }

    /// All trials in order, also those that were undone.
    #[must_use]
    pub fn trials(&self) -> &[Trial] {
        &self.trials
    }

    /// The trials that count, in order.
    #[must_use]
    pub fn counted(&self) -> impl DoubleEndedIterator<Item = &Trial> {
        self.trials.iter().filter(|trial| !trial.undone)
    }

    /// All that is asked of the eyes, in order: by the plan of each eye first, by its list, and
    /// during the visit.
    #[must_use]
    pub fn asked(&self) -> Vec<Asked> {
        let Some(plan) = &self.opening.plan.sight else {
            return Vec::new();
        };
        let set_up = self.opening.set_up.distance_mm;
        let first = plan.eyes.iter().map(|eye| {
            let own = Asking::of(*eye).over(plan);
            Asked::new(0, *eye, own, set_up)
        });
        let also = plan.also.iter().chain(&self.asked);
        let also = (1..)
            .zip(also)
            .map(|(number, asking)| Asked::new(number, asking.eye, asking.over(plan), set_up));
        first.chain(also).collect()
    }

    /// The trials of one asking that count, in order: choices and what was shown by hand.
    #[must_use]
    pub fn of_asked(&self, asked: &Asked) -> impl DoubleEndedIterator<Item = &Trial> + use<'_> {
        let (number, eye) = (asked.number, asked.eye);
        self.counted().filter(move |trial| {
            trial.planned.asking == number && trial.planned.presentation.eye() == Some(eye)
        })
    }

    /// What the person told of their eyes: the latest answer to each question.
    #[must_use]
    pub fn told(&self) -> Vec<&Told> {
        let mut latest: Vec<&Told> = Vec::new();
        for told in &self.told {
            latest.retain(|one| one.about != told.about);
            latest.push(told);
        }
        latest.sort_by_key(|one| one.about);
        latest
    }

    /// The choice trials of one eye that count, in order.
    #[must_use]
    pub fn of_eye(&self, eye: Eye) -> impl DoubleEndedIterator<Item = &Trial> {
        self.counted()
            .filter(move |trial| trial.optotype().is_some_and(|shown| shown.eye == eye))
    }

    /// The presentation that is not settled yet.
    #[must_use]
    pub fn open(&self) -> Option<&Open> {
        self.open.as_ref()
    }

    /// The presentations that did not arrive whole.
    #[must_use]
    pub fn voids(&self) -> &[Void] {
        &self.voids
    }

    /// The presses that answered nothing.
    #[must_use]
    pub fn presses(&self) -> &[Press] {
        &self.presses
    }

    /// How a section ended before it was done, if it did.
    #[must_use]
    pub fn ended(&self, section: Section) -> Option<(HowEnded, &str)> {
        let found = self.ended.iter().find(|(which, ..)| *which == section);
        found.map(|(_, how, reason, _)| (*how, reason.as_str()))
    }

    /// How an asking ended before it was done, if it did: with its eye, unless it was asked for
    /// afterwards.
    #[must_use]
    pub fn ended_asking(&self, asked: &Asked) -> Option<(HowEnded, &str)> {
        let section = Section::Eye(asked.eye);
        let mut found = self.ended.iter().filter(|(which, ..)| *which == section);
        let found = found.find(|(.., askings)| asked.number <= *askings);
        found.map(|(_, how, reason, _)| (*how, reason.as_str()))
    }

    /// Whether the examiner has enough of an asking.
    #[must_use]
    pub fn has_enough(&self, asked: &Asked) -> bool {
        self.enough.contains(&(asked.eye, asked.number))
    }

    /// The number of the first presentation after a section was taken up again; 0 if it never was.
    #[must_use]
    pub fn taken_up_from(&self, section: Section) -> u32 {
        let latest = self.taken_up.iter().rfind(|(which, _)| *which == section);
        latest.map_or(0, |(_, from)| *from)
    }

    fn askings(&self) -> u32 {
        let plan = self.opening.plan.sight.as_ref();
        (plan.map_or(0, |plan| plan.also.len()) + self.asked.len()) as u32
    }

    fn ask(&mut self, asking: &Asking) -> Result<(), OutOfPlace> {
        let Some(plan) = &self.opening.plan.sight else {
            return Err(OutOfPlace("expected sight in the plan".into()));
        };
        let checked = asking.check("asked", plan);
        checked.map_err(|error| OutOfPlace(error.to_string()))?;
        self.asked.push(asking.clone());
        Ok(())
    }

    fn suffice(&mut self, eye: Eye, asking: u32) -> Result<(), OutOfPlace> {
        let this = |one: &Asked| one.eye == eye && one.number == asking;
        if !self.asked().iter().any(this) {
            return Err(OutOfPlace("expected an asking of this visit".into()));
        }
        self.enough.push((eye, asking));
        Ok(())
    }

    /// Whether a pause is on.
    #[must_use]
    pub fn paused(&self) -> bool {
        self.paused
    }

    /// Whether the visit is over.
    #[must_use]
    pub fn closed(&self) -> bool {
        self.closed
    }

    /// The number that the next presentation gets.
    #[must_use]
    pub fn next_number(&self) -> u32 {
        self.next_number
    }

    /// When the last event happened.
    #[must_use]
    pub fn last_moment(&self) -> Moment {
        self.last_moment
    }

    /// Takes in the next event.
    ///
    /// # Errors
    /// If it cannot follow the events before it; then nothing has changed.
    pub(super) fn fold(&mut self, body: &Body, at: Moment) -> Result<(), OutOfPlace> {
        let refuse = |why: String| Err(OutOfPlace(why));
        // A late entry may be cut off while it is written, as any other.
        let late = matches!(
            body,
            Body::Noted { .. }
                | Body::Amended { .. }
                | Body::Acts(_)
                | Body::Revealed { .. }
                | Body::Repaired { .. }
        );
        if self.closed && !late {
            return refuse("expected nothing but notes after the visit was closed".into());
        }
        let before = self.outcome_before(body);
        if let Some(done) = self.bedside.fold(body, at, &mut self.next_number) {
            done.map_err(OutOfPlace)?;
            self.remark(body, at, before);
            self.last_moment = self.last_moment.max(at);
            return Ok(());
        }
        let person = &self.opening.person;
        if let Some(done) = self
            .practice
            .fold(body, at, self.next_number, person, self.closed)
        {
            self.last_moment = self.last_moment.max(at);
            return done;
        }
        match body {
            Body::Opened(_) => return refuse("expected one opening only, at line 1".into()),
            Body::Planned(planned) => self.plan(planned, at)?,
            Body::Arrived { n, began_s } => self.arrive(*n, *began_s)?,
            Body::Void { n, reason } => self.void(*n, reason)?,
            Body::Pressed { at_s, who } => self.press(*at_s, *who),
            Body::Answered { n, answer, after_s } => self.answer(*n, answer, *after_s)?,
            Body::Undone { n, .. } => self.trial_mut(*n)?.undone = true,
            Body::Amended { n, answer, .. } => {
                let trial = self.trial_mut(*n)?;
                let presentation = &trial.planned.presentation;
                let Some(outcome) = outcome(presentation, answer, None) else {
                    return refuse(format!(
                        "expected an answer to the task of presentation {n}"
                    ));
                };
                trial.outcome = outcome;
            }
            Body::Ended {
                section,
                how,
                reason,
            } => {
                let askings = self.askings();
                self.ended.push((*section, *how, reason.clone(), askings));
            }
            Body::TakenUp { section, .. } => {
                if self.ended(*section).is_none() {
                    return refuse("expected a section that has ended".into());
                }
                self.ended.retain(|(which, ..)| which != section);
                self.taken_up.push((*section, self.next_number));
            }
            Body::Enough { eye, asking } => self.suffice(*eye, *asking)?,
            Body::Asked(asking) => self.ask(asking)?,
            Body::Told(told) => self.told.push(told.clone()),
            Body::MeasuredBy { procedure } => self.measure_by(procedure)?,
            Body::OutputOpened(output) => self.outputs.push(output.clone()),
            Body::Listened(listened) => self.listened = Some(listened.clone()),
            Body::Played(played) => self.played.push(played.clone()),
            Body::Paused { .. } => self.paused = true,
            Body::Continued {} => self.paused = false,
            Body::Closed {} => self.closed = true,
            // What is given again starts afresh; what was pressed before stays in the journal.
            Body::Resumed { .. } => {
                if let Some(open) = &mut self.open {
                    open.began = None;
                    open.presses.clear();
                }
            }
            Body::Acts(who) => self.acting = Some(who.clone()),
            Body::Outside(results) => {
                results
                    .check()
                    .map_err(|error| OutOfPlace(error.to_string()))?;
                self.outside.push((**results).clone());
            }
            // Events of the bedside were taken in above.
            Body::Repaired { .. }
            | Body::Noted { .. }
            | Body::Laid(_)
            | Body::Readied { .. }
            | Body::Entered(_)
            | Body::Drawn(_)
            | Body::Said { .. }
            | Body::Coached { .. }
            | Body::Concluded(_)
            | Body::Revealed { .. } => {}
        }
        self.remark(body, at, before);
        self.last_moment = self.last_moment.max(at);
        Ok(())
    }

    /// What had become of the presentation that is about to be corrected.
    fn outcome_before(&self, body: &Body) -> Option<Outcome> {
        let Body::Amended { n, .. } = body else {
            return None;
        };
        let trial = self.trials.iter().rfind(|trial| trial.planned.n == *n);
        trial.map(|trial| trial.outcome.clone())
    }

    /// Keeps what was noted or corrected, with who did it.
    fn remark(&mut self, body: &Body, at: Moment, before: Option<Outcome>) {
        let what = match body {
            Body::Noted { text } => Remarked::Note(text.clone()),
            Body::Amended { n, answer, reason } => Remarked::Amendment {
                n: *n,
                before,
                answer: answer.clone(),
                reason: reason.clone(),
            },
            _ => return,
        };
        self.remarks.push(Remark {
            at,
            late: self.closed,
            by: self.acting.clone(),
            what,
        });
    }

    /// The plan names the procedure from here on: whoever decides or finds asks the plan.
    fn measure_by(&mut self, procedure: &str) -> Result<(), OutOfPlace> {
        let known = Procedure::measuring(procedure);
        let first = self.opening.plan.clone();
        let Some((plan, _)) = self.opening.plan.hearing.as_mut().zip(known) else {
            let problem =
                format!("expected hearing in the plan and a procedure, found {procedure:?}");
            return Err(OutOfPlace(problem));
        };
        match &mut plan.then {
            Some(then) => procedure.clone_into(then),
            None if Procedure::named(&plan.procedure) == Some(Procedure::Screening) => {
                plan.then = Some(procedure.to_owned());
            }
            None => procedure.clone_into(&mut plan.procedure),
        }
        self.first_plan.get_or_insert_with(|| Box::new(first));
        self.changes.push((self.next_number, procedure.to_owned()));
        Ok(())
    }

    fn plan(&mut self, planned: &Planned, at: Moment) -> Result<(), OutOfPlace> {
        if let Some(open) = &self.open {
            let n = open.planned.n;
            let what = format!("expected what became of presentation {n} first");
            return Err(OutOfPlace(what));
        }
        if planned.n != self.next_number {
            let next = self.next_number;
            let what = format!("expected presentation {next}, found {}", planned.n);
            return Err(OutOfPlace(what));
        }
        self.open = Some(Open {
            planned: planned.clone(),
            planned_at: at,
            began: None,
            presses: vec![],
        });
        self.next_number += 1;
        Ok(())
    }

    fn void(&mut self, n: u32, reason: &str) -> Result<(), OutOfPlace> {
        let open = self.take_open(n)?;
        let gaps = open.presses.iter().map(|(at, _)| Press {
            at: *at,
            kind: PressKind::Gap,
        });
        self.presses.extend(gaps);
        self.voids.push(Void {
            planned: open.planned,
            reason: reason.to_owned(),
        });
        Ok(())
    }

    fn take_open(&mut self, n: u32) -> Result<Open, OutOfPlace> {
        match self.open.take() {
            Some(open) if open.planned.n == n => Ok(open),
            other => {
                self.open = other;
                Err(OutOfPlace(format!("expected presentation {n} to be open")))
            }
        }
    }

    fn trial_mut(&mut self, n: u32) -> Result<&mut Trial, OutOfPlace> {
        let found = self.trials.iter_mut().rfind(|trial| trial.planned.n == n);
        found.ok_or_else(|| OutOfPlace(format!("expected a trial, presentation {n} is none")))
    }

    fn arrive(&mut self, n: u32, began: Moment) -> Result<(), OutOfPlace> {
        let mut open = self.take_open(n)?;
        match (open.planned.presentation.task, open.planned.slot) {
            (Task::Detect, Some(slot)) => self.settle_detection(open, began, slot),
            (Task::Detect, None) => {
                self.open = Some(open);
                return Err(OutOfPlace(format!("expected a slot for detection {n}")));
            }
            _ => {
                open.began = Some(began);
                self.open = Some(open);
            }
        }
        Ok(())
    }

    /// Tells hits and false alarms from early, late and stray presses.
    fn settle_detection(&mut self, open: Open, began: Moment, slot: ToneSlot) {
        let n = open.planned.n;
        let silent = open.planned.presentation.tones().next().is_none();
        let (mut outcome, mut early) = (Outcome::No, false);
        for (at, who) in open.presses {
            let since_s = at.seconds_since(began);
            match self.meaning(n, (at, who), since_s, slot, silent) {
                None if outcome == Outcome::No => {
                    let timed = who != WhoPressed::Examiner && !silent;
                    // To the microsecond, as moments are.
                    let latency_s = ((since_s - slot.onset_s) * 1e6).round() / 1e6;
                    outcome = Outcome::Yes {
                        latency_s: timed.then_some(latency_s),
                    };
                }
                None => {}
                Some(kind) => {
                    early |= kind == PressKind::Early(n);
                    self.presses.push(Press { at, kind });
                }
            }
        }
        if early && outcome == Outcome::No {
            outcome = Outcome::Early;
        }
        let closed = began.plus_seconds(slot.window_s);
        self.unanswered_tone = (!silent && outcome == Outcome::No).then_some((n, closed));
        self.trials.push(Trial {
            planned: open.planned,
            began,
            outcome,
            undone: false,
        });
    }

    /// What a press in an open slot is; none: an answer to it.
    fn meaning(
        &mut self,
        n: u32,
        (at, who): (Moment, WhoPressed),
        since_s: f64,
        slot: ToneSlot,
        silent: bool,
    ) -> Option<PressKind> {
        let heard_from_s = match who {
            WhoPressed::Person | WhoPressed::Program => slot.onset_s + REACTION_S,
            // The examiner marks what was seen; the mark trails the sign.
            WhoPressed::Examiner => slot.onset_s,
        };
        if since_s > slot.window_s {
            return Some(if silent {
                PressKind::Gap
            } else {
                PressKind::Late(n)
            });
        }
        if since_s >= heard_from_s {
            return None;
        }
        // A program says which presentation it answers; of a hand's press it has to be guessed.
        if who != WhoPressed::Program
            && let Some(late) = self.late_answer(at)
        {
            return Some(PressKind::Late(late));
        }
        match who {
            _ if since_s < 0.0 => Some(PressKind::Gap),
            _ if silent => None,
            // A mark has no reaction time: before the onset it marks nothing.
            WhoPressed::Examiner => Some(PressKind::Gap),
            WhoPressed::Person | WhoPressed::Program => Some(PressKind::Early(n)),
        }
    }

    fn press(&mut self, at: Moment, who: WhoPressed) {
        if let Some(open) = &mut self.open {
            open.presses.push((at, who));
        } else {
            // A program's press belongs to the presentation before, however late it comes.
            let late = match who {
                WhoPressed::Program => self.unanswered_tone.take().map(|(n, _)| n),
                WhoPressed::Person | WhoPressed::Examiner => self.late_answer(at),
            };
            let kind = late.map_or(PressKind::Gap, PressKind::Late);
            self.presses.push(Press { at, kind });
        }
    }

    /// The unanswered tone that a press at this moment is a late answer to.
    fn late_answer(&mut self, at: Moment) -> Option<u32> {
        let (n, _) = self
            .unanswered_tone
            .filter(|(_, closed)| at.seconds_since(*closed) <= LATE_S)?;
        self.unanswered_tone = None;
        Some(n)
    }

    fn answer(&mut self, n: u32, answer: &Answer, after_s: Option<f64>) -> Result<(), OutOfPlace> {
        let open = self.take_open(n)?;
        let presentation = &open.planned.presentation;
        let chosen =
            outcome(presentation, answer, after_s).filter(|_| presentation.task != Task::Detect);
        let (Some(began), Some(outcome)) = (open.began, chosen) else {
            self.open = Some(open);
            return Err(OutOfPlace(format!(
                "expected an answer to the task of {n} after it had arrived"
            )));
        };
        let gaps = open.presses.iter().map(|(at, _)| Press {
            at: *at,
            kind: PressKind::Gap,
        });
        self.presses.extend(gaps);
        self.trials.push(Trial {
            planned: open.planned,
            began,
            outcome,
            undone: false,
        });
        Ok(())
    }
}

/// What an answer makes of a presentation; none if it answers another task.
fn outcome(presentation: &Presentation, answer: &Answer, after_s: Option<f64>) -> Option<Outcome> {
    match (presentation.task, answer) {
        (Task::Detect, Answer::Heard(true)) => Some(Outcome::Yes { latency_s: None }),
        (Task::Detect, Answer::Heard(false)) => Some(Outcome::No),
        (Task::Sees, Answer::Sees(sees)) => Some(Outcome::Sees { sees: *sees }),
        (Task::Facing, Answer::Facing(facing)) => Some(Outcome::Chosen {
            facing: *facing,
            after_s,
        }),
        (Task::Interval, Answer::Interval(chosen @ (1 | 2))) => Some(Outcome::Interval {
            chosen: *chosen,
            after_s,
        }),
        (Task::Letters, Answer::Letters(letters)) => {
            let letters = named(letters, presentation.optotypes().count()).ok()?;
            Some(Outcome::Named { letters, after_s })
        }
        _ => None,
    }
}
