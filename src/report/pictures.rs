//! The audiogram and each eye's acuity as pictures of their own: SVG and PNG.

use super::attachment::Attachment;
use super::document::PageView;
use super::dossier::Dossier;
use super::figure::audiogram::Audiogram;
use super::figure::shape::{Shape, at};
use super::figure::{Acuity, Area, Drawing};
use super::print::{PictureError, png_of, svg_of};
use super::words::Lang;
use crate::quantity::Eye;

/// A picture, drawn but not yet written.
struct Drawn {
    name: &'static str,
    about: &'static str,
    /// What it shows, for those who do not see it.
    told: String,
    shapes: Vec<Shape>,
    /// All of it, from the origin on.
    whole: Area,
}

/// Width and height of an audiogram with its key, and of an acuity, points.
const AUDIOGRAM: [f32; 2] = [900.0, 560.0];
const ACUITY: [f32; 2] = [420.0, 340.0];
/// Free around a figure, points.
const MARGIN: f32 = 16.0;
/// Pixels a point: 144 an inch.
const PNG_SCALE: f32 = 2.0;

/// The pictures of a visit as files: of what was tested, and of nothing else.
///
/// # Errors
/// Only if a picture cannot be drawn, which does not happen with these sizes.
pub fn pictures(dossier: &Dossier, lang: Lang) -> Result<Vec<Attachment>, PictureError> {
    let mut all = Vec::new();
    for drawn in all_drawn(dossier, lang) {
        let (shapes, whole) = (&drawn.shapes, drawn.whole);
        let svg = svg_of(shapes, whole, dossier.whose(), &drawn.told, lang.tag());
        let png = png_of(shapes, whole, PNG_SCALE)?;
        for (ending, media_type, bytes) in [
            ("svg", "image/svg+xml", svg.into_bytes()),
            ("png", "image/png", png),
        ] {
            all.push(Attachment {
                name: format!("{}.{ending}", drawn.name),
                media_type,
                about: drawn.about.into(),
                bytes,
            });
        }
    }
    Ok(all)
}

/// The same pictures, to look at before they are saved.
#[must_use]
pub fn picture_pages(dossier: &Dossier, lang: Lang) -> Vec<PageView> {
    let view = |drawn: Drawn| PageView {
        size: [drawn.whole.width(), drawn.whole.height()],
        shapes: drawn.shapes,
    };
    all_drawn(dossier, lang).into_iter().map(view).collect()
}

fn all_drawn(dossier: &Dossier, lang: Lang) -> Vec<Drawn> {
    let (record, findings) = (&dossier.record, &dossier.findings);
    let draw = |name, about, drawing: &dyn Drawing, [width, height]: [f32; 2]| Drawn {
        name,
        about,
        told: drawing.told(lang),
        shapes: drawing.shapes(Area::sized(at(MARGIN, MARGIN), width, height), lang),
        whole: Area::sized(at(0.0, 0.0), width + 2.0 * MARGIN, height + 2.0 * MARGIN),
    };
    let mut all = Vec::new();
    let audiogram = Audiogram::of(record, &findings.hearing, findings.as_obtained.hearing)
        .with_screening(findings.screening.as_ref());
    if !audiogram.marks.is_empty() {
        all.push(draw("audiogram", "The audiogram.", &audiogram, AUDIOGRAM));
    }
    for (eye, name, about) in [
        (Eye::Right, "acuity-right", "The acuity of the right eye."),
        (Eye::Left, "acuity-left", "The acuity of the left eye."),
        (Eye::Both, "acuity-both", "The acuity of both eyes."),
    ] {
        let finding = findings.sight.eye(eye);
        if !finding.by_size.is_empty() {
            let acuity = Acuity::of(record, finding, eye).near();
            all.push(draw(name, about, &acuity, ACUITY));
        }
    }
    all
}
