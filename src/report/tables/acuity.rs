//! `acuity.csv`: one row an eye; `acuity_sizes.csv`: one row an eye and size.

use super::column::Columns;
use super::{Of, Table, of_visit, rows_of};
use crate::finding::{SightFinding, SightStatus, SizeCount};
use crate::journal::SightProcedure;
use crate::quantity::{Correction, Eye};
use crate::report::Dossier;
use crate::stimulus::OptotypeSet;

pub(super) const ACUITY: Table = Table {
    name: "acuity",
    row: "an eye and a way in which it was asked",
    described: || acuity().described(),
    written: |dossier| rows_of(&acuity(), dossier, eyes(dossier)),
};

pub(super) const SIZES: Table = Table {
    name: "acuity_sizes",
    row: "an eye and size",
    described: || sizes().described(),
    written: |dossier| {
        let all = eyes(dossier)
            .flat_map(|(eye, finding)| finding.by_size.iter().map(move |count| (eye, count)));
        rows_of(&sizes(), dossier, all)
    },
};

/// All three, also what was not tested: that is said, never left out; then what was found under other
/// conditions. None of a visit that was not about sight.
fn eyes(dossier: &Dossier) -> impl Iterator<Item = (Eye, &SightFinding)> {
    let planned = dossier.record.opening.plan.sight.is_some();
    let all = dossier.findings.sight.all();
    all.filter(move |_| planned)
}

type OfEye<'a> = Of<'a, (Eye, &'a SightFinding)>;

fn acuity<'a>() -> Columns<OfEye<'a>> {
    let path = |field: &str| format!("findings.json: sight.*.{field}");
    let columns = of_visit()
        .word::<Eye>(
            "eye",
            ["The eye", "findings.json: sight.*"],
            |row: &OfEye| Some(row.one.0),
        )
        .word::<SightStatus>(
            "status",
            [
                "What became of it; an acuity stands only where it was measured",
                &path("status"),
            ],
            |row| Some(row.one.1.status),
        )
        .text("reason", ["Why it was stopped", &path("reason")], |row| {
            row.one.1.reason.clone()
        })
        .yes_no(
            "as_obtained",
            [
                "The answers to optotypes do not agree with one another: the values of the row are \
                 as obtained, no acuity",
                "findings.json: as_obtained.sight",
            ],
            |row| Some(row.dossier.findings.as_obtained.sight),
        )
        .word::<Correction>(
            "correction",
            ["What correction was worn", &path("correction")],
            |row| Some(row.one.1.correction),
        )
        .yes_no(
            "pinhole",
            ["Whether the eye looked through a pinhole", &path("pinhole")],
            |row| Some(row.one.1.pinhole),
        )
        .word::<SightProcedure>(
            "procedure",
            ["How the eye was asked", &path("procedure")],
            |row| Some(row.one.1.procedure),
        )
        .word::<OptotypeSet>(
            "optotype",
            ["The set of optotypes", &path("optotype")],
            |row| row.one.1.optotype,
        )
        .yes_no(
            "crowded",
            ["With a bar on each side", &path("crowded")],
            |row| row.one.1.optotype.map(|_| row.one.1.crowded),
        )
        .figure(
            "distance_mm",
            "mm",
            ["From the eye to the screen", &path("distance_mm")],
            |row| row.one.1.distance_mm.map(|distance| distance.0),
        )
        .figure(
            "bound_log_mar",
            "logMAR",
            [
                "Where nothing was measured because the screen's range ended: the smallest or \
                 largest size that it shows",
                &path("bound_log_mar"),
            ],
            |row| row.one.1.bound_log_mar,
        );
    figures(columns)
}

/// A column's name, its meaning, and the figure.
type Figure = (&'static str, &'static str, fn(&SightFinding) -> Option<f64>);

fn figures(columns: Columns<OfEye<'_>>) -> Columns<OfEye<'_>> {
    let path = |field: &str| format!("findings.json: sight.*.{field}");
    let figures: [Figure; 7] = [
        (
            "log_mar",
            "The size read with the 60 % of ISO 8596",
            |one| one.log_mar,
        ),
        (
            "midpoint_log_mar",
            "The midpoint of the choice function",
            |one| one.midpoint_log_mar,
        ),
        (
            "chart_log_mar",
            "What a chart read letter by letter would say",
            |one| one.chart_log_mar,
        ),
        (
            "sd_log_mar",
            "Standard deviation, from the answers alone",
            |one| one.sd_log_mar,
        ),
        ("u_log_mar", "Combined standard uncertainty", |one| {
            one.u_log_mar
        }),
        (
            "interval_90_low_log_mar",
            "Lower end of the central 90 % of the midpoint",
            |one| one.interval_90_log_mar.map(|[low, _]| low),
        ),
        (
            "interval_90_high_log_mar",
            "Upper end of the central 90 % of the midpoint",
            |one| one.interval_90_log_mar.map(|[_, high]| high),
        ),
    ];
    let with_figures = figures
        .into_iter()
        .fold(columns, |columns, (name, meaning, get)| {
            let field = name
                .replace("_low_log_mar", "_log_mar[0]")
                .replace("_high_log_mar", "_log_mar[1]");
            columns.figure(name, "logMAR", [meaning, &path(&field)], move |row| {
                get(row.one.1)
            })
        });
    with_figures
        .figure("decimal", "", ["Decimal acuity", &path("decimal")], |row| {
            row.one.1.decimal
        })
        .text(
            "fraction",
            [
                "The fraction with the distance really used, m",
                &path("snellen"),
            ],
            |row| row.one.1.snellen.clone(),
        )
        .text(
            "fraction_6_m",
            ["The equivalent at 6 m", &path("snellen_6m")],
            |row| row.one.1.snellen_6m.clone(),
        )
        .text(
            "fraction_20_ft",
            ["The equivalent at 20 ft", &path("snellen_20ft")],
            |row| row.one.1.snellen_20ft.clone(),
        )
        .text(
            "nearest_line",
            [
                "The nearest line of a chart; never for a cut-off",
                &path("nearest_line"),
            ],
            |row| row.one.1.nearest_line.clone(),
        )
        .text(
            "straddles",
            [
                "The chart lines inside the 90 % interval, apart by |",
                &path("straddles[]"),
            ],
            |row| Some(row.one.1.straddles.join("|")).filter(|lines| !lines.is_empty()),
        )
}

type OfSize<'a> = Of<'a, (Eye, &'a SizeCount)>;

fn sizes<'a>() -> Columns<OfSize<'a>> {
    let path = |field: &str| format!("findings.json: sight.*.by_size[].{field}");
    of_visit()
        .word::<Eye>(
            "eye",
            ["The eye", "findings.json: sight.*"],
            |row: &OfSize| Some(row.one.0),
        )
        .figure(
            "size_log_mar",
            "logMAR",
            ["The size", &path("log_mar")],
            |row| Some(row.one.1.log_mar.0),
        )
        .count("right", ["Named rightly", &path("right")], |row| {
            Some(row.one.1.right)
        })
        .count("shown", ["Shown, practice left out", &path("of")], |row| {
            Some(row.one.1.of)
        })
}
