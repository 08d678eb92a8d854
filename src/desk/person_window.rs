//! The person's window: calm, without names and results. While tones are tested nothing in it
//! depends on them; while rings are shown every paint is reported, since only a ring that was
//! painted twice in the same way counts as shown.

use super::keys::KeyMap;
use super::pad::{Chosen, pad};
use super::session::Turn;
use super::style::{Theme, line, type_size};
use super::words;
use crate::quantity::{Ear, Eye, LogMar, Mm};
use crate::station::screen::{PaintReport, PixelRect};
use crate::stimulus::{Facing, OptotypeSet, Raster};
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
    /// Two turns, of which one has the tone.
    Turns(Turn),
    /// Rings, and the directions to choose from.
    Sight {
        /// Which eye looks.
        eye: Eye,
        /// What is shown and asked for.
        set: OptotypeSet,
        /// What is to be seen now, if anything.
        ring: Option<Picture>,
        /// White on black.
        reverse: bool,
        /// Whether nothing is shown yet and the task is to be read.
        waits: bool,
        /// Whether a guess is asked for.
        guess: bool,
        /// A kind word between two optotypes; when it comes does not depend on the answers.
        kind_word: Option<&'static str>,
    },
    /// The outline of a card.
    Card {
        /// Its width and height, physical pixels.
        size_px: [u32; 2],
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

impl Picture {
    /// As the toolkit takes it.
    #[must_use]
    pub fn image(&self) -> ColorImage {
        let size = [
            self.raster.width_px as usize,
            self.raster.height_px as usize,
        ];
        ColorImage::from_gray(size, &self.raster.grey)
    }
}

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
        let high = crate::standard::iso_8596_2017::height(LEGIBLE, self.distance).0;
        ((high / SMALL_LETTER / pixel) as f32 / pixels_per_point).max(type_size::HEADING)
    }
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
    /// The person cannot tell.
    Unsure,
    /// A side was chosen.
    Side(Ear),
    /// One of two turns was chosen.
    Turn {
        /// 1 or 2.
        interval: u8,
        /// When.
        at: Instant,
    },
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
    /// The display's physical pixels, if the system tells.
    pub monitor_px: Option<[u32; 2]>,
}

impl Field {
    /// What the system tells of the display: its mode, since its name it does not.
    #[must_use]
    pub fn monitor(&self) -> Option<String> {
        self.monitor_px
            .map(|[width, height]| format!("{width} by {height} pixels"))
    }
}

/// What both windows know of each other.
struct State {
    view: View,
    viewed: Viewed,
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
            viewed: Viewed {
                distance: Mm(500.0),
                pixel: None,
            },
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

    /// Its colours.
    #[must_use]
    pub fn theme(&self) -> Theme {
        self.state().theme
    }

    /// Sets what is shown; whether that changed anything.
    #[must_use]
    pub fn set(&self, view: View) -> bool {
        let mut state = self.state();
        let changed = state.view != view;
        state.view = view;
        changed
    }

    /// Sets from where it is seen.
    pub fn viewed(&self, viewed: Viewed) {
        self.state().viewed = viewed;
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
        let field = sight_field(full, state.viewed);
        state.field = Some(Field {
            width_px: (field.width() * ppp).floor() as u32,
            height_px: (field.height() * ppp).floor() as u32,
            pixels_per_point: ppp,
            monitor_px: ui.input(|input| {
                let size = input.viewport().monitor_size?;
                Some([size.x, size.y].map(|points| (points * ppp).round() as u32))
            }),
        });
        match state.view.clone() {
            View::Calm(text) => state.calm(ui, full, text),
            View::Hearing => state.hearing(ui, full, now),
            View::Sides => state.sides(ui, full),
            View::Turns(turn) => state.turns(ui, full, turn, now),
            sight @ View::Sight { .. } => state.sight(ui, full, sight, now),
            View::Card { size_px } => card(ui, full, size_px, ppp),
        }
        !state.happened.is_empty()
    }
}

/// The part of the window that is left for rings: all but a line's height at the foot, or beside
/// the pad, or above it.
fn sight_field(full: Rect, viewed: Viewed) -> Rect {
    if !viewed.in_reach() {
        let foot = full.bottom() - (0.12 * full.height()).max(48.0);
        return Rect::from_min_max(full.min, pos2(full.right(), foot));
    }
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

    /// Two targets that light up in turn, tone or none, and then wait for a choice.
    fn turns(&mut self, ui: &mut Ui, full: Rect, turn: Turn, now: Instant) {
        ui.painter().rect_filled(full, 0.0, self.theme.ground);
        let chooses = turn == Turn::Choose;
        let task = if chooses {
            words::WHICH_TURN
        } else {
            words::TURNS_TASK
        };
        let at = pos2(full.center().x, full.top() + 0.18 * full.height());
        self.say(ui, at, type_size::HEADING, task);
        let side = (0.34 * full.width().min(full.height())).max(120.0);
        let both = [
            (1, Turn::First, Facing::Left, -1.0),
            (2, Turn::Second, Facing::Right, 1.0),
        ];
        for (interval, of, facing, sign) in both {
            let centre = full.center() + vec2(sign * 0.72 * side, 0.06 * full.height());
            let rect = Rect::from_center_size(centre, Vec2::splat(side));
            let number = interval.to_string();
            let id = ui.scope_id().with(("turn", interval));
            let response = ui.interact(rect, id, Sense::click());
            response.widget_info(|| WidgetInfo::labeled(Role::Button, chooses, &number));
            if chooses && response.clicked() {
                self.happened.push(Happened::Turn { interval, at: now });
            }
            let held = chooses && response.is_pointer_button_down_on();
            let (fill, edge) = match (turn == of || held, chooses) {
                (true, _) => (self.theme.band, self.theme.accent),
                (false, true) => (self.theme.sheet, self.theme.accent),
                (false, false) => (self.theme.ground, self.theme.hair),
            };
            let painter = ui.painter();
            painter.rect_filled(rect, 16.0, fill);
            let edge = Stroke::new(line::BOLD, edge);
            painter.rect_stroke(rect, 16.0, edge, StrokeKind::Inside);
            let font = FontId::proportional(0.4 * side);
            painter.text(centre, Align2::CENTER_CENTER, number, font, self.theme.ink);
            if chooses {
                painter.text(
                    centre + vec2(0.0, 0.38 * side),
                    Align2::CENTER_CENTER,
                    format!("key {}", self.keys.facing_name(facing)),
                    FontId::proportional(type_size::BODY),
                    self.theme.ink_soft,
                );
            }
        }
    }

    fn sight(&mut self, ui: &mut Ui, full: Rect, view: View, now: Instant) {
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
        ui.painter().rect_filled(full, 0.0, Color32::WHITE);
        if reverse {
            let field = sight_field(full, self.viewed);
            ui.painter().rect_filled(field, 0.0, Color32::BLACK);
        }
        if self.viewed.in_reach() {
            let line = if guess {
                words::PLEASE_GUESS
            } else {
                kind_word.unwrap_or(words::sight_task(set))
            };
            self.answering(ui, full, (eye, set), line, now);
        } else if waits {
            self.explain(ui, full, eye, set);
        } else if guess {
            self.at_the_foot(ui, full, words::PLEASE_GUESS);
        } else if let Some(word) = kind_word {
            self.at_the_foot(ui, full, word);
        }
        match ring {
            Some(ring) => self.ring(ui, full, &ring, now),
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
            words::WHEN_READY
        );
        self.say(ui, full.center(), size, &task);
    }

    /// A kind word at the foot, where nothing else is ever shown.
    fn at_the_foot(&self, ui: &mut Ui, full: Rect, text: &str) {
        let foot = 0.5 * (sight_field(full, self.viewed).bottom() + full.bottom());
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
        let lines = [
            (30.0, type_size::BODY, task, Theme::PAPER.ink),
            (
                10.0,
                type_size::SMALL,
                words::cover(eye),
                Theme::PAPER.ink_soft,
            ),
        ];
        for (above, size, text, colour) in lines {
            let at = middle.center_top() - vec2(0.0, above);
            let font = FontId::proportional(size);
            ui.painter()
                .text(at, Align2::CENTER_BOTTOM, text, font, colour);
        }
    }

    /// Paints a ring on whole physical pixels and reports how.
    fn ring(&mut self, ui: &mut Ui, full: Rect, ring: &Picture, at: Instant) {
        let ctx = ui.ctx().clone();
        let ppp = ctx.pixels_per_point();
        let field = sight_field(full, self.viewed);
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

/// Draws the outline of a card.
fn card(ui: &Ui, full: Rect, size_px: [u32; 2], ppp: f32) {
    ui.painter().rect_filled(full, 0.0, Color32::WHITE);
    let [width, height] = size_px.map(|px| px as f32 / ppp);
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
