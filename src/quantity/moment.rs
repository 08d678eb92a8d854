//! Time within a visit.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;

/// A moment of a visit, counted from its beginning by a clock that never jumps; in microseconds
/// inside, in seconds in files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Moment {
    micros: i64,
}

impl Moment {
    /// The beginning of the visit.
    pub const START: Moment = Moment { micros: 0 };

    /// The moment `micros` microseconds after the beginning.
    #[must_use]
    pub fn from_micros(micros: i64) -> Moment {
        Moment { micros }
    }

    /// The moment `seconds` after the beginning, to the nearest microsecond.
    #[must_use]
    pub fn from_seconds(seconds: f64) -> Moment {
        Moment {
            micros: (seconds * 1e6).round() as i64,
        }
    }

    /// Microseconds since the beginning.
    #[must_use]
    pub fn micros(self) -> i64 {
        self.micros
    }

    /// Seconds since the beginning.
    #[must_use]
    pub fn seconds(self) -> f64 {
        self.micros as f64 / 1e6
    }

    /// The moment `seconds` later (earlier when negative).
    #[must_use]
    pub fn plus_seconds(self, seconds: f64) -> Moment {
        Moment {
            micros: self.micros.saturating_add((seconds * 1e6).round() as i64),
        }
    }

    /// Seconds from `earlier` to this moment.
    #[must_use]
    pub fn seconds_since(self, earlier: Moment) -> f64 {
        self.micros.saturating_sub(earlier.micros) as f64 / 1e6
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_f64(self.seconds())
    }
}

/// As it is written: seconds.
impl JsonSchema for Moment {
    fn schema_name() -> Cow<'static, str> {
        "Moment".into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({"type": "number"})
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Moment, D::Error> {
        f64::deserialize(input).map(Moment::from_seconds)
    }
}
