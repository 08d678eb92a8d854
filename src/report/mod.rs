//! What leaves the house: the findings of a visit as one document, and its trials as a table.

mod findings;
mod trials;

pub use findings::{Counts, Findings, Senses};
pub use trials::trials_csv;
