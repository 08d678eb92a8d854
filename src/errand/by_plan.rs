//! Exercises examined by an automatic plan, many times, while the words are said that the helper
//! advises: what it comes to, beside what each exercise says that it comes to.

use super::study::{CaseReport, People, Progress, Study};
use super::{ErrandError, plan_of};
use crate::evidence::Grade;
use crate::practice::{ByPlan, Exercise, Graded};
use crate::quantity::Sense;
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt;

/// The plan of an exercise that names none.
const USUAL_PLAN: &str = "full";

/// One figure beside what was expected of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reached {
    /// What it is of, with its unit.
    pub what: String,
    /// What was found; none where there was nothing to find it from.
    pub found: Option<f64>,
    /// What was expected: the most of an error, the least of a share.
    pub expected: f64,
    /// Whether it was reached.
    pub reached: bool,
}

/// What a plan came to with the person of an exercise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanReport {
    /// The exercise.
    pub exercise: String,
    /// The plan.
    pub plan: String,
    /// Visits made.
    pub repeats: u32,
    /// Root mean square error of the midpoints of hearing, dB; of what was measured.
    pub rms_db: Option<f64>,
    /// The same of sight, logMAR.
    pub rms_log_mar: Option<f64>,
    /// How many visits had which grade, by sense.
    pub grades: BTreeMap<String, BTreeMap<Grade, u32>>,
    /// Each figure beside what the exercise expects; empty where it expects nothing.
    pub figures: Vec<Reached>,
}

impl fmt::Display for Reached {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let found = self.found.map_or("none".into(), |one| format!("{one:.2}"));
        let reached = if self.reached {
            "reached"
        } else {
            "not reached"
        };
        let (what, expected) = (&self.what, self.expected);
        write!(f, "{what}: {found}, expected {expected:.2}: {reached}")
    }
}

impl PlanReport {
    /// The errors and the grades, a line each.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let error = |value: Option<f64>, unit: &str| {
            value.map(|one| format!("rms error {one:.2} {unit} of what was measured"))
        };
        let errors = [error(self.rms_db, "dB"), error(self.rms_log_mar, "logMAR")];
        let grades = self.grades.iter().map(|(sense, grades)| {
            let counts = grades.iter().filter(|(_, count)| **count > 0);
            let counts: Vec<String> = counts
                .map(|(grade, count)| format!("{count} {}", grade.word()))
                .collect();
            format!("answers of {sense}: {}", counts.join(", "))
        });
        errors.into_iter().flatten().chain(grades).collect()
    }

    /// Whether all that is expected was reached.
    #[must_use]
    pub fn reached(&self) -> bool {
        self.figures.iter().all(|one| one.reached)
    }

    fn of(
        exercise: &str,
        plan: &str,
        report: &CaseReport,
        expected: Option<&ByPlan>,
    ) -> PlanReport {
        let rms_db = report.hearing.as_ref().map(|one| one.midpoint.rmse_db);
        let measured = report.sight.as_ref().filter(|one| one.measured > 0);
        let mut found = PlanReport {
            exercise: exercise.to_owned(),
            plan: plan.to_owned(),
            repeats: report.repeats,
            rms_db,
            rms_log_mar: measured.map(|one| one.rmse_log_mar),
            grades: report
                .consistency
                .iter()
                .map(|(sense, one)| (sense.clone(), one.grades.clone()))
                .collect(),
            figures: Vec::new(),
        };
        if let Some(expected) = expected {
            found.figures = found.beside(expected);
        }
        found
    }

    fn beside(&self, expected: &ByPlan) -> Vec<Reached> {
        let error = |what: &str, found: Option<f64>, most: Option<f64>| {
            most.map(|most| Reached {
                what: what.to_owned(),
                found,
                expected: most,
                reached: found.is_some_and(|found| found <= most),
            })
        };
        let share = |sense: Sense, graded: &Graded| {
            let words: Vec<&str> = graded.grades.iter().map(|grade| grade.word()).collect();
            let found = self.share(sense, &graded.grades);
            Reached {
                what: format!("{sense}, share of visits graded {}", words.join(" or ")),
                found,
                expected: graded.share,
                reached: found.is_some_and(|found| found >= graded.share),
            }
        };
        let errors = [
            error("hearing, rms error, dB", self.rms_db, expected.rms_db),
            error(
                "sight, rms error, logMAR",
                self.rms_log_mar,
                expected.rms_log_mar,
            ),
        ];
        let shares = [
            expected
                .hearing
                .as_ref()
                .map(|one| share(Sense::Hearing, one)),
            expected.sight.as_ref().map(|one| share(Sense::Sight, one)),
        ];
        errors.into_iter().chain(shares).flatten().collect()
    }

    /// How large a share of the visits had one of these grades.
    fn share(&self, sense: Sense, grades: &[Grade]) -> Option<f64> {
        let counts = self.grades.get(&sense.to_string())?;
        let all: u32 = counts.values().sum();
        let these: u32 = grades.iter().filter_map(|grade| counts.get(grade)).sum();
        (all > 0).then(|| f64::from(these) / f64::from(all))
    }
}

/// What the plan of each exercise comes to in so many visits, on the threads of the current pool.
///
/// # Errors
/// If a plan cannot be read, a visit fails, or the study was stopped.
pub fn by_plan(
    exercises: &[(String, Exercise)],
    (repeats, seed): (u32, u64),
    progress: &Progress,
) -> Result<Vec<PlanReport>, ErrandError> {
    let mut all = Vec::new();
    for (name, exercise) in exercises {
        let expected = exercise.expect.by_plan.as_ref();
        let plan = expected.map_or(USUAL_PLAN, |one| one.plan.as_str());
        let study = Study {
            people: vec![(
                name.clone(),
                People::OfExercise(Box::new(exercise.person.clone())),
            )],
            repeats,
            seed,
            plan: plan_of(plan, None)?,
            plan_name: plan.to_owned(),
            keep: None,
            scale_log_mar: None,
            lapse: None,
            noisier: None,
        };
        let report = study.run(progress)?;
        all.extend(
            report
                .cases
                .iter()
                .map(|one| PlanReport::of(name, plan, one, expected)),
        );
    }
    Ok(all)
}
