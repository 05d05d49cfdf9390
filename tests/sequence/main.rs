//! The order of assembly: puzzles with a known answer, and kits, as meshes.
//!
//! `puzzles` are small assemblies whose answer can be seen with the eye; `kits` holds the
//! presets' orders against what a person would do, and their numbers against worked ones;
//! `audit` walks verdicts, free and blocked, with sampled poses of a second collision library.

#![expect(
    clippy::unwrap_used,
    reason = "in a test a value that is not there is a failure"
)]

mod audit;
mod kits_order;
mod pieces;
mod puzzles;
#[path = "../support/mod.rs"]
#[expect(dead_code, reason = "other tests use what this one does not")]
mod support;
