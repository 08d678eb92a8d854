//! A posterior over the midpoint and the scale of a logistic function and over its asymptotes.
//!
//! Hearing and sight differ only in the axes: p = floor + rise·logistic((x − midpoint) / scale).

use super::Marginal;
use crate::quantity::wide;

/// Where the function starts and how far it rises: p runs from `floor` to `floor + rise`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Asymptotes {
    pub floor: f64,
    pub rise: f64,
}

impl Asymptotes {
    pub fn new(floor: f64, lapse: f64) -> Asymptotes {
        Asymptotes {
            floor,
            rise: 1.0 - floor - lapse,
        }
    }
}

/// The values of midpoint and scale that are told apart.
#[derive(Debug)]
pub(super) struct Axes {
    first: f64,
    step: f64,
    count: usize,
    scales: &'static [f64],
    /// exp(j·step / scale) for each scale and midpoint j: with it one exponential a scale and
    /// stimulus is enough for all midpoints.
    growth: Vec<f64>,
}

impl Axes {
    pub fn new(first: f64, step: f64, count: usize, scales: &'static [f64]) -> Axes {
        let growth = scales
            .iter()
            .flat_map(|scale| (0..count).map(move |j| libm::exp(j as f64 * step / scale)))
            .collect();
        Axes {
            first,
            step,
            count,
            scales,
            growth,
        }
    }

    pub fn midpoint(&self, index: usize) -> f64 {
        self.first + self.step * index as f64
    }

    /// logistic((x − midpoint) / scale) for the midpoints from first to last.
    fn logistics(&self, x: f64, scale: usize) -> impl Iterator<Item = f64> {
        let at_first = libm::exp((self.first - x) / self.scales[scale]);
        let growth = &self.growth[scale * self.count..][..self.count];
        growth
            .iter()
            .map(move |growth| 1.0 / (1.0 + at_first * growth))
    }
}

/// Weights of all cells, by scale, then asymptotes, then midpoint; they add up to 1.
#[derive(Debug, Clone)]
pub(super) struct GridPosterior {
    axes: &'static Axes,
    kinds: usize,
    weights: Vec<f64>,
}

impl GridPosterior {
    /// The product of independent priors; each is a weight that need not be normalised.
    pub fn new(
        axes: &'static Axes,
        midpoint: impl Fn(f64) -> f64,
        scale: impl Fn(f64) -> f64,
        kinds: usize,
    ) -> GridPosterior {
        let mut weights = Vec::with_capacity(axes.scales.len() * kinds * axes.count);
        for &value in axes.scales {
            for _ in 0..kinds {
                weights.extend((0..axes.count).map(|j| scale(value) * midpoint(axes.midpoint(j))));
            }
        }
        let mut prior = GridPosterior {
            axes,
            kinds,
            weights,
        };
        prior.normalise();
        prior
    }

    /// Every cell that shares scale and asymptotes: (scale, kind, weights by midpoint).
    fn rows(&self) -> impl Iterator<Item = (usize, usize, &[f64])> {
        let rows = self.weights.chunks_exact(self.axes.count).enumerate();
        rows.map(|(row, weights)| (row / self.kinds, row % self.kinds, weights))
    }

    /// Takes in one answer to a stimulus of strength `x`, under the asymptotes of each kind.
    pub fn observe(&mut self, x: f64, yes: bool, asymptotes: &[Asymptotes]) {
        let kinds = self.kinds;
        wide(
            #[inline(always)]
            || {
                for (row, weights) in self.weights.chunks_exact_mut(self.axes.count).enumerate() {
                    let Asymptotes { floor, rise } = asymptotes[row % kinds];
                    let logistics = self.axes.logistics(x, row / kinds);
                    for (weight, logistic) in weights.iter_mut().zip(logistics) {
                        let p = floor + rise * logistic;
                        *weight *= if yes { p } else { 1.0 - p };
                    }
                }
            },
        );
        self.normalise();
    }

    /// Multiplies the weight of each kind of asymptotes by its likelihood.
    pub fn weigh_kinds(&mut self, likelihoods: &[f64]) {
        let kinds = self.kinds;
        for (row, weights) in self.weights.chunks_exact_mut(self.axes.count).enumerate() {
            for weight in weights {
                *weight *= likelihoods[row % kinds];
            }
        }
        self.normalise();
    }

    /// Multiplies the weight of each midpoint by `likelihood(midpoint)`.
    pub fn weigh_midpoints(&mut self, likelihood: impl Fn(f64) -> f64) {
        let axes = self.axes;
        for weights in self.weights.chunks_exact_mut(axes.count) {
            for (index, weight) in weights.iter_mut().enumerate() {
                *weight *= likelihood(axes.midpoint(index));
            }
        }
        self.normalise();
    }

    fn normalise(&mut self) {
        let total: f64 = self.weights.iter().sum();
        for weight in &mut self.weights {
            *weight /= total;
        }
    }

    /// What is believed of the midpoint.
    pub fn midpoint(&self) -> Marginal {
        let mut mass = vec![0.0; self.axes.count];
        for (_, _, weights) in self.rows() {
            for (sum, weight) in mass.iter_mut().zip(weights) {
                *sum += weight;
            }
        }
        Marginal::new(self.axes.first, self.axes.step, mass)
    }

    /// The mean of `value(scale, kind)`.
    pub fn mean_over_shapes(&self, value: impl Fn(f64, usize) -> f64) -> f64 {
        self.rows()
            .map(|(scale, kind, weights)| {
                value(self.axes.scales[scale], kind) * weights.iter().sum::<f64>()
            })
            .sum()
    }

    /// The mean of a value that is tabulated by scale, kind and midpoint.
    pub fn mean_of(&self, table: &[f64]) -> f64 {
        self.weights
            .iter()
            .zip(table)
            .map(|(weight, value)| weight * value)
            .sum()
    }

    /// What would be believed of the midpoint if scale and kind had been so many times as likely before
    /// the first answer, by their indices; need not be normalised.
    pub fn midpoint_under(&self, times: impl Fn(usize, usize) -> f64) -> Marginal {
        let mut mass = vec![0.0; self.axes.count];
        for (scale, kind, row) in self.rows() {
            let ratio = times(scale, kind);
            for (sum, weight) in mass.iter_mut().zip(row) {
                *sum += weight * ratio;
            }
        }
        Marginal::new(self.axes.first, self.axes.step, mass)
    }

    /// Of `candidates`, the strength whose answer will on average leave least uncertain where the
    /// midpoint lies, by the entropy of its distribution; the first of equals. None if there is no
    /// candidate.
    pub fn most_telling(&self, candidates: &[f64], asymptotes: &[Asymptotes]) -> Option<f64> {
        let outlook = Outlook::new(self, asymptotes);
        let mut best: Option<(f64, f64)> = None;
        for &x in candidates {
            let entropy = outlook.expected_entropy(x);
            if best.is_none_or(|(_, least)| entropy < least) {
                best = Some((x, entropy));
            }
        }
        best.map(|(x, _)| x)
    }
}

/// What does not depend on the stimulus when the next answer is weighed.
struct Outlook {
    axes: &'static Axes,
    /// Weight times rise, summed over the kinds of asymptotes; by scale, then midpoint.
    rises: Vec<f64>,
    /// Weight times floor, by midpoint.
    floors: Vec<f64>,
    /// Weight, by midpoint.
    all: Vec<f64>,
}

impl Outlook {
    fn new(posterior: &GridPosterior, asymptotes: &[Asymptotes]) -> Outlook {
        let axes = posterior.axes;
        let mut rises = vec![0.0; axes.scales.len() * axes.count];
        let (mut floors, mut all) = (vec![0.0; axes.count], vec![0.0; axes.count]);
        for (scale, kind, weights) in posterior.rows() {
            let row = &mut rises[scale * axes.count..][..axes.count];
            for (j, &weight) in weights.iter().enumerate() {
                row[j] += weight * asymptotes[kind].rise;
                floors[j] += weight * asymptotes[kind].floor;
                all[j] += weight;
            }
        }
        Outlook {
            axes,
            rises,
            floors,
            all,
        }
    }

    /// The entropy of the midpoint after one more answer to `x`, weighed by how likely either
    /// answer is.
    fn expected_entropy(&self, x: f64) -> f64 {
        let mut yes = self.floors.clone();
        wide(
            #[inline(always)]
            || {
                for (scale, rises) in self.rises.chunks_exact(self.axes.count).enumerate() {
                    let logistics = self.axes.logistics(x, scale);
                    for ((sum, rise), logistic) in yes.iter_mut().zip(rises).zip(logistics) {
                        *sum += rise * logistic;
                    }
                }
            },
        );
        let (mut likely, mut unlikely, mut entropy) = (0.0, 0.0, 0.0);
        for (&yes, &all) in yes.iter().zip(&self.all) {
            let no = (all - yes).max(0.0);
            likely += yes;
            unlikely += no;
            entropy -= times_log(yes) + times_log(no);
        }
        entropy + times_log(likely) + times_log(unlikely)
    }
}

/// x ln x, 0 at 0.
fn times_log(x: f64) -> f64 {
    if x > 0.0 { x * libm::log(x) } else { 0.0 }
}
