//! Figures: each is first a plain value that tells what is shown, then drawn.
//!
//! Building one folds trials into beliefs, so build it when something has happened, not for every
//! frame. What is drawn is also told in words, to a screen reader and as a table.

pub mod acuity;
pub mod audiogram;
mod mark;
pub mod stream;

pub use acuity::Acuity;
pub use audiogram::Audiogram;
pub use stream::Stream;

use super::style::{Theme, type_size};
use eframe::egui::{Grid, Painter, Rect, Response, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

/// What a figure shows, in rows: its accessible alternative.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// The columns.
    pub head: Vec<&'static str>,
    /// The rows, each as long as the head.
    pub rows: Vec<Vec<String>>,
}

/// A figure.
pub trait Figure {
    /// What it shows, in a few sentences.
    fn description(&self) -> String;

    /// The same in rows.
    fn table(&self) -> Table;

    /// Draws it into `area`.
    fn paint(&self, painter: &Painter, area: Rect, theme: &Theme);
}

/// Puts a figure of `size` into the window and tells the screen reader what it shows.
pub fn show(ui: &mut Ui, theme: &Theme, figure: &dyn Figure, size: Vec2) -> Response {
    let (response, painter) = ui.allocate_painter(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, figure.description()));
    if ui.is_rect_visible(response.rect) {
        figure.paint(&painter, response.rect, theme);
    }
    response
}

/// Puts a figure's table into the window; `name` keeps tables of one page apart.
pub fn show_table(ui: &mut Ui, theme: &Theme, table: &Table, name: &str) {
    Grid::new(name)
        .striped(true)
        .min_row_height(1.5 * type_size::BODY)
        .spacing(Vec2::new(2.0 * type_size::BODY, 0.5 * type_size::BODY))
        .show(ui, |ui| {
            for title in &table.head {
                ui.label(RichText::new(*title).small().color(theme.ink_soft));
            }
            ui.end_row();
            for row in &table.rows {
                for cell in row {
                    ui.label(cell);
                }
                ui.end_row();
            }
        });
}

/// A number with a true minus sign.
fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| c == '0' || c == '.') => digits.to_owned(),
        Some(digits) => format!("\u{2212}{digits}"),
        None => text,
    }
}

/// Every how many steps an axis is lettered that has room for so many: each, or every 2nd, 5th,
/// 10th.
fn lettered_every(steps: f64, room: f64) -> f64 {
    let least = steps / room.max(1.0);
    let usual = [1.0, 2.0, 5.0].into_iter().find(|every| *every >= least);
    usual.unwrap_or(10.0)
}

#[cfg(test)]
mod tests;
