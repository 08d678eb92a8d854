//! The person's window while sounds are heard: nothing in it depends on them, but for the turns of a choice.

use super::{Happened, State};
use crate::desk::keys;
use crate::desk::session::Turn;
use crate::desk::style::{line, type_size};
use crate::desk::words::person as say;
use crate::quantity::Ear;
use crate::stimulus::Facing;
use eframe::egui::{
    Align2, Color32, FontId, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2,
    vec2,
};
use std::time::Instant;

impl State {
    pub(super) fn hearing(&mut self, ui: &mut Ui, full: Rect, now: Instant) {
        ui.painter().rect_filled(full, 0.0, self.theme.ground);
        let radius = (0.2 * full.width().min(full.height())).clamp(90.0, 190.0);
        let centre = full.center() + vec2(0.0, 0.12 * full.height());
        self.say(
            ui,
            pos2(full.center().x, full.top() + 0.14 * full.height()),
            type_size::HEADING,
            &say::HEARING_TASK,
        );
        self.say(
            ui,
            pos2(full.center().x, full.top() + 0.25 * full.height()),
            type_size::LARGE,
            &say::HEARING_TASK_2,
        );
        let rect = Rect::from_center_size(centre, Vec2::splat(2.0 * radius));
        let response = ui.interact(rect, ui.scope_id().with("hear"), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, say::I_HEAR_IT));
        // The press counts, not the release.
        let down = response.contains_pointer() && ui.input(|input| input.pointer.primary_pressed());
        if down {
            self.happened.push(Happened::Press { at: now });
        }
        let held = response.is_pointer_button_down_on()
            || self
                .keys
                .hear
                .iter()
                .any(|key| ui.input(|input| input.key_down(*key)));
        // It answers to the finger alone, tone or none.
        let fill = if held {
            self.theme.band
        } else {
            self.theme.sheet
        };
        let painter = ui.painter();
        painter.circle(
            centre,
            radius,
            fill,
            Stroke::new(line::BOLD, self.theme.accent),
        );
        let label = |offset: f32, size: f32, text: &str, colour: Color32| {
            painter.text(
                centre + vec2(0.0, offset),
                Align2::CENTER_CENTER,
                text,
                FontId::proportional(size),
                colour,
            );
        };
        label(-8.0, type_size::HEADING, &say::I_HEAR_IT, self.theme.ink);
        let key = self.keys.hear.first().map_or("", |key| keys::written(*key));
        label(
            34.0,
            type_size::BODY,
            &say::KEY.fill(&[key]),
            self.theme.ink_soft,
        );
    }

    pub(super) fn sides(&mut self, ui: &mut Ui, full: Rect) {
        ui.painter().rect_filled(full, 0.0, self.theme.ground);
        self.say(
            ui,
            pos2(full.center().x, full.top() + 0.18 * full.height()),
            type_size::HEADING,
            &say::SIDES_TASK,
        );
        let radius = 0.16 * full.width().min(full.height()) + 20.0;
        for (ear, sign, text) in [
            (Ear::Left, -1.0, say::SIDE_LEFT),
            (Ear::Right, 1.0, say::SIDE_RIGHT),
        ] {
            let centre = full.center() + vec2(sign * 0.24 * full.width(), 0.06 * full.height());
            let rect = Rect::from_center_size(centre, Vec2::splat(2.0 * radius));
            let response = ui.interact(
                rect,
                ui.scope_id().with(("side", sign < 0.0)),
                Sense::click(),
            );
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, text));
            if response.clicked() {
                self.happened.push(Happened::Side(ear));
            }
            let painter = ui.painter();
            painter.circle(
                centre,
                radius,
                self.theme.sheet,
                Stroke::new(line::BOLD, self.theme.accent),
            );
            painter.text(
                centre,
                Align2::CENTER_CENTER,
                text,
                FontId::proportional(type_size::HEADING),
                self.theme.ink,
            );
        }
    }

    /// Two targets that light up in turn, tone or none, and then wait for a choice.
    pub(super) fn turns(&mut self, ui: &mut Ui, full: Rect, turn: Turn, now: Instant) {
        ui.painter().rect_filled(full, 0.0, self.theme.ground);
        let chooses = turn == Turn::Choose;
        let task = if chooses {
            say::WHICH_TURN
        } else {
            say::TURNS_TASK
        };
        let at = pos2(full.center().x, full.top() + 0.18 * full.height());
        self.say(ui, at, type_size::HEADING, &task);
        let side = (0.34 * full.width().min(full.height())).max(120.0);
        let both = [
            (1, Turn::First, Facing::Left, -1.0),
            (2, Turn::Second, Facing::Right, 1.0),
        ];
        for (interval, of, facing, sign) in both {
            let centre = full.center() + vec2(sign * 0.72 * side, 0.06 * full.height());
            let rect = Rect::from_center_size(centre, Vec2::splat(side));
            let number = interval.to_string();
            let id = ui.scope_id().with(("turn", interval));
            let response = ui.interact(rect, id, Sense::click());
            response.widget_info(|| WidgetInfo::labeled(Role::Button, chooses, &number));
            if chooses && response.clicked() {
                self.happened.push(Happened::Turn { interval, at: now });
            }
            let held = chooses && response.is_pointer_button_down_on();
            let (fill, edge) = match (turn == of || held, chooses) {
                (true, _) => (self.theme.band, self.theme.accent),
                (false, true) => (self.theme.sheet, self.theme.accent),
                (false, false) => (self.theme.ground, self.theme.hair),
            };
            let painter = ui.painter();
            painter.rect_filled(rect, 16.0, fill);
            let edge = Stroke::new(line::BOLD, edge);
            painter.rect_stroke(rect, 16.0, edge, StrokeKind::Inside);
            let font = FontId::proportional(0.4 * side);
            painter.text(centre, Align2::CENTER_CENTER, number, font, self.theme.ink);
            if chooses {
                painter.text(
                    centre + vec2(0.0, 0.38 * side),
                    Align2::CENTER_CENTER,
                    say::KEY.fill(&[self.keys.facing_name(facing)]),
                    FontId::proportional(type_size::BODY),
                    self.theme.ink_soft,
                );
            }
        }
    }
}
