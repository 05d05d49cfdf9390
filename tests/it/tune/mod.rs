//! Tuning: what a form with known parameters gives back, and what a bad form is told.

mod boundaries;
mod breaking;
mod doubts;
mod ends;
mod form;
mod forms;
mod kept;
mod own_gaps;
mod pockets;
mod printers;
mod recovery;
