//! See: what the person sees, what was answered, and how far the acuity is known.

use super::figure::{self, Acuity};
use super::keys::{Action, KeyMap};
use super::pad::{Chosen, pad};
use super::parts::{self, heading, key_button, remark};
use super::person_window::Picture;
use super::planner;
use super::see_ways::{self, Aside, InHand, Standing, Ways};
use super::session::{Command, Session, Waiting};
use super::spelling::Spelling;
use super::style::{self, STEP, Theme, line, type_size};
use super::words::{self, hear, see as say};
use crate::finding::{BY_HAND, SightFindings, sizes_of};
use crate::journal::{MARKED_WRONG, Outcome, PersonKind, Record, Section, SightProcedure};
use crate::procedure::HandRequest;
use crate::quantity::{Eye, Mm};
use crate::stimulus::{HandPart, OptotypePart, OptotypeSet};
use eframe::egui::{self, Color32, RichText, Sense, Stroke, Ui, vec2};

/// What the examiner has set by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// The eye.
    pub eye: Eye,
    /// The size, logMAR.
    pub log_mar: f64,
}

impl Default for Dial {
    fn default() -> Dial {
        Dial {
            eye: Eye::Right,
            log_mar: LARGE_LOG_MAR,
        }
    }
}

/// Where a dial stands at first: the top line of most charts.
const LARGE_LOG_MAR: f64 = 1.0;
/// A step of the dial: a line.
const LINE_LOG_MAR: f64 = 0.1;

impl Dial {
    /// Turns it by an action, within what the screen can show; another eye begins large again.
    pub fn turn(&mut self, action: Action, record: &Record) {
        let Some(plan) = &record.opening.plan.sight else {
            return;
        };
        match action {
            Action::Louder => self.log_mar += LINE_LOG_MAR,
            Action::Softer => self.log_mar -= LINE_LOG_MAR,
            Action::OtherEar => {
                let at = plan.eyes.iter().position(|eye| *eye == self.eye);
                let next = at.map_or(0, |at| (at + 1) % plan.eyes.len().max(1));
                self.eye = plan.eyes.get(next).copied().unwrap_or(self.eye);
                self.log_mar = LARGE_LOG_MAR;
            }
            _ => {}
        }
        let all = record.asked();
        let asked = all.iter().rev().find(|one| one.eye == self.eye);
        if let Some(sizes) = asked.and_then(|one| sizes_of(record, one)) {
            self.log_mar = self.log_mar.clamp(sizes.smallest.0, sizes.largest.0);
        }
    }

    /// Whether its eye is asked latest by what is shown by hand.
    fn shows(&self, record: &Record) -> bool {
        let all = record.asked();
        let mut open = all.iter().rev().filter(|one| one.eye == self.eye);
        let latest = open.find(|one| record.ended_asking(one).is_none());
        latest.is_some_and(|one| one.plan.procedure == SightProcedure::ByHand)
    }

    /// The optotype that it asks for.
    #[must_use]
    pub fn request(&self) -> HandRequest {
        HandRequest::Optotype {
            eye: self.eye,
            log_mar: self.log_mar,
        }
    }
}

/// What the page shows besides the figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Which eye looks now, or did last.
    pub eye: Option<Eye>,
    /// Whether the eye waits for the examiner's word.
    pub waits: bool,
    /// The ring that is shown now.
    pub ring: Option<OptotypePart>,
    /// Whether it counts as shown.
    pub shown: bool,
    /// What the person sees, if anything now.
    pub picture: Option<Picture>,
    /// The set to choose from; none in practice, where the person answers and nobody else.
    pub set: Option<OptotypeSet>,
    /// The letters that are shown, and what was said for each so far.
    pub letters: Vec<(char, Option<char>)>,
    /// The last answer, in words: what was shown, and what was said.
    pub last: Option<String>,
    /// Whether a pause is on.
    pub paused: bool,
    /// The eyes that may still be ended.
    pub open_eyes: Vec<Eye>,
    /// What the examiner holds in their hands.
    pub in_hand: Option<InHand>,
    /// How it is asked, and what was told.
    pub standing: Standing,
    /// The set-up's distance.
    pub distance: Option<Mm>,
    /// The dial, where the examiner presents by hand.
    pub dial: Option<Dial>,
    /// The dial's eye, where it is asked by what is shown by hand.
    pub shows: Option<Eye>,
}

impl Page {
    /// Of a session and what was found of its eyes.
    #[must_use]
    pub fn of(session: &Session, sight: &SightFindings, spelling: &Spelling, dial: Dial) -> Page {
        let record = session.record();
        let plan = record.opening.plan.sight.as_ref();
        let set = session
            .asked()
            .map_or(OptotypeSet::Landolt8, |asked| asked.plan.optotype);
        let last = record.counted().next_back().and_then(|trial| {
            let shown = trial.planned.presentation.optotypes();
            let shown: String = shown.map(|part| words::symbol(part.symbol)).collect();
            if let Some((hand, sees)) = trial.by_hand() {
                return Some(told_by_hand(hand, sees));
            }
            let said = match &trial.outcome {
                Outcome::Chosen { facing, .. } => words::facing(*facing).into(),
                Outcome::Named { letters, .. } => letters.clone(),
                Outcome::Yes { .. }
                | Outcome::No
                | Outcome::Early
                | Outcome::Interval { .. }
                | Outcome::Sees { .. } => return None,
            };
            Some(if shown == said {
                say::LAST_RIGHT.fill(&[&said])
            } else {
                say::LAST_WRONG.fill(&[&said, &shown])
            })
        });
        let practised = matches!(record.opening.person, PersonKind::Practised(_));
        let eyes = plan.map_or(Vec::new(), |plan| plan.eyes.clone());
        let open = |eye: &Eye| record.ended(Section::Eye(*eye)).is_none();
        Page {
            eye: session.eye(),
            waits: matches!(session.waiting(), Some(Waiting::ToSee(_))),
            ring: session.ring().map(|ring| ring.part),
            shown: session.ring().is_some_and(|ring| ring.shown),
            picture: session
                .ring()
                .filter(|ring| !ring.hidden)
                .map(|ring| Picture {
                    token: ring.token,
                    raster: ring.raster.clone(),
                }),
            set: Some(set).filter(|_| !practised),
            letters: spelling.letters().collect(),
            last,
            paused: record.paused(),
            open_eyes: eyes.into_iter().filter(open).collect(),
            in_hand: InHand::of(session),
            standing: Standing::of(session, sight),
            distance: record.opening.set_up.distance_mm,
            dial: (!session.automatic() && plan.is_some()).then_some(dial),
            shows: Some(dial.eye).filter(|_| dial.shows(record)),
        }
    }
}

/// What was asked for on the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Wanted {
    /// Of the session.
    Command(Command),
    /// The dial was turned.
    Turn(Action),
    /// A letter was marked: the place in the row.
    Mark(usize),
    /// The letters are as they should be.
    Take,
}

/// Draws the page.
pub fn draw(
    ui: &mut Ui,
    theme: &Theme,
    page: &Page,
    acuity: &[Acuity],
    keys: &KeyMap,
    ways: &mut Ways,
) -> Option<Wanted> {
    let done = parts::aside(ui, "sight", 276.0, |ui| {
        let sides = [
            (Aside::Answers, &*say::ANSWERS),
            (Aside::Ways, &*say::WAYS),
            (Aside::History, &*say::HISTORY),
        ];
        parts::choices(ui, &sides, &mut ways.aside);
        ui.add_space(STEP);
        match ways.aside {
            Aside::Answers => controls(ui, theme, page, keys),
            Aside::Ways => {
                see_ways::ways(ui, theme, &page.standing, ways, page.distance).map(Wanted::Command)
            }
            Aside::History => see_ways::history(ui, theme, &page.standing).map(Wanted::Command),
        }
    });
    if acuity.is_empty() {
        remark(ui, theme, &say::NO_SIGHT);
        return done;
    }
    ui.columns(acuity.len(), |columns| {
        for (ui, figure) in columns.iter_mut().zip(acuity) {
            style::sheet(theme).show(ui, |ui| {
                figure::show(ui, theme, figure, ui.available_size());
            });
        }
    });
    done
}

fn controls(ui: &mut Ui, theme: &Theme, page: &Page, keys: &KeyMap) -> Option<Wanted> {
    let mut done = None;
    if let Some(eye) = page.eye {
        ui.label(
            RichText::new(words::eye(eye))
                .size(type_size::LARGE)
                .color(theme.eye(eye)),
        );
        remark(ui, theme, &words::cover(eye));
    }
    if let Some(asked) = &page.standing.asked {
        remark(ui, theme, &words::asking(asked));
    }
    if let Some(screened) = &page.standing.screened {
        ui.label(screened);
    }
    if page.waits && ui.add(style::primary(theme, &say::COVERED_BEGIN)).clicked() {
        done = Some(Wanted::Command(Command::Confirm));
    }
    let nearer = page.standing.asked.as_ref().filter(|_| page.waits);
    if let Some(text) = nearer.and_then(|asked| planner::correction(asked.distance?)) {
        remark(ui, theme, &text);
    }
    if let Some(in_hand) = page.in_hand {
        ui.label(in_hand.words());
    }
    if let Some(dial) = page.dial {
        done = by_hand(ui, theme, page, dial, keys).or(done);
    }
    ui.horizontal(|ui| {
        small(ui, theme, page);
        ui.vertical(|ui| {
            heading(ui, theme, &say::PERSON_SEES);
            let text = match &page.ring {
                Some(ring) => format!("{} logMAR", words::decimals(ring.log_mar.0, 2)),
                None => say::WHITE.into(),
            };
            ui.label(text);
            if let Some(text) = &page.last {
                remark(ui, theme, text);
            }
        });
    });
    ui.add_space(STEP);
    if let Some(set) = page.set {
        heading(ui, theme, &say::POINTS_OR_SAYS);
        done = answer(ui, theme, page, set, keys).or(done);
        ui.add_space(STEP);
    }
    if key_button(ui, &say::ENOUGH, "", page.standing.may_be_enough) {
        done = Some(Wanted::Command(Command::Enough));
    }
    let pause = if page.paused {
        hear::CONTINUE
    } else {
        hear::PAUSE
    };
    ui.columns(2, |columns| {
        let pair = [
            (pause, Action::Pause, Command::PauseOrContinue),
            (hear::TAKE_BACK, Action::TakeBack, Command::TakeBack),
        ];
        for (ui, (text, action, command)) in columns.iter_mut().zip(pair) {
            // While letters are typed a key of that name is a letter.
            let key = if page.letters.is_empty() {
                keys.name(action)
            } else {
                ""
            };
            if key_button(ui, &text, key, true) {
                done = Some(Wanted::Command(command));
            }
        }
    });
    let eyes = page.open_eyes.iter();
    let sections: Vec<_> = eyes
        .map(|eye| (Section::Eye(*eye), words::eye(*eye)))
        .collect();
    if let Some((section, how)) = parts::ends(ui, theme, &sections) {
        done = Some(Wanted::Command(Command::End { section, how }));
    }
    done
}

/// Which optotype comes next, where the examiner decides.
fn by_hand(ui: &mut Ui, theme: &Theme, page: &Page, dial: Dial, keys: &KeyMap) -> Option<Wanted> {
    let mut done = None;
    heading(ui, theme, &hear::BY_HAND);
    let set = format!(
        "{}, {} logMAR",
        words::eye(dial.eye),
        words::decimals(dial.log_mar, 2)
    );
    ui.label(
        RichText::new(set)
            .size(type_size::LARGE)
            .color(theme.eye(dial.eye)),
    );
    ui.columns(2, |columns| {
        let pairs = [
            [
                (say::LARGER, Action::Louder),
                (say::SMALLER, Action::Softer),
            ],
            [
                (say::OTHER_EYE, Action::OtherEar),
                (say::SHOW_IT, Action::Tone),
            ],
        ];
        for [left, right] in pairs {
            for (ui, (text, action)) in columns.iter_mut().zip([left, right]) {
                let idle = action != Action::Tone || (page.ring.is_none() && !page.paused);
                if key_button(ui, &text, keys.name(action), idle) {
                    done = Some(match action {
                        Action::Tone => Wanted::Command(Command::Hand(dial.request())),
                        turn => Wanted::Turn(turn),
                    });
                }
            }
        }
    });
    if let Some(eye) = page.shows {
        done = show(ui, page, eye).or(done);
    } else {
        remark(ui, theme, &say::DRAWN_REMARK);
    }
    done
}

/// What was shown by hand, and what came of it.
fn told_by_hand(hand: &HandPart, sees: bool) -> String {
    let told = if sees {
        words::seen_by_hand(hand.shows)
    } else {
        words::unseen_by_hand(hand.shows)
    };
    format!("{}: {told}", words::shows(hand.shows, hand.distance_mm))
}

/// What there is to show by hand, and from where.
fn show(ui: &mut Ui, page: &Page, eye: Eye) -> Option<Wanted> {
    let idle = page.in_hand.is_none() && page.ring.is_none() && !page.paused;
    let mut done = None;
    for (shows, mm) in BY_HAND {
        let text = words::shows(shows, Mm(mm));
        if key_button(ui, &text, "", idle) {
            done = Some(Wanted::Command(Command::Hand(HandRequest::Shows {
                eye,
                shows,
                distance: Mm(mm),
            })));
        }
    }
    done
}

/// How the answer is entered: on a pad, or letter by letter.
fn answer(
    ui: &mut Ui,
    theme: &Theme,
    page: &Page,
    set: OptotypeSet,
    keys: &KeyMap,
) -> Option<Wanted> {
    if let Some(InHand::Shows(shows, _)) = page.in_hand {
        let mut done = None;
        for (sees, text) in [
            (true, words::seen_by_hand(shows)),
            (false, words::unseen_by_hand(shows)),
        ] {
            if key_button(ui, &text, "", true) {
                done = Some(Wanted::Command(Command::Sees(sees)));
            }
        }
        return done;
    }
    if set.letters().is_empty() {
        let name = |facing| keys.facing_name(facing);
        let chosen = pad(ui, theme, 232.0, set.facings(), name, keys.unsure_name())?;
        return Some(Wanted::Command(match chosen {
            Chosen::Facing(facing) => Command::Facing { facing, at: None },
            Chosen::Unsure => Command::Unsure,
        }));
    }
    let mut done = None;
    remark(ui, theme, &say::TYPE_READ);
    ui.horizontal(|ui| {
        for (place, (shown, said)) in page.letters.iter().enumerate() {
            let (text, ink) = match said {
                None => (shown.to_string(), theme.ink_soft),
                Some(said) if said == shown => (format!("{shown} ✔"), theme.ink),
                Some(MARKED_WRONG) => (format!("{shown} ✖"), theme.alert),
                Some(said) => (format!("{shown}:{said}"), theme.alert),
            };
            let button = egui::Button::new(RichText::new(text).color(ink));
            let response = ui.add(button.min_size(vec2(44.0, style::TARGET)));
            let told = match said {
                None => say::LETTER_NOT_YET.fill(&[&shown.to_string()]),
                Some(said) => say::LETTER_READ_AS.fill(&[&shown.to_string(), &said.to_string()]),
            };
            response
                .widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, told.clone()));
            if response.clicked() {
                done = Some(Wanted::Mark(place));
            }
        }
    });
    let complete = !page.letters.is_empty() && page.letters.iter().all(|(_, said)| said.is_some());
    if key_button(ui, &say::THAT_WAS_READ, "Enter", complete) {
        done = Some(Wanted::Take);
    }
    if key_button(ui, &say::CANNOT_TELL, "", !page.letters.is_empty()) {
        done = Some(Wanted::Command(Command::Unsure));
    }
    done
}

/// The person's window in small.
fn small(ui: &mut Ui, theme: &Theme, page: &Page) {
    let (rect, response) = ui.allocate_exact_size(vec2(96.0, 96.0), Sense::hover());
    let seen = page.ring.filter(|_| page.picture.is_some());
    let told = seen.map_or(String::from(say::WHITE_FIELD), |ring| words::shown(&ring));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, told.clone()));
    let painter = ui.painter();
    let field = match seen {
        Some(ring) if ring.reverse => Color32::BLACK,
        _ => Color32::WHITE,
    };
    let edge = Stroke::new(line::HAIR, theme.quiet);
    painter.rect(rect, 0.0, field, edge, egui::StrokeKind::Inside);
    let Some(picture) = page.picture.as_ref() else {
        return;
    };
    let id = ui.scope_id().with("the person's window in small");
    let kept: Option<(u64, egui::TextureHandle)> = ui.data(|data| data.get_temp(id));
    let texture = match kept {
        Some((token, texture)) if token == picture.token => texture,
        _ => ui
            .ctx()
            .load_texture("small", picture.image(), egui::TextureOptions::LINEAR),
    };
    ui.data_mut(|data| data.insert_temp(id, (picture.token, texture.clone())));
    let size = texture.size_vec2();
    let size = size * (84.0 / size.x.max(size.y)).min(1.0);
    let tint = if page.shown {
        Color32::WHITE
    } else {
        Color32::from_white_alpha(120)
    };
    let whole = egui::Rect::from_min_max(egui::Pos2::ZERO, egui::pos2(1.0, 1.0));
    let place = egui::Rect::from_center_size(rect.center(), size);
    ui.painter().image(texture.id(), place, whole, tint);
}
