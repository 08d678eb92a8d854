//! A recording that a clinic supplies: decoded, brought to a device's rate, and measured.
//!
//! Decoding is rodio's (WAV and FLAC), the conversion of the rate is rubato's and happens before
//! anything is played. What a file says of its own length is held against what it gives: a decoder
//! that meets a broken passage just ends.

use super::sound::{LONGEST_SLOT_S, Rendered, Span, channel, ramps};
use crate::quantity::{DbFs, Ear};
use rodio::{Decoder, Source};
use rubato::audioadapter_buffers::owned::InterleavedOwned;
use rubato::{Fft, FixedSync, Resampler};
use sha2::{Digest, Sha256};
use std::io::Cursor;
use thiserror::Error;

/// Rates of a file that are converted, Hz.
const RATES_HZ: (u32, u32) = (8_000, 192_000);

/// The stretch whose power is the level: the time weighting 'fast' of a sound level meter
/// (IEC 61672-1).
const FAST_S: f64 = 0.125;

/// Softer than this a file holds no sound: the noise of 16 bits lies about there.
const SILENT: DbFs = DbFs(-80.0);

/// Silence before and after, s.
const MARGIN_S: f64 = 0.1;

/// Why a file is no recording.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum RecordingError {
    /// It cannot be decoded.
    #[error("expected a WAV or FLAC file, {0}")]
    Undecodable(String),
    /// It ends before it says, or holds a passage that cannot be decoded.
    #[error(
        "expected {expected_s:.2} s of sound as its head says, found {found_s:.2} s: the file is cut off or broken"
    )]
    Broken {
        /// What its head says.
        expected_s: f64,
        /// What could be decoded.
        found_s: f64,
    },
    /// It has more than two channels.
    #[error("expected one or two channels, found {0}")]
    Channels(u16),
    /// Its rate is not one that is converted.
    #[error("expected {low} to {high} frames a second, found {0}", low = RATES_HZ.0, high = RATES_HZ.1)]
    Rate(u32),
    /// It is too long, or has no sound.
    #[error(
        "expected more than {FAST_S} s and at most {LONGEST_SLOT_S} s of sound, found {0:.2} s"
    )]
    Length(f64),
    /// There is nothing to hear in it.
    #[error("expected sound, found nothing above {silent} dB re full scale", silent = SILENT.0)]
    Silent,
    /// A sample is no number.
    #[error("expected numbers, found a sample that is none")]
    NotANumber,
}

/// See the module. Its level is that of its loudest eighth of a second.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// SHA-256 of the file, hexadecimal.
    pub digest: String,
    /// Frames a second of the file.
    pub file_rate_hz: u32,
    /// Channels of the file: what has one goes to both ears.
    pub channels: u16,
    /// Frames a second now.
    pub frames_per_second: u32,
    /// Left and right in turn.
    samples: Vec<f64>,
}

impl Recording {
    /// Decodes a file's bytes and brings them to `frames_per_second`.
    ///
    /// # Errors
    /// What is wrong with the file, in one line without its name.
    pub fn decode(bytes: &[u8], frames_per_second: u32) -> Result<Recording, RecordingError> {
        let (decoded, channels, file_rate_hz) = decoded(bytes)?;
        let seconds = decoded.len() as f64 / 2.0 / f64::from(file_rate_hz);
        if seconds <= FAST_S || seconds + 2.0 * MARGIN_S > LONGEST_SLOT_S {
            return Err(RecordingError::Length(seconds));
        }
        if decoded.iter().any(|sample| !sample.is_finite()) {
            return Err(RecordingError::NotANumber);
        }
        let samples = converted(decoded, file_rate_hz, frames_per_second)?;
        let hex = |byte: &u8| format!("{byte:02x}");
        let recording = Recording {
            digest: Sha256::digest(bytes).iter().map(hex).collect(),
            file_rate_hz,
            channels,
            frames_per_second,
            samples,
        };
        let loudest = |ear| recording.level(ear).0;
        if loudest(Ear::Left).max(loudest(Ear::Right)) < SILENT.0 {
            return Err(RecordingError::Silent);
        }
        Ok(recording)
    }

    /// Its length, s.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.samples.len() as f64 / 2.0 / f64::from(self.frames_per_second)
    }

    /// The level of its loudest eighth of a second at one ear, as that of a sine of the same power.
    #[must_use]
    pub fn level(&self, ear: Ear) -> DbFs {
        let length = (FAST_S * f64::from(self.frames_per_second)) as usize;
        let squares: Vec<f64> = self.channel(ear).map(|sample| sample * sample).collect();
        let mut sum: f64 = squares.iter().take(length).sum();
        let mut loudest = sum;
        for (out, into) in squares.iter().zip(squares.iter().skip(length)) {
            sum += into - out;
            loudest = loudest.max(sum);
        }
        // A sine of amplitude 1 has a mean square of a half.
        DbFs(10.0 * libm::log10((2.0 * loudest / length as f64).max(1e-30)))
    }

    /// The largest sample at one ear, dB re full scale.
    #[must_use]
    pub fn peak(&self, ear: Ear) -> DbFs {
        let peak = self
            .channel(ear)
            .fold(0.0, |most, x| f64::max(most, x.abs()));
        DbFs(20.0 * libm::log10(peak.max(1e-15)))
    }

    fn channel(&self, ear: Ear) -> impl Iterator<Item = f64> + '_ {
        self.samples.iter().skip(channel(ear)).step_by(2).copied()
    }

    /// As a device gets it, each ear multiplied by its gain (an ear without one stays silent), with
    /// a ramp at either end.
    #[must_use]
    pub fn rendered(&self, gain: impl Fn(Ear) -> Option<f64>) -> Rendered {
        let margin = (MARGIN_S * f64::from(self.frames_per_second)) as usize;
        let frames = self.samples.len() / 2;
        let ramp = ramps(frames, f64::from(self.frames_per_second));
        let gains = {
            let mut gains = [0.0; 2];
            for ear in Ear::BOTH {
                gains[channel(ear)] = gain(ear).unwrap_or(0.0);
            }
            gains
        };
        let mut samples = vec![0.0_f32; 2 * (frames + 2 * margin)];
        let inner = samples[2 * margin..].chunks_exact_mut(2);
        for (frame, (out, pair)) in inner.zip(self.samples.chunks_exact(2)).enumerate() {
            for (side, sample) in out.iter_mut().enumerate() {
                *sample = (pair[side] * gains[side] * ramp(frame)) as f32;
            }
        }
        let spans = Ear::BOTH.into_iter().filter(|ear| gain(*ear).is_some());
        Rendered {
            frames_per_second: self.frames_per_second,
            samples: samples.into(),
            spans: spans
                .map(|ear| Span {
                    ear,
                    onset_frame: margin,
                    end_frame: margin + frames,
                })
                .collect(),
        }
    }
}

/// Left and right in turn at the file's rate, its channels and its rate.
fn decoded(bytes: &[u8]) -> Result<(Vec<f64>, u16, u32), RecordingError> {
    sound_head(bytes)?;
    let decoder = Decoder::new(Cursor::new(bytes.to_vec()))
        .map_err(|error| RecordingError::Undecodable(error.to_string()))?;
    let (channels, rate_hz) = (decoder.channels().get(), decoder.sample_rate().get());
    if channels > 2 {
        return Err(RecordingError::Channels(channels));
    }
    if !(RATES_HZ.0..=RATES_HZ.1).contains(&rate_hz) {
        return Err(RecordingError::Rate(rate_hz));
    }
    let promised = decoder.total_duration();
    let most = (LONGEST_SLOT_S * f64::from(rate_hz)) as usize * usize::from(channels) + 2;
    let given: Vec<f64> = decoder.take(most).map(f64::from).collect();
    let frames = given.len() / usize::from(channels);
    let found_s = frames as f64 / f64::from(rate_hz);
    if let Some(expected_s) = promised.map(|one| one.as_secs_f64())
        && expected_s.min(LONGEST_SLOT_S) - found_s > 1.5 / f64::from(rate_hz)
    {
        return Err(RecordingError::Broken {
            expected_s,
            found_s,
        });
    }
    let both = if channels == 1 {
        given.iter().flat_map(|sample| [*sample, *sample]).collect()
    } else {
        given[..2 * frames].to_vec()
    };
    Ok((both, channels, rate_hz))
}

/// Refuses a head on which the decoder would give up without a word.
fn sound_head(bytes: &[u8]) -> Result<(), RecordingError> {
    let bad = |what: String| Err(RecordingError::Undecodable(what));
    if bytes.starts_with(b"RIFF") {
        let spec = match hound::WavReader::new(bytes) {
            Ok(reader) => reader.spec(),
            Err(error) => return bad(format!("its head cannot be read: {error}")),
        };
        let (format, bits) = (spec.sample_format, spec.bits_per_sample);
        let known = match format {
            hound::SampleFormat::Float => bits == 32,
            hound::SampleFormat::Int => [8, 16, 24, 32].contains(&bits),
        };
        return match known {
            _ if spec.sample_rate == 0 => Err(RecordingError::Rate(0)),
            true => Ok(()),
            false => bad(format!("found samples of {bits} bits ({format:?})")),
        };
    }
    if bytes.starts_with(b"fLaC") {
        return Ok(());
    }
    bad("found neither".into())
}

/// The same sound at another rate.
fn converted(samples: Vec<f64>, from_hz: u32, to_hz: u32) -> Result<Vec<f64>, RecordingError> {
    if from_hz == to_hz {
        return Ok(samples);
    }
    let frames = samples.len() / 2;
    let wrong =
        |what: String| RecordingError::Undecodable(format!("its rate cannot be converted: {what}"));
    let input =
        InterleavedOwned::new_from(samples, 2, frames).map_err(|error| wrong(error.to_string()))?;
    let mut resampler = Fft::<f64>::new(from_hz as usize, to_hz as usize, 1024, 2, FixedSync::Both)
        .map_err(|error| wrong(error.to_string()))?;
    let output = resampler
        .process_all(&input, frames, None)
        .map_err(|error| wrong(error.to_string()))?;
    let mut samples = output.take_data();
    // The conversion ends within a frame of the length that the rates ask for.
    let length = (frames as f64 * f64::from(to_hz) / f64::from(from_hz)).round() as usize;
    samples.resize(2 * length, 0.0);
    Ok(samples)
}

#[cfg(test)]
#[path = "recording/tests.rs"]
mod tests;
