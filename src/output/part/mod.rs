//! What is printed, and what is bought beside it: each a mesh, and its file where it has one.

pub mod body;
pub mod files;
pub mod stl;

pub use body::{Maker, PartBody, Unmade};
