//! The bench at the desk: its tones go through the desk's output, its sittings into the form.

use super::{Desk, OpenInput, today};
use crate::desk::words;
use crate::errand::daily::daily_check;
use crate::errand::{self, ToneWish};
use std::path::Path;

impl Desk {
    /// Plays the coupler's next tone, and lets a microphone hear it.
    pub(in crate::desk) fn play_on_bench(&mut self, listening: Option<OpenInput>) {
        let wanted = self.bench.sheet.as_ref().map(|sheet| {
            let chosen = self.form.output().map(|device| device.id.clone());
            (sheet.output.device.clone().or(chosen), sheet.output.rate_hz)
        });
        let Some((Some(id), rate_hz)) = wanted else {
            self.bench.said = Some(("Output: choose one".into(), true));
            return;
        };
        match self.station(&id, rate_hz) {
            Ok(mut station) => {
                self.bench.play(station.as_mut(), listening);
                self.sound = Some(station);
            }
            Err(error) => self.bench.said = Some((error, true)),
        }
    }

    /// Brings the bench up to date.
    pub(super) fn advance_bench(&mut self) {
        self.bench.advance();
        if let Some(station) = self.sound.as_mut().filter(|_| self.bench.playing) {
            self.bench.hear_station(station.as_mut());
        }
    }

    /// Silences the coupler's tone.
    pub(in crate::desk) fn silence_bench(&mut self) {
        if let Some(station) = &mut self.sound {
            station.stop();
        }
    }

    /// Plays what the listening place shows.
    pub(in crate::desk) fn play_sound_on_bench(&mut self) {
        let played = self.try_sound();
        self.bench.said = played.err().map(|why| (why, true));
    }

    fn try_sound(&mut self) -> Result<(), String> {
        if self.form.must_listen() {
            return Err(words::LISTEN_FIRST.into());
        }
        if !self.ready_station() {
            return Err(self.notice.take().unwrap_or_else(|| words::NO_SOUND.into()));
        }
        let (Some(profile), Some(station)) = (self.form.profile(), &mut self.sound) else {
            return Err(words::NO_SOUND.into());
        };
        let wish = ToneWish {
            rate_hz: Some(station.frames_per_second()),
            ..self.bench.sounds.wish()?
        };
        let (report, ready) = errand::tone(&wish, &profile).map_err(|error| error.to_string())?;
        if report.loud {
            return Err(words::LOUD_ON_BENCH.into());
        }
        ready
            .play(station.as_mut(), 0)
            .map_err(|error| error.to_string())?;
        self.bench.playing = true;
        Ok(())
    }

    /// Writes a known listener's visit into the log of the profile.
    pub(in crate::desk) fn take_sitting(&mut self) {
        let path = self.form.earphone.path.trim().to_owned();
        let Some(profile) = self.form.earphone.value() else {
            return;
        };
        if let Err(error) = profile.valid_on(today()) {
            self.bench.said = Some((error.to_string(), true));
            return;
        }
        let journal = Path::new(self.bench.journal.trim());
        match daily_check(journal, profile, Path::new(&path)) {
            Ok((comparison, _)) => {
                let first = comparison.is_none();
                self.bench.comparison = comparison;
                let text = if first {
                    "The first sitting of this listener; later ones are held against it."
                } else {
                    "The sitting stands in the log."
                };
                self.bench.said = Some((text.into(), false));
                self.form.around.ask_again();
            }
            Err(error) => self.bench.said = Some((error.to_string(), true)),
        }
    }
}
