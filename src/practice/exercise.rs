//! Exercises: a simulated person with a story, and what a careful examiner would conclude. The
//! format is described in `src/practice/README.md`.

use super::cue::Cue;
use super::generator::generate;
use crate::calibration::{FieldError, FileError, read_toml, within};
use crate::evidence::Grade;
use crate::journal::Together;
use crate::person::{BedsideTruth, Case};
use crate::procedure;
use serde::Deserialize;
use std::path::{Component, Path};

/// What the person tells when asked.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Told {
    /// Which ear or eye is the better one.
    pub better: String,
    /// What has happened before.
    pub history: String,
    /// About glasses.
    pub glasses: String,
}

/// What a careful examiner would conclude.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Expect {
    /// Whether the answers of hearing hang together.
    pub hearing: Together,
    /// Whether those of sight do.
    pub sight: Together,
    /// Cues for referral.
    #[serde(default)]
    pub cues: Vec<Cue>,
    /// What there is to say of that, shown at the end; empty: nothing.
    #[serde(default)]
    pub because: String,
    /// What our own plan comes to with this person; none where nobody has studied it.
    #[serde(default)]
    pub by_plan: Option<ByPlan>,
}

/// What an automatic plan comes to with a person, over many visits in which the words are said that
/// the helper advises.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ByPlan {
    /// The plan's name, of those that come with the program.
    pub plan: String,
    /// Hearing: the most that the root mean square error of the midpoints comes to, dB; none where nobody
    /// would come near the truth.
    #[serde(default)]
    pub rms_db: Option<f64>,
    /// The same of sight, logMAR.
    #[serde(default)]
    pub rms_log_mar: Option<f64>,
    /// How the answers of hearing are graded.
    #[serde(default)]
    pub hearing: Option<Graded>,
    /// How those of sight are.
    #[serde(default)]
    pub sight: Option<Graded>,
}

/// How often which grades come out.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Graded {
    /// One of these …
    pub grades: Vec<Grade>,
    /// … in at least this share of visits.
    pub share: f64,
}

impl ByPlan {
    fn check(&self) -> Result<(), FieldError> {
        if !procedure::NAMES.contains(&self.plan.as_str()) {
            let problem = format!(
                "expected one of {}, found {:?}",
                procedure::NAMES.join(", "),
                self.plan
            );
            return Err(FieldError::new("expect.by_plan.plan", problem));
        }
        for (field, most, high) in [
            ("expect.by_plan.rms_db", self.rms_db, 60.0),
            ("expect.by_plan.rms_log_mar", self.rms_log_mar, 2.0),
        ] {
            within(field, most.unwrap_or(0.0), 0.0, high)?;
        }
        for (field, graded) in [("hearing", &self.hearing), ("sight", &self.sight)] {
            let field = format!("expect.by_plan.{field}.share");
            let share = graded.as_ref().map_or(0.0, |one| one.share);
            within(&field, share, 0.0, 1.0)?;
        }
        Ok(())
    }
}

/// An exercise.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Exercise {
    /// Version of the format: 1.
    pub format: u32,
    /// What the trainee sees of it before the end; tells nothing.
    pub title: String,
    /// From 1, plain, to 5, wicked.
    pub difficulty: u32,
    /// Why the person comes.
    pub story: String,
    /// What it teaches; shown at the end.
    #[serde(default)]
    pub aims: Vec<String>,
    /// What the person tells when asked.
    pub told: Told,
    /// What a careful examiner would conclude.
    pub expect: Expect,
    /// Who it is.
    pub person: Case,
}

impl Exercise {
    /// Reads an exercise; `file` is named in errors.
    ///
    /// # Errors
    /// Names the file, the field and what was expected of it.
    pub fn from_toml(text: &str, file: &str) -> Result<Exercise, FileError> {
        let mut exercise: Exercise = read_toml(text, file)?;
        exercise.check().map_err(|error| error.in_file(file))?;
        // Everybody in practice answers at the bedside too, as their hearing lets them.
        let person = &mut exercise.person;
        let hearing = person.hearing.as_ref();
        let of_hearing = || hearing.map_or_else(BedsideTruth::default, BedsideTruth::of);
        person.bedside.get_or_insert_with(of_hearing);
        Ok(exercise)
    }

    fn check(&self) -> Result<(), FieldError> {
        within("format", f64::from(self.format), 1.0, 1.0)?;
        within("difficulty", f64::from(self.difficulty), 1.0, 5.0)?;
        for (field, words) in [("title", &self.title), ("story", &self.story)] {
            if words.trim().is_empty() {
                return Err(FieldError::new(field, "expected some words, found none"));
            }
        }
        if let Some(by_plan) = &self.expect.by_plan {
            by_plan.check()?;
        }
        self.person
            .check()
            .map_err(|error| FieldError::new(format!("person.{}", error.field), error.problem))
    }
}

/// The exercises that come with the program: name and text.
const LIBRARY: [(&str, &str); 26] = [
    ("tide_clerk", include_str!("cases/tide_clerk.toml")),
    ("sail_maker", include_str!("cases/sail_maker.toml")),
    ("bell_ringer", include_str!("cases/bell_ringer.toml")),
    (
        "shingle_crusher",
        include_str!("cases/shingle_crusher.toml"),
    ),
    (
        "net_loft_foreman",
        include_str!("cases/net_loft_foreman.toml"),
    ),
    ("chart_copyist", include_str!("cases/chart_copyist.toml")),
    ("lamp_trimmer", include_str!("cases/lamp_trimmer.toml")),
    ("weir_keeper", include_str!("cases/weir_keeper.toml")),
    (
        "apprentice_glazier",
        include_str!("cases/apprentice_glazier.toml"),
    ),
    ("signal_keeper", include_str!("cases/signal_keeper.toml")),
    (
        "school_boat_boy",
        include_str!("cases/school_boat_boy.toml"),
    ),
    ("harpoon_smith", include_str!("cases/harpoon_smith.toml")),
    ("lime_burner", include_str!("cases/lime_burner.toml")),
    ("quay_fiddler", include_str!("cases/quay_fiddler.toml")),
    ("ice_carter", include_str!("cases/ice_carter.toml")),
    (
        "foghorn_mechanic",
        include_str!("cases/foghorn_mechanic.toml"),
    ),
    ("night_porter", include_str!("cases/night_porter.toml")),
    ("deck_boy", include_str!("cases/deck_boy.toml")),
    ("diver", include_str!("cases/diver.toml")),
    (
        "pilot_cutter_mate",
        include_str!("cases/pilot_cutter_mate.toml"),
    ),
    ("rope_walker", include_str!("cases/rope_walker.toml")),
    ("toll_woman", include_str!("cases/toll_woman.toml")),
    ("beacon_widow", include_str!("cases/beacon_widow.toml")),
    ("ballad_singer", include_str!("cases/ballad_singer.toml")),
    ("customs_runner", include_str!("cases/customs_runner.toml")),
    ("wall_reader", include_str!("cases/wall_reader.toml")),
];

/// The names and texts of the exercises that come with the program, from plain to wicked.
#[must_use]
pub fn library() -> &'static [(&'static str, &'static str)] {
    &LIBRARY
}

/// The text of an exercise by its name: one of the library, or `drawn-DIFFICULTY-SEED`.
#[must_use]
pub fn text_of(name: &str) -> Option<String> {
    if let Some((_, text)) = LIBRARY.iter().find(|(known, _)| *known == name) {
        return Some((*text).to_owned());
    }
    let (difficulty, seed) = name.strip_prefix("drawn-")?.split_once('-')?;
    let difficulty = difficulty
        .parse()
        .ok()
        .filter(|one| (1..=5).contains(one))?;
    Some(generate(difficulty, seed.parse().ok()?))
}

/// What a class practises on: the same people for everyone.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Set {
    /// Version of the format: 1.
    pub format: u32,
    /// What the set is called; it stands in every journal.
    pub name: String,
    /// The seed of everybody in it.
    pub seed: u64,
    /// The names of its exercises: of the library, `drawn-DIFFICULTY-SEED`, or files beside the
    /// set's own.
    pub exercises: Vec<String>,
}

impl Set {
    /// Reads a set; `file` is named in errors.
    ///
    /// # Errors
    /// Names the file, the field and what was expected of it.
    pub fn from_toml(text: &str, file: &str) -> Result<Set, FileError> {
        let set: Set = read_toml(text, file)?;
        set.check().map_err(|error| error.in_file(file))?;
        Ok(set)
    }

    fn check(&self) -> Result<(), FieldError> {
        within("format", f64::from(self.format), 1.0, 1.0)?;
        if self.name.trim().is_empty() {
            return Err(FieldError::new("name", "expected some words, found none"));
        }
        // Beside the set's own file: whoever hands a set out reaches no other file by it.
        let beside = |one: &Component| matches!(one, Component::Normal(_));
        let stays = |name: &str| {
            !name.contains('\\') && Path::new(name).components().all(|one| beside(&one))
        };
        if let Some(name) = self.exercises.iter().find(|name| !stays(name)) {
            let problem = format!(
                "expected names of exercises, or files beside the set's own, found {name:?}"
            );
            return Err(FieldError::new("exercises", problem));
        }
        let count = self.exercises.len() as f64;
        within("exercises (how many)", count, 1.0, 200.0)
    }
}
