//! The card for reading near, as a file to be printed.

use super::ErrandError;
use crate::quantity::Mm;
use crate::report::near_card_pdf;
use crate::stimulus::{NearCard, OptotypeSet};
use std::path::Path;

/// From where a card may be read, mm: what its largest row leaves room for, and no nearer than
/// anybody reads.
const DISTANCE_MM: std::ops::RangeInclusive<f64> = 250.0..=600.0;

/// Writes a card as a PDF and tells what stands on it.
///
/// # Errors
/// If the distance is none for reading, or the file cannot be written.
pub fn near_card(
    seed: u64,
    optotype: OptotypeSet,
    distance: Mm,
    out: &Path,
) -> Result<NearCard, ErrandError> {
    if !DISTANCE_MM.contains(&distance.0) {
        let (low, high) = (DISTANCE_MM.start(), DISTANCE_MM.end());
        let what = format!(
            "--distance-mm: expected {low} to {high}, found {}",
            distance.0
        );
        return Err(ErrandError::BadInput(what));
    }
    let card = NearCard::new(seed, optotype, distance);
    let pdf = near_card_pdf(&card).map_err(|error| ErrandError::Failed(error.to_string()))?;
    std::fs::write(out, pdf).map_err(|error| ErrandError::failed(out, error))?;
    Ok(card)
}
