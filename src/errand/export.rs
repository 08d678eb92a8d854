//! What leaves the house of a visit, and of a folder of visits.

use super::begin::JOURNAL_FILE;
use super::put::{Exported, beside, nothing_here, put, put_all};
use super::report::report_file;
use super::{ErrandError, dossier_in};
use crate::journal::{Store, whole_file};
use crate::report::{
    Attachment, Dossier, Findings, Identity, ReportWish, TABLES, attachments, bundle_file,
    explanations, findings_file, pictures, tables, worksheet_pages,
};
use crate::visit::Visit;
use rayon::prelude::*;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Tables that stand beside the journal of a visit at once; the others are exported.
const BESIDE_THE_JOURNAL: [&str; 3] = ["trials.csv", "worksheet.csv", "prompts.csv"];

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
    /// Journals found, each visit counted once.
    pub journals: usize,
    /// Copies of them, which are passed over.
    pub copies: usize,
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

/// Writes all files of a visit into a folder.
///
/// # Errors
/// If the journal does not hold, if a file stands there already, or if the folder cannot be
/// written.
pub fn export(journal: &Path, folder: &Path, wish: &ExportWish) -> Result<Exported, ErrandError> {
    let files = files_of(&dossier_in(journal)?, wish)?;
    put_all(folder, &files, wish.force, Some(journal))
}

/// All files of a visit as they leave the house: journal, findings, tables and bundle, report and page
/// for the person, pictures, dictionary and schemas.
///
/// # Errors
/// If one cannot be made, which does not happen with a journal that folds.
pub fn files_of(dossier: &Dossier, wish: &ExportWish) -> Result<Vec<Attachment>, ErrandError> {
    let mut files = own_files(dossier, wish)?;
    files.extend(explanations().map_err(failed)?);
    Ok(files)
}

/// Those that are of this visit alone.
fn own_files(dossier: &Dossier, wish: &ExportWish) -> Result<Vec<Attachment>, ErrandError> {
    let mut files = attachments(dossier, &wish.identity).map_err(failed)?;
    for for_person in [false, true] {
        let wish = ReportWish {
            for_person,
            ..wish.report
        };
        files.push(report_file(dossier, wish)?);
    }
    files.extend(pictures(dossier, wish.report.lang).map_err(failed)?);
    Ok(files)
}

fn failed(error: impl std::fmt::Display) -> ErrandError {
    ErrandError::Failed(error.to_string())
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
    let (journals, copies) = journals_below(from, into)?;
    if journals.is_empty() {
        let what = "expected journals (.jsonl) in it, found none";
        return Err(ErrandError::in_file(from, what));
    }
    progress.of.store(journals.len(), Ordering::Relaxed);
    let explaining = explanations().map_err(failed)?;
    let mut all = ExportedAll {
        journals: journals.len(),
        copies,
        ..ExportedAll::default()
    };
    let visits = into.join("visits.csv");
    nothing_here(&visits, wish.force)?;
    all.bytes += put_all(into, &explaining, wish.force, None)?.bytes();
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
    let dossier = dossier_in(journal)?;
    let files = own_files(&dossier, wish)?;
    let exported = put_all(&into.join(name), &files, wish.force, Some(journal))?;
    let wide = TABLES.iter().find(|table| table.name == "visits");
    let row = wide.map(|table| table.of(&dossier)).transpose();
    let row = row.map_err(|error| ErrandError::failed(journal, error))?;
    Ok((exported, row.flatten().unwrap_or_default()))
}

/// Journals, each with its place in the export; none where another one has that place.
type Journals = Vec<(PathBuf, Option<PathBuf>)>;

/// All journals below a folder in the order of their names, and how many copies of them there are: everything of a visit
/// that was saved beside it holds its journal again. Of copies the one highest up is the visit. What was exported before is
/// no journal of its own.
fn journals_below(from: &Path, into: &Path) -> Result<(Journals, usize), ErrandError> {
    let mut found = Vec::new();
    let into = std::fs::canonicalize(into).ok();
    gather(from, into.as_deref(), &mut found)?;
    found.sort_by_cached_key(|journal| (journal.components().count(), journal.clone()));
    let all = found.len();
    let mut digests = BTreeSet::new();
    // To the byte: one that was changed is no copy, and is told of.
    let digest = |journal: &PathBuf| whole_file::bytes(journal).map(Sha256::digest);
    found.retain(|journal| digest(journal).map_or(true, |digest| digests.insert(digest)));
    let copies = all - found.len();
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
    Ok((placed, copies))
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
    let report = report_file(&dossier, ReportWish::default())?;
    all.push((report.name, report.bytes));
    for (name, bytes) in all {
        put(&folder.join(name), &bytes)?;
    }
    Ok(dossier.findings)
}
