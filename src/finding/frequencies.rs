//! Which frequencies of an ear are measured, given what is known so far.

use super::ascents::Reading;
use super::estimated;
use super::hearing::{bounds, own_steps};
use super::screening::{Screened, screened};
use super::series::Series;
use crate::journal::{HearingPlan, Procedure, Proposer, Purpose, Record};
use crate::quantity::{Ear, Hz};

/// Neighbouring octaves that differ by so much have the frequency between them measured as well,
/// dB (ASHA 2005, GL2005-00014; the document exists, the clause is from memory).
const INTER_OCTAVE_DB: f64 = 20.0;

/// The octaves, and what lies between each and the next.
const BETWEEN: [(Hz, Hz, Hz); 4] = [
    (Hz(500.0), Hz(750.0), Hz(1000.0)),
    (Hz(1000.0), Hz(1500.0), Hz(2000.0)),
    (Hz(2000.0), Hz(3000.0), Hz(4000.0)),
    (Hz(4000.0), Hz(6000.0), Hz(8000.0)),
];

/// The frequencies at which this ear's threshold is measured, in the plan's order, those between
/// octaves last: after a screening only what was not heard.
#[must_use]
pub fn measured_hz(record: &Record, ear: Ear) -> Vec<Hz> {
    let Some(plan) = &record.opening.plan.hearing else {
        return Vec::new();
    };
    let screens = Procedure::named(&plan.procedure) == Some(Procedure::Screening);
    if screens {
        let not_heard = |hz: &Hz| screened(record, ear, *hz).found == Screened::NotHeard;
        let all = plan.hz.iter().copied().filter(|_| plan.then.is_some());
        return all.filter(not_heard).collect();
    }
    let mut all = plan.hz.clone();
    if plan.inter_octaves {
        let between = gaps(plan).filter(|(low, _, high)| {
            let levels =
                series_reading_db(record, ear, *low).zip(series_reading_db(record, ear, *high));
            levels.is_some_and(|(low, high)| (low - high).abs() >= INTER_OCTAVE_DB)
        });
        // What was once asked for is measured, also if the octaves have moved since.
        let asked = |hz: Hz| {
            let trials = record.trials().iter();
            let mut measuring = trials.filter(|trial| {
                trial.purpose() == Purpose::Measure && trial.planned.by == Proposer::Procedure
            });
            measuring.any(|trial| {
                trial
                    .tone()
                    .is_some_and(|tone| (tone.ear, tone.hz) == (ear, hz))
            })
        };
        let middles = gaps(plan).map(|(_, middle, _)| middle);
        let wanted: Vec<Hz> = between.map(|(_, middle, _)| middle).collect();
        all.extend(middles.filter(|middle| wanted.contains(middle) || asked(*middle)));
    }
    all
}

/// The neighbouring octaves of a plan between which it may come to measure, and where.
fn gaps(plan: &HearingPlan) -> impl Iterator<Item = (Hz, Hz, Hz)> {
    BETWEEN.into_iter().filter(|(low, middle, high)| {
        let planned = |hz| plan.hz.contains(hz);
        planned(low) && planned(high) && !planned(middle)
    })
}

/// What a plan may come to measure between its octaves.
pub(super) fn between_octaves(plan: &HearingPlan) -> impl Iterator<Item = Hz> {
    gaps(plan).map(|(_, middle, _)| middle)
}

/// Where the series of an ear and frequency ended: its reading, or the bound that it ran into.
#[must_use]
pub fn series_reading_db(record: &Record, ear: Ear, hz: Hz) -> Option<f64> {
    match unmasked_reading(record, ear, hz)? {
        Reading::Threshold(db) | Reading::NoResponse(db) | Reading::AtMinimum(db) => Some(db),
        Reading::Undecided | Reading::GivenUp => None,
    }
}

/// What was measured at an ear and frequency without masking, whatever procedure measured it.
#[must_use]
pub fn unmasked_reading(record: &Record, ear: Ear, hz: Hz) -> Option<Reading> {
    if estimated::estimates(record) {
        return estimated::reading(record, ear, hz);
    }
    let rule = record.opening.plan.hearing.as_ref()?.series_rule();
    let bounds = bounds(record, ear, hz)?;
    Some(Series::through(own_steps(record, ear, hz), rule, bounds).reading())
}
