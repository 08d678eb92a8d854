//! Whatever is answered: a visit ends, and nothing is presented that the set-up must not present.

use crate::at_hand::{fixed, visit_of};
use proptest::prelude::*;
use std::collections::HashSet;
use veridical::calibration::SetUp;
use veridical::finding::{SightFindings, SightStatus};
use veridical::journal::{Plan, Procedure, Trial, Unkept};
use veridical::person::{Person, PersonError, Response};
use veridical::quantity::{Draws, Ear, Eye, Stream};
use veridical::stimulus::{Letter, Presentation, Symbol, Task};

/// A way of answering tones.
#[derive(Debug, Clone, Copy)]
enum Habit {
    Always,
    Never,
    AtRandom(f64),
    InTurn,
    /// Opposite to what would settle: yes after two times no, no after two times yes.
    Contrary,
    TooEarly,
    TooLate,
    Twice,
    AboveLevel(f64),
    /// One ear hears far better: it may answer for the other, which is then masked.
    EarsApart(f64),
}

fn habits() -> impl Strategy<Value = Habit> {
    prop_oneof![
        Just(Habit::Always),
        Just(Habit::Never),
        (0.0..1.0).prop_map(Habit::AtRandom),
        Just(Habit::InTurn),
        Just(Habit::Contrary),
        Just(Habit::TooEarly),
        Just(Habit::TooLate),
        Just(Habit::Twice),
        (-15.0..115.0).prop_map(Habit::AboveLevel),
        (-5.0..60.0).prop_map(Habit::EarsApart),
    ]
}

/// Answers by a habit, and looks at all that is presented.
struct Looking {
    habit: Habit,
    /// How often an optotype is answered rightly; else another of its set is drawn.
    sees: f64,
    seed: u64,
    last: Vec<bool>,
    presented: u32,
}

impl Looking {
    fn press(&mut self, n: u32, presentation: &Presentation) -> Vec<f64> {
        let mut draws = Draws::new(self.seed, Stream::Person, u64::from(n));
        let tone = presentation.tones().next();
        let window_s = presentation.window_s.unwrap();
        let onset_s = tone.map_or(1.0, |tone| tone.start_s);
        let in_a_row = |heard| {
            self.last
                .iter()
                .rev()
                .take_while(|last| **last == heard)
                .count()
        };
        let at_s = match self.habit {
            Habit::Always => vec![onset_s + 0.4],
            Habit::Twice => vec![onset_s + 0.3, onset_s + 0.5],
            Habit::TooEarly => vec![onset_s + 0.05],
            Habit::TooLate => vec![window_s + 0.1],
            Habit::AtRandom(p) if draws.chance(p) => vec![draws.between(0.0, window_s + 0.5)],
            Habit::InTurn if n.is_multiple_of(2) => vec![onset_s + 0.4],
            Habit::Contrary if in_a_row(false) >= 2 || in_a_row(true) == 1 => vec![onset_s + 0.4],
            Habit::AboveLevel(db) if tone.is_some_and(|tone| tone.level.db() >= db) => {
                vec![onset_s + 0.4]
            }
            Habit::EarsApart(db)
                if tone.is_some_and(|tone| {
                    let left = tone.ear == Ear::Left;
                    tone.level.db() >= db + if left { 50.0 } else { 0.0 }
                        // By chance as well, so that nothing settles too well.
                        || draws.chance(0.1)
                }) =>
            {
                vec![onset_s + 0.4]
            }
            _ => vec![],
        };
        self.last.push(!at_s.is_empty());
        at_s
    }

    fn look(&mut self, presentation: &Presentation) {
        self.presented += 1;
        let set_up = SetUp::simulated();
        let earphone = set_up.earphone.as_ref().unwrap();
        for sound in presentation.sounds() {
            let noise = presentation.maskers().any(|noise| noise == sound);
            let most = if noise {
                earphone.max_masker_level(sound.ear, sound.hz)
            } else {
                earphone.max_level(sound.ear, sound.hz)
            };
            let most_db = most.unwrap().db();
            let level_db = sound.level.db();
            assert!(
                (earphone.min_level().db()..=most_db).contains(&level_db),
                "{sound:?}"
            );
            let window_s = presentation.window_s.unwrap();
            if noise {
                // It fills the slot whether a tone comes or not, so it tells of none; and it is
                // never at the ear under test.
                assert!(sound.start_s == 0.0 && sound.end_s >= window_s, "{sound:?}");
                assert!(presentation.tones().all(|tone| tone.ear != sound.ear));
                continue;
            }
            assert!(0.3 <= sound.start_s && sound.start_s < sound.end_s && sound.end_s < window_s);
        }
        for shown in presentation.optotypes() {
            assert!(
                set_up.drawable().unwrap().contains(shown.log_mar),
                "{shown:?}"
            );
        }
    }
}

impl Person for Looking {
    fn answer(&mut self, n: u32, presentation: &Presentation) -> Result<Response, PersonError> {
        self.look(presentation);
        if presentation.task == Task::Detect {
            return Ok(Response::Presses(self.press(n, presentation)));
        }
        let mut draws = Draws::new(self.seed, Stream::Person, u64::from(n));
        let mut seen = Vec::new();
        for shown in presentation.optotypes() {
            let mut others = shown.optotype.symbols();
            others.retain(|other| *other != shown.symbol);
            seen.push(if draws.chance(self.sees) {
                shown.symbol
            } else {
                others[draws.below(others.len())]
            });
        }
        let after_s = draws.between(0.05, 3.0);
        Ok(match seen[0] {
            Symbol::Facing(facing) => Response::Facing { facing, after_s },
            Symbol::Letter(_) => Response::Letters {
                letters: seen
                    .iter()
                    .map(|symbol| symbol.letter().unwrap().char())
                    .collect(),
                after_s: Some(after_s),
            },
        })
    }

    fn recall(&mut self, _: u32, _: &Presentation) -> Result<(), PersonError> {
        Ok(())
    }
}

fn plans() -> impl Strategy<Value = Plan> {
    let procedures = prop::sample::select(Procedure::NAMES.to_vec());
    let signals = prop::sample::select(vec!["tone", "pulsed", "warble"]);
    let hz = prop::sample::select(vec!["1000", "8000", "1000, 250", "500, 4000"]);
    let start_db = prop::sample::select(vec![-10, 0, 40, 80]);
    let sets = prop::sample::select(vec![
        "landolt_8",
        "landolt_4",
        "tumbling_e",
        "sloan",
        "hotv",
        "sloan\"\nprocedure = \"rows\"\nletter_difficulty = \"corrected",
        "sloan\"\nprocedure = \"rows\"\nrows.shows = \"letter\"\nrows.ends = \"all_wrong",
        "sloan\"\nprocedure = \"rows\"\nrows.shows = \"all\"\nrows.ends = \"three_wrong",
    ]);
    (procedures, signals, hz, start_db, sets, 0.0..0.5_f64).prop_map(
        |(procedure, signal, hz, start_db, set, silent_share)| {
            let text = format!(
                "format = 1\nname = \"any\"\n[hearing]\nprocedure = {procedure:?}\nhz = [{hz}]\n\
                 signal = {signal:?}\nstart_db = {start_db}\nsilent_share = {silent_share}\n\
                 [sight]\noptotype = \"{set}\"\neyes = [\"left\"]\nmost_trials = 14\n"
            );
            Plan::from_toml(&text, "a plan").unwrap()
        },
    )
}

/// A row of five is five different letters of one size, and every row comes whole before the next,
/// however much is shown at a time.
#[test]
fn rows_are_five_different_letters_each() {
    for (shows, at_a_time) in [("letter", 1), ("row", 5), ("all", 70)] {
        for (sees, seed) in [(1.0, 7), (0.6, 8), (0.0, 9)] {
            let text = format!(
                "format = 1\nname = \"rows\"\n[sight]\nprocedure = \"rows\"\noptotype = \"sloan\"\n\
                 eyes = [\"left\", \"both\"]\nrows.shows = \"{shows}\"\n"
            );
            let plan = Plan::from_toml(&text, "a plan").unwrap();
            let mut person = Looking {
                habit: Habit::Never,
                sees,
                seed,
                last: vec![],
                presented: 0,
            };
            let visit = visit_of(Unkept, seed, plan, &mut person);
            for eye in [Eye::Left, Eye::Both] {
                let trials = visit.record().of_eye(eye);
                let shown: Vec<(i32, Letter)> = trials
                    .inspect(|trial| assert!(trial.namings().len() <= at_a_time))
                    .flat_map(Trial::namings)
                    .map(|(part, _)| {
                        let tenth = (10.0 * part.log_mar.0).round() as i32;
                        (tenth, part.symbol.letter().unwrap())
                    })
                    .collect();
                assert!(
                    !shown.is_empty() && shown.len().is_multiple_of(5),
                    "{shows} {sees}"
                );
                for row in shown.chunks(5) {
                    assert!(row.iter().all(|(size, _)| *size == row[0].0), "{row:?}");
                    let different: HashSet<Letter> = row.iter().map(|(_, one)| *one).collect();
                    assert_eq!(different.len(), 5, "{row:?}");
                }
                let finding = SightFindings::of(visit.record()).eye(eye).clone();
                let score = finding.rows.unwrap();
                let status = if sees > 0.9 {
                    SightStatus::BetterThanSmallestShown
                } else if sees > 0.1 {
                    continue;
                } else {
                    SightStatus::WorseThanLargestShown
                };
                assert_eq!(finding.status, status, "{shows}: {score:?}");
                assert_eq!(finding.log_mar, None);
            }
        }
    }
}

proptest! {
    #![proptest_config(fixed(120))]

    #[test]
    fn a_visit_ends_and_stays_within_its_limits(
        habit in habits(),
        plan in plans(),
        sees in 0.0..1.0_f64,
        seed: u64,
    ) {
        let mut person = Looking { habit, sees, seed, last: vec![], presented: 0 };
        let visit = visit_of(Unkept, seed, plan, &mut person);
        prop_assert!(visit.record().closed());
        // Stated in the procedure: 120 tones for each of two frequencies and two ears; at most
        // half are silent on average, so that four times as many are out of reach.
        prop_assert!(person.presented < 4 * 120 * 4, "{}", person.presented);
    }
}
