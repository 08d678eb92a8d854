//! Files that somebody gives the program are read whole, and never without a bound: a wrong one, or one that has no
//! end, must not exhaust the machine.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// No file of settings (profile, plan, case, worksheet) is longer, bytes: some hundred times ours.
const LONGEST_SETTINGS: u64 = 4 << 20;
/// No journal, recording or document with results is longer, bytes: some hundred times a long visit.
pub(crate) const LONGEST: u64 = 256 << 20;

/// A file of settings.
///
/// # Errors
/// If it is longer than 4 MiB, is not UTF-8, or what the disk says.
pub(crate) fn settings(path: &Path) -> io::Result<String> {
    text(at_most(path, LONGEST_SETTINGS)?)
}

/// A journal, recording or document.
///
/// # Errors
/// If it is longer than 256 MiB, or what the disk says.
pub(crate) fn bytes(path: &Path) -> io::Result<Vec<u8>> {
    at_most(path, LONGEST)
}

/// A journal or document as text.
///
/// # Errors
/// As [`bytes`], and if it is not UTF-8.
pub(crate) fn document(path: &Path) -> io::Result<String> {
    text(bytes(path)?)
}

/// All that is to be read, if it is at most so many bytes.
///
/// # Errors
/// If it is more, or what the disk says.
pub(crate) fn to_end(from: &mut impl Read, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        let what = format!("expected at most {most} bytes, found more");
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, what));
    }
    Ok(bytes)
}

fn at_most(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    to_end(&mut File::open(path)?, most)
}

fn text(bytes: Vec<u8>) -> io::Result<String> {
    String::from_utf8(bytes).map_err(|error| {
        let what = format!("expected UTF-8: {}", error.utf8_error());
        io::Error::new(io::ErrorKind::InvalidData, what)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_no_end_is_refused() {
        let told = to_end(&mut io::repeat(b'x'), 1000).unwrap_err();
        assert!(told.to_string().contains("at most 1000 bytes"), "{told}");
        assert_eq!(
            to_end(&mut io::repeat(b'x').take(1000), 1000)
                .unwrap()
                .len(),
            1000
        );
    }

    #[cfg(unix)]
    #[test]
    fn a_device_is_no_file_of_settings() {
        assert!(settings(Path::new("/dev/zero")).is_err());
    }
}
