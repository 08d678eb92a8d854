//! What has changed against an earlier visit.

use super::filed::civil;
use super::{Block, Said, paragraph, small};
use crate::journal::OutsideResults;
use crate::quantity::Ear;
use crate::report::figure::acuity::eye_name;
use crate::report::figure::audiogram::ear_name;
use crate::report::page::{Align, Cell, Column, Grid, run, size};
use crate::report::words::Key;

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let findings = said.filed.findings;
    let mut all = elsewhere(said);
    let Some(earlier) = &said.filed.record.opening.plan.earlier else {
        return all;
    };
    all.push(Block::Heading(1, said.w(Key::ChangesHead).to_owned()));
    let Some(changes) = &findings.changes else {
        all.push(paragraph(vec![run(said.w(Key::ChangesWithheld))]));
        return all;
    };
    let on = changes.on.or(earlier.on);
    let day = on.map_or_else(
        || said.w(Key::DayNotKnown).to_owned(),
        |day| civil(day, said.lang),
    );
    all.push(paragraph(vec![run(
        said.f(Key::ComparedWith, &[&changes.source, &day])
    )]));
    let rows: Vec<Vec<Cell>> = Ear::BOTH
        .into_iter()
        .flat_map(|ear| changes.ear(ear).iter().map(move |one| (ear, one)))
        .map(|(ear, one)| {
            let sign = if one.change_db > 0.0 { "+" } else { "" };
            let [above, least] = if one.at_least {
                ["> ", "≥ "]
            } else {
                ["", ""]
            };
            // Never certain.
            let percent = (100.0 * one.beyond_retest).min(99.9).floor();
            let cells = [
                said.n(one.hz.0, 0),
                said.n(one.then_db_hl, 0),
                format!("{above}{}", said.n(one.now_db_hl, 0)),
                format!("{least}{sign}{}", said.n(one.change_db, 0)),
                said.n(one.retest_u_db, 1),
                format!("{} %", said.n(percent, 0)),
            ];
            let mut row = vec![vec![run(ear_name(ear, said.lang))]];
            row.extend(cells.map(|cell| vec![run(cell)]));
            row
        })
        .collect();
    if rows.is_empty() {
        all.push(paragraph(vec![run(said.w(Key::NothingToCompare))]));
        return all;
    }
    let column = |key, align| Column {
        head: vec![run(said.w(key)).soft()],
        share: 1.0,
        align,
    };
    let columns = vec![
        column(Key::Ear, Align::Start),
        column(Key::FrequencyHz, Align::End),
        column(Key::Then, Align::End),
        column(Key::Now, Align::End),
        column(Key::ChangeDb, Align::End),
        column(Key::RetestU, Align::End),
        column(Key::BeyondRetest, Align::End),
    ];
    all.push(Block::Table(Grid::new(columns, rows)));
    all.push(small(vec![run(said.w(Key::ChangesNote)).soft()]));
    all
}

/// What was found elsewhere and entered by hand: as told, nothing that was measured here.
fn elsewhere(said: &Said) -> Vec<Block> {
    let outside = said.filed.outside();
    if outside.is_empty() {
        return Vec::new();
    }
    let item = |one: &&OutsideResults| {
        let day = one.on.map_or_else(
            || said.w(Key::DayNotKnown).to_owned(),
            |day| civil(day, said.lang),
        );
        let mut parts = Vec::new();
        for ear in Ear::BOTH {
            let levels: Vec<String> = one
                .ear(ear)
                .iter()
                .map(|at| {
                    format!(
                        "{} Hz {}",
                        said.n(at.hz.0, 0),
                        said.n(at.threshold_db_hl, 0)
                    )
                })
                .collect();
            if !levels.is_empty() {
                let name = ear_name(ear, said.lang);
                parts.push(format!("{name}, dB HL: {}", levels.join(", ")));
            }
        }
        parts.extend(one.sight.iter().map(|acuity| {
            let name = eye_name(acuity.eye, said.lang);
            let size = said.n(acuity.log_mar, 2);
            format!("{name}: {size} logMAR {}", acuity.correction)
        }));
        if !one.remark.is_empty() {
            parts.push(one.remark.clone());
        }
        vec![
            run(format!("{}, {day}: ", one.source)).strong(),
            run(parts.join("; ")),
        ]
    };
    vec![
        Block::Heading(1, said.w(Key::ElsewhereHead).to_owned()),
        small(vec![run(said.w(Key::ElsewhereNote)).soft()]),
        Block::Items(outside.iter().map(item).collect(), size::SMALL),
    ]
}
