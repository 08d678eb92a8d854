//! See, aside: in which way an eye is asked next, all in one place; and what the person tells of their
//! eyes.

use super::parts::{self, choices, heading, remark};
use super::session::{Command, Session};
use super::style::{self, STEP, Theme, type_size};
use super::way::{self, Way};
use super::words::{self, decimals, see as say};
use crate::finding::{
    Cue, FEWEST_TRIALS, SightFindings, SightStatus, cue_of, screened_sight, trials_of,
};
use crate::journal::{
    Asked, EyeHistory, HowEnded, Record, Section, SightProcedure, Told, ToldAnswer,
};
use crate::quantity::{Eye, LogMar, Mm};
use crate::stimulus::{ByHand, MM_PER_M_UNIT};
use eframe::egui::{RichText, Ui};

/// What stands aside of the figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aside {
    /// The answers.
    Answers,
    /// The way of asking.
    Ways,
    /// What the person tells.
    History,
}

/// What is chosen for the next asking.
#[derive(Debug, Clone, PartialEq)]
pub struct Ways {
    /// What stands aside.
    pub aside: Aside,
    /// The eye.
    pub eye: Eye,
    /// How it is asked.
    pub way: Way,
}

impl Default for Ways {
    fn default() -> Ways {
        Ways {
            aside: Aside::Answers,
            eye: Eye::Right,
            way: Way::default(),
        }
    }
}

/// What the examiner holds in their hands now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InHand {
    /// A row of a near card.
    Card {
        /// The number of the card.
        seed: u64,
        /// The size of the row.
        log_mar: LogMar,
        /// The height of its optotypes in M units.
        m_units: f64,
    },
    /// Fingers, a hand or a light, from so far, m.
    Shows(ByHand, f64),
}

impl InHand {
    /// Of a session.
    #[must_use]
    pub fn of(session: &Session) -> Option<InHand> {
        let presentation = &session.presenting()?.presentation;
        if let Some(hand) = presentation.by_hand() {
            return Some(InHand::Shows(hand.shows, hand.distance_mm.0 / 1000.0));
        }
        let part = presentation.optotypes().next()?;
        let height = crate::standard::iso_8596_2017::height(part.log_mar, part.distance_mm);
        Some(InHand::Card {
            seed: part.card?,
            log_mar: part.log_mar,
            m_units: height.0 / MM_PER_M_UNIT,
        })
    }

    /// What the examiner does.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            InHand::Card {
                seed,
                log_mar,
                m_units,
            } => say::CARD_ROW.fill(&[
                &seed.to_string(),
                &decimals(log_mar.0, 1),
                &decimals(m_units, 2),
            ]),
            InHand::Shows(shows, metres) => {
                let text = match shows {
                    ByHand::Fingers => say::FINGERS,
                    ByHand::Motion => say::MOTION,
                    ByHand::Light => say::LIGHT,
                };
                text.fill(&[&decimals(metres, 1)])
            }
        }
    }
}

/// One asking and how it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// The eye and the way.
    pub text: String,
    /// Whether it is under way.
    pub now: bool,
    /// Whether it has ended before it was done.
    pub ended: bool,
    /// What was found.
    pub found: String,
}

/// What the panels show.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// How the eye is asked that looks now.
    pub asked: Option<Asked>,
    /// How a screening stands, in words.
    pub screened: Option<String>,
    /// Whether so many single optotypes were answered that the examiner may have enough.
    pub may_be_enough: bool,
    /// All askings.
    pub listed: Vec<Listed>,
    /// The eyes that were stopped and can be taken up again.
    pub stopped: Vec<Eye>,
    /// Acuities from two distances, held against each other.
    pub distances: Vec<String>,
    /// What was told so far.
    pub history: Vec<Answered>,
}

/// One question about the eyes.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// Which.
    pub about: EyeHistory,
    /// What was told.
    pub told: Option<Told>,
    /// What of it gives reason to look further.
    pub cue: Option<Cue>,
}

impl Standing {
    /// Of a session and what was found of its eyes.
    #[must_use]
    pub fn of(session: &Session, sight: &SightFindings) -> Standing {
        let record = session.record();
        let asked = session.asked();
        let found = |one: &Asked| {
            let mut all = sight
                .all()
                .filter(|(_, of)| of.status != SightStatus::NotTested);
            let of_it = all.find(|(eye, of)| *eye == one.eye && of.asking == one.number);
            of_it.map_or_else(String::new, |(_, of)| of.acuity_in_words())
        };
        let listed = record.asked().into_iter().map(|one| Listed {
            text: format!("{}: {}", words::eye(one.eye), words::asking(&one)),
            now: asked.as_ref() == Some(&one),
            ended: record.ended_asking(&one).is_some(),
            found: found(&one),
        });
        let stopped = Eye::ALL.into_iter().filter(|eye| {
            let ended = record.ended(Section::Eye(*eye));
            ended.is_some_and(|(how, _)| how == HowEnded::Stopped)
        });
        let told = record.told();
        let age_years = record.opening.plan.about.and_then(|about| about.age_years);
        let answered = |about: EyeHistory| {
            let told = told.iter().copied().find(|one| one.about == about);
            let yes = told.filter(|one| one.answer == ToldAnswer::Yes);
            Answered {
                about,
                told: told.cloned(),
                cue: yes.map(|one| cue_of(one, age_years)),
            }
        };
        let may_be_enough = asked.as_ref().is_some_and(|one| {
            one.plan.procedure == SightProcedure::Adaptive
                && trials_of(record, one).len() >= FEWEST_TRIALS
                && !record.has_enough(one)
        });
        Standing {
            screened: asked.as_ref().and_then(|asked| screened(record, asked)),
            may_be_enough,
            listed: listed.collect(),
            stopped: stopped.collect(),
            distances: sight
                .distances
                .iter()
                .map(|pair| format!("{}, {}.", words::eye(pair.eye), pair.statement))
                .collect(),
            history: EyeHistory::ALL.into_iter().map(answered).collect(),
            asked,
        }
    }
}

fn screened(record: &Record, asked: &Asked) -> Option<String> {
    let one = screened_sight(record, asked)?;
    Some(say::SCREENED.fill(&[
        &one.right.to_string(),
        &one.of.to_string(),
        &one.needed.to_string(),
        &one.of_at_most.to_string(),
        &decimals(100.0 * one.p_by_guessing, 1),
    ]))
}

/// The panel of the ways; what was asked for.
pub(super) fn ways(
    ui: &mut Ui,
    theme: &Theme,
    standing: &Standing,
    ways: &mut Ways,
    here: Option<Mm>,
) -> Option<Command> {
    let mut done = None;
    heading(ui, theme, &say::ASKED);
    for one in &standing.listed {
        let ink = match (one.now, one.ended) {
            (true, _) => theme.ink,
            (_, true) => theme.quiet,
            _ => theme.ink_soft,
        };
        ui.label(RichText::new(&one.text).size(type_size::SMALL).color(ink));
        if !one.found.is_empty() {
            ui.label(&one.found);
        }
    }
    for statement in &standing.distances {
        remark(ui, theme, statement);
    }
    for eye in &standing.stopped {
        let text = say::TAKE_UP.fill(&[words::eye(*eye)]);
        if parts::key_button(ui, &text, "", true) {
            done = Some(Command::TakeUp(Section::Eye(*eye)));
        }
    }
    ui.add_space(STEP);
    heading(ui, theme, &say::ONE_MORE);
    let eyes = Eye::ALL.map(|eye| (eye, words::eye(eye)));
    choices(ui, &eyes, &mut ways.eye);
    way::controls(ui, theme, &mut ways.way, here);
    match ways.way.asking(ways.eye) {
        Ok(asking) => {
            if ui.add(style::primary(theme, &say::ASK_NEXT)).clicked() {
                ways.aside = Aside::Answers;
                done = Some(Command::Ask(Box::new(asking)));
            }
        }
        Err(problem) => {
            ui.label(RichText::new(words::said(&problem)).color(theme.alert));
        }
    }
    remark(ui, theme, &say::NEVER_POOLED);
    done
}

/// The panel of what the person tells; an answer that was entered.
pub(super) fn history(ui: &mut Ui, theme: &Theme, standing: &Standing) -> Option<Command> {
    let mut done = None;
    remark(ui, theme, &say::HISTORY_REMARK);
    for Answered { about, told, cue } in &standing.history {
        ui.label(RichText::new(words::said(about.question())).size(type_size::SMALL));
        let told = told.as_ref();
        let mut chosen = told.map(|told| told.answer);
        let mut chosen_eye = told.and_then(|told| told.eye);
        let answers = [
            (Some(ToldAnswer::Yes), &*say::YES),
            (Some(ToldAnswer::No), &*say::NO),
            (Some(ToldAnswer::Unknown), &*say::NOT_KNOWN),
        ];
        let eyes = [
            (None, &*say::EYE_NOT_TOLD),
            (Some(Eye::Right), &*say::RIGHT_EYE),
            (Some(Eye::Left), &*say::LEFT_EYE),
            (Some(Eye::Both), &*say::BOTH_EYES),
        ];
        let changed = ui
            .push_id(*about as u8, |ui| {
                let answered = choices(ui, &answers, &mut chosen);
                let asks = chosen == Some(ToldAnswer::Yes);
                answered || asks && choices(ui, &eyes, &mut chosen_eye)
            })
            .inner;
        if let Some(answer) = chosen.filter(|_| changed) {
            done = Some(Command::Tell(Told {
                about: *about,
                answer,
                eye: chosen_eye.filter(|_| answer == ToldAnswer::Yes),
                words: None,
            }));
        }
        if let Some(cue) = cue {
            let text = format!(
                "{}: {}",
                words::first_upper(&cue.what),
                words::urgency(cue.urgency)
            );
            ui.label(RichText::new(text).color(theme.alert));
            remark(ui, theme, &format!("Source: {}", cue.source));
        }
    }
    done
}
