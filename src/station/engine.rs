//! The sound engine: what runs in the device's callback, and its handle outside.
//!
//! [`Engine::render`] never allocates, frees, locks, logs or waits. Slots come in and go back
//! through wait-free queues, so that their memory is freed outside; all else is atomics.

use super::quantiser::{MOST_BITS, Quantiser};
use super::{Arrival, Loss, PlayError, SoundEvent, SoundStation, TooShallow};
use crate::stimulus::sound::Rendered;
use rtrb::{Consumer, Producer, RingBuffer};
use std::f64::consts::PI;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering::Relaxed};
use std::time::Instant;

/// How long the ramp of a stop takes, in seconds.
const STOP_RAMP_S: f64 = 0.050;

/// Seeds the dither, which no one needs to repeat.
const DITHER_SEED: u64 = 0;

/// What both sides see. Every field stands alone, so relaxed ordering suffices; what must be
/// ordered goes through the queues.
struct Shared {
    stops: AtomicU32,
    underruns: AtomicU64,
    /// Underruns among them.
    faults: AtomicU64,
    faults_since_buffer: AtomicU32,
    /// 0 as long as the device plays, else one more than the place in [`LOSSES`].
    lost: AtomicU32,
    /// The depth to which everything is rounded; 0: as it is.
    bits: AtomicU32,
    cut_off: AtomicU64,
    frames: AtomicU64,
    drain: AtomicU32,
    ceiling: [AtomicU32; 2],
}

/// A slot on its way in. It knows how many stops came before it: later ones are meant for it.
struct Slot {
    id: u32,
    samples: Box<[f32]>,
    stops: u32,
}

/// What goes back.
enum Note {
    Began {
        id: u32,
        frame: u64,
        at: Instant,
    },
    Ended {
        slot: Slot,
        frame: u64,
        arrival: Arrival,
    },
}

/// A slot while it plays, and until its last frame has left the device's buffer.
struct Playing {
    slot: Slot,
    /// Frames played.
    played: usize,
    /// Faults before it began, and underruns among them.
    faults: u64,
    underruns: u64,
    /// Frames of the stop's ramp played, once there is a stop.
    fading: Option<usize>,
    cut_off: bool,
    /// The frame after its last, once that is known.
    end: Option<u64>,
}

/// The side that the device's callback owns.
pub struct Engine {
    slots: Consumer<Slot>,
    notes: Producer<Note>,
    shared: Arc<Shared>,
    playing: Option<Playing>,
    frame: u64,
    stop_ramp: Box<[f32]>,
    quantiser: Quantiser,
}

/// In the order of their codes.
const LOSSES: [Loss; 4] = [Loss::Gone, Loss::Failing, Loss::Stalled, Loss::Changed];

/// The side that the program owns.
pub struct EngineHandle {
    slots: Producer<Slot>,
    notes: Consumer<Note>,
    shared: Arc<Shared>,
    frames_per_second: u32,
    device_bits: u32,
    outstanding: bool,
    told_lost: bool,
}

/// Raises faults from wherever the device reports them, by atomics alone.
#[derive(Clone)]
pub struct Alarm(Arc<Shared>);

impl Alarm {
    /// The device ran dry: the slot on its way is not whole.
    pub fn ran_dry(&self) {
        self.0.underruns.fetch_add(1, Relaxed);
        self.fault();
    }

    /// Something went wrong that the stream may survive: the slot on its way is not whole.
    pub fn fault(&self) {
        self.0.faults.fetch_add(1, Relaxed);
        self.0.faults_since_buffer.fetch_add(1, Relaxed);
    }

    /// The device is gone, or is no longer the one that was opened.
    pub fn lost(&self, loss: Loss) {
        self.0.faults.fetch_add(1, Relaxed);
        self.0.lose(loss);
    }
}

/// A new engine for a device of `frames_per_second` that takes samples of `device_bits` (32 and
/// more: as they are), and its handle.
#[must_use]
pub fn engine(frames_per_second: u32, device_bits: u32) -> (Engine, EngineHandle) {
    let full_scale = || AtomicU32::new(1_f32.to_bits());
    let shared = Arc::new(Shared {
        stops: AtomicU32::new(0),
        underruns: AtomicU64::new(0),
        faults: AtomicU64::new(0),
        faults_since_buffer: AtomicU32::new(0),
        lost: AtomicU32::new(0),
        bits: AtomicU32::new(rounded_to(device_bits)),
        cut_off: AtomicU64::new(0),
        frames: AtomicU64::new(0),
        drain: AtomicU32::new(0),
        ceiling: [full_scale(), full_scale()],
    });
    // One slot at a time, and two notes a slot: with these lengths no queue is ever full.
    let (slots_in, slots) = RingBuffer::new(1);
    let (notes, notes_out) = RingBuffer::new(2);
    let ramp_frames = (STOP_RAMP_S * f64::from(frames_per_second)) as usize;
    let fall = |n: usize| 0.5 + 0.5 * libm::cos(PI * (n as f64 + 0.5) / ramp_frames as f64);
    let stop_ramp = (0..ramp_frames).map(|n| fall(n) as f32).collect();
    let engine = Engine {
        slots,
        notes,
        shared: shared.clone(),
        playing: None,
        frame: 0,
        stop_ramp,
        quantiser: Quantiser::new(DITHER_SEED),
    };
    let handle = EngineHandle {
        slots: slots_in,
        notes: notes_out,
        shared,
        frames_per_second,
        device_bits,
        outstanding: false,
        told_lost: false,
    };
    (engine, handle)
}

/// The depth as the engine keeps it: a float has no more than [`MOST_BITS`] significant bits, so
/// that dither for more would only add noise.
fn rounded_to(bits: u32) -> u32 {
    if bits > MOST_BITS { 0 } else { bits.max(2) }
}

impl Engine {
    /// Fills `out` (left and right in turn), whose first frame reaches the output at `due`.
    pub fn render(&mut self, out: &mut [f32], due: Instant) {
        self.shared.faults_since_buffer.store(0, Relaxed);
        out.fill(0.0);
        if self.playing.is_none() {
            self.begin(due);
        }
        let stops = self.shared.stops.load(Relaxed);
        if let Some(playing) = self
            .playing
            .as_mut()
            .filter(|playing| playing.end.is_none())
        {
            playing.fill(out, self.frame, stops, &self.stop_ramp);
            playing.cut_off |= self.shared.cut_off(out);
        }
        self.frame += out.len() as u64 / 2;
        self.shared.frames.store(self.frame, Relaxed);
        self.round(out);
        self.give_back();
    }

    /// Rounds with dither, silence as well and both channels alike, so that the dither's noise
    /// tells nothing.
    fn round(&mut self, out: &mut [f32]) {
        let bits = self.shared.bits.load(Relaxed);
        if bits == 0 {
            return;
        }
        // The dither must not lift a sample over its ceiling; a silent ear keeps one step for it.
        let steps = (1_u32 << (bits - 1)) as f32;
        let tops = self
            .shared
            .ceilings()
            .map(|top| (top * steps).floor().max(1.0) / steps);
        for pair in out.chunks_exact_mut(2) {
            for (sample, top) in pair.iter_mut().zip(tops) {
                *sample = self.quantiser.round(*sample, bits).clamp(-top, top);
            }
        }
    }

    /// Takes the slot that waits, if there is one.
    fn begin(&mut self, due: Instant) {
        let Ok(slot) = self.slots.pop() else { return };
        let stopped = slot.stops != self.shared.stops.load(Relaxed);
        if !stopped {
            self.note(Note::Began {
                id: slot.id,
                frame: self.frame,
                at: due,
            });
        }
        self.playing = Some(Playing {
            slot,
            played: 0,
            faults: self.shared.faults.load(Relaxed),
            underruns: self.shared.underruns.load(Relaxed),
            fading: stopped.then_some(0),
            cut_off: false,
            end: stopped.then_some(self.frame),
        });
    }

    /// Gives the slot back once its last frame has left the device's buffer: a fault until then
    /// is a fault of this slot.
    fn give_back(&mut self) {
        let drain = u64::from(self.shared.drain.load(Relaxed));
        let out = |playing: &mut Playing| playing.end.is_some_and(|end| end + drain <= self.frame);
        let Some(Playing {
            slot,
            faults,
            underruns,
            fading,
            cut_off,
            end: Some(frame),
            ..
        }) = self.playing.take_if(out)
        else {
            return;
        };
        let arrival = if fading.is_some() {
            Arrival::Stopped
        } else if underruns != self.shared.underruns.load(Relaxed) {
            Arrival::Underrun
        } else if faults != self.shared.faults.load(Relaxed) {
            Arrival::Faulted
        } else if cut_off {
            Arrival::CutOff
        } else {
            Arrival::Whole
        };
        self.note(Note::Ended {
            slot,
            frame,
            arrival,
        });
    }

    fn note(&mut self, note: Note) {
        // There is always room, see `engine`.
        let room = self.notes.push(note).is_ok();
        debug_assert!(room);
    }
}

impl Playing {
    /// Copies the slot's next frames to `out`, whose first frame is `frame`.
    fn fill(&mut self, out: &mut [f32], frame: u64, stops: u32, stop_ramp: &[f32]) {
        let rest = self.slot.samples.get(2 * self.played..).unwrap_or_default();
        let mut frames = (rest.len() / 2).min(out.len() / 2);
        out[..2 * frames].copy_from_slice(&rest[..2 * frames]);
        let mut ended = rest.len() / 2 == frames;
        if self.fading.is_none() && self.slot.stops != stops && frames > 0 {
            self.fading = Some(0);
        }
        if let Some(faded) = &mut self.fading {
            let ramp = stop_ramp.get(*faded..).unwrap_or_default();
            *faded += frames;
            ended |= ramp.len() <= frames;
            frames = frames.min(ramp.len());
            out[2 * frames..].fill(0.0);
            for (pair, gain) in out.chunks_exact_mut(2).zip(ramp) {
                pair[0] *= gain;
                pair[1] *= gain;
            }
        }
        self.played += frames;
        self.end = ended.then_some(frame + frames as u64);
    }
}

impl Shared {
    /// The first loss stands: what follows it is its consequence.
    fn lose(&self, loss: Loss) {
        let code = LOSSES.iter().position(|one| *one == loss).unwrap_or(0) as u32 + 1;
        let _ = self.lost.compare_exchange(0, code, Relaxed, Relaxed);
    }

    fn ceilings(&self) -> [f32; 2] {
        [0, 1].map(|channel| f32::from_bits(self.ceiling[channel].load(Relaxed)))
    }

    fn loss(&self) -> Option<Loss> {
        let place = self.lost.load(Relaxed).checked_sub(1)?;
        LOSSES.get(place as usize).copied()
    }

    /// Holds every sample under its channel's ceiling; whether one had to be cut off. The last
    /// stage, on the samples themselves: it does not rely on what was planned.
    fn cut_off(&self, out: &mut [f32]) -> bool {
        let ceiling = self.ceilings();
        let mut count = 0;
        for pair in out.chunks_exact_mut(2) {
            for (sample, ceiling) in pair.iter_mut().zip(ceiling) {
                let held = if sample.is_nan() {
                    0.0
                } else {
                    sample.clamp(-ceiling, ceiling)
                };
                // Bits differ for a NaN too.
                count += u64::from(held.to_bits() != sample.to_bits());
                *sample = held;
            }
        }
        if count > 0 {
            self.cut_off.fetch_add(count, Relaxed);
        }
        count > 0
    }
}

impl EngineHandle {
    /// What raises faults in this engine.
    #[must_use]
    pub fn alarm(&self) -> Alarm {
        Alarm(self.shared.clone())
    }

    /// How many frames the device still holds when it asks for more: so much later a slot's end
    /// is told.
    pub fn set_drain(&mut self, frames: u32) {
        self.shared.drain.store(frames, Relaxed);
    }

    /// Frames rendered since the opening.
    #[must_use]
    pub fn frames(&self) -> u64 {
        self.shared.frames.load(Relaxed)
    }

    /// Faults of the device since the opening.
    #[must_use]
    pub fn faults(&self) -> u64 {
        self.shared.faults.load(Relaxed)
    }

    /// Faults that the device has reported since it last asked for samples.
    #[must_use]
    pub fn faults_since_buffer(&self) -> u32 {
        self.shared.faults_since_buffer.load(Relaxed)
    }

    /// Samples cut off at the ceiling since the opening.
    #[must_use]
    pub fn cut_off(&self) -> u64 {
        self.shared.cut_off.load(Relaxed)
    }
}

impl SoundStation for EngineHandle {
    fn frames_per_second(&self) -> u32 {
        self.frames_per_second
    }

    fn play(&mut self, id: u32, slot: Rendered) -> Result<(), PlayError> {
        let (rendered, device) = (slot.frames_per_second, self.frames_per_second);
        if self.shared.loss().is_some() {
            return Err(PlayError::Lost);
        }
        if rendered != device {
            return Err(PlayError::Rate { rendered, device });
        }
        if self.outstanding {
            return Err(PlayError::Busy);
        }
        let stops = self.shared.stops.load(Relaxed);
        let slot = Slot {
            id,
            samples: slot.samples,
            stops,
        };
        self.slots.push(slot).map_err(|_| PlayError::Busy)?;
        self.outstanding = true;
        Ok(())
    }

    fn stop(&mut self) {
        self.shared.stops.fetch_add(1, Relaxed);
    }

    fn set_ceiling(&mut self, ceiling: [f32; 2]) {
        for (shared, ceiling) in self.shared.ceiling.iter().zip(ceiling) {
            let ceiling = if ceiling.is_nan() {
                0.0
            } else {
                ceiling.clamp(0.0, 1.0)
            };
            shared.store(ceiling.to_bits(), Relaxed);
        }
    }

    fn set_depth(&mut self, bits: u32) -> Result<(), TooShallow> {
        let has = self.device_bits;
        // A float carries the steps of 24 bits.
        if bits.min(MOST_BITS) > has {
            return Err(TooShallow { needs: bits, has });
        }
        self.shared.bits.store(rounded_to(bits.min(has)), Relaxed);
        Ok(())
    }

    fn poll(&mut self) -> Option<SoundEvent> {
        match self.notes.pop() {
            Ok(Note::Began { id, frame, at }) => Some(SoundEvent::Began { id, frame, at }),
            Ok(Note::Ended {
                slot,
                frame,
                arrival,
            }) => {
                self.outstanding = false;
                Some(SoundEvent::Ended {
                    id: slot.id,
                    frame,
                    arrival,
                })
            }
            Err(_) => {
                let loss = self.shared.loss().filter(|_| !self.told_lost)?;
                self.told_lost = true;
                Some(SoundEvent::Lost(loss))
            }
        }
    }
}
