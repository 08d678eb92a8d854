//! `trials.csv`: one row a presentation, void ones included (RFC 4180, UTF-8, decimal point).

use super::table::{table, word};
use crate::journal::{Outcome, Planned, Record};
use crate::stimulus::Letter;
use serde::Serialize;

#[derive(Serialize)]
struct Row {
    n: u32,
    status: &'static str,
    purpose: String,
    by: String,
    began_s: Option<f64>,
    ear: Option<String>,
    frequency_hz: Option<f64>,
    level_db: Option<f64>,
    level_scale: Option<&'static str>,
    masker_ear: Option<String>,
    masker_level_db: Option<f64>,
    eye: Option<String>,
    optotype: Option<String>,
    facing: Option<String>,
    /// In reading order.
    letters: Option<String>,
    crowded: Option<bool>,
    size_log_mar: Option<f64>,
    distance_mm: Option<f64>,
    answer: Option<String>,
    response_latency_s: Option<f64>,
    void_reason: Option<String>,
}

/// All presentations as CSV.
///
/// # Errors
/// Only if a row cannot be written, which does not happen in memory.
pub fn trials_csv(record: &Record) -> Result<String, csv::Error> {
    let trials = record.trials().iter().map(|trial| {
        let (answer, latency_s) = match &trial.outcome {
            Outcome::Yes { latency_s } => ("yes".to_owned(), *latency_s),
            Outcome::No => ("none".to_owned(), None),
            Outcome::Early => ("early".to_owned(), None),
            Outcome::Chosen { facing, after_s } => (word(facing), *after_s),
            Outcome::Named { letters, after_s } => (letters.clone(), *after_s),
        };
        Row {
            status: if trial.undone { "undone" } else { "trial" },
            began_s: Some(trial.began.seconds()),
            answer: Some(answer),
            response_latency_s: latency_s,
            ..Row::of(&trial.planned)
        }
    });
    let voids = record.voids().iter().map(|void| Row {
        status: "void",
        void_reason: Some(void.reason.clone()),
        ..Row::of(&void.planned)
    });
    let mut rows: Vec<Row> = trials.chain(voids).collect();
    rows.sort_by_key(|row| row.n);
    table(rows.into_iter())
}

impl Row {
    fn of(planned: &Planned) -> Row {
        let tone = planned.presentation.tones().next();
        let masker = planned.presentation.maskers().next();
        let shown = planned.presentation.optotypes().next();
        let letters: String = planned
            .presentation
            .optotypes()
            .filter_map(|shown| shown.symbol.letter())
            .map(Letter::char)
            .collect();
        Row {
            n: planned.n,
            status: "",
            purpose: word(&planned.purpose),
            by: word(&planned.by),
            began_s: None,
            ear: tone.map(|tone| tone.ear.to_string()),
            frequency_hz: tone.map(|tone| tone.hz.0),
            level_db: tone.map(|tone| tone.level.db()),
            level_scale: tone.map(|tone| tone.level.scale().unit()),
            masker_ear: masker.map(|masker| masker.ear.to_string()),
            masker_level_db: masker.map(|masker| masker.level.db()),
            eye: shown.map(|shown| shown.eye.to_string()),
            optotype: shown.map(|shown| word(&shown.optotype)),
            facing: shown
                .and_then(|shown| shown.symbol.facing())
                .map(|facing| word(&facing)),
            letters: (!letters.is_empty()).then_some(letters),
            crowded: shown.map(|shown| shown.crowded),
            size_log_mar: shown.map(|shown| shown.log_mar.0),
            distance_mm: shown.map(|shown| shown.distance_mm.0),
            answer: None,
            response_latency_s: None,
            void_reason: None,
        }
    }
}
