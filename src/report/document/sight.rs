//! Sight: a figure an eye, and the numbers below; then what was found under other conditions, and what
//! was told.

use super::summary::COVERAGE;
use super::{Block, Said, paragraph};
use crate::finding::{GradedCategory, SightFinding, SightStatus};
use crate::journal::{LetterDifficulty, SightProcedure, Told, ToldAnswer};
use crate::quantity::Eye;
use crate::report::figure::Acuity;
use crate::report::figure::acuity::{eye_name, without_a_number};
use crate::report::page::{Align, Cell, Column, Grid, Picture, Run, Share, Text, run, size};
use crate::report::words::Key;
use crate::stimulus::OptotypeSet;

/// How high the figure of an eye is, points: as low as its rows of counts still stand apart, so that the
/// summary, the audiogram and the numbers of both senses stand on the first page of a plain visit.
const HIGH: f32 = 86.0;
/// How many times as large as figures are laid out for: their lettering of 13 points comes out at 7.3,
/// between the small and the smallest type of the page.
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
    let untested = |(_, one): (Eye, &SightFinding)| one.status == SightStatus::NotTested;
    if findings.sight.all().all(untested) {
        all.push(paragraph(vec![run(said.w(Key::SightNotTested))]));
    } else {
        let mut together = Vec::new();
        if !figures.is_empty() {
            let spare = 3 - figures.len();
            let mut figures = figures;
            figures.extend((0..spare).map(|_| (Share::Part(1.0), Vec::new())));
            together.push(Block::Beside(figures));
        }
        together.push(Block::Table(numbers(said)));
        together.push(Block::Paragraph(remarks(said), size::TINY + 0.2, 2.0));
        all.push(Block::Together(together));
    }
    if !findings.sight.further.is_empty() {
        all.push(Block::Heading(2, said.w(Key::FurtherHead).to_owned()));
        all.push(Block::Table(further(said)));
    }
    all.extend(beside(said).map(|items| Block::Items(items, size::SMALL)));
    all
}

/// What was found under other conditions, and in other ways.
fn further(said: &Said) -> Grid {
    let sight = &said.filed.findings.sight;
    let rows = sight.further.iter().map(|one| {
        let mut row = row(said, one.eye, &one.finding);
        row.insert(1, vec![run(how_asked(said, &one.finding))]);
        row
    });
    let mut columns = columns(said, said.w(Key::Fraction).to_owned());
    columns[1].share = WORDS;
    let how = Column {
        head: vec![run(said.w(Key::HowAsked)).soft()],
        share: 2.3,
        align: Align::Start,
    };
    columns.insert(1, how);
    Grid::new(columns, rows.collect())
}

/// In which way, through what and from where an eye was asked.
fn how_asked(said: &Said, one: &SightFinding) -> String {
    let mut parts = vec![
        said.w(match one.procedure {
            SightProcedure::Adaptive => Key::AskedSingly,
            SightProcedure::Rows => Key::AskedRows,
            SightProcedure::Screening => Key::AskedOneSize,
            SightProcedure::NearCard => Key::AskedNearCard,
            SightProcedure::ByHand => Key::AskedByHand,
        })
        .to_owned(),
    ];
    if one.pinhole {
        parts.push(said.w(Key::Pinhole).to_owned());
    }
    parts.extend(one.distance_mm.map(|mm| {
        let metres = said.lang.short(mm.0 / 1000.0);
        said.f(Key::Metres, &[&metres])
    }));
    parts.join(", ")
}

/// What belongs to the figures: two distances, the score, what has to be known, what was told; none of a
/// visit that has none of it.
fn beside(said: &Said) -> Option<Vec<Text>> {
    let findings = said.filed.findings;
    let sight = &findings.sight;
    let named = |name: String, text: Text| {
        let mut all = vec![run(format!("{name}: ")).strong()];
        all.extend(text);
        all
    };
    let mut all: Vec<Text> = Vec::new();
    all.extend(sight.distances.iter().map(|pair| {
        let name = said.f(Key::TwoDistances, &[eye_name(pair.eye, said.lang)]);
        named(name, vec![said.told(&pair.statement), run(".")])
    }));
    let graded = sight.grades.as_ref();
    all.extend(
        graded
            .and_then(|grades| grades.functional_acuity.as_ref())
            .map(|found| {
                let parts = [
                    said.n(found.score, 0),
                    said.n(COVERAGE * found.u_score, 0),
                    said.n(found.impairment_percent, 0),
                ];
                let words = said.f(Key::FunctionalAcuity, &[&parts[0], &parts[1], &parts[2]]);
                vec![run(format!("{words} ({}).", found.scheme))]
            }),
    );
    all.extend(
        sight
            .cautions
            .iter()
            .map(|caution| vec![said.told(caution)]),
    );
    if !sight.history.is_empty() {
        let mut told = Vec::new();
        for (at, one) in sight.history.iter().enumerate() {
            told.push(run(if at == 0 { "" } else { " \u{b7} " }).soft());
            told.extend(history(said, one));
        }
        all.push(named(said.w(Key::ToldOfEyes).to_owned(), told));
    }
    (!all.is_empty()).then_some(all)
}

/// The category with its scheme, what it rests on, and the limits that it may lie beyond.
fn rests_on(said: &Said, category: &GradedCategory) -> Text {
    let mut text = vec![
        said.told(&category.title),
        run(format!(" ({}); ", category.scheme)),
        said.told(&category.by),
    ];
    if !category.limits_within_uncertainty.is_empty() {
        let limits = category.limits_within_uncertainty.join(", ");
        text.push(run(format!("; {}", said.f(Key::LimitsWithin, &[&limits]))));
    }
    text.push(run("."));
    text
}

/// A question about the eyes, and what was answered.
fn history(said: &Said, told: &Told) -> Text {
    let answer = said.w(match told.answer {
        ToldAnswer::Yes => Key::AnswerIsYes,
        ToldAnswer::No => Key::AnswerIsNo,
        ToldAnswer::Unknown => Key::AnswerIsUnknown,
    });
    let eye = told.eye.map_or(String::new(), |eye| {
        format!(", {}", eye_name(eye, said.lang))
    });
    let words = told.words.as_ref();
    let words = words.map_or(String::new(), |words| {
        format!(": {}", said.f(Key::Quoted, &[words]))
    });
    vec![
        said.told(told.about.question()).soft(),
        run(format!(" {answer}{eye}{words}")),
    ]
}

/// The share of the column of acuities where words stand in it.
const WORDS: f32 = 2.6;

fn numbers(said: &Said) -> Grid {
    let sight = &said.filed.findings.sight;
    let distance = Eye::ALL
        .into_iter()
        .find_map(|eye| sight.eye(eye).distance_mm)
        .map_or("\u{2013}".to_owned(), |mm| said.lang.short(mm.0 / 1000.0));
    let rows = Eye::ALL
        .into_iter()
        .map(|eye| row(said, eye, sight.eye(eye)));
    let mut columns = columns(said, said.f(Key::AtDistance, &[&distance]));
    let in_words = |eye| without_a_number(sight.eye(eye), said.lang).is_some();
    if Eye::ALL.into_iter().any(in_words) {
        columns[1].share = WORDS;
    }
    Grid::new(columns, rows.collect())
}

/// The columns, with a head over the fraction that has the distance really used.
fn columns(said: &Said, fraction: String) -> Vec<Column> {
    let column = |head: String, share, align| Column {
        head: vec![run(head).soft()],
        share,
        align,
    };
    vec![
        column(said.w(Key::Eye).to_owned(), 1.6, Align::Start),
        column("logMAR".to_owned(), 1.3, Align::Start),
        column(said.w(Key::RowExpanded).to_owned(), 1.3, Align::End),
        column(fraction, 1.2, Align::End),
        column(said.f(Key::AtDistance, &["6"]), 1.2, Align::End),
        column(said.w(Key::AtFeet).to_owned(), 1.1, Align::End),
        column(said.w(Key::DecimalAcuity).to_owned(), 1.3, Align::End),
        column(said.w(Key::ByLetter).to_owned(), 1.3, Align::End),
        column(said.w(Key::NearestLines).to_owned(), 2.0, Align::Start),
        column(said.w(Key::Correction).to_owned(), 2.8, Align::Start),
    ]
}

fn row(said: &Said, eye: Eye, one: &SightFinding) -> Vec<Cell> {
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
            said.words(words)
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
        SightStatus::Measured => match (one.log_mar, one.m_units) {
            (None, _) => said.w(Key::NotDecided).to_owned(),
            (Some(log_mar), None) => said.n(log_mar, 2),
            (Some(log_mar), Some(m_units)) => {
                let parts = [log_mar, m_units].map(|one| said.n(one, 2));
                said.f(Key::MUnits, &[&parts[0], &parts[1]])
            }
        },
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
            Some(reason) => said.f(Key::StoppedFor, &[&said.words(reason)]),
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
    let further = sight.further.iter().map(|one| {
        let how = how_asked(said, &one.finding);
        (
            format!("{}, {how}", eye_name(one.eye, said.lang)),
            &one.finding,
        )
    });
    let each = Eye::ALL.into_iter().map(|eye| {
        let name = eye_name(eye, said.lang).to_owned();
        (name, sight.eye(eye))
    });
    for (name, one) in each.chain(further) {
        if !one.by_size.is_empty() {
            let counts: Vec<String> = one
                .by_size
                .iter()
                .map(|one| format!("{} {}/{}", said.n(one.log_mar.0, 2), one.right, one.of))
                .collect();
            text.push(run(format!("{name}: ")));
            text.push(run(format!("{}. ", counts.join(" \u{b7} "))).soft());
        }
        if let Some(rows) = &one.rows {
            let parts = [
                said.n(rows.log_mar, 2),
                rows.right.to_string(),
                rows.of.to_string(),
            ];
            let words = said.f(Key::RowsScore, &[&name, &parts[0], &parts[1], &parts[2]]);
            let letters = said.w(match rows.letters {
                LetterDifficulty::Alike => Key::RowsScoreAlike,
                LetterDifficulty::Corrected => Key::RowsScoreCorrected,
            });
            text.push(run(format!("{} ({letters}). ", words.trim_end_matches('.'))).soft());
        }
        if let Some(screened) = &one.screened {
            let parts = [
                screened.needed.to_string(),
                screened.of_at_most.to_string(),
                said.n(1000.0 * screened.p_by_guessing, 0),
            ];
            let words = said.f(
                Key::GuessingPasses,
                &[&name, &parts[0], &parts[1], &parts[2]],
            );
            text.push(run(format!("{words} ")).soft());
        }
    }
    if let Some(category) = sight.grades.as_ref().and_then(|one| one.category.as_ref()) {
        text.push(run(format!("{}: ", said.w(Key::CategoryRests))));
        text.extend(rests_on(said, category).into_iter().map(Run::soft));
    }
    text
}
