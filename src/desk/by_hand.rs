//! What the examiner does by hand at the desk: where it stands, and what each key means there.
//! Hands rest on the ridges of F and J: the left one says what was found, the right one moves.

mod prompter;
mod reel;
mod remote;

pub use prompter::{Prompting, Step};
pub use remote::{Remote, key_name, reply_key, reply_keys};

use super::session::{Command, Session};
use crate::bedside::{standard, usual_prompts, worksheet_in};
use crate::journal::{Item, SeriesPlan, Worksheet};
use crate::quantity::{Moment, Side};
use crate::stimulus::SeriesKind;
use crate::visit::AtBedside;
use eframe::egui::Key;
use std::time::Instant;

/// What the page is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// The worksheet, one line after the other.
    Reel,
    /// Which series comes next.
    Choose,
    /// A series, by its place among the visit's.
    Prompt(usize),
}

/// A field that asks for words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Words {
    /// Who looks.
    Who,
    /// A comment to the line.
    Comment,
    /// A number in the line's unit.
    Number,
    /// What is smelled.
    Scent,
    /// Which worksheet.
    Sheet,
}

/// A series that can be chosen.
pub type Choice = (SeriesKind, Option<Side>);

/// Where the work by hand stands.
#[derive(Debug, Clone)]
pub struct ByHand {
    /// What the page is about.
    pub mode: Mode,
    /// Who looks, as it is entered.
    pub who: String,
    /// The worksheet that is laid out with the first entry.
    pub sheet: Worksheet,
    /// Where it comes from.
    pub sheet_name: String,
    /// The line under the hand.
    pub line: usize,
    /// The grade that goes with the next finding, as a place in the item's grades.
    pub grade: Option<usize>,
    /// The comment that goes with it.
    pub comment: String,
    /// The number that goes with it, as typed or timed.
    pub number: String,
    /// When the timer was started.
    pub timer: Option<Instant>,
    /// The series under the hand.
    pub choice: usize,
    /// How many prompts it gets.
    pub prompts: u32,
    /// How many are shown at a time.
    pub together: u32,
    /// What is smelled.
    pub scent: String,
    /// The prompts under way.
    pub prompting: Prompting,
    /// Keys of a remote.
    pub remote: Remote,
    /// The field that the next drawing puts the cursor into.
    pub wanted: Option<Words>,
    /// One line that the examiner has to know.
    pub message: Option<String>,
}

impl Default for ByHand {
    fn default() -> ByHand {
        ByHand {
            mode: Mode::Reel,
            who: String::new(),
            sheet: standard().unwrap_or(Worksheet {
                format: 1,
                name: "none".into(),
                item: Vec::new(),
            }),
            sheet_name: "standard".into(),
            line: 0,
            grade: None,
            comment: String::new(),
            number: String::new(),
            timer: None,
            choice: 0,
            prompts: usual_prompts(SeriesKind::Smell),
            together: 1,
            scent: "coffee".into(),
            prompting: Prompting::default(),
            remote: Remote::default(),
            wanted: None,
            message: None,
        }
    }
}

/// All series that can be chosen, in the order of the nerves.
#[must_use]
pub fn choices() -> Vec<Choice> {
    SeriesKind::ALL
        .into_iter()
        .flat_map(|kind| {
            let sides: &[Option<Side>] = if kind.organ().is_some() {
                &[Some(Side::Right), Some(Side::Left)]
            } else {
                &[None]
            };
            sides.iter().map(move |side| (kind, *side))
        })
        .collect()
}

impl ByHand {
    /// The same hands at the next visit: who looks, the worksheet and the remote stay.
    #[must_use]
    pub fn next(&self) -> ByHand {
        ByHand {
            who: self.who.clone(),
            sheet: self.sheet.clone(),
            sheet_name: self.sheet_name.clone(),
            remote: self.remote.clone(),
            ..ByHand::default()
        }
    }

    /// A key on the page. Tells whether it meant something here.
    pub fn key(&mut self, session: &mut Session, key: Key, now: Instant) -> bool {
        if self.remote.teaching() {
            self.message = Some(self.remote.learn(key));
            return true;
        }
        let key = self.remote.meant(key);
        self.message = None;
        if session.record().closed() {
            return false;
        }
        match self.mode {
            Mode::Reel => self.reel_key(session, key, now),
            Mode::Choose => self.choose_key(session, key, now),
            Mode::Prompt(at) => self.prompt_key(session, at, key, now),
        }
    }

    /// Whether a step is open: a series that is not over, or a line that is begun and not entered.
    #[must_use]
    pub fn step_open(&self, session: &Session) -> bool {
        let series = session.record().bedside().series();
        let prompting =
            matches!(self.mode, Mode::Prompt(at) if series.get(at).is_some_and(|one| !one.over()));
        let begun = self.grade.is_some() || !self.comment.is_empty() || !self.number.is_empty();
        prompting || begun || self.timer.is_some()
    }

    /// Brings what is timed up to now.
    pub fn advance(&mut self, session: &Session, now: Instant) {
        if let Mode::Prompt(at) = self.mode {
            let now = session.moment(now);
            self.prompting
                .advance(session.record().bedside().series().get(at), now);
        }
    }

    /// The worksheet of the visit: as it was laid out, or the one that would be.
    #[must_use]
    pub fn worksheet<'a>(&'a self, session: &'a Session) -> &'a Worksheet {
        session
            .record()
            .bedside()
            .worksheet()
            .unwrap_or(&self.sheet)
    }

    /// The line under the hand.
    #[must_use]
    pub fn line<'a>(&'a self, session: &'a Session) -> Option<(&'a Item, Option<Side>)> {
        self.worksheet(session).lines().nth(self.line)
    }

    /// Reads the worksheet that is named, unless one is laid out already.
    pub fn read_sheet(&mut self, session: &Session) {
        if session.record().bedside().worksheet().is_some() {
            self.message = Some("The worksheet of this visit is laid out already.".into());
            return;
        }
        match worksheet_in(self.sheet_name.trim()) {
            Ok(sheet) => {
                self.sheet = sheet;
                self.line = 0;
            }
            Err(error) => self.message = Some(error.to_string()),
        }
    }

    /// Has something entered; tells whether it was taken.
    fn enter(&mut self, session: &mut Session, done: AtBedside, now: Instant) -> bool {
        let before = session.lines();
        session.command(Command::Bedside(done), now);
        let taken = session.lines() > before;
        if !taken {
            self.message = session.message().map(str::to_owned);
        }
        taken
    }

    fn choose_key(&mut self, session: &mut Session, key: Key, now: Instant) -> bool {
        let count = choices().len();
        match key {
            Key::J => self.choose((self.choice + 1) % count),
            Key::K => self.choose((self.choice + count - 1) % count),
            Key::L => self.prompts = (self.prompts + 2).min(40),
            Key::H => self.prompts = self.prompts.saturating_sub(2).max(4),
            Key::B => {
                self.together = match self.together {
                    1 => 3,
                    3 => 4,
                    _ => 1,
                }
            }
            Key::S => self.wanted = Some(Words::Scent),
            Key::D | Key::Enter => self.draw(session, false, now),
            Key::P => self.draw(session, true, now),
            Key::G => self.go_on(session, now),
            Key::Y => self.message = Some(self.remote.teach()),
            Key::R | Key::Escape => self.mode = Mode::Reel,
            _ => return false,
        }
        true
    }

    fn choose(&mut self, choice: usize) {
        self.choice = choice;
        if let Some((kind, _)) = choices().get(choice) {
            self.prompts = usual_prompts(*kind);
        }
    }

    /// The series as it is chosen now.
    #[must_use]
    pub fn wish(&self) -> Option<SeriesPlan> {
        let (kind, side) = *choices().get(self.choice)?;
        Some(SeriesPlan {
            kind,
            side,
            prompts: Some(self.prompts),
            scent: (kind == SeriesKind::Smell).then(|| self.scent.trim().to_owned()),
            together: self.together,
        })
    }

    fn draw(&mut self, session: &mut Session, on_paper: bool, now: Instant) {
        let Some(wish) = self.wish() else { return };
        if !self.enter(session, AtBedside::Draw { wish, on_paper }, now) {
            return;
        }
        if on_paper {
            self.print(session);
        } else {
            self.open(session, session.record().bedside().series().len() - 1, now);
        }
    }

    /// Writes the sheet of the last series beside the journal.
    fn print(&mut self, session: &Session) {
        let Some(series) = session.record().bedside().series().last() else {
            return;
        };
        let name = format!("series-{}.svg", series.drawn.series);
        let path = session.folder().join(name);
        self.message = Some(match std::fs::write(&path, crate::bedside::sheet(series)) {
            Ok(()) => format!(
                "Sealed, and written: {}. Print it; G enters its answers afterwards.",
                path.display()
            ),
            Err(error) => format!("{}: {error}", path.display()),
        });
    }

    /// Goes on with the series that is not over.
    fn go_on(&mut self, session: &Session, now: Instant) {
        let series = session.record().bedside().series();
        match series.iter().rposition(|one| !one.over()) {
            Some(at) => self.open(session, at, now),
            None => self.message = Some("No series is under way.".into()),
        }
    }

    fn open(&mut self, session: &Session, at: usize, now: Instant) {
        self.mode = Mode::Prompt(at);
        self.prompting = Prompting::default();
        let now: Moment = session.moment(now);
        self.prompting
            .advance(session.record().bedside().series().get(at), now);
    }
}
