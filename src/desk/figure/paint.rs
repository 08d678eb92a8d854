//! Draws plain shapes into a window.

use crate::desk::style::Theme;
use crate::report::figure::shape::{Across, Area, Down, Ink, Label, Point, Shape, Stroke};
use eframe::egui::{
    self, Align2, Color32, FontId, Painter, Pos2, Rect, Shape as Drawn, Vec2, epaint,
};

/// Draws shapes in a theme's colours.
pub fn shapes(painter: &Painter, all: &[Shape], theme: &Theme) {
    for shape in all {
        one(painter, shape, theme);
    }
}

/// A window's rectangle as the figures know it.
pub fn area(rect: Rect) -> Area {
    Area {
        min: point(rect.min),
        max: point(rect.max),
    }
}

/// A window's place as the figures know it.
pub fn point(pos: Pos2) -> Point {
    Point { x: pos.x, y: pos.y }
}

fn pos(point: Point) -> Pos2 {
    Pos2::new(point.x, point.y)
}

fn colour(ink: Ink, theme: &Theme) -> Color32 {
    match ink {
        Ink::Text => theme.ink,
        Ink::Soft => theme.ink_soft,
        Ink::Quiet => theme.quiet,
        Ink::Hair => theme.hair,
        Ink::Accent => theme.accent,
        Ink::Band => theme.band,
        Ink::Sheet => theme.sheet,
        Ink::Alert => theme.alert,
        Ink::Right => theme.right,
        Ink::Left => theme.left,
    }
}

fn stroke(stroke: Stroke, theme: &Theme) -> egui::Stroke {
    egui::Stroke::new(stroke.width, colour(stroke.ink, theme))
}

fn one(painter: &Painter, shape: &Shape, theme: &Theme) {
    match shape {
        Shape::Lines {
            points,
            closed,
            stroke: drawn,
        } => {
            let mut points: Vec<Pos2> = points.iter().copied().map(pos).collect();
            let line = stroke(*drawn, theme);
            match drawn.dashes {
                Some([dash, gap]) => {
                    if *closed && let Some(first) = points.first().copied() {
                        points.push(first);
                    }
                    painter.extend(Drawn::dashed_line(&points, line, dash, gap));
                }
                None if *closed => {
                    painter.add(Drawn::closed_line(points, line));
                }
                None => {
                    painter.add(Drawn::line(points, line));
                }
            }
        }
        Shape::Field {
            points,
            fill,
            stroke: border,
        } => {
            let points = points.iter().copied().map(pos).collect();
            let border = border.map_or(egui::Stroke::NONE, |one| stroke(one, theme));
            painter.add(Drawn::convex_polygon(points, colour(*fill, theme), border));
        }
        Shape::Circle {
            middle,
            radius,
            fill,
            stroke: border,
        } => {
            let fill = fill.map_or(Color32::TRANSPARENT, |ink| colour(ink, theme));
            let border = border.map_or(egui::Stroke::NONE, |one| stroke(one, theme));
            painter.circle(pos(*middle), *radius, fill, border);
        }
        Shape::Label(label) => text(painter, label, theme),
    }
}

fn text(painter: &Painter, label: &Label, theme: &Theme) {
    let ink = colour(label.ink, theme);
    let font = FontId::proportional(label.size);
    let galley = match label.within {
        Some(width) => painter.layout(label.text.clone(), font, ink, width),
        None => painter.layout_no_wrap(label.text.clone(), font, ink),
    };
    let across = match label.across {
        Across::Start => egui::Align::Min,
        Across::Middle => egui::Align::Center,
        Across::End => egui::Align::Max,
    };
    let down = match label.down {
        Down::Top => egui::Align::Min,
        Down::Middle => egui::Align::Center,
        Down::Base | Down::Foot => egui::Align::Max,
    };
    if label.upward {
        // Turned about its left and top, which then lie at the left and foot.
        let long = galley.size().x;
        let begins = match label.across {
            Across::Start => 0.0,
            Across::Middle => long / 2.0,
            Across::End => long,
        };
        let start = pos(label.at) + Vec2::new(0.0, begins);
        let turned =
            epaint::TextShape::new(start, galley, ink).with_angle(-std::f32::consts::FRAC_PI_2);
        painter.add(turned);
        return;
    }
    let place = Align2([across, down]).anchor_size(pos(label.at), galley.size());
    if let Some(cover) = label.on {
        let cover_rect = place
            .expand2(Vec2::new(3.0, 0.0))
            .shrink2(Vec2::new(0.0, 1.0));
        painter.rect_filled(cover_rect, 0.0, colour(cover, theme));
    }
    painter.galley(place.min, galley, ink);
}
