//! A file that goes along with a report: inside a PDF/A-3, or beside it in a folder.

/// A file in memory.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Its name, without folders.
    pub name: String,
    /// Its media type, such as `text/csv`.
    pub media_type: &'static str,
    /// What it holds, in one sentence for people.
    pub about: String,
    /// Its contents.
    pub bytes: Vec<u8>,
}
