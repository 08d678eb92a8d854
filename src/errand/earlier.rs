//! What an earlier visit found, taken from its journal or its findings.

use super::{ErrandError, recount};
use crate::finding::HearingFindings;
use crate::journal::{EarlierThreshold, EarlierVisit};
use crate::quantity::{Ear, Level, Scale};
use crate::report::Senses;
use serde::Deserialize;
use std::path::Path;

/// As much of `findings.json` as is needed.
#[derive(Deserialize)]
struct EarlierFindings {
    format: u32,
    levels: String,
    hearing: HearingFindings,
    #[serde(default)]
    as_obtained: Senses,
}

/// The thresholds of an earlier visit: `journal.jsonl`, which also tells day and earphone, or
/// `findings.json`. Those that lean on neighbouring frequencies are left out, since a change against
/// them could be one of the neighbours', and those that are only bounded.
///
/// # Errors
/// If the file cannot be read, its levels are not dB HL, or its values are no thresholds.
pub fn earlier_in(path: &Path) -> Result<EarlierVisit, ErrandError> {
    let text = crate::journal::whole_file::document(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    let is_journal = text.starts_with("{\"number\":1,");
    let (found, on, earphone_digest) = if is_journal {
        let counted = recount(path)?.findings;
        let (opening, began) = super::recount::began_in(path)?;
        let found = EarlierFindings {
            format: counted.format,
            levels: counted.levels,
            hearing: counted.hearing,
            as_obtained: counted.as_obtained,
        };
        let on = began.to_zoned_datetime(jiff::tz::TimeZone::UTC).date();
        (found, Some(on), opening.earphone_digest)
    } else {
        let found: EarlierFindings = serde_json::from_str(&text).map_err(|error| {
            let what = format!("expected findings.json or journal.jsonl of a visit: {error}");
            ErrandError::in_file(path, what)
        })?;
        (found, None, None)
    };
    let refuse = |what: String| Err(ErrandError::in_file(path, what));
    if found.format != 1 {
        return refuse(format!("format: expected 1, found {}", found.format));
    }
    if found.levels != Scale::DbHl.unit() {
        return refuse(format!("levels: expected dB HL, found {}", found.levels));
    }
    if found.as_obtained.hearing {
        return refuse("hearing: expected thresholds, found values as obtained".into());
    }
    let ear = |ear: Ear| -> Vec<EarlierThreshold> {
        let all = found.hearing.ear(ear).iter().filter_map(|one| {
            match one.known().filter(|_| !one.from_neighbours)? {
                Level::Hl(level) => Some(EarlierThreshold {
                    hz: one.hz,
                    threshold_db_hl: level.0,
                    sd_db: one.sd_db,
                }),
                Level::ReExaminer(_) | Level::Fs(_) => None,
            }
        });
        all.collect()
    };
    let (right, left) = (ear(Ear::Right), ear(Ear::Left));
    if right.is_empty() && left.is_empty() {
        return refuse(
            "hearing: expected a threshold that does not lean on its neighbours, found none".into(),
        );
    }
    Ok(EarlierVisit {
        source: path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into(),
        on,
        earphone_digest,
        right,
        left,
    })
}
