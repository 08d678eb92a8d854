//! `findings.json`: all figures of a visit.

use crate::bedside::BedsideFindings;
use crate::calibration::EarphoneProfile;
use crate::calibration::room::RoomTold;
use crate::evidence::{Consistency, Evidence, Grade};
use crate::finding::masking::WITHOUT_BONE;
use crate::finding::{
    Averages, Changes, Cue, Exposure, HearingFindings, MATHEMATICS, ScreeningFindings,
    SightFindings, cues, exposure,
};
use crate::journal::{Purpose, Record, Trial};
use crate::quantity::{Scale, Sense};
use serde::{Deserialize, Serialize};

/// How many presentations of each sort were made.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
pub struct Counts {
    /// Tones, familiarising and repeated ones included.
    pub tones: u32,
    /// Silent presentations.
    pub silent: u32,
    /// Tones that measured again.
    pub repeats: u32,
    /// Optotypes, practice included.
    pub optotypes: u32,
    /// Presentations that did not arrive whole.
    pub void: u32,
    /// Trials that the examiner took back.
    pub undone: u32,
}

/// Which senses something holds for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
pub struct Senses {
    /// Hearing.
    pub hearing: bool,
    /// Sight.
    pub sight: bool,
}

impl Senses {
    fn senses(self) -> Vec<Sense> {
        let both = [(self.hearing, Sense::Hearing), (self.sight, Sense::Sight)];
        let held = both.into_iter().filter(|(holds, _)| *holds);
        held.map(|(_, sense)| sense).collect()
    }
}

/// All figures of a visit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Findings {
    /// Version of this document's format.
    pub format: u32,
    /// Name and version of the program that made the journal.
    pub program: String,
    /// Version of the mathematics.
    pub mathematics: u32,
    /// The set-up's name.
    pub setup: String,
    /// What the levels refer to: `dB HL` only with a valid profile.
    pub levels: String,
    /// Hearing.
    pub hearing: HearingFindings,
    /// What a screening found; no threshold. None where there was none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screening: Option<ScreeningFindings>,
    /// Sight.
    pub sight: SightFindings,
    /// Averages and grades of hearing; none while they are withheld.
    pub averages: Averages,
    /// Changes against an earlier visit, where the plan knows one; none while they are withheld.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub changes: Option<Changes>,
    /// What air conduction alone cannot tell; none where hearing was not tested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub without_bone: Option<String>,
    /// How far the answers hang together.
    pub consistency: Evidence,
    /// Values of these senses are as obtained, not thresholds, and their averages are withheld.
    pub as_obtained: Senses,
    /// How many presentations were made.
    pub counts: Counts,
    /// How quiet the room was, and the lowest hearing levels that it let one claim; none where it was
    /// not measured, or hearing was not tested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<RoomTold>,
    /// How much sound each ear got; none where nothing sounded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exposure: Option<Exposure>,
    /// What gives reason to look further.
    pub cues: Vec<Cue>,
    /// What was done by hand; it enters no grade of hearing or sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bedside: Option<BedsideFindings>,
    /// From the beginning to the last event, s.
    pub seconds: f64,
    /// What the figures are and are not.
    pub caution: String,
}

const CAUTION: &str = "A screening and measuring aid, not certified and not a diagnosis; local \
    rules and licensed practice come first.";

/// What the figures are and are not, on the scale that they have.
fn caution(scale: Option<Scale>) -> String {
    let of_scale = match scale {
        Some(Scale::DbReExaminer) => {
            " Levels are against the examiner's own ears on the same set-up: the examiner's own loss \
             shifts every one of them."
        }
        Some(Scale::DbFs) => " Levels are re full scale: nothing is known of the air.",
        Some(Scale::DbHl) | None => "",
    };
    format!("{CAUTION}{of_scale}")
}

impl Findings {
    /// Folds a record.
    #[must_use]
    pub fn of(record: &Record) -> Findings {
        let unmasked = HearingFindings::without_masking(record);
        let mut sight = SightFindings::of(record);
        // How the answers hang together does not depend on which ear gave them.
        let consistency = Evidence::of(record, &unmasked);
        let hearing = unmasked.with_masking(record);
        let inconsistent = |sense: &Option<Consistency>| {
            sense
                .as_ref()
                .is_some_and(|sense| sense.grade == Grade::Inconsistent)
        };
        let as_obtained = Senses {
            hearing: inconsistent(&consistency.hearing),
            sight: inconsistent(&consistency.sight),
        };
        if as_obtained.sight {
            sight.grades = None;
        }
        let averages = if as_obtained.hearing {
            Averages::default()
        } else {
            let earphone = record.opening.set_up.earphone.as_ref();
            Averages::of(&hearing, earphone.map(EarphoneProfile::kind))
        };
        let changes = (!as_obtained.hearing)
            .then(|| Changes::of(record, &hearing))
            .flatten();
        let cues = cues(
            record,
            (!as_obtained.hearing).then_some(&hearing),
            (!as_obtained.sight).then_some(&sight),
        );
        let tested = hearing.all().any(|(_, one)| one.presentations > 0);
        let set_up = &record.opening.set_up;
        let levels = set_up
            .earphone
            .as_ref()
            .map_or("none", |one| one.scale().unit());
        let withheld = as_obtained.senses();
        let bedside = BedsideFindings::of(record, &hearing, &sight, levels, &withheld);
        Findings {
            format: 1,
            program: record.opening.program.clone(),
            mathematics: MATHEMATICS,
            setup: set_up.name.clone(),
            levels: levels.to_owned(),
            hearing,
            screening: ScreeningFindings::of(record),
            sight,
            averages,
            changes,
            without_bone: tested.then(|| WITHOUT_BONE.into()),
            consistency,
            as_obtained,
            counts: Counts::of(record),
            room: room(record),
            exposure: exposure(record),
            cues,
            bedside,
            seconds: record.last_moment().seconds(),
            caution: caution(set_up.earphone.as_ref().map(EarphoneProfile::scale)),
        }
    }
}

/// The room, held against what is permissible where no tone lower than the plan's is tested.
fn room(record: &Record) -> Option<RoomTold> {
    let planned = &record.opening.plan.hearing.as_ref()?.hz;
    let lowest = planned
        .iter()
        .copied()
        .reduce(|one, other| if other < one { other } else { one });
    Some(record.opening.set_up.room.as_ref()?.told(lowest?))
}

impl Counts {
    fn of(record: &Record) -> Counts {
        let count = |wanted: &dyn Fn(&Trial) -> bool| {
            record.counted().filter(|trial| wanted(trial)).count() as u32
        };
        Counts {
            tones: count(&|trial| trial.tone().is_some()),
            silent: count(&|trial| trial.purpose() == Purpose::Silent),
            repeats: count(&|trial| trial.purpose() == Purpose::Repeat),
            optotypes: count(&|trial| trial.optotype().is_some()),
            void: record.voids().len() as u32,
            undone: record.trials().iter().filter(|trial| trial.undone).count() as u32,
        }
    }
}
