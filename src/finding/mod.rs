//! What the answers say about the person: folded from the record, and from nothing else.

pub mod ascents;
mod averages;
pub mod bracket;
mod change;
mod cues;
pub mod estimated;
mod exposure;
mod frequencies;
mod hearing;
mod hearing_cues;
mod known_acuity;
mod level_keys;
mod masked_course;
pub mod masking;
pub mod notation;
pub mod plateau;
pub mod rows;
mod screening;
mod series;
mod sight;
mod sight_cues;
mod sight_grades;
mod two_distances;

pub use averages::{AtLeast, Averages, EarAverages};
pub use change::{Change, Changes};
pub use cues::{Cue, Urgency, cues};
pub use exposure::{EarExposure, Exposure, exposure};
pub use frequencies::{measured_hz, series_reading_db, unmasked_reading};
pub use hearing::{
    HearingFinding, HearingFindings, HearingStatus, Masking, bounds, masker_bounds, own_steps,
    reading_above_midpoint_db, repeat_steps, silent_answers,
};
pub use screening::{Screened, ScreeningFinding, ScreeningFindings, screened, screening_level};
pub use series::Series;
pub use sight::{
    BY_HAND, FEWEST_TRIALS, FurtherFinding, REVERSED, SightFinding, SightFindings, SightScreening,
    SightStatus, SizeCount, acuity_trials, practice, reversed, screened_sight, sizes_of, trials_of,
};
#[cfg(any(test, feature = "window"))]
pub(crate) use sight_cues::cue_of;
pub use sight_grades::{FunctionalAcuity, GradedCategory, SightGrades};
pub use two_distances::TwoDistances;

/// The version of the mathematics that makes findings of events. It changes whenever the same
/// journal would give other findings.
pub const MATHEMATICS: u32 = 7;
