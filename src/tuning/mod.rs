//! From filled forms, or ladders' best steps, to a profile of the printer with its errors.
//!
//! [`form::read`] turns a form's text into readings and findings, `clue` says what each tells
//! of a profile's terms, [`least_squares`] fits them, and [`tune`](mod@tune) goes the whole way.
//! It knows nothing of mechanisms and files, and profiles know nothing of it.

pub mod bound;
mod clue;
pub mod form;
pub mod least_squares;
mod own_gap;
mod toml_values;
pub mod tune;

pub use clue::{BestStep, CaliperSize, End, LadderKind, SizeKind};
pub use own_gap::OwnGap;
