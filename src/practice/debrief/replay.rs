//! What a good examiner would have done at each presentation that the trainee made.

use super::NoDebrief;
use crate::journal::{Body, Event, Planned, Proposer, Purpose, Record};
use crate::practice::coach::{Advice, Further, Wanted, advise};
use crate::practice::coach_sight::advise_sight;
use crate::practice::exercise::Exercise;
use crate::quantity::{Ear, Eye, Mm};
use crate::stimulus::ByHand;
use serde::Serialize;

/// Sizes within this are taken as the same, logMAR: two lines, since neighbours tell nearly as much
/// (our choice).
const SAME_LOG_MAR: f64 = 0.2;

/// Where something stands on the scale of its sense.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum At {
    /// A tone.
    Tone {
        /// At this ear.
        ear: Ear,
        /// Its level, dB HL.
        db_hl: f64,
    },
    /// An optotype.
    Optotype {
        /// For this eye.
        eye: Eye,
        /// Its size, logMAR.
        log_mar: f64,
    },
}

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
    /// Where what was presented stands; none: silence.
    pub did_at: Option<At>,
    /// Where a guideline's stands; none: silence or words.
    pub would_at: Option<At>,
    /// Why.
    pub why: &'static str,
    /// Whether they are the same; 5 dB, or two lines, are taken as the same.
    pub same: bool,
    /// Whether the helper was on.
    pub coached: bool,
}

/// What was presented by hand, in order.
pub(super) fn by_hand(events: &[Event]) -> impl Iterator<Item = &Planned> {
    events.iter().filter_map(by_hand_in)
}

fn by_hand_in(event: &Event) -> Option<&Planned> {
    match &event.body {
        Body::Planned(planned) if planned.by == Proposer::Examiner => Some(planned),
        _ => None,
    }
}

/// All presentations by hand, in order; each beside what would have been done next in its sense.
pub(super) fn replay(events: &[Event], exercise: &Exercise) -> Result<Vec<Replayed>, NoDebrief> {
    let mut all = Vec::new();
    Record::follow(events, |before, event| {
        let Some(planned) = by_hand_in(event) else {
            return;
        };
        let sees = planned.presentation.eye().is_some();
        let of_sight = sees.then(|| advise_sight(before)).flatten();
        let advice = of_sight.unwrap_or_else(|| advise(before, &exercise.told));
        all.push(Replayed {
            n: planned.n,
            t_s: event.t_s.seconds(),
            did: did(planned),
            would: would(&advice),
            did_at: did_at(planned),
            would_at: would_at(&advice.wanted),
            why: advice.why,
            same: same(planned, &advice.wanted),
            coached: before.practice().coached_at(planned.n),
        });
    })?;
    Ok(all)
}

fn did_at(planned: &Planned) -> Option<At> {
    if let Some(shown) = planned.presentation.optotypes().next() {
        return Some(At::Optotype {
            eye: shown.eye,
            log_mar: shown.log_mar.0,
        });
    }
    let tone = planned.presentation.tones().next()?;
    Some(At::Tone {
        ear: tone.ear,
        db_hl: tone.level.db(),
    })
}

fn would_at(wanted: &Wanted) -> Option<At> {
    match *wanted {
        Wanted::Tone { ear, level_db, .. } => Some(At::Tone {
            ear,
            db_hl: level_db,
        }),
        Wanted::Optotype { eye, log_mar, .. } => Some(At::Optotype { eye, log_mar }),
        Wanted::Say(_)
        | Wanted::Silent
        | Wanted::Ask(..)
        | Wanted::Shows(..)
        | Wanted::Conclude => None,
    }
}

fn did(planned: &Planned) -> String {
    if let Some(shown) = planned.presentation.optotypes().next() {
        return optotype(shown.eye, shown.log_mar.0, shown.pinhole);
    }
    if let Some(hand) = planned.presentation.by_hand() {
        return by_hand_words(hand.eye, hand.shows, hand.distance_mm);
    }
    let Some(tone) = planned.presentation.tones().next() else {
        return "silence".into();
    };
    let noise = planned.presentation.maskers().next();
    let noise = noise.map_or(String::new(), |noise| {
        format!(", noise {:.0} dB", noise.level.db())
    });
    format!(
        "{} ear, {}, {:.0} dB{noise}",
        tone.ear,
        tone.hz,
        tone.level.db()
    )
}

fn optotype(eye: Eye, log_mar: f64, pinhole: bool) -> String {
    let hole = if pinhole { ", pinhole" } else { "" };
    format!("{}, {log_mar:.2} logMAR{hole}", eye_words(eye))
}

fn by_hand_words(eye: Eye, shows: ByHand, distance: Mm) -> String {
    let what = match shows {
        ByHand::Fingers => "fingers",
        ByHand::Motion => "a hand that moves",
        ByHand::Light => "a light",
    };
    format!("{}, {what} at {:.1} m", eye_words(eye), distance.0 / 1000.0)
}

/// An eye in words.
pub(super) fn eye_words(eye: Eye) -> &'static str {
    match eye {
        Eye::Right => "right eye",
        Eye::Left => "left eye",
        Eye::Both => "both eyes",
    }
}

/// An advice in words.
#[must_use]
pub fn would(advice: &Advice) -> String {
    match advice.wanted {
        Wanted::Say(phrase) => phrase.words().into(),
        Wanted::Silent => "silence".into(),
        Wanted::Optotype {
            eye,
            log_mar,
            pinhole,
        } => optotype(eye, log_mar, pinhole),
        Wanted::Ask(eye, further) => {
            let how = match further {
                Further::Pinhole => "through a pinhole".into(),
                Further::Nearer(distance) => format!("from {:.1} m", distance.0 / 1000.0),
                Further::ByHand => "by hand".into(),
            };
            format!("ask the {} {how}", eye_words(eye))
        }
        Wanted::Shows(eye, shows, distance) => by_hand_words(eye, shows, distance),
        Wanted::Conclude => "conclude".into(),
        Wanted::Tone {
            ear,
            hz,
            level_db,
            masker_db,
        } => {
            let noise = masker_db.map_or(String::new(), |db| format!(", noise {db:.0} dB"));
            format!("{ear} ear, {hz}, {level_db:.0} dB{noise}")
        }
    }
}

fn same(planned: &Planned, wanted: &Wanted) -> bool {
    if let Wanted::Optotype {
        eye,
        log_mar,
        pinhole,
    } = wanted
    {
        return planned
            .presentation
            .optotypes()
            .next()
            .is_some_and(|shown| {
                let near = (shown.log_mar.0 - log_mar).abs() <= SAME_LOG_MAR;
                near && shown.eye == *eye && shown.pinhole == *pinhole
            });
    }
    if let Wanted::Shows(eye, shows, _) = wanted {
        let hand = planned.presentation.by_hand();
        return hand.is_some_and(|hand| hand.eye == *eye && hand.shows == *shows);
    }
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
