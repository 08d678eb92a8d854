//! Hear: the audiogram as it grows, and the examiner's hands on it.

use super::figure::{self, Audiogram};
use super::keys::{Action, KeyMap};
use super::parts::{self, heading, key_button, remark};
use super::session::{Command, Session};
use super::style::{self, STEP, Theme, type_size};
use super::words::{self, hear as say};
use crate::calibration::EarphoneProfile;
use crate::finding::estimated;
use crate::finding::masking::{self, Need};
use crate::finding::{bounds, exposure, masker_bounds, series_reading_db};
use crate::journal::{PersonKind, Record, Section};
use crate::procedure::{HandNoise, HandRequest};
use crate::quantity::{Ear, Hz, Level, Scale};
use crate::report::exposure_sentence;
use eframe::egui::{self, CollapsingHeader, RichText, Ui};

/// Where the usual frequencies end.
const USUAL_TO: Hz = Hz(8000.0);

/// What the examiner has set by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The level, dB on the set-up's scale.
    pub level_db: f64,
    /// The noise at the other ear, dB effective masking level; none: not masked.
    pub masker_db: Option<f64>,
    /// Whether it reaches beyond 8 kHz, where the earphone does.
    pub extended: bool,
}

impl Default for Dial {
    fn default() -> Dial {
        Dial {
            ear: Ear::Right,
            hz: Hz(1000.0),
            level_db: 40.0,
            masker_db: None,
            extended: false,
        }
    }
}

impl Dial {
    /// Where a visit's first tone would start.
    #[must_use]
    pub fn of(record: &Record) -> Dial {
        let plan = record.opening.plan.hearing.as_ref();
        plan.map_or_else(Dial::default, |plan| Dial {
            ear: plan.ears.first().copied().unwrap_or(Ear::Right),
            hz: plan.hz.first().copied().unwrap_or(Hz(1000.0)),
            level_db: plan.start_db_on(
                record
                    .opening
                    .set_up
                    .earphone
                    .as_ref()
                    .map_or(Scale::DbHl, EarphoneProfile::scale),
            ),
            masker_db: None,
            extended: plan.hz.iter().any(|hz| *hz > USUAL_TO),
        })
    }

    /// Turns it by an action; what the set-up cannot present cannot be set.
    pub fn turn(&mut self, action: Action, record: &Record) {
        let Some(earphone) = &record.opening.set_up.earphone else {
            return;
        };
        let mut all = earphone.hz();
        all.retain(|hz| self.extended || *hz <= USUAL_TO);
        let at = all.iter().position(|hz| *hz == self.hz);
        let beside = |step: isize| {
            let to = at?.checked_add_signed(step)?;
            all.get(to).copied()
        };
        match action {
            Action::Louder => self.level_db += 5.0,
            Action::Softer => self.level_db -= 5.0,
            Action::Lower => self.hz = beside(-1).unwrap_or(self.hz),
            Action::Higher => self.hz = beside(1).unwrap_or(self.hz),
            Action::OtherEar => {
                self.ear = self.ear.other();
                self.masker_db = None;
            }
            Action::Noise => {
                let fresh = || first_noise_db(record, self.ear, self.hz);
                self.masker_db = self.masker_db.is_none().then(fresh);
            }
            Action::NoiseLouder => self.masker_db = self.masker_db.map(|db| db + 5.0),
            Action::NoiseSofter => self.masker_db = self.masker_db.map(|db| db - 5.0),
            _ => {}
        }
        self.masker_db = self
            .masker_db
            .zip(masker_bounds(record, self.ear.other(), self.hz))
            .map(|(masker_db, noise)| masker_db.min(noise.max_db).max(noise.min_db));
        if let Some(bounds) = bounds(record, self.ear, self.hz) {
            self.level_db = self.level_db.clamp(bounds.min_db, bounds.max_db);
        }
    }

    /// Lets it reach beyond 8 kHz, or no more.
    pub fn reach(&mut self, extended: bool) {
        self.extended = extended;
        if !extended && self.hz > USUAL_TO {
            self.hz = USUAL_TO;
        }
    }

    /// The tone that it shows.
    #[must_use]
    pub fn request(&self) -> HandRequest {
        HandRequest::Tone {
            ear: self.ear,
            hz: self.hz,
            level_db: self.level_db,
            masker_db: self.masker_db,
        }
    }

    /// A silence like its tone.
    #[must_use]
    pub fn silence(&self) -> HandRequest {
        let noise = self.masker_db.map(|level_db| HandNoise {
            ear: self.ear.other(),
            hz: self.hz,
            level_db,
        });
        HandRequest::Silent { noise }
    }
}

/// Where noise by hand begins: as the plateau method would begin, or softly where nothing is known
/// of the other ear.
fn first_noise_db(record: &Record, ear: Ear, hz: Hz) -> f64 {
    let above_db = record
        .opening
        .plan
        .hearing
        .as_ref()
        .map_or(10.0, |plan| plan.plateau.start_above_db);
    let other_db = series_reading_db(record, ear.other(), hz);
    other_db.map_or(30.0, |db| db + above_db)
}

/// Whether a visit is under way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// It is.
    UnderWay,
    /// A pause is on.
    Paused,
    /// It is over, and nothing can be done any more.
    Over,
}

/// Who presents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presents {
    /// The procedure; the examiner may take over.
    Procedure,
    /// The examiner's hand; the procedure may.
    Hand,
    /// The hand of somebody who practises: nothing is done for them, and nothing told that they are to find.
    OnlyHand,
}

/// What the page shows besides the figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// The dial in words: frequency, and level with its unit.
    pub dial: [String; 2],
    /// Its ear.
    pub ear: Ear,
    /// Whether it reaches beyond 8 kHz; none where the earphone does not.
    pub extended: Option<bool>,
    /// The noise at the other ear, in words.
    pub noise: Option<String>,
    /// What is to be known about masking where the dial stands.
    pub masking: String,
    /// How much sound each ear got so far.
    pub exposure: Option<String>,
    /// Who presents.
    pub presents: Presents,
    /// Whether it estimates all frequencies together.
    pub estimates: bool,
    /// Whether a presentation may be asked for.
    pub idle: bool,
    /// Whether the visit is under way.
    pub stage: Stage,
    /// The ears that may still be ended.
    pub open_ears: Vec<Ear>,
}

impl Page {
    /// Of a session.
    #[must_use]
    pub fn of(session: &Session, dial: &Dial) -> Page {
        let record = session.record();
        let level = record.opening.set_up.earphone.as_ref().map_or_else(
            || format!("{} dB", dial.level_db),
            |earphone| words::level(Level::new(earphone.scale(), dial.level_db)),
        );
        let earphone = record.opening.set_up.earphone.as_ref();
        let beyond = earphone.is_some_and(|one| one.hz().iter().any(|hz| *hz > USUAL_TO));
        let planned = record.opening.plan.hearing.as_ref();
        let ears = planned.map_or(Vec::new(), |plan| plan.ears.clone());
        let open = |ear: &Ear| record.ended(Section::Ear(*ear)).is_none();
        let practised = matches!(record.opening.person, PersonKind::Practised(_));
        Page {
            dial: [words::hz(dial.hz), level],
            ear: dial.ear,
            extended: beyond.then_some(dial.extended),
            noise: dial.masker_db.map(|masker_db| {
                let scale = record
                    .opening
                    .set_up
                    .earphone
                    .as_ref()
                    .map_or(Scale::DbHl, EarphoneProfile::scale);
                words::noise(dial.ear.other(), Level::new(scale, masker_db))
            }),
            masking: if practised {
                String::new()
            } else {
                masking_state(record, dial)
            },
            exposure: exposure(record)
                .as_ref()
                .map(|one| words::first_upper(&words::said(&exposure_sentence(one)))),
            presents: match session.automatic() {
                _ if practised => Presents::OnlyHand,
                true => Presents::Procedure,
                false => Presents::Hand,
            },
            estimates: estimated::estimates(record),
            idle: record.open().is_none() && !record.paused() && !record.closed(),
            stage: match record {
                _ if record.closed() => Stage::Over,
                _ if record.paused() => Stage::Paused,
                _ => Stage::UnderWay,
            },
            open_ears: ears.into_iter().filter(open).collect(),
        }
    }
}

/// Whether the ear and frequency of the dial, or those that are presented, need masking, and how
/// far it has come.
fn masking_state(record: &Record, dial: &Dial) -> String {
    let open = record
        .open()
        .and_then(|open| open.planned.presentation.tones().next());
    let (ear, hz) = open.map_or((dial.ear, dial.hz), |tone| (tone.ear, tone.hz));
    let need = masking::need(record, ear, hz);
    let stand = match need {
        Need::Yes(ground) | Need::No(ground) => Some(masking::stand(record, ear, hz, ground)),
        Need::NothingAnswered | Need::OtherUnknown => None,
    };
    words::masking(ear, hz, need, stand)
}

/// What was done on the page.
pub enum Done {
    /// A command to the session.
    Command(Command),
    /// A turn of the dial.
    Turn(Action),
    /// The dial reaches beyond 8 kHz, or no more.
    Reach(bool),
}

/// Draws the page.
pub fn draw(
    ui: &mut Ui,
    theme: &Theme,
    page: &Page,
    audiogram: &Audiogram,
    keys: &KeyMap,
) -> Option<Done> {
    let done = parts::aside(ui, "hearing", 276.0, |ui| {
        // What is over can be looked at, and nothing else.
        ui.add_enabled_ui(page.stage != Stage::Over, |ui| {
            controls(ui, theme, page, keys)
        })
        .inner
    });
    style::sheet(theme).show(ui, |ui| {
        figure::show(ui, theme, audiogram, ui.available_size());
    });
    done
}

fn controls(ui: &mut Ui, theme: &Theme, page: &Page, keys: &KeyMap) -> Option<Done> {
    let mut done = None;
    let mut does = |pressed: bool, what: Done| {
        if pressed {
            done = Some(what);
        }
    };
    let mode = if page.presents == Presents::Procedure {
        say::TAKE_OVER
    } else {
        say::LET_PROCEDURE
    };
    if page.presents != Presents::OnlyHand {
        does(
            key_button(ui, &mode, keys.name(Action::Automatic), true),
            Done::Command(Command::ToggleAutomatic),
        );
    }
    if page.presents == Presents::Procedure {
        let other = if page.estimates {
            say::BY_ASCENTS
        } else {
            say::ALL_TOGETHER
        };
        does(
            key_button(ui, &other, keys.name(Action::Method), true),
            Done::Command(Command::ToggleMethod),
        );
    }
    does(
        key_button(ui, &say::MARK_HEARD, keys.name(Action::Mark), true),
        heard(),
    );
    let pause = if page.stage == Stage::Paused {
        say::CONTINUE
    } else {
        say::PAUSE
    };
    ui.columns(2, |columns| {
        let pair = [
            (pause, Action::Pause, Command::PauseOrContinue),
            (say::TAKE_BACK, Action::TakeBack, Command::TakeBack),
        ];
        for (ui, (text, action, command)) in columns.iter_mut().zip(pair) {
            let pressed = key_button(ui, &text, keys.name(action), true);
            does(pressed, Done::Command(command));
        }
    });
    let stop = egui::Button::new(RichText::new(say::SILENCE_NOW).color(theme.alert).strong())
        .shortcut_text(keys.name(Action::Stop))
        .min_size(egui::vec2(ui.available_width(), style::TARGET));
    does(ui.add(stop).clicked(), Done::Command(Command::Stop));
    done = by_hand(ui, theme, page, keys).or(done);
    if !page.masking.is_empty() {
        remark(ui, theme, &page.masking);
    }
    if let Some(exposure) = &page.exposure {
        remark(ui, theme, exposure);
    }
    let ears = page.open_ears.iter();
    let sections: Vec<_> = ears
        .map(|ear| (Section::Ear(*ear), words::ear(*ear)))
        .collect();
    done = parts::ends(ui, theme, &sections)
        .map(|(section, how)| Done::Command(Command::End { section, how }))
        .or(done);
    remark(ui, theme, &say::RANDOM_SILENCE);
    done
}

/// The examiner marks; the moment is set where the command is taken.
fn heard() -> Done {
    Done::Turn(Action::Mark)
}

/// The dial and what it presents.
fn by_hand(ui: &mut Ui, theme: &Theme, page: &Page, keys: &KeyMap) -> Option<Done> {
    let mut done = None;
    let mut does = |pressed: bool, what: Done| {
        if pressed {
            done = Some(what);
        }
    };
    ui.add_space(STEP);
    heading(ui, theme, &say::BY_HAND);
    let by_hand = page.presents != Presents::Procedure;
    ui.add_enabled_ui(by_hand, |ui| {
        ui.horizontal(|ui| {
            ui.label(
                RichText::new(words::ear(page.ear))
                    .size(type_size::LARGE)
                    .color(theme.ear(page.ear)),
            );
        });
        ui.label(
            RichText::new(format!("{}, {}", page.dial[0], page.dial[1])).size(type_size::LARGE),
        );
        for (left, right) in [
            ((Action::Softer, say::SOFTER), (Action::Louder, say::LOUDER)),
            ((Action::Lower, say::LOWER), (Action::Higher, say::HIGHER)),
        ] {
            ui.columns(2, |columns| {
                for (ui, (action, text)) in columns.iter_mut().zip([left, right]) {
                    does(
                        key_button(ui, &text, keys.name(action), by_hand),
                        Done::Turn(action),
                    );
                }
            });
        }
        if let Some(mut extended) = page.extended {
            CollapsingHeader::new("More").show(ui, |ui| {
                let changed = ui.checkbox(&mut extended, "9 to 16 kHz").changed();
                does(changed, Done::Reach(extended));
            });
        }
        let noise = if page.noise.is_some() {
            say::NO_NOISE
        } else {
            say::NOISE
        };
        ui.columns(2, |columns| {
            let pair = [(say::OTHER_EAR, Action::OtherEar), (noise, Action::Noise)];
            for (ui, (text, action)) in columns.iter_mut().zip(pair) {
                let pressed = key_button(ui, &text, keys.name(action), by_hand);
                does(pressed, Done::Turn(action));
            }
        });
        if let Some(noise) = &page.noise {
            ui.label(noise);
            ui.columns(2, |columns| {
                let pair = [
                    (say::NOISE_DOWN, Action::NoiseSofter),
                    (say::NOISE_UP, Action::NoiseLouder),
                ];
                for (ui, (text, action)) in columns.iter_mut().zip(pair) {
                    let pressed = key_button(ui, &text, keys.name(action), by_hand);
                    does(pressed, Done::Turn(action));
                }
            });
        }
        ui.columns(2, |columns| {
            let pair = [
                (say::TONE, Action::Tone, Done::Turn(Action::Tone)),
                (say::SILENCE, Action::Silence, Done::Turn(Action::Silence)),
            ];
            for (ui, (text, action, what)) in columns.iter_mut().zip(pair) {
                let pressed = key_button(ui, &text, keys.name(action), by_hand && page.idle);
                does(pressed, what);
            }
        });
    });
    done
}
