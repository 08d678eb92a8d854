//! Draws an exercise: the same difficulty and seed give the same person.

use crate::quantity::{Draws, Stream};
use std::fmt::Write;

const HZ: [f64; 8] = [250.0, 500.0, 1000.0, 2000.0, 3000.0, 4000.0, 6000.0, 8000.0];

const TRADES: [&str; 16] = [
    "The cooper",
    "The oyster seller",
    "The tar boiler",
    "The sluice warden",
    "The anchor smith",
    "The bread carrier",
    "The lens grinder",
    "The ferry painter",
    "The salt weigher",
    "The kelp drier",
    "The block maker",
    "The gull catcher",
    "The mail rower",
    "The rigger",
    "The stone setter",
    "The harbour clerk",
];

/// The shapes of hearing: dB added at each of [`HZ`] to the quietest.
const SHAPES: [[f64; 8]; 5] = [
    [0.0; 8],
    [0.0, 0.0, 2.0, 10.0, 22.0, 34.0, 42.0, 48.0],
    [0.0, 0.0, 1.0, 5.0, 24.0, 38.0, 27.0, 10.0],
    [34.0, 30.0, 22.0, 12.0, 6.0, 3.0, 2.0, 0.0],
    [30.0, 31.0, 33.0, 34.0, 35.0, 36.0, 37.0, 38.0],
];

/// How somebody answers, by how hard that is to examine.
const MANNERS: [&[&str]; 5] = [
    &["scale_db = 2.0\nfalse_alarm = 0.01", "false_alarm = 0.03"],
    &["false_alarm = 0.05", "false_alarm = 0.08\nscale_db = 3.5"],
    &[
        "false_alarm = 0.05\ntinnitus_hz = 4000\nfalse_alarm_tinnitus = 0.25",
        "scale_db = 4.0\nfalse_alarm = 0.1\nlapse = 0.06\nwander_db = 2.5",
    ],
    &[
        "kind = \"raised_bar\"\nbar_db_hl = 50.0",
        "kind = \"random\"",
        "scale_db = 4.5\nfalse_alarm = 0.1\nlapse = 0.07\nwander_db = 3.5\nlatency_s = 0.8",
    ],
    &[
        "kind = \"contrary\"\nbar_db_hl = 46.0",
        "kind = \"raised_bar_one_side\"\nbar_db_hl = 70.0",
        "criterion_db = 12.0\nfalse_alarm = 0.01\nwander_db = 3.0",
    ],
];

/// What a word of the trainee ends, by how hard the person is to examine; empty: nothing.
const HABITS: [&[&str]; 5] = [
    &[""],
    &["", "tires_after = 80"],
    &["", "follows_rhythm = 0.5", "leans_forward = 0.3"],
    &["peeks = 0.6", "follows_rhythm = 0.6", "tires_after = 50"],
    &["", "leans_forward = 0.4\npeeks = 0.6"],
];

/// The text of an exercise of this difficulty, 1 to 5.
#[must_use]
pub fn generate(difficulty: u32, seed: u64) -> String {
    let mut draws = Draws::new(seed, Stream::Exercise, u64::from(difficulty));
    let at = (difficulty.clamp(1, 5) - 1) as usize;
    let manner = MANNERS[at][draws.below(MANNERS[at].len())];
    let shape = SHAPES[if at == 0 {
        0
    } else {
        draws.below(SHAPES.len())
    }];
    let base_db = draws.between(2.0, 12.0);
    let grown = draws.between(0.7, 1.2);
    // From the third on, one ear may be poorer by so much that the other answers for it.
    let apart_db = if at >= 2 && draws.chance(0.4) {
        draws.between(45.0, 75.0)
    } else {
        0.0
    };
    let right_is_poorer = draws.chance(0.5);
    let mut ear = |poorer: bool| -> Vec<f64> {
        let more_db = if poorer { apart_db } else { 0.0 };
        let level =
            |add: &f64| (base_db + grown * add + more_db + draws.between(-2.0, 2.0)).min(100.0);
        shape.iter().map(level).collect()
    };
    let (right, left) = (ear(right_is_poorer), ear(!right_is_poorer));
    let sight = draws.between(-0.08, 0.1);
    let eyes_apart = if at >= 1 && draws.chance(0.3) {
        draws.between(0.22, 0.5)
    } else {
        0.0
    };
    let title = TRADES[draws.below(TRADES.len())];
    let age = 20 + draws.below(55);
    // A steady bar at an angle, and guesses at everything, look like an eye that sees so little.
    let (hears, sees) = match manner {
        contrary if contrary.contains("contrary") => ("do_not_fit", "do_not_fit"),
        other if other.contains("kind") => ("do_not_fit", "cannot_be_told"),
        _ => ("fit", "fit"),
    };
    let better = match (apart_db > 0.0, right_is_poorer) {
        (false, _) => "both alike",
        (true, true) => "the left",
        (true, false) => "the right",
    };
    let list = |levels: &[f64]| -> String {
        let levels: Vec<String> = levels.iter().map(|db| format!("{db:.1}")).collect();
        format!("[{}]", levels.join(", "))
    };
    let attenuation_db = draws.between(48.0, 65.0);
    let habit = match HABITS[at][draws.below(HABITS[at].len())] {
        "" => String::new(),
        habit => format!("\n[person.habits]\n{habit}\n"),
    };
    let person = format!(
        "[person]\nformat = 1\ntitle = \"Invented and drawn: {title}\"\nage_years = {age}\n\n\
         [person.hearing]\nhz = {}\nright = {}\nleft = {}\ninteraural_attenuation_db = {attenuation_db:.1}\n\n\
         [person.sight]\nright = {sight:.2}\nleft = {:.2}\n\n[person.manner]\n{manner}\n{habit}",
        list(&HZ),
        list(&right),
        list(&left),
        sight + eyes_apart,
    );
    let cues = cues_of(&person);
    let mut text = String::new();
    let _ = write!(
        text,
        "# Invented, drawn with seed {seed}.\nformat = 1\ntitle = \"{title}\"\ndifficulty = {}\n\
         story = \"Comes to be examined, and says little.\"\naims = [\"measure what there is, and say how sure it is\"]\n\n\
         [told]\nbetter = \"{better}\"\nhistory = \"nothing of note\"\nglasses = \"wears none\"\n\n\
         [expect]\nhearing = \"{hears}\"\nsight = \"{sees}\"\ncues = {cues:?}\n\n{person}",
        at + 1,
    );
    text
}

/// The cues that the truth of a drawn person meets.
fn cues_of(person: &str) -> Vec<&'static str> {
    #[derive(serde::Deserialize)]
    struct Drawn {
        person: crate::person::Case,
    }
    let drawn: Result<Drawn, _> = toml::from_str(person);
    let Ok(Drawn { person }) = drawn else {
        return Vec::new();
    };
    let met = super::Cue::ALL
        .into_iter()
        .filter(|cue| cue.met_by(&person));
    met.map(super::Cue::name).collect()
}
