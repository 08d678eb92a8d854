//! The steps done by hand, made checkable: the worksheet of the nerves, series whose order cannot
//! be worked out, and what their answers say.

pub mod cautions;
mod findings;
mod fisher;
mod law;
mod order;
mod paper;
mod series;
#[cfg(test)]
mod tests;
mod worksheet;

pub use findings::{BedsideFindings, Line, LineState};
pub use fisher::fisher;
pub use law::{Law, share_guessed};
pub use order::{RULE, draw, draw_prompts, usual_prompts};
pub use paper::{Page, VOID_LETTER, key_of, key_words, letter, reply_of, sheet, wrapped};
pub use series::{
    Chance, Extent, LEVEL, Rate, SeriesFinding, SidesCompared, Than, level_with, series_findings,
};
pub use worksheet::{standard, worksheet_in};
