//! The functional acuity score of the AMA Guides (chapter 12): read in summaries (studylib 8552189)
//! and in DICOM PS3.17, Annex RR.2; not in the guides themselves.

use super::{Source, Verified};
use crate::quantity::LogMar;

/// Where the score comes from.
pub const SOURCE: Source = Source {
    document: "AMA Guides to the Evaluation of Permanent Impairment, chapter 12; DICOM PS3.17 RR.2",
    place: "functional acuity score, best-corrected",
    verified: Verified::LookedUp,
};

/// The visual acuity score of one eye: 100 at logMAR 0, one point a letter of a chart, 50 at 1.0;
/// never under 0.
#[must_use]
pub fn visual_acuity_score(acuity: LogMar) -> f64 {
    (100.0 - 50.0 * acuity.0).max(0.0)
}

/// The functional acuity score: both eyes together count three times, each eye once.
#[must_use]
pub fn functional_acuity_score(both: LogMar, right: LogMar, left: LogMar) -> f64 {
    let [both, right, left] = [both, right, left].map(visual_acuity_score);
    (3.0 * both + right + left) / 5.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// DICOM PS3.17, Annex RR.2: the visual acuity score beside logMAR.
    #[test]
    fn scores_of_an_eye_are_those_of_dicom() {
        for (log_mar, score) in [
            (0.0, 100.0),
            (0.8, 60.0),
            (0.9, 55.0),
            (1.0, 50.0),
            (1.1, 45.0),
            (1.2, 40.0),
            (1.3, 35.0),
            (1.4, 30.0),
            (1.5, 25.0),
        ] {
            assert!((visual_acuity_score(LogMar(log_mar)) - score).abs() < 1e-9);
        }
        assert!(visual_acuity_score(LogMar(2.3)).abs() < 1e-9);
    }

    /// Worked by hand from FAS = (3 both + right + left) / 5: both, right, left, score.
    #[test]
    fn worked_examples() {
        for (both, right, left, score) in [
            (0.0, 0.0, 0.0, 100.0),
            (0.3, 0.3, 1.0, 78.0),
            (0.0, 0.0, 1.7, 83.0),
            (1.0, 1.0, 1.0, 50.0),
            (0.0, 0.0, 1.0, 90.0),
        ] {
            let found = functional_acuity_score(LogMar(both), LogMar(right), LogMar(left));
            assert!(
                (found - score).abs() < 1e-9,
                "{both} {right} {left}: {found}"
            );
        }
    }
}
