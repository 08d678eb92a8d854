//! The plans that come with the program; a clinic writes its own in the same form.

use crate::calibration::FileError;
use crate::journal::Plan;

const PLANS: [(&str, &str); 7] = [
    ("quick", include_str!("plans/quick.toml")),
    ("full", include_str!("plans/full.toml")),
    ("reliability", include_str!("plans/reliability.toml")),
    ("two_distances", include_str!("plans/two_distances.toml")),
    ("monitoring", include_str!("plans/monitoring.toml")),
    ("bedside", include_str!("plans/bedside.toml")),
    ("daily", include_str!("plans/daily.toml")),
];

/// The names of the plans that come with the program.
pub const NAMES: [&str; 7] = [
    "quick",
    "full",
    "reliability",
    "two_distances",
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
}
