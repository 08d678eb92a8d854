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
fn acuity_posteriors_are_those_of_a_direct_sum_and_near_the_fit_by_maximum_likelihood() {
    let mut fits = 0;
    for row in rows("acuity_posterior.csv") {
        let [mean, sd, scale, fitted] = numbers(&row);
        let mut posterior = AcuityPosterior::new();
        for trial in row[4].split_whitespace() {
            let (choices, answer) = trial.split_once(':').unwrap();
            let (size_log_mar, correct) = trials(answer)[0];
            posterior.observe(AcuityTrial {
                size_log_mar,
                correct,
                choices: choices.parse().unwrap(),
            });
        }
        let believed = posterior.midpoint();
        assert!((believed.mean() - mean).abs() < 1e-9, "{row:?}");
        assert!((believed.sd() - sd).abs() < 1e-9, "{row:?}");
        assert!((posterior.mean_scale() - scale).abs() < 1e-9, "{row:?}");
        // With 400 answers the prior's say is small against their own uncertainty.
        if fitted.is_finite() {
            fits += 1;
            assert!((believed.mean() - fitted).abs() < sd, "{fitted} {row:?}");
        }
    }
    assert_eq!(fits, 15);
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

#[test]
fn sites_on_a_normal_prior_are_those_of_dense_inverses() {
    let values = |text: &str| -> Vec<f64> {
        let parts = text.split_whitespace();
        parts.map(|part| part.parse().unwrap()).collect()
    };
    for row in rows("sited_normal.csv") {
        let [side, partition] = numbers(&row);
        let side = side as usize;
        let prior = values(&row[2]);
        let mut normal =
            SitedNormal::new(Symmetric::new(side, |r, column| prior[r * side + column]));
        for step in row[5].split_whitespace() {
            let parts = values(&step.replace(':', " "));
            normal.set_marginal(parts[0] as usize, parts[1], parts[2]);
        }
        // Once as the sites came, and once computed afresh from all of them.
        for _ in 0..2 {
            let near = |found: f64, expected: f64| {
                (found - expected).abs() < 1e-6 * (1.0 + expected.abs())
            };
            assert!(near(normal.log_partition(), partition), "{row:?}");
            let expected = values(&row[3]).into_iter().zip(values(&row[4]));
            for (at, (mean, variance)) in expected.enumerate() {
                let (found_mean, found_variance) = normal.marginal(at);
                assert!(near(found_mean, mean), "{found_mean} {row:?}");
                assert!(near(found_variance, variance), "{found_variance} {row:?}");
            }
            normal.refresh();
        }
    }
}

/// The belief after the answers of a row of `audiogram_posterior.csv`.
fn belief_of(row: &csv::StringRecord) -> AudiogramPosterior {
    use crate::journal::HearingPrior;
    use crate::quantity::{Ear, Hz};
    let places = row[3].split_whitespace().map(|place| {
        let (ear, hz) = place.split_once(':').unwrap();
        let ear = if ear == "right" {
            Ear::Right
        } else {
            Ear::Left
        };
        let hz = Hz(hz.parse().unwrap());
        Place { ear, hz }
    });
    let mut belief = AudiogramPosterior::new(places.collect(), HearingPrior::Clinic, &[]);
    for answer in row[5].split_whitespace() {
        let (at, trial) = answer.split_once(':').unwrap();
        let (level_db, answered) = trials(trial)[0];
        belief.observe(at.parse().unwrap(), level_db, answered);
    }
    for silent in row[6].split_whitespace() {
        belief.observe_silent(silent == "+");
    }
    belief
}

/// With one place the belief is the direct sum itself. With more, expectation propagation is an
/// approximation: nearly always good, and at its worst where few answers contradict each other and
/// the midpoints have two peaks; there it finds the standard deviation up to a third too small. The
/// bounds for more than one place are what was measured on these rows.
#[test]
fn the_joint_belief_is_that_of_a_direct_sum_over_all_midpoints() {
    let mut errors = Vec::new();
    for row in rows("audiogram_posterior.csv") {
        let [count, scale_db, false_alarm] = numbers(&row);
        let belief = belief_of(&row);
        let exact = count < 2.0;
        for (at, moments) in row[4].split_whitespace().enumerate() {
            let (mean, sd) = moments.split_once(':').unwrap();
            let [mean, sd]: [f64; 2] = [mean.parse().unwrap(), sd.parse().unwrap()];
            let believed = belief.midpoint(at);
            let off = (believed.mean() - mean).abs() / sd;
            let error = off.max((believed.sd() / sd - 1.0).abs());
            assert!(error < if exact { 1e-4 } else { 0.35 }, "{error} {row:?}");
            if !exact {
                errors.push(error);
            }
        }
        let within = if exact { 1e-4 } else { 0.1 };
        let scale = belief.mean_over_ways(|way| way.scale_db);
        let alarm = belief.mean_over_ways(|way| way.false_alarm);
        assert!((scale / scale_db - 1.0).abs() < within, "{row:?}");
        assert!((alarm / false_alarm - 1.0).abs() < within, "{row:?}");
    }
    errors.sort_by(f64::total_cmp);
    assert!(errors[errors.len() / 2] < 0.03, "{errors:?}");
    assert!(errors[errors.len() * 9 / 10] < 0.1, "{errors:?}");
}

/// The place and level that are chosen gain nearly as much as the best of all does by a direct sum: with
/// one place the same, with more what expectation propagation and regression leave of it. The bounds
/// are what was measured on these rows.
#[test]
fn the_tone_that_is_chosen_gains_what_the_best_one_gains() {
    let mut shares = Vec::new();
    for row in rows("audiogram_posterior.csv") {
        let [count, ..] = numbers::<3>(&row);
        let belief = belief_of(&row);
        let levels: Vec<f64> = (-2..=22).map(|step| 5.0 * f64::from(step)).collect();
        let candidates: Vec<_> = (0..count as usize).map(|at| (at, levels.clone())).collect();
        let chosen = belief.most_telling(&candidates).unwrap();
        let gains: Vec<f64> = row[7]
            .split_whitespace()
            .map(|gain| gain.parse().unwrap())
            .collect();
        let best = gains.iter().copied().fold(0.0, f64::max);
        let level = levels
            .iter()
            .position(|db| (db - chosen.level_db).abs() < 0.1)
            .unwrap();
        let share = gains[chosen.at * levels.len() + level] / best;
        if count < 2.0 {
            assert!(
                share > 0.999 && (chosen.gain_db2 / best - 1.0).abs() < 1e-3,
                "{row:?}"
            );
        }
        shares.push(share);
    }
    shares.sort_by(f64::total_cmp);
    assert!(shares[0] > 0.6, "{shares:?}");
    assert!(shares[shares.len() / 10] > 0.9, "{shares:?}");
}

/// The posterior of midpoint and attenuation beside noise is a sum over a grid: the same sum by numpy.
#[test]
fn what_is_believed_beside_noise_is_a_direct_sum() {
    use super::listener::{FIRST_DB, POINTS, STEP_DB};
    let bell = |mean: f64, sd: f64| {
        let cell = |at: usize| {
            let z = (FIRST_DB + STEP_DB * at as f64 - mean) / sd;
            libm::exp(-0.5 * z * z)
        };
        Marginal::new(FIRST_DB, STEP_DB, (0..POINTS).map(cell).collect())
    };
    // Before anything is known of the person, as common as they are.
    let before = AudiogramPosterior::new(Vec::new(), crate::journal::HearingPrior::Flat, &[]);
    let (mut answered, mut elsewhere) = (0, 0);
    for row in rows("beside_noise.csv") {
        let [
            own,
            own_sd,
            other,
            other_sd,
            other_from,
            mean,
            sd,
            p_other,
            p_above,
        ] = numbers(&row);
        let mut noise = BesideNoise::new(40.0);
        for tone in row[9].split_whitespace() {
            let (level, rest) = tone.split_once(':').unwrap();
            let (masker, heard) = rest.split_at(rest.len() - 1);
            let masker_db: f64 = masker.parse().unwrap();
            let tone = MaskedTone {
                level_db: level.parse().unwrap(),
                masker_db,
                other_from_db: masker_db.max(other_from),
            };
            noise.observe(&tone, heard == "+");
            answered += 1;
        }
        let unmasked = Unmasked::new(&bell(own, own_sd), &bell(other, other_sd), 40.0);
        let belief = unmasked.with(Some(&noise), &before.ways());
        let midpoint = belief.midpoint();
        let near =
            |found: f64, expected: f64| (found - expected).abs() < 1e-6 * (1.0 + expected.abs());
        assert!(near(midpoint.mean(), mean), "{} {row:?}", midpoint.mean());
        assert!(near(midpoint.sd(), sd), "{} {row:?}", midpoint.sd());
        assert!(near(belief.p_above(110.0), p_above), "{row:?}");
        let found = belief.p_other_ear(midpoint.mean(), 10.0);
        assert!(near(found, p_other), "{found} {row:?}");
        elsewhere += u32::from(p_other > 0.1);
    }
    assert!(answered > 200 && elsewhere > 3);
}
