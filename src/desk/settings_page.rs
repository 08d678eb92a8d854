//! How the desk's settings are drawn, and how a key is given another task.

use super::frame;
use super::keys::{Action, KeyMap, Refused, Task, written};
use super::parts::{choices, heading, remark, row};
use super::settings::{LOCK_MIN, Settings, TEXT_PERCENT};
use super::style::{STEP, TARGET, Theme, type_size};
use super::words::{self, Text, frame as say_frame, settings as say};
use crate::report::words::Lang;
use eframe::egui::{self, Button, Key, RichText, ScrollArea, Ui, Vec2};

/// A key that is being given another task.
#[derive(Debug, Clone, Default)]
pub(super) struct Giving {
    /// The task that waits for its key.
    pub(super) task: Option<Task>,
    told: Option<String>,
}

impl Giving {
    /// Gives the task that waits this key; Escape leaves it as it is.
    pub(super) fn take(&mut self, key: Key, keys: &mut KeyMap) {
        let Some(task) = self.task.take() else { return };
        if key == Key::Escape && task != Task::Does(Action::Stop) {
            self.told = None;
            return;
        }
        let name = task_name(task);
        self.told = Some(match keys.give(task, key) {
            Ok(None) => say::GIVEN.fill(&[&name, written(key)]),
            Ok(Some(other)) => {
                let now = keys.key_of(other).map_or("", written);
                say::CHANGED_OVER.fill(&[&name, written(key), &task_name(other), now])
            }
            Err(Refused::Reserved) => say::RESERVED.fill(&[written(key)]),
            Err(Refused::Taken(by)) => {
                let taken = format!("{} ({})", written(key), task_name(by));
                say::TAKEN.fill(&[&name, &taken])
            }
        });
    }
}

/// A task in words.
pub(super) fn task_name(task: Task) -> String {
    match task {
        Task::Does(action) => action_name(action).into(),
        Task::TurnsTo(page) => say_frame::PAGE_OF.fill(&[&frame::name(page)]),
        Task::Hears => say_frame::HEARS.into(),
        Task::Unsure => say_frame::UNSURE.into(),
        Task::Points(facing) => say_frame::POINTS.fill(&[words::facing(facing)]),
    }
}

/// An action in words.
pub(super) fn action_name(action: Action) -> Text {
    match action {
        Action::Tone => say_frame::TONE,
        Action::Silence => say_frame::SILENCE,
        Action::Mark => say_frame::MARK,
        Action::Louder => say_frame::LOUDER,
        Action::Softer => say_frame::SOFTER,
        Action::Lower => say_frame::LOWER,
        Action::Higher => say_frame::HIGHER,
        Action::OtherEar => say_frame::OTHER_EAR,
        Action::Noise => say_frame::NOISE,
        Action::NoiseLouder => say_frame::NOISE_LOUDER,
        Action::NoiseSofter => say_frame::NOISE_SOFTER,
        Action::Method => say_frame::METHOD,
        Action::Automatic => say_frame::AUTOMATIC,
        Action::TakeBack => say_frame::TAKE_BACK,
        Action::Pause => say_frame::PAUSE,
        Action::Stop => say_frame::STOP,
        Action::Confirm => say_frame::CONFIRM,
        Action::Keys => say_frame::THESE_KEYS,
        Action::FullScreen => say_frame::FULL_SCREEN,
        Action::Lock => say_frame::LOCK,
        Action::CautionsRead => say_frame::CAUTIONS_READ,
    }
}

/// Draws the page; the settings are changed in place.
pub(super) fn draw(ui: &mut Ui, theme: &Theme, settings: &mut Settings, giving: &mut Giving) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        row(ui, theme, &say::LANGUAGE, |ui| {
            let langs = Lang::ALL.map(|lang| (lang, own_name(lang)));
            choices(ui, &langs, &mut settings.lang);
            remark(ui, theme, &say::LANGUAGE_REMARK);
        });
        row(ui, theme, &say::LIGHT, |ui| {
            let lights = [(false, &*say::DAYLIGHT), (true, &*say::DARK_ROOM)];
            choices(ui, &lights, &mut settings.dark);
            remark(ui, theme, &say::LIGHT_REMARK);
        });
        row(ui, theme, &say::SIZE, |ui| {
            let names = TEXT_PERCENT.map(|percent| format!("{percent} %"));
            let sizes = TEXT_PERCENT
                .into_iter()
                .zip(names.iter().map(String::as_str));
            choices(ui, &sizes.collect::<Vec<_>>(), &mut settings.text_percent);
            remark(ui, theme, &say::SIZE_REMARK);
        });
        row(ui, theme, &say::LOCK, |ui| {
            let names = LOCK_MIN.map(|minutes| say::MINUTES.fill(&[&minutes.to_string()]));
            let all = LOCK_MIN.into_iter().zip(names.iter().map(String::as_str));
            choices(ui, &all.collect::<Vec<_>>(), &mut settings.lock_min);
            remark(ui, theme, &say::LOCK_REMARK);
        });
        row(ui, theme, &say::KEYS, |ui| {
            keys(ui, theme, &mut settings.keys, giving);
        });
    });
}

/// A language in itself: whoever cannot read the others finds it.
pub(super) fn own_name(lang: Lang) -> &'static str {
    match lang {
        Lang::English => "English",
        Lang::German => "Deutsch",
    }
}

fn keys(ui: &mut Ui, theme: &Theme, keys: &mut KeyMap, giving: &mut Giving) {
    remark(ui, theme, &say::KEYS_REMARK);
    if let Some(told) = &giving.told {
        ui.label(RichText::new(told).color(theme.accent));
    }
    let group = |task: Task| match task {
        Task::Does(_) => say::EXAMINERS,
        Task::TurnsTo(_) => say::PAGES,
        Task::Hears | Task::Unsure | Task::Points(_) => say::PERSONS,
    };
    for title in [say::EXAMINERS, say::PAGES, say::PERSONS] {
        ui.add_space(STEP);
        heading(ui, theme, &title);
        let width = 300.0;
        let columns = ((ui.available_width() / (width + STEP)).floor() as usize).max(1);
        egui::Grid::new(title.english())
            .spacing(Vec2::splat(STEP / 2.0))
            .show(ui, |ui| {
                for (place, task) in Task::all().filter(|task| group(*task) == title).enumerate() {
                    if place > 0 && place % columns == 0 {
                        ui.end_row();
                    }
                    one(ui, theme, keys, task, width, giving);
                }
            });
    }
    ui.add_space(STEP);
    let untouched = *keys == KeyMap::default();
    if ui
        .add_enabled(!untouched, Button::new(say::KEYS_AGAIN))
        .clicked()
    {
        *keys = KeyMap::default();
        *giving = Giving::default();
    }
}

fn one(ui: &mut Ui, theme: &Theme, keys: &KeyMap, task: Task, width: f32, giving: &mut Giving) {
    let waits = giving.task == Some(task);
    let key = keys.key_of(task).map_or("", written);
    let shown = if waits { say::PRESS_NEW.here() } else { key };
    let name = task_name(task);
    let button = Button::selectable(waits, RichText::new(&name).size(type_size::SMALL))
        .shortcut_text(RichText::new(shown).color(theme.accent))
        .min_size(Vec2::new(width, TARGET))
        .truncate();
    let response = ui.add(button);
    let told = say::KEY_OF.fill(&[&name, shown]);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, told.clone()));
    if response.clicked() {
        giving.task = (!waits).then_some(task);
        giving.told = None;
        // The key that comes next is not to press this button again.
        response.surrender_focus();
    }
}
