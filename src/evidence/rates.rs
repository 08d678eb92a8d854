//! How often the grades are wrong.

use serde::{Deserialize, Serialize};

/// Why answers may not agree, of which this test knows nothing.
pub const OTHER_CAUSES: &str = "Possible reasons include misunderstanding, tiredness, \
    attention, ringing in the ears, illness, language and others; this test cannot tell them apart.";

/// How often a grade comes out for people of known kinds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct ErrorRates {
    /// Share of people who answer what they perceive that are graded `inconsistent`.
    pub genuine_inconsistent: f64,
    /// Share of them that are graded `mixed`.
    pub genuine_mixed: f64,
    /// Share of people who answer at random that are not graded `inconsistent`.
    pub random_missed: f64,
    /// Share of people who answer only above a bar of their own that are not graded
    /// `inconsistent`.
    pub raised_bar_missed: f64,
    /// Where the rates come from and what they are worth.
    pub from: String,
}

impl ErrorRates {
    /// Rates of the grades of hearing.
    ///
    /// Counted by `study --population NAME --repeats 1000 --seed 6`: `careful`, `average` and
    /// `poor` together make the genuine people. The limits of the signs were set while looking at
    /// other visits (seed 5) of the same populations: people of other kinds may differ more than
    /// these counts say. `tests/long/error-rates` counts again.
    #[must_use]
    pub fn hearing() -> ErrorRates {
        ErrorRates::simulated([11.0 / 3000.0, 280.0 / 3000.0, 437.0 / 1000.0, 1.0])
    }

    /// Rates of the grades of sight, counted in the same way.
    #[must_use]
    pub fn sight() -> ErrorRates {
        ErrorRates::simulated([0.0, 0.0, 1.0, 1.0])
    }

    /// The rates in words.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!(
            "error rates ({}): of people who answer what they perceive {} are graded inconsistent \
             and {} mixed; not graded inconsistent are {} of people who answer at random and {} of \
             those who answer only above a bar of their own; counted with the full plan, with fewer \
             presentations they differ",
            self.from,
            percent(self.genuine_inconsistent),
            percent(self.genuine_mixed),
            percent(self.random_missed),
            percent(self.raised_bar_missed),
        )
    }

    fn simulated(rates: [f64; 4]) -> ErrorRates {
        let [
            genuine_inconsistent,
            genuine_mixed,
            random_missed,
            raised_bar_missed,
        ] = rates;
        ErrorRates {
            genuine_inconsistent,
            genuine_mixed,
            random_missed,
            raised_bar_missed,
            from: "from simulated people, not measured on people".into(),
        }
    }
}

/// A share in per cent; a rate that was counted as none or all is no certainty.
fn percent(share: f64) -> String {
    match 100.0 * share {
        p if p < 0.1 => "under 0.1 %".into(),
        p if p > 99.9 => "over 99 %".into(),
        p if p < 1.0 => format!("{p:.1} %"),
        p => format!("{p:.0} %"),
    }
}
