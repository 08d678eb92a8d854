//! Prepare, what is to be heard before a visit: the examiner's own first listening, and instructions
//! from a recording.

use super::keys::{Action, KeyMap};
use super::parts::{field, key_button, remark};
use super::prepare::Form;
use super::prepare_page::{FIELD, Wanted};
use super::style::Theme;
use super::words::{self, prepare as say};
use crate::quantity::Level;
use eframe::egui::{Button, Ui};

/// The examiner listens first, where nobody knows how loud the earphone is.
pub(super) fn listening(ui: &mut Ui, theme: &Theme, form: &Form, keys: &KeyMap) -> Option<Wanted> {
    remark(ui, theme, &say::WHY_LISTEN);
    let stands = form.listening().map_or_else(
        || say::NOTHING_SOUNDED.into(),
        |listening| match (listening.ear(), listening.sounded()) {
            (None, _) => say::HEARD_BOTH.into(),
            (Some(ear), None) => say::EAR_NOTHING.fill(&[words::ear(ear)]),
            (Some(ear), Some(level)) => {
                say::EAR_LEVEL.fill(&[words::ear(ear), &words::decimals(level.0, 0)])
            }
        },
    );
    ui.label(stands);
    if form
        .listening()
        .is_some_and(|listening| listening.ear().is_none())
    {
        return None;
    }
    let sounded = form
        .listening()
        .is_some_and(|listening| listening.sounded().is_some());
    ui.columns(2, |columns| {
        let louder = key_button(
            &mut columns[0],
            &words::hear::LOUDER,
            keys.name(Action::Louder),
            true,
        );
        let heard = key_button(
            &mut columns[1],
            &say::I_HEAR,
            keys.name(Action::Mark),
            sounded,
        );
        match (louder, heard) {
            (true, _) => Some(Wanted::ListenLouder),
            (_, true) => Some(Wanted::ListenHeard),
            _ => None,
        }
    })
}

/// Instructions in the person's language.
pub(super) fn instructions(
    ui: &mut Ui,
    theme: &Theme,
    form: &mut Form,
    sounds: bool,
) -> Option<Wanted> {
    let mut wanted = None;
    field(
        ui,
        &say::INSTRUCTIONS,
        &say::INSTRUCTIONS_HINT,
        FIELD,
        &mut form.instructions,
    );
    if form.instructions.trim().is_empty() {
        return None;
    }
    let scale = form.profile().map(|profile| profile.scale());
    let (Some(level_db), Some(scale)) = (form.instructions_db(), scale) else {
        remark(ui, theme, &words::said(words::LISTEN_FIRST));
        return None;
    };
    ui.horizontal(|ui| {
        if ui
            .add_enabled(!sounds, Button::new(say::PLAY_BOTH))
            .clicked()
        {
            wanted = Some(Wanted::Instructions);
        }
        if ui
            .add_enabled(sounds, Button::new(words::hear::SILENCE_NOW))
            .clicked()
        {
            wanted = Some(Wanted::Silence);
        }
        for (name, step_db) in [(say::SOFTER_5, -5.0), (say::LOUDER_5, 5.0)] {
            if ui.add_enabled(!sounds, Button::new(name)).clicked() {
                form.step_instructions(step_db);
            }
        }
        ui.label(words::level(Level::new(scale, level_db)));
    });
    remark(ui, theme, &say::LOUDEST_MOMENT);
    wanted
}
