//! Which earphone is on which ear? Soft tones on a random side; the person says on which.

use crate::calibration::EarphoneProfile;
use crate::errand::{Listening, Sounding, sounding};
use crate::journal::{Played, PlayedSound, PlayedWhat};
use crate::quantity::{Db, Draws, Ear, Hz, Level, Scale, Stream};
use crate::stimulus::{Part, Presentation, Signal, SoundPart, Task};

/// So many tones, all of which must be told rightly: a guess passes once in 16.
pub const TONES: usize = 4;
const HZ: Hz = Hz(1000.0);
const TONE_S: f64 = 1.0;
/// Over what is just heard.
const SOFT: Db = Db(30.0);
const MARGIN_S: f64 = 0.3;

/// A check under way, or done.
#[derive(Debug, Clone, PartialEq)]
pub struct EarCheck {
    sides: Vec<Ear>,
    answers: Vec<Ear>,
}

impl EarCheck {
    /// A new check with sides drawn from `seed`.
    #[must_use]
    pub fn new(seed: u64) -> EarCheck {
        let side = |n| {
            if Draws::new(seed, Stream::Lead, n).chance(0.5) {
                Ear::Right
            } else {
                Ear::Left
            }
        };
        EarCheck {
            sides: (0..TONES as u64).map(side).collect(),
            answers: Vec::new(),
        }
    }

    /// The side of the tone that waits for its answer; none when all were answered.
    #[must_use]
    pub fn side(&self) -> Option<Ear> {
        self.sides.get(self.answers.len()).copied()
    }

    /// Takes the person's answer.
    pub fn answer(&mut self, ear: Ear) {
        if self.side().is_some() {
            self.answers.push(ear);
        }
    }

    /// How many were answered, and how many rightly.
    #[must_use]
    pub fn count(&self) -> (usize, usize) {
        let right = self
            .sides
            .iter()
            .zip(&self.answers)
            .filter(|(side, answer)| side == answer);
        (self.answers.len(), right.count())
    }

    /// For the record: what the person has heard of it.
    #[must_use]
    pub fn played(&self, level: Level) -> Played {
        let sound = |ear: &Ear| PlayedSound {
            ear: *ear,
            hz: HZ,
            level,
            seconds: TONE_S,
        };
        Played {
            what: PlayedWhat::WhichEar,
            title: format!("{} of {TONES} told to the right side", self.count().1),
            digest: None,
            sounds: self.sides[..self.answers.len()].iter().map(sound).collect(),
            whole: self.side().is_none(),
        }
    }

    /// Whether all were told rightly.
    #[must_use]
    pub fn passed(&self) -> bool {
        self.count() == (TONES, TONES)
    }

    /// Whether all were told the other way round: the earphones are on the wrong ears.
    #[must_use]
    pub fn reversed(&self) -> bool {
        self.count() == (TONES, 0)
    }
}

/// The level of the tones: 30 dB HL, or as far over what the examiner heard first, where nothing
/// else is known; none before the examiner has listened.
#[must_use]
pub fn level(earphone: &EarphoneProfile, listening: Option<&Listening>) -> Option<Level> {
    let level_db = match earphone.scale() {
        Scale::DbHl | Scale::DbReExaminer => SOFT.0,
        Scale::DbFs => listening?.plainly(SOFT)?.0,
    };
    Some(Level::new(earphone.scale(), level_db))
}

/// The samples of a tone at one side.
///
/// # Errors
/// One line, if the profile cannot give it.
pub fn tone(
    earphone: &EarphoneProfile,
    ear: Ear,
    level: Level,
    rate_hz: u32,
) -> Result<Sounding, String> {
    let (start_s, end_s) = (MARGIN_S, MARGIN_S + TONE_S);
    let part = SoundPart {
        ear,
        signal: Signal::Steady,
        hz: HZ,
        level,
        start_s,
        end_s,
        interval: None,
    };
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(end_s + MARGIN_S),
        parts: vec![Part::Sound(part)],
    };
    sounding(&presentation, earphone, rate_hz, 0).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_of_four_pass_and_none_of_four_is_the_wrong_way_round() {
        let mut right = EarCheck::new(7);
        let mut wrong = EarCheck::new(7);
        while let Some(side) = right.side() {
            right.answer(side);
            wrong.answer(side.other());
        }
        assert!(right.passed() && !right.reversed());
        assert!(wrong.reversed() && !wrong.passed());
        right.answer(Ear::Left);
        assert_eq!(right.count(), (TONES, TONES));
        let mut one_wrong = EarCheck::new(7);
        one_wrong.answer(one_wrong.side().unwrap().other());
        while let Some(side) = one_wrong.side() {
            one_wrong.answer(side);
        }
        assert!(!one_wrong.passed() && !one_wrong.reversed());
    }

    #[test]
    fn both_sides_come_up() {
        let first = |seed| EarCheck::new(seed).side();
        assert!((0..20).any(|seed| first(seed) == Some(Ear::Left)));
        assert!((0..20).any(|seed| first(seed) == Some(Ear::Right)));
    }

    #[test]
    fn a_tone_sounds_at_its_side_only() {
        let earphone = EarphoneProfile::simulated();
        let level = level(&earphone, None).unwrap();
        let slot = tone(&earphone, Ear::Left, level, 48_000).unwrap().slot;
        let peak = |channel: usize| {
            slot.samples
                .iter()
                .skip(channel)
                .step_by(2)
                .fold(0.0_f32, |most, x| most.max(x.abs()))
        };
        assert!(peak(0) > 0.0 && peak(1).abs() < f32::EPSILON);
    }
}
