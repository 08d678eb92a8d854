//! Figures in a window: what they show comes from the report's figures, and is told to a screen
//! reader and as a table.

mod paint;
pub mod stream;

pub use crate::report::figure::{Acuity, Audiogram, Table};
pub use stream::Stream;

use super::style::{Theme, type_size};
use super::words::spoken;
use crate::report::figure::Drawing;
use eframe::egui::{Grid, Painter, Rect, Response, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

/// A figure.
pub trait Figure {
    /// What it shows, in a few sentences.
    fn description(&self) -> String;

    /// The same in rows.
    fn table(&self) -> Table;

    /// Draws it into `area`.
    fn paint(&self, painter: &Painter, area: Rect, theme: &Theme);
}

impl<D: Drawing> Figure for D {
    fn description(&self) -> String {
        self.told(spoken())
    }

    fn table(&self) -> Table {
        self.rows(spoken())
    }

    fn paint(&self, painter: &Painter, area: Rect, theme: &Theme) {
        paint::shapes(painter, &self.shapes(paint::area(area), spoken()), theme);
    }
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
                ui.label(RichText::new(title).small().color(theme.ink_soft));
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
    spoken().number(value, decimals)
}

#[cfg(test)]
mod tests;
