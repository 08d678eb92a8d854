//! What was done by hand: `worksheet.csv`, one row a line of the worksheet; `prompts.csv`, one row a
//! prompt of a series.

use super::column::{Columns, word};
use super::{Of, Table, and_visit, rows_by_hand};
use crate::bedside::{Line, LineState};
use crate::journal::{Series, Stage};
use crate::quantity::Side;
use crate::report::Dossier;
use crate::stimulus::{Material, Place, Prompt, SeriesKind, Strength};

pub(super) const WORKSHEET: Table = Table {
    name: "worksheet",
    row: "a line of the worksheet, also one that nobody entered",
    described: || worksheet().described(),
    written: |dossier| {
        let all = dossier.findings.bedside.iter();
        rows_by_hand(
            &worksheet(),
            dossier,
            all.flat_map(|found| &found.worksheet),
        )
    },
};

pub(super) const PROMPTS: Table = Table {
    name: "prompts",
    row: "a prompt of a series",
    described: || prompts().described(),
    written: |dossier| rows_by_hand(&prompts(), dossier, all_prompts(dossier)),
};

fn worksheet<'a>() -> Columns<Of<'a, &'a Line>> {
    let path = |field: &str| format!("findings.json: bedside.worksheet[].{field}");
    let columns = Columns::new()
        .text(
            "nerve",
            ["The nerves", &path("nerve")],
            |row: &Of<&Line>| Some(row.one.nerve.clone()),
        )
        .text(
            "item",
            ["What tells the line from others", &path("item")],
            |row| Some(row.one.item.clone()),
        )
        .text("words", ["What is looked at", &path("words")], |row| {
            Some(row.one.words.clone())
        })
        .word::<Side>(
            "side",
            ["The side, where each has a line", &path("side")],
            |row| row.one.side,
        )
        .word::<LineState>(
            "finding",
            [
                "How it stands; not_entered never means normal",
                &path("finding"),
            ],
            |row| Some(row.one.finding),
        )
        .text("grade", ["How much", &path("grade")], |row| {
            row.one.grade.clone()
        })
        .number(
            "number",
            "",
            ["A number in the unit beside it", &path("number")],
            |row| row.one.number,
        )
        .text("unit", ["The number's unit", &path("unit")], |row| {
            row.one.unit.clone()
        })
        .text(
            "measured",
            ["What was measured", &path("measured")],
            |row| row.one.measured.clone(),
        )
        .text(
            "comment",
            ["In the examiner's words", &path("comment")],
            |row| Some(row.one.comment.clone()).filter(|comment| !comment.is_empty()),
        )
        .text("who", ["Who looked", &path("who")], |row| {
            row.one.who.clone()
        })
        .number(
            "at_s",
            "s",
            ["When, from the visit's beginning", &path("at_s")],
            |row| row.one.at_s,
        )
        .count(
            "entries",
            [
                "How often it was entered; more than once: it was corrected",
                &path("entries"),
            ],
            |row| Some(row.one.entries),
        )
        .yes_no(
            "observed",
            ["Only observed, never scored", &path("observed")],
            |row| Some(row.one.observed),
        );
    and_visit(columns)
}

#[derive(Clone, Copy)]
struct OnePrompt<'a> {
    series: &'a Series,
    place: usize,
    prompt: &'a Prompt,
    stage: &'a Stage,
}

fn all_prompts(dossier: &Dossier) -> impl Iterator<Item = OnePrompt<'_>> {
    dossier.record.bedside().series().iter().flat_map(|series| {
        let stages = series.stages.iter().zip(&series.drawn.prompts);
        stages
            .enumerate()
            .map(move |(place, (stage, prompt))| OnePrompt {
                series,
                place,
                prompt,
                stage,
            })
    })
}

impl OnePrompt<'_> {
    fn status(&self) -> &'static str {
        match self.stage {
            Stage::Waiting => "not_done",
            Stage::Done { .. } => "not_answered",
            Stage::Answered { amended: true, .. } => "amended",
            Stage::Answered { .. } => "answered",
            Stage::Void { .. } => "void",
            Stage::Undone { .. } => "undone",
        }
    }

    fn done_at_s(&self) -> Option<f64> {
        match self.stage {
            Stage::Done { at } | Stage::Answered { at, .. } => Some(at.seconds()),
            _ => None,
        }
    }

    fn reason(&self) -> Option<String> {
        match self.stage {
            Stage::Void { reason } | Stage::Undone { reason } => Some(reason.clone()),
            _ => None,
        }
    }
}

fn prompts<'a>() -> Columns<Of<'a, OnePrompt<'a>>> {
    let drawn = |field: &str| format!("journal: drawn.{field}");
    let prompt = |field: &str| format!("journal: drawn.prompts[].{field}");
    let columns = Columns::new()
        .count(
            "n",
            ["Its number in the visit", &drawn("first_n")],
            |row: &Of<OnePrompt>| Some(row.one.series.n(row.one.place)),
        )
        .count(
            "series",
            ["Number of its series", &drawn("series")],
            |row| Some(row.one.series.drawn.series),
        )
        .word::<SeriesKind>("kind", ["What the series asks", &drawn("what")], |row| {
            Some(row.one.series.drawn.what)
        })
        .word::<Side>(
            "side",
            ["Of which nostril, eye or ear", &drawn("side")],
            |row| row.one.series.drawn.side,
        )
        .text(
            "target",
            [
                "What was presented, as the reply that tells it",
                &prompt("target"),
            ],
            |row| Some(word(&row.one.prompt.target)),
        )
        .word::<Place>("at", ["Where", &prompt("at")], |row| row.one.prompt.at)
        .word::<Strength>("strength", ["How strongly", &prompt("strength")], |row| {
            row.one.prompt.strength
        })
        .word::<Material>(
            "right_with",
            ["What touches the right side", &prompt("right_with")],
            |row| row.one.prompt.right_with,
        )
        .number(
            "distance_m",
            "m",
            ["From how far", &prompt("distance_m")],
            |row| row.one.prompt.distance_m.map(f64::from),
        )
        .text("says", ["What is whispered", &prompt("says")], |row| {
            row.one.prompt.says.map(String::from)
        })
        .number(
            "gap_s",
            "s",
            ["How long the hands wait before it", &prompt("gap_s")],
            |row| Some(row.one.prompt.gap_s),
        );
    and_visit(stages(columns))
}

fn stages<'a>(columns: Columns<Of<'a, OnePrompt<'a>>>) -> Columns<Of<'a, OnePrompt<'a>>> {
    let words = [
        "not_done",
        "not_answered",
        "answered",
        "amended",
        "void",
        "undone",
    ];
    columns
        .one_of(
            "status",
            &words,
            [
                "What became of it; amended: its answer was corrected",
                "journal: arrived, answered, void, undone, amended",
            ],
            |row| Some(row.one.status().to_owned()),
        )
        .number(
            "done_at_s",
            "s",
            [
                "When it was done, from the visit's beginning",
                "journal: arrived.began_s",
            ],
            |row| row.one.done_at_s(),
        )
        .text(
            "answer",
            ["The reply", "journal: answered.answer.reply"],
            |row| match row.one.stage {
                Stage::Answered { reply, .. } => Some(word(reply)),
                _ => None,
            },
        )
        .number(
            "after_s",
            "s",
            [
                "How long after it was done; empty if it was entered afterwards",
                "journal: answered.after_s",
            ],
            |row| match row.one.stage {
                Stage::Answered { after_s, .. } => *after_s,
                _ => None,
            },
        )
        .text(
            "reason",
            [
                "Why it is void or was taken back",
                "journal: void.reason, undone.reason",
            ],
            |row| row.one.reason(),
        )
}
