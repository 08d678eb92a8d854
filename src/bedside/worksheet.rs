//! The worksheet that comes with the program, and a clinic's own.

use crate::calibration::{FieldError, FileError};
use crate::journal::Worksheet;
use std::path::Path;

const STANDARD: &str = include_str!("standard.toml");

/// The worksheet that comes with the program.
///
/// # Errors
/// Only if the program was built with one that is wrong, which a test rules out.
pub fn standard() -> Result<Worksheet, FileError> {
    Worksheet::from_toml(STANDARD, "standard")
}

/// The worksheet in a file; of the name `standard`, the one that comes with the program.
///
/// # Errors
/// Names the file, the field and what was expected of it.
pub fn worksheet_in(name_or_file: &str) -> Result<Worksheet, FileError> {
    if name_or_file == "standard" {
        return standard();
    }
    let text = crate::journal::whole_file::settings(Path::new(name_or_file))
        .map_err(|error| FieldError::new("file", error.to_string()).in_file(name_or_file))?;
    Worksheet::from_toml(&text, name_or_file)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_standard_worksheet_reads_and_has_all_twelve_nerves() {
        let sheet = standard().unwrap();
        for nerve in [
            "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII",
        ] {
            let has = |item: &crate::journal::Item| item.nerve.split(' ').any(|one| one == nerve);
            assert!(sheet.item.iter().any(has), "{nerve}");
        }
        for needed in ["pupil_direct", "pupil_swing", "weber", "rinne"] {
            assert!(sheet.item(needed).is_some(), "{needed}");
        }
        let walk = sheet.item("heel_to_toe").unwrap();
        assert!(walk.hold_ready && walk.unit.as_deref() == Some("s"));
        assert!(sheet.item.iter().filter(|item| item.observed).count() >= 4);
    }

    #[test]
    fn what_is_wrong_is_named() {
        let wrong = [
            (
                "id = \"a\"\nnerve = \"XIII\"\nwords = \"x\"",
                "item[0].nerve",
            ),
            ("id = \"A b\"\nnerve = \"I\"\nwords = \"x\"", "item[0].id"),
            ("id = \"a\"\nnerve = \"I\"\nwords = \" \"", "item[0].words"),
            (
                "id = \"a\"\nnerve = \"I\"\nwords = \"x\"\nobserved = true\ngrades = [\"1\"]",
                "item[0].observed",
            ),
        ];
        for (item, field) in wrong {
            let text = format!("format = 1\nname = \"n\"\n[[item]]\n{item}\n");
            let error = Worksheet::from_toml(&text, "w.toml").unwrap_err();
            assert_eq!(error.field, field);
        }
    }
}
