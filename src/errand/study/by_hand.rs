//! What the series of a study said, beside guessing.

use crate::bedside::{SeriesFinding, Than};
use serde::{Deserialize, Serialize};

/// How often which statement was made of one kind of series.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct ByHandReport {
    /// Series of this kind.
    pub series: u32,
    /// Answers that count.
    pub answered: u32,
    /// Right answers; of triples, right parts.
    pub right: u32,
    /// Of how many.
    pub of: u32,
    /// Series with more right answers than guessing gives.
    pub more: u32,
    /// Series with fewer.
    pub fewer: u32,
    /// Series in which the sides differed.
    pub sides_stand_out: u32,
}

impl ByHandReport {
    pub(super) fn add(&mut self, found: &SeriesFinding) {
        let said = |than| {
            let chance = found.chance.as_ref();
            u32::from(chance.is_some_and(|chance| chance.than_guessing == than))
        };
        self.series += 1;
        self.answered += found.answered;
        self.right += found.right.k;
        self.of += found.right.n;
        self.more += said(Than::More);
        self.fewer += said(Than::Fewer);
        self.sides_stand_out += u32::from(found.sides.as_ref().is_some_and(|one| one.stands_out));
    }
}
