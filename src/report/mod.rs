//! What leaves the house: a visit's findings as one document, its tables with their dictionary, and
//! the schemas of what is written; and the card that is printed for reading near.

mod attachment;
mod bundle;
mod document;
mod dossier;
pub mod figure;
mod findings;
mod near_card;
mod page;
mod pages;
mod pictures;
mod print;
mod schema;
mod sentences;
mod tables;
mod tidy;
pub mod words;

pub use attachment::{
    Attachment, AttachmentError, attachments, bundle_file, explanations, findings_file,
};
pub use bundle::{Identity, bundle};
pub use document::{
    PageView, PaperSize, Report, ReportError, ReportWish, left_in_english, report_pages,
    report_pdf, report_text,
};
pub use dossier::{Dossier, DossierError, Signed};
pub use findings::{Counts, Findings, Senses};
pub use near_card::{CardError, near_card_pdf};
pub use pages::worksheet_pages;
pub use pictures::{picture_pages, pictures};
pub use print::{PictureError, Pixels, pixels, png_of, svg_of};
pub use schema::{findings_schema, journal_schema};
pub use sentences::{acuity_sentence, exposure_sentence, hearing_sentences, sight_sentences};
pub use tables::{Described, TABLES, Table, dictionary, dictionary_file, no_formula, tables};
pub use tidy::{tidy_json, write_tidy_json};
