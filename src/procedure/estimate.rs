//! The estimating procedure: of all ears, frequencies and levels the tone whose answer will on
//! average narrow the midpoints most, those of the neighbours along with its own.
//!
//! A person need not know which ear comes next: they press when they hear, wherever. So the ears
//! take turns as it tells most.

use crate::finding::ascents::Reading;
use crate::finding::estimated::{self, Estimate, FEWEST_OWN, Tone, at_a_bound};
use crate::finding::{bounds, measured_hz, own_steps};
use crate::journal::{HearingPlan, Purpose, Record, Section};
use crate::quantity::{Ear, Hz};

/// After so many tones a place is left as it is (our choice).
const MOST_OWN: u32 = 40;

/// Above this level (dB HL, or what full scale is assumed to make of it) no tone is more than [`LOUD_STEP_DB`] over the loudest before it in that ear, so
/// that nobody is startled (our choice).
const LOUD_FROM_DB: f64 = 70.0;
const LOUD_STEP_DB: f64 = 10.0;

/// A place that is not done.
struct Open {
    ear: Ear,
    hz: Hz,
    own: u32,
}

/// What to present next; none if all is known as well as the plan asks.
pub(super) fn most_telling(record: &Record, plan: &HearingPlan) -> Option<Tone> {
    // The familiarising tones tell as much as any.
    if plan.most_tones.is_some_and(|most| tones(record) >= most) {
        return None;
    }
    let estimate = Estimate::of(record)?;
    let ears = plan.ears.iter().copied();
    let going = ears.filter(|ear| record.ended(Section::Ear(*ear)).is_none());
    let open: Vec<Open> = going
        .flat_map(|ear| {
            let all_hz = measured_hz(record, ear);
            all_hz.into_iter().map(move |hz| (ear, hz))
        })
        .filter_map(|(ear, hz)| open(record, plan, &estimate, ear, hz))
        .collect();
    let candidates: Vec<(Ear, Hz, Vec<f64>)> = candidates(record, plan, &open)
        .map(|place| {
            let levels_db = levels_db(record, place.ear, place.hz);
            (place.ear, place.hz, levels_db)
        })
        .collect();
    estimate.most_telling(&candidates)
}

fn open(
    record: &Record,
    plan: &HearingPlan,
    estimate: &Estimate,
    ear: Ear,
    hz: Hz,
) -> Option<Open> {
    let bounds = bounds(record, ear, hz).filter(|bounds| bounds.min_db <= bounds.max_db)?;
    let own = own_steps(record, ear, hz).count() as u32;
    let (midpoint_db, sd_db) = estimate.moments_db(ear, hz)?;
    let within = midpoint_db <= bounds.max_db;
    let known = own >= FEWEST_OWN && sd_db <= plan.stop_sd_db() && within;
    let beyond = own >= FEWEST_OWN
        && match at_a_bound(record, ear, hz, bounds) {
            // However many tones are asked for, none is wasted where the loudest goes unheard.
            Some(Reading::NoResponse(db)) => midpoint_db > db,
            Some(Reading::AtMinimum(db)) => plan.stop_sd_db() > 0.0 && midpoint_db < db,
            _ => false,
        };
    let done = known || beyond || own >= MOST_OWN;
    (!done).then_some(Open { ear, hz, own })
}

/// The tones that were presented to measure or to make familiar.
fn tones(record: &Record) -> u32 {
    let tones = record.trials().iter().filter(|trial| {
        matches!(trial.purpose(), Purpose::Measure | Purpose::Familiarise) && trial.tone().is_some()
    });
    tones.count() as u32
}

/// The places that are not done; once the tones that are left are only just enough, those that still
/// lack presentations of their own.
fn candidates<'a>(
    record: &Record,
    plan: &HearingPlan,
    open: &'a [Open],
) -> impl Iterator<Item = &'a Open> {
    let lacking = |place: &Open| FEWEST_OWN.saturating_sub(place.own);
    let lack: u32 = open.iter().map(lacking).sum();
    let short = plan
        .most_tones
        .is_some_and(|most| lack > 0 && most.saturating_sub(tones(record)) <= lack);
    open.iter()
        .filter(move |place| !short || lacking(place) > 0)
}

/// The levels that may be presented at a place, on the 5-dB grid.
fn levels_db(record: &Record, ear: Ear, hz: Hz) -> Vec<f64> {
    let Some(bounds) = bounds(record, ear, hz) else {
        return Vec::new();
    };
    let loudest_db = record
        .counted()
        .filter_map(|trial| trial.tone())
        .filter(|tone| tone.ear == ear)
        .map(|tone| tone.level.db())
        .fold(
            LOUD_FROM_DB - LOUD_STEP_DB - estimated::shift_db(record),
            f64::max,
        );
    let max_db = bounds.max_db.min(loudest_db + LOUD_STEP_DB);
    if max_db < bounds.min_db {
        return Vec::new();
    }
    let steps = libm::floor((max_db - bounds.min_db) / 5.0) as u32;
    (0..=steps)
        .map(|step| bounds.min_db + 5.0 * f64::from(step))
        .collect()
}
