//! Opens the windows, with what the command line or the machine already says.

use super::Desk;
use crate::desk::hand_over::HandOver;
use crate::desk::prepare::{self, Device, Form, SPEEDS};
use crate::desk::style::{self, Theme};
use crate::station::SoundStation;
use crate::station::recorder::Recorder;
use eframe::egui::{Context, ViewportBuilder};
use std::path::PathBuf;

/// How the windows are opened.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Where the next visit is kept.
    pub folder: Option<PathBuf>,
    /// The case of a simulated person.
    pub case: Option<PathBuf>,
    /// The plan: a name or a file.
    pub plan: Option<String>,
    /// The earphone's profile.
    pub earphone: Option<PathBuf>,
    /// The sound output, by its id or name.
    pub sound: Option<String>,
    /// The seed of all draws; the clock's where it is left out.
    pub seed: Option<u64>,
    /// Where the store lies.
    pub store: Option<PathBuf>,
    /// The pixel pitch of the screen, mm, to be confirmed in the form.
    pub pixel_mm: Option<String>,
    /// How many times as fast a simulated visit without sound runs.
    pub pace: Option<f64>,
}

impl Options {
    /// The form, filled in as far as it is known.
    fn form(self, devices: Vec<Device>) -> Form {
        let seed = self.seed.unwrap_or_else(prepare::seed);
        let folder = self
            .folder
            .unwrap_or_else(|| PathBuf::from("visits").join(prepare::stamp()));
        let cases = prepare::cases_in(&[PathBuf::from("demo/cases")]);
        let mut form = Form::new(&folder, seed, cases, devices);
        let text = |path: PathBuf| path.display().to_string();
        form.simulated = self.case.is_some();
        form.case.path = self.case.map(text).unwrap_or_default();
        form.earphone.path = self.earphone.map(text).unwrap_or_default();
        form.pixel_mm = self.pixel_mm.unwrap_or_default();
        let pace = SPEEDS.iter().position(|times| Some(*times) == self.pace);
        form.speed = pace.unwrap_or(form.speed);
        form.plan.path = self.plan.unwrap_or(form.plan.path);
        form.device = self.sound.and_then(|wanted| {
            let is = |one: &Device| one.id == wanted || one.name == wanted;
            form.devices.iter().position(is)
        });
        form
    }
}

#[cfg(feature = "sound")]
fn devices() -> Vec<Device> {
    // Without a sound system there is nothing to choose from, and the form says so.
    let found = crate::station::output::outputs().unwrap_or_default();
    let device = |one: crate::station::output::OutputDevice| Device {
        id: one.id,
        name: one.name,
        rates_hz: one.frames_per_second,
    };
    found.into_iter().map(device).collect()
}

#[cfg(not(feature = "sound"))]
fn devices() -> Vec<Device> {
    Vec::new()
}

#[cfg(feature = "sound")]
fn open_output(id: &str, rate_hz: u32) -> Result<Box<dyn SoundStation>, String> {
    let output = crate::station::output::Output::open(Some(id), rate_hz);
    output
        .map(|output| Box::new(output) as Box<dyn SoundStation>)
        .map_err(|error| error.to_string())
}

#[cfg(not(feature = "sound"))]
fn open_output(_: &str, _: u32) -> Result<Box<dyn SoundStation>, String> {
    Err("this build has no sound".into())
}

#[cfg(feature = "sound")]
fn open_input(id: Option<&str>, rate_hz: u32) -> Result<Box<dyn Recorder>, String> {
    let input = crate::station::input::Input::open(id, rate_hz);
    input
        .map(|input| Box::new(input) as Box<dyn Recorder>)
        .map_err(|error| error.to_string())
}

#[cfg(not(feature = "sound"))]
fn open_input(_: Option<&str>, _: u32) -> Result<Box<dyn Recorder>, String> {
    Err("this build has no sound".into())
}

/// Opens the windows and returns when they are closed.
///
/// # Errors
/// One line, without a display.
pub fn open_with(mut options: Options) -> Result<(), String> {
    let store = options
        .store
        .take()
        .unwrap_or_else(crate::errand::usual_store);
    let form = options.form(devices());
    let native = eframe::NativeOptions {
        viewport: ViewportBuilder::default()
            .with_title("Veridical")
            .with_inner_size([1180.0, 860.0])
            .with_min_inner_size([860.0, 620.0]),
        dithering: false,
        ..eframe::NativeOptions::default()
    };
    let run = eframe::run_native(
        "veridical",
        native,
        Box::new(move |creation| {
            set_up(&creation.egui_ctx);
            let mut desk = Desk::new(form, true, open_output).with_input(open_input);
            desk.with_store(store);
            desk.set_as_remembered(&creation.egui_ctx);
            *desk.hand_over_mut() = HandOver::remembered();
            Ok(Box::new(desk))
        }),
    );
    run.map_err(|error| format!("window: expected a display; {}", plain(&error.to_string())))
}

/// The last part of a window system's error: what comes before names its own source files.
fn plain(error: &str) -> &str {
    error.rsplit(": ").next().unwrap_or(error)
}

/// Gives a context the desk's look, and takes away what would change the size of pixels.
pub fn set_up(ctx: &Context) {
    style::apply(ctx, &Theme::PAPER);
    ctx.options_mut(|options| options.zoom_with_keyboard = false);
}
