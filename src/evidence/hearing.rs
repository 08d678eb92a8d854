//! Signs among the answers to tones.

use super::{Check, Consistency, ErrorRates, Fit, Silent, counted};
use crate::belief::binomial;
use crate::finding::{HearingFinding, HearingFindings, HearingStatus, silent_answers};
use crate::journal::{PressKind, Record, Trial};

/// Fewer than this tell nothing: with 6 silent presentations and none answered the rate may still
/// be 46 % (exact 95 % interval).
const FEWEST_SILENT: u32 = 6;
const FEWEST_TONES: usize = 20;

pub(super) fn consistency(record: &Record, findings: &HearingFindings) -> Option<Consistency> {
    let tones: Vec<&Trial> = record
        .counted()
        .filter(|trial| trial.tone().is_some())
        .collect();
    if tones.is_empty() {
        return None;
    }
    let silent = silent(record);
    let mut checks = vec![false_alarms(silent), early(record, &tones)];
    checks.extend(again(findings));
    // An estimate makes no ascents that could end apart.
    if findings.all().all(|(_, one)| one.prior_share.is_none()) {
        checks.push(spread(findings));
    }
    let enough = silent.of >= FEWEST_SILENT && tones.len() >= FEWEST_TONES;
    Some(Consistency::of(
        enough,
        Some(silent),
        checks,
        ErrorRates::hearing(),
    ))
}

fn silent(record: &Record) -> Silent {
    let (answered, of) = silent_answers(record);
    Silent {
        answered,
        of,
        interval_95: binomial::interval(answered, of, 0.95),
    }
}

fn false_alarms(silent: Silent) -> Check {
    counted(
        "silent presentations answered",
        (silent.answered, silent.of),
        0.10,
        [0.20, 0.25],
        [
            "silent presentations answered",
            "at most 1 in 10 by careful adults; more than 1 in 4 is poor (from memory, no norm \
             located)",
        ],
    )
}

/// Tones that were answered sooner than anybody could have heard them, by the person's own hand:
/// examiner's marks have no time.
fn early(record: &Record, tones: &[&Trial]) -> Check {
    let pressed_early = |trial: &&&Trial| {
        let early = PressKind::Early(trial.planned.n);
        record.presses().iter().any(|press| press.kind == early)
    };
    counted(
        "answers faster than a person can hear",
        (
            tones.iter().filter(pressed_early).count() as u32,
            tones.len() as u32,
        ),
        0.02,
        [0.10, 0.25],
        [
            "tones answered before 0.12 s after their onset",
            "hardly any: reaction takes 0.19 s and more (auditory reaction time, Nihon Jibiinkoka \
             93:746; the limit is our derivation)",
        ],
    )
}

/// The second measurement of a frequency.
fn again(findings: &HearingFindings) -> Option<Check> {
    let apart_db =
        |finding: &HearingFinding| Some((finding.repeat_db? - finding.threshold_db()?).abs());
    let apart: Vec<f64> = findings
        .all()
        .filter_map(|(_, finding)| apart_db(finding))
        .collect();
    let first_db = *apart.first()?;
    let widest_db = apart.iter().copied().fold(first_db, f64::max);
    let fit = match widest_db {
        db if db >= 15.0 => Fit::Misfits,
        db if db > 5.0 => Fit::Doubtful,
        _ => Fit::Fits,
    };
    Some(Check {
        name: "second measurement of the same frequency".into(),
        k: apart.iter().filter(|db| **db > 5.0).count() as u32,
        n: apart.len() as u32,
        p: None,
        seen: format!("measured twice, {widest_db:.0} dB apart"),
        expected: "5 dB or less (ISO 8253-1:2010, step 3); 15 dB once is a flag (from memory)"
            .into(),
        fit,
    })
}

/// Frequencies whose ascents ended more than 10 dB apart.
fn spread(findings: &HearingFindings) -> Check {
    let measured: Vec<f64> = findings
        .all()
        .filter(|(_, finding)| finding.status == HearingStatus::Measured)
        .map(|(_, finding)| finding.spread_db)
        .collect();
    let wide = measured
        .iter()
        .filter(|spread_db| **spread_db > 10.0)
        .count();
    counted(
        "ascents that ended far apart",
        (wide as u32, measured.len() as u32),
        0.10,
        [0.30, 0.50],
        [
            "frequencies with ascents more than 10 dB apart",
            "few: more than 10 dB is doubtful (ISO 8253-1:2010, 6.2.4); shares are our choice",
        ],
    )
}
