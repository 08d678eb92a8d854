//! Sight on the desk: what the person sees, and how answers are entered.

use crate::{folder, no_sound, window, window_of};
use eframe::egui::{Key, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;
use std::time::{Duration, Instant};
use veridical::desk::keys::{Action, KeyMap};
use veridical::desk::person_window::{Field, Happened, PersonWindow, Picture, View, Viewed};
use veridical::desk::prepare::Form;
use veridical::desk::session::Command;
use veridical::desk::style::Theme;
use veridical::desk::{Desk, set_up};
use veridical::finding::{SightFindings, SightStatus, cues};
use veridical::journal::{EyeHistory, Outcome, Purpose, ToldAnswer};
use veridical::quantity::{Correction, Eye, Mm};
use veridical::stimulus::{OptotypeSet, Raster};

/// A living person before a screen of a quarter millimetre a pixel, ready to look at this set.
fn looking(name: &str, set: &str, distance: &str) -> Desk {
    let folder = folder(name);
    std::fs::create_dir_all(&folder).unwrap();
    let plan = folder.join("plan.toml");
    let text = format!(
        "format = 1\nname = \"sight alone\"\n[sight]\noptotype = \"{set}\"\neyes = [\"right\"]\n\
         practice_items = 4\n"
    );
    std::fs::write(&plan, text).unwrap();
    let mut form = Form::new(&folder.join("visit"), 12, Vec::new(), Vec::new());
    form.code = "H7".into();
    form.plan.path = plan.display().to_string();
    form.hearing = false;
    form.distance = distance.into();
    form.pixel_mm = "0.25".into();
    form.cautions = true;
    let field = Field {
        width_px: 1180,
        height_px: 860,
        pixels_per_point: 1.0,
        monitor_px: None,
    };
    let today = jiff::ZonedDateTime::now().date();
    form.measure_by_hand(field, today).unwrap();
    let mut desk = Desk::new(form, false, no_sound);
    desk.advance(Instant::now());
    assert_eq!(desk.missing(), Vec::<String>::new());
    desk
}

/// The person's window, painted a few times.
fn person(desk: &Desk) -> Harness<'static> {
    let window = desk.person().clone();
    let builder = Harness::builder()
        .with_size([1180.0, 860.0])
        .with_context_setup(set_up);
    builder.build_ui(move |ui| {
        window.ui(ui);
    })
}

/// Brings the desk up to `now` and paints the person's window so often.
fn paint(desk: &mut Desk, person: &mut Harness, now: Instant, paints: u32) {
    desk.advance(now);
    let _ = desk.person().set(desk.view());
    for _ in 0..paints {
        person.step();
        desk.advance(now);
    }
}

/// Lets the first eye begin and its first optotype be shown.
fn begun(desk: &mut Desk, person: &mut Harness) -> Instant {
    paint(desk, person, Instant::now(), 1);
    desk.begin();
    let now = Instant::now() + Duration::from_secs(1);
    paint(desk, person, now, 1);
    desk.act(Action::Confirm, now);
    paint(desk, person, now + Duration::from_secs(1), 0);
    now + Duration::from_secs(1)
}

fn is_shown(desk: &Desk) -> bool {
    let ring = desk.session().unwrap().ring();
    ring.is_some_and(|ring| ring.shown)
}

#[test]
fn what_was_painted_once_does_not_count_and_cannot_be_answered() {
    let mut desk = looking("twice", "sloan", "4 m");
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    let token = desk.session().unwrap().ring().unwrap().token;
    assert!(token > 0 && !is_shown(&desk));
    desk.key(Key::K, now);
    assert!(desk.session().unwrap().record().trials().is_empty());
    paint(&mut desk, &mut person, now, 1);
    assert!(!is_shown(&desk), "painted once");
    paint(&mut desk, &mut person, now, 1);
    assert!(is_shown(&desk), "painted twice the same");
}

/// The onset is the first of the two identical paints; light follows within one refresh and the
/// display's own latency.
#[test]
fn the_onset_is_the_first_of_two_identical_paints() {
    let mut desk = looking("onset", "sloan", "4 m");
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    let _ = desk.person().set(desk.view());
    let before = Instant::now();
    person.step();
    let after = Instant::now();
    desk.advance(now);
    std::thread::sleep(Duration::from_millis(30));
    paint(&mut desk, &mut person, now, 2);
    assert!(is_shown(&desk));
    let session = desk.session().unwrap();
    let began = session.record().open().unwrap().began.unwrap();
    let span = session.moment(before)..=session.moment(after);
    assert!(span.contains(&began), "{began:?} {span:?}");
}

/// A letter is typed by the examiner, and has no reaction time; the key that takes a trial back
/// elsewhere is the letter Z while letters are shown.
#[test]
fn a_letter_is_one_key_and_comes_before_other_keys() {
    let mut desk = looking("letter", "sloan", "4 m");
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    paint(&mut desk, &mut person, now, 3);
    assert!(is_shown(&desk));
    desk.key(Key::Z, now + Duration::from_secs(1));
    let trials = desk.session().unwrap().record().trials();
    let named = Outcome::Named {
        letters: "Z".into(),
        after_s: None,
    };
    assert_eq!(trials[0].outcome, named);
    assert!(!trials[0].undone);
}

/// A timed optotype goes by itself when its time is over, and can still be answered.
#[test]
fn a_timed_optotype_goes_by_itself_and_can_still_be_answered() {
    let mut desk = looking(
        "timed",
        "sloan\"\nshown_s = 0.5\ncrowded = true\nreverse = true #",
        "4 m",
    );
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    // Paints carry the time of the clock on the wall.
    std::thread::sleep(now.saturating_duration_since(Instant::now()));
    paint(&mut desk, &mut person, now, 3);
    let seen = |desk: &Desk| match desk.view() {
        View::Sight { ring, reverse, .. } => (ring.is_some(), reverse),
        other => panic!("{other:?}"),
    };
    assert_eq!(seen(&desk), (true, true));
    let part = desk.session().unwrap().ring().unwrap().part;
    assert!(part.crowded && part.reverse);
    let began = desk
        .session()
        .unwrap()
        .record()
        .open()
        .unwrap()
        .began
        .unwrap();
    let since = |desk: &Desk, at: Instant| desk.session().unwrap().moment(at).seconds_since(began);
    let mut at = Instant::now();
    while seen(&desk).0 {
        at += Duration::from_millis(10);
        paint(&mut desk, &mut person, at, 1);
    }
    assert!(
        (since(&desk, at) - 0.5).abs() < 0.011,
        "{}",
        since(&desk, at)
    );
    paint(&mut desk, &mut person, at + Duration::from_secs(3), 2);
    assert!(!seen(&desk).0);
    desk.key(Key::H, at + Duration::from_secs(3));
    assert_eq!(desk.session().unwrap().record().trials().len(), 1);
}

/// 'Cannot tell' is no answer: it is noted once, a guess is kindly asked for, and the same
/// optotype stays.
#[test]
fn cannot_tell_becomes_a_forced_guess() {
    let mut desk = looking("guess", "landolt_8", "0.8 m");
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    paint(&mut desk, &mut person, now, 3);
    let lines = desk.session().unwrap().lines();
    assert!(matches!(desk.view(), View::Sight { guess: false, .. }));
    person.get_by_label("not sure").click();
    paint(&mut desk, &mut person, now, 2);
    desk.key(Key::K, now);
    assert!(matches!(
        desk.view(),
        View::Sight {
            guess: true,
            ring: Some(_),
            ..
        }
    ));
    let session = desk.session().unwrap();
    assert_eq!(session.lines(), lines + 1, "noted once");
    assert!(session.record().trials().is_empty());
    desk.key(Key::ArrowUp, now + Duration::from_secs(2));
    assert_eq!(desk.session().unwrap().record().trials().len(), 1);
    assert!(matches!(desk.view(), View::Sight { guess: false, .. }));
}

/// Within reach there is a pad with a large target for each direction; beyond it nothing stands
/// beside what is shown, and the task is written before it begins, to be read from there.
#[test]
fn beyond_reach_the_window_is_for_the_optotype_alone() {
    let mut near = looking("near", "landolt_8", "0.8 m");
    let mut person_near = person(&near);
    let now = begun(&mut near, &mut person_near);
    paint(&mut near, &mut person_near, now, 3);
    for name in ["up", "down and left", "right"] {
        let side = person_near.get_by_label(name).rect().height();
        assert!(side >= 70.0, "{name}: {side} points");
    }
    let mut far = looking("far", "landolt_8", "4 m");
    let mut person_far = person(&far);
    paint(&mut far, &mut person_far, Instant::now(), 1);
    far.begin();
    let now = Instant::now() + Duration::from_secs(1);
    paint(&mut far, &mut person_far, now, 2);
    let task = person_far
        .query_all_by_label_contains("Where is the gap")
        .next();
    // Three lines, each letter of 0.3 logMAR at 4 m: 11.6 mm, 46 pixels and more with the line.
    assert!(task.unwrap().rect().height() > 150.0);
    far.act(Action::Confirm, now);
    paint(&mut far, &mut person_far, now + Duration::from_secs(1), 3);
    assert!(is_shown(&far));
    assert!(person_far.query_by_label("up").is_none());
    assert!(
        person_far
            .query_all_by_label_contains("gap")
            .next()
            .is_none()
    );
}

/// An ID-1 card is 85.60 by 53.98 mm (ISO/IEC 7810): its width gives the pitch, and only if the
/// height fits too.
#[test]
fn a_card_gives_the_pitch_only_if_both_sides_fit() {
    let mut form = Form::new(&folder("aspect"), 3, Vec::new(), Vec::new());
    let field = Field {
        width_px: 1900,
        height_px: 1000,
        pixels_per_point: 1.25,
        monitor_px: Some([1920, 1080]),
    };
    let today = jiff::ZonedDateTime::now().date();
    form.card_px = [428, 300];
    let askew = form.measure_by_card(field, today).unwrap_err();
    assert!(
        askew.contains("1.59 to 1") && form.screen.is_none(),
        "{askew}"
    );
    form.card_px = [428, 270];
    form.luminance = ["200".into(), "60".into()];
    let dark = form.measure_by_card(field, today).unwrap_err();
    assert!(
        dark.contains("black_cd_m2"),
        "more than 15 % of white: {dark}"
    );
    form.luminance = ["200".into(), "0,4".into()];
    form.measure_by_card(field, today).unwrap();
    let screen = form.screen.clone().unwrap();
    assert!((screen.record().pixel_mm.0 - 0.2).abs() < 1e-12);
    assert_eq!(screen.bright_enough(), Some(true));
    form.check_screen(Some(field));
    assert!(form.screen.is_some());
    for changed in [
        Field {
            pixels_per_point: 1.0,
            ..field
        },
        Field {
            monitor_px: Some([2560, 1440]),
            ..field
        },
    ] {
        form.screen = Some(screen.clone());
        form.check_screen(Some(changed));
        assert!(form.screen.is_none() && form.screen_changed, "asked again");
    }
}

/// The planner, the mirror, and feet and inches, as they are drawn.
#[test]
fn prepare_shows_what_can_be_seen_from_where() {
    let mut desk = looking("planner", "landolt_8", "3 ft");
    desk.form_mut().mirrored = false;
    let mut harness = crate::window(desk);
    harness.step();
    assert!(
        harness
            .query_all_by_label_contains("lines from here")
            .next()
            .is_some()
    );
    assert!(
        harness
            .query_all_by_label_contains("focuses 1.09 D nearer")
            .next()
            .is_some()
    );
    assert!(
        harness
            .query_all_by_label_contains("or take a screen with pixels")
            .next()
            .is_some()
    );
    harness
        .get_by_label("The person sees the screen in a mirror")
        .click_accesskit();
    harness.step();
    harness.step();
    assert!(harness.state_mut().form_mut().mirrored);
    for name in ["White, cd/m²", "Black, cd/m²", "Pixel pitch in mm"] {
        assert!(harness.query_by_label(name).is_some(), "{name}");
    }
}

#[test]
fn a_near_card_is_written_beside_the_visits() {
    let desk = looking("near-card", "sloan", "4 m");
    let mut harness = crate::window(desk);
    harness.step();
    harness
        .get_by_label("Write a card of rings")
        .click_accesskit();
    harness.step();
    harness.step();
    let told = harness.query_all_by_label_contains("Written: ").next();
    assert!(told.is_some());
    let beside = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("near-card");
    let cards = std::fs::read_dir(beside).unwrap().filter(|entry| {
        let name = entry.as_ref().unwrap().file_name();
        name.to_string_lossy().starts_with("near-card-rings-")
    });
    assert_eq!(cards.count(), 1);
}

/// What the person tells goes on record with the eye that they tell it of, and another answer takes
/// its eye away again.
#[test]
fn what_is_told_is_told_of_an_eye() {
    let mut desk = looking("history", "sloan", "4 m");
    let mut person = person(&desk);
    begun(&mut desk, &mut person);
    let mut harness = window(desk);
    harness.run_steps(3);
    harness.get_by_label("History").click();
    harness.run_steps(3);
    assert!(
        harness.query_by_label("left eye").is_none(),
        "asked before a yes"
    );
    let click = |harness: &mut Harness<'_, Desk>, label: &str| {
        let first = harness.get_all_by_label(label).next().unwrap();
        first.click();
        harness.run_steps(3);
    };
    let told = |harness: &Harness<'_, Desk>| {
        let record = harness.state().session().unwrap().record();
        let told = record.told().into_iter();
        told.map(|told| (told.about, told.answer, told.eye))
            .collect::<Vec<_>>()
    };
    let about = EyeHistory::SuddenLoss;
    click(&mut harness, "yes");
    assert_eq!(told(&harness), [(about, ToldAnswer::Yes, None)]);
    click(&mut harness, "left eye");
    assert_eq!(told(&harness), [(about, ToldAnswer::Yes, Some(Eye::Left))]);
    let cue = cues(harness.state().session().unwrap().record(), None, None);
    assert_eq!(cue[0].why, "told by the person, left eye");
    click(&mut harness, "no");
    assert_eq!(told(&harness), [(about, ToldAnswer::No, None)]);
}

/// Whoever asks once more through a pinhole asks with the plan's own optotypes, or the two could not be
/// held against each other.
#[test]
fn one_more_way_begins_as_the_plan_asks() {
    let mut desk = looking("ways", "landolt_4\"\ncrowded = true #", "4 m");
    let mut person = person(&desk);
    begun(&mut desk, &mut person);
    // High enough that nothing has to be scrolled to.
    let mut harness = window_of(desk, 1600.0);
    harness.run_steps(3);
    for label in ["Ways", "Through a pinhole", "Ask this next"] {
        harness.get_by_label(label).click();
        harness.run_steps(3);
    }
    let asked = harness.state().session().unwrap().record().asked();
    let last = &asked.last().unwrap().plan;
    assert!(last.pinhole && last.crowded);
    assert_eq!(last.optotype, OptotypeSet::Landolt4);
    assert_eq!(last.correction, asked[0].plan.correction);
}

/// Why the presentations that did not arrive whole did not.
fn voids(desk: &Desk) -> Vec<String> {
    let voids = desk.session().unwrap().record().voids().iter();
    voids.map(|void| void.reason.clone()).collect()
}

/// From the first paint on that is another: nothing of it can be answered any more, and the next optotype
/// comes in the window as it now is.
#[test]
fn a_window_that_is_resized_under_an_optotype_makes_it_void() {
    let mut desk = looking("resized", "sloan", "4 m");
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    paint(&mut desk, &mut person, now, 3);
    assert!(is_shown(&desk));
    person.set_size(vec2(1100.0, 800.0));
    paint(&mut desk, &mut person, now, 1);
    assert!(!is_shown(&desk));
    let told = voids(&desk);
    assert!(told.len() == 1 && told[0].contains("changed"), "{told:?}");
    desk.key(Key::K, now);
    assert!(desk.session().unwrap().record().trials().is_empty());
    let later = now + Duration::from_secs(2);
    paint(&mut desk, &mut person, later, 4);
    assert!(is_shown(&desk), "the next one");
    desk.key(Key::K, later);
    assert_eq!(desk.session().unwrap().record().trials().len(), 1);
}

/// An optotype that the edge cuts off never counts as shown, however often it is painted; after a few the
/// examiner is told, and it goes on in a window that is large enough.
#[test]
fn a_window_that_is_too_small_is_told_of_and_shows_nothing() {
    let mut desk = looking("small", "sloan", "4 m");
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    person.set_size(vec2(220.0, 240.0));
    let mut later = now;
    for _ in 0..12 {
        later += Duration::from_secs(1);
        paint(&mut desk, &mut person, later, 3);
        assert!(!is_shown(&desk));
    }
    let session = desk.session().unwrap();
    assert!(session.record().paused() && session.record().trials().is_empty());
    let message = session.message().unwrap().to_owned();
    assert!(message.contains("too small"), "{message}");
    person.set_size(vec2(1180.0, 860.0));
    paint(&mut desk, &mut person, later, 2);
    desk.command(Command::PauseOrContinue);
    later += Duration::from_secs(2);
    paint(&mut desk, &mut person, later, 4);
    assert!(is_shown(&desk));
}

/// Gives the person's display another scale of its own, as a system does.
fn display_scale(person: &mut Harness, scale: f32) {
    let input = person.input_mut();
    let window = input.viewports.get_mut(&input.viewport_id).unwrap();
    window.native_pixels_per_point = Some(scale);
}

/// Another scale is another display or another mode: its pixels are not the measured ones. In a visit it is
/// paused, before one the card is asked for again.
#[test]
fn another_scale_pauses_a_visit_and_asks_for_the_card_again() {
    let mut desk = looking("scale", "sloan", "4 m");
    let mut person = person(&desk);
    let now = begun(&mut desk, &mut person);
    paint(&mut desk, &mut person, now, 3);
    assert!(is_shown(&desk));
    display_scale(&mut person, 1.25);
    paint(&mut desk, &mut person, now, 2);
    let session = desk.session().unwrap();
    assert!(session.record().paused() && session.record().trials().is_empty());
    assert!(session.message().unwrap().contains("scale"));
    assert_eq!(voids(&desk).len(), 1);
    // Going on there shows nothing either.
    desk.command(Command::PauseOrContinue);
    let later = now + Duration::from_secs(2);
    paint(&mut desk, &mut person, later, 4);
    assert!(desk.session().unwrap().record().paused());
    assert!(desk.session().unwrap().record().trials().is_empty());
    display_scale(&mut person, 1.0);
    paint(&mut desk, &mut person, later, 2);
    desk.command(Command::PauseOrContinue);
    paint(&mut desk, &mut person, later + Duration::from_secs(2), 4);
    assert!(is_shown(&desk), "moved back");

    let mut before = looking("scale-before", "sloan", "4 m");
    let mut person = self::person(&before);
    paint(&mut before, &mut person, now, 2);
    assert!(before.missing().is_empty());
    display_scale(&mut person, 2.0);
    paint(&mut before, &mut person, now, 2);
    let missing = before.missing();
    assert!(
        missing.len() == 1 && missing[0].starts_with("Screen"),
        "{missing:?}"
    );
    assert!(before.form_mut().screen_changed);
}

/// From within reach the pad stands beside what is shown, but gives way to what has no room there: the
/// largest optotypes are those that the poorest eyes are asked.
#[test]
fn the_pad_gives_way_to_a_large_optotype() {
    let window = PersonWindow::new(Theme::PAPER, KeyMap::default());
    window.viewed(Viewed {
        distance: Mm(1000.0),
        pixel: Some(Mm(0.25)),
    });
    let shown = window.clone();
    let builder = Harness::builder()
        .with_size([700.0, 900.0])
        .with_context_setup(set_up);
    let mut harness = builder.build_ui(move |ui| {
        shown.ui(ui);
    });
    let mut paints = |token: u64, side: u32| {
        let ring = Picture {
            token,
            raster: Arc::new(Raster {
                width_px: side,
                height_px: side,
                grey: vec![0; (side * side) as usize],
            }),
        };
        let _ = window.set(View::Sight {
            eye: Eye::Right,
            set: OptotypeSet::Landolt4,
            ring: Some(ring),
            reverse: false,
            waits: false,
            guess: false,
            kind_word: None,
        });
        harness.step();
        harness.step();
        let pad = harness.query_by_label("up").is_some();
        let whole = window.take().into_iter().all(|happened| match happened {
            Happened::Painted { paint, .. } => {
                let rect = paint.raster_rect;
                let foot = rect.top + rect.height.cast_signed();
                rect.top >= 0 && foot <= paint.height_px.cast_signed()
            }
            _ => true,
        });
        (pad, whole)
    };
    assert_eq!(paints(1, 300), (true, true));
    assert_eq!(paints(2, 600), (false, true));
}

/// What the plan asks first can be chosen where the visit is prepared: eyes, optotypes, correction.
#[test]
fn how_the_eyes_are_asked_is_chosen_on_prepare() {
    let mut desk = looking("eyes", "landolt_8", "4 m");
    let plan = desk.form_mut().wanted().unwrap();
    assert_eq!(plan.name, "sight alone", "as the plan says");
    let mut harness = window_of(desk, 2200.0);
    harness.run_steps(3);
    for label in ["left, right", "ten letters", "best", "White on black"] {
        harness.get_by_label(label).click();
        harness.run_steps(3);
    }
    let plan = harness.state_mut().form_mut().wanted().unwrap();
    assert_eq!(plan.name, "sight alone, eyes as chosen");
    let sight = plan.sight.unwrap();
    assert_eq!(sight.eyes, [Eye::Left, Eye::Right]);
    assert_eq!(sight.optotype, OptotypeSet::Sloan);
    assert_eq!(sight.correction, Correction::Best);
    assert!(sight.reverse && sight.practice_items == 4);
    // Rings have no rows of five; that is told, and nothing begins.
    for label in ["rows", "8 rings"] {
        harness.get_by_label(label).click();
        harness.run_steps(3);
    }
    let missing = harness.state().missing();
    assert!(
        missing.len() == 1 && missing[0].starts_with("Eyes: ") && missing[0].contains("sloan"),
        "{missing:?}"
    );
}

/// The examiner may have enough before the wanted uncertainty: what was found stands, with the uncertainty
/// that it has by then.
#[test]
fn enough_ends_an_asking_and_keeps_what_was_found() {
    let mut desk = looking("enough", "sloan", "4 m");
    let mut person = person(&desk);
    let mut now = begun(&mut desk, &mut person);
    let measured = |desk: &Desk| {
        let trials = desk.session().unwrap().record().trials().iter();
        trials
            .filter(|one| one.purpose() == Purpose::Measure)
            .count()
    };
    while measured(&desk) < 6 {
        paint(&mut desk, &mut person, now, 4);
        assert!(is_shown(&desk));
        let part = desk.session().unwrap().ring().unwrap().part;
        let named = part.symbol.letter().unwrap().char();
        let wrong = if named == 'K' { Key::H } else { Key::K };
        let key = Key::from_name(&named.to_string()).unwrap();
        desk.key(if part.log_mar.0 > 0.3 { key } else { wrong }, now);
        now += Duration::from_secs(2);
    }
    paint(&mut desk, &mut person, now, 4);
    let mut harness = window_of(desk, 1600.0);
    harness.run_steps(3);
    harness.get_by_label_contains("That is enough").click();
    harness.run_steps(3);
    let record = harness.state().session().unwrap().record();
    assert!(record.has_enough(&record.asked()[0]));
    let found = SightFindings::of(record).right;
    assert_eq!(found.status, SightStatus::Measured);
    assert!(found.sd_log_mar.unwrap() > 0.05 && found.reason.is_none());
    assert_eq!(voids(harness.state()).len(), 1, "what was shown then");
}
