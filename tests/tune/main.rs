//! Tuning: what a form with known parameters gives back, and what a bad form is told.

mod form;
mod kept;
mod forms;
mod recovery;

#[path = "../support/normal.rs"]
mod normal;
