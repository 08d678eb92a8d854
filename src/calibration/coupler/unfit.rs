//! What is wrong with the readings of a sheet.

use super::{CouplerSheet, Reading, SOFTER, Step};
use crate::calibration::file::FieldError;
use crate::quantity::{Ear, Hz};
use crate::standard::iso_8253_1_2010::level_tolerance;

/// By how much that may differ from what it should be, dB: the step of an audiometer's levels
/// (IEC 60645-1, from memory). An automatic gain or an equaliser that works by level shows here.
const STEP_WRONG_DB: f64 = 1.0;
/// Percent of a tone that its harmonics may have (IEC 60645-1 and ANSI S3.6-1996, air conduction;
/// from memory, stated there for louder tones).
pub const MOST_DISTORTION_PERCENT: f64 = 2.5;
/// How far the earphones of a pair may differ, dB, up to 4 kHz and above (our choice: what differs
/// more has a defect or sits badly). Each side is measured, so a smaller difference costs nothing.
const SIDES_DIFFER_DB: [f64; 2] = [6.0, 10.0];

/// Something in the readings that makes no profile.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unfit {
    /// Tones that were not read.
    #[error("{of} of {all} tones are read; the next is {} Hz at the {} earphone", next.hz.0, next.ear)]
    NotRead {
        /// So many are.
        of: usize,
        /// So many there are.
        all: usize,
        /// The first that is not.
        next: Step,
    },
    /// The earphone reads otherwise when it is placed anew.
    #[error(
        "the {ear} earphone at {hz}: placements differ by {apart_db:.1} dB, at most \
        {most_db} dB are expected; place it with care and read again"
    )]
    Placements {
        /// Which.
        ear: Ear,
        /// Where.
        hz: Hz,
        /// How far.
        apart_db: f64,
        /// How far they may.
        most_db: f64,
    },
    /// The earphones of the pair differ.
    #[error(
        "{hz}: the earphones differ by {apart_db:.1} dB, at most {most_db} dB are expected of \
        a pair; look for a defect or a cord"
    )]
    Sides {
        /// Where.
        hz: Hz,
        /// How far.
        apart_db: f64,
        /// How far they may.
        most_db: f64,
    },
    /// Harmonics.
    #[error(
        "the {ear} earphone at {hz}: {percent:.1} % distortion, at most \
        {MOST_DISTORTION_PERCENT} % are expected"
    )]
    Distorted {
        /// Which.
        ear: Ear,
        /// Where.
        hz: Hz,
        /// How much.
        percent: f64,
    },
    /// A softer tone does not read as much softer.
    #[error("the {ear} earphone at {hz}: a tone {} dB softer reads {found_db:.1} dB less; something \
        works on the level (an automatic gain, an equaliser, noise beside the tone)", SOFTER.0)]
    Steps {
        /// Which.
        ear: Ear,
        /// Where.
        hz: Hz,
        /// How much less.
        found_db: f64,
    },
    /// What follows is no profile.
    #[error("{0}")]
    Field(#[from] FieldError),
}

impl CouplerSheet {
    /// Everything that keeps the readings from making a profile, in the order in which it was
    /// looked for; whatever can already be seen while tones are missing.
    #[must_use]
    pub fn unfit(&self) -> Vec<Unfit> {
        let mut found = Vec::new();
        let steps = self.steps();
        if let Some(next) = self.next() {
            found.push(Unfit::NotRead {
                of: steps.len()
                    - steps
                        .iter()
                        .filter(|one| self.reading(one).is_none())
                        .count(),
                all: steps.len(),
                next,
            });
        }
        for reading in &self.readings {
            let Reading { ear, hz, .. } = *reading;
            if let Some(percent) = reading.distortion_percent
                && percent > MOST_DISTORTION_PERCENT
            {
                found.push(Unfit::Distorted { ear, hz, percent });
            }
        }
        for ear in Ear::BOTH {
            found.extend(self.step_of(ear));
            for hz in self.hz() {
                let own = self.full_scales(ear, hz);
                let [low, high] = ends(&own);
                let most_db = level_tolerance(hz).0;
                if high - low > most_db {
                    let apart_db = high - low;
                    found.push(Unfit::Placements {
                        ear,
                        hz,
                        apart_db,
                        most_db,
                    });
                }
            }
        }
        for hz in self.hz() {
            let [right, left] = Ear::BOTH.map(|ear| mean(&self.full_scales(ear, hz)));
            let most_db = SIDES_DIFFER_DB[usize::from(hz.0 > 4000.0)];
            if let (Some(right), Some(left)) = (right, left)
                && (right - left).abs() > most_db
            {
                let apart_db = (right - left).abs();
                found.push(Unfit::Sides {
                    hz,
                    apart_db,
                    most_db,
                });
            }
        }
        found
    }

    fn step_of(&self, ear: Ear) -> Option<Unfit> {
        let step = |level_db_fs| Step {
            placement: 1,
            ear,
            hz: Hz(1000.0),
            level_db_fs,
        };
        let loud = self.reading(&step(self.level_db_fs))?;
        let soft = self.reading(&step(self.level_db_fs - SOFTER))?;
        let found_db = (loud.db_spl - soft.db_spl).0;
        ((found_db - SOFTER.0).abs() > STEP_WRONG_DB).then_some(Unfit::Steps {
            ear,
            hz: loud.hz,
            found_db,
        })
    }
}

pub(super) fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

fn ends(values: &[f64]) -> [f64; 2] {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    [low, high]
}
