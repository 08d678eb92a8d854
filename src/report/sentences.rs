//! What was found besides the thresholds, in sentences for the desk and the verbs.

use super::Findings;
use crate::finding::{
    Averages, Change, Changes, Exposure, Screened, ScreeningFindings, SightFinding, SightStatus,
};
use crate::quantity::{Ear, Eye};

/// One sentence a matter: averages and grade, handicap, screening, change.
#[must_use]
pub fn hearing_sentences(findings: &Findings) -> Vec<String> {
    let mut all = averages(&findings.averages);
    if let Some(screening) = &findings.screening {
        all.extend(Ear::BOTH.map(|ear| screened(screening, ear)));
        all.push(screening.caution.clone());
    }
    if let Some(changes) = &findings.changes {
        all.extend(
            Ear::BOTH
                .into_iter()
                .filter_map(|ear| changed(changes, ear)),
        );
    }
    all.extend(findings.exposure.as_ref().map(exposure_sentence));
    all
}

/// How much sound each ear got, beside what a day and a week allow.
#[must_use]
pub fn exposure_sentence(exposure: &Exposure) -> String {
    let ear = |ear: Ear| {
        let at = exposure.at(ear);
        at.equivalent_db_a.map_or_else(
            || format!("{ear} none"),
            |db_a| {
                format!(
                    "{ear} {db_a:.0} dBA, {} of a working day's dose, {} of a week's leisure allowance",
                    percent(at.niosh_day),
                    percent(at.h870_week)
                )
            },
        )
    };
    let assumed = if exposure.assumed {
        " (full scale assumed at 120 dB SPL)"
    } else {
        ""
    };
    format!(
        "sound at the ears, equivalent over {:.0} min{assumed}: {}; {} (NIOSH 98-126, WHO-ITU H.870)",
        (exposure.over_s / 60.0).ceil(),
        ear(Ear::Right),
        ear(Ear::Left)
    )
}

/// A share, not below what matters to anybody.
fn percent(share: f64) -> String {
    if share < 0.0001 {
        "under 0.01 %".into()
    } else if share < 0.01 {
        format!("{:.2} %", 100.0 * share)
    } else {
        format!("{:.0} %", 100.0 * share)
    }
}

fn averages(averages: &Averages) -> Vec<String> {
    let mut all = Vec::new();
    for (ear, of, least_db) in [
        ("right", averages.right, averages.pta4_at_least.right_db_hl),
        ("left", averages.left, averages.pta4_at_least.left_db_hl),
    ] {
        let four = match (of.pta4_db_hl, least_db) {
            (Some(db), _) => format!("{db:.0} dB HL"),
            (None, Some(db)) => format!("at least {db:.0} dB HL"),
            (None, None) => continue,
        };
        let three = of.pta3_db_hl.map_or_else(String::new, |db| {
            format!("; of 0.5, 1 and 2 kHz {db:.0} dB HL")
        });
        all.push(format!(
            "mean of 0.5, 1, 2 and 4 kHz, {ear} ear: {four}{three}"
        ));
    }
    if let Some(grade) = &averages.who_2021 {
        all.push(format!("grade of the person, WHO 2021: {grade}"));
    }
    if let Some(percent) = averages.handicap_1979_percent {
        all.push(format!(
            "hearing handicap by the formula of 1979 (AAO-HNS/AMA): {percent:.1} %"
        ));
    }
    all
}

fn screened(screening: &ScreeningFindings, ear: Ear) -> String {
    let each = screening.all().filter(|(side, _)| *side == ear);
    let each: Vec<String> = each
        .map(|(_, one)| {
            let found = match one.found {
                Screened::Heard => "heard",
                Screened::NotHeard => "NOT heard",
                Screened::Undecided => "not decided",
                Screened::NotTested => "not tested",
            };
            let level = one.level.map_or_else(String::new, |level| {
                format!(" at {:.0} {}", level.db(), level.scale().unit())
            });
            let (hz, answered, of) = (one.hz, one.answered, one.of);
            format!("{hz} {found}{level} ({answered} of {of})")
        })
        .collect();
    format!("screening, {ear} ear: {}", each.join(", "))
}

fn changed(changes: &Changes, ear: Ear) -> Option<String> {
    let one = |change: &Change| {
        format!(
            "{} {}{:+.0} dB ({:.0} %)",
            change.hz,
            if change.at_least { "at least " } else { "" },
            change.change_db,
            // Never certain.
            (100.0 * change.beyond_retest).min(99.9).floor()
        )
    };
    let each: Vec<String> = changes.ear(ear).iter().map(one).collect();
    (!each.is_empty()).then(|| {
        format!(
            "change against '{}', {ear} ear, and how likely test and retest of an unchanged ear lie \
             closer together: {}",
            changes.source,
            each.join(", ")
        )
    })
}

/// What was found of an eye in one way, in all notations.
#[must_use]
pub fn acuity_sentence(eye: Eye, finding: &SightFinding) -> String {
    let mut parts = vec![finding.acuity_in_words()];
    if finding.status == SightStatus::Measured {
        parts.extend(finding.snellen.clone());
        let equivalents = [&finding.snellen_6m, &finding.snellen_20ft];
        let equivalents: Vec<&str> = equivalents
            .into_iter()
            .flatten()
            .map(String::as_str)
            .collect();
        if !equivalents.is_empty() {
            parts.push(format!("equivalent to {}", equivalents.join(" and ")));
        }
        parts.extend(finding.decimal.map(|decimal| format!("decimal {decimal}")));
        parts.extend(finding.m_units.map(|m_units| format!("{m_units} M")));
        let chart = finding.chart_log_mar;
        parts.extend(chart.map(|chart| format!("a chart by letter would read {chart:.2}")));
        if !finding.straddles.is_empty() {
            let lines = finding.straddles.join(", ");
            parts.push(format!("lines within the 90 % interval {lines}"));
        }
    }
    format!("{}: {}", eye.words(), parts.join("; "))
}

/// What was found of the eyes in other ways, and what belongs to the acuities: two distances, category
/// and score with their schemes, what has to be known.
#[must_use]
pub fn sight_sentences(findings: &Findings) -> Vec<String> {
    let sight = &findings.sight;
    let further = sight.further.iter().map(|one| {
        let how = one.finding.asked_in_words();
        format!("{} ({how})", acuity_sentence(one.eye, &one.finding))
    });
    let mut all: Vec<String> = further.collect();
    let distances = sight.distances.iter();
    all.extend(distances.map(|pair| format!("{}, {}", pair.eye.words(), pair.statement)));
    if let Some(grades) = &sight.grades {
        all.extend(grades.category.as_ref().map(|found| {
            let limits = &found.limits_within_uncertainty;
            let within = if limits.is_empty() {
                String::new()
            } else {
                format!("; {} within the uncertainty", limits.join(", "))
            };
            let (title, scheme, by) = (&found.title, &found.scheme, &found.by);
            format!("{title} ({scheme}); {by}{within}")
        }));
        all.extend(grades.functional_acuity.as_ref().map(|found| {
            let (score, u, scheme) = (found.score, found.u_score, &found.scheme);
            format!("functional acuity score {score:.0} ± {u:.0} ({scheme})")
        }));
    }
    all.extend(sight.cautions.iter().cloned());
    all
}
