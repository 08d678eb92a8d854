//! ISO 8253-1:2010, Annex A: the uncertainty of a hearing threshold by air conduction. Read in a
//! copy. Everything is a standard uncertainty in dB unless it says otherwise.

pub mod permissible_noise;

use crate::quantity::{Db, Hz};

/// The factor from combined to expanded uncertainty (A.2: about 95 %).
pub const COVERAGE_FACTOR: f64 = 2.0;

/// The room's noise, where the permissible ambient levels are met (A.3).
pub const ROOM: Db = Db(2.0);

/// Masking, where the other ear is masked (A.3).
pub const MASKING: Db = Db(2.0);

/// Up to this frequency the smaller figure of each pair holds.
const SPLIT: Hz = Hz(4000.0);

fn by_frequency(hz: Hz, up_to_4_khz: f64, above: f64) -> f64 {
    if hz <= SPLIT { up_to_4_khz } else { above }
}

/// Repeated determinations of the same threshold with the same device.
#[must_use]
pub fn repeated_determinations(hz: Hz) -> Db {
    Db(by_frequency(hz, 2.5, 4.0))
}

/// The largest deviation ± that the level of an audiometer may have (A.3.3, quoting
/// IEC 60645-1); a limit, not a standard uncertainty.
#[must_use]
pub fn level_tolerance(hz: Hz) -> Db {
    Db(by_frequency(hz, 3.0, 5.0))
}

/// An audiometer within its [`level_tolerance`]: a rectangular distribution.
#[must_use]
pub fn audiometer(hz: Hz) -> Db {
    rectangular(level_tolerance(hz))
}

/// Levels in steps of `step`: a rectangular distribution of half a step.
#[must_use]
pub fn step_size(step: Db) -> Db {
    rectangular(Db(step.0 / 2.0))
}

/// How single earphones of one type differ, 1.5 dB (above 4 kHz 2.5).
#[must_use]
pub fn earphone_type(hz: Hz) -> Db {
    Db(by_frequency(hz, 1.5, 2.5))
}

/// How the earphone sits, 2.5 dB (above 4 kHz 3).
#[must_use]
pub fn fitting(hz: Hz) -> Db {
    Db(by_frequency(hz, 2.5, 3.0))
}

/// The earphone: its type and how it sits.
#[must_use]
pub fn transducer(hz: Hz) -> Db {
    combined(&[earphone_type(hz), fitting(hz)])
}

/// The standard uncertainty of a rectangular distribution of this half-width.
#[must_use]
pub fn rectangular(half_width: Db) -> Db {
    Db(half_width.0 / libm::sqrt(3.0))
}

/// The combined standard uncertainty of independent components: the root of their summed squares,
/// in the order given.
#[must_use]
pub fn combined(components: &[Db]) -> Db {
    Db(libm::sqrt(components.iter().map(|u| u.0 * u.0).sum()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn budget(hz: Hz) -> Db {
        combined(&[
            repeated_determinations(hz),
            audiometer(hz),
            step_size(Db(5.0)),
            transducer(hz),
            ROOM,
        ])
    }

    /// ISO 8253-1:2010, Annex A, the worked example: air conduction, up to 4 kHz, 5 dB steps,
    /// no masking: u = 4.9 dB, U = 10 dB.
    #[test]
    fn annex_a_worked_example() {
        let u = budget(Hz(1000.0)).0;
        assert!((u - 4.9).abs() < 0.05, "{u}");
        assert!((COVERAGE_FACTOR * u - 10.0).abs() < 0.5, "{u}");
    }

    /// ISO 8253-1:2010, Annex A, single components: audiometer with its step 2.3 dB, transducer
    /// 2.9 and 3.9 dB.
    #[test]
    fn annex_a_components() {
        let device = combined(&[audiometer(Hz(4000.0)), step_size(Db(5.0))]).0;
        assert!((device - 2.3).abs() < 0.05, "{device}");
        assert!((transducer(Hz(4000.0)).0 - 2.9).abs() < 0.05);
        assert!((transducer(Hz(6000.0)).0 - 3.9).abs() < 0.05);
        assert!(budget(Hz(6000.0)) > budget(Hz(4000.0)));
    }
}
