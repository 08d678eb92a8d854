//! What sounds: a tone, a clinic's recording, and before either the examiner's own ear.

use super::args::{EarArg, KindArg, ListenArgs, RecordingArgs, RecordingEars, ToneArgs};
use super::{Done, say, say_json, tell};
use crate::calibration::EarphoneProfile;
use crate::errand::{
    self, ErrandError, Listening, RecordingReport, RecordingWish, Sounding, ToneReport, ToneWish,
    earphone_for_files, earphone_in, play_through,
};
use crate::journal::Listened;
use crate::quantity::{Db, Ear, Hz};
use crate::station::{Arrival, SoundStation, wav};
use crate::stimulus::{Signal, Swing};
use serde::Serialize;
use std::io::{BufRead, Write};
use std::path::Path;
use std::process::ExitCode;

/// Frames a second where the profile asks for no other rate.
const USUAL_RATE_HZ: u32 = 48_000;

/// Instructions on an earphone that nobody measured: so much over what the examiner just heard.
const PLAINLY: Db = Db(40.0);

/// What was made ready, and what became of it.
#[derive(Serialize)]
struct Said<'a, Report> {
    #[serde(flatten)]
    report: &'a Report,
    #[serde(skip_serializing_if = "Option::is_none")]
    listened: Option<&'a Listened>,
    #[serde(skip_serializing_if = "Option::is_none")]
    whole: Option<bool>,
}

fn signal(kind: KindArg, swing: Swing) -> Signal {
    match kind {
        KindArg::Steady => Signal::Steady,
        KindArg::Pulsed => Signal::Pulsed,
        KindArg::Warble if swing == Swing::USUAL => Signal::Warble,
        KindArg::Warble => Signal::WarbleBy(swing),
        KindArg::Narrow => Signal::NarrowBandNoise,
        KindArg::White => Signal::WhiteNoise,
        KindArg::Speech => Signal::SpeechNoise,
    }
}

pub(super) fn tone(args: &ToneArgs) -> Done {
    let swing = Swing {
        rate_hz: args.warble_rate,
        deviation_percent: args.warble_percent,
    };
    let mask_kind = signal(args.mask_kind, swing);
    if mask_kind.is_tone() {
        let what = "--mask-kind: expected narrow, white or speech; a tone masks nothing";
        return Err(ErrandError::BadInput(what.into()));
    }
    let earphone = earphone_for_files(args.earphone.as_deref())?;
    let mut station = match &args.sound {
        Some(device) => {
            let worn = args.earphone.is_some().then_some(&earphone);
            Some(output(device, args.rate, worn)?)
        }
        None => None,
    };
    let rate_hz = station.as_ref().map(|station| station.frames_per_second());
    let wish = ToneWish {
        ear: match args.ear {
            EarArg::Right => Ear::Right,
            EarArg::Left => Ear::Left,
        },
        hz: Hz(args.hz),
        level_db: args.level,
        kind: signal(args.kind, swing),
        seconds: args.seconds,
        rate_hz: rate_hz.or(args.rate),
        other_ear_level_db: args.other_ear_level,
        mask_level_db: args.mask_level,
        mask_kind,
    };
    let (report, sounding) = errand::tone(&wish, &earphone)?;
    if report.loud && station.is_some() {
        let most = earphone.loud_db(wish.ear, wish.hz).unwrap_or_default();
        let what = format!(
            "--level: expected at most {most} {}: louder sounds come in a visit only, where the examiner \
             confirms them",
            earphone.scale().unit()
        );
        return Err(ErrandError::BadInput(what));
    }
    if let Some(out) = &args.out {
        wav::write(out, &sounding.slot).map_err(|error| ErrandError::Failed(error.to_string()))?;
    }
    let (listened, whole) = match &mut station {
        Some(station) => {
            let listened = Listening::needed(&earphone)
                .then(|| rise(station.as_mut(), &earphone))
                .transpose()?
                .and_then(|listening| listening.done());
            (
                listened,
                Some(through(station.as_mut(), sounding, args.seconds)?),
            )
        }
        None => (None, None),
    };
    if args.json {
        say_json(&Said {
            report: &report,
            listened: listened.as_ref(),
            whole,
        })?;
    } else {
        say(&tone_told(&report, args.out.as_deref(), whole))?;
    }
    Ok(ExitCode::from(u8::from(whole == Some(false))))
}

fn tone_told(report: &ToneReport, out: Option<&Path>, whole: Option<bool>) -> String {
    let told = tell::tone(report);
    let file = out.map_or_else(String::new, |out| format!("{}: ", out.display()));
    format!("{file}{told}{}", arrived(whole))
}

fn arrived(whole: Option<bool>) -> &'static str {
    match whole {
        None => "",
        Some(true) => "; played whole",
        Some(false) => "; NOT played whole",
    }
}

/// Plays to the end, and tells on standard error how far it is; whether it arrived whole.
fn through(
    station: &mut dyn SoundStation,
    sounding: Sounding,
    seconds: f64,
) -> Result<bool, ErrandError> {
    let arrival = play_through(station, sounding, &mut |done_s| {
        let _ = write!(std::io::stderr(), "\r{done_s:.0} of {seconds:.0} s");
    })?;
    let _ = writeln!(std::io::stderr());
    Ok(arrival == Arrival::Whole)
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
        whole = Some(through(station.as_mut(), ready.sounding, report.seconds)?);
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
    let arrived = arrived(whole);
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
