//! The examiner's window and all that goes on behind it.

use super::ear_check::{self, EarCheck};
use super::figures::Figures;
use super::hear::{self, Dial};
use super::keys::{Action, KeyMap};
use super::person_window::{Happened, PersonWindow, Picture, View};
use super::prepare::{self, Device, Form, Wish};
use super::session::{Answers, Command, Sense, Session, Waiting};
use super::style::{self, Theme};
use super::{clock::VisitClock, frame, prepare_page, see, weigh, words};
use crate::errand::{self, ErrandError};
use crate::journal::WhoPressed;
use crate::person::Simulated;
use crate::quantity::{Ear, Moment, Scale};
use crate::station::{SoundEvent, SoundStation};
use crate::stimulus::Facing;
use eframe::egui::{self, Context, Key, Ui, ViewportBuilder, ViewportId};
use jiff::civil::Date;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// A page of the examiner's window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Page {
    /// What a visit needs.
    Prepare,
    /// Hearing.
    Hear,
    /// Sight.
    See,
    /// What came of it.
    Weigh,
}

impl Page {
    /// In the order of a visit.
    pub const ALL: [Page; 4] = [Page::Prepare, Page::Hear, Page::See, Page::Weigh];
}

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
    /// The pixel pitch of the screen, mm, to be confirmed in the form.
    pub pixel_mm: Option<String>,
}

impl Options {
    /// The form, filled in as far as it is known.
    fn form(self, devices: Vec<Device>) -> Form {
        let seed = self
            .seed
            .unwrap_or_else(|| jiff::Timestamp::now().as_nanosecond() as u64);
        let stamp = jiff::ZonedDateTime::now()
            .strftime("%Y-%m-%d-%H%M%S")
            .to_string();
        let folder = self
            .folder
            .unwrap_or_else(|| PathBuf::from("visits").join(stamp));
        let cases = prepare::cases_in(&[PathBuf::from("demo/cases")]);
        let mut form = Form::new(&folder, seed, cases, devices);
        let text = |path: PathBuf| path.display().to_string();
        form.simulated = self.case.is_some();
        form.case.path = self.case.map(text).unwrap_or_default();
        form.earphone.path = self.earphone.map(text).unwrap_or_default();
        form.pixel_mm = self.pixel_mm.unwrap_or_default();
        form.plan.path = self.plan.unwrap_or(form.plan.path);
        form.device = self.sound.and_then(|wanted| {
            let is = |one: &Device| one.id == wanted || one.name == wanted;
            form.devices.iter().position(is)
        });
        form
    }
}

/// Opens an output by its id, at a rate.
pub type OpenSound = fn(&str, u32) -> Result<Box<dyn SoundStation>, String>;

/// The desk.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own on the screen"
)]
pub struct Desk {
    pub(super) theme: Theme,
    pub(super) keys: KeyMap,
    pub(super) page: Page,
    pub(super) form: Form,
    pub(super) session: Option<Session>,
    pub(super) figures: Option<Figures>,
    pub(super) notice: Option<String>,
    pub(super) keys_shown: bool,
    pub(super) dial: Dial,
    person: PersonWindow,
    own_window: bool,
    full_screen: bool,
    card: bool,
    open_sound: OpenSound,
    sound: Option<Box<dyn SoundStation>>,
    ear_tone: EarTone,
    sound_wish: Option<(String, u32)>,
    followed: (Sense, bool),
    written: Option<String>,
    clock: fn() -> Instant,
}

/// The tone of the which-ear check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum EarTone {
    None,
    Due,
    Playing,
}

impl Desk {
    /// A desk with its form; `own_window` gives the person a window of their own.
    #[must_use]
    pub fn new(form: Form, own_window: bool, open_sound: OpenSound) -> Desk {
        let (theme, keys) = (Theme::PAPER, KeyMap::default());
        Desk {
            person: PersonWindow::new(theme, keys.clone()),
            theme,
            keys,
            page: Page::Prepare,
            form,
            session: None,
            figures: None,
            notice: None,
            keys_shown: false,
            dial: Dial::default(),
            own_window,
            full_screen: false,
            card: false,
            open_sound,
            sound: None,
            ear_tone: EarTone::None,
            sound_wish: None,
            followed: (Sense::Neither, false),
            written: None,
            clock: Instant::now,
        }
    }

    /// The visit under way.
    #[must_use]
    pub fn session(&self) -> Option<&Session> {
        self.session.as_ref()
    }

    /// The form.
    pub fn form_mut(&mut self) -> &mut Form {
        &mut self.form
    }

    /// The page that is shown.
    #[must_use]
    pub fn page(&self) -> Page {
        self.page
    }

    /// The person's window.
    #[must_use]
    pub fn person(&self) -> &PersonWindow {
        &self.person
    }

    /// What is missing before a visit can begin.
    #[must_use]
    pub fn missing(&self) -> Vec<String> {
        self.form.missing(today())
    }

    /// Brings everything up to `now`.
    pub fn advance(&mut self, now: Instant) {
        self.form.refresh();
        if self.session.is_none() {
            self.form.check_screen(self.person.field());
            self.play_ear_tone();
        }
        for happened in self.person.take() {
            self.take(happened);
        }
        if let Some(session) = &mut self.session {
            session.poll(now);
            if let (Some(ring), Some(field)) = (session.ring(), self.person.field())
                && !ring.offline
                && session
                    .record()
                    .opening
                    .set_up
                    .screen
                    .as_ref()
                    .is_some_and(|screen| {
                        screen.record().scale_factor != Some(f64::from(field.pixels_per_point))
                    })
            {
                session.halt(words::SCALE_CHANGED, now);
            }
            match &mut self.figures {
                Some(figures) => figures.refresh(session),
                None => self.figures = Some(Figures::of(session)),
            }
        }
        self.follow();
    }

    /// Goes to the page of what is under way when that changes.
    fn follow(&mut self) {
        let Some(session) = &self.session else {
            return;
        };
        let at = (session.sense(), session.record().closed());
        if at == self.followed {
            return;
        }
        self.followed = at;
        self.page = match at {
            (_, true) => Page::Weigh,
            (Sense::Hearing, _) => Page::Hear,
            (Sense::Sight, _) => Page::See,
            (Sense::Neither, _) => self.page,
        };
    }

    fn take(&mut self, happened: Happened) {
        match happened {
            Happened::Key { key, at } => self.key(key, at),
            Happened::Press { at } => self.command(Command::Heard { at, by: None }),
            Happened::Facing { facing, at } => self.command(Command::Facing {
                facing,
                at: Some(at),
            }),
            Happened::Side(ear) => self.side(ear),
            Happened::Painted { paint, at } => {
                if let Some(session) = &mut self.session {
                    session.painted(paint, at);
                }
            }
        }
    }

    /// Gives the session a command.
    pub fn command(&mut self, command: Command) {
        let now = (self.clock)();
        if let Some(session) = &mut self.session {
            let closes = command == Command::Close
                || command == Command::Confirm && session.waiting() == Some(Waiting::ToClose);
            session.command(command, now);
            if closes && session.written().is_some() {
                let folder = session.folder().display();
                self.written = Some(format!(
                    "Written: findings.json, trials.csv and journal.jsonl in {folder}"
                ));
            }
        }
    }

    /// A key in either window.
    pub fn key(&mut self, key: Key, at: Instant) {
        if let Some(session) = &self.session {
            let running = !session.record().closed();
            let sees = session.sense() == Sense::Sight && running;
            if let Some(facing) = self.keys.facing(key).filter(|_| sees) {
                return self.command(Command::Facing {
                    facing,
                    at: Some(at),
                });
            }
            if self.keys.hears(key) && running {
                return self.command(Command::Heard { at, by: None });
            }
        } else if self.checking_ears()
            && let Some(side) = self.keys.facing(key)
        {
            return match side {
                Facing::Left => self.side(Ear::Left),
                Facing::Right => self.side(Ear::Right),
                _ => {}
            };
        }
        if let Some(action) = self.keys.action(key) {
            self.act(action, at);
        }
    }

    /// Does what a key or a button of the examiner means.
    pub fn act(&mut self, action: Action, at: Instant) {
        match action {
            Action::Keys => self.keys_shown = !self.keys_shown,
            Action::FullScreen => self.full_screen = !self.full_screen,
            Action::Stop if self.session.is_none() => self.stop_ear_check(),
            Action::Confirm if self.session.is_none() => {
                if self.missing().is_empty() {
                    self.begin();
                }
            }
            Action::Confirm => self.command(Command::Confirm),
            Action::Stop => self.command(Command::Stop),
            Action::Mark => self.command(Command::Heard {
                at,
                by: Some(WhoPressed::Examiner),
            }),
            Action::Automatic => self.command(Command::ToggleAutomatic),
            Action::TakeBack => self.command(Command::TakeBack),
            Action::Pause => self.command(Command::PauseOrContinue),
            Action::Tone => self.command(Command::Hand(self.dial.request())),
            Action::Silence => self.command(Command::Hand(crate::procedure::HandRequest::Silent)),
            Action::Louder | Action::Softer | Action::Lower | Action::Higher | Action::OtherEar => {
                if let Some(session) = &self.session {
                    self.dial.turn(action, session.record());
                }
            }
        }
    }

    /// Begins the visit that the form describes.
    pub fn begin(&mut self) {
        self.notice = self.try_begin().err();
    }

    fn try_begin(&mut self) -> Result<(), String> {
        let wish = self
            .form
            .wish(today(), jiff::Timestamp::now(), self.person.field())?;
        let Wish {
            begin,
            sound,
            case,
            hand,
            speed,
            notes,
        } = wish;
        let station = match &sound {
            Some((id, rate_hz)) => Some(self.station(id, *rate_hz)?),
            None => None,
        };
        let now = (self.clock)();
        let clock = VisitClock::new(now, Moment::START, speed);
        let answers = match case {
            Some((case, seed)) => Answers::Simulated(Box::new(Simulated::new(case, seed))),
            None => Answers::Living(hand),
        };
        let session = super::session::begin(&begin, clock, station, answers);
        let mut session = session.map_err(|error: ErrandError| error.to_string())?;
        for note in notes {
            session.command(Command::Note(note), now);
        }
        self.dial = Dial::of(session.record());
        self.sound_wish = sound;
        self.card = false;
        self.session = Some(session);
        Ok(())
    }

    fn station(&mut self, id: &str, rate_hz: u32) -> Result<Box<dyn SoundStation>, String> {
        match self.sound.take() {
            Some(station) if station.frames_per_second() == rate_hz => Ok(station),
            _ => (self.open_sound)(id, rate_hz),
        }
    }

    /// Opens the output again after it was lost.
    pub(super) fn open_sound_again(&mut self) {
        let Some((id, rate_hz)) = self.sound_wish.clone() else {
            return;
        };
        match ((self.open_sound)(&id, rate_hz), &mut self.session) {
            (Ok(station), Some(session)) => session.give_sound(station),
            (Err(error), _) => self.notice = Some(error),
            (Ok(_), None) => {}
        }
    }

    fn checking_ears(&self) -> bool {
        self.form
            .ear_check
            .as_ref()
            .is_some_and(|check| check.side().is_some())
    }

    fn check_ears(&mut self) {
        let Some(id) = self.form.output().map(|device| device.id.clone()) else {
            return;
        };
        match self.station(&id, self.form.rate_hz()) {
            Ok(mut station) => {
                if let Some(profile) = self.form.profile() {
                    let ceiling = |ear| profile.cap_db_fs(ear).amplitude() as f32;
                    station.set_ceiling([ceiling(Ear::Left), ceiling(Ear::Right)]);
                }
                self.sound = Some(station);
                let again = self.form.ear_check.is_some();
                let seed = self.form.seed
                    ^ u64::from(again)
                    ^ jiff::Timestamp::now().as_nanosecond() as u64;
                self.form.ear_check = Some(EarCheck::new(seed));
                self.ear_tone = EarTone::Due;
            }
            Err(error) => self.notice = Some(error),
        }
    }

    fn stop_ear_check(&mut self) {
        if let Some(station) = &mut self.sound {
            station.stop();
        }
        self.ear_tone = EarTone::None;
        self.form.ear_check = self
            .form
            .ear_check
            .take()
            .filter(|check| check.side().is_none());
    }

    /// Plays the tone of the check that is due, once the one before has ended.
    fn play_ear_tone(&mut self) {
        let Some(station) = &mut self.sound else {
            return;
        };
        let mut ended = self.ear_tone == EarTone::Due;
        while let Some(event) = station.poll() {
            match event {
                SoundEvent::Ended { .. } => ended = true,
                SoundEvent::Lost => {
                    self.notice = Some(words::SOUND_LOST.into());
                    self.sound = None;
                    self.ear_tone = EarTone::None;
                    self.form.ear_check = None;
                    return;
                }
                SoundEvent::Began { .. } => {}
            }
        }
        let side = self.form.ear_check.as_ref().and_then(EarCheck::side);
        let (Some(side), EarTone::Due, true) = (side, self.ear_tone, ended) else {
            return;
        };
        let Some(profile) = self.form.profile() else {
            return;
        };
        let slot = ear_check::tone(&profile, side, station.frames_per_second());
        match slot.map(|slot| station.play(0, slot)) {
            Ok(Ok(())) => self.ear_tone = EarTone::Playing,
            // The slot before has not ended; the next poll tries again.
            Ok(Err(_)) => {}
            Err(error) => {
                self.notice = Some(error);
                self.form.ear_check = None;
            }
        }
    }

    fn side(&mut self, ear: Ear) {
        if let Some(check) = &mut self.form.ear_check {
            check.answer(ear);
            self.ear_tone = EarTone::Due;
        }
    }

    fn save_reference(&mut self) {
        let Some(session) = &self.session else {
            return;
        };
        let path = session.folder().join("examiners-ears.toml");
        let code = match &session.record().opening.person {
            crate::journal::PersonKind::Living { code } => code.clone(),
            _ => "the examiner".into(),
        };
        let profile = errand::examiners_reference(session.record(), &code, today());
        let saved = profile
            .map_err(|error| error.to_string())
            .and_then(|profile| {
                std::fs::write(&path, profile.to_toml())
                    .map_err(|error| format!("{}: {error}", path.display()))
            });
        match saved {
            Ok(()) => self.written = Some(format!("Saved: {}", path.display())),
            Err(error) => self.notice = Some(error),
        }
    }

    /// What the person's window has to show.
    #[must_use]
    pub fn view(&self) -> View {
        let Some(session) = &self.session else {
            return match (self.checking_ears(), self.card) {
                (true, _) => View::Sides,
                (_, true) => View::Card {
                    width_px: self.form.card_px,
                },
                _ => View::Calm(words::PLEASE_WAIT),
            };
        };
        let record = session.record();
        if record.closed() || session.waiting() == Some(Waiting::ToClose) {
            return View::Calm(words::THANKS);
        }
        if record.paused() {
            return View::Calm(words::RESTING);
        }
        match (session.sense(), session.eye()) {
            (Sense::Hearing, _) => View::Hearing,
            (Sense::Sight, Some(eye)) => {
                let plan = record.opening.plan.sight.as_ref();
                let ring = session.ring();
                View::Sight {
                    eye,
                    facings: plan.map_or(&Facing::EIGHT, |plan| plan.optotype.facings()),
                    ring: ring.map(|ring| Picture {
                        token: ring.token,
                        raster: ring.raster.clone(),
                    }),
                }
            }
            _ => View::Calm(words::PLEASE_WAIT),
        }
    }

    /// Draws the examiner's window.
    pub fn draw(&mut self, ui: &mut Ui) {
        frame::path(ui, self);
        frame::sentence(ui, self);
        frame::stream(ui, self);
        egui::CentralPanel::default().show(ui, |ui| self.draw_page(ui));
        frame::keys(ui, self);
    }

    fn draw_page(&mut self, ui: &mut Ui) {
        match (self.page, &self.session, &self.figures) {
            (Page::Hear, Some(session), Some(figures)) => {
                let page = hear::Page::of(session, &self.dial);
                match hear::draw(ui, &self.theme, &page, &figures.audiogram, &self.keys) {
                    Some(hear::Done::Command(command)) => self.command(command),
                    Some(hear::Done::Turn(action)) => self.act(action, (self.clock)()),
                    None => {}
                }
            }
            (Page::See, Some(session), Some(figures)) => {
                let page = see::Page::of(session);
                if let Some(command) =
                    see::draw(ui, &self.theme, &page, &figures.acuity, &self.keys)
                {
                    self.command(command);
                }
            }
            (Page::Weigh, Some(session), Some(figures)) => {
                let record = session.record();
                let reference = record
                    .opening
                    .set_up
                    .earphone
                    .as_ref()
                    .is_some_and(|one| one.scale() == Scale::DbFs);
                let open = !record.closed();
                let page = weigh::Page::of(
                    &figures.findings,
                    self.written.clone(),
                    open,
                    reference && !open,
                );
                match weigh::draw(ui, &self.theme, &page, &figures.acuity) {
                    Some(weigh::Wanted::Close) => self.command(Command::Close),
                    Some(weigh::Wanted::Reference) => self.save_reference(),
                    None => {}
                }
            }
            _ => self.draw_prepare(ui),
        }
    }

    fn draw_prepare(&mut self, ui: &mut Ui) {
        if self.session.is_some() {
            ui.label("This visit has begun; what it began with stands in its journal.");
            return;
        }
        let missing = self.missing();
        let around = prepare_page::Around {
            missing: &missing,
            field: self.person.field(),
            card: self.card,
        };
        let wanted = prepare_page::draw(ui, &self.theme, &mut self.form, &around);
        let field = self.person.field();
        match (wanted, field) {
            (Some(prepare_page::Wanted::Begin), _) => self.begin(),
            (Some(prepare_page::Wanted::CheckEars), _) => self.check_ears(),
            (Some(prepare_page::Wanted::ShowCard(card)), _) => self.card = card,
            (Some(prepare_page::Wanted::CardMatches), Some(field)) => {
                self.notice = self.form.measure_by_card(field, today()).err();
                self.card = false;
            }
            (Some(prepare_page::Wanted::TakePitch), Some(field)) => {
                self.notice = self.form.measure_by_hand(field, today()).err();
            }
            _ => {}
        }
    }

    fn show_person(&mut self, ctx: &Context) {
        let id = ViewportId::from_hash_of("person");
        let changed = self.person.set(self.view());
        let builder = ViewportBuilder::default()
            .with_title("Veridical: the person's window")
            .with_inner_size([900.0, 640.0])
            .with_fullscreen(self.full_screen)
            .with_decorations(!self.full_screen);
        let person = self.person.clone();
        ctx.show_viewport_deferred(id, builder, move |ui, _| {
            if person.ui(ui) {
                ui.ctx().request_repaint_of(ViewportId::ROOT);
            }
        });
        if changed {
            ctx.request_repaint_of(id);
        }
    }

    fn take_keys(&mut self, ctx: &Context) {
        let writing = ctx.egui_wants_keyboard_input();
        let at = (self.clock)();
        let keys: Vec<Key> = ctx.input(|input| {
            let pressed = input.events.iter().filter_map(|event| match event {
                egui::Event::Key {
                    key,
                    pressed: true,
                    repeat: false,
                    modifiers,
                    ..
                } if !modifiers.any() => Some(*key),
                _ => None,
            });
            pressed.collect()
        });
        for key in keys {
            let stops = self.keys.action(key) == Some(Action::Stop);
            if !writing || stops {
                self.key(key, at);
            }
        }
    }

    /// One turn: what happened, what is due, how long to rest.
    pub fn turn(&mut self, ctx: &Context) {
        self.take_keys(ctx);
        let now = (self.clock)();
        self.advance(now);
        if self.own_window {
            self.show_person(ctx);
        } else {
            let _ = self.person.set(self.view());
        }
        let rest = match &self.session {
            Some(session) => session.rest(now),
            None => self.sound.is_some().then_some(Duration::from_millis(50)),
        };
        if let Some(rest) = rest {
            ctx.request_repaint_after(rest);
        }
    }
}

fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

impl eframe::App for Desk {
    fn logic(&mut self, ctx: &Context, _: &mut eframe::Frame) {
        self.turn(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _: &mut eframe::Frame) {
        self.draw(ui);
    }

    fn clear_color(&self, _: &egui::Visuals) -> [f32; 4] {
        [1.0; 4]
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

/// Opens the windows and returns when they are closed.
///
/// # Errors
/// One line, without a display.
pub fn open_with(options: Options) -> Result<(), String> {
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
            Ok(Box::new(Desk::new(form, true, open_output)))
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
