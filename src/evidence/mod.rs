//! How far the answers hang together: what was presented to find out, what was seen, what would
//! be expected, how often this is wrong. Never why.
//!
//! This first version counts plain signs. It has no model of how people answer, so its
//! `log10_ratio` stays empty, and it makes no claim of fewer right answers than by chance: the
//! sizes and levels were chosen by what was answered, and such a series has no chance level.

mod hearing;
mod rates;
mod sight;

pub use rates::{ErrorRates, OTHER_CAUSES};

use crate::belief::binomial;
use crate::finding::HearingFindings;
use crate::journal::Record;
use serde::{Deserialize, Serialize};

/// How well the answers of a sense fit one person who answers what they perceive.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// They agree with each other within the stated limits.
    Consistent,
    /// Some do not agree.
    Mixed,
    /// They do not agree with one another.
    Inconsistent,
    /// There are too few to say.
    TooFewAnswers,
}

impl Grade {
    /// The grade as it is written.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Grade::Consistent => "consistent",
            Grade::Mixed => "mixed",
            Grade::Inconsistent => "inconsistent",
            Grade::TooFewAnswers => "too few answers",
        }
    }

    /// All of them.
    pub const ALL: [Grade; 4] = [
        Grade::Consistent,
        Grade::Mixed,
        Grade::Inconsistent,
        Grade::TooFewAnswers,
    ];
}

/// How one sign looks.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Fit {
    /// As expected.
    Fits,
    /// Outside of what is usual.
    Doubtful,
    /// Far outside.
    Misfits,
}

/// One sign: counts, and how likely as many would be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Check {
    /// What was looked at.
    pub name: String,
    /// So many …
    pub k: u32,
    /// … of so many.
    pub n: u32,
    /// Probability of as many or more where the expectation holds; none where there is no count.
    pub p: Option<f64>,
    /// What was seen.
    pub seen: String,
    /// What would be expected, and where that stands.
    pub expected: String,
    /// How it looks.
    pub fit: Fit,
}

/// Silent presentations that were answered.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Silent {
    /// Answered.
    pub answered: u32,
    /// Presented.
    pub of: u32,
    /// Exact (Clopper-Pearson) 95 % interval of the rate.
    pub interval_95: [f64; 2],
}

/// How far the answers of one sense hang together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Consistency {
    /// The grade; it stands together with `error_rates`, never alone.
    pub grade: Grade,
    /// Empty until there is a model of evidence.
    pub log10_ratio: Option<f64>,
    /// The same, as far as it may be shown.
    pub log10_ratio_shown: Option<f64>,
    /// Silent presentations; none for sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub silent: Option<Silent>,
    /// The signs.
    pub checks: Vec<Check>,
    /// How often the grade is wrong.
    pub error_rates: ErrorRates,
    /// The statement in words.
    pub statement: String,
}

/// Both senses; an untested one is absent.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Evidence {
    /// Hearing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hearing: Option<Consistency>,
    /// Sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sight: Option<Consistency>,
}

impl Evidence {
    /// Weighs the answers of a record.
    #[must_use]
    pub fn of(record: &Record, findings: &HearingFindings) -> Evidence {
        Evidence {
            hearing: hearing::consistency(record, findings),
            sight: sight::consistency(record),
        }
    }
}

impl Consistency {
    fn of(
        enough: bool,
        silent: Option<Silent>,
        checks: Vec<Check>,
        error_rates: ErrorRates,
    ) -> Consistency {
        let grade = grade(enough, &checks);
        let statement = statement(grade, &checks);
        Consistency {
            grade,
            log10_ratio: None,
            log10_ratio_shown: None,
            silent,
            checks,
            error_rates,
            statement,
        }
    }
}

/// One sign alone never makes `inconsistent`: two of them that are far outside do.
fn grade(enough: bool, checks: &[Check]) -> Grade {
    let count = |fit| checks.iter().filter(|check| check.fit == fit).count();
    let (misfits, doubtful) = (count(Fit::Misfits), count(Fit::Doubtful));
    if !enough {
        Grade::TooFewAnswers
    } else if misfits >= 2 {
        Grade::Inconsistent
    } else if misfits == 1 || doubtful >= 2 {
        Grade::Mixed
    } else {
        Grade::Consistent
    }
}

fn statement(grade: Grade, checks: &[Check]) -> String {
    let listed = |least: Fit| {
        let seen = checks.iter().filter(|check| check.fit >= least);
        seen.map(|check| format!("{} ({})", check.name, check.seen))
            .collect::<Vec<_>>()
            .join("; ")
    };
    let scope = "This describes agreement among the answers of this sitting only. It does not say \
                 why they agreed or did not.";
    match grade {
        Grade::Consistent => {
            format!("The answers agree with each other within the stated limits. {scope}")
        }
        Grade::Mixed => format!(
            "Some answers do not agree: {}. A repeat is advised. {scope}",
            listed(Fit::Doubtful)
        ),
        Grade::Inconsistent => format!(
            "The answers do not agree with one another: {}. The values are shown as obtained and \
             should not be read as thresholds. {OTHER_CAUSES} Objective tests and a repeat are \
             advised. {scope}",
            listed(Fit::Misfits)
        ),
        Grade::TooFewAnswers => format!("There are too few answers to say how they agree. {scope}"),
    }
}

/// A sign that counts `k` of `n` against an expected rate, with the shares from which on it looks
/// doubtful and misfitting.
fn counted(name: &str, (k, n): (u32, u32), rate: f64, limits: [f64; 2], words: [&str; 2]) -> Check {
    let share = if n == 0 {
        0.0
    } else {
        f64::from(k) / f64::from(n)
    };
    let [doubtful, misfits] = limits;
    let fit = match share {
        // One alone is never a sign.
        _ if k <= 1 => Fit::Fits,
        _ if share > misfits => Fit::Misfits,
        _ if share > doubtful => Fit::Doubtful,
        _ => Fit::Fits,
    };
    let [seen, expected] = words;
    Check {
        name: name.into(),
        k,
        n,
        p: (n > 0).then(|| binomial::upper_tail(k, n, rate)),
        seen: if n == 0 {
            format!("no {seen}: none shown")
        } else {
            format!("{k} of {n} {seen}")
        },
        expected: expected.into(),
        fit,
    }
}
