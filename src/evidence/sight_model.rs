//! The likelihood of all answers to optotypes under kinds of people: those who answer what they see,
//! and others. As with sounds (`evidence/model/`), each eye has a size of its own under each
//! condition, summed over on one
//! even grid under both, so no acuity tells one from the other.
//!
//! A bar that stays at one visual angle, with guesses under it, is an eye that sees less: nothing tells
//! them apart, and it is no kind here.

use crate::journal::{Purpose, Trial};
use crate::quantity::{Correction, Draws, Eye, Stream, largest, wide};
use crate::stimulus::Symbol;
use std::sync::LazyLock;

/// At 1 m and nearer an eye may have another acuity than far away (our choice).
const NEAR_MM: f64 = 1000.0;

type Condition = (Eye, Correction, bool, bool, bool);

/// One optotype as it is weighed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// The number of the condition: eye, correction, pinhole, crowding, near or far.
    pub condition: usize,
    /// Its size, logMAR.
    pub log_mar: f64,
    /// How much larger it stood on the wall than at 4 m, log10.
    pub farther: f64,
    /// The direction of its gap, degrees counter-clockwise from the right; none of a letter.
    pub degrees: Option<f64>,
    /// How many answers there were to choose from.
    pub choices: f64,
    /// Whether it was shown to see how answers agree.
    pub tests: bool,
    /// Whether it was named rightly.
    pub right: bool,
}

/// All optotypes of these trials, those of practice included.
#[must_use]
pub fn seen(trials: &[&Trial]) -> Vec<Seen> {
    // Under each of these an eye has an acuity of its own; at two far distances it is one.
    let mut conditions: Vec<Condition> = Vec::new();
    trials
        .iter()
        .flat_map(|trial| {
            let tests = trial.purpose() == Purpose::ForcedChoice;
            let condition = trial.optotype().map(|part| {
                let condition = (
                    part.eye,
                    part.correction,
                    part.pinhole,
                    part.crowded,
                    part.distance_mm.0 <= NEAR_MM,
                );
                let known = conditions.iter().position(|one| *one == condition);
                known.unwrap_or_else(|| {
                    conditions.push(condition);
                    conditions.len() - 1
                })
            });
            let condition = condition.unwrap_or(0);
            trial.namings().into_iter().map(move |(part, right)| Seen {
                condition,
                log_mar: part.log_mar.0,
                farther: libm::log10(part.distance_mm.0 / 4000.0),
                degrees: match part.symbol {
                    Symbol::Facing(facing) => Some(facing.degrees()),
                    Symbol::Letter(_) => None,
                },
                choices: f64::from(part.optotype.choices()),
                tests,
                right,
            })
        })
        .collect()
}

/// A way of answering.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Way {
    pub scale: f64,
    pub lapse: f64,
    /// How much larger a gap along the blurred axis has to be, logMAR, and the axis, degrees.
    pub astigmatic: f64,
    pub axis_degrees: f64,
    /// How much of what points to one side is missed: positive the right, negative the left.
    pub blind: f64,
    pub by: By,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum By {
    Seeing,
    /// Guesses at everything: nothing is seen, or nothing is answered by.
    Guessing,
    /// A bar that far over what is seen, logMAR; what is seen under it is named rightly so much less
    /// often than by guessing; on the wall instead of at an angle.
    Bar {
        over: f64,
        of_chance: f64,
        on_the_wall: bool,
    },
}

impl Way {
    /// What does not depend on the size.
    fn asked(&self, seen: &Seen) -> Asked {
        let off = |from: f64| {
            seen.degrees
                .map_or(0.0, |degrees| libm::cos((degrees - from).to_radians()))
        };
        let along = off(self.axis_degrees);
        let on_blind_side = off(0.0) * self.blind > 0.05;
        let chance = 1.0 / seen.choices;
        let rise = 1.0 - chance - self.lapse;
        Asked {
            log_mar: seen.log_mar - self.astigmatic * along * along,
            wall: seen.log_mar + seen.farther,
            angle: seen.log_mar,
            chance,
            rise: if on_blind_side {
                rise * (1.0 - self.blind.abs())
            } else {
                rise
            },
            by: self.by,
        }
    }
}

struct Asked {
    /// As large as the gap is for this eye.
    log_mar: f64,
    angle: f64,
    wall: f64,
    chance: f64,
    rise: f64,
    by: By,
}

impl Asked {
    /// How likely it is named rightly, by the size of the condition.
    #[inline(always)]
    fn p(&self, steps: &mut Steps) -> Sizes {
        let mut p = [self.chance; POINTS];
        match self.by {
            By::Guessing => {}
            By::Seeing => {
                let seen = steps.at(self.log_mar);
                for (p, step) in p.iter_mut().zip(steps.at_number(seen)) {
                    *p = self.chance + self.rise * step;
                }
            }
            By::Bar {
                over,
                of_chance,
                on_the_wall,
            } => {
                let seen = steps.at(self.log_mar + over);
                let clear = steps.at(if on_the_wall { self.wall } else { self.angle });
                let both = steps.at_number(seen).iter().zip(steps.at_number(clear));
                for (p, (seen, clear)) in p.iter_mut().zip(both) {
                    let seen = self.chance + self.rise * seen;
                    let perceived = (seen - self.chance) / (1.0 - self.chance);
                    let under = self.chance * (1.0 - perceived * (1.0 - of_chance));
                    *p = clear * seen + (1.0 - clear) * under;
                }
            }
        }
        p
    }
}

/// The logistic step of one way, by what was shown: a visit shows few sizes, each many times.
struct Steps {
    scale: f64,
    known: Vec<(u64, Sizes)>,
}

impl Steps {
    /// The number of the step of a size.
    fn at(&mut self, log_mar: f64) -> usize {
        let key = log_mar.to_bits();
        let known = self.known.iter().position(|(known, _)| *known == key);
        known.unwrap_or_else(|| {
            self.known.push((key, self.anew(log_mar)));
            self.known.len() - 1
        })
    }

    fn at_number(&self, number: usize) -> &Sizes {
        &self.known[number].1
    }

    fn anew(&self, log_mar: f64) -> Sizes {
        // 1 / (1 + exp((midpoint − size) / scale)) from one end to the other: one factor a step.
        let factor = libm::exp(STEP / self.scale);
        let mut grows = libm::exp((FIRST - log_mar) / self.scale);
        let mut steps = [0.0; POINTS];
        for step in &mut steps {
            *step = grows;
            grows *= factor;
        }
        for step in &mut steps {
            *step = 1.0 / (1.0 + *step);
        }
        steps
    }
}

/// One value for each size of the grid.
type Sizes = [f64; POINTS];

const FIRST: f64 = -0.9;
const STEP: f64 = 0.05;
const POINTS: usize = 67;
const WAYS: u64 = 64;
const SEED: u64 = 60;

struct Kind {
    perceives: bool,
    weight: f64,
    ways: Vec<Way>,
}

type Draw = fn(&mut Draws) -> Way;

/// The kinds: whether they answer what they see, how much they weigh, and their draw.
const TABLE: [(bool, f64, Draw); 11] = [
    (true, 1.0, |draws| {
        seeing(draws, [0.02, 0.12], [0.003, 0.05])
    }),
    (true, 1.0, |draws| {
        seeing(draws, [0.05, 0.25], [0.003, 0.05])
    }),
    (true, 1.0, |draws| Way {
        astigmatic: draws.between(0.05, 0.5),
        axis_degrees: [0.0, 45.0, 90.0, 135.0][draws.below(4)],
        ..seeing(draws, [0.03, 0.15], [0.003, 0.05])
    }),
    (true, 1.0, |draws| seeing(draws, [0.04, 0.20], [0.01, 0.15])),
    (true, 1.0, |draws| {
        let right = draws.chance(0.5);
        let blind = draws.between(0.1, 0.9);
        Way {
            blind: if right { blind } else { -blind },
            ..seeing(draws, [0.03, 0.15], [0.003, 0.05])
        }
    }),
    (true, 1.0, |draws| seeing(draws, [0.06, 0.25], [0.03, 0.30])),
    (true, 1.0, |draws| seeing(draws, [0.03, 0.15], [0.06, 0.45])),
    // Sees none of it: whoever guesses at everything may be that, so no acuity tells them apart.
    (true, 0.2, guessing),
    (false, 1.0, contrary),
    (false, 1.0, guessing),
    (false, 1.0, on_the_wall),
];

static KINDS: LazyLock<Vec<Kind>> = LazyLock::new(|| {
    let kinds = TABLE.iter().zip(0..);
    kinds
        .map(|((perceives, weight, draw), number)| Kind {
            perceives: *perceives,
            weight: *weight,
            ways: (0..WAYS)
                .map(|at| draw(&mut Draws::new(SEED, Stream::Kinds, number * 1000 + at)))
                .collect(),
        })
        .collect()
});

fn log_between(draws: &mut Draws, [low, high]: [f64; 2]) -> f64 {
    libm::exp(draws.between(libm::log(low), libm::log(high)))
}

fn seeing(draws: &mut Draws, scale: [f64; 2], lapse: [f64; 2]) -> Way {
    Way {
        scale: log_between(draws, scale),
        lapse: log_between(draws, lapse),
        astigmatic: 0.0,
        axis_degrees: 0.0,
        blind: 0.0,
        by: By::Seeing,
    }
}

fn guessing(draws: &mut Draws) -> Way {
    Way {
        by: By::Guessing,
        ..seeing(draws, [0.05, 0.1], [0.01, 0.02])
    }
}

/// Whoever answers by a bar answers as steadily as anybody.
fn under_a_bar(draws: &mut Draws, of_chance: [f64; 2], on_the_wall: bool) -> Way {
    let scale = [[0.02, 0.12], [0.05, 0.25]][draws.below(2)];
    let way = seeing(draws, scale, [0.003, 0.05]);
    Way {
        by: By::Bar {
            over: draws.between(0.1, 1.2),
            of_chance: draws.between(of_chance[0], of_chance[1]),
            on_the_wall,
        },
        ..way
    }
}

fn contrary(draws: &mut Draws) -> Way {
    under_a_bar(draws, [0.0, 0.8], false)
}

fn on_the_wall(draws: &mut Draws) -> Way {
    under_a_bar(draws, [0.9, 1.0], true)
}

/// log10 of how much better the others explain the answers, before it is recalibrated; none if
/// there are no answers.
#[must_use]
pub fn log10_ratio(answers: &[Seen]) -> Option<f64> {
    if answers.is_empty() {
        return None;
    }
    let mixture = |perceives: bool| {
        let of = || KINDS.iter().filter(move |kind| kind.perceives == perceives);
        let total: f64 = of().map(|kind| kind.weight).sum();
        let each = of().flat_map(|kind| {
            let share = kind.weight / total / kind.ways.len() as f64;
            kind.ways
                .iter()
                .map(move |way| libm::log(share) + ln_likelihood(way, answers))
        });
        ln_sum(each)
    };
    Some((mixture(false) - mixture(true)) / std::f64::consts::LN_10)
}

/// The ln likelihood of all answers under one way, the size of each condition summed over.
pub(super) fn ln_likelihood(way: &Way, answers: &[Seen]) -> f64 {
    wide(
        #[inline(always)]
        || ln_likelihood_inlined(way, answers),
    )
}

#[inline(always)]
fn ln_likelihood_inlined(way: &Way, answers: &[Seen]) -> f64 {
    let mut steps = Steps {
        scale: way.scale,
        known: Vec::new(),
    };
    let last = answers.iter().map(|answer| answer.condition).max();
    let mut ln = 0.0;
    for condition in 0..=last.unwrap_or(0) {
        let mut sizes = [1.0 / POINTS as f64; POINTS];
        let mut count = 0;
        for answer in answers {
            if answer.condition != condition {
                continue;
            }
            let likely = way.asked(answer).p(&mut steps);
            for (size, p) in sizes.iter_mut().zip(likely) {
                let p = p.clamp(1e-6, 1.0 - 1e-6);
                *size *= if answer.right { p } else { 1.0 - p };
            }
            count += 1;
            if count % 8 == 0 {
                // A factor common to all: nothing underflows.
                let top = largest(&sizes, f64::MIN_POSITIVE);
                for size in &mut sizes {
                    *size /= top;
                }
                ln += libm::log(top);
            }
        }
        if count > 0 {
            ln += libm::log(sizes.iter().sum());
        }
    }
    ln
}

fn ln_sum(logs: impl Iterator<Item = f64>) -> f64 {
    let logs: Vec<f64> = logs.collect();
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    top + libm::log(logs.iter().map(|log| libm::exp(log - top)).sum())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belief::logistic;

    fn ring(log_mar: f64, right: bool) -> Seen {
        Seen {
            condition: 0,
            log_mar,
            farther: 0.0,
            degrees: Some(0.0),
            choices: 4.0,
            tests: false,
            right,
        }
    }

    fn measured(acuity: f64) -> Vec<Seen> {
        let offs = [
            0.4, 0.3, 0.2, 0.1, 0.05, -0.05, -0.1, -0.2, 0.1, -0.1, 0.15, -0.15,
        ];
        offs.map(|off| ring(acuity + off, off > 0.0)).to_vec()
    }

    /// The likelihood by its definition, each optotype at each size anew.
    #[test]
    fn what_is_kept_of_a_size_is_what_it_says_anew() {
        let mut answers = measured(0.1);
        answers.extend(measured(0.6).into_iter().map(|answer| Seen {
            condition: 1,
            farther: libm::log10(0.5),
            degrees: Some(90.0),
            ..answer
        }));
        for way in KINDS.iter().flat_map(|kind| &kind.ways).step_by(23) {
            let p = |seen: &Seen, midpoint: f64| {
                let asked = way.asked(seen);
                let step = |log_mar: f64| logistic((log_mar - midpoint) / way.scale);
                let named = |log_mar: f64| asked.chance + asked.rise * step(log_mar);
                match way.by {
                    By::Guessing => asked.chance,
                    By::Seeing => named(asked.log_mar),
                    By::Bar {
                        over,
                        of_chance,
                        on_the_wall,
                    } => {
                        let wall = if on_the_wall { seen.farther } else { 0.0 };
                        let clear = step(seen.log_mar + wall);
                        let seen = named(asked.log_mar + over);
                        let perceived = (seen - asked.chance) / (1.0 - asked.chance);
                        let under = asked.chance * (1.0 - perceived * (1.0 - of_chance));
                        clear * seen + (1.0 - clear) * under
                    }
                }
            };
            let of_condition = |condition: usize| {
                let own = || answers.iter().filter(move |one| one.condition == condition);
                let sizes = (0..POINTS).map(|at| FIRST + STEP * at as f64);
                let likely = sizes.map(|midpoint| {
                    let each = own().map(|one| {
                        let p = p(one, midpoint).clamp(1e-6, 1.0 - 1e-6);
                        if one.right { p } else { 1.0 - p }
                    });
                    each.product::<f64>()
                });
                (likely.sum::<f64>() / POINTS as f64).ln()
            };
            let expected = of_condition(0) + of_condition(1);
            let found = ln_likelihood(way, &answers);
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
    }

    #[test]
    fn no_acuity_counts() {
        let at = |acuity| log10_ratio(&measured(acuity)).unwrap();
        assert!((at(0.1) - at(0.6)).abs() < 0.1, "{} {}", at(0.1), at(0.6));
    }

    #[test]
    fn fewer_right_answers_than_guesses_speak_for_others() {
        let mut answers = measured(0.6);
        let before = log10_ratio(&answers).unwrap();
        answers.extend((0..40).map(|at| ring(0.4, at % 10 == 0)));
        let after = log10_ratio(&answers).unwrap();
        assert!(after > before + 1.0, "{before} {after}");
        let mut guessed = measured(0.6);
        guessed.extend((0..40).map(|at| ring(0.4, at % 4 == 0)));
        assert!(log10_ratio(&guessed).unwrap() < before + 0.3);
    }

    /// The same height on the wall read from twice as far is 0.3 logMAR smaller: worth more than a factor
    /// of 10 against the same angle.
    #[test]
    fn a_size_on_the_wall_speaks_for_others_only_at_two_distances() {
        let far = measured(0.6);
        let near = |acuity: f64| {
            let of = measured(acuity).into_iter();
            of.map(|answer| Seen {
                farther: libm::log10(0.5),
                ..answer
            })
        };
        let wall: Vec<Seen> = far.iter().copied().chain(near(0.9)).collect();
        let angle: Vec<Seen> = far.iter().copied().chain(near(0.6)).collect();
        let (wall, angle) = (log10_ratio(&wall).unwrap(), log10_ratio(&angle).unwrap());
        assert!(wall > angle + 1.0, "{wall} {angle}");
        assert!(log10_ratio(&far).unwrap() < 0.5);
    }

    /// Guesses at every size may be an eye that sees none of it: under the least that is graded
    /// (`tests/long/answers`).
    #[test]
    fn guesses_at_everything_are_never_a_strong_reason() {
        let answers: Vec<Seen> = (0..60).map(|at| ring(1.0, at % 4 == 0)).collect();
        let log10 = log10_ratio(&answers).unwrap();
        assert!(log10 < 1.15, "{log10}");
    }
}
