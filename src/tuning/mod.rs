//! From filled forms, or ladders' best steps, to a profile of the printer with its errors.
//!
//! [`form::read`] turns a form's text into readings and findings, `clue` and `ladder` say what each
//! tells of a profile's terms, `least_squares.rs` fits them, and [`tune`](mod@tune) goes the whole way.
//! It knows nothing of mechanisms and files, and profiles know nothing of it.

mod bound;
pub mod breaking;
mod clue;
mod doubt;
mod ends;
mod filled;
mod fit;
pub mod form;
mod form_head;
mod form_rows;
mod ladder;
mod learnt;
mod least_squares;
mod observed;
mod own_gap;
mod refusal;
mod toml_values;
pub mod tune;
mod words;

pub use clue::{CaliperSize, SizeKind};
pub use doubt::Doubt;
pub use ladder::{BestStep, End, LadderKind};
pub use own_gap::OwnGap;
