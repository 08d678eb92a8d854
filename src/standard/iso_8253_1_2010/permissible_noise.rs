//! ISO 8253-1:2010, how loud a room may be in which hearing is tested by air conduction: the
//! largest permissible ambient sound pressure levels in one-third-octave bands. Read in a copy of
//! the printed tables. They hold for a lowest hearing level of 0 dB and a threshold that is
//! raised by at most 2 dB; for another lowest level, as much more or less is permissible.

use crate::quantity::{Db, DbSpl, Hz};
use crate::standard::{EarphoneFit, Source, Stated, Verified};

/// One number for each band from 31.5 Hz to 8 kHz.
type Bands = [f64; 25];

/// The measuring equipment's own noise must lie so far under the permissible level, or nothing
/// can be stated about the room.
pub const MEASURING_FLOOR_BELOW: Db = Db(6.0);

/// The lowest frequency that is tested, and the permissible levels under supra-aural earphones.
const SUPRA_AURAL_FROM: [(Hz, Bands); 3] = [
    (
        Hz(125.0),
        [
            56.0, 52.0, 47.0, 42.0, 38.0, 33.0, 28.0, 23.0, 20.0, 19.0, 18.0, 18.0, 18.0, 18.0,
            20.0, 23.0, 25.0, 27.0, 30.0, 32.0, 34.0, 36.0, 35.0, 34.0, 33.0,
        ],
    ),
    (
        Hz(250.0),
        [
            66.0, 62.0, 57.0, 52.0, 48.0, 43.0, 39.0, 30.0, 20.0, 19.0, 18.0, 18.0, 18.0, 18.0,
            20.0, 23.0, 25.0, 27.0, 30.0, 32.0, 34.0, 36.0, 35.0, 34.0, 33.0,
        ],
    ),
    (
        Hz(500.0),
        [
            78.0, 73.0, 68.0, 64.0, 59.0, 55.0, 51.0, 47.0, 42.0, 37.0, 33.0, 24.0, 18.0, 18.0,
            20.0, 23.0, 25.0, 27.0, 30.0, 32.0, 34.0, 36.0, 35.0, 34.0, 33.0,
        ],
    ),
];

/// How much the earphone keeps out, dB.
const SUPRA_AURAL: Bands = [
    0.0, 0.0, 0.0, 1.0, 1.0, 2.0, 3.0, 4.0, 5.0, 5.0, 5.0, 6.0, 7.0, 9.0, 11.0, 15.0, 18.0, 21.0,
    26.0, 28.0, 31.0, 32.0, 29.0, 26.0, 24.0,
];
const INSERT: Bands = [
    33.0, 33.0, 33.0, 33.0, 33.0, 33.0, 33.0, 34.0, 35.0, 36.0, 37.0, 37.0, 38.0, 37.0, 37.0, 37.0,
    35.0, 34.0, 33.0, 35.0, 37.0, 40.0, 41.0, 42.0, 43.0,
];
/// Nothing is printed for the three lowest bands.
const CIRCUMAURAL: Bands = [
    f64::NAN,
    f64::NAN,
    f64::NAN,
    17.0,
    16.0,
    15.0,
    15.0,
    15.0,
    16.0,
    16.0,
    18.0,
    20.0,
    23.0,
    25.0,
    27.0,
    29.0,
    30.0,
    31.0,
    32.0,
    37.0,
    41.0,
    46.0,
    45.0,
    45.0,
    44.0,
];

/// The most that the band at `index` of the standard's bands
/// ([`BANDS_HZ`](crate::standard::iec_61260_1_2014::BANDS_HZ)) may have, as slow time weighting
/// reads it, where no frequency under `lowest_test` is tested. `None` where the standard prints
/// nothing: a band, a lowest test frequency under 125 Hz.
#[must_use]
pub fn permissible(index: usize, lowest_test: Hz, fit: EarphoneFit) -> Option<Stated<DbSpl>> {
    let (_, supra_aural) = SUPRA_AURAL_FROM
        .iter()
        .rev()
        .find(|(from, _)| *from <= lowest_test)?;
    let more = attenuation_db(index, fit)? - SUPRA_AURAL.get(index)?;
    Some(Stated {
        value: DbSpl(supra_aural.get(index)? + more),
        within: Some(0.5),
        source: Source {
            document: "ISO 8253-1:2010",
            place: "permissible ambient sound pressure levels, with the attenuation of the earphone",
            verified: Verified::LookedUp,
        },
    })
}

/// How much an earphone of this fit keeps out of the band at `index`, dB; `None` where nothing is
/// printed.
#[must_use]
pub fn attenuation_db(index: usize, fit: EarphoneFit) -> Option<f64> {
    let row = match fit {
        EarphoneFit::SupraAural => &SUPRA_AURAL,
        EarphoneFit::Insert => &INSERT,
        EarphoneFit::Circumaural => &CIRCUMAURAL,
    };
    row.get(index).copied().filter(|db| db.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standard::iec_61260_1_2014::BANDS_HZ;

    fn level(hz: f64, from: f64, fit: EarphoneFit) -> f64 {
        let index = BANDS_HZ
            .iter()
            .position(|band| (band - hz).abs() < 0.01)
            .unwrap();
        permissible(index, Hz(from), fit).unwrap().value.0
    }

    /// ANSI S3.1-1999, octave bands, ears covered by supra-aural earphones, 125 to 8000 Hz (from
    /// memory): the energy sum of three of our bands lies within 3 dB.
    #[test]
    fn octave_sums_agree_with_another_standard() {
        let octaves = [
            (125.0, [100.0, 125.0, 160.0], 35.0),
            (250.0, [200.0, 250.0, 315.0], 25.0),
            (500.0, [400.0, 500.0, 630.0], 21.0),
            (1000.0, [800.0, 1000.0, 1250.0], 26.0),
            (2000.0, [1600.0, 2000.0, 2500.0], 34.0),
            (4000.0, [3150.0, 4000.0, 5000.0], 37.0),
        ];
        for (octave, thirds, ansi) in octaves {
            let power = |hz| 10_f64.powf(level(hz, 125.0, EarphoneFit::SupraAural) / 10.0);
            let sum = 10.0 * thirds.into_iter().map(power).sum::<f64>().log10();
            assert!((sum - ansi).abs() < 3.0, "{octave}: {sum} against {ansi}");
        }
    }

    /// The project's reference on hearing, 3.1, lines worked out there by other code: inserts and
    /// circumaural earphones from 500 Hz.
    #[test]
    fn other_earphones_by_their_attenuation() {
        for (hz, insert, circumaural) in [
            (63.0, 96.0, 80.0),
            (125.0, 81.0, 63.0),
            (500.0, 49.0, 34.0),
            (1000.0, 45.0, 37.0),
            (2000.0, 37.0, 36.0),
            (4000.0, 44.0, 50.0),
            (8000.0, 52.0, 53.0),
        ] {
            assert!(
                (level(hz, 500.0, EarphoneFit::Insert) - insert).abs() < 1e-9,
                "{hz}"
            );
            let found = level(hz, 500.0, EarphoneFit::Circumaural);
            assert!((found - circumaural).abs() < 1e-9, "{hz}: {found}");
        }
    }

    #[test]
    fn what_is_not_printed_is_missing() {
        let at = |index, from| permissible(index, Hz(from), EarphoneFit::Circumaural);
        assert!(at(2, 500.0).is_none() && at(3, 500.0).is_some());
        assert!(at(10, 100.0).is_none() && at(25, 500.0).is_none());
        assert!(permissible(0, Hz(125.0), EarphoneFit::SupraAural).is_some());
        // Between two columns the stricter one holds.
        let from = |hz| level(125.0, hz, EarphoneFit::SupraAural);
        assert!((from(750.0) - from(500.0)).abs() < 1e-9);
        assert!((from(300.0) - 39.0).abs() < 1e-9);
    }
}
