//! The only room that opens a device. It delivers a presentation and tells what truly arrived.
//!
//! Sound goes through one [`engine`], whether a device pulls it ([`output`]) or a test does
//! ([`manual`]); [`wav`] writes the same samples to a file. [`screen`] tells when an optotype
//! counts as shown.

pub mod engine;
pub mod manual;
#[cfg(feature = "sound")]
pub mod output;
pub mod quantiser;
pub mod screen;
pub mod wav;

use crate::stimulus::sound::Rendered;
use std::time::Instant;
use thiserror::Error;

/// How a slot came through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrival {
    /// Every sample reached the output as rendered.
    Whole,
    /// The stop was called before the end; if the slot had not begun yet, nothing was played.
    Stopped,
    /// The device ran dry, or failed otherwise, while the slot was on its way.
    Interrupted,
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
    /// The device is gone, fails without end or has stopped asking for samples. Comes once;
    /// nothing follows, not even the end of the slot that was playing. Open it anew.
    Lost,
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

/// Something that plays slots.
///
/// The count of frames is the truth about what was played; a clock comes in only to relate it
/// to the moments of answers. The instant in [`SoundEvent::Began`] is the callback's moment plus
/// the latency that the device declares. Within a visit it scatters by the scheduling of the
/// callback (below 1 ms on an idle machine, up to the length of a buffer, 21 ms, on a busy one).
/// What lies behind the declared latency (a sound server, a wireless link) makes every sound
/// later by an amount that stays unknown: response times compare with each other on one set-up,
/// not between set-ups.
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

    /// The next event, if there is one. Never waits.
    fn poll(&mut self) -> Option<SoundEvent>;
}
