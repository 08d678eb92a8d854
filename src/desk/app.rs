//! The examiner's window and all that goes on behind it.

mod aside;
mod bench;
mod ears;
mod open;
mod records;
mod visits;

pub use open::{Options, open_with, set_up};

use super::bench::Bench;
use super::by_hand::ByHand;
use super::by_hand_page;
use super::figures::Figures;
use super::hand_over::{HandOver, KeptIn};
use super::hear::{self, Dial};
use super::instruct::Instructing;
use super::keys::{Action, KeyMap};
use super::measured_screen::same_screen;
use super::people::Records;
use super::person_window::{Happened, PersonWindow, Picture, View, Viewed};
use super::practise::Practising;
use super::prepare::Form;
use super::see_ways::Ways;
use super::session::{Command, HOLD_S, Sense, Session, Waiting};
use super::spelling::{Spelled, Spelling};
use super::style::Theme;
use super::{bench_page, frame, practise_page, prepare_page, remembered, see, weigh, words};
use crate::journal::{SightProcedure, WhoPressed};
use crate::quantity::{Ear, Mm, Scale};
use crate::station::SoundStation;
use crate::station::recorder::Recorder;
use crate::stimulus::{Facing, OptotypeSet};
use aside::Aside;
use ears::EarTone;
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
    pub(super) theme: Theme,
    pub(super) keys: KeyMap,
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
        let (theme, keys) = (Theme::PAPER, KeyMap::default());
        Desk {
            person: PersonWindow::new(theme, keys.clone()),
            spelling: Spelling::default(),
            ways: Ways::default(),
            theme,
            keys,
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

    /// Takes in whether the key that confirms is down: held long enough, it confirms loud sounds.
    /// It must have come up since the step began to wait, so that a press before it is none.
    fn hold(&mut self, down: bool, pressed: bool, now: Instant) {
        let waits = self.session.as_ref().is_some_and(Session::waits_to_be_loud);
        self.held_since = match self.held_since {
            _ if !waits || !down => None,
            None => pressed.then_some(now),
            since => since,
        };
        let long = |since: Instant| (now - since).as_secs_f64() >= HOLD_S;
        if self.held_since.is_some_and(long) {
            self.held_since = None;
            self.command(Command::ConfirmLoud);
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

    fn take(&mut self, happened: Happened) {
        match happened {
            Happened::Key { key, at } => self.key(key, at),
            Happened::Resize(key) => self.form.resize_card(key),
            Happened::Press { at } => self.command(Command::Heard { at, by: None }),
            Happened::Facing { facing, at } => self.command(Command::Facing {
                facing,
                at: Some(at),
            }),
            Happened::Unsure => self.command(Command::Unsure),
            Happened::Side(ear) => self.side(ear),
            Happened::Turn { interval, at } => self.command(Command::Turn {
                interval,
                chosen: Some(at),
            }),
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
            let over = closes && session.written().is_some();
            if over && matches!(self.kept_in, Some(KeptIn::Store(_))) {
                self.written = self.records.settle();
            } else if over {
                let folder = session.folder().display();
                self.written = Some(format!(
                    "Written: findings.json, trials.csv and journal.jsonl in {folder}"
                ));
            }
        }
    }

    /// A key in either window.
    pub fn key(&mut self, key: Key, at: Instant) {
        if self.locked_takes(key) {
            return;
        }
        if let Some(page) = self.keys.page(key) {
            self.turn_to(page);
            return;
        }
        if self.page == Page::Bedside
            && let Some(session) = &mut self.session
            && session.rests()
        {
            let taken = self.by_hand.key(session, key, at);
            // The rest of the desk's keys would present or mark something.
            let plain = [Action::Keys, Action::FullScreen, Action::Stop];
            let action = self.keys.action(key).filter(|one| plain.contains(one));
            if let Some(action) = action.filter(|_| !taken) {
                self.act(action, at);
            }
            return;
        }
        if let Some(session) = &self.session {
            let running = !session.record().closed();
            let sees = session.sense() == Sense::Sight && running;
            self.spelling.follow(session.presenting().filter(|_| sees));
            match self.spelling.key(key) {
                Spelled::Nothing => {}
                Spelled::Kept => return,
                Spelled::Done(letters) => {
                    return self.command(Command::Letters { letters, at: None });
                }
            }
            if self.keys.unsure(key) && sees {
                return self.command(Command::Unsure);
            }
            if let Some(facing) = self.keys.facing(key).filter(|_| sees) {
                return self.command(Command::Facing {
                    facing,
                    at: Some(at),
                });
            }
            let turns = running && session.turn(at).is_some();
            if let Some(facing) = self.keys.facing(key).filter(|_| turns) {
                let interval = match facing {
                    Facing::Left => 1,
                    Facing::Right => 2,
                    _ => return,
                };
                let chosen = Some(at);
                return self.command(Command::Turn { interval, chosen });
            }
            if self.keys.hears(key) && running {
                return self.command(Command::Heard { at, by: None });
            }
        } else if key == Key::Y && !self.checking_ears() {
            self.form.cautions = !self.form.cautions;
            return;
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

    /// Goes to a page; without a visit there is only the first.
    pub(super) fn turn_to(&mut self, page: Page) {
        if self.is_open(page) {
            self.taken_out = None;
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

    /// Takes the colours for this room, and remembers them where the desk has windows of its own.
    pub fn take_theme(&mut self, ctx: &Context, theme: Theme) {
        if self.own_window && theme != self.theme {
            remembered::keep_theme(&theme);
        }
        self.theme = theme;
        super::style::apply(ctx, &theme);
    }

    /// Whether the report that can be shown is that of an earlier visit.
    pub(super) fn shows_kept(&self) -> bool {
        self.taken_out.is_some()
    }

    /// Whether there is something on a page. While somebody practises, what the program makes of the
    /// answers stays hidden.
    pub(super) fn is_open(&self, page: Page) -> bool {
        match (page, &self.session) {
            (Page::Prepare | Page::People | Page::Practise, _) => true,
            (Page::Bench, session) => session.is_none(),
            (_, None) => false,
            (Page::Weigh, Some(session)) => {
                self.practising.under_way.is_none() || session.record().closed()
            }
            _ => true,
        }
    }

    /// Does what a key or a button of the examiner means.
    pub fn act(&mut self, action: Action, at: Instant) {
        // Who practises presents by hand, from the first tone to the last.
        let by_procedure = matches!(action, Action::Automatic | Action::Method);
        if by_procedure && self.practising.under_way.is_some() {
            return;
        }
        match action {
            Action::Keys => self.keys_shown = !self.keys_shown,
            Action::FullScreen => self.full_screen = !self.full_screen,
            Action::Stop if self.session.is_none() => self.stop_ear_check(),
            Action::Louder if self.session.is_none() => self.listen_louder(),
            Action::Mark if self.session.is_none() => self.listen_heard(),
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
            Action::Method => self.command(Command::ToggleMethod),
            Action::TakeBack => self.command(Command::TakeBack),
            Action::Pause => self.command(Command::PauseOrContinue),
            Action::Tone if self.page == Page::See => {
                self.command(Command::Hand(self.eye_dial.request()));
            }
            Action::Tone => self.command(Command::Hand(self.dial.request())),
            Action::Silence => self.command(Command::Hand(self.dial.silence())),
            Action::Louder
            | Action::Softer
            | Action::Lower
            | Action::Higher
            | Action::OtherEar
            | Action::Noise
            | Action::NoiseLouder
            | Action::NoiseSofter => {
                if let Some(session) = &self.session {
                    match self.page {
                        Page::See => self.eye_dial.turn(action, session.record()),
                        _ => self.dial.turn(action, session.record()),
                    }
                }
            }
        }
    }

    /// From where the person's window is seen: that of the visit, else what the form says.
    fn viewed(&self) -> Viewed {
        let set_up = self
            .session
            .as_ref()
            .map(|one| &one.record().opening.set_up);
        let asked = self.session.as_ref().and_then(Session::asked);
        let asked = asked.and_then(|asked| asked.distance);
        let (distance, screen) = match set_up {
            Some(set_up) => (asked.or(set_up.distance_mm), set_up.screen.as_ref()),
            None => (self.form.distance(), self.form.screen.as_ref()),
        };
        let near = Mm(500.0);
        Viewed {
            distance: distance.unwrap_or(near),
            pixel: screen.map(|screen| screen.record().pixel_mm),
        }
    }

    /// What the person's window has to show.
    #[must_use]
    pub fn view(&self) -> View {
        let Some(session) = &self.session else {
            return match (self.checking_ears(), self.card) {
                (true, _) => View::Sides,
                (_, true) => View::Card {
                    size_px: self.form.card_px,
                },
                _ => View::Calm(words::PLEASE_WAIT),
            };
        };
        let record = session.record();
        // What is done by hand gives the person nothing to look at.
        if self.page == Page::Bedside && !record.closed() && session.presenting().is_none() {
            return View::Calm(words::PLEASE_WAIT);
        }
        if record.closed() || session.waiting() == Some(Waiting::ToClose) {
            return View::Calm(words::THANKS);
        }
        if record.paused() {
            return View::Calm(words::RESTING);
        }
        match (session.sense(), session.eye()) {
            (Sense::Hearing, _) => session
                .turn((self.clock)())
                .map_or(View::Hearing, View::Turns),
            (Sense::Sight, Some(eye)) => {
                let ring = session.ring();
                let asked = session.asked();
                match asked.as_ref().map(|asked| asked.plan.procedure) {
                    Some(SightProcedure::NearCard) => return View::Calm(words::READ_THE_CARD),
                    Some(SightProcedure::ByHand) => return View::Calm(words::LOOK_AT_THE_HAND),
                    _ => {}
                }
                let set = asked.map_or(OptotypeSet::Landolt8, |asked| asked.plan.optotype);
                View::Sight {
                    eye,
                    set: ring.map_or(set, |ring| ring.part.optotype),
                    reverse: ring.is_some_and(|ring| ring.part.reverse),
                    waits: matches!(session.waiting(), Some(Waiting::ToSee(_))),
                    guess: ring.is_some_and(|ring| ring.guess),
                    kind_word: session.kind_word(),
                    ring: ring.filter(|ring| !ring.hidden).map(|ring| Picture {
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
        if self.records.locked() {
            egui::CentralPanel::default().show(ui, |ui| self.draw_lock(ui));
            return;
        }
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
                    Some(hear::Done::Reach(extended)) => self.dial.reach(extended),
                    None => {}
                }
            }
            (Page::See, Some(session), Some(figures)) => {
                let page = see::Page::of(
                    session,
                    &figures.findings.sight,
                    &self.spelling,
                    self.eye_dial,
                );
                match see::draw(
                    ui,
                    &self.theme,
                    &page,
                    &figures.acuity,
                    &self.keys,
                    &mut self.ways,
                ) {
                    Some(see::Wanted::Command(command)) => self.command(command),
                    Some(see::Wanted::Turn(action)) => self.act(action, (self.clock)()),
                    Some(see::Wanted::Mark(place)) => self.spelling.mark(place),
                    Some(see::Wanted::Take) => {
                        if let Some(letters) = self.spelling.answer() {
                            self.command(Command::Letters { letters, at: None });
                        }
                    }
                    None => {}
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
                )
                .with_next(figures.tell_most(session));
                match weigh::draw(ui, &self.theme, &page, &figures.acuity) {
                    Some(weigh::Wanted::Close) => self.command(Command::Close),
                    Some(weigh::Wanted::Reference) => self.save_reference(),
                    Some(weigh::Wanted::NewVisit) => self.new_visit(),
                    None => {}
                }
            }
            (Page::People, ..) => self.draw_people(ui),
            (Page::Practise, ..) => practise_page::draw(ui, self),
            (Page::HandOver, ..) => self.draw_hand_over(ui),
            (Page::Bedside, Some(_), _) => {
                let now = (self.clock)();
                by_hand_page::draw(ui, self, now);
            }
            (Page::Bench, None, _) => bench_page::draw(ui, self),
            _ => self.draw_prepare(ui),
        }
    }

    /// The report of the visit that was taken out of the store, else of the one at hand.
    fn draw_hand_over(&mut self, ui: &mut Ui) {
        let at_hand = || {
            let session = self.session.as_ref()?;
            Some((self.kept_in.clone()?, session.lines()))
        };
        if let Some((kept_in, lines)) = self.taken_out.clone().or_else(at_hand) {
            self.hand_over
                .refresh(kept_in, lines, self.records.archive_mut());
        }
        self.hand_over.draw(ui, &self.theme);
        // The store's register keeps that a visit left it.
        if let Some(visit) = self.hand_over.left_the_store()
            && let Some(archive) = self.records.archive_mut()
            && let Err(error) = archive.hand_out(&visit)
        {
            self.notice = Some(error.to_string());
        }
    }

    fn draw_prepare(&mut self, ui: &mut Ui) {
        if let Some(session) = &self.session {
            prepare_page::begun(ui, &self.theme, session);
            return;
        }
        let missing = self.missing();
        let around = prepare_page::Around {
            missing: &missing,
            field: self.person.field(),
            card: self.card,
            sounds: self.aside.busy(),
        };
        let wanted = prepare_page::draw(ui, &self.theme, &mut self.form, &around);
        let field = self.person.field();
        match (wanted, field) {
            (Some(prepare_page::Wanted::Begin), _) => self.begin(),
            (Some(prepare_page::Wanted::CheckEars), _) => self.check_ears(),
            (Some(prepare_page::Wanted::ListenLouder), _) => self.listen_louder(),
            (Some(prepare_page::Wanted::ListenHeard), _) => self.listen_heard(),
            (Some(prepare_page::Wanted::Instructions), _) => self.play_instructions(),
            (Some(prepare_page::Wanted::Silence), _) => self.stop_ear_check(),
            (Some(prepare_page::Wanted::ShowCard(card)), _) => self.card = card,
            (Some(prepare_page::Wanted::NearCard(set)), _) => {
                let written = self.form.write_near_card(set);
                let say = |path: PathBuf| format!("Written: {}", path.display());
                self.notice = Some(written.map_or_else(|error| error, say));
            }
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
        let confirm = self.keys.key(Action::Confirm);
        let (down, pressed) = ctx.input(|input| {
            let begins = |event: &egui::Event| {
                matches!(event, egui::Event::Key { key, pressed: true, repeat: false, .. }
                    if Some(*key) == confirm)
            };
            let down = confirm.is_some_and(|key| input.key_down(key));
            (down, input.events.iter().any(begins))
        });
        self.hold(down, pressed, (self.clock)());
        let writing = ctx.text_edit_focused();
        let focused = ctx.memory(|memory| memory.focused().is_some());
        let at = (self.clock)();
        let keys: Vec<(Key, bool)> = ctx.input(|input| {
            let pressed = input.events.iter().filter_map(|event| match event {
                egui::Event::Key {
                    key,
                    pressed: true,
                    repeat,
                    modifiers,
                    ..
                } if !modifiers.any() => Some((*key, *repeat)),
                _ => None,
            });
            pressed.collect()
        });
        for (key, held) in keys {
            if self.card && !focused {
                self.form.resize_card(key);
            }
            let stops = self.keys.action(key) == Some(Action::Stop);
            // A control that has the focus takes Enter itself.
            let taken = writing || (focused && key == Key::Enter);
            if !held && (stops || !taken) {
                self.key(key, at);
            }
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
