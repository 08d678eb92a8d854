//! A slot as a WAV file: what the device would get, two channels (left, right), 32-bit float.

use crate::stimulus::sound::Rendered;
use hound::{SampleFormat, WavSpec, WavWriter};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// The file could not be written.
#[derive(Debug, Error)]
#[error("{}: {source}", path.display())]
pub struct WavError {
    /// Which file.
    path: PathBuf,
    source: hound::Error,
}

/// Writes `slot` to `path`, over what may be there.
///
/// # Errors
/// The file cannot be written.
pub fn write(path: &Path, slot: &Rendered) -> Result<(), WavError> {
    let spec = WavSpec {
        channels: 2,
        sample_rate: slot.frames_per_second,
        bits_per_sample: 32,
        sample_format: SampleFormat::Float,
    };
    let write_all = || {
        let mut file = WavWriter::create(path, spec)?;
        for &sample in &slot.samples {
            file.write_sample(sample)?;
        }
        file.finalize()
    };
    write_all().map_err(|source| WavError {
        path: path.into(),
        source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_holds_the_samples_unchanged() {
        let samples = [0.0, -0.0, 0.1, -1.0, 1e-7, 1.0].into();
        let slot = Rendered {
            frames_per_second: 44_100,
            samples,
            spans: vec![],
        };
        let name = format!("veridical-wav-{}.wav", std::process::id());
        let path = std::env::temp_dir().join(name);
        write(&path, &slot).unwrap();
        let mut file = hound::WavReader::open(&path).unwrap();
        let (spec, read): (_, Vec<f32>) =
            (file.spec(), file.samples().map(Result::unwrap).collect());
        std::fs::remove_file(&path).unwrap();
        assert_eq!((spec.channels, spec.sample_rate), (2, 44_100));
        assert_eq!(read, &slot.samples[..]);
    }

    #[test]
    fn an_error_names_the_file() {
        let slot = Rendered {
            frames_per_second: 48_000,
            samples: [].into(),
            spans: vec![],
        };
        let error = write(Path::new("no/such/place.wav"), &slot).unwrap_err();
        assert!(
            error.to_string().starts_with("no/such/place.wav: "),
            "{error}"
        );
    }
}
