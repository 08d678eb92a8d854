//! What a study has done so far, kept in a file, so that a study that was stopped is gone on with.

use super::tally::{CaseReport, Tally};
use super::{People, Study, VisitSummary};
use crate::errand::ErrandError;
use crate::person::case::Kind;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::fs::File;
use std::io::{BufWriter, Write as _};
use std::path::Path;

/// Sums over the visits made so far: a row each, and all genuine ones together.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(super) struct Kept {
    /// What study this is of.
    study: String,
    rows: Vec<(u32, Tally)>,
    genuine: Tally,
}

impl Kept {
    /// What was kept at `path`; nothing if there is no such file.
    pub fn read(path: &Path, study: &Study) -> Result<Kept, ErrandError> {
        let text = match crate::journal::whole_file::document(path) {
            Ok(text) => text,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return Ok(Kept::default());
            }
            Err(error) => return Err(ErrandError::in_file(path, error)),
        };
        let kept: Kept = serde_json::from_str(&text).map_err(|error| {
            ErrandError::in_file(path, format!("expected what a study kept: {error}"))
        })?;
        if kept.study != digest(study) {
            let problem = "study: expected the same persons, seed, plan and program as before";
            return Err(ErrandError::in_file(path, problem));
        }
        if kept.rows.iter().any(|(done, _)| *done > study.repeats) {
            let problem = "rows: expected no more visits than --repeats asks for";
            return Err(ErrandError::in_file(path, problem));
        }
        Ok(kept)
    }

    /// Writes it beside and then in place, so that what was kept before is lost at no moment.
    pub fn write(&mut self, path: &Path, study: &Study) -> Result<(), ErrandError> {
        if self.study.is_empty() {
            self.study = digest(study);
        }
        let mut beside = path.as_os_str().to_owned();
        beside.push(".part");
        let beside = Path::new(&beside);
        let failed = |error: std::io::Error| ErrandError::in_file(path, error);
        let mut to = BufWriter::new(File::create(beside).map_err(failed)?);
        serde_json::to_writer(&mut to, self).map_err(|error| failed(error.into()))?;
        to.flush().map_err(failed)?;
        std::fs::rename(beside, path).map_err(failed)
    }

    /// How many visits of a row are made.
    pub fn done(&self, row: usize) -> u32 {
        self.rows.get(row).map_or(0, |(done, _)| *done)
    }

    /// How many visits are made in all.
    pub fn visits(&self) -> usize {
        self.rows.iter().map(|(done, _)| *done as usize).sum()
    }

    /// Adds a visit of a row.
    pub fn add(&mut self, row: usize, summary: &VisitSummary) {
        while self.rows.len() <= row {
            self.rows.push((0, Tally::default()));
        }
        let (done, tally) = &mut self.rows[row];
        *done += 1;
        tally.add(row, summary);
        if summary.case.manner.kind == Kind::Genuine {
            self.genuine.add(row, summary);
        }
    }

    /// The figures of each row, and of all genuine ones.
    pub fn reports(self, people: &[(String, People)]) -> (Vec<CaseReport>, CaseReport) {
        let rows = self.rows.into_iter().zip(people);
        let cases = rows.map(|((_, tally), (name, _))| tally.report(name));
        (cases.collect(), self.genuine.report("all genuine"))
    }
}

/// Tells one study from another: but for the number of repeats, which may grow.
fn digest(study: &Study) -> String {
    let what = format!(
        "{} {} {} {:?} {:?} {:?} {:?} {:?}",
        crate::errand::PROGRAM,
        crate::finding::MATHEMATICS,
        study.seed,
        study.plan,
        study.people,
        study.scale_log_mar,
        study.lapse,
        study.noisier
    );
    Sha256::digest(what.as_bytes())
        .iter()
        .fold(String::new(), |mut hex, byte| {
            let _ = write!(hex, "{byte:02x}");
            hex
        })
}
