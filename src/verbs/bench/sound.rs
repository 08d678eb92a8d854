//! Devices for the verbs: what plays and what records, or why there is nothing.

use super::super::with_waiting;
use super::args::HeardArgs;
use crate::errand::ErrandError;
use crate::errand::bench::{RecordingProgress, record, recorded};
use crate::station::recorder::{Given, Recorder};
use crate::station::{Arrival, SoundEvent, SoundStation};
use std::sync::atomic::Ordering::Relaxed;
use std::time::Duration;

/// What the file holds, or what the input hears.
pub(super) fn heard(
    args: &HeardArgs,
    own: Option<&str>,
    rate_hz: u32,
) -> Result<Vec<f32>, ErrandError> {
    if let Some(path) = &args.wav {
        let mut given = Given::of_wav(path).map_err(ErrandError::BadInput)?;
        let found = given.frames_per_second();
        if found != rate_hz {
            let what = format!("expected {rate_hz} frames a second, found {found}");
            return Err(ErrandError::BadInput(format!("{}: {what}", path.display())));
        }
        return recorded(&mut given);
    }
    if !(1.0..=120.0).contains(&args.seconds) {
        let what = format!("--seconds: expected 1 to 120, found {}", args.seconds);
        return Err(ErrandError::BadInput(what));
    }
    let mut input = open_input(args.input.as_deref().or(own), rate_hz)?;
    hear(input.as_mut(), args.seconds)
}

/// Records, and tells on standard error how far it is.
pub(super) fn hear(recorder: &mut dyn Recorder, seconds: f64) -> Result<Vec<f32>, ErrandError> {
    let rate_hz = f64::from(recorder.frames_per_second());
    let listening = RecordingProgress::default();
    let told = || {
        let done = f64::from(listening.frames.load(Relaxed)) / rate_hz;
        format!("{done:.0} of {seconds:.0} s recorded")
    };
    with_waiting(told, || record(recorder, seconds, &listening))
}

#[cfg(feature = "sound")]
pub(super) fn open_input(
    device: Option<&str>,
    rate_hz: u32,
) -> Result<Box<dyn Recorder>, ErrandError> {
    crate::station::input::Input::open(device, rate_hz)
        .map(|input| Box::new(input) as Box<dyn Recorder>)
        .map_err(|error| ErrandError::Failed(error.to_string()))
}

#[cfg(not(feature = "sound"))]
pub(super) fn open_input(_: Option<&str>, _: u32) -> Result<Box<dyn Recorder>, ErrandError> {
    let what = "this build has no sound; give a recording by --wav";
    Err(ErrandError::BadInput(what.into()))
}

#[cfg(feature = "sound")]
pub(super) fn open_output(
    device: Option<&str>,
    rate_hz: u32,
) -> Result<Box<dyn SoundStation>, ErrandError> {
    crate::station::output::Output::open(device, rate_hz)
        .map(|output| Box::new(output) as Box<dyn SoundStation>)
        .map_err(|error| ErrandError::Failed(error.to_string()))
}

#[cfg(not(feature = "sound"))]
pub(super) fn open_output(_: Option<&str>, _: u32) -> Result<Box<dyn SoundStation>, ErrandError> {
    let what = "this build has no sound; write the tones by --to-files";
    Err(ErrandError::BadInput(what.into()))
}

/// Waits until a slot is over.
pub(super) fn played(station: &mut dyn SoundStation) -> Result<(), ErrandError> {
    loop {
        match station.poll() {
            Some(SoundEvent::Ended {
                arrival: Arrival::Whole,
                ..
            }) => return Ok(()),
            Some(SoundEvent::Ended { .. }) => {
                let what = "sound: the tone did not arrive whole; play it again";
                return Err(ErrandError::Failed(what.into()));
            }
            Some(SoundEvent::Lost(_)) => {
                return Err(ErrandError::Failed(
                    "sound: the output device is lost".into(),
                ));
            }
            Some(SoundEvent::Began { .. }) => {}
            None => std::thread::sleep(Duration::from_millis(10)),
        }
    }
}
