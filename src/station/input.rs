//! The sound inputs of this machine. Of several channels the first is taken: microphones that
//! measure have one.

use super::output::{OutputError, opening_error};
use super::recorder::{RecordError, Recorder};
use assert_no_alloc::assert_no_alloc;
use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{
    BufferSize, Device, ErrorKind, FromSample, I24, Sample, SampleFormat, SizedSample, Stream,
    StreamConfig, SupportedStreamConfigRange,
};
use rtrb::{Consumer, Producer, RingBuffer};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};

/// How long the program may look away before samples are lost, s.
const HELD_S: usize = 8;

/// Sample formats that we read, best first.
const FORMATS: [SampleFormat; 4] = [
    SampleFormat::F32,
    SampleFormat::I32,
    SampleFormat::I24,
    SampleFormat::I16,
];

/// An input that can be opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputDevice {
    /// What tells it from the others.
    pub id: String,
    /// What the system calls it; two may be alike.
    pub name: String,
}

/// The inputs of this machine.
///
/// # Errors
/// The sound system cannot be reached.
pub fn inputs() -> Result<Vec<InputDevice>, OutputError> {
    let devices = cpal::default_host()
        .devices()
        .map_err(|error| opening_error(&error, "inputs", 0))?;
    let described = |device: Device| {
        let id = device.id().ok()?.to_string();
        let mut configs = device.supported_input_configs().ok()?;
        configs.next()?;
        let name = device
            .description()
            .map_or_else(|_| id.clone(), |one| one.name().to_owned());
        Some(InputDevice { id, name })
    };
    Ok(devices.filter_map(described).collect())
}

/// An open input; dropping it closes the device.
pub struct Input {
    _stream: Stream,
    samples: Consumer<f32>,
    shared: Arc<Shared>,
    missed: u64,
    frames_per_second: u32,
    device: String,
}

struct Shared {
    missed: AtomicU64,
    ended: AtomicBool,
}

impl Input {
    /// Opens the input whose id or name is `device`, or the system's default, at exactly
    /// `frames_per_second`.
    ///
    /// # Errors
    /// See [`OutputError`].
    pub fn open(device: Option<&str>, frames_per_second: u32) -> Result<Input, OutputError> {
        let asked = device.unwrap_or("default input");
        let failed = |error: cpal::Error| opening_error(&error, asked, frames_per_second);
        let host = cpal::default_host();
        let found = match device {
            None => host.default_input_device(),
            Some(wanted) => host
                .devices()
                .map_err(failed)?
                .find(|device| super::output::is(device, wanted)),
        };
        let found = found.ok_or_else(|| OutputError::NoInput {
            device: asked.to_owned(),
        })?;
        let configs: Vec<_> = found.supported_input_configs().map_err(failed)?.collect();
        let fits = |config: &&SupportedStreamConfigRange| {
            (config.min_sample_rate()..=config.max_sample_rate()).contains(&frames_per_second)
        };
        // The fewest channels: what is not a microphone's stays out.
        let best = FORMATS.into_iter().find_map(|format| {
            let of = configs.iter().filter(fits);
            let of = of.filter(|config| config.sample_format() == format);
            of.min_by_key(|config| config.channels())
        });
        let best = best.ok_or_else(|| OutputError::UnsupportedInput {
            device: asked.to_owned(),
            frames_per_second,
        })?;
        start(&found, best, frames_per_second).map_err(failed)
    }

    /// What tells it from the others.
    #[must_use]
    pub fn device(&self) -> &str {
        &self.device
    }
}

impl Recorder for Input {
    fn frames_per_second(&self) -> u32 {
        self.frames_per_second
    }

    fn take(&mut self, into: &mut Vec<f32>) -> Result<(), RecordError> {
        while let Ok(sample) = self.samples.pop() {
            into.push(sample);
        }
        let missed = self.shared.missed.load(Relaxed);
        if std::mem::replace(&mut self.missed, missed) != missed {
            return Err(RecordError::Missed);
        }
        if self.shared.ended.load(Relaxed) {
            return Err(RecordError::Ended);
        }
        Ok(())
    }
}

fn start(
    device: &Device,
    config: &SupportedStreamConfigRange,
    frames_per_second: u32,
) -> Result<Input, cpal::Error> {
    let (producer, samples) = RingBuffer::new(HELD_S * frames_per_second as usize);
    let shared = Arc::new(Shared {
        missed: AtomicU64::new(0),
        ended: AtomicBool::new(false),
    });
    let channels = config.channels();
    let wanted = StreamConfig {
        channels,
        sample_rate: frames_per_second,
        buffer_size: BufferSize::Default,
    };
    let end = (producer, usize::from(channels), Arc::clone(&shared));
    let stream = match config.sample_format() {
        SampleFormat::F32 => stream::<f32>(device, wanted, end),
        SampleFormat::I32 => stream::<i32>(device, wanted, end),
        SampleFormat::I24 => stream::<I24>(device, wanted, end),
        _ => stream::<i16>(device, wanted, end),
    }?;
    stream.play()?;
    Ok(Input {
        _stream: stream,
        samples,
        shared,
        missed: 0,
        frames_per_second,
        device: device
            .id()
            .map_or_else(|_| String::new(), |id| id.to_string()),
    })
}

fn stream<T>(
    device: &Device,
    config: StreamConfig,
    (mut producer, channels, shared): (Producer<f32>, usize, Arc<Shared>),
) -> Result<Stream, cpal::Error>
where
    T: SizedSample + Send + 'static,
    f32: FromSample<T>,
{
    let told = Arc::clone(&shared);
    let take = move |data: &[T], _: &cpal::InputCallbackInfo| {
        assert_no_alloc(|| {
            for frame in data.chunks(channels) {
                let sample = frame
                    .first()
                    .map_or(0.0, |sample| f32::from_sample(*sample));
                if producer.push(sample).is_err() {
                    told.missed.fetch_add(1, Relaxed);
                }
            }
        });
    };
    let on_error = move |error: cpal::Error| match error.kind() {
        ErrorKind::RealtimeDenied => {}
        ErrorKind::Xrun | ErrorKind::BackendError => {
            shared.missed.fetch_add(1, Relaxed);
        }
        _ => shared.ended.store(true, Relaxed),
    };
    device.build_input_stream(config, take, on_error, None)
}
