//! What can be asked of the index.

use super::{Index, IndexError};
use crate::store::code::Code;
use crate::store::people::as_looked_for;
use crate::store::signature::SignedHead;
use jiff::Timestamp;
use rusqlite::{OptionalExtension, Row, params};
use serde::Serialize;
use std::fmt::Write;

/// Where a visit stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// It is going on, or the program ended while it was.
    Open,
    /// It is over.
    Closed,
    /// It was left before it was over.
    BrokenOff,
    /// It was taken away; who, when and why is known.
    Erased,
}

/// Somebody who was looked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FoundPerson {
    /// The code.
    pub code: Code,
    /// The name; none once it was erased.
    pub name: Option<String>,
    /// The day of birth.
    pub born: Option<String>,
    /// The number elsewhere.
    pub number_elsewhere: Option<String>,
    /// How many visits there are.
    pub visits: u64,
    /// When the latest began.
    pub latest: Option<Timestamp>,
}

/// Somebody who works here.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FoundUser {
    /// The code.
    pub code: Code,
    /// The name.
    pub name: String,
    /// `examiner`, `supervisor` or `trainee`.
    pub role: String,
    /// Whether they still do.
    pub works_here: bool,
}

/// A visit as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FoundVisit {
    /// The code.
    pub code: Code,
    /// Whose it is.
    pub person: Option<Code>,
    /// Their name, where it is known.
    pub name: Option<String>,
    /// The title of a simulated person.
    pub simulated: Option<String>,
    /// When it began.
    pub began: Timestamp,
    /// The name of its plan.
    pub plan: String,
    /// Where it stands.
    pub state: State,
    /// Its head, as it was signed last.
    pub signed: Option<SignedHead>,
    /// What was found, in one line, where that was folded from this head.
    pub summary: Option<String>,
    /// Of which version of the mathematics the line is.
    pub mathematics: Option<u32>,
    /// Who took it away, when and why.
    pub erased: Option<(Option<Code>, Timestamp, String)>,
}

/// Which visits are asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct VisitsOf {
    /// Of this person alone.
    pub person: Option<Code>,
    /// At most so many, the latest first.
    pub most: u32,
    /// After so many.
    pub after: u32,
}

const VISIT: &str =
    "SELECT v.code, v.person, i.name, v.simulated, v.began, v.plan, v.state, v.signed,
     v.summary, v.summary_head, v.mathematics, v.erased_by, v.erased_at, v.erased_why, v.head
     FROM visit v LEFT JOIN identity i ON i.code = v.person";

/// Somebody who has a name.
const PERSON: &str = "SELECT p.code, i.name, i.born, i.number_elsewhere,
     (SELECT count(*) FROM visit v WHERE v.person = p.code AND v.state <> 'erased'),
     (SELECT max(v.began) FROM visit v WHERE v.person = p.code AND v.state <> 'erased')
     FROM identity i JOIN person p ON p.code = i.code";

/// Somebody whose name may have been taken away.
const ANYBODY: &str = "SELECT p.code, i.name, i.born, i.number_elsewhere,
     (SELECT count(*) FROM visit v WHERE v.person = p.code AND v.state <> 'erased'),
     (SELECT max(v.began) FROM visit v WHERE v.person = p.code AND v.state <> 'erased')
     FROM person p LEFT JOIN identity i ON i.code = p.code";

impl Index {
    /// Visits, the latest first.
    pub fn visits(&self, of: &VisitsOf) -> Result<Vec<FoundVisit>, IndexError> {
        let only = if of.person.is_some() {
            "WHERE v.person = ?1"
        } else {
            "WHERE ?1 IS NULL"
        };
        let sql = format!("{VISIT} {only} ORDER BY v.began DESC, v.code LIMIT ?2 OFFSET ?3");
        let mut ask = self.connection.prepare_cached(&sql)?;
        let person = of.person.as_ref().map(Code::plain);
        let rows = ask.query_map(params![person, of.most, of.after], visit)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Visits in the order of their codes, after this one, at most so many: however many there are, each page takes as
    /// long.
    pub fn visits_after(&self, after: &str, most: u32) -> Result<Vec<FoundVisit>, IndexError> {
        let sql = format!("{VISIT} WHERE v.code > ?1 ORDER BY v.code LIMIT ?2");
        let mut ask = self.connection.prepare_cached(&sql)?;
        let rows = ask.query_map(params![after, most], visit)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// A visit by its code.
    pub fn visit(&self, code: &Code) -> Result<Option<FoundVisit>, IndexError> {
        let sql = format!("{VISIT} WHERE v.code = ?1");
        let mut ask = self.connection.prepare_cached(&sql)?;
        Ok(ask.query_row([code.plain()], visit).optional()?)
    }

    /// Visits that the program left open.
    pub fn open_visits(&self) -> Result<Vec<Code>, IndexError> {
        let mut ask = self
            .connection
            .prepare_cached("SELECT code FROM visit WHERE state = 'open' ORDER BY code")?;
        let rows = ask.query_map([], |row| code(row, 0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// How many visits there are that were not taken away.
    pub fn count_visits(&self) -> Result<u64, IndexError> {
        let mut ask = self
            .connection
            .prepare_cached("SELECT count(*) FROM visit WHERE state <> 'erased'")?;
        Ok(ask.query_row([], |row| row.get::<_, i64>(0))? as u64)
    }

    /// People in whose name, birth date, number or code every one of these words stands; all of
    /// them for no words. At most so many, by name.
    pub fn people(&self, words: &str, most: u32) -> Result<Vec<FoundPerson>, IndexError> {
        let looked_for = as_looked_for(words);
        let mut patterns: Vec<String> = Vec::new();
        let mut found = String::new();
        for word in looked_for.split_whitespace().take(8) {
            // `instr` knows no signs that stand for others, so nothing has to be escaped.
            patterns.push(word.to_owned());
            let at = patterns.len();
            let _ = write!(found, " AND instr(i.looked_through, ?{at}) > 0");
        }
        // Without words the first by name are wanted; with some, the whole table is read once in its own
        // order, which is quicker than following the names.
        let by = if patterns.is_empty() {
            "i.name"
        } else {
            "+i.name"
        };
        let sql =
            format!("{PERSON} WHERE i.name IS NOT NULL{found} ORDER BY {by}, i.code LIMIT {most}");
        let mut ask = self.connection.prepare_cached(&sql)?;
        let rows = ask.query_map(rusqlite::params_from_iter(patterns), person)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// People whose names and visits that were taken away.
    pub fn erased(&self) -> Result<(Vec<Code>, Vec<Code>), IndexError> {
        let all = |sql: &str| -> Result<Vec<Code>, IndexError> {
            let mut ask = self.connection.prepare_cached(sql)?;
            let rows = ask.query_map([], |row| code(row, 0))?;
            Ok(rows.collect::<Result<_, _>>()?)
        };
        Ok((
            all("SELECT code FROM person WHERE erased IS NOT NULL")?,
            all("SELECT code FROM visit WHERE state = 'erased'")?,
        ))
    }

    /// Of what this index does not say the same as another does: people, users or a visit; none if they
    /// agree. What a list says in one line is only a help, and left out.
    pub fn differs_from(&self, other: &Index) -> Result<Option<String>, IndexError> {
        if self.people("", u32::MAX)? != other.people("", u32::MAX)? {
            return Ok(Some("people".into()));
        }
        if self.users()? != other.users()? {
            return Ok(Some("users".into()));
        }
        let mut after = String::new();
        loop {
            let page = |index: &Index| index.visits_after(&after, 1000);
            let [ours, theirs] = [page(self)?, page(other)?];
            let bare = |found: &FoundVisit| FoundVisit {
                summary: None,
                mathematics: None,
                ..found.clone()
            };
            let pairs = ours.iter().map(bare).zip(theirs.iter().map(bare));
            if let Some((ours, _)) = pairs.into_iter().find(|(ours, theirs)| ours != theirs) {
                return Ok(Some(format!("visit {}", ours.code)));
            }
            if ours.len() != theirs.len() {
                return Ok(Some("how many visits there are".into()));
            }
            let Some(last) = ours.last() else {
                return Ok(None);
            };
            last.code.plain().clone_into(&mut after);
        }
    }

    /// A person by their code.
    pub fn person(&self, code: &Code) -> Result<Option<FoundPerson>, IndexError> {
        let sql = format!("{ANYBODY} WHERE p.code = ?1");
        let mut ask = self.connection.prepare_cached(&sql)?;
        Ok(ask.query_row([code.plain()], person).optional()?)
    }

    /// Everybody who works or worked here, by name.
    pub fn users(&self) -> Result<Vec<FoundUser>, IndexError> {
        let mut ask = self
            .connection
            .prepare_cached("SELECT code, name, role, works_here FROM user ORDER BY name, code")?;
        let rows = ask.query_map([], |row| {
            Ok(FoundUser {
                code: code(row, 0)?,
                name: row.get(1)?,
                role: row.get(2)?,
                works_here: row.get(3)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn code(row: &Row<'_>, at: usize) -> rusqlite::Result<Code> {
    let text: String = row.get(at)?;
    text.parse().map_err(|what: String| strange(at, what))
}

fn some_code(row: &Row<'_>, at: usize) -> rusqlite::Result<Option<Code>> {
    let text: Option<String> = row.get(at)?;
    text.map(|text| text.parse().map_err(|what: String| strange(at, what)))
        .transpose()
}

fn time(row: &Row<'_>, at: usize) -> rusqlite::Result<Option<Timestamp>> {
    let micros: Option<i64> = row.get(at)?;
    let time = |micros| {
        Timestamp::from_microsecond(micros).map_err(|error| strange(at, error.to_string()))
    };
    micros.map(time).transpose()
}

/// What no writing of ours left there.
fn strange(at: usize, what: String) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(at, rusqlite::types::Type::Text, what.into())
}

fn person(row: &Row<'_>) -> rusqlite::Result<FoundPerson> {
    Ok(FoundPerson {
        code: code(row, 0)?,
        name: row.get(1)?,
        born: row.get(2)?,
        number_elsewhere: row.get(3)?,
        visits: row.get::<_, i64>(4)? as u64,
        latest: time(row, 5)?,
    })
}

fn visit(row: &Row<'_>) -> rusqlite::Result<FoundVisit> {
    let state: String = row.get(6)?;
    let state = match state.as_str() {
        "open" => State::Open,
        "closed" => State::Closed,
        "broken_off" => State::BrokenOff,
        "erased" => State::Erased,
        _ => return Err(strange(6, format!("state {state}"))),
    };
    let signed: Option<String> = row.get(7)?;
    let signed = signed
        .map(|text| serde_json::from_str(&text).map_err(|error| strange(7, error.to_string())))
        .transpose()?;
    let (of_head, head): (Option<String>, Option<String>) = (row.get(9)?, row.get(14)?);
    let summary: Option<String> = row.get(8)?;
    let erased =
        time(row, 12)?.map(|at| Ok::<_, rusqlite::Error>((some_code(row, 11)?, at, row.get(13)?)));
    Ok(FoundVisit {
        code: code(row, 0)?,
        person: some_code(row, 1)?,
        name: row.get(2)?,
        simulated: row.get(3)?,
        began: time(row, 4)?.unwrap_or_default(),
        plan: row.get(5)?,
        state,
        signed,
        summary: summary.filter(|_| of_head.is_some() && of_head == head),
        mathematics: row.get(10)?,
        erased: erased.transpose()?,
    })
}
