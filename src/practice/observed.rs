//! What only somebody who stands by can see: ticked by the instructor, and how far two raters agree.

use crate::calibration::{FieldError, FileError, read_toml, within};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The items that an observer ticks: name, words (after guidelines of tone
/// audiometry and teaching guides of acuity, from memory).
pub const ITEMS: [(&str, &str); 10] = [
    (
        "hands",
        "washes hands; cushions, tips and cover are clean or new",
    ),
    ("identity", "makes sure who it is by two items"),
    (
        "sides",
        "the right earphone is on the right ear; glasses and earrings are off",
    ),
    (
        "out_of_sight",
        "the person sees neither hands nor screen nor their mirror image",
    ),
    ("no_nods", "gives no sign when a tone comes"),
    (
        "understood",
        "makes sure that the person has understood, in a language of theirs",
    ),
    (
        "cover",
        "covers the eye with a cover, not with fingers, and without pressure",
    ),
    ("seat", "keeps the seat and the distance fixed"),
    (
        "kind",
        "is patient and kind, in right and wrong answers alike",
    ),
    ("close", "explains what comes next, and cleans up"),
];

/// How an item was done: 0 not, 1 partly, 2 right.
pub type Score = u8;

/// What one rater ticked for one exercise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Observed {
    /// Version of the format: 1.
    pub format: u32,
    /// Who ticked.
    pub rater: String,
    /// The head of the journal that it belongs to.
    pub journal_head: String,
    /// Item and score.
    pub scores: BTreeMap<String, Score>,
}

impl Observed {
    /// Reads what a rater ticked; `file` is named in errors.
    ///
    /// # Errors
    /// Names the file, the field and what was expected of it.
    pub fn from_toml(text: &str, file: &str) -> Result<Observed, FileError> {
        let observed: Observed = read_toml(text, file)?;
        observed.check().map_err(|error| error.in_file(file))?;
        Ok(observed)
    }

    fn check(&self) -> Result<(), FieldError> {
        within("format", f64::from(self.format), 1.0, 1.0)?;
        for (item, score) in &self.scores {
            let field = format!("scores.{item}");
            if !ITEMS.iter().any(|(name, _)| name == item) {
                let known: Vec<&str> = ITEMS.iter().map(|(name, _)| *name).collect();
                let problem = format!("expected one of {}", known.join(", "));
                return Err(FieldError::new(field, problem));
            }
            within(&field, f64::from(*score), 0.0, 2.0)?;
        }
        Ok(())
    }
}

/// How far two raters agree.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Agreement {
    /// Items that both ticked.
    pub items: usize,
    /// Share of them that they ticked alike.
    pub alike: f64,
    /// Cohen's kappa; none where chance alone would agree always.
    pub kappa: Option<f64>,
}

/// Cohen's kappa of pairs of scores, not weighted (Cohen 1960); none of no pair.
#[must_use]
pub fn kappa(pairs: &[(Score, Score)]) -> Option<Agreement> {
    if pairs.is_empty() {
        return None;
    }
    let n = pairs.len() as f64;
    let alike = pairs.iter().filter(|(a, b)| a == b).count() as f64 / n;
    let share = |wanted: &dyn Fn(&(Score, Score)) -> bool| {
        pairs.iter().filter(|pair| wanted(pair)).count() as f64 / n
    };
    let chance: f64 = (0..=2)
        .map(|score| share(&|pair| pair.0 == score) * share(&|pair| pair.1 == score))
        .sum();
    Some(Agreement {
        items: pairs.len(),
        alike,
        kappa: (chance < 1.0).then(|| (alike - chance) / (1.0 - chance)),
    })
}

impl std::fmt::Display for Agreement {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let alike = 100.0 * self.alike;
        let items = self.items;
        write!(
            f,
            "{items} items ticked by both, {alike:.0} % alike, Cohen's kappa "
        )?;
        match self.kappa {
            Some(kappa) => write!(f, "{kappa:.2}"),
            None => f.write_str("cannot be told, all are alike"),
        }
    }
}

impl Agreement {
    /// Of what two raters ticked for the same exercises.
    #[must_use]
    pub fn of(one: &[Observed], other: &[Observed]) -> Option<Agreement> {
        let mut pairs = Vec::new();
        for first in one {
            let second = other
                .iter()
                .find(|second| second.journal_head == first.journal_head);
            for (item, score) in &first.scores {
                if let Some(theirs) = second.and_then(|second| second.scores.get(item)) {
                    pairs.push((*score, *theirs));
                }
            }
        }
        kappa(&pairs)
    }
}
