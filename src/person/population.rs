//! Populations to draw simulated persons from.

use super::case::{Case, HearingTruth, Kind, Manner, SightTruth};
use crate::quantity::{Draws, Ear};

/// Octave frequencies, Hz, and the mean midpoint at each, dB HL (our choice, no source).
const HZ: [f64; 6] = [250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];
const MEAN_DB: [f64; 6] = [15.0, 15.0, 17.0, 20.0, 27.0, 35.0];
/// Spread, correlation an octave apart and between the ears, and what each frequency has of its
/// own (our choice; Jackson 1991, 100 men aged 39: ears 0.70, adjacent octaves 0.43 to 0.78).
const SD_DB: f64 = 18.0;
const OCTAVE_CORRELATION: f64 = 0.85;
const EAR_CORRELATION: f64 = 0.80;
const NUGGET_DB: f64 = 4.0;
/// Acuity: mean and spread (our choice), and spread between the eyes of one person
/// (healthy eyes, Drover 2008).
const ACUITY_LOG_MAR: [f64; 2] = [0.15, 0.25];
const BETWEEN_EYES_LOG_MAR: f64 = 0.06;

/// People of one manner of answering, with hearing and sight spread as in a clinic for all ages.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Population {
    /// What it is called.
    pub name: &'static str,
    manner: Manner,
    ears: Ears,
}

/// How the two ears of one person lie to each other.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Ears {
    /// As the population's prior has it.
    Alike,
    /// As it has it, and both poorer by this at 4 kHz, dB, from and to.
    Notched([f64; 2]),
    /// As it has it, and one of them, either, poorer by this at all frequencies, dB; sound crosses
    /// the head 100 dB weaker, more than in anybody, so that every answer is this ear's: what masking
    /// does is another question.
    OneBy(f64),
    /// One of them, either, hears nothing; sound crosses the head 40 to 60 dB weaker.
    OneDead,
    /// One of them, either, hears this much less at all frequencies, dB, from and to; sound crosses
    /// the head 40 to 60 dB weaker.
    OnePoorer([f64; 2]),
}

/// Where 4 kHz stands among [`HZ`].
const NOTCH_AT: usize = 4;

/// A midpoint that no set-up reaches, dB HL.
const DEAD_DB: f64 = 150.0;

impl Population {
    /// The names of the populations.
    pub const NAMES: [&str; 21] = [
        "steep",
        "careful",
        "average",
        "poor",
        "tired",
        "steep_notch",
        "careful_notch",
        "average_notch",
        "poor_notch",
        "tired_notch",
        "steep_one_sided",
        "careful_one_sided",
        "average_one_sided",
        "poor_one_sided",
        "tired_one_sided",
        "random",
        "raised_bar",
        "one_dead_ear",
        "one_dead_ear_poor",
        "one_poor_ear",
        "one_poor_ear_poor",
    ];

    /// The population of that name. `steep`, `careful`, `average`, `poor` and `tired` are listeners from steep to tired (our
    /// choice); `random` and `raised_bar` answer as case files have it. The rest are average or poor
    /// listeners of whom one ear hears nothing, or 40 to 80 dB less than the other.
    #[must_use]
    pub fn named(name: &str) -> Option<Population> {
        let of = |name, scale_db, false_alarm, lapse, wander_db| Population {
            name,
            manner: Manner {
                kind: Kind::Genuine,
                scale_db,
                false_alarm,
                lapse,
                wander_db,
                ..Manner::default()
            },
            ears: Ears::Alike,
        };
        let average = of("average", 3.0, 0.04, 0.02, 1.0);
        let poor = of("poor", 4.0, 0.12, 0.05, 3.0);
        let one_sided = |name, population: Population, ears| {
            Some(Population {
                name,
                ears,
                ..population
            })
        };
        let poorer = Ears::OnePoorer([40.0, 80.0]);
        let tired = Population {
            manner: Manner {
                drift_db: 2.0,
                ..of("tired", 3.0, 0.04, 0.08, 2.2).manner
            },
            ..of("tired", 3.0, 0.04, 0.08, 2.2)
        };
        let listeners = [
            ["steep", "steep_notch", "steep_one_sided"],
            ["careful", "careful_notch", "careful_one_sided"],
            ["average", "average_notch", "average_one_sided"],
            ["poor", "poor_notch", "poor_one_sided"],
            ["tired", "tired_notch", "tired_one_sided"],
        ]
        .into_iter()
        .zip([
            of("steep", 1.2, 0.01, 0.01, 0.0),
            of("careful", 2.0, 0.01, 0.01, 0.0),
            average,
            poor,
            tired,
        ]);
        for (names, listener) in listeners {
            let ears = [Ears::Alike, Ears::Notched([25.0, 40.0]), Ears::OneBy(45.0)];
            for (listed, ears) in names.into_iter().zip(ears) {
                if listed == name {
                    return one_sided(listed, listener, ears);
                }
            }
        }
        match name {
            "one_dead_ear" => one_sided("one_dead_ear", average, Ears::OneDead),
            "one_dead_ear_poor" => one_sided("one_dead_ear_poor", poor, Ears::OneDead),
            "one_poor_ear" => one_sided("one_poor_ear", average, poorer),
            "one_poor_ear_poor" => one_sided("one_poor_ear_poor", poor, poorer),
            "random" => Some(Population {
                name: "random",
                manner: Manner {
                    kind: Kind::Random,
                    ..Manner::default()
                },
                ears: Ears::Alike,
            }),
            "raised_bar" => {
                let manner = Manner {
                    kind: Kind::RaisedBar,
                    ..Manner::default()
                };
                Some(Population {
                    name: "raised_bar",
                    manner,
                    ears: Ears::Alike,
                })
            }
            _ => None,
        }
    }

    /// Draws one person.
    #[must_use]
    pub fn draw(&self, draws: &mut Draws) -> Case {
        let [right, left] = ears(draws);
        let [mean, sd] = ACUITY_LOG_MAR;
        let acuity = mean + sd * draws.normal();
        let mut eye = || acuity + BETWEEN_EYES_LOG_MAR / std::f64::consts::SQRT_2 * draws.normal();
        let sight = SightTruth {
            right: eye(),
            left: eye(),
            ..SightTruth::default()
        };
        Case {
            format: 1,
            title: format!("invented: one of the population '{}'", self.name),
            age_years: None,
            sex: None,
            hearing: Some(self.one_sided(right, left, draws)),
            sight: Some(sight),
            bedside: None,
            habits: None,
            manner: self.manner,
        }
    }
}

impl Population {
    /// The ears as drawn, or one of them poorer.
    fn one_sided(&self, right: Vec<f64>, left: Vec<f64>, draws: &mut Draws) -> HearingTruth {
        let mut truth = HearingTruth {
            hz: HZ.to_vec(),
            right,
            left,
            ..HearingTruth::default()
        };
        match self.ears {
            Ears::Alike => return truth,
            Ears::Notched([from_db, to_db]) => {
                let by_db = draws.between(from_db, to_db);
                for ear in [&mut truth.right, &mut truth.left] {
                    ear[NOTCH_AT] += by_db;
                }
                return truth;
            }
            Ears::OneBy(_) => truth.interaural_attenuation_db = 100.0,
            Ears::OneDead | Ears::OnePoorer(_) => {
                truth.interaural_attenuation_db = draws.between(40.0, 60.0);
            }
        }
        let poorer = if draws.chance(0.5) {
            &mut truth.right
        } else {
            &mut truth.left
        };
        match self.ears {
            Ears::OneDead => poorer.fill(DEAD_DB),
            Ears::OnePoorer([from_db, to_db]) => {
                let by_db = draws.between(from_db, to_db);
                for db in poorer.iter_mut() {
                    *db += by_db;
                }
            }
            Ears::OneBy(by_db) => {
                for db in poorer.iter_mut() {
                    *db += by_db;
                }
            }
            Ears::Alike | Ears::Notched(_) => {}
        }
        truth
    }
}

/// Hearing as the populations have it, both ears alike.
pub(super) fn clinic_hearing(draws: &mut Draws) -> HearingTruth {
    let [right, left] = ears(draws);
    HearingTruth {
        hz: HZ.to_vec(),
        right,
        left,
        ..HearingTruth::default()
    }
}

/// Makes one ear poorer by so much at every frequency.
pub(super) fn poorer_in_one_ear(hearing: &mut HearingTruth, ear: Ear, by_db: f64) {
    let poorer = match ear {
        Ear::Right => &mut hearing.right,
        Ear::Left => &mut hearing.left,
    };
    for db in poorer.iter_mut() {
        *db += by_db;
    }
}

/// Midpoints of both ears: an exponential correlation over octaves is a first-order walk along
/// them, here walked by what the ears share and by what each has of its own.
fn ears(draws: &mut Draws) -> [Vec<f64>; 2] {
    let step = libm::sqrt(1.0 - OCTAVE_CORRELATION * OCTAVE_CORRELATION);
    let mut walk = || {
        let mut at = draws.normal();
        let mut path = vec![at];
        for _ in 1..HZ.len() {
            at = OCTAVE_CORRELATION * at + step * draws.normal();
            path.push(at);
        }
        path
    };
    let (shared, own) = (walk(), Ear::BOTH.map(|_| walk()));
    let (of_shared, of_own) = (
        libm::sqrt(EAR_CORRELATION),
        libm::sqrt(1.0 - EAR_CORRELATION),
    );
    own.map(|own| {
        let smooth = shared
            .iter()
            .zip(&own)
            .map(|(shared, own)| of_shared * shared + of_own * own);
        let levels = smooth
            .zip(MEAN_DB)
            .map(|(unit, mean_db)| mean_db + SD_DB * unit);
        levels
            .map(|db| (db + NUGGET_DB * draws.normal()).clamp(-10.0, 90.0))
            .collect()
    })
}
