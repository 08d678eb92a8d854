//! Marks that more than one figure draws.

use super::shape::{Area, Ink, Point, Shape, Stroke, at, line};
use crate::quantity::Ear;

/// The usual mark of an ear's air-conduction threshold: a circle right, a cross left (21 NCAC 22I
/// .0111; ASHA 1990, from memory).
#[must_use]
pub fn ear(ear: Ear, middle: Point, radius: f32, stroke: Stroke) -> Vec<Shape> {
    match ear {
        Ear::Right => vec![Shape::ring(middle, radius, stroke)],
        Ear::Left => cross(middle, 0.88 * radius, stroke),
    }
}

/// The usual mark of a threshold with noise at the other ear: a triangle right, a square left (21
/// NCAC 22I .0111; ASHA 1990, GL1990-00006).
#[must_use]
pub fn masked_ear(ear: Ear, middle: Point, radius: f32, stroke: Stroke) -> Vec<Shape> {
    let corners = match ear {
        Ear::Right => vec![
            middle + at(0.0, -1.1 * radius),
            middle + at(radius, 0.8 * radius),
            middle + at(-radius, 0.8 * radius),
        ],
        Ear::Left => {
            let half = 0.85 * radius;
            vec![
                middle + at(-half, -half),
                middle + at(half, -half),
                middle + at(half, half),
                middle + at(-half, half),
            ]
        }
    };
    vec![Shape::outline(corners, stroke)]
}

/// The mark of a threshold that leans on neighbouring frequencies, which no standard names: a rhombus
/// whose half on the ear's side stands open.
#[must_use]
pub fn leaning_ear(ear: Ear, middle: Point, radius: f32, stroke: Stroke) -> Vec<Shape> {
    let inward = match ear {
        Ear::Right => radius,
        Ear::Left => -radius,
    };
    let [top, foot] = [-1.1, 1.1].map(|way| middle + at(0.0, way * radius));
    let half = |x: f32, stroke| Shape::Lines {
        points: vec![top, middle + at(x, 0.0), foot],
        closed: false,
        stroke,
    };
    let fine = dashed(Stroke::new(0.7 * stroke.width, stroke.ink));
    vec![half(inward, stroke), half(-inward, fine)]
}

/// The mark of an ear as a shape with an inside: a disc right, a broad cross left.
#[must_use]
pub fn ear_area(ear: Ear, middle: Point, radius: f32, filled: bool, ink: Ink) -> Vec<Shape> {
    let outline = Stroke::new(line::FINE, ink);
    match (ear, filled) {
        (Ear::Right, true) => vec![Shape::disc(middle, radius, ink)],
        (Ear::Right, false) => vec![Shape::ring(middle, radius - 0.5 * line::FINE, outline)],
        (Ear::Left, true) => cross(middle, 0.78 * radius, Stroke::new(0.62 * radius, ink)),
        (Ear::Left, false) => vec![Shape::outline(broad_cross(middle, radius), outline)],
    }
}

fn cross(middle: Point, arm: f32, stroke: Stroke) -> Vec<Shape> {
    [at(arm, arm), at(arm, -arm)]
        .map(|to| Shape::line(middle - to, middle + to, stroke))
        .to_vec()
}

/// The outline of a diagonal cross, 12 corners.
fn broad_cross(middle: Point, radius: f32) -> Vec<Point> {
    let (reach, half) = (1.05 * radius, 0.28 * radius);
    let arm = [at(half, half), at(reach, half), at(reach, -half)];
    (0..4)
        .flat_map(|quarter| arm.map(|corner| (quarter, corner)))
        .map(|(quarter, corner)| middle + corner.turned(45.0 - 90.0 * quarter as f32))
        .collect()
}

/// An arrow from `from` along `along`, its head at the end.
#[must_use]
pub fn arrow(from: Point, along: Point, stroke: Stroke) -> Vec<Shape> {
    let tip = from + along;
    let barb = |degrees| tip + 0.55 * along.turned(degrees);
    let head = vec![barb(150.0), tip, barb(-150.0)];
    vec![
        Shape::line(from, tip, stroke),
        Shape::Lines {
            points: head,
            closed: false,
            stroke,
        },
    ]
}

/// Hatches `area` with rising lines that meet those of neighbouring areas.
#[must_use]
pub fn hatch(area: Area, ink: Ink) -> Vec<Shape> {
    const APART: f32 = 7.0;
    if !area.is_there() {
        return Vec::new();
    }
    let stroke = Stroke::new(line::HAIR, ink);
    let (first, last) = (area.min.x + area.min.y, area.max.x + area.max.y);
    let count = ((last / APART).ceil() - (first / APART).ceil()).max(0.0) as u32;
    (0..count)
        .map(|step| ((first / APART).ceil() + step as f32) * APART)
        .map(|sum| {
            // On each line x + y is the same; it ends where it leaves the area.
            let left = (sum - area.max.y).max(area.min.x);
            let right = (sum - area.min.y).min(area.max.x);
            Shape::line(at(left, sum - left), at(right, sum - right), stroke)
        })
        .collect()
}

/// The stroke of a dashed line.
#[must_use]
pub fn dashed(stroke: Stroke) -> Stroke {
    stroke.dashed(6.0, 4.0)
}
