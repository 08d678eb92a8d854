//! A simulated person, as a case file describes it.

use super::case::{BarFollows, BarOf, Case, ForcedChoice, HearingTruth, Kind, Manner, NamedChoice};
use super::{Person, PersonError, Replied, Response};
use crate::belief::{ChoiceFunction, DetectionFunction, logistic};
use crate::quantity::{Draws, Ear, Eye, Hz, Level, Mm, Side, Stream};
use crate::stimulus::{
    ByHand, HandPart, OptotypePart, Presentation, Prompted, Signal, SoundPart, Symbol, Task,
};
use statrs::distribution::{ContinuousCDF, Normal};

/// Correlation of the wander of hearing from one presentation to the next.
const WANDER_CORRELATION: f64 = 0.95;
/// The same for the bar.
const BAR_CORRELATION: f64 = 0.98;

/// After so many presentations a third of what is to be learnt is left.
const LEARNT_AFTER: f64 = 40.0;

/// A simulated person.
pub struct Simulated {
    case: Case,
    seed: u64,
    presented: u32,
    wander_db: f64,
    bar_wander_db: f64,
    /// Running level of what was heard of late, which a bar follows.
    company_db: f64,
}

impl Simulated {
    /// The person of a case; the same seed answers the same presentations the same way.
    #[must_use]
    pub fn new(case: Case, seed: u64) -> Simulated {
        let mut draws = Draws::new(seed, Stream::PersonState, 0);
        let wander_db = case.manner.wander_db * draws.normal();
        let bar_wander_db = case.manner.bar_wander_db * draws.normal();
        Simulated {
            case,
            seed,
            presented: 0,
            wander_db,
            bar_wander_db,
            company_db: 40.0,
        }
    }

    fn manner(&self) -> &Manner {
        &self.case.manner
    }

    /// Time goes by: hearing wanders, the bar wanders.
    fn pass(&mut self, n: u32) {
        let mut draws = Draws::new(self.seed, Stream::PersonState, u64::from(n));
        let wander = |last: f64, correlation: f64, sd: f64, normal: f64| {
            correlation * last + sd * libm::sqrt(1.0 - correlation * correlation) * normal
        };
        let manner = self.case.manner;
        self.wander_db = wander(
            self.wander_db,
            WANDER_CORRELATION,
            manner.wander_db,
            draws.normal(),
        );
        self.bar_wander_db = wander(
            self.bar_wander_db,
            BAR_CORRELATION,
            manner.bar_wander_db,
            draws.normal(),
        );
        self.presented += 1;
    }

    fn remember(&mut self, presentation: &Presentation) {
        for sound in presentation.tones() {
            self.company_db += 0.2 * (level_db_hl(sound) - self.company_db);
        }
    }

    /// How far hearing stands from its midpoints now, dB.
    fn shift_db(&self) -> f64 {
        let drift_db = self.manner().drift_db * f64::from(self.presented) / 100.0;
        let learning_db =
            self.manner().learning_db * libm::exp(-f64::from(self.presented) / LEARNT_AFTER);
        self.manner().criterion_db + self.wander_db + drift_db + learning_db
    }

    /// How often a clear tone goes unanswered now: it grows as the person tires.
    fn lapse(&self) -> f64 {
        let manner = self.manner();
        let grown = manner.lapse + manner.lapse_drift * f64::from(self.presented) / 100.0;
        grown.min(1.0 - manner.false_alarm)
    }

    /// How often a person presses who does not go by what is presented.
    fn random_p(&self, level_db: Option<f64>) -> f64 {
        let manner = self.manner();
        let louder = level_db.map_or(0.0, |db| manner.random_slope * (db - 40.0) / 100.0);
        (manner.random_rate + louder).clamp(0.0, 1.0)
    }

    fn false_alarm(&self, hz: Option<Hz>) -> f64 {
        let manner = self.manner();
        let rings = manner.tinnitus_hz > 0.0
            && hz.is_some_and(|hz| hz.octaves_above(Hz(manner.tinnitus_hz)).abs() <= 0.5);
        if rings {
            manner.false_alarm_tinnitus
        } else {
            manner.false_alarm
        }
    }

    /// How far above its midpoint this tone is for the ear that hears it better, dB.
    fn above_midpoint_db(
        &self,
        hearing: &HearingTruth,
        tone: &SoundPart,
        beside: &[&SoundPart],
    ) -> f64 {
        let at = |ear: Ear| {
            let level_db = hearing.arriving_db(tone, ear);
            level_db - hearing.masked_midpoint_db(ear, tone.hz, beside) - self.shift_db()
        };
        at(tone.ear).max(at(tone.ear.other()))
    }

    /// Whether this ear's answers go by the bar.
    fn barred_ear(&self, ear: Ear) -> bool {
        match self.manner().kind {
            _ if self.manner().bar_of == BarOf::Sight => false,
            Kind::RaisedBar | Kind::Contrary => true,
            Kind::RaisedBarOneSide => ear == self.manner().ear,
            Kind::Genuine | Kind::Random => false,
        }
    }

    /// The bar at an ear and frequency now, dB HL; never under the midpoint plus 3.
    fn bar_db(&self, hearing: &HearingTruth, ear: Ear, hz: Hz) -> f64 {
        let manner = self.manner();
        let drift_db = manner.bar_drift_db * f64::from(self.presented) / 100.0;
        let pull_db = manner.bar_pull * (self.company_db - manner.bar_db_hl).clamp(-40.0, 40.0);
        let bar_db = manner.bar_db_hl + self.bar_wander_db + drift_db + pull_db;
        bar_db.max(hearing.midpoint_db(ear, hz) + 3.0)
    }

    /// The probability of a press for one tone at one ear, beside all that sounds.
    fn p_sound(&self, hearing: &HearingTruth, sound: &SoundPart, beside: &[&SoundPart]) -> f64 {
        let manner = self.manner();
        let g = self.false_alarm(Some(sound.hz));
        if self.barred_ear(sound.ear) {
            let over = level_db_hl(sound) - self.bar_db(hearing, sound.ear, sound.hz);
            return g + (1.0 - g - 0.01) * normal_cdf(over / manner.bar_jitter_db);
        }
        let function = DetectionFunction {
            midpoint_db: 0.0,
            scale_db: manner.scale_db,
            false_alarm: g,
            lapse: self.lapse(),
        };
        function.p(self.above_midpoint_db(hearing, sound, beside))
    }

    /// The probability of a press for the whole presentation.
    fn p_detect(&self, hearing: &HearingTruth, sounds: &[&SoundPart]) -> f64 {
        let own_db = |tone: &SoundPart| {
            let midpoint_db = hearing.masked_midpoint_db(tone.ear, tone.hz, sounds);
            level_db_hl(tone) - midpoint_db - self.shift_db()
        };
        let tones = || sounds.iter().copied().filter(|sound| is_tone(sound));
        let at = |ear: Ear| tones().find(|tone| tone.ear == ear);
        if let (Some(right), Some(left)) = (at(Ear::Right), at(Ear::Left))
            && right.hz == left.hz
        {
            // One tone in both ears is heard on the side where it is clearly more above threshold.
            let apart_db = own_db(right) - own_db(left);
            let side = if apart_db > 0.0 { right } else { left };
            if apart_db.abs() > 5.0 && self.barred_ear(side.ear) {
                return self.manner().bar_both_ears_rate;
            }
        }
        tones()
            .map(|tone| self.p_sound(hearing, tone, sounds))
            .fold(0.0, f64::max)
    }

    fn detect(&self, presentation: &Presentation, draws: &mut Draws) -> Vec<f64> {
        let sounds: Vec<&SoundPart> = presentation.sounds().collect();
        let slot_s = presentation.window_s.unwrap_or(3.0);
        let random = self.manner().kind == Kind::Random;
        let Some(first) = sounds.iter().find(|sound| is_tone(sound)) else {
            let p = if random {
                self.random_p(None)
            } else {
                self.manner().false_alarm
            };
            return if draws.chance(p) {
                vec![draws.between(0.0, slot_s)]
            } else {
                Vec::new()
            };
        };
        let p = match &self.case.hearing {
            _ if random => self.random_p(Some(level_db_hl(first))),
            Some(hearing) => self.p_detect(hearing, &sounds),
            None => self.manner().false_alarm,
        };
        if draws.chance(p) {
            vec![first.start_s + self.latency_s(p, draws)]
        } else {
            Vec::new()
        }
    }

    /// Reaction time: log-normal, longer by up to 0.5 s near threshold.
    fn latency_s(&self, p: f64, draws: &mut Draws) -> f64 {
        let near_threshold = 4.0 * p * (1.0 - p);
        self.manner().latency_s * libm::exp(0.25 * draws.normal()) + 0.5 * near_threshold
    }

    fn interval(&self, presentation: &Presentation, draws: &mut Draws) -> u8 {
        let beside: Vec<&SoundPart> = presentation.sounds().collect();
        let Some((sound, right)) = presentation
            .tones()
            .find_map(|sound| Some((sound, sound.interval?)))
        else {
            return 1 + u8::from(draws.chance(0.5));
        };
        let p_right = match &self.case.hearing {
            Some(hearing) if self.manner().kind != Kind::Random => {
                let barred = self.barred_ear(sound.ear)
                    && level_db_hl(sound) < self.bar_db(hearing, sound.ear, sound.hz);
                let above_db = self.above_midpoint_db(hearing, sound, &beside) + 3.0;
                let hears = (1.0 - self.lapse()) * logistic(above_db / self.manner().scale_db);
                let chosen = if barred {
                    self.p_choice_under_bar(0.5, 0.2)
                } else {
                    1.0
                };
                hears * chosen + (1.0 - hears) * 0.5
            }
            _ => 0.5,
        };
        if draws.chance(p_right) {
            right
        } else {
            3 - right
        }
    }

    /// How often what is perceived under a bar is chosen rightly.
    fn p_choice_under_bar(&self, chance: f64, below_chance: f64) -> f64 {
        match self.manner().choice() {
            ForcedChoice::Named(NamedChoice::Chance) => chance,
            ForcedChoice::Named(NamedChoice::BelowChance) => below_chance,
            ForcedChoice::Named(NamedChoice::Honest) => 1.0,
            ForcedChoice::Probability(p) => p,
        }
    }

    fn count(&self, presentation: &Presentation, draws: &mut Draws) -> u32 {
        let Some(hearing) = &self.case.hearing else {
            return 0;
        };
        let beside: Vec<&SoundPart> = presentation.sounds().collect();
        let heard = presentation
            .tones()
            .filter(|tone| draws.chance(self.p_sound(hearing, tone, &beside)));
        heard.count() as u32
    }

    /// One optotype: what the person takes it for, and how surely it was seen. Whoever is wrong
    /// takes every other symbol of the set equally often.
    fn look(&self, shown: &OptotypePart, draws: &mut Draws) -> (Symbol, f64) {
        let choices = shown.optotype.choices();
        let p = self.p_right(shown, choices, draws);
        let symbol = if draws.chance(p) {
            shown.symbol
        } else {
            let mut wrong = shown.optotype.symbols();
            wrong.retain(|one| *one != shown.symbol);
            wrong[draws.below(wrong.len())]
        };
        let guess = 1.0 / f64::from(choices);
        (symbol, ((p - guess) / (1.0 - guess)).clamp(0.0, 1.0))
    }

    fn face(&self, shown: &OptotypePart, draws: &mut Draws) -> Result<Response, PersonError> {
        let (symbol, seen) = self.look(shown, draws);
        let Some(facing) = symbol.facing() else {
            return Err(PersonError("a letter has no direction".into()));
        };
        let after_s = self.latency_s(seen, draws);
        Ok(Response::Facing { facing, after_s })
    }

    fn read(
        &self,
        presentation: &Presentation,
        draws: &mut Draws,
    ) -> Result<Response, PersonError> {
        let (mut letters, mut after_s) = (String::new(), 0.0);
        for shown in presentation.optotypes() {
            let (symbol, seen) = self.look(shown, draws);
            let Some(letter) = symbol.letter() else {
                return Err(PersonError("a direction is no letter".into()));
            };
            letters.push(letter.char());
            after_s += self.latency_s(seen, draws);
        }
        Ok(Response::Letters {
            letters,
            after_s: Some(after_s),
        })
    }

    /// Whether something shown by hand is seen: surely where the eye's midpoint allows it, except by a
    /// lapse; of a bar, where it is larger than the bar.
    fn sees(&self, hand: &HandPart, draws: &mut Draws) -> bool {
        let manner = self.manner();
        let lapses = draws.chance(manner.lapse);
        let Some(sight) = self.case.sight.filter(|_| manner.kind != Kind::Random) else {
            return draws.chance(0.5);
        };
        let far = sight.far_log_mar(hand.eye, hand.correction);
        let size = seen_up_to_log_mar(hand.shows, hand.distance_mm);
        let barred = self.barred_eye(hand.eye) && size < manner.bar_log_mar;
        far <= size && !barred && !lapses
    }

    /// The probability of the right symbol.
    fn p_right(&self, shown: &OptotypePart, choices: u32, draws: &mut Draws) -> f64 {
        let manner = self.manner();
        let guess = 1.0 / f64::from(choices);
        let Some(sight) = self.case.sight.filter(|_| manner.kind != Kind::Random) else {
            return guess;
        };
        let function = ChoiceFunction {
            midpoint: sight.looking(shown) + self.astigmatism(shown.symbol),
            scale: manner.scale_log_mar,
            choices,
            lapse: manner.lapse,
        };
        let p = function.p(shown.log_mar.0);
        let p = if self.on_blind_side(shown.symbol) {
            // What lies on the blind side is missed, and guessed.
            p - manner.blind_side_miss * (p - guess).max(0.0)
        } else {
            p
        };
        let size = match manner.bar_follows {
            BarFollows::Angle => shown.log_mar.0,
            // A height on the wall: farther away the same angle is taller.
            BarFollows::Size => shown.log_mar.0 + libm::log10(shown.distance_mm.0 / 4000.0),
        };
        let jitter = manner.bar_jitter_log_mar * draws.normal();
        if !(self.barred_eye(shown.eye) && size < manner.bar_log_mar + jitter) {
            return p;
        }
        let perceived = draws.chance((p - guess) / (1.0 - guess));
        if perceived {
            self.p_choice_under_bar(guess, 0.4 * guess)
        } else {
            guess
        }
    }

    /// How much larger a gap has to be whose direction lies along the blurred axis, logMAR.
    fn astigmatism(&self, symbol: Symbol) -> f64 {
        let Some(facing) = symbol.facing() else {
            return 0.0;
        };
        let off = (facing.degrees() - self.manner().astigmatic_axis_deg).to_radians();
        let along = libm::cos(off);
        self.manner().astigmatic_log_mar * along * along
    }

    fn on_blind_side(&self, symbol: Symbol) -> bool {
        let away = symbol
            .facing()
            .map_or(0.0, |facing| libm::cos(facing.degrees().to_radians()));
        match self.manner().blind_side {
            Some(Side::Right) => away > 0.1,
            Some(Side::Left) => away < -0.1,
            None => false,
        }
    }

    fn barred_eye(&self, eye: Eye) -> bool {
        match self.manner().kind {
            _ if self.manner().bar_of == BarOf::Hearing => false,
            Kind::RaisedBar | Kind::Contrary => true,
            Kind::RaisedBarOneSide => eye == self.manner().eye,
            Kind::Genuine | Kind::Random => false,
        }
    }
}

/// The poorest midpoint, logMAR, with which something shown by hand is still seen: midway between the
/// published means of what such eyes read. Fingers at 30 cm 1.98, hand motion 2.28 (Lange 2009); light
/// 2.7 and none 3.0 are usual codes, not measured (from memory). Fingers grow with nearness.
#[must_use]
pub fn seen_up_to_log_mar(shows: ByHand, distance: Mm) -> f64 {
    match shows {
        ByHand::Fingers => 2.13 + libm::log10(300.0 / distance.0),
        ByHand::Motion => 2.49,
        ByHand::Light => 2.85,
    }
}

impl Person for Simulated {
    fn answer(&mut self, n: u32, presentation: &Presentation) -> Result<Response, PersonError> {
        self.pass(n);
        let mut draws = Draws::new(self.seed, Stream::Person, u64::from(n));
        let response = match presentation.task {
            Task::Detect => Response::Presses(self.detect(presentation, &mut draws)),
            Task::Interval => Response::Interval(self.interval(presentation, &mut draws)),
            Task::Count => Response::Count(self.count(presentation, &mut draws)),
            Task::Facing => match presentation.optotypes().next() {
                Some(shown) => self.face(shown, &mut draws)?,
                None => return Err(PersonError("an optotype task without an optotype".into())),
            },
            Task::Letters => self.read(presentation, &mut draws)?,
            Task::Sees => match presentation.by_hand() {
                Some(hand) => Response::Sees {
                    sees: self.sees(hand, &mut draws),
                    after_s: Some(0.5 + self.latency_s(1.0, &mut draws)),
                },
                None => return Err(PersonError("nothing is shown by hand".into())),
            },
        };
        self.remember(presentation);
        Ok(response)
    }

    fn reply(&mut self, n: u32, prompted: &Prompted<'_>) -> Result<Replied, PersonError> {
        let mut draws = Draws::new(self.seed, Stream::Person, u64::from(n));
        let Some(truth) = &self.case.bedside else {
            let what = format!("prompt {n}: the case has no [bedside]");
            return Err(PersonError(what));
        };
        let reply = truth.reply(prompted, self.manner(), &mut draws);
        Ok(Replied {
            reply,
            // Said aloud: later than a key by about half a second (our choice).
            after_s: 0.5 + self.latency_s(1.0, &mut draws),
        })
    }

    fn recall(&mut self, n: u32, presentation: &Presentation) -> Result<(), PersonError> {
        self.pass(n);
        self.remember(presentation);
        Ok(())
    }
}

impl HearingTruth {
    /// The level at which a sound arrives at an ear, dB HL: crossing the head it loses the
    /// interaural attenuation, be it tone or noise.
    fn arriving_db(&self, sound: &SoundPart, ear: Ear) -> f64 {
        let level_db = level_db_hl(sound);
        if sound.ear == ear {
            level_db
        } else {
            level_db - self.interaural_attenuation_db
        }
    }

    /// The midpoint at an ear beside all that sounds, dB HL: noise of effective masking level M at
    /// that ear lifts it to M, wherever the noise was given.
    fn masked_midpoint_db(&self, ear: Ear, hz: Hz, beside: &[&SoundPart]) -> f64 {
        let noises = beside
            .iter()
            .filter(|sound| !is_tone(sound) && sound.hz == hz);
        noises
            .map(|noise| self.arriving_db(noise, ear))
            .fold(self.midpoint_db(ear, hz), f64::max)
    }
}

fn is_tone(sound: &SoundPart) -> bool {
    sound.signal != Signal::NarrowBandNoise
}

/// Simulated people live on the simulated set-up; a level of another scale is taken as its number.
fn level_db_hl(sound: &SoundPart) -> f64 {
    match sound.level {
        Level::Hl(level) => level.0,
        other => other.db(),
    }
}

fn normal_cdf(x: f64) -> f64 {
    Normal::standard().cdf(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outside::rows;

    /// Against scipy (`tests/outside/tables/normal.csv`); the library states 1e-10.
    #[test]
    fn the_normal_distribution_is_scipys() {
        let cdf: Vec<_> = rows("normal.csv")
            .into_iter()
            .filter(|row| &row[0] == "cdf")
            .collect();
        assert!(cdf.len() > 20);
        for row in cdf {
            let (x, p): (f64, f64) = (row[1].parse().unwrap(), row[2].parse().unwrap());
            assert!((normal_cdf(x) - p).abs() < 1e-9, "{x}");
        }
    }
}
