//! The examiner's window and all that goes on behind it.

mod aside;
mod bench;
mod ears;
mod keys;
mod open;
mod pages;
mod person;
mod records;
mod visits;

pub use open::{Options, open_with, set_up};

use super::bench::Bench;
use super::by_hand::ByHand;
use super::figures::Figures;
use super::hand_over::{HandOver, KeptIn};
use super::hear::Dial;
use super::instruct::Instructing;
use super::measured_screen::same_screen;
use super::people::Records;
use super::person_window::PersonWindow;
use super::practise::Practising;
use super::prepare::Form;
use super::progress::Progress;
use super::see_ways::Ways;
use super::session::{Command, Sense, Session, Waiting};
use super::settings::Settings;
use super::settings_page::Giving;
use super::spelling::Spelling;
use super::style::Theme;
use super::words::{self, speaking};
use super::{remembered, see};
use crate::station::SoundStation;
use crate::station::recorder::Recorder;
use aside::Aside;
use ears::EarTone;
use eframe::egui::{self, Context, Ui};
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
    /// What is done by hand.
    Bedside,
    /// What came of it.
    Weigh,
    /// What leaves the house.
    HandOver,
    /// People and their visits, in the store.
    People,
    /// Where a set-up is measured; no part of a visit.
    Bench,
    /// Practice on simulated people.
    Practise,
    /// How the desk is set; no part of a visit.
    Settings,
}

impl Page {
    /// In the order of a visit.
    pub const ALL: [Page; 8] = [
        Page::Prepare,
        Page::Hear,
        Page::See,
        Page::Bedside,
        Page::Weigh,
        Page::HandOver,
        Page::People,
        Page::Practise,
    ];
}

/// Opens an input by its id, or the system's own, at a rate.
pub type OpenInput = fn(Option<&str>, u32) -> Result<Box<dyn Recorder>, String>;

/// Opens an output by its id, at a rate.
pub type OpenSound = fn(&str, u32) -> Result<Box<dyn SoundStation>, String>;

/// The desk.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own on the screen"
)]
pub struct Desk {
    pub(super) settings: Settings,
    /// The colours that they name.
    pub(super) theme: Theme,
    giving: Giving,
    pub(super) page: Page,
    pub(super) form: Form,
    pub(super) session: Option<Session>,
    pub(super) figures: Option<Figures>,
    pub(super) notice: Option<String>,
    pub(super) keys_shown: bool,
    pub(super) dial: Dial,
    pub(super) eye_dial: see::Dial,
    pub(super) by_hand: ByHand,
    pub(super) records: Records,
    pub(super) bench: Bench,
    pub(super) practising: Practising,
    pub(super) progress: Progress,
    pub(super) instructing: Instructing,
    hand_over: HandOver,
    person: PersonWindow,
    spelling: Spelling,
    ways: Ways,
    own_window: bool,
    full_screen: bool,
    card: bool,
    open_sound: OpenSound,
    pub(super) open_input: OpenInput,
    sound: Option<Box<dyn SoundStation>>,
    /// Which output that is.
    sound_id: String,
    ear_tone: EarTone,
    aside: Aside,
    sound_wish: Option<(String, u32)>,
    followed: (Sense, bool),
    written: Option<String>,
    /// Where the visit at hand is kept.
    kept_in: Option<KeptIn>,
    /// A visit of the store whose report is shown, and how many lines it had when it was signed.
    taken_out: Option<(KeptIn, u64)>,
    /// The reference that this visit was made into.
    reference: Option<PathBuf>,
    pub(super) clock: fn() -> Instant,
    /// Since when the confirmation of loud sounds is held.
    held_since: Option<Instant>,
}

impl Desk {
    /// A desk with its form; `own_window` gives the person a window of their own.
    #[must_use]
    pub fn new(form: Form, own_window: bool, open_sound: OpenSound) -> Desk {
        let settings = Settings::default();
        Desk {
            person: PersonWindow::new(settings.theme(), settings.keys.clone()),
            spelling: Spelling::default(),
            ways: Ways::default(),
            theme: settings.theme(),
            settings,
            giving: Giving::default(),
            page: Page::Prepare,
            form,
            session: None,
            figures: None,
            notice: None,
            keys_shown: false,
            dial: Dial::default(),
            eye_dial: see::Dial::default(),
            by_hand: ByHand::default(),
            records: Records::at(PathBuf::new(), Instant::now()),
            bench: Bench::default(),
            practising: Practising::default(),
            progress: Progress::default(),
            instructing: Instructing::default(),
            hand_over: HandOver::default(),
            own_window,
            full_screen: false,
            card: false,
            open_sound,
            open_input: |_, _| Err("this desk has no sound input".into()),
            sound: None,
            sound_id: String::new(),
            ear_tone: EarTone::None,
            aside: Aside::Nothing,
            sound_wish: None,
            followed: (Sense::Neither, false),
            written: None,
            kept_in: None,
            taken_out: None,
            reference: None,
            clock: Instant::now,
            held_since: None,
        }
    }

    /// The same desk with sound inputs.
    #[must_use]
    pub fn with_input(mut self, open_input: OpenInput) -> Desk {
        self.open_input = open_input;
        self
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

    /// Where a set-up is measured.
    pub fn bench_mut(&mut self) -> &mut Bench {
        &mut self.bench
    }

    /// Where the work by hand stands.
    pub fn by_hand_mut(&mut self) -> &mut ByHand {
        &mut self.by_hand
    }

    /// Where practice stands.
    pub fn practising_mut(&mut self) -> &mut Practising {
        &mut self.practising
    }

    /// Where an instructor stands.
    pub fn instructing_mut(&mut self) -> &mut Instructing {
        &mut self.instructing
    }

    /// What is handed over.
    pub fn hand_over_mut(&mut self) -> &mut HandOver {
        &mut self.hand_over
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
            self.play_what_was_read();
            self.advance_bench();
            self.play_ear_tone();
        }
        for happened in self.person.take() {
            self.take(happened);
        }
        self.person.viewed(self.viewed());
        self.person.speak(self.form.lang);
        if let Some(session) = &mut self.session {
            session.poll(now);
            let sees = session.sense() == Sense::Sight;
            self.spelling.follow(session.presenting().filter(|_| sees));
            if let Some(field) = self.person.field()
                && session.needs_the_screen()
                && let Some(screen) = &session.record().opening.set_up.screen
                && !same_screen(screen.record(), field)
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
            (_, true) if self.practising.under_way.is_some() => Page::Practise,
            (_, true) => Page::Weigh,
            (Sense::Hearing, _) => Page::Hear,
            (Sense::Sight, _) => Page::See,
            (Sense::Neither, _) => self.page,
        };
    }

    /// Gives the session a command.
    pub fn command(&mut self, command: Command) {
        let now = (self.clock)();
        // Who practises presents by hand, from the first tone to the last.
        let by_procedure = matches!(command, Command::ToggleAutomatic | Command::ToggleMethod);
        if by_procedure && self.practising.under_way.is_some() {
            return;
        }
        if command.answers() && self.practising.under_way.is_some() {
            if let Some(session) = &mut self.session {
                session.refuse(words::ANSWERS_ITSELF);
            }
            return;
        }
        if let Some(session) = &mut self.session {
            let closes = command == Command::Close
                || command == Command::Confirm && session.waiting() == Some(Waiting::ToClose);
            session.command(command, now);
            let over = closes && session.written().is_some();
            if over && matches!(self.kept_in, Some(KeptIn::Store(_))) {
                self.written = self.records.settle();
            } else if over {
                let folder = session.folder().display();
                self.written = Some(speaking(self.settings.lang, || {
                    words::weigh::WRITTEN_IN.fill(&[&folder.to_string()])
                }));
            }
        }
    }

    /// Goes to a page; without a visit there is only the first.
    pub(super) fn turn_to(&mut self, page: Page) {
        if self.is_open(page) {
            self.taken_out = None;
            self.giving = Giving::default();
            self.page = page;
        }
    }

    /// Whether the room is dark. The person's window keeps its colours: another ground between two optotypes would adapt the
    /// eye to it.
    #[must_use]
    pub fn dark(&self) -> bool {
        self.theme.dark
    }

    /// The colours of the person's window.
    #[must_use]
    pub fn person_theme(&self) -> Theme {
        self.person.theme()
    }

    /// How the desk is set.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Sets the desk, and remembers it where the desk has windows of its own.
    pub fn set(&mut self, ctx: &Context, settings: Settings) {
        if self.own_window && settings != self.settings {
            remembered::keep_settings(&settings);
        }
        self.theme = settings.theme();
        super::style::apply(ctx, &self.theme);
        ctx.set_zoom_factor(settings.zoom());
        self.person.take_keys(&settings.keys);
        self.records.lock_after(settings.idle());
        self.settings = settings;
    }

    /// Sets the desk as it was left; as it comes, and says so, where that cannot be read.
    pub(super) fn set_as_remembered(&mut self, ctx: &Context) {
        let settings = remembered::settings();
        self.notice = settings.as_ref().err().cloned();
        self.set(ctx, settings.unwrap_or_default());
        self.form.lang = self.settings.lang;
    }

    /// Whether the report that can be shown is that of an earlier visit.
    pub(super) fn shows_kept(&self) -> bool {
        self.taken_out.is_some()
    }

    /// Whether there is something on a page. While somebody practises, what the program makes of the
    /// answers stays hidden.
    pub(super) fn is_open(&self, page: Page) -> bool {
        match (page, &self.session) {
            (Page::Prepare | Page::People | Page::Practise | Page::Settings, _) => true,
            (Page::Bench, session) => session.is_none(),
            (_, None) => false,
            (Page::Weigh | Page::HandOver, Some(session)) => {
                self.practising.under_way.is_none() || session.record().closed()
            }
            _ => true,
        }
    }

    /// One turn: what happened, what is due, how long to rest.
    pub fn turn(&mut self, ctx: &Context) {
        self.take_keys(ctx);
        let now = (self.clock)();
        self.records.collect();
        self.watch_lock(ctx, now);
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
        let rest = rest.into_iter().chain(self.records.next_look(now)).min();
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
