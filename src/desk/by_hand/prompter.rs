//! The prompter: a gap, the prompt, done or void, the answer.

use super::{ByHand, Mode, reply_keys};
use crate::desk::session::Session;
use crate::journal::{HowEnded, Series, Stage};
use crate::quantity::Moment;
use crate::visit::AtBedside;
use eframe::egui::Key;
use std::time::Instant;

/// Where the prompter stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The hands wait.
    Gap,
    /// What the hands do is shown.
    Shown,
    /// The answer to this prompt is waited for.
    Answer(usize),
    /// Nothing more comes.
    Over,
}

/// The prompts under way.
#[derive(Debug, Clone, Default)]
pub struct Prompting {
    /// The prompts that are shown together.
    pub batch: Vec<usize>,
    /// Until when the hands wait.
    gap_until: Option<Moment>,
    /// Whether the gap is over.
    open: bool,
    /// What a simulated person says.
    pub said: Vec<(usize, String)>,
    /// Whether the key before asked to end the series: it is pressed twice.
    stop_asked: bool,
}

impl Prompting {
    /// Takes up the next prompts once the last ones are settled, and ends the gap when it is over.
    pub fn advance(&mut self, series: Option<&Series>, now: Moment) {
        let Some(series) = series else { return };
        let open = |place: &usize| {
            series.ended.is_none()
                && matches!(series.stages[*place], Stage::Waiting | Stage::Done { .. })
        };
        if !self.batch.iter().any(open) {
            let all = 0..series.stages.len();
            let together = series.drawn.together as usize;
            self.batch = all.filter(open).take(together).collect();
            self.said.clear();
            self.open = series.drawn.on_paper;
            let gap_s = self
                .batch
                .first()
                .map(|place| series.drawn.prompts[*place].gap_s);
            self.gap_until = gap_s.map(|gap_s| now.plus_seconds(gap_s));
        }
        if self.gap_until.is_some_and(|until| now >= until) {
            self.open = true;
        }
    }

    /// Where it stands.
    #[must_use]
    pub fn step(&self, series: &Series) -> Step {
        if series.over() || self.batch.is_empty() {
            return Step::Over;
        }
        let is = |wanted: fn(&Stage) -> bool| {
            self.batch
                .iter()
                .find(|place| wanted(&series.stages[**place]))
        };
        let done = is(|stage| matches!(stage, Stage::Done { .. }));
        let waiting = is(|stage| matches!(stage, Stage::Waiting));
        match (done, waiting) {
            // On paper the hands are done with everything.
            (_, Some(place)) if series.drawn.on_paper => Step::Answer(*place),
            (Some(place), None) => Step::Answer(*place),
            _ if self.open => Step::Shown,
            _ => Step::Gap,
        }
    }
}

impl ByHand {
    /// A key in the prompter.
    pub(super) fn prompt_key(
        &mut self,
        session: &mut Session,
        at: usize,
        key: Key,
        now: Instant,
    ) -> bool {
        self.advance(session, now);
        let stop_asked = std::mem::take(&mut self.prompting.stop_asked);
        let Some(series) = session.record().bedside().series().get(at).cloned() else {
            return false;
        };
        let step = self.prompting.step(&series);
        match (key, step) {
            (Key::Escape, _) | (Key::Enter | Key::D, Step::Over) => self.mode = Mode::Choose,
            (Key::Z, _) => self.take_back(session, &series, now),
            (Key::X, Step::Over) => {}
            (Key::X, _) if stop_asked => {
                let done = AtBedside::End {
                    series: series.drawn.series,
                    how: HowEnded::Stopped,
                    reason: "stopped by the examiner".into(),
                };
                self.enter(session, done, now);
            }
            (Key::X, _) => {
                self.prompting.stop_asked = true;
                self.message = Some("X again ends the series before it is done.".into());
            }
            (Key::D | Key::Enter, Step::Shown) => self.done(session, &series, now),
            (Key::V, Step::Shown) => {
                if let Some(place) = self.prompting.batch.first().copied() {
                    self.void(session, &series, place, now);
                }
            }
            (Key::V, Step::Answer(place)) => self.void(session, &series, place, now),
            (key, Step::Answer(place)) => {
                let keys = reply_keys(series.drawn.what);
                if let Some((_, reply)) = keys.into_iter().find(|(one, _)| *one == key) {
                    let n = series.n(place);
                    if series.stages[place] == Stage::Waiting {
                        let at = session.moment(now);
                        self.enter(session, AtBedside::Done { n, at }, now);
                    }
                    let after_s = None;
                    self.enter(session, AtBedside::Reply { n, reply, after_s }, now);
                }
            }
            _ => return false,
        }
        self.advance(session, now);
        true
    }

    /// All that was shown is done; a simulated person says what it perceives.
    fn done(&mut self, session: &mut Session, series: &Series, now: Instant) {
        for place in self.prompting.batch.clone() {
            if series.stages[place] != Stage::Waiting {
                continue;
            }
            let (n, at) = (series.n(place), session.moment(now));
            if !self.enter(session, AtBedside::Done { n, at }, now) {
                return;
            }
            if let Some(prompted) = series.drawn.prompted(place)
                && let Some(said) = session.ask(n, &prompted)
            {
                self.prompting.said.push((place, said));
            }
        }
    }

    fn void(&mut self, session: &mut Session, series: &Series, place: usize, now: Instant) {
        let done = AtBedside::Void {
            n: series.n(place),
            reason: "not done as shown".into(),
        };
        self.enter(session, done, now);
    }

    fn take_back(&mut self, session: &mut Session, series: &Series, now: Instant) {
        let answered = |stage: &Stage| matches!(stage, Stage::Answered { .. });
        match series.stages.iter().rposition(answered) {
            Some(place) => {
                let done = AtBedside::TakeBack {
                    n: series.n(place),
                    reason: "taken back by the examiner".into(),
                };
                self.enter(session, done, now);
            }
            None => self.message = Some("There is no answer to take back.".into()),
        }
    }
}
