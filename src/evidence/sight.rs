//! Answers to optotypes: their ratio, and what was counted, line by line.

use super::recalibration::Recalibration;
use super::sight_model::{Seen, log10_ratio, seen};
use super::{Check, Consistency, Extent, Fit, LeftOut, Parts, counted};
use crate::belief::{AcuityPosterior, binomial};
use crate::finding::{reversed, trials_of};
use crate::journal::{Asked, Purpose, Record, Trial};
use crate::quantity::Sense;

const FEWEST_TRIALS: usize = 10;
/// So far above an eye's own acuity an optotype is plain to see, logMAR (five times the usual
/// scale of the choice function).
const PLAIN_LOG_MAR: f64 = 0.25;
/// A direction cannot be seen and chosen sooner, s (choice reaction time is about 0.28 s,
/// reference: auditory reaction time study, Nihon Jibiinkoka 93:746; the limit is our choice).
const FASTEST_S: f64 = 0.15;

pub(super) fn consistency(record: &Record) -> Option<Consistency> {
    // A reversal is a matter of set-up or understanding and says nothing here.
    let mut askings = record.asked();
    askings.retain(|asked| !reversed(record, asked));
    let trials: Vec<&Trial> = askings
        .iter()
        .flat_map(|asked| record.of_asked(asked))
        .filter(|trial| trial.optotype().is_some())
        .collect();
    if trials.is_empty() {
        return None;
    }
    let measured = trials
        .iter()
        .filter(|trial| trial.purpose() == Purpose::Measure)
        .count();
    let answers = seen(&trials);
    let extent = if answers.iter().any(|answer| answer.tests) {
        Extent::Choices
    } else {
        Extent::Measuring
    };
    let mut checks = vec![plain_items(record, &askings), fast(&trials)];
    checks.extend(choices(&answers));
    Some(Consistency::of(Parts {
        sense: Sense::Sight,
        extent,
        enough: measured >= FEWEST_TRIALS,
        log10_raw: log10_ratio(&answers),
        left_out: left_out(&answers, extent).into_iter().collect(),
        silent: None,
        checks,
        at_least: Vec::new(),
    }))
}

/// The ratio without the choices that were presented to see how answers agree.
fn left_out(answers: &[Seen], extent: Extent) -> Option<LeftOut> {
    let table = Recalibration::of(Sense::Sight, extent)?;
    let measuring: Vec<Seen> = answers.iter().copied().filter(|one| !one.tests).collect();
    if measuring.len() == answers.len() {
        return None;
    }
    let raw = log10_ratio(&measuring)?;
    Some(LeftOut {
        what: "choices below the acuity".into(),
        log10_ratio: table.log10(raw),
        grade: table.grade(raw),
    })
}

/// Choices among few directions below the admitted acuity.
fn choices(answers: &[Seen]) -> Option<Check> {
    let tests: Vec<&Seen> = answers.iter().filter(|answer| answer.tests).collect();
    let choices = tests.first()?.choices;
    let n = tests.len() as u32;
    let right = tests.iter().filter(|answer| answer.right).count() as u32;
    let p = binomial::lower_tail(right, n, 1.0 / choices);
    let [low, high] = binomial::interval(right, n, 0.95);
    Some(Check {
        name: "choices below the acuity".into(),
        k: right,
        n,
        p: Some(p),
        seen: format!(
            "{right} of {n} right among {choices:.0} ({:.0} to {:.0} %, exact 95 % interval)",
            100.0 * low,
            100.0 * high
        ),
        expected: format!(
            "{:.0} % by guessing alone, or more; so few by guessing once in so many as p says, which \
             is no proof (Graef 1999)",
            100.0 / choices
        ),
        fit: match p {
            p if p < 0.01 => Fit::Misfits,
            p if p < 0.05 => Fit::Doubtful,
            _ => Fit::Fits,
        },
    })
}

/// Items that are plain to see for the eye that looks as it does, in practice or while measuring. An
/// eye to which nothing shown is plain says nothing here.
fn plain_items(record: &Record, askings: &[Asked]) -> Check {
    let (mut wrong, mut shown) = (0, 0);
    for asked in askings {
        let measured = trials_of(record, asked);
        if measured.is_empty() {
            continue;
        }
        let posterior = AcuityPosterior::from_trials(&measured);
        let plain_from = posterior.midpoint().mean() + PLAIN_LOG_MAR;
        for trial in record.of_asked(asked) {
            let plain = trial
                .optotype()
                .is_some_and(|shown| shown.log_mar.0 >= plain_from);
            if let Some(right) = trial.right().filter(|_| plain) {
                shown += 1;
                wrong += u32::from(!right);
            }
        }
    }
    counted(
        "optotypes missed far above the acuity",
        (wrong, shown),
        0.05,
        [0.20, 0.40],
        [
            "optotypes missed that are 0.25 logMAR and more above the acuity",
            "about 1 in 20 by lapses",
        ],
    )
}

fn fast(trials: &[&Trial]) -> Check {
    let times: Vec<f64> = trials
        .iter()
        .filter_map(|trial| trial.answered_after_s())
        .collect();
    let fast = times.iter().filter(|after_s| **after_s < FASTEST_S).count();
    counted(
        "answers faster than a person can see and choose",
        (fast as u32, times.len() as u32),
        0.01,
        [0.05, 0.20],
        [
            "answers within 0.15 s",
            "hardly any (the limit is our choice)",
        ],
    )
}
