//! What leaves the house: the findings of a visit as one document, and its trials as a table.

mod by_hand;
mod findings;
mod pages;
mod table;
mod tidy;
mod trials;

pub use by_hand::{prompts_csv, worksheet_csv};
pub use findings::{Counts, Findings, Senses};
pub use pages::worksheet_pages;
pub use tidy::tidy_json;
pub use trials::trials_csv;
