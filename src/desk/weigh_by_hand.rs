//! Weigh: what was done by hand. Its lines stand by themselves and enter no grade of a sense.

use super::parts::{heading, remark};
use super::style::{self, STEP, Theme};
use crate::bedside::{BedsideFindings, Line, LineState, Rate, SeriesFinding, SidesCompared};
use eframe::egui::{RichText, Ui};

/// The worksheet in short: what is abnormal or noted, and how much stayed blank.
pub(super) fn worksheet(ui: &mut Ui, theme: &Theme, found: &BedsideFindings) {
    if found.worksheet.is_empty() {
        return;
    }
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        heading(ui, theme, "By hand: the worksheet");
        ui.label(counts(&found.worksheet));
        for one in &found.worksheet {
            let ink = match one.finding {
                LineState::Abnormal => theme.alert,
                LineState::Noted => theme.ink,
                _ => continue,
            };
            ui.label(RichText::new(told(one)).color(ink));
        }
        for flag in &found.refer_now {
            ui.label(RichText::new(flag).color(theme.alert));
        }
        remark(
            ui,
            theme,
            "All lines are in worksheet.csv. A line that nobody entered says nothing.",
        );
    });
}

fn counts(lines: &[Line]) -> String {
    let states = [
        LineState::Normal,
        LineState::Abnormal,
        LineState::NotTested,
        LineState::NotPossible,
        LineState::Declined,
        LineState::Noted,
        LineState::Measured,
        LineState::NotEntered,
    ];
    let count = |state| lines.iter().filter(|one| one.finding == state).count();
    let some = states.into_iter().filter(|state| count(*state) > 0);
    let told: Vec<String> = some
        .map(|state| format!("{} {}", count(state), state.words()))
        .collect();
    told.join(", ")
}

fn told(one: &Line) -> String {
    let side = one.side.map_or(String::new(), |side| format!(", {side}"));
    let number = one
        .number
        .map(|number| format!("{number} {}", one.unit.as_deref().unwrap_or("")));
    let comment = Some(one.comment.clone()).filter(|comment| !comment.is_empty());
    let found = Some(one.finding.words().to_owned());
    let parts = [found, one.grade.clone(), number, comment];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    format!("{} · {}{side}: {}", one.nerve, one.words, parts.join(", "))
}

/// The series: counts with their intervals, beside guessing, and what must not be concluded.
pub(super) fn series(ui: &mut Ui, theme: &Theme, found: &BedsideFindings) {
    if found.series.is_empty() {
        return;
    }
    for one in &found.series {
        style::sheet(theme).show(ui, |ui| {
            ui.set_width(ui.available_width());
            one_series(ui, theme, one);
        });
    }
    for sides in &found.sides {
        ui.label(compared(sides));
    }
    remark(ui, theme, &found.correction);
    ui.add_space(STEP);
    heading(ui, theme, "What must not be concluded");
    for caution in &found.not_concluded {
        remark(ui, theme, &format!("{} ({})", caution.what, caution.source));
    }
}

fn one_series(ui: &mut Ui, theme: &Theme, one: &SeriesFinding) {
    let side = one.side.map_or(String::new(), |side| format!(", {side}"));
    heading(
        ui,
        theme,
        &format!("Series {}: {}{side}", one.series, one.kind),
    );
    ui.label(one.statement());
    let rates = one
        .hits
        .iter()
        .chain(&one.false_alarms)
        .chain(&one.extinctions);
    for rate in rates {
        remark(ui, theme, &counted(rate));
    }
    for extent in &one.extents {
        let ratio = extent
            .ratio
            .map_or("not known".into(), |ratio| format!("{ratio:.1}"));
        let text = format!(
            "{}: {:.0} cm at 1 m, {:.0} cm at 2 m; ratio {ratio}, 2 for a field that is an angle",
            extent.from, extent.at_1_m_cm, extent.at_2_m_cm
        );
        remark(ui, theme, &text);
    }
    if let Some(sides) = &one.sides {
        ui.label(compared(sides));
    }
    for text in &one.remarks {
        ui.label(RichText::new(text).color(theme.alert));
    }
    if one.void > 0 || one.undone > 0 {
        remark(
            ui,
            theme,
            &format!("{} void, {} taken back", one.void, one.undone),
        );
    }
}

fn counted(rate: &Rate) -> String {
    let [low, high] = rate.interval_95.map(|share| 100.0 * share);
    format!(
        "{}: {} of {} ({low:.0} to {high:.0} %)",
        rate.what, rate.k, rate.n
    )
}

fn compared(sides: &SidesCompared) -> String {
    let stands_out = if sides.stands_out { ", stands out" } else { "" };
    format!(
        "{}: right {} of {}, left {} of {} (p = {:.3}{stands_out})",
        sides.what, sides.right.k, sides.right.n, sides.left.k, sides.left.n, sides.p
    )
}
