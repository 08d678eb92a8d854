//! JSON for readers: no figure has more digits than anybody could use.

use serde::Serialize;
use serde_json::{Number, Value};

/// Digits that are kept of a figure; the journal keeps all.
const DIGITS: i32 = 6;

/// A document as indented JSON, its figures rounded to six significant digits.
///
/// # Errors
/// If the document cannot be written as JSON.
pub fn tidy_json(document: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut value = serde_json::to_value(document)?;
    tidy(&mut value);
    serde_json::to_string_pretty(&value)
}

fn tidy(value: &mut Value) {
    match value {
        Value::Number(number) if number.is_f64() => {
            let rounded = number.as_f64().map(six_digits).and_then(Number::from_f64);
            if let Some(rounded) = rounded {
                *number = rounded;
            }
        }
        Value::Array(values) => values.iter_mut().for_each(tidy),
        Value::Object(fields) => fields.values_mut().for_each(tidy),
        _ => {}
    }
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
