//! Recordings that a clinic supplies, and the examiner's own ear before the first sound.

use super::args::{ListenArgs, RecordingArgs, RecordingEars};
use super::{Done, say, say_json};
use crate::calibration::EarphoneProfile;
use crate::errand::{
    self, ErrandError, Listening, RecordingReport, RecordingWish, earphone_in, play_through,
};
use crate::journal::Listened;
use crate::quantity::{Db, Ear};
use crate::station::{Arrival, SoundStation};
use serde::Serialize;
use std::io::{BufRead, Write};
use std::process::ExitCode;

/// Frames a second where the profile asks for no other rate.
const USUAL_RATE_HZ: u32 = 48_000;

/// Instructions on an earphone that nobody measured: so much over what the examiner just heard.
const PLAINLY: Db = Db(40.0);

#[derive(Serialize)]
struct Said<'a> {
    #[serde(flatten)]
    report: &'a RecordingReport,
    #[serde(skip_serializing_if = "Option::is_none")]
    listened: Option<&'a Listened>,
    #[serde(skip_serializing_if = "Option::is_none")]
    whole: Option<bool>,
}

pub(super) fn recording(args: &RecordingArgs) -> Done {
    let earphone = args.earphone.as_deref().map(earphone_in).transpose()?;
    let mut station = match &args.sound {
        Some(device) => Some(output(device, args.rate, earphone.as_ref())?),
        None => None,
    };
    let mut level_db = args.level;
    let mut listened = None;
    if let (Some(station), Some(earphone)) = (&mut station, &earphone)
        && Listening::needed(earphone)
    {
        let listening = rise(station.as_mut(), earphone)?;
        level_db = level_db.or(listening.plainly(PLAINLY).map(|level| level.0));
        listened = listening.done();
    }
    let rate_hz = station.as_ref().map(|station| station.frames_per_second());
    let wish = RecordingWish {
        path: args.file.clone(),
        earphone: args.earphone.clone(),
        ears: match args.ear {
            RecordingEars::Right => vec![Ear::Right],
            RecordingEars::Left => vec![Ear::Left],
            RecordingEars::Both => Ear::BOTH.to_vec(),
        },
        level_db,
        rate_hz: rate_hz.or(args.rate).unwrap_or(USUAL_RATE_HZ),
        words: args.words,
    };
    let (report, ready) = errand::recording(&wish)?;
    if let Some(out) = &args.out {
        errand::write_ready(&ready, out)?;
    }
    let mut whole = None;
    if let Some(station) = &mut station {
        let seconds = report.seconds;
        let arrival = play_through(station.as_mut(), ready.sounding, &mut |done_s| {
            let _ = write!(std::io::stderr(), "\r{done_s:.0} of {seconds:.0} s");
        })?;
        let _ = writeln!(std::io::stderr());
        whole = Some(arrival == Arrival::Whole);
    }
    if args.json {
        say_json(&Said {
            report: &report,
            listened: listened.as_ref(),
            whole,
        })?;
    } else {
        say(&told(&report, whole))?;
    }
    Ok(ExitCode::from(u8::from(whole == Some(false))))
}

fn told(report: &RecordingReport, whole: Option<bool>) -> String {
    let at = |sound: &crate::journal::PlayedSound| {
        let unit = sound.level.scale().unit();
        format!("{} ear {:.1} {unit}", sound.ear, sound.level.db())
    };
    let sounds: Vec<String> = report.sounds.iter().map(at).collect();
    let arrived = match whole {
        None => "",
        Some(true) => "; played whole",
        Some(false) => "; NOT played whole",
    };
    format!(
        "{:.1} s, {} channel(s) at {} Hz, brought to {} Hz; its loudest eighth of a second: {} (as a tone \
         at 1000 Hz of the same power){arrived}; set-up '{}'; digest {}",
        report.seconds,
        report.channels,
        report.file_rate_hz,
        report.rate_hz,
        sounds.join(", "),
        report.setup,
        report.digest
    )
}

pub(super) fn listen(args: &ListenArgs) -> Done {
    let earphone = match &args.earphone {
        Some(path) => earphone_in(path)?,
        None => EarphoneProfile::uncalibrated(),
    };
    if !Listening::needed(&earphone) {
        let what = "--earphone: expected one of kind \"uncalibrated\"; of this one it is known how loud it is";
        return Err(ErrandError::BadInput(what.into()));
    }
    let mut station = output(&args.sound, None, Some(&earphone))?;
    let listened = rise(station.as_mut(), &earphone)?.done();
    if args.json {
        say_json(&listened)?;
    } else if let Some(listened) = listened {
        for rise in listened.rises {
            let heard = format!(
                "{} ear: heard at {:.0} dB re full scale",
                rise.ear,
                rise.level.db()
            );
            say(&heard)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// The examiner's hand is on Enter: every press is a step louder.
fn rise(
    station: &mut dyn SoundStation,
    earphone: &EarphoneProfile,
) -> Result<Listening, ErrandError> {
    let mut listening = Listening::new(earphone.clone());
    let mut lines = std::io::stdin().lock().lines();
    let stopped =
        || ErrandError::BadInput("expected 'h' for each ear: nobody has listened yet".into());
    while let Some(ear) = listening.ear() {
        let at = listening.sounded().map_or_else(
            || "nothing has sounded".to_owned(),
            |level| format!("{:.0} dB re full scale", level.0),
        );
        let _ = writeln!(
            std::io::stderr(),
            "Put the earphone on your own head. {ear} ear, {at}. Enter: louder; h: I hear it; q: stop"
        );
        match lines
            .next()
            .transpose()
            .ok()
            .flatten()
            .ok_or_else(stopped)?
            .trim()
        {
            "" => {
                let tone = listening.louder(station.frames_per_second());
                let tone = tone.map_err(|error| ErrandError::Failed(error.to_string()))?;
                play_through(station, tone, &mut |_| {})?;
            }
            "h" => {
                if let Err(error) = listening.heard() {
                    let _ = writeln!(std::io::stderr(), "{error}");
                }
            }
            _ => return Err(stopped()),
        }
    }
    Ok(listening)
}

/// The output on which people hear, at the profile's rate and depth.
fn output(
    device: &str,
    rate_hz: Option<u32>,
    earphone: Option<&EarphoneProfile>,
) -> Result<Box<dyn SoundStation>, ErrandError> {
    let bad = |what: String| ErrandError::BadInput(format!("--earphone: {what}"));
    let earphone = earphone.ok_or_else(|| bad("expected a profile: people hear it".into()))?;
    if earphone.is_simulated() {
        return Err(bad(
            "expected one that is not simulated: people hear it".into()
        ));
    }
    let needs = earphone.record().output.as_ref();
    if let Some(wanted) = needs.and_then(|output| output.device.as_deref())
        && wanted != device
    {
        return Err(bad(format!("this profile holds on '{wanted}' only")));
    }
    let rate_hz = needs
        .map(|output| output.rate_hz)
        .or(rate_hz)
        .unwrap_or(USUAL_RATE_HZ);
    let mut station = opened(device, rate_hz)?;
    if let Some(bits) = earphone.depth_bits() {
        station
            .set_depth(bits)
            .map_err(|error| bad(error.to_string()))?;
    }
    Ok(station)
}

#[cfg(feature = "sound")]
fn opened(device: &str, rate_hz: u32) -> Result<Box<dyn SoundStation>, ErrandError> {
    let output = crate::station::output::Output::open(Some(device), rate_hz);
    let output = output.map_err(|error| ErrandError::Failed(error.to_string()))?;
    Ok(Box::new(output))
}

#[cfg(not(feature = "sound"))]
fn opened(_: &str, _: u32) -> Result<Box<dyn SoundStation>, ErrandError> {
    Err(ErrandError::BadInput(
        "--sound: this build has no sound output".into(),
    ))
}
