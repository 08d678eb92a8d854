//! When the other ear may have answered, and what is known once it has been masked.
//!
//! Only air conduction is measured. So masking rules 2 and 3, which compare air with bone, cannot
//! be applied, and a conductive part of a loss cannot be seen ([`WITHOUT_BONE`]).

use super::ascents::{Bounds, Reading};
use super::estimated::{Estimate, estimates};
use super::frequencies::unmasked_reading;
use super::hearing::{bounds, masker_bounds, reading_above_midpoint_db};
use super::masked_course::{self, IN_DOUBT_FROM, p_answered_by_other};
use super::plateau::{Ground, MaskedStep, Plateau, Stand, on_grid};
use super::screening::{Screened, screened, screening_level};
use crate::belief::EarBelief;
use crate::calibration::EarphoneProfile;
use crate::journal::{HearingPlan, PlateauRule, Purpose, Record};
use crate::quantity::{Ear, Hz};

/// What has to be known about every finding of hearing.
pub const WITHOUT_BONE: &str = "Air conduction only: masking rules 2 and 3, which need bone \
    conduction, cannot be applied, and a conductive part of a loss cannot be seen.";

/// Any air-conduction level from here on calls for caution about cross-hearing, dB HL (ISO
/// 8253-1:2010).
pub const CAUTION_FROM_DB_HL: f64 = 40.0;

/// Whether the ear under test needs the other one masked, by the difference of the unmasked
/// readings alone (rule 1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Need {
    /// Nothing was answered unmasked, so nothing can have been answered for this ear.
    NothingAnswered,
    /// The ears are closer than the least interaural attenuation less the margin.
    No(Ground),
    /// They are not; or the readings are so uncertain that they might not be ([`Ground::in_doubt`]).
    Yes(Ground),
    /// The other ear is not known, and may be as good as any.
    OtherUnknown,
}

/// Whether this ear needs the other one masked at this frequency. The earphone type's least
/// interaural attenuation decides, less the plan's margin (BSA 2018, masking, rule 1; for
/// circumaural earphones as for supra-aural ones; from memory).
#[must_use]
pub fn need(record: &Record, ear: Ear, hz: Hz) -> Need {
    need_by(record, Estimate::of(record).as_ref(), ear, hz)
}

/// [`need`], where what is believed of the record is at hand.
#[must_use]
pub fn need_by(record: &Record, estimate: Option<&Estimate>, ear: Ear, hz: Hz) -> Need {
    let Some((earphone, bounds)) = record
        .opening
        .set_up
        .earphone
        .as_ref()
        .zip(bounds(record, ear, hz))
    else {
        return Need::NothingAnswered;
    };
    let own = unmasked_reading(record, ear, hz);
    let Some(Reading::Threshold(unmasked_db) | Reading::AtMinimum(unmasked_db)) = own else {
        return Need::NothingAnswered;
    };
    let attenuation_db = earphone.interaural_attenuation_min().0;
    let apart_db = attenuation_db - rule(record).margin_db;
    let other = unmasked_reading(record, ear.other(), hz);
    let ground = |readings_db| ground(record, estimate, earphone, bounds, (ear, hz), readings_db);
    if let Some(level_db) = heard_in_screening_db(record, ear.other(), hz) {
        let ground = ground([unmasked_db, level_db]);
        // The other ear is that good or better.
        return if unmasked_db - level_db.min(GOOD_EAR_DB) >= apart_db {
            Need::Yes(ground)
        } else {
            Need::No(ground)
        };
    }
    let Some(
        Reading::Threshold(other_db) | Reading::AtMinimum(other_db) | Reading::NoResponse(other_db),
    ) = other
    else {
        let best_db = earphone.min_level().db();
        return if unmasked_db - best_db >= apart_db {
            Need::OtherUnknown
        } else {
            Need::No(ground([unmasked_db, best_db]))
        };
    };
    let ground = ground([unmasked_db, other_db]);
    if unmasked_db - other_db >= apart_db {
        Need::Yes(ground)
    } else if matches!(own, Some(Reading::Threshold(_)))
        && doubtful(record, estimate, (ear, hz), attenuation_db, unmasked_db)
    {
        Need::Yes(Ground {
            in_doubt: true,
            ..ground
        })
    } else {
        Need::No(ground)
    }
}

/// Whether the answers without noise leave it open which ear answered. Only what is shown as a threshold
/// is doubted: an answer at the lowest level is there or better by its very name.
fn doubtful(
    record: &Record,
    estimate: Option<&Estimate>,
    at: (Ear, Hz),
    attenuation_db: f64,
    reading_db: f64,
) -> bool {
    let shown_db = midpoint_db(record, reading_db);
    p_answered_by_other(record, estimate, at, attenuation_db, shown_db) >= IN_DOUBT_FROM
}

/// The midpoint that goes with a reading, dB.
fn midpoint_db(record: &Record, reading_db: f64) -> f64 {
    let plan = record.opening.plan.hearing.as_ref();
    let rule = plan
        .filter(|_| !estimates(record))
        .map(HearingPlan::series_rule);
    // What is estimated lies within 3 dB of it; the doubt is counted in tens.
    reading_db - rule.map_or(0.0, reading_above_midpoint_db)
}

/// An ear that was heard in a screening, and not measured, may be as good as this, dB HL (our choice).
const GOOD_EAR_DB: f64 = 0.0;

/// The level at which an ear that was not measured was heard in a screening.
fn heard_in_screening_db(record: &Record, ear: Ear, hz: Hz) -> Option<f64> {
    let level = screening_level(record)?;
    (screened(record, ear, hz).found == Screened::Heard).then(|| level.db())
}

fn ground(
    record: &Record,
    estimate: Option<&Estimate>,
    earphone: &EarphoneProfile,
    bounds: Bounds,
    (ear, hz): (Ear, Hz),
    [unmasked_db, other_db]: [f64; 2],
) -> Ground {
    let noise = masker_bounds(record, ear.other(), hz);
    Ground {
        // What moves by less than a step while silent presentations are answered is no other ground.
        unmasked_db: on_grid(unmasked_db),
        other_db: on_grid(other_db),
        other_at_most_db: on_grid(masked_course::at_most_db(
            estimate,
            (ear.other(), hz),
            other_db,
        )),
        attenuation_db: earphone.interaural_attenuation_min().0,
        bounds,
        max_masker_db: noise.map_or(f64::NEG_INFINITY, |noise| noise.max_db),
        in_doubt: false,
    }
}

fn rule(record: &Record) -> PlateauRule {
    let plan = record.opening.plan.hearing.as_ref();
    plan.map_or(PlateauRule::USUAL, |plan: &HearingPlan| plan.plateau)
}

/// The masked presentations of one ear and frequency, whoever decided on them.
pub fn masked_steps(record: &Record, ear: Ear, hz: Hz) -> impl Iterator<Item = MaskedStep> {
    let masked = record
        .counted()
        .filter(|trial| trial.purpose() == Purpose::Masked);
    masked.filter_map(move |trial| {
        let tone = trial
            .tone()
            .filter(|tone| tone.ear == ear && tone.hz == hz)?;
        let masker = trial
            .masker()
            .filter(|masker| masker.ear == ear.other() && masker.hz == hz)?;
        Some(MaskedStep {
            level_db: tone.level.db(),
            masker_db: masker.level.db(),
            heard: trial.heard()?,
        })
    })
}

/// How far masking has come at this ear and frequency.
#[must_use]
pub fn stand(record: &Record, ear: Ear, hz: Hz, ground: Ground) -> Stand {
    known(record, ear, hz, ground).map_or_else(
        || Plateau::through(masked_steps(record, ear, hz), rule(record), ground).stand(),
        |(stand, _)| stand,
    )
}

/// How far masking has come, and what is believed of this ear by all its answers; none where the
/// ear or the other one has no answers without noise.
#[must_use]
pub fn known(record: &Record, ear: Ear, hz: Hz, ground: Ground) -> Option<(Stand, EarBelief)> {
    let steps: Vec<MaskedStep> = masked_steps(record, ear, hz).collect();
    masked_course::through(record, (ear, hz), ground, rule(record), &steps)
}
