//! What can be asked of a session, and where it stands.

use crate::journal::{
    Acting, Asking, Conclusion, HowEnded, Phrase, Section, SoundNote, Told, WhoPressed,
};
use crate::procedure::HandRequest;
use crate::quantity::Eye;
use crate::stimulus::Facing;
use crate::visit::AtBedside;
use std::time::Instant;

/// What the examiner or the person does.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// The step that waits may go on.
    Confirm,
    /// The loud sounds that wait may come: the confirmation was held.
    ConfirmLoud,
    /// 'I hear it'.
    Heard {
        /// When.
        at: Instant,
        /// By whose hand; none: by the one that was agreed on.
        by: Option<WhoPressed>,
    },
    /// A direction.
    Facing {
        /// Which.
        facing: Facing,
        /// When, if by the person's own hand.
        at: Option<Instant>,
    },
    /// Letters, one for each that is shown.
    Letters {
        /// Which (see [`Answer::Letters`](crate::journal::Answer::Letters)).
        letters: String,
        /// When, if by the person's own hand.
        at: Option<Instant>,
    },
    /// Whether what was shown by hand was seen, or counted rightly.
    Sees(bool),
    /// In which of two turns the tone was.
    Turn {
        /// 1 or 2.
        interval: u8,
        /// When, if by the person's own hand.
        chosen: Option<Instant>,
    },
    /// The person cannot tell, and is asked kindly for a guess.
    Unsure,
    /// The examiner has enough of the optotypes that are shown now.
    Enough,
    /// An eye is asked in one more way.
    Ask(Box<Asking>),
    /// A section that was stopped is taken up again.
    TakeUp(Section),
    /// What the person told of their eyes.
    Tell(Told),
    /// A presentation by hand.
    Hand(HandRequest),
    /// From series to the joint estimate, and back.
    ToggleMethod,
    /// From the procedure to the hand, and back.
    ToggleAutomatic,
    /// Pause, or go on.
    PauseOrContinue,
    /// Silence at once, and pause.
    Stop,
    /// Take back the last trial.
    TakeBack,
    /// End a section before it is done.
    End {
        /// Which.
        section: Section,
        /// How.
        how: HowEnded,
    },
    /// A step done by hand.
    Bedside(AtBedside),
    /// Something of the sound beside the presentations.
    Sound(SoundNote),
    /// From here on whoever this is acts.
    Acts(Acting),
    /// Something worth keeping.
    Note(String),
    /// In practice: something is said to the person.
    Say(Phrase),
    /// In practice: the helper speaks, or does not.
    Coach(bool),
    /// In practice: what the trainee concludes.
    Conclude(Box<Conclusion>),
    /// In practice, after the end: the exercise that was sealed.
    Reveal(String),
    /// The visit is over.
    Close,
}

impl Command {
    /// Whether it answers in the person's place: in practice the simulated person does, and nobody else.
    #[must_use]
    pub fn answers(&self) -> bool {
        matches!(
            self,
            Command::Heard { .. }
                | Command::Facing { .. }
                | Command::Letters { .. }
                | Command::Sees(_)
                | Command::Turn { .. }
                | Command::Unsure
        )
    }
}

/// A step that waits for the examiner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Waiting {
    /// Hearing has not begun.
    ToHear,
    /// Choices between two turns come next, which have to be explained.
    ToTakeTurns,
    /// Single tones come again.
    ToHearAgain,
    /// This eye has not begun.
    ToSee(Eye),
    /// The next sound is loud, or three in a row have been.
    ToBeLoud,
    /// The plan is carried out.
    ToClose,
}

/// What is under way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// Nothing yet.
    Neither,
    /// Hearing.
    Hearing,
    /// Sight.
    Sight,
}
