//! What is said before anything is measured: who somebody is and how that was seen, what they agree to, why they come, who
//! is there, and what they tell of their ears. What was entered is noted at the beginning of the visit.

use super::parts::{choices, field, heading, remark};
use super::prepare_page::FIELD;
use super::settings_page::own_name;
use super::style::{STEP, Theme, type_size};
use super::words::{Text, conversation as say};
use crate::quantity::Ear;
use crate::report::words::Lang;
use eframe::egui::{CollapsingHeader, RichText, Ui};

/// What is asked of the ears. That a 'yes' to the urgent ones is not to wait: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EarHistory {
    /// Hearing that went within three days.
    SuddenChange,
    /// Pain.
    Pain,
    /// Discharge.
    Discharge,
    /// Dizziness.
    Dizziness,
    /// Ringing.
    Ringing,
    /// Noise in the last day.
    RecentNoise,
    /// Plain sounds that are too loud.
    SoundSensitivity,
    /// An implant or a hearing aid.
    ImplantOrAid,
}

impl EarHistory {
    /// All of them, the urgent ones first.
    pub const ALL: [EarHistory; 8] = [
        EarHistory::SuddenChange,
        EarHistory::Pain,
        EarHistory::Discharge,
        EarHistory::Dizziness,
        EarHistory::Ringing,
        EarHistory::RecentNoise,
        EarHistory::SoundSensitivity,
        EarHistory::ImplantOrAid,
    ];

    fn question(self) -> Text {
        match self {
            EarHistory::SuddenChange => say::SUDDEN_CHANGE,
            EarHistory::Pain => say::PAIN,
            EarHistory::Discharge => say::DISCHARGE,
            EarHistory::Dizziness => say::DIZZINESS,
            EarHistory::Ringing => say::RINGING,
            EarHistory::RecentNoise => say::RECENT_NOISE,
            EarHistory::SoundSensitivity => say::SOUND_SENSITIVITY,
            EarHistory::ImplantOrAid => say::IMPLANT_OR_AID,
        }
    }

    /// Whether a 'yes' is not to wait for a measurement.
    #[must_use]
    pub fn is_urgent(self) -> bool {
        matches!(
            self,
            EarHistory::SuddenChange
                | EarHistory::Pain
                | EarHistory::Discharge
                | EarHistory::Dizziness
        )
    }
}

/// What was said, as far as it was entered.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Conversation {
    /// How it was seen who this is.
    pub identity: String,
    /// Whether the person agrees, and knows that answers are held against each other.
    pub consent: bool,
    /// Why they come.
    pub question: String,
    /// Who else is there, an interpreter among them.
    pub present: String,
    /// Whether both ears were looked into.
    pub looked_into_ears: bool,
    /// Glasses or lenses that are worn now.
    pub glasses: String,
    /// Which ear is the better one, as told; `Some(None)`: alike.
    pub better_ear: Option<Option<Ear>>,
    /// What was told of the ears, in the order of [`EarHistory::ALL`].
    pub ears: [Option<bool>; EarHistory::ALL.len()],
}

impl Conversation {
    /// What was told that is not to wait.
    pub fn urgent(&self) -> impl Iterator<Item = EarHistory> + '_ {
        let told = EarHistory::ALL.into_iter().zip(self.ears);
        told.filter(|(about, told)| about.is_urgent() && *told == Some(true))
            .map(|(about, _)| about)
    }

    /// What is to be noted at the beginning of a visit whose person's window speaks `lang`.
    #[must_use]
    pub fn notes(&self, lang: Lang) -> Vec<String> {
        let mut notes = Vec::new();
        for (what, text) in [
            ("identity checked", &self.identity),
            ("question", &self.question),
            ("present", &self.present),
            ("glasses or lenses worn", &self.glasses),
        ] {
            let text = text.trim();
            if !text.is_empty() {
                notes.push(format!("{what}: {text}"));
            }
        }
        if self.consent {
            notes.push("consent given, also that answers are held against each other".into());
        }
        if self.looked_into_ears {
            notes.push("both ears were looked into".into());
        }
        if let Some(better) = self.better_ear {
            let better = better.map_or("alike".to_owned(), |ear| ear.to_string());
            notes.push(format!("better ear, as told: {better}"));
        }
        for (about, told) in EarHistory::ALL.into_iter().zip(self.ears) {
            if let Some(told) = told {
                let told = if told { "yes" } else { "no" };
                notes.push(format!("{} {told}", about.question().english()));
            }
        }
        notes.push(format!(
            "instructions of the person's window: those of {}, {}",
            crate::errand::PROGRAM,
            lang.tag()
        ));
        notes
    }
}

/// Draws what is to be said and entered, and in which language the person's window speaks.
pub(super) fn draw(ui: &mut Ui, theme: &Theme, said: &mut Conversation, lang: &mut Lang) {
    for about in said.urgent() {
        let text = say::REFER_NOW.fill(&[&about.question()]);
        ui.label(RichText::new(text).color(theme.alert));
    }
    CollapsingHeader::new(RichText::new(say::BEFORE_MEASURING).size(type_size::BODY))
        .id_salt("before measuring")
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                remark(ui, theme, &say::PERSONS_LANGUAGE);
                choices(ui, &Lang::ALL.map(|one| (one, own_name(one))), lang);
            });
            told(ui, theme, said);
        });
    CollapsingHeader::new(RichText::new(say::EARS_TOLD).size(type_size::BODY))
        .id_salt("ears told")
        .show(ui, |ui| told_of_ears(ui, theme, said));
}

fn told(ui: &mut Ui, theme: &Theme, said: &mut Conversation) {
    ui.checkbox(&mut said.consent, say::CONSENT);
    for (name, hint, text) in [
        (say::IDENTITY, say::IDENTITY_HINT, &mut said.identity),
        (say::QUESTION, say::QUESTION_HINT, &mut said.question),
        (say::PRESENT, say::PRESENT_HINT, &mut said.present),
        (say::GLASSES, say::GLASSES_HINT, &mut said.glasses),
    ] {
        ui.horizontal(|ui| {
            field(ui, &name, &hint, FIELD, text);
            remark(ui, theme, &name);
        });
    }
}

fn told_of_ears(ui: &mut Ui, theme: &Theme, said: &mut Conversation) {
    ui.checkbox(&mut said.looked_into_ears, say::LOOKED_INTO);
    heading(ui, theme, &say::BETTER_EAR);
    let better = [
        (None, &*say::NOT_ASKED),
        (Some(Some(Ear::Right)), &*say::RIGHT),
        (Some(Some(Ear::Left)), &*say::LEFT),
        (Some(None), &*say::ALIKE),
    ];
    choices(ui, &better, &mut said.better_ear);
    for (about, told) in EarHistory::ALL.into_iter().zip(&mut said.ears) {
        ui.add_space(STEP / 2.0);
        heading(ui, theme, &about.question());
        let answers = [
            (None, &*say::NOT_ASKED),
            (Some(true), &*say::YES),
            (Some(false), &*say::NO),
        ];
        ui.push_id(about as u8, |ui| choices(ui, &answers, told));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_entered_is_noted_and_what_is_urgent_is_told() {
        let mut said = Conversation::default();
        assert_eq!(
            said.notes(Lang::English).len(),
            1,
            "the version of the instructions"
        );
        said.consent = true;
        said.question = "  hears the winch badly ".into();
        said.better_ear = Some(None);
        said.ears[0] = Some(true);
        said.ears[4] = Some(true);
        said.ears[1] = Some(false);
        let urgent: Vec<EarHistory> = said.urgent().collect();
        assert_eq!(urgent, [EarHistory::SuddenChange]);
        let notes = said.notes(Lang::German);
        assert_eq!(notes.len(), 7, "{notes:?}");
        assert!(notes.contains(&"question: hears the winch badly".to_owned()));
        assert!(notes.contains(&"better ear, as told: alike".to_owned()));
        assert!(notes.iter().any(|one| one.ends_with("de")));
    }
}
