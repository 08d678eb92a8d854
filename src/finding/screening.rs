//! Screening: was one fixed level heard at an ear and frequency? That is a finding of its own. It
//! is neither a threshold nor a diagnosis.

use super::level_keys::level_key;
use crate::calibration::EarphoneProfile;
use crate::journal::{Procedure, Purpose, Record, Trial};
use crate::quantity::{Ear, Hz, Level, Scale};
use serde::{Deserialize, Serialize};

/// A level is heard when it was answered so often, and not heard when it was missed so often: 2 of
/// at most 3 (common practice, no source).
const DECIDES: u32 = 2;

/// What a screening found at one ear and frequency.
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
pub enum Screened {
    /// Answered twice.
    Heard,
    /// Missed twice.
    NotHeard,
    /// Begun and not decided.
    Undecided,
    /// Not presented.
    NotTested,
}

/// One ear and frequency.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct ScreeningFinding {
    /// The frequency.
    pub hz: Hz,
    /// The level, always the same one.
    #[serde(flatten, with = "level_key")]
    #[schemars(with = "level_key::Keys")]
    pub level: Option<Level>,
    /// What was found.
    pub found: Screened,
    /// Presentations that were answered.
    pub answered: u32,
    /// All presentations that count.
    pub of: u32,
}

/// Both ears.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct ScreeningFindings {
    /// The right ear, in the plan's order.
    pub right: Vec<ScreeningFinding>,
    /// The left ear, in the plan's order.
    pub left: Vec<ScreeningFinding>,
    /// What it means and what it does not.
    pub caution: String,
}

const CAUTION: &str = "Heard or not heard at one level, which is no threshold and no diagnosis; \
    what was not heard is usually screened again before anything follows.";

/// The level of the plan's screening on the set-up's scale; none where there is no screening, or
/// no scale on which hearing levels mean something.
#[must_use]
pub fn screening_level(record: &Record) -> Option<Level> {
    let plan = record.opening.plan.hearing.as_ref()?;
    let screens = Procedure::named(&plan.procedure) == Some(Procedure::Screening);
    let earphone = record
        .opening
        .set_up
        .earphone
        .as_ref()
        .filter(|_| screens)?;
    let scale = Some(EarphoneProfile::scale(earphone)).filter(|scale| *scale != Scale::DbFs)?;
    Some(Level::new(scale, plan.screening_level_db()))
}

/// What is known at an ear and frequency.
#[must_use]
pub fn screened(record: &Record, ear: Ear, hz: Hz) -> ScreeningFinding {
    let of = |trial: &&Trial| {
        let tone = trial.tone();
        trial.purpose() == Purpose::Screen
            && tone.is_some_and(|tone| tone.ear == ear && tone.hz == hz)
    };
    let answers = record.counted().filter(of).filter_map(Trial::heard);
    // What is asked beyond the decision changes nothing of it.
    let (answered, of) = answers.fold((0, 0), |(answered, of), heard| {
        if answered >= DECIDES || of - answered >= DECIDES {
            return (answered, of);
        }
        (answered + u32::from(heard), of + 1)
    });
    let found = match of {
        0 => Screened::NotTested,
        _ if answered >= DECIDES => Screened::Heard,
        _ if of - answered >= DECIDES => Screened::NotHeard,
        _ => Screened::Undecided,
    };
    ScreeningFinding {
        hz,
        level: screening_level(record),
        found,
        answered,
        of,
    }
}

impl ScreeningFindings {
    /// Folds the record; none if the plan does not screen.
    #[must_use]
    pub fn of(record: &Record) -> Option<ScreeningFindings> {
        screening_level(record)?;
        let plan = record.opening.plan.hearing.as_ref()?;
        let ear = |ear| {
            let all = plan.hz.iter().filter(|_| plan.ears.contains(&ear));
            all.map(|hz| screened(record, ear, *hz)).collect()
        };
        Some(ScreeningFindings {
            right: ear(Ear::Right),
            left: ear(Ear::Left),
            caution: CAUTION.into(),
        })
    }

    /// Both ears.
    pub fn all(&self) -> impl Iterator<Item = (Ear, &ScreeningFinding)> {
        let of = |ear| move |one| (ear, one);
        let right = self.right.iter().map(of(Ear::Right));
        right.chain(self.left.iter().map(of(Ear::Left)))
    }
}
