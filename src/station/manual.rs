//! A sound station whose device is moved by hand, for tests: it keeps what it would have played
//! and fails when told to.

use super::engine::{Alarm, Engine, EngineHandle, engine};
use super::{Loss, OutputFacts, PlayError, SoundEvent, SoundStation, TooShallow};
use crate::stimulus::sound::Rendered;
use std::time::{Duration, Instant};

/// See the module. The engine is the one that a real device pulls.
pub struct ManualSound {
    engine: Engine,
    handle: EngineHandle,
    alarm: Alarm,
    opened: Instant,
    buffer_frames: usize,
    captured: Vec<f32>,
    gone: bool,
}

impl ManualSound {
    /// A device of `frames_per_second` that asks for `buffer_frames` (at least 1) at a time.
    #[must_use]
    pub fn new(frames_per_second: u32, buffer_frames: usize) -> ManualSound {
        ManualSound::with_bits(frames_per_second, buffer_frames, 32)
    }

    /// The same, of a device that takes samples of so many bits.
    #[must_use]
    pub fn with_bits(frames_per_second: u32, buffer_frames: usize, bits: u32) -> ManualSound {
        let (engine, handle) = engine(frames_per_second, bits);
        ManualSound {
            engine,
            alarm: handle.alarm(),
            handle,
            opened: Instant::now(),
            buffer_frames: buffer_frames.max(1),
            captured: Vec::new(),
            gone: false,
        }
    }

    /// The same device, opened at another moment.
    #[must_use]
    pub fn opened_at(self, opened: Instant) -> ManualSound {
        ManualSound { opened, ..self }
    }

    /// Plays whole buffers until at least `frames` more frames have been asked for. A device
    /// that is gone plays nothing.
    pub fn advance(&mut self, frames: usize) {
        if self.gone {
            return;
        }
        for _ in 0..frames.div_ceil(self.buffer_frames) {
            let due = self.time_of(self.captured.len() as u64 / 2);
            let start = self.captured.len();
            self.captured
                .resize(start + 2 * self.buffer_frames, f32::NAN);
            self.engine.render(&mut self.captured[start..], due);
        }
    }

    /// When `frame` reaches the output: the device keeps exact time from its opening.
    #[must_use]
    pub fn time_of(&self, frame: u64) -> Instant {
        let seconds = frame as f64 / f64::from(self.handle.frames_per_second());
        self.opened + Duration::from_secs_f64(seconds)
    }

    /// Everything played since the opening, left and right in turn.
    #[must_use]
    pub fn captured(&self) -> &[f32] {
        &self.captured
    }

    /// The engine's handle, for its counts.
    pub fn handle(&mut self) -> &mut EngineHandle {
        &mut self.handle
    }

    /// The device ran dry.
    pub fn run_dry(&mut self) {
        self.alarm.ran_dry();
    }

    /// The device reports a fault of another kind.
    pub fn falter(&mut self) {
        self.alarm.fault();
    }

    /// The device is pulled out.
    pub fn pull_out(&mut self) {
        self.lose(Loss::Gone);
    }

    /// The device is lost in this way.
    pub fn lose(&mut self, loss: Loss) {
        self.gone = true;
        self.alarm.lost(loss);
    }
}

impl SoundStation for ManualSound {
    fn frames_per_second(&self) -> u32 {
        self.handle.frames_per_second()
    }

    fn play(&mut self, id: u32, slot: Rendered) -> Result<(), PlayError> {
        self.handle.play(id, slot)
    }

    fn stop(&mut self) {
        self.handle.stop();
    }

    fn set_ceiling(&mut self, ceiling: [f32; 2]) {
        self.handle.set_ceiling(ceiling);
    }

    fn set_depth(&mut self, bits: u32) -> Result<(), TooShallow> {
        self.handle.set_depth(bits)
    }

    fn facts(&self) -> Option<OutputFacts> {
        Some(OutputFacts {
            device: "moved by hand".into(),
            frames_per_second: self.handle.frames_per_second(),
            format: "32-bit float",
            buffer_frames: self.buffer_frames as u32,
        })
    }

    fn poll(&mut self) -> Option<SoundEvent> {
        self.handle.poll()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::station::Arrival;

    /// A slot whose samples tell where they come from.
    fn slot(frames: usize) -> Rendered {
        let samples = (0..frames).flat_map(|n| [0.25, n as f32 * -1e-5]).collect();
        Rendered {
            frames_per_second: 48_000,
            samples,
            spans: vec![],
        }
    }

    fn station() -> ManualSound {
        ManualSound::new(48_000, 1024)
    }

    fn events(station: &mut ManualSound) -> Vec<SoundEvent> {
        std::iter::from_fn(|| station.poll()).collect()
    }

    fn arrival(station: &mut ManualSound) -> Option<Arrival> {
        events(station).into_iter().find_map(|event| match event {
            SoundEvent::Ended { arrival, .. } => Some(arrival),
            _ => None,
        })
    }

    #[test]
    fn a_slot_is_played_as_it_is_from_the_next_buffer() {
        let mut station = station();
        station.advance(1);
        station.play(7, slot(3000)).unwrap();
        assert_eq!(station.play(8, slot(10)), Err(PlayError::Busy));
        station.advance(3000);
        let at = station.time_of(1024);
        assert_eq!(
            events(&mut station),
            [
                SoundEvent::Began {
                    id: 7,
                    frame: 1024,
                    at
                },
                SoundEvent::Ended {
                    id: 7,
                    frame: 4024,
                    arrival: Arrival::Whole
                },
            ]
        );
        let played = &station.captured()[2048..8048];
        assert_eq!(played, &slot(3000).samples[..]);
        let silent = |samples: &[f32]| samples.iter().all(|&x| x == 0.0);
        assert!(silent(&station.captured()[..2048]) && silent(&station.captured()[8048..]));
        station.play(8, slot(10)).unwrap();
        station.advance(1);
        assert_eq!(arrival(&mut station), Some(Arrival::Whole));
    }

    #[test]
    fn a_stop_falls_without_a_jump_within_50_ms() {
        let mut station = station();
        station.play(1, slot(20_000)).unwrap();
        station.advance(1);
        station.stop();
        station.advance(4096);
        let end = SoundEvent::Ended {
            id: 1,
            frame: 1024 + 2400,
            arrival: Arrival::Stopped,
        };
        assert_eq!(events(&mut station)[1..], [end]);
        let left: Vec<f32> = station.captured().iter().step_by(2).copied().collect();
        assert!(left[1024..3424].windows(2).all(|two| two[0] >= two[1]));
        assert!(
            left.windows(2)
                .all(|two| (two[0] - two[1]).abs() < 0.25 * 7e-4)
        );
        assert!(left[3424..].iter().all(|&x| x == 0.0));
    }

    #[test]
    fn a_stop_is_for_what_was_played_before_it() {
        let mut station = station();
        station.stop();
        station.play(1, slot(100)).unwrap();
        station.advance(1);
        assert_eq!(arrival(&mut station), Some(Arrival::Whole));
        station.play(2, slot(100)).unwrap();
        station.stop();
        station.advance(1);
        let end = SoundEvent::Ended {
            id: 2,
            frame: 1024,
            arrival: Arrival::Stopped,
        };
        assert_eq!(events(&mut station), [end]);
        assert!(station.captured()[2048..].iter().all(|&x| x == 0.0));
    }

    #[test]
    fn a_fault_spoils_the_slot_on_its_way_and_no_other() {
        let mut station = station();
        station.run_dry();
        station.play(1, slot(3000)).unwrap();
        station.advance(3000);
        assert_eq!(arrival(&mut station), Some(Arrival::Whole));
        station.play(2, slot(3000)).unwrap();
        station.advance(1);
        station.run_dry();
        station.advance(3000);
        assert_eq!(arrival(&mut station), Some(Arrival::Underrun));
        station.play(3, slot(3000)).unwrap();
        station.advance(1);
        station.falter();
        station.advance(3000);
        assert_eq!(arrival(&mut station), Some(Arrival::Faulted));
        assert_eq!(station.handle().faults(), 3);
    }

    #[test]
    fn a_fault_counts_until_the_last_frame_has_left_the_device() {
        let mut station = station();
        station.handle().set_drain(2048);
        station.play(1, slot(1024)).unwrap();
        station.advance(2048);
        assert_eq!(arrival(&mut station), None);
        station.run_dry();
        station.advance(1024);
        assert_eq!(arrival(&mut station), Some(Arrival::Underrun));
    }

    #[test]
    fn a_lost_device_is_told_once_and_takes_nothing_more() {
        let mut station = station();
        station.play(1, slot(3000)).unwrap();
        station.advance(1);
        station.pull_out();
        station.advance(3000);
        assert!(matches!(
            events(&mut station)[..],
            [SoundEvent::Began { .. }, SoundEvent::Lost(Loss::Gone)]
        ));
        assert_eq!(station.play(2, slot(1)), Err(PlayError::Lost));
        assert!(events(&mut station).is_empty());
    }

    #[test]
    fn faults_are_counted_from_the_last_buffer() {
        let mut station = station();
        for _ in 0..1000 {
            station.run_dry();
            station.advance(1);
        }
        assert_eq!(station.handle().faults_since_buffer(), 0);
        station.run_dry();
        station.falter();
        assert_eq!(station.handle().faults_since_buffer(), 2);
        assert_eq!(station.handle().faults(), 1002);
        assert!(events(&mut station).is_empty());
    }

    #[test]
    fn no_sample_passes_the_ceiling() {
        let mut station = station();
        station.set_ceiling([0.2, f32::NAN]);
        let samples = [0.1, 0.0, f32::NAN, 0.1, f32::INFINITY, 0.0, -0.3, 0.0];
        let samples = samples.into();
        station
            .play(
                1,
                Rendered {
                    frames_per_second: 48_000,
                    samples,
                    spans: vec![],
                },
            )
            .unwrap();
        station.advance(1);
        assert_eq!(arrival(&mut station), Some(Arrival::CutOff));
        assert_eq!(
            station.captured()[..8],
            [0.1, 0.0, 0.0, 0.0, 0.2, 0.0, -0.2, 0.0]
        );
        assert_eq!(station.handle().cut_off(), 4);
    }

    /// A device of 16 bits, and a float one on a profile of 16 bits: every sample is on a step, and
    /// silence is dithered like sound, on both channels. Triangular dither leaves an eighth of all
    /// silent samples one step up and an eighth one down (its density, integrated by hand).
    #[test]
    fn dither_never_rests() {
        let float = || {
            let mut station = station();
            station.set_depth(16).unwrap();
            station
        };
        for mut station in [ManualSound::with_bits(48_000, 1024, 16), float()] {
            station.advance(48_000);
            station.play(1, slot(100)).unwrap();
            station.advance(48_000);
            let steps = station.captured().iter().map(|sample| sample * 32_768.0);
            assert!(steps.clone().all(|step| step.fract() == 0.0));
            for channel in 0..2 {
                let silent: Vec<f32> = steps
                    .clone()
                    .skip(channel)
                    .step_by(2)
                    .take(48_000)
                    .collect();
                for step in [-1.0, 1.0] {
                    let share = silent
                        .iter()
                        .filter(|one| (**one - step).abs() < 0.5)
                        .count() as f64
                        / 48_000.0;
                    assert!((share - 0.125).abs() < 0.01, "{share}");
                }
            }
        }
    }

    #[test]
    fn a_device_that_became_shallower_than_its_profile_is_refused() {
        let mut station = ManualSound::with_bits(48_000, 1024, 16);
        let shallow = TooShallow { needs: 24, has: 16 };
        assert_eq!(station.set_depth(24), Err(shallow));
        assert_eq!(station.set_depth(16), Ok(()));
        let mut float = ManualSound::new(48_000, 1024);
        assert_eq!([16, 24, 32].map(|bits| float.set_depth(bits)), [Ok(()); 3]);
        float.advance(1024);
        assert!(
            float.captured().iter().all(|&x| x == 0.0),
            "at 32 bits silence is digital"
        );
    }

    #[test]
    fn the_first_loss_stands() {
        let mut station = station();
        station.lose(Loss::Changed);
        station.lose(Loss::Gone);
        assert_eq!(events(&mut station), [SoundEvent::Lost(Loss::Changed)]);
        assert!(Loss::Changed.unsettles_profile() && !Loss::Gone.unsettles_profile());
    }

    #[test]
    fn another_rate_is_refused() {
        let slot = Rendered {
            frames_per_second: 44_100,
            ..slot(10)
        };
        let error = PlayError::Rate {
            rendered: 44_100,
            device: 48_000,
        };
        assert_eq!(station().play(1, slot), Err(error));
    }
}
