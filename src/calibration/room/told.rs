//! What a room says, band by band and tone by tone: as its verb and the findings of a visit tell it.

use super::{Claim, Quiet, Room, RoomBand};
use crate::quantity::{Db, DbSpl, Hz};
use crate::standard::EarphoneFit;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

const NOTE: &str = "one-third-octave levels, loudest slow reading, against the permissible levels of \
    ISO 8253-1:2010; above 500 Hz single tones by our own derivation from them; no claim of \
    conformity";

/// A room, and what it lets one claim.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct RoomTold {
    /// Which room.
    pub place: String,
    /// Who measured.
    pub made_by: String,
    /// When.
    #[schemars(with = "String", extend("format" = "date"))]
    pub made_on: Date,
    /// The last day on which the measurement is held to be true.
    #[schemars(with = "String", extend("format" = "date"))]
    pub expires_on: Date,
    /// How the earphone sits.
    pub fit: EarphoneFit,
    /// Whether the microphone's own noise allows a statement about hearing levels from 0 dB.
    pub can_tell: bool,
    /// The lowest test frequency that the permissible levels are for, Hz.
    pub lowest_test_hz: Hz,
    /// Each band against the permissible level.
    pub bands: Vec<BandTold>,
    /// The lowest hearing level that may be claimed of each tone.
    pub claims: Vec<Claim>,
    /// The standard uncertainty of the levels.
    pub u_db: Db,
    /// What the figures are.
    pub note: String,
}

/// One band of a room.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct BandTold {
    /// Nominal midband frequency, Hz.
    pub hz: f64,
    /// What was measured.
    pub level_db_spl: DbSpl,
    /// The microphone's own noise; none where it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor_db_spl: Option<DbSpl>,
    /// What is permissible at 0 dB HL; none where the standard prints nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub permissible_db_spl: Option<DbSpl>,
    /// What follows.
    pub says: Quiet,
}

impl Room {
    /// What it says where no frequency under `lowest_test_hz` is tested.
    #[must_use]
    pub fn told(&self, lowest_test_hz: Hz) -> RoomTold {
        let record = self.record();
        let band = |(band, permissible_db_spl, says): (RoomBand, Option<DbSpl>, Quiet)| BandTold {
            hz: band.hz,
            level_db_spl: band.level_db_spl,
            floor_db_spl: band.floor_db_spl,
            permissible_db_spl,
            says,
        };
        RoomTold {
            place: record.place.clone(),
            made_by: record.made_by.clone(),
            made_on: record.made_on,
            expires_on: record.expires_on,
            fit: record.fit,
            can_tell: self.can_tell(lowest_test_hz),
            lowest_test_hz,
            bands: self.bands(lowest_test_hz).into_iter().map(band).collect(),
            claims: self.claims(),
            u_db: record.u_db,
            note: NOTE.to_owned(),
        }
    }
}
