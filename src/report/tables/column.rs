//! Columns: what a table's cell holds and what the data dictionary says of it, in one place, so
//! that they cannot drift apart.

use crate::quantity::{Level, Scale};
use crate::report::tidy::six_digits;
use schemars::{JsonSchema, schema_for};
use serde::Serialize;
use serde_json::Value;

type Get<R, T> = Box<dyn Fn(&R) -> Option<T>>;

/// What stands in the cells of a column.
enum Cells<R> {
    /// Somebody's words.
    Text(Get<R, String>),
    /// One of these words.
    Words(Get<R, String>, Vec<String>),
    /// A number with all its digits, as it was recorded.
    Number(Get<R, f64>),
    /// A figure that was worked out, with six digits as in `findings.json`.
    Figure(Get<R, f64>),
    /// How many.
    Count(Get<R, u64>),
    YesNo(Get<R, bool>),
}

/// One column of a table of `R`s.
pub(super) struct Column<R> {
    name: String,
    unit: &'static str,
    meaning: String,
    source: String,
    cells: Cells<R>,
}

/// What the dictionary says of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Described {
    /// Its name.
    pub name: String,
    /// `text`, `word`, `number`, `count` or `yes_no`.
    pub kind: &'static str,
    /// The unit; empty where there is none.
    pub unit: &'static str,
    /// Of a column of words, all that there are.
    pub words: Vec<String>,
    /// What it means.
    pub meaning: String,
    /// Where it comes from: a path in the journal or in `findings.json`.
    pub source: String,
}

/// The columns of a table, in their order.
pub(super) struct Columns<R>(Vec<Column<R>>);

impl<R> Columns<R> {
    pub(super) fn new() -> Columns<R> {
        Columns(Vec::new())
    }

    fn with(
        mut self,
        name: impl Into<String>,
        unit: &'static str,
        [meaning, source]: [&str; 2],
        cells: Cells<R>,
    ) -> Columns<R> {
        self.0.push(Column {
            name: name.into(),
            unit,
            meaning: meaning.to_owned(),
            source: source.to_owned(),
            cells,
        });
        self
    }

    /// Words of people.
    pub(super) fn text(
        self,
        name: impl Into<String>,
        said: [&str; 2],
        get: impl Fn(&R) -> Option<String> + 'static,
    ) -> Columns<R> {
        self.with(name, "", said, Cells::Text(Box::new(get)))
    }

    /// A value of a type that has a fixed list of words.
    pub(super) fn word<T: JsonSchema + Serialize>(
        self,
        name: impl Into<String>,
        said: [&str; 2],
        get: impl Fn(&R) -> Option<T> + 'static,
    ) -> Columns<R> {
        let get = move |row: &R| get(row).map(|value| word(&value));
        self.with(name, "", said, Cells::Words(Box::new(get), words_of::<T>()))
    }

    /// One of these words.
    pub(super) fn one_of(
        self,
        name: impl Into<String>,
        words: &[&str],
        said: [&str; 2],
        get: impl Fn(&R) -> Option<String> + 'static,
    ) -> Columns<R> {
        let words = words.iter().map(|word| (*word).to_owned()).collect();
        self.with(name, "", said, Cells::Words(Box::new(get), words))
    }

    /// A number as it was recorded.
    pub(super) fn number(
        self,
        name: impl Into<String>,
        unit: &'static str,
        said: [&str; 2],
        get: impl Fn(&R) -> Option<f64> + 'static,
    ) -> Columns<R> {
        self.with(name, unit, said, Cells::Number(Box::new(get)))
    }

    /// A figure that was worked out.
    pub(super) fn figure(
        self,
        name: impl Into<String>,
        unit: &'static str,
        said: [&str; 2],
        get: impl Fn(&R) -> Option<f64> + 'static,
    ) -> Columns<R> {
        self.with(name, unit, said, Cells::Figure(Box::new(get)))
    }

    /// A level, in a column for each scale: so nobody takes one scale for another.
    pub(super) fn level(
        mut self,
        stem: &str,
        said: [&str; 2],
        get: impl Fn(&R) -> Option<Level> + Copy + 'static,
    ) -> Columns<R> {
        for (scale, ending) in [
            (Scale::DbHl, "db_hl"),
            (Scale::DbReExaminer, "db_re_examiner"),
            (Scale::DbFs, "db_fs"),
        ] {
            let on_scale = move |row: &R| {
                let level = get(row).filter(|level| level.scale() == scale);
                level.map(Level::db)
            };
            let [meaning, source] = said;
            let meaning = format!("{meaning}, where levels are in {}", scale.unit());
            let name = format!("{stem}_{ending}");
            let source = format!("{source}_{ending}");
            self = self.figure(name, scale.unit(), [&meaning, &source], on_scale);
        }
        self
    }

    /// How many.
    pub(super) fn count(
        self,
        name: impl Into<String>,
        said: [&str; 2],
        get: impl Fn(&R) -> Option<u32> + 'static,
    ) -> Columns<R> {
        let get = move |row: &R| get(row).map(u64::from);
        self.with(name, "", said, Cells::Count(Box::new(get)))
    }

    /// Yes or no.
    pub(super) fn yes_no(
        self,
        name: impl Into<String>,
        said: [&str; 2],
        get: impl Fn(&R) -> Option<bool> + 'static,
    ) -> Columns<R> {
        self.with(name, "", said, Cells::YesNo(Box::new(get)))
    }

    /// Rows as CSV (RFC 4180, UTF-8, decimal point), the header first.
    pub(super) fn csv(&self, rows: impl Iterator<Item = R>) -> Result<String, csv::Error> {
        let mut table = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(vec![]);
        table.write_record(self.0.iter().map(|column| &column.name))?;
        for row in rows {
            table.write_record(self.0.iter().map(|column| column.cells.cell(&row)))?;
        }
        let bytes = table
            .into_inner()
            .map_err(|error| csv::Error::from(error.into_error()))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }

    /// What the dictionary says of them.
    pub(super) fn described(self) -> Vec<Described> {
        let described = |column: Column<R>| Described {
            name: column.name,
            kind: column.cells.kind(),
            unit: column.unit,
            meaning: column.meaning,
            source: column.source,
            words: match column.cells {
                Cells::Words(_, words) => words,
                _ => Vec::new(),
            },
        };
        self.0.into_iter().map(described).collect()
    }
}

impl<R> Cells<R> {
    fn kind(&self) -> &'static str {
        match self {
            Cells::Text(_) => "text",
            Cells::Words(..) => "word",
            Cells::Number(_) | Cells::Figure(_) => "number",
            Cells::Count(_) => "count",
            Cells::YesNo(_) => "yes_no",
        }
    }

    /// Empty where there is nothing.
    fn cell(&self, row: &R) -> String {
        let cell = match self {
            Cells::Text(get) => get(row).map(|text| no_formula(&text)),
            Cells::Words(get, _) => get(row),
            Cells::Number(get) => get(row).map(written),
            Cells::Figure(get) => get(row).map(|figure| written(six_digits(figure))),
            Cells::Count(get) => get(row).map(|count| count.to_string()),
            Cells::YesNo(get) => get(row).map(|yes| yes.to_string()),
        };
        cell.unwrap_or_default()
    }
}

/// As JSON writes it: the shortest digits that are read as the same number.
fn written(number: f64) -> String {
    serde_json::to_string(&number).unwrap_or_default()
}

/// A spreadsheet takes a text that begins with one of these for a formula (OWASP, CSV injection);
/// an apostrophe before it says that it is none.
#[must_use]
pub fn no_formula(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// The word that a value has in the journal; of an amount, the number.
pub(in crate::report) fn word(value: &impl Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(Value::String(word)) => word,
        Ok(Value::Object(fields)) => fields
            .values()
            .next()
            .map_or(String::new(), ToString::to_string),
        _ => String::new(),
    }
}

/// All words of a type, from its schema.
fn words_of<T: JsonSchema>() -> Vec<String> {
    let mut words = Vec::new();
    gather(schema_for!(T).as_value(), &mut words);
    words
}

fn gather(schema: &Value, words: &mut Vec<String>) {
    let texts = |value: &Value| value.as_str().map(str::to_owned);
    words.extend(schema.get("const").and_then(texts));
    let listed = schema.get("enum").and_then(Value::as_array);
    words.extend(listed.into_iter().flatten().filter_map(texts));
    let choices = schema.get("oneOf").and_then(Value::as_array);
    for choice in choices.into_iter().flatten() {
        gather(choice, words);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::HearingStatus;

    #[test]
    fn formulas_are_disarmed_and_numbers_stay_numbers() {
        for text in ["=1+1", "+x", "-K", "@a"] {
            assert_eq!(no_formula(text), format!("'{text}"));
        }
        assert_eq!(no_formula("K-Z"), "K-Z");
        let columns = Columns::<f64>::new().number("x_db", "dB", ["", ""], |row| Some(*row));
        let csv = columns.csv([-12.5, 1000.0].into_iter()).unwrap();
        assert_eq!(csv, "x_db\r\n-12.5\r\n1000.0\r\n");
    }

    /// RFC 4180, 2.5 to 2.7: fields with commas, quotes and line ends are quoted, quotes doubled.
    #[test]
    fn texts_are_quoted_as_in_rfc_4180() {
        let columns = Columns::<&str>::new().text("said", ["", ""], |row| Some((*row).to_owned()));
        let csv = columns.csv(["a,b", "say \"no\"", "two\nlines"].into_iter());
        assert_eq!(
            csv.unwrap(),
            "said\r\n\"a,b\"\r\n\"say \"\"no\"\"\"\r\n\"two\nlines\"\r\n"
        );
    }

    #[test]
    fn the_words_of_a_type_are_all_there() {
        let words = words_of::<HearingStatus>();
        assert_eq!(words.len(), 6, "{words:?}");
        assert!(words.contains(&word(&HearingStatus::NoResponseAtMaximum)));
    }
}
