//! Hand over: the pages of the report as they will be, before anything is saved.

mod bulk;

pub use bulk::Bulk;

use super::parts::{aside, choices, field, heading, remark};
use super::remembered;
use super::style::{self, STEP, Theme};
use crate::errand::{JOURNAL_FILE, dossier_in, dossier_kept, report_of, write_pictures};
use crate::report::figure::Area;
use crate::report::figure::shape::at;
use crate::report::words::Lang;
use crate::report::{Dossier, PageView, PaperSize, ReportWish, pixels, report_pages};
use crate::store::{Archive, Code};
use eframe::egui::{
    ColorImage, Image, RichText, Role, ScrollArea, TextureHandle, TextureOptions, Ui, Vec2,
    WidgetInfo,
};
use std::path::{Path, PathBuf};

/// A page that is shown, and its picture once it has come into view.
struct Shown {
    view: PageView,
    picture: Option<TextureHandle>,
}

/// Where the visit is kept whose pages are shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum KeptIn {
    /// In a folder of its own.
    Folder(PathBuf),
    /// In the store, under this code.
    Store(Code),
}

/// What the pages were made from: they change only with it.
#[derive(PartialEq)]
struct MadeFrom {
    kept_in: KeptIn,
    lines: u64,
    wish: ReportWish,
}

/// What is handed over, where to, and its pages.
#[derive(Default)]
pub struct HandOver {
    /// What the report is to be like.
    pub wish: ReportWish,
    /// The folder to save into, as it is typed.
    pub folder: String,
    /// What came of the last wish.
    pub told: Option<String>,
    /// The export of a folder of journals.
    pub bulk: Bulk,
    /// Whether the folder is remembered over the end of the program.
    remembers: bool,
    /// The file that is there already, and would be written over by asking once more.
    asked: Option<PathBuf>,
    made_from: Option<MadeFrom>,
    dossier: Option<Dossier>,
    pages: Vec<Shown>,
}

/// What was asked for on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    Save,
    Pictures,
}

impl HandOver {
    /// Nothing chosen yet but the folder that was saved into last.
    #[must_use]
    pub fn remembered() -> HandOver {
        HandOver {
            folder: remembered::folder().unwrap_or_default(),
            remembers: true,
            ..HandOver::default()
        }
    }

    /// Brings the pages up to a visit of so many lines.
    pub fn refresh(&mut self, kept_in: KeptIn, lines: u64, archive: Option<&mut Archive>) {
        let from = MadeFrom {
            kept_in,
            lines,
            wish: self.wish,
        };
        if self.made_from.as_ref() == Some(&from) {
            return;
        }
        (self.asked, self.told) = (None, None);
        let dossier = match (&from.kept_in, archive) {
            (KeptIn::Folder(folder), _) => {
                if self.folder.is_empty() {
                    self.folder = folder.display().to_string();
                }
                dossier_in(&folder.join(JOURNAL_FILE))
            }
            (KeptIn::Store(visit), Some(archive)) => dossier_kept(archive, visit),
            // It may be open again in a moment: nothing was made of this.
            (KeptIn::Store(_), None) => {
                self.pages.clear();
                (self.dossier, self.made_from) = (None, None);
                self.told = Some("Store: expected one that is open".into());
                return;
            }
        };
        match dossier {
            Ok(dossier) => {
                let pages = report_pages(&dossier, self.wish).into_iter();
                let shown = |view| Shown {
                    view,
                    picture: None,
                };
                self.pages = pages.map(shown).collect();
                self.dossier = Some(dossier);
            }
            Err(error) => {
                self.pages.clear();
                self.dossier = None;
                self.told = Some(error.to_string());
            }
        }
        self.made_from = Some(from);
    }

    /// How many pages there are.
    #[must_use]
    pub fn pages(&self) -> usize {
        self.pages.len()
    }

    /// The file's name: whose visit and which day, and nothing else about anybody.
    #[must_use]
    pub fn file_name(&self) -> String {
        let Some(dossier) = &self.dossier else {
            return "report.pdf".to_owned();
        };
        let whose: String = dossier
            .whose()
            .chars()
            .take(24)
            .map(|sign| {
                if sign.is_ascii_alphanumeric() {
                    sign
                } else {
                    '-'
                }
            })
            .collect();
        let day = dossier.began.to_zoned_datetime(jiff::tz::TimeZone::UTC);
        let what = match (self.wish.for_person, self.wish.long) {
            (true, _) => "for-the-person",
            (false, true) => "report-long",
            (false, false) => "report",
        };
        let lang = match self.wish.lang {
            Lang::English => String::new(),
            Lang::German => "-de".to_owned(),
        };
        let whose = whose.trim_matches('-');
        format!("{whose}-{}-{what}{lang}.pdf", day.date())
    }

    /// Saves the report; a file that is there is written over only when it was asked for twice.
    pub fn save(&mut self) {
        let Some(dossier) = &self.dossier else {
            return;
        };
        let path = Path::new(self.folder.trim()).join(self.file_name());
        if path.exists() && self.asked.as_ref() != Some(&path) {
            self.told = Some(format!(
                "{} is there already. Press 'Write over it' to replace it, or choose another folder.",
                path.display()
            ));
            self.asked = Some(path);
            return;
        }
        self.asked = None;
        let saved = report_of(dossier, self.wish)
            .map_err(|error| error.to_string())
            .and_then(|report| {
                std::fs::create_dir_all(self.folder.trim())
                    .and_then(|()| std::fs::write(&path, &report.bytes))
                    .map_err(|error| format!("{}: {error}", path.display()))
            });
        self.told = Some(match saved {
            Ok(()) => {
                self.remember();
                format!("Saved: {}", path.display())
            }
            Err(error) => error,
        });
    }

    /// Saves the audiogram and the acuity figures; what is there is never written over.
    pub fn save_pictures(&mut self) {
        let Some(dossier) = &self.dossier else {
            return;
        };
        let folder = PathBuf::from(self.folder.trim());
        let written = write_pictures(dossier, self.wish.lang, &folder, false);
        self.told = Some(match written {
            Ok(files) => {
                self.remember();
                format!("Saved: {} pictures in {}", files.len(), folder.display())
            }
            Err(error) => error.to_string(),
        });
    }

    fn remember(&self) {
        if self.remembers {
            remembered::keep_folder(self.folder.trim());
        }
    }

    /// Draws the page.
    pub fn draw(&mut self, ui: &mut Ui, theme: &Theme) {
        let wanted = aside(ui, "hand over", 300.0, |ui| self.choices(ui, theme));
        match wanted {
            Some(Wanted::Save) => self.save(),
            Some(Wanted::Pictures) => self.save_pictures(),
            None => {}
        }
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            let width = ui.available_width() - 2.0 * STEP;
            let count = self.pages.len();
            for (place, page) in self.pages.iter_mut().enumerate() {
                page.draw(ui, theme, width, (place + 1, count));
                ui.add_space(2.0 * STEP);
            }
        });
    }

    fn choices(&mut self, ui: &mut Ui, theme: &Theme) -> Option<Wanted> {
        let mut wanted = None;
        heading(ui, theme, "What");
        let what = [(false, "Report"), (true, "Page for the person")];
        choices(ui, &what, &mut self.wish.for_person);
        heading(ui, theme, "Language");
        let languages = [(Lang::English, "English"), (Lang::German, "Deutsch")];
        choices(ui, &languages, &mut self.wish.lang);
        heading(ui, theme, "Paper");
        let papers = [(PaperSize::A4, "A4"), (PaperSize::Letter, "Letter")];
        choices(ui, &papers, &mut self.wish.paper);
        if !self.wish.for_person {
            heading(ui, theme, "Form");
            let forms = [(false, "In short"), (true, "With every presentation")];
            choices(ui, &forms, &mut self.wish.long);
        }
        ui.add_space(STEP);
        heading(ui, theme, "Folder");
        let hint = "where to save";
        if field(ui, "Folder", hint, 270.0, &mut self.folder).changed() {
            self.asked = None;
        }
        remark(ui, theme, &self.file_name());
        ui.add_space(STEP);
        let save = if self.asked.is_some() {
            "Write over it"
        } else {
            "Save as PDF"
        };
        let ready = self.dossier.is_some() && !self.folder.trim().is_empty();
        if ui.add_enabled(ready, style::primary(theme, save)).clicked() {
            wanted = Some(Wanted::Save);
        }
        let pictures = eframe::egui::Button::new("Save the pictures");
        if ui.add_enabled(ready, pictures).clicked() {
            wanted = Some(Wanted::Pictures);
        }
        if let Some(told) = &self.told {
            ui.label(RichText::new(told).color(theme.accent));
        }
        remark(
            ui,
            theme,
            "The report carries the journal inside. The page for the person carries nothing.",
        );
        ui.add_space(STEP);
        let report = ReportWish {
            for_person: false,
            ..self.wish
        };
        self.bulk.draw(ui, theme, &self.folder, report);
        wanted
    }
}

impl Shown {
    /// As wide as there is room; its picture is made when it first comes into view.
    fn draw(&mut self, ui: &mut Ui, theme: &Theme, width: f32, (number, of): (usize, usize)) {
        let [wide, high] = self.view.size;
        let size = Vec2::new(width, width * high / wide);
        let (rect, response) = ui.allocate_exact_size(size, eframe::egui::Sense::hover());
        response.widget_info(|| {
            WidgetInfo::labeled(
                Role::Image,
                true,
                format!("Page {number} of {of} of the report"),
            )
        });
        if !ui.is_rect_visible(rect) {
            return;
        }
        let picture = self.picture.get_or_insert_with(|| {
            let a_point = (width * ui.ctx().pixels_per_point() / wide).clamp(0.5, 3.0);
            let area = Area::sized(at(0.0, 0.0), wide, high);
            let image = pixels(&self.view.shapes, area, a_point).map_or_else(
                |_| ColorImage::default(),
                |drawn| {
                    let size = [drawn.width as usize, drawn.height as usize];
                    ColorImage::from_rgb(size, &drawn.rgb)
                },
            );
            ui.ctx().load_texture("page", image, TextureOptions::LINEAR)
        });
        Image::new(&*picture).paint_at(ui, rect);
        let border = eframe::egui::Stroke::new(style::line::HAIR, theme.hair);
        ui.painter()
            .rect_stroke(rect, 0.0, border, eframe::egui::StrokeKind::Outside);
    }
}
