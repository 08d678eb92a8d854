//! What leaves the house: the findings of a visit as one document, and its trials as a
//! table; and the card that is printed for reading near.

mod attachment;
mod by_hand;
pub mod figure;
mod findings;
mod near_card;
mod pages;
mod schema;
mod sentences;
mod table;
mod tidy;
mod trials;
pub mod words;

pub use attachment::Attachment;
pub use by_hand::{prompts_csv, worksheet_csv};
pub use findings::{Counts, Findings, Senses};
pub use near_card::{CardError, near_card_pdf};
pub use pages::worksheet_pages;
pub use schema::{findings_schema, journal_schema};
pub use sentences::hearing_sentences;
pub use tidy::tidy_json;
pub use trials::trials_csv;
