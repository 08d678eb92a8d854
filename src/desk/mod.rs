//! The windows: the examiner's and the person's. What they show and what they do stand apart from
//! how they are drawn.

mod app;
pub mod bench;
mod bench_page;
pub mod bench_sounds;
pub mod broken_off;
pub mod by_hand;
mod by_hand_page;
pub mod clock;
pub mod conversation;
mod deliver;
pub mod ear_check;
pub mod eyes;
pub mod figure;
mod figures;
mod frame;
pub mod hand_over;
pub mod hear;
pub mod instruct;
pub mod keys;
mod length;
mod measured_screen;
mod observe;
mod pad;
mod parts;
pub mod people;
pub mod person_window;
pub mod planner;
pub mod practise;
mod practise_page;
pub mod prepare;
pub mod prepare_page;
mod prepare_sight;
mod prepare_sound;
pub mod progress;
mod remembered;
pub mod see;
pub mod see_ways;
pub mod session;
pub mod settings;
mod settings_page;
mod spelling;
pub mod style;
pub mod surroundings;
pub mod time_line;
pub mod way;
mod weigh;
mod weigh_by_hand;
pub mod words;

pub use app::{Desk, OpenInput, OpenSound, Options, Page, open_with, set_up};
pub use deliver::Ring;

/// Opens the windows and returns when they are closed.
///
/// # Errors
/// One line, without a display.
pub fn open() -> Result<(), String> {
    open_with(Options::default())
}
