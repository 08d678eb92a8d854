//! What to present next, given what the journal holds: pure, seeded, without clock or device.

mod agreement;
mod by_hand;
mod estimate;
mod hearing;
mod masking;
mod plans;
mod reason;
mod sight;
mod slot;

pub use agreement::{Telling, intervals, tell_most};
pub use by_hand::{HandNoise, HandRequest, by_hand};
pub use plans::{NAMES, named_plan};
pub use reason::{Estimating, ForThis, MaskedAim, Reason, reason};
pub use sight::below_the_largest;

use crate::journal::{Asking, HowEnded, Purpose, Record, Section};
use crate::quantity::Sense;
use crate::stimulus::{Presentation, ToneSlot};

/// What comes next.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// This presentation.
    Present(Proposal),
    /// Nothing more of this section, which is not done.
    End {
        /// Which section.
        section: Section,
        /// How it ends.
        how: HowEnded,
        /// Why.
        reason: String,
    },
    /// An eye is asked in one more way.
    Ask(Box<Asking>),
    /// Nothing: the plan is carried out.
    Finished,
}

/// A presentation that is proposed.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// Why it is made.
    pub purpose: Purpose,
    /// What is presented.
    pub presentation: Presentation,
    /// In a detection task, where the tone lies or would lie.
    pub slot: Option<ToneSlot>,
    /// Of sight: the number of the asking it belongs to.
    pub asking: u32,
}

/// What the plan asks for next.
#[must_use]
pub fn next(record: &Record) -> Next {
    let of = |sense: &Sense| match sense {
        Sense::Hearing => hearing::next(record),
        Sense::Sight => sight::next(record),
    };
    let order = &record.opening.plan.order;
    order.iter().find_map(of).unwrap_or(Next::Finished)
}
