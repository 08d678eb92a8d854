//! The shapes of all optotypes, built from published rules: a box of five by five strokes, every
//! stroke one wide.
//!
//! Ring: ISO 8596:2017, clause 3 and Figure 1. The E: the same clause's informative annex (five by
//! five, from memory). Letters: Sloan's rule of 1959 (five by five, stroke a fifth) and the
//! coordinates of our own construction (`letters.rs` states the shapes); no list of coordinates
//! is published, so published legibility holds only nearly. H, O, T and V are those of Sloan where
//! both have them.
//!
//! A shape is made of pieces that touch and never overlap, so that the ink of each pixel is the
//! sum of its pieces' areas.

use super::super::{Facing, Letter, OptotypeSet, Symbol};
use super::iso_8596::STROKES;
use crate::stimulus::raster::Point;
use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// A closed outline about the box's centre, in strokes, x to the right and y up. Those around a
/// hole run the other way round.
pub(super) type Outline = Vec<Point>;

/// Half the box.
const HALF: f64 = STROKES / 2.0;

/// The outlines of an optotype; arcs are chords that stay within `chord_error` strokes of them.
pub(super) fn outlines(set: OptotypeSet, symbol: Symbol, chord_error: f64) -> Vec<Outline> {
    match (set, symbol) {
        (OptotypeSet::TumblingE, Symbol::Facing(facing)) => turned(e(), facing),
        (_, Symbol::Facing(facing)) => turned(vec![ring(chord_error)], facing),
        (_, Symbol::Letter(letter)) => of_letter(letter, chord_error),
    }
}

/// A bar from corner to corner.
pub(super) fn bar(left: f64, foot: f64, right: f64, top: f64) -> Outline {
    vec![(left, foot), (right, foot), (right, top), (left, top)]
}

/// From the box's corner to its centre.
fn centred(pieces: Vec<Outline>) -> Vec<Outline> {
    let moved = |outline: Outline| {
        let points = outline.into_iter();
        points.map(|(x, y)| (x - HALF, y - HALF)).collect()
    };
    pieces.into_iter().map(moved).collect()
}

fn e() -> Vec<Outline> {
    let rung = |foot| bar(1.0, foot, 5.0, foot + 1.0);
    centred(vec![
        bar(0.0, 0.0, 1.0, 5.0),
        rung(0.0),
        rung(2.0),
        rung(4.0),
    ])
}

fn of_letter(letter: Letter, error: f64) -> Vec<Outline> {
    let stem = || bar(0.0, 0.0, 1.0, 5.0);
    let right_stem = || bar(4.0, 0.0, 5.0, 5.0);
    let band = |x: f64, y: f64, from, to| band((x, y), 1.5, 0.5, [from, to], error);
    match letter {
        Letter::C => vec![ring(error)],
        Letter::O => {
            let mut hole = arc(1.5, 0.0, 2.0 * PI, error);
            hole.reverse();
            vec![arc(2.5, 0.0, 2.0 * PI, error), hole]
        }
        Letter::D => centred(vec![
            stem(),
            bar(1.0, 0.0, 2.5, 1.0),
            bar(1.0, 4.0, 2.5, 5.0),
            self::band((2.5, 2.5), 2.5, 1.5, [-90.0, 90.0], error),
        ]),
        Letter::H => centred(vec![stem(), bar(1.0, 2.0, 4.0, 3.0), right_stem()]),
        Letter::K => {
            // Both limbs run at 45 degrees, √2 wide where they are cut level.
            let arm = vec![
                (1.0, 1.0),
                (5.0, 5.0),
                (5.0 - SQRT_2, 5.0),
                (1.0, 1.0 + SQRT_2),
            ];
            let knee = 2.5 - FRAC_1_SQRT_2;
            let leg = vec![(knee, knee), (5.0 - SQRT_2, 0.0), (5.0, 0.0), (2.5, 2.5)];
            centred(vec![stem(), arm, leg])
        }
        Letter::N => {
            // From corner to corner, 1.25 wide where it is cut level: one stroke across, since it
            // falls 4 in 3. Its ends lie within the stems.
            let diagonal = vec![
                (1.0, 11.0 / 3.0),
                (3.75, 0.0),
                (4.0, 0.0),
                (4.0, 4.0 / 3.0),
                (1.25, 5.0),
                (1.0, 5.0),
            ];
            centred(vec![stem(), diagonal, right_stem()])
        }
        Letter::R => {
            let leg = vec![
                (3.0 - SQRT_2, 2.0),
                (5.0 - SQRT_2, 0.0),
                (5.0, 0.0),
                (3.0, 2.0),
            ];
            centred(vec![
                stem(),
                bar(1.0, 4.0, 3.5, 5.0),
                bar(1.0, 2.0, 3.5, 3.0),
                band(3.5, 3.5, -90.0, 90.0),
                leg,
            ])
        }
        Letter::S => centred(vec![
            bar(1.5, 4.0, 3.5, 5.0),
            bar(1.5, 2.0, 3.5, 3.0),
            bar(1.5, 0.0, 3.5, 1.0),
            band(1.5, 3.5, 90.0, 270.0),
            band(3.5, 1.5, -90.0, 90.0),
            // Quarters cut 30 degrees short, to open the counters.
            band(3.5, 3.5, 30.0, 90.0),
            band(1.5, 1.5, 210.0, 270.0),
        ]),
        Letter::T => centred(vec![bar(0.0, 4.0, 5.0, 5.0), bar(2.0, 0.0, 3.0, 4.0)]),
        Letter::V => centred(vec![v()]),
        Letter::Z => {
            let diagonal = vec![(0.75, 1.0), (2.0, 1.0), (4.25, 4.0), (3.0, 4.0)];
            centred(vec![
                bar(0.0, 0.0, 5.0, 1.0),
                diagonal,
                bar(0.0, 4.0, 5.0, 5.0),
            ])
        }
    }
}

/// Both limbs one stroke across, which makes them `w` wide where they are cut level:
/// w = √(25 + (2.5 − w/2)²) / 5.
fn v() -> Outline {
    let w = (-2.5 + libm::sqrt(2.5 * 2.5 + 4.0 * 24.75 * 31.25)) / (2.0 * 24.75);
    let crotch = 5.0 - 5.0 * (2.5 - w) / (2.5 - 0.5 * w);
    vec![
        (0.0, 5.0),
        (2.5 - 0.5 * w, 0.0),
        (2.5 + 0.5 * w, 0.0),
        (5.0, 5.0),
        (5.0 - w, 5.0),
        (2.5, crotch),
        (w, 5.0),
    ]
}

/// The outline of a ring that opens to the right: along the outer arc from gap edge to gap edge,
/// and back along the inner one.
fn ring(error: f64) -> Outline {
    let around = |radius: f64| {
        let start = libm::asin(0.5 / radius);
        arc(radius, start, 2.0 * PI - start, error)
    };
    let mut outline = around(2.5);
    outline.extend(around(1.5).into_iter().rev());
    outline
}

/// A piece of a ring between two angles, degrees counter-clockwise from the right.
fn band(centre: Point, outer: f64, inner: f64, degrees: [f64; 2], error: f64) -> Outline {
    let [from, to] = degrees.map(f64::to_radians);
    let mut outline = arc(outer, from, to, error);
    outline.extend(arc(inner, from, to, error).into_iter().rev());
    let moved = outline.into_iter();
    moved.map(|(x, y)| (x + centre.0, y + centre.1)).collect()
}

/// Points along an arc about the origin, both ends included.
fn arc(radius: f64, from: f64, to: f64, error: f64) -> Outline {
    // The sagitta of a chord over the angle a is r·(1 − cos(a/2)).
    let widest = 2.0 * libm::acos(1.0 - error / radius);
    let sweep = to - from;
    let chords = (sweep / widest).ceil().max(1.0) as u32;
    (0..=chords)
        .map(|i| {
            let angle = from + sweep * f64::from(i) / f64::from(chords);
            (radius * libm::cos(angle), radius * libm::sin(angle))
        })
        .collect()
}

/// What opens to the right, turned to another side.
fn turned(pieces: Vec<Outline>, facing: Facing) -> Vec<Outline> {
    let (cos, sin) = turn(facing);
    let turn = |(x, y): Point| (x * cos - y * sin, x * sin + y * cos);
    let turned = |outline: Outline| outline.into_iter().map(turn).collect();
    pieces.into_iter().map(turned).collect()
}

/// Cosine and sine of the direction, exact where they can be, so that rings that differ by a
/// quarter turn differ by nothing else.
fn turn(facing: Facing) -> (f64, f64) {
    const D: f64 = FRAC_1_SQRT_2;
    match facing {
        Facing::Right => (1.0, 0.0),
        Facing::UpRight => (D, D),
        Facing::Up => (0.0, 1.0),
        Facing::UpLeft => (-D, D),
        Facing::Left => (-1.0, 0.0),
        Facing::DownLeft => (-D, -D),
        Facing::Down => (0.0, -1.0),
        Facing::DownRight => (D, -D),
    }
}
