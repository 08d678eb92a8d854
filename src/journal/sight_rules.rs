//! How an eye is asked, as data.

use crate::calibration::{FieldError, within};
use crate::stimulus::OptotypeSet;
use serde::{Deserialize, Serialize};

/// How an eye is asked.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SightProcedure {
    /// One optotype after the other, each of the size that tells most.
    #[default]
    Adaptive,
    /// Rows of five letters, from large to small, read letter by letter.
    Rows,
}

/// What ends the reading of rows.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum RowsEnd {
    /// A row with three or more wrong: fewer than the 3 of 5 of scoring by line (Becker 2008).
    ThreeWrong,
    /// A row with four or more wrong (the usual rule of letter charts; Carkeet 2001 compares
    /// rules, from memory).
    #[default]
    FourWrong,
    /// A row with all five wrong.
    AllWrong,
}

impl RowsEnd {
    /// So many wrong letters in a row end the reading.
    #[must_use]
    pub fn wrong(self) -> u32 {
        match self {
            RowsEnd::ThreeWrong => 3,
            RowsEnd::FourWrong => 4,
            RowsEnd::AllWrong => 5,
        }
    }
}

/// How much is shown at a time.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum RowsShow {
    /// One letter.
    Letter,
    /// One row.
    #[default]
    Row,
    /// Every row that the screen has room for; a larger one alone if the first cannot be read.
    All,
}

/// What is made of letters that are not equally easy.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum LetterDifficulty {
    /// Nothing: all letters count alike.
    #[default]
    Alike,
    /// Each is taken as if it were as much larger or smaller as it is easier or harder
    /// ([`ricci_1997`](crate::standard::ricci_1997)). The score by letter counts them alike.
    Corrected,
}

/// How rows are read.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct RowsPlan {
    /// What ends the reading.
    pub ends: RowsEnd,
    /// How much is shown at a time.
    pub shows: RowsShow,
    /// The first row, logMAR, in tenths; a larger one follows if it is not read with at most one
    /// letter wrong.
    pub first_log_mar: f64,
    /// The smallest row, logMAR, in tenths.
    pub last_log_mar: f64,
}

impl Default for RowsPlan {
    fn default() -> Self {
        RowsPlan::USUAL
    }
}

impl RowsPlan {
    /// From 1.0 down to −0.3, a row at a time, ended by a row with four or more wrong.
    pub const USUAL: RowsPlan = RowsPlan {
        ends: RowsEnd::FourWrong,
        shows: RowsShow::Row,
        first_log_mar: 1.0,
        last_log_mar: -0.3,
    };

    pub(super) fn check(&self, set: OptotypeSet) -> Result<(), FieldError> {
        if set != OptotypeSet::Sloan {
            // Five different letters in a row, typed as they are read.
            let problem = "expected \"sloan\", since rows of five want ten letters";
            return Err(FieldError::new("sight.optotype", problem));
        }
        let first = self.first_log_mar;
        within("sight.rows.first_log_mar", first, -0.3, 2.0)?;
        within("sight.rows.last_log_mar", self.last_log_mar, -0.5, first)?;
        for (field, value) in [
            ("sight.rows.first_log_mar", first),
            ("sight.rows.last_log_mar", self.last_log_mar),
        ] {
            if (10.0 * value - libm::round(10.0 * value)).abs() > 1e-6 {
                let problem = format!("expected tenths, found {value}");
                return Err(FieldError::new(field, problem));
            }
        }
        Ok(())
    }
}
