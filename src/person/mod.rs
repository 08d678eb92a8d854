//! Who answers: a simulated person, or another program at the end of a pipe. A living person
//! answers through the desk.

mod at_bedside;
pub mod case;
mod habits;
mod kinds;
mod pipe;
mod population;
mod simulated;

pub use at_bedside::{BedsideTruth, LeftOut, Replies};
pub use case::{Case, HearingTruth};
pub use habits::{Habits, Habitual, is_rhythm};
pub use kinds::{AnsweringKind, KINDS, make_noisier};
pub use pipe::Piped;
pub use population::Population;
pub use simulated::{Simulated, seen_up_to_log_mar};

use crate::journal::Phrase;
use crate::quantity::Moment;
use crate::stimulus::{Facing, Presentation, Prompted, Reply};

/// What came of a presentation.
#[derive(Debug, Clone, PartialEq)]
pub enum Response {
    /// Presses, seconds from the start of the slot, in order.
    Presses(Vec<f64>),
    /// The interval in which it was.
    Interval(u8),
    /// How many there were.
    Count(u32),
    /// A direction, so many seconds after the optotype appeared.
    Facing {
        /// Which.
        facing: Facing,
        /// How long after.
        after_s: f64,
    },
    /// Whether what was shown by hand was seen, so many seconds later if the person said so.
    Sees {
        /// Whether.
        sees: bool,
        /// How long after, s.
        after_s: Option<f64>,
    },
    /// The letters read, one for each part; `-` where none was said.
    Letters {
        /// Which.
        letters: String,
        /// How long after they appeared, s, if the person said so.
        after_s: Option<f64>,
    },
}

/// An answer to a prompt at the bedside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Replied {
    /// What was answered.
    pub reply: Reply,
    /// How long after, s.
    pub after_s: f64,
}

/// A person cannot answer any more.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct PersonError(pub String);

/// Somebody or something that answers at once.
pub trait Person {
    /// The answer to presentation `n`.
    ///
    /// # Errors
    /// If the person cannot answer any more, for instance because the pipe was closed.
    fn answer(&mut self, n: u32, presentation: &Presentation) -> Result<Response, PersonError>;

    /// Goes through a presentation that was answered before the program was started again, so
    /// that whatever it leaves behind in the person is there.
    ///
    /// # Errors
    /// If the person cannot.
    fn recall(&mut self, n: u32, presentation: &Presentation) -> Result<(), PersonError>;

    /// The next presentation begins at this moment: whoever goes by a rhythm goes by that.
    fn begins(&mut self, _at: Moment) {}

    /// The examiner says or does something.
    fn told(&mut self, _phrase: Phrase) {}

    /// The answer to prompt `n` of a series at the bedside.
    ///
    /// # Errors
    /// If the person cannot answer any more, or answers no prompts at all.
    fn reply(&mut self, n: u32, prompted: &Prompted<'_>) -> Result<Replied, PersonError> {
        let kind = prompted.kind.name();
        Err(PersonError(format!(
            "prompt {n}: nobody answers a series of {kind} here"
        )))
    }

    /// The visit is over.
    ///
    /// # Errors
    /// If the person cannot be told.
    fn farewell(&mut self) -> Result<(), PersonError> {
        Ok(())
    }
}
