//! The steps of hearing that can be read off the journal (reference: trainee assessment 6.2).

use super::outcome::not_masked;
use super::step::{Asked, Done, Step, TRADE};
use crate::finding::ascents::Reading;
use crate::finding::masking::{Need, need};
use crate::finding::{bounds, silent_answers, unmasked_reading};
use crate::journal::{Phrase, Record, Trial};
use crate::practice::coach::{FIRST_HZ, better_ear, order};
use crate::practice::exercise::Exercise;
use crate::practice::runs::{Run, level_of, runs};
use crate::practice::words::too_many_false_alarms;
use crate::quantity::{Ear, Hz};

const BSA: &str = "BSA recommended procedure 2018, ISO 8253-1:2010 (from memory)";
const ISO: &str = "ISO 8253-1:2010, 6.2 (from memory)";

/// Gaps whose standard deviation is smaller than this are a rhythm, s (our choice).
const LEAST_GAP_SD_S: f64 = 0.4;
/// And so is a pattern that repeats: the correlation of each gap with the one before, or the one
/// before that (our choice).
const MOST_CORRELATION: f64 = 0.65;
/// Fewer gaps than this tell nothing of a rhythm (our choice).
const FEWEST_GAPS: usize = 10;
/// From here on a level is loud, dB HL (reference: held confirmation).
const LOUD_DB: f64 = 85.0;
/// After so many presentations a break is offered (our choice).
const BREAK_AFTER: usize = 150;

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
    vec![
        said_before(
            record,
            Phrase::ListensToEarphones,
            "listening_check",
            "listened to the earphones and the room, and saw that the calibration is in date",
            true,
        ),
        said_before(
            record,
            Phrase::Introduces,
            "introduced",
            "made sure who it is, explained, asked for consent",
            true,
        ),
        said_before(
            record,
            Phrase::AsksHistory,
            "asked_history",
            "asked what has happened before",
            false,
        ),
        said_before(
            record,
            Phrase::LooksIntoEars,
            "looked_into_ears",
            "looked into both ears before an earphone went on",
            true,
        ),
        said_before(
            record,
            Phrase::Instructs,
            "instructed",
            "said what is to be done before the first tone",
            true,
        ),
        visit.better_ear_first(),
        visit.first_frequency(),
        visit.frequency_order(),
        visit.familiarised(),
        visit.ascents(),
        visit.decided(),
        visit.complete(),
        visit.again(),
        visit.tone_length(),
        visit.gaps(),
        visit.silences(),
        visit.acted_on_false_alarms(),
        visit.masked(),
        visit.not_too_loud(),
        visit.no_response(),
        neutral(record),
        rested(record),
    ]
}

fn said_before(
    record: &Record,
    phrase: Phrase,
    name: &'static str,
    what: &'static str,
    must: bool,
) -> Step {
    let asked = Asked {
        name,
        what,
        must,
        expected: "before the first presentation",
        source: BSA,
    };
    let first_n = record
        .trials()
        .first()
        .map_or(u32::MAX, |trial| trial.planned.n);
    let said = record
        .practice()
        .said()
        .iter()
        .find(|said| said.phrase == phrase);
    match said {
        Some(said) if said.before_n <= first_n => asked.is(true, "before the first presentation"),
        Some(said) => asked.was(
            Done::Partly,
            format!("only before presentation {}", said.before_n),
        ),
        None => asked.is(false, "not at all"),
    }
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
        let asked_for = self.record.practice().has_said(Phrase::AsksWhichIsBetter);
        let Some(first) = self.runs.first() else {
            return asked.is(false, "no tone");
        };
        match (better_ear(&self.exercise.told), asked_for) {
            (_, false) => asked.is(
                false,
                format!("began at the {} ear without asking", first.ear),
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
            expected: "from 20 dB or more one of the first three tones answered, or upward in tens until one is; no first tone \
                       over 70 dB",
            source: ISO,
        };
        let Some(first) = self.unmasked().next() else {
            return asked.is(false, "no tone");
        };
        let steps = first.steps();
        let until_heard = steps.iter().take_while(|(_, heard)| !heard).count();
        let searched = &steps[..(until_heard + 1).min(steps.len())];
        let in_tens = searched
            .windows(2)
            .all(|pair| pair[1].0 - pair[0].0 >= 9.9 || pair[1].0 >= 109.9);
        let audible = steps.first().is_some_and(|(level_db, _)| *level_db >= 20.0);
        let clear = (audible && until_heard < 3) || in_tens;
        let gentle = steps.first().is_some_and(|(level_db, _)| *level_db <= 70.0);
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

    fn gaps(&self) -> Step {
        let asked = Asked {
            name: "uneven_gaps",
            what: "varied the gaps, in no rhythm",
            must: false,
            expected: "a standard deviation of 0.4 s or more, and no pattern",
            source: "BSA recommended procedure 2018 (from memory); the limits are our choice",
        };
        let gaps = gaps_s(self.record);
        if gaps.len() < FEWEST_GAPS {
            return asked.was(Done::NoOccasion, format!("{} gaps only", gaps.len()));
        }
        let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
        let sd = libm::sqrt(
            gaps.iter()
                .map(|gap| (gap - mean) * (gap - mean))
                .sum::<f64>()
                / gaps.len() as f64,
        );
        let [one, two] = [1, 2].map(|lag| autocorrelation(&gaps, lag));
        let (low, high) = gaps.iter().fold((f64::MAX, f64::MIN), |(low, high), gap| {
            (low.min(*gap), high.max(*gap))
        });
        let did = format!(
            "{low:.1} to {high:.1} s, SD {sd:.2} s, correlation with the gap before {one:.2}, with the one before that {two:.2}"
        );
        asked.is(
            sd >= LEAST_GAP_SD_S && one.abs() <= MOST_CORRELATION && two.abs() <= MOST_CORRELATION,
            did,
        )
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
            expected: "after the answer by which three silent presentations, and more than a fifth, were answered",
            source: BSA,
        };
        let (answered, of) = silent_answers(self.record);
        let did = format!("{answered} of {of} answered");
        let Some(from_n) = too_many_false_alarms(self.record.counted()) else {
            return asked.was(Done::NoOccasion, did);
        };
        let mut said = self.record.practice().said().iter();
        let acted =
            said.any(|said| said.phrase == Phrase::InstructsAgain && said.before_n > from_n);
        let mut tones = self.runs.iter().flat_map(|run| &run.tones);
        if !acted && !tones.any(|tone| tone.planned.n > from_n) {
            return asked.was(Done::NoOccasion, format!("{did}, no tone came after that"));
        }
        asked.is(acted, did)
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
        let needed: Vec<(Ear, Hz)> = all
            .filter(|(ear, hz)| matches!(need(self.record, *ear, *hz), Need::Yes(_)))
            .collect();
        let open: Vec<String> = needed
            .iter()
            .filter(|(ear, hz)| not_masked(self.record, *ear, *hz))
            .map(|(ear, hz)| format!("{ear} {hz}"))
            .collect();
        match (needed.len(), open.len()) {
            (0, _) => asked.was(Done::NoOccasion, "not needed by what was found"),
            (_, 0) => asked.is(true, format!("at all {} places", needed.len())),
            (needed, open_count) => {
                let did = format!(
                    "needed at {needed}, not brought to an end at {}",
                    open.join(", ")
                );
                asked.was(
                    if open_count == needed {
                        Done::NotDone
                    } else {
                        Done::Partly
                    },
                    did,
                )
            }
        }
    }

    /// No tone far louder than what was heard there already; few loud ones in a row.
    fn not_too_loud(&self) -> Step {
        let asked = Asked {
            name: "not_too_loud",
            what: "presented no tone louder than it had to be",
            must: true,
            expected: "none over 30 dB above what was answered at that ear and frequency; none rises by more than \
                       20 dB; at most three loud ones (85 dB and more) in a row at a frequency that was answered",
            source: TRADE,
        };
        let mut problems = Vec::new();
        // Beside noise the tone follows the plateau, whose levels are not the trainee's choice.
        for run in self.unmasked() {
            let (mut lowest_db, mut last_db, mut loud) = (f64::INFINITY, None::<f64>, 0);
            for (level_db, heard) in run.steps() {
                let rise_db = last_db.map_or(0.0, |last| level_db - last);
                // Step by step nothing is too loud; an answer by chance far below changes nothing.
                let too_far = rise_db > 5.0 && level_db > lowest_db + 30.0;
                let jump = rise_db > 20.0;
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

/// From the end of a slot to the onset that follows, s; pauses are none.
fn gaps_s(record: &Record) -> Vec<f64> {
    const A_PAUSE_S: f64 = 20.0;
    let slots: Vec<&Trial> = record
        .counted()
        .filter(|trial| trial.planned.slot.is_some())
        .collect();
    let gap = |pair: &[&Trial]| {
        let (before, after) = (pair[0].planned.slot?, pair[1].planned.slot?);
        let ended = pair[0].began.plus_seconds(before.window_s);
        let onset = pair[1].began.plus_seconds(after.onset_s);
        let gap = onset.seconds_since(ended);
        (gap < A_PAUSE_S).then_some(gap)
    };
    slots.windows(2).filter_map(gap).collect()
}

/// The correlation of a list with itself, so many places on.
fn autocorrelation(values: &[f64], lag: usize) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let variance: f64 = values.iter().map(|one| (one - mean) * (one - mean)).sum();
    if variance <= 0.0 || values.len() <= lag {
        return 1.0;
    }
    let together: f64 = values
        .iter()
        .zip(&values[lag..])
        .map(|(a, b)| (a - mean) * (b - mean))
        .sum();
    together / variance
}

pub(super) fn neutral(record: &Record) -> Step {
    let asked = Asked {
        name: "neutral_words",
        what: "said nothing that tells which answers are right or when something comes",
        must: false,
        expected: "neither praise nor 'was that one there?'",
        source: BSA,
    };
    let telling = record
        .practice()
        .said()
        .iter()
        .filter(|said| matches!(said.phrase, Phrase::Praises | Phrase::AsksWhetherPerceived));
    let count = telling.count();
    asked.is(count == 0, format!("{count} times"))
}

fn rested(record: &Record) -> Step {
    let asked = Asked {
        name: "break_offered",
        what: "offered a break in a long visit",
        must: false,
        expected: "after 150 presentations at the latest",
        source: "ISO 8253-1:2010: fatigue after 20 minutes (from memory); the count is our choice",
    };
    let made = record.trials().len();
    if made <= BREAK_AFTER {
        return asked.was(Done::NoOccasion, format!("{made} presentations"));
    }
    asked.is(
        record.practice().has_said(Phrase::OffersBreak),
        format!("{made} presentations"),
    )
}
