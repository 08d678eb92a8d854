//! The command line: each verb is an errand, told in words or as one JSON document.

mod tell;

use crate::errand::study::{People, Progress, Study, only_tested};
use crate::errand::{self, Begin, ErrandError, OptotypeWish, ToneWish};
use crate::journal::PersonKind;
use crate::person::{Case, Person, Piped, Population, Simulated};
use crate::quantity::{Draws, Ear, Hz, LogMar, Mm, Stream};
use crate::stimulus::{Facing, Signal};
use clap::error::ErrorKind;
use clap::{Args, Parser, Subcommand, ValueEnum};
use serde::Serialize;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

/// Measures hearing and sight with a laptop, ordinary headphones and a tape measure, and says how
/// sure it is. Without a verb it opens the window. A screening and measuring aid, not certified
/// and not a diagnosis; local rules and licensed practice come first.
#[derive(Debug, Parser)]
#[command(name = "veridical", version)]
struct CommandLine {
    #[command(subcommand)]
    verb: Option<Verb>,
    #[command(flatten)]
    window: WindowArgs,
}

/// What the form of the window is filled with; for tests that drive it.
#[derive(Debug, Args)]
struct WindowArgs {
    #[arg(long, hide = true, value_name = "DIR")]
    folder: Option<PathBuf>,
    #[arg(long, hide = true, value_name = "FILE")]
    case: Option<PathBuf>,
    #[arg(long, hide = true)]
    plan: Option<String>,
    #[arg(long, hide = true, value_name = "FILE")]
    earphone: Option<PathBuf>,
    #[arg(long, hide = true, value_name = "DEVICE")]
    sound: Option<String>,
    #[arg(long, hide = true)]
    seed: Option<u64>,
    #[arg(long, hide = true, value_name = "MM")]
    pixel_mm: Option<String>,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// A whole visit with a simulated person, or with another program at the end of a pipe
    Visit(VisitArgs),
    /// Findings again from a journal
    Recount(JournalArgs),
    /// Whether a journal is whole and unchanged
    Check(JournalArgs),
    /// One tone as the sound device would get it, as a WAV file
    Tone(ToneArgs),
    /// One optotype as the screen would get it, as a PNG file
    Optotype(OptotypeArgs),
    /// Many simulated visits, and how far their figures are from the truth
    Study(StudyArgs),
}

#[derive(Debug, Args)]
struct VisitArgs {
    /// Case file of a simulated person
    #[arg(
        long,
        value_name = "FILE",
        conflicts_with = "person",
        required_unless_present = "person"
    )]
    case: Option<PathBuf>,
    /// '-': presentations go out on standard output, answers come in on standard input
    #[arg(long, value_name = "-", value_parser = ["-"])]
    person: Option<String>,
    /// Seed of everything that is drawn
    #[arg(long)]
    seed: u64,
    /// Folder for the journal and the results
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Plan: quick, full, reliability, monitoring, or a TOML file
    #[arg(long, default_value = "full")]
    plan: String,
    /// Hearing procedure in place of the plan's
    #[arg(long)]
    procedure: Option<String>,
    /// Earphone profile in place of the simulated one
    #[arg(long, value_name = "FILE")]
    earphone: Option<PathBuf>,
    /// Screen profile in place of the simulated one
    #[arg(long, value_name = "FILE")]
    screen: Option<PathBuf>,
    /// Distance from eye to screen in place of 4000
    #[arg(long, value_name = "MM")]
    distance_mm: Option<f64>,
    /// Go on with the visit that is in the folder
    #[arg(long)]
    resume: bool,
    /// Print the findings as one JSON document
    #[arg(long, conflicts_with = "person")]
    json: bool,
}

#[derive(Debug, Args)]
struct JournalArgs {
    /// The journal
    journal: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum EarArg {
    Right,
    Left,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum KindArg {
    Steady,
    Pulsed,
    Warble,
}

#[derive(Debug, Args)]
struct ToneArgs {
    /// Which ear
    #[arg(long)]
    ear: EarArg,
    /// Frequency, Hz
    #[arg(long)]
    hz: f64,
    /// Level, dB HL (on a profile's own scale where it has no dB HL)
    #[arg(long, allow_negative_numbers = true)]
    level: f64,
    /// The WAV file to write
    #[arg(long, value_name = "FILE.wav")]
    out: PathBuf,
    /// Kind of tone
    #[arg(long, default_value = "steady")]
    kind: KindArg,
    /// How long the tone lasts, s
    #[arg(long, default_value_t = 1.5)]
    seconds: f64,
    /// Frames a second; the profile's, else 48000
    #[arg(long, value_name = "HZ")]
    rate: Option<u32>,
    /// Earphone profile; without one the simulated set-up under the caps of an uncalibrated
    /// headphone
    #[arg(long, value_name = "FILE")]
    earphone: Option<PathBuf>,
    /// The same tone in the other ear, dB
    #[arg(long, value_name = "DB", allow_negative_numbers = true)]
    other_ear_level: Option<f64>,
    /// Narrow-band noise in the other ear, dB effective masking level
    #[arg(long, value_name = "DB", allow_negative_numbers = true)]
    mask_level: Option<f64>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum OptotypeArg {
    Landolt,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
#[value(rename_all = "snake_case")]
enum FacingArg {
    Right,
    UpRight,
    Up,
    UpLeft,
    Left,
    DownLeft,
    Down,
    DownRight,
}

#[derive(Debug, Args)]
struct OptotypeArgs {
    /// Which optotype
    #[arg(long, default_value = "landolt")]
    kind: OptotypeArg,
    /// To which side it opens
    #[arg(long)]
    facing: FacingArg,
    /// Its size, logMAR
    #[arg(long, allow_negative_numbers = true)]
    log_mar: f64,
    /// Distance from eye to screen, mm
    #[arg(long)]
    distance_mm: f64,
    /// Pixel pitch, mm
    #[arg(long)]
    pixel_mm: f64,
    /// The PNG file to write
    #[arg(long, value_name = "FILE.png")]
    out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct StudyArgs {
    /// Folder of case files
    #[arg(
        long,
        value_name = "DIR",
        conflicts_with = "population",
        required_unless_present = "population"
    )]
    cases: Option<PathBuf>,
    /// Population to draw persons from: careful, average, poor, random or `raised_bar`
    #[arg(long, value_name = "NAME")]
    population: Option<String>,
    /// Visits of each case
    #[arg(long)]
    repeats: u32,
    /// Seed of everything that is drawn
    #[arg(long)]
    seed: u64,
    /// Hearing procedure in place of the plan's
    #[arg(long)]
    procedure: Option<String>,
    /// Plan: quick, full, reliability, monitoring, or a TOML file
    #[arg(long, default_value = "full")]
    plan: String,
    /// Frequencies in place of the plan's, Hz, separated by commas
    #[arg(long, value_delimiter = ',')]
    hz: Option<Vec<f64>>,
    /// End hearing after so many measuring tones
    #[arg(long)]
    tones: Option<u32>,
    /// Show exactly so many measuring optotypes to each eye
    #[arg(long)]
    sight_trials: Option<u32>,
    /// Share of silent presentations in place of the plan's
    #[arg(long)]
    silent_share: Option<f64>,
    /// Threads; all cores unless said
    #[arg(long)]
    threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Runs the program; its exit code is 0 when done, 1 when something does not hold or went wrong,
/// 2 on bad input.
#[must_use]
pub fn main() -> ExitCode {
    let command_line = match CommandLine::try_parse() {
        Ok(command_line) => command_line,
        Err(error)
            if matches!(
                error.kind(),
                ErrorKind::DisplayHelp | ErrorKind::DisplayVersion
            ) =>
        {
            // Help that nobody reads any more is no failure.
            let _ = error.print();
            return ExitCode::SUCCESS;
        }
        Err(error) => return refuse(&ErrandError::BadInput(one_line(&error.to_string()))),
    };
    let done = match command_line.verb {
        None => window(command_line.window),
        Some(Verb::Visit(args)) => visit(&args),
        Some(Verb::Recount(args)) => recount(&args),
        Some(Verb::Check(args)) => check(&args),
        Some(Verb::Tone(args)) => tone(args),
        Some(Verb::Optotype(args)) => optotype(&args),
        Some(Verb::Study(args)) => study(&args),
    };
    done.unwrap_or_else(|error| refuse(&error))
}

type Done = Result<ExitCode, ErrandError>;

fn refuse(error: &ErrandError) -> ExitCode {
    let _ = writeln!(std::io::stderr(), "veridical: {error}");
    match error {
        ErrandError::BadInput(_) => ExitCode::from(2),
        ErrandError::Failed(_) => ExitCode::from(1),
    }
}

/// The argument parser explains itself over several lines; users are promised one.
fn one_line(message: &str) -> String {
    let said = message.split("\n\nUsage:").next().unwrap_or(message);
    let said = said
        .split("\n\nFor more information")
        .next()
        .unwrap_or(said);
    let words: Vec<&str> = said
        .trim_start_matches("error: ")
        .split_whitespace()
        .collect();
    words.join(" ")
}

fn say(text: &str) -> Result<(), ErrandError> {
    let written = writeln!(std::io::stdout(), "{text}");
    written.map_err(|error| ErrandError::Failed(format!("standard output: {error}")))
}

fn say_json(document: &impl Serialize) -> Result<(), ErrandError> {
    let json = serde_json::to_string_pretty(document);
    say(&json.map_err(|error| ErrandError::Failed(error.to_string()))?)
}

#[cfg(feature = "window")]
fn window(args: WindowArgs) -> Done {
    let options = crate::desk::Options {
        folder: args.folder,
        case: args.case,
        plan: args.plan,
        earphone: args.earphone,
        sound: args.sound,
        seed: args.seed,
        pixel_mm: args.pixel_mm,
    };
    crate::desk::open_with(options).map_err(ErrandError::Failed)?;
    Ok(ExitCode::SUCCESS)
}

#[cfg(not(feature = "window"))]
fn window(_: WindowArgs) -> Done {
    Err(ErrandError::BadInput(
        "this build has no window; see --help for what it can do".into(),
    ))
}

fn visit(args: &VisitArgs) -> Done {
    let case = args.case.as_deref().map(Case::read).transpose();
    let case = case.map_err(|error| ErrandError::BadInput(error.to_string()))?;
    let plan = errand::plan_of(&args.plan, args.procedure.as_deref())?;
    let set_up = errand::set_up_of(
        args.earphone.as_deref(),
        args.screen.as_deref(),
        args.distance_mm,
    )?;
    let mut seeds = Draws::new(args.seed, Stream::Visit, 0);
    let (presenter_seed, person_seed) = (seeds.seed(), seeds.seed());
    let (kind, plan) = match &case {
        Some(case) => (
            PersonKind::Simulated {
                title: case.title.clone(),
            },
            only_tested(plan, case),
        ),
        None => (PersonKind::Piped, plan),
    };
    let wish = Begin {
        folder: args.out.clone(),
        seed: presenter_seed,
        person: kind,
        set_up,
        plan,
        epoch: errand::epoch_of_simulations(),
    };
    if wish.plan.hearing.is_none() && wish.plan.sight.is_none() {
        let what =
            "expected [hearing] or [sight] in the case and in the plan, found neither in both";
        return Err(ErrandError::BadInput(what.into()));
    }
    let piped = case.is_none();
    let mut person: Box<dyn Person> = match case {
        Some(case) => Box::new(Simulated::new(case, person_seed)),
        None => Box::new(Piped::new(std::io::stdin().lock(), std::io::stdout())),
    };
    let done = errand::headless(&wish, person.as_mut(), args.resume)?;
    if args.json {
        say_json(&done.findings)?;
    } else if !piped {
        say(&tell::findings(&done.findings))?;
        say(&tell::written(&args.out))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn recount(args: &JournalArgs) -> Done {
    let recount = errand::recount(&args.journal)?;
    if args.json {
        say_json(&recount)?;
    } else {
        say(&tell::findings(&recount.findings))?;
        say(&tell::recounted(&recount))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn check(args: &JournalArgs) -> Done {
    let checked = errand::check(&args.journal)?;
    if args.json {
        say_json(&checked)?;
    } else {
        say(&tell::checked(&checked))?;
    }
    Ok(if checked.holds {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}

fn tone(args: ToneArgs) -> Done {
    let wish = ToneWish {
        ear: match args.ear {
            EarArg::Right => Ear::Right,
            EarArg::Left => Ear::Left,
        },
        hz: Hz(args.hz),
        level_db: args.level,
        kind: match args.kind {
            KindArg::Steady => Signal::Steady,
            KindArg::Pulsed => Signal::Pulsed,
            KindArg::Warble => Signal::Warble,
        },
        seconds: args.seconds,
        rate_hz: args.rate,
        earphone: args.earphone,
        other_ear_level_db: args.other_ear_level,
        mask_level_db: args.mask_level,
    };
    let report = errand::tone(&wish, &args.out)?;
    if args.json {
        say_json(&report)?;
    } else {
        say(&tell::tone(&report, &args.out))?;
    }
    Ok(ExitCode::SUCCESS)
}

#[derive(Serialize)]
struct OptotypeReport {
    stroke_px: f64,
}

fn optotype(args: &OptotypeArgs) -> Done {
    let OptotypeArg::Landolt = args.kind;
    let wish = OptotypeWish {
        facing: Facing::EIGHT[args.facing as usize],
        log_mar: LogMar(args.log_mar),
        distance: Mm(args.distance_mm),
        pixel: Mm(args.pixel_mm),
    };
    let stroke_px = errand::optotype(wish, &args.out)?;
    if args.json {
        say_json(&OptotypeReport { stroke_px })?;
    } else {
        say(&format!(
            "{}: a ring with a stroke of {stroke_px:.2} pixels",
            args.out.display()
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn study(args: &StudyArgs) -> Done {
    let people = match (&args.cases, &args.population) {
        (Some(folder), _) => Study::cases_in(folder)?,
        (None, Some(name)) => vec![population(name)?],
        (None, None) => {
            return Err(ErrandError::BadInput(
                "expected --cases or --population".into(),
            ));
        }
    };
    let study = Study {
        people,
        repeats: args.repeats,
        seed: args.seed,
        plan: study_plan(args)?,
        plan_name: args.plan.clone(),
    };
    let visits = study.people.len() * study.repeats as usize;
    let began = std::time::Instant::now();
    let report = with_progress(visits, args.threads, |progress| study.run(progress))?;
    let seconds = began.elapsed().as_secs_f64();
    if args.json {
        say_json(&report)?;
    } else {
        say(&tell::study(&report))?;
    }
    let rate = visits as f64 / seconds;
    let _ = writeln!(
        std::io::stderr(),
        "{visits} visits in {seconds:.1} s, {rate:.0} a second"
    );
    Ok(ExitCode::SUCCESS)
}

fn population(name: &str) -> Result<(String, People), ErrandError> {
    let population = Population::named(name).ok_or_else(|| {
        let names = Population::NAMES.join(", ");
        ErrandError::BadInput(format!(
            "--population: expected one of {names}, found {name:?}"
        ))
    })?;
    Ok((name.to_owned(), People::Population(population)))
}

fn study_plan(args: &StudyArgs) -> Result<crate::journal::Plan, ErrandError> {
    let mut plan = errand::plan_of(&args.plan, args.procedure.as_deref())?;
    if let Some(hearing) = &mut plan.hearing {
        if let Some(hz) = &args.hz {
            hearing.hz = hz.iter().copied().map(Hz).collect();
        }
        hearing.silent_share = args.silent_share.unwrap_or(hearing.silent_share);
        hearing.most_tones = args.tones.or(hearing.most_tones);
    }
    if let (Some(sight), Some(trials)) = (&mut plan.sight, args.sight_trials) {
        (sight.fewest_trials, sight.most_trials) = (trials, trials);
    }
    plan.check()
        .map_err(|error| ErrandError::BadInput(format!("--plan {}: {error}", args.plan)))?;
    Ok(plan)
}

/// Runs `work` on its own threads and tells on standard error how far it is, once a second.
fn with_progress<T: Send>(
    visits: usize,
    threads: Option<usize>,
    work: impl FnOnce(&Progress) -> Result<T, ErrandError> + Send,
) -> Result<T, ErrandError> {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads.unwrap_or(0))
        .build();
    let pool = pool.map_err(|error| ErrandError::Failed(error.to_string()))?;
    let progress = Progress::default();
    std::thread::scope(|scope| {
        let (done, over) = std::sync::mpsc::channel::<()>();
        let progress = &progress;
        scope.spawn(move || {
            let second = std::time::Duration::from_secs(1);
            while over.recv_timeout(second) == Err(std::sync::mpsc::RecvTimeoutError::Timeout) {
                let made = progress.visits.load(std::sync::atomic::Ordering::Relaxed);
                let _ = write!(std::io::stderr(), "\r{made} of {visits} visits");
            }
        });
        let result = pool.install(|| work(progress));
        drop(done);
        result
    })
}
