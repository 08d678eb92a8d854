//! Cues of sight: which criterion is met, by what; never a cause. And what has to be known when the
//! figures are read.

use super::cues::{Cue, Urgency};
use super::notation::six_metre_of_size;
use super::sight::{REVERSED, SightFinding, SightFindings, SightStatus, sizes_of};
use crate::journal::{EyeHistory, Record, Told, ToldAnswer};
use crate::quantity::{Correction, Eye, LogMar};

/// Two lines, less what rounding takes.
const TWO_LINES_LOG_MAR: f64 = 0.2 - 1e-9;
/// 6/12.
const HALF_LOG_MAR: f64 = 0.301;
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
    let age_years = record.opening.plan.about.and_then(|about| about.age_years);
    let told = record.told().into_iter();
    let told = told.filter(|told| told.answer == ToldAnswer::Yes);
    told.map(|told| cue_of(told, age_years)).collect()
}

/// The cue of something that a person of this age told.
pub(crate) fn cue_of(told: &Told, age_years: Option<f64>) -> Cue {
    let (what, source, urgency) = criterion(told.about, age_years);
    let which = told.eye.map(|eye| format!(", {}", eye.words()));
    let which = which.unwrap_or_default();
    let words = told.words.as_ref();
    let words = words.map_or_else(String::new, |words| format!(": '{words}'"));
    Cue {
        what: what.into(),
        why: format!("told by the person{which}{words}"),
        source: format!("{source}; local rules say how soon"),
        urgency,
    }
}

fn criterion(about: EyeHistory, age_years: Option<f64>) -> (&'static str, &'static str, Urgency) {
    const RED_FLAGS: &str = "red flags of eye disease (accessmedicine 269151409, eyecasualty.co.uk, \
                             SEMPHN pathway)";
    const FROM_MEMORY: &str = "red flags of eye disease, from memory";
    match about {
        EyeHistory::SuddenLoss => ("sudden loss of sight", RED_FLAGS, Urgency::Urgent),
        EyeHistory::TransientLoss => ("sight lost for a while", RED_FLAGS, Urgency::Urgent),
        EyeHistory::Flashes => ("flashes of light", RED_FLAGS, Urgency::Urgent),
        EyeHistory::Floaters => ("new floaters", RED_FLAGS, Urgency::Urgent),
        EyeHistory::Curtain => ("a curtain over the field", RED_FLAGS, Urgency::Urgent),
        EyeHistory::FieldLoss => ("new loss of field", RED_FLAGS, Urgency::Urgent),
        EyeHistory::PainfulRedEye => ("a painful red eye", RED_FLAGS, Urgency::Urgent),
        EyeHistory::PainOnMovement => ("pain on eye movement", RED_FLAGS, Urgency::Soon),
        EyeHistory::JawOrScalpPain if age_years.is_some_and(|age| age < ARTERITIS_FROM_YEARS) => (
            "jaw or scalp pain or headache under 50",
            RED_FLAGS,
            Urgency::Soon,
        ),
        EyeHistory::JawOrScalpPain => (
            "jaw or scalp pain or new headache from 50 years on",
            RED_FLAGS,
            Urgency::Urgent,
        ),
        EyeHistory::DoubleVision => ("double vision", FROM_MEMORY, Urgency::Urgent),
        EyeHistory::Trauma => ("injury of an eye", FROM_MEMORY, Urgency::Urgent),
        EyeHistory::Distortion => ("straight lines look bent", FROM_MEMORY, Urgency::Soon),
        EyeHistory::WhitePupil => ("a white pupil", FROM_MEMORY, Urgency::Urgent),
        EyeHistory::Haloes => ("haloes with nausea", RED_FLAGS, Urgency::Urgent),
    }
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

/// Two lines, 0.2 logMAR, between the eyes, whatever of a bound is not known; never between different
/// optotypes, distances or corrections. An eye with a category alone is compared in any case.
fn eyes_apart(sight: &SightFindings) -> Option<Cue> {
    let (right, left) = (&sight.right, &sight.left);
    let by_hand = right.by_hand() || left.by_hand();
    let comparable = by_hand || right.shown_as(left);
    if !(comparable && right.tells_of_far() && left.tells_of_far()) {
        return None;
    }
    let (r, l) = (right.range()?, left.range()?);
    let apart = r.poorer_by_at_least(l).max(l.poorer_by_at_least(r));
    (apart >= TWO_LINES_LOG_MAR).then(|| Cue {
        what: "the eyes differ by two lines or more".into(),
        why: format!(
            "right eye {}; left eye {}",
            right.acuity_in_words(),
            left.acuity_in_words()
        ),
        source: "usual rule of child screening, from memory; healthy eyes differ by 0.04, \
                 SD 0.06 logMAR (Drover 2008)"
            .into(),
        urgency: if by_hand {
            Urgency::Soon
        } else {
            Urgency::Routine
        },
    })
}

fn below_half(sight: &SightFindings) -> Option<Cue> {
    let eyes = [&sight.right, &sight.left];
    let usable = |eye: &&SightFinding| eye.tells_of_far() && eye.correction != Correction::Without;
    if !eyes.iter().all(usable) {
        return None;
    }
    let [right, left] = [eyes[0].range()?, eyes[1].range()?];
    let (better, at_best) = if right.best <= left.best {
        (eyes[0], right.best)
    } else {
        (eyes[1], left.best)
    };
    let near = better
        .u_log_mar
        .is_some_and(|u| better.status == SightStatus::Measured && at_best - u < HALF_LOG_MAR);
    let near = if near {
        "; the limit lies within the uncertainty"
    } else {
        ""
    };
    (at_best > HALF_LOG_MAR).then(|| Cue {
        what: "below 6/12 in the better eye, with the correction worn".into(),
        why: format!(
            "better eye {}; the limit is 0.30 logMAR{near}",
            better.acuity_in_words()
        ),
        source: "WHO/ICD-11 categories of vision impairment, presenting acuity".into(),
        urgency: if better.by_hand() {
            Urgency::Soon
        } else {
            Urgency::Routine
        },
    })
}

/// An eye through a pinhole against the same eye without, asked in the same way. Silent where a bound
/// leaves open how much was gained.
fn pinhole_gain(sight: &SightFindings, eye: Eye) -> Option<Cue> {
    let of_eye = || {
        let findings = sight.all().filter(|(one, _)| *one == eye);
        findings.map(|(_, finding)| finding)
    };
    let through = of_eye().find(|one| one.pinhole && one.range().is_some())?;
    let open = of_eye().find(|one| {
        one.tells_of_far()
            && one.shown_as(through)
            && one.procedure == through.procedure
            && one.range().is_some()
    })?;
    let (before, with) = (open.range()?, through.range()?);
    let name = eye.words();
    let why = format!(
        "{name}: {}; through a pinhole {}",
        open.acuity_in_words(),
        through.acuity_in_words()
    );
    if before.poorer_by_at_least(with) >= TWO_LINES_LOG_MAR {
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
    let gained_little = before.poorer_by_at_most(with) < TWO_LINES_LOG_MAR;
    (gained_little && before.best > HALF_LOG_MAR).then(|| Cue {
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
            what: format!("acuities from two distances differ, {}", pair.eye.words()),
            why: pair.statement.clone(),
            source:
                "retest limit 0.15 logMAR (Siderov and Tiu 1999); two distances: Zinkernagel and \
                     Mojon 2009, n = 42, small"
                    .into(),
            urgency: Urgency::Note,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sight::{FurtherFinding, SightFinding};
    use super::*;
    use crate::journal::SightProcedure;
    use crate::quantity::Mm;
    use crate::stimulus::OptotypeSet;

    fn asked(status: SightStatus) -> SightFinding {
        SightFinding {
            optotype: Some(OptotypeSet::Landolt8),
            distance_mm: Some(Mm(4000.0)),
            ..SightFinding::blank(status)
        }
    }

    fn measured(log_mar: f64) -> SightFinding {
        SightFinding {
            log_mar: Some(log_mar),
            u_log_mar: Some(0.06),
            ..asked(SightStatus::Measured)
        }
    }

    fn better_than(log_mar: f64) -> SightFinding {
        SightFinding {
            bound_log_mar: Some(log_mar),
            ..asked(SightStatus::BetterThanSmallestShown)
        }
    }

    fn worse_than(log_mar: f64) -> SightFinding {
        SightFinding {
            bound_log_mar: Some(log_mar),
            ..asked(SightStatus::WorseThanLargestShown)
        }
    }

    fn through_pinhole(open: SightFinding) -> SightFinding {
        SightFinding {
            pinhole: true,
            ..open
        }
    }

    fn near(far: SightFinding) -> SightFinding {
        SightFinding {
            procedure: SightProcedure::NearCard,
            distance_mm: Some(Mm(400.0)),
            ..far
        }
    }

    fn eyes(right: SightFinding, left: SightFinding, further: &[SightFinding]) -> SightFindings {
        let further = further.iter().map(|finding| FurtherFinding {
            eye: Eye::Right,
            finding: finding.clone(),
        });
        SightFindings {
            right,
            left,
            both: SightFinding::blank(SightStatus::NotTested),
            further: further.collect(),
            distances: Vec::new(),
            grades: None,
            cautions: Vec::new(),
            history: Vec::new(),
        }
    }

    /// Of a bound only one side is known: from near the screen a good pair of eyes reads all of it.
    #[test]
    fn a_bound_is_no_value() {
        let screen_ends = || better_than(0.35);
        assert_eq!(below_half(&eyes(screen_ends(), screen_ends(), &[])), None);
        assert_eq!(
            eyes_apart(&eyes(screen_ends(), measured(0.6), &[])).map(|cue| cue.why),
            Some("right eye better than 0.35 logMAR; left eye 0.60 ± 0.06 logMAR".into())
        );
        assert_eq!(eyes_apart(&eyes(screen_ends(), measured(0.4), &[])), None);
        assert_eq!(
            eyes_apart(&eyes(worse_than(1.0), worse_than(1.0), &[])),
            None
        );
        assert!(eyes_apart(&eyes(worse_than(1.0), measured(0.8), &[])).is_some());
        let poor = below_half(&eyes(worse_than(1.0), measured(0.4), &[])).unwrap();
        assert_eq!(
            poor.why,
            "better eye 0.40 ± 0.06 logMAR; the limit is 0.30 logMAR"
        );
        assert!(below_half(&eyes(worse_than(1.0), worse_than(1.0), &[])).is_some());
        let close = below_half(&eyes(measured(0.32), measured(0.5), &[])).unwrap();
        assert!(close.why.ends_with("the limit lies within the uncertainty"));
    }

    #[test]
    fn an_uncertainty_that_nobody_knows_is_not_nought() {
        let unknown = SightFinding {
            u_log_mar: None,
            ..measured(0.5)
        };
        let cue = below_half(&eyes(unknown.clone(), unknown, &[])).unwrap();
        assert!(
            cue.why.contains("its uncertainty is not known"),
            "{}",
            cue.why
        );
    }

    #[test]
    fn an_eye_with_a_category_alone_is_compared() {
        let fingers = || SightFinding::blank(SightStatus::CountingFingers);
        let cue = eyes_apart(&eyes(fingers(), measured(0.0), &[])).unwrap();
        assert_eq!(
            cue.why,
            "right eye fingers counted; left eye 0.00 ± 0.06 logMAR"
        );
        assert_eq!(cue.urgency, Urgency::Soon);
        assert!(below_half(&eyes(fingers(), fingers(), &[])).is_some());
        assert_eq!(below_half(&eyes(fingers(), measured(0.0), &[])), None);
    }

    #[test]
    fn near_pinhole_and_other_distances_are_not_compared() {
        for other in [
            near(measured(0.6)),
            through_pinhole(measured(0.6)),
            SightFinding {
                distance_mm: Some(Mm(1000.0)),
                ..measured(0.6)
            },
            SightFinding {
                crowded: true,
                ..measured(0.6)
            },
        ] {
            assert_eq!(eyes_apart(&eyes(measured(0.0), other, &[])), None);
        }
        assert!(eyes_apart(&eyes(measured(0.0), measured(0.6), &[])).is_some());
        assert_eq!(
            below_half(&eyes(near(measured(0.6)), measured(0.6), &[])),
            None
        );
    }

    #[test]
    fn a_pinhole_tells_only_where_its_gain_is_known() {
        let gain = |open: SightFinding, through: SightFinding| {
            let sight = eyes(open, measured(0.0), &[through_pinhole(through)]);
            pinhole_gain(&sight, Eye::Right).map(|cue| cue.urgency)
        };
        assert_eq!(gain(measured(0.5), measured(0.2)), Some(Urgency::Routine));
        assert_eq!(gain(measured(0.5), measured(0.45)), Some(Urgency::Soon));
        assert_eq!(gain(measured(0.2), measured(0.15)), None);
        // Beyond the largest ring without, at 0.9 with: nobody knows by how much.
        assert_eq!(gain(worse_than(1.0), measured(0.9)), None);
        assert_eq!(gain(worse_than(1.0), measured(0.5)), Some(Urgency::Routine));
        assert_eq!(gain(worse_than(1.0), worse_than(1.0)), None);
        assert_eq!(gain(measured(0.5), better_than(0.4)), None);
        assert_eq!(
            gain(measured(0.5), better_than(0.2)),
            Some(Urgency::Routine)
        );
        let rows = SightFinding {
            procedure: SightProcedure::Rows,
            ..measured(0.2)
        };
        assert_eq!(gain(measured(0.5), rows), None);
    }
}
