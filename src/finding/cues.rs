//! What a finding gives reason to look into. A cue says which criterion is met, never a cause.

use super::hearing::HearingFindings;
use super::hearing_cues;
use super::sight::{SightFinding, SightFindings, SightStatus};
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
    if let Some(sight) = sight {
        cues.extend(reversal(sight));
        cues.extend(eyes_apart(sight));
        cues.extend(below_half(sight));
    }
    cues
}

fn reversal(sight: &SightFindings) -> Option<Cue> {
    let mirrored = |eye: &SightFinding| {
        eye.status == SightStatus::Stopped && eye.reason.as_deref() == Some(super::sight::REVERSED)
    };
    [&sight.right, &sight.left, &sight.both]
        .into_iter()
        .any(mirrored)
        .then(|| Cue {
            what: "left and right were answered the other way round throughout".into(),
            why: "all answers to clearly visible optotypes that point sideways were as in a mirror"
                .into(),
            source: "a matter of set-up (a mirror in the light's path) or of understanding; says \
                 nothing about how the answers hang together"
                .into(),
            urgency: Urgency::Note,
        })
}

/// The acuity of an eye as far as it is known: where the screen's range ended, its bound.
fn acuity(eye: &SightFinding) -> Option<f64> {
    match eye.status {
        SightStatus::WorseThanLargestShown | SightStatus::BetterThanSmallestShown => {
            eye.bound_log_mar
        }
        _ => eye.log_mar,
    }
}

/// Two lines, 0.2 logMAR, between the eyes.
fn eyes_apart(sight: &SightFindings) -> Option<Cue> {
    let (right, left) = (acuity(&sight.right)?, acuity(&sight.left)?);
    ((right - left).abs() >= 0.2).then(|| Cue {
        what: "the eyes differ by two lines or more".into(),
        why: format!("right {right:.2}, left {left:.2} logMAR"),
        source: "usual rule of child screening, from memory; healthy eyes differ by 0.04, \
                 SD 0.06 logMAR (Drover 2008)"
            .into(),
        urgency: Urgency::Routine,
    })
}

fn below_half(sight: &SightFindings) -> Option<Cue> {
    const HALF_LOG_MAR: f64 = 0.301;
    let (right, left) = (acuity(&sight.right)?, acuity(&sight.left)?);
    let better = if right <= left {
        &sight.right
    } else {
        &sight.left
    };
    let log_mar = right.min(left);
    let u = better.u_log_mar.unwrap_or(0.0);
    let near = if log_mar - u < HALF_LOG_MAR {
        "; the limit lies within the uncertainty"
    } else {
        ""
    };
    (log_mar > HALF_LOG_MAR).then(|| Cue {
        what: "below 6/12 in the better eye, with the correction worn".into(),
        why: format!("better eye {log_mar:.2} ± {u:.2} logMAR, the limit is 0.30{near}"),
        source: "WHO/ICD-11 categories of vision impairment, presenting acuity".into(),
        urgency: Urgency::Routine,
    })
}
