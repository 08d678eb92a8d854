//! The record of a clinic: who people are, which visits there were, who did what; found fast, kept
//! safe, and shown to be unchanged. The journals stay the one truth of what was measured.
//!
//! `README.md` beside this file describes the folder, the formats and what they can and cannot show.

mod archive;
mod backup;
mod code;
mod disk;
mod hex;
mod history;
mod index;
mod people;
mod random;
mod register;
mod sealed;
mod secret;
mod sheet;
mod signature;

pub use archive::{
    Archive, Brought, CheckedStore, CheckedVisit, Founded, Mended, NOT_FOUND_OUT, StoreError,
    line_hashes,
};
pub use backup::{Manifest, read_copy, restore};
pub use code::Code;
pub use disk::{Disk, Folder, Hold, Kept, new_private_file};
pub use history::{Course, Point, Shift, course, in_one_line};
pub use index::{FoundPerson, FoundUser, FoundVisit, State, VisitsOf};
pub use people::{Identity, Role, User};
pub use register::{Deed, Entry, Filed};
pub use secret::{Cost, Opener, SHORTEST_PASSPHRASE, Shut};
pub use sheet::{recovery_lines, recovery_pdf};
pub use signature::{SHOWN, SignedHead, Verdict, shown_head};
