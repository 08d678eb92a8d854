//! Acuity.

use super::rows::{RowsReading, RowsScore};
use crate::belief::{AcuityPosterior, AcuityTrial};
use crate::journal::{HowEnded, LetterDifficulty, Outcome, Purpose, Record, Section, Trial};
use crate::quantity::{Eye, LogMar, Mm};
use crate::standard::iso_8596_2017 as iso_8596;
use crate::standard::ricci_1997;
use crate::stimulus::{Facing, Letter, OptotypePart, OptotypeSet};
use serde::{Deserialize, Serialize};

/// Why an eye is stopped whose answers are left for right.
pub const REVERSED: &str = "left and right were answered the other way round";

/// Between-run fluctuation of single acuity runs, logMAR (reference: baselines 2.5, from the
/// difference between published and binomial variability).
const BETWEEN_RUNS_LOG_MAR: f64 = 0.03;

/// Fewer trials than this leave the prior in command.
const FEWEST_TRIALS: usize = 6;

/// What became of one eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SightStatus {
    /// There is an acuity.
    Measured,
    /// The smallest optotype that the screen can draw at the distance was still read.
    BetterThanSmallestShown,
    /// The largest optotype that the screen can show at the distance was not read.
    WorseThanLargestShown,
    /// Not tested.
    NotTested,
    /// The person did not wish it.
    Declined,
    /// Begun and not decided; the reason says why.
    Stopped,
}

/// What is known about one eye.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SightFinding {
    /// What became of it.
    pub status: SightStatus,
    /// Why it was stopped.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// The size read with the 60 % of ISO 8596.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub log_mar: Option<f64>,
    /// Where the screen's range ended: the smallest or largest size it shows at the distance.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub bound_log_mar: Option<f64>,
    /// The midpoint of the choice function.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub midpoint_log_mar: Option<f64>,
    /// What a chart read letter by letter would say.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub chart_log_mar: Option<f64>,
    /// Standard deviation from the answers alone.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub sd_log_mar: Option<f64>,
    /// Combined standard uncertainty.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub u_log_mar: Option<f64>,
    /// An interval that holds the midpoint with 90 %, from the answers alone; made to hold steep and
    /// flat eyes about equally often.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub interval_90_log_mar: Option<[f64; 2]>,
    /// The fraction with the distance really used, metres.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub snellen: Option<String>,
    /// The equivalent at 6 m.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub snellen_6m: Option<String>,
    /// The equivalent at 20 ft.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub snellen_20ft: Option<String>,
    /// The nearest line of a chart; never used for a cut-off.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub nearest_line: Option<String>,
    /// The lines inside the 90 % interval.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub straddles: Vec<String>,
    /// Decimal acuity.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub decimal: Option<f64>,
    /// From the eye to the screen.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub distance_mm: Option<Mm>,
    /// The set of optotypes.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub optotype: Option<OptotypeSet>,
    /// Whether there were crowding bars.
    pub crowded: bool,
    /// What correction was worn.
    pub correction: String,
    /// Right answers and optotypes shown at each size, from large to small, practice left out.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub by_size: Vec<SizeCount>,
    /// The score by letter, where rows were read to their end.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub rows: Option<RowsScore>,
}

/// Right answers at one size.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SizeCount {
    /// The size.
    pub log_mar: LogMar,
    /// Right answers.
    pub right: u32,
    /// Optotypes shown.
    pub of: u32,
}

/// Each eye and both.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SightFindings {
    /// The right eye.
    pub right: SightFinding,
    /// The left eye.
    pub left: SightFinding,
    /// Both eyes open.
    pub both: SightFinding,
}

impl SightFindings {
    /// Folds the record.
    #[must_use]
    pub fn of(record: &Record) -> SightFindings {
        let of = |eye| SightFinding::of(record, eye);
        SightFindings {
            right: of(Eye::Right),
            left: of(Eye::Left),
            both: of(Eye::Both),
        }
    }

    /// One eye.
    #[must_use]
    pub fn eye(&self, eye: Eye) -> &SightFinding {
        match eye {
            Eye::Right => &self.right,
            Eye::Left => &self.left,
            Eye::Both => &self.both,
        }
    }
}

/// The measuring trials of one eye, as the posterior takes them. Where the plan corrects for the
/// difficulty of letters, an easier one is taken as if it were so much larger.
#[must_use]
pub fn acuity_trials(record: &Record, eye: Eye) -> Vec<AcuityTrial> {
    let sight = record.opening.plan.sight.as_ref();
    let difficulty = sight.map_or(LetterDifficulty::Alike, |plan| plan.letter_difficulty);
    let easier_by = |shown: &OptotypePart| match difficulty {
        LetterDifficulty::Alike => 0.0,
        LetterDifficulty::Corrected => {
            let letter = shown.symbol.letter().map(Letter::char);
            letter
                .and_then(ricci_1997::easier_by_log_mar)
                .unwrap_or(0.0)
        }
    };
    namings(record, eye)
        .map(|(shown, correct)| AcuityTrial {
            size_log_mar: shown.log_mar.0 + easier_by(&shown),
            correct,
            choices: shown.optotype.choices(),
        })
        .collect()
}

/// Every measuring optotype of one eye, and whether it was named rightly.
fn namings(record: &Record, eye: Eye) -> impl Iterator<Item = (OptotypePart, bool)> {
    record
        .of_eye(eye)
        .filter(|trial| trial.purpose() == Purpose::Measure)
        .flat_map(Trial::namings)
}

/// Whether an eye's practice answers are systematically left for right: at least four answers to
/// optotypes that point sideways, none right and all as in a mirror. Guessing does that once in
/// 8⁴ or 4⁴ times.
#[must_use]
pub fn reversed(record: &Record, eye: Eye) -> bool {
    let sideways: Vec<(Facing, Facing)> = record
        .of_eye(eye)
        .filter(|trial| trial.purpose() == Purpose::Practise)
        .filter_map(|trial| match &trial.outcome {
            Outcome::Chosen { facing, .. } => Some((trial.optotype()?.symbol.facing()?, *facing)),
            _ => None,
        })
        .filter(|(shown, _)| shown.mirrored() != *shown)
        .collect();
    sideways.len() >= 4
        && sideways
            .iter()
            .all(|(shown, chosen)| shown.mirrored() == *chosen)
}

impl SightFinding {
    fn blank(status: SightStatus) -> SightFinding {
        SightFinding {
            status,
            reason: None,
            log_mar: None,
            bound_log_mar: None,
            midpoint_log_mar: None,
            chart_log_mar: None,
            sd_log_mar: None,
            u_log_mar: None,
            interval_90_log_mar: None,
            snellen: None,
            snellen_6m: None,
            snellen_20ft: None,
            nearest_line: None,
            straddles: Vec::new(),
            decimal: None,
            distance_mm: None,
            optotype: None,
            crowded: false,
            correction: "as_worn".into(),
            by_size: Vec::new(),
            rows: None,
        }
    }

    fn of(record: &Record, eye: Eye) -> SightFinding {
        let trials = acuity_trials(record, eye);
        let ended = record.ended(Section::Eye(eye));
        let reason = ended.map(|(_, reason)| reason.to_owned());
        let shown = record.of_eye(eye).find_map(Trial::optotype);
        let (Some(shown), Some(drawable)) = (shown, record.opening.set_up.drawable()) else {
            let status = match ended {
                Some((HowEnded::Declined, _)) => SightStatus::Declined,
                Some((HowEnded::Stopped, _)) | None => SightStatus::NotTested,
            };
            return SightFinding {
                reason,
                ..SightFinding::blank(status)
            };
        };
        let mut finding = SightFinding {
            reason,
            distance_mm: Some(shown.distance_mm),
            optotype: Some(shown.optotype),
            crowded: shown.crowded,
            by_size: by_size(namings(record, eye)),
            ..SightFinding::blank(SightStatus::Stopped)
        };
        if let Some(reading) = RowsReading::of(record, eye) {
            finding.read_rows(record, eye, &reading);
            return finding;
        }
        if trials.len() < FEWEST_TRIALS {
            return finding;
        }
        let posterior = AcuityPosterior::from_trials(&trials);
        let midpoint = LogMar(posterior.midpoint().mean());
        let status = if midpoint < drawable.smallest {
            finding.bound_log_mar = Some(drawable.smallest.0);
            SightStatus::BetterThanSmallestShown
        } else if midpoint > drawable.largest {
            finding.bound_log_mar = Some(drawable.largest.0);
            SightStatus::WorseThanLargestShown
        } else {
            finding.state(record, &posterior, shown.optotype, shown.distance_mm);
            SightStatus::Measured
        };
        if ended.is_none() {
            finding.status = status;
        }
        finding
    }

    /// Adds what rows have told. Unlike single optotypes they come to an end of their own, so until
    /// then the eye is not decided.
    fn read_rows(&mut self, record: &Record, eye: Eye, reading: &RowsReading) {
        let Some(plan) = record.opening.plan.sight.as_ref() else {
            return;
        };
        let Some(score) = reading.score(plan.letter_difficulty) else {
            return;
        };
        self.rows = Some(score);
        let [smallest, largest] = reading.bounds();
        if reading.beyond_largest() {
            self.status = SightStatus::WorseThanLargestShown;
            self.bound_log_mar = Some(largest.0);
        } else if reading.beyond_smallest() {
            self.status = SightStatus::BetterThanSmallestShown;
            self.bound_log_mar = Some(smallest.0);
        } else if let (Some(set), Some(distance)) = (self.optotype, self.distance_mm) {
            let posterior = AcuityPosterior::from_trials(&acuity_trials(record, eye));
            self.state(record, &posterior, set, distance);
            self.status = SightStatus::Measured;
        }
    }

    /// Adds the figures.
    fn state(
        &mut self,
        record: &Record,
        posterior: &AcuityPosterior,
        set: OptotypeSet,
        distance: Mm,
    ) {
        let midpoint = posterior.midpoint();
        let log_mar = posterior.iso_60(set.choices());
        let size = LogMar(log_mar);
        let (mean, sd) = (midpoint.mean(), midpoint.sd());
        let [low, high] = posterior.interval(0.9);
        let criterion_above = log_mar - mean;
        self.log_mar = Some(log_mar);
        self.midpoint_log_mar = Some(mean);
        self.chart_log_mar = Some(posterior.chart_equivalent());
        self.sd_log_mar = Some(sd);
        self.interval_90_log_mar = Some([low, high]);
        self.u_log_mar = record.opening.set_up.u_log_mar().map(|u_size| {
            libm::sqrt(sd * sd + u_size * u_size + BETWEEN_RUNS_LOG_MAR * BETWEEN_RUNS_LOG_MAR)
        });
        self.snellen = Some(iso_8596::fraction(distance.0 / 1000.0, size));
        self.snellen_6m = Some(iso_8596::fraction(6.0, size));
        self.snellen_20ft = Some(iso_8596::fraction(20.0, size));
        self.decimal = Some((100.0 * size.decimal()).round() / 100.0);
        self.nearest_line = iso_8596::nearest_line(size).map(|line| line.six_metre.into());
        let inside = iso_8596::lines_within(
            LogMar(low + criterion_above),
            LogMar(high + criterion_above),
        );
        self.straddles = inside.map(|line| line.six_metre.to_owned()).collect();
    }
}

fn by_size(namings: impl Iterator<Item = (OptotypePart, bool)>) -> Vec<SizeCount> {
    let mut counts: Vec<SizeCount> = Vec::new();
    for (shown, correct) in namings {
        let right = u32::from(correct);
        match counts
            .iter_mut()
            .find(|count| (count.log_mar.0 - shown.log_mar.0).abs() < 1e-6)
        {
            Some(count) => {
                count.right += right;
                count.of += 1;
            }
            None => counts.push(SizeCount {
                log_mar: shown.log_mar,
                right,
                of: 1,
            }),
        }
    }
    counts.sort_by(|a, b| b.log_mar.0.total_cmp(&a.log_mar.0));
    counts
}
