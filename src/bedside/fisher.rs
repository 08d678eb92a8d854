//! Whether two shares differ: Fisher's exact test.

/// The two-sided probability of Fisher's exact test that `k1` of `n1` and `k2` of `n2` differ as
/// much by chance: the sum over all tables with the same margins that are no likelier than this
/// one (R. A. Fisher, Statistical Methods for Research Workers, 1934, section 21.02, from memory).
#[must_use]
pub fn fisher([k1, n1]: [u32; 2], [k2, n2]: [u32; 2]) -> f64 {
    let hits = k1 + k2;
    let ln_choose = |n: u32, k: u32| {
        let [n, k] = [n, k].map(f64::from);
        libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0)
    };
    let p = |k: u32| {
        let ln = ln_choose(n1, k) + ln_choose(n2, hits - k) - ln_choose(n1 + n2, hits);
        libm::exp(ln)
    };
    let seen = p(k1);
    let (least, most) = (hits.saturating_sub(n2), hits.min(n1));
    // Tables as likely as this one count, also where rounding sets them apart.
    let as_unlikely = (least..=most).map(p).filter(|p| *p <= seen * (1.0 + 1e-7));
    as_unlikely.sum::<f64>().min(1.0)
}
