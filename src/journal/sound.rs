//! What a visit knows of its sound beside the presentations.

use super::event::Body;
use crate::quantity::{Ear, Hz, Level};
use serde::{Deserialize, Serialize};

/// An output that was opened for the visit, and how exactly times of responses are known on it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct OutputOpened {
    /// What tells the device from the others.
    pub device: String,
    /// Frames a second.
    pub rate_hz: u32,
    /// How samples are handed over, such as `32-bit float`.
    pub format: String,
    /// The depth to which everything is rounded, with dither; none: as it is handed over.
    pub bits: Option<u32>,
    /// Frames a buffer.
    pub buffer_frames: u32,
    /// The budget of a response time.
    pub timing: Timing,
}

/// Standard uncertainties of a response time, ms: what differs from one trial to the next. What lies
/// behind the latency that the device declares (a sound server, a wireless link) is not in it; it is
/// the same in every trial of one set-up, and unknown.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Timing {
    /// Of the true onset: the callback comes at any time within a buffer.
    pub u_onset_ms: f64,
    /// Of the press: a keyboard is asked only so often.
    pub u_press_ms: f64,
    /// Of the window's turn in which the press is read.
    pub u_turn_ms: f64,
    /// Of the response time: all of them together.
    pub u_response_ms: f64,
}

/// What was played that is no presentation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PlayedWhat {
    /// Instructions from a recording.
    Instructions,
    /// Words from a recording whose level was calibrated.
    Words,
    /// The soft tones of the which-ear check.
    WhichEar,
}

/// Sound that is no presentation, and reached the person.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Played {
    /// What it was.
    pub what: PlayedWhat,
    /// What it is called: of a recording its file's name.
    pub title: String,
    /// Of a recording: SHA-256 of its file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub digest: Option<String>,
    /// Where it sounded, how loud and how long.
    pub sounds: Vec<PlayedSound>,
    /// Whether it was played to its end.
    pub whole: bool,
}

/// A sound at one ear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct PlayedSound {
    /// The ear.
    pub ear: Ear,
    /// The frequency that the level refers to.
    pub hz: Hz,
    /// The level of a tone of the same power.
    #[serde(flatten)]
    pub level: Level,
    /// How long it sounded, s.
    pub seconds: f64,
}

/// The examiner has listened first: at each ear a tone rose from silence, by hand, until it was
/// heard.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Listened {
    /// One an ear.
    pub rises: Vec<Rise>,
}

/// A tone that rose until it was heard.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Rise {
    /// The ear.
    pub ear: Ear,
    /// The tone's frequency.
    pub hz: Hz,
    /// Where it began, dB on the scale of `level`.
    pub from_db: f64,
    /// Where it was heard.
    #[serde(flatten)]
    pub level: Level,
}

/// Something to be kept of the sound beside the presentations.
#[derive(Debug, Clone, PartialEq)]
pub enum SoundNote {
    /// An output was opened.
    Output(OutputOpened),
    /// The examiner has listened.
    Listened(Listened),
    /// Something was played.
    Played(Played),
}

impl From<SoundNote> for Body {
    fn from(note: SoundNote) -> Body {
        match note {
            SoundNote::Output(output) => Body::OutputOpened(output),
            SoundNote::Listened(listened) => Body::Listened(listened),
            SoundNote::Played(played) => Body::Played(played),
        }
    }
}
