//! The rows of Prepare about sight: the screen and the distance.

use super::measured_screen::CARD_PX;
use super::parts::{field, remark};
use super::planner;
use super::prepare::Form;
use super::prepare_page::{Around, FIELD, Wanted};
use super::style::{STEP, Theme};
use super::words;
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
            "Take the outline away"
        } else {
            "Measure with a card"
        };
        if ui.button(name).clicked() {
            wanted = Some(Wanted::ShowCard(!around.card));
        }
        if around.card && ui.button("The outline matches").clicked() {
            wanted = Some(Wanted::CardMatches);
        }
    });
    if around.card {
        ui.spacing_mut().slider_width = FIELD - 80.0;
        for (px, side) in form.card_px.iter_mut().zip(["pixels wide", "pixels high"]) {
            ui.add(egui::Slider::new(px, CARD_PX).text(side));
        }
        remark(ui, theme, words::HOW_TO_FIT_A_CARD);
    }
    ui.horizontal(|ui| {
        let hint = "or its pitch, mm";
        field(ui, "Pixel pitch in mm", hint, 150.0, &mut form.pixel_mm);
        let ready = !form.pixel_mm.trim().is_empty() && around.field.is_some();
        let take = egui::Button::new("Take this pitch");
        if ui.add_enabled(ready, take).clicked() {
            wanted = Some(Wanted::TakePitch);
        }
    });
    ui.horizontal(|ui| {
        let [white, black] = &mut form.luminance;
        field(ui, "White, cd/m²", "white, cd/m²", 130.0, white);
        field(ui, "Black, cd/m²", "black, cd/m²", 130.0, black);
    });
    remark(ui, theme, "With a meter, before the pitch is taken.");
    remark(ui, theme, words::SCREEN_REMINDER);
    wanted
}

/// What is known of the screen.
fn state(ui: &mut Ui, theme: &Theme, form: &Form) {
    match &form.screen {
        Some(screen) => {
            let record = screen.record();
            let (pitch, u) = (record.pixel_mm.0, 100.0 * record.u_rel);
            ui.label(format!("{pitch:.4} mm a pixel, ±{u:.1} %"));
            let light = match screen.bright_enough() {
                Some(true) => return,
                Some(false) => words::NOT_THE_USUAL_LIGHT,
                None => words::NO_LIGHT,
            };
            remark(ui, theme, light);
        }
        None if form.screen_changed => {
            ui.label(RichText::new(words::SCREEN_CHANGED).color(theme.alert));
        }
        None if form.simulated => remark(ui, theme, words::SIMULATED_SCREEN),
        None => remark(ui, theme, words::NO_SYSTEM_SAYS),
    }
}

/// From where the person looks, and what can be shown from there.
pub(super) fn distance(ui: &mut Ui, theme: &Theme, form: &mut Form) {
    let hint = if form.mirrored {
        "screen to mirror + mirror to eye, such as 1.6 m + 2.4 m"
    } else {
        "by tape measure, such as 3.2 m or 10 ft 6 in"
    };
    field(ui, "Distance", hint, FIELD, &mut form.distance);
    ui.checkbox(&mut form.mirrored, "The person sees the screen in a mirror");
    let distance = form.distance();
    if distance.is_none() && !form.distance.trim().is_empty() {
        ui.label(RichText::new("expected 0.1 to 20 m").color(theme.alert));
    }
    if let Some(distance) = distance {
        let mm = distance.0;
        let feet = mm / 304.8;
        let text = format!("{mm:.0} mm, {feet:.2} ft, from the eye to the screen");
        remark(ui, theme, &text);
        if let Some(text) = planner::correction(distance) {
            remark(ui, theme, &text);
        }
    }
    let Some(screen) = &form.screen else {
        return;
    };
    ui.add_space(STEP);
    remark(ui, theme, words::PLANNER);
    planner::draw(ui, theme, screen, distance);
    let Some(distance) = distance else {
        return;
    };
    let (smallest, largest) = (screen.smallest(distance), screen.largest(distance));
    let text = format!("From here: {:.2} to {:.2} logMAR.", smallest.0, largest.0);
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
            (OptotypeSet::Sloan, "Write a card of letters"),
            (OptotypeSet::Landolt8, "Write a card of rings"),
        ];
        for (set, name) in cards {
            if ui.button(name).clicked() {
                wanted = Some(Wanted::NearCard(set));
            }
        }
    });
    remark(ui, theme, words::NEAR_CARD);
    wanted
}
