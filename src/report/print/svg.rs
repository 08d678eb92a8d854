//! Shapes as an SVG picture. Letters are drawn as outlines, so that it looks the same wherever it is
//! opened; what it shows is told in its title and description.

use super::letters::{Segment, glyphs, outline};
use super::{Line, colour, lines};
use crate::report::figure::shape::{Area, Ink, Point, Shape, Stroke};
use std::fmt::Write;

/// A picture of the size of `area`, which tells a reader `title` and `told`.
#[must_use]
pub fn svg_of(shapes: &[Shape], area: Area, title: &str, told: &str, tag: &str) -> String {
    let (x, y, wide, high) = (area.min.x, area.min.y, area.width(), area.height());
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" xml:lang=\"{tag}\" width=\"{wide}\" \
         height=\"{high}\" viewBox=\"{x} {y} {wide} {high}\">\n<title>{}</title>\n<desc>{}</desc>\n\
         <rect x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\" fill=\"{}\"/>\n",
        escaped(title),
        escaped(told),
        hex(Ink::Sheet)
    );
    for shape in shapes {
        match shape {
            Shape::Label(label) => {
                for line in lines(label) {
                    text(&mut out, &line);
                }
            }
            Shape::Lines {
                points,
                closed,
                stroke,
            } => {
                let _ = writeln!(
                    out,
                    "<path d=\"{}\" fill=\"none\" {}/>",
                    way(points, *closed),
                    stroked(*stroke)
                );
            }
            Shape::Field {
                points,
                fill,
                stroke,
            } => {
                let border = stroke.map_or(String::new(), stroked);
                let fill = hex(*fill);
                let way = way(points, true);
                let _ = writeln!(out, "<path d=\"{way}\" fill=\"{fill}\" {border}/>");
            }
            Shape::Circle {
                middle,
                radius,
                fill,
                stroke,
            } => {
                let border = stroke.map_or(String::new(), stroked);
                let fill = fill.map_or("none".to_owned(), hex);
                let [x, y, radius] = [middle.x, middle.y, *radius].map(short);
                let _ = writeln!(
                    out,
                    "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" fill=\"{fill}\" {border}/>"
                );
            }
        }
    }
    out.push_str("</svg>\n");
    out
}

fn text(out: &mut String, line: &Line) {
    let turned = line.turned_about.map_or(String::new(), |about| {
        let [x, y] = [about.x, about.y].map(short);
        format!(" transform=\"rotate(-90 {x} {y})\"")
    });
    if let Some(on) = line.on {
        let [left, top, right, foot] = line.cover();
        let [x, y, wide, high] = [left, top, right - left, foot - top].map(short);
        let fill = hex(on);
        let _ = writeln!(
            out,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\" fill=\"{fill}\"/>"
        );
    }
    let mut way = String::new();
    let mut x = line.start.x;
    for glyph in glyphs(&line.text, line.face) {
        let left = x + line.size * glyph.offset[0];
        let base = line.start.y - line.size * glyph.offset[1];
        let place = |[dx, dy]: [f32; 2]| {
            let [x, y] = [left + line.size * dx, base - line.size * dy].map(short);
            format!("{x} {y}")
        };
        for segment in outline(glyph.id, line.face) {
            let _ = match segment {
                Segment::Move(to) => write!(way, "M{}", place(to)),
                Segment::Line(to) => write!(way, "L{}", place(to)),
                Segment::Quad([by, to]) => write!(way, "Q{} {}", place(by), place(to)),
                Segment::Cubic([a, b, to]) => {
                    write!(way, "C{} {} {}", place(a), place(b), place(to))
                }
                Segment::Close => write!(way, "Z"),
            };
        }
        x += line.size * glyph.advance;
    }
    let _ = writeln!(
        out,
        "<path aria-label=\"{}\" fill=\"{}\"{turned} d=\"{way}\"/>",
        escaped(&line.text),
        hex(line.ink)
    );
}

fn way(points: &[Point], closed: bool) -> String {
    let mut way = String::new();
    for (at, point) in points.iter().enumerate() {
        let letter = if at == 0 { 'M' } else { 'L' };
        let [x, y] = [point.x, point.y].map(short);
        let _ = write!(way, "{letter}{x} {y}");
    }
    if closed {
        way.push('Z');
    }
    way
}

fn stroked(stroke: Stroke) -> String {
    let dashes = stroke.dashes.map_or(String::new(), |both| {
        let [dash, gap] = both.map(short);
        format!(" stroke-dasharray=\"{dash} {gap}\"")
    });
    let (ink, width) = (hex(stroke.ink), short(stroke.width));
    format!("stroke=\"{ink}\" stroke-width=\"{width}\"{dashes}")
}

fn hex(ink: Ink) -> String {
    let [red, green, blue] = colour(ink);
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// To a hundredth of a point.
fn short(value: f32) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
