//! What a profile must fulfil before it may be used.

use super::FORMAT;
use super::earphone::{EarphoneRecord, NotValid, OutputRequirement, ProfileKind};
use super::file::FieldError;
use super::jury;
use super::screen::{ScreenKind, ScreenRecord};
use crate::quantity::Hz;
use crate::standard::{Coupler, EarphoneClass, safety, test_hz};
use jiff::civil::Date;
use std::ops::RangeInclusive;

type Checked = Result<(), FieldError>;

/// dB SPL at full scale that an earphone on a sound output can have. A figure that is too small
/// would make everything too loud, so the lower limit is the one that protects.
pub(super) const FULL_SCALE_DB_SPL: RangeInclusive<f64> = 80.0..=140.0;
/// The earphones of a pair differ by less than this, dB: a slipped digit differs by more.
const SIDES_DIFFER_DB: f64 = 20.0;
/// dB re full scale at which an examiner may just hear: under the cap of a headphone.
const REFERENCE_DB_FS: RangeInclusive<f64> = -150.0..=safety::HEADPHONE_CAP_FS.0;
pub(super) const RATE_HZ: RangeInclusive<u32> = 32_000..=384_000;
/// From the finest panels to projectors.
const PIXEL_MM: RangeInclusive<f64> = 0.02..=5.0;
const PIXELS: RangeInclusive<u32> = 200..=20_000;

pub(super) fn earphone(record: &EarphoneRecord) -> Checked {
    format(record.format)?;
    one_line("title", &record.title)?;
    one_line("method", &record.method)?;
    if let Some(u) = record.u_db {
        number("u_db", u.0, 0.1..=20.0)?;
    }
    if let Some(output) = &record.output {
        output_requirement(output)?;
    }
    dates(record.made_on, record.expires_on)?;
    full_scale(record)?;
    reference(record)?;
    distortion(record)?;
    of_jury(record)?;
    words(record)?;
    if let Some(made_by) = &record.made_by {
        one_line("made_by", made_by)?;
    }
    match record.kind {
        ProfileKind::Simulated | ProfileKind::SimulatedCapped => {
            needed("class", record.class.is_some())?;
            needed("full_scale", !record.full_scale.is_empty())
        }
        ProfileKind::Measured => {
            needed("class", record.class.is_some())?;
            needed("u_db", record.u_db.is_some())?;
            needed("full_scale", !record.full_scale.is_empty())?;
            made(record)
        }
        ProfileKind::ListeningJury => {
            needed("zero", !record.zero.is_empty())?;
            needed("jury", record.jury.is_some())?;
            made(record)
        }
        ProfileKind::ExaminersEars => {
            needed("reference", !record.reference.is_empty())?;
            made(record)
        }
        ProfileKind::Uncalibrated => Ok(()),
    }
}

/// The most luminance of an optotype, as a share of its background's (ISO 10938:2016, 4.1.3).
const DARKEST_SHARE: f64 = 0.15;

pub(super) fn screen(record: &ScreenRecord) -> Checked {
    format(record.format)?;
    one_line("title", &record.title)?;
    one_line("method", &record.method)?;
    number("pixel_mm", record.pixel_mm.0, PIXEL_MM)?;
    whole("width_px", record.width_px, PIXELS)?;
    whole("height_px", record.height_px, PIXELS)?;
    number("u_rel", record.u_rel, 0.0..=0.1)?;
    if let Some(factor) = record.scale_factor {
        number("scale_factor", factor, 0.25..=8.0)?;
    }
    if let Some(white) = record.white_cd_m2 {
        number("white_cd_m2", white, 1.0..=5000.0)?;
        // An optotype may have at most 15 % of the luminance of its background (ISO 10938:2016,
        // 4.1.3); its strokes are as dark as the screen's black.
        let black = record.black_cd_m2.unwrap_or(0.0);
        number("black_cd_m2", black, 0.0..=DARKEST_SHARE * white)?;
    }
    needed(
        "white_cd_m2",
        record.white_cd_m2.is_some() || record.black_cd_m2.is_none(),
    )?;
    for (field, text) in [("monitor", &record.monitor), ("made_by", &record.made_by)] {
        if let Some(text) = text {
            one_line(field, text)?;
        }
    }
    if record.kind == ScreenKind::Measured {
        needed("made_by", record.made_by.is_some())?;
        needed("made_on", record.made_on.is_some())?;
    }
    Ok(())
}

fn words(record: &EarphoneRecord) -> Checked {
    if !record.words.is_empty() && record.kind != ProfileKind::Measured {
        let what = "expected only on an earphone whose level was measured";
        return Err(FieldError::new("words", what));
    }
    for (index, words) in record.words.iter().enumerate() {
        words.check(index)?;
    }
    Ok(())
}

fn made(record: &EarphoneRecord) -> Checked {
    needed("made_by", record.made_by.is_some())?;
    needed("made_on", record.made_on.is_some())?;
    needed("expires_on", record.expires_on.is_some())?;
    needed("output", record.output.is_some())
}

pub(super) fn output_requirement(output: &OutputRequirement) -> Checked {
    if let Some(device) = &output.device {
        one_line("output.device", device)?;
    }
    whole("output.rate_hz", output.rate_hz, RATE_HZ)?;
    if let Some(percent) = output.volume_percent {
        whole("output.volume_percent", percent, 1..=100)?;
    }
    match output.bits {
        None | Some(16 | 24 | 32) => Ok(()),
        Some(bits) => Err(FieldError::new(
            "output.bits",
            format!("{bits} found, expected 16, 24 or 32"),
        )),
    }
}

fn full_scale(record: &EarphoneRecord) -> Checked {
    let measured = [
        ProfileKind::Simulated,
        ProfileKind::SimulatedCapped,
        ProfileKind::Measured,
    ];
    if !record.full_scale.is_empty() && !measured.contains(&record.kind) {
        return Err(out_of_place("full_scale"));
    }
    frequencies("full_scale", record.full_scale.iter().map(|row| row.hz))?;
    for (index, row) in record.full_scale.iter().enumerate() {
        let field = |name| format!("full_scale[{index}].{name}");
        number(
            &field("right_db_spl"),
            row.right_db_spl.0,
            FULL_SCALE_DB_SPL,
        )?;
        number(&field("left_db_spl"), row.left_db_spl.0, FULL_SCALE_DB_SPL)?;
        let apart = (row.right_db_spl - row.left_db_spl).0.abs();
        if apart > SIDES_DIFFER_DB {
            let problem = format!(
                "the ears are {apart} dB apart, expected at most {SIDES_DIFFER_DB} dB for a pair"
            );
            return Err(FieldError::new(field("left_db_spl"), problem));
        }
    }
    Ok(())
}

fn reference(record: &EarphoneRecord) -> Checked {
    if !record.reference.is_empty() && record.kind != ProfileKind::ExaminersEars {
        return Err(out_of_place("reference"));
    }
    frequencies("reference", record.reference.iter().map(|row| row.hz))?;
    for (index, row) in record.reference.iter().enumerate() {
        let field = |name| format!("reference[{index}].{name}");
        number(&field("right_db_fs"), row.right_db_fs.0, REFERENCE_DB_FS)?;
        number(&field("left_db_fs"), row.left_db_fs.0, REFERENCE_DB_FS)?;
    }
    Ok(())
}

/// Percent of a tone that its harmonics may have at all: beyond, no tone is measured.
const DISTORTION_PERCENT: RangeInclusive<f64> = 0.0..=100.0;

/// A reference table holds on the coupler that it was made for.
pub(super) fn coupler_of(class: EarphoneClass, coupler: Coupler) -> Checked {
    if class.coupler() == coupler {
        return Ok(());
    }
    let problem = format!(
        "{} found, but the reference table of this class was made for: {}",
        coupler.title(),
        class.coupler().title()
    );
    Err(FieldError::new("coupler", problem))
}

fn distortion(record: &EarphoneRecord) -> Checked {
    if let (Some(coupler), Some(class)) = (record.coupler, record.class) {
        coupler_of(class, coupler)?;
    }
    let measured = record.kind == ProfileKind::Measured;
    if record.coupler.is_some() && !measured {
        return Err(out_of_place("coupler"));
    }
    if !record.distortion.is_empty() && !measured {
        return Err(out_of_place("distortion"));
    }
    frequencies("distortion", record.distortion.iter().map(|row| row.hz))?;
    for (index, row) in record.distortion.iter().enumerate() {
        let field = |name| format!("distortion[{index}].{name}");
        number(
            &field("right_percent"),
            row.right_percent,
            DISTORTION_PERCENT,
        )?;
        number(&field("left_percent"), row.left_percent, DISTORTION_PERCENT)?;
    }
    Ok(())
}

fn of_jury(record: &EarphoneRecord) -> Checked {
    if record.kind != ProfileKind::ListeningJury {
        if !record.zero.is_empty() {
            return Err(out_of_place("zero"));
        }
        return match record.jury {
            Some(_) => Err(out_of_place("jury")),
            None => Ok(()),
        };
    }
    frequencies("zero", record.zero.iter().map(|row| row.hz))?;
    for (index, row) in record.zero.iter().enumerate() {
        let field = |name| format!("zero[{index}].{name}");
        number(&field("right_db_fs"), row.right_db_fs.0, REFERENCE_DB_FS)?;
        number(&field("left_db_fs"), row.left_db_fs.0, REFERENCE_DB_FS)?;
        number(&field("u_db"), row.u_db.0, 0.1..=20.0)?;
        number(&field("lowest_db_hl"), row.lowest_db_hl.0, -10.0..=80.0)?;
        let fewest = jury::MIN_LISTENERS as u32;
        whole(&field("listeners"), row.listeners, fewest..=10_000)?;
    }
    if let Some(jury) = &record.jury {
        number("jury.bias_db", jury.bias_db.0, -10.0..=30.0)?;
        number("jury.u_bias_db", jury.u_bias_db.0, 0.0..=20.0)?;
        one_line("jury.procedure", &jury.procedure)?;
        one_line("jury.age_correction", &jury.age_correction)?;
        if jury.journals.is_empty() || !jury.journals.iter().all(|one| is_sha_256(one)) {
            let problem = "expected the SHA-256 of each visit's journal, in hexadecimal";
            return Err(FieldError::new("jury.journals", problem));
        }
    }
    Ok(())
}

pub(super) fn frequencies(table: &str, rows: impl Iterator<Item = Hz>) -> Checked {
    let mut before: Option<Hz> = None;
    for (index, hz) in rows.enumerate() {
        let field = format!("{table}[{index}].hz");
        if !test_hz().any(|listed| listed == hz) {
            let listed: Vec<String> = test_hz().map(|hz| hz.0.to_string()).collect();
            let problem = format!("{} found, expected one of {}", hz.0, listed.join(", "));
            return Err(FieldError::new(field, problem));
        }
        if let Some(before) = before.filter(|before| *before >= hz) {
            let problem = format!("{hz} after {before}, expected ascending, each only once");
            return Err(FieldError::new(field, problem));
        }
        before = Some(hz);
    }
    Ok(())
}

pub(super) fn dates(made_on: Option<Date>, expires_on: Option<Date>) -> Checked {
    match (made_on, expires_on) {
        (Some(made), Some(expires)) if expires < made => Err(FieldError::new(
            "expires_on",
            format!("{expires} found, expected a day not before made_on, {made}"),
        )),
        _ => Ok(()),
    }
}

/// The two days of what was made once and holds for a time.
pub(super) fn made_and_expires(made_on: Date, expires_on: Date) -> Checked {
    dates(Some(made_on), Some(expires_on))
}

/// Whether what was made and expires on these days holds on `day`.
pub(super) fn valid_on(
    title: &str,
    made_on: Option<Date>,
    expires_on: Option<Date>,
    day: Date,
) -> Result<(), NotValid> {
    let title = title.to_owned();
    match (made_on, expires_on) {
        (_, Some(expires_on)) if day > expires_on => Err(NotValid::Expired { title, expires_on }),
        (Some(made_on), _) if day < made_on => Err(NotValid::NotYetMade { title, made_on }),
        _ => Ok(()),
    }
}

fn is_sha_256(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

pub(super) fn sha_256(field: &str, text: &str) -> Checked {
    if is_sha_256(text) {
        return Ok(());
    }
    Err(FieldError::new(field, "expected a SHA-256, in hexadecimal"))
}

pub(super) fn format(found: u32) -> Checked {
    if found == FORMAT {
        return Ok(());
    }
    Err(FieldError::new(
        "format",
        format!("{found} found, expected {FORMAT}"),
    ))
}

pub(super) fn one_line(field: &str, text: &str) -> Checked {
    let fits = !text.trim().is_empty() && text.len() <= 200 && !text.contains(char::is_control);
    if fits {
        return Ok(());
    }
    Err(FieldError::new(
        field,
        "expected one line of 1 to 200 bytes",
    ))
}

pub(super) fn number(field: &str, found: f64, allowed: RangeInclusive<f64>) -> Checked {
    if allowed.contains(&found) {
        return Ok(());
    }
    let (low, high) = allowed.into_inner();
    Err(FieldError::new(
        field,
        format!("{found} found, expected {low} to {high}"),
    ))
}

pub(super) fn whole(field: &str, found: u32, allowed: RangeInclusive<u32>) -> Checked {
    if allowed.contains(&found) {
        return Ok(());
    }
    let (low, high) = allowed.into_inner();
    Err(FieldError::new(
        field,
        format!("{found} found, expected {low} to {high}"),
    ))
}

fn needed(field: &str, there: bool) -> Checked {
    if there {
        return Ok(());
    }
    Err(FieldError::new(
        field,
        "missing, a profile of this kind needs it",
    ))
}

fn out_of_place(field: &str) -> FieldError {
    FieldError::new(field, "found in a profile of a kind that has none")
}
