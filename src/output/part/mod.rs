//! What is printed, and what is bought beside it: each a mesh, and its file where it has one.

pub mod body;
pub mod stl;

pub use body::{Maker, PartBody, Unmade};

/// File of a part or test piece, relative to the folder.
pub fn path(name: &str) -> String {
    format!("parts/{name}.stl")
}
