//! The output of a session: taken, lost, silenced.

use super::Session;
use crate::calibration::EarphoneProfile;
use crate::desk::deliver::Delivering;
use crate::desk::words;
use crate::journal::SoundNote;
use crate::station::{Loss, OutputFacts, SoundStation};
use crate::visit::Input;

/// The sound output and what it is doing.
pub(super) struct Sound {
    pub(super) station: Box<dyn SoundStation>,
    pub(super) free: bool,
    pub(super) lost: Option<Loss>,
}

impl Session {
    /// Takes an output that was opened, at the beginning or after one was lost. One that takes
    /// fewer bits than the profile was made for is not taken.
    pub fn give_sound(&mut self, mut station: Box<dyn SoundStation>) {
        let earphone = self.record().opening.set_up.earphone.as_ref();
        let bits = earphone.and_then(EarphoneProfile::depth_bits);
        if let Some(Err(error)) = bits.map(|bits| station.set_depth(bits)) {
            self.pause(&format!("The sound cannot be opened: {error}."), self.last);
            self.sound = Some(Sound {
                station,
                free: false,
                lost: Some(Loss::Changed),
            });
            return;
        }
        let first = self.record().outputs().first();
        let elsewhere = |facts: &OutputFacts| {
            first.is_some_and(|first| {
                first.device != facts.device || first.rate_hz != facts.frames_per_second
            })
        };
        if station.facts().as_ref().is_some_and(elsewhere) {
            self.pause(words::SOUND_CHANGED, self.last);
            self.sound = Some(Sound {
                station,
                free: false,
                lost: Some(Loss::Changed),
            });
            return;
        }
        self.message = None;
        if let Some(facts) = station.facts() {
            let opened = SoundNote::Output(facts.opened(bits));
            self.step(Input::Sound(opened), self.last);
        }
        self.sound = Some(Sound {
            station,
            free: true,
            lost: None,
        });
    }

    pub(super) fn loss(&self) -> Option<Loss> {
        self.sound.as_ref()?.lost
    }

    pub(super) fn silence(&mut self) {
        if let Some(sound) = &mut self.sound {
            sound.station.stop();
        }
        self.later.clear();
        self.gate.cleared();
        if !matches!(self.delivering, Delivering::Nothing) {
            self.delivering = Delivering::Nothing;
        }
    }
}
