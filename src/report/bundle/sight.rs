//! Sight: an observation for each eye and way in which it was asked, the grades, and what was told.

use super::parts::{absent, component, count_of, quantity, range, text};
use super::{Bundle, consistency, local, note, parts, put, section};
use crate::finding::{SightFinding, SightFindings, SightStatus};
use crate::quantity::{Correction, Eye, LogMar, Sense};
use crate::report::tables::word;
use crate::standard::loinc::Corrected;
use crate::standard::{loinc, ucum};
use serde_json::{Value, json};

/// Nearer than this it is no distance acuity, mm.
const NEAR_MM: f64 = 1000.0;

impl Bundle<'_> {
    /// The section on sight; none where the visit was not about it.
    pub(super) fn sight(&mut self) -> Option<Value> {
        let findings = &self.dossier.findings;
        self.dossier.record.opening.plan.sight.as_ref()?;
        let mut members = Vec::new();
        for (at, (eye, finding)) in findings.sight.all().enumerate() {
            let one = self.acuity(eye, finding);
            // Those of each eye come first; an eye can be asked in many ways.
            let key = match at.checked_sub(Eye::ALL.len()) {
                None => format!("acuity-{eye}"),
                Some(further) => format!("acuity-{eye}-further-{}", further + 1),
            };
            members.push(self.add(&key, one));
        }
        let words = "Visual acuity panel";
        let code = parts::loinc(loinc::ACUITY_PANEL, Some(words), words);
        let mut results = vec![self.panel("acuity-panel", &code, &members)];
        results.extend(self.two_distances());
        results.extend(self.category());
        results.extend(self.functional_acuity());
        if let Some(found) = &findings.consistency.sight {
            let of = consistency::observation(self, Sense::Sight, found);
            results.push(self.add("consistency-sight", of));
        }
        let study = "Visual acuity study";
        let code = parts::loinc(loinc::ACUITY_STUDY, Some(study), study);
        let report = self.diagnostic(Sense::Sight, &code, &results);
        let obtained = findings.as_obtained.sight;
        let each = findings.sight.all();
        let mut words: Vec<String> = each
            .map(|(eye, finding)| in_words(eye, finding, obtained))
            .collect();
        words.extend(beside(&findings.sight));
        let mut entries = vec![report];
        entries.extend(self.cautions());
        entries.extend(self.told());
        Some(section("Sight", &words, &entries))
    }

    /// The category of vision impairment, with what it rests on.
    fn category(&mut self) -> Option<String> {
        let category = self
            .dossier
            .findings
            .sight
            .grades
            .as_ref()?
            .category
            .clone()?;
        let mut one = self.observation(&local::concept("vision-impairment"));
        one["effectivePeriod"] = self.period();
        one["valueCodeableConcept"] = text(category.title);
        let mut notes = vec![format!("{}; {}.", category.scheme, category.by)];
        notes.extend(
            category
                .limits_within_uncertainty
                .iter()
                .map(|limit| format!("The limit {limit} lies within the uncertainty.")),
        );
        note(&mut one, notes);
        Some(self.add("vision-impairment", one))
    }

    fn functional_acuity(&mut self) -> Option<String> {
        let grades = self.dossier.findings.sight.grades.as_ref()?;
        let found = grades.functional_acuity.clone()?;
        let mut one = self.observation(&local::concept("functional-acuity"));
        one["effectivePeriod"] = self.period();
        one["valueQuantity"] = quantity(found.score, ucum::ONE);
        note(&mut one, [format!("{}.", found.scheme)]);
        let plain =
            |code: &str, value: f64, unit| component(code, "Quantity", quantity(value, unit));
        one["component"] = json!([
            plain("u-combined", found.u_score, ucum::ONE),
            plain("acuity-impairment", found.impairment_percent, ucum::PERCENT),
        ]);
        Some(self.add("functional-acuity", one))
    }

    fn acuity(&self, eye: Eye, finding: &SightFinding) -> Value {
        let mut one = self.observation(&code(eye, finding));
        let record = &self.dossier.record;
        let asked = record.asked().into_iter();
        let asked = asked.filter(|asked| asked.eye == eye && asked.number == finding.asking);
        let moments: Vec<_> = asked
            .flat_map(|asked| {
                record
                    .of_asked(&asked)
                    .map(|trial| trial.began)
                    .collect::<Vec<_>>()
            })
            .collect();
        put(
            &mut one,
            "effectivePeriod",
            self.between(moments.into_iter()),
        );
        one["issued"] = json!(self.dossier.ended.to_string());
        self.state_acuity(&mut one, finding);
        one["bodySite"] = local::concept(&site(eye));
        if finding.optotype.is_some() {
            one["method"] = local::concept("optotypes");
            put(&mut one, "device", self.screen());
        }
        let obtained = self.dossier.findings.as_obtained.sight;
        let mut notes: Vec<String> = finding.reason.clone().into_iter().collect();
        if obtained {
            notes.push("As obtained, no acuity.".into());
        }
        note(&mut one, notes);
        let components = components(finding, obtained);
        if !components.is_empty() {
            one["component"] = json!(components);
        }
        one
    }

    /// The fraction with the distance really used (LOINC's property of these terms is a ratio of
    /// lengths), or why there is none.
    fn state_acuity(&self, one: &mut Value, finding: &SightFinding) {
        let status = word(&finding.status);
        let (code, why) = match status.as_str() {
            "measured" if self.dossier.findings.as_obtained.sight => (
                "unknown",
                "the answers do not agree with one another: what was obtained is no acuity",
            ),
            "measured" => {
                if let (Some(log_mar), Some(distance)) = (finding.log_mar, finding.distance_mm) {
                    one["valueRatio"] = fraction(log_mar, distance.0);
                    return;
                }
                ("unknown", "no acuity")
            }
            "better_than_smallest_shown" => (
                "unknown",
                "better than the smallest optotype that the screen shows",
            ),
            "worse_than_largest_shown" => (
                "unknown",
                "worse than the largest optotype that the screen shows",
            ),
            "counting_fingers" | "hand_motion" | "light_perception" | "no_light_perception" => {
                one["valueCodeableConcept"] = local::concept(&status);
                return;
            }
            "screened" => {
                let passed = finding.screened.is_some_and(|one| one.passed == Some(true));
                let read = if passed { "size-read" } else { "size-not-read" };
                one["valueCodeableConcept"] = local::concept(read);
                return;
            }
            "not_tested" => ("not-performed", "not tested"),
            "declined" => ("asked-declined", "the person did not wish it"),
            _ => ("unknown", "begun and not decided"),
        };
        one["dataAbsentReason"] = absent(code, why);
    }
}

/// 4 m over 5.04 m at 0.1 logMAR: what this eye reads at the numerator, a detail of 1 minute of
/// arc shows at the denominator.
fn fraction(log_mar: f64, distance_mm: f64) -> Value {
    let distance_m = distance_mm / 1000.0;
    let denominator_m = distance_m * LogMar(log_mar).detail().0;
    json!({
        "numerator": quantity(distance_m, ucum::METRE),
        "denominator": quantity(denominator_m, ucum::METRE),
    })
}

fn components(finding: &SightFinding, obtained: bool) -> Vec<Value> {
    let log_mar = |code: &str, value: Option<f64>| {
        value.map(|value| component(code, "Quantity", quantity(value, ucum::LOG_MAR)))
    };
    let mut all = Vec::new();
    let shown = if obtained { "as-obtained" } else { "log-mar" };
    all.extend(log_mar(shown, finding.log_mar));
    if !obtained {
        all.extend(
            finding
                .decimal
                .map(|value| component("decimal-acuity", "Quantity", quantity(value, ucum::ONE))),
        );
        all.extend(log_mar("chart-log-mar", finding.chart_log_mar));
        all.extend(log_mar("midpoint", finding.midpoint_log_mar));
    }
    all.extend(log_mar("size-bound", finding.bound_log_mar));
    all.extend(log_mar("sd-answers", finding.sd_log_mar));
    all.extend(log_mar("u-combined", finding.u_log_mar));
    all.extend(
        finding
            .interval_90_log_mar
            .map(|ends| component("interval-90", "Range", range(ends, ucum::LOG_MAR))),
    );
    all.extend(
        finding
            .m_units
            .filter(|_| !obtained)
            .map(|value| component("m-units", "Quantity", quantity(value, ucum::ONE))),
    );
    if let Some(rows) = &finding.rows {
        all.extend(log_mar("rows-score", Some(rows.log_mar)));
        all.extend(count_of(rows.right, rows.of).map(|of| component("rows-score", "Ratio", of)));
    }
    if let Some(screened) = &finding.screened {
        all.extend(log_mar("size-asked", Some(screened.log_mar.0)));
        all.extend(
            count_of(screened.right, screened.of)
                .map(|ratio| component("right-answers", "Ratio", ratio)),
        );
        let p = quantity(screened.p_by_guessing, ucum::ONE);
        all.push(component("passed-by-guessing", "Quantity", p));
    }
    if finding.status != SightStatus::NotTested {
        all.push(component("asked-how", "String", json!(asked_how(finding))));
    }
    if let Some(set) = finding.optotype {
        let crowded = if finding.crowded { ", crowded" } else { "" };
        let words = format!("{}{crowded}", word(&set));
        all.push(component("optotype", "String", json!(words)));
        all.push(component("correction", "String", json!(finding.correction)));
    }
    for size in &finding.by_size {
        let Some(ratio) = count_of(size.right, size.of) else {
            continue;
        };
        let mut one = component("named-rightly", "Ratio", ratio);
        let words = format!("Named rightly at {:.2} logMAR", size.log_mar.0);
        one["code"] = local::in_words("named-rightly", &words);
        all.push(one);
    }
    all
}

/// In which way, and through what.
fn asked_how(finding: &SightFinding) -> String {
    let way = word(&finding.procedure).replace('_', " ");
    if finding.pinhole {
        format!("{way}, through a pinhole")
    } else {
        way
    }
}

/// What belongs to the figures, in words: two distances, what has to be known, what was told.
fn beside(sight: &SightFindings) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    words.extend(sight.distances.iter().map(|pair| {
        let site = site(pair.eye).replace('-', " ");
        format!("Two distances, {site}: {}.", pair.statement)
    }));
    words.extend(sight.cautions.iter().cloned());
    words.extend(sight.history.iter().map(|told| {
        let eye = told.eye.map_or(String::new(), |eye| {
            format!(", {}", site(eye).replace('-', " "))
        });
        let said = told.words.as_ref();
        let said = said.map_or(String::new(), |said| format!(": '{said}'"));
        let question = told.about.question();
        format!("Told: {question} {}{eye}{said}.", word(&told.answer))
    }));
    words
}

/// A public code says how the eye was corrected, and none says 'as worn' or 'through a pinhole'.
fn code(eye: Eye, finding: &SightFinding) -> Value {
    let corrected = match finding.correction {
        Correction::Without => Some(Corrected::No),
        Correction::Best => Some(Corrected::Best),
        Correction::AsWorn | Correction::Own | Correction::OwnNear => None,
    };
    let near = finding
        .distance_mm
        .is_some_and(|distance| distance.0 < NEAR_MM);
    let public = corrected
        .filter(|_| !(finding.pinhole || near && eye == Eye::Both))
        .and_then(|corrected| loinc::acuity(eye, corrected));
    let side = match eye {
        Eye::Right => "right eye",
        Eye::Left => "left eye",
        Eye::Both => "both eyes",
    };
    let words = format!("Visual acuity, {side}, {}", finding.correction);
    match public {
        Some(code) => parts::loinc(code, None, &words),
        None if finding.pinhole => {
            local::in_words("acuity-pinhole", &format!("{words}, through a pinhole"))
        }
        None if eye == Eye::Both && corrected.is_some() => {
            local::in_words("acuity-both-eyes", &words)
        }
        None => local::in_words("acuity-as-worn", &words),
    }
}

pub(super) fn site(eye: Eye) -> String {
    match eye {
        Eye::Right | Eye::Left => format!("{eye}-eye"),
        Eye::Both => "both-eyes".into(),
    }
}

fn in_words(eye: Eye, finding: &SightFinding, obtained: bool) -> String {
    let from = finding.distance_mm;
    let from = from.map_or(String::new(), |mm| format!(" from {} m", mm.0 / 1000.0));
    let site = site(eye).replace('-', " ");
    let site = match finding.status {
        SightStatus::NotTested => site,
        _ => format!("{site}, {}{from}", asked_how(finding)),
    };
    let mark = if obtained {
        " (as obtained, no acuity)"
    } else {
        ""
    };
    match (&finding.snellen, finding.log_mar) {
        (Some(fraction), Some(log_mar)) => {
            format!("{site}{mark}: {fraction}, {log_mar:.2} logMAR.")
        }
        _ => format!("{site}: {}.", word(&finding.status).replace('_', " ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// DICOM PS3.17, RR.2: 0.80 is 20/125 or 6/38, 1.00 is 20/200, 1.30 is 20/400 or 6/120 (section
    /// RR.2.2). Printed denominators are rounded to the usual lines, by up to 3 %.
    #[test]
    fn the_ratio_is_the_published_fraction() {
        for (log_mar, numerator_m, denominator_m) in [
            (0.8, 6.0, 38.0),
            (0.9, 6.0, 48.0),
            (1.0, 20.0, 200.0),
            (1.1, 6.0, 75.0),
            (1.2, 6.0, 95.0),
            (1.3, 6.0, 120.0),
            (1.4, 6.0, 150.0),
            (1.5, 6.0, 190.0),
            (0.8, 20.0, 125.0),
            (0.0, 4.0, 4.0),
        ] {
            let ratio = fraction(log_mar, numerator_m * 1000.0);
            let side = |name: &str| ratio[name]["value"].as_f64().unwrap();
            assert!((side("numerator") - numerator_m).abs() < 1e-12);
            let off = (side("denominator") / denominator_m - 1.0).abs();
            assert!(off < 0.03, "{log_mar}: {ratio}");
        }
    }

    #[test]
    fn only_a_known_correction_has_a_public_code() {
        let public = |eye, correction: Correction, mm: f64| {
            let mut finding = blank();
            finding.correction = correction;
            finding.distance_mm = Some(crate::quantity::Mm(mm));
            let code = code(eye, &finding);
            let system = code["coding"][0]["system"].as_str().unwrap().to_owned();
            (system == loinc::SYSTEM)
                .then(|| code["coding"][0]["code"].as_str().unwrap().to_owned())
        };
        assert_eq!(public(Eye::Right, Correction::AsWorn, 4000.0), None);
        assert_eq!(
            public(Eye::Right, Correction::Without, 4000.0).as_deref(),
            Some("98499-7")
        );
        assert_eq!(
            public(Eye::Left, Correction::Without, 4000.0).as_deref(),
            Some("98498-9")
        );
        assert_eq!(
            public(Eye::Both, Correction::Without, 4000.0).as_deref(),
            Some("98506-9")
        );
        assert_eq!(public(Eye::Both, Correction::Without, 400.0), None);
    }

    fn blank() -> SightFinding {
        serde_json::from_value(json!({
            "status": "not_tested", "crowded": false, "correction": "as_worn"
        }))
        .unwrap()
    }
}
