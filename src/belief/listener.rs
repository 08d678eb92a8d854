//! The ways of answering that are thought possible: how wide the step from unheard to heard is, how
//! often silence is answered, and how often a clear tone is not.

use super::detection::logistic;
use std::sync::LazyLock;

/// Logistic scales, dB, and how common each is (our choice; listeners of 2 to 4 dB are the rule,
/// no source).
pub(super) const SCALES_DB: [f64; 5] = [0.8, 1.8, 3.0, 4.5, 6.5];
const SCALE_SHARES: [f64; 5] = [0.3, 0.28, 0.25, 0.13, 0.04];
/// How often silence is answered.
pub(super) const FALSE_ALARMS: [f64; 4] = [0.01, 0.04, 0.12, 0.25];
const FALSE_ALARM_SHARES: [f64; 4] = [0.3, 0.4, 0.2, 0.1];
/// How often a clear tone is not answered.
pub(super) const LAPSES: [f64; 2] = [0.02, 0.10];
/// With rarer lapses midpoints of tired listeners (who miss 8 of 100 clear tones) come out higher still,
/// with commoner ones those of poor listeners lower: tones near threshold hardly tell a lapse from a
/// high midpoint. These shares are between the two (our choice).
const LAPSE_SHARES: [f64; 2] = [0.6, 0.4];

/// How many ways of answering there are; scale by scale, in it rate by rate.
pub(super) const KINDS: usize = SCALES_DB.len() * RATES;
/// How many pairs of false-alarm and lapse rate there are.
pub(super) const RATES: usize = FALSE_ALARMS.len() * LAPSES.len();

/// Midpoints, dB: even steps from the first.
pub(super) const FIRST_DB: f64 = -30.0;
pub(super) const STEP_DB: f64 = 1.5;
pub(super) const POINTS: usize = 108;

/// A way of answering.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WayOfAnswering {
    /// Its number among all that are thought possible.
    pub number: usize,
    /// The logistic scale, dB.
    pub scale_db: f64,
    /// How often silence is answered.
    pub false_alarm: f64,
    /// How often a clear tone is not.
    pub lapse: f64,
}

/// All ways of answering that are thought possible, in order of their numbers.
pub fn ways_of_answering() -> impl Iterator<Item = WayOfAnswering> {
    (0..KINDS).map(|number| {
        let (false_alarm, lapse) = rates(number);
        WayOfAnswering {
            number,
            scale_db: SCALES_DB[number / RATES],
            false_alarm,
            lapse,
        }
    })
}

/// The false-alarm and lapse rate of a kind.
pub(super) fn rates(kind: usize) -> (f64, f64) {
    let rate = kind % RATES;
    (
        FALSE_ALARMS[rate / LAPSES.len()],
        LAPSES[rate % LAPSES.len()],
    )
}

/// ln of how common each kind is.
pub(super) static LOG_SHARES: LazyLock<[f64; KINDS]> = LazyLock::new(|| {
    std::array::from_fn(|kind| {
        let rate = kind % RATES;
        libm::log(SCALE_SHARES[kind / RATES])
            + libm::log(FALSE_ALARM_SHARES[rate / LAPSES.len()])
            + libm::log(LAPSE_SHARES[rate % LAPSES.len()])
    })
});

/// How likely a tone is heard, by scale and midpoint: the logistic function.
pub(super) type Heard = [[f64; POINTS]; SCALES_DB.len()];

fn heard_at(level_db: f64) -> Heard {
    SCALES_DB.map(|scale_db| {
        std::array::from_fn(|at| logistic((level_db - FIRST_DB - STEP_DB * at as f64) / scale_db))
    })
}

/// Levels of the 5-dB grid, from the first up.
const GRID_FIRST_DB: f64 = -30.0;
const GRID_STEP_DB: f64 = 5.0;
static GRID: LazyLock<Vec<Heard>> = LazyLock::new(|| {
    let levels = (0..=32).map(|at| GRID_FIRST_DB + GRID_STEP_DB * f64::from(at));
    levels.map(heard_at).collect()
});

/// Hands `use_it` how likely a tone of `level_db` is heard; levels on the 5-dB grid are at hand.
pub(super) fn with_heard<R>(level_db: f64, use_it: impl FnOnce(&Heard) -> R) -> R {
    let at = (level_db - GRID_FIRST_DB) / GRID_STEP_DB;
    let known = (at >= 0.0 && at.fract() == 0.0)
        .then(|| GRID.get(at as usize))
        .flatten();
    match known {
        Some(heard) => use_it(heard),
        None => use_it(&heard_at(level_db)),
    }
}
