//! The report of a visit, from its journal, as a file.

use super::ErrandError;
use super::put::{nothing_here, put, put_all};
use crate::report::words::Lang;
use crate::report::{
    Attachment, AttachmentError, Dossier, Identity, Report, ReportWish, Signed, attachments,
    dictionary_file, report_pdf,
};
use crate::store::{Archive, Code, SignedHead, Verdict};
use std::path::{Path, PathBuf};

/// A report that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reported {
    /// Where.
    pub file: PathBuf,
    /// How many pages it has.
    pub pages: usize,
    /// How many bytes.
    pub bytes: usize,
}

/// Reads a journal; a last line that was cut off takes nothing from those before it. Its signed
/// head is taken along where it lies beside it.
///
/// # Errors
/// If the file cannot be read or does not hold, or was signed otherwise.
pub fn dossier_in(journal: &Path) -> Result<Dossier, ErrandError> {
    let bytes = crate::journal::whole_file::bytes(journal)
        .map_err(|error| ErrandError::in_file(journal, error))?;
    let mut dossier = Dossier::of(bytes).map_err(|error| ErrandError::in_file(journal, error))?;
    dossier.signed = signed_beside(journal, &dossier)?;
    Ok(dossier)
}

/// The signed head beside a journal.
fn signed_beside(journal: &Path, dossier: &Dossier) -> Result<Option<Signed>, ErrandError> {
    let path = journal.with_extension("signed.json");
    if !path.exists() {
        return Ok(None);
    }
    let document = crate::journal::whole_file::bytes(&path)
        .map_err(|error| ErrandError::in_file(&path, error))?;
    let signed = SignedHead::read(&document).map_err(|what| ErrandError::in_file(&path, what))?;
    signature_of(signed, document, dossier)
        .map_err(|verdict| ErrandError::in_file(&path, verdict.told()))
}

/// A signed head that is one of this journal. Of a journal that went on since, it says nothing of its end.
fn signature_of(
    signed: SignedHead,
    document: Vec<u8>,
    dossier: &Dossier,
) -> Result<Option<Signed>, Verdict> {
    match signed.verdict(&hashes(&dossier.journal), None) {
        Verdict::Holds => Ok(Some(Signed {
            at: signed.signed,
            key: signed.key,
            document,
        })),
        Verdict::HoldsAndWentOn => Ok(None),
        verdict => Err(verdict),
    }
}

/// All that a report needs of a visit that a store keeps.
///
/// # Errors
/// If there is no such visit, or its journal does not hold or was signed otherwise.
pub fn dossier_kept(archive: &mut Archive, visit: &Code) -> Result<Dossier, ErrandError> {
    let bad = |what: String| ErrandError::BadInput(format!("visit {visit}: {what}"));
    let dossier = Dossier::of(archive.journal(visit)?);
    let mut dossier = dossier.map_err(|error| bad(error.to_string()))?;
    if let Some(signed) = archive.visit(visit)?.signed {
        let document = signed.document();
        let signed = signature_of(signed, document, &dossier);
        dossier.signed = signed.map_err(|verdict| bad(verdict.told().to_owned()))?;
    }
    Ok(dossier)
}

/// The hashes of the lines of a journal that holds.
fn hashes(journal: &[u8]) -> Vec<String> {
    let text = String::from_utf8_lossy(journal);
    let hash = |line: &str| line.rsplit('"').nth(1).unwrap_or_default().to_owned();
    text.lines().map(hash).collect()
}

/// The report with what belongs inside it; the page for the person has nothing inside.
///
/// # Errors
/// If the library refuses, which it does of no journal that folds.
pub fn report_of(dossier: &Dossier, wish: ReportWish) -> Result<Report, ErrandError> {
    let attached = if wish.for_person {
        Vec::new()
    } else {
        attached(dossier)?
    };
    report_pdf(dossier, wish, attached).map_err(|error| ErrandError::Failed(error.to_string()))
}

/// What travels inside a report: the data of the visit, and the dictionary of the tables.
fn attached(dossier: &Dossier) -> Result<Vec<Attachment>, ErrandError> {
    let failed = |error: AttachmentError| ErrandError::Failed(error.to_string());
    let mut all = attachments(dossier, &Identity::default()).map_err(failed)?;
    all.push(dictionary_file().map_err(|error| failed(error.into()))?);
    Ok(all)
}

/// What the report is called, or the page for the person, unless somebody says otherwise.
#[must_use]
pub fn report_name(for_person: bool) -> &'static str {
    if for_person {
        "for-the-person.pdf"
    } else {
        "report.pdf"
    }
}

/// The report as a file, or the page for the person.
///
/// # Errors
/// As [`report_of`].
pub fn report_file(dossier: &Dossier, wish: ReportWish) -> Result<Attachment, ErrandError> {
    let about = if wish.for_person {
        "The page in plain language for the person."
    } else {
        "The report, with most of this inside."
    };
    Ok(Attachment {
        name: report_name(wish.for_person).into(),
        media_type: "application/pdf",
        about: about.into(),
        bytes: report_of(dossier, wish)?.bytes,
    })
}

/// Writes the report of a journal; what is there already stays, unless `force` is told.
///
/// # Errors
/// If the journal does not hold, or the file is there or cannot be written.
pub fn report(
    journal: &Path,
    wish: ReportWish,
    out: &Path,
    force: bool,
) -> Result<Reported, ErrandError> {
    nothing_here(out, force)?;
    let report = report_of(&dossier_in(journal)?, wish)?;
    put(out, &report.bytes)?;
    Ok(Reported {
        file: out.to_owned(),
        pages: report.pages,
        bytes: report.bytes.len(),
    })
}

/// Writes the pictures of a journal into a folder; what is there already stays, unless `force` is
/// told. Gives the files.
///
/// # Errors
/// If the journal does not hold, nothing was tested, or a file is there or cannot be written.
pub fn pictures(
    journal: &Path,
    lang: Lang,
    folder: &Path,
    force: bool,
) -> Result<Vec<PathBuf>, ErrandError> {
    let all = picture_files(&dossier_in(journal)?, lang)?;
    put_all(folder, &all, force, None)?;
    Ok(all.iter().map(|one| folder.join(&one.name)).collect())
}

/// The pictures of a visit as files.
///
/// # Errors
/// If nothing was tested.
pub fn picture_files(dossier: &Dossier, lang: Lang) -> Result<Vec<Attachment>, ErrandError> {
    let all = crate::report::pictures(dossier, lang)
        .map_err(|error| ErrandError::Failed(error.to_string()))?;
    if all.is_empty() {
        let what = "the journal: expected something that was measured, found nothing to draw";
        return Err(ErrandError::BadInput(what.into()));
    }
    Ok(all)
}
