//! Reads a threshold off ascents and descents by turns (ISO 8253-1:2010, 6.2.3.3 and 6.2.4.3).
//!
//! Like the walk over ascents it serves the procedure and the finding alike.

use super::ascents::{Bounds, MOST_PRESENTATIONS, Reading};
use crate::journal::BracketingRule;

/// A walk through the series of one ear and frequency.
#[derive(Debug, Clone)]
pub struct Bracket {
    rule: BracketingRule,
    bounds: Bounds,
    leg: Leg,
    /// The lowest answered level of each ascent, in order.
    ascents: Vec<f64>,
    /// The lowest answered level of each descent, in order.
    descents: Vec<f64>,
    last_db: Option<f64>,
    misses_at_max: u32,
    steps: usize,
}

/// Where the series is going.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Leg {
    /// Upward; whether a level has been missed on this way. Without a miss an answer says only
    /// that the ascent began too high.
    Up { missed: bool },
    /// Downward; the lowest level that was answered on this way.
    Down { lowest: Option<f64> },
}

impl Bracket {
    /// Walks through `steps`, each a level in dB and whether it was heard.
    #[must_use]
    pub fn through(
        steps: impl IntoIterator<Item = (f64, bool)>,
        rule: BracketingRule,
        bounds: Bounds,
    ) -> Bracket {
        let mut bracket = Bracket {
            rule,
            bounds,
            leg: Leg::Up { missed: false },
            ascents: Vec::new(),
            descents: Vec::new(),
            last_db: None,
            misses_at_max: 0,
            steps: 0,
        };
        for (level_db, heard) in steps {
            bracket.step(level_db, heard);
        }
        bracket
    }

    fn step(&mut self, level_db: f64, heard: bool) {
        self.steps += 1;
        self.last_db = Some(level_db);
        if heard {
            self.misses_at_max = 0;
        } else if level_db >= self.bounds.max_db {
            self.misses_at_max += 1;
        }
        let at_min = level_db <= self.bounds.min_db;
        self.leg = match (self.leg, heard) {
            (Leg::Up { .. }, false) => Leg::Up { missed: true },
            (Leg::Up { missed }, true) => {
                if missed || at_min {
                    self.ascents.push(level_db);
                }
                Leg::Down { lowest: None }
            }
            (Leg::Down { .. }, true) if at_min => {
                self.descents.push(level_db);
                Leg::Up { missed: false }
            }
            (Leg::Down { .. }, true) => Leg::Down {
                lowest: Some(level_db),
            },
            (Leg::Down { lowest }, false) => {
                self.descents.extend(lowest);
                Leg::Up { missed: false }
            }
        };
    }

    /// The lowest answers of the latest `n` ascents and descents.
    fn latest(&self, n: usize) -> Option<[&[f64]; 2]> {
        let of = |all: &[f64]| all.len().checked_sub(n);
        Some([
            &self.ascents[of(&self.ascents)?..],
            &self.descents[of(&self.descents)?..],
        ])
    }

    /// The ascents and descents that decide, once there are enough.
    fn decided(&self) -> Option<[&[f64]; 2]> {
        let full = self.latest(self.rule.series as usize);
        full.or_else(|| {
            let within_db = self.rule.two_if_within_db?;
            // The first two of each, or three of each: not any two that agree later.
            let two = [self.ascents.get(..2)?, self.descents.get(..2)?];
            (apart_db(two.concat()) <= within_db).then_some(two)
        })
    }

    /// What the series says so far: the mean of the mean of the ascents' and the mean of the
    /// descents' lowest answers, to the nearest 5 dB (6.2.4.3); half way goes up (our choice).
    #[must_use]
    pub fn reading(&self) -> Reading {
        if let Some([ascents, descents]) = self.decided() {
            let mean_db = f64::midpoint(mean(ascents), mean(descents));
            let step_db = self.rule.step_db;
            let nearest_db = (mean_db / step_db + 0.5).floor() * step_db;
            return if nearest_db <= self.bounds.min_db {
                Reading::AtMinimum(self.bounds.min_db)
            } else {
                Reading::Threshold(nearest_db.min(self.bounds.max_db))
            };
        }
        if self.misses_at_max >= 2 {
            Reading::NoResponse(self.bounds.max_db)
        } else if self.steps >= MOST_PRESENTATIONS {
            Reading::GivenUp
        } else {
            Reading::Undecided
        }
    }

    /// The level to present next, dB; `start_db` if nothing has been presented yet.
    #[must_use]
    pub fn next_level_db(&self, start_db: f64) -> f64 {
        let step_db = self.rule.step_db;
        let wanted_db = match (self.last_db, self.leg) {
            (None, _) => start_db,
            // An answered ascent goes up once more, a missed ascent goes up, a missed descent
            // goes down once more, an answered one goes down.
            (Some(last_db), Leg::Up { missed: true } | Leg::Down { lowest: None }) => {
                last_db + step_db
            }
            (Some(last_db), _) => last_db - step_db,
        };
        wanted_db.clamp(self.bounds.min_db, self.bounds.max_db)
    }

    /// How far apart the lowest answers lie, dB. More than 10 dB is doubtful (6.2.4).
    #[must_use]
    pub fn spread_db(&self) -> f64 {
        apart_db([self.ascents.as_slice(), self.descents.as_slice()].concat())
    }
}

fn mean(levels: &[f64]) -> f64 {
    levels.iter().sum::<f64>() / levels.len() as f64
}

fn apart_db(levels: Vec<f64>) -> f64 {
    let (low, high) = levels
        .into_iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), db| {
            (low.min(db), high.max(db))
        });
    (high - low).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOUNDS: Bounds = Bounds {
        min_db: -10.0,
        max_db: 110.0,
    };

    /// Presents what the walk asks for to somebody who hears from these levels on, one for each
    /// ascent and descent in turn.
    fn listen(lows: &[f64], rule: BracketingRule) -> (Bracket, Vec<f64>) {
        let mut steps = Vec::new();
        loop {
            let bracket = Bracket::through(steps.iter().copied(), rule, BOUNDS);
            if bracket.reading() != Reading::Undecided {
                let levels = steps.into_iter().map(|(level_db, _)| level_db).collect();
                return (bracket, levels);
            }
            let level_db = bracket.next_level_db(20.0);
            let leg = bracket.ascents.len() + bracket.descents.len();
            let low_db = lows[leg.min(lows.len() - 1)];
            steps.push((level_db, level_db >= low_db));
        }
    }

    /// ISO 8253-1:2010, 6.2.4.3, the standard's example: lowest answers 30, 30, 35 upward and 35,
    /// 35, 35 downward average to 33.3 and are stated as 35.
    #[test]
    fn the_standards_example() {
        let turns = [30.0, 35.0, 30.0, 35.0, 35.0, 35.0];
        let (bracket, _) = listen(&turns, BracketingRule::THREE_AND_THREE);
        assert_eq!(bracket.ascents, [30.0, 30.0, 35.0]);
        assert_eq!(bracket.descents, [35.0, 35.0, 35.0]);
        assert_eq!(bracket.reading(), Reading::Threshold(35.0));
    }

    /// ISO 8253-1:2010, 6.2.4.3: of the short form the first two of each decide if they agree within 5 dB; else there
    /// are three of each.
    #[test]
    fn two_of_each_decide_only_if_they_are_the_first() {
        let (bracket, _) = listen(&[20.0, 30.0, 30.0, 30.0, 30.0, 30.0], BracketingRule::SHORT);
        assert_eq!([bracket.ascents.len(), bracket.descents.len()], [3, 3]);
    }

    /// ISO 8253-1:2010, 6.2.3.3: up to an answer, 5 dB more, down in steps of 5 dB to none, 5 dB
    /// less, and up again.
    #[test]
    fn levels_go_up_and_down_by_turns() {
        let (_, levels) = listen(&[30.0], BracketingRule::SHORT);
        let expected = [
            20.0, 25.0, 30.0, 35.0, 30.0, 25.0, 20.0, 25.0, 30.0, 35.0, 30.0, 25.0,
        ];
        assert_eq!(levels, expected);
    }

    /// ISO 8253-1:2010: two and two will do only if all four lie within 5 dB.
    #[test]
    fn the_short_form_takes_a_third_turn_where_two_disagree() {
        let (agreed, _) = listen(&[30.0, 35.0, 30.0, 30.0], BracketingRule::SHORT);
        assert_eq!((agreed.ascents.len(), agreed.descents.len()), (2, 2));
        let turns = [30.0, 30.0, 40.0, 40.0, 35.0, 35.0];
        let (apart, _) = listen(&turns, BracketingRule::SHORT);
        assert_eq!((apart.ascents.len(), apart.descents.len()), (3, 3));
        assert_eq!(apart.reading(), Reading::Threshold(35.0));
        assert!((apart.spread_db() - 10.0).abs() < 1e-9);
    }

    #[test]
    fn the_bounds_have_readings_of_their_own() {
        let (deaf, _) = listen(&[150.0], BracketingRule::THREE_AND_THREE);
        assert_eq!(deaf.reading(), Reading::NoResponse(110.0));
        let (sharp, _) = listen(&[-40.0], BracketingRule::THREE_AND_THREE);
        assert_eq!(sharp.reading(), Reading::AtMinimum(-10.0));
    }
}
