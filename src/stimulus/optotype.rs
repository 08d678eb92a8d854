//! Optotypes as exact pixels.

use super::raster::{Point, ink};
use super::{Facing, Raster};
use crate::quantity::{LogMar, Mm};
use crate::standard::iso_8596_2017::{self as iso_8596, STROKES};
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// The narrowest stroke and gap that are drawn, in pixels. Grey edges carry size and place below
/// a pixel (Bach 1995, Ophthalmologe 92:174), but a gap of one pixel loses its contrast.
pub const MIN_STROKE_PX: f64 = 2.0;

/// The largest optotype that is drawn, in pixels from side to side.
pub const MAX_SIDE_PX: f64 = 8192.0;

/// How far, in pixels, a chord may run from the arc that it stands for.
const CHORD_ERROR_PX: f64 = 1e-5;

/// Why an optotype cannot be drawn.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Undrawable {
    /// The stroke would be under [`MIN_STROKE_PX`].
    #[error(
        "size {} logMAR: its stroke would be {stroke_px:.2} pixels at {:.2} m, expected at least \
         {MIN_STROKE_PX}; a distance of {enough_m:.2} m or more would do",
        log_mar.0, distance.0 / 1000.0
    )]
    TooSmall {
        /// The size asked for.
        log_mar: LogMar,
        /// The distance asked for.
        distance: Mm,
        /// The stroke at that distance, in pixels.
        stroke_px: f64,
        /// The shortest distance that would do, in metres, rounded up to a centimetre.
        enough_m: f64,
    },
    /// The optotype would be wider than [`MAX_SIDE_PX`].
    #[error(
        "size {} logMAR: it would be {side_px:.0} pixels wide at {:.2} m, expected at most \
         {MAX_SIDE_PX}; a distance of {enough_m:.2} m or less would do",
        log_mar.0, distance.0 / 1000.0
    )]
    TooLarge {
        /// The size asked for.
        log_mar: LogMar,
        /// The distance asked for.
        distance: Mm,
        /// The width at that distance, in pixels.
        side_px: f64,
        /// The longest distance that would do, in metres, rounded down to a centimetre.
        enough_m: f64,
    },
    /// The size is not a number, or so large that it would span 180 degrees.
    #[error("size {} logMAR: expected a number under 3.3", log_mar.0)]
    NoAngle {
        /// The size asked for.
        log_mar: LogMar,
    },
    /// Distance or pixel pitch is not a positive number.
    #[error("{what} of {} mm: expected a positive number", length.0)]
    NotPositive {
        /// `distance` or `pixel`.
        what: &'static str,
        /// The length given.
        length: Mm,
    },
}

/// The size of an optotype on one screen at one distance: one that can be drawn.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct RingSize {
    stroke_px: f64,
}

impl RingSize {
    /// The optotype of `log_mar` at `distance` on a screen with pixels of `pixel` (their pitch).
    ///
    /// The whole optotype spans five times the critical detail, by the tangent of the half angle
    /// (ISO 8596:2017, clause 3); its stroke is a fifth of that. The size stays real-valued.
    ///
    /// # Errors
    /// If the screen cannot draw it, with the distance at which it could.
    pub fn new(log_mar: LogMar, distance: Mm, pixel: Mm) -> Result<RingSize, Undrawable> {
        for (what, length) in [("distance", distance), ("pixel", pixel)] {
            if !(length.0 > 0.0 && length.0.is_finite()) {
                return Err(Undrawable::NotPositive { what, length });
            }
        }
        // Half the angle must stay under 90 degrees.
        let angle = STROKES * log_mar.detail().0;
        if !(angle > 0.0 && angle < 2.0 * 90.0 * 60.0) {
            return Err(Undrawable::NoAngle { log_mar });
        }
        let side_px = iso_8596::height(log_mar, distance).0 / pixel.0;
        let stroke_px = side_px / STROKES;
        // At one angle, pixels grow with the distance.
        let enough_cm = |times: f64| distance.0 / 10.0 * times;
        if stroke_px < MIN_STROKE_PX {
            let enough_m = enough_cm(MIN_STROKE_PX / stroke_px).ceil() / 100.0;
            return Err(Undrawable::TooSmall {
                log_mar,
                distance,
                stroke_px,
                enough_m,
            });
        }
        if side_px > MAX_SIDE_PX {
            let enough_m = enough_cm(MAX_SIDE_PX / side_px).floor() / 100.0;
            return Err(Undrawable::TooLarge {
                log_mar,
                distance,
                side_px,
                enough_m,
            });
        }
        Ok(RingSize { stroke_px })
    }

    /// The logMAR of an optotype with a stroke of `stroke_px` pixels at `distance` on a screen
    /// with pixels of `pixel`, all positive: with [`MIN_STROKE_PX`] the smallest size that can be
    /// drawn there.
    #[must_use]
    pub fn log_mar_of(stroke_px: f64, distance: Mm, pixel: Mm) -> LogMar {
        iso_8596::size(Mm(STROKES * stroke_px * pixel.0), distance)
    }

    /// The width of stroke and gap, in pixels.
    #[must_use]
    pub fn stroke_px(self) -> f64 {
        self.stroke_px
    }

    /// The width of the whole optotype, in pixels.
    #[must_use]
    pub fn side_px(self) -> f64 {
        STROKES * self.stroke_px
    }
}

/// A Landolt ring, black on white, in the middle of a square picture, with at least `margin_px`
/// of white on every side: outer diameter 5 strokes, stroke 1, parallel-sided gap 1
/// (ISO 8596:2017, clause 3 and Figure 1).
#[must_use]
pub fn landolt(size: RingSize, facing: Facing, margin_px: u32) -> Raster {
    let side = size.side_px().ceil() as u32 + 2 * margin_px;
    let middle = f64::from(side) / 2.0;
    let (cos, sin) = turn(facing);
    let place = |(x, y): Point| {
        let (x, y) = (x * size.stroke_px, y * size.stroke_px);
        // Rows count downward.
        (middle + x * cos - y * sin, middle - x * sin - y * cos)
    };
    let chord_error = CHORD_ERROR_PX / size.stroke_px;
    let outline: Vec<Point> = ring(chord_error).into_iter().map(place).collect();
    ink(&outline, side, side)
}

/// The outline of a ring that opens to the right, in strokes about its centre, y upward: along
/// the outer arc from gap edge to gap edge, and back along the inner one.
fn ring(chord_error: f64) -> Vec<Point> {
    let mut outline = arc(2.5, chord_error);
    outline.extend(arc(1.5, chord_error).into_iter().rev());
    outline
}

/// The arc of `radius` strokes from the gap's upper edge round to its lower one.
fn arc(radius: f64, chord_error: f64) -> Vec<Point> {
    let start = libm::asin(0.5 / radius);
    let sweep = 2.0 * (PI - start);
    // The sagitta of a chord over the angle a is r·(1 − cos(a/2)).
    let widest = 2.0 * libm::acos(1.0 - chord_error / radius);
    let chords = (sweep / widest).ceil() as u32;
    (0..=chords)
        .map(|i| {
            let angle = start + sweep * f64::from(i) / f64::from(chords);
            (radius * libm::cos(angle), radius * libm::sin(angle))
        })
        .collect()
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

#[cfg(test)]
mod tests;
