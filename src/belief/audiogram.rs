//! What is believed of all frequencies of both ears at once.
//!
//! A joint normal prior over the places (ears and frequencies), a mixture of shapes; for each place
//! the exact likelihood of its answers on a grid of midpoints and ways of answering; expectation
//! propagation between the two (Rasmussen & Williams 2006, 3.6). The ways
//! of answering are the person's, the same at every place, and are learnt along, also from silent
//! presentations.

mod choosing;

pub use choosing::{Outlook, Telling};

use super::Marginal;
use super::hearing_prior::Place;
use super::listener::{
    FIRST_DB, KINDS, LOG_SHARES, POINTS, RATES, STEP_DB, WayOfAnswering, rates, ways_of_answering,
    with_heard,
};
use super::normal::SitedNormal;
use crate::journal::HearingPrior;
use crate::quantity::{largest, wide};

/// The likelihood of a place's answers, by kind and midpoint, up to a factor.
type Likelihood = Vec<[f64; POINTS]>;

/// What is believed after some answers.
#[derive(Debug, Clone)]
pub struct AudiogramPosterior {
    places: Vec<Place>,
    /// The prior's mean, dB; the shapes are about it.
    means_db: Vec<f64>,
    likelihoods: Vec<Option<Likelihood>>,
    /// ln of the weight of each kind: its share, and what silent presentations say.
    log_kinds: [f64; KINDS],
    shapes: Vec<Believed>,
    /// The weight of each shape; they add up to 1.
    weights: Vec<f64>,
    /// How many answers have been taken in: says whose turn it is to be fitted again.
    taken: usize,
}

/// What is believed under one shape.
#[derive(Debug, Clone)]
struct Believed {
    log_share: f64,
    normal: SitedNormal,
    /// ln of how well each kind explains a place's answers, given all other places.
    log_fits: Vec<Option<[f64; KINDS]>>,
    log_evidence: f64,
}

/// A place's midpoint as one shape has it: the cavity's grid, and the weight of each kind.
struct Tilted {
    cavity: [f64; POINTS],
    kinds: [f64; KINDS],
}

impl AudiogramPosterior {
    /// What is believed before the first answer. `older_db` is added to the prior's mean at each
    /// place, dB; empty: nothing is.
    #[must_use]
    pub fn new(places: Vec<Place>, prior: HearingPrior, older_db: &[f64]) -> AudiogramPosterior {
        let shapes: Vec<Believed> = prior
            .shapes(&places)
            .into_iter()
            .map(|shape| Believed {
                log_share: libm::log(shape.share),
                normal: SitedNormal::new(shape.covariance),
                log_fits: vec![None; places.len()],
                log_evidence: 0.0,
            })
            .collect();
        let older = older_db.iter().copied().chain(std::iter::repeat(0.0));
        let means_db = places
            .iter()
            .zip(older)
            .map(|(place, older_db)| prior.mean_db(place.hz) + older_db)
            .collect();
        let mut posterior = AudiogramPosterior {
            means_db,
            likelihoods: vec![None; places.len()],
            log_kinds: *LOG_SHARES,
            weights: vec![0.0; shapes.len()],
            shapes,
            places,
            taken: 0,
        };
        posterior.weigh();
        posterior
    }

    /// The places, in the order in which they are numbered.
    #[must_use]
    pub fn places(&self) -> &[Place] {
        &self.places
    }

    /// Takes in whether a tone of `level_db` at place number `at` was answered.
    pub fn observe(&mut self, at: usize, level_db: f64, answered: bool) {
        let likelihood = self.likelihoods[at].get_or_insert_with(|| vec![[1.0; POINTS]; KINDS]);
        with_heard(level_db, |heard| {
            wide(
                #[inline(always)]
                || {
                    for (kind, row) in likelihood.iter_mut().enumerate() {
                        let (false_alarm, lapse) = rates(kind);
                        let rise = 1.0 - false_alarm - lapse;
                        for (cell, heard) in row.iter_mut().zip(&heard[kind / RATES]) {
                            let p = false_alarm + rise * heard;
                            *cell *= if answered { p } else { 1.0 - p };
                        }
                    }
                    // A factor common to all: nothing underflows, however many answers there are.
                    let cells = likelihood.as_flattened_mut();
                    let most = largest(cells, 0.0);
                    for cell in cells {
                        *cell /= most;
                    }
                },
            );
        });
        self.propagate(Some(at));
    }

    /// Takes in whether a silent presentation was answered.
    pub fn observe_silent(&mut self, answered: bool) {
        for (kind, log) in self.log_kinds.iter_mut().enumerate() {
            let (false_alarm, _) = rates(kind);
            *log += libm::log(if answered {
                false_alarm
            } else {
                1.0 - false_alarm
            });
        }
        self.propagate(None);
    }

    /// Fits the place that changed, and some of the others in turn: what one answer says of them,
    /// by way of the person's way of answering, is little.
    fn propagate(&mut self, changed: Option<usize>) {
        const IN_TURN: usize = 4;
        let answered: Vec<usize> = (0..self.places.len())
            .filter(|at| self.likelihoods[*at].is_some() && Some(*at) != changed)
            .collect();
        let turns = IN_TURN.min(answered.len());
        let others =
            (0..turns).map(|turn| answered[(self.taken * IN_TURN + turn) % answered.len()]);
        let order: Vec<usize> = changed.into_iter().chain(others).collect();
        self.taken += 1;
        for shape in &mut self.shapes {
            shape.normal.refresh();
            for at in &order {
                if let Some(likelihood) = &self.likelihoods[*at] {
                    shape.fit(*at, likelihood, &self.log_kinds, &self.means_db);
                }
            }
            shape.log_evidence = shape.evidence(&self.log_kinds);
        }
        self.weigh();
    }

    fn weigh(&mut self) {
        let logs: Vec<f64> = self
            .shapes
            .iter()
            .map(|shape| shape.log_share + shape.log_evidence)
            .collect();
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for (weight, log) in self.weights.iter_mut().zip(&logs) {
            *weight = libm::exp(log - top);
        }
        let total: f64 = self.weights.iter().sum();
        for weight in &mut self.weights {
            *weight /= total;
        }
    }

    /// Mean and standard deviation of the midpoint at a place, dB, both as if it were normal: quick,
    /// for choosing what to present next.
    #[must_use]
    pub fn moments(&self, at: usize) -> (f64, f64) {
        let [mut first, mut second] = [0.0; 2];
        for (shape, weight) in self.shapes.iter().zip(&self.weights) {
            let (mean, variance) = shape.normal.marginal(at);
            first += weight * mean;
            second += weight * (variance + mean * mean);
        }
        (
            first + self.means_db[at],
            libm::sqrt((second - first * first).max(0.0)),
        )
    }

    /// What is believed of the midpoint at a place, dB.
    #[must_use]
    pub fn midpoint(&self, at: usize) -> Marginal {
        let mut mass = vec![0.0; POINTS];
        for (shape, weight) in self.shapes.iter().zip(&self.weights) {
            let tilted = shape.tilted(at, &self.log_kinds, &self.means_db);
            let mut own = tilted.cavity;
            if let Some(likelihood) = &self.likelihoods[at] {
                let mixed = mix(likelihood, &tilted.kinds);
                for (cell, mixed) in own.iter_mut().zip(&mixed) {
                    *cell *= mixed;
                }
            }
            let total: f64 = own.iter().sum();
            for (mass, own) in mass.iter_mut().zip(&own) {
                *mass += weight * own / total;
            }
        }
        Marginal::new(FIRST_DB, STEP_DB, mass)
    }

    /// How much of what is known of a place comes from the prior and its neighbours, 0 to 1: their
    /// share of the precision.
    #[must_use]
    pub fn prior_share(&self, at: usize) -> f64 {
        self.share(at, |shape| shape.normal.marginal(at).1)
    }

    /// The same where more is known of the place than these answers say (beside noise): `variance_db2` is what is
    /// left of its variance.
    #[must_use]
    pub fn prior_share_of(&self, at: usize, variance_db2: f64) -> f64 {
        self.share(at, |_| variance_db2)
    }

    fn share(&self, at: usize, variance_db2: impl Fn(&Believed) -> f64) -> f64 {
        let each = self.shapes.iter().zip(&self.weights);
        let shares = each.map(|(shape, weight)| {
            let (_, others_db2) = shape.normal.cavity(at);
            weight * (variance_db2(shape) / others_db2).min(1.0)
        });
        shares.sum()
    }

    /// How likely each way of answering is, in order of their numbers.
    #[must_use]
    pub fn ways(&self) -> Vec<f64> {
        let mut ways = vec![0.0; KINDS];
        for (shape, weight) in self.shapes.iter().zip(&self.weights) {
            let kinds = shape.kinds(&self.log_kinds, None);
            for (way, share) in ways.iter_mut().zip(&kinds) {
                *way += weight * share;
            }
        }
        ways
    }

    /// The mean of a figure over the ways of answering.
    #[must_use]
    pub fn mean_over_ways(&self, of: impl Fn(&WayOfAnswering) -> f64) -> f64 {
        let shares = self.ways();
        let weighted = ways_of_answering().zip(&shares);
        weighted.map(|(way, share)| share * of(&way)).sum()
    }
}

impl Believed {
    /// The weight of each kind; without what place `but` says of it.
    fn kinds(&self, log_kinds: &[f64; KINDS], but: Option<usize>) -> [f64; KINDS] {
        let mut logs = *log_kinds;
        for (at, fits) in self.log_fits.iter().enumerate() {
            if let Some(fits) = fits.as_ref().filter(|_| but != Some(at)) {
                for (log, fit) in logs.iter_mut().zip(fits) {
                    *log += fit;
                }
            }
        }
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut kinds = logs.map(|log| {
            if log - top < -40.0 {
                0.0
            } else {
                libm::exp(log - top)
            }
        });
        let total: f64 = kinds.iter().sum();
        for kind in &mut kinds {
            *kind /= total;
        }
        kinds
    }

    fn tilted(&self, at: usize, log_kinds: &[f64; KINDS], means_db: &[f64]) -> Tilted {
        let (mean, variance) = self.normal.cavity(at);
        Tilted {
            cavity: bell(mean + means_db[at], variance),
            kinds: self.kinds(log_kinds, Some(at)),
        }
    }

    fn fit(
        &mut self,
        at: usize,
        likelihood: &Likelihood,
        log_kinds: &[f64; KINDS],
        means_db: &[f64],
    ) {
        let Tilted { cavity, kinds } = self.tilted(at, log_kinds, means_db);
        let mixed = mix(likelihood, &kinds);
        let mut moments = [0.0; 3];
        let centre_db = means_db[at];
        for point in 0..POINTS {
            let weight = cavity[point] * mixed[point];
            let off = FIRST_DB + STEP_DB * point as f64 - centre_db;
            moments[0] += weight;
            moments[1] += weight * off;
            moments[2] += weight * off * off;
        }
        let fits: [f64; KINDS] = std::array::from_fn(|kind| {
            libm::log(dot(&cavity, &likelihood[kind]).max(f64::MIN_POSITIVE))
        });
        self.log_fits[at] = Some(fits);
        if moments[0] > 0.0 {
            let mean = moments[1] / moments[0];
            // Rounding to the grid itself is the least spread that a grid can tell.
            let variance = (moments[2] / moments[0] - mean * mean).max(STEP_DB * STEP_DB / 12.0);
            self.normal.set_marginal(at, mean, variance);
        }
    }

    /// ln of how well this shape explains all answers (Rasmussen & Williams 2006, 3.65, with the
    /// kinds summed over all places at once).
    fn evidence(&self, log_kinds: &[f64; KINDS]) -> f64 {
        let mut logs = *log_kinds;
        let mut total = self.normal.log_partition();
        for (at, fits) in self.log_fits.iter().enumerate() {
            let Some(fits) = fits else { continue };
            for (log, fit) in logs.iter_mut().zip(fits) {
                *log += fit;
            }
            let log_norm = |(mean, variance): (f64, f64)| {
                0.5 * mean * mean / variance + 0.5 * libm::log(variance)
            };
            total += log_norm(self.normal.cavity(at)) - log_norm(self.normal.marginal(at));
        }
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = logs.iter().map(|log| libm::exp(log - top)).sum();
        total + top + libm::log(sum)
    }
}

/// Each midpoint's likelihood, kinds weighed and summed.
fn mix(likelihood: &Likelihood, kinds: &[f64; KINDS]) -> [f64; POINTS] {
    let mut mixed = [0.0; POINTS];
    for (row, share) in likelihood.iter().zip(kinds) {
        if *share > 0.0 {
            for (cell, own) in mixed.iter_mut().zip(row) {
                *cell += share * own;
            }
        }
    }
    mixed
}

/// The sum of products, in four strands that are added at the end: always in the same order.
fn dot(one: &[f64; POINTS], other: &[f64; POINTS]) -> f64 {
    let mut strands = [0.0; 4];
    for (one, other) in one.chunks_exact(4).zip(other.chunks_exact(4)) {
        for ((strand, a), b) in strands.iter_mut().zip(one).zip(other) {
            *strand += a * b;
        }
    }
    (strands[0] + strands[1]) + (strands[2] + strands[3])
}

/// A normal distribution on the grid of midpoints, summing to 1. From the peak outwards each value
/// follows from the one before by a factor that itself changes by a constant factor.
fn bell(mean_db: f64, variance: f64) -> [f64; POINTS] {
    let mut cells = [0.0; POINTS];
    let place = ((mean_db - FIRST_DB) / STEP_DB).clamp(0.0, (POINTS - 1) as f64);
    let peak = libm::round(place) as usize;
    let off = FIRST_DB + STEP_DB * peak as f64 - mean_db;
    let shrink = libm::exp(-STEP_DB * STEP_DB / variance);
    let first = |side: f64| libm::exp(-(STEP_DB * STEP_DB / 2.0 + side * STEP_DB * off) / variance);
    cells[peak] = 1.0;
    let (mut value, mut ratio) = (1.0, first(1.0));
    for cell in &mut cells[peak + 1..] {
        value *= ratio;
        ratio *= shrink;
        *cell = value;
    }
    let (mut value, mut ratio) = (1.0, first(-1.0));
    for cell in cells[..peak].iter_mut().rev() {
        value *= ratio;
        ratio *= shrink;
        *cell = value;
    }
    let total: f64 = cells.iter().sum();
    for cell in &mut cells {
        *cell /= total;
    }
    cells
}
