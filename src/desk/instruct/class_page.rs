//! How a class is drawn.

use super::class::Class;
use super::page::{DRAWN_EVERY, wide};
use crate::desk::parts::{field, heading, remark};
use crate::desk::style::{STEP, Theme, type_size};
use crate::practice::{ClassRow, ClassTable};
use eframe::egui::{Button, RichText, Ui};
use std::path::PathBuf;

const WIDTH: f32 = 250.0;

/// Which folder, where the table goes, and the raters.
pub(super) fn controls(ui: &mut Ui, theme: &Theme, class: &mut Class) {
    heading(ui, theme, "Journals of a class");
    field(
        ui,
        "Folder of the class",
        "a folder",
        WIDTH,
        &mut class.folder,
    );
    if let Some(journals) = class.gathering() {
        ui.label(format!("{journals} journals read"));
        if wide(ui, "Stop") {
            class.stop();
        }
        ui.ctx().request_repaint_after(DRAWN_EVERY);
    } else if wide(ui, "Gather them") {
        class.gather();
    }
    if class.gathered.is_some() {
        ui.add_space(STEP);
        heading(ui, theme, "The table, for other programs");
        field(
            ui,
            "File of the table",
            "a new file",
            WIDTH,
            &mut class.csv_file,
        );
        if wide(ui, "Write it as CSV") {
            class.write_csv();
        }
    }
    ui.add_space(STEP);
    heading(ui, theme, "How far two raters agree");
    for (at, name) in ["Folder of one rater", "Folder of the other"]
        .into_iter()
        .enumerate()
    {
        field(ui, name, "what was ticked", WIDTH, &mut class.raters[at]);
    }
    if wide(ui, "Compare them") {
        class.compare_raters();
    }
    if let Some(message) = &class.message {
        ui.label(RichText::new(message).color(theme.accent));
    }
}

/// The exercises of the class, a card each; the journal whose debrief is wanted.
pub(super) fn table(ui: &mut Ui, theme: &Theme, class: &Class) -> Option<PathBuf> {
    let mut wanted = None;
    let Some(gathered) = &class.gathered else {
        remark(
            ui,
            theme,
            "Put the journals that the trainees sent into one folder, each in a folder of its own or beside one another. Each is \
             checked: one that was changed, or has not come to its end, is named and left out.",
        );
        return None;
    };
    let (rows, refused) = (gathered.rows.len(), gathered.refused.len());
    let told =
        format!("{rows} exercises; every line of their journals holds. {refused} not taken in.");
    ui.label(told);
    for one in &gathered.refused {
        ui.label(RichText::new(&one.why).color(theme.alert));
    }
    for one in &class.trainees {
        trainee(ui, theme, one);
        for row in gathered
            .rows
            .iter()
            .filter(|row| row.trainee == one.trainee)
        {
            if exercise_line(ui, theme, row) {
                wanted = Some(PathBuf::from(&row.file));
            }
        }
    }
    wanted
}

fn trainee(ui: &mut Ui, theme: &Theme, one: &ClassTable) {
    ui.add_space(2.0 * STEP);
    ui.label(RichText::new(&one.trainee).size(type_size::LARGE));
    next_line(ui, theme, one);
}

/// What improved, and what to practise next.
pub(in crate::desk) fn next_line(ui: &mut Ui, theme: &Theme, one: &ClassTable) {
    let better: Vec<&str> = one
        .steps
        .iter()
        .filter(|step| step.improved)
        .map(|step| step.what.as_str())
        .collect();
    if !better.is_empty() {
        remark(
            ui,
            theme,
            &format!("Better than before: {}", better.join("; ")),
        );
    }
    match &one.next {
        Some(next) => ui.label(RichText::new(format!("Practise next: {next}")).color(theme.accent)),
        None => ui.label("Nothing was missed of late."),
    };
}

/// What came of an exercise; whether its debrief is wanted.
pub(in crate::desk) fn exercise_line(ui: &mut Ui, theme: &Theme, row: &ClassRow) -> bool {
    let mut opens = false;
    ui.horizontal_top(|ui| {
        let button = ui.add(Button::new("Debrief"));
        opens = button.clicked();
        ui.vertical(|ui| {
            let set = row.set.as_deref().map_or(String::new(), |set| format!(", {set}"));
            ui.label(format!(
                "{}{set}: {} of {} thresholds near, answers judged rightly {} of {}, cues {} caught, {} missed, {} needless; masking \
                 missed at {}",
                row.exercise,
                row.near,
                row.of,
                row.judged_right,
                row.judged_of,
                row.cues_caught,
                row.cues_missed,
                row.cues_needless,
                row.missed_masking
            ));
            let mend = match row.to_mend.len() {
                0 => "nothing to mend".to_owned(),
                _ => format!("to mend: {}", row.to_mend.join(", ").replace('_', " ")),
            };
            let day = row.began.get(..16).unwrap_or(&row.began).replace('T', " ");
            let minutes = row.seconds / 60.0;
            let remark_of = row.remark.as_ref();
            let noted = remark_of.map_or_else(String::new, |remark| format!("; {remark}"));
            remark(
                ui,
                theme,
                &format!(
                    "{day}, {minutes:.0} min, {} presentations, the helper spoke at {}; {mend}. Journal head {}{noted}",
                    row.presentations, row.coached, row.head
                ),
            );
        });
    });
    opens
}
