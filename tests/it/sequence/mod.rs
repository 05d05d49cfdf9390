//! The order of assembly: puzzles with a known answer, and kits, as meshes.
//!
//! `puzzles` are small assemblies whose answer can be seen with the eye; `kits` holds the
//! presets' orders against what a person would do, and their numbers against worked ones;
//! `audit` walks verdicts, free and blocked, with sampled poses of a second collision library.

mod audit;
mod kits_order;
mod pieces;
mod puzzles;
