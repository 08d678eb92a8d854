//! Lengths as people write them.

use crate::quantity::Mm;

const FOOT_MM: f64 = 304.8;
const INCH_MM: f64 = 25.4;
/// A bare number up to this is in metres, more is in millimetres.
const MOST_METRES: f64 = 25.0;

/// A distance from eye to screen, 0.1 to 20 m: in metres, centimetres, millimetres, or feet and
/// inches (`13 ft 1.5 in`, `13' 1.5"`); parts of a path through a mirror are joined by `+`.
#[must_use]
pub fn distance(text: &str) -> Option<Mm> {
    let text = text.to_lowercase().replace(',', ".").replace("''", "\"");
    let parts: Option<Vec<f64>> = text.split('+').map(length_mm).collect();
    let mm = parts?.iter().sum();
    (100.0..=20_000.0).contains(&mm).then_some(Mm(mm))
}

fn length_mm(text: &str) -> Option<f64> {
    let text = text.trim();
    if text.contains(['\'', '"']) || text.contains("ft") || text.contains("in") {
        return feet_and_inches_mm(text);
    }
    for (unit, mm) in [("mm", 1.0), ("cm", 10.0), ("m", 1000.0)] {
        if let Some(digits) = text.strip_suffix(unit) {
            return Some(mm * number(digits)?);
        }
    }
    match number(text)? {
        metres if metres <= MOST_METRES => Some(1000.0 * metres),
        mm => Some(mm),
    }
}

fn feet_and_inches_mm(text: &str) -> Option<f64> {
    let text = text.replace("ft", "'").replace("in", "\"");
    let (feet, inches) = match text.split_once('\'') {
        Some((feet, inches)) => (number(feet)?, inches.trim()),
        None => (0.0, text.as_str()),
    };
    let inches = match inches.strip_suffix('"').unwrap_or(inches) {
        "" => 0.0,
        inches => number(inches)?,
    };
    Some(FOOT_MM * feet + INCH_MM * inches)
}

fn number(digits: &str) -> Option<f64> {
    let value: f64 = digits.trim().parse().ok()?;
    (value.is_finite() && value >= 0.0).then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One foot is 304.8 mm, one inch 25.4 mm, exactly (international yard, 1959).
    #[test]
    fn feet_inches_and_paths_through_a_mirror_are_read() {
        for (text, mm) in [
            ("10 ft", Some(3048.0)),
            ("13' 1.5\"", Some(4000.5)),
            ("13 ft 1.5 in", Some(4000.5)),
            ("20ft", Some(6096.0)),
            ("16 in", Some(406.4)),
            ("6' 2''", Some(1879.6)),
            ("1.6 m + 2.4 m", Some(4000.0)),
            ("2+2", Some(4000.0)),
            ("5 ft + 150 cm", Some(3024.0)),
            ("13 ft x", None),
            ("-3 m", None),
            ("2 +", None),
            ("30 ft + 40 ft", None),
        ] {
            let found = distance(text).map(|mm| (mm.0 * 10.0).round() / 10.0);
            assert_eq!(found, mm, "{text}");
        }
    }
}
