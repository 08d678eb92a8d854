//! The trade's units as types.
//!
//! A level and a difference of levels are different types: two levels cannot be added, and the
//! difference of two levels on the same scale is a [`Db`].

mod angle;
mod correction;
mod draws;
mod frequency;
mod length;
mod level;
mod moment;
mod sex;
mod side;
#[cfg(test)]
mod tests;
mod wide;

pub use angle::{ArcMin, LogMar};
pub use correction::Correction;
pub use draws::{Draws, Stream};
pub use frequency::Hz;
pub use length::Mm;
pub use level::{Db, DbFs, DbHl, DbSpl, Level, Scale};
pub use moment::Moment;
pub use sex::Sex;
pub use side::{Ear, Eye, Sense, Side};
pub(crate) use wide::{largest, wide};
