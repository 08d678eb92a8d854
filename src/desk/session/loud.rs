//! Loud sounds wait until the examiner has held the confirmation, and three at most come for one; and how much an ear
//! has had.

use super::{Sense, Session, Waiting};
use crate::desk::words;
use crate::errand;
use crate::finding;
use crate::quantity::Moment;
use crate::standard::safety;
use crate::stimulus::Presentation;
use crate::visit::Input;

/// How loud a presentation is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Loudness {
    /// It has no tone.
    Silent,
    /// It has none that is loud.
    Soft,
    /// It has a loud one ([`safety::LOUD`]).
    Loud,
}

/// What the last confirmation still allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct LoudRow {
    /// So many loud sounds were confirmed and have not come yet.
    left: u32,
    /// The latest tone was loud.
    under_way: bool,
}

impl LoudRow {
    /// Whether a presentation has to wait for a confirmation. A silent one among loud ones waits as
    /// they do: else the held key were a sign that a tone comes.
    fn holds_back(self, loudness: Loudness) -> bool {
        let as_loud = match loudness {
            Loudness::Loud => true,
            Loudness::Silent => self.under_way,
            Loudness::Soft => false,
        };
        as_loud && self.left == 0
    }

    fn confirm(&mut self) {
        self.left = safety::MOST_LOUD_IN_A_ROW;
    }

    /// Takes a presentation in: a loud one uses a part of the confirmation up, a softer one ends the
    /// row, silence does neither. Whether it may sound.
    fn take(&mut self, loudness: Loudness) -> bool {
        match loudness {
            Loudness::Silent => true,
            Loudness::Soft => {
                *self = LoudRow::default();
                true
            }
            Loudness::Loud => {
                self.under_way = true;
                let left = self.left.checked_sub(1);
                self.left = left.unwrap_or(0);
                left.is_some()
            }
        }
    }
}

impl Session {
    /// Pauses once when an ear has had as much sound as one visit should give.
    pub(super) fn watch_exposure(&mut self) {
        if self.exposure_told || self.sense != Sense::Hearing {
            return;
        }
        let exposure = finding::exposure(self.record());
        let most = exposure.map_or(0.0, |exposure| exposure.most_of_a_day());
        if most >= safety::MOST_OF_A_DAY {
            self.exposure_told = true;
            self.pause(words::MUCH_SOUND, self.last);
        }
    }

    /// Whether what waits is a confirmation that has to be held ([`super::HOLD_S`]).
    #[must_use]
    pub fn waits_to_be_loud(&self) -> bool {
        self.waiting == Some(Waiting::ToBeLoud)
    }

    /// The examiner has held the confirmation: so many loud sounds may come, and no more.
    pub(super) fn confirm_loud(&mut self, at: Moment) {
        if !self.waits_to_be_loud() {
            return;
        }
        self.waiting = None;
        self.loud_row.confirm();
        self.step(Input::Note(words::loud_confirmed()), at);
        if let Some(request) = self.loud_request.take() {
            self.step(Input::Hand(request), at);
        }
    }

    /// How loud a presentation is at somebody's ear: without an output only simulated people hear.
    fn loudness(&self, presentation: &Presentation) -> Loudness {
        if presentation.tones().next().is_none() {
            return Loudness::Silent;
        }
        let earphone = self.record().opening.set_up.earphone.as_ref();
        let earphone = earphone.filter(|_| self.sound.is_some());
        let loud = earphone.is_some_and(|earphone| {
            let mut sounds = presentation.sounds();
            sounds.any(|part| errand::is_loud(earphone, part))
        });
        if loud { Loudness::Loud } else { Loudness::Soft }
    }

    /// Whether a presentation waits for a confirmation.
    pub(super) fn holds_back(&self, presentation: &Presentation) -> bool {
        self.loud_row.holds_back(self.loudness(presentation))
    }

    /// The last look before a presentation is handed to the station.
    pub(super) fn count_loud(&mut self, presentation: &Presentation) -> Result<(), String> {
        let loudness = self.loudness(presentation);
        if self.loud_row.take(loudness) {
            Ok(())
        } else {
            Err(words::LOUD_UNCONFIRMED.into())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Loudness::{Loud, Silent, Soft};

    /// So many loud ones for a confirmation, silence among them not counted; after a softer one
    /// another confirmation is due.
    #[test]
    fn three_for_one_confirmation_and_silence_waits_with_them() {
        let mut row = LoudRow::default();
        assert!(!row.holds_back(Silent) && !row.holds_back(Soft) && row.holds_back(Loud));
        row.confirm();
        for loudness in [Loud, Silent, Loud, Silent, Silent, Loud] {
            assert!(!row.holds_back(loudness) && row.take(loudness));
        }
        assert!(row.holds_back(Silent) && row.holds_back(Loud) && !row.holds_back(Soft));
        assert!(!row.take(Loud), "a fourth is not let out");
        row.confirm();
        assert!(row.take(Loud) && row.take(Soft));
        assert!(row.holds_back(Loud) && !row.holds_back(Silent));
    }
}
