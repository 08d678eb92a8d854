//! The rows of Prepare about sight: the screen and the distance.

use super::measured_screen::CARD_PX;
use super::parts::{field, remark};
use super::planner;
use super::prepare::Form;
use super::prepare_page::{Around, FIELD, Wanted};
use super::style::{STEP, Theme};
use super::words::{decimals, prepare as say};
use crate::stimulus::OptotypeSet;
use eframe::egui::{self, RichText, Ui};

/// How large the pixels are, and how bright.
pub(super) fn screen(
    ui: &mut Ui,
    theme: &Theme,
    form: &mut Form,
    around: &Around,
) -> Option<Wanted> {
    let mut wanted = None;
    state(ui, theme, form);
    ui.horizontal(|ui| {
        let name = if around.card {
            say::OUTLINE_AWAY
        } else {
            say::BY_CARD
        };
        if ui.button(name).clicked() {
            wanted = Some(Wanted::ShowCard(!around.card));
        }
        if around.card && ui.button(say::MATCHES).clicked() {
            wanted = Some(Wanted::CardMatches);
        }
    });
    if around.card {
        ui.spacing_mut().slider_width = FIELD - 80.0;
        for (px, side) in form
            .card_px
            .iter_mut()
            .zip([say::PIXELS_WIDE, say::PIXELS_HIGH])
        {
            ui.add(egui::Slider::new(px, CARD_PX).text(side));
        }
        remark(ui, theme, &say::HOW_TO_FIT_A_CARD);
    }
    ui.horizontal(|ui| {
        let hint = &say::PITCH_HINT;
        field(ui, &say::PITCH, hint, 150.0, &mut form.pixel_mm);
        let ready = !form.pixel_mm.trim().is_empty() && around.field.is_some();
        let take = egui::Button::new(say::TAKE_PITCH);
        if ui.add_enabled(ready, take).clicked() {
            wanted = Some(Wanted::TakePitch);
        }
    });
    ui.horizontal(|ui| {
        let [white, black] = &mut form.luminance;
        field(ui, &say::WHITE, &say::WHITE_HINT, 130.0, white);
        field(ui, &say::BLACK, &say::BLACK_HINT, 130.0, black);
    });
    remark(ui, theme, &say::WITH_METER);
    remark(ui, theme, &say::SCREEN_REMINDER);
    wanted
}

/// What is known of the screen.
fn state(ui: &mut Ui, theme: &Theme, form: &Form) {
    match &form.screen {
        Some(screen) => {
            let record = screen.record();
            let (pitch, u) = (record.pixel_mm.0, 100.0 * record.u_rel);
            ui.label(say::PITCH_IS.fill(&[&decimals(pitch, 4), &decimals(u, 1)]));
            let light = match screen.bright_enough() {
                Some(true) => return,
                Some(false) => say::NOT_THE_USUAL_LIGHT,
                None => say::NO_LIGHT,
            };
            remark(ui, theme, &light);
        }
        None if form.screen_changed => {
            ui.label(RichText::new(say::SCREEN_CHANGED).color(theme.alert));
        }
        None if form.simulated => remark(ui, theme, &say::SIMULATED_SCREEN),
        None => remark(ui, theme, &say::NO_SYSTEM_SAYS),
    }
}

/// From where the person looks, and what can be shown from there.
pub(super) fn distance(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    let hint = if form.mirrored {
        say::MIRROR_HINT
    } else {
        say::DISTANCE_HINT
    };
    field(ui, &say::DISTANCE, &hint, FIELD, &mut form.distance);
    ui.checkbox(&mut form.mirrored, say::MIRRORED);
    let distance = form.distance();
    if distance.is_none() && !form.distance.trim().is_empty() {
        ui.label(RichText::new(say::DISTANCE_EXPECTED).color(theme.alert));
    }
    if let Some(distance) = distance {
        let mm = distance.0;
        let feet = mm / 304.8;
        let text = say::DISTANCE_IS.fill(&[&decimals(mm, 0), &decimals(feet, 2)]);
        remark(ui, theme, &text);
        if let Some(text) = planner::correction(distance) {
            remark(ui, theme, &text);
        }
    }
    let Some(screen) = &form.screen else {
        return;
    };
    ui.add_space(STEP);
    remark(ui, theme, &say::PLANNER);
    planner::draw(ui, theme, screen, distance);
    let Some(distance) = distance else {
        return;
    };
    let (smallest, largest) = (screen.smallest(distance), screen.largest(distance));
    let text = say::FROM_HERE.fill(&[&decimals(smallest.0, 2), &decimals(largest.0, 2)]);
    remark(ui, theme, &text);
    if let Some(text) = planner::change(screen, distance) {
        ui.label(RichText::new(text).color(theme.alert));
    }
}

/// A card for reading near, to be printed.
pub(super) fn near(ui: &mut Ui, theme: &Theme) -> Option<Wanted> {
    let mut wanted = None;
    ui.horizontal(|ui| {
        let cards = [
            (OptotypeSet::Sloan, say::CARD_LETTERS),
            (OptotypeSet::Landolt8, say::CARD_RINGS),
        ];
        for (set, name) in cards {
            if ui.button(name).clicked() {
                wanted = Some(Wanted::NearCard(set));
            }
        }
    });
    remark(ui, theme, &say::NEAR_CARD);
    wanted
}
