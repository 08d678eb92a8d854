//! Sight: a figure an eye, and the numbers below.

use super::summary::COVERAGE;
use super::{Block, Said};
use crate::finding::{SightFinding, SightStatus};
use crate::quantity::Eye;
use crate::report::figure::Acuity;
use crate::report::figure::acuity::{eye_name, without_a_number};
use crate::report::page::{Align, Cell, Column, Grid, Picture, Share, Text, run, size};
use crate::report::words::Key;
use crate::stimulus::OptotypeSet;

const HIGH: f32 = 86.0;
const TIMES: f32 = 0.56;

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let (findings, record) = (said.filed.findings, said.filed.record);
    let title = if findings.as_obtained.sight {
        Key::SightAsObtained
    } else {
        Key::SightAcuity
    };
    let mut all = vec![Block::Heading(1, said.w(title).to_owned())];
    let figures: Vec<(Share, Vec<Block>)> = Eye::ALL
        .into_iter()
        .filter(|eye| !findings.sight.eye(*eye).by_size.is_empty())
        .map(|eye| {
            let drawing = Acuity::of(record, findings.sight.eye(eye), eye).near();
            let picture = Picture {
                drawing: Box::new(drawing),
                height: HIGH,
                times: TIMES,
            };
            (Share::Part(1.0), vec![Block::Picture(picture)])
        })
        .collect();
    if figures.is_empty() {
        all.push(super::paragraph(vec![run(said.w(Key::SightNotTested))]));
        return all;
    }
    let spare = 3 - figures.len();
    let mut figures = figures;
    figures.extend((0..spare).map(|_| (Share::Part(1.0), Vec::new())));
    all.push(Block::Together(vec![
        Block::Beside(figures),
        Block::Table(numbers(said)),
        Block::Paragraph(remarks(said), size::TINY + 0.2, 2.0),
    ]));
    all
}

fn numbers(said: &Said) -> Grid {
    let column = |head: String, share, align| Column {
        head: vec![run(head).soft()],
        share,
        align,
    };
    let sight = &said.filed.findings.sight;
    let distance = Eye::ALL
        .into_iter()
        .find_map(|eye| sight.eye(eye).distance_mm)
        .map_or("\u{2013}".to_owned(), |mm| said.lang.short(mm.0 / 1000.0));
    let columns = vec![
        column(said.w(Key::Eye).to_owned(), 1.6, Align::Start),
        column("logMAR".to_owned(), 1.3, Align::Start),
        column(said.w(Key::RowExpanded).to_owned(), 1.3, Align::End),
        column(said.f(Key::AtDistance, &[&distance]), 1.2, Align::End),
        column(said.f(Key::AtDistance, &["6"]), 1.2, Align::End),
        column(said.w(Key::AtFeet).to_owned(), 1.1, Align::End),
        column(said.w(Key::DecimalAcuity).to_owned(), 1.1, Align::End),
        column(said.w(Key::ByLetter).to_owned(), 1.3, Align::End),
        column(said.w(Key::NearestLines).to_owned(), 2.0, Align::Start),
        column(said.w(Key::Correction).to_owned(), 2.8, Align::Start),
    ];
    let rows = Eye::ALL.into_iter().map(|eye| row(said, eye)).collect();
    Grid::new(columns, rows)
}

fn row(said: &Said, eye: Eye) -> Vec<Cell> {
    let one = said.filed.findings.sight.eye(eye);
    let none = || "\u{2013}".to_owned();
    let number = |value: Option<f64>| value.map_or_else(none, |value| said.n(value, 2));
    let fraction = |text: &Option<String>| {
        text.as_ref()
            .map_or_else(none, |text| said.lang.digits(text))
    };
    let lines = match (&one.nearest_line, one.straddles.is_empty()) {
        (None, _) => none(),
        (Some(line), true) => said.lang.digits(line),
        (Some(_), false) => said.lang.digits(&one.straddles.join(", ")),
    };
    let correction = match one.status {
        SightStatus::NotTested | SightStatus::Declined => none(),
        _ => {
            // The head of the column says what it is about.
            let words = one.correction.words();
            let words = words.strip_prefix("correction ").unwrap_or(words);
            said.lang.said(words).unwrap_or_else(|| words.to_owned())
        }
    };
    let cells = [
        number(one.u_log_mar.map(|u| COVERAGE * u)),
        fraction(&one.snellen),
        fraction(&one.snellen_6m),
        fraction(&one.snellen_20ft),
        number(one.decimal),
        number(one.chart_log_mar),
        lines,
        correction,
    ];
    let mut row = vec![
        vec![run(eye_name(eye, said.lang)).strong()],
        vec![run(value(said, one)).strong()],
    ];
    row.extend(cells.map(|cell| vec![run(cell)]));
    row
}

/// The acuity, or what there is in its place.
fn value(said: &Said, one: &SightFinding) -> String {
    let bound = || {
        one.bound_log_mar
            .map_or(String::new(), |size| said.n(size, 2))
    };
    match one.status {
        SightStatus::Measured => one.log_mar.map_or_else(
            || said.w(Key::NotDecided).to_owned(),
            |log_mar| said.n(log_mar, 2),
        ),
        SightStatus::BetterThanSmallestShown => said.f(Key::BetterThan, &[&bound()]),
        SightStatus::WorseThanLargestShown => said.f(Key::WorseThan, &[&bound()]),
        SightStatus::CountingFingers
        | SightStatus::HandMotion
        | SightStatus::LightPerception
        | SightStatus::NoLightPerception
        | SightStatus::Screened => without_a_number(one, said.lang).unwrap_or_default(),
        SightStatus::NotTested => said.w(Key::NotTested).to_owned(),
        SightStatus::Declined => said.w(Key::Declined).to_owned(),
        SightStatus::Stopped => match &one.reason {
            Some(reason) => {
                let reason = said.lang.said(reason).unwrap_or_else(|| reason.clone());
                said.f(Key::StoppedFor, &[&reason])
            }
            None => said.w(Key::NotDecided).to_owned(),
        },
    }
}

/// What optotypes are called.
pub(super) fn optotype(said: &Said, set: OptotypeSet) -> &'static str {
    said.w(match set {
        OptotypeSet::Landolt8 => Key::Landolt8,
        OptotypeSet::Landolt4 => Key::Landolt4,
        OptotypeSet::TumblingE => Key::TumblingE,
        OptotypeSet::Sloan => Key::SloanLetters,
        OptotypeSet::Hotv => Key::HotvLetters,
    })
}

fn remarks(said: &Said) -> Text {
    let sight = &said.filed.findings.sight;
    let mut text: Text = Vec::new();
    let first = Eye::ALL.into_iter().find_map(|eye| {
        let one = sight.eye(eye);
        Some((one.optotype?, one.crowded))
    });
    if let Some((set, crowded)) = first {
        let bars = said.w(if crowded {
            Key::Crowded
        } else {
            Key::NotCrowded
        });
        let words = said.f(Key::ShownAs, &[optotype(said, set), bars]);
        text.push(run(format!("{words} ")).soft());
    }
    text.push(run(format!("{} ", said.w(Key::RemarkSight))).soft());
    text.push(run(format!("{} ", said.w(Key::CountsAre))).soft());
    for eye in Eye::ALL {
        let one = sight.eye(eye);
        if !one.by_size.is_empty() {
            let counts: Vec<String> = one
                .by_size
                .iter()
                .map(|one| format!("{} {}/{}", said.n(one.log_mar.0, 2), one.right, one.of))
                .collect();
            let name = eye_name(eye, said.lang);
            text.push(run(format!("{name}: ")));
            text.push(run(format!("{}. ", counts.join(" \u{b7} "))).soft());
        }
        if let Some(rows) = &one.rows {
            let parts = [
                said.n(rows.log_mar, 2),
                rows.right.to_string(),
                rows.of.to_string(),
            ];
            let name = eye_name(eye, said.lang);
            let words = said.f(Key::RowsScore, &[name, &parts[0], &parts[1], &parts[2]]);
            text.push(run(format!("{words} ")).soft());
        }
    }
    text
}
