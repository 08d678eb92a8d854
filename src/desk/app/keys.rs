//! What keys mean in either window, and what the examiner's do.

use super::{Desk, Page};
use crate::desk::keys::Action;
use crate::desk::remembered;
use crate::desk::session::{Command, HOLD_S, Sense, Session};
use crate::desk::spelling::Spelled;
use crate::journal::WhoPressed;
use crate::quantity::Ear;
use crate::stimulus::Facing;
use eframe::egui::{self, Context, Key};
use std::time::Instant;

impl Desk {
    /// Takes in whether the key that confirms is down: held long enough, it confirms loud sounds.
    /// It must have come up since the step began to wait, so that a press before it is none.
    pub(super) fn hold(&mut self, down: bool, pressed: bool, now: Instant) {
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

    /// A key in either window.
    pub fn key(&mut self, key: Key, at: Instant) {
        if self.locked_takes(key) {
            return;
        }
        if self.giving.task.is_some() {
            return self.give_key(key);
        }
        if let Some(page) = self.settings.keys.page(key) {
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
            let action = self
                .settings
                .keys
                .action(key)
                .filter(|one| plain.contains(one));
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
            if self.settings.keys.unsure(key) && sees {
                return self.command(Command::Unsure);
            }
            if let Some(facing) = self.settings.keys.facing(key).filter(|_| sees) {
                return self.command(Command::Facing {
                    facing,
                    at: Some(at),
                });
            }
            let turns = running && session.turn(at).is_some();
            if let Some(facing) = self.settings.keys.facing(key).filter(|_| turns) {
                let interval = match facing {
                    Facing::Left => 1,
                    Facing::Right => 2,
                    _ => return,
                };
                let chosen = Some(at);
                return self.command(Command::Turn { interval, chosen });
            }
            if self.settings.keys.hears(key) && running {
                return self.command(Command::Heard { at, by: None });
            }
        } else if self.checking_ears()
            && let Some(side) = self.settings.keys.facing(key)
        {
            return match side {
                Facing::Left => self.side(Ear::Left),
                Facing::Right => self.side(Ear::Right),
                _ => {}
            };
        }
        if let Some(action) = self.settings.keys.action(key) {
            self.act(action, at);
        }
    }

    /// Does what a key or a button of the examiner means.
    pub fn act(&mut self, action: Action, at: Instant) {
        match action {
            Action::Keys => self.keys_shown = !self.keys_shown,
            Action::FullScreen => self.full_screen = !self.full_screen,
            Action::Lock => self.lock_now(),
            Action::CautionsRead => {
                let before = self.session.is_none() && !self.checking_ears();
                self.form.cautions ^= before;
            }
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

    pub(super) fn take_keys(&mut self, ctx: &Context) {
        let confirm = self.settings.keys.key(Action::Confirm);
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
            let stops = self.settings.keys.action(key) == Some(Action::Stop);
            // A control that has the focus takes Enter itself.
            let taken = writing || (focused && key == Key::Enter);
            if !held && (stops || !taken) {
                self.key(key, at);
            }
        }
    }

    /// A key for the task that waits for one on the page of the settings.
    fn give_key(&mut self, key: Key) {
        let before = self.settings.keys.clone();
        self.giving.take(key, &mut self.settings.keys);
        if self.settings.keys != before {
            self.person.take_keys(&self.settings.keys);
            if self.own_window {
                remembered::keep_settings(&self.settings);
            }
        }
    }
}
