//! What belongs to acuities: those of one eye from two distances, what has to be known when they are
//! read, and what the person told of their eyes.

use super::parts::{absent, component, quantity};
use super::sight::site;
use super::{Bundle, local, note, put};
use crate::finding::TwoDistances;
use crate::journal::{Told, ToldAnswer};
use crate::report::tables::word;
use crate::standard::ucum;
use serde_json::{Value, json};

impl Bundle<'_> {
    /// Acuities from two distances, an observation a pair.
    pub(super) fn two_distances(&mut self) -> Vec<String> {
        let pairs = self.dossier.findings.sight.distances.iter();
        let each: Vec<Value> = pairs.map(|pair| self.pair(pair)).collect();
        self.add_each("two-distances", each)
    }

    fn pair(&self, pair: &TwoDistances) -> Value {
        let mut one = self.observation(&local::concept("two-distances"));
        one["effectivePeriod"] = self.period();
        let agrees = match pair.agrees {
            _ if self.dossier.findings.as_obtained.sight => {
                Err("the answers do not agree with one another")
            }
            Some(true) => Ok("agree-as-angles"),
            Some(false) => Ok("differ-as-angles"),
            None => Err("the difference may not be read"),
        };
        match agrees {
            Ok(code) => one["valueCodeableConcept"] = local::concept(code),
            Err(why) => one["dataAbsentReason"] = absent("unknown", why),
        }
        one["bodySite"] = local::concept(&site(pair.eye));
        note(&mut one, [format!("{}.", pair.statement)]);
        let number =
            |code: &str, value: f64, unit| component(code, "Quantity", quantity(value, unit));
        let metres = |code: &str, mm: f64| number(code, mm / 1000.0, ucum::METRE);
        let mut components = vec![
            metres("greater-distance", pair.far_mm.0),
            metres("smaller-distance", pair.near_mm.0),
            number("difference", pair.difference_log_mar, ucum::LOG_MAR),
            number("nearer-focus", pair.vergence_d, ucum::DIOPTRE),
        ];
        let u = pair.u_log_mar;
        components.extend(u.map(|u| number("u-combined", u, ucum::LOG_MAR)));
        one["component"] = json!(components);
        one
    }

    /// What has to be known when the acuities are read.
    pub(super) fn cautions(&mut self) -> Vec<String> {
        let caution = |words: &String| {
            let mut one = self.observation(&local::concept("caution"));
            one["effectivePeriod"] = self.period();
            one["valueString"] = json!(words);
            one
        };
        let cautions = self.dossier.findings.sight.cautions.iter();
        let each: Vec<Value> = cautions.map(caution).collect();
        self.add_each("caution", each)
    }

    /// What was told of the eyes, an observation a question.
    pub(super) fn told(&mut self) -> Vec<String> {
        let told = self.dossier.findings.sight.history.iter();
        let each: Vec<Value> = told.map(|told| self.answer(told)).collect();
        self.add_each("told", each)
    }

    fn answer(&self, told: &Told) -> Value {
        let question = told.about.question();
        let mut one = self.observation(&local::in_words(&word(&told.about), question));
        one["effectivePeriod"] = self.period();
        match told.answer {
            ToldAnswer::Yes => one["valueBoolean"] = json!(true),
            ToldAnswer::No => one["valueBoolean"] = json!(false),
            ToldAnswer::Unknown => {
                one["dataAbsentReason"] = absent("asked-unknown", "the person did not know");
            }
        }
        let eye = told.eye.map(|eye| local::concept(&site(eye)));
        put(&mut one, "bodySite", eye);
        let words = told.words.as_ref();
        note(&mut one, words.map(|words| format!("As told: '{words}'")));
        one
    }
}
