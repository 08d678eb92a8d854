//! ISO 389-5:2006, reference equivalent threshold sound pressure levels from 8 to 16 kHz. dB SPL,
//! read in a copy of the table (Auditory Modeling Toolbox 1.4, `arg_absolutethreshold.m`).

use super::{EXTENDED_HZ, Source, Verified};
use crate::quantity::Hz;

/// Circumaural earphone on the ear simulator with adapter, at each of [`EXTENDED_HZ`]. Some
/// prints have 18.5 at 9 kHz (from memory).
const CIRCUMAURAL: [f64; 6] = [19.0, 22.0, 23.0, 27.5, 35.0, 56.0];

pub(super) const SOURCE: Source = Source {
    document: "ISO 389-5:2006",
    place: "circumaural earphone",
    verified: Verified::LookedUp,
};

/// The circumaural earphone's reference level at exactly `hz`, dB SPL.
pub(super) fn circumaural(hz: Hz) -> Option<f64> {
    let listed = EXTENDED_HZ.iter().zip(CIRCUMAURAL);
    listed
        .into_iter()
        .find_map(|(at, db)| (*at == hz).then_some(db))
}
