//! Draws the acuity of one eye.

use super::super::{lettered_every, number};
use super::{Acuity, Belief};
use crate::desk::style::{Theme, figure_font, large_font, line};
use crate::finding::SizeCount;
use eframe::egui::{Align2, Painter, Rect, Stroke, StrokeKind, pos2, vec2};

/// The sizes' numbers.
const LEFT: f32 = 40.0;
/// The counts in figures.
const RIGHT: f32 = 52.0;
const HEAD: f32 = 56.0;
const FOOT: f32 = 8.0;
const CELL_WIDTH: f32 = 14.0;

pub fn paint(acuity: &Acuity, painter: &Painter, area: Rect, theme: &Theme) {
    let field = Rect::from_min_max(area.min + vec2(LEFT, HEAD), area.max - vec2(2.0, FOOT));
    let pen = Pen {
        painter,
        theme,
        field,
        range: acuity.range_log_mar(),
    };
    pen.head(acuity, area);
    if !field.is_positive() {
        return;
    }
    painter.rect_filled(field, 0.0, theme.sheet);
    if let Some(belief) = acuity.belief {
        pen.band(belief);
        pen.midpoint(belief);
    }
    pen.scale();
    let thick = pen.thickness(&acuity.rungs);
    let most = acuity.rungs.iter().map(|rung| rung.of).max().unwrap_or(1);
    let room = (field.width() - RIGHT - 12.0).max(1.0);
    let wide = (room / most.max(1) as f32).min(CELL_WIDTH);
    for rung in &acuity.rungs {
        pen.rung(rung, vec2(wide, thick), theme.eye(acuity.eye));
        if thick >= 9.0 {
            pen.counts(rung, wide, acuity.belief);
        }
    }
}

struct Pen<'a> {
    painter: &'a Painter,
    theme: &'a Theme,
    field: Rect,
    range: [f64; 2],
}

impl Pen<'_> {
    /// Large sizes are at the top, as on a chart.
    fn y(&self, log_mar: f64) -> f32 {
        let [large, small] = self.range;
        let lane = self.field.y_range().shrink(10.0);
        lane.min + ((large - log_mar) / (large - small)) as f32 * lane.span()
    }

    fn head(&self, acuity: &Acuity, area: Rect) {
        let theme = self.theme;
        let small = figure_font();
        let name = self.painter.text(
            area.min,
            Align2::LEFT_TOP,
            acuity.name(),
            small.clone(),
            theme.ink_soft,
        );
        let below = pos2(area.min.x, name.max.y + 2.0);
        let headline = self.painter.layout(
            acuity.headline.clone(),
            large_font(),
            theme.ink,
            area.width(),
        );
        let used = headline.size().x;
        self.painter.galley(below, headline, theme.ink);
        let fractions = acuity.fractions.join("  ·  ");
        let fractions = self
            .painter
            .layout_no_wrap(fractions, small, theme.ink_soft);
        // Beside the headline where there is room, else beside the eye's name.
        let at = if used + 24.0 + fractions.size().x <= area.width() {
            pos2(area.max.x - fractions.size().x, below.y + 6.0)
        } else {
            pos2(area.max.x - fractions.size().x, area.min.y)
        };
        self.painter.galley(at, fractions, theme.ink_soft);
    }

    fn scale(&self) {
        let [large, small] = self.range;
        let tenths = ((large - small) * 10.0).round();
        let every = lettered_every(tenths, f64::from(self.field.height() / 20.0));
        for i in (0..=tenths as u32).map(f64::from) {
            let log_mar = large - i / 10.0;
            let y = self.y(log_mar);
            let tick = Stroke::new(line::HAIR, self.theme.quiet);
            self.painter
                .hline(self.field.min.x - 4.0..=self.field.min.x, y, tick);
            if (log_mar * 10.0).round() % every == 0.0 {
                self.painter.text(
                    pos2(self.field.min.x - 8.0, y),
                    Align2::RIGHT_CENTER,
                    number(log_mar, 1),
                    figure_font(),
                    self.theme.ink_soft,
                );
            }
        }
        let axis = Stroke::new(line::FINE, self.theme.quiet);
        self.painter
            .vline(self.field.min.x, self.field.y_range(), axis);
    }

    fn band(&self, belief: Belief) {
        let [low, high] = belief.interval_90.map(|end| self.y(end));
        let band = Rect::from_x_y_ranges(self.field.x_range(), high..=low);
        let band = band.intersect(self.field);
        if band.is_positive() {
            self.painter.rect_filled(band, 0.0, self.theme.band);
        }
    }

    fn midpoint(&self, belief: Belief) {
        let y = self.y(belief.mean);
        let stroke = Stroke::new(line::BOLD, self.theme.accent);
        self.painter.hline(self.field.x_range(), y, stroke);
        self.painter.text(
            pos2(self.field.max.x - 4.0, y - 2.0),
            Align2::RIGHT_BOTTOM,
            "midpoint",
            figure_font(),
            self.theme.accent,
        );
    }

    /// As thick as the nearest two rungs allow.
    fn thickness(&self, rungs: &[SizeCount]) -> f32 {
        let gaps = rungs.windows(2).filter_map(|pair| match pair {
            [above, below] => Some(self.y(below.log_mar.0) - self.y(above.log_mar.0)),
            _ => None,
        });
        (gaps.fold(f32::INFINITY, f32::min) - 3.0).clamp(4.0, 14.0)
    }

    /// One cell an optotype, those named rightly first and filled; then the counts.
    fn rung(&self, rung: &SizeCount, cell: eframe::egui::Vec2, colour: eframe::egui::Color32) {
        let y = self.y(rung.log_mar.0);
        let start = self.field.min.x + 10.0;
        for i in 0..rung.of {
            let left = start + i as f32 * cell.x;
            let middle = pos2(left + cell.x / 2.0, y);
            let gap = if cell.x > 5.0 { 2.5 } else { 1.0 };
            let one = Rect::from_center_size(middle, vec2(cell.x - gap, cell.y));
            if i < rung.right {
                self.painter.rect_filled(one, 1.0, colour);
            } else {
                let stroke = Stroke::new(line::FINE, colour);
                self.painter
                    .rect(one, 1.0, self.theme.sheet, stroke, StrokeKind::Inside);
            }
        }
    }

    /// The counts of a rung; they cover the midpoint's line where it would strike them out.
    fn counts(&self, rung: &SizeCount, cell_width: f32, belief: Option<Belief>) {
        let start = self.field.min.x + 10.0 + rung.of as f32 * cell_width + 6.0;
        let text = format!("{}/{}", rung.right, rung.of);
        let galley = self
            .painter
            .layout_no_wrap(text, figure_font(), self.theme.ink);
        let left = pos2(start, self.y(rung.log_mar.0));
        let place = Align2::LEFT_CENTER.anchor_size(left, galley.size());
        let line = belief.map(|belief| self.y(belief.mean));
        if line.is_some_and(|y| place.y_range().contains(y)) {
            let cover = place.expand2(vec2(3.0, 0.0)).shrink2(vec2(0.0, 1.0));
            self.painter.rect_filled(cover, 0.0, self.theme.band);
        }
        self.painter.galley(place.min, galley, self.theme.ink);
    }
}
