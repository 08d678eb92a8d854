//! What was drawn is measured from the grey values alone, against the ring's geometry.

use super::picture::{Manner, Row, raster};
use super::*;
use crate::outside::{numbers, rows};
use crate::quantity::{Draws, Stream};
use crate::stimulus::raster::ink_share;
use crate::stimulus::{Facing, Raster};
use std::f64::consts::PI;

/// One optotype with its centre so many pixels right and down of the picture's.
pub(super) fn single(
    set: OptotypeSet,
    symbol: Symbol,
    size: OptotypeSize,
    margin_px: u32,
    shift: (f64, f64),
) -> Raster {
    let symbols = vec![(set, symbol)];
    let manner = Manner {
        margin_px,
        shift,
        ..Manner::default()
    };
    raster(&[Row { size, symbols }], manner)
}

fn landolt(size: OptotypeSize, facing: Facing, margin_px: u32) -> Raster {
    let ring = Symbol::Facing(facing);
    single(OptotypeSet::Landolt8, ring, size, margin_px, (0.0, 0.0))
}

/// The share of ink at each pixel, with its centre re the picture's, x right and y up.
pub(super) fn inked(raster: &Raster) -> impl Iterator<Item = (f64, f64, f64)> {
    let (width, height) = (f64::from(raster.width_px), f64::from(raster.height_px));
    raster.grey.iter().enumerate().map(move |(i, &grey)| {
        let (column, row) = (i as u32 % raster.width_px, i as u32 / raster.width_px);
        let x = f64::from(column) + 0.5 - width / 2.0;
        let y = height / 2.0 - f64::from(row) - 0.5;
        (x, y, ink_share(grey))
    })
}

/// The area of the gap, a strip one stroke wide between two concentric circles, in strokes²
/// (circle geometry: a strip of half width h takes r²·asin(h/r) + h·√(r² − h²) of the half disk).
fn gap_area() -> f64 {
    let half_disk_part = |r: f64| r * r * (0.5 / r).asin() + 0.5 * (r * r - 0.25).sqrt();
    half_disk_part(2.5) - half_disk_part(1.5)
}

fn ring_area() -> f64 {
    PI * (2.5 * 2.5 - 1.5 * 1.5) - gap_area()
}

/// Rings of 2 to 60 pixels a stroke, in every direction.
fn rings() -> impl Iterator<Item = (OptotypeSize, Facing, Raster)> {
    let mut draws = Draws::new(8596, Stream::Optotype, 0);
    (0..240).map(move |i| {
        // Evenly in the logarithm: small rings are the hard ones.
        let size = OptotypeSize {
            stroke_px: 2.0 * 30.0_f64.powf(draws.uniform()),
        };
        let facing = Facing::EIGHT[i % 8];
        let raster = landolt(size, facing, 1 + i as u32 % 3);
        (size, facing, raster)
    })
}

#[test]
fn ink_gap_stroke_and_direction_are_those_of_the_ring_at_any_size() {
    for (size, facing, raster) in rings() {
        let stroke = size.stroke_px();
        let (mut ink, mut at_x, mut at_y, mut square) = (0.0, 0.0, 0.0, 0.0);
        for (x, y, share) in inked(&raster) {
            ink += share;
            at_x += share * x;
            at_y += share * y;
            square += share * (x * x + y * y);
        }
        // What remains below 3 pixels is the rounding to 8 bits, alike in all symmetric pixels.
        let expected = ring_area() * stroke * stroke;
        let bound = if stroke < 3.0 { 2e-3 } else { 1e-3 };
        assert!(
            (ink / expected - 1.0).abs() < bound,
            "ink at {stroke}: {}",
            ink / expected
        );

        // The ink's centre lies opposite to the gap.
        let away = (-at_y).atan2(-at_x).to_degrees() - facing.degrees();
        let away = (away + 540.0).rem_euclid(360.0) - 180.0;
        assert!(
            away.abs() < 1.0,
            "{facing:?} at {stroke}: off by {away} degrees"
        );

        // The gap as wide as its missing ink says: within 1 % and 0.05 pixel.
        let missing = PI * 4.0 * stroke * stroke - ink;
        let gap = missing / (gap_area() * stroke);
        assert!(
            (gap - stroke).abs() < (0.01 * stroke).max(0.05),
            "gap at {stroke}: {gap}"
        );

        // Second moment about the centre, in strokes⁴ (it grows with the size's fourth power, so
        // it holds the stroke within a quarter of the bound): the annulus has π(R⁴ − r⁴)/2; the gap's
        // part by Simpson's rule across the strip.
        let chord = |y: f64| {
            let part = |r: f64| {
                let x = (r * r - y * y).sqrt();
                x * x * x / 3.0 + y * y * x
            };
            part(2.5) - part(1.5)
        };
        let gap_moment = (chord(-0.5) + 4.0 * chord(0.0) + chord(0.5)) / 6.0;
        let moment = PI * (2.5_f64.powi(4) - 1.5_f64.powi(4)) / 2.0 - gap_moment;
        let pixel = ink / 6.0; // spreading ink over whole pixels adds a pixel's own second moment
        let drawn = (square - pixel) / stroke.powi(4);
        assert!(
            (drawn / moment - 1.0).abs() < 4.0 * bound,
            "moment at {stroke}: {}",
            drawn / moment
        );
    }
}

#[test]
fn along_its_axis_the_gap_is_parallel_and_one_stroke_wide() {
    for (size, facing, raster) in rings().filter(|(_, facing, _)| *facing == Facing::Right) {
        let stroke = size.stroke_px();
        // Columns between inner and outer rim where white within one stroke of the axis is gap.
        let columns: Vec<i64> = (0..i64::from(raster.width_px))
            .filter(|column| {
                let left = *column as f64 - f64::from(raster.width_px) / 2.0;
                left >= 1.5 * stroke && left + 1.0 <= 2.29 * stroke
            })
            .collect();
        assert!(!columns.is_empty() || stroke < 2.6, "{facing:?} {stroke}");
        for column in columns {
            let x = column as f64 + 0.5 - f64::from(raster.width_px) / 2.0;
            let white: f64 = inked(&raster)
                .filter(|(at, y, _)| (at - x).abs() < 0.1 && y.abs() < 0.9 * stroke)
                .map(|(_, _, share)| 1.0 - share)
                .sum();
            assert!(
                (white - stroke).abs() < 0.05,
                "gap in column {x} of {stroke}: {white}"
            );
        }
    }
}

#[test]
fn every_pixel_agrees_with_counting_points_inside_the_ring() {
    const POINTS: i32 = 40;
    for (stroke_px, facing) in [
        (2.0, Facing::Up),
        (2.37, Facing::DownLeft),
        (5.5, Facing::Left),
    ] {
        let raster = landolt(OptotypeSize { stroke_px }, facing, 1);
        let (sin, cos) = facing.degrees().to_radians().sin_cos();
        for (x, y, share) in inked(&raster) {
            let mut inside = 0;
            for i in 0..POINTS * POINTS {
                let at = |i: i32| (f64::from(i) + 0.5) / f64::from(POINTS) - 0.5;
                let (x, y) = (x + at(i % POINTS), y + at(i / POINTS));
                let (along, across) = (x * cos + y * sin, y * cos - x * sin);
                let radius = x.hypot(y) / stroke_px;
                let gap = along > 0.0 && across.abs() < 0.5 * stroke_px;
                inside += i32::from((1.5..2.5).contains(&radius) && !gap);
            }
            let counted = f64::from(inside) / f64::from(POINTS * POINTS);
            assert!(
                (share - counted).abs() < 0.02,
                "({x}, {y}) of {stroke_px}: {share} {counted}"
            );
        }
    }
}

#[test]
fn quarter_turns_and_mirrors_give_the_same_greys() {
    let mut draws = Draws::new(8596, Stream::Optotype, 1);
    for _ in 0..60 {
        let size = OptotypeSize {
            stroke_px: draws.between(2.0, 25.0),
        };
        for (i, facing) in Facing::EIGHT.into_iter().enumerate() {
            let raster = landolt(size, facing, 2);
            let side = raster.width_px as usize;
            let at = |x: usize, y: usize| raster.grey[y * side + x];
            let turned = landolt(size, Facing::EIGHT[(i + 2) % 8], 2);
            let mirrored = landolt(size, facing.mirrored(), 2);
            for y in 0..side {
                for x in 0..side {
                    assert_eq!(at(x, y), turned.grey[(side - 1 - x) * side + y], "{size:?}");
                    assert_eq!(at(x, y), mirrored.grey[y * side + side - 1 - x], "{size:?}");
                }
            }
        }
    }
}

#[test]
fn heights_are_those_of_published_charts() {
    let height_mm = |log_mar: f64, distance_mm: f64| {
        let pixel = Mm(0.05);
        OptotypeSize::new(LogMar(log_mar), Mm(distance_mm), pixel)
            .unwrap()
            .side_px()
            * pixel.0
    };
    // 8.73 mm for 6/6 at 6 m (published in many places, among them optiboard.com).
    assert!((height_mm(0.0, 6000.0) - 8.73).abs() < 0.005);
    // The chart for 4 m, uniroma2.it/otticafp/vatab.html, Tab. 2; its rounding is 0.02 mm off in
    // places.
    let table = [
        (1.0, 58.20),
        (0.9, 46.23),
        (0.8, 36.72),
        (0.7, 29.17),
        (0.6, 23.17),
        (0.5, 18.40),
        (0.4, 14.62),
        (0.3, 11.61),
        (0.2, 9.22),
        (0.1, 7.33),
        (0.0, 5.82),
        (-0.1, 4.62),
    ];
    for (log_mar, height) in table {
        assert!(
            (height_mm(log_mar, 4000.0) - height).abs() < 0.025,
            "{log_mar}"
        );
    }
    // Landolt ring of 1.0 at 5 m: gap 1.45 mm (mauspfeil.com, Landoltring).
    assert!((height_mm(0.0, 5000.0) / 5.0 - 1.45).abs() < 0.005);
}

#[test]
fn heights_are_those_of_an_independent_tangent() {
    // tests/outside/make_tables.py: numpy in long double.
    for row in rows("acuity_sizes.csv") {
        let [log_mar, distance_mm, height_mm, gap_mm] = numbers(&row);
        let pixel = Mm(gap_mm / 10.0);
        let size = OptotypeSize::new(LogMar(log_mar), Mm(distance_mm), pixel).unwrap();
        assert!((size.side_px() * pixel.0 / height_mm - 1.0).abs() < 1e-12);
        assert!((size.stroke_px() - 10.0).abs() < 1e-10);
    }
}

#[test]
fn what_cannot_be_drawn_is_refused_with_the_distance_that_would_do() {
    let pixel = Mm(0.2);
    let too_small = OptotypeSize::new(LogMar(-0.1), Mm(1000.0), pixel).unwrap_err();
    let Undrawable::TooSmall { enough_m, .. } = too_small else {
        panic!("{too_small}")
    };
    assert!(
        too_small
            .to_string()
            .contains(&format!("{enough_m:.2} m or more"))
    );
    assert!(OptotypeSize::new(LogMar(-0.1), Mm(enough_m * 1000.0), pixel).is_ok());
    assert!(OptotypeSize::new(LogMar(-0.1), Mm(enough_m * 1000.0 - 10.0), pixel).is_err());

    let too_large = OptotypeSize::new(LogMar(2.3), Mm(6000.0), pixel).unwrap_err();
    let Undrawable::TooLarge { enough_m, .. } = too_large else {
        panic!("{too_large}")
    };
    assert!(OptotypeSize::new(LogMar(2.3), Mm(enough_m * 1000.0), pixel).is_ok());
    assert!(OptotypeSize::new(LogMar(2.3), Mm(enough_m * 1000.0 + 10.0), pixel).is_err());

    for (log_mar, distance, pixel) in [
        (f64::NAN, 4000.0, 0.2),
        (4.0, 4000.0, 0.2),
        (f64::NEG_INFINITY, 4000.0, 0.2),
        (0.0, 0.0, 0.2),
        (0.0, f64::INFINITY, 0.2),
        (0.0, 4000.0, -0.2),
        (0.0, 4000.0, f64::NAN),
    ] {
        let refused = OptotypeSize::new(LogMar(log_mar), Mm(distance), Mm(pixel)).unwrap_err();
        assert!(refused.to_string().contains("expected"), "{refused}");
    }
}

#[test]
fn the_smallest_size_is_the_inverse_of_the_stroke() {
    let smallest = OptotypeSize::log_mar_of(MIN_STROKE_PX, Mm(4000.0), Mm(0.125));
    let just = LogMar(smallest.0 + 1e-9);
    let size = OptotypeSize::new(just, Mm(4000.0), Mm(0.125)).unwrap();
    assert!((size.stroke_px() - 2.0).abs() < 1e-6);
    assert!(OptotypeSize::new(LogMar(smallest.0 - 1e-6), Mm(4000.0), Mm(0.125)).is_err());
}

/// Whatever the screen and the distance, the smallest size that a set-up names can be drawn: a
/// procedure may ask for it.
#[test]
fn the_smallest_size_of_any_screen_can_be_drawn() {
    let mut draws = Draws::new(8596, Stream::Optotype, 2);
    for _ in 0..2000 {
        let (distance, pixel) = (
            Mm(draws.between(300.0, 8000.0)),
            Mm(draws.between(0.05, 0.5)),
        );
        let smallest = crate::calibration::smallest_drawable(pixel, distance);
        let size = OptotypeSize::new(smallest, distance, pixel);
        assert!(size.is_ok(), "{distance:?} {pixel:?}: {size:?}");
    }
}
