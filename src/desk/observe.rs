//! What somebody who stood by ticks after an exercise, and how far two of them agree.

use super::parts::{choices, field, heading, remark};
use super::style::{self, STEP, Theme};
use crate::errand;
use crate::practice::{Agreement, ITEMS, Observed};
use eframe::egui::{Ui, Vec2};
use std::collections::BTreeMap;
use std::path::Path;

/// What is ticked so far.
#[derive(Debug, Clone, Default)]
pub struct Observing {
    /// Who stood by.
    pub rater: String,
    /// Item and score; an item that nobody ticked says nothing.
    pub scores: BTreeMap<String, u8>,
    /// The head of the journal that it belongs to, as the debrief prints it.
    pub journal_head: String,
    /// What came of keeping it.
    pub message: Option<String>,
}

impl Observing {
    /// Of the exercise whose journal has this head; who stood by stays.
    #[must_use]
    pub fn next(&self, journal_head: String) -> Observing {
        Observing {
            rater: self.rater.clone(),
            journal_head,
            ..Observing::default()
        }
    }

    /// Keeps it beside the journal, and holds it beside what others ticked there.
    pub fn keep(&mut self, folder: &Path) {
        let observed = Observed {
            format: 1,
            rater: self.rater.trim().to_owned(),
            journal_head: self.journal_head.clone(),
            scores: self.scores.clone(),
        };
        self.message = Some(match errand::keep_observed(folder, &observed) {
            Ok((path, others)) => {
                let agree = |other: &Observed| {
                    let found = Agreement::of(
                        std::slice::from_ref(&observed),
                        std::slice::from_ref(other),
                    )?;
                    Some(format!(". With {}: {found}", other.rater))
                };
                let agreement: String = others.iter().filter_map(agree).collect();
                format!("Kept: {}{agreement}", path.display())
            }
            Err(error) => error.to_string(),
        });
    }
}

/// The items to tick; whether they are to be kept.
pub(super) fn draw(ui: &mut Ui, theme: &Theme, observing: &mut Observing) -> bool {
    heading(ui, theme, "What somebody saw who stood by");
    field(
        ui,
        "Who stood by",
        "a name or a code",
        250.0,
        &mut observing.rater,
    );
    for (name, words) in ITEMS {
        ui.label(words);
        let of = [
            (None, "not ticked"),
            (Some(0), "not done"),
            (Some(1), "in part"),
            (Some(2), "right"),
        ];
        let mut score = observing.scores.get(name).copied();
        let changed = ui.push_id(name, |ui| choices(ui, &of, &mut score)).inner;
        if changed {
            match score {
                Some(score) => observing.scores.insert(name.to_owned(), score),
                None => observing.scores.remove(name),
            };
        }
    }
    ui.add_space(STEP);
    let keep =
        style::primary(theme, "Keep what was seen").min_size(Vec2::new(250.0, style::TARGET));
    let ready = !observing.rater.trim().is_empty() && !observing.scores.is_empty();
    let keeps = ui.add_enabled(ready, keep).clicked();
    if let Some(message) = &observing.message {
        remark(ui, theme, message);
    }
    keeps
}
