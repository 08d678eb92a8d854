//! Units in the Unified Code for Units of Measure (UCUM 2.2), as far as findings need them.
//!
//! `dB[HL]` is no UCUM unit, and an annotation such as `dB{HL}` is refused by some servers: so the
//! code is plain `dB`, and what it refers to stands in the words beside it (tried with
//! a validator). logMAR has no unit of its own; `{logMAR}` is an annotated 1.

/// The system's URI.
pub const SYSTEM: &str = "http://unitsofmeasure.org";

/// A unit: its code, and how people write it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unit {
    /// The code.
    pub code: &'static str,
    /// As it is written after a number.
    pub words: &'static str,
}

const fn unit(code: &'static str, words: &'static str) -> Unit {
    Unit { code, words }
}

/// A difference of levels.
pub const DECIBEL: Unit = unit("dB", "dB");
/// Frequency.
pub const HERTZ: Unit = unit("Hz", "Hz");
/// Duration.
pub const SECOND: Unit = unit("s", "s");
/// Distance.
pub const METRE: Unit = unit("m", "m");
/// A small length.
pub const MILLIMETRE: Unit = unit("mm", "mm");
/// A length between.
pub const CENTIMETRE: Unit = unit("cm", "cm");
/// Angle.
pub const DEGREE: Unit = unit("deg", "°");
/// How near an eye focuses.
pub const DIOPTRE: Unit = unit("[diop]", "D");
/// Size or acuity.
pub const LOG_MAR: Unit = unit("{logMAR}", "logMAR");
/// A plain number.
pub const ONE: Unit = unit("1", "");
/// A share.
pub const PERCENT: Unit = unit("%", "%");

/// All of them.
pub const ALL: [Unit; 11] = [
    DECIBEL, HERTZ, SECOND, METRE, MILLIMETRE, CENTIMETRE, DEGREE, DIOPTRE, LOG_MAR, ONE, PERCENT,
];

/// The unit that people write so; none of what is not known to be one.
#[must_use]
pub fn of_words(words: &str) -> Option<Unit> {
    let words = words.trim();
    ALL.into_iter()
        .find(|unit| !words.is_empty() && (unit.words == words || unit.code == words))
}
