//! Adds up what the visits of a study found, beside the truth.

use super::VisitSummary;
use super::by_hand::ByHandReport;
use super::counted::Counted;
use super::masked::{MaskingReport, MaskingTally};
use crate::evidence::{Consistency, Grade};
use crate::finding::{
    HearingFinding, HearingFindings, HearingStatus, Screened, SightFinding, SightStatus,
};
use crate::journal::{MaskingPlan, Purpose, Record, Trial};
use crate::person::Case;
use crate::quantity::{Ear, Eye};
use crate::report::Findings;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The figures of a study.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StudyReport {
    /// The seed.
    pub seed: u64,
    /// The hearing procedure.
    pub procedure: String,
    /// The plan.
    pub plan: String,
    /// Each case.
    pub cases: Vec<CaseReport>,
    /// All genuine cases together.
    pub all: CaseReport,
}

/// The figures of one case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CaseReport {
    /// The case.
    pub case: String,
    /// Visits.
    pub repeats: u32,
    /// Hearing, if it was tested.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hearing: Option<HearingReport>,
    /// Sight, if it was tested.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sight: Option<SightReport>,
    /// Grades of consistency by sense.
    pub consistency: BTreeMap<String, ConsistencyReport>,
    /// What the series at the bedside said, by kind.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub bedside: BTreeMap<String, ByHandReport>,
    /// Mean length of a visit, s: presentations and answers, without set-up and instruction.
    pub seconds_mean: f64,
    /// 95 % of visits take at most so long, to the nearest s.
    pub seconds_p95: f64,
    /// How screening came out, where there was one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub screening: Option<ScreeningReport>,
}

/// How a screening came out against the midpoints.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct ScreeningReport {
    /// How many ears and frequencies were found how.
    pub found: BTreeMap<Screened, u32>,
    /// Found not heard, of those whose midpoint lies above the level.
    pub not_heard_of_poorer: [u32; 2],
    /// Found heard, of those whose midpoint lies at the level or below.
    pub heard_of_better: [u32; 2],
}

/// How hearing was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HearingReport {
    /// Errors of the midpoints.
    pub midpoint: HearingErrors,
    /// Errors of the thresholds on the clinical scale, against the midpoints.
    pub threshold: HearingErrors,
    /// How many ears and frequencies had which status.
    pub status: BTreeMap<HearingStatus, u32>,
    /// Measuring tones for each threshold.
    pub tones_per_threshold: f64,
    /// Mean of all presentations of hearing in a visit.
    pub presentations_mean: f64,
    /// 95 % of visits have at most so many.
    pub presentations_p95: u32,
    /// Silent presentations that were answered, and all.
    pub silent: [u32; 2],
    /// What masking came to, where it was needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub masking: Option<MaskingReport>,
}

/// Errors against the truth, dB.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct HearingErrors {
    /// Root mean square.
    pub rmse_db: f64,
    /// Mean.
    pub bias_db: f64,
    /// Spread within each ear and frequency, pooled.
    pub sd_db: f64,
    /// Share within 5 dB.
    pub within_5_db: f64,
    /// Share of 90 % intervals that hold the truth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coverage_90: Option<f64>,
    /// The largest mean error of any ear and frequency.
    pub worst_bias_db: f64,
}

/// How sight was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SightReport {
    /// Eyes with an acuity, on which the errors rest.
    pub measured: u32,
    /// Root mean square error of the midpoints, logMAR.
    pub rmse_log_mar: f64,
    /// Mean error, logMAR.
    pub bias_log_mar: f64,
    /// Share of 90 % intervals that hold the truth.
    pub coverage_90: f64,
    /// Mean of all optotypes in a visit.
    pub presentations_mean: f64,
    /// Mean of the measuring optotypes of an eye.
    pub trials_per_eye: f64,
    /// How many eyes had which status.
    pub status: BTreeMap<String, u32>,
}

/// How often which grade came out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ConsistencyReport {
    /// How many visits had which grade; every grade is listed.
    pub grades: BTreeMap<Grade, u32>,
    /// Ratios of the evidence model.
    pub log10_ratio: Counted<100>,
    /// The same before they were recalibrated, of every second visit and of the others: what is
    /// calibrated on one half is tested on the other.
    pub log10_raw: [Counted<100>; 2],
    /// How many presentations were made beyond the measuring ones, of each visit.
    pub extra: Counted<1>,
}

impl Default for ConsistencyReport {
    fn default() -> Self {
        ConsistencyReport {
            grades: Grade::ALL.map(|grade| (grade, 0)).into(),
            log10_ratio: Counted::default(),
            log10_raw: Default::default(),
            extra: Counted::default(),
        }
    }
}

/// Sums of errors of one ear and frequency.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
struct Cell {
    n: f64,
    sum: f64,
    squares: f64,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
struct Errors {
    #[serde(with = "as_pairs")]
    cells: BTreeMap<(usize, Ear, u32), Cell>,
    squares_of_missed: f64,
    missed: u32,
    within_5: u32,
    covered: u32,
    with_interval: u32,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
struct SightErrors {
    n: u32,
    sum: f64,
    squares: f64,
    covered: u32,
    eyes: u32,
    trials: u32,
    status: BTreeMap<String, u32>,
}

/// Sums over visits.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub(super) struct Tally {
    visits: u32,
    seconds: Counted<1>,
    seconds_sum: f64,
    screening: ScreeningReport,
    midpoint: Errors,
    threshold: Errors,
    status: BTreeMap<HearingStatus, u32>,
    measuring_tones: u32,
    hearing_presentations: Counted<1>,
    silent: [u32; 2],
    masking: MaskingTally,
    sight: SightErrors,
    optotypes: u32,
    grades: BTreeMap<String, ConsistencyReport>,
    by_hand: BTreeMap<String, ByHandReport>,
}

/// A map whose keys are no words is written as a list of pairs.
mod as_pairs {
    use super::{BTreeMap, Cell, Ear};
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    type Cells = BTreeMap<(usize, Ear, u32), Cell>;

    pub fn serialize<S: Serializer>(cells: &Cells, to: S) -> Result<S::Ok, S::Error> {
        cells.iter().collect::<Vec<_>>().serialize(to)
    }

    pub fn deserialize<'a, D: Deserializer<'a>>(from: D) -> Result<Cells, D::Error> {
        let pairs: Vec<((usize, Ear, u32), Cell)> = Deserialize::deserialize(from)?;
        Ok(pairs.into_iter().collect())
    }
}

impl VisitSummary {
    pub(super) fn of(case: Case, record: &Record) -> VisitSummary {
        let findings = Findings::of(record);
        let masking = record
            .opening
            .plan
            .hearing
            .as_ref()
            .map(|plan| plan.masking);
        let measuring = record
            .counted()
            .filter(|trial| trial.purpose() == Purpose::Measure && trial.tone().is_some());
        let earphone = record.opening.set_up.earphone.as_ref();
        let max_db = earphone.and_then(|earphone| {
            let hz = earphone.hz().first().copied()?;
            Some(earphone.max_level(Ear::Right, hz)?.db())
        });
        VisitSummary {
            case,
            extra: extra(record),
            presentations: record.next_number() - 1,
            measuring_tones: measuring.count() as u32,
            masked_tones: record
                .counted()
                .filter(|trial| trial.purpose() == Purpose::Masked)
                .count() as u32,
            unmasked: (masking == Some(MaskingPlan::None))
                .then(|| HearingFindings::without_masking(record)),
            max_db: max_db.unwrap_or(0.0),
            findings,
        }
    }
}

/// How many presentations of hearing and of sight were made to see how the answers agree.
fn extra(record: &Record) -> [u32; 2] {
    let tests = |trial: &&Trial| {
        matches!(
            trial.purpose(),
            Purpose::Silent
                | Purpose::Repeat
                | Purpose::Sweep
                | Purpose::BothEars
                | Purpose::ForcedChoice
                | Purpose::Company
        )
    };
    let (seen, heard): (Vec<&Trial>, Vec<&Trial>) = record
        .counted()
        .filter(tests)
        .partition(|trial| trial.optotype().is_some());
    [heard.len() as u32, seen.len() as u32]
}

impl Tally {
    pub(super) fn add(&mut self, row: usize, summary: &VisitSummary) {
        let findings = &summary.findings;
        self.visits += 1;
        self.seconds.add(findings.seconds);
        self.seconds_sum += findings.seconds;
        self.add_screening(summary);
        self.measuring_tones += summary.measuring_tones;
        let optotypes = findings.counts.optotypes;
        self.optotypes += optotypes;
        if summary.case.hearing.is_some() {
            let heard = summary.presentations - optotypes;
            self.hearing_presentations.add(f64::from(heard));
        }
        // A study without masking is about the unmasked procedures.
        let hearing = summary.unmasked.as_ref().unwrap_or(&findings.hearing);
        for (ear, finding) in hearing.all() {
            self.add_hearing(row, ear, finding, summary);
        }
        self.masking.add_tones(summary);
        self.add_sight(summary);
        for series in findings.bedside.iter().flat_map(|one| &one.series) {
            let name = series.kind.name();
            self.by_hand.entry(name.to_owned()).or_default().add(series);
        }
        let [heard, seen] = summary.extra;
        self.add_grade("hearing", findings.consistency.hearing.as_ref(), heard);
        self.add_grade("sight", findings.consistency.sight.as_ref(), seen);
    }

    fn add_hearing(
        &mut self,
        row: usize,
        ear: Ear,
        finding: &HearingFinding,
        summary: &VisitSummary,
    ) {
        *self.status.entry(finding.status).or_default() += 1;
        let Some(hearing) = &summary.case.hearing else {
            return;
        };
        let manner = &summary.case.manner;
        // What the person's midpoint was in the middle of the visit.
        let drift_db = manner.drift_db * f64::from(summary.presentations) / 2.0 / 100.0;
        let truth_db = hearing.midpoint_db(ear, finding.hz) + manner.criterion_db + drift_db;
        let shift_db = manner.criterion_db + drift_db;
        self.masking.add((ear, finding), hearing, shift_db, summary);
        let at = (row, ear, finding.hz.0 as u32);
        match finding.status {
            HearingStatus::Measured => {
                let midpoint_db = finding.midpoint.map(crate::quantity::Level::db);
                if let Some((midpoint_db, threshold_db)) = midpoint_db.zip(finding.threshold_db()) {
                    self.midpoint.add(at, midpoint_db - truth_db);
                    self.threshold.add(at, threshold_db - truth_db);
                }
                if let Some([low_db, high_db]) = finding.interval_90_db {
                    self.midpoint.with_interval += 1;
                    self.midpoint.covered += u32::from((low_db..=high_db).contains(&truth_db));
                }
            }
            HearingStatus::NoResponseAtMaximum if truth_db < summary.max_db => {
                self.midpoint.miss(summary.max_db + 5.0 - truth_db);
                self.threshold.miss(summary.max_db + 5.0 - truth_db);
            }
            _ => {}
        }
    }

    fn add_screening(&mut self, summary: &VisitSummary) {
        let (Some(screening), Some(hearing)) = (&summary.findings.screening, &summary.case.hearing)
        else {
            return;
        };
        for (ear, one) in screening.all() {
            *self.screening.found.entry(one.found).or_default() += 1;
            let Some(level) = one.level else { continue };
            let truth_db = hearing.midpoint_db(ear, one.hz) + summary.case.manner.criterion_db;
            let (counts, right) = if truth_db > level.db() {
                (
                    &mut self.screening.not_heard_of_poorer,
                    one.found == Screened::NotHeard,
                )
            } else {
                (
                    &mut self.screening.heard_of_better,
                    one.found == Screened::Heard,
                )
            };
            counts[0] += u32::from(right);
            counts[1] += 1;
        }
    }

    fn add_sight(&mut self, summary: &VisitSummary) {
        let Some(sight) = &summary.case.sight else {
            return;
        };
        for eye in Eye::ALL {
            let finding = summary.findings.sight.eye(eye);
            let distance_mm = finding.distance_mm.map_or(4000.0, |distance| distance.0);
            self.sight
                .add(finding, sight.midpoint_log_mar(eye, distance_mm));
        }
    }

    fn add_grade(&mut self, sense: &str, consistency: Option<&Consistency>, extra: u32) {
        let Some(consistency) = consistency else {
            return;
        };
        if let Some(silent) = consistency.silent {
            self.silent[0] += silent.answered;
            self.silent[1] += silent.of;
        }
        let half = (self.visits % 2) as usize;
        let report = self.grades.entry(sense.to_owned()).or_default();
        *report.grades.entry(consistency.grade).or_default() += 1;
        if let Some(log10_ratio) = consistency.log10_ratio {
            report.log10_ratio.add(log10_ratio);
        }
        if let Some(log10_raw) = consistency.log10_raw {
            report.log10_raw[half].add(log10_raw);
        }
        report.extra.add(f64::from(extra));
    }

    pub(super) fn report(self, name: &str) -> CaseReport {
        let visits = f64::from(self.visits).max(1.0);
        let thresholds: u32 = self
            .status
            .iter()
            .filter(|(status, _)| **status != HearingStatus::NotTested)
            .map(|(_, n)| n)
            .sum();
        let hearing = (thresholds > 0).then(|| HearingReport {
            midpoint: self.midpoint.report(),
            threshold: self.threshold.report(),
            status: self.status.clone(),
            tones_per_threshold: f64::from(self.measuring_tones) / f64::from(thresholds),
            presentations_mean: self.hearing_presentations.mean(),
            presentations_p95: self.hearing_presentations.percentile(95) as u32,
            silent: self.silent,
            masking: self.masking.report(),
        });
        let sight =
            (self.sight.eyes > 0).then(|| self.sight.report(f64::from(self.optotypes) / visits));
        CaseReport {
            case: name.to_owned(),
            repeats: self.visits,
            hearing,
            sight,
            consistency: self.grades,
            bedside: self.by_hand,
            seconds_mean: self.seconds_sum / visits,
            seconds_p95: self.seconds.percentile(95),
            screening: (!self.screening.found.is_empty()).then_some(self.screening),
        }
    }
}

impl Errors {
    fn add(&mut self, at: (usize, Ear, u32), error_db: f64) {
        let cell = self.cells.entry(at).or_default();
        cell.n += 1.0;
        cell.sum += error_db;
        cell.squares += error_db * error_db;
        self.within_5 += u32::from(error_db.abs() <= 5.0);
    }

    fn miss(&mut self, error_db: f64) {
        self.missed += 1;
        self.squares_of_missed += error_db * error_db;
    }

    fn report(&self) -> HearingErrors {
        let sum = |of: &dyn Fn(&Cell) -> f64| self.cells.values().map(of).sum::<f64>();
        let n = sum(&|cell| cell.n);
        if n == 0.0 {
            return HearingErrors::default();
        }
        let within = sum(&|cell| cell.squares - cell.sum * cell.sum / cell.n);
        let freedom = sum(&|cell| cell.n - 1.0).max(1.0);
        let worst = self
            .cells
            .values()
            .map(|cell| cell.sum / cell.n)
            .max_by(|a, b| a.abs().total_cmp(&b.abs()));
        let all_squares = sum(&|cell| cell.squares) + self.squares_of_missed;
        HearingErrors {
            rmse_db: libm::sqrt(all_squares / (n + f64::from(self.missed))),
            bias_db: sum(&|cell| cell.sum) / n,
            sd_db: libm::sqrt((within / freedom).max(0.0)),
            within_5_db: f64::from(self.within_5) / n,
            coverage_90: (self.with_interval > 0)
                .then(|| f64::from(self.covered) / f64::from(self.with_interval)),
            worst_bias_db: worst.unwrap_or(0.0),
        }
    }
}

impl SightErrors {
    fn add(&mut self, finding: &SightFinding, truth_log_mar: f64) {
        if finding.status == SightStatus::NotTested {
            return;
        }
        let word = serde_json::to_value(finding.status).ok();
        let word = word
            .as_ref()
            .and_then(serde_json::Value::as_str)
            .unwrap_or("")
            .to_owned();
        *self.status.entry(word).or_default() += 1;
        self.eyes += 1;
        self.trials += finding.by_size.iter().map(|size| size.of).sum::<u32>();
        let Some(error) = finding
            .midpoint_log_mar
            .map(|midpoint| midpoint - truth_log_mar)
        else {
            return;
        };
        self.n += 1;
        self.sum += error;
        self.squares += error * error;
        let covers = |[low, high]: [f64; 2]| (low..=high).contains(&truth_log_mar);
        self.covered += u32::from(finding.interval_90_log_mar.is_some_and(covers));
    }

    fn report(&self, presentations_mean: f64) -> SightReport {
        let n = f64::from(self.n).max(1.0);
        SightReport {
            measured: self.n,
            rmse_log_mar: libm::sqrt(self.squares / n),
            bias_log_mar: self.sum / n,
            coverage_90: f64::from(self.covered) / n,
            presentations_mean,
            trials_per_eye: f64::from(self.trials) / f64::from(self.eyes).max(1.0),
            status: self.status.clone(),
        }
    }
}
