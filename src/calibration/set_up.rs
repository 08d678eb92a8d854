//! The set-up of a visit: earphone, screen and distance.

use super::{EarphoneProfile, NoiseWatch, Room, ScreenKind, ScreenProfile};
use crate::quantity::{Ear, Hz, Level, LogMar, Mm};
use serde::{Deserialize, Serialize};
use std::f64::consts::LN_10;

/// The name of the built-in set-up.
const SIMULATED: &str = "simulated";

/// What a visit is measured with; it goes whole into the journal's first line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SetUp {
    /// What it is called on every output.
    pub name: String,
    /// The earphone; without one hearing is not tested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earphone: Option<EarphoneProfile>,
    /// The screen; without one sight is not tested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screen: Option<ScreenProfile>,
    /// From the person's eye to the screen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distance_mm: Option<Mm>,
    /// The standard uncertainty of the distance, as a fraction of it.
    pub u_distance_rel: f64,
    /// Whether the person sees the screen in a mirror; the distance is then the whole path.
    #[serde(default, skip_serializing_if = "is_false")]
    pub mirrored: bool,
    /// How quiet the room is, where it was measured: nothing is claimed under what it allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<Room>,
    /// Whether noise makes a presentation void, and by which microphone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watch: Option<NoiseWatch>,
    /// The earphones are worn on the wrong ears, on purpose: a run of a listening jury. What is
    /// called an ear in this visit is then the side of the earphone.
    #[serde(default, skip_serializing_if = "is_false")]
    pub sides_swapped: bool,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_false(flag: &bool) -> bool {
    !flag
}

/// The sizes that a set-up can draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawable {
    /// The smallest.
    pub smallest: LogMar,
    /// The largest.
    pub largest: LogMar,
}

impl Drawable {
    /// Whether `size` is among them.
    #[must_use]
    pub fn contains(&self, size: LogMar) -> bool {
        self.smallest <= size && size <= self.largest
    }
}

impl SetUp {
    /// The built-in set-up for simulated people: the simulated earphone and screen at 4 m, the
    /// distance known to 1 % (4 cm with a tape measure; our own assumption).
    #[must_use]
    pub fn simulated() -> SetUp {
        SetUp {
            name: SIMULATED.to_owned(),
            earphone: Some(EarphoneProfile::simulated()),
            screen: Some(ScreenProfile::simulated()),
            distance_mm: Some(Mm(4000.0)),
            u_distance_rel: 0.01,
            mirrored: false,
            room: None,
            watch: None,
            sides_swapped: false,
        }
    }

    /// Whether any part of it is for simulated people only.
    #[must_use]
    pub fn is_simulated(&self) -> bool {
        let screen = self.screen.as_ref().map(|screen| screen.record().kind);
        self.name == SIMULATED
            || self
                .earphone
                .as_ref()
                .is_some_and(EarphoneProfile::is_simulated)
            || screen == Some(ScreenKind::Simulated)
    }

    /// The lowest level that may be claimed of a tone: the earphone's
    /// ([`EarphoneProfile::lowest_level`]) or, on the scale of hearing levels, the room's, which
    /// was measured for this visit.
    #[must_use]
    pub fn lowest_level(&self, ear: Ear, hz: Hz) -> Option<Level> {
        let own = self.earphone.as_ref()?.lowest_level(ear, hz)?;
        let room = self.room.as_ref().and_then(|room| room.lowest(hz));
        match (own, room) {
            (Level::Hl(own), Some(room)) if room > own => Some(Level::Hl(room)),
            _ => Some(own),
        }
    }

    /// The sizes that it can draw; `None` without a screen or a distance.
    #[must_use]
    pub fn drawable(&self) -> Option<Drawable> {
        let (screen, distance) = self.sight()?;
        Some(Drawable {
            smallest: screen.smallest(distance),
            largest: screen.largest(distance),
        })
    }

    /// The sizes that its screen can draw at another distance; `None` without a screen.
    #[must_use]
    pub fn drawable_at(&self, distance: Mm) -> Option<Drawable> {
        let screen = self.screen.as_ref()?;
        Some(Drawable {
            smallest: screen.smallest(distance),
            largest: screen.largest(distance),
        })
    }

    /// The largest size of which so many letters have room in a row at `distance`; `None` without a
    /// screen.
    #[must_use]
    pub fn largest_row(&self, letters: u32, distance: Mm) -> Option<LogMar> {
        Some(self.screen.as_ref()?.largest_row(letters, distance))
    }

    /// The distance nearest to the present one at which it can draw `size`; `None` without a
    /// screen or a distance, or if no distance will do.
    #[must_use]
    pub fn distance_for(&self, size: LogMar) -> Option<Mm> {
        let (screen, distance) = self.sight()?;
        screen.distance_for(size, distance)
    }

    /// The standard uncertainty in logMAR that distance and pixel pitch give to every size;
    /// `None` without a screen or a distance.
    #[must_use]
    pub fn u_log_mar(&self) -> Option<f64> {
        let (screen, _) = self.sight()?;
        Some(libm::hypot(self.u_distance_rel, screen.record().u_rel) / LN_10)
    }

    fn sight(&self) -> Option<(&ScreenProfile, Mm)> {
        let distance = self
            .distance_mm
            .filter(|distance| distance.0 > 0.0 && distance.0.is_finite())?;
        Some((self.screen.as_ref()?, distance))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn survives_the_journal() {
        let set_up = SetUp::simulated();
        let line = serde_json::to_string(&set_up).unwrap();
        assert_eq!(serde_json::from_str::<SetUp>(&line).unwrap(), set_up);
        let forged = line.replace("\"right_db_spl\":120.0", "\"right_db_spl\":20.0");
        assert!(serde_json::from_str::<SetUp>(&forged).is_err());
    }

    /// A distance wrong by 5 % is 0.022 logMAR (computed, log10 1.05 = 0.0212, linearised).
    #[test]
    fn uncertainty_of_the_distance() {
        let set_up = SetUp {
            u_distance_rel: 0.05,
            ..SetUp::simulated()
        };
        assert!((set_up.u_log_mar().unwrap() - 0.022).abs() < 0.0005);
    }

    #[test]
    fn says_what_it_can_draw_and_from_where() {
        let set_up = SetUp::simulated();
        let drawable = set_up.drawable().unwrap();
        assert!(drawable.contains(LogMar(-0.6)) && drawable.contains(LogMar(1.7)));
        assert!(!drawable.contains(LogMar(-0.7)) && !drawable.contains(LogMar(1.72)));
        assert_eq!(set_up.distance_for(LogMar(0.3)), Some(Mm(4000.0)));
        for size in [LogMar(-0.9), LogMar(2.0)] {
            let distance_mm = set_up.distance_for(size);
            assert!(
                SetUp {
                    distance_mm,
                    ..set_up.clone()
                }
                .drawable()
                .unwrap()
                .contains(size)
            );
        }
        let blind = SetUp {
            screen: None,
            ..set_up
        };
        assert_eq!((blind.drawable(), blind.u_log_mar()), (None, None));
    }
}
