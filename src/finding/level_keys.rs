//! The keys under which levels are written: each names its scale, so that no reader takes one for
//! another, and there is none where there is no level.

macro_rules! level_key {
    ($module:ident, $hl:literal, $re_examiner:literal, $fs:literal) => {
        /// Writes a level under a key that names its scale, or nothing.
        pub mod $module {
            use crate::quantity::{Level, Scale};
            use serde::ser::SerializeMap;
            use serde::{Deserialize, Deserializer, Serializer};

            /// The keys as the schema has them; at most one is there.
            #[derive(schemars::JsonSchema)]
            #[expect(dead_code, reason = "only its schema is used")]
            pub struct Keys {
                /// Hearing level.
                #[serde(rename = $hl, default, skip_serializing_if = "Option::is_none")]
                hl: Option<f64>,
                /// Against the examiner's own ears.
                #[serde(rename = $re_examiner, default, skip_serializing_if = "Option::is_none")]
                re_examiner: Option<f64>,
                /// Re digital full scale.
                #[serde(rename = $fs, default, skip_serializing_if = "Option::is_none")]
                fs: Option<f64>,
            }

            const KEYS: [(&str, Scale); 3] = [
                ($hl, Scale::DbHl),
                ($re_examiner, Scale::DbReExaminer),
                ($fs, Scale::DbFs),
            ];

            #[expect(clippy::ref_option, reason = "serde asks for the field by reference")]
            pub fn serialize<S: Serializer>(
                level: &Option<Level>,
                out: S,
            ) -> Result<S::Ok, S::Error> {
                let mut map = out.serialize_map(None)?;
                if let Some(level) = level {
                    let key = KEYS.iter().find(|(_, scale)| *scale == level.scale());
                    map.serialize_entry(key.map_or("", |(key, _)| *key), &level.db())?;
                }
                map.end()
            }

            pub fn deserialize<'de, D: Deserializer<'de>>(
                input: D,
            ) -> Result<Option<Level>, D::Error> {
                let map =
                    std::collections::BTreeMap::<String, serde_json::Value>::deserialize(input)?;
                Ok(KEYS.iter().find_map(|(key, scale)| {
                    map.get(*key)
                        .and_then(serde_json::Value::as_f64)
                        .map(|db| Level::new(*scale, db))
                }))
            }
        }
    };
}
level_key!(
    threshold_key,
    "threshold_db_hl",
    "threshold_db_re_examiner",
    "threshold_db_fs"
);
level_key!(
    limit_key,
    "no_response_at_db_hl",
    "no_response_at_db_re_examiner",
    "no_response_at_db_fs"
);
level_key!(
    midpoint_key,
    "midpoint_db_hl",
    "midpoint_db_re_examiner",
    "midpoint_db_fs"
);
level_key!(
    level_key,
    "level_db_hl",
    "level_db_re_examiner",
    "level_db_fs"
);
level_key!(
    unmasked_key,
    "unmasked_db_hl",
    "unmasked_db_re_examiner",
    "unmasked_db_fs"
);
