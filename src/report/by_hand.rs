//! What was done by hand as tables: `worksheet.csv`, one row a line of the worksheet, and
//! `prompts.csv`, one row a prompt (RFC 4180, UTF-8, decimal point).

use super::table::{table, word};
use crate::bedside::BedsideFindings;
use crate::journal::{Bedside, Series, Stage};
use serde::Serialize;

#[derive(Serialize)]
struct WorksheetRow<'a> {
    nerve: &'a str,
    item: &'a str,
    words: &'a str,
    side: Option<String>,
    finding: String,
    grade: Option<&'a str>,
    number: Option<f64>,
    unit: Option<&'a str>,
    measured: Option<&'a str>,
    comment: &'a str,
    who: Option<&'a str>,
    at_s: Option<f64>,
    entries: u32,
    observed: bool,
}

/// The worksheet as CSV. Every line is there; one that nobody entered says `not_entered`.
///
/// # Errors
/// Only if a row cannot be written, which does not happen in memory.
pub fn worksheet_csv(findings: &BedsideFindings) -> Result<String, csv::Error> {
    table(findings.worksheet.iter().map(|line| WorksheetRow {
        nerve: &line.nerve,
        item: &line.item,
        words: &line.words,
        side: line.side.map(|side| side.to_string()),
        finding: word(&line.finding),
        grade: line.grade.as_deref(),
        number: line.number,
        unit: line.unit.as_deref(),
        measured: line.measured.as_deref(),
        comment: &line.comment,
        who: line.who.as_deref(),
        at_s: line.at_s,
        entries: line.entries,
        observed: line.observed,
    }))
}

#[derive(Serialize)]
struct PromptRow {
    n: u32,
    series: u32,
    kind: &'static str,
    side: Option<String>,
    target: String,
    at: Option<String>,
    strength: Option<String>,
    right_with: Option<String>,
    distance_m: Option<u8>,
    says: Option<String>,
    gap_s: f64,
    status: &'static str,
    done_at_s: Option<f64>,
    answer: Option<String>,
    after_s: Option<f64>,
    reason: Option<String>,
}

/// The prompts of all series as CSV.
///
/// # Errors
/// Only if a row cannot be written, which does not happen in memory.
pub fn prompts_csv(bedside: &Bedside) -> Result<String, csv::Error> {
    let rows = bedside
        .series()
        .iter()
        .flat_map(|series| (0..series.stages.len()).map(move |place| prompt_row(series, place)));
    table(rows)
}

fn prompt_row(series: &Series, place: usize) -> PromptRow {
    let prompt = series.drawn.prompts[place];
    let row = PromptRow {
        n: series.n(place),
        series: series.drawn.series,
        kind: series.drawn.what.name(),
        side: series.drawn.side.map(|side| side.to_string()),
        target: word(&prompt.target),
        at: prompt.at.map(|at| word(&at)),
        strength: prompt.strength.map(|strength| word(&strength)),
        right_with: prompt.right_with.map(|with| word(&with)),
        distance_m: prompt.distance_m,
        says: prompt.says.map(String::from),
        gap_s: prompt.gap_s,
        status: "not_done",
        done_at_s: None,
        answer: None,
        after_s: None,
        reason: None,
    };
    match &series.stages[place] {
        Stage::Waiting => row,
        Stage::Done { at } => PromptRow {
            status: "not_answered",
            done_at_s: Some(at.seconds()),
            ..row
        },
        Stage::Answered {
            at,
            reply,
            after_s,
            amended,
        } => PromptRow {
            status: if *amended { "amended" } else { "answered" },
            done_at_s: Some(at.seconds()),
            answer: Some(word(reply)),
            after_s: *after_s,
            ..row
        },
        Stage::Void { reason } => PromptRow {
            status: "void",
            reason: Some(reason.clone()),
            ..row
        },
        Stage::Undone { reason } => PromptRow {
            status: "undone",
            reason: Some(reason.clone()),
            ..row
        },
    }
}
