//! Whatever is pressed, chosen, stopped, undone or asked for, at whatever moment: the visit stays
//! whole and its journal tells the same.

use crate::at_hand::{fixed, short_plan, wish};
use proptest::prelude::*;
use veridical::journal::{
    HowEnded, Journal, MemoryStore, Outcome, Record, Section, WhoPressed, check,
};
use veridical::procedure::HandRequest;
use veridical::quantity::{Ear, Eye, Hz, Moment};
use veridical::report::Findings;
use veridical::stimulus::Facing;
use veridical::visit::{Input, Output, Visit, VisitError};

fn inputs() -> impl Strategy<Value = Input> {
    let reason = || String::from("the test wants it");
    let who = prop_oneof![Just(WhoPressed::Person), Just(WhoPressed::Examiner)];
    let level = (
        -20.0..130.0,
        prop::sample::select(vec![500.0, 1000.0, 44.0]),
        prop::option::of(-20.0..130.0),
    );
    prop_oneof![
        8 => Just(Input::Tick),
        // Which presentation and when is filled in as it is stepped.
        6 => Just(Input::Began { n: 0, at: Moment::START }),
        6 => Just(Input::Whole { n: 0 }),
        4 => who.prop_map(|who| Input::Press { at: Moment::START, who }),
        4 => prop::sample::select(Facing::EIGHT.to_vec())
            .prop_map(|facing| Input::Choose { facing, at: None }),
        1 => Just(Input::Failed { n: 0, reason: reason() }),
        1 => Just(Input::Whole { n: 999 }),
        1 => level.prop_map(|(level_db, hz, masker_db)| {
            Input::Hand(HandRequest::Tone { ear: Ear::Left, hz: Hz(hz), level_db, masker_db })
        }),
        1 => Just(Input::Hand(HandRequest::Silent { noise: None })),
        1 => any::<bool>().prop_map(Input::Automatic),
        1 => prop::sample::select(vec!["ascending", "estimate", "bracketing", "screening", "none such"])
            .prop_map(|name| Input::MeasureBy(name.into())),
        1 => Just(Input::Pause { reason: reason() }),
        2 => Just(Input::Continue),
        1 => Just(Input::UndoLast { reason: reason() }),
        1 => prop_oneof![Just(Section::Ear(Ear::Right)), Just(Section::Eye(Eye::Right))].prop_map(
            |section| Input::End { section, how: HowEnded::Declined, reason: "no more".into() }),
        1 => Just(Input::Note("a note".into())),
        // What the end brings must not be tried before much else has happened.
        1 => (0..40_u8).prop_map(|one| if one == 0 { Input::Close } else { Input::Tick }),
    ]
}

/// The input, about the presentation that is open now.
fn about_now(input: Input, open: u32, now: Moment) -> Input {
    match input {
        Input::Began { n: 0, .. } => Input::Began { n: open, at: now },
        Input::Whole { n: 0 } => Input::Whole { n: open },
        Input::Failed { n: 0, reason } => Input::Failed { n: open, reason },
        Input::Press { who, .. } => Input::Press { at: now, who },
        Input::Choose { facing, .. } => Input::Choose {
            facing,
            at: Some(now),
        },
        other => other,
    }
}

proptest! {
    #![proptest_config(fixed(60))]

    #[test]
    fn a_visit_stays_whole(steps in prop::collection::vec((inputs(), 0.0..3.0_f64), 1..150)) {
        let begin = wish(31, short_plan());
        let journal = Journal::begin(MemoryStore::default(), begin.opening(), begin.epoch).unwrap();
        let mut visit = Visit::over(journal);
        let (mut now, mut said_whole) = (Moment::START, std::collections::BTreeSet::new());
        for (input, after_s) in steps {
            now = now.plus_seconds(after_s);
            let open = visit.record().open().map_or(0, |open| open.planned.n);
            let input = about_now(input, open, now);
            if let Input::Whole { n } = input {
                said_whole.insert(n);
            }
            let outputs = match visit.step(input, now) {
                Ok(outputs) => outputs,
                // Nothing but a refusal of what cannot be done now.
                Err(VisitError::Refused(_)) => Vec::new(),
                Err(error) => panic!("{error}"),
            };
            for output in outputs {
                if let Output::Deliver(planned) = output {
                    // It is in the journal before it is delivered, and nothing else is open.
                    let text = String::from_utf8_lossy(&visit.journal().store().bytes).into_owned();
                    let found = format!("\"kind\":\"planned\",\"body\":{{\"n\":{},", planned.n);
                    prop_assert!(text.contains(&found));
                    prop_assert_eq!(&visit.record().open().unwrap().planned, &planned);
                    prop_assert!(!visit.record().paused() && !visit.record().closed());
                    // What had been said of it before it was delivered again does not count.
                    said_whole.remove(&planned.n);
                }
            }
            let bytes = &visit.journal().store().bytes;
            let (events, _) = check(bytes).unwrap();
            prop_assert_eq!(&Record::of(&events).unwrap().0, visit.record());
        }
        for trial in visit.record().trials() {
            prop_assert!(said_whole.contains(&trial.planned.n), "not whole and yet a trial");
            if let Outcome::Yes { latency_s: Some(latency_s) } = trial.outcome {
                prop_assert!(latency_s >= 0.12, "{}", latency_s);
            }
        }
        let _ = Findings::of(visit.record());
    }
}
