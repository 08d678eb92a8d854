//! An acuity in the notations of the trade, each rounded to what its uncertainty allows. This is the
//! only place where an acuity becomes a fraction or a decimal.

use crate::quantity::{LogMar, Mm};
use crate::standard::iso_8596_2017 as iso_8596;
use serde::{Deserialize, Serialize};

/// Nothing is told finer than its uncertainty asks for, nor finer than this, logMAR.
const FINEST_U_LOG_MAR: f64 = 0.02;
/// M units are told where people read, up to here (our choice).
const NEAR_FROM_MM: f64 = 1000.0;

/// One acuity in all notations. All of them say the same size; none is measured by itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Notation {
    /// The fraction with the distance really used, metres: 4/5.3.
    pub fraction: String,
    /// The equivalent at 6 m.
    pub six_metre: String,
    /// The equivalent at 20 feet.
    pub twenty_foot: String,
    /// Decimal acuity, the inverse of the smallest detail in minutes of arc.
    pub decimal: f64,
    /// M units of what was just read, where the distance is one for reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub m_units: Option<f64>,
}

impl Notation {
    /// Of an acuity that was measured at `distance`, known to `u_log_mar`.
    #[must_use]
    pub fn of(acuity: LogMar, u_log_mar: f64, distance: Mm) -> Notation {
        let metres = distance.0 / 1000.0;
        let under = |numerator: f64| rounded(numerator * acuity.detail().0, u_log_mar);
        let fraction = |numerator: f64| format!("{}/{}", plain(numerator), plain(under(numerator)));
        // Half a centimetre is nothing to a distance in metres.
        let real = libm::round(metres * 100.0) / 100.0;
        Notation {
            fraction: format!("{}/{}", plain(real), plain(under(metres))),
            six_metre: fraction(6.0),
            twenty_foot: fraction(20.0),
            decimal: rounded(acuity.decimal(), u_log_mar),
            m_units: (distance.0 <= NEAR_FROM_MM).then(|| under(metres)),
        }
    }
}

/// The equivalent at 6 m of a bound, which is a size that was shown and so exact: 6/2.0.
#[must_use]
pub fn six_metre_of_size(size: LogMar) -> String {
    iso_8596::fraction(6.0, size)
}

/// A number to the power of ten just under its uncertainty: 126 known to 12 % is 130, 7.93 is 7.9.
fn rounded(number: f64, u_log_mar: f64) -> f64 {
    let u = number * (libm::exp10(u_log_mar.max(FINEST_U_LOG_MAR)) - 1.0);
    let place = libm::floor(libm::log10(u));
    if !place.is_finite() {
        return number;
    }
    // Powers of ten are exact one way only: 0.1 is not, 10 is.
    if place < 0.0 {
        let parts = libm::exp10(-place);
        libm::round(number * parts) / parts
    } else {
        let part = libm::exp10(place);
        libm::round(number / part) * part
    }
}

/// Without needless zeros.
fn plain(number: f64) -> String {
    let text = format!("{number:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at_4_m(log_mar: f64, u: f64) -> Notation {
        Notation::of(LogMar(log_mar), u, Mm(4000.0))
    }

    /// The worked line of the project's contract for `findings.json`: 0.12 ± 0.05 at 4 m.
    #[test]
    fn the_contracts_line() {
        let told = at_4_m(0.12, 0.05);
        assert_eq!(told.fraction, "4/5.3");
        assert_eq!(told.six_metre, "6/7.9");
        assert_eq!(told.twenty_foot, "20/26");
        assert!((told.decimal - 0.76).abs() < 1e-12);
        assert_eq!(told.m_units, None);
    }

    /// DICOM PS3.17, Annex RR.2: 0.8 is 20/126 and 6/38 exactly, which ±0.05 can tell to ten feet only.
    #[test]
    fn nothing_is_told_finer_than_it_is_known() {
        assert_eq!(at_4_m(0.8, 0.05).twenty_foot, "20/130");
        assert_eq!(at_4_m(0.8, 0.02).twenty_foot, "20/126");
        assert_eq!(at_4_m(0.8, 0.05).six_metre, "6/38");
        assert_eq!(at_4_m(0.8, 0.2).six_metre, "6/40");
        assert_eq!(at_4_m(1.5, 0.05).twenty_foot, "20/630");
        assert!((at_4_m(1.5, 0.05).decimal - 0.032).abs() < 1e-12);
        assert_eq!(at_4_m(0.0, 0.05).six_metre, "6/6");
    }

    /// A rounding moves an acuity by less than a third of its uncertainty... half of the place it is
    /// rounded to, which is at most the uncertainty itself.
    #[test]
    fn rounding_stays_within_half_the_uncertainty() {
        for step in -30..=200 {
            for u in [0.02, 0.05, 0.1, 0.2] {
                let log_mar = f64::from(step) / 100.0;
                let told = at_4_m(log_mar, u);
                let (_, under) = told.six_metre.split_once('/').unwrap();
                let back = libm::log10(under.parse::<f64>().unwrap() / 6.0);
                let decimal = -libm::log10(told.decimal);
                for back in [back, decimal] {
                    assert!((back - log_mar).abs() < 0.7 * u, "{log_mar} ±{u}: {back}");
                }
            }
        }
    }

    /// A hospital's printed conversion (scribd 620612384): at 40 cm 0.0 is 0.4 M, 0.4 is 1 M and 1.0 is 4 M (1.005 and 4.0 exactly).
    #[test]
    fn m_units_near() {
        let near = |log_mar| Notation::of(LogMar(log_mar), 0.02, Mm(400.0));
        for (log_mar, m_units) in [(0.0, 0.4), (0.4, 1.0), (1.0, 4.0)] {
            let found = near(log_mar).m_units.unwrap();
            assert!((found / m_units - 1.0).abs() < 0.01, "{found}");
        }
        assert_eq!(near(0.4).fraction, "0.4/1");
        assert_eq!(
            Notation::of(LogMar(0.0), 0.05, Mm(3175.0)).fraction,
            "3.18/3.2"
        );
    }
}
