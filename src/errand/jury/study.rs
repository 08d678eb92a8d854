//! Simulated juries whose zero is known: how far is the one that they give from it, and does its
//! stated uncertainty hold?

use super::{JuryVisit, JuryWish, weigh};
use crate::calibration::jury::{Bias, RECRUITING_BIAS_DB};
use crate::calibration::microphone::MicrophoneKind;
use crate::calibration::room::RoomWish;
use crate::calibration::{
    EarphoneProfile, EarphoneRecord, FORMAT, Microphone, MicrophoneRecord, OutputRequirement, Room,
    SetUp, digest,
};
use crate::errand::study::Progress;
use crate::errand::{Begin, ErrandError, epoch_of_simulations, plan_of, spin};
use crate::finding::reading_above_midpoint_db;
use crate::journal::{About, Journal, MaskingPlan, PersonKind, Plan, Record, Unkept};
use crate::person::{Case, HearingTruth, Population, Simulated};
use crate::quantity::{Db, DbFs, DbSpl, Draws, Ear, Hz, Sex, Stream};
use crate::standard::iso_8253_1_2010::fitting;
use crate::standard::{EarphoneClass, EarphoneFit, iso_7029_2017};
use crate::visit::Visit;
use jiff::civil::{Date, date};
use rayon::prelude::*;
use serde::Serialize;
use std::path::PathBuf;
use std::sync::atomic::Ordering;

/// The frequencies of a simulated jury.
const HZ: [f64; 4] = [500.0, 1000.0, 2000.0, 4000.0];
/// How much of the difference between people both their ears share (our choice).
const SHARED: f64 = 0.6;
/// The day of everything simulated.
const DAY: Date = date(2026, 2, 2);
/// The central 90 % of a normal distribution, in standard deviations.
const CENTRAL_90: f64 = 1.6449;

/// A study of juries that is wanted.
#[derive(Debug, Clone)]
pub struct JuryStudy {
    /// Juries.
    pub juries: u32,
    /// People in each.
    pub people: u32,
    /// The seed of everything.
    pub seed: u64,
    /// The procedure that measures.
    pub procedure: String,
    /// How they answer: a population's name.
    pub population: String,
}

/// How far the zeros are from the truth.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JuryStudyReport {
    /// The seed.
    pub seed: u64,
    /// Juries.
    pub juries: u32,
    /// People in each.
    pub people: u32,
    /// The procedure.
    pub procedure: String,
    /// The population.
    pub population: String,
    /// Zeros that were found: juries, earphones and frequencies.
    pub zeros: usize,
    /// Mean of the zero found less the true one, dB, with the bias of recruiting as it was drawn
    /// in each jury: anywhere in 3 to 10 dB.
    pub mean_error_db: f64,
    /// Root mean square of the same.
    pub rms_error_db: f64,
    /// What the profiles state: root mean square of the combined standard uncertainty.
    pub stated_u_db: f64,
    /// How many of the true zeros lie in the stated 90 % interval.
    pub coverage_90: f64,
    /// The same against the truth and the bias that was really there: what few listeners alone do.
    pub listeners_rms_error_db: f64,
    /// What the profiles state of that.
    pub listeners_stated_u_db: f64,
    /// How many lie in that interval.
    pub listeners_coverage_90: f64,
    /// What these figures rest on.
    pub note: &'static str,
}

const NOTE: &str = "from simulated people, not measured on people";

/// One zero against its truth.
struct Apart {
    /// Found less true, and the stated standard uncertainty, dB.
    all: (f64, f64),
    /// The same against the truth with the bias that was really there.
    by_listeners: (f64, f64),
}

impl JuryStudy {
    /// Runs all juries, on the threads of the current pool.
    ///
    /// # Errors
    /// If a jury fails, or the study was stopped.
    pub fn run(&self, progress: &Progress) -> Result<JuryStudyReport, ErrandError> {
        let population = Population::named(&self.population).ok_or_else(|| {
            let names = Population::NAMES.join(", ");
            ErrandError::BadInput(format!("--population: expected one of {names}"))
        })?;
        let plan = self.plan()?;
        let all: Result<Vec<Vec<Apart>>, ErrandError> = (0..self.juries)
            .into_par_iter()
            .map(|number| self.jury(number, &population, &plan, progress))
            .collect();
        let all: Vec<Apart> = all?.into_iter().flatten().collect();
        let mean = |of: &dyn Fn(&Apart) -> f64| all.iter().map(of).sum::<f64>() / all.len() as f64;
        let inside = |(error, u): (f64, f64)| f64::from(u8::from(error.abs() <= CENTRAL_90 * u));
        Ok(JuryStudyReport {
            seed: self.seed,
            juries: self.juries,
            people: self.people,
            procedure: self.procedure.clone(),
            population: self.population.clone(),
            zeros: all.len(),
            mean_error_db: mean(&|one| one.all.0),
            rms_error_db: libm::sqrt(mean(&|one| one.all.0 * one.all.0)),
            stated_u_db: libm::sqrt(mean(&|one| one.all.1 * one.all.1)),
            coverage_90: mean(&|one| inside(one.all)),
            listeners_rms_error_db: libm::sqrt(mean(&|one| {
                one.by_listeners.0 * one.by_listeners.0
            })),
            listeners_stated_u_db: libm::sqrt(mean(&|one| one.by_listeners.1 * one.by_listeners.1)),
            listeners_coverage_90: mean(&|one| inside(one.by_listeners)),
            note: NOTE,
        })
    }

    fn plan(&self) -> Result<Plan, ErrandError> {
        let mut plan = plan_of("full", Some(&self.procedure))?;
        plan.sight = None;
        if let Some(hearing) = &mut plan.hearing {
            hearing.hz = HZ.into_iter().map(Hz).collect();
            hearing.masking = MaskingPlan::None;
            hearing.repeat_hz = None;
        }
        Ok(plan)
    }

    fn jury(
        &self,
        number: u32,
        population: &Population,
        plan: &Plan,
        progress: &Progress,
    ) -> Result<Vec<Apart>, ErrandError> {
        let mut draws = Draws::new(self.seed, Stream::Visit, u64::from(number));
        let [low, high] = RECRUITING_BIAS_DB;
        let bias_db = draws.between(low, high);
        // The truth: where 0 dB HL lies on either earphone.
        let zero: Vec<[f64; 2]> = HZ
            .iter()
            .map(|hz| {
                let reference = EarphoneClass::Circumaural.retspl(Hz(*hz));
                let reference = reference.map_or(0.0, |one| one.value.0);
                [(); 2].map(|()| reference - 100.0 + 3.0 * draws.normal())
            })
            .collect();
        let mut visits = Vec::new();
        for person in 0..self.people {
            if progress.stop.load(Ordering::Relaxed) {
                return Err(ErrandError::Failed("the study was stopped".into()));
            }
            let someone = Someone::draw(&mut draws, bias_db);
            for swapped in [false, true] {
                let case = someone.case(population, &zero, swapped, plan, &mut draws);
                let name = format!("{number}-{person}");
                let record = run_visit(&case, &someone, &name, swapped, plan, &mut draws)?;
                let digest = digest(&format!("{name} {swapped}"));
                visits.push(JuryVisit {
                    name,
                    digest,
                    record,
                });
                progress.visits.fetch_add(1, Ordering::Relaxed);
            }
        }
        let wish = JuryWish {
            title: "simulated jury".into(),
            made_by: "a study".into(),
            made_on: DAY,
            bias: Bias::not_known(),
        };
        let outcome = weigh(&visits, &wish, |record| match &record.opening.person {
            PersonKind::Simulated { title } => Ok(title.clone()),
            PersonKind::Living { .. } | PersonKind::Piped | PersonKind::Practised(_) => {
                Err("expected somebody simulated")
            }
        })?;
        Ok(errors(&outcome.profile, &zero, bias_db))
    }
}

fn errors(profile: &EarphoneProfile, zero: &[[f64; 2]], bias_db: f64) -> Vec<Apart> {
    let record = profile.record();
    let Some(jury) = &record.jury else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for (hz, truth) in HZ.iter().zip(zero) {
        let Some(row) = record.zero.iter().find(|row| row.hz == Hz(*hz)) else {
            continue;
        };
        let found: [DbFs; 2] = [row.right_db_fs, row.left_db_fs];
        for (found, truth) in found.iter().zip(truth) {
            let error_db = found.0 - truth;
            all.push(Apart {
                all: (error_db, libm::hypot(row.u_db.0, jury.u_bias_db.0)),
                by_listeners: (error_db + jury.bias_db.0 - bias_db, row.u_db.0),
            });
        }
    }
    all
}

/// A person of a jury: how far either ear lies over the audiometric zero, as the clinical
/// procedure reads it.
struct Someone {
    sex: Sex,
    age_years: f64,
    ears: Vec<[f64; 2]>,
}

impl Someone {
    /// People of 18 to 45, spread as ISO 7029:2017 has it at 18 (evenly to both sides, the mean of
    /// its two halves), older ones worse by its median, all worse by the bias.
    fn draw(draws: &mut Draws, bias_db: f64) -> Someone {
        let sex = if draws.chance(0.5) {
            Sex::Female
        } else {
            Sex::Male
        };
        let age_years = draws.between(18.0, 45.0).floor();
        let shared = draws.normal();
        let own = [draws.normal(), draws.normal()];
        let ears = HZ.iter().map(|hz| {
            let at = |age, deviate| {
                let shift = iso_7029_2017::age_shift(sex, age, Hz(*hz), deviate);
                shift.map_or(0.0, |one| one.value.0)
            };
            let spread = 0.5 * (at(18.0, 1.0) - at(18.0, -1.0));
            own.map(|own| {
                let deviate = SHARED.sqrt() * shared + (1.0 - SHARED).sqrt() * own;
                at(age_years, 0.0) + bias_db + spread * deviate
            })
        });
        Someone {
            sex,
            age_years,
            ears: ears.collect(),
        }
    }

    /// The person in a run, as the simulated person's own file has it: midpoints on the scale of
    /// the set-up, dB re full scale. The earphone sits anew in every run.
    fn case(
        &self,
        population: &Population,
        zero: &[[f64; 2]],
        swapped: bool,
        plan: &Plan,
        draws: &mut Draws,
    ) -> Case {
        let mut case = population.draw(draws);
        let above_db = plan.hearing.as_ref().map_or(0.0, |hearing| {
            reading_above_midpoint_db(hearing.series_rule())
        });
        let mut midpoints = |earphone: Ear| -> Vec<f64> {
            let side = usize::from(earphone == Ear::Left);
            let ear = if swapped { 1 - side } else { side };
            HZ.iter()
                .enumerate()
                .map(|(at, hz)| {
                    let placed = fitting(Hz(*hz)).0 * draws.normal();
                    zero[at][side] + self.ears[at][ear] + placed - above_db
                })
                .collect()
        };
        case.hearing = Some(HearingTruth {
            hz: HZ.to_vec(),
            right: midpoints(Ear::Right),
            left: midpoints(Ear::Left),
            interaural_attenuation_db: 60.0,
        });
        case.sight = None;
        case
    }
}

fn run_visit(
    case: &Case,
    someone: &Someone,
    name: &str,
    swapped: bool,
    plan: &Plan,
    draws: &mut Draws,
) -> Result<Record, ErrandError> {
    let mut plan = plan.clone();
    plan.about = Some(About {
        age_years: Some(someone.age_years),
        sex: Some(someone.sex),
    });
    let begin = Begin {
        folder: PathBuf::new(),
        seed: draws.seed(),
        person: PersonKind::Simulated { title: name.into() },
        set_up: set_up(swapped)?,
        plan,
        epoch: epoch_of_simulations(),
    };
    let journal = Journal::begin(Unkept, begin.opening(), begin.epoch)
        .map_err(|error| ErrandError::Failed(error.to_string()))?;
    let mut visit = Visit::over(journal);
    let mut person = Simulated::new(case.clone(), draws.seed());
    spin(&mut visit, &mut person)?;
    Ok(visit.record().clone())
}

/// An output without a profile, in a room that was measured and is quiet.
fn set_up(swapped: bool) -> Result<SetUp, ErrandError> {
    let bad = |error: crate::calibration::FieldError| ErrandError::Failed(error.to_string());
    let earphone = EarphoneProfile::try_from(EarphoneRecord {
        output: Some(OutputRequirement {
            device: None,
            rate_hz: 48_000,
            bits: Some(24),
            volume_percent: None,
        }),
        ..EarphoneProfile::uncalibrated().record().clone()
    });
    Ok(SetUp {
        name: "simulated jury".into(),
        earphone: Some(earphone.map_err(bad)?),
        screen: None,
        room: Some(quiet_room().map_err(bad)?),
        sides_swapped: swapped,
        ..SetUp::simulated()
    })
}

fn quiet_room() -> Result<Room, crate::calibration::FieldError> {
    let microphone = Microphone::try_from(MicrophoneRecord {
        format: FORMAT,
        kind: MicrophoneKind::Microphone,
        title: "simulated".into(),
        method: "simulated".into(),
        made_by: "a study".into(),
        made_on: DAY,
        expires_on: DAY,
        device: None,
        rate_hz: 48_000,
        full_scale_db_spl: DbSpl(100.0),
        u_db: Db(0.5),
        floor_db_spl: Some(vec![DbSpl(-20.0); 25]),
    })?;
    let mut draws = Draws::new(0, Stream::Noise, 0);
    let hiss: Vec<f32> = (0..72_000)
        .map(|_| (1e-5 * draws.normal()) as f32)
        .collect();
    let wish = RoomWish {
        place: "simulated, quiet".into(),
        fit: EarphoneFit::Circumaural,
        made_by: "a study".into(),
        made_on: DAY,
        expires_on: DAY,
    };
    Room::measured(wish, &microphone, &hiss)
}
