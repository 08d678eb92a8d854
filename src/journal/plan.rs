//! What is to be done in a visit, as data: part of the record, so that a visit can be gone on
//! with and a reader years later knows what was asked for.

use super::agreement::{AgreementPlan, SightAgreementPlan};
use super::asking::Asking;
use super::bedside::BedsidePlan;
use super::earlier::EarlierVisit;
use super::history::Told;
use super::rules::{AscendingRule, HearingPrior, MaskingPlan, PlateauRule, Procedure, SeriesRule};
use super::sight_rules::{CardPlan, LetterDifficulty, RowsPlan, ScreeningPlan, SightProcedure};
use crate::calibration::{FieldError, FileError, read_toml, within};
use crate::quantity::{Correction, Ear, Eye, Hz, Mm, Scale, Sense, Sex};
use crate::standard::test_hz;
use crate::stimulus::{OptotypeSet, Signal};
use serde::{Deserialize, Serialize};

/// A whole plan. Absent sections are not tested.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Version of the plan format: 1.
    pub format: u32,
    /// What the plan is called.
    pub name: String,
    /// Which sense comes first.
    #[serde(default = "hearing_first", skip_serializing_if = "is_hearing_first")]
    pub order: Vec<Sense>,
    /// What is done about hearing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hearing: Option<HearingPlan>,
    /// What is done about sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sight: Option<SightPlan>,
    /// What is done by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bedside: Option<BedsidePlan>,
    /// What the person told of themselves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<About>,
    /// What is known of an earlier visit: series begin near it, and changes are reported.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earlier: Option<EarlierVisit>,
}

/// What the person told of themselves; only comparisons with people of their age use it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct About {
    /// Age, years.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub age_years: Option<f64>,
    /// Sex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<Sex>,
}

/// What is done about hearing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HearingPlan {
    /// The procedure's name, one of [`Procedure::NAMES`].
    pub procedure: String,
    /// After a screening: the procedure that measures what was not heard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub then: Option<String>,
    /// The level of a screening, dB HL.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screening_db: Option<f64>,
    /// The frequencies, in the order in which they are tested.
    pub hz: Vec<Hz>,
    /// The ears, in the order in which they are tested; the better ear first where it is known
    /// (ISO 8253-1:2010, from memory).
    #[serde(default = "both_ears")]
    pub ears: Vec<Ear>,
    /// `tone`, `pulsed`, `warble`, or `{ warble_by = { rate_hz = …, deviation_percent = … } }`.
    #[serde(default = "steady")]
    pub signal: Signal,
    /// How long a tone lasts, 1 to 2 s (ISO 8253-1:2010).
    #[serde(default = "tone_s")]
    pub tone_s: f64,
    /// Where the first tone is presented, dB on the set-up's scale; left out, a level that most
    /// people hear clearly ([`HearingPlan::start_db_on`]).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_db: Option<f64>,
    /// The share of silent presentations among all.
    #[serde(default = "silent_share")]
    pub silent_share: f64,
    /// The shortest and longest silence before an onset, s.
    #[serde(default = "lead_s")]
    pub lead_s: [f64; 2],
    /// The frequency that is measured again in the first ear, if any.
    #[serde(default = "repeat_hz", skip_serializing_if = "Option::is_none")]
    pub repeat_hz: Option<Hz>,
    /// Whether frequencies between two octaves whose thresholds differ by 20 dB or more are measured
    /// as well (ASHA 2005, from memory).
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub inter_octaves: bool,
    /// Whether the other ear is masked where it may answer for the ear under test.
    #[serde(default)]
    pub masking: MaskingPlan,
    /// How it is masked.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub plateau: PlateauRule,
    /// By `estimate`: what is believed before the first answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prior: Option<HearingPrior>,
    /// By `estimate`: the person's age enters that belief, by what people of this age and sex hear
    /// at the median (ISO 7029:2017). Only on request: a norm must not become a finding unasked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prior_of_age: Option<PriorOfAge>,
    /// By `estimate`: a frequency is done when the standard deviation of its midpoint that more
    /// tones can still lessen is at most this, dB; 0: never, the tones are counted; left out: 4.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop_sd_db: Option<f64>,
    /// What is presented to see how the answers agree, once thresholds are measured.
    #[serde(default, skip_serializing_if = "is_default")]
    pub agreement: AgreementPlan,
    /// Hearing ends after so many tones, whatever is known by then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_tones: Option<u32>,
}

/// Whose norm enters the prior.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PriorOfAge {
    /// The person's age, 18 to 80 years.
    pub age_years: f64,
    /// The person's sex; left out, the mean of both norms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<Sex>,
}

impl HearingPlan {
    /// The procedure that measures thresholds; none if nothing does.
    #[must_use]
    pub fn measures_by(&self) -> Option<Procedure> {
        let measures = self.then.as_ref().unwrap_or(&self.procedure);
        Procedure::measuring(measures)
    }

    /// By `estimate`: what is believed before the first answer.
    #[must_use]
    pub fn prior(&self) -> HearingPrior {
        self.prior.unwrap_or_default()
    }

    /// By `estimate`: a frequency is done at this standard deviation, dB; 0: never. About what two
    /// of three ascents reach for an average listener.
    #[must_use]
    pub fn stop_sd_db(&self) -> f64 {
        self.stop_sd_db.unwrap_or(4.0)
    }

    /// Where the first tone is presented on `scale`, dB. Re full scale nobody knows how loud a
    /// level is: the first tone is inaudible on any usual earphone, and the search for a clearly
    /// audible one goes up from there.
    #[must_use]
    pub fn start_db_on(&self, scale: Scale) -> f64 {
        self.start_db.unwrap_or(match scale {
            Scale::DbHl | Scale::DbReExaminer => 40.0,
            Scale::DbFs => -110.0,
        })
    }

    /// The rule by which series are read, also those that the examiner presents by hand: that of
    /// the procedure that measures, or 2 of 3 ascents where none of them goes by series.
    #[must_use]
    pub fn series_rule(&self) -> SeriesRule {
        let measures = self.then.as_ref().unwrap_or(&self.procedure);
        SeriesRule::named(measures).unwrap_or(SeriesRule::Ascents(AscendingRule::TWO_OF_THREE))
    }

    /// The level of a screening, dB HL: 25 for adults (ASHA 1997); 20 is usual for children.
    #[must_use]
    pub fn screening_level_db(&self) -> f64 {
        self.screening_db.unwrap_or(25.0)
    }
}

/// What is done about sight.
#[expect(clippy::struct_excessive_bools, reason = "each is a key of the plan")]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SightPlan {
    /// How an eye is asked.
    #[serde(default, skip_serializing_if = "is_default")]
    pub procedure: SightProcedure,
    /// How rows are read, where they are; also those of a near card.
    #[serde(default, skip_serializing_if = "is_default")]
    pub rows: RowsPlan,
    /// The size of a screening.
    #[serde(default, skip_serializing_if = "is_default")]
    pub screening: ScreeningPlan,
    /// The near card.
    #[serde(default, skip_serializing_if = "is_default")]
    pub card: CardPlan,
    /// What is made of letters that are not equally easy.
    #[serde(default, skip_serializing_if = "is_default")]
    pub letter_difficulty: LetterDifficulty,
    /// The optotypes.
    #[serde(default = "landolt_8")]
    pub optotype: OptotypeSet,
    /// With a bar on each side of an optotype.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub crowded: bool,
    /// White on black.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub reverse: bool,
    /// How long an optotype is shown, s; none: until it is answered. Acuity grows with the time up
    /// to about a quarter second (`McAnany` 2014), so at least half a second.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shown_s: Option<f64>,
    /// The eyes, in the order in which they are tested.
    #[serde(default = "all_eyes")]
    pub eyes: Vec<Eye>,
    /// What correction is worn.
    #[serde(default, skip_serializing_if = "is_default")]
    pub correction: Correction,
    /// Whether the eyes look through a pinhole.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub pinhole: bool,
    /// From the eye to the screen, where it is another distance than the set-up's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distance_mm: Option<Mm>,
    /// What is asked after that, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<Asking>,
    /// Whether an eye that does not read the largest optotype is asked again from nearer, and then
    /// by hand.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub below_largest: bool,
    /// What the person told of their eyes before the visit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history: Vec<Told>,
    /// Practice items for each eye at a clearly visible size.
    #[serde(default = "practice_items")]
    pub practice_items: u32,
    /// An eye is done when its standard deviation is at most this, logMAR …
    #[serde(default = "stop_sd_log_mar")]
    pub stop_sd_log_mar: f64,
    /// … but not before so many trials …
    #[serde(default = "fewest_trials")]
    pub fewest_trials: u32,
    /// … and at the latest after so many.
    #[serde(default = "most_trials")]
    pub most_trials: u32,
    /// What is shown to see how the answers agree, once acuities are measured.
    #[serde(default, skip_serializing_if = "is_default")]
    pub agreement: SightAgreementPlan,
}

fn hearing_first() -> Vec<Sense> {
    vec![Sense::Hearing, Sense::Sight]
}
fn is_hearing_first(order: &[Sense]) -> bool {
    order == hearing_first()
}
fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}
fn is_usual(rule: &PlateauRule) -> bool {
    *rule == PlateauRule::USUAL
}
fn both_ears() -> Vec<Ear> {
    Ear::BOTH.to_vec()
}
fn steady() -> Signal {
    Signal::Steady
}
fn tone_s() -> f64 {
    1.5
}
fn silent_share() -> f64 {
    0.2
}
fn lead_s() -> [f64; 2] {
    [0.5, 2.5]
}
#[expect(
    clippy::unnecessary_wraps,
    reason = "serde asks for the field's own type"
)]
fn repeat_hz() -> Option<Hz> {
    Some(Hz(1000.0))
}
fn landolt_8() -> OptotypeSet {
    OptotypeSet::Landolt8
}
fn all_eyes() -> Vec<Eye> {
    Eye::ALL.to_vec()
}
fn practice_items() -> u32 {
    4
}
fn stop_sd_log_mar() -> f64 {
    0.05
}
fn fewest_trials() -> u32 {
    12
}
fn most_trials() -> u32 {
    40
}

impl Plan {
    /// Reads a plan from TOML and checks it; `file` is named in errors.
    ///
    /// # Errors
    /// Names the first field that is wrong and what was expected of it.
    pub fn from_toml(text: &str, file: &str) -> Result<Plan, FileError> {
        let plan: Plan = read_toml(text, file)?;
        plan.check().map_err(|error| error.in_file(file))?;
        Ok(plan)
    }

    /// Checks that the plan can be carried out.
    ///
    /// # Errors
    /// Names the first field that is wrong and what was expected of it.
    pub fn check(&self) -> Result<(), FieldError> {
        within("format", f64::from(self.format), 1.0, 1.0)?;
        within("order (how many)", self.order.len() as f64, 1.0, 2.0)?;
        distinct("order", &self.order)?;
        for (sense, planned) in [
            (Sense::Hearing, self.hearing.is_some()),
            (Sense::Sight, self.sight.is_some()),
        ] {
            if planned && !self.order.contains(&sense) {
                let problem = format!("expected {sense} in it, because the plan has [{sense}]");
                return Err(FieldError::new("order", problem));
            }
        }
        let age_years = self.about.and_then(|about| about.age_years);
        within("about.age_years", age_years.unwrap_or(0.0), 0.0, 130.0)?;
        if let Some(earlier) = &self.earlier {
            earlier.check()?;
        }
        if let Some(hearing) = &self.hearing {
            hearing.check_procedures()?;
            hearing.plateau.check()?;
            hearing.agreement.check()?;
            hearing.check_signal()?;
            within("hearing.hz (how many)", hearing.hz.len() as f64, 1.0, 32.0)?;
            for hz in &hearing.hz {
                if !test_hz().any(|known| known == *hz) {
                    let known: Vec<String> = test_hz().map(|hz| hz.0.to_string()).collect();
                    let known = known.join(", ");
                    let problem = format!("expected one of {known}, found {}", hz.0);
                    return Err(FieldError::new("hearing.hz", problem));
                }
            }
            within(
                "hearing.ears (how many)",
                hearing.ears.len() as f64,
                1.0,
                2.0,
            )?;
            within("hearing.tone_s", hearing.tone_s, 1.0, 2.0)?;
            within(
                "hearing.start_db",
                hearing.start_db.unwrap_or(0.0),
                -120.0,
                80.0,
            )?;
            distinct("hearing.hz", &hearing.hz)?;
            distinct("hearing.ears", &hearing.ears)?;
            within(
                "hearing.most_tones",
                f64::from(hearing.most_tones.unwrap_or(1)),
                1.0,
                1e6,
            )?;
            within("hearing.silent_share", hearing.silent_share, 0.0, 0.5)?;
            within("hearing.stop_sd_db", hearing.stop_sd_db(), 0.0, 20.0)?;
            if let Some(norm) = hearing.prior_of_age {
                within("hearing.prior_of_age.age_years", norm.age_years, 18.0, 80.0)?;
            }
            let [shortest, longest] = hearing.lead_s;
            within("hearing.lead_s (shortest)", shortest, 0.3, 10.0)?;
            within("hearing.lead_s (longest)", longest, shortest + 0.5, 20.0)?;
        }
        if let Some(sight) = &self.sight {
            within("sight.eyes (how many)", sight.eyes.len() as f64, 1.0, 3.0)?;
            distinct("sight.eyes", &sight.eyes)?;
            sight.check_asking("sight")?;
            for (at, also) in sight.also.iter().enumerate() {
                also.check(&format!("sight.also[{at}]"), sight)?;
            }
            sight.agreement.check()?;
            within("sight.shown_s", sight.shown_s.unwrap_or(0.5), 0.5, 60.0)?;
            if (1..4).contains(&sight.practice_items) {
                let problem = "expected 0 or at least 4, with fewer a reversal cannot be told";
                return Err(FieldError::new("sight.practice_items", problem));
            }
            within(
                "sight.practice_items",
                f64::from(sight.practice_items),
                0.0,
                20.0,
            )?;
            within("sight.stop_sd_log_mar", sight.stop_sd_log_mar, 0.0, 1.0)?;
            within(
                "sight.fewest_trials",
                f64::from(sight.fewest_trials),
                1.0,
                400.0,
            )?;
            let fewest = f64::from(sight.fewest_trials);
            within(
                "sight.most_trials",
                f64::from(sight.most_trials),
                fewest,
                400.0,
            )?;
        }
        let series = self.bedside.iter().flat_map(|bedside| &bedside.series);
        for (at, series) in series.enumerate() {
            series.check(&format!("bedside.series[{at}]"))?;
        }
        Ok(())
    }
}

impl HearingPlan {
    fn check_signal(&self) -> Result<(), FieldError> {
        if !self.signal.is_tone() {
            return Err(FieldError::new(
                "hearing.signal",
                "expected tone, pulsed, warble or warble_by; noise masks, it is not detected",
            ));
        }
        if self.signal.swing().is_some_and(|swing| !swing.fits()) {
            return Err(FieldError::new(
                "hearing.signal.warble_by",
                "expected rate_hz from 4 to 20 and deviation_percent from 2.5 to 12.5",
            ));
        }
        Ok(())
    }

    fn check_procedures(&self) -> Result<(), FieldError> {
        let first = Procedure::expected("hearing.procedure", &self.procedure)?;
        let screens = first == Procedure::Screening;
        if let Some(then) = &self.then {
            if !screens {
                let problem = "expected only after procedure = \"screening\"";
                return Err(FieldError::new("hearing.then", problem));
            }
            if Procedure::expected("hearing.then", then)? == Procedure::Screening {
                let problem = "expected a procedure that measures, found \"screening\"";
                return Err(FieldError::new("hearing.then", problem));
            }
        }
        if self.screening_db.is_some() && !screens {
            let problem = "expected only with procedure = \"screening\"";
            return Err(FieldError::new("hearing.screening_db", problem));
        }
        within("hearing.screening_db", self.screening_level_db(), 0.0, 60.0)
    }
}

impl SightPlan {
    /// How rows are read, on the screen or from a card; none if they are not.
    #[must_use]
    pub fn rows(&self) -> Option<&RowsPlan> {
        let in_rows = [SightProcedure::Rows, SightProcedure::NearCard];
        in_rows.contains(&self.procedure).then_some(&self.rows)
    }

    /// Checks that an eye can be asked in this way.
    pub(super) fn check_asking(&self, field: &str) -> Result<(), FieldError> {
        match self.procedure {
            SightProcedure::Rows => self.rows.check(self.optotype)?,
            SightProcedure::NearCard => within(
                &format!("{field}.card.distance_mm"),
                self.card.distance_mm.0,
                250.0,
                600.0,
            )?,
            _ if !is_default(&self.rows) => {
                let problem = "expected only with procedure = \"rows\" or \"near_card\"";
                return Err(FieldError::new("sight.rows", problem));
            }
            SightProcedure::Screening => self.screening.check(field, self.optotype)?,
            SightProcedure::Adaptive | SightProcedure::ByHand => {}
        }
        if let Some(distance) = self.distance_mm {
            within(&format!("{field}.distance_mm"), distance.0, 100.0, 20_000.0)?;
        }
        let corrected = self.letter_difficulty == LetterDifficulty::Corrected;
        if corrected && self.optotype != OptotypeSet::Sloan {
            let problem = "expected \"corrected\" only with optotype = \"sloan\"";
            return Err(FieldError::new("sight.letter_difficulty", problem));
        }
        Ok(())
    }
}

fn distinct<T: PartialEq>(field: &str, values: &[T]) -> Result<(), FieldError> {
    let twice = values
        .iter()
        .enumerate()
        .any(|(at, value)| values[..at].contains(value));
    if twice {
        return Err(FieldError::new(
            field,
            "expected each value once, found one twice",
        ));
    }
    Ok(())
}
