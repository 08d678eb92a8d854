//! `consistency.csv`: one row a sign by which the answers of a sense were looked at.

use super::column::Columns;
use super::{Of, Table, of_visit, rows_of};
use crate::evidence::{Check, Consistency, Fit, Grade};
use crate::quantity::Sense;

pub(super) const TABLE: Table = Table {
    name: "consistency",
    row: "a sign by which the answers of a sense were looked at",
    described: || columns().described(),
    written: |dossier| {
        let found = &dossier.findings.consistency;
        let senses = [
            (Sense::Hearing, &found.hearing),
            (Sense::Sight, &found.sight),
        ];
        let signs = senses.into_iter().flat_map(|(sense, found)| {
            let signs = |found: &'_ Consistency| found.checks.len();
            let count = found.as_ref().map_or(0, signs);
            (0..count).filter_map(move |at| {
                let found = found.as_ref()?;
                Some(Sign {
                    sense,
                    found,
                    check: found.checks.get(at)?,
                })
            })
        });
        rows_of(&columns(), dossier, signs)
    },
};

struct Sign<'a> {
    sense: Sense,
    found: &'a Consistency,
    check: &'a Check,
}

fn columns<'a>() -> Columns<Of<'a, Sign<'a>>> {
    let of_sense = |field: &str| format!("findings.json: consistency.*.{field}");
    let of_check = |field: &str| format!("findings.json: consistency.*.checks[].{field}");
    of_visit()
        .word::<Sense>(
            "sense",
            ["The sense", "findings.json: consistency.*"],
            |row: &Of<Sign>| Some(row.one.sense),
        )
        .word::<Grade>(
            "grade",
            [
                "How the answers of the sense agree with each other; it says nothing about why, and \
                 stands only together with its error rates",
                &of_sense("grade"),
            ],
            |row| Some(row.one.found.grade),
        )
        .text("check", ["What was looked at", &of_check("name")], |row| {
            Some(row.one.check.name.clone())
        })
        .count("k", ["So many ...", &of_check("k")], |row| {
            Some(row.one.check.k)
        })
        .count("n", ["... of so many", &of_check("n")], |row| {
            Some(row.one.check.n)
        })
        .figure(
            "p",
            "",
            [
                "Probability of as many or more where the expectation holds; empty where nothing is \
                 counted",
                &of_check("p"),
            ],
            |row| row.one.check.p,
        )
        .word::<Fit>("fit", ["How it looks", &of_check("fit")], |row| {
            Some(row.one.check.fit)
        })
        .text("seen", ["What was seen", &of_check("seen")], |row| {
            Some(row.one.check.seen.clone())
        })
        .text(
            "expected",
            ["What would be expected, and where that stands", &of_check("expected")],
            |row| Some(row.one.check.expected.clone()),
        )
        .text(
            "error_rates",
            ["How often the grade is wrong", &of_sense("error_rates")],
            |row| Some(row.one.found.error_rates.sentence()),
        )
}
