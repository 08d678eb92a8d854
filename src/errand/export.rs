//! What leaves the house, written into folders.

use super::{ErrandError, report_of};
use crate::journal::Store;
use crate::report::{Dossier, Findings, ReportWish, tables, tidy_json, worksheet_pages};
use crate::visit::Visit;
use std::path::Path;

/// Tables that stand beside the journal of a visit at once; the others are exported.
const BESIDE_THE_JOURNAL: [&str; 3] = ["trials.csv", "worksheet.csv", "prompts.csv"];

/// Writes the report, the findings, the trials and what was done by hand into the visit's folder.
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
    let json = tidy_json(&dossier.findings).map_err(|error| failed(&error))?;
    let mut all = vec![("findings.json".to_owned(), (json + "\n").into_bytes())];
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
    all.push(("report.pdf".to_owned(), report.bytes));
    for (name, bytes) in all {
        let path = folder.join(name);
        std::fs::write(&path, bytes).map_err(|error| ErrandError::failed(&path, error))?;
    }
    Ok(dossier.findings)
}
