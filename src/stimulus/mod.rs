//! What can be presented: as plain data, and as its exact samples or pixels.

#[cfg(test)]
#[path = "../../tests/sound/analysis.rs"]
mod analysis;
mod near_card;
mod optotype;
mod presentation;
mod prompt;
mod raster;
pub mod recording;
pub mod sound;

pub use near_card::{CardRow, MM_PER_M_UNIT, NEAR_MM, NearCard};
pub use optotype::{
    Look, MAX_SIDE_PX, MIN_STROKE_PX, OptotypeSize, Undrawable, draw, outline, with_bars,
};
pub use presentation::{
    ByHand, Facing, HandPart, Letter, OptotypePart, OptotypeSet, Part, Presentation, Signal,
    SoundPart, Swing, Symbol, Task, ToneSlot,
};
pub use prompt::{
    DIGITS, LETTERS, Material, Place, Prompt, PromptPart, Prompted, Reply, SeriesKind, Strength,
    Triple,
};
pub use raster::Raster;
