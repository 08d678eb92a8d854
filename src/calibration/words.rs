//! How loud a clinic's recording of words is on an earphone.

use super::check::{number, one_line};
use super::file::FieldError;
use crate::quantity::{DbSpl, Ear};
use serde::{Deserialize, Serialize};
use std::ops::RangeInclusive;

/// What a coupler can read of a recording's calibration passage, dB SPL.
const PASSAGE_DB_SPL: RangeInclusive<f64> = 40.0..=140.0;
/// The reference level of speech on any earphone, dB SPL (ISO 8253-3, from memory: about 20).
const ZERO_DB_SPL: RangeInclusive<f64> = 0.0..=50.0;
/// Digits of a SHA-256.
const DIGITS: usize = 64;

/// The level of one recording on this earphone. It holds for that file and no other.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WordsLevel {
    /// What people call it; one line.
    pub title: String,
    /// SHA-256 of its file, hexadecimal.
    pub digest: String,
    /// The sound pressure level of 0 dB HL of speech on this earphone.
    pub zero_db_spl: DbSpl,
    /// What the coupler reads of its calibration passage at the right earphone, played as the file
    /// is.
    pub right_db_spl: DbSpl,
    /// The same at the left one.
    pub left_db_spl: DbSpl,
}

impl WordsLevel {
    /// What the coupler reads at this ear.
    #[must_use]
    pub fn at(&self, ear: Ear) -> DbSpl {
        match ear {
            Ear::Right => self.right_db_spl,
            Ear::Left => self.left_db_spl,
        }
    }

    pub(super) fn check(&self, number_in_list: usize) -> Result<(), FieldError> {
        let field = |name: &str| format!("words[{number_in_list}].{name}");
        one_line(&field("title"), &self.title)?;
        let hexadecimal = |digit: u8| digit.is_ascii_digit() || (b'a'..=b'f').contains(&digit);
        if self.digest.len() != DIGITS || !self.digest.bytes().all(hexadecimal) {
            let problem = format!(
                "expected the {DIGITS} hexadecimal digits of the file's SHA-256, found {:?}",
                self.digest
            );
            return Err(FieldError::new(field("digest"), problem));
        }
        number(&field("zero_db_spl"), self.zero_db_spl.0, ZERO_DB_SPL)?;
        number(&field("right_db_spl"), self.right_db_spl.0, PASSAGE_DB_SPL)?;
        number(&field("left_db_spl"), self.left_db_spl.0, PASSAGE_DB_SPL)
    }
}
