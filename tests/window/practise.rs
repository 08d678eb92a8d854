//! Practice at the desk: begun, said, presented by hand, concluded, debriefed; and nothing of who it
//! is on the screen before.

use crate::{folder, no_sound, window_of};
use eframe::egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use veridical::desk::prepare::Form;
use veridical::desk::session::Command;
use veridical::desk::{Desk, Page};
use veridical::journal::{Phrase, Together};
use veridical::practice::Further;
use veridical::quantity::Eye;
use veridical::stimulus::ByHand;

fn texts(harness: &Harness<'_, Desk>) -> String {
    let nodes = harness.root().children_recursive();
    let told = nodes.filter_map(|node| {
        let node = node.accesskit_node();
        node.label().or_else(|| node.value())
    });
    told.collect::<Vec<_>>().join("\n")
}

#[test]
fn an_exercise_is_begun_worked_through_and_debriefed() {
    let visits = folder("practise").join("visit");
    let form = Form::new(&visits, 11, Vec::new(), Vec::new());
    let mut harness = window_of(Desk::new(form, false, no_sound), 1000.0);
    harness.key_press(Key::F10);
    harness.step();
    assert_eq!(harness.state().page(), Page::Practise);
    assert!(harness.query_by_label_contains("The diver").is_some());
    let practising = harness.state_mut().practising_mut();
    let diver = practising
        .offered
        .iter()
        .position(|one| one.name == "diver");
    practising.chosen = diver.unwrap();
    // Without a name nothing begins.
    harness.get_by_label("Begin").click();
    harness.step();
    assert!(harness.state().session().is_none());
    harness.state_mut().practising_mut().trainee = "T-7".into();
    harness.get_by_label("Begin").click();
    harness.step();
    assert!(harness.state().session().is_some());
    harness.step();
    let mut now = Instant::now();
    for phrase in [
        Phrase::ListensToEarphones,
        Phrase::Introduces,
        Phrase::AsksWhichIsBetter,
    ] {
        harness.get_by_label(phrase.words()).click();
        harness.step();
        harness.step();
    }
    // What the person tells when asked, and nothing of the truth; no grade of the program either.
    assert!(texts(&harness).contains("the left"));
    harness.get_by_label_contains("the helper says").click();
    harness.step();
    harness.step();
    assert!(texts(&harness).contains("ask what has happened before"));
    harness.key_press(Key::F6);
    harness.step();
    assert_eq!(harness.state().page(), Page::Practise);
    for _ in 0..4 {
        let desk = harness.state_mut();
        desk.key(Key::T, now);
        desk.advance(now);
        now += Duration::from_secs(9);
        desk.advance(now);
    }
    let record = harness.state().session().unwrap().record().clone();
    assert_eq!(record.trials().len(), 4);
    assert!(record.practice().has_said(Phrase::AsksWhichIsBetter));
    assert!(record.practice().coached_at(1));
    assert_eq!(harness.state().page(), Page::Hear);
    harness.step();
    nothing_is_done_for_them(&mut harness);
    // What comes of it is not to be handed over before the end.
    harness.key_press(Key::F7);
    harness.step();
    assert_eq!(harness.state().page(), Page::Hear);
    harness.key_press(Key::F4);
    harness.step();
    assert!(texts(&harness).contains("By hand"), "{}", texts(&harness));
    for key in [Key::T, Key::V, Key::T, Key::E, Key::T] {
        let desk = harness.state_mut();
        desk.key(key, now);
        desk.advance(now);
        now += Duration::from_secs(9);
        desk.advance(now);
    }
    let record = harness.state().session().unwrap().record().clone();
    let shown = record.counted().filter_map(|trial| trial.optotype());
    let shown: Vec<_> = shown.map(|part| (part.eye, part.log_mar.0)).collect();
    let expected = [(Eye::Right, 1.0), (Eye::Right, 0.9), (Eye::Left, 1.0)];
    assert_eq!(shown, expected);
    assert!(!texts(&harness).contains("Sanna"));
    let of_sight = texts(&harness);
    assert!(of_sight.contains("The helper: "), "{of_sight}");
    // The truth, as its exercise tells it, in no file that lies open before the end; afterwards in the journal.
    let beside = harness.state().session().unwrap().folder().to_owned();
    let truth = truth_of("diver");
    assert_eq!(told_in(&beside, &truth), Vec::<String>::new());
    harness.key_press(Key::F10);
    harness.step();
    harness.step();
    assert!(!texts(&harness).contains("Sanna"));
    harness.state_mut().practising_mut().draft.hearing = Some(Together::CannotBeTold);
    harness.state_mut().practising_mut().draft.sight = Some(Together::CannotBeTold);
    harness.step();
    harness.get_by_label("End, and see who it was").click();
    harness.step();
    harness.step();
    let told = texts(&harness);
    assert!(told.contains("Who it was\nInvented: Sanna Kreel"), "{told}");
    assert!(
        told.contains("looked into both ears") && told.contains("not tested"),
        "{told}"
    );
    assert_eq!(told_in(&beside, &truth).len(), truth.len());
    two_raters_agree(&mut harness, &beside);
    harness.get_by_label("Practise on").click();
    harness.step();
    assert!(harness.state().session().is_none());
    harness.step();
    assert!(texts(&harness).contains("The tide clerk"));
}

/// An eye is asked by hand: what the trainee shows is chosen on the page, and the person says what they see.
#[test]
fn what_is_shown_by_hand_is_told_by_the_person() {
    let mut harness = desk_of("practise-by-hand", 1000.0);
    let practising = harness.state_mut().practising_mut();
    let mut offered = practising.offered.iter();
    practising.chosen = offered.position(|one| one.name == "lime_burner").unwrap();
    practising.trainee = "T-7".into();
    click(&mut harness, "Begin");
    harness.key_press(Key::F4);
    harness.run_steps(2);
    assert!(harness.query_by_label_contains("Fingers at").is_none());
    let asking = Further::ByHand.asking(Eye::Left);
    let mut now = Instant::now();
    harness.state_mut().command(Command::Ask(Box::new(asking)));
    harness.state_mut().key(Key::E, now);
    harness.run_steps(2);
    for label in ["Fingers at 0.3 m", "A hand that moves at 0.3 m"] {
        harness.get_by_label_contains(label).click();
        harness.run_steps(2);
        for _ in 0..4 {
            now += Duration::from_secs(9);
            harness.state_mut().advance(now);
        }
        harness.run_steps(2);
    }
    // What was told last is read off, and nobody else can answer.
    let told = texts(&harness);
    assert!(
        told.contains("A hand that moves at 0.3 m: Motion told"),
        "{told}"
    );
    assert!(
        !told.contains("points or says") && !told.contains("4.00 m, correction"),
        "{told}"
    );
    let record = harness.state().session().unwrap().record();
    let shown = record.counted().filter_map(|trial| trial.by_hand());
    let shown: Vec<_> = shown
        .map(|(hand, sees)| (hand.eye, hand.shows, sees))
        .collect();
    let expected = [
        (Eye::Left, ByHand::Fingers, false),
        (Eye::Left, ByHand::Motion, true),
    ];
    assert_eq!(shown, expected);
}

/// Whether to mask is theirs to find, and the procedure presents nothing; the helper, which was asked for, speaks beside the
/// tones.
fn nothing_is_done_for_them(harness: &mut Harness<'_, Desk>) {
    let told = texts(harness);
    assert!(told.contains("The helper: "), "{told}");
    assert!(!told.contains("Let the procedure present"), "{told}");
    assert!(!told.to_lowercase().contains("not needed"), "{told}");
    harness.state_mut().command(Command::ToggleAutomatic);
    assert!(!harness.state().session().unwrap().automatic());
    nobody_answers_in_their_place(harness);
}

/// While the person answers, no key and no button does.
fn nobody_answers_in_their_place(harness: &mut Harness<'_, Desk>) {
    let before = harness.state().session().unwrap().lines();
    let at = Instant::now();
    for command in [
        Command::Heard { at, by: None },
        Command::Sees(true),
        Command::Unsure,
    ] {
        harness.state_mut().command(command);
        let session = harness.state().session().unwrap();
        assert_eq!(session.lines(), before);
        assert!(session.message().unwrap().contains("the person answers"));
    }
}

/// Two who stood by tick what they saw; how far they agree is told at once.
fn two_raters_agree(harness: &mut Harness<'_, Desk>, beside: &Path) {
    let observing = &mut harness.state_mut().practising_mut().observing;
    observing.scores = [("hands".to_owned(), 2), ("seat".to_owned(), 0)].into();
    for rater in ["A", "B"] {
        observing.rater = rater.into();
        observing.keep(beside);
    }
    harness.step();
    let told = texts(harness);
    let agreed = "With A: 2 items ticked by both, 100 % alike, Cohen's kappa 1.00";
    assert!(told.contains(agreed), "{told}");
}

/// The lines of an exercise that tell who it is and what is expected: those that no trainee sees before the end.
fn truth_of(name: &str) -> Vec<String> {
    let text = veridical::practice::text_of(name).unwrap();
    let seen = ["format", "title", "difficulty", "story"];
    let (front, rest) = text.split_once("aims").unwrap();
    assert!(
        front.contains("title") && rest.contains("[person"),
        "{text}"
    );
    let lines = rest.lines().filter(|line| line.len() > 12);
    lines
        .filter(|line| !seen.iter().any(|key| line.starts_with(key)))
        .filter(|line| !line.starts_with(['[', '#']))
        .map(str::to_owned)
        .collect()
}

/// Which of these lines stand in any file of a folder or the folders in it, as they are or as a string of JSON.
fn told_in(folder: &Path, lines: &[String]) -> Vec<String> {
    let mut all = String::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                all += &String::from_utf8_lossy(&std::fs::read(path).unwrap());
            }
        }
    }
    assert!(all.contains("\"seal\""), "no journal");
    let quoted = |line: &String| {
        let json = serde_json::to_string(line).unwrap();
        json[1..json.len() - 1].to_owned()
    };
    let told = |line: &&String| all.contains(*line) || all.contains(&quoted(line));
    lines.iter().filter(told).cloned().collect()
}

/// Three exercises of one trainee, in which the earphones were listened to from the second on: what improved and what is next are
/// told, of this trainee alone, and each debrief opens again.
#[test]
fn a_trainee_sees_what_improved_and_what_is_next() {
    let mut harness = desk_of("progress", 1400.0);
    for (at, trainee) in ["T-1", "T-1", "T-2", "T-1"].into_iter().enumerate() {
        let practising = harness.state_mut().practising_mut();
        practising.trainee = trainee.into();
        practising.chosen = at;
        click(&mut harness, "Begin");
        if at > 0 {
            click(&mut harness, Phrase::ListensToEarphones.words());
        }
        let mut now = Instant::now();
        for _ in 0..2 {
            let desk = harness.state_mut();
            desk.key(Key::T, now);
            desk.advance(now);
            now += Duration::from_secs(9);
            desk.advance(now);
        }
        harness.key_press(Key::F10);
        harness.run_steps(2);
        let draft = &mut harness.state_mut().practising_mut().draft;
        draft.hearing = Some(Together::CannotBeTold);
        draft.sight = Some(Together::CannotBeTold);
        harness.run_steps(2);
        click(&mut harness, "End, and see who it was");
        click(&mut harness, "Practise on");
    }
    // Without a name nobody's exercises are shown.
    harness.state_mut().practising_mut().trainee = String::new();
    click(&mut harness, "What improved, what is next");
    assert!(texts(&harness).contains("Whose exercises?"));
    harness.state_mut().practising_mut().trainee = "T-1".into();
    click(&mut harness, "What improved, what is next");
    let began = Instant::now();
    while !texts(&harness).contains("Practise next") {
        assert!(
            began.elapsed() < Duration::from_mins(2),
            "{}",
            texts(&harness)
        );
        std::thread::sleep(Duration::from_millis(20));
        harness.step();
    }
    let told = texts(&harness);
    let better = "Better than before: listened to the earphones and the room, and saw that the calibration is in date";
    assert!(told.contains(better), "{told}");
    let next = "missed in 3 of 3 exercises, the latest among them; it must be right";
    assert!(told.contains(next), "{told}");
    let over = "listened to the earphones and the room, and saw that the calibration is in date: not right, right, right";
    assert!(told.contains(over), "{told}");
    assert_eq!(harness.get_all_by_label("Debrief").count(), 3, "{told}");
    harness
        .get_all_by_label("Debrief")
        .next()
        .expect("a debrief to open")
        .click();
    harness.run_steps(2);
    assert!(texts(&harness).contains("Who it was"));
    click(&mut harness, "Back");
    assert!(texts(&harness).contains("Practise next"));
    click(&mut harness, "Back to practice");
    assert!(texts(&harness).contains("The tide clerk"));
}

fn desk_of(name: &str, height: f32) -> Harness<'static, Desk> {
    let form = Form::new(&folder(name).join("visit"), 11, Vec::new(), Vec::new());
    let mut harness = window_of(Desk::new(form, false, no_sound), height);
    harness.key_press(Key::F10);
    harness.run_steps(2);
    harness
}

fn click(harness: &mut Harness<'_, Desk>, label: &str) {
    harness.get_by_label(label).click();
    harness.run_steps(2);
}

/// Steps until a thread has done its work.
fn until(harness: &mut Harness<'_, Desk>, mut over: impl FnMut(&mut Desk) -> bool) {
    let began = Instant::now();
    while !over(harness.state_mut()) {
        assert!(began.elapsed() < Duration::from_mins(5), "it does not end");
        std::thread::sleep(Duration::from_millis(20));
        harness.step();
    }
    harness.step();
}

/// What is wrong stands under the field that it is about, and nothing is kept.
#[test]
fn an_instructor_is_told_beside_the_field_what_is_wrong() {
    let mut harness = desk_of("instruct-errors", 2600.0);
    click(&mut harness, "For instructors");
    let file = folder("instruct-errors-kept").join("own.toml");
    let instructing = harness.state_mut().instructing_mut();
    instructing.exercise_file = file.display().to_string();
    let texts_of = &mut instructing.exercise.texts;
    texts_of.insert("title", "The lock keeper".into());
    texts_of.insert("story", "Comes because the gate is loud.".into());
    texts_of.insert("person.title", "Invented: Gesa Wulf, lock keeper".into());
    texts_of.insert("person.hearing.left", "10, 20, loud".into());
    click(&mut harness, "Keep it");
    let problem = harness
        .get_by_label("expected a number, found \"loud\"")
        .rect();
    let left = harness
        .get_by_label("Hearing: midpoints: Left ear, dB HL")
        .rect();
    assert!(
        (0.0..40.0).contains(&(problem.top() - left.bottom())),
        "{left:?} {problem:?}"
    );
    // A list that is too short is told by the reader of exercises, at the same field.
    let mut fill = |key, text: &str| {
        let form = &mut harness.state_mut().instructing_mut().exercise;
        form.texts.insert(key, text.into());
        click(&mut harness, "Keep it");
        texts(&harness)
    };
    let told = fill("person.hearing.left", "10, 20");
    assert!(told.contains("expected 8 values"), "{told}");
    let told = fill("person.hearing.left", "10, 20, 10, 10, 10, 10, 10, 10");
    assert!(told.contains("Kept: ") && file.exists(), "{told}");
    // It is tried by our own plan, in sight alone, which takes the least time; and practised on.
    for key in ["hz", "right", "left", "interaural_attenuation_db"] {
        let texts = &mut harness.state_mut().instructing_mut().exercise.texts;
        texts.retain(|known, _| *known != format!("person.hearing.{key}"));
    }
    click(&mut harness, "Let our own plan try");
    until(&mut harness, |desk| {
        let instructing = desk.instructing_mut();
        instructing.trying().is_none() && instructing.tried.is_some()
    });
    assert!(texts(&harness).contains("20 visits by the plan full"));
    click(&mut harness, "Keep it, and practise on it");
    assert!(texts(&harness).contains("The lock keeper"));
}

/// The trainee takes the sealed exercise of a set: the journal that is sent.
fn taken(set_file: &Path, told_name: &str) -> PathBuf {
    let mut trainee = desk_of("sealed-trainee", 1000.0);
    let practising = trainee.state_mut().practising_mut();
    practising.trainee = "T-9".into();
    practising.set_file = set_file.display().to_string();
    click(&mut trainee, "Take it");
    assert_eq!(trainee.state_mut().practising_mut().offered.len(), 2);
    click(&mut trainee, "Begin");
    assert!(texts(&trainee).contains("passphrase") && trainee.state().session().is_none());
    trainee.state_mut().practising_mut().passphrase = "kelp and lanterns".into();
    click(&mut trainee, "Begin");
    let journal = trainee
        .state()
        .session()
        .unwrap()
        .folder()
        .join("journal.jsonl");
    let mut now = Instant::now();
    for _ in 0..3 {
        let desk = trainee.state_mut();
        desk.key(Key::T, now);
        desk.advance(now);
        now += Duration::from_secs(9);
        desk.advance(now);
    }
    let before = std::fs::read_to_string(&journal).unwrap();
    assert!(!before.contains(told_name) && !texts(&trainee).contains(told_name));
    let practising = trainee.state_mut().practising_mut();
    practising.draft.hearing = Some(Together::CannotBeTold);
    practising.draft.sight = Some(Together::CannotBeTold);
    trainee.key_press(Key::F10);
    trainee.run_steps(2);
    click(&mut trainee, "End, and see who it was");
    journal
}

/// Written, sealed and put into a set by the instructor; taken by the trainee; its journal sent, gathered, and debriefed by the
/// instructor; one that was changed on the way is named.
#[test]
fn a_sealed_exercise_is_taken_sent_and_opened_by_the_instructor() {
    let at = folder("sealed-class");
    let mut instructor = desk_of("sealed-instructor", 2600.0);
    click(&mut instructor, "For instructors");
    let instructing = instructor.state_mut().instructing_mut();
    instructing.difficulty = 2;
    instructing.seed = "7".into();
    click(&mut instructor, "Draw one");
    let own = at.join("own.toml");
    let instructing = instructor.state_mut().instructing_mut();
    let told_name = instructing.exercise.texts["person.title"].clone();
    instructing.exercise_file = own.display().to_string();
    instructing.passphrase = "kelp and lanterns".into();
    click(&mut instructor, "Keep it");
    let kept = std::fs::read_to_string(&own).unwrap();
    assert!(
        kept.contains("[sealed]") && !kept.contains("person"),
        "{kept}"
    );
    click(&mut instructor, "A set");
    let set_file = at.join("set.toml");
    let instructing = instructor.state_mut().instructing_mut();
    instructing.set_file = set_file.display().to_string();
    instructing.set.texts.insert("name", "autumn".into());
    instructing
        .set
        .texts
        .insert("exercises", "own.toml\nno_such_one".into());
    click(&mut instructor, "Keep the set");
    assert!(texts(&instructor).contains("no_such_one") && !set_file.exists());
    let instructing = instructor.state_mut().instructing_mut();
    instructing
        .set
        .texts
        .insert("exercises", "own.toml\ntide_clerk".into());
    click(&mut instructor, "Keep the set");
    assert!(set_file.exists(), "{}", texts(&instructor));

    let journal = taken(&set_file, &told_name);

    // What the instructor receives.
    let received = at.join("received");
    for (name, from, to) in [("T-9", "", ""), ("changed", "T-9", "T-8")] {
        std::fs::create_dir_all(received.join(name)).unwrap();
        let sent = std::fs::read_to_string(&journal).unwrap();
        std::fs::write(
            received.join(name).join("journal.jsonl"),
            sent.replacen(from, to, 1),
        )
        .unwrap();
    }
    click(&mut instructor, "A class");
    instructor.state_mut().instructing_mut().class.folder = received.display().to_string();
    click(&mut instructor, "Gather them");
    until(&mut instructor, |desk| {
        let class = &mut desk.instructing_mut().class;
        class.gathering().is_none() && class.gathered.is_some()
    });
    let told = texts(&instructor);
    assert!(
        told.contains("1 exercises") && told.contains("1 not taken in"),
        "{told}"
    );
    assert!(
        told.contains("changed") && told.contains("Practise next"),
        "{told}"
    );
    let class = &mut instructor.state_mut().instructing_mut().class;
    class.csv_file = at.join("class.csv").display().to_string();
    instructor.step();
    click(&mut instructor, "Write it as CSV");
    let table = std::fs::read_to_string(at.join("class.csv")).unwrap();
    assert_eq!(table.lines().count(), 2, "{table}");
    click(&mut instructor, "Debrief");
    assert!(texts(&instructor).contains(&told_name));
    click(&mut instructor, "Back");
    assert!(texts(&instructor).contains("1 exercises"));
}
