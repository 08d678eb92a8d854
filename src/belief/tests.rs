//! Against tables that numpy and scipy made (`tests/outside/make_tables.py`).

use super::*;
use crate::outside::{numbers, rows};

/// Trials as `value+` for yes or right, `value-` for none or wrong, parted by spaces.
fn trials(text: &str) -> Vec<(f64, bool)> {
    text.split_whitespace()
        .map(|trial| {
            let (value, answer) = trial.split_at(trial.len() - 1);
            (value.parse().unwrap(), answer == "+")
        })
        .collect()
}

#[test]
fn the_logistic_function_is_that_of_scipy() {
    for row in rows("logistic.csv") {
        let [x, expected] = numbers(&row);
        assert!((logistic(x) / expected - 1.0).abs() < 1e-14, "{x}");
    }
}

#[test]
fn threshold_posteriors_are_those_of_a_direct_sum() {
    for row in rows("threshold_posterior.csv") {
        let [mean, sd] = numbers(&row);
        let mut posterior = ThresholdPosterior::new();
        for (level_db, heard) in trials(&row[2]) {
            posterior.observe(ToneTrial { level_db, heard });
        }
        let believed = posterior.midpoint();
        assert!((believed.mean() - mean).abs() < 1e-9, "{row:?}");
        assert!((believed.sd() - sd).abs() < 1e-9, "{row:?}");
    }
}

#[test]
fn the_likelihood_of_sizes_named_rightly_is_that_of_scipy_and_has_its_top_there() {
    for row in rows("mle_acuity.csv") {
        let [choices, scale, lapse, midpoint, expected] = numbers(&row);
        let answers = trials(&row[5]);
        let log_likelihood = |midpoint: f64| {
            let person = ChoiceFunction {
                midpoint,
                scale,
                choices: choices as u32,
                lapse,
            };
            let ln_p = |&(size, right): &(f64, bool)| {
                let p = person.p(size);
                libm::log(if right { p } else { 1.0 - p })
            };
            answers.iter().map(ln_p).sum::<f64>()
        };
        let top = log_likelihood(midpoint);
        assert!((top - expected).abs() < 1e-10, "{row:?}");
        assert!(log_likelihood(midpoint - 1e-4) < top && log_likelihood(midpoint + 1e-4) < top);
    }
}

#[test]
fn exact_intervals_and_tails_are_those_of_scipy() {
    for row in rows("binomial_interval.csv") {
        let [k, n, low, high] = numbers(&row);
        let [found_low, found_high] = binomial::interval(k as u32, n as u32, 0.95);
        assert!((found_low - low).abs() < 1e-10, "{row:?} {found_low}");
        assert!((found_high - high).abs() < 1e-10, "{row:?} {found_high}");
    }
    for row in rows("binomial_tail.csv") {
        let [k, n, p, at_most, at_least] = numbers(&row);
        let (k, n) = (k as u32, n as u32);
        assert!((binomial::lower_tail(k, n, p) - at_most).abs() < 1e-11 * at_most.max(1e-3));
        assert!((binomial::upper_tail(k, n, p) - at_least).abs() < 1e-11 * at_least.max(1e-3));
    }
}
