//! Shapes as pixels: a PNG file, and the pages of a preview.

use super::letters::{Segment, glyphs, outline};
use super::{Line, colour, lines};
use crate::report::figure::shape::{Area, Ink, Point, Shape, Stroke};
use tiny_skia::{
    FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Rect, StrokeDash, Transform,
};

/// Why a picture could not be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("picture: {0}")]
pub struct PictureError(String);

/// Opaque pixels, row after row: red, green, blue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels across.
    pub width: u32,
    /// Pixels from top to bottom.
    pub height: u32,
    /// Three bytes a pixel.
    pub rgb: Vec<u8>,
}

/// `area` on white, with so many pixels a point.
///
/// # Errors
/// If the area is empty or too large.
pub fn pixels(shapes: &[Shape], area: Area, a_point: f32) -> Result<Pixels, PictureError> {
    let [width, height] =
        [area.width(), area.height()].map(|side| (side * a_point).ceil().clamp(0.0, 2e4) as u32);
    let canvas = Pixmap::new(width, height);
    let mut canvas = canvas.ok_or_else(|| PictureError("expected an area with a size".into()))?;
    canvas.fill(tiny_skia::Color::WHITE);
    let to_pixels =
        Transform::from_translate(-area.min.x, -area.min.y).post_scale(a_point, a_point);
    let mut pen = Pen { canvas, to_pixels };
    for shape in shapes {
        pen.shape(shape);
    }
    let rgb = pen.canvas.pixels().iter();
    let rgb = rgb.flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]);
    Ok(Pixels {
        width,
        height,
        rgb: rgb.collect(),
    })
}

/// The same as a PNG file that knows its resolution.
///
/// # Errors
/// If the area is empty or too large.
pub fn png_of(shapes: &[Shape], area: Area, a_point: f32) -> Result<Vec<u8>, PictureError> {
    let picture = pixels(shapes, area, a_point)?;
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, picture.width, picture.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let per_metre = (a_point * 72.0 / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    let failed = |error: png::EncodingError| PictureError(error.to_string());
    let mut writer = encoder.write_header().map_err(failed)?;
    writer.write_image_data(&picture.rgb).map_err(failed)?;
    writer.finish().map_err(failed)?;
    Ok(file)
}

struct Pen {
    canvas: Pixmap,
    to_pixels: Transform,
}

fn paint(ink: Ink) -> Paint<'static> {
    let [red, green, blue] = colour(ink);
    let mut paint = Paint::default();
    paint.set_color_rgba8(red, green, blue, 255);
    paint.anti_alias = true;
    paint
}

impl Pen {
    fn shape(&mut self, shape: &Shape) {
        match shape {
            Shape::Label(label) => {
                for line in lines(label) {
                    self.text(&line);
                }
            }
            Shape::Lines {
                points,
                closed,
                stroke,
            } => {
                if let Some(path) = way(points, *closed) {
                    self.stroke(&path, *stroke);
                }
            }
            Shape::Field {
                points,
                fill,
                stroke,
            } => {
                if let Some(path) = way(points, true) {
                    self.fill(&path, *fill, self.to_pixels);
                    if let Some(stroke) = stroke {
                        self.stroke(&path, *stroke);
                    }
                }
            }
            Shape::Circle {
                middle,
                radius,
                fill,
                stroke,
            } => {
                if let Some(path) = PathBuilder::from_circle(middle.x, middle.y, *radius) {
                    if let Some(fill) = fill {
                        self.fill(&path, *fill, self.to_pixels);
                    }
                    if let Some(stroke) = stroke {
                        self.stroke(&path, *stroke);
                    }
                }
            }
        }
    }

    fn fill(&mut self, path: &Path, ink: Ink, place: Transform) {
        self.canvas
            .fill_path(path, &paint(ink), FillRule::Winding, place, None);
    }

    fn stroke(&mut self, path: &Path, stroke: Stroke) {
        let dashes = stroke.dashes.map(|both| both.to_vec());
        let how = tiny_skia::Stroke {
            width: stroke.width,
            line_cap: LineCap::Butt,
            line_join: LineJoin::Miter,
            dash: dashes.and_then(|all| StrokeDash::new(all, 0.0)),
            ..tiny_skia::Stroke::default()
        };
        self.canvas
            .stroke_path(path, &paint(stroke.ink), &how, self.to_pixels, None);
    }

    fn text(&mut self, line: &Line) {
        let place = match line.turned_about {
            Some(about) => self
                .to_pixels
                .pre_concat(Transform::from_rotate_at(-90.0, about.x, about.y)),
            None => self.to_pixels,
        };
        if let Some(on) = line.on {
            let [left, top, right, foot] = line.cover();
            if let Some(rect) = Rect::from_ltrb(left, top, right, foot) {
                let path = PathBuilder::from_rect(rect);
                self.fill(&path, on, place);
            }
        }
        let mut drawn = PathBuilder::new();
        let mut x = line.start.x;
        for glyph in glyphs(&line.text, line.face) {
            let left = x + line.size * glyph.offset[0];
            let base = line.start.y - line.size * glyph.offset[1];
            let at = |[dx, dy]: [f32; 2]| (left + line.size * dx, base - line.size * dy);
            for segment in outline(glyph.id, line.face) {
                match segment {
                    Segment::Move(to) => drawn.move_to(at(to).0, at(to).1),
                    Segment::Line(to) => drawn.line_to(at(to).0, at(to).1),
                    Segment::Quad([by, to]) => {
                        let (by, to) = (at(by), at(to));
                        drawn.quad_to(by.0, by.1, to.0, to.1);
                    }
                    Segment::Cubic([a, b, to]) => {
                        let (a, b, to) = (at(a), at(b), at(to));
                        drawn.cubic_to(a.0, a.1, b.0, b.1, to.0, to.1);
                    }
                    Segment::Close => drawn.close(),
                }
            }
            x += line.size * glyph.advance;
        }
        if let Some(path) = drawn.finish() {
            self.fill(&path, line.ink, place);
        }
    }
}

fn way(points: &[Point], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    path.move_to(first.x, first.y);
    for point in rest {
        path.line_to(point.x, point.y);
    }
    if closed {
        path.close();
    }
    path.finish()
}
