//! Hearing: the audiogram, its numbers below it, and what has to be known about them.

use super::summary::COVERAGE;
use super::{Block, Said, small};
use crate::finding::{HearingFinding, HearingStatus, Masking, Screened};
use crate::quantity::{Ear, Hz};
use crate::report::figure::audiogram::{Audiogram, ear_name, unit};
use crate::report::page::{Align, Cell, Column, Grid, Picture, Share, Text, run, size};
use crate::report::words::Key;

/// How high the audiogram is, points: 130 dB then take 5 mm for 10 dB, and a plain visit has its figures
/// of both senses on the first page.
const HIGH: f32 = 218.0;
/// How high where the report would else take a third page: 10 dB still are over 3 mm.
const LOW: f32 = 160.0;
/// How many times as large as figures are laid out for, as those of sight.
const TIMES: f32 = 0.56;
/// How wide a field is that is so high: 160 dB wide and 130 high, with the axes' lettering.
fn wide(high: f32) -> f32 {
    let points_per_db = (high / TIMES - 36.0) / 130.0;
    TIMES * (160.0 * points_per_db + 64.0)
}

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let findings = said.filed.findings;
    let nothing = !measured(said);
    let title = match &findings.screening {
        _ if findings.as_obtained.hearing => Key::HearingAsObtained,
        Some(_) if nothing => Key::HearingScreened,
        _ => Key::HearingThresholds,
    };
    let mut all = vec![Block::Heading(1, said.w(title).to_owned())];
    if nothing && findings.screening.is_none() {
        all.push(super::paragraph(vec![run(said.w(Key::HearingNotTested))]));
        return all;
    }
    let audiogram = Audiogram::of(
        said.filed.record,
        &findings.hearing,
        findings.as_obtained.hearing,
    )
    .with_screening(findings.screening.as_ref());
    let scale = audiogram.scale;
    let high = if said.low { LOW } else { HIGH };
    let (field, key) = audiogram.apart();
    let key = Picture {
        height: TIMES * key.height(),
        drawing: Box::new(key),
        times: TIMES,
    };
    let field = Picture {
        drawing: Box::new(field),
        height: high,
        times: TIMES,
    };
    let beside = vec![Block::Picture(key), small(remarks(said))];
    all.push(Block::Beside(vec![
        (Share::Points(wide(high)), vec![Block::Picture(field)]),
        (Share::Part(1.0), beside),
    ]));
    // Of a screening alone there are none.
    if let Some(numbers) = numbers(said, unit(scale, said.lang)).filter(|_| !nothing) {
        // Levels without their frequencies above them are read wrongly.
        all.push(Block::Together(vec![Block::Table(numbers)]));
    }
    if let Some(screened) = screened(said) {
        all.push(Block::Table(screened));
    }
    all
}

/// Whether anything was done to measure a threshold.
fn measured(said: &Said) -> bool {
    let mut all = said.filed.findings.hearing.all();
    all.any(|(_, one)| one.presentations > 0)
}

/// One column a frequency; each ear has rows of its own.
fn numbers(said: &Said, unit: &str) -> Option<Grid> {
    let hearing = &said.filed.findings.hearing;
    let mut all: Vec<Hz> = hearing.all().map(|(_, one)| one.hz).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.dedup();
    if all.is_empty() {
        return None;
    }
    let mut columns = vec![Column {
        head: vec![run("Hz").soft()],
        share: 2.5,
        align: Align::Start,
    }];
    columns.extend(all.iter().map(|hz| Column {
        head: vec![run(said.n(hz.0, 0)).strong()],
        share: 1.0,
        align: Align::End,
    }));
    let (mut rows, mut groups): (Vec<Vec<Cell>>, _) = (Vec::new(), Vec::new());
    for ear in Ear::BOTH {
        groups.push(rows.len());
        let mut add = |name: String, strong: bool, cell: &dyn Fn(&HearingFinding) -> Text| {
            let name = if strong {
                run(name).strong()
            } else {
                run(name).soft()
            };
            let mut row = vec![vec![name]];
            row.extend(all.iter().map(|hz| match hearing.at(ear, *hz) {
                Some(one) => cell(one),
                None => vec![run(said.w(Key::NotTested)).soft()],
            }));
            rows.push(row);
        };
        let own = || hearing.ear(ear).iter();
        add(
            format!("{}, {unit}", ear_name(ear, said.lang)),
            true,
            &|one| level(said, one),
        );
        let dash = || vec![run("\u{2013}").soft()];
        let number = |value: Option<f64>, decimals| match value {
            Some(value) => vec![run(said.n(value, decimals)).soft()],
            None => dash(),
        };
        if own().any(|one| one.u_db.is_some()) {
            add(said.w(Key::RowExpanded).to_owned(), false, &|one| {
                number(one.u_db.map(|u| COVERAGE * u), 1)
            });
        }
        if own().any(|one| one.masking.is_some_and(|one| one != Masking::NotNeeded)) {
            add(said.w(Key::RowMasking).to_owned(), false, &|one| {
                vec![run(masking(said, one)).soft()]
            });
        }
        if own().any(|one| one.repeat_db.is_some()) {
            add(said.w(Key::MeasuredAgain).to_owned(), false, &|one| {
                number(one.repeat_db, 0)
            });
        }
        if own().any(|one| one.from_neighbours) {
            add(said.w(Key::RowPriorShare).to_owned(), false, &|one| {
                number(one.prior_share.map(|share| 100.0 * share), 0)
            });
        }
    }
    let mut grid = Grid::new(columns, rows);
    grid.groups = groups;
    grid.pad = 0.6;
    Some(grid)
}

/// A threshold, or what there is in its place; a threshold that leans on the prior is marked.
fn level(said: &Said, one: &HearingFinding) -> Text {
    let db = one.stated_db().map_or(String::new(), |db| said.n(db, 0));
    let text = match one.status {
        HearingStatus::Measured if one.from_neighbours => {
            return vec![run(format!("{db}\u{2009}\u{2020}")).strong().slanted()];
        }
        HearingStatus::Measured => db,
        HearingStatus::NoResponseAtMaximum => said.f(Key::NoResponseAt, &[&db]),
        HearingStatus::AnsweredAtMinimum => format!("\u{2264}\u{2009}{db}"),
        HearingStatus::NotTested => return vec![run(said.w(Key::NotTested)).soft()],
        HearingStatus::Declined => return vec![run(said.w(Key::Declined)).soft()],
        HearingStatus::Stopped => match one.unmasked {
            Some(level) => said.f(Key::OrPoorer, &[&said.n(level.db(), 0)]),
            None => said.w(Key::NotDecided).to_owned(),
        },
    };
    vec![run(text).strong()]
}

fn masking(said: &Said, one: &HearingFinding) -> String {
    match (one.masking, one.masker_db) {
        (None, _) => "\u{2013}".to_owned(),
        (Some(Masking::NotNeeded), _) => said.w(Key::MaskingNotNeeded).to_owned(),
        (Some(Masking::Done), Some([low, high])) => {
            let ends = [low, high].map(|db| said.n(db, 0));
            format!("{}\u{2013}{}", ends[0], ends[1])
        }
        (Some(Masking::Done), None) => said.w(Key::MaskingDone).to_owned(),
        (Some(Masking::NeededNotDone), _) => said.w(Key::MaskingNotDone).to_owned(),
        (Some(Masking::CouldNotBeMasked), _) => said.w(Key::MaskingFailed).to_owned(),
    }
}

/// What a screening found; no threshold.
fn screened(said: &Said) -> Option<Grid> {
    let screening = said.filed.findings.screening.as_ref()?;
    let column = |key, share, align| Column {
        head: vec![run(said.w(key)).soft()],
        share,
        align,
    };
    let columns = vec![
        column(Key::Screening, 2.0, Align::Start),
        column(Key::FrequencyHz, 1.0, Align::End),
        column(Key::Level, 1.4, Align::End),
        column(Key::Found, 2.0, Align::Start),
        column(Key::AnsweredOf, 1.4, Align::End),
    ];
    let row = |(ear, one): (Ear, &crate::finding::ScreeningFinding)| {
        let found = match one.found {
            Screened::Heard => Key::ScreenHeard,
            Screened::NotHeard => Key::ScreenNotHeard,
            Screened::Undecided => Key::NotDecided,
            Screened::NotTested => Key::NotTested,
        };
        let level = one.level.map_or("\u{2013}".to_owned(), |level| {
            format!(
                "{} {}",
                said.n(level.db(), 0),
                unit(level.scale(), said.lang)
            )
        });
        vec![
            vec![run(ear_name(ear, said.lang))],
            vec![run(said.n(one.hz.0, 0))],
            vec![run(level)],
            vec![run(said.w(found)).strong()],
            vec![run(said.f(
                Key::KOfN,
                &[&one.answered.to_string(), &one.of.to_string()],
            ))],
        ]
    };
    let rows = screening.all().map(row).collect();
    let mut grid = Grid::new(columns, rows);
    grid.size = size::SMALL;
    Some(grid)
}

fn remarks(said: &Said) -> Text {
    let findings = said.filed.findings;
    let mut text: Text = Vec::new();
    let mut add = |words: String| text.push(run(format!("{words} ")).soft());
    let all = || findings.hearing.all().map(|(_, one)| one);
    let measured = measured(said);
    if all().any(|one| one.u_db.is_some()) {
        add(said.w(Key::RemarkUncertainty).to_owned());
    } else if measured {
        add(said.w(Key::RemarkNoUncertainty).to_owned());
    }
    if all().any(|one| one.from_neighbours) {
        add(said.w(Key::RemarkLeaning).to_owned());
    }
    if all().any(|one| one.status == HearingStatus::AnsweredAtMinimum) {
        add(said.w(Key::RemarkAtMinimum).to_owned());
    }
    if all().any(|one| one.masking == Some(Masking::Done)) {
        add(said.w(Key::RemarkMasked).to_owned());
    } else if measured && all().all(|one| matches!(one.masking, None | Some(Masking::NotNeeded))) {
        add(said.w(Key::RemarkNoMasking).to_owned());
    }
    if all().any(|one| one.status == HearingStatus::Stopped && one.unmasked.is_some()) {
        add(said.w(Key::RemarkPoorer).to_owned());
    }
    if let Some(caution) = &findings.without_bone {
        text.push(said.told(caution).soft());
        text.push(run(" "));
    }
    if let Some(screening) = &findings.screening {
        text.push(said.told(&screening.caution).soft());
    }
    text
}
