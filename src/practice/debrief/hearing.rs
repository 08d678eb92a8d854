//! The steps of hearing that can be read off the journal (reference: trainee assessment 6.2).

use super::gaps::uneven_gaps;
use super::outcome::not_masked;
use super::said;
use super::step::{Asked, Done, Step, TRADE};
use crate::finding::ascents::Reading;
use crate::finding::masking::{Need, need};
use crate::finding::{bounds, silent_answers, unmasked_reading};
use crate::journal::{Phrase, Record};
use crate::practice::coach::{FIRST_DB, FIRST_HZ, better_ear, order};
use crate::practice::exercise::Exercise;
use crate::practice::runs::{Run, known_near, level_of, runs};
use crate::practice::words::false_alarms;
use crate::quantity::{Ear, Hz};

pub(super) const BSA: &str = "BSA recommended procedure 2018, ISO 8253-1:2010 (from memory)";
const ISO: &str = "ISO 8253-1:2010, 6.2 (from memory)";

/// A first tone where nothing is known yet is no louder, dB HL (our choice).
const MOST_FIRST_DB: f64 = 70.0;
/// Nor is a tone louder by this than what is known, dB (reference: 30 dB above the estimate).
const OVER_KNOWN_DB: f64 = 30.0;
/// A tone from here on is heard clearly by most, dB HL (our choice).
const CLEAR_DB: f64 = 20.0;
/// No step upward is larger, dB (our choice).
const MOST_RISE_DB: f64 = 20.0;
/// From here on a level is loud, dB HL (reference: held confirmation).
const LOUD_DB: f64 = 85.0;

/// All steps, in the order of a visit; none where hearing was not practised.
pub(super) fn steps(record: &Record, exercise: &Exercise) -> Vec<Step> {
    if record.opening.plan.hearing.is_none() || exercise.person.hearing.is_none() {
        return Vec::new();
    }
    let runs = runs(record);
    let visit = Visit {
        record,
        exercise,
        runs: &runs,
    };
    let mut steps = said::before_all(record);
    steps.extend([
        visit.better_ear_first(),
        visit.first_frequency(),
        visit.frequency_order(),
        visit.familiarised(),
        visit.ascents(),
        visit.decided(),
        visit.complete(),
        visit.again(),
        visit.tone_length(),
        uneven_gaps(record),
        visit.silences(),
        visit.acted_on_false_alarms(),
        visit.masked(),
        visit.not_too_loud(),
        visit.no_response(),
        said::neutral(record),
        said::rested(record),
    ]);
    steps
}

struct Visit<'a> {
    record: &'a Record,
    exercise: &'a Exercise,
    runs: &'a [Run<'a>],
}

impl Visit<'_> {
    fn unmasked(&self) -> impl Iterator<Item = &Run<'_>> {
        self.runs.iter().filter(|run| !run.masked)
    }

    fn planned(&self) -> Vec<Hz> {
        let plan = self.record.opening.plan.hearing.as_ref();
        plan.map_or_else(Vec::new, |plan| plan.hz.clone())
    }

    fn better_ear_first(&self) -> Step {
        let asked = Asked {
            name: "better_ear_first",
            what: "asked for the better ear and began there",
            must: false,
            expected: "the ear that the person names; either, where none is named",
            source: BSA,
        };
        let Some(first) = self.runs.first() else {
            return asked.is(false, "no tone");
        };
        let first_n = first.tones.first().map_or(0, |trial| trial.planned.n);
        let mut said = self.record.practice().said().iter();
        let asked_for =
            said.any(|said| said.phrase == Phrase::AsksWhichIsBetter && said.before_n <= first_n);
        match (better_ear(&self.exercise.told), asked_for) {
            (_, false) => asked.is(
                false,
                format!("began at the {} ear without asking before", first.ear),
            ),
            (Some(better), true) if better != first.ear => asked.is(
                false,
                format!("began at the {} ear, the {better} one was named", first.ear),
            ),
            _ => asked.is(true, format!("began at the {} ear", first.ear)),
        }
    }

    fn first_frequency(&self) -> Step {
        let asked = Asked {
            name: "first_frequency",
            what: "began each ear at 1 kHz",
            must: false,
            expected: "1 kHz",
            source: ISO,
        };
        let began = |ear| self.unmasked().find(|run| run.ear == ear).map(|run| run.hz);
        let began: Vec<Hz> = Ear::BOTH.into_iter().filter_map(began).collect();
        if began.is_empty() {
            return asked.is(false, "no tone");
        }
        let right = began.iter().all(|hz| *hz == FIRST_HZ);
        let names: Vec<String> = began.iter().map(ToString::to_string).collect();
        asked.is(right, names.join(", "))
    }

    /// After 1 kHz the higher frequencies, then the lower ones; only the first visit to each counts, since any may be
    /// measured again.
    fn frequency_order(&self) -> Step {
        let asked = Asked {
            name: "frequency_order",
            what: "went from 1 kHz upward, then to the lower frequencies, at each ear",
            must: false,
            expected: "the higher frequencies upward, then those below 1 kHz downward",
            source: ISO,
        };
        let Some(plan) = &self.record.opening.plan.hearing else {
            return asked.is(false, "no tone");
        };
        let expected = order(plan);
        let (mut ears, mut others) = (0, Vec::new());
        for ear in Ear::BOTH {
            let mut went: Vec<Hz> = Vec::new();
            for run in self.unmasked().filter(|run| run.ear == ear) {
                if run.hz != FIRST_HZ && expected.contains(&run.hz) && !went.contains(&run.hz) {
                    went.push(run.hz);
                }
            }
            ears += usize::from(!went.is_empty());
            let mut in_order = expected.iter().filter(|hz| went.contains(hz));
            if !went.iter().all(|hz| in_order.next() == Some(hz)) {
                let went: Vec<String> = went.iter().map(ToString::to_string).collect();
                others.push(format!("{ear} ear: {}", went.join(", ")));
            }
        }
        match (ears, others.len()) {
            (0, _) => asked.was(Done::NoOccasion, "one frequency at the most"),
            (_, 0) => asked.is(true, "so"),
            (2, 1) => asked.was(Done::Partly, others.join("; ")),
            _ => asked.is(false, others.join("; ")),
        }
    }

    /// How long the tones lasted. The program's plan gives it, and the journal says what was presented.
    fn tone_length(&self) -> Step {
        const ROUNDED_S: f64 = 0.01;
        let asked = Asked {
            name: "tone_length",
            what: "presented tones of the usual length",
            must: false,
            expected: "1 to 2 s each; the plan sets it",
            source: "ISO 8253-1:2010 and ASHA 2005, 1 to 2 s (BSA 2018: 1 to 3 s), all from memory",
        };
        let tones = self.runs.iter().flat_map(|run| &run.tones);
        let lengths_s = tones
            .filter_map(|trial| trial.tone())
            .map(|tone| tone.end_s - tone.start_s);
        let (low_s, high_s) = lengths_s.fold((f64::MAX, f64::MIN), |(low, high), length_s| {
            (low.min(length_s), high.max(length_s))
        });
        if low_s > high_s {
            return asked.is(false, "no tone");
        }
        let did = format!("{low_s:.1} to {high_s:.1} s");
        asked.is(low_s >= 1.0 - ROUNDED_S && high_s <= 2.0 + ROUNDED_S, did)
    }

    /// A clearly heard tone before the search for the threshold.
    fn familiarised(&self) -> Step {
        let asked = Asked {
            name: "familiarised",
            what: "let the person hear clearly what is meant, before looking for a threshold",
            must: false,
            expected: "a tone of 20 dB or more answered: one of the first three, begun there, or upward in tens until one is; \
                       no step up over 20 dB, no first tone over 70 dB",
            source: ISO,
        };
        let Some(first) = self.unmasked().next() else {
            return asked.is(false, "no tone");
        };
        let steps = first.steps();
        let until_heard = steps.iter().take_while(|(_, heard)| !heard).count();
        let searched = &steps[..(until_heard + 1).min(steps.len())];
        let bounds = bounds(self.record, first.ear, first.hz);
        let max_db = bounds.map_or(f64::INFINITY, |bounds| bounds.max_db) - 0.1;
        let rise_db = |pair: &[(f64, bool)]| pair[1].0 - pair[0].0;
        let in_tens = searched
            .windows(2)
            .all(|pair| rise_db(pair) >= 9.9 || pair[1].0 >= max_db);
        let from_clear = steps.first().is_some_and(|(db, _)| *db >= CLEAR_DB) && until_heard < 3;
        // Nothing is heard clearly by an ear that hears nothing at the maximum either.
        let shown = match searched.last() {
            Some((db, true)) => *db >= CLEAR_DB,
            Some((db, false)) => *db >= max_db,
            None => false,
        };
        let clear = shown && (in_tens || from_clear);
        let no_jump = !searched
            .windows(2)
            .any(|pair| rise_db(pair) > MOST_RISE_DB + 0.1);
        let gentle = no_jump
            && steps
                .first()
                .is_some_and(|(level_db, _)| *level_db <= MOST_FIRST_DB);
        let first_three: Vec<String> = steps
            .iter()
            .take(3)
            .map(|(db, heard)| format!("{db:.0} dB {}", if *heard { "heard" } else { "not heard" }))
            .collect();
        asked.is(clear && gentle, first_three.join(", "))
    }

    /// 10 down after an answer, 5 up after none; familiarising goes in larger steps.
    fn ascents(&self) -> Step {
        let asked = Asked {
            name: "ascents",
            what: "10 dB down after an answer, 5 dB up after none",
            must: false,
            expected: "each step, but for familiarising and the bounds of the set-up; one slip in twenty is let pass, the same \
                       level again after an answer is not",
            source: "ISO 8253-1:2010, 6.2.2 and 6.2.3.2 (from memory); the slips are our choice",
        };
        let (mut of, mut others, mut repeated) = (0_usize, Vec::new(), 0_usize);
        for (at, run) in self.unmasked().enumerate() {
            let Some(bounds) = bounds(self.record, run.ear, run.hz) else {
                continue;
            };
            let steps = run.steps();
            for pair in steps[first_of_the_search(&steps, at == 0)..].windows(2) {
                let ((from_db, heard), (to_db, _)) = (pair[0], pair[1]);
                let by_db = if heard { -10.0 } else { 5.0 };
                let wanted_db = (from_db + by_db).clamp(bounds.min_db, bounds.max_db);
                of += 1;
                if (to_db - wanted_db).abs() < 0.01 {
                    continue;
                }
                repeated += usize::from(heard && (to_db - from_db).abs() < 0.01);
                let answer = if heard { "heard" } else { "not heard" };
                others.push(format!(
                    "{} {}: {from_db:.0} dB {answer}, then {to_db:.0}",
                    run.ear, run.hz
                ));
            }
        }
        if of == 0 {
            return asked.is(false, "no steps");
        }
        let done = match others.len() {
            few if few * 20 <= of && repeated == 0 => Done::Right,
            some if some * 10 <= of * 3 => Done::Partly,
            _ => Done::NotDone,
        };
        let right = of - others.len();
        let mut did = format!("{right} of {of} steps");
        if let Some(first) = others.first() {
            let again = match repeated {
                0 => String::new(),
                some => format!("; the same level again after an answer {some} times"),
            };
            did = format!("{did}{again}; first {first}");
        }
        asked.was(done, did)
    }

    fn decided(&self) -> Step {
        let asked = Asked {
            name: "decided",
            what: "went on at each frequency until two of three ascents ended at one level",
            must: false,
            expected: "no frequency left undecided",
            source: ISO,
        };
        let tested = Ear::BOTH
            .into_iter()
            .flat_map(|ear| self.planned().into_iter().map(move |hz| (ear, hz)));
        let tested =
            tested.filter(|(ear, hz)| self.unmasked().any(|run| (run.ear, run.hz) == (*ear, *hz)));
        let open: Vec<String> = tested
            .filter(|(ear, hz)| {
                unmasked_reading(self.record, *ear, *hz) == Some(Reading::Undecided)
            })
            .map(|(ear, hz)| format!("{ear} {hz}"))
            .collect();
        if self.runs.is_empty() {
            return asked.is(false, "no tone");
        }
        if open.is_empty() {
            asked.is(true, "all decided")
        } else {
            asked.is(false, format!("left undecided: {}", open.join(", ")))
        }
    }

    fn complete(&self) -> Step {
        let asked = Asked {
            name: "complete",
            what: "tested every frequency of the plan at both ears",
            must: false,
            expected: "each of them",
            source: ISO,
        };
        let all = Ear::BOTH
            .into_iter()
            .flat_map(|ear| self.planned().into_iter().map(move |hz| (ear, hz)));
        let left: Vec<String> = all
            .filter(|(ear, hz)| !self.unmasked().any(|run| (run.ear, run.hz) == (*ear, *hz)))
            .map(|(ear, hz)| format!("{ear} {hz}"))
            .collect();
        if left.is_empty() {
            asked.is(true, "all")
        } else {
            asked.is(false, format!("not tested: {}", left.join(", ")))
        }
    }

    fn again(&self) -> Step {
        let asked = Asked {
            name: "measured_again",
            what: "measured 1 kHz again in the first ear, and acted where it differed",
            must: false,
            expected: "both readings within 5 dB, or another frequency measured again too",
            source: ISO,
        };
        let Some(first) = self.unmasked().next().map(|run| run.ear) else {
            return asked.is(false, "no tone");
        };
        let of = |hz: Hz| -> Vec<f64> {
            let runs = self
                .unmasked()
                .filter(|run| run.ear == first && run.hz == hz);
            runs.filter_map(|run| level_of(run.reading(self.record)))
                .collect()
        };
        let [before, .., after] = of(FIRST_HZ)[..] else {
            return asked.is(false, "not measured again");
        };
        let did = format!("{before:.0} and {after:.0} dB");
        let others = self.planned().into_iter().filter(|hz| *hz != FIRST_HZ);
        let acted = others.into_iter().any(|hz| of(hz).len() > 1);
        if (before - after).abs() <= 5.0 || acted {
            asked.is(true, did)
        } else {
            asked.was(Done::Partly, format!("{did}, and left at that"))
        }
    }

    fn silences(&self) -> Step {
        let asked = Asked {
            name: "silent_presentations",
            what: "presented silence among the tones",
            must: false,
            expected: "one for ten tones or more",
            source: TRADE,
        };
        let (answered, of) = silent_answers(self.record);
        let tones = self.runs.iter().map(|run| run.tones.len()).sum::<usize>();
        let did = format!("{of} beside {tones} tones, {answered} of them answered");
        let done = match of as usize {
            0 => Done::NotDone,
            of if of * 10 >= tones => Done::Right,
            _ => Done::Partly,
        };
        asked.was(done, did)
    }

    fn acted_on_false_alarms(&self) -> Step {
        let asked = Asked {
            name: "acted_on_false_alarms",
            what: "said again what to do when silence was answered",
            must: false,
            expected: "after the answer by which three silent presentations, and more than a fifth, were answered; counted afresh \
                       each time",
            source: BSA,
        };
        let (answered, of) = silent_answers(self.record);
        let did = format!("{answered} of {of} answered");
        let all = false_alarms(self.record);
        if all.is_empty() {
            return asked.was(Done::NoOccasion, did);
        }
        let tones = || self.runs.iter().flat_map(|run| &run.tones);
        let left = |by_n: u32| tones().any(|tone| tone.planned.n > by_n);
        let acted = all.iter().filter(|one| one.acted).count();
        let left = all.iter().any(|one| !one.acted && left(one.by_n));
        match (acted, left) {
            (0, false) => asked.was(Done::NoOccasion, format!("{did}, no tone came after that")),
            (_, false) => asked.is(true, did),
            (0, true) => asked.is(false, did),
            (acted, true) => asked.was(
                Done::Partly,
                format!("{did}; acted on {acted} of {}", all.len()),
            ),
        }
    }

    fn masked(&self) -> Step {
        let asked = Asked {
            name: "masked",
            what: "masked the other ear where it may have answered",
            must: true,
            expected: "wherever the ears differ by the earphone type's least attenuation, less the margin",
            source: "masking rule 1, BSA recommended procedure 2018 (from memory); without bone conduction rules 2 and 3 cannot be applied",
        };
        let all = Ear::BOTH
            .into_iter()
            .flat_map(|ear| self.planned().into_iter().map(move |hz| (ear, hz)));
        let all: Vec<(Ear, Hz)> = all.collect();
        let named = |places: &[(Ear, Hz)]| -> String {
            let names: Vec<String> = places
                .iter()
                .map(|(ear, hz)| format!("{ear} {hz}"))
                .collect();
            names.join(", ")
        };
        let of = |holds: &dyn Fn(Ear, Hz) -> bool| -> Vec<(Ear, Hz)> {
            all.iter()
                .copied()
                .filter(|(ear, hz)| holds(*ear, *hz))
                .collect()
        };
        let needed = of(&|ear, hz| matches!(need(self.record, ear, hz), Need::Yes(_)));
        let open = of(&|ear, hz| not_masked(self.record, ear, hz));
        let unknown = of(&|ear, hz| need(self.record, ear, hz) == Need::OtherUnknown);
        let mut did = match (needed.len(), open.len()) {
            (0, _) if unknown.is_empty() => {
                return asked.was(Done::NoOccasion, "not needed by what was found");
            }
            (0, _) => String::new(),
            (places, 0) => format!("at all {places} places"),
            (places, _) => format!(
                "needed at {places}, not brought to an end at {}",
                named(&open)
            ),
        };
        if !unknown.is_empty() {
            let apart = if did.is_empty() { "" } else { "; " };
            let places = named(&unknown);
            did = format!("{did}{apart}cannot be told: the other ear was not tested at {places}");
        }
        let done = match open.len() + unknown.len() {
            0 => Done::Right,
            _ if open.len() == needed.len() => Done::NotDone,
            _ => Done::Partly,
        };
        asked.was(done, did)
    }

    /// No tone far louder than what was heard there already; few loud ones in a row.
    fn not_too_loud(&self) -> Step {
        let asked = Asked {
            name: "not_too_loud",
            what: "presented no tone louder than it had to be",
            must: true,
            expected: "none over 30 dB above what was answered at that ear and frequency; a first tone there none over 30 dB \
                       above what was found next to it (40 dB at the least), or over 70 dB where nothing was; none rises by \
                       more than 20 dB; at most three loud ones (85 dB and more) in a row at a frequency that was answered",
            source: TRADE,
        };
        let mut problems = Vec::new();
        // Beside noise a tone follows it, so that its level is not held to what was answered without.
        for (at, run) in self.runs.iter().enumerate().filter(|(_, run)| !run.masked) {
            let mut lowest_db = self.lowest_answered_db(at);
            let (mut last_db, mut loud) = (None::<f64>, 0);
            for (level_db, heard) in run.steps() {
                let too_far = match last_db {
                    None => level_db > self.most_first_db(at) + 0.1,
                    // Step by step nothing is too loud; an answer by chance far below changes nothing.
                    Some(last) => level_db - last > 5.0 && level_db > lowest_db + OVER_KNOWN_DB,
                };
                let jump = last_db.is_some_and(|last| level_db - last > MOST_RISE_DB);
                loud = if level_db >= LOUD_DB && heard {
                    loud + 1
                } else {
                    0
                };
                if too_far || jump || loud > 3 {
                    problems.push(format!("{} {} {level_db:.0} dB", run.ear, run.hz));
                }
                if heard {
                    lowest_db = lowest_db.min(level_db);
                }
                last_db = Some(level_db);
            }
        }
        if problems.is_empty() {
            asked.is(true, "none")
        } else {
            let more = problems.len();
            problems.truncate(3);
            asked.is(false, format!("{more}: {} …", problems.join(", ")))
        }
    }

    /// The lowest level that was answered before this run at its ear and frequency, dB.
    fn lowest_answered_db(&self, at: usize) -> f64 {
        let place = (self.runs[at].ear, self.runs[at].hz);
        let before = self.runs[..at].iter().filter(|run| !run.masked);
        before
            .filter(|run| (run.ear, run.hz) == place)
            .flat_map(Run::steps)
            .filter(|(_, heard)| *heard)
            .fold(f64::INFINITY, |lowest, (db, _)| lowest.min(db))
    }

    /// The loudest that a run may begin with, dB. What was found goes before what was only answered, since one answer by
    /// chance is no threshold.
    fn most_first_db(&self, at: usize) -> f64 {
        let (run, before) = (&self.runs[at], &self.runs[..at]);
        let there: Vec<Run<'_>> = before
            .iter()
            .filter(|one| (one.ear, one.hz) == (run.ear, run.hz))
            .cloned()
            .collect();
        let answered_db = Some(self.lowest_answered_db(at)).filter(|db| db.is_finite());
        known_near(self.record, &there, run.ear, run.hz)
            .or(answered_db)
            .or_else(|| known_near(self.record, before, run.ear, run.hz))
            .map_or(MOST_FIRST_DB, |db| (db + OVER_KNOWN_DB).max(FIRST_DB))
    }

    fn no_response(&self) -> Step {
        let asked = Asked {
            name: "no_response_as_such",
            what: "wrote no response as that, and not as a threshold",
            must: true,
            expected: "no response, with the highest level presented",
            source: ISO,
        };
        let all = Ear::BOTH
            .into_iter()
            .flat_map(|ear| self.planned().into_iter().map(move |hz| (ear, hz)));
        let silent: Vec<(Ear, Hz)> = all
            .filter(|(ear, hz)| {
                matches!(
                    unmasked_reading(self.record, *ear, *hz),
                    Some(Reading::NoResponse(_))
                )
            })
            .collect();
        let conclusion = self.record.practice().conclusion();
        let as_number = silent.iter().filter(|(ear, hz)| {
            let written = conclusion.and_then(|one| {
                one.thresholds
                    .iter()
                    .find(|one| one.ear == *ear && one.hz == *hz)
            });
            written.is_some_and(|one| !one.no_response)
        });
        let as_number = as_number.count();
        if silent.is_empty() {
            return asked.was(Done::NoOccasion, "every tone was answered somewhere");
        }
        if conclusion.is_none_or(|one| one.thresholds.is_empty()) {
            return asked.was(Done::NoOccasion, "no threshold was written");
        }
        asked.is(
            as_number == 0,
            format!("{as_number} of {} written as a threshold", silent.len()),
        )
    }
}

/// Where the search for the threshold begins in a run: with the first answer; in the first run after
/// familiarising, which goes down by 20 dB to no answer and up by 10 dB to one.
fn first_of_the_search(steps: &[(f64, bool)], familiarises: bool) -> usize {
    let first_heard = steps.iter().position(|(_, heard)| *heard);
    let mut first = first_heard.unwrap_or(steps.len());
    if !familiarises {
        return first;
    }
    let coarse = |at: usize| {
        let ((from_db, heard), (to_db, _)) = (steps[at], steps[at + 1]);
        let rise_db = to_db - from_db;
        (heard && rise_db <= -19.9) || (!heard && rise_db >= 9.9)
    };
    let mut coarsely = first..steps.len().saturating_sub(1);
    while let Some(at) = coarsely.next().filter(|at| coarse(*at)) {
        first = at + 1;
    }
    first
}
