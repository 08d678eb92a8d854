//! All that was done by hand, as it stands in `findings.json`.

use super::cautions::{Caution, not_concluded};
use super::series::{LEVEL, SeriesFinding, SidesCompared, series_findings};
use crate::finding::{HearingFindings, SightFindings};
use crate::journal::{Bedside, Entered, Found, Item, Record};
use crate::quantity::{Ear, Eye, Sense, Side};
use crate::stimulus::SeriesKind;
use serde::{Deserialize, Serialize};

/// How a line of the worksheet stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LineState {
    /// Nobody entered anything: it says nothing, least of all normal.
    NotEntered,
    /// Filled in from the measurement.
    Measured,
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

impl LineState {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            LineState::NotEntered => "not entered",
            LineState::Measured => "measured",
            LineState::Normal => Found::Normal.words(),
            LineState::Abnormal => Found::Abnormal.words(),
            LineState::NotTested => Found::NotTested.words(),
            LineState::NotPossible => Found::NotPossible.words(),
            LineState::Declined => Found::Declined.words(),
            LineState::Noted => Found::Noted.words(),
        }
    }

    fn of(found: Found) -> LineState {
        match found {
            Found::Normal => LineState::Normal,
            Found::Abnormal => LineState::Abnormal,
            Found::NotTested => LineState::NotTested,
            Found::NotPossible => LineState::NotPossible,
            Found::Declined => LineState::Declined,
            Found::Noted => LineState::Noted,
        }
    }
}

/// One line of the worksheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Line {
    /// The nerves.
    pub nerve: String,
    /// The item's id.
    pub item: String,
    /// What is looked at.
    pub words: String,
    /// The side, where each has a line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// How it stands.
    pub finding: LineState,
    /// How much.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// A number …
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<f64>,
    /// … in this unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// What was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured: Option<String>,
    /// In the examiner's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub comment: String,
    /// Who looked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who: Option<String>,
    /// When, s from the visit's beginning.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_s: Option<f64>,
    /// How often the line was entered; more than once: it was corrected.
    pub entries: u32,
    /// Whether it is only observed, and never scored.
    pub observed: bool,
}

/// All that was done by hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct BedsideFindings {
    /// Every line of the worksheet, in its order; none without a worksheet.
    pub worksheet: Vec<Line>,
    /// What was found abnormal and means: refer now.
    pub refer_now: Vec<String>,
    /// The series.
    pub series: Vec<SeriesFinding>,
    /// Nostrils, eyes and ears beside one another.
    pub sides: Vec<SidesCompared>,
    /// How statements about guessing are corrected.
    pub correction: String,
    /// What must not be concluded.
    pub not_concluded: Vec<Caution>,
}

impl BedsideFindings {
    /// Of a record; none if nothing was done by hand. Figures of the senses in `as_obtained`, whose
    /// answers do not agree with one another, are told as that, and no mean is made of them.
    #[must_use]
    pub fn of(
        record: &Record,
        hearing: &HearingFindings,
        sight: &SightFindings,
        levels: &str,
        as_obtained: &[Sense],
    ) -> Option<BedsideFindings> {
        let bedside = record.bedside();
        if bedside.is_empty() {
            return None;
        }
        let measured = |item: &Item, side: Option<Side>| {
            let (sense, side) = (item.measured?, side?);
            let withheld = as_obtained.contains(&sense);
            match sense {
                Sense::Hearing => heard(hearing, side, levels, withheld),
                Sense::Sight => seen(sight, side, withheld),
            }
        };
        let worksheet = lines(bedside, measured);
        let (series, sides) = series_findings(bedside.series());
        let kinds: Vec<SeriesKind> = series.iter().map(|one| one.kind).collect();
        let judged = series.iter().filter(|one| one.chance.is_some()).count();
        Some(BedsideFindings {
            refer_now: refer_now(bedside),
            correction: correction(judged),
            not_concluded: not_concluded(&kinds),
            worksheet,
            series,
            sides,
        })
    }
}

fn correction(series: usize) -> String {
    format!(
        "'More' or 'fewer than guessing gives' is said where the exact one-sided probability, given \
         the answers and the law of the draws, is at most {LEVEL} / (2 x {series} series): over all \
         series together such a statement is made of somebody whose answers tell nothing at most \
         {} times in 100. Side differences stand out where Fisher's exact probability is at most \
         {LEVEL} divided by their number.",
        100.0 * LEVEL
    )
}

fn lines(bedside: &Bedside, measured: impl Fn(&Item, Option<Side>) -> Option<String>) -> Vec<Line> {
    let Some(sheet) = bedside.worksheet() else {
        return Vec::new();
    };
    sheet
        .lines()
        .map(|(item, side)| {
            let entered = bedside.entry(&item.id, side);
            let measured = measured(item, side);
            let is = |one: &&Entered| one.entry.item == item.id && one.entry.side == side;
            Line {
                nerve: item.nerve.clone(),
                item: item.id.clone(),
                words: item.words.clone(),
                side,
                finding: match (entered, &measured) {
                    (Some(entered), _) => LineState::of(entered.entry.found),
                    (None, Some(_)) => LineState::Measured,
                    (None, None) => LineState::NotEntered,
                },
                grade: entered.and_then(|one| one.entry.grade.clone()),
                number: entered.and_then(|one| one.entry.number),
                unit: item.unit.clone(),
                measured,
                comment: entered.map_or(String::new(), |one| one.entry.comment.clone()),
                who: entered.map(|one| one.entry.who.clone()),
                at_s: entered.map(|one| one.at.seconds()),
                entries: bedside.entries().iter().filter(is).count() as u32,
                observed: item.observed,
            }
        })
        .collect()
}

fn refer_now(bedside: &Bedside) -> Vec<String> {
    let sheet = bedside.worksheet();
    let lines = sheet.into_iter().flat_map(crate::journal::Worksheet::lines);
    lines
        .filter_map(|(item, side)| {
            let entered = bedside.entry(&item.id, side)?;
            let flag = item.refer_now.as_ref()?;
            let side = side.map_or(String::new(), |side| format!(", {side}"));
            (entered.entry.found == Found::Abnormal)
                .then(|| format!("{}{side}: abnormal. Refer now if it is {flag}", item.words))
        })
        .collect()
}

/// The mean of what was measured at 0.5, 1, 2 and 4 kHz, or how many thresholds there are.
fn heard(hearing: &HearingFindings, side: Side, levels: &str, withheld: bool) -> Option<String> {
    let ear = match side {
        Side::Right => Ear::Right,
        Side::Left => Ear::Left,
    };
    let all = hearing.ear(ear);
    let stated: Vec<(f64, f64)> = all
        .iter()
        .filter_map(|one| Some((one.hz.0, one.stated_db()?)))
        .collect();
    if stated.is_empty() {
        return None;
    }
    let of_mean = [500.0, 1000.0, 2000.0, 4000.0];
    let four: Vec<f64> = stated
        .iter()
        .filter(|(hz, _)| of_mean.contains(hz))
        .map(|(_, db)| *db)
        .collect();
    let count = stated.len();
    Some(if withheld {
        format!("{count} frequencies as obtained, no thresholds")
    } else if four.len() == of_mean.len() {
        let mean_db = four.iter().sum::<f64>() / 4.0;
        format!("mean of 0.5, 1, 2 and 4 kHz {mean_db:.0} {levels}; {count} frequencies")
    } else {
        format!("{count} frequencies, see the thresholds")
    })
}

fn seen(sight: &SightFindings, side: Side, withheld: bool) -> Option<String> {
    let eye = match side {
        Side::Right => Eye::Right,
        Side::Left => Eye::Left,
    };
    let log_mar = sight.eye(eye).log_mar?;
    let as_obtained = if withheld { ", as obtained" } else { "" };
    Some(format!("{log_mar:.2} logMAR{as_obtained}"))
}
