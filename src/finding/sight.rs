//! Acuity: one finding for each way in which an eye was asked.

use super::notation::Notation;
use super::rows::{RowsReading, RowsScore};
use super::sight_grades::SightGrades;
use super::two_distances::TwoDistances;
use crate::belief::{AcuityPosterior, AcuityTrial, binomial};
use crate::calibration::Drawable;
use crate::journal::{
    Asked, HowEnded, LetterDifficulty, Outcome, Purpose, Record, Section, SightProcedure, Told,
    Trial,
};
use crate::quantity::{Correction, Eye, LogMar, Mm};
use crate::standard::iso_8596_2017 as iso_8596;
use crate::standard::ricci_1997;
use crate::stimulus::{ByHand, Facing, Letter, NearCard, OptotypePart, OptotypeSet, with_bars};
use serde::{Deserialize, Serialize};
use std::f64::consts::LN_10;

/// Why an eye is stopped whose answers are left for right.
pub const REVERSED: &str = "left and right were answered the other way round";

/// Between-run fluctuation of single acuity runs, logMAR (our own derivation, from
/// the difference between published and binomial variability).
const BETWEEN_RUNS_LOG_MAR: f64 = 0.03;

/// Fewer trials than this leave the prior in command.
pub const FEWEST_TRIALS: usize = 6;

/// How exactly a card is held at its distance by hand, with a string or a ruler, and printed (our own
/// assumption): 5 % and 1 %.
const U_CARD_REL: [f64; 2] = [0.05, 0.01];

/// What became of one eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SightStatus {
    /// There is an acuity.
    Measured,
    /// The smallest optotype that the screen can draw at the distance was still read.
    BetterThanSmallestShown,
    /// The largest optotype that the screen can show at the distance was not read.
    WorseThanLargestShown,
    /// Fingers were counted from the distance.
    CountingFingers,
    /// A moving hand was told from a resting one.
    HandMotion,
    /// Light was told from dark.
    LightPerception,
    /// Light was not told from dark.
    NoLightPerception,
    /// One size was asked for, and no acuity.
    Screened,
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
    #[serde(default)]
    pub correction: Correction,
    /// Whether the eye looked through a pinhole.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub pinhole: bool,
    /// How the eye was asked.
    #[serde(default)]
    pub procedure: SightProcedure,
    /// The number of the asking; 0 is what the plan asks of the eye first.
    #[serde(default)]
    pub asking: u32,
    /// M units of what was just read, where the distance is one for reading.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub m_units: Option<f64>,
    /// Whether one size was read, where only that was asked.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub screened: Option<SightScreening>,
    /// Right answers and optotypes shown at each size, from large to small, practice left out.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub by_size: Vec<SizeCount>,
    /// The score by letter, where rows were read to their end.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub rows: Option<RowsScore>,
}

/// Whether one size was read.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SightScreening {
    /// The size.
    pub log_mar: LogMar,
    /// So many right answers pass it …
    pub needed: u32,
    /// … of at most so many.
    pub of_at_most: u32,
    /// Right answers so far.
    pub right: u32,
    /// Optotypes shown so far.
    pub of: u32,
    /// Whether it was passed; null while it is open. It ends as soon as that is certain.
    pub passed: Option<bool>,
    /// How often guessing alone passes it.
    pub p_by_guessing: f64,
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

/// A finding beside those of each eye: under another condition, or in another way.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct FurtherFinding {
    /// The eye.
    pub eye: Eye,
    /// What was found.
    #[serde(flatten)]
    pub finding: SightFinding,
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
    /// What was found under other conditions: through a pinhole, without correction, near, at another
    /// distance, at one size only. In the order in which it was asked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub further: Vec<FurtherFinding>,
    /// Acuities at two distances, held against each other.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub distances: Vec<TwoDistances>,
    /// Category and score, where the values are there for it; none while they are withheld.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grades: Option<SightGrades>,
    /// What has to be known when these figures are read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
    /// What the person told of their eyes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history: Vec<Told>,
}

impl SightFindings {
    /// Folds the record.
    #[must_use]
    pub fn of(record: &Record) -> SightFindings {
        let mut all: Vec<FurtherFinding> = record
            .asked()
            .iter()
            .map(|asked| FurtherFinding {
                eye: asked.eye,
                finding: SightFinding::of(record, asked),
            })
            .collect();
        let mut take = |eye| {
            let first = all
                .iter()
                .enumerate()
                .filter(|(_, one)| one.eye == eye)
                .min_by_key(|(_, one)| one.finding.rank());
            let first = first.map(|(at, _)| at);
            first.map_or_else(
                || SightFinding::untouched(record, eye),
                |at| all.remove(at).finding,
            )
        };
        let [right, left, both] = Eye::ALL.map(&mut take);
        all.retain(|one| one.finding.status != SightStatus::NotTested);
        let mut findings = SightFindings {
            right,
            left,
            both,
            further: all,
            distances: Vec::new(),
            grades: None,
            cautions: Vec::new(),
            history: record.told().into_iter().cloned().collect(),
        };
        findings.distances = TwoDistances::all(&findings);
        findings.grades = SightGrades::of(&findings);
        findings.cautions = super::sight_cues::cautions(record, &findings);
        findings
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

    /// All findings, those of each eye first.
    pub fn all(&self) -> impl Iterator<Item = (Eye, &SightFinding)> {
        let first = Eye::ALL.into_iter().map(|eye| (eye, self.eye(eye)));
        first.chain(self.further.iter().map(|one| (one.eye, &one.finding)))
    }
}

/// The measuring trials of one eye that its finding rests on (see [`trials_of`]).
#[must_use]
pub fn acuity_trials(record: &Record, eye: Eye) -> Vec<AcuityTrial> {
    let mut asked = record.asked();
    asked.retain(|one| one.eye == eye);
    let of_finding = |one: &&Asked| SightFinding::of(record, one).rank();
    // Nearly always an eye is asked once.
    let first = match &asked[..] {
        [one] => Some(one),
        all => all.iter().min_by_key(of_finding),
    };
    first.map_or(Vec::new(), |one| trials_of(record, one))
}

/// The measuring trials of an asking, as the posterior takes them. Where the plan corrects for the
/// difficulty of letters, an easier one is taken as if it were so much larger.
#[must_use]
pub fn trials_of(record: &Record, asked: &Asked) -> Vec<AcuityTrial> {
    let difficulty = asked.plan.letter_difficulty;
    let easier_by = |shown: &OptotypePart| match difficulty {
        LetterDifficulty::Alike => 0.0,
        LetterDifficulty::Corrected => {
            let letter = shown.symbol.letter().map(Letter::char);
            letter
                .and_then(ricci_1997::easier_by_log_mar)
                .unwrap_or(0.0)
        }
    };
    namings(record, asked, Purpose::Measure)
        .map(|(shown, correct)| AcuityTrial {
            size_log_mar: shown.log_mar.0 + easier_by(&shown),
            correct,
            choices: shown.optotype.choices(),
        })
        .collect()
}

/// Every optotype of an asking that was shown for this purpose, and whether it was named rightly.
fn namings(
    record: &Record,
    asked: &Asked,
    purpose: Purpose,
) -> impl Iterator<Item = (OptotypePart, bool)> {
    record
        .of_asked(asked)
        .filter(move |trial| trial.purpose() == purpose)
        .flat_map(Trial::namings)
}

/// The practice trials of an asking that count: those since its eye was taken up again, if it was.
#[must_use]
pub fn practice<'a>(
    record: &'a Record,
    asked: &Asked,
) -> impl DoubleEndedIterator<Item = &'a Trial> + use<'a> {
    let from = record.taken_up_from(Section::Eye(asked.eye));
    record
        .of_asked(asked)
        .filter(move |trial| trial.purpose() == Purpose::Practise && trial.planned.n >= from)
}

/// Whether the practice answers of an asking are systematically left for right: at least four answers
/// to optotypes that point sideways, none right and all as in a mirror. Guessing does that once in
/// 8⁴ or 4⁴ times.
#[must_use]
pub fn reversed(record: &Record, asked: &Asked) -> bool {
    let sideways: Vec<(Facing, Facing)> = practice(record, asked)
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

/// How far a screening has come; none of other askings.
#[must_use]
pub fn screened_sight(record: &Record, asked: &Asked) -> Option<SightScreening> {
    let plan = &asked.plan;
    (plan.procedure == SightProcedure::Screening).then(|| {
        let (needed, of_at_most) = plan.screening.rule(plan.optotype).counts();
        let answers: Vec<bool> = namings(record, asked, Purpose::Screen)
            .map(|(_, right)| right)
            .collect();
        let of = answers.len() as u32;
        let right = answers.iter().filter(|right| **right).count() as u32;
        let passed = match () {
            () if right >= needed => Some(true),
            () if of - right > of_at_most - needed => Some(false),
            () => None,
        };
        SightScreening {
            log_mar: LogMar(plan.screening.log_mar),
            needed,
            of_at_most,
            right,
            of,
            passed,
            p_by_guessing: binomial::upper_tail(
                needed,
                of_at_most,
                1.0 / f64::from(plan.optotype.choices()),
            ),
        }
    })
}

/// What is shown by hand, one after the other until something is seen, and from where, mm (our choice
/// of distances: finger counting at 1 m is 1/60 in the note to ICD-10 H54).
pub const BY_HAND: [(ByHand, f64); 4] = [
    (ByHand::Fingers, 1000.0),
    (ByHand::Fingers, 300.0),
    (ByHand::Motion, 300.0),
    (ByHand::Light, 300.0),
];

/// The sizes that an asking can show.
#[must_use]
pub fn sizes_of(record: &Record, asked: &Asked) -> Option<Drawable> {
    if asked.plan.procedure == SightProcedure::NearCard {
        let [smallest, largest] = NearCard::range();
        return Some(Drawable { smallest, largest });
    }
    let distance = asked.distance?;
    let sizes = record.opening.set_up.drawable_at(distance)?;
    let largest = if asked.plan.crowded {
        less(sizes.largest, with_bars(iso_8596::STROKES), distance)
    } else {
        sizes.largest
    };
    Some(Drawable { largest, ..sizes })
}

/// The size of what is so many times less high.
pub(super) fn less(size: LogMar, times: f64, distance: Mm) -> LogMar {
    iso_8596::size(Mm(iso_8596::height(size, distance).0 / times), distance)
}

impl SightFinding {
    pub(super) fn blank(status: SightStatus) -> SightFinding {
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
            correction: Correction::AsWorn,
            pinhole: false,
            procedure: SightProcedure::Adaptive,
            asking: 0,
            m_units: None,
            screened: None,
            by_size: Vec::new(),
            rows: None,
        }
    }

    /// An eye that nothing was asked of.
    fn untouched(record: &Record, eye: Eye) -> SightFinding {
        let ended = record.ended(Section::Eye(eye));
        SightFinding {
            reason: ended.map(|(_, reason)| reason.to_owned()),
            ..SightFinding::blank(match ended {
                Some((HowEnded::Declined, _)) => SightStatus::Declined,
                Some((HowEnded::Stopped, _)) | None => SightStatus::NotTested,
            })
        }
    }

    /// Which finding of an eye stands for it: the smallest. What was found without a pinhole and far
    /// comes first, then what is a number or a category, then whatever correction was worn.
    fn rank(&self) -> (bool, u8, bool) {
        let aside = self.pinhole || self.procedure == SightProcedure::NearCard;
        let known = match self.status {
            SightStatus::Measured | SightStatus::BetterThanSmallestShown => 0,
            SightStatus::CountingFingers
            | SightStatus::HandMotion
            | SightStatus::LightPerception
            | SightStatus::NoLightPerception => 1,
            SightStatus::WorseThanLargestShown => 2,
            SightStatus::Screened => 3,
            SightStatus::Stopped => 4,
            SightStatus::Declined => 5,
            SightStatus::NotTested => 6,
        };
        // Untested, an eye is what the plan asks of it first, whatever else was planned.
        let aside = aside && known < 6;
        (aside, known, self.correction == Correction::Without)
    }

    fn of(record: &Record, asked: &Asked) -> SightFinding {
        let ended = record.ended_asking(asked);
        let reason = ended.map(|(_, reason)| reason.to_owned());
        let blank = |status| SightFinding {
            reason: reason.clone(),
            correction: asked.plan.correction,
            pinhole: asked.plan.pinhole,
            procedure: asked.plan.procedure,
            asking: asked.number,
            ..SightFinding::blank(status)
        };
        if asked.plan.procedure == SightProcedure::ByHand {
            return shown_by_hand(
                record,
                asked,
                blank(SightStatus::NotTested),
                ended.is_some(),
            );
        }
        let shown = record.of_asked(asked).find_map(Trial::optotype);
        let (Some(shown), Some(drawable)) = (shown, sizes_of(record, asked)) else {
            return blank(match ended {
                Some((HowEnded::Declined, _)) => SightStatus::Declined,
                Some((HowEnded::Stopped, _)) | None => SightStatus::NotTested,
            });
        };
        let mut finding = SightFinding {
            distance_mm: Some(shown.distance_mm),
            optotype: Some(shown.optotype),
            crowded: shown.crowded,
            by_size: by_size(namings(record, asked, Purpose::Measure)),
            ..blank(SightStatus::Stopped)
        };
        if let Some(screened) = screened_sight(record, asked) {
            finding.screened = Some(screened);
            if screened.passed.is_some() {
                finding.status = SightStatus::Screened;
            }
            return finding;
        }
        if let Some(reading) = RowsReading::of(record, asked) {
            finding.read_rows(record, asked, &reading);
            return finding;
        }
        let trials = trials_of(record, asked);
        if trials.len() < FEWEST_TRIALS {
            return finding;
        }
        let posterior = AcuityPosterior::from_trials(&trials);
        let midpoint = LogMar(posterior.stated_midpoint());
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
    fn read_rows(&mut self, record: &Record, asked: &Asked, reading: &RowsReading) {
        let Some(score) = reading.score(asked.plan.letter_difficulty) else {
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
            let posterior = AcuityPosterior::from_trials(&trials_of(record, asked));
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
        let log_mar = posterior.iso_60(set.choices());
        let size = LogMar(log_mar);
        let (mean, sd) = (posterior.stated_midpoint(), posterior.midpoint().sd());
        let [low, high] = posterior.interval(0.9);
        let criterion_above = log_mar - mean;
        self.log_mar = Some(log_mar);
        self.midpoint_log_mar = Some(mean);
        self.chart_log_mar = Some(posterior.chart_equivalent());
        self.sd_log_mar = Some(sd);
        self.interval_90_log_mar = Some([low, high]);
        let u_size = match self.procedure {
            SightProcedure::NearCard => Some(libm::hypot(U_CARD_REL[0], U_CARD_REL[1]) / LN_10),
            _ => record.opening.set_up.u_log_mar(),
        };
        self.u_log_mar = u_size.map(|u_size| {
            libm::sqrt(sd * sd + u_size * u_size + BETWEEN_RUNS_LOG_MAR * BETWEEN_RUNS_LOG_MAR)
        });
        let told = Notation::of(size, self.u_log_mar.unwrap_or(sd), distance);
        self.snellen = Some(told.fraction);
        self.snellen_6m = Some(told.six_metre);
        self.snellen_20ft = Some(told.twenty_foot);
        self.decimal = Some(told.decimal);
        self.m_units = told.m_units;
        self.nearest_line = iso_8596::nearest_line(size).map(|line| line.six_metre.into());
        let inside = iso_8596::lines_within(
            LogMar(low + criterion_above),
            LogMar(high + criterion_above),
        );
        self.straddles = inside.map(|line| line.six_metre.to_owned()).collect();
    }
}

/// The first thing of [`BY_HAND`] that was seen, with its distance: a category, never a number.
fn shown_by_hand(
    record: &Record,
    asked: &Asked,
    mut finding: SightFinding,
    ended: bool,
) -> SightFinding {
    let mut tried = 0;
    for (hand, sees) in record.of_asked(asked).filter_map(Trial::by_hand) {
        tried += 1;
        finding.distance_mm = Some(hand.distance_mm);
        finding.status = match (hand.shows, sees) {
            (ByHand::Fingers, true) => SightStatus::CountingFingers,
            (ByHand::Motion, true) => SightStatus::HandMotion,
            (ByHand::Light, true) => SightStatus::LightPerception,
            (ByHand::Light, false) => SightStatus::NoLightPerception,
            (_, false) => SightStatus::Stopped,
        };
        if sees {
            return finding;
        }
    }
    if ended && tried == 0 {
        return SightFinding::untouched(record, asked.eye);
    }
    finding
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
