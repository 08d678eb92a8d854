//! Axes and marks, against the rules of the form.

use super::audiogram::Axes;
use super::shape::{Area, at};
use crate::quantity::Hz;

/// ISO 8253-1:2010 (the audiogram form, from memory) and ANSI/ASA S3.20, 4.01 (frequency
/// logarithmic, level downward): one octave is as long as 20 dB, at any size.
#[test]
fn an_octave_is_as_long_as_20_db() {
    for (width, height) in [
        (140.0, 130.0),
        (300.0, 200.0),
        (1600.0, 500.0),
        (90.0, 900.0),
    ] {
        let space = Area::sized(at(13.0, 7.0), width, height);
        let axes = Axes::fit(space, [-10.0, 120.0]);
        let octave = axes.x(Hz(2000.0)) - axes.x(Hz(1000.0));
        let twenty_db = axes.y(60.0) - axes.y(40.0);
        assert!(octave > 0.0 && (octave - twenty_db).abs() < 1e-3);
        let (field, slack) = (axes.field, 1e-3);
        assert!(field.min.x >= space.min.x - slack && field.max.x <= space.max.x + slack);
        assert!(field.min.y >= space.min.y - slack && field.max.y <= space.max.y + slack);
    }
}

#[test]
fn known_points_lie_where_they_should() {
    // At one point a decibel the field is 7 octaves = 140 wide and 130 high.
    let space = Area::sized(at(0.0, 0.0), 140.0, 130.0);
    let axes = Axes::fit(space, [-10.0, 120.0]);
    for (hz, x) in [
        (125.0, 10.0),
        (1000.0, 70.0),
        (1500.0, 81.7),
        (8000.0, 130.0),
    ] {
        assert!((axes.x(Hz(hz)) - x).abs() < 0.01, "{hz}");
    }
    for (db, y) in [(-10.0, 0.0), (0.0, 10.0), (120.0, 130.0)] {
        assert!((axes.y(db) - y).abs() < 0.01, "{db}");
    }
}
