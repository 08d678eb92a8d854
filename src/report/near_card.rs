//! The card for reading near, as a PDF page to be printed at its true size.

use crate::stimulus::{NearCard, OptotypeSet, Symbol, outline};
use krilla::Document;
use krilla::color::luma;
use krilla::geom::{PathBuilder, Point, Rect};
use krilla::page::PageSettings;
use krilla::paint::Fill;
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};

/// A4 (ISO 216), mm.
const PAGE_MM: [f64; 2] = [210.0, 297.0];
/// A PDF point is 1/72 inch (ISO 32000-1, 8.3.2.3).
const POINTS_PER_MM: f64 = 72.0 / 25.4;
/// The length on the card that a ruler checks, mm.
const CHECK_MM: f64 = 100.0;
/// How far chords may run from their arcs, strokes.
const CHORD_ERROR: f64 = 1e-4;
/// Between two rows at the least, mm, so that the small ones stay apart (our choice).
const LEAST_GAP_MM: f64 = 5.0;
const LEFT_MM: f64 = 20.0;

/// Why a card could not be made.
#[derive(Debug, thiserror::Error)]
#[error("near card: {0}")]
pub struct CardError(String);

/// The card as a PDF of one page, always the same bytes for the same card.
///
/// # Errors
/// Only if the PDF library refuses, which it does for no card of [`NearCard::new`].
pub fn near_card_pdf(card: &NearCard) -> Result<Vec<u8>, CardError> {
    let refuse = |what: &str| CardError(what.to_owned());
    let font = Font::new(epaint_default_fonts::UBUNTU_LIGHT.to_vec().into(), 0);
    let font = font.ok_or_else(|| refuse("its type cannot be read"))?;
    let [width, height] = PAGE_MM.map(points);
    let page =
        PageSettings::from_wh(width, height).ok_or_else(|| refuse("its page has no size"))?;
    let mut document = Document::new();
    let mut page = document.start_page_with(page);
    // Whatever draws on the page is gone before the page is finished.
    fill(
        card,
        Sheet {
            surface: page.surface(),
            font,
        },
    );
    page.finish();
    let bytes = document.finish();
    bytes.map_err(|error| CardError(format!("{error:?}")))
}

fn fill(card: &NearCard, mut sheet: Sheet) {
    sheet.surface.set_fill(Some(Fill {
        paint: luma::Color::new(0).into(),
        ..Fill::default()
    }));
    sheet.heading(card);
    let mut top_mm = 48.0;
    for row in &card.rows {
        let high_mm = row.height_mm.0;
        sheet.label(top_mm + high_mm / 2.0, row.log_mar.0, row.m_units);
        let last = row.symbols.len() as f64 - 1.0;
        for (place, symbol) in row.symbols.iter().enumerate() {
            // One letter's width between letters.
            let aside_mm = (place as f64 - last / 2.0) * 2.0 * high_mm;
            let centre = [PAGE_MM[0] / 2.0 + aside_mm, top_mm + high_mm / 2.0];
            sheet.optotype(card.optotype, *symbol, centre, high_mm / 5.0);
        }
        top_mm += high_mm + high_mm.max(LEAST_GAP_MM);
    }
    sheet.ruler(262.0);
    sheet.surface.finish();
}

fn points(mm: f64) -> f32 {
    (mm * POINTS_PER_MM) as f32
}

struct Sheet<'a> {
    surface: Surface<'a>,
    font: Font,
}

impl Sheet<'_> {
    fn say(&mut self, x_mm: f64, y_mm: f64, size: f32, text: &str) {
        let at = Point::from_xy(points(x_mm), points(y_mm));
        let font = self.font.clone();
        self.surface
            .draw_text(at, font, size, text, false, TextDirection::Auto);
    }

    fn heading(&mut self, card: &NearCard) {
        let cm = card.distance_mm.0 / 10.0;
        let title = format!("Card for reading at {cm:.0} cm");
        self.say(LEFT_MM, 22.0, 14.0, &title);
        let what = match card.optotype {
            OptotypeSet::Landolt8 => "rings in 8 directions",
            OptotypeSet::Landolt4 => "rings in 4 directions",
            OptotypeSet::TumblingE => "E in 4 directions",
            OptotypeSet::Sloan | OptotypeSet::Hotv => "letters",
        };
        let seed = format!("{what}, seed {}", card.seed);
        self.say(LEFT_MM, 29.0, 9.0, &seed);
        let how = format!(
            "Hold it {cm:.0} cm from the eyes, measured, in good and even light; note the correction worn. \
             A screening aid, not a diagnosis."
        );
        self.say(LEFT_MM, 35.0, 9.0, &how);
    }

    fn label(&mut self, y_mm: f64, log_mar: f64, m_units: f64) {
        let digits = if m_units < 1.0 { 2 } else { 1 };
        let text = format!("{m_units:.digits$} M");
        self.say(LEFT_MM, y_mm + 1.0, 7.0, &text);
        let text = format!("{log_mar:.1} logMAR").replace('-', "\u{2212}");
        self.say(PAGE_MM[0] - LEFT_MM - 18.0, y_mm + 1.0, 7.0, &text);
    }

    /// One optotype as one path, so that its pieces have no seams.
    fn optotype(&mut self, set: OptotypeSet, symbol: Symbol, centre: [f64; 2], stroke_mm: f64) {
        let mut path = PathBuilder::new();
        for piece in outline(set, symbol, CHORD_ERROR) {
            for (index, (x, y)) in piece.iter().enumerate() {
                let x = points(centre[0] + x * stroke_mm);
                let y = points(centre[1] - y * stroke_mm);
                if index == 0 {
                    path.move_to(x, y);
                } else {
                    path.line_to(x, y);
                }
            }
            path.close();
        }
        if let Some(path) = path.finish() {
            self.surface.draw_path(&path);
        }
    }

    /// A length for a ruler, with a tick at every centimetre.
    fn ruler(&mut self, y_mm: f64) {
        let left = (PAGE_MM[0] - CHECK_MM) / 2.0;
        let ticks = (0..=10).map(|tick| {
            let long = if tick % 5 == 0 { 4.0 } else { 2.0 };
            (left + 10.0 * f64::from(tick), long)
        });
        let mut bars = vec![(left, y_mm - 0.1, left + CHECK_MM, y_mm + 0.1)];
        bars.extend(ticks.map(|(x, long)| (x - 0.1, y_mm - long, x + 0.1, y_mm)));
        let mut path = PathBuilder::new();
        for (x0, y0, x1, y1) in bars {
            if let Some(bar) = Rect::from_ltrb(points(x0), points(y0), points(x1), points(y1)) {
                path.push_rect(bar);
            }
        }
        if let Some(path) = path.finish() {
            self.surface.draw_path(&path);
        }
        let text = "From the first tick to the last 100 mm by a ruler, within 1 mm, or the card is not \
                    used: print at 100 %, without fitting to the page.";
        self.say(LEFT_MM, y_mm + 7.0, 9.0, text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Mm;
    use crate::stimulus::NEAR_MM;

    #[test]
    fn a_card_is_one_small_page_and_the_same_bytes_again() {
        for set in OptotypeSet::ALL {
            let card = NearCard::new(3, set, NEAR_MM);
            let pdf = near_card_pdf(&card).unwrap();
            assert!(
                pdf.starts_with(b"%PDF-") && pdf.len() < 300_000,
                "{}",
                pdf.len()
            );
            assert_eq!(pdf, near_card_pdf(&card).unwrap());
            let other = NearCard::new(4, set, NEAR_MM);
            assert!(pdf != near_card_pdf(&other).unwrap());
        }
    }

    #[test]
    fn the_rows_fit_above_the_ruler() {
        let card = NearCard::new(3, OptotypeSet::Sloan, Mm(600.0));
        let high: f64 = card
            .rows
            .iter()
            .map(|row| row.height_mm.0 + row.height_mm.0.max(LEAST_GAP_MM))
            .sum();
        assert!(48.0 + high < 256.0, "{high}");
        assert!(9.0 * card.rows[0].height_mm.0 < PAGE_MM[0] - 2.0 * LEFT_MM - 40.0);
    }
}
