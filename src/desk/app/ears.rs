//! The which-ear check at the desk: a soft tone at a time, and the person's answer to it.

use super::{Desk, today};
use crate::calibration::EarphoneProfile;
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
        let Some(id) = self.form.output().map(|device| device.id.clone()) else {
            return;
        };
        self.notice = None;
        // Nobody's ears are given levels that this output is not known for.
        if let Err(why) = self.form.fits(today()) {
            self.notice = Some(why);
            return;
        }
        match self.station(&id, self.form.rate_hz()) {
            Ok(mut station) => {
                let profile = self.form.profile();
                let bits = profile.as_ref().and_then(EarphoneProfile::depth_bits);
                if let Some(Err(error)) = bits.map(|bits| station.set_depth(bits)) {
                    self.notice = Some(error.to_string());
                    return;
                }
                self.sound = Some(station);
                let again = self.form.ear_check.is_some();
                let seed = self.form.seed
                    ^ u64::from(again)
                    ^ jiff::Timestamp::now().as_nanosecond() as u64;
                self.form.ear_check = Some(EarCheck::new(seed));
                self.ear_tone = EarTone::Due;
            }
            Err(error) => self.notice = Some(error),
        }
    }

    pub(super) fn stop_ear_check(&mut self) {
        if let Some(station) = &mut self.sound {
            station.stop();
        }
        self.ear_tone = EarTone::None;
        self.form.ear_check = self
            .form
            .ear_check
            .take()
            .filter(|check| check.side().is_none());
    }

    /// Plays the tone of the check that is due, once the one before has ended.
    pub(super) fn play_ear_tone(&mut self) {
        let Some(station) = &mut self.sound else {
            return;
        };
        let mut ended = self.ear_tone == EarTone::Due;
        while let Some(event) = station.poll() {
            match event {
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
        let slot = ear_check::tone(&profile, side, station.frames_per_second());
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
