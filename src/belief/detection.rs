//! How likely an answer is, given the strength of what was presented.

/// The logistic function 1 / (1 + exp(−x)), without overflow at either end.
#[must_use]
pub fn logistic(x: f64) -> f64 {
    let tail = libm::exp(-x.abs());
    if x < 0.0 {
        tail / (1.0 + tail)
    } else {
        1.0 / (1.0 + tail)
    }
}

/// How likely a tone is answered: p = g + (1 − g − l)·logistic((L − T) / s).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DetectionFunction {
    /// T: the level that is heard half the time, in dB on the set-up's scale.
    pub midpoint_db: f64,
    /// s: the logistic scale in dB, positive; from 10 % to 90 % heard takes 4.4 of it.
    pub scale_db: f64,
    /// g: how likely a silent presentation is answered.
    pub false_alarm: f64,
    /// l: how likely a clearly audible tone is not answered.
    pub lapse: f64,
}

impl DetectionFunction {
    /// The probability that a tone of `level_db` is answered.
    #[must_use]
    pub fn p(&self, level_db: f64) -> f64 {
        let heard = logistic((level_db - self.midpoint_db) / self.scale_db);
        self.false_alarm + (1.0 - self.false_alarm - self.lapse) * heard
    }
}

/// How likely an optotype is named rightly out of k choices:
/// p = 1/k + (1 − 1/k − l)·logistic((x − A) / s), x the size in logMAR.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChoiceFunction {
    /// A: the size in logMAR at which half is perceived.
    pub midpoint: f64,
    /// s: the logistic scale in logMAR, positive.
    pub scale: f64,
    /// k: how many answers there are to choose from, at least 2.
    pub choices: u32,
    /// l: how likely a clearly visible optotype is named wrongly.
    pub lapse: f64,
}

impl ChoiceFunction {
    /// How likely a guess is right.
    #[must_use]
    pub fn guess(&self) -> f64 {
        1.0 / f64::from(self.choices)
    }

    /// The probability that an optotype of `size` (logMAR) is named rightly.
    #[must_use]
    pub fn p(&self, size: f64) -> f64 {
        let perceived = logistic((size - self.midpoint) / self.scale);
        self.guess() + (1.0 - self.guess() - self.lapse) * perceived
    }

    /// The size in logMAR that is named rightly with probability `p`; none if `p` does not lie
    /// between the guess rate and 1 − lapse.
    #[must_use]
    pub fn size_at(&self, p: f64) -> Option<f64> {
        let above_guess = p - self.guess();
        let below_top = 1.0 - self.lapse - p;
        (above_guess > 0.0 && below_top > 0.0)
            .then(|| self.midpoint + self.scale * libm::log(above_guess / below_top))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_logistic_function_agrees_with_its_closed_values_and_never_overflows() {
        // Closed forms: logistic(ln 3) = 3/4, logistic(-ln 9) = 1/10; 1/(1+e) to 16 digits.
        assert!((logistic(3.0_f64.ln()) - 0.75).abs() < 1e-15);
        assert!((logistic(-(9.0_f64.ln())) - 0.1).abs() < 1e-15);
        assert!((logistic(-1.0) - 0.268_941_421_369_995_1).abs() < 1e-15);
        assert!(
            (logistic(-700.0) / (-700.0_f64).exp() - 1.0).abs() < 1e-12,
            "no lower tail lost"
        );
        for (x, expected) in [(-1e300, 0.0), (1e300, 1.0), (0.0, 0.5)] {
            assert!((logistic(x) - expected).abs() < f64::EPSILON, "{x}");
        }
    }

    #[test]
    fn a_detection_function_runs_from_false_alarms_to_one_minus_lapses() {
        let listener = DetectionFunction {
            midpoint_db: 20.0,
            scale_db: 3.0,
            false_alarm: 0.05,
            lapse: 0.02,
        };
        assert!((listener.p(-200.0) - 0.05).abs() < 1e-12);
        assert!((listener.p(300.0) - 0.98).abs() < 1e-12);
        assert!((listener.p(20.0) - 0.515).abs() < 1e-12);
    }

    #[test]
    fn the_size_at_a_probability_is_the_inverse() {
        let eye = ChoiceFunction {
            midpoint: 0.1,
            scale: 0.08,
            choices: 8,
            lapse: 0.02,
        };
        for p in [0.13, 0.3, 0.5625, 0.6, 0.9, 0.97] {
            let size = eye.size_at(p).unwrap();
            assert!((eye.p(size) - p).abs() < 1e-12, "{p}");
        }
        assert_eq!(eye.size_at(0.125), None);
        assert_eq!(eye.size_at(0.98), None);
        // Without lapses, half perceived of 8 choices is 56.25 % right (Bach & Kommerell 1998).
        let steady = ChoiceFunction { lapse: 0.0, ..eye };
        assert!((steady.size_at(0.5625).unwrap() - 0.1).abs() < 1e-12);
    }
}
