//! What is on its way to the person, and how a presentation becomes samples or pixels.

use super::words;
use crate::calibration::{ScreenKind, SetUp};
use crate::errand::{Sounding, sounding};
use crate::journal::{Opening, Planned};
use crate::station::Arrival;
use crate::stimulus::{Look, OptotypePart, OptotypeSet, Raster, draw};
use std::sync::Arc;

/// White around a ring, pixels. The window is white beyond the picture too, so that its edge is no
/// cue; the margin only keeps the ring's grey edge whole.
const MARGIN_PX: u32 = 2;

/// What is on its way.
#[derive(Debug, Clone)]
pub(super) enum Delivering {
    /// Nothing.
    Nothing,
    /// A slot that waits for the station.
    Pending(Planned),
    /// A slot at the station.
    Sound { n: u32, whole: bool },
    /// A slot without any device, for a simulated person.
    Offline { n: u32, whole: bool },
    /// A ring.
    Ring(Ring),
    /// A row of a card, or what the examiner shows by hand.
    ByHand,
}

/// A ring to be shown.
#[derive(Debug, Clone)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each may be without the others"
)]
pub struct Ring {
    /// The presentation's number.
    pub n: u32,
    /// Tells this picture from all others.
    pub token: u64,
    /// What it is.
    pub part: OptotypePart,
    /// Its pixels.
    pub raster: Arc<Raster>,
    /// Whether it counts as shown.
    pub shown: bool,
    /// Whether its time is over and it was taken away.
    pub hidden: bool,
    /// Whether the person could not tell and is asked for a guess.
    pub guess: bool,
    /// Whether only a simulated person sees it, on a simulated screen.
    pub offline: bool,
}

impl Ring {
    /// The set that it was drawn from.
    #[must_use]
    pub fn set(&self) -> OptotypeSet {
        self.part.optotype
    }
}

impl Delivering {
    /// Whether the slot has arrived whole.
    pub(super) fn whole(&self) -> bool {
        matches!(
            self,
            Delivering::Sound { whole: true, .. } | Delivering::Offline { whole: true, .. }
        )
    }

    /// Slot `number` has arrived whole.
    pub(super) fn arrived(&mut self, number: u32) {
        if let Delivering::Sound { n, whole } | Delivering::Offline { n, whole } = self
            && *n == number
        {
            *whole = true;
        }
    }
}

/// The samples of a slot on this set-up.
pub(super) fn slot_of(
    planned: &Planned,
    opening: &Opening,
    rate_hz: u32,
) -> Result<Sounding, String> {
    let earphone = opening.set_up.earphone.as_ref().ok_or(words::NO_SOUND)?;
    let seed = opening.presenter_seed ^ u64::from(planned.n);
    sounding(&planned.presentation, earphone, rate_hz, seed).map_err(|error| error.to_string())
}

/// The ring of a presentation on this set-up's screen.
pub(super) fn ring_of(planned: &Planned, set_up: &SetUp) -> Result<Ring, String> {
    let (Some(part), Some(screen)) = (
        planned.presentation.optotypes().next(),
        set_up.screen.as_ref(),
    ) else {
        return Err(words::NO_SCREEN.into());
    };
    let record = screen.record();
    let look = Look {
        pixel: record.pixel_mm,
        mirrored: set_up.mirrored,
        margin_px: MARGIN_PX,
    };
    let parts: Vec<OptotypePart> = planned.presentation.optotypes().copied().collect();
    let raster = draw(&parts, look).map_err(|error| error.to_string())?;
    if raster.width_px > record.width_px || raster.height_px > record.height_px {
        return Err(words::WIDER_THAN_SCREEN.into());
    }
    Ok(Ring {
        n: planned.n,
        token: u64::from(planned.n),
        part: *part,
        raster: Arc::new(raster),
        shown: false,
        hidden: false,
        guess: false,
        offline: record.kind == ScreenKind::Simulated,
    })
}

/// Why a slot did not arrive whole, in words.
pub(super) fn why_not_whole(arrival: Arrival) -> Option<&'static str> {
    match arrival {
        Arrival::Whole => None,
        Arrival::Stopped => Some(words::STOPPED),
        Arrival::Underrun => Some(words::RAN_DRY),
        Arrival::Faulted => Some(words::FALTERED),
        Arrival::CutOff => Some(words::CUT_OFF),
    }
}
