//! ISO 8253-1:2010, how loud a room may be in which hearing is tested by air conduction: the
//! largest permissible ambient sound pressure levels in one-third-octave bands. Read in a copy of
//! the printed tables. They hold for a lowest hearing level of 0 dB and a threshold that is
//! raised by at most 2 dB; for another lowest level, as much more or less is permissible.

use crate::quantity::{Db, DbSpl, Hz};
use crate::standard::iec_61260_1_2014::{BANDS_HZ, half_width_octaves, midband_hz};
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
        EarphoneFit::Open => &[0.0; 25],
    };
    row.get(index).copied().filter(|db| db.is_finite())
}

/// The most that the band at `index` may have for a tone of `test` alone, at 0 dB HL; `None` where
/// the band has no bearing on that tone, or the standard prints nothing.
///
/// Up to 500 Hz these are the printed levels for a lowest test frequency of `test`. They say how
/// noise masks upward: at 500 Hz the bands below may have so much more at the ear than its own.
/// For a higher tone the same is taken, shifted to its band (our own derivation), but never a
/// stricter level than the printed one. The next band above keeps its printed level; noise farther
/// above masks no tone below it.
#[must_use]
pub fn permissible_for(index: usize, test: Hz, fit: EarphoneFit) -> Option<Stated<DbSpl>> {
    let own = band_of(test)?;
    if index > own + 1 {
        return None;
    }
    let printed = permissible(index, Hz(test.0.min(SHIFTED_FROM.0)), fit)?;
    if test <= SHIFTED_FROM || index >= own {
        return Some(printed);
    }
    let (_, from_500) = &SUPRA_AURAL_FROM[2];
    let at_ear = |index: usize| Some(from_500.get(index)? - SUPRA_AURAL.get(index)?);
    let of_500 = band_of(SHIFTED_FROM)?;
    let more = at_ear(of_500.saturating_sub(own - index))? - at_ear(of_500)?;
    let shifted = DbSpl(at_ear(own)? + more + attenuation_db(index, fit)?);
    Some(Stated {
        value: DbSpl(printed.value.0.max(shifted.0)),
        source: Source {
            verified: Verified::Derived,
            ..printed.source
        },
        ..printed
    })
}

/// From here on the printed masking upward is shifted to the tone.
const SHIFTED_FROM: Hz = Hz(500.0);

/// The place of the band that holds a frequency; none under 28 Hz and over 8.9 kHz.
#[must_use]
pub fn band_of(hz: Hz) -> Option<usize> {
    let half = half_width_octaves();
    let holds = |index: &usize| (libm::log2(hz.0 / midband_hz(*index))).abs() <= half;
    (0..BANDS_HZ.len()).find(holds)
}

#[cfg(test)]
mod tests {
    use super::*;

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

    /// Up to 500 Hz the printed columns; nothing above the next band.
    #[test]
    fn for_one_tone_only_the_bands_below_and_beside_it_count() {
        let fit = EarphoneFit::SupraAural;
        let at = |index, hz| permissible_for(index, Hz(hz), fit).map(|one| one.value.0);
        for (hz, own) in [(125.0, 6), (250.0, 9), (500.0, 12)] {
            assert_eq!(band_of(Hz(hz)), Some(own));
            for index in 0..=own + 1 {
                let printed = permissible(index, Hz(hz), fit).unwrap().value.0;
                assert_eq!(at(index, hz), Some(printed), "{index} {hz}");
            }
            assert_eq!(at(own + 2, hz), None);
        }
        for (hz, band) in [
            (750.0, 800.0),
            (1500.0, 1600.0),
            (3000.0, 3150.0),
            (6000.0, 6300.0),
        ] {
            let found = BANDS_HZ[band_of(Hz(hz)).unwrap()];
            assert!((found - band).abs() < 0.01, "{hz}: {found}");
        }
        assert!(band_of(Hz(9000.0)).is_none() && band_of(Hz(20.0)).is_none());
    }

    /// For a tone of 1 kHz the band an octave below may have, at the ear, what the one an octave
    /// below 500 Hz may have over 500 Hz: (37 − 5) − (18 − 7) = 21 dB more (ISO 8253-1:2010, from
    /// 500 Hz); so 23 − 15 + 21 + 7 = 36 dB under a supra-aural earphone. Never less than printed.
    #[test]
    fn above_500_hz_the_printed_masking_upward_is_shifted() {
        let at = |hz, test, fit| {
            let index = BANDS_HZ.iter().position(|band| (band - hz) == 0.0).unwrap();
            permissible_for(index, Hz(test), fit).unwrap().value.0
        };
        assert!((at(500.0, 1000.0, EarphoneFit::SupraAural) - 36.0).abs() < 1e-9);
        assert!((at(500.0, 1000.0, EarphoneFit::Open) - 29.0).abs() < 1e-9);
        assert!((at(1000.0, 1000.0, EarphoneFit::SupraAural) - 23.0).abs() < 1e-9);
        for test in [750.0, 1000.0, 2000.0, 4000.0, 8000.0] {
            for index in 0..25 {
                let printed = permissible(index, Hz(500.0), EarphoneFit::SupraAural).unwrap();
                let found = permissible_for(index, Hz(test), EarphoneFit::SupraAural);
                assert!(
                    found.is_none_or(|one| one.value >= printed.value),
                    "{index} {test}"
                );
            }
        }
    }

    /// Ears that nothing covers: the printed row for them (ISO 8253-1:2010, open ear, from 250 Hz)
    /// lies within 8 dB of what follows without any attenuation, in the bands from 63 Hz to 8 kHz.
    #[test]
    fn without_attenuation_the_limits_are_near_those_of_open_ears() {
        let open = [
            44.0, 39.0, 35.0, 28.0, 21.0, 15.0, 13.0, 11.0, 9.0, 8.0, 8.0, 7.0, 7.0, 7.0, 8.0, 8.0,
            6.0, 4.0, 2.0, 4.0, 9.0, 15.0,
        ];
        for (at, printed) in open.into_iter().enumerate() {
            let found = permissible(at + 3, Hz(250.0), EarphoneFit::Open)
                .unwrap()
                .value
                .0;
            let apart = found - printed;
            assert!(
                (-8.01..=8.01).contains(&apart),
                "{}: {found} {printed}",
                BANDS_HZ[at + 3]
            );
        }
    }
}
