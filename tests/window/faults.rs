//! Faults of the sound device, injected at random places of a visit: what they hit is void, with its
//! reason, and nothing else; nothing is lost, and the visit goes on.

use crate::{folder, in_project};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::time::Instant;
use veridical::calibration::{EarphoneProfile, SetUp};
use veridical::desk::clock::VisitClock;
use veridical::desk::session::{self, Answers, Command, Session};
use veridical::errand::{self, Begin, JOURNAL_FILE};
use veridical::finding::exposure;
use veridical::journal::PersonKind;
use veridical::person::{Case, Simulated};
use veridical::quantity::{Draws, Moment, Stream};
use veridical::station::manual::ManualSound;
use veridical::station::route::{Route, RouteWatch};
use veridical::station::{Loss, OutputFacts, PlayError, SoundEvent, SoundStation, TooShallow};
use veridical::stimulus::sound::Rendered;

const RATE_HZ: u32 = 48_000;
const BUFFER: usize = 1024;
const FAULTS: usize = 200;
const SEED: u64 = 20_261_127;

/// A device in the test's hand, and the slot that it plays as far as the session has been told.
#[derive(Clone)]
pub(crate) struct Device {
    sound: Rc<RefCell<ManualSound>>,
    playing: Rc<RefCell<Option<u32>>>,
}

impl Device {
    pub(crate) fn opened(at: Instant) -> Device {
        let sound = ManualSound::new(RATE_HZ, BUFFER).opened_at(at);
        Device {
            sound: Rc::new(RefCell::new(sound)),
            playing: Rc::default(),
        }
    }

    /// How far it has played.
    pub(crate) fn now(&self) -> Instant {
        let sound = self.sound.borrow();
        sound.time_of(sound.captured().len() as u64 / 2)
    }

    /// All that it has played, left and right in turn.
    pub(crate) fn played(&self) -> Vec<f32> {
        self.sound.borrow().captured().to_vec()
    }

    /// Plays so many frames; the energy in them.
    pub(crate) fn advance(&self, frames: usize) -> f64 {
        self.sound.borrow_mut().advance(frames);
        let sound = self.sound.borrow();
        let played = sound.captured();
        let played = &played[played.len() - 2 * frames..];
        played.iter().map(|sample| f64::from(*sample).powi(2)).sum()
    }
}

impl SoundStation for Device {
    fn frames_per_second(&self) -> u32 {
        self.sound.borrow().frames_per_second()
    }
    fn play(&mut self, id: u32, slot: Rendered) -> Result<(), PlayError> {
        self.sound.borrow_mut().play(id, slot)
    }
    fn stop(&mut self) {
        self.sound.borrow_mut().stop();
    }
    fn set_ceiling(&mut self, ceiling: [f32; 2]) {
        self.sound.borrow_mut().set_ceiling(ceiling);
    }
    fn set_depth(&mut self, bits: u32) -> Result<(), TooShallow> {
        self.sound.borrow_mut().set_depth(bits)
    }
    fn facts(&self) -> Option<OutputFacts> {
        self.sound.borrow().facts()
    }
    fn poll(&mut self) -> Option<SoundEvent> {
        let event = self.sound.borrow_mut().poll()?;
        match event {
            SoundEvent::Began { id, .. } => {
                self.playing.replace(Some(id));
            }
            SoundEvent::Ended { .. } | SoundEvent::Lost(_) => {
                self.playing.replace(None);
            }
        }
        Some(event)
    }
}

/// A visit whose simulated person hears by `device`, in the device's own time.
fn visit(name: &str, device: &Device) -> Session {
    visit_of(name, device, "average", 1.0)
}

/// The same of another case and with tones of another length, s.
pub(crate) fn visit_of(name: &str, device: &Device, case: &str, tone_s: f64) -> Session {
    let text = std::fs::read_to_string(in_project("calibration/example-circumaural.toml")).unwrap();
    let earphone = EarphoneProfile::from_toml(&text, "example").unwrap();
    let mut plan = errand::plan_of("full", None).unwrap();
    plan.sight = None;
    if let Some(hearing) = &mut plan.hearing {
        (hearing.tone_s, hearing.lead_s) = (tone_s, [0.3, 0.6]);
    }
    let begin = Begin {
        folder: folder(name),
        seed: SEED,
        person: PersonKind::Simulated {
            title: "a test".into(),
        },
        set_up: SetUp {
            name: "a device in the test's hand".into(),
            earphone: Some(earphone),
            ..SetUp::simulated()
        },
        plan,
        epoch: errand::epoch_of_simulations(),
    };
    let case = in_project(&format!("demo/cases/{case}.toml"));
    let case = Case::read(case.as_ref()).unwrap();
    let answers = Answers::Simulated(Box::new(Simulated::new(case, SEED)));
    let origin = device.sound.borrow().time_of(0);
    let clock = VisitClock::new(origin, Moment::START, 1.0);
    session::begin(&begin, clock, Some(Box::new(device.clone())), answers).unwrap()
}

#[test]
fn two_hundred_faults_void_what_they_hit_and_nothing_else() {
    let mut device = Device::opened(Instant::now());
    let mut session = visit("faults", &device);
    let mut draws = Draws::new(SEED, Stream::Noise, 1);
    let (mut hit, mut beside, mut lost) = (BTreeSet::new(), 0, 0);
    let mut now = device.sound.borrow().time_of(0);
    // The presentation that a fault is meant for, and how many buffers after its beginning.
    let mut meant: Option<(u32, usize)> = None;
    let mut tried = BTreeSet::new();
    // When all have been injected the visit still goes on.
    let mut trials_then = None;
    let trials = |session: &Session| session.record().trials().len();
    while trials_then.is_none_or(|then| trials(&session) < then + 10) {
        device.sound.borrow_mut().advance(BUFFER);
        let frames = device.sound.borrow().captured().len() as u64 / 2;
        now = device.sound.borrow().time_of(frames).max(now);
        session.poll(now);
        let playing = *device.playing.borrow();
        if let Some(n) =
            playing.filter(|n| hit.len() < FAULTS && tried.insert(*n) && draws.chance(0.7))
        {
            meant = Some((n, draws.below(60)));
        }
        match (meant, playing) {
            (Some((n, 0)), Some(on)) if n == on => {
                let mut sound = device.sound.borrow_mut();
                match draws.below(5) {
                    0 => sound.pull_out(),
                    1 => sound.lose(Loss::Failing),
                    2 => sound.lose(Loss::Stalled),
                    3 => sound.run_dry(),
                    _ => sound.falter(),
                }
                hit.insert(n);
                meant = None;
            }
            (Some((n, after)), Some(on)) if n == on => meant = Some((n, after - 1)),
            // It was over before its fault came.
            (Some(_), _) => meant = None,
            // Before a slot has begun a fault hits nobody.
            (None, None) if draws.chance(0.5) => {
                device.sound.borrow_mut().run_dry();
                beside += 1;
            }
            _ => {}
        }
        session.poll(now);
        if session.sound_lost() {
            lost += 1;
            assert!(session.record().paused(), "a lost device pauses");
            assert_eq!(session.presenting().map(|planned| planned.n), None);
            device = Device::opened(now);
            session.give_sound(Box::new(device.clone()));
        }
        if session.record().paused() {
            session.command(Command::PauseOrContinue, now);
        } else if session.waiting().is_some() {
            session.command(Command::Confirm, now);
        }
        if hit.len() == FAULTS && trials_then.is_none() {
            trials_then = Some(trials(&session));
        }
    }
    let record = session.record();
    let voids: BTreeSet<u32> = record.voids().iter().map(|void| void.planned.n).collect();
    let trials: BTreeSet<u32> = record
        .trials()
        .iter()
        .map(|trial| trial.planned.n)
        .collect();
    println!(
        "{FAULTS} faults in slots ({lost} of them a lost device) and {beside} beside them, seed {SEED}: {} void, \
         {} trials",
        voids.len(),
        trials.len()
    );
    assert_eq!(voids, hit, "void is what was hit, and nothing else");
    assert!(voids.is_disjoint(&trials));
    assert!(record.voids().iter().all(|void| !void.reason.is_empty()));
    assert!(beside > 20 && lost > 50, "{beside} {lost}");
    // Nothing is lost: every number is a trial, void, or the one that is open.
    let open = record.open().map(|open| open.planned.n);
    let known: BTreeSet<u32> = voids.union(&trials).copied().chain(open).collect();
    assert_eq!(known, (1..record.next_number()).collect());
    // Each output that was opened is on record, with how exactly a response is timed on it: buffers of
    // 1024 frames are 21.3 ms, over the root of 12 6.2 ms; 8.2 ms with keyboard and window.
    assert_eq!(record.outputs().len(), 1 + lost);
    let timing = record.outputs()[0].timing;
    assert!((timing.u_onset_ms - 6.16).abs() < 0.01 && (timing.u_response_ms - 8.2).abs() < 0.1);
    // What sounded is counted for each ear; the example's earphone was measured.
    let exposure = exposure(record).unwrap();
    assert!(!exposure.assumed && exposure.right.sound_s + exposure.left.sound_s > 100.0);
    assert!(exposure.most_of_a_day() < 0.01, "{exposure:?}");
    let journal = session.folder().join(JOURNAL_FILE);
    assert!(errand::check(&journal).unwrap().holds);
}

/// The sound comes back on an output of another rate than the visit began with: nothing is played on
/// it, because its profile was made for the other one.
#[test]
fn an_output_that_comes_back_as_another_one_is_not_taken() {
    let device = Device::opened(Instant::now());
    let mut session = visit("another-output", &device);
    let now = device.sound.borrow().time_of(0);
    session.poll(now);
    session.command(Command::Confirm, now);
    session.poll(now);
    device.sound.borrow_mut().advance(BUFFER);
    device.sound.borrow_mut().pull_out();
    session.poll(now);
    assert!(session.sound_lost() && !session.profile_unsettled());
    let other = Device {
        sound: Rc::new(RefCell::new(
            ManualSound::new(44_100, BUFFER).opened_at(now),
        )),
        playing: Rc::default(),
    };
    session.give_sound(Box::new(other.clone()));
    assert!(session.profile_unsettled() && session.record().paused());
    session.command(Command::PauseOrContinue, now);
    session.poll(now);
    other.sound.borrow_mut().advance(48_000);
    assert!(session.record().paused(), "nothing goes on");
    assert!(
        other
            .sound
            .borrow()
            .captured()
            .iter()
            .all(|sample| sample.abs() <= 1.0 / 8_388_608.0)
    );
    // The one of before is taken again.
    session.give_sound(Box::new(Device::opened(now)));
    session.command(Command::PauseOrContinue, now);
    assert!(!session.record().paused());
}

/// Somebody turns the system's volume in the middle of a presentation: it is void, and nothing is
/// presented until the volume stands again where it stood when the visit began.
#[test]
fn a_turned_volume_pauses_until_it_is_turned_back() {
    let at = |percent| Route {
        volume_percent: Some([percent, percent]),
        by_server: true,
        ..Route::default()
    };
    let device = Device::opened(Instant::now());
    let mut session = visit("turned-volume", &device);
    let watch = RouteWatch::default();
    watch.tell(at(74));
    session.watch_way(watch.clone());
    let now = device.now();
    session.poll(now);
    session.command(Command::Confirm, now);
    session.poll(now);
    device.advance(20 * BUFFER);
    session.poll(device.now());
    assert!(session.presenting().is_some() && !session.record().paused());
    watch.tell(at(60));
    session.poll(device.now());
    assert!(session.record().paused());
    assert_eq!(session.record().voids().len(), 1);
    let told = session.message().unwrap();
    assert!(
        told.contains("is 60 %, it was 74 %") && !told.contains('\n'),
        "{told}"
    );
    session.command(Command::PauseOrContinue, device.now());
    assert!(session.record().paused(), "it stands elsewhere still");
    watch.tell(at(74));
    session.poll(device.now());
    session.command(Command::PauseOrContinue, device.now());
    assert!(!session.record().paused());
}
