//! Letters and the E, held against their construction by a way that shares nothing with how they
//! are drawn: whether a point lies in any of the shapes written down here.

use super::tests::{inked, single};
use super::*;
use crate::quantity::{Draws, Eye, Stream};
use crate::stimulus::{Facing, Letter, OptotypePart, Raster};

/// Whether a point lies in the letter, in strokes from the lower left corner of its box.
fn within(letter: char, x: f64, y: f64) -> bool {
    let bar = |x0: f64, y0: f64, x1: f64, y1: f64| x0 < x && x < x1 && y0 < y && y < y1;
    let far = |cx: f64, cy: f64| (x - cx).hypot(y - cy);
    let band = |cx: f64, cy: f64, r: f64| (r - 1.0..r).contains(&far(cx, cy));
    // A convex shape lies on one side of all its edges.
    let convex = |points: &[(f64, f64)]| {
        let edges = points.iter().zip(points.iter().cycle().skip(1));
        let sides: Vec<bool> = edges
            .map(|(a, b)| (b.0 - a.0) * (y - a.1) > (b.1 - a.1) * (x - a.0))
            .collect();
        sides.iter().all(|side| *side) || sides.iter().all(|side| !side)
    };
    let stem = bar(0.0, 0.0, 1.0, 5.0);
    let right_stem = bar(4.0, 0.0, 5.0, 5.0);
    let r2 = 2.0_f64.sqrt();
    match letter {
        'O' => band(2.5, 2.5, 2.5),
        'C' => band(2.5, 2.5, 2.5) && !(x > 2.5 && (2.0..3.0).contains(&y)),
        'D' => {
            stem || bar(0.0, 0.0, 2.5, 1.0)
                || bar(0.0, 4.0, 2.5, 5.0)
                || (x >= 2.5 && band(2.5, 2.5, 2.5))
        }
        'H' => stem || right_stem || bar(0.5, 2.0, 4.5, 3.0),
        'N' => stem || right_stem || convex(&[(0.0, 5.0), (1.25, 5.0), (5.0, 0.0), (3.75, 0.0)]),
        'Z' => {
            bar(0.0, 0.0, 5.0, 1.0)
                || bar(0.0, 4.0, 5.0, 5.0)
                || convex(&[(5.0, 5.0), (3.75, 5.0), (0.0, 0.0), (1.25, 0.0)])
        }
        'V' => {
            let w = 1.0743; // the table's own rounding
            let x_right = 5.0 - x;
            let limb = |x: f64| {
                let left = (2.5 - w / 2.0) * (5.0 - y) / 5.0;
                (0.0..5.0).contains(&y) && left < x && x < left + w
            };
            limb(x) || limb(x_right)
        }
        'K' => {
            stem || convex(&[(5.0 - r2, 5.0), (5.0, 5.0), (1.0, 1.0), (1.0, 1.0 + r2)])
                || convex(&[
                    (2.5 - r2 / 2.0, 2.5 - r2 / 2.0),
                    (2.5, 2.5),
                    (5.0, 0.0),
                    (5.0 - r2, 0.0),
                ])
        }
        'R' => {
            stem || bar(0.0, 4.0, 3.5, 5.0)
                || bar(0.0, 2.0, 3.5, 3.0)
                || (x >= 3.5 && band(3.5, 3.5, 1.5))
                || convex(&[(3.0 - r2, 2.0), (3.0, 2.0), (5.0, 0.0), (5.0 - r2, 0.0)])
        }
        'S' => {
            let over_30 = |dx: f64, dy: f64| dx > 0.0 && dy > dx * (30.0_f64).to_radians().tan();
            bar(1.5, 4.0, 3.5, 5.0)
                || bar(1.5, 2.0, 3.5, 3.0)
                || bar(1.5, 0.0, 3.5, 1.0)
                || (x <= 1.5 && band(1.5, 3.5, 1.5))
                || (x >= 3.5 && band(3.5, 1.5, 1.5))
                || (over_30(x - 3.5, y - 3.5) && band(3.5, 3.5, 1.5))
                || (over_30(1.5 - x, 1.5 - y) && band(1.5, 1.5, 1.5))
        }
        'T' => bar(0.0, 4.0, 5.0, 5.0) || bar(2.0, 0.0, 3.0, 5.0),
        'E' => {
            stem || bar(0.0, 0.0, 5.0, 1.0) || bar(0.0, 2.0, 5.0, 3.0) || bar(0.0, 4.0, 5.0, 5.0)
        }
        other => panic!("{other}"),
    }
}

/// Every letter and the E, with the letter that it is made as.
fn all() -> Vec<(char, OptotypeSet, Symbol)> {
    let letters = Letter::SLOAN.into_iter().chain([Letter::T]);
    let mut all: Vec<_> = letters
        .map(|letter| (letter.char(), OptotypeSet::Sloan, Symbol::Letter(letter)))
        .collect();
    all.push(('E', OptotypeSet::TumblingE, Symbol::Facing(Facing::Right)));
    all
}

#[test]
fn every_pixel_holds_the_share_of_the_shapes_it_is_made_of() {
    const POINTS: i32 = 24;
    let mut draws = Draws::new(1959, Stream::Optotype, 0);
    for (name, set, symbol) in all() {
        for least in [2.0, 4.0] {
            let stroke_px = draws.between(least, 1.7 * least);
            let shift = (draws.between(-0.5, 0.5), draws.between(-0.5, 0.5));
            let raster = single(set, symbol, OptotypeSize { stroke_px }, 2, shift);
            let (mut ink, mut counted) = (0.0, 0.0);
            for (x, y, share) in inked(&raster) {
                let mut inside = 0;
                for i in 0..POINTS * POINTS {
                    let at = |i: i32| (f64::from(i) + 0.5) / f64::from(POINTS) - 0.5;
                    let (x, y) = (x + at(i % POINTS), y + at(i / POINTS));
                    let strokes = |px: f64| px / stroke_px + 2.5;
                    inside += i32::from(within(name, strokes(x - shift.0), strokes(y + shift.1)));
                }
                let expected = f64::from(inside) / f64::from(POINTS * POINTS);
                assert!(
                    (share - expected).abs() < 0.05,
                    "{name} ({x}, {y}) of {stroke_px}: {share} {expected}"
                );
                ink += share;
                counted += expected;
            }
            // Straight edges fall between counted lines, up to half of their distance off.
            assert!(
                (ink / counted - 1.0).abs() < 1.5e-2,
                "{name}: {ink} {counted}"
            );
        }
    }
}

fn flipped(raster: &Raster) -> Raster {
    raster.clone().mirrored()
}

/// H, O, T and V are the same in a mirror (geometric fact), so they need none.
#[test]
fn hotv_is_the_same_in_a_mirror_and_sloan_is_not() {
    let mut draws = Draws::new(1959, Stream::Optotype, 1);
    for letter in Letter::HOTV {
        for _ in 0..40 {
            let size = OptotypeSize {
                stroke_px: draws.between(2.0, 25.0),
            };
            let raster = single(
                OptotypeSet::Hotv,
                Symbol::Letter(letter),
                size,
                2,
                (0.0, 0.0),
            );
            let mirrored = flipped(&raster);
            let pairs = raster.grey.iter().zip(&mirrored.grey);
            // Where a share falls between two greys, rounding may go either way.
            let worst = pairs.map(|(one, other)| one.abs_diff(*other)).max();
            assert!(worst <= Some(1), "{letter:?} {size:?}: {worst:?}");
        }
    }
    let size = OptotypeSize { stroke_px: 3.0 };
    for letter in [
        Letter::C,
        Letter::D,
        Letter::K,
        Letter::N,
        Letter::R,
        Letter::S,
        Letter::Z,
    ] {
        let raster = single(
            OptotypeSet::Sloan,
            Symbol::Letter(letter),
            size,
            2,
            (0.0, 0.0),
        );
        assert!(raster != flipped(&raster), "{letter:?}");
    }
}

fn part(set: OptotypeSet, symbol: Symbol) -> OptotypePart {
    OptotypePart::plain(Eye::Right, set, symbol, LogMar(0.2), Mm(4000.0))
}

const LOOK: Look = Look {
    pixel: Mm(0.2),
    mirrored: false,
    margin_px: 3,
};

/// A ring that opens to the right is shown opening to the left when it is seen in a mirror.
#[test]
fn a_mirror_exchanges_left_and_right() {
    for facing in Facing::EIGHT {
        let ring = |facing| part(OptotypeSet::Landolt8, Symbol::Facing(facing));
        let mirrored = Look {
            mirrored: true,
            ..LOOK
        };
        assert_eq!(
            draw(&[ring(facing)], mirrored).unwrap(),
            draw(&[ring(facing.mirrored())], LOOK).unwrap()
        );
    }
}

/// Light and ink change places: at each pixel the two add up to white, to within the rounding of
/// 8 bits at the light end.
#[test]
fn in_reverse_ink_is_light() {
    for (_, set, symbol) in all() {
        let plain = part(set, symbol);
        let reverse = OptotypePart {
            reverse: true,
            ..plain
        };
        let (dark, light) = (
            draw(&[plain], LOOK).unwrap(),
            draw(&[reverse], LOOK).unwrap(),
        );
        for ((_, _, ink), (_, _, dark)) in inked(&dark).zip(inked(&light)) {
            assert!((ink + dark - 1.0).abs() < 0.009, "{symbol:?}: {ink} {dark}");
        }
        // The strokes are as dark (or light) as the screen can make them: their luminance is 0 to
        // 15 % of the background's (ISO 10938:2016, 4.1.3), as far as the screen's own black allows.
        assert!(dark.grey.contains(&0) && dark.grey[0] == 255, "{symbol:?}");
        assert!(
            light.grey.contains(&255) && light.grey[0] == 0,
            "{symbol:?}"
        );
    }
}

/// Bars half a letter away, a stroke thick and a letter long on four sides (common paediatric
/// protocol, from memory): 20 square strokes of ink more, and none nearer.
#[test]
fn bars_crowd_at_half_a_letter() {
    let plain = part(OptotypeSet::Hotv, Symbol::Letter(Letter::H));
    let crowded = OptotypePart {
        crowded: true,
        ..plain
    };
    let stroke = OptotypeSize::new(plain.log_mar, plain.distance_mm, LOOK.pixel)
        .unwrap()
        .stroke_px();
    let ink = |part: OptotypePart| {
        inked(&draw(&[part], LOOK).unwrap())
            .map(|(_, _, s)| s)
            .sum()
    };
    let (alone, flanked): (f64, f64) = (ink(plain), ink(crowded));
    assert!(((flanked - alone) / (stroke * stroke) / 20.0 - 1.0).abs() < 2e-3);
    for (x, y, share) in inked(&draw(&[crowded], LOOK).unwrap()) {
        let out = x.abs().max(y.abs());
        // Wholly within the white between letter and bars, wholly within a bar.
        let white = out > 2.5 * stroke + 0.5 && out < 5.0 * stroke - 0.5;
        let along = x.abs().min(y.abs()) < 2.5 * stroke - 0.5;
        let bar = out > 5.0 * stroke + 0.5 && out < 6.0 * stroke - 0.5 && along;
        assert!(
            !(white && share > 0.0 || bar && share < 1.0),
            "({x}, {y}): {share}"
        );
    }
}

/// A row has one letter's width between its letters, and rows the height of the smaller between
/// them (Bailey and Lovie 1976; spacing from memory).
#[test]
fn rows_are_spaced_by_their_letters() {
    let row = |log_mar: f64| {
        [Letter::H, Letter::N, Letter::D, Letter::K, Letter::R].map(|letter| OptotypePart {
            log_mar: LogMar(log_mar),
            ..part(OptotypeSet::Sloan, Symbol::Letter(letter))
        })
    };
    let chart: Vec<OptotypePart> = [0.4, 0.3].into_iter().flat_map(row).collect();
    let raster = draw(&chart, LOOK).unwrap();
    let side = |log_mar: f64| {
        OptotypeSize::new(LogMar(log_mar), Mm(4000.0), LOOK.pixel)
            .unwrap()
            .side_px()
    };
    let margins = 2 * LOOK.margin_px;
    let height = side(0.4) + 2.0 * side(0.3);
    assert_eq!(raster.width_px, (9.0 * side(0.4)).ceil() as u32 + margins);
    assert_eq!(raster.height_px, height.ceil() as u32 + margins);
    // White from column to column between the letters of the upper row, and between the rows.
    let white = |x: f64, y: f64| {
        let at = |value: f64, px: u32| (value + f64::from(px) / 2.0) as usize;
        raster.grey[at(y, raster.height_px) * raster.width_px as usize + at(x, raster.width_px)]
            == 255
    };
    let upper = -height / 2.0 + side(0.4) / 2.0;
    for gap in [-3.0, -1.0, 1.0, 3.0] {
        assert!(white(gap * side(0.4), upper));
    }
    for stem in [-4.45, -2.45, -0.45, 1.55, 3.55] {
        assert!(!white(stem * side(0.4), upper), "{stem}");
    }
    let between = -height / 2.0 + side(0.4) + side(0.3) / 2.0;
    assert!((-40..40).all(|x| white(f64::from(x), between)));
    assert_eq!(draw(&[], LOOK), Err(Undrawable::Nothing));
    let huge = row(1.9);
    assert!(matches!(
        draw(&huge, LOOK),
        Err(Undrawable::TooLarge { .. })
    ));
}

/// ISO 8596:2017, clause 4: sizes step by 10^(1/10); ISO 3, series R10, rounds them to 1, 1.25,
/// 1.6, 2, 2.5, 3.15, 4, 5, 6.3 and 8 (within 1.3 %); strokes on the screen step so exactly.
#[test]
fn sizes_step_as_r10() {
    let r10 = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0];
    let stroke = |log_mar: f64| {
        OptotypeSize::new(LogMar(log_mar), Mm(4000.0), Mm(0.1))
            .unwrap()
            .stroke_px()
    };
    for (step, number) in (0..).zip(r10) {
        let ratio = stroke(0.1 * f64::from(step)) / stroke(0.0);
        assert!(
            (ratio / number - 1.0_f64).abs() < 0.013,
            "{number}: {ratio}"
        );
    }
}
