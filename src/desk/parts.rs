//! Small pieces that several pages are made of.

use super::style::{Theme, type_size};
use super::words::hear;
use crate::journal::{HowEnded, Section};
use eframe::egui::{self, Align, Button, Layout, RichText, Ui, Vec2};

/// A button with its key at the right; whether it was pressed.
pub(super) fn key_button(ui: &mut Ui, text: &str, key: &str, enabled: bool) -> bool {
    let width = ui.available_width();
    let button = Button::new(text)
        .shortcut_text(key)
        .min_size(Vec2::new(width, super::style::TARGET));
    ui.add_enabled(enabled, button).clicked()
}

/// The sections that can be ended before they are done, a line each.
pub(super) fn ends(
    ui: &mut Ui,
    theme: &Theme,
    sections: &[(Section, &str)],
) -> Option<(Section, HowEnded)> {
    const NAME: f32 = 76.0;
    if sections.is_empty() {
        return None;
    }
    let mut done = None;
    ui.add_space(super::style::STEP);
    heading(ui, theme, &hear::END_EARLY);
    for (section, name) in sections {
        ui.horizontal(|ui| {
            let (rect, _) =
                ui.allocate_exact_size(Vec2::new(NAME, super::style::TARGET), egui::Sense::hover());
            ui.painter().text(
                rect.left_center(),
                egui::Align2::LEFT_CENTER,
                name,
                egui::FontId::proportional(type_size::BODY),
                theme.ink,
            );
            let width = 0.5 * (ui.available_width() - ui.spacing().item_spacing.x);
            for (how, text) in [
                (HowEnded::Declined, hear::DECLINED),
                (HowEnded::Stopped, hear::STOP),
            ] {
                let button = Button::new(text).min_size(Vec2::new(width, super::style::TARGET));
                let response = ui.add(button);
                let told = format!("{name}: {text}");
                response.widget_info(|| {
                    egui::WidgetInfo::labeled(egui::Role::Button, true, told.clone())
                });
                if response.clicked() {
                    done = Some((*section, how));
                }
            }
        });
    }
    done
}

/// A heading in soft, small type.
pub(super) fn heading(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(
        RichText::new(text)
            .size(type_size::SMALL)
            .color(theme.ink_soft),
    );
}

/// A paragraph in soft, small type.
pub(super) fn remark(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(
        RichText::new(text)
            .size(type_size::SMALL)
            .color(theme.ink_soft),
    );
}

/// A row of the form: what it is about at the left, its fields at the right.
pub(super) fn row(
    ui: &mut Ui,
    theme: &Theme,
    title: &str,
    add: impl FnOnce(&mut Ui),
) -> egui::Response {
    const LEFT: f32 = 104.0;
    let drawn = ui.horizontal_top(|ui| {
        let size = Vec2::new(LEFT, super::style::TARGET);
        ui.allocate_ui_with_layout(size, Layout::top_down(Align::Min), |ui| {
            ui.set_width(LEFT);
            ui.add_space(11.0);
            ui.label(RichText::new(title).color(theme.ink_soft));
        });
        ui.vertical(add);
    });
    ui.add_space(4.0);
    let (rect, _) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), 1.0), egui::Sense::hover());
    ui.painter().rect_filled(rect, 0.0, theme.hair);
    ui.add_space(4.0);
    drawn.response
}

/// A text field with a name for screen readers, and a hint while it is empty.
pub(super) fn field(
    ui: &mut Ui,
    name: &str,
    hint: &str,
    width: f32,
    text: &mut String,
) -> egui::Response {
    let edit = egui::TextEdit::singleline(text)
        .hint_text(hint)
        .desired_width(width)
        .min_size(Vec2::new(0.0, super::style::TARGET))
        .margin(egui::Margin::symmetric(10, 12));
    let response = ui.add(edit);
    let (name, value) = (name.to_owned(), text.clone());
    response.widget_info(move || {
        let mut info = egui::WidgetInfo::labeled(egui::Role::TextInput, true, name.clone());
        info.current_text_value = Some(value.clone());
        info
    });
    response
}

/// A line whose letters are not shown.
pub(super) fn secret(ui: &mut Ui, name: &str, width: f32, text: &mut String) -> egui::Response {
    let edit = egui::TextEdit::singleline(text)
        .password(true)
        .desired_width(width)
        .margin(egui::Margin::symmetric(10, 12));
    let response = ui.add(edit);
    let name = name.to_owned();
    response.widget_info(move || {
        egui::WidgetInfo::labeled(egui::Role::PasswordInput, true, name.clone())
    });
    response
}

/// A row of choices; the chosen one is marked. Whether it changed.
pub(super) fn choices<T: PartialEq + Copy>(ui: &mut Ui, of: &[(T, &str)], chosen: &mut T) -> bool {
    let mut changed = false;
    ui.horizontal_wrapped(|ui| {
        for (value, text) in of {
            let response = ui.selectable_label(chosen == value, *text);
            if response.clicked() && chosen != value {
                *chosen = *value;
                changed = true;
            }
        }
    });
    changed
}

/// The column of controls at the right of a page, which scrolls where it is too long.
pub(super) fn aside<T>(ui: &mut Ui, name: &str, width: f32, add: impl FnOnce(&mut Ui) -> T) -> T {
    let frame = egui::Frame::new().inner_margin(egui::Margin {
        left: 16,
        ..egui::Margin::ZERO
    });
    egui::Panel::right(name.to_owned())
        .exact_size(width + 24.0)
        .resizable(false)
        .show_separator_line(false)
        .frame(frame)
        .show(ui, |ui| {
            let scroll = egui::ScrollArea::vertical()
                .id_salt(name.to_owned())
                .auto_shrink(false);
            let inside = egui::Frame::new().inner_margin(egui::Margin {
                right: 8,
                ..egui::Margin::ZERO
            });
            let column = |ui: &mut Ui| inside.show(ui, |ui| ui.vertical(add).inner).inner;
            scroll.show(ui, column).inner
        })
        .inner
}
