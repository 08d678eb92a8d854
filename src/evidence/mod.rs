//! How far the answers hang together: what was presented to find out, what was seen, what would
//! be expected, how often this is wrong. Never why.
//!
//! One ratio sets the grade of a sense: how much better people who do not answer what they perceive
//! explain all its answers than people who do. What is counted beside it is there to be read line by
//! line, and sets nothing. How exactly a figure is known is another matter (`finding/`).

mod hearing;
pub mod model;
mod rates;
mod recalibration;
mod sight;
mod sight_model;
mod words;

pub use rates::{AtBaseRate, ErrorRates, FROM, OTHER_CAUSES, Stated};
pub use recalibration::Recalibration;
pub use words::{SCOPE, left_out, limits, next_steps};

use crate::belief::binomial;
use crate::finding::HearingFindings;
use crate::journal::Record;
use crate::quantity::Sense;
use serde::{Deserialize, Serialize};

/// What was presented beyond measuring: it decides how much a ratio is worth, and how often its
/// grade is wrong.
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
pub enum Extent {
    /// Nothing but silent presentations and second measurements.
    Measuring,
    /// Sweeps, and tones in both ears.
    Sweeps,
    /// Forced choices as well.
    Choices,
}

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

/// What the ratio would be worth without one sort of presentations.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct LeftOut {
    /// Which sort.
    pub what: String,
    /// log10 of the ratio without it, recalibrated.
    pub log10_ratio: f64,
    /// What the grade would be.
    pub grade: Grade,
}

/// How far the answers of one sense hang together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Consistency {
    /// The grade; it stands together with `error_rates`, never alone.
    pub grade: Grade,
    /// What was presented; the error rates are those of as much.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extent: Option<Extent>,
    /// log10 of how much better people who do not answer what they perceive explain the answers than
    /// people who do, as simulated people have it; for the method sheet only.
    pub log10_ratio: Option<f64>,
    /// The same before it was recalibrated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub log10_raw: Option<f64>,
    /// The same, as far as it may be shown: within two decades.
    pub log10_ratio_shown: Option<f64>,
    /// What leaving out each sort of presentations would change.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// Silent presentations; none for sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub silent: Option<Silent>,
    /// What was counted; it sets no grade.
    pub checks: Vec<Check>,
    /// Where function is at least this good, whatever was admitted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub at_least: Vec<String>,
    /// How often the grade is wrong.
    pub error_rates: ErrorRates,
    /// The statement in words.
    pub statement: String,
    /// What it cannot tell; it stands beside every grade, with [`OTHER_CAUSES`].
    #[serde(default)]
    pub limits: String,
    /// What may be done next; empty where nothing need be.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub next_steps: String,
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
    /// How likely somebody who answers what they perceive meets any grade but `consistent`, or a
    /// series at the bedside with fewer right replies than guessing gives, over all that was done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub any_adverse: Option<f64>,
    /// The same by the upper ends of the 95 % intervals of what was counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub any_adverse_at_most: Option<f64>,
}

/// Series that have fewer right replies than guessing gives, over all series together (`bedside/`).
const ANY_SERIES: f64 = 0.05;
/// What a ratio is shown within, log10.
const SHOWN_WITHIN: f64 = 2.0;

impl Evidence {
    /// Weighs the answers of a record.
    #[must_use]
    pub fn of(record: &Record, findings: &HearingFindings) -> Evidence {
        let hearing = hearing::consistency(record, findings);
        let sight = sight::consistency(record);
        let series = if record.bedside().series().is_empty() {
            0.0
        } else {
            ANY_SERIES
        };
        let any = |of_sense: fn(&ErrorRates) -> f64| {
            let senses = [&hearing, &sight].into_iter().flatten();
            let spared = senses.map(|one| 1.0 - of_sense(&one.error_rates));
            (hearing.is_some() || sight.is_some())
                .then(|| 1.0 - (1.0 - series) * spared.product::<f64>())
        };
        let any_adverse = any(|rates| rates.genuine_inconsistent + rates.genuine_mixed);
        let any_adverse_at_most = any(ErrorRates::genuine_adverse_at_most);
        Evidence {
            hearing,
            sight,
            any_adverse,
            any_adverse_at_most,
        }
    }

    /// How likely any adverse grade is, in words.
    #[must_use]
    pub fn any_adverse_sentence(&self) -> Option<String> {
        let (share, at_most) = (self.any_adverse?, self.any_adverse_at_most?);
        Some(format!(
            "Over all that was done in this visit {:.0} (at most {:.0}, at 95 %) in 100 people who answer \
             what they perceive meet a grade other than consistent, or a series with fewer right \
             replies than guesses ({FROM})",
            100.0 * share,
            (100.0 * at_most).ceil()
        ))
    }
}

/// What a consistency is made of.
struct Parts {
    sense: Sense,
    extent: Extent,
    enough: bool,
    log10_raw: Option<f64>,
    left_out: Vec<LeftOut>,
    silent: Option<Silent>,
    checks: Vec<Check>,
    at_least: Vec<String>,
}

impl Consistency {
    /// The grade is the ratio's alone.
    fn of(parts: Parts) -> Consistency {
        let table = Recalibration::of(parts.sense, parts.extent);
        let ratio = table.zip(parts.log10_raw).filter(|_| parts.enough);
        let grade = ratio.map_or(Grade::TooFewAnswers, |(table, raw)| table.grade(raw));
        let log10_ratio = ratio.map(|(table, raw)| table.log10(raw));
        let statement = words::statement(grade, &parts.checks, &parts.at_least);
        Consistency {
            grade,
            extent: Some(parts.extent),
            log10_ratio,
            log10_raw: parts.log10_raw,
            log10_ratio_shown: log10_ratio.map(|log10| log10.clamp(-SHOWN_WITHIN, SHOWN_WITHIN)),
            left_out: parts.left_out,
            silent: parts.silent,
            checks: parts.checks,
            at_least: parts.at_least,
            error_rates: table.map(ErrorRates::of).unwrap_or_default(),
            statement,
            limits: limits(parts.sense).into(),
            next_steps: next_steps(parts.sense, grade).into(),
        }
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
