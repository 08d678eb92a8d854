//! The plateau method, once both ears are measured without masking (`finding/plateau.rs` says what
//! comes next; this puts it into slots).

use crate::finding::estimated::Estimate;
use crate::finding::masking::{Need, need_by, stand};
use crate::finding::measured_hz;
use crate::finding::plateau::{Aim, Stand};
use crate::journal::{HearingPlan, MaskingPlan, Purpose, Record, Trial};
use crate::quantity::{Ear, Hz};

/// A masked tone that is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Masked {
    pub hz: Hz,
    pub level_db: f64,
    pub masker_db: f64,
    pub aim: Aim,
}

/// What masking wants next of these ears; none if it is done there. First a plateau is sought at each
/// ear and frequency; those that need more tones then take turns, so that a person's wander meets all
/// of them and no single one.
pub(super) fn wanted(record: &Record, plan: &HearingPlan, ears: &[Ear]) -> Option<(Ear, Masked)> {
    if plan.masking == MaskingPlan::None {
        return None;
    }
    let estimate = Estimate::of(record);
    let mut longest_ago: Option<(u32, Ear, Masked)> = None;
    for ear in ears {
        for hz in measured_hz(record, *ear) {
            let Need::Yes(ground) = need_by(record, estimate.as_ref(), *ear, hz) else {
                continue;
            };
            let Stand::Open {
                level_db,
                masker_db,
                aim,
            } = stand(record, *ear, hz, ground)
            else {
                continue;
            };
            let masked = Masked {
                hz,
                level_db,
                masker_db,
                aim,
            };
            if aim != Aim::Surer {
                return Some((*ear, masked));
            }
            let latest = latest(record, *ear, hz);
            if longest_ago.is_none_or(|(before, ..)| latest < before) {
                longest_ago = Some((latest, *ear, masked));
            }
        }
    }
    longest_ago.map(|(_, ear, masked)| (ear, masked))
}

/// The number of the latest masked presentation at an ear and frequency; 0 if there is none.
fn latest(record: &Record, ear: Ear, hz: Hz) -> u32 {
    let masked = |trial: &&Trial| {
        trial.purpose() == Purpose::Masked
            && trial
                .tone()
                .is_some_and(|tone| tone.ear == ear && tone.hz == hz)
    };
    let latest = record.counted().rev().find(masked);
    latest.map_or(0, |trial| trial.planned.n)
}
