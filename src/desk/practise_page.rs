//! How practice is drawn: the exercises to choose from, what can be said, what is concluded, and
//! the debrief.

use super::app::Desk;
use super::instruct;
use super::observe::{self, Observing};
use super::parts::{aside, choices, field, heading, remark, secret};
use super::practise::{Offered, Practising};
use super::progress;
use super::session::Session;
use super::style::{self, STEP, Theme, line, type_size};
use super::time_line;
use crate::journal::{Phrase, Together};
use crate::practice::{Cue, Debrief, Done, Step, would};
use eframe::egui::{
    self, Align2, Button, Color32, FontId, RichText, Role, ScrollArea, Sense, Stroke, Ui, Vec2,
    WidgetInfo, pos2, vec2,
};

/// What the trainee wants.
enum Wanted {
    Begin,
    ReadSet,
    Say(Phrase),
    Help(bool),
    End,
    KeepObserved,
    Again,
    Instruct,
    LookBack,
    EndBrokenOff,
}

/// Draws the page.
pub(super) fn draw(ui: &mut Ui, desk: &mut Desk) {
    let theme = desk.theme;
    let instructs = desk.session.is_none() && desk.practising.debrief.is_none();
    if instructs && desk.instructing.open {
        let wanted = instruct::draw(ui, &theme, &mut desk.instructing);
        desk.instructed(wanted);
        return;
    }
    if instructs && desk.progress.open {
        let wanted = progress::draw(ui, &theme, &mut desk.progress);
        desk.looked_back(wanted);
        return;
    }
    let practising = &mut desk.practising;
    let wanted = match (&desk.session, practising.debrief.clone()) {
        (session, Some(found)) => {
            let received = session.is_none();
            debriefed(ui, &theme, &found, &mut practising.observing, received)
        }
        (Some(session), None) if practising.under_way.is_some() => {
            under_way(ui, &theme, practising, session)
        }
        (Some(_), None) => {
            remark(
                ui,
                &theme,
                "A visit is under way. Practice waits until it is over.",
            );
            None
        }
        (None, None) => choose(ui, &theme, practising),
    };
    match wanted {
        None => {}
        Some(Wanted::Begin) => desk.begin_exercise(),
        Some(Wanted::ReadSet) => desk.practising.read_set(),
        Some(Wanted::Say(phrase)) => desk.say(phrase),
        Some(Wanted::Help(on)) => desk.let_help(on),
        Some(Wanted::End) => desk.end_exercise(),
        Some(Wanted::KeepObserved) => desk.keep_observed(),
        Some(Wanted::Again) => desk.practise_again(),
        Some(Wanted::Instruct) => desk.instructing.open = true,
        Some(Wanted::LookBack) => desk.look_back(),
        Some(Wanted::EndBrokenOff) => desk.end_broken_off(),
    }
}

/// The one sentence over the page.
pub(super) fn sentence(desk: &Desk) -> String {
    let (practising, session) = (&desk.practising, desk.session.as_ref());
    if practising.debrief.is_some() {
        return "It is over: who it was, and how it went.".into();
    }
    match session {
        None if desk.instructing.open => {
            "Who is practised on, by whom, and what came of it. What stands here tells the truth: not for trainees' eyes.".into()
        }
        None if desk.progress.open => "What your exercises add up to, and what to practise next.".into(),
        None => "Choose somebody to practise on. Who they are stays sealed until the end.".into(),
        Some(_) if practising.under_way.is_some() => {
            "Say what has to be said here; present by hand under Hear (F3), See (F4), Bedside (F5). Conclude at the end."
                .into()
        }
        Some(_) => "A visit is under way.".into(),
    }
}

fn choose(ui: &mut Ui, theme: &Theme, practising: &mut Practising) -> Option<Wanted> {
    let mut wanted = None;
    aside(ui, "practise", 280.0, |ui| {
        heading(ui, theme, "Who practises");
        field(
            ui,
            "Who practises",
            "a name or a code",
            250.0,
            &mut practising.trainee,
        );
        ui.add_space(2.0 * STEP);
        heading(ui, theme, "A set for a class");
        field(
            ui,
            "A set for a class",
            "a file, or nothing",
            250.0,
            &mut practising.set_file,
        );
        if ui
            .add(Button::new("Take it").min_size(Vec2::new(250.0, style::TARGET)))
            .clicked()
        {
            wanted = Some(Wanted::ReadSet);
        }
        ui.add_space(2.0 * STEP);
        heading(ui, theme, "Passphrase of a sealed exercise");
        let name = "Passphrase of a sealed exercise";
        secret(ui, name, 250.0, &mut practising.passphrase);
        ui.add_space(2.0 * STEP);
        let begin = style::primary(theme, "Begin").min_size(Vec2::new(250.0, style::TARGET));
        if ui.add(begin).clicked() {
            wanted = Some(Wanted::Begin);
        }
        ui.add_space(STEP);
        remark(
            ui,
            theme,
            "You present by hand and choose your own gaps. A simulated person answers; everybody is invented. \
             A certificate of nothing: it teaches, it does not examine.",
        );
        if let Some(message) = &practising.message {
            ui.label(RichText::new(message).color(theme.alert));
        }
        ui.add_space(2.0 * STEP);
        let back = Button::new("What improved, what is next");
        if ui
            .add(back.min_size(Vec2::new(250.0, style::TARGET)))
            .clicked()
        {
            wanted = Some(Wanted::LookBack);
        }
        ui.add_space(STEP);
        let broken_off = Button::new("End what was broken off");
        if ui
            .add(broken_off.min_size(Vec2::new(250.0, style::TARGET)))
            .clicked()
        {
            wanted = Some(Wanted::EndBrokenOff);
        }
        ui.add_space(STEP);
        let instruct = Button::new("For instructors").min_size(Vec2::new(250.0, style::TARGET));
        if ui.add(instruct).clicked() {
            wanted = Some(Wanted::Instruct);
        }
    });
    egui::CentralPanel::default()
        .frame(egui::Frame::new())
        .show(ui, |ui| {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                let all = practising.offered.clone();
                for (at, one) in all.iter().enumerate() {
                    if offer(ui, theme, one, at == practising.chosen) {
                        practising.chosen = at;
                    }
                }
            });
        });
    wanted
}

/// One exercise: its difficulty as bars of a tide gauge, its title and story.
fn offer(ui: &mut Ui, theme: &Theme, one: &Offered, chosen: bool) -> bool {
    let size = vec2(ui.available_width() - 16.0, 56.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let told = format!(
        "{}, difficulty {} of 5. {}",
        one.title, one.difficulty, one.story
    );
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, chosen, told.clone()));
    let painter = ui.painter();
    if chosen {
        painter.rect_filled(rect, f32::from(style::CORNER), theme.wash);
    }
    if response.has_focus() {
        let stroke = Stroke::new(line::BOLD, theme.accent);
        painter.rect_stroke(
            rect,
            f32::from(style::CORNER),
            stroke,
            egui::StrokeKind::Inside,
        );
    }
    for step in 0..5 {
        let foot = pos2(
            rect.left() + 14.0 + 7.0 * step as f32,
            rect.center().y + 9.0,
        );
        let high = 5.0 + 3.2 * step as f32;
        let ink = if step < one.difficulty {
            theme.accent
        } else {
            theme.hair
        };
        painter.line_segment([foot, foot - vec2(0.0, high)], Stroke::new(4.0, ink));
    }
    let left = rect.left() + 66.0;
    let title = FontId::proportional(type_size::BODY);
    painter.text(
        pos2(left, rect.top() + 17.0),
        Align2::LEFT_CENTER,
        &one.title,
        title,
        theme.ink,
    );
    let story = FontId::proportional(type_size::SMALL);
    painter.text(
        pos2(left, rect.top() + 38.0),
        Align2::LEFT_CENTER,
        &one.story,
        story,
        theme.ink_soft,
    );
    response.clicked()
}

fn under_way(
    ui: &mut Ui,
    theme: &Theme,
    practising: &mut Practising,
    session: &Session,
) -> Option<Wanted> {
    let mut wanted = None;
    // Under both columns, so that the end is in sight however low the window is.
    egui::Panel::bottom("end")
        .show_separator_line(false)
        .frame(egui::Frame::new().inner_margin(egui::Margin::symmetric(0, 8)))
        .show(ui, |ui| {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let ready = practising.can_end(session);
                let end = style::primary(theme, "End, and see who it was");
                let end = end.min_size(Vec2::new(300.0, style::TARGET));
                if ui.add_enabled(ready, end).clicked() {
                    wanted = Some(Wanted::End);
                }
                if !ready {
                    remark(ui, theme, "Say first how far the answers hang together.");
                }
                if let Some(message) = &practising.message {
                    ui.label(RichText::new(message).color(theme.alert));
                }
            });
        });
    aside(ui, "conclude", 356.0, |ui| {
        heading(ui, theme, "What the answers show");
        let plan = &session.record().opening.plan;
        let senses = [
            (
                plan.hearing.is_some(),
                "Hearing",
                &mut practising.draft.hearing,
            ),
            (plan.sight.is_some(), "Sight", &mut practising.draft.sight),
        ];
        for (planned, name, said) in senses {
            if planned {
                heading(ui, theme, name);
                let of = [
                    (Some(Together::Fit), "they fit"),
                    (Some(Together::DoNotFit), "they do not"),
                    (Some(Together::CannotBeTold), "cannot be told"),
                ];
                choices(ui, &of, said);
            }
        }
        ui.add_space(STEP);
        heading(ui, theme, "Reasons to look further");
        for cue in Cue::ALL {
            let mut named = practising.draft.cues.iter().any(|one| one == cue.name());
            if ui.checkbox(&mut named, cue.words()).changed() {
                practising.toggle(cue);
            }
        }
        ui.add_space(STEP);
        heading(ui, theme, "In your words, as it would stand in a report");
        let words = egui::TextEdit::multiline(&mut practising.draft.words)
            .desired_width(300.0)
            .desired_rows(3);
        let response = ui.add(words);
        response.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "In your words"));
    });
    egui::CentralPanel::default()
        .frame(egui::Frame::new())
        .show(ui, |ui| {
            let found = ScrollArea::vertical()
                .auto_shrink(false)
                .show(ui, |ui| said(ui, theme, practising, session));
            wanted = wanted.take().or(found.inner);
        });
    wanted
}

/// Who sits there, what can be said, what they said, and the helper.
fn said(ui: &mut Ui, theme: &Theme, practising: &Practising, session: &Session) -> Option<Wanted> {
    let mut wanted = None;
    if let Some(one) = &practising.under_way {
        ui.label(RichText::new(&one.offered.title).size(type_size::HEADING));
        ui.label(&one.offered.story);
    }
    ui.add_space(2.0 * STEP);
    heading(ui, theme, "Say or do");
    let practice = session.record().practice();
    // Row by row, so that one that grows to two lines moves no other out of its row.
    for pair in Phrase::ALL.chunks(2) {
        ui.columns(2, |columns| {
            for (ui, phrase) in columns.iter_mut().zip(pair) {
                let said = practice.said().iter();
                let times = said.filter(|one| one.phrase == *phrase).count();
                let text = match times {
                    0 => phrase.words().to_owned(),
                    times => format!("{} ({times})", phrase.words()),
                };
                let size = Vec2::new(ui.available_width(), style::TARGET);
                if ui.add_sized(size, Button::new(text).wrap()).clicked() {
                    wanted = Some(Wanted::Say(*phrase));
                }
            }
        });
    }
    for phrase in Phrase::ALL {
        if let Some(reply) = practising
            .replied(phrase)
            .filter(|_| practice.has_said(phrase))
        {
            ui.label(format!("{}: “{reply}”", phrase.words()));
        }
    }
    ui.add_space(2.0 * STEP);
    let mut on = practising.coached;
    if ui
        .checkbox(&mut on, "the helper says what a guideline would do next")
        .changed()
    {
        wanted = Some(Wanted::Help(on));
    }
    if let Some(advice) = practising.advice(session, false) {
        ui.label(
            RichText::new(would(&advice))
                .size(type_size::LARGE)
                .color(theme.accent),
        );
        remark(ui, theme, &format!("{}; {}", advice.why, advice.source));
    }
    wanted
}

fn debriefed(
    ui: &mut Ui,
    theme: &Theme,
    found: &Debrief,
    observing: &mut Observing,
    received: bool,
) -> Option<Wanted> {
    let mut wanted = None;
    aside(ui, "outcome", 330.0, |ui| {
        ui.label(RichText::new(&found.title).size(type_size::HEADING));
        heading(ui, theme, "Who it was");
        ui.label(&found.person);
        ui.add_space(2.0 * STEP);
        let again = if received { "Back" } else { "Practise on" };
        let again = style::primary(theme, again).min_size(Vec2::new(300.0, style::TARGET));
        if ui.add(again).clicked() {
            wanted = Some(Wanted::Again);
        }
        ui.add_space(STEP);
        let outcome = &found.outcome;
        let near = outcome.ears.iter().filter(|one| one.near).count();
        heading(ui, theme, "Beside the truth");
        ui.label(format!(
            "{near} of {} thresholds as near as the method comes",
            outcome.ears.len()
        ));
        for one in outcome.ears.iter().filter(|one| !one.near) {
            let there_db = one.true_midpoint_db_hl;
            ui.label(format!(
                "{} {}: {}, there {there_db:.0} dB HL",
                one.ear,
                one.hz,
                one.found_words()
            ));
        }
        for one in &outcome.eyes {
            let eye = super::words::eye(one.eye);
            let there = one.true_log_mar;
            let text = format!("{eye}: {}, there {there:.2} logMAR", one.found_words());
            let ink = if one.near { theme.ink } else { theme.alert };
            ui.label(RichText::new(text).color(ink));
        }
        for one in &outcome.judged {
            let said = one.said.map_or("nothing said", Together::words);
            let ink = if one.right { theme.ink } else { theme.alert };
            ui.label(RichText::new(format!("{}: {said}", one.sense)).color(ink));
            if !one.right {
                remark(ui, theme, &format!("expected: {}", one.expected.words()));
            }
        }
        if !found.because.is_empty() {
            remark(ui, theme, &found.because);
        }
        for one in &outcome.cues {
            let (text, ink) = match (one.there, one.named) {
                (true, true) => ("named, and there", theme.ink),
                (true, false) => ("there, not named", theme.alert),
                _ => ("named, not there", theme.alert),
            };
            ui.label(RichText::new(format!("{}: {text}", one.words)).color(ink));
        }
        ui.add_space(STEP);
        heading(ui, theme, "What it was to teach");
        for aim in &found.aims {
            ui.label(aim);
        }
    });
    egui::CentralPanel::default()
        .frame(egui::Frame::new())
        .show(ui, |ui| {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                // Clear of the scroll bar.
                ui.set_max_width(ui.available_width() - STEP);
                heading(ui, theme, "Step by step; a star marks what must be right");
                for step in &found.steps {
                    step_line(ui, theme, step);
                }
                ui.add_space(2.0 * STEP);
                if observe::draw(ui, theme, observing) {
                    wanted = Some(Wanted::KeepObserved);
                }
                ui.add_space(2.0 * STEP);
                let coached = found.coached;
                heading(
                    ui,
                    theme,
                    &format!("Presentation by presentation; the helper spoke at {coached}"),
                );
                time_line::draw(ui, theme, &found.replay);
                ui.add_space(STEP);
                replay(ui, theme, found);
            });
        });
    wanted
}

/// A row of the debrief: a word or a time at the left, lines that wrap at the right.
fn row(ui: &mut Ui, left: &str, ink: Color32, lines: impl FnOnce(&mut Ui)) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(74.0, 20.0), Sense::hover());
        let font = FontId::proportional(type_size::SMALL);
        ui.painter()
            .text(rect.left_center(), Align2::LEFT_CENTER, left, font, ink);
        ui.vertical(lines);
    });
    ui.add_space(4.0);
}

/// Each presentation, and where a guideline would have done otherwise what that is and why.
fn replay(ui: &mut Ui, theme: &Theme, found: &Debrief) {
    for one in &found.replay {
        row(ui, &format!("{:.0} s", one.t_s), theme.ink_soft, |ui| {
            ui.label(&one.did);
            if !one.same {
                let would = RichText::new(format!("a guideline: {}", one.would));
                ui.label(would.color(theme.accent));
                remark(ui, theme, one.why);
            }
        });
    }
}

fn step_line(ui: &mut Ui, theme: &Theme, step: &Step) {
    let (mark, ink) = match step.done {
        Done::Right => ("right", theme.accent),
        Done::Partly => ("in part", theme.alert),
        Done::NotDone => ("not done", theme.alert),
        Done::NoOccasion => ("no need", theme.quiet),
    };
    row(ui, mark, ink, |ui| {
        let star = if step.must { " *" } else { "" };
        ui.label(format!("{}{star}", step.what));
        let told = format!(
            "{}. Expected: {}. Source: {}",
            step.did, step.expected, step.source
        );
        remark(ui, theme, &told);
    });
}
