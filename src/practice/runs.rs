//! A visit as a chain of runs: tones in a row at one ear and frequency, with noise or without.
//! Silent presentations between them belong to the run that they interrupt.

use crate::finding::ascents::{Reading, Walk};
use crate::finding::bounds;
use crate::journal::{AscendingRule, Record, Trial};
use crate::quantity::{Ear, Hz};

/// Tones in a row at one ear and frequency.
#[derive(Debug, Clone)]
pub(super) struct Run<'a> {
    pub ear: Ear,
    pub hz: Hz,
    /// With noise at the other ear.
    pub masked: bool,
    pub tones: Vec<&'a Trial>,
}

impl Run<'_> {
    /// Level in dB on the set-up's scale and whether it was heard, in order.
    pub fn steps(&self) -> Vec<(f64, bool)> {
        let step = |trial: &&Trial| Some((trial.tone()?.level.db(), trial.heard()?));
        self.tones.iter().filter_map(step).collect()
    }

    /// The walk of two of three ascents through it.
    pub fn walk(&self, record: &Record) -> Option<Walk> {
        let bounds = bounds(record, self.ear, self.hz)?;
        Some(Walk::through(
            self.steps(),
            AscendingRule::TWO_OF_THREE,
            bounds,
        ))
    }

    /// What it says by itself.
    pub fn reading(&self, record: &Record) -> Reading {
        let walk = self.walk(record);
        walk.map_or(Reading::Undecided, |walk| walk.reading())
    }
}

/// The level that a reading stands for, dB.
pub(super) fn level_of(reading: Reading) -> Option<f64> {
    match reading {
        Reading::Threshold(db) | Reading::NoResponse(db) | Reading::AtMinimum(db) => Some(db),
        Reading::Undecided | Reading::GivenUp => None,
    }
}

/// What these runs found nearest to a place, dB on the set-up's scale: there, at the frequency next to it
/// at that ear, or else at the other ear; the latest counts.
pub(super) fn known_near(record: &Record, runs: &[Run<'_>], ear: Ear, hz: Hz) -> Option<f64> {
    let octaves = |run: &&Run<'_>| libm::log2(run.hz.0 / hz.0).abs();
    [ear, ear.other()].into_iter().find_map(|side| {
        let found = runs
            .iter()
            .rev()
            .filter(|run| !run.masked && run.ear == side)
            .filter(|run| level_of(run.reading(record)).is_some());
        let nearest = found.min_by(|a, b| octaves(a).total_cmp(&octaves(b)))?;
        level_of(nearest.reading(record))
    })
}

/// The runs of a visit, in order.
pub(super) fn runs(record: &Record) -> Vec<Run<'_>> {
    let mut runs: Vec<Run<'_>> = Vec::new();
    for trial in record.counted() {
        let Some(tone) = trial.tone() else {
            continue;
        };
        let masked = trial.masker().is_some();
        match runs.last_mut() {
            Some(run) if (run.ear, run.hz, run.masked) == (tone.ear, tone.hz, masked) => {
                run.tones.push(trial);
            }
            _ => runs.push(Run {
                ear: tone.ear,
                hz: tone.hz,
                masked,
                tones: vec![trial],
            }),
        }
    }
    runs
}
