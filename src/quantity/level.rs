//! Levels of sound and differences between them.

use serde::{Deserialize, Serialize};
use std::ops::{Add, Neg, Sub};

/// A difference of two levels, in decibels.
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct Db(pub f64);

impl Add for Db {
    type Output = Db;
    fn add(self, other: Db) -> Db {
        Db(self.0 + other.0)
    }
}

impl Neg for Db {
    type Output = Db;
    fn neg(self) -> Db {
        Db(-self.0)
    }
}

macro_rules! level {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, schemars::JsonSchema)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl Add<Db> for $name {
            type Output = $name;
            fn add(self, step: Db) -> $name {
                $name(self.0 + step.0)
            }
        }

        impl Sub<Db> for $name {
            type Output = $name;
            fn sub(self, step: Db) -> $name {
                $name(self.0 - step.0)
            }
        }

        impl Sub for $name {
            type Output = Db;
            fn sub(self, other: $name) -> Db {
                Db(self.0 - other.0)
            }
        }

        impl $name {
            /// The softer of two levels.
            #[must_use]
            pub fn min(self, other: $name) -> $name {
                $name(self.0.min(other.0))
            }
        }
    };
}

level! {
    /// Hearing level, dB HL: re the reference equivalent threshold of the earphone type
    /// (ISO 389 series).
    ///
    /// ```compile_fail
    /// use veridical::quantity::DbHl;
    /// let twice = DbHl(40.0) + DbHl(40.0); // two levels cannot be added
    /// ```
    /// ```compile_fail
    /// use veridical::quantity::{DbHl, DbSpl};
    /// let mixed = DbSpl(60.0) - DbHl(40.0); // levels of different reference cannot be compared
    /// ```
    DbHl
}
level! {
    /// Sound pressure level, dB re 20 µPa, as the coupler of the earphone's standard reads it.
    DbSpl
}
level! {
    /// Level re full scale: 0 is a sine whose peaks just reach the largest sample value.
    DbFs
}

impl DbFs {
    /// The peak amplitude of a sine at this level; 1 is full scale.
    #[must_use]
    pub fn amplitude(self) -> f64 {
        libm::exp10(self.0 / 20.0)
    }

    /// The level of a sine with this peak amplitude (positive).
    #[must_use]
    pub fn of_amplitude(amplitude: f64) -> DbFs {
        DbFs(20.0 * libm::log10(amplitude))
    }
}

/// What the levels of a set-up refer to. Only a set-up with a valid profile has hearing levels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Scale {
    /// Hearing level, by a calibrated profile.
    DbHl,
    /// Re the threshold of the examiner's own ears on the same set-up.
    DbReExaminer,
    /// Re digital full scale: nothing is known about the air.
    DbFs,
}

impl Scale {
    /// How a level on this scale is written after its number.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Scale::DbHl => "dB HL",
            Scale::DbReExaminer => "dB against the examiner",
            Scale::DbFs => "dB re full scale",
        }
    }
}

/// A level on the scale that the set-up has; the scale travels with the number, so that a
/// relative level is never read as dB HL.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub enum Level {
    /// Hearing level.
    #[serde(rename = "level_db_hl")]
    Hl(DbHl),
    /// Re the examiner's own threshold at this ear and frequency.
    #[serde(rename = "level_db_re_examiner")]
    ReExaminer(Db),
    /// Re digital full scale.
    #[serde(rename = "level_db_fs")]
    Fs(DbFs),
}

impl Level {
    /// A level of `db` on `scale`.
    #[must_use]
    pub fn new(scale: Scale, db: f64) -> Level {
        match scale {
            Scale::DbHl => Level::Hl(DbHl(db)),
            Scale::DbReExaminer => Level::ReExaminer(Db(db)),
            Scale::DbFs => Level::Fs(DbFs(db)),
        }
    }

    /// The number, in dB on [`Level::scale`].
    #[must_use]
    pub fn db(self) -> f64 {
        match self {
            Level::Hl(DbHl(db)) | Level::ReExaminer(Db(db)) | Level::Fs(DbFs(db)) => db,
        }
    }

    /// What the number refers to.
    #[must_use]
    pub fn scale(self) -> Scale {
        match self {
            Level::Hl(_) => Scale::DbHl,
            Level::ReExaminer(_) => Scale::DbReExaminer,
            Level::Fs(_) => Scale::DbFs,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_and_its_amplitude_are_inverse() {
        for db in [-120.0, -74.5, -20.0, -6.0, 0.0] {
            let back = DbFs::of_amplitude(DbFs(db).amplitude());
            assert!((back - DbFs(db)).0.abs() < 1e-12, "{db}");
        }
        // Half the pressure is 6.02 dB less (ISO 80000-8:2020, definition of the level).
        assert!((DbFs::of_amplitude(0.5).0 + 6.020_599_913_279_624).abs() < 1e-12);
    }

    #[test]
    fn a_level_carries_its_scale_into_json() {
        let json = serde_json::to_string(&Level::new(Scale::DbHl, 40.0)).unwrap();
        assert_eq!(json, r#"{"level_db_hl":40.0}"#);
        let json = serde_json::to_string(&Level::new(Scale::DbFs, -60.0)).unwrap();
        assert_eq!(json, r#"{"level_db_fs":-60.0}"#);
    }
}
