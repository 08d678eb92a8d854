//! The worksheet of the nerves as data, and what is entered into it. Format:
//! `src/bedside/README.md`.

use crate::calibration::{FieldError, FileError, read_toml, within};
use crate::quantity::{Sense, Side};
use serde::{Deserialize, Serialize};

/// A worksheet: what is looked at, in the order of the examination.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Worksheet {
    /// Version of the worksheet's format: 1.
    pub format: u32,
    /// What it is called.
    pub name: String,
    /// Its items.
    pub item: Vec<Item>,
}

/// One thing that is looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// What tells it from the others.
    pub id: String,
    /// The nerves, `I` to `XII`, several apart by blanks; or `general`.
    pub nerve: String,
    /// What is looked at, in words.
    pub words: String,
    /// Whether each side has a line of its own.
    #[serde(default)]
    pub each_side: bool,
    /// What a grade may be; empty: it has none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub grades: Vec<String>,
    /// The unit of a number that is entered; none: no number is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Something observed: it can be noted, and is never scored.
    #[serde(default)]
    pub observed: bool,
    /// Somebody has to stand ready to hold the person: its timer stays locked until that is
    /// ticked.
    #[serde(default)]
    pub hold_ready: bool,
    /// Filled in from the measurement of this sense.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured: Option<Sense>,
    /// What has to be known before it is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// If it is abnormal: what means refer now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refer_now: Option<String>,
}

/// What was found. There is no value for a line that nobody entered: blank never means normal.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Found {
    /// As it should be.
    Normal,
    /// Not as it should be.
    Abnormal,
    /// Not looked at.
    NotTested,
    /// It could not be done.
    NotPossible,
    /// The person did not wish it.
    Declined,
    /// Observed and noted; never scored.
    Noted,
}

impl Found {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Found::Normal => "normal",
            Found::Abnormal => "abnormal",
            Found::NotTested => "not tested",
            Found::NotPossible => "not possible",
            Found::Declined => "declined",
            Found::Noted => "noted",
        }
    }
}

/// One line that was entered. The latest entry of a line counts; the ones before stay on record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Entry {
    /// The item's id.
    pub item: String,
    /// The side, where each has a line of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// What was found.
    pub found: Found,
    /// How much, as the item's grades allow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// A number in the item's unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<f64>,
    /// In the examiner's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub comment: String,
    /// Who looked.
    pub who: String,
}

const NERVES: [&str; 12] = [
    "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII",
];

impl Worksheet {
    /// Reads a worksheet from TOML and checks it; `file` is named in errors.
    ///
    /// # Errors
    /// Names the first field that is wrong and what was expected of it.
    pub fn from_toml(text: &str, file: &str) -> Result<Worksheet, FileError> {
        let sheet: Worksheet = read_toml(text, file)?;
        sheet.check().map_err(|error| error.in_file(file))?;
        Ok(sheet)
    }

    /// The item of this id.
    #[must_use]
    pub fn item(&self, id: &str) -> Option<&Item> {
        self.item.iter().find(|item| item.id == id)
    }

    /// All lines in order: an item, and a side where each side has a line.
    pub fn lines(&self) -> impl Iterator<Item = (&Item, Option<Side>)> {
        self.item.iter().flat_map(|item| {
            let sides: &[Option<Side>] = if item.each_side {
                &[Some(Side::Right), Some(Side::Left)]
            } else {
                &[None]
            };
            sides.iter().map(move |side| (item, *side))
        })
    }

    fn check(&self) -> Result<(), FieldError> {
        within("format", f64::from(self.format), 1.0, 1.0)?;
        within("item (how many)", self.item.len() as f64, 1.0, 400.0)?;
        for (at, item) in self.item.iter().enumerate() {
            let wrong = |field: &str, problem: String| {
                Err(FieldError::new(format!("item[{at}].{field}"), problem))
            };
            let plain =
                |sign: char| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '_';
            if item.id.is_empty() || !item.id.chars().all(plain) {
                let found = &item.id;
                return wrong("id", format!("expected a-z, 0-9 and _, found {found:?}"));
            }
            if self.item[..at].iter().any(|other| other.id == item.id) {
                return wrong(
                    "id",
                    format!("expected each once, found {:?} twice", item.id),
                );
            }
            let known = |one: &str| NERVES.contains(&one);
            if item.nerve != "general" && !item.nerve.split(' ').all(known) {
                let found = &item.nerve;
                return wrong(
                    "nerve",
                    format!("expected I to XII or general, found {found:?}"),
                );
            }
            if item.words.trim().is_empty() {
                return wrong("words", "expected some words, found none".into());
            }
            if item.observed && (!item.grades.is_empty() || item.unit.is_some()) {
                let what = "expected no grades and no unit: what is observed is never scored";
                return wrong("observed", what.into());
            }
            if item.grades.len() > 10 {
                let found = item.grades.len();
                return wrong(
                    "grades",
                    format!("expected at most 10, one a key, found {found}"),
                );
            }
        }
        Ok(())
    }

    /// Whether an entry fits.
    ///
    /// # Errors
    /// One line.
    pub fn admits(&self, entry: &Entry) -> Result<(), String> {
        let id = &entry.item;
        let Some(item) = self.item(id) else {
            return Err(format!("expected an item of the worksheet, found {id:?}"));
        };
        if item.each_side != entry.side.is_some() {
            let what = if item.each_side { "a side" } else { "no side" };
            return Err(format!("expected {what} for {id}"));
        }
        let scored = matches!(entry.found, Found::Normal | Found::Abnormal);
        if item.observed && scored {
            return Err(format!(
                "expected {id} to be noted: what is observed is never scored"
            ));
        }
        if !item.observed && entry.found == Found::Noted {
            return Err(format!(
                "expected a finding for {id}, it is no observed line"
            ));
        }
        if let Some(grade) = &entry.grade
            && !item.grades.contains(grade)
        {
            let grades = item.grades.join(", ");
            return Err(format!(
                "expected one of {grades:?} as grade of {id}, found {grade:?}"
            ));
        }
        if let Some(number) = entry.number
            && (item.unit.is_none() || !number.is_finite())
        {
            return Err(format!(
                "expected no number for {id}, or a finite one in its unit"
            ));
        }
        Ok(())
    }
}
