//! The worksheet as pages to print: A4, SVG, which any browser prints.

use crate::bedside::cautions::REFER_NOW;
use crate::bedside::{BedsideFindings, Line, Page, wrapped};

/// Lines on a page.
const ON_A_PAGE: usize = 54;
/// Signs in a line.
const WIDE: usize = 100;

/// The worksheet and the series on as many pages as they take.
#[must_use]
pub fn worksheet_pages(found: &BedsideFindings, whose: &str) -> Vec<String> {
    let lines = text(found);
    let pages = lines.len().div_ceil(ON_A_PAGE);
    lines
        .chunks(ON_A_PAGE)
        .enumerate()
        .map(|(at, lines)| {
            let mut page = Page::new();
            let whose: String = whose.chars().take(80).collect();
            page.line(15.0, 15.0, 3.6, &format!("By hand: {whose}"));
            page.line(165.0, 15.0, 3.2, &format!("page {} of {pages}", at + 1));
            for (row, text) in lines.iter().enumerate() {
                page.line(15.0, 23.0 + 4.8 * row as f64, 3.2, text);
            }
            let foot = "A screening and measuring aid, not certified and not a diagnosis. A line \
                        that is 'not entered' says nothing.";
            page.line(15.0, 288.0, 2.8, foot);
            page.end()
        })
        .collect()
}

fn text(found: &BedsideFindings) -> Vec<String> {
    let mut lines: Vec<String> = found.worksheet.iter().map(told).collect();
    let mut add = |text: &str| lines.extend(wrapped(text, WIDE));
    for one in &found.series {
        let side = one.side.map_or(String::new(), |side| format!(", {side}"));
        add(&format!(
            "Series {}, {}{side}: {}",
            one.series,
            one.kind,
            one.statement()
        ));
        let rates = one
            .hits
            .iter()
            .chain(&one.false_alarms)
            .chain(&one.extinctions);
        let rates: Vec<String> = rates
            .map(|rate| format!("{} {} of {}", rate.what, rate.k, rate.n))
            .collect();
        if !rates.is_empty() {
            add(&format!("    {}", rates.join("; ")));
        }
    }
    if !found.series.is_empty() {
        add(&found.correction);
        for caution in &found.not_concluded {
            add(&format!("{} ({})", caution.what, caution.source));
        }
    }
    for flag in &found.refer_now {
        add(flag);
    }
    add(&format!(
        "Refer now, whatever was found: {}.",
        REFER_NOW.join("; ")
    ));
    lines
}

fn told(one: &Line) -> String {
    let side = one.side.map_or(String::new(), |side| format!(", {side}"));
    let number = one
        .number
        .map(|number| format!("{number} {}", one.unit.as_deref().unwrap_or("")));
    let comment = Some(one.comment.clone()).filter(|comment| !comment.is_empty());
    let who = one.who.as_ref().map(|who| format!("by {who}"));
    let found = Some(one.finding.words().to_owned());
    let parts = [
        found,
        one.grade.clone(),
        number,
        one.measured.clone(),
        comment,
        who,
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    let text = format!("{}  {}{side}: {}", one.nerve, one.words, parts.join(", "));
    text.chars().take(WIDE + 10).collect()
}
