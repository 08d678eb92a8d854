//! The bench's listening place: every signal of the program at either ear, for the look with one's own
//! ears that begins a day. Never loud, since nobody confirms anything here.

use super::parts::{choices, field, remark, row};
use super::style::{self, Theme, type_size};
use super::words;
use crate::calibration::EarphoneProfile;
use crate::errand::ToneWish;
use crate::quantity::{Ear, Hz, Level};
use crate::stimulus::{Signal, Swing};
use eframe::egui::{Button, CollapsingHeader, RichText, Ui};

/// How long it sounds, s.
pub(super) const SOUNDS_S: f64 = 4.0;
/// How much louder or softer a press makes it, dB.
const STEP_DB: f64 = 5.0;
/// Where the usual frequencies end.
const USUAL_TO: Hz = Hz(8000.0);

/// What the other ear gets at the same time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OtherEar {
    /// Nothing.
    Silence,
    /// The same tone, in step.
    Same,
    /// Noise of this kind.
    Noise(Signal),
}

/// What is listened to.
#[derive(Debug, Clone, PartialEq)]
pub struct Sounds {
    /// The ear.
    pub ear: Ear,
    /// A tone or a noise.
    pub kind: Signal,
    /// The frequency, or the middle of the noise.
    pub hz: Hz,
    /// The level, dB on the profile's scale.
    pub level_db: f64,
    /// What the other ear gets.
    pub other: OtherEar,
    /// Its level.
    pub other_db: f64,
    /// How a warble swings, as typed: how often a second, and by how many percent.
    pub swing: [String; 2],
}

impl Default for Sounds {
    fn default() -> Sounds {
        let Swing {
            rate_hz,
            deviation_percent,
        } = Swing::USUAL;
        Sounds {
            ear: Ear::Right,
            kind: Signal::Steady,
            hz: Hz(1000.0),
            level_db: 30.0,
            other: OtherEar::Silence,
            other_db: 30.0,
            swing: [rate_hz.to_string(), deviation_percent.to_string()],
        }
    }
}

impl Sounds {
    /// What is wanted.
    ///
    /// # Errors
    /// A swing that is no number.
    pub fn wish(&self) -> Result<ToneWish, String> {
        let kind = match self.kind {
            Signal::Warble => self.warble()?,
            kind => kind,
        };
        Ok(ToneWish {
            ear: self.ear,
            hz: self.hz,
            level_db: self.level_db,
            kind,
            seconds: SOUNDS_S,
            rate_hz: None,
            other_ear_level_db: (self.other == OtherEar::Same).then_some(self.other_db),
            mask_level_db: matches!(self.other, OtherEar::Noise(_)).then_some(self.other_db),
            mask_kind: match self.other {
                OtherEar::Noise(kind) => kind,
                OtherEar::Silence | OtherEar::Same => Signal::NarrowBandNoise,
            },
        })
    }

    fn warble(&self) -> Result<Signal, String> {
        let [rate_hz, deviation_percent] = ["Swings a second", "Swing"].map(str::to_owned);
        let rate_hz = super::bench::number(&self.swing[0], &rate_hz)?;
        let deviation_percent = super::bench::number(&self.swing[1], &deviation_percent)?;
        Ok(Signal::WarbleBy(Swing {
            rate_hz,
            deviation_percent,
        }))
    }

    /// Holds the levels to what an earphone gives here and never loud; what a cap forbids besides is
    /// said when it is played.
    fn hold(&mut self, earphone: &EarphoneProfile) {
        for (ear, db) in [
            (self.ear, &mut self.level_db),
            (self.ear.other(), &mut self.other_db),
        ] {
            let lowest = earphone.lowest_level(ear, self.hz).map(Level::db);
            let loudest = earphone.loud_db(ear, self.hz);
            let most = earphone.max_level(ear, self.hz).map(Level::db);
            if let (Some(lowest), Some(loudest), Some(most)) = (lowest, loudest, most) {
                *db = db.min(loudest).min(most).max(lowest.ceil());
            }
        }
    }
}

/// Whether it is to be played.
pub(super) fn draw(
    ui: &mut Ui,
    theme: &Theme,
    sounds: &mut Sounds,
    earphone: Option<&EarphoneProfile>,
    playing: bool,
) -> bool {
    let mut plays = false;
    let Some(earphone) = earphone else {
        remark(ui, theme, "An output and a profile first.");
        return false;
    };
    sounds.hold(earphone);
    row(ui, theme, "Ear", |ui| {
        let ears = Ear::BOTH.map(|ear| (ear, words::ear(ear)));
        choices(ui, &ears, &mut sounds.ear);
    });
    row(ui, theme, "Sound", |ui| {
        let kinds = [
            (Signal::Steady, "steady tone"),
            (Signal::Pulsed, "pulsed"),
            (Signal::Warble, "warble"),
            (Signal::NarrowBandNoise, "narrow-band noise"),
            (Signal::WhiteNoise, "white noise"),
            (Signal::SpeechNoise, "speech-weighted noise"),
        ];
        choices(ui, &kinds, &mut sounds.kind);
        frequencies(ui, sounds, earphone, |hz| hz <= USUAL_TO);
        level(ui, earphone, "", &mut sounds.level_db);
        let more = CollapsingHeader::new("More").id_salt("more sounds");
        more.show(ui, |ui| {
            if earphone.hz().iter().any(|hz| *hz > USUAL_TO) {
                frequencies(ui, sounds, earphone, |hz| hz > USUAL_TO);
            } else {
                remark(ui, theme, "This profile has no reference above 8 kHz.");
            }
            ui.horizontal(|ui| {
                let [rate, percent] = &mut sounds.swing;
                field(ui, "Swings a second", "a second", 72.0, rate);
                field(ui, "Swing", "%", 72.0, percent);
                remark(
                    ui,
                    theme,
                    "how a warble swings: 4 to 20 a second, 2.5 to 12.5 %",
                );
            });
        });
    });
    row(ui, theme, "Other ear", |ui| {
        let others = [
            (OtherEar::Silence, "silence"),
            (OtherEar::Same, "the same, in step"),
            (
                OtherEar::Noise(Signal::NarrowBandNoise),
                "narrow-band noise",
            ),
            (OtherEar::Noise(Signal::WhiteNoise), "white noise"),
            (
                OtherEar::Noise(Signal::SpeechNoise),
                "speech-weighted noise",
            ),
        ];
        choices(ui, &others, &mut sounds.other);
        if sounds.other != OtherEar::Silence {
            level(ui, earphone, "Other ear: ", &mut sounds.other_db);
        }
    });
    row(ui, theme, "", |ui| {
        plays = ui
            .add_enabled(!playing, style::primary(theme, "Play it"))
            .clicked();
        remark(
            ui,
            theme,
            "Every day, with your own ears, 10 to 15 dB over what you hear, every tone at both sides: no hum, \
             no click, nothing distorted, nothing at the wrong side (ISO 8253-1, stage A; from memory).",
        );
    });
    plays
}

fn frequencies(
    ui: &mut Ui,
    sounds: &mut Sounds,
    earphone: &EarphoneProfile,
    shown: impl Fn(Hz) -> bool,
) {
    let all: Vec<(Hz, String)> = earphone
        .hz()
        .into_iter()
        .filter(|hz| shown(*hz))
        .map(|hz| (hz, hz.to_string()))
        .collect();
    let all: Vec<(Hz, &str)> = all.iter().map(|(hz, text)| (*hz, text.as_str())).collect();
    choices(ui, &all, &mut sounds.hz);
}

/// A level with its two buttons; `whose` goes before their names.
fn level(ui: &mut Ui, earphone: &EarphoneProfile, whose: &str, db: &mut f64) {
    ui.horizontal(|ui| {
        for (name, step_db) in [("softer by 5 dB", -STEP_DB), ("louder by 5 dB", STEP_DB)] {
            let name = words::first_upper(&format!("{whose}{name}"));
            if ui.add(Button::new(name)).clicked() {
                *db += step_db;
            }
        }
        let level = words::level(Level::new(earphone.scale(), *db));
        ui.label(RichText::new(level).size(type_size::LARGE));
    });
}
