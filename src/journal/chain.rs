//! Lines and the chain that holds them together.
//!
//! A line is one JSON object ending in `,"hash":"<64 hex digits>"}`. The hash is SHA-256 over the
//! hash of the line before (as hex, empty for the first line), a newline, and the exact bytes of
//! the line up to `,"hash":"`. So a reader checks stored bytes and never has to write a line again
//! to compare it.

use super::event::Event;
use serde::{Serialize, de::DeserializeOwned};
use sha2::{Digest, Sha256};

const SEAL: &str = ",\"hash\":\"";
const HEX_DIGITS: usize = 64;

/// Where a chain stands: how many lines, and the last hash.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Head {
    /// Lines so far.
    pub lines: u64,
    /// Hash of the last line in hex; empty before the first.
    pub hash: String,
}

/// The first line that does not fit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {expected}")]
pub struct ChainError {
    /// Which line, from 1.
    pub line: u64,
    /// What was expected of it.
    pub expected: String,
    /// Where the line begins, in bytes.
    pub offset: usize,
    /// Whether it is the last line and was cut off while it was being written.
    pub cut_off: bool,
}

/// What can be a line of a chain.
pub trait Numbered: Serialize + DeserializeOwned {
    /// Its number, from 1 without gaps.
    fn number(&self) -> u64;
}

impl Numbered for Event {
    fn number(&self) -> u64 {
        self.number
    }
}

/// A chain that does not fit from some line on, and what stands before it.
#[derive(Debug, Clone, PartialEq)]
pub struct Damage<T = Event> {
    /// The events before the first line that does not fit.
    pub events: Vec<T>,
    /// The head of the chain before it.
    pub head: Head,
    /// The first line that does not fit.
    pub error: ChainError,
}

impl Head {
    /// Seals an event as the next line, newline included, and moves on.
    pub(crate) fn seal(&mut self, event: &impl Numbered) -> String {
        let mut line = serde_json::to_string(event).unwrap_or_default();
        line.pop();
        let hash = hash(&self.hash, line.as_bytes());
        line.push_str(SEAL);
        line.push_str(&hash);
        line.push_str("\"}\n");
        self.hash = hash;
        self.lines += 1;
        line
    }

    /// Checks one line, without its newline, and moves on.
    fn follow<T: Numbered>(&mut self, line: &[u8]) -> Result<T, String> {
        let text = std::str::from_utf8(line).map_err(|_| "expected UTF-8".to_owned())?;
        let sealed = text
            .strip_suffix("\"}")
            .and_then(|open| open.split_at_checked(open.len().checked_sub(HEX_DIGITS)?))
            .and_then(|(front, found)| Some((front.strip_suffix(SEAL)?, found)));
        let Some((content, found)) = sealed else {
            return Err("expected a JSON object that ends in its hash".into());
        };
        if hash(&self.hash, content.as_bytes()) != found {
            return Err("its hash does not fit its content and the line before".into());
        }
        let event: T = serde_json::from_str(text).map_err(|error| error.to_string())?;
        let number = self.lines + 1;
        if event.number() != number {
            let found = event.number();
            return Err(format!("expected number {number}, found {found}"));
        }
        found.clone_into(&mut self.hash);
        self.lines = number;
        Ok(event)
    }
}

fn hash(before: &str, content: &[u8]) -> String {
    let mut hasher = Sha256::new();
    hasher.update(before.as_bytes());
    hasher.update(b"\n");
    hasher.update(content);
    hasher
        .finalize()
        .iter()
        .fold(String::with_capacity(HEX_DIGITS), |mut hex, byte| {
            use std::fmt::Write;
            // Writing to a String cannot fail.
            let _ = write!(hex, "{byte:02x}");
            hex
        })
}

/// Reads and checks all lines of a journal.
///
/// # Errors
/// The first line that does not fit; `cut_off` tells that it is a last line whose writing was
/// interrupted, which takes nothing from the lines before it.
pub fn check(bytes: &[u8]) -> Result<(Vec<Event>, Head), Damage> {
    check_on(Head::default(), bytes)
}

/// Reads and checks the lines that follow `head`; offsets count from the beginning of `bytes`.
///
/// # Errors
/// As [`check`].
pub fn check_on<T: Numbered>(head: Head, bytes: &[u8]) -> Result<(Vec<T>, Head), Damage<T>> {
    let (mut events, mut head, mut offset) = (Vec::new(), head, 0);
    while offset < bytes.len() {
        let rest = &bytes[offset..];
        let newline = rest.iter().position(|byte| *byte == b'\n');
        // A line without its newline was never said to be durable, complete or not.
        let line = &rest[..newline.unwrap_or(rest.len())];
        let followed = match newline {
            Some(_) => head.follow(line),
            None => Err("expected a newline at its end: it was cut off".into()),
        };
        match followed {
            Ok(event) => events.push(event),
            Err(expected) => {
                let (line, cut_off) = (head.lines + 1, newline.is_none());
                return Err(Damage {
                    events,
                    head,
                    error: ChainError {
                        line,
                        expected,
                        offset,
                        cut_off,
                    },
                });
            }
        }
        offset += line.len() + 1;
    }
    Ok((events, head))
}
