//! A microphone listens while tones are presented: noise that could have hidden one, or been taken
//! for one, makes the presentation void.

use super::Session;
use crate::calibration::NoiseWatch;
use crate::journal::Planned;
use crate::quantity::{DbHl, Hz, Level};
use crate::station::recorder::{RecordError, Recorder};
use crate::visit::Input;

/// What listens, and what it has heard since the slot began.
pub(super) struct Listener {
    recorder: Box<dyn Recorder>,
    watch: NoiseWatch,
    heard: Vec<f32>,
    /// The tone before, by which a silent slot is judged (our choice): noise that would have hidden
    /// it may be taken for it.
    last: Option<(Hz, DbHl)>,
}

impl Session {
    /// Lets a recorder listen, if the set-up asks for it.
    pub fn listen_with(&mut self, recorder: Box<dyn Recorder>) {
        let watch = self.record().opening.set_up.watch.clone();
        self.listener = watch.map(|watch| Listener {
            recorder,
            watch,
            heard: Vec::new(),
            last: None,
        });
    }

    /// A slot begins: what was heard before is forgotten.
    pub(super) fn listen(&mut self) {
        self.hear_room();
        if let Some(listener) = &mut self.listener {
            listener.heard.clear();
        }
    }

    /// Takes what the microphone heard. What was lost cannot be judged, and is not.
    pub(super) fn hear_room(&mut self) {
        let Some(listener) = &mut self.listener else {
            return;
        };
        match listener.recorder.take(&mut listener.heard) {
            Ok(()) => {}
            Err(RecordError::Missed) => listener.heard.clear(),
            Err(RecordError::Ended) => {
                self.listener = None;
                let note = "the microphone is lost: nobody listens to the room any more";
                self.step(Input::Note(note.into()), self.last);
                self.message = Some(note.into());
            }
        }
    }

    /// Why a slot whose sound is over cannot count, if noise came into it.
    pub(super) fn noise(&mut self, n: u32) -> Option<String> {
        self.hear_room();
        let planned = self.presenting().filter(|planned| planned.n == n).cloned();
        let listener = self.listener.as_mut()?;
        let (hz, level) = listener.judged_by(&planned?)?;
        let found = listener.watch.disturbed(&listener.heard, hz, level)?;
        Some(format!(
            "noise in the room: {:.0} dB SPL at {} Hz, {:.0} are permissible for {} dB HL at {hz}",
            found.level.0, found.band_hz, found.permissible.0, level.0
        ))
    }
}

impl Listener {
    fn judged_by(&mut self, planned: &Planned) -> Option<(Hz, DbHl)> {
        let tone = planned.presentation.tones().next();
        if let Some(tone) = tone {
            self.last = match tone.level {
                Level::Hl(level) => Some((tone.hz, level)),
                Level::ReExaminer(_) | Level::Fs(_) => None,
            };
        }
        self.last
    }
}
