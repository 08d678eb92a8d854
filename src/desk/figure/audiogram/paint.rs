//! Draws the audiogram.

use super::super::{mark, number};
use super::key::{KEY_ROW, KEY_WIDTH, entries};
use super::{Audiogram, Axes, Kind, Mark};
use crate::desk::style::{Theme, figure_font, line, type_size};
use crate::quantity::{Ear, Hz};
use crate::standard::AUDIOMETRIC_HZ;
use eframe::egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

/// The levels' numbers and title.
const LEFT: f32 = 58.0;
/// The frequencies' numbers.
const TOP: f32 = 26.0;
/// Between the field and what stands beside it.
const GAP: f32 = 18.0;
/// A smaller field shows its marks better without a key; its table has all.
const SMALLEST_WITH_KEY: f32 = 260.0;

pub fn paint(audiogram: &Audiogram, painter: &Painter, area: Rect, theme: &Theme) {
    let entries = entries(audiogram);
    let plan = Layout::of(area, audiogram.range_db(), entries.len());
    let pen = Pen {
        painter,
        theme,
        axes: plan.axes,
        radius: (plan.axes.points_per_db as f32 * 2.6).clamp(4.0, 9.0),
    };
    painter.rect_filled(plan.axes.field, 0.0, theme.sheet);
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
        let at = plan.axes.field.right_top() + vec2(-8.0, 6.0);
        pen.text(at, Align2::RIGHT_TOP, "as obtained", theme.alert);
    }
}

/// Where field and key go.
struct Layout {
    axes: Axes,
    key: Option<Rect>,
}

impl Layout {
    /// Key beside or below, whichever leaves the field larger; both are centred.
    fn of(area: Rect, range_db: [f64; 2], entries: usize) -> Layout {
        let space = Rect::from_min_max(area.min + vec2(LEFT, TOP), area.max - vec2(2.0, 10.0));
        let rows = entries.div_ceil(2) as f32;
        let beside = space.with_max_x(space.max.x - KEY_WIDTH - GAP);
        let below = space.with_max_y(space.max.y - rows * KEY_ROW - GAP);
        let [beside, below] = [beside, below].map(|space| Axes::fit(space, range_db));
        let is_beside = beside.points_per_db >= below.points_per_db;
        let mut axes = if is_beside { beside } else { below };
        let has_key = axes.field.height().min(axes.field.width()) >= SMALLEST_WITH_KEY;
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
        axes.field = axes.field.translate(vec2(spare.round(), 0.0));
        let key = has_key.then(|| {
            if is_beside {
                Rect::from_min_size(
                    axes.field.right_top() + vec2(GAP, 0.0),
                    vec2(KEY_WIDTH, entries as f32 * KEY_ROW),
                )
            } else {
                Rect::from_min_size(
                    axes.field.left_bottom() + vec2(0.0, GAP),
                    vec2(axes.field.width(), rows * KEY_ROW),
                )
            }
        });
        Layout { axes, key }
    }
}

/// What is drawn with.
pub(super) struct Pen<'a> {
    pub painter: &'a Painter,
    pub theme: &'a Theme,
    pub axes: Axes,
    pub radius: f32,
}

impl Pen<'_> {
    pub fn text(&self, at: Pos2, anchor: Align2, text: &str, colour: eframe::egui::Color32) {
        self.painter.text(at, anchor, text, figure_font(), colour);
    }

    fn at(&self, hz: Hz, db: f64) -> Pos2 {
        pos2(self.axes.x(hz), self.axes.y(db))
    }

    /// Each frequency's maximum holds half way to its neighbours; nothing is known in between.
    fn beyond_maximum(&self, audiogram: &Audiogram) {
        let field = self.axes.field;
        let xs: Vec<f32> = audiogram
            .maximum
            .iter()
            .map(|(hz, _)| self.axes.x(*hz))
            .collect();
        for (i, (_, db)) in audiogram.maximum.iter().enumerate() {
            let halfway = |j: Option<usize>| {
                let other = j.and_then(|j| xs.get(j))?;
                Some(f32::midpoint(*other, *xs.get(i)?))
            };
            let left = halfway(i.checked_sub(1)).unwrap_or(field.min.x);
            let right = halfway(Some(i + 1)).unwrap_or(field.max.x);
            let top = self.axes.y(*db).clamp(field.min.y, field.max.y);
            let above = Rect::from_min_max(pos2(left, top), pos2(right, field.max.y));
            mark::hatch(self.painter, above, self.theme.hair);
            self.painter
                .hline(left..=right, top, Stroke::new(line::HAIR, self.theme.quiet));
        }
    }

    fn grid(&self, audiogram: &Audiogram) {
        let (field, theme) = (self.axes.field, self.theme);
        let hair = Stroke::new(line::HAIR, theme.hair);
        let [top_db, foot_db] = audiogram.range_db();
        let every_10 = self.axes.points_per_db * 10.0 >= f64::from(type_size::SMALL) + 2.0;
        let mut db = top_db;
        while db <= foot_db {
            let y = self.axes.y(db);
            let is_zero = db == 0.0 && top_db < 0.0 && foot_db > 0.0;
            let stroke = if is_zero {
                Stroke::new(line::FINE, theme.quiet)
            } else {
                hair
            };
            self.painter.hline(field.x_range(), y, stroke);
            if every_10 || db % 20.0 == 0.0 {
                let at = pos2(field.min.x - 8.0, y);
                self.text(at, Align2::RIGHT_CENTER, &number(db, 0), theme.ink_soft);
            }
            db += 10.0;
        }
        for hz in AUDIOMETRIC_HZ {
            self.frequency(hz, hair);
        }
        let frame = Stroke::new(line::FINE, theme.quiet);
        self.painter
            .rect_stroke(field, 0.0, frame, eframe::egui::StrokeKind::Middle);
        self.upward_title(audiogram.scale.unit());
    }

    /// An octave has a line through the field; a frequency between has a short tick.
    fn frequency(&self, hz: Hz, hair: Stroke) {
        let (field, x) = (self.axes.field, self.axes.x(hz));
        let octaves = hz.octaves_above(Hz(125.0));
        if (octaves - octaves.round()).abs() < 1e-9 {
            self.painter.vline(x, field.y_range(), hair);
            let at = pos2(x, field.min.y - 6.0);
            let unit = if hz == Hz(8000.0) && self.axes.points_per_db > 1.6 {
                " Hz"
            } else {
                ""
            };
            let octave_wide = self.axes.points_per_db * super::DB_PER_OCTAVE;
            // In a small figure every other octave, from 125 Hz to 8 kHz, is lettered.
            if octave_wide >= 34.0 || octaves.round() % 2.0 == 0.0 {
                let text = short(hz) + unit;
                self.text(at, Align2::CENTER_BOTTOM, &text, self.theme.ink_soft);
            }
        } else {
            let dotted = [pos2(x, field.min.y), pos2(x, field.max.y)];
            self.painter
                .extend(Shape::dashed_line(&dotted, hair, 2.0, 6.0));
            let tick = Stroke::new(line::HAIR, self.theme.quiet);
            self.painter.vline(x, field.min.y - 4.0..=field.min.y, tick);
        }
    }

    /// The unit stands upright beside the numbers.
    fn upward_title(&self, unit: &str) {
        let galley =
            self.painter
                .layout_no_wrap(unit.to_owned(), figure_font(), self.theme.ink_soft);
        let field = self.axes.field;
        let at = pos2(
            field.min.x - LEFT + 2.0,
            field.center().y + galley.size().x / 2.0,
        );
        let text = eframe::egui::epaint::TextShape::new(at, galley, self.theme.ink_soft)
            .with_angle(-std::f32::consts::FRAC_PI_2);
        self.painter.add(text);
    }

    /// Bars of the two ears stand beside one another, so that equal ones are both seen.
    fn intervals(&self, audiogram: &Audiogram, ear: Ear) {
        let aside = match ear {
            Ear::Right => -2.5,
            Ear::Left => 2.5,
        };
        let stroke = Stroke::new(line::FINE, self.theme.ear(ear));
        let field = self.axes.field;
        for one in audiogram.of_ear(ear) {
            if let Some([low_db, high_db]) = one.interval_90_db {
                let x = self.axes.x(one.hz) + aside;
                let [low, high] =
                    [low_db, high_db].map(|db| self.axes.y(db).clamp(field.min.y, field.max.y));
                self.painter.vline(x, low..=high, stroke);
                // An end that lies beyond the field has no stop.
                for db in [low_db, high_db] {
                    let end = self.axes.y(db);
                    if field.y_range().contains(end) {
                        self.painter.hline(x - 2.5..=x + 2.5, end, stroke);
                    }
                }
            }
        }
    }

    fn curve(&self, audiogram: &Audiogram, ear: Ear) {
        let stroke = Stroke::new(line::BOLD, self.theme.ear(ear));
        for run in audiogram.runs(ear) {
            let points: Vec<Pos2> = run.iter().map(|one| self.at(one.hz, one.db)).collect();
            for pair in points.windows(2) {
                let &[from, to] = pair else { continue };
                self.segment(ear, from, to, stroke);
            }
        }
    }

    /// From the edge of one mark to the edge of the next, so that marks stay open.
    fn segment(&self, ear: Ear, from: Pos2, to: Pos2, stroke: Stroke) {
        let along = to - from;
        let clear = along.normalized() * self.radius;
        if along.length() <= 2.0 * self.radius {
            return;
        }
        match ear {
            Ear::Right => {
                self.painter
                    .line_segment([from + clear, to - clear], stroke);
            }
            Ear::Left => mark::dashed(self.painter, &[from, to], stroke),
        }
    }

    fn mark(&self, one: &Mark) {
        let at = self.at(one.hz, one.db);
        let colour = self.theme.ear(one.ear);
        let stroke = Stroke::new(line::BOLD, colour);
        if let Some(db) = one.repeat_db {
            // Beside the first one, on the side of its ear's bar.
            let side = match one.ear {
                Ear::Right => -1.0,
                Ear::Left => 1.0,
            };
            let again = self.at(one.hz, db) + vec2(side * 1.9 * self.radius, 0.0);
            let fine = Stroke::new(line::FINE, colour);
            mark::ear(self.painter, one.ear, again, 0.55 * self.radius, fine);
        }
        match (one.measures(), one.masked) {
            (true, false) if one.kind == Kind::Leaning => {
                mark::leaning_ear(self.painter, one.ear, at, self.radius, stroke);
            }
            (true, true) => mark::masked_ear(self.painter, one.ear, at, self.radius, stroke),
            (true, false) => mark::ear(self.painter, one.ear, at, self.radius, stroke),
            (false, _) => self.bar(one.ear, at, stroke),
        }
        self.tail(one.ear, one.kind, at, stroke);
    }

    /// What is no threshold stands as a bar at its level, on its ear's side of the frequency.
    pub fn bar(&self, ear: Ear, at: Pos2, stroke: Stroke) {
        let x = at.x + side(ear) * 0.9 * self.radius;
        self.painter
            .hline(x - 0.8 * self.radius..=x + 0.8 * self.radius, at.y, stroke);
    }

    /// The arrow of no response leads down and to the ear's side of the form; the tick of an
    /// answer at the minimum leads up.
    pub fn tail(&self, ear: Ear, kind: Kind, at: Pos2, stroke: Stroke) {
        let side = side(ear);
        let from_bar = at + vec2(side * 0.9 * self.radius, 0.0);
        match kind {
            Kind::Threshold | Kind::Leaning => {}
            // There or poorer.
            Kind::EitherEar => {
                mark::arrow(self.painter, from_bar, vec2(0.0, 1.6 * self.radius), stroke);
            }
            // Heard: the threshold is there or better; not heard: it is poorer.
            Kind::ScreenedHeard | Kind::ScreenedNotHeard => {
                let up = kind == Kind::ScreenedHeard;
                let along = if up { -0.9 } else { 0.9 } * self.radius;
                self.painter
                    .line_segment([from_bar, from_bar + vec2(0.0, along)], stroke);
            }
            Kind::NoResponse => {
                let from = at + 0.71 * self.radius * vec2(side, 1.0);
                let along = 1.15 * self.radius * vec2(side, 1.0);
                mark::arrow(self.painter, from, along, stroke);
            }
            Kind::AtMinimum => {
                let foot = at - vec2(0.0, self.radius);
                self.painter
                    .line_segment([foot, foot - vec2(0.0, 0.8 * self.radius)], stroke);
            }
        }
    }
}

/// To which side of a frequency an ear's marks lean, as the person is drawn facing the reader.
fn side(ear: Ear) -> f32 {
    match ear {
        Ear::Right => -1.0,
        Ear::Left => 1.0,
    }
}

/// A frequency as the axis has it: 250, 1k.
fn short(hz: Hz) -> String {
    if hz.0 >= 1000.0 {
        format!("{}k", hz.0 / 1000.0)
    } else {
        format!("{}", hz.0)
    }
}
