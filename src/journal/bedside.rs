//! What was done by hand: the worksheet's entries and the series, as events tell it and as the
//! fold holds it.

use super::event::{Answer, Body, HowEnded, Section};
use super::worksheet::{Entry, Worksheet};
use crate::calibration::{FieldError, within};
use crate::quantity::{Moment, Side};
use crate::stimulus::{Prompt, Prompted, Reply, SeriesKind};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// What is done by hand in a visit.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BedsidePlan {
    /// The series, in order.
    #[serde(default)]
    pub series: Vec<SeriesPlan>,
}

/// A series that is wanted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeriesPlan {
    /// What it asks.
    #[serde(deserialize_with = "kind")]
    pub kind: SeriesKind,
    /// Of which nostril, eye or ear; needed where the kind has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// How many prompts; left out, as many as the kind usually has.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prompts: Option<u32>,
    /// What is smelled; needed for smell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scent: Option<String>,
    /// How many prompts are shown at a time, 1 to 4.
    #[serde(default = "one_at_a_time")]
    pub together: u32,
}

fn one_at_a_time() -> u32 {
    1
}

/// Reads a kind, and says why some are not among them.
fn kind<'de, D: serde::Deserializer<'de>>(input: D) -> Result<SeriesKind, D::Error> {
    let name = String::deserialize(input)?;
    series_kind(&name).map_err(serde::de::Error::custom)
}

/// The kind of series of this name.
///
/// # Errors
/// One line. Gag and corneal reflex are refused by name: they are tested by indication only,
/// never by repeated and unannounced trials (common practice, no source).
pub fn series_kind(name: &str) -> Result<SeriesKind, String> {
    let never = ["gag", "pharyn", "corneal", "cornea"];
    if never.iter().any(|one| name.to_lowercase().contains(one)) {
        return Err(format!(
            "kind: found {name:?}; gag and corneal reflexes are never tested by randomised trials"
        ));
    }
    SeriesKind::named(name).ok_or_else(|| {
        let names = SeriesKind::ALL.map(SeriesKind::name).join(", ");
        format!("kind: expected one of {names}, found {name:?}")
    })
}

/// Words in the names of what irritates: the fifth nerve answers to it, not the first, and it can
/// hurt. No ammonia or other irritants: Wikiversity, cranial nerve examination; the rest of the list
/// is from memory.
const IRRITANTS: [&str; 24] = [
    "ammonia",
    "smelling salt",
    "vinegar",
    "acetic",
    "menthol",
    "mint",
    "eucalypt",
    "camphor",
    "alcohol",
    "ethanol",
    "propanol",
    "spirit",
    "onion",
    "mustard",
    "chil",
    "pepper",
    "wasabi",
    "horseradish",
    "chlor",
    "bleach",
    "aceton",
    "polish remover",
    "petrol",
    "solvent",
];

/// Whether a scent may be used.
///
/// # Errors
/// One line, if it is not named or irritates.
pub fn scent_allowed(scent: &str) -> Result<(), String> {
    let lower = scent.trim().to_lowercase();
    if lower.is_empty() {
        return Err("scent: expected what is smelled, found nothing".into());
    }
    match IRRITANTS.iter().find(|one| lower.contains(**one)) {
        Some(found) => Err(format!(
            "scent: expected one that does not irritate, such as coffee or vanilla, found {scent:?} \
             ({found}): the fifth nerve feels what irritates, and it can hurt"
        )),
        None => Ok(()),
    }
}

/// The fewest and the most prompts of a series.
pub const PROMPTS: [u32; 2] = [4, 40];

impl SeriesPlan {
    /// Checks that it can be done; `field` is named in errors.
    ///
    /// # Errors
    /// Names what is wrong and what was expected of it.
    pub fn check(&self, field: &str) -> Result<(), FieldError> {
        let wrong =
            |part: &str, problem: String| Err(FieldError::new(format!("{field}.{part}"), problem));
        match (self.kind.organ(), self.side) {
            (Some(organ), None) => return wrong("side", format!("expected right or left {organ}")),
            (None, Some(_)) => {
                let name = self.kind.name();
                return wrong("side", format!("expected none, {name} goes to both sides"));
            }
            _ => {}
        }
        match (&self.scent, self.kind) {
            (Some(scent), SeriesKind::Smell) => {
                if let Err(what) = scent_allowed(scent) {
                    return wrong("scent", what.trim_start_matches("scent: ").to_owned());
                }
            }
            (None, SeriesKind::Smell) => {
                return wrong("scent", "expected what is smelled, found nothing".into());
            }
            (Some(_), _) => return wrong("scent", "expected none where nothing is smelled".into()),
            (None, _) => {}
        }
        let [fewest, most] = PROMPTS.map(f64::from);
        let prompts = self.prompts.map_or(fewest, f64::from);
        within(&format!("{field}.prompts"), prompts, fewest, most)?;
        within(
            &format!("{field}.together"),
            f64::from(self.together),
            1.0,
            4.0,
        )
    }
}

/// A series as it was drawn, whole, before its first prompt.
///
/// The whole list stands in the journal and not only a commitment to it: whoever could read the
/// file during the series could also draw the list again from the presenter's seed in the first
/// line, and a reader years later needs the list without the program that drew it. That it was not
/// made up afterwards shows by the chain, and on paper by the seal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Drawn {
    /// Its number among the visit's series, from 1.
    pub series: u32,
    /// The number of its first prompt; the others follow without gaps.
    pub first_n: u32,
    /// What it asks.
    pub what: SeriesKind,
    /// Of which nostril, eye or ear.
    pub side: Option<Side>,
    /// What is smelled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scent: Option<String>,
    /// How many prompts are shown at a time.
    pub together: u32,
    /// Whether it is worked through on paper, and entered afterwards.
    pub on_paper: bool,
    /// The version of the rule by which it was drawn.
    pub rule: u32,
    /// The prompts.
    pub prompts: Vec<Prompt>,
    /// SHA-256 of the list of prompts as JSON.
    pub seal: String,
}

impl Drawn {
    /// The seal of a list of prompts.
    #[must_use]
    pub fn seal_of(prompts: &[Prompt]) -> String {
        let json = serde_json::to_string(prompts).unwrap_or_default();
        let digest = Sha256::digest(json.as_bytes());
        digest.iter().fold(String::new(), |mut hex, byte| {
            let _ = write!(hex, "{byte:02x}"); // writing to a String cannot fail
            hex
        })
    }

    /// A prompt with what the series has in common; none if it has no such prompt.
    #[must_use]
    pub fn prompted(&self, place: usize) -> Option<Prompted<'_>> {
        Some(Prompted {
            kind: self.what,
            side: self.side,
            scent: self.scent.as_deref(),
            prompt: self.prompts.get(place)?,
        })
    }

    fn fits(&self) -> Result<(), String> {
        let wish = SeriesPlan {
            kind: self.what,
            side: self.side,
            prompts: Some(self.prompts.len() as u32),
            scent: self.scent.clone(),
            together: self.together,
        };
        wish.check("series").map_err(|error| error.to_string())?;
        if self.seal != Drawn::seal_of(&self.prompts) {
            return Err("expected a seal that fits the prompts".into());
        }
        let presents = |prompt: &Prompt| self.what.presents(prompt.target);
        if !self.prompts.iter().all(presents) {
            return Err(format!(
                "expected prompts of a series of {}",
                self.what.name()
            ));
        }
        Ok(())
    }
}

/// Where a prompt stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Stage {
    /// Not done yet.
    Waiting,
    /// Done as shown, not answered yet.
    Done {
        /// When.
        at: Moment,
    },
    /// Answered.
    Answered {
        /// When it was done.
        at: Moment,
        /// What was answered.
        reply: Reply,
        /// How long after, s; none if it was entered afterwards.
        after_s: Option<f64>,
        /// Whether the examiner corrected it.
        amended: bool,
    },
    /// Not done as shown.
    Void {
        /// Why.
        reason: String,
    },
    /// Taken back by the examiner.
    Undone {
        /// Why.
        reason: String,
    },
}

/// A series and how far it got.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// As it was drawn.
    pub drawn: Drawn,
    /// When it was drawn.
    pub at: Moment,
    /// Where each prompt stands.
    pub stages: Vec<Stage>,
    /// How it ended before it was done, if it did.
    pub ended: Option<(HowEnded, String)>,
}

impl Series {
    /// The number of a prompt in the visit.
    #[must_use]
    pub fn n(&self, place: usize) -> u32 {
        self.drawn.first_n + place as u32
    }

    /// The first prompt that is not settled.
    #[must_use]
    pub fn next(&self) -> Option<usize> {
        if self.ended.is_some() {
            return None;
        }
        let open = |stage: &Stage| matches!(stage, Stage::Waiting | Stage::Done { .. });
        self.stages.iter().position(open)
    }

    /// Whether nothing more comes.
    #[must_use]
    pub fn over(&self) -> bool {
        self.next().is_none()
    }

    /// The answers, in the order of the prompts; none where there is no answer that counts.
    #[must_use]
    pub fn replies(&self) -> Vec<Option<Reply>> {
        let reply = |stage: &Stage| match stage {
            Stage::Answered { reply, .. } => Some(*reply),
            _ => None,
        };
        self.stages.iter().map(reply).collect()
    }

    /// Prompts that count, with their answers.
    pub fn answered(&self) -> impl Iterator<Item = (&Prompt, Reply)> {
        let replies = self.replies();
        self.drawn
            .prompts
            .iter()
            .zip(replies)
            .filter_map(|(prompt, reply)| Some((prompt, reply?)))
    }
}

/// An entry and when it was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Entered {
    /// The entry.
    pub entry: Entry,
    /// When.
    pub at: Moment,
}

/// All that was done by hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bedside {
    worksheet: Option<Worksheet>,
    entries: Vec<Entered>,
    ready: Option<(String, Option<Side>)>,
    series: Vec<Series>,
}

impl Bedside {
    /// The worksheet, once it was laid out.
    #[must_use]
    pub fn worksheet(&self) -> Option<&Worksheet> {
        self.worksheet.as_ref()
    }

    /// All entries in order, also those that later ones replace.
    #[must_use]
    pub fn entries(&self) -> &[Entered] {
        &self.entries
    }

    /// The entry of a line that counts: the latest.
    #[must_use]
    pub fn entry(&self, item: &str, side: Option<Side>) -> Option<&Entered> {
        let is = |one: &&Entered| one.entry.item == item && one.entry.side == side;
        self.entries.iter().rfind(is)
    }

    /// Whether somebody stands ready to hold the person, for this line.
    #[must_use]
    pub fn ready(&self, item: &str, side: Option<Side>) -> bool {
        let ready = self.ready.as_ref();
        ready.is_some_and(|(id, of)| id == item && *of == side)
    }

    /// All series in order.
    #[must_use]
    pub fn series(&self) -> &[Series] {
        &self.series
    }

    /// Whether nothing was done by hand.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty() && self.series.is_empty()
    }

    fn find(&mut self, n: u32) -> Option<(&mut Series, usize)> {
        self.series.iter_mut().find_map(|series| {
            let place = n.checked_sub(series.drawn.first_n)? as usize;
            (place < series.stages.len()).then_some((series, place))
        })
    }

    /// Takes an event in, if it is about what is done by hand; `next_number` moves on by the
    /// prompts of a series. None: it is about something else.
    pub(super) fn fold(
        &mut self,
        body: &Body,
        at: Moment,
        next_number: &mut u32,
    ) -> Option<Result<(), String>> {
        let done = match body {
            Body::Laid(worksheet) => self.lay(worksheet),
            Body::Readied { item, side } => self.make_ready(item, *side),
            Body::Entered(entry) => self.enter(entry, at),
            Body::Drawn(drawn) => self.draw(drawn, at, next_number),
            Body::Ended {
                section: Section::Series(series),
                how,
                reason,
            } => self.end(*series, *how, reason),
            Body::Arrived { n, began_s } => {
                let (series, place) = self.find(*n)?;
                match (&series.stages[place], &series.ended) {
                    (Stage::Waiting, None) => {
                        series.stages[place] = Stage::Done { at: *began_s };
                        Ok(())
                    }
                    _ => Err(format!("expected prompt {n} to be still to come")),
                }
            }
            Body::Void { n, reason } => {
                let (series, place) = self.find(*n)?;
                match (&series.stages[place], &series.ended) {
                    (Stage::Waiting | Stage::Done { .. }, None) => {
                        let reason = reason.clone();
                        series.stages[place] = Stage::Void { reason };
                        Ok(())
                    }
                    _ => Err(format!("expected prompt {n} to be still open")),
                }
            }
            Body::Answered { n, answer, after_s } => {
                let (series, place) = self.find(*n)?;
                answer_prompt(series, place, answer, *after_s)
            }
            Body::Undone { n, reason } => {
                let (series, place) = self.find(*n)?;
                match series.stages[place] {
                    Stage::Answered { .. } => {
                        let reason = reason.clone();
                        series.stages[place] = Stage::Undone { reason };
                        Ok(())
                    }
                    _ => Err(format!("expected an answer to prompt {n} to take back")),
                }
            }
            Body::Amended { n, answer, .. } => {
                let (series, place) = self.find(*n)?;
                amend_prompt(series, place, answer)
            }
            _ => return None,
        };
        Some(done)
    }

    fn lay(&mut self, worksheet: &Worksheet) -> Result<(), String> {
        if self.worksheet.is_some() {
            return Err("expected one worksheet only".into());
        }
        self.worksheet = Some(worksheet.clone());
        Ok(())
    }

    fn make_ready(&mut self, item: &str, side: Option<Side>) -> Result<(), String> {
        let found = self.worksheet.as_ref().and_then(|sheet| sheet.item(item));
        match found {
            Some(found) if found.hold_ready && found.each_side == side.is_some() => {
                self.ready = Some((item.to_owned(), side));
                Ok(())
            }
            _ => Err(format!(
                "expected an item at which somebody stands ready, found {item:?}"
            )),
        }
    }

    /// A number of an item at which somebody has to stand ready is taken only after that was
    /// ticked, each time anew.
    fn enter(&mut self, entry: &Entry, at: Moment) -> Result<(), String> {
        let Some(sheet) = &self.worksheet else {
            return Err("expected the worksheet before its entries".into());
        };
        sheet.admits(entry)?;
        let guarded = sheet.item(&entry.item).is_some_and(|item| item.hold_ready);
        if guarded && entry.number.is_some() {
            if !self.ready(&entry.item, entry.side) {
                return Err(format!(
                    "expected 'ready to hold' before {} is timed",
                    entry.item
                ));
            }
            self.ready = None;
        }
        self.entries.push(Entered {
            entry: entry.clone(),
            at,
        });
        Ok(())
    }

    fn draw(&mut self, drawn: &Drawn, at: Moment, next_number: &mut u32) -> Result<(), String> {
        let (series, first_n) = (self.series.len() as u32 + 1, *next_number);
        if drawn.series != series || drawn.first_n != first_n {
            return Err(format!(
                "expected series {series} from presentation {first_n} on"
            ));
        }
        drawn.fits()?;
        *next_number += drawn.prompts.len() as u32;
        self.series.push(Series {
            drawn: drawn.clone(),
            at,
            stages: vec![Stage::Waiting; drawn.prompts.len()],
            ended: None,
        });
        Ok(())
    }

    fn end(&mut self, series: u32, how: HowEnded, reason: &str) -> Result<(), String> {
        let found = series
            .checked_sub(1)
            .and_then(|at| self.series.get_mut(at as usize));
        match found {
            Some(found) if !found.over() => {
                found.ended = Some((how, reason.to_owned()));
                Ok(())
            }
            _ => Err(format!("expected a series under way, {series} is none")),
        }
    }
}

fn reply_to(series: &Series, place: usize, answer: &Answer) -> Result<Reply, String> {
    match answer {
        Answer::Reply(reply) if series.drawn.what.replies().contains(reply) => Ok(*reply),
        _ => Err(format!(
            "expected an answer to a series of {} for prompt {}",
            series.drawn.what.name(),
            series.n(place)
        )),
    }
}

fn answer_prompt(
    series: &mut Series,
    place: usize,
    answer: &Answer,
    after_s: Option<f64>,
) -> Result<(), String> {
    let reply = reply_to(series, place, answer)?;
    let (Stage::Done { at }, None) = (&series.stages[place], &series.ended) else {
        let n = series.n(place);
        return Err(format!("expected prompt {n} to be done before its answer"));
    };
    series.stages[place] = Stage::Answered {
        at: *at,
        reply,
        after_s,
        amended: false,
    };
    Ok(())
}

fn amend_prompt(series: &mut Series, place: usize, answer: &Answer) -> Result<(), String> {
    let reply = reply_to(series, place, answer)?;
    let Stage::Answered { at, after_s, .. } = series.stages[place] else {
        let n = series.n(place);
        return Err(format!("expected an answer to prompt {n} to correct"));
    };
    series.stages[place] = Stage::Answered {
        at,
        reply,
        after_s,
        amended: true,
    };
    Ok(())
}
