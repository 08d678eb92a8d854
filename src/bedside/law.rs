//! The law by which the targets of a series are drawn, and what guessing gives under it.
//!
//! All prompts but the last three are drawn independently, and drawn again as a whole while any
//! target comes less than half or more than twice as often as expected. The last three are drawn
//! freely. So the balance is bounded, and of the last three not even somebody who has counted
//! everything knows more than the shares.
//!
//! What guessing gives is computed under this very law and given the answers as they came: each
//! answer is right as often as its target is drawn, whatever habit the answers follow. Counting
//! all lists of targets that the law allows, with their probabilities, gives the exact chance of
//! so many right answers or more. It needs no assumption about how the person guesses, besides
//! that the answers tell nothing of the targets. Prompts without an answer that counts stay in the
//! list and add nothing.

use crate::quantity::Draws;
use crate::stimulus::SeriesKind;
use std::collections::BTreeMap;

/// So many prompts at the end are drawn freely.
const FREE: usize = 3;
/// After so many attempts the last list is taken as it is; the law accepts more than half of all.
const MOST_ATTEMPTS: u32 = 10_000;

/// The law of one series.
#[derive(Debug, Clone, PartialEq)]
pub struct Law {
    shares: Vec<f64>,
    bound: usize,
    free: usize,
    low: Vec<u32>,
    high: Vec<u32>,
}

/// The share of each target of a kind, in their order; touch is real twice as often as not, so
/// that each of six sites is touched often enough, and a third is without (our choice: between
/// a fifth and a third without a stimulus; no source).
fn shares(kind: SeriesKind) -> Vec<f64> {
    let count = kind.targets().len();
    match kind {
        SeriesKind::Touch => vec![2.0 / 3.0, 1.0 / 3.0],
        _ => vec![1.0 / count as f64; count],
    }
}

/// How often a part of a triple is guessed rightly: a number, a letter.
#[must_use]
pub fn share_guessed(sign: char) -> f64 {
    let set = if sign.is_ascii_digit() {
        crate::stimulus::DIGITS
    } else {
        crate::stimulus::LETTERS
    };
    1.0 / set.len() as f64
}

impl Law {
    /// The law of so many prompts of a kind; none where there is nothing to choose from.
    #[must_use]
    pub fn of(kind: SeriesKind, prompts: usize) -> Option<Law> {
        let shares = shares(kind);
        if shares.is_empty() {
            return None;
        }
        let bound = prompts.saturating_sub(FREE);
        let expected = |share: &f64| bound as f64 * share;
        Some(Law {
            low: shares
                .iter()
                .map(|s| (expected(s) / 2.0).floor() as u32)
                .collect(),
            high: shares
                .iter()
                .map(|s| (expected(s) * 2.0).ceil() as u32)
                .collect(),
            shares,
            bound,
            free: prompts - bound,
        })
    }

    /// The shares of the targets.
    #[must_use]
    pub fn shares(&self) -> &[f64] {
        &self.shares
    }

    /// Draws a list of targets, as places in the kind's list of them.
    pub fn draw(&self, draws: &mut Draws) -> Vec<usize> {
        let mut list = Vec::new();
        for _ in 0..MOST_ATTEMPTS {
            list = (0..self.bound).map(|_| self.one_target(draws)).collect();
            if self.allows(&self.counts(&list)) {
                break;
            }
        }
        list.extend((0..self.free).map(|_| self.one_target(draws)));
        list
    }

    /// One target, freely.
    pub fn one_target(&self, draws: &mut Draws) -> usize {
        let mut left = draws.uniform();
        for (target, share) in self.shares.iter().enumerate() {
            if left < *share {
                return target;
            }
            left -= share;
        }
        self.shares.len() - 1
    }

    fn counts(&self, list: &[usize]) -> Vec<u32> {
        let count = |target| list.iter().filter(|one| **one == target).count() as u32;
        (0..self.shares.len()).map(count).collect()
    }

    fn allows(&self, counts: &[u32]) -> bool {
        let bounds = self.low.iter().zip(&self.high);
        counts
            .iter()
            .zip(bounds)
            .all(|(n, (low, high))| low <= n && n <= high)
    }

    /// What somebody knows of the next target who knows the law and all targets before it: the
    /// probability of each.
    #[must_use]
    pub fn known_of_next(&self, before: &[usize]) -> Vec<f64> {
        if before.len() >= self.bound {
            return self.shares.clone();
        }
        let counts = self.counts(before);
        let left = self.bound - before.len() - 1;
        let weights: Vec<f64> = (0..self.shares.len())
            .map(|target| {
                let mut with = counts.clone();
                with[target] += 1;
                self.shares[target] * self.completed(&with, left)
            })
            .collect();
        let all: f64 = weights.iter().sum();
        weights.iter().map(|weight| weight / all).collect()
    }

    /// The probability that `left` more targets lead from these counts to what is allowed: the
    /// coefficient of the product of the targets' exponential series.
    fn completed(&self, counts: &[u32], left: usize) -> f64 {
        let mut sums = vec![0.0; left + 1];
        sums[0] = 1.0;
        for (target, share) in self.shares.iter().enumerate() {
            let mut next = vec![0.0; left + 1];
            for (had, sum) in sums.iter().enumerate() {
                let mut term = *sum;
                for more in 0..=left - had {
                    if more > 0 {
                        term *= share / more as f64;
                    }
                    let count = counts[target] + more as u32;
                    if self.low[target] <= count && count <= self.high[target] {
                        next[had + more] += term;
                    }
                }
            }
            sums = next;
        }
        (1..=left).fold(sums[left], |all, factor| all * factor as f64)
    }

    /// The probabilities of 0, 1, 2, … right answers, if the answers tell nothing of the targets.
    /// An answer is the place of a target, or one that is never right; none: no answer that
    /// counts.
    #[must_use]
    pub fn guessing(&self, answers: &[Option<Option<usize>>]) -> Vec<f64> {
        let bound = &answers[..self.bound.min(answers.len())];
        let free = &answers[bound.len()..];
        // How likely each set of counts is together with so many right answers; the counts of up
        // to eight targets lie in the bytes of one number, which keeps the order of the sums.
        let byte = |target: usize| 8 * target as u32;
        let mut states: BTreeMap<u64, Vec<f64>> = BTreeMap::new();
        states.insert(0, vec![1.0]);
        for answer in bound {
            let mut next: BTreeMap<u64, Vec<f64>> = BTreeMap::new();
            for (counts, rights) in &states {
                for (target, share) in self.shares.iter().enumerate() {
                    let with = counts + (1 << byte(target));
                    if with >> byte(target) & 0xFF > u64::from(self.high[target]) {
                        continue;
                    }
                    let right = usize::from(*answer == Some(Some(target)));
                    let sums = next.entry(with).or_default();
                    if sums.len() < rights.len() + right {
                        sums.resize(rights.len() + right, 0.0);
                    }
                    for (sum, p) in sums[right..].iter_mut().zip(rights) {
                        *sum += p * share;
                    }
                }
            }
            states = next;
        }
        let mut all = vec![0.0; bound.len() + 1];
        for (counts, rights) in &states {
            let count = |target| (counts >> byte(target) & 0xFF) as u32;
            let counts: Vec<u32> = (0..self.shares.len()).map(count).collect();
            if self.allows(&counts) {
                for (sum, p) in all.iter_mut().zip(rights) {
                    *sum += p;
                }
            }
        }
        let total: f64 = all.iter().sum();
        let mut rights: Vec<f64> = all.iter().map(|p| p / total).collect();
        for answer in free.iter().flatten() {
            let share = answer.map_or(0.0, |target| self.shares[target]);
            rights = with_one_more(&rights, share);
        }
        rights
    }
}

/// One more answer that is right with this probability.
pub(super) fn with_one_more(rights: &[f64], share: f64) -> Vec<f64> {
    let mut next = vec![0.0; rights.len() + 1];
    for (k, p) in rights.iter().enumerate() {
        next[k] += p * (1.0 - share);
        next[k + 1] += p * share;
    }
    next
}

/// At least and at most so many: the two tails of a distribution, capped at one.
pub(super) fn tails(distribution: &[f64], k: u32) -> [f64; 2] {
    let k = k as usize;
    let above: f64 = distribution.iter().skip(k).sum();
    let below: f64 = distribution.iter().take(k + 1).sum();
    [above.min(1.0), below.min(1.0)]
}
