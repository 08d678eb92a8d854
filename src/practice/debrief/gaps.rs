//! The gaps that a trainee leaves between tones: whether anybody could follow them.

use super::step::{Asked, Done, Step};
use crate::journal::{Record, Trial};
use crate::person::is_rhythm;

/// Gaps whose standard deviation is smaller than this are a rhythm, s (our choice).
const LEAST_GAP_SD_S: f64 = 0.4;
/// And so is a pattern that repeats: the correlation of each gap with the one before, or the one
/// before that (our choice).
const MOST_CORRELATION: f64 = 0.65;
/// By chance one in ten of four onsets in a row are even where gaps vary as they should; more than this
/// share is a rhythm (our choice).
const MOST_EVEN: f64 = 1.0 / 3.0;
/// So many onsets in a row are judged, and no fewer.
const FEWEST_ONSETS: usize = 4;
/// Longer gaps are pauses, s (our choice).
const A_PAUSE_S: f64 = 20.0;
/// Fewer gaps than this tell nothing of a rhythm (our choice).
const FEWEST_GAPS: usize = 10;

/// The gaps between tones, in no rhythm.
pub(super) fn uneven_gaps(record: &Record) -> Step {
    let asked = Asked {
        name: "uneven_gaps",
        what: "varied the gaps, in no rhythm",
        must: false,
        expected: "at one frequency a standard deviation of 0.4 s or more, no pattern, at most a third of four onsets \
                       in a row even; no silence shorter than the tone before it",
        source: "BSA recommended procedure 2018 (from memory); the limits are our choice",
    };
    let mut stretches = stretches(record);
    let hurried = stretches.iter().flat_map(|one| one.windows(2)).any(hurried);
    // Fewer have no median worth the name.
    stretches.retain(|one| one.len() >= FEWEST_ONSETS);
    let gaps: Vec<Vec<f64>> = stretches.iter().map(|one| gaps_s(one)).collect();
    let count = gaps.iter().map(Vec::len).sum::<usize>();
    if count < FEWEST_GAPS {
        return asked.was(Done::NoOccasion, format!("{count} gaps only"));
    }
    let (low, high) = gaps
        .iter()
        .flatten()
        .fold((f64::MAX, f64::MIN), |(low, high), gap| {
            (low.min(*gap), high.max(*gap))
        });
    let gaps: Vec<Vec<f64>> = gaps.iter().map(|one| about_median(one)).collect();
    let sd = libm::sqrt(gaps.iter().flatten().map(|gap| gap * gap).sum::<f64>() / count as f64);
    let [one, two] = [1, 2].map(|lag| autocorrelation(&gaps, lag));
    let even = share_even(&stretches);
    let mut did = format!(
        "{low:.1} to {high:.1} s, SD {sd:.2} s, correlation with the gap before {one:.2}, with the one before that {two:.2}, \
             {:.0} % of four onsets even",
        100.0 * even
    );
    if hurried {
        did.push_str(", a silence shorter than the tone");
    }
    let varied = sd >= LEAST_GAP_SD_S && even <= MOST_EVEN;
    let patterned = one.abs().max(two.abs()) > MOST_CORRELATION;
    asked.is(varied && !patterned && !hurried, did)
}

/// Presentations that follow one another at one ear and frequency, with noise or without; silent ones
/// belong to what they interrupt. What was void ends a stretch as a pause does, and so does going on to
/// another place, for which anybody needs longer.
fn stretches(record: &Record) -> Vec<Vec<&Trial>> {
    let mut stretches: Vec<Vec<&Trial>> = Vec::new();
    let mut place = None;
    let slots = record.trials().iter();
    for trial in slots.filter(|trial| trial.planned.slot.is_some()) {
        let tone = trial.tone();
        let here = tone.map(|tone| (tone.ear, tone.hz, trial.masker().is_some()));
        let stays = here.is_none() || here == place;
        place = here.or(place);
        match stretches.last_mut() {
            Some(stretch) if stays && follows(stretch.last().copied(), trial) => {
                stretch.push(trial);
            }
            _ => stretches.push(vec![trial]),
        }
    }
    stretches
}

/// Whether nothing and no pause lies between two presentations.
fn follows(before: Option<&Trial>, after: &Trial) -> bool {
    before.is_some_and(|before| {
        let gap = gap_s(before, after);
        after.planned.n == before.planned.n + 1 && gap.is_some_and(|gap| gap < A_PAUSE_S)
    })
}

/// From the end of a slot to the onset that follows, s.
fn gap_s(before: &Trial, after: &Trial) -> Option<f64> {
    let slot = before.planned.slot?;
    Some(onset_s(after)? - before.began.seconds() - slot.window_s)
}

/// When a slot's onset was, s since the visit's beginning.
fn onset_s(trial: &Trial) -> Option<f64> {
    Some(trial.began.seconds() + trial.planned.slot?.onset_s)
}

/// The gaps of a stretch, s.
fn gaps_s(stretch: &[&Trial]) -> Vec<f64> {
    let gaps = stretch.windows(2);
    gaps.filter_map(|pair| gap_s(pair[0], pair[1])).collect()
}

/// How far values lie from their median.
fn about_median(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let Some(last) = sorted.len().checked_sub(1) else {
        return Vec::new();
    };
    let median = f64::midpoint(sorted[last / 2], sorted[last.div_ceil(2)]);
    values.iter().map(|value| value - median).collect()
}

/// Of how many times four onsets in a row the gaps are even, as a share.
fn share_even(stretches: &[Vec<&Trial>]) -> f64 {
    let (mut even, mut of) = (0_u32, 0_u32);
    for stretch in stretches {
        let onsets: Vec<f64> = stretch.iter().filter_map(|trial| onset_s(trial)).collect();
        for four in onsets.windows(FEWEST_ONSETS) {
            of += 1;
            even += u32::from(is_rhythm([0, 1, 2].map(|at| four[at + 1] - four[at])));
        }
    }
    // Fewer tell nothing of a rhythm.
    if (of as usize) < FEWEST_GAPS {
        0.0
    } else {
        f64::from(even) / f64::from(of)
    }
}

/// Whether the next onset came sooner after a tone than the tone lasted.
fn hurried(pair: &[&Trial]) -> bool {
    let silence_s = || {
        let tone = pair[0].tone()?;
        let after_s = onset_s(pair[1])? - pair[0].began.seconds();
        Some((after_s - tone.end_s, tone.end_s - tone.start_s))
    };
    silence_s().is_some_and(|(silence_s, tone_s)| silence_s < tone_s - 0.01)
}

/// The correlation of lists with themselves, so many places on; none of it lies across two lists.
fn autocorrelation(lists: &[Vec<f64>], lag: usize) -> f64 {
    let count = lists.iter().map(Vec::len).sum::<usize>();
    let variance = lists.iter().flatten().map(|one| one * one).sum::<f64>() / count as f64;
    if variance <= 0.0 {
        return 1.0;
    }
    let products: Vec<f64> = lists
        .iter()
        .flat_map(|list| list.iter().zip(list.iter().skip(lag)))
        .map(|(a, b)| a * b)
        .collect();
    // Fewer tell nothing of a pattern.
    if products.len() < FEWEST_GAPS {
        return 0.0;
    }
    products.iter().sum::<f64>() / products.len() as f64 / variance
}
