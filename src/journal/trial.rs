//! Presentations and what became of them.

use super::event::{Planned, Purpose, WhoPressed};
use crate::quantity::Moment;
use crate::stimulus::{Facing, HandPart, Letter, OptotypePart, SoundPart, Symbol};

/// Presses sooner after an onset than this are not answers to it, s. Simple reaction time well
/// above threshold is about 0.19 s; 0.12 to 0.15 s is the bound derived from that (reference:
/// auditory reaction time, Nihon Jibiinkoka 93:746; the bound itself is our derivation).
pub const REACTION_S: f64 = 0.12;

/// A press so soon after the window of an unanswered tone is taken for a late answer to it, s (our
/// choice). Longer, and false alarms in the silence before the next onset would be lost in it.
pub const LATE_S: f64 = 0.5;

/// What became of a presentation that arrived whole.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Answered within its window; in a silent presentation: a false alarm.
    Yes {
        /// From onset to the first press; none if marked by the examiner or silent.
        latency_s: Option<f64>,
    },
    /// Not answered within its window.
    No,
    /// Answered only before anybody could have heard it: neither a hit nor a miss.
    Early,
    /// A direction was chosen.
    Chosen {
        /// Which.
        facing: Facing,
        /// How long after it appeared, s; none if the examiner entered it.
        after_s: Option<f64>,
    },
    /// Something shown by hand was seen, or counted rightly, or was not.
    Sees {
        /// Whether.
        sees: bool,
    },
    /// An interval was chosen.
    Interval {
        /// Which: 1 or 2.
        chosen: u8,
        /// How long after the presentation began, s; none if the examiner entered it.
        after_s: Option<f64>,
    },
    /// Letters were read.
    Named {
        /// One character for each optotype, as in [`Answer::Letters`](super::Answer::Letters).
        letters: String,
        /// How long after they appeared, s; none if the examiner entered them.
        after_s: Option<f64>,
    },
}

/// A presentation that arrived whole, with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// As it was decided on.
    pub planned: Planned,
    /// When its slot began or it appeared.
    pub began: Moment,
    /// What became of it.
    pub outcome: Outcome,
    /// Taken back by the examiner: does not count.
    pub undone: bool,
}

impl Trial {
    /// The only tone of a plain detection trial.
    #[must_use]
    pub fn tone(&self) -> Option<&SoundPart> {
        self.planned.presentation.tones().next()
    }

    /// The noise that masks an ear, also in a silent presentation.
    #[must_use]
    pub fn masker(&self) -> Option<&SoundPart> {
        self.planned.presentation.maskers().next()
    }

    /// The first optotype of a choice trial; all of a row are alike but for their letters.
    #[must_use]
    pub fn optotype(&self) -> Option<&OptotypePart> {
        self.planned.presentation.optotypes().next()
    }

    /// Whether a detection trial was answered; none if it cannot be counted either way.
    #[must_use]
    pub fn heard(&self) -> Option<bool> {
        match &self.outcome {
            Outcome::Yes { .. } => Some(true),
            Outcome::No => Some(false),
            Outcome::Early
            | Outcome::Chosen { .. }
            | Outcome::Interval { .. }
            | Outcome::Named { .. }
            | Outcome::Sees { .. } => None,
        }
    }

    /// Each optotype of a choice trial in reading order, and whether it was named rightly; nothing
    /// of other trials. In a row every letter is an answer of its own.
    #[must_use]
    pub fn namings(&self) -> Vec<(OptotypePart, bool)> {
        let shown = self.planned.presentation.optotypes().copied();
        match &self.outcome {
            Outcome::Chosen { facing, .. } => shown
                .take(1)
                .map(|part| (part, part.symbol == Symbol::Facing(*facing)))
                .collect(),
            Outcome::Named { letters, .. } => shown
                .zip(letters.chars())
                .map(|(part, named)| {
                    let letter = part.symbol.letter().map(Letter::char);
                    (part, letter == Some(named))
                })
                .collect(),
            Outcome::Yes { .. }
            | Outcome::No
            | Outcome::Early
            | Outcome::Interval { .. }
            | Outcome::Sees { .. } => Vec::new(),
        }
    }

    /// Whether a choice trial with one optotype was answered rightly.
    #[must_use]
    pub fn right(&self) -> Option<bool> {
        match self.namings()[..] {
            [(_, right)] => Some(right),
            _ => None,
        }
    }

    /// How long after an optotype appeared the answer came, s; none if the examiner entered it.
    #[must_use]
    pub fn answered_after_s(&self) -> Option<f64> {
        match self.outcome {
            Outcome::Chosen { after_s, .. }
            | Outcome::Interval { after_s, .. }
            | Outcome::Named { after_s, .. } => after_s,
            Outcome::Yes { .. } | Outcome::No | Outcome::Early | Outcome::Sees { .. } => None,
        }
    }

    /// What was shown by hand, and whether it was seen.
    #[must_use]
    pub fn by_hand(&self) -> Option<(&HandPart, bool)> {
        match self.outcome {
            Outcome::Sees { sees } => Some((self.planned.presentation.by_hand()?, sees)),
            _ => None,
        }
    }

    /// Why it was made.
    #[must_use]
    pub fn purpose(&self) -> Purpose {
        self.planned.purpose
    }
}

/// A presentation that has been planned and is not settled yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    /// As it was decided on.
    pub planned: Planned,
    /// When it was decided on.
    pub planned_at: Moment,
    /// When it began, once it has arrived; a choice then still waits for its answer.
    pub began: Option<Moment>,
    pub(super) presses: Vec<(Moment, WhoPressed)>,
}

/// A presentation that did not arrive whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Void {
    /// As it was decided on.
    pub planned: Planned,
    /// Why it did not arrive.
    pub reason: String,
}

/// What a press was that answered nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PressKind {
    /// After the window of this presentation and before the next could be heard.
    Late(u32),
    /// Before this presentation could be heard, and no late answer to the one before.
    Early(u32),
    /// While nothing was presented and nothing was left to answer.
    Gap,
}

/// A press that answered nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Press {
    /// When.
    pub at: Moment,
    /// What it was.
    pub kind: PressKind,
}
