//! What a ratio of the model was worth among simulated people, where its grades begin, and how often
//! they are wrong: data, made by `tests/long/answers`.

use super::{Extent, Grade};
use crate::quantity::Sense;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// The figures of one sense and of what was presented.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recalibration {
    /// log10 of the ratio as the model has it, rising …
    raw: Vec<f64>,
    /// … and log10 of what it was worth.
    log10: Vec<f64>,
    /// Over this raw log10 the grade is mixed, …
    pub mixed_from: f64,
    /// … and over this inconsistent.
    pub inconsistent_from: f64,
    /// Visits of people who answer what they perceive, on which the shares rest …
    pub perceiving_visits: u32,
    /// … and of others.
    pub other_visits: u32,
    /// The kind of people who answer what they perceive that is most often graded inconsistent.
    pub worst_kind: String,
    /// The kinds that do not.
    pub others: Vec<String>,
    /// Share graded inconsistent, by kind.
    pub inconsistent: BTreeMap<String, f64>,
    /// Share graded mixed, by kind.
    pub mixed: BTreeMap<String, f64>,
}

type Tables = BTreeMap<(Sense, Extent), Recalibration>;

static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let read = |sense, extent, text: &str| {
        // A test reads them all; a table that could not be read would grade nothing.
        let table = toml::from_str(text).unwrap_or_default();
        ((sense, extent), table)
    };
    Tables::from([
        read(
            Sense::Hearing,
            Extent::Measuring,
            include_str!("recalibration/hearing-measuring.toml"),
        ),
        read(
            Sense::Hearing,
            Extent::Sweeps,
            include_str!("recalibration/hearing-sweeps.toml"),
        ),
        read(
            Sense::Hearing,
            Extent::Choices,
            include_str!("recalibration/hearing-choices.toml"),
        ),
        read(
            Sense::Sight,
            Extent::Measuring,
            include_str!("recalibration/sight-measuring.toml"),
        ),
        read(
            Sense::Sight,
            Extent::Choices,
            include_str!("recalibration/sight-choices.toml"),
        ),
    ])
});

impl Recalibration {
    /// The table of a sense and of what was presented; none if there is none that can be read.
    #[must_use]
    pub fn of(sense: Sense, extent: Extent) -> Option<&'static Recalibration> {
        let table = TABLES.get(&(sense, extent));
        table.filter(|table| !table.raw.is_empty() && table.raw.len() == table.log10.len())
    }

    /// log10 of what a ratio is worth: linear between the knots, constant beyond them. It is never more
    /// than the model itself has it: among simulated people a poor ear or eye is rarer than in a clinic.
    #[must_use]
    pub fn log10(&self, raw: f64) -> f64 {
        let worth = self.among_simulated(raw);
        if raw > 0.0 { worth.min(raw) } else { worth }
    }

    fn among_simulated(&self, raw: f64) -> f64 {
        let above = self.raw.iter().position(|knot| *knot >= raw);
        match above {
            Some(0) => self.log10[0],
            None => self.log10.last().copied().unwrap_or(0.0),
            Some(at) => {
                let (from, to) = (self.raw[at - 1], self.raw[at]);
                let share = (raw - from) / (to - from);
                self.log10[at - 1] + share * (self.log10[at] - self.log10[at - 1])
            }
        }
    }

    /// The grade of a ratio, where there are enough answers.
    #[must_use]
    pub fn grade(&self, raw: f64) -> Grade {
        if raw > self.inconsistent_from {
            Grade::Inconsistent
        } else if raw > self.mixed_from {
            Grade::Mixed
        } else {
            Grade::Consistent
        }
    }

    /// Mean share over the kinds of one mixture.
    pub(super) fn mean(&self, shares: &BTreeMap<String, f64>, others: bool) -> f64 {
        let of: Vec<f64> = shares
            .iter()
            .filter(|(kind, _)| self.others.contains(kind) == others)
            .map(|(_, share)| *share)
            .collect();
        of.iter().sum::<f64>() / of.len().max(1) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_can_be_read_and_rises() {
        for (sense, extent) in TABLES.keys() {
            let table = Recalibration::of(*sense, *extent).unwrap();
            let rises = |of: &[f64]| of.windows(2).all(|two| two[0] <= two[1]);
            assert!(
                rises(&table.raw) && rises(&table.log10),
                "{sense} {extent:?}"
            );
            assert!(table.mixed_from <= table.inconsistent_from);
            assert!(table.inconsistent.contains_key(&table.worst_kind));
            assert_eq!(
                table.grade(table.inconsistent_from + 0.1),
                Grade::Inconsistent
            );
            assert_eq!(table.grade(table.mixed_from - 0.1), Grade::Consistent);
            for at in 0..table.raw.len() {
                assert!((table.among_simulated(table.raw[at]) - table.log10[at]).abs() < 1e-9);
                assert!(table.raw[at] <= 0.0 || table.log10(table.raw[at]) <= table.raw[at]);
            }
        }
    }
}
