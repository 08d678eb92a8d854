//! The person's window: calm, without names and results. What both windows know of each other is here; what
//! is heard, what is seen and the outline of a card are drawn each in a room of its own.

mod card;
mod hearing;
mod sight;

pub use card::CARD_MM;
pub use sight::Viewed;

use super::keys::KeyMap;
use super::session::Turn;
use super::style::{Theme, type_size};
use super::words::{Text, person as say, speaking};
use crate::quantity::{Ear, Eye, Mm};
use crate::report::words::Lang;
use crate::station::screen::PaintReport;
use crate::stimulus::{Facing, OptotypeSet, Raster};
use eframe::egui::{
    self, Align, ColorImage, Context, FontId, Key, Pos2, Rect, Role, Sense, TextureHandle, Ui,
    WidgetInfo, text::LayoutJob,
};
use sight::sight_field;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

/// What the window shows.
#[derive(Debug, Clone, PartialEq)]
pub enum View {
    /// A line of text and nothing to do.
    Calm(Text),
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
        kind_word: Option<Text>,
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
    /// Physical pixels a logical point of the display, however large text is.
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
    lang: Lang,
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
            view: View::Calm(say::PLEASE_WAIT),
            viewed: Viewed {
                distance: Mm(500.0),
                pixel: None,
            },
            theme,
            lang: Lang::English,
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

    /// The person's language, which need not be the examiner's.
    pub fn speak(&self, lang: Lang) {
        self.state().lang = lang;
    }

    /// Takes other keys.
    pub fn take_keys(&self, keys: &KeyMap) {
        self.state().keys = keys.clone();
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
        let lang = self.state().lang;
        speaking(lang, || self.draw(ui))
    }

    fn draw(&self, ui: &mut Ui) -> bool {
        let state = &mut *self.state();
        let now = Instant::now();
        state.take_keys(ui, now);
        let full = ui.ctx().content_rect();
        let ppp = ui.ctx().pixels_per_point();
        let field = sight_field(full, state.viewed);
        state.field = Some(Field {
            width_px: (field.width() * ppp).floor() as u32,
            height_px: (field.height() * ppp).floor() as u32,
            pixels_per_point: own_scale(ui.ctx()),
            monitor_px: ui.input(|input| {
                let size = input.viewport().monitor_size?;
                Some([size.x, size.y].map(|points| (points * ppp).round() as u32))
            }),
        });
        match state.view.clone() {
            View::Calm(text) => state.calm(ui, full, &text),
            View::Hearing => state.hearing(ui, full, now),
            View::Sides => state.sides(ui, full),
            View::Turns(turn) => state.turns(ui, full, turn, now),
            sight @ View::Sight { .. } => state.sight(ui, full, sight, now),
            View::Card { size_px } => card::outline(ui, full, size_px, ppp),
        }
        !state.happened.is_empty()
    }
}

/// The display's own scale: physical pixels a point before text was made larger.
fn own_scale(ctx: &Context) -> f32 {
    let scale = ctx.pixels_per_point() / ctx.zoom_factor();
    ctx.native_pixels_per_point().unwrap_or(scale)
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
}
