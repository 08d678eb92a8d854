//! Hand over: the pages of the report as they will be, and all files, before anything is saved.

mod bulk;
mod naming;

pub use bulk::Bulk;
pub use naming::{Named, Naming};

use super::parts::{aside, choices, field, heading, remark};
use super::remembered;
use super::style::{self, STEP, Theme};
use crate::errand::{
    ErrandError, ExportWish, JOURNAL_FILE, dossier_in, dossier_kept, files_of, picture_files,
    put_all, report_file,
};
use crate::report::figure::Area;
use crate::report::figure::shape::at;
use crate::report::words::Lang;
use crate::report::{
    Attachment, Dossier, PageView, PaperSize, ReportWish, picture_pages, pixels, report_pages,
};
use crate::store::{Archive, Code};
use eframe::egui::{
    ColorImage, Grid, Image, RichText, Role, ScrollArea, TextureHandle, TextureOptions, Ui, Vec2,
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

/// What is handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum What {
    /// The report.
    #[default]
    Report,
    /// The page in plain language.
    ForPerson,
    /// The audiogram and the figures of acuity.
    Pictures,
    /// All files of the visit, in a folder of their own.
    Everything,
}

/// What is handed over, where to, and its pages.
#[derive(Default)]
pub struct HandOver {
    /// What it is.
    pub what: What,
    /// What the report is to be like.
    pub wish: ReportWish,
    /// What the bundle says of the person.
    pub named: Named,
    /// The folder to save into, as it is typed.
    pub folder: String,
    /// What came of the last wish.
    pub told: Option<String>,
    /// The export of a folder of journals.
    pub bulk: Bulk,
    /// Whether the folder is remembered over the end of the program.
    remembers: bool,
    /// Where something stands already, and would be written over by asking once more.
    asked: Option<PathBuf>,
    /// The visit, and how many lines its journal had.
    of: Option<(KeptIn, u64)>,
    dossier: Option<Dossier>,
    /// What the pages were laid for.
    laid_for: Option<(What, ReportWish)>,
    pages: Vec<Shown>,
    /// All files of the visit, once they are looked at.
    files: Option<Vec<Attachment>>,
    /// A visit of the store that has left it as a file since this was last asked.
    left_the_store: Option<Code>,
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
        let of = (kept_in, lines);
        if self.of.as_ref() != Some(&of) {
            self.read(of, archive);
        }
        let Some(dossier) = &self.dossier else { return };
        let for_what = (self.what, self.wish);
        if self.laid_for != Some(for_what) {
            let pages = pages_of(dossier, self.what, self.wish).into_iter();
            let shown = |view| Shown {
                view,
                picture: None,
            };
            self.pages = pages.map(shown).collect();
            self.laid_for = Some(for_what);
            (self.files, self.asked, self.told) = (None, None, None);
        }
    }

    fn read(&mut self, of: (KeptIn, u64), archive: Option<&mut Archive>) {
        let same = self
            .of
            .as_ref()
            .is_some_and(|(kept_in, _)| *kept_in == of.0);
        if !same {
            // A name is typed for one visit.
            self.named = Named::default();
        }
        self.pages.clear();
        (self.of, self.dossier, self.laid_for, self.files) = (None, None, None, None);
        let dossier = match (&of.0, archive) {
            (KeptIn::Folder(folder), _) => {
                if self.folder.is_empty() {
                    self.folder = folder.display().to_string();
                }
                dossier_in(&folder.join(JOURNAL_FILE))
            }
            (KeptIn::Store(visit), Some(archive)) => dossier_kept(archive, visit),
            // It may be open again in a moment: nothing was made of this.
            (KeptIn::Store(_), None) => {
                self.told = Some("Store: expected one that is open".into());
                return;
            }
        };
        self.of = Some(of);
        match dossier {
            Ok(dossier) => self.dossier = Some(dossier),
            Err(error) => self.told = Some(error.to_string()),
        }
    }

    /// How many pages there are.
    #[must_use]
    pub fn pages(&self) -> usize {
        self.pages.len()
    }

    /// A visit of the store that has left it as a file since this was last asked.
    pub fn left_the_store(&mut self) -> Option<Code> {
        self.left_the_store.take()
    }

    /// What a file or folder is called: whose visit, which day and what, and nothing else about anybody.
    #[must_use]
    pub fn name(&self) -> String {
        let Some(dossier) = &self.dossier else {
            return "visit".to_owned();
        };
        let words = dossier
            .whose()
            .split(|sign: char| !sign.is_ascii_alphanumeric());
        let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
        let whose: String = words.join("-").chars().take(24).collect();
        let whose = whose.trim_matches('-');
        let day = dossier
            .began
            .to_zoned_datetime(jiff::tz::TimeZone::UTC)
            .date();
        let lang = match self.wish.lang {
            Lang::English => "",
            Lang::German => "-de",
        };
        match self.what {
            What::Report if self.wish.long => format!("{whose}-{day}-report-long{lang}.pdf"),
            What::Report => format!("{whose}-{day}-report{lang}.pdf"),
            What::ForPerson => format!("{whose}-{day}-for-the-person{lang}.pdf"),
            What::Pictures => format!("{whose}-{day}-pictures{lang}"),
            What::Everything => format!("{whose}-{day}{lang}"),
        }
    }

    /// Where it is saved: one file, or a folder of several.
    fn place(&self) -> PathBuf {
        Path::new(self.folder.trim()).join(self.name())
    }

    /// Saves what is chosen. Nothing that is there is written over unless that was asked for twice.
    pub fn save(&mut self) {
        let place = self.place();
        let force = self.asked.take_if(|asked| *asked == place).is_some();
        let Some(saved) = self.write(&place, force) else {
            return;
        };
        self.told = Some(match saved {
            Ok(count) => {
                if self.remembers {
                    remembered::keep_folder(self.folder.trim());
                }
                if let Some((KeptIn::Store(visit), _)) = &self.of {
                    self.left_the_store = Some(visit.clone());
                }
                match count {
                    1 => format!("Saved: {}", place.display()),
                    count => format!("Saved: {count} files in {}", place.display()),
                }
            }
            Err(ErrandError::StandsAlready(path)) => {
                self.asked = Some(place);
                format!(
                    "{} is there already. Press 'Write over it' to replace it, or choose another folder.",
                    path.display()
                )
            }
            Err(error) => error.to_string(),
        });
    }

    /// How many files were written; none where there is no visit.
    fn write(&mut self, place: &Path, force: bool) -> Option<Result<usize, ErrandError>> {
        self.dossier.as_ref()?;
        let files = match self.what {
            What::Everything => self.files().map(<[_]>::to_vec),
            what => {
                let dossier = self.dossier.as_ref()?;
                match what {
                    What::Pictures => picture_files(dossier, self.wish.lang),
                    what => report_file(dossier, report_wish(what, self.wish)).map(|file| {
                        vec![Attachment {
                            name: self.name(),
                            ..file
                        }]
                    }),
                }
            }
        };
        let folder = match self.what {
            What::Report | What::ForPerson => Path::new(self.folder.trim()),
            What::Pictures | What::Everything => place,
        };
        // The journal of a visit under way is open.
        let own = match &self.of {
            Some((KeptIn::Folder(folder), _)) => Some(folder.join(JOURNAL_FILE)),
            _ => None,
        };
        let put = files.and_then(|files| put_all(folder, &files, force, own.as_deref()));
        Some(put.map(|put| put.files.len()))
    }

    /// All files of the visit, made when they are first looked at.
    fn files(&mut self) -> Result<&[Attachment], ErrandError> {
        if self.files.is_none() {
            let Some(dossier) = &self.dossier else {
                return Ok(&[]);
            };
            let wish = ExportWish {
                identity: self.named.identity().map_err(ErrandError::BadInput)?,
                report: self.wish,
                force: false,
            };
            self.files = Some(files_of(dossier, &wish)?);
        }
        Ok(self.files.as_deref().unwrap_or_default())
    }

    /// Draws the page.
    pub fn draw(&mut self, ui: &mut Ui, theme: &Theme) {
        if aside(ui, "hand over", 300.0, |ui| self.choices(ui, theme)) {
            self.save();
        }
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            if self.what == What::Everything && self.dossier.is_some() {
                self.list(ui, theme);
            }
            let width = ui.available_width() - 2.0 * STEP;
            let count = self.pages.len();
            for (place, page) in self.pages.iter_mut().enumerate() {
                page.draw(ui, theme, width, (place + 1, count));
                ui.add_space(2.0 * STEP);
            }
        });
    }

    /// The files that will be written, each with what it is.
    fn list(&mut self, ui: &mut Ui, theme: &Theme) {
        let folder = self.name();
        let files = match self.files() {
            Ok(files) => files,
            Err(error) => {
                ui.label(RichText::new(error.to_string()).color(theme.accent));
                return;
            }
        };
        let bytes: usize = files.iter().map(|file| file.bytes.len()).sum();
        let whole = format!("{} files, {}, in {folder}", files.len(), told_size(bytes));
        ui.label(RichText::new(whole).strong());
        ui.add_space(STEP);
        let small = |text: &str| RichText::new(text).size(style::type_size::SMALL);
        Grid::new("files")
            .num_columns(3)
            .min_row_height(0.0)
            .spacing([2.0 * STEP, 4.0])
            .show(ui, |ui| {
                for file in files {
                    ui.label(small(&file.name));
                    let size = told_size(file.bytes.len());
                    ui.label(small(&size).color(theme.ink_soft));
                    ui.label(small(&file.about).color(theme.ink_soft));
                    ui.end_row();
                }
            });
        ui.add_space(2.0 * STEP);
    }

    /// Draws the choices; whether to save.
    fn choices(&mut self, ui: &mut Ui, theme: &Theme) -> bool {
        heading(ui, theme, "What");
        let what = [
            (What::Report, "Report"),
            (What::ForPerson, "Page for the person"),
            (What::Pictures, "Pictures"),
            (What::Everything, "Everything"),
        ];
        choices(ui, &what, &mut self.what);
        heading(ui, theme, "Language");
        let languages = [(Lang::English, "English"), (Lang::German, "Deutsch")];
        choices(ui, &languages, &mut self.wish.lang);
        if self.what != What::Pictures {
            heading(ui, theme, "Paper");
            let papers = [(PaperSize::A4, "A4"), (PaperSize::Letter, "Letter")];
            choices(ui, &papers, &mut self.wish.paper);
        }
        if matches!(self.what, What::Report | What::Everything) {
            heading(ui, theme, "Form");
            let forms = [(false, "In short"), (true, "With every presentation")];
            choices(ui, &forms, &mut self.wish.long);
        }
        if self.what == What::Everything {
            let before = self.named.clone();
            self.named.draw(ui, theme);
            if self.named != before {
                (self.files, self.asked) = (None, None);
            }
        }
        ui.add_space(STEP);
        heading(ui, theme, "Folder");
        field(ui, "Folder", "where to save", 270.0, &mut self.folder);
        remark(ui, theme, &self.name());
        ui.add_space(STEP);
        let over = self.asked.as_ref() == Some(&self.place());
        let save = match self.what {
            _ if over => "Write over it",
            What::Report | What::ForPerson => "Save as PDF",
            What::Pictures => "Save the pictures",
            What::Everything => "Save everything",
        };
        let ready = self.dossier.is_some() && !self.folder.trim().is_empty();
        let wanted = ui.add_enabled(ready, style::primary(theme, save)).clicked();
        if let Some(told) = &self.told {
            ui.label(RichText::new(told).color(theme.accent));
        }
        remark(ui, theme, inside(self.what));
        ui.add_space(STEP);
        self.bulk.draw(ui, theme, &self.folder, self.wish);
        wanted
    }
}

/// What a file carries, for whoever gives it away.
fn inside(what: What) -> &'static str {
    match what {
        What::Report => "The report carries the journal inside.",
        What::ForPerson => "The page for the person carries nothing inside.",
        What::Pictures => "Each as SVG and as PNG.",
        What::Everything => {
            "Report, page for the person, pictures, tables with their dictionary, schemas, bundle and \
             journal."
        }
    }
}

fn report_wish(what: What, wish: ReportWish) -> ReportWish {
    ReportWish {
        for_person: what == What::ForPerson,
        ..wish
    }
}

fn pages_of(dossier: &Dossier, what: What, wish: ReportWish) -> Vec<PageView> {
    let of = |what| match what {
        What::Pictures => picture_pages(dossier, wish.lang),
        what => report_pages(dossier, report_wish(what, wish)),
    };
    match what {
        What::Everything => [What::Report, What::ForPerson, What::Pictures]
            .into_iter()
            .flat_map(of)
            .collect(),
        what => of(what),
    }
}

fn told_size(bytes: usize) -> String {
    match bytes {
        0..10_000 => format!("{:.1} kB", bytes as f64 / 1e3),
        10_000..1_000_000 => format!("{:.0} kB", bytes as f64 / 1e3),
        _ => format!("{:.1} MB", bytes as f64 / 1e6),
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
