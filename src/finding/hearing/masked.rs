//! Puts what masking says over what was found without it.

use super::{HearingFinding, HearingStatus, Masking, from_estimate, scale};
use crate::belief::EarBelief;
use crate::finding::ascents::Reading;
use crate::finding::estimated::{Estimate, estimates};
use crate::finding::masking::{self, Need};
use crate::finding::plateau::{Ground, Stand};
use crate::journal::Record;
use crate::quantity::{Ear, Level};

/// Puts what masking says of an ear and frequency over what was found without it.
pub(super) fn overlay(finding: &mut HearingFinding, record: &Record, ear: Ear) {
    let none = masking::masked_steps(record, ear, finding.hz)
        .next()
        .is_none();
    finding.masking = match masking::need(record, ear, finding.hz) {
        Need::NothingAnswered => finding.stated_db().map(|_| Masking::NotNeeded),
        Need::No(_) if none => Some(Masking::NotNeeded),
        Need::OtherUnknown => Some(Masking::NeededNotDone),
        Need::No(ground) => Some(beside_noise(
            finding,
            record,
            ear,
            ground,
            Masking::NotNeeded,
        )),
        Need::Yes(ground) => Some(beside_noise(
            finding,
            record,
            ear,
            ground,
            Masking::NeededNotDone,
        )),
    };
    if matches!(
        finding.masking,
        Some(Masking::NeededNotDone | Masking::CouldNotBeMasked)
    ) {
        withhold(finding);
    }
    let not_masked = matches!(
        finding.masking,
        Some(Masking::NeededNotDone | Masking::CouldNotBeMasked)
    );
    finding.cross_hearing_caution = not_masked || finding.reaches_caution();
}

impl HearingFinding {
    /// Whether any of its air levels is so high that the other ear may hear it whatever the earphone.
    pub(in crate::finding) fn reaches_caution(&self) -> bool {
        let mut levels = [self.threshold, self.limit, self.unmasked]
            .into_iter()
            .flatten();
        levels
            .any(|level| matches!(level, Level::Hl(_)) && level.db() >= masking::CAUTION_FROM_DB_HL)
    }
}

/// What came of masking; `otherwise` while nothing came of it.
fn beside_noise(
    finding: &mut HearingFinding,
    record: &Record,
    ear: Ear,
    ground: Ground,
    otherwise: Masking,
) -> Masking {
    let Some((stand, belief)) = masking::known(record, ear, finding.hz, ground) else {
        return otherwise;
    };
    match stand {
        // The doubt is gone: it was this ear without noise, too.
        Stand::Settled { reading, noise_db }
            if doubt_is_gone(finding, ground, reading, noise_db) =>
        {
            finding.masker_db = Some(noise_db);
            Masking::NotNeeded
        }
        Stand::Settled { reading, noise_db } => {
            settle(finding, record, ear, (reading, noise_db), &belief);
            Masking::Done
        }
        Stand::Failed(why) if otherwise == Masking::NeededNotDone => {
            finding.not_masked_because = Some(why.sentence().into());
            Masking::CouldNotBeMasked
        }
        Stand::Failed(_) | Stand::Open { .. } => otherwise,
    }
}

/// Whether one noise settled a doubt, and what was found without it stays as it is.
fn doubt_is_gone(
    finding: &HearingFinding,
    ground: Ground,
    beside_noise: Reading,
    noise_db: [f64; 2],
) -> bool {
    const SAME_DB: f64 = 5.0;
    let same = match (finding.midpoint, beside_noise) {
        (Some(without), Reading::Threshold(with_db)) => (without.db() - with_db).abs() <= SAME_DB,
        (without, _) => without.is_none(),
    };
    ground.in_doubt && noise_db[1] - noise_db[0] < 0.01 && same
}

/// What may have been the other ear's answer is no threshold of this one.
fn withhold(finding: &mut HearingFinding) {
    *finding = HearingFinding {
        unmasked: finding.threshold,
        masking: finding.masking,
        not_masked_because: finding.not_masked_because.take(),
        presentations: finding.presentations,
        spread_db: finding.spread_db,
        ..HearingFinding::blank(finding.hz, HearingStatus::Stopped)
    };
}

/// The masked threshold takes the place of the unmasked one: what is believed of this ear by all its
/// answers, and what the ascending rule would read there on average.
fn settle(
    finding: &mut HearingFinding,
    record: &Record,
    ear: Ear,
    (reading, noise_db): (Reading, [f64; 2]),
    belief: &EarBelief,
) {
    let scale = scale(record);
    let masked = masking::masked_steps(record, ear, finding.hz).count();
    *finding = HearingFinding {
        unmasked: finding.threshold,
        masker_db: Some(noise_db),
        presentations: finding.presentations + masked as u32,
        spread_db: finding.spread_db,
        ..HearingFinding::blank(finding.hz, HearingStatus::Measured)
    };
    match reading {
        Reading::NoResponse(db) => {
            finding.status = HearingStatus::NoResponseAtMaximum;
            finding.limit = Some(Level::new(scale, db));
        }
        Reading::AtMinimum(db) => {
            finding.status = HearingStatus::AnsweredAtMinimum;
            finding.threshold = Some(Level::new(scale, db));
        }
        Reading::Threshold(_) => {
            let known = Estimate::of(record).and_then(|estimate| {
                estimate.beside_noise(ear, finding.hz, belief.midpoint(), belief.ways())
            });
            if let Some(known) = known {
                finding.threshold = Some(Level::new(scale, known.threshold_db));
                finding.midpoint = Some(Level::new(scale, known.midpoint_db));
                if estimates(record) {
                    from_estimate::state_share(finding, &known);
                }
                from_estimate::state_precision(finding, record, &known, true);
            }
        }
        Reading::Undecided | Reading::GivenUp => finding.status = HearingStatus::Stopped,
    }
}
