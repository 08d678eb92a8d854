//! The person's window: calm, without names and results. While tones are tested nothing in it
//! depends on them; while rings are shown every paint is reported, since only a ring that was
//! painted twice in the same way counts as shown.

use super::keys::KeyMap;
use super::pad::pad;
use super::style::{Theme, line, type_size};
use super::words;
use crate::quantity::{Ear, Eye};
use crate::station::screen::{PaintReport, PixelRect};
use crate::stimulus::{Facing, Raster};
use eframe::egui::{
    self, Align, Align2, Color32, ColorImage, FontId, Key, Pos2, Rect, Role, Sense, Stroke,
    StrokeKind, TextureHandle, TextureOptions, Ui, Vec2, WidgetInfo, pos2, text::LayoutJob, vec2,
};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

/// An ID-1 card, mm (ISO/IEC 7810, ID-1: 85.60 by 53.98).
pub const CARD_MM: [f64; 2] = [85.60, 53.98];

/// How often a ring is painted at the least: the first paint may come before the window has its
/// size.
const PAINTS: u32 = 4;

/// What the window shows.
#[derive(Debug, Clone, PartialEq)]
pub enum View {
    /// A line of text and nothing to do.
    Calm(&'static str),
    /// The task of hearing and one large target.
    Hearing,
    /// Which side was it?
    Sides,
    /// Rings, and the directions to choose from.
    Sight {
        /// Which eye looks.
        eye: Eye,
        /// The directions.
        facings: &'static [Facing],
        /// The ring, if one is to be seen now.
        ring: Option<Picture>,
    },
    /// The outline of a card, so many physical pixels wide.
    Card {
        /// Its width.
        width_px: u32,
    },
}

/// The pixels of a ring.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Tells it from all others.
    pub token: u64,
    /// Its pixels.
    pub raster: Arc<Raster>,
}

/// What happened in the window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Happened {
    /// A key was pressed.
    Key {
        /// Which.
        key: Key,
        /// When.
        at: Instant,
    },
    /// A key that sizes the outline of a card, held or not.
    Resize(Key),
    /// The target was pressed.
    Press {
        /// When.
        at: Instant,
    },
    /// A direction was chosen.
    Facing {
        /// Which.
        facing: Facing,
        /// When.
        at: Instant,
    },
    /// A side was chosen.
    Side(Ear),
    /// A ring was painted.
    Painted {
        /// How.
        paint: PaintReport,
        /// When.
        at: Instant,
    },
}

/// The field in which rings are shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Physical pixels across.
    pub width_px: u32,
    /// Physical pixels from top to bottom.
    pub height_px: u32,
    /// Physical pixels a logical point.
    pub pixels_per_point: f32,
}

/// What both windows know of each other.
struct State {
    view: View,
    theme: Theme,
    keys: KeyMap,
    happened: Vec<Happened>,
    field: Option<Field>,
    texture: Option<(u64, TextureHandle)>,
    /// The ring that was painted last, and how often.
    paints: (u64, u32),
}

/// The person's window, as both sides hold it.
#[derive(Clone)]
pub struct PersonWindow(Arc<Mutex<State>>);

impl PersonWindow {
    /// A window that asks to wait.
    #[must_use]
    pub fn new(theme: Theme, keys: KeyMap) -> PersonWindow {
        PersonWindow(Arc::new(Mutex::new(State {
            view: View::Calm(words::PLEASE_WAIT),
            theme,
            keys,
            happened: Vec::new(),
            field: None,
            texture: None,
            paints: (0, 0),
        })))
    }

    fn state(&self) -> MutexGuard<'_, State> {
        // A panic while it was held leaves plain data that is still good.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Sets what is shown; whether that changed anything.
    #[must_use]
    pub fn set(&self, view: View) -> bool {
        let mut state = self.state();
        let changed = state.view != view;
        state.view = view;
        changed
    }

    /// What is shown.
    #[must_use]
    pub fn view(&self) -> View {
        self.state().view.clone()
    }

    /// Takes what has happened since the last time.
    #[must_use]
    pub fn take(&self) -> Vec<Happened> {
        std::mem::take(&mut self.state().happened)
    }

    /// Where rings are shown, once the window was painted.
    #[must_use]
    pub fn field(&self) -> Option<Field> {
        self.state().field
    }

    /// Draws the window; whether the examiner's side has something to take.
    pub fn ui(&self, ui: &mut Ui) -> bool {
        let state = &mut *self.state();
        let now = Instant::now();
        state.take_keys(ui, now);
        let full = ui.ctx().content_rect();
        let ppp = ui.ctx().pixels_per_point();
        let field = sight_field(full);
        state.field = Some(Field {
            width_px: (field.width() * ppp).floor() as u32,
            height_px: (field.height() * ppp).floor() as u32,
            pixels_per_point: ppp,
        });
        match state.view.clone() {
            View::Calm(text) => state.calm(ui, full, text),
            View::Hearing => state.hearing(ui, full, now),
            View::Sides => state.sides(ui, full),
            View::Sight { eye, facings, ring } => state.sight(ui, full, eye, facings, ring, now),
            View::Card { width_px } => card(ui, full, width_px, ppp),
        }
        !state.happened.is_empty()
    }
}

/// The part of the window that is left for rings: beside the pad, or above it.
fn sight_field(full: Rect) -> Rect {
    let (pad, _) = split(full);
    if full.width() > full.height() {
        Rect::from_min_max(full.min, pos2(pad.left(), full.bottom()))
    } else {
        Rect::from_min_max(full.min, pos2(full.right(), pad.top()))
    }
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
    fn take_keys(&mut self, ui: &Ui, at: Instant) {
        ui.input(|input| {
            for event in &input.events {
                if let egui::Event::Key {
                    key,
                    pressed: true,
                    repeat,
                    ..
                } = event
                {
                    if matches!(self.view, View::Card { .. }) {
                        self.happened.push(Happened::Resize(*key));
                    }
                    // A key that is held down is one press.
                    if !repeat {
                        self.happened.push(Happened::Key { key: *key, at });
                    }
                }
            }
        });
    }

    /// Centred text, which a screen reader reads too.
    fn say(&self, ui: &mut Ui, middle: Pos2, size: f32, text: &str) {
        let width = 0.86 * ui.ctx().content_rect().width();
        let mut job = LayoutJob::simple(
            text.to_owned(),
            FontId::proportional(size),
            self.theme.ink,
            width,
        );
        job.halign = Align::Center;
        let galley = ui.painter().layout_job(job);
        let rect = Rect::from_center_size(middle, galley.size());
        let response = ui.interact(rect, ui.scope_id().with(text), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text));
        ui.painter()
            .galley(rect.center_top(), galley, self.theme.ink);
    }

    fn calm(&self, ui: &mut Ui, full: Rect, text: &str) {
        ui.painter().rect_filled(full, 0.0, self.theme.ground);
        self.say(ui, full.center(), type_size::HEADING, text);
    }

    fn hearing(&mut self, ui: &mut Ui, full: Rect, now: Instant) {
        ui.painter().rect_filled(full, 0.0, self.theme.ground);
        let radius = (0.2 * full.width().min(full.height())).clamp(90.0, 190.0);
        let centre = full.center() + vec2(0.0, 0.12 * full.height());
        self.say(
            ui,
            pos2(full.center().x, full.top() + 0.14 * full.height()),
            type_size::HEADING,
            words::HEARING_TASK,
        );
        self.say(
            ui,
            pos2(full.center().x, full.top() + 0.25 * full.height()),
            type_size::LARGE,
            words::HEARING_TASK_2,
        );
        let rect = Rect::from_center_size(centre, Vec2::splat(2.0 * radius));
        let response = ui.interact(rect, ui.scope_id().with("hear"), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, words::I_HEAR_IT));
        // The press counts, not the release.
        let down = response.contains_pointer() && ui.input(|input| input.pointer.primary_pressed());
        if down {
            self.happened.push(Happened::Press { at: now });
        }
        let held = response.is_pointer_button_down_on()
            || self
                .keys
                .hear
                .iter()
                .any(|key| ui.input(|input| input.key_down(*key)));
        // It answers to the finger alone, tone or none.
        let fill = if held {
            self.theme.band
        } else {
            self.theme.sheet
        };
        let painter = ui.painter();
        painter.circle(
            centre,
            radius,
            fill,
            Stroke::new(line::BOLD, self.theme.accent),
        );
        let say = |offset: f32, size: f32, text: &str, colour: Color32| {
            painter.text(
                centre + vec2(0.0, offset),
                Align2::CENTER_CENTER,
                text,
                FontId::proportional(size),
                colour,
            );
        };
        say(-8.0, type_size::HEADING, words::I_HEAR_IT, self.theme.ink);
        let key = self
            .keys
            .hear
            .first()
            .map_or("", |key| super::keys::written(*key));
        say(
            34.0,
            type_size::BODY,
            &format!("key {key}"),
            self.theme.ink_soft,
        );
    }

    fn sides(&mut self, ui: &mut Ui, full: Rect) {
        ui.painter().rect_filled(full, 0.0, self.theme.ground);
        self.say(
            ui,
            pos2(full.center().x, full.top() + 0.18 * full.height()),
            type_size::HEADING,
            words::SIDES_TASK,
        );
        let radius = 0.16 * full.width().min(full.height()) + 20.0;
        for (ear, sign, text) in [(Ear::Left, -1.0, "left"), (Ear::Right, 1.0, "right")] {
            let centre = full.center() + vec2(sign * 0.24 * full.width(), 0.06 * full.height());
            let rect = Rect::from_center_size(centre, Vec2::splat(2.0 * radius));
            let response = ui.interact(rect, ui.scope_id().with(("side", text)), Sense::click());
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, text));
            if response.clicked() {
                self.happened.push(Happened::Side(ear));
            }
            let painter = ui.painter();
            painter.circle(
                centre,
                radius,
                self.theme.sheet,
                Stroke::new(line::BOLD, self.theme.accent),
            );
            painter.text(
                centre,
                Align2::CENTER_CENTER,
                text,
                FontId::proportional(type_size::HEADING),
                self.theme.ink,
            );
        }
    }

    fn sight(
        &mut self,
        ui: &mut Ui,
        full: Rect,
        eye: Eye,
        facings: &[Facing],
        ring: Option<Picture>,
        now: Instant,
    ) {
        ui.painter().rect_filled(full, 0.0, Color32::WHITE);
        let (rect, side) = split(full);
        let keys = self.keys.clone();
        let middle = Rect::from_center_size(rect.center() + vec2(0.0, 20.0), Vec2::splat(side));
        let mut chosen = None;
        ui.scope_builder(egui::UiBuilder::new().max_rect(middle), |ui| {
            chosen = pad(ui, &Theme::PAPER, side, facings, |facing| {
                keys.facing_name(facing)
            });
        });
        let above = |offset: f32, size: f32, text: &str, colour: Color32| {
            ui.painter().text(
                middle.center_top() - vec2(0.0, offset),
                Align2::CENTER_BOTTOM,
                text,
                FontId::proportional(size),
                colour,
            );
        };
        above(30.0, type_size::BODY, words::SIGHT_TASK, Theme::PAPER.ink);
        above(
            10.0,
            type_size::SMALL,
            words::cover(eye),
            Theme::PAPER.ink_soft,
        );
        if let Some(facing) = chosen {
            self.happened.push(Happened::Facing { facing, at: now });
        }
        match ring {
            Some(ring) => self.ring(ui, full, &ring, now),
            None => self.texture = None,
        }
    }

    /// Paints a ring on whole physical pixels and reports how.
    fn ring(&mut self, ui: &mut Ui, full: Rect, ring: &Picture, at: Instant) {
        let ctx = ui.ctx().clone();
        let ppp = ctx.pixels_per_point();
        let field = sight_field(full);
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
            let size = [raster.width_px as usize, raster.height_px as usize];
            let image = ColorImage::from_gray(size, &raster.grey);
            ctx.load_texture("ring", image, TextureOptions::NEAREST)
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

/// Draws the outline of a card.
fn card(ui: &Ui, full: Rect, width_px: u32, ppp: f32) {
    ui.painter().rect_filled(full, 0.0, Color32::WHITE);
    let width = width_px as f32 / ppp;
    let height = width * (CARD_MM[1] / CARD_MM[0]) as f32;
    let rect = Rect::from_center_size(full.center(), vec2(width, height));
    let painter = ui.painter();
    painter.rect_filled(rect, 0.0, Theme::PAPER.band);
    painter.rect_stroke(
        rect,
        0.0,
        Stroke::new(1.0 / ppp, Theme::PAPER.ink),
        StrokeKind::Inside,
    );
    painter.text(
        rect.center(),
        Align2::CENTER_CENTER,
        words::LAY_CARD,
        FontId::proportional(type_size::BODY),
        Theme::PAPER.ink,
    );
}
