//! Exact binomial tails and intervals.

/// How likely exactly `k` of `n` are, each with probability `p` in 0..=1.
fn probability(k: u32, n: u32, p: f64) -> f64 {
    let (k, n) = (f64::from(k), f64::from(n));
    // k·ln p with 0·ln 0 = 0.
    let times_ln = |count: f64, p: f64| {
        if count > 0.0 {
            count * libm::log(p)
        } else {
            0.0
        }
    };
    let ln_choose = libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0);
    libm::exp(ln_choose + times_ln(k, p) + times_ln(n - k, 1.0 - p))
}

/// How likely `k` or fewer of `n` are, each with probability `p` in 0..=1.
#[must_use]
pub fn lower_tail(k: u32, n: u32, p: f64) -> f64 {
    (0..=k.min(n))
        .map(|k| probability(k, n, p))
        .sum::<f64>()
        .min(1.0)
}

/// How likely `k` or more of `n` are, each with probability `p` in 0..=1.
#[must_use]
pub fn upper_tail(k: u32, n: u32, p: f64) -> f64 {
    // Added to zero, since the sum of nothing would be minus zero.
    (0.0 + (k..=n).map(|k| probability(k, n, p)).sum::<f64>()).min(1.0)
}

/// The exact interval of Clopper and Pearson (Biometrika 1934; 26:404) for a probability of which
/// `k` of `n` were seen, at `confidence` in 0..1; all of 0..=1 if nothing was seen (`n` = 0).
/// `k` over `n` counts as `n`.
#[must_use]
pub fn interval(k: u32, n: u32, confidence: f64) -> [f64; 2] {
    let k = k.min(n);
    let tail = (1.0 - confidence) / 2.0;
    let low = if k == 0 {
        0.0
    } else {
        crossing(|p| upper_tail(k, n, p) < tail)
    };
    let high = if k == n {
        1.0
    } else {
        crossing(|p| lower_tail(k, n, p) > tail)
    };
    [low, high]
}

/// Where in 0..1 `before`, true at first, turns false.
fn crossing(before: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    // 2^-50 is finer than the tails are exact.
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if before(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::function::beta::{beta_reg, inv_beta_reg};

    #[test]
    fn none_seen_has_the_closed_form() {
        // Solving (1 − p)^n = 0.025.
        for n in [1, 5, 10, 20, 30, 200] {
            let [low, high] = interval(0, n, 0.95);
            assert!(low.abs() < f64::EPSILON);
            assert!(
                (high - (1.0 - 0.025_f64.powf(1.0 / f64::from(n)))).abs() < 1e-12,
                "{n}"
            );
            let [low, high] = interval(n, n, 0.95);
            assert!(
                (low - 0.025_f64.powf(1.0 / f64::from(n))).abs() < 1e-12,
                "{n}"
            );
            assert!((high - 1.0).abs() < f64::EPSILON);
        }
        assert!(interval(0, 0, 0.95)[0] <= 0.0 && interval(0, 0, 0.95)[1] >= 1.0);
    }

    #[test]
    fn intervals_are_quantiles_of_the_beta_distribution() {
        // The identity of Clopper-Pearson limits and beta quantiles; quantiles from statrs
        // (algorithm AS 109).
        for (k, n) in [
            (1, 22),
            (3, 30),
            (5, 30),
            (1, 20),
            (17, 40),
            (199, 200),
            (60, 400),
        ] {
            let [low, high] = interval(k, n, 0.95);
            let (k, n) = (f64::from(k), f64::from(n));
            assert!(
                (low - inv_beta_reg(k, n - k + 1.0, 0.025)).abs() < 1e-9,
                "{k} of {n}"
            );
            assert!(
                (high - inv_beta_reg(k + 1.0, n - k, 0.975)).abs() < 1e-9,
                "{k} of {n}"
            );
        }
    }

    #[test]
    fn tails_are_incomplete_beta_functions() {
        // P(X >= k) = I_p(k, n − k + 1), the incomplete beta function from statrs.
        for (k, n, p) in [(1, 20, 0.01), (7, 20, 0.5), (20, 20, 0.9), (40, 300, 0.125)] {
            let expected = beta_reg(f64::from(k), f64::from(n - k) + 1.0, p);
            assert!(
                (upper_tail(k, n, p) / expected - 1.0).abs() < 1e-9,
                "{k} of {n} at {p}"
            );
            assert!((lower_tail(k - 1, n, p) - (1.0 - expected)).abs() < 1e-9);
        }
        // 2^-10 and 1 − 2^-10, exactly.
        assert!((lower_tail(0, 10, 0.5) * 1024.0 - 1.0).abs() < 1e-12);
        assert!((upper_tail(1, 10, 0.5) - 1023.0 / 1024.0).abs() < 1e-12);
        assert!((upper_tail(0, 10, 0.0) - 1.0).abs() < 1e-12);
        assert!((lower_tail(9, 10, 1.0)).abs() < f64::EPSILON);
    }

    /// The published table of choices below chance among four directions, 32 of them (Graef 1999, as
    /// recomputed in the reference, vision 9).
    #[test]
    fn choices_below_chance_are_as_rare_as_published() {
        for (k, published) in [(0, 0.0001), (1, 0.0012), (2, 0.0067)] {
            assert!(
                (lower_tail(k, 32, 0.25) - published).abs() < 0.000_05,
                "{k}"
            );
        }
        // The other end of the same table: 15 to 18 right of 32.
        for (k, published) in [(15, 0.0060), (16, 0.0020), (17, 0.0006), (18, 0.0002)] {
            assert!(
                (upper_tail(k, 32, 0.25) - published).abs() < 0.000_05,
                "{k}"
            );
        }
    }
}
