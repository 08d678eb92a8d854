//! What to present next, by what is believed: ear, frequency and level by how much the answer will on
//! average narrow the midpoints, all ways of answering summed over.

use super::AudiogramPosterior;
use crate::belief::listener::{
    FIRST_DB, Heard, POINTS, RATES, SCALES_DB, STEP_DB, rates, with_heard,
};

/// Ways of answering that are less likely are left out here, and here alone.
const NEGLIGIBLE: f64 = 1e-6;

/// A place, and the levels that may be presented there.
pub type Candidate = (usize, Vec<f64>);

/// The presentation that narrows the midpoints most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Telling {
    /// The place's number.
    pub at: usize,
    /// The level, dB.
    pub level_db: f64,
    /// How much less the sum of all candidates' variances will be on average, dB².
    pub gain_db2: f64,
}

/// What the answer to a tone would say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlook {
    /// How likely it is answered.
    pub p_answered: f64,
    /// The mean midpoint then, dB.
    pub if_answered_db: f64,
    /// The mean midpoint if it is not, dB.
    pub if_not_db: f64,
}

impl AudiogramPosterior {
    /// Of all candidates, the place and level whose answer will on average lessen the sum of the
    /// variances of their midpoints most. What it says of the others is taken as their regression
    /// on this one has it. None if there is no level.
    #[must_use]
    pub fn most_telling(&self, candidates: &[Candidate]) -> Option<Telling> {
        let mut best: Option<Telling> = None;
        for (at, levels_db) in candidates {
            let (mean_db, sd_db) = self.moments(*at);
            let spreads_by: f64 = candidates
                .iter()
                .map(|(other, _)| self.covariance(*at, *other) / (sd_db * sd_db))
                .map(|slope| slope * slope)
                .sum();
            let within_db = 2.5 * sd_db + 10.0;
            let near = |db: &&f64| (**db - mean_db).abs() <= within_db;
            let anyway = !levels_db.iter().any(|db| near(&db));
            let joint = self.joint(*at);
            let all = joint.moments(&joint.all);
            for level_db in levels_db.iter().filter(|db| anyway || near(db)) {
                let own = with_heard(*level_db, |heard| joint.gain(heard, &all));
                let gain_db2 = own * spreads_by;
                if best.is_none_or(|best| gain_db2 > best.gain_db2) {
                    best = Some(Telling {
                        at: *at,
                        level_db: *level_db,
                        gain_db2,
                    });
                }
            }
        }
        best
    }

    /// What the answer to a tone of `level_db` at a place would say.
    #[must_use]
    pub fn outlook(&self, at: usize, level_db: f64) -> Outlook {
        let joint = self.joint(at);
        let yes = with_heard(level_db, |heard| joint.answered(heard));
        let all = joint.moments(&joint.all);
        let mean = |part: [f64; 2]| joint.centre_db + part[1] / part[0].max(f64::MIN_POSITIVE);
        Outlook {
            p_answered: yes[0] / all[0],
            if_answered_db: mean([yes[0], yes[1]]),
            if_not_db: mean([all[0] - yes[0], all[1] - yes[1]]),
        }
    }

    /// How two midpoints vary together, dB².
    fn covariance(&self, one: usize, other: usize) -> f64 {
        let [mut first, mut second, mut both] = [0.0; 3];
        for (shape, weight) in self.shapes.iter().zip(&self.weights) {
            let (a, _) = shape.normal.marginal(one);
            let (b, _) = shape.normal.marginal(other);
            first += weight * a;
            second += weight * b;
            both += weight * (shape.normal.covariance(one, other) + a * b);
        }
        both - first * second
    }

    /// Midpoint and way of answering together at a place, rates summed up.
    fn joint(&self, at: usize) -> Joint {
        let mut joint = Joint::empty(self.moments(at).0);
        for (shape, weight) in self.shapes.iter().zip(&self.weights) {
            let tilted = shape.tilted(at, &self.log_kinds, &self.means_db);
            let mut part = Joint::empty(0.0);
            for (kind, share) in tilted.kinds.iter().enumerate() {
                if *share < NEGLIGIBLE {
                    continue;
                }
                let (false_alarm, lapse) = rates(kind);
                let rise = share * (1.0 - false_alarm - lapse);
                let floor = share * false_alarm;
                let row = self.likelihoods[at].as_ref().map(|rows| &rows[kind]);
                for point in 0..POINTS {
                    let own = row.map_or(1.0, |row| row[point]) * tilted.cavity[point];
                    part.rises[kind / RATES][point] += rise * own;
                    part.floors[point] += floor * own;
                    part.all[point] += share * own;
                }
            }
            let scale = weight / part.all.iter().sum::<f64>();
            joint.add(&part, scale);
        }
        joint
    }
}

/// The variance about the mean, times the weight, of a part with these moments.
fn spread(part: &[f64; 3]) -> f64 {
    if part[0] > 0.0 {
        part[2] - part[1] * part[1] / part[0]
    } else {
        0.0
    }
}

/// Weights of midpoint and scale: `rises` times the chance to hear, plus `floors`, is the chance of
/// an answer; `all` is that of the midpoint.
struct Joint {
    rises: [[f64; POINTS]; SCALES_DB.len()],
    floors: [f64; POINTS],
    all: [f64; POINTS],
    centre_db: f64,
}

impl Joint {
    fn empty(centre_db: f64) -> Joint {
        Joint {
            rises: [[0.0; POINTS]; SCALES_DB.len()],
            floors: [0.0; POINTS],
            all: [0.0; POINTS],
            centre_db,
        }
    }

    fn add(&mut self, part: &Joint, scale: f64) {
        for (row, part) in self.rises.iter_mut().zip(&part.rises) {
            for (cell, part) in row.iter_mut().zip(part) {
                *cell += scale * part;
            }
        }
        for (cell, part) in self.floors.iter_mut().zip(&part.floors) {
            *cell += scale * part;
        }
        for (cell, part) in self.all.iter_mut().zip(&part.all) {
            *cell += scale * part;
        }
    }

    /// Zeroth, first and second moment about the centre of the midpoint together with an answer.
    fn answered(&self, heard: &Heard) -> [f64; 3] {
        let mut by_point = self.floors;
        for (row, heard) in self.rises.iter().zip(heard) {
            for ((cell, rise), heard) in by_point.iter_mut().zip(row).zip(heard) {
                *cell += rise * heard;
            }
        }
        self.moments(&by_point)
    }

    fn moments(&self, by_point: &[f64; POINTS]) -> [f64; 3] {
        let mut moments = [0.0; 3];
        for (at, weight) in by_point.iter().enumerate() {
            let off = FIRST_DB + STEP_DB * at as f64 - self.centre_db;
            moments[0] += weight;
            moments[1] += weight * off;
            moments[2] += weight * off * off;
        }
        moments
    }

    /// How much less the variance will be after the answer, on average.
    fn gain(&self, heard: &Heard, all: &[f64; 3]) -> f64 {
        let yes = self.answered(heard);
        let no = [all[0] - yes[0], all[1] - yes[1], all[2] - yes[2]];
        let after: f64 = [yes, no].iter().map(spread).sum();
        spread(all) - after
    }
}
