//! The store at the desk: its page, and the lock.

use super::{Desk, Page};
use crate::desk::hand_over::KeptIn;
use crate::desk::keys::Action;
use crate::desk::people::{self, Records, Wanted};
use crate::desk::session::Command;
use crate::desk::words;
use crate::store::Cost;
use eframe::egui::{Context, Event, Key, Ui};
use std::path::PathBuf;
use std::time::Instant;

impl Desk {
    /// Takes the store at this place.
    pub fn with_store(&mut self, place: PathBuf) {
        self.records = Records::at(place, (self.clock)());
    }

    /// The store.
    pub fn records_mut(&mut self) -> &mut Records {
        &mut self.records
    }

    /// Whether the desk may be locked: never while something is presented, nor while a step of sight
    /// or at the bedside is open.
    #[must_use]
    pub fn may_lock(&self) -> bool {
        let Some(session) = &self.session else {
            return !self.checking_ears();
        };
        let record = session.record();
        let step_open = self.by_hand.step_open(session);
        record.closed() || (session.rests() && session.presenting().is_none() && !step_open)
    }

    /// Takes a key on behalf of the lock: it locks, or while it is on nothing but silence is heard of.
    pub(super) fn locked_takes(&mut self, key: Key) -> bool {
        let locked = self.records.locked();
        if locked && self.settings.keys.action(key) == Some(Action::Stop) {
            self.command(Command::Stop);
        }
        locked
    }

    /// Locks at once, if that may be now.
    pub(super) fn lock_now(&mut self) {
        if self.may_lock() {
            self.records.lock();
        } else {
            self.notice = Some(words::NOT_NOW.into());
        }
    }

    pub(super) fn watch_lock(&mut self, ctx: &Context, now: Instant) {
        let did_something = ctx.input(|input| {
            let did = |event: &Event| {
                matches!(
                    event,
                    Event::Key { .. }
                        | Event::Text(_)
                        | Event::PointerMoved(_)
                        | Event::PointerButton { .. }
                )
            };
            input.events.iter().any(did)
        });
        if did_something {
            self.records.touch(now);
        }
        let may = self.may_lock();
        self.records.lock_if_idle(now, may);
    }

    pub(super) fn draw_lock(&mut self, ui: &mut Ui) {
        if people::draw_locked(ui, &self.theme, &mut self.records) == Some(Wanted::Open) {
            self.records.touch((self.clock)());
            self.records.open_typed();
        }
    }

    pub(super) fn draw_people(&mut self, ui: &mut Ui) {
        let busy = self
            .session
            .as_ref()
            .is_some_and(|session| !session.record().closed());
        let Some(wanted) = people::draw(ui, &self.theme, &mut self.records) else {
            return;
        };
        match wanted {
            Wanted::Found => self.records.found(Cost::USUAL),
            Wanted::Sheet => self.records.write_sheet(),
            Wanted::SheetDone => self.records.sheet_done(),
            Wanted::Open => self.records.open_typed(),
            Wanted::Choose(person) => self.records.choose(person.map(|person| *person)),
            Wanted::Add => self.records.add(),
            Wanted::Compare => self.records.compare(),
            Wanted::Show(visit) => self.records.show(&visit),
            Wanted::Note => self.records.note(),
            Wanted::Correct => self.records.correct(),
            Wanted::EraseVisit => self.records.erase_visit(),
            Wanted::ErasePerson => self.records.erase_person(),
            Wanted::AddUser => self.records.add_user(),
            Wanted::UserLeaves(user) => self.records.user_leaves(&user),
            Wanted::Restore => self.records.restore(),
            Wanted::CorrectPerson => self.records.correct_person(),
            Wanted::BringIn => self.records.bring_in(),
            Wanted::EnterResults => self.records.enter_results(),
            Wanted::MoveVisit => self.records.move_visit(),
            Wanted::StopWork => self.records.stop_work(),
            Wanted::Lock => self.lock_now(),
            Wanted::Acts(user, supervisor) => {
                self.records.acts(user, supervisor);
                self.tell_who_acts();
            }
            // The visit under way needs the store when it is over.
            Wanted::BackUp
            | Wanted::CheckAll
            | Wanted::Visit(_)
            | Wanted::GoOn(_)
            | Wanted::Report(_)
                if busy =>
            {
                self.notice = Some(words::CLOSE_FIRST.into());
            }
            Wanted::BackUp => self.records.back_up(),
            Wanted::CheckAll => self.records.check_all(),
            Wanted::Visit(person) => {
                self.new_visit();
                self.form.simulated = false;
                self.form.code = person.to_string();
                self.records.visit_for(Some(person));
                self.page = Page::Prepare;
            }
            Wanted::Report(visit) => {
                let lines = visit.signed.as_ref().map_or(0, |signed| signed.lines);
                self.taken_out = Some((KeptIn::Store(visit.code), lines));
                self.page = Page::HandOver;
            }
            Wanted::GoOn(visit) => {
                self.new_visit();
                self.form.left_open = self.records.left_open(&visit);
                self.form.simulated = visit.simulated.is_some();
                self.records.began(visit.code);
                self.page = Page::Prepare;
            }
        }
    }

    /// The visit under way keeps who acts from here on.
    fn tell_who_acts(&mut self) {
        let open = self
            .session
            .as_ref()
            .is_some_and(|session| !session.record().closed());
        if let Some(who) = self.records.acting_now().filter(|_| open) {
            self.command(Command::Acts(who));
        }
    }
}
