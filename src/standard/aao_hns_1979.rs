//! The 1979 formula for hearing handicap (AAO-HNS; American Medical Association, Guides). Read in a
//! quotation of it with its example (Dobie, audiologyonline, question 743).

use super::{Source, Verified};
use crate::quantity::{DbHl, Hz};

/// Where the formula comes from.
pub const SOURCE: Source = Source {
    document: "AAO-HNS / AMA 1979, hearing handicap",
    place: "formula for each ear and both",
    verified: Verified::LookedUp,
};

/// The frequencies whose thresholds are averaged.
pub const AVERAGED_HZ: [Hz; 4] = [Hz(500.0), Hz(1000.0), Hz(2000.0), Hz(3000.0)];

/// The average from which handicap is counted.
const LOW_FENCE: DbHl = DbHl(25.0);

/// The handicap of one ear with this average over [`AVERAGED_HZ`], percent: 1.5 for each dB above
/// 25 dB HL, at most 100.
#[must_use]
pub fn ear_percent(average: DbHl) -> f64 {
    (1.5 * (average.0 - LOW_FENCE.0)).clamp(0.0, 100.0)
}

/// The handicap of the person, percent: five parts the better ear, one part the worse.
#[must_use]
pub fn binaural_percent(right_percent: f64, left_percent: f64) -> f64 {
    let (better, worse) = (
        right_percent.min(left_percent),
        right_percent.max(left_percent),
    );
    (5.0 * better + worse) / 6.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published example: averages of 30 and 40 dB give 7.5 % and 22.5 %, and both 10 %.
    #[test]
    fn the_published_example() {
        let ears = [30.0, 40.0].map(|db| ear_percent(DbHl(db)));
        assert!((ears[0] - 7.5).abs() < 1e-9 && (ears[1] - 22.5).abs() < 1e-9);
        assert!((binaural_percent(ears[0], ears[1]) - 10.0).abs() < 1e-9);
        assert!((binaural_percent(ears[1], ears[0]) - 10.0).abs() < 1e-9);
    }

    /// The ends of the scale: nothing up to 25 dB, 100 % from about 92 dB (the same source); and a
    /// second example reckoned by hand: averages of 20 and 50 dB give 6.25 %.
    #[test]
    fn the_ends_and_one_better_ear() {
        assert!(ear_percent(DbHl(25.0)).abs() < 1e-9);
        assert!((ear_percent(DbHl(92.0)) - 100.0).abs() < 1.0);
        assert!((ear_percent(DbHl(110.0)) - 100.0).abs() < 1e-9);
        let both = binaural_percent(ear_percent(DbHl(20.0)), ear_percent(DbHl(50.0)));
        assert!((both - 6.25).abs() < 1e-9);
    }
}
