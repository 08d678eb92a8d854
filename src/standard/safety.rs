//! How loud this program may ever be, and what it takes an unmeasured headphone to be.

use super::{Source, Verified};
use crate::quantity::{DbFs, DbHl, DbSpl};

/// Where the headphone's caps come from.
pub const SOURCE: Source = Source {
    document: "IEC 62368-1, clause 10.6",
    place: "cap of 100 dBA of personal music players, taken over as dB SPL of a pure tone",
    verified: Verified::Derived,
};

/// The loudest sound of a headphone that was not measured.
pub const HEADPHONE_CAP: DbSpl = DbSpl(100.0);

/// The loudest hearing level of a headphone that was not measured; the lower of both caps holds.
pub const HEADPHONE_CAP_HL: DbHl = DbHl(80.0);

/// The loudest sound of an earphone whose level was measured on a coupler.
pub const MEASURED_CAP: DbSpl = DbSpl(110.0);

/// The highest hearing level of a measured earphone; the lower of both caps holds (our choice:
/// what the simulated set-up has).
pub const MEASURED_CAP_HL: DbHl = DbHl(110.0);

/// Above this a sound is loud: it needs the examiner's held confirmation, comes at most
/// [`MOST_LOUD_IN_A_ROW`] times in a row and lasts at most [`LONGEST_LOUD_S`] (our choice, after
/// the 85 dBA at which occupational exposure begins to count, NIOSH 98-126).
pub const LOUD: DbHl = DbHl(85.0);

/// So many loud sounds in a row for one confirmation.
pub const MOST_LOUD_IN_A_ROW: u32 = 3;

/// The longest loud sound, s.
pub const LONGEST_LOUD_S: f64 = 2.0;

/// So much of a working day's dose by NIOSH in one visit makes the program stop and ask (our choice).
pub const MOST_OF_A_DAY: f64 = 0.10;

/// What an unmeasured headphone is assumed to give at digital full scale: louder than most, so
/// that caps reckoned from it err on the soft side. Our own assumption, no source.
pub const ASSUMED_FULL_SCALE: DbSpl = DbSpl(120.0);

/// The loudest level re full scale on an unmeasured headphone: [`HEADPHONE_CAP`] under
/// [`ASSUMED_FULL_SCALE`].
pub const HEADPHONE_CAP_FS: DbFs = DbFs(HEADPHONE_CAP.0 - ASSUMED_FULL_SCALE.0);
