//! The verbs of practice: what there is to practise on, what came of it, and what a class did.

use super::records::first_line;
use super::{Done, say, say_json, with_progress, with_waiting};
use crate::errand::study::Progress;
use crate::errand::{self, ErrandError, PlanReport};
use crate::practice::{
    Agreement, ClassRow, ClassTable, Debrief, Done as StepDone, Exercise, Gathered, library,
};
use crate::store::Cost;
use clap::{Args, Subcommand};
use serde::Serialize;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::atomic::Ordering::Relaxed;

#[derive(Debug, Args)]
pub(super) struct PractiseArgs {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// What there is to practise on; nothing of the truth
    List {
        /// Print one JSON document
        #[arg(long)]
        json: bool,
    },
    /// Draw an exercise and print it, for an instructor to change and keep
    Draw {
        /// From 1, plain, to 5, wicked
        #[arg(long, value_parser = clap::value_parser!(u32).range(1..=5))]
        difficulty: u32,
        /// The same seed draws the same person
        #[arg(long)]
        seed: u64,
    },
    /// Whether an exercise of one's own can be used
    Try {
        /// The exercise
        exercise: PathBuf,
    },
    /// How near our own plans come to each exercise, and whether that is what it says; the words are said that the helper advises
    Study {
        /// Names of the library, drawn-DIFFICULTY-SEED, or files; none: the whole library
        exercises: Vec<String>,
        /// Visits of each
        #[arg(long, default_value_t = 100, value_parser = clap::value_parser!(u32).range(1..=100_000))]
        repeats: u32,
        /// Seed of everything that is drawn
        #[arg(long, default_value_t = 7)]
        seed: u64,
        /// Threads; all cores unless said
        #[arg(long, value_parser = clap::value_parser!(u16).range(1..=256))]
        threads: Option<u16>,
        /// Print one JSON document
        #[arg(long)]
        json: bool,
    },
    /// Print an exercise sealed: title, difficulty and story stay readable, nothing else
    Seal {
        /// A name of the library, drawn-DIFFICULTY-SEED, or a file
        exercise: String,
        /// File whose first line is the instructor's passphrase; '-' reads it from standard input
        #[arg(long, value_name = "FILE")]
        passphrase_file: PathBuf,
    },
    /// Print what is in a sealed exercise
    Open {
        /// The sealed exercise
        exercise: String,
        /// File whose first line is the instructor's passphrase; '-' reads it from standard input
        #[arg(long, value_name = "FILE")]
        passphrase_file: PathBuf,
    },
    /// What went well and what did not, from the journal of an exercise
    Debrief {
        /// The journal
        journal: PathBuf,
        /// Also each presentation, beside what a guideline would have done
        #[arg(long)]
        replay: bool,
        /// Print one JSON document
        #[arg(long)]
        json: bool,
    },
    /// The exercises of a class, from a folder of journals; each is checked
    Class {
        /// The folder
        folder: PathBuf,
        /// Write the table there
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
        /// Print one JSON document
        #[arg(long)]
        json: bool,
    },
    /// How far two raters agree on what they observed
    Agree {
        /// A folder of what one rater ticked; alone: a folder of what all ticked, as it was kept beside their journals
        one: PathBuf,
        /// A folder of what the other one ticked
        other: Option<PathBuf>,
        /// Print one JSON document
        #[arg(long)]
        json: bool,
    },
}

pub(super) fn practise(args: &PractiseArgs) -> Done {
    match &args.what {
        What::List { json } => list(*json),
        What::Draw { difficulty, seed } => {
            say(crate::practice::generate(*difficulty, *seed).trim_end())?;
            Ok(ExitCode::SUCCESS)
        }
        What::Try { exercise } => {
            let name = exercise.display().to_string();
            let (_, read) = errand::opened_exercise(&name, None, None)?;
            say(&format!(
                "{}: '{}', difficulty {}, can be used",
                name, read.title, read.difficulty
            ))?;
            Ok(ExitCode::SUCCESS)
        }
        What::Study {
            exercises,
            repeats,
            seed,
            threads,
            json,
        } => study(exercises, (*repeats, *seed), *threads, *json),
        What::Seal {
            exercise,
            passphrase_file,
        } => {
            let passphrase = first_line(passphrase_file)?;
            let sealed = errand::sealed_exercise(exercise, &passphrase, Cost::USUAL)?;
            say(sealed.trim_end())?;
            Ok(ExitCode::SUCCESS)
        }
        What::Open {
            exercise,
            passphrase_file,
        } => {
            let passphrase = first_line(passphrase_file)?;
            let (text, _) = errand::opened_exercise(exercise, None, Some(&passphrase))?;
            say(text.trim_end())?;
            Ok(ExitCode::SUCCESS)
        }
        What::Debrief {
            journal,
            replay,
            json,
        } => {
            let (found, row) = errand::debrief_in(journal)?;
            if *json {
                say_json(&found)?;
            } else {
                say(&format!(
                    "{}\njournal head {}{}",
                    in_words(&found, *replay).trim_end(),
                    row.head,
                    remarked(&row)
                ))?;
            }
            Ok(ExitCode::SUCCESS)
        }
        What::Class { folder, csv, json } => class(folder, csv.as_deref(), *json),
        What::Agree { one, other, json } => match other {
            Some(other) => agree(one, other, *json),
            None => agree_in(one, *json),
        },
    }
}

#[derive(Serialize)]
struct Listed {
    name: &'static str,
    title: String,
    difficulty: u32,
    story: String,
}

fn list(json: bool) -> Done {
    let read = library().iter().map(|(name, text)| {
        Exercise::from_toml(text, name).map(|exercise| Listed {
            name,
            title: exercise.title,
            difficulty: exercise.difficulty,
            story: exercise.story,
        })
    });
    let all: Result<Vec<Listed>, _> = read.collect();
    let all = all.map_err(|error| ErrandError::Failed(error.to_string()))?;
    if json {
        say_json(&all)?;
    } else {
        for one in all {
            say(&format!(
                "{}  {:<20} {}: {}",
                one.difficulty, one.name, one.title, one.story
            ))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn study(
    exercises: &[String],
    (repeats, seed): (u32, u64),
    threads: Option<u16>,
    json: bool,
) -> Done {
    let mut names = exercises.to_vec();
    if names.is_empty() {
        names.extend(library().iter().map(|(name, _)| (*name).to_owned()));
    }
    let visits = names.len() * repeats as usize;
    let open = |name: &String| Ok((name.clone(), errand::opened_exercise(name, None, None)?.1));
    let people: Result<Vec<(String, Exercise)>, ErrandError> = names.iter().map(open).collect();
    let people = people?;
    let reports = with_progress(visits, threads.map(usize::from), |progress| {
        errand::by_plan(&people, (repeats, seed), progress)
    })?;
    if json {
        say_json(&reports)?;
    } else {
        for one in &reports {
            say(&told_of(one))?;
        }
    }
    Ok(if reports.iter().all(PlanReport::reached) {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}

/// A line, and one for each figure.
fn told_of(report: &PlanReport) -> String {
    let (name, plan, repeats) = (&report.exercise, &report.plan, report.repeats);
    let mut text = format!("{name}, plan {plan}, {repeats} visits:");
    text += match (report.figures.is_empty(), report.reached()) {
        (true, _) => " it says nothing of what is to be expected",
        (_, true) => " reached",
        (_, false) => " not reached",
    };
    let figures = report.figures.iter().map(ToString::to_string);
    for line in report.lines().into_iter().chain(figures) {
        let _ = write!(text, "\n    {line}");
    }
    text
}

fn mark(done: StepDone) -> &'static str {
    match done {
        StepDone::Right => "right   ",
        StepDone::Partly => "in part ",
        StepDone::NotDone => "not done",
        StepDone::NoOccasion => "no need ",
    }
}

fn in_words(found: &Debrief, replay: bool) -> String {
    let mut text = format!(
        "{}, difficulty {}, practised by {}\nIt was {}.\n",
        found.title, found.difficulty, found.trainee, found.person
    );
    let outcome = &found.outcome;
    let near = outcome.ears.iter().filter(|one| one.near).count();
    let _ = writeln!(
        text,
        "\n{near} of {} thresholds are as near to the truth as the method comes",
        outcome.ears.len()
    );
    for one in outcome.ears.iter().filter(|one| !one.near) {
        let _ = writeln!(
            text,
            "  {} {}: {}, midpoint {:.0} dB HL",
            one.ear,
            one.hz,
            one.found_words(),
            one.true_midpoint_db_hl
        );
    }
    for one in &outcome.eyes {
        let _ = writeln!(
            text,
            "  {} eye: {}, midpoint {:.2} logMAR",
            one.eye,
            one.found_words(),
            one.true_log_mar
        );
    }
    for one in &outcome.judged {
        let said = one.said.map_or("nothing said", |said| said.words());
        let right = if one.right {
            "as expected"
        } else {
            "expected otherwise"
        };
        let _ = writeln!(
            text,
            "  {}: {said}; {right}: {}",
            one.sense,
            one.expected.words()
        );
    }
    if !found.because.is_empty() {
        let _ = writeln!(text, "  {}", found.because);
    }
    for one in &outcome.cues {
        let caught = match (one.there, one.named) {
            (true, true) => "named, and there",
            (true, false) => "there, not named",
            _ => "named, not there",
        };
        let _ = writeln!(text, "  cue: {} ({caught}; {})", one.words, one.source);
    }
    let _ = writeln!(text, "\nStep by step (* must be right)");
    for step in &found.steps {
        let star = if step.must { "*" } else { " " };
        let _ = writeln!(
            text,
            "{} {star} {}: {}",
            mark(step.done),
            step.what,
            step.did
        );
        if matches!(step.done, StepDone::Partly | StepDone::NotDone) {
            let _ = writeln!(
                text,
                "             expected: {} ({})",
                step.expected, step.source
            );
        }
    }
    let _ = writeln!(text, "\nWhat it was to teach");
    for aim in &found.aims {
        let _ = writeln!(text, "  {aim}");
    }
    if replay {
        let _ = writeln!(text, "\nPresentation by presentation");
        for one in &found.replay {
            let beside = if one.same {
                String::new()
            } else {
                format!("; a guideline: {} ({})", one.would, one.why)
            };
            let _ = writeln!(text, "{:5} {:7.1} s  {}{beside}", one.n, one.t_s, one.did);
        }
    }
    text.trim_end().to_owned()
}

#[derive(Serialize)]
struct Class {
    #[serde(flatten)]
    gathered: Gathered,
    trainees: Vec<ClassTable>,
}

fn class(folder: &Path, csv: Option<&Path>, json: bool) -> Done {
    let progress = Progress::default();
    let read = || format!("{} journals read", progress.visits.load(Relaxed));
    let (gathered, debriefs) = with_waiting(read, || errand::gather(folder, &progress))?;
    let trainees = ClassTable::of_each(&debriefs);
    if let Some(path) = csv {
        errand::write_class_csv(&gathered, path)?;
    }
    let whole = gathered.refused.is_empty();
    if json {
        say_json(&Class { gathered, trainees })?;
    } else {
        for row in &gathered.rows {
            say(&format!(
                "{:<12} {:<22} {} of {} near, masking missed {}, judged {} of {}, cues {} caught {} missed; the helper was on at {} of {}; to mend: {}{}",
                row.trainee,
                row.exercise,
                row.near,
                row.of,
                row.missed_masking,
                row.judged_right,
                row.judged_of,
                row.cues_caught,
                row.cues_missed,
                row.coached,
                row.presentations,
                if row.to_mend.is_empty() {
                    "nothing".to_owned()
                } else {
                    row.to_mend.join(", ")
                },
                remarked(row),
            ))?;
        }
        for one in &trainees {
            if let Some(next) = &one.next {
                say(&format!("{}: practise next: {next}", one.trainee))?;
            }
        }
        for one in &gathered.refused {
            say(&format!("not taken in: {}", one.why))?;
        }
    }
    Ok(if whole {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}

/// What there is to know of the journal itself.
fn remarked(row: &ClassRow) -> String {
    let remark = row.remark.as_ref();
    remark.map_or_else(String::new, |remark| format!("; {remark}"))
}

#[derive(Serialize)]
struct Agreeing {
    one: String,
    other: String,
    #[serde(flatten)]
    agreement: Agreement,
}

/// How far each two of all who ticked agree.
fn agree_in(folder: &Path, json: bool) -> Done {
    let found = errand::agreements_in(folder)?.into_iter();
    let found: Vec<Agreeing> = found
        .map(|(one, other, agreement)| Agreeing {
            one,
            other,
            agreement,
        })
        .collect();
    if json {
        say_json(&found)?;
    } else {
        for pair in &found {
            say(&format!(
                "{} and {}: {}",
                pair.one, pair.other, pair.agreement
            ))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn agree(one: &Path, other: &Path, json: bool) -> Done {
    let (first, second) = (errand::observed_in(one)?, errand::observed_in(other)?);
    let Some(found) = Agreement::of(&first, &second) else {
        return Err(ErrandError::BadInput(format!(
            "{}: expected items that {} has too, of the same journals",
            one.display(),
            other.display()
        )));
    };
    if json {
        say_json(&found)?;
    } else {
        say(&found.to_string())?;
    }
    Ok(ExitCode::SUCCESS)
}
