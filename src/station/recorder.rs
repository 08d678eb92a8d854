//! What a microphone hears: one channel, sample by sample.

use hound::{SampleFormat, WavReader};
use std::path::Path;
use thiserror::Error;

/// Why a recording is not whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum RecordError {
    /// The program was too slow, or the device faltered: something is missing in the middle.
    #[error("sound input: samples were lost; record again")]
    Missed,
    /// The device records no more, or the file has ended.
    #[error("sound input: it has ended")]
    Ended,
}

/// Something that records.
pub trait Recorder {
    /// Frames a second.
    fn frames_per_second(&self) -> u32;

    /// Moves what was recorded since the last time to the end of `into`; 1 is full scale. Never
    /// waits.
    ///
    /// # Errors
    /// See [`RecordError`]; what was moved before stays.
    fn take(&mut self, into: &mut Vec<f32>) -> Result<(), RecordError>;
}

/// A recorder that plays back what it was given, in portions: from a file, or made for a test.
pub struct Given {
    samples: Vec<f32>,
    at: usize,
    portion: usize,
    frames_per_second: u32,
    misses_at: Option<usize>,
}

impl Given {
    /// Gives these samples, `portion` (at least 1) at a time.
    #[must_use]
    pub fn new(samples: Vec<f32>, frames_per_second: u32, portion: usize) -> Given {
        Given {
            samples,
            at: 0,
            portion: portion.max(1),
            frames_per_second,
            misses_at: None,
        }
    }

    /// The same, but samples are lost once so many were given.
    #[must_use]
    pub fn missing_at(mut self, frame: usize) -> Given {
        self.misses_at = Some(frame);
        self
    }

    /// The first channel of a WAV file.
    ///
    /// # Errors
    /// One line that names the file.
    pub fn of_wav(path: &Path) -> Result<Given, String> {
        let named = |what: String| format!("{}: {what}", path.display());
        let mut file = WavReader::open(path)
            .map_err(|error| named(format!("expected a WAV file: {error}")))?;
        let spec = file.spec();
        let channels = usize::from(spec.channels.max(1));
        let whole: Result<Vec<f32>, hound::Error> = match spec.sample_format {
            SampleFormat::Float => file.samples::<f32>().step_by(channels).collect(),
            SampleFormat::Int => {
                let full = f64::from(1_u32 << (spec.bits_per_sample.clamp(1, 32) - 1));
                let samples = file.samples::<i32>().step_by(channels);
                samples
                    .map(|sample| sample.map(|sample| (f64::from(sample) / full) as f32))
                    .collect()
            }
        };
        let samples = whole.map_err(|error| named(error.to_string()))?;
        let portion = spec.sample_rate as usize;
        Ok(Given::new(samples, spec.sample_rate, portion))
    }
}

impl Recorder for Given {
    fn frames_per_second(&self) -> u32 {
        self.frames_per_second
    }

    fn take(&mut self, into: &mut Vec<f32>) -> Result<(), RecordError> {
        let end = (self.at + self.portion).min(self.samples.len());
        if end == self.at {
            return Err(RecordError::Ended);
        }
        into.extend_from_slice(&self.samples[self.at..end]);
        let from = std::mem::replace(&mut self.at, end);
        match self.misses_at {
            Some(frame) if (from..end).contains(&frame) => Err(RecordError::Missed),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gives_in_portions_and_ends() {
        let mut given = Given::new(vec![0.5; 5], 48_000, 2);
        let mut into = Vec::new();
        for expected in [2, 4, 5] {
            given.take(&mut into).unwrap();
            assert_eq!(into.len(), expected);
        }
        assert_eq!(given.take(&mut into), Err(RecordError::Ended));
        let mut lossy = Given::new(vec![0.5; 5], 48_000, 2).missing_at(3);
        assert_eq!(lossy.take(&mut into), Ok(()));
        assert_eq!(lossy.take(&mut into), Err(RecordError::Missed));
    }

    /// Half of full scale is half of full scale, whatever the depth (RIFF WAVE: integers are signed
    /// from 16 bits on), and the first channel is taken.
    #[test]
    fn a_file_of_any_depth_gives_the_same_samples() {
        for (bits, sample_format) in [
            (16, SampleFormat::Int),
            (24, SampleFormat::Int),
            (32, SampleFormat::Int),
            (32, SampleFormat::Float),
        ] {
            let name = format!(
                "veridical-given-{}-{bits}{sample_format:?}",
                std::process::id()
            );
            let path = std::env::temp_dir().join(name);
            let spec = hound::WavSpec {
                channels: 2,
                sample_rate: 44_100,
                bits_per_sample: bits,
                sample_format,
            };
            let mut file = hound::WavWriter::create(&path, spec).unwrap();
            for _ in 0..3 {
                match sample_format {
                    SampleFormat::Int => {
                        file.write_sample(1_i32 << (bits - 2)).unwrap();
                        file.write_sample(0_i32).unwrap();
                    }
                    SampleFormat::Float => {
                        file.write_sample(0.5_f32).unwrap();
                        file.write_sample(0.0_f32).unwrap();
                    }
                }
            }
            file.finalize().unwrap();
            let mut given = Given::of_wav(&path).unwrap();
            std::fs::remove_file(&path).unwrap();
            let mut into = Vec::new();
            given.take(&mut into).unwrap();
            assert_eq!(
                (given.frames_per_second(), &into[..]),
                (44_100, &[0.5; 3][..])
            );
        }
        let error = Given::of_wav(Path::new("no/such.wav")).err().unwrap();
        assert!(
            error.starts_with("no/such.wav: expected a WAV file"),
            "{error}"
        );
    }
}
