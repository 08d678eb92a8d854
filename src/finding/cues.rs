//! What a finding gives reason to look into. A cue says which criterion is met, never a cause.

use super::hearing::HearingFindings;
use super::hearing_cues;
use super::sight::SightFindings;
use super::sight_cues;
use crate::journal::Record;
use serde::{Deserialize, Serialize};

/// How soon a cue wants somebody's attention.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Urgency {
    /// To know when reading the figures.
    Note,
    /// An ordinary referral.
    Routine,
    /// Soon; local rules say how soon.
    Soon,
    /// The same day, if what the cue says holds.
    Urgent,
}

/// Something to look into.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Cue {
    /// Which criterion is met.
    pub what: String,
    /// By which figures.
    pub why: String,
    /// Where the criterion stands.
    pub source: String,
    /// How soon.
    pub urgency: Urgency,
}

/// All cues of a visit. Those that rest on figures are left out where the answers of the sense do
/// not agree with one another, since its figures are no thresholds then.
#[must_use]
pub fn cues(
    record: &Record,
    hearing: Option<&HearingFindings>,
    sight: Option<&SightFindings>,
) -> Vec<Cue> {
    let mut cues = Vec::new();
    if let Some(hearing) = hearing {
        cues.extend(hearing_cues::cues(record, hearing));
    }
    // What was told holds whatever became of the figures.
    match sight {
        Some(sight) => cues.extend(sight_cues::cues(record, sight, true)),
        None => cues.extend(sight_cues::cues(record, &SightFindings::of(record), false)),
    }
    cues
}
