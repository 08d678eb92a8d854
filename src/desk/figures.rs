//! The figures of a session, built again only when something has happened.

use super::figure::{Acuity, Audiogram, Stream};
use super::session::Session;
use crate::procedure::{Telling, tell_most};
use crate::quantity::Eye;
use crate::report::Findings;
use std::cell::OnceCell;

/// The figures.
pub struct Figures {
    /// How many lines the journal had: they change only with it.
    lines: u64,
    /// All figures of the visit so far.
    pub findings: Findings,
    /// The audiogram.
    pub audiogram: Audiogram,
    /// The acuity of each eye in the plan.
    pub acuity: Vec<Acuity>,
    /// The stream of presentations.
    pub stream: Stream,
    /// What would tell most of how the answers agree; worked out where it is looked at.
    tell_most: OnceCell<Vec<Telling>>,
}

impl Figures {
    /// Of a session.
    #[must_use]
    pub fn of(session: &Session) -> Figures {
        let record = session.record();
        let findings = Findings::of(record);
        let eyes: Vec<Eye> = record
            .opening
            .plan
            .sight
            .as_ref()
            .map_or(Vec::new(), |plan| plan.eyes.clone());
        let acuity = eyes
            .into_iter()
            .map(|eye| Acuity::of(record, findings.sight.eye(eye), eye));
        Figures {
            lines: session.lines(),
            audiogram: Audiogram::of(record, &findings.hearing, findings.as_obtained.hearing)
                .with_screening(findings.screening.as_ref()),
            acuity: acuity.collect(),
            stream: Stream::of(record),
            tell_most: OnceCell::new(),
            findings,
        }
    }

    /// What would tell most of how the answers agree, most first.
    pub fn tell_most(&self, session: &Session) -> &[Telling] {
        self.tell_most.get_or_init(|| tell_most(session.record()))
    }

    /// Builds them again if something has happened.
    pub fn refresh(&mut self, session: &Session) {
        if self.lines != session.lines() {
            *self = Figures::of(session);
        }
    }
}
