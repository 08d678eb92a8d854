//! What the person told of their eyes.

use crate::quantity::Eye;
use serde::{Deserialize, Serialize};

/// What a person is asked about their eyes.
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
pub enum EyeHistory {
    /// Sight was lost within hours or days.
    SuddenLoss,
    /// Sight was lost and came back.
    TransientLoss,
    /// Flashes of light.
    Flashes,
    /// Floaters, new or many more.
    Floaters,
    /// A curtain or shadow over a part of the field.
    Curtain,
    /// A part of the field is missing, newly.
    FieldLoss,
    /// A red eye that hurts.
    PainfulRedEye,
    /// Pain on moving the eye.
    PainOnMovement,
    /// Pain of jaw or scalp, or a new headache; asked from 50 years on.
    JawOrScalpPain,
    /// Two pictures.
    DoubleVision,
    /// A blow, a splinter or a chemical.
    Trauma,
    /// Straight lines look bent.
    Distortion,
    /// A white pupil.
    WhitePupil,
    /// Coloured rings around lights, with nausea.
    Haloes,
}

impl EyeHistory {
    /// All of them, in the order in which they are asked.
    pub const ALL: [EyeHistory; 14] = [
        EyeHistory::SuddenLoss,
        EyeHistory::TransientLoss,
        EyeHistory::Flashes,
        EyeHistory::Floaters,
        EyeHistory::Curtain,
        EyeHistory::FieldLoss,
        EyeHistory::PainfulRedEye,
        EyeHistory::PainOnMovement,
        EyeHistory::JawOrScalpPain,
        EyeHistory::DoubleVision,
        EyeHistory::Trauma,
        EyeHistory::Distortion,
        EyeHistory::WhitePupil,
        EyeHistory::Haloes,
    ];

    /// As a person is asked.
    #[must_use]
    pub fn question(self) -> &'static str {
        match self {
            EyeHistory::SuddenLoss => "Has your sight become worse within hours or days?",
            EyeHistory::TransientLoss => "Was your sight gone for a while, and came back?",
            EyeHistory::Flashes => "Do you see flashes of light?",
            EyeHistory::Floaters => "Do you see new specks that float, or many more than before?",
            EyeHistory::Curtain => "Is there a curtain or a shadow over a part of what you see?",
            EyeHistory::FieldLoss => "Is a part of what you see missing, newly?",
            EyeHistory::PainfulRedEye => "Is an eye red and does it hurt?",
            EyeHistory::PainOnMovement => "Does it hurt to move an eye?",
            EyeHistory::JawOrScalpPain => {
                "Does your jaw or scalp hurt, or have you a new headache? (from 50 years on)"
            }
            EyeHistory::DoubleVision => "Do you see things double?",
            EyeHistory::Trauma => "Has a blow, a splinter or a chemical reached an eye?",
            EyeHistory::Distortion => "Do straight lines look bent?",
            EyeHistory::WhitePupil => "Has anyone seen a white pupil, also in a photograph?",
            EyeHistory::Haloes => "Do you see coloured rings around lights, and feel sick?",
        }
    }
}

/// What was answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ToldAnswer {
    /// It is so.
    Yes,
    /// It is not.
    No,
    /// The person does not know.
    Unknown,
}

/// One answer about the eyes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Told {
    /// What was asked.
    pub about: EyeHistory,
    /// What was answered.
    pub answer: ToldAnswer,
    /// Which eye, where the person told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eye: Option<Eye>,
    /// In the person's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
}
