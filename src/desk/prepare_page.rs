//! How Prepare is drawn.

use super::conversation;
use super::ear_check::{EarCheck, TONES};
use super::eyes;
use super::keys::KeyMap;
use super::parts::{self, choices, field, heading, remark, row};
use super::person_window::Field;
use super::prepare::{Form, SPEEDS};
use super::prepare_sight;
use super::prepare_sound;
use super::session::Session;
use super::style::{self, STEP, Theme, type_size};
use super::surroundings;
use super::words::conversation::CONVERSATION;
use super::words::{self, prepare as say};
use crate::journal::WhoPressed;
use crate::procedure::NAMES;
use crate::stimulus::{OptotypeSet, Signal};
use eframe::egui::{self, RichText, ScrollArea, Ui};

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
    /// Which key does what.
    pub keys: &'a KeyMap,
}

/// What a visit began with, once it has begun.
pub fn begun(ui: &mut Ui, theme: &Theme, session: &Session) {
    let opening = &session.record().opening;
    let mut line = |title: words::Text, text: String| {
        row(ui, theme, &title, |ui| {
            ui.add_space(11.0);
            ui.label(text);
        });
    };
    line(say::PERSON, opening.person.name().to_owned());
    line(say::PLAN, opening.plan.name.clone());
    if let Some(earphone) = &opening.set_up.earphone {
        let unit = earphone.scale().unit();
        line(
            say::EARPHONE,
            say::LEVELS_IN.fill(&[&earphone.record().title, unit]),
        );
    }
    if let Some(screen) = &opening.set_up.screen {
        line(
            say::SCREEN,
            say::MM_A_PIXEL.fill(&[&words::decimals(screen.record().pixel_mm.0, 4)]),
        );
    }
    let distance = opening.set_up.distance_mm;
    if let Some(distance) = distance.filter(|_| opening.plan.sight.is_some()) {
        line(
            say::DISTANCE,
            say::EYE_TO_SCREEN.fill(&[&words::decimals(distance.0, 0)]),
        );
    }
    line(say::FOLDER, session.folder().display().to_string());
}

pub(super) const FIELD: f32 = 330.0;

/// Said at every visit's beginning.
const CAUTIONS: [words::Text; 5] = [
    say::CAUTION_1,
    say::CAUTION_2,
    say::CAUTION_3,
    say::CAUTION_4,
    say::CAUTION_5,
];

/// Draws the page.
pub fn draw(ui: &mut Ui, theme: &Theme, form: &mut Form, around: &Around) -> Option<Wanted> {
    let aside = parts::aside(ui, "missing", 304.0, |ui| aside(ui, theme, form, around));
    let scroll = ScrollArea::vertical().auto_shrink(false);
    let rows = scroll.show(ui, |ui| rows(ui, theme, form, around)).inner;
    aside.or(rows)
}

fn aside(ui: &mut Ui, theme: &Theme, form: &mut Form, around: &Around) -> Option<Wanted> {
    let mut wanted = None;
    if form.is_untouched() {
        style::sheet(theme).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(RichText::new(say::FIRST_TIME).size(type_size::LARGE));
            remark(ui, theme, &say::FIRST_TIME_TEXT);
            ui.add_space(STEP);
            if ui.button(say::TRY_IT).clicked() {
                form.try_out();
            }
        });
        ui.add_space(STEP);
    }
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        let mut towards = None;
        let broken_off = form.goes_on_with();
        if let Some(visit) = broken_off {
            ui.label(RichText::new(say::BROKEN_OFF).size(type_size::LARGE));
            let text = say::NOT_CLOSED.fill(&[&visit.person(), &visit.trials.to_string()]);
            remark(ui, theme, &text);
            ui.add_space(STEP);
        }
        if around.missing.is_empty() {
            ui.label(RichText::new(say::NOTHING_MISSING).size(type_size::LARGE));
        } else {
            ui.label(RichText::new(say::MISSING).size(type_size::LARGE));
            for what in around.missing {
                let text = RichText::new(words::said(what)).color(theme.alert);
                let line = egui::Button::new(text).wrap().frame(false);
                if ui.add(line).clicked() {
                    towards = what.split(':').next().map(str::to_owned);
                }
            }
        }
        ui.add_space(STEP);
        let begin = style::primary(theme, &broken_off.map_or(say::BEGIN, |_| say::GO_ON));
        if ui.add_enabled(around.missing.is_empty(), begin).clicked() {
            wanted = Some(Wanted::Begin);
        }
        form.towards = towards.or(form.towards.take());
    });
    ui.add_space(STEP);
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        heading(ui, theme, &say::BEFORE);
        for caution in CAUTIONS {
            remark(ui, theme, &caution);
            ui.add_space(2.0);
        }
        let read = ui.checkbox(&mut form.cautions, say::READ);
        if form.towards.as_deref() == Some("Cautions") {
            read.scroll_to_me(Some(egui::Align::Center));
        }
    });
    wanted
}

/// The rows of the form; the one that something missing led to comes into view.
struct Rows<'a> {
    theme: &'a Theme,
    towards: Option<String>,
}

impl Rows<'_> {
    fn row(&self, ui: &mut Ui, title: words::Text, add: impl FnOnce(&mut Ui)) {
        let here = self.towards.as_deref() == Some(title.english());
        let response = row(ui, self.theme, &title, add);
        if here {
            response.scroll_to_me(Some(egui::Align::TOP));
        }
    }
}

fn rows(ui: &mut Ui, theme: &Theme, form: &mut Form, around: &Around) -> Option<Wanted> {
    let mut wanted = None;
    let rows = Rows {
        theme,
        towards: form.towards.take(),
    };
    rows.row(ui, say::PERSON, |ui| person(ui, theme, form));
    let goes_on = form.goes_on_with().is_some();
    let sees = form.wanted().is_some_and(|plan| plan.sight.is_some());
    if !goes_on {
        rows.row(ui, say::PLAN, |ui| plan(ui, theme, form));
    }
    rows.row(ui, say::SOUND, |ui| sound(ui, theme, form));
    if form.device.is_some() {
        if !goes_on {
            rows.row(ui, say::EARPHONE, |ui| earphone(ui, theme, form));
        }
        if !form.simulated {
            wanted = heard(ui, &rows, form, around).or(wanted);
        }
    }
    if !form.offline() && !goes_on && !form.own_ears {
        rows.row(ui, say::SCREEN, |ui| {
            wanted = prepare_sight::screen(ui, theme, form, around).or(wanted);
        });
        rows.row(ui, say::DISTANCE, |ui| {
            prepare_sight::distance(ui, theme, form);
        });
    }
    if sees && !goes_on {
        rows.row(ui, say::EYES, |ui| eyes::row(ui, theme, &mut form.eyes));
    }
    if !form.offline() && !goes_on && !form.own_ears {
        rows.row(ui, say::NEAR, |ui| {
            wanted = prepare_sight::near(ui, theme).or(wanted);
        });
    }
    if !goes_on && !form.simulated {
        rows.row(ui, CONVERSATION, |ui| {
            conversation::draw(ui, theme, &mut form.conversation, &mut form.lang);
        });
    }
    rows.row(ui, say::FOLDER, |ui| {
        field(ui, &say::FOLDER, &say::FOLDER_HINT, FIELD, &mut form.folder);
        remark(ui, theme, &say::SEED.fill(&[&form.seed.to_string()]));
    });
    wanted
}

/// The rows of what a living person will hear.
fn heard(ui: &mut Ui, rows: &Rows, form: &mut Form, around: &Around) -> Option<Wanted> {
    let theme = rows.theme;
    let mut wanted = None;
    if form.must_listen() || form.listening().is_some() {
        rows.row(ui, say::FIRST_SOUND, |ui| {
            wanted = prepare_sound::listening(ui, theme, form, around.keys).or(wanted);
        });
    }
    rows.row(ui, say::EARS, |ui| {
        wanted = ears(ui, form).or(wanted);
    });
    rows.row(ui, say::THE_WAY, |ui| {
        surroundings::way(ui, theme, &mut form.around);
    });
    if form.goes_on_with().is_none() {
        rows.row(ui, say::ROOM, |ui| {
            surroundings::room_row(ui, theme, &mut form.around);
        });
    }
    rows.row(ui, say::INSTRUCTIONS, |ui| {
        wanted = prepare_sound::instructions(ui, theme, form, around.sounds).or(wanted);
    });
    wanted
}

fn person(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    choices(
        ui,
        &[(false, &*say::LIVING), (true, &*say::SIMULATED)],
        &mut form.simulated,
    );
    if !form.simulated {
        ui.horizontal(|ui| {
            field(ui, &say::CODE, &say::CODE_HINT, 180.0, &mut form.code);
            surroundings::about(ui, &mut form.around);
        });
        let hands = [
            (WhoPressed::Person, &*say::OWN_KEY),
            (WhoPressed::Examiner, &*say::EXAMINER_MARKS),
        ];
        choices(ui, &hands, &mut form.hand);
        return;
    }
    field(
        ui,
        &say::CASE_FILE,
        &say::CASE_HINT,
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
            remark(ui, theme, &say::PACE);
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
    field(ui, &say::PLAN, &say::PLAN_HINT, FIELD, &mut form.plan.path);
    if let Some(error) = form.plan.error() {
        ui.label(RichText::new(error).color(theme.alert));
    }
    ui.horizontal(|ui| {
        ui.checkbox(&mut form.hearing, say::HEARING);
        ui.checkbox(&mut form.sight, say::SIGHT);
        if form.hearing {
            ui.toggle_value(&mut form.more, &*say::MORE);
        }
    });
    if form.hearing && form.more {
        tones(ui, theme, form);
    }
}

/// Other tones than the plan's.
fn tones(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    let signals = [
        (None, &*say::TONES_AS_PLANNED),
        (Some(Signal::Steady), &*say::STEADY),
        (Some(Signal::Pulsed), &*say::PULSED),
        (Some(Signal::Warble), &*say::WARBLE),
    ];
    choices(ui, &signals, &mut form.signal);
    remark(ui, theme, &say::TONES_REMARK);
    ui.checkbox(&mut form.extended, say::EXTENDED);
    remark(ui, theme, &say::EXTENDED_REMARK);
}

fn sound(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    let before = form.device;
    let none = if form.simulated {
        say::SOUND_NONE_OFFLINE
    } else {
        say::SOUND_NONE
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
        remark(ui, theme, &say::NO_OUTPUT);
    }
    if form.device != before {
        form.ear_check = None;
    }
}

fn earphone(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    choices(
        ui,
        &[(false, &*say::A_PROFILE), (true, &*say::OWN_EARS)],
        &mut form.own_ears,
    );
    if form.own_ears {
        remark(ui, theme, &say::OWN_EARS_REMARK);
        let swapped = say::SWAPPED;
        ui.checkbox(&mut form.around.swapped, swapped);
        return;
    }
    field(
        ui,
        &say::PROFILE,
        &say::PROFILE_HINT,
        FIELD,
        &mut form.earphone.path,
    );
    match (form.earphone.value(), form.earphone.error()) {
        (Some(profile), _) => {
            let record = profile.record();
            let until = record.expires_on.map_or(String::new(), |day| {
                say::VALID_UNTIL.fill(&[&day.to_string()])
            });
            remark(
                ui,
                theme,
                &say::LEVELS_IN
                    .fill(&[&format!("{}{until}", record.title), profile.scale().unit()]),
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
        ui.label(
            RichText::new(words::said(&text))
                .size(type_size::SMALL)
                .color(ink),
        );
    }
}

fn ears(ui: &mut Ui, form: &Form) -> Option<Wanted> {
    let mut wanted = None;
    let text = match &form.ear_check {
        None => say::EARS_NONE.into(),
        Some(_) if form.around.swapped && form.own_ears && form.ears_told() => {
            say::EARS_SWAPPED.into()
        }
        Some(check) if check.passed() => say::EARS_PASSED.into(),
        Some(check) if check.reversed() => say::EARS_REVERSED.into(),
        Some(check) if check.side().is_none() => {
            say::EARS_AGAIN_TEXT.fill(&[&check.count().1.to_string(), &TONES.to_string()])
        }
        Some(check) => {
            say::EARS_TONE.fill(&[&(check.count().0 + 1).to_string(), &TONES.to_string()])
        }
    };
    ui.label(text);
    let again = form
        .ear_check
        .as_ref()
        .is_some_and(|check: &EarCheck| check.side().is_none());
    let name = if again {
        say::CHECK_AGAIN
    } else {
        say::CHECK_EARS
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
