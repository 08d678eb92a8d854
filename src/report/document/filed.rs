//! A visit as it is filed: its events and what they fold to, with their times.

use crate::journal::{
    Acting, Answer, Body, Event, Head, OutsideResults, PersonKind, Proposer, Record, Section,
};
use crate::quantity::{Moment, Sense};
use crate::report::words::{Key, Lang};
use crate::report::{Dossier, Findings, Signed};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::collections::BTreeMap;

/// A visit as it is filed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Filed<'a> {
    pub events: &'a [Event],
    pub head: &'a Head,
    pub record: &'a Record,
    pub findings: &'a Findings,
    pub signed: Option<&'a Signed>,
}

impl<'a> From<&'a Dossier> for Filed<'a> {
    fn from(dossier: &'a Dossier) -> Filed<'a> {
        Filed {
            events: &dossier.events,
            head: &dossier.head,
            record: &dossier.record,
            findings: &dossier.findings,
            signed: dossier.signed.as_ref(),
        }
    }
}

/// A break.
pub(super) struct Pause {
    pub from: Timestamp,
    pub until: Option<Timestamp>,
    pub reason: String,
}

/// A trial that was taken back, or whose answer was corrected.
pub(super) struct Edit<'a> {
    pub n: u32,
    pub at: Timestamp,
    /// Who acted, where that is on record.
    pub who: Option<&'a str>,
    pub reason: &'a str,
    /// The answer before, as far as it is known, and after; none where it was taken back.
    pub answer: Option<(Option<Answer>, Answer)>,
}

impl Filed<'_> {
    /// When the visit began.
    pub(super) fn began(&self) -> Timestamp {
        self.events
            .first()
            .map_or(Timestamp::UNIX_EPOCH, |one| one.time)
    }

    /// When its last line was written.
    pub(super) fn ended(&self) -> Timestamp {
        self.events.last().map_or(self.began(), |one| one.time)
    }

    /// The wall-clock time of a moment of the visit, by the line written last before it.
    pub(super) fn time(&self, moment: Moment) -> Timestamp {
        let before = self.events.iter().rev().find(|one| one.t_s <= moment);
        let Some(before) = before.or(self.events.first()) else {
            return Timestamp::UNIX_EPOCH;
        };
        let after_ms = (1e3 * moment.seconds_since(before.t_s)).round() as i64;
        let later = jiff::SignedDuration::from_millis(after_ms);
        before.time.checked_add(later).unwrap_or(before.time)
    }

    /// Whose visit it is, as the record knows them.
    pub(super) fn code(&self, lang: Lang) -> String {
        match &self.record.opening.person {
            PersonKind::Piped => lang.text(Key::AnotherProgram).to_owned(),
            person => person.name().to_owned(),
        }
    }

    /// Whether nobody living was measured, or by a set-up that is invented.
    pub(super) fn simulated(&self) -> bool {
        let living = matches!(self.record.opening.person, PersonKind::Living { .. });
        !living || self.record.opening.set_up.is_simulated()
    }

    /// The day on which it began.
    pub(super) fn day(&self, lang: Lang) -> String {
        date(self.began(), lang)
    }

    /// The report's number: the first 16 digits of the chain's head.
    pub(super) fn id(&self) -> String {
        grouped(self.head.hash.get(..16).unwrap_or(&self.head.hash))
    }

    /// All breaks.
    pub(super) fn pauses(&self) -> Vec<Pause> {
        let mut all: Vec<Pause> = Vec::new();
        for event in self.events {
            match &event.body {
                Body::Paused { reason } => all.push(Pause {
                    from: event.time,
                    until: None,
                    reason: reason.clone(),
                }),
                Body::Continued {} => {
                    if let Some(open) = all.last_mut().filter(|one| one.until.is_none()) {
                        open.until = Some(event.time);
                    }
                }
                _ => {}
            }
        }
        all
    }

    /// When a sense was tested: its first and its last trial's beginning.
    pub(super) fn tested(&self, sense: Sense) -> Option<[Timestamp; 2]> {
        let mut of_sense = self.record.trials().iter().filter(|trial| {
            let sees = trial.optotype().is_some();
            sees == (sense == Sense::Sight)
        });
        let first = of_sense.next()?;
        let last = of_sense.next_back().unwrap_or(first);
        Some([self.time(first.began), self.time(last.began)])
    }

    /// What the examiner took back or corrected, in its order.
    pub(super) fn edits(&self) -> Vec<Edit<'_>> {
        let (mut all, mut answers) = (Vec::new(), BTreeMap::new());
        let mut who = None;
        for event in self.events {
            let (n, reason, answer) = match &event.body {
                Body::Acts(acting) => {
                    who = Some(acting.user.as_str());
                    continue;
                }
                Body::Answered { n, answer, .. } => {
                    answers.insert(*n, answer.clone());
                    continue;
                }
                Body::Undone { n, reason } => (*n, reason, None),
                Body::Amended { n, answer, reason } => {
                    // A tone's answer was a key, and only the other one is a correction.
                    let pressed = match answer {
                        Answer::Heard(heard) => Some(Answer::Heard(!heard)),
                        _ => None,
                    };
                    let before = answers.insert(*n, answer.clone()).or(pressed);
                    (*n, reason, Some((before, answer.clone())))
                }
                _ => continue,
            };
            all.push(Edit {
                n,
                at: event.time,
                who,
                reason,
                answer,
            });
        }
        all
    }

    /// Notes, and when.
    pub(super) fn notes(&self) -> Vec<(Timestamp, &str)> {
        let noted = |event| match event {
            &Event {
                time,
                body: Body::Noted { ref text },
                ..
            } => Some((time, text.as_str())),
            _ => None,
        };
        self.events.iter().filter_map(noted).collect()
    }

    /// Procedures that took over, by their names.
    pub(super) fn procedures(&self) -> Vec<&str> {
        let taken = |event| match event {
            &Event {
                body: Body::MeasuredBy { ref procedure },
                ..
            } => Some(procedure.as_str()),
            _ => None,
        };
        self.events.iter().filter_map(taken).collect()
    }

    /// Sections that ended before they were done.
    pub(super) fn ended_early(&self) -> Vec<(Section, &str)> {
        let ended = |event| match event {
            &Event {
                body:
                    Body::Ended {
                        section,
                        ref reason,
                        ..
                    },
                ..
            } => Some((section, reason.as_str())),
            _ => None,
        };
        self.events.iter().filter_map(ended).collect()
    }

    /// Sections that were taken up again.
    pub(super) fn taken_up(&self) -> Vec<(Section, &str)> {
        let taken = |event| match event {
            &Event {
                body:
                    Body::TakenUp {
                        section,
                        ref reason,
                    },
                ..
            } => Some((section, reason.as_str())),
            _ => None,
        };
        self.events.iter().filter_map(taken).collect()
    }

    /// Whoever acted, each once, in the order in which they began.
    pub(super) fn acting(&self) -> Vec<&Acting> {
        let mut all: Vec<&Acting> = Vec::new();
        for event in self.events {
            if let Body::Acts(acting) = &event.body
                && !all.contains(&acting)
            {
                all.push(acting);
            }
        }
        all
    }

    /// What was found elsewhere.
    pub(super) fn outside(&self) -> Vec<&OutsideResults> {
        let outside = |event| match event {
            &Event {
                body: Body::Outside(ref results),
                ..
            } => Some(results.as_ref()),
            _ => None,
        };
        self.events.iter().filter_map(outside).collect()
    }

    /// How many lines are of such a kind.
    pub(super) fn count(&self, is: impl Fn(&Body) -> bool) -> usize {
        self.events.iter().filter(|one| is(&one.body)).count()
    }

    /// Presentations that the examiner decided on.
    pub(super) fn by_examiner(&self) -> usize {
        let trials = self.record.trials().iter();
        trials
            .filter(|trial| trial.planned.by == Proposer::Examiner)
            .count()
    }

    /// Reasons of void presentations, each with the numbers of those.
    pub(super) fn voids(&self) -> Vec<(&str, Vec<u32>)> {
        let mut all: Vec<(&str, Vec<u32>)> = Vec::new();
        for void in self.record.voids() {
            match all.iter_mut().find(|(reason, _)| *reason == void.reason) {
                Some((_, numbers)) => numbers.push(void.planned.n),
                None => all.push((&void.reason, vec![void.planned.n])),
            }
        }
        all
    }
}

/// A day in words.
pub(super) fn date(time: Timestamp, lang: Lang) -> String {
    civil(time.to_zoned_datetime(TimeZone::UTC).date(), lang)
}

/// A day in words, as a profile has it.
pub(super) fn civil(day: jiff::civil::Date, lang: Lang) -> String {
    let months = lang.text(Key::Months);
    let month = usize::from(day.month().unsigned_abs()).saturating_sub(1);
    let month = months.split(' ').nth(month).unwrap_or_default();
    let parts = [day.day().to_string(), format!("{:04}", day.year())];
    lang.fill(Key::Date, &[&parts[0], month, &parts[1]])
}

/// The time of day, UTC.
pub(super) fn clock(time: Timestamp) -> String {
    let time = time.to_zoned_datetime(TimeZone::UTC);
    format!(
        "{:02}:{:02}:{:02}",
        time.hour(),
        time.minute(),
        time.second()
    )
}

/// Hex digits in fours.
pub(super) fn grouped(hex: &str) -> String {
    let digits: Vec<char> = hex.chars().collect();
    let fours = digits.chunks(4).map(|four| four.iter().collect::<String>());
    fours.collect::<Vec<_>>().join("\u{a0}")
}
