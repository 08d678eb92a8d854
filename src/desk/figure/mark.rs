//! Marks that more than one figure draws.

use crate::desk::style::line;
use crate::quantity::Ear;
use eframe::egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, vec2};

/// The usual mark of an ear's air-conduction threshold: a circle right, a cross left.
pub fn ear(painter: &Painter, ear: Ear, at: Pos2, radius: f32, stroke: Stroke) {
    match ear {
        Ear::Right => {
            painter.circle_stroke(at, radius, stroke);
        }
        Ear::Left => cross(painter, at, 0.88 * radius, stroke),
    }
}

/// The usual mark of a threshold with noise at the other ear: a triangle right, a square left (ASHA
/// 1990, GL1990-00006).
pub fn masked_ear(painter: &Painter, ear: Ear, at: Pos2, radius: f32, stroke: Stroke) {
    let corners = match ear {
        Ear::Right => vec![
            at + vec2(0.0, -1.1 * radius),
            at + vec2(radius, 0.8 * radius),
            at + vec2(-radius, 0.8 * radius),
        ],
        Ear::Left => {
            let half = 0.85 * radius;
            vec![
                at + vec2(-half, -half),
                at + vec2(half, -half),
                at + vec2(half, half),
                at + vec2(-half, half),
            ]
        }
    };
    painter.add(Shape::closed_line(corners, stroke));
}

/// The mark of a threshold that leans on neighbouring frequencies, which no standard names: a rhombus
/// whose half on the ear's side stands open.
pub fn leaning_ear(painter: &Painter, ear: Ear, at: Pos2, radius: f32, stroke: Stroke) {
    let inward = match ear {
        Ear::Right => radius,
        Ear::Left => -radius,
    };
    let [top, foot] = [-1.1, 1.1].map(|way| at + vec2(0.0, way * radius));
    let corners = vec![top, at + vec2(inward, 0.0), foot];
    painter.add(Shape::line(corners, stroke));
    let fine = Stroke::new(line::FINE, stroke.color);
    dashed(painter, &[top, at - vec2(inward, 0.0), foot], fine);
}

/// The mark of an ear as a shape with an inside: a disc right, a broad cross left.
pub fn ear_area(painter: &Painter, ear: Ear, at: Pos2, radius: f32, filled: bool, colour: Color32) {
    let outline = Stroke::new(line::FINE, colour);
    match (ear, filled) {
        (Ear::Right, true) => {
            painter.circle_filled(at, radius, colour);
        }
        (Ear::Right, false) => {
            painter.circle_stroke(at, radius - 0.5 * line::FINE, outline);
        }
        (Ear::Left, true) => cross(
            painter,
            at,
            0.78 * radius,
            Stroke::new(0.62 * radius, colour),
        ),
        (Ear::Left, false) => {
            painter.add(Shape::closed_line(broad_cross(at, radius), outline));
        }
    }
}

fn cross(painter: &Painter, at: Pos2, arm: f32, stroke: Stroke) {
    for to in [vec2(arm, arm), vec2(arm, -arm)] {
        painter.line_segment([at - to, at + to], stroke);
    }
}

/// The outline of a diagonal cross, 12 corners.
fn broad_cross(at: Pos2, radius: f32) -> Vec<Pos2> {
    let (reach, half) = (1.05 * radius, 0.28 * radius);
    let arm = [vec2(half, half), vec2(reach, half), vec2(reach, -half)];
    (0..4)
        .flat_map(|quarter| arm.map(|corner| (quarter, corner)))
        .map(|(quarter, corner)| at + turned(corner, 45.0 - 90.0 * quarter as f32))
        .collect()
}

fn turned(vector: Vec2, degrees: f32) -> Vec2 {
    let (sin, cos) = degrees.to_radians().sin_cos();
    vec2(
        cos * vector.x - sin * vector.y,
        sin * vector.x + cos * vector.y,
    )
}

/// An arrow from `from` along `along`, its head at the end.
pub fn arrow(painter: &Painter, from: Pos2, along: Vec2, stroke: Stroke) {
    let tip = from + along;
    painter.line_segment([from, tip], stroke);
    for degrees in [150.0, -150.0] {
        let barb = 0.55 * turned(along, degrees);
        painter.line_segment([tip, tip + barb], stroke);
    }
}

/// Hatches `area` with rising lines that meet those of neighbouring areas.
pub fn hatch(painter: &Painter, area: Rect, colour: Color32) {
    const APART: f32 = 7.0;
    if !area.is_positive() {
        return;
    }
    let inside = painter.with_clip_rect(area.intersect(painter.clip_rect()));
    let stroke = Stroke::new(line::HAIR, colour);
    let (first, last) = (area.min.x + area.min.y, area.max.x + area.max.y);
    let mut sum = (first / APART).ceil() * APART;
    while sum < last {
        // On each line x + y is the same.
        let low = Pos2::new(sum - area.max.y, area.max.y);
        let high = Pos2::new(sum - area.min.y, area.min.y);
        inside.line_segment([low, high], stroke);
        sum += APART;
    }
}

/// A dashed line through `points`.
pub fn dashed(painter: &Painter, points: &[Pos2], stroke: Stroke) {
    painter.extend(Shape::dashed_line(points, stroke, 6.0, 4.0));
}
