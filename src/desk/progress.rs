//! What a trainee's own exercises add up to: what improved, and what to practise next. Everything is read from the
//! journals that they kept.

use super::instruct::{Class, exercise_line, next_line};
use super::parts::{aside, heading, remark};
use super::style::{self, STEP, Theme, line, type_size};
use crate::practice::StepOverTime;
use eframe::egui::{
    self, Button, Frame, RichText, Role, ScrollArea, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2,
};
use std::path::{Path, PathBuf};
use std::time::Duration;

const WIDTH: f32 = 250.0;
const DRAWN_EVERY: Duration = Duration::from_millis(100);

/// A trainee's exercises, while they are looked at.
#[derive(Default)]
pub struct Progress {
    /// Whether the page shows them.
    pub open: bool,
    /// Whose they are.
    trainee: String,
    class: Class,
}

/// What the trainee wants.
pub(super) enum Wanted {
    /// Back to the exercises.
    Leave,
    /// The debrief of a journal once more.
    Debrief(PathBuf),
}

impl Progress {
    /// Begins to gather what this trainee did, from the folder where exercises are kept.
    #[must_use]
    pub fn of(folder: &Path, trainee: &str) -> Progress {
        let mut progress = Progress {
            open: true,
            trainee: trainee.trim().to_owned(),
            class: Class::default(),
        };
        progress.class.folder = folder.display().to_string();
        if folder.is_dir() {
            progress.class.gather();
        }
        progress
    }
}

/// Draws them.
pub(super) fn draw(ui: &mut Ui, theme: &Theme, all: &mut Progress) -> Option<Wanted> {
    let mut wanted = None;
    let reading = all.class.gathering();
    aside(ui, "progress", 280.0, |ui| {
        heading(ui, theme, "Exercises of");
        ui.label(RichText::new(&all.trainee).size(type_size::LARGE));
        ui.add_space(STEP);
        if reading.is_some() {
            if ui.add(Button::new("Stop").min_size(size())).clicked() {
                all.class.stop();
            }
            ui.ctx().request_repaint_after(DRAWN_EVERY);
        }
        let back = style::primary(theme, "Back to practice").min_size(size());
        if ui.add(back).clicked() {
            all.class.stop();
            wanted = Some(Wanted::Leave);
        }
        ui.add_space(STEP);
        remark(
            ui,
            theme,
            "Read from the journals kept on this machine under the same name or code. No mark: each step says for itself.",
        );
        if let Some(message) = &all.class.message {
            ui.label(RichText::new(message).color(theme.alert));
        }
    });
    egui::CentralPanel::default()
        .frame(Frame::new())
        .show(ui, |ui| {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                if let Some(journals) = reading {
                    ui.label(format!("{journals} journals read"));
                } else if let Some(journal) = own(ui, theme, all) {
                    wanted = Some(Wanted::Debrief(journal));
                }
            });
        });
    wanted
}

fn size() -> Vec2 {
    Vec2::new(WIDTH, style::TARGET)
}

/// What improved, what to practise next, each step over time, and the exercises; the journal whose debrief is wanted.
fn own(ui: &mut Ui, theme: &Theme, all: &Progress) -> Option<PathBuf> {
    let mut tables = all.class.trainees.iter();
    let Some(table) = tables.find(|one| one.trainee == all.trainee) else {
        ui.label("No exercise under this name has ended yet.");
        return None;
    };
    next_line(ui, theme, table);
    ui.add_space(2.0 * STEP);
    heading(
        ui,
        theme,
        "Step by step, from the first exercise to the latest: full is right",
    );
    let always = |step: &&StepOverTime| step.right.iter().all(|right| *right);
    for step in table.steps.iter().filter(|step| !always(step)) {
        over_time(ui, theme, step);
    }
    let right = table.steps.iter().filter(always).count();
    remark(ui, theme, &format!("{right} more steps were always right."));
    ui.add_space(2.0 * STEP);
    heading(ui, theme, "The exercises");
    let rows = all.class.gathered.iter().flat_map(|one| &one.rows);
    let mut wanted = None;
    for row in rows.filter(|row| row.trainee == all.trainee) {
        if exercise_line(ui, theme, row) {
            wanted = Some(PathBuf::from(&row.file));
        }
    }
    wanted
}

/// A step: a disc for each exercise in which there was occasion for it, and its name.
fn over_time(ui: &mut Ui, theme: &Theme, step: &StepOverTime) {
    const RADIUS: f32 = 5.0;
    const APART: f32 = 16.0;
    // The latest, as many as there is room for.
    const MOST: usize = 10;
    let latest = &step.right[step.right.len().saturating_sub(MOST)..];
    ui.horizontal_top(|ui| {
        let wide = APART * MOST as f32 + STEP;
        let (rect, response) = ui.allocate_exact_size(vec2(wide, 20.0), Sense::hover());
        for (at, right) in latest.iter().enumerate() {
            let centre = rect.left_center() + vec2(RADIUS + 1.0 + APART * at as f32, 0.0);
            if *right {
                ui.painter().circle_filled(centre, RADIUS, theme.accent);
            } else {
                let stroke = Stroke::new(line::BOLD, theme.alert);
                ui.painter().circle_stroke(centre, RADIUS, stroke);
            }
        }
        let told: Vec<&str> = latest
            .iter()
            .map(|right| if *right { "right" } else { "not right" })
            .collect();
        let told = format!("{}: {}", step.what, told.join(", "));
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, told.clone()));
        ui.vertical(|ui| {
            let star = if step.must { " *" } else { "" };
            ui.label(format!("{}{star}", step.what));
        });
    });
}
