//! What a guideline would do next, and why. The helper says it while the trainee presents; the
//! debrief holds it beside what was done.

use super::coach_sight::advise_sight;
use super::exercise::Told;
use super::runs::{Run, known_near, level_of, runs};
use super::words::{Coming, before};
use crate::finding::ascents::Reading;
use crate::finding::masking::{Need, need, stand};
use crate::finding::plateau::Stand;
use crate::finding::{bounds, unmasked_reading};
use crate::journal::{Asking, HearingPlan, Phrase, Purpose, Record, SightProcedure};
use crate::quantity::{Ear, Eye, Hz, Mm};
use crate::stimulus::ByHand;

/// So many tones without a silent presentation are enough (our choice: one in six or seven).
const MOST_TONES_WITHOUT_SILENCE: usize = 6;
/// Where a first tone lies, dB HL (common practice, no source: clearly audible to most).
pub(super) const FIRST_DB: f64 = 40.0;
/// The frequency that is measured first, and again.
pub(super) const FIRST_HZ: Hz = Hz(1000.0);

/// What is wanted next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wanted {
    /// Something to say.
    Say(Phrase),
    /// A tone, with noise at the other ear or without; dB on the set-up's scale.
    Tone {
        /// The ear.
        ear: Ear,
        /// The frequency.
        hz: Hz,
        /// The level.
        level_db: f64,
        /// The noise.
        masker_db: Option<f64>,
    },
    /// A silent presentation.
    Silent,
    /// A single optotype.
    Optotype {
        /// The eye.
        eye: Eye,
        /// Its size, logMAR.
        log_mar: f64,
        /// Whether it is looked at through a pinhole.
        pinhole: bool,
    },
    /// This eye is to be asked in one more way.
    Ask(Eye, Further),
    /// Something is shown to this eye by hand, from so far.
    Shows(Eye, ByHand, Mm),
    /// Everything is measured.
    Conclude,
}

/// In which further way an eye is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Further {
    /// Through a pinhole.
    Pinhole,
    /// From nearer.
    Nearer(Mm),
    /// By hand.
    ByHand,
}

impl Further {
    /// Asks an eye so.
    #[must_use]
    pub fn asking(self, eye: Eye) -> Asking {
        let own = Asking::of(eye);
        match self {
            Further::Pinhole => Asking {
                pinhole: Some(true),
                ..own
            },
            Further::Nearer(distance) => Asking {
                procedure: Some(SightProcedure::Adaptive),
                distance_mm: Some(distance),
                ..own
            },
            Further::ByHand => Asking {
                procedure: Some(SightProcedure::ByHand),
                ..own
            },
        }
    }
}

/// What a guideline would do next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Advice {
    /// What.
    pub wanted: Wanted,
    /// Why.
    pub why: &'static str,
    /// Where that stands.
    pub source: &'static str,
}

const ISO: &str = "ISO 8253-1:2010, 6.2 (from memory)";
pub(super) const TRADE: &str = "common practice, no source";

pub(super) fn advice(wanted: Wanted, why: &'static str, source: &'static str) -> Advice {
    Advice {
        wanted,
        why,
        source,
    }
}

/// The better ear, as the person tells it.
pub(super) fn better_ear(told: &Told) -> Option<Ear> {
    match (told.better.contains("right"), told.better.contains("left")) {
        (true, false) => Some(Ear::Right),
        (false, true) => Some(Ear::Left),
        _ => None,
    }
}

/// What a guideline would do next: hearing first, then sight.
#[must_use]
pub fn advise(record: &Record, told: &Told) -> Advice {
    of_hearing(record, told)
        .or_else(|| advise_sight(record))
        .unwrap_or_else(|| {
            let why = "everything is measured: ears masked where that was needed, eyes each apart";
            advice(Wanted::Conclude, why, ISO)
        })
}

fn of_hearing(record: &Record, told: &Told) -> Option<Advice> {
    let next = silence(record)
        .or_else(|| unmasked(record, told))
        .or_else(|| masked(record))?;
    before(record, Coming::Sound).or(Some(next))
}

fn silence(record: &Record) -> Option<Advice> {
    let since = record
        .counted()
        .rev()
        .take_while(|trial| trial.purpose() != Purpose::Silent)
        .filter(|trial| trial.tone().is_some());
    (since.count() >= MOST_TONES_WITHOUT_SILENCE).then(|| {
        let why = "without silent presentations nobody knows how often the answer comes anyway";
        advice(Wanted::Silent, why, TRADE)
    })
}

fn unmasked(record: &Record, told: &Told) -> Option<Advice> {
    let plan = record.opening.plan.hearing.as_ref()?;
    let runs = runs(record);
    let mut open = runs.iter().filter(|run| !run.masked);
    let begun = open.clone().next().map(|run| run.ear);
    let first = begun.or_else(|| better_ear(told)).unwrap_or(Ear::Right);
    let last = open.next_back();
    // A run that has begun is brought to its end.
    if let Some(run) = last
        && run.reading(record) == Reading::Undecided
    {
        return within_run(record, run, runs.len() == 1);
    }
    let tone = |ear, hz, level_db, why| {
        let bounds = bounds(record, ear, hz)?;
        let level_db = f64::clamp(level_db, bounds.min_db, bounds.max_db);
        let wanted = Wanted::Tone {
            ear,
            hz,
            level_db,
            masker_db: None,
        };
        Some(advice(wanted, why, ISO))
    };
    for ear in [first, first.other()] {
        let next = order(plan).into_iter().find(|hz| is_open(record, ear, *hz));
        if let Some(hz) = next {
            let known = known_near(record, &runs, ear, hz);
            let start_db = known.map_or(FIRST_DB, |db| db + 10.0);
            let why = if last.is_none() {
                "1 kHz first, at a level that is clearly heard"
            } else {
                "the next frequency, 10 dB over what was found beside it"
            };
            return tone(ear, hz, start_db, why);
        }
        if ear == first
            && let Some((hz, known_db)) = to_measure_again(record, plan, &runs, ear)
        {
            let why = "again in the first ear, 1 kHz first, until two readings agree within 5 dB";
            return tone(ear, hz, known_db + 10.0, why);
        }
    }
    None
}

/// Where the first ear is measured again next, and what was found there: 1 kHz, and where the two
/// readings are more than 5 dB apart the next frequencies, until one agrees (ISO 8253-1:2010).
fn to_measure_again(
    record: &Record,
    plan: &HearingPlan,
    runs: &[Run<'_>],
    ear: Ear,
) -> Option<(Hz, f64)> {
    for hz in order(plan) {
        let own = runs
            .iter()
            .filter(|run| !run.masked && (run.ear, run.hz) == (ear, hz));
        let readings: Vec<f64> = own
            .filter_map(|run| level_of(run.reading(record)))
            .collect();
        match readings[..] {
            [once] => return Some((hz, once)),
            [before, .., after] if (before - after).abs() <= 5.0 => return None,
            _ => {}
        }
    }
    None
}

/// Whether nothing was decided there yet, by two of three ascents or by giving up.
fn is_open(record: &Record, ear: Ear, hz: Hz) -> bool {
    matches!(
        unmasked_reading(record, ear, hz),
        None | Some(Reading::Undecided)
    )
}

/// 1 kHz and upward, then downward.
pub(super) fn order(plan: &HearingPlan) -> Vec<Hz> {
    let mut all = plan.hz.clone();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut low, mut high): (Vec<Hz>, Vec<Hz>) = all.into_iter().partition(|hz| hz.0 < FIRST_HZ.0);
    low.reverse();
    high.extend(low);
    high
}

fn within_run(record: &Record, run: &Run<'_>, very_first: bool) -> Option<Advice> {
    let steps = run.steps();
    let heard = steps.iter().any(|(_, heard)| *heard);
    let bounds = bounds(record, run.ear, run.hz)?;
    let (level_db, why) = if very_first && !heard {
        let last_db = steps.last().map_or(FIRST_DB, |(db, _)| *db);
        let why = "not heard yet: louder in steps of 10 until it is, to show what is meant";
        ((last_db + 10.0).min(bounds.max_db), why)
    } else {
        let why = match steps.last() {
            Some((_, true)) => "heard: 10 dB down",
            _ => "not heard: 5 dB up; the threshold is where two of three ascents end",
        };
        (run.walk(record)?.next_level_db(FIRST_DB), why)
    };
    let wanted = Wanted::Tone {
        ear: run.ear,
        hz: run.hz,
        level_db,
        masker_db: None,
    };
    Some(advice(wanted, why, ISO))
}

fn masked(record: &Record) -> Option<Advice> {
    let plan = record.opening.plan.hearing.as_ref()?;
    let all = Ear::BOTH
        .into_iter()
        .flat_map(|ear| order(plan).into_iter().map(move |hz| (ear, hz)));
    all.into_iter().find_map(|(ear, hz)| {
        let Need::Yes(ground) = need(record, ear, hz) else {
            return None;
        };
        let Stand::Open {
            level_db,
            masker_db,
            ..
        } = stand(record, ear, hz, ground)
        else {
            return None;
        };
        let wanted = Wanted::Tone {
            ear,
            hz,
            level_db,
            masker_db: Some(masker_db),
        };
        let why = "the ears are so far apart that the other one may have answered: mask it";
        Some(advice(
            wanted,
            why,
            "masking rule 1; the earphone type's least attenuation",
        ))
    })
}
