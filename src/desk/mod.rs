//! The windows.

pub mod figure;
pub mod style;

/// Opens the window.
///
/// # Errors
/// One line, if there is no display.
pub fn open() -> Result<(), String> {
    Err("this version has no window yet".into())
}
