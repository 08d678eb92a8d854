//! The windows: the examiner's and the person's. What they show and what they do stand apart from
//! how they are drawn.

pub mod clock;
mod deliver;
pub mod keys;
pub mod session;
pub mod words;

pub use deliver::Ring;

/// Opens the windows and returns when they are closed.
///
/// # Errors
/// One line, without a display.
pub fn open() -> Result<(), String> {
    Ok(())
}
