//! The command line: each verb is an errand, told in words or as one JSON document.

mod args;
mod bench;
mod by_hand;
mod card;
mod export;
mod practise;
mod records;
mod records_args;
mod report;
mod sound;
mod tell;

use crate::calibration::EarphoneProfile;
use crate::errand::study::{People, Progress, Study, only_tested};
use crate::errand::{self, Begin, ErrandError, OptotypeWish};
use crate::journal::{About, MaskingPlan, PersonKind};
use crate::person::{AnsweringKind, Case, KINDS, Person, Piped, Population, Simulated};
use crate::quantity::{Draws, Hz, LogMar, Mm, Scale, Sense, Sex, Stream};
use crate::stimulus::{Facing, OptotypeSet};
use args::{
    CommandLine, JournalArgs, OptotypeArg, OptotypeArgs, SchemaArg, SchemaArgs, StudyArgs, Verb,
    VisitArgs, WhyArgs, WindowArgs,
};
use clap::Parser;
use clap::error::ErrorKind;
use records_args::CheckArgs;
use serde::Serialize;
use std::io::Write;
use std::process::ExitCode;

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
        Some(Verb::Found(args)) => records::found(&args),
        Some(Verb::People(args)) => records::people(&args),
        Some(Verb::Users(args)) => records::users(&args),
        Some(Verb::Visits(args)) => records::visits(&args),
        Some(Verb::Backup(args)) => records::backup(&args),
        Some(Verb::Restore(args)) => records::restore(&args),
        Some(Verb::Mend(args)) => records::mend(&args),
        Some(Verb::Passphrase(args)) => records::passphrase(&args),
        Some(Verb::Sign(args)) => records::sign(&args),
        Some(Verb::Why(args)) => why(&args),
        Some(Verb::Tone(args)) => sound::tone(&args),
        Some(Verb::Recording(args)) => sound::recording(&args),
        Some(Verb::Listen(args)) => sound::listen(&args),
        Some(Verb::Optotype(args)) => optotype(&args),
        Some(Verb::Report(args)) => report::report(&args),
        Some(Verb::Pictures(args)) => report::pictures(&args),
        Some(Verb::Card(args)) => card::card(&args),
        Some(Verb::Sheet(args)) => by_hand::sheet(args),
        Some(Verb::Answers(args)) => by_hand::answers(&args),
        Some(Verb::Power(args)) => by_hand::power(&args),
        Some(Verb::Practise(args)) => practise::practise(&args),
        Some(Verb::Export(args)) => export::export(&args),
        Some(Verb::Schema(args)) => schema(&args),
        Some(Verb::Coupler(args)) => bench::coupler(&args),
        Some(Verb::Jury(args)) => bench::jury(&args),
        Some(Verb::JuryStudy(args)) => bench::jury_study(&args),
        Some(Verb::Daily(args)) => bench::daily(&args),
        Some(Verb::Microphone(args)) => bench::microphone(&args),
        Some(Verb::Room(args)) => bench::room(&args),
        Some(Verb::Profile(args)) => bench::profile(&args),
        Some(Verb::Route(args)) => bench::route(&args),
        Some(Verb::Study(args)) => study(&args),
    };
    done.unwrap_or_else(|error| refuse(&error))
}

type Done = Result<ExitCode, ErrandError>;

fn refuse(error: &ErrandError) -> ExitCode {
    let how = match error {
        ErrandError::StandsAlready(_) => "; --force replaces it",
        ErrandError::BadInput(_) | ErrandError::Failed(_) => "",
    };
    let _ = writeln!(std::io::stderr(), "veridical: {error}{how}");
    match error {
        ErrandError::BadInput(_) | ErrandError::StandsAlready(_) => ExitCode::from(2),
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
    let failed = |error: std::io::Error| ErrandError::Failed(format!("standard output: {error}"));
    let mut to = std::io::BufWriter::new(std::io::stdout().lock());
    crate::report::write_tidy_json(&mut to, document).map_err(|error| failed(error.into()))?;
    writeln!(to).and_then(|()| to.flush()).map_err(failed)
}

#[cfg(feature = "window")]
fn window(args: WindowArgs) -> Done {
    let options = crate::desk::Options {
        folder: args.folder,
        case: args.case,
        plan: args.plan,
        earphone: args.earphone,
        sound: args.sound,
        store: args.store,
        seed: args.seed,
        pixel_mm: args.pixel_mm,
        pace: args.pace.and_then(|times| times.parse().ok()),
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
    let mut plan = errand::plan_of(&args.plan, args.procedure.as_deref())?;
    if let Some(path) = &args.earlier {
        plan.earlier = Some(errand::earlier_in(path)?);
    }
    if args.age_years.is_some() || args.sex.is_some() {
        plan.about = Some(About {
            age_years: args.age_years,
            sex: args.sex.as_deref().map(|sex| match sex {
                "female" => Sex::Female,
                _ => Sex::Male,
            }),
        });
        plan.check()
            .map_err(|error| ErrandError::BadInput(format!("--age-years: {error}")))?;
    }
    let mut set_up = errand::set_up_of(
        args.earphone.as_deref(),
        args.screen.as_deref(),
        args.distance_mm,
    )?;
    if let Some(path) = &args.room {
        set_up.room = Some(errand::room::room_in(path)?);
    }
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
        folder: args.out.clone().unwrap_or_default(),
        seed: presenter_seed,
        person: kind,
        set_up,
        plan,
        epoch: errand::epoch_of_simulations(),
    };
    if wish.plan.hearing.is_none() && wish.plan.sight.is_none() && wish.plan.bedside.is_none() {
        let what = "expected [hearing], [sight] or [bedside] in the case and in the plan, found \
                    none of them in both";
        return Err(ErrandError::BadInput(what.into()));
    }
    let scale = wish.set_up.earphone.as_ref().map(EarphoneProfile::scale);
    if case.is_some() && scale.is_some_and(|scale| scale != Scale::DbHl) {
        let what = "--earphone: expected a profile in dB HL, since simulated people hear in dB HL";
        return Err(ErrandError::BadInput(what.into()));
    }
    let piped = case.is_none();
    let mut person: Box<dyn Person> = match case {
        Some(case) => Box::new(Simulated::new(case, person_seed)),
        None => Box::new(Piped::new(std::io::stdin().lock(), std::io::stdout())),
    };
    let (findings, kept) = match &args.out {
        Some(out) => {
            let done = errand::headless(&wish, person.as_mut(), args.resume)?;
            (done.findings, tell::written(out))
        }
        None => records::visit_in(args, &wish, person.as_mut())?,
    };
    if args.json {
        say_json(&findings)?;
    } else if !piped {
        say(&tell::findings(&findings))?;
        say(&kept)?;
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

fn check(args: &CheckArgs) -> Done {
    let Some(journal) = &args.journal else {
        return records::check_store(args);
    };
    let checked = errand::check(journal)?;
    let signed = match &args.signed {
        Some(signed) => Some(errand::verdict(journal, signed, args.key.as_deref())?),
        None => None,
    };
    if args.store.json {
        match &signed {
            Some((signed, verdict)) => say_json(&serde_json::json!({
                "journal": checked, "signed": signed, "verdict": verdict,
                "not_found_out": crate::store::NOT_FOUND_OUT
            }))?,
            None => say_json(&checked)?,
        }
    } else {
        say(&tell::checked(&checked))?;
        if let Some((signed, verdict)) = &signed {
            say(&tell::signed(signed, *verdict, args.key.is_some()))?;
        }
    }
    let holds = checked.holds && signed.is_none_or(|(_, verdict)| verdict.holds());
    Ok(if holds {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}

fn why(args: &WhyArgs) -> Done {
    if args.next {
        return what_next(args);
    }
    let all = errand::why(&args.of.journal, args.n)?;
    if args.of.json {
        say_json(&all)?;
    } else {
        let lines = all
            .iter()
            .map(|one| format!("{} {}: {}\n", one.n, one.what, one.sentence));
        say(&lines.collect::<String>())?;
    }
    Ok(ExitCode::SUCCESS)
}

fn what_next(args: &WhyArgs) -> Done {
    let all = errand::what_next(&args.of.journal)?;
    if args.of.json {
        say_json(&all)?;
    } else if all.is_empty() {
        say("nothing to choose from: thresholds come first\n")?;
    } else {
        let lines = all.iter().map(|one| format!("{}\n", one.sentence()));
        say(&lines.collect::<String>())?;
    }
    Ok(ExitCode::SUCCESS)
}

#[derive(Serialize)]
struct OptotypeReport {
    stroke_px: f64,
    stroke_mm: f64,
    outer_diameter_mm: f64,
}

fn optotype(args: &OptotypeArgs) -> Done {
    let wish = OptotypeWish {
        set: match args.kind {
            OptotypeArg::Landolt => OptotypeSet::Landolt8,
            OptotypeArg::TumblingE => OptotypeSet::TumblingE,
            OptotypeArg::Sloan => OptotypeSet::Sloan,
            OptotypeArg::Hotv => OptotypeSet::Hotv,
        },
        facing: args.facing.map(|facing| Facing::EIGHT[facing as usize]),
        letter: args.letter.clone(),
        crowded: args.crowded,
        reverse: args.reverse,
        mirrored: args.mirror,
        log_mar: LogMar(args.log_mar),
        distance: Mm(args.distance_mm),
        pixel: Mm(args.pixel_mm),
    };
    let stroke_px = errand::optotype(&wish, &args.out)?;
    let stroke_mm = stroke_px * args.pixel_mm;
    let outer_diameter_mm = 5.0 * stroke_mm;
    if args.json {
        say_json(&OptotypeReport {
            stroke_px,
            stroke_mm,
            outer_diameter_mm,
        })?;
    } else {
        say(&format!(
            "{}: {outer_diameter_mm:.2} mm high with strokes of {stroke_mm:.2} mm, \
             {stroke_px:.2} pixels, for {} mm on pixels of {} mm",
            args.out.display(),
            args.distance_mm,
            args.pixel_mm
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn schema(args: &SchemaArgs) -> Done {
    let schema = match args.of {
        SchemaArg::Journal => crate::report::journal_schema(),
        SchemaArg::Findings => crate::report::findings_schema(),
    };
    say_json(&schema)?;
    Ok(ExitCode::SUCCESS)
}

fn study(args: &StudyArgs) -> Done {
    let people = match (&args.cases, &args.population) {
        (Some(folder), _) => Study::cases_in(folder)?,
        (None, Some(name)) => populations(name)?,
        (None, None) => {
            return Err(ErrandError::BadInput(
                "expected --cases or --population".into(),
            ));
        }
    };
    for (field, value, most) in [
        ("--repeats", args.repeats as usize, 10_000_000),
        ("--threads", args.threads.unwrap_or(1), 256),
    ] {
        if !(1..=most).contains(&value) {
            let what = format!("{field}: expected 1 to {most}, found {value}");
            return Err(ErrandError::BadInput(what));
        }
    }
    for (field, value, lowest, most) in [
        ("--scale-log-mar", args.scale_log_mar, 0.001, 2.0),
        ("--lapse", args.lapse, 0.0, 0.5),
        ("--noisier", args.noisier, 0.1, 3.0),
    ] {
        if let Some(value) = value.filter(|value| !(lowest..=most).contains(value)) {
            let what = format!("{field}: expected {lowest} to {most}, found {value}");
            return Err(ErrandError::BadInput(what));
        }
    }
    let study = Study {
        people,
        repeats: args.repeats,
        seed: args.seed,
        plan: study_plan(args)?,
        plan_name: args.plan.clone(),
        keep: args.keep.clone(),
        scale_log_mar: args.scale_log_mar,
        lapse: args.lapse,
        noisier: args.noisier,
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

/// A population, a kind of people by how they answer, or all kinds of a sense.
fn populations(name: &str) -> Result<Vec<(String, People)>, ErrandError> {
    let sense = match name {
        "kinds_of_hearing" => Some(Sense::Hearing),
        "kinds_of_sight" => Some(Sense::Sight),
        _ => None,
    };
    let of = |kind: AnsweringKind| (kind.name.to_owned(), People::Kind(kind));
    if let Some(sense) = sense {
        let kinds = KINDS.into_iter().filter(|kind| kind.sense == sense);
        return Ok(kinds.map(of).collect());
    }
    match AnsweringKind::named(name) {
        Some(kind) => Ok(vec![of(kind)]),
        None => Ok(vec![population(name)?]),
    }
}

fn population(name: &str) -> Result<(String, People), ErrandError> {
    let population = Population::named(name).ok_or_else(|| {
        let names = Population::NAMES.join(", ");
        ErrandError::BadInput(format!(
            "--population: expected one of {names}, found {name:?}"
        ))
    })?;
    Ok((name.to_owned(), People::Population(Box::new(population))))
}

fn study_plan(args: &StudyArgs) -> Result<crate::journal::Plan, ErrandError> {
    let mut plan = errand::plan_of(&args.plan, args.procedure.as_deref())?;
    if let Some(hearing) = &mut plan.hearing {
        if let Some(hz) = &args.hz {
            hearing.hz = hz.iter().copied().map(Hz).collect();
        }
        hearing.silent_share = args.silent_share.unwrap_or(hearing.silent_share);
        if args.tones.is_some() {
            // Exactly so many: no earlier end by what is known.
            (hearing.most_tones, hearing.stop_sd_db) = (args.tones, Some(0.0));
        }
        hearing.masking = match args.masking.as_deref() {
            Some("plateau") => MaskingPlan::Plateau,
            Some(_) => MaskingPlan::None,
            None if args.tones.is_some() => MaskingPlan::None,
            None => hearing.masking,
        };
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
    let pool = pool(threads)?;
    let progress = Progress::default();
    let told = || {
        let made = progress.visits.load(std::sync::atomic::Ordering::Relaxed);
        format!("{made} of {visits} visits")
    };
    with_waiting(told, || pool.install(|| work(&progress)))
}

/// So many threads; all cores unless said.
fn pool(threads: Option<usize>) -> Result<rayon::ThreadPool, ErrandError> {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads.unwrap_or(0))
        .build();
    pool.map_err(|error| ErrandError::Failed(error.to_string()))
}

/// Does `work`, and once a second tells on standard error how far it is.
fn with_waiting<T>(told: impl Fn() -> String + Sync, work: impl FnOnce() -> T) -> T {
    std::thread::scope(|scope| {
        let (done, over) = std::sync::mpsc::channel::<()>();
        let told = &told;
        scope.spawn(move || {
            let second = std::time::Duration::from_secs(1);
            while over.recv_timeout(second) == Err(std::sync::mpsc::RecvTimeoutError::Timeout) {
                let _ = write!(std::io::stderr(), "\r{}", told());
            }
        });
        let result = work();
        drop(done);
        result
    })
}
