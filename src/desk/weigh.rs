//! Weigh: what was measured and how exactly; apart from it, how far the answers agree.

use super::figure::{Acuity, Figure};
use super::parts::{heading, remark};
use super::style::{self, STEP, Theme, type_size};
use super::weigh_by_hand;
use super::words::{self, decimals, said, weigh as say};
use crate::bedside::BedsideFindings;
use crate::evidence::{Consistency, Fit, OTHER_CAUSES, left_out};
use crate::finding::masking::WITHOUT_BONE;
use crate::finding::{Cue, HearingFinding, HearingFindings, HearingStatus};
use crate::procedure::Telling;
use crate::quantity::{Ear, Hz, Scale};
use crate::report::{Findings, hearing_sentences, sight_sentences};
use eframe::egui::{Grid, RichText, ScrollArea, Ui};

/// What the page says about the agreement of one sense's answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Agreement {
    /// The sense.
    pub sense: words::Text,
    /// The grade in words.
    pub grade: String,
    /// The statement.
    pub statement: String,
    /// Each sign: what it is, what was seen, what would be expected, whether it stands out.
    pub checks: Vec<[String; 4]>,
    /// What leaving out each sort of presentations would change.
    pub left_out: String,
    /// How often such a grade is wrong.
    pub rates: String,
}

impl Agreement {
    fn of(sense: words::Text, consistency: &Consistency) -> Agreement {
        let check = |check: &crate::evidence::Check| {
            let fit = match check.fit {
                Fit::Fits => say::FITS,
                Fit::Doubtful => say::DOUBTFUL,
                Fit::Misfits => say::MISFITS,
            };
            [
                said(&check.name),
                said(&check.seen),
                said(&check.expected),
                fit.into(),
            ]
        };
        Agreement {
            sense,
            grade: said(consistency.grade.word()),
            statement: format!(
                "{} {} {}",
                said(&consistency.statement),
                said(&consistency.limits),
                said(&consistency.next_steps)
            )
            .trim_end()
            .to_owned(),
            checks: consistency.checks.iter().map(check).collect(),
            left_out: said(&left_out(&consistency.left_out, consistency.grade)),
            rates: format!(
                "{}.",
                words::first_upper(&said(&consistency.error_rates.sentence()))
            ),
        }
    }
}

/// What the page shows besides the figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// What the levels refer to.
    pub levels: String,
    /// Thresholds: frequency, then level and 90 % interval of the midpoint of the right ear, and of
    /// the left one.
    pub thresholds: Vec<[String; 5]>,
    /// Averages, grades, screening and change, and what is to be known about single thresholds.
    pub remarks: Vec<String>,
    /// What was found of the eyes besides their first acuities.
    pub of_eyes: Vec<String>,
    /// The agreement of each sense that was tested.
    pub agreement: Vec<Agreement>,
    /// How likely any adverse grade is over all that was done.
    pub any_adverse: Option<String>,
    /// What would tell most of how the answers to sounds agree, most a minute first.
    pub next: Vec<String>,
    /// What gives reason to look further.
    pub cues: Vec<Cue>,
    /// What was done by hand.
    pub by_hand: Option<BedsideFindings>,
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
        let senses = [
            (say::HEARING, &findings.consistency.hearing),
            (say::SIGHT, &findings.consistency.sight),
        ];
        let agreement = senses
            .into_iter()
            .filter_map(|(sense, one)| Some(Agreement::of(sense, one.as_ref()?)));
        let counts = findings.counts;
        Page {
            levels: findings.levels.clone(),
            thresholds: thresholds(&findings.hearing),
            remarks: hearing_sentences(findings)
                .iter()
                .map(|sentence| {
                    format!(
                        "{}.",
                        words::first_upper(&said(sentence.trim_end_matches('.')))
                    )
                })
                .chain(remarks(&findings.hearing))
                .collect(),
            of_eyes: sight_sentences(findings)
                .iter()
                .map(|sentence| format!("{}.", words::first_upper(sentence.trim_end_matches('.'))))
                .collect(),
            agreement: agreement.collect(),
            any_adverse: findings
                .consistency
                .any_adverse_sentence()
                .map(|one| said(&one)),
            next: Vec::new(),
            cues: findings.cues.clone(),
            by_hand: findings.bedside.clone(),
            counts: say::COUNTS.fill(&[
                &counts.tones.to_string(),
                &counts.silent.to_string(),
                &counts.repeats.to_string(),
                &counts.optotypes.to_string(),
                &counts.void.to_string(),
                &counts.undone.to_string(),
                &decimals(findings.seconds, 0),
                &findings.setup,
            ]),
            caution: said(&findings.caution),
            written,
            open,
            reference,
        }
    }
}

impl Page {
    /// With the series that would tell most.
    #[must_use]
    pub fn with_next(mut self, all: &[Telling]) -> Page {
        const SHOWN: usize = 3;
        let first = all.iter().take(SHOWN);
        self.next = first
            .map(|one| format!("{}.", words::first_upper(&said(&one.sentence()))))
            .collect();
        self
    }
}

/// What was asked for on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Close the visit and write its findings.
    Close,
    /// Save the examiner's reference.
    Reference,
    /// Make room for the next visit.
    NewVisit,
}

/// One row a frequency.
fn thresholds(hearing: &HearingFindings) -> Vec<[String; 5]> {
    let mut all: Vec<Hz> = hearing.all().map(|(_, one)| one.hz).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.dedup();
    let of = |ear, hz| {
        hearing
            .at(ear, hz)
            .map_or([String::new(), String::new()], cells)
    };
    let row = |hz: Hz| {
        let [right, right_interval] = of(Ear::Right, hz);
        let [left, left_interval] = of(Ear::Left, hz);
        [words::hz(hz), right, right_interval, left, left_interval]
    };
    all.into_iter().map(row).collect()
}

fn cells(finding: &HearingFinding) -> [String; 2] {
    let db = finding
        .stated_db()
        .map_or(String::new(), |db| format!("{db:.0}"));
    let level = match finding.status {
        HearingStatus::Measured => {
            let u = finding
                .u_db
                .map_or(String::new(), |u_db| format!(" \u{b1} {u_db:.0}"));
            let leans = if finding.from_neighbours {
                say::LEANING.here()
            } else {
                ""
            };
            format!("{db}{u}{leans}")
        }
        HearingStatus::NoResponseAtMaximum => say::NO_RESPONSE.fill(&[&db]),
        HearingStatus::AnsweredAtMinimum => say::OR_BETTER.fill(&[&db]),
        HearingStatus::NotTested => say::NOT_TESTED.into(),
        HearingStatus::Declined => say::DECLINED.into(),
        HearingStatus::Stopped => finding.unmasked.map_or(say::STOPPED.into(), |level| {
            say::OR_POORER.fill(&[&decimals(level.db(), 0)])
        }),
    };
    let interval = finding.interval_90_db.map_or(String::new(), |[low, high]| {
        say::INTERVAL.fill(&[&decimals(low, 0), &decimals(high, 0)])
    });
    [level, interval]
}

fn remarks(hearing: &HearingFindings) -> Vec<String> {
    let again = hearing.all().filter_map(|(ear, one)| {
        Some(say::AGAIN.fill(&[
            words::ear(ear),
            &words::hz(one.hz),
            &decimals(one.repeat_db?, 0),
        ]))
    });
    let masked = hearing.all().filter_map(|(ear, one)| {
        Some(say::MASKED.fill(&[words::ear(ear), &words::hz(one.hz), &words::masked(one)?]))
    });
    let cautious: Vec<String> = hearing
        .all()
        .filter(|(_, one)| one.cross_hearing_caution)
        .map(|(ear, one)| format!("{} {}", words::ear(ear), words::hz(one.hz)))
        .collect();
    let caution =
        (!cautious.is_empty()).then(|| say::OTHER_MAY_ANSWER.fill(&[&cautious.join(", ")]));
    let bone = (!hearing.right.is_empty() || !hearing.left.is_empty()).then(|| said(WITHOUT_BONE));
    again.chain(masked).chain(caution).chain(bone).collect()
}

/// Draws the page.
pub fn draw(ui: &mut Ui, theme: &Theme, page: &Page, acuity: &[Acuity]) -> Option<Wanted> {
    let mut wanted = None;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        wanted = actions(ui, theme, page);
        // Below are lines to read, and nothing to hit.
        ui.spacing_mut().interact_size.y = 24.0;
        ui.columns(2, |columns| {
            if let [left, right] = columns {
                // Columns justify their text; a vertical layout does not.
                left.vertical(|ui| measured(ui, theme, page, acuity));
                right.vertical(|ui| agreed(ui, theme, page));
            }
        });
        ui.add_space(STEP);
        remark(ui, theme, &page.counts);
        remark(ui, theme, &page.caution);
    });
    wanted
}

fn actions(ui: &mut Ui, theme: &Theme, page: &Page) -> Option<Wanted> {
    let mut wanted = None;
    ui.horizontal_wrapped(|ui| {
        let close = style::primary(theme, &say::CLOSE);
        if page.open && ui.add(close).clicked() {
            wanted = Some(Wanted::Close);
        }
        if page.reference && ui.button(say::REFERENCE).clicked() {
            wanted = Some(Wanted::Reference);
        }
        if !page.open && ui.button(say::NEW_VISIT).clicked() {
            wanted = Some(Wanted::NewVisit);
        }
    });
    if let Some(written) = &page.written {
        ui.label(RichText::new(written).color(theme.accent));
    }
    wanted
}

/// A sheet as wide as its column.
fn card(ui: &mut Ui, theme: &Theme, add: impl FnOnce(&mut Ui)) {
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        add(ui);
    });
}

fn measured(ui: &mut Ui, theme: &Theme, page: &Page, acuity: &[Acuity]) {
    section(ui, theme, &say::MEASURED);
    card(ui, theme, |ui| {
        if page.thresholds.is_empty() {
            remark(ui, theme, &say::NO_THRESHOLD);
            return;
        }
        remark(ui, theme, &say::THRESHOLDS_IN.fill(&[&page.levels]));
        Grid::new("thresholds").spacing([14.0, 2.0]).show(ui, |ui| {
            ui.label("");
            for ear in Ear::BOTH {
                ui.label(RichText::new(words::ear(ear)).color(theme.ear(ear)));
                remark(ui, theme, &say::NINETY);
            }
            ui.end_row();
            for [hz, right, right_interval, left, left_interval] in &page.thresholds {
                remark(ui, theme, hz);
                for (level, interval) in [(right, right_interval), (left, left_interval)] {
                    ui.label(level);
                    remark(ui, theme, interval);
                }
                ui.end_row();
            }
        });
        for one in &page.remarks {
            remark(ui, theme, one);
        }
        if page.levels == Scale::DbReExaminer.unit() {
            remark(ui, theme, &say::AGAINST_EXAMINER);
        }
    });
    for one in acuity {
        card(ui, theme, |ui| {
            ui.label(RichText::new(words::eye(one.eye)).color(theme.eye(one.eye)));
            ui.label(one.description());
        });
    }
    if !page.of_eyes.is_empty() {
        card(ui, theme, |ui| {
            heading(ui, theme, "Of the eyes, besides");
            for one in &page.of_eyes {
                ui.label(one);
            }
        });
    }
    if let Some(by_hand) = &page.by_hand {
        weigh_by_hand::worksheet(ui, theme, by_hand);
    }
}

fn agreed(ui: &mut Ui, theme: &Theme, page: &Page) {
    section(ui, theme, &say::AGREED);
    for one in &page.agreement {
        card(ui, theme, |ui| agreement(ui, theme, one));
    }
    if !page.agreement.is_empty() {
        remark(ui, theme, &said(OTHER_CAUSES));
    }
    if let Some(share) = &page.any_adverse {
        remark(ui, theme, &format!("{share}."));
    }
    if !page.next.is_empty() {
        heading(ui, theme, &say::TELL_MOST);
        for one in &page.next {
            ui.label(one);
        }
    }
    if let Some(by_hand) = &page.by_hand {
        section(ui, theme, &say::BESIDE_GUESSING);
        weigh_by_hand::series(ui, theme, by_hand);
    }
    section(ui, theme, &say::LOOK_FURTHER);
    if page.cues.is_empty() {
        remark(ui, theme, &say::NOTHING_FOUND);
    }
    for cue in &page.cues {
        card(ui, theme, |ui| {
            ui.label(format!(
                "{} ({})",
                said(&cue.what),
                words::urgency(cue.urgency)
            ));
            remark(
                ui,
                theme,
                &say::SOURCE.fill(&[&said(&cue.why), &cue.source]),
            );
        });
    }
}

fn section(ui: &mut Ui, theme: &Theme, title: &str) {
    ui.add_space(2.0 * STEP);
    ui.label(RichText::new(title).size(type_size::LARGE).color(theme.ink));
}

fn agreement(ui: &mut Ui, theme: &Theme, one: &Agreement) {
    heading(ui, theme, &one.sense);
    ui.label(RichText::new(words::first_upper(&one.grade)).size(type_size::LARGE));
    ui.label(&one.statement);
    ui.add_space(STEP);
    for [name, seen, expected, fit] in &one.checks {
        ui.label(format!("{}: {seen} ({fit})", words::first_upper(name)));
        remark(ui, theme, &say::EXPECTED.fill(&[expected]));
    }
    ui.add_space(STEP);
    remark(ui, theme, &format!("{}.", one.left_out));
    remark(ui, theme, &one.rates);
}
