//! How much sound a person may get, by published criteria, and the weighting that they are told in.

use super::{Source, Stated, Verified};
use crate::quantity::{Db, DbSpl, Hz};

/// The level of which a whole working day is one full dose, A-weighted (NIOSH 98-126).
pub const NIOSH_LEVEL: Stated<DbSpl> = Stated {
    value: DbSpl(85.0),
    within: None,
    source: NIOSH,
};

/// That working day, s.
pub const WORKING_DAY_S: f64 = 8.0 * 3600.0;

/// So many dB more halve the time (NIOSH 98-126).
pub const NIOSH_EXCHANGE: Stated<Db> = Stated {
    value: Db(3.0),
    within: None,
    source: NIOSH,
};

const NIOSH: Source = Source {
    document: "NIOSH 98-126",
    place: "recommended exposure limit: 85 dBA over 8 h, 3 dB exchange rate",
    verified: Verified::LookedUp,
};

/// The level of which 40 hours are a week's allowance of leisure sound for adults, A-weighted.
pub const H870_LEVEL: Stated<DbSpl> = Stated {
    value: DbSpl(80.0),
    within: None,
    source: Source {
        document: "WHO-ITU H.870",
        place: "safe listening devices: 80 dBA over 40 h a week, equal energy",
        verified: Verified::LookedUp,
    },
};

/// Those hours, s.
pub const H870_WEEK_S: f64 = 40.0 * 3600.0;

/// Daily exposure level `L_EX,8h` at which a worker must be offered protection (lower action value).
pub const EU_LOWER_ACTION: Stated<DbSpl> = Stated {
    value: DbSpl(80.0),
    within: None,
    source: Source {
        document: "Directive 2003/10/EC",
        place: "article 3, lower exposure action value",
        verified: Verified::FromMemory,
    },
};

/// The A-weighting at `hz`, dB (IEC 61672-1:2013, annex E, formula from memory; held against the
/// standard's table in a test).
#[must_use]
pub fn a_weighting(hz: Hz) -> Db {
    let square = |x: f64| x * x;
    let f = square(hz.0);
    let response = |f: f64| {
        let low =
            (f + square(20.598_997)) * ((f + square(107.652_65)) * (f + square(737.862_23))).sqrt();
        square(12_194.217) * square(f) / (low * (f + square(12_194.217)))
    };
    // 0 dB at 1 kHz.
    Db(20.0 * libm::log10(response(f) / response(1e6)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 61672-1, table of the A-weighting, to a tenth of a dB (from memory).
    #[test]
    fn the_weighting_is_that_of_the_table() {
        for (hz, db) in [
            (125.0, -16.1),
            (250.0, -8.6),
            (500.0, -3.2),
            (1000.0, 0.0),
            (2000.0, 1.2),
            (4000.0, 1.0),
            (8000.0, -1.1),
            (16_000.0, -6.6),
        ] {
            // The table is made for exact thirds of an octave, 10^(n/10).
            let exact = Hz(libm::exp10((10.0 * libm::log10(hz)).round() / 10.0));
            let found = a_weighting(exact).0;
            assert!((found - db).abs() < 0.06, "{hz}: {found}");
        }
    }
}
