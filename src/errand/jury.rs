//! A listening jury: visits of people with normal hearing on one set-up become its zero.

pub mod study;

use super::ErrandError;
use super::bench::today;
use crate::calibration::jury::{
    self, Bias, JuryRecord, Listener, MIN_LISTENERS, MIN_RUNS, Reading,
};
use crate::calibration::{EarphoneProfile, OutputRequirement, ProfileKind, digest};
use crate::evidence::{Evidence, Grade};
use crate::finding::{HearingFindings, HearingStatus};
use crate::journal::{PersonKind, Record};
use crate::quantity::{DbHl, Ear, Hz, Level, Sex};
use crate::standard::AUDIOMETRIC_HZ;
use crate::stimulus::Signal;
use jiff::civil::Date;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// The standard by which age is deducted.
const AGE_BY: &str = "ISO 7029:2017, median";
/// A frequency has no zero where more than this share of the listeners answered at the lowest
/// level that the set-up has: the zero of the others would be too high (our choice).
const MOST_AT_THE_FLOOR: f64 = 0.1;

/// A jury that is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct JuryWish {
    /// What the set-up is called.
    pub title: String,
    /// Who makes the profile.
    pub made_by: String,
    /// The day.
    pub made_on: Date,
    /// How much worse than the audiometric zero the listeners hear.
    pub bias: Bias,
}

/// A visit of a listener.
#[derive(Debug, Clone)]
pub struct JuryVisit {
    /// What people call it: the journal's file.
    pub name: String,
    /// SHA-256 of the journal.
    pub digest: String,
    /// The record.
    pub record: Record,
}

/// A visit, or a person, that does not count.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// Which.
    pub what: String,
    /// Why.
    pub why: String,
}

/// A frequency of which there is no zero.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NoZero {
    /// Which.
    pub hz: Hz,
    /// Why.
    pub why: String,
}

/// What became of a jury.
#[derive(Debug, Clone, PartialEq)]
pub struct JuryOutcome {
    /// The profile.
    pub profile: EarphoneProfile,
    /// People who count.
    pub people: usize,
    /// Visits that count.
    pub visits: usize,
    /// Who and what does not.
    pub left_out: Vec<LeftOut>,
    /// Frequencies without a zero.
    pub without: Vec<NoZero>,
}

/// The journals of a jury: files, or folders in which they lie, one visit a folder.
///
/// # Errors
/// A path that is neither, a journal that does not hold.
pub fn jury_visits(paths: &[PathBuf]) -> Result<Vec<JuryVisit>, ErrandError> {
    let mut files = Vec::new();
    for path in paths {
        if path.is_dir() {
            let found = files.len();
            let own = path.join(super::JOURNAL_FILE);
            if own.exists() {
                files.push(own);
            }
            let inside =
                std::fs::read_dir(path).map_err(|error| ErrandError::in_file(path, error))?;
            let mut inside: Vec<PathBuf> = inside
                .filter_map(|entry| Some(entry.ok()?.path().join(super::JOURNAL_FILE)))
                .filter(|journal| journal.exists())
                .collect();
            inside.sort();
            files.extend(inside);
            if files.len() == found {
                return Err(ErrandError::in_file(path, "expected visits, found none"));
            }
        } else {
            files.push(path.clone());
        }
    }
    let visit = |path: &Path| {
        let text = crate::journal::whole_file::document(path)
            .map_err(|error| ErrandError::in_file(path, error))?;
        Ok(JuryVisit {
            name: path.display().to_string(),
            digest: digest(&text),
            record: super::recount::whole_record_in(path)?,
        })
    };
    files.iter().map(|path| visit(path)).collect()
}

/// What all visits of a jury have in common.
#[derive(Debug, Clone, PartialEq)]
struct Common {
    output: OutputRequirement,
    procedure: String,
    signal: Signal,
}

/// A person and the visits that count of theirs.
struct Person {
    code: String,
    sex: Sex,
    age_years: f64,
    visits: Vec<usize>,
}

/// The zero that a jury gives.
///
/// # Errors
/// Too few people, visits on different set-ups, or no frequency with a zero.
pub fn jury(visits: &[JuryVisit], wish: &JuryWish) -> Result<JuryOutcome, ErrandError> {
    weigh(visits, wish, living_code)
}

fn living_code(record: &Record) -> Result<String, &'static str> {
    match &record.opening.person {
        PersonKind::Living { code } => Ok(code.clone()),
        PersonKind::Simulated { .. } | PersonKind::Piped | PersonKind::Practised(_) => {
            Err("nobody living answered")
        }
    }
}

fn weigh(
    visits: &[JuryVisit],
    wish: &JuryWish,
    code_of: impl Fn(&Record) -> Result<String, &'static str>,
) -> Result<JuryOutcome, ErrandError> {
    let mut left_out = Vec::new();
    let mut common: Option<Common> = None;
    let mut people: Vec<Person> = Vec::new();
    for (at, visit) in visits.iter().enumerate() {
        let taken = take(&visit.record, &code_of, &mut common);
        let twice = visits[..at].iter().any(|one| one.digest == visit.digest);
        match taken {
            _ if twice => left_out.push(LeftOut {
                what: visit.name.clone(),
                why: "the same journal is there twice".into(),
            }),
            Err(why) => left_out.push(LeftOut {
                what: visit.name.clone(),
                why,
            }),
            Ok((code, sex, age_years)) => {
                match people.iter_mut().find(|person| person.code == code) {
                    Some(person) => person.visits.push(at),
                    None => people.push(Person {
                        code,
                        sex,
                        age_years,
                        visits: vec![at],
                    }),
                }
            }
        }
    }
    people.retain(|person| {
        let swapped = |at: &usize| visits[*at].record.opening.set_up.sides_swapped;
        let both = person.visits.iter().any(swapped) && !person.visits.iter().all(swapped);
        if both && person.visits.len() >= MIN_RUNS {
            return true;
        }
        left_out.push(LeftOut {
            what: format!("listener {}", person.code),
            why: "expected a run with the sides swapped and one without".into(),
        });
        false
    });
    if people.len() < MIN_LISTENERS {
        let found = people.len();
        let first = left_out.first().map_or_else(String::new, |one| {
            format!("; left out: {}, because {}", one.what, one.why)
        });
        return Err(ErrandError::Failed(format!(
            "a jury of at least {MIN_LISTENERS} people is expected, found {found}{first}"
        )));
    }
    let Some(common) = common else {
        return Err(ErrandError::BadInput("expected visits, found none".into()));
    };
    let used: Vec<&JuryVisit> = people
        .iter()
        .flat_map(|person| person.visits.iter().map(|at| &visits[*at]))
        .collect();
    let mut floors = Floors::default();
    let listeners: Vec<Listener> = people
        .iter()
        .map(|person| listener(person, visits, &mut floors))
        .collect();
    let lowest = |hz| lowest_of(&used, hz);
    let floored = floors.too_many(listeners.len());
    let mut rows = jury::zero(&listeners, wish.bias, lowest);
    rows.retain(|row| !floored.contains(&row.hz));
    let without = without(&rows, &listeners, &floored, lowest);
    let record = JuryRecord {
        bias_db: wish.bias.db,
        u_bias_db: wish.bias.u_db,
        bias_entered: wish.bias.entered,
        procedure: common.procedure,
        age_correction: AGE_BY.into(),
        journals: used.iter().map(|visit| visit.digest.clone()).collect(),
    };
    if rows.is_empty() {
        let first = without
            .first()
            .map_or("nothing was measured", |one| &one.why);
        return Err(ErrandError::Failed(format!(
            "no frequency has a zero: {first}"
        )));
    }
    let profile = EarphoneProfile::from_jury(
        &wish.title,
        rows,
        record,
        &wish.made_by,
        wish.made_on,
        common.output,
    )
    .map_err(|error| ErrandError::BadInput(error.to_string()))?;
    Ok(JuryOutcome {
        profile,
        people: people.len(),
        visits: used.len(),
        left_out,
        without,
    })
}

/// Whether a visit can count, and whose it is.
fn take(
    record: &Record,
    code_of: &impl Fn(&Record) -> Result<String, &'static str>,
    common: &mut Option<Common>,
) -> Result<(String, Sex, f64), String> {
    let code = code_of(record)?;
    let set_up = &record.opening.set_up;
    if !record.closed() {
        return Err("the visit was not closed".into());
    }
    let earphone = set_up.earphone.as_ref().ok_or("hearing was not tested")?;
    if earphone.kind() != ProfileKind::Uncalibrated {
        let what = "it was made on a profile; a jury hears a set-up that has none";
        return Err(what.into());
    }
    let output = earphone.record().output.clone();
    let output = output.ok_or("it names no sound output")?;
    let plan = record.opening.plan.hearing.as_ref();
    let plan = plan.ok_or("hearing was not tested")?;
    let own = Common {
        output,
        procedure: plan.procedure.clone(),
        signal: plan.signal,
    };
    let known = common.get_or_insert_with(|| own.clone());
    if known.output != own.output {
        return Err("it was made on another output than the first visit".into());
    }
    if *known != own {
        return Err("it was made by another procedure than the first visit".into());
    }
    if set_up.room.is_none() {
        return Err("the room was not measured".into());
    }
    let about = record.opening.plan.about;
    let age_years = about.and_then(|about| about.age_years);
    let sex = about.and_then(|about| about.sex);
    let (Some(age_years), Some(sex)) = (age_years, sex) else {
        return Err("age or sex is not told".into());
    };
    let graded = Evidence::of(record, &HearingFindings::of(record))
        .hearing
        .map(|one| one.grade);
    if graded == Some(Grade::Inconsistent) {
        return Err("its answers do not agree with one another".into());
    }
    Ok((code, sex, age_years))
}

/// Who answered at the lowest level.
#[derive(Default)]
struct Floors {
    found: Vec<(Hz, usize)>,
}

impl Floors {
    fn add(&mut self, hz: Hz) {
        match self.found.iter_mut().find(|(at, _)| *at == hz) {
            Some((_, count)) => *count += 1,
            None => self.found.push((hz, 1)),
        }
    }

    fn too_many(&self, people: usize) -> Vec<Hz> {
        let most = MOST_AT_THE_FLOOR * people as f64;
        let many = self.found.iter().filter(|(_, count)| *count as f64 > most);
        many.map(|(hz, _)| *hz).collect()
    }
}

/// The readings of a person; an earphone and frequency at which a run ended at the lowest level is
/// left out, whatever the other runs say.
fn listener(person: &Person, visits: &[JuryVisit], floors: &mut Floors) -> Listener {
    let found: Vec<HearingFindings> = person
        .visits
        .iter()
        .map(|at| HearingFindings::of(&visits[*at].record))
        .collect();
    let mut readings = Vec::new();
    for hz in AUDIOMETRIC_HZ {
        let mut at_floor = false;
        for earphone in Ear::BOTH {
            let all = || found.iter().filter_map(|one| one.at(earphone, hz));
            if all().any(|one| one.status == HearingStatus::AnsweredAtMinimum) {
                at_floor = true;
                continue;
            }
            let measured = all().filter(|one| one.status == HearingStatus::Measured);
            readings.extend(measured.filter_map(|one| match one.threshold {
                Some(Level::Fs(level)) => Some(Reading {
                    earphone,
                    hz,
                    level,
                }),
                _ => None,
            }));
        }
        if at_floor {
            floors.add(hz);
        }
    }
    Listener {
        sex: person.sex,
        age_years: person.age_years,
        readings,
    }
}

/// The lowest level that the noisiest of the rooms lets one claim; none if one does not tell.
fn lowest_of(visits: &[&JuryVisit], hz: Hz) -> Option<DbHl> {
    let rooms = visits.iter().map(|visit| {
        let room = visit.record.opening.set_up.room.as_ref()?;
        room.lowest(hz)
    });
    let all: Option<Vec<DbHl>> = rooms.collect();
    let worst = all?.into_iter().map(|level| level.0);
    // Under −10 dB HL nothing is presented anyway.
    worst.reduce(f64::max).map(|db| DbHl(db.max(-10.0)))
}

fn without(
    rows: &[jury::JuryZero],
    listeners: &[Listener],
    floored: &[Hz],
    lowest: impl Fn(Hz) -> Option<DbHl>,
) -> Vec<NoZero> {
    let heard = |hz: Hz| {
        let at = |one: &&Listener| one.readings.iter().any(|reading| reading.hz == hz);
        listeners.iter().filter(at).count()
    };
    let asked = |hz: &Hz| heard(*hz) > 0 || floored.contains(hz);
    AUDIOMETRIC_HZ
        .into_iter()
        .filter(|hz| !rows.iter().any(|row| row.hz == *hz) && asked(hz))
        .map(|hz| NoZero {
            hz,
            why: if floored.contains(&hz) {
                "more than one listener in ten answered at the lowest level of the set-up: turn \
                 the system's volume down and test again"
                    .into()
            } else if lowest(hz).is_none() {
                "no statement about the room".into()
            } else {
                let found = heard(hz);
                format!("{found} listeners have a threshold there, {MIN_LISTENERS} are expected")
            },
        })
        .collect()
}

/// A bias that was entered, or the range that stands for one that nobody knows.
///
/// # Errors
/// One of the two alone.
pub fn bias_of(db: Option<f64>, u_db: Option<f64>) -> Result<Bias, ErrandError> {
    use crate::quantity::Db;
    match (db, u_db) {
        (None, None) => Ok(Bias::not_known()),
        (Some(db), Some(u_db)) => Ok(Bias {
            db: Db(db),
            u_db: Db(u_db),
            entered: true,
        }),
        _ => Err(ErrandError::BadInput(
            "--bias-db: expected together with --u-bias-db, or neither".into(),
        )),
    }
}

/// Makes the profile of a jury and writes it.
///
/// # Errors
/// As [`jury`]; a file that is there already.
pub fn write_jury(
    paths: &[PathBuf],
    title: &str,
    made_by: &str,
    bias: Bias,
    out: &Path,
) -> Result<JuryOutcome, ErrandError> {
    let visits = jury_visits(paths)?;
    let wish = JuryWish {
        title: title.to_owned(),
        made_by: made_by.to_owned(),
        made_on: today(),
        bias,
    };
    let outcome = jury(&visits, &wish)?;
    super::bench::write_new(out, &outcome.profile.to_toml())?;
    Ok(outcome)
}
