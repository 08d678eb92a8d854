//! The audiogram's key.

use super::super::mark;
use super::super::shape::{Across, Area, Down, Ink, Point, Shape, Stroke, at, line};
use super::draw::{Pen, bar, ink, tail};
use super::{Audiogram, Kind, Mark};
use crate::quantity::Ear;
use crate::report::words::Key;

/// How wide it is beside the field, points.
pub(super) const KEY_WIDTH: f32 = 218.0;
/// The height of a line, points.
pub(super) const KEY_ROW: f32 = 24.0;
/// The radius of its marks.
const RADIUS: f32 = 5.5;

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
    pub(super) fn words(self) -> Key {
        match self {
            Entry::Ear(Ear::Right) => Key::RightEar,
            Entry::Ear(Ear::Left) => Key::LeftEar,
            Entry::NoResponse => Key::KeyNoResponse,
            Entry::AtMinimum => Key::KeyAtMinimum,
            Entry::Interval => Key::KeyInterval,
            Entry::Repeat => Key::MeasuredAgain,
            Entry::Masked => Key::OtherEarMasked,
            Entry::Leaning => Key::KeyLeaning,
            Entry::EitherEar => Key::KeyEitherEar,
            Entry::Screened => Key::KeyScreened,
            Entry::BeyondMaximum => Key::KeyBeyond,
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

impl Pen {
    /// Draws it in one column, or in two where the area is lower than one takes.
    pub(super) fn key(&mut self, entries: &[Entry], area: Area) {
        let beside = area.height() > entries.len() as f32 * KEY_ROW - 1.0;
        let columns = if beside { 1 } else { 2 };
        for (i, entry) in entries.iter().enumerate() {
            let cell = at(
                (i % columns) as f32 * area.width() / 2.0,
                (i / columns) as f32 * KEY_ROW,
            );
            let middle = area.min + cell + at(20.0, KEY_ROW / 2.0);
            self.drawn.extend(sample(*entry, middle));
            let words = self.lang.text(entry.words());
            let place = middle + at(26.0, 0.0);
            self.text(place, Across::Start, Down::Middle, words, Ink::Text);
        }
    }
}

/// What the key's line is about, drawn as in the field.
fn sample(entry: Entry, middle: Point) -> Vec<Shape> {
    let quiet = Stroke::new(line::FINE, Ink::Soft);
    let both = |draws: &dyn Fn(Ear, Point, Stroke) -> Vec<Shape>, apart: f32| {
        [(Ear::Right, -apart), (Ear::Left, apart)]
            .into_iter()
            .flat_map(|(ear, aside)| {
                let stroke = Stroke::new(line::FINE, ink(ear));
                draws(ear, middle + at(aside, 0.0), stroke)
            })
            .collect::<Vec<Shape>>()
    };
    match entry {
        Entry::Ear(ear) => {
            let stroke = Stroke::new(line::BOLD, ink(ear));
            let joined = match ear {
                Ear::Right => stroke,
                Ear::Left => mark::dashed(stroke),
            };
            let mut all: Vec<Shape> = [-1.0, 1.0]
                .map(|side: f32| {
                    let near = middle + at(side * RADIUS, 0.0);
                    Shape::line(near, middle + at(side * 18.0, 0.0), joined)
                })
                .to_vec();
            all.extend(mark::ear(ear, middle, RADIUS, stroke));
            all
        }
        Entry::NoResponse => both(
            &|ear, place, stroke| {
                let place = place - at(0.0, 3.0);
                let mut all = mark::ear(ear, place, 4.5, stroke);
                all.extend(tail(ear, Kind::NoResponse, place, 4.5, stroke));
                all
            },
            6.0,
        ),
        Entry::AtMinimum => {
            let mut all = mark::ear(Ear::Right, middle, RADIUS, quiet);
            all.extend(tail(Ear::Right, Kind::AtMinimum, middle, RADIUS, quiet));
            all
        }
        Entry::Interval => {
            let ends = [middle.y - 8.0, middle.y + 8.0];
            let mut all = vec![Shape::upright(middle.x, ends, quiet)];
            all.extend(ends.map(|y| Shape::level([middle.x - 2.5, middle.x + 2.5], y, quiet)));
            all
        }
        Entry::Repeat => both(&|ear, place, _| mark::ear(ear, place, 3.2, quiet), 6.0),
        Entry::Masked => both(
            &|ear, place, stroke| mark::masked_ear(ear, place, 5.0, stroke),
            7.0,
        ),
        Entry::Leaning => both(
            &|ear, place, stroke| mark::leaning_ear(ear, place, 5.0, stroke),
            7.0,
        ),
        Entry::EitherEar => {
            let place = middle - at(0.0, 4.0);
            let mut all = vec![bar(Ear::Left, place, RADIUS, quiet)];
            all.extend(tail(Ear::Left, Kind::EitherEar, place, RADIUS, quiet));
            all
        }
        Entry::Screened => [
            (Ear::Right, Kind::ScreenedHeard),
            (Ear::Left, Kind::ScreenedNotHeard),
        ]
        .into_iter()
        .flat_map(|(ear, kind)| {
            let mut all = vec![bar(ear, middle, RADIUS, quiet)];
            all.extend(tail(ear, kind, middle, RADIUS, quiet));
            all
        })
        .collect(),
        Entry::BeyondMaximum => {
            let patch = Area::about(middle, 30.0, 14.0);
            let mut all = mark::hatch(patch, Ink::Hair);
            let limit = Stroke::new(line::HAIR, Ink::Quiet);
            all.push(Shape::level([patch.min.x, patch.max.x], patch.min.y, limit));
            all
        }
    }
}
