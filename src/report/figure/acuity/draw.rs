//! The shapes of the acuity of one eye.

use super::super::lettered_every;
use super::super::shape::{
    Across, Area, Down, Ink, Label, Point, Shape, Stroke, at, letters, line,
};
use super::{Acuity, Belief, eye_name};
use crate::finding::SizeCount;
use crate::quantity::Eye;
use crate::report::words::{Key, Lang};

/// The sizes' numbers.
const LEFT: f32 = 40.0;
/// The counts in figures.
const RIGHT: f32 = 52.0;
const HEAD: f32 = 56.0;
const FOOT: f32 = 8.0;
const CELL_WIDTH: f32 = 14.0;
/// How wide a letter is on average, in its size.
const LETTER_WIDTH: f32 = 0.48;

pub(super) fn shapes(acuity: &Acuity, area: Area, lang: Lang) -> Vec<Shape> {
    let field = Area {
        min: area.min + at(LEFT, HEAD),
        max: area.max - at(2.0, FOOT),
    };
    let mut pen = Pen {
        lang,
        field,
        range: acuity.range_log_mar(),
        drawn: Vec::new(),
    };
    pen.head(acuity, area);
    if !field.is_there() {
        return pen.drawn;
    }
    pen.drawn.push(Shape::filled(field, Ink::Sheet));
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
        pen.rung(rung, at(wide, thick), ink(acuity.eye));
        if thick >= 9.0 {
            pen.counts(rung, wide, acuity.belief);
        }
    }
    pen.drawn
}

/// What an eye is drawn in.
fn ink(eye: Eye) -> Ink {
    match eye {
        Eye::Right => Ink::Right,
        Eye::Left => Ink::Left,
        Eye::Both => Ink::Text,
    }
}

struct Pen {
    lang: Lang,
    field: Area,
    range: [f64; 2],
    drawn: Vec<Shape>,
}

impl Pen {
    /// Large sizes are at the top, as on a chart.
    fn y(&self, log_mar: f64) -> f32 {
        let [large, small] = self.range;
        let (top, high) = (self.field.min.y + 10.0, self.field.height() - 20.0);
        top + ((large - log_mar) / (large - small)) as f32 * high
    }

    fn text(&mut self, place: Point, across: Across, down: Down, text: impl Into<String>) {
        let label = Label::small(place, across, down, text);
        self.drawn.push(Shape::Label(label));
    }

    fn head(&mut self, acuity: &Acuity, area: Area) {
        let name = eye_name(acuity.eye, self.lang);
        self.text(area.min, Across::Start, Down::Top, name);
        let fractions = self.lang.decimal(&acuity.fractions.join("  \u{b7}  "));
        let right = at(area.max.x, area.min.y);
        self.text(right, Across::End, Down::Top, fractions);
        let headline = acuity.headline(self.lang);
        // In words it may be long, and two large lines would lie over the scale.
        let room = area.width() / (LETTER_WIDTH * letters::LARGE);
        let fits = headline.chars().count() as f32 <= room;
        let below = area.min + at(0.0, letters::SMALL + 5.0);
        self.drawn.push(Shape::Label(Label {
            size: if fits { letters::LARGE } else { letters::SMALL },
            within: Some(area.width()),
            ..Label::small(below, Across::Start, Down::Top, headline).in_ink(Ink::Text)
        }));
    }

    fn scale(&mut self) {
        let [large, small] = self.range;
        let left = self.field.min.x;
        let tenths = ((large - small) * 10.0).round();
        let every = lettered_every(tenths, f64::from(self.field.height() / 20.0));
        for i in (0..=tenths as u32).map(f64::from) {
            let log_mar = large - i / 10.0;
            let y = self.y(log_mar);
            let tick = Stroke::new(line::HAIR, Ink::Quiet);
            self.drawn.push(Shape::level([left - 4.0, left], y, tick));
            if (log_mar * 10.0).round() % every == 0.0 {
                let number = self.lang.number(log_mar, 1);
                self.text(at(left - 8.0, y), Across::End, Down::Middle, number);
            }
        }
        let axis = Stroke::new(line::FINE, Ink::Quiet);
        let ends = [self.field.min.y, self.field.max.y];
        self.drawn.push(Shape::upright(left, ends, axis));
    }

    fn band(&mut self, belief: Belief) {
        let field = self.field;
        let [low, high] = belief
            .interval_90
            .map(|end| self.y(end).clamp(field.min.y, field.max.y));
        let band = Area {
            min: at(field.min.x, high),
            max: at(field.max.x, low),
        };
        if band.is_there() {
            self.drawn.push(Shape::filled(band, Ink::Band));
        }
    }

    fn midpoint(&mut self, belief: Belief) {
        let y = self.y(belief.mean);
        let stroke = Stroke::new(line::BOLD, Ink::Accent);
        let ends = [self.field.min.x, self.field.max.x];
        self.drawn.push(Shape::level(ends, y, stroke));
        let place = at(self.field.max.x - 4.0, y - 2.0);
        let label = Label::small(
            place,
            Across::End,
            Down::Foot,
            self.lang.text(Key::Midpoint),
        );
        self.drawn.push(Shape::Label(label.in_ink(Ink::Accent)));
    }

    /// As thick as the nearest two rungs allow.
    fn thickness(&self, rungs: &[SizeCount]) -> f32 {
        let gaps = rungs.windows(2).filter_map(|pair| match pair {
            [above, below] => Some(self.y(below.log_mar.0) - self.y(above.log_mar.0)),
            _ => None,
        });
        let gap = gaps.fold(f32::INFINITY, f32::min);
        (gap - 3.0).max(0.7 * gap).clamp(1.5, 14.0)
    }

    /// One cell an optotype, those named rightly first and filled; then the counts.
    fn rung(&mut self, rung: &SizeCount, cell: Point, ink: Ink) {
        let y = self.y(rung.log_mar.0);
        let start = self.field.min.x + 10.0;
        for i in 0..rung.of {
            let left = start + i as f32 * cell.x;
            let gap = if cell.x > 5.0 { 2.5 } else { 1.0 };
            let one = Area::about(at(left + cell.x / 2.0, y), cell.x - gap, cell.y);
            if i < rung.right {
                self.drawn.push(Shape::filled(one, ink));
            } else {
                let inside = Area::about(
                    at(left + cell.x / 2.0, y),
                    cell.x - gap - line::FINE,
                    cell.y - line::FINE,
                );
                self.drawn.push(Shape::filled(one, Ink::Sheet));
                let stroke = Stroke::new(line::FINE, ink);
                self.drawn.push(Shape::frame(inside, stroke));
            }
        }
    }

    /// The counts of a rung; they cover the midpoint's line where it would strike them out.
    fn counts(&mut self, rung: &SizeCount, cell_width: f32, belief: Option<Belief>) {
        let start = self.field.min.x + 10.0 + rung.of as f32 * cell_width + 6.0;
        let y = self.y(rung.log_mar.0);
        let text = format!("{}/{}", rung.right, rung.of);
        let label = Label::small(at(start, y), Across::Start, Down::Middle, text);
        let line = belief.map(|belief| self.y(belief.mean));
        let struck = line.is_some_and(|line| (line - y).abs() < 0.7 * letters::SMALL);
        self.drawn.push(Shape::Label(Label {
            on: struck.then_some(Ink::Band),
            ..label.in_ink(Ink::Text)
        }));
    }
}
