//! Tables for readers: CSV after RFC 4180.

use serde::Serialize;

/// Rows as CSV.
pub(super) fn table<R: Serialize>(rows: impl Iterator<Item = R>) -> Result<String, csv::Error> {
    let mut table = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(vec![]);
    for row in rows {
        table.serialize(row)?;
    }
    let bytes = table
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The word that a value has in the journal; of an amount, the number.
pub(super) fn word(value: &impl Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        Ok(serde_json::Value::Object(fields)) => fields
            .values()
            .next()
            .map_or(String::new(), ToString::to_string),
        _ => String::new(),
    }
}
