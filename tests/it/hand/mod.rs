//! What the maker's hand is told, and the marks that make it true.
//!
//! Everything is read from what the program writes: the files of the parts, the report and the
//! guide. `sides` finds the marks on the meshes and asks that pins are held on the side away from
//! them; `turning` holds every clockwise against the motion that it is said of, and `plain` those
//! that no kit's guide has; `counting` turns screws back on the meshes until they touch, and counts;
//! `mouths` asks that what enters finds a wider mouth; `dowels` that what is bought fits its room;
//! `grades` that pins are marked as is said.
//! `asked` has the kits, `made` makes them and reads them back, `section` cuts a mesh, `words` reads
//! a sentence.

pub(crate) mod asked;
mod counting;
mod dowels;
mod grades;
pub(crate) mod made;
mod mouths;
mod plain;
mod section;
mod sides;
pub(crate) mod turning;
pub(crate) mod words;
