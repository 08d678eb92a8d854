//! Figures: each is first a plain value that tells what is shown, then a list of plain shapes that a
//! window, a page or a picture draws.
//!
//! What is drawn is also told in words and as a table. Building one folds trials into beliefs, so
//! build it when something has happened, not for every frame.

pub mod acuity;
pub mod audiogram;
pub mod mark;
pub mod shape;

pub use acuity::Acuity;
pub use audiogram::Audiogram;
pub use shape::{Area, Ink, Label, Point, Shape, Stroke};

use super::words::Lang;

/// What a figure shows, in rows: its accessible alternative.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// The columns.
    pub head: Vec<String>,
    /// The rows, each as long as the head.
    pub rows: Vec<Vec<String>>,
}

/// A figure that can be drawn anywhere.
pub trait Drawing {
    /// What it shows, in a few sentences.
    fn told(&self, lang: Lang) -> String;

    /// The same in rows.
    fn rows(&self, lang: Lang) -> Table;

    /// Its shapes within `area`, from the ground up.
    fn shapes(&self, area: Area, lang: Lang) -> Vec<Shape>;
}

/// Every how many steps an axis is lettered that has room for so many: each, or every 2nd, 5th,
/// 10th.
#[must_use]
pub fn lettered_every(steps: f64, room: f64) -> f64 {
    let least = steps / room.max(1.0);
    let usual = [1.0, 2.0, 5.0].into_iter().find(|every| *every >= least);
    usual.unwrap_or(10.0)
}

#[cfg(test)]
mod tests;
