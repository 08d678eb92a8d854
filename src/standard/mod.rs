//! Published tables and formulas, one module per standard and edition.
//!
//! A value tells its unit by its type or name, and carries where it comes from and how far that
//! was verified. Nothing here extrapolates: what a table does not hold is `None`.

pub mod aao_hns_1979;
pub mod ama_functional_acuity;
mod coupler;
mod earphone;
pub mod exposure;
pub mod iec_60645_1_2017;
pub mod iec_61260_1_2014;
mod iso_389_1_1998;
mod iso_389_2_1994;
pub mod iso_389_4_1994;
mod iso_389_5_2006;
mod iso_389_8_2004;
pub mod iso_7029_2000;
pub mod iso_7029_2017;
pub mod iso_8253_1_2010;
pub mod iso_8596_2017;
pub mod loinc;
pub mod ricci_1997;
pub mod safety;
pub mod ucum;
pub mod who_2021;
pub mod who_icd_11_vision;

pub use coupler::Coupler;
pub use earphone::{EarphoneClass, EarphoneFit};

use crate::quantity::Hz;

/// How far a value was verified before it was written here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verified {
    /// Read in the standard's text or in a copy of it.
    LookedUp,
    /// Remembered by people of the trade; the standard's body could not be opened.
    FromMemory,
    /// Computed or decided in this project from values that are sourced.
    Derived,
}

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// The standard with its edition, or the document.
    pub document: &'static str,
    /// The clause or table in it.
    pub place: &'static str,
    /// How far the value was verified.
    pub verified: Verified,
}

/// A published value with its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated<T> {
    /// The value.
    pub value: T,
    /// The half-width to which the source states it, in the value's unit: a tolerance or the
    /// rounding of a table. `None` where it is not known.
    pub within: Option<f64>,
    /// Where it comes from.
    pub source: Source,
}

/// The octave and inter-octave frequencies of pure-tone audiometry, ascending (the lines of the
/// tables of the ISO 389 series).
pub const AUDIOMETRIC_HZ: [Hz; 11] = [
    Hz(125.0),
    Hz(250.0),
    Hz(500.0),
    Hz(750.0),
    Hz(1000.0),
    Hz(1500.0),
    Hz(2000.0),
    Hz(3000.0),
    Hz(4000.0),
    Hz(6000.0),
    Hz(8000.0),
];

/// The frequencies of extended high-frequency audiometry, ascending (the lines of the table of
/// ISO 389-5 above 8 kHz).
pub const EXTENDED_HZ: [Hz; 6] = [
    Hz(9000.0),
    Hz(10_000.0),
    Hz(11_200.0),
    Hz(12_500.0),
    Hz(14_000.0),
    Hz(16_000.0),
];

/// Every frequency at which a tone can have a reference: [`AUDIOMETRIC_HZ`], then [`EXTENDED_HZ`].
pub fn test_hz() -> impl Iterator<Item = Hz> {
    AUDIOMETRIC_HZ.into_iter().chain(EXTENDED_HZ)
}

/// One number for each of [`AUDIOMETRIC_HZ`].
type Row = [f64; 11];

/// The entry of `row` at exactly `hz`.
fn at<T: Copy>(row: &[T; 11], hz: Hz) -> Option<T> {
    AUDIOMETRIC_HZ
        .iter()
        .zip(row)
        .find(|(listed, _)| **listed == hz)
        .map(|(_, value)| *value)
}
