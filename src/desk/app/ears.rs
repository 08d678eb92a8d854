//! The which-ear check at the desk: a soft tone at a time, and the person's answer to it.

use super::Desk;
use super::aside::Aside;
use crate::desk::ear_check::{self, EarCheck};
use crate::desk::words;
use crate::quantity::Ear;
use crate::station::{Arrival, SoundEvent};

/// The tone of the which-ear check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum EarTone {
    None,
    Due,
    Playing,
}

impl Desk {
    pub(super) fn checking_ears(&self) -> bool {
        self.form
            .ear_check
            .as_ref()
            .is_some_and(|check| check.side().is_some())
    }

    pub(super) fn check_ears(&mut self) {
        if self.aside.busy() {
            self.notice = Some(words::STILL_SOUNDS.into());
            return;
        }
        if self.form.must_listen() {
            self.notice = Some(words::LISTEN_FIRST.into());
            return;
        }
        if !self.ready_station() {
            return;
        }
        let again = self.form.ear_check.is_some();
        let seed =
            self.form.seed ^ u64::from(again) ^ jiff::Timestamp::now().as_nanosecond() as u64;
        self.form.ear_check = Some(EarCheck::new(seed));
        self.ear_tone = EarTone::Due;
    }

    pub(super) fn stop_ear_check(&mut self) {
        if let Some(station) = &mut self.sound {
            station.stop();
        }
        self.stop_aside();
        self.form.ear_check = self
            .form
            .ear_check
            .take()
            .filter(|check| check.side().is_none());
    }

    /// Plays the tone of the check that is due, once the one before has ended.
    pub(super) fn play_ear_tone(&mut self) {
        // What the bench plays, the bench hears of.
        let Some(station) = self.sound.as_mut().filter(|_| !self.bench.playing) else {
            return;
        };
        let mut ended = self.ear_tone == EarTone::Due;
        while let Some(event) = station.poll() {
            match event {
                SoundEvent::Ended { arrival, .. } if self.aside.busy() => {
                    self.aside_ended(arrival);
                    return;
                }
                SoundEvent::Ended { arrival, .. } => {
                    ended = true;
                    // What did not arrive whole is played again.
                    if arrival != Arrival::Whole && self.ear_tone == EarTone::Playing {
                        self.ear_tone = EarTone::Due;
                    }
                }
                SoundEvent::Lost(_) => {
                    self.notice = Some(words::SOUND_LOST_IN_CHECK.into());
                    self.sound = None;
                    self.ear_tone = EarTone::None;
                    self.aside = Aside::Nothing;
                    self.form.ear_check = None;
                    return;
                }
                SoundEvent::Began { .. } => {}
            }
        }
        let side = self.form.ear_check.as_ref().and_then(EarCheck::side);
        let (Some(side), EarTone::Due, true) = (side, self.ear_tone, ended) else {
            return;
        };
        let Some(profile) = self.form.profile() else {
            return;
        };
        let Some(level) = ear_check::level(&profile, self.form.listening()) else {
            return;
        };
        let slot = ear_check::tone(&profile, side, level, station.frames_per_second());
        match slot.map(|slot| slot.play(station.as_mut(), 0)) {
            Ok(Ok(())) => self.ear_tone = EarTone::Playing,
            // The slot before has not ended; the next poll tries again.
            Ok(Err(_)) => {}
            Err(error) => {
                self.notice = Some(error);
                self.form.ear_check = None;
            }
        }
    }

    pub(super) fn side(&mut self, ear: Ear) {
        // An answer before its tone is no answer to it.
        if self.ear_tone != EarTone::Playing {
            return;
        }
        if let Some(check) = &mut self.form.ear_check {
            check.answer(ear);
            self.ear_tone = EarTone::Due;
        }
    }
}
