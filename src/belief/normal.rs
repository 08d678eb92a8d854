//! Many quantities that are believed to be jointly normal, each known a little better by a normal
//! site of its own.
//!
//! The algebra is ours, not a library's: its sums run in one fixed order on every machine, so that
//! a journal gives the same findings to the bit years later, and it is a few lines.

/// A symmetric matrix with its rows one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Symmetric {
    side: usize,
    cells: Vec<f64>,
}

impl Symmetric {
    /// The matrix of `side` rows whose cells are `of(row, column)`.
    #[must_use]
    pub fn new(side: usize, of: impl Fn(usize, usize) -> f64) -> Symmetric {
        let cells = (0..side * side).map(|at| of(at / side, at % side));
        Symmetric {
            side,
            cells: cells.collect(),
        }
    }

    /// One cell.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> f64 {
        self.cells[row * self.side + column]
    }

    fn row(&self, row: usize) -> &[f64] {
        &self.cells[row * self.side..(row + 1) * self.side]
    }
}

/// A zero-mean normal prior and one normal site for each quantity: precision τ ≥ 0 and precision
/// times mean ν, as in Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), 3.6.
#[derive(Debug, Clone)]
pub struct SitedNormal {
    prior: Symmetric,
    precision: Vec<f64>,
    shift: Vec<f64>,
    covariance: Symmetric,
    mean: Vec<f64>,
    /// ln |I + S½ K S½|, S the sites' precisions.
    log_det: f64,
}

impl SitedNormal {
    /// The prior alone; `prior` must be positive definite.
    #[must_use]
    pub fn new(prior: Symmetric) -> SitedNormal {
        let side = prior.side;
        SitedNormal {
            covariance: prior.clone(),
            prior,
            precision: vec![0.0; side],
            shift: vec![0.0; side],
            mean: vec![0.0; side],
            log_det: 0.0,
        }
    }

    /// Mean and variance of one quantity.
    #[must_use]
    pub fn marginal(&self, at: usize) -> (f64, f64) {
        (self.mean[at], self.covariance.at(at, at))
    }

    /// How two quantities vary together.
    #[must_use]
    pub fn covariance(&self, one: usize, other: usize) -> f64 {
        self.covariance.at(one, other)
    }

    /// Mean and variance of one quantity without its own site.
    #[must_use]
    pub fn cavity(&self, at: usize) -> (f64, f64) {
        let (mean, variance) = self.marginal(at);
        let precision = 1.0 / variance - self.precision[at];
        (
            (mean / variance - self.shift[at]) / precision,
            1.0 / precision,
        )
    }

    /// Sets the site so that the quantity has this mean and variance beside the others; a variance
    /// above the cavity's leaves a site that weighs next to nothing.
    pub fn set_marginal(&mut self, at: usize, mean: f64, variance: f64) {
        const LEAST: f64 = 1e-6;
        let (cavity_mean, cavity_variance) = self.cavity(at);
        let precision = (1.0 / variance - 1.0 / cavity_variance).max(LEAST);
        let shift = mean * (precision + 1.0 / cavity_variance) - cavity_mean / cavity_variance;
        let (more, moved) = (precision - self.precision[at], shift - self.shift[at]);
        self.precision[at] = precision;
        self.shift[at] = shift;
        self.log_det += libm::log(1.0 + more * self.covariance.at(at, at));
        // Sherman and Morrison: one site changes the covariance by a matrix of rank one.
        let side = self.prior.side;
        let column: Vec<f64> = self.covariance.row(at).to_vec();
        let scale = more / (1.0 + more * column[at]);
        let step = (moved - more * self.mean[at]) / (1.0 + more * column[at]);
        for row in 0..side {
            let by = scale * column[row];
            let cells = &mut self.covariance.cells[row * side..(row + 1) * side];
            for (cell, other) in cells.iter_mut().zip(&column) {
                *cell -= by * other;
            }
            self.mean[row] += step * column[row];
        }
    }

    /// Computes everything afresh from the sites, so that rounding never adds up.
    pub fn refresh(&mut self) {
        let side = self.prior.side;
        let root: Vec<f64> = self.precision.iter().map(|tau| libm::sqrt(*tau)).collect();
        let inner = Symmetric::new(side, |row, column| {
            let unit = if row == column { 1.0 } else { 0.0 };
            unit + root[row] * root[column] * self.prior.at(row, column)
        });
        let lower = cholesky(&inner);
        // Σ = K − V'V with L V = S½ K.
        let mut solved = vec![0.0; side * side];
        for column in 0..side {
            for row in 0..side {
                let mut sum = root[row] * self.prior.at(row, column);
                for k in 0..row {
                    sum -= lower[row * side + k] * solved[k * side + column];
                }
                solved[row * side + column] = sum / lower[row * side + row];
            }
        }
        for row in 0..side {
            for column in row..side {
                let mut sum = self.prior.at(row, column);
                for k in 0..side {
                    sum -= solved[k * side + row] * solved[k * side + column];
                }
                self.covariance.cells[row * side + column] = sum;
                self.covariance.cells[column * side + row] = sum;
            }
        }
        for row in 0..side {
            let products = self.covariance.row(row).iter().zip(&self.shift);
            self.mean[row] = products.map(|(cell, shift)| cell * shift).sum();
        }
        let diagonal = (0..side).map(|at| libm::log(lower[at * side + at]));
        self.log_det = 2.0 * diagonal.sum::<f64>();
    }

    /// ln of what the sites integrate to under the prior, constants of the sites left out.
    #[must_use]
    pub fn log_partition(&self) -> f64 {
        let products = self.shift.iter().zip(&self.mean);
        0.5 * products.map(|(shift, mean)| shift * mean).sum::<f64>() - 0.5 * self.log_det
    }
}

/// The lower triangle L with L L' = `matrix`, rows one after the other.
fn cholesky(matrix: &Symmetric) -> Vec<f64> {
    let side = matrix.side;
    let mut lower = vec![0.0; side * side];
    for row in 0..side {
        for column in 0..=row {
            let mut sum = matrix.at(row, column);
            for k in 0..column {
                sum -= lower[row * side + k] * lower[column * side + k];
            }
            lower[row * side + column] = if row == column {
                libm::sqrt(sum.max(1e-12))
            } else {
                sum / lower[column * side + column]
            };
        }
    }
    lower
}
