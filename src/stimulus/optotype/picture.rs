//! One optotype, a row or several rows of them, as exact pixels.

use super::outline::{bar, outlines};
use super::{MAX_SIDE_PX, OptotypeSize, STROKES, Undrawable};
use crate::quantity::Mm;
use crate::stimulus::raster::{Point, Raster, ink};
use crate::stimulus::{OptotypePart, OptotypeSet, Symbol};

/// How far, in pixels, a chord may run from the arc that it stands for.
const CHORD_ERROR_PX: f64 = 1e-5;

/// Between the letters of a row, in strokes: one letter's width (Bailey and Lovie 1976; the
/// spacing itself from memory).
const BETWEEN: f64 = STROKES;

/// Between an optotype and a crowding bar, in strokes: half a letter (common paediatric protocol,
/// from memory).
const TO_BAR: f64 = STROKES / 2.0;

/// A crowding bar is as thick as a stroke (from memory).
const BAR: f64 = 1.0;

/// How many times as wide and high as its optotypes, `strokes` of them, a picture with crowding bars is.
#[must_use]
pub fn with_bars(strokes: f64) -> f64 {
    (strokes + 2.0 * (TO_BAR + BAR)) / strokes
}

/// How what is shown is turned into a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// The pitch of the screen's pixels.
    pub pixel: Mm,
    /// Left and right exchanged, for a screen that is seen in a mirror.
    pub mirrored: bool,
    /// Background on every side, at least so many pixels.
    pub margin_px: u32,
}

/// Optotypes of one size, side by side.
pub(super) struct Row {
    pub(super) size: OptotypeSize,
    pub(super) symbols: Vec<(OptotypeSet, Symbol)>,
}

/// The optotypes of a presentation, centred in one picture: those of one size that follow each
/// other stand in a row, one letter's width apart, and under it at the distance of its own height
/// stands the next row (Bailey and Lovie 1976; spacing from memory). If they are crowded, a bar
/// stands at each of the four sides, as long as what it flanks.
///
/// Black on white, or reversed; every pixel holds the light of its uncovered area.
///
/// # Errors
/// If there is nothing to draw or the screen cannot draw it.
pub fn draw(parts: &[OptotypePart], look: Look) -> Result<Raster, Undrawable> {
    let mut rows: Vec<Row> = Vec::new();
    for part in parts {
        let size = OptotypeSize::new(part.log_mar, part.distance_mm, look.pixel)?;
        let symbol = (part.optotype, part.symbol);
        match rows.last_mut().filter(|row| row.size == size) {
            Some(row) => row.symbols.push(symbol),
            None => rows.push(Row {
                size,
                symbols: vec![symbol],
            }),
        }
    }
    let Some(first) = parts.first() else {
        return Err(Undrawable::Nothing);
    };
    let (width, height) = extent(&rows, first.crowded);
    let side_px = width.max(height);
    if side_px > MAX_SIDE_PX {
        let enough_m = (first.distance_mm.0 / 10.0 * MAX_SIDE_PX / side_px).floor() / 100.0;
        return Err(Undrawable::TooLarge {
            log_mar: first.log_mar,
            distance: first.distance_mm,
            side_px,
            enough_m,
        });
    }
    let manner = Manner {
        crowded: first.crowded,
        reverse: first.reverse,
        margin_px: look.margin_px,
        shift: (0.0, 0.0),
    };
    let raster = raster(&rows, manner);
    Ok(if look.mirrored {
        raster.mirrored()
    } else {
        raster
    })
}

fn extent(rows: &[Row], crowded: bool) -> (f64, f64) {
    let width = rows.iter().map(Row::width_px).fold(0.0, f64::max);
    let stroke = rows.first().map_or(0.0, |row| row.size.stroke_px());
    let bars = if crowded { 2.0 * (TO_BAR + BAR) } else { 0.0 };
    (width + bars * stroke, height_of(rows) + bars * stroke)
}

/// The rows and the white between them, in pixels.
fn height_of(rows: &[Row]) -> f64 {
    let side = |row: &Row| row.size.side_px();
    let written: f64 = rows.iter().map(side).sum();
    let between: f64 = rows.iter().skip(1).map(side).sum();
    written + between
}

impl Row {
    fn width_px(&self) -> f64 {
        let count = self.symbols.len() as f64;
        (count * STROKES + (count - 1.0) * BETWEEN) * self.size.stroke_px()
    }
}

/// How rows are laid on a picture.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Manner {
    pub(super) crowded: bool,
    pub(super) reverse: bool,
    pub(super) margin_px: u32,
    /// So many pixels right and down of the picture's centre.
    pub(super) shift: Point,
}

/// The rows as they lie in the picture.
pub(super) fn raster(rows: &[Row], manner: Manner) -> Raster {
    let Manner {
        crowded,
        reverse,
        margin_px,
        shift,
    } = manner;
    let (width, height) = extent(rows, crowded);
    let (width_px, height_px) = (
        width.ceil() as u32 + 2 * margin_px,
        height.ceil() as u32 + 2 * margin_px,
    );
    let middle = (
        f64::from(width_px) / 2.0 + shift.0,
        f64::from(height_px) / 2.0 + shift.1,
    );
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    let mut top = middle.1 - 0.5 * height_of(rows);
    for (index, row) in rows.iter().enumerate() {
        let (stroke, side) = (row.size.stroke_px(), row.size.side_px());
        if index > 0 {
            top += side;
        }
        let y = top + side / 2.0;
        let last = row.symbols.len() as f64 - 1.0;
        for (place, (set, symbol)) in row.symbols.iter().enumerate() {
            let aside = (place as f64 - last / 2.0) * (STROKES + BETWEEN);
            let x = middle.0 + aside * stroke;
            let outlines = outlines(*set, *symbol, CHORD_ERROR_PX / stroke);
            // Rows of pixels count downward.
            let at = |(dx, dy): Point| (x + dx * stroke, y - dy * stroke);
            pieces.extend(
                outlines
                    .into_iter()
                    .map(|one| one.into_iter().map(at).collect()),
            );
        }
        top += side;
    }
    if let Some(row) = rows.first().filter(|_| crowded) {
        let widest = rows.iter().map(Row::width_px).fold(0.0, f64::max);
        let stroke = row.size.stroke_px();
        let half = (0.5 * widest / stroke, 0.5 * height_of(rows) / stroke);
        let at = |(dx, dy): Point| (middle.0 + dx * stroke, middle.1 - dy * stroke);
        let flanks = bars(half.0, half.1).into_iter();
        pieces.extend(flanks.map(|one| one.into_iter().map(at).collect()));
    }
    ink(&pieces, width_px, height_px, reverse)
}

/// A bar at each side of a box of half the width `x` and half the height `y`, in strokes.
pub(super) fn bars(x: f64, y: f64) -> [Vec<Point>; 4] {
    let (near, far) = (TO_BAR, TO_BAR + BAR);
    [
        bar(-x - far, -y, -x - near, y),
        bar(x + near, -y, x + far, y),
        bar(-x, -y - far, x, -y - near),
        bar(-x, y + near, x, y + far),
    ]
}
