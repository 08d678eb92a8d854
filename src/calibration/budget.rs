//! The uncertainty of a threshold, component by component (ISO 8253-1, Annex A).

use super::earphone::{EarphoneProfile, ProfileKind};
use crate::quantity::{Db, Hz, Scale};
use crate::standard::iso_8253_1_2010 as iso;
use serde::Serialize;

/// Where a component is not the standard's but the profile's own.
const OF_PROFILE: &str = "the profile";
const ANNEX_A: &str = "ISO 8253-1:2010, Annex A";

/// One component, as a standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Component {
    /// What is uncertain.
    pub what: &'static str,
    /// How much.
    pub u_db: Db,
    /// Where the figure comes from.
    pub source: &'static str,
}

/// All components of a threshold at one frequency.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Budget {
    /// One after another.
    pub components: Vec<Component>,
}

impl Budget {
    /// The combined standard uncertainty: the root of the summed squares.
    #[must_use]
    pub fn combined(&self) -> Db {
        let all: Vec<Db> = self.components.iter().map(|one| one.u_db).collect();
        iso::combined(&all)
    }

    /// The expanded uncertainty, about 95 %.
    #[must_use]
    pub fn expanded(&self) -> Db {
        Db(iso::COVERAGE_FACTOR * self.combined().0)
    }
}

impl EarphoneProfile {
    /// The budget of a threshold at `hz`. `answers` is the standard uncertainty from the answers
    /// alone; without it the standard's figures for repeated determinations in 5 dB steps stand
    /// in. `None` unless levels are dB HL and the profile has this frequency.
    #[must_use]
    pub fn budget(&self, hz: Hz, answers: Option<Db>, masked: bool) -> Option<Budget> {
        if self.scale() != Scale::DbHl || !self.hz().contains(&hz) {
            return None;
        }
        let mut components = Vec::new();
        let mut add = |what, u_db, source| components.push(Component { what, u_db, source });
        let record = self.record();
        match (record.kind, record.u_db, &record.jury) {
            (ProfileKind::ListeningJury, _, Some(jury)) => {
                let row = record.zero.iter().find(|row| row.hz == hz)?;
                add("so few listeners", row.u_db, OF_PROFILE);
                let bias = "how well the listeners themselves hear";
                add(bias, jury.u_bias_db, OF_PROFILE);
            }
            (_, Some(u_db), _) => add("levels of the output", u_db, OF_PROFILE),
            _ => add("levels of the output", iso::audiometer(hz), ANNEX_A),
        }
        add("type of the earphone", iso::earphone_type(hz), ANNEX_A);
        add("how the earphone sits", iso::fitting(hz), ANNEX_A);
        add("noise of the room", iso::ROOM, ANNEX_A);
        if let Some(u_db) = answers {
            add("the answers", u_db, "this visit");
        } else {
            add("the answers", iso::repeated_determinations(hz), ANNEX_A);
            add("steps of 5 dB", iso::step_size(Db(5.0)), ANNEX_A);
        }
        if masked {
            add("masking", iso::MASKING, ANNEX_A);
        }
        Some(Budget { components })
    }

    /// The combined standard uncertainty of a threshold; see [`EarphoneProfile::budget`].
    #[must_use]
    pub fn uncertainty(&self, hz: Hz, answers: Option<Db>, masked: bool) -> Option<Db> {
        self.budget(hz, answers, masked)
            .map(|budget| budget.combined())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 8253-1:2010, Annex A, its own example: a device within its tolerance, up to 4 kHz, 5 dB
    /// steps, no masking: u = 4.9 dB, U = 10 dB; every component as printed there.
    #[test]
    fn the_budget_of_annex_a() {
        let budget = EarphoneProfile::simulated()
            .budget(Hz(1000.0), None, false)
            .unwrap();
        let printed = [
            ("levels of the output", 1.7),
            ("type of the earphone", 1.5),
            ("how the earphone sits", 2.5),
            ("noise of the room", 2.0),
            ("the answers", 2.5),
            ("steps of 5 dB", 1.4),
        ];
        assert_eq!(budget.components.len(), printed.len());
        for (component, (what, u_db)) in budget.components.iter().zip(printed) {
            assert_eq!(component.what, what);
            assert!((component.u_db.0 - u_db).abs() < 0.05, "{what}");
        }
        assert!((budget.combined().0 - 4.9).abs() < 0.05);
        assert!((budget.expanded().0 - 10.0).abs() < 0.5);
    }

    /// Above 4 kHz 6.8 and 13.5 dB (worked out from the same components by other code: project
    /// reference on hearing, 3.1); masking adds its 2 dB.
    #[test]
    fn above_four_kilohertz_and_with_masking() {
        let profile = EarphoneProfile::simulated();
        let budget = |masked| profile.budget(Hz(6000.0), None, masked).unwrap();
        assert!((budget(false).combined().0 - 6.8).abs() < 0.06);
        assert!((budget(false).expanded().0 - 13.5).abs() < 0.11);
        let squares = |masked| budget(masked).combined().0.powi(2);
        assert!((squares(true) - squares(false) - 4.0).abs() < 1e-9);
    }

    #[test]
    fn nothing_without_hearing_levels_or_reference() {
        let relative = EarphoneProfile::uncalibrated();
        assert!(relative.budget(Hz(1000.0), None, false).is_none());
        let simulated = EarphoneProfile::simulated();
        assert!(simulated.budget(Hz(1100.0), None, false).is_none());
    }
}
