//! What is believed of a person's hearing before the first answer.

use super::normal::Symmetric;
use crate::journal::HearingPrior;
use crate::quantity::{Ear, Hz};

/// One ear at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
}

/// One way in which hearing may be shaped, and how common it is.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pub share: f64,
    pub covariance: Symmetric,
}

/// Octave frequencies, Hz, and the mean midpoint at each, dB HL (our choice, no source).
const MEAN_DB: [(f64, f64); 6] = [
    (250.0, 15.0),
    (500.0, 15.0),
    (1000.0, 17.0),
    (2000.0, 20.0),
    (4000.0, 27.0),
    (8000.0, 35.0),
];
/// Spread, correlation an octave apart and between the ears, and what each place has of its own
/// (our choice; Jackson 1991, 100 men aged 39: ears 0.70, adjacent octaves 0.43 to 0.78).
const SD_DB: f64 = 18.0;
const OCTAVE_CORRELATION: f64 = 0.85;
const EAR_CORRELATION: f64 = 0.80;
const NUGGET_DB: f64 = 4.0;

/// Of ten people, about so many have one ear that is poorer throughout, and as many have
/// frequencies that stand out from their neighbours; how far (our choices, no source).
const ONE_EAR_SHARE: f64 = 0.15;
const ONE_EAR_DB: f64 = 30.0;
const ROUGH_SHARE: f64 = 0.15;
const ROUGH_DB: f64 = 15.0;
/// Where they stand out, Hz.
const ROUGH_FROM_HZ: f64 = 2500.0;

/// A flat prior's mean and spread, dB.
const FLAT_MEAN_DB: f64 = 40.0;
const FLAT_SD_DB: f64 = 60.0;

impl HearingPrior {
    /// The mean midpoint, dB HL.
    #[must_use]
    pub fn mean_db(self, hz: Hz) -> f64 {
        if self == HearingPrior::Flat {
            return FLAT_MEAN_DB;
        }
        let [(first_hz, first_db), .., (last_hz, last_db)] = MEAN_DB;
        if hz.0 <= first_hz {
            return first_db;
        }
        let above = MEAN_DB.windows(2).find(|pair| hz.0 <= pair[1].0);
        above
            .map_or(last_db, |pair| {
                let [(low_hz, low_db), (high_hz, high_db)] = [pair[0], pair[1]];
                low_db + (high_db - low_db) * octaves(low_hz, hz.0) / octaves(low_hz, high_hz)
            })
            .max(if hz.0 > last_hz { last_db } else { f64::MIN })
    }

    /// The shapes that hearing may have over these places.
    pub(super) fn shapes(self, places: &[Place]) -> Vec<Shape> {
        let side = places.len();
        let diagonal = |row: usize, column: usize, sd_db: f64| {
            if row == column { sd_db * sd_db } else { 0.0 }
        };
        if self == HearingPrior::Flat {
            let covariance = Symmetric::new(side, |row, column| diagonal(row, column, FLAT_SD_DB));
            return vec![Shape {
                share: 1.0,
                covariance,
            }];
        }
        let smooth = |row: usize, column: usize| {
            let (one, other) = (places[row], places[column]);
            let apart = octaves(one.hz.0, other.hz.0).abs();
            let ears = if one.ear == other.ear {
                1.0
            } else {
                EAR_CORRELATION
            };
            SD_DB * SD_DB * ears * libm::pow(OCTAVE_CORRELATION, apart)
                + diagonal(row, column, NUGGET_DB)
        };
        let one_ear = |row: usize, column: usize| {
            let same = places[row].ear == places[column].ear;
            smooth(row, column) + if same { ONE_EAR_DB * ONE_EAR_DB } else { 0.0 }
        };
        let rough = |row: usize, column: usize| {
            let (one, other) = (places[row], places[column]);
            let stands_out = one.hz.0 >= ROUGH_FROM_HZ && one.hz == other.hz;
            // What stands out mostly does so in both ears: noise reaches both.
            let ears = if one.ear == other.ear {
                1.0
            } else {
                EAR_CORRELATION
            };
            smooth(row, column)
                + if stands_out {
                    ROUGH_DB * ROUGH_DB * ears
                } else {
                    0.0
                }
        };
        vec![
            Shape {
                share: 1.0 - ONE_EAR_SHARE - ROUGH_SHARE,
                covariance: Symmetric::new(side, smooth),
            },
            Shape {
                share: ONE_EAR_SHARE,
                covariance: Symmetric::new(side, one_ear),
            },
            Shape {
                share: ROUGH_SHARE,
                covariance: Symmetric::new(side, rough),
            },
        ]
    }
}

fn octaves(from_hz: f64, to_hz: f64) -> f64 {
    libm::log2(to_hz / from_hz)
}
