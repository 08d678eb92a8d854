//! Many simulated visits: how far are the figures from the truth that the persons were given?

mod by_hand;
mod counted;
mod kept;
mod masked;
mod tally;

pub use by_hand::ByHandReport;
pub use counted::Counted;
pub use masked::MaskingReport;
pub use tally::{CaseReport, HearingErrors, HearingReport, SightReport, StudyReport};

use super::ErrandError;
use super::begin::{Begin, epoch_of_simulations};
use super::headless::{spin, spin_with};
use crate::calibration::SetUp;
use crate::finding::HearingFindings;
use crate::journal::{Journal, PersonKind, Plan, Unkept};
use crate::person::{Case, Habitual, Simulated, make_noisier};
use crate::practice::words_before;
use crate::quantity::{Draws, Stream};
use crate::report::Findings;
use crate::visit::Visit;
use kept::Kept;
use rayon::prelude::*;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// A study that is wanted.
#[derive(Debug, Clone)]
pub struct Study {
    /// The persons: a name and the case.
    pub people: Vec<(String, People)>,
    /// Visits of each.
    pub repeats: u32,
    /// The seed of everything.
    pub seed: u64,
    /// What is done in each visit.
    pub plan: Plan,
    /// The plan's name, as reported.
    pub plan_name: String,
    /// Where to keep what is done so far, so that a study that was stopped is gone on with.
    pub keep: Option<PathBuf>,
    /// The logistic scale of everybody's sight, logMAR, in place of their own.
    pub scale_log_mar: Option<f64>,
    /// How often everybody answers wrongly although all is clear, in place of their own.
    pub lapse: Option<f64>,
    /// How many times noisier everybody answers than their kind.
    pub noisier: Option<f64>,
}

/// Who comes to the visits of one row.
#[derive(Debug, Clone)]
pub enum People {
    /// The same person every time.
    One(Box<Case>),
    /// Another person of a population every time.
    Population(Box<crate::person::Population>),
    /// Another person of a kind every time.
    Kind(crate::person::AnsweringKind),
    /// The person of an exercise every time, to whom is said what the helper advises.
    OfExercise(Box<Case>),
}

/// How far a study is, and a way to stop it.
#[derive(Debug, Default)]
pub struct Progress {
    /// Visits made.
    pub visits: AtomicUsize,
    /// Set to stop.
    pub stop: AtomicBool,
}

/// What one visit adds.
pub(super) struct VisitSummary {
    pub case: Case,
    pub findings: Findings,
    pub presentations: u32,
    /// Of hearing and of sight, beyond the measuring ones.
    pub extra: [u32; 2],
    pub measuring_tones: u32,
    pub masked_tones: u32,
    /// What was found without masking, where the plan does not mask.
    pub unmasked: Option<HearingFindings>,
    pub max_db: f64,
}

impl Study {
    /// The cases of a folder, in order of their names.
    ///
    /// # Errors
    /// If the folder cannot be read, has no case in it, or a case is wrong.
    pub fn cases_in(folder: &Path) -> Result<Vec<(String, People)>, ErrandError> {
        let entries =
            std::fs::read_dir(folder).map_err(|error| ErrandError::in_file(folder, error))?;
        let mut paths: Vec<PathBuf> = entries
            .filter_map(|entry| Some(entry.ok()?.path()))
            .collect();
        paths.retain(|path| {
            path.extension()
                .is_some_and(|extension| extension == "toml")
        });
        paths.sort();
        if paths.is_empty() {
            return Err(ErrandError::in_file(
                folder,
                "expected case files (*.toml), found none",
            ));
        }
        paths
            .iter()
            .map(|path| {
                let stem = path
                    .file_stem()
                    .unwrap_or_default()
                    .to_string_lossy()
                    .into_owned();
                let case =
                    Case::read(path).map_err(|error| ErrandError::BadInput(error.to_string()))?;
                Ok((stem, People::One(Box::new(case))))
            })
            .collect()
    }

    /// Runs all visits, on the threads of the current pool. The figures do not depend on how many
    /// there are: visits are keyed by their number and added up in their order.
    ///
    /// # Errors
    /// If a visit fails, or the study was stopped.
    pub fn run(&self, progress: &Progress) -> Result<StudyReport, ErrandError> {
        let mut kept = match &self.keep {
            Some(path) => Kept::read(path, self)?,
            None => Kept::default(),
        };
        progress.visits.fetch_add(kept.visits(), Ordering::Relaxed);
        for (row, (_, people)) in self.people.iter().enumerate() {
            // In portions, so that memory stays flat however many repeats there are.
            for portion in portions(kept.done(row)..self.repeats) {
                let summaries: Result<Vec<VisitSummary>, ErrandError> = portion
                    .into_par_iter()
                    .map(|repeat| self.visit(row, repeat, people, progress))
                    .collect();
                for summary in summaries? {
                    kept.add(row, &summary);
                }
                if let Some(path) = &self.keep {
                    kept.write(path, self)?;
                }
            }
        }
        let (cases, all) = kept.reports(&self.people);
        let procedure = self
            .plan
            .hearing
            .as_ref()
            .map_or("none", |hearing| &hearing.procedure);
        Ok(StudyReport {
            seed: self.seed,
            procedure: procedure.to_owned(),
            plan: self.plan_name.clone(),
            cases,
            all,
        })
    }

    fn visit(
        &self,
        row: usize,
        repeat: u32,
        people: &People,
        progress: &Progress,
    ) -> Result<VisitSummary, ErrandError> {
        if progress.stop.load(Ordering::Relaxed) {
            return Err(ErrandError::Failed("the study was stopped".into()));
        }
        let key = (row as u64) << 32 | u64::from(repeat);
        let mut draws = Draws::new(self.seed, Stream::Visit, key);
        let (presenter_seed, person_seed) = (draws.seed(), draws.seed());
        let mut case = match people {
            People::One(case) | People::OfExercise(case) => (**case).clone(),
            People::Population(population) => population.draw(&mut draws),
            People::Kind(kind) => kind.draw(&mut draws),
        };
        let manner = &mut case.manner;
        manner.scale_log_mar = self.scale_log_mar.unwrap_or(manner.scale_log_mar);
        manner.lapse = self.lapse.unwrap_or(manner.lapse);
        if let Some(times) = self.noisier {
            make_noisier(manner, times);
        }
        let mut visit = simulated_visit(&case, self.plan.clone(), presenter_seed)?;
        if matches!(people, People::OfExercise(_)) {
            let mut person = Habitual::new(case.clone(), person_seed);
            spin_with(&mut visit, &mut person, &words_before)?;
        } else {
            spin(&mut visit, &mut Simulated::new(case.clone(), person_seed))?;
        }
        progress.visits.fetch_add(1, Ordering::Relaxed);
        Ok(VisitSummary::of(case, visit.record()))
    }
}

/// A simulated visit that has not begun, of which only the record is kept.
fn simulated_visit(
    case: &Case,
    plan: Plan,
    presenter_seed: u64,
) -> Result<Visit<Unkept>, ErrandError> {
    let begin = Begin {
        folder: PathBuf::new(),
        seed: presenter_seed,
        person: PersonKind::Simulated {
            title: case.title.clone(),
        },
        set_up: SetUp::simulated(),
        plan: only_tested(plan, case),
        epoch: epoch_of_simulations(),
    };
    let journal = Journal::begin(Unkept, begin.opening(), begin.epoch)
        .map_err(|error| ErrandError::Failed(error.to_string()))?;
    Ok(Visit::over(journal))
}

/// The plan without the senses that the case says nothing of.
#[must_use]
pub fn only_tested(mut plan: Plan, case: &Case) -> Plan {
    plan.hearing = plan.hearing.filter(|_| case.hearing.is_some());
    plan.sight = plan.sight.filter(|_| case.sight.is_some());
    plan
}

/// Ranges that cover `repeats`, each small enough to be held at once.
fn portions(repeats: Range<u32>) -> impl Iterator<Item = Range<u32>> {
    const PORTION: usize = 256;
    let ends = repeats.end;
    repeats
        .step_by(PORTION)
        .map(move |from| from..(from + PORTION as u32).min(ends))
}
