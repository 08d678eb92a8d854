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

/// The slowest and the fastest swing of a frequency-modulated (warble) tone, per second.
pub const WARBLE_RATE_HZ: Stated<[f64; 2]> = Stated {
    value: [4.0, 20.0],
    within: None,
    source: WARBLE,
};

/// The least and the most that a warble tone may swing to each side, % of its frequency.
pub const WARBLE_DEVIATION_PERCENT: Stated<[f64; 2]> = Stated {
    value: [2.5, 12.5],
    within: None,
    source: WARBLE,
};

const WARBLE: Source = Source {
    document: "IEC 60645-1",
    place: "frequency modulation",
    verified: Verified::FromMemory,
};

/// The least and the greatest width of narrow-band masking noise between its −3 dB points,
/// octaves about the centre.
pub const NOISE_WIDTH_OCTAVES: Stated<[f64; 2]> = Stated {
    value: [1.0 / 3.0, 1.0 / 2.0],
    within: None,
    source: Source {
        document: "IEC 60645-1",
        place: "narrow-band masking noise",
        verified: Verified::FromMemory,
    },
};

/// Speech-weighted noise: its spectrum is flat between the first two frequencies, falls by 12 dB
/// an octave up to the third, and ends there; Hz.
pub const SPEECH_NOISE_HZ: Stated<[f64; 3]> = Stated {
    value: [125.0, 1000.0, 6000.0],
    within: None,
    source: Source {
        document: "IEC 60645-1 (formerly -2)",
        place: "weighted noise for the masking of speech",
        verified: Verified::FromMemory,
    },
};
