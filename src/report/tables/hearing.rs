//! `thresholds.csv`: one row an ear and frequency; `screening.csv`: the same of a screening.

use super::column::Columns;
use super::{Of, Table, of_visit, rows_of};
use crate::finding::{
    HearingFinding, HearingStatus, Masking, Screened, ScreeningFinding, ScreeningFindings,
};
use crate::quantity::Ear;

pub(super) const THRESHOLDS: Table = Table {
    name: "thresholds",
    row: "an ear and frequency",
    described: || thresholds().described(),
    written: |dossier| rows_of(&thresholds(), dossier, dossier.findings.hearing.all()),
};

pub(super) const SCREENING: Table = Table {
    name: "screening",
    row: "an ear and frequency of a screening",
    described: || screening().described(),
    written: |dossier| {
        let all = dossier.findings.screening.iter();
        rows_of(&screening(), dossier, all.flat_map(ScreeningFindings::all))
    },
};

type Threshold<'a> = Of<'a, (Ear, &'a HearingFinding)>;

fn thresholds<'a>() -> Columns<Threshold<'a>> {
    let path = |field: &str| format!("findings.json: hearing.*[].{field}");
    let columns = of_visit()
        .word::<Ear>(
            "ear",
            ["The ear", "findings.json: hearing.*"],
            |row: &Threshold| Some(row.one.0),
        )
        .number(
            "frequency_hz",
            "Hz",
            ["The frequency", &path("hz")],
            |row| Some(row.one.1.hz.0),
        )
        .word::<HearingStatus>(
            "status",
            [
                "What became of it; a threshold stands only where it was measured or the lowest \
                 level was answered (then it lies there or lower)",
                &path("status"),
            ],
            |row| Some(row.one.1.status),
        )
        .yes_no(
            "as_obtained",
            [
                "The answers to tones do not agree with one another: the values of the row are as \
                 obtained, not thresholds",
                "findings.json: as_obtained.hearing",
            ],
            |row| Some(row.dossier.findings.as_obtained.hearing),
        )
        .level(
            "threshold",
            ["The reading on the clinical scale", &path("threshold")],
            |row| row.one.1.threshold,
        )
        .level(
            "no_response_at",
            [
                "The highest level presented, which was not answered; it is no threshold",
                &path("no_response_at"),
            ],
            |row| row.one.1.limit,
        )
        .level(
            "midpoint",
            ["The level that is as often heard as not", &path("midpoint")],
            |row| row.one.1.midpoint,
        )
        .level(
            "unmasked",
            [
                "Where this ear was answered without masking; its threshold is there or poorer",
                &path("unmasked"),
            ],
            |row| row.one.1.unmasked,
        );
    precision(columns)
}

fn precision(columns: Columns<Threshold<'_>>) -> Columns<Threshold<'_>> {
    let path = |field: &str| format!("findings.json: hearing.*[].{field}");
    columns
        .figure(
            "sd_db",
            "dB",
            [
                "Standard deviation of the midpoint, from the answers alone",
                &path("sd_db"),
            ],
            |row| row.one.1.sd_db,
        )
        .figure(
            "u_db",
            "dB",
            [
                "Combined standard uncertainty; empty without a profile",
                &path("u_db"),
            ],
            |row| row.one.1.u_db,
        )
        .figure(
            "interval_90_low_db",
            "dB",
            [
                "Lower end of the central 90 % of the midpoint",
                &path("interval_90_db[0]"),
            ],
            |row| row.one.1.interval_90_db.map(|[low, _]| low),
        )
        .figure(
            "interval_90_high_db",
            "dB",
            [
                "Upper end of the central 90 % of the midpoint",
                &path("interval_90_db[1]"),
            ],
            |row| row.one.1.interval_90_db.map(|[_, high]| high),
        )
        .word::<Masking>(
            "masking",
            [
                "Whether the other ear could have answered",
                &path("masking"),
            ],
            |row| row.one.1.masking,
        )
        .figure(
            "masker_softest_db",
            "dB",
            [
                "The softest noise at the other ear over which the threshold stayed, effective \
                 masking level",
                &path("masker_db[0]"),
            ],
            |row| row.one.1.masker_db.map(|[soft, _]| soft),
        )
        .figure(
            "masker_loudest_db",
            "dB",
            [
                "The loudest noise at the other ear over which the threshold stayed, effective \
                 masking level",
                &path("masker_db[1]"),
            ],
            |row| row.one.1.masker_db.map(|[_, loud]| loud),
        )
        .text(
            "not_masked_because",
            [
                "Why the other ear could not be masked",
                &path("not_masked_because"),
            ],
            |row| row.one.1.not_masked_because.clone(),
        )
        .count(
            "presentations",
            ["Own presentations that measured", &path("presentations")],
            |row| Some(row.one.1.presentations),
        )
        .yes_no(
            "from_neighbours",
            [
                "The figure leans on the prior and on neighbouring frequencies",
                &path("from_neighbours"),
            ],
            |row| Some(row.one.1.from_neighbours),
        )
        .figure(
            "repeat_db",
            "dB",
            ["The reading when it was measured again", &path("repeat_db")],
            |row| row.one.1.repeat_db,
        )
}

type Screening<'a> = Of<'a, (Ear, &'a ScreeningFinding)>;

fn screening<'a>() -> Columns<Screening<'a>> {
    let path = |field: &str| format!("findings.json: screening.*[].{field}");
    of_visit()
        .word::<Ear>(
            "ear",
            ["The ear", "findings.json: screening.*"],
            |row: &Screening| Some(row.one.0),
        )
        .number(
            "frequency_hz",
            "Hz",
            ["The frequency", &path("hz")],
            |row| Some(row.one.1.hz.0),
        )
        .word::<Screened>(
            "found",
            [
                "Whether the level was heard; no threshold and no diagnosis",
                &path("found"),
            ],
            |row| Some(row.one.1.found),
        )
        .level(
            "level",
            ["The level, always the same one", &path("level")],
            |row| row.one.1.level,
        )
        .count(
            "answered",
            ["Presentations answered", &path("answered")],
            |row| Some(row.one.1.answered),
        )
        .count(
            "presented",
            ["All presentations that count", &path("of")],
            |row| Some(row.one.1.of),
        )
}
