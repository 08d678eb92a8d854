//! What was done by hand: every line of the worksheet, and the series beside guessing.

use super::{Block, Said, paragraph, small};
use crate::bedside::cautions::REFER_NOW;
use crate::bedside::{BedsideFindings, Line, LineState, Rate, SeriesFinding, SidesCompared};
use crate::journal::HowEnded;
use crate::quantity::{Moment, Side};
use crate::report::figure::shape::Ink;
use crate::report::page::{Align, Cell, Column, Grid, Text, run, size};
use crate::report::words::Key;

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    // That nothing was done by hand is said with the method.
    let Some(found) = &said.filed.findings.bedside else {
        return Vec::new();
    };
    let mut all = vec![Block::Heading(1, said.w(Key::ByHandHead).to_owned())];
    if found.worksheet.is_empty() {
        all.push(paragraph(vec![run(said.w(Key::NoWorksheet))]));
    } else {
        all.push(Block::Table(worksheet(said, &found.worksheet)));
        all.push(small(vec![run(said.w(Key::NotEnteredMeans)).soft()]));
    }
    if !found.series.is_empty() {
        all.push(Block::Heading(2, said.w(Key::SeriesHead).to_owned()));
        all.push(Block::Table(series(said, found)));
        all.extend(sides(said, found));
        all.push(small(vec![said.told(&found.correction).soft()]));
        let cautions = found.not_concluded.iter().map(|one| {
            vec![
                said.told(&one.what),
                run(" "),
                said.told(&one.source).bracketed().soft(),
            ]
        });
        all.push(Block::Heading(2, said.w(Key::NotConcluded).to_owned()));
        all.push(Block::Items(cautions.collect(), size::SMALL));
    }
    let listed = REFER_NOW.map(|one| said.words(one));
    all.push(small(vec![
        run(format!("{} ", said.w(Key::ReferNow))).strong(),
        run(format!("{}.", listed.join("; "))),
    ]));
    all
}

/// Which side, in words.
pub(super) fn side(said: &Said, side: Option<Side>) -> String {
    match side {
        None => "\u{2013}".to_owned(),
        Some(Side::Right) => said.w(Key::SideRight).to_owned(),
        Some(Side::Left) => said.w(Key::SideLeft).to_owned(),
    }
}

fn worksheet(said: &Said, all: &[Line]) -> Grid {
    let column = |key, share| Column {
        head: vec![run(said.w(key)).soft()],
        share,
        align: Align::Start,
    };
    let columns = vec![
        column(Key::Nerve, 0.8),
        column(Key::WhatLookedAt, 3.2),
        column(Key::SideHead, 0.8),
        column(Key::Found, 1.5),
        column(Key::HowMuch, 1.8),
        column(Key::Comment, 2.2),
        column(Key::ByWhom, 1.5),
    ];
    let mut groups = Vec::new();
    for (at, line) in all.iter().enumerate() {
        if at > 0 && all[at - 1].nerve != line.nerve {
            groups.push(at);
        }
    }
    let mut grid = Grid::new(columns, all.iter().map(|line| row(said, line)).collect());
    grid.groups = groups;
    grid.pad = 0.7;
    grid
}

fn row(said: &Said, line: &Line) -> Vec<Cell> {
    let none = || vec![run("\u{2013}").soft()];
    let state = said.told(line.finding.words());
    let state = match line.finding {
        LineState::NotEntered => state.soft(),
        LineState::Abnormal => state.strong().ink(Ink::Alert),
        _ => state,
    };
    let number = line.number.map(|number| {
        let unit = line.unit.as_deref().unwrap_or_default();
        format!("{} {unit}", said.lang.short(number))
    });
    let grade = line.grade.as_ref().map(|grade| said.told(grade));
    let measured = line.measured.as_ref().map(|text| said.told(text));
    let mut much: Text = Vec::new();
    for part in [grade, number.map(run), measured].into_iter().flatten() {
        if !much.is_empty() {
            much.push(run("; "));
        }
        much.push(part);
    }
    let much = if much.is_empty() { none() } else { much };
    let who = line.who.as_ref().map(|who| match line.at_s {
        Some(at_s) => {
            let at = super::filed::clock(said.filed.time(Moment::from_seconds(at_s)));
            format!("{who}, {at}")
        }
        None => who.clone(),
    });
    let corrected = (line.entries > 1).then(|| {
        let count = line.entries.to_string();
        said.f(Key::EnteredTimes, &[&count])
    });
    let comment = Some(line.comment.clone()).filter(|comment| !comment.is_empty());
    let comment: Vec<String> = [comment, corrected].into_iter().flatten().collect();
    vec![
        vec![said.told(&line.nerve).soft()],
        vec![said.told(&line.words)],
        vec![run(side(said, line.side))],
        vec![state],
        much,
        if comment.is_empty() {
            none()
        } else {
            vec![run(comment.join("; "))]
        },
        who.map_or_else(none, |who| vec![run(who).soft()]),
    ]
}

fn series(said: &Said, found: &BedsideFindings) -> Grid {
    let column = |key, share| Column {
        head: vec![run(said.w(key)).soft()],
        share,
        align: Align::Start,
    };
    let columns = vec![
        column(Key::Series, 2.2),
        column(Key::Prompts, 1.9),
        column(Key::BesideGuessing, 3.8),
        column(Key::CountsHead, 3.6),
    ];
    let rows = found.series.iter().map(|one| {
        vec![
            series_name(said, one),
            vec![run(prompts(said, one))],
            vec![said.told(&one.statement())],
            counts(said, one),
        ]
    });
    let mut grid = Grid::new(columns, rows.collect());
    grid.groups = (1..grid.rows.len()).collect();
    grid
}

fn series_name(said: &Said, one: &SeriesFinding) -> Cell {
    let mut text = vec![
        run(format!("{} ", one.series)).strong(),
        said.told(&one.kind.to_string()).strong(),
    ];
    if one.side.is_some() {
        text.push(run(format!(", {}", side(said, one.side))));
    }
    if let Some(scent) = &one.scent {
        text.push(run(format!(", {scent}")));
    }
    text
}

fn prompts(said: &Said, one: &SeriesFinding) -> String {
    let mut parts = vec![said.f(
        Key::AnsweredOfPrompts,
        &[&one.answered.to_string(), &one.prompts.to_string()],
    )];
    if one.void > 0 {
        parts.push(said.f(Key::VoidCount, &[&one.void.to_string()]));
    }
    if one.undone > 0 {
        parts.push(said.f(Key::UndoneCount, &[&one.undone.to_string()]));
    }
    match one.ended {
        Some(HowEnded::Declined) => parts.push(said.w(Key::Declined).to_owned()),
        Some(HowEnded::Stopped) => parts.push(said.w(Key::StoppedEarly).to_owned()),
        None if !one.over => parts.push(said.w(Key::UnderWay).to_owned()),
        None => {}
    }
    if one.on_paper {
        parts.push(said.w(Key::OnPaper).to_owned());
    }
    parts.join(", ")
}

fn counts(said: &Said, one: &SeriesFinding) -> Cell {
    let mut text: Text = Vec::new();
    let all = one
        .hits
        .iter()
        .chain(&one.false_alarms)
        .chain(&one.extinctions);
    for rate in all {
        if !text.is_empty() {
            text.push(run("; ").soft());
        }
        text.push(said.told(&rate.what));
        text.push(run(format!(" {}", share_of(said, rate))));
    }
    for extent in &one.extents {
        let ratio = extent
            .ratio
            .map_or("\u{2013}".to_owned(), |ratio| said.n(ratio, 1));
        let parts = [
            said.words(&extent.from),
            said.n(extent.at_1_m_cm, 0),
            said.n(extent.at_2_m_cm, 0),
            ratio,
        ];
        let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
        if !text.is_empty() {
            text.push(run("; ").soft());
        }
        text.push(run(said.f(Key::ExtentRow, &parts)));
    }
    if let Some(sides) = &one.sides {
        if !text.is_empty() {
            text.push(run("; ").soft());
        }
        text.push(run(sides_beside(said, sides)));
    }
    for remark in &one.remarks {
        text.push(run(" "));
        text.push(said.told(remark).soft());
    }
    if text.is_empty() {
        text.push(run("\u{2013}").soft());
    }
    text
}

fn share_of(said: &Said, rate: &Rate) -> String {
    let ends = rate.interval_95.map(|share| said.n(100.0 * share, 0));
    let parts = [rate.k.to_string(), rate.n.to_string()];
    said.f(Key::RateOf, &[&parts[0], &parts[1], &ends[0], &ends[1]])
}

fn sides_beside(said: &Said, one: &SidesCompared) -> String {
    let stands_out = if one.stands_out {
        Key::StandsOut
    } else {
        Key::StandsNotOut
    };
    let parts = [
        &share_of(said, &one.right),
        &share_of(said, &one.left),
        &said.n(one.p, 3),
        said.w(stands_out),
    ];
    said.f(Key::SidesCompared, &parts)
}

fn sides(said: &Said, found: &BedsideFindings) -> Vec<Block> {
    let item = |one: &SidesCompared| {
        let words = sides_beside(said, one);
        vec![said.told(&one.what), run(": "), run(words)]
    };
    if found.sides.is_empty() {
        return Vec::new();
    }
    vec![Block::Items(
        found.sides.iter().map(item).collect(),
        size::SMALL,
    )]
}
