//! How far the answers of a sense hang together: a grade with its counts and its error rates, and
//! never why. The weight of evidence stays in the method sheet of the long report.

use super::parts::{component, count_of};
use super::{Bundle, local, note};
use crate::evidence::{Consistency, OTHER_CAUSES, left_out};
use crate::quantity::Sense;
use crate::report::tables::word;
use serde_json::{Value, json};

pub(super) fn observation(bundle: &Bundle, sense: Sense, found: &Consistency) -> Value {
    let mut one = bundle.observation(&local::concept(&format!("consistency-{sense}")));
    one["effectivePeriod"] = bundle.period();
    one["valueCodeableConcept"] = local::concept(&word(&found.grade));
    let words = [
        found.statement.clone(),
        OTHER_CAUSES.to_owned(),
        found.limits.clone(),
        found.error_rates.sentence(),
        format!("{}.", left_out(&found.left_out, found.grade)),
        found.next_steps.clone(),
    ];
    note(
        &mut one,
        words.into_iter().filter(|words| !words.is_empty()),
    );
    let mut components = Vec::new();
    components.extend(
        found
            .extent
            .map(|extent| component("extent", "CodeableConcept", local::concept(&word(&extent)))),
    );
    components.extend(found.silent.and_then(|silent| {
        let ratio = count_of(silent.answered, silent.of)?;
        Some(component("silent-answered", "Ratio", ratio))
    }));
    for check in &found.checks {
        let named = local::in_words("check", &check.name);
        let said = format!("seen: {}; expected: {}", check.seen, check.expected);
        let mut words = component("check", "String", json!(said));
        words["code"] = named.clone();
        components.push(words);
        if let Some(ratio) = count_of(check.k, check.n) {
            let mut counts = component("check", "Ratio", ratio);
            counts["code"] = named;
            components.push(counts);
        }
    }
    if !components.is_empty() {
        one["component"] = json!(components);
    }
    one
}
