//! Files that go along with a report: inside a PDF/A-3, or beside it in a folder.

use super::tables::dictionary_file;
use super::{Dossier, Identity, bundle, findings_schema, journal_schema, tables, tidy_json};
use serde::Serialize;

/// A file in memory.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Its name, without folders.
    pub name: String,
    /// Its media type, such as `text/csv`.
    pub media_type: &'static str,
    /// What it holds, in one sentence for people.
    pub about: String,
    /// Its contents.
    pub bytes: Vec<u8>,
}

/// Why a file could not be made. Neither happens in memory.
#[derive(Debug, thiserror::Error)]
pub enum AttachmentError {
    /// A table.
    #[error(transparent)]
    Table(#[from] csv::Error),
    /// A document.
    #[error(transparent)]
    Document(#[from] serde_json::Error),
}

/// The data of a visit: its journal, the findings, the tables and the bundle for other systems.
///
/// # Errors
/// Only if one cannot be written, which does not happen in memory.
pub fn attachments(
    dossier: &Dossier,
    identity: &Identity,
) -> Result<Vec<Attachment>, AttachmentError> {
    let journal = Attachment {
        name: "journal.jsonl".into(),
        media_type: "application/jsonl",
        about: "The journal: every event of the visit, byte for byte as it was stored.".into(),
        bytes: dossier.journal.clone(),
    };
    let signed = dossier.signed.iter().map(|signed| Attachment {
        name: "journal.signed.json".into(),
        media_type: "application/json",
        about: "The head of the journal's chain, signed (Ed25519).".into(),
        bytes: signed.document.clone(),
    });
    let mut all = vec![journal];
    all.extend(signed);
    all.push(findings_file(dossier)?);
    all.extend(tables(dossier)?);
    all.push(bundle_file(dossier, identity)?);
    Ok(all)
}

/// `findings.json`.
///
/// # Errors
/// Only if it cannot be written, which does not happen in memory.
pub fn findings_file(dossier: &Dossier) -> Result<Attachment, AttachmentError> {
    let about = "All figures of the visit, folded from the journal.";
    document(
        "findings.json",
        "application/json",
        about,
        &dossier.findings,
    )
}

/// `fhir-bundle.json`.
///
/// # Errors
/// Only if it cannot be written, which does not happen in memory.
pub fn bundle_file(dossier: &Dossier, identity: &Identity) -> Result<Attachment, AttachmentError> {
    let about = "The visit as an HL7 FHIR R4B document bundle, for other systems.";
    let bundle = bundle(dossier, identity);
    document("fhir-bundle.json", "application/fhir+json", about, &bundle)
}

/// What explains the data of any visit: the dictionary of the tables, and the schemas of journal
/// and findings.
///
/// # Errors
/// Only if one cannot be written, which does not happen in memory.
pub fn explanations() -> Result<Vec<Attachment>, AttachmentError> {
    let schema = "application/schema+json";
    Ok(vec![
        dictionary_file()?,
        document(
            "journal.schema.json",
            schema,
            "What a line of the journal may be (JSON Schema 2020-12).",
            &journal_schema(),
        )?,
        document(
            "findings.schema.json",
            schema,
            "What findings.json may be (JSON Schema 2020-12).",
            &findings_schema(),
        )?,
    ])
}

fn document(
    name: &str,
    media_type: &'static str,
    about: &str,
    of: &impl Serialize,
) -> Result<Attachment, AttachmentError> {
    Ok(Attachment {
        name: name.into(),
        media_type,
        about: about.into(),
        bytes: (tidy_json(of)? + "\n").into_bytes(),
    })
}
