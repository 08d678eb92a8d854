//! Many visits at once: every journal below a folder, exported while the desk goes on.

use super::super::parts::{field, heading, remark};
use super::super::style::Theme;
use crate::errand::{ErrandError, ExportProgress, ExportWish, ExportedAll, export_all};
use crate::report::ReportWish;
use eframe::egui::{Button, ProgressBar, RichText, Ui};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::thread::JoinHandle;
use std::time::Duration;

/// How often the bar is drawn anew.
const DRAWN_EVERY: Duration = Duration::from_millis(100);

/// The export of a folder of journals.
#[derive(Default)]
pub struct Bulk {
    /// The folder of journals, as it is typed.
    pub from: String,
    /// What came of it.
    pub told: Option<String>,
    work: Option<Work>,
}

struct Work {
    into: PathBuf,
    progress: Arc<ExportProgress>,
    thread: JoinHandle<Result<ExportedAll, ErrandError>>,
}

impl Bulk {
    /// Begins, unless one is under way. What stands in the folder is never written over.
    pub fn begin(&mut self, into: &str, report: ReportWish) {
        if self.work.is_some() {
            return;
        }
        self.told = None;
        let (from, into) = (PathBuf::from(self.from.trim()), PathBuf::from(into.trim()));
        let (progress, place) = (Arc::new(ExportProgress::default()), into.clone());
        let theirs = Arc::clone(&progress);
        let wish = ExportWish {
            report,
            ..ExportWish::default()
        };
        let thread = std::thread::spawn(move || {
            // One thread: sound and windows come first.
            let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build();
            let pool = pool.map_err(|error| ErrandError::Failed(error.to_string()))?;
            pool.install(|| export_all(&from, &place, &wish, &theirs))
        });
        self.work = Some(Work {
            into,
            progress,
            thread,
        });
    }

    /// Asks it to stop: what is in hand is brought to its end, so that there are whole files only.
    pub fn stop(&self) {
        if let Some(work) = &self.work {
            work.progress.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Whether it is under way; when it has ended, says what came of it.
    pub fn under_way(&mut self) -> bool {
        let Some(work) = self.work.take_if(|work| work.thread.is_finished()) else {
            return self.work.is_some();
        };
        self.told = Some(match work.thread.join() {
            Ok(Ok(all)) => told(&all, &work.into),
            Ok(Err(error)) => error.to_string(),
            Err(_) => "The export ended unexpectedly; what is in the folder is whole.".into(),
        });
        false
    }

    /// Draws the choice of the folder, or how far the export is.
    pub(super) fn draw(&mut self, ui: &mut Ui, theme: &Theme, into: &str, report: ReportWish) {
        heading(ui, theme, "All visits of a folder");
        if self.under_way() {
            self.draw_progress(ui);
        } else {
            let hint = "a folder with journals in it";
            field(ui, "Folder of journals", hint, 270.0, &mut self.from);
            let ready = ![self.from.as_str(), into]
                .iter()
                .any(|one| one.trim().is_empty());
            if ui
                .add_enabled(ready, Button::new("Export all of them"))
                .clicked()
            {
                self.begin(into, report);
            }
            let what = "Report, pictures, tables and bundle of each, and one table of all, into the folder \
                        above. Nothing there is written over.";
            remark(ui, theme, what);
        }
        if let Some(told) = &self.told {
            ui.label(RichText::new(told).color(theme.accent));
        }
    }

    fn draw_progress(&self, ui: &mut Ui) {
        let Some(work) = &self.work else { return };
        let (done, of) = (&work.progress.done, &work.progress.of);
        let [done, of] = [done, of].map(|count| count.load(Ordering::Relaxed));
        let share = done as f32 / of.max(1) as f32;
        let text = format!("{done} of {of} visits");
        ui.add(ProgressBar::new(share).text(text).desired_width(270.0));
        let stopping = work.progress.stop.load(Ordering::Relaxed);
        if ui.add_enabled(!stopping, Button::new("Stop")).clicked() {
            self.stop();
        }
        ui.ctx().request_repaint_after(DRAWN_EVERY);
    }
}

impl Drop for Bulk {
    fn drop(&mut self) {
        self.stop();
    }
}

/// What was exported, and which journals were not and why.
fn told(all: &ExportedAll, into: &std::path::Path) -> String {
    let (exported, journals) = (all.exported, all.journals);
    let stopped = if all.stopped { "Stopped. " } else { "" };
    let left_out = all.left_out.first().map_or(String::new(), |first| {
        let count = all.left_out.len();
        format!(" Left out: {count}; the first: {}", first.why)
    });
    let copies = match all.copies {
        0 => String::new(),
        copies => format!(" Passed over: {copies} copies of the same journals."),
    };
    format!(
        "{stopped}Exported: {exported} of {journals} visits into {}.{copies}{left_out}",
        into.display()
    )
}
