//! How often the grades are wrong.

use super::recalibration::Recalibration;
use crate::belief::binomial;
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
    /// Of those graded inconsistent, the share who do not, at least: by the ends of the exact 95 %
    /// intervals of both counts that make it least …
    pub at_least: f64,
    /// … and at most.
    pub at_most: f64,
}

/// A share counted in simulated visits, as it may be stated: one that was counted as none or as all is
/// no certainty, but a bound that so many visits give at 95 % (the rule of three; Hanley and
/// Lippman-Hand, JAMA 1983; 249:1743, from memory). In per cent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stated {
    /// None was counted.
    Under(f64),
    /// Some were.
    About(f64),
    /// All were.
    Over(f64),
}

impl Stated {
    /// A share (0..1) of so many visits.
    #[must_use]
    pub fn of(share: f64, visits: u32) -> Stated {
        let bound = 300.0 / f64::from(visits.max(3));
        match 100.0 * share {
            p if p < 1e-9 => Stated::Under(bound),
            p if p > 100.0 - 1e-9 => Stated::Over(100.0 - bound),
            p => Stated::About(p),
        }
    }
}

impl std::fmt::Display for Stated {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Stated::Under(p) => write!(f, "under {p:.1} %"),
            Stated::About(p) if *p < 1.0 => write!(f, "{p:.1} %"),
            Stated::About(p) => write!(f, "{p:.0} %"),
            Stated::Over(p) => write!(f, "over {:.0} %", p.floor()),
        }
    }
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
    /// What `inconsistent` means where 1, 5, 10 or 20 in 100 people are of other kinds; empty where no
    /// such visit was graded so, of which nothing can then be told.
    #[serde(default)]
    pub at_base_rates: Vec<AtBaseRate>,
    /// Simulated visits on which the rates of people who answer what they perceive rest …
    #[serde(default)]
    pub visits: u32,
    /// … and of others.
    #[serde(default)]
    pub other_visits: u32,
    /// Visits of each kind.
    #[serde(default)]
    pub visits_a_kind: u32,
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
        let kinds = table.inconsistent.len().max(1);
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
            at_base_rates: at_base_rates(
                (hits, table.other_visits),
                (genuine_inconsistent, table.perceiving_visits),
            ),
            visits: table.perceiving_visits,
            other_visits: table.other_visits,
            visits_a_kind: (table.perceiving_visits + table.other_visits) / kinds as u32,
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
            Stated::of(self.genuine_inconsistent, self.visits),
            Stated::of(self.worst_kind_inconsistent, self.visits_a_kind),
            self.worst_kind,
            Stated::of(self.genuine_mixed, self.visits),
            Stated::of(self.others_missed, self.other_visits),
            Stated::of(self.random_missed, self.visits_a_kind),
            Stated::of(self.raised_bar_missed, self.visits_a_kind),
            self.base_rate_sentence(),
        )
    }

    /// How often each kind is graded inconsistent, in words; for the method sheet.
    #[must_use]
    pub fn by_kind_sentence(&self) -> String {
        let kinds = self.inconsistent_by_kind.iter();
        let each: Vec<String> = kinds
            .map(|(kind, share)| {
                let share = Stated::of(*share, self.visits_a_kind);
                format!("{} {share}", kind.replace('_', " "))
            })
            .collect();
        format!(
            "Graded inconsistent, by kind ({}): {}",
            self.from,
            each.join(", ")
        )
    }

    /// What `inconsistent` means at several base rates, in words.
    #[must_use]
    pub fn base_rate_sentence(&self) -> String {
        if self.at_base_rates.is_empty() {
            return "No such visit of others was graded inconsistent, so what that grade would mean \
                    cannot be told"
                .into();
        }
        let told = |of: fn(&AtBaseRate) -> String| {
            let all: Vec<String> = self.at_base_rates.iter().map(of).collect();
            all.join(", ")
        };
        format!(
            "Where {} in 100 people do not answer what they perceive, {} in 100 of those graded \
             inconsistent do not, as far as so many visits tell; the others do, and are graded so \
             wrongly",
            told(|at| format!("{:.0}", 100.0 * at.base_rate)),
            told(|at| {
                // Rounded outwards: never surer than the counts.
                let ends = [(100.0 * at.at_least).floor(), (100.0 * at.at_most).ceil()];
                format!("{:.0} to {:.0}", ends[0], ends[1])
            }),
        )
    }

    /// The most, at 95 %, of people who answer what they perceive that meet a grade other than
    /// `consistent`, 0..1.
    #[must_use]
    pub fn genuine_adverse_at_most(&self) -> f64 {
        ends(self.genuine_inconsistent + self.genuine_mixed, self.visits)[1]
    }
}

/// The ends of the exact 95 % interval of a share that was counted in so many visits. They are taken as
/// of one sort; in truth as many come of each kind, which makes the interval a little too wide.
fn ends(share: f64, visits: u32) -> [f64; 2] {
    let counted = (share * f64::from(visits)).round() as u32;
    binomial::interval(counted, visits, 0.95)
}

/// What `inconsistent` means by (share, visits) of others and of people who answer what they perceive.
fn at_base_rates(hits: (f64, u32), wrong: (f64, u32)) -> Vec<AtBaseRate> {
    if hits.0 < 1e-9 {
        return Vec::new();
    }
    let (hits, wrong) = (ends(hits.0, hits.1), ends(wrong.0, wrong.1));
    let at = |base_rate: f64| AtBaseRate {
        base_rate,
        at_least: of_those_graded(base_rate, hits[0], wrong[1]),
        at_most: of_those_graded(base_rate, hits[1], wrong[0]),
    };
    [0.01, 0.05, 0.10, 0.20].map(at).to_vec()
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

#[cfg(test)]
mod tests {
    use super::*;

    /// An earlier simulation of ours in another program, at a specificity of 99 % (hits 67 %):
    /// 40, 78, 88 and 94 %.
    #[test]
    fn what_a_grade_means_at_a_base_rate_is_bayes_rule() {
        for (base_rate, published) in [(0.01, 0.40), (0.05, 0.78), (0.10, 0.88), (0.20, 0.94)] {
            let of = of_those_graded(base_rate, 0.67, 0.01);
            assert!((of - published).abs() < 0.006, "{base_rate}: {of}");
        }
        assert!(of_those_graded(0.1, 0.0, 0.0).abs() < f64::EPSILON);
    }

    /// None of 200 leaves up to 1.83 % open (closed form of the exact bound, 1 - 0.025^(1/200)), and of
    /// 140 others 19 % is at least 12.9 % (Clopper and Pearson, by scipy.stats.binomtest).
    #[test]
    fn none_counted_is_no_certainty() {
        let at = at_base_rates((27.0 / 140.0, 140), (0.0, 200));
        let wrong = 1.0 - 0.025_f64.powf(1.0 / 200.0);
        let least = 0.01 * 0.131_112 / (0.01 * 0.131_112 + 0.99 * wrong);
        assert!((at[0].at_least - least).abs() < 1e-4, "{at:?}");
        assert!((at[0].at_most - 1.0).abs() < f64::EPSILON);
        assert!(at_base_rates((0.0, 90), (0.0, 210)).is_empty());
        assert_eq!(Stated::of(0.0, 300).to_string(), "under 1.0 %");
        assert_eq!(Stated::of(1.0, 70).to_string(), "over 95 %");
        assert_eq!(Stated::of(0.004, 1000).to_string(), "0.4 %");
    }
}
