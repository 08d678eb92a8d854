//! What would tell most about how the answers agree, at any moment, and what it costs.

use super::{BETWEEN_S, COMPANY, FIRST_S, LOUDEST_DB, STEP_DB, SWEEP_BELOW_DB, TestKind, Tests};
use crate::evidence::model::{Asked, Outlook, Part, Weighed, company_after, company_db, weighed};
use crate::finding::bounds;
use crate::finding::estimated::shift_db;
use crate::journal::Record;
use crate::procedure::slot::tone_slot;
use crate::quantity::{Ear, Hz};
use serde::Serialize;

/// So many choices, and so many tones in both ears, are looked at as one series.
const CHOICES: usize = 10;
const BOTH_EARS: usize = 8;
/// So many tones near the threshold after loud company, and as many after soft.
const PROBES: usize = 2;
/// What a person takes to say which of two intervals it was, s (our assumption).
const SAYING_S: f64 = 1.5;

/// A series that could be presented next.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Telling {
    /// What is presented.
    pub by: Part,
    /// At which ear; of tones in both, the better one.
    pub ear: Ear,
    /// At which frequency.
    pub hz: Hz,
    /// The lowest and the highest level whose answers are counted, on the set-up's scale, dB.
    pub levels_db: [f64; 2],
    /// How many presentations, silent ones among them not counted.
    pub presentations: u32,
    /// How long they take, silent ones among them counted, minutes.
    pub minutes: f64,
    /// How much of the one bit, whether the person answers what they perceive, the number of answers
    /// tells on average, where both were equally likely before the first answer of the visit.
    pub bits: f64,
}

impl Telling {
    /// Bits a minute.
    #[must_use]
    pub fn bits_per_minute(&self) -> f64 {
        self.bits / self.minutes
    }

    /// In words.
    #[must_use]
    pub fn sentence(&self) -> String {
        let [low_db, high_db] = self.levels_db;
        let levels = if low_db < high_db {
            format!("{low_db:.0} to {high_db:.0}")
        } else {
            format!("{low_db:.0}")
        };
        format!(
            "{}, {} ear, {} Hz, {levels} dB: tells {:.3} bits in {:.1} min ({} presentations)",
            self.by.name(),
            self.ear,
            self.hz.0,
            self.bits,
            self.minutes,
            self.presentations
        )
    }
}

/// What could be presented to see how the answers to sounds agree, what tells most a minute first;
/// empty while nothing is measured at the frequency of these tests.
#[must_use]
pub fn tell_most(record: &Record) -> Vec<Telling> {
    let Some(plan) = record.opening.plan.hearing.as_ref() else {
        return Vec::new();
    };
    let tests = Tests { record, plan };
    let Some(outlook) = tests
        .first_hz()
        .and_then(|_| Outlook::after(&weighed(record)))
    else {
        return Vec::new();
    };
    let slot = tone_slot(record, plan);
    let lead_s = f64::midpoint(plan.lead_s[0], plan.lead_s[1]);
    let detect_s = (lead_s + slot.window_s - slot.onset_s) / (1.0 - plan.silent_share.min(0.9));
    let choice_s = FIRST_S + 2.0 * plan.tone_s + BETWEEN_S + SAYING_S;
    let mut all: Vec<Telling> = tests
        .series()
        .into_iter()
        .map(|series| {
            let each_s = match series.asked {
                Asked::Interval => choice_s,
                _ => detect_s,
            };
            let presentations = series.presentations();
            Telling {
                by: series.part,
                ear: series.ear,
                hz: series.hz,
                levels_db: series.levels_db(),
                presentations,
                minutes: f64::from(presentations) * each_s / 60.0,
                bits: outlook.bits(&series.weighed(record)),
            }
        })
        .collect();
    all.sort_by(|one, other| other.bits_per_minute().total_cmp(&one.bits_per_minute()));
    all
}

/// A series at one ear and frequency: in groups whose answers are counted apart, each presentation with
/// its level on the set-up's scale, dB, and whether it is counted (company itself is not).
struct Series {
    part: Part,
    asked: Asked,
    ear: Ear,
    hz: Hz,
    groups: Vec<Vec<(f64, bool)>>,
}

impl Series {
    fn presentations(&self) -> u32 {
        self.groups.iter().map(|group| group.len() as u32).sum()
    }

    fn levels_db(&self) -> [f64; 2] {
        let counted = || self.groups.iter().flatten().filter(|(_, counted)| *counted);
        [
            counted().map(|(db, _)| *db).fold(f64::INFINITY, f64::min),
            counted()
                .map(|(db, _)| *db)
                .fold(f64::NEG_INFINITY, f64::max),
        ]
    }

    /// As it would be weighed, in the order of its groups.
    fn weighed(&self, record: &Record) -> Vec<Vec<Weighed>> {
        let shift_db = shift_db(record);
        let mut company = company_db(record);
        let mut n = record.next_number();
        let group = |group: &Vec<(f64, bool)>| {
            let mut all = Vec::new();
            for (level_db, counted) in group {
                let level_db = level_db + shift_db;
                if *counted {
                    all.push(Weighed {
                        asked: self.asked,
                        part: self.part,
                        ear: self.ear,
                        hz: self.hz,
                        level_db,
                        company_db: company,
                        hundreds: f64::from(n - 1) / 100.0,
                        yes: false,
                    });
                }
                company = company_after(company, level_db);
                if let Asked::BothEars { other_db } = self.asked {
                    company = company_after(company, other_db);
                }
                n += 1;
            }
            all
        };
        self.groups.iter().map(group).collect()
    }
}

impl Tests<'_> {
    fn series(&self) -> Vec<Series> {
        let Some(hz) = self.first_hz() else {
            return Vec::new();
        };
        let mut all: Vec<Series> = self
            .going()
            .filter_map(|ear| self.sweeping(ear, hz))
            .collect();
        all.extend(self.both());
        for (ear, admitted_db) in self.tested_ears(hz) {
            let Some(within) = bounds(self.record, ear, hz) else {
                continue;
            };
            let at = |level_db: f64| level_db.clamp(within.min_db, within.max_db);
            let series = |part, asked, groups| Series {
                part,
                asked,
                ear,
                hz,
                groups,
            };
            let below_db = admitted_db - self.plan.agreement.below_db;
            for level_db in [self.near_db(ear, hz), below_db] {
                let choices = vec![(at(level_db), true); CHOICES];
                all.push(series(Part::ForcedChoice, Asked::Interval, vec![choices]));
            }
            let probes = |off_db: f64| {
                let company_db = at((admitted_db + off_db).min(LOUDEST_DB));
                let mut one = vec![(company_db, false); COMPANY];
                one.push((at(admitted_db), true));
                one.repeat(PROBES)
            };
            let groups = vec![probes(20.0), probes(-20.0)];
            all.push(series(Part::Company, Asked::Tone, groups));
        }
        all
    }

    /// As whoever answers at the admitted level makes the two sweeps: up to two answers, down to two
    /// misses.
    fn sweeping(&self, ear: Ear, hz: Hz) -> Option<Series> {
        let admitted_db = self.admitted_db(ear, hz)?;
        let within = bounds(self.record, ear, hz)?;
        let steps = |from_db: f64, to_db: f64| {
            let from_db = from_db.clamp(within.min_db, within.max_db);
            let to_db = to_db.clamp(within.min_db, within.max_db);
            let count = ((to_db - from_db).abs() / STEP_DB).round() as usize;
            let up = STEP_DB.copysign(to_db - from_db);
            let levels = (0..=count).map(|at| (from_db + up * at as f64, true));
            levels.collect::<Vec<_>>()
        };
        let from_db = (admitted_db + self.plan.agreement.sweep_from_db).min(LOUDEST_DB);
        let to_db = admitted_db - 2.0 * STEP_DB;
        Some(Series {
            part: Part::Sweeps,
            asked: Asked::Tone,
            ear,
            hz,
            groups: vec![
                steps(admitted_db - SWEEP_BELOW_DB, admitted_db + STEP_DB),
                steps(from_db, to_db),
            ],
        })
    }

    fn both(&self) -> Option<Series> {
        let test = self.in_both_ears()?;
        let TestKind::BothEars { other_db } = test.kind else {
            return None;
        };
        let other_db = other_db + shift_db(self.record);
        Some(Series {
            part: Part::BothEars,
            asked: Asked::BothEars { other_db },
            ear: test.ear,
            hz: test.hz,
            groups: vec![vec![(test.level_db, true); BOTH_EARS]],
        })
    }
}
