//! Whether the answers of a journal are those of the person in it. Whoever can write a journal can chain it anew, so the
//! chain alone says little; but the same seed gives the same answers to the same presentations and words, and these stand
//! in the journal.

use crate::journal::{Answer, Body, Event, PersonKind, Practised, WhoPressed};
use crate::person::{Habitual, Person, Response};
use crate::practice::Exercise;
use crate::quantity::{Draws, Moment, Stream};
use crate::stimulus::Presentation;
use std::collections::{BTreeMap, BTreeSet};

/// A press that comes so near the end of its window may not have been told of before something else was done, s (our choice).
const UNTOLD_S: f64 = 0.2;
/// Moments are kept to a microsecond, so two that are the same are nearer than this, s.
const SAME_S: f64 = 2e-6;
/// After the later of two intervals the choice is said so much later, s (as the desk lets it come).
const CHOICE_AFTER_S: f64 = 1.0;

/// Everybody who gets an exercise with this seed meets the same person.
#[must_use]
pub fn person_seed(seed: u64, text: &str) -> u64 {
    let key = Practised::seal_of(text);
    let number = u64::from_str_radix(&key[..12], 16).unwrap_or_default();
    Draws::new(seed, Stream::Exercise, number).seed()
}

/// Why the answers of a journal are not taken for the person's.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotTheirs {
    /// The person answers otherwise.
    #[error("the answers are not those of this person at presentation {n}")]
    Answers {
        /// Where first.
        n: u32,
    },
    /// The trainee answered in the person's place.
    #[error("expected presses of the person, found one by the examiner's hand at {at_s} s")]
    ByHand {
        /// When.
        at_s: String,
    },
    /// An answer was corrected when the person was known already.
    #[error("expected no answer changed after the end, found presentation or prompt {n} amended")]
    AfterTheEnd {
        /// Of which.
        n: u32,
    },
}

/// What the person does with one presentation.
enum Does {
    /// Presses, at these moments.
    Presses(Vec<Moment>),
    /// Answers so many seconds after it began.
    Says(Answer, f64),
    Nothing,
}

/// Tells where the answers are not those of the exercise's person, told the words and given the presentations of the
/// journal in their order and at their times. Prompts of a series are left out: their answers are the trainee's to enter.
///
/// # Errors
/// The first answer that is another one.
pub fn same_person(events: &[Event], exercise: &Exercise, text: &str) -> Result<(), NotTheirs> {
    let seed = events.first().and_then(|event| match &event.body {
        Body::Opened(opening) if matches!(opening.person, PersonKind::Practised(_)) => {
            Some(opening.presenter_seed)
        }
        _ => None,
    });
    let seed = person_seed(seed.unwrap_or_default(), text);
    let mut person = Habitual::new(exercise.person.clone(), seed);
    let began = begun(events);
    let mut does = BTreeMap::new();
    for event in events {
        match &event.body {
            Body::Said { phrase } => person.told(*phrase),
            Body::Planned(planned) => {
                if let Some(at) = began.get(&planned.n) {
                    let done = asked(&mut person, planned.n, &planned.presentation, *at);
                    does.insert(planned.n, done);
                }
            }
            Body::Answered { n, answer, after_s } if does.contains_key(n) => {
                let said = |after: &f64| after_s.is_some_and(|one| (one - after).abs() < SAME_S);
                let theirs = match &does[n] {
                    Does::Says(theirs, after) => theirs == answer && said(after),
                    Does::Presses(_) | Does::Nothing => false,
                };
                if !theirs {
                    return Err(NotTheirs::Answers { n: *n });
                }
            }
            Body::Amended { n, .. } if does.contains_key(n) => {
                return Err(NotTheirs::Answers { n: *n });
            }
            _ => {}
        }
    }
    same_presses(events, &does)
}

/// When each presentation began. One that became void as it was decided on never did.
fn begun(events: &[Event]) -> BTreeMap<u32, Moment> {
    let mut began = BTreeMap::new();
    for event in events {
        match event.body {
            // The simulated set-up begins at once.
            Body::Planned(ref planned) => {
                began.insert(planned.n, event.t_s);
            }
            Body::Arrived { n, began_s } => {
                began.insert(n, began_s);
            }
            Body::Void { n, .. } if began.get(&n) == Some(&event.t_s) => {
                began.remove(&n);
            }
            _ => {}
        }
    }
    began
}

fn asked(person: &mut Habitual, n: u32, presentation: &Presentation, at: Moment) -> Does {
    person.begins(at);
    match person.answer(n, presentation) {
        Ok(Response::Presses(presses)) => {
            Does::Presses(presses.into_iter().map(|s| at.plus_seconds(s)).collect())
        }
        Ok(Response::Facing { facing, after_s }) => Does::Says(Answer::Facing(facing), after_s),
        Ok(Response::Letters { letters, after_s }) => {
            Does::Says(Answer::Letters(letters), after_s.unwrap_or_default())
        }
        Ok(Response::Sees { sees, after_s }) => {
            Does::Says(Answer::Sees(sees), after_s.unwrap_or_default())
        }
        Ok(Response::Interval(interval)) => {
            let sounds = presentation.sounds();
            let ends_s = sounds.map(|sound| sound.end_s).fold(0.0, f64::max);
            Does::Says(Answer::Interval(interval), ends_s + CHOICE_AFTER_S)
        }
        Ok(Response::Count(_)) | Err(_) => Does::Nothing,
    }
}

/// Each press of the journal is the person's, and none of theirs within a window is left out.
fn same_presses(events: &[Event], does: &BTreeMap<u32, Does>) -> Result<(), NotTheirs> {
    let theirs: BTreeSet<Moment> = does
        .values()
        .flat_map(|done| match done {
            Does::Presses(presses) => presses.as_slice(),
            Does::Says(..) | Does::Nothing => &[],
        })
        .copied()
        .collect();
    let mut pressed = BTreeSet::new();
    let mut latest = 0;
    for event in events {
        match &event.body {
            Body::Planned(planned) => latest = planned.n,
            Body::Pressed { at_s, who } => {
                if *who == WhoPressed::Examiner {
                    let at_s = format!("{:.3}", at_s.seconds());
                    return Err(NotTheirs::ByHand { at_s });
                }
                if !theirs.contains(at_s) {
                    return Err(NotTheirs::Answers { n: latest });
                }
                pressed.insert(*at_s);
            }
            _ => {}
        }
    }
    let mut windows = BTreeMap::new();
    for event in events {
        match &event.body {
            Body::Planned(planned) => {
                windows.insert(planned.n, planned.slot.map_or(0.0, |slot| slot.window_s));
            }
            Body::Arrived { n, began_s } => {
                let until = began_s.plus_seconds(windows.get(n).unwrap_or(&0.0) - UNTOLD_S);
                let left_out = |at: &&Moment| **at < until && !pressed.contains(*at);
                if let Some(Does::Presses(presses)) = does.get(n)
                    && presses.iter().any(|at| left_out(&at))
                {
                    return Err(NotTheirs::Answers { n: *n });
                }
            }
            _ => {}
        }
    }
    Ok(())
}

/// Nothing that was answered is changed once the visit is closed, when it can be known who it was.
///
/// # Errors
/// Names the first that was.
pub fn unchanged_after_the_end(events: &[Event]) -> Result<(), NotTheirs> {
    let closed = |event: &&Event| !matches!(event.body, Body::Closed {});
    for event in events.iter().skip_while(closed) {
        if let Body::Amended { n, .. } = event.body {
            return Err(NotTheirs::AfterTheEnd { n });
        }
    }
    Ok(())
}
