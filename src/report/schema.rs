//! JSON Schema (draft 2020-12) of what is written, made from the types that are written, so that
//! it cannot tell of anything else. What types cannot say is added here: which numbers there are,
//! and what belongs together.

use super::Findings;
use crate::journal::{Event, FORMAT};
use schemars::generate::SchemaSettings;
use serde_json::{Value, json};

/// Hexadecimal digits of a SHA-256.
const DIGEST: &str = "^[0-9a-f]{64}$";

/// What a line of a journal of format 1 may be. Lines of older versions of the program are lines
/// too; fields of newer ones are passed over within `body`, as readers do.
#[must_use]
pub fn journal_schema() -> Value {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<Event>().to_value();
    within(&mut schema, "/properties/number/minimum", json!(1));
    let hash = json!({"type": "string", "pattern": DIGEST,
        "description": "SHA-256 over the hash of the line before, a line feed, and this line up to \
                        its hash."});
    within(&mut schema, "/properties/hash", hash);
    for key in ["kind", "body", "hash"] {
        also(&mut schema, "/required", json!(key));
    }
    within(&mut schema, "/properties/kind", json!({"type": "string"}));
    within(&mut schema, "/properties/body", json!({"type": "object"}));
    within(&mut schema, "/additionalProperties", json!(false));
    let only_first = json!({"if": {"properties": {"kind": {"const": "opened"}}},
        "then": {"properties": {"number": {"const": 1}}},
        "else": {"properties": {"number": {"minimum": 2}}}});
    within(&mut schema, "/allOf", json!([only_first]));
    for (place, value) in [
        ("Opening/properties/format", json!({"const": FORMAT})),
        ("Opening/properties/earphone_digest/pattern", json!(DIGEST)),
        ("Opening/properties/screen_digest/pattern", json!(DIGEST)),
        ("Drawn/properties/seal/pattern", json!(DIGEST)),
        ("Planned/properties/n/minimum", json!(1)),
        ("Hz/exclusiveMinimum", json!(0)),
        (
            "OptotypePart/properties/distance_mm/exclusiveMinimum",
            json!(0),
        ),
        ("SoundPart/properties/interval/minimum", json!(1)),
        ("SoundPart/properties/interval/maximum", json!(2)),
        (
            "Planned/allOf",
            json!([a_detection_has_its_slot(), silence_has_no_tone()]),
        ),
    ] {
        within(&mut schema, &format!("/$defs/{place}"), value);
    }
    finish(schema, "journal", "A line of a journal")
}

fn a_detection_has_its_slot() -> Value {
    let task =
        json!({"properties": {"presentation": {"properties": {"task": {"const": "detect"}}}}});
    json!({"if": task,
        "then": {"required": ["slot"], "properties": {
            "slot": {"type": "object"},
            "presentation": {"required": ["window_s"], "properties": {"window_s": {"type": "number"}}}}},
        "else": {"properties": {"presentation": {"properties": {"parts": {"minItems": 1}}}}}})
}

/// Noise there may be, where the neighbours have it.
fn silence_has_no_tone() -> Value {
    let noise = json!({"properties": {"signal":
        {"enum": ["narrow_band_noise", "white_noise", "speech_noise"]}}});
    json!({"if": {"properties": {"purpose": {"const": "silent"}}},
        "then": {"properties": {"presentation": {"properties": {
            "task": {"const": "detect"}, "parts": {"items": noise}}}}}})
}

/// What `findings.json` may be, as this version writes it.
#[must_use]
pub fn findings_schema() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let root = settings.into_generator().into_root_schema_for::<Findings>();
    let mut schema = root.to_value();
    within(&mut schema, "/properties/format", json!({"const": 1}));
    let threshold = [
        "threshold_db_hl",
        "threshold_db_re_examiner",
        "threshold_db_fs",
    ];
    let limit = [
        "no_response_at_db_hl",
        "no_response_at_db_re_examiner",
        "no_response_at_db_fs",
    ];
    let hearing = json!([
        {"if": status(&["measured", "answered_at_minimum"]), "then": one_of(&threshold), "else": none_of(&threshold)},
        {"if": status(&["no_response_at_maximum"]), "then": one_of(&limit), "else": none_of(&limit)},
    ]);
    let figures = ["log_mar", "sd_log_mar", "snellen", "distance_mm"];
    let sight = json!([{"if": status(&["measured"]), "then": {"required": figures}}]);
    let share = json!({"type": "number", "minimum": 0, "maximum": 1});
    for (place, value) in [
        ("Hz/exclusiveMinimum", json!(0)),
        ("HearingFinding/allOf", hearing),
        ("SightFinding/allOf", sight),
        ("Check/properties/p/minimum", json!(0)),
        ("Check/properties/p/maximum", json!(1)),
        ("Silent/properties/interval_95/items", share.clone()),
        ("Rate/properties/interval_95/items", share),
        ("HearingFinding/properties/u_db/minimum", json!(0)),
        ("HearingFinding/properties/sd_db/minimum", json!(0)),
    ] {
        within(&mut schema, &format!("/$defs/{place}"), value);
    }
    finish(schema, "findings", "findings.json")
}

fn status(any: &[&str]) -> Value {
    json!({"properties": {"status": {"enum": any}}})
}

fn one_of(keys: &[&str]) -> Value {
    let each: Vec<Value> = keys.iter().map(|key| json!({"required": [key]})).collect();
    json!({"oneOf": each})
}

fn none_of(keys: &[&str]) -> Value {
    let each: Vec<Value> = keys.iter().map(|key| json!({"required": [key]})).collect();
    json!({"not": {"anyOf": each}})
}

/// Puts a value where `pointer` says. Whatever is on the way there is there already, or nothing is
/// put (a test looks).
fn within(schema: &mut Value, pointer: &str, value: Value) {
    let Some((parent, key)) = pointer.rsplit_once('/') else {
        return;
    };
    if let Some(Value::Object(parent)) = schema.pointer_mut(parent) {
        parent.insert(key.to_owned(), value);
    }
}

fn also(schema: &mut Value, pointer: &str, value: Value) {
    if let Some(Value::Array(list)) = schema.pointer_mut(pointer) {
        list.push(value);
    }
}

fn finish(mut schema: Value, of: &str, title: &str) -> Value {
    plain_words(&mut schema);
    // `.invalid` leads nowhere (RFC 2606): a name, no address.
    within(
        &mut schema,
        "/$id",
        json!(format!("https://veridical.invalid/schema/{of}-{FORMAT}")),
    );
    within(&mut schema, "/title", json!(format!("Veridical: {title}")));
    schema
}

/// Descriptions are written for the program's own pages; links and line ends mean nothing here.
fn plain_words(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            if let Some(Value::String(text)) = fields.get_mut("description") {
                *text = without_links(text);
            }
            fields.values_mut().for_each(plain_words);
        }
        Value::Array(values) => values.iter_mut().for_each(plain_words),
        _ => {}
    }
}

/// ``[`Name`](where)`` and ``[`Name`]`` become `Name`.
fn without_links(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("[`") {
        plain.push_str(before);
        let Some((name, after)) = after.split_once("`]") else {
            rest = after;
            break;
        };
        plain.push_str(name.rsplit("::").next().unwrap_or(name));
        rest = match after
            .strip_prefix('(')
            .and_then(|link| link.split_once(')'))
        {
            Some((_, after)) => after,
            None => after,
        };
    }
    plain.push_str(rest);
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is added stands where it is meant to stand: a renamed type would lose it silently.
    #[test]
    fn what_types_cannot_say_is_there() {
        let (journal, findings) = (journal_schema(), findings_schema());
        for pointer in [
            "/properties/hash/pattern",
            "/allOf/0/if",
            "/$defs/Opening/properties/format/const",
            "/$defs/Opening/properties/earphone_digest/pattern",
            "/$defs/Opening/properties/screen_digest/pattern",
            "/$defs/Drawn/properties/seal/pattern",
            "/$defs/Planned/properties/n/minimum",
            "/$defs/Planned/allOf/1/if",
            "/$defs/Hz/exclusiveMinimum",
            "/$defs/OptotypePart/properties/distance_mm/exclusiveMinimum",
            "/$defs/SoundPart/properties/interval/maximum",
        ] {
            assert!(journal.pointer(pointer).is_some(), "{pointer}");
        }
        for pointer in [
            "/properties/format/const",
            "/$defs/HearingFinding/allOf/1/then",
            "/$defs/SightFinding/allOf/0/then",
            "/$defs/Check/properties/p/maximum",
            "/$defs/Silent/properties/interval_95/items/maximum",
            "/$defs/Rate/properties/interval_95/items/maximum",
            "/$defs/HearingFinding/properties/u_db/minimum",
        ] {
            assert!(findings.pointer(pointer).is_some(), "{pointer}");
        }
        let required = journal.pointer("/required").and_then(Value::as_array);
        assert_eq!(required.map(Vec::len), Some(6), "the six keys of FORMAT.md");
    }

    #[test]
    fn every_kind_of_event_is_in_the_format_page() {
        let page = include_str!("../journal/FORMAT.md");
        let schema = journal_schema();
        let kinds = schema.pointer("/oneOf").and_then(Value::as_array).unwrap();
        assert!(kinds.len() >= 20, "{}", kinds.len());
        for kind in kinds {
            let kind = kind.pointer("/properties/kind/const").unwrap();
            let name = kind.as_str().unwrap();
            assert!(page.contains(&format!("`{name}`")), "FORMAT.md: {name}");
        }
    }

    #[test]
    fn links_become_plain_words() {
        assert_eq!(
            without_links("one of [`Procedure::NAMES`](super::Procedure::NAMES),\n not [`X`]"),
            "one of NAMES, not X"
        );
    }
}
