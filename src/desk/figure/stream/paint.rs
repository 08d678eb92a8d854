//! Draws the stream.

use super::super::{number, paint};
use super::{Item, Reply, SHOWN, Stream, What};
use crate::desk::style::{Theme, figure_font, line};
use crate::quantity::Ear;
use crate::report::figure::{Ink, lettered_every, mark};
use eframe::egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

/// Numbers of levels at the left, of sizes at the right.
const SIDE: f32 = 44.0;
/// The headings.
const HEAD: f32 = 40.0;
/// The lane of silent presentations and the ticks of presses.
const FOOT: f32 = 48.0;
const NARROWEST: f32 = 15.0;

pub fn paint(stream: &Stream, painter: &Painter, area: Rect, theme: &Theme) {
    let field = Rect::from_min_max(area.min + vec2(SIDE, HEAD), area.max - vec2(SIDE, FOOT));
    if !field.is_positive() {
        return;
    }
    let fits = ((field.width() / NARROWEST) as usize).clamp(1, SHOWN);
    let first = stream.items.len().saturating_sub(fits);
    let pen = Pen {
        painter,
        theme,
        field,
        apart: field.width() / fits as f32,
        levels: stream.range_db(),
        sizes: stream.range_log_mar(),
    };
    let items = stream.items.get(first..).unwrap_or_default();
    let shown: Vec<(f32, &Item)> = (0..)
        .zip(items)
        .map(|(i, item): (u16, &Item)| {
            let from_right = items.len() as f32 - f32::from(i) - 0.5;
            (field.max.x - from_right * pen.apart, item)
        })
        .collect();
    pen.ground(stream.scale.unit());
    pen.headings(&shown);
    for (x, item) in &shown {
        pen.item(*x, item);
    }
}

struct Pen<'a> {
    painter: &'a Painter,
    theme: &'a Theme,
    field: Rect,
    apart: f32,
    levels: Option<[f64; 2]>,
    sizes: Option<[f64; 2]>,
}

impl Pen<'_> {
    fn text(&self, at: Pos2, anchor: Align2, text: &str) {
        let colour = self.theme.ink_soft;
        self.painter.text(at, anchor, text, figure_font(), colour);
    }

    fn radius(&self) -> f32 {
        (0.32 * self.apart).clamp(4.0, 6.5)
    }

    /// Where the silent ones lie.
    fn baseline(&self) -> f32 {
        self.field.max.y + 20.0
    }

    /// The share `of` in the field, with room for a mark at both ends.
    fn height(&self, share: f64) -> f32 {
        let lane = self.field.y_range().shrink(9.0);
        lane.min + share as f32 * lane.span()
    }

    /// Louder is lower, as in the audiogram.
    fn y_of_level(&self, db: f64) -> f32 {
        let share = self
            .levels
            .map_or(0.5, |[low, high]| (db - low) / (high - low));
        self.height(share)
    }

    /// Larger is higher, as on a chart.
    fn y_of_size(&self, log_mar: f64) -> f32 {
        let share = self
            .sizes
            .map_or(0.5, |[low, high]| (high - log_mar) / (high - low));
        self.height(share)
    }

    fn ground(&self, unit: &str) {
        let (field, theme) = (self.field, self.theme);
        let with_foot = field.with_max_y(field.max.y + FOOT - 8.0);
        self.painter.rect_filled(with_foot, 0.0, theme.sheet);
        let hair = Stroke::new(line::HAIR, theme.hair);
        if let Some(range) = self.levels {
            for db in steps(range, 10.0, field.height()) {
                let y = self.y_of_level(db);
                self.painter.hline(field.x_range(), y, hair);
                let at = pos2(field.min.x - 8.0, y);
                self.text(at, Align2::RIGHT_CENTER, &number(db, 0));
            }
            let at = pos2(field.min.x, field.min.y - 22.0);
            self.text(at, Align2::LEFT_BOTTOM, unit);
        }
        if let Some(range) = self.sizes {
            for log_mar in steps(range, 0.1, field.height()) {
                let y = self.y_of_size(log_mar);
                if self.levels.is_none() {
                    self.painter.hline(field.x_range(), y, hair);
                }
                let at = pos2(field.max.x + 8.0, y);
                self.text(at, Align2::LEFT_CENTER, &number(log_mar, 1));
            }
            let at = pos2(field.max.x, field.min.y - 22.0);
            self.text(at, Align2::RIGHT_BOTTOM, "logMAR");
        }
        let frame = Stroke::new(line::HAIR, theme.quiet);
        self.painter.hline(field.x_range(), self.baseline(), frame);
        let at = pos2(field.min.x - 8.0, self.baseline());
        self.text(at, Align2::RIGHT_CENTER, "silent");
    }

    /// A heading over each run of one ear and frequency or one eye, where there is room for it.
    fn headings(&self, shown: &[(f32, &Item)]) {
        let mut runs: Vec<(String, f32, f32)> = Vec::new();
        for (x, item) in shown {
            let (left, right) = (x - self.apart / 2.0, x + self.apart / 2.0);
            match (item.group(), runs.last_mut()) {
                (None, Some((_, _, end))) => *end = right,
                (Some(group), Some((last, _, end))) if *last == group => *end = right,
                (Some(group), _) => runs.push((group, left, right)),
                (None, None) => {}
            }
        }
        let rule = Stroke::new(line::HAIR, self.theme.hair);
        for (group, left, right) in runs {
            let galley = self
                .painter
                .layout_no_wrap(group, figure_font(), self.theme.ink_soft);
            self.painter
                .vline(left, self.field.min.y - 18.0..=self.field.max.y, rule);
            if galley.size().x <= right - left - 6.0 {
                let at = pos2(left + 4.0, self.field.min.y - 19.0);
                self.painter.galley(at, galley, self.theme.ink_soft);
            }
        }
    }

    fn item(&self, x: f32, item: &Item) {
        let colour = self.colour(item);
        let at = match item.what {
            What::Tone { db, .. } => pos2(x, self.y_of_level(db)),
            What::Silent => pos2(x, self.baseline()),
            What::Optotype { log_mar, .. } => pos2(x, self.y_of_size(log_mar)),
        };
        let filled = matches!(item.reply, Reply::Answered | Reply::Right);
        let radius = self.radius() * if item.is_quiet() { 0.8 } else { 1.0 };
        match item.what {
            What::Tone { ear, .. } => {
                let ink = match ear {
                    _ if item.is_quiet() || item.is_struck() => Ink::Quiet,
                    Ear::Right => Ink::Right,
                    Ear::Left => Ink::Left,
                };
                let shapes = mark::ear_area(ear, paint::point(at), radius, filled, ink);
                paint::shapes(self.painter, &shapes, self.theme);
            }
            What::Silent => self.lozenge(at, radius, filled, colour),
            What::Optotype { .. } => self.ring(at, radius, filled, colour),
        }
        if item.reply == Reply::Waiting {
            let halo = Stroke::new(line::BOLD, self.theme.accent);
            self.painter.circle_stroke(at, radius + 4.5, halo);
        }
        if item.is_struck() {
            let reach = vec2(1.7 * radius, -1.7 * radius);
            let strike = Stroke::new(line::FINE, self.theme.ink);
            self.painter.line_segment([at - reach, at + reach], strike);
        }
        self.presses(x, item);
    }

    fn colour(&self, item: &Item) -> Color32 {
        if item.is_quiet() || item.is_struck() {
            return self.theme.quiet;
        }
        match item.what {
            What::Tone { ear, .. } => self.theme.ear(ear),
            What::Silent => self.theme.ink,
            What::Optotype { eye, .. } => self.theme.eye(eye),
        }
    }

    fn lozenge(&self, at: Pos2, radius: f32, filled: bool, colour: Color32) {
        let corners = [
            vec2(0.0, -1.25),
            vec2(1.0, 0.0),
            vec2(0.0, 1.25),
            vec2(-1.0, 0.0),
        ];
        let points = corners.map(|corner| at + radius * corner).to_vec();
        let fill = if filled { colour } else { self.theme.sheet };
        let stroke = Stroke::new(line::FINE, colour);
        self.painter
            .add(Shape::convex_polygon(points, fill, stroke));
    }

    /// A small ring with a core when it was named rightly.
    fn ring(&self, at: Pos2, radius: f32, filled: bool, colour: Color32) {
        let stroke = Stroke::new(line::FINE, colour);
        self.painter
            .circle_stroke(at, radius - 0.5 * line::FINE, stroke);
        if filled {
            self.painter.circle_filled(at, 0.55 * radius, colour);
        }
    }

    /// Early ones stand left of the middle, late ones right of it, stray ones between columns.
    fn presses(&self, x: f32, item: &Item) {
        let lane = self.baseline() + 9.0;
        let stroke = Stroke::new(line::BOLD, self.theme.ink);
        let presses = item.presses;
        for (count, aside) in [
            (presses.early, -0.25),
            (presses.late, 0.25),
            (presses.gap, 0.5),
        ] {
            if count > 0 {
                let x = x + aside * self.apart;
                self.painter.vline(x, lane..=lane + 8.0, stroke);
            }
        }
    }
}

/// The numbers of an axis: every `step`, or every other where they would crowd.
fn steps([low, high]: [f64; 2], step: f64, height: f32) -> Vec<f64> {
    let count = ((high - low) / step).round();
    let every = lettered_every(count, f64::from(height) / 22.0);
    (0..=count as u32)
        .map(|i| low + f64::from(i) * step)
        .filter(|value| (value / step).round() % every == 0.0)
        .collect()
}
