//! What an instructor sees of a class, and a trainee of their own exercises: one line an exercise,
//! and what to practise next.

use super::debrief::{Debrief, Done};
use serde::Serialize;
use std::collections::BTreeMap;

/// One exercise of one trainee.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct ClassRow {
    /// Who practised.
    pub trainee: String,
    /// The exercise.
    pub exercise: String,
    /// The class set, if any.
    pub set: Option<String>,
    /// How hard it is.
    pub difficulty: u32,
    /// When it began, RFC 3339.
    pub began: String,
    /// How long it took, s.
    pub seconds: f64,
    /// Presentations made.
    pub presentations: u32,
    /// Presentations made while the helper was on.
    pub coached: u32,
    /// Ears and frequencies that are as near to the truth as the method comes.
    pub near: u32,
    /// Of so many.
    pub of: u32,
    /// Where masking was needed and not done.
    pub missed_masking: u32,
    /// Senses whose answers were judged as a careful examiner would.
    pub judged_right: u32,
    /// Of so many.
    pub judged_of: u32,
    /// Cues caught.
    pub cues_caught: u32,
    /// Cues missed.
    pub cues_missed: u32,
    /// Cues named that were not there.
    pub cues_needless: u32,
    /// Names of the steps that are not right, those that must be with a star.
    pub to_mend: Vec<String>,
    /// First characters of the journal's head.
    pub head: String,
    /// The journal's file.
    pub file: String,
    /// What there is to know of the journal itself; none: its answers were replayed and are the person's.
    pub remark: Option<String>,
}

impl ClassRow {
    /// The line of an exercise.
    #[must_use]
    pub fn of(debrief: &Debrief, began: String, seconds: f64, head: &str, file: &str) -> ClassRow {
        let outcome = &debrief.outcome;
        let count = |iterator: usize| iterator as u32;
        let cues = |there: bool, named: bool| {
            let found = outcome
                .cues
                .iter()
                .filter(|one| one.there == there && one.named == named);
            count(found.count())
        };
        let name =
            |step: &super::Step| format!("{}{}", step.name, if step.must { "*" } else { "" });
        ClassRow {
            trainee: debrief.trainee.clone(),
            exercise: debrief.exercise.clone(),
            set: debrief.set.clone(),
            difficulty: debrief.difficulty,
            began,
            seconds,
            presentations: debrief.presentations,
            coached: debrief.coached,
            near: count(outcome.ears.iter().filter(|one| one.near).count()),
            of: count(outcome.ears.len()),
            missed_masking: count(outcome.missed_masking.len()),
            judged_right: count(outcome.judged.iter().filter(|one| one.right).count()),
            judged_of: count(outcome.judged.len()),
            cues_caught: cues(true, true),
            cues_missed: cues(true, false),
            cues_needless: cues(false, true),
            to_mend: debrief.to_mend().map(name).collect(),
            head: head.chars().take(12).collect(),
            file: file.to_owned(),
            remark: None,
        }
    }
}

/// A journal that could not be taken in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// The file.
    pub file: String,
    /// Why.
    pub why: String,
}

/// What was gathered from a folder of journals.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Gathered {
    /// The exercises.
    pub rows: Vec<ClassRow>,
    /// What could not be taken in: changed, not ended, or no exercise.
    pub refused: Vec<Refused>,
}

/// How a step went over a trainee's exercises, in their order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepOverTime {
    /// The step.
    pub name: String,
    /// In words.
    pub what: String,
    /// Whether it must be right.
    pub must: bool,
    /// Right or not, exercise by exercise; where there was no occasion it is left out.
    pub right: Vec<bool>,
    /// Whether it is better in the later half than in the earlier.
    pub improved: bool,
}

/// How a trainee's steps went, and what to practise next.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClassTable {
    /// Who.
    pub trainee: String,
    /// Step by step.
    pub steps: Vec<StepOverTime>,
    /// What to practise next, and why; none if nothing was missed of late.
    pub next: Option<String>,
}

impl ClassTable {
    /// Of everybody in a class, by name; each one's debriefs oldest first.
    #[must_use]
    pub fn of_each(debriefs: &[Debrief]) -> Vec<ClassTable> {
        let mut trainees: BTreeMap<&str, Vec<&Debrief>> = BTreeMap::new();
        for debrief in debriefs {
            trainees.entry(&debrief.trainee).or_default().push(debrief);
        }
        let tables = trainees.iter();
        tables
            .map(|(name, own)| ClassTable::of(name, own))
            .collect()
    }

    /// Of one trainee's debriefs, oldest first.
    #[must_use]
    pub fn of(trainee: &str, debriefs: &[&Debrief]) -> ClassTable {
        let mut steps: BTreeMap<&str, StepOverTime> = BTreeMap::new();
        for step in debriefs.iter().flat_map(|debrief| &debrief.steps) {
            if step.done == Done::NoOccasion {
                continue;
            }
            let over = steps.entry(step.name).or_insert_with(|| StepOverTime {
                name: step.name.to_owned(),
                what: step.what.to_owned(),
                must: step.must,
                right: Vec::new(),
                improved: false,
            });
            over.right.push(step.done == Done::Right);
        }
        let mut steps: Vec<StepOverTime> = steps.into_values().collect();
        for step in &mut steps {
            let (early, late) = step.right.split_at(step.right.len() / 2);
            step.improved = !early.is_empty() && share(late) > share(early);
        }
        // What was missed of late: first what must be right, of that what was most often missed.
        let missed = |step: &&StepOverTime| step.right.last() == Some(&false);
        let open = |step: &StepOverTime| 1.0 - share(&step.right);
        let next = steps
            .iter()
            .filter(missed)
            .max_by(|a, b| a.must.cmp(&b.must).then(open(a).total_cmp(&open(b))))
            .map(|step| {
                let wrong = step.right.iter().filter(|right| !**right).count();
                let must = if step.must { "; it must be right" } else { "" };
                format!(
                    "{}: missed in {wrong} of {} exercises, the latest among them{must}",
                    step.what,
                    step.right.len()
                )
            });
        ClassTable {
            trainee: trainee.to_owned(),
            steps,
            next,
        }
    }
}

fn share(right: &[bool]) -> f64 {
    if right.is_empty() {
        return 0.0;
    }
    right.iter().filter(|one| **one).count() as f64 / right.len() as f64
}
