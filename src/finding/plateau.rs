//! The plateau method: the other ear gets noise, which goes up step by step until the threshold of
//! the ear under test stays where it is (reference: BSA recommended procedure 2018 and ISO
//! 8253-1, masking; the steps from memory).
//!
//! While the noise is too soft the other ear still answers, and the tone has to follow the noise.
//! Where the noise is so loud that it crosses the head and masks the ear under test, the tone has
//! to follow it again: over-masking. In between lies the plateau.
//!
//! Deviations, all ours. At each noise the tone only goes up, and its level is found at two
//! answers of at most three; the full series (10 down, 5 up, 2 of 3) is made once, at the loudest
//! noise of the plateau, where the other ear is least likely to have answered. That noise must be
//! enough by the formula as well ([`SURELY_ENOUGH_DB`]), and the answers must fit a level that
//! stays better than one that follows the noise ([`STAYS_RATIO`]): answers by chance make plateaus
//! too. What is stated in the end is a belief of its own (`finding/masked_course.rs`), which may ask for
//! more tones at that noise. Where the noise may go no further, or only doubt asked for it, one noise is enough if that
//! belief is narrow and surely of this ear; then the noise is stated as one level. Over-masking is judged by air conduction alone, since there is no bone conduction.

use super::ascents::{Bounds, Reading, Walk};
use crate::belief::DetectionFunction;
use crate::journal::{AscendingRule, PlateauRule};

/// After so many tones of the climb at one ear and frequency it is given up (our choice: the longest
/// climb of the study takes about half as many).
const MOST_TONES: usize = 90;

/// The step of the tone, dB (BSA 2018, plateau method, from memory).
const TONE_STEP_DB: f64 = 5.0;

/// A plateau is seen at no fewer noises than this: with the unmasked start four measurements
/// (BSA 2018, plateau method, from memory).
const FEWEST_NOISES: usize = 3;

/// The answers on a plateau must fit a level that stays this many times better than one that
/// follows the noise (our choice, by the study of dead ears). Otherwise the noise goes on: near
/// the highest level there is no room to follow, and a few chance answers look like a plateau.
const STAYS_RATIO: f64 = 3.0;

/// The same where the tone has no room to follow over the plateau's width below the highest level.
const STAYS_RATIO_AT_MAXIMUM: f64 = 30.0;

/// The loudest noise of a plateau lies at least so much above what the tone can arrive with at the
/// other ear, dB: the threshold less the least interaural attenuation (the formula for the least
/// masking that is enough, common practice, no source; the 5 dB are ours).
const SURELY_ENOUGH_DB: f64 = 5.0;

/// The listener that this is judged for: rather a poor one, so that few answers prove little (our
/// choice).
const LISTENER: DetectionFunction = DetectionFunction {
    midpoint_db: 0.0,
    scale_db: 4.0,
    false_alarm: 0.08,
    lapse: 0.04,
};

/// One masked presentation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaskedStep {
    /// The tone, dB on the set-up's scale.
    pub level_db: f64,
    /// The noise at the other ear, dB effective masking level.
    pub masker_db: f64,
    /// Whether the tone was answered.
    pub heard: bool,
}

/// What masking starts from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Where this ear was answered without masking, dB.
    pub unmasked_db: f64,
    /// The other ear's own threshold, dB.
    pub other_db: f64,
    /// The other ear's midpoint is hardly above this, dB: softer noise may not reach it.
    pub other_at_most_db: f64,
    /// The least interaural attenuation of the earphone type, dB.
    pub attenuation_db: f64,
    /// What the tone may be.
    pub bounds: Bounds,
    /// The loudest noise that the set-up may present, dB effective masking level.
    pub max_masker_db: f64,
    /// The readings alone ask for no masking, but they are too uncertain to tell.
    pub in_doubt: bool,
}

/// What a masked tone is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// Does the other ear answer at all? The readings leave it in doubt.
    DispelDoubt,
    /// Where the tone is answered beside this noise.
    FindAgain,
    /// The full series at the plateau's loudest noise.
    Series,
    /// The plateau is there; its level is not narrow enough yet, or not surely this ear's.
    Surer,
}

/// Why an ear could not be masked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The next noise would be above what this set-up may present.
    NoiseLimit,
    /// The next noise might cross the head and mask the ear under test.
    OverMasking,
    /// The answers did not settle.
    Unsettled,
}

impl Why {
    /// In words.
    #[must_use]
    pub fn sentence(self) -> &'static str {
        match self {
            Why::NoiseLimit => "louder noise than this set-up may present would be needed",
            Why::OverMasking => "louder noise might cross the head and mask the ear under test",
            Why::Unsettled => "the answers beside the noise did not settle",
        }
    }
}

/// How far the method has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stand {
    /// This is to be presented next.
    Open {
        /// The tone, dB.
        level_db: f64,
        /// The noise, dB effective masking level.
        masker_db: f64,
        /// What for.
        aim: Aim,
    },
    /// The masked threshold, and the softest and loudest noise of the plateau, dB.
    Settled {
        /// The threshold, or the bound that it ran into.
        reading: Reading,
        /// From which to which noise it stayed.
        noise_db: [f64; 2],
    },
    /// There is none.
    Failed(Why),
}

/// What was found at one noise.
#[derive(Debug, Clone)]
struct AtNoise {
    masker_db: f64,
    steps: Vec<(f64, bool)>,
    /// The first level that was answered twice of its latest three presentations.
    found_db: Option<f64>,
}

/// The method's course at one ear and frequency.
#[derive(Debug, Clone)]
pub struct Plateau {
    rule: PlateauRule,
    ground: Ground,
    /// By noise, ascending.
    noises: Vec<AtNoise>,
    tones: usize,
}

impl AtNoise {
    fn step(&mut self, level_db: f64, heard: bool) {
        self.steps.push((level_db, heard));
        let latest = self.at(level_db).rev().take(3);
        if self.found_db.is_none() && latest.filter(|heard| *heard).count() >= 2 {
            self.found_db = Some(level_db);
        }
    }

    fn at(&self, level_db: f64) -> impl DoubleEndedIterator<Item = bool> {
        let same = move |step: &&(f64, bool)| (step.0 - level_db).abs() < 0.01;
        self.steps.iter().filter(same).map(|(_, heard)| *heard)
    }

    fn walk(&self, bounds: Bounds) -> Walk {
        let steps = self.steps.iter().copied();
        Walk::through(steps, AscendingRule::TWO_OF_THREE, bounds)
    }

    /// The level at this noise. A series that reads higher than the quick way up takes its place:
    /// the quick way was then helped by false alarms.
    fn level_db(&self, bounds: Bounds, within_db: f64) -> Option<f64> {
        let found_db = self.found_db?;
        match self.walk(bounds).reading() {
            Reading::Threshold(db) if db > found_db + within_db => Some(db),
            _ => Some(found_db),
        }
    }

    /// Missed twice at the highest level and not found below.
    fn beyond(&self, bounds: Bounds) -> bool {
        let missed = self.at(bounds.max_db).filter(|heard| !heard).count();
        self.found_db.is_none() && missed >= 2
    }

    /// The tone's next level on the way up.
    fn next_level_db(&self, start_db: f64, bounds: Bounds) -> f64 {
        let wanted_db = match self.steps.last() {
            None => start_db,
            Some((level_db, true)) => *level_db,
            Some((level_db, false)) => {
                let (yes, no) = self.at(*level_db).fold((0, 0), |(yes, no), heard| {
                    (yes + u32::from(heard), no + u32::from(!heard))
                });
                if yes > 0 && no < 2 {
                    *level_db
                } else {
                    level_db + TONE_STEP_DB
                }
            }
        };
        wanted_db.clamp(bounds.min_db, bounds.max_db)
    }
}

impl Plateau {
    /// Walks through the masked presentations of one ear and frequency, whoever decided on them.
    #[must_use]
    pub fn through(
        steps: impl IntoIterator<Item = MaskedStep>,
        rule: PlateauRule,
        ground: Ground,
    ) -> Plateau {
        let mut plateau = Plateau {
            rule,
            ground,
            noises: Vec::new(),
            tones: 0,
        };
        for step in steps {
            plateau.add(step);
        }
        plateau
    }

    /// Takes in one more masked presentation.
    pub fn add(&mut self, step: MaskedStep) {
        self.tones += 1;
        self.at_noise(step.masker_db)
            .step(step.level_db, step.heard);
    }

    /// Whether there was any.
    #[must_use]
    pub fn begun(&self) -> bool {
        self.tones > 0
    }

    fn at_noise(&mut self, masker_db: f64) -> &mut AtNoise {
        let at = self
            .noises
            .partition_point(|noise| noise.masker_db < masker_db - 0.01);
        let known = self
            .noises
            .get(at)
            .is_some_and(|noise| noise.masker_db < masker_db + 0.01);
        if !known {
            let fresh = AtNoise {
                masker_db,
                steps: Vec::new(),
                found_db: None,
            };
            self.noises.insert(at, fresh);
        }
        &mut self.noises[at]
    }

    /// How far the method has come.
    #[must_use]
    pub fn stand(&self) -> Stand {
        let Ground {
            unmasked_db,
            bounds,
            ..
        } = self.ground;
        let Some(top) = self.noises.last() else {
            return self.first();
        };
        if top.beyond(bounds) {
            return Stand::Settled {
                reading: Reading::NoResponse(bounds.max_db),
                noise_db: [top.masker_db, top.masker_db],
            };
        }
        if self.tones >= MOST_TONES {
            return Stand::Failed(Why::Unsettled);
        }
        let masker_db = top.masker_db;
        let Some(top_db) = top.level_db(bounds, self.rule.within_db) else {
            let mut below = self.noises.iter().rev().skip(1);
            let start_db = below
                .find_map(|noise| noise.level_db(bounds, self.rule.within_db))
                .unwrap_or(unmasked_db);
            return Stand::Open {
                level_db: top.next_level_db(on_grid(start_db), bounds),
                masker_db,
                aim: Aim::FindAgain,
            };
        };
        let Some(softest_db) = self.softest_db() else {
            return self.louder(masker_db, top_db);
        };
        if masker_db < top_db - self.ground.attenuation_db + SURELY_ENOUGH_DB {
            return self.louder(masker_db, top_db);
        }
        let walk = top.walk(bounds);
        let reading = match walk.reading() {
            Reading::Undecided => {
                return Stand::Open {
                    level_db: walk.next_level_db(top_db),
                    masker_db,
                    aim: Aim::Series,
                };
            }
            Reading::GivenUp => return Stand::Failed(Why::Unsettled),
            reading => reading,
        };
        if let Reading::Threshold(db) = reading {
            let ratio = if db + self.rule.width_db > bounds.max_db {
                STAYS_RATIO_AT_MAXIMUM
            } else {
                STAYS_RATIO
            };
            if self.stays_over_follows(softest_db) < libm::log(ratio) {
                return self.louder(masker_db, db.max(top_db));
            }
        }
        Stand::Settled {
            reading,
            noise_db: [softest_db, masker_db],
        }
    }

    /// How much better the answers at these noises fit a level that stays than one that follows
    /// the noise, as the natural logarithm of the ratio of both likelihoods.
    fn stays_over_follows(&self, softest_db: f64) -> f64 {
        let on_plateau = || {
            self.noises
                .iter()
                .filter(|noise| noise.masker_db >= softest_db - 0.01)
        };
        let loudest_db = on_plateau()
            .next_back()
            .map_or(softest_db, |top| top.masker_db);
        let best = |follows: f64| {
            let fit = |midpoint_db: f64| -> f64 {
                let of = |noise: &AtNoise| -> f64 {
                    let here = DetectionFunction {
                        midpoint_db: midpoint_db + follows * (noise.masker_db - loudest_db),
                        ..LISTENER
                    };
                    let answers = noise.steps.iter();
                    answers
                        .map(|(level_db, heard)| {
                            let p = here.p(*level_db);
                            libm::log(if *heard { p } else { 1.0 - p })
                        })
                        .sum()
                };
                on_plateau().map(of).sum()
            };
            let Bounds { min_db, max_db } = self.ground.bounds;
            let steps = ((max_db - min_db) / 2.5) as u32 + 24;
            let midpoints = (0..=steps).map(|step| min_db - 10.0 + 2.5 * f64::from(step));
            midpoints.map(fit).fold(f64::NEG_INFINITY, f64::max)
        };
        best(0.0) - best(1.0)
    }

    /// The softest noise from which on the level stays, if that makes a plateau.
    fn softest_db(&self) -> Option<f64> {
        let (mut low_db, mut high_db) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut run = Vec::new();
        for noise in self.noises.iter().rev() {
            let Some(level_db) = noise.level_db(self.ground.bounds, self.rule.within_db) else {
                continue;
            };
            (low_db, high_db) = (low_db.min(level_db), high_db.max(level_db));
            if high_db - low_db > self.rule.within_db {
                break;
            }
            run.push(noise.masker_db);
            let span_db = run[0] - noise.masker_db;
            if run.len() >= FEWEST_NOISES && span_db >= self.rule.width_db - 0.01 {
                return run.last().copied();
            }
        }
        None
    }

    fn first(&self) -> Stand {
        self.with(self.first_noise_db(), self.ground.unmasked_db)
    }

    /// The softest noise, dB effective masking level.
    #[must_use]
    pub fn first_noise_db(&self) -> f64 {
        on_grid(self.ground.other_db + self.rule.start_above_db)
    }

    /// What follows beside the next louder noise, from this level on.
    #[must_use]
    pub fn louder(&self, masker_db: f64, level_db: f64) -> Stand {
        self.with(masker_db + self.rule.noise_step_db, level_db)
    }

    /// The next noise, if it may be presented.
    fn with(&self, masker_db: f64, level_db: f64) -> Stand {
        let bounds = self.ground.bounds;
        if masker_db > self.ground.max_masker_db {
            Stand::Failed(Why::NoiseLimit)
        } else if masker_db - self.ground.attenuation_db >= level_db {
            Stand::Failed(Why::OverMasking)
        } else {
            Stand::Open {
                level_db: on_grid(level_db).clamp(bounds.min_db, bounds.max_db),
                masker_db,
                aim: Aim::FindAgain,
            }
        }
    }
}

/// On the grid of 5 dB, upward.
pub(super) fn on_grid(db: f64) -> f64 {
    (db / TONE_STEP_DB - 1e-6).ceil() * TONE_STEP_DB
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOUNDS: Bounds = Bounds {
        min_db: -10.0,
        max_db: 110.0,
    };

    /// Somebody who answers every tone that either ear hears, as the masking function of the
    /// handbooks has it (Hood 1960, Studebaker 1964, from memory): noise of effective level M
    /// lifts an ear to M, tone and noise cross the head weakened by the interaural attenuation.
    #[derive(Clone, Copy)]
    #[expect(
        clippy::struct_field_names,
        reason = "each is a level and carries its unit"
    )]
    struct Listener {
        test_db: f64,
        other_db: f64,
        attenuation_db: f64,
    }

    impl Listener {
        fn hears_from(self, masker_db: f64) -> f64 {
            let here_db = self.test_db.max(masker_db - self.attenuation_db);
            let there_db = self.other_db.max(masker_db) + self.attenuation_db;
            here_db.min(there_db)
        }

        fn ground(self, max_masker_db: f64) -> Ground {
            Ground {
                unmasked_db: on_grid(self.hears_from(f64::NEG_INFINITY)),
                other_db: self.other_db,
                other_at_most_db: self.other_db,
                attenuation_db: 40.0,
                bounds: BOUNDS,
                max_masker_db,
                in_doubt: false,
            }
        }

        /// Everything that the method presents, and where it ends.
        fn examined(self, max_masker_db: f64) -> (Vec<MaskedStep>, Stand) {
            let mut steps = Vec::new();
            loop {
                let ground = self.ground(max_masker_db);
                let plateau = Plateau::through(steps.iter().copied(), PlateauRule::USUAL, ground);
                let Stand::Open {
                    level_db,
                    masker_db,
                    ..
                } = plateau.stand()
                else {
                    return (steps, plateau.stand());
                };
                assert!(masker_db <= max_masker_db && steps.len() <= MOST_TONES);
                steps.push(MaskedStep {
                    level_db,
                    masker_db,
                    heard: level_db >= self.hears_from(masker_db),
                });
            }
        }
    }

    /// The masking function's three parts (Studebaker 1964, from memory): under-masking up to the
    /// threshold less the attenuation, plateau, over-masking from the threshold plus it. The
    /// threshold is read on the plateau, whatever the attenuation from 40 to 60 dB.
    #[test]
    fn the_threshold_is_that_of_the_plateau() {
        for attenuation_db in [40.0, 45.0, 50.0, 55.0, 60.0] {
            for test_db in [50.0, 65.0, 80.0, 95.0] {
                let listener = Listener {
                    test_db,
                    other_db: 5.0,
                    attenuation_db,
                };
                let (_, stand) = listener.examined(105.0);
                let Stand::Settled { reading, noise_db } = stand else {
                    panic!("{attenuation_db} {test_db}: {stand:?}");
                };
                assert_eq!(reading, Reading::Threshold(test_db));
                assert!(
                    noise_db[0] >= test_db - attenuation_db - 10.0 && noise_db[1] < test_db + 40.0
                );
                assert!(noise_db[1] - noise_db[0] >= 20.0);
            }
        }
    }

    /// While the noise is not enough the tone has to go up as the noise does (shadowing, Hood 1960,
    /// from memory): noise 15, 25, 35, 45, 55 on a dead ear asks for tones 65, 75, 85, 95, 105.
    #[test]
    fn a_dead_ear_is_followed_to_the_highest_level() {
        let dead = Listener {
            test_db: 200.0,
            other_db: 5.0,
            attenuation_db: 50.0,
        };
        let (steps, stand) = dead.examined(105.0);
        let found = |masker_db: f64| {
            let at = |step: &&MaskedStep| step.heard && (step.masker_db - masker_db).abs() < 0.01;
            steps.iter().find(at).map(|step| step.level_db)
        };
        let followed = [15.0, 25.0, 35.0, 45.0, 55.0].map(|masker_db| found(masker_db).unwrap());
        assert_eq!(followed.map(|db| db as i32), [65, 75, 85, 95, 105]);
        assert_eq!(
            stand,
            Stand::Settled {
                reading: Reading::NoResponse(110.0),
                noise_db: [65.0, 65.0],
            }
        );
    }

    /// Noise that a set-up may not present, or that might mask the ear under test, is not given.
    #[test]
    fn what_cannot_be_masked_is_said_to_be_so() {
        let one_sided = Listener {
            test_db: 80.0,
            other_db: 10.0,
            attenuation_db: 45.0,
        };
        assert_eq!(one_sided.examined(25.0).1, Stand::Failed(Why::NoiseLimit));
        // Both ears poor and little attenuation: the noise reaches the ear under test first.
        let ground = Ground {
            unmasked_db: 40.0,
            other_db: 70.0,
            ..one_sided.ground(105.0)
        };
        let plateau = Plateau::through([], PlateauRule::USUAL, ground);
        assert_eq!(plateau.stand(), Stand::Failed(Why::OverMasking));
    }

    /// The first noise is the other ear's threshold and 10 dB, the tone where it was answered
    /// (BSA 2018, plateau method, from memory).
    #[test]
    fn begins_at_the_unmasked_threshold() {
        let listener = Listener {
            test_db: 70.0,
            other_db: 10.0,
            attenuation_db: 50.0,
        };
        let (steps, _) = listener.examined(105.0);
        assert_eq!(
            (steps[0].level_db as i32, steps[0].masker_db as i32),
            (60, 20)
        );
    }
}
