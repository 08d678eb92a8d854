//! The pad of directions: eight targets in a ring, for the person's window and the examiner's.

use super::style::{TARGET, Theme, line};
use super::words::{self, person};
use crate::stimulus::Facing;
use eframe::egui::{
    Align2, FontId, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2,
};

/// Where the target of a direction lies in a pad around `centre`.
fn place(centre: Pos2, radius: f32, facing: Facing) -> Pos2 {
    let radians = facing.degrees().to_radians() as f32;
    centre + radius * vec2(radians.cos(), -radians.sin())
}

/// What was chosen on a pad.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chosen {
    /// A direction.
    Facing(Facing),
    /// 'Not sure', in the middle.
    Unsure,
}

/// Draws a pad of `facings` in a square of `side` points and tells what was chosen. The keys are
/// written in the targets if `names` knows them. Nothing moves and nothing is remembered: a pad
/// looks the same before and after every answer.
pub fn pad(
    ui: &mut Ui,
    theme: &Theme,
    side: f32,
    facings: &[Facing],
    names: impl Fn(Facing) -> &'static str,
    unsure: &'static str,
) -> Option<Chosen> {
    let (area, _) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
    let spot = 0.125 * side;
    let mut chosen = None;
    for facing in Facing::EIGHT
        .into_iter()
        .filter(|one| facings.contains(one))
    {
        let centre = place(area.center(), 0.5 * side - spot - 1.0, facing);
        let rect = Rect::from_center_size(centre, Vec2::splat(2.0 * spot));
        let response = ui.interact(
            rect,
            ui.scope_id().with(("pad", facing as u8)),
            Sense::click(),
        );
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, words::facing(facing)));
        if response.clicked() {
            chosen = Some(Chosen::Facing(facing));
        }
        let held = response.is_pointer_button_down_on();
        let fill = if held { theme.band } else { theme.sheet };
        let edge = if response.has_focus() {
            theme.accent
        } else {
            theme.quiet
        };
        let painter = ui.painter();
        painter.circle(centre, spot, fill, Stroke::new(line::FINE, edge));
        arrow(ui, theme, centre, 0.62 * spot, facing);
        let key = pos2(centre.x, centre.y);
        let inward = (area.center() - centre) * 0.13;
        painter.text(
            key + inward,
            Align2::CENTER_CENTER,
            names(facing),
            FontId::proportional(0.6 * spot),
            theme.ink_soft,
        );
    }
    let rect = Rect::from_center_size(area.center(), vec2(2.2 * spot, (1.4 * spot).max(TARGET)));
    let response = ui.interact(rect, ui.scope_id().with("not sure"), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, person::NOT_SURE));
    if response.clicked() {
        chosen = Some(Chosen::Unsure);
    }
    let edge = if response.has_focus() {
        theme.accent
    } else {
        theme.hair
    };
    let painter = ui.painter();
    let kind = eframe::egui::StrokeKind::Inside;
    painter.rect_stroke(rect, 6.0, Stroke::new(line::FINE, edge), kind);
    let lines = [(person::NOT_SURE.here(), -0.16, 0.36), (unsure, 0.3, 0.36)];
    for (text, down, size) in lines {
        painter.text(
            rect.center() + vec2(0.0, down * spot),
            Align2::CENTER_CENTER,
            text,
            FontId::proportional(size * spot),
            theme.ink_soft,
        );
    }
    chosen
}

/// A tick at the outer rim that points where the gap would be.
fn arrow(ui: &Ui, theme: &Theme, centre: Pos2, reach: f32, facing: Facing) {
    let radians = facing.degrees().to_radians() as f32;
    let out = vec2(radians.cos(), -radians.sin());
    let across = vec2(-out.y, out.x) * 0.42 * reach;
    let tip = centre + out * reach * 1.2;
    let foot = centre + out * reach * 0.8;
    let stroke = Stroke::new(line::BOLD, theme.ink);
    ui.painter().line_segment([foot + across, tip], stroke);
    ui.painter().line_segment([foot - across, tip], stroke);
}
