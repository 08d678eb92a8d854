//! Random draws that repeat exactly.
//!
//! Every draw is keyed by a seed, a stream and a presentation number, never by what was drawn
//! before: so a visit that is resumed after a crash goes on exactly as the undisturbed one.

use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// What a draw is for; streams are independent of one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stream {
    /// Which kind of presentation comes next, silent or not.
    Silence,
    /// How long the silence before the onset lasts.
    Lead,
    /// Which direction or letter is shown.
    Optotype,
    /// What a simulated person does.
    Person,
    /// How a simulated person's state wanders between presentations.
    PersonState,
    /// Seeds of one visit of a study.
    Visit,
    /// Noise signals.
    Noise,
    /// The order of a series at the bedside.
    Series,
    /// What a simulated person does beside answering.
    Habits,
    /// Who is drawn for an exercise.
    Exercise,
    /// The people that are thought of when answers are weighed.
    Kinds,
    /// The order and the intervals of presentations that test answers.
    Tests,
}

/// The draws for one presentation out of one stream.
pub struct Draws(ChaCha8Rng);

impl Draws {
    /// The draws of `stream` for presentation `number` under `seed`.
    #[must_use]
    pub fn new(seed: u64, stream: Stream, number: u64) -> Draws {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        key[8..16].copy_from_slice(&(stream as u64 + 1).to_le_bytes());
        key[16..24].copy_from_slice(&number.to_le_bytes());
        Draws(ChaCha8Rng::from_seed(key))
    }

    /// Uniform in [0, 1).
    pub fn uniform(&mut self) -> f64 {
        self.0.random::<f64>()
    }

    /// Uniform in [low, high).
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    /// Uniform over 0, 1, …, `count` − 1; `count` must be positive.
    pub fn below(&mut self, count: usize) -> usize {
        self.0.random_range(0..count)
    }

    /// True with probability `p`.
    pub fn chance(&mut self, p: f64) -> bool {
        self.uniform() < p
    }

    /// Standard normal.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// 64 random bits, to seed another set of draws.
    pub fn seed(&mut self) -> u64 {
        self.0.next_u64()
    }
}
