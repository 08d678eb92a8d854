//! Thresholds of hearing.

use super::ascents::{Bounds, Reading};
use super::level_keys::{limit_key, midpoint_key, threshold_key};
use super::series::Series;
use crate::belief::{ThresholdPosterior, ToneTrial};
use crate::calibration::EarphoneProfile;
use crate::journal::{
    AscendingRule, BracketingRule, HearingPlan, HowEnded, Purpose, Record, Section, SeriesRule,
};
use crate::quantity::{Db, Ear, Hz, Level, Scale};
use serde::{Deserialize, Serialize};

/// What became of one ear and frequency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
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
/// without bone conduction the other rules cannot be applied).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Masking {
    /// The ears differ by less than the least interaural attenuation of the earphone type.
    NotNeeded,
    /// They differ by as much: the other ear may have answered.
    NeededNotDone,
}

/// What is known about one ear and frequency. Levels are on the set-up's scale, and only fields
/// of that scale are there: without a valid profile there is no dB HL.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HearingFinding {
    /// The frequency.
    pub hz: Hz,
    /// What became of it.
    pub status: HearingStatus,
    /// The reading on the clinical scale.
    #[serde(flatten, with = "threshold_key")]
    pub threshold: Option<Level>,
    /// The midpoint of the detection function.
    #[serde(flatten, with = "midpoint_key")]
    pub midpoint: Option<Level>,
    /// Where there was no response: the highest level presented. It is no threshold.
    #[serde(flatten, with = "limit_key")]
    pub limit: Option<Level>,
    /// Root mean square distance of the true midpoint from the one stated, from the answers
    /// alone, dB.
    pub sd_db: Option<f64>,
    /// Combined standard uncertainty, dB; none without a profile.
    pub u_db: Option<f64>,
    /// The central 90 % of the posterior of the midpoint, widened to hold the midpoint stated where
    /// reading and posterior are so far apart, dB.
    pub interval_90_db: Option<[f64; 2]>,
    /// Whether the other ear could have answered; none where nothing was found.
    pub masking: Option<Masking>,
    /// Own presentations that measured, silent and familiarising ones left out.
    pub presentations: u32,
    /// Whether the figure leans on neighbouring frequencies.
    pub from_neighbours: bool,
    /// The reading when it was measured again, dB.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeat_db: Option<f64>,
    /// How far apart its ascents ended, dB.
    pub spread_db: f64,
}

/// Both ears.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
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
        let mut findings = HearingFindings {
            right: ear_findings(record, Ear::Right),
            left: ear_findings(record, Ear::Left),
        };
        findings.judge_masking(record);
        findings
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

    /// The ear whose level is above the other one's by the least interaural attenuation or more
    /// may have been answered for by the other ear (ISO 8253-1:2010, 7.1; reference: hearing
    /// reference list, rule 1). An ear that was not tested may be as good as any.
    fn judge_masking(&mut self, record: &Record) {
        let Some(earphone) = &record.opening.set_up.earphone else {
            return;
        };
        let attenuation_db = earphone.interaural_attenuation_min().0;
        let best_db = earphone.min_level().db();
        let levels: Vec<_> = self
            .all()
            .map(|(ear, one)| (ear, one.hz, one.stated_db()))
            .collect();
        for ear in Ear::BOTH {
            let findings = match ear {
                Ear::Right => &mut self.right,
                Ear::Left => &mut self.left,
            };
            for finding in findings {
                let other = levels
                    .iter()
                    .find(|(side, hz, _)| *side == ear.other() && *hz == finding.hz);
                let other_db = other.and_then(|(.., db)| *db).unwrap_or(best_db);
                finding.masking = finding.stated_db().map(|own_db| {
                    if own_db - other_db >= attenuation_db {
                        Masking::NeededNotDone
                    } else {
                        Masking::NotNeeded
                    }
                });
            }
        }
    }
}

impl HearingFinding {
    /// The threshold's number, or where there is none, that of the level that was not answered.
    #[must_use]
    pub fn stated_db(&self) -> Option<f64> {
        self.threshold.or(self.limit).map(Level::db)
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
            presentations: 0,
            from_neighbours: false,
            repeat_db: None,
            spread_db: 0.0,
        }
    }
}

/// The levels that the set-up can present at this ear and frequency, on the 5-dB grid.
#[must_use]
pub fn bounds(record: &Record, ear: Ear, hz: Hz) -> Option<Bounds> {
    let earphone = record.opening.set_up.earphone.as_ref()?;
    let max_db = (earphone.max_level(ear, hz)?.db() / 5.0).floor() * 5.0;
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
    let rule = rule(record);
    let steps: Vec<_> = own_steps(record, ear, hz).collect();
    let (Some(bounds), false) = (bounds(record, ear, hz), steps.is_empty()) else {
        return HearingFinding::blank(hz, untested(record, ear));
    };
    let series = Series::through(steps.iter().copied(), rule, bounds);
    let scale = record
        .opening
        .set_up
        .earphone
        .as_ref()
        .map_or(Scale::DbFs, EarphoneProfile::scale);
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

/// Adds the midpoint and how exactly it is known.
fn state_precision(
    finding: &mut HearingFinding,
    record: &Record,
    ear: Ear,
    scale: Scale,
    reading_db: f64,
) {
    let midpoint_db = reading_db - reading_above_midpoint_db(rule(record));
    // The posterior's grid is laid for hearing levels; other scales are shifted onto it.
    let shift_db = if scale == Scale::DbFs { 120.0 } else { 0.0 };
    let trial = |(db, heard): (f64, bool)| ToneTrial {
        level_db: db + shift_db,
        heard,
    };
    let trials: Vec<ToneTrial> = all_steps(record, ear, finding.hz).map(trial).collect();
    let mut posterior = ThresholdPosterior::from_trials(&trials);
    let (answered, of) = silent_answers(record);
    posterior.observe_silent(answered, of + BELIEVED_SILENT);
    posterior.observe_near(reading_db + shift_db, READING_SD_DB);
    let posterior = posterior.midpoint();
    let sd_db = libm::sqrt(posterior.mean_square_about(midpoint_db + shift_db));
    let [low_db, high_db] = posterior.interval(0.9).map(|db| db - shift_db);
    finding.midpoint = Some(Level::new(scale, midpoint_db));
    finding.sd_db = Some(sd_db);
    finding.interval_90_db = Some([low_db.min(midpoint_db), high_db.max(midpoint_db)]);
    let earphone = record.opening.set_up.earphone.as_ref();
    finding.u_db = earphone.and_then(|earphone| {
        earphone
            .uncertainty(finding.hz, Some(Db(sd_db)), false)
            .map(|u| u.0)
    });
}

/// So many unanswered silent presentations are believed in before the first: most people answer
/// few, and without this a short visit would hold one false alarm in four for as likely as one in
/// a hundred (our choice).
const BELIEVED_SILENT: u32 = 8;

/// How far from its reading a midpoint may lie at all, as a standard deviation, dB: three to four
/// times what the rule is wrong by for an average listener, so that it says nothing but that the
/// reading is one. Without it a few answers could all be false alarms and the midpoint anywhere
/// above (our choice).
const READING_SD_DB: f64 = 12.0;

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

/// How far the rule reads above the midpoint of an average listener (scale 3 dB, false alarms
/// 0.04, lapses 0.02), dB, found by `study --population average --repeats 1500 --seed 11` with each
/// procedure; that of bracketing by 300 repeats at six octaves. By ascents, 2 of 3, it is 2.8 for
/// the population `careful` and 1.1 for `poor`; by bracketing 3.1 and 2.6.
fn reading_above_midpoint_db(rule: SeriesRule) -> f64 {
    match rule {
        SeriesRule::Ascents(AscendingRule {
            needed: 3, of: 5, ..
        }) => 2.6,
        SeriesRule::Ascents(_) => 2.5,
        SeriesRule::Bracketing(BracketingRule {
            two_if_within_db: Some(_),
            ..
        }) => 3.3,
        SeriesRule::Bracketing(_) => 3.1,
    }
}
