//! What the answers to a series say: hits, false alarms, extinctions and side differences apart,
//! each with its counts, and whether there were more or fewer right answers than guessing gives.

use super::fisher::fisher;
use super::law::{Law, share_guessed, tails, with_one_more};
use crate::belief::binomial;
use crate::journal::{HowEnded, Series, Stage};
use crate::quantity::Side;
use crate::stimulus::{Prompt, Reply, SeriesKind};
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// How often at most any statement of more or fewer than guessing is made of somebody whose
/// answers tell nothing, over all series of a visit together.
pub const LEVEL: f64 = 0.05;

/// A count with its exact interval.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Rate {
    /// Of what.
    pub what: String,
    /// So many …
    pub k: u32,
    /// … of so many.
    pub n: u32,
    /// Exact (Clopper-Pearson) 95 % interval of the rate.
    pub interval_95: [f64; 2],
}

impl Rate {
    fn of(what: impl Into<String>, k: u32, n: u32) -> Rate {
        Rate {
            what: what.into(),
            k,
            n,
            interval_95: binomial::interval(k, n, 0.95),
        }
    }
}

/// The right side beside the left one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SidesCompared {
    /// What is compared.
    pub what: String,
    /// Hits at the right.
    pub right: Rate,
    /// Hits at the left.
    pub left: Rate,
    /// Two-sided, Fisher's exact test, not corrected.
    pub p: f64,
    /// Whether it is under the level divided by the number of comparisons of the visit.
    pub stands_out: bool,
}

/// Beside guessing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Than {
    /// More right answers than guessing gives.
    More,
    /// Fewer right answers than guessing gives.
    Fewer,
    /// As many as guessing could give.
    Alike,
}

/// Right answers, and what guessing gives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Chance {
    /// How many right answers guessing gives on average.
    pub expected: f64,
    /// Probability of as many or more, if the answers tell nothing.
    pub p_as_many_or_more: f64,
    /// Probability of as many or fewer, if the answers tell nothing.
    pub p_as_many_or_fewer: f64,
    /// Either of these has to be at most this: the level, divided by two sides and by the number
    /// of series.
    pub corrected_level: f64,
    /// What follows.
    pub than_guessing: Than,
}

/// How far out a target was seen at two distances.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Extent {
    /// From which direction.
    pub from: String,
    /// Mean at 1 m, cm.
    pub at_1_m_cm: f64,
    /// Mean at 2 m, cm.
    pub at_2_m_cm: f64,
    /// The second over the first: 2 for a field that is an angle; none if it cannot be told.
    pub ratio: Option<f64>,
    /// Whether the scale ended before the field did.
    pub beyond_scale: bool,
}

/// What one series says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SeriesFinding {
    /// Its number.
    pub series: u32,
    /// What it asked.
    pub kind: SeriesKind,
    /// Of which nostril, eye or ear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// What was smelled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scent: Option<String>,
    /// Whether it was worked through on paper.
    pub on_paper: bool,
    /// Prompts drawn.
    pub prompts: u32,
    /// Prompts answered that count.
    pub answered: u32,
    /// Prompts that were not done as shown.
    pub void: u32,
    /// Answers that were taken back.
    pub undone: u32,
    /// How it ended before it was done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended: Option<HowEnded>,
    /// Whether nothing more comes.
    pub over: bool,
    /// Right answers; of triples, right parts.
    pub right: Rate,
    /// What was presented and noticed, by where or how.
    pub hits: Vec<Rate>,
    /// Answers where nothing was presented.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub false_alarms: Option<Rate>,
    /// Of presentations on both sides at once: only one side answered, by the side left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub extinctions: Vec<Rate>,
    /// The sides beside one another.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sides: Option<SidesCompared>,
    /// Right answers beside guessing; only of a series that is over, since looking again and again
    /// would find something sooner or later.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chance: Option<Chance>,
    /// Extents, where that was asked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub extents: Vec<Extent>,
    /// What is to be known when reading it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<String>,
}

impl SeriesFinding {
    /// What guessing would give, in words.
    #[must_use]
    pub fn statement(&self) -> String {
        let right = &self.right;
        let counted = format!("{} of {} right", right.k, right.n);
        match &self.chance {
            None if self.kind == SeriesKind::FieldExtent => "a measurement, not a choice".into(),
            None if !self.over => format!("{counted} so far; under way"),
            None => format!("{counted}; too few answers to say more"),
            Some(chance) => {
                let (words, p) = match chance.than_guessing {
                    Than::More => ("more than guessing gives", chance.p_as_many_or_more),
                    Than::Fewer => ("fewer than guessing gives", chance.p_as_many_or_fewer),
                    Than::Alike => (
                        "as many as guessing can give",
                        chance.p_as_many_or_more.min(chance.p_as_many_or_fewer),
                    ),
                };
                format!(
                    "{counted}, guessing gives {:.1}: {words} (p = {}, limit {:.4})",
                    chance.expected,
                    probability(p),
                    chance.corrected_level
                )
            }
        }
    }
}

fn probability(p: f64) -> String {
    if p < 0.000_1 {
        "under 0.0001".into()
    } else {
        format!("{p:.4}")
    }
}

/// The level that a single tail has to reach when so many series are looked at: Bonferroni, over
/// both tails of each.
#[must_use]
pub fn level_with(series: usize) -> f64 {
    LEVEL / (2.0 * series.max(1) as f64)
}

/// What all series of a visit say.
#[must_use]
pub fn series_findings(all: &[Series]) -> (Vec<SeriesFinding>, Vec<SidesCompared>) {
    let judged = |series: &&Series| series.over() && has_guessing(series);
    let level = level_with(all.iter().filter(judged).count());
    let mut found: Vec<SeriesFinding> = all.iter().map(|one| finding(one, level)).collect();
    let mut between = sides_between(&found);
    let comparisons = found.iter().filter(|one| one.sides.is_some()).count() + between.len();
    let limit = LEVEL / comparisons.max(1) as f64;
    let compared = found.iter_mut().filter_map(|one| one.sides.as_mut());
    for sides in compared.chain(between.iter_mut()) {
        sides.stands_out = sides.p <= limit;
    }
    (found, between)
}

fn finding(series: &Series, level: f64) -> SeriesFinding {
    let kind = series.drawn.what;
    let count = |wanted: fn(&Stage) -> bool| {
        series.stages.iter().filter(|stage| wanted(stage)).count() as u32
    };
    let answered: Vec<(&Prompt, Reply)> = series.answered().collect();
    let false_alarms = false_alarms(kind, &answered);
    let (k, n) = right(kind, &answered);
    SeriesFinding {
        series: series.drawn.series,
        kind,
        side: series.drawn.side,
        scent: series.drawn.scent.clone(),
        on_paper: series.drawn.on_paper,
        prompts: series.drawn.prompts.len() as u32,
        answered: answered.len() as u32,
        void: count(|stage| matches!(stage, Stage::Void { .. })),
        undone: count(|stage| matches!(stage, Stage::Undone { .. })),
        ended: series.ended.as_ref().map(|(how, _)| *how),
        over: series.over(),
        right: Rate::of(
            if kind == SeriesKind::Whisper {
                "parts"
            } else {
                "all"
            },
            k,
            n,
        ),
        hits: hits(kind, &answered),
        extinctions: extinctions(kind, &answered),
        sides: sides_within(kind, &answered),
        chance: (series.over().then(|| guessing(series)).flatten())
            .map(|guessing| chance(&guessing, k, level)),
        extents: extents(kind, &answered),
        remarks: remarks(
            false_alarms.as_ref(),
            series.ended.as_ref().map(|(how, _)| *how),
        ),
        false_alarms,
    }
}

/// Right answers of how many; of triples their parts.
fn right(kind: SeriesKind, answered: &[(&Prompt, Reply)]) -> (u32, u32) {
    match kind {
        SeriesKind::Whisper => {
            let parts = answered.iter().map(|(_, reply)| match reply {
                Reply::Parts(parts) => u32::from(*parts),
                _ => 0,
            });
            (parts.sum(), 3 * answered.len() as u32)
        }
        SeriesKind::FieldExtent => (0, 0),
        _ => counted(answered, |_| true, |prompt, reply| prompt.target == reply),
    }
}

fn counted(
    answered: &[(&Prompt, Reply)],
    among: impl Fn(&Prompt) -> bool,
    is: impl Fn(&Prompt, Reply) -> bool,
) -> (u32, u32) {
    let among = answered.iter().filter(|(prompt, _)| among(prompt));
    let (k, n) = among.fold((0, 0), |(k, n), (prompt, reply)| {
        (k + u32::from(is(prompt, *reply)), n + 1)
    });
    (k, n)
}

/// Whether there is an answer, and something that guessing gives.
fn has_guessing(series: &Series) -> bool {
    series.drawn.what != SeriesKind::FieldExtent && series.answered().next().is_some()
}

/// The distribution of right answers, if the answers tell nothing; none without a choice or an
/// answer.
fn guessing(series: &Series) -> Option<Vec<f64>> {
    let kind = series.drawn.what;
    let replies = series.replies();
    if !has_guessing(series) {
        return None;
    }
    if kind == SeriesKind::Whisper {
        let said = series.answered().filter_map(|(prompt, _)| prompt.says);
        let shares = said.flat_map(|triple| triple.0.map(share_guessed));
        return Some(shares.fold(vec![1.0], |rights, share| with_one_more(&rights, share)));
    }
    if let Some(known) = KNOWN.with_borrow(|known| known.get(&(kind, replies.clone())).cloned()) {
        return Some(known);
    }
    let law = Law::of(kind, replies.len())?;
    let place = |reply: Reply| kind.targets().iter().position(|target| *target == reply);
    let answers: Vec<_> = replies.iter().map(|reply| reply.map(place)).collect();
    let rights = law.guessing(&answers);
    KNOWN.with_borrow_mut(|known| {
        if known.len() >= MOST_KNOWN {
            known.clear();
        }
        known.insert((kind, replies), rights.clone());
    });
    Some(rights)
}

/// So many series are kept in mind: more than a visit has.
const MOST_KNOWN: usize = 64;

type Known = BTreeMap<(SeriesKind, Vec<Option<Reply>>), Vec<f64>>;

thread_local! {
    /// The desk folds a visit again at every line. What guessing gives for a series that is over
    /// does not change any more, and takes up to a second to count.
    static KNOWN: RefCell<Known> = const { RefCell::new(BTreeMap::new()) };
}

fn chance(guessing: &[f64], k: u32, corrected_level: f64) -> Chance {
    let [p_as_many_or_more, p_as_many_or_fewer] = tails(guessing, k);
    let expected = guessing.iter().enumerate().map(|(k, p)| k as f64 * p).sum();
    let than_guessing = if p_as_many_or_more <= corrected_level {
        Than::More
    } else if p_as_many_or_fewer <= corrected_level {
        Than::Fewer
    } else {
        Than::Alike
    };
    Chance {
        expected,
        p_as_many_or_more,
        p_as_many_or_fewer,
        corrected_level,
        than_guessing,
    }
}

/// What was presented and noticed, by where or how.
fn hits(kind: SeriesKind, answered: &[(&Prompt, Reply)]) -> Vec<Rate> {
    let mut names: Vec<String> = Vec::new();
    for (prompt, _) in answered {
        if let Some(name) = group(kind, prompt)
            && !names.contains(&name)
        {
            names.push(name);
        }
    }
    names.sort();
    let rate = |name: String| {
        let (k, n) = counted(
            answered,
            |prompt| group(kind, prompt).as_ref() == Some(&name),
            |prompt, reply| prompt.target == reply,
        );
        Rate::of(name, k, n)
    };
    names.into_iter().map(rate).collect()
}

/// To which count of hits a prompt belongs; none if nothing is presented in it.
fn group(kind: SeriesKind, prompt: &Prompt) -> Option<String> {
    if prompt.target == Reply::Nothing {
        return None;
    }
    match kind {
        SeriesKind::Smell => Some("scent".into()),
        SeriesKind::Fork => Some("struck".into()),
        SeriesKind::FieldSides => Some(match prompt.target {
            Reply::Both => "both sides at once".into(),
            one => format!("{} alone", one.words()),
        }),
        SeriesKind::FieldQuadrants | SeriesKind::FieldRed | SeriesKind::Touch => {
            prompt.at.map(|at| at.words().into())
        }
        SeriesKind::FieldFingers => prompt.at.map(|at| at.words().into()),
        SeriesKind::TouchCompare => Some(prompt.target.words()),
        SeriesKind::Rub => {
            let strength = match prompt.strength? {
                crate::stimulus::Strength::Faint => "faint",
                crate::stimulus::Strength::Strong => "strong",
            };
            Some(format!("{} {strength}", prompt.target.words()))
        }
        SeriesKind::Whisper | SeriesKind::FieldExtent => None,
    }
}

fn false_alarms(kind: SeriesKind, answered: &[(&Prompt, Reply)]) -> Option<Rate> {
    let (what, blank, quiet) = match kind {
        SeriesKind::TouchCompare => ("'different' of the same", Reply::Same, Reply::Same),
        _ => (
            "answered where nothing was presented",
            Reply::Nothing,
            Reply::Nothing,
        ),
    };
    let has_blanks = kind.targets().contains(&blank);
    let (k, n) = counted(
        answered,
        |prompt| prompt.target == blank,
        |_, reply| reply != quiet,
    );
    has_blanks.then(|| Rate::of(what, k, n))
}

fn extinctions(kind: SeriesKind, answered: &[(&Prompt, Reply)]) -> Vec<Rate> {
    if kind != SeriesKind::FieldSides {
        return Vec::new();
    }
    let rate = |(what, only): (&str, Reply)| {
        let (k, n) = counted(
            answered,
            |prompt| prompt.target == Reply::Both,
            |_, reply| reply == only,
        );
        Rate::of(what, k, n)
    };
    [
        ("right left out", Reply::Left),
        ("left left out", Reply::Right),
    ]
    .map(rate)
    .to_vec()
}

/// On which side something is presented; none if on both or nowhere.
fn side_of(prompt: &Prompt) -> Option<Side> {
    if prompt.target == Reply::Nothing {
        return None;
    }
    match prompt.target.sides() {
        Some([true, false]) => Some(Side::Right),
        Some([false, true]) => Some(Side::Left),
        Some(_) => None,
        None => prompt.at.and_then(crate::stimulus::Place::side),
    }
}

fn sides_within(kind: SeriesKind, answered: &[(&Prompt, Reply)]) -> Option<SidesCompared> {
    if kind == SeriesKind::FieldExtent {
        return None;
    }
    let at = |side: Side| {
        counted(
            answered,
            |prompt| side_of(prompt) == Some(side),
            |prompt, reply| prompt.target == reply,
        )
    };
    compared(kind.to_string(), at(Side::Right), at(Side::Left))
}

fn compared(what: String, right: (u32, u32), left: (u32, u32)) -> Option<SidesCompared> {
    (right.1 > 0 && left.1 > 0).then(|| SidesCompared {
        what,
        right: Rate::of("right", right.0, right.1),
        left: Rate::of("left", left.0, left.1),
        p: fisher([right.0, right.1], [left.0, left.1]),
        stands_out: false,
    })
}

/// Nostrils, eyes and ears beside one another: the latest series of each side that is over.
fn sides_between(found: &[SeriesFinding]) -> Vec<SidesCompared> {
    let latest = |kind, side| {
        found
            .iter()
            .rfind(|one| one.kind == kind && one.side == Some(side) && one.over)
    };
    // What was presented and noticed, without the blanks.
    let noticed = |one: &SeriesFinding| {
        if one.kind == SeriesKind::Whisper {
            return (one.right.k, one.right.n);
        }
        let sum = |of: fn(&Rate) -> u32| one.hits.iter().map(of).sum();
        (sum(|rate| rate.k), sum(|rate| rate.n))
    };
    SeriesKind::ALL
        .into_iter()
        .filter_map(|kind| {
            let organ = kind.organ()?;
            let right = latest(kind, Side::Right)?;
            let left = latest(kind, Side::Left)?;
            compared(format!("{kind}, by {organ}"), noticed(right), noticed(left))
        })
        .collect()
}

fn extents(kind: SeriesKind, answered: &[(&Prompt, Reply)]) -> Vec<Extent> {
    if kind != SeriesKind::FieldExtent {
        return Vec::new();
    }
    crate::stimulus::Place::FROM
        .into_iter()
        .filter_map(|from| {
            let at = |distance_m: u8| -> Vec<u8> {
                let here = answered
                    .iter()
                    .filter(|(one, _)| one.at == Some(from) && one.distance_m == Some(distance_m));
                here.filter_map(|(_, reply)| match reply {
                    Reply::TensCm(tens) => Some(*tens),
                    _ => None,
                })
                .collect()
            };
            let (near, far) = (at(1), at(2));
            let mean_cm = |tens: &[u8]| {
                let sum: u32 = tens.iter().map(|one| u32::from(*one)).sum();
                10.0 * f64::from(sum) / tens.len() as f64
            };
            if near.is_empty() || far.is_empty() {
                return None;
            }
            let beyond_scale = near.iter().chain(&far).any(|tens| *tens >= 9);
            let (at_1_m_cm, at_2_m_cm) = (mean_cm(&near), mean_cm(&far));
            let known = !beyond_scale && at_1_m_cm > 0.0;
            Some(Extent {
                from: from.words().into(),
                at_1_m_cm,
                at_2_m_cm,
                ratio: known.then(|| at_2_m_cm / at_1_m_cm),
                beyond_scale,
            })
        })
        .collect()
}

/// With false alarms in more than a quarter of the blanks nothing is read of side differences
/// (our own derivation for fields and touch; no published limit). Whoever stops where it pleases
/// finds what pleases.
fn remarks(false_alarms: Option<&Rate>, ended: Option<HowEnded>) -> Vec<String> {
    let many = false_alarms.is_some_and(|rate| rate.k >= 2 && 4 * rate.k > rate.n);
    let many = many.then_some(
        "more than a quarter of the blanks were answered: hits and side differences are not to be read",
    );
    let early = ended.map(|_| {
        "ended before its last prompt: a series that is ended because of how it went shifts every count"
    });
    many.into_iter().chain(early).map(str::to_owned).collect()
}
