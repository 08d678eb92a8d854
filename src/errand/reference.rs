//! Makes the examiner's own ears the reference of a set-up that has no calibration.

use super::ErrandError;
use crate::calibration::{EarphoneProfile, ExaminerReference};
use crate::finding::{HearingFindings, HearingStatus};
use crate::journal::Record;
use crate::quantity::{DbFs, Ear, Level};
use jiff::civil::Date;

/// The profile that the examiner's own visit on this set-up makes: 0 dB is the examiner's
/// threshold at each ear and frequency. What leans on neighbouring frequencies is none: a reference is
/// what was heard there.
///
/// # Errors
/// If no frequency was measured in both ears.
pub fn examiners_reference(
    record: &Record,
    made_by: &str,
    made_on: Date,
) -> Result<EarphoneProfile, ErrandError> {
    let hearing = HearingFindings::of(record);
    let level = |ear, hz| {
        let finding = hearing
            .at(ear, hz)
            .filter(|one| one.status == HearingStatus::Measured && !one.from_neighbours)?;
        match finding.threshold? {
            Level::Fs(level) => Some(level),
            Level::Hl(_) | Level::ReExaminer(_) => None,
        }
    };
    let rows: Vec<ExaminerReference> = hearing
        .right
        .iter()
        .filter_map(|finding| {
            let row = |right_db_fs: DbFs, left_db_fs: DbFs| ExaminerReference {
                hz: finding.hz,
                right_db_fs,
                left_db_fs,
            };
            Some(row(
                level(Ear::Right, finding.hz)?,
                level(Ear::Left, finding.hz)?,
            ))
        })
        .collect();
    let device = record
        .opening
        .set_up
        .earphone
        .as_ref()
        .and_then(|one| one.record().output.clone());
    let output =
        device.ok_or_else(|| ErrandError::BadInput("the visit names no sound output".into()))?;
    EarphoneProfile::from_examiners_ears(rows, made_by, made_on, output)
        .map_err(|error| ErrandError::BadInput(error.to_string()))
}
