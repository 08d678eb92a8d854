//! The acuity of one eye: right answers at each size, and what is believed of the midpoint.

mod draw;

use super::{Area, Drawing, Shape, Table};
use crate::belief::AcuityPosterior;
use crate::finding::{SightFinding, SightStatus, SizeCount, acuity_trials};
use crate::journal::Record;
use crate::quantity::Eye;
use crate::report::words::{Key, Lang};

/// The sizes that are always in view, logMAR.
const IN_VIEW: [f64; 2] = [-0.3, 1.0];

/// What the figure shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Acuity {
    /// Which eye.
    pub eye: Eye,
    /// Right answers at each size, from large to small.
    pub rungs: Vec<SizeCount>,
    /// What is believed of the midpoint, as it is stated; none before the first answer.
    pub belief: Option<Belief>,
    /// What was found; the acuity, or what became of it, is said first.
    pub finding: SightFinding,
    /// The fractions, while there is an acuity.
    pub fractions: Vec<String>,
    /// The sizes that are in view whatever was shown, logMAR.
    pub in_view: [f64; 2],
}

/// What is believed of the midpoint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// The mean, logMAR.
    pub mean: f64,
    /// The central 90 %, logMAR.
    pub interval_90: [f64; 2],
}

impl Acuity {
    /// Of a record and the finding folded from it; from the first answer on, long before there
    /// is a finding, it shows what is believed.
    #[must_use]
    pub fn of(record: &Record, finding: &SightFinding, eye: Eye) -> Acuity {
        let trials = acuity_trials(record, eye);
        let belief = (!trials.is_empty()).then(|| {
            let posterior = AcuityPosterior::from_trials(&trials);
            Belief {
                mean: posterior.stated_midpoint(),
                interval_90: posterior.interval(0.9),
            }
        });
        Acuity::new(finding, eye, belief)
    }

    /// Of a finding and a belief.
    #[must_use]
    pub fn new(finding: &SightFinding, eye: Eye, belief: Option<Belief>) -> Acuity {
        let fractions = [&finding.snellen, &finding.snellen_6m, &finding.snellen_20ft];
        let mut fractions: Vec<String> = fractions.into_iter().flatten().cloned().collect();
        fractions.dedup();
        Acuity {
            eye,
            rungs: finding.by_size.clone(),
            belief,
            finding: finding.clone(),
            fractions,
            in_view: IN_VIEW,
        }
    }

    /// The same as near as what was shown allows.
    #[must_use]
    pub fn near(self) -> Acuity {
        let rungs = self.rungs.iter().map(|rung| rung.log_mar.0);
        let [low, high] = rungs.fold([f64::MAX, f64::MIN], |[low, high], size| {
            [low.min(size), high.max(size)]
        });
        let in_view = if low > high {
            IN_VIEW
        } else {
            [low - 0.05, high + 0.05]
        };
        Acuity { in_view, ..self }
    }

    /// The sizes at the top and at the foot, logMAR: the usual ones and all that is shown.
    #[must_use]
    pub fn range_log_mar(&self) -> [f64; 2] {
        let rungs = self.rungs.iter().map(|rung| rung.log_mar.0);
        let mean = self.belief.iter().map(|belief| belief.mean);
        let [small, large] = rungs
            .chain(mean)
            .fold(self.in_view, |[small, large], value| {
                [small.min(value), large.max(value)]
            });
        // A little slack, so that a size on the grid does not move by its last bit.
        [
            (large * 10.0 - 1e-6).ceil() / 10.0,
            (small * 10.0 + 1e-6).floor() / 10.0,
        ]
    }

    /// The acuity, or what became of it.
    #[must_use]
    pub fn headline(&self, lang: Lang) -> String {
        let finding = &self.finding;
        let text = |key| lang.text(key).to_owned();
        match finding.status {
            SightStatus::Measured => match (finding.log_mar, finding.u_log_mar) {
                (Some(log_mar), Some(u)) => {
                    let parts = [log_mar, u].map(|one| lang.number(one, 2));
                    lang.fill(Key::PlusMinusLogMar, &[&parts[0], &parts[1]])
                }
                (Some(log_mar), None) => lang.fill(Key::LogMarOf, &[&lang.number(log_mar, 2)]),
                (None, _) => text(Key::Measured),
            },
            SightStatus::BetterThanSmallestShown => text(Key::BetterThanSmallest),
            SightStatus::WorseThanLargestShown => text(Key::WorseThanLargest),
            SightStatus::CountingFingers
            | SightStatus::HandMotion
            | SightStatus::LightPerception
            | SightStatus::NoLightPerception
            | SightStatus::Screened => without_a_number(finding, lang).unwrap_or_default(),
            SightStatus::NotTested => text(Key::NotTested),
            SightStatus::Declined => text(Key::Declined),
            SightStatus::Stopped => match &finding.reason {
                Some(reason) => lang.fill(Key::StoppedFor, &[reason]),
                None => text(Key::NotDecidedYet),
            },
        }
    }
}

/// What was found of an eye that is no acuity by its nature: a category by hand, or whether one size
/// was read. None of other findings.
#[must_use]
pub fn without_a_number(finding: &SightFinding, lang: Lang) -> Option<String> {
    let metres = || lang.number(finding.distance_mm.map_or(0.0, |mm| mm.0 / 1000.0), 1);
    let text = |key| lang.text(key).to_owned();
    Some(match finding.status {
        SightStatus::CountingFingers => lang.fill(Key::CountingFingers, &[&metres()]),
        SightStatus::HandMotion => lang.fill(Key::HandMotion, &[&metres()]),
        SightStatus::LightPerception => text(Key::LightPerception),
        SightStatus::NoLightPerception => text(Key::NoLightPerception),
        SightStatus::Screened => {
            let screened = finding.screened?;
            let key = if screened.passed == Some(true) {
                Key::ScreenPassed
            } else {
                Key::ScreenNotPassed
            };
            let counts = [screened.right, screened.of].map(|count| count.to_string());
            let size = lang.number(screened.log_mar.0, 2);
            lang.fill(key, &[&size, &counts[0], &counts[1]])
        }
        _ => return None,
    })
}

/// An eye's name.
#[must_use]
pub fn eye_name(eye: Eye, lang: Lang) -> &'static str {
    lang.text(match eye {
        Eye::Right => Key::RightEye,
        Eye::Left => Key::LeftEye,
        Eye::Both => Key::BothEyes,
    })
}

impl Drawing for Acuity {
    fn told(&self, lang: Lang) -> String {
        let name = eye_name(self.eye, lang);
        let mut sentences = vec![lang.fill(Key::Acuity, &[name, &self.headline(lang)])];
        if !self.fractions.is_empty() {
            // Apart by semicolons: in some languages a comma is the decimal sign.
            let all = lang.decimal(&self.fractions.join("; "));
            sentences.push(lang.fill(Key::EquivalentTo, &[&all]));
        }
        if let Some(belief) = self.belief {
            let [low, high] = belief.interval_90.map(|end| lang.number(end, 2));
            sentences.push(lang.fill(Key::MidpointBetween, &[&low, &high]));
        }
        sentences.join(" ")
    }

    fn rows(&self, lang: Lang) -> Table {
        let row = |rung: &SizeCount| {
            vec![
                lang.number(rung.log_mar.0, 2),
                rung.right.to_string(),
                rung.of.to_string(),
            ]
        };
        let head = [Key::SizeLogMar, Key::RightAnswers, Key::Shown];
        Table {
            head: head.map(|key| lang.text(key).to_owned()).to_vec(),
            rows: self.rungs.iter().map(row).collect(),
        }
    }

    fn shapes(&self, area: Area, lang: Lang) -> Vec<Shape> {
        draw::shapes(self, area, lang)
    }
}
