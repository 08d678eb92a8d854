//! How easily the ten Sloan letters are told (Ricci, Cedrone and Cerulli 1997, table 1).

use super::{Source, Verified};

/// Where the percentages come from. The offsets are derived from them.
pub const SOURCE: Source = Source {
    document: "Ricci, Cedrone, Cerulli 1997",
    place: "table 1",
    verified: Verified::LookedUp,
};

/// Rightly named at threshold, percent, and how much easier than the mean of the ten, logMAR: from
/// the percentages by a normal function of standard deviation 0.07 logMAR over a guess rate of 0.1.
const LETTERS: [(char, f64, f64); 10] = [
    ('S', 70.6, -0.031),
    ('O', 71.0, -0.030),
    ('C', 71.4, -0.030),
    ('D', 79.5, -0.010),
    ('K', 82.1, -0.003),
    ('V', 84.6, 0.004),
    ('R', 86.3, 0.009),
    ('H', 89.3, 0.020),
    ('N', 91.6, 0.030),
    ('Z', 94.0, 0.042),
];

/// How much easier than the mean of the ten a letter is, logMAR, below 0 if it is harder; none for
/// a letter that is not among them.
#[must_use]
pub fn easier_by_log_mar(letter: char) -> Option<f64> {
    let found = LETTERS.iter().find(|(one, _, _)| *one == letter);
    found.map(|(_, _, easier)| *easier)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outside::rows;

    #[test]
    fn the_offsets_are_quantiles_of_the_percentages() {
        // Quantiles of the standard normal by scipy, at every percent, linear between.
        let quantiles: Vec<[f64; 2]> = rows("normal.csv")
            .iter()
            .filter(|row| &row[0] == "ppf")
            .map(|row| [row[1].parse().unwrap(), row[2].parse().unwrap()])
            .collect();
        let quantile = |p: f64| {
            let above = quantiles.iter().position(|[at, _]| *at >= p).unwrap();
            let ([p0, z0], [p1, z1]) = (quantiles[above - 1], quantiles[above]);
            z0 + (z1 - z0) * (p - p0) / (p1 - p0)
        };
        let own = LETTERS.map(|(_, percent, _)| 0.07 * quantile((percent / 100.0 - 0.1) / 0.9));
        let mean = own.iter().sum::<f64>() / 10.0;
        for ((letter, _, easier), own) in LETTERS.iter().zip(own) {
            assert!(
                (own - mean - easier).abs() < 0.002,
                "{letter}: {}",
                own - mean
            );
        }
        let percents = LETTERS.iter().map(|(_, percent, _)| percent).sum::<f64>() / 10.0;
        assert!(
            (percents - 82.0).abs() < 0.1,
            "the mean that the table gives: {percents}"
        );
    }
}
