//! Weigh: what was measured and how exactly; apart from it, how far the answers agree.

use super::figure::{self, Acuity, Audiogram, Figure};
use super::parts::{heading, remark};
use super::style::{self, STEP, Theme, type_size};
use crate::evidence::{Consistency, Fit, Grade, INNOCENT_CAUSES};
use crate::finding::{Cue, Urgency};
use crate::report::Findings;
use eframe::egui::{RichText, ScrollArea, Ui};

/// What the page says about the agreement of one sense's answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Agreement {
    /// The sense.
    pub sense: &'static str,
    /// The grade in words.
    pub grade: &'static str,
    /// The statement.
    pub statement: String,
    /// Each sign: what it is, what was seen, what would be expected, whether it stands out.
    pub checks: Vec<[String; 4]>,
    /// How often such a grade is wrong.
    pub rates: String,
}

impl Agreement {
    fn of(sense: &'static str, consistency: &Consistency) -> Agreement {
        let check = |check: &crate::evidence::Check| {
            let fit = match check.fit {
                Fit::Fits => "as expected",
                Fit::Doubtful => "outside of what is usual",
                Fit::Misfits => "far outside",
            };
            [check.name.clone(), check.seen.clone(), check.expected.clone(), fit.to_owned()]
        };
        let rates = &consistency.error_rates;
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        Agreement {
            sense,
            grade: grade(consistency.grade),
            statement: consistency.statement.clone(),
            checks: consistency.checks.iter().map(check).collect(),
            rates: format!(
                "How often such a grade is wrong ({}): of people who answer what they perceive, {} \
                 come out as inconsistent and {} as mixed; of people who answer at random {} are \
                 missed, of those who answer above a bar of their own {}.",
                rates.from,
                percent(rates.genuine_inconsistent),
                percent(rates.genuine_mixed),
                percent(rates.random_missed),
                percent(rates.raised_bar_missed),
            ),
        }
    }
}

fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::Consistent => "consistent",
        Grade::Mixed => "mixed",
        Grade::Inconsistent => "inconsistent",
        Grade::TooFewAnswers => "too few answers",
    }
}

/// What the page shows besides the figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// The agreement of each sense that was tested.
    pub agreement: Vec<Agreement>,
    /// What gives reason to look further.
    pub cues: Vec<Cue>,
    /// How many presentations of each sort there were.
    pub counts: String,
    /// What the figures are and are not.
    pub caution: String,
    /// Where the findings were written, once they are.
    pub written: Option<String>,
    /// Whether the visit is still open.
    pub open: bool,
    /// Whether this visit can become the reference of the examiner's own ears.
    pub reference: bool,
}

impl Page {
    /// Of findings.
    #[must_use]
    pub fn of(findings: &Findings, written: Option<String>, open: bool, reference: bool) -> Page {
        let senses = [("Hearing", &findings.consistency.hearing), ("Sight", &findings.consistency.sight)];
        let agreement = senses.into_iter().filter_map(|(sense, one)| Some(Agreement::of(sense, one.as_ref()?)));
        let counts = findings.counts;
        Page {
            agreement: agreement.collect(),
            cues: findings.cues.clone(),
            counts: format!(
                "{} tones, {} silent, {} repeated, {} rings; {} void, {} taken back; {:.0} s; set-up '{}'",
                counts.tones, counts.silent, counts.repeats, counts.optotypes, counts.void, counts.undone,
                findings.seconds, findings.setup
            ),
            caution: findings.caution.clone(),
            written,
            open,
            reference,
        }
    }
}

/// What was asked for on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Close the visit and write its findings.
    Close,
    /// Save the examiner's reference.
    Reference,
}

/// Draws the page.
pub fn draw(ui: &mut Ui, theme: &Theme, page: &Page, audiogram: &Audiogram, acuity: &[Acuity]) -> Option<Wanted> {
    let mut wanted = None;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            if page.open && ui.add(style::primary(theme, "Close the visit and write its findings")).clicked() {
                wanted = Some(Wanted::Close);
            }
            if page.reference && ui.button("Save these ears as the reference").clicked() {
                wanted = Some(Wanted::Reference);
            }
        });
        if let Some(written) = &page.written {
            ui.label(RichText::new(written).color(theme.accent));
        }
        section(ui, theme, "What was measured, and how exactly");
        style::sheet(theme).show(ui, |ui| {
            ui.set_width(ui.available_width());
            if audiogram.marks.is_empty() {
                remark(ui, theme, "Hearing: no threshold yet.");
            } else {
                figure::show_table(ui, theme, &audiogram.table(), "thresholds");
            }
        });
        for (index, one) in acuity.iter().enumerate() {
            style::sheet(theme).show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.label(RichText::new(one.description()).size(type_size::BODY));
                figure::show_table(ui, theme, &one.table(), &format!("acuity {index}"));
            });
        }
        section(ui, theme, "How far the answers agree with each other");
        for one in &page.agreement {
            style::sheet(theme).show(ui, |ui| {
                ui.set_width(ui.available_width());
                agreement(ui, theme, one);
            });
        }
        if !page.agreement.is_empty() {
            remark(ui, theme, INNOCENT_CAUSES);
        }
        section(ui, theme, "What gives reason to look further");
        if page.cues.is_empty() {
            remark(ui, theme, "Nothing among the criteria that are looked at.");
        }
        for cue in &page.cues {
            style::sheet(theme).show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.label(RichText::new(format!("{} ({})", cue.what, urgency(cue.urgency))));
                remark(ui, theme, &format!("{}. Source: {}", cue.why, cue.source));
            });
        }
        ui.add_space(STEP);
        remark(ui, theme, &page.counts);
        remark(ui, theme, &page.caution);
    });
    wanted
}

fn section(ui: &mut Ui, theme: &Theme, title: &str) {
    ui.add_space(2.0 * STEP);
    ui.label(RichText::new(title).size(type_size::LARGE).color(theme.ink));
}

fn agreement(ui: &mut Ui, theme: &Theme, one: &Agreement) {
    heading(ui, theme, one.sense);
    ui.label(RichText::new(one.grade).size(type_size::LARGE));
    ui.label(&one.statement);
    ui.add_space(STEP);
    for [name, seen, expected, fit] in &one.checks {
        ui.label(format!("{name}: {seen} ({fit})"));
        remark(ui, theme, &format!("Expected: {expected}"));
    }
    ui.add_space(STEP);
    remark(ui, theme, &one.rates);
}

fn urgency(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Note => "to know",
        Urgency::Routine => "routine referral",
        Urgency::Soon => "soon",
    }
}
