//! The person's window: what it has to show, and what happened in it.

use super::{Desk, Page};
use crate::desk::person_window::{Happened, Picture, View, Viewed};
use crate::desk::session::{Command, Sense, Session, Waiting};
use crate::desk::words;
use crate::journal::SightProcedure;
use crate::quantity::Mm;
use crate::stimulus::OptotypeSet;
use eframe::egui::{Context, ViewportBuilder, ViewportId};

impl Desk {
    /// From where the person's window is seen: that of the visit, else what the form says.
    pub(super) fn viewed(&self) -> Viewed {
        let set_up = self
            .session
            .as_ref()
            .map(|one| &one.record().opening.set_up);
        let asked = self.session.as_ref().and_then(Session::asked);
        let asked = asked.and_then(|asked| asked.distance);
        let (distance, screen) = match set_up {
            Some(set_up) => (asked.or(set_up.distance_mm), set_up.screen.as_ref()),
            None => (self.form.distance(), self.form.screen.as_ref()),
        };
        let near = Mm(500.0);
        Viewed {
            distance: distance.unwrap_or(near),
            pixel: screen.map(|screen| screen.record().pixel_mm),
        }
    }

    /// What the person's window has to show.
    #[must_use]
    pub fn view(&self) -> View {
        let Some(session) = &self.session else {
            return match (self.checking_ears(), self.card) {
                (true, _) => View::Sides,
                (_, true) => View::Card {
                    size_px: self.form.card_px,
                },
                _ => View::Calm(words::person::PLEASE_WAIT),
            };
        };
        let record = session.record();
        // What is done by hand gives the person nothing to look at.
        if self.page == Page::Bedside && !record.closed() && session.presenting().is_none() {
            return View::Calm(words::person::PLEASE_WAIT);
        }
        if record.closed() || session.waiting() == Some(Waiting::ToClose) {
            return View::Calm(words::person::THANKS);
        }
        if record.paused() {
            return View::Calm(words::person::RESTING);
        }
        match (session.sense(), session.eye()) {
            (Sense::Hearing, _) => session
                .turn((self.clock)())
                .map_or(View::Hearing, View::Turns),
            (Sense::Sight, Some(eye)) => {
                let ring = session.ring();
                let asked = session.asked();
                match asked.as_ref().map(|asked| asked.plan.procedure) {
                    Some(SightProcedure::NearCard) => {
                        return View::Calm(words::person::READ_THE_CARD);
                    }
                    Some(SightProcedure::ByHand) => {
                        return View::Calm(words::person::LOOK_AT_THE_HAND);
                    }
                    _ => {}
                }
                let set = asked.map_or(OptotypeSet::Landolt8, |asked| asked.plan.optotype);
                View::Sight {
                    eye,
                    set: ring.map_or(set, |ring| ring.part.optotype),
                    reverse: ring.is_some_and(|ring| ring.part.reverse),
                    waits: matches!(session.waiting(), Some(Waiting::ToSee(_))),
                    guess: ring.is_some_and(|ring| ring.guess),
                    kind_word: session.kind_word(),
                    ring: ring.filter(|ring| !ring.hidden).map(|ring| Picture {
                        token: ring.token,
                        raster: ring.raster.clone(),
                    }),
                }
            }
            _ => View::Calm(words::person::PLEASE_WAIT),
        }
    }

    pub(super) fn show_person(&mut self, ctx: &Context) {
        let id = ViewportId::from_hash_of("person");
        let changed = self.person.set(self.view());
        let builder = ViewportBuilder::default()
            .with_title("Veridical: the person's window")
            .with_inner_size([900.0, 640.0])
            .with_fullscreen(self.full_screen)
            .with_decorations(!self.full_screen);
        let person = self.person.clone();
        ctx.show_viewport_deferred(id, builder, move |ui, _| {
            if person.ui(ui) {
                ui.ctx().request_repaint_of(ViewportId::ROOT);
            }
        });
        if changed {
            ctx.request_repaint_of(id);
        }
    }

    pub(super) fn take(&mut self, happened: Happened) {
        match happened {
            Happened::Key { key, at } => self.key(key, at),
            Happened::Resize(key) => self.form.resize_card(key),
            Happened::Press { at } => self.command(Command::Heard { at, by: None }),
            Happened::Facing { facing, at } => self.command(Command::Facing {
                facing,
                at: Some(at),
            }),
            Happened::Unsure => self.command(Command::Unsure),
            Happened::Side(ear) => self.side(ear),
            Happened::Turn { interval, at } => self.command(Command::Turn {
                interval,
                chosen: Some(at),
            }),
            Happened::Painted { paint, at } => {
                if let Some(session) = &mut self.session {
                    session.painted(paint, at);
                }
            }
        }
    }
}
