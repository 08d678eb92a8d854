//! ISO 389-2:1994, reference equivalent threshold sound pressure levels of insert earphones.
//! dB SPL, rounded to 0.5 dB.
//!
//! Read on an earphone's calibration sheet that quotes ANSI S3.6-1996 and ISO 389-2:1994 at
//! 70 dB HL (minus 70); the occluded-ear row again in an independent copy.

use super::{Row, Source, Verified};

/// 2 cm³ coupler, connected by a rigid tube (HA-2).
pub(super) const TWO_CC: Row = [26.0, 14.0, 5.5, 2.0, 0.0, 2.0, 3.0, 3.5, 5.5, 2.0, 0.0];

/// 2 cm³ coupler HA-1, the insert sealed straight to it.
pub(super) const HA_1: Row = [26.5, 14.5, 6.0, 2.0, 0.0, 0.0, 2.5, 2.5, 0.0, -2.5, -3.5];

/// Occluded-ear simulator.
pub(super) const OCCLUDED_EAR: Row = [28.0, 17.5, 9.5, 6.0, 5.5, 9.5, 11.5, 13.0, 15.0, 16.0, 15.5];

pub(super) const SOURCE: Source = Source {
    document: "ISO 389-2:1994",
    place: "reference levels, as an earphone's calibration sheet quotes them",
    verified: Verified::LookedUp,
};

pub(super) const SOURCE_HA_1: Source = Source {
    document: "ISO 389-2:1994 / ANSI S3.6-1996",
    place: "HA-1 levels, as an earphone's calibration sheet quotes them",
    verified: Verified::LookedUp,
};
