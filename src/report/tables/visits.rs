//! `visits.csv`: one row a visit, for spreadsheets.

use super::column::Columns;
use super::{Of, Table, of_visit};
use crate::evidence::{Consistency, Grade};
use crate::finding::{EarAverages, HearingFinding, HearingStatus, SightFinding, SightStatus};
use crate::quantity::{Correction, Ear, Eye, Hz, Level, Scale, Sense};
use crate::report::Dossier;
use crate::standard::test_hz;

pub(super) const TABLE: Table = Table {
    name: "visits",
    row: "a visit",
    described: || columns().described(),
    written: |dossier| {
        let row = Of { dossier, one: () };
        columns().csv(std::iter::once(row)).map(Some)
    },
};

type Visit<'a> = Of<'a, ()>;

fn columns<'a>() -> Columns<Visit<'a>> {
    let mut columns = counts(visit());
    for ear in Ear::BOTH {
        columns = averages(columns, ear);
        for hz in test_hz() {
            columns = threshold(columns, ear, hz);
        }
    }
    for eye in Eye::ALL {
        columns = acuity(columns, eye);
    }
    for sense in [Sense::Hearing, Sense::Sight] {
        columns = consistency(columns, sense);
    }
    columns
}

fn visit<'a>() -> Columns<Visit<'a>> {
    let scales = [Scale::DbHl, Scale::DbReExaminer, Scale::DbFs].map(Scale::unit);
    let scales: Vec<&str> = scales.into_iter().chain(["none"]).collect();
    of_visit()
        .text(
            "person",
            [
                "Code of the person; of a simulated one, the title of the case",
                "journal: opened.person",
            ],
            |row: &Visit| Some(row.dossier.whose().to_owned()),
        )
        .text(
            "began",
            ["When it began, UTC", "journal: time of line 1"],
            |row| Some(row.dossier.began.to_string()),
        )
        .yes_no(
            "closed",
            ["Whether the visit was closed", "journal: closed"],
            |row| Some(row.dossier.record.closed()),
        )
        .figure(
            "duration_s",
            "s",
            [
                "From the beginning to the last event",
                "findings.json: seconds",
            ],
            |row| Some(row.dossier.findings.seconds),
        )
        .text(
            "set_up",
            ["The set-up's name", "findings.json: setup"],
            |row| Some(row.dossier.findings.setup.clone()),
        )
        .one_of(
            "level_scale",
            &scales,
            [
                "What all levels of the row refer to",
                "findings.json: levels",
            ],
            |row| Some(row.dossier.findings.levels.clone()),
        )
        .text(
            "plan",
            ["The plan's name", "journal: opened.plan.name"],
            |row| Some(row.dossier.record.opening.plan.name.clone()),
        )
        .text(
            "program",
            ["The program that measured", "findings.json: program"],
            |row| Some(row.dossier.findings.program.clone()),
        )
}

fn counts(columns: Columns<Visit<'_>>) -> Columns<Visit<'_>> {
    columns
        .count(
            "tones",
            ["Tones presented that count", "findings.json: counts.tones"],
            |row| Some(row.dossier.findings.counts.tones),
        )
        .count(
            "silent",
            [
                "Silent presentations that count",
                "findings.json: counts.silent",
            ],
            |row| Some(row.dossier.findings.counts.silent),
        )
        .count(
            "optotypes",
            [
                "Optotype presentations that count",
                "findings.json: counts.optotypes",
            ],
            |row| Some(row.dossier.findings.counts.optotypes),
        )
        .count(
            "void",
            [
                "Presentations that did not arrive whole",
                "findings.json: counts.void",
            ],
            |row| Some(row.dossier.findings.counts.void),
        )
        .text(
            "who_2021",
            [
                "Grade of hearing of the person, WHO 2021; empty while withheld",
                "findings.json: averages.who_2021",
            ],
            |row| row.dossier.findings.averages.who_2021.clone(),
        )
        .text(
            "cues",
            [
                "What gives reason to look further, apart by |",
                "findings.json: cues[].what",
            ],
            |row| {
                let cues = row.dossier.findings.cues.iter();
                let all: Vec<&str> = cues.map(|cue| cue.what.as_str()).collect();
                Some(all.join("|")).filter(|cues| !cues.is_empty())
            },
        )
}

fn averages(columns: Columns<Visit<'_>>, ear: Ear) -> Columns<Visit<'_>> {
    let of = move |dossier: &Dossier| -> EarAverages {
        let averages = &dossier.findings.averages;
        match ear {
            Ear::Right => averages.right,
            Ear::Left => averages.left,
        }
    };
    columns.figure(
        format!("{ear}_pta4_db_hl"),
        "dB HL",
        [
            "Mean of 500, 1000, 2000 and 4000 Hz; empty where one has no threshold, or while \
             withheld",
            &format!("findings.json: averages.{ear}.pta4_db_hl"),
        ],
        move |row| of(row.dossier).pta4_db_hl,
    )
}

fn threshold(columns: Columns<Visit<'_>>, ear: Ear, hz: Hz) -> Columns<Visit<'_>> {
    let stem = format!("{ear}_{}_hz", hz.0);
    let path = |field: &str| format!("findings.json: hearing.{ear}[].{field}");
    let found = move |dossier: &Dossier| -> Option<HearingFinding> {
        dossier.findings.hearing.at(ear, hz).cloned()
    };
    columns
        .figure(
            format!("{stem}_threshold_db"),
            "dB",
            [
                "The threshold, on the scale of level_scale; empty where there is none",
                &path("threshold_*"),
            ],
            move |row| found(row.dossier)?.threshold.map(Level::db),
        )
        .word::<HearingStatus>(
            format!("{stem}_status"),
            [
                "What became of it; not_tested also where the plan did not ask",
                &path("status"),
            ],
            move |row| {
                let found = found(row.dossier);
                Some(found.map_or(HearingStatus::NotTested, |found| found.status))
            },
        )
}

fn acuity(columns: Columns<Visit<'_>>, eye: Eye) -> Columns<Visit<'_>> {
    let stem = match eye {
        Eye::Right | Eye::Left => format!("{eye}_eye"),
        Eye::Both => "both_eyes".to_owned(),
    };
    let path = |field: &str| format!("findings.json: sight.{eye}.{field}");
    let found =
        move |dossier: &Dossier| -> SightFinding { dossier.findings.sight.eye(eye).clone() };
    columns
        .figure(
            format!("{stem}_log_mar"),
            "logMAR",
            ["The acuity; empty where there is none", &path("log_mar")],
            move |row| found(row.dossier).log_mar,
        )
        .figure(
            format!("{stem}_u_log_mar"),
            "logMAR",
            ["Its combined standard uncertainty", &path("u_log_mar")],
            move |row| found(row.dossier).u_log_mar,
        )
        .word::<SightStatus>(
            format!("{stem}_status"),
            ["What became of it", &path("status")],
            move |row| Some(found(row.dossier).status),
        )
        .word::<Correction>(
            format!("{stem}_correction"),
            ["What correction was worn", &path("correction")],
            move |row| {
                let found = found(row.dossier);
                found.optotype.map(|_| found.correction)
            },
        )
}

fn consistency(columns: Columns<Visit<'_>>, sense: Sense) -> Columns<Visit<'_>> {
    let found = move |dossier: &Dossier| -> Option<Consistency> {
        let found = &dossier.findings.consistency;
        match sense {
            Sense::Hearing => found.hearing.clone(),
            Sense::Sight => found.sight.clone(),
        }
    };
    columns
        .word::<Grade>(
            format!("{sense}_consistency"),
            [
                "How the answers agree with each other; error rates stand in consistency.csv",
                &format!("findings.json: consistency.{sense}.grade"),
            ],
            move |row| found(row.dossier).map(|found| found.grade),
        )
        .yes_no(
            format!("{sense}_as_obtained"),
            [
                "The answers do not agree with one another: the row's values of this sense are as \
                 obtained, not thresholds",
                &format!("findings.json: as_obtained.{sense}"),
            ],
            move |row| {
                let obtained = row.dossier.findings.as_obtained;
                Some(match sense {
                    Sense::Hearing => obtained.hearing,
                    Sense::Sight => obtained.sight,
                })
            },
        )
}
