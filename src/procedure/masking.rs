//! The plateau method, once both ears are measured without masking (`finding/plateau.rs` says what
//! comes next; this puts it into slots).

use crate::finding::masking::{Need, need, stand};
use crate::finding::measured_hz;
use crate::finding::plateau::Stand;
use crate::journal::{HearingPlan, MaskingPlan, Record};
use crate::quantity::{Ear, Hz};

/// A masked tone that is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Masked {
    pub hz: Hz,
    pub level_db: f64,
    pub masker_db: f64,
}

/// What masking wants next of an ear; none if it is done there.
pub(super) fn wanted(record: &Record, plan: &HearingPlan, ear: Ear) -> Option<Masked> {
    if plan.masking == MaskingPlan::None {
        return None;
    }
    measured_hz(record, ear).into_iter().find_map(|hz| {
        let Need::Yes(ground) = need(record, ear, hz) else {
            return None;
        };
        match stand(record, ear, hz, ground) {
            Stand::Open {
                level_db,
                masker_db,
            } => Some(Masked {
                hz,
                level_db,
                masker_db,
            }),
            Stand::Settled { .. } | Stand::Failed(_) => None,
        }
    })
}
