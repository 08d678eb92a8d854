//! What simulated people of an exercise do beside answering: they hold back until they are told to
//! answer the faintest, lean forward, peek, tire, follow a rhythm. Each habit changes what reaches
//! the person within, or what comes of it, and each can be ended by the right word.

use super::{Case, Person, PersonError, Replied, Response, Simulated};
use crate::calibration::{FieldError, within};
use crate::journal::Phrase;
use crate::quantity::{Draws, Ear, Eye, Level, LogMar, Moment, Stream};
use crate::stimulus::{Part, Presentation, Prompted, Task};
use serde::Deserialize;

/// So many optotypes after sitting back the person has come forward again (our choice).
const COMES_FORWARD_AFTER: u32 = 12;
/// Gaps within this of each other are a rhythm, s (our choice).
const RHYTHM_WITHIN_S: f64 = 0.35;

/// Whether three gaps are so even that they let the next presentation expect.
#[must_use]
pub fn is_rhythm(gaps_s: [f64; 3]) -> bool {
    let mean = gaps_s.iter().sum::<f64>() / 3.0;
    gaps_s
        .iter()
        .all(|gap| (gap - mean).abs() <= RHYTHM_WITHIN_S)
}

/// The habits of a case; all are absent unless said.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
pub struct Habits {
    /// Until told to answer the faintest, or to guess, only what is so much clearer is answered, dB.
    pub holds_back_db: f64,
    /// The same in sight, logMAR.
    pub holds_back_log_mar: f64,
    /// Answers what is heard at this ear only, until told again that either ear counts.
    pub takes_one_ear_for_all: Option<Ear>,
    /// Comes nearer by this share of the distance, until told to sit back; comes forward again.
    pub leans_forward: f64,
    /// How often the better eye looks as well, until it is seen to that it is covered.
    pub peeks: f64,
    /// After so many presentations since the last break, answers become careless.
    pub tires_after: Option<u32>,
    /// How often a press comes where a rhythm lets a tone expect.
    pub follows_rhythm: f64,
}

impl Habits {
    pub(super) fn check(&self) -> Result<(), FieldError> {
        for (field, value, high) in [
            ("habits.holds_back_db", self.holds_back_db, 60.0),
            ("habits.holds_back_log_mar", self.holds_back_log_mar, 1.0),
            ("habits.leans_forward", self.leans_forward, 0.6),
            ("habits.peeks", self.peeks, 1.0),
            ("habits.follows_rhythm", self.follows_rhythm, 1.0),
        ] {
            within(field, value, 0.0, high)?;
        }
        Ok(())
    }
}

/// A simulated person with habits.
pub struct Habitual {
    within: Simulated,
    habits: Habits,
    better: Eye,
    seed: u64,
    holds_back: bool,
    one_ear: bool,
    since_sat_back: Option<u32>,
    covered: bool,
    since_break: u32,
    /// When the latest presentations began.
    began: [Option<Moment>; 4],
}

impl Habitual {
    /// The person of a case; the same seed answers the same presentations and words the same way.
    #[must_use]
    pub fn new(case: Case, seed: u64) -> Habitual {
        let habits = case.habits.unwrap_or_default();
        let better = match case.sight {
            Some(sight) if sight.left < sight.right => Eye::Left,
            _ => Eye::Right,
        };
        Habitual {
            within: Simulated::new(case, seed),
            habits,
            better,
            seed,
            holds_back: true,
            one_ear: true,
            since_sat_back: None,
            covered: false,
            since_break: 0,
            began: [None; 4],
        }
    }

    fn draws(&self, n: u32) -> Draws {
        Draws::new(self.seed, Stream::Habits, u64::from(n))
    }

    /// What reaches the person within.
    fn reaching(&self, n: u32, presentation: &Presentation) -> Presentation {
        let mut draws = self.draws(n);
        let peeks = draws.chance(self.habits.peeks) && !self.covered;
        let forward = self.habits.leans_forward > 0.0
            && self
                .since_sat_back
                .is_none_or(|since| since >= COMES_FORWARD_AFTER);
        let mut reaching = presentation.clone();
        for part in &mut reaching.parts {
            match part {
                Part::Sound(sound) if self.holds_back && sound.signal.is_tone() => {
                    let lower_db = sound.level.db() - self.habits.holds_back_db;
                    sound.level = Level::new(sound.level.scale(), lower_db);
                }
                Part::Optotype(shown) => {
                    if peeks {
                        shown.eye = self.better;
                    }
                    let mut log_mar = shown.log_mar.0;
                    if self.holds_back {
                        log_mar -= self.habits.holds_back_log_mar;
                    }
                    if forward {
                        log_mar -= libm::log10(1.0 - self.habits.leans_forward);
                    }
                    shown.log_mar = LogMar(log_mar);
                }
                Part::Hand(hand) if peeks => hand.eye = self.better,
                Part::Sound(_) | Part::Hand(_) => {}
            }
        }
        if let Some(only) = self.habits.takes_one_ear_for_all.filter(|_| self.one_ear) {
            reaching.parts.retain(|part| match part {
                Part::Sound(sound) => sound.ear == only || !sound.signal.is_tone(),
                Part::Optotype(_) | Part::Hand(_) => true,
            });
        }
        reaching
    }

    /// When a press would come of somebody who goes by the rhythm, seconds from the slot's start.
    fn expected_s(&self) -> Option<f64> {
        let [Some(first), Some(second), Some(third), Some(now)] = self.began else {
            return None;
        };
        let gaps = [
            second.seconds_since(first),
            third.seconds_since(second),
            now.seconds_since(third),
        ];
        is_rhythm(gaps).then_some(0.9)
    }

    /// What comes of it.
    fn with_habits(&self, n: u32, presentation: &Presentation, response: Response) -> Response {
        let mut draws = Draws::new(self.seed, Stream::Habits, u64::from(n) + (1 << 32));
        let tired = self
            .habits
            .tires_after
            .is_some_and(|after| self.since_break > after);
        match response {
            Response::Presses(mut presses) => {
                if tired && draws.chance(0.2) {
                    presses.clear();
                }
                if tired && presses.is_empty() && draws.chance(0.15) {
                    presses.push(draws.between(0.3, presentation.window_s.unwrap_or(3.0)));
                }
                if presses.is_empty()
                    && let Some(at) = self.expected_s()
                    && draws.chance(self.habits.follows_rhythm)
                {
                    presses.push(at + draws.between(0.0, 0.4));
                }
                Response::Presses(presses)
            }
            other => other,
        }
    }

    fn pass(&mut self, presentation: &Presentation) {
        self.since_break += 1;
        if presentation.task != Task::Detect {
            self.since_sat_back = self.since_sat_back.map(|since| since + 1);
        }
    }
}

impl Person for Habitual {
    fn answer(&mut self, n: u32, presentation: &Presentation) -> Result<Response, PersonError> {
        let reaching = self.reaching(n, presentation);
        let response = self.within.answer(n, &reaching)?;
        self.pass(presentation);
        Ok(self.with_habits(n, presentation, response))
    }

    fn recall(&mut self, n: u32, presentation: &Presentation) -> Result<(), PersonError> {
        let reaching = self.reaching(n, presentation);
        self.within.recall(n, &reaching)?;
        self.pass(presentation);
        Ok(())
    }

    fn reply(&mut self, n: u32, prompted: &Prompted<'_>) -> Result<Replied, PersonError> {
        self.within.reply(n, prompted)
    }

    fn begins(&mut self, at: Moment) {
        self.began.rotate_left(1);
        self.began[3] = Some(at);
    }

    fn told(&mut self, phrase: Phrase) {
        match phrase {
            Phrase::InstructsAgain => {
                self.holds_back = false;
                self.one_ear = false;
            }
            Phrase::AsksToGuess => self.holds_back = false,
            Phrase::SitsBack => self.since_sat_back = Some(0),
            Phrase::ChecksCover => self.covered = true,
            Phrase::OffersBreak => self.since_break = 0,
            _ => {}
        }
    }
}
