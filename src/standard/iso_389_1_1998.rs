//! ISO 389-1:1998, reference equivalent threshold sound pressure levels of supra-aural earphones.
//! dB SPL, rounded to 0.5 dB by the standard. Read in a copy of the printed tables.

use super::{Row, Source, Verified};

/// Table 1, the named earphone type with a domed cushion, on the acoustic coupler.
pub(super) const DOMED_CUSHION: Row = [45.0, 25.5, 11.5, 7.5, 7.0, 6.5, 9.0, 10.0, 9.5, 15.5, 13.0];

/// Table 1, the named earphone type with a flat cushion, on the acoustic coupler.
pub(super) const FLAT_CUSHION: Row = [47.5, 28.5, 14.5, 9.5, 8.0, 7.5, 8.0, 6.0, 5.5, 8.0, 14.5];

/// Table 2, any other supra-aural earphone, on the ear simulator.
pub(super) const GENERIC: Row = [45.0, 27.0, 13.5, 9.0, 7.5, 7.5, 9.0, 11.5, 12.0, 16.0, 15.5];

pub(super) const TABLE_1: Source = Source {
    document: "ISO 389-1:1998",
    place: "Table 1",
    verified: Verified::LookedUp,
};

pub(super) const TABLE_2: Source = Source {
    document: "ISO 389-1:1998",
    place: "Table 2",
    verified: Verified::LookedUp,
};
