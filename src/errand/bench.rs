//! What several measurements of a set-up share: files that are written whole, recordings.

use super::ErrandError;
use crate::calibration::{FileError, Microphone, NotValid};
use crate::station::recorder::{RecordError, Recorder};
use jiff::civil::Date;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering::Relaxed};
use std::time::{Duration, Instant};

/// So long may an input give nothing, s.
const SILENT_INPUT: Duration = Duration::from_secs(5);
/// Between two looks at the input.
const LOOK: Duration = Duration::from_millis(20);

/// Reads a file of a set-up.
pub(super) fn read<T>(
    path: &Path,
    parse: impl FnOnce(&str, &str) -> Result<T, FileError>,
) -> Result<T, ErrandError> {
    let text = crate::journal::whole_file::settings(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    parse(&text, &path.display().to_string())
        .map_err(|error| ErrandError::BadInput(error.to_string()))
}

/// Writes a file that is whole or not there: beside it first, then in its place.
pub(super) fn write(path: &Path, text: &str) -> Result<(), ErrandError> {
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = Path::new(&beside);
    std::fs::write(beside, text)
        .and_then(|()| std::fs::rename(beside, path))
        .map_err(|error| ErrandError::failed(path, error))
}

/// A new file: an old one of that name is not written over.
pub(super) fn write_new(path: &Path, text: &str) -> Result<(), ErrandError> {
    if path.exists() {
        return Err(ErrandError::in_file(path, "expected no file of this name"));
    }
    write(path, text)
}

/// Today, by the machine's clock.
#[must_use]
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// The microphone in a file, if it holds today.
///
/// # Errors
/// Names the file, the field and what was expected; also if it has expired.
pub fn microphone_in(path: &Path) -> Result<Microphone, ErrandError> {
    let microphone = read(path, Microphone::from_toml)?;
    let valid: Result<(), NotValid> = microphone.valid_on(today());
    valid.map_err(|error| ErrandError::in_file(path, error))?;
    Ok(microphone)
}

/// How far a recording is, and a way to stop it.
#[derive(Debug, Default)]
pub struct RecordingProgress {
    /// Frames recorded.
    pub frames: AtomicU32,
    /// Set to stop.
    pub stop: AtomicBool,
}

/// Records for so many seconds.
///
/// # Errors
/// If the input ends, loses samples, gives nothing for five seconds, or the recording was stopped.
pub fn record(
    recorder: &mut dyn Recorder,
    seconds: f64,
    listening: &RecordingProgress,
) -> Result<Vec<f32>, ErrandError> {
    let wanted = (seconds * f64::from(recorder.frames_per_second())) as usize;
    let mut samples = Vec::with_capacity(wanted);
    let mut heard = Instant::now();
    while samples.len() < wanted {
        if listening.stop.load(Relaxed) {
            return Err(ErrandError::Failed("the recording was stopped".into()));
        }
        let before = samples.len();
        match recorder.take(&mut samples) {
            Ok(()) => {}
            Err(RecordError::Ended) if samples.len() >= wanted => {}
            Err(error) => return Err(ErrandError::Failed(error.to_string())),
        }
        listening.frames.store(samples.len() as u32, Relaxed);
        if samples.len() > before {
            heard = Instant::now();
        } else if heard.elapsed() > SILENT_INPUT {
            let what = "sound input: it gives nothing; is it muted, or held by another program?";
            return Err(ErrandError::Failed(what.into()));
        } else {
            std::thread::sleep(LOOK);
        }
    }
    samples.truncate(wanted);
    Ok(samples)
}

/// All that a recorder gives until it ends.
///
/// # Errors
/// If samples are missing in it.
pub fn recorded(recorder: &mut dyn Recorder) -> Result<Vec<f32>, ErrandError> {
    let mut samples = Vec::new();
    loop {
        match recorder.take(&mut samples) {
            Ok(()) => {}
            Err(RecordError::Ended) => return Ok(samples),
            Err(error) => return Err(ErrandError::Failed(error.to_string())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::station::recorder::Given;

    #[test]
    fn a_recording_is_as_long_as_asked_or_an_error() {
        let given = |seconds: usize| Given::new(vec![0.1; 1000 * seconds], 1000, 70);
        let listening = RecordingProgress::default();
        let whole = record(&mut given(3), 2.0, &listening).unwrap();
        assert_eq!(whole.len(), 2000);
        assert!(listening.frames.load(Relaxed) >= 2000);
        let short = record(&mut given(1), 2.0, &listening).unwrap_err();
        assert!(short.to_string().contains("it has ended"));
        let mut lossy = given(3).missing_at(500);
        let lost = record(&mut lossy, 2.0, &listening).unwrap_err();
        assert!(lost.to_string().contains("samples were lost"));
        listening.stop.store(true, Relaxed);
        assert!(record(&mut given(3), 2.0, &listening).is_err());
    }

    #[test]
    fn a_file_is_never_written_over_unasked() {
        let path = std::env::temp_dir().join(format!("veridical-bench-{}", std::process::id()));
        let _ = std::fs::remove_file(&path);
        write_new(&path, "one").unwrap();
        assert!(write_new(&path, "two").is_err());
        write(&path, "three").unwrap();
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "three");
        std::fs::remove_file(&path).unwrap();
    }
}
