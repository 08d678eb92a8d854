//! What is believed of one quantity: probabilities on an even grid.

/// Probabilities of a quantity at evenly spaced values; they add up to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Marginal {
    first: f64,
    step: f64,
    mass: Vec<f64>,
}

impl Marginal {
    /// `mass` at `first`, `first + step`, …; brought to the sum 1, which must be positive.
    pub(super) fn new(first: f64, step: f64, mut mass: Vec<f64>) -> Marginal {
        let total: f64 = mass.iter().sum();
        for share in &mut mass {
            *share /= total;
        }
        Marginal { first, step, mass }
    }

    /// Each value with its probability, from the smallest value up.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        self.mass
            .iter()
            .enumerate()
            .map(|(i, &mass)| (self.first + self.step * i as f64, mass))
    }

    /// The mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.points().map(|(value, mass)| value * mass).sum()
    }

    /// The standard deviation.
    #[must_use]
    pub fn sd(&self) -> f64 {
        self.mean_square_about(self.mean()).sqrt()
    }

    /// The mean squared distance from `centre`.
    #[must_use]
    pub fn mean_square_about(&self, centre: f64) -> f64 {
        self.points()
            .map(|(value, mass)| (value - centre) * (value - centre) * mass)
            .sum()
    }

    /// The same with an independent normal error of standard deviation `sd` added.
    #[must_use]
    pub fn blurred(&self, sd: f64) -> Marginal {
        if sd <= 0.0 {
            return self.clone();
        }
        let reach = libm::ceil(4.0 * sd / self.step) as usize;
        let bell: Vec<f64> = (0..=reach)
            .map(|off| {
                let z = self.step * off as f64 / sd;
                libm::exp(-0.5 * z * z)
            })
            .collect();
        let mut mass = vec![0.0; self.mass.len() + 2 * reach];
        for (at, own) in self.mass.iter().enumerate() {
            for (off, weight) in bell.iter().enumerate() {
                mass[at + reach + off] += own * weight;
                if off > 0 {
                    mass[at + reach - off] += own * weight;
                }
            }
        }
        Marginal::new(self.first - self.step * reach as f64, self.step, mass)
    }

    /// The value below which a share `p` of the probability lies, `p` in 0..=1; each grid value
    /// stands for everything within half a step of it.
    #[must_use]
    pub fn quantile(&self, p: f64) -> f64 {
        let mut below = 0.0;
        for (value, mass) in self.points() {
            if mass > 0.0 && below + mass >= p {
                return value + self.step * ((p - below) / mass - 0.5);
            }
            below += mass;
        }
        // Rounding left the sum a little under `p`.
        self.first + self.step * (self.mass.len() as f64 - 0.5)
    }

    /// The interval that holds `share` of the probability and leaves equal parts on both sides.
    #[must_use]
    pub fn interval(&self, share: f64) -> [f64; 2] {
        [
            self.quantile(0.5 - share / 2.0),
            self.quantile(0.5 + share / 2.0),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_normal_distribution_on_a_grid_has_the_textbook_moments_and_quantiles() {
        let mass =
            (0..=400).map(|i| libm::exp(-0.5 * libm::pow((f64::from(i) - 200.0) / 30.0, 2.0)));
        let normal = Marginal::new(-2.0, 0.01, mass.collect());
        assert!(normal.mean().abs() < 1e-9);
        assert!((normal.sd() - 0.3).abs() < 1e-6);
        // The 95 % point of the standard normal is 1.6449 (any table of it).
        let [low, high] = normal.interval(0.9);
        assert!((high - 0.3 * 1.6449).abs() < 2e-4, "{high}");
        assert!((low + high).abs() < 1e-9);
        assert!((normal.mean_square_about(0.4) - 0.25).abs() < 1e-6);
    }

    #[test]
    fn quantiles_stay_within_the_grid() {
        let point = Marginal::new(1.0, 0.5, vec![0.0, 1.0, 0.0]);
        assert!((point.quantile(0.0) - 1.25).abs() < 1e-12);
        assert!((point.quantile(1.0) - 1.75).abs() < 1e-12);
    }
}
