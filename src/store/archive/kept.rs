//! What was found in a visit, kept beside its journal, so that opening it again needs no counting anew.
//!
//! Only a help: the file may be lost, and is taken for nothing unless it was made of this very journal, by this version of
//! the program and of the mathematics, and signed by this installation.

use super::visits::folder_of;
use super::{Archive, read, write};
use crate::finding::MATHEMATICS;
use crate::journal::whole_file::LONGEST;
use crate::journal::{Head, Record};
use crate::report::Findings;
use crate::store::code::Code;
use crate::store::hex::to_hex;
use crate::store::history::in_one_line;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Figures and their words are of this version.
const VERSION: &str = env!("CARGO_PKG_VERSION");
/// The file's name beside the journal.
pub(in crate::store) const KEPT: &str = "findings.kept";

#[derive(Serialize, Deserialize)]
struct Kept {
    /// The head of the journal that they were found in.
    head: String,
    mathematics: u32,
    version: String,
    /// What a list says of the visit.
    line: String,
    /// `findings.json`, as text: what is signed are its bytes.
    findings: String,
    signature: String,
}

impl Kept {
    /// What is signed.
    fn message(&self) -> String {
        let digest = |text: &str| to_hex(&Sha256::digest(text));
        format!(
            "veridical kept findings 1\nhead {}\nmathematics {}\nversion {}\nline {}\nfindings {}\n",
            self.head,
            self.mathematics,
            self.version,
            digest(&self.line),
            digest(&self.findings),
        )
    }
}

impl Archive {
    /// What was found in the journal that ends with this head, if it was kept; the index hears of it again.
    pub(super) fn kept_findings(&mut self, visit: &Code, head: &Head) -> Option<Findings> {
        let file = kept_file(visit);
        let bytes = read(&*self.disk, self.journal_key(), (&file, &file), LONGEST)?;
        let kept: Kept = serde_json::from_slice(&bytes).ok()?;
        let ours = kept.head == head.hash
            && kept.mathematics == MATHEMATICS
            && kept.version == VERSION
            && self.signing.has_signed(&kept.message(), &kept.signature);
        let findings = serde_json::from_str(&kept.findings).ok().filter(|_| ours)?;
        // An index that was made again knows nothing of what was found.
        let told = self.visit(visit).ok().and_then(|found| found.summary);
        if told.as_ref() != Some(&kept.line) {
            self.tell_index(visit, &kept.line, head);
        }
        Some(findings)
    }

    /// Finds what is in a visit, for the index and to be kept.
    pub(super) fn find(&mut self, visit: &Code, record: &Record, head: &Head) -> Findings {
        let findings = Findings::of(record);
        let line = in_one_line(&findings, record);
        self.tell_index(visit, &line, head);
        if !self.read_only() {
            self.keep(visit, &findings, line, head);
        }
        findings
    }

    fn keep(&self, visit: &Code, findings: &Findings, line: String, head: &Head) {
        let Ok(findings) = serde_json::to_string(findings) else {
            return;
        };
        let mut kept = Kept {
            head: head.hash.clone(),
            mathematics: MATHEMATICS,
            version: VERSION.into(),
            line,
            findings,
            signature: String::new(),
        };
        kept.signature = self.signing.sign_text(&kept.message());
        let file = kept_file(visit);
        // A disk that refuses is no harm: they are found again whenever they are asked for.
        if let Ok(bytes) = serde_json::to_vec(&kept) {
            let _ = write(&*self.disk, self.journal_key(), (&file, &file), &bytes);
        }
    }

    fn tell_index(&mut self, visit: &Code, line: &str, head: &Head) {
        if let Err(error) = self.index.summarise(visit, line, &head.hash, MATHEMATICS) {
            self.notices
                .push(format!("the index could not be written: {error}"));
        }
    }
}

fn kept_file(visit: &Code) -> String {
    format!("{}/{KEPT}", folder_of(visit))
}
