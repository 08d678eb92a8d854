//! Prepare, what is to be heard before a visit: the examiner's own first listening, and instructions
//! from a recording.

use super::keys::{Action, KeyMap};
use super::parts::{field, key_button, remark};
use super::prepare::Form;
use super::prepare_page::{FIELD, Wanted};
use super::style::Theme;
use super::words;
use crate::quantity::Level;
use eframe::egui::{Button, Ui};

/// The examiner listens first, where nobody knows how loud the earphone is.
pub(super) fn listening(ui: &mut Ui, theme: &Theme, form: &Form) -> Option<Wanted> {
    let keys = KeyMap::default();
    remark(ui, theme, words::WHY_LISTEN);
    let stands = form.listening().map_or_else(
        || "Nothing has sounded yet.".to_owned(),
        |listening| match (listening.ear(), listening.sounded()) {
            (None, _) => "Heard at both ears.".into(),
            (Some(ear), None) => format!("{}: nothing has sounded yet.", words::ear(ear)),
            (Some(ear), Some(level)) => {
                format!("{}: {:.0} dB re full scale.", words::ear(ear), level.0)
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
        let louder = key_button(&mut columns[0], "Louder", keys.name(Action::Louder), true);
        let heard = key_button(
            &mut columns[1],
            "I hear it",
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
        "Instructions",
        "a recording (WAV or FLAC), if you have one",
        FIELD,
        &mut form.instructions,
    );
    if form.instructions.trim().is_empty() {
        return None;
    }
    let scale = form.profile().map(|profile| profile.scale());
    let (Some(level_db), Some(scale)) = (form.instructions_db(), scale) else {
        remark(ui, theme, words::LISTEN_FIRST);
        return None;
    };
    ui.horizontal(|ui| {
        if ui
            .add_enabled(!sounds, Button::new("Play to both ears"))
            .clicked()
        {
            wanted = Some(Wanted::Instructions);
        }
        if ui.add_enabled(sounds, Button::new("Silence now")).clicked() {
            wanted = Some(Wanted::Silence);
        }
        for (name, step_db) in [("Softer by 5 dB", -5.0), ("Louder by 5 dB", 5.0)] {
            if ui.add_enabled(!sounds, Button::new(name)).clicked() {
                form.step_instructions(step_db);
            }
        }
        ui.label(words::level(Level::new(scale, level_db)));
    });
    remark(
        ui,
        theme,
        "The level is that of their loudest moment. They measure nothing.",
    );
    wanted
}
