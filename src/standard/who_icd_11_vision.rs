//! Categories of vision impairment, ICD-11 9D90 and the WHO's world report on vision (2019): limits
//! read in a copy of the fact sheet (communitymedicine4all.com 2018-10-15) and in the note to ICD-10
//! H54, which has the same split below 1/60; the codes are from memory.

use super::{Source, Verified};
use crate::quantity::LogMar;
use serde::{Deserialize, Serialize};

/// Where the categories come from.
pub const SOURCE: Source = Source {
    document: "ICD-11, 9D90; WHO, World report on vision (2019)",
    place: "categories by presenting acuity of the better eye",
    verified: Verified::LookedUp,
};

/// A category of vision impairment.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum VisionCategory {
    /// 6/12 or better.
    NoImpairment,
    /// Worse than 6/12, down to 6/18.
    Mild,
    /// Worse than 6/18, down to 6/60.
    Moderate,
    /// Worse than 6/60, down to 3/60.
    Severe,
    /// Worse than 3/60.
    Blindness,
}

/// The limits as fractions, from 6/12 down: what is worse than them is in the next category.
pub const LIMITS: [(&str, f64); 4] = [
    ("6/12", 6.0 / 12.0),
    ("6/18", 6.0 / 18.0),
    ("6/60", 6.0 / 60.0),
    ("3/60", 3.0 / 60.0),
];

impl VisionCategory {
    /// From none to blindness.
    pub const ALL: [VisionCategory; 5] = [
        VisionCategory::NoImpairment,
        VisionCategory::Mild,
        VisionCategory::Moderate,
        VisionCategory::Severe,
        VisionCategory::Blindness,
    ];

    /// Of an acuity of the better eye. A limit belongs to the better category; a ten-thousandth of a
    /// logMAR is forgiven, so that 0.30103 is 6/12.
    #[must_use]
    pub fn of(better_eye: LogMar) -> VisionCategory {
        let worse_than = |decimal: &f64| better_eye.0 > -libm::log10(*decimal) + 1e-4;
        let passed = LIMITS
            .iter()
            .take_while(|(_, decimal)| worse_than(decimal))
            .count();
        VisionCategory::ALL[passed]
    }

    /// How the report calls it.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            VisionCategory::NoImpairment => "no vision impairment",
            VisionCategory::Mild => "mild vision impairment",
            VisionCategory::Moderate => "moderate vision impairment",
            VisionCategory::Severe => "severe vision impairment",
            VisionCategory::Blindness => "blindness",
        }
    }
}

/// The limits that an interval of acuities straddles, by their fractions.
pub fn straddled(low: LogMar, high: LogMar) -> impl Iterator<Item = &'static str> {
    LIMITS.iter().filter_map(move |(name, decimal)| {
        let at = -libm::log10(*decimal);
        (low.0 < at && at < high.0).then_some(*name)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// WHO fact sheet 2018 (after ICD-11): none to 6/12, mild to 6/18, moderate to 6/60, severe to 3/60, each
    /// with its logMAR: .30, .477, 1.0, 1.3.
    #[test]
    fn limits_are_those_of_the_table() {
        let table = [
            (0.301, VisionCategory::NoImpairment, VisionCategory::Mild),
            (0.477, VisionCategory::Mild, VisionCategory::Moderate),
            (1.0, VisionCategory::Moderate, VisionCategory::Severe),
            (1.301, VisionCategory::Severe, VisionCategory::Blindness),
        ];
        for (limit, to, beyond) in table {
            assert_eq!(VisionCategory::of(LogMar(limit)), to, "{limit}");
            assert_eq!(VisionCategory::of(LogMar(limit + 0.002)), beyond, "{limit}");
        }
        assert_eq!(
            VisionCategory::of(LogMar(-0.2)),
            VisionCategory::NoImpairment
        );
        assert_eq!(VisionCategory::of(LogMar(3.0)), VisionCategory::Blindness);
    }

    #[test]
    fn an_interval_names_the_limits_inside_it() {
        let inside = |low, high| straddled(LogMar(low), LogMar(high)).collect::<Vec<_>>();
        assert_eq!(inside(0.25, 0.5), ["6/12", "6/18"]);
        assert_eq!(inside(0.31, 0.47), [""; 0]);
        assert_eq!(inside(0.9, 1.4), ["6/60", "3/60"]);
    }
}
