//! Answers to sounds: their ratio, and what was counted, line by line.

use super::model::{Asked, Part, Ratio, Weighed, weighed};
use super::recalibration::Recalibration;
use super::{Check, Consistency, Extent, Fit, LeftOut, Parts, Silent, counted};
use crate::belief::binomial;
use crate::finding::estimated::shift_db;
use crate::finding::{HearingFinding, HearingFindings, HearingStatus, silent_answers};
use crate::journal::{PressKind, Purpose, Record, Trial};
use crate::quantity::{Ear, Hz, Sense};

/// Fewer than this tell nothing: with 6 silent presentations and none answered the rate may still
/// be 46 % (exact 95 % interval).
const FEWEST_SILENT: u32 = 6;
const FEWEST_TONES: usize = 20;
/// A choice is better than guessing where guesses would be as often right once in a hundred times,
/// over all places tested.
const BETTER_THAN_GUESSING_P: f64 = 0.01;

pub(super) fn consistency(record: &Record, findings: &HearingFindings) -> Option<Consistency> {
    let tones: Vec<&Trial> = record
        .counted()
        .filter(|trial| trial.tone().is_some() && trial.purpose() != Purpose::ForcedChoice)
        .collect();
    if tones.is_empty() {
        return None;
    }
    let silent = silent(record);
    let answers = weighed(record);
    let mut checks = vec![false_alarms(silent), early(record, &tones)];
    checks.extend(again(findings));
    // An estimate makes no ascents that could end apart.
    if findings.all().all(|(_, one)| one.prior_share.is_none()) {
        checks.extend(spread(findings));
    }
    checks.extend(sweeps(record));
    checks.extend(both_ears(&answers));
    checks.extend(choices(&answers));
    let enough = silent.of >= FEWEST_SILENT && tones.len() >= FEWEST_TONES;
    let ratio = Ratio::of(&answers);
    let extent = extent(&answers);
    let table = Recalibration::of(Sense::Hearing, extent);
    let left_out = ratio
        .iter()
        .flat_map(|ratio| &ratio.log10_without)
        .filter(|(part, _)| *part != Part::Measuring)
        .zip(table.iter().cycle())
        .map(|((part, raw), table)| LeftOut {
            what: part.name().into(),
            log10_ratio: table.log10(*raw),
            grade: table.grade(*raw),
        });
    Some(Consistency::of(Parts {
        sense: Sense::Hearing,
        extent,
        enough,
        log10_raw: ratio.as_ref().map(|ratio| ratio.log10),
        left_out: left_out.collect(),
        silent: Some(silent),
        checks,
        at_least: at_least(record, &answers, findings),
    }))
}

/// What was presented beyond the measuring tones: it decides how much a ratio is worth.
fn extent(answers: &[Weighed]) -> Extent {
    let made = |part| answers.iter().any(|answer| answer.part == part);
    if made(Part::ForcedChoice) {
        Extent::Choices
    } else if made(Part::Sweeps) {
        Extent::Sweeps
    } else {
        Extent::Measuring
    }
}

fn silent(record: &Record) -> Silent {
    let (answered, of) = silent_answers(record);
    Silent {
        answered,
        of,
        interval_95: binomial::interval(answered, of, 0.95),
    }
}

fn false_alarms(silent: Silent) -> Check {
    counted(
        "silent presentations answered",
        (silent.answered, silent.of),
        0.10,
        [0.20, 0.25],
        [
            "silent presentations answered",
            "at most 1 in 10 by careful adults; more than 1 in 4 is poor (from memory, no norm \
             located)",
        ],
    )
}

/// Tones that were answered sooner than anybody could have heard them, by the person's own hand:
/// examiner's marks have no time.
fn early(record: &Record, tones: &[&Trial]) -> Check {
    let pressed_early = |trial: &&&Trial| {
        let early = PressKind::Early(trial.planned.n);
        record.presses().iter().any(|press| press.kind == early)
    };
    counted(
        "answers faster than a person can hear",
        (
            tones.iter().filter(pressed_early).count() as u32,
            tones.len() as u32,
        ),
        0.02,
        [0.10, 0.25],
        [
            "tones answered before 0.12 s after their onset",
            "hardly any: reaction takes 0.19 s and more (auditory reaction time, Nihon Jibiinkoka \
             93:746; the limit is our derivation)",
        ],
    )
}

/// The second measurement of a frequency.
fn again(findings: &HearingFindings) -> Option<Check> {
    let apart_db =
        |finding: &HearingFinding| Some((finding.repeat_db? - finding.threshold_db()?).abs());
    let apart: Vec<f64> = findings
        .all()
        .filter_map(|(_, finding)| apart_db(finding))
        .collect();
    let first_db = *apart.first()?;
    let widest_db = apart.iter().copied().fold(first_db, f64::max);
    let fit = match widest_db {
        db if db >= 15.0 => Fit::Misfits,
        db if db > 5.0 => Fit::Doubtful,
        _ => Fit::Fits,
    };
    Some(Check {
        name: "second measurement of the same frequency".into(),
        k: apart.iter().filter(|db| **db > 5.0).count() as u32,
        n: apart.len() as u32,
        p: None,
        seen: format!("measured twice, {widest_db:.0} dB apart"),
        expected: "5 dB or less (ISO 8253-1:2010, step 3); 15 dB once is a flag (from memory)"
            .into(),
        fit,
    })
}

/// Frequencies whose ascents ended more than 10 dB apart.
fn spread(findings: &HearingFindings) -> Option<Check> {
    let measured: Vec<f64> = findings
        .all()
        .filter(|(_, finding)| finding.status == HearingStatus::Measured)
        .map(|(_, finding)| finding.spread_db)
        .collect();
    let wide = measured
        .iter()
        .filter(|spread_db| **spread_db > 10.0)
        .count();
    (!measured.is_empty()).then(|| {
        counted(
            "ascents that ended far apart",
            (wide as u32, measured.len() as u32),
            0.10,
            [0.30, 0.50],
            [
                "frequencies with ascents more than 10 dB apart",
                "few: more than 10 dB is doubtful (ISO 8253-1:2010, 6.2.4); shares are our choice",
            ],
        )
    })
}

/// How far apart falling and rising levels ended at each ear: the last answered of the falling ones
/// less the first answered of the rising ones.
fn sweeps(record: &Record) -> Option<Check> {
    let swept = || {
        let all = record.counted();
        let all = all.filter(|trial| trial.purpose() == Purpose::Sweep);
        all.filter_map(|trial| trial.tone().zip(trial.heard()))
    };
    let mut places: Vec<(Ear, Hz)> = Vec::new();
    for (tone, _) in swept() {
        if !places.contains(&(tone.ear, tone.hz)) {
            places.push((tone.ear, tone.hz));
        }
    }
    let gaps: Vec<f64> = places
        .into_iter()
        .filter_map(|place| {
            let steps: Vec<(f64, bool)> = swept()
                .filter(|(tone, _)| (tone.ear, tone.hz) == place)
                .map(|(tone, heard)| (tone.level.db(), heard))
                .collect();
            let turn = steps
                .windows(2)
                .position(|two| two[1].0 - two[0].0 > 6.0 || two[1].0 < two[0].0)?;
            let (up, down) = steps.split_at(turn + 1);
            let rising_db = up.iter().find(|(_, heard)| *heard)?.0;
            let falling_db = down.iter().rfind(|(_, heard)| *heard)?.0;
            Some(falling_db - rising_db)
        })
        .collect();
    let widest_db = gaps.iter().copied().reduce(f64::max)?;
    let listed: Vec<String> = gaps.iter().map(|gap| format!("{gap:.0}")).collect();
    Some(Check {
        name: "falling levels against rising levels".into(),
        k: gaps.iter().filter(|gap| **gap >= 15.0).count() as u32,
        n: gaps.len() as u32,
        p: None,
        seen: format!(
            "falling levels were answered {} dB further up",
            listed.join(" and ")
        ),
        expected:
            "hardly any difference; 19.6 to 22.2 dB on average in people told to answer as if they \
                   heard less (Schlauch 2015); 10 dB is a usual limit (from memory)"
                .into(),
        fit: match widest_db {
            db if db >= 20.0 => Fit::Misfits,
            db if db >= 15.0 => Fit::Doubtful,
            _ => Fit::Fits,
        },
    })
}

/// One tone in both ears: whoever hears it in the better ear answers.
fn both_ears(answers: &[Weighed]) -> Option<Check> {
    let of = answers
        .iter()
        .filter(|answer| answer.part == Part::BothEars);
    let (n, missed) = of.fold((0, 0), |(n, missed), answer| {
        (n + 1, missed + u32::from(!answer.yes))
    });
    (n > 0).then(|| {
        counted(
            "one tone in both ears not answered",
            (missed, n),
            0.05,
            [0.20, 0.60],
            [
                "tones 10 dB above the better ear's threshold not answered while the other ear got them too",
                "hardly any; many suggest that the poorer ear hears them, at a level that lies 13.5 dB over \
                 its threshold on average. Of people with a real loss 30 to 43 in 100 show it too \
                 (specificity 57 to 70 %: Durmaz 2009 and a series of 474)",
            ],
        )
    })
}

fn choices(answers: &[Weighed]) -> Option<Check> {
    let (mut right, mut n) = (0, 0);
    for answer in answers
        .iter()
        .filter(|answer| answer.asked == Asked::Interval)
    {
        n += 1;
        right += u32::from(answer.yes);
    }
    (n > 0).then(|| {
        let p = binomial::lower_tail(right, n, 0.5);
        let [low, high] = binomial::interval(right, n, 0.95);
        Check {
            name: "choices between two intervals".into(),
            k: right,
            n,
            p: Some(p),
            seen: format!(
                "{right} of {n} right ({:.0} to {:.0} %, exact 95 % interval)",
                100.0 * low,
                100.0 * high
            ),
            expected:
                "half by guessing alone, more where something is heard; fewer than guessing would \
                       give come about once in so many as p says, and are no proof"
                    .into(),
            fit: match p {
                p if p < 0.01 => Fit::Misfits,
                p if p < 0.05 => Fit::Doubtful,
                _ => Fit::Fits,
            },
        }
    })
}

/// Nearer than this to the least interaural attenuation a tone may cross, dB (our choice: a threshold's
/// own uncertainty).
const CROSSES_MARGIN_DB: f64 = 10.0;

/// Where choices at one level were right so often that guessing would hardly do it, though the
/// threshold admitted there is higher: function is at least this good. Not where the tone may have
/// crossed to the other ear, whose function it would be.
fn at_least(record: &Record, answers: &[Weighed], findings: &HearingFindings) -> Vec<String> {
    let Some(earphone) = record.opening.set_up.earphone.as_ref() else {
        return Vec::new();
    };
    let crosses_from_db = earphone.interaural_attenuation_min().0 - CROSSES_MARGIN_DB;
    let (unit, shift_db) = (earphone.scale().unit(), shift_db(record));
    let stated_db = |ear: Ear, hz: f64| {
        let mut all = findings.all();
        let there = all.find(|(of, one)| *of == ear && (one.hz.0 - hz).abs() < 0.5);
        there.and_then(|(_, one)| one.stated_db())
    };
    let mut levels: Vec<(Ear, f64, f64)> = Vec::new();
    let choices = || {
        answers
            .iter()
            .filter(|answer| answer.asked == Asked::Interval)
    };
    for answer in choices() {
        let level = (answer.ear, answer.hz.0, answer.level_db);
        if !levels.contains(&level) {
            levels.push(level);
        }
    }
    let limit = BETTER_THAN_GUESSING_P / levels.len().max(1) as f64;
    let better = levels.iter().filter_map(|&(ear, hz, level_db)| {
        let at = choices()
            .filter(|answer| (answer.ear, answer.hz.0, answer.level_db) == (ear, hz, level_db));
        let (n, right) = at.fold((0, 0), |(n, right), answer| (n + 1, right + u32::from(answer.yes)));
        let p = binomial::upper_tail(right, n, 0.5);
        let level_db = level_db - shift_db;
        let crosses = stated_db(ear.other(), hz).is_none_or(|other_db| level_db - other_db >= crosses_from_db);
        let better = level_db <= stated_db(ear, hz)? - 10.0;
        (p <= limit && better && !crosses).then(|| {
            format!("{ear} ear at {hz} Hz hears {level_db:.0} {unit}: {right} of {n} choices right, by guessing p = {p:.4}")
        })
    });
    better.collect()
}
