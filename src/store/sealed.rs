//! A journal encrypted at rest: whatever is appended becomes one authenticated frame, and what is
//! read are the very bytes that were appended.
//!
//! The file begins with [`MAGIC`]. A frame is its length in four bytes, little end first, the
//! same with every bit turned, a nonce of 24 bytes, and the encrypted bytes with their tag (XChaCha20-Poly1305). The file's name and the
//! frame's number, from 1, are authenticated with it: a frame that was moved, dropped from among
//! others or taken from another file does not open. Frames taken from the end do not show here;
//! the signed head of the journal's chain shows them.

use super::secret::{KEY, NONCE, TAG, open_blob, seal_blob};
use crate::journal::Store;
use std::io;

/// The first bytes of an encrypted file of frames.
pub(super) const MAGIC: &[u8; 8] = b"VRDFRAM1";
/// A frame that says it is longer is none.
const LONGEST: usize = 1 << 26;
/// The length is there twice: one that rotted must not be taken for that of a frame that was cut
/// off, or all that follows would be taken out.
const LENGTH: usize = 8;

/// Whose frames these are.
#[derive(Clone)]
pub(super) struct Sealing {
    pub key: [u8; KEY],
    pub name: String,
}

/// What frames held.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Opened {
    /// What was appended, frame by frame, with where in the file each begins.
    pub frames: Vec<(u64, Vec<u8>)>,
    /// How many bytes of the file they took.
    pub length: u64,
    /// How many bytes after them belong to a frame that was never finished.
    pub torn: u64,
}

impl Sealing {
    fn about(&self, number: u64) -> String {
        format!("veridical frame 1, {}, {number}", self.name)
    }

    pub fn frame(&self, number: u64, plain: &[u8]) -> io::Result<Vec<u8>> {
        // A frame that ends in zeros is one that was cut off (see `unfinished`): a whole one must not end so by chance.
        let blob = loop {
            let blob = seal_blob(&self.key, &self.about(number), plain)?;
            if blob.last() != Some(&0) {
                break blob;
            }
        };
        let length = u32::try_from(blob.len())
            .ok()
            .filter(|length| *length as usize <= LONGEST);
        let length = length.ok_or_else(|| io::Error::other("too much for one frame"))?;
        Ok([&length.to_le_bytes()[..], &(!length).to_le_bytes(), &blob].concat())
    }

    /// A whole file of frames, of a size that is opened and closed quickly.
    pub fn whole(&self, plain: &[u8]) -> io::Result<Vec<u8>> {
        let mut all = MAGIC.to_vec();
        for (part, number) in plain.chunks(1 << 16).zip(1..) {
            all.extend(self.frame(number, part)?);
        }
        Ok(all)
    }

    /// Opens frames from the first on; `first` is its number and `from` where it begins.
    pub fn open(&self, bytes: &[u8], first: u64, from: u64) -> io::Result<Opened> {
        let mut opened = Opened {
            length: from,
            ..Opened::default()
        };
        let mut rest = bytes;
        while !rest.is_empty() {
            let number = first + opened.frames.len() as u64;
            match self.open_one(rest, number) {
                Ok((taken, plain)) => {
                    opened.frames.push((opened.length, plain));
                    opened.length += taken as u64;
                    rest = &rest[taken..];
                }
                Err(()) if unfinished(rest) => {
                    opened.torn = rest.len() as u64;
                    break;
                }
                Err(()) => {
                    let what = format!("frame {number}: not as it was written, or not by this key");
                    return Err(io::Error::new(io::ErrorKind::InvalidData, what));
                }
            }
        }
        Ok(opened)
    }

    fn open_one(&self, rest: &[u8], number: u64) -> Result<(usize, Vec<u8>), ()> {
        let length = length_of(rest).ok_or(())?;
        let blob = rest.get(LENGTH..LENGTH + length).ok_or(())?;
        let plain = open_blob(&self.key, &self.about(number), blob.to_vec()).ok_or(())?;
        Ok((LENGTH + length, plain.to_vec()))
    }
}

fn length_of(rest: &[u8]) -> Option<usize> {
    let number = |at: usize| Some(u32::from_le_bytes(rest.get(at..at + 4)?.try_into().ok()?));
    let (length, turned) = (number(0)?, number(4)?);
    let length = (length == !turned).then_some(length as usize)?;
    (NONCE + TAG..=LONGEST).contains(&length).then_some(length)
}

/// Whether a frame at the end was cut off: it ends before its length says, or in zeros, as a disk
/// leaves them whose power failed.
fn unfinished(rest: &[u8]) -> bool {
    let written = rest
        .iter()
        .rposition(|byte| *byte != 0)
        .map_or(0, |last| last + 1);
    written < LENGTH || length_of(rest).is_some_and(|length| written < LENGTH + length)
}

/// A storage whose bytes are encrypted in another one.
pub(super) struct SealedStore<S> {
    inner: S,
    sealing: Sealing,
    /// Where frames begin in the file, and how many bytes were appended before each.
    places: Vec<(u64, u64)>,
    /// Bytes of the file that hold whole frames.
    length: u64,
    /// Bytes that were appended.
    plain: u64,
    /// Whether something stands behind the whole frames.
    torn: bool,
}

impl<S: Store> SealedStore<S> {
    /// Over a new, empty file.
    pub fn create(mut inner: S, sealing: Sealing) -> io::Result<Self> {
        inner.append(MAGIC)?;
        Ok(SealedStore {
            inner,
            sealing,
            places: Vec::new(),
            length: MAGIC.len() as u64,
            plain: 0,
            torn: false,
        })
    }

    /// Over a file that was made before.
    pub fn open(inner: S, sealing: Sealing) -> io::Result<Self> {
        let mut store = SealedStore {
            inner,
            sealing,
            places: Vec::new(),
            length: 0,
            plain: 0,
            torn: false,
        };
        store.read()?;
        Ok(store)
    }

    /// Takes out what a failing disk left half written, before anything is put behind it.
    fn mend(&mut self) -> io::Result<()> {
        if self.torn {
            self.inner.truncate(self.length)?;
            if self.length == 0 {
                self.inner.append(MAGIC)?;
                self.length = MAGIC.len() as u64;
            }
            self.torn = false;
        }
        Ok(())
    }
}

/// What stands, as the journal's last line, for a frame that was never finished.
fn in_place_of_torn(torn: u64) -> Vec<u8> {
    format!("[{torn} encrypted bytes that were cut off]").into_bytes()
}

/// Splits off the first bytes of a file of frames. None: the file was cut off before it had them.
pub(super) fn after_magic(bytes: &[u8]) -> io::Result<Option<&[u8]>> {
    let written = bytes
        .iter()
        .rposition(|byte| *byte != 0)
        .map_or(0, |last| last + 1);
    if let Some(rest) = bytes.strip_prefix(MAGIC) {
        return Ok(Some(rest));
    }
    if MAGIC.starts_with(&bytes[..written]) {
        return Ok(None);
    }
    Err(io::Error::new(
        io::ErrorKind::InvalidData,
        "expected an encrypted file of this program",
    ))
}

impl<S: Store> Store for SealedStore<S> {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.mend()?;
        let frame = self.sealing.frame(self.places.len() as u64 + 1, bytes)?;
        // Until the whole of it is there, what stands behind the frames is not one.
        self.torn = true;
        self.inner.append(&frame)?;
        self.torn = false;
        self.places.push((self.length, self.plain));
        self.length += frame.len() as u64;
        self.plain += bytes.len() as u64;
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        self.inner.sync()
    }

    fn read(&mut self) -> io::Result<Vec<u8>> {
        let bytes = self.inner.read()?;
        let Some(frames) = after_magic(&bytes)? else {
            (self.length, self.plain, self.torn) = (0, 0, true);
            self.places.clear();
            return Ok(Vec::new());
        };
        let opened = self.sealing.open(frames, 1, MAGIC.len() as u64)?;
        (self.length, self.torn) = (opened.length, opened.torn > 0);
        self.places.clear();
        let mut all = Vec::new();
        for (begins, plain) in opened.frames {
            self.places.push((begins, all.len() as u64));
            all.extend(plain);
        }
        self.plain = all.len() as u64;
        if self.torn {
            all.extend(in_place_of_torn(opened.torn));
        }
        Ok(all)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        if length >= self.plain {
            return self.mend();
        }
        // Most often a frame is a line; one that holds more is written anew as far as it stays.
        let kept = self.read()?;
        let whole = self.places.partition_point(|(_, before)| *before < length);
        let Some(at) = whole.checked_sub(1) else {
            return self.cut_to(0);
        };
        let (_, before) = self.places[at];
        let ends = self.places.get(whole).map_or(self.plain, |(_, next)| *next);
        if ends == length {
            return self.cut_to(whole);
        }
        let (from, to) = (before as usize, length as usize);
        let part = kept.get(from..to).unwrap_or_default().to_vec();
        self.cut_to(at)?;
        self.append(&part)
    }
}

impl<S: Store> SealedStore<S> {
    /// Keeps so many frames.
    fn cut_to(&mut self, frames: usize) -> io::Result<()> {
        let Some((begins, before)) = self.places.get(frames).copied() else {
            return self.mend();
        };
        self.inner.truncate(begins)?;
        (self.length, self.plain, self.torn) = (begins, before, false);
        self.places.truncate(frames);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::MemoryStore;

    fn sealing(name: &str) -> Sealing {
        Sealing {
            key: [9; KEY],
            name: name.into(),
        }
    }

    fn written() -> Vec<u8> {
        let mut store = SealedStore::create(MemoryStore::default(), sealing("one")).unwrap();
        for line in ["first\n", "second\n", "third\n"] {
            store.append(line.as_bytes()).unwrap();
        }
        store.inner.bytes
    }

    fn open(bytes: &[u8], name: &str) -> io::Result<SealedStore<MemoryStore>> {
        let bytes = bytes.to_vec();
        SealedStore::open(MemoryStore { bytes }, sealing(name))
    }

    #[test]
    fn what_was_appended_is_what_is_read_and_nothing_shows_in_the_file() {
        let bytes = written();
        assert!(!bytes.windows(5).any(|part| part == b"first"));
        assert_eq!(
            open(&bytes, "one").unwrap().read().unwrap(),
            b"first\nsecond\nthird\n"
        );
        assert!(open(&bytes, "other").is_err());
    }

    /// Wherever the writing stopped, whole frames stay, the rest is told of, and is taken out before
    /// anything is put behind them.
    #[test]
    fn a_cut_is_mended_wherever_it_falls() {
        let bytes = written();
        let whole = open(&bytes, "one").unwrap();
        for cut in 0..bytes.len() {
            for zeros in [0, 7, 300] {
                let torn = [&bytes[..cut], &vec![0; zeros]].concat();
                let mut store = open(&torn, "one").unwrap();
                let kept = whole.places.iter().filter(|(at, _)| {
                    let next = whole.places.iter().find(|(other, _)| other > at);
                    next.map_or(bytes.len() as u64, |(next, _)| *next) <= cut as u64
                });
                let lines = ["first\n", "second\n", "third\n"][..kept.count()].concat();
                let read = store.read().unwrap();
                assert!(read.starts_with(lines.as_bytes()), "cut at {cut}");
                assert!(!read[lines.len()..].contains(&b'\n'), "cut at {cut}");
                store.truncate(lines.len() as u64).unwrap();
                store.append(b"more\n").unwrap();
                let again = open(&store.inner.bytes, "one").unwrap().read().unwrap();
                assert_eq!(
                    again,
                    [lines.as_bytes(), b"more\n"].concat(),
                    "cut at {cut}"
                );
            }
        }
    }

    #[test]
    fn no_changed_byte_goes_unseen() {
        let bytes = written();
        for at in 0..bytes.len() {
            let mut changed = bytes.clone();
            // Never to zero: a last byte of zero is what a loss of power leaves.
            changed[at] = changed[at].wrapping_add(1).max(1);
            let read = open(&changed, "one").and_then(|mut store| store.read());
            assert!(read.is_err(), "{at}");
        }
    }

    #[test]
    fn frames_that_were_moved_or_dropped_do_not_open() {
        let bytes = written();
        let store = open(&bytes, "one").unwrap();
        let at = |which: usize| store.places[which].0 as usize;
        let (one, two, three) = (&bytes[at(0)..at(1)], &bytes[at(1)..at(2)], &bytes[at(2)..]);
        for frames in [
            [two, one, three].concat(),
            [one, three].concat(),
            [one, one].concat(),
        ] {
            assert!(open(&[&MAGIC[..], &frames].concat(), "one").is_err());
        }
    }

    #[test]
    fn no_whole_frame_looks_cut_off() {
        for number in 0..2000 {
            let frame = sealing("one").frame(number, b"a\n").unwrap();
            assert!(!unfinished(&frame), "{number}");
        }
    }

    #[test]
    fn a_frame_can_be_cut_within() {
        let mut store = SealedStore::create(MemoryStore::default(), sealing("one")).unwrap();
        store.append(b"a\nb\nc").unwrap();
        store.append(b"d\n").unwrap();
        for length in [5, 4, 2, 0] {
            store.truncate(length).unwrap();
            let mut again = open(&store.inner.bytes, "one").unwrap();
            assert_eq!(again.read().unwrap(), b"a\nb\nc"[..length as usize]);
        }
    }
}
