//! Case files: what a simulated person is, in TOML. The format is described in `demo/cases`.

use super::at_bedside::BedsideTruth;
use super::habits::Habits;
use crate::calibration::{FieldError, FileError, read_toml, within};
use crate::quantity::{Correction, Ear, Eye, Hz, Sex, Side};
use crate::stimulus::OptotypePart;
use serde::Deserialize;
use std::path::Path;

/// A simulated person. Its truth never reaches a presenter, a journal or a finding.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// Version of the case format: 1.
    pub format: u32,
    /// What the case is called; says that it is invented.
    pub title: String,
    /// Age, years.
    #[serde(default)]
    pub age_years: Option<f64>,
    /// Sex.
    #[serde(default)]
    pub sex: Option<Sex>,
    /// Hearing; without it, hearing is not tested.
    #[serde(default)]
    pub hearing: Option<HearingTruth>,
    /// Sight; without it, sight is not tested.
    #[serde(default)]
    pub sight: Option<SightTruth>,
    /// What reaches the person at the bedside; without it, nothing is done there.
    #[serde(default)]
    pub bedside: Option<BedsideTruth>,
    /// How the person answers.
    #[serde(default)]
    pub manner: Manner,
    /// What the person does beside answering; only in exercises.
    #[serde(default)]
    pub habits: Option<Habits>,
}

/// Midpoints of hearing.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct HearingTruth {
    /// The frequencies listed, rising, Hz.
    pub hz: Vec<f64>,
    /// Midpoints of the right ear, dB HL.
    pub right: Vec<f64>,
    /// Midpoints of the left ear, dB HL.
    pub left: Vec<f64>,
    /// How much weaker sound arrives at the other ear, dB.
    pub interaural_attenuation_db: f64,
}

impl Default for HearingTruth {
    fn default() -> Self {
        HearingTruth {
            hz: vec![250.0, 500.0, 1000.0, 2000.0, 3000.0, 4000.0, 6000.0, 8000.0],
            right: vec![10.0, 10.0, 10.0, 15.0, 20.0, 30.0, 35.0, 30.0],
            left: vec![15.0, 10.0, 15.0, 20.0, 25.0, 40.0, 45.0, 40.0],
            interaural_attenuation_db: 60.0,
        }
    }
}

impl HearingTruth {
    /// The midpoint at an ear and frequency, dB HL: linear in the logarithm of frequency between
    /// the listed ones, constant beyond them.
    #[must_use]
    pub fn midpoint_db(&self, ear: Ear, hz: Hz) -> f64 {
        let levels = match ear {
            Ear::Right => &self.right,
            Ear::Left => &self.left,
        };
        let above = self.hz.iter().position(|listed| *listed >= hz.0);
        match above {
            Some(0) => levels[0],
            None => levels[levels.len() - 1],
            Some(at) => {
                let octaves = |high: f64, low: f64| Hz(high).octaves_above(Hz(low));
                let share = octaves(hz.0, self.hz[at - 1]) / octaves(self.hz[at], self.hz[at - 1]);
                levels[at - 1] + share * (levels[at] - levels[at - 1])
            }
        }
    }
}

/// Midpoints of sight, logMAR, with the correction worn.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SightTruth {
    /// The right eye.
    pub right: f64,
    /// The left eye.
    pub left: f64,
    /// How much better both eyes are than the better one.
    pub both_eyes_gain: f64,
    /// How much better an eye is through a pinhole.
    pub pinhole_gain: f64,
    /// Added within 1 m.
    pub near_shift: f64,
    /// Added without correction; through a pinhole it is not.
    pub uncorrected_shift: f64,
    /// How much better an eye is with the best correction.
    pub best_gain: f64,
}

impl Default for SightTruth {
    fn default() -> Self {
        SightTruth {
            right: 0.1,
            left: 0.3,
            both_eyes_gain: 0.04,
            pinhole_gain: 0.0,
            near_shift: 0.0,
            uncorrected_shift: 0.0,
            best_gain: 0.0,
        }
    }
}

impl SightTruth {
    /// The midpoint of an eye at a distance, logMAR.
    #[must_use]
    pub fn midpoint_log_mar(&self, eye: Eye, distance_mm: f64) -> f64 {
        self.near(self.far_log_mar(eye, Correction::AsWorn), distance_mm)
    }

    /// The midpoint of an eye for far, logMAR, with this correction.
    #[must_use]
    pub fn far_log_mar(&self, eye: Eye, correction: Correction) -> f64 {
        let worn = match eye {
            Eye::Right => self.right,
            Eye::Left => self.left,
            Eye::Both => self.right.min(self.left) - self.both_eyes_gain,
        };
        match correction {
            Correction::Without => worn + self.uncorrected_shift,
            Correction::Best => worn - self.best_gain,
            Correction::AsWorn | Correction::Own | Correction::OwnNear => worn,
        }
    }

    fn near(&self, far_log_mar: f64, distance_mm: f64) -> f64 {
        if distance_mm <= 1000.0 {
            far_log_mar + self.near_shift
        } else {
            far_log_mar
        }
    }

    /// The midpoint of the eye that looks at an optotype, logMAR, through what it looks.
    #[must_use]
    pub fn looking(&self, shown: &OptotypePart) -> f64 {
        // A small hole makes blur small, whatever it comes from.
        let far = if shown.pinhole {
            self.far_log_mar(shown.eye, Correction::AsWorn) - self.pinhole_gain
        } else {
            self.far_log_mar(shown.eye, shown.correction)
        };
        match shown.correction {
            Correction::OwnNear => far,
            _ => self.near(far, shown.distance_mm.0),
        }
    }
}

/// The kinds of answering.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Answers what is perceived.
    Genuine,
    /// Answers only what is louder or larger than a bar of their own.
    RaisedBar,
    /// The same for one ear and one eye.
    RaisedBarOneSide,
    /// The same, and chooses less often right than by guessing in forced choices.
    Contrary,
    /// Answers without regard to what is presented.
    Random,
}

/// How a person under a bar chooses when forced to.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(
    untagged,
    expecting = "expected chance, below_chance, honest, or a probability"
)]
pub enum ForcedChoice {
    /// By a named habit.
    Named(NamedChoice),
    /// Right with this probability.
    Probability(f64),
}

/// Named habits of choosing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NamedChoice {
    /// As if guessing.
    Chance,
    /// Less often right than by guessing.
    BelowChance,
    /// What is perceived.
    Honest,
}

/// What a bar of sight is a bar of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BarFollows {
    /// The visual angle.
    Angle,
    /// The height on the wall, as it is at 4 m.
    Size,
}

/// Which senses a bar is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BarOf {
    /// Hearing and sight.
    Both,
    /// Hearing alone; sight is answered by what is seen.
    Hearing,
    /// Sight alone; hearing is answered by what is heard.
    Sight,
}

/// How a person answers.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[expect(missing_docs, reason = "each key is described in demo/cases/README.md")]
pub struct Manner {
    pub kind: Kind,
    pub scale_db: f64,
    pub scale_log_mar: f64,
    pub false_alarm: f64,
    pub lapse: f64,
    pub wander_db: f64,
    pub drift_db: f64,
    pub criterion_db: f64,
    pub tinnitus_hz: f64,
    pub false_alarm_tinnitus: f64,
    pub latency_s: f64,
    pub bar_of: BarOf,
    pub bar_db_hl: f64,
    pub bar_jitter_db: f64,
    pub bar_wander_db: f64,
    pub bar_drift_db: f64,
    pub bar_pull: f64,
    pub bar_both_ears_rate: f64,
    pub bar_log_mar: f64,
    pub bar_jitter_log_mar: f64,
    pub bar_follows: BarFollows,
    pub forced_choice: Option<ForcedChoice>,
    pub learning_db: f64,
    pub lapse_drift: f64,
    pub random_rate: f64,
    pub random_slope: f64,
    pub astigmatic_log_mar: f64,
    pub astigmatic_axis_deg: f64,
    pub blind_side: Option<Side>,
    pub blind_side_miss: f64,
    pub ear: Ear,
    pub eye: Eye,
}

impl Default for Manner {
    fn default() -> Self {
        Manner {
            kind: Kind::Genuine,
            scale_db: 3.0,
            scale_log_mar: 0.05,
            false_alarm: 0.03,
            lapse: 0.02,
            wander_db: 1.0,
            drift_db: 0.0,
            criterion_db: 0.0,
            tinnitus_hz: 0.0,
            false_alarm_tinnitus: 0.2,
            latency_s: 0.45,
            bar_of: BarOf::Both,
            bar_db_hl: 55.0,
            bar_jitter_db: 6.0,
            bar_wander_db: 2.5,
            bar_drift_db: 0.0,
            bar_pull: 0.4,
            bar_both_ears_rate: 0.1,
            bar_log_mar: 0.5,
            bar_jitter_log_mar: 0.05,
            bar_follows: BarFollows::Angle,
            forced_choice: None,
            learning_db: 0.0,
            lapse_drift: 0.0,
            random_rate: 0.3,
            random_slope: 0.0,
            astigmatic_log_mar: 0.0,
            astigmatic_axis_deg: 90.0,
            blind_side: None,
            blind_side_miss: 0.6,
            ear: Ear::Left,
            eye: Eye::Left,
        }
    }
}

impl Manner {
    /// How the person chooses under the bar: as written, else `below_chance` for `contrary` and
    /// `chance` for the others.
    #[must_use]
    pub fn choice(&self) -> ForcedChoice {
        let unsaid = match self.kind {
            Kind::Contrary => NamedChoice::BelowChance,
            _ => NamedChoice::Chance,
        };
        self.forced_choice.unwrap_or(ForcedChoice::Named(unsaid))
    }
}

impl Case {
    /// Reads a case file.
    ///
    /// # Errors
    /// Names the file, the field and what was expected of it.
    pub fn read(path: &Path) -> Result<Case, FileError> {
        let file = path.display().to_string();
        let text = crate::journal::whole_file::settings(path)
            .map_err(|error| FieldError::new("file", error.to_string()).in_file(&file))?;
        Case::from_toml(&text, &file)
    }

    /// The case that comes with the program, for whoever tries it out.
    ///
    /// # Errors
    /// Never, unless the file beside the program's source was broken.
    pub fn example() -> Result<Case, FileError> {
        let text = include_str!("../../demo/cases/average.toml");
        Case::from_toml(text, "average.toml")
    }

    /// Reads a case from TOML; `file` is named in errors.
    ///
    /// # Errors
    /// Names the file, the field and what was expected of it.
    pub fn from_toml(text: &str, file: &str) -> Result<Case, FileError> {
        let case: Case = read_toml(text, file)?;
        case.check().map_err(|error| error.in_file(file))?;
        Ok(case)
    }

    /// Checks that there can be such a person.
    ///
    /// # Errors
    /// Names the field and what was expected of it.
    pub fn check(&self) -> Result<(), FieldError> {
        within("format", f64::from(self.format), 1.0, 1.0)?;
        if self.title.trim().is_empty() {
            return Err(FieldError::new("title", "expected some words, found none"));
        }
        if let Some(age_years) = self.age_years {
            within("age_years", age_years, 0.0, 130.0)?;
        }
        if let Some(hearing) = &self.hearing {
            hearing.check()?;
        }
        if let Some(sight) = &self.sight {
            for (field, value) in [
                ("sight.right", sight.right),
                ("sight.left", sight.left),
                ("sight.both_eyes_gain", sight.both_eyes_gain),
                ("sight.pinhole_gain", sight.pinhole_gain),
                ("sight.near_shift", sight.near_shift),
                ("sight.uncorrected_shift", sight.uncorrected_shift),
                ("sight.best_gain", sight.best_gain),
            ] {
                within(field, value, -2.0, 4.0)?;
            }
        }
        if let Some(bedside) = &self.bedside {
            bedside.check()?;
        }
        if let Some(habits) = &self.habits {
            habits.check()?;
        }
        self.manner.check()
    }
}

impl HearingTruth {
    fn check(&self) -> Result<(), FieldError> {
        within("hearing.hz (how many)", self.hz.len() as f64, 1.0, 64.0)?;
        for (field, list) in [("hearing.right", &self.right), ("hearing.left", &self.left)] {
            if list.len() != self.hz.len() {
                let (wanted, found) = (self.hz.len(), list.len());
                return Err(FieldError::new(
                    field,
                    format!("expected {wanted} values, as many as hz, found {found}"),
                ));
            }
            for value in list {
                within(field, *value, -30.0, 150.0)?;
            }
        }
        for pair in self.hz.windows(2) {
            if pair[0] >= pair[1] {
                return Err(FieldError::new(
                    "hearing.hz",
                    format!(
                        "expected rising values, found {} before {}",
                        pair[0], pair[1]
                    ),
                ));
            }
        }
        for hz in &self.hz {
            within("hearing.hz", *hz, 20.0, 20_000.0)?;
        }
        within(
            "hearing.interaural_attenuation_db",
            self.interaural_attenuation_db,
            0.0,
            200.0,
        )
    }
}

impl Manner {
    fn check(&self) -> Result<(), FieldError> {
        for (field, value, low, high) in [
            ("scale_db", self.scale_db, 0.01, 50.0),
            ("scale_log_mar", self.scale_log_mar, 0.001, 2.0),
            ("false_alarm", self.false_alarm, 0.0, 1.0),
            ("lapse", self.lapse, 0.0, 1.0 - self.false_alarm),
            ("wander_db", self.wander_db, 0.0, 50.0),
            ("drift_db", self.drift_db, -100.0, 100.0),
            ("criterion_db", self.criterion_db, -50.0, 100.0),
            ("tinnitus_hz", self.tinnitus_hz, 0.0, 20_000.0),
            (
                "false_alarm_tinnitus",
                self.false_alarm_tinnitus,
                0.0,
                1.0 - self.lapse,
            ),
            ("latency_s", self.latency_s, 0.05, 10.0),
            ("bar_db_hl", self.bar_db_hl, -30.0, 150.0),
            ("bar_jitter_db", self.bar_jitter_db, 0.01, 50.0),
            ("bar_wander_db", self.bar_wander_db, 0.0, 50.0),
            ("bar_drift_db", self.bar_drift_db, -100.0, 100.0),
            ("bar_pull", self.bar_pull, -2.0, 2.0),
            ("bar_both_ears_rate", self.bar_both_ears_rate, 0.0, 1.0),
            ("learning_db", self.learning_db, -50.0, 50.0),
            ("lapse_drift", self.lapse_drift, 0.0, 1.0),
            ("random_rate", self.random_rate, 0.0, 1.0),
            ("random_slope", self.random_slope, -1.0, 1.0),
            ("astigmatic_log_mar", self.astigmatic_log_mar, 0.0, 2.0),
            ("astigmatic_axis_deg", self.astigmatic_axis_deg, 0.0, 180.0),
            ("blind_side_miss", self.blind_side_miss, 0.0, 1.0),
            ("bar_log_mar", self.bar_log_mar, -2.0, 4.0),
            ("bar_jitter_log_mar", self.bar_jitter_log_mar, 0.0, 2.0),
        ] {
            within(&format!("manner.{field}"), value, low, high)?;
        }
        if let ForcedChoice::Probability(p) = self.choice() {
            within("manner.forced_choice", p, 0.0, 1.0)?;
        }
        Ok(())
    }
}
