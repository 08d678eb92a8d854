//! What frames every page: the path through a visit, the sentence, the stream, the keys.

use super::app::{Desk, Page};
use super::by_hand_page;
use super::figure;
use super::keys::{Action, written};
use super::parts::remark;
use super::practise_page;
use super::settings_page::action_name;
use super::style::{STEP, TARGET, Theme, line, type_size};
use super::words::{self, frame as say, said};
use crate::practice::would;
use crate::stimulus::Facing;
use eframe::egui::{
    self, Align2, FontId, Frame, Margin, Panel, Pos2, Rect, RichText, Role, ScrollArea, Sense,
    Stroke, Ui, Vec2, WidgetInfo, pos2, vec2,
};

/// The most that two stations of the path lie apart, points.
const MOST_APART: f32 = 66.0;

/// A page's name.
pub(super) fn name(page: Page) -> words::Text {
    match page {
        Page::Prepare => say::PREPARE,
        Page::Hear => say::HEAR,
        Page::See => say::SEE,
        Page::Bedside => say::BEDSIDE,
        Page::Weigh => say::WEIGH,
        Page::HandOver => say::HAND_OVER,
        Page::People => say::PEOPLE,
        Page::Bench => say::BENCH,
        Page::Practise => say::PRACTISE,
        Page::Settings => say::OWN_DESK,
    }
}

/// The path at the left: stations on one line.
pub(super) fn path(ui: &mut Ui, desk: &mut Desk) {
    let theme = desk.theme;
    let frame = Frame::new().fill(theme.ground).inner_margin(Margin {
        left: 12,
        right: 8,
        top: 20,
        bottom: 16,
    });
    Panel::left("path")
        .exact_size(132.0)
        .resizable(false)
        .show_separator_line(false)
        .frame(frame)
        .show(ui, |ui| {
            ui.label(
                RichText::new("Veridical")
                    .size(type_size::BODY)
                    .color(theme.ink_soft),
            );
            ui.add_space(3.0 * STEP);
            let high = ui.available_height();
            ScrollArea::vertical().show(ui, |ui| {
                stations(ui, desk, high);
                ui.add_space(2.0 * STEP);
                beside(ui, desk);
            });
        });
}

/// The stations, one below the other, where there is so much height for them and what is under them.
fn stations(ui: &mut Ui, desk: &mut Desk, high: f32) {
    let theme = desk.theme;
    let mut above: Option<Pos2> = None;
    // On a small laptop the stations move together, so that what is under them stays in view.
    let under = 3.0 * STEP + 3.0 * (TARGET + STEP);
    let each = (high - under) / Page::ALL.len() as f32 - STEP;
    let each = each.clamp(TARGET, MOST_APART);
    for page in Page::ALL {
        let enabled = desk.is_open(page);
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), each), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name(page)));
        let node = pos2(rect.left() + 12.0, rect.center().y);
        station(ui, &theme, node, above, page == desk.page, enabled);
        above = Some(node);
        let ink = if page == desk.page {
            theme.accent
        } else if enabled {
            theme.ink
        } else {
            theme.quiet
        };
        let at = node + vec2(20.0, 0.0);
        let size = if page == desk.page {
            type_size::LARGE
        } else {
            type_size::BODY
        };
        let laid = |size| {
            let font = FontId::proportional(size);
            ui.painter()
                .layout_no_wrap(name(page).here().to_owned(), font, ink)
        };
        // A long word in another language keeps within the path.
        let galley = laid(size);
        let room = rect.right() - at.x;
        let galley = if galley.size().x > room {
            laid(size * room / galley.size().x)
        } else {
            galley
        };
        let place = Align2::LEFT_CENTER.anchor_size(at, galley.size());
        ui.painter().galley(place.min, galley, ink);
        if response.has_focus() {
            ui.painter().rect_stroke(
                rect,
                4.0,
                Stroke::new(line::BOLD, theme.accent),
                egui::StrokeKind::Inside,
            );
        }
        if response.clicked() {
            desk.turn_to(page);
        }
    }
}

/// Beside the path: no stations of a visit.
fn beside(ui: &mut Ui, desk: &mut Desk) {
    for page in [Page::Bench, Page::Settings] {
        let here = desk.page == page;
        let button = egui::Button::selectable(here, name(page));
        if ui.add_enabled(desk.is_open(page), button).clicked() {
            desk.turn_to(if here { Page::Prepare } else { page });
        }
    }
    let key = desk.settings.keys.name(Action::Keys);
    let text = RichText::new(format!("{}  {key}", say::KEYS)).size(type_size::SMALL);
    if ui.button(text).clicked() {
        desk.keys_shown = !desk.keys_shown;
    }
}

fn station(ui: &Ui, theme: &Theme, node: Pos2, above: Option<Pos2>, here: bool, enabled: bool) {
    let painter = ui.painter();
    let ink = if enabled { theme.accent } else { theme.quiet };
    if let Some(above) = above {
        let gap = vec2(0.0, 12.0);
        painter.line_segment([above + gap, node - gap], Stroke::new(line::FINE, ink));
    }
    let fill = if here { theme.accent } else { theme.ground };
    painter.circle(
        node,
        if here { 8.0 } else { 6.0 },
        fill,
        Stroke::new(line::BOLD, ink),
    );
}

/// The sentence at the top: what is happening, and why.
pub(super) fn sentence(ui: &mut Ui, desk: &mut Desk) {
    let theme = desk.theme;
    let frame = Frame::new().fill(theme.ground).inner_margin(Margin {
        left: 8,
        right: 16,
        top: 16,
        bottom: 8,
    });
    Panel::top("sentence")
        .resizable(false)
        .show_separator_line(false)
        .frame(frame)
        .show(ui, |ui| {
            ui.set_min_height(64.0);
            let text = match &desk.session {
                _ if desk.page == Page::Practise => practise_page::sentence(desk),
                Some(session) if desk.page == Page::Bedside => {
                    by_hand_page::sentence(&desk.by_hand, session)
                }
                _ if desk.page == Page::HandOver && desk.shows_kept() => {
                    words::now::TAKEN_OUT.into()
                }
                _ if desk.page == Page::Settings => words::settings::SENTENCE.into(),
                Some(session) => words::now(session, desk.page == Page::See, &desk.settings.keys),
                None if desk.page == Page::Bench => words::now::AT_BENCH.into(),
                None if desk.page == Page::People => words::now::AT_PEOPLE.into(),
                None => words::now::BEFORE.into(),
            };
            ui.label(RichText::new(text).size(type_size::LARGE).color(theme.ink));
            helper(ui, desk);
            let message = desk.session.as_ref().and_then(|session| session.message());
            if let Some(message) = message.or(desk.notice.as_deref()) {
                ui.label(RichText::new(said(message)).color(theme.alert));
            }
            let lost = desk
                .session
                .as_ref()
                .is_some_and(super::session::Session::sound_lost);
            let unsettled = desk
                .session
                .as_ref()
                .is_some_and(super::session::Session::profile_unsettled);
            if lost && !unsettled && ui.button(say::SOUND_AGAIN).clicked() {
                desk.open_sound_again();
            }
        });
}

/// What the helper says, where presentations are made; under Practise it stands beside what can be said.
fn helper(ui: &mut Ui, desk: &Desk) {
    let presents = matches!(desk.page, Page::Hear | Page::See | Page::Bedside);
    let Some(session) = desk.session.as_ref().filter(|_| presents) else {
        return;
    };
    if let Some(advice) = desk.practising.advice(session, desk.page == Page::See) {
        let told = say::HELPER.fill(&[&said(&would(&advice))]);
        ui.label(RichText::new(told).color(desk.theme.accent));
        let why = format!("{}; {}", said(advice.why), said(advice.source));
        remark(ui, &desk.theme, &why);
    }
}

/// The stream of presentations at the bottom.
pub(super) fn stream(ui: &mut Ui, desk: &Desk) {
    let presents = matches!(desk.page, Page::Hear | Page::See);
    let Some(figures) = desk.figures.as_ref().filter(|_| presents) else {
        return;
    };
    let theme = desk.theme;
    let frame = Frame::new().fill(theme.ground).inner_margin(Margin {
        left: 8,
        right: 16,
        top: 4,
        bottom: 12,
    });
    Panel::bottom("stream")
        .resizable(false)
        .show_separator_line(false)
        .frame(frame)
        .show(ui, |ui| {
            let size = Vec2::new(ui.available_width(), 148.0);
            figure::show(ui, &theme, &figures.stream, size);
        });
}

/// The keys, over everything.
pub(super) fn keys(ui: &mut Ui, desk: &mut Desk) {
    if !desk.keys_shown {
        return;
    }
    let theme = desk.theme;
    let mut open = true;
    egui::Window::new(say::KEYS)
        .open(&mut open)
        .collapsible(false)
        .resizable(false)
        .anchor(Align2::CENTER_CENTER, Vec2::ZERO)
        .show(ui.ctx(), |ui| {
            ui.label(RichText::new(say::HANDS_REST).color(theme.ink_soft));
            ui.horizontal_top(|ui| {
                egui::Grid::new("examiner's keys")
                    .spacing(vec2(16.0, 4.0))
                    // Nothing here is clicked: as low as its words, so that a small display holds it.
                    .min_row_height(type_size::BODY)
                    .show(ui, |ui| {
                        for (key, action) in &desk.settings.keys.examiner {
                            ui.label(RichText::new(written(*key)).color(theme.accent));
                            ui.label(action_name(*action));
                            ui.end_row();
                        }
                    });
                ui.add_space(3.0 * STEP);
                ui.vertical(|ui| {
                    // One short line each, or the window grows wider than a small display.
                    let pages = desk.settings.keys.pages.iter();
                    let pages: Vec<String> = pages
                        .map(|(key, page)| format!("{} {}", written(*key), name(*page)))
                        .collect();
                    for pages in pages.chunks(3) {
                        ui.label(pages.join("   "));
                    }
                    ui.label(say::OWN_KEYS_OF_BEDSIDE);
                    ui.add_space(STEP);
                    let hear = desk.settings.keys.hear.first();
                    let hear = hear.map_or("", |key| written(*key));
                    ui.label(say::PERSONS_KEY.fill(&[hear]));
                    ui.add_space(STEP);
                    ui.label(say::DIRECTIONS);
                    block(ui, desk);
                });
            });
        });
    desk.keys_shown = open;
}

/// The block of keys around K.
fn block(ui: &mut Ui, desk: &Desk) {
    let theme = desk.theme;
    let (area, _) = ui.allocate_exact_size(Vec2::splat(150.0), Sense::hover());
    for facing in Facing::EIGHT {
        let radians = facing.degrees().to_radians() as f32;
        let cell = vec2(radians.cos().round(), -radians.sin().round()) * 50.0;
        let rect = Rect::from_center_size(area.center() + cell, Vec2::splat(42.0));
        ui.painter().rect(
            rect,
            4.0,
            theme.sheet,
            Stroke::new(line::FINE, theme.quiet),
            egui::StrokeKind::Inside,
        );
        ui.painter().text(
            rect.center(),
            Align2::CENTER_CENTER,
            desk.settings.keys.facing_name(facing),
            FontId::proportional(type_size::BODY),
            theme.ink,
        );
    }
}
