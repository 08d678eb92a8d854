//! The series of one ear and frequency, by whatever rule the plan reads it.

use super::ascents::{Bounds, Reading, Walk};
use super::bracket::Bracket;
use crate::journal::SeriesRule;

/// A walk through a series.
#[derive(Debug, Clone)]
pub enum Series {
    /// By ascents.
    Ascents(Walk),
    /// By ascents and descents.
    Bracket(Bracket),
}

impl Series {
    /// Walks through `steps`, each a level in dB and whether it was heard.
    #[must_use]
    pub fn through(
        steps: impl IntoIterator<Item = (f64, bool)>,
        rule: SeriesRule,
        bounds: Bounds,
    ) -> Series {
        match rule {
            SeriesRule::Ascents(rule) => Series::Ascents(Walk::through(steps, rule, bounds)),
            SeriesRule::Bracketing(rule) => Series::Bracket(Bracket::through(steps, rule, bounds)),
        }
    }

    /// What the series says so far.
    #[must_use]
    pub fn reading(&self) -> Reading {
        match self {
            Series::Ascents(walk) => walk.reading(),
            Series::Bracket(bracket) => bracket.reading(),
        }
    }

    /// The level to present next, dB; `start_db` if nothing has been presented yet.
    #[must_use]
    pub fn next_level_db(&self, start_db: f64) -> f64 {
        match self {
            Series::Ascents(walk) => walk.next_level_db(start_db),
            Series::Bracket(bracket) => bracket.next_level_db(start_db),
        }
    }

    /// How far apart the turns of the series lie, dB. More than 10 dB is doubtful (ISO
    /// 8253-1:2010, 6.2.4).
    #[must_use]
    pub fn spread_db(&self) -> f64 {
        match self {
            Series::Ascents(walk) => walk.spread_db(),
            Series::Bracket(bracket) => bracket.spread_db(),
        }
    }
}
