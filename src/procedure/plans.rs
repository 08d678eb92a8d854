//! The plans that come with the program; a clinic writes its own in the same form.

use crate::calibration::FileError;
use crate::journal::Plan;

const PLANS: [(&str, &str); 9] = [
    ("quick", include_str!("plans/quick.toml")),
    ("full", include_str!("plans/full.toml")),
    ("reliability", include_str!("plans/reliability.toml")),
    ("two_distances", include_str!("plans/two_distances.toml")),
    (
        "screening_adult",
        include_str!("plans/screening_adult.toml"),
    ),
    (
        "screening_child",
        include_str!("plans/screening_child.toml"),
    ),
    ("monitoring", include_str!("plans/monitoring.toml")),
    ("bedside", include_str!("plans/bedside.toml")),
    ("daily", include_str!("plans/daily.toml")),
];

/// The names of the plans that come with the program.
pub const NAMES: [&str; 9] = [
    "quick",
    "full",
    "reliability",
    "two_distances",
    "screening_adult",
    "screening_child",
    "monitoring",
    "bedside",
    "daily",
];

/// A plan that comes with the program; none if there is none of that name.
#[must_use]
pub fn named_plan(name: &str) -> Option<Result<Plan, FileError>> {
    let found = PLANS.iter().find(|(known, _)| *known == name);
    found.map(|(_, text)| Plan::from_toml(text, name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_plan_that_comes_with_the_program_can_be_read() {
        for name in NAMES {
            let plan = named_plan(name).expect("it is listed").expect("it reads");
            assert_eq!(plan.name, name);
        }
        assert!(named_plan("no such plan").is_none());
    }

    /// ASHA 1997 (adults, 25 dB HL) and Texas Administrative Code 16/4/111.190 (children, 20 dB HL), both at 1, 2 and 4
    /// kHz.
    #[test]
    fn screenings_have_the_published_levels() {
        for (name, db_hl) in [("screening_adult", 25.0), ("screening_child", 20.0)] {
            let plan = named_plan(name).expect("it is listed").expect("it reads");
            let hearing = plan.hearing.expect("it screens hearing");
            assert!(
                (hearing.screening_db.unwrap_or(25.0) - db_hl).abs() < 1e-9,
                "{name}"
            );
            let hz: Vec<f64> = hearing.hz.iter().map(|hz| hz.0).collect();
            assert_eq!(hz, [1000.0, 2000.0, 4000.0], "{name}");
        }
    }
}
