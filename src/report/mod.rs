//! What leaves the house: the findings of a visit as one document, and its trials as a table.

mod findings;
mod tidy;
mod trials;

pub use findings::{Counts, Findings, Senses};
pub use tidy::tidy_json;
pub use trials::trials_csv;
