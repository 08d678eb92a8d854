//! A finding from what is believed of all frequencies at once.

use super::{HearingFinding, HearingStatus, bounds, own_steps, scale, untested};
use crate::finding::ascents::Reading;
use crate::finding::estimated::{Estimate, Estimated, LEANS_FROM, reading};
use crate::journal::Record;
use crate::quantity::{Db, Ear, Hz, Level};

/// What is known of a place; nothing is stated of one with too few presentations of its own, whatever its neighbours
/// say ([`reading`]).
pub(super) fn finding(record: &Record, ear: Ear, hz: Hz) -> HearingFinding {
    let own = own_steps(record, ear, hz).count() as u32;
    if own == 0 || bounds(record, ear, hz).is_none() {
        return HearingFinding::blank(hz, untested(record, ear));
    }
    let found = reading(record, ear, hz);
    let scale = scale(record);
    let mut finding = HearingFinding {
        presentations: own,
        ..HearingFinding::blank(hz, HearingStatus::Stopped)
    };
    match found {
        Some(Reading::Threshold(_)) => {
            let estimate = Estimate::of(record);
            if let Some(known) = estimate.and_then(|estimate| estimate.at(ear, hz)) {
                finding.status = HearingStatus::Measured;
                finding.threshold = Some(Level::new(scale, known.threshold_db));
                finding.midpoint = Some(Level::new(scale, known.midpoint_db));
                state_share(&mut finding, &known);
                state_precision(&mut finding, record, &known, false);
            }
        }
        Some(Reading::NoResponse(db)) => {
            finding.status = HearingStatus::NoResponseAtMaximum;
            finding.limit = Some(Level::new(scale, db));
        }
        Some(Reading::AtMinimum(db)) => {
            finding.status = HearingStatus::AnsweredAtMinimum;
            finding.threshold = Some(Level::new(scale, db));
        }
        Some(Reading::Undecided | Reading::GivenUp) | None => {}
    }
    finding
}

/// What of the precision comes from the prior and the neighbours, where ears and frequencies are believed together.
pub(super) fn state_share(finding: &mut HearingFinding, known: &Estimated) {
    finding.from_neighbours = known.prior_share >= LEANS_FROM;
    finding.prior_share = Some(known.prior_share);
}

/// The posterior's spread and the person's wander together.
pub(super) fn state_precision(
    finding: &mut HearingFinding,
    record: &Record,
    known: &Estimated,
    masked: bool,
) {
    let sd_db = libm::hypot(known.midpoint.sd(), known.wander_sd_db);
    let spread = known.midpoint.blurred(known.wander_sd_db);
    finding.sd_db = Some(sd_db);
    finding.interval_90_db = Some(spread.interval(0.9).map(|db| db - known.shift_db));
    let earphone = record.opening.set_up.earphone.as_ref();
    finding.u_db = earphone.and_then(|earphone| {
        let u = earphone.uncertainty(finding.hz, Some(Db(sd_db)), masked)?;
        Some(u.0)
    });
}
