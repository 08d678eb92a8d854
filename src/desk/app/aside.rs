//! What sounds while a visit is prepared, besides the which-ear check: the examiner's own first
//! listening, and instructions from a recording.

use super::ears::EarTone;
use super::{Desk, today};
use crate::calibration::EarphoneProfile;
use crate::desk::words;
use crate::errand::{Listening, Ready, ready, recording_in, title_of};
use crate::journal::{Played, PlayedWhat};
use crate::quantity::{Ear, Level};
use crate::station::Arrival;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// What sounds.
#[derive(Debug, Default)]
pub(super) enum Aside {
    /// Nothing.
    #[default]
    Nothing,
    /// A tone of the first listening.
    Listening,
    /// A recording is read, which may take a second.
    Reading(Receiver<Result<Ready, String>>),
    /// Instructions.
    Instructions(Played),
}

impl Aside {
    /// Whether something sounds, or is about to.
    pub(super) fn busy(&self) -> bool {
        !matches!(self, Aside::Nothing)
    }
}

impl Desk {
    /// The output at the profile's rate and depth, ready to be played on; else says what is missing.
    pub(super) fn ready_station(&mut self) -> bool {
        let Some(id) = self.form.output().map(|device| device.id.clone()) else {
            return false;
        };
        self.notice = None;
        // Nobody's ears are given levels that this output is not known for.
        if let Err(why) = self.form.fits(today()) {
            self.notice = Some(why);
            return false;
        }
        let bits = self
            .form
            .profile()
            .as_ref()
            .and_then(EarphoneProfile::depth_bits);
        let opened = self
            .station(&id, self.form.rate_hz())
            .and_then(|mut station| {
                let deep = bits.map_or(Ok(()), |bits| station.set_depth(bits));
                deep.map(|()| station).map_err(|error| error.to_string())
            });
        match opened {
            Ok(station) => self.sound = Some(station),
            Err(error) => self.notice = Some(error),
        }
        self.notice.is_none()
    }

    /// The examiner's own ear: the next tone, a step louder.
    pub(super) fn listen_louder(&mut self) {
        if self.aside.busy() || self.checking_ears() {
            return;
        }
        let Some(profile) = self.form.profile().filter(Listening::needed) else {
            return;
        };
        if self.form.listening().is_none() {
            self.form.listening = Some(Listening::new(profile));
        }
        if !self.ready_station() {
            return;
        }
        let (Some(listening), Some(station)) = (&mut self.form.listening, &mut self.sound) else {
            return;
        };
        match listening.louder(station.frames_per_second()) {
            Ok(tone) => match tone.play(station.as_mut(), 0) {
                Ok(()) => self.aside = Aside::Listening,
                Err(error) => self.notice = Some(error.to_string()),
            },
            Err(error) => self.notice = Some(error.to_string()),
        }
    }

    /// The examiner hears it.
    pub(super) fn listen_heard(&mut self) {
        let heard = self.form.listening.as_mut().map(Listening::heard);
        if let Some(Err(error)) = heard {
            self.notice = Some(error.to_string());
        }
    }

    /// Reads the recording and plays it at both ears.
    pub(super) fn play_instructions(&mut self) {
        if self.aside.busy() || self.checking_ears() {
            return;
        }
        if self.form.must_listen() {
            self.notice = Some(words::LISTEN_FIRST.into());
            return;
        }
        if !self.ready_station() {
            return;
        }
        let (Some(profile), Some(level_db)) = (self.form.profile(), self.form.instructions_db())
        else {
            return;
        };
        let path = PathBuf::from(self.form.instructions.trim());
        let rate_hz = self.form.rate_hz();
        let (send, receive) = channel();
        std::thread::spawn(move || {
            let level = Level::new(profile.scale(), level_db);
            let recording = recording_in(&path, rate_hz).map_err(|error| error.to_string());
            let made = recording.and_then(|recording| {
                let title = title_of(&path);
                ready(
                    &recording,
                    &title,
                    &profile,
                    &Ear::BOTH,
                    level,
                    PlayedWhat::Instructions,
                )
                .map_err(|error| format!("{}: {error}", path.display()))
            });
            // Nobody waits for it any more if the window is gone.
            let _ = send.send(made);
        });
        self.aside = Aside::Reading(receive);
    }

    /// Plays what has been read.
    pub(super) fn play_what_was_read(&mut self) {
        let Aside::Reading(receive) = &self.aside else {
            return;
        };
        let read = match receive.try_recv() {
            Err(TryRecvError::Empty) => return,
            Err(TryRecvError::Disconnected) => Err(words::NOT_READ.to_owned()),
            Ok(read) => read,
        };
        self.aside = Aside::Nothing;
        let played = read.and_then(|ready| {
            let station = self.sound.as_mut().ok_or(words::NO_SOUND)?;
            let Ready { sounding, played } = ready;
            sounding
                .play(station.as_mut(), 0)
                .map_err(|error| error.to_string())?;
            Ok(played)
        });
        match played {
            Ok(played) => self.aside = Aside::Instructions(played),
            Err(error) => self.notice = Some(error),
        }
    }

    /// What sounded has ended.
    pub(super) fn aside_ended(&mut self, arrival: Arrival) {
        if let Aside::Instructions(played) = std::mem::take(&mut self.aside) {
            let whole = arrival == Arrival::Whole;
            if !whole {
                self.notice = Some(words::INSTRUCTIONS_NOT_WHOLE.into());
            }
            self.form.played.push(Played { whole, ..played });
        }
    }

    /// Silence, and nothing that waits to be played.
    pub(super) fn stop_aside(&mut self) {
        if matches!(self.aside, Aside::Reading(_)) {
            self.aside = Aside::Nothing;
        }
        self.ear_tone = EarTone::None;
    }
}
