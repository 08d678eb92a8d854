//! What is believed of the threshold of one ear at one frequency after yes-or-no answers.

use super::Marginal;
use super::grid::{Asymptotes, Axes, GridPosterior};
use std::sync::LazyLock;

/// One tone and whether it was answered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToneTrial {
    /// Level in dB on the set-up's scale.
    pub level_db: f64,
    /// Whether it was answered within the window.
    pub heard: bool,
}

const FIRST_DB: f64 = -30.0;
const STEP_DB: f64 = 1.0;
const MIDPOINTS: usize = 161;
const SCALES_DB: [f64; 5] = [1.2, 2.0, 3.0, 4.0, 6.0];
const FALSE_ALARMS: [f64; 4] = [0.01, 0.04, 0.12, 0.25];
const LAPSE: f64 = 0.02;

static AXES: LazyLock<Axes> = LazyLock::new(|| Axes::new(FIRST_DB, STEP_DB, MIDPOINTS, &SCALES_DB));
static ASYMPTOTES: LazyLock<[Asymptotes; 4]> =
    LazyLock::new(|| FALSE_ALARMS.map(|g| Asymptotes::new(g, LAPSE)));

/// Probabilities of midpoint T (−30 to 130 dB, flat prior), scale (1.2 to 6 dB) and false-alarm
/// rate (0.01 to 0.25, both evenly) of a [`DetectionFunction`](super::DetectionFunction) whose
/// lapse rate is 0.02. The ranges are choices of this program, no source.
#[derive(Debug, Clone)]
pub struct ThresholdPosterior(GridPosterior);

impl Default for ThresholdPosterior {
    fn default() -> Self {
        ThresholdPosterior::new()
    }
}

impl ThresholdPosterior {
    /// What is believed before the first answer.
    #[must_use]
    pub fn new() -> ThresholdPosterior {
        ThresholdPosterior(GridPosterior::new(
            &AXES,
            |_| 1.0,
            |_| 1.0,
            FALSE_ALARMS.len(),
        ))
    }

    /// What is believed after `trials`.
    #[must_use]
    pub fn from_trials(trials: &[ToneTrial]) -> ThresholdPosterior {
        let mut posterior = ThresholdPosterior::new();
        for trial in trials {
            posterior.observe(*trial);
        }
        posterior
    }

    /// Takes in one more answer.
    pub fn observe(&mut self, trial: ToneTrial) {
        self.0.observe(trial.level_db, trial.heard, &*ASYMPTOTES);
    }

    /// Takes in that `answered` of `of` silent presentations were answered (all, if more).
    pub fn observe_silent(&mut self, answered: u32, of: u32) {
        let (yes, no) = (
            f64::from(answered.min(of)),
            f64::from(of.saturating_sub(answered)),
        );
        // Relative to the likeliest, so that no number of presentations underflows all four.
        let logs = FALSE_ALARMS.map(|g| yes * libm::log(g) + no * libm::log(1.0 - g));
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        self.0.weigh_kinds(&logs.map(|log| libm::exp(log - top)));
    }

    /// Takes in that T lies about `centre_db`, normally distributed with `sd_db` (positive).
    pub fn observe_near(&mut self, centre_db: f64, sd_db: f64) {
        self.0.weigh_midpoints(|midpoint_db| {
            let z = (midpoint_db - centre_db) / sd_db;
            libm::exp(-0.5 * z * z)
        });
    }

    /// What is believed of T, in dB on the set-up's scale.
    #[must_use]
    pub fn midpoint(&self) -> Marginal {
        self.0.midpoint()
    }

    /// The mean of the logistic scale, in dB.
    #[must_use]
    pub fn mean_scale_db(&self) -> f64 {
        self.0.mean_over_shapes(|scale, _| scale)
    }

    /// The mean of the false-alarm rate.
    #[must_use]
    pub fn mean_false_alarm(&self) -> f64 {
        self.0.mean_over_shapes(|_, kind| FALSE_ALARMS[kind])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belief::DetectionFunction;

    const ASCENT: [(f64, bool); 7] = [
        (40.0, true),
        (30.0, true),
        (20.0, false),
        (25.0, true),
        (15.0, false),
        (20.0, false),
        (25.0, true),
    ];

    fn trials() -> Vec<ToneTrial> {
        ASCENT
            .iter()
            .map(|&(level_db, heard)| ToneTrial { level_db, heard })
            .collect()
    }

    #[test]
    fn the_figures_are_those_of_the_definition() {
        let mut posterior = ThresholdPosterior::from_trials(&trials());
        posterior.observe_silent(2, 9);
        let [mut mass, mut first, mut second, mut scales, mut rates] = [0.0; 5];
        for t in -30..=130 {
            let midpoint_db = f64::from(t);
            for scale_db in SCALES_DB {
                for false_alarm in FALSE_ALARMS {
                    let listener = DetectionFunction {
                        midpoint_db,
                        scale_db,
                        false_alarm,
                        lapse: 0.02,
                    };
                    let mut weight = false_alarm.powi(2) * (1.0 - false_alarm).powi(7);
                    for (level, heard) in ASCENT {
                        let p = listener.p(level);
                        weight *= if heard { p } else { 1.0 - p };
                    }
                    mass += weight;
                    first += weight * midpoint_db;
                    second += weight * (midpoint_db - 22.0).powi(2);
                    scales += weight * scale_db;
                    rates += weight * false_alarm;
                }
            }
        }
        let midpoint = posterior.midpoint();
        assert!((midpoint.mean() - first / mass).abs() < 1e-10);
        assert!((midpoint.mean_square_about(22.0) - second / mass).abs() < 1e-9);
        assert!((posterior.mean_scale_db() - scales / mass).abs() < 1e-10);
        assert!((posterior.mean_false_alarm() - rates / mass).abs() < 1e-10);
    }

    #[test]
    fn silent_presentations_tell_of_false_alarms_only() {
        let mut posterior = ThresholdPosterior::new();
        posterior.observe_silent(5000, 20_000);
        assert!((posterior.mean_false_alarm() - 0.25).abs() < 1e-9);
        assert!(
            (posterior.midpoint().mean() - 50.0).abs() < 1e-9,
            "T is untouched"
        );
        posterior.observe_silent(9, 3);
        assert!(posterior.mean_false_alarm().is_finite());
    }

    #[test]
    fn thousands_of_answers_at_the_ends_never_break_the_arithmetic() {
        for (level_db, heard, end) in [(130.0, false, 130.0), (-30.0, true, -30.0)] {
            let answers = vec![ToneTrial { level_db, heard }; 2000];
            let believed = ThresholdPosterior::from_trials(&answers).midpoint();
            assert!((believed.mean() - end).abs() < 15.0, "{}", believed.mean());
        }
    }
}
