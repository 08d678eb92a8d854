//! A ring as the screen would get it, measured in the picture.

use crate::at_hand::{folder, veridical, word};
use std::f64::consts::PI;

/// Light of each pixel, 0 black to 1 white, row by row.
struct Picture {
    width: usize,
    height: usize,
    light: Vec<f64>,
}

fn ring(name: &str, facing: &str, log_mar: &str, distance_mm: &str, pixel_mm: &str) -> Picture {
    let out = folder("optotype").join(name);
    let told = veridical(&[
        "optotype",
        "--kind",
        "landolt",
        "--facing",
        facing,
        "--log-mar",
        log_mar,
        "--distance-mm",
        distance_mm,
        "--pixel-mm",
        pixel_mm,
        "--out",
        &word(&out),
    ]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let file = std::io::BufReader::new(std::fs::File::open(out).unwrap());
    let mut reader = png::Decoder::new(file).read_info().unwrap();
    let mut grey = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut grey).unwrap();
    assert_eq!(info.color_type, png::ColorType::Grayscale);
    assert_eq!(info.bit_depth, png::BitDepth::Eight);
    Picture {
        width: info.width as usize,
        height: info.height as usize,
        light: grey[..info.buffer_size()]
            .iter()
            .map(|one| light(*one))
            .collect(),
    }
}

/// The sRGB transfer function (IEC 61966-2-1).
fn light(grey: u8) -> f64 {
    let v = f64::from(grey) / 255.0;
    if v <= 0.04045 {
        v / 12.92
    } else {
        ((v + 0.055) / 1.055).powf(2.4)
    }
}

impl Picture {
    fn ink(&self, x: usize, y: usize) -> f64 {
        1.0 - self.light[y * self.width + x]
    }

    fn area(&self) -> f64 {
        self.light.iter().map(|light| 1.0 - light).sum()
    }

    /// From where the ink of a column begins to where it ends, in pixels.
    fn height_at(&self, x: usize) -> f64 {
        let inked: Vec<usize> = (0..self.height).filter(|y| self.ink(x, *y) > 0.0).collect();
        let (first, last) = (inked[0], inked[inked.len() - 1]);
        (last - first - 1) as f64 + self.ink(x, first) + self.ink(x, last)
    }
}

/// 6/6 at 6 m is 8.73 mm high (published, five minutes of arc); the ring is five strokes high and
/// its gap is one stroke wide with parallel sides (ISO 8596:2017, the Landolt ring).
#[test]
fn a_ring_of_6_6_at_6_m_is_8_73_mm_high() {
    const PIXEL_MM: f64 = 0.04;
    let picture = ring("six.png", "right", "0.0", "6000", "0.04");
    // Columns next to the middle, away from the gap.
    let high_mm = picture.height_at(picture.width / 2) * PIXEL_MM;
    assert!((high_mm - 8.73).abs() < 0.01, "{high_mm}");
    // The gap's area: the whole ring less the ink that is there.
    let diameter = 8.7266 / PIXEL_MM;
    let whole = PI / 4.0 * (diameter * diameter - (0.6 * diameter).powi(2));
    let gap = whole - picture.area();
    let stroke = diameter / 5.0;
    // Between the circles, over one stroke's width, by the midpoint rule.
    let steps = 10_000;
    let between = |at: f64| {
        let across = |radius: f64| (radius * radius - at * at).sqrt();
        across(diameter / 2.0) - across(0.3 * diameter)
    };
    let expected: f64 = (0..steps)
        .map(|step| (f64::from(step) + 0.5) / f64::from(steps) - 0.5)
        .map(|share| between(share * stroke) * stroke / f64::from(steps))
        .sum();
    assert!(
        (gap / expected - 1.0).abs() < 0.01,
        "{gap} against {expected}"
    );
}

/// The gap is where it should be: less ink on that side of the middle than on any other.
#[test]
fn the_gap_is_on_the_side_that_was_asked_for() {
    for (facing, x, y) in [
        ("right", 1, 0),
        ("up_right", 1, -1),
        ("up", 0, -1),
        ("up_left", -1, -1),
        ("left", -1, 0),
        ("down_left", -1, 1),
        ("down", 0, 1),
        ("down_right", 1, 1),
    ] {
        let picture = ring(&format!("{facing}.png"), facing, "0.5", "3000", "0.2");
        assert_eq!(picture.width, picture.height);
        let side = picture.width as f64;
        let (mut ink, mut moment_x, mut moment_y) = (0.0, 0.0, 0.0);
        for row in 0..picture.height {
            for column in 0..picture.width {
                let here = picture.ink(column, row);
                ink += here;
                moment_x += here * (column as f64 + 0.5 - side / 2.0);
                moment_y += here * (row as f64 + 0.5 - side / 2.0);
            }
        }
        // The ink's centre lies away from the gap.
        let away = |moment: f64, towards: i32| match towards {
            0 => (moment / ink).abs() < 0.05,
            _ => moment * f64::from(towards) / ink < -0.5,
        };
        assert!(
            away(moment_x, x) && away(moment_y, y),
            "{facing} {moment_x} {moment_y}"
        );
    }
}

#[test]
fn a_size_that_cannot_be_drawn_is_refused_with_the_distance_that_would_do() {
    let out = word(&folder("too-small").join("ring.png"));
    for (log_mar, pixel_mm) in [
        ("0.0", "0.2"),
        ("0.13", "0.217"),
        ("-0.1", "0.111"),
        ("0.05", "0.25"),
    ] {
        let small = [
            "optotype",
            "--facing",
            "up",
            "--log-mar",
            log_mar,
            "--pixel-mm",
            pixel_mm,
            "--out",
            &out,
        ];
        let refused = veridical(&[&small[..], &["--distance-mm", "700"]].concat());
        refused.refused(&["--log-mar", "a distance of"]);
        assert!(!std::path::Path::new(&out).exists());
        // The distance that it names does.
        let named = refused.err.split("a distance of ").nth(1).unwrap();
        let named_m: f64 = named.split(' ').next().unwrap().parse().unwrap();
        let farther = format!("{}", named_m * 1000.0);
        let again = veridical(&[&small[..], &["--distance-mm", &farther]].concat());
        assert_eq!(again.code, Some(0), "{}{}", refused.err, again.err);
        std::fs::remove_file(&out).unwrap();
    }
}

/// Every kind can be written, and what it cannot be is one line that names the option.
#[test]
fn every_kind_is_drawn_and_what_does_not_fit_is_refused() {
    let at = folder("kinds");
    let write = |more: &[&str]| {
        let out = word(&at.join("one.png"));
        let mut args = vec!["optotype", "--log-mar", "0.3", "--distance-mm", "4000"];
        args.extend(["--pixel-mm", "0.2", "--out", &out]);
        args.extend(more);
        let told = veridical(&args);
        (told.code, told.err, std::fs::read(at.join("one.png")).ok())
    };
    let mut pictures = Vec::new();
    for kind in [
        vec!["--kind", "landolt", "--facing", "up_left"],
        vec!["--kind", "landolt", "--facing", "up_left", "--mirror"],
        vec!["--kind", "tumbling_e", "--facing", "up"],
        vec!["--kind", "tumbling_e", "--facing", "up", "--reverse"],
        vec!["--kind", "sloan", "--letter", "K"],
        vec!["--kind", "sloan", "--letter", "KZRSN"],
        vec!["--kind", "hotv", "--letter", "T"],
        vec!["--kind", "hotv", "--letter", "T", "--crowded"],
    ] {
        let (code, err, picture) = write(&kind);
        assert_eq!(code, Some(0), "{kind:?}: {err}");
        pictures.push(picture.unwrap());
    }
    let all = pictures.len();
    pictures.sort();
    pictures.dedup();
    assert_eq!(pictures.len(), all);
    for (kind, option) in [
        (vec!["--kind", "landolt", "--letter", "K"], "--facing"),
        (vec!["--kind", "landolt"], "--facing"),
        (
            vec!["--kind", "tumbling_e", "--facing", "up_left"],
            "--facing",
        ),
        (vec!["--kind", "sloan", "--letter", "T"], "--letter"),
        (vec!["--kind", "sloan", "--letter", ""], "--letter"),
        (vec!["--kind", "sloan", "--facing", "up"], "--letter"),
        (
            vec!["--kind", "hotv", "--letter", "HOTVHOTVHOTV"],
            "--letter",
        ),
    ] {
        let (code, err, _) = write(&kind);
        assert_eq!(code, Some(2), "{kind:?}");
        assert_eq!(err.trim().lines().count(), 1, "{err}");
        assert!(err.contains(option) && err.contains("expected"), "{err}");
    }
}

/// The card for reading near is written and told; the same seed is the same card.
#[test]
fn a_near_card_is_written_and_repeats_with_its_seed() {
    let at = folder("card");
    let write = |name: &str, more: &[&str]| {
        let out = word(&at.join(name));
        let mut args = vec!["card", "--seed", "7", "--json", "--out", &out];
        args.extend(more);
        (veridical(&args), std::fs::read(at.join(name)).ok())
    };
    let (told, pdf) = write("one.pdf", &[]);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let rows: serde_json::Value = serde_json::from_str(&told.out).unwrap();
    let rows = rows["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 12);
    // 1 M is 1.454 mm and 6/15 at 40 cm (2000 tan 2.5'; scribd 620612384).
    let one_m = rows.iter().find(|row| row["log_mar"] == 0.4).unwrap();
    assert!((one_m["height_mm"].as_f64().unwrap() - 1.461).abs() < 0.001);
    assert!(pdf.as_ref().unwrap().starts_with(b"%PDF-"));
    assert_eq!(write("two.pdf", &[]).1, pdf);
    let (rings, other) = write("rings.pdf", &["--kind", "landolt"]);
    assert!(rings.out.contains("facing") && other != pdf);
    let (far, none) = write("far.pdf", &["--distance-mm", "4000"]);
    assert_eq!((far.code, none), (Some(2), None));
    far.one_line(&["--distance-mm", "expected"]);
}
