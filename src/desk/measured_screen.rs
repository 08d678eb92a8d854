//! How large the pixels are in which the person sees the rings: by a card, or typed in.

use super::person_window::{CARD_MM, Field};
use super::prepare::Form;
use crate::calibration::{FORMAT, ScreenKind, ScreenProfile, ScreenRecord};
use crate::quantity::Mm;
use eframe::egui::Key;
use jiff::civil::Date;
use std::ops::RangeInclusive;

/// How wide the outline of a card can be made, physical pixels.
pub const CARD_PX: RangeInclusive<u32> = 150..=1400;
/// How exactly an outline is matched to a card, as a fraction of it: half a millimetre (our own
/// assumption).
const U_CARD_REL: f64 = 0.006;
/// How far the outline's shape may be from a card's: both sides wrong by a millimetre, the other
/// way round (our own choice).
const MOST_ASKEW: f64 = 0.02;
/// How exactly a pitch is known that was typed in (our own assumption).
const U_TYPED_REL: f64 = 0.005;
impl Form {
    /// Sizes the outline of the card by an arrow key, a pixel at a time: its width sideways, its
    /// height up and down.
    pub fn resize_card(&mut self, key: Key) {
        let (side, wider) = match key {
            Key::ArrowLeft => (0, false),
            Key::ArrowRight => (0, true),
            Key::ArrowDown => (1, false),
            Key::ArrowUp => (1, true),
            _ => return,
        };
        let px = self.card_px[side];
        let px = if wider { px + 1 } else { px.saturating_sub(1) };
        self.card_px[side] = px.clamp(*CARD_PX.start(), *CARD_PX.end());
    }

    /// Takes the screen's scale from the outline that matches a card.
    ///
    /// # Errors
    /// One line, if the outline has not a card's shape, or that is no screen.
    pub fn measure_by_card(&mut self, field: Field, today: Date) -> Result<(), String> {
        let [wide, high] = self.card_px.map(f64::from);
        let (found, aspect) = (wide / high, CARD_MM[0] / CARD_MM[1]);
        if (found / aspect - 1.0).abs() > MOST_ASKEW {
            return Err(format!(
                "Screen: expected sides as {aspect:.2} to 1, a card's, found {found:.2} to 1: fit \
                 width and height to the card"
            ));
        }
        let pixel = Mm(CARD_MM[0] / wide);
        let method = "width of an ID-1 card, 85.60 mm, matched on the screen";
        self.measure(field, pixel, U_CARD_REL, method, today)
    }

    /// Takes the screen's scale as it was typed.
    ///
    /// # Errors
    /// One line, if that is no number or no screen.
    pub fn measure_by_hand(&mut self, field: Field, today: Date) -> Result<(), String> {
        let typed = self.pixel_mm.trim().replace(',', ".").parse::<f64>();
        let pixel = typed.map_err(|_| "Screen: expected the pixel pitch in mm, such as 0.1795")?;
        self.measure(
            field,
            Mm(pixel),
            U_TYPED_REL,
            "typed in by the examiner",
            today,
        )
    }

    fn measure(
        &mut self,
        field: Field,
        pixel_mm: Mm,
        u_rel: f64,
        method: &str,
        today: Date,
    ) -> Result<(), String> {
        let [white_cd_m2, black_cd_m2] = self.luminance()?;
        let record = ScreenRecord {
            format: FORMAT,
            kind: ScreenKind::Measured,
            title: "the field of the person's window".into(),
            method: method.into(),
            made_by: Some("the examiner of this visit".into()),
            made_on: Some(today),
            pixel_mm,
            u_rel,
            width_px: field.width_px,
            height_px: field.height_px,
            monitor: field.monitor(),
            scale_factor: Some(f64::from(field.pixels_per_point)),
            white_cd_m2,
            black_cd_m2,
        };
        let profile =
            ScreenProfile::try_from(record).map_err(|error| format!("Screen: {error}"))?;
        self.screen = Some(profile);
        self.screen_changed = false;
        Ok(())
    }

    /// White and black as typed; nothing where there is no meter.
    fn luminance(&self) -> Result<[Option<f64>; 2], String> {
        let mut read = [None; 2];
        for (cd_m2, text) in read.iter_mut().zip(&self.luminance) {
            let text = text.trim().replace(',', ".");
            if !text.is_empty() {
                let number = text.parse::<f64>();
                *cd_m2 = Some(number.map_err(|_| "Screen: expected a luminance in cd/m²")?);
            }
        }
        Ok(read)
    }

    /// Forgets the screen if its window is no longer what was measured, and says so.
    pub fn check_screen(&mut self, field: Option<Field>) {
        if let (Some(screen), Some(field)) = (&self.screen, field)
            && !same_screen(screen.record(), field)
        {
            self.screen = None;
            self.screen_changed = true;
        }
    }
}

/// Whether the window still lies on the screen that was measured: the same scale, on a display of
/// the same mode. That it is the same display of two alike, no system tells.
#[must_use]
pub(super) fn same_screen(record: &ScreenRecord, field: Field) -> bool {
    let monitor = field.monitor();
    record.scale_factor == Some(f64::from(field.pixels_per_point))
        && (record.monitor == monitor || monitor.is_none())
}

/// The profile with the field's size as it is now; the pitch does not depend on it.
pub(super) fn grown(screen: ScreenProfile, field: Option<Field>) -> ScreenProfile {
    let Some(field) = field else {
        return screen;
    };
    let record = ScreenRecord {
        width_px: field.width_px,
        height_px: field.height_px,
        ..screen.record().clone()
    };
    ScreenProfile::try_from(record).unwrap_or(screen)
}
