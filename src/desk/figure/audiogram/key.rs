//! The audiogram's key.

use super::super::mark;
use super::paint::Pen;
use super::{Audiogram, Kind, Mark};
use crate::desk::style::line;
use crate::quantity::Ear;
use eframe::egui::{Align2, Pos2, Rect, Stroke, vec2};

/// How wide it is beside the field, points.
pub const KEY_WIDTH: f32 = 212.0;
/// The height of a line, points.
pub const KEY_ROW: f32 = 24.0;

/// A line of the key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Entry {
    Ear(Ear),
    NoResponse,
    AtMinimum,
    Interval,
    Repeat,
    Masked,
    Leaning,
    EitherEar,
    Screened,
    BeyondMaximum,
}

impl Entry {
    fn words(self) -> &'static str {
        match self {
            Entry::Ear(Ear::Right) => "right ear",
            Entry::Ear(Ear::Left) => "left ear",
            Entry::NoResponse => "no response at maximum",
            Entry::AtMinimum => "answered at minimum",
            Entry::Interval => "90 % of the midpoint",
            Entry::Repeat => "measured again",
            Entry::Masked => "other ear masked",
            Entry::Leaning => "leans on its neighbours",
            Entry::EitherEar => "either ear answered: poorer",
            Entry::Screened => "screened: heard, not heard",
            Entry::BeyondMaximum => "above this set-up",
        }
    }
}

/// The key tells of what is there, and always of the ears.
pub(super) fn entries(audiogram: &Audiogram) -> Vec<Entry> {
    let any = |has: &dyn Fn(&Mark) -> bool| audiogram.marks.iter().any(has);
    [
        (Entry::Ear(Ear::Right), true),
        (Entry::Ear(Ear::Left), true),
        (Entry::Interval, any(&|one| one.interval_90_db.is_some())),
        (Entry::Repeat, any(&|one| one.repeat_db.is_some())),
        (Entry::NoResponse, any(&|one| one.kind == Kind::NoResponse)),
        (Entry::AtMinimum, any(&|one| one.kind == Kind::AtMinimum)),
        (Entry::Masked, any(&|one| one.masked)),
        (Entry::Leaning, any(&|one| one.kind == Kind::Leaning)),
        (Entry::EitherEar, any(&|one| one.kind == Kind::EitherEar)),
        (
            Entry::Screened,
            any(&|one| matches!(one.kind, Kind::ScreenedHeard | Kind::ScreenedNotHeard)),
        ),
        (Entry::BeyondMaximum, !audiogram.maximum.is_empty()),
    ]
    .into_iter()
    .filter_map(|(entry, is_there)| is_there.then_some(entry))
    .collect()
}

impl Pen<'_> {
    /// Draws it in one column, or in two where the area is lower than one takes.
    pub fn key(&self, entries: &[Entry], area: Rect) {
        let beside = area.height() > entries.len() as f32 * KEY_ROW - 1.0;
        let columns = if beside { 1 } else { 2 };
        for (i, entry) in entries.iter().enumerate() {
            let cell = vec2(
                (i % columns) as f32 * area.width() / 2.0,
                (i / columns) as f32 * KEY_ROW,
            );
            let middle = area.min + cell + vec2(20.0, KEY_ROW / 2.0);
            self.sample(*entry, middle);
            let words = middle + vec2(26.0, 0.0);
            self.text(words, Align2::LEFT_CENTER, entry.words(), self.theme.ink);
        }
    }

    /// What the key's line is about, drawn as in the field.
    fn sample(&self, entry: Entry, at: Pos2) {
        let pen = Pen {
            radius: 5.5,
            ..*self
        };
        let quiet = Stroke::new(line::FINE, self.theme.ink_soft);
        match entry {
            Entry::Ear(ear) => {
                let stroke = Stroke::new(line::BOLD, self.theme.ear(ear));
                for side in [-1.0, 1.0] {
                    let near = at + vec2(side * pen.radius, 0.0);
                    let far = at + vec2(side * 18.0, 0.0);
                    match ear {
                        Ear::Right => {
                            self.painter.line_segment([near, far], stroke);
                        }
                        Ear::Left => mark::dashed(self.painter, &[near, far], stroke),
                    }
                }
                mark::ear(self.painter, ear, at, pen.radius, stroke);
            }
            Entry::NoResponse => {
                for ear in Ear::BOTH {
                    let side = if ear == Ear::Right { -6.0 } else { 6.0 };
                    let stroke = Stroke::new(line::FINE, self.theme.ear(ear));
                    let at = at + vec2(side, -3.0);
                    let small = Pen {
                        radius: 4.5,
                        ..*self
                    };
                    mark::ear(self.painter, ear, at, small.radius, stroke);
                    small.tail(ear, Kind::NoResponse, at, stroke);
                }
            }
            Entry::AtMinimum => {
                mark::ear(self.painter, Ear::Right, at, pen.radius, quiet);
                pen.tail(Ear::Right, Kind::AtMinimum, at, quiet);
            }
            Entry::Interval => {
                self.painter.vline(at.x, at.y - 8.0..=at.y + 8.0, quiet);
                for y in [at.y - 8.0, at.y + 8.0] {
                    self.painter.hline(at.x - 2.5..=at.x + 2.5, y, quiet);
                }
            }
            Entry::Repeat => {
                mark::ear(self.painter, Ear::Right, at - vec2(6.0, 0.0), 3.2, quiet);
                mark::ear(self.painter, Ear::Left, at + vec2(6.0, 0.0), 3.2, quiet);
            }
            Entry::Masked => {
                for (ear, aside) in [(Ear::Right, -7.0), (Ear::Left, 7.0)] {
                    let stroke = Stroke::new(line::FINE, self.theme.ear(ear));
                    mark::masked_ear(self.painter, ear, at + vec2(aside, 0.0), 5.0, stroke);
                }
            }
            Entry::Leaning => {
                for (ear, aside) in [(Ear::Right, -7.0), (Ear::Left, 7.0)] {
                    let stroke = Stroke::new(line::FINE, self.theme.ear(ear));
                    mark::leaning_ear(self.painter, ear, at + vec2(aside, 0.0), 5.0, stroke);
                }
            }
            Entry::EitherEar => {
                let at = at - vec2(0.0, 4.0);
                pen.bar(Ear::Left, at, quiet);
                pen.tail(Ear::Left, Kind::EitherEar, at, quiet);
            }
            Entry::Screened => {
                for (ear, kind) in [
                    (Ear::Right, Kind::ScreenedHeard),
                    (Ear::Left, Kind::ScreenedNotHeard),
                ] {
                    pen.bar(ear, at, quiet);
                    pen.tail(ear, kind, at, quiet);
                }
            }
            Entry::BeyondMaximum => {
                let patch = Rect::from_center_size(at, vec2(30.0, 14.0));
                mark::hatch(self.painter, patch, self.theme.hair);
                let stroke = Stroke::new(line::HAIR, self.theme.quiet);
                self.painter.hline(patch.x_range(), patch.min.y, stroke);
            }
        }
    }
}
