//! What a profile says: what it rests on, what it allows, and how sure a threshold on it is.

use super::ErrandError;
use super::bench::read;
use crate::calibration::{Component, EarphoneProfile, ProfileKind};
use crate::quantity::{Db, Ear, Hz};
use jiff::civil::Date;
use serde::Serialize;
use std::path::Path;

/// A profile, told.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProfileReport {
    /// Its title.
    pub title: String,
    /// What it rests on.
    pub kind: ProfileKind,
    /// How it was made.
    pub method: String,
    /// Who made it.
    pub made_by: Option<String>,
    /// When.
    pub made_on: Option<Date>,
    /// Its last day.
    pub expires_on: Option<Date>,
    /// Why it does not hold today, if it does not.
    pub not_valid: Option<String>,
    /// The type of the earphone.
    pub class: Option<&'static str>,
    /// The standard of its reference levels.
    pub standard: Option<&'static str>,
    /// SHA-256 of its file.
    pub digest: String,
    /// The unit of its levels.
    pub levels: &'static str,
    /// Each frequency that it has.
    pub rows: Vec<ProfileRow>,
    /// What the figures are.
    pub note: &'static str,
}

/// One frequency.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProfileRow {
    /// Which.
    pub hz: Hz,
    /// The lowest level that may be claimed at (right, left), dB.
    pub lowest_db: [Option<f64>; 2],
    /// The highest level at (right, left), dB.
    pub highest_db: [Option<f64>; 2],
    /// The budget of a threshold by 5-dB steps, not masked; none unless levels are dB HL.
    pub components: Vec<Component>,
    /// Combined.
    pub u_db: Option<Db>,
    /// Expanded, about 95 %.
    pub expanded_db: Option<Db>,
}

const NOTE: &str = "uncertainty after ISO 8253-1:2010, Annex A, of a threshold by steps of 5 dB \
    without masking; no claim of conformity";

/// The profile in a file, whether it holds today or not; `simulated` is the built-in one.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn profile_in(path: &Path) -> Result<EarphoneProfile, ErrandError> {
    if path == Path::new("simulated") {
        return Ok(EarphoneProfile::simulated());
    }
    read(path, EarphoneProfile::from_toml)
}

/// Tells a profile.
#[must_use]
pub fn tell_profile(profile: &EarphoneProfile, today: Date) -> ProfileReport {
    let record = profile.record();
    let rows = profile.hz().into_iter().map(|hz| {
        let budget = profile.budget(hz, None, false);
        ProfileRow {
            hz,
            lowest_db: Ear::BOTH.map(|ear| Some(profile.lowest_level(ear, hz)?.db())),
            highest_db: Ear::BOTH.map(|ear| Some(profile.max_level(ear, hz)?.db())),
            u_db: budget.as_ref().map(crate::calibration::Budget::combined),
            expanded_db: budget.as_ref().map(crate::calibration::Budget::expanded),
            components: budget.map(|budget| budget.components).unwrap_or_default(),
        }
    });
    ProfileReport {
        title: record.title.clone(),
        kind: record.kind,
        method: record.method.clone(),
        made_by: record.made_by.clone(),
        made_on: record.made_on,
        expires_on: record.expires_on,
        not_valid: profile.valid_on(today).err().map(|error| error.to_string()),
        class: record.class.map(crate::standard::EarphoneClass::title),
        standard: record.class.map(crate::standard::EarphoneClass::standard),
        digest: profile.digest(),
        levels: profile.scale().unit(),
        rows: rows.collect(),
        note: NOTE,
    }
}
