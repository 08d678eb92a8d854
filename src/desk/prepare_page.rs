//! How Prepare is drawn.

use super::ear_check::{EarCheck, TONES};
use super::eyes;
use super::parts::{self, choices, field, heading, remark, row};
use super::person_window::Field;
use super::prepare::{Form, SPEEDS};
use super::prepare_sight;
use super::prepare_sound;
use super::session::Session;
use super::style::{self, STEP, Theme, type_size};
use super::surroundings;
use super::words;
use crate::journal::WhoPressed;
use crate::procedure::NAMES;
use crate::stimulus::{OptotypeSet, Signal};
use eframe::egui::{self, CollapsingHeader, RichText, ScrollArea, Ui};

/// What was asked for on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Begin the visit.
    Begin,
    /// Begin the check of the sides, or begin it again.
    CheckEars,
    /// The examiner's first listening: a step louder.
    ListenLouder,
    /// The examiner hears it.
    ListenHeard,
    /// Play the instructions.
    Instructions,
    /// Silence.
    Silence,
    /// Show the outline of a card in the person's window, or take it away.
    ShowCard(bool),
    /// The outline matches.
    CardMatches,
    /// Take the pitch that was typed.
    TakePitch,
    /// Write a card for reading near.
    NearCard(OptotypeSet),
}

/// What the page knows besides the form.
pub struct Around<'a> {
    /// What is missing.
    pub missing: &'a [String],
    /// The field of the person's window.
    pub field: Option<Field>,
    /// Whether the outline of a card is shown.
    pub card: bool,
    /// Whether something sounds.
    pub sounds: bool,
}

/// What a visit began with, once it has begun.
pub fn begun(ui: &mut Ui, theme: &Theme, session: &Session) {
    let opening = &session.record().opening;
    let mut say = |title: &str, text: String| {
        row(ui, theme, title, |ui| {
            ui.add_space(11.0);
            ui.label(text);
        });
    };
    say("Person", opening.person.name().to_owned());
    say("Plan", opening.plan.name.clone());
    if let Some(earphone) = &opening.set_up.earphone {
        let unit = earphone.scale().unit();
        say(
            "Earphone",
            format!("{}; levels in {unit}", earphone.record().title),
        );
    }
    if let Some(screen) = &opening.set_up.screen {
        say(
            "Screen",
            format!("{:.4} mm a pixel", screen.record().pixel_mm.0),
        );
    }
    let distance = opening.set_up.distance_mm;
    if let Some(distance) = distance.filter(|_| opening.plan.sight.is_some()) {
        say(
            "Distance",
            format!("{:.0} mm from the eye to the screen", distance.0),
        );
    }
    say("Folder", session.folder().display().to_string());
}

pub(super) const FIELD: f32 = 330.0;

/// Draws the page.
pub fn draw(ui: &mut Ui, theme: &Theme, form: &mut Form, around: &Around) -> Option<Wanted> {
    let aside = parts::aside(ui, "missing", 304.0, |ui| aside(ui, theme, form, around));
    let scroll = ScrollArea::vertical().auto_shrink(false);
    let rows = scroll.show(ui, |ui| rows(ui, theme, form, around)).inner;
    aside.or(rows)
}

fn aside(ui: &mut Ui, theme: &Theme, form: &mut Form, around: &Around) -> Option<Wanted> {
    let mut wanted = None;
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        heading(ui, theme, "Before it begins");
        for caution in words::CAUTIONS {
            remark(ui, theme, caution);
            ui.add_space(2.0);
        }
        ui.checkbox(&mut form.cautions, "I have read this");
    });
    ui.add_space(STEP);
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        let broken_off = form.goes_on_with();
        if let Some(visit) = broken_off {
            ui.label(RichText::new("Broken off").size(type_size::LARGE));
            let text = format!(
                "This visit is not closed: {}, {} trials. It goes on with the plan and the set-up that it began with.",
                visit.person(),
                visit.trials
            );
            remark(ui, theme, &text);
            ui.add_space(STEP);
        }
        if around.missing.is_empty() {
            ui.label(RichText::new("Nothing is missing").size(type_size::LARGE));
        } else {
            ui.label(RichText::new("What is missing").size(type_size::LARGE));
            for what in around.missing {
                ui.label(RichText::new(what).color(theme.alert));
            }
        }
        ui.add_space(STEP);
        let begin = style::primary(
            theme,
            broken_off.map_or("Begin the visit", |_| "Go on with the visit"),
        );
        if ui.add_enabled(around.missing.is_empty(), begin).clicked() {
            wanted = Some(Wanted::Begin);
        }
    });
    wanted
}

fn rows(ui: &mut Ui, theme: &Theme, form: &mut Form, around: &Around) -> Option<Wanted> {
    let mut wanted = None;
    row(ui, theme, "Person", |ui| person(ui, theme, form));
    let goes_on = form.goes_on_with().is_some();
    let sees = form.wanted().is_some_and(|plan| plan.sight.is_some());
    if !goes_on {
        row(ui, theme, "Plan", |ui| plan(ui, theme, form));
    }
    row(ui, theme, "Sound", |ui| sound(ui, theme, form));
    if form.device.is_some() {
        if !goes_on {
            row(ui, theme, "Earphone", |ui| earphone(ui, theme, form));
        }
        if !form.simulated && (form.must_listen() || form.listening().is_some()) {
            row(ui, theme, "First sound", |ui| {
                wanted = prepare_sound::listening(ui, theme, form).or(wanted);
            });
        }
        if !form.simulated {
            row(ui, theme, "Ears", |ui| {
                wanted = ears(ui, theme, form).or(wanted);
            });
            row(ui, theme, "The way", |ui| {
                surroundings::way(ui, theme, &mut form.around);
            });
            if !goes_on {
                row(ui, theme, "Room", |ui| {
                    surroundings::room_row(ui, theme, &mut form.around);
                });
            }
            row(ui, theme, "Instructions", |ui| {
                wanted = prepare_sound::instructions(ui, theme, form, around.sounds).or(wanted);
            });
        }
    }
    if !form.offline() && !goes_on && !form.own_ears {
        row(ui, theme, "Screen", |ui| {
            wanted = prepare_sight::screen(ui, theme, form, around).or(wanted);
        });
        row(ui, theme, "Distance", |ui| {
            prepare_sight::distance(ui, theme, form);
        });
    }
    if sees && !goes_on {
        row(ui, theme, "Eyes", |ui| eyes::row(ui, theme, &mut form.eyes));
    }
    if !form.offline() && !goes_on && !form.own_ears {
        row(ui, theme, "Near", |ui| {
            wanted = prepare_sight::near(ui, theme).or(wanted);
        });
    }
    row(ui, theme, "Folder", |ui| {
        field(
            ui,
            "Folder",
            "a new folder for this visit",
            FIELD,
            &mut form.folder,
        );
        remark(ui, theme, &format!("Seed of all draws: {}", form.seed));
    });
    wanted
}

fn person(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    choices(
        ui,
        &[(false, "a living person"), (true, "a simulated person")],
        &mut form.simulated,
    );
    if !form.simulated {
        ui.horizontal(|ui| {
            field(ui, "Code", "a code, never a name", 180.0, &mut form.code);
            surroundings::about(ui, &mut form.around);
        });
        let hands = [
            (WhoPressed::Person, "answers at a key of their own"),
            (WhoPressed::Examiner, "shows it, the examiner marks"),
        ];
        choices(ui, &hands, &mut form.hand);
        return;
    }
    field(
        ui,
        "Case file",
        "a case file (TOML)",
        FIELD,
        &mut form.case.path,
    );
    if let Some(error) = form.case.error() {
        ui.label(RichText::new(error).color(theme.alert));
    }
    ui.horizontal_wrapped(|ui| {
        for (title, path) in &form.cases {
            let stem = path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .replace('_', " ");
            let path = path.display().to_string();
            let chosen = form.case.path == path;
            if ui
                .selectable_label(chosen, stem)
                .on_hover_text(title)
                .clicked()
            {
                form.case.path = path;
            }
        }
    });
    if let Some(case) = form.case.value() {
        remark(ui, theme, &case.title);
    }
    if form.offline() {
        let names: Vec<String> = SPEEDS.iter().map(|speed| format!("×{speed}")).collect();
        let speeds: Vec<(usize, &str)> = names.iter().map(String::as_str).enumerate().collect();
        ui.horizontal(|ui| {
            remark(ui, theme, "Pace");
            choices(ui, &speeds, &mut form.speed);
        });
    }
}

fn plan(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    ui.horizontal_wrapped(|ui| {
        for name in NAMES {
            if ui.selectable_label(form.plan.path == name, name).clicked() {
                form.plan.path = name.into();
            }
        }
    });
    field(
        ui,
        "Plan",
        "a name, or a plan file (TOML)",
        FIELD,
        &mut form.plan.path,
    );
    if let Some(error) = form.plan.error() {
        ui.label(RichText::new(error).color(theme.alert));
    }
    ui.horizontal(|ui| {
        ui.checkbox(&mut form.hearing, "Hearing");
        ui.checkbox(&mut form.sight, "Sight");
    });
    if form.hearing {
        let more = CollapsingHeader::new("More").id_salt("other tones");
        more.show(ui, |ui| tones(ui, theme, form));
    }
}

/// Other tones than the plan's.
fn tones(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    let signals = [
        (None, "tones as the plan says"),
        (Some(Signal::Steady), "steady"),
        (Some(Signal::Pulsed), "pulsed"),
        (Some(Signal::Warble), "warble"),
    ];
    choices(ui, &signals, &mut form.signal);
    remark(
        ui,
        theme,
        "Pulsed where the ears ring. A warble swings by 5 %, 5 times a second; a plan file can have it \
         otherwise.",
    );
    ui.checkbox(&mut form.extended, "also 9 to 16 kHz");
    remark(
        ui,
        theme,
        "Where the earphone's type has references there: circumaural ones alone (ISO 389-5). They are not \
         masked.",
    );
}

fn sound(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    let before = form.device;
    let none = if form.simulated {
        "none: answers come at once, offline"
    } else {
        "none"
    };
    if ui.selectable_label(form.device.is_none(), none).clicked() {
        form.device = None;
    }
    for (index, device) in form.devices.iter().enumerate() {
        let text = format!("{} ({})", device.name, device.id);
        if ui
            .selectable_label(form.device == Some(index), text)
            .clicked()
        {
            form.device = Some(index);
        }
    }
    if form.devices.is_empty() {
        remark(ui, theme, "No sound output was found.");
    }
    if form.device != before {
        form.ear_check = None;
    }
}

fn earphone(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    choices(
        ui,
        &[
            (false, "a profile"),
            (true, "none yet: measure my own ears as the reference"),
        ],
        &mut form.own_ears,
    );
    if form.own_ears {
        remark(
            ui,
            theme,
            "Levels are re full scale, without dB HL; hearing only. Good ears and a quiet room make a fair reference. A listening jury hears the set-up this way too.",
        );
        let swapped = "a jury's run: the sides are swapped on purpose";
        ui.checkbox(&mut form.around.swapped, swapped);
        return;
    }
    field(
        ui,
        "Earphone profile",
        "a profile (TOML)",
        FIELD,
        &mut form.earphone.path,
    );
    match (form.earphone.value(), form.earphone.error()) {
        (Some(profile), _) => {
            let record = profile.record();
            let until = record
                .expires_on
                .map_or(String::new(), |day| format!(", valid until {day}"));
            remark(
                ui,
                theme,
                &format!(
                    "{}{until}; levels in {}",
                    record.title,
                    profile.scale().unit()
                ),
            );
        }
        (None, Some(error)) => {
            ui.label(RichText::new(error).color(theme.alert));
        }
        (None, None) => {}
    }
    if let Some(standing) = form.around.standing.as_ref().filter(|_| !form.simulated) {
        let (text, asks) = surroundings::standing(standing);
        let ink = if asks { theme.alert } else { theme.ink_soft };
        ui.label(RichText::new(text).size(type_size::SMALL).color(ink));
    }
}

fn ears(ui: &mut Ui, _: &Theme, form: &mut Form) -> Option<Wanted> {
    let mut wanted = None;
    let text = match &form.ear_check {
        None => "Four soft tones; the person says on which side each was.".to_owned(),
        Some(_) if form.around.swapped && form.own_ears && form.ears_told() => {
            "4 of 4 told the other way round, as this run asks.".into()
        }
        Some(check) if check.passed() => "4 of 4 told rightly: each earphone is on its ear.".into(),
        Some(check) if check.reversed() => {
            "All the other way round: change the earphones over, then again.".into()
        }
        Some(check) if check.side().is_none() => {
            format!(
                "{} of {TONES} told rightly; explain and do it again.",
                check.count().1
            )
        }
        Some(check) => format!("Tone {} of {TONES}: J left, L right.", check.count().0 + 1),
    };
    ui.label(text);
    let again = form
        .ear_check
        .as_ref()
        .is_some_and(|check: &EarCheck| check.side().is_none());
    let name = if again {
        "Check the ears again"
    } else {
        "Check the ears"
    };
    let ready = form.profile().is_some()
        && form
            .ear_check
            .as_ref()
            .is_none_or(|one| one.side().is_none());
    if ui.add_enabled(ready, egui::Button::new(name)).clicked() {
        wanted = Some(Wanted::CheckEars);
    }
    wanted
}
