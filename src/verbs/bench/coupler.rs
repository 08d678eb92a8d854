//! The verb `coupler`: lays a sheet, goes through its tones, makes the profile.

use super::super::{Done, say, say_json};
use super::args::{CouplerAct, CouplerArgs, SheetBeginArgs, SheetReadArgs};
use super::sound::{hear, open_input, open_output, played};
use super::{named, names};
use crate::calibration::coupler::{CouplerSheet, SheetWish, Step};
use crate::calibration::{Microphone, OutputRequirement};
use crate::errand::ErrandError;
use crate::errand::bench::microphone_in;
use crate::errand::coupler::{
    Heard, TONE_S, begin_sheet, enter_reading, hear_step, profile_of_sheet, sheet_in,
    take_reading_back, tone_of_step,
};
use crate::quantity::{Db, DbFs, DbSpl};
use crate::standard::{Coupler, EarphoneClass};
use crate::station::route::route_to;
use crate::station::{SoundEvent, SoundStation, wav};
use std::io::BufRead;
use std::path::Path;
use std::process::ExitCode;

pub(in crate::verbs) fn coupler(args: &CouplerArgs) -> Done {
    match &args.act {
        CouplerAct::Begin(args) => begin(args),
        CouplerAct::Read(args) => read(args),
        CouplerAct::Finish(args) => {
            let sheet = sheet_in(&args.sheet)?;
            let profile = profile_of_sheet(&sheet, &args.out)?;
            if args.json {
                say_json(profile.record())?;
            } else {
                let u_db = sheet.u_db().0;
                let out = args.out.display();
                say(&format!(
                    "{out}: levels ±{u_db} dB, digest {}",
                    profile.digest()
                ))?;
            }
            Ok(ExitCode::SUCCESS)
        }
    }
}

fn begin(args: &SheetBeginArgs) -> Done {
    let class: Option<EarphoneClass> = if args.class == "ordinary" {
        None
    } else {
        let expected = format!("ordinary or one of {}", names(&EarphoneClass::ALL));
        Some(named("--class", &args.class, &expected)?)
    };
    let coupler = named("--coupler", &args.coupler, &names(&Coupler::ALL))?;
    let device = args.output.as_deref().unwrap_or("default");
    // Where the system tells its volume, the profile holds at that volume only.
    let volume = route_to(device, device).volume_percent;
    let wish = SheetWish {
        title: args.title.clone(),
        class,
        coupler,
        made_by: args.by.clone(),
        meter: args.meter.clone(),
        u_meter_db: Db(args.u_meter_db),
        output: OutputRequirement {
            device: args.output.clone(),
            rate_hz: args.rate,
            bits: args.bits,
            volume_percent: volume.and_then(|[left, right]| (left == right).then_some(left)),
        },
        level_db_fs: DbFs(args.level),
        placements: args.placements,
        extended: args.extended,
    };
    let sheet = begin_sheet(wish, &args.sheet)?;
    say(&format!(
        "{}: {} tones to read; then: veridical coupler read --sheet {}",
        args.sheet.display(),
        sheet.steps().len(),
        args.sheet.display()
    ))?;
    Ok(ExitCode::SUCCESS)
}

/// What presents the tones, and what hears them.
enum Bench {
    Files(std::path::PathBuf),
    Typed,
    Heard(Box<Microphone>),
}

fn read(args: &SheetReadArgs) -> Done {
    let mut sheet = sheet_in(&args.sheet)?;
    let bench = match (&args.to_files, &args.microphone) {
        (Some(folder), _) => {
            std::fs::create_dir_all(folder).map_err(|error| ErrandError::failed(folder, error))?;
            Bench::Files(folder.clone())
        }
        (None, Some(path)) => Bench::Heard(Box::new(microphone_in(path)?)),
        (None, None) => Bench::Typed,
    };
    let mut lines = std::io::stdin().lock().lines();
    let mut placed: Option<Step> = None;
    while let Some(step) = sheet.next() {
        let anew =
            placed.is_none_or(|last| (last.ear, last.placement) != (step.ear, step.placement));
        if anew {
            say(&format!(
                "place the {} earphone on the coupler, placement {} of {}",
                step.ear, step.placement, sheet.placements
            ))?;
        }
        placed = Some(step);
        let done = match &bench {
            Bench::Heard(microphone) => {
                if anew {
                    say("then Enter, or stop:")?;
                    if stops(lines.next())? {
                        break;
                    }
                }
                let heard = again(|| by_microphone(&sheet, &step, microphone))?;
                say(&format!(
                    "{} earphone, {}: {:.2} dB SPL{}",
                    step.ear,
                    step.hz,
                    heard.db_spl.0,
                    heard
                        .distortion_percent
                        .map_or(String::new(), |percent| format!(
                            ", distortion {percent:.2} %"
                        ))
                ))?;
                let percent = heard.distortion_percent;
                enter_reading(&mut sheet, &args.sheet, &step, heard.db_spl, percent)?;
                true
            }
            Bench::Files(folder) => {
                let name = format!(
                    "{:02}-{}-{}-{}.wav",
                    sheet.readings.len() + 1,
                    step.ear,
                    step.hz.0,
                    step.level_db_fs.0
                );
                let path = folder.join(name);
                wav::write(&path, &tone_of_step(&sheet, &step)?.slot)
                    .map_err(|error| ErrandError::Failed(error.to_string()))?;
                by_hand(&mut sheet, &args.sheet, &step, &mut lines)?
            }
            Bench::Typed => {
                again(|| played(play(&sheet, &step)?.as_mut()))?;
                by_hand(&mut sheet, &args.sheet, &step, &mut lines)?
            }
        };
        if !done {
            break;
        }
    }
    for unfit in sheet.unfit() {
        say(&unfit.to_string())?;
    }
    if sheet.unfit().is_empty() {
        say("all is read and nothing stands against a profile: veridical coupler finish")?;
    }
    Ok(ExitCode::SUCCESS)
}

type Line = Option<std::io::Result<String>>;

fn typed(line: Line) -> Result<Option<String>, ErrandError> {
    let line = line.transpose();
    line.map_err(|error| ErrandError::Failed(format!("standard input: {error}")))
}

fn stops(line: Line) -> Result<bool, ErrandError> {
    Ok(typed(line)?.is_none_or(|line| line.trim() == "stop"))
}

/// Asks until the reading of a step stands; false when the work is broken off.
fn by_hand(
    sheet: &mut CouplerSheet,
    path: &Path,
    step: &Step,
    lines: &mut impl Iterator<Item = std::io::Result<String>>,
) -> Result<bool, ErrandError> {
    loop {
        say(&format!(
            "{} of {}: {} earphone, {}, {} dB re full scale. dB SPL, and if measured distortion in %; or again, back, stop:",
            sheet.readings.len() + 1,
            sheet.steps().len(),
            step.ear,
            step.hz,
            step.level_db_fs.0
        ))?;
        let Some(line) = typed(lines.next())? else {
            return Ok(false);
        };
        match line.trim() {
            "stop" => return Ok(false),
            // The loop around plays the tone again.
            "again" => return Ok(true),
            "back" => {
                take_reading_back(sheet, path)?;
                return Ok(true);
            }
            line => {
                let numbers: Result<Vec<f64>, _> = line
                    .split_whitespace()
                    .map(|word| word.trim_end_matches('%').replace(',', ".").parse())
                    .collect();
                let entered = match numbers.as_deref() {
                    Ok([db_spl]) => enter_reading(sheet, path, step, DbSpl(*db_spl), None),
                    Ok([db_spl, percent]) => {
                        enter_reading(sheet, path, step, DbSpl(*db_spl), Some(*percent))
                    }
                    _ => Err(ErrandError::BadInput("expected one or two numbers".into())),
                };
                match entered {
                    Ok(()) => return Ok(true),
                    Err(error) => say(&error.to_string())?,
                }
            }
        }
    }
}

/// How long is listened, s.
const LISTEN_S: f64 = TONE_S - 1.0;
/// So often a tone is tried whose output was lost or that could not be read.
const TRIES: usize = 6;
/// Between two tries.
const REST: std::time::Duration = std::time::Duration::from_secs(1);

/// Tries what a busy machine may spoil, and tells why it is tried again.
fn again<T>(mut work: impl FnMut() -> Result<T, ErrandError>) -> Result<T, ErrandError> {
    for _ in 1..TRIES {
        match work() {
            Err(ErrandError::Failed(why)) => {
                say(&format!("once more: {why}"))?;
                std::thread::sleep(REST);
            }
            done => return done,
        }
    }
    work()
}

/// Opens the output anew and plays the tone of a step on it.
fn play(sheet: &CouplerSheet, step: &Step) -> Result<Box<dyn SoundStation>, ErrandError> {
    let failed = |error: String| ErrandError::Failed(error);
    let output = &sheet.output;
    let mut station = open_output(output.device.as_deref(), output.rate_hz)?;
    let depth = station.set_depth(output.bits.unwrap_or(16));
    depth.map_err(|error| failed(error.to_string()))?;
    let tone = tone_of_step(sheet, step)?;
    if let Err(error) = tone.play(station.as_mut(), 0) {
        let lost = std::iter::from_fn(|| station.poll()).find_map(|event| match event {
            SoundEvent::Lost(loss) => Some(format!("{error} ({loss:?})")),
            _ => None,
        });
        return Err(failed(lost.unwrap_or_else(|| error.to_string())));
    }
    Ok(station)
}

/// What the microphone hears of a step's tone. That the tone arrived whole is seen in that.
fn by_microphone(
    sheet: &CouplerSheet,
    step: &Step,
    microphone: &Microphone,
) -> Result<Heard, ErrandError> {
    let record = microphone.record();
    let mut input = open_input(record.device.as_deref(), record.rate_hz)?;
    let mut station = play(sheet, step)?;
    let samples = hear(input.as_mut(), LISTEN_S)?;
    station.stop();
    hear_step(step, microphone, &samples)
}
