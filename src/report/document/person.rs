//! The page for the person, in plain language: what was done, what came out, what comes next.

use super::{Block, Said};
use crate::evidence::{self, Consistency};
use crate::finding::{SightStatus, Urgency};
use crate::quantity::{DbHl, Ear, Eye};
use crate::report::figure::acuity::{eye_name, without_a_number};
use crate::report::figure::audiogram::ear_name;
use crate::report::page::{Text, run};
use crate::report::words::Key;
use crate::standard::who_2021::Grade;

/// Larger than the report's type.
const LARGE: f32 = 11.5;

fn text(words: impl AsRef<str>) -> Block {
    Block::Paragraph(vec![run(words)], LARGE, 5.0)
}

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let filed = said.filed;
    let mut all = vec![
        Block::Heading(0, said.w(Key::PersonTitle).to_owned()),
        Block::Paragraph(
            vec![
                run(format!(
                    "{} \u{b7} {}",
                    filed.code(said.lang),
                    filed.day(said.lang)
                ))
                .soft(),
            ],
            LARGE,
            0.0,
        ),
        text(said.w(Key::PersonIntro)),
        Block::Heading(1, said.w(Key::PersonHearing).to_owned()),
    ];
    all.extend(hearing(said));
    all.push(Block::Heading(1, said.w(Key::PersonSight).to_owned()));
    all.extend(sight(said));
    all.push(Block::Heading(1, said.w(Key::PersonNext).to_owned()));
    all.extend(next(said));
    all.push(Block::Heading(1, said.w(Key::PersonAtOnce).to_owned()));
    let signs = [
        Key::PersonSignHearing,
        Key::PersonSignSight,
        Key::PersonSignPain,
        Key::PersonSignFace,
    ];
    let items: Vec<Text> = signs.map(|key| vec![run(said.w(key))]).to_vec();
    all.push(Block::Items(items, LARGE));
    all.push(Block::Space(6.0));
    all.push(Block::Paragraph(
        vec![run(said.w(Key::PersonLimits)).soft()],
        LARGE - 2.0,
        6.0,
    ));
    all
}

fn hearing(said: &Said) -> Vec<Block> {
    let findings = said.filed.findings;
    let tested = findings.hearing.all().any(|(_, one)| one.presentations > 0);
    if !tested && findings.screening.is_none() {
        return vec![text(said.w(Key::PersonHearingNot))];
    }
    if findings.as_obtained.hearing {
        return vec![text(said.w(Key::PersonNotFitting))];
    }
    if !tested {
        return vec![text(said.w(Key::PersonScreened))];
    }
    let averages = &findings.averages;
    let item = |ear: Ear| {
        let (mean, least) = match ear {
            Ear::Right => (
                averages.right.pta4_db_hl,
                averages.pta4_at_least.right_db_hl,
            ),
            Ear::Left => (averages.left.pta4_db_hl, averages.pta4_at_least.left_db_hl),
        };
        let name = ear_name(ear, said.lang);
        let words = match mean.or(least) {
            // Of one ear by itself: as if the other were alike.
            Some(db) => said.w(plainly(Grade::of(DbHl(db), DbHl(db)))),
            None => said.w(Key::PersonNoFigure),
        };
        vec![run(format!("{name}: ")).strong(), run(words)]
    };
    vec![
        text(said.w(Key::PersonHearingHow)),
        Block::Items(Ear::BOTH.map(item).to_vec(), LARGE),
    ]
}

fn plainly(grade: Grade) -> Key {
    match grade {
        Grade::Normal | Grade::Unilateral => Key::PlainNormal,
        Grade::Mild => Key::PlainMild,
        Grade::Moderate => Key::PlainModerate,
        Grade::ModeratelySevere => Key::PlainModeratelySevere,
        Grade::Severe => Key::PlainSevere,
        Grade::Profound | Grade::Complete => Key::PlainProfound,
    }
}

fn sight(said: &Said) -> Vec<Block> {
    let findings = said.filed.findings;
    let tested = Eye::ALL
        .into_iter()
        .any(|eye| !findings.sight.eye(eye).by_size.is_empty());
    if !tested {
        return vec![text(said.w(Key::PersonSightNot))];
    }
    if findings.as_obtained.sight {
        return vec![text(said.w(Key::PersonNotFitting))];
    }
    let item = |eye: Eye| {
        let one = findings.sight.eye(eye);
        let words = match (one.status, one.log_mar) {
            (SightStatus::Measured, Some(log_mar)) => {
                // What is read from 6 m is read by usual sight from so far.
                let metres = 6.0 * libm::exp10(log_mar);
                let usual = said.n(metres, usize::from(metres < 10.0));
                let key = if log_mar <= 0.1 {
                    Key::PersonSightGood
                } else {
                    Key::PersonSightLess
                };
                said.f(key, &[&usual])
            }
            (SightStatus::BetterThanSmallestShown, _) => said.w(Key::PersonSightBest).to_owned(),
            (SightStatus::WorseThanLargestShown, _) => said.w(Key::PersonSightWorst).to_owned(),
            (SightStatus::NotTested | SightStatus::Declined, _) => {
                said.w(Key::NotTested).to_owned()
            }
            (
                SightStatus::CountingFingers
                | SightStatus::HandMotion
                | SightStatus::LightPerception
                | SightStatus::NoLightPerception
                | SightStatus::Screened,
                _,
            ) => without_a_number(one, said.lang).unwrap_or_default(),
            (SightStatus::Measured | SightStatus::Stopped, _) => {
                said.w(Key::PersonNoFigure).to_owned()
            }
        };
        let name = eye_name(eye, said.lang);
        vec![run(format!("{name}: ")).strong(), run(words)]
    };
    vec![
        text(said.w(Key::PersonSightHow)),
        Block::Items(Eye::ALL.map(item).to_vec(), LARGE),
    ]
}

/// Whether a sense was not tested, or gave too few answers to say how they agree.
fn too_little(said: &Said) -> bool {
    let consistency = &said.filed.findings.consistency;
    let enough = |sense: &Option<Consistency>| {
        sense
            .as_ref()
            .is_some_and(|one| one.grade != evidence::Grade::TooFewAnswers)
    };
    !enough(&consistency.hearing) || !enough(&consistency.sight)
}

fn next(said: &Said) -> Vec<Block> {
    let findings = said.filed.findings;
    let most = findings.cues.iter().map(|cue| cue.urgency).max();
    let mut keys = Vec::new();
    if findings.as_obtained.hearing || findings.as_obtained.sight {
        keys.push(Key::PersonAgain);
    }
    let flagged = findings
        .bedside
        .as_ref()
        .is_some_and(|one| !one.refer_now.is_empty());
    keys.push(match most {
        _ if flagged => Key::PersonUrgent,
        Some(Urgency::Urgent) => Key::PersonUrgent,
        Some(Urgency::Soon) => Key::PersonSoon,
        Some(Urgency::Routine) => Key::PersonRoutine,
        Some(Urgency::Note) | None if too_little(said) => Key::PersonTooLittle,
        Some(Urgency::Note) | None => Key::PersonNothing,
    });
    keys.push(Key::PersonAsk);
    keys.into_iter().map(|key| text(said.w(key))).collect()
}
