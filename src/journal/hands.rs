//! Who did what: the hands that a visit went through, what was remarked, and what was corrected.

use super::event::{Answer, Body, Event};
use super::trial::Outcome;
use crate::quantity::Moment;
use serde::{Deserialize, Serialize};

/// Somebody who acts from here on, known to the record by codes only.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Acting {
    /// The code of whoever acts.
    pub user: String,
    /// `examiner`, `supervisor` or `trainee`.
    pub role: String,
    /// The code of whoever answers for a trainee.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supervisor: Option<String>,
}

/// What somebody remarked or corrected.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    /// When it was entered.
    pub at: Moment,
    /// Whether the visit was over by then.
    pub late: bool,
    /// Who entered it, if that is known.
    pub by: Option<Acting>,
    /// What.
    pub what: Remarked,
}

/// The kinds of remark.
#[derive(Debug, Clone, PartialEq)]
pub enum Remarked {
    /// A note.
    Note(String),
    /// A correction; what stood before stays.
    Amendment {
        /// Of which presentation.
        n: u32,
        /// What had become of it; none of a prompt by hand.
        before: Option<Outcome>,
        /// What the answer was.
        answer: Answer,
        /// Why.
        reason: String,
    },
}

/// Who did each of the events, one for one: whoever the latest `acts` before it names. What came
/// before the first is nobody's known.
#[must_use]
pub fn hands(events: &[Event]) -> Vec<Option<&Acting>> {
    let mut acting = None;
    let of_each = events.iter().map(|event| {
        if let Body::Acts(who) = &event.body {
            acting = Some(who);
        }
        acting
    });
    of_each.collect()
}
