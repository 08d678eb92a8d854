//! A visit as an HL7 FHIR R4B document bundle.
//!
//! It is an export: everything in it is folded from the journal and can be folded again. The same
//! journal gives the same bytes. One observation stands for each ear and frequency, each eye, each
//! line and series done by hand; panels group them. What has no public code has a local one, which
//! says so.

mod beside_sight;
mod by_hand;
mod consistency;
mod devices;
mod hearing;
mod ids;
mod local;
mod parts;
mod sight;
mod source;

use super::{Dossier, hearing_sentences, tables};
use crate::finding::Cue;
use crate::journal::PersonKind;
use crate::quantity::{Moment, Sense};
use crate::standard::loinc;
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use parts::{component, narrative, text};
use serde_json::{Map, Value, json};

/// What the bundle says of the person. The journal knows a code only; anything more has to be
/// given, and is given only when asked for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Identity {
    /// With a Patient of its own; else a coded stand-in.
    pub patient: bool,
    /// Family name.
    pub family: Option<String>,
    /// Given name.
    pub given: Option<String>,
    /// Date of birth.
    pub born_on: Option<Date>,
}

/// The bundle.
#[must_use]
pub fn bundle(dossier: &Dossier, identity: &Identity) -> Value {
    let mut bundle = Bundle::new(dossier, identity);
    bundle.devices();
    let mut sections = Vec::new();
    sections.extend(bundle.hearing());
    sections.extend(bundle.sight());
    sections.extend(bundle.by_hand());
    let journal = bundle.journal();
    let cues = bundle.cues();
    sections.push(section("What else", &bundle.in_words(), &cues));
    sections.push(section(
        "Record",
        &[
            "The journal is the record; all else is folded from it and can be folded again.".into(),
            format!("Head of its chain: {}.", dossier.head.hash),
        ],
        std::slice::from_ref(&journal),
    ));
    let codes = bundle.add("codes", local::system());
    let notices = [
        "Codes whose system is https://veridical.invalid/ are local.".to_owned(),
        loinc::NOTICE.to_owned(),
    ];
    sections.push(section("Codes", &notices, &[codes]));
    bundle.finish(&sections, &journal)
}

/// A section: words, and the resources that it is about.
fn section(title: &str, words: &[String], entries: &[String]) -> Value {
    let mut section = json!({"title": title, "text": narrative(words)});
    if !entries.is_empty() {
        section["entry"] = entries.iter().map(|one| reference(one)).collect();
    }
    section
}

fn reference(to: &str) -> Value {
    json!({"reference": to})
}

/// A bundle that is being put together.
struct Bundle<'a> {
    dossier: &'a Dossier,
    namespace: [u8; 16],
    subject: Value,
    software: String,
    /// Who acted.
    practitioners: Vec<String>,
    entries: Vec<Value>,
}

impl<'a> Bundle<'a> {
    fn new(dossier: &'a Dossier, identity: &Identity) -> Bundle<'a> {
        let mut bundle = Bundle {
            dossier,
            namespace: ids::namespace(&dossier.head.hash),
            subject: json!({
                "identifier": {"system": local::PERSONS, "value": dossier.whose()},
                "display": dossier.whose(),
            }),
            software: String::new(),
            practitioners: Vec::new(),
            entries: Vec::new(),
        };
        bundle.software = bundle.software();
        bundle.practitioners = bundle.practitioners();
        let named = identity.family.is_some() || identity.given.is_some();
        if identity.patient || named || identity.born_on.is_some() {
            bundle.subject = reference(&bundle.patient(identity));
        }
        bundle
    }

    /// Adds a resource under a key that is its own in the bundle; how it is referred to.
    fn add(&mut self, key: &str, mut resource: Value) -> String {
        let url = self.url(key);
        let id = url.trim_start_matches("urn:uuid:");
        // The id stands after the type, as readers expect it.
        let mut ordered = Map::new();
        if let Value::Object(fields) = &mut resource {
            ordered.extend(fields.shift_remove_entry("resourceType"));
            ordered.insert("id".into(), json!(id));
            ordered.append(fields);
        }
        self.entries
            .push(json!({"fullUrl": url.as_str(), "resource": Value::Object(ordered)}));
        url
    }

    /// Adds resources of one sort, numbered from 1; how each is referred to.
    fn add_each(&mut self, key: &str, all: Vec<Value>) -> Vec<String> {
        let numbered = (1..).zip(all);
        numbered
            .map(|(number, one)| self.add(&format!("{key}-{number}"), one))
            .collect()
    }

    /// How a resource of this key is referred to.
    fn url(&self, key: &str) -> String {
        format!("urn:uuid:{}", ids::uuid(self.namespace, key))
    }

    fn patient(&mut self, identity: &Identity) -> String {
        let mut patient = json!({
            "resourceType": "Patient",
            "identifier": [{"system": local::PERSONS, "value": self.dossier.whose()}],
        });
        if identity.family.is_some() || identity.given.is_some() {
            let mut name = Map::new();
            name.extend(
                identity
                    .family
                    .iter()
                    .map(|name| ("family".into(), json!(name))),
            );
            name.extend(
                identity
                    .given
                    .iter()
                    .map(|name| ("given".into(), json!([name]))),
            );
            patient["name"] = json!([name]);
        }
        if let Some(born_on) = identity.born_on {
            patient["birthDate"] = json!(born_on.to_string());
        }
        self.add("patient", patient)
    }

    /// What every observation has.
    fn observation(&self, code: &Value) -> Value {
        let mut one = json!({
            "resourceType": "Observation",
            "status": self.status(),
            "category": [{"coding": [{
                "system": "http://terminology.hl7.org/CodeSystem/observation-category",
                "code": "exam",
                "display": "Exam",
            }]}],
            "code": code,
            "subject": self.subject,
        });
        // Where several acted, the observation does not know which of them.
        if let [only] = &self.practitioners[..] {
            one["performer"] = json!([reference(only)]);
        }
        one
    }

    /// A panel of observations that stand by themselves.
    fn panel(&mut self, key: &str, code: &Value, members: &[String]) -> String {
        let mut panel = self.observation(code);
        panel["effectivePeriod"] = self.period();
        panel["issued"] = json!(self.dossier.ended.to_string());
        panel["hasMember"] = members.iter().map(|one| reference(one)).collect();
        self.add(key, panel)
    }

    /// A report of one sense.
    fn diagnostic(&mut self, sense: Sense, code: &Value, results: &[String]) -> String {
        let report = json!({
            "resourceType": "DiagnosticReport",
            "status": self.status(),
            "code": code,
            "subject": self.subject,
            "effectivePeriod": self.period(),
            "issued": self.dossier.ended.to_string(),
            "result": results.iter().map(|one| reference(one)).collect::<Vec<_>>(),
            "conclusion": self.dossier.findings.caution,
        });
        self.add(&format!("report-{sense}"), report)
    }

    /// Final once the visit is closed.
    fn status(&self) -> &'static str {
        if self.dossier.record.closed() {
            "final"
        } else {
            "preliminary"
        }
    }

    fn at(&self, moment: Moment) -> Timestamp {
        let since = SignedDuration::from_micros(moment.micros());
        self.dossier
            .began
            .saturating_add(since)
            .unwrap_or(self.dossier.began)
    }

    /// Of the whole visit.
    fn period(&self) -> Value {
        let (start, end) = (self.dossier.began, self.dossier.ended);
        json!({"start": start.to_string(), "end": end.max(start).to_string()})
    }

    /// From the first to the last of these moments; none of none.
    fn between(&self, moments: impl Iterator<Item = Moment>) -> Option<Value> {
        let ends = moments.fold(None, |ends: Option<(Moment, Moment)>, at| {
            Some(ends.map_or((at, at), |(first, last)| (first.min(at), last.max(at))))
        });
        let (first, last) = ends?;
        let (start, end) = (self.at(first).to_string(), self.at(last).to_string());
        Some(json!({"start": start, "end": end}))
    }

    /// Criteria that are met, each with how soon it wants attention.
    fn cues(&mut self) -> Vec<String> {
        let met = |cue: &Cue| {
            let mut one = self.observation(&local::concept("criterion-met"));
            one["effectivePeriod"] = self.period();
            one["valueString"] = json!(cue.what);
            note(
                &mut one,
                [format!("{}.", cue.why), format!("{}.", cue.source)],
            );
            let urgency = local::concept(&tables::word(&cue.urgency));
            one["component"] = json!([component("urgency", "CodeableConcept", urgency)]);
            one
        };
        let each: Vec<Value> = self.dossier.findings.cues.iter().map(met).collect();
        self.add_each("cue", each)
    }

    /// What else there is to say, in words.
    fn in_words(&self) -> Vec<String> {
        let findings = &self.dossier.findings;
        let mut words = hearing_sentences(findings);
        words.extend(findings.cues.iter().map(|cue| {
            let soon = tables::word(&cue.urgency);
            format!(
                "To look into ({soon}): {} ({}); {}.",
                cue.what, cue.why, cue.source
            )
        }));
        words.extend(findings.without_bone.clone());
        words.extend(
            findings
                .consistency
                .any_adverse_sentence()
                .map(|sentence| format!("{sentence}.")),
        );
        words.push(format!(
            "Set-up '{}'; plan '{}'; made by {}.",
            findings.setup, self.dossier.record.opening.plan.name, findings.program
        ));
        words.push(findings.caution.clone());
        words
    }

    fn finish(mut self, sections: &[Value], journal: &str) -> Value {
        let dossier = self.dossier;
        let ended = dossier.ended.to_string();
        let composition = json!({
            "resourceType": "Composition",
            "status": self.status(),
            "type": local::in_words("visit", "Hearing and sight, measured and observed"),
            "category": self.categories(),
            "subject": self.subject,
            "date": ended,
            "author": self.authors(),
            "title": "What was measured and observed in a visit",
            "event": [{"period": self.period()}],
            "section": sections,
        });
        let composition = self.add("composition", composition);
        // A document begins with what it is composed of (constraint bdl-11).
        self.entries.rotate_right(1);
        self.provenance(&composition, journal);
        let identifier = ids::uuid(self.namespace, "bundle");
        let mut bundle = json!({
            "resourceType": "Bundle",
            "id": identifier,
            "identifier": {"system": "urn:ietf:rfc:3986", "value": format!("urn:uuid:{identifier}")},
            "type": "document",
            "timestamp": ended,
            "entry": self.entries,
        });
        let opening = &dossier.record.opening;
        let living = matches!(opening.person, PersonKind::Living { .. });
        if !living || opening.set_up.is_simulated() {
            bundle["meta"] = json!({"security": [{
                "system": "http://terminology.hl7.org/CodeSystem/v3-ActReason",
                "code": "HTEST",
                "display": "test health data",
            }]});
        }
        bundle
    }

    /// The program, and whoever acted with it.
    fn authors(&self) -> Vec<Value> {
        let all = std::iter::once(&self.software).chain(&self.practitioners);
        all.map(|one| reference(one)).collect()
    }

    fn categories(&self) -> Value {
        let plan = &self.dossier.record.opening.plan;
        let mut all = Vec::new();
        if plan.hearing.is_some() {
            let words = "Audiology study";
            all.push(parts::loinc(loinc::HEARING_STUDY, Some(words), words));
        }
        if plan.sight.is_some() {
            let words = "Visual acuity study";
            all.push(parts::loinc(loinc::ACUITY_STUDY, Some(words), words));
        }
        if plan.bedside.is_some() || all.is_empty() {
            all.push(local::concept("by-hand"));
        }
        json!(all)
    }
}

/// Adds a field where there is a value.
fn put(resource: &mut Value, field: &str, value: Option<Value>) {
    if let Some(value) = value {
        resource[field] = value;
    }
}

/// Adds notes where there are any.
fn note(resource: &mut Value, notes: impl IntoIterator<Item = String>) {
    let notes: Vec<Value> = notes.into_iter().map(text).collect();
    if !notes.is_empty() {
        resource["note"] = json!(notes);
    }
}
