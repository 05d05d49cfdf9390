//! What is printed, and what is bought beside it: each a mesh, and its file where it has one.

pub mod body;
pub mod stl;

pub use body::{Maker, PartBody, Unmade};

/// File of a part or test piece, relative to the folder.
pub fn path(name: &str) -> String {
    format!("parts/{name}.stl")
}

/// File of a bench aid, relative to the folder.
pub fn aid_path(name: &str) -> String {
    format!("bench/{name}.stl")
}

/// Whether a file, named relative to the folder, may be that of a part or test piece.
pub fn is_path(file: &str) -> bool {
    is_mesh_in("parts/", file)
}

/// Whether it may be that of a bench aid.
pub fn is_aid_path(file: &str) -> bool {
    is_mesh_in("bench/", file)
}

fn is_mesh_in(folder: &str, file: &str) -> bool {
    let name = file
        .strip_prefix(folder)
        .and_then(|rest| rest.strip_suffix(".stl"));
    name.is_some_and(|name| !name.is_empty() && !name.contains('/'))
}
