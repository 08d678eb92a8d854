//! ISO 389-8:2004, reference equivalent threshold sound pressure levels of circumaural earphones.
//! dB SPL, rounded to 0.5 dB. Read in a copy; the year of the edition is from memory.

use super::{Row, Source, Verified};

/// Ear simulator with flat plate adapter.
pub(super) const CIRCUMAURAL: Row = [30.5, 18.0, 11.0, 6.0, 5.5, 5.5, 4.5, 2.5, 9.5, 17.0, 17.5];

pub(super) const SOURCE: Source = Source {
    document: "ISO 389-8:2004",
    place: "Table 1",
    verified: Verified::LookedUp,
};
