//! What the bundle says of the person: a code, unless somebody asks for more. A name goes nowhere else.

use super::super::parts::{choices, field, heading, remark};
use super::super::style::Theme;
use crate::report::Identity;
use eframe::egui::Ui;

/// How much the bundle says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Naming {
    /// The code alone, as a stand-in.
    #[default]
    CodeAlone,
    /// A Patient known by the code.
    Patient,
    /// A Patient with what was typed.
    Named,
}

/// What was chosen and typed; kept for one visit, and nowhere on the disk.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Named {
    /// How much is said.
    pub naming: Naming,
    /// Family name.
    pub family: String,
    /// Given name.
    pub given: String,
    /// Date of birth.
    pub born_on: String,
}

impl Named {
    /// What is said.
    ///
    /// # Errors
    /// If the date is none.
    pub fn identity(&self) -> Result<Identity, String> {
        if self.naming != Naming::Named {
            return Ok(Identity {
                patient: self.naming == Naming::Patient,
                ..Identity::default()
            });
        }
        let typed = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
        let born_on = typed(&self.born_on).map(|text| {
            let expected = "expected a day such as 1970-12-31";
            text.parse()
                .map_err(|_| format!("Born on: {expected}, found '{text}'"))
        });
        Ok(Identity {
            patient: true,
            family: typed(&self.family),
            given: typed(&self.given),
            born_on: born_on.transpose()?,
        })
    }

    /// Draws the choice, and the fields where a name is wished.
    pub(super) fn draw(&mut self, ui: &mut Ui, theme: &Theme) {
        heading(ui, theme, "Person in the FHIR bundle");
        let how = [
            (Naming::CodeAlone, "Code alone"),
            (Naming::Patient, "Patient by code"),
            (Naming::Named, "With a name"),
        ];
        choices(ui, &how, &mut self.naming);
        if self.naming == Naming::Named {
            for (name, hint, text) in [
                ("Family name", "family name", &mut self.family),
                ("Given name", "given name", &mut self.given),
                ("Born on", "born on, such as 1970-12-31", &mut self.born_on),
            ] {
                field(ui, name, hint, 270.0, text);
            }
            remark(
                ui,
                theme,
                "It goes into the bundle alone: not into the report, the tables or a file's name.",
            );
        }
    }
}
