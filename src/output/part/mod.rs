//! What is printed, and what is bought beside it: each a mesh, and its file where it has one.

pub mod body;
mod print_bed;
pub mod stl;

pub use body::{Maker, PartBody, Unmade};
pub use print_bed::{Object, print_bed};

/// How the file of a bed is called, before its number.
const BED: &str = "bed-";
/// The same of a bed of what is to be printed again.
const REPRINT: &str = "reprint-";
/// Behind it.
const ENDING: &str = ".3mf";

/// File of a bed, by its number from 1, relative to the folder.
pub fn bed_path(number: usize) -> String {
    format!("{BED}{number}{ENDING}")
}

/// File of a bed of what is to be printed again, by its number from 1, relative to the folder.
pub fn reprint_path(number: usize) -> String {
    format!("{REPRINT}{number}{ENDING}")
}

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

/// Whether a file, named relative to the folder, may be that of a bed.
pub fn is_bed_path(file: &str) -> bool {
    is_numbered(file, BED)
}

/// Whether a file, named relative to the folder, may be that of a bed of what is to be printed again.
pub fn is_reprint_path(file: &str) -> bool {
    is_numbered(file, REPRINT)
}

/// Whether a name is one of these with a number.
fn is_numbered(name: &str, begins: &str) -> bool {
    let inside = name.strip_prefix(begins);
    let number = inside.and_then(|rest| rest.strip_suffix(ENDING));
    number.is_some_and(|number| {
        !number.is_empty() && number.bytes().all(|letter| letter.is_ascii_digit())
    })
}
