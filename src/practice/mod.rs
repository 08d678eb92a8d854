//! Practice: the loop with the seats changed. The trainee presents by hand, a simulated person
//! answers, and who that was is revealed at the end. Coaching and debriefing are pure functions of
//! the journal.

mod class;
mod coach;
mod coach_sight;
mod cue;
mod debrief;
mod exercise;
mod generator;
mod observed;
mod runs;
mod same_person;
mod words;

pub use class::{ClassRow, ClassTable, Gathered, Refused, StepOverTime};
pub use coach::{Advice, Further, Wanted, advise};
pub use coach_sight::advise_sight;
pub use cue::Cue;
pub use debrief::{
    At, Caught, Debrief, Done, EarOutcome, EyeOutcome, Judged, NoDebrief, Outcome, Replayed, Step,
    debrief, debrief_in_short, would,
};
pub use exercise::{ByPlan, Exercise, Expect, Graded, Set, Told, library, text_of};
pub use generator::generate;
pub use observed::{Agreement, ITEMS, Observed, kappa};
pub use same_person::{NotTheirs, person_seed, same_person, unchanged_after_the_end};
pub use words::words_before;
