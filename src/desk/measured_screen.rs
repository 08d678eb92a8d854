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
/// How exactly a pitch is known that was typed in (our own assumption).
const U_TYPED_REL: f64 = 0.005;
impl Form {
    /// Sizes the outline of the card by an arrow key, a pixel at a time.
    pub fn resize_card(&mut self, key: Key) {
        let px = match key {
            Key::ArrowLeft | Key::ArrowDown => self.card_px.saturating_sub(1),
            Key::ArrowRight | Key::ArrowUp => self.card_px + 1,
            _ => return,
        };
        self.card_px = px.clamp(*CARD_PX.start(), *CARD_PX.end());
    }

    /// Takes the screen's scale from the outline that matches a card.
    ///
    /// # Errors
    /// One line, if that is no screen.
    pub fn measure_by_card(&mut self, field: Field, today: Date) -> Result<(), String> {
        let pixel = Mm(CARD_MM[0] / f64::from(self.card_px.max(1)));
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
            monitor: None,
            scale_factor: Some(f64::from(field.pixels_per_point)),
        };
        let profile =
            ScreenProfile::try_from(record).map_err(|error| format!("Screen: {error}"))?;
        self.screen = Some(profile);
        Ok(())
    }

    /// Forgets the screen if its window is no longer what was measured.
    pub fn check_screen(&mut self, field: Option<Field>) {
        let same = |record: &ScreenRecord, field: Field| {
            record.scale_factor == Some(f64::from(field.pixels_per_point))
        };
        if let (Some(screen), Some(field)) = (&self.screen, field)
            && !same(screen.record(), field)
        {
            self.screen = None;
        }
    }
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
