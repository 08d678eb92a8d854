//! Small parts of resources.

use super::local;
use crate::quantity::Level;
use crate::standard::{loinc, ucum};
use serde_json::{Value, json};

pub(super) fn text(words: impl Into<String>) -> Value {
    json!({"text": words.into()})
}

/// A public code of LOINC, with its words.
pub(super) fn loinc(code: &str, display: Option<&str>, words: &str) -> Value {
    let mut coding = json!({"system": loinc::SYSTEM, "code": code});
    if let Some(display) = display {
        coding["display"] = json!(display);
    }
    json!({"coding": [coding], "text": words})
}

pub(super) fn quantity(value: f64, unit: ucum::Unit) -> Value {
    let mut quantity = json!({"value": value, "system": ucum::SYSTEM, "code": unit.code});
    if !unit.words.is_empty() {
        quantity["unit"] = json!(unit.words);
    }
    quantity
}

/// A level; the words beside the number say what it refers to, which no code can.
pub(super) fn level(level: Level) -> Value {
    decibels(level.db(), level.scale().unit())
}

pub(super) fn decibels(db: f64, words: &str) -> Value {
    json!({"value": db, "unit": words, "system": ucum::SYSTEM, "code": ucum::DECIBEL.code})
}

pub(super) fn range([low, high]: [f64; 2], unit: ucum::Unit) -> Value {
    json!({"low": quantity(low, unit), "high": quantity(high, unit)})
}

/// So many of so many; none of none.
pub(super) fn count_of(k: u32, n: u32) -> Option<Value> {
    (n > 0).then(|| json!({"numerator": {"value": k}, "denominator": {"value": n}}))
}

/// A component with a value of this type, such as `Quantity`.
pub(super) fn component(code: &str, kind: &str, value: Value) -> Value {
    let mut component = json!({"code": local::concept(code)});
    component[format!("value{kind}")] = value;
    component
}

/// Why there is no value.
pub(super) fn absent(code: &str, words: &str) -> Value {
    let display = match code {
        "not-performed" => "Not Performed",
        "asked-declined" => "Asked But Declined",
        "asked-unknown" => "Asked But Unknown",
        _ => "Unknown",
    };
    json!({
        "coding": [{
            "system": "http://terminology.hl7.org/CodeSystem/data-absent-reason",
            "code": code,
            "display": display,
        }],
        "text": words,
    })
}

/// Above or below what the set-up presents.
pub(super) fn off_scale(code: &str) -> Value {
    let display = match code {
        ">" => "Off scale high",
        _ => "Off scale low",
    };
    json!([{
        "coding": [{
            "system": "http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation",
            "code": code,
            "display": display,
        }],
        "text": display,
    }])
}

/// Paragraphs as the narrative of a resource or a section.
pub(super) fn narrative(paragraphs: &[String]) -> Value {
    let escaped = paragraphs.iter().map(|words| {
        let words = words
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;");
        format!("<p>{words}</p>")
    });
    let body: String = escaped.collect();
    json!({
        "status": "generated",
        "div": format!("<div xmlns=\"http://www.w3.org/1999/xhtml\">{body}</div>"),
    })
}

/// A property of a device.
pub(super) fn component_of_device(words: &str, quantity: &Value) -> Value {
    json!({"type": text(words), "valueQuantity": [quantity]})
}
