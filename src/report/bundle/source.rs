//! Where all of it comes from: the journal, by its digest, and what assembled the bundle.

use super::ids::{bytes_of_hex, named_by_digest};
use super::parts::text;
use super::{Bundle, local, put, reference};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

impl Bundle<'_> {
    /// Who acted, by the codes under which they signed in.
    pub(super) fn practitioners(&mut self) -> Vec<String> {
        let dossier = self.dossier;
        let practitioner = |code: &str, role: &str| {
            json!({
                "resourceType": "Practitioner",
                "identifier": [{"system": local::USERS, "value": code}],
                "qualification": [{"code": text(role)}],
            })
        };
        let mut all = Vec::new();
        for who in dossier.acted() {
            let key = format!("practitioner-{}-{}", who.user, who.role);
            all.push(self.add(&key, practitioner(&who.user, &who.role)));
        }
        all
    }

    /// The signed head as a signature; none where nothing was signed.
    fn signature(&self) -> Option<Value> {
        use base64::Engine;
        let signed = self.dossier.signed.as_ref()?;
        Some(json!([{
            "type": [{
                "system": "urn:iso-astm:E1762-95:2013",
                "code": "1.2.840.10065.1.12.1.5",
                "display": "Verification Signature",
            }],
            "when": signed.at.to_string(),
            "who": reference(&self.software),
            "targetFormat": "application/jsonl",
            "sigFormat": "application/json",
            "data": base64::engine::general_purpose::STANDARD.encode(&signed.document),
        }]))
    }

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

    /// The signature is over the head of the stored journal, never over what was written anew here.
    /// Without a signed head the chain alone holds the journal together, and that is what is said.
    pub(super) fn provenance(&mut self, composition: &str, journal: &str) {
        let dossier = self.dossier;
        let signed = match &dossier.signed {
            Some(signed) => format!("its head signed by the key {}", signed.key),
            None => "not signed".into(),
        };
        let mut agents = vec![json!({
            "type": participant("assembler", "Assembler"),
            "who": reference(&self.software),
        })];
        agents.extend(self.practitioners.iter().map(
            |who| json!({"type": participant("performer", "Performer"), "who": reference(who)}),
        ));
        let mut provenance = json!({
            "resourceType": "Provenance",
            "target": [reference(composition)],
            "occurredPeriod": self.period(),
            "recorded": dossier.ended.to_string(),
            "activity": text("folded from the journal"),
            "agent": agents,
            "entity": [{
                "role": "source",
                "what": {
                    "reference": journal,
                    "display": format!(
                        "journal of {} lines, held together by its chain, {signed}",
                        dossier.head.lines
                    ),
                },
            }],
        });
        put(&mut provenance, "signature", self.signature());
        self.add("provenance", provenance);
    }
}

fn participant(code: &str, display: &str) -> Value {
    json!({"coding": [{
        "system": "http://terminology.hl7.org/CodeSystem/provenance-participant-type",
        "code": code,
        "display": display,
    }]})
}
