//! The work by hand at the desk, by keys alone.

use crate::{folder, in_project, no_sound, shown, window};
use eframe::egui::Key;
use egui_kittest::Harness;
use std::time::{Duration, Instant};
use veridical::desk::by_hand::{Mode, Step, choices, reply_key};
use veridical::desk::prepare::Form;
use veridical::desk::{Desk, Page, set_up};
use veridical::journal::{Found, Series, Stage};
use veridical::stimulus::{Reply, SeriesKind};

/// A visit of nothing but what is done by hand.
fn begun(name: &str) -> (Desk, Instant) {
    let mut form = Form::new(&folder(name), 11, Vec::new(), Vec::new());
    form.simulated = true;
    form.case.path = in_project("demo/cases/average.toml");
    form.plan.path = "bedside".into();
    let mut desk = Desk::new(form, false, no_sound);
    let now = Instant::now();
    desk.advance(now);
    assert_eq!(desk.missing(), ["Cautions: read"]);
    desk.key(Key::Y, now);
    desk.advance(now);
    desk.key(Key::Enter, now);
    // The visit's own clock began with it.
    let now = Instant::now();
    desk.advance(now);
    assert_eq!(desk.page(), Page::Bedside);
    (desk, now)
}

fn series(desk: &Desk, at: usize) -> Series {
    desk.session().unwrap().record().bedside().series()[at].clone()
}

fn choose(desk: &mut Desk, now: Instant, kind: SeriesKind) {
    desk.key(Key::R, now);
    let place = choices().iter().position(|(one, _)| *one == kind).unwrap();
    for _ in 0..place {
        desk.key(Key::J, now);
    }
}

/// Every kind, each prompt answered rightly: one key for done, one for the answer, and nothing of it
/// reaches the person's window.
#[test]
fn two_keys_a_prompt_and_no_cue() {
    let (mut desk, began) = begun("two-keys");
    let mut now = began;
    let inner = desk.person().clone();
    let mut person = Harness::builder()
        .with_context_setup(set_up)
        .build_ui(move |ui| {
            inner.ui(ui);
        });
    let before = shown(&desk, &mut person);
    for (at, kind) in [
        SeriesKind::Smell,
        SeriesKind::FieldQuadrants,
        SeriesKind::Whisper,
    ]
    .into_iter()
    .enumerate()
    {
        choose(&mut desk, now, kind);
        desk.key(Key::D, now);
        let mut keys = 0;
        while let Some(place) = series(&desk, at).next() {
            let now_at = series(&desk, at);
            assert!(!desk.may_lock(), "a series is under way");
            assert_eq!(desk.by_hand_mut().prompting.step(&now_at), Step::Gap);
            // In the gap no key does anything.
            for key in [Key::D, Key::V, Key::L] {
                desk.key(key, now);
            }
            assert_eq!(series(&desk, at).stages[place], Stage::Waiting);
            now += Duration::from_millis(5100);
            assert_eq!(shown(&desk, &mut person), before);
            desk.key(Key::D, now);
            assert_eq!(shown(&desk, &mut person), before);
            let target = series(&desk, at).drawn.prompts[place].target;
            desk.key(reply_key(target), now);
            keys += 2;
        }
        let done = series(&desk, at);
        assert_eq!(keys, 2 * done.stages.len());
        assert!(
            done.answered()
                .all(|(prompt, reply)| prompt.target == reply)
        );
        desk.key(Key::Enter, now);
        desk.key(Key::R, now);
        for _ in 0..choices().len() {
            // Back to the first choice for the next turn.
            if desk.by_hand_mut().choice == 0 {
                break;
            }
            desk.key(Key::R, now);
            desk.key(Key::K, now);
            desk.key(Key::R, now);
        }
    }
}

/// Four at a time, one of them void, one taken back, the rest ended early.
#[test]
fn prompts_together_void_taken_back_and_ended() {
    let (mut desk, mut now) = begun("together");
    choose(&mut desk, now, SeriesKind::Rub);
    desk.key(Key::B, now);
    desk.key(Key::B, now);
    desk.key(Key::Enter, now);
    now += Duration::from_secs(6);
    // A remote's keys stand for ours.
    desk.key(Key::PageDown, now);
    let done = series(&desk, 0)
        .stages
        .iter()
        .filter(|stage| matches!(stage, Stage::Done { .. }))
        .count();
    assert_eq!(done, 4);
    desk.key(Key::ArrowRight, now);
    desk.key(Key::V, now);
    desk.key(Key::ArrowDown, now);
    desk.key(Key::Z, now);
    desk.key(Key::J, now);
    let stages = series(&desk, 0).stages;
    let reply = |place: usize| match stages[place] {
        Stage::Answered { reply, .. } => Some(reply),
        _ => None,
    };
    assert_eq!(reply(0), Some(Reply::Right));
    assert!(matches!(stages[1], Stage::Void { .. }));
    assert!(matches!(stages[2], Stage::Undone { .. }));
    assert_eq!(reply(3), Some(Reply::Left));
    desk.key(Key::X, now);
    assert!(!series(&desk, 0).over(), "once asks, twice ends");
    desk.key(Key::X, now);
    assert!(series(&desk, 0).over());
}

#[test]
fn a_line_is_one_key_and_the_walk_is_locked() {
    let (mut desk, mut now) = begun("reel");
    desk.key(Key::F, now);
    let entries = |desk: &Desk| desk.session().unwrap().record().bedside().entries().len();
    assert_eq!(entries(&desk), 0, "somebody has to be named first");
    desk.by_hand_mut().who = "H. L.".into();
    let found = [Key::F, Key::D, Key::S, Key::A, Key::G];
    for (count, key) in found.into_iter().enumerate() {
        desk.key(key, now);
        assert_eq!(entries(&desk), count + 1);
    }
    let all = desk
        .session()
        .unwrap()
        .record()
        .bedside()
        .entries()
        .to_vec();
    let founds: Vec<Found> = all.iter().map(|one| one.entry.found).collect();
    let expected = [
        Found::Normal,
        Found::Abnormal,
        Found::NotTested,
        Found::NotPossible,
        Found::Declined,
    ];
    assert_eq!(founds, expected);
    let sheet = desk
        .session()
        .unwrap()
        .record()
        .bedside()
        .worksheet()
        .unwrap()
        .clone();
    let walk = sheet
        .lines()
        .position(|(item, _)| item.id == "heel_to_toe")
        .unwrap();
    desk.by_hand_mut().line = walk;
    desk.key(Key::T, now);
    assert!(desk.by_hand_mut().timer.is_none(), "locked");
    desk.key(Key::Y, now);
    assert!(desk.may_lock(), "no line is begun");
    desk.key(Key::T, now);
    assert!(desk.by_hand_mut().timer.is_some());
    // Whatever page is shown: the step is open until it is entered.
    assert!(!desk.may_lock());
    desk.key(Key::F12, now);
    assert_eq!(desk.page(), Page::People);
    assert!(!desk.may_lock());
    desk.key(Key::F5, now);
    assert_eq!(desk.page(), Page::Bedside);
    now += Duration::from_millis(8400);
    desk.key(Key::Space, now);
    desk.key(Key::F, now);
    let last = desk
        .session()
        .unwrap()
        .record()
        .bedside()
        .entries()
        .last()
        .unwrap()
        .clone();
    assert_eq!(last.entry.number, Some(8.4));
    let observed = sheet.lines().position(|(item, _)| item.observed).unwrap();
    desk.by_hand_mut().line = observed;
    let before = entries(&desk);
    desk.key(Key::F, now);
    assert_eq!(entries(&desk), before, "what is observed is not scored");
    desk.key(Key::W, now);
    assert_eq!(entries(&desk), before + 1);
}

/// A sheet of paper from the desk, its answers entered afterwards, and every page drawn.
#[test]
fn paper_and_all_pages_are_drawn() {
    let (mut desk, now) = begun("paper");
    choose(&mut desk, now, SeriesKind::FieldExtent);
    desk.key(Key::P, now);
    let sheet = desk.session().unwrap().folder().join("series-1.svg");
    let seal = series(&desk, 0).drawn.seal;
    assert!(std::fs::read_to_string(sheet).unwrap().contains(&seal));
    let mut harness = window(desk);
    for key in [
        Key::G,
        Key::Num4,
        Key::Num8,
        Key::Escape,
        Key::R,
        Key::F6,
        Key::F5,
    ] {
        harness.key_press(key);
        harness.step();
        harness.step();
    }
    let desk = harness.state_mut();
    assert_eq!(desk.by_hand_mut().mode, Mode::Reel);
    let answered = series(desk, 0)
        .answered()
        .map(|(_, reply)| reply)
        .collect::<Vec<_>>();
    assert_eq!(answered, [Reply::TensCm(4), Reply::TensCm(8)]);
}
