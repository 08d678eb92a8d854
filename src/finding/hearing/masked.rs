//! Puts what masking says over what was found without it.

use super::precision::{midpoint_posterior, reading_above_midpoint_db, shift_db, state_midpoint};
use super::{HearingFinding, HearingStatus, Masking, scale};
use crate::finding::ascents::Reading;
use crate::finding::masking::{self, Need};
use crate::finding::plateau::{Ground, MaskedStep, Stand};
use crate::journal::{AscendingRule, Record, SeriesRule};
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
    finding.cross_hearing_caution = [finding.threshold, finding.limit, finding.unmasked]
        .into_iter()
        .flatten()
        .any(|level| matches!(level, Level::Hl(_)) && level.db() >= masking::CAUTION_FROM_DB_HL);
}

/// What came of masking; `otherwise` while nothing came of it.
fn beside_noise(
    finding: &mut HearingFinding,
    record: &Record,
    ear: Ear,
    ground: Ground,
    otherwise: Masking,
) -> Masking {
    match masking::stand(record, ear, finding.hz, ground) {
        Stand::Settled { reading, noise_db } => {
            settle(finding, record, ear, reading, noise_db);
            Masking::Done
        }
        Stand::Failed(why) if otherwise == Masking::NeededNotDone => {
            finding.not_masked_because = Some(why.sentence().into());
            Masking::CouldNotBeMasked
        }
        Stand::Failed(_) | Stand::Open { .. } => otherwise,
    }
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

/// The masked threshold takes the place of the unmasked one. Its midpoint is the posterior's over
/// all presentations on the plateau, and its threshold what the ascending rule would read there.
fn settle(
    finding: &mut HearingFinding,
    record: &Record,
    ear: Ear,
    reading: Reading,
    noise_db: [f64; 2],
) {
    let scale = scale(record);
    let masked: Vec<MaskedStep> = masking::masked_steps(record, ear, finding.hz).collect();
    *finding = HearingFinding {
        unmasked: finding.threshold,
        masker_db: Some(noise_db),
        presentations: finding.presentations + masked.len() as u32,
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
        Reading::Threshold(db) => {
            let [softest_db, loudest_db] = noise_db;
            let on_plateau = masked
                .iter()
                .filter(|step| (softest_db - 0.01..=loudest_db + 0.01).contains(&step.masker_db));
            let steps: Vec<(f64, bool)> =
                on_plateau.map(|step| (step.level_db, step.heard)).collect();
            let posterior = midpoint_posterior(record, &steps, scale, db);
            let midpoint_db = posterior.mean() - shift_db(scale);
            let above_db =
                reading_above_midpoint_db(SeriesRule::Ascents(AscendingRule::TWO_OF_THREE));
            finding.threshold = Some(Level::new(scale, midpoint_db + above_db));
            state_midpoint(finding, record, scale, &posterior, midpoint_db, true);
        }
        Reading::Undecided | Reading::GivenUp => finding.status = HearingStatus::Stopped,
    }
}
