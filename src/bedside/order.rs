//! Draws a series: its targets by their law, and what else each prompt needs.

use super::law::Law;
use crate::journal::{Drawn, Record, SeriesPlan};
use crate::quantity::{Draws, Stream};
use crate::stimulus::{
    DIGITS, LETTERS, Material, Place, Prompt, Reply, SeriesKind, Strength, Triple,
};

/// The version of the rule by which series are drawn.
pub const RULE: u32 = 1;
/// The shortest and longest gap before a prompt, s (our choice: long enough that the hands can be
/// brought into place, and apart enough that no rhythm helps).
const GAP_S: [f64; 2] = [1.5, 5.0];

/// How many prompts a series of this kind has, unless something else is asked for.
#[must_use]
pub fn usual_prompts(kind: SeriesKind) -> u32 {
    match kind {
        SeriesKind::Whisper => 6,
        SeriesKind::FieldExtent => 8,
        SeriesKind::Smell
        | SeriesKind::FieldFingers
        | SeriesKind::TouchCompare
        | SeriesKind::Fork => 12,
        SeriesKind::FieldSides => 16,
        SeriesKind::Rub => 18,
        SeriesKind::FieldQuadrants | SeriesKind::FieldRed => 20,
        SeriesKind::Touch => 24,
    }
}

/// Draws the series that is wished for as the next one of a visit. It is keyed by the presenter's
/// seed and the number of its first prompt.
///
/// # Errors
/// One line, if such a series cannot be done.
pub fn draw(record: &Record, wish: &SeriesPlan, on_paper: bool) -> Result<Drawn, String> {
    wish.check("series").map_err(|error| error.to_string())?;
    let first_n = record.next_number();
    let seed = record.opening.presenter_seed;
    let mut draws = Draws::new(seed, Stream::Series, u64::from(first_n));
    let count = wish.prompts.unwrap_or(usual_prompts(wish.kind));
    let prompts = draw_prompts(wish.kind, count as usize, &mut draws);
    Ok(Drawn {
        series: record.bedside().series().len() as u32 + 1,
        first_n,
        what: wish.kind,
        side: wish.side,
        scent: wish.scent.clone(),
        together: wish.together,
        on_paper,
        rule: RULE,
        seal: Drawn::seal_of(&prompts),
        prompts,
    })
}

/// The prompts of a series.
#[must_use]
pub fn draw_prompts(kind: SeriesKind, count: usize, draws: &mut Draws) -> Vec<Prompt> {
    let mut prompts: Vec<Prompt> = targets(kind, count, draws)
        .into_iter()
        .map(|target| Prompt {
            target,
            at: None,
            strength: None,
            right_with: None,
            distance_m: None,
            says: None,
            gap_s: (10.0 * draws.between(GAP_S[0], GAP_S[1])).round() / 10.0,
        })
        .collect();
    match kind {
        SeriesKind::Smell | SeriesKind::FieldSides | SeriesKind::Fork => {}
        SeriesKind::FieldQuadrants | SeriesKind::FieldRed => {
            for prompt in &mut prompts {
                prompt.at = quadrant(prompt.target);
            }
        }
        SeriesKind::FieldFingers => {
            deal(&mut prompts, draws, &Place::QUADRANTS, |one, at| {
                one.at = Some(at);
            });
        }
        SeriesKind::Touch => {
            deal(&mut prompts, draws, &Place::FACE, |one, at| {
                one.at = Some(at);
            });
        }
        SeriesKind::TouchCompare => {
            deal(&mut prompts, draws, &Place::HEIGHTS, |one, at| {
                one.at = Some(at);
            });
            // Freely, or one side's feel would tell of the other's.
            for prompt in &mut prompts {
                let cotton = draws.chance(0.5);
                let right = if cotton {
                    Material::Cotton
                } else {
                    Material::Paper
                };
                prompt.right_with = Some(right);
            }
        }
        SeriesKind::Rub => {
            deal(
                &mut prompts,
                draws,
                &[Strength::Faint, Strength::Strong],
                |one, strength| {
                    one.strength = (one.target != Reply::Nothing).then_some(strength);
                },
            );
        }
        SeriesKind::FieldExtent => {
            let ways: Vec<(Place, u8)> = Place::FROM
                .into_iter()
                .flat_map(|from| [(from, 1), (from, 2)])
                .collect();
            deal(&mut prompts, draws, &ways, |one, (from, distance_m)| {
                one.at = Some(from);
                one.distance_m = Some(distance_m);
            });
        }
        SeriesKind::Whisper => {
            for prompt in &mut prompts {
                prompt.says = Some(triple(draws));
            }
        }
    }
    prompts
}

fn targets(kind: SeriesKind, count: usize, draws: &mut Draws) -> Vec<Reply> {
    match Law::of(kind, count) {
        Some(law) => {
            let list = law.draw(draws);
            list.into_iter()
                .map(|place| kind.targets()[place])
                .collect()
        }
        None if kind == SeriesKind::Whisper => vec![Reply::Parts(3); count],
        None => vec![Reply::TensCm(0); count],
    }
}

fn quadrant(target: Reply) -> Option<Place> {
    match target {
        Reply::UpperRight => Some(Place::UpperRight),
        Reply::LowerRight => Some(Place::LowerRight),
        Reply::UpperLeft => Some(Place::UpperLeft),
        Reply::LowerLeft => Some(Place::LowerLeft),
        _ => None,
    }
}

/// A letter between numbers, or a number between letters, each part by itself.
fn triple(draws: &mut Draws) -> Triple {
    let letter_first = draws.chance(0.5);
    let mut sign = |at: usize| {
        let set = if at.is_multiple_of(2) == letter_first {
            LETTERS
        } else {
            DIGITS
        };
        let at = draws.below(set.len());
        set.chars().nth(at).unwrap_or('1')
    };
    Triple([sign(0), sign(1), sign(2)])
}

/// Deals what does not answer the question evenly among the prompts of each target: every value
/// as often as any other, but for what is left over.
fn deal<T: Copy>(
    prompts: &mut [Prompt],
    draws: &mut Draws,
    values: &[T],
    give: impl Fn(&mut Prompt, T),
) {
    let mut targets: Vec<Reply> = prompts.iter().map(|prompt| prompt.target).collect();
    targets.sort_unstable();
    targets.dedup();
    for target in targets {
        let places: Vec<usize> = (0..prompts.len())
            .filter(|at| prompts[*at].target == target)
            .collect();
        let mut hand = Vec::new();
        while hand.len() < places.len() {
            hand.extend(shuffled(values, draws));
        }
        hand.truncate(places.len());
        for (at, value) in places.into_iter().zip(shuffled(&hand, draws)) {
            give(&mut prompts[at], value);
        }
    }
}

/// Fisher and Yates.
fn shuffled<T: Copy>(values: &[T], draws: &mut Draws) -> Vec<T> {
    let mut values = values.to_vec();
    for at in (1..values.len()).rev() {
        values.swap(at, draws.below(at + 1));
    }
    values
}
