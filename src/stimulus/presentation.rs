//! A presentation: a task and a timeline of parts.

use crate::quantity::{Correction, Ear, Eye, Hz, Level, LogMar, Mm};
use crate::standard::iec_60645_1_2017;
use serde::{Deserialize, Serialize};

/// What the person is asked to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
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
    /// Say whether it is seen, or counted rightly, by hand.
    Sees,
}

/// How the frequency of a warble tone swings, sinusoidally.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Swing {
    /// How often, per second.
    pub rate_hz: f64,
    /// How far to each side, % of the tone's frequency.
    pub deviation_percent: f64,
}

impl Swing {
    /// The usual one: 5 times a second, 5 % to each side (common practice, no source).
    pub const USUAL: Swing = Swing {
        rate_hz: 5.0,
        deviation_percent: 5.0,
    };

    /// Whether it lies within the limits of the trade
    /// ([`iec_60645_1_2017::WARBLE_RATE_HZ`], [`iec_60645_1_2017::WARBLE_DEVIATION_PERCENT`]).
    #[must_use]
    pub fn fits(self) -> bool {
        let within = |value: f64, [low, high]: [f64; 2]| (low..=high).contains(&value);
        within(self.rate_hz, iec_60645_1_2017::WARBLE_RATE_HZ.value)
            && within(
                self.deviation_percent,
                iec_60645_1_2017::WARBLE_DEVIATION_PERCENT.value,
            )
    }
}

/// The kind of sound in a part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Signal {
    /// One steady pure tone.
    #[serde(rename = "tone")]
    Steady,
    /// A pure tone pulsed 225 ms on, 225 ms off.
    #[serde(rename = "pulsed")]
    Pulsed,
    /// A tone whose frequency swings as [`Swing::USUAL`].
    #[serde(rename = "warble")]
    Warble,
    /// A tone whose frequency swings otherwise.
    #[serde(rename = "warble_by")]
    WarbleBy(Swing),
    /// One-third-octave noise that masks a tone of the part's frequency; its level is an
    /// effective masking level.
    #[serde(rename = "narrow_band_noise")]
    NarrowBandNoise,
    /// White noise from 80 Hz to 10 kHz; its level is that of a tone of the part's frequency of
    /// the same power.
    #[serde(rename = "white_noise")]
    WhiteNoise,
    /// Noise with the weight of speech; its level as of white noise.
    #[serde(rename = "speech_noise")]
    SpeechNoise,
}

impl Signal {
    /// Whether it is a tone, which can be detected; noises mask.
    #[must_use]
    pub fn is_tone(self) -> bool {
        matches!(
            self,
            Signal::Steady | Signal::Pulsed | Signal::Warble | Signal::WarbleBy(_)
        )
    }

    /// How its frequency swings.
    #[must_use]
    pub fn swing(self) -> Option<Swing> {
        match self {
            Signal::Warble => Some(Swing::USUAL),
            Signal::WarbleBy(swing) => Some(swing),
            _ => None,
        }
    }
}

/// A sound at one ear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
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

/// A letter of one of the sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[expect(missing_docs, reason = "a letter is its own name")]
pub enum Letter {
    C,
    D,
    H,
    K,
    N,
    O,
    R,
    S,
    T,
    V,
    Z,
}

impl Letter {
    /// The ten of Sloan (1959), in the order of the alphabet.
    pub const SLOAN: [Letter; 10] = [
        Letter::C,
        Letter::D,
        Letter::H,
        Letter::K,
        Letter::N,
        Letter::O,
        Letter::R,
        Letter::S,
        Letter::V,
        Letter::Z,
    ];

    /// The four that look the same in a mirror, for children and through one.
    pub const HOTV: [Letter; 4] = [Letter::H, Letter::O, Letter::T, Letter::V];

    /// As it is written.
    #[must_use]
    pub fn char(self) -> char {
        match self {
            Letter::C => 'C',
            Letter::D => 'D',
            Letter::H => 'H',
            Letter::K => 'K',
            Letter::N => 'N',
            Letter::O => 'O',
            Letter::R => 'R',
            Letter::S => 'S',
            Letter::T => 'T',
            Letter::V => 'V',
            Letter::Z => 'Z',
        }
    }
}

/// A set of optotypes to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum OptotypeSet {
    /// Landolt rings in 8 directions (ISO 8596).
    #[serde(rename = "landolt_8")]
    Landolt8,
    /// Landolt rings in the 4 upright directions.
    #[serde(rename = "landolt_4")]
    Landolt4,
    /// An E whose limbs point in the 4 upright directions.
    TumblingE,
    /// The ten letters of Sloan.
    Sloan,
    /// The letters H, O, T and V.
    Hotv,
}

impl OptotypeSet {
    /// All of them.
    pub const ALL: [OptotypeSet; 5] = [
        OptotypeSet::Landolt8,
        OptotypeSet::Landolt4,
        OptotypeSet::TumblingE,
        OptotypeSet::Sloan,
        OptotypeSet::Hotv,
    ];

    /// The directions that may be shown; none of letters.
    #[must_use]
    pub fn facings(self) -> &'static [Facing] {
        match self {
            OptotypeSet::Landolt8 => &Facing::EIGHT,
            OptotypeSet::Landolt4 | OptotypeSet::TumblingE => &Facing::FOUR,
            OptotypeSet::Sloan | OptotypeSet::Hotv => &[],
        }
    }

    /// The letters that may be shown; none of what has a direction.
    #[must_use]
    pub fn letters(self) -> &'static [Letter] {
        match self {
            OptotypeSet::Landolt8 | OptotypeSet::Landolt4 | OptotypeSet::TumblingE => &[],
            OptotypeSet::Sloan => &Letter::SLOAN,
            OptotypeSet::Hotv => &Letter::HOTV,
        }
    }

    /// All that may be shown, in a fixed order.
    #[must_use]
    pub fn symbols(self) -> Vec<Symbol> {
        let facings = self.facings().iter().copied().map(Symbol::Facing);
        let letters = self.letters().iter().copied().map(Symbol::Letter);
        facings.chain(letters).collect()
    }

    /// How many answers there are to choose from; a guess is right once in so many.
    #[must_use]
    pub fn choices(self) -> u32 {
        (self.facings().len() + self.letters().len()) as u32
    }

    /// What is asked of whoever looks at one.
    #[must_use]
    pub fn task(self) -> Task {
        if self.letters().is_empty() {
            Task::Facing
        } else {
            Task::Letters
        }
    }
}

/// What one optotype says: which way it points, or which letter it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Symbol {
    /// A ring or an E.
    Facing(Facing),
    /// A letter.
    Letter(Letter),
}

impl Symbol {
    /// The direction, of what has one.
    #[must_use]
    pub fn facing(self) -> Option<Facing> {
        match self {
            Symbol::Facing(facing) => Some(facing),
            Symbol::Letter(_) => None,
        }
    }

    /// The letter, of what is one.
    #[must_use]
    pub fn letter(self) -> Option<Letter> {
        match self {
            Symbol::Letter(letter) => Some(letter),
            Symbol::Facing(_) => None,
        }
    }
}

/// One optotype before one eye, or both. In a row the parts stand in reading order.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct OptotypePart {
    /// The eye that looks.
    pub eye: Eye,
    /// The set it was drawn from.
    pub optotype: OptotypeSet,
    /// What it is; in files the key `facing` or `letter`.
    #[serde(flatten)]
    pub symbol: Symbol,
    /// Its size.
    pub log_mar: LogMar,
    /// From the eye to the screen, along the light's path.
    pub distance_mm: Mm,
    /// With a bar on each of its four sides.
    #[serde(default, skip_serializing_if = "is_false")]
    pub crowded: bool,
    /// White on black instead of black on white.
    #[serde(default, skip_serializing_if = "is_false")]
    pub reverse: bool,
    /// How long it is shown, s; none: until it is answered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shown_s: Option<f64>,
    /// What correction the eye wears.
    #[serde(default, skip_serializing_if = "is_as_worn")]
    pub correction: Correction,
    /// Whether the eye looks through a pinhole.
    #[serde(default, skip_serializing_if = "is_false")]
    pub pinhole: bool,
    /// The seed of the printed card on which it stands; none: on the screen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub card: Option<u64>,
}

/// What the examiner shows by hand where the largest optotype is not read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ByHand {
    /// Some fingers, several times, to be counted.
    Fingers,
    /// A hand that moves or rests.
    Motion,
    /// A light that is on or off.
    Light,
}

/// Something shown by hand before one eye.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct HandPart {
    /// The eye that looks.
    pub eye: Eye,
    /// What is shown.
    pub shows: ByHand,
    /// From the eye to it.
    pub distance_mm: Mm,
    /// What correction the eye wears.
    #[serde(default, skip_serializing_if = "is_as_worn")]
    pub correction: Correction,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_as_worn(correction: &Correction) -> bool {
    *correction == Correction::AsWorn
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_false(flag: &bool) -> bool {
    !flag
}

impl OptotypePart {
    /// Black on white, without bars, until it is answered.
    #[must_use]
    pub fn plain(
        eye: Eye,
        optotype: OptotypeSet,
        symbol: Symbol,
        log_mar: LogMar,
        distance_mm: Mm,
    ) -> OptotypePart {
        OptotypePart {
            eye,
            optotype,
            symbol,
            log_mar,
            distance_mm,
            crowded: false,
            reverse: false,
            shown_s: None,
            correction: Correction::AsWorn,
            pinhole: false,
            card: None,
        }
    }
}

/// One part of a presentation.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Part {
    /// Something to hear.
    Sound(SoundPart),
    /// Something to see.
    Optotype(OptotypePart),
    /// Something shown by hand.
    Hand(HandPart),
}

/// One thing presented. A silent presentation is a detection task without a tone; where its
/// neighbours have noise at one ear, so has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
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
            Part::Optotype(_) | Part::Hand(_) => None,
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
            Part::Sound(_) | Part::Hand(_) => None,
        })
    }

    /// What is shown by hand, if anything.
    #[must_use]
    pub fn by_hand(&self) -> Option<&HandPart> {
        self.parts.iter().find_map(|part| match part {
            Part::Hand(hand) => Some(hand),
            Part::Sound(_) | Part::Optotype(_) => None,
        })
    }

    /// The eye that looks, if one does.
    #[must_use]
    pub fn eye(&self) -> Option<Eye> {
        let shown = self.optotypes().next().map(|part| part.eye);
        shown.or_else(|| Some(self.by_hand()?.eye))
    }
}

/// Where in a detection slot the tone lies, or would lie if the slot is silent. The person is
/// never told of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
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

    /// The names in files, and the guess rates of the trade: 1/8, 1/4, 1/10.
    #[test]
    fn sets_have_their_names_and_choices() {
        let told = OptotypeSet::ALL.map(|set| {
            let name = serde_json::to_string(&set).unwrap();
            (name, set.choices(), set.task())
        });
        let expected = [
            ("landolt_8", 8, Task::Facing),
            ("landolt_4", 4, Task::Facing),
            ("tumbling_e", 4, Task::Facing),
            ("sloan", 10, Task::Letters),
            ("hotv", 4, Task::Letters),
        ];
        assert_eq!(
            told,
            expected.map(|(name, choices, task)| (format!("\"{name}\""), choices, task))
        );
        for set in OptotypeSet::ALL {
            assert_eq!(set.symbols().len() as u32, set.choices());
        }
    }

    #[test]
    fn a_part_says_its_facing_or_its_letter_and_only_what_is_special() {
        let part = |optotype, symbol| {
            OptotypePart::plain(Eye::Right, optotype, symbol, LogMar(0.3), Mm(4000.0))
        };
        let ring = part(OptotypeSet::Landolt8, Symbol::Facing(Facing::Up));
        let letter = OptotypePart {
            crowded: true,
            shown_s: Some(0.5),
            ..part(OptotypeSet::Sloan, Symbol::Letter(Letter::K))
        };
        let lines = [
            r#"{"eye":"right","optotype":"landolt_8","facing":"up","log_mar":0.3,"distance_mm":4000.0}"#,
            r#"{"eye":"right","optotype":"sloan","letter":"K","log_mar":0.3,"distance_mm":4000.0,"crowded":true,"shown_s":0.5}"#,
        ];
        for (part, line) in [ring, letter].into_iter().zip(lines) {
            let part = Part::Optotype(part);
            assert_eq!(serde_json::to_string(&part).unwrap(), line);
            assert_eq!(serde_json::from_str::<Part>(line).unwrap(), part);
        }
    }

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
