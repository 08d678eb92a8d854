//! Optotypes: which sizes a screen can draw, their outlines, and their exact pixels.

mod outline;
mod picture;

pub use picture::{Look, draw, with_bars};

use super::{OptotypeSet, Symbol};
use crate::quantity::{LogMar, Mm};
use crate::standard::iso_8596_2017::{self as iso_8596, STROKES};

/// The narrowest stroke and gap that are drawn, in pixels. Grey edges carry size and place below
/// a pixel (Bach 1995, Ophthalmologe 92:174), but a gap of one pixel loses its contrast.
pub const MIN_STROKE_PX: f64 = 2.0;

/// So far, relative, may the smallest size fall short of [`MIN_STROKE_PX`] by nothing but the
/// rounding on the way from pixels to logMAR and back.
const ROUNDING: f64 = 1e-9;

/// The largest optotype that is drawn, in pixels from side to side.
pub const MAX_SIDE_PX: f64 = 8192.0;

/// The outline of an optotype, in pieces that touch and never overlap: closed, about the box's
/// centre, in strokes, x to the right and y up; arcs are chords within `chord_error` strokes.
#[must_use]
pub fn outline(set: OptotypeSet, symbol: Symbol, chord_error: f64) -> Vec<Vec<(f64, f64)>> {
    outline::outlines(set, symbol, chord_error)
}

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
    /// The optotype, or the row of them, would be wider or higher than [`MAX_SIDE_PX`].
    #[error(
        "size {} logMAR: it would be {side_px:.0} pixels from side to side at {:.2} m, expected at most \
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
    /// Nothing to draw.
    #[error("expected at least one optotype, found none")]
    Nothing,
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
pub struct OptotypeSize {
    stroke_px: f64,
}

impl OptotypeSize {
    /// The optotype of `log_mar` at `distance` on a screen with pixels of `pixel` (their pitch).
    ///
    /// The whole optotype spans five times the critical detail, by the tangent of the half angle
    /// (ISO 8596:2017, clause 3); its stroke is a fifth of that. The size stays real-valued.
    ///
    /// # Errors
    /// If the screen cannot draw it, with the distance at which it could.
    pub fn new(log_mar: LogMar, distance: Mm, pixel: Mm) -> Result<OptotypeSize, Undrawable> {
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
        if stroke_px < MIN_STROKE_PX * (1.0 - ROUNDING) {
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
        Ok(OptotypeSize { stroke_px })
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

#[cfg(test)]
mod letters;
#[cfg(test)]
mod tests;
