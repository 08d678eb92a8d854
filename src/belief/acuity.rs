//! What is believed of one eye's acuity after forced-choice answers to single optotypes.

use super::chart::{CHART_CHOICES, expected_reading};
use super::grid::{Asymptotes, Axes, GridPosterior};
use super::{ChoiceFunction, Marginal};
use crate::standard::iso_8596_2017::CRITERION;
use std::cell::RefCell;
use std::sync::LazyLock;

/// One optotype and whether it was named rightly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AcuityTrial {
    /// Size in logMAR.
    pub size_log_mar: f64,
    /// Whether the answer was right.
    pub correct: bool,
    /// How many answers there were to choose from, at least 2.
    pub choices: u32,
}

const FIRST_LOG_MAR: f64 = -0.9;
const STEP_LOG_MAR: f64 = 0.02;
const MIDPOINTS: usize = 166;
/// From steeper than any published person to blur and disease (reference: logistic scales of 0.03
/// to 0.08 in normal eyes, tenfold range between persons, Horner 1985).
const SCALES: [f64; 8] = [0.012, 0.02, 0.03, 0.045, 0.06, 0.08, 0.105, 0.13];
const LAPSES: [f64; 3] = [0.01, 0.03, 0.06];
/// How likely each of them is, as weights: few lapses are more usual than many. Our choice, no
/// source.
const LAPSE_WEIGHTS: [f64; 3] = [8.0, 3.0, 1.0];

/// A share of all eyes whose midpoints are normally distributed.
struct Group {
    share: f64,
    mean_log_mar: f64,
    sd_log_mar: f64,
}

/// Four eyes in five as in a population of all ages (mean 0.1,
/// standard deviation about 0.3); one in five anywhere. So the first size is not wasted on most people,
/// and no acuity within the grid is held against anyone. Our choice, no source.
const GROUPS: [Group; 2] = [
    Group {
        share: 0.8,
        mean_log_mar: 0.1,
        sd_log_mar: 0.3,
    },
    Group {
        share: 0.2,
        mean_log_mar: 0.7,
        sd_log_mar: 0.7,
    },
];
/// Where the prior on the scale has its peak, logMAR, and the factor that one standard deviation
/// of it is. A flat eye costs more trials than a steep one, so the prior leans to the flat side (our
/// choice).
const USUAL_SCALE_LOG_MAR: f64 = 0.08;
const SCALE_FACTOR: f64 = 1.7;

/// How likely each of [`LAPSES`] is where the midpoint is stated, as weights; all [`SCALES`] are then
/// taken for equally likely. Under the priors above, which make the better choices of sizes, the
/// midpoints of steep eyes without lapses were stated 0.010 logMAR too good with four choices, and those
/// of flat eyes with many lapses 0.010 too poor. Found by trying a dozen of weights on simulated eyes, and
/// counted anew with other draws by `tests/long/acuity-figures`.
const STATED_LAPSE_WEIGHTS: [f64; 3] = [8.0, 6.0, 4.0];

/// How likely each of [`SCALES`] is where an interval is taken, as weights. A dozen or two of answers
/// hardly tell a steep eye from a flat one, and under the prior above 90 % intervals held 99 in 100
/// steep eyes and 88 in 100 flat ones. Nearly all weight on both ends makes what little the answers
/// tell of the scale decide: found by search on simulated eyes (scales 0.03, 0.05 and 0.08; lapses
/// 0, 0.02 and 0.05; 4, 8 and 10 choices), counted anew with other draws, and at the scales 0.04 and
/// 0.065 that the search never saw, by `tests/long/acuity-figures`.
const INTERVAL_WEIGHTS: [f64; 8] = [50.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 30.0];

static AXES: LazyLock<Axes> =
    LazyLock::new(|| Axes::new(FIRST_LOG_MAR, STEP_LOG_MAR, MIDPOINTS, &SCALES));

/// How far above the midpoint a chart reads on average, for each cell of the grid.
static CHART_ABOVE: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let mut readings = Vec::with_capacity(SCALES.len() * LAPSES.len() * MIDPOINTS);
    for scale in SCALES {
        for lapse in LAPSES {
            readings.extend((0..MIDPOINTS).map(|j| {
                let midpoint = AXES.midpoint(j);
                let reading = expected_reading(&ChoiceFunction {
                    midpoint,
                    scale,
                    choices: CHART_CHOICES,
                    lapse,
                });
                reading - midpoint
            }));
        }
    }
    readings
});

/// Probabilities of midpoint A (−0.9 to 2.4 logMAR), scale and lapse of a [`ChoiceFunction`].
///
/// The prior on A is a mixture: 0.8 of N(0.1, 0.3) and 0.2 of N(0.7, 0.7), logMAR. The prior on the
/// scale is log-normal about 0.08 with a factor of 1.7; lapse rates of 0.01, 0.03 and 0.06 are
/// likely as 8 to 3 to 1. All three are choices of this program, no source.
#[derive(Debug, Clone)]
pub struct AcuityPosterior(GridPosterior);

/// How many series are remembered: those of the right eye, the left eye and both.
const EYES: usize = 3;

static PRIOR: LazyLock<AcuityPosterior> = LazyLock::new(|| {
    let bell = |z: f64| libm::exp(-0.5 * z * z);
    let midpoint = |a: f64| -> f64 {
        let of = |group: &Group| {
            let z = (a - group.mean_log_mar) / group.sd_log_mar;
            group.share * bell(z) / group.sd_log_mar
        };
        GROUPS.iter().map(of).sum()
    };
    let mut prior = GridPosterior::new(&AXES, midpoint, usual_scale, LAPSES.len());
    prior.weigh_kinds(&LAPSE_WEIGHTS);
    AcuityPosterior(prior)
});

thread_local! {
    /// Where the latest series stood. A procedure asks after every answer for the posterior of all
    /// answers so far; going on from the one before gives the same sums in the same order.
    static LATEST: RefCell<Vec<(Vec<AcuityTrial>, AcuityPosterior)>> = const { RefCell::new(Vec::new()) };
}

impl Default for AcuityPosterior {
    fn default() -> Self {
        AcuityPosterior::new()
    }
}

impl AcuityPosterior {
    /// What is believed before the first answer.
    #[must_use]
    pub fn new() -> AcuityPosterior {
        PRIOR.clone()
    }

    /// What is believed after `trials`.
    #[must_use]
    pub fn from_trials(trials: &[AcuityTrial]) -> AcuityPosterior {
        LATEST.with_borrow_mut(|latest| {
            let (seen, mut posterior) = latest
                .iter()
                .filter(|(seen, _)| trials.starts_with(seen))
                .max_by_key(|(seen, _)| seen.len())
                .map_or((0, AcuityPosterior::new()), |(seen, posterior)| {
                    (seen.len(), posterior.clone())
                });
            for trial in &trials[seen..] {
                posterior.observe(*trial);
            }
            latest.retain(|(seen, _)| !trials.starts_with(seen));
            latest.push((trials.to_vec(), posterior.clone()));
            if latest.len() > EYES {
                latest.remove(0);
            }
            posterior
        })
    }

    /// Takes in one more answer.
    pub fn observe(&mut self, trial: AcuityTrial) {
        self.0.observe(
            trial.size_log_mar,
            trial.correct,
            &asymptotes(trial.choices),
        );
    }

    /// What is believed of A, in logMAR: by it the next size is chosen and an end is found.
    #[must_use]
    pub fn midpoint(&self) -> Marginal {
        self.0.midpoint()
    }

    /// A as it is stated, in logMAR: the mean under weights of scales and lapses by which it is about as
    /// right in steep eyes as in flat ones.
    #[must_use]
    pub fn stated_midpoint(&self) -> f64 {
        let stated = self.0.midpoint_under(|scale, kind| {
            STATED_LAPSE_WEIGHTS[kind] / (LAPSE_WEIGHTS[kind] * usual_scale(SCALES[scale]))
        });
        stated.mean()
    }

    /// The interval that holds `share` of the probability of A, in logMAR, and leaves equal parts on
    /// both sides: from the answers alone, under a prior on the scale of its own, so that it holds the
    /// truth about equally often in steep eyes and in flat ones. It always holds the stated midpoint.
    #[must_use]
    pub fn interval(&self, share: f64) -> [f64; 2] {
        let taken = self
            .0
            .midpoint_under(|scale, _| INTERVAL_WEIGHTS[scale] / usual_scale(SCALES[scale]));
        let (stated, [low, high]) = (self.stated_midpoint(), taken.interval(share));
        [low.min(stated), high.max(stated)]
    }

    /// The mean of the logistic scale, in logMAR.
    #[must_use]
    pub fn mean_scale(&self) -> f64 {
        self.0.mean_over_shapes(|scale, _| scale)
    }

    /// The mean size, in logMAR, that is named rightly 60 times in 100 out of `choices`
    /// ([`CRITERION`]).
    #[must_use]
    pub fn iso_60(&self, choices: u32) -> f64 {
        let above_midpoint = self.0.mean_over_shapes(|scale, kind| {
            let shape = ChoiceFunction {
                midpoint: 0.0,
                scale,
                choices,
                lapse: LAPSES[kind],
            };
            // Chance is at most 1/2 and lapses at most 0.06: 0.6 always lies between.
            shape.size_at(CRITERION.value).unwrap_or(0.0)
        });
        self.stated_midpoint() + above_midpoint
    }

    /// What a letter-by-letter chart would read on average, in logMAR: ten letters, 5 a row, 0.02
    /// a letter, rows of 0.1 down to −0.3, begun three rows above the midpoint, ended after a row
    /// with four or more wrong. From the same midpoint and scale: that letters and rings are
    /// equally hard is an assumption.
    #[must_use]
    pub fn chart_equivalent(&self) -> f64 {
        self.stated_midpoint() + self.0.mean_of(&CHART_ABOVE)
    }

    /// Of `candidates` (sizes in logMAR), the one whose answer will on average leave A least
    /// uncertain, by entropy; the first of equals, none if there are none.
    #[must_use]
    pub fn best_size(&self, candidates: &[f64], choices: u32) -> Option<f64> {
        self.0.most_telling(candidates, &asymptotes(choices))
    }
}

/// The prior on the scale, not normalised.
fn usual_scale(scale: f64) -> f64 {
    let z = libm::log(scale / USUAL_SCALE_LOG_MAR) / libm::log(SCALE_FACTOR);
    libm::exp(-0.5 * z * z)
}

fn asymptotes(choices: u32) -> [Asymptotes; 3] {
    LAPSES.map(|lapse| Asymptotes::new(1.0 / f64::from(choices), lapse))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Draws, Stream};

    fn ring(size_log_mar: f64, correct: bool) -> AcuityTrial {
        AcuityTrial {
            size_log_mar,
            correct,
            choices: 8,
        }
    }

    #[test]
    fn answers_one_by_one_or_together_give_the_same_bits() {
        let trials = [
            ring(0.5, true),
            ring(0.2, true),
            ring(0.0, false),
            ring(0.12, true),
        ];
        let mut one_by_one = AcuityPosterior::new();
        for trial in trials {
            one_by_one.observe(trial);
        }
        let together = AcuityPosterior::from_trials(&trials);
        assert_eq!(one_by_one.midpoint(), together.midpoint());
        assert_eq!(
            one_by_one.chart_equivalent().to_bits(),
            together.chart_equivalent().to_bits()
        );
    }

    /// The posterior by its definition, cell by cell, with none of the shortcuts.
    fn by_definition(trials: &[AcuityTrial]) -> Vec<(ChoiceFunction, f64)> {
        let mut cells = Vec::new();
        for scale in SCALES {
            for (lapse, likely) in [(0.01, 8.0), (0.03, 3.0), (0.06, 1.0)] {
                for j in 0..MIDPOINTS {
                    let midpoint = -0.9 + 0.02 * j as f64;
                    let person = ChoiceFunction {
                        midpoint,
                        scale,
                        choices: 8,
                        lapse,
                    };
                    let normal =
                        |mean: f64, sd: f64| (-0.5 * ((midpoint - mean) / sd).powi(2)).exp() / sd;
                    let mut weight = likely
                        * (0.8 * normal(0.1, 0.3) + 0.2 * normal(0.7, 0.7))
                        * (-0.5 * ((scale / 0.08).ln() / 1.7_f64.ln()).powi(2)).exp();
                    for trial in trials {
                        let p = person.p(trial.size_log_mar);
                        weight *= if trial.correct { p } else { 1.0 - p };
                    }
                    cells.push((person, weight));
                }
            }
        }
        cells
    }

    /// With this weight of scale and lapse in place of the prior on them.
    fn under(
        cells: &[(ChoiceFunction, f64)],
        weight: impl Fn(&ChoiceFunction) -> f64,
    ) -> Vec<(ChoiceFunction, f64)> {
        let prior = |person: &ChoiceFunction| {
            let usual = (-0.5 * ((person.scale / 0.08).ln() / 1.7_f64.ln()).powi(2)).exp();
            let lapse = match person.lapse {
                0.01 => 8.0,
                0.03 => 3.0,
                _ => 1.0,
            };
            lapse * usual
        };
        let cells = cells.iter().copied();
        cells
            .map(|(person, mass)| (person, mass * weight(&person) / prior(&person)))
            .collect()
    }

    fn mean(cells: &[(ChoiceFunction, f64)], value: impl Fn(&ChoiceFunction) -> f64) -> f64 {
        let total: f64 = cells.iter().map(|(_, weight)| weight).sum();
        cells
            .iter()
            .map(|(person, weight)| value(person) * weight)
            .sum::<f64>()
            / total
    }

    fn variance(cells: &[(ChoiceFunction, f64)]) -> f64 {
        let centre = mean(cells, |person| person.midpoint);
        mean(cells, |person| (person.midpoint - centre).powi(2))
    }

    #[test]
    fn the_figures_are_those_of_the_definition() {
        let trials = [
            ring(0.5, true),
            ring(0.2, true),
            ring(-0.031, false),
            ring(0.117, true),
            ring(0.1, false),
        ];
        let posterior = AcuityPosterior::from_trials(&trials);
        let cells = by_definition(&trials);
        assert!((posterior.midpoint().mean() - mean(&cells, |p| p.midpoint)).abs() < 1e-12);
        assert!((posterior.midpoint().sd() - variance(&cells).sqrt()).abs() < 1e-12);
        assert!((posterior.mean_scale() - mean(&cells, |p| p.scale)).abs() < 1e-12);
        let alike = under(&cells, |person| match person.lapse {
            0.01 => 8.0,
            0.03 => 6.0,
            _ => 4.0,
        });
        let stated = mean(&alike, |p| p.midpoint);
        assert!((posterior.stated_midpoint() - stated).abs() < 1e-12);
        let iso = mean(&cells, |p| p.size_at(0.6).unwrap() - p.midpoint);
        assert!((posterior.iso_60(8) - stated - iso).abs() < 1e-12);
        let chart = mean(&cells, |p| {
            expected_reading(&ChoiceFunction { choices: 10, ..*p }) - p.midpoint
        });
        assert!((posterior.chart_equivalent() - stated - chart).abs() < 1e-12);
    }

    /// The probability of each midpoint, and the entropy of that.
    fn entropy(cells: &[(ChoiceFunction, f64)]) -> f64 {
        let total: f64 = cells.iter().map(|(_, weight)| weight).sum();
        let mut mass = vec![0.0; MIDPOINTS];
        for (at, (_, weight)) in cells.iter().enumerate() {
            mass[at % MIDPOINTS] += weight / total;
        }
        mass.iter().filter(|p| **p > 0.0).map(|p| -p * p.ln()).sum()
    }

    #[test]
    fn the_best_size_leaves_the_least_entropy_by_the_definition() {
        let mut trials = vec![ring(0.4, true), ring(0.1, false), ring(0.22, true)];
        let posterior = AcuityPosterior::from_trials(&trials);
        let cells = by_definition(&trials);
        let mut expected = |size: f64| {
            let right = mean(&cells, |person| person.p(size));
            let mut after = |correct| {
                trials.push(ring(size, correct));
                let entropy = entropy(&by_definition(&trials));
                trials.pop();
                entropy
            };
            right * after(true) + (1.0 - right) * after(false)
        };
        let candidates: Vec<f64> = (0..=8).map(|i| -0.1 + 0.07 * f64::from(i)).collect();
        let least = candidates
            .iter()
            .copied()
            .map(&mut expected)
            .fold(f64::MAX, f64::min);
        let best = posterior.best_size(&candidates, 8).unwrap();
        assert!((expected(best) - least).abs() < 1e-9, "{best}");
        assert_eq!(posterior.best_size(&[], 8), None);
    }

    /// The interval is that of the definition under its own weights of the scales.
    #[test]
    fn the_interval_is_that_of_both_ends_of_the_scale() {
        let trials = [
            ring(0.3, true),
            ring(0.1, false),
            ring(0.2, true),
            ring(0.15, true),
        ];
        let mut mass = vec![0.0; MIDPOINTS];
        let cells = under(&by_definition(&trials), |person| {
            let end = match person.scale {
                0.012 => 50.0,
                0.13 => 30.0,
                _ => 1.0,
            };
            let lapse = match person.lapse {
                0.01 => 8.0,
                0.03 => 3.0,
                _ => 1.0,
            };
            end * lapse
        });
        for (at, (_, weight)) in cells.iter().enumerate() {
            mass[at % MIDPOINTS] += weight;
        }
        let [low, high] = Marginal::new(-0.9, 0.02, mass).interval(0.9);
        let posterior = AcuityPosterior::from_trials(&trials);
        let [found_low, found_high] = posterior.interval(0.9);
        assert!((found_low - low).abs() < 1e-9 && (found_high - high).abs() < 1e-9);
        let mean = posterior.stated_midpoint();
        assert!(found_low < mean && mean < found_high);
    }

    #[test]
    fn answers_at_the_ends_never_break_the_arithmetic() {
        let worst = vec![ring(2.4, false); 300];
        let best = vec![ring(-0.9, true); 300];
        for (trials, end) in [(worst, 2.4), (best, -0.9)] {
            let posterior = AcuityPosterior::from_trials(&trials);
            assert!((posterior.midpoint().mean() - end).abs() < 0.3);
            assert!(posterior.iso_60(8).is_finite() && posterior.chart_equivalent().is_finite());
        }
    }

    /// What `visits` simulated eyes, acuities N(0.15, 0.25), lapse 0.02, come to after `count`
    /// optotypes of the best size each: root mean square error, and how often the 90 % interval
    /// held the truth.
    fn simulated(scale: f64, choices: u32, count: u64, visits: u64, step: f64) -> (f64, f64) {
        let sizes: Vec<f64> = (0..=(1.6 / step) as i32)
            .map(|i| -0.5 + step * f64::from(i))
            .collect();
        let (mut squares, mut held) = (0.0, 0.0);
        for visit in 0..visits {
            let mut draws = Draws::new(2026, Stream::Person, visit);
            let midpoint = 0.15 + 0.25 * draws.normal();
            let person = ChoiceFunction {
                midpoint,
                scale,
                choices,
                lapse: 0.02,
            };
            let mut posterior = AcuityPosterior::new();
            for _ in 0..count {
                let size_log_mar = posterior.best_size(&sizes, choices).unwrap();
                let correct = draws.chance(person.p(size_log_mar));
                posterior.observe(AcuityTrial {
                    size_log_mar,
                    correct,
                    choices,
                });
            }
            squares += (posterior.stated_midpoint() - midpoint).powi(2);
            let [low, high] = posterior.interval(0.9);
            held += f64::from(u8::from(low <= midpoint && midpoint <= high));
        }
        ((squares / visits as f64).sqrt(), held / visits as f64)
    }

    #[test]
    fn twenty_optotypes_come_as_close_as_the_reference_data_say() {
        // The project's reference simulations, 8 choices: scale 0.05 reaches an RMSE of 0.04 at 16
        // and 0.03 at 24 trials (0.034 at 20 between them); 0.08 reaches 0.05 at 20. The bounds
        // leave room for the broader prior here and three standard errors of 120 visits.
        for (scale, bound) in [(0.05, 0.034 * 1.3), (0.08, 0.05 * 1.3)] {
            let (rmse, held) = simulated(scale, 8, 20, 120, 0.1);
            assert!(rmse < bound, "{scale}: {rmse}");
            assert!(held > 0.82, "{scale}: {held}");
        }
    }
}
