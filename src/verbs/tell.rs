//! The human summaries.

use crate::errand::study::{CaseReport, StudyReport};
use crate::errand::{Checked, Recount, ToneReport};
use crate::evidence::{self, Consistency, OTHER_CAUSES};
use crate::finding::{HearingFinding, HearingStatus, Masking, SightStatus};
use crate::quantity::{Ear, Eye};
use crate::report::{Findings, acuity_sentence, hearing_sentences, sight_sentences};
use crate::store::{NOT_FOUND_OUT, SignedHead, Verdict, shown_head};
use std::fmt::Write;
use std::path::Path;

/// The findings of a visit.
pub(super) fn findings(findings: &Findings) -> String {
    let mut text = String::new();
    let mark = if findings.as_obtained.hearing {
        " (as obtained, not thresholds)"
    } else {
        ""
    };
    for ear in Ear::BOTH {
        let all = findings.hearing.ear(ear);
        if !all.is_empty() {
            let levels: Vec<String> = all.iter().map(threshold).collect();
            let _ = writeln!(
                text,
                "{ear} ear, {}{mark}: {}",
                findings.levels,
                levels.join(", ")
            );
        }
    }
    for sentence in hearing_sentences(findings) {
        let _ = writeln!(text, "{sentence}");
    }
    for eye in Eye::ALL {
        let finding = findings.sight.eye(eye);
        if finding.status != SightStatus::NotTested {
            let mark = if findings.as_obtained.sight {
                " (as obtained)"
            } else {
                ""
            };
            let _ = writeln!(text, "{}{mark}", acuity_sentence(eye, finding));
        }
    }
    for sentence in sight_sentences(findings) {
        let _ = writeln!(text, "{sentence}");
    }
    for (sense, consistency) in [
        ("hearing", &findings.consistency.hearing),
        ("sight", &findings.consistency.sight),
    ] {
        if let Some(consistency) = consistency {
            let _ = writeln!(text, "{sense}: {}", hangs_together(consistency));
        }
    }
    if let Some(sentence) = findings.consistency.any_adverse_sentence() {
        let _ = writeln!(text, "{sentence}");
    }
    for cue in &findings.cues {
        let _ = writeln!(text, "cue: {} ({}); {}", cue.what, cue.why, cue.source);
    }
    if let Some(by_hand) = &findings.bedside {
        text += &super::by_hand::findings(by_hand);
    }
    text += "± is one standard uncertainty; double it for about 95 %";
    if findings
        .hearing
        .all()
        .any(|(_, one)| one.u_db.is_none() && one.sd_db.is_some())
    {
        text += "; of hearing it is from the answers alone, since nothing is calibrated";
    }
    text.push('\n');
    if let Some(without_bone) = &findings.without_bone {
        let _ = writeln!(text, "{without_bone}");
    }
    let counts = findings.counts;
    let _ = writeln!(
        text,
        "{} tones, {} silent, {} optotypes, {} void, {:.0} s; set-up '{}'",
        counts.tones,
        counts.silent,
        counts.optotypes,
        counts.void,
        findings.seconds,
        findings.setup
    );
    text + &findings.caution
}

fn threshold(finding: &HearingFinding) -> String {
    let hz = finding.hz.0;
    let db = finding
        .stated_db()
        .map_or_else(String::new, |db| format!("{db:.0}"));
    match finding.status {
        HearingStatus::Measured => {
            let u_db = finding.u_db.or(finding.sd_db);
            let u = u_db.map_or_else(String::new, |u_db| format!(" ±{u_db:.0}"));
            let masked = if finding.masking == Some(Masking::Done) {
                " masked"
            } else {
                ""
            };
            let leans = finding.prior_share.filter(|_| finding.from_neighbours);
            let leans = leans.map_or_else(String::new, |share| {
                format!(" (leans on neighbours, {:.0} %)", 100.0 * share)
            });
            format!("{hz} Hz {db}{u}{masked}{leans}")
        }
        HearingStatus::NoResponseAtMaximum => format!("{hz} Hz no response at {db}"),
        HearingStatus::AnsweredAtMinimum => format!("{hz} Hz {db} or better"),
        HearingStatus::NotTested => format!("{hz} Hz not tested"),
        HearingStatus::Declined => format!("{hz} Hz declined"),
        HearingStatus::Stopped => finding.unmasked.map_or_else(
            || format!("{hz} Hz stopped"),
            |level| format!("{hz} Hz {:.0} or poorer, not masked", level.db()),
        ),
    }
}

fn hangs_together(consistency: &Consistency) -> String {
    let seen: Vec<&str> = consistency
        .checks
        .iter()
        .map(|check| check.seen.as_str())
        .collect();
    format!(
        "{}. {} {OTHER_CAUSES} {} {}\n  seen: {}\n  {}\n  {}",
        consistency.grade.word(),
        consistency.statement,
        consistency.limits,
        consistency.next_steps,
        seen.join("; "),
        evidence::left_out(&consistency.left_out, consistency.grade),
        consistency.error_rates.sentence()
    )
}

pub(super) fn written(folder: &Path) -> String {
    format!(
        "{}: journal.jsonl, findings.json, trials.csv, report.pdf, fhir-bundle.json (export writes \
         all tables)",
        folder.display()
    )
}

pub(super) fn recounted(recount: &Recount) -> String {
    let now = recount.findings.mathematics;
    let then = recount.mathematics_then;
    let cut = if recount.cut_line_left_out {
        "; a last line that was cut off was left out"
    } else {
        ""
    };
    let open = if recount.closed {
        ""
    } else {
        "; the visit was not closed"
    };
    format!(
        "counted again with version {now} of the mathematics; the visit was made with \
         {then}{cut}{open}"
    )
}

pub(super) fn checked(checked: &Checked) -> String {
    let closed = if checked.closed {
        "the visit was closed"
    } else {
        "the visit was not closed: lines taken away from its end would not show"
    };
    match (&checked.first_bad_line, &checked.expected) {
        (Some(line), Some(expected)) => format!("does not hold: line {line}: {expected}"),
        _ => format!(
            "holds: {} lines, head {}; {closed}",
            checked.lines, checked.head
        ),
    }
}

/// What a signed head says of a journal, and what it cannot say.
pub(super) fn signed(signed: &SignedHead, verdict: Verdict, key_known: bool) -> String {
    let mut text = format!(
        "{}: head {}, signed {} by key {}\n",
        verdict.told(),
        shown_head(&signed.head),
        signed.signed,
        signed.key
    );
    if !key_known {
        text +=
            "whose key that is has to be known from elsewhere: compare it, or give it with --key\n";
    }
    text += "what no check on this machine can find:";
    for line in NOT_FOUND_OUT {
        let _ = write!(text, "\n- {line}");
    }
    text
}

pub(super) fn tone(report: &ToneReport) -> String {
    format!(
        "{} ear, {}, {} {}, {:.2} dB re full scale{}, from frame {} to {} at {} Hz; set-up '{}'{}",
        report.ear,
        report.hz,
        report.level.db(),
        report.level.scale().unit(),
        report.level_db_fs,
        report
            .other_ear
            .as_deref()
            .map_or_else(String::new, |other| format!(", other ear: {other}")),
        report.onset_frame,
        report.end_frame,
        report.rate_hz,
        report.setup,
        if report.assumed {
            ": an assumption about full scale, no calibration"
        } else {
            ""
        }
    )
}

/// A table of a study, one row a case.
pub(super) fn study(report: &StudyReport) -> String {
    let mut text = format!(
        "{} plan, {} procedure, seed {}; from simulated people, not measured on people\n\
         thresholds in dB against the midpoints, acuity in logMAR\n{:<24}{:>8}\
         {:>8}{:>8}{:>8}{:>8}{:>12}{:>12}{:>10}\n",
        report.plan,
        report.procedure,
        report.seed,
        "case",
        "visits",
        "bias",
        "SD",
        "RMSE",
        "tones",
        "sight bias",
        "sight RMSE",
        "seconds"
    );
    for case in report.cases.iter().chain([&report.all]) {
        text += &row(case);
    }
    text.trim_end().to_owned()
}

fn row(case: &CaseReport) -> String {
    let mut line = format!("{:<24}{:>8}", case.case, case.repeats);
    match &case.hearing {
        Some(hearing) => {
            let of = hearing.threshold;
            let tones = hearing.tones_per_threshold;
            let _ = write!(
                line,
                "{:>8.2}{:>8.2}{:>8.2}{tones:>8.2}",
                of.bias_db, of.sd_db, of.rmse_db
            );
        }
        None => line += &" ".repeat(32),
    }
    match &case.sight {
        Some(sight) if sight.measured > 0 => {
            let _ = write!(
                line,
                "{:>12.3}{:>12.3}",
                sight.bias_log_mar, sight.rmse_log_mar
            );
        }
        _ => line += &" ".repeat(24),
    }
    let _ = writeln!(line, "{:>10.0}", case.seconds_mean);
    for (kind, one) in &case.bedside {
        let _ = writeln!(
            line,
            "    {kind}: {} series, {} of {} right; more than guessing {}, fewer {}; sides apart {}",
            one.series, one.right, one.of, one.more, one.fewer, one.sides_stand_out
        );
    }
    line
}
