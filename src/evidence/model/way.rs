//! One way of answering sounds, with every parameter said.

use super::weighed::{Asked, Weighed};
use crate::belief::logistic;
use crate::quantity::{Ear, Hz};

/// Two intervals are told apart so far below the level that is answered half the time, dB: the
/// clinical threshold lies 2 to 4 dB above that of a two-interval choice (from memory).
const CHOICE_BETTER_DB: f64 = 3.0;
/// How much steeper than for presses the step over a bar is in a forced choice (our choice).
const CHOICE_STEEPER: f64 = 3.0;
/// One tone in both ears is heard on the side where it is so much further above what is heard, dB
/// (our choice).
const SIDE_DB: f64 = 5.0;
/// Company pulls a bar by no more than of this distance, dB (our choice).
const PULL_REACH_DB: f64 = 40.0;
/// After so many hundreds of presentations a third of what is to be learnt is left.
const LEARNT_AFTER_HUNDREDS: f64 = 0.4;

/// A way of answering.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Logistic scale of the step from no to yes, dB.
    pub scale_db: f64,
    /// How often silence is answered.
    pub false_alarm: f64,
    /// Where silence is answered more often, if anywhere, within half an octave, and how often.
    pub rings: Option<(Hz, f64)>,
    /// How often a clear tone goes unanswered at first …
    pub lapse: f64,
    /// … and how much more often after a hundred presentations.
    pub lapse_growth: f64,
    /// How far the level stands elsewhere each time a frequency is taken up (SD), dB.
    pub wander_db: f64,
    /// How far it drifts in a hundred presentations, dB.
    pub drift_db: f64,
    /// How much higher it is at first, dB.
    pub learning_db: f64,
    /// In a forced choice this much less is needed than the 3 dB that everybody needs less, dB.
    pub hesitates_db: f64,
    /// What is answered by.
    pub by: By,
}

/// What is answered by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By {
    /// What is heard.
    Hearing,
    /// Nothing is heard of anything that was presented.
    Deaf,
    /// A bar.
    Bar(Bar),
    /// Nothing: a press with this probability at 40 dB, and so much more at 100 dB more.
    Chance {
        /// At 40 dB and in silence.
        rate: f64,
        /// In 100 dB.
        slope: f64,
    },
}

/// A bar of one's own under which nothing is answered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Of which ear alone; none: of both.
    pub ear: Option<Ear>,
    /// How far it follows the running level of its company, dB per dB.
    pub pull: f64,
    /// How often a tone in both ears is answered that is heard on the barred side.
    pub both_ears: f64,
    /// How often what is perceived under the bar is chosen rightly.
    pub choice: f64,
    /// How far the bar stands over what is heard, dB.
    pub over_hearing_db: f64,
    /// How much poorer the barred ear truly is, dB.
    pub truly_poorer_db: f64,
}

/// One answer under one way: how likely a press, or the right interval, is by the level at its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Asking {
    /// The same at any level.
    Level(f64),
    /// By the step.
    Step(Step),
    /// In a forced choice by a bar: by what is heard, and by the step over the bar.
    Choice {
        /// How likely it is heard.
        hears: Step,
        /// Whether it is over the bar.
        over: Step,
        /// How often what is heard under it is chosen rightly.
        choice: f64,
    },
}

/// `floor` + `rise` times the logistic step of `level_db` less the level at the place, shifted and
/// pulled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Step {
    pub floor: f64,
    pub rise: f64,
    pub level_db: f64,
    /// dB per dB towards `company_db`.
    pub pull: f64,
    pub company_db: f64,
}

impl Step {
    /// How far the presentation lies over the middle of the step, dB.
    pub fn over_db(&self, midpoint_db: f64) -> f64 {
        let off_db = (self.company_db - midpoint_db).clamp(-PULL_REACH_DB, PULL_REACH_DB);
        self.level_db - midpoint_db - self.pull * off_db
    }

    fn p(&self, midpoint_db: f64, step: &impl Fn(f64) -> f64) -> f64 {
        self.floor + self.rise * step(self.over_db(midpoint_db))
    }
}

impl Asking {
    /// How likely a press, or the right interval, is; `step` is the step by dB over its middle.
    pub fn p(&self, midpoint_db: f64, step: &impl Fn(f64) -> f64) -> f64 {
        match self {
            Asking::Level(p) => *p,
            Asking::Step(by) => by.p(midpoint_db, step),
            Asking::Choice {
                hears,
                over,
                choice,
            } => {
                let hears = hears.p(midpoint_db, step);
                // A choice is not jittered as a press is: who is asked which, knows the bar better.
                let over = step(CHOICE_STEEPER * over.over_db(midpoint_db));
                hears * (over + (1.0 - over) * choice) + (1.0 - hears) * 0.5
            }
        }
    }
}

impl Way {
    /// How likely this answer is where the level is `midpoint_db`.
    #[must_use]
    pub fn likelihood(&self, answer: &Weighed, midpoint_db: f64) -> f64 {
        let step = |over_db: f64| logistic(over_db / self.scale_db);
        let p = self.asked(answer).p(midpoint_db, &step);
        if answer.yes { p } else { 1.0 - p }
    }

    /// What is asked, as this way takes it.
    pub(super) fn asked(&self, answer: &Weighed) -> Asking {
        let bar = match self.by {
            By::Chance { rate, slope } => {
                return Asking::Level(match answer.asked {
                    Asked::Silent => rate,
                    Asked::Interval => 0.5,
                    Asked::Tone | Asked::BothEars { .. } => {
                        (rate + slope * (answer.level_db - 40.0) / 100.0).clamp(0.01, 0.99)
                    }
                });
            }
            By::Deaf if answer.asked == Asked::Interval => return Asking::Level(0.5),
            By::Deaf => return Asking::Level(self.false_alarm_at(answer)),
            By::Hearing => None,
            By::Bar(bar) => Some(bar),
        };
        let barred = bar.filter(|bar| bar.ear.is_none_or(|ear| ear == answer.ear));
        let step = |floor: f64, rise: f64, above_db: f64, pull: f64| Step {
            floor,
            rise,
            level_db: answer.level_db + above_db,
            pull,
            company_db: answer.company_db,
        };
        let shift_db = self.shift_db(answer);
        match (answer.asked, barred, bar) {
            (Asked::Silent, ..) => Asking::Level(self.false_alarm),
            (Asked::Interval, None, _) => {
                let above_db = CHOICE_BETTER_DB + self.hesitates_db - shift_db;
                Asking::Step(step(0.5, 0.5 * (1.0 - self.lapse), above_db, 0.0))
            }
            (Asked::Interval, Some(bar), _) => Asking::Choice {
                hears: step(
                    0.0,
                    1.0 - self.lapse,
                    bar.over_hearing_db + CHOICE_BETTER_DB,
                    0.0,
                ),
                over: step(0.0, 1.0, -shift_db, bar.pull),
                choice: bar.choice,
            },
            (Asked::BothEars { other_db }, None, Some(bar))
                if other_db - answer.level_db - bar.truly_poorer_db > SIDE_DB =>
            {
                Asking::Level(bar.both_ears)
            }
            (Asked::Tone | Asked::BothEars { .. }, ..) => {
                let g = self.false_alarm_at(answer);
                let rise = (1.0 - g - self.lapse_at(answer)).max(0.0);
                Asking::Step(step(g, rise, -shift_db, barred.map_or(0.0, |bar| bar.pull)))
            }
        }
    }

    /// How far company pulls the level at an ear, dB per dB.
    pub(super) fn pull_at(&self, ear: Ear) -> f64 {
        match self.by {
            By::Bar(bar) if bar.ear.is_none_or(|own| own == ear) => bar.pull,
            _ => 0.0,
        }
    }

    fn false_alarm_at(&self, answer: &Weighed) -> f64 {
        match self.rings {
            Some((hz, rate))
                if answer.asked != Asked::Silent && answer.hz.octaves_above(hz).abs() <= 0.5 =>
            {
                rate
            }
            _ => self.false_alarm,
        }
    }

    fn lapse_at(&self, answer: &Weighed) -> f64 {
        self.lapse + self.lapse_growth * answer.hundreds
    }

    /// How far the level stands from where it is on the whole, dB.
    fn shift_db(&self, answer: &Weighed) -> f64 {
        let learning_db = if self.learning_db > 0.0 {
            self.learning_db * libm::exp(-answer.hundreds / LEARNT_AFTER_HUNDREDS)
        } else {
            0.0
        };
        self.drift_db * answer.hundreds + learning_db
    }
}
