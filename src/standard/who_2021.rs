//! Grades of hearing loss, World report on hearing (WHO 2021), Table 1.3. Read in a quotation;
//! the grades 'complete' and 'unilateral' are from memory.

use super::{Source, Verified};
use crate::quantity::{DbHl, Hz};
use serde::{Deserialize, Serialize};

/// Where the grades come from.
pub const SOURCE: Source = Source {
    document: "World report on hearing, WHO 2021",
    place: "Table 1.3",
    verified: Verified::LookedUp,
};

/// The frequencies whose thresholds are averaged.
pub const AVERAGED_HZ: [Hz; 4] = [Hz(500.0), Hz(1000.0), Hz(2000.0), Hz(4000.0)];

/// A grade of hearing loss.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Better ear under 20 dB.
    Normal,
    /// Better ear under 20 dB, worse ear 35 dB or more.
    Unilateral,
    /// Better ear 20 to under 35 dB.
    Mild,
    /// Better ear 35 to under 50 dB.
    Moderate,
    /// Better ear 50 to under 65 dB.
    ModeratelySevere,
    /// Better ear 65 to under 80 dB.
    Severe,
    /// Better ear 80 to under 95 dB.
    Profound,
    /// Better ear 95 dB or more.
    Complete,
}

impl Grade {
    /// The grade of a person whose averages over [`AVERAGED_HZ`] are these.
    #[must_use]
    pub fn of(right: DbHl, left: DbHl) -> Grade {
        let better = right.0.min(left.0);
        let worse = right.0.max(left.0);
        match better {
            _ if better < 20.0 && worse >= 35.0 => Grade::Unilateral,
            _ if better < 20.0 => Grade::Normal,
            _ if better < 35.0 => Grade::Mild,
            _ if better < 50.0 => Grade::Moderate,
            _ if better < 65.0 => Grade::ModeratelySevere,
            _ if better < 80.0 => Grade::Severe,
            _ if better < 95.0 => Grade::Profound,
            _ => Grade::Complete,
        }
    }

    /// How the report calls it.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Grade::Normal => "normal hearing",
            Grade::Unilateral => "unilateral hearing loss",
            Grade::Mild => "mild hearing loss",
            Grade::Moderate => "moderate hearing loss",
            Grade::ModeratelySevere => "moderately severe hearing loss",
            Grade::Severe => "severe hearing loss",
            Grade::Profound => "profound hearing loss",
            Grade::Complete => "complete hearing loss",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The limits as World report on hearing (WHO 2021), Table 1.3, words them: '20 to < 35 dB'.
    #[test]
    fn limits_belong_to_the_poorer_grade() {
        let both = |db: f64| Grade::of(DbHl(db), DbHl(db));
        let limits = [
            (20.0, Grade::Normal, Grade::Mild),
            (35.0, Grade::Mild, Grade::Moderate),
            (50.0, Grade::Moderate, Grade::ModeratelySevere),
            (65.0, Grade::ModeratelySevere, Grade::Severe),
            (80.0, Grade::Severe, Grade::Profound),
            (95.0, Grade::Profound, Grade::Complete),
        ];
        for (limit, under, from) in limits {
            assert_eq!(both(limit - 0.01), under);
            assert_eq!(both(limit), from);
        }
    }

    /// WHO 2021, Table 1.3 (from memory): unilateral is < 20 dB in the better, ≥ 35 dB in the
    /// worse ear; otherwise the better ear decides.
    #[test]
    fn the_better_ear_decides_unless_one_sided() {
        assert_eq!(Grade::of(DbHl(10.0), DbHl(35.0)), Grade::Unilateral);
        assert_eq!(Grade::of(DbHl(90.0), DbHl(19.9)), Grade::Unilateral);
        assert_eq!(Grade::of(DbHl(10.0), DbHl(34.9)), Grade::Normal);
        assert_eq!(Grade::of(DbHl(20.0), DbHl(90.0)), Grade::Mild);
    }
}
