//! What is done by hand, against scipy, against lists written down one by one, and against the
//! published table of chance.

use super::law::tails;
use super::*;
use crate::belief::binomial;
use crate::journal::{Drawn, Series, SeriesPlan, Stage, scent_allowed, series_kind};
use crate::outside::{numbers, rows};
use crate::quantity::{Draws, Moment, Side, Stream};
use crate::stimulus::{Place, Prompt, Reply, SeriesKind};

/// scipy (`tests/outside/tables/bedside_chance.csv`).
#[test]
fn chance_limits_are_scipys() {
    for row in rows("bedside_chance.csv") {
        let [choices, n, above, p_above, below, p_below, p_none] = numbers::<7>(&row);
        let (n, p) = (n as u32, 1.0 / choices);
        let from = (0..=n + 1).find(|k| binomial::upper_tail(*k, n, p) <= 0.05);
        assert_eq!(from, Some(above as u32), "{row:?}");
        assert!((binomial::upper_tail(above as u32, n, p) - p_above).abs() < 1e-9);
        let at = (0..=n)
            .rev()
            .find(|k| binomial::lower_tail(*k, n, p) <= 0.05);
        assert_eq!(at.map_or(-1, i64::from), below as i64, "{row:?}");
        if below >= 0.0 {
            assert!((binomial::lower_tail(below as u32, n, p) - p_below).abs() < 1e-9);
        }
        assert!((binomial::lower_tail(0, n, p) - p_none).abs() < 1e-9);
    }
}

/// Limits of chance as a table of binomial tails has them, rounded to three places: answers, trials,
/// above chance from (p), below chance at or under (p). From memory; scipy's own stand above.
#[test]
fn the_printed_table_of_chance_holds() {
    for (choices, n, above, p_above, below, p_below) in [
        (2.0, 10, 9, 0.011, 1, 0.011),
        (2.0, 20, 15, 0.021, 5, 0.021),
        (3.0, 12, 8, 0.019, 0, 0.008),
        (3.0, 18, 10, 0.043, 2, 0.033),
        (4.0, 12, 7, 0.014, 0, 0.032),
    ] {
        let p = 1.0 / choices;
        let first = |k: u32| binomial::upper_tail(k, n, p);
        let last = |k: u32| binomial::lower_tail(k, n, p);
        assert!(
            (first(above) - p_above).abs() < 0.000_6,
            "{n}: {}",
            first(above)
        );
        assert!(first(above - 1) > 0.05, "{n}");
        assert!(
            (last(below) - p_below).abs() < 0.000_6,
            "{n}: {}",
            last(below)
        );
        assert!(last(below + 1) > 0.05, "{n}");
    }
}

/// Every allowed list written down and weighed in Python (`bedside_law.csv`).
#[test]
fn guessing_is_what_all_allowed_lists_give() {
    for row in rows("bedside_law.csv") {
        let kind = SeriesKind::named(&row[0]).unwrap();
        let n: usize = row[1].parse().unwrap();
        let law = Law::of(kind, n).unwrap();
        let answer = |sign: char| match sign {
            '-' => None,
            'x' => Some(None),
            place => Some(place.to_digit(10).map(|place| place as usize)),
        };
        let answers: Vec<_> = row[2].chars().map(answer).collect();
        let found = law.guessing(&answers);
        for (k, expected) in row[3].split(' ').enumerate() {
            let expected: f64 = expected.parse().unwrap();
            let found = found.get(k).copied().unwrap_or(0.0);
            assert!((found - expected).abs() < 1e-12, "{row:?}: {k}: {found}");
        }
    }
}

/// scipy (`fisher.csv`).
#[test]
fn sides_are_compared_as_scipy_does() {
    for row in rows("fisher.csv") {
        let [k1, n1, k2, n2, p] = numbers::<5>(&row);
        let found = fisher([k1 as u32, n1 as u32], [k2 as u32, n2 as u32]);
        assert!((found - p).abs() < 1e-9, "{row:?}: {found}");
    }
}

/// What is known of the next target is right: events told with probability p happen as often.
#[test]
fn what_is_known_of_the_next_target_is_calibrated() {
    for kind in [SeriesKind::Smell, SeriesKind::FieldSides, SeriesKind::Touch] {
        let law = Law::of(kind, 12).unwrap();
        let (mut told, mut happened) = (0.0, 0.0);
        let series = 4000;
        for number in 0..series {
            let list = law.draw(&mut Draws::new(5, Stream::Series, number));
            for place in 0..list.len() {
                let known = law.known_of_next(&list[..place]);
                assert!((known.iter().sum::<f64>() - 1.0).abs() < 1e-12);
                // Of the first target only, so that told and happened can differ.
                told += known[0];
                happened += f64::from(u8::from(list[place] == 0));
            }
        }
        let n = f64::from(series as u32) * 12.0;
        // Four standard errors of a count of independent events, which these nearly are.
        assert!(
            (told - happened).abs() < 4.0 * (n * 0.25).sqrt(),
            "{kind}: {told} {happened}"
        );
    }
}

/// Of the last three prompts nothing is known but the shares: exactly, whatever came before.
#[test]
fn the_last_three_cannot_be_worked_out() {
    for kind in SeriesKind::ALL {
        let count = usual_prompts(kind) as usize;
        let Some(law) = Law::of(kind, count) else {
            continue;
        };
        for number in 0..200 {
            let list = law.draw(&mut Draws::new(6, Stream::Series, number));
            for place in count - 3..count {
                assert_eq!(law.known_of_next(&list[..place]), law.shares());
            }
        }
    }
}

fn drawn(kind: SeriesKind, number: u64) -> Vec<Prompt> {
    let count = usual_prompts(kind) as usize;
    draw_prompts(kind, count, &mut Draws::new(8, Stream::Series, number))
}

#[test]
fn every_prompt_of_every_kind_can_be_done_and_gaps_vary() {
    for kind in SeriesKind::ALL {
        for number in 0..50 {
            let prompts = drawn(kind, number);
            assert_eq!(prompts.len() as u32, usual_prompts(kind));
            assert!(prompts.iter().all(|prompt| kind.presents(prompt.target)));
            assert!(
                prompts
                    .iter()
                    .all(|prompt| (1.5..=5.0).contains(&prompt.gap_s))
            );
            let first = prompts[0].gap_s;
            let varies = prompts
                .iter()
                .any(|prompt| (prompt.gap_s - first).abs() > 0.3);
            assert!(varies, "{kind}");
        }
    }
    for number in 0..50 {
        let touches = drawn(SeriesKind::Touch, number);
        let real = touches.iter().filter(|one| one.target == Reply::Yes);
        let sites: Vec<_> = real.filter_map(|one| one.at).collect();
        let count = |site| sites.iter().filter(|one| **one == site).count();
        let counts = Place::FACE.map(count);
        let spread = counts.iter().max().unwrap() - counts.iter().min().unwrap();
        assert!(spread <= 1, "sites are dealt evenly: {counts:?}");
    }
}

/// Neither side of a comparison tells of the other: the material at one side is as often followed
/// by 'same' as the other material.
#[test]
fn one_side_of_a_comparison_tells_nothing() {
    let (mut same, mut all) = ([0_u32; 2], [0_u32; 2]);
    for number in 0..2000 {
        for prompt in drawn(SeriesKind::TouchCompare, number) {
            let material = usize::from(prompt.right_with == Some(crate::stimulus::Material::Paper));
            all[material] += 1;
            same[material] += u32::from(prompt.target == Reply::Same);
        }
    }
    for material in 0..2 {
        let share = f64::from(same[material]) / f64::from(all[material]);
        assert!((share - 0.5).abs() < 0.02, "{share}");
    }
}

/// A series with these answers, in the order of the prompts.
fn answered(kind: SeriesKind, prompts: Vec<Prompt>, replies: &[Reply]) -> Series {
    let stages = replies.iter().map(|reply| Stage::Answered {
        at: Moment::START,
        reply: *reply,
        after_s: None,
        amended: false,
    });
    Series {
        stages: stages.collect(),
        at: Moment::START,
        ended: None,
        drawn: Drawn {
            series: 1,
            first_n: 1,
            what: kind,
            side: kind.organ().map(|_| Side::Right),
            scent: None,
            together: 1,
            on_paper: false,
            rule: RULE,
            seal: Drawn::seal_of(&prompts),
            prompts,
        },
    }
}

/// Somebody blind in the left half who says so rightly is never said to be right less often than
/// guessing, and their misses stand where they are.
#[test]
fn a_blind_half_is_not_held_against_the_answers() {
    for number in 0..100 {
        let prompts = drawn(SeriesKind::FieldSides, number);
        let replies: Vec<Reply> = prompts
            .iter()
            .map(|prompt| match prompt.target {
                Reply::Right | Reply::Both => Reply::Right,
                _ => Reply::Nothing,
            })
            .collect();
        let (found, _) = series_findings(&[answered(SeriesKind::FieldSides, prompts, &replies)]);
        let one = &found[0];
        let chance = one.chance.as_ref().unwrap();
        assert_ne!(chance.than_guessing, Than::Fewer, "{number}");
        assert_eq!(one.false_alarms.as_ref().unwrap().k, 0);
        let left = one.hits.iter().find(|rate| rate.what == "left alone");
        assert!(left.is_none_or(|rate| rate.k == 0));
        let out = &one.extinctions[1];
        assert_eq!((out.what.as_str(), out.k), ("left left out", out.n));
    }
}

/// Answers that know nothing of the targets, by four habits: any statement is made of at most so
/// many as the level says (250 series of each habit; `power` simulates 1000).
#[test]
fn habits_of_guessing_keep_the_level() {
    for kind in [SeriesKind::Smell, SeriesKind::FieldSides, SeriesKind::Rub] {
        let replies = kind.replies();
        for habit in 0..4_usize {
            let mut statements = 0;
            for number in 0..250_u64 {
                let prompts = drawn(kind, number);
                let mut draws = Draws::new(9, Stream::Person, number);
                let said: Vec<Reply> = (0..prompts.len())
                    .map(|place| match habit {
                        0 => replies[draws.below(replies.len())],
                        1 => replies[0],
                        2 => replies[place % replies.len()],
                        _ => replies[replies.len() - 1],
                    })
                    .collect();
                let (found, _) = series_findings(&[answered(kind, prompts, &said)]);
                let than = found[0].chance.as_ref().unwrap().than_guessing;
                statements += u32::from(than != Than::Alike);
            }
            // 50 of 1000 are stated; 2.33 standard errors over that is what chance gives once in 100.
            assert!(
                f64::from(statements) <= 50.0 + 2.33 * 6.9,
                "{kind} {habit}: {statements}"
            );
        }
    }
}

#[test]
fn nothing_is_said_before_a_series_is_over() {
    let prompts = drawn(SeriesKind::Rub, 1);
    let mut series = answered(SeriesKind::Rub, prompts, &[]);
    series.stages = vec![Stage::Waiting; 18];
    series.stages[0] = Stage::Answered {
        at: Moment::START,
        reply: Reply::Right,
        after_s: None,
        amended: false,
    };
    let (found, _) = series_findings(&[series]);
    assert!(found[0].chance.is_none() && !found[0].over);
}

/// Tails of a distribution are the binomial's where the law is free.
#[test]
fn free_draws_are_binomial() {
    let law = Law::of(SeriesKind::Rub, 3).unwrap();
    let found = law.guessing(&[Some(Some(0)), Some(Some(2)), Some(Some(1))]);
    for k in 0..=3 {
        let [above, below] = tails(&found, k);
        assert!((above - binomial::upper_tail(k, 3, 1.0 / 3.0)).abs() < 1e-12);
        assert!((below - binomial::lower_tail(k, 3, 1.0 / 3.0)).abs() < 1e-12);
    }
}

#[test]
fn what_irritates_or_harms_is_refused() {
    for scent in [
        "ammonia",
        "White vinegar",
        "peppermint oil",
        "surgical spirit",
        "",
        "Onion",
    ] {
        assert!(scent_allowed(scent).is_err(), "{scent}");
    }
    for scent in ["coffee", "vanilla", "orange peel", "soap"] {
        assert!(scent_allowed(scent).is_ok(), "{scent}");
    }
    for kind in ["gag", "corneal_reflex", "Gag reflex"] {
        assert!(
            series_kind(kind)
                .unwrap_err()
                .contains("never tested by randomised")
        );
    }
    let wish = |kind, side| SeriesPlan {
        kind,
        side,
        prompts: None,
        scent: None,
        together: 1,
    };
    assert!(wish(SeriesKind::Rub, Some(Side::Left)).check("s").is_err());
    assert!(wish(SeriesKind::Fork, None).check("s").is_err());
    assert!(wish(SeriesKind::Fork, Some(Side::Left)).check("s").is_ok());
}

#[test]
fn letters_on_paper_mean_one_answer_each() {
    for kind in SeriesKind::ALL {
        for reply in kind.replies() {
            let sign = letter(reply);
            assert_ne!(sign, VOID_LETTER);
            assert_eq!(reply_of(kind, sign), Some(reply), "{kind} {sign}");
        }
        let prompts = drawn(kind, 3);
        let series = answered(kind, prompts.clone(), &[]);
        let paper = sheet(&series);
        assert!(paper.contains(&series.drawn.seal), "{kind}");
        assert_eq!(paper.matches("____").count(), prompts.len());
    }
}
