//! Detection functions and posteriors: one mathematics for estimating, for findings, for evidence
//! and for simulated people.
//!
//! Pure functions of plain slices of trials. Transcendental functions come from libm and sums run
//! in a fixed order, so that the same trials give the same figures to the bit on every machine.

mod acuity;
mod audiogram;
mod beside_noise;
pub mod binomial;
mod chart;
mod detection;
mod grid;
mod hearing_prior;
mod listener;
mod marginal;
mod normal;
mod threshold;

pub use acuity::{AcuityPosterior, AcuityTrial};
pub use audiogram::{AudiogramPosterior, Outlook, Telling};
pub use beside_noise::{BesideNoise, EarBelief, MaskedTone, Unmasked};
pub use detection::{ChoiceFunction, DetectionFunction, logistic};
pub use hearing_prior::Place;
pub use listener::{WayOfAnswering, ways_of_answering};
pub use marginal::Marginal;
pub use normal::{SitedNormal, Symmetric};
pub use threshold::{ThresholdPosterior, ToneTrial};

#[cfg(test)]
mod tests;
