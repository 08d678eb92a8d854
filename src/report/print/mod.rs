//! Draws plain shapes: as PDF, as SVG, as pixels.

pub(crate) mod letters;
mod pdf;
mod raster;
mod svg;

pub(crate) use pdf::{About, Leaf, Paper, Role, Tree, pdf};
pub use raster::{PictureError, Pixels, pixels, png_of};
pub use svg::svg_of;

use super::figure::shape::{Across, Down, Face, Ink, Label, Point, at};
use letters::{ABOVE_BASE, BELOW_BASE, HALF_CAPITAL};

/// Between the lines of a label that is broken, in sizes.
const LEADING: f32 = 1.25;

/// Inks on white paper. The accent is dark enough to read in black and white; ears and eyes have
/// the two colours of the Okabe-Ito palette that stay apart with every kind of colour vision, and
/// never differ by colour alone.
pub(crate) fn colour(ink: Ink) -> [u8; 3] {
    match ink {
        Ink::Text => [0x1C, 0x1A, 0x17],
        Ink::Soft => [0x58, 0x52, 0x49],
        Ink::Quiet => [0x8A, 0x83, 0x78],
        Ink::Hair => [0xD6, 0xD1, 0xC7],
        Ink::Accent => [0x1F, 0x64, 0x4E],
        Ink::Band => [0xE4, 0xED, 0xE7],
        Ink::Sheet => [0xFF, 0xFF, 0xFF],
        Ink::Alert => [0x80, 0x3A, 0x00],
        Ink::Right => [0xD5, 0x5E, 0x00],
        Ink::Left => [0x00, 0x72, 0xB2],
    }
}

/// A line of a label, ready to draw.
pub(crate) struct Line {
    /// Where its first letter stands on the base line.
    pub start: Point,
    /// What it says.
    pub text: String,
    /// How wide it is.
    pub width: f32,
    /// Turned about this place, to be read upward.
    pub turned_about: Option<Point>,
    pub face: Face,
    pub size: f32,
    pub ink: Ink,
    pub on: Option<Ink>,
}

/// The lines of a label.
pub(crate) fn lines(label: &Label) -> Vec<Line> {
    let texts = match label.within {
        Some(within) => letters::broken(&label.text, label.face, label.size, within),
        None => vec![label.text.clone()],
    };
    let down = match label.down {
        Down::Top => ABOVE_BASE * label.size,
        Down::Middle => HALF_CAPITAL * label.size,
        Down::Base => 0.0,
        Down::Foot => -BELOW_BASE * label.size,
    };
    let line = |(at_line, text): (usize, String)| {
        let width = letters::width(&text, label.face, label.size);
        let back = match label.across {
            Across::Start => 0.0,
            Across::Middle => width / 2.0,
            Across::End => width,
        };
        let below = down + at_line as f32 * LEADING * label.size;
        Line {
            start: label.at + at(-back, below),
            text,
            width,
            turned_about: label.upward.then_some(label.at),
            face: label.face,
            size: label.size,
            ink: label.ink,
            on: label.on,
        }
    };
    texts.into_iter().enumerate().map(line).collect()
}

impl Line {
    /// What is covered behind it: left, top, right and foot.
    fn cover(&self) -> [f32; 4] {
        let Point { x, y } = self.start;
        let (up, down) = (0.76 * self.size, 0.16 * self.size);
        [x - 2.0, y - up, x + self.width + 2.0, y + down]
    }
}
