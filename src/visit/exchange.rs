//! What goes into a visit and what comes out.

use super::at_bedside::AtBedside;
use crate::journal::{
    Acting, Asking, Conclusion, HowEnded, JournalError, Phrase, Planned, Section, SoundNote, Told,
    WhoPressed,
};
use crate::procedure::HandRequest;
use crate::quantity::{Eye, Moment};
use crate::stimulus::Facing;

/// What happens to a visit.
#[derive(Debug, Clone, PartialEq)]
pub enum Input {
    /// Time has passed.
    Tick,
    /// The slot of presentation `n` began, or its optotype appeared, at this moment.
    Began {
        /// Which.
        n: u32,
        /// When.
        at: Moment,
    },
    /// Presentation `n` has arrived whole.
    Whole {
        /// Which.
        n: u32,
    },
    /// Presentation `n` did not arrive whole.
    Failed {
        /// Which.
        n: u32,
        /// Why.
        reason: String,
    },
    /// A key was pressed for 'I hear it'.
    Press {
        /// When.
        at: Moment,
        /// By whom.
        who: WhoPressed,
    },
    /// A direction was chosen.
    Choose {
        /// Which.
        facing: Facing,
        /// When, if at a key of the person's own.
        at: Option<Moment>,
    },
    /// An interval was chosen, 1 or 2.
    ChooseInterval {
        /// Which.
        interval: u8,
        /// When, if at a key of the person's own.
        at: Option<Moment>,
    },
    /// Letters were read, one for each optotype shown (see [`Answer::Letters`](crate::journal::Answer::Letters)).
    Name {
        /// Which.
        letters: String,
        /// When, if at a key of the person's own.
        at: Option<Moment>,
    },
    /// What is shown by hand was seen, or counted rightly, or was not.
    Sees {
        /// Whether.
        sees: bool,
        /// When, if the person said so at a key of their own.
        at: Option<Moment>,
    },
    /// An eye is asked in one more way.
    Ask(Box<Asking>),
    /// A section that was stopped is taken up again.
    TakeUp {
        /// Which.
        section: Section,
        /// Why.
        reason: String,
    },
    /// What the person told of their eyes.
    Tell(Told),
    /// The examiner asks for a presentation.
    Hand(HandRequest),
    /// From now on the procedure proposes, or the examiner does.
    Automatic(bool),
    /// A pause: what is being delivered becomes void.
    Pause {
        /// Why.
        reason: String,
    },
    /// The pause is over.
    Continue,
    /// The examiner takes back the last trial.
    UndoLast {
        /// Why.
        reason: String,
    },
    /// A section ends before it is done.
    End {
        /// Which.
        section: Section,
        /// How.
        how: HowEnded,
        /// Why.
        reason: String,
    },
    /// The examiner has enough of an asking.
    Enough {
        /// The eye.
        eye: Eye,
        /// The number of the asking.
        asking: u32,
    },
    /// A step done by hand.
    Bedside(AtBedside),
    /// From here on whoever this is acts.
    Acts(Acting),
    /// Something worth keeping.
    Note(String),
    /// Something of the sound beside the presentations.
    Sound(SoundNote),
    /// From here on this procedure measures thresholds of hearing.
    MeasureBy(String),
    /// In practice: the examiner says something to the person.
    Say(Phrase),
    /// In practice: the helper is turned on or off.
    Coach(bool),
    /// In practice: what the trainee concludes.
    Conclude(Box<Conclusion>),
    /// In practice, after the end: the exercise that was sealed.
    Reveal(String),
    /// The visit is over.
    Close,
}

/// What a visit wants done.
#[derive(Debug, Clone, PartialEq)]
pub enum Output {
    /// Deliver this presentation.
    Deliver(Planned),
    /// Stop all sound at once and take the optotype away.
    Silence,
    /// What became of presentation `n` is durable.
    Settled(u32),
    /// The plan is carried out.
    PlanDone,
}

/// What a visit cannot do.
#[derive(Debug, thiserror::Error)]
pub enum VisitError {
    /// The journal failed: nothing more may be presented.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// The examiner asked for something that cannot be presented now.
    #[error("{0}")]
    Refused(String),
}
