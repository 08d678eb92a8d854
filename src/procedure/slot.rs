//! The slots of detection: a silence before the onset that is drawn afresh, a tone or none, and a
//! window for the answer.

use super::Proposal;
use crate::journal::{HearingPlan, Outcome, Purpose, Record};
use crate::quantity::{Draws, Ear, Hz, Level, Stream};
use crate::stimulus::{Part, Presentation, Signal, SoundPart, Task, ToneSlot};

/// The least time after the tone's end within which an answer counts, s: a limit of 0.6 s
/// worsened thresholds by 2.6 dB, so at least 1 s after onset and after offset is allowed
/// (reference: influence of response-time limits on threshold determination).
const LEAST_TAIL_S: f64 = 1.0;
/// The most, and what is allowed until the person's pace is known, s (our choice).
const MOST_TAIL_S: f64 = 2.5;

/// A detection presentation with one tone, or silent, and perhaps noise at one ear.
pub(super) fn detection(
    purpose: Purpose,
    tone: Option<SoundPart>,
    masker: Option<SoundPart>,
    slot: ToneSlot,
) -> Proposal {
    let sounds = tone.into_iter().chain(masker);
    let presentation = Presentation {
        task: Task::Detect,
        window_s: Some(slot.window_s),
        parts: sounds.map(Part::Sound).collect(),
    };
    Proposal {
        purpose,
        presentation,
        slot: Some(slot),
        asking: 0,
    }
}

pub(super) fn tone_part(
    plan: &HearingPlan,
    ear: Ear,
    hz: Hz,
    level: Level,
    slot: ToneSlot,
) -> SoundPart {
    let (start_s, end_s) = (slot.onset_s, slot.end_s);
    SoundPart {
        ear,
        signal: plan.signal,
        hz,
        level,
        start_s,
        end_s,
        interval: None,
    }
}

/// Noise that fills the slot from its first moment to its last, with a tone or without: it tells
/// neither that a tone comes nor when.
pub(super) fn masker_part(ear: Ear, hz: Hz, level: Level, slot: ToneSlot) -> SoundPart {
    SoundPart {
        ear,
        signal: Signal::NarrowBandNoise,
        hz,
        level,
        start_s: 0.0,
        end_s: slot.window_s,
        interval: None,
    }
}

/// The next slot: its silence before the onset is drawn afresh each time, so that the gaps carry
/// no rhythm, and its window is as long as this person needs.
pub(super) fn tone_slot(record: &Record, plan: &HearingPlan) -> ToneSlot {
    let n = u64::from(record.next_number());
    let [shortest_s, longest_s] = plan.lead_s;
    let drawn_s =
        Draws::new(record.opening.presenter_seed, Stream::Lead, n).between(shortest_s, longest_s);
    let onset_s = to_ms(drawn_s);
    let end_s = to_ms(onset_s + plan.tone_s);
    ToneSlot {
        onset_s,
        end_s,
        window_s: to_ms(end_s + tail_s(record, plan)),
    }
}

fn to_ms(seconds: f64) -> f64 {
    (seconds * 1000.0).round() / 1000.0
}

/// How long after the tone an answer is awaited: half as long again as the slowest answer to a
/// familiarising tone, within the limits above.
fn tail_s(record: &Record, plan: &HearingPlan) -> f64 {
    let slowest = record
        .counted()
        .filter(|trial| trial.purpose() == Purpose::Familiarise)
        .filter_map(|trial| match trial.outcome {
            Outcome::Yes { latency_s } => latency_s,
            _ => None,
        })
        .reduce(f64::max);
    slowest.map_or(MOST_TAIL_S, |latency_s| {
        (1.5 * latency_s + 0.3 - plan.tone_s).clamp(LEAST_TAIL_S, MOST_TAIL_S)
    })
}
