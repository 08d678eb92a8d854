//! The replay of an exercise as a time line: each presentation where it was, and beside it where a
//! guideline would have presented.

use super::parts::remark;
use super::style::{Theme, line, type_size};
use crate::practice::{At, Replayed};
use crate::quantity::{Ear, Eye};
use eframe::egui::{
    Align2, Color32, FontId, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};

const HEIGHT: f32 = 170.0;
const MARGIN: f32 = 46.0;

/// A strip for the tones and one for the optotypes, as far as there are any.
pub(super) fn draw(ui: &mut Ui, theme: &Theme, replay: &[Replayed]) {
    let heard = |at: &At| match at {
        At::Tone { ear, db_hl } => Some((*db_hl, theme_of(theme, *ear))),
        At::Optotype { .. } => None,
    };
    let seen = |at: &At| match at {
        At::Optotype { eye, log_mar } => {
            let ink = match eye {
                Eye::Right => theme.right,
                Eye::Left => theme.left,
                Eye::Both => theme.ink,
            };
            Some((*log_mar, ink))
        }
        At::Tone { .. } => None,
    };
    strip(ui, theme, replay, "dB HL", 20.0, &heard);
    strip(ui, theme, replay, "logMAR", 0.2, &seen);
    remark(
        ui,
        theme,
        "Dot: what was presented. Ring: what a guideline would have presented, where that differs. Tick below: something else came \
         first.",
    );
}

fn theme_of(theme: &Theme, ear: Ear) -> Color32 {
    match ear {
        Ear::Right => theme.right,
        Ear::Left => theme.left,
    }
}

/// Where something stands on a strip's scale, and in which colour; none: not on this strip.
type Place<'a> = &'a dyn Fn(&At) -> Option<(f64, Color32)>;

fn strip(ui: &mut Ui, theme: &Theme, replay: &[Replayed], unit: &str, step: f64, place: Place) {
    let on = |at: &Option<At>| at.as_ref().and_then(place);
    let here: Vec<&Replayed> = replay
        .iter()
        .filter(|one| on(&one.did_at).is_some())
        .collect();
    let (Some(first), Some(last)) = (here.first(), here.last()) else {
        return;
    };
    let both = here
        .iter()
        .flat_map(|one| [on(&one.did_at), on(&one.would_at)]);
    let values: Vec<f64> = both.flatten().map(|(value, _)| value).collect();
    let low = (values.iter().copied().fold(f64::MAX, f64::min) / step).floor() * step;
    let high = (values.iter().copied().fold(f64::MIN, f64::max) / step).ceil() * step;
    let high = high.max(low + step);

    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    let same = here.iter().filter(|one| one.same).count();
    let told = format!(
        "Time line in {unit}: {} presentations, {same} as a guideline would have them",
        here.len()
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, told.clone()));
    let plot = Rect::from_min_max(rect.min + vec2(MARGIN, 10.0), rect.max - vec2(12.0, 34.0));
    let seconds = (last.t_s - first.t_s).max(1.0);
    let x = |t_s: f64| plot.left() + plot.width() * ((t_s - first.t_s) / seconds) as f32;
    let y = |value: f64| plot.bottom() - plot.height() * ((value - low) / (high - low)) as f32;
    let painter = ui.painter();
    let small = FontId::proportional(type_size::SMALL);
    let hair = Stroke::new(line::HAIR, theme.hair);
    for at in 0..=((high - low) / step).round() as u32 {
        let value = low + f64::from(at) * step;
        painter.hline(plot.x_range(), y(value), hair);
        let words = if step < 1.0 {
            format!("{value:.1}")
        } else {
            format!("{value:.0}")
        };
        let left = pos2(plot.left() - 6.0, y(value));
        painter.text(
            left,
            Align2::RIGHT_CENTER,
            words,
            small.clone(),
            theme.ink_soft,
        );
    }
    for one in &here {
        let Some((did, ink)) = on(&one.did_at) else {
            continue;
        };
        let done = pos2(x(one.t_s), y(did));
        match on(&one.would_at).filter(|_| !one.same) {
            Some((would, ink)) => {
                let wanted = pos2(x(one.t_s), y(would));
                painter.line_segment([done, wanted], hair);
                painter.circle_stroke(wanted, 4.0, Stroke::new(line::BOLD, ink));
            }
            // Something else was wanted: words, silence, or the other sense.
            None if !one.same => {
                let foot = pos2(x(one.t_s), plot.bottom());
                painter.line_segment(
                    [foot, foot + vec2(0.0, 6.0)],
                    Stroke::new(line::BOLD, theme.alert),
                );
            }
            None => {}
        }
        painter.circle_filled(done, 3.0, ink);
    }
    let foot = plot.bottom() + 12.0;
    let words = [
        (plot.left(), Align2::LEFT_TOP, format!("{:.0} s", first.t_s)),
        (plot.center().x, Align2::CENTER_TOP, unit.to_owned()),
        (
            plot.right(),
            Align2::RIGHT_TOP,
            format!("{:.0} s", last.t_s),
        ),
    ];
    for (at, align, text) in words {
        painter.text(pos2(at, foot), align, text, small.clone(), theme.ink_soft);
    }
}
