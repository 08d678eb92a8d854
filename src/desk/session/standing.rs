//! What a session shows: where it stands, what is presented, what the examiner has to know.

use super::{Answers, Sense, Session, Waiting};
use crate::calibration::ScreenKind;
use crate::desk::deliver::{Delivering, Ring};
use crate::desk::words;
use crate::journal::{Asked, Planned, Record, SightProcedure};
use crate::quantity::{Eye, Moment};
use crate::report::Findings;
use crate::station::Loss;
use std::time::{Duration, Instant};

impl Session {
    /// Whether results are written beside the journal; a store gives them out when asked.
    #[must_use]
    pub fn writes_results(&self) -> bool {
        self.writes_results
    }

    /// How long the window may wait before the next poll; none: until somebody does something.
    #[must_use]
    pub fn rest(&self, now: Instant) -> Option<Duration> {
        // A ring counts from its paint on, so that is made soon; a slot tells its times by itself and
        // presses carry theirs, so drawing the same page for it would only take the sound's time.
        let often = match self.delivering {
            Delivering::Ring(_) => Duration::from_millis(30),
            // A turn is marked while it lasts.
            _ if self.turn(now).is_some() => Duration::from_millis(40),
            _ => Duration::from_millis(100),
        };
        if self.broken.is_some() || self.record().closed() {
            return None;
        }
        let due = self.next_due();
        let idle = matches!(self.delivering, Delivering::Nothing);
        match due {
            Some(at) => Some(self.clock.wait(self.clock.moment(now), at).min(often)),
            None if idle && (self.waiting.is_some() || self.record().paused()) => {
                Some(Duration::from_millis(250))
            }
            None => Some(often),
        }
    }

    /// Whether a living person is to see something on the screen, now or next.
    #[must_use]
    pub fn needs_the_screen(&self) -> bool {
        let record = self.record();
        let screen = record.opening.set_up.screen.as_ref();
        let real = screen.is_some_and(|one| one.record().kind == ScreenKind::Measured);
        let looks = self.sense == Sense::Sight && !record.paused() && !record.closed();
        let in_hand = |one: &Asked| {
            let way = one.plan.procedure;
            matches!(way, SightProcedure::NearCard | SightProcedure::ByHand)
        };
        real && looks && !self.asked().as_ref().is_some_and(in_hand)
    }

    /// The visit's record.
    #[must_use]
    pub fn record(&self) -> &Record {
        self.visit.record()
    }

    /// How many lines its journal has.
    #[must_use]
    pub fn lines(&self) -> u64 {
        self.visit.journal().head().lines
    }

    /// The visit's folder.
    #[must_use]
    pub fn folder(&self) -> &std::path::Path {
        &self.folder
    }

    /// The ring that the person is to see now.
    #[must_use]
    pub fn ring(&self) -> Option<&Ring> {
        match &self.delivering {
            Delivering::Ring(ring) => Some(ring),
            _ => None,
        }
    }

    /// What is being presented.
    #[must_use]
    pub fn presenting(&self) -> Option<&Planned> {
        let open = self.record().open().map(|open| &open.planned);
        open.filter(|_| !matches!(self.delivering, Delivering::Nothing))
    }

    /// The step that waits for the examiner.
    #[must_use]
    pub fn waiting(&self) -> Option<Waiting> {
        self.waiting
    }

    /// Whether nothing is presented and nothing comes by itself, so that hands are free.
    #[must_use]
    pub fn rests(&self) -> bool {
        let record = self.record();
        let still = self.waiting.is_some() || record.paused() || !self.visit.automatic();
        record.closed() || (still && self.presenting().is_none())
    }

    /// What is under way.
    #[must_use]
    pub fn sense(&self) -> Sense {
        self.sense
    }

    /// The eye that looks now, waits, or looked last.
    #[must_use]
    pub fn eye(&self) -> Option<Eye> {
        if let Some(Waiting::ToSee(eye)) = self.waiting {
            return Some(eye);
        }
        let shown = self.presenting().and_then(|one| one.presentation.eye());
        let last = || {
            self.record()
                .counted()
                .rev()
                .find_map(|trial| Some(trial.optotype()?.eye))
        };
        shown.or_else(last)
    }

    /// A kind word between two optotypes. It comes after every eighth presentation, so that it tells
    /// nothing of the answers.
    #[must_use]
    pub fn kind_word(&self) -> Option<words::Text> {
        let between = matches!(self.delivering, Delivering::Nothing)
            && self.sense == Sense::Sight
            && self.waiting.is_none();
        let last = self.record().next_number() - 1;
        let due = between && last > 0 && last.is_multiple_of(words::KIND_WORD_AFTER);
        let turn = (last / words::KIND_WORD_AFTER) as usize % words::KIND_WORDS.len();
        due.then_some(words::KIND_WORDS[turn])
    }

    /// How the eye is asked that looks now, waits, or looked last.
    #[must_use]
    pub fn asked(&self) -> Option<Asked> {
        let presenting = self
            .presenting()
            .and_then(|planned| Some((planned.presentation.eye()?, planned.asking)));
        let of_waiting = || Some((self.asking.0?, self.asking.1));
        let (eye, number) = presenting.or_else(of_waiting)?;
        let mut all = self.record().asked().into_iter();
        all.find(|asked| asked.eye == eye && asked.number == number)
    }

    /// Whether the procedure proposes.
    #[must_use]
    pub fn automatic(&self) -> bool {
        self.visit.automatic()
    }

    /// Whether the output is gone.
    #[must_use]
    pub fn sound_lost(&self) -> bool {
        self.loss().is_some()
    }

    /// Whether the sound may reach another output than the profile was made on: then nothing more
    /// is played in this visit.
    #[must_use]
    pub fn profile_unsettled(&self) -> bool {
        self.loss().is_some_and(Loss::unsettles_profile)
    }

    /// One line that the examiner has to know, if there is one.
    #[must_use]
    pub fn message(&self) -> Option<&str> {
        let now = self.broken.as_deref().or(self.message.as_deref());
        let paused = || Some(self.pause_reason.as_str()).filter(|_| self.record().paused());
        now.or_else(paused)
    }

    /// Whether a simulated person answers.
    #[must_use]
    pub fn simulated(&self) -> bool {
        matches!(self.answers, Answers::Simulated(_))
    }

    /// The findings that were written when the visit was closed.
    #[must_use]
    pub fn written(&self) -> Option<&Findings> {
        self.findings.as_ref()
    }

    /// The moment of the visit at `now`.
    #[must_use]
    pub fn moment(&self, now: Instant) -> Moment {
        self.clock.moment(now)
    }
}
