//! The examiner listens first: on an earphone of which nobody knows how loud it is, the first sound
//! is inaudible, and rises by small steps under the examiner's own hand until it is heard.

use super::sounding::{Sounding, sounding};
use crate::calibration::{EarphoneProfile, ProfileKind};
use crate::journal::{Listened, Rise};
use crate::quantity::{Db, DbFs, Ear, Hz, Level, Scale};
use crate::stimulus::{Part, Presentation, Signal, SoundPart, Task};

/// What rises: the frequency at which ears and earphones differ least.
const HZ: Hz = Hz(1000.0);

/// By so much with every press.
const STEP: Db = Db(5.0);

/// Where it begins: under what people hear on common headphones.
const FIRST: DbFs = DbFs(-110.0);

/// How long it sounds, s, and the silence around it.
const TONE_S: f64 = 1.0;
const MARGIN_S: f64 = 0.1;

/// A rise at each ear, under way or done.
#[derive(Debug, Clone, PartialEq)]
pub struct Listening {
    earphone: EarphoneProfile,
    rises: Vec<Rise>,
    /// What sounded last at the ear under way.
    sounded: Option<DbFs>,
}

/// Why it does not go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ListeningError {
    /// Nothing has sounded yet.
    #[error("nothing has sounded yet: press 'louder' first")]
    NothingSounded,
    /// The cap is reached.
    #[error(
        "the cap is reached and nothing was heard: check the plug, the system's volume and which \
         output is chosen, then begin again"
    )]
    AtTheCap,
    /// Both ears are done.
    #[error("both ears are done")]
    Done,
}

impl Listening {
    /// Whether an earphone asks for it: nobody has measured it, nor listened on it.
    #[must_use]
    pub fn needed(earphone: &EarphoneProfile) -> bool {
        earphone.kind() == ProfileKind::Uncalibrated
    }

    /// Before the first sound.
    #[must_use]
    pub fn new(earphone: EarphoneProfile) -> Listening {
        Listening {
            earphone,
            rises: Vec::new(),
            sounded: None,
        }
    }

    /// On which earphone.
    #[must_use]
    pub fn earphone(&self) -> &EarphoneProfile {
        &self.earphone
    }

    /// The ear under way; none when both are done.
    #[must_use]
    pub fn ear(&self) -> Option<Ear> {
        Ear::BOTH.get(self.rises.len()).copied()
    }

    /// What sounded last at it.
    #[must_use]
    pub fn sounded(&self) -> Option<DbFs> {
        self.sounded
    }

    /// The next tone, a step louder than the one before, for a device of so many frames a second.
    ///
    /// # Errors
    /// At the cap, and when both ears are done.
    pub fn louder(&mut self, rate_hz: u32) -> Result<Sounding, ListeningError> {
        let ear = self.ear().ok_or(ListeningError::Done)?;
        let next = self.sounded.map_or(FIRST, |before| before + STEP);
        let part = SoundPart {
            ear,
            signal: Signal::Pulsed,
            hz: HZ,
            level: Level::new(Scale::DbFs, next.0),
            start_s: MARGIN_S,
            end_s: MARGIN_S + TONE_S,
            interval: None,
        };
        let presentation = Presentation {
            task: Task::Detect,
            window_s: Some(TONE_S + 2.0 * MARGIN_S),
            parts: vec![Part::Sound(part)],
        };
        let tone = sounding(&presentation, &self.earphone, rate_hz, 0)
            .map_err(|_| ListeningError::AtTheCap)?;
        self.sounded = Some(next);
        Ok(tone)
    }

    /// The last tone was heard: the other ear comes next.
    ///
    /// # Errors
    /// If nothing has sounded at this ear.
    pub fn heard(&mut self) -> Result<(), ListeningError> {
        let ear = self.ear().ok_or(ListeningError::Done)?;
        let level = self.sounded.take().ok_or(ListeningError::NothingSounded)?;
        self.rises.push(Rise {
            ear,
            hz: HZ,
            from_db: FIRST.0,
            level: Level::new(Scale::DbFs, level.0),
        });
        Ok(())
    }

    /// What is to be kept of it; none before both ears are done.
    #[must_use]
    pub fn done(&self) -> Option<Listened> {
        self.ear().is_none().then(|| Listened {
            rises: self.rises.clone(),
        })
    }

    /// A level that somebody with the examiner's ears hears plainly, so many dB over the softer of
    /// both rises and under the cap; none before both ears are done.
    #[must_use]
    pub fn plainly(&self, above: Db) -> Option<DbFs> {
        let heard = self.done()?.rises.into_iter().map(|rise| rise.level.db());
        let softest = heard.fold(f64::INFINITY, f64::min);
        let cap = self
            .earphone
            .cap_db_fs(Ear::Right)
            .min(self.earphone.cap_db_fs(Ear::Left));
        Some(DbFs((softest + above.0).min(cap.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn listening() -> Listening {
        Listening::new(EarphoneProfile::uncalibrated())
    }

    fn loudest(tone: &Sounding) -> f64 {
        20.0 * f64::from(tone.slot.peak()).log10()
    }

    #[test]
    fn it_begins_inaudible_and_rises_by_small_steps_at_one_ear_after_the_other() {
        let mut listening = listening();
        assert_eq!(listening.heard(), Err(ListeningError::NothingSounded));
        for ear in Ear::BOTH {
            assert_eq!(listening.ear(), Some(ear));
            let mut before = loudest(&listening.louder(48_000).unwrap());
            assert!((before + 110.0).abs() < 0.01, "{before}");
            for _ in 0..6 {
                let tone = listening.louder(48_000).unwrap();
                assert!(tone.slot.channel(ear.other()).all(|sample| sample == 0.0));
                assert!((loudest(&tone) - before - 5.0).abs() < 0.01);
                before = loudest(&tone);
            }
            assert_eq!(listening.done(), None);
            listening.heard().unwrap();
        }
        let done = listening.done().unwrap();
        let levels: Vec<f64> = done.rises.iter().map(|rise| rise.level.db()).collect();
        assert_eq!(levels, [-80.0, -80.0]);
        assert_eq!(listening.plainly(Db(30.0)), Some(DbFs(-50.0)));
        assert_eq!(listening.plainly(Db(90.0)), Some(DbFs(-20.0)));
        assert_eq!(listening.louder(48_000).unwrap_err(), ListeningError::Done);
    }

    /// The cap of an unmeasured headphone is 20 dB under full scale: 100 of the 120 dB SPL assumed.
    #[test]
    fn it_ends_at_the_cap() {
        let mut listening = listening();
        let mut count = 0;
        let end = loop {
            match listening.louder(48_000) {
                Ok(tone) => assert!(loudest(&tone) <= -19.99),
                Err(error) => break error,
            }
            count += 1;
        };
        assert_eq!((end, count), (ListeningError::AtTheCap, 19));
        assert!(listening.ear() == Some(Ear::Right) && listening.done().is_none());
    }

    #[test]
    fn who_measured_or_listened_need_not() {
        assert!(Listening::needed(&EarphoneProfile::uncalibrated()));
        let text = include_str!("../../calibration/example-circumaural.toml");
        assert!(!Listening::needed(
            &EarphoneProfile::from_toml(text, "example").unwrap()
        ));
    }
}
