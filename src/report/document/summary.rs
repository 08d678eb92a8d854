//! The head of the report, and what a busy reader gets in ten seconds.

use super::filed::clock;
use super::{Block, Said, paragraph, small};
use crate::evidence::{Consistency, Grade, Stated};
use crate::finding::{HearingStatus, Screened, ScreeningFindings, SightStatus, Urgency};
use crate::quantity::{Ear, Eye, Scale};
use crate::report::figure::acuity::{eye_name, without_a_number};
use crate::report::figure::audiogram::ear_name;
use crate::report::figure::shape::Ink;
use crate::report::page::{Align, Cell, Column, Grid, Run, Share, Text, run, size};
use crate::report::words::Key;

/// Expanded uncertainty: so many standard uncertainties, about 95 %.
pub(super) const COVERAGE: f64 = 2.0;

/// Title, and whose visit it is.
pub(super) fn head(said: &Said) -> Vec<Block> {
    let (filed, lang) = (said.filed, said.lang);
    let what = filed.findings.caution.split('.').next();
    let what = said.told(&format!("{}.", what.unwrap_or_default())).soft();
    let times = format!(
        "{}, {}\u{2013}{} UTC",
        filed.day(lang),
        clock(filed.began()),
        clock(filed.ended())
    );
    let column = |key, share| Column {
        head: vec![run(said.w(key)).soft()],
        share,
        align: Align::Start,
    };
    let mut grid = Grid::new(
        vec![
            column(Key::Person, 3.4),
            column(Key::VisitTime, 3.2),
            column(Key::PlanAndSetUp, 2.4),
            column(Key::ReportNumber, 2.2),
        ],
        vec![vec![
            vec![run(filed.code(lang)).strong()],
            vec![run(times)],
            vec![run(format!(
                "{} \u{b7} {}",
                filed.record.opening.plan.name, filed.findings.setup
            ))],
            vec![run(filed.id())],
        ]],
    );
    grid.row_heads = false;
    grid.size = size::BODY;
    vec![
        Block::Heading(0, said.w(Key::Title).to_owned()),
        Block::Paragraph(vec![what], size::SMALL, 0.0),
        Block::Table(grid),
    ]
}

/// What was found, how exactly, how far the answers agree, and what to look into.
pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let mut all = vec![
        Block::Heading(1, said.w(Key::InShort).to_owned()),
        Block::Beside(vec![
            (Share::Part(1.0), vec![Block::Table(hearing(said))]),
            (Share::Part(1.0), vec![Block::Table(sight(said))]),
        ]),
    ];
    all.push(small(vec![run(said.w(Key::ExpandedIs)).soft()]));
    all.extend(sentences(said));
    all.extend(cues(said));
    all
}

fn three(said: &Said, [first, second, third]: [Key; 3], rows: Vec<Vec<Cell>>) -> Grid {
    let column = |key, share| Column {
        head: vec![run(said.w(key)).soft()],
        share,
        align: Align::Start,
    };
    let columns = vec![column(first, 1.8), column(second, 3.7), column(third, 2.7)];
    let mut grid = Grid::new(columns, rows);
    grid.groups = vec![grid.rows.len() - 1];
    grid.size = size::BODY;
    grid.pad = 2.4;
    grid
}

/// The one result of a row: large, with what belongs to it in the usual size.
fn result(value: &str, unit: &str) -> Text {
    let large = size::RESULT / size::BODY;
    vec![run(value).strong().times(large), run(format!(" {unit}"))]
}

fn hearing(said: &Said) -> Grid {
    let mut rows: Vec<Vec<Cell>> = Ear::BOTH
        .into_iter()
        .map(|ear| {
            let (found, exact) = ear_result(said, ear);
            vec![vec![run(ear_name(ear, said.lang))], found, exact]
        })
        .collect();
    let consistency = said.filed.findings.consistency.hearing.as_ref();
    rows.push(agreement(said, consistency));
    three(said, [Key::Hearing, Key::MeanOfFour, Key::Exactness], rows)
}

fn ear_result(said: &Said, ear: Ear) -> (Text, Text) {
    let findings = said.filed.findings;
    let all = findings.hearing.ear(ear);
    let none = vec![run(said.w(Key::NoneToState)).soft()];
    if let Some(screening) = findings
        .screening
        .as_ref()
        .filter(|_| all.iter().all(|one| one.presentations == 0))
    {
        return (screened(said, screening, ear), none);
    }
    let tested = all.iter().filter(|one| one.presentations > 0).count();
    if tested == 0 {
        let declined = all.iter().any(|one| one.status == HearingStatus::Declined);
        let key = if declined {
            Key::Declined
        } else {
            Key::NotTested
        };
        return (vec![run(said.w(key)).strong()], none);
    }
    let expanded: Vec<f64> = all
        .iter()
        .filter_map(|one| Some(COVERAGE * one.u_db?))
        .collect();
    let exact = match (
        expanded.iter().copied().reduce(f64::min),
        expanded.iter().copied().reduce(f64::max),
    ) {
        (Some(least), Some(most)) => {
            let [least, most] = [least, most].map(|db| said.n(db, 0));
            vec![run(said.f(Key::ExpandedRange, &[&least, &most]))]
        }
        _ => none,
    };
    if findings.as_obtained.hearing {
        let words = run(said.w(Key::AsObtainedNoThresholds)).strong();
        return (vec![words], exact);
    }
    let averages = &findings.averages;
    let (mean, least) = match ear {
        Ear::Right => (
            averages.right.pta4_db_hl,
            averages.pta4_at_least.right_db_hl,
        ),
        Ear::Left => (averages.left.pta4_db_hl, averages.pta4_at_least.left_db_hl),
    };
    let unit = said.w(Key::DbHl);
    let found = match (mean, least) {
        (Some(db), _) => result(&said.n(db, 0), unit),
        (None, Some(db)) => {
            let mut text = vec![run(said.w(Key::AtLeast)), run(" ")];
            text.extend(result(&said.n(db, 0), unit));
            text
        }
        (None, None) => {
            let measured = all.iter().filter(|one| one.stated_db().is_some()).count();
            let key = if findings.levels == Scale::DbHl.unit() {
                Key::NoMean
            } else {
                Key::NoMeanOnScale
            };
            let parts = [measured.to_string(), all.len().to_string()];
            vec![run(said.f(key, &[&parts[0], &parts[1]])).strong()]
        }
    };
    (found, exact)
}

fn screened(said: &Said, screening: &ScreeningFindings, ear: Ear) -> Text {
    let own: Vec<_> = screening.all().filter(|(side, _)| *side == ear).collect();
    let heard = own.iter().filter(|(_, one)| one.found == Screened::Heard);
    let parts = [heard.count().to_string(), own.len().to_string()];
    vec![run(said.f(Key::ScreenedHeard, &[&parts[0], &parts[1]])).strong()]
}

fn sight(said: &Said) -> Grid {
    let mut rows: Vec<Vec<Cell>> = Eye::ALL
        .into_iter()
        .map(|eye| {
            let (found, exact) = eye_result(said, eye);
            vec![vec![run(eye_name(eye, said.lang))], found, exact]
        })
        .collect();
    rows.push(agreement(
        said,
        said.filed.findings.consistency.sight.as_ref(),
    ));
    three(said, [Key::Sight, Key::AcuityHead, Key::Exactness], rows)
}

fn eye_result(said: &Said, eye: Eye) -> (Text, Text) {
    let findings = said.filed.findings;
    let one = findings.sight.eye(eye);
    let exact = match one.u_log_mar {
        Some(u) => vec![run(said.f(Key::ExpandedLogMar, &[&said.n(COVERAGE * u, 2)]))],
        None => vec![run(said.w(Key::NoneToState)).soft()],
    };
    let words = |key| vec![run(said.w(key)).strong()];
    let found = match (one.status, one.log_mar) {
        (SightStatus::Measured, Some(_)) if findings.as_obtained.sight => {
            words(Key::AsObtainedNoAcuity)
        }
        (SightStatus::Measured, Some(log_mar)) => {
            let fraction = one.snellen_6m.as_deref().map(|text| said.lang.digits(text));
            let beside = match fraction {
                Some(fraction) => format!("logMAR \u{b7} {fraction}"),
                None => "logMAR".to_owned(),
            };
            result(&said.n(log_mar, 2), &beside)
        }
        (SightStatus::Measured | SightStatus::Stopped, _) => words(Key::NotDecided),
        (SightStatus::BetterThanSmallestShown, _) => words(Key::BetterThanSmallest),
        (SightStatus::WorseThanLargestShown, _) => words(Key::WorseThanLargest),
        (
            SightStatus::CountingFingers
            | SightStatus::HandMotion
            | SightStatus::LightPerception
            | SightStatus::NoLightPerception
            | SightStatus::Screened,
            _,
        ) => {
            let found = without_a_number(one, said.lang).unwrap_or_default();
            vec![run(found).strong()]
        }
        (SightStatus::NotTested, _) => words(Key::NotTested),
        (SightStatus::Declined, _) => words(Key::Declined),
    };
    (found, exact)
}

/// The grade, never without how often it is wrong.
fn agreement(said: &Said, consistency: Option<&Consistency>) -> Vec<Cell> {
    let name = vec![run(said.w(Key::Answers))];
    match consistency {
        None => vec![
            name,
            vec![run(said.w(Key::NotTested)).soft()],
            vec![run(said.w(Key::NoneToState)).soft()],
        ],
        Some(consistency) => {
            let rates = &consistency.error_rates;
            let wrong = share(said, Stated::of(rates.genuine_inconsistent, rates.visits));
            vec![
                name,
                vec![grade(said, consistency.grade)],
                vec![run(said.f(Key::WronglyInconsistent, &[&wrong])).soft()],
            ]
        }
    }
}

/// A grade in words.
pub(super) fn grade(said: &Said, grade: Grade) -> Run {
    let (key, ink) = match grade {
        Grade::Consistent => (Key::Consistent, Ink::Text),
        Grade::Mixed => (Key::Mixed, Ink::Alert),
        Grade::Inconsistent => (Key::Inconsistent, Ink::Alert),
        Grade::TooFewAnswers => (Key::TooFewAnswers, Ink::Text),
    };
    run(said.w(key)).strong().ink(ink)
}

/// A share in per cent; one that was counted as none or all is no certainty.
pub(super) fn share(said: &Said, share: Stated) -> String {
    match share {
        Stated::Under(p) => said.f(Key::UnderPercent, &[&said.n(p, 1)]),
        Stated::Over(p) => said.f(Key::OverPercent, &[&said.n(p.floor(), 0)]),
        Stated::About(p) => format!("{} %", said.n(p, usize::from(p < 1.0))),
    }
}

/// The grade of the person, handicap, screening: one after another.
fn sentences(said: &Said) -> Vec<Block> {
    let findings = said.filed.findings;
    let mut text: Text = Vec::new();
    let mut add = |words: String| text.push(run(format!("{words} ")));
    if let Some(grade) = &findings.averages.who_2021 {
        add(said.f(Key::WhoGrade, &[&said.words(grade)]));
    }
    let graded = findings.sight.grades.as_ref();
    if let Some(category) = graded.and_then(|grades| grades.category.as_ref()) {
        let title = said.words(&category.title);
        add(said.f(Key::VisionCategory, &[&title]));
    }
    if let Some(percent) = findings.averages.handicap_1979_percent {
        add(said.f(Key::Handicap, &[&said.n(percent, 1)]));
    }
    if findings.as_obtained.hearing || findings.as_obtained.sight {
        add(said.w(Key::AsObtainedNote).to_owned());
    }
    if let Some(changes) = &findings.changes {
        let source = &changes.source;
        add(said.f(Key::ComparedBelow, &[source]));
    }
    if text.is_empty() {
        return Vec::new();
    }
    vec![paragraph(text)]
}

fn cues(said: &Said) -> Vec<Block> {
    let mut all: Vec<_> = said.filed.findings.cues.iter().collect();
    all.sort_by_key(|cue| std::cmp::Reverse(cue.urgency));
    let mut blocks = vec![Block::Heading(2, said.w(Key::LookFurther).to_owned())];
    let mut none = Key::NoCues;
    if let Some(by_hand) = &said.filed.findings.bedside {
        let flags = by_hand.refer_now.iter().map(|flag| {
            vec![
                run(said.w(Key::UrgencyUrgent)).strong().ink(Ink::Alert),
                run("  "),
                said.told(flag),
            ]
        });
        let flags: Vec<Text> = flags.collect();
        if !flags.is_empty() {
            none = Key::NoCuesMeasured;
            blocks.push(Block::Items(flags, size::BODY));
        }
    }
    if all.is_empty() {
        blocks.push(paragraph(vec![run(said.w(none))]));
        return blocks;
    }
    let item = |cue: &&crate::finding::Cue| {
        vec![
            run(said.w(urgency(cue.urgency))).strong().ink(Ink::Alert),
            run("  "),
            said.told(&cue.what),
            run(": ").soft(),
            said.told(&cue.why).soft(),
            run("."),
        ]
    };
    let items: Vec<Text> = all.iter().map(item).collect();
    blocks.push(Block::Items(items, size::BODY));
    blocks
}

/// How soon, in words.
fn urgency(urgency: Urgency) -> Key {
    match urgency {
        Urgency::Note => Key::UrgencyNote,
        Urgency::Routine => Key::UrgencyRoutine,
        Urgency::Soon => Key::UrgencySoon,
        Urgency::Urgent => Key::UrgencyUrgent,
    }
}
