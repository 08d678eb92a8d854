//! The daily check: a known listener's visit is written into the log of a profile.

use super::ErrandError;
use super::bench::today;
use crate::calibration::EarphoneProfile;
use crate::calibration::daily::{Comparison, DailyLog, DailyThreshold, Sitting, Standing};
use crate::calibration::digest;
use crate::finding::{HearingFindings, HearingStatus};
use crate::journal::{PersonKind, Record};
use crate::quantity::Ear;
use jiff::civil::Date;
use std::io::Write;
use std::path::{Path, PathBuf};

/// The log of the profile in a file: beside it, under its name.
#[must_use]
pub fn daily_log_of(profile: &Path) -> PathBuf {
    profile.with_extension("daily.jsonl")
}

/// The log of a profile's file; empty if there is none.
///
/// # Errors
/// Names the file, the line and what was expected.
pub fn daily_log_in(profile: &Path) -> Result<DailyLog, ErrandError> {
    let path = daily_log_of(profile);
    if !path.exists() {
        return Ok(DailyLog::default());
    }
    let text = crate::journal::whole_file::document(&path)
        .map_err(|error| ErrandError::in_file(&path, error))?;
    DailyLog::read(&text, &path.display().to_string())
        .map_err(|error| ErrandError::BadInput(error.to_string()))
}

/// How the profile in a file stands on a day.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn daily_standing(
    profile: &EarphoneProfile,
    path: &Path,
    day: Date,
) -> Result<Standing, ErrandError> {
    Ok(daily_log_in(path)?.standing(&profile.digest(), day))
}

/// What a visit of a known listener says of the set-up.
///
/// # Errors
/// A visit on another profile, of nobody known, or without a threshold.
pub fn sitting_of(
    record: &Record,
    journal_digest: String,
    profile: &EarphoneProfile,
    on: Date,
) -> Result<Sitting, ErrandError> {
    let refuse = |what: &str| Err(ErrandError::BadInput(what.to_owned()));
    let PersonKind::Living { code } = &record.opening.person else {
        return refuse("person: expected a known listener, found nobody living");
    };
    if record.opening.earphone_digest.as_ref() != Some(&profile.digest()) {
        return refuse("earphone: expected a visit on this very profile");
    }
    if !record.closed() {
        return refuse("visit: expected one that is closed");
    }
    let found = HearingFindings::of(record);
    let thresholds: Vec<DailyThreshold> = Ear::BOTH
        .into_iter()
        .flat_map(|ear| found.ear(ear).iter().map(move |one| (ear, one)))
        .filter(|(_, one)| {
            matches!(
                one.status,
                HearingStatus::Measured | HearingStatus::AnsweredAtMinimum
            )
        })
        .filter_map(|(ear, one)| {
            Some(DailyThreshold {
                ear,
                hz: one.hz,
                db: one.threshold_db()?,
            })
        })
        .collect();
    if thresholds.is_empty() {
        return refuse("hearing: expected a threshold, found none");
    }
    Ok(Sitting::new(
        profile.digest(),
        code.clone(),
        on,
        journal_digest,
        thresholds,
    ))
}

/// Writes a sitting into the log of the profile in `path`; tells how it stands to the ones before.
///
/// # Errors
/// A sitting of the same journal that is in the log already; a log that cannot be written.
pub fn enter_sitting(
    sitting: Sitting,
    path: &Path,
) -> Result<(Option<Comparison>, DailyLog), ErrandError> {
    let mut log = daily_log_in(path)?;
    let known = |one: &Sitting| one.journal == sitting.journal;
    if log.sittings().iter().any(known) {
        let what = "journal: expected a visit that is not in the log yet";
        return Err(ErrandError::BadInput(what.into()));
    }
    let to = daily_log_of(path);
    let append = || {
        let mut file = std::fs::OpenOptions::new()
            .create(true)
            .append(true)
            .open(&to)?;
        file.write_all(DailyLog::line(&sitting).as_bytes())?;
        file.sync_all()
    };
    append().map_err(|error| ErrandError::failed(&to, error))?;
    log.add(sitting);
    Ok((log.comparison(log.sittings().len() - 1), log))
}

/// Takes a visit's journal into the log of a profile's file.
///
/// # Errors
/// As [`sitting_of`] and [`enter_sitting`].
pub fn daily_check(
    journal: &Path,
    profile: &EarphoneProfile,
    path: &Path,
) -> Result<(Option<Comparison>, DailyLog), ErrandError> {
    let text = crate::journal::whole_file::document(journal)
        .map_err(|error| ErrandError::in_file(journal, error))?;
    let record = super::recount::whole_record_in(journal)?;
    // The day on which it began, as the machine then knew it.
    let began = super::recount::began_in(journal)?.1;
    let on = began.to_zoned_datetime(jiff::tz::TimeZone::system()).date();
    let sitting = sitting_of(&record, digest(&text), profile, on.min(today()))?;
    enter_sitting(sitting, path)
}
