//! Two turns, of which one has the tone: how a living person is asked, and what their window shows.

use crate::faults::Device;
use crate::{folder, in_project};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::time::Instant;
use veridical::calibration::{EarphoneProfile, SetUp};
use veridical::desk::clock::VisitClock;
use veridical::desk::keys::KeyMap;
use veridical::desk::person_window::{Happened, PersonWindow, View};
use veridical::desk::session::{self, Answers, Command, Session, Turn, Waiting};
use veridical::desk::set_up;
use veridical::desk::style::Theme;
use veridical::errand::{self, Begin};
use veridical::journal::{Outcome, PersonKind, Planned, Purpose, WhoPressed};
use veridical::quantity::{Ear, Hz, Moment};
use veridical::stimulus::Task;

const BUFFER: usize = 1024;
/// What the person of this test hears from, dB HL.
const HEARS_FROM_DB: f64 = 20.0;
const CHOICES: usize = 12;

fn visit(device: &Device) -> Session {
    let text = std::fs::read_to_string(in_project("calibration/example-circumaural.toml")).unwrap();
    let mut plan = errand::plan_of("full", None).unwrap();
    plan.sight = None;
    let hearing = plan.hearing.as_mut().unwrap();
    (hearing.hz, hearing.ears) = (vec![Hz(1000.0)], vec![Ear::Right]);
    hearing.agreement.choices_near = CHOICES as u32;
    hearing.agreement.company = 2;
    let begin = Begin {
        folder: folder("turns"),
        seed: 20_261_128,
        person: PersonKind::Living { code: "H7".into() },
        set_up: SetUp {
            name: "a device in the test's hand".into(),
            earphone: Some(EarphoneProfile::from_toml(&text, "example").unwrap()),
            ..SetUp::simulated()
        },
        plan,
        epoch: errand::epoch_of_simulations(),
    };
    let clock = VisitClock::new(device.now(), Moment::START, 1.0);
    let answers = Answers::Living(WhoPressed::Person);
    session::begin(&begin, clock, Some(Box::new(device.clone())), answers).unwrap()
}

/// Presses once for a tone that is loud enough, a while after it was handed to the device.
#[derive(Default)]
struct Presser {
    seen: Option<(u32, Instant)>,
    pressed: u32,
}

impl Presser {
    fn press(&mut self, session: &mut Session, planned: &Planned, now: Instant) {
        let tone = planned.presentation.tones().next();
        let Some(tone) = tone.filter(|tone| tone.level.db() >= HEARS_FROM_DB) else {
            return;
        };
        let seen = self.seen.filter(|(n, _)| *n == planned.n);
        let (_, since) = *self.seen.insert(seen.unwrap_or((planned.n, now)));
        let due_s = tone.start_s + 0.5;
        if self.pressed != planned.n && now.duration_since(since).as_secs_f64() > due_s {
            self.pressed = planned.n;
            session.command(Command::Heard { at: now, by: None }, now);
        }
    }
}

/// The turns that one choice went through, each with the energy that sounded meanwhile.
type Passed = Vec<(Turn, f64)>;

fn note(passed: &mut Passed, turn: Turn, energy: f64) {
    match passed.last_mut() {
        Some((last, sum)) if *last == turn => *sum += energy,
        _ => passed.push((turn, energy)),
    }
}

#[test]
fn a_choice_is_explained_marked_and_taken_when_both_turns_are_over() {
    let device = Device::opened(Instant::now());
    let mut session = visit(&device);
    let (mut waited, mut person, mut last) = (Vec::new(), Presser::default(), 0);
    let mut passed: Passed = Vec::new();
    let mut choices = Vec::new();
    for _ in 0..60_000 {
        let energy = device.advance(BUFFER);
        let now = device.now();
        session.poll(now);
        if let Some(waiting) = session.waiting() {
            assert!(waiting != Waiting::ToBeLoud, "the person is heard");
            waited.push(waiting);
            if waiting == Waiting::ToClose {
                break;
            }
            session.command(Command::Confirm, now);
        }
        let Some(planned) = session.presenting().cloned() else {
            continue;
        };
        if planned.presentation.task != Task::Interval {
            assert!(session.turn(now).is_none(), "single tones have no turns");
            person.press(&mut session, &planned, now);
            continue;
        }
        if std::mem::replace(&mut last, planned.n) != planned.n {
            passed.clear();
        }
        let turn = session.turn(now).unwrap();
        note(&mut passed, turn, energy);
        let holds = planned
            .presentation
            .sounds()
            .next()
            .unwrap()
            .interval
            .unwrap();
        if turn == Turn::Choose {
            choices.push((holds, std::mem::take(&mut passed)));
        }
        let chosen = Some(now);
        // Pressed all the time: nothing is taken before both turns are over.
        session.command(
            Command::Turn {
                interval: holds,
                chosen,
            },
            now,
        );
        let taken = session
            .record()
            .trials()
            .iter()
            .any(|trial| trial.planned.n == planned.n);
        assert_eq!(taken, turn == Turn::Choose);
    }
    let order = [
        Waiting::ToHear,
        Waiting::ToTakeTurns,
        Waiting::ToHearAgain,
        Waiting::ToClose,
    ];
    assert_eq!(waited, order, "each is explained once");
    assert_eq!(choices.len(), CHOICES);
    for (holds, passed) in &choices {
        let turns: Vec<Turn> = passed.iter().map(|(turn, _)| *turn).collect();
        let shown = [Turn::Listen, Turn::First, Turn::Listen, Turn::Second];
        assert_eq!(turns[..4], shown, "whichever has the tone");
        assert_eq!(turns.last(), Some(&Turn::Choose));
        // What is lit is what sounds: nearly all energy lies in the turn that holds the tone.
        let lit = passed[if *holds == 1 { 1 } else { 3 }].1;
        let all: f64 = passed.iter().map(|(_, energy)| energy).sum();
        assert!(lit > 0.85 * all, "{holds}: {passed:?}");
    }
    assert!((1..=2).all(|one| choices.iter().any(|(holds, _)| *holds == one)));
    let record = session.record();
    let right = record.trials().iter().filter(|trial| {
        trial.purpose() == Purpose::ForcedChoice
            && matches!(trial.outcome, Outcome::Interval { after_s: Some(after_s), .. } if after_s > 2.5)
    });
    assert_eq!(
        right.count(),
        CHOICES,
        "each with the time of the person's own hand"
    );
}

/// The window marks the turns and takes a choice only when both are over.
#[test]
fn the_window_of_turns_takes_a_choice_at_their_end() {
    let window = PersonWindow::new(Theme::PAPER, KeyMap::default());
    let of = window.clone();
    let builder = Harness::builder().with_size([1280.0, 720.0]);
    let mut harness = builder.with_context_setup(set_up).build_ui(move |ui| {
        of.ui(ui);
    });
    for turn in [Turn::Listen, Turn::First, Turn::Second, Turn::Choose] {
        let _ = window.set(View::Turns(turn));
        harness.run_steps(2);
        harness.get_by_label("2").click();
        harness.run_steps(2);
        let chosen = window.take();
        let chosen = chosen.iter().find_map(|one| match one {
            Happened::Turn { interval, .. } => Some(*interval),
            _ => None,
        });
        assert_eq!(chosen, (turn == Turn::Choose).then_some(2), "{turn:?}");
    }
}
