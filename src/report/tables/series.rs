//! `series.csv`: one row a series at the bedside.

use super::column::Columns;
use super::{Of, Table, of_visit, rows_of};
use crate::bedside::{SeriesFinding, Than};
use crate::journal::HowEnded;
use crate::quantity::Side;
use crate::stimulus::SeriesKind;

pub(super) const TABLE: Table = Table {
    name: "series",
    row: "a series at the bedside",
    described: || columns().described(),
    written: |dossier| {
        let all = dossier.findings.bedside.iter();
        rows_of(&columns(), dossier, all.flat_map(|found| &found.series))
    },
};

type Found<'a> = Of<'a, &'a SeriesFinding>;

fn path(field: &str) -> String {
    format!("findings.json: bedside.series[].{field}")
}

fn columns<'a>() -> Columns<Found<'a>> {
    let columns = of_visit()
        .count("series", ["Its number", &path("series")], |row: &Found| {
            Some(row.one.series)
        })
        .word::<SeriesKind>("kind", ["What it asked", &path("kind")], |row| {
            Some(row.one.kind)
        })
        .word::<Side>(
            "side",
            ["Of which nostril, eye or ear", &path("side")],
            |row| row.one.side,
        )
        .text("scent", ["What was smelled", &path("scent")], |row| {
            row.one.scent.clone()
        })
        .yes_no(
            "on_paper",
            ["Worked through on paper", &path("on_paper")],
            |row| Some(row.one.on_paper),
        )
        .yes_no("over", ["Nothing more comes", &path("over")], |row| {
            Some(row.one.over)
        })
        .word::<HowEnded>(
            "ended",
            ["How it ended before it was done", &path("ended")],
            |row| row.one.ended,
        );
    beside_guessing(counted(columns))
}

/// A path in the finding, its meaning, and the count.
type Count = (
    &'static str,
    &'static str,
    fn(&SeriesFinding) -> Option<u32>,
);

fn counted(columns: Columns<Found<'_>>) -> Columns<Found<'_>> {
    let counts: [Count; 8] = [
        ("prompts", "Prompts drawn", |one| Some(one.prompts)),
        ("answered", "Prompts answered that count", |one| {
            Some(one.answered)
        }),
        ("void", "Prompts not done as shown", |one| Some(one.void)),
        ("undone", "Answers taken back", |one| Some(one.undone)),
        ("right.k", "Right answers; of triples, right parts", |one| {
            Some(one.right.k)
        }),
        ("right.n", "Of so many", |one| Some(one.right.n)),
        (
            "false_alarms.k",
            "Answers where nothing was presented",
            |one| one.false_alarms.as_ref().map(|rate| rate.k),
        ),
        ("false_alarms.n", "Of so many", |one| {
            one.false_alarms.as_ref().map(|rate| rate.n)
        }),
    ];
    counts
        .into_iter()
        .fold(columns, |columns, (field, meaning, get)| {
            let name = field.replace(".k", "").replace(".n", "_of");
            columns.count(name, [meaning, &path(field)], move |row| get(row.one))
        })
}

fn beside_guessing(columns: Columns<Found<'_>>) -> Columns<Found<'_>> {
    columns
        .figure(
            "guessing_gives",
            "",
            [
                "How many right answers guessing gives on average",
                &path("chance.expected"),
            ],
            |row| row.one.chance.as_ref().map(|chance| chance.expected),
        )
        .figure(
            "p_as_many_or_more",
            "",
            [
                "Probability of as many right answers or more, if the answers tell nothing",
                &path("chance.p_as_many_or_more"),
            ],
            |row| {
                row.one
                    .chance
                    .as_ref()
                    .map(|chance| chance.p_as_many_or_more)
            },
        )
        .figure(
            "p_as_many_or_fewer",
            "",
            [
                "Probability of as many right answers or fewer, if the answers tell nothing",
                &path("chance.p_as_many_or_fewer"),
            ],
            |row| {
                row.one
                    .chance
                    .as_ref()
                    .map(|chance| chance.p_as_many_or_fewer)
            },
        )
        .word::<Than>(
            "than_guessing",
            [
                "What follows, corrected for the number of series",
                &path("chance.than_guessing"),
            ],
            |row| row.one.chance.as_ref().map(|chance| chance.than_guessing),
        )
}
