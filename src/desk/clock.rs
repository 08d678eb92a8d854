//! The clock of a live visit: turns the machine's instants into moments of the visit.

use crate::quantity::Moment;
use std::time::{Duration, Instant};

/// A visit's clock. It never jumps; it may run faster than the wall only for simulated people
/// without sound, since nobody waits for them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VisitClock {
    origin: Instant,
    begins_at: Moment,
    speed: f64,
}

impl VisitClock {
    /// A clock that shows `begins_at` at `origin` and runs `speed` (positive) times as fast as
    /// the wall.
    #[must_use]
    pub fn new(origin: Instant, begins_at: Moment, speed: f64) -> VisitClock {
        VisitClock {
            origin,
            begins_at,
            speed,
        }
    }

    /// The moment of the visit at an instant, also one before the origin.
    #[must_use]
    pub fn moment(&self, at: Instant) -> Moment {
        let after = at.saturating_duration_since(self.origin).as_secs_f64();
        let before = self.origin.saturating_duration_since(at).as_secs_f64();
        self.begins_at.plus_seconds((after - before) * self.speed)
    }

    /// How long to wait, by the wall, from one moment to a later one; zero if it is past.
    #[must_use]
    pub fn wait(&self, from: Moment, to: Moment) -> Duration {
        Duration::from_secs_f64((to.seconds_since(from) / self.speed).max(0.0))
    }

    /// How many times as fast as the wall it runs.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.speed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_as_fast_as_it_is_told_both_ways() {
        let second = Duration::from_secs(1);
        let earlier = Instant::now();
        let origin = earlier + second;
        let clock = VisitClock::new(origin, Moment::from_seconds(5.0), 8.0);
        let at = |seconds: u64| clock.moment(origin + Duration::from_secs(seconds));
        assert_eq!(at(0), Moment::from_seconds(5.0));
        assert_eq!(at(2), Moment::from_seconds(21.0));
        let before = clock.moment(earlier);
        assert_eq!(before, Moment::from_seconds(-3.0));
        assert_eq!(clock.wait(at(0), at(2)), Duration::from_secs(2));
        assert_eq!(clock.wait(at(2), at(0)), Duration::ZERO);
    }
}
