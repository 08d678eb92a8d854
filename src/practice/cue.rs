//! The cues for referral that a trainee can name, each with the criterion that it stands for.

use crate::person::Case;
use crate::quantity::{Ear, Hz};
use serde::{Deserialize, Serialize};

/// A cue for referral.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cue {
    /// The ears differ.
    Asymmetry,
    /// A notch at high frequencies.
    Notch,
    /// A loss that came within days.
    SuddenLoss,
    /// The better ear hears less than most.
    PoorHearing,
    /// The eyes differ.
    EyesApart,
    /// A pinhole helps.
    PinholeGain,
    /// Less than half of what most see.
    BelowHalf,
    /// A part of a field is missing or narrow.
    FieldLoss,
}

impl Cue {
    /// All of them.
    pub const ALL: [Cue; 8] = [
        Cue::Asymmetry,
        Cue::Notch,
        Cue::SuddenLoss,
        Cue::PoorHearing,
        Cue::EyesApart,
        Cue::PinholeGain,
        Cue::BelowHalf,
        Cue::FieldLoss,
    ];

    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Cue::Asymmetry => "asymmetry",
            Cue::Notch => "notch",
            Cue::SuddenLoss => "sudden_loss",
            Cue::PoorHearing => "poor_hearing",
            Cue::EyesApart => "eyes_apart",
            Cue::PinholeGain => "pinhole_gain",
            Cue::BelowHalf => "below_half",
            Cue::FieldLoss => "field_loss",
        }
    }

    /// The cue of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Cue> {
        Cue::ALL.into_iter().find(|cue| cue.name() == name)
    }

    /// In words, with the criterion.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Cue::Asymmetry => "15 dB or more between the ears at two adjacent octaves",
            Cue::Notch => "a notch at 3 to 6 kHz",
            Cue::SuddenLoss => "30 dB or more at three frequencies, come within 72 hours",
            Cue::PoorHearing => {
                "the better ear's average of 0.5, 1, 2 and 4 kHz is 35 dB HL or more"
            }
            Cue::EyesApart => "two lines or more between the eyes",
            Cue::PinholeGain => "two lines or more better through a pinhole",
            Cue::BelowHalf => "worse than 6/12 in the better eye, with the correction worn",
            Cue::FieldLoss => "a field that is narrow or has a part missing",
        }
    }

    /// Where the criterion stands.
    #[must_use]
    pub fn source(self) -> &'static str {
        match self {
            Cue::Asymmetry => "NICE NG98 (from memory)",
            Cue::Notch => {
                "10 dB poorer at 3, 4 or 6 kHz than at 1 or 2 and at 6 or 8 kHz (Coles 2000, from memory)"
            }
            Cue::SuddenLoss => "AAO-HNS guideline on sudden hearing loss, 2019",
            Cue::PoorHearing => {
                "WHO, World report on hearing, 2021, table 1.3: moderate from 35 dB"
            }
            Cue::EyesApart | Cue::PinholeGain => "two lines, common practice, no source",
            Cue::BelowHalf => "WHO/ICD-11 categories of vision impairment, presenting acuity",
            Cue::FieldLoss => "common practice, no source",
        }
    }

    /// Whether the truth of a case meets the criterion by its figures; what depends on a history is
    /// not among them.
    #[must_use]
    pub fn met_by(self, case: &Case) -> bool {
        let hearing = case.hearing.as_ref();
        let at = |ear, hz| hearing.map_or(0.0, |one| one.midpoint_db(ear, Hz(hz)));
        match self {
            Cue::Asymmetry => {
                let gap = |hz| at(Ear::Right, hz) - at(Ear::Left, hz);
                let gaps = [500.0, 1000.0, 2000.0, 4000.0, 8000.0].map(gap);
                gaps.windows(2).any(|pair| {
                    pair[0].abs() >= 15.0 && pair[1].abs() >= 15.0 && pair[0] * pair[1] > 0.0
                })
            }
            Cue::Notch => Ear::BOTH.into_iter().any(|ear| {
                let low = at(ear, 1000.0).min(at(ear, 2000.0));
                let dips = |hz: f64, high: f64| at(ear, hz) - low.max(high) >= 10.0;
                let best_above_4 = at(ear, 6000.0).min(at(ear, 8000.0));
                dips(3000.0, best_above_4)
                    || dips(4000.0, best_above_4)
                    || dips(6000.0, at(ear, 8000.0))
            }),
            Cue::PoorHearing => {
                let average = |ear| {
                    [500.0, 1000.0, 2000.0, 4000.0]
                        .map(|hz| at(ear, hz))
                        .iter()
                        .sum::<f64>()
                        / 4.0
                };
                average(Ear::Right).min(average(Ear::Left)) >= 35.0
            }
            Cue::EyesApart => case
                .sight
                .is_some_and(|sight| (sight.right - sight.left).abs() >= 0.2),
            Cue::PinholeGain => case.sight.is_some_and(|sight| sight.pinhole_gain >= 0.2),
            Cue::BelowHalf => case
                .sight
                .is_some_and(|sight| sight.right.min(sight.left) > 0.301),
            Cue::SuddenLoss | Cue::FieldLoss => false,
        }
    }
}
