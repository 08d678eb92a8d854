//! On its way to the person: what is handed to the station or the screen, and what arrives.

use super::{Sense, Session};
use crate::desk::deliver::{Delivering, ring_of, slot_of, why_not_whole};
use crate::desk::session::answering::Later;
use crate::desk::words;
use crate::journal::Planned;
use crate::quantity::Moment;
use crate::station::{Arrival, Loss, PlayError, SoundEvent};
use crate::stimulus::Task;
use crate::visit::Input;

/// Whether it stands on a card or is shown by hand.
fn in_hand(planned: &Planned) -> bool {
    let mut shown = planned.presentation.optotypes();
    planned.presentation.by_hand().is_some() || shown.any(|part| part.card.is_some())
}

impl Session {
    pub(super) fn deliver(&mut self, planned: Planned) {
        let n = planned.n;
        match planned.presentation.task {
            // What is in the examiner's hands is there when they say so.
            _ if in_hand(&planned) => {
                self.sense = Sense::Sight;
                self.delivering = Delivering::ByHand;
                self.appear(n, self.last, self.last);
            }
            Task::Facing | Task::Letters => {
                self.sense = Sense::Sight;
                match ring_of(&planned, &self.record().opening.set_up) {
                    Ok(ring) => {
                        let offline = ring.offline;
                        self.delivering = Delivering::Ring(ring);
                        if offline {
                            self.appear(n, self.last, self.last);
                        }
                    }
                    Err(reason) => self.step(Input::Failed { n, reason }, self.last),
                }
            }
            _ if self.sound.is_some() => {
                self.sense = Sense::Hearing;
                self.delivering = Delivering::Pending(planned);
                self.play_pending(self.last);
            }
            _ if self.simulated() => {
                self.sense = Sense::Hearing;
                let sounds = planned.presentation.sounds();
                let last_s = sounds.map(|sound| sound.end_s).fold(0.0, f64::max);
                let ends = planned.slot.map_or(last_s, |slot| slot.end_s);
                self.delivering = Delivering::Offline { n, whole: false };
                self.schedule(self.last.plus_seconds(ends), Later::Whole(n));
                self.began(n, self.last);
            }
            _ => {
                let reason = words::NO_SOUND.into();
                self.step(Input::Failed { n, reason }, self.last);
            }
        }
    }

    /// Hands a slot to the station once the one before is over.
    pub(super) fn play_pending(&mut self, at: Moment) {
        let Delivering::Pending(planned) = &self.delivering else {
            return;
        };
        let Some(sound) = self.sound.as_ref().filter(|sound| sound.free) else {
            return;
        };
        let n = planned.n;
        let planned = planned.clone();
        let rate_hz = sound.station.frames_per_second();
        if let Err(reason) = self.count_loud(&planned.presentation) {
            return self.step(Input::Failed { n, reason }, at);
        }
        let opening = &self.visit.record().opening;
        let slot = slot_of(&planned, opening, rate_hz);
        let Some(sound) = self.sound.as_mut() else {
            return;
        };
        let played = slot.and_then(|sounding| {
            sounding
                .play(sound.station.as_mut(), n)
                .map_err(|error: PlayError| error.to_string())
        });
        match played {
            Ok(()) => {
                sound.free = false;
                self.delivering = Delivering::Sound { n, whole: false };
            }
            Err(reason) => self.step(Input::Failed { n, reason }, at),
        }
    }

    pub(super) fn hear_station(&mut self, now: Moment) {
        while let Some(event) = self.sound.as_mut().and_then(|sound| sound.station.poll()) {
            match event {
                SoundEvent::Began { id, at, .. } => {
                    let at = self.clock.moment(at);
                    self.listen();
                    self.began(id, at);
                }
                SoundEvent::Ended { id, arrival, .. } => {
                    if let Some(sound) = &mut self.sound {
                        sound.free = true;
                    }
                    let why = why_not_whole(arrival).map(str::to_owned);
                    match why.or_else(|| self.noise(id)) {
                        None => self.whole(id, now),
                        Some(reason) => self.step(Input::Failed { n: id, reason }, now),
                    }
                    if arrival == Arrival::CutOff {
                        self.pause(words::CUT_OFF, now);
                    }
                }
                SoundEvent::Lost(loss) => self.lose_sound(loss, now),
            }
        }
    }

    pub(super) fn lose_sound(&mut self, loss: Loss, now: Moment) {
        if let Some(sound) = &mut self.sound {
            sound.lost = Some(loss);
        }
        self.pause(words::sound_lost(loss), now);
    }

    /// A slot began: a simulated person makes up its mind.
    pub(super) fn began(&mut self, n: u32, at: Moment) {
        self.step(Input::Began { n, at }, at);
        self.let_answer(n, at);
    }

    pub(super) fn whole(&mut self, n: u32, at: Moment) {
        self.delivering.arrived(n);
        self.step(Input::Whole { n }, at);
    }

    /// A ring counts as shown, from its first of two identical paints on.
    pub(super) fn appear(&mut self, n: u32, from: Moment, at: Moment) {
        let mut shown_s = None;
        if let Delivering::Ring(ring) = &mut self.delivering {
            ring.shown = true;
            shown_s = ring.part.shown_s;
        }
        self.step(Input::Began { n, at: from }, at);
        self.step(Input::Whole { n }, at);
        if let Some(shown_s) = shown_s {
            self.schedule(from.plus_seconds(shown_s), Later::Hide(n));
        }
        self.let_answer(n, at);
    }

    /// Takes a ring away whose time is over; its answer may still come.
    pub(super) fn hide(&mut self, n: u32) {
        if let Delivering::Ring(ring) = &mut self.delivering
            && ring.n == n
        {
            ring.hidden = true;
        }
    }
}
