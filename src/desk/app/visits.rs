//! Visits begin here, are gone on with, and give way to the next one.

use super::{Desk, Page, today};
use crate::calibration::{EarphoneProfile, SetUp};
use crate::desk::broken_off::BrokenOff;
use crate::desk::clock::VisitClock;
use crate::desk::hand_over::KeptIn;
use crate::desk::hear::Dial;
use crate::desk::prepare::Wish;
use crate::desk::see_ways::Ways;
use crate::desk::session::{self, Answers, Command, Parts, Sense, Session};
use crate::desk::way::Way;
use crate::desk::words;
use crate::errand::{self, ErrandError};
use crate::person::Simulated;
use crate::quantity::Moment;
use crate::station::SoundStation;
use crate::station::recorder::Recorder;
use std::path::PathBuf;
use std::time::Instant;

impl Desk {
    /// Begins the visit that the form describes, or goes on with the one in its folder.
    pub fn begin(&mut self) {
        if self.aside.busy() {
            self.notice = Some(words::STILL_SOUNDS.into());
            return;
        }
        let done = match self.form.goes_on_with().cloned() {
            Some(visit) => self.go_on(&visit),
            None => self.try_begin(),
        };
        self.notice = done.err();
    }

    pub(super) fn try_begin(&mut self) -> Result<(), String> {
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
        let station = deep_enough(station, begin.set_up.earphone.as_ref())?;
        let recorder = self.listens(&begin.set_up)?;
        let now = (self.clock)();
        let clock = VisitClock::new(now, Moment::START, speed);
        let answers = match case {
            Some((case, seed)) => Answers::Simulated(Box::new(Simulated::new(case, seed))),
            None => Answers::Living(hand),
        };
        let mut session = if self.records.for_person().is_some() {
            self.begin_in_store(&begin, clock, station, answers)?
        } else {
            let session = session::begin(&begin, clock, station, answers);
            session.map_err(|error: ErrandError| error.to_string())?
        };
        if let Some(recorder) = recorder {
            session.listen_with(recorder);
        }
        self.sound_wish = sound;
        self.sit_down(session, notes, now);
        Ok(())
    }

    /// Begins a visit that the store keeps.
    fn begin_in_store(
        &mut self,
        begin: &errand::Begin,
        clock: VisitClock,
        sound: Option<Box<dyn SoundStation>>,
        answers: Answers,
    ) -> Result<Session, String> {
        let archive = self
            .records
            .archive_mut()
            .ok_or("Store: one that is open")?;
        let begun = errand::begin_in(archive, begin);
        let (code, visit) = begun.map_err(|error| error.to_string())?;
        self.records.began(code);
        Ok(Session::new(Parts {
            visit,
            folder: self.records.place().to_owned(),
            writes_results: false,
            clock,
            sound,
            answers,
        }))
    }

    /// Goes on with a visit that was broken off, as it began.
    fn go_on(&mut self, broken_off: &BrokenOff) -> Result<(), String> {
        if let Some(first) = self.missing().into_iter().next() {
            return Err(first);
        }
        let folder = PathBuf::from(self.form.folder.trim());
        let sound = self
            .form
            .output()
            .filter(|_| broken_off.opening.plan.hearing.is_some() && !broken_off.offline())
            .map(|device| (device.id.clone(), self.form.rate_hz()));
        let in_store = self
            .records
            .under_way()
            .cloned()
            .filter(|_| self.form.left_open.is_some());
        let mut visit = match (&in_store, self.records.archive_mut()) {
            (Some(code), Some(archive)) => {
                let journal = archive.go_on_with(code);
                crate::visit::Visit::over(journal.map_err(|error| error.to_string())?)
            }
            _ => errand::resume(&folder).map_err(|error| error.to_string())?,
        };
        let folder = in_store
            .as_ref()
            .map_or(folder, |_| self.records.place().to_owned());
        let answers = match self.form.case.value().filter(|_| broken_off.simulated()) {
            Some(case) => {
                let mut person = Simulated::new(case.clone(), self.form.seeds().1);
                errand::recall(visit.record(), &mut person).map_err(|error| error.to_string())?;
                Answers::Simulated(Box::new(person))
            }
            None => Answers::Living(self.form.hand),
        };
        let station = match &sound {
            Some((id, rate_hz)) => Some(self.station(id, *rate_hz)?),
            None => None,
        };
        let last = visit.record().last_moment();
        // Made time goes on where it stood, real time has passed.
        let (goes_on_at, speed) = if broken_off.offline() {
            (last, self.form.speed())
        } else {
            let since = jiff::Timestamp::now().duration_since(visit.journal().epoch());
            (last.max(Moment::from_seconds(since.as_secs_f64())), 1.0)
        };
        let now = (self.clock)();
        visit
            .resume(goes_on_at)
            .map_err(|error| error.to_string())?;
        let recorder = self.listens(&broken_off.opening.set_up)?;
        let mut session = Session::new(Parts {
            visit,
            folder,
            writes_results: in_store.is_none(),
            clock: VisitClock::new(now, goes_on_at, speed),
            sound: station,
            answers,
        });
        if let Some(recorder) = recorder {
            session.listen_with(recorder);
        }
        self.sound_wish = sound;
        self.sit_down(session, self.form.notes(), now);
        Ok(())
    }

    /// The microphone that listens to the room, where the set-up asks for one.
    fn listens(&self, set_up: &SetUp) -> Result<Option<Box<dyn Recorder>>, String> {
        let Some(watch) = &set_up.watch else {
            return Ok(None);
        };
        let microphone = watch.microphone.record();
        (self.open_input)(microphone.device.as_deref(), microphone.rate_hz).map(Some)
    }

    /// From now on this visit is under way.
    pub(in crate::desk) fn sit_down(
        &mut self,
        mut session: Session,
        notes: Vec<String>,
        now: Instant,
    ) {
        let acts = self.records.acting_now();
        if let Some(who) = acts.filter(|who| session.record().acting() != Some(who)) {
            session.command(Command::Acts(who), now);
        }
        for note in notes {
            session.command(Command::Note(note), now);
        }
        for note in self.form.sound_notes() {
            session.command(Command::Sound(note), now);
        }
        let way = self.form.around.route.clone();
        if let Some(watch) = way.filter(|_| self.sound_wish.is_some()) {
            session.watch_way(watch);
        }
        self.dial = Dial::of(session.record());
        self.eye_dial = crate::desk::see::Dial::default();
        let plan = &session.record().opening.plan;
        self.ways = Ways {
            way: plan.sight.as_ref().map(Way::of).unwrap_or_default(),
            ..Ways::default()
        };
        if plan.hearing.is_none() && plan.sight.is_none() {
            self.page = Page::Bedside;
        }
        self.card = false;
        self.taken_out = None;
        let in_store = self
            .records
            .under_way()
            .filter(|_| !session.writes_results());
        self.kept_in = Some(match in_store {
            Some(visit) => KeptIn::Store(visit.clone()),
            None => KeptIn::Folder(session.folder().to_owned()),
        });
        self.session = Some(session);
    }

    /// Makes room for the next visit on the same set-up; the person, the ears and the cautions
    /// have to be seen to anew.
    pub fn new_visit(&mut self) {
        let open = |session: &Session| !session.record().closed();
        if self.session.as_ref().is_none_or(open) {
            return;
        }
        self.session = None;
        self.figures = None;
        self.written = None;
        self.by_hand = self.by_hand.next();
        self.notice = None;
        self.sound_wish = None;
        self.followed = (Sense::Neither, false);
        self.page = Page::Prepare;
        self.form.next(self.reference.take());
    }

    /// Goes back to the exercises, after one.
    pub(in crate::desk) fn practise_again(&mut self) {
        self.new_visit();
        self.practising.under_way = None;
        self.practising.debrief = None;
        self.page = Page::Practise;
    }

    pub(super) fn station(
        &mut self,
        id: &str,
        rate_hz: u32,
    ) -> Result<Box<dyn SoundStation>, String> {
        match self.sound.take() {
            Some(station) if station.frames_per_second() == rate_hz && self.sound_id == id => {
                Ok(station)
            }
            _ => {
                id.clone_into(&mut self.sound_id);
                (self.open_sound)(id, rate_hz)
            }
        }
    }

    /// Opens the output again after it was lost.
    pub(in crate::desk) fn open_sound_again(&mut self) {
        let Some((id, rate_hz)) = self.sound_wish.clone() else {
            return;
        };
        let unsettled = self
            .session
            .as_ref()
            .is_some_and(Session::profile_unsettled);
        if unsettled {
            self.notice = Some(words::SOUND_CHANGED.into());
            return;
        }
        match ((self.open_sound)(&id, rate_hz), &mut self.session) {
            (Ok(station), Some(session)) => session.give_sound(station),
            (Err(error), _) => self.notice = Some(error),
            (Ok(_), None) => {}
        }
    }

    pub(super) fn save_reference(&mut self) {
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
            Ok(()) => {
                self.written = Some(format!(
                    "Saved: {}. The next visit takes it as its earphone profile.",
                    path.display()
                ));
                self.reference = Some(path);
            }
            Err(error) => self.notice = Some(error),
        }
    }
}

/// Refuses an output that takes fewer bits than the profile was made for.
fn deep_enough(
    station: Option<Box<dyn SoundStation>>,
    earphone: Option<&EarphoneProfile>,
) -> Result<Option<Box<dyn SoundStation>>, String> {
    let (Some(mut station), Some(earphone)) = (station, earphone) else {
        return Ok(None);
    };
    if let Some(bits) = earphone.depth_bits() {
        station.set_depth(bits).map_err(|error| error.to_string())?;
    }
    Ok(Some(station))
}
