//! The kinds of people of the two mixtures, each by ways of answering drawn from its ranges.
//!
//! The ranges are wider than those of the simulated people (`person/kinds.rs`), so that
//! people half as noisy again are still within them. The draws are a fixed set (seed 6): the same
//! answers give the same ratio always.

use super::Mixture;
use super::way::{Bar, By, Way};
use crate::quantity::{Draws, Ear, Hz, Stream};
use std::sync::LazyLock;

/// A kind of people as it is thought of.
#[derive(Debug)]
pub struct KindOfPeople {
    /// What it is called.
    pub name: &'static str,
    /// Of which mixture.
    pub mixture: Mixture,
    /// How much it weighs in it.
    pub(super) weight: f64,
    /// Its ways of answering, equally likely.
    pub(super) ways: Vec<Way>,
}

/// How many ways stand for a kind.
const WAYS: u64 = 96;
const SEED: u64 = 6;

type Draw = fn(&mut Draws) -> Way;

/// Name, mixture, weight and draw of each kind. All weigh alike but one: that nothing is heard of
/// anything is rare, and stands here so that pressing at random cannot be told from it by level.
const TABLE: [(&str, Mixture, f64, Draw); 16] = [
    ("steady", Mixture::Perceiving, 1.0, steady),
    ("usual", Mixture::Perceiving, 1.0, usual),
    ("tiring", Mixture::Perceiving, 1.0, tiring),
    (
        "many false alarms",
        Mixture::Perceiving,
        1.0,
        many_false_alarms,
    ),
    ("ringing ears", Mixture::Perceiving, 1.0, ringing),
    ("childlike", Mixture::Perceiving, 1.0, childlike),
    ("hesitant", Mixture::Perceiving, 1.0, hesitant),
    ("slow to press", Mixture::Perceiving, 1.0, slow),
    ("learning", Mixture::Perceiving, 1.0, learning),
    ("hears none of it", Mixture::Perceiving, 0.2, deaf),
    ("a bar", Mixture::Others, 1.0, |draws| bar(draws, None)),
    ("a bar on one side", Mixture::Others, 1.0, |draws| {
        let ear = ear(draws);
        bar(draws, Some(ear))
    }),
    ("a bar that drifts", Mixture::Others, 1.0, drifting_bar),
    ("contrary choices", Mixture::Others, 1.0, contrary),
    ("a steady bar", Mixture::Others, 2.0, steady_bar),
    ("at random", Mixture::Others, 1.0, at_random),
];

static KINDS: LazyLock<Vec<KindOfPeople>> = LazyLock::new(|| {
    let kind =
        |(number, &(name, mixture, weight, draw)): (usize, &(&'static str, Mixture, f64, Draw))| {
            let way = |at: u64| {
                draw(&mut Draws::new(
                    SEED,
                    Stream::Kinds,
                    number as u64 * 1000 + at,
                ))
            };
            KindOfPeople {
                name,
                mixture,
                weight,
                ways: (0..WAYS).map(way).collect(),
            }
        };
    TABLE.iter().enumerate().map(kind).collect()
});

/// The kinds, in a fixed order.
#[must_use]
pub fn kinds() -> &'static [KindOfPeople] {
    &KINDS
}

fn ear(draws: &mut Draws) -> Ear {
    if draws.chance(0.5) {
        Ear::Right
    } else {
        Ear::Left
    }
}

/// Evenly in the logarithm.
fn log_between(draws: &mut Draws, low: f64, high: f64) -> f64 {
    libm::exp(draws.between(libm::log(low), libm::log(high)))
}

fn perceiving(
    draws: &mut Draws,
    scale_db: [f64; 2],
    false_alarm: [f64; 2],
    lapse: [f64; 2],
    wander_db: [f64; 2],
) -> Way {
    Way {
        scale_db: log_between(draws, scale_db[0], scale_db[1]),
        false_alarm: log_between(draws, false_alarm[0], false_alarm[1]),
        rings: None,
        lapse: log_between(draws, lapse[0], lapse[1]),
        lapse_growth: 0.0,
        wander_db: draws.between(wander_db[0], wander_db[1]),
        drift_db: 0.0,
        learning_db: 0.0,
        hesitates_db: 0.0,
        by: By::Hearing,
    }
}

fn steady(draws: &mut Draws) -> Way {
    perceiving(draws, [0.8, 2.6], [0.002, 0.03], [0.003, 0.03], [0.0, 1.0])
}

fn usual(draws: &mut Draws) -> Way {
    perceiving(draws, [1.6, 5.0], [0.01, 0.09], [0.005, 0.05], [0.3, 2.2])
}

fn tiring(draws: &mut Draws) -> Way {
    Way {
        drift_db: draws.between(0.3, 4.5),
        lapse_growth: draws.between(0.0, 0.08),
        ..perceiving(draws, [1.6, 5.0], [0.01, 0.09], [0.005, 0.05], [1.0, 4.5])
    }
}

fn many_false_alarms(draws: &mut Draws) -> Way {
    perceiving(draws, [1.6, 5.0], [0.10, 0.45], [0.005, 0.05], [0.3, 2.2])
}

fn ringing(draws: &mut Draws) -> Way {
    let hz = [
        500.0, 1000.0, 2000.0, 4000.0, 4000.0, 6000.0, 8000.0, 8000.0,
    ][draws.below(8)];
    Way {
        rings: Some((Hz(hz), draws.between(0.08, 0.50))),
        ..usual(draws)
    }
}

fn childlike(draws: &mut Draws) -> Way {
    perceiving(draws, [1.6, 6.0], [0.04, 0.30], [0.04, 0.27], [1.5, 6.0])
}

fn hesitant(draws: &mut Draws) -> Way {
    Way {
        hesitates_db: draws.between(0.0, 9.0),
        ..perceiving(draws, [1.6, 5.0], [0.002, 0.05], [0.005, 0.05], [0.3, 2.2])
    }
}

/// Answers that come after the window are none.
fn slow(draws: &mut Draws) -> Way {
    perceiving(draws, [1.6, 5.0], [0.01, 0.09], [0.05, 0.40], [0.3, 2.2])
}

fn learning(draws: &mut Draws) -> Way {
    Way {
        learning_db: draws.between(3.0, 16.0),
        ..usual(draws)
    }
}

fn deaf(draws: &mut Draws) -> Way {
    Way {
        by: By::Deaf,
        ..perceiving(draws, [2.0, 4.0], [0.005, 0.3], [0.005, 0.05], [0.0, 1.0])
    }
}

/// Whoever answers by a bar answers silence, and misses what is over the bar, as somebody of the
/// other mixture does: neither rate tells the mixtures apart.
fn like_somebody_perceiving(draws: &mut Draws) -> Way {
    let who: [Draw; 9] = [
        steady,
        usual,
        tiring,
        many_false_alarms,
        usual,
        childlike,
        hesitant,
        slow,
        learning,
    ];
    let way = who[draws.below(who.len())](draws);
    Way {
        drift_db: 0.0,
        learning_db: 0.0,
        hesitates_db: 0.0,
        ..way
    }
}

fn a_bar(draws: &mut Draws, ear: Option<Ear>, pull: [f64; 2]) -> Bar {
    // In a forced choice half of them guess as if nothing were perceived.
    let choice = if draws.chance(0.5) {
        0.5
    } else {
        draws.between(0.15, 0.60)
    };
    Bar {
        ear,
        pull: draws.between(pull[0], pull[1]),
        both_ears: draws.between(0.0, 0.9),
        choice,
        over_hearing_db: draws.between(5.0, 60.0),
        truly_poorer_db: 8.0 * draws.normal(),
    }
}

/// A bar that wanders and follows its company; its step is as wide as anybody's or wider.
fn bar(draws: &mut Draws, ear: Option<Ear>) -> Way {
    let way = like_somebody_perceiving(draws);
    Way {
        scale_db: log_between(draws, 2.0, 7.0),
        wander_db: draws.between(1.0, 5.0),
        drift_db: 2.0 * draws.normal(),
        by: By::Bar(a_bar(draws, ear, [0.15, 0.75])),
        ..way
    }
}

fn drifting_bar(draws: &mut Draws) -> Way {
    let down = draws.chance(0.5);
    let drift_db = draws.between(3.5, 12.0);
    Way {
        drift_db: if down { -drift_db } else { drift_db },
        ..bar(draws, None)
    }
}

fn contrary(draws: &mut Draws) -> Way {
    let mut way = bar(draws, None);
    if let By::Bar(bar) = &mut way.by {
        bar.choice = draws.between(0.02, 0.40);
    }
    way
}

/// A bar that follows little, at both ears or at one.
fn steady_bar(draws: &mut Draws) -> Way {
    let ear = if draws.chance(0.5) {
        None
    } else {
        Some(ear(draws))
    };
    let way = like_somebody_perceiving(draws);
    let mut bar = a_bar(draws, ear, [0.0, 0.2]);
    if draws.chance(0.7) {
        bar.choice = 0.5;
    }
    Way {
        by: By::Bar(bar),
        ..way
    }
}

fn at_random(draws: &mut Draws) -> Way {
    Way {
        by: By::Chance {
            rate: draws.between(0.10, 0.60),
            slope: draws.between(-0.1, 0.4),
        },
        ..deaf(draws)
    }
}
