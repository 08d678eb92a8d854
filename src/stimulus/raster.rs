//! Pixels: a grey raster, and how an outline's ink is spread over it exactly.

/// A picture of grey pixels, row by row from the top left: 0 is black, 255 white, encoded by the
/// sRGB transfer function (IEC 61966-2-1).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Raster {
    /// Pixels in a row.
    pub width_px: u32,
    /// Rows.
    pub height_px: u32,
    /// One byte a pixel.
    pub grey: Vec<u8>,
}

impl Raster {
    /// The raster as an opaque 8-bit grey PNG.
    ///
    /// # Errors
    /// If there are not `width_px` times `height_px` pixels, or none at all.
    pub fn png(&self) -> Result<Vec<u8>, png::EncodingError> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width_px, self.height_px);
        encoder.set_color(png::ColorType::Grayscale);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_source_srgb(png::SrgbRenderingIntent::RelativeColorimetric);
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&self.grey)?;
        writer.finish()?;
        Ok(bytes)
    }
}

impl Raster {
    /// Left and right exchanged.
    #[must_use]
    pub(super) fn mirrored(mut self) -> Raster {
        for row in self.grey.chunks_mut((self.width_px as usize).max(1)) {
            row.reverse();
        }
        self
    }
}

/// A point in pixels, from the top left corner to the right and down.
pub(super) type Point = (f64, f64);

/// Black ink on white, or with `reverse` white on black: fills closed outlines, every pixel as dark
/// (as light) as the share of its area that is inked, mixed in linear light. They must lie within the picture and cross neither themselves nor
/// each other; all run the same way round, those of holes the other way.
pub(super) fn ink(outlines: &[Vec<Point>], width_px: u32, height_px: u32, reverse: bool) -> Raster {
    // Rounding may put a point a hair beyond the rim.
    let inside = |&(x, y): &Point| (x.clamp(0.0, f64::from(width_px)), y);
    let mut crossing = vec![Vec::new(); height_px as usize];
    let edges = outlines
        .iter()
        .flat_map(|outline| outline.iter().zip(outline.iter().cycle().skip(1)));
    for (from, to) in edges {
        let (top, bottom) = (from.1.min(to.1).floor(), from.1.max(to.1).ceil());
        for row in top.max(0.0) as usize..(bottom as usize).min(crossing.len()) {
            crossing[row].push((inside(from), inside(to)));
        }
    }
    let width = width_px as usize;
    let mut grey = Vec::with_capacity(width * height_px as usize);
    // One column more than the row has, for what lies to the right of it.
    let mut change = vec![0.0; width + 1];
    for (row, edges) in crossing.iter().enumerate() {
        change.fill(0.0);
        for &(from, to) in edges {
            add_edge(&mut change, row as f64, from, to);
        }
        let mut covered = 0.0;
        grey.extend(change[..width].iter().map(|step| {
            covered += step;
            let inked = f64::abs(covered).min(1.0);
            srgb_grey(if reverse { inked } else { 1.0 - inked })
        }));
    }
    Raster {
        width_px,
        height_px,
        grey,
    }
}

/// Adds what one edge does to a row of pixels: their coverage is the running sum of `change`.
///
/// Everything to the right of an edge lies inside (or, on the way back, outside again): each
/// pixel that the edge passes gets the share to the edge's right, the next pixel the rest.
fn add_edge(change: &mut [f64], row: f64, from: Point, to: Point) {
    let (sign, (x0, y0), (x1, y1)) = if from.1 < to.1 {
        (1.0, from, to)
    } else {
        (-1.0, to, from)
    };
    let (top, bottom) = (y0.max(row), y1.min(row + 1.0));
    if top >= bottom {
        return;
    }
    let slope = (x1 - x0) / (y1 - y0);
    let x_at = |y: f64| (x0 + slope * (y - y0)).clamp(x0.min(x1), x0.max(x1));
    let (left, right) = (x_at(top).min(x_at(bottom)), x_at(top).max(x_at(bottom)));
    let height = sign * (bottom - top);
    let mut x = left;
    loop {
        let column = x.floor();
        let next = right.min(column + 1.0);
        let share = if right > left {
            (next - x) / (right - left)
        } else {
            1.0
        };
        let rest = 0.5 * (x + next) - column;
        let pixel = column as usize;
        change[pixel] += height * share * (1.0 - rest);
        if let Some(beyond) = change.get_mut(pixel + 1) {
            *beyond += height * share * rest;
        }
        if next >= right {
            return;
        }
        x = next;
    }
}

/// The sRGB code of a luminance relative to white (IEC 61966-2-1:1999, 5.2).
fn srgb_grey(luminance: f64) -> u8 {
    let encoded = if luminance <= 0.003_130_8 {
        12.92 * luminance.max(0.0)
    } else {
        1.055 * libm::pow(luminance, 1.0 / 2.4) - 0.055
    };
    (255.0 * encoded).round() as u8
}

#[cfg(test)]
pub(super) fn ink_share(grey: u8) -> f64 {
    let encoded = f64::from(grey) / 255.0;
    // IEC 61966-2-1:1999, 5.2, the way back.
    let luminance = if encoded <= 0.040_45 {
        encoded / 12.92
    } else {
        ((encoded + 0.055) / 1.055).powf(2.4)
    };
    1.0 - luminance
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_pixel_of_ink_is_half_the_light() {
        // sRGB codes of 0, 18 %, 50 % and 100 % luminance: 0, 118, 188, 255 (widely published,
        // from memory).
        for (luminance, code) in [(0.0, 0), (0.18, 118), (0.5, 188), (1.0, 255)] {
            assert_eq!(srgb_grey(luminance), code);
        }
        for code in 0..=255 {
            assert_eq!(srgb_grey(1.0 - ink_share(code)), code);
        }
    }

    #[test]
    fn a_rectangle_inks_each_pixel_by_its_share_whichever_way_round() {
        let mut outline = vec![(0.25, 0.5), (2.5, 0.5), (2.5, 2.0), (0.25, 2.0)];
        // By hand: columns 3/4, 1, 1/2, 0 covered; rows 1/2, 1, 0.
        let expected: Vec<u8> = [0.5, 1.0, 0.0]
            .iter()
            .flat_map(|row| [0.75, 1.0, 0.5, 0.0].map(|column| srgb_grey(1.0 - row * column)))
            .collect();
        assert_eq!(
            ink(std::slice::from_ref(&outline), 4, 3, false).grey,
            expected
        );
        outline.reverse();
        assert_eq!(
            ink(std::slice::from_ref(&outline), 4, 3, false).grey,
            expected
        );
    }

    #[test]
    fn a_slanting_edge_halves_the_pixels_that_it_crosses_corner_to_corner() {
        let triangle = vec![(0.0, 0.0), (3.0, 3.0), (0.0, 3.0)];
        let (none, half, all) = (255, srgb_grey(0.5), 0);
        let expected = [half, none, none, all, half, none, all, all, half];
        assert_eq!(ink(&[triangle], 3, 3, false).grey, expected);
    }

    #[test]
    fn ink_may_reach_every_rim() {
        let whole = vec![
            (0.0, 0.0),
            (2.0 + 1e-15, 0.0),
            (2.0 + 1e-15, 3.0),
            (-1e-15, 3.0),
        ];
        assert_eq!(ink(&[whole], 2, 3, false).grey, [0; 6]);
    }

    #[test]
    fn the_png_holds_the_very_pixels() {
        let raster = Raster {
            width_px: 3,
            height_px: 2,
            grey: vec![0, 128, 255, 7, 8, 9],
        };
        let bytes = raster.png().unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .unwrap();
        let mut pixels = vec![0; 6];
        let info = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((info.width, info.height), (3, 2));
        assert_eq!(
            (info.color_type, info.bit_depth),
            (png::ColorType::Grayscale, png::BitDepth::Eight)
        );
        assert_eq!(pixels, raster.grey);
        assert!(
            Raster {
                grey: vec![0; 5],
                ..raster
            }
            .png()
            .is_err()
        );
    }
}
