//! What only the long form has: the sheet of the method, and every presentation.

use super::filed::clock;
use super::summary::COVERAGE;
use super::{Block, Said, paragraph, small};
use crate::evidence::{ErrorRates, left_out};
use crate::journal::{Outcome, Planned, Purpose, Trial};
use crate::quantity::{Ear, Eye};
use crate::report::figure::acuity::eye_name;
use crate::report::figure::audiogram::ear_name;
use crate::report::figure::shape::Ink;
use crate::report::page::{Align, Cell, Column, Grid, Run, run, size};
use crate::report::words::Key;
use crate::stimulus::{Facing, Letter, Symbol};

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let mut all = vec![Block::Heading(1, said.w(Key::SheetHead).to_owned())];
    all.extend(ratios(said));
    all.extend(budgets(said));
    all.extend(sources(said));
    all.push(Block::Heading(1, said.w(Key::TrialsHead).to_owned()));
    all.push(small(vec![run(said.w(Key::TrialsNote)).soft()]));
    all.push(Block::Table(trials(said)));
    all
}

fn columns(said: &Said, all: &[(Key, f32, Align)]) -> Vec<Column> {
    all.iter()
        .map(|(key, share, align)| Column {
            head: vec![run(said.w(*key)).soft()],
            share: *share,
            align: *align,
        })
        .collect()
}

/// The ratio of evidence, and what it rests on, which stand nowhere else.
fn ratios(said: &Said) -> Vec<Block> {
    let evidence = &said.filed.findings.consistency;
    let senses = [
        (Key::Hearing, evidence.hearing.as_ref()),
        (Key::Sight, evidence.sight.as_ref()),
    ];
    let mut all = Vec::new();
    for (sense, one) in senses
        .into_iter()
        .filter_map(|(sense, one)| Some((sense, one?)))
    {
        let words = match one.log10_ratio_shown {
            Some(ratio) => said.f(Key::RatioIs, &[said.w(sense), &said.n(ratio, 1)]),
            None => said.f(Key::RatioNone, &[said.w(sense)]),
        };
        all.push(paragraph(vec![run(words)]));
        let by_kind = one.error_rates.by_kind_sentence();
        for text in [left_out(&one.left_out, one.grade), by_kind] {
            all.push(small(vec![said.told(&text), run(".")]));
        }
        all.extend(at_base_rates(said, &one.error_rates));
    }
    if let Some(text) = evidence.any_adverse_sentence() {
        all.push(small(vec![said.told(&text), run(".")]));
    }
    all
}

/// What `inconsistent` means at several base rates; none where no such visit was graded so.
fn at_base_rates(said: &Said, rates: &ErrorRates) -> Option<Block> {
    let number = |head: String| Column {
        head: vec![run(head)],
        share: 1.0,
        align: Align::End,
    };
    let label = Column {
        head: vec![run(said.w(Key::BaseRate)).soft()],
        share: 4.0,
        align: Align::Start,
    };
    let numbers = rates.at_base_rates.iter();
    let heads = numbers
        .clone()
        .map(|at| number(said.n(100.0 * at.base_rate, 0)));
    let columns = std::iter::once(label).chain(heads).collect();
    let cells = numbers.map(|at| {
        // Rounded outwards: never surer than the counts.
        let [least, most] = [(100.0 * at.at_least).floor(), (100.0 * at.at_most).ceil()];
        let between = format!("{}\u{2013}{}", said.n(least, 0), said.n(most, 0));
        vec![run(between)]
    });
    let row = std::iter::once(vec![run(said.w(Key::OfInconsistent))]).chain(cells);
    let known = !rates.at_base_rates.is_empty();
    known.then(|| Block::Table(Grid::new(columns, vec![row.collect()])))
}

/// The components of each threshold's uncertainty, a column each.
fn budgets(said: &Said) -> Vec<Block> {
    let Some(earphone) = &said.filed.record.opening.set_up.earphone else {
        return Vec::new();
    };
    let findings = &said.filed.findings.hearing;
    let budgets = findings.all().filter_map(|(ear, one)| {
        let masked = one.masking == Some(crate::finding::Masking::Done);
        let answers = one.sd_db.map(crate::quantity::Db);
        let budget = earphone.budget(one.hz, answers, masked)?;
        Some((ear, one.hz, budget.components, one.u_db?))
    });
    let budgets: Vec<_> = budgets.collect();
    if budgets.is_empty() {
        return Vec::new();
    }
    let mut parts: Vec<&str> = Vec::new();
    for what in budgets
        .iter()
        .flat_map(|(_, _, all, _)| all)
        .map(|part| part.what)
    {
        if !parts.contains(&what) {
            parts.push(what);
        }
    }
    let number = |head: Run| Column {
        head: vec![head],
        share: 1.0,
        align: Align::End,
    };
    let mut heads = columns(
        said,
        &[
            (Key::Ear, 1.2, Align::Start),
            (Key::FrequencyHz, 1.0, Align::End),
        ],
    );
    heads.extend(parts.iter().map(|what| number(said.told(what).soft())));
    heads.push(number(run(said.w(Key::StandardU)).soft()));
    heads.push(number(run(said.w(Key::RowExpanded)).soft()));
    let rows = budgets.iter().map(|(ear, hz, all, u_db)| {
        let mut row = vec![
            vec![run(ear_name(*ear, said.lang))],
            vec![run(said.n(hz.0, 0))],
        ];
        row.extend(parts.iter().map(|what| {
            let part = all.iter().find(|part| part.what == *what);
            let db = part.map_or("\u{2013}".to_owned(), |part| said.n(part.u_db.0, 1));
            vec![run(db).soft()]
        }));
        row.push(vec![run(said.n(*u_db, 1))]);
        row.push(vec![run(said.n(COVERAGE * u_db, 1)).strong()]);
        row
    });
    vec![
        Block::Heading(2, said.w(Key::BudgetHead).to_owned()),
        Block::Table(Grid::new(heads, rows.collect())),
    ]
}

/// Where the criteria of the cues stand.
fn sources(said: &Said) -> Vec<Block> {
    let cues = &said.filed.findings.cues;
    if cues.is_empty() {
        return Vec::new();
    }
    let items = cues.iter().map(|cue| {
        vec![
            said.told(&cue.what),
            run(": ").soft(),
            said.told(&cue.source).soft(),
        ]
    });
    vec![
        Block::Heading(2, said.w(Key::SourcesHead).to_owned()),
        Block::Items(items.collect(), size::SMALL),
    ]
}

/// Every presentation in its order, void ones included.
fn trials(said: &Said) -> Grid {
    let record = said.filed.record;
    let mut rows: Vec<(u32, Vec<Cell>)> = record
        .trials()
        .iter()
        .map(|trial| (trial.planned.n, trial_row(said, trial)))
        .collect();
    rows.extend(record.voids().iter().map(|void| {
        let row = vec![
            vec![run(void.planned.n.to_string())],
            vec![run("\u{2013}").soft()],
            vec![run(purpose(said, &void.planned))],
            vec![run(presented(said, &void.planned))],
            vec![run(said.w(Key::Void)).strong().ink(Ink::Alert)],
            vec![said.told(&void.reason)],
        ];
        (void.planned.n, row)
    }));
    rows.sort_by_key(|(n, _)| *n);
    let heads = [
        (Key::Number, 0.5, Align::End),
        (Key::Began, 0.9, Align::End),
        (Key::Purpose, 1.5, Align::Start),
        (Key::PresentedHead, 4.2, Align::Start),
        (Key::Answer, 1.7, Align::Start),
        (Key::Remark, 1.9, Align::Start),
    ];
    let mut grid = Grid::new(
        columns(said, &heads),
        rows.into_iter().map(|(_, row)| row).collect(),
    );
    grid.groups = (5..grid.rows.len()).step_by(5).collect();
    grid.pad = 0.1;
    grid.size = size::TINY + 0.2;
    grid
}

fn trial_row(said: &Said, trial: &Trial) -> Vec<Cell> {
    let (answer, after_s) = match &trial.outcome {
        Outcome::Yes { latency_s } => (said.w(Key::AnswerYes).to_owned(), *latency_s),
        Outcome::No => (said.w(Key::AnswerNone).to_owned(), None),
        Outcome::Early => (said.w(Key::AnswerEarly).to_owned(), None),
        Outcome::Chosen { facing, after_s } => (facing_words(said, *facing), *after_s),
        Outcome::Interval { chosen, after_s } => (chosen.to_string(), *after_s),
        Outcome::Named { letters, after_s } => (letters.clone(), *after_s),
        Outcome::Sees { sees } => {
            let key = if *sees {
                Key::SeenByHand
            } else {
                Key::NotSeenByHand
            };
            (said.w(key).to_owned(), None)
        }
    };
    let mut remarks = Vec::new();
    if let Some(after_s) = after_s {
        remarks.push(said.f(Key::AfterS, &[&said.n(after_s, 2)]));
    }
    let namings = trial.namings();
    if !namings.is_empty() {
        let right = namings.iter().filter(|(_, right)| *right).count();
        remarks.push(said.f(
            Key::KOfNRight,
            &[&right.to_string(), &namings.len().to_string()],
        ));
    }
    if trial.undone {
        remarks.push(said.w(Key::TakenBack).to_owned());
    }
    let remarks = if remarks.is_empty() {
        "\u{2013}".to_owned()
    } else {
        remarks.join(", ")
    };
    vec![
        vec![run(trial.planned.n.to_string())],
        vec![run(clock(said.filed.time(trial.began))).soft()],
        vec![run(purpose(said, &trial.planned)).soft()],
        vec![run(presented(said, &trial.planned))],
        vec![run(answer)],
        vec![run(remarks).soft()],
    ]
}

fn purpose(said: &Said, planned: &Planned) -> &'static str {
    said.w(match planned.purpose {
        Purpose::Familiarise => Key::PurposeFamiliarise,
        Purpose::Practise => Key::PurposePractise,
        Purpose::Measure => Key::PurposeMeasure,
        Purpose::Repeat => Key::PurposeRepeat,
        Purpose::Screen => Key::PurposeScreen,
        Purpose::Masked => Key::PurposeMasked,
        Purpose::Silent => Key::PurposeSilent,
        Purpose::Sweep => Key::PurposeSweep,
        Purpose::BothEars => Key::PurposeBothEars,
        Purpose::ForcedChoice => Key::PurposeForcedChoice,
        Purpose::Company => Key::PurposeCompany,
    })
}

fn presented(said: &Said, planned: &Planned) -> String {
    let sound = |part: &crate::stimulus::SoundPart| {
        let level = part.level;
        format!(
            "{} {} Hz {} {}",
            ear(said, part.ear),
            said.n(part.hz.0, 0),
            said.n(level.db(), 1),
            level.scale().unit()
        )
    };
    let presentation = &planned.presentation;
    let mut parts: Vec<String> = presentation.tones().map(&sound).collect();
    parts.extend(presentation.maskers().map(|part| {
        said.f(
            Key::NoiseAt,
            &[ear(said, part.ear), &said.n(part.level.db(), 0)],
        )
    }));
    let shown: Vec<_> = presentation.optotypes().collect();
    if let Some(first) = shown.first() {
        let symbols: String = shown
            .iter()
            .filter_map(|part| part.symbol.letter())
            .map(Letter::char)
            .collect();
        let symbols = match first.symbol {
            Symbol::Facing(facing) => facing_words(said, facing),
            Symbol::Letter(_) => symbols,
        };
        parts.push(format!(
            "{} {} logMAR {symbols}",
            eye(said, first.eye),
            said.n(first.log_mar.0, 2)
        ));
    }
    if parts.is_empty() {
        return said.w(Key::Silence).to_owned();
    }
    parts.join("; ")
}

fn ear(said: &Said, ear: Ear) -> &'static str {
    ear_name(ear, said.lang)
}

fn eye(said: &Said, eye: Eye) -> &'static str {
    eye_name(eye, said.lang)
}

pub(super) fn facing_words(said: &Said, facing: Facing) -> String {
    said.w(match facing {
        Facing::Right => Key::FacingRight,
        Facing::UpRight => Key::FacingUpRight,
        Facing::Up => Key::FacingUp,
        Facing::UpLeft => Key::FacingUpLeft,
        Facing::Left => Key::FacingLeft,
        Facing::DownLeft => Key::FacingDownLeft,
        Facing::Down => Key::FacingDown,
        Facing::DownRight => Key::FacingDownRight,
    })
    .to_owned()
}
