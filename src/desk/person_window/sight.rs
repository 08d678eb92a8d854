//! The person's window while optotypes are seen: every paint is reported, since only an optotype that was
//! painted twice in the same way counts as shown.

use super::{Happened, Picture, State, View};
use crate::desk::pad::{Chosen, pad};
use crate::desk::style::{Theme, type_size};
use crate::desk::words::{self, person as say};
use crate::quantity::{Eye, LogMar, Mm};
use crate::standard::iso_8596_2017 as iso_8596;
use crate::station::screen::{PaintReport, PixelRect};
use crate::stimulus::{OptotypeSet, Raster};
use eframe::egui::{
    self, Align2, Color32, FontId, Pos2, Rect, TextureOptions, Ui, Vec2, pos2, vec2,
};
use std::time::Instant;

/// How often a ring is painted at the least: the first paint may come before the window has its
/// size.
const PAINTS: u32 = 4;

/// From where the window is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Viewed {
    /// The distance.
    pub distance: Mm,
    /// The pitch of its pixels, if it is known.
    pub pixel: Option<Mm>,
}

/// From here on a hand no longer reaches the window, which then has no pad (our choice).
const BEYOND_REACH_MM: f64 = 1200.0;
/// Instructions have letters of this size, twice as large as 6/6: legible to anyone with 6/12
/// from where they are (our choice).
const LEGIBLE: LogMar = LogMar(0.3);
/// The height of small letters as a part of the type's size (of the window's type, from memory).
const SMALL_LETTER: f64 = 0.52;

impl Viewed {
    /// Whether the person's hand reaches the window.
    fn in_reach(self) -> bool {
        self.distance.0 < BEYOND_REACH_MM
    }

    /// The size of type, in points, that can be read from there.
    fn type_size(self, pixels_per_point: f32) -> f32 {
        let pixel = self.pixel.map_or(0.25, |pixel| pixel.0);
        let high = iso_8596::height(LEGIBLE, self.distance).0;
        ((high / SMALL_LETTER / pixel) as f32 / pixels_per_point).max(type_size::HEADING)
    }
}

/// The part of the window that is left for optotypes.
pub(super) fn sight_field(full: Rect, viewed: Viewed) -> Rect {
    if viewed.in_reach() {
        beside_the_pad(full)
    } else {
        above_the_foot(full)
    }
}

/// All but a line's height at the foot.
fn above_the_foot(full: Rect) -> Rect {
    let foot = full.bottom() - (0.12 * full.height()).max(48.0);
    Rect::from_min_max(full.min, pos2(full.right(), foot))
}

/// Beside the pad, or above it.
fn beside_the_pad(full: Rect) -> Rect {
    let (pad, _) = split(full);
    if full.width() > full.height() {
        Rect::from_min_max(full.min, pos2(pad.left(), full.bottom()))
    } else {
        Rect::from_min_max(full.min, pos2(full.right(), pad.top()))
    }
}

/// Whether a picture has room in it.
fn has_room(field: Rect, raster: &Raster, ppp: f32) -> bool {
    let [wide, high] = [raster.width_px, raster.height_px].map(|px| px as f32);
    wide <= (field.width() * ppp).floor() && high <= (field.height() * ppp).floor()
}

/// Where the pad lies, and its side.
fn split(full: Rect) -> (Rect, f32) {
    let side = (0.36 * full.width().max(full.height())).clamp(180.0, 300.0);
    let pad = if full.width() > full.height() {
        Rect::from_min_max(pos2(full.right() - side - 40.0, full.top()), full.max)
    } else {
        Rect::from_min_max(pos2(full.left(), full.bottom() - side - 96.0), full.max)
    };
    (pad, side)
}

impl State {
    pub(super) fn sight(&mut self, ui: &mut Ui, full: Rect, view: View, now: Instant) {
        let View::Sight {
            eye,
            set,
            ring,
            reverse,
            waits,
            guess,
            kind_word,
        } = view
        else {
            return;
        };
        let ppp = ui.ctx().pixels_per_point();
        let field = sight_field(full, self.viewed);
        let room = |ring: &Picture| has_room(field, &ring.raster, ppp);
        // The pad gives way to what is larger than the field beside it.
        let with_pad = self.viewed.in_reach() && ring.as_ref().is_none_or(room);
        let field = if with_pad {
            field
        } else {
            above_the_foot(full)
        };
        ui.painter().rect_filled(full, 0.0, Color32::WHITE);
        if reverse {
            ui.painter().rect_filled(field, 0.0, Color32::BLACK);
        }
        if with_pad {
            let line = if guess {
                say::PLEASE_GUESS
            } else {
                kind_word.unwrap_or(words::sight_task(set))
            };
            self.answering(ui, full, (eye, set), &line, now);
        } else if waits {
            self.explain(ui, full, eye, set);
        } else if guess {
            self.at_the_foot(ui, full, &say::PLEASE_GUESS);
        } else if let Some(word) = kind_word {
            self.at_the_foot(ui, full, &word);
        }
        match ring {
            Some(ring) => self.ring(ui, field, &ring, now),
            None => self.texture = None,
        }
    }

    /// The task, to be read from farther away than a hand reaches, before anything is shown.
    fn explain(&self, ui: &mut Ui, full: Rect, eye: Eye, set: OptotypeSet) {
        let size = self.viewed.type_size(ui.ctx().pixels_per_point());
        // In a small window the lines have to fit.
        let size = size.min(0.06 * full.width());
        let task = format!(
            "{}\n{}\n{}",
            words::sight_task(set),
            words::cover(eye),
            say::WHEN_READY
        );
        self.say(ui, full.center(), size, &task);
    }

    /// A kind word at the foot, where nothing else is ever shown.
    fn at_the_foot(&self, ui: &mut Ui, full: Rect, text: &str) {
        let foot = 0.5 * (above_the_foot(full).bottom() + full.bottom());
        let size = self.viewed.type_size(ui.ctx().pixels_per_point());
        let size = size.min(0.03 * full.width()).min(0.06 * full.height());
        let middle = pos2(full.center().x, foot);
        self.say(ui, middle, size, text);
    }

    /// The task and the pad beside what is shown.
    fn answering(
        &mut self,
        ui: &mut Ui,
        full: Rect,
        (eye, set): (Eye, OptotypeSet),
        task: &str,
        now: Instant,
    ) {
        let (rect, side) = split(full);
        let keys = self.keys.clone();
        let middle = Rect::from_center_size(rect.center() + vec2(0.0, 20.0), Vec2::splat(side));
        if !set.facings().is_empty() {
            let mut chosen = None;
            ui.scope_builder(egui::UiBuilder::new().max_rect(middle), |ui| {
                let name = |facing| keys.facing_name(facing);
                chosen = pad(
                    ui,
                    &Theme::PAPER,
                    side,
                    set.facings(),
                    name,
                    keys.unsure_name(),
                );
            });
            self.happened.extend(chosen.map(|chosen| match chosen {
                Chosen::Facing(facing) => Happened::Facing { facing, at: now },
                Chosen::Unsure => Happened::Unsure,
            }));
        }
        let cover = words::cover(eye);
        let lines = [
            (30.0, type_size::BODY, task, Theme::PAPER.ink),
            (10.0, type_size::SMALL, &cover, Theme::PAPER.ink_soft),
        ];
        for (above, size, text, colour) in lines {
            let at = middle.center_top() - vec2(0.0, above);
            let font = FontId::proportional(size);
            ui.painter()
                .text(at, Align2::CENTER_BOTTOM, text, font, colour);
        }
    }

    /// Paints a ring into the middle of `field` on whole physical pixels and reports how.
    fn ring(&mut self, ui: &mut Ui, field: Rect, ring: &Picture, at: Instant) {
        let ctx = ui.ctx().clone();
        let ppp = ctx.pixels_per_point();
        let raster = &ring.raster;
        let middle = |from: f32, size: f32, pixels: u32| {
            let from_px = (from * ppp).round();
            (from_px + (((size * ppp).round() - pixels as f32) / 2.0).floor()) as i32
        };
        let left = middle(field.left(), field.width(), raster.width_px);
        let top = middle(field.top(), field.height(), raster.height_px);
        let known = self
            .texture
            .as_ref()
            .filter(|(token, _)| *token == ring.token);
        let texture = if let Some((_, texture)) = known {
            texture.clone()
        } else {
            ctx.load_texture("ring", ring.image(), TextureOptions::NEAREST)
        };
        self.texture = Some((ring.token, texture.clone()));
        let size = vec2(raster.width_px as f32, raster.height_px as f32) / ppp;
        let rect = Rect::from_min_size(pos2(left as f32, top as f32) / ppp, size);
        let whole = Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0));
        ui.painter()
            .image(texture.id(), rect, whole, Color32::WHITE);
        let paint = PaintReport {
            token: ring.token,
            width_px: (field.right() * ppp).round() as u32,
            height_px: (field.bottom() * ppp).round() as u32,
            pixels_per_point: ppp,
            raster_rect: PixelRect {
                left,
                top,
                width: raster.width_px,
                height: raster.height_px,
            },
        };
        self.happened.push(Happened::Painted { paint, at });
        self.paints = match self.paints {
            (token, count) if token == ring.token => (token, count + 1),
            _ => (ring.token, 1),
        };
        // The window is not painted again by itself, and one paint alone does not count.
        if self.paints.1 < PAINTS {
            ctx.request_repaint();
        }
    }
}
