//! How a sound swells and fades: raised-cosine ramps, and the rows of pulses.

use std::f64::consts::PI;

/// From silence to full amplitude, in seconds. Between 20 dB and 1 dB under the steady level a
/// raised cosine takes 0.581 of it, 29 ms: within the 20 to 50 ms for pulsed tones and the
/// 20 to 200 ms for keyed ones (IEC 60645-1).
pub(super) const RAMP_S: f64 = 0.050;

/// From one pulse's onset to the next, in seconds: 225 ms on and 225 ms off (IEC 60645-1).
const PULSE_PERIOD_S: f64 = 0.450;

/// Onset to end of a pulse, in seconds. The pulse is timed between its points 5 dB under the
/// steady level; a raised cosine reaches 10^(-5/20) at arccos(1 - 2 * 10^(-5/20)) / pi = 0.5398
/// of the ramp, so 225 ms lie between them.
const PULSE_S: f64 = 0.225 + 2.0 * 0.539_798 * RAMP_S;

/// The shortest sound that holds its ramps, or one pulse, in seconds.
pub(super) fn shortest_s(pulsed: bool) -> f64 {
    if pulsed { PULSE_S } else { 2.0 * RAMP_S }
}

/// How long a sound of `seconds` would have to last at its full level to have the same energy, s: the
/// square of a raised cosine has three eighths of it on average.
pub(super) fn full_level_s(pulsed: bool, seconds: f64) -> f64 {
    let less = 2.0 * RAMP_S * (1.0 - 0.375);
    if !pulsed {
        return (seconds - less).max(0.0);
    }
    let bursts = ((seconds - PULSE_S) / PULSE_PERIOD_S).floor() + 1.0;
    bursts.max(0.0) * (PULSE_S - less)
}

/// The share of full amplitude at each of so many frames, with a ramp at either end.
pub(super) fn ramps(frames: usize, rate: f64) -> impl Fn(usize) -> f64 {
    let ramp = ((RAMP_S * rate).round() as usize).clamp(1, frames.div_ceil(2).max(1));
    move |n| {
        let from_edge = n.min(frames.saturating_sub(n + 1));
        if from_edge >= ramp {
            return 1.0;
        }
        rise(from_edge, ramp)
    }
}

/// The share of full amplitude `n` frames after the beginning of a ramp.
fn rise(n: usize, ramp: usize) -> f64 {
    0.5 - 0.5 * libm::cos(PI * (n as f64 + 0.5) / ramp as f64)
}

/// The course of a sound's amplitude, in frames of its slot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    /// Where the onset ramp begins.
    pub(super) onset: usize,
    ramp: usize,
    /// One burst's length, and the distance to the next.
    burst: usize,
    period: usize,
    bursts: usize,
}

impl Shape {
    /// From `start_s` to `end_s`; `None` if that is shorter than [`shortest_s`].
    pub(super) fn new(pulsed: bool, start_s: f64, end_s: f64, rate: f64) -> Option<Shape> {
        let frames = |seconds: f64| (seconds * rate).round() as usize;
        let (onset, end) = (frames(start_s), frames(end_s));
        let length = end.checked_sub(onset)?;
        let ramp = frames(RAMP_S);
        let (burst, period) = if pulsed {
            (frames(PULSE_S), frames(PULSE_PERIOD_S))
        } else {
            (length, length.max(1))
        };
        // Rounding both ends to frames may cost one frame.
        if burst > length || burst + 1 < 2 * ramp {
            return None;
        }
        let bursts = 1 + (length - burst) / period;
        Some(Shape {
            onset,
            ramp,
            burst,
            period,
            bursts,
        })
    }

    /// The frame after the last that sounds.
    pub(super) fn end(&self) -> usize {
        self.onset + (self.bursts - 1) * self.period + self.burst
    }

    /// The share of full amplitude `n` frames after the onset, 0 to 1. Rise and fall mirror each
    /// other; the samples stand in the middle of their frames, so that the time between two
    /// points of equal height is exact.
    pub(super) fn gain(&self, n: usize) -> f64 {
        let within = n % self.period;
        if n / self.period >= self.bursts || within >= self.burst {
            return 0.0;
        }
        let from_edge = within.min(self.burst - 1 - within);
        if from_edge >= self.ramp {
            return 1.0;
        }
        rise(from_edge, self.ramp)
    }
}
