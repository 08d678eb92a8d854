//! Thresholds of hearing.

mod from_estimate;
mod masked;
mod precision;

use super::ascents::{Bounds, Reading};
use super::estimated;
use super::level_keys::{limit_key, midpoint_key, threshold_key, unmasked_key};
use super::series::Series;
use crate::calibration::EarphoneProfile;
use crate::journal::{AscendingRule, HearingPlan, HowEnded, Purpose, Record, Section, SeriesRule};
use crate::quantity::{Ear, Hz, Level, Scale};
use masked::overlay;
pub use precision::reading_above_midpoint_db;
use precision::state_precision;
use serde::{Deserialize, Serialize};

/// What became of one ear and frequency.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum HearingStatus {
    /// There is a threshold.
    Measured,
    /// Not answered at the highest level that the set-up presents.
    NoResponseAtMaximum,
    /// Answered at the lowest level: the threshold lies there or below.
    AnsweredAtMinimum,
    /// Not tested.
    NotTested,
    /// The person did not wish it.
    Declined,
    /// Begun and not decided.
    Stopped,
}

/// Whether the other ear could have answered (by the difference of the air thresholds alone;
/// without bone conduction the other rules cannot be applied). Where it may have, there is no
/// threshold of this ear.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Masking {
    /// The ears differ by less than the least interaural attenuation of the earphone type; where that
    /// was in doubt, noise at the other ear showed that this one answers.
    NotNeeded,
    /// They differ by as much, or nearly: the other ear may have answered.
    NeededNotDone,
    /// The other ear was masked, and the threshold is surely this ear's: it stayed over a plateau, or
    /// where the noise could go no further, or only doubt asked for it, what is believed of this ear by
    /// all answers beside noise is as narrow (ours, see `plateau.rs`).
    Done,
    /// It was masked, and no plateau was found: the other ear may have answered.
    CouldNotBeMasked,
}

/// What is known about one ear and frequency. Levels are on the set-up's scale, and only fields
/// of that scale are there: without a valid profile there is no dB HL.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct HearingFinding {
    /// The frequency.
    pub hz: Hz,
    /// What became of it.
    pub status: HearingStatus,
    /// The reading on the clinical scale.
    #[serde(flatten, with = "threshold_key")]
    #[schemars(with = "threshold_key::Keys")]
    pub threshold: Option<Level>,
    /// The midpoint of the detection function.
    #[serde(flatten, with = "midpoint_key")]
    #[schemars(with = "midpoint_key::Keys")]
    pub midpoint: Option<Level>,
    /// Where there was no response: the highest level presented. It is no threshold.
    #[serde(flatten, with = "limit_key")]
    #[schemars(with = "limit_key::Keys")]
    pub limit: Option<Level>,
    /// From the answers alone, dB. Of a series: the root mean square distance of the midpoint from the
    /// one stated, which is the reading less a constant. Of `estimate` and beside noise: the
    /// posterior's standard deviation about its mean, together with what the person's wander adds;
    /// over several places an approximation, which may come out up to a third too small where few
    /// answers contradict each other.
    pub sd_db: Option<f64>,
    /// Combined standard uncertainty, dB; none without a profile.
    pub u_db: Option<f64>,
    /// The central 90 % of the posterior of the midpoint, dB; of a series widened to hold the midpoint
    /// stated where reading and posterior are so far apart, else by the person's wander.
    pub interval_90_db: Option<[f64; 2]>,
    /// Whether the other ear could have answered; none where nothing was found.
    pub masking: Option<Masking>,
    /// Where this ear was answered without masking, if that is not its threshold or was not yet:
    /// its threshold is there or poorer.
    #[serde(flatten, with = "unmasked_key")]
    #[schemars(with = "unmasked_key::Keys")]
    pub unmasked: Option<Level>,
    /// The softest and the loudest noise at the other ear over which the threshold stayed, dB
    /// effective masking level.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub masker_db: Option<[f64; 2]>,
    /// Why the other ear could not be masked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_masked_because: Option<String>,
    /// Cross-hearing is possible at this level, masked or not (ISO 8253-1:2010: any air-conduction
    /// level from 40 dB HL).
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub cross_hearing_caution: bool,
    /// Own presentations that measured, silent and familiarising ones left out.
    pub presentations: u32,
    /// Whether the figure leans on the prior and on neighbouring frequencies: they have at least
    /// half of its precision.
    pub from_neighbours: bool,
    /// The share of the precision that comes from the prior and the neighbours, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prior_share: Option<f64>,
    /// The reading when it was measured again, dB.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeat_db: Option<f64>,
    /// How far apart its ascents ended, dB.
    pub spread_db: f64,
}

/// Both ears.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct HearingFindings {
    /// The right ear, in order of frequency.
    pub right: Vec<HearingFinding>,
    /// The left ear, in order of frequency.
    pub left: Vec<HearingFinding>,
}

impl HearingFindings {
    /// Folds the record.
    #[must_use]
    pub fn of(record: &Record) -> HearingFindings {
        HearingFindings::without_masking(record).with_masking(record)
    }

    /// Puts over what was found without masking what masking says.
    #[must_use]
    pub fn with_masking(mut self, record: &Record) -> HearingFindings {
        for ear in Ear::BOTH {
            for finding in self.ear_mut(ear) {
                overlay(finding, record, ear);
            }
        }
        self
    }

    /// What was found without masking: figures of both ears together where one may have answered
    /// for the other. For studies of the unmasked procedures.
    #[must_use]
    pub fn without_masking(record: &Record) -> HearingFindings {
        HearingFindings {
            right: ear_findings(record, Ear::Right),
            left: ear_findings(record, Ear::Left),
        }
    }

    fn ear_mut(&mut self, ear: Ear) -> &mut [HearingFinding] {
        match ear {
            Ear::Right => &mut self.right,
            Ear::Left => &mut self.left,
        }
    }

    /// One ear, in order of frequency.
    #[must_use]
    pub fn ear(&self, ear: Ear) -> &[HearingFinding] {
        match ear {
            Ear::Right => &self.right,
            Ear::Left => &self.left,
        }
    }

    /// One ear at one frequency.
    #[must_use]
    pub fn at(&self, ear: Ear, hz: Hz) -> Option<&HearingFinding> {
        self.ear(ear).iter().find(|finding| finding.hz == hz)
    }

    /// Both ears.
    pub fn all(&self) -> impl Iterator<Item = (Ear, &HearingFinding)> {
        Ear::BOTH
            .into_iter()
            .flat_map(|ear| self.ear(ear).iter().map(move |one| (ear, one)))
    }
}

/// The lowest hearing level that an audiometer has, dB HL (IEC 60645-1, from memory).
const AUDIOMETER_LOWEST_DB_HL: f64 = -10.0;

impl HearingFinding {
    /// The threshold's number, or where there is none, that of the level that was not answered.
    #[must_use]
    pub fn stated_db(&self) -> Option<f64> {
        self.threshold.or(self.limit).map(Level::db)
    }

    /// The threshold, or the level that it lies above: no response there, or answered there by
    /// either ear. None where it may lie lower than what could be presented.
    #[must_use]
    pub fn at_least(&self) -> Option<Level> {
        match self.status {
            HearingStatus::AnsweredAtMinimum => self.known(),
            _ => self.threshold.or(self.limit).or(self.unmasked),
        }
    }

    /// The threshold, or the level that it lies at or below: the lowest that could be presented.
    #[must_use]
    pub fn at_most(&self) -> Option<Level> {
        let usable = matches!(
            self.status,
            HearingStatus::Measured | HearingStatus::AnsweredAtMinimum
        );
        self.threshold.filter(|_| usable)
    }

    /// The threshold where it is known and not only bounded. Answered at the lowest level of an
    /// audiometer it counts as that level, by convention.
    #[must_use]
    pub fn known(&self) -> Option<Level> {
        let by_convention = |level: &Level| level.db() <= AUDIOMETER_LOWEST_DB_HL;
        self.at_most()
            .filter(|level| self.status == HearingStatus::Measured || by_convention(level))
    }

    /// The threshold's number on the set-up's scale.
    #[must_use]
    pub fn threshold_db(&self) -> Option<f64> {
        self.threshold.map(Level::db)
    }

    fn blank(hz: Hz, status: HearingStatus) -> HearingFinding {
        HearingFinding {
            hz,
            status,
            threshold: None,
            midpoint: None,
            sd_db: None,
            u_db: None,
            interval_90_db: None,
            limit: None,
            masking: None,
            unmasked: None,
            masker_db: None,
            not_masked_because: None,
            cross_hearing_caution: false,
            presentations: 0,
            from_neighbours: false,
            prior_share: None,
            repeat_db: None,
            spread_db: 0.0,
        }
    }
}

fn scale(record: &Record) -> Scale {
    let earphone = record.opening.set_up.earphone.as_ref();
    earphone.map_or(Scale::DbFs, EarphoneProfile::scale)
}

/// The levels that the set-up can present at this ear and frequency, on the 5-dB grid.
#[must_use]
pub fn bounds(record: &Record, ear: Ear, hz: Hz) -> Option<Bounds> {
    let set_up = &record.opening.set_up;
    let earphone = set_up.earphone.as_ref()?;
    let max_db = (earphone.max_level(ear, hz)?.db() / 5.0).floor() * 5.0;
    // What the output's depth cannot carry, or the room hides, is not presented, so it is not
    // claimed either.
    let min_db = (set_up.lowest_level(ear, hz)?.db() / 5.0).ceil() * 5.0;
    Some(Bounds { min_db, max_db })
}

/// The noise that the set-up may present at this ear, dB effective masking level, on the 5-dB grid.
#[must_use]
pub fn masker_bounds(record: &Record, ear: Ear, hz: Hz) -> Option<Bounds> {
    let earphone = record.opening.set_up.earphone.as_ref()?;
    let max_db = (earphone.max_masker_level(ear, hz)?.db() / 5.0).floor() * 5.0;
    Some(Bounds {
        min_db: earphone.min_level().db(),
        max_db,
    })
}

/// The measuring trials of one ear and frequency: level and whether it was heard.
pub fn own_steps(record: &Record, ear: Ear, hz: Hz) -> impl Iterator<Item = (f64, bool)> {
    steps(record, ear, hz, Purpose::Measure)
}

/// The trials of the second measurement of one ear and frequency.
pub fn repeat_steps(record: &Record, ear: Ear, hz: Hz) -> impl Iterator<Item = (f64, bool)> {
    steps(record, ear, hz, Purpose::Repeat)
}

/// All tones of one ear and frequency, whatever they were presented for.
fn all_steps(record: &Record, ear: Ear, hz: Hz) -> impl Iterator<Item = (f64, bool)> {
    [Purpose::Familiarise, Purpose::Measure, Purpose::Repeat]
        .into_iter()
        .flat_map(move |purpose| steps(record, ear, hz, purpose))
}

fn steps(record: &Record, ear: Ear, hz: Hz, purpose: Purpose) -> impl Iterator<Item = (f64, bool)> {
    record
        .counted()
        .filter(move |trial| trial.purpose() == purpose)
        .filter_map(move |trial| {
            let tone = trial
                .tone()
                .filter(|tone| tone.ear == ear && tone.hz == hz)?;
            Some((tone.level.db(), trial.heard()?))
        })
}

fn ear_findings(record: &Record, ear: Ear) -> Vec<HearingFinding> {
    let Some(plan) = &record.opening.plan.hearing else {
        return Vec::new();
    };
    let mut all_hz = plan.hz.clone();
    // Frequencies that the examiner added by hand.
    for trial in record.counted() {
        if let Some(tone) = trial.tone().filter(|tone| tone.ear == ear)
            && trial.purpose() == Purpose::Measure
            && !all_hz.contains(&tone.hz)
        {
            all_hz.push(tone.hz);
        }
    }
    all_hz.sort_by(|a, b| a.0.total_cmp(&b.0));
    all_hz.iter().map(|hz| finding(record, ear, *hz)).collect()
}

fn finding(record: &Record, ear: Ear, hz: Hz) -> HearingFinding {
    if estimated::estimates(record) {
        return from_estimate::finding(record, ear, hz);
    }
    let rule = rule(record);
    let steps: Vec<_> = own_steps(record, ear, hz).collect();
    let (Some(bounds), false) = (bounds(record, ear, hz), steps.is_empty()) else {
        return HearingFinding::blank(hz, untested(record, ear));
    };
    let series = Series::through(steps.iter().copied(), rule, bounds);
    let scale = scale(record);
    let (status, level_db) = match series.reading() {
        Reading::Threshold(db) => (HearingStatus::Measured, Some(db)),
        Reading::NoResponse(db) => (HearingStatus::NoResponseAtMaximum, Some(db)),
        Reading::AtMinimum(db) => (HearingStatus::AnsweredAtMinimum, Some(db)),
        Reading::Undecided | Reading::GivenUp => (HearingStatus::Stopped, None),
    };
    let level = level_db.map(|db| Level::new(scale, db));
    let mut finding = HearingFinding {
        presentations: steps.len() as u32,
        threshold: level.filter(|_| status != HearingStatus::NoResponseAtMaximum),
        limit: level.filter(|_| status == HearingStatus::NoResponseAtMaximum),
        spread_db: series.spread_db(),
        repeat_db: repeat_reading(record, ear, hz, rule, bounds),
        ..HearingFinding::blank(hz, status)
    };
    if let (HearingStatus::Measured, Some(db)) = (status, level_db) {
        state_precision(&mut finding, record, ear, scale, db);
    }
    finding
}

/// Silent presentations that were answered, and all: what they tell of false alarms holds at every
/// frequency.
#[must_use]
pub fn silent_answers(record: &Record) -> (u32, u32) {
    let slots = record
        .counted()
        .filter(|trial| trial.purpose() == Purpose::Silent);
    slots.fold((0, 0), |(answered, of), slot| {
        (answered + u32::from(slot.heard() == Some(true)), of + 1)
    })
}

fn repeat_reading(
    record: &Record,
    ear: Ear,
    hz: Hz,
    rule: SeriesRule,
    bounds: Bounds,
) -> Option<f64> {
    match Series::through(repeat_steps(record, ear, hz), rule, bounds).reading() {
        Reading::Threshold(db) | Reading::AtMinimum(db) => Some(db),
        _ => None,
    }
}

fn untested(record: &Record, ear: Ear) -> HearingStatus {
    match record.ended(Section::Ear(ear)) {
        Some((HowEnded::Declined, _)) => HearingStatus::Declined,
        Some((HowEnded::Stopped, _)) | None => HearingStatus::NotTested,
    }
}

fn rule(record: &Record) -> SeriesRule {
    let plan = record.opening.plan.hearing.as_ref();
    plan.map_or(
        SeriesRule::Ascents(AscendingRule::TWO_OF_THREE),
        HearingPlan::series_rule,
    )
}
