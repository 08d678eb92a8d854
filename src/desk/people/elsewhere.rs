//! What comes into the store from elsewhere: journals to the byte, and results that somebody else measured.

use super::{Records, Wanted};
use crate::desk::parts::{field, heading, remark};
use crate::desk::style::Theme;
use crate::errand;
use crate::journal::{EarlierThreshold, OutsideAcuity, OutsideResults};
use crate::quantity::{Eye, Hz};
use eframe::egui::{Button, CollapsingHeader, Ui};
use std::path::PathBuf;

/// What is typed of it.
#[derive(Debug, Clone, Default)]
pub struct Typed {
    journal: String,
    source: String,
    on: String,
    /// Right and left: `1000:25 2000:30`.
    ears: [String; 2],
    /// Right, left, both: logMAR.
    eyes: [String; 3],
    remark: String,
}

const EYES: [(Eye, &str); 3] = [
    (Eye::Right, "Right eye, logMAR"),
    (Eye::Left, "Left eye, logMAR"),
    (Eye::Both, "Both eyes, logMAR"),
];
const EARS: [&str; 2] = ["Right ear, Hz:dB HL", "Left ear, Hz:dB HL"];

impl Typed {
    /// The results as they were typed.
    fn results(&self) -> Result<OutsideResults, String> {
        let on = self.on.trim();
        let on = (!on.is_empty()).then(|| on.parse()).transpose();
        let on = on.map_err(|_| {
            format!(
                "Measured on: expected year-month-day, for instance 2025-03-09; found '{}'",
                self.on
            )
        })?;
        let [right, left] = [0, 1].map(|at| thresholds(EARS[at], &self.ears[at]));
        let mut sight = Vec::new();
        for ((eye, name), typed) in EYES.iter().zip(&self.eyes) {
            let typed = typed.trim();
            if typed.is_empty() {
                continue;
            }
            let log_mar = number(typed)
                .ok_or_else(|| format!("{name}: expected a number such as 0.3, found '{typed}'"))?;
            sight.push(OutsideAcuity {
                eye: *eye,
                log_mar,
                correction: String::new(),
            });
        }
        let results = OutsideResults {
            source: self.source.trim().to_owned(),
            on,
            right: right?,
            left: left?,
            sight,
            remark: self.remark.trim().to_owned(),
        };
        results.check().map_err(|error| error.to_string())?;
        Ok(results)
    }
}

/// A number with a point, or with a comma as many write it.
fn number(typed: &str) -> Option<f64> {
    let value: f64 = typed.replace(',', ".").parse().ok()?;
    value.is_finite().then_some(value)
}

fn thresholds(name: &str, typed: &str) -> Result<Vec<EarlierThreshold>, String> {
    let one = |pair: &str| {
        let (hz, level) = pair.split_once(':')?;
        Some(EarlierThreshold {
            hz: Hz(number(hz)?),
            threshold_db_hl: number(level)?,
            sd_db: None,
        })
    };
    let wrong = |pair: &str| {
        format!("{name}: expected pairs such as 1000:25 with spaces between, found '{pair}'")
    };
    typed
        .split_whitespace()
        .map(|pair| one(pair).ok_or_else(|| wrong(pair)))
        .collect()
}

impl Records {
    /// Brings in the journal whose file was typed: for the chosen person, or as it says itself.
    pub fn bring_in(&mut self) {
        let file = PathBuf::from(self.elsewhere.journal.trim());
        let person = self.chosen.as_ref().map(|one| one.code.clone());
        let Some(archive) = &mut self.archive else {
            return;
        };
        match errand::import(archive, &file, person.as_ref()) {
            Ok(brought) => {
                self.elsewhere.journal.clear();
                let cut = if brought.cut_line_left_out {
                    " Its last line was cut off and stayed out."
                } else {
                    ""
                };
                let told = format!("Brought in as {}, to the byte.{cut}", brought.visit);
                self.choose_again();
                self.message = Some(told);
            }
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    /// Enters the results that were typed, for the chosen person.
    pub fn enter_results(&mut self) {
        let Some(person) = self.chosen.as_ref().map(|one| one.code.clone()) else {
            return;
        };
        let Some(archive) = &mut self.archive else {
            return;
        };
        let entered = self.elsewhere.results().and_then(|results| {
            let entered = errand::enter_results(archive, &person, results);
            entered.map_err(|error| error.to_string())
        });
        match entered {
            Ok(visit) => {
                self.elsewhere = Typed::default();
                self.choose_again();
                self.message = Some(format!("Entered as {visit}, marked as measured elsewhere."));
            }
            Err(what) => self.message = Some(what),
        }
    }
}

/// Draws what brings something in.
pub(super) fn draw(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    const WIDTH: f32 = 400.0;
    let mut wanted = None;
    let for_person = records.chosen.is_some();
    let typed = &mut records.elsewhere;
    CollapsingHeader::new("Bring in from elsewhere").show(ui, |ui| {
        heading(ui, theme, "A journal, to the byte");
        field(ui, "Journal file", "where journal.jsonl lies", WIDTH, &mut typed.journal);
        let ready = !typed.journal.trim().is_empty();
        if ui.add_enabled(ready, Button::new("Bring this journal in")).clicked() {
            wanted = Some(Wanted::BringIn);
        }
        if !for_person {
            remark(ui, theme, "Choose a person to file it under, or to enter results that somebody else measured.");
            return;
        }
        heading(ui, theme, "Results that somebody else measured; they stay marked, and no figure of ours is made of them");
        field(ui, "Source", "whose letter, which paper", WIDTH, &mut typed.source);
        field(ui, "Measured on", "year-month-day", WIDTH, &mut typed.on);
        for (name, text) in EARS.iter().zip(&mut typed.ears) {
            field(ui, name, "500:10 1000:15 2000:20", WIDTH, text);
        }
        for ((_, name), text) in EYES.iter().zip(&mut typed.eyes) {
            field(ui, name, "0.1", WIDTH, text);
        }
        field(ui, "What else it says", "in words", WIDTH, &mut typed.remark);
        let ready = !typed.source.trim().is_empty();
        if ui.add_enabled(ready, Button::new("Enter these results")).clicked() {
            wanted = Some(Wanted::EnterResults);
        }
    });
    wanted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typed_results_are_read_or_refused_by_name() {
        let mut typed = Typed {
            source: "letter of the harbour clinic".into(),
            on: "2025-03-09".into(),
            ears: ["500:10 1000:15,5".into(), String::new()],
            eyes: ["0,3".into(), String::new(), "-0.1".into()],
            ..Typed::default()
        };
        let results = typed.results().unwrap();
        let levels: Vec<(f64, f64)> = results
            .right
            .iter()
            .map(|one| (one.hz.0, one.threshold_db_hl))
            .collect();
        assert_eq!(levels, [(500.0, 10.0), (1000.0, 15.5)]);
        assert!(results.left.is_empty());
        let eyes: Vec<(Eye, f64)> = results
            .sight
            .iter()
            .map(|one| (one.eye, one.log_mar))
            .collect();
        assert_eq!(eyes, [(Eye::Right, 0.3), (Eye::Both, -0.1)]);
        let refused = |typed: &Typed, name: &str, found: &str| {
            let what = typed.results().unwrap_err();
            assert!(
                what.starts_with(name) && what.contains("expected"),
                "{what}"
            );
            assert!(what.contains(found), "{what}");
        };
        typed.ears[1] = "1000=25".into();
        refused(&typed, "Left ear", "1000=25");
        typed.ears[1] = "1000:NaN".into();
        refused(&typed, "Left ear", "1000:NaN");
        typed.ears[1] = "1000:900".into();
        refused(&typed, "left.threshold_db_hl", "900");
        typed.ears[1].clear();
        typed.eyes[1] = "6/6".into();
        refused(&typed, "Left eye", "6/6");
        typed.eyes[1].clear();
        typed.on = "March".into();
        refused(&typed, "Measured on", "March");
        let empty = Typed {
            source: "a letter".into(),
            ..Typed::default()
        };
        refused(&empty, "right, left, sight, remark", "none");
    }
}
