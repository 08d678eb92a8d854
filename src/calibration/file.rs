//! TOML files that people write: one clear error for whatever is wrong.

use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// What is wrong in a record, before it is known which file it came from.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {problem}")]
pub struct FieldError {
    /// The field, as a path: `full_scale[2].hz`.
    pub field: String,
    /// What was found and what was expected.
    pub problem: String,
}

impl FieldError {
    /// An error at `field`.
    pub fn new(field: impl Into<String>, problem: impl Into<String>) -> FieldError {
        FieldError {
            field: field.into(),
            problem: problem.into(),
        }
    }

    /// The same error, in a file of this name.
    #[must_use]
    pub fn in_file(self, file: &str) -> FileError {
        FileError {
            file: file.to_owned(),
            field: self.field,
            problem: self.problem,
        }
    }
}

/// What is wrong in a file; written as one line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {field}: {problem}")]
pub struct FileError {
    /// The file, as the user named it.
    pub file: String,
    /// The field, or the line where there is none.
    pub field: String,
    /// What was found and what was expected.
    pub problem: String,
}

/// Checks that a field lies between two bounds, both allowed.
///
/// # Errors
/// If it does not, or is not a number.
pub fn within(field: &str, value: f64, low: f64, high: f64) -> Result<(), FieldError> {
    if value >= low && value <= high {
        return Ok(());
    }
    Err(FieldError::new(
        field,
        format!("expected {low} to {high}, found {value}"),
    ))
}

/// Reads a TOML document.
///
/// # Errors
/// Not TOML, a field missing, unknown or of the wrong type: named with its file.
pub fn read_toml<T: DeserializeOwned>(text: &str, file: &str) -> Result<T, FileError> {
    toml::from_str(text).map_err(|error| {
        let problem = error.message().replace('\n', "; ");
        let field = field_in(&problem).unwrap_or_else(|| place(text, error.span()));
        FieldError { field, problem }.in_file(file)
    })
}

/// The field that the parser itself names: "missing field `title`".
fn field_in(problem: &str) -> Option<String> {
    let named = problem
        .strip_prefix("missing field `")
        .or(problem.strip_prefix("unknown field `"))?;
    named.split('`').next().map(str::to_owned)
}

/// The key on the line where the error is, and the line's number.
fn place(text: &str, span: Option<std::ops::Range<usize>>) -> String {
    let before = span.and_then(|span| text.get(..span.start)).unwrap_or("");
    let number = before.matches('\n').count();
    let key = text
        .lines()
        .nth(number)
        .and_then(|line| line.split_once('='));
    match key {
        Some((key, _)) => format!("{} (line {})", key.trim(), number + 1),
        None => format!("line {}", number + 1),
    }
}

/// The SHA-256 of a text, in hexadecimal.
#[must_use]
pub fn digest(text: &str) -> String {
    Sha256::digest(text.as_bytes())
        .iter()
        .fold(String::new(), |mut hex, byte| {
            let _ = write!(hex, "{byte:02x}"); // writing to a String cannot fail
            hex
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    #[expect(dead_code, reason = "only the errors of reading it are looked at")]
    struct Pair {
        left: f64,
        right: f64,
    }

    #[test]
    fn every_error_names_file_and_field_in_one_line() {
        let cases = [
            ("left = 1\n", "a.toml: right: missing field `right`"),
            (
                "left = 1\nright = 2\nup = 3\n",
                "a.toml: up: unknown field `up`",
            ),
            (
                "left = 1\nright = \"x\"\n",
                "a.toml: right (line 2): invalid type: string",
            ),
            ("left = 1\nright = [\n", "a.toml: "),
            ("nonsense", "a.toml: line 1: "),
        ];
        for (text, start) in cases {
            let error = read_toml::<Pair>(text, "a.toml").unwrap_err().to_string();
            assert!(error.starts_with(start), "{error}");
            assert!(!error.contains('\n'), "{error}");
        }
    }

    /// FIPS 180-4, the example "abc".
    #[test]
    fn digest_is_sha_256() {
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(digest("abc"), expected);
    }
}
