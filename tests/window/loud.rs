//! Loud sounds come only after a confirmation that is held, and three at most for one.

use crate::{play, played, window, with_sound};
use eframe::egui::Key;
use std::time::{Duration, Instant};
use veridical::desk::Desk;
use veridical::desk::keys::Action;
use veridical::desk::session::{HOLD_S, Waiting};

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
