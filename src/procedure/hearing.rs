//! The trade's procedures over the ears and frequencies of the plan: screening at one level, and
//! series by ascents or by bracketing (ISO 8253-1:2010, 6.2).
//!
//! The first ear is familiarised, measured, and measured again at 1 kHz; then the other ear.

use super::agreement::{self, TestKind};
use super::slot::{detection, masker_part, tone_part, tone_slot};
use super::{Next, Proposal, estimate, masking};
use crate::calibration::EarphoneProfile;
use crate::finding::ascents::{Bounds, Reading};
use crate::finding::{
    Screened, Series, bounds, measured_hz, own_steps, repeat_steps, screened, screening_level,
    series_reading_db,
};
use crate::journal::{
    AgreementPlan, HearingPlan, HowEnded, Procedure, Purpose, Record, Section, SeriesRule, Trial,
};
use crate::quantity::{Draws, Ear, Hz, Level, Scale, Stream};
use crate::stimulus::Part;

/// After so many presentations for each frequency of an ear, hearing there is given up (our
/// choice: many times what any listener of the study needs).
const MOST_PER_FREQUENCY: usize = 120;

/// What the plan asks for next about hearing; none if that is done.
pub(super) fn next(record: &Record) -> Option<Next> {
    let plan = record.opening.plan.hearing.as_ref()?;
    record.opening.set_up.earphone.as_ref()?;
    let course = Course {
        record,
        plan,
        rule: plan.series_rule(),
    };
    let ears = || plan.ears.iter().copied();
    let unmasked = if plan.measures_by() == Some(Procedure::Estimate) {
        course.next_of_all()
    } else {
        ears().find_map(|ear| course.next_at(ear))
    };
    unmasked
        .or_else(|| course.next_test())
        .or_else(|| course.next_masked())
}

/// A tone that is wanted.
struct Wanted {
    ear: Ear,
    purpose: Purpose,
    hz: Hz,
    level_db: f64,
    /// Noise at the other ear, dB effective masking level.
    masker_db: Option<f64>,
}

struct Course<'a> {
    record: &'a Record,
    plan: &'a HearingPlan,
    rule: SeriesRule,
}

impl Course<'_> {
    fn next_at(&self, ear: Ear) -> Option<Next> {
        if self.record.ended(Section::Ear(ear)).is_some() {
            return None;
        }
        let (purpose, hz, level_db) = self.wanted(ear)?;
        Some(self.unless_exhausted(&Wanted {
            ear,
            purpose,
            hz,
            level_db,
            masker_db: None,
        }))
    }

    /// By `estimate`: what tells most of all ears and frequencies that are not done.
    fn next_of_all(&self) -> Option<Next> {
        let mut going = self
            .plan
            .ears
            .iter()
            .copied()
            .filter(|ear| self.record.ended(Section::Ear(*ear)).is_none());
        let ready = |ear: Ear| {
            let familiar = self.familiarisation(ear);
            let familiar = familiar.map(|(hz, db)| (Purpose::Familiarise, ear, hz, db));
            let screening = || {
                let screening = self.screening(ear);
                screening.map(|(hz, db)| (Purpose::Screen, ear, hz, db))
            };
            familiar.or_else(screening)
        };
        let (purpose, ear, hz, level_db) = going.find_map(ready).or_else(|| {
            let told = estimate::most_telling(self.record, self.plan)?;
            Some((Purpose::Measure, told.ear, told.hz, told.level_db))
        })?;
        Some(self.unless_exhausted(&Wanted {
            ear,
            purpose,
            hz,
            level_db,
            masker_db: None,
        }))
    }

    /// What shows how the answers agree.
    fn next_test(&self) -> Option<Next> {
        let test = agreement::wanted(self.record, self.plan)?;
        if test.kind == TestKind::Choice {
            let scale = self.scale();
            let choice = agreement::choice(self.record, self.plan, &test, scale);
            return Some(Next::Present(choice));
        }
        let other_db = match test.kind {
            TestKind::BothEars { other_db } => Some(other_db),
            TestKind::Tone | TestKind::Choice => None,
        };
        let wanted = Wanted {
            ear: test.ear,
            purpose: test.purpose,
            hz: test.hz,
            level_db: test.level_db,
            masker_db: None,
        };
        let mut proposal = self.proposal(&wanted);
        if let (Some(other_db), Purpose::BothEars, Some(slot)) =
            (other_db, proposal.purpose, proposal.slot)
        {
            let level = Level::new(self.scale(), other_db);
            let other = tone_part(self.plan, test.ear.other(), test.hz, level, slot);
            proposal.presentation.parts.push(Part::Sound(other));
        }
        Some(Next::Present(proposal))
    }

    fn scale(&self) -> Scale {
        let earphone = self.record.opening.set_up.earphone.as_ref();
        earphone.map_or(Scale::DbFs, EarphoneProfile::scale)
    }

    fn next_masked(&self) -> Option<Next> {
        let ears = self.plan.ears.iter().copied();
        let going: Vec<Ear> = ears
            .filter(|ear| self.record.ended(Section::Ear(*ear)).is_none())
            .collect();
        let (ear, masked) = masking::wanted(self.record, self.plan, &going)?;
        Some(self.unless_exhausted(&Wanted {
            ear,
            purpose: Purpose::Masked,
            hz: masked.hz,
            level_db: masked.level_db,
            masker_db: Some(masked.masker_db),
        }))
    }

    fn unless_exhausted(&self, wanted: &Wanted) -> Next {
        match self.exhausted(wanted.ear) {
            Some(reason) => Next::End {
                section: Section::Ear(wanted.ear),
                how: HowEnded::Stopped,
                reason,
            },
            None => Next::Present(self.proposal(wanted)),
        }
    }

    /// What is wanted of an ear, silence aside; none if it is done.
    fn wanted(&self, ear: Ear) -> Option<(Purpose, Hz, f64)> {
        if let Some((hz, level_db)) = self.familiarisation(ear) {
            return Some((Purpose::Familiarise, hz, level_db));
        }
        if let Some((hz, level_db)) = self.screening(ear) {
            return Some((Purpose::Screen, hz, level_db));
        }
        for hz in &measured_hz(self.record, ear) {
            let Some(bounds) = bounds(self.record, ear, *hz) else {
                continue;
            };
            let walk = Series::through(own_steps(self.record, ear, *hz), self.rule, bounds);
            if walk.reading() == Reading::Undecided {
                let start_db = self.start_db(ear, *hz);
                return Some((Purpose::Measure, *hz, walk.next_level_db(start_db)));
            }
        }
        let mut going = self
            .plan
            .ears
            .iter()
            .filter(|ear| self.record.ended(Section::Ear(**ear)).is_none());
        let first = going.next() == Some(&ear);
        let (hz, level_db) = if first {
            self.repeat(ear)?
        } else {
            return None;
        };
        Some((Purpose::Repeat, hz, level_db))
    }

    /// The plan's screening level at the next frequency of which it is not known whether it is
    /// heard there.
    fn screening(&self, ear: Ear) -> Option<(Hz, f64)> {
        let level_db = screening_level(self.record)?.db();
        let open = |hz: &&Hz| {
            let found = screened(self.record, ear, **hz).found;
            let presentable = bounds(self.record, ear, **hz)
                .is_some_and(|one| (one.min_db..=one.max_db).contains(&level_db));
            presentable && matches!(found, Screened::Undecided | Screened::NotTested)
        };
        self.plan.hz.iter().find(open).map(|hz| (*hz, level_db))
    }

    /// A clearly audible tone, 20 dB down to no answer, 10 dB up to an answer (ISO 8253-1:2010,
    /// 6.2.2, from memory). An ear is familiarised unless the other one has been.
    fn familiarisation(&self, ear: Ear) -> Option<(Hz, f64)> {
        let hz = self
            .plan
            .repeat_hz
            .filter(|hz| self.plan.hz.contains(hz))
            .or_else(|| self.plan.hz.first().copied())?;
        let bounds = bounds(self.record, ear, hz)?;
        let familiar = |ear| understood(&self.familiarising_steps(ear), bounds);
        if familiar(ear) || familiar(ear.other()) {
            return None;
        }
        let level_db = match self.familiarising_steps(ear).last() {
            None => self.first_db(),
            Some((level_db, true)) => level_db - 20.0,
            Some((level_db, false)) if *level_db >= bounds.max_db => return None,
            Some((level_db, false)) => level_db + 10.0,
        };
        Some((hz, level_db.clamp(bounds.min_db, bounds.max_db)))
    }

    fn familiarising_steps(&self, ear: Ear) -> Vec<(f64, bool)> {
        let answered = self
            .familiarising()
            .filter_map(|trial| trial.tone().zip(trial.heard()));
        let own = answered.filter(|(tone, _)| tone.ear == ear);
        own.map(|(tone, heard)| (tone.level.db(), heard)).collect()
    }

    fn familiarising(&self) -> impl DoubleEndedIterator<Item = &Trial> {
        self.record
            .counted()
            .filter(|trial| trial.purpose() == Purpose::Familiarise)
    }

    /// Where the series of a frequency begins: at the familiarised frequency 10 dB below the
    /// lowest answer (ISO 8253-1:2010, 6.2.3.2); elsewhere 10 dB above what an earlier visit found
    /// there, else above the reading of the
    /// frequency before in this ear, else of the same frequency in the other ear.
    fn start_db(&self, ear: Ear, hz: Hz) -> f64 {
        let lowest_answer_db = self
            .familiarising()
            .filter(|trial| trial.heard() == Some(true))
            .filter_map(Trial::tone)
            .filter(|tone| tone.ear == ear && tone.hz == hz)
            .map(|tone| tone.level.db())
            .reduce(f64::min);
        if let Some(level_db) = lowest_answer_db {
            return level_db - 10.0;
        }
        let earlier = self.record.opening.plan.earlier.as_ref();
        if let Some(then) = earlier.and_then(|earlier| earlier.at(ear, hz)) {
            return (then.threshold_db_hl / 5.0).round() * 5.0 + 10.0;
        }
        let at = self
            .plan
            .hz
            .iter()
            .position(|other| *other == hz)
            .unwrap_or(0);
        let before = self.plan.hz[..at].iter().rev();
        let readings = before
            .map(|before| (ear, *before))
            .chain([(ear.other(), hz)]);
        let mut found = readings.filter_map(|(ear, hz)| self.reading_db(ear, hz));
        found.next().map_or(self.first_db(), |db| db + 10.0)
    }

    /// Where the very first tone is presented.
    fn first_db(&self) -> f64 {
        let earphone = self.record.opening.set_up.earphone.as_ref();
        self.plan
            .start_db_on(earphone.map_or(Scale::DbHl, EarphoneProfile::scale))
    }

    fn reading_db(&self, ear: Ear, hz: Hz) -> Option<f64> {
        series_reading_db(self.record, ear, hz)
    }

    /// 1 kHz again in the first ear; where the two readings are 10 dB apart or more, the next
    /// frequencies in order as well, until one agrees within 5 dB (ISO 8253-1:2010, step 3).
    fn repeat(&self, ear: Ear) -> Option<(Hz, f64)> {
        let first_hz = self.plan.repeat_hz?;
        let from = self.plan.hz.iter().position(|hz| *hz == first_hz)?;
        for hz in self.plan.hz[from..].iter().chain(&self.plan.hz[..from]) {
            let Some(first_db) = self.reading_db(ear, *hz) else {
                continue;
            };
            let bounds: Bounds = bounds(self.record, ear, *hz)?;
            let walk = Series::through(repeat_steps(self.record, ear, *hz), self.rule, bounds);
            match walk.reading() {
                Reading::Undecided => return Some((*hz, walk.next_level_db(first_db + 10.0))),
                _ if reading_db(&walk).is_some_and(|db| (db - first_db).abs() > 5.0) => {}
                _ => return None,
            }
        }
        None
    }

    fn exhausted(&self, ear: Ear) -> Option<String> {
        let of_ear = |trial: &&Trial| trial.tone().is_some_and(|tone| tone.ear == ear);
        let tones = self.record.trials().iter().filter(of_ear).count();
        if tones >= MOST_PER_FREQUENCY * self.plan.hz.len() {
            return Some("the answers did not settle".into());
        }
        // What is used up before everything is known ends a series; an estimate is what it is, and
        // masking still has to come.
        if self.plan.measures_by() == Some(Procedure::Estimate) {
            return None;
        }
        let measuring =
            |trial: &&Trial| trial.purpose() == Purpose::Measure && trial.tone().is_some();
        let measured = self.record.trials().iter().filter(measuring).count();
        let most = self.plan.most_tones? as usize;
        (measured >= most).then(|| format!("ended after {most} tones, as planned"))
    }

    /// The wanted tone, or in its place, by chance alone, a slot exactly like it without it: the
    /// noise of a masked tone is there as well.
    fn proposal(&self, wanted: &Wanted) -> Proposal {
        let n = u64::from(self.record.next_number());
        let seed = self.record.opening.presenter_seed;
        let slot = tone_slot(self.record, self.plan);
        let tests = self.plan.agreement != AgreementPlan::default();
        let enough = tests && agreement::made(self.record) >= self.plan.agreement.most;
        let silent = wanted.purpose != Purpose::Familiarise
            && !enough
            && Draws::new(seed, Stream::Silence, n).chance(self.plan.silent_share);
        let scale = self.scale();
        let tone = (!silent).then(|| {
            let level = Level::new(scale, wanted.level_db);
            tone_part(self.plan, wanted.ear, wanted.hz, level, slot)
        });
        let masker = wanted.masker_db.map(|masker_db| {
            let level = Level::new(scale, masker_db);
            masker_part(wanted.ear.other(), wanted.hz, level, slot)
        });
        let purpose = if silent {
            Purpose::Silent
        } else {
            wanted.purpose
        };
        detection(purpose, tone, masker, slot)
    }
}

/// Whether a tone was answered after a softer one was not, or at the lowest level.
fn understood(steps: &[(f64, bool)], bounds: Bounds) -> bool {
    let first_miss = steps
        .iter()
        .position(|(_, heard)| !heard)
        .unwrap_or(steps.len());
    let after = &steps[first_miss..];
    after.iter().any(|(_, heard)| *heard)
        || steps
            .iter()
            .any(|(level_db, heard)| *heard && *level_db <= bounds.min_db)
}

fn reading_db(series: &Series) -> Option<f64> {
    match series.reading() {
        Reading::Threshold(db) | Reading::NoResponse(db) | Reading::AtMinimum(db) => Some(db),
        Reading::Undecided | Reading::GivenUp => None,
    }
}
