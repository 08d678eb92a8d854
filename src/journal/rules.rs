//! The procedures that a plan can name, as data.

use crate::calibration::{FieldError, within};
use serde::{Deserialize, Serialize};

/// What the name of a procedure stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Procedure {
    /// One series of tones for each ear and frequency, read by this rule.
    Series(SeriesRule),
    /// One fixed level: heard there or not. It measures nothing.
    Screening,
    /// All frequencies of both ears at once, each tone where it tells most.
    Estimate,
}

/// The rule by which a series of tones at one ear and frequency becomes a threshold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SeriesRule {
    /// Ascents.
    Ascents(AscendingRule),
    /// Ascents and descents by turns.
    Bracketing(BracketingRule),
}

impl Procedure {
    /// All names.
    pub const NAMES: [&str; 7] = [
        "ascending",
        "ascending_3_of_5",
        "ascending_2_of_4",
        "bracketing",
        "bracketing_short",
        "estimate",
        "screening",
    ];

    /// The procedure of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Procedure> {
        match name {
            "screening" => Some(Procedure::Screening),
            "estimate" => Some(Procedure::Estimate),
            _ => SeriesRule::named(name).map(Procedure::Series),
        }
    }

    /// The procedure of that name, if it measures thresholds.
    #[must_use]
    pub fn measuring(name: &str) -> Option<Procedure> {
        Procedure::named(name).filter(|procedure| *procedure != Procedure::Screening)
    }

    /// The procedure of that name, or what was expected of `field`.
    ///
    /// # Errors
    /// If there is none.
    pub fn expected(field: &str, name: &str) -> Result<Procedure, FieldError> {
        Procedure::named(name).ok_or_else(|| {
            let names = Procedure::NAMES.join(", ");
            FieldError::new(field, format!("expected one of {names}, found {name:?}"))
        })
    }
}

impl SeriesRule {
    /// The rule that a procedure's name stands for.
    #[must_use]
    pub fn named(procedure: &str) -> Option<SeriesRule> {
        match procedure {
            "bracketing" => Some(SeriesRule::Bracketing(BracketingRule::THREE_AND_THREE)),
            "bracketing_short" => Some(SeriesRule::Bracketing(BracketingRule::SHORT)),
            _ => AscendingRule::named(procedure).map(SeriesRule::Ascents),
        }
    }
}

/// The rule by which ascents become a threshold: the lowest level that was answered at least
/// `needed` times among its last `of` presentations reached from below.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AscendingRule {
    /// Answers needed at one level.
    pub needed: u32,
    /// Among at most so many ascending presentations of that level.
    pub of: u32,
    /// After so many ascents without a decision a new series begins 10 dB above the last
    /// response (ISO 8253-1:2010, 6.2.3.2); none: the series goes on. What was answered before
    /// goes on counting, which the standard leaves open: counted afresh, three in ten thresholds
    /// of a poor listener were undecided after 60 tones.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new_series_after: Option<u32>,
    /// Step down after an answer, dB.
    pub down_db: f64,
    /// Step up after no answer, dB.
    pub up_db: f64,
}

impl AscendingRule {
    /// 10 down, 5 up, at least 2 answers of at most 3: the shortened form of ISO 8253-1:2010,
    /// 6.2.3.2, counted at each level.
    pub const TWO_OF_THREE: AscendingRule = AscendingRule::ten_down_five_up(2, 3, None);
    /// The long form of ISO 8253-1:2010, 6.2.3.2: 3 answers of at most 5, more than half.
    pub const THREE_OF_FIVE: AscendingRule = AscendingRule::ten_down_five_up(3, 5, Some(5));
    /// At least half, 2 of at most 4 (reference: ASHA 2005, BSA 2018, from memory).
    pub const TWO_OF_FOUR: AscendingRule = AscendingRule::ten_down_five_up(2, 4, None);

    const fn ten_down_five_up(needed: u32, of: u32, new_series_after: Option<u32>) -> Self {
        AscendingRule {
            needed,
            of,
            new_series_after,
            down_db: 10.0,
            up_db: 5.0,
        }
    }

    /// The ascending rule of that name.
    #[must_use]
    pub fn named(procedure: &str) -> Option<AscendingRule> {
        match procedure {
            "ascending" => Some(AscendingRule::TWO_OF_THREE),
            "ascending_3_of_5" => Some(AscendingRule::THREE_OF_FIVE),
            "ascending_2_of_4" => Some(AscendingRule::TWO_OF_FOUR),
            _ => None,
        }
    }
}

/// Ascents and descents by turns in steps of 5 dB (ISO 8253-1:2010, 6.2.3.3). After an answer the
/// level goes up 5 dB more, then down until there is none, then down 5 dB more (this last step
/// from memory), then up again.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BracketingRule {
    /// So many ascents and as many descents.
    pub series: u32,
    /// Two of each will do, if the lowest answered levels of all four lie within so much, dB.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub two_if_within_db: Option<f64>,
    /// The step, dB.
    pub step_db: f64,
}

impl BracketingRule {
    /// Three ascents and three descents.
    pub const THREE_AND_THREE: BracketingRule = BracketingRule {
        series: 3,
        two_if_within_db: None,
        step_db: 5.0,
    };
    /// The shortened form: two and two, if all four lie within 5 dB.
    pub const SHORT: BracketingRule = BracketingRule {
        series: 3,
        two_if_within_db: Some(5.0),
        step_db: 5.0,
    };
}

/// By `estimate`: what is believed before the first answer.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum HearingPrior {
    /// People of all ages as they come to a clinic: neighbouring frequencies and the two ears are
    /// mostly alike, but one ear may be poorer, and single frequencies may stand out.
    #[default]
    Clinic,
    /// Every ear and frequency by itself, and any level about as likely as another.
    Flat,
}

/// Whether the other ear is masked where it may answer for the ear under test.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum MaskingPlan {
    /// By the plateau method, once both ears are measured without masking.
    #[default]
    Plateau,
    /// Never by the procedure; the examiner may by hand.
    None,
}

/// The plateau method: the noise at the other ear goes up until the threshold stays where it is
/// (reference: BSA recommended procedure and ISO 8253-1, masking; steps from memory).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct PlateauRule {
    /// The first noise, above the other ear's own threshold, dB effective masking level.
    pub start_above_db: f64,
    /// From one noise to the next, dB.
    pub noise_step_db: f64,
    /// Over so much noise the threshold has to stay, dB.
    pub width_db: f64,
    /// It stays if it moves by no more than this, dB.
    pub within_db: f64,
    /// Masking is done where the ears differ by the least interaural attenuation less this, dB:
    /// both readings are uncertain, and what was heard by the other ear must not pass for this
    /// one's (a deviation, ours, on the careful side; 0 is the rule as published).
    pub margin_db: f64,
    /// Once there is a plateau, more tones come at its loudest noise until the standard deviation of the
    /// midpoint that they can still lessen is at most this, dB (ours: a poor listener's plateau is
    /// found by chance too easily).
    pub settle_sd_db: f64,
}

impl PlateauRule {
    /// As published, but for the margin.
    pub const USUAL: PlateauRule = PlateauRule {
        start_above_db: 10.0,
        noise_step_db: 10.0,
        width_db: 20.0,
        within_db: 5.0,
        margin_db: 10.0,
        settle_sd_db: 2.5,
    };

    pub(super) fn check(&self) -> Result<(), FieldError> {
        for (field, value, low, high) in [
            ("start_above_db", self.start_above_db, 0.0, 30.0),
            ("noise_step_db", self.noise_step_db, 5.0, 20.0),
            ("width_db", self.width_db, 10.0, 40.0),
            ("within_db", self.within_db, 0.0, 10.0),
            ("margin_db", self.margin_db, 0.0, 40.0),
            ("settle_sd_db", self.settle_sd_db, 1.0, 20.0),
        ] {
            within(&format!("hearing.plateau.{field}"), value, low, high)?;
        }
        Ok(())
    }
}

impl Default for PlateauRule {
    fn default() -> Self {
        PlateauRule::USUAL
    }
}
