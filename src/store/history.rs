//! The visits of one person beside one another: how each figure went over time, and whether it
//! changed by more than two measurements of an unchanged person differ.

use crate::evidence::Grade;
use crate::finding::{Changes, SightStatus};
use crate::journal::{EarlierThreshold, EarlierVisit, Record};
use crate::quantity::{Ear, Eye, Hz};
use crate::report::Findings;
use jiff::Timestamp;
use serde::Serialize;

use super::code::Code;

/// What one visit adds to a person's course.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Point {
    /// The visit.
    pub visit: Code,
    /// When it began.
    pub began: Timestamp,
    /// What the levels refer to.
    pub levels: String,
    /// Thresholds: ear, frequency, level, and standard deviation from the answers alone.
    pub thresholds: Vec<(Ear, Hz, f64, Option<f64>)>,
    /// Acuities: eye, logMAR, and standard deviation from the answers alone.
    pub acuities: Vec<(Eye, f64, Option<f64>)>,
    /// How the answers hung together: hearing and sight.
    pub consistency: [Option<&'static str>; 2],
    /// Whether these were measured elsewhere and entered by hand.
    pub from_outside: bool,
    /// Notes and corrections that were entered after the visit was over.
    pub late_entries: usize,
}

/// A change between two visits beyond what an unchanged person shows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shift {
    /// What changed: an ear and frequency, or an eye.
    pub what: String,
    /// Now minus then; positive is poorer. dB, or logMAR.
    pub change: f64,
    /// Standard uncertainty of the difference between two visits of an unchanged person.
    pub retest_u: f64,
    /// The probability that test and retest of an unchanged person lie closer together.
    pub beyond_retest: f64,
}

/// The course of one person.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Course {
    /// The visits, the earliest first.
    pub points: Vec<Point>,
    /// From each visit that measured to the next: the two visits, and every change between them.
    pub shifts: Vec<(Code, Code, Vec<Shift>)>,
    /// What is not beside them, and why: one line each.
    pub left_out: Vec<String>,
}

/// How far two acuities of unchanged eyes lie apart, logMAR, where the answers do not tell: the
/// standard deviation of one reading of a chart by letters is about 0.04 to 0.06 (from memory, no
/// source at hand).
const ACUITY_SD: f64 = 0.05;

/// The course over these visits, in any order.
#[must_use]
pub fn course(mut visits: Vec<(Code, Timestamp, Record, Findings)>) -> Course {
    visits.sort_by(|one, other| (one.1, &one.0).cmp(&(other.1, &other.0)));
    let points = visits
        .iter()
        .map(|(code, began, record, findings)| point(code, *began, record, findings));
    let points: Vec<Point> = points.collect();
    // What was measured elsewhere has no uncertainty of ours: it is shown, and not reckoned with.
    let measured: Vec<usize> = (0..visits.len())
        .filter(|at| !points[*at].from_outside)
        .collect();
    let shifts = measured.windows(2).map(|pair| {
        let (then, now) = (&visits[pair[0]], &visits[pair[1]]);
        let all = shifts(&points[pair[0]], &then.2, &now.2, &now.3, &points[pair[1]]);
        (then.0.clone(), now.0.clone(), all)
    });
    let shifts = shifts.filter(|(.., all)| !all.is_empty()).collect();
    Course {
        points,
        shifts,
        left_out: Vec::new(),
    }
}

fn point(code: &Code, began: Timestamp, record: &Record, findings: &Findings) -> Point {
    let mut thresholds = Vec::new();
    let mut acuities = Vec::new();
    for (ear, one) in findings.hearing.all() {
        if let Some(level) = one.known().filter(|_| !findings.as_obtained.hearing) {
            thresholds.push((ear, one.hz, level.db(), one.sd_db));
        }
    }
    for eye in Eye::ALL {
        let one = findings.sight.eye(eye);
        let known = one.status == SightStatus::Measured && !findings.as_obtained.sight;
        if let Some(log_mar) = one.log_mar.filter(|_| known) {
            acuities.push((eye, log_mar, one.sd_log_mar));
        }
    }
    let from_outside = !record.outside().is_empty();
    for outside in record.outside() {
        for ear in Ear::BOTH {
            let all = outside.ear(ear).iter();
            thresholds.extend(all.map(|one| (ear, one.hz, one.threshold_db_hl, one.sd_db)));
        }
        acuities.extend(outside.sight.iter().map(|one| (one.eye, one.log_mar, None)));
    }
    let word = |grade: Option<Grade>| grade.map(Grade::word);
    Point {
        visit: code.clone(),
        began,
        levels: findings.levels.clone(),
        thresholds,
        acuities,
        consistency: [
            word(findings.consistency.hearing.as_ref().map(|one| one.grade)),
            word(findings.consistency.sight.as_ref().map(|one| one.grade)),
        ],
        from_outside,
        late_entries: record.remarks().iter().filter(|remark| remark.late).count(),
    }
}

fn shifts(
    before: &Point,
    then: &Record,
    now: &Record,
    findings: &Findings,
    after: &Point,
) -> Vec<Shift> {
    let mut all = Vec::new();
    if before.levels == "dB HL" && after.levels == "dB HL" && !findings.as_obtained.hearing {
        // The change of hearing is folded as a visit does that knows an earlier one.
        let mut with_earlier = now.clone();
        with_earlier.opening.plan.earlier = Some(as_earlier(before, then));
        let changes = Changes::of(&with_earlier, &findings.hearing);
        for (ear, one) in Ear::BOTH.into_iter().flat_map(|ear| {
            changes
                .iter()
                .flat_map(move |all| all.ear(ear).iter().map(move |one| (ear, one)))
        }) {
            all.push(Shift {
                what: format!("{ear} ear, {} Hz", one.hz.0),
                change: one.change_db,
                retest_u: one.retest_u_db,
                beyond_retest: one.beyond_retest,
            });
        }
    }
    for (eye, log_mar, sd) in &after.acuities {
        let Some((_, earlier, earlier_sd)) =
            before.acuities.iter().find(|(other, ..)| other == eye)
        else {
            continue;
        };
        let of = |sd: Option<f64>| sd.unwrap_or(ACUITY_SD).max(0.01);
        let retest_u = libm::hypot(of(*sd), of(*earlier_sd));
        let change = log_mar - earlier;
        all.push(Shift {
            what: format!("{} acuity", eye_words(*eye)),
            change,
            retest_u,
            beyond_retest: libm::erf(change.abs() / (retest_u * std::f64::consts::SQRT_2)),
        });
    }
    all
}

fn as_earlier(point: &Point, record: &Record) -> EarlierVisit {
    let ear = |ear: Ear| {
        let own = point.thresholds.iter().filter(|(other, ..)| *other == ear);
        own.map(|(_, hz, threshold_db_hl, sd_db)| EarlierThreshold {
            hz: *hz,
            threshold_db_hl: *threshold_db_hl,
            sd_db: *sd_db,
        })
        .collect()
    };
    EarlierVisit {
        source: point.visit.to_string(),
        on: Some(
            point
                .began
                .to_zoned_datetime(jiff::tz::TimeZone::UTC)
                .date(),
        ),
        earphone_digest: record.opening.earphone_digest.clone(),
        right: ear(Ear::Right),
        left: ear(Ear::Left),
    }
}

fn eye_words(eye: Eye) -> &'static str {
    match eye {
        Eye::Right => "right eye",
        Eye::Left => "left eye",
        Eye::Both => "both eyes",
    }
}

/// What a list says of a visit.
#[must_use]
pub fn in_one_line(findings: &Findings, record: &Record) -> String {
    let mut parts = Vec::new();
    if !record.outside().is_empty() {
        let sources: Vec<&str> = record
            .outside()
            .iter()
            .map(|one| one.source.as_str())
            .collect();
        parts.push(format!(
            "from outside, entered by hand: {}",
            sources.join(", ")
        ));
    }
    let mean = |ear: Ear| {
        let averages = match ear {
            Ear::Right => &findings.averages.right,
            Ear::Left => &findings.averages.left,
        };
        averages.pta4_db_hl.map(|mean| format!("{ear} {mean:.0}"))
    };
    let means: Vec<String> = Ear::BOTH.into_iter().filter_map(mean).collect();
    let tested = findings
        .hearing
        .all()
        .filter(|(_, one)| one.presentations > 0)
        .count();
    if means.is_empty() && tested > 0 {
        parts.push(format!("hearing at {tested} ears and frequencies"));
    } else if !means.is_empty() {
        parts.push(format!(
            "mean of four, {}: {}",
            findings.levels,
            means.join(", ")
        ));
    }
    for eye in Eye::ALL {
        let one = findings.sight.eye(eye);
        if let Some(log_mar) = one.log_mar.filter(|_| one.status == SightStatus::Measured) {
            parts.push(format!("{} {log_mar:.2} logMAR", eye_words(eye)));
        }
    }
    for (sense, grade) in [
        ("hearing", findings.consistency.hearing.as_ref()),
        ("sight", findings.consistency.sight.as_ref()),
    ] {
        if let Some(grade) = grade {
            parts.push(format!("{sense} answers: {}", grade.grade.word()));
        }
    }
    if findings.bedside.is_some() {
        parts.push("worksheet".into());
    }
    let late = record.remarks().iter().filter(|remark| remark.late).count();
    if late > 0 {
        parts.push(format!("late entries: {late}"));
    }
    parts.join("; ")
}
