//! The only room that opens a device. It delivers a presentation and tells what truly arrived.
//!
//! Sound goes through one [`engine`], whether a device pulls it ([`output`]) or a test does
//! ([`manual`]); [`wav`] writes the same samples to a file. [`screen`] tells when an optotype
//! counts as shown. A microphone is heard through one [`recorder`], whether a device feeds it
//! (`input`) or a file does; [`route`] says what the system tells of the way to the earphone.

pub mod engine;
#[cfg(feature = "sound")]
pub mod input;
pub mod manual;
#[cfg(feature = "sound")]
pub mod output;
pub mod quantiser;
pub mod recorder;
pub mod route;
pub mod screen;
pub mod wav;

use crate::journal::{OutputOpened, Timing};
use crate::stimulus::sound::Rendered;
use std::time::Instant;
use thiserror::Error;

/// A keyboard is asked so often, s (common practice, no source: 125 times a second).
const KEYBOARD_S: f64 = 0.008;

/// The window takes a turn so often, s: a display of 60 Hz.
const TURN_S: f64 = 1.0 / 60.0;

/// How a slot came through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrival {
    /// Every sample reached the output as rendered.
    Whole,
    /// The stop was called before the end; if the slot had not begun yet, nothing was played.
    Stopped,
    /// The device ran dry while the slot was on its way.
    Underrun,
    /// The device reported another fault while the slot was on its way.
    Faulted,
    /// A sample exceeded the ceiling, or was no number, and was cut off.
    CutOff,
}

/// What a sound station reports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SoundEvent {
    /// A slot has begun.
    Began {
        /// Its number.
        id: u32,
        /// Its first frame, counted from the opening of the device.
        frame: u64,
        /// When that frame reaches the output, as far as the device tells: see
        /// [`SoundStation`] on how sure that is.
        at: Instant,
    },
    /// A slot is over; the next may be played.
    Ended {
        /// Its number.
        id: u32,
        /// The frame after its last.
        frame: u64,
        /// How it came through. Only a whole one counts as presented.
        arrival: Arrival,
    },
    /// The device plays no more, or not where it did. Comes once; nothing follows, not even the
    /// end of the slot that was playing. Open it anew.
    Lost(Loss),
}

/// How a device was lost. Each has its own consequence: see [`Loss::unsettles_profile`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loss {
    /// It was pulled out, or its server ended.
    Gone,
    /// It reports faults without end and asks for nothing, as some removed devices do.
    Failing,
    /// It has stopped asking for samples.
    Stalled,
    /// The system leads the sound elsewhere, or changed the format under way.
    Changed,
}

impl Loss {
    /// Whether what is played may reach another output than the one that the profile was made
    /// on, so that opening again is not enough.
    #[must_use]
    pub fn unsettles_profile(self) -> bool {
        self == Loss::Changed
    }
}

/// What is known about an open output; goes into the record of a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct OutputFacts {
    /// What tells it from the others.
    pub device: String,
    /// Frames a second.
    pub frames_per_second: u32,
    /// How samples are handed over, such as `f32`.
    pub format: &'static str,
    /// Frames a buffer.
    pub buffer_frames: u32,
}

impl OutputFacts {
    /// The standard uncertainties of a response time on this output: see [`SoundStation`].
    #[must_use]
    pub fn timing(&self) -> Timing {
        let even = |span_s: f64| 1000.0 * span_s / 12_f64.sqrt();
        let u_onset_ms = even(f64::from(self.buffer_frames) / f64::from(self.frames_per_second));
        let (u_press_ms, u_turn_ms) = (even(KEYBOARD_S), even(TURN_S));
        Timing {
            u_onset_ms,
            u_press_ms,
            u_turn_ms,
            u_response_ms: u_onset_ms.hypot(u_press_ms).hypot(u_turn_ms),
        }
    }

    /// For the record: this output, and the depth that everything is rounded to.
    #[must_use]
    pub fn opened(&self, bits: Option<u32>) -> OutputOpened {
        OutputOpened {
            device: self.device.clone(),
            rate_hz: self.frames_per_second,
            format: self.format.into(),
            bits,
            buffer_frames: self.buffer_frames,
            timing: self.timing(),
        }
    }
}

/// Why a slot is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum PlayError {
    /// One slot at a time: the one before has not ended.
    #[error("sound: the slot before has not ended")]
    Busy,
    /// Rendered for another rate; it would sound at the wrong frequency.
    #[error("sound: rendered at {rendered} frames a second, the device runs at {device}")]
    Rate {
        /// What the samples were rendered for.
        rendered: u32,
        /// What the device runs at.
        device: u32,
    },
    /// The device is gone.
    #[error("sound: the output device is lost")]
    Lost,
}

/// The device takes fewer bits than the profile was made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("sound: the profile was made at {needs} bits, the device takes {has} now")]
pub struct TooShallow {
    /// What the profile says.
    pub needs: u32,
    /// What the device takes.
    pub has: u32,
}

/// Something that plays slots.
///
/// The count of frames is the truth about what was played; a clock comes in only to relate it
/// to the moments of answers. An answer is timed against the tone's true onset: the slot's first
/// frame at the output, plus the frames to the onset.
///
/// The budget of a response time (standard uncertainties, our own reckoning; whatever comes evenly at
/// any time within a span counts with the span over √12). The record has it as numbers
/// ([`OutputFacts::timing`]):
///
/// | part | size |
/// |---|---|
/// | the slot's first frame: callback plus the latency that the device declares | a buffer over √12: 6 ms at 1024 frames and 48 kHz |
/// | from there to the onset | exact, counted in frames |
/// | the press: a keyboard asked 125 times a second | 2 ms |
/// | the window's turn in which the press is read, 17 ms | 5 ms |
/// | together | 8 ms |
/// | behind the declared latency: a sound server, a wireless link | unknown, the same in every trial of one set-up |
///
/// So response times compare with each other on one set-up, not between set-ups. For an answer
/// window of seconds all of it is small.
pub trait SoundStation {
    /// At how many frames a second slots must be rendered.
    fn frames_per_second(&self) -> u32;

    /// Plays a slot, from the next buffer on.
    ///
    /// # Errors
    /// See [`PlayError`]; the slot is then dropped.
    fn play(&mut self, id: u32, slot: Rendered) -> Result<(), PlayError>;

    /// Silences the slot that plays or waits, by a ramp of 50 ms from the next buffer on. A slot
    /// that is played afterwards is not touched.
    fn stop(&mut self);

    /// The largest magnitude let through on (left, right) from the next buffer on; 1 is full
    /// scale, where it begins. Not a number counts as 0.
    fn set_ceiling(&mut self, ceiling: [f32; 2]);

    /// From the next buffer on every sample of both channels, silence included, is rounded with
    /// dither to this depth: the profile's, or the device's own where that is less.
    ///
    /// # Errors
    /// If the device takes fewer bits.
    fn set_depth(&mut self, bits: u32) -> Result<(), TooShallow>;

    /// What is known about the output; none where there is no device.
    fn facts(&self) -> Option<OutputFacts> {
        None
    }

    /// The next event, if there is one. Never waits.
    fn poll(&mut self) -> Option<SoundEvent>;
}
