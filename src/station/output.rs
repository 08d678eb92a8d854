//! The sound output of this machine.
//!
//! The rate is insisted on: a converted rate would change levels at the upper frequencies. What
//! a sound server behind the device does to the samples cannot be seen from here; a loop-back
//! or coupler measurement is part of a calibration.

use super::engine::{Alarm, Engine, EngineHandle, engine};
use super::{Loss, OutputFacts, PlayError, SoundEvent, SoundStation, TooShallow};
use crate::stimulus::sound::Rendered;
use assert_no_alloc::assert_no_alloc;
use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{
    BufferSize, Device, ErrorKind, I24, OutputCallbackInfo, SampleFormat, SizedSample, Stream,
    StreamConfig, SupportedBufferSize, SupportedStreamConfigRange,
};
use std::time::{Duration, Instant};
use thiserror::Error;

/// Frames a buffer, where the device lets us choose: 21 ms at 48 kHz. Short enough for a stop,
/// long enough for a busy laptop.
const BUFFER_FRAMES: u32 = 1024;

/// Frames a second that are looked for when devices are listed.
const USUAL_RATES: [u32; 2] = [48_000, 44_100];

/// A device that has asked for nothing for so long is lost.
const STALLED_AFTER: Duration = Duration::from_secs(2);

/// A device that meanwhile reports [`STORM`] faults is lost sooner. Not at once: while a sound
/// server is busy, an output can report hundreds in a millisecond and then play on.
const FAILING_AFTER: Duration = Duration::from_millis(500);

/// A removed device can report 50 000 faults a second without saying that it is gone.
const STORM: u32 = 100;

/// Sample formats that we write, best first. The engine has rounded with dither to what the device
/// takes, or to what its profile says is kept of it, so that handing over is exact.
const FORMATS: [SampleFormat; 4] = [
    SampleFormat::F32,
    SampleFormat::I32,
    SampleFormat::I24,
    SampleFormat::I16,
];

/// Entries of ALSA's list that are converters or sinks, not outputs.
const NO_OUTPUTS: [&str; 9] = [
    "null",
    "samplerate",
    "lavrate",
    "speexrate",
    "speex",
    "upmix",
    "vdownmix",
    "oss",
    "jack",
];

/// Why an output cannot be opened. `device` is the name asked for, or `default output`.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum OutputError {
    /// There is none, or none of this name.
    #[error("sound: no device: {device}; without one, sounds go to files only (verb tone)")]
    NoDevice {
        /// Which.
        device: String,
    },
    /// Another program holds it.
    #[error("sound: {device} is in use by another program")]
    Busy {
        /// Which.
        device: String,
    },
    /// It does not play two channels at this rate in a format that keeps the level.
    #[error(
        "sound: {device} does not play {frames_per_second} frames a second, two channels, as \
         32-bit float or 32, 24 or 16-bit integer"
    )]
    Unsupported {
        /// Which.
        device: String,
        /// The rate asked for.
        frames_per_second: u32,
    },
    /// There is no such input.
    #[error("sound input: no device: {device}; without one, give a recording as a WAV file")]
    NoInput {
        /// Which.
        device: String,
    },
    /// It does not record at this rate in a format that keeps the level.
    #[error(
        "sound input: {device} does not record {frames_per_second} frames a second as 32-bit float \
         or 32, 24 or 16-bit integer"
    )]
    UnsupportedInput {
        /// Which.
        device: String,
        /// The rate asked for.
        frames_per_second: u32,
    },
    /// The operating system's own reason.
    #[error("sound: {device}: {reason}")]
    Failed {
        /// Which.
        device: String,
        /// As the system words it.
        reason: String,
    },
}

/// An output that can be opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutputDevice {
    /// What tells it from the others, for [`Output::open`] and for profiles.
    pub id: String,
    /// What the system calls it; two may be alike.
    pub name: String,
    /// Which of 48 000 and 44 100 frames a second it plays.
    pub frames_per_second: Vec<u32>,
}

/// The outputs of this machine that play two channels at a usual rate.
///
/// # Errors
/// The sound system cannot be reached.
pub fn outputs() -> Result<Vec<OutputDevice>, OutputError> {
    let devices = cpal::default_host()
        .devices()
        .map_err(|error| opening_error(&error, "outputs", BUFFER_FRAMES))?;
    Ok(devices.filter_map(|device| described(&device)).collect())
}

fn described(device: &Device) -> Option<OutputDevice> {
    let id = device.id().ok()?;
    if NO_OUTPUTS.contains(&id.id()) {
        return None;
    }
    let configs: Vec<_> = device.supported_output_configs().ok()?.collect();
    let plays = |rate: &u32| best_config(&configs, *rate).is_some();
    let frames_per_second: Vec<u32> = USUAL_RATES.into_iter().filter(plays).collect();
    let name = device
        .description()
        .map_or_else(|_| id.to_string(), |d| d.name().to_owned());
    let usable = !frames_per_second.is_empty();
    usable.then(|| OutputDevice {
        id: id.to_string(),
        name,
        frames_per_second,
    })
}

/// The first of [`FORMATS`] that the device offers in two channels at `rate`.
fn best_config(
    configs: &[SupportedStreamConfigRange],
    rate: u32,
) -> Option<&SupportedStreamConfigRange> {
    let fits = |config: &&SupportedStreamConfigRange| {
        config.channels() == 2
            && (config.min_sample_rate()..=config.max_sample_rate()).contains(&rate)
    };
    FORMATS.into_iter().find_map(|format| {
        configs
            .iter()
            .filter(fits)
            .find(|config| config.sample_format() == format)
    })
}

/// An open output; dropping it closes the device.
pub struct Output {
    _stream: Stream,
    handle: EngineHandle,
    alarm: Alarm,
    facts: OutputFacts,
    bits: usize,
    /// The frames rendered and the time when they last moved on.
    progress: (u64, Instant),
}

impl Output {
    /// Opens the output whose id or name is `device`, or the system's default, at exactly
    /// `frames_per_second`.
    ///
    /// # Errors
    /// See [`OutputError`].
    pub fn open(device: Option<&str>, frames_per_second: u32) -> Result<Output, OutputError> {
        let asked = device.unwrap_or("default output");
        let failed = |error: cpal::Error| opening_error(&error, asked, frames_per_second);
        let no_device = || OutputError::NoDevice {
            device: asked.to_owned(),
        };
        let host = cpal::default_host();
        let found = match device {
            None => host.default_output_device(),
            Some(wanted) => host
                .devices()
                .map_err(failed)?
                .find(|device| is(device, wanted)),
        };
        let device = found.ok_or_else(no_device)?;
        let configs: Vec<_> = device.supported_output_configs().map_err(failed)?.collect();
        let config =
            best_config(&configs, frames_per_second).ok_or_else(|| OutputError::Unsupported {
                device: asked.to_owned(),
                frames_per_second,
            })?;
        start(&device, config, frames_per_second).map_err(failed)
    }

    /// Bits of a sample as handed over: 16, 24, or 32 (integer or float). With 16 the device
    /// adds noise of its own, too loud for soft tones on sensitive earphones.
    #[must_use]
    pub fn bits(&self) -> usize {
        self.bits
    }

    /// Faults that the device has reported since it was opened.
    #[must_use]
    pub fn faults(&self) -> u64 {
        self.handle.faults()
    }
}

impl SoundStation for Output {
    fn frames_per_second(&self) -> u32 {
        self.handle.frames_per_second()
    }

    fn play(&mut self, id: u32, slot: Rendered) -> Result<(), PlayError> {
        self.handle.play(id, slot)
    }

    fn stop(&mut self) {
        self.handle.stop();
    }

    fn set_ceiling(&mut self, ceiling: [f32; 2]) {
        self.handle.set_ceiling(ceiling);
    }

    fn set_depth(&mut self, bits: u32) -> Result<(), TooShallow> {
        self.handle.set_depth(bits)
    }

    fn facts(&self) -> Option<OutputFacts> {
        Some(self.facts.clone())
    }

    fn poll(&mut self) -> Option<SoundEvent> {
        let (frames, since) = self.progress;
        if self.handle.frames() != frames {
            self.progress = (self.handle.frames(), Instant::now());
        } else if let Some(loss) = silence_means(since.elapsed(), self.handle.faults_since_buffer())
        {
            self.alarm.lost(loss);
        }
        self.handle.poll()
    }
}

/// What it means that a device has asked for nothing since `silent` and reported `faults` since.
fn silence_means(silent: Duration, faults: u32) -> Option<Loss> {
    if silent > FAILING_AFTER && faults >= STORM {
        Some(Loss::Failing)
    } else {
        (silent > STALLED_AFTER).then_some(Loss::Stalled)
    }
}

pub(super) fn is(device: &Device, wanted: &str) -> bool {
    device.id().is_ok_and(|id| id.to_string() == wanted)
        || device
            .description()
            .is_ok_and(|description| description.name() == wanted)
}

pub(super) fn opening_error(
    error: &cpal::Error,
    device: &str,
    frames_per_second: u32,
) -> OutputError {
    let device = device.to_owned();
    match error.kind() {
        ErrorKind::DeviceNotAvailable | ErrorKind::HostUnavailable => {
            OutputError::NoDevice { device }
        }
        ErrorKind::DeviceBusy => OutputError::Busy { device },
        ErrorKind::UnsupportedConfig => OutputError::Unsupported {
            device,
            frames_per_second,
        },
        _ => OutputError::Failed {
            device,
            reason: error.to_string(),
        },
    }
}

/// Opens with buffers of our own length, or, if that is refused, of the device's.
fn start(
    device: &Device,
    config: &SupportedStreamConfigRange,
    frames_per_second: u32,
) -> Result<Output, cpal::Error> {
    let frames = match *config.buffer_size() {
        SupportedBufferSize::Range { min, max } if min <= max => BUFFER_FRAMES.clamp(min, max),
        _ => BUFFER_FRAMES,
    };
    let format = config.sample_format();
    let build_with = |buffer_size| {
        let config = StreamConfig {
            channels: 2,
            sample_rate: frames_per_second,
            buffer_size,
        };
        build(device, config, format)
    };
    match build_with(BufferSize::Fixed(frames)) {
        Err(error) if error.kind() == ErrorKind::UnsupportedConfig => {
            build_with(BufferSize::Default)
        }
        result => result,
    }
}

fn build(
    device: &Device,
    config: StreamConfig,
    format: SampleFormat,
) -> Result<Output, cpal::Error> {
    let bits = format.bits_per_sample();
    let (engine, mut handle) = engine(config.sample_rate, bits);
    let alarm = handle.alarm();
    let errors = handle.alarm();
    // Where the depth is 24 bits or less the sample stands on a step already.
    let steps = f64::from(1_u32 << (bits.min(32) - 1));
    let whole = move |sample: f32| (f64::from(sample) * steps).round();
    let stream = match format {
        SampleFormat::F32 => stream(device, config, engine, errors, |sample| sample),
        SampleFormat::I32 => stream(device, config, engine, errors, move |x| whole(x) as i32),
        SampleFormat::I24 => stream(device, config, engine, errors, move |x| {
            I24::new(whole(x) as i32).unwrap_or_default()
        }),
        _ => stream(device, config, engine, errors, move |x| whole(x) as i16),
    }?;
    let buffer_frames = stream.buffer_size().unwrap_or(BUFFER_FRAMES);
    // The device holds up to two buffers when it asks for the next.
    handle.set_drain(2 * buffer_frames);
    stream.play()?;
    let facts = OutputFacts {
        device: device
            .id()
            .map_or_else(|_| String::new(), |id| id.to_string()),
        frames_per_second: config.sample_rate,
        format: match format {
            SampleFormat::F32 => "32-bit float",
            SampleFormat::I32 => "32-bit integer",
            SampleFormat::I24 => "24-bit integer",
            _ => "16-bit integer",
        },
        buffer_frames,
    };
    Ok(Output {
        _stream: stream,
        handle,
        alarm,
        facts,
        bits: bits as usize,
        progress: (0, Instant::now()),
    })
}

/// The stream that pulls `engine` and turns its samples into the device's by `convert`.
fn stream<T: SizedSample + Send + 'static>(
    device: &Device,
    config: StreamConfig,
    mut engine: Engine,
    alarm: Alarm,
    mut convert: impl FnMut(f32) -> T + Send + 'static,
) -> Result<Stream, cpal::Error> {
    let mut rendered = vec![0.0; 2 * BUFFER_FRAMES as usize].into_boxed_slice();
    let rate = f64::from(config.sample_rate);
    let fill = move |out: &mut [T], info: &OutputCallbackInfo| {
        let timestamp = info.timestamp();
        let latency = timestamp
            .playback
            .saturating_duration_since(timestamp.callback);
        let mut due = Instant::now() + latency;
        for chunk in out.chunks_mut(rendered.len()) {
            let rendered = &mut rendered[..chunk.len()];
            // In a debug build an allocation in here ends the program: the binary and the tests
            // of sound have the allocator that watches.
            assert_no_alloc(|| {
                engine.render(rendered, due);
                for (out, &sample) in chunk.iter_mut().zip(&*rendered) {
                    *out = convert(sample);
                }
            });
            due += Duration::from_secs_f64(chunk.len() as f64 / 2.0 / rate);
        }
    };
    let on_error = move |error: cpal::Error| raise(&alarm, error.kind());
    device.build_output_stream(config, fill, on_error, None)
}

/// What an error of a running stream means. May be called 50 000 times a second: it only counts.
fn raise(alarm: &Alarm, kind: ErrorKind) {
    match kind {
        ErrorKind::RealtimeDenied => {}
        ErrorKind::Xrun => alarm.ran_dry(),
        ErrorKind::BackendError => alarm.fault(),
        // A stream led to another device, or given another format, has left its calibration.
        ErrorKind::DeviceChanged | ErrorKind::StreamInvalidated => alarm.lost(Loss::Changed),
        _ => alarm.lost(Loss::Gone),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Why an output is not opened: each reason is a kind of its own and one line that names it.
    #[test]
    fn what_cannot_be_opened_says_why() {
        let opened = |kind| opening_error(&cpal::Error::new(kind), "hw:9", 96_000);
        let device = || "hw:9".to_owned();
        assert_eq!(
            opened(ErrorKind::DeviceBusy),
            OutputError::Busy { device: device() }
        );
        assert_eq!(
            opened(ErrorKind::DeviceNotAvailable),
            OutputError::NoDevice { device: device() }
        );
        let unsupported = OutputError::Unsupported {
            device: device(),
            frames_per_second: 96_000,
        };
        assert_eq!(opened(ErrorKind::UnsupportedConfig), unsupported);
        assert!(matches!(
            opened(ErrorKind::BackendError),
            OutputError::Failed { .. }
        ));
        for kind in [
            ErrorKind::DeviceBusy,
            ErrorKind::DeviceNotAvailable,
            ErrorKind::UnsupportedConfig,
            ErrorKind::BackendError,
        ] {
            let said = opened(kind).to_string();
            assert!(said.contains("hw:9") && !said.contains('\n'), "{said}");
        }
    }

    /// What happens to a stream that plays: a fault spoils a slot, a lost device ends it, and one that
    /// is led elsewhere has left its profile, whatever comes after.
    #[test]
    fn each_error_of_a_stream_has_its_own_consequence() {
        let told = |kinds: &[ErrorKind]| {
            let (_engine, mut handle) = engine(48_000, 32);
            let alarm = handle.alarm();
            for kind in kinds {
                raise(&alarm, *kind);
            }
            (handle.faults(), handle.poll())
        };
        let lost = |loss| Some(SoundEvent::Lost(loss));
        assert_eq!(told(&[ErrorKind::RealtimeDenied]), (0, None));
        assert_eq!(told(&[ErrorKind::Xrun]), (1, None));
        assert_eq!(told(&[ErrorKind::BackendError; 3]), (3, None));
        assert_eq!(told(&[ErrorKind::BackendError; 1000]), (1000, None));
        assert_eq!(told(&[ErrorKind::DeviceNotAvailable]).1, lost(Loss::Gone));
        for kind in [ErrorKind::DeviceChanged, ErrorKind::StreamInvalidated] {
            assert_eq!(
                told(&[kind, ErrorKind::DeviceNotAvailable]).1,
                lost(Loss::Changed)
            );
        }
    }

    /// A burst of faults is survived; one that lasts, and silence without any, are losses of
    /// their own.
    #[test]
    fn a_storm_is_a_loss_only_if_it_lasts() {
        let after = |ms, faults| silence_means(Duration::from_millis(ms), faults);
        assert_eq!(after(3, 10_000), None);
        assert_eq!(after(600, 10_000), Some(Loss::Failing));
        assert_eq!(after(600, 3), None);
        assert_eq!(after(2100, 3), Some(Loss::Stalled));
        assert_eq!(after(2100, 10_000), Some(Loss::Failing));
    }
}
