//! The acuity of one eye: right answers at each size, and what is believed of the midpoint.

mod paint;

use super::{Figure, Table, number};
use crate::belief::AcuityPosterior;
use crate::desk::style::Theme;
use crate::finding::{SightFinding, SightStatus, SizeCount, acuity_trials};
use crate::journal::Record;
use crate::quantity::Eye;
use eframe::egui::{Painter, Rect};

/// The sizes that are always in view, logMAR.
const IN_VIEW: [f64; 2] = [-0.3, 1.0];

/// What the figure shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Acuity {
    /// Which eye.
    pub eye: Eye,
    /// Right answers at each size, from large to small.
    pub rungs: Vec<SizeCount>,
    /// The mean and the central 90 % of the posterior of the midpoint, logMAR; none before the
    /// first answer.
    pub belief: Option<Belief>,
    /// What is said first: the acuity, or what became of it.
    pub headline: String,
    /// The fractions, while there is an acuity.
    pub fractions: Vec<String>,
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
            let midpoint = AcuityPosterior::from_trials(&trials).midpoint();
            Belief {
                mean: midpoint.mean(),
                interval_90: midpoint.interval(0.9),
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
            headline: headline(finding),
            fractions,
        }
    }

    /// The sizes at the top and at the foot, logMAR: the usual ones and all that is shown.
    #[must_use]
    pub fn range_log_mar(&self) -> [f64; 2] {
        let rungs = self.rungs.iter().map(|rung| rung.log_mar.0);
        let mean = self.belief.iter().map(|belief| belief.mean);
        let [small, large] = rungs.chain(mean).fold(IN_VIEW, |[small, large], value| {
            [small.min(value), large.max(value)]
        });
        // A little slack, so that a size on the grid does not move by its last bit.
        [
            (large * 10.0 - 1e-6).ceil() / 10.0,
            (small * 10.0 + 1e-6).floor() / 10.0,
        ]
    }

    fn name(&self) -> &'static str {
        match self.eye {
            Eye::Right => "Right eye",
            Eye::Left => "Left eye",
            Eye::Both => "Both eyes",
        }
    }
}

fn headline(finding: &SightFinding) -> String {
    match finding.status {
        SightStatus::Measured => match (finding.log_mar, finding.u_log_mar) {
            (Some(log_mar), Some(u)) => format!("{} ± {} logMAR", number(log_mar, 2), number(u, 2)),
            (Some(log_mar), None) => format!("{} logMAR", number(log_mar, 2)),
            (None, _) => "measured".into(),
        },
        SightStatus::BetterThanSmallestShown => "better than the smallest shown".into(),
        SightStatus::WorseThanLargestShown => "worse than the largest shown".into(),
        SightStatus::NotTested => "not tested".into(),
        SightStatus::Declined => "declined".into(),
        SightStatus::Stopped => match &finding.reason {
            Some(reason) => format!("stopped: {reason}"),
            None => "not decided yet".into(),
        },
    }
}

impl Figure for Acuity {
    fn description(&self) -> String {
        let mut sentences = vec![format!(
            "Acuity, {}: {}.",
            self.name().to_lowercase(),
            self.headline
        )];
        if !self.fractions.is_empty() {
            sentences.push(format!("Equivalent to {}.", self.fractions.join(", ")));
        }
        if let Some(belief) = self.belief {
            let [low, high] = belief.interval_90.map(|end| number(end, 2));
            sentences.push(format!(
                "The midpoint lies between {low} and {high} logMAR with 90 %."
            ));
        }
        sentences.join(" ")
    }

    fn table(&self) -> Table {
        let row = |rung: &SizeCount| {
            vec![
                number(rung.log_mar.0, 2),
                rung.right.to_string(),
                rung.of.to_string(),
            ]
        };
        Table {
            head: vec!["Size, logMAR", "Right", "Shown"],
            rows: self.rungs.iter().map(row).collect(),
        }
    }

    fn paint(&self, painter: &Painter, area: Rect, theme: &Theme) {
        paint::paint(self, painter, area, theme);
    }
}
