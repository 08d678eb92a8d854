//! Profiles of screens.

use super::file::{FieldError, FileError, digest, read_toml};
use super::{FORMAT, check};
use crate::quantity::{LogMar, Mm};
use crate::standard::iso_8596_2017 as iso;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// The fewest pixels a stroke may have (our own rule: with grey-shaded edges two are usable).
const PIXELS_A_STROKE: f64 = 2.0;

/// The part of the screen's shorter side that an optotype may fill (our own rule).
const FILLED: f64 = 0.9;

/// The smallest size that pixels of this pitch can draw at `distance`: two pixels a stroke.
#[must_use]
pub fn smallest_drawable(pixel: Mm, distance: Mm) -> LogMar {
    iso::size(shortest(pixel), distance)
}

/// The nearest distance, in whole millimetres, from which pixels of this pitch can draw `size`.
#[must_use]
pub fn nearest_distance(size: LogMar, pixel: Mm) -> Mm {
    Mm(libm::ceil(iso::distance(size, shortest(pixel)).0))
}

fn shortest(pixel: Mm) -> Mm {
    Mm(iso::STROKES * PIXELS_A_STROKE * pixel.0)
}

/// What a screen's profile rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ScreenKind {
    /// Invented, for simulated people only.
    Simulated,
    /// Measured on the screen.
    Measured,
}

/// What a screen profile's file holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScreenRecord {
    /// The version of the format, [`FORMAT`].
    pub format: u32,
    /// What it rests on.
    pub kind: ScreenKind,
    /// What people call it; one line.
    pub title: String,
    /// How it was made; one line.
    pub method: String,
    /// Who made it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_by: Option<String>,
    /// When it was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub made_on: Option<Date>,
    /// The pitch of the physical pixels.
    pub pixel_mm: Mm,
    /// The standard uncertainty of the pitch, as a fraction of it.
    pub u_rel: f64,
    /// Physical pixels across.
    pub width_px: u32,
    /// Physical pixels from top to bottom.
    pub height_px: u32,
    /// The monitor as the system names it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub monitor: Option<String>,
    /// Physical pixels a logical point when it was measured; another one asks for a new profile.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale_factor: Option<f64>,
    /// The luminance of white, by a meter, cd/m².
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub white_cd_m2: Option<f64>,
    /// The luminance of black, by the same meter from the same place, cd/m².
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub black_cd_m2: Option<f64>,
}

/// A profile of a screen: a record that was checked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(into = "ScreenRecord", try_from = "ScreenRecord")]
pub struct ScreenProfile(ScreenRecord);

impl TryFrom<ScreenRecord> for ScreenProfile {
    type Error = FieldError;
    fn try_from(record: ScreenRecord) -> Result<ScreenProfile, FieldError> {
        check::screen(&record)?;
        Ok(ScreenProfile(record))
    }
}

impl From<ScreenProfile> for ScreenRecord {
    fn from(profile: ScreenProfile) -> ScreenRecord {
        profile.0
    }
}

impl ScreenProfile {
    /// The built-in screen for simulated people: pixels of 0.125 mm, 4800 by 2700.
    #[must_use]
    pub fn simulated() -> ScreenProfile {
        ScreenProfile(ScreenRecord {
            format: FORMAT,
            kind: ScreenKind::Simulated,
            title: "simulated".to_owned(),
            method: "invented, for simulated people only".to_owned(),
            made_by: None,
            made_on: None,
            pixel_mm: Mm(0.125),
            u_rel: 0.003,
            width_px: 4800,
            height_px: 2700,
            monitor: None,
            scale_factor: None,
            white_cd_m2: None,
            black_cd_m2: None,
        })
    }

    /// What it holds.
    #[must_use]
    pub fn record(&self) -> &ScreenRecord {
        &self.0
    }

    /// Whether white is as bright as acuity is measured with: 80 to 320 cd/m² (ISO 8596; the figures
    /// from memory); none without a meter.
    #[must_use]
    pub fn bright_enough(&self) -> Option<bool> {
        self.0
            .white_cd_m2
            .map(|white| (80.0..=320.0).contains(&white))
    }

    /// The smallest size that it can draw at `distance`: two pixels a stroke.
    #[must_use]
    pub fn smallest(&self, distance: Mm) -> LogMar {
        smallest_drawable(self.0.pixel_mm, distance)
    }

    /// The largest size that it can draw at `distance`: 90 % of its shorter side.
    #[must_use]
    pub fn largest(&self, distance: Mm) -> LogMar {
        iso::size(self.tallest(), distance)
    }

    /// The largest size of which so many letters have room in a row, one letter's width apart, on
    /// 90 % of its width, and one of which has room by itself.
    #[must_use]
    pub fn largest_row(&self, letters: u32, distance: Mm) -> LogMar {
        let wide = FILLED * f64::from(self.0.width_px) * self.0.pixel_mm.0;
        let letter = Mm(wide / f64::from(2 * letters.max(1) - 1));
        let by_width = iso::size(letter, distance);
        LogMar(by_width.0.min(self.largest(distance).0))
    }

    /// The distance nearest to `distance`, in whole millimetres, at which it can draw `size`;
    /// `distance` itself if that will do, `None` if none will.
    #[must_use]
    pub fn distance_for(&self, size: LogMar, distance: Mm) -> Option<Mm> {
        let nearest = nearest_distance(size, self.0.pixel_mm).0;
        let farthest = libm::floor(iso::distance(size, self.tallest()).0);
        let there = nearest >= 1.0 && nearest <= farthest && farthest.is_finite();
        there.then(|| Mm(distance.0.clamp(nearest, farthest)))
    }

    /// Reads a profile's file.
    ///
    /// # Errors
    /// One line that names the file, the field and what was expected.
    pub fn from_toml(text: &str, file: &str) -> Result<ScreenProfile, FileError> {
        let record: ScreenRecord = read_toml(text, file)?;
        ScreenProfile::try_from(record).map_err(|error| error.in_file(file))
    }

    /// Its file, always written the same way.
    ///
    /// # Panics
    /// Never: strings, numbers and dates are all that a record holds, and TOML holds them.
    #[must_use]
    pub fn to_toml(&self) -> String {
        toml::to_string(&self.0).expect("a record holds only strings, numbers and dates")
    }

    /// SHA-256 of [`ScreenProfile::to_toml`], in hexadecimal.
    #[must_use]
    pub fn digest(&self) -> String {
        digest(&self.to_toml())
    }

    fn tallest(&self) -> Mm {
        let side = f64::from(self.0.width_px.min(self.0.height_px)) * self.0.pixel_mm.0;
        Mm(FILLED * side)
    }
}
