//! ISO 8596:2017, visual acuity: the geometry of the optotype, the grid of sizes and their names.
//!
//! The grid follows the preferred numbers R10 of ISO 3, step 10^0.1. The names of the lines in
//! feet and metres are the customary rounded ones (DICOM PS3.17, Annex RR.2, 0.8 to 1.5; the
//! others from memory).

use super::{Source, Stated, Verified};
use crate::quantity::{ArcMin, LogMar, Mm};

/// The fraction of right answers that passes a size, whatever the number of choices (ISO 8596,
/// DIN 58220-3: 3 of 5, 6 of 10).
pub const CRITERION: Stated<f64> = Stated {
    value: 0.6,
    within: None,
    source: Source {
        document: "ISO 8596:2017",
        place: "pass rule, as secondary summaries print it",
        verified: Verified::FromMemory,
    },
};

/// An optotype is this many strokes high and wide (ISO 8596, clause 3).
pub const STROKES: f64 = 5.0;

/// The height of an optotype of this size at this distance: five times the critical detail, by
/// the tangent of the half angle.
#[must_use]
pub fn height(size: LogMar, distance: Mm) -> Mm {
    ArcMin(STROKES * size.detail().0).span_at(distance)
}

/// The size of an optotype this high at this distance.
#[must_use]
pub fn size(height: Mm, distance: Mm) -> LogMar {
    LogMar::of_detail(ArcMin(ArcMin::spanned_by(height, distance).0 / STROKES))
}

/// The distance at which an optotype this high has this size.
#[must_use]
pub fn distance(size: LogMar, tall: Mm) -> Mm {
    Mm(tall.0 / height(size, Mm(1.0)).0)
}

/// One line of the grid with its customary names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AcuityLine {
    /// Its size.
    pub log_mar: LogMar,
    /// Decimal acuity, rounded as R10 rounds it.
    pub decimal_name: &'static str,
    /// The fraction at 6 m.
    pub six_metre: &'static str,
    /// The fraction at 20 feet.
    pub twenty_foot: &'static str,
}

const fn line(
    log_mar: f64,
    decimal_name: &'static str,
    six_metre: &'static str,
    twenty_foot: &'static str,
) -> AcuityLine {
    AcuityLine {
        log_mar: LogMar(log_mar),
        decimal_name,
        six_metre,
        twenty_foot,
    }
}

const LINES: [AcuityLine; 24] = [
    line(-0.3, "2.0", "6/3", "20/10"),
    line(-0.2, "1.6", "6/3.8", "20/12.5"),
    line(-0.1, "1.25", "6/4.8", "20/16"),
    line(0.0, "1.0", "6/6", "20/20"),
    line(0.1, "0.8", "6/7.5", "20/25"),
    line(0.2, "0.63", "6/9.5", "20/32"),
    line(0.3, "0.5", "6/12", "20/40"),
    line(0.4, "0.4", "6/15", "20/50"),
    line(0.5, "0.32", "6/19", "20/63"),
    line(0.6, "0.25", "6/24", "20/80"),
    line(0.7, "0.2", "6/30", "20/100"),
    line(0.8, "0.16", "6/38", "20/125"),
    line(0.9, "0.125", "6/48", "20/160"),
    line(1.0, "0.1", "6/60", "20/200"),
    line(1.1, "0.08", "6/75", "20/250"),
    line(1.2, "0.063", "6/95", "20/320"),
    line(1.3, "0.05", "6/120", "20/400"),
    line(1.4, "0.04", "6/150", "20/500"),
    line(1.5, "0.032", "6/190", "20/630"),
    line(1.6, "0.025", "6/240", "20/800"),
    line(1.7, "0.02", "6/300", "20/1000"),
    line(1.8, "0.016", "6/380", "20/1250"),
    line(1.9, "0.0125", "6/480", "20/1600"),
    line(2.0, "0.01", "6/600", "20/2000"),
];

/// The lines from −0.3 to 2.0 logMAR in steps of 0.1, ascending.
#[must_use]
pub fn acuity_lines() -> &'static [AcuityLine] {
    &LINES
}

/// The line nearest to `size`, between two lines the one of poorer acuity; `None` further than
/// half a step outside the grid. Never to be used for a cut-off.
#[must_use]
pub fn nearest_line(size: LogMar) -> Option<&'static AcuityLine> {
    let steps = libm::floor(size.0 * 10.0 + 0.5) + 3.0;
    // A negative step or NaN would saturate to the first line.
    if steps >= 0.0 {
        LINES.get(steps as usize)
    } else {
        None
    }
}

/// The lines from `low` to `high`, both included.
pub fn lines_within(low: LogMar, high: LogMar) -> impl Iterator<Item = &'static AcuityLine> {
    LINES
        .iter()
        .filter(move |line| low <= line.log_mar && line.log_mar <= high)
}

/// The exact fraction at a numerator (6 m, 20 feet, the test distance): one decimal under 10,
/// whole numbers above; 6/7.9, 20/26.
#[must_use]
pub fn fraction(numerator: f64, size: LogMar) -> String {
    format!(
        "{}/{}",
        short(numerator),
        short(numerator * size.detail().0)
    )
}

fn short(number: f64) -> String {
    let tenths = libm::round(number * 10.0) / 10.0;
    if tenths < 10.0 {
        format!("{tenths}")
    } else {
        format!("{}", libm::round(number))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twelve rows of the letter chart for 4 m, heights in mm (uniroma2.it/otticafp/vatab.html,
    /// Tab. 2). They print multiples of rounded figures: within 2 of the last digit.
    #[test]
    fn heights_agree_with_the_published_table_at_4_m() {
        let published = [
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
        for (log_mar, mm) in published {
            let ours = height(LogMar(log_mar), Mm(4000.0)).0;
            assert!((ours - mm).abs() < 0.025, "{log_mar}: {ours} against {mm}");
        }
        // The same table: stroke 1.16 mm at 0.0.
        assert!((height(LogMar(0.0), Mm(4000.0)).0 / STROKES - 1.16).abs() < 0.005);
    }

    /// 8.73 mm for 6/6 at 6 m (tan 5′ × 6000, published on optiboard.com); a ring's gap of
    /// 1.45 mm at 5 m for acuity 1.0 (mauspfeil.com, Landoltring); a letter of 5′ at 60 feet is
    /// 26 mm (AAO, truncated).
    #[test]
    fn single_published_sizes() {
        assert!((height(LogMar(0.0), Mm(6000.0)).0 - 8.73).abs() < 0.005);
        assert!((height(LogMar(0.0), Mm(5000.0)).0 / STROKES - 1.45).abs() < 0.005);
        let sixty_feet = Mm(60.0 * 304.8);
        assert!((26.0..27.0).contains(&height(LogMar(0.0), sixty_feet).0));
    }

    /// DICOM PS3.17, Annex RR.2: logMAR with its fractions.
    #[test]
    fn names_agree_with_dicom() {
        let published = [
            (0.8, "20/125", "6/38"),
            (0.9, "20/160", "6/48"),
            (1.1, "20/250", "6/75"),
            (1.2, "20/320", "6/95"),
            (1.3, "20/400", "6/120"),
            (1.4, "20/500", "6/150"),
            (1.5, "20/630", "6/190"),
        ];
        for (log_mar, feet, metres) in published {
            let line = nearest_line(LogMar(log_mar)).unwrap();
            assert_eq!((line.twenty_foot, line.six_metre), (feet, metres));
        }
    }

    /// R10 of ISO 3 rounds by at most 1.3 %; the customary names in feet and metres keep to it.
    #[test]
    fn every_name_says_its_size() {
        for line in acuity_lines() {
            let detail = line.log_mar.detail().0;
            let decimal: f64 = line.decimal_name.parse().unwrap();
            let metres: f64 = line.six_metre.strip_prefix("6/").unwrap().parse().unwrap();
            let feet: f64 = line
                .twenty_foot
                .strip_prefix("20/")
                .unwrap()
                .parse()
                .unwrap();
            for named in [1.0 / decimal, metres / 6.0, feet / 20.0] {
                assert!((named / detail - 1.0).abs() < 0.013, "{line:?}: {named}");
            }
            assert_eq!(nearest_line(line.log_mar), Some(line));
        }
    }

    #[test]
    fn nearest_line_ends_half_a_step_outside_the_grid() {
        assert_eq!(nearest_line(LogMar(0.12)).unwrap().six_metre, "6/7.5");
        assert_eq!(nearest_line(LogMar(0.16)).unwrap().six_metre, "6/9.5");
        assert_eq!(nearest_line(LogMar(2.04)).unwrap().six_metre, "6/600");
        for outside in [
            -0.36,
            2.06,
            40.0,
            -1e300,
            1e300,
            f64::NAN,
            f64::NEG_INFINITY,
        ] {
            assert_eq!(nearest_line(LogMar(outside)), None, "{outside}");
        }
    }

    #[test]
    fn lines_inside_an_interval() {
        let names = |low, high| {
            lines_within(LogMar(low), LogMar(high))
                .map(|line| line.six_metre)
                .collect::<Vec<_>>()
        };
        assert_eq!(names(0.04, 0.21), ["6/7.5", "6/9.5"]);
        assert_eq!(names(0.11, 0.19), [""; 0]);
        assert_eq!(names(0.3, 0.3), ["6/12"]);
    }

    /// Exact fractions (table of vision standards: 6/7.55, 20/25.18, 20/126.2 …).
    #[test]
    fn exact_fractions() {
        assert_eq!(fraction(6.0, LogMar(0.12)), "6/7.9");
        assert_eq!(fraction(4.0, LogMar(0.12)), "4/5.3");
        assert_eq!(fraction(20.0, LogMar(0.12)), "20/26");
        assert_eq!(fraction(6.0, LogMar(0.0)), "6/6");
        assert_eq!(fraction(20.0, LogMar(1.0)), "20/200");
        assert_eq!(fraction(6.0, LogMar(0.22)), "6/10");
    }

    #[test]
    fn size_height_and_distance_are_inverse() {
        for log_mar in [-0.6, 0.0, 0.37, 1.7] {
            let tall = height(LogMar(log_mar), Mm(3170.0));
            assert!((size(tall, Mm(3170.0)).0 - log_mar).abs() < 1e-12);
            assert!((distance(LogMar(log_mar), tall).0 - 3170.0).abs() < 1e-8);
        }
    }
}
