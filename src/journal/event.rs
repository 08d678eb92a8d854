//! What can happen in a visit.

use super::asking::Asking;
use super::bedside::Drawn;
use super::hands::Acting;
use super::history::Told;
use super::outside::OutsideResults;
use super::plan::Plan;
use super::practice::{Conclusion, Phrase, Practised};
use super::sound::{Listened, OutputOpened, Played};
use super::worksheet::{Entry, Worksheet};
use crate::calibration::SetUp;
use crate::quantity::{Ear, Eye, Moment, Side};
use crate::stimulus::{Facing, Presentation, Reply, ToneSlot};
use serde::{Deserialize, Serialize};

/// The version of the journal's format.
pub const FORMAT: u32 = 1;

/// Who answers in this visit. The truth about a simulated person is never here.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PersonKind {
    /// A living person, known to the record by a code only.
    Living {
        /// The code.
        code: String,
    },
    /// A simulated person, known by its title.
    Simulated {
        /// The title of the case.
        title: String,
    },
    /// Another program at the end of a pipe.
    Piped,
    /// A simulated person that a trainee practises on: who it is stays sealed until the end.
    Practised(Practised),
}

impl PersonKind {
    /// Who answers, as the record knows them.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            PersonKind::Living { code } => code,
            PersonKind::Simulated { title } => title,
            PersonKind::Piped => "another program",
            PersonKind::Practised(practised) => &practised.exercise,
        }
    }
}

/// The first event: what a reader must know before the first presentation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Opening {
    /// Version of the journal's format.
    pub format: u32,
    /// Name and version of the program.
    pub program: String,
    /// Version of the mathematics that makes findings of events.
    pub mathematics: u32,
    /// The seed of all that the presenter draws.
    pub presenter_seed: u64,
    /// SHA-256 of the earphone's profile, if there is one.
    pub earphone_digest: Option<String>,
    /// SHA-256 of the screen's profile, if there is one.
    pub screen_digest: Option<String>,
    /// Who answers.
    pub person: PersonKind,
    /// The devices and the distance.
    pub set_up: SetUp,
    /// What is to be done.
    pub plan: Plan,
}

/// Why a presentation is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// To show the person what is asked, by tones.
    Familiarise,
    /// To show the person what is asked, by optotypes.
    Practise,
    /// To measure.
    Measure,
    /// To measure again what is known already.
    Repeat,
    /// To see whether one fixed level is heard.
    Screen,
    /// To measure with noise at the other ear.
    Masked,
    /// To see whether the person answers when there is no tone.
    Silent,
    /// To see whether levels that rise and levels that fall find the same threshold.
    Sweep,
    /// To see whether a tone in both ears is answered that is louder at the ear measured poorer.
    BothEars,
    /// To see whether what is not answered can be chosen between two intervals.
    ForcedChoice,
    /// To see whether loud or soft company changes the answer to a tone near the threshold.
    Company,
}

/// Who decided on a presentation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Proposer {
    /// The program's procedure.
    Procedure,
    /// The examiner, by hand.
    Examiner,
}

/// A presentation as decided, before it is delivered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Planned {
    /// Its number in the visit, from 1; void ones use up a number.
    pub n: u32,
    /// Why it is made.
    pub purpose: Purpose,
    /// Who decided on it.
    pub by: Proposer,
    /// What is presented.
    pub presentation: Presentation,
    /// In a detection task, where the tone lies or would lie.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<ToneSlot>,
    /// Of sight: which asking it belongs to, by its number; left out (0): what the plan asks of the
    /// eye first.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub asking: u32,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_zero(number: &u32) -> bool {
    *number == 0
}

/// An answer in words, where it is not a key press in a window.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// Whether the tone was answered.
    Heard(bool),
    /// To which side the optotype opens.
    Facing(Facing),
    /// The letters read, one character for each optotype in reading order: the letter named, in
    /// capitals; [`UNSAID`] where none was; [`MARKED_WRONG`] where only that it was wrong is known.
    Letters(String),
    /// Whether it was seen, or counted rightly, by hand.
    Sees(bool),
    /// In which interval it was: 1 or 2.
    Interval(u8),
    /// To a prompt of a series at the bedside.
    Reply(Reply),
}

/// Stands where no letter was named.
pub const UNSAID: char = '-';
/// Stands where the examiner marked a letter as wrong without noting which was named.
pub const MARKED_WRONG: char = '*';

/// Letters as they were typed or said, tidied to one character for each of `shown` optotypes:
/// capitals, no spaces or commas.
///
/// # Errors
/// Says what was expected.
pub fn named(typed: &str, shown: usize) -> Result<String, String> {
    let letters: String = typed
        .chars()
        .filter(|letter| !letter.is_whitespace() && *letter != ',')
        .map(|letter| letter.to_ascii_uppercase())
        .collect();
    let fits =
        |letter: char| letter.is_ascii_uppercase() || [UNSAID, MARKED_WRONG].contains(&letter);
    if letters.chars().count() == shown && letters.chars().all(fits) {
        return Ok(letters);
    }
    Err(format!(
        "expected a letter for each of {shown} optotypes, {UNSAID} where none was named, found {typed:?}"
    ))
}

/// Whose hand pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WhoPressed {
    /// The person, at a key of their own.
    Person,
    /// The examiner, marking what the person showed; tells nothing about reaction time.
    Examiner,
    /// A simulated person or another program. It says which presentation it answers, so nothing
    /// has to be guessed of its presses.
    Program,
}

/// A part of a visit that can be declined or stopped by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Section {
    /// Hearing with this ear.
    Ear(Ear),
    /// Sight with this eye.
    Eye(Eye),
    /// A series at the bedside, by its number.
    Series(u32),
}

/// How a section ended before it was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HowEnded {
    /// The person did not wish it.
    Declined,
    /// The examiner or the procedure stopped it.
    Stopped,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(tag = "kind", content = "body", rename_all = "snake_case")]
pub enum Body {
    /// The visit began.
    Opened(Box<Opening>),
    /// The visit went on after the program had ended.
    Resumed {
        /// The presentation that had been planned and is given again under its number.
        gives_again: Option<u32>,
    },
    /// The last line of the file had been cut off and was taken out.
    Repaired {
        /// What stood there.
        cut: String,
    },
    /// A presentation was decided on.
    Planned(Planned),
    /// A presentation arrived whole at ear or eye, and its answer window has closed.
    Arrived {
        /// Its number.
        n: u32,
        /// When its slot began, or when it appeared.
        began_s: Moment,
    },
    /// A presentation did not arrive whole; it never counts.
    Void {
        /// Its number.
        n: u32,
        /// Why.
        reason: String,
    },
    /// A key was pressed for 'I hear it', whenever that was.
    Pressed {
        /// When.
        at_s: Moment,
        /// By whom.
        who: WhoPressed,
    },
    /// The answer to a choice.
    Answered {
        /// Of which presentation.
        n: u32,
        /// What was answered.
        answer: Answer,
        /// How long after the optotype appeared, s; none if the examiner entered it.
        after_s: Option<f64>,
    },
    /// A trial was taken back by the examiner: it stays on record and does not count.
    Undone {
        /// Which.
        n: u32,
        /// Why.
        reason: String,
    },
    /// The answer of a trial was corrected by the examiner.
    Amended {
        /// Which.
        n: u32,
        /// What the answer was.
        answer: Answer,
        /// Why.
        reason: String,
    },
    /// The worksheet was laid out, before its first entry.
    Laid(Box<Worksheet>),
    /// Somebody stands ready to hold the person.
    Readied {
        /// For which item.
        item: String,
        /// On which side.
        side: Option<Side>,
    },
    /// A line of the worksheet was entered; it replaces what was entered there before.
    Entered(Entry),
    /// A series at the bedside was drawn, whole, before its first prompt. Its prompts take
    /// numbers of their own; they arrive, are answered and become void as presentations do.
    Drawn(Box<Drawn>),
    /// A section ended before it was done.
    Ended {
        /// Which.
        section: Section,
        /// How.
        how: HowEnded,
        /// Why.
        reason: String,
    },
    /// A section that was stopped is taken up again; practice begins afresh.
    TakenUp {
        /// Which.
        section: Section,
        /// Why.
        reason: String,
    },
    /// The examiner has enough of an asking: what was found stands, and no more of it is shown.
    Enough {
        /// The eye.
        eye: Eye,
        /// The number of the asking.
        asking: u32,
    },
    /// An eye is asked in one more way; it takes the next number after those of the plan.
    Asked(Box<Asking>),
    /// What the person told of their eyes; the latest answer to a question counts.
    Told(Told),
    /// From here on another procedure measures thresholds; what was answered before goes on counting.
    MeasuredBy {
        /// Its name, one of [`Procedure::NAMES`](super::Procedure::NAMES), not `screening`.
        procedure: String,
    },
    /// A sound output was opened.
    OutputOpened(OutputOpened),
    /// The examiner has listened first, because nobody knows how loud this earphone is.
    Listened(Listened),
    /// Sound that is no presentation reached the person.
    Played(Played),
    /// A pause began.
    Paused {
        /// Why.
        reason: String,
    },
    /// A pause ended.
    Continued {},
    /// From here on whoever this is acts, until the next one does.
    Acts(Acting),
    /// Results of somewhere else were entered by hand.
    Outside(Box<OutsideResults>),
    /// Something worth keeping, in the examiner's words.
    Noted {
        /// The words.
        text: String,
    },
    /// In practice: something was said to the person.
    Said {
        /// What.
        phrase: Phrase,
    },
    /// In practice: from here on the helper says what a guideline would do next, or does not.
    Coached {
        /// Whether it does.
        on: bool,
    },
    /// In practice: what the trainee concludes; the latest counts.
    Concluded(Box<Conclusion>),
    /// In practice, after the end: the exercise that was sealed.
    Revealed {
        /// Its text.
        exercise: String,
    },
    /// The visit is over.
    Closed {},
}

/// One line of the journal without its hash.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Event {
    /// From 1, without gaps.
    pub number: u64,
    /// Wall-clock time, RFC 3339, UTC.
    #[schemars(with = "String", extend("format" = "date-time"))]
    pub time: jiff::Timestamp,
    /// Seconds since the visit began, by a clock that never jumps.
    pub t_s: Moment,
    /// What happened.
    #[serde(flatten)]
    pub body: Body,
}
