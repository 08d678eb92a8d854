//! Measures a sampled sine as a laboratory would: by a least-squares fit of sine and cosine
//! (IEEE Std 1057, three-parameter sine fit, without the constant), not by our own formulas.

use std::f64::consts::TAU;

/// The sine that fits best.
#[derive(Debug, Clone, Copy)]
pub struct Sine {
    /// Level re full scale, dB.
    pub db_fs: f64,
    /// Phase at the first sample, radians.
    pub phase: f64,
}

/// Fits a sine of `hz` to `samples`.
pub fn fit(samples: &[f64], hz: f64, rate: f64) -> Sine {
    let (mut ss, mut cc, mut sc, mut ys, mut yc) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (n, y) in samples.iter().enumerate() {
        let (sin, cos) = (TAU * hz * n as f64 / rate).sin_cos();
        ss += sin * sin;
        cc += cos * cos;
        sc += sin * cos;
        ys += y * sin;
        yc += y * cos;
    }
    let determinant = ss * cc - sc * sc;
    let a = (ys * cc - yc * sc) / determinant;
    let b = (yc * ss - ys * sc) / determinant;
    Sine {
        db_fs: 20.0 * a.hypot(b).log10(),
        phase: b.atan2(a),
    }
}

/// How far the frequency is from `hz`, in parts per million: from the phase's advance between
/// the first and the last quarter, each long enough to be fitted.
pub fn ppm_off(samples: &[f64], hz: f64, rate: f64) -> f64 {
    let quarter = samples.len() / 4;
    let apart = (samples.len() - quarter) as f64;
    let first = fit(&samples[..quarter], hz, rate).phase;
    let last = fit(&samples[samples.len() - quarter..], hz, rate).phase;
    let expected = TAU * hz * apart / rate;
    let off = (last - first - expected + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0;
    off / expected * 1e6
}
