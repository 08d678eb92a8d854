//! How often the grades are wrong.

use super::recalibration::Recalibration;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Beside every rate.
pub const FROM: &str = "from simulated people, not measured on people";

/// Why answers may not agree, of which this test knows nothing.
pub const OTHER_CAUSES: &str = "Possible reasons include misunderstanding, tiredness, \
    attention, ringing in the ears, illness, language and others; this test cannot tell them apart.";

/// How often somebody is rightly told by a grade, where so many are of the other kinds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct AtBaseRate {
    /// The share of people who do not answer what they perceive.
    pub base_rate: f64,
    /// Of those graded inconsistent, the share who do not.
    pub of_inconsistent: f64,
}

/// How often a grade comes out for people of known kinds.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct ErrorRates {
    /// Share of people who answer what they perceive that are graded `inconsistent`: the mean of
    /// their kinds.
    pub genuine_inconsistent: f64,
    /// Share of them that are graded `mixed`.
    pub genuine_mixed: f64,
    /// The kind of them that is graded `inconsistent` most often …
    pub worst_kind: String,
    /// … and how often.
    pub worst_kind_inconsistent: f64,
    /// Share of people of other kinds that are not graded `inconsistent`: the mean of the kinds.
    pub others_missed: f64,
    /// Share of people who answer at random that are not.
    pub random_missed: f64,
    /// Share of people who answer only above a bar of their own that are not.
    pub raised_bar_missed: f64,
    /// Share that are graded `inconsistent`, by kind; for the method sheet.
    #[serde(default)]
    pub inconsistent_by_kind: BTreeMap<String, f64>,
    /// What `inconsistent` means where 1, 5, 10 or 20 in 100 people are of other kinds.
    #[serde(default)]
    pub at_base_rates: Vec<AtBaseRate>,
    /// Simulated visits on which the rates of people who answer what they perceive rest …
    #[serde(default)]
    pub visits: u32,
    /// … and of others.
    #[serde(default)]
    pub other_visits: u32,
    /// Where the rates come from and what they are worth.
    pub from: String,
}

impl ErrorRates {
    /// The rates of what was presented.
    pub(super) fn of(table: &Recalibration) -> ErrorRates {
        let share = |names: &[&str]| {
            let found = names.iter().find_map(|name| table.inconsistent.get(*name));
            1.0 - found.copied().unwrap_or(0.0)
        };
        let genuine_inconsistent = table.mean(&table.inconsistent, false);
        let hits = table.mean(&table.inconsistent, true);
        let at = |base_rate: f64| AtBaseRate {
            base_rate,
            of_inconsistent: of_those_graded(base_rate, hits, genuine_inconsistent),
        };
        ErrorRates {
            genuine_inconsistent,
            genuine_mixed: table.mean(&table.mixed, false),
            worst_kind: table.worst_kind.replace('_', " "),
            worst_kind_inconsistent: table
                .inconsistent
                .get(&table.worst_kind)
                .copied()
                .unwrap_or(0.0),
            others_missed: 1.0 - hits,
            random_missed: share(&["at_random", "random_eyes"]),
            raised_bar_missed: share(&["bar", "bar_on_the_wall"]),
            inconsistent_by_kind: table.inconsistent.clone(),
            at_base_rates: [0.01, 0.05, 0.10, 0.20].map(at).to_vec(),
            visits: table.perceiving_visits,
            other_visits: table.other_visits,
            from: FROM.into(),
        }
    }

    /// The rates in words.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!(
            "error rates ({}; {} and {} visits with the same sorts of presentations): of people who answer \
             what they perceive {} are graded inconsistent ({} of the kind '{}', where it is most) \
             and {} mixed; not graded inconsistent are {} of others, among them {} of people who \
             answer at random and {} of those who answer only above a bar of their own. {}",
            self.from,
            self.visits,
            self.other_visits,
            percent(self.genuine_inconsistent, self.visits),
            percent(self.worst_kind_inconsistent, self.visits / 10),
            self.worst_kind,
            percent(self.genuine_mixed, self.visits),
            percent(self.others_missed, self.other_visits),
            percent(self.random_missed, self.other_visits / 7),
            percent(self.raised_bar_missed, self.other_visits / 7),
            self.base_rate_sentence(),
        )
    }

    /// What `inconsistent` means at several base rates, in words.
    #[must_use]
    pub fn base_rate_sentence(&self) -> String {
        let base: Vec<String> = self
            .at_base_rates
            .iter()
            .map(|at| format!("{:.0}", 100.0 * at.base_rate))
            .collect();
        let of: Vec<String> = self
            .at_base_rates
            .iter()
            .map(|at| format!("{:.0}", 100.0 * at.of_inconsistent))
            .collect();
        format!(
            "Where {} in 100 people do not answer what they perceive, {} in 100 of those graded \
             inconsistent do not; the others do, and are graded so wrongly",
            base.join(", "),
            of.join(", ")
        )
    }
}

/// Bayes' rule: the share of those graded that are graded rightly.
fn of_those_graded(base_rate: f64, hits: f64, false_positives: f64) -> f64 {
    let graded = base_rate * hits + (1.0 - base_rate) * false_positives;
    if graded > 0.0 {
        base_rate * hits / graded
    } else {
        0.0
    }
}

/// A share of so many visits in per cent; a rate that was counted as none or all is no certainty: then
/// it is the bound that so many visits give at 95 % (3 of them, the rule of three).
fn percent(share: f64, visits: u32) -> String {
    let bound = 300.0 / f64::from(visits.max(3));
    match 100.0 * share {
        p if p < 1e-9 => format!("under {bound:.1} %"),
        p if p > 100.0 - 1e-9 => format!("over {:.0} %", 100.0 - bound.ceil()),
        p if p < 1.0 => format!("{p:.1} %"),
        p => format!("{p:.0} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reference's table at a specificity of 99 % (baselines 2.6, the mixture of kinds: hits 67 %):
    /// 40, 78, 88 and 94 %.
    #[test]
    fn what_a_grade_means_at_a_base_rate_is_bayes_rule() {
        for (base_rate, published) in [(0.01, 0.40), (0.05, 0.78), (0.10, 0.88), (0.20, 0.94)] {
            let of = of_those_graded(base_rate, 0.67, 0.01);
            assert!((of - published).abs() < 0.006, "{base_rate}: {of}");
        }
        assert!(of_those_graded(0.1, 0.0, 0.0).abs() < f64::EPSILON);
    }
}
