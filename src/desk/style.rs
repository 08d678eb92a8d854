//! Colours, sizes and type of every window, as data in one place.
//!
//! Ink on warm paper, one green accent; a second set of the same colours for a dark room. No
//! other file names a colour. Ears and eyes have the two colours of the Okabe-Ito palette that
//! stay apart with every kind of colour vision (M. Okabe, K. Ito, Color Universal Design, 2008),
//! and never differ by colour alone.

use crate::quantity::{Ear, Eye};
use eframe::egui::{
    self, Button, Color32, Context, CornerRadius, FontFamily, FontId, Margin, Shadow, Stroke,
    TextStyle, Vec2, Visuals, style::WidgetVisuals,
};

/// One set of colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Theme {
    /// Whether light ink stands on dark ground.
    pub dark: bool,
    /// The window's ground.
    pub ground: Color32,
    /// A sheet that lies on the ground: figures, fields, cards.
    pub sheet: Color32,
    /// What the pointer is over.
    pub wash: Color32,
    /// Text.
    pub ink: Color32,
    /// Secondary text.
    pub ink_soft: Color32,
    /// Axes, borders, hatching, and marks that do not measure.
    pub quiet: Color32,
    /// Grid lines: they guide the eye and carry nothing by themselves.
    pub hair: Color32,
    /// The accent: what to do next, where the focus is, what is believed.
    pub accent: Color32,
    /// Text on the accent.
    pub on_accent: Color32,
    /// A pale accent: what is chosen, bands of belief.
    pub band: Color32,
    /// Text that asks for attention.
    pub alert: Color32,
    /// The right ear, the right eye.
    pub right: Color32,
    /// The left ear, the left eye.
    pub left: Color32,
}

impl Theme {
    /// Ink on paper, for daylight.
    pub const PAPER: Theme = Theme {
        dark: false,
        ground: Color32::from_rgb(0xF4, 0xEF, 0xE4),
        sheet: Color32::from_rgb(0xFD, 0xFB, 0xF6),
        wash: Color32::from_rgb(0xEB, 0xE4, 0xD5),
        ink: Color32::from_rgb(0x24, 0x20, 0x1B),
        ink_soft: Color32::from_rgb(0x62, 0x5A, 0x4F),
        quiet: Color32::from_rgb(0x84, 0x7B, 0x6E),
        hair: Color32::from_rgb(0xE0, 0xD9, 0xCB),
        accent: Color32::from_rgb(0x1F, 0x64, 0x4E),
        on_accent: Color32::from_rgb(0xFD, 0xFB, 0xF6),
        band: Color32::from_rgb(0xD3, 0xE4, 0xD9),
        alert: Color32::from_rgb(0x80, 0x4A, 0x00),
        right: VERMILION,
        left: BLUE,
    };

    /// The same by lamplight, for a dark room.
    pub const DARK_ROOM: Theme = Theme {
        dark: true,
        ground: Color32::from_rgb(0x12, 0x10, 0x0E),
        sheet: Color32::from_rgb(0x1B, 0x18, 0x15),
        wash: Color32::from_rgb(0x2A, 0x26, 0x21),
        ink: Color32::from_rgb(0xEA, 0xE2, 0xD5),
        ink_soft: Color32::from_rgb(0xB2, 0xA9, 0x9B),
        quiet: Color32::from_rgb(0x83, 0x7B, 0x6F),
        hair: Color32::from_rgb(0x30, 0x2B, 0x26),
        accent: Color32::from_rgb(0x7C, 0xC4, 0xA5),
        on_accent: Color32::from_rgb(0x10, 0x1C, 0x17),
        band: Color32::from_rgb(0x1F, 0x38, 0x2E),
        alert: Color32::from_rgb(0xE8, 0xB2, 0x62),
        right: VERMILION,
        left: BLUE,
    };

    /// The colour of an ear.
    #[must_use]
    pub fn ear(&self, ear: Ear) -> Color32 {
        match ear {
            Ear::Right => self.right,
            Ear::Left => self.left,
        }
    }

    /// The colour of an eye; both eyes together are ink.
    #[must_use]
    pub fn eye(&self, eye: Eye) -> Color32 {
        match eye {
            Eye::Right => self.right,
            Eye::Left => self.left,
            Eye::Both => self.ink,
        }
    }
}

const VERMILION: Color32 = Color32::from_rgb(0xD5, 0x5E, 0x00);
const BLUE: Color32 = Color32::from_rgb(0x00, 0x72, 0xB2);

/// The least height of whatever can be pressed, points (44 CSS px: WCAG 2.2, 2.5.5).
pub const TARGET: f32 = 44.0;
/// The distance between neighbours; all other distances are multiples of it, points.
pub const STEP: f32 = 8.0;
/// The radius of corners, points.
pub const CORNER: u8 = 5;

/// Sizes of type, points.
pub mod type_size {
    /// Figures and remarks.
    pub const SMALL: f32 = 13.0;
    /// Text and buttons.
    pub const BODY: f32 = 16.0;
    /// What a card says first.
    pub const LARGE: f32 = 21.0;
    /// Titles.
    pub const HEADING: f32 = 28.0;
}

/// Widths of lines, points.
pub mod line {
    /// Grid and hatching.
    pub const HAIR: f32 = 1.0;
    /// Axes, borders, open marks.
    pub const FINE: f32 = 1.4;
    /// Curves and the marks of thresholds.
    pub const BOLD: f32 = 2.0;
}

/// The type of a figure's lettering.
#[must_use]
pub fn figure_font() -> FontId {
    FontId::proportional(type_size::SMALL)
}

/// The button of what is to be done next; there is at most one on a page.
pub fn primary(theme: &Theme, text: &str) -> Button<'static> {
    let text = egui::RichText::new(text).color(theme.on_accent);
    Button::new(text)
        .fill(theme.accent)
        .stroke(Stroke::NONE)
        .min_size(Vec2::new(3.0 * TARGET, TARGET))
}

/// A frame that lays a sheet on the ground.
pub fn sheet(theme: &Theme) -> egui::Frame {
    egui::Frame::new()
        .fill(theme.sheet)
        .stroke(Stroke::new(line::HAIR, theme.hair))
        .corner_radius(CornerRadius::same(CORNER))
        .inner_margin(Margin::same(2 * STEP as i8))
}

/// Gives a context the theme's look.
pub fn apply(ctx: &Context, theme: &Theme) {
    let side = if theme.dark {
        egui::Theme::Dark
    } else {
        egui::Theme::Light
    };
    ctx.set_theme(side);
    // Both of the toolkit's styles, so that the desktop's own choice changes nothing.
    ctx.all_styles_mut(|style| {
        style.visuals = visuals(theme);
        style.text_styles = [
            (TextStyle::Small, type_size::SMALL, FontFamily::Proportional),
            (TextStyle::Body, type_size::BODY, FontFamily::Proportional),
            (TextStyle::Button, type_size::BODY, FontFamily::Proportional),
            (
                TextStyle::Heading,
                type_size::HEADING,
                FontFamily::Proportional,
            ),
            (
                TextStyle::Monospace,
                type_size::SMALL,
                FontFamily::Monospace,
            ),
        ]
        .into_iter()
        .map(|(name, size, family)| (name, FontId::new(size, family)))
        .collect();
        let spacing = &mut style.spacing;
        spacing.item_spacing = Vec2::splat(STEP);
        spacing.interact_size = Vec2::splat(TARGET);
        spacing.button_padding = Vec2::new(2.0 * STEP, STEP);
        spacing.window_margin = Margin::same(2 * STEP as i8);
        spacing.icon_width = 3.0 * STEP;
        spacing.icon_width_inner = 1.5 * STEP;
        spacing.text_edit_width = 320.0;
        // What moves by itself draws the eye from the person.
        style.animation_time = 0.0;
    });
}

fn visuals(theme: &Theme) -> Visuals {
    let mut visuals = if theme.dark {
        Visuals::dark()
    } else {
        Visuals::light()
    };
    visuals.panel_fill = theme.ground;
    visuals.window_fill = theme.sheet;
    visuals.window_stroke = Stroke::new(line::HAIR, theme.quiet);
    visuals.window_corner_radius = CornerRadius::same(CORNER);
    visuals.menu_corner_radius = CornerRadius::same(CORNER);
    visuals.window_shadow = Shadow::NONE;
    visuals.popup_shadow = Shadow::NONE;
    visuals.extreme_bg_color = theme.sheet;
    visuals.faint_bg_color = theme.wash;
    visuals.code_bg_color = theme.wash;
    visuals.hyperlink_color = theme.accent;
    visuals.warn_fg_color = theme.alert;
    visuals.error_fg_color = theme.alert;
    visuals.weak_text_color = Some(theme.ink_soft);
    visuals.selection.bg_fill = theme.band;
    visuals.selection.stroke = Stroke::new(line::BOLD, theme.accent);
    visuals.text_cursor.stroke = Stroke::new(line::BOLD, theme.accent);
    let widgets = &mut visuals.widgets;
    widgets.noninteractive = widget(theme.ground, theme.hair, theme.ink);
    widgets.inactive = widget(theme.sheet, theme.quiet, theme.ink);
    widgets.hovered = widget(theme.wash, theme.ink_soft, theme.ink);
    widgets.active = widget(theme.band, theme.accent, theme.ink);
    widgets.open = widget(theme.wash, theme.quiet, theme.ink);
    visuals
}

fn widget(fill: Color32, border: Color32, text: Color32) -> WidgetVisuals {
    WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(line::FINE, border),
        corner_radius: CornerRadius::same(CORNER),
        fg_stroke: Stroke::new(line::FINE, text),
        expansion: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui_kittest::{Harness, kittest::Queryable};

    /// WCAG 2.2, definition of relative luminance.
    fn luminance(colour: Color32) -> f64 {
        let part = |byte: u8| {
            let share = f64::from(byte) / 255.0;
            if share <= 0.040_45 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(colour.r()) + 0.7152 * part(colour.g()) + 0.0722 * part(colour.b())
    }

    /// WCAG 2.2, definition of contrast ratio.
    fn contrast(one: Color32, other: Color32) -> f64 {
        let (a, b) = (luminance(one), luminance(other));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn the_ratio_is_the_published_one() {
        // WCAG 2.2: black on white is 21:1. #767676 on white is 4.54:1 (the darkest grey that
        // passes AA, WebAIM contrast checker, from memory).
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        assert!((contrast(Color32::from_gray(0x76), Color32::WHITE) - 4.54).abs() < 0.005);
    }

    #[test]
    fn every_text_and_every_mark_can_be_told_from_what_is_behind() {
        for theme in [Theme::PAPER, Theme::DARK_ROOM] {
            let behind = [theme.ground, theme.sheet];
            let texts = [theme.ink, theme.ink_soft, theme.accent, theme.alert];
            let text_pairs = texts.iter().flat_map(|text| behind.map(|one| (*text, one)));
            let on_fills = [
                (theme.ink, theme.wash),
                (theme.ink_soft, theme.wash),
                (theme.ink, theme.band),
                (theme.accent, theme.band),
                (theme.on_accent, theme.accent),
            ];
            // WCAG 2.2, 1.4.3: 4.5:1 for text.
            for (text, fill) in text_pairs.chain(on_fills) {
                let ratio = contrast(text, fill);
                assert!(ratio >= 4.5, "{text:?} on {fill:?}: {ratio:.2}");
            }
            let marks = [theme.right, theme.left, theme.quiet];
            let mark_pairs = marks.iter().flat_map(|mark| behind.map(|one| (*mark, one)));
            // WCAG 2.2, 1.4.11: 3:1 for graphics.
            for (mark, fill) in mark_pairs {
                let ratio = contrast(mark, fill);
                assert!(ratio >= 3.0, "{mark:?} on {fill:?}: {ratio:.2}");
            }
        }
    }

    #[test]
    fn buttons_are_large_enough_to_hit() {
        for theme in [Theme::PAPER, Theme::DARK_ROOM] {
            let harness = Harness::builder()
                .with_context_setup(move |ctx| apply(ctx, &theme))
                .build_ui(move |ui| {
                    let _ = ui.button("Plain");
                    ui.add(primary(&theme, "First"));
                });
            for name in ["Plain", "First"] {
                let height = harness.get_by_label(name).rect().height();
                assert!(height >= TARGET, "{name}: {height}");
            }
        }
    }
}
