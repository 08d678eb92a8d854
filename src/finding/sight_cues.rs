//! Cues of sight: which criterion is met, by what; never a cause. And what has to be known when the
//! figures are read.

use super::cues::{Cue, Urgency};
use super::notation::six_metre_of_size;
use super::sight::{REVERSED, SightFinding, SightFindings, SightStatus, sizes_of};
use crate::journal::{EyeHistory, Record, ToldAnswer};
use crate::quantity::{Correction, Eye, LogMar};

/// Two lines.
const TWO_LINES_LOG_MAR: f64 = 0.2;
/// From this size on a screen hides what a good eye has over another (our choice).
const SMALL_ENOUGH: LogMar = LogMar(-0.05);
/// From this age on jaw and scalp pain are asked for (accessmedicine 269151409, SEMPHN pathway).
const ARTERITIS_FROM_YEARS: f64 = 50.0;

/// All cues of sight. Those that rest on figures are left out where `figures` may not be used.
pub(super) fn cues(record: &Record, sight: &SightFindings, figures: bool) -> Vec<Cue> {
    let mut cues = history(record);
    cues.extend(reversal(sight));
    if figures {
        cues.extend(eyes_apart(sight));
        cues.extend(below_half(sight));
        cues.extend(
            Eye::ALL
                .into_iter()
                .filter_map(|eye| pinhole_gain(sight, eye)),
        );
        cues.extend(two_distances(sight));
    }
    cues
}

/// What has to be known when the figures are read.
pub(super) fn cautions(record: &Record, sight: &SightFindings) -> Vec<String> {
    let mut cautions = Vec::new();
    for asked in record.asked() {
        let Some(sizes) = sizes_of(record, &asked).filter(|_| {
            let tested = record.of_asked(&asked).next().is_some();
            tested && asked.plan.procedure.seeks_an_acuity()
        }) else {
            continue;
        };
        if sizes.smallest > SMALL_ENOUGH {
            let metres = asked.distance.map_or(0.0, |distance| distance.0 / 1000.0);
            cautions.push(format!(
                "From {metres:.2} m nothing smaller than {:.2} logMAR ({}) can be shown: a difference \
                 between two eyes that both read it may hide there.",
                sizes.smallest.0,
                six_metre_of_size(sizes.smallest),
            ));
        }
    }
    cautions.dedup();
    let sets: Vec<_> = Eye::ALL
        .into_iter()
        .filter_map(|eye| sight.eye(eye).optotype)
        .collect();
    if sets.windows(2).any(|pair| pair[0] != pair[1]) {
        cautions.push(
            "The eyes were asked with different optotypes: rings and letters differ by 0.05 to 0.1 \
             logMAR, in low vision by up to 0.3 (Plainis 2013, Petersen 1999)."
                .into(),
        );
    }
    cautions
}

/// What the person told: criterion, where it stands, and how soon.
fn history(record: &Record) -> Vec<Cue> {
    const RED_FLAGS: &str = "red flags of eye disease (accessmedicine 269151409, eyecasualty.co.uk, \
                             SEMPHN pathway)";
    const FROM_MEMORY: &str = "red flags of eye disease, from memory";
    let age_years = record.opening.plan.about.and_then(|about| about.age_years);
    let told = record.told().into_iter();
    let told = told.filter(|told| told.answer == ToldAnswer::Yes);
    let cue = |told: &crate::journal::Told| {
        let (what, source, urgency) = match told.about {
            EyeHistory::SuddenLoss => ("sudden loss of sight", RED_FLAGS, Urgency::Urgent),
            EyeHistory::TransientLoss => ("sight lost for a while", RED_FLAGS, Urgency::Urgent),
            EyeHistory::Flashes => ("flashes of light", RED_FLAGS, Urgency::Urgent),
            EyeHistory::Floaters => ("new floaters", RED_FLAGS, Urgency::Urgent),
            EyeHistory::Curtain => ("a curtain over the field", RED_FLAGS, Urgency::Urgent),
            EyeHistory::FieldLoss => ("new loss of field", RED_FLAGS, Urgency::Urgent),
            EyeHistory::PainfulRedEye => ("a painful red eye", RED_FLAGS, Urgency::Urgent),
            EyeHistory::PainOnMovement => ("pain on eye movement", RED_FLAGS, Urgency::Soon),
            EyeHistory::JawOrScalpPain => {
                if age_years.is_some_and(|age| age < ARTERITIS_FROM_YEARS) {
                    (
                        "jaw or scalp pain or headache under 50",
                        RED_FLAGS,
                        Urgency::Soon,
                    )
                } else {
                    (
                        "jaw or scalp pain or new headache from 50 years on",
                        RED_FLAGS,
                        Urgency::Urgent,
                    )
                }
            }
            EyeHistory::DoubleVision => ("double vision", FROM_MEMORY, Urgency::Urgent),
            EyeHistory::Trauma => ("injury of an eye", FROM_MEMORY, Urgency::Urgent),
            EyeHistory::Distortion => ("straight lines look bent", FROM_MEMORY, Urgency::Soon),
            EyeHistory::WhitePupil => ("a white pupil", FROM_MEMORY, Urgency::Urgent),
            EyeHistory::Haloes => ("haloes with nausea", RED_FLAGS, Urgency::Urgent),
        };
        let which = told.eye.map_or_else(String::new, |eye| match eye {
            Eye::Both => ", both eyes".into(),
            eye => format!(", {eye} eye"),
        });
        let words = told.words.as_ref();
        let words = words.map_or_else(String::new, |words| format!(": '{words}'"));
        Cue {
            what: what.into(),
            why: format!("told by the person{which}{words}"),
            source: format!("{source}; local rules say how soon"),
            urgency,
        }
    };
    told.map(cue).collect()
}

fn reversal(sight: &SightFindings) -> Option<Cue> {
    let mirrored = |eye: &SightFinding| {
        eye.status == SightStatus::Stopped && eye.reason.as_deref() == Some(REVERSED)
    };
    sight
        .all()
        .any(|(_, finding)| mirrored(finding))
        .then(|| Cue {
            what: "left and right were answered the other way round throughout".into(),
            why: "all answers to clearly visible optotypes that point sideways were as in a mirror"
                .into(),
            source: "a matter of set-up (a mirror in the light's path) or of understanding; says \
                     nothing about how the answers hang together"
                .into(),
            urgency: Urgency::Note,
        })
}

/// Two lines, 0.2 logMAR, between the eyes; never between different optotypes or corrections.
fn eyes_apart(sight: &SightFindings) -> Option<Cue> {
    let (right, left) = (&sight.right, &sight.left);
    if right.optotype != left.optotype || right.correction != left.correction {
        return None;
    }
    let (right, left) = (right.known_log_mar()?, left.known_log_mar()?);
    ((right - left).abs() >= TWO_LINES_LOG_MAR).then(|| Cue {
        what: "the eyes differ by two lines or more".into(),
        why: format!("right {right:.2}, left {left:.2} logMAR"),
        source: "usual rule of child screening, from memory; healthy eyes differ by 0.04, \
                 SD 0.06 logMAR (Drover 2008)"
            .into(),
        urgency: Urgency::Routine,
    })
}

fn below_half(sight: &SightFindings) -> Option<Cue> {
    const HALF_LOG_MAR: f64 = 0.301;
    let (right, left) = (&sight.right, &sight.left);
    if [right, left]
        .iter()
        .any(|eye| eye.correction == Correction::Without)
    {
        return None;
    }
    let (right_log_mar, left_log_mar) = (right.known_log_mar()?, left.known_log_mar()?);
    let better = if right_log_mar <= left_log_mar {
        right
    } else {
        left
    };
    let log_mar = right_log_mar.min(left_log_mar);
    let u = better.u_log_mar.unwrap_or(0.0);
    let near = if log_mar - u < HALF_LOG_MAR {
        "; the limit lies within the uncertainty"
    } else {
        ""
    };
    (log_mar > HALF_LOG_MAR).then(|| Cue {
        what: "below 6/12 in the better eye, with the correction worn".into(),
        why: format!("better eye {log_mar:.2} ± {u:.2} logMAR, the limit is 0.30{near}"),
        source: "WHO/ICD-11 categories of vision impairment, presenting acuity".into(),
        urgency: Urgency::Routine,
    })
}

/// An eye through a pinhole against the same eye without, with the same correction and optotypes.
fn pinhole_gain(sight: &SightFindings, eye: Eye) -> Option<Cue> {
    let of_eye = || {
        sight
            .all()
            .filter(|(one, _)| *one == eye)
            .map(|(_, finding)| finding)
    };
    let through = of_eye().find(|one| one.pinhole && one.known_log_mar().is_some())?;
    let open = of_eye().find(|one| {
        !one.pinhole
            && one.correction == through.correction
            && one.optotype == through.optotype
            && one.distance_mm == through.distance_mm
            && one.known_log_mar().is_some()
    })?;
    let gain = open.known_log_mar()? - through.known_log_mar()?;
    let name = if eye == Eye::Both {
        "both eyes".to_owned()
    } else {
        format!("{eye} eye")
    };
    let why = format!(
        "{name} {:.2} logMAR, through a pinhole {:.2}",
        open.known_log_mar()?,
        through.known_log_mar()?
    );
    if gain >= TWO_LINES_LOG_MAR {
        return Some(Cue {
            what: "better by two lines or more through a pinhole: an error of refraction is likely"
                .into(),
            why,
            source: "sensitivity 76 %, specificity 98 % for more than two lines (Clin Exp Optom \
                     2014;97, n = 488); in children of 6 to 7 it did not help"
                .into(),
            urgency: Urgency::Routine,
        });
    }
    let half = 0.301;
    (open.known_log_mar()? > half).then(|| Cue {
        what: "below 6/12 and no two lines better through a pinhole: not explained by refraction"
            .into(),
        why,
        source: "our wording; a medical cause is possible".into(),
        urgency: Urgency::Soon,
    })
}

fn two_distances(sight: &SightFindings) -> Vec<Cue> {
    let apart = sight
        .distances
        .iter()
        .filter(|pair| pair.agrees == Some(false));
    apart
        .map(|pair| Cue {
            what: format!("acuities {} eye from two distances differ", pair.eye),
            why: pair.statement.clone(),
            source:
                "retest limit 0.15 logMAR (Siderov and Tiu 1999); two distances: Zinkernagel and \
                     Mojon 2009, n = 42, small"
                    .into(),
            urgency: Urgency::Note,
        })
        .collect()
}
