//! A presentation: a task and a timeline of parts.

use crate::quantity::{Ear, Eye, Hz, Level, LogMar, Mm};
use serde::{Deserialize, Serialize};

/// What the person is asked to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Task {
    /// Press whenever something is heard.
    Detect,
    /// Say in which of two intervals it was.
    Interval,
    /// Say how many there were.
    Count,
    /// Say to which side the optotype opens.
    Facing,
    /// Read the letters.
    Letters,
}

/// The kind of sound in a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Signal {
    /// One steady pure tone.
    #[serde(rename = "tone")]
    Steady,
    /// A pure tone pulsed 225 ms on, 225 ms off.
    #[serde(rename = "pulsed")]
    Pulsed,
    /// A tone whose frequency swings sinusoidally.
    #[serde(rename = "warble")]
    Warble,
    /// One-third-octave noise that masks a tone of the part's frequency; its level is an
    /// effective masking level.
    #[serde(rename = "narrow_band_noise")]
    NarrowBandNoise,
}

/// A sound at one ear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SoundPart {
    /// The ear whose earphone plays it.
    pub ear: Ear,
    /// What is played.
    pub signal: Signal,
    /// The tone's frequency, or the noise band's centre.
    pub hz: Hz,
    /// The level, with its scale.
    #[serde(flatten)]
    pub level: Level,
    /// Where the onset ramp begins, seconds from the start of the presentation.
    pub start_s: f64,
    /// Where the offset ramp has ended, seconds from the start of the presentation.
    pub end_s: f64,
    /// In an interval task: 1 or 2.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval: Option<u8>,
}

/// The direction to which a ring's gap, or an E's limbs, point, as the person sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Facing {
    /// To the person's right.
    Right,
    /// Diagonally up and right.
    UpRight,
    /// Up.
    Up,
    /// Diagonally up and left.
    UpLeft,
    /// To the person's left.
    Left,
    /// Diagonally down and left.
    DownLeft,
    /// Down.
    Down,
    /// Diagonally down and right.
    DownRight,
}

impl Facing {
    /// All eight, counter-clockwise from the right in steps of 45 degrees.
    pub const EIGHT: [Facing; 8] = [
        Facing::Right,
        Facing::UpRight,
        Facing::Up,
        Facing::UpLeft,
        Facing::Left,
        Facing::DownLeft,
        Facing::Down,
        Facing::DownRight,
    ];

    /// The four upright ones, counter-clockwise from the right.
    pub const FOUR: [Facing; 4] = [Facing::Right, Facing::Up, Facing::Left, Facing::Down];

    /// Counter-clockwise from the right, in degrees.
    #[must_use]
    pub fn degrees(self) -> f64 {
        45.0 * f64::from(self as u8)
    }

    /// The same direction seen in a mirror: left and right change places.
    #[must_use]
    pub fn mirrored(self) -> Facing {
        Facing::EIGHT[(12 - self as usize) % 8]
    }
}

/// A set of optotypes to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OptotypeSet {
    /// Landolt rings in 8 directions (ISO 8596).
    #[serde(rename = "landolt_8")]
    Landolt8,
    /// Landolt rings in the 4 upright directions.
    #[serde(rename = "landolt_4")]
    Landolt4,
}

impl OptotypeSet {
    /// The directions that may be shown.
    #[must_use]
    pub fn facings(self) -> &'static [Facing] {
        match self {
            OptotypeSet::Landolt8 => &Facing::EIGHT,
            OptotypeSet::Landolt4 => &Facing::FOUR,
        }
    }

    /// How many answers there are to choose from; a guess is right once in so many.
    #[must_use]
    pub fn choices(self) -> u32 {
        self.facings().len() as u32
    }
}

/// One optotype before one eye, or both.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OptotypePart {
    /// The eye that looks.
    pub eye: Eye,
    /// The set it was drawn from.
    pub optotype: OptotypeSet,
    /// Where it points.
    pub facing: Facing,
    /// Its size.
    pub log_mar: LogMar,
    /// From the eye to the screen, along the light's path.
    pub distance_mm: Mm,
}

/// One part of a presentation.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Part {
    /// Something to hear.
    Sound(SoundPart),
    /// Something to see.
    Optotype(OptotypePart),
}

/// One thing presented. A silent presentation is a detection task without a tone; where its
/// neighbours have noise at one ear, so has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Presentation {
    /// What the person is asked to do.
    pub task: Task,
    /// How long the slot lasts from its start; the answer must come within it. None: no limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub window_s: Option<f64>,
    /// What reaches ear and eye.
    pub parts: Vec<Part>,
}

impl Presentation {
    /// The sounds among the parts.
    pub fn sounds(&self) -> impl Iterator<Item = &SoundPart> {
        self.parts.iter().filter_map(|part| match part {
            Part::Sound(sound) => Some(sound),
            Part::Optotype(_) => None,
        })
    }

    /// The tones among the parts: what is to be heard.
    pub fn tones(&self) -> impl Iterator<Item = &SoundPart> {
        self.sounds()
            .filter(|sound| sound.signal != Signal::NarrowBandNoise)
    }

    /// The noises among the parts: they mask, and nobody is asked about them.
    pub fn maskers(&self) -> impl Iterator<Item = &SoundPart> {
        self.sounds()
            .filter(|sound| sound.signal == Signal::NarrowBandNoise)
    }

    /// The optotypes among the parts.
    pub fn optotypes(&self) -> impl Iterator<Item = &OptotypePart> {
        self.parts.iter().filter_map(|part| match part {
            Part::Optotype(optotype) => Some(optotype),
            Part::Sound(_) => None,
        })
    }
}

/// Where in a detection slot the tone lies, or would lie if the slot is silent. The person is
/// never told of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ToneSlot {
    /// Silence before the onset.
    pub onset_s: f64,
    /// Where the tone has ended.
    pub end_s: f64,
    /// Where the answer window closes: the length of the slot.
    pub window_s: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mirror_swaps_left_and_right_only() {
        assert_eq!(Facing::Right.mirrored(), Facing::Left);
        assert_eq!(Facing::UpRight.mirrored(), Facing::UpLeft);
        assert_eq!(Facing::DownLeft.mirrored(), Facing::DownRight);
        assert_eq!(Facing::Up.mirrored(), Facing::Up);
        assert_eq!(Facing::Down.mirrored(), Facing::Down);
        for facing in Facing::EIGHT {
            assert_eq!(facing.mirrored().mirrored(), facing);
        }
    }
}
