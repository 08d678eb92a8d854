//! Reads a threshold off ascents: which level was answered often enough when reached from below.
//!
//! The same walk serves the procedure, which asks it for the next level, and the finding, which
//! asks it for the reading; so they cannot disagree, and a series presented by hand is read by
//! the same rule.

use crate::journal::AscendingRule;

/// After so many presentations at one ear and frequency without a decision the series is given
/// up; a listener who answers at all is decided long before (common practice, no source).
pub const MOST_PRESENTATIONS: usize = 60;

/// The lowest and the highest level that the set-up can present, dB on its scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Lowest.
    pub min_db: f64,
    /// Highest.
    pub max_db: f64,
}

/// What a series says so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// Go on.
    Undecided,
    /// No level was answered often enough within [`MOST_PRESENTATIONS`].
    GivenUp,
    /// The lowest level answered often enough, dB.
    Threshold(f64),
    /// Not answered twice at the highest level, dB.
    NoResponse(f64),
    /// Answered often enough at the lowest level, dB: the threshold lies there or below.
    AtMinimum(f64),
}

/// A walk through the series of one ear and frequency.
#[derive(Debug, Clone)]
pub struct Walk {
    rule: AscendingRule,
    bounds: Bounds,
    tallies: Vec<Tally>,
    /// The levels at which ascents ended, in order.
    responses: Vec<f64>,
    series_ascents: u32,
    last: Option<(f64, bool)>,
    last_heard: Option<f64>,
    misses_at_max: u32,
    steps: usize,
    new_series: bool,
}

#[derive(Debug, Clone)]
struct Tally {
    level_db: f64,
    answers: Vec<bool>,
}

impl Walk {
    /// Walks through `steps`, each a level in dB and whether it was heard.
    #[must_use]
    pub fn through(
        steps: impl IntoIterator<Item = (f64, bool)>,
        rule: AscendingRule,
        bounds: Bounds,
    ) -> Walk {
        let mut walk = Walk {
            rule,
            bounds,
            tallies: Vec::new(),
            responses: Vec::new(),
            series_ascents: 0,
            last: None,
            last_heard: None,
            misses_at_max: 0,
            steps: 0,
            new_series: false,
        };
        for (level_db, heard) in steps {
            walk.step(level_db, heard);
        }
        walk
    }

    fn step(&mut self, level_db: f64, heard: bool) {
        self.steps += 1;
        self.new_series = false;
        if self.reached_from_below(level_db) {
            self.tally(level_db, heard);
            if heard {
                self.responses.push(level_db);
                self.series_ascents += 1;
            }
        }
        if heard {
            self.last_heard = Some(level_db);
            self.misses_at_max = 0;
        } else if level_db >= self.bounds.max_db {
            self.misses_at_max += 1;
        }
        self.last = Some((level_db, heard));
        let exhausted = self
            .rule
            .new_series_after
            .is_some_and(|most| self.series_ascents >= most);
        if exhausted && self.reading() == Reading::Undecided {
            self.series_ascents = 0;
            self.new_series = true;
        }
    }

    /// Whether this level was reached by one step up from a level that was not heard. At the
    /// bounds there is no step to take, so every presentation there counts.
    fn reached_from_below(&self, level_db: f64) -> bool {
        if level_db <= self.bounds.min_db {
            return true;
        }
        self.last.is_some_and(|(last_db, heard)| {
            let rise_db = level_db - last_db;
            let at_max = level_db >= self.bounds.max_db && rise_db >= 0.0;
            !heard && rise_db <= self.rule.up_db && (rise_db > 0.0 || at_max)
        })
    }

    fn tally(&mut self, level_db: f64, heard: bool) {
        match self
            .tallies
            .iter_mut()
            .find(|tally| same(tally.level_db, level_db))
        {
            Some(tally) => tally.answers.push(heard),
            None => self.tallies.push(Tally {
                level_db,
                answers: vec![heard],
            }),
        }
    }

    /// What the series says so far.
    #[must_use]
    pub fn reading(&self) -> Reading {
        let mut lowest = f64::INFINITY;
        for tally in &self.tallies {
            let latest = tally.answers.iter().rev().take(self.rule.of as usize);
            let yes = latest.filter(|heard| **heard).count();
            if yes >= self.rule.needed as usize {
                lowest = lowest.min(tally.level_db);
            }
        }
        if lowest <= self.bounds.min_db {
            Reading::AtMinimum(lowest)
        } else if lowest.is_finite() {
            Reading::Threshold(lowest)
        } else if self.misses_at_max >= 2 {
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
        let wanted_db = match (self.last, self.last_heard) {
            (None, _) => start_db,
            (_, Some(heard_db)) if self.new_series => heard_db + 10.0,
            (Some((level_db, true)), _) => level_db - self.rule.down_db,
            (Some((level_db, false)), _) => level_db + self.rule.up_db,
        };
        wanted_db.clamp(self.bounds.min_db, self.bounds.max_db)
    }

    /// How far apart the levels lie at which ascents ended, dB. More than 10 dB is doubtful
    /// (ISO 8253-1:2010, 6.2.4).
    #[must_use]
    pub fn spread_db(&self) -> f64 {
        let low = self.responses.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self
            .responses
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        if self.responses.len() < 2 {
            0.0
        } else {
            high - low
        }
    }
}

fn same(a_db: f64, b_db: f64) -> bool {
    (a_db - b_db).abs() < 0.01
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOUNDS: Bounds = Bounds {
        min_db: -10.0,
        max_db: 110.0,
    };

    fn walk(steps: &[(f64, bool)], rule: AscendingRule) -> Walk {
        Walk::through(steps.iter().copied(), rule, BOUNDS)
    }

    /// 10 down after an answer, 5 up after none (ISO 8253-1:2010, 6.2.3.2).
    #[test]
    fn steps_go_ten_down_and_five_up() {
        let rule = AscendingRule::TWO_OF_THREE;
        let next = |steps: &[(f64, bool)]| walk(steps, rule).next_level_db(40.0);
        assert!(same(next(&[]), 40.0));
        assert!(same(next(&[(40.0, true)]), 30.0));
        assert!(same(next(&[(40.0, false)]), 45.0));
        assert!(same(next(&[(110.0, false)]), 110.0));
        assert!(same(next(&[(-5.0, true)]), -10.0));
    }

    /// Two answers at one level reached from below decide; answers on the way down do not.
    #[test]
    fn only_ascents_decide() {
        let down = [(40.0, true), (30.0, true), (20.0, true), (10.0, false)];
        assert_eq!(
            walk(&down, AscendingRule::TWO_OF_THREE).reading(),
            Reading::Undecided
        );
        let mut steps = down.to_vec();
        steps.extend([(15.0, true), (5.0, false), (10.0, false), (15.0, true)]);
        let two = walk(&steps, AscendingRule::TWO_OF_THREE);
        assert_eq!(two.reading(), Reading::Threshold(15.0));
        let three = walk(&steps, AscendingRule::THREE_OF_FIVE);
        assert_eq!(three.reading(), Reading::Undecided);
    }

    /// No decision after five ascents: a new series 10 dB above the last response (ISO 8253-1:2010).
    #[test]
    fn the_long_form_begins_a_new_series() {
        let mut steps = vec![(40.0, false)];
        for top in [50.0, 45.0, 55.0, 50.0, 45.0] {
            steps.extend([(top - 5.0, false), (top, true)]);
        }
        let walk = walk(&steps, AscendingRule::THREE_OF_FIVE);
        assert_eq!(walk.reading(), Reading::Undecided);
        assert!(same(walk.next_level_db(40.0), 55.0));
    }

    #[test]
    fn the_bounds_have_readings_of_their_own() {
        let rule = AscendingRule::TWO_OF_THREE;
        let deaf = walk(&[(105.0, false), (110.0, false), (110.0, false)], rule);
        assert_eq!(deaf.reading(), Reading::NoResponse(110.0));
        let sharp = walk(&[(0.0, true), (-10.0, true), (-10.0, true)], rule);
        assert_eq!(sharp.reading(), Reading::AtMinimum(-10.0));
    }
}
