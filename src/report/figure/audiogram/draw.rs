//! The audiogram's shapes.

use super::super::mark;
use super::super::shape::{
    Across, Area, Down, Ink, Label, Point, Shape, Stroke, at, letters, line,
};
use super::key::{KEY_ROW, KEY_WIDTH, entries};
use super::{Audiogram, Axes, Kind, Mark, unit};
use crate::quantity::{Ear, Hz};
use crate::report::words::{Key, Lang};
use crate::standard::AUDIOMETRIC_HZ;

/// The levels' numbers and title.
const LEFT: f32 = 58.0;
/// The frequencies' numbers.
const TOP: f32 = 26.0;
/// Between the field and what stands beside it.
const GAP: f32 = 18.0;
/// A smaller field shows its marks better without a key; its table has all.
const SMALLEST_WITH_KEY: f32 = 260.0;
/// An octave at least so wide has its frequency lettered in full.
const WIDE_OCTAVE: f64 = 52.0;

pub(super) fn shapes(audiogram: &Audiogram, area: Area, lang: Lang) -> Vec<Shape> {
    let entries = entries(audiogram);
    let keyed = audiogram.keyed.then_some(entries.len());
    let plan = Layout::of(area, audiogram.range_db(), keyed);
    let mut pen = Pen {
        lang,
        axes: plan.axes,
        radius: (plan.axes.points_per_db as f32 * 2.6).clamp(4.0, 9.0),
        drawn: Vec::new(),
    };
    pen.drawn.push(Shape::filled(plan.axes.field, Ink::Sheet));
    pen.grid(audiogram);
    pen.beyond_maximum(audiogram);
    for ear in Ear::BOTH {
        pen.intervals(audiogram, ear);
    }
    for ear in Ear::BOTH {
        pen.curve(audiogram, ear);
    }
    for one in &audiogram.marks {
        pen.mark(one);
    }
    if let Some(key) = plan.key {
        pen.key(&entries, key);
    }
    if audiogram.as_obtained {
        let corner = at(plan.axes.field.max.x - 8.0, plan.axes.field.min.y + 6.0);
        let said = lang.text(Key::AsObtained);
        pen.text(corner, Across::End, Down::Top, said, Ink::Alert);
    }
    pen.drawn
}

/// The key alone.
pub(super) fn key_shapes(audiogram: &Audiogram, area: Area, lang: Lang) -> Vec<Shape> {
    let mut pen = Pen {
        lang,
        axes: Axes::fit(area, audiogram.range_db()),
        radius: 0.0,
        drawn: Vec::new(),
    };
    pen.key(&entries(audiogram), area);
    pen.drawn
}

/// Where field and key go.
struct Layout {
    axes: Axes,
    key: Option<Area>,
}

impl Layout {
    /// Key beside or below, whichever leaves the field larger; both are centred.
    fn of(area: Area, range_db: [f64; 2], keyed: Option<usize>) -> Layout {
        let entries = keyed.unwrap_or(0);
        let space = Area {
            min: area.min + at(LEFT, TOP),
            max: area.max - at(2.0, 10.0),
        };
        let rows = entries.div_ceil(2) as f32;
        let shorter = |by: Point| Area {
            max: space.max - by,
            ..space
        };
        let beside = Axes::fit(shorter(at(KEY_WIDTH + GAP, 0.0)), range_db);
        let below = Axes::fit(shorter(at(0.0, rows * KEY_ROW + GAP)), range_db);
        let is_beside = beside.points_per_db >= below.points_per_db;
        let mut axes = if is_beside { beside } else { below };
        let has_key =
            keyed.is_some() && axes.field.height().min(axes.field.width()) >= SMALLEST_WITH_KEY;
        if !has_key {
            axes = Axes::fit(space, range_db);
        }
        let used = axes.field.width()
            + if has_key && is_beside {
                KEY_WIDTH + GAP
            } else {
                0.0
            };
        let spare = (space.width() - used).max(0.0) / 2.0;
        axes.field = axes.field.moved(at(spare.round(), 0.0));
        let key = has_key.then(|| {
            if is_beside {
                Area::sized(
                    at(axes.field.max.x + GAP, axes.field.min.y),
                    KEY_WIDTH,
                    entries as f32 * KEY_ROW,
                )
            } else {
                Area::sized(
                    at(axes.field.min.x, axes.field.max.y + GAP),
                    axes.field.width(),
                    rows * KEY_ROW,
                )
            }
        });
        Layout { axes, key }
    }
}

/// What is drawn with, and what is drawn.
pub(super) struct Pen {
    pub lang: Lang,
    pub axes: Axes,
    pub radius: f32,
    pub drawn: Vec<Shape>,
}

impl Pen {
    /// Lettering at a place.
    pub fn text(&mut self, place: Point, across: Across, down: Down, text: &str, ink: Ink) {
        let label = Label::small(place, across, down, text).in_ink(ink);
        self.drawn.push(Shape::Label(label));
    }

    fn at(&self, hz: Hz, db: f64) -> Point {
        at(self.axes.x(hz), self.axes.y(db))
    }

    /// Each frequency's maximum holds half way to its neighbours; nothing is known in between.
    fn beyond_maximum(&mut self, audiogram: &Audiogram) {
        let field = self.axes.field;
        let all = &audiogram.maximum;
        let xs: Vec<f32> = all.iter().map(|(hz, _)| self.axes.x(*hz)).collect();
        for (i, (_, db)) in all.iter().enumerate() {
            let halfway = |j: Option<usize>| {
                let other = j.and_then(|j| xs.get(j))?;
                Some(f32::midpoint(*other, *xs.get(i)?))
            };
            let left = halfway(i.checked_sub(1)).unwrap_or(field.min.x);
            let right = halfway(Some(i + 1)).unwrap_or(field.max.x);
            let top = self.axes.y(*db).clamp(field.min.y, field.max.y);
            let above = Area {
                min: at(left, top),
                max: at(right, field.max.y),
            };
            self.drawn.extend(mark::hatch(above, Ink::Hair));
            let limit = Stroke::new(line::HAIR, Ink::Quiet);
            self.drawn.push(Shape::level([left, right], top, limit));
        }
    }

    fn grid(&mut self, audiogram: &Audiogram) {
        let field = self.axes.field;
        let (left, right) = (field.min.x, field.max.x);
        let hair = Stroke::new(line::HAIR, Ink::Hair);
        let [top_db, foot_db] = audiogram.range_db();
        let every_10 = self.axes.points_per_db * 10.0 >= f64::from(letters::SMALL) + 2.0;
        let mut db = top_db;
        while db <= foot_db {
            let y = self.axes.y(db);
            let is_zero = db == 0.0 && top_db < 0.0 && foot_db > 0.0;
            let stroke = if is_zero {
                Stroke::new(line::FINE, Ink::Quiet)
            } else {
                hair
            };
            self.drawn.push(Shape::level([left, right], y, stroke));
            if every_10 || db % 20.0 == 0.0 {
                let number = self.lang.number(db, 0);
                let place = at(left - 8.0, y);
                self.text(place, Across::End, Down::Middle, &number, Ink::Soft);
            }
            db += 10.0;
        }
        for hz in AUDIOMETRIC_HZ {
            self.frequency(hz, hair);
        }
        let frame = Stroke::new(line::FINE, Ink::Quiet);
        self.drawn.push(Shape::frame(field, frame));
        self.drawn.push(Shape::Label(Label {
            upward: true,
            ..Label::small(
                at(left - LEFT + 2.0, f32::midpoint(field.min.y, field.max.y)),
                Across::Middle,
                Down::Top,
                unit(audiogram.scale, self.lang),
            )
        }));
    }

    /// An octave has a line through the field; a frequency between has a short tick.
    fn frequency(&mut self, hz: Hz, hair: Stroke) {
        let (field, x) = (self.axes.field, self.axes.x(hz));
        let octaves = hz.octaves_above(Hz(125.0));
        if (octaves - octaves.round()).abs() < 1e-9 {
            let whole = [field.min.y, field.max.y];
            self.drawn.push(Shape::upright(x, whole, hair));
            let octave_wide = self.axes.points_per_db * super::DB_PER_OCTAVE;
            let last = hz == Hz(8000.0) && self.axes.points_per_db > 1.6;
            let unit = if last {
                self.lang.text(Key::AxisHz)
            } else {
                ""
            };
            // In a small figure every other octave, from 125 Hz to 8 kHz, is lettered.
            if octave_wide >= 34.0 || octaves.round() % 2.0 == 0.0 {
                let number = if octave_wide >= WIDE_OCTAVE {
                    format!("{}", hz.0)
                } else {
                    short(hz)
                };
                let text = format!("{number} {unit}");
                let place = at(x, field.min.y - 6.0);
                let across = Across::Middle;
                self.text(place, across, Down::Foot, text.trim(), Ink::Soft);
            }
        } else {
            let whole = [field.min.y, field.max.y];
            let dotted = hair.dashed(2.0, 6.0);
            self.drawn.push(Shape::upright(x, whole, dotted));
            let tick = Stroke::new(line::HAIR, Ink::Quiet);
            let short = [field.min.y - 4.0, field.min.y];
            self.drawn.push(Shape::upright(x, short, tick));
        }
    }

    /// Bars of the two ears stand beside one another, so that equal ones are both seen.
    fn intervals(&mut self, audiogram: &Audiogram, ear: Ear) {
        let stroke = Stroke::new(line::FINE, ink(ear));
        let field = self.axes.field;
        for one in audiogram.of_ear(ear) {
            if let Some([low_db, high_db]) = one.interval_90_db {
                let x = self.axes.x(one.hz) + 2.5 * side(ear);
                let ends =
                    [low_db, high_db].map(|db| self.axes.y(db).clamp(field.min.y, field.max.y));
                self.drawn.push(Shape::upright(x, ends, stroke));
                // An end that lies beyond the field has no stop.
                for db in [low_db, high_db] {
                    let end = self.axes.y(db);
                    if field.spans(end) {
                        self.drawn
                            .push(Shape::level([x - 2.5, x + 2.5], end, stroke));
                    }
                }
            }
        }
    }

    fn curve(&mut self, audiogram: &Audiogram, ear: Ear) {
        let stroke = Stroke::new(line::BOLD, ink(ear));
        for run in audiogram.runs(ear) {
            let points: Vec<Point> = run.iter().map(|one| self.at(one.hz, one.db)).collect();
            for pair in points.windows(2) {
                let &[from, to] = pair else { continue };
                self.segment(ear, from, to, stroke);
            }
        }
    }

    /// From the edge of one mark to the edge of the next, so that marks stay open.
    fn segment(&mut self, ear: Ear, from: Point, to: Point, stroke: Stroke) {
        let along = to - from;
        if along.length() <= 2.0 * self.radius {
            return;
        }
        let clear = (self.radius / along.length()) * along;
        self.drawn.push(match ear {
            Ear::Right => Shape::line(from + clear, to - clear, stroke),
            Ear::Left => Shape::line(from, to, mark::dashed(stroke)),
        });
    }

    fn mark(&mut self, one: &Mark) {
        let middle = self.at(one.hz, one.db);
        let stroke = Stroke::new(line::BOLD, ink(one.ear));
        if let Some(db) = one.repeat_db {
            // Beside the first one, on the side of its ear's bar.
            let again = self.at(one.hz, db) + at(side(one.ear) * 1.9 * self.radius, 0.0);
            let fine = Stroke::new(line::FINE, ink(one.ear));
            self.drawn
                .extend(mark::ear(one.ear, again, 0.55 * self.radius, fine));
        }
        let marks = match (one.measures(), one.masked) {
            (true, false) if one.kind == Kind::Leaning => {
                mark::leaning_ear(one.ear, middle, self.radius, stroke)
            }
            (true, true) => mark::masked_ear(one.ear, middle, self.radius, stroke),
            (true, false) => mark::ear(one.ear, middle, self.radius, stroke),
            (false, _) => vec![bar(one.ear, middle, self.radius, stroke)],
        };
        self.drawn.extend(marks);
        let tail = tail(one.ear, one.kind, middle, self.radius, stroke);
        self.drawn.extend(tail);
    }
}

/// What is no threshold stands as a bar at its level, on its ear's side of the frequency.
pub(super) fn bar(ear: Ear, middle: Point, radius: f32, stroke: Stroke) -> Shape {
    let x = middle.x + side(ear) * 0.9 * radius;
    Shape::level([x - 0.8 * radius, x + 0.8 * radius], middle.y, stroke)
}

/// The arrow of no response leads down and to the ear's side of the form (21 NCAC 22I .0111); the
/// tick of an answer at the minimum leads up.
pub(super) fn tail(ear: Ear, kind: Kind, middle: Point, radius: f32, stroke: Stroke) -> Vec<Shape> {
    let side = side(ear);
    let from_bar = middle + at(side * 0.9 * radius, 0.0);
    match kind {
        Kind::Threshold | Kind::Leaning => Vec::new(),
        // There or poorer.
        Kind::EitherEar => mark::arrow(from_bar, at(0.0, 1.6 * radius), stroke),
        // Heard: the threshold is there or better; not heard: it is poorer.
        Kind::ScreenedHeard | Kind::ScreenedNotHeard => {
            let up = kind == Kind::ScreenedHeard;
            let along = if up { -0.9 } else { 0.9 } * radius;
            vec![Shape::line(from_bar, from_bar + at(0.0, along), stroke)]
        }
        Kind::NoResponse => {
            let from = middle + (0.71 * radius) * at(side, 1.0);
            mark::arrow(from, (1.15 * radius) * at(side, 1.0), stroke)
        }
        Kind::AtMinimum => {
            let foot = middle - at(0.0, radius);
            vec![Shape::line(foot, foot - at(0.0, 0.8 * radius), stroke)]
        }
    }
}

/// What an ear is drawn in.
pub(super) fn ink(ear: Ear) -> Ink {
    match ear {
        Ear::Right => Ink::Right,
        Ear::Left => Ink::Left,
    }
}

/// To which side of a frequency an ear's marks lean, as the person is drawn facing the reader.
fn side(ear: Ear) -> f32 {
    match ear {
        Ear::Right => -1.0,
        Ear::Left => 1.0,
    }
}

/// A frequency as a narrow axis has it: 250, 1k.
fn short(hz: Hz) -> String {
    if hz.0 >= 1000.0 {
        format!("{}k", hz.0 / 1000.0)
    } else {
        format!("{}", hz.0)
    }
}
