//! What a report says, block by block: from the record, its events and the findings, and from
//! nothing else. So the same journal gives the same report, to the byte.

mod answers;
mod by_hand;
mod changes;
mod closing;
mod conditions;
mod filed;
mod hearing;
mod long;
mod person;
mod sight;
mod sound;
mod summary;

use super::attachment::Attachment;
use super::dossier::Dossier;
use super::figure::shape::{Across, Down, Face, Ink, Label, Shape, Stroke, at};
use super::page::{Block, Form, Layout, MM, Run, Slab, Text, pages, run, size};
use super::print::{About, Paper, Tree, pdf};
use super::words::{Key, Lang};
use filed::Filed;
use std::cell::RefCell;
use std::collections::BTreeSet;

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PaperSize {
    /// 210 mm by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 by 11 inches (ANSI Y14.1, from memory).
    Letter,
}

impl PaperSize {
    /// Its width and height, points.
    #[must_use]
    pub fn points(self) -> [f32; 2] {
        match self {
            PaperSize::A4 => [210.0 * MM, 297.0 * MM],
            PaperSize::Letter => [8.5 * 72.0, 11.0 * 72.0],
        }
    }
}

/// What a report is to be like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ReportWish {
    /// The paper.
    pub paper: PaperSize,
    /// The language.
    pub lang: Lang,
    /// With every trial and the method's sheet.
    pub long: bool,
    /// The page in plain language for the person, in place of the report.
    pub for_person: bool,
}

/// Why a report could not be made.
#[derive(Debug, thiserror::Error)]
#[error("report: {0}")]
pub struct ReportError(String);

/// A report as a PDF.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The file.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

/// A page to look at.
#[derive(Debug, Clone, PartialEq)]
pub struct PageView {
    /// Its width and height, points.
    pub size: [f32; 2],
    /// All that stands on it.
    pub shapes: Vec<Shape>,
}

/// The report as PDF/A-3 with what is attached.
///
/// # Errors
/// What the library's validators found wrong; nothing of a journal that folds.
pub fn report_pdf(
    dossier: &Dossier,
    wish: ReportWish,
    attached: Vec<Attachment>,
) -> Result<Report, ReportError> {
    let filed = &Filed::from(dossier);
    let (pages, tree) = laid(filed, wish);
    let lang = wish.lang;
    let title = if wish.for_person {
        Key::PersonTitle
    } else {
        Key::Title
    };
    let about = About {
        title: format!("{}: {}", lang.text(title), filed.code(lang)),
        description: lang.fill(Key::Subject, &[&filed.day(lang)]),
        lang,
        creator: filed.record.opening.program.clone(),
        created: filed.ended(),
        id: filed.head.hash.clone(),
    };
    let bytes = pdf(&pages, &tree, &about, attached).map_err(ReportError)?;
    Ok(Report {
        bytes,
        pages: pages.len(),
    })
}

/// The pages of the same report, to look at before it is saved.
#[must_use]
pub fn report_pages(dossier: &Dossier, wish: ReportWish) -> Vec<PageView> {
    let (pages, _) = laid(&dossier.into(), wish);
    let view = |paper: Paper| PageView {
        size: paper.size,
        shapes: paper
            .leaves
            .into_iter()
            .flat_map(|leaf| leaf.shapes)
            .collect(),
    };
    pages.into_iter().map(view).collect()
}

/// All words of the report in the order in which they are read, a leaf a line.
#[must_use]
pub fn report_text(dossier: &Dossier, wish: ReportWish) -> String {
    // As large as usual: drawing it smaller changes no word.
    let (pages, _) = laid_at(&dossier.into(), wish, (1.0, false));
    let leaves = pages.into_iter().flat_map(|paper| paper.leaves);
    let words = |shape: Shape| match shape {
        Shape::Label(label) => Some(label.text),
        _ => None,
    };
    leaves
        .flat_map(|leaf| leaf.shapes)
        .filter_map(words)
        .collect::<Vec<_>>()
        .join("\n")
}

/// What a report says in English although it is in another language: what the findings say and that
/// language does not know, and what somebody typed.
#[must_use]
pub fn left_in_english(dossier: &Dossier, wish: ReportWish) -> Vec<String> {
    let filed = &dossier.into();
    let said = Said::of(filed, wish.lang, false);
    let _ = said.all_blocks(wish);
    said.english.into_inner().into_iter().collect()
}

/// A report that is not long is to fit on so many pages …
const PAGES: usize = 2;
/// … and is drawn smaller, down to this, if that makes it fit; first with the audiogram in its usual
/// height, then with a lower one.
const SMALLER: [(f32, bool); 7] = [
    (0.96, false),
    (0.92, false),
    (0.88, false),
    (0.92, true),
    (0.88, true),
    (0.85, true),
    (0.82, true),
];

fn laid(filed: &Filed, wish: ReportWish) -> (Vec<Paper>, Vec<Tree>) {
    let whole = laid_at(filed, wish, (1.0, false));
    if wish.long || whole.0.len() <= PAGES {
        return whole;
    }
    let mut smaller = SMALLER.into_iter().map(|how| laid_at(filed, wish, how));
    smaller
        .find(|(pages, _)| pages.len() <= PAGES)
        .unwrap_or(whole)
}

/// Laid out on a page larger by as much as all is then drawn smaller.
fn laid_at(filed: &Filed, wish: ReportWish, (times, low): (f32, bool)) -> (Vec<Paper>, Vec<Tree>) {
    let [width, height] = wish.paper.points().map(|side| side / times);
    let form = Form {
        size: [width, height],
        left: 17.0 * MM / times,
        top: 14.5 * MM / times,
        right: 17.0 * MM / times,
        foot: 14.0 * MM / times,
    };
    let said = Said::of(filed, wish.lang, low);
    let mut layout = Layout::new(wish.lang, form.height());
    let (slabs, tree): (Vec<Slab>, Vec<Tree>) = layout.all(&said.all_blocks(wish), form.width());
    let mut pages = pages(slabs, form, |page, of| around(&said, form, page, of));
    for page in &mut pages {
        page.size = wish.paper.points();
        for leaf in &mut page.leaves {
            let shapes = std::mem::take(&mut leaf.shapes).into_iter();
            leaf.shapes = shapes.map(|one| one.scaled(times, at(0.0, 0.0))).collect();
        }
    }
    (pages, tree)
}

/// What the report is about, and in which language: what every part is made from.
pub(crate) struct Said<'a> {
    pub filed: &'a Filed<'a>,
    pub lang: Lang,
    /// Whether the audiogram is drawn low, to save room.
    pub low: bool,
    /// What stayed English in another language, as it was met.
    english: RefCell<BTreeSet<String>>,
}

impl<'a> Said<'a> {
    fn of(filed: &'a Filed<'a>, lang: Lang, low: bool) -> Said<'a> {
        Said {
            filed,
            lang,
            low,
            english: RefCell::default(),
        }
    }

    fn all_blocks(&self, wish: ReportWish) -> Vec<Block> {
        if wish.for_person {
            person::blocks(self)
        } else {
            blocks(self, wish.long)
        }
    }
    /// A text.
    pub(crate) fn w(&self, key: Key) -> &'static str {
        self.lang.text(key)
    }

    /// A text with its places filled.
    pub(crate) fn f(&self, key: Key, parts: &[&str]) -> String {
        self.lang.fill(key, parts)
    }

    /// A number.
    pub(crate) fn n(&self, value: f64, decimals: usize) -> String {
        self.lang.number(value, decimals)
    }

    /// A text that the findings say in English: in the report's language where it is known there,
    /// else in English and told to be so.
    pub(crate) fn told(&self, english: &str) -> Run {
        match self.known(english) {
            Some(text) => run(text),
            None => run(english).lang(Lang::English),
        }
    }

    /// The same inside a sentence, which cannot change its language.
    pub(crate) fn words(&self, english: &str) -> String {
        self.known(english).unwrap_or_else(|| english.to_owned())
    }

    fn known(&self, english: &str) -> Option<String> {
        let known = self.lang.said(english);
        if known.is_none() {
            self.english.borrow_mut().insert(english.to_owned());
        }
        known
    }
}

/// A paragraph of the usual size.
fn paragraph(text: Text) -> Block {
    Block::Paragraph(text, size::BODY, 3.5)
}

/// A paragraph of smaller type.
fn small(text: Text) -> Block {
    Block::Paragraph(text, size::SMALL, 2.5)
}

fn blocks(said: &Said, long: bool) -> Vec<Block> {
    let mut all = summary::head(said);
    all.extend(summary::blocks(said));
    all.extend(hearing::blocks(said));
    all.extend(sight::blocks(said));
    all.extend(answers::blocks(said));
    all.extend(by_hand::blocks(said));
    all.extend(changes::blocks(said));
    all.extend(conditions::blocks(said));
    if long {
        all.extend(long::blocks(said));
    }
    all.extend(closing::blocks(said));
    all
}

/// What stands around the body of every page.
fn around(said: &Said, form: Form, page: usize, of: usize) -> Vec<Shape> {
    let [width, height] = form.size;
    let right = width - form.right;
    let mut all = Vec::new();
    let mut line = |x, y, across, text: String, face, ink| {
        all.push(Shape::Label(Label {
            size: size::TINY,
            face,
            ..Label::small(at(x, y), across, Down::Base, text).in_ink(ink)
        }));
    };
    let foot = height - form.foot + 17.0;
    let filed = said.filed;
    let id = said.f(Key::FootId, &[&filed.id(), &filed.record.opening.program]);
    line(form.left, foot, Across::Start, id, Face::Plain, Ink::Soft);
    let pages = said.f(Key::PageOf, &[&page.to_string(), &of.to_string()]);
    line(right, foot, Across::End, pages, Face::Plain, Ink::Soft);
    let head = form.top - 14.0;
    if page > 1 {
        let whose = format!(
            "{}  \u{b7}  {}",
            filed.code(said.lang),
            filed.day(said.lang)
        );
        line(
            form.left,
            head,
            Across::Start,
            whose,
            Face::Plain,
            Ink::Soft,
        );
    }
    if filed.simulated() {
        let text = said.w(Key::SimulatedMark).to_owned();
        line(right, head, Across::End, text, Face::Strong, Ink::Alert);
    }
    let rule = Stroke::new(0.5, Ink::Hair);
    all.push(Shape::level([form.left, right], foot - 10.0, rule));
    all
}
