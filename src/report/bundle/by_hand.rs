//! What was done by hand: lines of the worksheet and series, all with local codes.

use super::parts::{absent, component, count_of, quantity};
use super::{Bundle, local, note, put, section};
use crate::bedside::{BedsideFindings, Line, LineState, SeriesFinding};
use crate::quantity::Moment;
use crate::report::tables::word;
use crate::standard::ucum;
use serde_json::{Value, json};

impl Bundle<'_> {
    /// The section on what was done by hand; none where nothing was.
    pub(super) fn by_hand(&mut self) -> Option<Value> {
        let dossier = self.dossier;
        let found = dossier.findings.bedside.as_ref()?;
        let mut members = Vec::new();
        for line in found.worksheet.iter().filter(|line| entered(line)) {
            let key = match line.side {
                Some(side) => format!("line-{}-{side}", line.item),
                None => format!("line-{}", line.item),
            };
            let one = self.line(line);
            members.push(self.add(&key, one));
        }
        for series in &found.series {
            let one = self.series(series);
            members.push(self.add(&format!("series-{}", series.series), one));
        }
        let words = in_words(found);
        if members.is_empty() {
            return Some(section("By hand", &words, &[]));
        }
        let panel = self.panel("by-hand-panel", &local::concept("by-hand"), &members);
        Some(section("By hand", &words, &[panel]))
    }

    fn line(&self, line: &Line) -> Value {
        let code = json!({
            "coding": [{"system": local::WORKSHEET, "code": line.item, "display": line.words}],
            "text": line.words,
        });
        let mut one = self.observation(&code);
        if let Some(at_s) = line.at_s {
            one["effectiveDateTime"] = json!(self.at(Moment::from_seconds(at_s)).to_string());
        }
        if let Some(who) = &line.who {
            one["performer"] = json!([{"display": who}]);
        }
        match line.finding {
            LineState::NotTested => one["dataAbsentReason"] = absent("not-performed", "not tested"),
            LineState::NotPossible => {
                one["dataAbsentReason"] = absent("not-performed", "it could not be done");
            }
            LineState::Declined => {
                one["dataAbsentReason"] = absent("asked-declined", "the person did not wish it");
            }
            LineState::Measured => put(
                &mut one,
                "valueString",
                line.measured.clone().map(Value::from),
            ),
            state => one["valueCodeableConcept"] = local::concept(&word(&state)),
        }
        if let Some(side) = line.side {
            one["bodySite"] = local::concept(&format!("{side}-side"));
        }
        let comment = Some(line.comment.clone()).filter(|comment| !comment.is_empty());
        note(&mut one, comment);
        let mut components = Vec::new();
        components.extend(
            line.grade
                .as_ref()
                .map(|grade| json!({"code": {"text": "grade"}, "valueString": grade})),
        );
        components.extend(line.number.map(|number| {
            let unit = line.unit.as_deref().unwrap_or_default();
            // What is no unit that codes know stays in words.
            let value = ucum::of_words(unit).map_or_else(
                || json!({"value": number, "unit": unit}),
                |unit| quantity(number, unit),
            );
            json!({"code": {"text": "number"}, "valueQuantity": value})
        }));
        if !components.is_empty() {
            one["component"] = json!(components);
        }
        one
    }

    fn series(&self, series: &SeriesFinding) -> Value {
        let words = format!("Series: {}", series.kind);
        let mut one = self.observation(&local::in_words("series", &words));
        one["effectivePeriod"] = self.period();
        match count_of(series.right.k, series.right.n) {
            Some(ratio) => one["valueRatio"] = ratio,
            None if series.extents.is_empty() => {
                one["dataAbsentReason"] = absent("unknown", "nothing was answered");
            }
            None => one["dataAbsentReason"] = absent("unknown", "a measurement, not a choice"),
        }
        if let Some(side) = series.side {
            one["bodySite"] = local::concept(&format!("{side}-side"));
        }
        let mut notes = vec![series.statement()];
        notes.extend(series.scent.iter().map(|scent| format!("Scent: {scent}.")));
        notes.extend(series.remarks.iter().cloned());
        note(&mut one, notes);
        let mut components = Vec::new();
        if let Some(rate) = &series.false_alarms {
            components.extend(
                count_of(rate.k, rate.n).map(|ratio| component("false-alarms", "Ratio", ratio)),
            );
        }
        for hits in &series.hits {
            components.extend(count_of(hits.k, hits.n).map(|ratio| {
                let mut one = component("hits", "Ratio", ratio);
                one["code"] = local::in_words("hits", &format!("Hits, {}", hits.what));
                one
            }));
        }
        for left_out in &series.extinctions {
            components.extend(count_of(left_out.k, left_out.n).map(|ratio| {
                let mut one = component("side-left-out", "Ratio", ratio);
                let words = format!("Of both sides at once, {}", left_out.what);
                one["code"] = local::in_words("side-left-out", &words);
                one
            }));
        }
        for extent in &series.extents {
            for (metres, cm) in [(1, extent.at_1_m_cm), (2, extent.at_2_m_cm)] {
                let mut one = component("field-width", "Quantity", quantity(cm, ucum::CENTIMETRE));
                let words = format!("Field {}, at {metres} m", extent.from);
                one["code"] = local::in_words("field-width", &words);
                components.push(one);
            }
        }
        if let Some(chance) = &series.chance {
            let plain =
                |code: &str, value: f64| component(code, "Quantity", quantity(value, ucum::ONE));
            components.push(plain("guessing-gives", chance.expected));
            let p = chance.p_as_many_or_more.min(chance.p_as_many_or_fewer);
            components.push(plain("p-guessing", p));
            components.push(component(
                "than-guessing",
                "CodeableConcept",
                local::concept(&word(&chance.than_guessing)),
            ));
        }
        if !components.is_empty() {
            one["component"] = json!(components);
        }
        one
    }
}

fn entered(line: &Line) -> bool {
    line.finding != LineState::NotEntered
}

fn in_words(found: &BedsideFindings) -> Vec<String> {
    let lines = found.worksheet.len();
    let blank = found.worksheet.iter().filter(|line| !entered(line)).count();
    let mut words = Vec::new();
    if lines > 0 {
        words.push(format!(
            "Worksheet of {lines} lines; {blank} of them were not entered, which says nothing, least \
             of all normal."
        ));
    }
    let referring = found.refer_now.iter();
    words.extend(referring.map(|what| format!("Refer now: {what}.")));
    words.extend(
        found
            .series
            .iter()
            .map(|one| format!("{}: {}.", one.kind, one.statement())),
    );
    if !found.series.is_empty() {
        words.push(found.correction.clone());
    }
    words
}
