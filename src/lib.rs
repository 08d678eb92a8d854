//! Veridical measures sight and hearing at the bedside and says how sure it is.
//!
//! Everything is one loop: a presenter decides what comes next, a station delivers it, a person
//! answers, and the journal keeps what happened. Every figure is a pure function of the journal.
//! The rooms below are listed from the ground up; a room uses only rooms above it in this list.

pub mod quantity;

pub mod standard;

pub mod calibration;

pub mod stimulus;

pub mod journal;

pub mod belief;

pub mod finding;

pub mod evidence;

pub mod bedside;

pub mod procedure;

pub mod station;

pub mod person;

pub mod visit;

pub mod practice;

pub mod report;

pub mod store;

pub mod errand;

#[cfg(feature = "window")]
pub mod desk;

pub mod verbs;

#[cfg(test)]
mod outside;
