//! Values of visits, counted: as small for a million visits as for a thousand.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::collections::BTreeMap;

/// Values, each to the nearest part of a unit: `PER_UNIT` 100 keeps hundredths. Written as the list of
/// them, ascending.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Counted<const PER_UNIT: u32> {
    times: BTreeMap<i64, u32>,
}

impl<const PER_UNIT: u32> Counted<PER_UNIT> {
    pub(super) fn add(&mut self, value: f64) {
        let part = libm::round(value * f64::from(PER_UNIT)) as i64;
        *self.times.entry(part).or_default() += 1;
    }

    /// All of them, ascending.
    pub fn values(&self) -> impl Iterator<Item = f64> {
        self.times.iter().flat_map(|(part, times)| {
            let value = *part as f64 / f64::from(PER_UNIT);
            std::iter::repeat_n(value, *times as usize)
        })
    }

    /// How many they are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.times.values().map(|times| *times as usize).sum()
    }

    pub(super) fn mean(&self) -> f64 {
        self.values().sum::<f64>() / self.count().max(1) as f64
    }

    /// The least value that so many per cent do not exceed; 0 of none.
    pub(super) fn percentile(&self, per_cent: usize) -> f64 {
        let at = (self.count() * per_cent).div_ceil(100).saturating_sub(1);
        self.values().nth(at).unwrap_or(0.0)
    }
}

impl<const PER_UNIT: u32> Serialize for Counted<PER_UNIT> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(self.values())
    }
}

impl<'a, const PER_UNIT: u32> Deserialize<'a> for Counted<PER_UNIT> {
    fn deserialize<D: Deserializer<'a>>(from: D) -> Result<Self, D::Error> {
        let mut all = Counted::default();
        for value in Vec::<f64>::deserialize(from)? {
            all.add(value);
        }
        Ok(all)
    }
}

#[cfg(test)]
mod tests {
    use super::Counted;

    #[test]
    fn what_is_counted_is_a_list_again() {
        let mut counted = Counted::<100>::default();
        for value in [2.004, -1.5, 0.25, -1.5] {
            counted.add(value);
        }
        let text = serde_json::to_string(&counted).unwrap();
        assert_eq!(text, "[-1.5,-1.5,0.25,2.0]");
        assert_eq!(
            serde_json::from_str::<Counted<100>>(&text).unwrap(),
            counted
        );
    }

    /// Nearest rank: of 1 to 20 the 95th percentile is the 19th (Hyndman & Fan 1996, definition 1).
    #[test]
    fn percentiles_are_the_nearest_rank() {
        let mut counted = Counted::<1>::default();
        (1..=20).for_each(|n| counted.add(f64::from(n)));
        assert_eq!(counted.percentile(95) as u32, 19);
        assert_eq!(Counted::<1>::default().percentile(95) as u32, 0);
    }
}
