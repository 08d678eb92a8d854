//! The pages are drawn, and what was wanted on them is done.

use super::{Desk, Page, today};
use crate::desk::session::Command;
use crate::desk::settings_page;
use crate::desk::words::{self, speaking};
use crate::desk::{bench_page, by_hand_page, frame, hear, practise_page, prepare_page, see, weigh};
use crate::quantity::Scale;
use eframe::egui::{self, Ui};
use std::path::PathBuf;

impl Desk {
    /// Draws the examiner's window.
    pub fn draw(&mut self, ui: &mut Ui) {
        speaking(self.settings.lang, || self.draw_all(ui));
    }

    fn draw_all(&mut self, ui: &mut Ui) {
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
                match hear::draw(
                    ui,
                    &self.theme,
                    &page,
                    &figures.audiogram,
                    &self.settings.keys,
                ) {
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
                    &self.settings.keys,
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
            (Page::Settings, ..) => self.draw_settings(ui),
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

    fn draw_settings(&mut self, ui: &mut Ui) {
        let mut settings = self.settings.clone();
        settings_page::draw(ui, &self.theme, &mut settings, &mut self.giving);
        if settings != self.settings {
            self.set(ui.ctx(), settings);
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
            keys: &self.settings.keys,
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
                let told =
                    |path: PathBuf| words::prepare::WRITTEN.fill(&[&path.display().to_string()]);
                self.notice = Some(written.map_or_else(|error| error, told));
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
}
