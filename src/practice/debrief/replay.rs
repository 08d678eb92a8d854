//! What a good examiner would have done at each presentation that the trainee made.

use super::NoDebrief;
use crate::journal::{Body, Event, Planned, Proposer, Purpose, Record};
use crate::practice::coach::{Advice, Wanted, advise};
use crate::practice::exercise::Exercise;
use serde::Serialize;

/// One presentation, and what a guideline would have done.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Replayed {
    /// Its number.
    pub n: u32,
    /// When it was asked for, s since the beginning.
    pub t_s: f64,
    /// What was presented.
    pub did: String,
    /// What a guideline would have done.
    pub would: String,
    /// Why.
    pub why: &'static str,
    /// Whether they are the same, 5 dB taken as the same.
    pub same: bool,
    /// Whether the helper was on.
    pub coached: bool,
}

/// All presentations of hearing by hand, in order.
pub(super) fn replay(events: &[Event], exercise: &Exercise) -> Result<Vec<Replayed>, NoDebrief> {
    let mut all = Vec::new();
    Record::follow(events, |before, event| {
        let Body::Planned(planned) = &event.body else {
            return;
        };
        if planned.by != Proposer::Examiner || planned.presentation.optotypes().next().is_some() {
            return;
        }
        let advice = advise(before, &exercise.told);
        all.push(Replayed {
            n: planned.n,
            t_s: event.t_s.seconds(),
            did: did(planned),
            would: would(&advice),
            why: advice.why,
            same: same(planned, &advice.wanted),
            coached: before.practice().coached_at(planned.n),
        });
    })?;
    Ok(all)
}

fn did(planned: &Planned) -> String {
    let Some(tone) = planned.presentation.tones().next() else {
        return "silence".into();
    };
    let noise = planned.presentation.maskers().next();
    let noise = noise.map_or(String::new(), |noise| {
        format!(", noise {:.0} dB", noise.level.db())
    });
    format!("{} {} {:.0} dB{noise}", tone.ear, tone.hz, tone.level.db())
}

/// An advice in words.
#[must_use]
pub fn would(advice: &Advice) -> String {
    match advice.wanted {
        Wanted::Say(phrase) => phrase.words().into(),
        Wanted::Silent => "silence".into(),
        Wanted::Conclude => "conclude".into(),
        Wanted::Tone {
            ear,
            hz,
            level_db,
            masker_db,
        } => {
            let noise = masker_db.map_or(String::new(), |db| format!(", noise {db:.0} dB"));
            format!("{ear} {hz} {level_db:.0} dB{noise}")
        }
    }
}

fn same(planned: &Planned, wanted: &Wanted) -> bool {
    let tone = planned.presentation.tones().next();
    match (wanted, tone) {
        (Wanted::Silent, None) => planned.purpose == Purpose::Silent,
        (
            Wanted::Tone {
                ear,
                hz,
                level_db,
                masker_db,
            },
            Some(tone),
        ) => {
            let noise = planned.presentation.maskers().next();
            let noise_alike = match (masker_db, noise) {
                (None, None) => true,
                (Some(db), Some(noise)) => (noise.level.db() - db).abs() <= 5.0,
                _ => false,
            };
            tone.ear == *ear
                && tone.hz == *hz
                && (tone.level.db() - level_db).abs() <= 5.0
                && noise_alike
        }
        _ => false,
    }
}
