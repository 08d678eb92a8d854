//! How far masking has come at one ear and frequency: the plateau method first, then as many tones
//! more at its loudest noise as this person's answers need, until the posterior is narrow and the
//! other ear surely not the one that answered.

use super::ascents::Reading;
use super::estimated::Estimate;
use super::plateau::{Aim, Ground, MaskedStep, Plateau, Stand, Why};
use crate::belief::{BesideNoise, EarBelief, MaskedTone, Unmasked};
use crate::journal::{PlateauRule, Record};
use crate::quantity::{Ear, Hz};
use std::cell::RefCell;
use std::rc::Rc;

/// More masked tones than this are not presented at one ear and frequency (our choice: about three
/// times what the longest climb of the study takes).
const MOST_TONES: usize = 90;

/// A threshold is shown for an ear only if it is the other ear's with less than this probability
/// (our choice: with 1e-3 a dead ear was shown with one in 1 of 1100, as it should be).
const OTHER_EAR_AT_MOST: f64 = 1e-4;

/// From this probability on that the other ear answered, by what was answered without noise, masking is
/// needed though the readings alone do not ask for it (our choice, counted the same way).
pub(super) const IN_DOUBT_FROM: f64 = 3e-4;

/// It is the other ear's if this ear's midpoint lies so much above it, dB, and the other ear could
/// have answered there (our choice).
const OTHER_EAR_BY_DB: f64 = 10.0;

/// An ear hears nothing at the highest level if its midpoint lies above it with this probability; or,
/// after all tones, above what lies so much below it, dB (our choice).
const SURELY: f64 = 0.97;
const NEAR_MAXIMUM_DB: f64 = 5.0;

/// After all tones a standard deviation so many times the wanted one is stated as it is (our choice).
const WIDE: f64 = 2.0;

/// Where only the answers without noise leave doubt, so many tones beside the first noise are to
/// settle it; then the plateau is sought.
const MOST_IN_DOUBT: usize = 24;

/// Of people whose readings alone ask for no masking, few have an ear that much poorer; so a chance that
/// counts every midpoint alike counts for so much (our choice).
const POORER_SHARE: f64 = 0.1;

/// The loudest noise lies at least so much above what the tone can arrive with at the other ear, dB
/// (as in the plateau method).
const SURELY_ENOUGH_DB: f64 = 5.0;

/// What was presented beside noise at one ear and frequency, and what was made of it.
#[derive(Debug, Clone)]
struct Course {
    place: (Ear, Hz),
    ground: Ground,
    rule: PlateauRule,
    shift_db: f64,
    steps: Vec<MaskedStep>,
    plateau: Plateau,
    /// What the plateau method came to, and over which noises; later tones at these noises sharpen it.
    settled: Option<(Reading, [f64; 2])>,
    noise: BesideNoise,
    /// What is believed, by these answers without noise and so many beside it.
    believed: Option<(Rc<Vec<f64>>, usize, EarBelief)>,
}

/// How likely the other ear answered for an ear and frequency.
struct Doubt {
    place: (Ear, Hz),
    /// By these answers without noise,
    ways: Rc<Vec<f64>>,
    /// over this interaural attenuation, dB,
    attenuation_db: f64,
    /// at this level, dB.
    shown_db: f64,
    p: f64,
}

thread_local! {
    /// The courses of the visit at hand, one for each ear and frequency: going on from there gives the
    /// same figures as starting afresh.
    static KEPT: RefCell<Vec<Course>> = const { RefCell::new(Vec::new()) };
    /// The doubts of the visit at hand, likewise.
    static DOUBTS: RefCell<Vec<Doubt>> = const { RefCell::new(Vec::new()) };
}

impl Course {
    fn at_first(place: (Ear, Hz), ground: Ground, rule: PlateauRule, shift_db: f64) -> Course {
        Course {
            place,
            ground,
            rule,
            shift_db,
            steps: Vec::new(),
            plateau: Plateau::through([], rule, ground),
            settled: None,
            noise: BesideNoise::new(ground.attenuation_db),
            believed: None,
        }
    }

    fn step(&mut self, step: MaskedStep) {
        self.noise
            .observe(&self.tone(step.level_db, step.masker_db), step.heard);
        let sharpens = match self.settled {
            Some((_, [_, loudest_db])) => step.masker_db <= loudest_db + 0.01,
            None => self.checks(&step),
        };
        if !sharpens {
            self.plateau.add(step);
            self.settled = match self.plateau.stand() {
                Stand::Settled { reading, noise_db } => Some((reading, noise_db)),
                // Noise that can go no further may yet be enough; the belief says so.
                Stand::Failed(Why::NoiseLimit) => {
                    Some((Reading::Undecided, [step.masker_db, step.masker_db]))
                }
                Stand::Open { .. } | Stand::Failed(_) => None,
            };
        }
        self.steps.push(step);
    }

    /// Whether this tone is of those that are to dispel a doubt, and no climb.
    fn checks(&self, step: &MaskedStep) -> bool {
        self.ground.in_doubt && step.masker_db <= self.first_noise_db() + 0.01
    }

    fn first_noise_db(&self) -> f64 {
        let first = self.steps.first().map(|step| step.masker_db);
        first.unwrap_or_else(|| self.plateau.first_noise_db())
    }

    fn believe(&mut self, estimate: &Estimate) -> Option<EarBelief> {
        let ways = estimate.ways();
        if let Some((by, steps, belief)) = &self.believed
            && Rc::ptr_eq(by, &ways)
            && *steps == self.steps.len()
        {
            return Some(belief.clone());
        }
        let (ear, hz) = self.place;
        let unmasked = unmasked(estimate, ear, hz, self.ground.attenuation_db)?;
        let belief = unmasked.with(Some(&self.noise), &ways);
        self.believed = Some((ways, self.steps.len(), belief.clone()));
        Some(belief)
    }

    fn climbs(&self) -> bool {
        !self.ground.in_doubt || self.plateau.begun()
    }

    fn tone(&self, level_db: f64, masker_db: f64) -> MaskedTone {
        MaskedTone {
            level_db: level_db + self.shift_db,
            masker_db: masker_db + self.shift_db,
            other_from_db: self.ground.other_at_most_db.max(masker_db) + self.shift_db,
        }
    }

    fn stand(&self, belief: &EarBelief) -> Stand {
        if !self.climbs() {
            return self.in_doubt(belief);
        }
        match (self.settled, self.plateau.stand()) {
            (Some((reading, noise_db)), _) => self.surer(belief, reading, noise_db),
            (None, open) if self.steps.len() < MOST_TONES => open,
            (None, _) => Stand::Failed(Why::Unsettled),
        }
    }

    fn in_doubt(&self, belief: &EarBelief) -> Stand {
        // Nothing has climbed yet: what keeps the plateau from its first noise keeps us from it.
        if let Stand::Failed(why) = self.plateau.stand() {
            return Stand::Failed(why);
        }
        let masker_db = self.first_noise_db();
        let p = p_other_ear(belief);
        let midpoint = belief.midpoint();
        let mean_db = midpoint.mean() - self.shift_db;
        // Beside noise it is this ear's own level: where it lies far above, the other one answered.
        let moved = mean_db > self.ground.unmasked_db + OTHER_EAR_BY_DB;
        let within = mean_db <= self.ground.bounds.max_db && !moved;
        let narrow = midpoint.sd() <= WIDE * self.rule.settle_sd_db;
        if within && narrow && p < OTHER_EAR_AT_MOST && !self.steps.is_empty() {
            return Stand::Settled {
                reading: Reading::Threshold(mean_db),
                noise_db: [masker_db, masker_db],
            };
        }
        if !within || p > 0.5 || self.steps.len() >= MOST_IN_DOUBT {
            return self.plateau.louder(masker_db, self.ground.unmasked_db);
        }
        self.ask(belief, masker_db, Aim::DispelDoubt)
    }

    /// The plateau is there: is its level narrow enough, and surely this ear's?
    fn surer(&self, belief: &EarBelief, reading: Reading, noise_db: [f64; 2]) -> Stand {
        let max_db = self.ground.bounds.max_db;
        let midpoint = belief.midpoint();
        let (mean_db, sd_db) = (midpoint.mean() - self.shift_db, midpoint.sd());
        let above = |db: f64| belief.p_above(db + self.shift_db);
        let loudest_db = noise_db[1];
        let settled = |reading| Stand::Settled { reading, noise_db };
        if above(max_db) >= SURELY {
            return settled(Reading::NoResponse(max_db));
        }
        let reaches_db = mean_db.min(max_db) - self.ground.attenuation_db;
        if loudest_db < reaches_db + SURELY_ENOUGH_DB {
            return self.plateau.louder(loudest_db, mean_db);
        }
        let this_ears = mean_db <= max_db && p_other_ear(belief) < OTHER_EAR_AT_MOST;
        let reading = match reading {
            Reading::Threshold(_) | Reading::AtMinimum(_) => reading,
            _ => Reading::Threshold(mean_db),
        };
        if this_ears && sd_db <= self.rule.settle_sd_db {
            return settled(reading);
        }
        if self.steps.len() < MOST_TONES {
            return self.ask(belief, loudest_db, Aim::Surer);
        }
        // Near the highest level answers cannot narrow it from above.
        if this_ears && sd_db <= WIDE * self.rule.settle_sd_db {
            settled(reading)
        } else if above(max_db - NEAR_MAXIMUM_DB) >= SURELY && mean_db > max_db {
            settled(Reading::NoResponse(max_db))
        } else {
            Stand::Failed(Why::Unsettled)
        }
    }

    /// The most telling tone at this noise.
    fn ask(&self, belief: &EarBelief, masker_db: f64, aim: Aim) -> Stand {
        const BELOW_DB: f64 = 20.0;
        const ABOVE_DB: f64 = 25.0;
        let bounds = self.ground.bounds;
        let mean_db = belief.midpoint().mean() - self.shift_db;
        let steps = libm::floor((bounds.max_db - bounds.min_db) / 5.0) as u32;
        let all = (0..=steps).map(|step| bounds.min_db + 5.0 * f64::from(step));
        let near: Vec<f64> = all
            .filter(|db| (mean_db.min(bounds.max_db) - BELOW_DB..mean_db + ABOVE_DB).contains(db))
            .map(|db| db + self.shift_db)
            .collect();
        let other_from_db = self.tone(0.0, masker_db).other_from_db;
        match belief.most_telling(&near, masker_db + self.shift_db, other_from_db) {
            Some(level_db) => Stand::Open {
                level_db: level_db - self.shift_db,
                masker_db,
                aim,
            },
            None => Stand::Failed(Why::Unsettled),
        }
    }
}

/// How likely what would be shown for this ear is the other one's.
fn p_other_ear(belief: &EarBelief) -> f64 {
    belief.p_other_ear(belief.midpoint().mean(), OTHER_EAR_BY_DB)
}

/// What the answers without noise say of an ear and frequency; none where either ear has no answers.
fn unmasked(estimate: &Estimate, ear: Ear, hz: Hz, attenuation_db: f64) -> Option<Unmasked> {
    let own = estimate.at(ear, hz)?;
    let other = estimate.at(ear.other(), hz)?;
    let blurred = |one: &super::estimated::Estimated| one.midpoint.blurred(one.wander_sd_db);
    Some(Unmasked::new(
        &blurred(&own),
        &blurred(&other),
        attenuation_db,
    ))
}

/// What the midpoint of an ear is hardly above, dB, given its reading.
pub(super) fn at_most_db(
    estimate: Option<&Estimate>,
    (ear, hz): (Ear, Hz),
    reading_db: f64,
) -> f64 {
    const SDS: f64 = 2.0;
    let known = estimate.and_then(|estimate| estimate.at(ear, hz));
    known.map_or(reading_db, |known| {
        let sd_db = libm::hypot(known.midpoint.sd(), known.wander_sd_db);
        known.midpoint_db + SDS * sd_db
    })
}

/// How likely the other ear answered for this one at the midpoint that would be shown, dB, by what was
/// answered without noise; 0 where nothing is known of one of them.
pub(super) fn p_answered_by_other(
    record: &Record,
    estimate: Option<&Estimate>,
    (ear, hz): (Ear, Hz),
    attenuation_db: f64,
    shown_db: f64,
) -> f64 {
    let Some(estimate) = estimate else {
        return 0.0;
    };
    let ways = estimate.ways();
    let same = |one: &&Doubt| {
        one.place == (ear, hz)
            && Rc::ptr_eq(&one.ways, &ways)
            && (one.attenuation_db - attenuation_db).abs() < 1e-9
            && (one.shown_db - shown_db).abs() < 1e-9
    };
    let kept = DOUBTS.with_borrow(|doubts| doubts.iter().find(same).map(|one| one.p));
    kept.unwrap_or_else(|| {
        let unmasked = unmasked(estimate, ear, hz, attenuation_db);
        let p = unmasked.map_or(0.0, |unmasked| {
            let belief = unmasked.with(None, &ways);
            let mean_db = belief.midpoint().mean();
            let shown_db = mean_db.min(shown_db + super::estimated::shift_db(record));
            let p = belief.p_other_ear(shown_db, OTHER_EAR_BY_DB);
            POORER_SHARE * p / (POORER_SHARE * p + 1.0 - p)
        });
        DOUBTS.with_borrow_mut(|doubts| {
            doubts.retain(|one| one.place != (ear, hz));
            doubts.push(Doubt {
                place: (ear, hz),
                ways: Rc::clone(&ways),
                attenuation_db,
                shown_db,
                p,
            });
        });
        p
    })
}

/// How far masking has come, and what is believed of this ear.
pub(super) fn through(
    record: &Record,
    (ear, hz): (Ear, Hz),
    ground: Ground,
    rule: PlateauRule,
    steps: &[MaskedStep],
) -> Option<(Stand, EarBelief)> {
    let estimate = Estimate::of(record)?;
    KEPT.with_borrow_mut(|kept| {
        let shift_db = super::estimated::shift_db(record);
        let at = kept.iter().position(|one| one.place == (ear, hz));
        let at = at.unwrap_or_else(|| {
            kept.push(Course::at_first((ear, hz), ground, rule, shift_db));
            kept.len() - 1
        });
        let course = &mut kept[at];
        let goes_on = (course.ground, course.rule) == (ground, rule)
            && (course.shift_db - shift_db).abs() < 0.01
            && steps.starts_with(&course.steps);
        if !goes_on {
            *course = Course::at_first((ear, hz), ground, rule, shift_db);
        }
        for step in &steps[course.steps.len()..] {
            course.step(*step);
        }
        let belief = course.believe(&estimate)?;
        Some((course.stand(&belief), belief))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belief::{AudiogramPosterior, Place};
    use crate::finding::ascents::Bounds;
    use crate::journal::HearingPrior;

    /// Tones that are to dispel a doubt begin at the first noise of the plateau, and no set-up presents more than it may.
    #[test]
    fn a_doubt_is_left_where_the_first_noise_is_too_loud() {
        let hz = Hz(4000.0);
        let places = Ear::BOTH.map(|ear| Place { ear, hz });
        let posterior = AudiogramPosterior::new(places.into(), HearingPrior::Flat, &[]);
        let [own, other] = [0, 1].map(|at| posterior.midpoint(at));
        let belief = Unmasked::new(&own, &other, 40.0).with(None, &posterior.ways());
        let stand = |max_masker_db: f64| {
            let ground = Ground {
                unmasked_db: 110.0,
                other_db: 105.0,
                other_at_most_db: 115.0,
                attenuation_db: 40.0,
                bounds: Bounds {
                    min_db: -10.0,
                    max_db: 115.0,
                },
                max_masker_db,
                in_doubt: true,
            };
            Course::at_first((Ear::Right, hz), ground, PlateauRule::USUAL, 0.0).stand(&belief)
        };
        assert_eq!(stand(105.0), Stand::Failed(Why::NoiseLimit));
        assert!(matches!(stand(115.0), Stand::Open { masker_db, .. } if masker_db <= 115.0));
    }
}
