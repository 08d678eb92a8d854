//! Thresholds from what is believed of all frequencies of both ears at once: the procedure
//! `estimate` asks it what to present next, and the findings what is known.

use super::ascents::{Bounds, Reading, Walk};
use super::hearing::{bounds, own_steps};
use crate::belief::{
    AudiogramPosterior, DetectionFunction, Marginal, Outlook, Place, WayOfAnswering,
    ways_of_answering,
};
use crate::calibration::EarphoneProfile;
use crate::journal::{AscendingRule, HearingPlan, HearingPrior, Procedure, Purpose, Record};
use crate::quantity::{Draws, Ear, Hz, Scale, Sex, Stream};
use crate::standard::iso_7029_2017;
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;
use std::sync::LazyLock;

/// So many own presentations at least has a frequency of which anything is stated.
pub const FEWEST_OWN: u32 = 3;

/// A threshold of whose precision the prior and the neighbours have at least this share leans on
/// them, and is marked so.
pub const LEANS_FROM: f64 = 0.5;

/// So many unanswered tones at the highest level, and fewer answered ones, are no response there;
/// the same the other way round at the lowest (our choice, after 2 of 3).
const AT_A_BOUND: usize = 2;

/// One presentation that tells of thresholds or of the way of answering.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Told {
    Tone {
        at: usize,
        level_db: f64,
        answered: bool,
    },
    Silent {
        answered: bool,
    },
}

/// What is believed of all places of a visit.
#[derive(Debug, Clone)]
pub struct Estimate {
    posterior: Rc<AudiogramPosterior>,
    /// What has been worked out of each place since the latest answer.
    known: Rc<RefCell<Vec<Option<Estimated>>>>,
    ways: Rc<OnceCell<Rc<Vec<f64>>>>,
    shift_db: f64,
}

/// What is known of one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimated {
    /// What is believed of the midpoint, on the posterior's own grid: dB plus [`Estimated::shift_db`].
    pub midpoint: Marginal,
    /// How far the grid lies above the set-up's scale, dB.
    pub shift_db: f64,
    /// The midpoint, dB on the set-up's scale.
    pub midpoint_db: f64,
    /// What 2 of 3 ascents would read on average, dB on the set-up's scale.
    pub threshold_db: f64,
    /// What the person's wander between presentations adds to the uncertainty, as a standard
    /// deviation, dB.
    pub wander_sd_db: f64,
    /// The share of the precision that comes from the prior and the neighbours.
    pub prior_share: f64,
}

/// A tone at one ear, dB on the set-up's scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tone {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// Its level.
    pub level_db: f64,
}

/// What was believed of these places before the first answer.
type Ground = (Vec<Place>, HearingPrior, Vec<f64>, Scale);

/// Where a visit stood.
struct Stood {
    ground: Ground,
    told: Vec<Told>,
    posterior: Rc<AudiogramPosterior>,
    known: Rc<RefCell<Vec<Option<Estimated>>>>,
    ways: Rc<OnceCell<Rc<Vec<f64>>>>,
}

thread_local! {
    /// Where the latest visit stood: going on from there gives the same figures as starting afresh.
    static LATEST: RefCell<Option<Stood>> = const { RefCell::new(None) };
}

impl Stood {
    fn at_first(ground: Ground) -> Stood {
        let (places, prior, norm_less_prior_db, _) = &ground;
        let posterior = Rc::new(AudiogramPosterior::new(
            places.clone(),
            *prior,
            norm_less_prior_db,
        ));
        let known = Rc::new(RefCell::new(vec![None; places.len()]));
        Stood {
            ground,
            told: Vec::new(),
            posterior,
            known,
            ways: Rc::default(),
        }
    }

    /// Takes in what of `told` was not told before.
    fn take_in(&mut self, told: Vec<Told>) {
        if told.len() > self.told.len() {
            self.known = Rc::new(RefCell::new(vec![None; self.ground.0.len()]));
            self.ways = Rc::default();
            let posterior = Rc::make_mut(&mut self.posterior);
            for one in &told[self.told.len()..] {
                match *one {
                    Told::Tone {
                        at,
                        level_db,
                        answered,
                    } => posterior.observe(at, level_db, answered),
                    Told::Silent { answered } => posterior.observe_silent(answered),
                }
            }
        }
        self.told = told;
    }
}

/// Whether thresholds of this visit come from here.
#[must_use]
pub fn estimates(record: &Record) -> bool {
    let plan = record.opening.plan.hearing.as_ref();
    plan.is_some_and(|plan| plan.measures_by() == Some(Procedure::Estimate))
}

fn scale(record: &Record) -> Scale {
    let earphone = record.opening.set_up.earphone.as_ref();
    earphone.map_or(Scale::DbFs, EarphoneProfile::scale)
}

/// The posterior's grid is laid for hearing levels; other scales are shifted onto it by this, dB.
#[must_use]
pub fn shift_db(record: &Record) -> f64 {
    match scale(record) {
        Scale::DbFs => 120.0,
        Scale::DbHl | Scale::DbReExaminer => 0.0,
    }
}

impl Estimate {
    /// What the record says; none if it has no plan for hearing.
    #[must_use]
    pub fn of(record: &Record) -> Option<Estimate> {
        let plan = record.opening.plan.hearing.as_ref()?;
        let places = places(record, plan);
        let shift_db = shift_db(record);
        let told = told(record, &places, shift_db);
        // What people hear is known in dB HL alone; on another scale nothing is believed of it.
        let scale = scale(record);
        // Series state what was answered there, and lean on nothing.
        let joint = estimates(record) && scale == Scale::DbHl;
        let (prior, norm_less_prior_db) = if joint {
            (plan.prior(), norm_less_prior_db(plan, &places))
        } else {
            (HearingPrior::Flat, Vec::new())
        };
        let ground = (places, prior, norm_less_prior_db, scale);
        let (posterior, known, ways) = LATEST.with_borrow_mut(|latest| {
            let stood = latest
                .take()
                .filter(|stood| stood.ground == ground && told.starts_with(&stood.told));
            let mut stood = stood.unwrap_or_else(|| Stood::at_first(ground));
            stood.take_in(told);
            let shared = (
                Rc::clone(&stood.posterior),
                Rc::clone(&stood.known),
                Rc::clone(&stood.ways),
            );
            *latest = Some(stood);
            shared
        });
        Some(Estimate {
            posterior,
            known,
            ways,
            shift_db,
        })
    }

    /// How likely each way of answering is, in order of their numbers.
    #[must_use]
    pub fn ways(&self) -> Rc<Vec<f64>> {
        Rc::clone(self.ways.get_or_init(|| Rc::new(self.posterior.ways())))
    }

    fn number(&self, ear: Ear, hz: Hz) -> Option<usize> {
        let place = Place { ear, hz };
        self.posterior
            .places()
            .iter()
            .position(|other| *other == place)
    }

    /// The midpoint, dB on the set-up's scale, and its standard deviation that more presentations
    /// there can still lessen, dB; quick.
    #[must_use]
    pub fn moments_db(&self, ear: Ear, hz: Hz) -> Option<(f64, f64)> {
        let (mean_db, sd_db) = self.posterior.moments(self.number(ear, hz)?);
        Some((mean_db - self.shift_db, sd_db))
    }

    /// Of these ears and frequencies, each with the levels that may be presented there (dB on the
    /// set-up's scale), the tone whose answer will on average narrow all their midpoints most.
    #[must_use]
    pub fn most_telling(&self, candidates: &[(Ear, Hz, Vec<f64>)]) -> Option<Tone> {
        let numbered: Vec<(usize, Vec<f64>)> = candidates
            .iter()
            .filter_map(|(ear, hz, levels_db)| {
                let on_grid = levels_db.iter().map(|db| db + self.shift_db).collect();
                Some((self.number(*ear, *hz)?, on_grid))
            })
            .collect();
        let best = self.posterior.most_telling(&numbered)?;
        let place = self.posterior.places().get(best.at)?;
        Some(Tone {
            ear: place.ear,
            hz: place.hz,
            level_db: best.level_db - self.shift_db,
        })
    }

    /// What the answer to a tone would say of the midpoint there, dB on the set-up's scale.
    #[must_use]
    pub fn outlook(&self, tone: Tone) -> Option<Outlook> {
        let at = self.number(tone.ear, tone.hz)?;
        let outlook = self.posterior.outlook(at, tone.level_db + self.shift_db);
        Some(Outlook {
            if_answered_db: outlook.if_answered_db - self.shift_db,
            if_not_db: outlook.if_not_db - self.shift_db,
            ..outlook
        })
    }

    /// What is known of a place.
    #[must_use]
    pub fn at(&self, ear: Ear, hz: Hz) -> Option<Estimated> {
        let at = self.number(ear, hz)?;
        let known = self.known.borrow().get(at).cloned().flatten();
        known.or_else(|| {
            let known = self.work_out(at);
            if let Some(place) = self.known.borrow_mut().get_mut(at) {
                *place = Some(known.clone());
            }
            Some(known)
        })
    }

    fn work_out(&self, at: usize) -> Estimated {
        let prior_share = self.posterior.prior_share(at);
        self.stated(self.posterior.midpoint(at), &self.ways(), prior_share)
    }

    /// What is known of a place whose midpoint is believed, beside noise too, to lie so, by this person's ways of
    /// answering.
    #[must_use]
    pub fn beside_noise(
        &self,
        ear: Ear,
        hz: Hz,
        midpoint: Marginal,
        ways: &[f64],
    ) -> Option<Estimated> {
        let variance_db2 = midpoint.sd() * midpoint.sd();
        let at = self.number(ear, hz)?;
        let prior_share = self.posterior.prior_share_of(at, variance_db2);
        Some(self.stated(midpoint, ways, prior_share))
    }

    /// What is stated of a midpoint that is believed, by this person's way of answering.
    fn stated(&self, midpoint: Marginal, ways: &[f64], prior_share: f64) -> Estimated {
        let mean = |of: &dyn Fn(&WayOfAnswering) -> f64| -> f64 {
            let weighted = ways_of_answering().zip(ways);
            weighted.map(|(way, share)| share * of(&way)).sum()
        };
        let midpoint_db = midpoint.mean() - self.shift_db;
        Estimated {
            midpoint_db,
            shift_db: self.shift_db,
            threshold_db: midpoint_db + mean(&|way| ABOVE_DB[way.number]),
            wander_sd_db: mean(&wander_sd_db),
            prior_share,
            midpoint,
        }
    }
}

/// How far the median of the plan's age and sex lies above the prior's mean, dB at each place; empty
/// unless the plan asks for it.
fn norm_less_prior_db(plan: &HearingPlan, places: &[Place]) -> Vec<f64> {
    let Some(norm) = plan.prior_of_age else {
        return Vec::new();
    };
    let sexes = norm
        .sex
        .map_or(vec![Sex::Female, Sex::Male], |sex| vec![sex]);
    let shift_db = |hz: Hz| {
        let shifts = sexes
            .iter()
            .filter_map(|sex| iso_7029_2017::age_shift(*sex, norm.age_years, hz, 0.0));
        let (sum, n) = shifts.fold((0.0, 0.0), |(sum, n), shift| (sum + shift.value.0, n + 1.0));
        // The prior's mean is that of a clinic's people, about 50 years old (our choice).
        if n > 0.0 {
            sum / n - plan.prior().mean_db(hz)
        } else {
            0.0
        }
    };
    places.iter().map(|place| shift_db(place.hz)).collect()
}

/// All places that the plan may come to, and those that the examiner added by hand.
fn places(record: &Record, plan: &HearingPlan) -> Vec<Place> {
    let mut places = Vec::new();
    for ear in Ear::BOTH {
        let mut all_hz = plan.hz.clone();
        if plan.inter_octaves {
            all_hz.extend(super::frequencies::between_octaves(plan));
        }
        for trial in record.counted() {
            let measures = matches!(
                trial.purpose(),
                Purpose::Measure | Purpose::Familiarise | Purpose::Screen
            );
            if let Some(tone) = trial.tone().filter(|tone| measures && tone.ear == ear)
                && !all_hz.contains(&tone.hz)
            {
                all_hz.push(tone.hz);
            }
        }
        all_hz.sort_by(|a, b| a.0.total_cmp(&b.0));
        places.extend(all_hz.into_iter().map(|hz| Place { ear, hz }));
    }
    places
}

fn told(record: &Record, places: &[Place], shift_db: f64) -> Vec<Told> {
    let told = |trial: &crate::journal::Trial| {
        let answered = trial.heard()?;
        match trial.purpose() {
            Purpose::Silent => Some(Told::Silent { answered }),
            Purpose::Familiarise | Purpose::Screen | Purpose::Measure | Purpose::Repeat => {
                let tone = trial.tone()?;
                let place = Place {
                    ear: tone.ear,
                    hz: tone.hz,
                };
                Some(Told::Tone {
                    at: places.iter().position(|other| *other == place)?,
                    level_db: tone.level.db() + shift_db,
                    answered,
                })
            }
            _ => None,
        }
    };
    record.counted().filter_map(told).collect()
}

/// Whether enough tones lie at a bound to say that the midpoint is beyond it.
#[must_use]
pub fn at_a_bound(record: &Record, ear: Ear, hz: Hz, bounds: Bounds) -> Option<Reading> {
    let count = |level_db: f64| {
        let there = own_steps(record, ear, hz).filter(|(db, _)| (db - level_db).abs() < 0.01);
        there.fold((0, 0), |(yes, no), (_, heard)| {
            (yes + usize::from(heard), no + usize::from(!heard))
        })
    };
    let (yes, no) = count(bounds.max_db);
    if no >= AT_A_BOUND && no > yes {
        return Some(Reading::NoResponse(bounds.max_db));
    }
    let (yes, no) = count(bounds.min_db);
    (yes >= AT_A_BOUND && yes > no).then_some(Reading::AtMinimum(bounds.min_db))
}

/// What was measured at a place, as the clinical scale has it.
#[must_use]
pub fn reading(record: &Record, ear: Ear, hz: Hz) -> Option<Reading> {
    let bounds = bounds(record, ear, hz)?;
    let own = own_steps(record, ear, hz).count() as u32;
    if own < FEWEST_OWN {
        return Some(Reading::Undecided);
    }
    let known = Estimate::of(record)?.at(ear, hz)?;
    Some(match at_a_bound(record, ear, hz, bounds) {
        Some(Reading::NoResponse(db)) if known.midpoint_db > db => Reading::NoResponse(db),
        Some(Reading::AtMinimum(db)) if known.midpoint_db < db => Reading::AtMinimum(db),
        // Beyond what was presented it would be the neighbours' word alone; and so where nothing was
        // answered, not even at the highest level.
        _ if known.midpoint_db > bounds.max_db || known.midpoint_db < bounds.min_db => {
            Reading::Undecided
        }
        _ if silent_up_to_the_top(record, ear, hz, bounds) => Reading::Undecided,
        _ => Reading::Threshold(known.threshold_db.min(bounds.max_db)),
    })
}

/// Whether no tone was answered there, one at the highest level among them.
fn silent_up_to_the_top(record: &Record, ear: Ear, hz: Hz, bounds: Bounds) -> bool {
    let own = || own_steps(record, ear, hz);
    own().all(|(_, heard)| !heard) && own().any(|(db, _)| db >= bounds.max_db - 0.01)
}

/// How much a person's midpoint wanders between presentations in the course of a visit, as its
/// effect on every midpoint found, by the way of answering: people with a wide step or many false
/// alarms wander more (an assumption; the sizes were set so that the 90 % intervals of simulated
/// listeners hold, see DEVELOPERS.md).
fn wander_sd_db(way: &WayOfAnswering) -> f64 {
    0.4 * (way.scale_db - 1.8).max(0.0) + 28.0 * (way.false_alarm - 0.02).max(0.0) + 2.0 * way.lapse
}

/// How far 2 of 3 ascents read above the midpoint on average, dB, for each way of answering. Walked
/// through many times, from the same seed in every program: no closed form is known.
static ABOVE_DB: LazyLock<Vec<f64>> =
    LazyLock::new(|| ways_of_answering().map(walked_above_midpoint_db).collect());

fn walked_above_midpoint_db(way: WayOfAnswering) -> f64 {
    const WALKS: u64 = 1000;
    let bounds = Bounds {
        min_db: -200.0,
        max_db: 200.0,
    };
    let (mut sum_db, mut read) = (0.0, 0_u32);
    for walk in 0..WALKS {
        let mut draws = Draws::new(20_261_125, Stream::Visit, walk);
        let listener = DetectionFunction {
            midpoint_db: draws.between(-2.5, 2.5),
            scale_db: way.scale_db,
            false_alarm: way.false_alarm,
            lapse: way.lapse,
        };
        let mut steps: Vec<(f64, bool)> = Vec::new();
        loop {
            let so_far = Walk::through(steps.iter().copied(), AscendingRule::TWO_OF_THREE, bounds);
            match so_far.reading() {
                Reading::Undecided if steps.len() < 120 => {
                    let level_db = so_far.next_level_db(25.0);
                    steps.push((level_db, draws.chance(listener.p(level_db))));
                }
                Reading::Threshold(db) => {
                    sum_db += db - listener.midpoint_db;
                    read += 1;
                    break;
                }
                _ => break,
            }
        }
    }
    sum_db / f64::from(read.max(1))
}
