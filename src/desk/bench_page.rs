//! How the bench is drawn: at the left what is given and done, at the right what came of it.

use super::app::Desk;
use super::bench::{Bench, Place};
use super::bench_sounds;
use super::parts::{choices, field, heading, remark, row};
use super::prepare_page::FIELD;
use super::style::{self, STEP, Theme, line, type_size};
use super::surroundings;
use crate::calibration::room::Quiet;
use crate::calibration::{EarphoneProfile, Room};
use crate::errand::bench::today;
use crate::errand::profile::tell_profile;
use crate::quantity::{DbSpl, Hz};
use crate::standard::{Coupler, EarphoneClass, EarphoneFit};
use eframe::egui::{
    self, Align2, CollapsingHeader, Pos2, Rect, RichText, ScrollArea, Sense, Stroke, Ui, pos2, vec2,
};

/// What was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    Calibrate,
    Floor,
    Measure,
    Stop,
    OpenSheet,
    Play { listening: bool },
    TakeReading,
    TakeBack,
    Finish,
    WeighJury,
    TakeSitting,
    AskAgain,
    PlaySound,
}

/// Draws the page, and does what it asks for.
pub(super) fn draw(ui: &mut Ui, desk: &mut Desk) {
    let theme = desk.theme;
    let outputs: Vec<(usize, String)> = desk
        .form
        .devices
        .iter()
        .map(|device| device.name.clone())
        .enumerate()
        .collect();
    let mut device = desk.form.device;
    let mut wanted = None;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        choices(ui, &Place::ALL, &mut desk.bench.place);
        ui.add_space(STEP);
        let bench = &mut desk.bench;
        row(ui, &theme, "By", |ui| {
            field(ui, "By", "who works here", FIELD, &mut bench.by);
        });
        wanted = match bench.place {
            Place::Room => room(ui, &theme, bench),
            Place::Listen => listen(ui, &theme, desk, &outputs, &mut device),
            Place::Coupler => coupler(ui, &theme, bench, &outputs, &mut device),
            Place::Jury => jury(ui, &theme, bench),
            Place::Daily => daily(ui, &theme, desk),
            Place::Profile => profile(ui, &theme, desk),
        };
        wanted = under_way(ui, &theme, &desk.bench).or(wanted);
    });
    if desk.form.device != device {
        desk.form.device = device;
        desk.form.ear_check = None;
    }
    if let Some(wanted) = wanted {
        carry_out(desk, wanted);
    }
}

fn carry_out(desk: &mut Desk, wanted: Wanted) {
    let open = desk.open_input;
    match wanted {
        Wanted::Calibrate => desk.bench.calibrate(open),
        Wanted::Floor => desk.bench.floor(open),
        Wanted::Measure => desk.bench.measure(open),
        Wanted::Stop => {
            desk.bench.stop();
            desk.silence_bench();
        }
        Wanted::OpenSheet => {
            let output = desk.form.output().map(|device| device.id.clone());
            desk.bench.open_sheet(output.as_deref());
        }
        Wanted::Play { listening } => desk.play_on_bench(listening.then_some(open)),
        Wanted::TakeReading => desk.bench.take_reading(),
        Wanted::TakeBack => desk.bench.take_back(),
        Wanted::Finish => desk.bench.finish(),
        Wanted::WeighJury => desk.bench.weigh_jury(),
        Wanted::TakeSitting => desk.take_sitting(),
        Wanted::PlaySound => desk.play_sound_on_bench(),
        Wanted::AskAgain => desk.form.around.ask_again(),
    }
}

fn under_way(ui: &mut Ui, theme: &Theme, bench: &Bench) -> Option<Wanted> {
    let mut wanted = None;
    if let Some((what, of)) = bench.under_way() {
        ui.ctx()
            .request_repaint_after(std::time::Duration::from_millis(100));
        ui.horizontal(|ui| {
            let text = of.map_or(format!("{what} …"), |[done, all]| {
                format!("{what}: {done:.0} of {all:.0} s")
            });
            ui.label(text);
            if ui.button("Stop").clicked() {
                wanted = Some(Wanted::Stop);
            }
        });
    } else if bench.playing {
        ui.ctx()
            .request_repaint_after(std::time::Duration::from_millis(100));
    }
    if let Some((text, asks)) = &bench.said {
        let ink = if *asks { theme.alert } else { theme.accent };
        ui.label(RichText::new(text).color(ink));
    }
    wanted
}

fn fields(ui: &mut Ui, all: &mut [(&str, &str, &mut String)]) {
    for (name, hint, text) in all {
        field(ui, name, hint, FIELD, text);
    }
}

fn room(ui: &mut Ui, theme: &Theme, bench: &mut Bench) -> Option<Wanted> {
    let mut wanted = None;
    let idle = bench.under_way().is_none();
    row(ui, theme, "Microphone", |ui| {
        let file = &mut bench.microphone;
        field(ui, "Microphone file", "its file (TOML)", FIELD, file);
        field(
            ui,
            "Input",
            "the input; the system's own if empty",
            FIELD,
            &mut bench.input,
        );
        ui.horizontal(|ui| {
            let [title, level] = &mut bench.new_microphone;
            field(ui, "Microphone title", "what it is called", 200.0, title);
            field(ui, "Calibrator", "dB SPL", 92.0, level);
            remark(ui, theme, "dB SPL at 1 kHz");
        });
        ui.horizontal(|ui| {
            if ui
                .add_enabled(idle, egui::Button::new("Record the calibrator"))
                .clicked()
            {
                wanted = Some(Wanted::Calibrate);
            }
            if ui
                .add_enabled(idle, egui::Button::new("Record its own noise"))
                .clicked()
            {
                wanted = Some(Wanted::Floor);
            }
        });
        remark(
            ui,
            theme,
            "Its own noise: in the quietest place there is, closed up. Unless it lies 6 dB under what \
             is permissible, nobody can tell from it whether a room is quiet enough.",
        );
    });
    row(ui, theme, "Earphone", |ui| {
        let fits = EarphoneFit::ALL.map(|fit| (fit, fit.title()));
        choices(ui, &fits, &mut bench.fit);
    });
    row(ui, theme, "Room", |ui| {
        let [place, file] = &mut bench.room;
        fields(
            ui,
            &mut [
                ("Place", "which room", place),
                ("Room file", "where it is written (TOML)", file),
            ],
        );
        if ui
            .add_enabled(idle, style::primary(theme, "Listen to the room"))
            .clicked()
        {
            wanted = Some(Wanted::Measure);
        }
        remark(
            ui,
            theme,
            "As it is when people are tested: doors shut, fans on, nobody speaks.",
        );
    });
    if let Some(room) = &bench.measured {
        style::sheet(theme).show(ui, |ui| room_figure(ui, theme, room));
    }
    wanted
}

/// The bands against what is permissible from 250 Hz on, and under them the lowest level of each
/// tone.
fn room_figure(ui: &mut Ui, theme: &Theme, room: &Room) {
    let bands = room.bands(Hz(250.0));
    let tell = if room.can_tell(Hz(250.0)) {
        "The microphone is quiet enough for a statement about 0 dB HL."
    } else {
        "Cannot tell about 0 dB HL in every band: the microphone's own noise is too near."
    };
    ui.label(tell);
    let size = vec2(ui.available_width().min(640.0), 250.0);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let inner = Rect::from_min_max(rect.min + vec2(40.0, 8.0), rect.max - vec2(8.0, 24.0));
    let painter = ui.painter();
    let (low, high) = (-10.0_f32, 90.0_f32);
    let x = |index: usize| inner.left() + inner.width() * (index as f32 + 0.5) / bands.len() as f32;
    let y = |level: f64| {
        let share = (level as f32 - low) / (high - low);
        inner.bottom() - inner.height() * share.clamp(0.0, 1.0)
    };
    let font = style::figure_font();
    for level in (0..=80).step_by(20) {
        let at = y(f64::from(level));
        let grid = Stroke::new(line::HAIR, theme.hair);
        painter.line_segment([pos2(inner.left(), at), pos2(inner.right(), at)], grid);
        let label = format!("{level}");
        painter.text(
            pos2(inner.left() - 6.0, at),
            Align2::RIGHT_CENTER,
            label,
            font.clone(),
            theme.ink_soft,
        );
    }
    let limit: Vec<Pos2> = bands
        .iter()
        .enumerate()
        .filter_map(|(at, (_, limit, _))| Some(pos2(x(at), y(limit.as_ref()?.0))))
        .collect();
    painter.line(limit, Stroke::new(line::BOLD, theme.accent));
    for (at, (band, _, quiet)) in bands.iter().enumerate() {
        if let Some(DbSpl(floor)) = band.floor_db_spl {
            let half = vec2(5.0, 0.0);
            let own = pos2(x(at), y(floor));
            painter.line_segment(
                [own - half, own + half],
                Stroke::new(line::FINE, theme.quiet),
            );
        }
        let mark = pos2(x(at), y(band.level_db_spl.0));
        match quiet {
            // A full mark is told, an open one is not; a cross is too loud.
            Quiet::Permissible => {
                painter.circle_filled(mark, 4.5, theme.ink);
            }
            Quiet::TooLoud => {
                let stroke = Stroke::new(line::BOLD, theme.alert);
                for side in [vec2(5.0, 5.0), vec2(5.0, -5.0)] {
                    painter.line_segment([mark - side, mark + side], stroke);
                }
            }
            Quiet::CannotTell | Quiet::NotStated => {
                painter.circle_stroke(mark, 4.5, Stroke::new(line::FINE, theme.ink_soft));
            }
        }
        if [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0].contains(&band.hz) {
            let below = pos2(x(at), inner.bottom() + 4.0);
            painter.text(
                below,
                Align2::CENTER_TOP,
                band.hz,
                font.clone(),
                theme.ink_soft,
            );
        }
    }
    remark(
        ui,
        theme,
        "dB SPL in thirds of an octave, Hz. Line: permissible (ISO 8253-1). Full: under it; cross: over \
         it; open: cannot be told; dash: the microphone's own noise.",
    );
    ui.add_space(STEP);
    heading(ui, theme, "The lowest level that may be claimed here");
    ui.horizontal_wrapped(|ui| {
        for claim in room.claims() {
            let told = claim
                .lowest_db_hl
                .map_or("cannot tell".to_owned(), |level| {
                    format!("{:.0} dB HL", level.0)
                });
            ui.label(format!("{}: {told}", claim.hz));
            ui.add_space(STEP);
        }
    });
}

fn output(ui: &mut Ui, theme: &Theme, outputs: &[(usize, String)], device: &mut Option<usize>) {
    row(ui, theme, "Output", |ui| {
        for (at, name) in outputs {
            if ui.selectable_label(*device == Some(*at), name).clicked() {
                *device = Some(*at);
            }
        }
        if outputs.is_empty() {
            remark(ui, theme, "No sound output was found.");
        }
    });
}

fn listen(
    ui: &mut Ui,
    theme: &Theme,
    desk: &mut Desk,
    outputs: &[(usize, String)],
    device: &mut Option<usize>,
) -> Option<Wanted> {
    let mut wanted = None;
    output(ui, theme, outputs, device);
    row(ui, theme, "Profile", |ui| earphone(ui, theme, desk));
    let profile = desk.form.profile().filter(|_| device.is_some());
    let playing = desk.bench.playing;
    if bench_sounds::draw(ui, theme, &mut desk.bench.sounds, profile.as_ref(), playing) {
        wanted = Some(Wanted::PlaySound);
    }
    if playing && ui.button("Stop").clicked() {
        wanted = Some(Wanted::Stop);
    }
    wanted
}

/// The profile of the form, which the bench shares.
fn earphone(ui: &mut Ui, theme: &Theme, desk: &mut Desk) {
    let path = &mut desk.form.earphone.path;
    field(ui, "Earphone profile", "a profile (TOML)", FIELD, path);
    if let Some(error) = desk.form.earphone.error() {
        ui.label(RichText::new(error).color(theme.alert));
    }
}

fn coupler(
    ui: &mut Ui,
    theme: &Theme,
    bench: &mut Bench,
    outputs: &[(usize, String)],
    device: &mut Option<usize>,
) -> Option<Wanted> {
    let mut wanted = None;
    output(ui, theme, outputs, device);
    if bench.sheet.is_none() {
        row(ui, theme, "Earphone", |ui| {
            let mut types: Vec<(Option<EarphoneClass>, &str)> = EarphoneClass::ALL
                .map(|class| (Some(class), class.title()))
                .to_vec();
            types.push((None, "an ordinary headphone"));
            choices(ui, &types, &mut bench.class);
            field(
                ui,
                "Earphone title",
                "what it is called",
                FIELD,
                &mut bench.sheet_file[1],
            );
        });
        row(ui, theme, "Coupler", |ui| {
            let couplers = Coupler::ALL.map(|one| (one, one.title()));
            choices(ui, &couplers, &mut bench.coupler);
            field(ui, "Meter", "what reads", FIELD, &mut bench.sheet_file[2]);
            let header = CollapsingHeader::new("More").id_salt("more of a sheet");
            header.show(ui, |ui| more(ui, theme, bench));
        });
    }
    row(ui, theme, "Sheet", |ui| {
        field(
            ui,
            "Sheet",
            "the sheet's file (TOML)",
            FIELD,
            &mut bench.sheet_file[0],
        );
        if ui.button("Lay the sheet, or open it").clicked() {
            wanted = Some(Wanted::OpenSheet);
        }
    });
    if bench.sheet.is_some() {
        row(ui, theme, "Tone", |ui| {
            wanted = tone(ui, theme, bench).or(wanted);
        });
        row(ui, theme, "Profile", |ui| {
            let sheet = bench.sheet.as_ref();
            for unfit in sheet
                .map(crate::calibration::coupler::CouplerSheet::unfit)
                .unwrap_or_default()
            {
                ui.label(RichText::new(unfit.to_string()).color(theme.alert));
            }
            let whole = sheet.is_some_and(|sheet| sheet.unfit().is_empty());
            field(
                ui,
                "Profile",
                "the profile to write (TOML)",
                FIELD,
                &mut bench.sheet_file[3],
            );
            if ui
                .add_enabled(whole, egui::Button::new("Write the profile"))
                .clicked()
            {
                wanted = Some(Wanted::Finish);
            }
        });
    }
    wanted
}

/// What few need.
fn more(ui: &mut Ui, theme: &Theme, bench: &mut Bench) {
    ui.checkbox(&mut bench.extended, "also 9 to 16 kHz");
    remark(
        ui,
        theme,
        "Circumaural earphones alone have references there (ISO 389-5).",
    );
    let depths = [
        (None, "depth: nobody checked"),
        (Some(16), "16 bits"),
        (Some(24), "24 bits"),
        (Some(32), "32 bits"),
    ];
    choices(ui, &depths, &mut bench.bits);
    remark(
        ui,
        theme,
        "So many bits reach the converter, as a loop-back or an electrical measurement showed. They \
         set the lowest level that may be claimed.",
    );
}

fn tone(ui: &mut Ui, theme: &Theme, bench: &mut Bench) -> Option<Wanted> {
    let mut wanted = None;
    let idle = bench.under_way().is_none() && !bench.playing;
    let sheet = bench.sheet.as_ref()?;
    let (read, all) = (sheet.readings.len(), sheet.steps().len());
    let Some(step) = sheet.next() else {
        ui.label("Every tone is read.");
        return None;
    };
    ui.label(
        RichText::new(format!("{} earphone, {}", step.ear, step.hz))
            .size(type_size::LARGE)
            .color(theme.ear(step.ear)),
    );
    remark(
        ui,
        theme,
        &format!(
            "{} of {all}; placement {} of {}; {} dB re full scale. No ear is at it.",
            read + 1,
            step.placement,
            sheet.placements,
            step.level_db_fs.0
        ),
    );
    ui.horizontal(|ui| {
        if ui.add_enabled(idle, egui::Button::new("Play it")).clicked() {
            wanted = Some(Wanted::Play { listening: false });
        }
        let by = egui::Button::new("Play it and listen");
        if ui
            .add_enabled(idle, by)
            .on_hover_text("by the microphone of 'Room', in the coupler")
            .clicked()
        {
            wanted = Some(Wanted::Play { listening: true });
        }
        if bench.playing && ui.button("Stop").clicked() {
            wanted = Some(Wanted::Stop);
        }
    });
    ui.horizontal(|ui| {
        let [level, percent] = &mut bench.reading;
        field(ui, "Reading", "dB SPL", 120.0, level);
        field(ui, "Distortion", "%, if measured", 120.0, percent);
        if ui.button("Enter").clicked() {
            wanted = Some(Wanted::TakeReading);
        }
        if ui
            .add_enabled(read > 0, egui::Button::new("Take the last back"))
            .clicked()
        {
            wanted = Some(Wanted::TakeBack);
        }
    });
    wanted
}

fn jury(ui: &mut Ui, theme: &Theme, bench: &mut Bench) -> Option<Wanted> {
    let mut wanted = None;
    let idle = bench.under_way().is_none();
    row(ui, theme, "Listeners", |ui| {
        field(
            ui,
            "Visits",
            "the folder with their visits",
            FIELD,
            &mut bench.jury[0],
        );
        remark(
            ui,
            theme,
            "At least 10 people with normal hearing, each once as usual and once with the sides swapped, \
             on one output without a profile, in a measured room, age and sex told.",
        );
    });
    row(ui, theme, "How well", |ui| {
        ui.horizontal(|ui| {
            field(ui, "Bias", "dB", 92.0, &mut bench.jury[2]);
            field(ui, "Its uncertainty", "± dB", 92.0, &mut bench.jury[3]);
        });
        remark(
            ui,
            theme,
            "How much worse than the audiometric zero they hear, if somebody measured that. Left empty, \
             it stands for anything from 3 to 10 dB.",
        );
    });
    row(ui, theme, "Profile", |ui| {
        field(
            ui,
            "Set-up",
            "what the set-up is called",
            FIELD,
            &mut bench.jury[1],
        );
        field(
            ui,
            "Jury profile",
            "the profile to write (TOML)",
            FIELD,
            &mut bench.jury[4],
        );
        if ui
            .add_enabled(idle, style::primary(theme, "Make the zero"))
            .clicked()
        {
            wanted = Some(Wanted::WeighJury);
        }
    });
    if let Some(outcome) = &bench.outcome {
        style::sheet(theme).show(ui, |ui| {
            for zero in &outcome.profile.record().zero {
                ui.label(format!(
                    "{}: right {:.1}, left {:.1} dB re full scale ± {:.1}; {} people; from {:.0} dB HL",
                    zero.hz, zero.right_db_fs.0, zero.left_db_fs.0, zero.u_db.0, zero.listeners, zero.lowest_db_hl.0
                ));
            }
            for one in &outcome.without {
                remark(ui, theme, &format!("{}: no zero, {}", one.hz, one.why));
            }
            for one in &outcome.left_out {
                remark(ui, theme, &format!("Left out: {}, because {}", one.what, one.why));
            }
        });
    }
    wanted
}

fn daily(ui: &mut Ui, theme: &Theme, desk: &mut Desk) -> Option<Wanted> {
    let mut wanted = None;
    row(ui, theme, "Profile", |ui| {
        earphone(ui, theme, desk);
        if let Some(standing) = &desk.form.around.standing {
            let (text, asks) = surroundings::standing(standing);
            let ink = if asks { theme.alert } else { theme.ink };
            ui.label(RichText::new(text).color(ink));
        }
    });
    row(ui, theme, "Listener", |ui| {
        let journal = &mut desk.bench.journal;
        field(
            ui,
            "Journal",
            "journal.jsonl of a known listener's visit",
            FIELD,
            journal,
        );
        let known = desk.form.earphone.value().is_some();
        ui.horizontal(|ui| {
            let take = style::primary(theme, "Take the sitting");
            if ui.add_enabled(known, take).clicked() {
                wanted = Some(Wanted::TakeSitting);
            }
            if ui.button("Ask again").clicked() {
                wanted = Some(Wanted::AskAgain);
            }
        });
        remark(
            ui,
            theme,
            "The same person every morning, by the plan daily. A threshold that moved by 10 dB stops the \
             profile; a changed volume shows in the mean.",
        );
    });
    if let Some(comparison) = &desk.bench.comparison {
        style::sheet(theme).show(ui, |ui| {
            ui.label(format!(
                "All together {:+.1} dB ± {:.1}",
                comparison.shift_db, comparison.u_shift_db
            ));
            for moved in &comparison.moved {
                let text = format!("{} ear, {}: {:+.0} dB", moved.ear, moved.hz, moved.by_db);
                ui.label(RichText::new(text).color(theme.ear(moved.ear)));
            }
        });
    }
    wanted
}

fn profile(ui: &mut Ui, theme: &Theme, desk: &mut Desk) -> Option<Wanted> {
    row(ui, theme, "Profile", |ui| earphone(ui, theme, desk));
    let profile: &EarphoneProfile = desk.form.earphone.value()?;
    let report = tell_profile(profile, today());
    row(ui, theme, "Rests on", |ui| {
        ui.label(&report.title);
        remark(ui, theme, &report.method);
        if let Some(problem) = &report.not_valid {
            ui.label(RichText::new(problem).color(theme.alert));
        }
        remark(
            ui,
            theme,
            &format!(
                "levels in {}; digest {}…",
                report.levels,
                &report.digest[..12]
            ),
        );
    });
    row(ui, theme, "Frequency", |ui| {
        let all: Vec<(Hz, String)> = report
            .rows
            .iter()
            .map(|one| (one.hz, one.hz.to_string()))
            .collect();
        let all: Vec<(Hz, &str)> = all.iter().map(|(hz, text)| (*hz, text.as_str())).collect();
        choices(ui, &all, &mut desk.bench.hz);
    });
    let found = report.rows.iter().find(|one| one.hz == desk.bench.hz)?;
    let db = |pair: [Option<f64>; 2]| {
        pair.map(|one| one.map_or("–".into(), |db: f64| format!("{db:.0}")))
    };
    let ([low_right, low_left], [high_right, high_left]) =
        (db(found.lowest_db), db(found.highest_db));
    style::sheet(theme).show(ui, |ui| {
        let unit = report.levels;
        ui.label(format!(
            "right {low_right} to {high_right}, left {low_left} to {high_left} {unit}"
        ));
        if let (Some(u), Some(expanded)) = (found.u_db, found.expanded_db) {
            ui.label(
                RichText::new(format!("u {:.1} dB, U {:.1} dB", u.0, expanded.0))
                    .size(type_size::LARGE),
            );
            budget(ui, theme, found);
        }
        remark(ui, theme, report.note);
    });
    None
}

/// Each component as a bar whose length is its share of the summed squares.
fn budget(ui: &mut Ui, theme: &Theme, found: &crate::errand::profile::ProfileRow) {
    const NAME: f32 = 280.0;
    let whole: f64 = found
        .components
        .iter()
        .map(|one| one.u_db.0 * one.u_db.0)
        .sum();
    for one in &found.components {
        ui.horizontal(|ui| {
            let size = vec2(NAME, 22.0);
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            let text = format!("{}  {:.1} dB", one.what, one.u_db.0);
            let font = style::figure_font();
            ui.painter().text(
                rect.left_center(),
                Align2::LEFT_CENTER,
                text,
                font,
                theme.ink,
            );
            response.on_hover_text(one.source);
            let share = (one.u_db.0 * one.u_db.0 / whole) as f32;
            let (rect, _) = ui.allocate_exact_size(vec2(220.0, 22.0), Sense::hover());
            let bar = Rect::from_min_size(rect.min + vec2(0.0, 7.0), vec2(220.0 * share, 8.0));
            ui.painter().rect_filled(bar, 2.0, theme.accent);
        });
    }
    remark(ui, theme, "Bars: shares of the summed squares.");
}
