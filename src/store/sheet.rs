//! The recovery sheet: what opens an encrypted store when its passphrase is lost, on paper.

use super::code::Code;
use krilla::Document;
use krilla::color::luma;
use krilla::geom::Point;
use krilla::page::PageSettings;
use krilla::paint::Fill;
use krilla::text::{Font, TextDirection};

/// A4 (ISO 216), in points of 1/72 inch (ISO 32000-1, 8.3.2.3).
const PAGE: [f32; 2] = [595.276, 841.89];

/// The sheet in words, line by line.
#[must_use]
pub fn recovery_lines(store: &Code, recovery: &str) -> Vec<String> {
    let lines = [
        "Recovery sheet",
        "",
        &format!("Store {store}"),
        "",
        "Recovery code",
        recovery,
        "",
        "Whoever holds this sheet can open the store: keep it locked away, and not beside the machine.",
        "It is the only way in when the passphrase is lost. It is kept nowhere else: nobody can make it again.",
        "Each group ends in a character that checks it, so a slip in reading or typing is found.",
        "Changing the passphrase makes a new sheet, and this one opens nothing any more.",
    ];
    lines.map(String::from).to_vec()
}

/// The sheet as a PDF page. None only if the PDF library refuses.
#[must_use]
pub fn recovery_pdf(store: &Code, recovery: &str) -> Option<Vec<u8>> {
    let font = Font::new(epaint_default_fonts::UBUNTU_LIGHT.to_vec().into(), 0)?;
    let mut document = Document::new();
    let mut page = document.start_page_with(PageSettings::from_wh(PAGE[0], PAGE[1])?);
    let mut surface = page.surface();
    surface.set_fill(Some(Fill {
        paint: luma::Color::new(0).into(),
        ..Fill::default()
    }));
    let mut y = 80.0;
    for (line, at) in recovery_lines(store, recovery).iter().zip(0..) {
        let size = match at {
            0 => 22.0,
            2 | 5 => 14.0,
            _ => 10.0,
        };
        let place = Point::from_xy(57.0, y);
        surface.draw_text(place, font.clone(), size, line, false, TextDirection::Auto);
        y += 22.0;
    }
    surface.finish();
    page.finish();
    document.finish().ok()
}
