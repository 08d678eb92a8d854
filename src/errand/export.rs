//! What leaves the house, written into folders. A file is written beside its place and then put
//! there, so that whatever happens there are whole files only; what stands there already is not
//! replaced unless that is wished.

use super::begin::JOURNAL_FILE;
use super::{ErrandError, dossier_in, report_of};
use crate::journal::Store;
use crate::report::{
    Attachment, Dossier, Findings, Identity, PictureFile, ReportWish, TABLES, attachments,
    bundle_file, explanations, findings_file, pictures, tables, worksheet_pages,
};
use crate::visit::Visit;
use rayon::prelude::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Tables that stand beside the journal of a visit at once; the others are exported.
const BESIDE_THE_JOURNAL: [&str; 3] = ["trials.csv", "worksheet.csv", "prompts.csv"];

/// The report's name in a folder.
const REPORT_FILE: &str = "report.pdf";

/// So many journals are in hand at a time: enough for any number of cores, and little memory.
const IN_HAND: usize = 64;

/// What is wished of an export.
#[derive(Debug, Clone, Default)]
pub struct ExportWish {
    /// What the bundle says of the person.
    pub identity: Identity,
    /// What the report is like; the pictures have its language.
    pub report: ReportWish,
    /// Files that stand there already are replaced.
    pub force: bool,
}

/// What was written of one visit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Exported {
    /// Where.
    pub folder: PathBuf,
    /// The files, each with its size in bytes.
    pub files: BTreeMap<String, usize>,
}

/// A journal that was not exported.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// Which.
    pub journal: PathBuf,
    /// Why.
    pub why: String,
}

/// What was written of a folder of journals.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct ExportedAll {
    /// Journals found.
    pub journals: usize,
    /// Visits exported.
    pub exported: usize,
    /// Bytes written.
    pub bytes: usize,
    /// Journals that could not be.
    pub left_out: Vec<LeftOut>,
    /// Whether it was stopped before its end.
    pub stopped: bool,
}

/// How far an export of many is, and whether it is to stop.
#[derive(Debug, Default)]
pub struct ExportProgress {
    /// Journals found.
    pub of: AtomicUsize,
    /// Journals done with.
    pub done: AtomicUsize,
    /// Set to stop: what is in hand is brought to its end, and nothing more is begun.
    pub stop: AtomicBool,
}

/// Writes a visit's journal, report, pictures, findings, tables, dictionary, schemas and bundle into a
/// folder.
///
/// # Errors
/// If the journal does not hold, if a file stands there already, or if the folder cannot be
/// written.
pub fn export(journal: &Path, folder: &Path, wish: &ExportWish) -> Result<Exported, ErrandError> {
    let (_, mut files) = files_of(journal, wish)?;
    files.extend(explanations().map_err(|error| ErrandError::failed(folder, error))?);
    write_all(folder, &files, wish.force, Some(journal))
}

/// Exports all journals below a folder, each into a folder of its own; beside these the dictionary,
/// the schemas, and a table of one row a visit.
///
/// # Errors
/// If the folders cannot be read or written, or the files beside the visits stand there already. A
/// journal that cannot be exported is left out, and named.
pub fn export_all(
    from: &Path,
    into: &Path,
    wish: &ExportWish,
    progress: &ExportProgress,
) -> Result<ExportedAll, ErrandError> {
    let journals = journals_below(from, into)?;
    if journals.is_empty() {
        let what = "expected journals (.jsonl) in it, found none";
        return Err(ErrandError::in_file(from, what));
    }
    progress.of.store(journals.len(), Ordering::Relaxed);
    let beside = explanations().map_err(|error| ErrandError::failed(into, error))?;
    let mut all = ExportedAll {
        journals: journals.len(),
        ..ExportedAll::default()
    };
    let visits = into.join("visits.csv");
    if visits.exists() && !wish.force {
        return Err(stands_already(&visits));
    }
    all.bytes += write_all(into, &beside, wish.force, None)?.bytes();
    let mut rows = Rows::begin(&visits)?;
    for chunk in journals.chunks(IN_HAND) {
        let done: Vec<_> = chunk
            .par_iter()
            .map(|(journal, name)| {
                if progress.stop.load(Ordering::Relaxed) {
                    return None;
                }
                let one = export_one(journal, name.as_deref(), into, wish);
                progress.done.fetch_add(1, Ordering::Relaxed);
                Some(one)
            })
            .collect();
        for ((journal, _), one) in chunk.iter().zip(done) {
            match one {
                Some(Ok((exported, table))) => {
                    all.exported += 1;
                    all.bytes += exported.bytes();
                    rows.add(&table)?;
                }
                Some(Err(error)) => all.left_out.push(LeftOut {
                    journal: journal.clone(),
                    why: error.to_string(),
                }),
                None => all.stopped = true,
            }
        }
    }
    all.bytes += rows.end()?;
    Ok(all)
}

impl Exported {
    fn bytes(&self) -> usize {
        self.files.values().sum()
    }
}

/// The visit, written, and its row of the wide table with the header.
fn export_one(
    journal: &Path,
    name: Option<&Path>,
    into: &Path,
    wish: &ExportWish,
) -> Result<(Exported, String), ErrandError> {
    let Some(name) = name else {
        let what = "another journal has the same place in the export";
        return Err(ErrandError::in_file(journal, what));
    };
    let (dossier, files) = files_of(journal, wish)?;
    let exported = write_all(&into.join(name), &files, wish.force, Some(journal))?;
    let wide = TABLES.iter().find(|table| table.name == "visits");
    let row = wide.map(|table| table.of(&dossier)).transpose();
    let row = row.map_err(|error| ErrandError::failed(journal, error))?;
    Ok((exported, row.flatten().unwrap_or_default()))
}

fn files_of(journal: &Path, wish: &ExportWish) -> Result<(Dossier, Vec<Attachment>), ErrandError> {
    let dossier = dossier_in(journal)?;
    let mut files = attachments(&dossier, &wish.identity)
        .map_err(|error| ErrandError::failed(journal, error))?;
    files.push(Attachment {
        name: REPORT_FILE.into(),
        media_type: "application/pdf",
        about: "The report.".into(),
        bytes: report_of(&dossier, wish.report)?.bytes,
    });
    let drawn = pictures(&dossier, wish.report.lang);
    let drawn = drawn.map_err(|error| ErrandError::failed(journal, error))?;
    files.extend(drawn.into_iter().map(picture));
    Ok((dossier, files))
}

fn picture(drawn: PictureFile) -> Attachment {
    Attachment {
        name: drawn.name,
        media_type: drawn.media_type,
        about: "The audiogram, or the acuity of an eye.".into(),
        bytes: drawn.bytes,
    }
}

/// All journals below a folder in the order of their names, each with its place in the export; none
/// where another one has that place. What was exported before is no journal of its own.
type Journals = Vec<(PathBuf, Option<PathBuf>)>;

fn journals_below(from: &Path, into: &Path) -> Result<Journals, ErrandError> {
    let mut found = Vec::new();
    let into = std::fs::canonicalize(into).ok();
    gather(from, into.as_deref(), &mut found)?;
    found.sort();
    let mut taken = BTreeSet::new();
    let mut placed = Vec::new();
    for journal in found {
        let below = journal.strip_prefix(from).unwrap_or(&journal);
        let own_folder = below.file_name().is_some_and(|name| name == JOURNAL_FILE);
        let name = match below.parent() {
            Some(folder) if own_folder && folder != Path::new("") => folder.to_owned(),
            _ => below.with_extension(""),
        };
        let first = taken.insert(name.clone());
        placed.push((journal, first.then_some(name)));
    }
    Ok(placed)
}

fn gather(folder: &Path, into: Option<&Path>, found: &mut Vec<PathBuf>) -> Result<(), ErrandError> {
    let failed = |error| ErrandError::in_file(folder, error);
    for entry in std::fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let (path, kind) = (entry.path(), entry.file_type().map_err(failed)?);
        if kind.is_dir() {
            let exported = into.is_some() && std::fs::canonicalize(&path).ok().as_deref() == into;
            if !exported {
                gather(&path, into, found)?;
            }
        } else if path.extension().is_some_and(|ending| ending == "jsonl") {
            found.push(path);
        }
    }
    Ok(())
}

/// Writes files into a folder; `journal` itself is never written over.
fn write_all(
    folder: &Path,
    files: &[Attachment],
    force: bool,
    journal: Option<&Path>,
) -> Result<Exported, ErrandError> {
    let same = |path: &Path| {
        let of = |path: &Path| std::fs::canonicalize(path).ok();
        journal.is_some_and(|journal| of(path).is_some() && of(path) == of(journal))
    };
    let places = files.iter().map(|file| (folder.join(&file.name), file));
    let places: Vec<_> = places.filter(|(path, _)| !same(path)).collect();
    // Looked at before anything is written: half an export is none.
    if let Some((path, _)) = places.iter().find(|(path, _)| path.exists() && !force) {
        return Err(stands_already(path));
    }
    std::fs::create_dir_all(folder).map_err(|error| ErrandError::failed(folder, error))?;
    let mut written = BTreeMap::new();
    for (path, file) in places {
        put(&path, &file.bytes).map_err(|error| ErrandError::failed(&path, error))?;
        written.insert(file.name.clone(), file.bytes.len());
    }
    Ok(Exported {
        folder: folder.to_owned(),
        files: written,
    })
}

fn stands_already(path: &Path) -> ErrandError {
    ErrandError::in_file(path, "expected nothing here yet; --force replaces it")
}

/// Where a file is written before it is put into its place.
fn beside(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    path.with_file_name(name)
}

fn put(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let part = beside(path);
    std::fs::write(&part, bytes)?;
    std::fs::rename(part, path)
}

/// The wide table of many visits, written row by row: it never stands in memory.
struct Rows {
    path: PathBuf,
    file: std::fs::File,
    bytes: usize,
}

impl Rows {
    fn begin(path: &Path) -> Result<Rows, ErrandError> {
        let file = std::fs::File::create(beside(path));
        Ok(Rows {
            file: file.map_err(|error| ErrandError::failed(path, error))?,
            path: path.to_owned(),
            bytes: 0,
        })
    }

    /// Adds the rows of a table; its header only once.
    fn add(&mut self, table: &str) -> Result<(), ErrandError> {
        let header_ends = table.find("\r\n").map_or(0, |at| at + 2);
        let rows = if self.bytes == 0 {
            table
        } else {
            &table[header_ends..]
        };
        self.bytes += rows.len();
        let written = self.file.write_all(rows.as_bytes());
        written.map_err(|error| ErrandError::failed(&self.path, error))
    }

    fn end(self) -> Result<usize, ErrandError> {
        let put = std::fs::rename(beside(&self.path), &self.path);
        put.map_err(|error| ErrandError::failed(&self.path, error))?;
        Ok(self.bytes)
    }
}

/// Writes the report, the findings, the trials, what was done by hand and the bundle into the
/// visit's folder.
///
/// # Errors
/// If they cannot be written.
pub fn write_results<S: Store>(
    folder: &Path,
    visit: &mut Visit<S>,
) -> Result<Findings, ErrandError> {
    let failed = |error: &dyn std::fmt::Display| ErrandError::failed(folder, error);
    let journal = visit.stored().map_err(|error| failed(&error))?;
    let dossier = Dossier::of(journal).map_err(|error| failed(&error))?;
    let findings = findings_file(&dossier).map_err(|error| failed(&error))?;
    let bundle = bundle_file(&dossier, &Identity::default()).map_err(|error| failed(&error))?;
    let mut all = vec![(findings.name, findings.bytes), (bundle.name, bundle.bytes)];
    let tables = tables(&dossier).map_err(|error| failed(&error))?;
    let beside = |name: &str| BESIDE_THE_JOURNAL.contains(&name);
    let tables = tables.into_iter().filter(|table| beside(&table.name));
    all.extend(tables.map(|table| (table.name, table.bytes)));
    if let Some(by_hand) = &dossier.findings.bedside {
        let pages = worksheet_pages(by_hand, dossier.whose()).into_iter();
        all.extend(pages.enumerate().map(|(at, page)| {
            let name = format!("worksheet-{}.svg", at + 1);
            (name, page.into_bytes())
        }));
    }
    let report = report_of(&dossier, ReportWish::default())?;
    all.push((REPORT_FILE.to_owned(), report.bytes));
    for (name, bytes) in all {
        let path = folder.join(name);
        put(&path, &bytes).map_err(|error| ErrandError::failed(&path, error))?;
    }
    Ok(dossier.findings)
}
