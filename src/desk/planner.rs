//! Which lines this screen can show from where, and what would have to change.

use super::style::{Theme, line, type_size};
use super::words::{decimals, prepare as say, spoken};
use crate::calibration::{ScreenProfile, nearest_distance};
use crate::quantity::{LogMar, Mm};
use crate::standard::iso_8596_2017::acuity_lines;
use eframe::egui::{
    Align2, Color32, FontId, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2,
};

/// The distances of the picture, mm, on a logarithmic scale.
const FROM_MM: f64 = 400.0;
const TO_MM: f64 = 8000.0;
/// The lines of the picture, logMAR.
const SMALLEST: f64 = -0.3;
const LARGEST: f64 = 1.3;
/// Up to here the eye has to focus nearer than for far, by more than a quarter dioptre.
const FAR_MM: f64 = 4000.0;
/// The line that a screen should be able to show: an eye that sees no smaller one may still hide a
/// difference from the other (our choice).
const WANTED: LogMar = LogMar(-0.1);

/// From where a line can be shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// The line.
    pub log_mar: LogMar,
    /// Its name at 6 m.
    pub name: &'static str,
    /// From here on its strokes have two pixels.
    pub nearest: Mm,
    /// To here it fits.
    pub farthest: Mm,
}

/// From where each line can be shown on this screen.
#[must_use]
pub fn reaches(screen: &ScreenProfile) -> Vec<Reach> {
    let shown = acuity_lines()
        .iter()
        .filter(|line| (SMALLEST - 1e-9..=LARGEST + 1e-9).contains(&line.log_mar.0));
    let reach = |line: &crate::standard::iso_8596_2017::AcuityLine| {
        let nearest = nearest_distance(line.log_mar, screen.record().pixel_mm);
        // What fills the screen from here fills it from there in proportion.
        let farthest = screen.distance_for(line.log_mar, Mm(f64::MAX))?;
        Some(Reach {
            log_mar: line.log_mar,
            name: line.six_metre,
            nearest,
            farthest,
        })
    };
    shown.filter_map(reach).collect()
}

/// How much nearer than for far the eye has to focus at `distance`, dioptres.
#[must_use]
pub fn vergence_d(distance: Mm) -> f64 {
    1000.0 / distance.0
}

/// What the distance asks of the eye, in words; none from 4 m on.
#[must_use]
pub fn correction(distance: Mm) -> Option<String> {
    let dioptres = vergence_d(distance);
    (distance.0 < FAR_MM - 0.5).then(|| {
        // Lenses come in steps of a quarter.
        let lens = (4.0 * dioptres).round() / 4.0;
        say::FOCUSES.fill(&[
            &decimals(distance.0 / 1000.0, 2),
            &decimals(dioptres, 2),
            &format!("+{}", decimals(lens, 2)),
        ])
    })
}

/// What has to change for the smallest lines, in words; none if nothing has.
#[must_use]
pub fn change(screen: &ScreenProfile, distance: Mm) -> Option<String> {
    if screen.smallest(distance) <= WANTED {
        return None;
    }
    let pixel = screen.record().pixel_mm;
    let nearest = nearest_distance(WANTED, pixel);
    let finer = (1000.0 * pixel.0 * distance.0 / nearest.0).floor() / 1000.0;
    Some(say::STAND_FARTHER.fill(&[
        &decimals(WANTED.0, 1),
        &decimals((nearest.0 / 10.0).ceil() / 100.0, 2),
        &decimals(finer, 3),
    ]))
}

/// Draws the lines over the distances from which this screen can show them.
pub fn draw(ui: &mut Ui, theme: &Theme, screen: &ScreenProfile, distance: Option<Mm>) {
    const LEFT: f32 = 44.0;
    const FOOT: f32 = 20.0;
    let reaches = reaches(screen);
    let size = Vec2::new(ui.available_width().min(460.0), 230.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let shown = distance.map_or(0, |at| {
        reaches
            .iter()
            .filter(|one| one.nearest <= at && at <= one.farthest)
            .count()
    });
    let told = say::LINES_SHOWN.fill(&[&shown.to_string(), &reaches.len().to_string()]);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, told.clone()));
    let plot = Rect::from_min_max(rect.min + vec2(LEFT, 4.0), rect.max - vec2(12.0, FOOT));
    let x = |mm: f64| {
        let share = libm::log(mm.clamp(FROM_MM, TO_MM) / FROM_MM) / libm::log(TO_MM / FROM_MM);
        plot.left() + share as f32 * plot.width()
    };
    let painter = ui.painter();
    let say = |at: Pos2, align: Align2, text: &str, ink: Color32| {
        let font = FontId::proportional(0.85 * type_size::SMALL);
        painter.text(at, align, text, font, ink);
    };
    let step = plot.height() / reaches.len().max(1) as f32;
    for (row, reach) in (0_u16..).zip(&reaches) {
        let y = plot.bottom() - (f32::from(row) + 0.5) * step;
        let here = distance.is_some_and(|at| reach.nearest <= at && at <= reach.farthest);
        let bar = |from: f64, to: f64, ink: Color32| {
            if from < to.min(TO_MM) && to > FROM_MM {
                let half = 0.32 * step;
                let bar = Rect::from_min_max(pos2(x(from), y - half), pos2(x(to), y + half));
                painter.rect_filled(bar, 1.0, ink);
            }
        };
        bar(reach.nearest.0, reach.farthest.0, theme.band);
        let ink = if here { theme.ink } else { theme.quiet };
        if row % 2 == 1 {
            say(
                pos2(plot.left() - 6.0, y),
                Align2::RIGHT_CENTER,
                &spoken().decimal(reach.name),
                ink,
            );
        }
    }
    for (mm, text) in [
        (400.0, &*spoken().decimal("0.4")),
        (1000.0, "1"),
        (2000.0, "2"),
        (4000.0, "4"),
        (8000.0, "8 m"),
    ] {
        let at = pos2(x(mm), plot.bottom());
        let tick = [at, at + vec2(0.0, 4.0)];
        painter.line_segment(tick, Stroke::new(line::FINE, theme.quiet));
        say(
            at + vec2(0.0, 5.0),
            Align2::CENTER_TOP,
            text,
            theme.ink_soft,
        );
    }
    if let Some(distance) = distance {
        let at = x(distance.0);
        let stroke = Stroke::new(line::BOLD, theme.accent);
        painter.line_segment([pos2(at, plot.top()), pos2(at, plot.bottom())], stroke);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn screen(pixel_mm: f64) -> ScreenProfile {
        let record = crate::calibration::ScreenRecord {
            pixel_mm: Mm(pixel_mm),
            width_px: 1920,
            height_px: 1080,
            ..ScreenProfile::simulated().record().clone()
        };
        ScreenProfile::try_from(record).unwrap()
    }

    /// The nearest distances for two pixels a stroke, metres, worked out apart from the program as
    /// 2 pitch / tan(MAR) and rounded to a centimetre.
    #[test]
    fn lines_begin_where_the_table_of_distances_says() {
        for (pixel_mm, at_0, at_minus_1, at_minus_3) in [
            (0.277, 1.90, 2.40, 3.80),
            (0.233, 1.60, 2.02, 3.20),
            (0.185, 1.27, 1.60, 2.54),
            (0.155, 1.07, 1.34, 2.13),
            (0.115, 0.79, 1.00, 1.58),
        ] {
            let reaches = reaches(&screen(pixel_mm));
            for (log_mar, nearest_m) in [(0.0, at_0), (-0.1, at_minus_1), (-0.3, at_minus_3)] {
                let found = reaches
                    .iter()
                    .find(|one| (one.log_mar.0 - log_mar).abs() < 1e-9);
                let off = found.unwrap().nearest.0 / 1000.0 - nearest_m;
                assert!(off.abs() < 0.011, "{pixel_mm} {log_mar}: {off}");
            }
        }
    }

    /// From 40 cm pixels of 0.2 mm end at logMAR 0.54: log10 of 3.44 minutes of arc, 0.4 mm wide.
    #[test]
    fn near_a_screen_ends_at_two_pixels_a_stroke() {
        let smallest = screen(0.2).smallest(Mm(400.0)).0;
        assert!((smallest - 0.54).abs() < 0.005, "{smallest}");
    }

    /// Vergence at 6, 4, 3, 2, 1 m and 40 cm: one over the distance in metres.
    #[test]
    fn vergence_and_what_has_to_change_are_told() {
        let table = [
            (6.0, 0.17),
            (4.0, 0.25),
            (3.0, 0.33),
            (2.0, 0.5),
            (1.0, 1.0),
            (0.4, 2.5),
        ];
        for (metres, dioptres) in table {
            assert!((vergence_d(Mm(1000.0 * metres)) - dioptres).abs() < 0.005);
        }
        assert_eq!(correction(Mm(4000.0)), None);
        assert!(correction(Mm(2000.0)).unwrap().contains("+0.50 D"));
        let coarse = screen(0.277);
        assert_eq!(change(&coarse, Mm(4000.0)), None);
        let words = change(&coarse, Mm(1200.0)).unwrap();
        assert!(
            words.contains("2.40 m") && words.contains("0.138 mm"),
            "{words}"
        );
        assert!(screen(0.138).smallest(Mm(1200.0)) <= WANTED);
    }
}
