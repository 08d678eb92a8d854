//! Where all of it comes from: the journal, by its digest, and what assembled the bundle.

use super::ids::{bytes_of_hex, named_by_digest};
use super::parts::text;
use super::{Bundle, reference};
use serde_json::json;
use sha2::{Digest, Sha256};

impl Bundle<'_> {
    /// The journal as a document that lies beside the bundle.
    pub(super) fn journal(&mut self) -> String {
        let dossier = self.dossier;
        let digest = named_by_digest(&Sha256::digest(&dossier.journal));
        let mut identifiers = vec![json!({
            "type": text("SHA-256 of the stored bytes"),
            "system": "urn:ietf:rfc:3986",
            "value": digest,
        })];
        // The head is a SHA-256 as well, of the last line and of all before it.
        identifiers.extend(bytes_of_hex(&dossier.head.hash).map(|head| {
            json!({
                "type": text("head of the journal's chain"),
                "system": "urn:ietf:rfc:3986",
                "value": named_by_digest(&head),
            })
        }));
        let document = json!({
            "resourceType": "DocumentReference",
            "identifier": identifiers,
            "status": "current",
            "docStatus": self.status(),
            "type": text("Journal of the visit: every event, in order, chained by hashes"),
            "subject": self.subject,
            "date": dossier.ended.to_string(),
            "author": [reference(&self.software)],
            "content": [{"attachment": {
                "contentType": "application/jsonl",
                "title": "journal.jsonl",
                "size": dossier.journal.len(),
                "creation": dossier.ended.to_string(),
            }}],
        });
        self.add("journal", document)
    }

    /// There is no signature here that is none: without a signed head the chain alone holds the
    /// journal together, and that is what is said.
    pub(super) fn provenance(&mut self, composition: &str, journal: &str) {
        let dossier = self.dossier;
        let provenance = json!({
            "resourceType": "Provenance",
            "target": [reference(composition)],
            "occurredPeriod": self.period(),
            "recorded": dossier.ended.to_string(),
            "activity": text("folded from the journal"),
            "agent": [{
                "type": {"coding": [{
                    "system": "http://terminology.hl7.org/CodeSystem/provenance-participant-type",
                    "code": "assembler",
                    "display": "Assembler",
                }]},
                "who": reference(&self.software),
            }],
            "entity": [{
                "role": "source",
                "what": {
                    "reference": journal,
                    "display": format!(
                        "journal of {} lines, held together by its chain",
                        dossier.head.lines
                    ),
                },
            }],
        });
        self.add("provenance", provenance);
    }
}
