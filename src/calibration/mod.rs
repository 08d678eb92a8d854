//! What ties a device to physical units: earphone and screen profiles, how they were made, how
//! sure they are and until when. The file format is described in `calibration/README.md`.

mod budget;
mod check;
pub mod coupler;
pub mod daily;
mod earphone;
mod file;
pub mod jury;
mod level;
pub mod microphone;
pub mod room;
mod screen;
mod set_up;
#[cfg(test)]
mod tests;
pub mod third_octave;
pub mod tone_level;
mod words;

pub use budget::{Budget, Component};
pub use earphone::{
    Distortion, EarphoneProfile, EarphoneRecord, ExaminerReference, FullScale, NotValid,
    OutputRequirement, ProfileKind,
};
pub use file::{FieldError, FileError, digest, read_toml, within};
pub use level::{NOISE_HEADROOM, Refusal};
pub use microphone::{Microphone, MicrophoneRecord};
pub use room::{NoiseWatch, Room};
pub use screen::{ScreenKind, ScreenProfile, ScreenRecord, nearest_distance, smallest_drawable};
pub use set_up::{Drawable, SetUp};
pub use words::WordsLevel;

/// The version of the format of profile files that this program reads and writes.
pub const FORMAT: u32 = 1;
