//! The steps done by hand: series with somebody who answers at once, and series on paper.

use super::begin::{Begin, JOURNAL_FILE, begin, resume};
use super::{ErrandError, write_results};
use crate::bedside::{VOID_LETTER, key_of, reply_of, sheet};
use crate::calibration::SetUp;
use crate::journal::{PersonKind, Plan, Series, SeriesPlan, Stage, Store};
use crate::person::Person;
use crate::quantity::Moment;
use crate::report::Findings;
use crate::store::Kept;
use crate::visit::{AtBedside, Input, Visit, VisitError};
use jiff::Timestamp;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Between the examiner's doing and the entry of an answer that was said, s (our choice).
const ENTRY_S: f64 = 0.5;

/// Goes through the series of the plan; time is made, not waited for, and follows from what the
/// journal holds, so that a visit that is gone on with is the undisturbed one. Tells when the last
/// one is over.
///
/// # Errors
/// If the journal fails, or the person cannot answer any more.
pub(super) fn planned_series<S: Store>(
    visit: &mut Visit<S>,
    person: &mut dyn Person,
    now: Moment,
) -> Result<Moment, ErrandError> {
    let plan = visit.record().opening.plan.bedside.clone();
    let wishes = plan.map_or(Vec::new(), |plan| plan.series);
    loop {
        let series = visit.record().bedside().series();
        let (count, open) = (series.len(), series.last().and_then(Series::next));
        if let Some(place) = open {
            one_prompt(visit, person, place)?;
        } else if let Some(wish) = wishes.get(count).cloned() {
            let at = now.max(visit.record().last_moment());
            let on_paper = false;
            enter(visit, AtBedside::Draw { wish, on_paper }, at)?;
        } else {
            return Ok(now.max(visit.record().last_moment()));
        }
    }
}

fn one_prompt<S: Store>(
    visit: &mut Visit<S>,
    person: &mut dyn Person,
    place: usize,
) -> Result<(), ErrandError> {
    let Some(series) = visit.record().bedside().series().last().cloned() else {
        return Ok(());
    };
    let Some(prompted) = series.drawn.prompted(place) else {
        return Ok(());
    };
    let n = series.n(place);
    let at = if let Stage::Done { at } = series.stages[place] {
        at
    } else {
        let last = visit.record().last_moment();
        let at = last.plus_seconds(prompted.prompt.gap_s);
        enter(visit, AtBedside::Done { n, at }, at)?;
        at
    };
    let replied = person
        .reply(n, &prompted)
        .map_err(|error| ErrandError::Failed(error.to_string()))?;
    let done = AtBedside::Reply {
        n,
        reply: replied.reply,
        after_s: Some(replied.after_s),
    };
    enter(visit, done, at.plus_seconds(replied.after_s + ENTRY_S))
}

fn enter<S: Store>(visit: &mut Visit<S>, done: AtBedside, now: Moment) -> Result<(), ErrandError> {
    match visit.step(Input::Bedside(done), now) {
        Ok(_) => Ok(()),
        Err(VisitError::Refused(why)) => Err(ErrandError::BadInput(why)),
        Err(error) => Err(ErrandError::Failed(error.to_string())),
    }
}

/// A series that is to be worked through on paper.
#[derive(Debug, Clone)]
pub struct SheetWish {
    /// The folder of the visit; one begins there if there is none.
    pub folder: PathBuf,
    /// The code of the person, of a visit that begins.
    pub code: String,
    /// The seed, of a visit that begins.
    pub seed: u64,
    /// The series.
    pub series: SeriesPlan,
    /// The sheet to write, as SVG.
    pub out: PathBuf,
}

/// A sealed sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SheetReport {
    /// The number of the series in the visit.
    pub series: u32,
    /// How many prompts it has.
    pub prompts: u32,
    /// Its seal, in the journal and on the paper.
    pub seal: String,
    /// The letters by which its answers are entered.
    pub letters: String,
}

/// Draws a series, seals it in the visit's journal, and writes its sheet.
///
/// # Errors
/// If it cannot be done, the visit cannot be opened or begun, or the sheet cannot be written.
pub fn sheet_on_paper(wish: &SheetWish) -> Result<SheetReport, ErrandError> {
    // Looked at first, so that what is refused begins no visit.
    let checked = wish.series.check("series");
    checked.map_err(|error| ErrandError::BadInput(error.to_string()))?;
    let mut visit = open_or_begin(wish)?;
    let now = now_of(&visit);
    let done = AtBedside::Draw {
        wish: wish.series.clone(),
        on_paper: true,
    };
    enter(&mut visit, done, now)?;
    let Some(series) = visit.record().bedside().series().last() else {
        return Err(ErrandError::Failed("the series was not drawn".into()));
    };
    std::fs::write(&wish.out, sheet(series))
        .map_err(|error| ErrandError::failed(&wish.out, error))?;
    Ok(SheetReport {
        series: series.drawn.series,
        prompts: series.drawn.prompts.len() as u32,
        seal: series.drawn.seal.clone(),
        letters: key_of(series.drawn.what),
    })
}

fn open_or_begin(wish: &SheetWish) -> Result<Visit<Kept>, ErrandError> {
    if wish.folder.join(JOURNAL_FILE).exists() {
        return resume(&wish.folder);
    }
    begin(&Begin {
        folder: wish.folder.clone(),
        seed: wish.seed,
        person: PersonKind::Living {
            code: wish.code.clone(),
        },
        set_up: SetUp {
            name: "by hand".into(),
            earphone: None,
            screen: None,
            distance_mm: None,
            u_distance_rel: 0.0,
            mirrored: false,
            room: None,
            watch: None,
            sides_swapped: false,
        },
        plan: Plan::from_toml("format = 1\nname = \"by hand\"\n", "plan")
            .map_err(|error| ErrandError::Failed(error.to_string()))?,
        epoch: Timestamp::now(),
    })
}

fn now_of(visit: &Visit<Kept>) -> Moment {
    let since = Timestamp::now().duration_since(visit.journal().epoch());
    let now = Moment::from_seconds(since.as_secs_f64());
    now.max(visit.record().last_moment())
}

/// Enters the answers of a series from its sheet, one letter a prompt, and closes the visit if
/// that is asked for; all letters are looked at before the first is entered.
///
/// # Errors
/// If there is no such series, a letter does not fit it, or the journal fails.
pub fn answers_from_paper(
    folder: &Path,
    series: u32,
    letters: &str,
    close: bool,
) -> Result<Findings, ErrandError> {
    let mut visit = resume(folder)?;
    let path = folder.join(JOURNAL_FILE);
    let found = series
        .checked_sub(1)
        .and_then(|at| visit.record().bedside().series().get(at as usize));
    let Some(found) = found.filter(|one| !one.over()).cloned() else {
        let what = format!("--series: expected a series that waits for answers, found {series}");
        return Err(ErrandError::in_file(&path, what));
    };
    let signs: Vec<char> = letters
        .chars()
        .filter(|sign| !sign.is_whitespace())
        .collect();
    let prompts = found.drawn.prompts.len();
    if signs.len() != prompts {
        let what = format!(
            "letters: expected {prompts}, one a prompt, found {}",
            signs.len()
        );
        return Err(ErrandError::in_file(&path, what));
    }
    let now = now_of(&visit);
    let steps: Result<Vec<_>, ErrandError> = signs
        .iter()
        .enumerate()
        .map(|(place, sign)| {
            steps_of(&found, place, *sign, now).map_err(|what| ErrandError::in_file(&path, what))
        })
        .collect();
    let waiting = |place: usize| matches!(found.stages[place], Stage::Waiting);
    for (place, steps) in steps?.into_iter().enumerate() {
        for step in steps.into_iter().filter(|_| waiting(place)) {
            let now = now_of(&visit);
            enter(&mut visit, step, now)?;
        }
    }
    let left = visit.record().bedside().series()[series as usize - 1].next();
    if left.is_some() {
        let done = AtBedside::End {
            series,
            how: crate::journal::HowEnded::Stopped,
            reason: "prompts were left undone on the sheet".into(),
        };
        let now = now_of(&visit);
        enter(&mut visit, done, now)?;
    }
    if close {
        let now = now_of(&visit);
        visit
            .step(Input::Close, now)
            .map_err(|error| ErrandError::Failed(error.to_string()))?;
    }
    write_results(folder, &mut visit)
}

/// What a letter on the sheet means.
fn steps_of(
    series: &Series,
    place: usize,
    sign: char,
    at: Moment,
) -> Result<Vec<AtBedside>, String> {
    let n = series.n(place);
    match sign.to_ascii_lowercase() {
        '-' => return Ok(Vec::new()),
        VOID_LETTER => {
            let reason = "not done as shown".into();
            return Ok(vec![AtBedside::Void { n, reason }]);
        }
        _ => {}
    }
    let Some(reply) = reply_of(series.drawn.what, sign) else {
        let key = key_of(series.drawn.what);
        return Err(format!(
            "letter {}: expected {key}, found {sign:?}",
            place + 1
        ));
    };
    let after_s = None;
    Ok(vec![
        AtBedside::Done { n, at },
        AtBedside::Reply { n, reply, after_s },
    ])
}
