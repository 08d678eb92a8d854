//! ISO 389-4:1994, reference levels for narrow-band masking noise. The body of the standard could
//! not be opened: the values are from memory.

use super::{Row, Source, Stated, Verified, at};
use crate::quantity::{Db, Hz};

const THIRD_OCTAVE: Row = [4.0, 4.0, 4.0, 5.0, 6.0, 6.0, 6.0, 6.0, 5.0, 5.0, 5.0];

/// What to add to the pure tone's reference level to get the sound pressure level of one-third-
/// octave noise at 0 dB effective masking level, dB. `None` at frequencies not listed.
#[must_use]
pub fn masking_correction(hz: Hz) -> Option<Stated<Db>> {
    let source = Source {
        document: "ISO 389-4:1994",
        place: "one-third-octave band",
        verified: Verified::FromMemory,
    };
    at(&THIRD_OCTAVE, hz).map(|db| Stated {
        value: Db(db),
        within: Some(0.5),
        source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standard::AUDIOMETRIC_HZ;

    /// The value is from memory, so only its size is checked, from 500 Hz: the third-octave band
    /// against the equivalent rectangular bandwidth, 10 lg(0.2316 f / ERB), ERB = 24.7
    /// (4.37 f/1000 + 1) Hz (Glasberg & Moore 1990), and 3 dB more, because a masked tone lies
    /// about 3 dB under the noise in its band (our own reckoning). Agreement to 1.5 dB.
    #[test]
    fn corrections_follow_the_critical_band() {
        for hz in AUDIOMETRIC_HZ.iter().filter(|hz| hz.0 >= 500.0) {
            let erb = 24.7 * (4.37 * hz.0 / 1000.0 + 1.0);
            let expected = 10.0 * (0.2316 * hz.0 / erb).log10() + 3.0;
            let stated = masking_correction(*hz).unwrap().value.0;
            assert!(
                (stated - expected).abs() < 1.5,
                "{hz}: {stated} against {expected}"
            );
        }
        assert!(masking_correction(Hz(1100.0)).is_none());
    }
}
