//! See: what the person sees, what was answered, and how far the acuity is known.

use super::figure::{self, Acuity};
use super::keys::{Action, KeyMap};
use super::pad::pad;
use super::parts::{self, heading, key_button, remark};
use super::session::{Command, Session, Waiting};
use super::style::{self, STEP, Theme, line, type_size};
use super::words;
use crate::journal::{Outcome, Section};
use crate::quantity::Eye;
use crate::stimulus::{Facing, OptotypePart, OptotypeSet};
use eframe::egui::{self, Color32, RichText, Sense, Stroke, Ui, vec2};

/// What the page shows besides the figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Which eye looks now, or did last.
    pub eye: Option<Eye>,
    /// Whether the eye waits for the examiner's word.
    pub waits: bool,
    /// The ring that is shown now.
    pub ring: Option<OptotypePart>,
    /// Whether it counts as shown.
    pub shown: bool,
    /// The directions to choose from.
    pub facings: &'static [Facing],
    /// The last answer: what was shown, and what was said.
    pub last: Option<(Facing, Facing)>,
    /// Whether a pause is on.
    pub paused: bool,
    /// The eyes that may still be ended.
    pub open_eyes: Vec<Eye>,
}

impl Page {
    /// Of a session.
    #[must_use]
    pub fn of(session: &Session) -> Page {
        let record = session.record();
        let plan = record.opening.plan.sight.as_ref();
        let set = plan.map_or(OptotypeSet::Landolt8, |plan| plan.optotype);
        let last = record
            .counted()
            .next_back()
            .and_then(|trial| match &trial.outcome {
                Outcome::Chosen { facing, .. } => {
                    Some((trial.optotype()?.symbol.facing()?, *facing))
                }
                _ => None,
            });
        let eyes = plan.map_or(Vec::new(), |plan| plan.eyes.clone());
        let open = |eye: &Eye| record.ended(Section::Eye(*eye)).is_none();
        Page {
            eye: session.eye(),
            waits: matches!(session.waiting(), Some(Waiting::ToSee(_))),
            ring: session.ring().map(|ring| ring.part),
            shown: session.ring().is_some_and(|ring| ring.shown),
            facings: set.facings(),
            last,
            paused: record.paused(),
            open_eyes: eyes.into_iter().filter(open).collect(),
        }
    }
}

/// Draws the page.
pub fn draw(
    ui: &mut Ui,
    theme: &Theme,
    page: &Page,
    acuity: &[Acuity],
    keys: &KeyMap,
) -> Option<Command> {
    let done = parts::aside(ui, "sight", 276.0, |ui| controls(ui, theme, page, keys));
    if acuity.is_empty() {
        remark(ui, theme, "The plan of this visit has no sight in it.");
        return done;
    }
    ui.columns(acuity.len(), |columns| {
        for (ui, figure) in columns.iter_mut().zip(acuity) {
            style::sheet(theme).show(ui, |ui| {
                figure::show(ui, theme, figure, ui.available_size());
            });
        }
    });
    done
}

fn controls(ui: &mut Ui, theme: &Theme, page: &Page, keys: &KeyMap) -> Option<Command> {
    let mut done = None;
    if let Some(eye) = page.eye {
        ui.label(
            RichText::new(words::eye(eye))
                .size(type_size::LARGE)
                .color(theme.eye(eye)),
        );
        remark(ui, theme, words::cover(eye));
    }
    if page.waits
        && ui
            .add(style::primary(theme, "Covered, distance checked: begin"))
            .clicked()
    {
        done = Some(Command::Confirm);
    }
    ui.horizontal(|ui| {
        small(ui, theme, page);
        ui.vertical(|ui| {
            heading(ui, theme, "The person sees");
            let text = match &page.ring {
                Some(ring) => format!("{:.2} logMAR", ring.log_mar.0),
                None => "white".into(),
            };
            ui.label(text);
            if let Some((shown, said)) = page.last {
                let text = if shown == said {
                    format!("last: {}, right", words::facing(said))
                } else {
                    format!("last: {} for {}", words::facing(said), words::facing(shown))
                };
                remark(ui, theme, &text);
            }
        });
    });
    ui.add_space(STEP);
    heading(ui, theme, "The person points or says");
    if let Some(facing) = pad(ui, theme, 232.0, page.facings, |facing| {
        keys.facing_name(facing)
    }) {
        done = Some(Command::Facing { facing, at: None });
    }
    ui.add_space(STEP);
    let pause = if page.paused { "Continue" } else { "Pause" };
    ui.columns(2, |columns| {
        let pair = [
            (pause, Action::Pause, Command::PauseOrContinue),
            ("Take back", Action::TakeBack, Command::TakeBack),
        ];
        for (ui, (text, action, command)) in columns.iter_mut().zip(pair) {
            if key_button(ui, text, keys.name(action), true) {
                done = Some(command);
            }
        }
    });
    let eyes = page.open_eyes.iter();
    let sections: Vec<_> = eyes
        .map(|eye| (Section::Eye(*eye), words::eye(*eye)))
        .collect();
    if let Some((section, how)) = parts::ends(ui, theme, &sections) {
        done = Some(Command::End { section, how });
    }
    done
}

/// The person's window in small.
fn small(ui: &mut Ui, theme: &Theme, page: &Page) {
    let (rect, response) = ui.allocate_exact_size(vec2(96.0, 96.0), Sense::hover());
    let facing = page.ring.and_then(|ring| ring.symbol.facing());
    let told = facing.map_or("a white field".to_owned(), |facing| {
        format!("a ring, gap {}", words::facing(facing))
    });
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, told.clone()));
    let painter = ui.painter();
    painter.rect(
        rect,
        0.0,
        Color32::WHITE,
        Stroke::new(line::HAIR, theme.quiet),
        egui::StrokeKind::Inside,
    );
    if let Some(facing) = facing {
        let ink = if page.shown {
            Color32::BLACK
        } else {
            theme.quiet
        };
        let centre = rect.center();
        painter.circle_stroke(centre, 20.0, Stroke::new(10.0, ink));
        let radians = facing.degrees().to_radians() as f32;
        let out = vec2(radians.cos(), -radians.sin());
        painter.line_segment(
            [centre + out * 12.0, centre + out * 28.0],
            Stroke::new(10.0, Color32::WHITE),
        );
    }
}
