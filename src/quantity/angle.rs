//! Visual angle.

use super::Mm;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// A visual angle in minutes of arc.
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct ArcMin(pub f64);

impl ArcMin {
    /// The length that this angle spans at `distance`, by the tangent of the half angle.
    #[must_use]
    pub fn span_at(self, distance: Mm) -> Mm {
        Mm(2.0 * distance.0 * libm::tan(self.0 * PI / (180.0 * 60.0) / 2.0))
    }

    /// The angle that `length` spans at `distance`, by the tangent of the half angle.
    #[must_use]
    pub fn spanned_by(length: Mm, distance: Mm) -> ArcMin {
        ArcMin(2.0 * libm::atan(length.0 / (2.0 * distance.0)) * 180.0 * 60.0 / PI)
    }
}

/// Size or acuity as the decimal logarithm of the minimum angle of resolution in minutes of arc:
/// 0 is a critical detail of 1 minute, larger numbers are larger optotypes and poorer acuity.
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct LogMar(pub f64);

impl LogMar {
    /// The critical detail: one stroke, one gap.
    #[must_use]
    pub fn detail(self) -> ArcMin {
        ArcMin(libm::exp10(self.0))
    }

    /// The size whose critical detail is `detail`.
    #[must_use]
    pub fn of_detail(detail: ArcMin) -> LogMar {
        LogMar(libm::log10(detail.0))
    }

    /// Decimal acuity, 1 / detail in minutes of arc (ISO 8596 clause 4).
    #[must_use]
    pub fn decimal(self) -> f64 {
        libm::exp10(-self.0)
    }
}
