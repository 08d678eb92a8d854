//! LOINC codes of hearing thresholds and of acuity.
//!
//! Thresholds: HL7 PACIO value sets (codes and displays). Left has the lower number at some
//! frequencies and the higher at others, so nothing here is computed. Acuity: the codes' own pages,
//! HL7 companion text and quality measures. What was not found has no code here: 125 Hz, above
//! 8 kHz, bone conduction, averages, an acuity with the glasses that somebody happens to wear.
//! (HL7 PACIO value set 'clinical test' and public FHIR examples; check digits are tested.)

use crate::quantity::{Ear, Eye, Hz};

/// The system's URI.
pub const SYSTEM: &str = "http://loinc.org";

/// What the licence wants shown with the codes (from memory of the notice in the HL7 guides).
pub const NOTICE: &str = "This material contains content from LOINC (http://loinc.org). LOINC is \
    copyright © Regenstrief Institute, Inc. and the Logical Observation Identifiers Names and Codes \
    (LOINC) Committee and is available at no cost under the license at http://loinc.org/license. \
    LOINC® is a registered United States trademark of Regenstrief Institute, Inc.";

/// Pure tone threshold audiometry panel.
pub const HEARING_PANEL: &str = "89015-2";
/// Audiology study.
pub const HEARING_STUDY: &str = "28615-3";
/// Visual acuity panel.
pub const ACUITY_PANEL: &str = "98497-1";
/// Visual acuity study.
pub const ACUITY_STUDY: &str = "28631-0";

/// Frequency in Hz, right ear, left ear.
const THRESHOLDS: [(f64, &str, &str); 11] = [
    (250.0, "91374-9", "91375-6"),
    (500.0, "89025-1", "89024-4"),
    (750.0, "91378-0", "91379-8"),
    (1000.0, "89017-8", "89016-0"),
    (1500.0, "91372-3", "91373-1"),
    (2000.0, "89019-4", "89018-6"),
    (3000.0, "89021-0", "89020-2"),
    (4000.0, "89023-6", "89022-8"),
    (5000.0, "91376-4", "91377-2"),
    (6000.0, "89027-7", "89026-9"),
    (8000.0, "89029-3", "89028-5"),
];

/// The code of a threshold, where there is one.
#[must_use]
pub fn threshold(ear: Ear, hz: Hz) -> Option<&'static str> {
    let (_, right, left) = THRESHOLDS.iter().find(|(of, ..)| Hz(*of) == hz)?;
    Some(match ear {
        Ear::Right => right,
        Ear::Left => left,
    })
}

/// How the panel's value set displays the code of a threshold.
#[must_use]
pub fn threshold_display(ear: Ear, hz: Hz) -> String {
    format!("Hearing threshold Ear - {ear} --{} Hz", hz.0)
}

/// What correction an acuity was measured with, as far as codes tell it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corrected {
    /// None.
    No,
    /// The best there is, after refraction.
    Best,
}

/// The code of an acuity on any chart, where there is one. Of both eyes it says far, so it is not
/// for a near distance.
#[must_use]
pub fn acuity(eye: Eye, corrected: Corrected) -> Option<&'static str> {
    match (eye, corrected) {
        (Eye::Right, Corrected::No) => Some("98499-7"),
        (Eye::Left, Corrected::No) => Some("98498-9"),
        (Eye::Both, Corrected::No) => Some("98506-9"),
        (Eye::Right, Corrected::Best) => Some("65893-0"),
        (Eye::Left, Corrected::Best) => Some("65897-1"),
        (Eye::Both, Corrected::Best) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// LOINC's check digit: from the right, every second digit doubled beginning with the last
    /// (mod 10, as on bank cards; LOINC Users' Guide, from memory).
    fn check_digit_fits(code: &str) -> bool {
        let (digits, check) = code.split_once('-').unwrap();
        let sum: u32 = digits
            .bytes()
            .rev()
            .enumerate()
            .map(|(at, digit)| {
                let digit = u32::from(digit - b'0');
                match at % 2 {
                    0 if digit > 4 => 2 * digit - 9,
                    0 => 2 * digit,
                    _ => digit,
                }
            })
            .sum();
        let expected: u32 = check.parse().unwrap();
        (10 - sum % 10) % 10 == expected
    }

    fn all() -> Vec<&'static str> {
        let mut all = vec![HEARING_PANEL, HEARING_STUDY, ACUITY_PANEL, ACUITY_STUDY];
        for (_, right, left) in THRESHOLDS {
            all.extend([right, left]);
        }
        for eye in Eye::ALL {
            all.extend(acuity(eye, Corrected::No));
            all.extend(acuity(eye, Corrected::Best));
        }
        all
    }

    #[test]
    fn check_digits_fit_and_every_slip_of_one_digit_shows() {
        let all = all();
        assert_eq!(all.len(), 4 + 22 + 5);
        for code in &all {
            assert!(check_digit_fits(code), "{code}");
            for at in (0..code.len()).filter(|at| code.as_bytes()[*at] != b'-') {
                let mut slip = code.as_bytes().to_vec();
                slip[at] = b'0' + (slip[at] - b'0' + 1) % 10;
                assert!(!check_digit_fits(std::str::from_utf8(&slip).unwrap()));
            }
        }
        let mut distinct = all.clone();
        distinct.sort_unstable();
        distinct.dedup();
        assert_eq!(distinct.len(), all.len(), "a code stands for one thing");
    }

    /// HL7 PACIO value set, written down apart from the table: left has the lower number at these
    /// frequencies and the higher one at those.
    #[test]
    fn left_and_right_flip_where_they_do() {
        let number = |ear, hz| -> u32 {
            let code = threshold(ear, Hz(hz)).unwrap();
            code.replace('-', "").parse().unwrap()
        };
        for hz in [500.0, 1000.0, 2000.0, 3000.0, 4000.0, 6000.0, 8000.0] {
            assert!(number(Ear::Left, hz) < number(Ear::Right, hz), "{hz}");
        }
        for hz in [250.0, 750.0, 1500.0, 5000.0] {
            assert!(number(Ear::Left, hz) > number(Ear::Right, hz), "{hz}");
        }
        assert_eq!(threshold(Ear::Left, Hz(8000.0)), Some("89028-5"));
        assert_eq!(threshold(Ear::Right, Hz(125.0)), None);
        assert_eq!(threshold(Ear::Right, Hz(9000.0)), None);
    }
}
