//! What a careful examiner would do next in sight: large first, then the size that tells most, each
//! eye apart and both together, a pinhole where an eye reads worse, and where the largest is not read
//! from nearer, then by hand.

use super::coach::{Advice, Further, Wanted, advice};
use super::words::{Coming, before};
use crate::belief::AcuityPosterior;
use crate::finding::{BY_HAND, sizes_of, trials_of};
use crate::journal::{Asked, Asking, Record, SightProcedure, Trial};
use crate::procedure::below_the_largest;
use crate::quantity::{Eye, Mm};

pub(super) const TEACHING: &str = "teaching guides of distance acuity; ISO 8596 (from memory)";
/// Where an eye begins, logMAR, if the screen is large enough (common practice: the largest line).
const FIRST_LOG_MAR: f64 = 1.0;
/// An eye that surely reads worse than 6/6 looks through a pinhole, logMAR.
const PINHOLE_OVER_LOG_MAR: f64 = 0.0;
/// Steps between the sizes, logMAR: a chart's line.
const LINE_LOG_MAR: f64 = 0.1;

/// What a guideline would do next in sight; none if nothing is open, or if it is not in the plan.
#[must_use]
pub fn advise_sight(record: &Record) -> Option<Advice> {
    record.opening.plan.sight.as_ref()?;
    let asked: Vec<Asked> = record
        .asked()
        .into_iter()
        .filter(|one| one.plan.procedure == SightProcedure::Adaptive)
        .filter(|one| record.ended_asking(one).is_none())
        .collect();
    for one in &asked {
        if !settled(record, one) {
            let coming = Coming::Sight {
                eye: one.eye,
                asking: one.number,
            };
            return before(record, coming).or_else(|| next_size(record, one));
        }
    }
    let open = Eye::ALL
        .into_iter()
        .find(|eye| wants_pinhole(record, *eye) && !through_pinhole(record, *eye));
    if let Some(eye) = open {
        let why = "worse than 6/6: what a pinhole improves is a matter of glasses";
        return Some(advice(Wanted::Ask(eye, Further::Pinhole), why, TEACHING));
    }
    show_by_hand(record).or_else(|| {
        let Asking {
            eye, distance_mm, ..
        } = below_the_largest(record)?;
        let (further, why) = match distance_mm {
            Some(distance) => (
                Further::Nearer(distance),
                "not even the largest is read: from nearer it is larger still",
            ),
            None => (
                Further::ByHand,
                "nor from nearer: what is left is told by fingers, a hand that moves, a light",
            ),
        };
        Some(advice(Wanted::Ask(eye, further), why, TEACHING))
    })
}

/// The next thing of the usual ones to show by hand, in an asking that is to do so and has not come to
/// its end.
fn show_by_hand(record: &Record) -> Option<Advice> {
    let next = |asked: Asked| {
        let shown = record.of_asked(&asked).filter_map(Trial::by_hand);
        let (tried, seen) = shown.fold((0, false), |(n, any), (_, sees)| (n + 1, any || sees));
        let (shows, mm) = *BY_HAND.get(tried).filter(|_| !seen)?;
        Some((asked, shows, Mm(mm)))
    };
    let mut open = record
        .asked()
        .into_iter()
        .filter(|one| one.plan.procedure == SightProcedure::ByHand)
        .filter(|one| record.ended_asking(one).is_none());
    let (asked, shows, distance) = open.find_map(next)?;
    let coming = Coming::Sight {
        eye: asked.eye,
        asking: asked.number,
    };
    before(record, coming).or_else(|| {
        let wanted = Wanted::Shows(asked.eye, shows, distance);
        let why = "the first of these that is seen is what the eye can do";
        Some(advice(wanted, why, TEACHING))
    })
}

/// How well an eye reads without a pinhole, at the least: its midpoint less one standard deviation,
/// logMAR; none if it was not tested.
fn reads_over(record: &Record, eye: Eye) -> Option<f64> {
    let all = record.asked();
    let plain = all
        .iter()
        .find(|one| one.eye == eye && !one.plan.pinhole && !trials_of(record, one).is_empty())?;
    let posterior = AcuityPosterior::from_trials(&trials_of(record, plain));
    let midpoint = posterior.midpoint();
    Some(midpoint.mean() - midpoint.sd())
}

/// Whether an eye by itself reads so badly that it has to look through a pinhole.
pub(super) fn wants_pinhole(record: &Record, eye: Eye) -> bool {
    eye != Eye::Both && reads_over(record, eye).is_some_and(|one| one > PINHOLE_OVER_LOG_MAR)
}

/// Whether an eye was asked through a pinhole.
pub(super) fn through_pinhole(record: &Record, eye: Eye) -> bool {
    record
        .counted()
        .filter_map(|trial| trial.optotype())
        .any(|shown| shown.eye == eye && shown.pinhole)
}

fn settled(record: &Record, asked: &Asked) -> bool {
    let trials = trials_of(record, asked);
    let (plan, count) = (&asked.plan, trials.len() as u32);
    let known = || AcuityPosterior::from_trials(&trials).midpoint().sd() <= plan.stop_sd_log_mar;
    count >= plan.most_trials || (count >= plan.fewest_trials && known())
}

fn next_size(record: &Record, asked: &Asked) -> Option<Advice> {
    let sizes = sizes_of(record, asked)?;
    let trials = trials_of(record, asked);
    let lines = ((sizes.largest.0 - sizes.smallest.0) / LINE_LOG_MAR).floor() as u32;
    let all: Vec<f64> = (0..=lines)
        .map(|line| sizes.smallest.0 + LINE_LOG_MAR * f64::from(line))
        .collect();
    let (log_mar, why) = if trials.is_empty() {
        let first = FIRST_LOG_MAR.clamp(sizes.smallest.0, sizes.largest.0);
        (first, "large first, so that it is clear what is asked")
    } else {
        let posterior = AcuityPosterior::from_trials(&trials);
        let best = posterior.best_size(&all, asked.plan.optotype.choices())?;
        (
            best,
            "the size whose answer narrows the acuity most, down to where guesses begin",
        )
    };
    let wanted = Wanted::Optotype {
        eye: asked.eye,
        log_mar,
        pinhole: asked.plan.pinhole,
    };
    Some(advice(wanted, why, TEACHING))
}
