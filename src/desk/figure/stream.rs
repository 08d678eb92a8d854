//! The stream: presentations as they came, the newest at the right.

mod paint;

use super::{Figure, Table, number};
use crate::calibration::EarphoneProfile;
use crate::desk::style::Theme;
use crate::journal::{Outcome, Planned, PressKind, Purpose, Record, Trial};
use crate::quantity::{Ear, Eye, Hz, Moment, Scale};
use eframe::egui::{Painter, Rect};

/// How many presentations are shown at most.
pub const SHOWN: usize = 40;

/// What was presented.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// A tone.
    Tone {
        /// The ear.
        ear: Ear,
        /// The frequency.
        hz: Hz,
        /// The level, dB on the stream's scale.
        db: f64,
    },
    /// Nothing.
    Silent,
    /// An optotype.
    Optotype {
        /// The eye.
        eye: Eye,
        /// The size.
        log_mar: f64,
    },
}

/// What became of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reply {
    /// It is not settled yet.
    Waiting,
    /// Answered.
    Answered,
    /// Not answered.
    NotAnswered,
    /// Answered only too early to count.
    Early,
    /// The right direction was chosen.
    Right,
    /// A wrong direction was chosen.
    Wrong,
    /// It did not arrive whole.
    Void,
}

/// Presses that answered nothing, by what they were.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Presses {
    /// Before this presentation could be heard.
    pub early: u32,
    /// After this presentation's window.
    pub late: u32,
    /// After this presentation, with nothing left to answer.
    pub gap: u32,
}

/// One presentation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Item {
    /// Its number in the visit.
    pub n: u32,
    /// What was presented.
    pub what: What,
    /// Why.
    pub purpose: Purpose,
    /// What became of it.
    pub reply: Reply,
    /// Taken back by the examiner.
    pub undone: bool,
    /// Presses that answered nothing.
    pub presses: Presses,
}

/// What the stream shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Stream {
    /// What the levels refer to.
    pub scale: Scale,
    /// The newest presentations, oldest first; at most [`SHOWN`].
    pub items: Vec<Item>,
}

impl Stream {
    /// Of a record.
    #[must_use]
    pub fn of(record: &Record) -> Stream {
        // What is shown by hand has no size and no place here.
        let sized = record.trials().iter().filter(|one| one.by_hand().is_none());
        let trials = sized.map(Item::of_trial);
        let voids = record
            .voids()
            .iter()
            .map(|void| Item::new(&void.planned, Reply::Void));
        let open = record
            .open()
            .map(|open| Item::new(&open.planned, Reply::Waiting));
        let mut items: Vec<Item> = trials.chain(voids).chain(open).collect();
        items.sort_by_key(|item| item.n);
        for press in record.presses() {
            let (n, count): (_, fn(&mut Presses)) = match press.kind {
                PressKind::Late(n) => (Some(n), |presses| presses.late += 1),
                PressKind::Early(n) => (Some(n), |presses| presses.early += 1),
                PressKind::Gap => (last_before(record, press.at), |presses| presses.gap += 1),
            };
            if let Some(item) = items.iter_mut().find(|item| Some(item.n) == n) {
                count(&mut item.presses);
            }
        }
        items.drain(..items.len().saturating_sub(SHOWN));
        let earphone = record.opening.set_up.earphone.as_ref();
        Stream {
            scale: earphone.map_or(Scale::DbFs, EarphoneProfile::scale),
            items,
        }
    }

    /// The lowest and the highest level among the tones, widened to tens of decibels and to at
    /// least 40 dB; none without tones.
    #[must_use]
    pub fn range_db(&self) -> Option<[f64; 2]> {
        let levels = self.items.iter().filter_map(|item| match item.what {
            What::Tone { db, .. } => Some(db),
            _ => None,
        });
        span(levels, 10.0, 40.0)
    }

    /// The smallest and the largest size among the optotypes, widened to tenths and to at least
    /// 0.4 logMAR; none without optotypes.
    #[must_use]
    pub fn range_log_mar(&self) -> Option<[f64; 2]> {
        let sizes = self.items.iter().filter_map(|item| match item.what {
            What::Optotype { log_mar, .. } => Some(log_mar),
            _ => None,
        });
        span(sizes, 0.1, 0.4)
    }
}

/// The last trial that had begun by then.
fn last_before(record: &Record, at: Moment) -> Option<u32> {
    let trials = record.trials().iter();
    trials
        .rev()
        .find(|trial| trial.began <= at)
        .map(|trial| trial.planned.n)
}

fn span(values: impl Iterator<Item = f64>, step: f64, least: f64) -> Option<[f64; 2]> {
    let ends = values.fold(None, |ends: Option<[f64; 2]>, value| {
        Some(ends.map_or([value; 2], |[low, high]| [low.min(value), high.max(value)]))
    });
    // A little slack, so that a value on the grid does not move by its last bit.
    let [low, high] = ends?;
    let low = (low / step + 1e-6).floor() * step;
    let high = (high / step - 1e-6).ceil() * step;
    let missing = (least - (high - low)).max(0.0);
    let below = (missing / 2.0 / step).floor() * step;
    Some([low - below, high + missing - below])
}

impl Item {
    fn new(planned: &Planned, reply: Reply) -> Item {
        let presentation = &planned.presentation;
        let tone = presentation.tones().next().map(|tone| What::Tone {
            ear: tone.ear,
            hz: tone.hz,
            db: tone.level.db(),
        });
        let optotype = presentation.optotypes().next().map(|shown| What::Optotype {
            eye: shown.eye,
            log_mar: shown.log_mar.0,
        });
        Item {
            n: planned.n,
            what: tone.or(optotype).unwrap_or(What::Silent),
            purpose: planned.purpose,
            reply,
            undone: false,
            presses: Presses::default(),
        }
    }

    fn of_trial(trial: &Trial) -> Item {
        let all_right = trial.namings().iter().all(|(_, right)| *right);
        let reply = match trial.outcome {
            Outcome::Yes { .. } => Reply::Answered,
            Outcome::No => Reply::NotAnswered,
            Outcome::Early => Reply::Early,
            Outcome::Sees { sees: true } => Reply::Right,
            Outcome::Interval { chosen, .. } => {
                let tone = trial.tone();
                if tone.is_some_and(|tone| tone.interval == Some(chosen)) {
                    Reply::Right
                } else {
                    Reply::Wrong
                }
            }
            Outcome::Chosen { .. } | Outcome::Named { .. } if all_right => Reply::Right,
            Outcome::Chosen { .. } | Outcome::Named { .. } | Outcome::Sees { .. } => Reply::Wrong,
        };
        Item {
            undone: trial.undone,
            ..Item::new(&trial.planned, reply)
        }
    }

    /// Whether it is shown with less weight: it does not measure for the first time.
    #[must_use]
    pub fn is_quiet(&self) -> bool {
        match self.purpose {
            Purpose::Familiarise
            | Purpose::Practise
            | Purpose::Repeat
            | Purpose::Sweep
            | Purpose::BothEars
            | Purpose::ForcedChoice
            | Purpose::Company => true,
            Purpose::Measure | Purpose::Screen | Purpose::Masked | Purpose::Silent => false,
        }
    }

    /// Whether it is struck through: it never counts.
    #[must_use]
    pub fn is_struck(&self) -> bool {
        self.undone || self.reply == Reply::Void
    }

    /// What it belongs to: neighbours of the same group stand under one heading. Silent ones
    /// belong to whatever they stand among.
    #[must_use]
    pub fn group(&self) -> Option<String> {
        match self.what {
            What::Tone { ear, hz, .. } => Some(format!("{ear} {} Hz", hz.0)),
            What::Optotype { eye: Eye::Both, .. } => Some("both eyes".into()),
            What::Optotype { eye, .. } => Some(format!("{eye} eye")),
            What::Silent => None,
        }
    }

    fn what_in_words(&self, scale: Scale) -> String {
        match self.what {
            What::Tone { ear, hz, db } => {
                format!("{ear} ear {} Hz {} {}", hz.0, number(db, 0), scale.unit())
            }
            What::Silent => "silent".into(),
            What::Optotype { eye, log_mar } => {
                format!(
                    "{eye} eye{}, {} logMAR",
                    if eye == Eye::Both { "s" } else { "" },
                    number(log_mar, 2)
                )
            }
        }
    }

    fn reply_in_words(&self) -> &'static str {
        match self.reply {
            Reply::Waiting => "waiting",
            Reply::Answered => "answered",
            Reply::NotAnswered => "not answered",
            Reply::Early => "too early",
            Reply::Right => "right",
            Reply::Wrong => "wrong",
            Reply::Void => "void",
        }
    }

    fn presses_in_words(&self) -> String {
        let Presses { early, late, gap } = self.presses;
        let some = [(early, "early"), (late, "late"), (gap, "stray")];
        let words = some.iter().filter(|(count, _)| *count > 0);
        let words: Vec<String> = words
            .map(|(count, word)| format!("{count} {word}"))
            .collect();
        words.join(", ")
    }
}

impl Figure for Stream {
    fn description(&self) -> String {
        let Some(last) = self.items.last() else {
            return "Presentations: none yet.".into();
        };
        let (what, reply) = (last.what_in_words(self.scale), last.reply_in_words());
        format!(
            "The last {} presentations. The newest, number {}: {what}, {reply}.",
            self.items.len(),
            last.n
        )
    }

    fn table(&self) -> Table {
        let purpose = |item: &Item| match item.purpose {
            Purpose::Familiarise => "familiarising",
            Purpose::Practise => "practice",
            Purpose::Measure => "measuring",
            Purpose::Repeat => "again",
            Purpose::Screen => "screening",
            Purpose::Masked => "other ear masked",
            Purpose::Silent => "silent",
            Purpose::Sweep => "sweep",
            Purpose::BothEars => "in both ears",
            Purpose::ForcedChoice => "first or second",
            Purpose::Company => "after company",
        };
        let row = |item: &Item| {
            let reply = item.reply_in_words();
            vec![
                item.n.to_string(),
                item.what_in_words(self.scale),
                purpose(item).to_owned(),
                reply.to_owned() + if item.undone { ", taken back" } else { "" },
                item.presses_in_words(),
            ]
        };
        Table {
            head: ["Number", "Presented", "Purpose", "Answer", "Other presses"]
                .map(str::to_owned)
                .to_vec(),
            rows: self.items.iter().rev().map(row).collect(),
        }
    }

    fn paint(&self, painter: &Painter, area: Rect, theme: &Theme) {
        paint::paint(self, painter, area, theme);
    }
}
