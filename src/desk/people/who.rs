//! Who a person is, corrected; who acts, and who answers for a trainee.

use super::{NewPerson, Records, Wanted};
use crate::desk::parts::{field, remark};
use crate::desk::style::Theme;
use crate::store::{Code, FoundPerson, FoundUser, Identity, Role};
use eframe::egui::{Button, CollapsingHeader, Ui};

impl NewPerson {
    /// As it is known.
    pub(super) fn of(known: &FoundPerson) -> NewPerson {
        NewPerson {
            name: known.name.clone().unwrap_or_default(),
            born: known.born.clone().unwrap_or_default(),
            number: known.number_elsewhere.clone().unwrap_or_default(),
        }
    }

    /// What was typed, if the day can be read.
    pub(super) fn identity(&self) -> Result<Identity, String> {
        let born = self.born.trim();
        let born = (!born.is_empty()).then(|| born.parse()).transpose();
        let born = born.map_err(|_| {
            "Day of birth: expected year-month-day, for instance 1951-03-09.".to_owned()
        })?;
        let number = self.number.trim();
        Ok(Identity {
            name: self.name.trim().to_owned(),
            born,
            number_elsewhere: (!number.is_empty()).then(|| number.to_owned()),
        })
    }
}

impl Records {
    /// Corrects who the chosen person is, as typed.
    pub fn correct_person(&mut self) {
        let Some(person) = self.chosen.as_ref().map(|one| one.code.clone()) else {
            return;
        };
        let why = self.correct_why.clone();
        match self.corrected.identity() {
            Ok(who) => {
                let done = self.ask(|archive| archive.change_person(&person, &who, &why));
                if done.is_some() {
                    self.choose_again();
                    self.message = Some("Corrected; the register keeps who did it and why.".into());
                }
            }
            Err(what) => self.message = Some(what),
        }
    }
}

/// Draws what corrects who the chosen person is.
pub(super) fn correct(ui: &mut Ui, records: &mut Records) -> Option<Wanted> {
    const WIDTH: f32 = 330.0;
    let mut wanted = None;
    CollapsingHeader::new("Correct who this is").show(ui, |ui| {
        let typed = &mut records.corrected;
        field(ui, "Corrected name", "name", WIDTH, &mut typed.name);
        field(
            ui,
            "Corrected day of birth",
            "year-month-day",
            WIDTH,
            &mut typed.born,
        );
        field(
            ui,
            "Corrected number",
            "a number elsewhere",
            WIDTH,
            &mut typed.number,
        );
        field(
            ui,
            "Why it is corrected",
            "why",
            WIDTH,
            &mut records.correct_why,
        );
        let ready = ![&records.correct_why, &records.corrected.name]
            .iter()
            .any(|text| text.trim().is_empty());
        if ui
            .add_enabled(ready, Button::new("Keep the correction"))
            .clicked()
        {
            wanted = Some(Wanted::CorrectPerson);
        }
    });
    wanted
}

/// Draws who acts. Whoever answers for a trainee is chosen by the trainee, never by the program.
pub(super) fn acts(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = None;
    let here: Vec<FoundUser> = records
        .users()
        .iter()
        .filter(|one| one.works_here)
        .cloned()
        .collect();
    let is_trainee = |one: &FoundUser| one.role == Role::Trainee.name();
    let named = |one: &FoundUser| format!("{} ({})", one.name, one.role);
    let acting: Option<Code> = records.acting().cloned();
    for one in &here {
        let acts =
            acting.as_ref() == Some(&one.code) || records.trainee.as_ref() == Some(&one.code);
        if !ui.selectable_label(acts, named(one)).clicked() {
            continue;
        }
        records.trainee = (!acts && is_trainee(one)).then(|| one.code.clone());
        let user = (!acts && !is_trainee(one)).then(|| one.code.clone());
        if acting.is_some() || user.is_some() {
            wanted = Some(Wanted::Acts(user, None));
        }
    }
    let Some(trainee) = records.trainee.clone() else {
        return wanted;
    };
    ui.end_row();
    ui.label("Who answers for this trainee?");
    for one in here.iter().filter(|one| !is_trainee(one)) {
        let text = format!("{} answers", one.name);
        if ui.button(text).clicked() {
            records.trainee = None;
            wanted = Some(Wanted::Acts(Some(trainee.clone()), Some(one.code.clone())));
        }
    }
    if here.iter().all(is_trainee) {
        remark(
            ui,
            theme,
            "Enter a supervisor or an examiner first: a trainee acts only under one.",
        );
    }
    wanted
}
