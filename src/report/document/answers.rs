//! How far the answers agree: apart from how exactly anything is known, and never why.

use super::summary::{grade, share};
use super::{Block, Said, paragraph, small};
use crate::evidence::{Check, Consistency, Extent, Fit, Grade, OTHER_CAUSES, Stated};
use crate::report::figure::shape::Ink;
use crate::report::page::{Align, Cell, Column, Grid, Text, run, size};
use crate::report::words::Key;

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let evidence = &said.filed.findings.consistency;
    let senses = [
        (Key::Hearing, evidence.hearing.as_ref()),
        (Key::Sight, evidence.sight.as_ref()),
    ];
    let mut all = vec![Block::Heading(1, said.w(Key::AnswersHead).to_owned())];
    let column = |key, share, align| Column {
        head: vec![run(said.w(key)).soft()],
        share,
        align,
    };
    let columns = vec![
        column(Key::Sense, 1.0, Align::Start),
        column(Key::GradeHead, 2.0, Align::Start),
        column(Key::RateGenuineIn, 2.2, Align::End),
        column(Key::RateGenuineMixed, 1.4, Align::End),
        column(Key::RateRandom, 1.8, Align::End),
        column(Key::RateBar, 2.0, Align::End),
    ];
    let grades = senses
        .into_iter()
        .map(|(sense, one)| graded(said, sense, one));
    all.push(Block::Table(Grid::new(columns, grades.collect())));
    let tested = || {
        senses
            .into_iter()
            .filter_map(|(sense, one)| Some((sense, one?)))
    };
    for (sense, one) in tested() {
        // Of answers that agree there is no more to say than the grade, and what they show all the same.
        if one.grade != Grade::Consistent || !one.at_least.is_empty() {
            let name = run(format!("{}: ", said.w(sense))).strong();
            all.push(paragraph(vec![name, said.told(own_statement(one))]));
        }
    }
    let rows: Vec<Vec<Cell>> = tested()
        .flat_map(|(sense, one)| one.checks.iter().map(move |check| (sense, check)))
        .map(|(sense, check)| row(said, sense, check))
        .collect();
    if !rows.is_empty() {
        let columns = vec![
            column(Key::Seen, 4.4, Align::Start),
            column(Key::Expected, 5.0, Align::Start),
            column(Key::Looks, 1.0, Align::Start),
        ];
        let mut grid = Grid::new(columns, rows);
        grid.pad = 0.5;
        grid.size = size::SMALL - 0.3;
        all.push(Block::Table(grid));
        all.push(small(closing(said, tested())));
    }
    all.extend(next_steps(said, senses));
    all
}

/// What may be done where answers do not fit, or are too few; nothing where nothing need be.
fn next_steps(said: &Said, senses: [(Key, Option<&Consistency>); 2]) -> Vec<Block> {
    let with_steps = || {
        let tested = senses
            .into_iter()
            .filter_map(|(sense, one)| Some((sense, one?)));
        tested.filter(|(_, one)| !one.next_steps.is_empty())
    };
    let mut items: Vec<Text> = with_steps()
        .map(|(sense, one)| {
            let name = run(format!("{}: ", said.w(sense))).strong();
            // The heading says that these are next.
            vec![name, said.told(one.next_steps.trim_start_matches("Next: "))]
        })
        .collect();
    let unfit = |one: &Consistency| matches!(one.grade, Grade::Mixed | Grade::Inconsistent);
    if with_steps().any(|(_, one)| unfit(one)) {
        items.push(vec![run(said.w(Key::NextLook))]);
        if with_steps().any(|(sense, one)| sense == Key::Sight && unfit(one)) {
            items.push(vec![run(said.w(Key::NextObjectiveSight))]);
        }
        items.push(vec![run(said.w(Key::NextDisease))]);
    }
    if items.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading(2, said.w(Key::NextSteps).to_owned()),
        Block::Items(items, size::BODY),
    ]
}

/// What a statement says of this sense alone; what holds for every one is said once, below.
fn own_statement(one: &Consistency) -> &str {
    let scope = one.statement.find(SCOPE_BEGINS);
    one.statement[..scope.unwrap_or(one.statement.len())].trim()
}

/// How the sentence begins that every statement ends with.
const SCOPE_BEGINS: &str = "This describes agreement";

fn row(said: &Said, sense: Key, check: &Check) -> Vec<Cell> {
    let (fit, ink) = match check.fit {
        Fit::Fits => (Key::FitFits, Ink::Text),
        Fit::Doubtful => (Key::FitDoubtful, Ink::Alert),
        Fit::Misfits => (Key::FitMisfits, Ink::Alert),
    };
    vec![
        vec![
            run(format!("{}: ", said.w(sense))).soft(),
            said.told(&check.seen),
        ],
        vec![said.told(&check.expected).soft()],
        vec![run(said.w(fit)).ink(ink)],
    ]
}

/// The grade of a sense and how often such a grade is wrong; never one without the other.
fn graded(said: &Said, sense: Key, one: Option<&Consistency>) -> Vec<Cell> {
    let mut row = vec![vec![run(said.w(sense))]];
    let Some(one) = one else {
        row.push(vec![run(said.w(Key::NotTested))]);
        row.extend((0..4).map(|_| vec![run("\u{2013}").soft()]));
        return row;
    };
    let rates = &one.error_rates;
    row.push(vec![grade(said, one.grade)]);
    let each = [
        (rates.genuine_inconsistent, rates.visits),
        (rates.genuine_mixed, rates.visits),
        (rates.random_missed, rates.visits_a_kind),
        (rates.raised_bar_missed, rates.visits_a_kind),
    ];
    row.extend(each.map(|(rate, visits)| vec![run(share(said, Stated::of(rate, visits)))]));
    row
}

/// What holds for all of it: where the rates come from, the interval of false alarms, what the
/// statements mean, and causes that are none of the person's doing.
fn closing<'a>(said: &Said, tested: impl Iterator<Item = (Key, &'a Consistency)>) -> Text {
    let tested: Vec<&Consistency> = tested.map(|(_, one)| one).collect();
    let mut text = Vec::new();
    let evidence = &said.filed.findings.consistency;
    let beyond = [&evidence.hearing, &evidence.sight].map(|one| extent(said, one.as_ref()));
    if let Some(first) = tested.first() {
        text.push(run(format!("{} ", said.w(Key::RatesFrom))).soft());
        text.push(said.told(&first.error_rates.from).soft());
        text.push(run(". ").soft());
        let words = said.f(Key::BeyondMeasuring, &beyond);
        text.push(run(format!("{words} ")).soft());
    }
    let silent = tested.iter().find_map(|one| one.silent);
    if let Some(silent) = silent.filter(|silent| silent.of > 0) {
        let ends = silent.interval_95.map(|share| said.n(100.0 * share, 0));
        let parts = [silent.answered.to_string(), silent.of.to_string()];
        let words = said.f(
            Key::SilentInterval,
            &[&parts[0], &parts[1], &ends[0], &ends[1]],
        );
        text.push(run(format!("{words} ")).soft());
    }
    let scope = tested.iter().find_map(|one| {
        one.statement
            .find(SCOPE_BEGINS)
            .map(|at| &one.statement[at..])
    });
    if let Some(scope) = scope {
        text.push(said.told(scope));
        text.push(run(" "));
    }
    if !tested
        .iter()
        .any(|one| one.statement.contains(OTHER_CAUSES))
    {
        text.push(said.told(OTHER_CAUSES));
        text.push(run(" "));
    }
    for one in tested.iter().filter(|one| !one.limits.is_empty()) {
        text.push(said.told(&one.limits));
        text.push(run(" "));
    }
    text
}

/// What was presented of a sense beyond measuring.
fn extent(said: &Said, one: Option<&Consistency>) -> &'static str {
    let Some(one) = one else {
        return said.w(Key::NotTested);
    };
    said.w(match one.extent {
        Some(Extent::Sweeps) => Key::ExtentSweeps,
        Some(Extent::Choices) => Key::ExtentChoices,
        Some(Extent::Measuring) | None => Key::ExtentMeasuring,
    })
}
