//! How the work by hand is drawn: the strip of the nerves, the reel of lines, the series to choose,
//! and the prompt in type that is read across the room.

use super::app::Desk;
use super::by_hand::{ByHand, Mode, Step, Words, choices, key_name, reply_keys};
use super::parts::{field, heading, remark};
use super::session::Session;
use super::style::{self, STEP, Theme, line, type_size};
use crate::bedside::cautions::{BEFORE, REFER_NOW, how};
use crate::bedside::{BedsideFindings, Line, LineState, key_words};
use crate::journal::Series;
use crate::quantity::Side;
use crate::stimulus::{Reply, SeriesKind};
use eframe::egui::{
    self, Align2, Color32, FontId, Key, Rect, Response, RichText, Role, ScrollArea, Sense, Stroke,
    Ui, WidgetInfo, pos2, vec2,
};
use std::time::Instant;

/// A prompt alone, points: its small letters are over 13 mm high on a display of 96 points an
/// inch, which is 15 minutes of arc at 3 m, three times the size that 6/6 reads.
const PROMPT: f32 = 104.0;
/// One of several prompts, points: 10 minutes of arc at 3 m.
const PROMPTS: f32 = 70.0;

/// Draws the page.
pub(super) fn draw(ui: &mut Ui, desk: &mut Desk, now: Instant) {
    let theme = desk.theme;
    let Some(session) = desk.session.as_mut() else {
        return;
    };
    let by_hand = &mut desk.by_hand;
    let practised = desk.practising.under_way.is_some();
    by_hand.advance(session, now);
    let findings = desk
        .figures
        .as_ref()
        .and_then(|one| one.findings.bedside.as_ref());
    match by_hand.mode {
        Mode::Reel => reel(ui, &theme, by_hand, session, findings, now),
        // What the program makes of the answers is not told while somebody practises.
        Mode::Choose => choose(
            ui,
            &theme,
            by_hand,
            session,
            findings.filter(|_| !practised),
        ),
        Mode::Prompt(at) => {
            let series = session.record().bedside().series().get(at).cloned();
            if let Some(series) = series {
                prompt(ui, &theme, by_hand, &series);
            }
        }
    }
}

/// The one sentence over the page.
pub(super) fn sentence(by_hand: &ByHand, session: &Session) -> String {
    if session.record().closed() {
        return "The visit is closed; what was done by hand is under Weigh (F6).".into();
    }
    if !session.rests() {
        return "The procedure is presenting: pause first (P); keys mean here what they mean there.".into();
    }
    match by_hand.mode {
        Mode::Reel if by_hand.timer.is_some() => "Timing. Any key stops it.".into(),
        Mode::Reel => {
            "By hand, one line after the other; what stays blank says nothing. R: series \
                       whose order nobody can work out."
                .into()
        }
        Mode::Choose => {
            "Which series? Its order is drawn and sealed before the first prompt.".into()
        }
        Mode::Prompt(at) => {
            let Some(series) = session.record().bedside().series().get(at) else {
                return String::new();
            };
            match by_hand.prompting.step(series) {
                Step::Gap => "Hands ready; wait for the prompt.".into(),
                Step::Shown => "Do as shown, then D. V if it was not done as shown.".into(),
                Step::Answer(place) => format!(
                    "What was answered to number {}? V if it was not done as shown.",
                    place + 1
                ),
                Step::Over => "The series is over. Enter goes back.".into(),
            }
        }
    }
}

fn reel(
    ui: &mut Ui,
    theme: &Theme,
    by_hand: &mut ByHand,
    session: &Session,
    findings: Option<&BedsideFindings>,
    now: Instant,
) {
    let lines: Vec<Line> = match findings {
        Some(found) if !found.worksheet.is_empty() => found.worksheet.clone(),
        _ => blank(by_hand, session),
    };
    egui::Panel::left("strip")
        .exact_size(230.0)
        .resizable(false)
        .show_separator_line(false)
        .frame(egui::Frame::new())
        .show(ui, |ui| {
            strip(ui, theme, &lines, by_hand.line);
            ui.add_space(STEP);
            fields(ui, theme, by_hand, session);
        });
    egui::CentralPanel::default()
        .frame(egui::Frame::new().inner_margin(egui::Margin::symmetric(16, 0)))
        .show(ui, |ui| {
            around(
                ui,
                theme,
                &lines,
                by_hand.line.saturating_sub(3)..by_hand.line,
            );
            if let Some(here) = lines.get(by_hand.line) {
                current(ui, theme, by_hand, session, here, now);
            }
            let last = (by_hand.line + 5).min(lines.len());
            around(ui, theme, &lines, (by_hand.line + 1).min(last)..last);
            ui.add_space(STEP);
            let refer = findings.map_or(&[][..], |found| &found.refer_now);
            for flag in refer {
                ui.label(RichText::new(flag).color(theme.alert));
            }
            remark(
                ui,
                theme,
                &format!("Refer now, whatever is found: {}.", REFER_NOW.join("; ")),
            );
        });
}

/// The lines of a worksheet of which nothing was entered.
fn blank(by_hand: &ByHand, session: &Session) -> Vec<Line> {
    let sheet = by_hand.worksheet(session);
    sheet
        .lines()
        .map(|(item, side)| Line {
            nerve: item.nerve.clone(),
            item: item.id.clone(),
            words: item.words.clone(),
            side,
            finding: LineState::NotEntered,
            grade: None,
            number: None,
            unit: item.unit.clone(),
            measured: None,
            comment: String::new(),
            who: None,
            at_s: None,
            entries: 0,
            observed: item.observed,
        })
        .collect()
}

/// Every nerve a row, every line a mark: shapes differ, not colours alone.
fn strip(ui: &mut Ui, theme: &Theme, lines: &[Line], here: usize) {
    let mut rows: Vec<(&str, Vec<(usize, LineState)>)> = Vec::new();
    for (at, one) in lines.iter().enumerate() {
        match rows.last_mut() {
            Some((nerve, marks)) if *nerve == one.nerve => marks.push((at, one.finding)),
            _ => rows.push((&one.nerve, vec![(at, one.finding)])),
        }
    }
    for (nerve, marks) in rows {
        let (rect, response) = ui.allocate_exact_size(vec2(226.0, 19.0), Sense::hover());
        let entered = marks
            .iter()
            .filter(|(_, state)| *state != LineState::NotEntered)
            .count();
        let told = format!("{nerve}: {entered} of {} lines", marks.len());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, told.clone()));
        let with = marks.iter().any(|(at, _)| *at == here);
        let ink = if with { theme.accent } else { theme.ink_soft };
        ui.painter().text(
            rect.left_center(),
            Align2::LEFT_CENTER,
            nerve,
            FontId::proportional(type_size::SMALL),
            ink,
        );
        for (place, (at, state)) in marks.iter().enumerate() {
            let centre = pos2(rect.left() + 78.0 + 12.0 * place as f32, rect.center().y);
            mark(ui, theme, centre, *state);
            if *at == here {
                ui.painter()
                    .circle_stroke(centre, 6.5, Stroke::new(line::FINE, theme.accent));
            }
        }
    }
}

fn mark(ui: &Ui, theme: &Theme, at: egui::Pos2, state: LineState) {
    let painter = ui.painter();
    let square = |side: f32| Rect::from_center_size(at, vec2(side, side));
    let fine = Stroke::new(line::FINE, theme.ink_soft);
    match state {
        LineState::NotEntered => {
            painter.circle_filled(at, 1.2, theme.quiet);
        }
        LineState::Normal => {
            painter.rect_filled(square(7.0), 1.0, theme.accent);
        }
        LineState::Abnormal => {
            let points = vec![
                at + vec2(0.0, -5.0),
                at + vec2(5.0, 4.0),
                at + vec2(-5.0, 4.0),
            ];
            painter.add(egui::Shape::convex_polygon(
                points,
                theme.alert,
                Stroke::NONE,
            ));
        }
        LineState::NotTested => {
            painter.line_segment([at - vec2(4.0, 0.0), at + vec2(4.0, 0.0)], fine);
        }
        LineState::NotPossible => {
            painter.line_segment([at - vec2(3.5, 3.5), at + vec2(3.5, 3.5)], fine);
            painter.line_segment([at - vec2(3.5, -3.5), at + vec2(3.5, -3.5)], fine);
        }
        LineState::Declined => {
            painter.circle_stroke(at, 3.5, fine);
        }
        LineState::Noted => {
            painter.circle_filled(at, 3.0, theme.ink_soft);
        }
        LineState::Measured => {
            painter.rect_stroke(square(7.0), 1.0, fine, egui::StrokeKind::Inside);
        }
    }
}

fn fields(ui: &mut Ui, theme: &Theme, by_hand: &mut ByHand, session: &Session) {
    heading(ui, theme, "Who looks (I)");
    let who = field(ui, "Who looks", "initials", 130.0, &mut by_hand.who);
    into(by_hand, Words::Who, &who);
    if session.record().bedside().worksheet().is_none() {
        heading(ui, theme, "Worksheet (O): standard, or a file");
        let sheet = field(ui, "Worksheet", "standard", 200.0, &mut by_hand.sheet_name);
        into(by_hand, Words::Sheet, &sheet);
        if sheet.lost_focus() {
            by_hand.read_sheet(session);
        }
    }
    if let Some(message) = &by_hand.message {
        ui.label(RichText::new(message).color(theme.alert));
    }
}

/// Puts the cursor into a field where a key asked for it.
fn into(by_hand: &mut ByHand, words: Words, response: &Response) {
    if by_hand.wanted == Some(words) {
        response.request_focus();
        by_hand.wanted = None;
    }
}

fn side_of(one: &Line) -> String {
    one.side.map_or(String::new(), |side| format!(", {side}"))
}

fn around(ui: &mut Ui, theme: &Theme, lines: &[Line], range: std::ops::Range<usize>) {
    ui.spacing_mut().interact_size.y = 26.0;
    for one in &lines[range] {
        let found = told(one);
        ui.horizontal(|ui| {
            let text = format!("{}  {}{}", one.nerve, one.words, side_of(one));
            ui.label(RichText::new(text).color(theme.ink_soft));
            let ink = match one.finding {
                LineState::Abnormal => theme.alert,
                LineState::NotEntered => theme.ink_soft,
                _ => theme.ink,
            };
            ui.label(RichText::new(found).color(ink));
        });
    }
}

/// A line's finding in words; a blank stays visibly blank.
fn told(one: &Line) -> String {
    if one.finding == LineState::NotEntered {
        return "blank".into();
    }
    let number = one
        .number
        .map(|number| format!("{number} {}", one.unit.as_deref().unwrap_or("")));
    let parts = [
        Some(one.finding.words().to_owned()),
        one.grade.clone(),
        number,
        one.measured.clone(),
        Some(one.comment.clone()).filter(|comment| !comment.is_empty()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn current(
    ui: &mut Ui,
    theme: &Theme,
    by_hand: &mut ByHand,
    session: &Session,
    here: &Line,
    now: Instant,
) {
    let Some((item, _)) = by_hand.line(session) else {
        return;
    };
    let item = item.clone();
    style::sheet(theme).show(ui, |ui| {
        ui.set_width(ui.available_width());
        heading(ui, theme, &item.nerve);
        let title = format!("{}{}", here.words, side_of(here));
        ui.label(RichText::new(title).size(type_size::HEADING).color(theme.ink));
        ui.label(RichText::new(told(here)).size(type_size::LARGE).color(theme.accent));
        if let Some(caution) = &item.caution {
            ui.label(RichText::new(caution).color(theme.alert));
        }
        if !item.grades.is_empty() {
            ui.horizontal_wrapped(|ui| {
                for (place, grade) in item.grades.iter().enumerate() {
                    let figure = (place + 1) % 10;
                    let chosen = by_hand.grade == Some(place);
                    if ui.selectable_label(chosen, format!("{figure}  {grade}")).clicked() {
                        by_hand.grade = Some(place);
                    }
                }
            });
        }
        if item.hold_ready {
            let ready = !by_hand.locked(session);
            let text = if ready {
                "Ready to hold: ticked. T starts the timer."
            } else {
                "Locked. Y ticks: I stand ready to hold the person."
            };
            ui.label(RichText::new(text).color(if ready { theme.accent } else { theme.alert }));
        }
        if let Some(began) = by_hand.timer {
            let seconds = now.saturating_duration_since(began).as_secs_f64();
            ui.label(RichText::new(format!("{seconds:.1} s")).size(PROMPTS));
            ui.ctx().request_repaint_after(std::time::Duration::from_millis(100));
        }
        ui.horizontal(|ui| {
            if let Some(unit) = &item.unit {
                let number = field(ui, "Number", &format!("N: {unit}"), 90.0, &mut by_hand.number);
                into(by_hand, Words::Number, &number);
            }
            let comment = field(ui, "Comment", "C: comment", 420.0, &mut by_hand.comment);
            into(by_hand, Words::Comment, &comment);
        });
        let keys = if item.observed {
            "W noted (with a comment)   S not tested   G declined"
        } else {
            "F normal   D abnormal   S not tested   A not possible   G declined"
        };
        ui.label(RichText::new(keys).color(theme.ink));
        remark(ui, theme, "J and K: line by line   L and H: nerve by nerve   an entry again replaces the last one");
    });
}

fn choose(
    ui: &mut Ui,
    theme: &Theme,
    by_hand: &mut ByHand,
    session: &Session,
    findings: Option<&BedsideFindings>,
) {
    egui::Panel::left("series")
        .exact_size(330.0)
        .resizable(false)
        .show_separator_line(false)
        .frame(egui::Frame::new())
        .show(ui, |ui| {
            for (place, (kind, side)) in choices().into_iter().enumerate() {
                let here = place == by_hand.choice;
                let series = session.record().bedside().series();
                let done = series
                    .iter()
                    .filter(|one| one.drawn.what == kind && one.drawn.side == side)
                    .count();
                let count = if done > 0 {
                    format!("  ({done})")
                } else {
                    String::new()
                };
                let text = format!(
                    "{}{}{count}",
                    if here { "\u{bb} " } else { "   " },
                    asked_of(kind, side)
                );
                let ink = if here { theme.accent } else { theme.ink };
                ui.spacing_mut().item_spacing.y = 2.0;
                let size = if here {
                    type_size::LARGE
                } else {
                    type_size::BODY
                };
                ui.label(RichText::new(text).size(size).color(ink));
            }
        });
    egui::CentralPanel::default()
        .frame(egui::Frame::new().inner_margin(egui::Margin::symmetric(16, 0)))
        .show(ui, |ui| {
            let Some((kind, _)) = choices().get(by_hand.choice).copied() else {
                return;
            };
            if let Some(message) = &by_hand.message {
                ui.label(RichText::new(message).color(theme.alert));
            }
            style::sheet(theme).show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.label(how(kind));
                let set = format!(
                    "{} prompts (H fewer, L more), {} at a time (B)",
                    by_hand.prompts, by_hand.together
                );
                ui.label(RichText::new(set).size(type_size::LARGE).color(theme.accent));
                if kind == SeriesKind::Smell {
                    let scent = field(ui, "Scent", "S: what is smelled", 220.0, &mut by_hand.scent);
                    into(by_hand, Words::Scent, &scent);
                }
                ui.label("D or Enter: draw, seal and begin   P: on paper   G: go on with the one under way");
                ui.label("J and K: which one   Y: teach a remote   R: back to the worksheet");
            });
            for text in BEFORE {
                remark(ui, theme, text);
            }
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                for one in findings.into_iter().flat_map(|found| &found.series) {
                    let asked = asked_of(one.kind, one.side);
                    ui.label(format!("{}. {asked}: {}", one.series, one.statement()));
                }
            });
        });
}

/// What a series asks, and of which nostril, eye or ear.
fn asked_of(kind: SeriesKind, side: Option<Side>) -> String {
    match (side, kind.organ()) {
        (Some(side), Some(organ)) => format!("{kind}, {side} {organ}"),
        _ => kind.to_string(),
    }
}

fn prompt(ui: &mut Ui, theme: &Theme, by_hand: &mut ByHand, series: &Series) {
    let step = by_hand.prompting.step(series);
    let settled = series.stages.iter().filter(|stage| {
        !matches!(
            stage,
            crate::journal::Stage::Waiting | crate::journal::Stage::Done { .. }
        )
    });
    let head = format!(
        "{} · {} of {} settled",
        asked_of(series.drawn.what, series.drawn.side),
        settled.count(),
        series.stages.len()
    );
    heading(ui, theme, &head);
    if let Some(message) = &by_hand.message {
        ui.label(RichText::new(message).color(theme.alert));
    }
    ui.add_space(2.0 * STEP);
    match step {
        Step::Gap => big(ui, theme.quiet, PROMPT, "wait"),
        Step::Over => big(ui, theme.accent, PROMPT, "over"),
        Step::Shown => shown(ui, theme, by_hand, series, None),
        Step::Answer(place) => {
            shown(ui, theme, by_hand, series, Some(place));
            ui.add_space(2.0 * STEP);
            if let Some((_, said)) = by_hand.prompting.said.iter().find(|(at, _)| *at == place) {
                let text = format!("The simulated person says: {said}");
                ui.label(
                    RichText::new(text)
                        .size(type_size::HEADING)
                        .color(theme.accent),
                );
            }
            answers(ui, theme, series);
        }
    }
    ui.add_space(2.0 * STEP);
    remark(
        ui,
        theme,
        "D done as shown   V void, not replaced   Z take the last answer back   X X end early   Esc leave, G goes on",
    );
    remark(
        ui,
        theme,
        &format!(
            "Sealed in the journal before the first prompt: {}",
            series.drawn.seal
        ),
    );
}

fn shown(ui: &mut Ui, theme: &Theme, by_hand: &ByHand, series: &Series, answering: Option<usize>) {
    let batch = &by_hand.prompting.batch;
    let (alone, first) = (batch.len() < 2, batch.first().copied());
    for place in batch {
        let Some(prompted) = series.drawn.prompted(*place) else {
            continue;
        };
        let (words, beside) = key_words(&prompted);
        let settled = !matches!(
            series.stages[*place],
            crate::journal::Stage::Waiting | crate::journal::Stage::Done { .. }
        );
        let ink = if settled || answering.is_some_and(|at| at != *place) {
            theme.quiet
        } else {
            theme.ink
        };
        if alone {
            big(ui, ink, PROMPT, &words);
            let beside = RichText::new(beside).size(type_size::HEADING);
            ui.label(beside.color(theme.ink_soft));
        } else {
            // The hands keep the gaps themselves, so they are told before each prompt.
            let gap = format!("{:.0} s", prompted.prompt.gap_s);
            ui.horizontal(|ui| {
                ui.label(RichText::new(gap).size(0.6 * PROMPTS).color(theme.quiet));
                big(ui, ink, PROMPTS, &format!("{}  {words}", place + 1));
            });
        }
    }
    if !alone
        && let Some((_, beside)) = first
            .and_then(|one| series.drawn.prompted(one))
            .map(|one| key_words(&one))
    {
        remark(ui, theme, &beside);
    }
}

/// Words across the room, as large as they fit.
fn big(ui: &mut Ui, ink: Color32, size: f32, words: &str) {
    let (mut size, width) = (size, ui.available_width());
    let wide = |ui: &Ui, size: f32| {
        let font = FontId::proportional(size);
        let text = words.to_owned();
        ui.painter().layout_no_wrap(text, font, ink).size().x
    };
    while size > 40.0 && wide(ui, size) > width {
        size -= 4.0;
    }
    ui.label(RichText::new(words).size(size).color(ink));
}

fn answers(ui: &mut Ui, theme: &Theme, series: &Series) {
    let keys: Vec<(Key, Reply)> = reply_keys(series.drawn.what);
    ui.horizontal_wrapped(|ui| {
        for (key, reply) in keys {
            style::sheet(theme).show(ui, |ui| {
                ui.vertical(|ui| {
                    let name = RichText::new(key_name(key)).size(type_size::HEADING);
                    ui.label(name.color(theme.accent));
                    ui.label(RichText::new(reply.words()).size(type_size::LARGE));
                });
            });
        }
    });
}
