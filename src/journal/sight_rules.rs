//! How an eye is asked, as data.

use crate::calibration::{FieldError, within};
use crate::quantity::Mm;
use crate::stimulus::{NEAR_MM, OptotypeSet};
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
    /// One size only: is it read?
    Screening,
    /// Rows of a card printed from our own geometry, read near; answers are typed.
    NearCard,
    /// What the examiner shows by hand: fingers to count, a hand that moves, a light.
    ByHand,
}

impl SightProcedure {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            SightProcedure::Adaptive => "single optotypes",
            SightProcedure::Rows => "rows of five",
            SightProcedure::Screening => "one size",
            SightProcedure::NearCard => "near card",
            SightProcedure::ByHand => "by hand",
        }
    }

    /// Whether it looks for the smallest size that is read on the screen.
    #[must_use]
    pub fn seeks_an_acuity(self) -> bool {
        matches!(self, SightProcedure::Adaptive | SightProcedure::Rows)
    }
}

/// How many of how many have to be right at one size; both are 60 % (ISO 8596, from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PassRule {
    /// 3 of 5, for eight or ten choices: guessing passes 16 or 9 times in 1000.
    ThreeOfFive,
    /// 6 of 10, also for four choices, where guessing passes 20 times in 1000; 3 of 5 would let 104
    /// pass.
    SixOfTen,
}

impl PassRule {
    /// The rule for so many choices.
    #[must_use]
    pub fn usual(choices: u32) -> PassRule {
        if choices >= 8 {
            PassRule::ThreeOfFive
        } else {
            PassRule::SixOfTen
        }
    }

    /// So many have to be right, of so many.
    #[must_use]
    pub fn counts(self) -> (u32, u32) {
        match self {
            PassRule::ThreeOfFive => (3, 5),
            PassRule::SixOfTen => (6, 10),
        }
    }
}

/// A screening at one size.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct ScreeningPlan {
    /// The size, logMAR.
    pub log_mar: f64,
    /// How many of how many; left out, as the number of choices asks.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<PassRule>,
}

impl Default for ScreeningPlan {
    /// 0.3, that is 6/12: where WHO's categories of impairment begin.
    fn default() -> Self {
        ScreeningPlan {
            log_mar: 0.3,
            rule: None,
        }
    }
}

impl ScreeningPlan {
    /// The rule for this set.
    #[must_use]
    pub fn rule(&self, set: OptotypeSet) -> PassRule {
        self.rule.unwrap_or_else(|| PassRule::usual(set.choices()))
    }

    pub(super) fn check(&self, field: &str, set: OptotypeSet) -> Result<(), FieldError> {
        within(
            &format!("{field}.screening.log_mar"),
            self.log_mar,
            -0.5,
            2.0,
        )?;
        if self.rule(set) == PassRule::ThreeOfFive && set.choices() < 8 {
            let problem = "expected \"six_of_ten\" with four choices: guessing passes 3 of 5 once in \
                           ten times";
            return Err(FieldError::new(format!("{field}.screening.rule"), problem));
        }
        Ok(())
    }
}

/// Which near card is read.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CardPlan {
    /// The seed that is printed on the card.
    pub seed: u64,
    /// From where it is read.
    pub distance_mm: Mm,
}

impl Default for CardPlan {
    fn default() -> Self {
        CardPlan {
            seed: 1,
            distance_mm: NEAR_MM,
        }
    }
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
