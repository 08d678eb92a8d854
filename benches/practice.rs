//! How long a debrief takes, and a class of 200 journals: exercises of the library, each worked through
//! by whoever does what the helper says, hearing and sight.
//!
//! `cargo bench --bench practice -- [JOURNALS]`

use std::error::Error;
use std::path::Path;
use std::time::Instant;
use veridical::errand::study::Progress;
use veridical::errand::{self, ExerciseWish, Exercising};
use veridical::journal::Phrase;
use veridical::person::{Person, Response};
use veridical::practice::{Wanted, advise, library};
use veridical::procedure::HandRequest;
use veridical::quantity::{Draws, Moment, Stream};
use veridical::visit::{Input, Output};

const JOURNALS: usize = 200;
/// More presentations than any exercise takes.
const MOST: u32 = 4000;

type Done = Result<(), Box<dyn Error>>;

fn main() -> Done {
    let count = std::env::args().find_map(|one| one.parse().ok());
    let count: usize = count.unwrap_or(JOURNALS);
    let folder = std::env::temp_dir().join(format!("veridical-practice-{}", std::process::id()));
    let mut slowest_s = 0.0_f64;
    for (at, (name, _)) in library().iter().enumerate() {
        let own = folder.join(name);
        work_through(name, at as u64, &own)?;
        let journal = own.join(errand::JOURNAL_FILE);
        let began = Instant::now();
        let (found, _) = errand::debrief_in(&journal)?;
        let took_s = began.elapsed().as_secs_f64();
        slowest_s = slowest_s.max(took_s);
        println!(
            "{name:<20} {:>4} presentations, debrief {took_s:.3} s",
            found.replay.len()
        );
    }
    let class = folder.join("class");
    for at in 0..count {
        let (name, _) = library()[at % library().len()];
        let of = class.join(at.to_string());
        std::fs::create_dir_all(&of)?;
        let from = folder.join(name).join(errand::JOURNAL_FILE);
        std::fs::copy(from, of.join(errand::JOURNAL_FILE))?;
    }
    let began = Instant::now();
    let (gathered, _) = errand::gather(&class, &Progress::default())?;
    println!(
        "slowest debrief {slowest_s:.3} s; {} journals gathered, {} refused, in {:.1} s",
        gathered.rows.len(),
        gathered.refused.len(),
        began.elapsed().as_secs_f64()
    );
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}

fn work_through(name: &str, seed: u64, folder: &Path) -> Done {
    let wish = ExerciseWish {
        exercise: name.into(),
        trainee: "bench".into(),
        set: None,
        passphrase: None,
        seed,
        folder: folder.to_owned(),
    };
    let mut under_way = errand::begin_exercise(&wish, None)?;
    let mut now = Moment::START;
    under_way.visit.step(Input::Automatic(false), now)?;
    for n in 0..MOST {
        let told = under_way.exercise.told.clone();
        let idle_s = Draws::new(seed, Stream::Lead, u64::from(n)).between(0.4, 3.6);
        match advise(under_way.visit.record(), &told).wanted {
            Wanted::Say(phrase) => say(&mut under_way, phrase, now)?,
            Wanted::Ask(eye, further) => {
                let ask = Input::Ask(Box::new(further.asking(eye)));
                under_way.visit.step(ask, now)?;
            }
            Wanted::Shows(eye, shows, distance) => {
                let by_hand = HandRequest::Shows {
                    eye,
                    shows,
                    distance,
                };
                now = present(&mut under_way, by_hand, now.plus_seconds(0.5))?;
            }
            Wanted::Conclude => break,
            Wanted::Silent => {
                let silent = HandRequest::Silent { noise: None };
                now = present(&mut under_way, silent, now.plus_seconds(idle_s))?;
            }
            Wanted::Optotype { eye, log_mar, .. } => {
                let shown = HandRequest::Optotype { eye, log_mar };
                now = present(&mut under_way, shown, now.plus_seconds(0.5))?;
            }
            Wanted::Tone {
                ear,
                hz,
                level_db,
                masker_db,
            } => {
                let tone = HandRequest::Tone {
                    ear,
                    hz,
                    level_db,
                    masker_db,
                };
                now = present(&mut under_way, tone, now.plus_seconds(idle_s))?;
            }
        }
    }
    under_way.reveal(now)?;
    Ok(())
}

fn say(under_way: &mut Exercising, phrase: Phrase, now: Moment) -> Done {
    under_way.visit.step(Input::Say(phrase), now)?;
    under_way.person.told(phrase);
    Ok(())
}

/// Presents and lets the person answer; when it is over.
fn present(
    under_way: &mut Exercising,
    request: HandRequest,
    at: Moment,
) -> Result<Moment, Box<dyn Error>> {
    let (visit, person) = (&mut under_way.visit, &mut under_way.person);
    let outputs = visit.step(Input::Hand(request), at)?;
    let Some(Output::Deliver(planned)) = outputs.first() else {
        return Err("expected a presentation".into());
    };
    let n = planned.n;
    person.begins(at);
    visit.step(Input::Began { n, at }, at)?;
    visit.step(Input::Whole { n }, at)?;
    match person.answer(n, &planned.presentation)? {
        Response::Facing { facing, after_s } => {
            let at = at.plus_seconds(after_s);
            visit.step(
                Input::Choose {
                    facing,
                    at: Some(at),
                },
                at,
            )?;
            Ok(at)
        }
        Response::Sees { sees, after_s } => {
            let at = at.plus_seconds(after_s.unwrap_or_default());
            visit.step(Input::Sees { sees, at: None }, at)?;
            Ok(at)
        }
        Response::Presses(presses) => {
            let ends = visit.slot_ends().ok_or("expected a slot")?;
            for after_s in presses {
                let pressed = at.plus_seconds(after_s);
                let told = pressed.min(Moment::from_micros(ends.micros() - 1));
                let who = veridical::journal::WhoPressed::Program;
                visit.step(Input::Press { at: pressed, who }, told)?;
            }
            visit.step(Input::Tick, ends)?;
            Ok(ends)
        }
        _ => Err("expected presses, a direction, or what is seen".into()),
    }
}
