//! A card for reading near: which optotypes stand where on it.

use super::{OptotypeSet, Symbol};
use crate::quantity::{Draws, LogMar, Mm, Stream};
use crate::standard::iso_8596_2017 as iso_8596;
use serde::{Deserialize, Serialize};

/// The usual distance for reading, 40 cm (ICO 1984, from memory).
pub const NEAR_MM: Mm = Mm(400.0);

/// One M unit is the height of a letter that spans 5 minutes of arc at 1 m, mm: 2000 tan(2.5')
/// = 1.4544.
pub const MM_PER_M_UNIT: f64 = 1.4544;

/// The largest and the smallest row at 40 cm, logMAR (our choice: 4 M to 0.32 M; smaller strokes
/// than 0.09 mm an office printer does not print cleanly).
const LARGEST: i32 = 10;
const SMALLEST: i32 = -1;
/// In a row (Bailey and Lovie 1976).
const IN_A_ROW: usize = 5;

/// One row.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CardRow {
    /// Its size at the card's distance.
    pub log_mar: LogMar,
    /// The height of its optotypes as printed.
    pub height_mm: Mm,
    /// The same in M units: the distance in metres at which it spans 5 minutes of arc.
    pub m_units: f64,
    /// What stands in it, from left to right.
    pub symbols: Vec<Symbol>,
}

/// A card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NearCard {
    /// What its order was drawn from; with the set and the distance it tells the whole card.
    pub seed: u64,
    /// What stands on it.
    pub optotype: OptotypeSet,
    /// From where it is read.
    pub distance_mm: Mm,
    /// From the largest to the smallest.
    pub rows: Vec<CardRow>,
}

impl NearCard {
    /// The smallest and the largest row, as sizes at the card's distance.
    #[must_use]
    pub fn range() -> [LogMar; 2] {
        [SMALLEST, LARGEST].map(|row| LogMar(f64::from(row) / 10.0))
    }

    /// What stands in the row of this size; nothing if there is none.
    #[must_use]
    pub fn row(&self, size: LogMar) -> &[Symbol] {
        let found = self
            .rows
            .iter()
            .find(|row| (row.log_mar.0 - size.0).abs() < 1e-6);
        found.map_or(&[], |row| &row.symbols)
    }

    /// The card of `seed`, to be read from `distance`: rows of five in steps of 0.1 logMAR, random,
    /// none twice in a row as long as the set has enough.
    ///
    /// The same seed always gives the same card, so that what was read can be typed in and scored
    /// long after it was printed.
    #[must_use]
    pub fn new(seed: u64, optotype: OptotypeSet, distance: Mm) -> NearCard {
        let row = |step: i32| {
            let log_mar = LogMar(f64::from(step) / 10.0);
            let height_mm = iso_8596::height(log_mar, distance);
            let number = u64::try_from(LARGEST - step).unwrap_or(0);
            CardRow {
                log_mar,
                height_mm,
                m_units: height_mm.0 / MM_PER_M_UNIT,
                symbols: drawn(optotype, &mut Draws::new(seed, Stream::Optotype, number)),
            }
        };
        NearCard {
            seed,
            optotype,
            distance_mm: distance,
            rows: (SMALLEST..=LARGEST).rev().map(row).collect(),
        }
    }
}

/// Five of a set, each only once while there are others.
fn drawn(set: OptotypeSet, draws: &mut Draws) -> Vec<Symbol> {
    let all = set.symbols();
    let mut left = all.clone();
    let mut row: Vec<Symbol> = Vec::new();
    for _ in 0..IN_A_ROW {
        if left.is_empty() {
            // Begun anew, and never the same side by side.
            left.extend(all.iter().filter(|one| row.last() != Some(*one)));
        }
        row.push(left.swap_remove(draws.below(left.len())));
    }
    row
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Heights at 40 cm from the tangent; and a hospital's printed conversion: 0.3 is 0.8 M, 0.4 is
    /// 1 M, 0.6 is 1.6 M, 0.7 is 2 M, 1.0 is 4 M (scribd 620612384, which rounds).
    #[test]
    fn heights_and_m_units_are_those_of_the_tables() {
        let card = NearCard::new(4, OptotypeSet::Sloan, NEAR_MM);
        let heights = [
            (1.0, 5.818),
            (0.9, 4.621),
            (0.7, 2.916),
            (0.4, 1.461),
            (0.3, 1.161),
            (0.0, 0.582),
            (-0.1, 0.462),
        ];
        let row = |log_mar: f64| {
            let found = card
                .rows
                .iter()
                .find(|row| (row.log_mar.0 - log_mar).abs() < 1e-9);
            found.unwrap()
        };
        for (log_mar, height_mm) in heights {
            assert!(
                (row(log_mar).height_mm.0 - height_mm).abs() < 0.0006,
                "{log_mar}"
            );
        }
        for (log_mar, m_units) in [
            (0.0, 0.4),
            (0.3, 0.8),
            (0.4, 1.0),
            (0.6, 1.6),
            (0.7, 2.0),
            (1.0, 4.0),
        ] {
            assert!(
                (row(log_mar).m_units / m_units - 1.0).abs() < 0.01,
                "{log_mar}"
            );
            // logMAR at 40 cm is log10(M / 0.4): acuity is distance in metres over M.
            assert!(((row(log_mar).m_units / 0.4).log10() - log_mar).abs() < 1e-4);
        }
        // Another distance changes the print, not the angle.
        let far = NearCard::new(4, OptotypeSet::Sloan, Mm(600.0));
        for (one, other) in card.rows.iter().zip(&far.rows) {
            assert_eq!((one.log_mar, &one.symbols), (other.log_mar, &other.symbols));
            assert!((other.height_mm.0 / one.height_mm.0 - 1.5).abs() < 1e-9);
        }
    }

    #[test]
    fn rows_are_random_repeat_with_their_seed_and_have_none_twice() {
        let mut seen = std::collections::HashSet::new();
        for set in OptotypeSet::ALL {
            for seed in 0..40 {
                let card = NearCard::new(seed, set, NEAR_MM);
                assert_eq!(card, NearCard::new(seed, set, NEAR_MM));
                for row in &card.rows {
                    let unlike: std::collections::HashSet<_> = row.symbols.iter().collect();
                    assert_eq!(row.symbols.len(), 5);
                    assert_eq!(unlike.len(), 5.min(set.choices() as usize), "{row:?}");
                    assert!(row.symbols.windows(2).all(|pair| pair[0] != pair[1]));
                }
                seen.insert(format!("{set:?} {:?}", card.rows[3].symbols));
            }
        }
        assert!(seen.len() > 150, "{}", seen.len());
    }
}
