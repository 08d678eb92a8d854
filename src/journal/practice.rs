//! Practice in the journal: what the trainee says and concludes, and, after the end, who the
//! simulated person was. Until then the journal holds only a seal of it.

use super::event::{Body, PersonKind};
use super::record::OutOfPlace;
use crate::quantity::{Ear, Eye, Hz, Moment};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// What a trainee practises on, as the opening names it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Practised {
    /// The exercise's name; it tells nothing of the truth.
    pub exercise: String,
    /// SHA-256 of the exercise's text, in hexadecimal.
    pub seal: String,
    /// Who practises: a code or a name, as the class wishes it.
    pub trainee: String,
    /// The class set that it belongs to, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<String>,
}

impl Practised {
    /// The seal of an exercise's text.
    #[must_use]
    pub fn seal_of(text: &str) -> String {
        let mut hex = String::with_capacity(64);
        for byte in Sha256::digest(text.as_bytes()) {
            let _ = write!(hex, "{byte:02x}");
        }
        hex
    }
}

/// Something the examiner says or does before and between presentations.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Phrase {
    /// Listens to both earphones, looks at the date of their calibration, and for noise in the room.
    ListensToEarphones,
    /// Makes sure who it is, says what is done, asks whether it may be.
    Introduces,
    /// Asks which ear or eye is the better one.
    AsksWhichIsBetter,
    /// Asks what has happened before: ringing, noise, pain, discharge, dizziness, sudden change.
    AsksHistory,
    /// Looks into both ears.
    LooksIntoEars,
    /// Asks for and notes the correction that is worn.
    AsksForGlasses,
    /// Says what is to be done: answer also the faintest; guess also the smallest.
    Instructs,
    /// Says it again, because the answers do not fit what was asked.
    InstructsAgain,
    /// Asks for a guess where the person would say 'I cannot'.
    AsksToGuess,
    /// Says something neutral that fits right and wrong answers alike.
    SaysThanks,
    /// Asks whether it was heard or seen just now: it tells that there was something.
    AsksWhetherPerceived,
    /// Praises a right answer: it tells which answers were right.
    Praises,
    /// Sees to it that the other eye is covered.
    ChecksCover,
    /// Sees to it that the person sits back at the distance.
    SitsBack,
    /// Offers a break.
    OffersBreak,
}

impl Phrase {
    /// All of them, in the order of a visit.
    pub const ALL: [Phrase; 15] = [
        Phrase::ListensToEarphones,
        Phrase::Introduces,
        Phrase::AsksWhichIsBetter,
        Phrase::AsksHistory,
        Phrase::LooksIntoEars,
        Phrase::AsksForGlasses,
        Phrase::Instructs,
        Phrase::InstructsAgain,
        Phrase::AsksToGuess,
        Phrase::SaysThanks,
        Phrase::AsksWhetherPerceived,
        Phrase::Praises,
        Phrase::ChecksCover,
        Phrase::SitsBack,
        Phrase::OffersBreak,
    ];

    /// In words, as a trainee chooses it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Phrase::ListensToEarphones => "listen to the earphones and the room",
            Phrase::Introduces => "make sure who it is, explain, ask for consent",
            Phrase::AsksWhichIsBetter => "ask which ear, which eye is the better one",
            Phrase::AsksHistory => "ask what has happened before",
            Phrase::LooksIntoEars => "look into both ears",
            Phrase::AsksForGlasses => "ask for glasses, note what is worn",
            Phrase::Instructs => "say what is to be done",
            Phrase::InstructsAgain => "say it again",
            Phrase::AsksToGuess => "ask for a guess",
            Phrase::SaysThanks => "thank, right or wrong alike",
            Phrase::AsksWhetherPerceived => "ask: was that one there?",
            Phrase::Praises => "praise a right answer",
            Phrase::ChecksCover => "see that the other eye is covered",
            Phrase::SitsBack => "see that they sit back",
            Phrase::OffersBreak => "offer a break",
        }
    }
}

/// How far the trainee finds that the answers hang together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Together {
    /// They fit one person who answers what they perceive.
    Fit,
    /// They do not.
    DoNotFit,
    /// It cannot be told from what was presented.
    CannotBeTold,
}

impl Together {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Together::Fit => "the answers fit one another",
            Together::DoNotFit => "the answers do not fit one another",
            Together::CannotBeTold => "it cannot be told from what was presented",
        }
    }
}

/// A threshold that the trainee wrote down.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct WrittenThreshold {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The threshold, dB on the set-up's scale; with `no_response` the highest level presented.
    pub level_db: f64,
    /// There was no response at that level.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub no_response: bool,
}

/// An acuity that the trainee wrote down.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct WrittenAcuity {
    /// The eye.
    pub eye: Eye,
    /// The acuity, logMAR.
    pub log_mar: f64,
}

/// What the trainee concludes, before anything is revealed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default, schemars::JsonSchema)]
pub struct Conclusion {
    /// Thresholds written down; where none is, the reading of the answers counts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub thresholds: Vec<WrittenThreshold>,
    /// Acuities written down.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub acuities: Vec<WrittenAcuity>,
    /// How far the answers of hearing hang together; none if nothing is said of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hearing: Option<Together>,
    /// The same of sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sight: Option<Together>,
    /// The names of the cues for referral that the trainee sees.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cues: Vec<String>,
    /// In the trainee's own words, as it would stand in the report.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

/// Something said, and after which presentation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Said {
    /// What.
    pub phrase: Phrase,
    /// The number that the next presentation gets.
    pub before_n: u32,
    /// When.
    pub at: Moment,
}

/// All of a record that belongs to practice.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Practice {
    said: Vec<Said>,
    coached: Vec<(u32, bool)>,
    conclusion: Option<Conclusion>,
    revealed: Option<String>,
}

impl Practice {
    /// What was said, in order.
    #[must_use]
    pub fn said(&self) -> &[Said] {
        &self.said
    }

    /// Whether a phrase was said at all.
    #[must_use]
    pub fn has_said(&self, phrase: Phrase) -> bool {
        self.said.iter().any(|said| said.phrase == phrase)
    }

    /// From which presentation on the helper was on or off.
    #[must_use]
    pub fn coached(&self) -> &[(u32, bool)] {
        &self.coached
    }

    /// Whether the helper was on for a presentation.
    #[must_use]
    pub fn coached_at(&self, n: u32) -> bool {
        let mut before = self.coached.iter().rev();
        before
            .find(|(from, _)| *from <= n)
            .is_some_and(|(_, on)| *on)
    }

    /// What the trainee concluded.
    #[must_use]
    pub fn conclusion(&self) -> Option<&Conclusion> {
        self.conclusion.as_ref()
    }

    /// The exercise's text, once it is revealed.
    #[must_use]
    pub fn revealed(&self) -> Option<&str> {
        self.revealed.as_deref()
    }

    /// Takes in an event of practice; none if it is another one.
    pub(super) fn fold(
        &mut self,
        body: &Body,
        at: Moment,
        before_n: u32,
        person: &PersonKind,
        closed: bool,
    ) -> Option<Result<(), OutOfPlace>> {
        match body {
            Body::Said { phrase } => self.said.push(Said {
                phrase: *phrase,
                before_n,
                at,
            }),
            Body::Coached { on } => self.coached.push((before_n, *on)),
            Body::Concluded(conclusion) => self.conclusion = Some((**conclusion).clone()),
            Body::Revealed { exercise } => return Some(self.reveal(exercise, person, closed)),
            _ => return None,
        }
        Some(Ok(()))
    }

    /// Takes in who it was, if that is what was sealed.
    fn reveal(&mut self, text: &str, person: &PersonKind, closed: bool) -> Result<(), OutOfPlace> {
        let PersonKind::Practised(practised) = person else {
            return Err(OutOfPlace::new("expected an exercise, this visit is none"));
        };
        if !closed {
            return Err(OutOfPlace::new("expected the end before it is revealed"));
        }
        if Practised::seal_of(text) != practised.seal {
            return Err(OutOfPlace::new("expected what was sealed at the beginning"));
        }
        self.revealed = Some(text.to_owned());
        Ok(())
    }
}
