//! What is believed of one ear while noise keeps the other from answering for it.
//!
//! The midpoint and the interaural attenuation together, on a grid: a tone is answered when either
//! ear hears it, the other one weakened by the attenuation; noise lifts an ear to its effective
//! level, and crosses the head as weakened (the masking function of the handbooks: Hood 1960,
//! Studebaker 1964, from memory). So it is known how likely the other ear is the one that answers.

use super::Marginal;
use super::detection::logistic;
use super::listener::{
    FIRST_DB, Heard, KINDS, POINTS, RATES, SCALES_DB, STEP_DB, rates, with_heard,
};
use crate::quantity::{largest, wide};

/// Attenuations that are thought possible, dB: from the least of the earphone type up, each as likely
/// as another (supra-aural earphones: 40 to 85 dB over people and frequencies, from memory).
const CROSSINGS: usize = 9;
const CROSSING_STEP_DB: f64 = 5.0;

/// An ear that hears nothing is as likely as this many decibels of midpoints together (our choice).
const DEAD_AS_DB: f64 = 30.0;
type Cells = [[f64; POINTS]; CROSSINGS];

/// One masked tone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaskedTone {
    /// Its level, dB.
    pub level_db: f64,
    /// The noise at the other ear, dB effective masking level.
    pub masker_db: f64,
    /// From where on the other ear hears beside it, dB: the noise, or its own midpoint if poorer.
    pub other_from_db: f64,
}

/// How well midpoints and attenuations explain the answers beside noise, by way of answering.
#[derive(Debug, Clone)]
pub struct BesideNoise {
    least_db: f64,
    likelihood: Vec<Cells>,
}

/// What is believed before the first masked tone, from what was answered without noise.
#[derive(Debug, Clone)]
pub struct Unmasked {
    cells: Cells,
    /// How likely the other ear's midpoint is at each grid value at most.
    other_at_most: [f64; POINTS],
    least_db: f64,
}

/// What is believed of midpoint and attenuation together.
#[derive(Debug, Clone)]
pub struct EarBelief {
    cells: Cells,
    other_at_most: [f64; POINTS],
    least_db: f64,
    /// The weight of each way of answering.
    kinds: [f64; KINDS],
}

fn on_grid(marginal: &Marginal) -> [f64; POINTS] {
    let mut mass = [0.0; POINTS];
    for (value, share) in marginal.points() {
        let at = libm::round((value - FIRST_DB) / STEP_DB).clamp(0.0, (POINTS - 1) as f64);
        mass[at as usize] += share;
    }
    mass
}

fn attenuation_db(least_db: f64, crossing: usize) -> f64 {
    least_db + CROSSING_STEP_DB * crossing as f64
}

/// The grid value below which `db` lies, or nearest to it.
fn nearest(db: f64) -> usize {
    libm::round((db - FIRST_DB) / STEP_DB).clamp(0.0, (POINTS - 1) as f64) as usize
}

/// How likely the tone is heard by either ear, by the ear's own midpoint, for one scale and
/// attenuation.
fn heard_by_either(
    tone: &MaskedTone,
    heard: &[f64; POINTS],
    scale_db: f64,
    attenuation_db: f64,
) -> [f64; POINTS] {
    let across = logistic((tone.level_db - tone.other_from_db - attenuation_db) / scale_db);
    // Noise that crosses the head lifts this ear.
    let lifted = logistic((tone.level_db - tone.masker_db + attenuation_db) / scale_db);
    std::array::from_fn(|at| heard[at].min(lifted).max(across))
}

impl BesideNoise {
    /// Before the first answer; `least_db` is the least interaural attenuation of the earphone type.
    #[must_use]
    pub fn new(least_db: f64) -> BesideNoise {
        BesideNoise {
            least_db,
            likelihood: vec![[[1.0; POINTS]; CROSSINGS]; KINDS],
        }
    }

    /// Takes in whether a tone was answered.
    pub fn observe(&mut self, tone: &MaskedTone, answered: bool) {
        with_heard(tone.level_db, |heard| {
            for crossing in 0..CROSSINGS {
                let attenuation_db = attenuation_db(self.least_db, crossing);
                for (scale, scale_db) in SCALES_DB.into_iter().enumerate() {
                    let either = heard_by_either(tone, &heard[scale], scale_db, attenuation_db);
                    for rate in 0..RATES {
                        let (false_alarm, lapse) = rates(rate);
                        let rise = 1.0 - false_alarm - lapse;
                        let row = &mut self.likelihood[scale * RATES + rate][crossing];
                        wide(
                            #[inline(always)]
                            || {
                                for (cell, heard) in row.iter_mut().zip(&either) {
                                    let p = false_alarm + rise * heard;
                                    *cell *= if answered { p } else { 1.0 - p };
                                }
                            },
                        );
                    }
                }
            }
        });
        // A factor common to all: nothing underflows, however many answers there are.
        wide(
            #[inline(always)]
            || {
                let cells = self.likelihood.as_flattened_mut().as_flattened_mut();
                let most = largest(cells, 0.0);
                for cell in cells {
                    *cell /= most;
                }
            },
        );
    }
}

impl Unmasked {
    /// `own` and `other` are what is believed of the level at which either ear answers for this
    /// one, and for the other, on the grid of [`AudiogramPosterior`](super::AudiogramPosterior).
    #[must_use]
    pub fn new(own: &Marginal, other: &Marginal, least_db: f64) -> Unmasked {
        let (answered, other_mass) = (on_grid(own), on_grid(other));
        let mut other_at_most = other_mass;
        for at in 1..POINTS {
            other_at_most[at] += other_at_most[at - 1];
        }
        let mut cells = [[0.0; POINTS]; CROSSINGS];
        for (crossing, row) in cells.iter_mut().enumerate() {
            let shift = libm::round(attenuation_db(least_db, crossing) / STEP_DB) as usize;
            // The level at which the tone crosses lies at the other's midpoint and this; below it
            // this ear answers, above it the other one does.
            let crossing_mass = |at: usize| {
                if at < shift {
                    0.0
                } else {
                    other_mass[at - shift]
                }
            };
            let (mut crossed, mut crossed_fit) = (0.0, 0.0);
            for at in 0..POINTS {
                crossed += crossing_mass(at);
                crossed_fit += crossing_mass(at) * answered[at];
                let dead = if at == POINTS - 1 {
                    1.0 + DEAD_AS_DB / STEP_DB
                } else {
                    1.0
                };
                row[at] = dead * (answered[at] * (1.0 - crossed).max(0.0) + crossed_fit);
            }
        }
        Unmasked {
            cells,
            other_at_most,
            least_db,
        }
    }

    /// Together with what was answered beside noise; `kinds` says how likely each way of answering is
    /// by all else.
    #[must_use]
    pub fn with(&self, noise: Option<&BesideNoise>, kinds: &[f64]) -> EarBelief {
        let mut weights = [0.0; KINDS];
        for (weight, kind) in weights.iter_mut().zip(kinds) {
            *weight = *kind;
        }
        let mut cells = self.cells;
        if let Some(noise) = noise {
            let mut mixed = [[0.0; POINTS]; CROSSINGS];
            for (weight, likelihood) in weights.iter_mut().zip(&noise.likelihood) {
                if *weight < 1e-9 {
                    continue;
                }
                let mut fit = 0.0;
                for ((mixed, row), prior) in mixed.iter_mut().zip(likelihood).zip(&self.cells) {
                    for ((cell, own), prior) in mixed.iter_mut().zip(row).zip(prior) {
                        *cell += *weight * own;
                        fit += own * prior;
                    }
                }
                *weight *= fit;
            }
            for (cell, mixed) in cells.iter_mut().flatten().zip(mixed.iter().flatten()) {
                *cell *= mixed;
            }
        }
        let total: f64 = cells.iter().flatten().sum();
        for cell in cells.iter_mut().flatten() {
            *cell /= total;
        }
        let total: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= total;
        }
        EarBelief {
            cells,
            other_at_most: self.other_at_most,
            least_db: self.least_db,
            kinds: weights,
        }
    }
}

impl EarBelief {
    /// What is believed of this ear's midpoint, dB.
    #[must_use]
    pub fn midpoint(&self) -> Marginal {
        let mut mass = vec![0.0; POINTS];
        for row in &self.cells {
            for (sum, cell) in mass.iter_mut().zip(row) {
                *sum += cell;
            }
        }
        Marginal::new(FIRST_DB, STEP_DB, mass)
    }

    /// How likely each way of answering is, in order of their numbers.
    #[must_use]
    pub fn ways(&self) -> &[f64] {
        &self.kinds
    }

    /// How likely this ear's midpoint lies more than `by_db` above `shown_db` while the other ear
    /// may hear what crosses at that level: what is shown for this ear would then be the other's.
    #[must_use]
    pub fn p_other_ear(&self, shown_db: f64, by_db: f64) -> f64 {
        let from = nearest(shown_db + by_db) + 1;
        let mut p = 0.0;
        for (crossing, row) in self.cells.iter().enumerate() {
            let other_db = shown_db + by_db - attenuation_db(self.least_db, crossing);
            if other_db < FIRST_DB {
                continue;
            }
            let above: f64 = row.iter().skip(from).sum();
            p += above * self.other_at_most[nearest(other_db)];
        }
        p
    }

    /// How likely this ear's midpoint lies above `db`.
    #[must_use]
    pub fn p_above(&self, db: f64) -> f64 {
        let at = |point: usize| FIRST_DB + STEP_DB * point as f64;
        let rows = self.cells.iter().flat_map(|row| row.iter().enumerate());
        rows.filter(|(point, _)| at(*point) > db)
            .map(|(_, cell)| cell)
            .sum()
    }

    /// Of `levels_db`, the one after whose answer beside this noise the midpoint will on average be
    /// known best. None if there is no level.
    #[must_use]
    pub fn most_telling(
        &self,
        levels_db: &[f64],
        masker_db: f64,
        other_from_db: f64,
    ) -> Option<f64> {
        let centre_db = self.midpoint().mean();
        let (floor, rises) = self.answering();
        let variance = |level_db: f64| {
            let tone = MaskedTone {
                level_db,
                masker_db,
                other_from_db,
            };
            with_heard(level_db, |heard| {
                self.variance_after(&tone, heard, (floor, &rises), centre_db)
            })
        };
        let after = levels_db
            .iter()
            .map(|level_db| (*level_db, variance(*level_db)));
        after
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(level_db, _)| level_db)
    }

    /// The mean false-alarm rate, and the mean rise of the chance to answer, by scale.
    fn answering(&self) -> (f64, [f64; SCALES_DB.len()]) {
        let (mut floor, mut rises) = (0.0, [0.0; SCALES_DB.len()]);
        for (kind, weight) in self.kinds.iter().enumerate() {
            let (false_alarm, lapse) = rates(kind);
            floor += weight * false_alarm;
            rises[kind / RATES] += weight * (1.0 - false_alarm - lapse);
        }
        (floor, rises)
    }

    fn variance_after(
        &self,
        tone: &MaskedTone,
        heard: &Heard,
        (floor, rises): (f64, &[f64; SCALES_DB.len()]),
        centre_db: f64,
    ) -> f64 {
        let (mut yes, mut all) = ([0.0; 3], [0.0; 3]);
        for (crossing, row) in self.cells.iter().enumerate() {
            let attenuation_db = attenuation_db(self.least_db, crossing);
            let mut p = [floor; POINTS];
            for (scale, scale_db) in SCALES_DB.into_iter().enumerate() {
                let either = heard_by_either(tone, &heard[scale], scale_db, attenuation_db);
                for (p, heard) in p.iter_mut().zip(&either) {
                    *p += rises[scale] * heard;
                }
            }
            for (at, (cell, p)) in row.iter().zip(&p).enumerate() {
                let off = FIRST_DB + STEP_DB * at as f64 - centre_db;
                for (power, factor) in [1.0, off, off * off].into_iter().enumerate() {
                    yes[power] += cell * p * factor;
                    all[power] += cell * factor;
                }
            }
        }
        let no = [all[0] - yes[0], all[1] - yes[1], all[2] - yes[2]];
        [yes, no]
            .into_iter()
            .filter(|part| part[0] > 0.0)
            .map(|part| part[2] - part[1] * part[1] / part[0])
            .sum()
    }
}
