//! The outline on which a card is laid, to measure the window's pixels.

use crate::desk::style::{Theme, type_size};
use crate::desk::words::person as say;
use eframe::egui::{Align2, Color32, FontId, Rect, Stroke, StrokeKind, Ui, vec2};

/// An ID-1 card, mm (ISO/IEC 7810, ID-1: 85.60 by 53.98).
pub const CARD_MM: [f64; 2] = [85.60, 53.98];

/// Draws the outline of a card.
pub(super) fn outline(ui: &Ui, full: Rect, size_px: [u32; 2], ppp: f32) {
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
        say::LAY_CARD,
        FontId::proportional(type_size::BODY),
        Theme::PAPER.ink,
    );
}
