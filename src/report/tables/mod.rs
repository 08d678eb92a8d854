//! Tables for readers: CSV after RFC 4180, one row one thing, a missing value an empty cell and
//! the reason in a column of its own. What each column means stands in the dictionary.

mod acuity;
mod by_hand;
mod column;
mod consistency;
mod hearing;
mod series;
mod trials;
mod visits;

pub(super) use column::word;
pub use column::{Described, no_formula};

use super::{Attachment, Dossier};
use column::Columns;

/// Without parameters, or PDF/A refuses what is attached: PDF wants the plain type.
const CSV: &str = "text/csv";

/// A table that a visit can have.
pub struct Table {
    /// Its name; its file adds `.csv`.
    pub name: &'static str,
    /// What a row is.
    pub row: &'static str,
    described: fn() -> Vec<Described>,
    written: fn(&Dossier) -> Result<Option<String>, csv::Error>,
}

/// All tables.
pub const TABLES: [Table; 10] = [
    visits::TABLE,
    hearing::THRESHOLDS,
    hearing::SCREENING,
    acuity::ACUITY,
    acuity::SIZES,
    consistency::TABLE,
    trials::TABLE,
    by_hand::WORKSHEET,
    series::TABLE,
    by_hand::PROMPTS,
];

impl Table {
    /// What its columns are.
    #[must_use]
    pub fn columns(&self) -> Vec<Described> {
        (self.described)()
    }

    /// The table of a visit as CSV; none where the visit has no such rows.
    ///
    /// # Errors
    /// Only if a row cannot be written, which does not happen in memory.
    pub fn of(&self, dossier: &Dossier) -> Result<Option<String>, csv::Error> {
        (self.written)(dossier)
    }
}

/// The tables that a visit has.
///
/// # Errors
/// Only if a row cannot be written, which does not happen in memory.
pub fn tables(dossier: &Dossier) -> Result<Vec<Attachment>, csv::Error> {
    let mut all = Vec::new();
    for table in &TABLES {
        if let Some(text) = table.of(dossier)? {
            all.push(Attachment {
                name: format!("{}.csv", table.name),
                media_type: CSV,
                about: format!("Table, one row {}.", table.row),
                bytes: text.into_bytes(),
            });
        }
    }
    Ok(all)
}

/// The data dictionary as a file.
///
/// # Errors
/// Only if a row cannot be written, which does not happen in memory.
pub fn dictionary_file() -> Result<Attachment, csv::Error> {
    Ok(Attachment {
        name: "dictionary.csv".into(),
        media_type: CSV,
        about: "What the columns of the tables mean, one row a column.".into(),
        bytes: dictionary()?.into_bytes(),
    })
}

/// The data dictionary: a row for every column of every table, its own included.
///
/// # Errors
/// Only if a row cannot be written, which does not happen in memory.
pub fn dictionary() -> Result<String, csv::Error> {
    let mut rows = Vec::new();
    for table in &TABLES {
        rows.extend(table.columns().into_iter().map(|one| (table.name, one)));
    }
    let own = dictionary_columns().described().into_iter();
    rows.extend(own.map(|one| ("dictionary", one)));
    dictionary_columns().csv(rows.into_iter())
}

type Entry = (&'static str, Described);

fn dictionary_columns() -> Columns<Entry> {
    const SOURCE: &str = "the program";
    let text = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
    Columns::new()
        .text("table", ["The table", SOURCE], move |(table, _): &Entry| {
            text(table)
        })
        .text(
            "column",
            ["The column's name", SOURCE],
            move |(_, one): &Entry| text(&one.name),
        )
        .one_of(
            "type",
            &["text", "word", "number", "count", "yes_no"],
            ["What its cells hold; yes_no is true or false", SOURCE],
            move |(_, one): &Entry| text(one.kind),
        )
        .text(
            "unit",
            ["Its unit; empty: none", SOURCE],
            move |(_, one): &Entry| text(one.unit),
        )
        .text(
            "words",
            ["Of words, all that there are, apart by |", SOURCE],
            move |(_, one): &Entry| text(&one.words.join("|")),
        )
        .text(
            "meaning",
            ["What it means", SOURCE],
            move |(_, one): &Entry| text(&one.meaning),
        )
        .text(
            "source",
            [
                "Where it comes from: the event and field of the journal, or the path in \
                 findings.json, where * is each side and [] each item",
                SOURCE,
            ],
            move |(_, one): &Entry| text(&one.source),
        )
}

/// Begins with the column that tells visits apart once tables are put together.
fn of_visit<R: Row>() -> Columns<R> {
    and_visit(Columns::new())
}

/// The same column at the end, of tables whose first columns others rely on.
fn and_visit<R: Row>(columns: Columns<R>) -> Columns<R> {
    let said = [
        "Which visit: the first 16 digits of the hash of its journal's first line",
        "journal: hash of line 1",
    ];
    columns.text("visit", said, |row: &R| {
        Some(row.dossier().name().to_owned())
    })
}

/// A row knows its visit.
trait Row {
    fn dossier(&self) -> &Dossier;
}

/// A row that is one thing of a visit.
#[derive(Clone, Copy)]
struct Of<'a, T> {
    dossier: &'a Dossier,
    one: T,
}

impl<T> Row for Of<'_, T> {
    fn dossier(&self) -> &Dossier {
        self.dossier
    }
}

/// Rows of what was done by hand, and at least the header where anything was.
fn rows_by_hand<'a, T: 'a>(
    columns: &Columns<Of<'a, T>>,
    dossier: &'a Dossier,
    all: impl Iterator<Item = T>,
) -> Result<Option<String>, csv::Error> {
    let done = dossier.findings.bedside.is_some();
    let rows = all.map(|one| Of { dossier, one });
    done.then(|| columns.csv(rows)).transpose()
}

/// Rows of a visit as CSV; none if there are none.
fn rows_of<'a, T: 'a>(
    columns: &Columns<Of<'a, T>>,
    dossier: &'a Dossier,
    all: impl Iterator<Item = T>,
) -> Result<Option<String>, csv::Error> {
    let mut all = all.map(|one| Of { dossier, one }).peekable();
    if all.peek().is_none() {
        return Ok(None);
    }
    columns.csv(all).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A unit stands in the name of its column.
    #[test]
    fn names_carry_their_units() {
        let endings = [
            ("dB HL", "_db_hl"),
            ("dB against the examiner", "_db_re_examiner"),
            ("dB re full scale", "_db_fs"),
            ("dB", "_db"),
            ("Hz", "_hz"),
            ("s", "_s"),
            ("logMAR", "log_mar"),
            ("mm", "_mm"),
            ("m", "_m"),
            ("%", "_percent"),
        ];
        for table in &TABLES {
            for column in table.columns() {
                assert!(!column.meaning.is_empty() && !column.source.is_empty());
                let known = endings.iter().find(|(unit, _)| *unit == column.unit);
                match known {
                    Some((_, ending)) => {
                        let named = column.name.ends_with(ending);
                        assert!(named, "{}: {}", column.name, column.unit);
                    }
                    None => assert_eq!(column.unit, "", "{}", column.name),
                }
            }
        }
    }

    #[test]
    fn no_table_has_a_column_twice() {
        for table in &TABLES {
            let mut names: Vec<String> = table.columns().into_iter().map(|one| one.name).collect();
            names.sort();
            assert!(
                names.is_sorted_by(|a, b| a < b),
                "{}: {names:?}",
                table.name
            );
        }
    }
}
