//! IEC 61260-1:2014, one-third-octave bands and the limits of their filters, class 1. The limits
//! and the formula of the breakpoints were read in a general acoustics library that copies the
//! standard's Table 1 (phonometry 3.3, `metrology/compliance.py`).

/// The octave ratio, base ten: 10^(3/10).
const G: f64 = 1.995_262_314_968_879_5;

/// Nominal midband frequencies of the bands from 31.5 Hz to 8 kHz, Hz.
pub const BANDS_HZ: [f64; 25] = [
    31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0, 630.0,
    800.0, 1000.0, 1250.0, 1600.0, 2000.0, 2500.0, 3150.0, 4000.0, 5000.0, 6300.0, 8000.0,
];

/// The place of 1000 Hz among [`BANDS_HZ`].
const BAND_OF_1_KHZ: usize = 15;

/// The exact midband frequency of the band at `index` of [`BANDS_HZ`], Hz.
#[must_use]
pub fn midband_hz(index: usize) -> f64 {
    let steps = index as f64 - BAND_OF_1_KHZ as f64;
    1000.0 * libm::pow(G, steps / 3.0)
}

/// Half of a one-third-octave band's width, in octaves of two: log2 of `G`^(1/6).
#[must_use]
pub fn half_width_octaves() -> f64 {
    libm::log2(G) / 6.0
}

/// Where the limits change, as exponents of `G` in the octave band, with the most attenuation
/// that the pass band may have, dB.
const PASS_MOST_DB: [(f64, f64); 5] = [
    (0.0, 0.4),
    (0.125, 0.5),
    (0.25, 0.7),
    (0.375, 1.4),
    (0.5, 5.3),
];

/// The least attenuation of the pass band, dB.
const PASS_LEAST_DB: f64 = -0.4;

/// The same exponents beyond the band's edge, with the least attenuation, dB.
const STOP_LEAST_DB: [(f64, f64); 5] = [
    (0.5, 1.2),
    (1.0, 16.6),
    (2.0, 40.5),
    (3.0, 60.0),
    (4.0, 70.0),
];

/// The least and the most attenuation re the midband, dB, that a class 1 filter may have at
/// `ratio` times its midband frequency; the most is infinite outside the band. Between
/// breakpoints the limits run straight over the logarithm of the frequency (5.10).
#[must_use]
pub fn class_1_limits_db(ratio: f64) -> [f64; 2] {
    // The lower side mirrors the upper.
    let ratio = ratio.max(1.0 / ratio);
    let edge = breakpoint(0.5);
    if ratio <= edge {
        return [PASS_LEAST_DB, between(&PASS_MOST_DB, ratio)];
    }
    [between(&STOP_LEAST_DB, ratio), f64::INFINITY]
}

/// A breakpoint of the octave band, `G`^`exponent`, carried over to the one-third-octave band
/// (Formula 9).
fn breakpoint(exponent: f64) -> f64 {
    let scale = (libm::pow(G, 1.0 / 6.0) - 1.0) / (libm::sqrt(G) - 1.0);
    1.0 + scale * (libm::pow(G, exponent) - 1.0)
}

fn between(points: &[(f64, f64); 5], ratio: f64) -> f64 {
    let log = libm::log(ratio);
    let at = |point: &(f64, f64)| libm::log(breakpoint(point.0));
    for pair in points.windows(2) {
        let (low, high) = (at(&pair[0]), at(&pair[1]));
        if log <= high {
            let share = ((log - low) / (high - low)).max(0.0);
            return pair[0].1 + share * (pair[1].1 - pair[0].1);
        }
    }
    points[4].1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 61260-1:2014, Table 1, at its own breakpoints.
    #[test]
    fn limits_at_the_breakpoints() {
        let near = |found: f64, expected: f64| (found - expected).abs() < 1e-9;
        for (exponent, most) in PASS_MOST_DB {
            let ratio = breakpoint(exponent);
            for ratio in [ratio, 1.0 / ratio] {
                let [least, found] = class_1_limits_db(ratio);
                assert!(near(least, -0.4) && (found - most).abs() < 0.01, "{ratio}");
            }
        }
        assert!(class_1_limits_db(breakpoint(1.0))[0] > 16.59);
        assert!(near(class_1_limits_db(20.0)[0], 70.0));
        assert!(class_1_limits_db(1.2)[1].is_infinite());
    }

    /// IEC 61260-1:2014, 5.2 to 5.5: bands of base ten; exact 31.623, 1258.925 and 7943.28 Hz are
    /// nominal 31.5, 1250 and 8000 Hz, and the edge of the 1 kHz band is 1122.02 Hz.
    #[test]
    fn exact_midband_frequencies() {
        for (index, exact) in [(0, 31.622_8), (15, 1000.0), (16, 1258.925), (24, 7943.282)] {
            assert!((midband_hz(index) / exact - 1.0).abs() < 1e-5, "{index}");
        }
        for (index, nominal) in BANDS_HZ.iter().enumerate() {
            assert!(
                (midband_hz(index) / nominal - 1.0).abs() < 0.016,
                "{nominal}"
            );
        }
        assert!((1000.0 * half_width_octaves().exp2() - 1122.018).abs() < 0.01);
    }
}
