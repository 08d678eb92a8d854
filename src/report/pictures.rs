//! The audiogram and each eye's acuity as pictures of their own: SVG and PNG.

use super::dossier::Dossier;
use super::figure::audiogram::Audiogram;
use super::figure::shape::at;
use super::figure::{Acuity, Area, Drawing};
use super::print::{PictureError, png_of, svg_of};
use super::words::Lang;
use crate::quantity::Eye;

/// A picture as a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PictureFile {
    /// Its name: `audiogram.svg`, `acuity-right.png`.
    pub name: String,
    /// Its media type.
    pub media_type: &'static str,
    /// All of it.
    pub bytes: Vec<u8>,
}

/// Width and height of an audiogram with its key, and of an acuity, points.
const AUDIOGRAM: [f32; 2] = [900.0, 560.0];
const ACUITY: [f32; 2] = [420.0, 340.0];
/// Free around a figure, points.
const MARGIN: f32 = 16.0;
/// Pixels a point: 144 an inch.
const PNG_SCALE: f32 = 2.0;

/// The pictures of a visit: of what was tested, and of nothing else.
///
/// # Errors
/// Only if a picture cannot be drawn, which does not happen with these sizes.
pub fn pictures(dossier: &Dossier, lang: Lang) -> Result<Vec<PictureFile>, PictureError> {
    let (record, findings) = (&dossier.record, &dossier.findings);
    let mut all = Vec::new();
    let audiogram = Audiogram::of(record, &findings.hearing, findings.as_obtained.hearing)
        .with_screening(findings.screening.as_ref());
    if !audiogram.marks.is_empty() {
        all.extend(both(dossier, "audiogram", &audiogram, AUDIOGRAM, lang)?);
    }
    for (eye, name) in [
        (Eye::Right, "acuity-right"),
        (Eye::Left, "acuity-left"),
        (Eye::Both, "acuity-both"),
    ] {
        let finding = findings.sight.eye(eye);
        if !finding.by_size.is_empty() {
            let acuity = Acuity::of(record, finding, eye).near();
            all.extend(both(dossier, name, &acuity, ACUITY, lang)?);
        }
    }
    Ok(all)
}

fn both(
    dossier: &Dossier,
    name: &str,
    drawing: &dyn Drawing,
    [width, height]: [f32; 2],
    lang: Lang,
) -> Result<[PictureFile; 2], PictureError> {
    let shapes = drawing.shapes(Area::sized(at(0.0, 0.0), width, height), lang);
    let whole = Area {
        min: at(-MARGIN, -MARGIN),
        max: at(width + MARGIN, height + MARGIN),
    };
    let told = drawing.told(lang);
    let svg = svg_of(&shapes, whole, dossier.whose(), &told, lang.tag());
    let png = png_of(&shapes, whole, PNG_SCALE)?;
    Ok([
        PictureFile {
            name: format!("{name}.svg"),
            media_type: "image/svg+xml",
            bytes: svg.into_bytes(),
        },
        PictureFile {
            name: format!("{name}.png"),
            media_type: "image/png",
            bytes: png,
        },
    ])
}
