//! Practice: scripted trainees, each with one fault built in, and what the debrief finds. The steps
//! are those of the reference (trainee assessment 6.2); Cohen's kappa is checked against a worked
//! example.

use crate::at_hand::{folder, here, veridical, wish};
use std::collections::BTreeSet;
use veridical::errand::study::Progress;
use veridical::errand::{self, Begin, ExerciseWish};
use veridical::finding::{HearingFindings, HearingStatus, silent_answers};
use veridical::journal::{
    Answer, Body, Conclusion, Event, Journal, MemoryStore, PersonKind, Phrase, Plan, Practised,
    Purpose, Record, SeriesPlan, WhoPressed, WrittenThreshold, check,
};
use veridical::person::{Habitual, Person, Response};
use veridical::practice::{
    Agreement, ClassRow, ClassTable, Cue, Debrief, Done as StepDone, Exercise, Gathered, Observed,
    Set, Wanted, advise, debrief, debrief_in_short, generate, kappa, library, person_seed, text_of,
};
use veridical::procedure::HandRequest;
use veridical::quantity::{Draws, Ear, Eye, Hz, Moment, Side, Stream};
use veridical::stimulus::SeriesKind;
use veridical::visit::{AtBedside, Input, Output, Visit};

/// The fault that a scripted trainee has.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Fault {
    None,
    Rhythmic,
    NeverMasks,
    WrongEar,
    StopsEarly,
    NoFamiliarisation,
    RepeatsLevels,
    Praises,
    TooLoud,
    NoSilence,
    SaysWhy,
    NoListeningCheck,
    VoidsMuch,
    OutOfOrder,
    ShortTones,
    TakesBack,
    RhythmicAtEachFrequency,
    BeginsLoud,
    OneEarOnly,
    WritesNothing,
}

struct Trainee {
    visit: Visit<MemoryStore>,
    person: Habitual,
    exercise: Exercise,
    text: String,
    fault: Fault,
    now: Moment,
    tones: u32,
}

const PLAN: &str = "format = 1\nname = \"practice\"\n[hearing]\nprocedure = \"ascending\"\n\
    hz = [1000, 2000, 4000, 8000, 500, 250]\nlead_s = [0.3, 0.8]\nsilent_share = 0.0\n";

/// A series of how far out a target is seen: so many prompts drawn, and so many of them done; each
/// answer the first there is, since the steps are about how it was done.
pub fn field_extent(
    visit: &mut Visit<MemoryStore>,
    now: &mut Moment,
    side: Side,
    prompts: Option<u32>,
    done: usize,
) {
    let mut by_hand = |visit: &mut Visit<MemoryStore>, what| {
        *now = now.plus_seconds(1.0);
        visit.step(Input::Bedside(what), *now).unwrap();
    };
    let wish = SeriesPlan {
        kind: SeriesKind::FieldExtent,
        side: Some(side),
        prompts,
        scent: None,
        together: 1,
    };
    let draw = AtBedside::Draw {
        wish,
        on_paper: false,
    };
    by_hand(visit, draw);
    let drawn = visit.record().bedside().series().last().unwrap();
    let all: Vec<u32> = (0..drawn.stages.len()).map(|at| drawn.n(at)).collect();
    for n in all.into_iter().take(done) {
        let at = visit.record().last_moment();
        by_hand(visit, AtBedside::Done { n, at });
        let reply = SeriesKind::FieldExtent.replies()[0];
        by_hand(
            visit,
            AtBedside::Reply {
                n,
                reply,
                after_s: None,
            },
        );
    }
}

impl Trainee {
    fn new(name: &str, seed: u64, fault: Fault) -> Trainee {
        Trainee::by_plan(PLAN, name, seed, fault)
    }

    fn by_plan(plan: &str, name: &str, seed: u64, fault: Fault) -> Trainee {
        let text = text_of(name).unwrap();
        let exercise = Exercise::from_toml(&text, name).unwrap();
        let mut plan = Plan::from_toml(plan, "practice").unwrap();
        if fault == Fault::ShortTones {
            plan.hearing.as_mut().unwrap().tone_s = 0.5;
        }
        let begin = Begin {
            person: PersonKind::Practised(Practised {
                exercise: name.into(),
                seal: Practised::seal_of(&text),
                trainee: "T-1".into(),
                set: None,
            }),
            ..wish(seed, plan)
        };
        let store = MemoryStore::default();
        let journal = Journal::begin(store, begin.opening(), begin.epoch).unwrap();
        let mut visit = Visit::over(journal);
        visit.step(Input::Automatic(false), Moment::START).unwrap();
        Trainee {
            visit,
            person: Habitual::new(exercise.person.clone(), seed + 1),
            exercise,
            text,
            fault,
            now: Moment::START,
            tones: 0,
        }
    }

    /// The same before the person whom everybody meets that practises with this seed, as at the desk.
    fn of_class(name: &str, seed: u64, fault: Fault) -> Trainee {
        let mut trainee = Trainee::new(name, seed, fault);
        let seed = person_seed(seed, &trainee.text);
        trainee.person = Habitual::new(trainee.exercise.person.clone(), seed);
        trainee
    }

    fn record(&self) -> &Record {
        self.visit.record()
    }

    fn say(&mut self, phrase: Phrase) {
        self.visit.step(Input::Say(phrase), self.now).unwrap();
        self.person.told(phrase);
        self.now = self.now.plus_seconds(2.0);
    }

    /// Waits, then presents, and lets the person answer.
    fn present(&mut self, request: HandRequest) {
        let next = u64::from(self.record().next_number());
        let even = matches!(self.fault, Fault::Rhythmic | Fault::RhythmicAtEachFrequency);
        let idle_s = if self.fault == Fault::RhythmicAtEachFrequency && self.goes_on(&request) {
            // The frequency is turned by hand, which takes its time.
            9.0
        } else if even {
            1.0
        } else {
            Draws::new(5, Stream::Lead, next).between(0.4, 3.6)
        };
        self.now = self.now.plus_seconds(idle_s);
        let outputs = self.visit.step(Input::Hand(request), self.now).unwrap();
        self.delivered(&outputs);
    }

    /// Whether this is a tone of another frequency than the last one.
    fn goes_on(&self, request: &HandRequest) -> bool {
        let HandRequest::Tone { hz, .. } = request else {
            return false;
        };
        let mut tones = self.record().counted().rev().filter_map(|one| one.tone());
        tones.next().is_some_and(|last| last.hz != *hz)
    }

    /// One presentation of the procedure, in place of a tone by hand.
    fn by_procedure(&mut self) {
        self.now = self.now.plus_seconds(1.0);
        self.visit.step(Input::Automatic(true), self.now).unwrap();
        let outputs = self.visit.step(Input::Tick, self.now).unwrap();
        self.delivered(&outputs);
        self.visit.step(Input::Automatic(false), self.now).unwrap();
    }

    fn take_back(&mut self) {
        let reason = "a door".into();
        let back = Input::UndoLast { reason };
        self.visit.step(back, self.now).unwrap();
    }

    fn delivered(&mut self, outputs: &[Output]) {
        let [Output::Deliver(planned)] = outputs else {
            panic!("expected a presentation, found {outputs:?}");
        };
        let (n, began) = (planned.n, self.now);
        if self.fault == Fault::VoidsMuch && n.is_multiple_of(4) {
            let reason = "a door".into();
            self.visit
                .step(Input::Failed { n, reason }, self.now)
                .unwrap();
            return;
        }
        self.person.begins(began);
        self.visit
            .step(Input::Began { n, at: began }, began)
            .unwrap();
        self.visit.step(Input::Whole { n }, began).unwrap();
        let answer = self.person.answer(n, &planned.presentation).unwrap();
        let ends = self.visit.slot_ends().unwrap();
        let Response::Presses(presses) = answer else {
            panic!("expected presses");
        };
        for after_s in presses {
            let at = began.plus_seconds(after_s);
            let told = at.min(Moment::from_micros(ends.micros() - 1));
            let who = WhoPressed::Program;
            self.visit.step(Input::Press { at, who }, told).unwrap();
        }
        self.visit.step(Input::Tick, ends).unwrap();
        self.now = ends;
    }

    fn tone(&mut self, ear: Ear, hz: Hz, level_db: f64, masker_db: Option<f64>) {
        self.present(HandRequest::Tone {
            ear,
            hz,
            level_db: level_db.clamp(-10.0, 110.0),
            masker_db,
        });
    }

    fn hearing(&mut self) {
        let mut told = self.exercise.told.clone();
        if matches!(self.fault, Fault::WrongEar | Fault::OneEarOnly) {
            // Begins at the ear that was not named.
            let right = told.better.contains("right");
            told.better = if right { "left" } else { "right" }.into();
        }
        for _ in 0..3000 {
            match advise(self.record(), &told).wanted {
                // The helper would ask for it until the first tone.
                Wanted::Say(Phrase::ListensToEarphones)
                    if self.fault == Fault::NoListeningCheck =>
                {
                    for phrase in [
                        Phrase::Introduces,
                        Phrase::AsksWhichIsBetter,
                        Phrase::AsksHistory,
                        Phrase::LooksIntoEars,
                        Phrase::Instructs,
                    ] {
                        self.say(phrase);
                    }
                    let left = told.better.contains("left");
                    let first = if left { Ear::Left } else { Ear::Right };
                    self.tone(first, Hz(1000.0), 40.0, None);
                }
                Wanted::Say(phrase) => self.say(phrase),
                // This plan has no sight in it.
                Wanted::Conclude
                | Wanted::Optotype { .. }
                | Wanted::Ask(..)
                | Wanted::Shows(..) => return,
                Wanted::Silent if self.fault == Fault::NoSilence => {
                    if self.record().trials().len() > 60 {
                        return;
                    }
                    let last = self.record().counted().last().unwrap();
                    let (tone, heard) = (*last.tone().unwrap(), last.heard() == Some(true));
                    let by_db = if heard { -10.0 } else { 5.0 };
                    self.tone(tone.ear, tone.hz, tone.level.db() + by_db, None);
                }
                Wanted::Silent => self.present(HandRequest::Silent { noise: None }),
                Wanted::Tone {
                    masker_db: Some(_), ..
                } if self.fault == Fault::NeverMasks => return,
                Wanted::Tone {
                    ear,
                    hz,
                    level_db,
                    masker_db,
                } => {
                    self.tones += 1;
                    if self.fault == Fault::StopsEarly && self.tones > 40 {
                        return;
                    }
                    let begun = self.record().counted().filter_map(|one| one.tone());
                    let begun: Vec<(Ear, Hz)> = begun.map(|tone| (tone.ear, tone.hz)).collect();
                    if self.fault == Fault::OneEarOnly && begun.iter().any(|one| one.0 != ear) {
                        return;
                    }
                    let new = !begun.is_empty() && !begun.contains(&(ear, hz));
                    let level_db = if self.fault == Fault::BeginsLoud && new {
                        105.0
                    } else {
                        self.without_familiarising(level_db)
                    };
                    let hz = self.out_of_order(ear, hz);
                    self.tone(ear, hz, level_db, masker_db);
                    if self.fault == Fault::RepeatsLevels && self.tones == 1 {
                        self.tone(ear, hz, level_db, masker_db);
                        self.tone(ear, hz, level_db, masker_db);
                    }
                    if self.fault == Fault::TooLoud
                        && self.tones.is_multiple_of(25)
                        && masker_db.is_none()
                    {
                        self.tone(ear, hz, (level_db + 50.0).min(100.0), None);
                    }
                    if self.fault == Fault::Praises && self.tones == 10 {
                        self.say(Phrase::Praises);
                    }
                }
            }
        }
        panic!("{:?}: the helper never comes to an end", self.fault);
    }

    /// Goes to 500 Hz where 2 kHz is next.
    fn out_of_order(&self, ear: Ear, hz: Hz) -> Hz {
        let begun = |at| {
            let mut tones = self.record().counted().filter_map(|one| one.tone());
            tones.any(|tone| (tone.ear, tone.hz) == (ear, at))
        };
        if self.fault == Fault::OutOfOrder && hz == Hz(2000.0) && !begun(hz) && !begun(Hz(500.0)) {
            return Hz(500.0);
        }
        hz
    }

    /// Begins at the softest and goes up by fives until something is heard.
    fn without_familiarising(&self, level_db: f64) -> f64 {
        if self.fault != Fault::NoFamiliarisation {
            return level_db;
        }
        let tones = || self.record().counted().filter(|one| one.tone().is_some());
        if tones().any(|one| one.heard() == Some(true)) {
            return level_db;
        }
        let last = tones().next_back().and_then(|one| one.tone());
        last.map_or(-10.0, |tone| tone.level.db() + 5.0)
    }

    fn conclude(&mut self) {
        let findings = HearingFindings::of(self.record());
        let beyond = findings
            .all()
            .filter(|(_, one)| one.status == HearingStatus::NoResponseAtMaximum);
        let thresholds = beyond.map(|(ear, one)| WrittenThreshold {
            ear,
            hz: one.hz,
            level_db: one.limit.unwrap().db(),
            no_response: true,
        });
        let mut thresholds: Vec<_> = thresholds.collect();
        if self.fault == Fault::WritesNothing {
            thresholds.clear();
        }
        let cues = self
            .exercise
            .expect
            .cues
            .iter()
            .map(|cue| cue.name().to_owned());
        let words = if self.fault == Fault::SaysWhy {
            ["clearly ", "li", "ed"].concat()
        } else {
            "The answers and the underlying figures are as told.".into()
        };
        self.conclude_with(words, thresholds, cues.collect());
    }

    fn conclude_with(
        &mut self,
        words: String,
        thresholds: Vec<WrittenThreshold>,
        cues: Vec<String>,
    ) {
        let conclusion = Conclusion {
            thresholds,
            hearing: Some(self.exercise.expect.hearing),
            cues,
            words,
            ..Conclusion::default()
        };
        let conclude = Input::Conclude(Box::new(conclusion));
        self.visit.step(conclude, self.now).unwrap();
    }

    fn field(&mut self, side: Side, prompts: Option<u32>, done: usize) {
        field_extent(&mut self.visit, &mut self.now, side, prompts, done);
    }

    /// The whole exercise; the journal's bytes.
    fn bytes(mut self) -> Vec<u8> {
        self.hearing();
        if self.fault == Fault::TakesBack {
            self.present(HandRequest::Silent { noise: None });
            self.take_back();
        }
        if self.exercise.expect.cues.contains(&Cue::FieldLoss) {
            self.field(Side::Right, None, 99);
            self.field(Side::Left, None, 99);
        }
        self.ended()
    }

    /// Concludes, closes and reveals; the journal's bytes.
    fn ended(mut self) -> Vec<u8> {
        self.conclude();
        self.visit.step(Input::Close, self.now).unwrap();
        let reveal = Input::Reveal(self.text.clone());
        self.visit.step(reveal, self.now).unwrap();
        self.visit.journal().store().bytes.clone()
    }
}

fn debriefed(name: &str, seed: u64, fault: Fault) -> Debrief {
    let bytes = Trainee::new(name, seed, fault).bytes();
    let (events, _) = check(&bytes).unwrap();
    debrief(&events).unwrap()
}

fn to_mend(debrief: &Debrief) -> BTreeSet<&'static str> {
    debrief.to_mend().map(|step| step.name).collect()
}

/// Nothing is to be mended of somebody who does what the helper says, whoever answers.
#[test]
fn the_perfect_trainee_has_nothing_to_mend() {
    for (name, _) in library() {
        let found = debriefed(name, 11, Fault::None);
        let open: Vec<_> = found
            .to_mend()
            .map(|one| format!("{}: {}", one.name, one.did))
            .collect();
        assert!(open.is_empty(), "{name}: {open:?}");
        let mut hearing = found
            .outcome
            .judged
            .iter()
            .filter(|one| one.sense == "hearing");
        assert!(hearing.all(|one| one.right), "{name}");
    }
}

/// Each fault is found, and no other one.
#[test]
fn the_debrief_finds_exactly_the_fault() {
    let all = [
        (Fault::Rhythmic, "net_loft_foreman", &["uneven_gaps"][..]),
        (
            Fault::RhythmicAtEachFrequency,
            "net_loft_foreman",
            &["uneven_gaps"],
        ),
        (Fault::BeginsLoud, "net_loft_foreman", &["not_too_loud"]),
        (Fault::NeverMasks, "pilot_cutter_mate", &["masked"]),
        (Fault::WrongEar, "net_loft_foreman", &["better_ear_first"]),
        (Fault::StopsEarly, "shingle_crusher", &["complete"]),
        (
            Fault::NoFamiliarisation,
            "shingle_crusher",
            &["familiarised"],
        ),
        (Fault::RepeatsLevels, "shingle_crusher", &["ascents"]),
        (Fault::Praises, "shingle_crusher", &["neutral_words"]),
        (Fault::TooLoud, "shingle_crusher", &["not_too_loud"]),
        (Fault::SaysWhy, "shingle_crusher", &["worded_without_why"]),
        (
            Fault::NoListeningCheck,
            "shingle_crusher",
            &["listening_check"],
        ),
        (Fault::VoidsMuch, "shingle_crusher", &["voids"]),
        (Fault::OutOfOrder, "shingle_crusher", &["frequency_order"]),
        (Fault::ShortTones, "shingle_crusher", &["tone_length"]),
        (Fault::TakesBack, "shingle_crusher", &["voids"]),
    ];
    for (fault, name, expected) in all {
        for seed in [3, 4, 5] {
            let found = debriefed(name, seed, fault);
            let expected: BTreeSet<&str> = expected.iter().copied().collect();
            let mut open = to_mend(&found);
            if fault == Fault::StopsEarly {
                // Whoever stops early leaves a series open, and measures nothing again.
                open.remove("decided");
                open.remove("measured_again");
                // Nor can masking be told of where the other ear was not tested.
                open.remove("masked");
            }
            let asked = found.steps.iter().filter(|one| expected.contains(one.name));
            let said: Vec<_> = asked.map(|one| one.did.as_str()).collect();
            assert_eq!(open, expected, "{fault:?}, seed {seed}: {said:?}");
        }
    }
    let quiet = debriefed("shingle_crusher", 3, Fault::NoSilence);
    assert!(to_mend(&quiet).contains("silent_presentations"));
}

/// What is taken back and asked again is as it should be; nobody is blamed for a door.
#[test]
fn what_is_taken_back_and_asked_again_is_right() {
    let voids = |again: bool| {
        let mut trainee = Trainee::new("shingle_crusher", 3, Fault::None);
        for _ in 0..12 {
            trainee.tone(Ear::Right, Hz(1000.0), 40.0, None);
        }
        trainee.take_back();
        if again {
            trainee.tone(Ear::Right, Hz(1000.0), 40.0, None);
        } else {
            trainee.tone(Ear::Right, Hz(2000.0), 40.0, None);
        }
        let (events, _) = check(&trainee.ended()).unwrap();
        let found = debrief(&events).unwrap();
        let mut steps = found.steps.into_iter();
        let step = steps.find(|one| one.name == "voids").unwrap();
        (step.done, step.did)
    };
    let (done, did) = voids(true);
    assert_eq!(done, StepDone::Right, "{did}");
    assert!(
        did.contains("1 taken back") && did.contains("1 asked again"),
        "{did}"
    );
    assert_eq!(voids(false).0, StepDone::Partly);
}

/// The window offers no procedure in practice; what one presented all the same is counted, not taken for the trainee's.
#[test]
fn what_the_procedure_presented_is_no_work_of_the_trainee() {
    let by_hand = |tones: u32| {
        let mut trainee = Trainee::new("shingle_crusher", 3, Fault::None);
        trainee.by_procedure();
        for _ in 0..tones {
            trainee.tone(Ear::Right, Hz(1000.0), 40.0, None);
        }
        let (events, _) = check(&trainee.ended()).unwrap();
        let found = debrief(&events).unwrap();
        assert_eq!(found.presentations, tones);
        let step = found.must_mend().find(|one| one.name == "by_hand");
        let step = step.unwrap();
        (step.done, step.did.clone())
    };
    assert_eq!(
        by_hand(0),
        (StepDone::NotDone, "1 of 1 by the procedure".into())
    );
    assert_eq!(
        by_hand(2),
        (StepDone::Partly, "1 of 3 by the procedure".into())
    );
}

/// A class is told the same of an exercise without its replay.
#[test]
fn the_short_debrief_is_the_whole_one_without_its_replay() {
    let (events, _) = check(&Trainee::new("tide_clerk", 3, Fault::None).bytes()).unwrap();
    let whole = debrief(&events).unwrap();
    assert_eq!(whole.replay.len() as u32, whole.presentations);
    let short = Debrief {
        replay: Vec::new(),
        ..whole
    };
    assert_eq!(debrief_in_short(&events).unwrap(), short);
}

/// 40 dB heard three times in a row is no 10 dB down after an answer, however good the rest is (ISO 8253-1:2010, 6.2.3.2:
/// after a response 10 dB down, reference: hearing).
#[test]
fn the_same_level_again_after_an_answer_is_told() {
    let found = debriefed("shingle_crusher", 3, Fault::RepeatsLevels);
    let ascents = found
        .steps
        .iter()
        .find(|one| one.name == "ascents")
        .unwrap();
    assert_eq!(ascents.done, StepDone::Partly, "{}", ascents.did);
    assert!(
        ascents
            .did
            .contains("the same level again after an answer 2 times")
            && ascents.did.contains("1000 Hz: 40 dB heard, then 40"),
        "{}",
        ascents.did
    );
    let right = debriefed("shingle_crusher", 3, Fault::None);
    let ascents = right
        .steps
        .iter()
        .find(|one| one.name == "ascents")
        .unwrap();
    assert_eq!(ascents.done, StepDone::Right, "{}", ascents.did);
}

/// Whoever answers silence is told again what to do, by words that the helper asks for after it happened; said before, they
/// mend nothing.
#[test]
fn instructions_are_given_again_when_silence_was_answered() {
    let followed = debriefed("signal_keeper", 11, Fault::None);
    let acted = |found: &Debrief| {
        let mut steps = found.steps.iter();
        steps
            .find(|one| one.name == "acted_on_false_alarms")
            .unwrap()
            .done
    };
    assert_ne!(acted(&followed), StepDone::NotDone);
    let mut early = Trainee::new("deck_boy", 3, Fault::None);
    early.say(Phrase::InstructsAgain);
    let answers_silence = |trainee: &mut Trainee| {
        for _ in 0..30 {
            trainee.present(HandRequest::Silent { noise: None });
            trainee.tone(Ear::Right, Hz(1000.0), 40.0, None);
        }
    };
    answers_silence(&mut early);
    let mut once = Trainee::new("deck_boy", 3, Fault::None);
    let (events, _) = check(&early.ended()).unwrap();
    assert_eq!(acted(&debrief(&events).unwrap()), StepDone::NotDone);
    // Counted afresh after each time: silence is answered too often again, and the helper asks for it again.
    answers_silence(&mut once);
    once.say(Phrase::InstructsAgain);
    answers_silence(&mut once);
    let told = once.exercise.told.clone();
    while let Wanted::Say(phrase) = advise(once.record(), &told).wanted {
        once.say(phrase);
    }
    let (events, _) = check(&once.ended()).unwrap();
    assert_eq!(acted(&debrief(&events).unwrap()), StepDone::Right);
}

/// An unmasked dead ear reads about the attenuation over the other: the debrief says whose answer
/// that was.
#[test]
fn a_dead_ear_left_unmasked_is_said_to_be_the_other_ones() {
    let found = debriefed("diver", 3, Fault::NeverMasks);
    assert!(!found.outcome.missed_masking.is_empty());
    let crossed = found.outcome.ears.iter().filter(|one| {
        let remark = one.remark.as_deref();
        remark == Some("the other ear answered")
    });
    assert!(crossed.count() >= 3);
    let masked = debriefed("diver", 3, Fault::None);
    assert!(masked.outcome.missed_masking.is_empty());
}

/// Before the end nothing in the journal tells who it is.
#[test]
fn the_journal_holds_nothing_of_the_truth_before_the_end() {
    let mut trainee = Trainee::new("diver", 3, Fault::None);
    trainee.hearing();
    let before = String::from_utf8(trainee.visit.journal().store().bytes.clone()).unwrap();
    for told in ["150.0", "Sanna", "interaural_attenuation_db = 52", "aims"] {
        assert!(trainee.text.contains(told), "{told}");
        assert!(!before.contains(told), "{told}");
    }
    // Nor can it be revealed before, or as somebody else.
    let early = Input::Reveal(trainee.text.clone());
    assert!(trainee.visit.step(early, trainee.now).is_err());
    trainee.visit.step(Input::Close, trainee.now).unwrap();
    let other = Input::Reveal(text_of("tide_clerk").unwrap());
    assert!(trainee.visit.step(other, trainee.now).is_err());
}

/// The cues of the library are those that the published criteria give for its figures; what rests
/// on a history or a field is taken as written.
#[test]
fn the_cues_of_the_library_follow_from_its_figures() {
    assert!(library().len() >= 24);
    for (name, text) in library() {
        let exercise = Exercise::from_toml(text, name).unwrap();
        for cue in Cue::ALL {
            if matches!(cue, Cue::SuddenLoss | Cue::FieldLoss) {
                continue;
            }
            let there = exercise.expect.cues.contains(&cue);
            assert_eq!(
                cue.met_by(&exercise.person),
                there,
                "{name}: {}",
                cue.name()
            );
        }
    }
}

/// Whoever practises at the bedside meets the same ears there: the diver's right one is dead.
#[test]
fn at_the_bedside_the_ears_are_the_same() {
    let text = text_of("diver").unwrap();
    let diver = Exercise::from_toml(&text, "diver").unwrap().person;
    let truth = diver.bedside.unwrap();
    assert!(truth.rub_right[1] < 0.01 && truth.rub_left[1] > 0.9);
    assert!(truth.whisper_right < 0.01 && truth.fork_right < 0.01);
}

#[test]
fn drawn_exercises_repeat_and_can_be_read() {
    for difficulty in 1..=5 {
        for seed in 0..40 {
            let text = generate(difficulty, seed);
            assert_eq!(text, generate(difficulty, seed));
            Exercise::from_toml(&text, "drawn").unwrap();
        }
    }
    assert_eq!(text_of("drawn-3-7"), Some(generate(3, 7)));
    assert_eq!(text_of("drawn-6-7"), None);
}

/// Scores of two raters as scikit-learn counts their agreement (`tests/outside/tables/kappa.csv`).
#[test]
fn kappa_is_that_of_scikit_learn() {
    let path = here("tests/outside/tables/kappa.csv");
    let text = std::fs::read_to_string(path).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let mut seen = 0;
    for row in rows {
        let [one, other, expected] = row.split(',').collect::<Vec<_>>()[..] else {
            panic!("{row}");
        };
        let scores = |text: &str| -> Vec<u8> { text.bytes().map(|byte| byte - b'0').collect() };
        let pairs: Vec<_> = scores(one).into_iter().zip(scores(other)).collect();
        let found = kappa(&pairs).unwrap();
        let expected: f64 = expected.parse().unwrap();
        assert_eq!(found.items, one.len());
        assert!(
            (found.kappa.unwrap() - expected).abs() < 1e-9,
            "{row}: {found:?}"
        );
        seen += 1;
    }
    assert!(seen >= 50, "{seen}");
}

/// 20 items scored yes or no by two raters: both yes 10, first only 3, second only 2, both no 5.
/// Observed 0.75; chance 0.65 x 0.6 + 0.35 x 0.4 = 0.53; kappa 0.22 / 0.47 (worked by hand from
/// Cohen 1960's formula).
#[test]
fn kappa_is_cohens() {
    let mut pairs = vec![(2, 2); 10];
    pairs.extend([(2, 0); 3]);
    pairs.extend([(0, 2); 2]);
    pairs.extend([(0, 0); 5]);
    let Agreement {
        items,
        alike,
        kappa: found,
    } = kappa(&pairs).unwrap();
    assert_eq!(items, 20);
    assert!((alike - 0.75).abs() < 1e-12);
    assert!((found.unwrap() - 0.22 / 0.47).abs() < 1e-12);
    assert_eq!(kappa(&[(2, 2); 4]).unwrap().kappa, None);
    let bad = "format = 1\nrater = \"R\"\njournal_head = \"x\"\n[scores]\nhand = 1\n";
    let error = Observed::from_toml(bad, "ticks.toml")
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("ticks.toml") && error.contains("scores.hand"),
        "{error}"
    );
}

/// What was missed of late and most often is to be practised next.
#[test]
fn the_table_names_what_to_practise_next() {
    let first = debriefed("net_loft_foreman", 3, Fault::Rhythmic);
    let second = debriefed("net_loft_foreman", 4, Fault::WrongEar);
    let table = ClassTable::of("T-1", &[&first, &second]);
    let of = |name: &str| table.steps.iter().find(|step| step.name == name).unwrap();
    assert_eq!(of("uneven_gaps").right, [false, true]);
    assert!(of("uneven_gaps").improved);
    assert!(table.next.as_deref().unwrap().contains("better ear"));
}

/// Whoever keeps time answers in silence too where the gaps are even, and seldom where they are not.
#[test]
fn a_rhythm_is_followed_by_whoever_follows_rhythms() {
    let alarms = |fault| {
        let mut trainee = Trainee::new("quay_fiddler", 3, fault);
        trainee.hearing();
        let (answered, of) = silent_answers(trainee.record());
        f64::from(answered) / f64::from(of)
    };
    assert!(alarms(Fault::Rhythmic) > alarms(Fault::None) + 0.2);
}

#[test]
fn silent_presentations_by_hand_are_silent() {
    let mut trainee = Trainee::new("tide_clerk", 3, Fault::None);
    trainee.present(HandRequest::Silent { noise: None });
    assert_eq!(trainee.record().trials()[0].purpose(), Purpose::Silent);
}

/// A class of three: two whole journals, and one in which a single answer was changed.
#[test]
fn a_class_is_gathered_and_what_was_changed_is_named() {
    let at = folder("class");
    for (name, fault, changed) in [
        ("a", Fault::None, false),
        ("b", Fault::Rhythmic, false),
        ("c", Fault::None, true),
    ] {
        let mut bytes = Trainee::of_class("tide_clerk", 3, fault).bytes();
        if changed {
            let text = String::from_utf8(bytes).unwrap();
            bytes = text
                .replacen("\"level_db_hl\":30", "\"level_db_hl\":20", 1)
                .into_bytes();
        }
        std::fs::create_dir_all(at.join(name)).unwrap();
        std::fs::write(at.join(name).join("journal.jsonl"), bytes).unwrap();
    }
    let csv = at.join("class.csv");
    let args = [
        "practise",
        "class",
        at.to_str().unwrap(),
        "--csv",
        csv.to_str().unwrap(),
    ];
    let done = veridical(&args);
    assert_eq!(done.code, Some(1), "{}", done.out);
    assert!(
        done.out.contains("not taken in") && done.out.contains("uneven_gaps"),
        "{}",
        done.out
    );
    let table = std::fs::read_to_string(&csv).unwrap();
    assert_eq!(table.lines().count(), 3, "{table}");
    assert!(
        done.out.contains("the helper was on at 0 of "),
        "{}",
        done.out
    );
    // The table of before is not written over.
    let again = veridical(&args);
    assert_eq!(again.code, Some(2), "{}", again.out);
    let journal = at.join("b").join("journal.jsonl");
    let told = veridical(&["practise", "debrief", journal.to_str().unwrap(), "--replay"]);
    assert_eq!(told.code, Some(0));
    assert!(
        told.out.contains("varied the gaps") && told.out.contains("Presentation by presentation")
    );
}

/// What the trainee holds before the end: the file of a sealed exercise, and the journal. Neither has a word
/// of the truth, and nothing but the passphrase opens it (RFC 9106 and the cipher's own vectors: `store/secret.rs`).
#[test]
fn a_sealed_exercise_tells_nothing_and_is_the_same_person() {
    let at = folder("sealed");
    let text = text_of("diver").unwrap();
    let passphrase = at.join("passphrase");
    std::fs::write(&passphrase, "kelp and lanterns\n").unwrap();
    let by = ["--passphrase-file", passphrase.to_str().unwrap()];
    let sealed = veridical(&["practise", "seal", "diver", by[0], by[1]]);
    assert_eq!(sealed.code, Some(0), "{}", sealed.out);
    let file = at.join("own.toml");
    std::fs::write(&file, &sealed.out).unwrap();
    let own = file.to_str().unwrap();
    assert!(sealed.out.contains("The diver"));
    for told in ["Sanna", "better", "right =", "asymmetry", "[person"] {
        assert!(text.contains(told), "{told}");
        assert!(!sealed.out.contains(told), "{told}: {}", sealed.out);
    }
    let opened = veridical(&["practise", "open", own, by[0], by[1]]);
    assert_eq!(opened.out.trim_end(), text.trim_end());
    let with = |passphrase: &str| {
        let wish = ExerciseWish {
            exercise: own.into(),
            trainee: "T".into(),
            set: None,
            passphrase: Some(passphrase.into()),
            seed: 3,
            folder: at.join(format!("by {passphrase}")),
        };
        errand::begin_exercise(&wish, None)
    };
    let begun = with("kelp and lanterns").unwrap();
    assert_eq!(begun.text(), text);
    let journal = std::fs::read_to_string(at.join("by kelp and lanterns/journal.jsonl")).unwrap();
    assert!(journal.contains(&Practised::seal_of(&text)) && !journal.contains("Sanna"));
    for (wrong, expected) in [("", "passphrase"), ("kelp and lantern", "not opened")] {
        let error = with(wrong).err().unwrap().to_string();
        assert!(
            error.contains("own.toml: sealed") && error.contains(expected),
            "{error}"
        );
    }
    // Whoever writes another story on the front cannot open it either.
    std::fs::write(&file, sealed.out.replace("The diver", "The Diver")).unwrap();
    assert!(with("kelp and lanterns").is_err());
    std::fs::write(&passphrase, "short\n").unwrap();
    let refused = veridical(&["practise", "seal", "diver", by[0], by[1]]);
    assert_eq!(refused.code, Some(2));
}

/// Each fault in a series of the field is found, and no other one.
#[test]
fn of_series_the_debrief_finds_exactly_the_fault() {
    type Does = fn(&mut Trainee);
    let both = |trainee: &mut Trainee| {
        trainee.field(Side::Right, None, 99);
        trainee.field(Side::Left, None, 99);
    };
    let one_side: Does = |trainee| trainee.field(Side::Right, None, 99);
    let short: Does = |trainee| {
        trainee.field(Side::Right, Some(4), 99);
        trainee.field(Side::Left, None, 99);
    };
    let left_open: Does = |trainee| {
        trainee.field(Side::Right, None, 99);
        trainee.field(Side::Left, None, 3);
    };
    let takes_back: Does = |trainee| {
        trainee.field(Side::Right, None, 99);
        trainee.field(Side::Left, None, 99);
        let n = trainee.record().bedside().series()[0].n(2);
        let reason = "not what was hoped for".into();
        let back = Input::Bedside(AtBedside::TakeBack { n, reason });
        trainee
            .visit
            .step(back, trainee.now.plus_seconds(1.0))
            .unwrap();
    };
    let all: [(Does, &[&str]); 6] = [
        (both, &[]),
        (|_| (), &["field_at_two_distances"]),
        (one_side, &["series_both_sides"]),
        (short, &["series_long_enough"]),
        (left_open, &["series_finished"]),
        (takes_back, &["series_answers_kept"]),
    ];
    for (does, expected) in all {
        let mut trainee = Trainee::new("customs_runner", 3, Fault::None);
        does(&mut trainee);
        let (events, _) = check(&trainee.ended()).unwrap();
        let found = debrief(&events).unwrap();
        let of_series = |name: &&str| name.starts_with("series_") || name.starts_with("field_");
        let found: Vec<_> = to_mend(&found).into_iter().filter(of_series).collect();
        assert_eq!(found, expected);
    }
}

/// One step after so much of an exercise.
fn step_after(
    mut trainee: Trainee,
    name: &str,
    does: impl FnOnce(&mut Trainee),
) -> (StepDone, String) {
    does(&mut trainee);
    let (events, _) = check(&trainee.ended()).unwrap();
    let found = debrief_in_short(&events).unwrap();
    let step = found.steps.into_iter().find(|one| one.name == name);
    let step = step.unwrap();
    (step.done, step.did)
}

fn tones(trainee: &mut Trainee, levels_db: &[f64]) {
    for level_db in levels_db {
        trainee.tone(Ear::Right, Hz(1000.0), *level_db, None);
    }
}

/// A tone is heard clearly and without a large jump (checklist 10: about 40 dB HL, no large upward jumps).
#[test]
fn familiarising_is_with_a_clear_tone() {
    let after = |levels_db: &[f64]| {
        let trainee = Trainee::new("tide_clerk", 3, Fault::None);
        step_after(trainee, "familiarised", |trainee| tones(trainee, levels_db))
    };
    for levels_db in [&[40.0][..], &[20.0, 30.0, 40.0], &[60.0]] {
        let (done, did) = after(levels_db);
        assert_eq!(done, StepDone::Right, "{levels_db:?}: {did}");
    }
    for levels_db in [&[15.0][..], &[-10.0, 40.0], &[-10.0], &[80.0]] {
        let (done, did) = after(levels_db);
        assert_eq!(done, StepDone::NotDone, "{levels_db:?}: {did}");
    }
}

/// What is said too early or too late is not what is expected.
#[test]
fn words_count_where_they_belong() {
    let trainee = || Trainee::new("net_loft_foreman", 3, Fault::None);
    let (done, _) = step_after(trainee(), "better_ear_first", |trainee| {
        tones(trainee, &[40.0]);
        trainee.say(Phrase::AsksWhichIsBetter);
    });
    assert_eq!(done, StepDone::NotDone);
    let (done, _) = step_after(trainee(), "better_ear_first", |trainee| {
        trainee.say(Phrase::AsksWhichIsBetter);
        tones(trainee, &[40.0]);
    });
    assert_eq!(done, StepDone::Right);
    let breaks = |after: usize| {
        step_after(trainee(), "break_offered", |trainee| {
            tones(trainee, &vec![40.0; after]);
            trainee.say(Phrase::OffersBreak);
            tones(trainee, &vec![40.0; 160 - after]);
        })
    };
    assert_eq!(breaks(0).0, StepDone::NotDone);
    assert_eq!(breaks(80).0, StepDone::Right);
}

/// Where eyes come first, earphones and ears are looked to before the first sound.
#[test]
fn eyes_may_come_before_ears() {
    let plan = format!("{PLAN}[sight]\neyes = [\"right\"]\n");
    let after = |name: &str| {
        let trainee = Trainee::by_plan(&plan, "tide_clerk", 3, Fault::None);
        step_after(trainee, name, |trainee| {
            let request = HandRequest::Optotype {
                eye: Eye::Right,
                log_mar: 1.0,
            };
            let at = trainee.now;
            let out = trainee.visit.step(Input::Hand(request), at).unwrap();
            let [Output::Deliver(planned)] = &out[..] else {
                panic!("expected a presentation, found {out:?}");
            };
            let n = planned.n;
            trainee.visit.step(Input::Began { n, at }, at).unwrap();
            trainee.visit.step(Input::Whole { n }, at).unwrap();
            let presented = &planned.presentation;
            let answer = trainee.person.answer(n, presented).unwrap();
            let Response::Facing { facing, after_s } = answer else {
                panic!("expected a direction, found {answer:?}");
            };
            trainee.now = at.plus_seconds(after_s);
            let choose = Input::Choose {
                facing,
                at: Some(trainee.now),
            };
            trainee.visit.step(choose, trainee.now).unwrap();
            trainee.say(Phrase::ListensToEarphones);
            trainee.say(Phrase::LooksIntoEars);
            trainee.say(Phrase::Instructs);
            tones(trainee, &[40.0]);
        })
    };
    assert_eq!(after("listening_check").0, StepDone::Right);
    assert_eq!(after("looked_into_ears").0, StepDone::Right);
    assert_eq!(after("instructed").0, StepDone::Partly);
}

/// Masking cannot be told of while the other ear may be as good as any.
#[test]
fn an_ear_tested_alone_leaves_masking_open() {
    let found = debriefed("diver", 3, Fault::OneEarOnly);
    let step = found.must_mend().find(|one| one.name == "masked").unwrap();
    assert!(
        step.did.contains("the other ear was not tested"),
        "{}",
        step.did
    );
}

/// Whoever writes no threshold writes none wrongly, and none rightly.
#[test]
fn no_response_is_judged_where_thresholds_were_written() {
    let done = |fault| {
        let found = debriefed("foghorn_mechanic", 3, fault);
        let mut steps = found.steps.into_iter();
        steps
            .find(|one| one.name == "no_response_as_such")
            .unwrap()
            .done
    };
    assert_eq!(done(Fault::None), StepDone::Right);
    assert_eq!(done(Fault::WritesNothing), StepDone::NoOccasion);
}

/// Words about why are found in a conclusion, and words that look like them are not. A stroke keeps them out of this
/// file (reference: wording of consistency).
#[test]
fn words_of_why_are_found() {
    let found = |sentence: &str| {
        let mut trainee = Trainee::new("tide_clerk", 3, Fault::None);
        trainee.conclude_with(sentence.replace('|', ""), Vec::new(), Vec::new());
        trainee.visit.step(Input::Close, trainee.now).unwrap();
        let reveal = Input::Reveal(trainee.text.clone());
        trainee.visit.step(reveal, trainee.now).unwrap();
        let (events, _) = check(&trainee.visit.journal().store().bytes).unwrap();
        let found = debrief_in_short(&events).unwrap();
        let worded = |name: &&str| *name == "worded_without_why";
        to_mend(&found).iter().any(worded)
    };
    for caught in [
        "He simu|lates a loss.",
        "A simu|lated loss.",
        "She pre|tends not to hear.",
        "He li|es.",
        "She li|es about the left ear.",
        "Missed on pur|pose.",
        "Pur|posely slow.",
        "The answers are not ho|nest.",
        "Delib|erate pauses.",
        "Probably with inten|tion.",
        "Without ef|fort.",
        "A fa|ked loss, exag|gerated.",
    ] {
        assert!(found(caught), "{caught}");
    }
    for innocent in [
        "The threshold relies on two ascents; the same applies to families.",
        "The threshold li|es at 40 dB, the others lie within 5 dB of it.",
        "It li|es 5 dB higher.",
        "A simu|lated person answered.",
        "Attention and intensity varied; the purpose of the visit was fitness for work.",
        "The underlying figures do not agree. A repeat is advised.",
    ] {
        assert!(!found(innocent), "{innocent}");
    }
}

/// These events in a journal of their own, chained as any.
fn chained(events: &[Event]) -> Vec<u8> {
    let Body::Opened(opening) = &events[0].body else {
        panic!("expected an opening");
    };
    let store = MemoryStore::default();
    let mut journal = Journal::begin(store, (**opening).clone(), events[0].time).unwrap();
    for event in &events[1..] {
        journal.append(event.body.clone(), event.t_s).unwrap();
    }
    journal.sync().unwrap();
    journal.store().bytes.clone()
}

/// What is gathered of journals in a folder of this name: how many are taken in, and why the others are not.
fn gathered(name: &str, journals: &[Vec<u8>]) -> (usize, Vec<String>) {
    let at = folder(name);
    for (number, bytes) in journals.iter().enumerate() {
        std::fs::write(at.join(format!("{number}.jsonl")), bytes).unwrap();
    }
    let (found, _) = errand::gather(&at, &Progress::default()).unwrap();
    let why = found.refused.into_iter().map(|one| one.why);
    (found.rows.len(), why.collect())
}

/// Whoever can write a journal can chain it anew: then its answers are held against the person's.
#[test]
fn a_journal_that_was_chained_anew_is_refused_where_the_person_answers_otherwise() {
    let bytes = Trainee::of_class("deck_boy", 3, Fault::None).bytes();
    let (events, _) = check(&bytes).unwrap();
    assert_eq!(gathered("anew-whole", &[chained(&events)]), (1, Vec::new()));
    let press = |event: &Event| matches!(event.body, Body::Pressed { .. });
    let at = events.iter().position(press).unwrap();
    let n = events[..at]
        .iter()
        .rev()
        .find_map(|event| match &event.body {
            Body::Planned(planned) => Some(planned.n),
            _ => None,
        });
    let expected = format!("not those of this person at presentation {}", n.unwrap());
    let mut left_out = events.clone();
    left_out.remove(at);
    let mut moved = events.clone();
    let mut by_hand = events.clone();
    if let (Body::Pressed { at_s, .. }, Body::Pressed { who, .. }) =
        (&mut moved[at].body, &mut by_hand[at].body)
    {
        *at_s = at_s.plus_seconds(0.05);
        *who = WhoPressed::Examiner;
    }
    // Another person's answers, under the name of this one.
    let other = Trainee::new("deck_boy", 3, Fault::None).bytes();
    for (name, forged, expected) in [
        ("anew-left-out", chained(&left_out), expected.as_str()),
        ("anew-moved", chained(&moved), &expected),
        ("anew-by-hand", chained(&by_hand), "by the examiner's hand"),
        ("anew-other", other, "not those of this person"),
    ] {
        let (taken, why) = gathered(name, &[forged]);
        assert!(taken == 0 && why[0].contains(expected), "{name}: {why:?}");
    }
    // Journals of another version are taken in, and it is said that nothing was held against them.
    let mut older = left_out;
    if let Body::Opened(opening) = &mut older[0].body {
        opening.program = "veridical 0.0.1".into();
    }
    let at = folder("anew-older");
    std::fs::write(at.join("0.jsonl"), chained(&older)).unwrap();
    let (found, _) = errand::gather(&at, &Progress::default()).unwrap();
    let remark = found.rows[0].remark.as_deref().unwrap();
    assert!(remark.starts_with("not replayed"), "{remark}");
}

/// The same journal twice, another person under a known name, and an answer changed once the person was known.
#[test]
fn what_is_no_journal_of_its_own_is_refused() {
    let bytes = Trainee::of_class("deck_boy", 3, Fault::StopsEarly).bytes();
    let (taken, why) = gathered("twice", &[bytes.clone(), bytes.clone()]);
    assert!(taken == 1 && why[0].contains("1.jsonl"), "{why:?}");
    assert!(why[0].contains("found that of") && why[0].contains("0.jsonl"));

    let (mut events, _) = check(&bytes).unwrap();
    let n = events.iter().find_map(|event| match event.body {
        Body::Arrived { n, .. } => Some(n),
        _ => None,
    });
    let mut amended = events.last().unwrap().clone();
    amended.body = Body::Amended {
        n: n.unwrap(),
        answer: Answer::Heard(false),
        reason: "a slip".into(),
    };
    let changed: Vec<Event> = events.iter().cloned().chain([amended]).collect();
    let (_, why) = gathered("amended", &[chained(&changed)]);
    assert!(
        why[0].contains("no answer changed after the end"),
        "{why:?}"
    );

    let own = text_of("deck_boy").unwrap();
    let text = own.replacen("lapse", "# lapse", 1) + "\n# another one\n";
    for event in &mut events {
        match &mut event.body {
            Body::Opened(opening) => {
                if let PersonKind::Practised(practised) = &mut opening.person {
                    practised.seal = Practised::seal_of(&text);
                }
            }
            Body::Revealed { exercise } => exercise.clone_from(&text),
            _ => {}
        }
    }
    let (_, why) = gathered("substituted", &[chained(&events)]);
    assert!(why[0].contains("the person of the exercise"), "{why:?}");
}

/// A journal names a file by its own name, never by where it lies; a set reaches no file beyond its folder.
#[test]
fn a_file_is_named_without_its_place() {
    assert_eq!(errand::exercise_name("/class/own.toml"), "own.toml");
    assert_eq!(errand::exercise_name("./diver"), "diver.toml");
    assert_eq!(errand::exercise_name("drawn-3-7"), "drawn-3-7");
    for escaping in ["../own.toml", "/tmp/own.toml", "a/../../own.toml"] {
        let text = format!("format = 1\nname = \"s\"\nseed = 1\nexercises = [\"{escaping}\"]\n");
        let error = Set::from_toml(&text, "set.toml").unwrap_err().to_string();
        let named = error.contains("set.toml") && error.contains("exercises");
        assert!(named && error.contains(escaping), "{error}");
    }
}

/// Two raters whose names differ in a sign only, of two exercises each, kept beside the journals of a class.
#[test]
fn raters_of_a_class_share_no_file_and_are_told_apart() {
    let at = folder("raters");
    for (exercise, head) in [("a", "aaaaaaaaaaaa"), ("b", "bbbbbbbbbbbb")] {
        let beside = at.join(exercise);
        std::fs::create_dir_all(&beside).unwrap();
        // What else lies there is none of it.
        std::fs::write(beside.join("own.toml"), "format = 1\n").unwrap();
        for rater in ["A.B", "A-B"] {
            let observed = Observed {
                format: 1,
                rater: rater.into(),
                journal_head: head.into(),
                scores: [("hands".to_owned(), 2), ("seat".to_owned(), 0)].into(),
            };
            std::fs::remove_file(beside.join("own.toml")).ok();
            errand::keep_observed(&beside, &observed).unwrap();
        }
        std::fs::write(beside.join("own.toml"), "format = 1\n").unwrap();
    }
    let found = errand::agreements_in(&at).unwrap();
    let [(one, other, agreement)] = &found[..] else {
        panic!("expected one pair, found {found:?}");
    };
    assert_eq!((one.as_str(), other.as_str()), ("A-B", "A.B"));
    assert_eq!(agreement.items, 4);
    let told = veridical(&["practise", "agree", at.to_str().unwrap()]);
    assert!(told.out.contains("A-B and A.B: 4 items"), "{}", told.out);
}

/// OWASP, CSV injection: no cell begins as a formula does; and a class of nobody has its header.
#[test]
fn the_table_of_a_class_holds_no_formula() {
    let row = ClassRow {
        trainee: "=HYPERLINK(\"x\")".into(),
        seconds: -1.0,
        ..ClassRow::default()
    };
    let of = |rows| {
        let refused = Vec::new();
        errand::class_csv(&Gathered { rows, refused }).unwrap()
    };
    let (none, one) = (of(Vec::new()), of(vec![row]));
    assert!(none.contains("trainee") && one.starts_with(&none), "{none}");
    assert!(
        one.contains("'=HYPERLINK") && one.contains(",-1.0,"),
        "{one}"
    );
}

/// The program ended in the midst of an exercise: it is closed, revealed and debriefed, and the answers hold.
#[test]
fn an_exercise_that_was_broken_off_is_ended_and_revealed() {
    let at = folder("broken-off");
    let wish = ExerciseWish {
        exercise: "diver".into(),
        trainee: "T-1".into(),
        set: None,
        passphrase: None,
        seed: 3,
        folder: at.join("diver-1"),
    };
    drop(errand::begin_exercise(&wish, None).unwrap());
    let text = |name: &str| errand::exercise_text(name, None);
    assert_eq!(errand::end_broken_off(&at, "T-2", text).unwrap(), None);
    let other = |_: &str| errand::exercise_text("tide_clerk", None);
    let error = errand::end_broken_off(&at, "T-1", other).unwrap_err();
    assert!(error.to_string().contains("as it was sealed"), "{error}");
    let journal = errand::end_broken_off(&at, "T-1", text).unwrap().unwrap();
    let (found, row) = errand::debrief_in(&journal).unwrap();
    assert!(found.person.contains("Sanna") && row.remark.is_none());
    assert_eq!(errand::end_broken_off(&at, "T-1", text).unwrap(), None);
}
