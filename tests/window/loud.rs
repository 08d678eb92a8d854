//! Loud sounds come only after a confirmation that is held, and three at most for one.

use crate::faults::{Device, visit_of};
use crate::{play, played, window, with_sound};
use eframe::egui::Key;
use std::time::{Duration, Instant};
use veridical::desk::Desk;
use veridical::desk::keys::Action;
use veridical::desk::session::{Command, HOLD_S, Waiting};
use veridical::journal::{Planned, Record};

/// A buffer of the device in its own time: the visit's clock is the real one.
fn buffer(desk: &mut Desk) {
    let start = Instant::now();
    desk.advance(start);
    std::thread::sleep(Duration::from_secs_f64(1024.0 / 48_000.0));
    // On a busy machine it was longer, and the device must not fall behind.
    play((start.elapsed().as_secs_f64() * 48_000.0) as usize);
}

/// Plays on until `count` presentations are recorded, or for far too long.
fn recorded(desk: &mut Desk, count: usize) -> bool {
    let trials = |desk: &Desk| desk.session().unwrap().record().trials().len();
    for _ in 0..1000 {
        if trials(desk) >= count {
            break;
        }
        buffer(desk);
    }
    trials(desk) == count
}

fn loudest(from: usize) -> f32 {
    played()[from..]
        .iter()
        .fold(0.0, |most, sample| sample.abs().max(most))
}

fn waits(desk: &Desk) -> bool {
    desk.session().unwrap().waiting() == Some(Waiting::ToBeLoud)
}

#[test]
fn a_press_lets_no_loud_sound_out_and_a_hold_lets_out_three() {
    let mut desk = with_sound("loud");
    desk.begin();
    desk.advance(Instant::now());
    desk.act(Action::Automatic, Instant::now());
    // 40 dB HL, where a visit begins, and ten steps of 5 dB: above 85 dB HL.
    for _ in 0..10 {
        desk.act(Action::Louder, Instant::now());
    }
    let before = played().len();
    desk.act(Action::Tone, Instant::now());
    assert!(waits(&desk));
    for _ in 0..5 {
        desk.act(Action::Confirm, Instant::now());
    }
    for _ in 0..50 {
        buffer(&mut desk);
    }
    assert!(waits(&desk), "presses do not confirm");
    assert!(loudest(before) < 1e-3, "nothing but dither has sounded");

    let mut harness = window(desk);
    harness.key_down(Key::Enter);
    harness.step();
    assert!(waits(harness.state()), "it is not held long enough yet");
    std::thread::sleep(Duration::from_secs_f64(HOLD_S + 0.05));
    harness.step();
    assert!(!waits(harness.state()));
    let desk = harness.state_mut();
    assert!(
        recorded(desk, 1),
        "{:?}",
        desk.session().unwrap().record().voids()
    );
    assert!(loudest(before) > 1e-2, "the first came by itself");
    for count in 2..=3 {
        desk.act(Action::Tone, Instant::now());
        assert!(!waits(desk), "sound {count}");
        assert!(recorded(desk, count));
    }
    desk.act(Action::Tone, Instant::now());
    assert!(waits(desk), "the fourth waits again");
}

/// Above 85 dB HL, by the journal's own figures.
fn is_loud(planned: &Planned) -> bool {
    planned
        .presentation
        .sounds()
        .any(|sound| sound.level.db() > 85.0)
}

/// What was played so far, in order: each settled presentation.
fn settled(record: &Record) -> Vec<Planned> {
    let trials = record.trials().iter().map(|trial| trial.planned.clone());
    let voids = record.voids().iter().map(|void| void.planned.clone());
    let mut all: Vec<Planned> = trials.chain(voids).collect();
    all.sort_by_key(|planned| planned.n);
    all
}

/// A procedure at somebody who hears very little, with the longest tones that a plan takes: it stops
/// before every fourth loud tone until the confirmation was held, never before a soft one, as often
/// before a silence among loud tones; and no loud sound lasts longer than 2 s on the samples
/// themselves.
#[test]
fn a_procedure_waits_after_three_loud_tones_and_none_lasts_longer_than_two_seconds() {
    const TRIALS: usize = 80;
    let device = Device::opened(Instant::now());
    let mut session = visit_of("loud-procedure", &device, "profound", 2.0);
    // Before which presentation each confirmation was held.
    let mut held: Vec<u32> = Vec::new();
    while session.record().trials().len() < TRIALS {
        device.advance(1024);
        let now = device.now();
        session.poll(now);
        if session.waits_to_be_loud() {
            let before = device.played().len();
            session.command(Command::Confirm, now);
            device.advance(4096);
            session.poll(device.now());
            assert!(session.waits_to_be_loud(), "a press does not confirm");
            let quiet = device.played()[before..].iter().all(|x| x.abs() < 1e-6);
            assert!(quiet, "nothing sounds before the confirmation");
            held.push(session.record().next_number());
            session.command(Command::ConfirmLoud, device.now());
        } else if session.record().paused() {
            session.command(Command::PauseOrContinue, now);
        } else if session.waiting().is_some() {
            session.command(Command::Confirm, now);
        }
    }
    let all = settled(session.record());
    let mut left = 0;
    let (mut loud, mut before_silence) = (0, 0);
    for planned in &all {
        if held.contains(&planned.n) {
            assert_eq!(left, 0, "{} was held without need", planned.n);
            left = 3;
            before_silence += u32::from(planned.presentation.parts.is_empty());
        }
        if is_loud(planned) {
            assert!(left > 0, "{} is a fourth", planned.n);
            left -= 1;
            loud += 1;
            for sound in planned.presentation.sounds() {
                assert!(sound.end_s - sound.start_s <= 2.0 + 1e-9);
            }
        } else if !planned.presentation.parts.is_empty() {
            left = 0;
        }
    }
    println!(
        "{} presentations, {loud} of them loud, {} confirmations, {before_silence} before a silence",
        all.len(),
        held.len()
    );
    assert!(loud > 20 && held.len() >= loud / 3 && before_silence > 0);
    // 85 dB HL at 1 kHz is 90.5 dB SPL (ISO 389-8) of the example's 113.7 at full scale, an amplitude
    // of 0.07; at other frequencies it is more or less, so a tenth of that counts as loud here. A tone
    // passes it for all of its 2 s but the beginning and end of its ramps.
    let played = device.played();
    let blocks: Vec<bool> = played
        .chunks(2 * 480)
        .map(|block| block.iter().any(|x| x.abs() > 0.007))
        .collect();
    let longest = blocks
        .split(|loud| !loud)
        .map(<[bool]>::len)
        .max()
        .unwrap_or(0);
    assert!(
        (150..=201).contains(&longest),
        "{longest} hundredths of a second"
    );
}
