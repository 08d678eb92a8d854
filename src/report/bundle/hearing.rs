//! Hearing: an observation for each ear and frequency, the means, the grade, a screening.

use super::parts::{absent, component, decibels, level, off_scale, quantity, range, text};
use super::{Bundle, consistency, local, note, parts, put, section};
use crate::finding::{
    EarAverages, HearingFinding, HearingFindings, HearingStatus, Masking, ScreeningFinding,
    ScreeningFindings,
};
use crate::quantity::{Ear, Hz, Level, Moment, Scale, Sense};
use crate::report::tables::word;
use crate::standard::{loinc, ucum};
use serde_json::{Value, json};

const MEAN_OF: [f64; 4] = [500.0, 1000.0, 2000.0, 4000.0];

impl Bundle<'_> {
    /// The section on hearing; none where the visit was not about it.
    pub(super) fn hearing(&mut self) -> Option<Value> {
        let dossier = self.dossier;
        let findings = &dossier.findings;
        dossier.record.opening.plan.hearing.as_ref()?;
        let mut members = Vec::new();
        for (ear, finding) in findings.hearing.all() {
            let threshold = self.threshold(ear, finding);
            members.push(self.add(&threshold_key(ear, finding), threshold));
        }
        let panel = "Pure tone threshold audiometry panel";
        let code = parts::loinc(loinc::HEARING_PANEL, Some(panel), panel);
        let mut results = Vec::new();
        if !members.is_empty() {
            results.push(self.panel("hearing-panel", &code, &members));
        }
        for ear in Ear::BOTH {
            results.extend(self.mean(ear));
        }
        results.extend(self.grade());
        for (ear, screened) in findings.screening.iter().flat_map(ScreeningFindings::all) {
            let screening = self.screening(ear, screened);
            let key = format!("screening-{ear}-{}", screened.hz.0);
            results.push(self.add(&key, screening));
        }
        if let Some(found) = &findings.consistency.hearing {
            let of = consistency::observation(self, Sense::Hearing, found);
            results.push(self.add("consistency-hearing", of));
        }
        let study = "Audiology study";
        let code = parts::loinc(loinc::HEARING_STUDY, Some(study), study);
        let report = self.diagnostic(Sense::Hearing, &code, &results);
        let words = in_words(
            &findings.levels,
            &findings.hearing,
            findings.as_obtained.hearing,
        );
        Some(section("Hearing", &words, &[report]))
    }

    fn threshold(&self, ear: Ear, finding: &HearingFinding) -> Value {
        let dossier = self.dossier;
        let mut one = self.observation(&code(ear, finding, self.scale()));
        put(
            &mut one,
            "effectivePeriod",
            self.between(self.moments(ear, finding)),
        );
        one["issued"] = json!(dossier.ended.to_string());
        self.state(&mut one, finding);
        one["bodySite"] = local::concept(&format!("{ear}-ear"));
        put(&mut one, "method", self.method(finding));
        put(&mut one, "device", self.output(ear));
        note(&mut one, self.notes(finding));
        one["component"] = json!(self.components(finding));
        one
    }

    /// The value, or why there is none. Where the answers do not agree with one another there is
    /// none: what came out is a component that says so.
    fn state(&self, one: &mut Value, finding: &HearingFinding) {
        let (code, why) = match finding.status {
            _ if self.dossier.findings.as_obtained.hearing && finding.stated_db().is_some() => (
                "unknown",
                "the answers do not agree with one another: what was obtained is no threshold",
            ),
            HearingStatus::Measured | HearingStatus::AnsweredAtMinimum => {
                if let Some(threshold) = finding.threshold {
                    one["valueQuantity"] = level(threshold);
                    if finding.status == HearingStatus::AnsweredAtMinimum {
                        // There or lower.
                        one["valueQuantity"]["comparator"] = json!("<=");
                        one["interpretation"] = off_scale("<");
                    }
                    return;
                }
                ("unknown", "no threshold")
            }
            HearingStatus::NoResponseAtMaximum => {
                one["interpretation"] = off_scale(">");
                (
                    "unknown",
                    "no response at the highest level that the set-up presents",
                )
            }
            HearingStatus::NotTested => ("not-performed", "not tested"),
            HearingStatus::Declined => ("asked-declined", "the person did not wish it"),
            HearingStatus::Stopped => ("unknown", "begun and not decided"),
        };
        one["dataAbsentReason"] = absent(code, why);
    }

    fn components(&self, finding: &HearingFinding) -> Vec<Value> {
        let words = self.scale().unit();
        let db = |code: &str, db: Option<f64>| {
            db.map(|db| component(code, "Quantity", quantity(db, ucum::DECIBEL)))
        };
        let of = |code: &str, level: Option<Level>| {
            level.map(|one| component(code, "Quantity", parts::level(one)))
        };
        let obtained = self.dossier.findings.as_obtained.hearing;
        let mut all = vec![component(
            "frequency",
            "Quantity",
            quantity(finding.hz.0, ucum::HERTZ),
        )];
        all.extend(of("as-obtained", finding.threshold.filter(|_| obtained)));
        all.extend(of("highest-level", finding.limit));
        all.extend(of("midpoint", finding.midpoint.filter(|_| !obtained)));
        all.extend(db("sd-answers", finding.sd_db));
        all.extend(db("u-combined", finding.u_db));
        all.extend(finding.interval_90_db.map(|[low, high]| {
            let interval = json!({"low": decibels(low, words), "high": decibels(high, words)});
            component("interval-90", "Range", interval)
        }));
        all.extend(finding.masking.map(|masking| {
            component(
                "masking",
                "CodeableConcept",
                local::concept(&word(&masking)),
            )
        }));
        all.extend(
            finding
                .masker_db
                .map(|ends| component("masking-level", "Range", range(ends, ucum::DECIBEL))),
        );
        all.extend(of("answered-unmasked", finding.unmasked));
        all.extend(
            finding
                .repeat_db
                .map(|db| component("repeat", "Quantity", decibels(db, words))),
        );
        if finding.presentations > 0 {
            all.push(component(
                "presentations",
                "Integer",
                json!(finding.presentations),
            ));
        }
        all
    }

    fn notes(&self, finding: &HearingFinding) -> Vec<String> {
        let mut notes = Vec::new();
        if self.dossier.findings.as_obtained.hearing {
            notes.push("As obtained, not a threshold.".to_owned());
        }
        if let (HearingStatus::NoResponseAtMaximum, Some(limit)) = (finding.status, finding.limit) {
            notes.push(format!(
                "No response at {} {}, the highest level presented.",
                limit.db(),
                limit.scale().unit()
            ));
        }
        notes.extend(finding.not_masked_because.clone());
        if finding.cross_hearing_caution {
            notes.push(
                "Cross-hearing is possible from 40 dB HL, masked or not (ISO 8253-1:2010).".into(),
            );
        }
        if finding.from_neighbours {
            notes.push("It leans on the prior and on neighbouring frequencies.".into());
        }
        notes
    }

    /// Air conduction by which procedure; nothing where nothing was measured.
    fn method(&self, finding: &HearingFinding) -> Option<Value> {
        let plan = self.dossier.record.opening.plan.hearing.as_ref()?;
        let name = plan.then.as_ref().unwrap_or(&plan.procedure);
        let masked = if finding.masking == Some(Masking::Done) {
            ", the other ear masked"
        } else {
            ""
        };
        let words = format!("air conduction, procedure '{name}'{masked}");
        (finding.presentations > 0).then(|| local::in_words(name, &words))
    }

    fn moments(&self, ear: Ear, finding: &HearingFinding) -> impl Iterator<Item = Moment> {
        let hz = finding.hz;
        self.dossier
            .record
            .counted()
            .filter(move |trial| {
                let tone = trial.tone();
                tone.is_some_and(|tone| tone.ear == ear && tone.hz == hz)
            })
            .map(|trial| trial.began)
    }

    fn scale(&self) -> Scale {
        let earphone = self.dossier.record.opening.set_up.earphone.as_ref();
        earphone.map_or(Scale::DbFs, crate::calibration::EarphoneProfile::scale)
    }

    /// The mean of four; absent where a member is missing, and while it is withheld.
    fn mean(&mut self, ear: Ear) -> Option<String> {
        let findings = &self.dossier.findings;
        let asked = |hz: &f64| {
            let all = findings.hearing.ear(ear).iter();
            all.clone()
                .any(|one| one.hz == Hz(*hz) && one.presentations > 0)
        };
        if self.scale() != Scale::DbHl || !MEAN_OF.iter().any(asked) {
            return None;
        }
        let averages = &findings.averages;
        let (of, least_db): (EarAverages, _) = match ear {
            Ear::Right => (averages.right, averages.pta4_at_least.right_db_hl),
            Ear::Left => (averages.left, averages.pta4_at_least.left_db_hl),
        };
        let members = findings.hearing.ear(ear).iter();
        let members: Vec<Value> = members
            .filter(|one| MEAN_OF.contains(&one.hz.0))
            .map(|one| super::reference(&self.url(&threshold_key(ear, one))))
            .collect();
        let mut mean = self.observation(&local::concept("mean-500-1000-2000-4000"));
        mean["effectivePeriod"] = self.period();
        if let Some(db) = of.pta4_db_hl {
            mean["valueQuantity"] = decibels(db, Scale::DbHl.unit());
        } else {
            let why = if findings.as_obtained.hearing {
                "withheld: the answers do not agree with one another"
            } else {
                "not computed: a member has no threshold"
            };
            mean["dataAbsentReason"] = absent("unknown", why);
        }
        mean["bodySite"] = local::concept(&format!("{ear}-ear"));
        mean["derivedFrom"] = json!(members);
        if let Some(db) = least_db {
            let bound = component("at-least", "Quantity", decibels(db, Scale::DbHl.unit()));
            mean["component"] = json!([bound]);
        }
        Some(self.add(&format!("mean-{ear}"), mean))
    }

    fn grade(&mut self) -> Option<String> {
        let grade = self.dossier.findings.averages.who_2021.clone()?;
        let mut one = self.observation(&local::concept("who-2021-grade"));
        one["effectivePeriod"] = self.period();
        one["valueCodeableConcept"] = text(grade);
        Some(self.add("who-2021", one))
    }

    fn screening(&self, ear: Ear, found: &ScreeningFinding) -> Value {
        let mut one = self.observation(&local::concept("screening"));
        one["effectivePeriod"] = self.period();
        match word(&found.found).as_str() {
            "not_tested" => one["dataAbsentReason"] = absent("not-performed", "not tested"),
            found => one["valueCodeableConcept"] = local::concept(found),
        }
        one["bodySite"] = local::concept(&format!("{ear}-ear"));
        put(&mut one, "device", self.output(ear));
        let mut components = vec![component(
            "frequency",
            "Quantity",
            quantity(found.hz.0, ucum::HERTZ),
        )];
        components.extend(
            found
                .level
                .map(|level| component("level", "Quantity", parts::level(level))),
        );
        components.extend(
            parts::count_of(found.answered, found.of)
                .map(|ratio| component("answered", "Ratio", ratio)),
        );
        one["component"] = json!(components);
        one
    }
}

fn threshold_key(ear: Ear, finding: &HearingFinding) -> String {
    format!("threshold-{ear}-{}", finding.hz.0)
}

/// Only a hearing level is a hearing threshold.
fn code(ear: Ear, finding: &HearingFinding, scale: Scale) -> Value {
    let hz = finding.hz;
    let words = format!("{ear} ear, {} Hz, air conduction", hz.0);
    match (scale, loinc::threshold(ear, hz)) {
        (Scale::DbHl, Some(code)) => {
            let display = loinc::threshold_display(ear, hz);
            parts::loinc(code, Some(&display), &format!("Hearing threshold, {words}"))
        }
        (Scale::DbHl, None) => {
            local::in_words("hearing-threshold", &format!("Hearing threshold, {words}"))
        }
        (Scale::DbReExaminer, _) => {
            let words = format!("Level against the examiner's ears, {words}");
            local::in_words("level-re-examiner", &words)
        }
        (Scale::DbFs, _) => local::in_words(
            "level-re-full-scale",
            &format!("Level re full scale, {words}"),
        ),
    }
}

/// A line an ear.
fn in_words(levels: &str, hearing: &HearingFindings, as_obtained: bool) -> Vec<String> {
    let line = |ear: Ear| {
        let each: Vec<String> = hearing.ear(ear).iter().map(one_in_words).collect();
        let mark = if as_obtained {
            ", as obtained, not thresholds"
        } else {
            ""
        };
        (!each.is_empty()).then(|| format!("{ear} ear, {levels}{mark}: {}.", each.join("; ")))
    };
    let lines: Vec<String> = Ear::BOTH.into_iter().filter_map(line).collect();
    if lines.is_empty() {
        vec!["Not tested.".into()]
    } else {
        lines
    }
}

fn one_in_words(one: &HearingFinding) -> String {
    let hz = one.hz.0;
    let db = one
        .stated_db()
        .map_or(String::new(), |db| format!("{db:.0}"));
    match one.status {
        HearingStatus::Measured => format!("{hz} Hz {db}"),
        HearingStatus::NoResponseAtMaximum => format!("{hz} Hz no response at {db}"),
        HearingStatus::AnsweredAtMinimum => format!("{hz} Hz {db} or better"),
        HearingStatus::NotTested => format!("{hz} Hz not tested"),
        HearingStatus::Declined => format!("{hz} Hz declined"),
        HearingStatus::Stopped => format!("{hz} Hz not decided"),
    }
}
