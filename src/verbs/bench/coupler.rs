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
    TONE_S, begin_sheet, enter_reading, hear_step, profile_of_sheet, sheet_in, take_reading_back,
    tone_of_step,
};
use crate::quantity::{Db, DbFs, DbSpl};
use crate::standard::{Coupler, EarphoneClass};
use crate::station::route::route_to;
use crate::station::{SoundStation, wav};
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
    Typed(Box<dyn SoundStation>),
    Heard(Box<dyn SoundStation>, Box<Microphone>),
}

fn read(args: &SheetReadArgs) -> Done {
    let mut sheet = sheet_in(&args.sheet)?;
    let open = |sheet: &CouplerSheet| -> Result<Box<dyn SoundStation>, ErrandError> {
        let output = &sheet.output;
        let mut station = open_output(output.device.as_deref(), output.rate_hz)?;
        station
            .set_depth(output.bits.unwrap_or(16))
            .map_err(|error| ErrandError::Failed(error.to_string()))?;
        Ok(station)
    };
    let mut bench = match (&args.to_files, &args.microphone) {
        (Some(folder), _) => {
            std::fs::create_dir_all(folder).map_err(|error| ErrandError::failed(folder, error))?;
            Bench::Files(folder.clone())
        }
        (None, Some(path)) => Bench::Heard(open(&sheet)?, Box::new(microphone_in(path)?)),
        (None, None) => Bench::Typed(open(&sheet)?),
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
        let done = match &mut bench {
            Bench::Heard(station, microphone) => {
                if anew {
                    say("then Enter, or stop:")?;
                    if stops(lines.next())? {
                        break;
                    }
                }
                by_microphone(&mut sheet, &args.sheet, &step, station.as_mut(), microphone)?;
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
            Bench::Typed(station) => {
                tone_of_step(&sheet, &step)?
                    .play(station.as_mut(), 0)
                    .map_err(|error| ErrandError::Failed(error.to_string()))?;
                played(station.as_mut())?;
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

/// Left out before the tone is heard, s: the way to the coupler and its ramp.
const LEAD_S: f64 = 1.0;
/// How long is listened, s.
const LISTEN_S: f64 = TONE_S - 4.0;

fn by_microphone(
    sheet: &mut CouplerSheet,
    path: &Path,
    step: &Step,
    station: &mut dyn SoundStation,
    microphone: &Microphone,
) -> Result<(), ErrandError> {
    let record = microphone.record();
    let mut input = open_input(record.device.as_deref(), record.rate_hz)?;
    tone_of_step(sheet, step)?
        .play(station, 0)
        .map_err(|error| ErrandError::Failed(error.to_string()))?;
    let samples = hear(input.as_mut(), LEAD_S + LISTEN_S)?;
    played(station)?;
    let lead = (LEAD_S * f64::from(record.rate_hz)) as usize;
    let heard = hear_step(step, microphone, &samples[lead.min(samples.len())..])?;
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
    enter_reading(sheet, path, step, heard.db_spl, heard.distortion_percent)
}
