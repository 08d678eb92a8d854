//! IEC 60645-1:2017, how the tones of an audiometer are shaped. The standard's body could not be
//! opened; the figures of the pulsed tone were read in a sound level meter's reference manual
//! that prints them.

use super::{Source, Stated, Verified};

const PULSE: Source = Source {
    document: "IEC 60645-1",
    place: "pulsed tone, as a sound level meter's reference manual prints it",
    verified: Verified::LookedUp,
};

/// How long each pulse of a pulsed tone is on, between its points of −5 dB; seconds.
pub const PULSE_ON_S: Stated<f64> = Stated {
    value: 0.225,
    within: Some(0.035),
    source: PULSE,
};

/// How long the silence between two pulses lasts, between the points of −5 dB; seconds.
pub const PULSE_OFF_S: Stated<f64> = Stated {
    value: 0.225,
    within: Some(0.035),
    source: PULSE,
};

/// The shortest and the longest time that a pulse may take to rise from −20 to −1 dB re its
/// steady level, or to fall back; seconds. A steady tone may take longer (to 0.2 s, from memory).
pub const PULSE_EDGE_S: Stated<[f64; 2]> = Stated {
    value: [0.020, 0.050],
    within: None,
    source: PULSE,
};

/// Where an edge begins, dB re the steady level.
pub const EDGE_FROM_DB: f64 = -20.0;

/// Where an edge is complete, dB re the steady level.
pub const EDGE_TO_DB: f64 = -1.0;

/// The largest deviation ± of a tone's frequency, as a fraction of it.
pub const FREQUENCY_TOLERANCE: Stated<f64> = Stated {
    value: 0.01,
    within: None,
    source: Source {
        document: "IEC 60645-1",
        place: "frequency, types 1 and 2",
        verified: Verified::FromMemory,
    },
};

/// The softest level that an audiometer has, dB HL.
pub const LOWEST_DB_HL: Stated<f64> = Stated {
    value: -10.0,
    within: None,
    source: Source {
        document: "IEC 60645-1",
        place: "range of hearing levels",
        verified: Verified::FromMemory,
    },
};
