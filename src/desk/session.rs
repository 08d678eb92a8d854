//! The live loop, without a window: visit, sound, ring, who answers and the clock, brought
//! together by polling.

mod answering;
mod arriving;
mod command;
mod listening;
mod loud;
mod sound;
mod standing;
mod turns;
mod way;

pub use answering::Answers;
pub use command::{Command, Sense, Waiting};
pub use turns::Turn;

use super::clock::VisitClock;
use super::deliver::Delivering;
use super::words;
use crate::errand::{self, ErrandError};
use crate::journal::{Answer, Asked, HearingPlan, Procedure, Section, WhoPressed};
use crate::procedure::{self, HandRequest, Next};
use crate::quantity::{Eye, Moment};
use crate::report::Findings;
use crate::station::SoundStation;
use crate::station::screen::{PaintReport, Seen, ShownGate};
use crate::stimulus::Task;
use crate::store::Kept;
use crate::visit::{Input, Output, Visit, VisitError};
use answering::Later;
use listening::Listener;
use loud::LoudRow;
use sound::Sound;
use std::collections::VecDeque;
use std::path::PathBuf;
use std::time::Instant;
use way::Way;

/// Between a choice and the next ring, s (as in a visit without a window).
const AFTER_CHOICE_S: f64 = 0.6;
/// So much longer it rests where a kind word is to be read, s (our choice).
const KIND_WORD_S: f64 = 1.0;
/// So many presentations in a row that did not arrive whole pause the visit (our choice).
const MOST_VOIDS: u32 = 3;
/// So long a confirmation of loud sounds is held (our choice).
pub const HOLD_S: f64 = 1.0;
/// So many things may happen in one poll; the rest waits for the next one.
const MOST_IN_A_POLL: usize = 200;

/// What a session is made of.
pub struct Parts {
    /// The visit, begun.
    pub visit: Visit<Kept>,
    /// Its folder, or the store's.
    pub folder: PathBuf,
    /// Whether results are written beside the journal; a store gives them out when asked.
    pub writes_results: bool,
    /// Its clock.
    pub clock: VisitClock,
    /// The sound output; without one only simulated people are tested.
    pub sound: Option<Box<dyn SoundStation>>,
    /// Who answers.
    pub answers: Answers,
}

/// A live visit.
pub struct Session {
    visit: Visit<Kept>,
    folder: PathBuf,
    writes_results: bool,
    clock: VisitClock,
    sound: Option<Sound>,
    listener: Option<Listener>,
    way: Option<Way>,
    answers: Answers,
    gate: ShownGate,
    /// When the ring was painted first as it is painted now.
    appeared: Moment,
    delivering: Delivering,
    later: VecDeque<(Moment, Later)>,
    /// The task of hearing that was explained last.
    explained: Option<Task>,
    /// The askings whose eye is covered and whose distance is checked.
    askings_confirmed: Vec<(Eye, u32)>,
    waiting: Option<Waiting>,
    /// The eye and the number of the asking that is under way.
    asking: (Option<Eye>, u32),
    loud_row: LoudRow,
    /// What the examiner asked for and has yet to confirm, because it is loud.
    loud_request: Option<HandRequest>,
    /// Whether the examiner knows that the ears have had enough for a day.
    exposure_told: bool,
    /// The procedure by series to go back to from an estimate.
    by_series: String,
    sense: Sense,
    rest_until: Moment,
    last: Moment,
    voids: u32,
    message: Option<String>,
    pause_reason: String,
    broken: Option<String>,
    findings: Option<Findings>,
}

impl Session {
    /// A session over a visit that was begun.
    #[must_use]
    pub fn new(parts: Parts) -> Session {
        let Parts {
            visit,
            folder,
            writes_results,
            clock,
            sound,
            answers,
        } = parts;
        let last = visit.record().last_moment();
        let pause_reason = String::from(words::PAUSED_BEFORE);
        let mut session = Session {
            visit,
            folder,
            writes_results,
            clock,
            sound: None,
            listener: None,
            way: None,
            answers,
            gate: ShownGate::default(),
            appeared: last,
            delivering: Delivering::Nothing,
            later: VecDeque::new(),
            explained: None,
            askings_confirmed: Vec::new(),
            waiting: None,
            asking: (None, 0),
            loud_row: LoudRow::default(),
            loud_request: None,
            exposure_told: false,
            by_series: "ascending".into(),
            sense: Sense::Neither,
            rest_until: last,
            last,
            voids: 0,
            message: None,
            pause_reason,
            broken: None,
            findings: None,
        };
        if let Some(station) = sound {
            session.give_sound(station);
        }
        session
    }

    /// Brings everything up to `now`.
    pub fn poll(&mut self, now: Instant) {
        let now = self.clock.moment(now);
        self.hear_room();
        self.look_at_way(now);
        self.hear_station(now);
        for _ in 0..MOST_IN_A_POLL {
            match self.next_due() {
                Some(at) if at <= now && self.broken.is_none() => self.happen(at),
                _ => break,
            }
        }
        self.go_on(now);
    }

    /// Takes a command at `now`.
    pub fn command(&mut self, command: Command, now: Instant) {
        let at = self.clock.moment(now);
        self.message = None;
        match command {
            // What is loud takes more than a press.
            Command::Confirm if self.waits_to_be_loud() => {}
            Command::Confirm => self.confirm(at),
            Command::ConfirmLoud => self.confirm_loud(at),
            Command::Heard { at: pressed, by } => {
                let who = by.unwrap_or(self.default_hand());
                let pressed = self.clock.moment(pressed);
                self.step(Input::Press { at: pressed, who }, at);
            }
            Command::Facing { facing, at: chosen } => {
                let chosen = self.own_moment(chosen);
                self.choose(Answer::Facing(facing), chosen, at);
            }
            Command::Letters {
                letters,
                at: chosen,
            } => {
                let chosen = self.own_moment(chosen);
                self.choose(Answer::Letters(letters), chosen, at);
            }
            Command::Sees(sees) => self.choose(Answer::Sees(sees), None, at),
            Command::Turn { interval, chosen } => self.choose_turn(interval, chosen, at),
            Command::Enough => self.suffice(at),
            Command::Ask(asking) => {
                self.waiting = None;
                self.step(Input::Ask(asking), at);
            }
            Command::TakeUp(section) => {
                self.waiting = None;
                if let Section::Eye(eye) = section {
                    self.askings_confirmed.retain(|(one, _)| *one != eye);
                }
                let reason = words::TAKEN_UP.into();
                self.step(Input::TakeUp { section, reason }, at);
            }
            Command::Tell(told) => self.step(Input::Tell(told), at),
            Command::Unsure => self.ask_to_guess(at),
            Command::Hand(request) => self.hand(request, at),
            Command::ToggleMethod => {
                let plan = self.record().opening.plan.hearing.as_ref();
                let by = plan.and_then(HearingPlan::measures_by);
                let other = if by == Some(Procedure::Estimate) {
                    self.by_series.clone()
                } else {
                    self.by_series = plan.map_or(self.by_series.clone(), |plan| {
                        plan.then.clone().unwrap_or_else(|| plan.procedure.clone())
                    });
                    "estimate".into()
                };
                self.step(Input::MeasureBy(other), at);
            }
            Command::ToggleAutomatic => {
                self.waiting = None;
                self.loud_request = None;
                let automatic = !self.visit.automatic();
                self.step(Input::Automatic(automatic), at);
            }
            Command::PauseOrContinue if self.record().paused() => self.unpause(at),
            Command::PauseOrContinue => self.pause(words::PAUSED_BY_EXAMINER, at),
            Command::Stop => {
                // Silence comes before the journal, which may take its time.
                self.silence();
                self.pause(words::STOPPED_BY_EXAMINER, at);
            }
            Command::TakeBack => {
                self.waiting = None;
                self.step(
                    Input::UndoLast {
                        reason: words::TAKEN_BACK.into(),
                    },
                    at,
                );
            }
            Command::End { section, how } => {
                self.waiting = None;
                let reason = words::ended(how).to_owned();
                self.step(
                    Input::End {
                        section,
                        how,
                        reason,
                    },
                    at,
                );
            }
            Command::Bedside(done) => self.step(Input::Bedside(done), at),
            Command::Sound(note) => self.step(Input::Sound(note), at),
            Command::Acts(who) => self.step(Input::Acts(who), at),
            Command::Note(text) => self.step(Input::Note(text), at),
            Command::Say(phrase) => self.say(phrase, at),
            Command::Coach(on) => self.step(Input::Coach(on), at),
            Command::Conclude(conclusion) => self.step(Input::Conclude(conclusion), at),
            Command::Reveal(exercise) => self.step(Input::Reveal(exercise), at),
            Command::Close => self.close(at),
        }
    }

    /// Takes the report of a paint of the person's window, made at `at`.
    pub fn painted(&mut self, paint: PaintReport, at: Instant) {
        let Delivering::Ring(ring) = &self.delivering else {
            return;
        };
        let (n, token) = (ring.n, ring.token);
        if token != paint.token || ring.offline || ring.hidden {
            return;
        }
        let was_shown = ring.shown;
        let at = self.clock.moment(at);
        let reason = match self.gate.painted(paint) {
            Some(Seen::Shown) => return self.appear(n, self.appeared, at),
            Some(Seen::Disturbed) => words::DISTURBED,
            Some(Seen::Cut) => words::NO_ROOM,
            None if was_shown => return,
            None => {
                // It may be the first of the two; the light follows within a refresh of the display.
                self.appeared = at;
                return;
            }
        };
        let reason = reason.into();
        self.step(Input::Failed { n, reason }, at);
    }

    /// Says why something that was asked for is not done.
    pub fn refuse(&mut self, why: &str) {
        self.message = Some(why.to_owned());
    }

    /// Pauses for a reason that the examiner has to see to.
    pub fn halt(&mut self, reason: &str, now: Instant) {
        let at = self.clock.moment(now);
        self.pause(reason, at);
    }

    fn default_hand(&self) -> WhoPressed {
        match &self.answers {
            Answers::Living(hand) => *hand,
            Answers::Simulated(_) => WhoPressed::Examiner,
        }
    }

    fn step(&mut self, input: Input, at: Moment) {
        if self.broken.is_some() {
            return;
        }
        // The journal's time never goes back.
        self.last = self.last.max(at);
        match self.visit.step(input, self.last) {
            Ok(outputs) => {
                for output in outputs {
                    self.carry_out(output);
                }
            }
            Err(VisitError::Refused(why)) => self.message = Some(why),
            Err(error @ VisitError::Journal(_)) => {
                self.silence();
                self.delivering = Delivering::Nothing;
                self.broken = Some(words::journal_failed(&error.to_string()));
            }
        }
    }

    fn carry_out(&mut self, output: Output) {
        match output {
            Output::Deliver(planned) => self.deliver(planned),
            Output::Silence => self.silence(),
            Output::Settled(n) => self.settled(n),
            Output::PlanDone => self.waiting = Some(Waiting::ToClose),
        }
    }

    fn settled(&mut self, n: u32) {
        if let Delivering::Ring(_) = self.delivering {
            self.gate.cleared();
        }
        self.delivering = Delivering::Nothing;
        if self.sense == Sense::Sight {
            let read_s = if n.is_multiple_of(words::KIND_WORD_AFTER) {
                KIND_WORD_S
            } else {
                0.0
            };
            self.rest_until = self.last.plus_seconds(AFTER_CHOICE_S + read_s);
        }
        let record = self.record();
        let void = record.voids().last().filter(|void| void.planned.n == n);
        // What a pause made void says nothing about the station.
        let Some(void) = void.filter(|_| !record.paused() && !record.closed()) else {
            self.voids = 0;
            self.watch_exposure();
            return;
        };
        let notice = words::nothing_arrives(&void.reason);
        // Whatever the station still holds of it must not sound into the next one.
        if let Some(sound) = &mut self.sound {
            sound.station.stop();
        }
        self.voids += 1;
        if self.voids >= MOST_VOIDS {
            self.voids = 0;
            self.pause(&notice, self.last);
        }
    }

    /// The next moment at which something happens by itself.
    fn next_due(&self) -> Option<Moment> {
        let later = self.later.front().map(|(at, _)| *at);
        let slot = self.visit.slot_ends().filter(|_| self.delivering.whole());
        [later, slot].into_iter().flatten().min()
    }

    fn happen(&mut self, at: Moment) {
        match self.later.pop_front_if(|(due, _)| *due <= at) {
            Some((due, later)) => match later {
                Later::Press => {
                    let who = WhoPressed::Person;
                    self.step(Input::Press { at: due, who }, due);
                }
                Later::Choose(answer) => self.choose(answer, Some(due), due),
                Later::Whole(n) => self.whole(n, due),
                Later::Hide(n) => self.hide(n),
            },
            _ => self.step(Input::Tick, at),
        }
        self.go_on(at);
    }

    fn schedule(&mut self, at: Moment, what: Later) {
        let place = self.later.partition_point(|(due, _)| *due <= at);
        self.later.insert(place, (at, what));
    }

    /// Lets the visit propose, unless something has to be waited for.
    fn go_on(&mut self, at: Moment) {
        self.play_pending(at);
        let idle = matches!(self.delivering, Delivering::Nothing);
        if idle {
            let record = self.record();
            let still = record.paused() || record.closed() || self.visit.plan_done();
            if still || at < self.rest_until || self.must_wait() {
                return;
            }
        }
        self.step(Input::Tick, at);
    }

    /// Whether the next presentation waits for the examiner's word.
    fn must_wait(&mut self) -> bool {
        if self.waiting.is_some() || !self.visit.automatic() {
            return self.waiting.is_some();
        }
        if let Next::Present(proposal) = procedure::next(self.record()) {
            let eye = proposal.presentation.eye();
            let asking = proposal.asking;
            let turns = proposal.presentation.task == Task::Interval;
            let confirmed = |eye| self.askings_confirmed.contains(&(eye, asking));
            self.waiting = match eye {
                Some(eye) if !confirmed(eye) => Some(Waiting::ToSee(eye)),
                None if self.explained.is_none() => Some(Waiting::ToHear),
                None if turns != self.takes_turns() => Some(if turns {
                    Waiting::ToTakeTurns
                } else {
                    Waiting::ToHearAgain
                }),
                None if self.holds_back(&proposal.presentation) => Some(Waiting::ToBeLoud),
                _ => None,
            };
            self.asking = (eye, asking);
            self.sense = if eye.is_some() {
                Sense::Sight
            } else {
                Sense::Hearing
            };
        }
        self.waiting.is_some()
    }

    fn confirm(&mut self, at: Moment) {
        match self.waiting.take() {
            Some(Waiting::ToHear | Waiting::ToHearAgain) => self.explained = Some(Task::Detect),
            Some(Waiting::ToTakeTurns) => self.explained = Some(Task::Interval),
            Some(Waiting::ToSee(eye)) => {
                let asked = self.asked();
                let number = asked.as_ref().map_or(0, |asked| asked.number);
                self.askings_confirmed.push((eye, number));
                let note = asked.map_or_else(|| words::confirmed(eye), |one| words::began(&one));
                self.step(Input::Note(note), at);
            }
            Some(Waiting::ToClose) => self.close(at),
            Some(Waiting::ToBeLoud) | None => {}
        }
    }

    /// The examiner has enough of what is asked now.
    fn suffice(&mut self, at: Moment) {
        if let Some(Asked { eye, number, .. }) = self.asked() {
            let asking = number;
            self.step(Input::Enough { eye, asking }, at);
        }
    }

    /// Nothing is an answer but an answer: 'cannot tell' is noted once, and a guess asked for.
    fn ask_to_guess(&mut self, at: Moment) {
        let Delivering::Ring(ring) = &mut self.delivering else {
            return;
        };
        if ring.shown && !std::mem::replace(&mut ring.guess, true) {
            let note = format!("presentation {}: {}", ring.n, words::ASKED_TO_GUESS);
            self.step(Input::Note(note), at);
        }
    }

    fn hand(&mut self, request: HandRequest, at: Moment) {
        if self.visit.automatic() {
            self.message = Some(words::BY_HAND_FIRST.into());
            return;
        }
        let wanted = procedure::by_hand(self.record(), request);
        self.sense = match (request.eye(), &wanted) {
            (Some(eye), Ok(proposal)) => {
                self.asking = (Some(eye), proposal.asking);
                Sense::Sight
            }
            (Some(_), Err(_)) => self.sense,
            (None, _) => Sense::Hearing,
        };
        if wanted.is_ok_and(|wanted| self.holds_back(&wanted.presentation)) {
            self.loud_request = Some(request);
            self.waiting = Some(Waiting::ToBeLoud);
            return;
        }
        self.step(Input::Hand(request), at);
    }

    fn pause(&mut self, reason: &str, at: Moment) {
        reason.clone_into(&mut self.pause_reason);
        self.step(
            Input::Pause {
                reason: reason.into(),
            },
            at,
        );
    }

    fn unpause(&mut self, at: Moment) {
        if let Some(loss) = self.loss() {
            self.message = Some(words::sound_lost(loss).into());
            return;
        }
        if let Some(changed) = self.way_changed() {
            self.message = Some(words::way_changed(&changed));
            return;
        }
        self.step(Input::Continue, at);
    }

    fn close(&mut self, at: Moment) {
        if !self.record().closed() {
            self.step(Input::Close, at);
        }
        // What is not durable has not been found.
        if !self.record().closed() {
            return;
        }
        self.waiting = None;
        if !self.writes_results {
            self.findings = Some(Findings::of(self.visit.record()));
            return;
        }
        match errand::write_results(&self.folder, &mut self.visit) {
            Ok(findings) => self.findings = Some(findings),
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    /// When a choice was made, if it was by the person's own hand.
    fn own_moment(&self, chosen: Option<Instant>) -> Option<Moment> {
        let own = self.default_hand() == WhoPressed::Person;
        chosen
            .filter(|_| own)
            .map(|chosen| self.clock.moment(chosen))
    }

    fn choose(&mut self, answer: Answer, chosen: Option<Moment>, at: Moment) {
        let set = self
            .presenting()
            .and_then(|planned| planned.presentation.optotypes().next())
            .map(|shown| shown.optotype);
        match answer {
            // A direction that the set does not have cannot be meant.
            Answer::Facing(facing) if set.is_some_and(|set| set.facings().contains(&facing)) => {
                self.step(Input::Choose { facing, at: chosen }, at);
            }
            Answer::Letters(letters) if set.is_some_and(|set| !set.letters().is_empty()) => {
                let input = Input::Name {
                    letters,
                    at: chosen,
                };
                self.step(input, at);
            }
            Answer::Sees(sees) => self.step(Input::Sees { sees, at: chosen }, at),
            Answer::Interval(interval) => {
                let input = Input::ChooseInterval {
                    interval,
                    at: chosen,
                };
                self.step(input, at);
            }
            Answer::Heard(_) | Answer::Facing(_) | Answer::Letters(_) | Answer::Reply(_) => {}
        }
    }
}

/// Begins a visit and puts a session over it.
///
/// # Errors
/// If the folder cannot be written or holds a journal already.
pub fn begin(
    wish: &errand::Begin,
    clock: VisitClock,
    sound: Option<Box<dyn SoundStation>>,
    answers: Answers,
) -> Result<Session, ErrandError> {
    let visit = errand::begin(wish)?;
    let folder = wish.folder.clone();
    Ok(Session::new(Parts {
        visit,
        folder,
        writes_results: true,
        clock,
        sound,
        answers,
    }))
}
