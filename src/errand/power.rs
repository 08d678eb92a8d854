//! What a series can tell: the orders that are drawn, and how often simulated people who answer
//! what they perceive, guess, or answer contrarily get which statement.

use super::ErrandError;
use crate::bedside::{Chance, Law, Than, draw_prompts, level_with, series_findings, usual_prompts};
use crate::journal::{Drawn, Series, Stage};
use crate::person::{BedsideTruth, Case, Person, Replies, Simulated};
use crate::quantity::{Draws, Moment, Side, Stream};
use crate::stimulus::{Prompt, SeriesKind};
use rayon::prelude::*;
use serde::Serialize;
use std::collections::HashMap;

/// What is wanted.
#[derive(Debug, Clone, Copy)]
pub struct Power {
    /// The seed of everything.
    pub seed: u64,
    /// Simulated series of each kind and habit.
    pub repeats: u32,
    /// Drawn series of each kind whose order is looked at.
    pub orders: u32,
    /// Prompts in place of the usual ones.
    pub prompts: Option<u32>,
}

/// How the orders of a kind come out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OrderReport {
    /// The likeliest target's share: what somebody gets who knows nothing but the shares.
    pub chance: f64,
    /// What somebody gets of the last three prompts who knows the law and all targets before.
    pub best_guess_of_last_three: f64,
    /// The same at the prompt where it helps most.
    pub best_guess_at_best_prompt: f64,
    /// Which prompt that is, from 1.
    pub best_prompt: usize,
    /// The fewest and the most of any one target in a series.
    pub counts: [u32; 2],
    /// Mean difference between the most and the least frequent target, of targets with equal
    /// shares.
    pub imbalance_mean: f64,
    /// The same if nothing were bounded.
    pub imbalance_mean_unbounded: f64,
    /// Longest run of one target: mean over the series, and the longest of all.
    pub run_mean: f64,
    /// The longest of all.
    pub run_longest: u32,
}

/// How often which statement was made.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Said {
    /// More right answers than guessing gives.
    pub more: f64,
    /// Fewer.
    pub fewer: f64,
    /// As many as guessing can give.
    pub alike: f64,
}

/// What a series of one kind can tell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KindReport {
    /// The kind.
    pub kind: SeriesKind,
    /// Prompts.
    pub prompts: u32,
    /// Its orders.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub order: Option<OrderReport>,
    /// People who answer what they perceive.
    pub perceived: Said,
    /// People who guess.
    pub guess: Said,
    /// People who answer otherwise than they perceive in 8 of 10 prompts, else as they perceive.
    pub contrary: Said,
    /// The same, where the series is one of five.
    pub contrary_of_five: Said,
    /// People who always answer otherwise than they perceive: more than this no series can tell.
    pub always_contrary: Said,
    /// The same, where the series is one of five.
    pub always_contrary_of_five: Said,
    /// People who guess, where the series is one of five.
    pub guess_of_five: Said,
}

/// What all kinds can tell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PowerReport {
    /// The seed.
    pub seed: u64,
    /// Simulated series of each kind and habit.
    pub repeats: u32,
    /// Drawn series of each kind.
    pub orders: u32,
    /// The level that is stated, over all series of a visit.
    pub level: f64,
    /// Each kind.
    pub kinds: Vec<KindReport>,
    /// Of visits with one series of every kind, the share in which somebody who guesses got any
    /// statement of more or fewer.
    pub guess_any_statement: f64,
}

/// Draws and simulates.
///
/// # Errors
/// If a simulated person cannot answer.
pub fn power(wish: &Power) -> Result<PowerReport, ErrandError> {
    let kinds: Vec<SeriesKind> = SeriesKind::ALL
        .into_iter()
        .filter(|kind| *kind != SeriesKind::FieldExtent)
        .collect();
    let mut reports = Vec::new();
    for (row, kind) in kinds.iter().enumerate() {
        let count = wish.prompts.unwrap_or(usual_prompts(*kind));
        let people = |truth: BedsideTruth| said(wish, row, *kind, count, truth);
        let (perceived, _) = people(answering(Replies::Perceived))?;
        let (guess, guess_of_five) = people(answering(Replies::Guess))?;
        let (contrary, contrary_of_five) = people(answering(Replies::Contrary))?;
        let (always_contrary, always_contrary_of_five) = people(BedsideTruth {
            contrary: 1.0,
            ..answering(Replies::Contrary)
        })?;
        reports.push(KindReport {
            kind: *kind,
            prompts: count,
            order: Law::of(*kind, count as usize).map(|law| orders(wish, row, *kind, count, &law)),
            perceived,
            guess,
            contrary,
            contrary_of_five,
            always_contrary,
            always_contrary_of_five,
            guess_of_five,
        });
    }
    let any: Result<Vec<bool>, ErrandError> = (0..wish.repeats)
        .into_par_iter()
        .map(|repeat| {
            let all: Result<Vec<Series>, ErrandError> = kinds
                .iter()
                .enumerate()
                .map(|(row, kind)| {
                    let count = wish.prompts.unwrap_or(usual_prompts(*kind));
                    let key = [100 + row as u64, u64::from(repeat)];
                    simulated(wish.seed, key, *kind, count, answering(Replies::Guess))
                })
                .collect();
            let (found, _) = series_findings(&all?);
            Ok(found.iter().any(|one| {
                let chance = one.chance.as_ref();
                chance.is_some_and(|chance| chance.than_guessing != Than::Alike)
            }))
        })
        .collect();
    let any = any?;
    Ok(PowerReport {
        seed: wish.seed,
        repeats: wish.repeats,
        orders: wish.orders,
        level: crate::bedside::LEVEL,
        kinds: reports,
        guess_any_statement: share(&any, |any| *any),
    })
}

/// Somebody without any trouble who answers in this way.
fn answering(replies: Replies) -> BedsideTruth {
    BedsideTruth {
        replies: Some(replies),
        ..BedsideTruth::default()
    }
}

fn share<T>(all: &[T], is: impl Fn(&T) -> bool) -> f64 {
    all.iter().filter(|one| is(one)).count() as f64 / all.len().max(1) as f64
}

/// How often which statement is made of a series alone, and of one of five.
fn said(
    wish: &Power,
    row: usize,
    kind: SeriesKind,
    prompts: u32,
    truth: BedsideTruth,
) -> Result<(Said, Said), ErrandError> {
    let all: Result<Vec<Option<Chance>>, ErrandError> = (0..wish.repeats)
        .into_par_iter()
        .map(|repeat| {
            let key = [row as u64, u64::from(repeat)];
            let series = simulated(wish.seed, key, kind, prompts, truth)?;
            let (found, _) = series_findings(&[series]);
            Ok(found.into_iter().next().and_then(|one| one.chance))
        })
        .collect();
    let all = all?;
    let counted = |series| {
        let level = level_with(series);
        let is = |one: &Option<Chance>, p: fn(&Chance) -> f64| {
            one.as_ref().is_some_and(|chance| p(chance) <= level)
        };
        let more = share(&all, |one| is(one, |chance| chance.p_as_many_or_more));
        let fewer = share(&all, |one| is(one, |chance| chance.p_as_many_or_fewer));
        Said {
            more,
            fewer,
            alike: 1.0 - more - fewer,
        }
    };
    Ok((counted(1), counted(5)))
}

fn drawn(seed: u64, [row, repeat]: [u64; 2], kind: SeriesKind, count: u32) -> Vec<Prompt> {
    let mut draws = Draws::new(seed, Stream::Series, row << 32 | repeat);
    draw_prompts(kind, count as usize, &mut draws)
}

fn simulated(
    seed: u64,
    key: [u64; 2],
    kind: SeriesKind,
    count: u32,
    truth: BedsideTruth,
) -> Result<Series, ErrandError> {
    let prompts = drawn(seed, key, kind, count);
    let drawn = Drawn {
        series: 1,
        first_n: 1,
        what: kind,
        side: kind.organ().map(|_| Side::Right),
        scent: (kind == SeriesKind::Smell).then(|| "coffee".into()),
        together: 1,
        on_paper: false,
        rule: crate::bedside::RULE,
        seal: String::new(),
        prompts,
    };
    let case = Case {
        format: 1,
        title: String::new(),
        age_years: None,
        sex: None,
        hearing: None,
        sight: None,
        bedside: Some(truth),
        habits: None,
        manner: crate::person::case::Manner::default(),
    };
    let mut draws = Draws::new(seed, Stream::Visit, key[0] << 32 | key[1]);
    let mut person = Simulated::new(case, draws.seed());
    let mut stages = Vec::new();
    for place in 0..drawn.prompts.len() {
        let Some(prompted) = drawn.prompted(place) else {
            continue;
        };
        let replied = person.reply(1 + place as u32, &prompted);
        let replied = replied.map_err(|error| ErrandError::Failed(error.to_string()))?;
        stages.push(Stage::Answered {
            at: Moment::START,
            reply: replied.reply,
            after_s: None,
            amended: false,
        });
    }
    Ok(Series {
        drawn,
        at: Moment::START,
        stages,
        ended: None,
    })
}

fn orders(wish: &Power, row: usize, kind: SeriesKind, count: u32, law: &Law) -> OrderReport {
    let targets = kind.targets();
    let (prompts, all) = (count as usize, f64::from(wish.orders));
    // What is known of the next target depends on the counts before it only.
    let mut best: HashMap<Vec<u32>, usize> = HashMap::new();
    let mut hits = vec![0_u32; prompts];
    let (mut fewest, mut most, mut longest) = (u32::MAX, 0, 0);
    let (mut imbalance, mut runs, mut unbounded) = (0.0, 0.0, 0.0);
    let spread = |counts: &[u32]| {
        let most = counts.iter().max().copied().unwrap_or(0);
        f64::from(most - counts.iter().min().copied().unwrap_or(0))
    };
    for order in 0..wish.orders {
        let key = [200 + row as u64, u64::from(order)];
        let list: Vec<usize> = drawn(wish.seed, key, kind, count)
            .iter()
            .filter_map(|prompt| targets.iter().position(|target| *target == prompt.target))
            .collect();
        let mut counts = vec![0_u32; targets.len()];
        let (mut run, mut longest_here) = (0, 0);
        for (place, target) in list.iter().enumerate() {
            let guess = *best
                .entry(counts.clone())
                .or_insert_with(|| likeliest(&law.known_of_next(&list[..place])));
            hits[place] += u32::from(guess == *target);
            let same = place > 0 && list[place - 1] == *target;
            run = if same { run + 1 } else { 1 };
            longest_here = longest_here.max(run);
            counts[*target] += 1;
        }
        fewest = fewest.min(counts.iter().min().copied().unwrap_or(0));
        most = most.max(counts.iter().max().copied().unwrap_or(0));
        longest = longest.max(longest_here);
        runs += f64::from(longest_here);
        imbalance += spread(&counts);
        let mut free = Draws::new(wish.seed, Stream::Noise, key[0] << 32 | key[1]);
        let mut without = vec![0_u32; targets.len()];
        for _ in 0..prompts {
            without[law.one_target(&mut free)] += 1;
        }
        unbounded += spread(&without);
    }
    let rates: Vec<f64> = hits.iter().map(|hits| f64::from(*hits) / all).collect();
    let last = &rates[prompts - 3.min(prompts)..];
    let best_prompt = likeliest(&rates);
    OrderReport {
        chance: law.shares().iter().copied().fold(0.0, f64::max),
        best_guess_of_last_three: last.iter().sum::<f64>() / last.len() as f64,
        best_guess_at_best_prompt: rates[best_prompt],
        best_prompt: best_prompt + 1,
        counts: [fewest, most],
        imbalance_mean: imbalance / all,
        imbalance_mean_unbounded: unbounded / all,
        run_mean: runs / all,
        run_longest: longest,
    }
}

fn likeliest(shares: &[f64]) -> usize {
    let best = |best: usize, at: usize| if shares[at] > shares[best] { at } else { best };
    (0..shares.len()).fold(0, best)
}
