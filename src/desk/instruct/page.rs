//! How the instructor's page is drawn: the form of an exercise or a set, what is wrong beside each field, and what
//! can be done with it.

use super::form::{Entry, Form, Kind};
use super::{Instructing, Side, TRIES, class_page};
use crate::desk::parts::{aside, choices, field, heading, remark, secret};
use crate::desk::style::{self, STEP, Theme, type_size};
use crate::errand::PlanReport;
use eframe::egui::{
    Button, CentralPanel, DragValue, Frame, ProgressBar, RichText, Role, ScrollArea, TextEdit, Ui,
    Vec2, WidgetInfo,
};
use std::path::PathBuf;
use std::time::Duration;

const WIDTH: f32 = 250.0;
/// Room for a number with its label, points.
const NUMBER_WIDTH: f32 = 270.0;
/// How often a bar is drawn anew.
pub(super) const DRAWN_EVERY: Duration = Duration::from_millis(100);

/// What goes beyond the instructor's page.
pub enum Wanted {
    /// Back to the trainee's page.
    Leave,
    /// Back there, with this exercise to practise on.
    Practise(PathBuf),
    /// The debrief of a journal.
    Debrief(PathBuf),
}

/// Draws the page.
pub(in crate::desk) fn draw(ui: &mut Ui, theme: &Theme, all: &mut Instructing) -> Option<Wanted> {
    let mut wanted = None;
    aside(ui, "instruct", 280.0, |ui| {
        let sides = [
            (Side::Exercise, "An exercise"),
            (Side::Set, "A set"),
            (Side::Class, "A class"),
        ];
        if choices(ui, &sides, &mut all.side) {
            all.message = None;
        }
        ui.add_space(STEP);
        wanted = match all.side {
            Side::Exercise => exercise_aside(ui, theme, all),
            Side::Set => {
                set_aside(ui, theme, all);
                None
            }
            Side::Class => {
                class_page::controls(ui, theme, &mut all.class);
                None
            }
        };
        if let Some(message) = &all.message {
            ui.label(RichText::new(message).color(theme.alert));
        }
        ui.add_space(2.0 * STEP);
        if wide(ui, "Back to practice") {
            wanted = Some(Wanted::Leave);
        }
    });
    CentralPanel::default().frame(Frame::new()).show(ui, |ui| {
        let name = format!("{:?}", all.side);
        let scroll = ScrollArea::vertical().id_salt(name).auto_shrink(false);
        scroll.show(ui, |ui| match all.side {
            Side::Exercise => {
                let tried = all.tried.clone();
                if let Some(tried) = &tried {
                    came_to(ui, theme, tried);
                }
                filled_in(ui, theme, &mut all.exercise);
            }
            Side::Set => filled_in(ui, theme, &mut all.set),
            Side::Class => {
                if let Some(journal) = class_page::table(ui, theme, &all.class) {
                    wanted = Some(Wanted::Debrief(journal));
                }
            }
        });
    });
    wanted
}

/// A button as wide as the column; whether it was pressed.
pub(super) fn wide(ui: &mut Ui, text: &str) -> bool {
    ui.add(Button::new(text).min_size(Vec2::new(WIDTH, style::TARGET)))
        .clicked()
}

fn exercise_aside(ui: &mut Ui, theme: &Theme, all: &mut Instructing) -> Option<Wanted> {
    let mut wanted = None;
    heading(ui, theme, "Begin with: nothing, drawn by a seed, or opened");
    if wide(ui, "Nothing") {
        all.new_exercise();
    }
    ui.horizontal(|ui| {
        let value = DragValue::new(&mut all.difficulty).range(1..=5);
        let response = ui.add(value.prefix("difficulty "));
        response.widget_info(|| WidgetInfo::labeled(Role::SpinButton, true, "Difficulty drawn"));
        ui.label("seed");
        field(ui, "Seed", "seed", 70.0, &mut all.seed);
    });
    if wide(ui, "Draw one") {
        all.draw_exercise();
    }
    field(
        ui,
        "Exercise to open",
        "a name or a file",
        WIDTH,
        &mut all.from,
    );
    if wide(ui, "Open it") {
        all.open_exercise();
    }
    ui.add_space(STEP);
    heading(ui, theme, "Try");
    if let Some(visits) = all.trying() {
        let share = visits as f32 / TRIES as f32;
        let text = format!("{visits} of {TRIES} visits");
        ui.add(ProgressBar::new(share).text(text).desired_width(WIDTH));
        if wide(ui, "Stop") {
            all.stop_trying();
        }
        ui.ctx().request_repaint_after(DRAWN_EVERY);
    } else if wide(ui, "Let our own plan try") {
        all.try_exercise();
    }
    ui.add_space(STEP);
    heading(ui, theme, "Keep");
    field(
        ui,
        "File of the exercise",
        "a file",
        WIDTH,
        &mut all.exercise_file,
    );
    heading(ui, theme, "Passphrase of a sealed one, to open or to keep");
    secret(
        ui,
        "Passphrase to open or to seal",
        WIDTH,
        &mut all.passphrase,
    );
    let keep = style::primary(theme, "Keep it").min_size(Vec2::new(WIDTH, style::TARGET));
    if ui.add(keep).clicked() {
        let _ = all.keep_exercise();
    }
    if wide(ui, "Keep it, and practise on it") {
        wanted = all.keep_exercise().map(Wanted::Practise);
    }
    wanted
}

fn set_aside(ui: &mut Ui, theme: &Theme, all: &mut Instructing) {
    remark(
        ui,
        theme,
        "Everybody who practises on a set meets the same people, answer for answer where they present the same.",
    );
    ui.add_space(STEP);
    field(ui, "File of the set", "a file", WIDTH, &mut all.set_file);
    let keep = style::primary(theme, "Keep the set").min_size(Vec2::new(WIDTH, style::TARGET));
    if ui.add(keep).clicked() {
        let _ = all.keep_set();
    }
}

/// What our own plan came to.
fn came_to(ui: &mut Ui, theme: &Theme, tried: &PlanReport) {
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        let (plan, repeats) = (&tried.plan, tried.repeats);
        heading(
            ui,
            theme,
            &format!("{repeats} visits by the plan {plan}; simulated"),
        );
        for line in tried.lines() {
            ui.label(line);
        }
        for one in &tried.figures {
            let ink = if one.reached { theme.ink } else { theme.alert };
            ui.label(RichText::new(one.to_string()).color(ink));
        }
    });
    ui.add_space(STEP);
}

/// The entries of a form, each with what is wrong under it.
fn filled_in(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    if let Some(error) = &form.error {
        ui.label(RichText::new(error).color(theme.alert));
    }
    for (title, entries) in form.groups {
        ui.add_space(STEP);
        ui.label(RichText::new(*title).size(type_size::LARGE));
        let alike = |one: &Entry, other: &Entry| {
            matches!((one.kind, other.kind), (Kind::Number, Kind::Number))
        };
        for run in entries.chunk_by(alike) {
            // Numbers are short and stand beside each other, as many as there is room for.
            let beside = (ui.available_width() / NUMBER_WIDTH).max(1.0) as usize;
            for row in run.chunks(if run.len() > 1 { beside } else { 1 }) {
                if let [one] = row {
                    filled(ui, theme, form, title, one);
                    continue;
                }
                ui.columns(beside, |columns| {
                    for (ui, entry) in columns.iter_mut().zip(row) {
                        filled(ui, theme, form, title, entry);
                    }
                });
            }
        }
    }
}

/// One entry, and what is wrong under it.
fn filled(ui: &mut Ui, theme: &Theme, form: &mut Form, title: &str, entry: &Entry) {
    let text = form.texts.entry(entry.key).or_default();
    heading(ui, theme, entry.label);
    let told = format!("{title}: {}", entry.label);
    ui.push_id(entry.key, |ui| written(ui, &told, entry, text));
    if let Some(problem) = form.errors.get(entry.key) {
        ui.label(RichText::new(problem).color(theme.alert));
    }
}

fn written(ui: &mut Ui, told: &str, entry: &Entry, text: &mut String) {
    let whole = ui.available_width() - 24.0;
    match entry.kind {
        Kind::Words | Kind::Numbers => {
            field(ui, told, "", whole.min(620.0), text);
        }
        Kind::Number => {
            field(ui, told, "as usual", 140.0, text);
        }
        Kind::Lines => {
            let lines = TextEdit::multiline(text)
                .desired_width(whole.min(620.0))
                .desired_rows(3);
            let response = ui.add(lines);
            response.widget_info(|| WidgetInfo::labeled(Role::MultilineTextInput, true, told));
        }
        Kind::OneOf(names) => {
            ui.horizontal_wrapped(|ui| {
                for name in names {
                    if ui.selectable_label(text == name, plain(name)).clicked() {
                        // Once more takes it away.
                        *text = if text == name {
                            String::new()
                        } else {
                            (*name).into()
                        };
                    }
                }
            });
        }
        Kind::Several(names) => {
            ui.horizontal_wrapped(|ui| {
                for name in names {
                    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
                    let at = lines.iter().position(|line| line == name);
                    if ui.selectable_label(at.is_some(), plain(name)).clicked() {
                        match at {
                            Some(at) => drop(lines.remove(at)),
                            None => lines.push((*name).into()),
                        }
                        *text = lines.join("\n");
                    }
                }
            });
        }
    }
}

/// A name in a file as words.
fn plain(name: &str) -> String {
    name.replace('_', " ")
}
