//! What a finding gives reason to look into. A cue says which criterion is met, never a cause.

use super::hearing::{HearingFindings, HearingStatus, Masking};
use super::sight::{SightFinding, SightFindings, SightStatus};
use crate::quantity::{Ear, Hz, Level};
use serde::{Deserialize, Serialize};

/// How soon a cue wants somebody's attention.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Urgency {
    /// To know when reading the figures.
    Note,
    /// An ordinary referral.
    Routine,
    /// Soon; local rules say how soon.
    Soon,
}

/// Something to look into.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
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
pub fn cues(hearing: Option<&HearingFindings>, sight: Option<&SightFindings>) -> Vec<Cue> {
    let mut cues = Vec::new();
    if let Some(hearing) = hearing {
        cues.extend(cross_hearing(hearing));
        cues.extend(asymmetry(hearing));
        cues.extend(poor_hearing(hearing));
    }
    if let Some(sight) = sight {
        cues.extend(reversal(sight));
        cues.extend(eyes_apart(sight));
        cues.extend(below_half(sight));
    }
    cues
}

fn cross_hearing(hearing: &HearingFindings) -> Option<Cue> {
    let all: Vec<_> = hearing
        .all()
        .filter(|(_, one)| one.masking == Some(Masking::NeededNotDone))
        .map(|(ear, one)| format!("{ear} {}", one.hz))
        .collect();
    (!all.is_empty()).then(|| Cue {
        what: "the other ear may have answered; masking was needed and not done".into(),
        why: all.join(", "),
        source: "ISO 8253-1:2010; difference of the air thresholds at or above the least \
                 interaural attenuation of the earphone type"
            .into(),
        urgency: Urgency::Note,
    })
}

/// At least 15 dB between the ears at two adjacent frequencies.
fn asymmetry(hearing: &HearingFindings) -> Option<Cue> {
    const BY_DB: f64 = 15.0;
    const HZ: [f64; 5] = [500.0, 1000.0, 2000.0, 4000.0, 8000.0];
    let gaps: Vec<_> = HZ.iter().map(|hz| gap_db(hearing, Hz(*hz))).collect();
    gaps.windows(2).zip(HZ.windows(2)).find_map(|(gap, hz)| {
        let (Some(low), Some(high)) = (gap[0], gap[1]) else {
            return None;
        };
        let apart = low.abs() >= BY_DB && high.abs() >= BY_DB && low * high > 0.0;
        let worse = if low > 0.0 { Ear::Right } else { Ear::Left };
        apart.then(|| Cue {
            what: "asymmetry: at least 15 dB between the ears at two adjacent frequencies".into(),
            why: format!(
                "{worse} ear poorer by {:.0} dB at {} Hz and {:.0} dB at {} Hz",
                low.abs(),
                hz[0],
                high.abs(),
                hz[1]
            ),
            source: "NICE NG98 (from memory); sensitivity of such criteria 50 to 100 %, \
                     specificity 23 to 83 %"
                .into(),
            urgency: Urgency::Routine,
        })
    })
}

/// Right threshold minus left one, dB.
fn gap_db(hearing: &HearingFindings, hz: Hz) -> Option<f64> {
    let threshold_db = |ear| {
        let finding = hearing.at(ear, hz)?;
        let known = finding.status != HearingStatus::Stopped;
        finding.stated_db().filter(|_| known)
    };
    Some(threshold_db(Ear::Right)? - threshold_db(Ear::Left)?)
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

/// The better ear's mean of four frequencies in the moderate grade or beyond; a frequency without
/// response counts with the highest level presented, so that the mean is at least that.
fn poor_hearing(hearing: &HearingFindings) -> Option<Cue> {
    const MODERATE_DB_HL: f64 = 35.0;
    let mean_db = |ear| {
        let levels = [500.0, 1000.0, 2000.0, 4000.0].map(|hz| {
            let finding = hearing.at(ear, Hz(hz))?;
            let level = finding.threshold.or(finding.limit)?;
            matches!(level, Level::Hl(_)).then_some(level.db())
        });
        levels
            .into_iter()
            .sum::<Option<f64>>()
            .map(|sum_db| sum_db / 4.0)
    };
    let better_db = mean_db(Ear::Right)?.min(mean_db(Ear::Left)?);
    (better_db >= MODERATE_DB_HL).then(|| Cue {
        what: "hearing of the better ear in the moderate grade or beyond".into(),
        why: format!("mean of 0.5, 1, 2 and 4 kHz at least {better_db:.0} dB HL"),
        source: "WHO, World report on hearing, 2021, table 1.3".into(),
        urgency: Urgency::Routine,
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
