//! JSON for readers: no figure has more digits than anybody could use.

use serde::Serialize;
use serde_json::Serializer;
use serde_json::ser::{Formatter, PrettyFormatter};
use std::io::{Result as Written, Write};

/// Digits that are kept of a figure; the journal keeps all.
const DIGITS: i32 = 6;

/// A document as indented JSON, its figures rounded to six significant digits.
///
/// # Errors
/// If the document cannot be written as JSON.
pub fn tidy_json(document: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut bytes = Vec::new();
    write_tidy_json(&mut bytes, document)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The same, written as it comes: nothing is held of however long a list.
///
/// # Errors
/// If the document cannot be written as JSON, or not written at all.
pub fn write_tidy_json(to: impl Write, document: &impl Serialize) -> Result<(), serde_json::Error> {
    document.serialize(&mut Serializer::with_formatter(to, Tidy::default()))
}

/// Indents, and rounds figures.
#[derive(Default)]
struct Tidy(PrettyFormatter<'static>);

/// What is left to the formatter within.
macro_rules! as_within {
    ($($part:ident($($more:ident: $is:ty)?)),*) => {
        $(fn $part<W: Write + ?Sized>(&mut self, to: &mut W $(, $more: $is)?) -> Written<()> {
            self.0.$part(to $(, $more)?)
        })*
    };
}

impl Formatter for Tidy {
    fn write_f64<W: Write + ?Sized>(&mut self, to: &mut W, value: f64) -> Written<()> {
        self.0.write_f64(to, six_digits(value))
    }

    as_within!(
        begin_array(),
        end_array(),
        begin_array_value(first: bool),
        end_array_value(),
        begin_object(),
        end_object(),
        begin_object_key(first: bool),
        begin_object_value(),
        end_object_value()
    );
}

/// By way of the decimal digits, so that what is written is as short as what is meant.
pub(super) fn six_digits(figure: f64) -> f64 {
    let digits = DIGITS as usize - 1;
    format!("{figure:.digits$e}").parse().unwrap_or(figure)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_keep_six_digits_and_counts_keep_all() {
        let json = tidy_json(&serde_json::json!({
            "u_db": 4.960_614_928_081_565, "p": 0.999_999_999_999_924, "small": 1.234_567_8e-9,
            "seed": 1_933_447_071_827_350_109_u64, "hz": 1000.0
        }))
        .unwrap();
        for part in [
            "4.96061",
            "\"p\": 1.0",
            "1.23457e-9",
            "1933447071827350109",
            "1000.0",
        ] {
            assert!(json.contains(part), "{part} in {json}");
        }
    }
}
