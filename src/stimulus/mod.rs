//! What can be presented: as plain data, and as its exact samples or pixels.

mod presentation;
pub mod sound;

pub use presentation::{
    Facing, OptotypePart, OptotypeSet, Part, Presentation, Signal, SoundPart, Task, ToneSlot,
};
