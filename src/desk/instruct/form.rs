//! A TOML file as a form: a text for each key, and what is wrong with it beside it. Keys that the form
//! does not know stay as they are.

use std::collections::BTreeMap;
use toml::{Table, Value};

/// What is written under a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Words,
    /// A list of words, a line each.
    Lines,
    /// A number.
    Number,
    /// Numbers, separated by commas.
    Numbers,
    /// One of these.
    OneOf(&'static [&'static str]),
    /// Some of these.
    Several(&'static [&'static str]),
}

/// A key of the file.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// Its path, with points between.
    pub key: &'static str,
    /// What it is called on the page, with its unit.
    pub label: &'static str,
    /// What is written there.
    pub kind: Kind,
}

/// Entries under a heading.
pub type Group = (&'static str, &'static [Entry]);

/// A form as it is filled in.
#[derive(Debug, Clone)]
pub struct Form {
    /// What there is to fill in.
    pub groups: &'static [Group],
    /// The text under each key; empty: the key is left out.
    pub texts: BTreeMap<&'static str, String>,
    /// What is wrong, by key.
    pub errors: BTreeMap<&'static str, String>,
    /// What is wrong and belongs to no key of the form.
    pub error: Option<String>,
    rest: Table,
}

impl Form {
    /// The form of a file's text; of one that is no TOML it says so and is empty.
    #[must_use]
    pub fn of(groups: &'static [Group], text: &str) -> Form {
        let table: Result<Table, _> = toml::from_str(text);
        let problem = table
            .as_ref()
            .err()
            .map(|error| error.message().replace('\n', "; "));
        let mut form = Form {
            groups,
            texts: BTreeMap::new(),
            errors: BTreeMap::new(),
            error: problem.map(|problem| format!("expected TOML: {problem}")),
            rest: table.unwrap_or_default(),
        };
        let texts: Vec<_> = form
            .entries()
            .map(|entry| {
                (
                    entry.key,
                    at(&form.rest, entry.key).map_or(String::new(), written),
                )
            })
            .collect();
        form.texts.extend(texts);
        form
    }

    fn entries(&self) -> impl Iterator<Item = &'static Entry> + use<> {
        self.groups.iter().flat_map(|(_, entries)| *entries)
    }

    /// The file's text, if every entry can be read and `check` finds nothing wrong with the whole; else
    /// what is wrong stands in the form. `check` gives back a field and its problem.
    pub fn text(&mut self, check: impl Fn(&str) -> Result<(), (String, String)>) -> Option<String> {
        self.errors.clear();
        self.error = None;
        let mut table = self.rest.clone();
        for entry in self.entries() {
            let text = self.texts.get(entry.key).map_or("", |text| text.trim());
            match read(entry.kind, text) {
                Ok(value) => put(&mut table, entry.key, value),
                Err(problem) => {
                    self.errors.insert(entry.key, problem);
                }
            }
        }
        if !self.errors.is_empty() {
            return None;
        }
        let text = match toml::to_string(&table) {
            Ok(text) => text,
            Err(error) => {
                self.error = Some(error.to_string());
                return None;
            }
        };
        if let Err((field, problem)) = check(&text) {
            match self.entry_of(&field) {
                Some(key) => {
                    self.errors.insert(key, problem);
                }
                None => self.error = Some(format!("{field}: {problem}")),
            }
            return None;
        }
        Some(text)
    }

    /// The entry that an error names: by its whole path, or by its last part, which is all that is known of a key
    /// that is missing; then one that is empty.
    fn entry_of(&self, field: &str) -> Option<&'static str> {
        let field = field.split(" (").next().unwrap_or(field);
        let last = |key: &str| key.rsplit('.').next() == Some(field);
        let keys = || self.entries().map(|entry| entry.key);
        let empty = |key: &&str| {
            self.texts
                .get(key)
                .is_none_or(|text| text.trim().is_empty())
        };
        keys()
            .find(|key| last(key) && empty(key))
            .or_else(|| keys().find(|key| *key == field))
            .or_else(|| keys().find(|key| last(key)))
    }
}

/// What a text means; none: the key is left out.
fn read(kind: Kind, text: &str) -> Result<Option<Value>, String> {
    Ok(match kind {
        _ if text.is_empty() => None,
        Kind::Lines | Kind::Several(_) => {
            let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
            let values = lines.map(|line| Value::String(line.into()));
            Some(Value::Array(values.collect()))
        }
        Kind::OneOf(names) if names.iter().all(|name| name.parse::<i64>().is_ok()) => {
            Some(number(text)?)
        }
        Kind::Words | Kind::OneOf(_) => Some(Value::String(text.into())),
        Kind::Number => Some(number(text)?),
        Kind::Numbers => {
            let numbers: Result<Vec<Value>, String> = text.split(',').map(number).collect();
            Some(Value::Array(numbers?))
        }
    })
}

fn number(text: &str) -> Result<Value, String> {
    let text = text.trim();
    if let Ok(whole) = text.parse() {
        return Ok(Value::Integer(whole));
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Value::Float(value)),
        _ => Err(format!("expected a number, found {text:?}")),
    }
}

/// A value as it stands in the form.
fn written(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(values) => {
            let words = values.iter().all(Value::is_str);
            let parts: Vec<String> = values.iter().map(written).collect();
            parts.join(if words { "\n" } else { ", " })
        }
        // A whole number of dB or Hz as it is spoken.
        Value::Float(value) if value.fract() == 0.0 && value.abs() < 1e9 => format!("{value:.0}"),
        other => other.to_string(),
    }
}

/// The value at a path.
fn at<'a>(table: &'a Table, key: &str) -> Option<&'a Value> {
    match key.split_once('.') {
        None => table.get(key),
        Some((first, rest)) => at(table.get(first)?.as_table()?, rest),
    }
}

/// Puts a value at a path, or takes it away; a table that becomes empty goes with it.
fn put(table: &mut Table, key: &str, value: Option<Value>) {
    let Some((first, rest)) = key.split_once('.') else {
        match value {
            Some(value) => table.insert(key.into(), value),
            None => table.remove(key),
        };
        return;
    };
    if value.is_none() && !table.contains_key(first) {
        return;
    }
    let inner = table
        .entry(first)
        .or_insert_with(|| Value::Table(Table::new()));
    if let Value::Table(inner) = inner {
        put(inner, rest, value);
        if inner.is_empty() {
            table.remove(first);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROUPS: &[Group] = &[(
        "all",
        &[
            Entry {
                key: "title",
                label: "Title",
                kind: Kind::Words,
            },
            Entry {
                key: "person.title",
                label: "Name",
                kind: Kind::Words,
            },
            Entry {
                key: "person.hearing.right",
                label: "Right",
                kind: Kind::Numbers,
            },
            Entry {
                key: "aims",
                label: "Aims",
                kind: Kind::Lines,
            },
            Entry {
                key: "difficulty",
                label: "Difficulty",
                kind: Kind::OneOf(&["1", "2"]),
            },
        ],
    )];

    const TEXT: &str = "title = \"A\"\ndifficulty = 2\naims = [\"one\", \"two\"]\n\n[person]\ntitle = \"B\"\nlefthanded = true\n\n\
                        [person.hearing]\nright = [1, 2.5]\n";

    #[test]
    fn what_is_not_touched_stays_and_what_is_emptied_goes() {
        let mut form = Form::of(GROUPS, TEXT);
        assert_eq!(form.texts["person.hearing.right"], "1, 2.5");
        assert_eq!(form.texts["aims"], "one\ntwo");
        let again: Table = toml::from_str(&form.text(|_| Ok(())).unwrap()).unwrap();
        assert_eq!(again, toml::from_str::<Table>(TEXT).unwrap());
        form.texts.insert("person.hearing.right", String::new());
        form.texts.insert("aims", "\n".into());
        let text = form.text(|_| Ok(())).unwrap();
        assert!(
            !text.contains("hearing") && !text.contains("aims") && text.contains("lefthanded"),
            "{text}"
        );
    }

    #[test]
    fn an_error_stands_at_its_entry() {
        let mut form = Form::of(GROUPS, TEXT);
        form.texts.insert("person.hearing.right", "1, x".into());
        assert!(form.text(|_| Ok(())).is_none());
        assert!(form.errors["person.hearing.right"].contains("\"x\""));
        form.texts.insert("person.hearing.right", "1".into());
        let says = |field: &'static str| move |_: &str| Err((field.into(), "expected more".into()));
        assert!(form.text(says("person.hearing.right")).is_none());
        assert_eq!(form.errors["person.hearing.right"], "expected more");
        // A missing key is known by its last part: it is the one that is empty.
        form.texts.insert("person.title", " ".into());
        assert!(form.text(says("title")).is_none());
        assert!(form.errors.contains_key("person.title"));
        assert!(form.text(says("elsewhere")).is_none());
        assert_eq!(form.error.as_deref(), Some("elsewhere: expected more"));
    }
}
