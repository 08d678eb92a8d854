//! How far the result is from the truth.

use crate::evidence::{Evidence, Grade};
use crate::finding::masking::{Need, need, stand};
use crate::finding::plateau::Stand;
use crate::finding::{BY_HAND, HearingFindings, HearingStatus, SightFindings, SightStatus};
use crate::journal::{Record, Together};
use crate::person::seen_up_to_log_mar;
use crate::practice::cue::Cue;
use crate::practice::exercise::Exercise;
use crate::quantity::{Ear, Eye, Hz, Level, Mm};
use crate::stimulus::ByHand;
use serde::Serialize;

/// So much over the midpoint two of three ascents read on average, dB (simulated: `study`).
const READS_OVER_MIDPOINT_DB: f64 = 2.5;
/// Within so much of what the method would read is as near as it comes, dB (our choice: a step and
/// the spread of an average listener).
const NEAR_DB: f64 = 10.0;
/// The same of acuity, logMAR: a line.
const NEAR_LOG_MAR: f64 = 0.1;

/// One ear and frequency.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EarOutcome {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The midpoint that was there, dB HL.
    pub true_midpoint_db_hl: f64,
    /// What was found or written down, dB HL; none where nothing was, or no response.
    pub found_db_hl: Option<f64>,
    /// Whether the trainee wrote it down.
    pub written: bool,
    /// Found less what the method would read there on average, dB.
    pub off_db: Option<f64>,
    /// Whether that is as near as the method comes.
    pub near: bool,
    /// What there is to say of it.
    pub remark: Option<String>,
}

/// One eye.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EyeOutcome {
    /// The eye.
    pub eye: Eye,
    /// The midpoint that was there, logMAR.
    pub true_log_mar: f64,
    /// What was found or written down.
    pub found_log_mar: Option<f64>,
    /// What was found in place of a number, where something was.
    pub found_instead: Option<String>,
    /// How many optotypes it was shown.
    pub shown: u32,
    /// Their difference.
    pub off_log_mar: Option<f64>,
    /// Whether that is within a line, or what such an eye sees by hand.
    pub near: bool,
}

/// How far the answers hang together, as judged, as expected, and as the program finds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Judged {
    /// `hearing` or `sight`.
    pub sense: &'static str,
    /// What the trainee said.
    pub said: Option<Together>,
    /// What a careful examiner would say.
    pub expected: Together,
    /// Whether that is the same.
    pub right: bool,
    /// What the program says of the answers that there are.
    pub program: Option<Grade>,
}

/// A cue for referral.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Caught {
    /// Its name.
    pub cue: Cue,
    /// In words, with the criterion.
    pub words: &'static str,
    /// Where the criterion stands.
    pub source: &'static str,
    /// Whether it was there.
    pub there: bool,
    /// Whether the trainee named it.
    pub named: bool,
}

/// The result.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outcome {
    /// Ears and frequencies of the plan.
    pub ears: Vec<EarOutcome>,
    /// Eyes.
    pub eyes: Vec<EyeOutcome>,
    /// Where masking was needed and not done.
    pub missed_masking: Vec<(Ear, Hz)>,
    /// How the answers hang together.
    pub judged: Vec<Judged>,
    /// Cues that were there or named.
    pub cues: Vec<Caught>,
}

impl EarOutcome {
    /// What was found, in words.
    #[must_use]
    pub fn found_words(&self) -> String {
        match (self.found_db_hl, self.remark.as_deref()) {
            (Some(db), None) => format!("found {db:.0}"),
            (Some(db), Some(remark)) => format!("found {db:.0}, {remark}"),
            (None, remark) => remark.unwrap_or("not decided").to_owned(),
        }
    }
}

impl EyeOutcome {
    /// What was found, in words.
    #[must_use]
    pub fn found_words(&self) -> String {
        match (self.found_log_mar, &self.found_instead, self.shown) {
            (Some(found), _, _) => format!("found {found:.2}"),
            (None, Some(instead), _) => instead.clone(),
            (None, None, 0) => "not tested".into(),
            (None, None, 1) => "not decided by 1 optotype".into(),
            (None, None, shown) => format!("not decided by {shown} optotypes"),
        }
    }
}

impl Outcome {
    pub(super) fn of(record: &Record, exercise: &Exercise) -> Outcome {
        let hearing = HearingFindings::of(record);
        let sight = SightFindings::of(record);
        let evidence = Evidence::of(record, &HearingFindings::without_masking(record));
        let missed_masking = hearing
            .all()
            .filter(|(ear, one)| not_masked(record, *ear, one.hz))
            .map(|(ear, one)| (ear, one.hz))
            .collect();
        Outcome {
            ears: ears(record, exercise, &hearing),
            eyes: eyes(record, exercise, &sight),
            missed_masking,
            judged: judged(record, exercise, &evidence),
            cues: cues(record, exercise),
        }
    }
}

/// Whether masking was needed and never came to its end.
pub(super) fn not_masked(record: &Record, ear: Ear, hz: Hz) -> bool {
    match need(record, ear, hz) {
        Need::Yes(ground) => matches!(stand(record, ear, hz, ground), Stand::Open { .. }),
        _ => false,
    }
}

fn ears(record: &Record, exercise: &Exercise, hearing: &HearingFindings) -> Vec<EarOutcome> {
    let Some(truth) = &exercise.person.hearing else {
        return Vec::new();
    };
    let all = hearing.all().map(|(ear, finding)| {
        let hz = finding.hz;
        let written = record.practice().conclusion().and_then(|one| {
            let mut thresholds = one.thresholds.iter();
            thresholds.find(|one| one.ear == ear && one.hz == hz)
        });
        let true_midpoint_db_hl = truth.midpoint_db(ear, hz);
        let found_db_hl = match written {
            Some(written) => (!written.no_response).then_some(written.level_db),
            None => finding.threshold.or(finding.unmasked).map(Level::db),
        };
        let off_db = found_db_hl.map(|db| db - true_midpoint_db_hl - READS_OVER_MIDPOINT_DB);
        let no_response = written.map_or(
            finding.status == HearingStatus::NoResponseAtMaximum,
            |written| written.no_response,
        );
        let limit_db = written
            .map(|written| written.level_db)
            .or(finding.limit.map(Level::db));
        let beyond = no_response && limit_db.is_some_and(|db| true_midpoint_db_hl >= db - NEAR_DB);
        let crossed = not_masked(record, ear, hz) && off_db.is_some_and(|off| off < -NEAR_DB);
        let remark = if crossed {
            Some("the other ear answered".to_owned())
        } else if no_response {
            limit_db.map(|db| format!("no response at {db:.0} dB"))
        } else if finding.presentations == 0 {
            Some("not tested".to_owned())
        } else if found_db_hl.is_none() {
            Some("not decided".to_owned())
        } else {
            None
        };
        EarOutcome {
            ear,
            hz,
            true_midpoint_db_hl,
            found_db_hl,
            written: written.is_some(),
            off_db,
            near: beyond || off_db.is_some_and(|off| off.abs() <= NEAR_DB),
            remark,
        }
    });
    all.collect()
}

fn eyes(record: &Record, exercise: &Exercise, sight: &SightFindings) -> Vec<EyeOutcome> {
    let (Some(truth), Some(plan)) = (exercise.person.sight, &record.opening.plan.sight) else {
        return Vec::new();
    };
    let distance_mm = record
        .opening
        .set_up
        .distance_mm
        .map_or(4000.0, |one| one.0);
    let outcome = |eye: &Eye| {
        let finding = sight.eye(*eye);
        let measured = finding.status == SightStatus::Measured;
        let from_mm = finding.distance_mm.filter(|_| measured);
        let written = record
            .practice()
            .conclusion()
            .and_then(|one| one.acuities.iter().find(|one| one.eye == *eye));
        let true_log_mar = truth.midpoint_log_mar(*eye, from_mm.map_or(distance_mm, |mm| mm.0));
        let found_log_mar = written.map(|one| one.log_mar).or(finding.midpoint_log_mar);
        let by_hand = matches!(
            finding.status,
            SightStatus::CountingFingers
                | SightStatus::HandMotion
                | SightStatus::LightPerception
                | SightStatus::NoLightPerception
        );
        let off_log_mar = found_log_mar.map(|found| found - true_log_mar);
        EyeOutcome {
            eye: *eye,
            true_log_mar,
            found_log_mar,
            found_instead: by_hand.then(|| finding.acuity_in_words()),
            shown: record.of_eye(*eye).count() as u32,
            off_log_mar,
            near: match off_log_mar {
                Some(off) => off.abs() <= NEAR_LOG_MAR,
                None => by_hand && finding.status == by_hand_at(true_log_mar),
            },
        }
    };
    plan.eyes.iter().map(outcome).collect()
}

/// What is found of an eye of this midpoint by what is shown to it by hand.
fn by_hand_at(log_mar: f64) -> SightStatus {
    let mut all = BY_HAND.into_iter();
    let seen = all.find(|(shows, mm)| log_mar <= seen_up_to_log_mar(*shows, Mm(*mm)));
    match seen.map(|(shows, _)| shows) {
        Some(ByHand::Fingers) => SightStatus::CountingFingers,
        Some(ByHand::Motion) => SightStatus::HandMotion,
        Some(ByHand::Light) => SightStatus::LightPerception,
        None => SightStatus::NoLightPerception,
    }
}

fn judged(record: &Record, exercise: &Exercise, evidence: &Evidence) -> Vec<Judged> {
    let conclusion = record.practice().conclusion();
    let sense = |sense, tested: bool, said: Option<Together>, expected, program: Option<Grade>| {
        tested.then(|| Judged {
            sense,
            said,
            expected,
            right: said == Some(expected),
            program,
        })
    };
    let plan = &record.opening.plan;
    let grade = |one: &Option<crate::evidence::Consistency>| one.as_ref().map(|one| one.grade);
    let both = [
        sense(
            "hearing",
            plan.hearing.is_some() && exercise.person.hearing.is_some(),
            conclusion.and_then(|one| one.hearing),
            exercise.expect.hearing,
            grade(&evidence.hearing),
        ),
        sense(
            "sight",
            plan.sight.is_some() && exercise.person.sight.is_some(),
            conclusion.and_then(|one| one.sight),
            exercise.expect.sight,
            grade(&evidence.sight),
        ),
    ];
    both.into_iter().flatten().collect()
}

fn cues(record: &Record, exercise: &Exercise) -> Vec<Caught> {
    let named: Vec<Cue> = record
        .practice()
        .conclusion()
        .map(|one| {
            one.cues
                .iter()
                .filter_map(|name| Cue::named(name))
                .collect()
        })
        .unwrap_or_default();
    let caught = |cue: Cue| {
        let (there, named) = (exercise.expect.cues.contains(&cue), named.contains(&cue));
        (there || named).then(|| Caught {
            cue,
            words: cue.words(),
            source: cue.source(),
            there,
            named,
        })
    };
    Cue::ALL.into_iter().filter_map(caught).collect()
}
