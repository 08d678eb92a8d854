//! What a visit needs of the set-up beyond its profile: the way of the sound, the room, the daily
//! check, and, for a listening jury, who hears.

use super::parts::{choices, field, remark};
use super::prepare::FileField;
use super::prepare_page::FIELD;
use super::style::Theme;
use super::words::{prepare as say, said};
use crate::calibration::daily::Standing;
use crate::calibration::room::OVER_FOR_ONE_STEP;
use crate::calibration::{EarphoneProfile, Microphone, NoiseWatch, Room};
use crate::errand::{daily, room};
use crate::journal::About;
use crate::quantity::Sex;
use crate::station::route::{Matter, Route, RouteWatch, Weight, Word};
use eframe::egui::{RichText, Ui};
use jiff::civil::Date;
use std::path::Path;
use std::time::Duration;

/// So often the page is drawn anew while the system is asked.
const LOOK_AGAIN: Duration = Duration::from_millis(500);

/// What is asked and known of the surroundings.
#[derive(Debug, Clone, Default)]
pub struct Surroundings {
    /// The room, where it was measured.
    pub room: FileField<Room>,
    /// The microphone that listens.
    pub microphone: FileField<Microphone>,
    /// Whether noise makes a presentation void.
    pub watch: bool,
    /// A run of a listening jury with the sides swapped on purpose.
    pub swapped: bool,
    /// The person's age, as typed.
    pub age: String,
    /// The person's sex, as told.
    pub sex: Option<Sex>,
    /// What the system tells of the output, while it is chosen.
    pub route: Option<RouteWatch>,
    /// What is to be said of that.
    pub words: Vec<Word>,
    /// What it does not tell was looked after.
    pub looked_after: bool,
    /// How the profile stands.
    pub standing: Option<Standing>,
    /// The output and profile that this was found out for.
    known: Option<(String, String)>,
}

impl Surroundings {
    /// Finds out anew whatever hangs on the output and the profile, when they have changed.
    pub fn refresh(
        &mut self,
        output: Option<(&str, &str)>,
        profile: Option<&EarphoneProfile>,
        path: &str,
        today: Date,
    ) {
        self.room
            .refresh(|path| room::room_in(path).map_err(|error| error.to_string()));
        self.microphone.refresh(|path| {
            crate::errand::bench::microphone_in(path).map_err(|error| error.to_string())
        });
        let id = output.map_or(String::new(), |(id, _)| id.to_owned());
        let known = (id, path.to_owned());
        let as_before = self.known.as_ref() == Some(&known);
        if !as_before {
            self.known = Some(known);
            self.looked_after = false;
            self.route = output.map(|(id, name)| RouteWatch::of(id, name));
        }
        let at = profile.and_then(|one| one.record().output.as_ref()?.volume_percent);
        self.words = self.way().map_or(Vec::new(), |route| route.words(at));
        if as_before {
            return;
        }
        self.standing = profile
            .filter(|_| !path.is_empty())
            .and_then(|one| daily::daily_standing(one, Path::new(path), today).ok());
    }

    /// What the system told last of the way of the sound.
    #[must_use]
    pub fn way(&self) -> Option<Route> {
        self.route.as_ref()?.latest()
    }

    /// Asks the system and the log again.
    pub fn ask_again(&mut self) {
        self.known = None;
    }

    /// What is missing, of a living person whose hearing is tested.
    #[must_use]
    pub fn missing(&self) -> Vec<String> {
        let mut missing = Vec::new();
        if self.route.is_some() && self.words.is_empty() {
            missing.push("Sound: what the system tells of the output; it is being asked".into());
        }
        for word in &self.words {
            if word.weight == Weight::Refuse {
                missing.push(format!("Sound: {}", word.text));
            }
        }
        if !self.reminders().is_empty() && !self.looked_after {
            missing.push("Sound: look after what the system does not tell".into());
        }
        if let Some(error) = self.room.error() {
            missing.push(format!("Room: {error}"));
        }
        if self.watch && self.noise_watch().is_none() {
            missing.push("Room: its measurement and the microphone, to listen".into());
        }
        if let Some(Standing::Exceeded { on, listener, .. }) = &self.standing {
            missing.push(format!(
                "Earphone: the daily check of {on} ({listener}) lies beyond its limit"
            ));
        }
        missing
    }

    /// What a person has to look after.
    #[must_use]
    pub fn reminders(&self) -> Vec<&Word> {
        let open = |word: &&Word| word.weight == Weight::Remind;
        self.words.iter().filter(open).collect()
    }

    /// For the record: what the system told of the way of the sound, and what the examiner looked after.
    #[must_use]
    pub fn note(&self) -> Option<String> {
        let all = |reminds: bool| {
            let words = self.words.iter();
            let words = words.filter(|word| (word.weight == Weight::Remind) == reminds);
            words
                .map(|word| word.text.as_str())
                .collect::<Vec<_>>()
                .join(" ")
        };
        let told = all(false);
        let looked_after = if self.looked_after {
            all(true)
        } else {
            String::new()
        };
        let parts = [("told by the system", told), ("looked after", looked_after)];
        let parts = parts.iter().filter(|(_, text)| !text.is_empty());
        let parts: Vec<String> = parts
            .map(|(what, text)| format!("{what}: {text}"))
            .collect();
        (!parts.is_empty()).then(|| format!("the way of the sound; {}", parts.join(" ")))
    }

    /// How noise makes a presentation void, if it does.
    #[must_use]
    pub fn noise_watch(&self) -> Option<NoiseWatch> {
        let (room, microphone) = (self.room.value()?, self.microphone.value()?);
        self.watch.then(|| NoiseWatch {
            microphone: microphone.clone(),
            fit: room.record().fit,
            over_db: OVER_FOR_ONE_STEP,
        })
    }

    /// What the person told.
    #[must_use]
    pub fn about(&self) -> Option<About> {
        let age_years = self.age.trim().replace(',', ".").parse().ok();
        let age_years = age_years.filter(|age| (0.0..=130.0).contains(age));
        let told = age_years.is_some() || self.sex.is_some();
        told.then_some(About {
            age_years,
            sex: self.sex,
        })
    }

    /// Makes room for the next person.
    pub fn next(&mut self) {
        self.age.clear();
        self.sex = None;
        self.swapped = false;
        self.ask_again();
    }
}

/// Age and sex, as told; only comparisons with people of that age use them.
pub(super) fn about(ui: &mut Ui, around: &mut Surroundings) {
    field(ui, &say::AGE, &say::AGE_HINT, 56.0, &mut around.age);
    let sexes = [
        (None, &*say::SEX_NOT_TOLD),
        (Some(Sex::Female), &*say::FEMALE),
        (Some(Sex::Male), &*say::MALE),
    ];
    choices(ui, &sexes, &mut around.sex);
}

/// What the system tells of the way to the earphone, and what it does not.
pub(super) fn way(ui: &mut Ui, theme: &Theme, around: &mut Surroundings) {
    // The system's answer comes by itself, and may change.
    ui.ctx().request_repaint_after(LOOK_AGAIN);
    for word in &around.words {
        if matches!(word.weight, Weight::Warn | Weight::Refuse) {
            ui.label(RichText::new(said(&word.text)).color(theme.alert));
        } else if word.weight == Weight::Clear {
            remark(ui, theme, &said(&word.text));
        }
    }
    let reminders: Vec<String> = around
        .reminders()
        .iter()
        .map(|word| said(&word.text))
        .collect();
    if !reminders.is_empty() {
        remark(ui, theme, &reminders.join(" "));
        ui.checkbox(&mut around.looked_after, say::LOOKED_AFTER);
    }
    if around.words.len() < Matter::ALL.len() {
        let told = if around.route.is_some() {
            say::BEING_ASKED
        } else {
            say::OUTPUT_FIRST
        };
        remark(ui, theme, &told);
    }
}

/// How the profile stands today, in one line; the flag says that it asks for attention.
#[must_use]
pub fn standing(standing: &Standing) -> (String, bool) {
    match standing {
        Standing::NoListener => ("Daily check: no known listener has sat yet.".into(), false),
        Standing::Due { last, listener } => (
            format!("Daily check: due. Last held on {last}, by {listener}."),
            true,
        ),
        Standing::Held {
            listener,
            comparison,
        } => match comparison {
            Some(comparison) if comparison.shifted() => (
                format!(
                    "Daily check: held today by {listener}; all together moved by {:+.1} dB ± {:.1}: \
                     is the volume where it was?",
                    comparison.shift_db, comparison.u_shift_db
                ),
                true,
            ),
            _ => (format!("Daily check: held today by {listener}."), false),
        },
        Standing::Exceeded { on, listener, .. } => (
            format!(
                "Daily check: beyond its limit on {on}, by {listener}. Nobody is measured on this \
                 profile until the listener was tested again or it was calibrated anew."
            ),
            true,
        ),
    }
}

/// The room: its measurement, and whether noise makes a presentation void.
pub(super) fn room_row(ui: &mut Ui, theme: &Theme, around: &mut Surroundings) {
    field(
        ui,
        &say::ROOM,
        &say::ROOM_HINT,
        FIELD,
        &mut around.room.path,
    );
    match (around.room.value(), around.room.error()) {
        (Some(room), _) => {
            let lowest: Vec<String> = room
                .claims()
                .iter()
                .map(|claim| {
                    let told = claim
                        .lowest_db_hl
                        .map_or("?".into(), |level| format!("{:.0}", level.0));
                    format!("{}: {told}", claim.hz.0)
                })
                .collect();
            let place = &room.record().place;
            let text = say::ROOM_LOWEST.fill(&[place, &lowest.join(", ")]);
            remark(ui, theme, &text);
        }
        (None, Some(error)) => {
            ui.label(RichText::new(error).color(theme.alert));
        }
        (None, None) => remark(ui, theme, &say::ROOM_NONE),
    }
    if around.room.value().is_some() {
        ui.checkbox(&mut around.watch, say::NOISE_VOIDS);
        if around.watch {
            field(
                ui,
                &say::MICROPHONE,
                &say::MICROPHONE_HINT,
                FIELD,
                &mut around.microphone.path,
            );
            if let Some(error) = around.microphone.error() {
                ui.label(RichText::new(error).color(theme.alert));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn word(matter: Matter, weight: Weight) -> Word {
        Word {
            matter,
            weight,
            text: matter.reminder().into(),
        }
    }

    #[test]
    fn what_the_system_does_not_tell_is_ticked_and_what_it_refuses_is_missing() {
        let mut around = Surroundings {
            words: vec![
                word(Matter::Volume, Weight::Clear),
                word(Matter::Wireless, Weight::Warn),
            ],
            ..Surroundings::default()
        };
        assert!(around.missing().is_empty(), "a warning does not stop");
        around.words.push(word(Matter::MonoMix, Weight::Remind));
        assert_eq!(around.missing().len(), 1);
        around.looked_after = true;
        assert!(around.missing().is_empty());
        let note = around.note().unwrap();
        assert!(
            note.contains("told by the system: The system's volume stands"),
            "{note}"
        );
        assert!(
            note.ends_with("looked after: The system's mix to mono is off."),
            "{note}"
        );
        around.words.push(word(Matter::Spatial, Weight::Refuse));
        assert_eq!(
            around.missing(),
            ["Sound: Spatial and surround sound are off."]
        );
        around.watch = true;
        assert_eq!(around.missing().len(), 2, "nothing listens yet");
    }

    #[test]
    fn an_age_is_read_as_it_is_typed() {
        let mut around = Surroundings::default();
        assert_eq!(around.about(), None);
        around.age = " 23,5 ".into();
        assert_eq!(around.about().unwrap().age_years, Some(23.5));
        around.age = "old".into();
        around.sex = Some(Sex::Female);
        assert_eq!(around.about().unwrap().age_years, None);
    }
}
