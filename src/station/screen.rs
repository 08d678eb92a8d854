//! When an optotype counts as shown.
//!
//! A window's first frames are painted before its final size is known, and a move to another
//! display changes its scale: an optotype counts only after two identical paints.

/// One paint of the person's window, in physical pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PaintReport {
    /// Which raster was painted: differs for each presentation.
    pub token: u64,
    /// The window's width.
    pub width_px: u32,
    /// The window's height.
    pub height_px: u32,
    /// The window's scale.
    pub pixels_per_point: f32,
    /// Where the raster lies within the window.
    pub raster_rect: PixelRect,
}

/// A rectangle of whole physical pixels; the origin is the window's upper left corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PixelRect {
    /// Its left edge.
    pub left: i32,
    /// Its upper edge.
    pub top: i32,
    /// Its width.
    pub width: u32,
    /// Its height.
    pub height: u32,
}

/// What a paint tells of its optotype.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// It has been painted twice in the same way: it counts as shown.
    Shown,
    /// It counted as shown, and now it was painted otherwise.
    Disturbed,
    /// It has been painted twice in the same way, and the window has no room for it.
    Cut,
}

/// Watches the paints; each thing is told once.
#[derive(Debug, Default)]
pub struct ShownGate {
    last: Option<PaintReport>,
    told: Option<Seen>,
}

impl ShownGate {
    /// Takes the report of a paint.
    pub fn painted(&mut self, paint: PaintReport) -> Option<Seen> {
        let of_it = self.last.filter(|last| last.token == paint.token);
        let before = self.told.filter(|_| of_it.is_some());
        let now = match of_it {
            Some(last) if last != paint => before
                .filter(|seen| *seen == Seen::Shown)
                .map(|_| Seen::Disturbed),
            Some(_) if whole(&paint) => Some(Seen::Shown),
            Some(_) => Some(Seen::Cut),
            None => None,
        };
        *self = ShownGate {
            last: Some(paint),
            told: now,
        };
        now.filter(|_| now != before)
    }

    /// Something covered or cleared the window: nothing counts as shown.
    pub fn cleared(&mut self) {
        *self = ShownGate::default();
    }
}

/// Whether the raster lies whole within a window that has a scale.
fn whole(paint: &PaintReport) -> bool {
    let PixelRect {
        left,
        top,
        width,
        height,
    } = paint.raster_rect;
    let inside = |from: i32, size: u32, room: u32| {
        size > 0 && from >= 0 && i64::from(from) + i64::from(size) <= i64::from(room)
    };
    inside(left, width, paint.width_px)
        && inside(top, height, paint.height_px)
        && paint.pixels_per_point.is_finite()
        && paint.pixels_per_point > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAINT: PaintReport = PaintReport {
        token: 5,
        width_px: 1920,
        height_px: 1080,
        pixels_per_point: 1.25,
        raster_rect: PixelRect {
            left: 900,
            top: 480,
            width: 120,
            height: 120,
        },
    };

    #[test]
    fn the_second_identical_paint_counts_and_is_told_once() {
        let mut gate = ShownGate::default();
        assert_eq!(gate.painted(PAINT), None);
        assert_eq!(gate.painted(PAINT), Some(Seen::Shown));
        assert_eq!(gate.painted(PAINT), None);
    }

    #[test]
    fn whatever_changes_begins_anew() {
        let moved = PixelRect {
            left: 901,
            ..PAINT.raster_rect
        };
        let grown = PixelRect {
            width: 121,
            ..PAINT.raster_rect
        };
        for change in [
            PaintReport { token: 6, ..PAINT },
            PaintReport {
                width_px: 1921,
                ..PAINT
            },
            PaintReport {
                height_px: 1081,
                ..PAINT
            },
            PaintReport {
                pixels_per_point: 1.0,
                ..PAINT
            },
            PaintReport {
                raster_rect: moved,
                ..PAINT
            },
            PaintReport {
                raster_rect: grown,
                ..PAINT
            },
        ] {
            let mut gate = ShownGate::default();
            assert_eq!(gate.painted(PAINT), None);
            assert_eq!(gate.painted(change), None);
            assert_eq!(gate.painted(PAINT), None);
            assert_eq!(gate.painted(change), None);
            assert_eq!(gate.painted(change), Some(Seen::Shown));
            let other = change.token != PAINT.token;
            let disturbed = (!other).then_some(Seen::Disturbed);
            assert_eq!(gate.painted(PAINT), disturbed, "from its first paint on");
            assert_eq!(gate.painted(PAINT), Some(Seen::Shown), "told again");
        }
    }

    /// A window that was made too small disturbs what it showed, though it never shows it whole again.
    #[test]
    fn what_is_cut_off_while_it_is_shown_is_disturbed() {
        let mut gate = ShownGate::default();
        gate.painted(PAINT);
        gate.painted(PAINT);
        let small = PaintReport {
            width_px: 950,
            ..PAINT
        };
        assert_eq!(gate.painted(small), Some(Seen::Disturbed));
        assert_eq!(gate.painted(small), Some(Seen::Cut));
        assert_eq!(gate.painted(small), None);
    }

    #[test]
    fn a_picture_cut_by_the_edge_or_without_a_scale_never_counts() {
        let rect = PAINT.raster_rect;
        for bad in [
            PaintReport {
                raster_rect: PixelRect { left: -1, ..rect },
                ..PAINT
            },
            PaintReport {
                raster_rect: PixelRect { top: 961, ..rect },
                ..PAINT
            },
            PaintReport {
                raster_rect: PixelRect { width: 0, ..rect },
                ..PAINT
            },
            PaintReport {
                raster_rect: PixelRect {
                    width: u32::MAX,
                    ..rect
                },
                ..PAINT
            },
            PaintReport {
                width_px: 0,
                height_px: 0,
                ..PAINT
            },
            PaintReport {
                pixels_per_point: f32::NAN,
                ..PAINT
            },
            PaintReport {
                pixels_per_point: 0.0,
                ..PAINT
            },
        ] {
            let mut gate = ShownGate::default();
            let told = [gate.painted(bad), gate.painted(bad), gate.painted(bad)];
            assert!(!told.contains(&Some(Seen::Shown)), "{bad:?}");
        }
    }

    #[test]
    fn a_cleared_window_shows_nothing() {
        let mut gate = ShownGate::default();
        gate.painted(PAINT);
        gate.cleared();
        assert_eq!(gate.painted(PAINT), None);
        assert_eq!(gate.painted(PAINT), Some(Seen::Shown));
    }
}
