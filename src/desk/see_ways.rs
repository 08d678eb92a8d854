//! See, aside: in which way an eye is asked next, all in one place; and what the person tells of their
//! eyes.

use super::length;
use super::parts::{self, choices, field, heading, remark};
use super::session::{Command, Session};
use super::style::{self, STEP, Theme, type_size};
use super::words;
use crate::finding::screened_sight;
use crate::journal::{
    Asked, Asking, EyeHistory, HowEnded, Record, Section, SightPlan, SightProcedure, Told,
    ToldAnswer,
};
use crate::quantity::{Correction, Eye, LogMar};
use crate::stimulus::{ByHand, MM_PER_M_UNIT, OptotypeSet};
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
    pub procedure: SightProcedure,
    /// The optotypes.
    pub optotype: OptotypeSet,
    /// With a bar on each side.
    pub crowded: bool,
    /// Half a second only.
    pub brief: bool,
    /// What correction is worn.
    pub correction: Correction,
    /// Whether the eye looks through a pinhole.
    pub pinhole: bool,
    /// The distance, as typed; empty: the set-up's.
    pub distance: String,
    /// The size of a screening, as typed.
    pub size: String,
    /// The number of the near card, as typed.
    pub card: String,
}

impl Default for Ways {
    fn default() -> Ways {
        Ways {
            aside: Aside::Answers,
            eye: Eye::Right,
            procedure: SightProcedure::Adaptive,
            optotype: OptotypeSet::Sloan,
            crowded: false,
            brief: false,
            correction: Correction::AsWorn,
            pinhole: false,
            distance: String::new(),
            size: "0.3".into(),
            card: String::new(),
        }
    }
}

impl Ways {
    /// As the plan asks: only what was asked alike is held against each other, so that whoever
    /// changes one thing, such as a pinhole, leaves the others.
    #[must_use]
    pub fn of(plan: &SightPlan) -> Ways {
        Ways {
            procedure: plan.procedure,
            optotype: plan.optotype,
            crowded: plan.crowded,
            brief: plan.shown_s.is_some_and(|shown_s| shown_s > 0.0),
            correction: plan.correction,
            ..Ways::default()
        }
    }

    /// The asking that is chosen.
    ///
    /// # Errors
    /// One line, if something typed cannot be read.
    pub fn asking(&self) -> Result<Asking, String> {
        let number = |text: &str| text.trim().replace(',', ".").parse::<f64>().ok();
        let screens = self.procedure == SightProcedure::Screening;
        let reads_card = self.procedure == SightProcedure::NearCard;
        let distance_mm = if self.distance.trim().is_empty() || reads_card {
            None
        } else {
            let read = length::distance(&self.distance);
            Some(read.ok_or("Distance: expected 0.1 to 20 m, such as 2 m")?)
        };
        let size = number(&self.size).ok_or("Size: expected logMAR, such as 0.3");
        let card = self.card.trim().parse::<u64>();
        let card = card.map_err(|_| "Near card: expected the number that is printed on it");
        Ok(Asking {
            procedure: Some(self.procedure),
            optotype: Some(self.optotype),
            crowded: Some(self.crowded),
            correction: Some(self.correction),
            pinhole: Some(self.pinhole),
            distance_mm,
            shown_s: Some(if self.brief { 0.5 } else { 0.0 }),
            screening_log_mar: if screens { Some(size?) } else { None },
            card: if reads_card { Some(card?) } else { None },
            ..Asking::of(self.eye)
        })
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
            } => format!(
                "Card {seed}, row {:.1} ({m_units:.2} M). The person reads it, you type what was read.",
                log_mar.0
            ),
            InHand::Shows(ByHand::Fingers, metres) => format!(
                "Show one, two or five fingers at {metres:.1} m, five times in mixed order."
            ),
            InHand::Shows(ByHand::Motion, metres) => {
                format!("Move or rest your hand at {metres:.1} m, five times in mixed order.")
            }
            InHand::Shows(ByHand::Light, metres) => {
                format!("Switch a light on or off at {metres:.1} m, five times in mixed order.")
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
}

/// What the panels show.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// How the eye is asked that looks now.
    pub asked: Option<Asked>,
    /// How a screening stands, in words.
    pub screened: Option<String>,
    /// All askings.
    pub listed: Vec<Listed>,
    /// The eyes that were stopped and can be taken up again.
    pub stopped: Vec<Eye>,
    /// What was told so far, and of which eye.
    pub told: Vec<(EyeHistory, Option<Told>)>,
}

impl Standing {
    /// Of a session.
    #[must_use]
    pub fn of(session: &Session) -> Standing {
        let record = session.record();
        let asked = session.asked();
        let listed = record.asked().into_iter().map(|one| Listed {
            text: format!("{}: {}", words::eye(one.eye), words::asking(&one)),
            now: asked.as_ref() == Some(&one),
            ended: record.ended_asking(&one).is_some(),
        });
        let stopped = Eye::ALL.into_iter().filter(|eye| {
            let ended = record.ended(Section::Eye(*eye));
            ended.is_some_and(|(how, _)| how == HowEnded::Stopped)
        });
        let told = record.told();
        let answer = |about: EyeHistory| {
            let found = told.iter().find(|one| one.about == about);
            (about, found.map(|one| (*one).clone()))
        };
        Standing {
            screened: asked.as_ref().and_then(|asked| screened(record, asked)),
            listed: listed.collect(),
            stopped: stopped.collect(),
            told: EyeHistory::ALL.into_iter().map(answer).collect(),
            asked,
        }
    }
}

fn screened(record: &Record, asked: &Asked) -> Option<String> {
    let one = screened_sight(record, asked)?;
    Some(format!(
        "{} right of {}; {} of {} pass, guessing passes {:.1} times in 100",
        one.right,
        one.of,
        one.needed,
        one.of_at_most,
        100.0 * one.p_by_guessing
    ))
}

/// The panel of the ways; what was asked for.
pub(super) fn ways(
    ui: &mut Ui,
    theme: &Theme,
    standing: &Standing,
    ways: &mut Ways,
    default_m: Option<f64>,
) -> Option<Command> {
    let mut done = None;
    heading(ui, theme, "Asked in this visit");
    for one in &standing.listed {
        let ink = match (one.now, one.ended) {
            (true, _) => theme.ink,
            (_, true) => theme.quiet,
            _ => theme.ink_soft,
        };
        ui.label(RichText::new(&one.text).size(type_size::SMALL).color(ink));
    }
    for eye in &standing.stopped {
        let text = format!("Take up the {} again", words::eye(*eye));
        if parts::key_button(ui, &text, "", true) {
            done = Some(Command::TakeUp(Section::Eye(*eye)));
        }
    }
    ui.add_space(STEP);
    heading(ui, theme, "Ask one more way");
    let eyes = Eye::ALL.map(|eye| (eye, words::eye(eye)));
    choices(ui, &eyes, &mut ways.eye);
    let procedures = [
        (SightProcedure::Adaptive, "single"),
        (SightProcedure::Rows, "rows"),
        (SightProcedure::Screening, "one size"),
        (SightProcedure::NearCard, "near card"),
        (SightProcedure::ByHand, "by hand"),
    ];
    if choices(ui, &procedures, &mut ways.procedure) && ways.procedure == SightProcedure::Rows {
        ways.optotype = OptotypeSet::Sloan;
    }
    if ways.procedure != SightProcedure::ByHand {
        let sets = [
            (OptotypeSet::Sloan, "ten letters"),
            (OptotypeSet::Landolt8, "8 rings"),
            (OptotypeSet::Landolt4, "4 rings"),
            (OptotypeSet::TumblingE, "E"),
            (OptotypeSet::Hotv, "HOTV"),
        ];
        choices(ui, &sets, &mut ways.optotype);
    }
    let corrections = [
        (Correction::AsWorn, "as worn"),
        (Correction::Without, "without"),
        (Correction::Own, "own, far"),
        (Correction::OwnNear, "own, near"),
        (Correction::Best, "best"),
    ];
    choices(ui, &corrections, &mut ways.correction);
    ui.checkbox(&mut ways.pinhole, "Through a pinhole");
    match ways.procedure {
        SightProcedure::NearCard => {
            let hint = "number printed on the card";
            field(ui, "Number of the card", hint, 200.0, &mut ways.card);
        }
        SightProcedure::ByHand => {}
        _ => {
            ui.checkbox(&mut ways.crowded, "With crowding bars");
            ui.checkbox(&mut ways.brief, "Shown for half a second");
            let here =
                default_m.map_or_else(String::new, |metres| format!("as now, {metres:.2} m"));
            field(
                ui,
                "Distance of this asking",
                &here,
                200.0,
                &mut ways.distance,
            );
        }
    }
    if ways.procedure == SightProcedure::Screening {
        field(ui, "Size, logMAR", "0.3", 200.0, &mut ways.size);
    }
    match ways.asking() {
        Ok(asking) => {
            if ui.add(style::primary(theme, "Ask this next")).clicked() {
                ways.aside = Aside::Answers;
                done = Some(Command::Ask(Box::new(asking)));
            }
        }
        Err(problem) => {
            ui.label(RichText::new(problem).color(theme.alert));
        }
    }
    remark(ui, theme, words::NEVER_POOLED);
    done
}

/// The panel of what the person tells; an answer that was entered.
pub(super) fn history(ui: &mut Ui, theme: &Theme, standing: &Standing) -> Option<Command> {
    let mut done = None;
    remark(ui, theme, words::HISTORY);
    for (about, told) in &standing.told {
        ui.label(RichText::new(about.question()).size(type_size::SMALL));
        let told = told.as_ref();
        let mut chosen = told.map(|told| told.answer);
        let mut chosen_eye = told.and_then(|told| told.eye);
        let answers = [
            (Some(ToldAnswer::Yes), "yes"),
            (Some(ToldAnswer::No), "no"),
            (Some(ToldAnswer::Unknown), "not known"),
        ];
        let eyes = [
            (None, "eye not told"),
            (Some(Eye::Right), "right eye"),
            (Some(Eye::Left), "left eye"),
            (Some(Eye::Both), "both eyes"),
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
    }
    done
}
